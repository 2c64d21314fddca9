//! What runs where under given conditions: each tap's flow and head, each stretch's velocity, each vent's level.

use std::f64::consts::FRAC_PI_4;

use foldhash::{HashMap, HashSet};

use super::air_by_taps::AirBy;
use super::giving::Given;
use super::ratings::passes;
use super::{Circuit, Conditions, Feeds, Fitting, Stretch, Supply, TAIL_BORE_M, Tap, cold_water};
use crate::layout::Id;
use crate::num::Union;
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::Water;
use crate::water::friction::{Transition, reynolds, velocity_m_s};
use crate::water::levels::level_in_vent_mm;
use crate::water::network::{Network, Node, NodeKind, OneWay, Pipe, Report, Solution, solve};

/// Each side of a mixer takes this share of the mixer's rated pressure where both bring half of its rated flow (assumption).
const SHARE_OF_MIXER_SIDE: f64 = 0.25;
/// A pressure of less than this is no more than rounding.
pub(super) const ROUNDING_PA: f64 = 1e-6;

/// What runs where.
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// One for each tap of the circuit.
    pub taps: Vec<TapFlow>,
    /// One for each vent of the circuit.
    pub vents: Vec<VentState>,
    /// One for each stretch of the circuit; none where it is not reckoned.
    pub stretches: Vec<Option<StretchFlow>>,
    /// What leaves each cistern of [`Circuit::cisterns`] in all, L/s; with air drawn, what the feed then brings.
    pub drawn_l_s: Vec<f64>,
    /// The taps that draw air in, by their number.
    pub air_at_taps: Vec<usize>,
    /// What each tap of the circuit gives for that.
    pub given: Vec<Given>,
    /// How solving went.
    pub report: Report,
}

/// What a tap gives.
#[derive(Debug, Clone, PartialEq)]
pub struct TapFlow {
    /// Whether it is open.
    pub open: bool,
    /// What comes of it.
    pub outcome: Outcome,
}

/// What comes of a tap.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// It runs, or stands shut under the head that rests on it.
    Reckoned {
        /// What leaves it, L/s; nothing when it is shut or starved.
        flow_l_s: f64,
        /// Head in front of it, m of water; below nothing the water does not come up to it.
        residual_head_m: f64,
        /// Temperature of what leaves a mixer, °C.
        mixed_celsius: Option<f64>,
        /// What of it comes from the hot side of a mixer, L/s.
        hot_l_s: Option<f64>,
    },
    /// Water would run faster than the pipes deliver: air is drawn in, and the flow is not steady.
    AirDrawn(AirBy),
    /// No cistern feeds it, as drawn or with these valves shut.
    CutOff,
    /// A pipe on its way rises above the water, which does not get over by itself; says which.
    Dry(String),
    /// It is on the main, which is not reckoned.
    OnMain,
    /// Not told enough; says what to find out.
    Untold(String),
    /// The solver found no flows.
    NotFound,
}

impl TapFlow {
    /// What leaves it, L/s; none when that is not known or not steady.
    #[must_use]
    pub const fn flow_l_s(&self) -> Option<f64> {
        match self.outcome {
            Outcome::Reckoned { flow_l_s, .. } => Some(flow_l_s),
            _ => None,
        }
    }
}

impl Outcome {
    /// Why there is no flow to tell; empty when there is.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Reckoned { .. } => String::new(),
            Self::AirDrawn(by) => by.words_with_why(),
            Self::CutOff => "no cistern feeds it, as drawn and with these valves".to_owned(),
            Self::Dry(why) => format!("no water: {why}"),
            Self::OnMain => "it is fed by the main, which is not reckoned".to_owned(),
            Self::Untold(what) => format!("not known: {what}"),
            Self::NotFound => "no flows were found; see the solver's report".to_owned(),
        }
    }
}

/// How an open vent stands.
#[derive(Debug, Clone, PartialEq)]
pub struct VentState {
    /// The run with its open end.
    pub run: Id,
    /// Whether air is drawn in through it.
    pub draws_air: bool,
    /// What the open taps would take past it if it stood full, L/s of their water; none but where it draws air.
    pub asked_l_s: Option<f64>,
    /// Level of the water in it, mm above the datum; none when it draws air or nothing is known.
    pub level_mm: Option<f64>,
    /// Level of its highest point, mm above the datum; none when no open end is drawn.
    pub top_mm: Option<f64>,
}

