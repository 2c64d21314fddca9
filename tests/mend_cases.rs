//! What mending makes of one breach of each rule.

use loftwright::file;
use loftwright::finding::Findings;
use loftwright::measure::Site;
use loftwright::mend::{Wish, propose};
use loftwright::rules::{Profile, Verdict, table};

#[test]
fn census() {
    for rule in table() {
        let path = format!("tests/cases/{}/breach.loft.ron", rule.id);
        let Ok(layout) = file::read(path.as_ref()) else {
            println!("{:40} NO CASE", rule.id);
            continue;
        };
        let findings = Findings::under(&Site::of(&layout), Profile::usual());
        let only: Vec<_> = findings
            .keyed()
            .filter(|(k, f)| k.rule == rule.id && f.judged.verdict == Verdict::Breach)
            .map(|(k, _)| k)
            .collect();
        let report = propose(&layout, Profile::usual(), &Wish { only, ..Wish::default() });
        let words: Vec<String> =
            report.proposals.iter().map(|p| format!("[{:?}] {}", p.consent, p.words.join(" & "))).collect();
        let conflicts: Vec<String> = report.conflicts.iter().map(|c| c.words()).collect();
        let levers: Vec<String> = rule.levers.iter().map(|l| l.words("", None)).collect();
        println!(
            "{:40} {:?}\n      {}\n      C {}\n      L {}",
            rule.id,
            report.outcome,
            words.join(" | "),
            conflicts.join(" | "),
            levers.join(" | ")
        );
    }
}
