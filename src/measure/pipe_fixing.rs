//! Measures of pipes as they are fixed: clips, and drain cocks at low places.

use super::{Place, Reading, Site};
use crate::catalogue::Support;
use crate::layout::{CisternRole, Clips, DRAW_OFF, End, Id, InLineKind, PartRef, Run, Service};
use crate::units::{Measured, Size};

/// The greatest distance between clips on level stretches of each run, against what its tube allows.
#[must_use]
pub fn level_clips(site: &Site<'_>) -> Vec<Reading> {
    clips(site, |stretch| stretch.x.abs() > stretch.y.abs(), |clips| clips.level, |support| support.level)
}

/// The greatest distance between clips on upright stretches of each run, against what its tube allows.
#[must_use]
pub fn upright_clips(site: &Site<'_>) -> Vec<Reading> {
    clips(site, |stretch| stretch.y.abs() >= stretch.x.abs(), |clips| clips.upright, |support| support.upright)
}

/// Runs shorter than half a clip spacing hang on their ends; the shortest printed spacing is 300 mm.
const NO_CLIP_NEEDED_MM: f64 = 300.0;

fn clips(
    site: &Site<'_>,
    counts: impl Fn(glam::DVec2) -> bool,
    told: impl Fn(Clips) -> Option<Size>,
    allowed: impl Fn(Support) -> Size,
) -> Vec<Reading> {
    let reading = |(number, run): (usize, &Run)| {
        let line = site.line(number)?;
        let such_mm: f64 =
            line.segments().map(|(a, b)| b - a).filter(|stretch| counts(*stretch)).map(glam::DVec2::length).sum();
        if such_mm <= NO_CLIP_NEEDED_MM {
            return None;
        }
        let spoken = run.id.spoken();
        let Some(spacing) = run.clips.and_then(&told) else {
            return Some(Reading::untold(&run.id, format!("measure how far apart the clips of the {spoken} are")));
        };
        let support = run.material.and_then(|material| material.support(run.size?));
        let Some(support) = support else {
            return Some(Reading::untold(
                &run.id,
                format!("find the maker's clip spacing for the tube of the {spoken}"),
            ));
        };
        let known = if support.seen { "seen in print" } else { "from memory" };
        Some(
            Reading::mm(&run.id, site.size(spacing))
                .against(Measured::exact(allowed(support).to_mm()))
                .working(format!("this tube: {} mm between clips ({known})", allowed(support).to_mm())),
        )
    };
    site.layout().runs.iter().enumerate().filter_map(reading).collect()
}

/// Whether each body of distribution pipes that runs below its lowest outlet has a drain cock.
#[must_use]
pub fn drainable(site: &Site<'_>) -> Vec<Reading> {
    let mut readings = Vec::new();
    for cistern in site.layout().cisterns.iter().filter(|cistern| cistern.role == CisternRole::Storage) {
        let ports: std::collections::BTreeSet<&Id> =
            site.attached_of(&cistern.id, Service::ColdDistribution).map(|pipe| pipe.port).collect();
        for port in ports {
            readings.extend(drained(site, &site.runs_from(&cistern.id, port.as_str(), &[Service::ColdDistribution])));
        }
    }
    for cylinder in &site.layout().cylinders {
        readings.extend(drained(site, &site.runs_from(&cylinder.id, DRAW_OFF, &[Service::HotDistribution])));
    }
    readings
}

/// One reading for a body of joined runs; none when its lowest outlet empties it.
fn drained(site: &Site<'_>, runs: &[usize]) -> Option<Reading> {
    let lowest = runs.iter().filter_map(|run| {
        let (along, point) = {
            let line = site.line(*run)?;
            line.along().iter().zip(line.vertices()).min_by(|a, b| a.1.y.total_cmp(&b.1.y))?
        };
        Some((*run, *along, point.y))
    });
    let (run, along_mm, lowest_mm) = lowest.min_by(|a, b| a.2.total_cmp(&b.2))?;
    let outlets = runs.iter().flat_map(|run| [&site.run(*run).from, &site.run(*run).to]).filter_map(|end| match end {
        End::Port(part, _) => match site.part(part)? {
            PartRef::Outlet(outlet) => Some(outlet.at.z.to_mm()),
            _ => None,
        },
        _ => None,
    });
    let lowest_outlet_mm = outlets.min_by(f64::total_cmp)?;
    if lowest_mm >= lowest_outlet_mm {
        return None;
    }
    let id = &site.run(run).id;
    let mut untold = None;
    let mut has_drain = false;
    for number in runs {
        match site.fittings(*number, |fitting| fitting.kind == InLineKind::DrainCock) {
            Some(drains) => has_drain |= !drains.is_empty(),
            None => untold = Some(&site.run(*number).id),
        }
    }
    let holds = if has_drain { Some(true) } else { untold.is_none().then_some(false) };
    let find_out = format!("see whether there is a drain cock in the {}", untold.unwrap_or(id).spoken());
    Some(
        Reading::fact(id, holds, "a drain cock", "no drain cock", &find_out)
            .at(Place::of(id, super::Feature::Along(along_mm)))
            .working(format!(
                "lowest point {lowest_mm:.0} mm lies below the lowest outlet at {lowest_outlet_mm:.0} mm"
            )),
    )
}
