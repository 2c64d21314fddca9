//! How warm the water in hot pipes is: by the cylinder that feeds them, or by all of several whose hot pipes are joined.

use std::collections::BTreeMap;

use foldhash::HashMap;

use super::build::water_at;
use super::{Circuit, HOT_ASSUMED_CELSIUS, Stretch};
use crate::layout::{Id, Service};
use crate::num::Union;
use crate::water::Water;

/// Hot water of several cylinders that are kept at unlike temperatures, where it comes together.
pub(super) struct Blend<'s> {
    /// The cylinders, by name.
    pub(super) of: Vec<&'s Id>,
    /// The mean of their temperatures, °C.
    pub(super) celsius: f64,
    /// By cylinder: its water, and the nodes of the connections by which it comes.
    pub(super) arms: Vec<(Water, Vec<usize>)>,
}

/// A hot connection: its node, and its cylinder's number among the vessels.
type Arm = (usize, usize);

impl<'s> Circuit<'s> {
    /// Gives the hot stretches their water. As far as a draw-off leads nowhere but to where others join it, it holds the
    /// water of its own cylinder. What several feed is taken at the mean of their temperatures until it is known how much
    /// each gives, so that nothing hangs on which of them is listed first.
    pub(super) fn warm_hot_pipes(&mut self) {
        let numbers = 0..self.stretches.len();
        let hot: Vec<usize> = numbers.filter(|number| self.is_hot(&self.stretches[*number])).collect();
        let mut joined = Union::of(self.node_mm.len());
        for &number in &hot {
            let (from, to) = self.stretches[number].nodes;
            joined.join(from, to);
        }
        let body_of = joined.roots();
        let mut arms_of: BTreeMap<usize, Vec<Arm>> = BTreeMap::new();
        for (number, vessel) in self.vessels.iter().enumerate() {
            for &node in &vessel.hot_arms {
                arms_of.entry(body_of[node]).or_default().push((node, number));
            }
        }
        let mut of_body: HashMap<usize, Water> = HashMap::default();
        let mut of_one: HashMap<usize, Water> = HashMap::default();
        let mut blend_in: HashMap<usize, usize> = HashMap::default();
        let mut blends = Vec::new();
        for (body, arms) in arms_of {
            let blend = self.blend_of(&arms);
            let alone = self.vessels[arms[0].1].water;
            of_body.insert(body, blend.as_ref().map_or(alone, |blend| water_at(None, blend.celsius)));
            if blend.is_some() {
                blend_in.insert(body, blends.len());
                for &arm in &arms {
                    let water = self.vessels[arm.1].water;
                    of_one.extend(self.draw_off_of(arm).into_iter().map(|stretch| (stretch, water)));
                }
            }
            blends.extend(blend);
        }
        self.blends = blends;
        for number in hot {
            let stretch = &mut self.stretches[number];
            let water = of_one.get(&number).or_else(|| of_body.get(&body_of[stretch.nodes.0]));
            stretch.water = water.copied().unwrap_or_else(|| water_at(None, HOT_ASSUMED_CELSIUS));
            let is_of_one = of_one.contains_key(&number);
            stretch.blend = blend_in.get(&body_of[stretch.nodes.0]).copied().filter(|_| !is_of_one);
        }
    }

    fn is_hot(&self, stretch: &Stretch) -> bool {
        matches!(self.site.run(stretch.run).service, Service::HotDistribution | Service::OpenVent)
    }

    /// What comes together behind some connections; `None` where all of it is equally warm.
    fn blend_of(&self, arms: &[Arm]) -> Option<Blend<'s>> {
        let mut numbers: Vec<usize> = arms.iter().map(|(_, vessel)| *vessel).collect();
        numbers.sort_unstable_by_key(|number| &self.vessels[*number].cylinder.id);
        numbers.dedup();
        let celsius = || numbers.iter().map(|number| self.vessels[*number].water.celsius);
        let (sum, count) = celsius().fold((0.0, 0.0), |(sum, count), celsius| (sum + celsius, count + 1.0));
        let first = self.vessels[numbers[0]].water.celsius;
        let nodes_of = |number: usize| arms.iter().filter(|arm| arm.1 == number).map(|arm| arm.0).collect();
        celsius().any(|celsius| celsius != first).then(|| Blend {
            of: numbers.iter().map(|number| &self.vessels[*number].cylinder.id).collect(),
            celsius: sum / count,
            arms: numbers.iter().map(|number| (self.vessels[*number].water, nodes_of(*number))).collect(),
        })
    }

    /// The stretches from a connection on in which no water but its cylinder's can run towards a tap: up to where a tap
    /// draws or pipes meet. None where the way leads to another connection of a cylinder.
    fn draw_off_of(&self, (arm, _): Arm) -> Vec<usize> {
        let is_arm = |node: usize| self.vessels.iter().any(|vessel| vessel.arms.contains(&node));
        let is_drawn_on = |node: usize| self.taps.iter().any(|tap| tap.nodes().contains(&node));
        let (mut node, mut way) = (arm, Vec::new());
        loop {
            let mut onward = self.through_pipes(node).filter(|through| !way.contains(&through.number));
            let (Some(only), None) = (onward.next(), onward.next()) else { return way };
            if is_drawn_on(node) {
                return way;
            }
            way.push(only.number);
            node = only.next;
            if is_arm(node) {
                return Vec::new();
            }
        }
    }
}
