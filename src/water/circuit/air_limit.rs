//! How much hot water can be drawn before a vent sucks air, and how much is likely to be drawn past it.

use foldhash::HashMap;

use super::flows::{Asked, loss_of_rating, tail};
use super::{Circuit, Conditions, MOST_WORK, NOT_FOUND, Open, Stretch, Supply, Tap};
use crate::layout::{OutletKind, Service};
use crate::measure::find_out;
use crate::num::{Union, zero_between};
use crate::water::demand::simultaneous_l_s;
use crate::water::network::{Network, Node, NodeKind, solve};

/// What the opening of other draw-offs is reckoned from, Pa: any will do, since it is then made narrower or wider.
const BEGIN_PA: f64 = 10_000.0;
/// How much narrower or wider, as the logarithm of the loss: to a four-hundredth of the flow, or to no loss worth telling.
const NARROWEST: f64 = 12.0;
/// How well that is found; half of it is the share by which the flow is out.
const ACCURACY: f64 = 1e-5;

/// What hot taps are likely to draw at one time, L/s.
#[derive(Default)]
pub(super) struct Likely {
    /// By body of water.
    of_body: HashMap<usize, f64>,
    /// By hot side.
    of_side: HashMap<usize, f64>,
}

/// Another cylinder's draw-off on the same feed.
struct Other {
    /// Where it leaves the cylinder.
    node: usize,
    /// What it is likely to draw when it alone draws, L/s.
    alone_l_s: f64,
}

