//! Whether each cylinder has an open vent at all.

use super::{Feature, Place, Reading, Site, find_out};
use crate::layout::{Cylinder, End, Service, WhichEnd};

/// Whether an open vent rises from each cylinder. Before its cold feed and a pipe of its hot water are drawn, nobody has
/// told yet what is on it.
#[must_use]
pub fn open_vent(site: &Site<'_>) -> Vec<Reading> {
    let hot_water = site.bodies_of(&[Service::HotDistribution, Service::OpenVent]);
    let reading = |cylinder: &Cylinder| {
        let drawn = !site.vent_paths(cylinder).is_empty();
        let has_none = || is_described(site, cylinder) && !may_lead_to_a_vent(site, cylinder, &hot_water);
        let told = if drawn || has_none() { Ok(drawn) } else { Err(find_out::VENT) };
        Reading::fact(&cylinder.id, told, "an open vent", "no open vent").at(Place::of(&cylinder.id, Feature::Top))
    };
    site.layout().cylinders.iter().map(reading).collect()
}

/// Whether both what brings its cold water and what takes its hot water are drawn.
fn is_described(site: &Site<'_>, cylinder: &Cylinder) -> bool {
    site.attached_of(&cylinder.id, Service::ColdFeed).next().is_some() && !site.hot_ports(cylinder).is_empty()
}

/// Whether a vent is drawn that leads from no crown, or the cylinder's hot water goes on beyond what is drawn.
fn may_lead_to_a_vent(site: &Site<'_>, cylinder: &Cylinder, hot_water: &[Vec<usize>]) -> bool {
    let of_others = |run: usize| {
        let mut others = site.layout().cylinders.iter().filter(|other| other.id != cylinder.id);
        others.any(|other| site.vent_paths(other).iter().flatten().any(|leg| leg.run == run))
    };
    let is_left_over =
        |(number, run): (usize, &crate::layout::Run)| run.service == Service::OpenVent && !of_others(number);
    let is_on_it = |run: usize| site.attached(&cylinder.id).iter().any(|pipe| pipe.run == run);
    let goes_on = |run: usize| WhichEnd::BOTH.into_iter().any(|end| matches!(site.run(run).end(end), End::Onward(_)));
    let mut own = hot_water.iter().filter(|body| body.iter().any(|run| is_on_it(*run)));
    site.layout().runs.iter().enumerate().any(is_left_over) || own.any(|body| body.iter().any(|run| goes_on(*run)))
}
