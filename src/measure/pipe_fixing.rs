//! Measures of pipes as they are fixed: clips, and drain cocks at low places.

use super::draining::Body;
use super::reading::{WRITTEN_WITHIN_MM, as_written_mm, whole_mm, written_mm};
use super::{Place, Reading, Site, find_out};
use crate::layout::{InLineKind, Run, Service, WhichEnd};
use crate::num::Union;
use crate::units::Measured;

/// The greatest distance between clips on level stretches of each run, against what its tube allows.
#[must_use]
pub fn level_clips(site: &Site<'_>) -> Vec<Reading> {
    let has_level = have_stretches(site, Lying::Level);
    let reading = |(number, run): (usize, &Run)| has_level[number].then(|| clips(run, Lying::Level));
    site.layout().runs.iter().enumerate().filter_map(reading).collect()
}

/// The greatest distance between clips on upright stretches of each run, against what its tube allows.
///
/// Where no clips are told, one question for a run is enough: the measure of level stretches asks it.
#[must_use]
pub fn upright_clips(site: &Site<'_>) -> Vec<Reading> {
    let (has_level, has_upright) = (have_stretches(site, Lying::Level), have_stretches(site, Lying::Upright));
    let reading = |(number, run): (usize, &Run)| {
        let asked_already = run.clips.is_none() && has_level[number];
        (!asked_already && has_upright[number]).then(|| clips(run, Lying::Upright))
    };
    site.layout().runs.iter().enumerate().filter_map(reading).collect()
}

/// Which way a stretch lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lying {
    Level,
    Upright,
}

/// Stretches shorter together than the shortest printed spacing hang on their ends.
pub const NO_CLIP_NEEDED_MM: f64 = 300.0;

/// By run: whether it has stretches that lie so and need clips. What is drawn in several runs, each of which just carries
/// on another, is one pipe.
fn have_stretches(site: &Site<'_>, lie: Lying) -> Vec<bool> {
    let runs = site.layout().runs.len();
    let mut pipes = Union::of(runs);
    for run in 0..runs {
        for end in WhichEnd::BOTH {
            if let Some((other, _)) = site.carried_on(run, end) {
                pipes.join(run, other);
            }
        }
    }
    let own_mm: Vec<f64> = (0..runs).map(|run| lying_mm(site, run, lie)).collect();
    let pipe_of = pipes.roots();
    let mut of_pipe_mm = vec![0.0; runs];
    own_mm.iter().zip(&pipe_of).for_each(|(own_mm, pipe)| of_pipe_mm[*pipe] += own_mm);
    own_mm
        .iter()
        .zip(pipe_of)
        .map(|(own_mm, pipe)| *own_mm > 0.0 && as_written_mm(of_pipe_mm[pipe]) > NO_CLIP_NEEDED_MM)
        .collect()
}

/// How much of a run lies so, mm.
fn lying_mm(site: &Site<'_>, run: usize, lie: Lying) -> f64 {
    let Some(line) = site.line(run) else { return 0.0 };
    let is_level = |stretch: glam::DVec2| stretch.x.abs() - stretch.y.abs() > WRITTEN_WITHIN_MM;
    let lies = |stretch: glam::DVec2| if is_level(stretch) { Lying::Level } else { Lying::Upright };
    let stretches = line.segments().map(|(a, b)| b - a).filter(|stretch| lies(*stretch) == lie);
    stretches.map(glam::DVec2::length).sum()
}

fn clips(run: &Run, lie: Lying) -> Reading {
    let spoken = run.id.with_article();
    let told = run.clips.and_then(|clips| match lie {
        Lying::Level => clips.level,
        Lying::Upright => clips.upright,
    });
    let Some(spacing) = told else {
        return Reading::untold(&run.id, format!("measure how far apart the clips of {spoken} are"));
    };
    let (Some(material), Some(size)) = (run.material, run.size) else {
        return Reading::untold(&run.id, find_out::material_and_size(&run.id));
    };
    let Some(support) = material.support(size) else {
        return Reading::untold(&run.id, format!("find the maker's clip spacing for the tube of {spoken}"));
    };
    let allowed = match lie {
        Lying::Level => support.level,
        Lying::Upright => support.upright,
    };
    let known = if support.seen { "seen in print" } else { "from memory or common practice, not seen in print" };
    // Nobody tapes each gap: what is told is the step in which they were set, as tables give it.
    Reading::mm(&run.id, Measured::exact(spacing.to_mm()))
        .against(Measured::exact(allowed.to_mm()))
        .working(format!("this tube: {} mm between clips ({known})", written_mm(allowed.to_mm())))
}

