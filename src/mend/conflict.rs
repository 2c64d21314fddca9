//! What cannot hold together: rules, facts of the house, and how far things go, none of which can be spared.

use super::demand::Demand;
use super::lightness;
use super::program::RowOf;
use super::shift::Conflict;
use crate::finding::{FindingKey, Findings};
use crate::num::{Least, Row, least_weighted_squares};
use crate::rules::{Measure, Weight, rule};
use crate::units::{Amount, Unit};

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
    weights: Vec<f64>,
}

/// A member of a conflict.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What it is.
    pub row: RowOf,
    /// The same in words.
    pub words: String,
    /// By how much it alone would have to give for the others to hold.
    pub gives: Amount,
}

impl Member {
    /// How unwillingly it gives: advice before what should be, that before what must be, and all before the house.
    fn dearness(&self) -> u8 {
        match &self.row {
            RowOf::Demand(Demand::Rule(key)) => match rule(key.rule).map(|rule| rule.weight) {
                Some(Weight::Advice) => 0,
                Some(Weight::Should) => 1,
                Some(Weight::Must) | None => 2,
            },
            RowOf::End(..) => 3,
            RowOf::Demand(Demand::Fact(_)) => 4,
        }
    }

    /// By how much it would have to give, in words.
    #[must_use]
    pub fn words(&self) -> String {
        format!("It would do to give up {} of this: {}", self.gives, self.words)
    }
}

impl ConflictSet {
    /// Puts a conflict into words; `None` when no target has part in it.
    pub(super) fn new(conflict: &Conflict, targets: &[FindingKey], findings: &Findings) -> Option<Self> {
        let key_of = |row: &RowOf| match row {
            RowOf::Demand(Demand::Rule(key)) => Some(key.clone()),
            _ => None,
        };
        let wanted = conflict.members.iter().filter_map(|(row, ..)| key_of(row)).filter(|key| targets.contains(key));
        let wanted = wanted.max_by_key(|key| lightness(findings, key))?;
        let unit = |row: &RowOf| {
            let need = key_of(row).and_then(|key| {
                findings.keyed().find(|(other, _)| *other == key).and_then(|(_, finding)| finding.judged.need)
            });
            need.map_or(Unit::Millimetre, |need| need.unit)
        };
        let member = |(row, why, gives): &(RowOf, Option<FindingKey>, f64)| Member {
            row: row.clone(),
            words: match (row, why) {
                (RowOf::Demand(demand), _) => demand.words(findings),
                (RowOf::End(handle, toward), None) => handle.end_words(*toward),
                (RowOf::End(handle, _), Some(spoils)) => {
                    format!("the {}, which moved further breaks {}", handle.part().spoken(), spoils.rule)
                }
            },
            gives: Amount { value: *gives, unit: unit(row) },
        };
        let members: Vec<Member> = conflict.members.iter().map(member).collect();
        let missing = members.iter().find(|member| key_of(&member.row).as_ref() == Some(&wanted))?.gives;
        let is_straight = |member: &Member| match &member.row {
            RowOf::Demand(Demand::Rule(key)) => {
                rule(key.rule).is_some_and(|rule| matches!(rule.measure, Measure::OfSite(_)))
            }
            RowOf::Demand(Demand::Fact(_)) => true,
            RowOf::End(handle, toward) => !conflict.is_narrowed(handle, *toward),
        };
        let straight = members.iter().all(is_straight);
        Some(Self {
            wanted,
            missing,
            members,
            straight,
            rows: conflict.rows.clone(),
            weights: conflict.weights.clone(),
        })
    }

    /// What could give for the others to hold, what gives least first: rules that weigh less before those that weigh
    /// more, and rules before the house.
    #[must_use]
    pub fn cheapest(&self) -> Vec<&Member> {
        let mut members: Vec<&Member> = self.members.iter().filter(|member| member.gives.value.is_finite()).collect();
        members.sort_by(|a, b| a.dearness().cmp(&b.dearness()).then(a.gives.value.total_cmp(&b.gives.value)));
        members
    }

    /// Whether its members cannot hold together, and without any one of them the others can: for each, shifts are looked
    /// for that keep all others.
    #[must_use]
    pub fn is_minimal(&self) -> bool {
        let clash = |rows: &[Row]| matches!(least_weighted_squares(&self.weights, rows), Least::Conflict(_));
        let without = |spared: usize| {
            let others = self.rows.iter().enumerate().filter(|(number, _)| *number != spared);
            others.map(|(_, row)| row.clone()).collect::<Vec<_>>()
        };
        clash(&self.rows) && (0..self.rows.len()).all(|spared| !clash(&without(spared)))
    }

    /// The whole in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let members: Vec<&str> = self.members.iter().map(|member| member.words.as_str()).collect();
        match members.split_last() {
            Some((last, [])) => format!("Nothing that may be moved brings about {last}: {} missing", self.missing),
            Some((last, before)) => {
                let how_sure = if self.straight { "" } else { ", as far as a small shift tells" };
                format!("{}, and {last} cannot all hold{how_sure}: {} missing", before.join("; "), self.missing)
            }
            None => String::new(),
        }
    }
}
