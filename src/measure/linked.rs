//! Linked cisterns: whether water goes through each of them, which are filled through the link, and how high their water
//! stands.

use foldhash::HashSet;

use super::movement::takes_water;
use super::reading::tenths_mm;
use super::{Axis, Feature, Place, Reading, Site, between_l, find_out};
use crate::layout::{Cistern, End, PartRef, Service};
use crate::units::{Length, Level, Measured};

/// Of some cisterns the one whose water stands highest, and where; `None` where no water line is told.
pub(super) fn highest_water<'s>(cisterns: &[&'s Cistern]) -> Option<(&'s Cistern, Level)> {
    highest(cisterns, Cistern::surface)
}

/// Of some cisterns the one whose float valve is set highest, be it above the rim, and its water line as it is told.
pub(super) fn highest_water_line<'s>(cisterns: &[&'s Cistern]) -> Option<(&'s Cistern, Level)> {
    highest(cisterns, Cistern::water_level)
}

fn highest<'s>(cisterns: &[&'s Cistern], level: impl Fn(&Cistern) -> Option<Level>) -> Option<(&'s Cistern, Level)> {
    let told = cisterns.iter().filter_map(|cistern| Some((*cistern, level(cistern)?)));
    // Of several alike the first, which is the nearest.
    told.fold(None, |highest, next| match highest {
        Some((_, level)) if next.1.to_mm() <= level.to_mm() => highest,
        _ => Some(next),
    })
}

/// A cistern and all that links join to it, or pipes that lead off from it and meet theirs: their water stands at one
/// level, that of the highest.
#[must_use]
pub fn linked_with<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    and_others(by_links(site, cistern), site.one_level().surely.with(site, &cistern.id))
}

fn and_others<'s>(mut group: Vec<&'s Cistern>, others: impl Iterator<Item = &'s Cistern>) -> Vec<&'s Cistern> {
    for other in others {
        if group.iter().all(|known| known.id != other.id) {
            group.push(other);
        }
    }
    group
}

