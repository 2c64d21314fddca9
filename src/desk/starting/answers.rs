//! The form of answers: what is asked, and what comes of it.

use egui::{ScrollArea, Ui};

use super::most_height;
use crate::desk::dialogs::Answer;
use crate::desk::panels::{Fields, line, strong, weak, worded};
use crate::layout::{OutletKind, StrengthClass, SupportKind};
use crate::outset::{Answers, BEGINNINGS, CisternFor, Draw, Heating, Refusal, Winter, set_out};
use crate::rules::Profile;

const STOREYS: [(u32, &str); 3] = [(0, "ground floor"), (1, "first floor"), (2, "second floor")];
/// More than this of one outlet on one storey is no house.
const MOST_ALIKE: usize = 3;

/// The answers as they stand in the form, and why they do not fit.
#[derive(Default)]
pub struct AnswersForm {
    answers: Answers,
    fields: Fields,
    refusal: Option<Refusal>,
}

impl AnswersForm {
    /// Shows the form; a layout, once one fits.
    pub fn ui(&mut self, ui: &mut Ui, profile: &Profile) -> Option<Answer> {
        ui.horizontal_wrapped(|ui| {
            ui.label("Begin like a");
            for beginning in BEGINNINGS {
                if ui.button(worded(ui, beginning.name)).on_hover_text(worded(ui, beginning.about)).clicked() {
                    self.take((beginning.answers)());
                }
            }
        });
        ui.add_space(4.0);
        let most = most_height(ui) - if self.refusal.is_some() { 150.0 } else { 0.0 };
        ScrollArea::vertical()
            .id_salt("answers")
            .max_height(most.max(120.0))
            .min_scrolled_height(most.max(120.0))
            .auto_shrink([false, true])
            .show(ui, |ui| {
                ui.columns(2, |columns| {
                    self.house(&mut columns[0]);
                    self.loft(&mut columns[1]);
                });
            });
        if self.fields.changed.take().is_some() {
            self.refusal = None;
        }
        let mut answer = None;
        ui.add_space(6.0);
        if let Some(refusal) = &self.refusal {
            refused(ui, refusal);
        }
        let mut taken = None;
        ui.horizontal(|ui| {
            let draw = ui.button("Draw the system").on_hover_text("Draw a whole system from these answers");
            if draw.clicked() && !self.fields.show_refused() {
                match set_out(&self.answers, profile) {
                    Ok(layout) => answer = Some(Answer::TakeLayout(Box::new(layout))),
                    Err(refusal) => self.refusal = Some(refusal),
                }
            }
            let would_do = self.refusal.as_ref().and_then(|refusal| refusal.would_do.clone());
            if let Some(answers) = would_do {
                let take = ui.button("Take the first way out of each");
                if take.on_hover_text("Changes the answers so that it fits").clicked() {
                    taken = Some(*answers);
                }
            }
        });
        if let Some(answers) = taken {
            self.take(answers);
        }
        answer
    }

    fn take(&mut self, answers: Answers) {
        self.answers = answers;
        self.fields.clear();
        self.refusal = None;
    }

    fn house(&mut self, ui: &mut Ui) {
        let Self { answers, fields, .. } = self;
        ui.strong("The household");
        fields.quantity(ui, "Bedrooms", &mut answers.bedrooms);
        fields.one_of(ui, "Storeys", &mut answers.storeys, &[(1, "one"), (2, "two"), (3, "three")]);
        let storeys = usize::try_from(answers.storeys).unwrap_or(1).min(STOREYS.len());
        fields.one_of(ui, "Cold taps from", &mut answers.cold_taps, &CisternFor::ALL.map(|from| (from, from.words())));
        fields.quantity(ui, "Main", &mut answers.mains_pressure);
        fields.one_of(ui, "In winter", &mut answers.winter, &Winter::ALL.map(|winter| (winter, winter.words())));
        ui.add_space(6.0);
        ui.strong("Where water is drawn");
        for (storey, floor) in STOREYS.iter().take(storeys).rev() {
            ui.weak(*floor);
            for kind in Answers::KINDS {
                outlets(ui, fields, answers, kind, (*storey, floor));
            }
        }
        ui.add_space(6.0);
        strong(ui, "The cylinder");
        fields.one_of(ui, "Heated", &mut answers.cylinder.heated, &Heating::ALL.map(|by| (by, by.words())));
        let sizes = &crate::catalogue::cylinders().sizes;
        let words: Vec<(Option<String>, String)> = std::iter::once((None, "chosen for the household".to_owned()))
            .chain(sizes.iter().map(|size| {
                let words = format!("reference {}, {} L", size.reference, size.indirect.to_litres());
                (Some(size.reference.clone()), words)
            }))
            .collect();
        let mut chosen = words.iter().position(|(size, _)| *size == answers.cylinder.size).unwrap_or(0);
        let offered: Vec<(usize, &str)> = words.iter().map(|(_, words)| words.as_str()).enumerate().collect();
        fields.one_of(ui, "Size", &mut chosen, &offered);
        answers.cylinder.size.clone_from(&words[chosen].0);
        fields.one_of(ui, "It stands on the", &mut answers.cylinder.storey, &STOREYS[..storeys]);
    }

