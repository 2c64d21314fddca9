//! Measures of pipes as they are fixed: clips, and drain cocks at low places.

use super::{Place, Reading, Site};
use crate::layout::{CisternRole, DRAW_OFF, End, Id, InLineKind, PartRef, Run, Service};
use crate::units::Measured;

/// The greatest distance between clips on level stretches of each run, against what its tube allows.
#[must_use]
pub fn level_clips(site: &Site<'_>) -> Vec<Reading> {
    let reading =
        |(number, run): (usize, &Run)| has_stretch(site, number, Lie::Level).then(|| clips(site, run, Lie::Level));
    site.layout().runs.iter().enumerate().filter_map(reading).collect()
}

/// The greatest distance between clips on upright stretches of each run, against what its tube allows.
///
/// Where no clips are told, one question for a run is enough: the measure of level stretches asks it.
#[must_use]
pub fn upright_clips(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(number, run): (usize, &Run)| {
        let asked_already = run.clips.is_none() && has_stretch(site, number, Lie::Level);
        (!asked_already && has_stretch(site, number, Lie::Upright)).then(|| clips(site, run, Lie::Upright))
    };
    site.layout().runs.iter().enumerate().filter_map(reading).collect()
}

/// Which way a stretch lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lie {
    Level,
    Upright,
}

/// Stretches shorter together than the shortest printed spacing hang on their ends.
const NO_CLIP_NEEDED_MM: f64 = 300.0;

fn has_stretch(site: &Site<'_>, run: usize, lie: Lie) -> bool {
    let Some(line) = site.line(run) else { return false };
    let lies = |stretch: glam::DVec2| if stretch.x.abs() > stretch.y.abs() { Lie::Level } else { Lie::Upright };
    let stretches = line.segments().map(|(a, b)| b - a).filter(|stretch| lies(*stretch) == lie);
    stretches.map(glam::DVec2::length).sum::<f64>() > NO_CLIP_NEEDED_MM
}

fn clips(site: &Site<'_>, run: &Run, lie: Lie) -> Reading {
    let spoken = run.id.spoken();
    let told = run.clips.and_then(|clips| match lie {
        Lie::Level => clips.level,
        Lie::Upright => clips.upright,
    });
    let Some(spacing) = told else {
        return Reading::untold(&run.id, format!("measure how far apart the clips of the {spoken} are"));
    };
    let Some(support) = run.material.and_then(|material| material.support(run.size?)) else {
        return Reading::untold(&run.id, format!("find the maker's clip spacing for the tube of the {spoken}"));
    };
    let allowed = match lie {
        Lie::Level => support.level,
        Lie::Upright => support.upright,
    };
    let known = if support.seen { "seen in print" } else { "from memory" };
    Reading::mm(&run.id, site.size(spacing))
        .against(Measured::exact(allowed.to_mm()))
        .working(format!("this tube: {} mm between clips ({known})", allowed.to_mm()))
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
