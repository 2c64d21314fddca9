//! The lagging on pipes at a cylinder, as far as it can be seen from there.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use foldhash::HashSet;

use super::reading::WRITTEN_WITHIN_MM;
use super::{Attachment, Axis, Feature, Place, Reading, Site, find_out};
use crate::layout::{End, Id};
use crate::num::Ordered;
use crate::units::Measured;

/// How far lagging on a pipe at a cylinder is followed: past this nobody asks.
const FOLLOWED_MM: f64 = 1000.0;
/// Shorter than this is no stretch of pipe.
const NOTHING_MM: f64 = 1e-6;

/// How far each pipe on a cylinder is insulated from the cylinder on, against how far it can be seen within a metre.
#[must_use]
pub fn from_cylinder(site: &Site<'_>) -> Vec<Reading> {
    let mut readings = Vec::new();
    for cylinder in &site.layout().cylinders {
        for attachment in site.attached(&cylinder.id) {
            let Some(entered_mm) = site.end_along(attachment.run, attachment.end) else { continue };
            let lagged = follow_lagging(site, *attachment, &cylinder.id, entered_mm);
            readings.push(lagged.reading(&site.run(attachment.run).id, &cylinder.id, entered_mm, attachment.port));
        }
    }
    readings
}

/// What has been seen of the lagging, going outward from the cylinder.
struct Lagged<'a> {
    /// How far pipe was followed, at most.
    needed_mm: f64,
    /// Distance from the cylinder at which the first bare stretch begins, mm, and the run of which it is.
    bare: Option<(f64, &'a Id)>,
    /// A run whose lagging nobody has told.
    untold: Option<&'a Id>,
}

impl<'a> Lagged<'a> {
    /// Takes note of where a run is bare.
    fn see_bare(&mut self, distance_mm: f64, run: &'a Id) {
        if self.bare.is_none_or(|nearest| distance_mm < nearest.0) {
            self.bare = Some((distance_mm, run));
        }
    }

    fn reading(&self, run: &Id, cylinder: &Id, entered_mm: f64, port: &Id) -> Reading {
        let at_port = Place::of(cylinder, Feature::Port(port.clone()));
        if let Some(untold) = self.untold {
            return Reading::untold(run, find_out::insulation(untold)).along_with([cylinder]).at(at_port);
        }
        let covered_mm = self.bare.map_or(self.needed_mm, |bare| bare.0);
        // Lagging is judged by eye along the pipe, not by tape.
        let reading = Reading::mm(run, Measured::exact(covered_mm))
            .along_with([cylinder])
            .against(Measured::exact(self.needed_mm))
            .between(Axis::Along, [at_port, Place::of(run, Feature::Along(entered_mm))])
            .working(format!(
                "insulated without a gap for {covered_mm:.0} mm of the {:.0} mm that can be seen within a metre of the cylinder",
                self.needed_mm
            ));
        match self.bare {
            Some((_, bare)) => {
                reading.along_with([bare]).working(format!("the first bare pipe is {}", bare.with_article()))
            }
            None => reading,
        }
    }
}

/// Follows a run both ways from where it was entered, and what joins it, to a metre from the cylinder
/// or to the wall, floor or ceiling where it disappears.
///
/// Other runs on the same port have readings of their own and are not followed from here.
fn follow_lagging<'a>(site: &Site<'a>, start: Attachment<'_>, cylinder: &Id, entered_mm: f64) -> Lagged<'a> {
    let on_the_port = |run: usize| {
        let on_it = |end: &End| matches!(end, End::Port(part, port) if part == cylinder && port == start.port);
        on_it(&site.run(run).from) || on_it(&site.run(run).to)
    };
    let mut lagged = Lagged { needed_mm: 0.0, bare: None, untold: None };
    let mut seen = HashSet::default();
    // The nearest first, so that a run is entered by the shortest way.
    let mut to_follow = BinaryHeap::from([Reverse((Ordered(0.0), start.run, Ordered(entered_mm)))]);
    while let Some(Reverse((Ordered(travelled_mm), run, Ordered(entered_mm)))) = to_follow.pop() {
        let Some(line) = site.line(run).filter(|_| seen.insert(run)) else { continue };
        if site.run(run).insulation.is_none() {
            lagged.untold.get_or_insert(&site.run(run).id);
            continue;
        }
        for (sign, room_mm) in [(1.0, line.length() - entered_mm), (-1.0, entered_mm)] {
            let far_mm = (FOLLOWED_MM - travelled_mm).min(room_mm);
            if far_mm <= NOTHING_MM {
                continue;
            }
            let hidden = hidden_after(site, run, entered_mm, sign, far_mm);
            let seen_mm = hidden.unwrap_or(far_mm);
            let covered_mm = site.run(run).lagged_from_mm(entered_mm, entered_mm + sign * seen_mm);
            lagged.needed_mm = lagged.needed_mm.max(travelled_mm + seen_mm);
            if let Some(covered_mm) = covered_mm.filter(|covered_mm| *covered_mm < seen_mm) {
                lagged.see_bare(travelled_mm + covered_mm, &site.run(run).id);
            }
            for joint in site.joints(run) {
                let away_mm = (joint.at_mm - entered_mm) * sign;
                let in_sight = away_mm >= -NOTHING_MM && away_mm <= seen_mm + NOTHING_MM;
                let goes_on = in_sight && hidden.is_none_or(|end_mm| away_mm < end_mm) && !on_the_port(joint.other);
                if goes_on && !seen.contains(&joint.other) {
                    let travelled_mm = travelled_mm + away_mm.max(0.0);
                    to_follow.push(Reverse((Ordered(travelled_mm), joint.other, Ordered(joint.other_at_mm))));
                }
            }
        }
    }
    lagged
}

/// Distance at which a run goes through a wall, floor or ceiling, if it does within `far_mm`.
fn hidden_after(site: &Site<'_>, run: usize, start_mm: f64, sign: f64, far_mm: f64) -> Option<f64> {
    let line = site.line(run)?;
    let points = line.between(start_mm, start_mm + sign * far_mm);
    let building = site.building();
    let floors = building.storeys.iter().map(|storey| storey.floor.to_mm());
    let levels: Vec<f64> = floors.chain(building.ceiling.map(|ceiling| ceiling.underside.to_mm())).collect();
    let mut travelled_mm = 0.0;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let length_mm = a.distance(b);
        let through_level = levels.iter().filter_map(|level| crossing(a.y, b.y, *level));
        let through_wall = building.walls.iter().filter_map(|wall| {
            let near = if a.x < b.x { wall.x.to_mm() } else { wall.x.to_mm() + wall.thickness.to_mm() };
            let share = crossing(a.x, b.x, near)?;
            let z = a.y + (b.y - a.y) * share;
            (z >= wall.foot.to_mm() && z <= wall.head.to_mm()).then_some(share)
        });
        if let Some(share) = through_level.chain(through_wall).min_by(f64::total_cmp) {
            return Some(travelled_mm + share * length_mm);
        }
        travelled_mm += length_mm;
    }
    None
}

/// The share of the way from `a` to `b` at which `level` is crossed or come to; starting on it does not count.
fn crossing(a_mm: f64, b_mm: f64, level_mm: f64) -> Option<f64> {
    let (below_mm, above_mm) = (level_mm - WRITTEN_WITHIN_MM, level_mm + WRITTEN_WITHIN_MM);
    let is_crossed = (a_mm < below_mm && b_mm >= below_mm) || (a_mm > above_mm && b_mm <= above_mm);
    is_crossed.then(|| ((level_mm - a_mm) / (b_mm - a_mm)).min(1.0))
}
