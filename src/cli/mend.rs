//! `mend`: the smallest changes that clear what is broken, or the reason why nothing can.

use std::path::PathBuf;

use clap::{Arg, ArgMatches, value_parser};
use serde::Serialize;

use super::page::{Page, harmless, paragraph};
use super::{Command, EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, arguments, profile, read};
use crate::file;
use crate::finding::{Counts, FindingKey, Findings};
use crate::layout::{Id, Layout};
use crate::mend::{
    Alternative, ConflictSet, Consent, Member, MemberKind, Moved, Outcome, Proposal, Report, Step, Wish, alternatives,
    propose,
};
use crate::units::Amount;

pub(super) const COMMAND: Command = Command {
    name: "mend",
    about: "Proposes the smallest changes that clear what is broken, or says why nothing can",
    arguments,
    run,
};

fn arguments() -> Vec<Arg> {
    vec![
        arguments::layout(),
        Arg::new("out")
            .long("out")
            .value_name("FILE")
            .value_parser(value_parser!(PathBuf))
            .help("Writes the layout with every proposal taken; the input itself is written only if it is named here"),
        Arg::new("rule")
            .long("rule")
            .value_name("RULE,...")
            .value_delimiter(',')
            .help("Mends the findings of these rules alone"),
        Arg::new("most")
            .long("most")
            .value_name("COUNT")
            .value_parser(value_parser!(u32).range(1..))
            .help("Ends the search after so many layouts have been tried; it ends by itself at twelve thousand"),
        Arg::new("keep").long("keep").value_name("ID,...").value_delimiter(',').help("Parts that stay as they are"),
        profile::argument(),
        arguments::json(),
    ]
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let path = arguments::path_of_layout(matches);
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
    let wish = match wish(matches, &layout, &profile) {
        Ok(wish) => wish,
        Err(complaint) => return page.unusable(&complaint),
    };
    let (report, alternatives) = match wish {
        Some(wish) => {
            let report = propose(&layout, &profile, &wish);
            let alternatives = alternatives(&layout, &profile, &wish, &report);
            (report, alternatives)
        }
        None => (Report::nothing(&layout, &profile), Vec::new()),
    };
    if let Some(out) = matches.get_one::<PathBuf>("out")
        && let Err(error) = file::save(out, &report.layout)
    {
        return page.unusable(&error.to_string());
    }
    let name = path.display().to_string();
    if matches.get_flag("json") {
        page.print_json(&MendReport::new(&name, &layout, &report, &alternatives));
    } else {
        print(&name, &layout, &report, &alternatives, page);
    }
    if report.after.breaks_a_must() { EXIT_BREACH } else { EXIT_SOUND }
}

/// What is asked for; nothing when the rules that are named are broken nowhere.
fn wish(matches: &ArgMatches, layout: &Layout, profile: &crate::rules::Profile) -> Result<Option<Wish>, String> {
    let words = |name| matches.get_many::<String>(name).into_iter().flatten();
    let mut locked = Vec::new();
    for word in words("keep") {
        let id = Id::new(word).ok().filter(|id| layout.part(id).is_some());
        locked.push(id.ok_or_else(|| format!("there is no part called '{word}' to keep as it is"))?);
    }
    let mut only = Vec::new();
    if matches.contains_id("rule") {
        let rules: Vec<&String> = words("rule").collect();
        if let Some(word) = rules.iter().find(|word| crate::rules::rule(word).is_none()) {
            return Err(format!("there is no rule '{word}'; `loftwright rules` lists them"));
        }
        let findings = Findings::under(&crate::measure::Site::of(layout), profile);
        only.extend(
            findings.keyed().map(|(key, _)| key).filter(|key| rules.iter().any(|rule| *rule == key.rule)).cloned(),
        );
        if only.is_empty() {
            return Ok(None);
        }
    }
    let most_judged = matches.get_one::<u32>("most").and_then(|most| usize::try_from(*most).ok());
    Ok(Some(Wish { only, locked, most_judged, ..Wish::default() }))
}

fn print(name: &str, layout: &Layout, report: &Report, alternatives: &[Alternative], page: &mut Page<'_>) {
    page.print(&paragraph(&format!("{}: ", harmless(name)), &layout.heading.title));
    page.print(&format!("before: {}\n", report.before.counts().words()));
    page.print(&format!("after:  {}\n", report.after.counts().words()));
    page.print(&format!("report: {}\n", report.outcome.words()));
    report.outcome.advice().iter().for_each(|advice| page.print(&paragraph("        ", advice)));
    for (number, proposal) in report.proposals.iter().enumerate() {
        page.print(&format!("\n{}. ({})\n", number + 1, proposal.consent.words()));
        for words in &proposal.words {
            page.print(&paragraph("  Do:     ", words));
        }
        if !proposal.clears.is_empty() {
            page.print(&paragraph("  Clears: ", &rules_of(&proposal.clears)));
        }
    }
    for conflict in &report.conflicts {
        page.print("\nCANNOT HOLD TOGETHER\n");
        page.print(&paragraph("  Here:   ", &conflict.words()));
        for member in conflict.cheapest() {
            page.print(&paragraph("  Or:     ", &member.words()));
        }
    }
    if !alternatives.is_empty() {
        page.print("\nOTHER WAYS, TO CHOOSE INSTEAD\n");
    }
    for way in alternatives {
        page.print(&format!("  ({})\n", way.consent.words()));
        for words in way.words() {
            page.print(&paragraph("  Do:     ", words));
        }
        page.print(&paragraph("  Clears: ", &rules_of(&way.clears)));
        if !way.leaves.is_empty() {
            page.print(&paragraph("  Then:   ", &format!("{} to be settled", rules_of(&way.leaves))));
        }
    }
    let unexplained = |key: &&FindingKey| !report.conflicts.iter().any(|conflict| conflict.wanted == **key);
    let left: Vec<&FindingKey> = report.left.iter().filter(unexplained).collect();
    if !left.is_empty() {
        page.print("\nWHAT STAYS\n");
    }
    for key in left {
        if let Some(finding) = report.after.find(key) {
            page.print(&paragraph("  ", &format!("{}: {}", key.rule, finding.words(crate::rules::Voice::Trade))));
            page.print(&paragraph("  Why:    ", &report.why_left(key)));
        }
    }
}

