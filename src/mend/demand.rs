//! What has to hold: readings against their rules, and the house as it stands; each as how far it is clear of its bound.

use foldhash::HashMap;

use super::beside;
use super::course::free_end;
use super::effort::Effort;
use super::handle::end_on;
use super::lines::Rests;
use crate::finding::{Finding, FindingKey, Findings, Kept};
use crate::layout::{Cistern, Connection, Cylinder, End, INLET, Id, Layout, Lock, Run, Service, Tapping};
use crate::measure::{Have, Site, room};
use crate::rules::{InForce, Limit, Measure, Profile, Verdict, Voice};
use crate::units::Unit;

/// Something that has to hold.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Demand {
    /// What a rule asks of a reading.
    Rule(FindingKey),
    /// What the house as it stands allows.
    Fact(Fact),
}

/// A fact of the house that no pipe or cistern gets round.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Fact {
    /// A cistern or vent stays under the roof.
    UnderRoof(Id),
    /// A vent's open end, where it is over a cistern, stays inside that side of it.
    VentOver(Id, Id, Toward),
    /// A cistern or cylinder stays on its platform, on that side of it.
    OnPlatform(Id, Id, Toward),
    /// A platform stays over the joists with its bearers and board.
    OverJoists(Id),
    /// A cylinder or platform stays over the floor below it.
    OverFloor(Id),
    /// A cylinder stays under the ceiling.
    UnderCeiling(Id),
    /// A cistern's water line stays over a hole through which it gives water.
    WaterOver(Id, Id),
    /// Two connections in one wall of a cistern leave room for their fittings.
    FittingsBeside(Id, Id, Id),
    /// A dimension that is held gets no smaller, or no larger.
    Held(Lock, Toward),
}

impl Fact {
    /// How much room it leaves on a layout, mm; nothing where the drawing does not tell, or where it does not apply. Of
    /// what is held it is the dimension itself, with the sign of the way that it must not go.
    #[must_use]
    pub fn clear_mm(&self, layout: &Layout) -> Option<f64> {
        clear_of(self, &Site::of(layout))
    }
}

/// Which way along a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Toward {
    /// The way of smaller numbers: down, left, in.
    Back,
    /// The way of larger numbers: up, right, out.
    Forth,
}

/// A reading that has to pass its bound is asked to pass it by so much, in its own unit.
const PAST_THE_BOUND_MM: f64 = 0.25;
/// The same where it is no length.
const PAST_THE_BOUND: f64 = 1e-3;

/// Whoever judges: the rules in force, and which of them are held against every small shift.
pub(super) struct Judge {
    all: Vec<InForce>,
    quick: Vec<InForce>,
    guard_factor: f64,
    kept: Kept,
    rests: Rests,
    effort: Effort,
}

impl Judge {
    pub fn new(profile: &Profile, effort: Effort) -> Self {
        let all = profile.rules();
        let quick = all.iter().filter(|rule| matches!(rule.rule.measure, Measure::OfSite(_))).cloned().collect();
        Self { kept: Kept::of(&all), rests: Rests::default(), all, quick, guard_factor: profile.guard_factor, effort }
    }

    /// What has been tried so far.
    pub const fn effort(&self) -> &Effort {
        &self.effort
    }

    /// The lines that were worked out last.
    pub const fn rests(&self) -> &Rests {
        &self.rests
    }

    /// The number that a rule asks in its own unit, where it is in force and asks the same for every layout.
    pub fn asks(&self, rule: &str) -> Option<f64> {
        let in_force = self.all.iter().find(|in_force| in_force.rule.id == rule)?;
        in_force.limit.constant().map(|asked| asked.value)
    }

    /// Every finding of a layout.
    pub fn findings(&self, layout: &Layout) -> Findings {
        self.effort.count();
        Findings::keeping(&Site::of(layout), &self.all, self.guard_factor, &self.kept)
    }

    /// Whether a finding is not broken on a layout, by its rule alone.
    pub fn clears(&self, layout: &Layout, key: &FindingKey) -> bool {
        self.effort.count();
        !is_broken(&Findings::keeping(&Site::of(layout), &self.only(&[key.rule]), self.guard_factor, &self.kept), key)
    }

