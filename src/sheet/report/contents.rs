//! What stands in a report, and in which order.

use super::check_sheet;
use super::{Block, Document};
use crate::finding::{Finding, Findings, capital};
use crate::heat::Warmth;
use crate::layout::Survey;
use crate::measure::{Have, Site};
use crate::rules::{Profile, Verdict, Voice};
use crate::water::circuit::{Circuit, assumptions};

/// What every report says.
const CAUTIONS: [&str; 4] = [
    "This is an aid and not a certificate: local codes and licensed practice come first.",
    "What is not drawn is not checked. What is not told is unknown, and unknown is not sound.",
    "A value that says 'from memory' or 'common practice, no source' was not seen in print; look it up before relying on it.",
    "Hot water scalds, and a ceiling between joists bears nobody. Where in doubt, leave it and call a competent person.",
];

/// Puts a report together, in the words of one reading.
#[must_use]
pub fn report(site: &Site<'_>, profile: &Profile, findings: &Findings, voice: Voice) -> Document {
    let heading = &site.layout().heading;
    let title = if heading.title.is_empty() { "Report on a layout".to_owned() } else { heading.title.clone() };
    let mut blocks = Vec::new();
    title_block(&mut blocks, site);
    what_was_checked(&mut blocks, site, profile, findings, voice);
    let written = [
        (Verdict::Breach, "In breach", "Nothing that was checked is in breach."),
        (Verdict::Marginal, "Too near to tell", "Nothing is too near its limit to tell."),
    ];
    for (verdict, words, none) in written {
        blocks.push(Block::Chapter(words.to_owned()));
        let mut found = of(findings, verdict).peekable();
        if found.peek().is_none() {
            blocks.push(Block::Paragraph(none.to_owned()));
        }
        found.for_each(|finding| in_full(&mut blocks, finding, voice));
    }
    site_checklist(&mut blocks, findings);
    what_is_met(&mut blocks, findings);
    what_is_assumed(&mut blocks, site);
    check_sheet::commissioning(&mut blocks, site);
    check_sheet::yearly(&mut blocks, site);
    blocks.push(Block::Chapter("Cautions".to_owned()));
    blocks.push(Block::Points(CAUTIONS.map(str::to_owned).to_vec()));
    Document { title, blocks }
}

fn of(findings: &Findings, verdict: Verdict) -> impl Iterator<Item = &Finding> {
    findings.iter().filter(move |finding| finding.judged.verdict == verdict)
}

fn title_block(blocks: &mut Vec<Block>, site: &Site<'_>) {
    let heading = &site.layout().heading;
    for (name, words) in [
        ("Address", &heading.address),
        ("Drawn by", &heading.drawn_by),
        ("Revision", &heading.revision),
        ("Date", &heading.date),
        ("Notes", &heading.notes),
    ] {
        if !words.is_empty() {
            blocks.push(Block::Named(name, words.clone()));
        }
    }
}

fn what_was_checked(blocks: &mut Vec<Block>, site: &Site<'_>, profile: &Profile, findings: &Findings, voice: Voice) {
    blocks.push(Block::Chapter("What was checked".to_owned()));
    let made = match site.layout().survey {
        Survey::Designed => "The layout is set out on paper: its dimensions have no margin.".to_owned(),
        Survey::Surveyed(class) => {
            format!("The layout was measured with a tape of class {class:?}; each number has its margin.")
        }
    };
    blocks.push(Block::Paragraph(made));
    blocks.push(Block::Named("Profile", profile.name.clone()));
    if !profile.words.is_empty() {
        blocks.push(Block::Paragraph(profile.words.clone()));
    }
    let differences = profile.differences();
    if differences.is_empty() {
        blocks.push(Block::Paragraph("It judges by the rule table as it stands.".to_owned()));
    } else {
        blocks.push(Block::Paragraph("It differs from the rule table:".to_owned()));
        blocks.push(Block::Points(differences));
    }
    blocks.push(Block::Named("Reading", voice.heading().to_lowercase()));
    let counts = findings.counts();
    let row = [Verdict::Breach, Verdict::Marginal, Verdict::Unknown, Verdict::Meets];
    let cells = row.map(|verdict| counts.of(verdict).to_string()).to_vec();
    blocks.push(Block::Paragraph(format!("{} rules were asked, and gave these verdicts:", profile.rules().len())));
    blocks.push(Block::Table(vec!["breach", "marginal", "unknown", "meets"], vec![cells]));
}

