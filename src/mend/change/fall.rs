//! Runs laid anew: with no fall or no rise against their way, or with their open end over a cistern.

use crate::geom::Point;
use crate::layout::{End, Id, Layout, Run, Traces};
use crate::mend::demand::Toward;
use crate::mend::handle::{cistern, number_of, run};

/// A vent that is led over a cistern ends so far above its rim, mm, until its own rule asks for more.
const OVER_THE_RIM_MM: f64 = 50.0;
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
    // The last stretch of a vent turns down over its cistern, and is to.
    let bends = laid.via.len();
    let turned_down = usize::from(toward == Toward::Forth && matches!(laid.to, End::Open(_)));
    laid.via.iter_mut().take(bends.saturating_sub(turned_down)).for_each(&mut keep);
    if let (Toward::Back, End::Open(end)) = (toward, &mut laid.to) {
        keep(end);
    }
    changed.then_some(laid)
}

/// The run with its open end, and the upright stretch that it ends in, over the middle of a cistern.
pub(super) fn ended_over(layout: &Layout, id: &Id, over: &Id) -> Option<Run> {
    let mut led = run(layout, id)?.clone();
    let cistern = cistern(layout, over)?;
    let (left, right) = cistern.span_mm();
    let End::Open(end) = led.to else { return None };
    let middle_mm = f64::midpoint(left, right);
    for bend in led.via.iter_mut().rev() {
        if (bend.x.to_mm() - end.x.to_mm()).abs() > UPRIGHT_MM {
            break;
        }
        *bend = Point::mm(middle_mm, bend.z.to_mm());
    }
    let over_mm = cistern.rim().to_mm() + OVER_THE_RIM_MM;
    if end.z.to_mm() < over_mm {
        let up_mm = over_mm - end.z.to_mm();
        // What is level with the top rises with it.
        let top_mm = led.via.iter().map(|bend| bend.z.to_mm()).fold(end.z.to_mm(), f64::max);
        for bend in led.via.iter_mut().filter(|bend| top_mm - bend.z.to_mm() < UPRIGHT_MM) {
            *bend = Point::mm(bend.x.to_mm(), top_mm.max(over_mm) + f64::from(u8::from(top_mm >= over_mm)) * up_mm);
        }
    }
    led.to = End::Open(Point::mm(middle_mm, end.z.to_mm().max(over_mm)));
    Some(led)
}
