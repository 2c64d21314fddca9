"""Prints how long scipy takes for the two networks of `benches/network.rs`; that bench runs it, see there."""

from time import perf_counter

from network import COLD, Network, all_at_once, hot_taps


def two_hundred_outlets():
    network = Network()
    network.held("cistern", 34.0)
    above = "cistern"
    for floor in range(10):
        height = 29.0 - 3.0 * floor
        tee = f"floor {floor}"
        network.free(tee, height)
        network.pipe(above, tee, 0.1, 3.0, 1.2, COLD)
        above = tee
        for wing in range(4):
            branch = f"branch {floor}.{wing}"
            network.free(branch, height - 0.4)
            network.pipe(tee, branch, 0.0262, 4.0 + wing, 3.0, COLD)
            for place in range(5):
                outlet = f"outlet {floor}.{wing}.{place}"
                network.held(outlet, height - 1.5 - 0.1 * place)
                network.pipe(branch, outlet, 0.0136, 3.0 + place, 30.0, COLD)
    return network


def best_of(times, network):
    best = float("inf")
    for _ in range(times):
        begun = perf_counter()
        flows, _ = all_at_once(network)
        best = min(best, perf_counter() - begun)
    return best, flows[0]


if __name__ == "__main__":
    for name, times, network in (
        ("house, three taps open", 5, hot_taps(["bath", "basin", "sink"])),
        ("two hundred outlets", 2, two_hundred_outlets()),
    ):
        seconds, flow = best_of(times, network)
        print(f"scipy, {name}: {seconds * 1000:.3f} ms, {flow:.6f} kg/s leave the cistern", flush=True)