    /// The rules of what is drawn, and those others that are named: what is looked at for each small shift.
    pub fn watching(&self, besides: &[&'static str]) -> Vec<InForce> {
        let dear =
            |rule: &&InForce| !matches!(rule.rule.measure, Measure::OfSite(_)) && besides.contains(&rule.rule.id);
        self.quick.iter().chain(self.all.iter().filter(dear)).cloned().collect()
    }

    /// Some rules alone.
    pub fn only(&self, rules: &[&'static str]) -> Vec<InForce> {
        self.all.iter().filter(|rule| rules.contains(&rule.rule.id)).cloned().collect()
    }

    /// Whether a rule is looked at for each small shift, when those others are named.
    pub fn is_watched(&self, rule: &str, besides: &[&'static str]) -> bool {
        besides.contains(&rule) || self.quick.iter().any(|quick| quick.rule.id == rule)
    }

    /// How far each demand is clear of its bound on a layout; below zero where it is broken, nothing where it is not asked.
    pub fn clearances(&self, layout: &Layout, rules: &[InForce], sought: &Sought) -> Vec<Option<f64>> {
        self.effort.count();
        let site = Site::of(layout);
        let findings = Findings::by(&site, rules, self.guard_factor);
        let mut clearances = vec![None; sought.demands.len()];
        if sought.is_as_seen(&findings) {
            for (finding, number) in findings.in_order().into_iter().zip(&sought.seen) {
                if let Some(number) = number.of_demand {
                    clearances[number] = clear(finding);
                }
            }
        } else {
            for (key, finding) in findings.keyed() {
                if let Some(number) = sought.numbers.get(key) {
                    clearances[*number] = clear(finding);
                }
            }
        }
        for (number, demand) in sought.demands.iter().enumerate() {
            if let Demand::Fact(fact) = demand {
                clearances[number] = clear_of(fact, &site);
            }
        }
        clearances
    }
}

/// Demands, and where in the order of the table each of them was last seen: most shifts change no order, so that
/// nothing has to be looked up.
pub(super) struct Sought {
    pub demands: Vec<Demand>,
    numbers: HashMap<FindingKey, usize>,
    seen: Vec<Seen>,
}

/// A finding in its place.
struct Seen {
    rule: &'static str,
    parts: Vec<Id>,
    of_demand: Option<usize>,
}

impl Sought {
    pub fn new(demands: Vec<Demand>) -> Self {
        let key = |(number, demand): (usize, &Demand)| match demand {
            Demand::Rule(key) => Some((key.clone(), number)),
            Demand::Fact(_) => None,
        };
        let numbers = demands.iter().enumerate().filter_map(key).collect();
        Self { demands, numbers, seen: Vec::new() }
    }

    /// The number of a rule's demand.
    pub fn number_of(&self, key: &FindingKey) -> Option<usize> {
        self.numbers.get(key).copied()
    }

    /// Remembers in what order some rules find what on a layout.
    pub fn see(&mut self, judge: &Judge, layout: &Layout, rules: &[InForce]) {
        let findings = Findings::by(&Site::of(layout), rules, judge.guard_factor);
        let unseen =
            |finding: &Finding| Seen { rule: finding.rule.id, parts: finding.reading.parts.clone(), of_demand: None };
        self.seen = findings.in_order().into_iter().map(unseen).collect();
        for (key, finding) in findings.keyed() {
            self.seen[finding.number()].of_demand = self.number_of(key);
        }
    }

    fn is_as_seen(&self, findings: &Findings) -> bool {
        let in_order = findings.in_order();
        let same =
            |(finding, seen): (&&Finding, &Seen)| finding.rule.id == seen.rule && finding.reading.parts == seen.parts;
        in_order.len() == self.seen.len() && in_order.iter().zip(&self.seen).all(same)
    }
}

/// The demands of a layout in an order that is always the same: its rules as they are listed, then its facts.
pub(super) fn demands(layout: &Layout, findings: &Findings) -> Vec<Demand> {
    let of_rules = findings.keyed().filter(|(_, finding)| clear(finding).is_some());
    let of_rules = of_rules.map(|(key, _)| Demand::Rule(key.clone()));
    of_rules.chain(facts(layout).into_iter().map(Demand::Fact)).collect()
}

/// How far a reading is clear of its bound and of the margin of its measurement; nothing where it is no number.
pub(super) fn clear(finding: &Finding) -> Option<f64> {
    let (Have::Amount(have, unit), Some(need)) = (&finding.reading.have, finding.judged.need) else { return None };
    let past = if *unit == Unit::Millimetre { PAST_THE_BOUND_MM } else { PAST_THE_BOUND };
    let clear = match finding.limit {
        Limit::AtLeast(_) => have.value - need.value,
        Limit::MoreThan(_) => have.value - need.value - past,
        Limit::AtMost(_) => need.value - have.value,
        _ => return None,
    };
    Some(clear - finding.judged.margin)
}

fn facts(layout: &Layout) -> Vec<Fact> {
    let vents = || layout.runs.iter().filter(|run| run.service.is_vent());
    let mut facts: Vec<Fact> = vents().map(|run| Fact::UnderRoof(run.id.clone())).collect();
    facts.extend(vents().flat_map(|run| {
        let inside = |cistern: &Cistern, side| mouth_within_mm(run, cistern, side).is_some_and(|mm| mm >= 0.0);
        let over = move |cistern: &&Cistern| inside(cistern, Toward::Back) && inside(cistern, Toward::Forth);
        let sides = |cistern: &Cistern| {
            [Toward::Back, Toward::Forth].map(|side| Fact::VentOver(run.id.clone(), cistern.id.clone(), side))
        };
        layout.cisterns.iter().filter(over).flat_map(sides)
    }));
    facts.extend(layout.cisterns.iter().map(|part| Fact::UnderRoof(part.id.clone())));
    facts.extend(layout.cisterns.iter().flat_map(|part| water_over(layout, part)));
    facts.extend(layout.cisterns.iter().flat_map(|part| beside::with_room(layout, part)));
    for platform in &layout.platforms {
        let standing = layout.with_what_stands_on(&platform.id).into_iter().skip(1);
        facts.extend(standing.flat_map(|id| {
            [Toward::Back, Toward::Forth].map(|side| Fact::OnPlatform(id.clone(), platform.id.clone(), side))
        }));
    }
    facts.extend(layout.platforms.iter().map(|part| Fact::OverJoists(part.id.clone())));
    facts.extend(layout.platforms.iter().map(|part| Fact::OverFloor(part.id.clone())));
    facts.extend(layout.cylinders.iter().map(|part| Fact::OverFloor(part.id.clone())));
    facts.extend(layout.cylinders.iter().map(|part| Fact::UnderCeiling(part.id.clone())));
    facts
}

/// How far a fact leaves room; nothing where the drawing does not tell, or where it does not apply. Of what is held it is
/// the dimension itself, with the sign of the way that it must not go.
pub(super) fn clear_of(fact: &Fact, site: &Site<'_>) -> Option<f64> {
    let layout = site.layout();
    match fact {
        Fact::UnderRoof(id) => under_roof(site, id),
        Fact::VentOver(vent, id, side) => mouth_within_mm(layout.run(vent)?, layout.cistern(id)?, *side),
        Fact::OnPlatform(id, platform, side) => on_platform(layout, id, platform, *side),
        Fact::OverJoists(id) => room::over_joists_mm(site, layout.platform(id)?),
        Fact::OverFloor(id) => {
            let of_platform = || layout.platform(id).and_then(|part| room::platform_over_floor_mm(site, part));
            layout.cylinder(id).map_or_else(of_platform, |part| room::cylinder_over_floor_mm(site, part))
        }
        Fact::WaterOver(id, port) => water_over_mm(layout, layout.cistern(id)?, port),
        Fact::FittingsBeside(id, port, other) => beside::room_mm(layout, layout.cistern(id)?, port, other),
        Fact::Held(lock, no_further) => layout.dimension(lock).map(|now| match no_further {
            Toward::Back => now,
            Toward::Forth => -now,
        }),
        Fact::UnderCeiling(id) => {
            let cylinder = layout.cylinder(id)?;
            let ceiling = site.building().ceiling?;
            (cylinder.at.z.to_mm() < ceiling.underside.to_mm())
                .then(|| ceiling.underside.to_mm() - cylinder.at.z.to_mm() - cylinder.height.to_mm())
        }
    }
}

/// The holes of a cistern through which it gives water, each as what has to stay under water: those that are under it now
/// and are no overflow, inlet or vent.
fn water_over(layout: &Layout, cistern: &Cistern) -> Vec<Fact> {
    let gives = |port: &Id| {
        let mut joined =
            layout.runs.iter().filter(|run| end_on(run, |part, own| *part == cistern.id && own == port).is_some());
        let takes_none =
            |run: &Run| matches!(run.service, Service::WarningPipe | Service::RisingMain) || run.service.is_vent();
        port.as_str() != INLET && !joined.any(takes_none)
    };
    let is_under = |hole: &&Connection| cistern.water_line.is_some_and(|line| hole.on.distance() < line);
    let holes = cistern.connections.iter().filter(is_under).filter(|hole| gives(&hole.port));
    holes.map(|hole| Fact::WaterOver(cistern.id.clone(), hole.port.clone())).collect()
}

/// How far the water line is over the top of a hole in a cistern's side, by so much that it is seen to be.
fn water_over_mm(layout: &Layout, cistern: &Cistern, port: &Id) -> Option<f64> {
    let hole = cistern.connections.iter().find(|hole| hole.port == *port)?;
    let (Tapping::Left(centre) | Tapping::Right(centre)) = hole.on else { return None };
    let joined = layout.runs.iter().filter(|run| end_on(run, |part, own| *part == cistern.id && own == port).is_some());
    let half_bore_mm = joined.map(Run::half_bore_mm).fold(0.0, f64::max);
    Some(cistern.water_line?.to_mm() - centre.to_mm() - half_bore_mm - PAST_THE_BOUND_MM)
}

/// How far the whole mouth of a vent is inside one side of a cistern; nothing where it ends on something, or lower than that.
fn mouth_within_mm(vent: &Run, cistern: &Cistern, side: Toward) -> Option<f64> {
    let End::Open(mouth) = vent.end(free_end(vent)?) else { return None };
    let (left, right) = cistern.span_mm();
    let x_mm = mouth.x.to_mm();
    (mouth.z.to_mm() >= cistern.at.z.to_mm()).then_some(match side {
        Toward::Back => x_mm - vent.half_bore_mm() - left,
        Toward::Forth => right - x_mm - vent.half_bore_mm(),
    })
}

/// How far the side of what stands on a platform is from that end of the board.
fn on_platform(layout: &Layout, id: &Id, platform: &Id, side: Toward) -> Option<f64> {
    let (left, right) = layout.platform(platform)?.span_mm();
    let of_cylinder = || layout.cylinder(id).map(Cylinder::span_mm);
    let (from, to) = layout.cistern(id).map(Cistern::span_mm).or_else(of_cylinder)?;
    Some(match side {
        Toward::Back => from - left,
        Toward::Forth => right - to,
    })
}

fn under_roof(site: &Site<'_>, id: &Id) -> Option<f64> {
    match site.layout().cistern(id) {
        Some(cistern) => room::above_cistern_mm(site, cistern),
        None => room::above_run_mm(site, site.run_number(id)?),
    }
}

impl Demand {
    /// What has to hold, in words.
    #[must_use]
    pub fn words(&self, findings: &Findings) -> String {
        match self {
            Self::Rule(key) => match findings.find(key) {
                Some(finding) => {
                    let title = finding.rule.prose.title(Voice::Trade).to_lowercase();
                    let side = finding.reading.side.map_or_else(String::new, |side| format!(" at the {side}"));
                    let subject = finding.subject_with_article();
                    format!("{} for {subject}{side} ({}: {title})", finding.need_words(), key.rule)
                }
                None => key.rule.to_owned(),
            },
            Self::Fact(Fact::UnderRoof(id)) => format!("the roof over {}", id.with_article()),
            Self::Fact(Fact::VentOver(vent, id, _)) => {
                format!("the open end of {} over {}", vent.with_article(), id.with_article())
            }
            Self::Fact(Fact::OnPlatform(id, platform, _)) => {
                format!("{} on {}", id.with_article(), platform.with_article())
            }
            Self::Fact(Fact::OverJoists(id)) => format!("the joists below {}", id.with_article()),
            Self::Fact(Fact::OverFloor(id)) => format!("the floor below {}", id.with_article()),
            Self::Fact(Fact::WaterOver(id, port)) => {
                format!("the water over the {} connection of {}", port.spoken().to_lowercase(), id.with_article())
            }
            Self::Fact(Fact::FittingsBeside(id, port, other)) => {
                let [port, other] = [port, other].map(|port| port.spoken().to_lowercase());
                format!("the fittings of the {port} and the {other} beside each other in {}", id.with_article())
            }
            Self::Fact(Fact::Held(lock, _)) => format!("{}, which is held", lock.words()),
            Self::Fact(Fact::UnderCeiling(id)) => format!("the ceiling over {}", id.with_article()),
        }
    }
}

/// The findings that an edit has spoilt: that met before and do not now, that are new and broken or marginal, or that
/// nobody could tell and are broken now.
pub(super) fn spoilt(before: &Findings, after: &Findings) -> Vec<FindingKey> {
    let is_spoilt = |now: Verdict, was: Option<Verdict>| match (now, was) {
        // What is asked only now and nobody has told is shown as such, and spoils nothing.
        (Verdict::Meets, _) | (_, Some(Verdict::Breach)) | (Verdict::Unknown, None) => false,
        (_, None | Some(Verdict::Meets)) => true,
        (now, Some(Verdict::Marginal | Verdict::Unknown)) => now == Verdict::Breach,
    };
    let verdict = |finding: &Finding| finding.judged.verdict;
    let was: Vec<Option<Verdict>> = after.in_other(before).into_iter().map(|was| was.map(verdict)).collect();
    let spoilt: Vec<bool> = after.in_order().iter().zip(was).map(|(now, was)| is_spoilt(verdict(now), was)).collect();
    if !spoilt.contains(&true) {
        return Vec::new();
    }
    after.keyed().filter(|(_, finding)| spoilt[finding.number()]).map(|(key, _)| key.clone()).collect()
}

/// Whether what was broken is so still: as it was, or as a new finding of the same rule that shares a part with it, which
/// is the same fault where parts have been exchanged.
pub(super) fn stays_broken(key: &FindingKey, before: &[FindingKey], after: &[FindingKey]) -> bool {
    let is_heir = |other: &FindingKey| {
        other.rule == key.rule && !before.contains(other) && other.parts.iter().any(|part| key.parts.contains(part))
    };
    after.iter().any(|other| other == key || is_heir(other))
}

/// The findings that are broken, heaviest first.
pub(super) fn broken(findings: &Findings) -> Vec<FindingKey> {
    let broken = findings.keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Breach);
    broken.map(|(key, _)| key.clone()).collect()
}

/// Whether nothing is left to be said of what was broken: it meets, or is so near that a finer tape decides, or is no longer
/// asked.
pub(super) fn is_clear(findings: &Findings, key: &FindingKey) -> bool {
    let is_open = |verdict: Verdict| matches!(verdict, Verdict::Breach | Verdict::Unknown);
    !findings.find(key).is_some_and(|finding| is_open(finding.judged.verdict))
}

/// Whether a finding is broken.
pub(super) fn is_broken(findings: &Findings, key: &FindingKey) -> bool {
    findings.find(key).is_some_and(|finding| finding.judged.verdict == Verdict::Breach)
}