/// The rules of some findings, each once.
fn rules_of(keys: &[FindingKey]) -> String {
    let mut rules: Vec<&str> = keys.iter().map(|key| key.rule).collect();
    rules.dedup();
    rules.join(", ")
}

#[derive(Serialize)]
struct MendReport<'a> {
    file: &'a str,
    title: &'a str,
    outcome: Outcome,
    tried: usize,
    before: Counts,
    after: Counts,
    proposals: Vec<ProposalReport<'a>>,
    conflicts: Vec<ConflictReport<'a>>,
    left: Vec<LeftReport<'a>>,
    alternatives: Vec<AlternativeReport<'a>>,
}

#[derive(Serialize)]
struct LeftReport<'a> {
    #[serde(flatten)]
    key: KeyReport<'a>,
    why: String,
}

#[derive(Serialize)]
struct AlternativeReport<'a> {
    consent: Consent,
    words: Vec<&'a str>,
    clears: Vec<KeyReport<'a>>,
    leaves: Vec<KeyReport<'a>>,
}

#[derive(Serialize)]
struct KeyReport<'a> {
    rule: &'static str,
    parts: Vec<&'a str>,
}

#[derive(Serialize)]
struct ProposalReport<'a> {
    consent: Consent,
    words: &'a [String],
    clears: Vec<KeyReport<'a>>,
    shifts: Vec<ShiftReport<'a>>,
}

#[derive(Serialize)]
struct ShiftReport<'a> {
    part: &'a str,
    by_mm: f64,
    least_mm: f64,
}

#[derive(Serialize)]
struct ConflictReport<'a> {
    rule: &'static str,
    missing: Amount,
    proven: bool,
    words: String,
    members: Vec<MemberReport<'a>>,
}

#[derive(Serialize)]
struct MemberReport<'a> {
    kind: MemberKind,
    words: &'a str,
    gives: Amount,
    /// Shifts with which all the others hold.
    without: Option<Vec<ShiftReport<'a>>>,
}

impl<'a> MendReport<'a> {
    fn new(file: &'a str, layout: &'a Layout, report: &'a Report, alternatives: &'a [Alternative]) -> Self {
        Self {
            file,
            title: &layout.heading.title,
            outcome: report.outcome,
            tried: report.judged,
            before: report.before.counts(),
            after: report.after.counts(),
            proposals: report.proposals.iter().map(ProposalReport::from).collect(),
            conflicts: report.conflicts.iter().map(ConflictReport::from).collect(),
            left: report.left.iter().map(|key| LeftReport { key: key.into(), why: report.why_left(key) }).collect(),
            alternatives: alternatives.iter().map(AlternativeReport::from).collect(),
        }
    }
}

impl<'a> From<&'a Alternative> for AlternativeReport<'a> {
    fn from(way: &'a Alternative) -> Self {
        let keys = |keys: &'a [FindingKey]| keys.iter().map(KeyReport::from).collect();
        Self {
            consent: way.consent,
            words: way.words().collect(),
            clears: keys(&way.clears),
            leaves: keys(&way.leaves),
        }
    }
}

impl<'a> From<&'a FindingKey> for KeyReport<'a> {
    fn from(key: &'a FindingKey) -> Self {
        Self { rule: key.rule, parts: key.parts.iter().map(Id::as_str).collect() }
    }
}

impl<'a> From<&'a Proposal> for ProposalReport<'a> {
    fn from(proposal: &'a Proposal) -> Self {
        let shift = |step: &'a Step| match step {
            Step::Shift(moved) => Some(ShiftReport::from(moved)),
            Step::Change(_) => None,
        };
        Self {
            consent: proposal.consent,
            words: &proposal.words,
            clears: proposal.clears.iter().map(KeyReport::from).collect(),
            shifts: proposal.steps.iter().filter_map(shift).collect(),
        }
    }
}

impl<'a> From<&'a Member> for MemberReport<'a> {
    fn from(member: &'a Member) -> Self {
        let shifts = |moved: &'a Vec<Moved>| moved.iter().map(ShiftReport::from).collect();
        Self {
            kind: member.kind(),
            words: &member.words,
            gives: member.gives,
            without: member.without.as_ref().map(shifts),
        }
    }
}

impl<'a> From<&'a Moved> for ShiftReport<'a> {
    fn from(moved: &'a Moved) -> Self {
        Self { part: moved.handle.part().as_str(), by_mm: moved.by_mm, least_mm: moved.least_mm }
    }
}

impl<'a> From<&'a ConflictSet> for ConflictReport<'a> {
    fn from(conflict: &'a ConflictSet) -> Self {
        let members = conflict.members.iter();
        Self {
            rule: conflict.wanted.rule,
            missing: conflict.missing,
            proven: conflict.is_proven(),
            words: conflict.words(),
            members: members.map(MemberReport::from).collect(),
        }
    }
}
