"""Writes the fixtures beside it: values from reference libraries, each with its version.

    python -m venv venv && venv/bin/pip install CoolProp==8.0.0 iapws==1.5.5 fluids==1.3.1 scipy==1.17.1 numpy==2.4.6
    venv/bin/python tests/oracle/generate.py
"""

import csv
import json
import math
from importlib.metadata import version
from pathlib import Path

from CoolProp.CoolProp import PropsSI
from fluids.friction import Colebrook
from iapws._iapws import _Liquid

import levels
import network

HERE = Path(__file__).parent
PINNED = {"CoolProp": "8.0.0", "iapws": "1.5.5", "fluids": "1.3.1", "scipy": "1.17.1", "numpy": "2.4.6"}
COPPER_ROUGHNESS_M = 1.5e-6
BORES_MM = {15: 13.6, 22: 20.2, 28: 26.2}
FLOWS_KG_S = [0.005, 0.01, 0.02, 0.03, 0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.5, 0.75, 1.0]


def write(name, libraries, header, rows):
    with (HERE / name).open("w", newline="", encoding="utf-8") as file:
        file.write("# " + ", ".join(f"{library} {version(library)}" for library in libraries) + "\n")
        table = csv.writer(file, lineterminator="\n")
        table.writerow(header)
        table.writerows(rows)


def water_properties():
    rows = []
    for celsius in range(0, 101, 5):
        water = _Liquid(celsius + 273.15)
        rows.append(
            [
                celsius,
                f"{water['rho']:.6f}",
                f"{water['cp'] * 1000:.4f}",
                f"{water['mu']:.9e}",
                f"{water['k']:.8f}",
                f"{PropsSI('D', 'T', max(celsius, 0.01) + 273.15, 'P', 101420, 'Water'):.4f}",
            ]
        )
    header = ["celsius", "density_kg_m3", "heat_j_kg_k", "viscosity_pa_s", "conductivity_w_m_k", "coolprop_kg_m3"]
    write("water_properties.csv", ["iapws", "CoolProp"], header, rows)


def pipe_friction():
    rows = []
    for celsius in (10, 60):
        water = _Liquid(celsius + 273.15)
        for size, bore_mm in BORES_MM.items():
            bore = bore_mm / 1000
            for flow in FLOWS_KG_S:
                velocity = 4 * flow / (water["rho"] * math.pi * bore**2)
                reynolds = water["rho"] * velocity * bore / water["mu"]
                if 2000 <= reynolds < 4000:
                    continue
                laminar = reynolds < 2000
                factor = 64 / reynolds if laminar else Colebrook(reynolds, COPPER_ROUGHNESS_M / bore)
                loss = factor / bore * water["rho"] * velocity**2 / 2
                rows.append([celsius, size, bore_mm, flow, f"{velocity:.6f}", f"{reynolds:.2f}", f"{loss:.5f}"])
    header = ["celsius", "size_mm", "bore_mm", "flow_kg_s", "velocity_m_s", "reynolds", "loss_pa_per_m"]
    write("pipe_friction.csv", ["iapws", "fluids"], header, rows)


def networks():
    libraries = {library: version(library) for library in ("scipy", "fluids")}
    text = json.dumps({"libraries": libraries, "cases": network.cases()}, indent=1)
    (HERE / "network.json").write_text(text + "\n", encoding="utf-8")


def levels_in_time():
    header = ["plan_area_m2", "bore_m", "coefficient", "from_m", "to_m", "inflow_m3_s", "seconds"]
    write("emptying.csv", ["scipy"], header, levels.emptying())
    header = ["bore_mm", "head_mm", "critical_l_s", "orifice_l_s", "sharp_weir_l_s"]
    write("overflow.csv", ["scipy"], header, levels.overflow())
    write("overflow_head.csv", ["scipy"], ["bore_mm", "flow_l_s", "head_mm"], levels.overflow_head())


if __name__ == "__main__":
    for library, pinned in PINNED.items():
        assert version(library) == pinned, f"{library} is {version(library)}; the fixtures are those of {pinned}"
    water_properties()
    pipe_friction()
    networks()
    levels_in_time()
