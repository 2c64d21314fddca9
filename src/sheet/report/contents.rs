//! What stands in a report, and in which order.

use foldhash::HashSet;
use glam::DVec2;

use super::{Block, Document, Picture, WorkedRow, check_sheet, quoted};
use crate::finding::{Finding, FindingKey, Findings, capital};
use crate::heat::Warmth;
use crate::layout::Survey;
use crate::measure::{Have, Site};
use crate::rules::{Profile, Rule, Verdict, Voice, said};
use crate::scene::{self, Emphasis, Marks, Scene};
use crate::takeoff::quote::Comparison;
use crate::timber::{LoadPath, readings};
use crate::water::circuit::{Circuit, assumptions};

/// Pictures of what is wrong, and of what is met or has to be found out: across and down, mm.
const PICTURE_MM: DVec2 = DVec2::new(120.0, 66.0);
const SMALL_PICTURE_MM: DVec2 = DVec2::new(85.0, 58.0);

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
    report_on_quote(site, profile, findings, voice, None)
}

/// The same, with a chapter that sets a quote against the layout, where there is one.
#[must_use]
pub fn report_on_quote(
    site: &Site<'_>,
    profile: &Profile,
    findings: &Findings,
    voice: Voice,
    quote: Option<&Comparison>,
) -> Document {
    let heading = &site.layout().heading;
    let title = if heading.title.is_empty() { "Report on a layout".to_owned() } else { heading.title.clone() };
    let mut blocks = Vec::new();
    let parts = scene::draw(site, &Findings::default(), &Marks { voice, ..Marks::none() });
    title_block(&mut blocks, site);
    what_was_checked(&mut blocks, site, profile, findings, voice);
    let (broken, none_broken) = match voice {
        Voice::Trade | Voice::Teaching => ("In breach", "Nothing that was checked is in breach."),
        Voice::Plain => ("What is not right", "Nothing that was checked is wrong."),
    };
    let written = [
        (Verdict::Breach, broken, none_broken),
        (Verdict::Marginal, "Too close to tell", "Nothing is too close to its limit to tell."),
    ];
    // As they are numbered on the drawing.
    let mut number = 0;
    for (verdict, words, none) in written {
        blocks.push(Block::Chapter(words.to_owned()));
        let mut found = of(findings, verdict).peekable();
        if found.peek().is_none() {
            blocks.push(Block::Paragraph(none.to_owned()));
        }
        for (key, finding) in found {
            number += 1;
            in_full(&mut blocks, site, &parts, (number, key, finding), voice);
        }
    }
    site_checklist(&mut blocks, site, &parts, findings, voice);
    blocks.extend(quote.into_iter().flat_map(|quote| quoted::chapter(quote, voice)));
    what_is_met(&mut blocks, site, &parts, findings, voice);
    what_is_assumed(&mut blocks, site, voice);
    check_sheet::commissioning(&mut blocks, site, voice);
    check_sheet::yearly(&mut blocks, site, voice);
    blocks.push(Block::Chapter("Cautions".to_owned()));
    blocks.push(Block::Points(CAUTIONS.map(|caution| said(caution, voice)).to_vec()));
    Document { title, blocks }
}

/// The findings that are marked on a drawing, in full: what its marks lead to.
#[must_use]
pub fn entries(site: &Site<'_>, findings: &Findings, voice: Voice) -> Document {
    let mut blocks = Vec::new();
    let parts = scene::draw(site, &Findings::default(), &Marks { voice, ..Marks::none() });
    for (number, (key, finding)) in scene::marked(findings).enumerate() {
        in_full(&mut blocks, site, &parts, (number + 1, key, finding), voice);
    }
    Document { title: "What is marked on the drawing".to_owned(), blocks }
}

fn of(findings: &Findings, verdict: Verdict) -> impl Iterator<Item = (&FindingKey, &Finding)> {
    findings.keyed().filter(move |(_, finding)| finding.judged.verdict == verdict)
}

/// The name of a finding as links have it.
pub(in crate::sheet) fn name_of(key: &FindingKey) -> String {
    let parts: String = key.parts.iter().map(|part| format!(".{part}")).collect();
    format!("{}{parts}.{}", key.rule, key.ordinal)
}

