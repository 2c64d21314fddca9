//! Runs laid anew: with no fall or no rise against their way, or with their open end over a cistern.

use crate::geom::Point;
use crate::layout::{End, Id, Layout, Run, Traces};
use crate::mend::demand::Toward;
use crate::mend::handle::{cistern, number_of, run};

/// A vent that is led over a cistern ends so far above its rim, mm, until its own rule asks for more.
const OVER_THE_RIM_MM: f64 = 50.0;
/// The end of a vent is turned down by so much, mm; common practice, no source.
const TURNED_DOWN_MM: f64 = 100.0;
/// A bend is an upright one when it leans less than this, mm.
const UPRIGHT_MM: f64 = 1.0;

/// The run with every bend brought up, or down, to the one before, as far as it turns back; a free end as well.
pub(super) fn laid(layout: &Layout, id: &Id, toward: Toward) -> Option<Run> {
    let mut laid = run(layout, id)?.clone();
    let line_begins = Traces::of(layout).line(number_of(layout, id)?)?.point_at(0.0);
    let mut reached_mm = line_begins.y;
    let mut changed = false;
    let mut keep = |point: &mut Point| {
        let mm = match toward {
            Toward::Forth => point.z.to_mm().max(reached_mm),
            Toward::Back => point.z.to_mm().min(reached_mm),
        };
        changed |= (mm - point.z.to_mm()).abs() > f64::EPSILON;
        *point = Point::mm(point.x.to_mm(), mm);
        reached_mm = mm;
    };
    // The open end of a vent turns down over its cistern, and is to.
    laid.via.iter_mut().for_each(&mut keep);
    if let (Toward::Back, End::Open(end)) = (toward, &mut laid.to) {
        keep(end);
    }
    changed.then_some(laid)
}

/// The run led on, up and level, to an open end over the middle of a cistern.
pub(super) fn ended_over(layout: &Layout, id: &Id, over: &Id) -> Option<Run> {
    let mut led = run(layout, id)?.clone();
    let cistern = cistern(layout, over)?;
    let (left, right) = cistern.span_mm();
    let middle_mm = f64::midpoint(left, right);
    let begins = Traces::of(layout).line(number_of(layout, id)?)?.point_at(0.0);
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
    Some(led)
}
