//! Every rule against its cases: the smallest layouts that keep it, break it, are too near to tell, or do not say.

#[path = "../disturbed/mod.rs"]
mod disturbed;
#[path = "../drawn_from/mod.rs"]
mod drawn_from;
mod impossible;
mod judged;
mod judged_text;
mod mirror;
#[path = "../near/mod.rs"]
mod near;
mod numbers;
mod odd_air;
mod odd_boards;
mod odd_circuits;
mod odd_doubts;
mod odd_ends;
mod odd_fires;
mod odd_footings;
mod odd_heatings;
mod odd_hot_ports;
mod odd_houses;
mod odd_joins;
mod odd_layouts;
mod odd_linked;
mod odd_loads;
mod odd_mains;
mod odd_missing;
mod odd_mouths;
mod odd_one_level;
mod odd_open_ends;
mod odd_orders;
mod odd_overflows;
mod odd_pieces;
mod odd_remedies;
mod odd_series;
mod odd_slips;
mod odd_stores;
mod odd_supplies;
mod odd_systems;
mod odd_taps;
mod odd_untold;
mod odd_vent_waters;
mod odd_vents;
mod odd_waters;
mod partly_told;
mod places;
#[path = "../played/mod.rs"]
mod played;
mod profiles;
mod prose;
mod published;
mod remedies;
#[path = "../turned_round/mod.rs"]
mod turned_round;
mod worked;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use loftwright::file;
use loftwright::finding::Finding;
use loftwright::layout::Layout;
use loftwright::measure::Have;
use loftwright::rules::{self, Limit, Rule, Verdict, Voice};

use judged::{heaviest, of_rule};

/// Numbers that no tape decides: counted, read off a label, or judged by eye. They cannot be marginal.
const NOT_TAPED: [&str; 34] = [
    "clips-too-far-apart-level",
    "clips-too-far-apart-upright",
    "lid-vent-unscreened",
    "warning-pipe-unscreened",
    "platform-board-too-thin",
    "too-few-joists",
    "cylinder-pipe-uninsulated",
    "warning-pipe-too-narrow",
    "warning-pipe-not-larger-than-inlet",
    "vent-too-narrow",
    "cold-feed-narrower-than-vent",
    "cold-store-too-warm",
    "store-too-cool",
    "store-too-hot",
    "store-hotter-than-needed",
    "bath-too-hot",
    "hot-tap-too-cool",
    "primary-vent-too-narrow",
    "primary-feed-too-narrow",
    "gravity-primaries-too-narrow",
    "cistern-warms-in-summer",
    "cistern-freezes-too-soon",
    "loft-pipe-freezes-too-soon",
    "reheat-too-slow",
    "cylinder-loses-too-much",
    "one-pipe-circulation",
    "outlet-starved",
    "mixer-side-starved",
    "shower-warms-when-others-open",
    "pipe-too-fast",
    "vent-draws-air",
    "overflow-cannot-keep-up",
    "cistern-fills-too-slowly",
    "hot-water-slow-to-arrive",
];
/// Rules that are asked only where all that they look at is drawn; nothing is left to be told.
const NEVER_UNKNOWN: [&str; 4] =
    ["side-outlet-too-low", "tube-not-for-its-water", "cylinder-off-its-platform", "pipe-through-roof"];

/// A case, read.
struct Case {
    /// Rule and verdict: "vent-too-low/breach".
    name: String,
    rule: &'static Rule,
    verdict: Verdict,
    layout: Layout,
}

impl Case {
    fn findings(&self) -> Vec<Finding> {
        of_rule(&self.layout, self.rule.id)
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases")
}

fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("the cases are part of the tree");
    let mut names: Vec<String> =
        entries.map(|entry| entry.expect("entry").file_name().into_string().expect("plain name")).collect();
    names.sort();
    names
}

