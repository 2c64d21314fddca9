"""Writes the timber fixtures beside it: beams and strips by frame finite elements, ceiling-joist spans by bisection.

    python -m venv venv && venv/bin/pip install PyNiteFEA==3.2.0 scipy
    venv/bin/python tests/oracle/generate_timber.py
"""

import csv
import random
from importlib.metadata import version
from pathlib import Path

from Pynite import FEModel3D
from scipy.optimize import brentq

HERE = Path(__file__).parent
E, G = 8.0e9, 5.0e8


def write(name, libraries, header, rows):
    with (HERE / name).open("w", newline="", encoding="utf-8") as file:
        file.write("# " + ", ".join(f"{library} {version(library)}" for library in libraries) + "\n")
        table = csv.writer(file, lineterminator="\n")
        table.writerow(header)
        table.writerows(rows)


def solved(supports, points, spreads, ends, breadth=0.047, depth=0.145):
    """A continuous beam on supports (m), with loads down (m, N; m, m, N/m): a model with a node at each support and end."""
    model = FEModel3D()
    model.add_material("timber", E, G, 0.3, 350)
    model.add_section("section", breadth * depth, depth * breadth**3 / 12, breadth * depth**3 / 12, 1e-6)
    places = sorted({*supports, *ends})
    for number, x in enumerate(places):
        model.add_node(f"N{number}", x, 0, 0)
        held = x in supports
        model.def_support(f"N{number}", number == 0, held, True, True, True, False)
    for number, (left, right) in enumerate(zip(places, places[1:])):
        name = f"M{number}"
        model.add_member(name, f"N{number}", f"N{number + 1}", "timber", "section")
        last = number == len(places) - 2
        for at, force in points:
            if left <= at < right or (last and at == right):
                model.add_member_pt_load(name, "Fy", -force, at - left)
        for start, stop, force in spreads:
            low, high = max(start, left), min(stop, right)
            if high > low:
                model.add_member_dist_load(name, "Fy", -force, -force, low - left, high - left)
    model.analyze_linear()
    reactions = [model.nodes[f"N{places.index(x)}"].RxnFY["Combo 1"] for x in supports]
    moments, deflections = [], []
    for number, (left, right) in enumerate(zip(places, places[1:])):
        member = model.members[f"M{number}"]
        # PyNite's moment is negative where the beam sags.
        moments += [member.max_moment("Mz"), member.min_moment("Mz")]
        if left in supports and right in supports:
            cuts = 2000
            deflections += [-member.deflection("dy", (right - left) * cut / cuts) for cut in range(cuts + 1)]
    return reactions, max(abs(moment) for moment in moments), max(deflections)


def beams():
    random.seed(1)
    rows = []
    for number in range(40):
        count = random.choice([2, 2, 3, 4, 5])
        supports = [0.0]
        for _ in range(count - 1):
            supports.append(round(supports[-1] + random.uniform(0.4, 3.0), 3))
        out = [0.0, 0.0] if number % 3 else [round(random.uniform(0.02, 0.1), 3) for _ in range(2)]
        ends = [round(supports[0] - out[0], 3), round(supports[-1] + out[1], 3)]
        points, spreads = [], []
        for _ in range(random.randint(0, 3)):
            points.append((round(random.uniform(*ends), 3), round(random.uniform(200, 1500), 1)))
        for _ in range(random.randint(1, 3)):
            start, stop = sorted(round(random.uniform(*ends), 3) for _ in range(2))
            spreads.append((start, stop, round(random.uniform(100, 2500), 1)))
        # All over the beam, so that every support is pressed.
        spreads.append((*ends, 2000.0))
        reactions, moment, deflection = solved(supports, points, spreads, ends)
        if min(reactions) < 0:
            continue
        joined = lambda items: " ".join(":".join(str(part) for part in item) for item in items)
        rows.append(
            [
                " ".join(map(str, supports)),
                joined(points),
                joined(spreads),
                " ".join(f"{force:.6f}" for force in reactions),
                f"{moment:.6f}",
                f"{deflection * 1000:.8f}",
            ]
        )
    header = ["supports_m", "points_m_n", "spreads_m_m_n", "reactions_n", "moment_n_m", "bent_mm"]
    write("timber_beams.csv", ["PyNiteFEA"], header, rows)


