"""Reads the cutting files with ezdxf, which shares no code with their writer: python3 read_back.py WRITE_SAMPLES

Areas are reckoned from the polylines' bulges exactly: a chord c with bulge b belongs to an arc of angle
t = 4 atan b and radius c (1 + b^2) / (4 b), which adds r^2 (t - sin t) / 2.
"""
import csv
import math
import os
import subprocess
import sys
import tempfile

import ezdxf

LAYERS = {"OUTLINE", "SLOTS", "HOLES", "NOTES"}
failures = []


def expect(condition, message):
    if not condition:
        failures.append(message)


def polyline(entity):
    """Area, perimeter and bounding points of a closed polyline."""
    expect(entity.closed, "a polyline is open")
    points = list(entity.get_points("xyb"))
    area = perimeter = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        area += 0.5 * (x0 * y1 - x1 * y0)
        chord = math.hypot(x1 - x0, y1 - y0)
        if bulge == 0.0:
            perimeter += chord
            continue
        angle = 4.0 * math.atan(bulge)
        radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge)
        area += 0.5 * radius * radius * (angle - math.sin(angle))
        perimeter += abs(radius * angle)
    return area, perimeter, [(x, y) for x, y, _ in points]


def load(name):
    document = ezdxf.readfile(name)
    audit = document.audit()
    expect(not audit.errors, f"{name}: errors {[e.message for e in audit.errors]}")
    expect(not audit.fixes, f"{name}: needed fixes {[e.message for e in audit.fixes]}")
    expect(document.dxfversion == "AC1015", f"{name}: version {document.dxfversion}")
    expect(document.header["$INSUNITS"] == 4, f"{name}: units {document.header['$INSUNITS']}")
    names = {layer.dxf.name for layer in document.layers}
    expect(names == LAYERS | {"0", "Defpoints"} or names == LAYERS | {"0"}, f"{name}: layers {names}")
    handles = []
    with open(name, encoding="ascii") as file:  # all of it is ASCII
        lines = [line.rstrip("\n") for line in file]
    for code, value in zip(lines[0::2], lines[1::2]):
        if code.strip() in ("5", "105") and value.strip() not in ("",):
            handles.append(value.strip())
    seed = handles.pop(0)  # $HANDSEED stands in the header
    expect(len(handles) == len(set(handles)), f"{name}: handles are used twice")
    expect(all(int(h, 16) < int(seed, 16) for h in handles), f"{name}: a handle beyond the seed")
    space = document.modelspace()
    paths = {layer: [] for layer in LAYERS}
    for entity in space.query("LWPOLYLINE"):
        paths[entity.dxf.layer].append(polyline(entity))
    circles = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query("CIRCLE")]
    expect(all(c.dxf.layer == "HOLES" for c in space.query("CIRCLE")), f"{name}: a circle that is no hole")
    texts = list(space.query("TEXT"))
    expect(texts and all(t.dxf.layer == "NOTES" for t in texts), f"{name}: notes")
    expect(len(space) == sum(map(len, paths.values())) + len(circles) + len(texts), f"{name}: other entities")
    return paths, circles


def part(folder, name, volume, thickness, half_cut, openings, holes):
    paths, circles = load(os.path.join(folder, name + ".dxf"))
    expect(len(paths["OUTLINE"]) == 1, f"{name}: outlines")
    expect(len(paths["SLOTS"]) == openings, f"{name}: {len(paths['SLOTS'])} slots, not {openings}")
    expect(len(circles) == holes, f"{name}: {len(circles)} holes, not {holes}")
    expect(all(area > 0.0 for area, _, _ in paths["OUTLINE"] + paths["SLOTS"]), f"{name}: runs clockwise")
    outline = paths["OUTLINE"][0][0]
    slots = sum(area for area, _, _ in paths["SLOTS"])
    if half_cut == 0.0:
        drilled = sum(math.pi * r * r for _, _, r in circles)
        got = (outline - slots - drilled) * thickness
        expect(abs(got - volume) <= 1e-6 * volume, f"{name}: {got} mm3, not {volume}")
        return outline, slots, circles
    return outline, slots, circles


def aside(folder, name, row, plain):
    """A rounded convex outline moved outward by s gains perimeter s + pi s^2."""
    outline, slots, circles = part(folder, name, *row)
    half = row[2]
    paths, _ = load(os.path.join(folder, name.replace("_aside", "") + ".dxf"))
    _, perimeter, _ = paths["OUTLINE"][0]
    grown = plain[0] + perimeter * half + math.pi * half * half
    expect(abs(outline - grown) < 1e-6 * grown, f"{name}: outline {outline}, not {grown}")
    # Inward, slots whose corners are at least as round lose perimeter s - pi s^2.
    shrunk = sum(a - p * half + math.pi * half * half for a, p, _ in paths["SLOTS"])
    expect(abs(slots - shrunk) < 1e-6 * shrunk, f"{name}: slots {slots}, not {shrunk}")
    for (x, y, r), (x0, y0, r0) in zip(circles, plain[2]):
        expect((x, y) == (x0, y0) and abs(r - (r0 - half)) < 1e-8, f"{name}: a hole of {r}, not {r0 - half}")


def nest(folder, name, count, width, gap, used):
    paths, _ = load(os.path.join(folder, name + ".dxf"))
    expect(len(paths["OUTLINE"]) == count, f"{name}: blanks")
    boxes = []
    for _, _, points in paths["OUTLINE"]:
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    for i, a in enumerate(boxes):
        expect(a[0] > 0 and a[1] > 0 and a[2] < used and a[3] < width, f"{name}: blank {i} leaves the strip")
        for j, b in enumerate(boxes[:i]):
            apart = a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]
            expect(apart, f"{name}: blanks {i} and {j} overlap")
    expect(gap > 0, name)


def main():
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.argv[1], folder], check=True)
        with open(os.path.join(folder, "list.csv"), encoding="utf-8") as file:
            rows = list(csv.reader(file))
        plain = {}
        for kind, name, *numbers in rows:
            values = [float(n) for n in numbers]
            if kind == "nest":
                nest(folder, name, int(values[0]), *values[1:])
            elif values[2] == 0.0:
                plain[name] = part(folder, name, values[0], values[1], 0.0, int(values[3]), int(values[4]))
            else:
                row = (values[0], values[1], values[2], int(values[3]), int(values[4]))
                aside(folder, name, row, plain[name.replace("_aside", "")])
    for failure in failures:
        print(failure)
    print(f"{len(rows)} files, {len(failures)} failures")
    sys.exit(1 if failures or not rows else 0)


main()
