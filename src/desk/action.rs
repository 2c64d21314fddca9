//! What panels and canvas ask for. They change nothing themselves.

use std::path::PathBuf;

use glam::DVec2;

use super::mending::MendAsk;
use super::{Clipping, Command, FlowQuestion, Handing, LessonAction, Playing, Shown, Stock};
use crate::catalogue::{Insulant, TubeMaterial};
use crate::finding::{FindingKey, ToldOf};
use crate::layout::{Edit, Id, InLineKind, Layout, Part, Piece, Service};
use crate::rules::{Term, Verdict};
use crate::units::{Gradient, Size};

/// Something that a panel or the canvas asks for; `Desk` carries it out before the next frame is painted.
#[derive(Debug, Clone)]
pub enum Action {
    /// A command of the menu.
    Command(Command),
    /// Changes that make one step of history.
    Edit {
        /// What the step is called.
        label: String,
        /// The changes, in order.
        edits: Vec<Edit>,
    },
    /// Begins a drag that becomes one step.
    BeginGesture(String),
    /// The drag so far, as changes reckoned from its beginning.
    Gesture(Vec<Edit>),
    /// The drag is done.
    EndGesture,
    /// The drag is given up.
    CancelGesture,
    /// Moves the selected part by so many millimetres; a burst of them makes one step.
    Nudge(DVec2),
    /// Selects a part, or nothing.
    Select(Option<Id>),
    /// Selects several parts, the first of which the others are aligned with.
    SelectAll(Vec<Id>),
    /// Selects a piece of the building.
    SelectPiece(Piece),
    /// Chooses a fitting, by its number, in a run that is then selected.
    SelectFitting(Id, usize),
    /// Chooses a finding, or none.
    Choose(Option<FindingKey>),
    /// Shows where something is told of the building.
    Tell(ToldOf),
    /// The pointer is on a finding or its mark, or on none.
    Light(Option<FindingKey>),
    /// Takes up a tool.
    Take(Tool),
    /// The tube of the runs that are drawn next.
    Tube(Option<(TubeMaterial, Size)>),
    /// How the runs that are drawn next are clipped.
    Clip(Clipping),
    /// The fall of level stretches that are drawn next.
    Fall(Option<Gradient>),
    /// The insulation that is put on next.
    Insulate(Option<Size>, Option<Insulant>),
    /// Shows or hides the findings of a verdict.
    Show(Verdict, Shown),
    /// Says something in the status line.
    Say(String),
    /// Asks another question about the water.
    AskFlow(FlowQuestion),
    /// Plays a trial on, or holds it, or puts it at a share of its time.
    Play(Playing),
    /// Does something in a lesson.
    Lesson(LessonAction),
    /// Something of mending.
    Mend(MendAsk),
    /// Opens a file; asks first when there is unsaved work.
    OpenPath(PathBuf),
    /// Says what a word of the trade means.
    Explain(&'static Term),
    /// Saves under a path.
    SaveTo(PathBuf),
    /// Something of what is handed over.
    Hand(Handing),
}

/// What the pointer does on the canvas.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Tool {
    /// Selects and moves.
    #[default]
    Pick,
    /// Places a part.
    Place(Stock),
    /// Draws a pipe run.
    Pipe(Service),
    /// Insulates runs from press to release.
    Insulate,
    /// Bares runs from press to release.
    Bare,
    /// Puts a valve, drain cock or pump on a run.
    Fit(InLineKind),
    /// Measures from one feature to another.
    Tape,
}

/// Something that can be selected and moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Grip {
    /// A part of the system.
    Part(Id),
    /// Several parts, two or more.
    Group(Vec<Id>),
    /// A valve, drain cock or pump, by its number in a run.
    Fitting(Id, usize),
    /// A piece of the building.
    Piece(Piece),
}

impl Grip {
    /// Its name.
    #[must_use]
    pub fn name(&self, layout: &Layout) -> String {
        match self {
            Self::Part(id) => id.spoken(),
            Self::Group(ids) => format!("{} parts", ids.len()),
            Self::Fitting(id, number) => layout.fitting_name(id, *number),
            Self::Piece(piece) => layout.building.name(*piece),
        }
    }

    /// The change that moves it, and whatever stands on it. A fitting slides along its run.
    #[must_use]
    pub fn moved(&self, layout: &Layout, by: DVec2) -> Edit {
        match self {
            Self::Part(id) => layout.moved_together(std::slice::from_ref(id), by),
            Self::Group(ids) => layout.moved_together(ids, by),
            Self::Fitting(id, number) => {
                let slid = layout.with_fitting_slid(id, *number, by).map(|run| Edit::put(Part::Run(run)));
                slid.unwrap_or_else(|| layout.moved_together(&[], by))
            }
            Self::Piece(piece) => Edit::Building(Box::new(layout.building.with_moved(*piece, by))),
        }
    }

    /// The changes that take it away.
    #[must_use]
    pub fn removed(&self, layout: &Layout) -> Vec<Edit> {
        match self {
            Self::Part(id) => vec![Edit::Remove(id.clone())],
            Self::Group(ids) => layout.removed_together(ids),
            Self::Fitting(id, number) => {
                let left = layout.without_fitting(id, *number).map(|run| Edit::put(Part::Run(run)));
                left.into_iter().collect()
            }
            Self::Piece(piece) => vec![Edit::Building(Box::new(layout.building.without(*piece)))],
        }
    }

    /// Which ways it can be moved: 1 across or up where it can, 0 where it cannot.
    #[must_use]
    pub fn freedom(&self, layout: &Layout) -> DVec2 {
        match self {
            Self::Part(id) => layout.freedom(std::slice::from_ref(id)),
            Self::Group(ids) => layout.freedom(ids),
            Self::Fitting(id, number) => layout.way_of_fitting(id, *number),
            Self::Piece(piece) => piece.freedom(),
        }
    }

    /// What holds it, in words; empty when nothing does.
    #[must_use]
    pub fn holding_words(&self, layout: &Layout) -> String {
        match self {
            Self::Part(id) => layout.holding_words(std::slice::from_ref(id)),
            Self::Group(ids) => layout.holding_words(ids),
            Self::Fitting(..) | Self::Piece(_) => String::new(),
        }
    }

    /// What asks for it to be selected.
    #[must_use]
    pub fn select(&self) -> Action {
        match self {
            Self::Part(id) => Action::Select(Some(id.clone())),
            Self::Group(ids) => Action::SelectAll(ids.clone()),
            Self::Fitting(id, number) => Action::SelectFitting(id.clone(), *number),
            Self::Piece(piece) => Action::SelectPiece(*piece),
        }
    }
}

impl Action {
    /// One change that makes one step.
    #[must_use]
    pub fn edit(label: impl Into<String>, edit: Edit) -> Self {
        Self::Edit { label: label.into(), edits: vec![edit] }
    }
}