/// A finding with its mark.
type Marked<'a> = (&'a FindingKey, &'a Finding, Emphasis);

/// A finding with its number in a list.
type Numbered<'a> = (usize, &'a FindingKey, &'a Finding);

/// One picture for each part or pair of parts, with the numbers under which the findings about it stand in a list.
fn gallery(site: &Site<'_>, parts: &Scene, numbered: Vec<Numbered<'_>>, voice: Voice) -> Block {
    let mut subjects: Vec<(String, Vec<Marked<'_>>)> = Vec::new();
    for (number, key, finding) in numbered {
        let entry = (key, finding, Emphasis::Small(number));
        match subjects.iter_mut().find(|(_, of)| of[0].0.parts == entry.0.parts) {
            Some((_, of)) => of.push(entry),
            None => subjects.push((finding.subject_words(voice), vec![entry])),
        }
    }
    // Small marks are numbers, in whatever reading.
    let picture = |(words, of): (String, Vec<_>)| Picture::of(parts, site, &of, SMALL_PICTURE_MM, &words, Voice::Trade);
    Block::Pictures(subjects.into_iter().filter_map(picture).collect())
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
    blocks.push(Block::Table(row.map(|verdict| verdict.said(voice)).to_vec(), vec![cells]));
}

/// One finding with all that belongs to it.
fn in_full(
    blocks: &mut Vec<Block>,
    site: &Site<'_>,
    parts: &Scene,
    (number, key, finding): (usize, &FindingKey, &Finding),
    voice: Voice,
) {
    let rule = finding.rule;
    let verdict = finding.judged.verdict.said(voice);
    let heading = format!(
        "{number}. {} ({verdict}, {}): {}",
        finding.title(voice),
        finding.weight.words(),
        finding.subject_words(voice)
    );
    blocks.push(Block::Entry(name_of(key), heading));
    let marked = [(key, finding, Emphasis::Chosen)];
    let picture = Picture::of(parts, site, &marked, PICTURE_MM, &finding.subject_words(voice), voice);
    blocks.extend(picture.map(|picture| Block::Pictures(vec![picture])));
    blocks.push(Block::Named("Here", said(finding.words(Voice::Trade), voice)));
    if voice != Voice::Trade {
        blocks.push(Block::Named(finding.before_why(), finding.words(voice)));
    }
    let working: Vec<String> = finding.working().into_iter().map(|line| said(line, voice)).collect();
    if !working.is_empty() {
        blocks.push(Block::Working(working));
    }
    let remedies: Vec<String> = finding.remedies().iter().map(|remedy| said(remedy, voice)).collect();
    if !remedies.is_empty() {
        blocks.push(Block::Paragraph("What would put it right, best first:".to_owned()));
        blocks.push(Block::Points(remedies));
    }
    blocks.push(Block::Named("Source", finding.authority()));
    for other in rule.others_say {
        blocks.push(Block::Named("Others say", format!("{}: {}", said(other.words, voice), other.source)));
    }
    if let Some(note) = &finding.note {
        blocks.push(Block::Named("Local", note.clone()));
    }
    if voice != Voice::Plain {
        blocks.push(Block::Named("Rule", named(rule, voice)));
    }
}

/// What a rule guards against, with the name by which a command asks for it.
fn named(rule: &Rule, voice: Voice) -> String {
    format!("{} ({})", rule.prose.title(voice), rule.id)
}

/// What nobody has told, as points to tick on site; one point for one thing to find out.
fn site_checklist(blocks: &mut Vec<Block>, site: &Site<'_>, parts: &Scene, findings: &Findings, voice: Voice) {
    blocks.push(Block::Chapter("To find out on site".to_owned()));
    let mut points: Vec<(String, Vec<&str>)> = Vec::new();
    let mut numbered = Vec::new();
    for (key, finding) in of(findings, Verdict::Unknown) {
        let find_out = match &finding.reading.have {
            Have::Untold(find_out) => said(find_out, voice),
            _ => said(finding.words(Voice::Trade), voice),
        };
        let number = match points.iter().position(|(known, _)| *known == find_out) {
            Some(number) => number,
            None => {
                points.push((find_out, Vec::new()));
                points.len() - 1
            }
        };
        points[number].1.push(finding.rule.prose.title(voice));
        numbered.push((number + 1, key, finding));
    }
    if points.is_empty() {
        blocks.push(Block::Paragraph("Everything that the rules ask is told.".to_owned()));
        return;
    }
    let point = |(number, (find_out, mut rules)): (usize, (String, Vec<&str>))| {
        rules.dedup();
        format!("{}. {} (for: {})", number + 1, capital(&find_out), rules.join(", "))
    };
    let numbered = once_for_each_measurement(&numbered, &points, voice);
    blocks.push(Block::ToTick(points.into_iter().enumerate().map(point).collect()));
    blocks.push(gallery(site, parts, numbered, voice));
}

/// Each number where it is to be measured: at the part that its words name, or else at every part of which the first of the
/// rules that wait for it asks. The others wait for the same.
fn once_for_each_measurement<'a>(
    numbered: &[Numbered<'a>],
    points: &[(String, Vec<&str>)],
    voice: Voice,
) -> Vec<Numbered<'a>> {
    let measured = |(number, (words, _)): (usize, &(String, Vec<&str>))| {
        let of: Vec<&Numbered<'a>> = numbered.iter().filter(|(of, ..)| *of == number + 1).collect();
        let subject = |(_, _, finding): &Numbered<'a>| finding.subject_words(voice);
        let named = of.iter().filter(|of| words.contains(&subject(of))).max_by_key(|of| subject(of).len());
        let first = of.first().map(|(_, key, _)| key.rule);
        let mut parts = HashSet::default();
        let asked = of.iter().filter(|of| Some(of.1.rule) == first && parts.insert(subject(of)));
        named.map_or_else(|| asked.map(|of| **of).collect(), |named| vec![**named])
    };
    points.iter().enumerate().flat_map(measured).collect()
}

