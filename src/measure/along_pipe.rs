//! Whether what is told by its distance along a pipe lies on it. Beyond the end it is taken to sit at the end, which is a
//! guess.

use super::reading::written_mm;
use super::{Feature, Place, Reading, Site};
use crate::geom::Polyline;
use crate::layout::{End, Id, InLine, WhichEnd};

/// What is told no further than this beyond an end is at the end, mm: distances are rounded (common practice, no source).
const AT_THE_END_MM: f64 = 1.0;

/// For each pipe in which a valve, drain cock or pump sits, or that is teed on another: whether all of them lie within the
/// length of the pipe that they are told along.
#[must_use]
pub fn all_on_their_pipe(site: &Site<'_>) -> Vec<Reading> {
    let reading = |run: usize| {
        let fittings = site.run(run).fittings.iter().flatten().map(|fitting| fitting_beyond(site, run, fitting));
        let tees = WhichEnd::BOTH.into_iter().filter_map(|end| match site.run(run).end(end) {
            End::Tee(host, at) => Some(tee_beyond(site, run, host, at.to_mm())),
            _ => None,
        });
        let asked: Vec<Option<Reading>> = fittings.chain(tees).collect();
        let is_asked = !asked.is_empty();
        let on_it = || Reading::choice(&site.run(run).id, Ok::<_, String>("places that lie on their pipe"));
        is_asked.then(|| asked.into_iter().flatten().next().unwrap_or_else(on_it))
    };
    (0..site.layout().runs.len()).filter_map(reading).collect()
}

/// The length of a run, where a distance along it lies beyond one of its ends, mm.
fn too_short_mm(site: &Site<'_>, run: usize, at_mm: f64) -> Option<f64> {
    let length_mm = site.line(run).map_or(0.0, Polyline::length);
    (at_mm > length_mm + AT_THE_END_MM || at_mm < -AT_THE_END_MM).then_some(length_mm)
}

fn fitting_beyond(site: &Site<'_>, run: usize, fitting: &InLine) -> Option<Reading> {
    let (id, at_mm) = (&site.run(run).id, fitting.at.to_mm());
    let length_mm = too_short_mm(site, run, at_mm)?;
    let find_out = format!(
        "measure how far along {} its {} is: {}",
        id.with_article(),
        fitting.kind.words(),
        told(at_mm, length_mm)
    );
    Some(Reading::untold(id, find_out).at(Place::of(id, Feature::Along(at_mm.clamp(0.0, length_mm)))))
}

fn tee_beyond(site: &Site<'_>, run: usize, host: &Id, at_mm: f64) -> Option<Reading> {
    let id = &site.run(run).id;
    let length_mm = too_short_mm(site, site.run_number(host)?, at_mm)?;
    let find_out = format!(
        "measure how far along {} {} joins it: {}",
        host.with_article(),
        id.with_article(),
        told(at_mm, length_mm)
    );
    let place = Place::of(host, Feature::Along(at_mm.clamp(0.0, length_mm)));
    Some(Reading::untold(id, find_out).along_with([host]).at(place))
}

fn told(at_mm: f64, length_mm: f64) -> String {
    format!("{} mm are told, and the pipe is {} mm long as drawn", written_mm(at_mm), written_mm(length_mm))
}
