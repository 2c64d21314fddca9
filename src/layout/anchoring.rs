//! Lets runs follow when an edit has moved what they join, and keeps valves, lagging and tees where they are on them.

use foldhash::{HashMap, HashSet};
use glam::DVec2;

use super::fall::hold_gradient;
use super::following::{FarEnd, STILL_MM, carry_first, carry_last};
use super::{End, Held, Id, InLineKind, Layout, Run, Traces, WhichEnd, gradient_of};
use crate::geom::Polyline;
use crate::units::Length;

/// A tee stays one where its run passes within this of where it should be, mm.
pub(super) const ON_THE_RUN_MM: f64 = 0.5;

/// What is this near an end of its run belongs to what is joined there, mm.
const OF_AN_END_MM: f64 = 1000.0;

/// Which runs an edit has set out itself.
#[derive(Default)]
pub(super) struct SetOut<'a> {
    /// Runs whose bends stand as the edit has them.
    pub as_put: HashSet<&'a Id>,
    /// Runs that stand as the edit has them, with all that sits on them.
    pub arranged: HashSet<&'a Id>,
    /// Runs that the edit has moved whole.
    pub moved: HashSet<&'a Id>,
    /// How far those were moved, mm.
    pub by: DVec2,
}

/// Lets every run follow its ends, the ones stood on before the ones that stand on them, and slides what sits on runs.
///
/// Valves, pumps and insulation near an end of their run keep their distance from it. Each other thing keeps its distance
/// from the nearer end of the straight stretch that it sits on: a drain cock at the foot of a pipe stays at its foot,
/// however long the pipe between becomes, and a tee where its branch is.
/// Runs whose fittings the edit itself has changed, or whose number of bends, are left as the edit has them.
pub(super) fn carry_along(before: &Layout, after: &mut Layout, set_out: &SetOut<'_>) {
    let (old_lines, old_index) = (Traces::of(before), before.index());
    let mut runs = std::mem::take(&mut after.runs);
    let index = after.index();
    let mut lines = Traces::blank(&runs);
    let mut slides: HashMap<Id, Slide> = HashMap::default();
    for number in lines.order(&runs) {
        let run = &mut runs[number];
        for which in WhichEnd::BOTH {
            if let End::Tee(on, at) = run.end_mut(which)
                && let Some(slide) = slides.get(on)
            {
                *at = slide.to(*at);
            }
        }
        let old = old_lines.number(&run.id).map(|old_number| &before.runs[old_number]);
        if let Some(old) = old
            && let Some(was) = old_lines.joined(old, &old_index)
            && let Some(joined) = lines.joined(run, &index)
        {
            let host = |end: &End| lines.of_run(end.teed_on()?);
            let hosts = WhichEnd::BOTH.map(|which| host(run.end(which)));
            let gradient = after.is_held(&run.id, &Held::Fall).then(|| gradient_of(&was)).flatten();
            let slide = if set_out.arranged.contains(&run.id) {
                None
            } else if set_out.as_put.contains(&run.id) {
                let now = with_gradient(run, joined, &was, gradient);
                Slide::between(&was, &now)
            } else {
                let by = set_out.moved.contains(&run.id).then_some(set_out.by);
                follow(run, was, &joined, hosts, by, gradient)
            };
            if let Some(slide) = slide {
                slide_things(run, old, &slide);
                slides.insert(run.id.clone(), slide);
            }
        }
        lines.follow(number, run, &index);
    }
    drop(index);
    after.runs = runs;
}

/// A run while it follows its ends: vertex by vertex as it was and as it is now.
#[derive(Clone)]
struct Followed {
    was: Vec<DVec2>,
    now: Vec<DVec2>,
}

impl Followed {
    fn place(&self, which: WhichEnd) -> DVec2 {
        match which {
            WhichEnd::From => self.now[0],
            WhichEnd::To => self.now[self.now.len() - 1],
        }
    }

    fn carry(&mut self, which: WhichEnd, by: DVec2, far_end: FarEnd) {
        let offset = match which {
            WhichEnd::From => carry_first(&mut self.now, by, far_end),
            WhichEnd::To => carry_last(&mut self.now, by, far_end),
        };
        if let Some(stretch) = offset {
            let middle = self.was[stretch].midpoint(self.was[stretch + 1]);
            self.was.splice(stretch + 1..stretch + 1, [middle, middle]);
        }
    }
}

