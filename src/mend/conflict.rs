//! What cannot hold together: rules, facts of the house, what is held, and how far things go, none of which can be spared.

use super::demand::{Demand, Fact};
use super::lightness;
use super::program::RowOf;
use super::shift::{Conflict, Limiting, Moved, Nearer};
use super::sparing::drawn;
use crate::finding::{FindingKey, Findings};
use crate::layout::{Held, Id, Layout, Lock};
use crate::num::{Least, Row, least_weighted_squares};
use crate::rules::{Measure, Weight, rule};
use crate::units::{Amount, Unit};

/// Nobody gives up more than the height of a house, mm.
const MOST_TO_GIVE_MM: f64 = 10_000.0;

/// Rules and facts that cannot hold together. Without any one of them the others can.
#[derive(Debug, Clone, PartialEq)]
pub struct ConflictSet {
    /// The broken finding that stays broken for it: the lightest of those in the set.
    pub wanted: FindingKey,
    /// What is missing to it while all others hold.
    pub missing: Amount,
    /// The members, the wanted one among them.
    pub members: Vec<Member>,
    /// Whether all its readings are taken off the drawing, and so are straight lines in the shifts. What timber, heat
    /// and water do is curved: there may be a way further off.
    pub straight: bool,
    /// The inequalities of the members, in the shifts of all handles.
    rows: Vec<Row>,
    /// What cannot even be drawn otherwise, and why the members clash: in words, and as inequalities.
    edges: Vec<(String, Row)>,
    weights: Vec<f64>,
}

/// A member of a conflict.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What it is.
    pub row: RowOf,
    /// The part that is to stay as it is, where that is why a handle does not go on.
    pub kept: Option<Id>,
    /// The same in words.
    pub words: String,
    /// By how much it alone would have to give for the others to hold.
    pub gives: Amount,
    /// Shifts with which all the others hold, drawn and judged; nothing where something curved takes part and none were
    /// found.
    pub without: Option<Vec<Moved>>,
    /// How much its rule weighs, where it is one.
    weight: Option<Weight>,
}

/// What kind of thing a member is, as the report names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemberKind {
    /// What a rule asks.
    Rule,
    /// A dimension that is held, or a part that is to stay as it is.
    Held,
    /// How far something goes.
    End,
    /// A fact of the house.
    House,
}

impl Member {
    /// The dimension that is held, where it is one.
    #[must_use]
    pub const fn lock(&self) -> Option<&Lock> {
        match &self.row {
            RowOf::Demand(Demand::Fact(Fact::Held(lock, _))) => Some(lock),
            _ => None,
        }
    }

    /// What kind of thing it is.
    #[must_use]
    pub const fn kind(&self) -> MemberKind {
        match &self.row {
            RowOf::Demand(Demand::Rule(_)) => MemberKind::Rule,
            RowOf::Demand(Demand::Fact(Fact::Held(..))) => MemberKind::Held,
            RowOf::Demand(Demand::Fact(_)) => MemberKind::House,
            RowOf::End(..) if self.kept.is_some() => MemberKind::Held,
            RowOf::End(..) | RowOf::Edge(..) => MemberKind::End,
        }
    }

    /// How unwillingly it gives: advice before what should be, that before what somebody holds, that before what must
    /// be, and all before the house.
    fn dearness(&self) -> u8 {
        match (self.kind(), self.weight) {
            (MemberKind::Rule, Some(Weight::Advice)) => 0,
            (MemberKind::Rule, Some(Weight::Should)) => 1,
            (MemberKind::Held, _) => 2,
            (MemberKind::Rule, _) => 3,
            (MemberKind::End, _) => 4,
            (MemberKind::House, _) => 5,
        }
    }

    /// By how much it would have to give, in words.
    #[must_use]
    pub fn words(&self) -> String {
        let gives = self.gives;
        match (self.lock(), &self.kept) {
            (Some(lock), _) => format!("It would do to let go {}, and change it by {gives}", lock.words()),
            (None, Some(id)) => format!("It would do to let {} be moved, by {gives}", id.with_article()),
            (None, None) => format!("It would do to give up {gives} of this: {}", self.words),
        }
    }
}

fn key_of(row: &RowOf) -> Option<&FindingKey> {
    match row {
        RowOf::Demand(Demand::Rule(key)) => Some(key),
        _ => None,
    }
}

fn member((row, nearer, gives): &Limiting, findings: &Findings) -> Member {
    Member {
        row: row.clone(),
        kept: match nearer {
            Some(Nearer::Kept(id)) => Some(id.clone()),
            _ => None,
        },
        words: match (row, nearer) {
            (RowOf::Demand(demand), _) => demand.words(findings),
            (RowOf::End(handle, toward), None) => handle.end_words(*toward),
            (RowOf::Edge(handle, toward), _) => handle.edge_words(*toward),
            (RowOf::End(..), Some(Nearer::Kept(id))) => format!("{}, which is to stay as it is", id.with_article()),
            (RowOf::End(handle, _), Some(Nearer::Spoils(spoils))) => {
                format!("{}, which moved further breaks {}", handle.part().with_article(), spoils.rule)
            }
        },
        gives: Amount { value: *gives, unit: unit_of(row, findings) },
        without: None,
        weight: key_of(row).and_then(|key| lightness(findings, key)),
    }
}