/// What runs in a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StretchFlow {
    /// L/s, positive along the run.
    pub flow_l_s: f64,
    /// m/s, positive along the run.
    pub velocity_m_s: f64,
    /// Re = v D / ν.
    pub reynolds: f64,
    /// Head of water above the place at its two ends, m.
    pub head_m: (f64, f64),
}

/// Bodies of water of which no flow can be told.
struct Clouds<'c> {
    /// What is open and shut.
    conditions: &'c Conditions,
    /// For want of facts.
    untold: HashSet<usize>,
    /// Since air is drawn into them, by this.
    airy: HashMap<usize, AirBy>,
}

impl Circuit<'_> {
    /// Reckons what runs where.
    #[must_use]
    pub fn flows(&self, conditions: &Conditions) -> Flows {
        let (asked, solution) = self.solved(conditions, &[]);
        let untold = self.untold_bodies(conditions);
        let vents: Vec<VentState> =
            (0..self.vents.len()).map(|vent| self.vent_state(vent, &untold, &asked, &solution)).collect();
        let aired = self.aired(conditions, &untold, &vents, (&asked, &solution));
        let airy = self.airy_bodies(conditions, &aired);
        let clouds = Clouds { conditions, untold, airy };
        let taps: Vec<TapFlow> = (self.taps.iter().enumerate())
            .map(|(number, tap)| TapFlow {
                open: conditions.opens(number, tap),
                outcome: self.outcome(number, tap, &asked, &solution, &clouds),
            })
            .collect();
        let stretches = (self.stretches.iter().zip(&asked.pipe_of_stretch))
            .map(|(stretch, pipe)| {
                let body = self.body_of[stretch.nodes.0];
                let known = solution.converged() && !clouds.untold.contains(&body) && !clouds.airy.contains_key(&body);
                pipe.filter(|_| known).map(|pipe| Self::stretch_flow(stretch, pipe, &asked, &solution))
            })
            .collect();
        let (drawn_l_s, given) = self.drawn_and_given((&asked, &solution), &taps, &aired);
        let air_at_taps = aired.taps.iter().map(|air| air.tap).collect();
        Flows { taps, vents, stretches, drawn_l_s, air_at_taps, given, report: solution.report }
    }

    fn stretch_flow(stretch: &Stretch, pipe: usize, asked: &Asked, solution: &Solution) -> StretchFlow {
        let (water, flow_kg_s) = (&asked.network.pipes[pipe].water, solution.flow_kg_s[pipe]);
        let bore_m = stretch.tube.map_or(TAIL_BORE_M, |tube| tube.bore_m);
        let head = |node: usize| head_m(solution.pressure_pa[node].unwrap_or(0.0), water);
        let velocity_m_s = velocity_m_s(water, flow_kg_s, bore_m);
        StretchFlow {
            flow_l_s: flow_kg_s / water.density_kg_m3 * 1000.0,
            velocity_m_s,
            reynolds: reynolds(water, velocity_m_s, bore_m),
            head_m: (head(stretch.nodes.0), head(stretch.nodes.1)),
        }
    }

    fn vent_state(&self, number: usize, untold: &HashSet<usize>, asked: &Asked, solution: &Solution) -> VentState {
        let vent = &self.vents[number];
        let told = !untold.contains(&self.body_of[vent.tee]) && !Self::is_kept_dry(asked, vent.tee);
        // What no cistern feeds runs empty, and stands nowhere.
        let known = solution.converged() && told && asked.fed[vent.tee];
        let pressure_pa = solution.pressure_pa[vent.tee].filter(|_| known);
        let draws_air = pressure_pa.is_some_and(|pressure_pa| pressure_pa < -ROUNDING_PA);
        let level = |pressure_pa: f64| level_in_vent_mm(self.node_mm[vent.tee], pressure_pa, &vent.water);
        let level_mm = pressure_pa.filter(|_| !draws_air).map(level);
        let asked_l_s = draws_air.then(|| self.taken_past_l_s(number, asked, solution));
        VentState { run: vent.run.clone(), draws_air, asked_l_s, level_mm, top_mm: vent.top_mm }
    }

    fn outcome(
        &self,
        number: usize,
        tap: &Tap<'_>,
        asked: &Asked,
        solution: &Solution,
        clouds: &Clouds<'_>,
    ) -> Outcome {
        if tap.is_on_main() {
            return Outcome::OnMain;
        }
        let nodes = tap.nodes();
        let bodies = || nodes.iter().map(|node| self.body_of[*node]);
        if let Some(body) = bodies().find(|body| clouds.untold.contains(body)) {
            return Outcome::Untold(self.what_to_tell(body, clouds.conditions));
        }
        if !solution.converged() {
            return Outcome::NotFound;
        }
        // Water at rest need not come up to a tap; where it would, and a pipe lies above it, the tap is dry.
        let at_rest_pa = |node: usize| self.at_rest_pa.get(node).copied().flatten();
        let is_dry = |node: usize| Self::is_kept_dry(asked, node) && at_rest_pa(node).is_some_and(|rest| rest > 0.0);
        if let Some(node) = nodes.iter().find(|node| is_dry(**node)) {
            return Outcome::Dry(self.words_of_hump(*node));
        }
        if let Some(by) = bodies().find_map(|body| clouds.airy.get(&body)) {
            return Outcome::AirDrawn(by.clone());
        }
        // The side that is under the lesser pressure decides what a mixer can do; one that is cut off gives nothing.
        let pressure_pa = |node: &usize| match asked.fed[*node] {
            true => solution.pressure_pa[*node],
            false => at_rest_pa(*node).filter(|_| Self::is_kept_dry(asked, *node)),
        };
        let known = nodes.iter().filter_map(pressure_pa).reduce(f64::min);
        let Some(pressure_pa) = known.or_else(|| asked.held_back_pa(&nodes)) else {
            return Outcome::CutOff;
        };
        let mouths = asked.pipes_of_tap.get(number).and_then(Option::as_ref);
        let water = mouths.map_or_else(|| self.water_of(tap), |mouths| asked.network.pipes[mouths.mouth].water);
        let residual_head_m = head_m(pressure_pa, &water);
        let Some(mouths) = mouths else {
            return Outcome::Reckoned { flow_l_s: 0.0, residual_head_m, mixed_celsius: None, hot_l_s: None };
        };
        let litres = |pipe: &usize| solution.flow_kg_s[*pipe] / asked.network.pipes[*pipe].water.density_kg_m3 * 1000.0;
        let mixed_celsius = (mouths.sides).and_then(|(hot, cold)| mixed(asked, solution, hot, cold));
        let hot_l_s = mouths.sides.map(|(hot, _)| litres(&hot).max(0.0));
        Outcome::Reckoned { flow_l_s: litres(&mouths.mouth), residual_head_m, mixed_celsius, hot_l_s }
    }

    /// The water that stands in front of a tap.
    pub(super) fn water_of(&self, tap: &Tap<'_>) -> Water {
        let at = |node: usize| self.stretches_at(node).next().map(|stretch| stretch.water);
        let water = match tap.feeds {
            Feeds::One(node) => at(node),
            Feeds::Mixed { hot, cold } => at(hot).zip(at(cold)).map(|(hot, cold)| {
                let celsius = (hot.celsius + cold.celsius) / 2.0;
                Water::at_celsius(celsius).expect("between two temperatures of liquid water")
            }),
            Feeds::Main => None,
        };
        water.unwrap_or_else(cold_water)
    }
}

