//! Whether each cylinder has an open vent at all.

use foldhash::HashSet;

use super::{Feature, Place, Reading, Site, find_out};
use crate::layout::{COIL_FLOW, COIL_RETURN, COLD_INLET, Cylinder, End, Id, PartRef, Service, WhichEnd};

/// Whether an open vent rises from each cylinder. Before its cold feed and a pipe of its hot water are drawn, nobody has
/// told yet what is on it; nor where a vent is drawn of which nobody knows from where it leads, or its hot water goes on
/// beyond what is drawn.
#[must_use]
pub fn open_vent(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let told = match (site.vent_paths(cylinder).is_empty(), site.without_vent().contains(&cylinder.id)) {
            (false, _) => Ok(true),
            (true, true) => Ok(false),
            (true, false) => Err(find_out::VENT),
        };
        Reading::fact(&cylinder.id, told, "an open vent", "no open vent").at(Place::of(&cylinder.id, Feature::Top))
    };
    site.layout().cylinders.iter().map(reading).collect()
}

/// The cylinders that have no open vent for certain. That is a fault by itself, and nothing else is asked of that vent.
pub(super) fn cylinders_without_vent(site: &Site<'_>) -> HashSet<Id> {
    let is_bare = |cylinder: &&Cylinder| site.vent_paths(cylinder).is_empty();
    let mut bare = site.layout().cylinders.iter().filter(is_bare).peekable();
    if bare.peek().is_none() || is_one_loose(site) {
        return HashSet::default();
    }
    let going_on = runs_going_on(site);
    let goes_on = |cylinder: &Cylinder| site.attached(&cylinder.id).iter().any(|pipe| going_on[pipe.run]);
    let certain = bare.filter(|cylinder| is_described(site, cylinder) && !goes_on(cylinder));
    certain.map(|cylinder| cylinder.id.clone()).collect()
}

/// Whether both what brings its cold water and what takes its hot water are drawn.
fn is_described(site: &Site<'_>, cylinder: &Cylinder) -> bool {
    site.attached_of(&cylinder.id, Service::ColdFeed).next().is_some() && !site.hot_ports(cylinder).is_empty()
}

/// Whether a vent is drawn of which it is not known from where it leads: from no cylinder's crown, and from nothing else
/// that is drawn. One off a cold feed or off the heating is known, and is nobody's vent of hot water.
fn is_one_loose(site: &Site<'_>) -> bool {
    let mut is_led = vec![false; site.layout().runs.len()];
    let paths = site.layout().cylinders.iter().flat_map(|cylinder| site.vent_paths(cylinder));
    paths.flatten().for_each(|leg| is_led[leg.run] = true);
    let is_loose = |run: &usize| site.run(*run).service == Service::OpenVent && !is_led[*run];
    let bodies = site.bodies_of(&[Service::HotDistribution, Service::OpenVent]);
    bodies.iter().any(|body| body.iter().any(is_loose) && !comes_from_elsewhere(site, body))
}

/// Whether some vents and hot pipes that are joined come from a pipe or a port of other water than a cylinder gives
/// off hot, and end nowhere else but in the one mouth of the vent.
fn comes_from_elsewhere(site: &Site<'_>, body: &[usize]) -> bool {
    let waters = site.waters();
    let is_heated_by_boiler = |run: usize| {
        let mut cylinders = site.layout().cylinders.iter();
        cylinders.any(|cylinder| waters.of_part(&cylinder.id) == waters.of_run(run))
    };
    let joined = body.iter().flat_map(|run| site.joints(*run)).map(|joint| joint.other);
    let mut others = joined.filter(|run| body.binary_search(run).is_err());
    let mut is_from_elsewhere = others.any(|run| !site.run(run).service.is_primary() || !is_heated_by_boiler(run));
    let ends = body.iter().flat_map(|run| WhichEnd::BOTH.map(|end| (*run, end)));
    let mut mouths = 0;
    for (run, end) in ends.filter(|(run, end)| !site.is_joined_at_end(*run, *end)) {
        let End::Port(part, port) = site.run(run).end(end) else {
            if !matches!(site.run(run).end(end), End::Open(_)) {
                return false;
            }
            mouths += 1;
            continue;
        };
        match site.part(part) {
            // In a hole of a cistern a vent is as open as the cistern.
            Some(PartRef::Cistern(_)) => mouths += 1,
            Some(PartRef::Cylinder(_)) => {
                is_from_elsewhere |= matches!(port.as_str(), COLD_INLET | COIL_FLOW | COIL_RETURN);
            }
            Some(PartRef::Boiler(_)) => is_from_elsewhere |= !is_heated_by_boiler(run),
            _ => {}
        }
    }
    is_from_elsewhere && mouths == 1
}

/// By run: whether it is of hot water that goes on beyond what is drawn.
fn runs_going_on(site: &Site<'_>) -> Vec<bool> {
    let goes_on = |run: &usize| WhichEnd::BOTH.into_iter().any(|end| matches!(site.run(*run).end(end), End::Onward(_)));
    let mut going_on = vec![false; site.layout().runs.len()];
    let bodies = site.bodies_of(&[Service::HotDistribution, Service::OpenVent]);
    bodies.iter().filter(|body| body.iter().any(goes_on)).flatten().for_each(|run| going_on[*run] = true);
    going_on
}
