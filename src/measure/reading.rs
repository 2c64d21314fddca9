//! A reading: what was measured, how well, where, and by what working.

use super::Place;
use crate::layout::Id;
use crate::units::{Amount, Measured, Unit};

/// A tee is written to a tenth of a millimetre: what is set at a corner lies up to half as much beside it. What falls or
/// rises by no more than this is level.
pub(super) const WRITTEN_WITHIN_MM: f64 = 0.05;

/// A distance to the tenth of a millimetre to which it is written.
pub(super) fn as_written_mm(mm: f64) -> f64 {
    let steps_in_a_mm = 0.5 / WRITTEN_WITHIN_MM;
    (mm * steps_in_a_mm).round() / steps_in_a_mm
}

/// One thing measured on one place of a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Whom it is about; the subject first, then whatever else took part.
    pub parts: Vec<Id>,
    /// How many of the parts, from the first, are the subject together: one, but for a group.
    pub subjects: usize,
    /// What is there.
    pub have: Have,
    /// What a limit scales with, in the unit that the rule expects (a head, a capacity, a diameter).
    pub against: Option<Measured>,
    /// The covariance of what is there with what the limit scales with: other than 0 where one measurement is in both.
    pub covariance: f64,
    /// The places between which it was measured; the first two carry the dimension line.
    pub places: Vec<Place>,
    /// Which way the dimension line runs.
    pub axis: Axis,
    /// Formula, values put in, result; one line each.
    pub working: Vec<String>,
    /// Which side it is about ("left"), where a part has several that are measured alike.
    pub side: Option<&'static str>,
    /// What is left to find out, where it is read off a part only of what it is about. What that part decides is decided.
    pub rest: Option<Rest>,
    /// Room for what may be moved to put it right, mm, as far as that is drawn.
    pub rooms: Vec<(Room, f64)>,
    /// Of litres up to a level: at most so many go with each millimetre that it comes down.
    pub litres_per_mm: Option<f64>,
    /// What brings the water, where one thing alone does and a remedy hangs on it.
    pub brought_by: Option<BroughtBy>,
}

/// What brings water to a float valve, or to one side at least of a mixer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BroughtBy {
    /// The main.
    Main,
    /// A cistern higher up.
    StoredWater,
}

/// What is left to find out beside a part that is told.
#[derive(Debug, Clone, PartialEq)]
pub enum Rest {
    /// It may break what the part keeps: the narrowest of several pipes.
    MayBreak(String),
    /// It may keep what the part breaks: the fastest of several heaters.
    MayKeep(String),
    /// It may break what the part keeps, and is at worst as this reading has it: bare wherever nobody has told.
    AtWorst(String, Box<Reading>),
}

impl Rest {
    fn find_out(&self) -> &str {
        match self {
            Self::MayBreak(find_out) | Self::MayKeep(find_out) | Self::AtWorst(find_out, _) => find_out,
        }
    }
}