/// Bends a run so that it joins its ends where they are now. `moved` says how far the edit has moved it by itself.
fn follow(
    run: &mut Run,
    was: Vec<DVec2>,
    joined: &[DVec2],
    hosts: [Option<&Polyline>; 2],
    moved: Option<DVec2>,
    gradient: Option<f64>,
) -> Option<Slide> {
    let by = moved.unwrap_or_default();
    let now = was.iter().map(|vertex| *vertex + by).collect();
    let mut line = Followed { was, now };
    let mut ends = [joined[0], joined[joined.len() - 1]];
    if moved.is_some() {
        for (which, host) in WhichEnd::BOTH.into_iter().zip(hosts) {
            if let Some(slid) = slide_tee(run.end_mut(which), host, line.place(which)) {
                ends[which.number()] = slid;
            }
        }
    }
    let mut wanted = WhichEnd::BOTH.map(|which| ends[which.number()] - line.place(which));
    if moved.is_none() && is_still(wanted[0] - wanted[1]) && !is_still(wanted[0]) {
        // Both ends went the same way: so does the run.
        line.now.iter_mut().for_each(|vertex| *vertex += wanted[0]);
        wanted = [DVec2::ZERO; 2];
    }
    for which in WhichEnd::BOTH {
        let by = wanted[which.number()];
        if is_still(by) {
            continue;
        }
        let far = which.other();
        let held = matches!(run.end(far), End::Port(..)) || !is_still(wanted[far.number()]);
        let mut carried = line.clone();
        carried.carry(which, by, if held { FarEnd::Fast } else { FarEnd::Loose });
        let reached = !is_still(carried.place(far) - line.place(far));
        if reached {
            match run.end_mut(far) {
                End::Open(point) | End::Onward(point) => *point = carried.place(far).into(),
                end => {
                    if slide_tee(end, hosts[far.number()], carried.place(far)).is_none() {
                        carried = line.clone();
                        carried.carry(which, by, FarEnd::Fast);
                    }
                }
            }
        }
        line = carried;
    }
    line.now = with_gradient(run, line.now, &line.was, gradient);
    let slide = Slide::between(&line.was, &line.now)?;
    run.via = line.now[1..line.now.len() - 1].iter().map(|point| (*point).into()).collect();
    Some(slide)
}

/// The vertices with the fall that is held, if one is; bends and free ends of the run are put there.
fn with_gradient(run: &mut Run, mut now: Vec<DVec2>, was: &[DVec2], gradient: Option<f64>) -> Vec<DVec2> {
    let Some(gradient) = gradient else { return now };
    hold_gradient(&mut now, was, gradient, run.fast_ends());
    run.put_through(&now);
    now
}

/// Slides a tee to a place, if the run that it is on passes there.
fn slide_tee(end: &mut End, host: Option<&Polyline>, to: DVec2) -> Option<DVec2> {
    let End::Tee(_, along) = end else { return None };
    let (at, off) = host?.nearest(to);
    (off < ON_THE_RUN_MM).then(|| {
        *along = Length::mm(at);
        to
    })
}

fn is_still(by: DVec2) -> bool {
    by.abs().max_element() < STILL_MM
}

fn slide_things(run: &mut Run, old: &Run, slide: &Slide) {
    if run.fittings == old.fittings {
        for fitting in run.fittings.iter_mut().flatten() {
            fitting.at = match fitting.kind {
                // At the foot of a pipe, which is a bend more often than an end.
                InLineKind::DrainCock => slide.to(fitting.at),
                _ => slide.keeping_to_end(fitting.at),
            };
        }
    }
    if run.insulation == old.insulation {
        for lagging in run.insulation.iter_mut().flatten() {
            let kept = [lagging.from, lagging.to].map(|at| slide.keeping_to_end(at));
            let is_in_order = kept[0].to_mm() <= kept[1].to_mm();
            let [from, to] = if is_in_order { kept } else { [lagging.from, lagging.to].map(|at| slide.to(at)) };
            (lagging.from, lagging.to) = (from, to);
        }
    }
}

/// A run's vertices before and after it was bent, as distances along it.
struct Slide {
    old: Vec<f64>,
    new: Vec<f64>,
}

impl Slide {
    /// `None` when nothing has changed, or when the lines have not the same number of vertices.
    fn between(old: &[DVec2], new: &[DVec2]) -> Option<Self> {
        (old != new && old.len() == new.len()).then(|| Self { old: along(old), new: along(new) })
    }

