//! The overlay of the view *Warmth*: what each pipe loses, how long it lasts in frost, and what cistern and cylinder do.

use glam::DVec2;

use super::parts::{small, tell};
use super::{About, Ink, LineStyle, Origin, Pen, PenWidth, Rank, Scene};
use crate::heat::{
    CisternWarmth, Condition, CylinderWarmth, Exposure, HotPipe, LoftPipe, Outcome, PipeLoss, Reckoned, Stretch,
    WARM_C, Warmth,
};
use crate::layout::{CisternRole, Id, PartRef};
use crate::measure::Site;
use crate::units::Unit;

/// A stretch that loses at least this share of what the worst one loses for its length is one of the worst.
const NEARLY_WORST: f64 = 0.95;

/// Draws warmth over a scene that holds the parts already.
///
/// Hot pipes have a pencil line along them, heavy where they lose most for their length; pipes of the loft have a dashed
/// one where they freeze first. Labels say how much, and which figures hang on assumptions;
/// these are listed once.
pub fn draw_warmth(scene: &mut Scene, site: &Site<'_>, warmth: &Warmth) {
    let worst_w_m = warmth.hot_pipes.iter().filter_map(|pipe| told(&pipe.loss)?.worst()).map(|(_, per_m_w)| *per_m_w);
    let worst_w_m = worst_w_m.fold(0.0, f64::max);
    for pipe in &warmth.hot_pipes {
        hot_pipe(scene, site, pipe, worst_w_m * NEARLY_WORST);
    }
    for pipe in &warmth.loft_pipes {
        loft_pipe(scene, site, pipe);
    }
    for cistern in &warmth.cisterns {
        thing(scene, site, &cistern.id, cistern_lines(cistern));
    }
    for cylinder in &warmth.cylinders {
        thing(scene, site, &cylinder.id, cylinder_lines(cylinder));
    }
    assumptions(scene, warmth);
}

fn told<T>(outcome: &Outcome<T>) -> Option<&T> {
    outcome.as_ref().ok().map(|reckoned| &reckoned.value)
}

/// What stands after a figure for which something was assumed.
fn tag(assumed: &[Condition]) -> &'static str {
    if assumed.is_empty() { "" } else { " (assumed)" }
}

/// Every assumption that stands behind a figure, once, above the drawing.
fn assumptions(scene: &mut Scene, warmth: &Warmth) {
    let assumed = warmth.assumed();
    let Some((low, high)) = super::bounds(scene).filter(|_| !assumed.is_empty()) else { return };
    let mut lines = vec![Condition::HEADING.to_owned()];
    lines.extend(assumed.iter().map(|condition| condition.assumption()));
    let corner = DVec2::new(low.x, high.y);
    let about = About::Thing { low: corner, high: corner };
    small(scene, &Origin::Building, lines, Ink::GreyPencil, about, Rank::Part);
}

/// The points of a stretch of a run.
fn course(site: &Site<'_>, run: usize, stretch: &Stretch) -> Option<Vec<DVec2>> {
    Some(site.line(run)?.between(stretch.from_mm, stretch.to_mm))
}

fn hot_pipe(scene: &mut Scene, site: &Site<'_>, pipe: &HotPipe, worst_from_w_m: f64) {
    let Some(line) = site.line(pipe.run) else { return };
    let whole = || About::Course(line.vertices().to_vec());
    let Ok(Reckoned { value: loss, assumed }) = &pipe.loss else {
        return tell(scene, &pipe.id, vec!["loss not told".to_owned()], Ink::GreyPencil, whole());
    };
    let origin = Origin::Part(pipe.id.clone());
    for (stretch, per_m_w) in &loss.stretches {
        let width = if *per_m_w >= worst_from_w_m { PenWidth::Heavy } else { PenWidth::Fine };
        if let Some(points) = course(site, pipe.run, stretch) {
            scene.line(&origin, points, Pen::solid(Ink::RedPencil, width));
        }
    }
    tell(scene, &pipe.id, vec![format!("{}{}", pipe_words(loss), tag(assumed))], Ink::HotPipe, whole());
    if let Some((from_mm, to_mm, first_w)) = loss.first_metre {
        let points = line.between(from_mm, to_mm);
        let words = format!("first {:.1} m: {}{}", (to_mm - from_mm) / 1000.0, Unit::Watt.of(first_w), tag(assumed));
        tell(scene, &pipe.id, vec![words], Ink::RedPencil, About::Course(points));
    }
}

/// "41 W, 6.8 to 27.6 W/m".
fn pipe_words(loss: &PipeLoss) -> String {
    let each = loss.stretches.iter().map(|(_, per_m_w)| *per_m_w);
    let (least, most) = each.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), next| (a.min(next), b.max(next)));
    let range = if most - least < 0.1 { format!("{most:.1} W/m") } else { format!("{least:.1} to {most:.1} W/m") };
    format!("{}, {range}", Unit::Watt.of(loss.whole_w))
}

