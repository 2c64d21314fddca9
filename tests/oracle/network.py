"""Networks with their flows, each solved two ways that share nothing but the friction of one pipe.

Rows of "hot taps" and "mixer" are those of a case that was also solved elsewhere, with a step at Re 2000 where here is
a blend; where all its pipes are laminar or turbulent both are the same.

First way: all flows and free pressures at once, scipy.optimize.root on momentum and mass balance.
Second way: pressures alone, each pipe's flow from its own drive by brentq, and the imbalance of the free nodes brought
to nought by scipy.optimize.root; where the network is a tree of outlets it is nested bisection instead.
"""

import math

import numpy as np
from fluids.friction import Colebrook
from scipy.optimize import brentq, root

GRAVITY = 9.80665
COPPER_ROUGHNESS_M = 1.5e-6
# As network_case states them, so that its rows are reproduced to the digit.
COLD = {"density_kg_m3": 999.7025, "viscosity_pa_s": 1.3059e-3}
HOT = {"density_kg_m3": 983.1958, "viscosity_pa_s": 4.66035e-4}
MIXED = {"density_kg_m3": 992.2164, "viscosity_pa_s": 6.52729e-4}


class Network:
    """Nodes and pipes by name."""

    def __init__(self):
        self.nodes = {}
        self.pipes = []

    def held(self, name, height_m, pressure_pa=0.0):
        self.nodes[name] = {"height_m": height_m, "pressure_pa": pressure_pa}

    def free(self, name, height_m):
        self.nodes[name] = {"height_m": height_m, "pressure_pa": None}

    def pipe(self, start, end, bore_m, length_m, loss_coefficient, water):
        self.pipes.append(
            {
                "from": start,
                "to": end,
                "length_m": length_m,
                "bore_m": bore_m,
                "roughness_m": COPPER_ROUGHNESS_M,
                "loss_coefficient": loss_coefficient,
                **water,
            }
        )


def reynolds(pipe, flow):
    return 4 * abs(flow) / (math.pi * pipe["bore_m"] * pipe["viscosity_pa_s"])


def factor_with_switch(number, relative):
    """Laminar below 2000, Colebrook-White above: a step at the switch."""
    return 64 / number if number < 2000 else Colebrook(number, relative)


def factor_with_blend(number, relative):
    """Laminar below 2000, Colebrook-White above 4000, a cubic between them."""
    if number <= 2000 or number >= 4000:
        return factor_with_switch(number, relative)
    share = (number - 2000) / 2000
    smooth = 3 * share**2 - 2 * share**3
    return 64 / number * (1 - smooth) + Colebrook(number, relative) * smooth


def loss(pipe, flow, factor=factor_with_blend):
    """Darcy-Weisbach."""
    if flow == 0:
        return 0.0
    velocity = 4 * flow / (pipe["density_kg_m3"] * math.pi * pipe["bore_m"] ** 2)
    along = factor(reynolds(pipe, flow), pipe["roughness_m"] / pipe["bore_m"]) * pipe["length_m"] / pipe["bore_m"]
    return (along + pipe["loss_coefficient"]) * pipe["density_kg_m3"] * velocity * abs(velocity) / 2


def flow_for(pipe, drive):
    """The flow whose loss is the drive."""
    if drive == 0:
        return 0.0
    size = brentq(lambda flow: loss(pipe, flow) - abs(drive), 0, 100, xtol=1e-15, rtol=1e-14)
    return math.copysign(size, drive)


def weight(network, pipe):
    rise = network.nodes[pipe["from"]]["height_m"] - network.nodes[pipe["to"]]["height_m"]
    return pipe["density_kg_m3"] * GRAVITY * rise


def names_of_free(network):
    return [name for name, node in network.nodes.items() if node["pressure_pa"] is None]


def pressures_with(network, free):
    known = {name: node["pressure_pa"] for name, node in network.nodes.items() if node["pressure_pa"] is not None}
    return {**known, **dict(zip(names_of_free(network), free))}


