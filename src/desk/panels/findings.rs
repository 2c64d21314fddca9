//! Findings: heaviest first, each with its verdict in shape and word, what it says, and what would put it right.

use egui::{Button, Frame, Label, Margin, RichText, ScrollArea, Sense, Stroke, Ui, UiBuilder, vec2};
use foldhash::HashMap;

use super::words::{coloured, line, worded};
use crate::desk::Shown;
use crate::desk::canvas::badge;
use crate::desk::commands::Can;
use crate::desk::naming::Name;
use crate::desk::theme::Palette;
use crate::desk::{Action, Command, Outlook};
use crate::finding::{Finding, FindingKey};
use crate::rules::{Verdict, Voice};
use crate::scene;
use crate::session::Session;

/// Longer words are cut to about this many letters until their finding is chosen.
const BRIEF: usize = 150;

/// The panel.
#[derive(Default)]
pub struct FindingsList {
    /// The finding that was chosen when the list was last shown; a new choice is scrolled to.
    chosen: Option<FindingKey>,
    /// The finding that was pointed at then; one that is pointed at on the drawing is scrolled to.
    lit: Option<FindingKey>,
    /// The finding that the list itself has lit.
    lit_here: Option<FindingKey>,
}

/// A panel narrower than this has the readings below its heading, in points.
const ROOM_FOR_READINGS: f32 = 260.0;

/// Buttons that choose for whom the words are.
fn readings(ui: &mut Ui, voices: impl Iterator<Item = Voice>, outlook: &Outlook, actions: &mut Vec<Action>) {
    for voice in voices {
        let button = Button::selectable(outlook.voice == voice, voice.heading()).frame_when_inactive(true);
        let tip = Command::Reading(voice).tip(ui.ctx());
        if ui.add(button).on_hover_text(tip).clicked() {
            actions.push(Action::Command(Command::Reading(voice)));
        }
    }
}

impl FindingsList {
    /// Shows the list, and asks for what is pointed at and chosen.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
        let palette = Palette::of(ui.visuals());
        heading(ui, outlook, actions);
        filters(ui, session, outlook, palette, actions);
        mend_buttons(ui, session, outlook, actions);
        ui.separator();
        let marked = scene::marked(session.findings()).map(|(key, _)| key);
        let numbers: HashMap<&FindingKey, usize> = marked.zip(1..).collect();
        // Before a class the list gives nothing away that the drawing does not show yet.
        let is_hidden =
            |key: &FindingKey| numbers.get(key).zip(outlook.revealed).is_some_and(|(number, shown)| *number > shown);
        let shown = |(key, finding): &(&FindingKey, &Finding)| {
            outlook.shown.contains(&finding.judged.verdict) && !is_hidden(key)
        };
        let listed: Vec<(&FindingKey, &Finding)> = session.findings().keyed().filter(shown).collect();
        let newly_chosen = self.chosen != outlook.chosen;
        self.chosen.clone_from(&outlook.chosen);
        let newly_lit = self.lit != outlook.lit && !ui.ui_contains_pointer();
        self.lit.clone_from(&outlook.lit);
        let mut pointed = None;
        ScrollArea::vertical().id_salt("findings").auto_shrink(false).show(ui, |ui| {
            if listed.is_empty() {
                ui.label(empty_words(session, outlook));
            }
            for (key, finding) in listed {
                let row = Row { key, finding, number: numbers.get(key).copied(), outlook, palette };
                let response = row.ui(ui);
                let wanted = (newly_chosen && outlook.chosen.as_ref() == Some(key))
                    || (newly_lit && outlook.lit.as_ref() == Some(key));
                if wanted {
                    response.scroll_to_me(None);
                }
                if response.hovered() {
                    pointed = Some(key.clone());
                }
                if response.clicked() {
                    let again = outlook.chosen.as_ref() == Some(key);
                    actions.push(Action::Choose((!again).then(|| key.clone())));
                }
            }
        });
        if ui.ui_contains_pointer() {
            self.lit_here.clone_from(&pointed);
            if pointed != outlook.lit {
                actions.push(Action::Light(pointed));
            }
        } else if let Some(left) = self.lit_here.take()
            && outlook.lit == Some(left)
        {
            actions.push(Action::Light(None));
        }
    }
}

