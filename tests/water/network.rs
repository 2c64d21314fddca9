//! What holds for every network of pipes: nothing is lost, more head gives more flow, and any shape gets a report.

use loftwright::water::friction::Transition;
use loftwright::water::network::{Network, Node, NodeKind, OneWay, Pipe, Report, Solution, solve};
use loftwright::water::{Water, circulation, friction};
use proptest::collection::vec;
use proptest::prelude::*;

fn held(height_m: f64) -> Node {
    Node { height_m, kind: NodeKind::Held { pressure_pa: 0.0 } }
}

fn free(height_m: f64) -> Node {
    Node { height_m, kind: NodeKind::Free }
}

fn pipe(from: usize, to: usize, bore_mm: f64, length_m: f64, loss_coefficient: f64, celsius: f64) -> Pipe {
    Pipe {
        from,
        to,
        length_m,
        bore_m: bore_mm / 1000.0,
        roughness_m: 1.5e-6,
        loss_coefficient,
        water: Water::at_celsius(celsius).expect("in range"),
        transition: Transition::Late,
        one_way: OneWay::BothWays,
    }
}

fn outlet(pipe: Pipe) -> Pipe {
    Pipe { one_way: OneWay::FromTo, ..pipe }
}

/// The solution, which must have converged and lost no more than 1e-9 of the largest flow.
fn balanced(network: &Network) -> Solution {
    let solution = solve(network);
    let Report::Converged { worst_imbalance_kg_s, .. } = solution.report else {
        panic!("{:?}\n{network:?}", solution.report)
    };
    let most = solution.flow_kg_s.iter().fold(0.0_f64, |most, flow| most.max(flow.abs()));
    assert!(worst_imbalance_kg_s <= 1e-9 * most + 1e-12, "{worst_imbalance_kg_s} of {most} kg/s is lost\n{network:?}");
    solution
}

/// A cistern, a cylinder, and hot and cold taps; each seed is a tap: its height, the length of its pipe, hot or cold.
fn house(seeds: &[(f64, f64, bool)]) -> Network {
    let mut network = Network { nodes: vec![held(6.0), free(2.0), free(3.6), free(1.5)], pipes: Vec::new() };
    network.pipes.push(pipe(0, 1, 20.2, 5.0, 4.1, 10.0));
    network.pipes.push(pipe(1, 2, 20.2, 2.2, 1.3, 60.0));
    network.pipes.push(pipe(0, 3, 20.2, 6.0, 3.0, 10.0));
    for &(height_m, length_m, hot) in seeds {
        let tap = network.nodes.len();
        network.nodes.push(held(height_m));
        let (tee, celsius) = if hot { (2, 60.0) } else { (3, 10.0) };
        network.pipes.push(outlet(pipe(tee, tap, 13.6, length_m, 14.0, celsius)));
    }
    network
}

fn taps() -> impl Strategy<Value = Vec<(f64, f64, bool)>> {
    vec((-1.5..6.5_f64, 0.5..12.0_f64, any::<bool>()), 1..8)
}

/// Any graph at all: dead ends, rings, pipes in parallel or from a node to itself, no length, no node held.
fn networks() -> impl Strategy<Value = Network> {
    let node = (-3.0..9.0_f64, prop::option::weighted(0.3, -5e4..2e5_f64)).prop_map(|(height_m, pressure)| Node {
        height_m,
        kind: pressure.map_or(NodeKind::Free, |pressure_pa| NodeKind::Held { pressure_pa }),
    });
    vec(node, 1..25).prop_flat_map(|nodes| {
        let count = nodes.len();
        let shape = (0..count, 0..count, prop_oneof![Just(0.0), 0.0..30.0_f64], 2.0..60.0_f64);
        let rest = (prop_oneof![Just(0.0), 0.0..1e4_f64], 0.0..100.0_f64, any::<bool>(), 0.0..0.1_f64);
        let pipe = (shape, rest).prop_map(|((from, to, length_m, bore_mm), (coefficient, celsius, one_way, rough))| {
            let made = pipe(from, to, bore_mm, length_m, coefficient, celsius);
            let made = Pipe { roughness_m: rough * made.bore_m, ..made };
            if one_way { outlet(made) } else { made }
        });
        vec(pipe, 0..50).prop_map(move |pipes| Network { nodes: nodes.clone(), pipes })
    })
}