/// What is there.
#[derive(Debug, Clone, PartialEq)]
pub enum Have {
    /// A number.
    Amount(Measured, Unit),
    /// One of several things, in words.
    Choice(&'static str),
    /// It is as asked; said in words ("a gate valve").
    Yes(&'static str),
    /// It is not as asked; said in words ("no gate valve").
    No(&'static str),
    /// Nobody has told; says what to find out ("measure the water line").
    Untold(String),
}

/// A length or level in mm as a working writes it: rounded as it is shown elsewhere, whatever sums of fractions leave.
pub(super) fn written_mm(mm: f64) -> String {
    Amount::mm(mm).digits()
}

/// The same always to the tenth of a millimetre: a hair below nothing is nothing, and has no sign.
pub(super) fn tenths_mm(mm: f64) -> String {
    let is_nothing = mm.abs() < 0.05;
    format!("{:.1}", if is_nothing { 0.0 } else { mm })
}

/// The working of a difference in mm: the name of each of the two, and how it is written.
pub(super) fn difference(upper: (&str, String), lower: (&str, String), is: Measured) -> String {
    format!("{} {} − {} {} = {} mm", upper.0, upper.1, lower.0, lower.1, tenths_mm(is.value))
}

/// A place in whole millimetres: a hair below nothing is nothing, and has no sign.
#[must_use]
pub fn whole_mm(mm: f64) -> String {
    let is_nothing = mm.abs() < 0.5;
    format!("{:.0}", if is_nothing { 0.0 } else { mm })
}

/// Which way a dimension line runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Between two levels.
    Upright,
    /// Between two distances along the section.
    Level,
    /// Along a pipe.
    Along,
    /// There is nothing to draw between.
    None,
}

/// Room that something can be moved into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// Above what is raised.
    Above,
    /// Below what is lowered.
    Below,
    /// What the opposite side has, measured alike.
    Opposite,
    /// Between a water line and the holes that the water has to cover.
    Water,
    /// Above the upper of two places, where that alone is raised: a hole, a float valve, a water line.
    Rise,
    /// Below the lower of two places, where that alone is lowered.
    Sink,
    /// As far as something else has to be moved, where that may do as well.
    Instead,
    /// What the reading is once that has been moved.
    Then,
}

impl Reading {
    /// A number measured between places.
    #[must_use]
    pub fn amount(subject: &Id, value: Measured, unit: Unit) -> Self {
        Self::with(subject, Have::Amount(value, unit))
    }

    /// A length in mm measured between places.
    #[must_use]
    pub fn mm(subject: &Id, value: Measured) -> Self {
        Self::amount(subject, value, Unit::Millimetre)
    }

    /// Something that is as asked, or is not; where nobody has told, what to find out.
    #[must_use]
    pub fn fact<F: Into<String>>(subject: &Id, holds: Result<bool, F>, yes: &'static str, no: &'static str) -> Self {
        match holds {
            Ok(true) => Self::yes(subject, yes),
            Ok(false) => Self::no(subject, no),
            Err(find_out) => Self::untold(subject, find_out),
        }
    }

    /// Something that is as asked.
    #[must_use]
    pub fn yes(subject: &Id, words: &'static str) -> Self {
        Self::with(subject, Have::Yes(words))
    }

    /// Something that is not as asked, or should be there to be measured and is not.
    #[must_use]
    pub fn no(subject: &Id, words: &'static str) -> Self {
        Self::with(subject, Have::No(words))
    }

    /// One of several things; where nobody has told which, what to find out.
    #[must_use]
    pub fn choice<F: Into<String>>(subject: &Id, words: Result<&'static str, F>) -> Self {
        match words {
            Ok(words) => Self::with(subject, Have::Choice(words)),
            Err(find_out) => Self::untold(subject, find_out),
        }
    }

    /// Something nobody has told.
    #[must_use]
    pub fn untold(subject: &Id, find_out: impl Into<String>) -> Self {
        Self::with(subject, Have::Untold(find_out.into()))
    }

    fn with(subject: &Id, have: Have) -> Self {
        Self {
            parts: vec![subject.clone()],
            subjects: 1,
            have,
            against: None,
            covariance: 0.0,
            places: vec![Place::middle(subject)],
            axis: Axis::None,
            working: Vec::new(),
            side: None,
            rest: None,
            rooms: Vec::new(),
            litres_per_mm: None,
            brought_by: None,
        }
    }

    /// Names the places, and the way the dimension line runs between the first two; the lower first, where it is upright.
    #[must_use]
    pub fn between(mut self, axis: Axis, places: impl IntoIterator<Item = Place>) -> Self {
        self.axis = axis;
        self.places = places.into_iter().collect();
        self
    }

    /// Names one place.
    #[must_use]
    pub fn at(self, place: Place) -> Self {
        self.between(Axis::None, [place])
    }

    /// Names other parts that took part.
    #[must_use]
    pub fn along_with<'a>(mut self, others: impl IntoIterator<Item = &'a Id>) -> Self {
        for other in others {
            if !self.parts.contains(other) {
                self.parts.push(other.clone());
            }
        }
        self
    }