/// Read as any user reads; what refers to nothing is refused.
fn read(path: &Path) -> Layout {
    file::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// All cases, in order of their names.
fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for id in names_in(&folder()) {
        let rule = rules::rule(&id).unwrap_or_else(|| panic!("tests/cases/{id} has no rule of that name"));
        for file in names_in(&folder().join(&id)) {
            let word = file.strip_suffix(".loft.ron").unwrap_or_else(|| panic!("{id}/{file} is no layout"));
            let verdict = Verdict::ALL.into_iter().find(|verdict| verdict.words() == word);
            let verdict = verdict.unwrap_or_else(|| panic!("{id}/{file} is not named after a verdict"));
            cases.push(Case {
                name: format!("{id}/{word}"),
                rule,
                verdict,
                layout: read(&folder().join(&id).join(&file)),
            });
        }
    }
    cases
}

fn is_number(rule: &Rule) -> bool {
    matches!(rule.limit, Limit::AtLeast(_) | Limit::MoreThan(_) | Limit::AtMost(_))
}

/// Fails with all complaints at once.
fn none_of(complaints: &[String]) {
    assert!(complaints.is_empty(), "\n{}", complaints.join("\n"));
}

#[test]
fn every_case_is_judged_as_its_name_says() {
    let mut complaints = Vec::new();
    for case in cases() {
        let findings = case.findings();
        if heaviest(&findings) != Some(case.verdict) {
            let found = findings.iter().map(|finding| {
                format!("{} {} {:?}", finding.judged.verdict.words(), finding.have_words(), finding.working())
            });
            complaints.push(format!("{}: found {}", case.name, found.collect::<Vec<_>>().join("; ")));
        }
    }
    none_of(&complaints);
}

#[test]
fn every_rule_has_the_cases_that_it_can_have() {
    let held: BTreeSet<String> = cases().into_iter().map(|case| case.name).collect();
    let mut complaints = Vec::new();
    for rule in rules::table() {
        let taped = is_number(rule) && !NOT_TAPED.contains(&rule.id);
        let expected = [
            (Verdict::Meets, true),
            (Verdict::Breach, rule.limit != Limit::Told),
            (Verdict::Marginal, taped),
            (Verdict::Unknown, !NEVER_UNKNOWN.contains(&rule.id)),
        ];
        for (verdict, wanted) in expected {
            let name = format!("{}/{}", rule.id, verdict.words());
            match (wanted, held.contains(&name)) {
                (true, false) => complaints.push(format!("{name} is missing")),
                (false, true) => complaints.push(format!("{name} cannot be")),
                _ => {}
            }
        }
    }
    none_of(&complaints);
}

#[test]
fn every_breach_says_what_is_missing_and_what_to_do() {
    let mut complaints = Vec::new();
    for case in cases() {
        for finding in case.findings() {
            let name = &case.name;
            let words = finding.words(Voice::Trade);
            if words.is_empty() || words.contains('{') {
                complaints.push(format!("{name}: words with a gap: {words}"));
            }
            let idle = |remedy: &String| remedy.contains(" by 0 ");
            complaints.extend(finding.remedies().into_iter().filter(idle).map(|remedy| format!("{name}: {remedy}")));
            if finding.judged.verdict != Verdict::Breach {
                continue;
            }
            if finding.remedies().is_empty() {
                complaints.push(format!("{name}: no remedy"));
            }
            let short = finding.judged.short_by.map(|short| short.value);
            let enough = match (finding.rule.limit, short) {
                (Limit::MoreThan(_), Some(short)) => short >= 0.0,
                (_, Some(short)) => short > 0.0,
                (_, None) => !matches!(finding.reading.have, Have::Amount(..)),
            };
            if !enough {
                complaints.push(format!("{name}: short by {short:?}"));
            }
        }
    }
    none_of(&complaints);
}

#[test]
fn every_unknown_says_what_to_find_out() {
    for case in cases().into_iter().filter(|case| case.verdict == Verdict::Unknown) {
        for finding in case.findings().iter().filter(|finding| finding.judged.verdict == Verdict::Unknown) {
            assert!(matches!(&finding.reading.have, Have::Untold(find_out) if !find_out.is_empty()), "{}", case.name);
            assert!(!finding.remedies().is_empty(), "{}", case.name);
        }
    }
}
