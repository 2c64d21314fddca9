//! Linked cisterns: whether water goes through each of them, which are filled through the link, and how high their water
//! stands.

use foldhash::HashSet;

use super::link_ways::{self, Follow};
use super::reading::{difference, tenths_mm};
use super::{Attachment, Axis, Feature, Place, Reading, Site, between_l, find_out};
use crate::layout::{Cistern, Id, Service};
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

/// A cistern and all whose water comes to it through links, or through pipes that lead off from both: its water stands no
/// lower than the highest of theirs.
#[must_use]
pub fn linked_with<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    one_water(site, cistern, Follow::Back)
}

/// A cistern and all to which its water goes in the same ways: they fill with it.
#[must_use]
pub fn filled_through<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    one_water(site, cistern, Follow::Onward)
}

fn one_water<'s>(site: &'s Site<'_>, cistern: &'s Cistern, follow: Follow) -> Vec<&'s Cistern> {
    let one_level = site.one_level();
    let with = |cistern: &'s Cistern| {
        and_others(link_ways::by_links(site, cistern, follow), one_level.surely.with(site, &cistern.id))
    };
    let mut group = with(cistern);
    let mut asked = 1;
    while let Some(next) = group.get(asked).copied().filter(|_| one_level.has_one_way_link) {
        group = and_others(group, with(next).into_iter());
        asked += 1;
    }
    group
}

fn and_others<'s>(mut group: Vec<&'s Cistern>, others: impl Iterator<Item = &'s Cistern>) -> Vec<&'s Cistern> {
    for other in others {
        if group.iter().all(|known| known.id != other.id) {
            group.push(other);
        }
    }
    group
}

/// A cistern and all that links join to it, whatever sits in them.
pub(super) fn by_links<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    link_ways::by_links(site, cistern, Follow::EitherWay)
}

/// A cistern and all with which it shares its water through links, to and fro.
pub(super) fn to_and_fro<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> Vec<&'s Cistern> {
    let mut group = link_ways::by_links(site, cistern, Follow::Onward);
    if site.one_level().has_one_way_link {
        let back = link_ways::by_links(site, cistern, Follow::Back);
        let back: HashSet<&Id> = back.into_iter().map(|other| &other.id).collect();
        group.retain(|other| back.contains(&other.id));
    }
    group
}

/// Of some cisterns that share their water those that stand as the first does: giving it to where it is drawn off, or left
/// full for good by a non-return valve. All of them where none gives any.
pub(super) fn giving_like_the_first<'s>(site: &'s Site<'_>, mut group: Vec<&'s Cistern>) -> Vec<&'s Cistern> {
    let gives = |cistern: &Cistern| filled_through(site, cistern).iter().any(|other| is_drawn_from(site, other));
    if site.one_level().has_one_way_link && group.iter().any(|cistern| gives(cistern)) {
        let first_gives = gives(group[0]);
        group.retain(|cistern| gives(cistern) == first_gives);
    }
    group
}

fn is_drawn_from(site: &Site<'_>, cistern: &Cistern) -> bool {
    site.attached(&cistern.id).iter().any(|pipe| Service::STORED_COLD.contains(&site.run(pipe.run).service))
}

/// Whether a cistern has no float valve of its own and is filled through a link from one that has.
#[must_use]
pub fn filled_by_link(site: &Site<'_>, cistern: &Cistern) -> bool {
    let comes_from = || link_ways::by_links(site, cistern, Follow::Back);
    cistern.float_valve.is_none() && comes_from().iter().any(|other| other.float_valve.is_some())
}

/// The holes of a cistern by which water comes to it through links from float valves, and those by which it goes on through
/// links to where it is drawn off.
pub(super) fn link_holes<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> (Vec<&'s Id>, Vec<&'s Id>) {
    (
        links_to(site, cistern, Follow::Back, |others| others.iter().any(is_filled)),
        links_to(site, cistern, Follow::Onward, |others| others.iter().any(|other| is_drawn_from(site, other))),
    )
}

