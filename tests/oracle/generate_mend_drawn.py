"""Writes mend_drawn.json beside it: small drawn cases, mended by scipy from formulas written down here once more.

    python -m venv venv && venv/bin/pip install scipy numpy
    venv/bin/python tests/oracle/generate_mend_drawn.py

Each case has a few levers with what a millimetre costs, how far each goes, and what has to hold, as functions of the
shifts. Asked for is what mending promises: the dearest levers are held fast first, each that can be spared, and of what
is left the sum of the squares of the costs is least. Everything starts from examples/sound_indirect.loft.ron, as
tests/mend/small.rs changes it. SLSQP searches; from several beginnings, so that no kink holds it up.
"""

import json
import math
from importlib.metadata import version
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

HERE = Path(__file__).parent

# As drawn, mm.
BASE, WATER_LINE, LENGTH, WIDTH, HEIGHT, LEFT = 5278, 410, 914, 610, 584, 1500
CYLINDER, CYLINDER_TOP = 2700, 3600
CREST = 6000
WARNING, BORE_22 = 450, 20.2
BOARD, BEARERS = 18, 100
TUBE_UNDER_ROOF = 20


def roof(x):
    return 5160 + (x + 400) * (8432 - 5160) / 3900


def vent(crest, base, line, cylinder):
    """How far the top of the vent clears 150 mm and 40 mm per metre of head."""
    water = base + line
    return crest - water - 150 - 0.04 * (water - cylinder)


def litres(line):
    return LENGTH * WIDTH * line / 1e6


def invert(warning):
    return WARNING + warning - BORE_22 / 2


def low_vent(roof_mm, least_litres):
    return {
        "levers": [("vent up", 1.0, -3000, 3000), ("water line up", 3.0, 20 - WATER_LINE, HEIGHT - 20 - WATER_LINE)],
        "holds": [
            lambda x: vent(CREST - 120 + x[0], BASE, WATER_LINE + x[1], CYLINDER),
            lambda x: litres(WATER_LINE + x[1]) - least_litres,
            lambda x: roof_mm - TUBE_UNDER_ROOF - (CREST - 120 + x[0]),
        ],
    }


CASES = {
    "a low vent": low_vent(9000, 200),
    "a low vent near the roof": low_vent(CREST - 120 + TUBE_UNDER_ROOF + 72, 200),
    "a low vent nearer the roof": low_vent(CREST - 120 + TUBE_UNDER_ROOF + 40, 195),
    "a cylinder near its cistern": {
        "levers": [("cylinder platform up", 40.0, -2000, 2000), ("cistern platform up", 25.0, -2000, 2000)],
        "holds": [
            lambda x: (BASE + x[1]) - (CYLINDER_TOP + x[0]) - 1728,
            lambda x: vent(CREST, BASE + x[1], WATER_LINE, CYLINDER + x[0]),
            lambda x: CYLINDER + x[0] - BOARD - 2637,
        ],
    },
    "a float valve in the overflow": {
        "levers": [
            ("water line up", 3.0, 20 - 425, HEIGHT - 20 - 425),
            ("float valve up", 4.0, 20 - 445, HEIGHT - 20 - 445),
            ("warning pipe up", 5.0, 20 - WARNING, HEIGHT - 20 - WARNING),
        ],
        "holds": [
            lambda x: invert(x[2]) - (425 + x[0]) - 25,
            lambda x: (455 + x[1]) - invert(x[2]) - 25,
            lambda x: litres(425 + x[0]) - 233.5,
        ],
    },
    "a cistern under the slope": {
        "levers": [("cistern platform right", 25.0, -2000, 2000), ("cistern platform up", 25.0, -2000, 2000)],
        "holds": [
            lambda x: roof(LEFT + x[0]) - (BASE + HEIGHT + x[1]) - 950,
            # The open end of the vent stays over the cistern, and the platform over the joists.
            lambda x: 1540 - (LEFT + x[0]),
            lambda x: BASE + x[1] - BOARD - BEARERS - 5120,
        ],
    },
}


def least(case, free):
    """The least shifts of the free levers, and whether they hold."""
    levers = case["levers"]
    bounds = [(low, high) if is_free else (0, 0) for (_, _, low, high), is_free in zip(levers, free)]
    costs = np.array([cost for _, cost, _, _ in levers])
    best = None
    for start in (-60.0, 0.0, 60.0):
        x0 = np.array([min(max(start, low), high) for low, high in bounds])
        answer = minimize(
            lambda x: np.sum((costs * x) ** 2) / 1e3,
            x0,
            bounds=bounds,
            constraints=[{"type": "ineq", "fun": hold} for hold in case["holds"]],
            method="SLSQP",
            options={"ftol": 1e-14, "maxiter": 1000},
        )
        holds = min(hold(answer.x) for hold in case["holds"]) > -1e-6
        if holds and (best is None or answer.fun < best.fun):
            best = answer
    return None if best is None else best.x


def mended(case):
    levers = case["levers"]
    free = [True] * len(levers)
    x = least(case, free)
    assert x is not None, "it can be mended"
    # The dearest first; of those that cost alike the later in the list of levers.
    for number in sorted(range(len(levers)), key=lambda number: (-levers[number][1], -number)):
        fewer = free.copy()
        fewer[number] = False
        less = least(case, fewer)
        if less is not None:
            free, x = fewer, less
    return x


def main():
    cases = []
    for name, case in CASES.items():
        x = mended(case)
        cost = math.sqrt(sum((cost * by) ** 2 for (_, cost, _, _), by in zip(case["levers"], x)))
        shifts = {lever: round(float(by), 4) + 0.0 for (lever, _, _, _), by in zip(case["levers"], x)}
        cases.append({"name": name, "cost": round(cost, 4), "shifts": shifts})
        print(name, cases[-1])
    libraries = f"scipy {version('scipy')}, numpy {version('numpy')}"
    text = json.dumps({"made with": libraries, "cases": cases}, indent=1)
    (HERE / "mend_drawn.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
