//! Layouts mended under the usual rules, and what is then found.

use loftwright::file;
use loftwright::finding::{FindingKey, Findings};
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::mend::{Report, Wish, propose};
use loftwright::rules::{Profile, Verdict};

/// The layout of a text.
pub fn layout(text: &str) -> Layout {
    file::parse(text, "example").expect("the example reads")
}

/// What mending proposes when nothing else is wished.
pub fn mended(layout: &Layout) -> Report {
    propose(layout, Profile::usual(), &Wish::default())
}

/// What the usual rules find.
pub fn findings(layout: &Layout) -> Findings {
    Findings::of(&Site::of(layout))
}

/// What is in breach.
pub fn broken(findings: &Findings) -> Vec<FindingKey> {
    let broken = findings.keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Breach);
    broken.map(|(key, _)| key.clone()).collect()
}

/// Fails where mending breaks anything that was not broken.
#[track_caller]
pub fn nothing_worse(before: &Layout, report: &Report) {
    let (was, now) = (broken(&findings(before)), broken(&findings(&report.layout)));
    assert!(now.iter().all(|key| was.contains(key)), "{now:?}");
}

/// The findings of one rule.
pub fn of_rule(layout: &Layout, rule: &str) -> Vec<FindingKey> {
    findings(layout).keyed().map(|(key, _)| key).filter(|key| key.rule == rule).cloned().collect()
}
