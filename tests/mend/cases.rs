//! What mending makes of one breach of each rule: mended and by whose consent, or shown only, with the reason why.
//!
//! The list is `tests/golden/mend_cases.txt`; `UPDATE_GOLDEN=1` writes it anew.

use std::fmt::Write as _;

use loftwright::file;
use loftwright::finding::{FindingKey, Findings};
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::mend::{Consent, Report, Wish, propose, why_not};
use loftwright::rules::{Profile, Verdict, table};

const LIST: &str = "tests/golden/mend_cases.txt";
/// So many of a hundred rules have a breach that mending clears.
const CLEARED_OF_HUNDRED: usize = 75;

fn broken(layout: &Layout, rule: &str) -> Vec<FindingKey> {
    let findings = Findings::under(&Site::of(layout), Profile::usual());
    let of_rule = findings.keyed().filter(|(key, f)| key.rule == rule && f.judged.verdict == Verdict::Breach);
    of_rule.map(|(key, _)| key.clone()).collect()
}

fn how(report: &Report) -> String {
    match report.left.first() {
        Some(key) => format!("not mended: {}", report.why_left(key)),
        None => {
            let words: Vec<&str> =
                report.proposals.iter().flat_map(|proposal| proposal.words.iter().map(String::as_str)).collect();
            let consent = report.proposals.iter().map(|proposal| proposal.consent).max().unwrap_or(Consent::Safe);
            let consent = match consent {
                Consent::Safe => "mended, safe",
                Consent::NeedsDecision => "mended, needs a decision",
                Consent::ShowOnly => "mended, shown only",
            };
            format!("{consent}: {}", words.join("; "))
        }
    }
}

#[test]
fn a_breach_of_each_rule_is_mended_or_it_is_said_why_not() {
    let (mut list, mut tried, mut cleared) = (String::new(), 0, 0);
    for rule in table() {
        let path = format!("tests/cases/{}/breach.loft.ron", rule.id);
        let Ok(layout) = file::read(path.as_ref()) else {
            // A rule that asks only that something is told cannot be breached.
            writeln!(list, "{}: has no breach", rule.id).expect("writes");
            continue;
        };
        let only = broken(&layout, rule.id);
        assert!(!only.is_empty(), "{path} breaches nothing");
        let report = propose(&layout, Profile::usual(), &Wish { only, ..Wish::default() });
        let still = broken(&report.layout, rule.id);
        assert_eq!(still.is_empty(), report.left.is_empty(), "{}: the report and the layout disagree", rule.id);
        if report.left.is_empty() {
            cleared += 1;
        } else {
            let explained = report.conflicts.iter().any(|conflict| report.left.contains(&conflict.wanted));
            assert!(explained || why_not(rule.id).is_some(), "{} is left without a reason", rule.id);
        }
        tried += 1;
        writeln!(list, "{}: {}", rule.id, how(&report)).expect("writes");
    }
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(LIST, &list).expect("writes the list");
    }
    let known = std::fs::read_to_string(LIST).unwrap_or_default();
    assert_eq!(list, known, "UPDATE_GOLDEN=1 writes the list anew");
    assert!(100 * cleared >= CLEARED_OF_HUNDRED * tried, "{cleared} of {tried}");
}