fn loft_pipe(scene: &mut Scene, site: &Site<'_>, pipe: &LoftPipe) {
    let Some(line) = site.line(pipe.run) else { return };
    let Ok(Reckoned { value: exposure, assumed }) = &pipe.worst else {
        let about = About::Course(line.vertices().to_vec());
        return tell(scene, &pipe.id, vec!["frost not told".to_owned()], Ink::GreyPencil, about);
    };
    let Some(points) = course(site, pipe.run, &exposure.stretch) else { return };
    let ink = if exposure.gives_in() { Ink::RedPencil } else { Ink::GreyPencil };
    let pen = Pen { ink, width: PenWidth::Medium, stroke: LineStyle::Dashed };
    scene.line(&Origin::Part(pipe.id.clone()), points.clone(), pen);
    let words = format!("{}{}", frost_words(exposure), tag(assumed));
    tell(scene, &pipe.id, vec![words], ink, About::Course(points));
}

/// "half ice after 8.5 h": before that, water still gets through.
fn frost_words(exposure: &Exposure) -> String {
    exposure
        .to_half_ice_h
        .map_or_else(|| "no frost".to_owned(), |ice_h| format!("half ice after {}", Unit::Hour.of(ice_h)))
}

/// Lines about a vessel, in its box or beside it.
fn thing(scene: &mut Scene, site: &Site<'_>, id: &Id, lines: Vec<String>) {
    let (at, size) = match site.part(id) {
        Some(PartRef::Cistern(part)) => (part.at, (part.length, part.height)),
        Some(PartRef::Cylinder(part)) => (part.at, (part.diameter, part.height)),
        _ => return,
    };
    let low = at.vector();
    let high = low + DVec2::new(size.0.to_mm(), size.1.to_mm());
    tell(scene, id, lines, Ink::Ink, About::Thing { low, high });
}

fn cistern_lines(cistern: &CisternWarmth) -> Vec<String> {
    let mut lines = Vec::new();
    if cistern.role == CisternRole::Storage {
        match &cistern.summer {
            Ok(summer) => {
                let (peak_c, warm_h) = (summer.value.peak_c, summer.value.warm_h);
                let tag = tag(&summer.assumed);
                lines.push(format!(
                    "summer: {}, {} above {}{tag}",
                    Unit::Celsius.of(peak_c),
                    Unit::Hour.of(warm_h),
                    Unit::Celsius.of(WARM_C)
                ));
            }
            Err(_) => lines.push("summer: not told".to_owned()),
        }
    }
    match &cistern.frost {
        Ok(frost) => {
            let words = match frost.value.to_freezing_h {
                Some(freezing_h) => format!("frost: 0 °C after {}", Unit::Hour.of(freezing_h)),
                None => "frost: stays above 0 °C".to_owned(),
            };
            lines.push(words + tag(&frost.assumed));
        }
        Err(_) => lines.push("frost: not told".to_owned()),
    }
    lines.extend(cistern.turned_over_days.map(|days| format!("all its water drawn in {days:.1} days")));
    lines
}

fn cylinder_lines(cylinder: &CylinderWarmth) -> Vec<String> {
    let mut lines = vec![match &cylinder.standing {
        Ok(standing) => {
            format!("stands: {}, class {}", Unit::Watt.of(standing.value.loss_w), standing.value.class.words())
        }
        Err(_) => "standing loss not told".to_owned(),
    }];
    for way in &cylinder.reheats {
        let by = way.by.words();
        match &way.hours {
            Ok(Reckoned { value: Some(taken_h), assumed }) => {
                lines.push(format!("{by}: {}{}", Unit::Hour.of(*taken_h), tag(assumed)));
            }
            Ok(Reckoned { value: None, .. }) => lines.push(format!("{by}: never hot")),
            Err(_) => lines.push(format!("{by}: not told")),
        }
    }
    if let Ok(Reckoned { value: next_day_c, assumed }) = &cylinder.next_day_c {
        lines.push(format!("after a day without heat: {}{}", Unit::Celsius.of(*next_day_c), tag(assumed)));
    }
    for (name, pipe) in [("vent", &cylinder.vent), ("feed", &cylinder.feed)] {
        if let Ok(Reckoned { value: range, assumed }) = pipe {
            let range = format!("{} to {}", Unit::Watt.of(range.stagnant_w), Unit::Watt.of(range.circulating_w));
            lines.push(format!("{name}: {range}{}", tag(assumed)));
        }
    }
    lines
}