def ceiling_joists():
    """Spans at which a joist sags 0.003 of its span: (0.25 + 0.25) kN/m² and itself, and 0.9 kN in the middle."""
    stiffness = 8.8e9
    rows = []
    for breadth in (0.038, 0.047):
        for depth in (0.072, 0.097, 0.122, 0.147, 0.17):
            for spacing in (0.4, 0.45, 0.6):
                bending = stiffness * breadth * depth**3 / 12
                shear = stiffness / 16 * breadth * depth / 1.2
                even = 500 * spacing + 370 * 9.80665 * breadth * depth

                def excess(span):
                    moment = even * span**2 / 8 + 900 * span / 4
                    sag = 5 * even * span**4 / (384 * bending) + 900 * span**3 / (48 * bending) + moment / shear
                    return sag - 0.003 * span

                rows.append([breadth * 1000, depth * 1000, spacing * 1000, f"{brentq(excess, 0.2, 8) * 1000:.4f}"])
    write("timber_ceiling_joists.csv", ["scipy"], ["breadth_mm", "depth_mm", "spacing_mm", "span_mm"], rows)


def worked():
    """The worked cases: a joist of 47 × 145 mm and C16 under a cistern at its thirds, and plywood of 18 mm and E 4000 a
    metre wide over one span and over three; design values of the joist by the formulas of EN 1995-1-1."""
    rows = []

    def case(name, breadth, depth, stiffness, supports, points, spreads):
        reactions, moment, deflection = solved(supports, points, spreads, (supports[0], supports[-1]), breadth, depth)
        bent = deflection * E / stiffness * 1000
        stress = moment / (breadth * depth**2 / 6) / 1e6
        rows.append([name, " ".join(f"{force:.4f}" for force in reactions), f"{moment:.5f}", f"{bent:.5f}", f"{stress:.5f}"])

    case("joist", 0.047, 0.145, 8e9, [0.0, 3.0], [(1.0, 900.0), (2.0, 900.0)], [(0.0, 3.0, 150.0)])
    for span in (0.35, 0.4, 0.6):
        for spans in (1, 3):
            supports = [span * number for number in range(spans + 1)]
            case(f"ply {span} {spans}", 1.0, 0.018, 4e9, supports, [], [(0.0, supports[-1], 6000.0)])
    write("timber_worked.csv", ["PyNiteFEA"], ["case", "reactions_n", "moment_n_m", "bent_mm", "stress_mpa"], rows)
    modulus = 0.047 * 0.145**2 / 6
    depth_factor = (150 / 145) ** 0.2
    rows = []
    for name, dead, tank, k_mod in (("permanent", 1.35, 1.35, 0.6), ("long-term", 1.35, 1.5, 0.7)):
        moment = dead * 150 * 9 / 8 + tank * 900
        shear = dead * 150 * 1.5 + tank * 900
        bending = moment / modulus / 1e6
        bending_design = k_mod * 1.1 * depth_factor * 16 / 1.3
        across = 1.5 * shear / (0.67 * 0.047 * 0.145) / 1e6
        across_design = k_mod * 1.1 * 3.2 / 1.3
        numbers = (moment, bending, bending_design, bending / bending_design, across / across_design)
        rows.append([name, *(f"{number:.6f}" for number in numbers)])
    header = ["cistern", "moment_n_m", "stress_mpa", "design_mpa", "bending_share", "shear_share"]
    write("timber_design.csv", [], header, rows)


if __name__ == "__main__":
    beams()
    worked()
    ceiling_joists()