/// What is left over of the equations of a solution: a pipe's drive is its loss, or it stands shut against it.
fn obeys_the_laws(network: &Network, solution: &Solution) {
    for (at, pipe) in network.pipes.iter().enumerate() {
        let flow = solution.flow_kg_s[at];
        let shut = solution.kept_shut.contains(&at);
        assert!(!shut || (flow == 0.0 && pipe.one_way == OneWay::FromTo));
        assert!(pipe.one_way == OneWay::BothWays || flow >= 0.0, "pipe {at} runs backward");
        let (Some(from), Some(to)) = (solution.pressure_pa[pipe.from], solution.pressure_pa[pipe.to]) else { continue };
        let rise = network.nodes[pipe.from].height_m - network.nodes[pipe.to].height_m;
        let drive = from - to + pipe.water.density_kg_m3 * 9.806_65 * rise;
        if shut {
            assert!(drive <= 1e-3, "pipe {at} is shut with {drive} Pa behind it\n{network:?}");
        } else if pipe.from != pipe.to && pipe.length_m >= 1e-3 {
            let velocity = friction::velocity_m_s(&pipe.water, flow, pipe.bore_m);
            let fittings = pipe.loss_coefficient * pipe.water.density_kg_m3 * velocity * velocity.abs() / 2.0;
            let friction = pipe.length_m * friction::loss_pa_per_m(&pipe.water, flow, pipe.bore_m, pipe.roughness_m);
            let miss = drive - fittings - friction;
            assert!(miss.abs() < 1e-4, "pipe {at} with {flow} kg/s misses {miss} Pa\n{network:?}");
        }
    }
}

#[test]
fn an_outlet_above_the_water_stands_shut_and_sucks_no_air() {
    // The tap at 6.4 m would feed air to the others, if it could.
    let taps = [(6.4, 3.0, true), (1.0, 3.0, true), (0.8, 4.0, true)];
    let with = balanced(&house(&taps));
    assert_eq!((with.flow_kg_s[3], &with.kept_shut), (0.0, &vec![3]));
    let without = balanced(&house(&taps[1..]));
    assert!((with.flow_kg_s[4] / without.flow_kg_s[3] - 1.0).abs() < 1e-9);
}

#[test]
fn a_non_return_valve_keeps_the_higher_cistern_out_of_the_lower() {
    let mut network = Network { nodes: vec![held(7.0), held(5.5), free(2.0), held(1.0)], pipes: Vec::new() };
    network.pipes.push(pipe(0, 2, 20.2, 5.0, 3.0, 10.0));
    network.pipes.push(pipe(1, 2, 20.2, 4.0, 3.0, 10.0));
    network.pipes.push(outlet(pipe(2, 3, 13.6, 4.0, 30.0, 10.0)));
    assert!(balanced(&network).flow_kg_s[1] < 0.0, "without a valve the lower cistern is filled");
    network.pipes[1].one_way = OneWay::FromTo;
    let valved = balanced(&network);
    assert_eq!((valved.flow_kg_s[1], &valved.kept_shut), (0.0, &vec![1]));
    // Open wide, the tap draws from both.
    network.pipes[2] = outlet(pipe(2, 3, 40.0, 1.0, 1.0, 10.0));
    assert!(balanced(&network).flow_kg_s[1] > 0.0);
}

#[test]
fn dead_water_stands_still_and_has_the_pressure_of_its_column() {
    let mut network = Network { nodes: vec![held(5.0), free(1.0), free(3.0), free(0.0)], pipes: Vec::new() };
    network.pipes.push(pipe(0, 1, 20.2, 4.0, 0.0, 10.0));
    network.pipes.push(pipe(1, 2, 13.6, 2.0, 0.0, 60.0));
    let solution = balanced(&network);
    assert!(solution.flow_kg_s.iter().all(|flow| flow.abs() < 1e-12));
    let (cold, hot) = (network.pipes[0].water.density_kg_m3, network.pipes[1].water.density_kg_m3);
    let expected = 9.806_65 * (4.0 * cold - 2.0 * hot);
    assert!((solution.pressure_pa[2].expect("joined") - expected).abs() < 1e-6);
    assert_eq!(solution.pressure_pa[3], None, "joined to nothing");
}

#[test]
fn a_sealed_circuit_circulates_by_its_hot_and_cold_legs() {
    let mut network = Network { nodes: vec![free(0.0), free(2.5)], pipes: Vec::new() };
    network.pipes.push(pipe(0, 1, 26.2, 4.5, 4.0, 80.0));
    network.pipes.push(pipe(1, 0, 26.2, 4.5, 4.0, 60.0));
    let solution = balanced(&network);
    let [up, down] = solution.flow_kg_s[..] else { panic!("two pipes") };
    assert!(up > 0.05 && (up - down).abs() < 1e-12, "{up} up, {down} down");
    let loss = |pipe: &Pipe| {
        let velocity = friction::velocity_m_s(&pipe.water, up, pipe.bore_m);
        friction::loss_pa_per_m(&pipe.water, up, pipe.bore_m, pipe.roughness_m) * pipe.length_m
            + pipe.loss_coefficient * pipe.water.density_kg_m3 * velocity * velocity / 2.0
    };
    let drive = circulation::pressure_pa(2.5, &network.pipes[0].water, &network.pipes[1].water);
    assert!((network.pipes.iter().map(loss).sum::<f64>() / drive - 1.0).abs() < 1e-9);
    assert_eq!(solution.pressure_pa, [None, None]);
}