/// A network, and which of its pipes stand for what.
pub(super) struct Asked {
    pub(super) network: Network,
    /// By source: where water falls into its cistern by a hole above the water.
    pub(super) mouths: Vec<Option<usize>>,
    /// By inlet: the pipe through the seat of a float valve that stands open.
    pub(super) pipes_of_inlets: Vec<Option<usize>>,
    /// By node of the circuit: whether an open way leads to a cistern.
    pub(super) fed: Vec<bool>,
    /// The same, ways over what rises above the water among them; none where nothing does.
    pub(super) fed_over_humps: Option<Vec<bool>>,
    pub(super) pipe_of_stretch: Vec<Option<usize>>,
    /// The nodes of pipes on cylinders, each with the pipe from inside to it.
    pub(super) pipes_of_arms: Vec<(usize, usize)>,
    pub(super) pipes_of_tap: Vec<Option<TapPipes>>,
}

impl Asked {
    /// The pressure at nodes that non-return valves keep from every cistern, Pa: as without the valves where water does
    /// not come up to them, and 0 where it would. None where no way leads to a cistern at all.
    fn held_back_pa(&self, nodes: &[usize]) -> Option<f64> {
        let fed: Vec<usize> = nodes.iter().copied().filter(|node| self.fed[*node]).collect();
        if fed.is_empty() {
            return None;
        }
        let mut open = self.network.clone();
        for pipe in self.pipe_of_stretch.iter().flatten() {
            open.pipes[*pipe].one_way = OneWay::BothWays;
        }
        let solution = solve(&open);
        Some(fed.iter().filter_map(|node| solution.pressure_pa[*node]).fold(0.0, f64::min))
    }
}

