"""Writes heat.json beside it: heat, warming and frost by reference libraries, each with its version.

Where a closed form is what the program uses, the value here comes from integrating the equation itself.

    python -m venv venv && venv/bin/pip install CoolProp==8.0.0 fluids==1.3.1 scipy==1.17.1
    venv/bin/python tests/oracle/generate_heat.py
"""

import json
import math
from importlib.metadata import version
from pathlib import Path

from CoolProp.CoolProp import PropsSI
from fluids.friction import Colebrook
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

HERE = Path(__file__).parent
G = 9.80665
PRESSURE_PA = 101325


def density(celsius):
    if celsius >= 99.9:  # saturated liquid where the atmosphere would make steam
        return PropsSI("D", "T", celsius + 273.15, "Q", 0, "Water")
    return PropsSI("D", "T", celsius + 273.15, "P", PRESSURE_PA, "Water")


def time_until(slope, begin, end, longest_s):
    """Seconds until dT/dt = slope(T) leads from begin to end, by integration."""
    arrived = lambda _, state: state[0] - end
    arrived.terminal = True
    run = solve_ivp(lambda _, state: [slope(state[0])], (0, longest_s), [begin], events=arrived, rtol=1e-11, atol=1e-11)
    return float(run.t_events[0][0])


def expansion():
    rows = []
    for cold, hot in [(10, 60), (10, 65), (5, 60), (10, 80), (4, 60), (15, 60), (4, 100)]:
        rows.append({"from_c": cold, "to_c": hot, "growth": density(cold) / density(hot) - 1})
    return rows


def reheat():
    rows = []
    for litres, power_w, loss, room, cold, hot in [
        (120, 3000, 0.0, 20, 10, 60),
        (120, 3000, 1.5, 20, 10, 60),
        (210, 3000, 2.4, 18, 5, 65),
        (117, 6000, 1.4, 20, 12, 55),
    ]:
        capacity = litres * 4187.0
        slope = lambda t: (power_w - loss * (t - room)) / capacity
        rows.append(
            {
                "kg": litres,
                "power_w": power_w,
                "loss_w_k": loss,
                "room_c": room,
                "from_c": cold,
                "to_c": hot,
                "seconds": time_until(slope, cold, hot, 1e6),
            }
        )
    return rows


def coil():
    rows = []
    for kg, ua, primary, flow, loss, cold, hot, boiler in [
        (120, 250, 80, None, 0.0, 10, 60, None),
        (120, 250, 80, 0.2 * 4190, 0.0, 10, 60, None),
        (166, 400, 75, 0.15 * 4190, 1.8, 8, 60, None),
        (96, 180, 65, None, 1.2, 12, 58, None),
        (117, 300, 75, 0.25 * 4187, 1.4, 7, 60, 12000.0),
        (117, 300, 75, None, 1.4, 7, 60, 5000.0),
    ]:
        capacity = kg * 4187.0

        def given(t):
            if flow is None:
                return ua * (primary - t)
            # The primary cools along the coil: dT/da = -ua (T - t) / flow, integrated over its share a from 0 to 1.
            along = solve_ivp(lambda _, s: [-ua * (s[0] - t) / flow], (0, 1), [primary], rtol=1e-11, atol=1e-11)
            return flow * (primary - along.y[0][-1])

        # The power is linear in t, so two evaluations give it.
        at_0, at_50 = given(0.0), given(50.0)
        power = lambda t: at_0 + (at_50 - at_0) * t / 50.0
        most = math.inf if boiler is None else boiler
        slope = lambda t: (min(power(t), most) - loss * (t - 20.0)) / capacity
        rows.append(
            {
                "kg": kg,
                "boiler_w": boiler,
                "coil_w_k": ua,
                "primary_c": primary,
                "flow_w_k": flow,
                "loss_w_k": loss,
                "room_c": 20.0,
                "from_c": cold,
                "to_c": hot,
                "seconds": time_until(slope, cold, hot, 1e6),
            }
        )
    return rows


def standing():
    rows = []
    for litres in [96, 117, 120, 140, 144, 166, 210]:
        rows.append(
            {
                "litres": litres,
                "greatest_kwh_day": 1.15 * (0.2 + 0.051 * litres ** (2 / 3)),
                "older_kwh_day": 1.28 * (0.2 + 0.051 * litres ** (2 / 3)),
                "class_a_w": 8.5 + 4.25 * litres**0.4,
                "class_b_w": 12 + 5.93 * litres**0.4,
                "class_c_w": 16.66 + 8.33 * litres**0.4,
                "foam_35_kwh_day": litres * (0.005 + 0.55 / 39) * (120 / litres) ** (1 / 3),
                "jacket_80_kwh_day": litres * (0.005 + 1.76 / 92.8) * (120 / litres) ** (1 / 3),
            }
        )
    return rows


def cooling():
    ua, capacity = 1.53415, 120 * 4187.0
    run = solve_ivp(lambda _, s: [-ua * (s[0] - 20) / capacity], (0, 86400), [60.0], rtol=1e-11, atol=1e-11)
    return {"kg": 120, "loss_w_k": ua, "from_c": 60, "around_c": 20, "hours": 24, "celsius": float(run.y[0][-1])}


