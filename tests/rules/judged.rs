//! What the rules say of a layout.

use loftwright::finding::{Finding, Findings};
use loftwright::layout::Layout;
use loftwright::measure::{Have, Site};
use loftwright::rules::{self, Verdict};

pub const BREACH: Option<Verdict> = Some(Verdict::Breach);
pub const MEETS: Option<Verdict> = Some(Verdict::Meets);
pub const UNKNOWN: Option<Verdict> = Some(Verdict::Unknown);

/// The findings of a rule, heaviest first.
pub fn of_rule(layout: &Layout, rule: &str) -> Vec<Finding> {
    assert!(rules::rule(rule).is_some(), "there is no rule {rule}");
    Findings::of(&Site::of(layout)).iter().filter(|finding| finding.rule.id == rule).cloned().collect()
}

/// The findings of a rule about a part, heaviest first.
pub fn findings(layout: &Layout, rule: &str, part: &str) -> Vec<Finding> {
    of_rule(layout, rule).into_iter().filter(|finding| finding.subject().as_str() == part).collect()
}

/// The heaviest finding of a rule about a part of which it is asked.
pub fn finding(layout: &Layout, rule: &str, part: &str) -> Finding {
    let found = findings(layout, rule, part).into_iter().next();
    found.unwrap_or_else(|| panic!("{rule} is not asked of {part}"))
}

/// The heaviest verdict of a rule about a part; `None` where it is not asked.
pub fn verdict(layout: &Layout, rule: &str, part: &str) -> Option<Verdict> {
    findings(layout, rule, part).first().map(|finding| finding.judged.verdict)
}

/// The verdicts of a rule about a part, heaviest first.
pub fn verdicts(layout: &Layout, rule: &str, part: &str) -> Vec<Verdict> {
    findings(layout, rule, part).iter().map(|finding| finding.judged.verdict).collect()
}

/// The number that a rule measures on a part.
pub fn number(layout: &Layout, rule: &str, part: &str) -> f64 {
    amount(&finding(layout, rule, part))
}

/// What a rule has to have found out of a part.
pub fn find_out(layout: &Layout, rule: &str, part: &str) -> String {
    match finding(layout, rule, part).reading.have {
        Have::Untold(find_out) => find_out,
        other => panic!("{rule} of {part}: {other:?}"),
    }
}

/// The heaviest verdict of some findings.
pub fn heaviest(findings: &[Finding]) -> Option<Verdict> {
    findings.iter().map(|finding| finding.judged.verdict).min()
}

/// The number that has been measured.
pub fn amount(finding: &Finding) -> f64 {
    match &finding.reading.have {
        Have::Amount(value, _) => value.value,
        other => panic!("{}: {other:?}", finding.rule.id),
    }
}

/// The names of the parts that a finding is about.
pub fn parts(finding: &Finding) -> Vec<String> {
    finding.reading.parts.iter().map(ToString::to_string).collect()
}