def imbalance(network, flows):
    surplus = {name: 0.0 for name in names_of_free(network)}
    for pipe, flow in zip(network.pipes, flows):
        for end, sign in ((pipe["from"], -1), (pipe["to"], 1)):
            if end in surplus:
                surplus[end] += sign * flow
    return list(surplus.values())


def all_at_once(network, flow_guess=0.2, pressure_guess=2e4):
    """First way. Pressures are scaled to 1e5 Pa so that both kinds of unknown are of one size."""
    pipes = network.pipes

    def miss(unknowns):
        flows, free = unknowns[: len(pipes)], unknowns[len(pipes) :] * 1e5
        at = pressures_with(network, free)
        momentum = [
            (at[pipe["from"]] - at[pipe["to"]] + weight(network, pipe) - loss(pipe, flow)) / 1e5
            for pipe, flow in zip(pipes, flows)
        ]
        return np.array(momentum + imbalance(network, flows))

    guess = np.array([flow_guess] * len(pipes) + [pressure_guess / 1e5] * len(names_of_free(network)))
    found = root(miss, guess, method="hybr", tol=1e-13, options={"maxfev": 400 * len(guess)})
    assert np.max(np.abs(miss(found.x))) < 1e-9, found.message
    return list(found.x[: len(pipes)]), pressures_with(network, found.x[len(pipes) :] * 1e5)


def by_pressures(network, near):
    """Second way. Begins a little beside the first result, as any other start would need more steps."""
    pipes = network.pipes

    def flows_at(at):
        return [flow_for(pipe, at[pipe["from"]] - at[pipe["to"]] + weight(network, pipe)) for pipe in pipes]

    def miss(free):
        return imbalance(network, flows_at(pressures_with(network, free * 1e5)))

    guess = np.array([near[name] for name in names_of_free(network)]) / 1e5 * 1.03 + 0.01
    found = root(miss, guess, method="hybr", tol=1e-14, options={"maxfev": 400 * len(guess)})
    assert np.max(np.abs(miss(found.x))) < 1e-9, found.message
    at = pressures_with(network, found.x * 1e5)
    return flows_at(at), at


def tree_by_bisection(network, at_root):
    """Second way for trees whose pipes all lead away from one held node: what a branch takes at a pressure is found
    from its leaves up, so nothing is solved together."""
    below = {}
    for index, pipe in enumerate(network.pipes):
        below.setdefault(pipe["from"], []).append(index)

    def taken(index, pressure):
        """Flow into a pipe with this pressure at its upper end, and the pressure at its lower end."""
        pipe = network.pipes[index]
        end = network.nodes[pipe["to"]]
        drive = pressure + weight(network, pipe)
        if end["pressure_pa"] is not None:
            return flow_for(pipe, drive - end["pressure_pa"]), end["pressure_pa"]

        def miss(lower):
            return sum(taken(onward, lower)[0] for onward in below[pipe["to"]]) - flow_for(pipe, drive - lower)

        lower = brentq(miss, drive - 2e5, drive + 2e5, xtol=1e-7, rtol=1e-13)
        return flow_for(pipe, drive - lower), lower

    flows = [0.0] * len(network.pipes)
    at = {at_root: network.nodes[at_root]["pressure_pa"]}
    waiting = list(below[at_root])
    while waiting:
        index = waiting.pop()
        pipe = network.pipes[index]
        flows[index], at[pipe["to"]] = taken(index, at[pipe["from"]])
        waiting += below.get(pipe["to"], [])
    return flows, at


