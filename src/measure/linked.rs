//! Linked cisterns: whether water goes through each of them, and which are filled through the link.

use super::movement::takes_water;
use super::{Reading, Site};
use crate::layout::{Cistern, CisternRole, End, PartRef, Service};
use crate::units::Level;

/// Of some cisterns the one whose water stands highest, and where; `None` where no water line is told.
pub(super) fn highest_water<'s>(cisterns: &[&'s Cistern]) -> Option<(&'s Cistern, Level)> {
    let told = cisterns.iter().filter_map(|cistern| Some((*cistern, cistern.water_level()?)));
    // Of several alike the first, which is the nearest.
    told.fold(None, |highest, next| match highest {
        Some((_, level)) if next.1.to_mm() <= level.to_mm() => highest,
        _ => Some(next),
    })
}

/// A cistern and all that links join to it: their water stands at one level, that of the highest.
pub(super) fn linked_with<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    let mut group = vec![cistern];
    let mut seen: Vec<usize> = Vec::new();
    let mut to_follow: Vec<usize> = site.attached_of(&cistern.id, Service::Link).map(|pipe| pipe.run).collect();
    while let Some(run) = to_follow.pop() {
        if site.run(run).service != Service::Link || seen.contains(&run) {
            continue;
        }
        seen.push(run);
        to_follow.extend(site.joints(run).iter().map(|joint| joint.other));
        for end in [&site.run(run).from, &site.run(run).to] {
            if let End::Port(part, _) = end
                && let Some(PartRef::Cistern(other)) = site.part(part)
                && group.iter().all(|known| known.id != other.id)
            {
                group.push(other);
                to_follow.extend(site.attached_of(&other.id, Service::Link).map(|pipe| pipe.run));
            }
        }
    }
    group
}

fn is_drawn_from(site: &Site<'_>, cistern: &Cistern) -> bool {
    site.attached(&cistern.id).iter().any(|pipe| takes_water(site.run(pipe.run).service))
}

/// Whether a cistern has no float valve of its own and is filled through a link from one that has.
pub(super) fn filled_by_link(site: &Site<'_>, cistern: &Cistern) -> bool {
    cistern.float_valve.is_none() && linked_with(site, cistern).iter().any(|other| other.float_valve.is_some())
}

/// Whether linked cisterns stand one behind the other: water comes in by some, goes out by others, and passes those
/// between.
fn one_behind_another(site: &Site<'_>, group: &[&Cistern]) -> bool {
    let is_filled = |cistern: &&Cistern| cistern.float_valve.is_some();
    let is_drawn = |cistern: &&Cistern| is_drawn_from(site, cistern);
    let passes = |cistern: &Cistern| site.attached_of(&cistern.id, Service::Link).count() >= 2;
    let has_its_place = |cistern: &&Cistern| match (is_filled(cistern), is_drawn(cistern)) {
        (true, true) => false,
        (false, false) => passes(cistern),
        _ => true,
    };
    group.iter().any(is_filled) && group.iter().any(is_drawn) && group.iter().all(has_its_place)
}

/// Whether water goes through each linked storage cistern: by an inlet and an outlet of its own, or because the linked
/// ones stand one behind the other.
#[must_use]
pub fn linked_cisterns(site: &Site<'_>) -> Vec<Reading> {
    let storage = site.layout().cisterns.iter().filter(|cistern| cistern.role == CisternRole::Storage);
    let linked = storage.filter(|cistern| site.attached_of(&cistern.id, Service::Link).next().is_some());
    let reading = |cistern: &Cistern| {
        let own = cistern.float_valve.is_some() && is_drawn_from(site, cistern);
        let behind = !own && one_behind_another(site, &linked_with(site, cistern));
        let yes = if behind {
            "a place in the way from an inlet to an outlet connection"
        } else {
            "an inlet and an outlet connection of its own"
        };
        Reading::fact(&cistern.id, Some(own || behind), yes, "no inlet, or no outlet connection, of its own", "")
    };
    linked.map(reading).collect()
}
