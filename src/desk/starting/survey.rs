//! The form of a survey: what a tape has found, in the order in which one walks.

use egui::{Label, RichText, ScrollArea, TextEdit, Ui};

use super::most_height;
use crate::desk::dialogs::Answer;
use crate::desk::panels::{Fields, line, strong, weak, worded};
use crate::layout::TapeClass;
use crate::outset::{Asked, FOUND, Found, FoundField, surveyed};
use crate::units::Length;

/// What has been typed so far.
pub struct SurveyForm {
    tape: TapeClass,
    address: String,
    told: Vec<Option<Length>>,
    joists: Option<u32>,
    fields: Fields,
}

impl Default for SurveyForm {
    fn default() -> Self {
        Self {
            tape: TapeClass::II,
            address: String::new(),
            told: vec![None; FOUND.len()],
            joists: None,
            fields: Fields::default(),
        }
    }
}

impl SurveyForm {
    /// Shows the form; the layout, once it is wanted.
    pub fn ui(&mut self, ui: &mut Ui) -> Option<Answer> {
        line(ui, "Measure in this order. What is left empty stays not told, and is judged so.");
        let found = self.found();
        let (layout, left_out) = surveyed(&found);
        let kept = if left_out.is_empty() { 0.0 } else { 50.0 };
        let most = (most_height(ui) - kept).max(120.0);
        ScrollArea::vertical()
            .id_salt("survey")
            .max_height(most)
            .min_scrolled_height(most)
            .auto_shrink([false, true])
            .show(ui, |ui| {
                let tapes = [(TapeClass::I, "class I"), (TapeClass::II, "class II"), (TapeClass::III, "class III")];
                self.fields.one_of(ui, "Tape", &mut self.tape, &tapes);
                ui.horizontal(|ui| {
                    let label = ui.label("Address");
                    ui.add(TextEdit::singleline(&mut self.address).desired_width(f32::INFINITY)).labelled_by(label.id);
                });
                ui.columns(2, |columns| {
                    let mut place = "";
                    for (number, asked) in FOUND.iter().enumerate() {
                        let column = usize::from(asked.place == FOUND[FOUND.len() - 1].place);
                        let ui = &mut columns[column];
                        if asked.place != place {
                            place = asked.place;
                            ui.add_space(4.0);
                            strong(ui, place);
                        }
                        self.ask(ui, number, asked);
                    }
                });
            });
        self.fields.changed = None;
        ui.add_space(4.0);
        for words in &left_out {
            weak(ui, words);
        }
        let tip = worded(ui, "Draw what has been found; the rest stays unknown");
        let is_wanted = ui.button("Draw what was found").on_hover_text(tip).clicked() && !self.fields.show_refused();
        is_wanted.then(|| Answer::TakeLayout(Box::new(layout)))
    }

    fn ask(&mut self, ui: &mut Ui, number: usize, asked: &Asked) {
        match asked.field {
            FoundField::JoistCount => self.fields.optional(ui, asked.name, &mut self.joists),
            _ => self.fields.optional(ui, asked.name, &mut self.told[number]),
        }
        ui.add(Label::new(RichText::new(worded(ui, asked.how)).weak().small()).wrap());
    }

    fn found(&self) -> Found {
        let mut found = Found::by(self.tape);
        self.address.clone_into(&mut found.address);
        let told = FOUND.iter().zip(&self.told).filter_map(|(asked, told)| Some((asked.field, told.as_ref()?.to_mm())));
        let joists = self.joists.map(|count| (FoundField::JoistCount, f64::from(count)));
        told.chain(joists).fold(found, |found, (field, mm)| found.with(field, mm))
    }
}
