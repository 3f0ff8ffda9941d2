"""The sheets of 'sheet', read by an XML parser that knows nothing of the program: sheet_test.py PROGRAM SOURCE_DIR"""
import hashlib
import json
import os
import re
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree

PROGRAM, SOURCE = sys.argv[1:3]
DESIGNS = os.path.join(SOURCE, "designs")
TONGUES = ["01_three_tongues/brass_a4.yaml", "01_three_tongues/bronze_g3.yaml", "01_three_tongues/steel_e5.yaml"]
INSTRUMENTS = ["04_tremolo_bronze/design.yaml", "05_steel_block/design.yaml"]


def run(*arguments):
    environment = dict(os.environ, REEDWRIGHT_MATERIALS=os.path.join(SOURCE, "materials"))
    return subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, env=environment)


def answer(*arguments):
    outcome = run(*arguments, "--json")
    assert outcome.returncode == 0, outcome.stderr
    return json.loads(outcome.stdout)


class Sheet:
    """A page as a reader sees it: its text, and the rows of its tables under the titles of its sections."""

    def __init__(self, text):
        self.text = text
        self.root = ElementTree.fromstring(text)
        self.title = self.root.find("head/title").text
        self.sections = {}
        for section in self.root.iter("section"):
            name = section.find("h2").text
            tables = []
            for table in section.iter("table"):
                heads = ["".join(head.itertext()) for head in table.find("thead/tr")]
                rows = [["".join(cell.itertext()) for cell in row] for row in table.find("tbody")]
                tables.append((heads, rows))
            self.sections[name] = (section, tables)

    def rows(self, name):
        return [row for _, rows in self.sections[name][1] for row in rows]


def sheet_of(file, *more):
    with tempfile.TemporaryDirectory() as folder:
        out = os.path.join(folder, "sheet.html")
        outcome = run("sheet", file, *more, "--out", out)
        assert outcome.returncode == 0, outcome.stderr
        with open(out, encoding="utf-8") as stream:
            return Sheet(stream.read())