impl Circuit<'_> {
    /// Joins the nodes of hot pipes, also through a cylinder from one hot pipe on it to the next.
    pub(super) fn find_hot_sides(&mut self) {
        let mut sides = Union::of(self.node_mm.len());
        let is_hot = |stretch: &Stretch| {
            matches!(self.site.run(stretch.run).service, Service::HotDistribution | Service::OpenVent)
        };
        for stretch in self.stretches.iter().filter(|stretch| is_hot(stretch)) {
            sides.join(stretch.nodes.0, stretch.nodes.1);
        }
        for vessel in &self.vessels {
            let hot = vessel.arms.iter().copied().filter(|arm| self.stretches_at(*arm).all(is_hot));
            let hot: Vec<usize> = hot.collect();
            hot.windows(2).for_each(|pair| sides.join(pair[0], pair[1]));
        }
        self.hot_side_of = sides.roots();
    }

    /// The nodes by which a tap draws hot water: those that hot pipes lead to from a cylinder, whichever side of the outlet
    /// they are on; of an outlet that they do not lead to, the node of its hot side.
    pub(super) fn hot_nodes(&self, number: usize) -> Vec<usize> {
        let tap = &self.taps[number];
        // The taps of an outlet stand side by side.
        let beside = &self.taps[number.saturating_sub(1)..(number + 2).min(self.taps.len())];
        let mut of_outlet = beside.iter().filter(|other| other.outlet.id == tap.outlet.id).flat_map(Tap::nodes);
        let mut nodes = tap.nodes();
        if of_outlet.any(|node| self.is_heated(node)) {
            nodes.retain(|node| self.is_heated(*node));
        } else {
            nodes.truncate(usize::from(tap.supply != Supply::Cold));
        }
        nodes
    }

    /// Whether hot water comes to a tap.
    #[must_use]
    pub fn gives_hot(&self, number: usize) -> bool {
        !self.hot_nodes(number).is_empty()
    }

    /// Whether hot pipes lead from a cylinder to a node.
    fn is_heated(&self, node: usize) -> bool {
        let mut hot_arms = self.vessels.iter().flat_map(|vessel| &vessel.hot_arms);
        hot_arms.any(|arm| self.hot_side_of[*arm] == self.hot_side_of[node])
    }

    /// What of a tap's flow comes from hot pipes, L/s; `hot_side_l_s` is what comes by the hot side of a mixer.
    #[must_use]
    pub fn hot_of_flow_l_s(&self, number: usize, flow_l_s: f64, hot_side_l_s: Option<f64>) -> f64 {
        let hot = self.hot_nodes(number);
        let sides_l_s = match hot_side_l_s {
            Some(hot_side_l_s) => vec![hot_side_l_s, flow_l_s - hot_side_l_s],
            None => vec![flow_l_s],
        };
        let sides = self.taps[number].nodes().into_iter().zip(sides_l_s);
        sides.filter(|(node, _)| hot.contains(node)).map(|(_, side_l_s)| side_l_s).sum()
    }

    /// Adds up what hot taps are likely to draw, for want of which no vent is judged.
    pub(super) fn find_what_is_likely(&mut self) {
        if self.vents.is_empty() {
            return;
        }
        let hot = || {
            let of_tap = |(number, tap): (usize, &Tap<'_>)| Some((*self.hot_nodes(number).first()?, tap.outlet.kind));
            self.taps.iter().enumerate().filter_map(of_tap)
        };
        self.likely = Likely {
            of_body: likely_l_s(hot().map(|(node, kind)| (self.body_of[node], kind))),
            of_side: likely_l_s(hot().map(|(node, kind)| (self.hot_side_of[node], kind))),
        };
    }

    /// The hot side that a vent airs; none where it is not on one, such as a vent on a cold feed.
    pub(super) fn side_of_vent(&self, vent: usize) -> Option<usize> {
        let side = self.hot_side_of[self.vents[vent].tee];
        let mut arms = self.vessels.iter().flat_map(|vessel| &vessel.arms);
        arms.any(|arm| self.hot_side_of[*arm] == side).then_some(side)
    }

    /// Hot water that the taps which draw past a vent are likely to draw at one time, L/s: those that are drawn through its
    /// cylinder.
    #[must_use]
    pub fn hot_demand_l_s(&self, vent: usize) -> f64 {
        let likely_l_s = match self.side_of_vent(vent) {
            Some(side) => self.likely.of_side.get(&side),
            None => self.likely.of_body.get(&self.body_of_vent(vent)),
        };
        likely_l_s.copied().unwrap_or(0.0)
    }

    /// What is likely to be drawn meanwhile through the other cylinders on the same feed, L/s: what all hot taps together are
    /// likely to draw, less what the vent's own draw.
    #[must_use]
    pub fn drawn_by_others_l_s(&self, vent: usize) -> f64 {
        if self.side_of_vent(vent).is_none() {
            return 0.0;
        }
        let all_l_s = self.likely.of_body.get(&self.body_of_vent(vent)).copied().unwrap_or(0.0);
        (all_l_s - self.hot_demand_l_s(vent)).max(0.0)
    }

    /// By vent, the greatest flow that the feed delivers to its tee before air is drawn in, L/s of the hot water there,
    /// while the other cylinders on the same feed give what is likely.
    ///
    /// # Errors
    /// For a vent, why no such flow can be told.
    #[must_use]
    pub fn air_limits_l_s(&self, conditions: &Conditions) -> Vec<Result<f64, String>> {
        if self.vents.is_empty() {
            return Vec::new();
        }
        let shut = Conditions { open: Open::Nothing, ..conditions.clone() };
        let at_rest = self.network(&shut, &[]);
        (0..self.vents.len()).map(|vent| self.air_limit_l_s(vent, &shut, &at_rest)).collect()
    }

    fn air_limit_l_s(&self, vent: usize, shut: &Conditions, at_rest: &Asked) -> Result<f64, String> {
        let tee = self.vents[vent].tee;
        if !self.has_source(vent) {
            return Err(find_out::COLD_FEED.to_owned());
        }
        if Self::is_kept_dry(at_rest, tee) {
            return Err(self.words_of_hump(tee));
        }
        if !self.is_told(self.body_of[tee], shut) {
            return Err(self.what_to_tell(self.body_of[tee], shut));
        }
        if self.vents.len() * self.stretches.len() > MOST_WORK {
            return Err("draw fewer pipes and vents in one drawing: these are too many to try each vent".to_owned());
        }
        let mut network = at_rest.network.clone();
        network.nodes[tee].kind = NodeKind::Held { pressure_pa: 0.0 };
        self.draw_through_others(vent, &mut network);
        let into_tee_kg_s = into_node_kg_s(&network, tee).ok_or_else(|| NOT_FOUND.to_owned())?;
        Ok((into_tee_kg_s / self.vents[vent].water.density_kg_m3 * 1000.0).max(0.0))
    }

    fn has_source(&self, vent: usize) -> bool {
        self.sources.iter().any(|source| self.body_of[source.node] == self.body_of_vent(vent))
    }

    fn others(&self, vent: usize) -> Vec<Other> {
        let (own, body) = (self.side_of_vent(vent), self.body_of_vent(vent));
        let mut others: Vec<Other> = Vec::new();
        let mut sides: Vec<usize> = own.into_iter().collect();
        for &node in self.vessels.iter().flat_map(|vessel| &vessel.arms).filter(|node| self.body_of[**node] == body) {
            let side = self.hot_side_of[node];
            if sides.contains(&side) {
                continue;
            }
            sides.push(side);
            if let Some(&alone_l_s) = self.likely.of_side.get(&side) {
                others.push(Other { node, alone_l_s });
            }
        }
        others
    }

    /// Opens the other draw-offs so far that what is likely runs through them together, or as far as the feed gives it.
    fn draw_through_others(&self, vent: usize, network: &mut Network) {
        let wanted_l_s = self.drawn_by_others_l_s(vent);
        let others = if wanted_l_s > 0.0 { self.others(vent) } else { Vec::new() };
        if others.is_empty() {
            return;
        }
        let opened = |wider: f64| {
            let mut network = network.clone();
            let (mut mouths, first) = (Vec::new(), network.nodes.len());
            for other in &others {
                let water = self.water_at_node(other.node);
                let loss_coefficient = loss_of_rating(&water, other.alone_l_s, BEGIN_PA) * (-wider).exp();
                let height_m = network.nodes[other.node].height_m;
                network.nodes.push(Node { height_m, kind: NodeKind::Held { pressure_pa: 0.0 } });
                network.pipes.push(tail((other.node, first + mouths.len()), loss_coefficient, water));
                mouths.push(water);
            }
            (network, mouths)
        };
        let short_l_s = |wider: f64| {
            let (network, mouths) = opened(wider);
            let solution = solve(&network);
            let flows = solution.flow_kg_s.iter().rev().zip(mouths.iter().rev());
            flows.map(|(flow, water)| flow / water.density_kg_m3 * 1000.0).sum::<f64>() - wanted_l_s
        };
        let wider = zero_between(-NARROWEST, NARROWEST, ACCURACY, short_l_s).unwrap_or(NARROWEST);
        *network = opened(wider).0;
    }
}

/// What taps are likely to draw together, L/s, by what they belong to.
fn likely_l_s(taps: impl Iterator<Item = (usize, OutletKind)>) -> HashMap<usize, f64> {
    let mut kinds: HashMap<usize, Vec<OutletKind>> = HashMap::default();
    for (belongs_to, kind) in taps {
        kinds.entry(belongs_to).or_default().push(kind);
    }
    kinds.into_iter().map(|(belongs_to, kinds)| (belongs_to, simultaneous_l_s(&kinds))).collect()
}

/// What runs into a node, kg/s; `None` where no flows are found.
fn into_node_kg_s(network: &Network, node: usize) -> Option<f64> {
    let solution = solve(network);
    // Taken from nothing, since the negative of nothing would be written as −0.
    solution.converged().then(|| 0.0 - network.net_outflow_kg_s(&solution.flow_kg_s)[node])
}
