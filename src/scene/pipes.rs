//! Pipe runs: tube, insulation, what sits in them and how they end; each crosses over those drawn before it.

use glam::DVec2;

use super::parts::{small, tell};
use super::{About, Ink, Origin, PipeWidth, Rank, Scene, Shape, Symbol};
use crate::geom::Polyline;
use crate::layout::{End, InLineKind, Run, Screen, Service, WhichEnd};
use crate::measure::Site;

/// Diameter at which a run is shown whose size is not told.
const UNTOLD_MM: f64 = 15.0;
/// Thickness at which insulation is shown whose thickness is not told.
const LAGGING_MM: f64 = 20.0;
/// Clear paper on both sides of a pipe where it crosses over another, mm.
const HALO_MM: f64 = 0.9;
/// The outline of a tube that is wide enough on paper to have one, both sides together, mm.
const WALLS_MM: f64 = 0.7;

/// The colour of a service.
#[must_use]
pub const fn service_ink(service: Service) -> Ink {
    match service {
        Service::RisingMain => Ink::MainsPipe,
        Service::ColdFeed | Service::ColdDistribution | Service::Link => Ink::ColdPipe,
        Service::HotDistribution => Ink::HotPipe,
        Service::OpenVent | Service::WarningPipe | Service::PrimaryVent => Ink::OpenPipe,
        Service::PrimaryFlow | Service::PrimaryReturn | Service::PrimaryFeed => Ink::PrimaryPipe,
    }
}

/// The tint inside a tube, where it is wide enough on paper to show one.
const fn service_tint(service: Service) -> Ink {
    match service {
        Service::RisingMain | Service::ColdFeed | Service::ColdDistribution | Service::Link => Ink::Water,
        Service::HotDistribution => Ink::HotWater,
        Service::OpenVent | Service::WarningPipe | Service::PrimaryVent => Ink::Paper,
        Service::PrimaryFlow | Service::PrimaryReturn | Service::PrimaryFeed => Ink::PrimaryWater,
    }
}

/// A service in the few words that fit beside a pipe.
#[must_use]
pub const fn service_words(service: Service) -> &'static str {
    match service {
        Service::ColdDistribution => "cold",
        Service::HotDistribution => "hot",
        other => other.words(),
    }
}

pub(super) fn draw(scene: &mut Scene, site: &Site<'_>) {
    let order = painting_order(site);
    for &number in &order {
        if let Some(line) = site.line(number) {
            tube(scene, site.run(number), line);
        }
    }
    let shown = |service: &Service| {
        order.iter().any(|number| site.line(*number).is_some() && site.run(*number).service == *service)
    };
    scene.services = Service::ALL.into_iter().filter(shown).collect();
    for &number in &order {
        if let Some(line) = site.line(number) {
            furniture(scene, site.run(number), line);
            label(scene, site.run(number), line);
        }
    }
}

/// Branches after what they branch from, so that no halo cuts a tee; otherwise as in the layout.
fn painting_order(site: &Site<'_>) -> Vec<usize> {
    let runs = &site.layout().runs;
    let stands_on = |number: usize| {
        let ends = WhichEnd::BOTH.into_iter();
        ends.filter_map(move |end| site.run_number(runs[number].end(end).teed_on()?))
    };
    let mut depth: Vec<Option<usize>> = vec![None; runs.len()];
    for start in 0..runs.len() {
        let mut stack = vec![start];
        // Runs in a ring never settle; the bound lets them go.
        let mut steps = 4 * runs.len() + 4;
        while let Some(&number) = stack.last() {
            steps = steps.saturating_sub(1);
            if depth[number].is_some() || site.line(number).is_none() || steps == 0 {
                depth[number].get_or_insert(0);
                stack.pop();
                continue;
            }
            let open: Vec<usize> = stands_on(number).filter(|other| depth[*other].is_none()).collect();
            if open.is_empty() {
                depth[number] =
                    Some(stands_on(number).filter_map(|other| depth[other]).map(|d| d + 1).max().unwrap_or(0));
                stack.pop();
            } else {
                stack.extend(open);
            }
        }
    }
    let mut order: Vec<usize> = (0..runs.len()).collect();
    order.sort_by_key(|number| depth[*number]);
    order
}

/// The width in which a run is drawn.
#[must_use]
pub fn run_width(run: &Run) -> PipeWidth {
    PipeWidth::tube(run.size.map_or(UNTOLD_MM, crate::units::Size::to_mm))
}

