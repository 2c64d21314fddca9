"""Reads drawings in DXF back with ezdxf, and a line of a PDF with pdftocairo, and measures what is known of them.

Usage: python read_sheets.py FOLDER, with ezdxf 1.4.5; the folder is filled by .ci/sheets.
"""

import re
import subprocess
import sys
from pathlib import Path

import ezdxf

OUT = Path(sys.argv[1])
# Lengths of the first cistern, and base to rim and to the water line, as examples/*.loft.ron have them.
KNOWN = {"sound_indirect": {"level": 914.0, "upright": {584.0, 410.0}}}


def read(example):
    doc = ezdxf.readfile(OUT / f"{example}.dxf")
    auditor = doc.audit()
    assert not auditor.has_errors, auditor.errors
    assert doc.dxfversion == "AC1009", doc.dxfversion
    space = doc.modelspace()
    dimensions = space.query("DIMENSION")
    assert len(dimensions) > 4, f"{example}: {len(dimensions)} dimensions"
    level, upright = set(), set()
    for dimension in dimensions:
        block = doc.blocks.get(dimension.dxf.geometry)
        assert block is not None and len(block) > 3, f"{example}: a dimension without its block"
        measured = round(dimension.get_measurement(), 3)
        (upright if dimension.dxf.angle == 90 else level).add(measured)
        if dimension.dxf.layer != "DIMENSIONS":
            assert dimension.dxf.layer == "MARKS" and dimension.dxf.text, dimension.dxf.layer
            continue
        # The words in the block are the length that the reader measures.
        words = [entity.dxf.text for entity in block if entity.dxftype() == "TEXT"]
        assert len(words) == 1 and abs(float(words[0]) - measured) < 0.06, f"{example}: {words}, measured {measured}"
    known = KNOWN.get(example)
    if known:
        assert known["level"] in level, f"{example}: {sorted(level)}"
        assert known["upright"] <= upright, f"{example}: {sorted(upright)}"
    layers = {entity.dxf.layer for entity in space}
    for layer in ["BUILDING", "VESSELS", "DIMENSIONS", "PIPES-COLD"]:
        assert layer in layers, f"{example}: nothing on {layer}"
    return len(dimensions)


def side_in_pdf(example, scale, length_mm):
    """The longest level side of a closed four-cornered path of the wanted length, in millimetres of paper."""
    svg = OUT / f"{example}-first.svg"
    subprocess.run(["pdftocairo", "-svg", "-f", "1", "-l", "1", OUT / f"{example}-50.pdf", svg], check=True)
    text = svg.read_text()
    wanted = length_mm / scale
    nearest = None
    pattern = re.compile(r'd="([^"]*)"[^>]*?(?:transform="matrix\(([^)]*)\)")?[^>]*?/>')
    for path, matrix in pattern.findall(text):
        zoom = float(re.split("[ ,]+", matrix.strip())[0]) if matrix else 1.0
        numbers = [float(number) for number in re.findall(r"-?\d+\.?\d*", path)]
        points = list(zip(numbers[::2], numbers[1::2]))
        for (x0, y0), (x1, y1) in zip(points, points[1:]):
            if abs(y0 - y1) < 1e-3:
                mm = abs(x1 - x0) * abs(zoom) / 72 * 25.4
                if nearest is None or abs(mm - wanted) < abs(nearest - wanted):
                    nearest = mm
    assert nearest is not None and abs(nearest - wanted) < 0.01, f"{example}: {nearest} mm, wanted {wanted}"
    return nearest


if __name__ == "__main__":
    for name in ["sound_indirect", "low_loft", "half_described"]:
        print(f"{name}.dxf: {read(name)} dimensions measured")
    print(f"sound_indirect-50.pdf: 914 mm are {side_in_pdf('sound_indirect', 50, 914.0):.3f} mm at 1:50")
