//! An exercise under way: what is claimed, what was measured and hinted, and how it was marked.

use egui::{Align2, FontId, Ui, vec2};
use glam::DVec2;

use super::tape::Tape;
use crate::desk::canvas::View;
use crate::desk::theme::Palette;
use crate::layout::Id;
use crate::lesson::{Attempt, Claim, Exercise, Hint, Learner, Marks, Of, Repertoire, Wish, hints, mark};
use crate::session::Session;

/// An exercise under way.
pub struct Spot {
    /// The layout with the faults in it.
    pub session: Session,
    /// Its key; nothing of it is shown before the exercise is handed in.
    pub exercise: Exercise,
    /// What is claimed so far.
    pub claims: Vec<Claim>,
    /// The part of the claim that is being filled in.
    pub part: Option<Id>,
    /// The place of it, section mm.
    pub at: Option<DVec2>,
    /// The fault of it, by its place among the choices.
    pub choice: Option<usize>,
    /// The number of it, as it is typed.
    pub number: String,
    /// Hints that were taken.
    pub hints: Vec<Hint>,
    /// The tape.
    pub tape: Tape,
    /// Whether time is shown and kept.
    pub timed: bool,
    /// When it was first shown, s of the window's clock.
    begun_s: Option<f64>,
    /// How long it took, once it is handed in, s.
    pub took_s: Option<u32>,
    /// The marks, once it is handed in.
    pub marks: Option<Marks>,
}

impl Spot {
    /// Plants faults in the open layout, which stays as it is.
    pub(super) fn begin(open: &Session, of: &Of, wish: Wish, seed: u64, name: &str) -> Result<Self, String> {
        let words = |error: crate::lesson::PlantError| crate::finding::capital(error.to_string());
        let repertoire = Repertoire::of(open.layout(), open.profile(), of).map_err(words)?;
        let learner = Learner::new(seed, name);
        let planted = repertoire.plant(wish, learner.seed).map_err(words)?;
        let exercise = Exercise::of(&planted, &learner, &repertoire);
        let mut session = Session::new(planted.layout);
        session.choose_profile(open.chosen_profile().cloned());
        Ok(Self {
            session,
            exercise,
            claims: Vec::new(),
            part: None,
            at: None,
            choice: None,
            number: String::new(),
            hints: Vec::new(),
            tape: Tape::default(),
            timed: true,
            begun_s: None,
            took_s: None,
            marks: None,
        })
    }

    /// The drawing was clicked: the tape is held there, or the place is marked.
    pub(super) fn clicked(&mut self, at: DVec2, snapped: DVec2, part: Option<&Id>) {
        if self.marks.is_some() {
            return;
        }
        if self.tape.in_hand {
            self.tape.hold(snapped);
        } else {
            (self.at, self.part) = (Some(at), part.cloned());
        }
    }

    /// A part was chosen by keyboard or by name.
    pub(super) fn part_chosen(&mut self, part: Option<Id>) {
        if self.marks.is_none() && !self.tape.in_hand {
            (self.at, self.part) = (None, part);
        }
    }

    /// Whether what is filled in says where and what.
    #[must_use]
    pub const fn can_claim(&self) -> bool {
        (self.part.is_some() || self.at.is_some()) && self.choice.is_some()
    }

    pub(super) fn claim(&mut self) {
        let id = self.choice.and_then(|place| self.exercise.choices.get(place));
        let claim = Claim {
            part: self.part.take().map(|part| part.to_string()).unwrap_or_default(),
            at: self.at.take().map(|at| (at.x, at.y)),
            rule: id.and_then(|id| crate::rules::rule(id)).map(|rule| rule.id),
            number: std::mem::take(&mut self.number),
        };
        self.choice = None;
        self.claims.push(claim);
    }

    pub(super) fn take_back(&mut self, number: usize) {
        if number < self.claims.len() && self.marks.is_none() {
            self.claims.remove(number);
        }
    }

    /// The hints that can still be taken.
    #[must_use]
    pub fn hints_left(&self) -> usize {
        hints(&self.exercise).len() - self.hints.len()
    }

    pub(super) fn take_hint(&mut self) {
        let next = hints(&self.exercise).into_iter().find(|hint| !self.hints.contains(hint));
        self.hints.extend(next);
    }

    /// Time runs from the first frame that shows it: planting takes some, too.
    pub(super) const fn shown(&mut self, now_s: f64) {
        if self.begun_s.is_none() {
            self.begun_s = Some(now_s);
        }
    }

    /// Time since it was first shown, s.
    #[must_use]
    pub fn seconds(&self, now_s: f64) -> u32 {
        let begun_s = self.begun_s.unwrap_or(now_s);
        self.took_s.unwrap_or((now_s - begun_s).max(0.0) as u32)
    }

    pub(super) fn hand_in(&mut self, now_s: f64, day: &str) -> Attempt {
        let hints = i32::try_from(self.hints.len()).unwrap_or(i32::MAX);
        let marks = mark(&self.exercise, &self.claims, hints);
        self.took_s = self.timed.then(|| self.seconds(now_s));
        // What was never claimed is no longer of interest.
        (self.tape, self.part, self.at) = (Tape::default(), None, None);
        let title = &self.session.layout().heading.title;
        let attempt = Attempt::of(&self.exercise, title, &marks, day, self.took_s);
        self.marks = Some(marks);
        attempt
    }

    /// Paints the claims, the marked place and the tape over the drawing.
    pub(super) fn paint(&self, ui: &Ui, view: &View) {
        let palette = Palette::of(ui.visuals());
        let painter = ui.painter_at(view.rect);
        let ring = |at: DVec2, words: &str| {
            let at = view.screen_from_section(at);
            painter.circle_stroke(at, 11.0, egui::Stroke::new(2.0, palette.select));
            painter.text(
                at + vec2(14.0, -12.0),
                Align2::LEFT_CENTER,
                words,
                FontId::proportional(14.0),
                palette.select,
            );
        };
        for (number, claim) in self.claims.iter().enumerate() {
            if let Some((x, z)) = claim.at {
                ring(DVec2::new(x, z), &(number + 1).to_string());
            }
        }
        if let Some(at) = self.at {
            ring(at, "?");
        }
        self.tape.paint(&painter, view, palette);
    }
}
