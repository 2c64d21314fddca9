//! The status line: where the pointer is, what it does, what was just said, and how the layout stands.

use egui::text::LayoutJob;
use egui::{Align, FontSelection, Label, Layout, RichText, TextStyle, Ui};
use glam::DVec2;

use super::words::capital;
use crate::desk::{Action, Aspect, Command, Grip, Outlook, Tool};
use crate::rules::{Profile, Verdict, Voice, said};
use crate::session::Session;
use crate::session::settings::SidePanels;

/// So high is the line, in points: room for two rows of small letters.
const HEIGHT: f32 = 26.0;

/// What the pointer does on the drawing that can be changed, where the view shows that.
pub struct OnDrawing<'a> {
    /// The section point under it.
    pub at: Option<DVec2>,
    /// To what the tool in hand has snapped.
    pub snapped: &'a str,
    /// What the pipe in hand would join; empty when nothing.
    pub joint: &'a str,
}

/// Shows the status line; while the panels are hidden, the way back to them stands first in it.
pub fn ui(
    ui: &mut Ui,
    session: &Session,
    outlook: &Outlook,
    pointer: Option<&OnDrawing<'_>>,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.set_min_height(HEIGHT);
        if pointer.is_some() && outlook.settings.side_panels == SidePanels::Hidden {
            let button = ui.button("Show panels");
            if button.on_hover_text(Command::Panels.tip(ui.ctx())).clicked() {
                actions.push(Action::Command(Command::Panels));
            }
            ui.separator();
        }
        if let Some(pointer) = pointer {
            let place = pointer.at.map_or_else(
                || "— right, — up".to_owned(),
                |at| format!("{} right, {} up", at.x.round() + 0.0, at.y.round() + 0.0),
            );
            ui.add_sized([150.0, 20.0], Label::new(RichText::new(place).monospace()));
            ui.separator();
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            // An exercise has faults of its own, which are to be found.
            if outlook.aspect != Aspect::Lesson {
                ui.label(counts_words(session, outlook.voice));
            }
            if let Some(fault) = session.profile_fault() {
                ui.label(RichText::new("profile not found").strong()).on_hover_text(fault);
            }
            if session.profile() != Profile::usual() {
                ui.label(format!("judged by {}", session.profile().name));
            }
            ui.separator();
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let words = match (outlook.said.as_str(), pointer) {
                    ("", None) => view_words(outlook.aspect).to_owned(),
                    ("", Some(OnDrawing { joint, .. })) if !joint.is_empty() => format!("Here: {joint}"),
                    ("", Some(OnDrawing { snapped: "", .. })) => hint(session.layout(), outlook),
                    ("", Some(OnDrawing { snapped, .. })) => format!("Snapped: {snapped} (Alt suspends)"),
                    (words, _) => words.to_owned(),
                };
                in_full(ui, said(words, outlook.voice));
            });
        });
    });
}

fn counts_words(session: &Session, voice: Voice) -> String {
    let counts = session.findings().counts();
    let [breach, marginal, unknown, _] = Verdict::ALL.map(|verdict| counts.of(verdict));
    match voice {
        Voice::Trade | Voice::Teaching => format!("{breach} breached, {marginal} marginal, {unknown} unknown"),
        Voice::Plain => format!("{breach} not right, {marginal} too close to tell, {unknown} not known"),
    }
}

/// Words in one row, or in two of small letters where one is too short for them.
fn in_full(ui: &mut Ui, words: String) {
    let font = |style: TextStyle| FontSelection::from(style).resolve(ui.style());
    let colour = ui.visuals().text_color();
    let one_row = ui.painter().layout_no_wrap(words.clone(), font(TextStyle::Body), colour).size().x;
    if one_row <= ui.available_width() {
        ui.add(Label::new(words).truncate());
        return;
    }
    let mut rows = LayoutJob::simple(words, font(TextStyle::Small), colour, ui.available_width());
    rows.wrap.max_rows = 2;
    ui.add(Label::new(rows).wrap());
}

/// What a view is for that has no drawing to be changed.
const fn view_words(aspect: Aspect) -> &'static str {
    match aspect {
        Aspect::TakeOff => {
            "What has to be bought, line by line: put prices to it, hold a quote against it, write it to a file"
        }
        Aspect::Sheet => "The pages that are handed over: choose paper and scale, then write them to a file",
        Aspect::Lesson => "Learning to see what is wrong: nothing that is done here changes the open drawing",
        Aspect::SetOut | Aspect::Flow | Aspect::Warmth | Aspect::Timber => "",
    }
}

/// What the tool in hand waits for.
fn hint(layout: &crate::layout::Layout, outlook: &Outlook) -> String {
    match (&outlook.tool, outlook.grip()) {
        (Tool::Pick, None) => {
            "Click a part to select it, drag to move it, drag a box about several; scroll pans, Ctrl+scroll zooms"
                .to_owned()
        }
        (Tool::Pick, Some(grip @ Grip::Fitting(..))) => {
            let name = capital(grip.name(layout));
            format!(
                "{name} is chosen: drag or arrow keys slide it, Delete takes it out alone, Esc goes back to its pipe"
            )
        }
        (Tool::Pick, Some(grip)) => {
            let name = grip.name(layout);
            format!("{name} selected: drag or arrow keys move it, Delete removes it, Esc lets go")
        }
        (Tool::Place(stock), _) => {
            format!("Placing {}: {}; Alt suspends snapping, Esc puts it away", stock.one(), stock.held_by())
        }
        (Tool::Insulate, _) => "Insulating: drag along a pipe, or click a stretch; Esc puts it away".to_owned(),
        (Tool::Bare, _) => "Baring: drag along an insulated pipe, or click a stretch; Esc puts it away".to_owned(),
        (Tool::Fit(kind), _) => format!("Fitting a {}: click on a pipe; Shift keeps it in hand", kind.words()),
        (Tool::Tape, _) => "Tape: click one feature, then the other; Esc puts it away".to_owned(),
        (Tool::Pipe(service), _) => {
            format!(
                "Drawing {}: click where it begins, then bends; Shift frees the angle, Enter ends it, Backspace takes back, Alt joins other water",
                service.words()
            )
        }
    }
}
