//! Demonstrations: the list, and a scene in letters that the last row can read.

use egui::{CollapsingHeader, RichText, Slider, TextEdit, Ui};

use super::{button, wrapped};
use crate::desk::lessons::{Lessons, Showing};
use crate::desk::theme::Palette;
use crate::desk::{LessonAction, Playing};
use crate::lesson::demonstration::{Demonstration, HOW_TO_WRITE, SHIPPED};
use crate::rules::Voice;
use crate::water::trial::Played;

/// Letters that are read from the last row, points.
const HEADING: f32 = 22.0;
const WORDS: f32 = 17.0;

pub(super) fn ui(ui: &mut Ui, lessons: &mut Lessons, voice: Voice) -> Option<LessonAction> {
    let mut asked = None;
    let playing = lessons.playing();
    match &lessons.showing {
        None => list(ui, &mut lessons.script_path, &mut asked),
        Some(showing) => scene(ui, showing, playing, voice, &mut asked),
    }
    asked
}

fn list(ui: &mut Ui, path: &mut String, asked: &mut Option<LessonAction>) {
    wrapped(ui, "Scenes to step through with a class. The open layout stays as it is.");
    for (number, (name, text)) in SHIPPED.iter().enumerate() {
        let title = Demonstration::parse(text, name).map_or_else(|_| (*name).to_owned(), |script| script.title);
        ui.add_space(4.0);
        let wide = egui::Button::new(title).wrap();
        if ui.add_sized([ui.available_width(), 0.0], wide).clicked() {
            *asked = Some(LessonAction::Show(number));
        }
    }
    ui.add_space(8.0);
    let label = ui.label("A script of your own");
    ui.add(TextEdit::singleline(path).desired_width(f32::INFINITY).hint_text("path of a .ron file"))
        .labelled_by(label.id);
    button(ui, "Open the script", (!path.trim().is_empty()).then_some(LessonAction::ShowFile), asked);
    CollapsingHeader::new("How a script is written").show(ui, |ui| wrapped(ui, HOW_TO_WRITE));
}

fn scene(ui: &mut Ui, showing: &Showing, playing: Playing, voice: Voice, asked: &mut Option<LessonAction>) {
    let (scene, number, count) = (showing.scene(), showing.number, showing.script.scenes.len());
    ui.horizontal_wrapped(|ui| {
        button(ui, "Scene before", (number > 0).then_some(LessonAction::Scene(number.saturating_sub(1))), asked);
        button(ui, "Next scene", (number + 1 < count).then_some(LessonAction::Scene(number + 1)), asked);
        button(ui, "Leave", LessonAction::Leave, asked);
    });
    wrapped(ui, RichText::new(format!("{}: scene {} of {count}", showing.script.title, number + 1)).weak());
    ui.add_space(4.0);
    wrapped(ui, RichText::new(&scene.heading).size(HEADING).strong());
    ui.add_space(2.0);
    wrapped(ui, RichText::new(&scene.words).size(WORDS));
    ui.add_space(6.0);
    if let Some(played) = &showing.played {
        trial(ui, played, playing, asked);
    }
    if let Ok(Some((sum, reckoned))) = scene.reckoned() {
        wrapped(ui, RichText::new(sum.title).size(WORDS).strong());
        for line in &reckoned.working {
            wrapped(ui, RichText::new(line).monospace());
        }
        for output in &reckoned.outputs {
            wrapped(ui, RichText::new(format!("{}: {:.2} {}", output.name, output.value, output.unit)).size(WORDS));
        }
        wrapped(ui, RichText::new(format!("Source: {}", sum.authority())).weak());
    }
    for finding in showing.session.findings().iter().filter(|f| scene.look.iter().any(|rule| rule == f.rule.id)) {
        let colour = Palette::of(ui.visuals()).verdict(finding.judged.verdict);
        let words = format!("{} ({})", finding.title(voice), finding.judged.verdict.beside_title(voice));
        wrapped(ui, RichText::new(words).size(WORDS).strong().color(colour));
        wrapped(ui, format!("Have {}, need {}", finding.have_words(), finding.need_words()));
        wrapped(ui, finding.words(Voice::Teaching));
    }
}

fn trial(ui: &mut Ui, played: &Played, playing: Playing, asked: &mut Option<LessonAction>) {
    let whole_min = played.moments.last().map_or(0.0, |moment| moment.time_s / 60.0);
    wrapped(ui, RichText::new(&played.title).size(WORDS).strong());
    ui.horizontal(|ui| {
        let (name, next) = match (playing.runs, playing.share >= 1.0) {
            (true, _) => ("Hold", Playing { runs: false, ..playing }),
            (false, true) => ("Play again", Playing { share: 0.0, runs: true }),
            (false, false) => ("Play", Playing { runs: true, ..playing }),
        };
        button(ui, name, LessonAction::Play(next), asked);
        let mut now_min = playing.share * whole_min;
        let slider = Slider::new(&mut now_min, 0.0..=whole_min.max(1e-9)).suffix(" min");
        let slider = slider.custom_formatter(|minutes, _| format!("{minutes:.1}"));
        if ui.add(slider).accessible_name("How far the trial has gone").changed() {
            *asked = Some(LessonAction::Play(Playing { share: now_min / whole_min.max(1e-9), runs: false }));
        }
    });
    // Nothing is told before it has happened: a class is asked first.
    for event in played.events.iter().filter(|event| event.time_s / 60.0 <= playing.share * whole_min) {
        wrapped(ui, RichText::new(format!("{:.1} min: {}", event.time_s / 60.0, event.words)).size(WORDS));
    }
    ui.add_space(4.0);
    for total in played.totals.iter().filter(|_| playing.share >= 1.0) {
        wrapped(ui, format!("{}: {}", crate::finding::capital(&total.words), total.amount));
    }
}
