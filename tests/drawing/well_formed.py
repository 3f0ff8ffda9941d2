"""Every SVG sheet of the samples is well formed, and all its drawing lies in it: python3 well_formed.py WRITE_SAMPLES"""
import glob
import os
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

SVG = "{http://www.w3.org/2000/svg}"

with tempfile.TemporaryDirectory() as folder:
    subprocess.run([sys.argv[1], folder], check=True)
    files = sorted(glob.glob(os.path.join(folder, "*.svg")))
    slots = set()
    for name in files:
        root = xml.etree.ElementTree.parse(name).getroot()
        assert root.tag == SVG + "svg", name
        assert root.find(SVG + "title") is not None, name
        words = [text.text for text in root.iter(SVG + "text")]
        assert "Design" in words, name
        slots |= {word for word in words if word.count(" ") == 2 and word.split()[1] in ("blow", "draw", "push", "pull")}
    # Twenty slots of the club's mouth organ and twenty-four of the plates of cells.
    assert len(slots) == 44, sorted(slots)
    assert len(files) > 10
    print(f"{len(files)} sheets, {len(slots)} slots")