/// The pipes that stand for an open tap.
pub(super) struct TapPipes {
    /// Out of its mouth.
    pub(super) mouth: usize,
    /// Into a mixer from the hot and the cold side, neither of which lets water back.
    pub(super) sides: Option<(usize, usize)>,
}

impl Circuit<'_> {
    /// The network for some conditions; with some nodes held at the pressure of the air.
    pub(super) fn network(&self, conditions: &Conditions, aired: &[usize]) -> Asked {
        let node = |mm: &f64| Node { height_m: mm / 1000.0, kind: NodeKind::Free };
        let mut network = Network { nodes: self.node_mm.iter().map(node).collect(), pipes: Vec::new() };
        self.hold_sources(conditions, &mut network);
        for node in aired {
            network.nodes[*node].kind = NodeKind::Held { pressure_pa: 0.0 };
        }
        let mut pipe_of_stretch = Vec::with_capacity(self.stretches.len());
        for stretch in &self.stretches {
            let pipe = self.pipe(stretch, conditions);
            pipe_of_stretch.push(pipe.is_some().then_some(network.pipes.len()));
            network.pipes.extend(pipe);
        }
        let pipes_of_arms = self.add_vessels(&mut network);
        let humps = self.stretches.iter().filter(|stretch| stretch.is_above_water);
        let humps: Vec<Pipe> = humps.filter_map(|stretch| self.pipe_of(stretch, conditions)).collect();
        let fed = fed_nodes(&network, &[]);
        let fed_over_humps = (!humps.is_empty()).then(|| fed_nodes(&network, &humps));
        let mut pipes_of_tap = Vec::with_capacity(self.taps.len());
        for (number, tap) in self.taps.iter().enumerate() {
            let opens = conditions.opens(number, tap);
            pipes_of_tap.push(opens.then(|| self.add_tap(tap, &mut network)).flatten());
        }
        let pipes_of_inlets = self.open_inlets(conditions, &mut network);
        let mouths = self.add_mouths(conditions, &mut network);
        Asked { network, mouths, pipes_of_inlets, fed, fed_over_humps, pipe_of_stretch, pipes_of_arms, pipes_of_tap }
    }

    /// The pipe for a stretch; none where nothing can run in it.
    fn pipe(&self, stretch: &Stretch, conditions: &Conditions) -> Option<Pipe> {
        self.pipe_of(stretch, conditions).filter(|_| !stretch.is_above_water)
    }

    /// The pipe for a stretch that is full; none where a valve in it is shut.
    fn pipe_of(&self, stretch: &Stretch, conditions: &Conditions) -> Option<Pipe> {
        let tube = stretch.tube?;
        if stretch.valves.iter().any(|valve| conditions.shuts(self, stretch.run, *valve)) {
            return None;
        }
        // What is told stands for bends and valves; what water loses where pipes begin, end and part is never in it.
        let is_reckoned = |fitting: &Fitting| match fitting {
            Fitting::Bend | Fitting::InLine(_) => stretch.told_loss.is_none(),
            _ => true,
        };
        let reckoned = stretch.fittings.iter().filter(|(fitting, _)| is_reckoned(fitting));
        let reckoned: f64 = reckoned.map(|(fitting, many)| fitting.loss_coefficient(conditions.losses) * many).sum();
        Some(Pipe {
            from: stretch.nodes.0,
            to: stretch.nodes.1,
            length_m: (stretch.along_mm.1 - stretch.along_mm.0) / 1000.0,
            bore_m: tube.bore_m,
            roughness_m: tube.roughness_m,
            loss_coefficient: reckoned + stretch.told_loss.unwrap_or(0.0),
            water: stretch.water,
            transition: conditions.losses.transition(),
            one_way: if stretch.one_way { OneWay::FromTo } else { OneWay::BothWays },
        })
    }

    /// Inside a cylinder water is all hot and hardly moves: each pipe on it meets the others at the cold inlet's level.
    fn add_vessels(&self, network: &mut Network) -> Vec<(usize, usize)> {
        let mut pipes_of_arms = Vec::new();
        for vessel in &self.vessels {
            let inside = network.nodes.len();
            let height_m = vessel.inlet_mm / 1000.0;
            network.nodes.push(Node { height_m, kind: NodeKind::Free });
            for arm in &vessel.arms {
                pipes_of_arms.push((*arm, network.pipes.len()));
                network.pipes.push(Pipe {
                    from: inside,
                    to: *arm,
                    length_m: (network.nodes[*arm].height_m - height_m).abs(),
                    bore_m: vessel.cylinder.diameter.to_mm() / 1000.0,
                    roughness_m: 0.0,
                    loss_coefficient: 0.0,
                    water: vessel.water,
                    transition: Transition::Late,
                    one_way: OneWay::BothWays,
                });
            }
        }
        pipes_of_arms
    }

    fn add_tap(&self, tap: &Tap<'_>, network: &mut Network) -> Option<TapPipes> {
        let (flow_l_s, at_kpa) = passes(tap.outlet);
        let height_m = tap.outlet.at.z.to_mm() / 1000.0;
        let mouth = network.nodes.len();
        network.nodes.push(Node { height_m, kind: NodeKind::Held { pressure_pa: 0.0 } });
        let water = self.water_of(tap);
        let mut join = |(from, to): (usize, usize), flow_l_s: f64, share: f64, water: Water| {
            let loss_coefficient = loss_of_rating(&water, flow_l_s, at_kpa * 1000.0 * share);
            network.pipes.push(tail((from, to), loss_coefficient, water));
            network.pipes.len() - 1
        };
        match tap.feeds {
            Feeds::Main => None,
            Feeds::One(node) => Some(TapPipes { mouth: join((node, mouth), flow_l_s, 1.0, water), sides: None }),
            Feeds::Mixed { hot, cold } => {
                let mixer = mouth + 1;
                let sides = [(hot, Supply::Hot), (cold, Supply::Cold)].map(|(node, supply)| {
                    let side = Tap { supply, feeds: Feeds::One(node), ..tap.clone() };
                    join((node, mixer), flow_l_s / 2.0, SHARE_OF_MIXER_SIDE, self.water_of(&side))
                });
                let mouth = join((mixer, mouth), flow_l_s, 1.0 - SHARE_OF_MIXER_SIDE, water);
                network.nodes.push(Node { height_m, kind: NodeKind::Free });
                Some(TapPipes { mouth, sides: Some((sides[0], sides[1])) })
            }
        }
    }
}

