#!/usr/bin/python3
"""The local page as a whole process: its answers against the command line's, and what hostile clients get.

page_test.py PROGRAM SOURCE_FOLDER [unittest arguments]. The client is Python's own, not the library that serves.
"""
import array
import http.client
import json
import math
import os
import random
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import unittest

PROGRAM, SOURCE = map(os.path.abspath, sys.argv[1:3])
ENVIRONMENT = dict(os.environ, REEDWRIGHT_MATERIALS=os.path.join(SOURCE, "materials"))
PATIENCE_S = 300  # longer than any answer takes on a busy machine; only a hang reaches it


def command(folder, *arguments):
    return subprocess.run([PROGRAM, *arguments], cwd=folder, env=ENVIRONMENT, capture_output=True, text=True,
                          timeout=600)


class Page:
    """The program serving a folder that holds the example designs."""

    def __init__(self, *arguments):
        self.scratch = tempfile.mkdtemp(prefix="reedwright-test-")
        self.folder = os.path.join(self.scratch, "folder")
        shutil.copytree(os.path.join(SOURCE, "designs"), self.folder)
        self.process = subprocess.Popen([PROGRAM, "page", self.folder, "--json", *arguments], env=ENVIRONMENT,
                                        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        text = ""
        while not text.endswith("}\n"):
            line = self.process.stdout.readline()
            if not line:
                raise RuntimeError("the page did not start")
            text += line
        self.port = json.loads(text)["port"]

    def end(self):
        code = 0
        if self.process.poll() is None:
            self.process.terminate()
            code = self.process.wait(PATIENCE_S)
        self.process.stdout.close()
        shutil.rmtree(self.scratch)
        return code

    def ask(self, method, path, body=None, headers=None):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        try:
            connection.request(method, path, body, headers or {})
            answer = connection.getresponse()
            return answer.status, answer.headers, answer.read()
        finally:
            connection.close()

    def post(self, name, body, **headers):
        text = body if isinstance(body, (str, bytes)) else json.dumps(body)
        status, _, answer = self.ask("POST", "/api/" + name, text, {"Content-Type": "application/json", **headers})
        return status, json.loads(answer)

    def raw(self, *pieces, pause_s=0.0):
        """Sends bytes as they are; returns all that comes back until the other side closes."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE_S) as connection:
            try:
                for piece in pieces:
                    connection.sendall(piece)
                    time.sleep(pause_s)
            except OSError:
                pass
            answer = b""
            try:
                while piece := connection.recv(65536):
                    answer += piece
            except OSError:
                pass
            return answer

    def host(self):
        return b"Host: 127.0.0.1:%d\r\n" % self.port


class WithPage(unittest.TestCase):
    maxDiff = 4000

    @classmethod
    def setUpClass(cls):
        cls.page = Page()

    @classmethod
    def tearDownClass(cls):
        code = cls.page.end()
        assert code == 0, f"the page ended with {code}"

    def still_answers(self):
        status, _, body = self.page.ask("GET", "/api/start")
        self.assertEqual(status, 200)
        self.assertIn("materials", json.loads(body))

    def read(self, name):
        with open(os.path.join(self.page.folder, name), encoding="utf-8") as stream:
            return stream.read()


BRASS = "01_three_tongues/brass_a4.yaml"
ORGAN = "02_club_mouth_organ/instrument.yaml"
READINGS = "02_club_mouth_organ/readings.csv"
STOCK = "02_club_mouth_organ/stock.yaml"
TEN_HOLE = "03_ten_hole_brass/equal.yaml"


class Answers(WithPage):
    def same_as_command_line(self, name, options, subject, second=None):
        arguments = [name, subject] + ([second] if second else [])
        for key, value in options.items():
            arguments += ["--" + key] if value is True else ["--" + key, value]
        wanted = command(self.page.folder, *arguments, "--json")
        self.assertIn(wanted.returncode, (0, 4), wanted.stderr)
        wanted = json.loads(wanted.stdout)
        by_path = {"subject": {"path": subject}, "options": options}
        by_text = {"subject": {"name": subject, "text": self.read(subject)}, "options": options}
        if second:
            by_path["second"] = {"path": second}
            by_text["second"] = {"name": second, "text": self.read(second)}
        for body in (by_path, by_text):
            status, answer = self.page.post(name, body)
            self.assertEqual(status, 200, answer)
            for timed in (answer, wanted):
                timed.pop("seconds", None)  # how long it took
            self.assertEqual(answer, wanted)

    def test_commands_on_a_tongue_answer_as_on_the_command_line(self):
        for name, options in [("pitch", {}), ("pitch", {"explain": True, "under": "500Pa"}), ("where", {}),
                              ("cut", {"read": "-12c", "want": "A4", "zone": "tip"}),
                              ("cut", {"read": "-12c", "want": "A4"}), ("cut", {"zone": "root", "depth": "2um"}),
                              ("load", {"read": "+9c", "want": "A4"}), ("blow", {"pressure": "500Pa"}),
                              ("scatter", {"samples": "5000", "seed": "3"})]:
            with self.subTest(command=name, options=options):
                self.same_as_command_line(name, options, BRASS)

    def test_commands_on_a_design_answer_as_on_the_command_line(self):
        for name, options, subject, second in [("plan", {}, TEN_HOLE, None), ("check", {}, TEN_HOLE, None),
                                               ("bends", {}, TEN_HOLE, None),
                                               ("retune", {"offset": "C4-2c"}, ORGAN, READINGS),
                                               ("donors", {"cell": "4", "row": "draw"}, ORGAN, STOCK)]:
            with self.subTest(command=name):
                self.same_as_command_line(name, options, subject, second)

    def test_an_option_may_be_said_again(self):
        wanted = command(self.page.folder, "retune", ORGAN, READINGS, "--offset", "C4-2c", "--offset", "E4+1c", "--json")
        status, answer = self.page.post("retune", {"subject": {"path": ORGAN}, "second": {"path": READINGS},
                                                   "options": {"offset": ["C4-2c", "E4+1c"]}})
        self.assertEqual(status, 200, answer)
        self.assertEqual(answer, json.loads(wanted.stdout))

    def test_one_question_tells_pitch_where_shape_and_stress(self):
        status, answer = self.page.post("tongue", {"subject": {"path": BRASS}})
        self.assertEqual(status, 200, answer)
        for name in ("pitch", "where"):
            self.assertEqual(answer[name], json.loads(command(self.page.folder, name, BRASS, "--json").stdout))
        self.assertEqual(answer["shape"]["length_mm"], answer["shape"]["thickness_mm"][-1][0])
        # The default swing is 6 % of the length.
        self.assertAlmostEqual(answer["stress"]["swing_mm"], 0.06 * answer["shape"]["length_mm"], places=12)
        hours = answer["stress"]["hours"]
        self.assertTrue(hours["low"] < hours["best"] < hours["high"])

    def test_a_changed_text_is_taken_and_nothing_is_saved(self):
        text = self.read(BRASS)
        before = {name: os.stat(os.path.join(self.page.folder, "01_three_tongues", name)).st_mtime_ns
                  for name in os.listdir(os.path.join(self.page.folder, "01_three_tongues"))}
        status, answer = self.page.post("pitch", {"subject": {"name": BRASS, "text": text.replace("temperature: 20 degC", "temperature: 30 degC")}})
        self.assertEqual(status, 200, answer)
        self.assertEqual(answer["temperature_degc"], 30)
        after = {name: os.stat(os.path.join(self.page.folder, "01_three_tongues", name)).st_mtime_ns
                 for name in os.listdir(os.path.join(self.page.folder, "01_three_tongues"))}
        self.assertEqual(after, before)

    def test_files_are_listed_with_their_kind(self):
        _, _, body = self.page.ask("GET", "/api/start")
        start = json.loads(body)
        kinds = {one["path"]: one["kind"] for one in start["files"]}
        self.assertEqual(kinds[BRASS], "tongue")
        self.assertEqual(kinds[ORGAN], "design")
        self.assertEqual(kinds[TEN_HOLE], "design")
        self.assertEqual(kinds[READINGS], "readings")
        self.assertEqual(kinds[STOCK], "stock")
        self.assertEqual(kinds["01_three_tongues/measured_brass.yaml"], "stock")
        self.assertIn("cuzn37-r630", start["materials"])
        note = [one.get("note") for one in start["files"] if one["path"] == BRASS]
        self.assertEqual(note, ["A4"])
        self.assertEqual(start["version"], command(".", "--version").stdout.split()[1])

    def test_a_file_is_read_as_it_stands(self):
        status, _, body = self.page.ask("GET", "/api/file?path=" + BRASS)
        self.assertEqual((status, json.loads(body)), (200, {"path": BRASS, "text": self.read(BRASS)}))
        self.assertEqual(self.page.ask("GET", "/api/file?path=nothing.yaml")[0], 404)
        self.assertEqual(self.page.ask("GET", "/api/file")[0], 400)

    def test_every_file_of_the_page_is_served_as_what_it_is(self):
        folder = os.path.join(SOURCE, "app", "page")
        types = {".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8",
                 ".js": "text/javascript; charset=utf-8"}
        served = [name for name in os.listdir(folder) if os.path.splitext(name)[1] in types]
        self.assertIn("index.html", served)
        for name in served:
            status, headers, body = self.page.ask("GET", "/" + name)
            with open(os.path.join(folder, name), "rb") as stream:
                self.assertEqual((status, body), (200, stream.read()), name)
            self.assertEqual(headers["Content-Type"], types[os.path.splitext(name)[1]])
        self.assertEqual(self.page.ask("GET", "/")[2], self.page.ask("GET", "/index.html")[2])

    def test_an_answer_keeps_the_browser_from_mischief(self):
        for path in ("/", "/api/start", "/nothing"):
            _, headers, _ = self.page.ask("GET", path)
            self.assertIn("default-src 'none'", headers["Content-Security-Policy"])
            self.assertIn("frame-ancestors 'none'", headers["Content-Security-Policy"])
            self.assertEqual(headers["X-Content-Type-Options"], "nosniff")
            self.assertEqual(headers["Referrer-Policy"], "no-referrer")
            self.assertEqual(headers["Cache-Control"], "no-store")
            self.assertIsNone(headers["Access-Control-Allow-Origin"])

    def test_saving_keeps_a_file_that_stands_unless_told(self):
        body = {"path": "new.yaml", "text": "note: A4\n"}
        self.assertEqual(self.page.post("save", body), (200, {"path": "new.yaml"}))
        status, answer = self.page.post("save", {**body, "text": "other"})
        self.assertEqual((status, answer["error"]["exit"]), (422, 1))
        self.assertEqual(self.read("new.yaml"), "note: A4\n")
        self.assertEqual(self.page.post("save", {**body, "text": "µ\n", "replace": True})[0], 200)
        self.assertEqual(self.read("new.yaml"), "µ\n")

    def test_a_cut_sheet_comes_as_a_page(self):
        status, headers, body = self.page.ask(
            "POST", "/api/sheet", json.dumps({"subject": {"path": ORGAN}, "second": {"path": READINGS}}),
            {"Content-Type": "application/json"})
        file = os.path.join(self.page.scratch, "sheet.html")
        command(self.page.folder, "retune", ORGAN, READINGS, "--html", file)
        with open(file, "rb") as stream:
            self.assertEqual((status, body), (200, stream.read()))
        self.assertEqual(headers["Content-Type"], "text/html; charset=utf-8")

    def test_sound_and_step_are_those_of_the_command_line(self):
        body = {"subject": {"path": BRASS}}
        status, headers, sound = self.page.ask(
            "POST", "/api/sound", json.dumps({**body, "options": {"pressure": "500Pa"}}),
            {"Content-Type": "application/json"})
        self.assertEqual((status, headers["Content-Type"]), (200, "audio/wav"), sound)
        file = os.path.join(self.page.scratch, "a4.wav")
        command(self.page.folder, "blow", BRASS, "--pressure", "500Pa", "--wav", file)
        with open(file, "rb") as stream:
            self.assertEqual(sound, stream.read())
        status, headers, step = self.page.ask("POST", "/api/step", json.dumps(body),
                                              {"Content-Type": "application/json"})
        self.assertEqual((status, headers["Content-Type"]), (200, "application/step"), step)
        out = os.path.join(self.page.scratch, "out")
        command(self.page.folder, "shop", BRASS, "--out", out)
        with open(os.path.join(out, "reed.step"), "rb") as stream:
            self.assertEqual(step, stream.read())

    def test_nothing_is_left_in_the_temporary_folder(self):
        self.page.post("sheet", {"subject": {"path": "nothing.yaml"}, "second": {"path": READINGS}})
        left = [name for name in os.listdir(tempfile.gettempdir()) if name.startswith("reedwright-page-")]
        mine = [name for name in left if os.stat(os.path.join(tempfile.gettempdir(), name)).st_mtime_ns > self.started]
        self.assertEqual(mine, [])

    def setUp(self):
        self.started = time.time_ns()


class Faults(WithPage):
    def test_a_fault_of_the_file_tells_what_the_command_line_tells_and_where(self):
        text = self.read(BRASS).replace("length: 15 mm", "length: 15 m")
        with open(os.path.join(self.page.folder, "bad.yaml"), "w", encoding="utf-8") as stream:
            stream.write(text)
        wanted = command(self.page.folder, "pitch", "bad.yaml", "--json")
        os.remove(os.path.join(self.page.folder, "bad.yaml"))
        self.assertEqual(wanted.returncode, 1)
        status, answer = self.page.post("pitch", {"subject": {"name": "bad.yaml", "text": text}})
        self.assertEqual(status, 422)
        self.assertEqual(answer["error"]["message"], wanted.stderr.rstrip("\n"))
        fault = answer["error"]["faults"][0]
        place, message = wanted.stderr.split("\n")[0].split(": ", 1)
        self.assertEqual(fault["place"], place)
        self.assertEqual(place, f"bad.yaml:{fault['line']}:{fault['column']}")
        self.assertEqual(f"{fault['key']}: {fault['message']}", message)
        self.assertEqual(fault["source"], text.split("\n")[fault["line"] - 1])

    def test_a_fault_of_an_option_names_it(self):
        status, answer = self.page.post("cut", {"subject": {"path": BRASS}, "options": {"zone": "tip", "depth": "5"}})
        self.assertEqual((status, answer["error"]["faults"][0]["option"]), (422, "--depth"))
        status, answer = self.page.post("load", {"subject": {"path": BRASS}, "options": {"read": "-3c"}})
        self.assertEqual((status, answer["error"]["exit"], answer["error"]["faults"][0]["option"]), (400, 2, "--want"))

    def test_an_unreachable_cut_still_tells_the_best(self):
        options = {"read": "-900c", "want": "A4", "zone": "tip"}
        wanted = command(self.page.folder, "cut", BRASS, "--read", "-900c", "--want", "A4", "--zone", "tip", "--json")
        status, answer = self.page.post("cut", {"subject": {"path": BRASS}, "options": options})
        self.assertEqual((status, wanted.returncode), (422, 1))
        self.assertEqual(answer["result"], json.loads(wanted.stdout))
        self.assertFalse(answer["result"]["reachable"])
        self.assertEqual(answer["error"]["message"], wanted.stderr.rstrip("\n"))

    def test_options_that_write_do_not_exist_here(self):
        for name in ("svg", "html", "csv", "wav", "out", "log", "replace", "json", "threads", "material", "nothing",
                     "read=1c --svg", "--svg", ""):
            status, answer = self.page.post("pitch", {"subject": {"path": BRASS}, "options": {name: "x.svg"}})
            self.assertEqual((status, answer["error"]["exit"]), (400, 2), name)

    def test_a_value_cannot_pass_for_an_option(self):
        for value in ("--svg=x.svg", "-12c --svg=x.svg", "--svg", "--help"):
            status, _ = self.page.post("pitch", {"subject": {"path": BRASS}, "options": {"under": value}})
            self.assertEqual(status, 422, value)
        self.assertFalse(os.path.exists(os.path.join(self.page.folder, "x.svg")))

    def test_bodies_that_are_not_as_agreed_are_refused(self):
        subject = {"path": BRASS}
        for body in ["", "{", "nothing", "[]", "1", '{"subject": NaN}', "[" * 100000, '{"subject":' * 5000,
                     b"\xff\xfe{}", {}, {"subject": 1}, {"subject": {}}, {"subject": {"text": "x"}},
                     {"subject": {"text": 1, "name": "a.yaml"}}, {"subject": {"path": BRASS, "text": "x"}},
                     {"subject": {"path": 7}}, {"subject": subject, "extra": 1}, {"subject": subject, "options": []},
                     {"subject": subject, "options": {"under": 500}}, {"subject": subject, "options": {"under": None}},
                     {"subject": subject, "options": {"under": {"a": 1}}}, {"subject": subject, "options": {"under": ""}},
                     {"subject": subject, "options": {"under": [["500Pa"]]}}, {"subject": subject, "second": subject},
                     {"subject": {"path": "-h.yaml"}}, {"subject": {"path": ""}}, {"subject": {"path": "a\n.yaml"}}]:
            status, answer = self.page.post("pitch", body)
            self.assertEqual((status, answer["error"]["exit"]), (400, 2), str(body)[:80])
        for samples in ("1000001", "1e9", "-1", "x"):
            status, answer = self.page.post("scatter", {"subject": subject, "options": {"samples": samples}})
            self.assertEqual((status, answer["error"]["faults"][0]["option"]), (400, "--samples"))
        self.still_answers()

    def test_a_tongue_of_a_million_stations_is_answered(self):
        many = ", ".join(f"[{i / 1000} mm, 0.1 mm]" for i in range(60001))
        text = f"tongue: {{material: cuzn37-r630, length: 60 mm, width: 2 mm, thickness: [{many}]}}\n"
        status, _ = self.page.post("pitch", {"subject": {"name": "many.yaml", "text": text}})
        self.assertIn(status, (200, 422))
        self.still_answers()


class Borders(WithPage):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        outside = os.path.join(cls.page.scratch, "outside.yaml")
        shutil.copy(os.path.join(cls.page.folder, BRASS), outside)
        shutil.copy(os.path.join(SOURCE, "materials", "cuzn37-r630.yaml"), os.path.join(cls.page.scratch, "alloy.yaml"))
        os.symlink(outside, os.path.join(cls.page.folder, "link.yaml"))
        os.symlink("/dev/zero", os.path.join(cls.page.folder, "zero.yaml"))
        os.symlink(cls.page.scratch, os.path.join(cls.page.folder, "up"))
        os.symlink(os.path.join(cls.page.folder, BRASS), os.path.join(cls.page.folder, "inside.yaml"))
        os.mkfifo(os.path.join(cls.page.folder, "pipe.yaml"))
        with open(os.path.join(cls.page.folder, "secret.txt"), "w", encoding="utf-8") as stream:
            stream.write("secret")
        os.symlink("secret.txt", os.path.join(cls.page.folder, "secret.yaml"))

    OUTSIDE = ["../outside.yaml", "link.yaml", "zero.yaml", "up/outside.yaml", "01_three_tongues/../../outside.yaml",
               "nothing/../../outside.yaml", "/etc/hostname.yaml", "secret.txt", "secret.yaml", "/etc/passwd", ".", ".."]

    def test_files_outside_are_not_read_by_name(self):
        for name in self.OUTSIDE:
            self.assertEqual(self.page.post("pitch", {"subject": {"path": name}})[0], 403, name)
            self.assertEqual(self.page.post("pitch", {"subject": {"name": name, "text": "x"}})[0], 403, name)
            status, _, body = self.page.ask("GET", "/api/file?path=" + name)
            self.assertEqual(status, 403, name)
            self.assertNotIn(b"secret\"", body)
        for encoded in ("..%2foutside.yaml", "%2e%2e/outside.yaml", "..%252foutside.yaml", "%2fetc%2fpasswd",
                        "link%2eyaml", "..%5coutside.yaml", "%00", "a.yaml%00.txt", "%c0%ae%c0%ae/outside.yaml"):
            self.assertIn(self.page.ask("GET", "/api/file?path=" + encoded)[0], (400, 403, 404), encoded)
        for path in ("/../etc/passwd", "/%2e%2e/etc/passwd", "//etc/passwd", "/..%2f..%2fetc/passwd"):
            status, _, body = self.page.ask("GET", path)
            self.assertEqual(status, 404, path)
            self.assertNotIn(b"root:", body)

    def test_a_link_that_stays_inside_is_followed_and_pipes_are_not(self):
        self.assertEqual(self.page.post("pitch", {"subject": {"path": "inside.yaml"}})[0], 200)
        self.assertEqual(self.page.post("pitch", {"subject": {"path": "pipe.yaml"}})[0], 422)
        self.assertEqual(self.page.ask("GET", "/api/file?path=pipe.yaml")[0], 422)

    def test_nothing_is_written_outside(self):
        before = self.read(BRASS)
        for name in self.OUTSIDE + ["up/new.yaml", "../new.yaml", "new.txt", ".profile", "/tmp/new.yaml"]:
            status, _ = self.page.post("save", {"path": name, "text": "x", "replace": True})
            self.assertEqual(status, 403, name)
        self.assertEqual(sorted(os.listdir(self.page.scratch)), ["alloy.yaml", "folder", "outside.yaml"])
        with open(os.path.join(self.page.scratch, "outside.yaml"), encoding="utf-8") as stream:
            self.assertEqual(stream.read(), before)

    def test_a_material_or_lot_outside_is_not_read(self):
        text = self.read(BRASS)
        for alloy in ("../alloy.yaml", "up/alloy.yaml", "/etc/passwd", "../nothing.yaml", "/nowhere/x.yaml"):
            changed = text.replace("material: cuzn37-r630", "material: " + alloy)
            self.assertNotEqual(changed, text)
            status, answer = self.page.post("pitch", {"subject": {"name": "a.yaml", "text": changed}})
            self.assertEqual(status, 422, alloy)
            # The same words whether the file stands or not.
            self.assertIn("lies outside the folder at work", answer["error"]["message"], alloy)
        status, answer = self.page.post("pitch", {"subject": {"path": BRASS}, "options": {"lot": "../outside.yaml"}})
        self.assertEqual(status, 422)
        self.assertIn("lies outside", answer["error"]["message"])


class Strangers(WithPage):
    def post_as(self, headers):
        body = json.dumps({"subject": {"path": BRASS}})
        return self.page.ask("POST", "/api/pitch", body, {"Content-Type": "application/json", **headers})[0]

    def test_only_this_machines_names_are_answered(self):
        port = self.page.port
        for host in ("evil.example", f"evil.example:{port}", "127.0.0.1", "localhost", f"127.0.0.1:{port + 1}",
                     f"127.0.0.1:{port}.evil.example", f"0.0.0.0:{port}", f"[::1]:{port}", "", f"user@127.0.0.1:{port}"):
            self.assertEqual(self.page.ask("GET", "/", headers={"Host": host})[0], 403, host)
            self.assertEqual(self.post_as({"Host": host}), 403, host)
        for host in (f"127.0.0.1:{port}", f"localhost:{port}", f"LOCALHOST:{port}"):
            self.assertEqual(self.page.ask("GET", "/", headers={"Host": host})[0], 200, host)
        self.assertIn(b" 403 ", self.page.raw(b"GET / HTTP/1.1\r\n\r\n"))
        two = self.page.raw(b"GET / HTTP/1.1\r\n" + self.page.host() + b"Host: evil.example\r\n\r\n")
        self.assertIn(b" 403 ", two.split(b"\r\n")[0])

    def test_other_origins_are_refused(self):
        port = self.page.port
        for origin in ("http://evil.example", "null", f"https://127.0.0.1:{port}", "http://127.0.0.1",
                       f"http://localhost:{port}", f"http://127.0.0.1:{port + 1}", "x"):
            self.assertEqual(self.post_as({"Origin": origin}), 403, origin)
        self.assertEqual(self.post_as({"Origin": f"http://127.0.0.1:{port}"}), 200)
        for site in ("cross-site", "same-site", "none", "x"):
            self.assertEqual(self.post_as({"Sec-Fetch-Site": site}), 403, site)
        self.assertEqual(self.post_as({"Sec-Fetch-Site": "same-origin"}), 200)
        self.assertEqual(self.page.ask("GET", "/", headers={"Sec-Fetch-Site": "none"})[0], 200)
        self.assertEqual(self.page.ask("GET", "/api/start", headers={"Sec-Fetch-Site": "cross-site"})[0], 403)

    def test_what_a_form_of_another_site_can_send_is_refused(self):
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""):
            self.assertEqual(self.post_as({"Content-Type": kind}), 415, kind)
        self.assertEqual(self.post_as({"Content-Type": "Application/JSON; charset=utf-8"}), 200)
        self.assertEqual(self.post_as({"Content-Encoding": "gzip"}), 415)

    def test_other_methods_are_refused(self):
        for method in ("PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "PRI"):
            status, headers, _ = self.page.ask(method, "/api/start")
            self.assertIn(status, (400, 405), method)
            self.assertIsNone(headers["Access-Control-Allow-Origin"])
        self.assertEqual(self.page.ask("GET", "/api/pitch")[0], 405)
        self.assertEqual(self.page.ask("POST", "/", "{}", {"Content-Type": "application/json"})[0], 404)
        self.assertEqual(self.page.ask("POST", "/api/nothing", "{}", {"Content-Type": "application/json"})[0], 404)
        status, _, body = self.page.ask("HEAD", "/")
        self.assertEqual((status, body), (200, b""))


class BadManners(WithPage):
    def tearDown(self):
        self.still_answers()

    def head(self, extra):
        return b"POST /api/pitch HTTP/1.1\r\n" + self.page.host() + b"Content-Type: application/json\r\n" + extra

    def status(self, *pieces):
        answer = self.page.raw(*pieces)
        return int(answer.split(b" ")[1]) if answer.startswith(b"HTTP/1.1 ") else None

    def test_bodies_without_an_honest_length_are_refused(self):
        self.assertEqual(self.status(self.head(b"\r\n{}")), 411)
        self.assertEqual(self.status(self.head(b"Transfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n")), 411)
        for length in (b"-1", b"x", b"1e3", b"18446744073709551616", b"5, 5", b"+5", b" "):
            self.assertIn(self.status(self.head(b"Content-Length: " + length + b"\r\n\r\n{}")), (400, 411), length)
        twice = b"Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}"
        self.assertEqual(self.status(self.head(twice)), 411)

    def test_large_bodies_are_refused_before_they_are_read(self):
        self.assertEqual(self.status(self.head(b"Content-Length: 100000000\r\n\r\n"), bytes(100_000_000)), 413)
        self.assertEqual(self.status(self.head(b"Content-Length: 99999999999\r\n\r\n")), 413)

    def test_large_heads_are_refused(self):
        line = b"X-A: " + b"a" * 4000 + b"\r\n"
        self.assertIn(self.status(b"GET / HTTP/1.1\r\n" + self.page.host() + line * 100 + b"\r\n"), (400, 431))
        self.assertIn(self.status(b"GET / HTTP/1.1\r\n" + self.page.host() + b"X: " + b"a" * 5_000_000), (400, 431, None))
        self.assertIn(self.status(b"GET /" + b"a" * 20_000 + b" HTTP/1.1\r\n" + self.page.host() + b"\r\n"),
                      (400, 414, 431))
        self.assertIn(self.status(b"a" * 5_000_000), (400, 414, 431, None))

    def test_junk_is_refused(self):
        chance = random.Random(7)
        for junk in (b"\0" * 100, b"\r\n\r\n", b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"GET  /  HTTP/1.1\r\n\r\n",
                     b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n", b"GET http://evil.example/ HTTP/1.1\r\n\r\n",
                     chance.randbytes(5000) + b"\r\n\r\n"):
            answer = self.page.raw(junk)
            self.assertNotIn(b" 200 ", answer.split(b"\r\n")[0], junk[:40])
        good = b"GET /api/start HTTP/1.1\r\n" + self.page.host() + b"\r\n"
        answer = self.page.raw(good + good + b"junk and more junk\r\n\r\n" + good)
        # The two good ones are answered, the junk is refused, and what comes after it is not looked at.
        self.assertEqual(answer.count(b"HTTP/1.1 200 "), 2)
        self.assertLessEqual(answer.count(b"HTTP/1.1 "), 3)

    def test_what_is_refused_is_not_taken_for_the_next_question(self):
        inner = b"GET /api/start HTTP/1.1\r\n" + self.page.host() + b"\r\n"
        length = b"Content-Length: %d\r\n\r\n" % len(inner)
        for head in (self.head(b"Content-Encoding: gzip\r\n" + length),
                     b"GET / HTTP/1.1\r\n" + self.page.host() + length,
                     self.head(b"Transfer-Encoding: chunked\r\n" + length)):
            answer = self.page.raw(head + inner)
            self.assertEqual(answer.count(b"HTTP/1.1 "), 1, head)
            self.assertNotIn(b" 200 ", answer.split(b"\r\n")[0], head)

    def test_parts_and_pressed_answers_are_not_made(self):
        ranges = "bytes=" + ",".join(["0-"] * 1000)
        status, headers, body = self.page.ask("GET", "/", headers={"Range": ranges, "Accept-Encoding": "gzip, br"})
        self.assertEqual((status, body), (200, self.page.ask("GET", "/")[2]))
        self.assertIsNone(headers["Content-Encoding"])

    def test_a_slow_client_is_told_so_and_let_go(self):
        # A byte every two seconds: never silent long enough for a limit on silence alone.
        slow = [bytes([byte]) for byte in b"GET / HTTP/1.1\r\nX-Slow: aaaaaaaaaaaa"]
        with socket.create_connection(("127.0.0.1", self.page.port), timeout=PATIENCE_S) as connection:
            answer = b""
            for byte in slow:
                try:
                    connection.sendall(byte)
                    connection.settimeout(2)
                    answer = connection.recv(1000)
                    break
                except socket.timeout:
                    continue
                except OSError:
                    break
            self.assertIn(b" 408 ", answer)
        self.assertEqual(self.status(b"GET / HTTP/1.1\r\n" + self.page.host()), 408)

    def test_bodies_have_a_time_and_a_size_in_all(self):
        head = (b"POST /api/listen HTTP/1.1\r\n" + self.page.host() +
                b"Content-Type: audio/wav\r\nContent-Length: 32000000\r\n\r\n")
        slow = [socket.create_connection(("127.0.0.1", self.page.port), timeout=PATIENCE_S) for _ in range(4)]
        try:
            # Four of 32 MB are let in, 128 MiB in all; a fifth is not, until the others' 30 s are over.
            for connection in slow:
                connection.sendall(head + b"RIFF")
            time.sleep(1)
            self.assertEqual(self.status(head), 503)
            for connection in slow:
                self.assertIn(b" 408 ", connection.recv(1000).split(b"\r\n")[0])
        finally:
            for connection in slow:
                connection.close()
        time.sleep(1)
        self.assertEqual(self.status(head + bytes(32_000_000)), 422)

    def test_a_crowd_of_silent_and_slow_clients_does_not_shut_others_out(self):
        crowd = []
        try:
            for number in range(300):
                connection = socket.create_connection(("127.0.0.1", self.page.port), timeout=PATIENCE_S)
                if number % 2:
                    connection.sendall(b"GET / HTTP/1.1\r\n")
                crowd.append(connection)
            self.still_answers()
        finally:
            for connection in crowd:
                connection.close()

    def test_clients_that_leave_early_do_no_harm(self):
        body = json.dumps({"subject": {"path": BRASS}}).encode()
        for _ in range(50):
            connection = socket.create_connection(("127.0.0.1", self.page.port))
            connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
            connection.sendall(self.head(b"Content-Length: %d\r\n\r\n" % len(body)) + body)
            connection.close()


def tone(pitch_hz, rate_hz, seconds, seed):
    """A reed-like tone: harmonics falling as 1 / n, and noise 40 dB below the fundamental."""
    chance = random.Random(seed)
    count = int(rate_hz * seconds)
    return array.array("f", (
        sum(0.3 / n * math.sin(2 * math.pi * n * pitch_hz * i / rate_hz + n) for n in range(1, 6)) +
        chance.gauss(0, 0.003 / math.sqrt(2)) for i in range(count)))


class Listening(WithPage):
    def hear(self, body, kind, query=""):
        status, _, answer = self.page.ask("POST", "/api/listen" + query, body, {"Content-Type": kind})
        return status, json.loads(answer)

    def test_samples_are_heard_within_a_fifth_of_a_cent(self):
        # The agreed 0.2 cent; the phases of a tone 40 dB above the noise allow a hundredth of it.
        for pitch_hz, rate_hz in ((196.31, 48000), (440.0, 44100), (661.7, 48000), (1318.9, 48000)):
            samples = tone(pitch_hz, rate_hz, 1.5, seed=int(pitch_hz))
            status, answer = self.hear(samples.tobytes(), "application/octet-stream", f"?rate={rate_hz}")
            self.assertEqual(status, 200, answer)
            off_cents = 1200 * math.log2(answer["pitch_hz"] / pitch_hz)
            self.assertLess(abs(off_cents), 0.2, pitch_hz)
            self.assertLess(answer["uncertainty_cents"], 0.2, pitch_hz)

    def test_a_sound_file_is_heard_as_on_the_command_line(self):
        file = os.path.join(self.page.folder, "a4.wav")
        self.assertEqual(command(self.page.folder, "blow", BRASS, "--pressure", "500Pa", "--wav", file).returncode, 0)
        with open(file, "rb") as stream:
            status, answer = self.hear(stream.read(), "audio/wav", "?a4=442Hz")
        wanted = command(self.page.folder, "listen", "a4.wav", "--a4", "442Hz", "--json")
        self.assertEqual((status, answer), (200, json.loads(wanted.stdout)))

    def test_what_is_no_sound_is_refused(self):
        silence = bytes(4 * 48000)
        nonsense = array.array("f", [math.nan] * 48000).tobytes()
        for body, kind, query, wanted in (
                (b"junk", "audio/wav", "", 422), (b"", "audio/wav", "", 422), (silence, "application/octet-stream",
                "?rate=48000", 422), (nonsense, "application/octet-stream", "?rate=48000", 422),
                (b"abc", "application/octet-stream", "?rate=48000", 400), (silence, "application/octet-stream", "", 400),
                (silence, "application/octet-stream", "?rate=-1", 400), (silence, "application/octet-stream",
                "?rate=999999", 400), (silence, "application/json", "", 415), (bytes(33_000_000), "audio/wav", "", 413),
                (bytes(4 * 4000 * 61), "application/octet-stream", "?rate=4000", 422)):
            status, answer = self.hear(body, kind, query)
            self.assertEqual((status, bool(answer["error"]["message"])), (wanted, True), (kind, query, len(body)))
        self.still_answers()


class Starting(unittest.TestCase):
    def test_a_signal_ends_it_well(self):
        for ending in (signal.SIGINT, signal.SIGTERM):
            page = Page()
            idle = socket.create_connection(("127.0.0.1", page.port))
            page.process.send_signal(ending)
            self.assertEqual(page.process.wait(PATIENCE_S), 0)
            idle.close()
            page.end()

    def test_a_signal_does_not_wait_for_work_that_has_not_begun(self):
        page = Page()
        answers = []
        body = {"subject": {"path": TEN_HOLE}, "options": {"samples": "1000000"}}
        asking = [threading.Thread(target=lambda: answers.append(page.post("scatter", body))) for _ in range(4)]
        for one in asking:
            one.start()
        time.sleep(0.5)  # all four have asked, and the first, which takes seconds, is at work
        page.process.send_signal(signal.SIGINT)
        self.assertEqual(page.process.wait(PATIENCE_S), 0)
        for one in asking:
            one.join()
        # One at a time: the one under way is answered, the others are told to ask no more.
        self.assertEqual(sorted(status for status, _ in answers), [200, 503, 503, 503])
        page.end()

    def test_a_second_signal_ends_it_at_once(self):
        page = Page()

        def ask():
            try:
                page.post("scatter", {"subject": {"path": TEN_HOLE}, "options": {"samples": "1000000"}})
                left.append("answered")
            except (OSError, http.client.HTTPException):
                left.append("gone")

        left = []
        asking = threading.Thread(target=ask)
        asking.start()
        time.sleep(0.5)
        page.process.send_signal(signal.SIGINT)
        time.sleep(0.3)
        page.process.send_signal(signal.SIGINT)
        self.assertEqual(page.process.wait(PATIENCE_S), -signal.SIGINT)
        asking.join()
        self.assertEqual(left, ["gone"])
        page.end()

    def test_a_port_in_use_is_an_error(self):
        page = Page()
        try:
            second = command(page.folder, "page", "--port", str(page.port))
            self.assertEqual((second.returncode, second.stdout), (1, ""))
            self.assertEqual(second.stderr, f"--port: port {page.port} is in use; leave it out, and a free one is taken\n")
        finally:
            self.assertEqual(page.end(), 0)

    def test_it_listens_on_this_machine_alone(self):
        page = Page()
        try:
            with open("/proc/net/tcp", encoding="ascii") as stream:
                places = [line.split()[1] for line in stream.readlines()[1:] if line.split()[3] == "0A"]
            mine = [place for place in places if place.endswith(f":{page.port:04X}")]
            self.assertEqual(mine, [f"0100007F:{page.port:04X}"])
        finally:
            page.end()

    def test_a_folder_that_is_none_is_an_error(self):
        for folder, message in (("nothing", "nothing: is no folder; name the folder of your files\n"),):
            ended = command(SOURCE, "page", folder)
            self.assertEqual((ended.returncode, ended.stdout, ended.stderr), (1, "", message))
        self.assertEqual(command(SOURCE, "page", "--port", "70000").returncode, 2)
        self.assertIn("Example:", command(SOURCE, "page", "--help").stdout)


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
