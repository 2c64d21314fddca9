//! Whether each cylinder has an open vent at all.

use foldhash::HashSet;

use super::{Feature, Place, Reading, Site, find_out};
use crate::layout::{Cylinder, End, Id, Service, WhichEnd};

/// Whether an open vent rises from each cylinder. Before its cold feed and a pipe of its hot water are drawn, nobody has
/// told yet what is on it; nor where a vent is drawn that leads from no cylinder's crown, or its hot water goes on beyond
/// what is drawn. A vent that is drawn off a cold pipe to its open end is no such vent.
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

/// Whether a vent is drawn that leads from no cylinder's crown, and may yet be led to one.
fn is_one_loose(site: &Site<'_>) -> bool {
    let mut is_led = vec![false; site.layout().runs.len()];
    let paths = site.layout().cylinders.iter().flat_map(|cylinder| site.vent_paths(cylinder));
    paths.flatten().for_each(|leg| is_led[leg.run] = true);
    let bodies = site.bodies_of(&[Service::OpenVent]);
    bodies.iter().any(|body| body.iter().any(|run| !is_led[*run]) && !is_off_cold_pipe(site, body))
}

/// Whether the joined runs of a vent rise from a cold pipe, and are drawn to all their ends.
fn is_off_cold_pipe(site: &Site<'_>, body: &[usize]) -> bool {
    let is_cold = |run: usize| matches!(site.run(run).service, Service::ColdFeed | Service::ColdDistribution);
    let joins_cold = |run: &usize| site.joints(*run).iter().any(|joint| is_cold(joint.other));
    body.iter().any(joins_cold) && !body.iter().any(|run| site.run(*run).goes_on())
}

/// By run: whether it is of hot water that goes on beyond what is drawn.
fn runs_going_on(site: &Site<'_>) -> Vec<bool> {
    let goes_on = |run: &usize| WhichEnd::BOTH.into_iter().any(|end| matches!(site.run(*run).end(end), End::Onward(_)));
    let mut going_on = vec![false; site.layout().runs.len()];
    let bodies = site.bodies_of(&[Service::HotDistribution, Service::OpenVent]);
    bodies.iter().filter(|body| body.iter().any(goes_on)).flatten().for_each(|run| going_on[*run] = true);
    going_on
}
