//! What panels and canvas read, and what they ask for. They change nothing themselves.

use std::path::PathBuf;

use glam::DVec2;

use super::{Command, FlowQuestion, Handing, Playing, Stock};
use crate::catalogue::TubeMaterial;
use crate::finding::FindingKey;
use crate::geom::Point;
use crate::layout::{Edit, End, Id, Layout, Piece, Run, Service};
use crate::rules::{Term, Verdict, Voice};
use crate::session::settings::Settings;
use crate::units::{Length, Size};

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
    /// Selects a piece of the building.
    SelectPiece(Piece),
    /// Chooses a finding, or none.
    Choose(Option<FindingKey>),
    /// The pointer is on a finding or its mark, or on none.
    Light(Option<FindingKey>),
    /// Takes up a tool.
    Take(Tool),
    /// The tube of the runs that are drawn next.
    Tube(Option<(TubeMaterial, Size)>),
    /// How the runs that are drawn next are clipped.
    Clip(Clipping),
    /// Shows or hides the findings of a verdict.
    Show(Verdict, Shown),
    /// Says something in the status line.
    Say(String),
    /// Asks another question about the water.
    AskFlow(FlowQuestion),
    /// Plays a trial on, or holds it, or puts it at a share of its time.
    Play(Playing),
    /// Opens a file; asks first when there is unsaved work.
    OpenPath(PathBuf),
    /// Says what a word of the trade means.
    Explain(&'static Term),
    /// Saves under a path.
    SaveTo(PathBuf),
    /// Something of what is handed over.
    Hand(Handing),
}

/// Whether something is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// It is.
    Yes,
    /// It is not.
    No,
}

/// How new runs are clipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clipping {
    /// Nobody has told.
    NotTold,
    /// As far apart as the table allows for the tube.
    AsAllowed,
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
}

/// What the drawing shows beside the parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Aspect {
    /// Heights, gaps and falls, with the marks of findings.
    #[default]
    SetOut,
    /// What the water does.
    Flow,
    /// What heat and frost do.
    Warmth,
    /// What carries the weight.
    Timber,
    /// What it is made of.
    TakeOff,
    /// The pages that are handed over.
    Sheet,
}

impl Aspect {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 6] = [Self::SetOut, Self::Flow, Self::Warmth, Self::Timber, Self::TakeOff, Self::Sheet];
}

/// How the layout is looked at; never part of its history.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// What the drawing shows beside the parts.
    pub aspect: Aspect,
    /// What is asked about the water.
    pub flow: FlowQuestion,
    /// How far a trial has been played.
    pub playing: Playing,
    /// The selected part.
    pub selected: Option<Id>,
    /// The selected piece of the building; never together with a part.
    pub piece: Option<Piece>,
    /// The finding whose working is shown.
    pub chosen: Option<FindingKey>,
    /// The finding under the pointer, in the list or on the drawing.
    pub lit: Option<FindingKey>,
    /// The reading in which findings speak.
    pub voice: Voice,
    /// What has been chosen for all layouts.
    pub settings: Settings,
    /// How many marks a class has been shown so far; none when all are shown.
    pub revealed: Option<usize>,
    /// The tool in hand.
    pub tool: Tool,
    /// The tube of the next runs; none means that nobody has told.
    pub tube: Option<(TubeMaterial, Size)>,
    /// How the next runs are clipped.
    pub clipping: Clipping,
    /// Verdicts whose findings are listed.
    pub shown: Vec<Verdict>,
    /// What the status line says.
    pub said: String,
}

impl Default for Outlook {
    fn default() -> Self {
        Self {
            aspect: Aspect::SetOut,
            flow: FlowQuestion::default(),
            playing: Playing::default(),
            selected: None,
            piece: None,
            chosen: None,
            lit: None,
            voice: Voice::Trade,
            settings: Settings::default(),
            revealed: None,
            tool: Tool::Pick,
            tube: None,
            clipping: Clipping::NotTold,
            shown: vec![Verdict::Breach, Verdict::Marginal, Verdict::Unknown],
            said: String::new(),
        }
    }
}

/// Something that can be selected and moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Grip {
    /// A part of the system.
    Part(Id),
    /// A piece of the building.
    Piece(Piece),
}

impl Grip {
    /// Its name.
    #[must_use]
    pub fn name(&self, layout: &Layout) -> String {
        match self {
            Self::Part(id) => id.spoken(),
            Self::Piece(piece) => layout.building.name(*piece),
        }
    }

    /// The change that moves it, and whatever stands on it.
    #[must_use]
    pub fn moved(&self, layout: &Layout, by: DVec2) -> Edit {
        match self {
            Self::Part(id) => {
                Edit::Shift { parts: layout.with_what_stands_on(id), right: Length::mm(by.x), up: Length::mm(by.y) }
            }
            Self::Piece(piece) => Edit::Building(Box::new(layout.building.with_moved(*piece, by))),
        }
    }

    /// The change that takes it away.
    #[must_use]
    pub fn removed(&self, layout: &Layout) -> Edit {
        match self {
            Self::Part(id) => Edit::Remove(id.clone()),
            Self::Piece(piece) => Edit::Building(Box::new(layout.building.without(*piece))),
        }
    }

    /// What asks for it to be selected.
    #[must_use]
    pub fn select(&self) -> Action {
        match self {
            Self::Part(id) => Action::Select(Some(id.clone())),
            Self::Piece(piece) => Action::SelectPiece(*piece),
        }
    }
}

impl Outlook {
    /// A run from nowhere to nowhere with what is told of every new one.
    #[must_use]
    pub fn new_run(&self, service: Service) -> Run {
        let nowhere = End::Open(Point::mm(0.0, 0.0));
        let mut run = Run::new(Id::of("run"), service, nowhere.clone(), nowhere);
        (run.material, run.size) = self.tube.unzip();
        run.fittings = Some(Vec::new());
        run.insulation = Some(Vec::new());
        if self.clipping == Clipping::AsAllowed {
            run.clips = run.clips_allowed();
        }
        run
    }

    /// What is selected, if anything is.
    #[must_use]
    pub fn grip(&self) -> Option<Grip> {
        self.selected.clone().map(Grip::Part).or(self.piece.map(Grip::Piece))
    }
}

impl Action {
    /// One change that makes one step.
    #[must_use]
    pub fn edit(label: impl Into<String>, edit: Edit) -> Self {
        Self::Edit { label: label.into(), edits: vec![edit] }
    }
}