def solved(name, network, second=None):
    """The case as it goes into the fixture, once both ways agree on it."""
    flows, pressures = all_at_once(network)
    again, pressures_again = second(network) if second else by_pressures(network, pressures)
    for one, other in zip(flows, again):
        assert abs(one - other) < 1e-7 * max(abs(one), 1e-3), (name, one, other)
    index = {node: at for at, node in enumerate(network.nodes)}
    return {
        "name": name,
        "nodes": [
            {"name": node, "height_m": data["height_m"], "held_pa": data["pressure_pa"]}
            for node, data in network.nodes.items()
        ],
        "pipes": [{**pipe, "from": index[pipe["from"]], "to": index[pipe["to"]]} for pipe in network.pipes],
        "flow_kg_s": [float(f"{flow:.10g}") for flow in flows],
        "pressure_pa": [float(f"{pressures[node]:.10g}") for node in network.nodes],
    }


TAPS = {"bath": (1.0, 0.0202, 6.0, 21.5), "basin": (1.3, 0.0136, 5.0, 13.0), "sink": (-1.5, 0.0136, 8.0, 14.8)}


def hot_taps(opened):
    """A cylinder on a feed of its own, and hot taps on one tee."""
    network = Network()
    network.held("cistern", 6.0)
    network.free("cylinder", 2.0)
    network.free("tee", 3.6)
    network.pipe("cistern", "cylinder", 0.0202, 5.0, 4.1, COLD)
    network.pipe("cylinder", "tee", 0.0202, 2.2, 1.3, HOT)
    for tap in opened:
        height, bore, length, coefficient = TAPS[tap]
        network.held(tap, height)
        network.pipe("tee", tap, bore, length, coefficient, HOT)
    return network


def draw_to_vent():
    """The feed and draw-off with the vent tee at the pressure of the air: the flow above which the vent draws air."""
    network = Network()
    network.held("cistern", 6.0)
    network.free("cylinder", 2.0)
    network.held("tee", 3.6)
    network.pipe("cistern", "cylinder", 0.0202, 5.0, 4.1, COLD)
    network.pipe("cylinder", "tee", 0.0202, 2.2, 1.3, HOT)
    return network


def mixer():
    """Hot and cold from one cistern, both open to a mixer with one hose."""
    network = Network()
    network.held("cistern", 6.0)
    network.free("cylinder", 2.0)
    network.free("tee", 3.6)
    network.free("cold tee", 1.1)
    network.free("mixer", 1.1)
    network.held("rose", 2.1)
    network.pipe("cistern", "cylinder", 0.0202, 5.0, 4.1, COLD)
    network.pipe("cylinder", "tee", 0.0202, 2.2, 1.3, HOT)
    network.pipe("tee", "mixer", 0.0136, 5.5, 9.6, HOT)
    network.pipe("cistern", "cold tee", 0.0202, 7.0, 3.9, COLD)
    network.pipe("cold tee", "mixer", 0.0136, 1.5, 7.8, COLD)
    network.pipe("mixer", "rose", 0.009, 1.5, 8.0, MIXED)
    return network


def mixer_below_held_tee():
    """The same, with the vent tee at the pressure that a step from laminar to turbulent at 2000 gives it."""
    network = mixer()
    del network.nodes["cylinder"]
    network.held("tee", 3.6, 23368.44)
    network.pipes = [pipe for pipe in network.pipes if "cylinder" not in (pipe["from"], pipe["to"])]
    return network


def ring_main():
    """A ring of four tees fed at one, taps at the other three, and a cross pipe."""
    network = Network()
    network.held("cistern", 5.4)
    corners = {"north": 2.6, "east": 2.4, "south": 0.6, "west": 0.4}
    for name, height in corners.items():
        network.free(name, height)
    network.pipe("cistern", "north", 0.0262, 6.0, 3.2, COLD)
    for start, end, length in (("north", "east", 4.0), ("east", "south", 5.0), ("north", "west", 7.0)):
        network.pipe(start, end, 0.0202, length, 2.5, COLD)
    network.pipe("west", "south", 0.0136, 3.0, 2.0, COLD)
    network.pipe("east", "west", 0.0136, 4.5, 3.0, COLD)
    for corner, height, coefficient in (("east", 1.0, 16.0), ("south", 0.9, 12.0), ("west", 1.2, 20.0)):
        network.held(f"tap {corner}", height)
        network.pipe(corner, f"tap {corner}", 0.0136, 1.8, coefficient, COLD)
    return network