def layer(inner, outer, conductivity):
    """Resistance of a cylindrical layer by integrating dr / (2 pi lambda r)."""
    return quad(lambda r: 1 / (2 * math.pi * conductivity * r), inner / 2, outer / 2, epsabs=0, epsrel=1e-12)[0]


def resistance(outside, thickness, conductivity, film):
    lagged = outside + 2 * thickness
    return layer(outside, lagged, conductivity) + 1 / (film * math.pi * lagged)


def pipe_loss():
    rows = []
    for outside, thickness, conductivity, film in [
        (15, 0, 0.035, 10),
        (22, 0, 0.035, 10),
        (28, 0, 0.035, 10),
        (15, 13, 0.035, 9),
        (15, 19, 0.035, 9),
        (22, 19, 0.035, 9),
        (22, 25, 0.035, 9),
        (28, 19, 0.035, 9),
        (15, 25, 0.04, 9),
    ]:
        r = resistance(outside / 1000, thickness / 1000, conductivity, film)
        rows.append(
            {
                "outside_mm": outside,
                "thickness_mm": thickness,
                "conductivity_w_m_k": conductivity,
                "film_w_m2_k": film,
                "resistance_m_k_w": r,
                "loss_w_m": 40 / r,
            }
        )
    return rows


def frost():
    """Cooling and freezing as one run of the enthalpy of a metre, integrated."""
    rows = []
    for outside, bore, thickness, water, air in [
        (15, 13.6, 25, 7, -6),
        (15, 13.6, 13, 7, -6),
        (22, 20.2, 19, 7, -6),
        (22, 20.2, 25, 4, -10),
        (28, 26.2, 25, 7, -6),
    ]:
        r = resistance(outside / 1000, thickness / 1000, 0.035, 10)
        water_m2 = math.pi / 4 * (bore / 1000) ** 2
        wall_m2 = math.pi / 4 * ((outside / 1000) ** 2 - (bore / 1000) ** 2)
        capacity = water_m2 * 1000 * 4200 + wall_m2 * 8900 * 385
        latent = water_m2 * 1000 * 334000
        celsius = lambda enthalpy: max(enthalpy, 0.0) / capacity
        slope = lambda enthalpy: -(celsius(enthalpy) - air) / r
        to_zero = time_until(slope, water * capacity, 0.0, 1e6)
        to_half = to_zero + time_until(slope, 0.0, -latent / 2, 1e7)
        rows.append(
            {
                "outside_mm": outside,
                "bore_mm": bore,
                "thickness_mm": thickness,
                "conductivity_w_m_k": 0.035,
                "film_w_m2_k": 10,
                "water_c": water,
                "air_c": air,
                "resistance_m_k_w": r,
                "to_freezing_h": to_zero / 3600,
                "to_half_ice_h": to_half / 3600,
            }
        )
    return rows


def thickness_for_frost():
    rows = []
    for conductivity in (0.025, 0.035):
        for outside, bore in [(15, 13.6), (22, 20.2), (28, 26.2), (35, 32.6), (42, 39.6)]:
            water_m2 = math.pi / 4 * (bore / 1000) ** 2
            wall_m2 = math.pi / 4 * ((outside / 1000) ** 2 - (bore / 1000) ** 2)
            capacity = water_m2 * 1000 * 4200 + wall_m2 * 8900 * 385
            latent = water_m2 * 1000 * 334000
            per_r = capacity * math.log((2 + 6) / 6) + latent / 2 / 6
            wanted = 12 * 3600 / per_r
            thickness = brentq(lambda t: layer(outside / 1000, outside / 1000 + 2 * t, conductivity) - wanted, 1e-6, 1)
            with_film = brentq(
                lambda t: resistance(outside / 1000, t, conductivity, 10) - wanted, 1e-6, 1, xtol=1e-12
            )
            rows.append(
                {
                    "outside_mm": outside,
                    "bore_mm": bore,
                    "conductivity_w_m_k": conductivity,
                    "without_film_mm": thickness * 1000,
                    "with_film_mm": with_film * 1000,
                }
            )
    return rows


def cistern():
    kg, area, cover = 227.0, 1.92914, 1 / (1 / 9 + 0.025 / 0.035)
    capacity, ua = kg * 4187.0, area / (1 / 9 + 0.025 / 0.035)
    warming = solve_ivp(lambda _, s: [ua * (35 - s[0]) / capacity], (0, 8 * 3600), [15.0], rtol=1e-11, atol=1e-11)
    return {
        "kg": kg,
        "cover_w_m2_k": cover,
        "loss_w_k": ua,
        "time_constant_h": capacity / ua / 3600,
        "after_8_h_c": float(warming.y[0][-1]),
        "to_20_c_h": time_until(lambda t: ua * (35 - t) / capacity, 15, 20, 1e7) / 3600,
        "to_0_c_h": time_until(lambda t: ua * (-6 - t) / capacity, 7, 0, 1e7) / 3600,
    }


