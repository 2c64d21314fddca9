//! Ways back of hot water that a pump keeps going round, so that it stands hot before the taps.

use super::unbranched::{Stretch, has_any, untold};
use super::{Attachment, Feature, Place, Reading, Site};
use crate::layout::{COLD_INLET, Cylinder, DRAW_OFF, InLineKind, Service};

/// Whether a non-return valve sits with the pump in each way back, between its last branch and the cylinder.
#[must_use]
pub fn kept_from_turning(site: &Site<'_>) -> Vec<Reading> {
    let read = |cylinder: &Cylinder, pipe: Attachment<'_>| {
        let id = &site.run(pipe.run).id;
        let with = |wanted: InLineKind| site.fittings_before_branch(pipe.run, pipe.end, |kind| kind == wanted);
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

/// The pipes that bring hot water back to a cylinder: on another connection than its draw-off, and joined to the pipes that
/// leave by that.
fn ways_back<'s>(site: &'s Site<'_>, cylinder: &Cylinder) -> Vec<Attachment<'s>> {
    let is_elsewhere = |pipe: &Attachment<'_>| !matches!(pipe.port.as_str(), DRAW_OFF | COLD_INLET);
    let pipes = site.attached_of(&cylinder.id, Service::HotDistribution).filter(is_elsewhere);
    let pipes: Vec<Attachment<'_>> = pipes.collect();
    if pipes.is_empty() {
        return pipes;
    }
    let leaves_by_draw_off = site.reach(&cylinder.id, DRAW_OFF, &[Service::HotDistribution]).order;
    pipes.into_iter().filter(|pipe| leaves_by_draw_off.contains(&pipe.run)).collect()
}