fn what_is_met(blocks: &mut Vec<Block>, site: &Site<'_>, parts: &Scene, findings: &Findings, voice: Voice) {
    blocks.push(Block::Chapter("What is met".to_owned()));
    let met: Vec<(&FindingKey, &Finding)> = of(findings, Verdict::Meets).collect();
    let row = |(number, (_, finding)): (usize, &(&FindingKey, &Finding))| {
        // The trade looks rules up by their name as well.
        let guards = match voice {
            Voice::Trade => named(finding.rule, voice),
            Voice::Teaching | Voice::Plain => finding.rule.prose.title(voice).to_owned(),
        };
        let cells = vec![
            (number + 1).to_string(),
            guards,
            finding.subject_words(voice),
            said(finding.have_words(), voice),
            said(finding.need_words(), voice),
            finding.authority(),
        ];
        WorkedRow { cells, working: said(finding.working().join("; "), voice) }
    };
    let rows: Vec<WorkedRow> = met.iter().enumerate().map(row).collect();
    if rows.is_empty() {
        blocks.push(Block::Paragraph("Nothing that was checked is met.".to_owned()));
    } else {
        blocks.push(Block::Worked(vec!["no", "guards against", "part", "have", "need", "source"], rows));
        let numbered = met.into_iter().enumerate().map(|(number, (key, finding))| (number + 1, key, finding));
        blocks.push(gallery(site, parts, numbered.collect(), voice));
    }
}

fn what_is_assumed(blocks: &mut Vec<Block>, site: &Site<'_>, voice: Voice) {
    blocks.push(Block::Chapter("What is assumed".to_owned()));
    let mut points: Vec<String> = assumptions(&Circuit::of(site)).iter().map(capital).collect();
    points.extend(LoadPath::of(site).leaves_shear_out().then(|| capital(readings::STIFF_IN_SHEAR)));
    points.extend(Warmth::of(site).assumed().into_iter().map(|condition| capital(condition.assumption())));
    blocks.push(Block::Points(points.iter().map(|point| said(point, voice)).collect()));
}
