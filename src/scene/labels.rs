//! Places for labels: each tries a fixed list of places and takes the free one that covers least.

use std::borrow::Cow;
use std::cmp::Reverse;
use std::ops::Range;

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Outline, Pace, Stroke, Turn};
use super::lettering::width_mm;
use super::places::{anywhere, nearby};
use super::room::{PaperBox, Room};
use super::standing::{Standing, Stood};
use super::{About, Ink, Label, Origin, PenWidth, Rank, TextAnchor, TextSize};

/// From foot line to foot line, as a share of the letter size.
pub(super) const LINE_PITCH: f64 = 1.15;
/// Clear paper around a label, mm.
pub(super) const CLEAR_MM: f64 = 0.5;
/// A drawing with more labels than this in view is not read but looked at; the rest stays off.
const MOST_LABELS: usize = 300;
/// So often labels choose their places while some are badly off; with more labels than these the first attempt stands.
const ATTEMPTS: usize = 4;
const MOST_TRIED_AGAIN: usize = 80;
/// So many of those that are badly off are helped, by moving one of so many labels nearest to them.
const MOST_HELPED: usize = 12;
const MOST_MOVED: usize = 8;
/// How much it is disliked in a crowd that a leader crosses another, where a millimetre of leader counts a half.
const TANGLE_COST: f64 = 40.0;
/// A label is badly off that costs so much, in halves of a millimetre of leader; one without a place costs this.
const BADLY_OFF: f64 = 18.0;
const NOWHERE_COST: f64 = 200.0;
/// How much it is disliked that a label stands in a thing that it does not name: it is read as that thing's name.
const IN_ANOTHER_COST: f64 = 40.0;
/// So many labels are listed beside the drawing where they find no place on it.
const MOST_LISTED: usize = 20;
/// A label that finds no place is broken into lines of these widths, mm.
const NARROW_MM: [f64; 3] = [34.0, 27.0, 22.0];
/// The list beside the drawing is as wide as the first of these for which there is room, mm.
const LISTS_MM: [f64; 5] = [46.0, 30.0, 20.0, 70.0, 110.0];

/// A label, and what it stands for.
pub(super) type Named<'a> = (&'a Origin, &'a Label);

/// A label that looks for a place.
#[derive(Clone, Copy)]
struct Seeking<'a> {
    named: Named<'a>,
    /// Which of the labels of its origin it is.
    number: usize,
    stood: Option<Stood>,
}

/// A label with its place, in the form in which there was room for it.
struct Placed<'a> {
    of: Seeking<'a>,
    form: Cow<'a, Label>,
    place: Place,
    now: Stood,
    staying: Staying,
}

/// Whether a label is where it was in the last placing.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Staying {
    Stays,
    Moves,
}

/// A box on paper, the leader to it where it stands off, and how little it is liked.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub area: PaperBox,
    pub leader: Option<(DVec2, DVec2)>,
    cost: f64,
}

/// Where a label looks for its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reach {
    /// At and around what it names, where leaders may cross: in a crowd, and for tags, there may be no other way.
    NearInACrowd,
    /// At and around what it names.
    Near,
    /// All over the paper, with a leader.
    Anywhere,
}

/// What comes of it when labels choose in some order.
struct Attempt<'a> {
    room: Room,
    placed: Vec<Placed<'a>>,
    /// Those for which nothing was left.
    unplaced: Vec<Seeking<'a>>,
}

/// Gives labels their places, and keeps where they stand now. Those that have stood before stay there if they can.
pub(super) fn place_labels(
    strokes: &mut Vec<Stroke>,
    room: &mut Room,
    labels: &[Named<'_>],
    (pace, before, standing): (Pace, &Standing, &mut Standing),
) {
    let mut in_view = seeking(labels, before.at_scale(room.scale));
    in_view.retain(|label| is_in_view(room, label.named.1));
    in_view.sort_by_key(|label| label.named.1.rank);
    in_view.truncate(MOST_LABELS);
    room.name(in_view.iter().filter_map(|label| label.named.1.about.area(room.scale)).collect::<Vec<_>>());
    let best = match pace {
        _ if in_view.len() > MOST_TRIED_AGAIN => Attempt::of(room.clone(), &in_view, Reach::NearInACrowd),
        Pace::InMotion => Attempt::of(room.clone(), &in_view, Reach::Near),
        Pace::AtRest => best_attempt(room, in_view),
    };
    *room = best.room;
    for placed in &best.placed {
        placed.draw(strokes, room.scale);
        standing.keep(placed.of.named.0, placed.of.number, placed.now);
    }
    number(strokes, room, &best.unplaced);
}

/// Labels, each with where it stood.
fn seeking<'a>(labels: &[Named<'a>], before: Option<&Standing>) -> Vec<Seeking<'a>> {
    let mut counts: foldhash::HashMap<&Origin, usize> = foldhash::HashMap::default();
    let label = |named: &Named<'a>| {
        let count = counts.entry(named.0).or_default();
        let number = std::mem::replace(count, *count + 1);
        let stood = before.and_then(|before| before.of(named.0, number));
        Seeking { named: *named, number, stood }
    };
    labels.iter().map(label).collect()
}

