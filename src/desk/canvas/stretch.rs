//! What a dragged stretch or end of a run asks for: a hole that moves with it, a tee that slides, an offset, a new hole.

use glam::DVec2;

use super::anchor::Anchor;
use super::hit::Lines;
use crate::layout::{Edit, End, Id, Layout, Part, PartRef, Run, WhichEnd};
use crate::units::Length;

/// How much of a stretch stays at what it joins when the rest is offset, mm; never more than a third of it.
const STUB_MM: f64 = 150.0;
/// A tee slides along its run when that passes within this of where it should be, mm.
const ON_THE_RUN_MM: f64 = 0.5;

/// The changes that move one stretch of a run aside, and what holds it, in words for the pointer.
#[must_use]
pub fn moved(
    layout: &Layout,
    lines: &Lines<'_>,
    run: &Run,
    number: usize,
    (start, end): (DVec2, DVec2),
    by: DVec2,
) -> (Vec<Edit>, String) {
    let ends = [(WhichEnd::From, number == 0), (WhichEnd::To, number == run.via.len())];
    let touched = ends.into_iter().filter(|(_, touches)| *touches).map(|(which, _)| which);
    // A hole in a cistern goes along, and the pipe with it.
    let on_cistern = touched.clone().find_map(|which| match run.end(which) {
        End::Port(part, port) => match layout.part(part)? {
            PartRef::Cistern(cistern) => Some((cistern.with_port_moved(port.as_str(), by)?, port, part)),
            _ => None,
        },
        _ => None,
    });
    if let Some((cistern, port, part)) = on_cistern {
        let words = format!("moves {} of {}. ", port.spoken(), part.spoken());
        return (vec![Edit::put(Part::Cistern(cistern))], words);
    }
    let mut changed = run.clone();
    for bend in [number.checked_sub(1), Some(number)].into_iter().flatten() {
        if let Some(bend) = changed.via.get_mut(bend) {
            *bend = bend.moved(by);
        }
    }
    let mut words = String::new();
    for which in touched {
        let (joint, onward) = if which == WhichEnd::From { (start, end) } else { (end, start) };
        match changed.end_mut(which) {
            End::Open(point) | End::Onward(point) => *point = point.moved(by),
            End::Tee(on, along) if slides(lines, on, joint + by).is_some() => {
                *along = Length::mm(slides(lines, on, joint + by).unwrap_or(along.to_mm()));
            }
            End::Port(..) | End::Tee(..) => {
                let stub = (onward - joint).clamp_length_max(STUB_MM.min(onward.distance(joint) / 3.0));
                let offset = [joint + stub, joint + stub + by];
                match which {
                    WhichEnd::From => drop(changed.via.splice(0..0, offset.map(Into::into))),
                    WhichEnd::To => changed.via.extend([offset[1], offset[0]].map(crate::geom::Point::from)),
                }
                "Offset from what it joins. ".clone_into(&mut words);
            }
        }
    }
    (vec![Edit::put(Part::Run(changed))], words)
}

/// How far along a run a tee would be at a place, if the run passes there.
fn slides(lines: &Lines<'_>, on: &Id, to: DVec2) -> Option<f64> {
    let (along, off) = lines.line(on)?.nearest(to);
    (off < ON_THE_RUN_MM).then_some(along)
}

/// The changes that join an end of a run to what was found at `at`. The hole that it leaves goes with it, when nothing
/// else is joined there.
#[must_use]
pub fn rejoined(layout: &Layout, mut run: Run, which: WhichEnd, anchor: &Anchor, at: DVec2) -> Vec<Edit> {
    let old = run.end(which).clone();
    if let (End::Port(part, port), Anchor::Side { cistern, at: to, .. }) = (&old, anchor)
        && part == cistern
        && let Some(PartRef::Cistern(found)) = layout.part(part)
        && let Some(now) = layout.part(part).and_then(|part| part.port(port.as_str()))
        && let Some(moved) = found.with_port_moved(port.as_str(), *to - now.vector())
    {
        return vec![Edit::put(Part::Cistern(moved))];
    }
    let (end, hole) = match anchor {
        Anchor::Tee { run: other, .. } if *other == run.id => (End::Open(at.round().into()), None),
        Anchor::Free { at, .. } if matches!(old, End::Onward(_)) => (End::Onward((*at).into()), None),
        other => other.end(layout, run.service),
    };
    if end == old {
        return vec![Edit::put(Part::Run(run))];
    }
    *run.end_mut(which) = end;
    let id = run.id.clone();
    let mut edits: Vec<Edit> = hole.into_iter().collect();
    edits.push(Edit::put(Part::Run(run)));
    edits.extend(without_old_hole(layout, &edits, &old, &id));
    edits
}

/// The change that closes the hole that an end has left.
fn without_old_hole(layout: &Layout, so_far: &[Edit], old: &End, leaving: &Id) -> Option<Edit> {
    let End::Port(part, port) = old else { return None };
    let used = |run: &Run| WhichEnd::BOTH.iter().any(|which| run.end(*which) == old);
    if layout.runs.iter().any(|run| run.id != *leaving && used(run)) {
        return None;
    }
    let drilled = so_far.iter().find_map(|edit| match edit {
        Edit::Put(put) => match &**put {
            Part::Cistern(cistern) if cistern.id == *part => Some(cistern),
            _ => None,
        },
        _ => None,
    });
    let cistern = match (drilled, layout.part(part)?) {
        (Some(cistern), _) | (None, PartRef::Cistern(cistern)) => cistern,
        _ => return None,
    };
    Some(Edit::put(Part::Cistern(cistern.without_hole(port))))
}
