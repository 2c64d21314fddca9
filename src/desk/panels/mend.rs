//! Mend: what would put it right, step by step in words with numbers; each taken, refused, or all taken at once.

use egui::{Button, Frame, Label, Margin, Response, RichText, ScrollArea, Stroke, Ui, UiBuilder, vec2};

use super::words::{capital, coloured, line, strong, weak, worded};
use crate::desk::mending::{MendAnswer, MendAsk, MendLook, MendView, Mending, Scope};
use crate::desk::naming::Name;
use crate::desk::theme::Palette;
use crate::desk::{Action, Outlook};
use crate::finding::FindingKey;
use crate::layout::{Edit, Lock};
use crate::mend::{Alternative, Consent, Outcome, Proposal, edits_of};
use crate::rules::{Verdict, Voice, rule};
use crate::session::Session;

/// Shows the panel, and asks for what is taken and refused.
pub fn ui(
    ui: &mut Ui,
    session: &Session,
    outlook: &Outlook,
    mending: &Mending,
    look: &MendLook,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.heading(Name::Mend.said(outlook.voice));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Close").on_hover_text("Back to the findings (Esc)").clicked() {
                actions.push(Action::Mend(MendAsk::Close));
            }
        });
    });
    scopes(ui, session, outlook, look, actions);
    showing(ui, look, actions);
    ui.separator();
    let Some(found) = mending.found() else {
        looking(ui, "Looking for the smallest changes…", actions);
        return;
    };
    let (voice, palette, is_fresh) = (outlook.voice, Palette::of(ui.visuals()), found.is_fresh(session));
    let mut answer = Answer { session, look, voice, palette, found, is_fresh, actions };
    answer.outcome(ui);
    let mut pointed = None;
    ScrollArea::vertical().id_salt("mend").auto_shrink(false).show(ui, |ui| {
        for (number, proposal) in found.report.proposals.iter().enumerate() {
            if answer.proposal(ui, number, proposal) {
                pointed = Some(number);
            }
        }
        if !found.alternatives.is_empty() {
            ui.add_space(6.0);
            strong(ui, "Other ways, to choose instead");
        }
        for (place, way) in found.alternatives.iter().enumerate() {
            if answer.alternative(ui, place, way) {
                pointed = Some(found.report.proposals.len() + place);
            }
        }
        answer.what_stays(ui);
    });
    let was = look.pointed;
    if pointed != was && (pointed.is_some() || ui.ui_contains_pointer()) {
        actions.push(Action::Mend(MendAsk::Point(pointed)));
    }
}

/// That a search is under way, and a way to end it.
fn looking(ui: &mut Ui, words: &str, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        ui.spinner();
        ui.label(words);
        if ui.button("Stop searching").on_hover_text("What was found by then is shown").clicked() {
            actions.push(Action::Mend(MendAsk::GiveUp));
        }
    });
}

/// What is mended: everything, the chosen finding, the selected part; as far as something of it is broken.
fn scopes(ui: &mut Ui, session: &Session, outlook: &Outlook, look: &MendLook, actions: &mut Vec<Action>) {
    let mut choices = vec![("Everything".to_owned(), Scope::All)];
    let chosen = match &look.scope {
        Scope::Finding(key) => Some(key.clone()),
        _ => outlook.chosen.clone(),
    };
    choices.extend(chosen.map(|key| (title(&key, outlook.voice), Scope::Finding(key))));
    let selected = match &look.scope {
        Scope::Parts(ids) => ids.clone(),
        _ => outlook.selection(),
    };
    match selected.as_slice() {
        [] => {}
        [id] => choices.push((worded(ui, &capital(id.spoken())), Scope::Parts(selected.clone()))),
        many => choices.push((format!("{} parts", many.len()), Scope::Parts(selected.clone()))),
    }
    choices.retain(|(_, scope)| look.scope == *scope || scope.is_broken(session));
    ui.horizontal_wrapped(|ui| {
        for (name, scope) in choices {
            let is_it = look.scope == scope;
            let button = ui.add(Button::selectable(is_it, &name).frame_when_inactive(true).truncate());
            if button.on_hover_text(format!("Mend: {name}")).clicked() && !is_it {
                actions.push(Action::Mend(MendAsk::Begin(scope)));
            }
        }
    });
}