fn unit_of(row: &RowOf, findings: &Findings) -> Unit {
    match row {
        RowOf::Demand(Demand::Rule(key)) => {
            findings.find(key).and_then(|finding| finding.judged.need).map_or(Unit::Millimetre, |need| need.unit)
        }
        RowOf::Demand(Demand::Fact(Fact::Held(lock, _))) if lock.holds == Held::Fall => Unit::MillimetrePerMetre,
        RowOf::Demand(Demand::Fact(_)) | RowOf::End(..) | RowOf::Edge(..) => Unit::Millimetre,
    }
}

/// Whether lines tell all of it: what flows, carries and warms is curved, and so is what a move further would spoil; and a
/// thing that is beside another may have room beyond it.
fn is_straight((row, nearer, _): &Limiting) -> bool {
    match row {
        RowOf::Demand(Demand::Rule(key)) => {
            rule(key.rule).is_some_and(|rule| matches!(rule.measure, Measure::OfSite(_)))
        }
        RowOf::Demand(Demand::Fact(_)) => true,
        RowOf::End(..) => !matches!(nearer, Some(Nearer::Spoils(_))),
        RowOf::Edge(..) => false,
    }
}

impl ConflictSet {
    /// Puts a conflict into words; `None` when no target has part in it.
    pub(super) fn new(conflict: &Conflict, targets: &[FindingKey], findings: &Findings) -> Option<Self> {
        let wanted = conflict.members.iter().filter_map(|(row, ..)| key_of(row)).filter(|key| targets.contains(key));
        let wanted = wanted.max_by_key(|key| lightness(findings, key))?.clone();
        let all = || conflict.members.iter().zip(&conflict.rows);
        let is_edge = |of: &Limiting| matches!(of.0, RowOf::Edge(..));
        let members: Vec<Member> = all().filter(|(of, _)| !is_edge(of)).map(|(of, _)| member(of, findings)).collect();
        let missing = members.iter().find(|member| key_of(&member.row) == Some(&wanted))?.gives;
        let edges = all().filter(|(of, _)| is_edge(of));
        Some(Self {
            wanted,
            missing,
            members,
            straight: conflict.members.iter().all(is_straight),
            rows: all().filter(|(of, _)| !is_edge(of)).map(|(_, row)| row.clone()).collect(),
            edges: edges.map(|(of, row)| (member(of, findings).words, row.clone())).collect(),
            weights: conflict.weights.clone(),
        })
    }

    /// What could give for the others to hold, what gives least first: rules that weigh less before those that weigh
    /// more, and rules before the house. What would have to give more than any house has is no offer.
    #[must_use]
    pub fn cheapest(&self) -> Vec<&Member> {
        let is_offer = |gives: Amount| match gives.unit {
            Unit::Millimetre => gives.value.abs() <= MOST_TO_GIVE_MM,
            _ => gives.value.is_finite(),
        };
        let mut members: Vec<&Member> = self.members.iter().filter(|member| is_offer(member.gives)).collect();
        members.sort_by(|a, b| a.dearness().cmp(&b.dearness()).then(a.gives.value.total_cmp(&b.gives.value)));
        members
    }

    /// Whether its members cannot hold together as lines, and without any one of them the others can: for each, shifts
    /// are looked for that keep all others.
    #[must_use]
    pub fn is_minimal(&self) -> bool {
        let clash = |rows: &[Row]| {
            let all: Vec<Row> = rows.iter().chain(self.edges.iter().map(|(_, row)| row)).cloned().collect();
            matches!(least_weighted_squares(&self.weights, &all), Least::Conflict(_))
        };
        let without = |spared: usize| {
            let others = self.rows.iter().enumerate().filter(|(number, _)| *number != spared);
            others.map(|(_, row)| row.clone()).collect::<Vec<_>>()
        };
        clash(&self.rows) && (0..self.rows.len()).all(|spared| !clash(&without(spared)))
    }

    /// Whether it is known to be one: its readings are straight, and for every member a layout was drawn on which all the
    /// others hold, as judged there.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.straight && self.members.iter().all(|member| member.without.is_some())
    }

    /// The layout on which all members hold but one, drawn from the layout of the report, without what is held there;
    /// nothing where none was found.
    #[must_use]
    pub fn without(&self, member: usize, layout: &Layout) -> Option<Layout> {
        let mut freed = layout.clone();
        freed.locks.clear();
        drawn(&freed, self.members.get(member)?.without.as_ref()?)
    }

    /// The whole in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let mut members: Vec<&str> = Vec::new();
        for member in &self.members {
            if !members.contains(&member.words.as_str()) {
                members.push(&member.words);
            }
        }
        let edges: Vec<&str> = self.edges.iter().map(|(words, _)| words.as_str()).collect();
        let since = if edges.is_empty() { String::new() } else { format!(", since {}", edges.join(" and ")) };
        match members.split_last() {
            Some((last, [])) => {
                format!("Nothing that may be moved brings about {last}{since}: {} missing", self.missing)
            }
            Some((last, before)) => {
                let how_sure = if self.is_proven() { "" } else { ", as far as a small shift tells" };
                format!("{}, and {last} cannot all hold{how_sure}{since}: {} missing", before.join("; "), self.missing)
            }
            None => String::new(),
        }
    }
}
