//! Stagnation and the temperatures that guard against legionella: the part of the view *Warmth* that says how each stands.

use egui::Ui;

use super::words::{capital, coloured, line, strong, weak};
use crate::desk::Aspect;
use crate::desk::theme::Palette;
use crate::finding::Finding;
use crate::measure::Have;
use crate::rules::{Verdict, Voice};
use crate::session::Session;

/// The rules that keep germs down, in the order of the way of the water; the cistern's summer day has its own picture.
const RULES: [&str; 6] = [
    "cistern-turns-over-too-slowly",
    "cold-store-too-warm",
    "store-too-cool",
    "hot-water-slow-to-arrive",
    "hot-tap-too-cool",
    "dead-leg-too-long",
];

/// Shows how each part stands under them; what is met in one line.
pub fn ui(ui: &mut Ui, session: &Session, voice: Voice, palette: Palette) {
    strong(ui, "Against legionella");
    let where_to = Aspect::SetOut.name(voice);
    weak(
        ui,
        format!(
            "Hot water kept hot, cold water kept cold, and neither left to stand. Choose the finding in {where_to} for \
             its working."
        ),
    );
    let mut any = false;
    for rule in RULES {
        for finding in session.findings().iter().filter(|finding| finding.rule.id == rule) {
            any = true;
            one(ui, finding, voice, palette);
        }
    }
    if !any {
        weak(ui, "Nothing is drawn yet that these rules look at.");
    }
}

fn one(ui: &mut Ui, finding: &Finding, voice: Voice, palette: Palette) {
    let subject = capital(finding.subject_words(voice));
    if let Have::Untold(find_out) = &finding.reading.have {
        weak(ui, format!("{subject}: not told; {find_out}."));
        return;
    }
    let words = format!("{subject}: {}, {} ({})", finding.have_words(), finding.need_words(), finding.title(voice));
    match finding.judged.verdict {
        Verdict::Meets => line(ui, words),
        verdict => coloured(ui, words, palette.verdict(verdict)),
    }
}