fn showing(ui: &mut Ui, look: &MendLook, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Drawing:");
        for choice in MendView::ALL {
            let button = Button::selectable(look.showing == choice, choice.words()).frame_when_inactive(true);
            let tip = match choice {
                MendView::AsDrawn => "The drawing as it is, without what would change",
                MendView::Both => "What would change in dashes over the drawing as it is",
                MendView::AsMended => "The drawing as it would be",
            };
            if ui.add(button).on_hover_text(tip).clicked() {
                actions.push(Action::Mend(MendAsk::Show(choice)));
            }
        }
    });
}

/// What was found, and where what is asked for is put.
struct Answer<'a> {
    session: &'a Session,
    look: &'a MendLook,
    voice: Voice,
    palette: Palette,
    found: &'a MendAnswer,
    is_fresh: bool,
    actions: &'a mut Vec<Action>,
}

impl Answer<'_> {
    /// How it ended, and the buttons that take several at once.
    fn outcome(&mut self, ui: &mut Ui) {
        let report = &self.found.report;
        let (before, after) = (report.before.counts().breach, report.after.counts().breach);
        let colour = match report.outcome {
            Outcome::NothingToDo | Outcome::Mended => self.palette.met,
            Outcome::CannotHold => self.palette.red_pencil,
            Outcome::GaveUp => self.palette.grey_pencil,
        };
        let ended = capital(report.outcome.words());
        coloured(ui, format!("{ended}: {before} breached now, {after} with all of this taken."), colour);
        report.outcome.advice().iter().for_each(|advice| weak(ui, *advice));
        if !self.is_fresh {
            looking(ui, "Of a moment ago; looking again…", self.actions);
        }
        ui.horizontal_wrapped(|ui| {
            let all: Vec<usize> = (0..report.proposals.len()).collect();
            for (name, numbers) in [("Take all", &all), ("Take all that is safe", &self.found.taking.safe)] {
                let edits = self.edits_of(numbers).filter(|_| !numbers.is_empty());
                let label = match numbers.len() {
                    1 => "Mend by 1 change".to_owned(),
                    many => format!("Mend by {many} changes"),
                };
                self.taking(ui, name, edits, label);
            }
            if !self.look.refused.is_empty() && ui.button("Offer what was refused again").clicked() {
                self.actions.push(Action::Mend(MendAsk::OfferAgain));
            }
        });
    }

    /// What taking some of the proposals edits; none where they cannot be taken together.
    fn edits_of(&self, numbers: &[usize]) -> Option<Vec<Edit>> {
        edits_of(&self.found.report.proposals, numbers, &self.found.layout).map(|(edits, _)| edits)
    }

    /// A button that takes some edits, if there are any and they still fit.
    fn taking(&mut self, ui: &mut Ui, name: &str, edits: Option<Vec<Edit>>, label: String) -> Response {
        let button = ui.add_enabled(self.is_fresh && edits.is_some(), Button::new(name));
        if button.clicked()
            && let Some(edits) = edits
        {
            self.take(label, edits);
        }
        button
    }

    fn take(&mut self, label: String, edits: Vec<Edit>) {
        if !self.session.in_gesture() {
            self.actions.push(Action::Edit { label, edits });
        }
    }

    /// Shows a proposal; whether it is pointed at.
    fn proposal(&mut self, ui: &mut Ui, number: usize, proposal: &Proposal) -> bool {
        let name = number + 1;
        let with = &self.found.taking.with[number];
        self.framed(ui, number, |answer, ui| {
            answer.heading(ui, &format!("{name}"), proposal.consent);
            for words in &proposal.words {
                line(ui, words.as_str());
            }
            clears(ui, &proposal.clears, answer.voice);
            if with.len() > 1 {
                let others: Vec<String> = with[..with.len() - 1].iter().map(|other| (other + 1).to_string()).collect();
                weak(ui, format!("Takes {} with it.", others.join(", ")));
            }
            ui.horizontal(|ui| {
                let words = worded(ui, &proposal.words.join(", "));
                let label = format!("Mend: {}", proposal.words.first().map_or("", String::as_str));
                let button = answer.taking(ui, "Take", answer.edits_of(with), label);
                let button = button.on_hover_text("One step of history; Undo takes it back");
                named(&button, format!("Take {name}: {words}"));
                let refuse = ui.button("Refuse").on_hover_text("Look for another way that leaves this as it is");
                named(&refuse, format!("Refuse {name}: {words}"));
                if refuse.clicked() {
                    let refused = proposal.steps.iter().map(crate::mend::Step::refused).collect();
                    answer.actions.push(Action::Mend(MendAsk::Refuse(refused)));
                }
            });
        })
    }

    /// Shows another way; whether it is pointed at.
    fn alternative(&mut self, ui: &mut Ui, place: usize, way: &Alternative) -> bool {
        let letter = char::from(b'A' + u8::try_from(place).unwrap_or(25).min(25));
        self.framed(ui, self.found.report.proposals.len() + place, |answer, ui| {
            answer.heading(ui, &letter.to_string(), way.consent);
            for words in way.words() {
                line(ui, words);
            }
            clears(ui, &way.clears, answer.voice);
            if !way.leaves.is_empty() {
                let leaves = titles(&way.leaves, answer.voice);
                coloured(ui, format!("Then to settle: {leaves}"), answer.palette.grey_pencil);
            }
            let label = format!("Mend: {}", way.words().next().unwrap_or_default());
            let button = answer.taking(ui, "Choose", way.edits(answer.session.layout()), label);
            let words = worded(ui, &way.words().collect::<Vec<_>>().join(", "));
            named(&button, format!("Choose {letter}: {words}"));
        })
    }

    fn heading(&self, ui: &mut Ui, name: &str, consent: Consent) {
        let colour = match consent {
            Consent::Safe => self.palette.met,
            Consent::NeedsDecision => self.palette.guide,
            Consent::ShowOnly => self.palette.grey_pencil,
        };
        let words = RichText::new(format!("{name} · {}", consent.words())).color(colour).strong();
        ui.add(Label::new(words).wrap());
    }

    /// A frame around what belongs to one number; whether it is pointed at.
    fn framed(&mut self, ui: &mut Ui, number: usize, contents: impl FnOnce(&mut Self, &mut Ui)) -> bool {
        let edge = if self.look.pointed == Some(number) {
            Stroke::new(2.0, self.palette.guide)
        } else {
            Stroke::new(1.0, self.palette.faint.gamma_multiply(0.35))
        };
        let frame = Frame::NONE.inner_margin(Margin::symmetric(8, 6)).stroke(edge).corner_radius(3.0);
        let inner = ui.scope_builder(UiBuilder::new().id_salt(("mend", number)), |ui| {
            frame.show(ui, |ui| {
                ui.set_width(ui.available_width());
                contents(self, ui);
            })
        });
        ui.add_space(2.0);
        let rect = inner.response.rect;
        ui.rect_contains_pointer(rect.expand2(vec2(0.0, 2.0)))
    }

    /// What is not mended, each with the reason.
    fn what_stays(&mut self, ui: &mut Ui) {
        let report = &self.found.report;
        if !report.left.is_empty() {
            ui.add_space(6.0);
            strong(ui, "What stays");
        }
        for key in &report.left {
            let (verdict, title) = (Verdict::Breach.said(self.voice), title(key, self.voice));
            coloured(ui, format!("{verdict}: {title}"), self.palette.red_pencil);
            line(ui, capital(report.why_left(key)));
            if let Some(conflict) = report.conflicts.iter().find(|conflict| conflict.wanted == *key) {
                for relaxation in conflict.cheapest() {
                    weak(ui, format!("• {}", relaxation.words()));
                    if let Some(lock) = relaxation.lock() {
                        self.let_go(ui, lock);
                    }
                }
            }
        }
    }

    /// Lets a dimension go that is in the way; what is mended then is worked out by itself.
    fn let_go(&mut self, ui: &mut Ui, lock: &Lock) {
        let button = ui.button("Let it go").on_hover_text("One step of history; Undo holds it again");
        let words = worded(ui, &lock.words());
        named(&button, format!("Let go {words}"));
        if button.clicked() {
            self.take(format!("Let go {}", lock.words()), vec![Edit::LetGo(lock.clone())]);
        }
    }
}

fn named(response: &Response, name: String) {
    let enabled = response.enabled();
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, enabled, &name));
}

fn clears(ui: &mut Ui, keys: &[FindingKey], voice: Voice) {
    if !keys.is_empty() {
        weak(ui, format!("Clears: {}", titles(keys, voice)));
    }
}

/// The titles of rules, each once.
fn titles(keys: &[FindingKey], voice: Voice) -> String {
    let mut titles: Vec<String> = keys.iter().map(|key| title(key, voice)).collect();
    titles.dedup();
    titles.join(", ")
}

fn title(key: &FindingKey, voice: Voice) -> String {
    rule(key.rule).map_or_else(|| key.rule.to_owned(), |rule| rule.prose.title(voice).to_owned())
}
