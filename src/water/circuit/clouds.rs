//! Bodies of water in which flows cannot be told, and how that spreads through mixers that are open.

use foldhash::HashSet;

use super::{Circuit, Conditions, Feeds};

impl Circuit<'_> {
    /// Bodies of water that are not told enough of, by themselves or through an open mixer.
    pub(super) fn untold_bodies(&self, conditions: &Conditions) -> HashSet<usize> {
        self.through_open_mixers(conditions, self.untold.keys().copied())
    }

    /// Some bodies, and those that open mixers join to them.
    pub(super) fn through_open_mixers(
        &self,
        conditions: &Conditions,
        bodies: impl Iterator<Item = usize>,
    ) -> HashSet<usize> {
        let mut spread: HashSet<usize> = bodies.collect();
        let open = self.taps.iter().enumerate().filter(|(number, tap)| conditions.opens(*number, tap));
        let mixers: Vec<[usize; 2]> = open
            .filter_map(|(_, tap)| match tap.feeds {
                Feeds::Mixed { hot, cold } => Some([self.body_of[hot], self.body_of[cold]]),
                _ => None,
            })
            .collect();
        while let Some(sides) = mixers.iter().find(|[a, b]| spread.contains(a) != spread.contains(b)) {
            spread.extend(sides);
        }
        spread
    }

    /// What has to be found out before flows can be reckoned in a body of water.
    #[must_use]
    pub fn what_to_tell(&self, body: usize) -> String {
        match self.untold.get(&body) {
            Some(reasons) => reasons.join("; "),
            None => "the other side of an open mixer is not told enough of".to_owned(),
        }
    }
}