def two_cisterns():
    """Two cisterns at different heights on one main: the lower is filled by the higher while the taps run."""
    network = Network()
    network.held("high cistern", 7.2)
    network.held("low cistern", 5.8)
    network.free("join", 3.0)
    network.free("landing", 2.7)
    network.held("bath", 0.7)
    network.held("basin", 1.0)
    network.pipe("high cistern", "join", 0.0202, 4.0, 2.5, COLD)
    network.pipe("low cistern", "join", 0.0202, 9.0, 4.0, COLD)
    network.pipe("join", "landing", 0.0202, 3.0, 1.5, COLD)
    network.pipe("landing", "bath", 0.0202, 5.0, 60.0, COLD)
    network.pipe("landing", "basin", 0.0136, 4.0, 30.0, COLD)
    return network


def shared_tee():
    """One down pipe feeds both the cylinder and the cold taps: drawing cold starves the hot."""
    network = Network()
    network.held("cistern", 5.6)
    network.free("shared tee", 3.4)
    network.free("cylinder", 1.2)
    network.free("vent tee", 2.8)
    network.free("bathroom cold", 0.9)
    network.held("bath hot", 0.8)
    network.held("basin hot", 1.0)
    network.held("bath cold", 0.8)
    network.held("closet", 0.6)
    network.pipe("cistern", "shared tee", 0.0202, 1.6, 2.2, COLD)
    network.pipe("shared tee", "cylinder", 0.0202, 3.5, 3.4, COLD)
    network.pipe("cylinder", "vent tee", 0.0202, 1.9, 1.4, HOT)
    network.pipe("vent tee", "bath hot", 0.0202, 4.0, 20.0, HOT)
    network.pipe("vent tee", "basin hot", 0.0136, 4.5, 14.0, HOT)
    network.pipe("shared tee", "bathroom cold", 0.0202, 4.2, 2.8, COLD)
    network.pipe("bathroom cold", "bath cold", 0.0202, 1.0, 19.0, COLD)
    network.pipe("bathroom cold", "closet", 0.0136, 2.5, 40.0, COLD)
    return network


def thirty_outlets():
    """Ten floors' worth of branches off one main, three outlets on each: a tree."""
    network = Network()
    network.held("cistern", 34.0)
    above = "cistern"
    for floor in range(10):
        height = 29.0 - 3.0 * floor
        tee = f"floor {floor}"
        network.free(tee, height)
        network.pipe(above, tee, 0.0516, 3.0 + 0.1 * floor, 1.2, COLD)
        above = tee
        branch = f"branch {floor}"
        network.free(branch, height - 0.4)
        network.pipe(tee, branch, 0.0262, 4.0, 3.0, COLD)
        for place, (bore, length, coefficient) in enumerate(((0.0136, 3.0, 30.0), (0.0136, 5.0, 45.0), (0.0202, 4.0, 80.0))):
            outlet = f"outlet {floor}.{place}"
            network.held(outlet, height - 1.5 - 0.1 * place)
            network.pipe(branch, outlet, bore, length, coefficient, COLD)
    return network


def cases():
    opened = [["bath"], ["basin"], ["sink"], ["bath", "basin"], ["bath", "basin", "sink"]]
    made = [
        solved("hot taps: " + ", ".join(taps), hot_taps(taps), lambda net: tree_by_bisection(net, "cistern"))
        for taps in opened
    ]
    made.append(solved("draw to the vent", draw_to_vent()))
    made.append(solved("mixer", mixer()))
    made.append(solved("mixer below a held tee", mixer_below_held_tee()))
    made.append(solved("ring main with a cross pipe", ring_main()))
    made.append(solved("two cisterns", two_cisterns()))
    made.append(solved("shared tee", shared_tee(), lambda net: tree_by_bisection(net, "cistern")))
    made.append(solved("thirty outlets", thirty_outlets()))
    return made