/// The name of the list, with the readings beside it or, where there is no room, below.
fn heading(ui: &mut Ui, outlook: &Outlook, actions: &mut Vec<Action>) {
    let heading = Name::Findings.said(outlook.voice);
    if ui.available_width() < ROOM_FOR_READINGS {
        ui.heading(heading);
        ui.horizontal(|ui| readings(ui, Voice::ALL.into_iter(), outlook, actions));
    } else {
        ui.horizontal(|ui| {
            ui.heading(heading);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                readings(ui, Voice::ALL.into_iter().rev(), outlook, actions);
            });
        });
    }
}

/// What an empty list says.
fn empty_words(session: &Session, outlook: &Outlook) -> String {
    let counts = session.findings().counts();
    let hidden: usize =
        Verdict::ALL.iter().filter(|verdict| !outlook.shown.contains(verdict)).map(|v| counts.of(*v)).sum();
    if hidden == 0 {
        "There is nothing to judge yet. Draw something, or begin from answers or an example (File).".to_owned()
    } else if outlook.shown.contains(&Verdict::Breach) && counts.breach + counts.marginal + counts.unknown == 0 {
        match outlook.voice {
            Voice::Plain => format!("Nothing is wrong or open. {hidden} things are as they should be."),
            Voice::Trade | Voice::Teaching => format!(
                "Nothing is breached, marginal or unknown. {hidden} rules are met; show them with the button above."
            ),
        }
    } else {
        format!("{hidden} findings are hidden by the buttons above.")
    }
}

/// The counts, which also show and hide.
fn filters(ui: &mut Ui, session: &Session, outlook: &Outlook, palette: Palette, actions: &mut Vec<Action>) {
    let counts = session.findings().counts();
    ui.horizontal_wrapped(|ui| {
        for verdict in Verdict::ALL {
            let on = outlook.shown.contains(&verdict);
            let text = RichText::new(format!("      {} {}", counts.of(verdict), verdict.said(outlook.voice)));
            let response = ui.add(Button::selectable(on, text).frame_when_inactive(true));
            let at = response.rect.left_center() + vec2(14.0, 0.0);
            badge(ui.painter(), at, 13.0, verdict, palette);
            let name = format!("{} {}", counts.of(verdict), verdict.said(outlook.voice));
            let response = response.accessible_name(name);
            let tip = if on { "Shown; click to hide these" } else { "Hidden; click to show these" };
            if response.on_hover_text(tip).clicked() {
                actions.push(Action::Show(verdict, if on { Shown::No } else { Shown::Yes }));
            }
        }
    });
}

/// What begins mending.
fn mend_buttons(ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for command in [Command::MendAll, Command::MendFinding, Command::MendSelection, Command::TellUsual] {
            let offered = command.offered(session, outlook);
            let button = ui.add_enabled(offered.can == Can::Yes, Button::new(command.about().name));
            let button = button.on_disabled_hover_text(worded(ui, offered.why_not));
            if button.on_hover_text(worded(ui, &command.tip(ui.ctx()))).clicked() {
                actions.push(Action::Command(command));
            }
        }
    });
}

/// One finding of the list.
struct Row<'a> {
    key: &'a FindingKey,
    finding: &'a Finding,
    /// Its number on the drawing, if it is marked there.
    number: Option<usize>,
    outlook: &'a Outlook,
    palette: Palette,
}