/// Lets labels choose their places; while some are badly off, they choose in other orders, and are moved for each other.
fn best_attempt<'a>(room: &Room, mut order: Vec<Seeking<'a>>) -> Attempt<'a> {
    let mut best = Attempt::of(room.clone(), &order, Reach::Anywhere);
    let mut badly_off = best.badly_off();
    for attempt in 1..ATTEMPTS {
        if badly_off.is_empty() {
            return best;
        }
        if attempt == 1 {
            // Small words find room anywhere: those that must stand beside a picture, and the largest, choose first.
            let is_of_picture = |label: &Label| matches!(label.about, About::Picture { .. });
            order.sort_by_key(|label| {
                let label = label.named.1;
                (label.rank, !is_of_picture(label), Reverse(label.lines.len()))
            });
        } else {
            order.sort_by_key(|label| !badly_off.contains(&std::ptr::from_ref(label.named.1)));
        }
        let next = Attempt::of(room.clone(), &order, Reach::Anywhere);
        badly_off = next.badly_off();
        if next.cost() < best.cost() {
            best = next;
        }
    }
    best.settle();
    best.put_tags_in();
    best
}

impl<'a> Attempt<'a> {
    /// Those that can stay where they stood do; then each of the others chooses.
    fn of(mut room: Room, order: &[Seeking<'a>], reach: Reach) -> Self {
        let stay = order.iter().map(|label| Placed::as_it_stood(&mut room, *label)).collect::<Vec<_>>();
        let (mut placed, mut unplaced) = (Vec::new(), Vec::new());
        for (label, stays) in order.iter().zip(stay) {
            match stays.or_else(|| Placed::as_it_can(&mut room, *label, reach)) {
                Some(found) => placed.push(found),
                None => unplaced.push(*label),
            }
        }
        Self { room, placed, unplaced }
    }

    fn cost(&self) -> f64 {
        let placed: f64 = self.placed.iter().map(|placed| placed.place.cost).sum();
        placed + NOWHERE_COST * self.unplaced.len() as f64
    }

    fn badly_off(&self) -> Vec<*const Label> {
        let far_off = self.placed.iter().filter(|placed| placed.is_badly_off()).map(|placed| placed.of);
        far_off.chain(self.unplaced.iter().copied()).map(|label| std::ptr::from_ref(label.named.1)).collect()
    }

    /// Moves one label where that makes room for another that has none, or stands far off.
    fn settle(&mut self) {
        let unplaced = std::mem::take(&mut self.unplaced);
        let helped = unplaced.len().min(MOST_HELPED);
        for (number, label) in unplaced.into_iter().enumerate() {
            match (number < helped).then(|| self.move_one_for(label, NOWHERE_COST)).flatten() {
                Some(found) => self.placed.push(found),
                None => self.unplaced.push(label),
            }
        }
        let is_far_off = |number: &usize| self.placed[*number].is_badly_off();
        let far_off: Vec<usize> = (0..self.placed.len()).filter(is_far_off).take(MOST_HELPED - helped).collect();
        for number in far_off {
            let (label, cost) = (self.placed[number].of, self.placed[number].place.cost);
            self.placed[number].release(&mut self.room);
            match self.move_one_for(label, cost) {
                Some(found) => self.placed[number] = found,
                None => self.placed[number].keep(&mut self.room),
            }
        }
    }

    /// A fitting without its tag cannot be checked: rather its leader crosses another.
    fn put_tags_in(&mut self) {
        for label in std::mem::take(&mut self.unplaced) {
            let is_tag = label.named.1.rank == Rank::Tag;
            match is_tag.then(|| Placed::as_it_can(&mut self.room, label, Reach::NearInACrowd)).flatten() {
                Some(found) => self.placed.push(found),
                None => self.unplaced.push(label),
            }
        }
    }

    /// The label with a place that one other, moved, has made free, where both together cost less than now. What stays
    /// where it stood is moved only for a label that has no place at all.
    fn move_one_for(&mut self, label: Seeking<'a>, cost: f64) -> Option<Placed<'a>> {
        let at = label.named.1.about.middle() / self.room.scale;
        let off = |number: &usize| nearest_on(self.placed[*number].place.area, at).distance(at);
        let is_other = |number: &usize| {
            let other = &self.placed[*number];
            let may_move = other.staying == Staying::Moves || cost >= NOWHERE_COST;
            may_move && !std::ptr::eq(other.of.named.1, label.named.1)
        };
        let mut others: Vec<usize> = (0..self.placed.len()).filter(is_other).collect();
        others.sort_by(|a, b| off(a).total_cmp(&off(b)));
        for number in others.into_iter().take(MOST_MOVED) {
            let was = self.placed[number].place.cost;
            self.placed[number].release(&mut self.room);
            if let Some(found) = Placed::as_it_can(&mut self.room, label, Reach::Near) {
                let moved = Placed::as_it_can(&mut self.room, self.placed[number].of, Reach::Near);
                match moved {
                    Some(moved) if found.place.cost + moved.place.cost < cost + was => {
                        self.placed[number] = moved;
                        return Some(found);
                    }
                    Some(moved) => moved.release(&mut self.room),
                    None => {}
                }
                found.release(&mut self.room);
            }
            self.placed[number].keep(&mut self.room);
        }
        None
    }
}

/// A label as it is, then in the forms in which it takes less room.
fn forms(label: &Label) -> impl Iterator<Item = Cow<'_, Label>> {
    let narrower = |label: &Label| {
        let size_mm = label.size.mm();
        let narrow = NARROW_MM.map(|width_mm| {
            let lines = label.lines.iter().flat_map(|line| super::wrapped(line, size_mm, width_mm)).collect();
            Label { lines, ..label.clone() }
        });
        let was = label.lines.clone();
        narrow.into_iter().filter(move |narrow| narrow.lines != was)
    };
    let small = (label.size != TextSize::Tiny).then(|| Label { size: TextSize::Tiny, ..label.clone() });
    let smaller = small.into_iter().flat_map(move |small| std::iter::once(small.clone()).chain(narrower(&small)));
    std::iter::once(Cow::Borrowed(label)).chain(narrower(label).chain(smaller).map(Cow::Owned))
}

/// Writes numbers in the place of labels, and their words beside the drawing.
fn number(strokes: &mut Vec<Stroke>, room: &mut Room, labels: &[Seeking<'_>]) {
    let mut listed: Vec<String> = Vec::new();
    let mut numbers: Vec<Range<usize>> = Vec::new();
    // What names a level says nothing elsewhere.
    let elsewhere = labels.iter().filter(|label| !matches!(label.named.1.about, About::Floor { .. }));
    for Seeking { named: (origin, label), number, .. } in elsewhere {
        if listed.len() == MOST_LISTED {
            break;
        }
        let sign = format!("({})", listed.len() + 1);
        let short = Label { lines: vec![sign.clone()], size: TextSize::Tiny, ..(*label).clone() };
        let sign_of = Seeking { named: (*origin, &short), number: *number, stood: None };
        if let Some(placed) = Placed::as_it_can(room, sign_of, Reach::Near) {
            let from = strokes.len();
            placed.draw(strokes, room.scale);
            numbers.push(from..strokes.len());
            listed.push(format!("{sign} {}", label.lines.join(", ")));
        }
    }
    let unread = list(strokes, room, &listed);
    // A number without its words says nothing.
    for number in unread.into_iter().rev() {
        strokes.drain(numbers[number].clone());
    }
}

/// Writes the words of numbered labels on blank paper: all together, or each line where there is room for it.
/// Gives the places in the list of those that found none.
fn list(strokes: &mut Vec<Stroke>, room: &mut Room, listed: &[String]) -> Vec<usize> {
    let size_mm = TextSize::Tiny.mm();
    let find = |room: &Room, words: &[String]| {
        LISTS_MM.iter().find_map(|width_mm| {
            let lines: Vec<String> = words.iter().flat_map(|words| super::wrapped(words, size_mm, *width_mm)).collect();
            Some((room.blank_corner(block_size(&lines, size_mm))?, lines))
        })
    };
    let all_in_one = !listed.is_empty() && find(room, listed).is_some();
    let mut unread = Vec::new();
    for (number, words) in listed.chunks(if all_in_one { listed.len() } else { 1 }).enumerate() {
        let Some((area, lines)) = find(room, words) else {
            unread.push(number);
            continue;
        };
        room.take(area);
        for drawn in block(&lines, size_mm, Ink::Ink, area, room.scale, TextAnchor::Start) {
            strokes.push(Stroke { origin: Origin::Building, drawn });
        }
    }
    unread
}

impl<'a> Placed<'a> {
    /// The label as it is, broken into shorter lines or in smaller letters, where there is room for it nearby; else
    /// farther off, where that is in reach.
    fn as_it_can(room: &mut Room, of: Seeking<'a>, reach: Reach) -> Option<Self> {
        let label = of.named.1;
        let stands = |(number, form): (usize, Cow<'a, Label>), reach| {
            let place = best_place(room, &form, reach, None)?.place;
            let now = Stood::new(number, reach, label, &place, room.scale);
            Some(Self { of, form, place, now, staying: Staying::Moves })
        };
        let near_in = if reach == Reach::NearInACrowd { reach } else { Reach::Near };
        let near = forms(label).enumerate().find_map(|form| stands(form, near_in));
        // All over the paper many places are looked at: the form that takes least room stands for those between.
        let far = || {
            let as_it_is = stands((0, Cow::Borrowed(label)), Reach::Anywhere);
            as_it_is.or_else(|| stands(forms(label).enumerate().last()?, Reach::Anywhere))
        };
        let found = match reach {
            Reach::Near | Reach::NearInACrowd => near,
            Reach::Anywhere => near.or_else(far),
        }?;
        found.keep(room);
        Some(found)
    }

    /// The label where and as it stood in the last placing, unless it would be far better off elsewhere.
    fn as_it_stood(room: &mut Room, of: Seeking<'a>) -> Option<Self> {
        let (stood, label) = (of.stood?, of.named.1);
        let form = forms(label).nth(stood.form)?;
        let found = best_place(room, &form, stood.reach, Some(&stood)).filter(|best| best.staying == Staying::Stays)?;
        let now = Stood::new(stood.form, stood.reach, label, &found.place, room.scale);
        let placed = Self { of, form, place: found.place, now, staying: Staying::Stays };
        placed.keep(room);
        Some(placed)
    }

    /// What has stayed was helped as far as it could be when it was placed.
    fn is_badly_off(&self) -> bool {
        self.staying == Staying::Moves && self.place.cost >= BADLY_OFF
    }

    fn keep(&self, room: &mut Room) {
        room.take(self.place.area);
        if let Some((from, to)) = self.place.leader {
            room.lead(from, to);
        }
    }

    fn release(&self, room: &mut Room) {
        room.release(self.place.area, self.place.leader);
    }

    fn draw(&self, strokes: &mut Vec<Stroke>, scale: f64) {
        let (label, area) = (&self.form, self.place.area);
        let leader = self.place.leader.map(|(from, to)| leader(from, to, scale));
        let words = block(&label.lines, label.size.mm(), label.ink, area, scale, TextAnchor::Middle);
        strokes.extend(leader.into_iter().chain(words).map(|drawn| Stroke { origin: self.of.named.0.clone(), drawn }));
    }
}

fn leader(from: DVec2, to: DVec2, scale: f64) -> Drawn {
    Drawn::Line { points: vec![from * scale, to * scale], outline: Outline::solid(Ink::Faint, PenWidth::Fine.mm()) }
}

/// The best place of a label, and whether it is where it stood.
struct Best {
    place: Place,
    staying: Staying,
    /// What it costs, less what it is worth to stay.
    weighed: f64,
}

/// Where a label stands best on blank paper, with a leader that crosses no other.
fn best_place(room: &Room, label: &Label, reach: Reach, stood: Option<&Stood>) -> Option<Best> {
    let size = block_size(&label.lines, label.size.mm());
    let own = label.about.area(room.scale);
    let mut best: Option<Best> = None;
    let candidates = match reach {
        Reach::Near | Reach::NearInACrowd => nearby(room, label, size),
        Reach::Anywhere => anywhere(room, label, size),
    };
    for candidate in candidates {
        let area = candidate.area;
        let leader = candidate.leader.map(|from| (from, nearest_on(area, from)));
        let worth = stood.and_then(|stood| stood.worth(&candidate, label, room.scale));
        let staying = if worth.is_some() { Staying::Stays } else { Staying::Moves };
        let weigh = |cost: f64| cost - worth.unwrap_or(0.0);
        // What a place is disliked for by itself is the least that it costs.
        let is_worse = |cost: f64| best.as_ref().is_some_and(|least| weigh(cost) >= least.weighed);
        let will_do = || {
            let untangled = |(from, to)| {
                room.is_clear(from, to) && (reach == Reach::NearInACrowd || room.leaders_crossed(from, to) == 0)
            };
            room.is_blank(area) && leader.is_none_or(untangled)
        };
        if is_worse(candidate.dislike) || !will_do() {
            continue;
        }
        let tangle = |(from, to)| 0.8 * room.crossed(from, to) + TANGLE_COST * room.leaders_crossed(from, to) as f64;
        let misleads = if room.is_in_another(area, own) { IN_ANOTHER_COST } else { 0.0 };
        let cost = candidate.dislike + leader.map_or(0.0, tangle) + misleads;
        if !is_worse(cost) {
            best = Some(Best { place: Place { area, leader, cost }, staying, weighed: weigh(cost) });
        }
    }
    best
}

impl About {
    /// The box of a thing, mm of paper.
    fn area(&self, scale: f64) -> Option<PaperBox> {
        match self {
            Self::Thing { low, high } | Self::Picture { low, high } => {
                Some(PaperBox { low: *low / scale, high: *high / scale })
            }
            Self::Course(_) | Self::Floor { .. } | Self::Spot(_) => None,
        }
    }

    /// A point amid what is named, in section millimetres.
    pub(super) fn middle(&self) -> DVec2 {
        match self {
            Self::Thing { low, high } | Self::Picture { low, high } => low.midpoint(*high),
            Self::Floor { from, to } => from.midpoint(*to),
            Self::Course(points) => points.get(points.len() / 2).copied().unwrap_or_default(),
            Self::Spot(at) => *at,
        }
    }
}

fn is_in_view(room: &Room, label: &Label) -> bool {
    match &label.about {
        About::Thing { low, high } | About::Picture { low, high } => room.sees(low.midpoint(*high) / room.scale),
        About::Course(points) => points.iter().any(|point| room.sees(*point / room.scale)),
        About::Floor { from, to } => room.stretch_in_view(*from / room.scale, *to / room.scale).is_some(),
        About::Spot(at) => room.sees(*at / room.scale),
    }
}

/// Width and height of lines under each other, mm.
pub(super) fn block_size(lines: &[String], size_mm: f64) -> DVec2 {
    let width = lines.iter().map(|line| width_mm(line, size_mm)).fold(0.0, f64::max);
    dvec2(width, size_mm * (1.0 + LINE_PITCH * (lines.len().max(1) - 1) as f64)) + 2.0 * CLEAR_MM
}

/// Lines of words in a box on paper, ranged as the anchor says.
pub(super) fn block(
    lines: &[String],
    size_mm: f64,
    ink: Ink,
    area: PaperBox,
    scale: f64,
    anchor: TextAnchor,
) -> Vec<Drawn> {
    let x = match anchor {
        TextAnchor::Start => area.low.x + CLEAR_MM,
        TextAnchor::Middle => area.middle().x,
        TextAnchor::End => area.high.x - CLEAR_MM,
    };
    let foot = |number: usize| area.high.y - CLEAR_MM - size_mm * (0.78 + LINE_PITCH * number as f64);
    let line = |(number, words): (usize, &String)| Drawn::Words {
        at: dvec2(x, foot(number)) * scale,
        anchor,
        words: words.clone(),
        size_mm,
        ink,
        turn: Turn::Level,
    };
    lines.iter().enumerate().map(line).collect()
}

/// The point of a box that is nearest to another.
pub(super) fn nearest_on(area: PaperBox, to: DVec2) -> DVec2 {
    to.clamp(area.low, area.high)
}