/// The same where water has no other way: what fills the cisterns beyond is drawn off on this side of the link, or what is
/// drawn off beyond comes in on this side.
pub(super) fn only_by_links<'s>(site: &'s Site<'_>, cistern: &'s Cistern) -> (Vec<&'s Id>, Vec<&'s Id>) {
    let filled = |others: &[&Cistern]| others.iter().any(is_filled);
    let drawn = |others: &[&Cistern]| others.iter().any(|other| is_drawn_from(site, other));
    (
        links_to(site, cistern, Follow::Back, |others| filled(others) && !drawn(others)),
        links_to(site, cistern, Follow::Onward, |others| drawn(others) && !filled(others)),
    )
}

/// The holes of links beyond which there are such cisterns.
fn links_to<'s>(
    site: &'s Site<'_>,
    cistern: &'s Cistern,
    follow: Follow,
    is_asked: impl Fn(&[&Cistern]) -> bool,
) -> Vec<&'s Id> {
    let leads = |link: &Attachment<'_>| {
        let mut beyond = link_ways::beyond(site, cistern, *link, follow);
        beyond.retain(|other| other.id != cistern.id);
        is_asked(&beyond)
    };
    site.attached_of(&cistern.id, Service::Link).filter(leads).map(|link| link.port).collect()
}

fn is_filled(cistern: &&Cistern) -> bool {
    cistern.float_valve.is_some()
}

/// Whether linked cisterns stand one behind the other: water comes in by some, goes out by others, and passes those
/// between.
fn one_behind_another(site: &Site<'_>, group: &[&Cistern]) -> bool {
    let is_drawn = |cistern: &&Cistern| is_drawn_from(site, cistern);
    let passes = |cistern: &Cistern| site.attached_of(&cistern.id, Service::Link).count() >= 2;
    let has_its_place = |cistern: &&Cistern| match (is_filled(cistern), is_drawn(cistern)) {
        (true, true) => false,
        (false, false) => passes(cistern),
        _ => true,
    };
    group.iter().any(is_filled) && group.iter().any(is_drawn) && group.iter().all(has_its_place)
}

