//! The rows of a comparison, and what stands in their cells.

use super::{About, Row};
use crate::finding::{Finding, Findings, capital};
use crate::measure::{Have, Site};
use crate::rules::{Verdict, Voice};
use crate::takeoff::{Takeoff, Terms};
use crate::units::Unit;
use crate::water::Running;

/// A cell of which a variant has nothing to say.
const NOTHING: &str = "–";
/// Rules whose readings are heights and heads; the last named is the least important.
const HEADS: &[(&str, &str)] = &[
    ("cylinder-too-near-cistern", "Cistern base over the cylinder's top"),
    ("cylinder-head-too-great", "Water line over the cylinder's base"),
    ("shower-head-too-small", "Cistern base over the rose"),
    ("vent-too-low", "Top of the vent over the water line"),
    ("headroom-too-low-at-float-valve", "Room over the cistern at the float valve"),
    ("headroom-too-low-opposite", "Room over the cistern opposite"),
];

/// How many findings of each verdict.
pub(super) fn counts(findings: &[Findings], voice: Voice) -> Vec<Row> {
    let row = |verdict: Verdict| {
        let cells = findings.iter().map(|of| of.counts().of(verdict).to_string()).collect();
        Row::new(About::Counts, capital(verdict.said(voice)), cells)
    };
    Verdict::ALL.map(row).to_vec()
}

/// A row for each rule that some variant does not keep.
pub(super) fn findings(all: &[Findings], voice: Voice) -> Vec<Row> {
    let mut rules: Vec<(&'static str, (Verdict, crate::rules::Weight))> = Vec::new();
    for finding in all.iter().flat_map(Findings::iter).filter(|finding| finding.judged.verdict != Verdict::Meets) {
        let heaviness = (finding.judged.verdict, finding.weight);
        match rules.iter_mut().find(|(rule, _)| *rule == finding.rule.id) {
            Some((_, known)) => *known = (*known).min(heaviness),
            None => rules.push((finding.rule.id, heaviness)),
        }
    }
    rules.sort_by_key(|(_, heaviness)| *heaviness);
    let words = |finding: &Finding| verdict_words(finding, voice);
    let cell = |of: &Findings, rule: &str| worst(of, rule).map_or_else(|| NOTHING.to_owned(), words);
    let row = |(rule, _): &(&'static str, _)| {
        let title = crate::rules::rule(rule).map_or(*rule, |rule| rule.prose.title(voice));
        Row::new(About::Findings, title, all.iter().map(|of| cell(of, rule)).collect())
    };
    rules.iter().map(row).collect()
}

/// The heaviest finding of a rule; the list begins with the heaviest.
fn worst<'f>(of: &'f Findings, rule: &str) -> Option<&'f Finding> {
    of.iter().find(|finding| finding.rule.id == rule)
}

fn verdict_words(finding: &Finding, voice: Voice) -> String {
    let verdict = finding.judged.verdict.said(voice);
    match finding.judged.short_by {
        Some(short) if finding.judged.verdict == Verdict::Breach => format!("{verdict}, {short} short"),
        _ => verdict.to_owned(),
    }
}

