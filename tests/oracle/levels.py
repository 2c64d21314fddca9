"""Levels in time and overflows: emptying by integration and in closed form, pipes by critical depth and as orifices."""

import math

from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

GRAVITY = 9.80665


def emptying():
    """Times to fall, by integrating the level in time and by quadrature over the level."""
    area, bore, coefficient = 0.30, 0.020, 0.61
    k = coefficient * math.pi / 4 * bore**2 * math.sqrt(2 * GRAVITY)
    rows = []
    for start, end, inflow in (
        (0.5, 0.0, 0.0),
        (0.5, 0.25, 0.0),
        (0.5, 0.125, 0.0),
        (0.5, 0.25, 2e-4),
        (0.5, 0.06, 2e-4),
        (0.9, 0.3, 1e-4),
    ):
        by_level = 2 * area * quad(lambda root: root / (k * root - inflow), math.sqrt(end), math.sqrt(start))[0]

        def slope(_, level):
            return [(inflow - k * math.sqrt(max(level[0], 0.0))) / area]

        def reaches(_, level):
            return level[0] - max(end, 1e-12)

        reaches.terminal = True
        in_time = solve_ivp(slope, (0, 1e4), [start], method="DOP853", rtol=1e-12, atol=1e-14, events=reaches)
        assert abs(in_time.t[-1] / by_level - 1) < 1e-5, (start, end, inflow, in_time.t[-1], by_level)
        rows.append([area, bore, coefficient, start, end, inflow, f"{by_level:.9g}"])
    return rows


def critical_depth_l_s(bore, head):
    def at(half):
        area = bore**2 * (2 * half - math.sin(2 * half)) / 8
        return area, bore * math.sin(half), bore * (1 - math.cos(half)) / 2

    def miss(half):
        area, width, depth = at(half)
        return depth + area / (2 * width) - head

    area, width, _ = at(brentq(miss, 1e-4, math.pi - 1e-9, xtol=1e-14))
    return 1000 * math.sqrt(GRAVITY * area**3 / width)


def orifice_l_s(bore, head, coefficient):
    def strip(z):
        return 2 * math.sqrt(max(z * (bore - z), 0)) * math.sqrt(max(2 * GRAVITY * (head - z), 0))

    return 1000 * coefficient * quad(strip, 0, min(head, bore), epsabs=1e-14, epsrel=1e-11, limit=400)[0]


def overflow():
    rows = []
    for bore_mm in (18.4, 19.0, 20.2, 26.2):
        for head_mm in (5.0, 10.0, 15.0, 19.0, 25.0, 32.0, 40.0):
            bore, head = bore_mm / 1000, head_mm / 1000
            staus = 0.555 + bore / (110 * head) + 0.041 * head / bore
            weir = f"{orifice_l_s(bore, head, staus):.9g}" if head <= bore else "nan"
            critical, orifice = critical_depth_l_s(bore, head), orifice_l_s(bore, head, 0.6)
            rows.append([bore_mm, head_mm, f"{critical:.9g}", f"{orifice:.9g}", weir])
    return rows


def overflow_head():
    """How high water stands for a flow."""
    rows = []
    for bore_mm in (19.0, 20.2, 26.2):
        for flow in (0.1, 0.128, 0.166, 0.2, 0.3):
            bore = bore_mm / 1000

            def miss(head):
                return min(critical_depth_l_s(bore, head), orifice_l_s(bore, head, 0.6)) - flow

            rows.append([bore_mm, flow, f"{1000 * brentq(miss, 1e-3, 1.0):.9g}"])
    return rows