def summer_days():
    """Many like days until each is like the one before, integrated with small steps."""
    rows = []
    for kg, to_loft, low, high, to_room, room, drawn, make_up in [
        (227, 2.337, 18, 38, 0.0, 24, 0, 15),
        (227, 0.8, 18, 35, 1.2, 24, 150, 16),
        (114, 8.0, 15, 42, 0.0, 20, 110, 17),
        (300, 1.1, 20, 36, 0.9, 25, 60, 14),
        (114, 8.0, 12, 31, 0.0, 20, 130, 15),
        (60, 5.0, 14, 38, 1.0, 22, 200, 16),
    ]:
        capacity = kg * 4187.0

        def slope(t, state):
            hour = t / 3600 % 24
            loft = (low + high) / 2 + (high - low) / 2 * math.cos((hour - 16) / 24 * 2 * math.pi)
            flow = drawn * 4187.0 / (15 * 3600) if 7 <= hour < 22 else 0.0
            return [
                (to_loft * (loft - state[0]) + to_room * (room - state[0]) + flow * (make_up - state[0])) / capacity
            ]

        state = [make_up]
        for _ in range(90):
            last = solve_ivp(slope, (0, 86400), state, max_step=300, rtol=1e-9, atol=1e-9, dense_output=True)
            state = [last.y[0][-1]]
        curve = [last.sol(minute * 60)[0] for minute in range(1441)]
        above = sum(1 for celsius in curve[:-1] if celsius > 20) / 60
        rows.append(
            {
                "kg": kg,
                "to_loft_w_k": to_loft,
                "loft_low_c": low,
                "loft_high_c": high,
                "to_room_w_k": to_room,
                "room_c": room,
                "drawn_kg": drawn,
                "make_up_c": make_up,
                "peak_c": float(max(curve)),
                "least_c": float(min(curve)),
                "above_20_h": above,
            }
        )
    return rows


def circulation():
    h, outside, bore, k, length, theta = 10, 0.022, 0.0202, 393.5, 2.0, 40
    along = k * math.pi / 4 * (outside**2 - bore**2)
    per_m = h * math.pi * outside
    # theta'' = (hP/kA) theta with theta(0) = 40 and theta'(L) = 0, by shooting.
    m2 = per_m / along
    grown = solve_ivp(lambda _, s: [s[1], m2 * s[0]], (0, length), [1.0, 0.0], rtol=1e-11, atol=1e-11)
    lift = lambda x: quad(lambda y: math.cosh(math.sqrt(m2) * y), 0, x)[0]
    profile_at_base = float(grown.y[0][-1])
    stagnant = per_m * theta / profile_at_base * lift(length)
    return {
        "outside_m": outside,
        "bore_m": bore,
        "conductivity_w_m_k": k,
        "film_w_m2_k": h,
        "length_m": length,
        "hotter_k": theta,
        "along_w_m_k": along,
        "stagnant_w": stagnant,
        "circulating_w": per_m * length * theta,
    }


def buoyancy():
    pairs = [(80, 60), (75, 65), (82, 71), (60, 40), (60, 20), (65, 15), (60, 10)]
    return [{"flow_c": hot, "return_c": cold, "pa_m": G * (density(cold) - density(hot))} for hot, cold in pairs]


def gravity_loop():
    hot, cold, height, length, fittings, bore, roughness = 80, 60, 2.5, 9.0, 8.0, 0.0262, 1.5e-6
    drive = G * height * (density(cold) - density(hot))
    rho = density(70)
    mu = PropsSI("V", "T", 70 + 273.15, "P", PRESSURE_PA, "Water")

    def miss(v):
        factor = Colebrook(rho * v * bore / mu, roughness / bore)
        return (factor * length / bore + fittings) * rho * v**2 / 2 - drive

    v = brentq(miss, 0.05, 1)
    return {
        "flow_c": hot,
        "return_c": cold,
        "height_m": height,
        "length_m": length,
        "fittings": fittings,
        "bore_m": bore,
        "roughness_m": roughness,
        "kg_s": rho * math.pi / 4 * bore**2 * v,
    }


if __name__ == "__main__":
    libraries = {name: version(name) for name in ("CoolProp", "fluids", "scipy")}
    cases = {
        "made_with": libraries,
        "expansion": expansion(),
        "reheat": reheat(),
        "coil": coil(),
        "standing": standing(),
        "cooling": cooling(),
        "pipe_loss": pipe_loss(),
        "frost": frost(),
        "thickness_for_frost": thickness_for_frost(),
        "cistern": cistern(),
        "summer_days": summer_days(),
        "circulation": circulation(),
        "buoyancy": buoyancy(),
        "gravity_loop": gravity_loop(),
    }
    rounded = json.loads(json.dumps(cases), parse_float=lambda text: float(f"{float(text):.9g}"))
    (HERE / "heat.json").write_text(json.dumps(rounded, indent=1) + "\n", encoding="utf-8")
