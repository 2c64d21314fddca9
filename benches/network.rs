//! How long it takes to solve a network: a house with three hot taps open, a tree of two hundred outlets, and the
//! circuit of the largest example, read off its drawing.
//!
//! Aims: the house under 300 µs, the tree under 20 ms, both a hundred times as fast as scipy. With
//! `LOFTWRIGHT_PYTHON` naming a python that has scipy 1.17.1 and fluids 1.3.1, the same two networks are solved in the
//! same run by `tests/oracle/time_reference.py`, which prints the best of a few solves by `scipy.optimize.root` from the
//! start that serves the fixtures, without the time python takes to begin. Both print the flow that leaves the cistern.

use std::process::Command;

use criterion::{Criterion, criterion_group, criterion_main};
use loftwright::measure::Site;
use loftwright::water::Water;
use loftwright::water::circuit::{Circuit, Conditions, Open};
use loftwright::water::friction::Transition;
use loftwright::water::network::{Network, Node, NodeKind, OneWay, Pipe, solve};

const LARGEST: &str = include_str!("../examples/feed_and_expansion.loft.ron");

/// Water as the reference has it.
fn water(density_kg_m3: f64, viscosity_pa_s: f64) -> Water {
    let any = Water::at_celsius(20.0).expect("in range");
    Water { density_kg_m3, viscosity_pa_s, ..any }
}

fn cold() -> Water {
    water(999.7025, 1.3059e-3)
}

fn hot() -> Water {
    water(983.1958, 4.66035e-4)
}

/// A network that grows; pipes lead from nodes that are there to a new one.
#[derive(Default)]
struct Growing(Network);

impl Growing {
    fn node(&mut self, height_m: f64, kind: NodeKind) -> usize {
        self.0.nodes.push(Node { height_m, kind });
        self.0.nodes.len() - 1
    }

    fn outlet(&mut self, from: usize, height_m: f64, [bore_m, length_m, loss_coefficient]: [f64; 3], water: Water) {
        let to = self.node(height_m, NodeKind::Held { pressure_pa: 0.0 });
        self.pipe(from, to, [bore_m, length_m, loss_coefficient], water);
        self.0.pipes.last_mut().expect("a pipe").one_way = OneWay::FromTo;
    }

    fn onward(&mut self, from: usize, height_m: f64, way: [f64; 3], water: Water) -> usize {
        let to = self.node(height_m, NodeKind::Free);
        self.pipe(from, to, way, water);
        to
    }

    fn pipe(&mut self, from: usize, to: usize, [bore_m, length_m, loss_coefficient]: [f64; 3], water: Water) {
        let (roughness_m, transition, one_way) = (1.5e-6, Transition::Late, OneWay::BothWays);
        let pipe = Pipe { from, to, length_m, bore_m, roughness_m, loss_coefficient, water, transition, one_way };
        self.0.pipes.push(pipe);
    }
}

fn house() -> Network {
    let mut net = Growing::default();
    let cistern = net.node(6.0, NodeKind::Held { pressure_pa: 0.0 });
    let cylinder = net.onward(cistern, 2.0, [0.0202, 5.0, 4.1], cold());
    let tee = net.onward(cylinder, 3.6, [0.0202, 2.2, 1.3], hot());
    net.outlet(tee, 1.0, [0.0202, 6.0, 21.5], hot());
    net.outlet(tee, 1.3, [0.0136, 5.0, 13.0], hot());
    net.outlet(tee, -1.5, [0.0136, 8.0, 14.8], hot());
    net.0
}

fn two_hundred_outlets() -> Network {
    let mut net = Growing::default();
    let mut above = net.node(34.0, NodeKind::Held { pressure_pa: 0.0 });
    for floor in (0..10).map(f64::from) {
        let height_m = 29.0 - 3.0 * floor;
        above = net.onward(above, height_m, [0.1, 3.0, 1.2], cold());
        for wing in (0..4).map(f64::from) {
            let branch = net.onward(above, height_m - 0.4, [0.0262, 4.0 + wing, 3.0], cold());
            for place in (0..5).map(f64::from) {
                net.outlet(branch, height_m - 1.5 - 0.1 * place, [0.0136, 3.0 + place, 30.0], cold());
            }
        }
    }
    net.0
}

fn network(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("solve a network");
    for (name, network) in [("house, three taps open", house()), ("two hundred outlets", two_hundred_outlets())] {
        let solution = solve(&network);
        eprintln!("{name}: {:.6} kg/s leave the cistern, {:?}", solution.flow_kg_s[0], solution.report);
        group.bench_function(name, |bencher| bencher.iter(|| solve(std::hint::black_box(&network))));
    }
    let layout = loftwright::file::parse(LARGEST, "the largest example").unwrap_or_else(|error| panic!("{error}"));
    let site = Site::of(&layout);
    let every_tap = Conditions::with(Open::Everything);
    group.bench_function("largest example, read off and solved for all taps", |bencher| {
        bencher.iter(|| Circuit::of(std::hint::black_box(&site)).flows(&every_tap));
    });
    group.finish();
    if let Some(python) = std::env::var_os("LOFTWRIGHT_PYTHON") {
        let ran = Command::new(python).arg("tests/oracle/time_reference.py").status();
        assert!(ran.is_ok_and(|status| status.success()), "the reference did not run");
    }
}

criterion_group!(benches, network);
criterion_main!(benches);
