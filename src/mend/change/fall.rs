//! Runs laid anew: with no fall or no rise against their way, or with their open end over a cistern.

use crate::geom::Point;
use crate::layout::{Edit, End, Id, Layout, Part, Run, Service, WhichEnd};
use crate::mend::course::{begun_at, end_point, mouth_of_vent};
use crate::mend::demand::Toward;
use crate::mend::handle::{UPRIGHT_MM, length_mm};
use crate::units::Length;

/// A vent that is led over a cistern ends so far above its rim, mm, until its own rule asks for more.
const OVER_THE_RIM_MM: f64 = 50.0;
/// The end of a vent is turned down by so much, mm; common practice, no source.
const TURNED_DOWN_MM: f64 = 100.0;

/// What has to fall is laid so that it falls by this from bend to bend: no tape takes it for level, mm.
const SURELY_FALLS_MM: f64 = 10.0;

/// The run with every bend brought up, or down, to the one before it on the way from one of its ends, as far as it turns
/// back; an open end as well.
pub(super) fn laid(layout: &Layout, id: &Id, first: WhichEnd, toward: Toward) -> Option<Run> {
    let laid = layout.run(id)?.clone();
    let mut reached = end_point(layout, &laid, first)?;
    let mut laid = begun_at(laid, first);
    let has_to_fall = laid.service == Service::WarningPipe;
    let mut changed = false;
    let mut keep = |point: &mut Point| {
        let at = point.vector();
        let falls_mm = if has_to_fall && (at.x - reached.x).abs() > UPRIGHT_MM { SURELY_FALLS_MM } else { 0.0 };
        let mm = match toward {
            Toward::Forth => at.y.max(reached.y),
            Toward::Back => at.y.min(reached.y - falls_mm),
        };
        changed |= (mm - at.y).abs() > f64::EPSILON;
        *point = Point::mm(at.x, mm);
        reached = point.vector();
    };
    // The open end of a vent turns down over its cistern, and is to.
    laid.via.iter_mut().for_each(&mut keep);
    if let (Toward::Back, End::Open(end)) = (toward, &mut laid.to) {
        keep(end);
    }
    changed.then(|| begun_at(laid, first))
}

/// The edit that leads a run on, up and level, to an open end over the middle of a cistern.
pub(super) fn ended_over(layout: &Layout, id: &Id, over: &Id) -> Option<Edit> {
    let vent = layout.run(id)?;
    let cistern = layout.cistern(over)?;
    let joint = mouth_of_vent(layout, vent)?.other();
    let begins = end_point(layout, vent, joint)?;
    let (left, right) = cistern.span_mm();
    let middle_mm = f64::midpoint(left, right);
    let mut led = begun_at(vent.clone(), joint);
    // A last bend straight over or under the old end is part of the way to it.
    if let End::Open(end) | End::Onward(end) = led.to
        && led.via.len() > 1
        && led.via.last().is_some_and(|bend| (bend.x.to_mm() - end.x.to_mm()).abs() <= UPRIGHT_MM)
    {
        led.via.pop();
    }
    let last = led.via.last().map_or(begins, |bend| bend.vector());
    let end_mm = cistern.rim().to_mm() + OVER_THE_RIM_MM;
    let top_mm = last.y.max(end_mm + TURNED_DOWN_MM);
    if last.y < top_mm {
        led.via.push(Point::mm(last.x, top_mm));
    }
    led.via.push(Point::mm(middle_mm, top_mm));
    led.to = End::Open(Point::mm(middle_mm, end_mm.max(top_mm - TURNED_DOWN_MM)));
    let mut led = begun_at(led, joint);
    if joint == WhichEnd::From {
        return Some(Edit::put(Part::Run(led)));
    }
    // What sits on a vent that is drawn from its mouth is told from there, and is to stay where it is.
    let longer = Length::try_mm(length_of(layout, &led)? - length_mm(layout, id)?).ok()?;
    led.fittings.iter_mut().flatten().for_each(|fitting| fitting.at = fitting.at + longer);
    for lagging in led.insulation.iter_mut().flatten() {
        (lagging.from, lagging.to) = (lagging.from + longer, lagging.to + longer);
    }
    let branches = layout.runs.iter().filter_map(|branch| slid_by(branch, id, longer));
    let parts = std::iter::once(led).chain(branches).map(Part::Run).collect();
    Some(Edit::Arrange(parts))
}

/// How long a run is once it takes the place of the one of its id, mm.
fn length_of(layout: &Layout, changed: &Run) -> Option<f64> {
    let mut with = layout.clone();
    *with.runs.iter_mut().find(|run| run.id == changed.id)? = changed.clone();
    length_mm(&with, &changed.id)
}

/// A branch with its joints on a host slid along it; `None` where it has none there.
fn slid_by(branch: &Run, host: &Id, by: Length) -> Option<Run> {
    let mut slid = branch.clone();
    for which in WhichEnd::BOTH {
        if let End::Tee(on, at) = slid.end_mut(which)
            && on == host
        {
            *at = *at + by;
        }
    }
    (slid != *branch).then_some(slid)
}
