//! How far pipes come out over the roof: outside they freeze, and a vent that is frozen shut is none.

use glam::DVec2;

use super::reading::written_mm;
use super::room::stands_outside;
use super::{Axis, Feature, Place, Reading, Site};
use crate::geom::Polyline;
use crate::layout::Service;

/// For each pipe that reaches above the roof's underside: how far, mm. A warning pipe may leave by the roof, and where a
/// cistern stands on a roof its pipes do.
#[must_use]
pub fn above_roof(site: &Site<'_>) -> Vec<Reading> {
    let Some(roof) = site.roof() else { return Vec::new() };
    if site.layout().cisterns.iter().any(|cistern| stands_outside(site, cistern)) {
        return Vec::new();
    }
    let runs = 0..site.layout().runs.len();
    let runs = runs.filter(|run| site.run(*run).service != Service::WarningPipe);
    runs.filter_map(|run| of_run(site, run, roof)).collect()
}

fn of_run(site: &Site<'_>, run: usize, roof: &Polyline) -> Option<Reading> {
    let (line, id) = (site.line(run)?, &site.run(run).id);
    let levels_mm = |at: &DVec2| Some((at.x, at.y, roof.height_at(at.x)?));
    let places = line.along().iter().zip(line.vertices());
    let over = places.filter_map(|(along_mm, at)| Some((*along_mm, levels_mm(at)?)));
    let (along_mm, (x_mm, pipe_mm, roof_mm)) = over.max_by(|(_, a), (_, b)| (a.1 - a.2).total_cmp(&(b.1 - b.2)))?;
    if pipe_mm <= roof_mm {
        return None;
    }
    let working = format!("{} − {} = {} mm", written_mm(pipe_mm), written_mm(roof_mm), written_mm(pipe_mm - roof_mm));
    let between = [Place::roof(x_mm), Place::of(id, Feature::Along(along_mm))];
    Some(Reading::mm(id, site.taped(pipe_mm - roof_mm)).between(Axis::Upright, between).working(working))
}