class Sheets(unittest.TestCase):
    made = {}

    @classmethod
    def setUpClass(cls):
        for name in TONGUES + INSTRUMENTS:
            cls.made[name] = sheet_of(os.path.join(DESIGNS, name))

    def test_no_sheet_refers_to_anything_outside_itself_or_names_two_things_alike(self):
        for name, sheet in self.made.items():
            names = [element.get("id") for element in sheet.root.iter() if element.get("id")]
            self.assertEqual(len(names), len(set(names)), name)
            for element in sheet.root.iter():
                self.assertNotIn(element.tag.split("}")[-1], ("script", "link", "img", "iframe", "object", "base"), name)
                for key, value in element.attrib.items():
                    key = key.split("}")[-1]
                    self.assertFalse(key.startswith("on"), f"{name}: {key}")
                    if key in ("href", "src"):
                        self.assertIn(value[1:], names, name)
                        self.assertTrue(value.startswith("#"), f"{name}: {value}")
                    for inner in re.findall(r"url\(#(.*?)\)", value):
                        self.assertIn(inner, names, name)
            style = sheet.root.find("head/style").text
            self.assertNotIn("url(", style)
            self.assertNotIn("@import", style)

    def test_the_title_names_the_file_and_the_first_digits_of_its_hash(self):
        for name, sheet in self.made.items():
            with open(os.path.join(DESIGNS, name), "rb") as stream:
                revision = hashlib.sha256(stream.read()).hexdigest()[:8]
            self.assertIn(f"{os.path.basename(name)}, revision {revision}", sheet.title)
            self.assertIn(f'content: "{os.path.basename(name)}, revision {revision}"', sheet.text)

    def test_every_tongue_of_the_plan_stands_in_both_tables_with_its_numbers(self):
        for name in INSTRUMENTS:
            sheet = self.made[name]
            plan = answer("plan", os.path.join(DESIGNS, name))["tongues"]
            made = sheet.rows("Tongues")
            tuned = sheet.rows("Tuning")
            self.assertEqual(len(made), len(plan))
            self.assertEqual(len(tuned), len(plan))
            for tongue, row, blank in zip(plan, made, tuned):
                place = f"{tongue['cell']} {tongue['row']}"
                hertz = f"{tongue['target_hz']:.2f}"
                self.assertEqual(row[:4], [place, tongue["note"], hertz, f"{tongue['length_mm']:.2f}"])
                self.assertEqual(row[6:8], [f"{tongue['gauge_mm']:.2f}", f"{tongue['rest_gap_mm']:.2f}"])
                stations = [(float(b), float(a)) for a, b in re.findall(r"([\d.]+) at ([\d.]+)", row[5])]
                self.assertEqual(len(stations), len(tongue["thickness_stations_mm"]))
                for (at, thick), (at_mm, thick_mm) in zip(stations, tongue["thickness_stations_mm"]):
                    # Printed with four digits and to a micrometre.
                    self.assertAlmostEqual(at, at_mm, delta=6e-3)
                    self.assertAlmostEqual(thick, thick_mm, delta=5.1e-4)
                self.assertEqual(blank[:3], [place, tongue["note"], hertz])
                self.assertEqual(set(blank[3:]), {""})
                self.assertGreaterEqual(len(blank), 10)

    def test_every_kind_of_finding_stands_with_its_limit(self):
        for name in INSTRUMENTS:
            findings = answer("check", os.path.join(DESIGNS, name))["findings"]
            rows = self.made[name].rows("What was checked")
            self.assertEqual({row[1] for row in rows}, {one["kind"] for one in findings})
            self.assertEqual({row[0] for row in rows}, {"ok"})

    def test_every_plate_of_a_design_has_its_picture(self):
        for name, plates in zip(INSTRUMENTS, (4, 12)):
            section = self.made[name].sections["Plates"][0]
            pictures = list(section.iter("{http://www.w3.org/2000/svg}svg"))
            self.assertEqual(len(pictures), plates, name)

    def test_the_pitch_and_its_chain_are_those_of_the_pitch_command(self):
        for name in TONGUES:
            sheet = self.made[name]
            pitch = answer("pitch", os.path.join(DESIGNS, name), "--explain")
            row = sheet.rows("Pitch")[0]
            self.assertEqual(row[0], f"{pitch['pitch_hz']:.2f}")
            self.assertEqual(row[2], f"{pitch['expanded_uncertainty_cents']:.0f}")
            steps = [[step["step"], f"{step['pitch_hz']:.2f}"] for step in pitch["chain"]]
            self.assertEqual([row[:2] for row in sheet.rows("From dimensions to hertz")], steps)
            budget = [part["input"] for part in pitch["budget"]]
            self.assertEqual([row[0] for row in sheet.rows("How well the pitch is known")], budget + ["together"])

    def test_the_table_of_cuts_says_what_the_cut_command_says(self):
        for name in TONGUES:
            file = os.path.join(DESIGNS, name)
            heads, rows = self.made[name].sections["What a cut does"][1][0]
            zones = [head.split(",")[0] for head in heads[1:]]
            self.assertIn("tip", zones)
            self.assertIn("root", zones)
            for row in (rows[1], rows[5]):
                for zone, cents in zip(zones, row[1:]):
                    cut = answer("cut", file, "--zone", zone, "--depth", f"{row[0]}um")
                    self.assertEqual(cents, f"{cut['shift_cents']:+.2f}", (zone, row[0]))
            self.assertEqual(rows[-1][0], "deepest")
            for zone, words in zip(zones, rows[-1][1:]):
                depth = re.match(r"([\d.]+) \u00b5m", words).group(1)
                deeper = answer("cut", file, "--zone", zone, "--depth", f"{float(depth) + 0.2:.1f}um")
                self.assertTrue(any("deeper than" in one for one in deeper["warnings"]), zone)
                within = answer("cut", file, "--zone", zone, "--depth", f"{float(depth) - 0.2:.1f}um")
                self.assertFalse(any("deeper than" in one for one in within["warnings"]), zone)

            _, costs = self.made[name].sections["What a cut does"][1][1]
            self.assertEqual([row[0] for row in costs], zones)
            for zone, cents, depth, stress, kept, _ in costs:
                self.assertIn(cents, ("+10", "-10"))
                cut = answer("cut", file, "--zone", zone, "--depth", f"{depth}um")
                # The depth is told to 0.1 um, which moves the stress and the hours by a digit of what is told at most.
                self.assertAlmostEqual(float(stress), cut["life_after"]["stress_mpa"], delta=1.0)
                self.assertAlmostEqual(float(kept), 100.0 * cut["life_kept"], delta=2.0)

    def test_no_shift_of_another_note_is_told(self):
        for name in TONGUES:
            _, rows = self.made[name].sections["What a cut does"][1][0]
            shifts = [float(cell) for row in rows[:-1] for cell in row[1:] if cell not in ("too deep", "too far")]
            self.assertLessEqual(max(abs(one) for one in shifts), 100.0)

    def test_the_wind_is_that_of_the_blow_command(self):
        for name in TONGUES:
            blow = answer("blow", os.path.join(DESIGNS, name), "--pressure", "500Pa")
            row = self.made[name].rows("In the wind")[0]
            self.assertEqual(row[0], f"{blow['threshold_pa']:.0f}")
            self.assertEqual(row[2], f"{blow['sounding_hz']:.2f}")

    def test_cautions_sources_and_the_input_stand_on_every_sheet(self):
        for name, sheet in self.made.items():
            with open(os.path.join(DESIGNS, name), encoding="utf-8") as stream:
                text = stream.read()
            stated = next(one for title, one in sheet.sections.items() if title.startswith("What was stated"))
            self.assertIn(text.strip(), "".join(stated[0].itertext()))
            self.assertIn("eye protection", "".join(sheet.sections["Take care"][0].itertext()))
            materials = sheet.rows("Values of the materials and where they come from")
            self.assertTrue(all(row[3] for row in materials))
            self.assertIn("density", [row[0] for row in materials])

    def test_a_table_of_bends_is_that_of_the_bends_command(self):
        with open(os.path.join(DESIGNS, "03_ten_hole_brass/equal.yaml"), encoding="utf-8") as stream:
            text = stream.read()
        self.assertIn("kind: ten-hole", text)
        with tempfile.TemporaryDirectory() as folder:
            file = os.path.join(folder, "two.yaml")
            with open(file, "w", encoding="utf-8") as stream:
                stream.write(
                    "reeds:\n"
                    "  - {cell: 1, row: blow, note: C4, length: 16 mm, width: 2.2 mm, thickness: 0.117 mm}\n"
                    "  - {cell: 1, row: draw, note: D4, length: 15.5 mm, width: 2.2 mm, thickness: 0.123 mm}\n"
                    "common: {material: cuzn37-r630}\n")
            bends = answer("bends", file)["cells"][0]
            row = sheet_of(file).rows("Bends")[0]
            self.assertEqual(row[3], f"{bends['rule_cents']:.0f}")
            self.assertEqual(row[4], f"{bends['floor_cents']:+.0f}")

    def test_names_with_special_characters_are_shown_as_they_are(self):
        name = 'A "club" & <b>its</b> C\' \\ {{title}}'
        with tempfile.TemporaryDirectory() as folder:
            file = os.path.join(folder, 'a <b>"&\' {{file}}.yaml')
            with open(file, "w", encoding="utf-8") as stream:
                stream.write(f"name: {json.dumps(name)}\nreeds:\n"
                             "  - {cell: 1, row: blow, note: C4, length: 16 mm, width: 2.2 mm, thickness: 0.117 mm}\n"
                             "common: {material: cuzn37-r630}\n")
            sheet = sheet_of(file)
            self.assertEqual(sheet.root.find("body/header/h1").text, name)
            self.assertTrue(sheet.title.startswith(f"{name}: {os.path.basename(file)}, revision "))

    def test_a_page_that_stands_is_kept_unless_replace_is_said(self):
        file = os.path.join(DESIGNS, TONGUES[0])
        with tempfile.TemporaryDirectory() as folder:
            out = os.path.join(folder, "sheet.html")
            with open(out, "w", encoding="utf-8") as stream:
                stream.write("mine")
            refused = run("sheet", file, "--out", out)
            self.assertEqual(refused.returncode, 1)
            self.assertIn("--replace", refused.stderr)
            with open(out, encoding="utf-8") as stream:
                self.assertEqual(stream.read(), "mine")
            told = answer("sheet", file, "--out", out, "--replace")
            with open(out, "rb") as stream:
                self.assertEqual(hashlib.sha256(stream.read()).hexdigest(), told["sha256"])

    def test_bad_input_is_refused_with_its_place_and_nothing_is_written(self):
        with tempfile.TemporaryDirectory() as folder:
            file = os.path.join(folder, "bad.yaml")
            out = os.path.join(folder, "sheet.html")
            with open(file, "w", encoding="utf-8") as stream:
                stream.write("tongue: {material: cuzn37-r630, length: 15 mm, width: 2 mm, thickness: 0.1}\n")
            outcome = run("sheet", file, "--out", out)
            self.assertEqual(outcome.returncode, 1)
            self.assertIn("bad.yaml:1:", outcome.stderr)
            self.assertFalse(os.path.exists(out))
            self.assertEqual(run("sheet", file).returncode, 2)

    def test_dimensions_on_the_command_line_make_a_sheet_too(self):
        options = ["--material", "cuzn37-r630", "--length", "15mm", "--width", "2mm", "--thickness", "0.12mm"]
        with tempfile.TemporaryDirectory() as folder:
            out = os.path.join(folder, "sheet.html")
            self.assertEqual(run("sheet", *options, "--out", out).returncode, 0)
            with open(out, encoding="utf-8") as stream:
                sheet = Sheet(stream.read())
        self.assertEqual(sheet.rows("Pitch")[0][0], f"{answer('pitch', *options)['pitch_hz']:.2f}")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
