//! `rules`: the rule table, or one rule whole.

use clap::{Arg, ArgAction, ArgMatches};
use serde::Serialize;

use super::page::{Page, harmless, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE};
use crate::rules::{self, Basis, Other, Rule, Voice, Weight};
use crate::spelling::did_you_mean;

pub(super) const COMMAND: Command =
    Command { name: "rules", about: "Lists the rules, or tells one of them whole", arguments, run };

fn arguments() -> Vec<Arg> {
    vec![
        Arg::new("ID").help("The rule to tell whole, such as vent-too-low"),
        Arg::new("json").long("json").action(ArgAction::SetTrue).help("Prints one JSON object per rule"),
    ]
}

/// A rule as data.
#[derive(Serialize)]
struct RuleReport {
    id: &'static str,
    title: &'static str,
    weight: Weight,
    basis: Basis,
    limit: String,
    source: &'static str,
    seen: bool,
    #[serde(skip)]
    authority: String,
    others_say: &'static [Other],
    levers: Vec<String>,
    readings: Readings,
}

#[derive(Serialize)]
struct Readings {
    trade: &'static str,
    teaching: &'static str,
    plain: &'static str,
}

impl RuleReport {
    fn new(rule: &Rule) -> Self {
        Self {
            id: rule.id,
            title: rule.prose.title(Voice::Trade),
            weight: rule.weight,
            basis: rule.basis,
            limit: rule.limit.to_string(),
            source: rule.source,
            seen: rule.seen,
            authority: rule.authority(),
            others_say: rule.others_say,
            levers: rule.levers.iter().map(|lever| lever.words("side", rule.limit.constant(), None)).collect(),
            readings: Readings {
                trade: rule.prose.section(Voice::Trade),
                teaching: rule.prose.section(Voice::Teaching),
                plain: rule.prose.section(Voice::Plain),
            },
        }
    }

    fn json_line(&self) -> String {
        format!("{}\n", serde_json::to_string(self).expect("a rule holds words and lists only"))
    }

    /// The rule whole, as text.
    fn whole(&self) -> String {
        let mut text = format!("{}: {}\n", self.id, self.title);
        text.push_str(&paragraph("  Limit:    ", &self.limit));
        text.push_str(&paragraph("  Weight:   ", self.weight.words()));
        text.push_str(&paragraph("  Source:   ", &self.authority));
        for other in self.others_say {
            text.push_str(&paragraph("  Others:   ", &format!("{}: {}", other.words, other.source)));
        }
        for (number, lever) in self.levers.iter().enumerate() {
            text.push_str(&paragraph(if number == 0 { "  Remedy:   " } else { "        or: " }, lever));
        }
        text.push_str(&paragraph("  Trade:    ", self.readings.trade));
        text.push_str(&paragraph("  Teaching: ", self.readings.teaching));
        text.push_str(&paragraph("  Plain:    ", self.readings.plain));
        text
    }
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let as_json = matches.get_flag("json");
    match matches.get_one::<String>("ID") {
        None if as_json => rules::table().iter().for_each(|rule| page.print(&RuleReport::new(rule).json_line())),
        None => page.print(&listed(rules::table())),
        Some(id) => {
            let Some(rule) = rules::rule(id) else {
                page.complain(&unknown(id));
                return EXIT_UNUSABLE;
            };
            let report = RuleReport::new(rule);
            page.print(&if as_json { report.json_line() } else { report.whole() });
        }
    }
    EXIT_SOUND
}

/// One line for each rule: id, weight, basis, limit, title.
fn listed(table: &[&Rule]) -> String {
    let rows: Vec<[String; 5]> = table
        .iter()
        .map(|rule| {
            let (weight, basis) = (rule.weight.words().to_owned(), rule.basis.words().to_owned());
            [rule.id.to_owned(), weight, basis, rule.limit.to_string(), rule.prose.title(Voice::Trade).to_owned()]
        })
        .collect();
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths = [width(0), width(1), width(2), width(3)];
    let line = |row: &[String; 5]| {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(widths) {
            line.push_str(&format!("{cell:width$}  "));
        }
        line + &row[4] + "\n"
    };
    rows.iter().map(line).collect()
}

fn unknown(id: &str) -> String {
    let meant = did_you_mean(id, rules::table().iter().map(|rule| rule.id))
        .unwrap_or_else(|| "'loftwright rules' lists them all".to_owned());
    format!("there is no rule '{}'; {meant}\n", harmless(id))
}
