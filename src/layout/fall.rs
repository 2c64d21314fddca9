//! The fall of a run's near-level stretches: read off its vertices, and held while the run is bent.

use glam::{DVec2, dvec2};

use super::following::{FarEnd, STILL_MM, is_level};
use super::{End, Id, Layout, Run, Traces, WhichEnd};
use crate::units::Gradient;

/// How much a run rises for each millimetre that it goes aside, on its longest near-level stretch; `None` when it has no
/// such stretch. Less than nothing for a fall in the direction in which the run is drawn.
#[must_use]
pub fn gradient_of(vertices: &[DVec2]) -> Option<f64> {
    let stretches = vertices.windows(2).map(|pair| pair[1] - pair[0]).filter(|stretch| is_level(*stretch));
    let longest = stretches.max_by(|a, b| a.x.abs().total_cmp(&b.x.abs()))?;
    Some(longest.y / longest.x.abs())
}

impl Layout {
    /// The fall of a run's longest near-level stretch; `None` when it has none.
    #[must_use]
    pub fn fall_of(&self, id: &Id) -> Option<Gradient> {
        Gradient::falling(-1000.0 * gradient_of(Traces::of(self).of_run(id)?.vertices())?)
    }

    /// A run with every near-level stretch at this fall, as far as its joined ends leave room; `None` when it has none.
    #[must_use]
    pub fn with_fall(&self, id: &Id, fall: Gradient) -> Option<Run> {
        let traces = Traces::of(self);
        let number = traces.number(id)?;
        let mut run = self.runs[number].clone();
        let was = traces.vertices(number, &run)?;
        gradient_of(&was)?;
        let mut now = was.clone();
        hold_gradient(&mut now, &was, -fall.fall_mm_per_m() / 1000.0, run.fast_ends());
        run.put_through(&now);
        Some(run)
    }
}

impl Run {
    /// Which ends stay where they are while the run is bent.
    pub(super) fn fast_ends(&self) -> [FarEnd; 2] {
        WhichEnd::BOTH.map(|which| match self.end(which) {
            End::Open(_) | End::Onward(_) => FarEnd::Loose,
            End::Port(..) | End::Tee(..) => FarEnd::Fast,
        })
    }

    /// Its vertices with its ends at two places: these, and its bends between.
    #[must_use]
    pub fn vertices(&self, from: DVec2, to: DVec2) -> Vec<DVec2> {
        let via = self.via.iter().map(|bend| bend.vector());
        std::iter::once(from).chain(via).chain(std::iter::once(to)).collect()
    }

    /// Puts bends and free ends where the vertices say.
    pub(super) fn put_through(&mut self, vertices: &[DVec2]) {
        let [first, via @ .., last] = vertices else { return };
        for (which, place) in [(WhichEnd::From, first), (WhichEnd::To, last)] {
            if let End::Open(point) | End::Onward(point) = self.end_mut(which) {
                *point = (*place).into();
            }
        }
        self.via = via.iter().map(|point| (*point).into()).collect();
    }
}

/// Gives every near-level stretch this gradient again. The vertices that have moved since `was` stay where they are, and
/// so do the ends that are fast; the upright stretches between take up what is over. What has no room stays as it is.
pub(super) fn hold_gradient(vertices: &mut [DVec2], was: &[DVec2], gradient: f64, ends: [FarEnd; 2]) {
    let last = vertices.len().saturating_sub(1);
    let moved = |number: usize, at: DVec2| was.get(number).is_none_or(|old| (*old - at).abs().max_element() > STILL_MM);
    let mut from = 0;
    while from < last {
        if !is_level(vertices[from + 1] - vertices[from]) {
            from += 1;
            continue;
        }
        let mut to = from + 1;
        while to < last && is_level(vertices[to + 1] - vertices[to]) {
            to += 1;
        }
        let fast_first = from == 0 && ends[0] == FarEnd::Fast;
        let fast_last = to == last && ends[1] == FarEnd::Fast;
        let stays = match (fast_first, fast_last) {
            (true, true) => None,
            (true, false) => Some(from),
            (false, true) => Some(to),
            (false, false) => {
                let same = was.len() == vertices.len();
                Some((from..=to).find(|number| same && moved(*number, vertices[*number])).unwrap_or(from))
            }
        };
        if let Some(stays) = stays {
            let x = |number: usize| vertices[number].x;
            let mut heights = vec![vertices[stays].y; to - from + 1];
            for number in stays + 1..=to {
                heights[number - from] = heights[number - from - 1] + gradient * (x(number) - x(number - 1)).abs();
            }
            for number in (from..stays).rev() {
                heights[number - from] = heights[number - from + 1] - gradient * (x(number + 1) - x(number)).abs();
            }
            for number in from..=to {
                vertices[number] = dvec2(vertices[number].x, heights[number - from]);
            }
        }
        from = to;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn falling() -> Vec<DVec2> {
        vec![dvec2(0.0, 3000.0), dvec2(1000.0, 2975.0), dvec2(1000.0, 1000.0), dvec2(3000.0, 1000.0)]
    }

    #[test]
    fn the_longest_stretch_tells_the_gradient() {
        assert_eq!(gradient_of(&falling()), Some(0.0));
        assert_eq!(gradient_of(&falling()[..3]), Some(-0.025));
        assert_eq!(gradient_of(&[DVec2::ZERO, dvec2(0.0, 500.0)]), None);
    }

    #[test]
    fn a_stretch_that_grows_keeps_its_gradient_and_the_drop_takes_it_up() {
        let was = falling();
        let mut now = was.clone();
        now[1].x = 1400.0;
        now[2].x = 1400.0;
        hold_gradient(&mut now, &was, -0.025, [FarEnd::Fast, FarEnd::Fast]);
        assert_eq!(now[1], dvec2(1400.0, 2965.0));
        // The last stretch lies between the bend and a fast end, and its bend gives way.
        assert_eq!(now[2], dvec2(1400.0, 1040.0));
        assert_eq!(now[3], was[3]);
    }

    #[test]
    fn between_two_fast_ends_nothing_gives_way() {
        let was = vec![dvec2(0.0, 0.0), dvec2(1000.0, 10.0)];
        let mut now = was.clone();
        hold_gradient(&mut now, &was, 0.05, [FarEnd::Fast, FarEnd::Fast]);
        assert_eq!(now, was);
        hold_gradient(&mut now, &was, 0.05, [FarEnd::Fast, FarEnd::Loose]);
        assert_eq!(now[1], dvec2(1000.0, 50.0));
    }
}