#[test]
fn what_cannot_be_is_said_in_words() {
    let said = |spoil: fn(&mut Network)| {
        let mut network = house(&[(1.0, 3.0, true)]);
        spoil(&mut network);
        match solve(&network).report {
            Report::AskedWrongly { words } => words,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(said(|net| net.pipes[1].bore_m = 0.0), "pipe 1: its bore is 0; it must be above 0");
    assert_eq!(said(|net| net.pipes[0].to = 40), "pipe 0: it joins nodes 0 and 40, and there are 5");
    assert_eq!(said(|net| net.nodes[2].height_m = f64::NAN), "node 2: its height is NaN m; give a number");
    assert_eq!(said(|net| net.pipes[3].roughness_m = 0.01), "pipe 3: its roughness is more than a tenth of its bore");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_graph_is_solved_and_obeys_the_laws(network in networks()) {
        obeys_the_laws(&network, &balanced(&network));
    }

    #[test]
    fn no_number_makes_it_panic(network in networks(), at in any::<prop::sample::Index>(), which in 0..7, value in any::<f64>()) {
        prop_assume!(!network.pipes.is_empty());
        let mut network = network;
        let chosen = at.index(network.pipes.len());
        let pipe = &mut network.pipes[chosen];
        match which {
            0 => pipe.length_m = value,
            1 => pipe.bore_m = value,
            2 => pipe.roughness_m = value,
            3 => pipe.loss_coefficient = value,
            4 => pipe.water.density_kg_m3 = value,
            5 => pipe.water.viscosity_pa_s = value,
            _ => network.nodes[0].height_m = value,
        }
        let solution = solve(&network);
        prop_assert_eq!(solution.flow_kg_s.len(), network.pipes.len());
        prop_assert_eq!(solution.pressure_pa.len(), network.nodes.len());
        prop_assert!(solution.flow_kg_s.iter().all(|flow| flow.is_finite()));
    }

    #[test]
    fn a_higher_cistern_never_gives_less(taps in taps(), rise_m in 0.01..3.0_f64) {
        let low = house(&taps);
        let mut high = low.clone();
        high.nodes[0].height_m += rise_m;
        let (low, high) = (balanced(&low), balanced(&high));
        for (low, high) in low.flow_kg_s.iter().zip(&high.flow_kg_s) {
            prop_assert!(*high >= low - 1e-9);
        }
    }

    #[test]
    fn opening_an_outlet_never_raises_another(taps in taps()) {
        let fewer = balanced(&house(&taps[1..]));
        let mut turned = taps.clone();
        turned.rotate_left(1);
        let more = balanced(&house(&turned));
        for at in 3..fewer.flow_kg_s.len() {
            prop_assert!(more.flow_kg_s[at] <= fewer.flow_kg_s[at] + 1e-9);
        }
    }

    /// What leaves the cistern by either way, to taps of one height. A single tap among many may gain, as the others leave it
    /// more of the head than it loses.
    #[test]
    fn twice_the_losses_lower_the_flow(taps in taps(), height_m in -1.5..5.5_f64, twice_lengths in any::<bool>()) {
        let level: Vec<_> = taps.iter().map(|&(_, length_m, hot)| (height_m, length_m, hot)).collect();
        let mut network = house(&level);
        let before = balanced(&network);
        for pipe in &mut network.pipes {
            pipe.loss_coefficient *= 2.0;
            pipe.length_m *= if twice_lengths { 2.0 } else { 1.0 };
        }
        let after = balanced(&network);
        for (way, with_hot) in [(0, true), (2, false)] {
            let flows = level.iter().any(|tap| tap.2 == with_hot);
            prop_assert!(!flows || after.flow_kg_s[way] < before.flow_kg_s[way]);
        }
    }

    #[test]
    fn the_order_of_nodes_and_pipes_does_not_matter(network in networks(), seed in any::<u64>()) {
        let count = network.nodes.len();
        let turn = usize::try_from(seed % 1009).expect("small") % count;
        let moved = |node: usize| (count - 1 - node + turn) % count;
        let mut other = network.clone();
        for (node, data) in network.nodes.iter().enumerate() {
            other.nodes[moved(node)] = *data;
        }
        for pipe in &mut other.pipes {
            (pipe.from, pipe.to) = (moved(pipe.from), moved(pipe.to));
        }
        other.pipes.reverse();
        let (one, mut other) = (balanced(&network), balanced(&other));
        other.flow_kg_s.reverse();
        let most = one.flow_kg_s.iter().fold(0.0_f64, |most, flow| most.max(flow.abs()));
        for (flow, other) in one.flow_kg_s.iter().zip(&other.flow_kg_s) {
            prop_assert!((flow - other).abs() <= 1e-7 * most + 1e-9, "{} {}", flow, other);
        }
    }

    #[test]
    fn without_head_nothing_flows(taps in taps(), level_m in -2.0..8.0_f64) {
        let mut network = house(&taps);
        for pipe in &mut network.pipes {
            pipe.water = Water::at_celsius(10.0).expect("in range");
        }
        for node in network.nodes.iter_mut().filter(|node| node.kind != NodeKind::Free) {
            node.height_m = level_m;
        }
        prop_assert!(balanced(&network).flow_kg_s.iter().all(|flow| flow.abs() < 1e-9));
    }
}