fn tube(scene: &mut Scene, run: &Run, line: &Polyline) {
    let origin = Origin::Part(run.id.clone());
    let width = run_width(run);
    let points = line.vertices().to_vec();
    // The halo stops short of both ends, where the pipe joins something that must not be cut.
    let short = (2.0 * width.outside_mm + 20.0).min(line.length() * 0.3);
    let halo = line.between(short, line.length() - short);
    scene.add(&origin, Shape::Pipe { points: halo, width: width.with_more(HALO_MM), ink: Ink::Paper });
    for lagging in run.lagged_parts(0.0, line.length()).into_iter().flatten() {
        let (from, to) = lagging.ends_mm();
        let thickness = lagging.thickness.map_or(LAGGING_MM, crate::units::Size::to_mm);
        let outside_mm = width.outside_mm + 2.0 * thickness;
        let wrapped = PipeWidth { outside_mm, least_mm: width.least_mm + 1.0, more_mm: 0.0 };
        let points = line.between(from, to);
        scene.add(&origin, Shape::Pipe { points: points.clone(), width: wrapped.with_more(0.2), ink: Ink::Faint });
        scene.add(&origin, Shape::Pipe { points, width: wrapped, ink: Ink::Lagging });
    }
    let inside = PipeWidth { least_mm: 0.0, ..width.with_more(-WALLS_MM) };
    scene.add(&origin, Shape::Pipe { points: points.clone(), width, ink: service_ink(run.service) });
    scene.add(&origin, Shape::Pipe { points, width: inside, ink: service_tint(run.service) });
}

/// What sits in a run and at its ends.
fn furniture(scene: &mut Scene, run: &Run, line: &Polyline) {
    let origin = Origin::Part(run.id.clone());
    let ink = service_ink(run.service);
    let mut symbol = |symbol: Symbol, at: DVec2, along: DVec2| {
        scene.add(&origin, Shape::Symbol { at, along, symbol, ink });
    };
    for fitting in run.fittings.iter().flatten() {
        let along = fitting.at.to_mm();
        symbol(fitting_symbol(fitting.kind), line.point_at(along), line.direction_at(along));
    }
    for which in WhichEnd::BOTH {
        let (at, outward) = match which {
            WhichEnd::From => (line.point_at(0.0), -line.direction_at(0.0)),
            WhichEnd::To => (line.point_at(line.length()), line.direction_at(line.length())),
        };
        match run.end(which) {
            End::Open(_) => symbol(Symbol::OpenEnd, at, outward),
            End::Onward(_) => symbol(Symbol::Onward, at, outward),
            End::Tee(..) => symbol(Symbol::Tee, at, outward),
            End::Port(..) => {}
        }
        if matches!((which, run.end(which), run.screen), (WhichEnd::To, End::Open(_), Some(Screen::Mesh(_)))) {
            symbol(Symbol::Screen, at, outward);
        }
    }
}

/// The symbol of a fitting.
#[must_use]
pub const fn fitting_symbol(kind: InLineKind) -> Symbol {
    match kind {
        InLineKind::GateValve => Symbol::GateValve,
        InLineKind::LeverValve => Symbol::LeverValve,
        InLineKind::StopValve => Symbol::StopValve,
        InLineKind::ServiceValve => Symbol::ServiceValve,
        InLineKind::NonReturnValve => Symbol::NonReturnValve,
        InLineKind::DrainCock => Symbol::DrainCock,
        InLineKind::Pump => Symbol::Pump,
    }
}

/// What is written beside a run: its service and its size.
#[must_use]
pub fn run_words(run: &Run) -> String {
    let size = run.size.map_or_else(|| ", size not told".to_owned(), |size| format!(" {}", size.to_mm()));
    format!("{}{size}", service_words(run.service))
}

fn label(scene: &mut Scene, run: &Run, line: &Polyline) {
    let about = About::Course(line.vertices().to_vec());
    tell(scene, &run.id, vec![run_words(run)], service_ink(run.service), about);
}

/// Adds the tag beside each valve, drain cock and pump that has a place: for sheets that are built and checked from.
pub fn draw_tags(scene: &mut Scene, site: &Site<'_>) {
    for tagged in site.layout().tagged_fittings() {
        let Some(line) = site.line(tagged.run_number) else { continue };
        let (origin, lines) = (Origin::Part(tagged.run.id.clone()), vec![tagged.tag.clone()]);
        let spot = About::Spot(line.point_at(tagged.fitting.at.to_mm()));
        small(scene, &origin, lines, Ink::Ink, spot, Rank::Tag);
        scene.tags.push(tagged.tag);
    }
}
