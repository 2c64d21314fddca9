//! What the rules say of a layout whose inner text is given.

use loftwright::finding::Finding;
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged::{amount, heaviest, of_rule, parts};

/// The findings of a rule, heaviest first.
pub fn findings(rule: &str, text: &str) -> Vec<Finding> {
    of_rule(&layout(text), rule)
}

/// The findings of a rule that is asked, heaviest first.
pub fn asked(rule: &str, text: &str) -> Vec<Finding> {
    let findings = findings(rule, text);
    assert!(!findings.is_empty(), "{rule} is not asked");
    findings
}

/// The heaviest verdict of a rule; `None` where it is not asked.
pub fn verdict(rule: &str, text: &str) -> Option<Verdict> {
    heaviest(&findings(rule, text))
}

/// For each finding of a rule: its parts, and the number that was measured.
pub fn measured(rule: &str, text: &str) -> Vec<(Vec<String>, f64)> {
    asked(rule, text).iter().map(|finding| (parts(finding), amount(finding))).collect()
}