/// By node: whether pipes, and some besides those of the network, lead to it from a node whose pressure is held.
fn fed_nodes(network: &Network, besides: &[Pipe]) -> Vec<bool> {
    let mut joined = Union::of(network.nodes.len());
    for pipe in network.pipes.iter().chain(besides) {
        joined.join(pipe.from, pipe.to);
    }
    let part_of = joined.roots();
    let mut is_fed = vec![false; part_of.len()];
    for (node, part) in network.nodes.iter().zip(&part_of) {
        is_fed[*part] |= node.kind != NodeKind::Free;
    }
    part_of.iter().map(|part| is_fed[*part]).collect()
}

/// A tap with its tail, which lets water out and none back: all loss, and no length.
pub(super) const fn tail((from, to): (usize, usize), loss_coefficient: f64, water: Water) -> Pipe {
    Pipe {
        from,
        to,
        length_m: 0.0,
        bore_m: TAIL_BORE_M,
        roughness_m: 0.0,
        loss_coefficient,
        water,
        transition: Transition::Late,
        one_way: OneWay::FromTo,
    }
}

/// The loss coefficient, on the bore of a tail, of a tap that passes a flow at a pressure: K = 2 Δp / (ρ v²).
pub(super) fn loss_of_rating(water: &Water, flow_l_s: f64, pressure_pa: f64) -> f64 {
    let velocity_m_s = flow_l_s / 1000.0 / (FRAC_PI_4 * TAIL_BORE_M * TAIL_BORE_M);
    2.0 * pressure_pa / (water.density_kg_m3 * velocity_m_s * velocity_m_s)
}

/// Temperature of mixed water, by the heat that each side brings.
fn mixed(asked: &Asked, solution: &Solution, hot: usize, cold: usize) -> Option<f64> {
    let heat = |pipe: usize| {
        let water = asked.network.pipes[pipe].water;
        let capacity_w_k = solution.flow_kg_s[pipe].max(0.0) * water.heat_j_kg_k;
        (capacity_w_k, capacity_w_k * water.celsius)
    };
    let ((hot_w_k, hot_heat), (cold_w_k, cold_heat)) = (heat(hot), heat(cold));
    let together_w_k = hot_w_k + cold_w_k;
    (together_w_k > 0.0).then(|| (hot_heat + cold_heat) / together_w_k)
}

fn head_m(pressure_pa: f64, water: &Water) -> f64 {
    pressure_pa / (water.density_kg_m3 * STANDARD_GRAVITY_M_S2)
}
