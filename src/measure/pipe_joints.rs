//! What pipes make where they meet, told by the directions of the legs alone: what lies in line, what turns off. It hangs
//! neither on the end from which a run is drawn nor on whether a run is cut there.

use foldhash::HashMap;
use glam::DVec2;

use super::Site;
use super::cuts::Cuts;
use crate::geom::ONE_JOINT_MM;
use crate::layout::{End, WhichEnd};
use crate::num::Union;

/// A turn of less than this is the pipe's own fall, or is set in the tube, and takes no bend, degrees (common practice, no
/// source).
pub const LEAST_BEND_DEGREES: f64 = 10.0;
/// So far from a joint a leg has its direction, mm: a bend that is nearer sits in the joint.
pub const CLEAR_OF_JOINT_MM: f64 = ONE_JOINT_MM + 1e-3;
/// What turns by no more than this at a tee goes straight on, degrees: halfway between the two (common practice, no
/// source).
const STRAIGHT_ON_DEGREES: f64 = 45.0;
/// More than rounding leaves of an angle, degrees.
const SAME_ANGLE_DEGREES: f64 = 1e-6;

/// What pipes make where they meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JointKind {
    /// One goes on from the end of the other, and turns by so many degrees.
    EndToEnd {
        /// From straight on, degrees.
        turns_degrees: f64,
    },
    /// A tee, or one more for each leg beyond the third; a part's port is a leg of which no direction is known.
    Tees {
        /// The two legs that lie in line, by their numbers; none where all turn, or where nothing tells which two.
        in_line: Option<(usize, usize)>,
    },
}

/// A place where runs meet.
#[derive(Debug, Clone)]
pub struct PipeJoint {
    /// The pipes that lead away from it, in the order of the runs.
    pub legs: Vec<PipeLeg>,
    /// Whether it is on a part's port.
    pub is_on_port: bool,
}

/// What of a run leads away from a joint to one side.
#[derive(Debug, Clone, Copy)]
pub struct PipeLeg {
    /// The run, by its number.
    pub run: usize,
    /// How far along the run the joint is, mm.
    pub at_mm: f64,
    /// The end of the run to which it leads.
    pub toward: WhichEnd,
    /// Away from the joint, of length 1.
    direction: DVec2,
    /// Outside diameter, mm; 0 where it is not told.
    size_mm: f64,
}

impl PipeLeg {
    /// The end of the run that is in the joint; none where the run goes on to the other side.
    #[must_use]
    pub fn end_here(&self, site: &Site<'_>) -> Option<WhichEnd> {
        let end = self.toward.other();
        site.is_end_at(self.run, end, self.at_mm).then_some(end)
    }

    /// Whether its run is told to begin or end on another here.
    #[must_use]
    pub fn is_teed(&self, site: &Site<'_>) -> bool {
        self.end_here(site).is_some_and(|end| matches!(site.run(self.run).end(end), End::Tee(..)))
    }
}

impl PipeJoint {
    /// What the pipes make here.
    #[must_use]
    pub fn kind(&self) -> JointKind {
        if self.legs.len() == 2 && !self.is_on_port {
            return JointKind::EndToEnd { turns_degrees: self.turn_degrees((0, 1)) };
        }
        let pairs = (0..self.legs.len()).flat_map(|a| (a + 1..self.legs.len()).map(move |b| (a, b)));
        JointKind::Tees { in_line: self.straightest(pairs) }
    }

    /// The leg by which what comes by one leg goes straight on; none where all turn off, or where nothing tells which does
    /// not.
    #[must_use]
    pub fn straight_on(&self, from: usize) -> Option<usize> {
        let pairs = (0..self.legs.len()).filter(|other| *other != from).map(|other| (from, other));
        self.straightest(pairs).map(|(_, other)| other)
    }

    /// By how much what comes by one leg turns into another, degrees.
    #[must_use]
    pub fn turn_degrees(&self, (a, b): (usize, usize)) -> f64 {
        (-self.legs[a].direction).angle_to(self.legs[b].direction).to_degrees().abs()
    }

    /// The pair that lies in line. Of pairs that differ by less than a bend it is that of the wider pipes, and of those the
    /// straighter.
    fn straightest(&self, pairs: impl Iterator<Item = (usize, usize)>) -> Option<(usize, usize)> {
        let mut straight: Vec<(f64, (usize, usize))> = pairs.map(|pair| (self.turn_degrees(pair), pair)).collect();
        straight.retain(|(turn, _)| *turn <= STRAIGHT_ON_DEGREES);
        straight.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        let &(least, _) = straight.first()?;
        let wide_mm = |(a, b): (usize, usize)| self.legs[a].size_mm + self.legs[b].size_mm;
        straight.retain(|(turn, _)| *turn < least + LEAST_BEND_DEGREES);
        let widest_mm = straight.iter().map(|(_, pair)| wide_mm(*pair)).fold(0.0, f64::max);
        straight.retain(|(_, pair)| wide_mm(*pair) >= widest_mm);
        match straight[..] {
            [(first, _), (second, _), ..] if second - first < SAME_ANGLE_DEGREES => None,
            [(_, pair), ..] => Some(pair),
            [] => None,
        }
    }
}

impl Site<'_> {
    /// The places where runs meet, in the order of the runs.
    #[must_use]
    pub fn pipe_joints(&self) -> Vec<PipeJoint> {
        let cuts = Cuts::of(self, |_| true);
        let mut numbers: HashMap<usize, usize> = HashMap::default();
        let mut joints: Vec<PipeJoint> = Vec::new();
        for (&(run, at_mm), node) in cuts.places.iter().zip(cuts.meeting(self)) {
            let number = *numbers.entry(node).or_insert_with(|| {
                joints.push(PipeJoint { legs: Vec::new(), is_on_port: false });
                joints.len() - 1
            });
            let joint = &mut joints[number];
            for end in WhichEnd::BOTH {
                if self.is_end_at(run, end, at_mm) {
                    joint.is_on_port |= matches!(self.run(run).end(end), End::Port(..));
                } else {
                    joint.legs.extend(self.leg(run, at_mm, end));
                }
            }
        }
        joints.retain(|joint| joint.legs.len() > 1);
        joints
    }

    /// By run: a number that those have in common that are one pipe drawn in several runs. Of the same service, they go on
    /// from end to end, or lie in line past a tee.
    #[must_use]
    pub fn pipe_of_runs(&self) -> Vec<usize> {
        let mut pipes = Union::of(self.layout().runs.len());
        for joint in self.pipe_joints() {
            let going_on = match joint.kind() {
                JointKind::EndToEnd { .. } => Some((0, 1)),
                JointKind::Tees { in_line } => in_line,
            };
            if let Some((one, other)) = going_on.map(|(a, b)| (joint.legs[a].run, joint.legs[b].run))
                && self.run(one).service == self.run(other).service
            {
                pipes.join(one, other);
            }
        }
        pipes.roots()
    }

    fn leg(&self, run: usize, at_mm: f64, toward: WhichEnd) -> Option<PipeLeg> {
        let line = self.line(run)?;
        let direction = match toward {
            WhichEnd::From => -line.direction_at((at_mm - CLEAR_OF_JOINT_MM).max(0.0)),
            WhichEnd::To => line.direction_at(at_mm + CLEAR_OF_JOINT_MM),
        };
        let size_mm = self.run(run).size.map_or(0.0, crate::units::Size::to_mm);
        Some(PipeLeg { run, at_mm, toward, direction, size_mm })
    }
}
