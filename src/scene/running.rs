//! The overlay of the view *Flow*: what runs in each pipe and at each tap, and where the water stands in the vent.

use foldhash::{HashMap, HashSet};
use glam::{DVec2, dvec2};

use super::parts::tell;
use super::{About, Ink, LineStyle, Origin, Pen, PenWidth, Scene, TextSize, wrapped};
use crate::geom::Polyline;
use crate::layout::{COLD, HOT, Id, Run, WhichEnd};
use crate::measure::{Place, Site};
use crate::units::{Amount, Unit};
use crate::water::SHOWN_AS_NONE_L_S;
use crate::water::circuit::{Circuit, Flows, Outcome, Stretch, StretchFlow, Supply, Tap, TapFlow, VentState};

/// A shorter stretch than this, mm, has no label: there is no room for one.
const LABELLED_MM: f64 = 700.0;
/// Radius of the ring around an event, mm, and its sides.
const EVENT_MM: f64 = 90.0;
const EVENT_SIDES: u32 = 24;
/// Words of an event are broken at this width on paper, mm.
const EVENT_WORDS_MM: f64 = 40.0;
/// A stretch that ends so near to the end of its run ends there, mm.
const AT_END_MM: f64 = 0.5;
/// Half the length of the line that shows the water in a vent, mm.
const LEVEL_MM: f64 = 120.0;

/// Draws what runs over a scene that holds the parts already. What has no water in it loses its name, to make room for what
/// is told of the water.
pub fn draw_running(scene: &mut Scene, site: &Site<'_>, circuit: &Circuit<'_>, flows: &Flows) {
    let dry: HashSet<&Id> = site.layout().platforms.iter().map(|platform| &platform.id).collect();
    scene.leave_unnamed(|origin| match origin {
        Origin::Part(id) => dry.contains(id),
        Origin::Building => true,
        Origin::Mark(_) => false,
    });
    let at_taps = AtTaps::of(site, circuit, flows);
    for (number, run) in site.layout().runs.iter().enumerate() {
        let mut told = String::new();
        for of_run in circuit.of_run(number) {
            let (stretch, flow) = (&circuit.stretches()[of_run], &flows.stretches[of_run]);
            let (Some(line), Some(flow)) = (site.line(number), flow) else { continue };
            let points = line.between(stretch.along_mm.0, stretch.along_mm.1);
            if flow.flow_l_s.abs() >= SHOWN_AS_NONE_L_S {
                scene.line(
                    &Origin::Part(run.id.clone()),
                    points.clone(),
                    Pen::solid(Ink::GreyPencil, PenWidth::Medium),
                );
                let words = stretch_words(flow);
                let is_long = stretch.along_mm.1 - stretch.along_mm.0 >= LABELLED_MM;
                if words != told && is_long && at_taps.before(run, line, stretch).is_none() {
                    tell(scene, &run.id, vec![words.clone()], Ink::Ink, About::Course(points));
                }
                told = words;
            }
        }
    }
    outlets(scene, circuit, flows, &at_taps);
    for vent in &flows.vents {
        vent_level(scene, site, vent);
    }
}

/// What each outlet gives, its taps one below the other.
fn outlets(scene: &mut Scene, circuit: &Circuit<'_>, flows: &Flows, at_taps: &AtTaps<'_>) {
    let taps: Vec<(&Tap<'_>, &TapFlow)> = circuit.taps().iter().zip(&flows.taps).collect();
    for of_outlet in taps.chunk_by(|(a, _), (b, _)| a.outlet.id == b.outlet.id) {
        let outlet = of_outlet[0].0.outlet;
        let line = |(tap, flow): &(&Tap<'_>, &TapFlow)| {
            let fast = at_taps.fast(tap).filter(|_| flow.open).map(|fast| format!(" {}", metres_per_second(fast)));
            format!("{} {}{}", tap.supply.words(), tap_words(flow), fast.unwrap_or_default())
        };
        let lines = of_outlet.iter().map(line).collect();
        let at = outlet.at.vector();
        let about = About::Thing { low: at - DVec2::splat(150.0), high: at + DVec2::splat(150.0) };
        let short = of_outlet.iter().any(|(_, flow)| falls_short(flow));
        tell(scene, &outlet.id, lines, if short { Ink::RedPencil } else { Ink::Ink }, about);
    }
}

/// Marks where something happened, with its words.
pub fn draw_event(scene: &mut Scene, site: &Site<'_>, place: &Place, words: &str) {
    let (Some(at), Some(part)) = (site.locate(place), &place.part) else { return };
    let origin = Origin::Part(part.clone());
    let ring: Vec<DVec2> = (0..=EVENT_SIDES)
        .map(|side| at + DVec2::from_angle(std::f64::consts::TAU * f64::from(side) / f64::from(EVENT_SIDES)) * EVENT_MM)
        .collect();
    scene.line(&origin, ring, Pen::solid(Ink::RedPencil, PenWidth::Medium));
    let about = About::Thing { low: at - DVec2::splat(EVENT_MM), high: at + DVec2::splat(EVENT_MM) };
    tell(scene, part, wrapped(words, TextSize::Tiny.mm(), EVENT_WORDS_MM), Ink::RedPencil, about);
}

fn stretch_words(flow: &StretchFlow) -> String {
    let runs = Unit::LitrePerSecond.of(flow.flow_l_s.abs());
    format!("{runs} {}", metres_per_second(flow.velocity_m_s))
}

fn metres_per_second(velocity_m_s: f64) -> Amount {
    Unit::MetrePerSecond.of(velocity_m_s.abs())
}

/// How fast water runs in the last stretch before each tap that has one side, m/s, by the outlet and its port: as much runs in
/// it as at the tap, where both are told together.
struct AtTaps<'l>(HashMap<(&'l Id, &'l str), f64>);

impl<'l> AtTaps<'l> {
    fn of(site: &Site<'l>, circuit: &Circuit<'l>, flows: &Flows) -> Self {
        let sides: HashSet<(&Id, &str)> = circuit.taps().iter().filter_map(side).collect();
        let mut fast = HashMap::default();
        for (stretch, flow) in circuit.stretches().iter().zip(&flows.stretches) {
            let run = &site.layout().runs[stretch.run];
            let (Some(line), Some(flow)) = (site.line(stretch.run), flow) else { continue };
            let ends = ends_of(run, line, stretch).filter(|end| sides.contains(end));
            fast.extend(ends.map(|end| (end, flow.velocity_m_s)));
        }
        Self(fast)
    }

    /// The side of a tap before which a stretch is the last one.
    fn before(&self, run: &'l Run, line: &Polyline, stretch: &Stretch) -> Option<f64> {
        ends_of(run, line, stretch).find_map(|end| self.0.get(&end).copied())
    }

    fn fast(&self, tap: &Tap<'_>) -> Option<f64> {
        self.0.get(&side(tap)?).copied()
    }
}

/// The outlet of a tap and the port on which it hangs; none of a mixer, which hangs on two.
fn side<'t>(tap: &Tap<'t>) -> Option<(&'t Id, &'static str)> {
    match tap.supply {
        Supply::Hot => Some((&tap.outlet.id, HOT)),
        Supply::Cold => Some((&tap.outlet.id, COLD)),
        Supply::Mixed => None,
    }
}