/// Whether water comes to a cistern from a float valve, and goes on to where it is drawn off.
fn goes_through(site: &Site<'_>, cistern: &Cistern) -> bool {
    linked_with(site, cistern).iter().any(|other| other.float_valve.is_some())
        && filled_through(site, cistern).iter().any(|other| is_drawn_from(site, other))
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
        let in_order = !own && one_behind_another(site, &group);
        let behind = in_order && goes_through(site, cistern);
        let yes = if behind {
            "a place in the way from an inlet to an outlet connection"
        } else {
            "an inlet and an outlet connection of its own"
        };
        let links = group.iter().flat_map(|other| site.attached_of(&other.id, Service::Link));
        let beyond = links.map(|pipe| site.run(pipe.run)).find(|link| link.goes_on()).filter(|_| !own && !behind);
        let find_out = beyond.map(|link| format!("draw {} on to the cistern that it leads to", link.id.with_article()));
        let hole = group.iter().find_map(|other| Some((*other, site.hole_without_pipe(other)?)));
        let find_out = find_out.or_else(|| {
            let (other, port) = hole.filter(|_| !own && !behind)?;
            Some(format!(
                "draw the pipe on the {} connection of {}",
                port.spoken().to_lowercase(),
                other.id.with_article()
            ))
        });
        let holds = find_out.map_or(Ok(own || behind), Err);
        let no = if in_order {
            "a non-return valve in a link that lets no water through it"
        } else {
            "no inlet, or no outlet connection, of its own"
        };
        Reading::fact(&cistern.id, holds, yes, no)
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
            groups.push(and_others(to_and_fro(site, cistern), site.one_level().perhaps.with(site, &cistern.id)));
        }
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// How far the highest water line of joined cisterns lies above the lowest: at rest their water stands at one level.
#[must_use]
pub fn linked_water_lines(site: &Site<'_>) -> Vec<Reading> {
    let reading = |group: &[&Cistern]| {
        let ids = || group.iter().map(|cistern| &cistern.id);
        // What is filled through the link has no water line of its own to set.
        let mut untold = group.iter().filter(|cistern| cistern.water_level().is_none());
        if let Some(cistern) = untold.find(|cistern| cistern.float_valve.is_some()) {
            let find_out = find_out::water_line(&cistern.id);
            return Some(Reading::untold(&cistern.id, find_out).about_all(ids()));
        }
        let lines = || group.iter().filter_map(|cistern| Some((*cistern, cistern.water_level()?)));
        let (highest, upper) = lines().max_by_key(|(_, level)| *level)?;
        let (lowest, lower) =
            lines().filter(|(cistern, _)| cistern.id != highest.id).min_by_key(|(_, level)| *level)?;
        let apart = site.level(upper) - site.level(lower);
        let is_sure = filled_through(site, highest).iter().any(|cistern| cistern.id == lowest.id);
        let in_doubt = (!is_sure).then(|| {
            let [lowest, highest] = [lowest, highest].map(|cistern| cistern.id.with_article());
            format!("look for a non-return valve in the pipes that join {highest} and {lowest}")
        });
        let places = [lowest, highest].map(|cistern| Place::of(&cistern.id, Feature::WaterLine));
        Some(
            Reading::mm(&highest.id, apart)
                .about_all(ids())
                .between(Axis::Upright, places)
                .working(difference(
                    (&format!("water line of {}", highest.id.with_article()), tenths_mm(upper.to_mm())),
                    (&format!("that of {}", lowest.id.with_article()), tenths_mm(lower.to_mm())),
                    apart,
                ))
                .unless(in_doubt),
        )
    };
    let (together, over) = (in_one_water(site), flowing_over(site));
    let groups = together.iter().map(Vec::as_slice).chain(over.iter().map(<[_; 2]>::as_slice));
    groups.filter_map(reading).collect()
}

/// Storage cisterns with a float valve, each behind the one whose water stands higher, or may, and comes to it by a link
/// that lets none back.
fn flowing_over<'s>(site: &'s Site<'_>) -> Vec<[&'s Cistern; 2]> {
    if !site.one_level().has_one_way_link {
        return Vec::new();
    }
    let pair = |lower: &'s Cistern| {
        let goes_to = filled_through(site, lower);
        let comes_from = linked_with(site, lower).into_iter();
        let above: Vec<_> = comes_from.filter(|other| goes_to.iter().all(|shares| shares.id != other.id)).collect();
        let untold = above.iter().find(|other| other.float_valve.is_some() && other.water_level().is_none());
        let upper = untold.copied().or_else(|| Some(highest_water_line(&above)?.0))?;
        let is_higher = upper.water_level().zip(lower.water_level()).is_none_or(|(upper, lower)| upper > lower);
        is_higher.then_some([upper, lower])
    };
    site.storage_cisterns().filter(|cistern| cistern.float_valve.is_some()).filter_map(pair).collect()
}

/// A volume to a cistern's water line, less what lies above the lowest water line of those that it is linked with: their
/// water stands at one level, and no more than that is sure. One whose own float valve keeps it at its line may stand above
/// what comes to it by a link that lets none back.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub(super) fn to_common_line(
    site: &Site<'_>,
    cistern: &Cistern,
    (litres, how): (Measured, String),
) -> Result<(Measured, String), String> {
    let mut group = filled_through(site, cistern);
    if cistern.float_valve.is_none() {
        group = and_others(group, linked_with(site, cistern).into_iter());
    }
    let lines = group.iter().filter_map(|other| Some((*other, other.surface()?)));
    let lowest = lines.min_by_key(|(_, level)| *level);
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
