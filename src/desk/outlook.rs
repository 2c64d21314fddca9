//! How the layout is looked at, which panels and canvas read: the view, what is selected, the tool and what it draws.

use super::action::{Grip, Tool};
use super::mending::{MendLook, Scope};
use super::{FlowQuestion, Playing};
use crate::catalogue::{Insulant, TubeMaterial};
use crate::finding::FindingKey;
use crate::geom::Point;
use crate::layout::{EditError, End, Id, Layout, Piece, Run, Service};
use crate::rules::{Verdict, Voice};
use crate::session::Session;
use crate::session::settings::Settings;
use crate::units::{Gradient, Size};

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
    /// Further parts that are selected with it.
    pub also: Vec<Id>,
    /// The chosen fitting of the one selected run, by its number.
    pub fitting: Option<usize>,
    /// The selected piece of the building; never together with a part.
    pub piece: Option<Piece>,
    /// The finding whose working is shown.
    pub chosen: Option<FindingKey>,
    /// How mending is looked at, while it is.
    pub mend: Option<MendLook>,
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
    /// The fall of level stretches of the next runs; none means that nobody has asked for any.
    pub fall: Option<Gradient>,
    /// The insulation that is put on next: its thickness and what it is made of.
    pub insulation: (Option<Size>, Option<Insulant>),
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
            also: Vec::new(),
            fitting: None,
            piece: None,
            chosen: None,
            mend: None,
            lit: None,
            voice: Voice::Trade,
            settings: Settings::default(),
            revealed: None,
            tool: Tool::Pick,
            tube: None,
            clipping: Clipping::NotTold,
            fall: None,
            insulation: (None, None),
            shown: vec![Verdict::Breach, Verdict::Marginal, Verdict::Unknown],
            said: String::new(),
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
        let parts = self.selection();
        match parts.len() {
            0 => self.piece.map(Grip::Piece),
            1 => parts.into_iter().next().map(|id| match self.fitting {
                Some(number) => Grip::Fitting(id, number),
                None => Grip::Part(id),
            }),
            _ => Some(Grip::Group(parts)),
        }
    }

    /// The selected parts, the first one first.
    #[must_use]
    pub fn selection(&self) -> Vec<Id> {
        self.selected.iter().chain(&self.also).cloned().collect()
    }

    /// Whether a part is among the selected.
    #[must_use]
    pub fn is_selected(&self, id: &Id) -> bool {
        self.selected.as_ref() == Some(id) || self.also.contains(id)
    }

    /// Selects nothing.
    pub fn let_go(&mut self) {
        (self.selected, self.fitting, self.piece) = (None, None, None);
        self.also.clear();
    }

    /// Selects a part, or nothing.
    pub fn select(&mut self, part: Option<Id>) {
        if self.selected != part {
            self.said.clear();
        }
        self.let_go();
        self.selected = part;
    }

    /// Selects several parts, the first one first.
    pub fn select_all(&mut self, parts: Vec<Id>) {
        self.said.clear();
        self.let_go();
        let mut parts = parts.into_iter();
        self.selected = parts.next();
        self.also = parts.collect();
    }

    /// Chooses a fitting, by its number, in a run that is then selected.
    pub fn select_fitting(&mut self, run: Id, number: usize) {
        let fitting = Grip::Fitting(run.clone(), number);
        if self.grip() != Some(fitting) {
            self.said.clear();
        }
        self.let_go();
        (self.selected, self.fitting) = (Some(run), Some(number));
    }

    /// Selects a piece of the building.
    pub fn select_piece(&mut self, piece: Piece) {
        if self.piece != Some(piece) {
            self.said.clear();
        }
        self.let_go();
        self.piece = Some(piece);
    }

    /// Takes up a tool; only to pick is anything left selected.
    pub fn take(&mut self, tool: Tool) {
        self.said.clear();
        if tool != Tool::Pick {
            self.let_go();
            self.lit = None;
        }
        self.tool = tool;
    }

    /// Lists the findings of a verdict, or no longer.
    pub fn show(&mut self, verdict: Verdict, shown: Shown) {
        self.shown.retain(|other| *other != verdict);
        if shown == Shown::Yes {
            self.shown.push(verdict);
        }
    }

    /// Says why something was not done.
    pub fn say_why_not(&mut self, error: &EditError) {
        self.said = format!("Not done: {error}");
    }

    /// Another layout is open: what is asked of one, and what is selected, means nothing in the other.
    pub fn forget_layout(&mut self) {
        self.let_go();
        (self.chosen, self.lit, self.mend) = (None, None, None);
        self.shown = Self::default().shown;
        self.tool = Tool::Pick;
        // Taps are asked about by their place in the layout.
        (self.flow, self.playing) = (FlowQuestion::default(), Playing::default());
        self.said.clear();
    }

    /// What was undone away, or holds no longer, cannot stay selected.
    pub fn forget_what_is_gone(&mut self, session: &Session) {
        let layout = session.layout();
        self.selected = self.selected.take().filter(|id| layout.part(id).is_some());
        self.also.retain(|id| layout.part(id).is_some());
        if self.selected.is_none() && !self.also.is_empty() {
            self.selected = Some(self.also.remove(0));
        }
        self.fitting = self.fitting.filter(|number| self.selected_run_has(*number, layout));
        self.piece = self.piece.filter(|piece| layout.building.extent(*piece).is_some());
        let stands = |key: &FindingKey| session.findings().find(key).is_some();
        self.mend = self.mend.take().filter(|look| match &look.scope {
            Scope::Parts(ids) => ids.iter().all(|id| layout.part(id).is_some()),
            Scope::Finding(key) => stands(key),
            Scope::All => true,
        });
        self.chosen = self.chosen.take().filter(stands);
    }

    /// Whether the selected run has a fitting of this number.
    fn selected_run_has(&self, fitting: usize, layout: &Layout) -> bool {
        let run = self.selected.as_ref().and_then(|id| layout.run(id));
        run.and_then(|run| run.fittings.as_ref()).is_some_and(|fittings| fitting < fittings.len())
    }
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
    /// Learning to see what is wrong.
    Lesson,
    /// The pages that are handed over.
    Sheet,
}

impl Aspect {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 7] =
        [Self::SetOut, Self::Flow, Self::Warmth, Self::Timber, Self::TakeOff, Self::Lesson, Self::Sheet];
}

/// How new runs are clipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clipping {
    /// Nobody has told.
    NotTold,
    /// As far apart as the table allows for the tube.
    AsAllowed,
}

/// Whether something is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// It is.
    Yes,
    /// It is not.
    No,
}