    /// Names all members of the group that it is about, in place of the subject alone. Comes before other parts.
    #[must_use]
    pub fn about_all<'a>(mut self, group: impl IntoIterator<Item = &'a Id>) -> Self {
        self.parts = group.into_iter().cloned().collect();
        self.subjects = self.parts.len();
        self
    }

    /// What the limit scales with.
    #[must_use]
    pub const fn against(mut self, value: Measured) -> Self {
        self.against = Some(value);
        self
    }

    /// What the limit scales with, where a measurement in it is in what is there as well, with the other sign.
    #[must_use]
    pub const fn against_sharing(mut self, value: Measured, shared: Measured) -> Self {
        self.against = Some(value);
        self.covariance = -shared.variance;
        self
    }

    /// Names the side that it is about.
    #[must_use]
    pub const fn on_side(mut self, side: &'static str) -> Self {
        self.side = Some(side);
        self
    }

    /// Says what to find out of the rest, where only a part of what it is about is told: the rest may break it as well. What
    /// was to be found out before goes first.
    #[must_use]
    pub fn but_for(mut self, rest: Option<String>) -> Self {
        self.rest = self.rest.or_else(|| rest.map(Rest::MayBreak));
        self
    }

    /// The same, where the rest may keep what the part breaks.
    #[must_use]
    pub fn unless(mut self, rest: Option<String>) -> Self {
        self.rest = self.rest.or_else(|| rest.map(Rest::MayKeep));
        self
    }

    /// The same, where the rest is at worst as another reading has it: what that keeps is kept.
    #[must_use]
    pub fn at_worst(mut self, rest: impl Into<String>, worst: Self) -> Self {
        self.rest = Some(Rest::AtWorst(rest.into(), Box::new(worst)));
        self
    }

    /// What to find out of the rest, where only a part is told.
    #[must_use]
    pub fn rest(&self) -> Option<&str> {
        self.rest.as_ref().map(Rest::find_out)
    }

    /// What is left of it where the part that is told does not decide.
    #[must_use]
    pub(crate) fn awaiting_the_rest(mut self) -> Self {
        if let Some(rest) = self.rest.take() {
            self.have = Have::Untold(rest.find_out().to_owned());
        }
        self
    }

    /// Tells what room there is to put it right, mm; nothing where that is not drawn.
    #[must_use]
    pub fn with_room(mut self, room: Room, mm: Option<f64>) -> Self {
        self.rooms.extend(mm.map(|mm| (room, mm)));
        self
    }

    /// Tells how many litres at most go with each millimetre that a level comes down.
    #[must_use]
    pub(super) const fn with_litres_per_mm(mut self, litres_per_mm: Option<f64>) -> Self {
        self.litres_per_mm = litres_per_mm;
        self
    }

    /// Tells what brings the water, where one thing alone does.
    #[must_use]
    pub(crate) const fn brought_by(mut self, brought_by: Option<BroughtBy>) -> Self {
        self.brought_by = brought_by;
        self
    }

    /// Tells that there is no more room than so much, mm.
    pub(crate) fn leave_room(&mut self, room: Room, mm: f64) {
        let least_mm = self.room_mm(room).map_or(mm, |has_mm| has_mm.min(mm));
        self.rooms.retain(|(other, _)| *other != room);
        self.rooms.push((room, least_mm));
    }

    /// What room there is, mm.
    #[must_use]
    pub fn room_mm(&self, wanted: Room) -> Option<f64> {
        self.rooms.iter().find(|(room, _)| *room == wanted).map(|(_, mm)| *mm)
    }

    /// Adds a line of working.
    #[must_use]
    pub fn working(mut self, line: impl Into<String>) -> Self {
        self.working.push(line.into());
        self
    }

    /// Adds lines of working.
    #[must_use]
    pub fn workings<S: Into<String>>(mut self, lines: impl IntoIterator<Item = S>) -> Self {
        self.working.extend(lines.into_iter().map(Into::into));
        self
    }
}