/// A dip shallower than this does not fill a tube (the usual distribution tube is 22 mm).
const PART_EMPTY_MM: f64 = 22.0;
/// A drain cock so far above a low place empties it well enough, as at the foot of a cold feed
/// (common practice, no source).
const NEAR_LOWEST_MM: f64 = 150.0;

/// Whether each body of distribution pipes in which water stays when its outlets are opened can be drained by cocks.
#[must_use]
pub fn drainable(site: &Site<'_>) -> Vec<Reading> {
    let services = [Service::ColdDistribution, Service::HotDistribution];
    let mut bodies: Vec<Vec<usize>> = services.into_iter().flat_map(|service| site.bodies_of(&[service])).collect();
    // Of places that hold as much the first is named, whichever run the file has first.
    bodies.iter_mut().for_each(|runs| runs.sort_by_key(|run| &site.run(*run).id));
    bodies.iter().filter_map(|runs| drained(site, runs)).collect()
}

/// One reading for a body of joined runs; none when its outlets empty it.
fn drained(site: &Site<'_>, runs: &[usize]) -> Option<Reading> {
    let body = Body::of(site, runs);
    let as_written = |left_mm: Vec<f64>| -> Vec<f64> { left_mm.into_iter().map(as_written_mm).collect() };
    let (by_outlets_mm, by_cocks_mm) = (as_written(body.left_by_outlets_mm()), as_written(body.left_by_cocks_mm()));
    // Where no way leads to an outlet, none is drawn, and none is known to lie higher.
    let full = |place: &usize| by_outlets_mm[*place] > PART_EMPTY_MM && by_outlets_mm[*place].is_finite();
    let low = deepest(&by_outlets_mm, (0..by_outlets_mm.len()).filter(full))?;
    let cocks_leave = |place: &usize| by_cocks_mm[*place] > NEAR_LOWEST_MM.min(by_outlets_mm[*place] - PART_EMPTY_MM);
    let left = deepest(&by_cocks_mm, (0..by_cocks_mm.len()).filter(full).filter(cocks_leave));
    let fittings = runs.iter().map(|run| site.run(*run));
    let untold = fittings.clone().find(|run| run.fittings.is_none()).map(|run| &run.id);
    let cocks = fittings.flat_map(|run| run.fittings.iter().flatten());
    let has_cock = cocks.into_iter().any(|fitting| fitting.kind == InLineKind::DrainCock);
    let place = &body.places()[left.unwrap_or(low)];
    let id = &site.run(place.run).id;
    let holds = match untold {
        _ if left.is_none() => Ok(true),
        None => Ok(false),
        Some(untold) => Err(format!("see whether there is a drain cock in {}", untold.with_article())),
    };
    let no = if has_cock { "a low place that no drain cock empties" } else { "no drain cock" };
    let stays_mm = by_outlets_mm[left.unwrap_or(low)];
    Some(Reading::fact(id, holds, "a drain cock", no).at(Place::of(id, super::Feature::Along(place.along_mm))).working(
        format!(
            "low place at {} mm: to leave by an outlet its water would have to rise {stays_mm:.0} mm",
            whole_mm(place.level_mm)
        ),
    ))
}

/// The place that holds most; of several alike the first, whatever the rounding.
fn deepest(left_mm: &[f64], places: impl Iterator<Item = usize>) -> Option<usize> {
    const ALIKE_MM: f64 = 1e-6;
    places.fold(None, |deepest: Option<usize>, place| match deepest {
        Some(known) if left_mm[place] <= left_mm[known] + ALIKE_MM => Some(known),
        _ => Some(place),
    })
}