/// The parts and ports at the ends of its run that a stretch reaches.
fn ends_of<'r>(run: &'r Run, line: &Polyline, stretch: &Stretch) -> impl Iterator<Item = (&'r Id, &'r str)> {
    let (from_mm, to_mm) = stretch.along_mm;
    let reached = [(WhichEnd::From, from_mm <= AT_END_MM), (WhichEnd::To, to_mm >= line.length() - AT_END_MM)];
    let reached = reached.into_iter().filter(|(_, reaches)| *reaches);
    reached.filter_map(|(which, _)| run.end(which).hangs_on()).map(|(part, port)| (part, port.as_str()))
}

fn falls_short(flow: &TapFlow) -> bool {
    match flow.outcome {
        Outcome::Reckoned { flow_l_s, residual_head_m, .. } => {
            (flow.open && flow_l_s < SHOWN_AS_NONE_L_S) || residual_head_m < 0.0
        }
        Outcome::AirDrawn(_) | Outcome::CutOff | Outcome::Dry(_) => flow.open,
        _ => false,
    }
}

fn tap_words(flow: &TapFlow) -> String {
    match &flow.outcome {
        Outcome::Reckoned { flow_l_s, residual_head_m, mixed_celsius, .. } => {
            let head = Unit::MetreHead.of(*residual_head_m);
            let runs = Unit::LitrePerSecond.of(*flow_l_s);
            match (flow.open, mixed_celsius) {
                (false, _) => format!("shut, {head}"),
                (true, None) => runs.to_string(),
                (true, Some(celsius)) => {
                    format!("{runs} at {}", Unit::Celsius.of(*celsius))
                }
            }
        }
        Outcome::AirDrawn(_) => "air is drawn".to_owned(),
        Outcome::CutOff => "cut off".to_owned(),
        Outcome::Dry(_) => "no water".to_owned(),
        Outcome::OnMain => "on the main".to_owned(),
        Outcome::Untold(_) => "not told".to_owned(),
        Outcome::NotFound => "not found".to_owned(),
    }
}

/// A line across the vent where the water stands in it.
fn vent_level(scene: &mut Scene, site: &Site<'_>, vent: &VentState) {
    let Some(line) = site.run_number(&vent.run).and_then(|run| site.line(run)) else { return };
    let origin = Origin::Part(vent.run.clone());
    let Some(level_mm) = vent.level_mm else {
        if vent.draws_air {
            let about = About::Course(line.vertices().to_vec());
            tell(scene, &vent.run, vec!["the vent draws air".to_owned()], Ink::RedPencil, about);
        }
        return;
    };
    let crossing = line.segments().find(|(a, b)| {
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        (low..=high).contains(&level_mm) && low < high
    });
    let Some((a, b)) = crossing else { return };
    let at = dvec2(a.x + (b.x - a.x) * (level_mm - a.y) / (b.y - a.y), level_mm);
    let ends = [at - dvec2(LEVEL_MM, 0.0), at + dvec2(LEVEL_MM, 0.0)];
    let pen = Pen { ink: Ink::HotPipe, width: PenWidth::Medium, stroke: LineStyle::Dashed };
    scene.line(&origin, ends.to_vec(), pen);
    let words = format!("stands at {level_mm:.0} mm");
    tell(scene, &vent.run, vec![words], Ink::HotPipe, About::Course(ends.to_vec()));
}