/// One finding with all that belongs to it.
fn in_full(blocks: &mut Vec<Block>, finding: &Finding, voice: Voice) {
    let rule = finding.rule;
    let verdict = finding.judged.verdict.words();
    blocks.push(Block::Section(format!(
        "{} ({verdict}, {}): {}",
        finding.title(),
        finding.weight.words(),
        finding.subject_words()
    )));
    blocks.push(Block::Named("Here", finding.words(Voice::Trade)));
    if voice != Voice::Trade {
        blocks.push(Block::Named("Why", finding.words(voice)));
    }
    let working = finding.working();
    if !working.is_empty() {
        blocks.push(Block::Working(working));
    }
    let remedies = finding.remedies();
    if !remedies.is_empty() {
        blocks.push(Block::Paragraph("What would put it right, best first:".to_owned()));
        blocks.push(Block::Points(remedies));
    }
    blocks.push(Block::Named("Source", rule.authority()));
    for other in rule.others_say {
        blocks.push(Block::Named("Others say", format!("{}: {}", other.words, other.source)));
    }
    if let Some(note) = &finding.note {
        blocks.push(Block::Named("Local", note.clone()));
    }
    blocks.push(Block::Named("Rule", rule.id.to_owned()));
}

/// What nobody has told, as points to tick on site; one point for one thing to find out.
fn site_checklist(blocks: &mut Vec<Block>, findings: &Findings) {
    blocks.push(Block::Chapter("To find out on site".to_owned()));
    let mut points: Vec<(String, Vec<&str>)> = Vec::new();
    for finding in of(findings, Verdict::Unknown) {
        let find_out = match &finding.reading.have {
            Have::Untold(find_out) => find_out.clone(),
            _ => finding.words(Voice::Trade),
        };
        match points.iter_mut().find(|(known, _)| *known == find_out) {
            Some((_, rules)) => rules.push(finding.rule.prose.title()),
            None => points.push((find_out, vec![finding.rule.prose.title()])),
        }
    }
    if points.is_empty() {
        blocks.push(Block::Paragraph("Everything that the rules ask is told.".to_owned()));
        return;
    }
    let point = |(find_out, mut rules): (String, Vec<&str>)| {
        rules.dedup();
        format!("{} (for: {})", capital(&find_out), rules.join(", "))
    };
    blocks.push(Block::ToTick(points.into_iter().map(point).collect()));
}

fn what_is_met(blocks: &mut Vec<Block>, findings: &Findings) {
    blocks.push(Block::Chapter("What is met".to_owned()));
    let row = |finding: &Finding| {
        vec![
            finding.rule.id.to_owned(),
            finding.subject_words(),
            finding.have_words(),
            finding.need_words(),
            finding.working().join("; "),
            finding.rule.authority(),
        ]
    };
    let rows: Vec<Vec<String>> = of(findings, Verdict::Meets).map(row).collect();
    if rows.is_empty() {
        blocks.push(Block::Paragraph("Nothing that was checked is met.".to_owned()));
    } else {
        blocks.push(Block::Table(vec!["rule that guards", "part", "have", "need", "working", "source"], rows));
    }
}

fn what_is_assumed(blocks: &mut Vec<Block>, site: &Site<'_>) {
    blocks.push(Block::Chapter("What is assumed".to_owned()));
    let mut points: Vec<String> = assumptions(&Circuit::of(site)).iter().map(|words| capital(words)).collect();
    points.extend(Warmth::of(site).assumed().into_iter().map(|condition| capital(&condition.assumption())));
    blocks.push(Block::Points(points));
}
