"""Writes mend.json beside it: least weighted squares under linear inequalities, and sets of them that clash.

    python -m venv venv && venv/bin/pip install scipy numpy
    venv/bin/python tests/oracle/generate_mend.py

The least is found by SLSQP of scipy and kept only where the conditions of Karush, Kuhn and Tucker hold by non-negative
least squares; that nothing holds is decided by the linear programs of HiGHS.
"""

import json
import random
from importlib.metadata import version
from pathlib import Path

import numpy as np
from scipy.optimize import linprog, minimize, nnls

HERE = Path(__file__).parent


def holds(rows, at_least):
    count = rows.shape[1]
    answer = linprog(np.zeros(count), A_ub=-rows, b_ub=-at_least, bounds=[(None, None)] * count, method="highs")
    return answer.status == 0


def least(weights, rows, at_least):
    start = linprog(np.zeros(len(weights)), A_ub=-rows, b_ub=-at_least, bounds=[(None, None)] * len(weights)).x
    answer = minimize(
        lambda x: 0.5 * np.dot(weights * x, x),
        start,
        jac=lambda x: weights * x,
        constraints=[{"type": "ineq", "fun": lambda x: rows @ x - at_least, "jac": lambda x: rows}],
        method="SLSQP",
        options={"ftol": 1e-15, "maxiter": 1000},
    )
    x = answer.x
    active = rows[np.abs(rows @ x - at_least) < 1e-5]
    residual = nnls(active.T, weights * x)[1] if len(active) else np.linalg.norm(weights * x)
    # A search that stopped short of the least, or outside the rows, proves nothing.
    return x if residual < 1e-5 and (rows @ x - at_least).min() > -1e-7 else None


def main():
    random.seed(20)
    cases = []
    while len(cases) < 120:
        count, asked = random.randint(1, 7), random.randint(1, 14)
        rows = np.array([[round(random.uniform(-2, 2), 3) * (random.random() < 0.6) for _ in range(count)] for _ in range(asked)])
        rows = rows[np.abs(rows).sum(axis=1) > 0]
        if not len(rows):
            continue
        at_least = np.array([round(random.uniform(-60, 40), 2) for _ in rows])
        weights = np.array([round(random.choice([0.25, 1, 4, 16, 64]) * random.uniform(0.5, 1.5), 3) for _ in range(count)])
        possible = holds(rows, at_least)
        if sum((case["x"] is not None) == possible for case in cases) >= 60:
            continue
        x = least(weights, rows, at_least) if possible else None
        if possible and x is None:
            continue
        cases.append({
            "weights": weights.tolist(),
            "rows": rows.tolist(),
            "at_least": at_least.tolist(),
            "x": None if x is None else [round(float(value), 7) for value in x],
        })
    libraries = f"scipy {version('scipy')}, numpy {version('numpy')}"
    (HERE / "mend.json").write_text(json.dumps({"made with": libraries, "cases": cases}, separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
