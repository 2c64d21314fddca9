//! What a platform is boarded with, as a line of a quote names it, against what is drawn and what the rules ask.

use super::numbers::Against;
use super::words::Words;
use crate::finding::{Finding, Findings};
use crate::layout::{BoardMaterial, Layout, Platform};
use crate::measure::Site;
use crate::measure::standing::{Vessel, laden_platforms};
use crate::rules::{Bound, Limit, Voice};

/// The rule against chipboard, and that against thin boards.
const CHIPBOARD: &str = "platform-of-chipboard";
const TOO_THIN: &str = "platform-board-too-thin";

/// A board as a line names it.
#[derive(Clone, Copy)]
struct Named {
    words: &'static str,
    /// What it is; none for ply of no named kind.
    material: Option<BoardMaterial>,
}

/// Sets the boards that a line names against the platforms that it may be about.
pub(super) fn other_board(said: &mut Against, layout: &Layout, findings: &Findings, words: &Words) {
    let platforms = platforms_meant(layout, words);
    if let Some(named) = named(words) {
        let others = platforms.iter().filter_map(|platform| Some((platform, platform.board?.material)));
        for (platform, drawn) in others.filter(|(_, drawn)| Some(*drawn) != named.material) {
            let other =
                format!("{}, and the drawing has {} for {}", named.words, drawn.words(), platform.id.with_article());
            let is_better = named.material.is_some_and(|material| place(material) < place(drawn))
                || (named.material.is_none() && place(BoardMaterial::ExteriorPly) < place(drawn));
            if is_better {
                said.differences.push(format!("{other}; that is the better board"));
            } else {
                said.contradictions.push(other);
            }
        }
        let is_chipboard = matches!(named.material, Some(BoardMaterial::Chipboard | BoardMaterial::ChipboardP5));
        if is_chipboard && let Some(rule) = asked(findings, CHIPBOARD) {
            said.contradictions.push(format!("{}, which a rule is against: {}", named.words, plain(rule)));
        }
    }
    let thickest_drawn_mm = platforms.iter().filter_map(|platform| Some(platform.board?.thickness?.to_mm()));
    let thickest_drawn_mm = thickest_drawn_mm.reduce(f64::max);
    // What is thicker than this is no thickness of a board (assumption).
    const THICKEST_MM: f64 = 60.0;
    for named_mm in words.numbers_in(&["mm"]).into_iter().filter(|mm| *mm < THICKEST_MM) {
        if let Some(drawn_mm) = thickest_drawn_mm.filter(|drawn_mm| named_mm < *drawn_mm) {
            said.contradictions.push(format!("{named_mm} mm, and the drawing has a board of {drawn_mm} mm"));
        }
        if let Some((rule, least_mm)) = least_thickness(findings).filter(|(_, least_mm)| named_mm < *least_mm) {
            said.contradictions.push(format!("{named_mm} mm, and a rule asks for {least_mm} mm: {}", plain(rule)));
        }
    }
}

/// The board that a line names.
fn named(words: &Words) -> Option<Named> {
    let of = |material: BoardMaterial| Some(Named { words: material.words(), material: Some(material) });
    let is_ply = words.hold_any(&["ply", "plywood"]);
    if words.hold_any(&["chipboard"]) {
        let is_for_damp =
            words.hold_any(&["moisture", "green", "p5"]) || words.all().windows(2).any(|w| w == ["p", "5"]);
        return of(if is_for_damp { BoardMaterial::ChipboardP5 } else { BoardMaterial::Chipboard });
    }
    if words.hold_any(&["osb"]) {
        return of(BoardMaterial::Osb3);
    }
    match (is_ply, words.hold_any(&["marine"]), words.hold_any(&["exterior", "wbp"])) {
        (true, true, _) => of(BoardMaterial::MarinePly),
        (true, false, true) => of(BoardMaterial::ExteriorPly),
        (true, false, false) => Some(Named { words: "ply of which no kind is named", material: None }),
        (false, ..) => None,
    }
}

/// Where a material stands among those that are offered, the best for damp first.
fn place(material: BoardMaterial) -> usize {
    BoardMaterial::ALL.iter().position(|other| *other == material).unwrap_or_default()
}

/// The platforms that a line may be about: those under cisterns where it names one, under cylinders likewise, or all.
fn platforms_meant<'a>(layout: &'a Layout, words: &Words) -> Vec<&'a Platform> {
    let is_of_cistern = words.hold_any(&["tank", "polytank", "cistern"]);
    let is_of_cylinder = words.hold_any(&["cylinder"]);
    if is_of_cistern == is_of_cylinder {
        return layout.platforms.iter().collect();
    }
    let site = Site::of(layout);
    let bears = |on_it: &[Vessel<'_>]| on_it.iter().any(|vessel| matches!(vessel, Vessel::Cistern(_)) == is_of_cistern);
    let meant: Vec<_> =
        laden_platforms(&site).into_iter().filter(|(_, on_it)| bears(on_it)).map(|(on, _)| on.id.clone()).collect();
    layout.platforms.iter().filter(|platform| meant.contains(&platform.id)).collect()
}

/// What a rule asks of this layout.
pub(super) fn asked<'a>(findings: &'a Findings, id: &str) -> Option<&'a Finding> {
    findings.iter().find(|finding| finding.rule.id == id)
}

fn least_thickness(findings: &Findings) -> Option<(&Finding, f64)> {
    let finding = asked(findings, TOO_THIN)?;
    match finding.limit {
        Limit::AtLeast(Bound::Constant(least_mm, _)) => Some((finding, least_mm)),
        _ => None,
    }
}

/// The title of a rule as everybody says it.
pub(super) fn plain(finding: &Finding) -> String {
    format!("'{}'", finding.rule.prose.title(Voice::Plain))
}