/// Heights and heads as they were judged, and what each tap gives alone.
pub(super) fn heads(sites: &[Site<'_>], findings: &[Findings]) -> Vec<Row> {
    let cell = |of: &Findings, rule: &str| match worst(of, rule).map(|finding| &finding.reading.have) {
        Some(Have::Amount(value, unit)) => unit.of(value.value).to_string(),
        Some(Have::Untold(_)) => "not told".to_owned(),
        _ => NOTHING.to_owned(),
    };
    let heights = HEADS.iter().filter(|(rule, _)| findings.iter().any(|of| worst(of, rule).is_some()));
    let heights =
        heights.map(|(rule, name)| Row::new(About::Heads, *name, findings.iter().map(|of| cell(of, rule)).collect()));
    heights.chain(flows(sites)).collect()
}

fn flows(sites: &[Site<'_>]) -> Vec<Row> {
    let running: Vec<Vec<(String, String)>> = sites.iter().map(taps).collect();
    let mut names: Vec<&String> = Vec::new();
    for (name, _) in running.iter().flatten() {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let cell = |of: &[(String, String)], name: &str| {
        of.iter().find(|(other, _)| other == name).map_or_else(|| NOTHING.to_owned(), |(_, cell)| cell.clone())
    };
    let row = |name: &&String| {
        Row::new(About::Heads, format!("{name} alone"), running.iter().map(|of| cell(of, name)).collect())
    };
    names.iter().map(row).collect()
}

/// What each tap on stored water gives with no other open.
fn taps(site: &Site<'_>) -> Vec<(String, String)> {
    let running = Running::of(site);
    let Some(alone) = &running.alone else { return Vec::new() };
    let stored = running.circuit.taps().iter().zip(alone).filter(|(tap, _)| !tap.is_on_main());
    let cell = |flow: &crate::water::circuit::TapFlow| match flow.flow_l_s() {
        Some(value) => Unit::LitrePerSecond.of(value).to_string(),
        None => "not known".to_owned(),
    };
    stored.map(|(tap, flow)| (capital(tap.name().to_string()), cell(flow))).collect()
}

/// What each variant is made of, line by line.
pub(super) fn takeoff(sites: &[Site<'_>]) -> Vec<Row> {
    let takeoffs: Vec<Takeoff> = sites.iter().map(|site| Takeoff::of(site, Terms::default())).collect();
    let mut lines: Vec<_> = Vec::new();
    for line in takeoffs.iter().flat_map(|takeoff| &takeoff.lines) {
        let key = (line.trade, line.name(), line.unit);
        if !lines.contains(&key) {
            lines.push(key);
        }
    }
    // The sort is stable: within a trade the lines stay as the take-offs have them.
    lines.sort_by_key(|(trade, ..)| *trade);
    let row = |(trade, name, unit): &(_, String, crate::takeoff::Counted)| {
        let cell = |takeoff: &Takeoff| {
            let same =
                |line: &&crate::takeoff::Line| line.trade == *trade && line.name() == *name && line.unit == *unit;
            let quantities: Vec<String> =
                takeoff.lines.iter().filter(same).map(crate::takeoff::Line::quantity_words).collect();
            if quantities.is_empty() { NOTHING.to_owned() } else { quantities.join(" + ") }
        };
        let name = format!("{name} ({})", unit.written());
        Row::new(About::Takeoff, name, takeoffs.iter().map(cell).collect())
    };
    lines.iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Layout;

    #[test]
    fn what_is_told_and_what_is_not_stand_side_by_side() {
        let cistern = |id: &str, more: &str| {
            format!(r#"(id: "{id}", role: Storage, at: (0, 2000), length: 1000, height: 500, {more})"#)
        };
        let layouts = [("lid: Tight", ""), ("", "lid: Tight"), ("lid: Tight", "lid: Tight")].map(|(a, b)| {
            let text = format!("(format: 1, cisterns: [{}, {}])", cistern("a", a), cistern("b", b));
            let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
            options.from_str::<Layout>(&text).expect("a layout")
        });
        let sites: Vec<Site<'_>> = layouts.iter().map(|layout: &Layout| Site::of(layout)).collect();
        let lids = takeoff(&sites).into_iter().find(|row| row.name.starts_with("cistern lid")).expect("a row of lids");
        let [one, mirrored, both] = &lids.cells[..] else { panic!("{lids:?}") };
        let parts =
            |cell: &String| cell.split(" + ").map(str::to_owned).collect::<std::collections::BTreeSet<String>>();
        assert_eq!(parts(one), parts(mirrored));
        assert_eq!(parts(one), ["1", "not told"].map(str::to_owned).into());
        assert_eq!(both, "2");
    }

    #[test]
    fn counts_are_named_as_the_reading_says_verdicts() {
        let names = |voice: Voice| counts(&[], voice).into_iter().map(|row| row.name).collect::<Vec<String>>();
        assert_eq!(names(Voice::Trade), ["Breach", "Marginal", "Unknown", "Meets"]);
        assert_eq!(names(Voice::Plain), ["Not right", "Too close to tell", "Not known", "As it should be"]);
    }
}