    /// The same for what belongs to an end of the run: it keeps its distance from that end, past bends as well, so that
    /// it is where it was once the end has come back. What is at a bend, or far from both ends, is where its stretch is.
    fn keeping_to_end(&self, at: Length) -> Length {
        let (old_mm, new_mm) = (self.old[self.old.len() - 1], self.new[self.new.len() - 1]);
        let (from_start_mm, from_end_mm) = (at.to_mm(), old_mm - at.to_mm());
        let is_at_bend = self.old.iter().any(|bend| (bend - from_start_mm).abs() < ON_THE_RUN_MM);
        if is_at_bend || from_start_mm.min(from_end_mm) > OF_AN_END_MM || from_end_mm < 0.0 {
            self.to(at)
        } else if from_start_mm <= from_end_mm {
            Length::mm(from_start_mm.min(new_mm))
        } else {
            Length::mm((new_mm - from_end_mm).max(0.0))
        }
    }

    /// Where on the new line stands what stood at a distance along the old.
    fn to(&self, at: Length) -> Length {
        let at_mm = at.to_mm();
        let last = self.old.len() - 1;
        if at_mm >= self.old[last] {
            return Length::mm(self.new[last] + at_mm - self.old[last]);
        }
        let end = self.old.partition_point(|along| *along <= at_mm).clamp(1, last);
        let (from_start_mm, from_end_mm) = (at_mm - self.old[end - 1], self.old[end] - at_mm);
        let (start_mm, end_mm) = (self.new[end - 1], self.new[end]);
        Length::mm(if from_start_mm <= from_end_mm {
            (start_mm + from_start_mm).min(end_mm)
        } else {
            (end_mm - from_end_mm).max(start_mm)
        })
    }
}

fn along(vertices: &[DVec2]) -> Vec<f64> {
    let mut sum = 0.0;
    let steps = vertices.windows(2).map(|pair| {
        sum += pair[0].distance(pair[1]);
        sum
    });
    std::iter::once(0.0).chain(steps).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_keep_their_distance_from_the_nearer_bend() {
        let slide = Slide { old: vec![0.0, 300.0, 2800.0, 3000.0], new: vec![0.0, 300.0, 3300.0, 3500.0] };
        let to = |mm: f64| slide.to(Length::mm(mm)).to_mm();
        assert_eq!(to(100.0), 100.0);
        assert_eq!(to(500.0), 500.0);
        assert_eq!(to(2750.0), 3250.0);
        assert_eq!(to(2900.0), 3400.0);
        assert_eq!(to(3000.0), 3500.0);
        assert_eq!(to(3100.0), 3600.0);
    }

    #[test]
    fn what_is_near_an_end_keeps_its_distance_from_it_past_bends() {
        let long = vec![0.0, 725.0, 1023.0, 1723.0, 4623.0];
        let short = vec![0.0, 60.0, 358.0, 1058.0, 3958.0];
        let there = Slide { old: long.clone(), new: short.clone() };
        let back = Slide { old: short, new: long };
        for mm in [0.0, 225.0, 700.0, 3700.0, 4563.0] {
            let aside = there.keeping_to_end(Length::mm(mm));
            assert_eq!(back.keeping_to_end(aside).to_mm(), mm, "by way of {}", aside.to_mm());
        }
        assert_eq!(there.keeping_to_end(Length::mm(225.0)).to_mm(), 225.0);
        // At a bend, and in the midst of the run.
        assert_eq!([725.0, 2000.0].map(|mm| there.keeping_to_end(Length::mm(mm)).to_mm()), [60.0, 1335.0]);
        let stub = Slide { old: vec![0.0, 1000.0], new: vec![0.0, 300.0] };
        assert_eq!([400.0, 600.0].map(|mm| stub.keeping_to_end(Length::mm(mm)).to_mm()), [300.0, 0.0]);
    }

    #[test]
    fn a_stretch_that_shrinks_holds_things_within_it() {
        let slide = Slide { old: vec![0.0, 1000.0, 1100.0], new: vec![0.0, 200.0, 300.0] };
        assert_eq!(slide.to(Length::mm(400.0)).to_mm(), 200.0);
        assert_eq!(slide.to(Length::mm(600.0)).to_mm(), 0.0);
    }
}
