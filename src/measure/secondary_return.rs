//! Ways back of hot water that a pump keeps going round, so that it stands hot before the taps.

use super::unbranched::{Stretch, has_any, untold};
use super::{Attachment, Feature, Place, Reading, Site};
use crate::layout::{COLD_INLET, Cylinder, DRAW_OFF, InLineKind, Service, WhichEnd};

/// Whether a non-return valve sits with the pump in each way back, between its last branch and the cylinder.
#[must_use]
pub fn kept_from_turning(site: &Site<'_>) -> Vec<Reading> {
    let read = |cylinder: &Cylinder, (run, end): (usize, WhichEnd)| {
        let id = &site.run(run).id;
        let with = |wanted: InLineKind| site.fittings_before_branch(run, end, |kind| kind == wanted);
        let (pumps, valves) = (with(InLineKind::Pump), with(InLineKind::NonReturnValve));
        if !site.ends_in_branch(&pumps) {
            return None;
        }
        let tell = |way: &[Stretch]| {
            let run = untold(way).map_or(id, |run| &site.run(run).id);
            format!("see whether a pump and a non-return valve are in {}", run.with_article())
        };
        let is_kept = match (has_any(&pumps), has_any(&valves)) {
            // Without a pump nothing but the warmth moves it, and a valve would stop that as well.
            (Some(false), _) => return None,
            (_, Some(true)) => Ok(true),
            (Some(true), Some(false)) => Ok(false),
            (None, _) | (_, None) => Err(tell(&valves)),
        };
        let (yes, no) = ("a non-return valve", "a pump and no non-return valve");
        let pump = pumps.iter().find_map(|stretch| Some((stretch.leg.run, stretch.fittings.as_ref()?.first()?.at_mm)));
        let place =
            pump.map_or_else(|| Place::middle(id), |(run, at_mm)| Place::of(&site.run(run).id, Feature::Along(at_mm)));
        Some(Reading::fact(id, is_kept, yes, no).along_with([&cylinder.id]).at(place))
    };
    let cylinders = site.layout().cylinders.iter();
    let ways_back =
        cylinders.flat_map(|cylinder| ways_back(site, cylinder).into_iter().map(move |pipe| (cylinder, pipe)));
    ways_back.filter_map(|(cylinder, pipe)| read(cylinder, pipe)).collect()
}

/// The pipes that bring hot water back to a cylinder, with the end by which they do: on another connection than its draw-off,
/// or on its cold feed, and joined to the pipes that leave by the draw-off.
fn ways_back(site: &Site<'_>, cylinder: &Cylinder) -> Vec<(usize, WhichEnd)> {
    let is_elsewhere = |pipe: &Attachment<'_>| !matches!(pipe.port.as_str(), DRAW_OFF | COLD_INLET);
    let on_cylinder = site.attached_of(&cylinder.id, Service::HotDistribution).filter(is_elsewhere);
    let on_cylinder = on_cylinder.map(|pipe| (pipe.run, pipe.end));
    let ends = site.runs_of(Service::HotDistribution).flat_map(|(run, _)| WhichEnd::BOTH.map(|end| (run, end)));
    let teed_on = |(run, end): &(usize, WhichEnd)| site.run_number(site.run(*run).end(*end).teed_on()?);
    let is_on_feed = |end: &(usize, WhichEnd)| {
        let feed = || site.reach(&cylinder.id, COLD_INLET, &[Service::ColdFeed]).order;
        teed_on(end).is_some_and(|host| site.run(host).service == Service::ColdFeed && feed().contains(&host))
    };
    let back: Vec<(usize, WhichEnd)> = on_cylinder.chain(ends.filter(is_on_feed)).collect();
    if back.is_empty() {
        return back;
    }
    let leaves_by_draw_off = site.reach(&cylinder.id, DRAW_OFF, &[Service::HotDistribution]).order;
    back.into_iter().filter(|(run, _)| leaves_by_draw_off.contains(run)).collect()
}