impl Row<'_> {
    fn is_chosen(&self) -> bool {
        self.outlook.chosen.as_ref() == Some(self.key)
    }

    fn ui(&self, ui: &mut Ui) -> egui::Response {
        let chosen = self.is_chosen();
        let id = ui.scope_id().with(("finding", self.key));
        let builder = UiBuilder::new().id_salt(("finding", self.key)).sense(Sense::hover());
        let inner = ui.scope_builder(builder, |ui| {
            let lit = self.outlook.lit.as_ref() == Some(self.key);
            let edge = if chosen {
                Stroke::new(2.0, self.palette.select)
            } else if lit {
                Stroke::new(1.5, self.palette.verdict(self.finding.judged.verdict))
            } else {
                Stroke::new(1.0, self.palette.faint.gamma_multiply(0.35))
            };
            let fill = if chosen || lit { ui.visuals().extreme_bg_color } else { ui.visuals().faint_bg_color };
            let frame = Frame::NONE.inner_margin(Margin::symmetric(8, 6)).stroke(edge).fill(fill).corner_radius(3.0);
            frame.show(ui, |ui| {
                ui.set_width(ui.available_width());
                self.contents(ui);
            });
        });
        let response = ui.interact(inner.response.rect, id, Sense::click());
        let name = self.name();
        response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, chosen, &name));
        if response.has_focus() {
            let edge = Stroke::new(2.0, self.palette.select);
            ui.painter().rect_stroke(response.rect.shrink(2.0), 3.0, edge, egui::StrokeKind::Inside);
        }
        response
    }

    fn name(&self) -> String {
        let verdict = self.finding.judged.verdict.beside_title(self.outlook.voice);
        format!(
            "{verdict}: {}, {}",
            self.finding.title(self.outlook.voice),
            self.finding.subject_words(self.outlook.voice)
        )
    }

    fn contents(&self, ui: &mut Ui) {
        let chosen = self.is_chosen();
        let verdict = self.finding.judged.verdict;
        let colour = self.palette.verdict(verdict);
        ui.horizontal_wrapped(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), Sense::hover());
            badge(ui.painter(), rect.center(), 15.0, verdict, self.palette);
            if let Some(number) = self.number {
                ui.add(Label::new(RichText::new(number.to_string()).color(colour).strong()));
            }
            ui.add(Label::new(RichText::new(verdict.beside_title(self.outlook.voice)).color(colour).strong()));
            let (weight, subject) = (self.finding.weight.words(), self.finding.subject_words(self.outlook.voice));
            ui.add(Label::new(RichText::new(format!("· {weight} · {subject}")).weak()));
        });
        ui.add(Label::new(RichText::new(self.finding.title(self.outlook.voice)).strong()).wrap());
        let words = self.finding.words(self.outlook.voice);
        ui.add(Label::new(if chosen { words } else { brief(&words) }).wrap());
        if self.outlook.voice != Voice::Trade && chosen {
            line(ui, self.finding.words(Voice::Trade));
        }
        let remedies = self.finding.remedies();
        // What is not told says itself what to find out.
        let said_already = self.outlook.voice == Voice::Trade && verdict == Verdict::Unknown;
        let enough = match (said_already, chosen) {
            (true, _) => 0,
            (false, true) => remedies.len(),
            (false, false) => 1,
        };
        for remedy in remedies.iter().take(enough) {
            coloured(ui, format!("→ {remedy}"), self.palette.guide);
        }
    }
}

/// The words up to the end of a sentence near the length that a list can bear.
fn brief(words: &str) -> String {
    if words.chars().count() <= BRIEF {
        return words.to_owned();
    }
    let cut: String = words.chars().take(BRIEF).collect();
    let end = cut.rfind(". ").map(|end| end + 1).or_else(|| cut.rfind(' ')).unwrap_or(cut.len());
    format!("{} …", cut[..end].trim_end())
}

#[cfg(test)]
mod tests {
    use super::brief;

    #[test]
    fn long_words_end_with_a_sentence() {
        assert_eq!(brief("Short."), "Short.");
        let long = format!("A first sentence that is kept. {}", "and so on ".repeat(30));
        assert_eq!(brief(&long), "A first sentence that is kept. …");
    }
}
