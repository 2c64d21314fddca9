//! Mend: what would put it right, step by step in words with numbers; each taken, refused, or all taken at once.

use egui::{Button, Frame, Label, Margin, RichText, ScrollArea, Stroke, Ui, UiBuilder, vec2};

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
    let palette = Palette::of(ui.visuals());
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
    let fresh = found.is_fresh(session);
    outcome(ui, session, found, look, palette, actions);
    let mut pointed = None;
    ScrollArea::vertical().id_salt("mend").auto_shrink(false).show(ui, |ui| {
        for (number, proposal) in found.report.proposals.iter().enumerate() {
            let row = Row { number, look, voice: outlook.voice, palette, fresh };
            if row.proposal(ui, session, found, proposal, actions) {
                pointed = Some(number);
            }
        }
        if !found.alternatives.is_empty() {
            ui.add_space(6.0);
            strong(ui, "Other ways, to choose instead");
        }
        for (place, way) in found.alternatives.iter().enumerate() {
            let number = found.report.proposals.len() + place;
            let row = Row { number, look, voice: outlook.voice, palette, fresh };
            if row.alternative(ui, session, place, way, actions) {
                pointed = Some(number);
            }
        }
        what_stays(ui, session, found, outlook.voice, palette, actions);
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

/// How it ended, and the buttons that take several at once.
fn outcome(
    ui: &mut Ui,
    session: &Session,
    found: &MendAnswer,
    look: &MendLook,
    palette: Palette,
    actions: &mut Vec<Action>,
) {
    let (report, fresh) = (&found.report, found.is_fresh(session));
    let (before, after) = (report.before.counts().breach, report.after.counts().breach);
    let colour = match report.outcome {
        Outcome::NothingToDo | Outcome::Mended => palette.met,
        Outcome::CannotHold => palette.red_pencil,
        Outcome::GaveUp => palette.grey_pencil,
    };
    coloured(
        ui,
        format!("{}: {before} breached now, {after} with all of this taken.", capital(report.outcome.words())),
        colour,
    );
    report.outcome.advice().iter().for_each(|advice| weak(ui, *advice));
    if !fresh {
        looking(ui, "Of a moment ago; looking again…", actions);
    }
    ui.horizontal_wrapped(|ui| {
        let all: Vec<usize> = (0..report.proposals.len()).collect();
        let groups = [("Take all", all), ("Take all that is safe", found.taking.safe.clone())];
        for (name, numbers) in groups {
            let edits = edits_of(&report.proposals, &numbers, &found.layout).map(|(edits, _)| edits);
            let can = fresh && edits.is_some() && !numbers.is_empty();
            if ui.add_enabled(can, Button::new(name)).clicked()
                && let Some(edits) = edits
            {
                let label = match numbers.len() {
                    1 => "Mend by 1 change".to_owned(),
                    many => format!("Mend by {many} changes"),
                };
                take(session, label, edits, actions);
            }
        }
        if !look.refused.is_empty() && ui.button("Offer what was refused again").clicked() {
            actions.push(Action::Mend(MendAsk::OfferAgain));
        }
    });
}

fn take(session: &Session, label: String, edits: Vec<Edit>, actions: &mut Vec<Action>) {
    if !session.in_gesture() {
        actions.push(Action::Edit { label, edits });
    }
}

/// A proposal or an alternative as it stands in the list.
struct Row<'a> {
    number: usize,
    look: &'a MendLook,
    voice: Voice,
    palette: Palette,
    fresh: bool,
}

impl Row<'_> {
    /// Shows a proposal; whether it is pointed at.
    fn proposal(
        &self,
        ui: &mut Ui,
        session: &Session,
        found: &MendAnswer,
        proposal: &Proposal,
        actions: &mut Vec<Action>,
    ) -> bool {
        let name = self.number + 1;
        let with = &found.taking.with[self.number];
        self.framed(ui, |ui| {
            self.heading(ui, &format!("{name}"), proposal.consent);
            for words in &proposal.words {
                line(ui, words.as_str());
            }
            clears(ui, &proposal.clears, self.voice);
            if with.len() > 1 {
                let others: Vec<String> = with[..with.len() - 1].iter().map(|other| (other + 1).to_string()).collect();
                weak(ui, format!("Takes {} with it.", others.join(", ")));
            }
            ui.horizontal(|ui| {
                let edits = edits_of(&found.report.proposals, with, &found.layout).map(|(edits, _)| edits);
                let button = ui.add_enabled(self.fresh && edits.is_some(), Button::new("Take"));
                let button = button.on_hover_text("One step of history; Undo takes it back");
                let words = worded(ui, &proposal.words.join(", "));
                named(&button, format!("Take {name}: {words}"));
                if button.clicked()
                    && let Some(edits) = edits
                {
                    let label = format!("Mend: {}", proposal.words.first().map_or("", String::as_str));
                    take(session, label, edits, actions);
                }
                let refuse = ui.button("Refuse").on_hover_text("Look for another way that leaves this as it is");
                named(&refuse, format!("Refuse {name}: {words}"));
                if refuse.clicked() {
                    let refused = proposal.steps.iter().map(crate::mend::Step::refused).collect();
                    actions.push(Action::Mend(MendAsk::Refuse(refused)));
                }
            });
        })
    }

    /// Shows another way; whether it is pointed at.
    fn alternative(
        &self,
        ui: &mut Ui,
        session: &Session,
        place: usize,
        way: &Alternative,
        actions: &mut Vec<Action>,
    ) -> bool {
        let letter = char::from(b'A' + u8::try_from(place).unwrap_or(25).min(25));
        self.framed(ui, |ui| {
            self.heading(ui, &letter.to_string(), way.consent);
            for words in way.words() {
                line(ui, words);
            }
            clears(ui, &way.clears, self.voice);
            if !way.leaves.is_empty() {
                coloured(ui, format!("Then to settle: {}", titles(&way.leaves, self.voice)), self.palette.grey_pencil);
            }
            let edits = way.edits(session.layout());
            let button = ui.add_enabled(self.fresh && edits.is_some(), Button::new("Choose"));
            let words = worded(ui, &way.words().collect::<Vec<_>>().join(", "));
            named(&button, format!("Choose {letter}: {words}"));
            if button.clicked()
                && let Some(edits) = edits
            {
                take(session, format!("Mend: {}", way.words().next().unwrap_or_default()), edits, actions);
            }
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

    fn framed(&self, ui: &mut Ui, contents: impl FnOnce(&mut Ui)) -> bool {
        let is_pointed = self.look.pointed == Some(self.number);
        let edge = if is_pointed {
            Stroke::new(2.0, self.palette.guide)
        } else {
            Stroke::new(1.0, self.palette.faint.gamma_multiply(0.35))
        };
        let frame = Frame::NONE.inner_margin(Margin::symmetric(8, 6)).stroke(edge).corner_radius(3.0);
        let inner = ui.scope_builder(UiBuilder::new().id_salt(("mend", self.number)), |ui| {
            frame.show(ui, |ui| {
                ui.set_width(ui.available_width());
                contents(ui);
            })
        });
        ui.add_space(2.0);
        let rect = inner.response.rect;
        ui.rect_contains_pointer(rect.expand2(vec2(0.0, 2.0)))
    }
}

fn named(response: &egui::Response, name: String) {
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

/// What is not mended, each with the reason.
fn what_stays(
    ui: &mut Ui,
    session: &Session,
    found: &MendAnswer,
    voice: Voice,
    palette: Palette,
    actions: &mut Vec<Action>,
) {
    if !found.report.left.is_empty() {
        ui.add_space(6.0);
        strong(ui, "What stays");
    }
    for key in &found.report.left {
        coloured(ui, format!("{}: {}", Verdict::Breach.said(voice), title(key, voice)), palette.red_pencil);
        line(ui, capital(found.report.why_left(key)));
        if let Some(conflict) = found.report.conflicts.iter().find(|conflict| conflict.wanted == *key) {
            for relaxation in conflict.cheapest() {
                weak(ui, format!("• {}", relaxation.words()));
                if let Some(lock) = relaxation.lock() {
                    let_go(ui, session, lock, actions);
                }
            }
        }
    }
}

/// Lets a dimension go that is in the way; what is mended then is worked out by itself.
fn let_go(ui: &mut Ui, session: &Session, lock: &Lock, actions: &mut Vec<Action>) {
    let button = ui.button("Let it go").on_hover_text("One step of history; Undo holds it again");
    let words = worded(ui, &lock.words());
    named(&button, format!("Let go {words}"));
    if button.clicked() {
        take(session, format!("Let go {}", lock.words()), vec![Edit::LetGo(lock.clone())], actions);
    }
}