    fn loft(&mut self, ui: &mut Ui) {
        let Self { answers, fields, .. } = self;
        ui.strong("The loft");
        weak(ui, "Up from the top of the joists");
        fields.quantity(ui, "Ridge", &mut answers.loft.ridge);
        fields.quantity(ui, "Eaves", &mut answers.loft.eaves);
        fields.quantity(ui, "House width", &mut answers.loft.width);
        fields.quantity(ui, "Hatch one way", &mut answers.loft.hatch_length);
        fields.quantity(ui, "Hatch other way", &mut answers.loft.hatch_width);
        ui.add_space(6.0);
        strong(ui, "The joists");
        let kinds = [(SupportKind::Joist, "solid joists"), (SupportKind::TrussedRafter, "trussed rafters")];
        fields.one_of(ui, "They are", &mut answers.joists.kind, &kinds);
        fields.quantity(ui, "Spacing", &mut answers.joists.spacing);
        fields.quantity(ui, "Thickness", &mut answers.joists.breadth);
        fields.quantity(ui, "Depth", &mut answers.joists.depth);
        fields.quantity(ui, "Span", &mut answers.joists.span);
        let grades = StrengthClass::ALL.map(|class| (class, class.words()));
        fields.one_of(ui, "Class", &mut answers.joists.grade, &grades);
        fields.optional_or(ui, "Confirmed load", &mut answers.joists.confirmed_load, "nobody yet");
        weak(ui, "What a competent person says that they carry.");
    }
}

/// How many outlets of a kind there are on a storey.
fn outlets(ui: &mut Ui, fields: &mut Fields, answers: &mut Answers, kind: OutletKind, (storey, floor): (u32, &str)) {
    let is_it = |draw: &Draw| draw.kind == kind && draw.storey == storey;
    let now = answers.outlets.iter().filter(|draw| is_it(draw)).count();
    let mut wanted = now;
    // The heading above names the floor in full; there is no room for that in each line.
    let name = format!("{}, {}", crate::finding::capital(kind.words()), floor.trim_end_matches(" floor"));
    let counts: Vec<(usize, &str)> = ["none", "1", "2", "3"].into_iter().enumerate().take(MOST_ALIKE + 1).collect();
    fields.one_of(ui, &name, &mut wanted, &counts);
    if wanted < now {
        let mut kept = 0;
        answers.outlets.retain(|draw| {
            kept += usize::from(is_it(draw));
            !is_it(draw) || kept <= wanted
        });
    }
    answers.outlets.extend((now..wanted).map(|_| Draw { kind, storey }));
}

/// Why they do not fit.
fn refused(ui: &mut Ui, refusal: &Refusal) {
    ui.strong("This does not fit");
    ScrollArea::vertical()
        .id_salt("refusal")
        .max_height(130.0)
        .min_scrolled_height(130.0)
        .auto_shrink([false, true])
        .show(ui, |ui| {
            for reason in &refusal.reasons {
                line(ui, &reason.words);
                for (number, way) in reason.ways_out.iter().enumerate() {
                    let lead = if number == 0 { "It fits with" } else { "Or with" };
                    line(ui, format!("    {lead} {}", way.words));
                }
            }
        });
}
