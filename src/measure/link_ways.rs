//! Which way water passes through links: a non-return valve lets it come from a cistern and not go back there.

use foldhash::{HashMap, HashSet};

use super::{Attachment, Site};
use crate::layout::{Cistern, Id, InLineKind, Run, Service, WhichEnd};

/// Which way water is followed through links.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Follow {
    /// To where it goes.
    Onward,
    /// To where it comes from.
    Back,
    /// As if all links were open.
    EitherWay,
}

/// Whether a link is known to have a non-return valve in it.
pub(super) fn is_one_way(run: &Run) -> bool {
    run.fittings.iter().flatten().any(|fitting| fitting.kind == InLineKind::NonReturnValve)
}

/// A cistern and all to which its water goes through links, or from which water comes to it so, or that links join to it
/// whatever sits in them.
pub(super) fn by_links<'s>(site: &'s Site<'_>, cistern: &'s Cistern, follow: Follow) -> Vec<&'s Cistern> {
    through(site, cistern, from_cistern(site, &cistern.id).collect(), follow)
}

/// The same by one link on the cistern alone, so that nothing is reached by the others.
pub(super) fn beyond<'s>(
    site: &'s Site<'_>,
    cistern: &'s Cistern,
    link: Attachment<'_>,
    follow: Follow,
) -> Vec<&'s Cistern> {
    through(site, cistern, vec![on_link(site, link)], follow)
}

fn through<'s>(
    site: &'s Site<'_>,
    cistern: &'s Cistern,
    mut to_follow: Vec<(usize, f64)>,
    follow: Follow,
) -> Vec<&'s Cistern> {
    let mut group = vec![cistern];
    let mut known: HashSet<&Id> = HashSet::from_iter([&cistern.id]);
    let mut reached: HashMap<usize, (f64, f64)> = HashMap::default();
    while let Some((run, at_mm)) = to_follow.pop() {
        let link = site.run(run);
        if link.service != Service::Link {
            continue;
        }
        let (from_mm, to_mm) = between_valves(site, run, at_mm, follow);
        let (known_from_mm, known_to_mm) = reached.get(&run).copied().unwrap_or((f64::INFINITY, f64::NEG_INFINITY));
        if known_from_mm <= from_mm && known_to_mm >= to_mm {
            continue;
        }
        reached.insert(run, (known_from_mm.min(from_mm), known_to_mm.max(to_mm)));
        let comes_to = |at_mm: f64| from_mm < at_mm && at_mm < to_mm;
        let joints = site.joints(run).iter().filter(|joint| comes_to(joint.at_mm));
        to_follow.extend(joints.map(|joint| (joint.other, joint.other_at_mm)));
        for end in WhichEnd::BOTH {
            if let Some(other) = site.cistern_at(link.end(end))
                && site.end_along(run, end).is_none_or(comes_to)
                && known.insert(&other.id)
            {
                group.push(other);
                to_follow.extend(from_cistern(site, &other.id));
            }
        }
    }
    group
}

/// Links on a cistern, each with the place where it is on it, mm along; the line of one that is not told begins at 0.
fn from_cistern<'s>(site: &'s Site<'_>, cistern: &'s Id) -> impl Iterator<Item = (usize, f64)> + 's {
    let links = site.attached_of(cistern, Service::Link);
    links.map(|pipe| on_link(site, pipe))
}

fn on_link(site: &Site<'_>, pipe: Attachment<'_>) -> (usize, f64) {
    (pipe.run, site.end_along(pipe.run, pipe.end).unwrap_or_default())
}

/// How far along a link, mm, water that is at a place on it goes on or has come from; without end where no valve parts it.
fn between_valves(site: &Site<'_>, link: usize, at_mm: f64, follow: Follow) -> (f64, f64) {
    let fittings = site.fitted(link).unwrap_or_default().iter();
    let valves_mm = fittings.filter(|fitting| fitting.kind == InLineKind::NonReturnValve).map(|valve| valve.at_mm);
    match follow {
        Follow::EitherWay => (f64::NEG_INFINITY, f64::INFINITY),
        Follow::Onward => {
            (valves_mm.filter(|valve_mm| *valve_mm <= at_mm).fold(f64::NEG_INFINITY, f64::max), f64::INFINITY)
        }
        Follow::Back => {
            (f64::NEG_INFINITY, valves_mm.filter(|valve_mm| *valve_mm >= at_mm).fold(f64::INFINITY, f64::min))
        }
    }
}