/// A cistern and all that links join to it.
pub(super) fn by_links<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    let mut group = vec![cistern];
    let mut seen: HashSet<usize> = HashSet::default();
    let mut to_follow: Vec<usize> = site.attached_of(&cistern.id, Service::Link).map(|pipe| pipe.run).collect();
    while let Some(run) = to_follow.pop() {
        if site.run(run).service != Service::Link || !seen.insert(run) {
            continue;
        }
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
#[must_use]
pub fn filled_by_link(site: &Site<'_>, cistern: &Cistern) -> bool {
    cistern.float_valve.is_none() && by_links(site, cistern).iter().any(|other| other.float_valve.is_some())
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
    let storage = site.storage_cisterns();
    let linked = storage.filter(|cistern| site.attached_of(&cistern.id, Service::Link).next().is_some());
    let reading = |cistern: &Cistern| {
        let own = cistern.float_valve.is_some() && is_drawn_from(site, cistern);
        let group = by_links(site, cistern);
        let behind = !own && one_behind_another(site, &group);
        let yes = if behind {
            "a place in the way from an inlet to an outlet connection"
        } else {
            "an inlet and an outlet connection of its own"
        };
        let links = group.iter().flat_map(|other| site.attached_of(&other.id, Service::Link));
        let beyond = links.map(|pipe| site.run(pipe.run)).find(|link| link.goes_on()).filter(|_| !own && !behind);
        let find_out = beyond.map(|link| format!("draw the {} on to the cistern that it leads to", link.id.spoken()));
        let hole = group.iter().find_map(|other| Some((*other, site.hole_without_pipe(other)?)));
        let find_out = find_out.or_else(|| {
            let (other, port) = hole.filter(|_| !own && !behind)?;
            Some(format!(
                "draw the pipe on the {} connection of the {}",
                port.spoken().to_lowercase(),
                other.id.spoken()
            ))
        });
        let holds = if find_out.is_some() { None } else { Some(own || behind) };
        let no = "no inlet, or no outlet connection, of its own";
        Reading::fact(&cistern.id, holds, yes, no, &find_out.unwrap_or_default())
    };
    linked.map(reading).collect()
}

/// Storage cisterns that links join, in groups of two and more.
pub(super) fn groups<'s>(site: &'s Site<'_>) -> Vec<Vec<&'s Cistern>> {
    let mut groups: Vec<Vec<&Cistern>> = Vec::new();
    for cistern in site.storage_cisterns() {
        let is_known = groups.iter().flatten().any(|known| known.id == cistern.id);
        let is_linked = site.attached_of(&cistern.id, Service::Link).next().is_some();
        if is_linked && !is_known {
            groups.push(by_links(site, cistern));
        }
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// Storage cisterns that stand in one water, or may, in groups of two and more.
fn in_one_water<'s>(site: &'s Site<'_>) -> Vec<Vec<&'s Cistern>> {
    let mut groups: Vec<Vec<&Cistern>> = Vec::new();
    for cistern in site.storage_cisterns() {
        if groups.iter().flatten().all(|known| known.id != cistern.id) {
            groups.push(and_others(by_links(site, cistern), site.one_level().perhaps.with(site, &cistern.id)));
        }
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// How far the highest water line of joined cisterns lies above the lowest: at rest their water stands at one level.
#[must_use]
pub fn linked_water_lines(site: &Site<'_>) -> Vec<Reading> {
    let reading = |group: &Vec<&Cistern>| {
        let ids = || group.iter().map(|cistern| &cistern.id);
        // What is filled through the link has no water line of its own to set.
        let mut untold = group.iter().filter(|cistern| cistern.water_level().is_none());
        if let Some(cistern) = untold.find(|cistern| cistern.float_valve.is_some()) {
            let find_out = find_out::water_line(&cistern.id);
            return Some(Reading::untold(&cistern.id, find_out).about_all(ids()));
        }
        let lines = || group.iter().filter_map(|cistern| Some((*cistern, cistern.water_level()?)));
        let (highest, upper) = lines().max_by(|a, b| a.1.to_mm().total_cmp(&b.1.to_mm()))?;
        let (lowest, lower) = lines()
            .filter(|(cistern, _)| cistern.id != highest.id)
            .min_by(|a, b| a.1.to_mm().total_cmp(&b.1.to_mm()))?;
        let difference = site.level(upper) - site.level(lower);
        let is_sure = linked_with(site, highest).iter().any(|cistern| cistern.id == lowest.id);
        let in_doubt = (!is_sure).then(|| {
            let [lowest, highest] = [lowest, highest].map(|cistern| cistern.id.spoken());
            format!("look for a non-return valve in the pipes that join the {highest} and the {lowest}")
        });
        let places = [lowest, highest].map(|cistern| Place::of(&cistern.id, Feature::WaterLine));
        Some(
            Reading::mm(&highest.id, difference)
                .about_all(ids())
                .between(Axis::Upright, places)
                .working(format!(
                    "water line of the {} {} − that of the {} {} = {} mm",
                    highest.id.spoken(),
                    tenths_mm(upper.to_mm()),
                    lowest.id.spoken(),
                    tenths_mm(lower.to_mm()),
                    tenths_mm(difference.value)
                ))
                .unless(in_doubt),
        )
    };
    in_one_water(site).iter().filter_map(reading).collect()
}

/// A volume to a cistern's water line, less what lies above the lowest water line of those that it is linked with: their
/// water stands at one level, and no more than that is sure.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub(super) fn to_common_line(
    site: &Site<'_>,
    cistern: &Cistern,
    (litres, how): (Measured, String),
) -> Result<(Measured, String), String> {
    let group = linked_with(site, cistern);
    let lines = group.iter().filter_map(|other| Some((*other, other.surface()?)));
    let lowest = lines.min_by(|a, b| a.1.to_mm().total_cmp(&b.1.to_mm()));
    let (Some(own), Some((lowest, common))) = (cistern.surface(), lowest) else { return Ok((litres, how)) };
    if common >= own {
        return Ok((litres, how));
    }
    let base = cistern.at.z;
    let above_base = |level: Level| site.length(if level > base { level - base } else { Length::ZERO });
    let counted = litres - between_l(site, cistern, above_base(common), above_base(own))?;
    let lowest = lowest.id.spoken();
    let how = format!("{how}; {:.1} L up to the water line of the linked {lowest}, which is lower", counted.value);
    Ok((counted, how))
}
