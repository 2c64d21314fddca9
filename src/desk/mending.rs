//! Mending in the window: worked out beside it, so that nothing waits, and called off when the question changes.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use egui::Context;

use super::{Aspect, Command, Desk, Outlook};
use crate::finding::FindingKey;
use crate::layout::{Id, Layout};
use crate::mend::{Alternative, Refused, Report, Stop, Taking, Wish, alternatives, edits_of, propose};
use crate::rules::{Profile, Verdict};
use crate::session::Session;
use crate::session::settings::SidePanels;

/// What is to be mended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    /// All that is broken.
    All,
    /// One finding.
    Finding(FindingKey),
    /// What is broken about some parts.
    Parts(Vec<Id>),
}

/// What the drawing shows of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MendView {
    /// The drawing as it is.
    AsDrawn,
    /// The drawing, with what would change in dashes.
    #[default]
    Both,
    /// The drawing as it would be.
    AsMended,
}

impl MendView {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::AsDrawn, Self::Both, Self::AsMended];

    /// The choice in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::AsDrawn => "As drawn",
            Self::Both => "Both",
            Self::AsMended => "As mended",
        }
    }
}

/// How mending is looked at; never part of the layout's history.
#[derive(Debug, Clone)]
pub struct MendLook {
    /// What is to be mended.
    pub scope: Scope,
    /// What has been refused.
    pub refused: Vec<Refused>,
    /// The proposal that is pointed at, which then has the ghosts to itself.
    pub pointed: Option<usize>,
    /// What the drawing shows.
    pub showing: MendView,
}

/// What the panel asks for.
#[derive(Debug, Clone)]
pub enum MendAsk {
    /// Mends this.
    Begin(Scope),
    /// Puts it away.
    Close,
    /// Ends the search; what was found by then is shown.
    GiveUp,
    /// Takes this off the list: another way is looked for.
    Refuse(Vec<Refused>),
    /// Offers what was refused again.
    OfferAgain,
    /// The pointer is on a proposal, or on none.
    Point(Option<usize>),
    /// Lets the drawing show this.
    Show(MendView),
}

/// The question that an answer belongs to.
#[derive(Debug, Clone, PartialEq)]
struct MendQuestion {
    revision: u64,
    scope: Scope,
    refused: Vec<Refused>,
}

/// An answer.
pub struct MendAnswer {
    asked: MendQuestion,
    /// The layout that it was found for.
    pub layout: Arc<Layout>,
    /// What came of it.
    pub report: Report,
    /// What can be taken of it.
    pub taking: Taking,
    /// Ways that differ in kind.
    pub alternatives: Vec<Alternative>,
}

/// An answer that is being worked out.
struct Search {
    asked: MendQuestion,
    stop: Stop,
    answer: Receiver<MendAnswer>,
}

/// The layout that the drawing shows ghosts of.
#[derive(Clone)]
pub struct Ghost {
    /// Another number for every other ghost.
    pub tag: (u64, Option<usize>),
    /// The layout as it would be.
    pub after: Arc<Layout>,
    /// How it is shown.
    pub showing: MendView,
    /// What the proposal that is pointed at clears, the first of it.
    pub about: Option<FindingKey>,
}

/// The last answer, and what is being worked out.
#[derive(Default)]
pub struct Mending {
    search: Option<Search>,
    found: Option<MendAnswer>,
    answers: u64,
    ghost: Option<Ghost>,
}

impl Mending {
    /// The last answer, which may be of a moment ago.
    #[must_use]
    pub const fn found(&self) -> Option<&MendAnswer> {
        self.found.as_ref()
    }

    /// Whether an answer is being worked out.
    #[must_use]
    pub const fn is_busy(&self) -> bool {
        self.search.is_some()
    }

    /// Whether the answer is that of the layout as it stands.
    #[must_use]
    pub fn is_fresh(&self, session: &Session) -> bool {
        self.found.as_ref().is_some_and(|found| found.is_fresh(session))
    }

    /// Takes up an answer that has come, and asks anew when the question has changed.
    pub fn tend(&mut self, ctx: &Context, session: &Session, look: Option<&MendLook>) {
        let Some(look) = look else {
            self.call_off();
            (self.found, self.ghost) = (None, None);
            return;
        };
        self.hear();
        let asked =
            MendQuestion { revision: session.revision(), scope: look.scope.clone(), refused: look.refused.clone() };
        let same_question = |other: &MendQuestion| (&other.scope, &other.refused) == (&asked.scope, &asked.refused);
        if self.found.as_ref().is_some_and(|found| !same_question(&found.asked)) {
            (self.found, self.ghost) = (None, None);
        }
        match &self.search {
            // While something is dragged the answer of a moment ago is better than none.
            Some(search) if same_question(&search.asked) => {}
            _ if self.found.as_ref().is_some_and(|found| found.asked == asked) => self.call_off(),
            _ => {
                self.call_off();
                self.search = Some(begin(ctx, session, asked));
            }
        }
        // While something is dragged, what would have changed a moment ago stays: it would flicker.
        self.ghost = self.ghost_of(look).filter(|_| self.is_fresh(session) || session.in_gesture());
    }

    /// What the drawing shows of it.
    #[must_use]
    pub const fn ghost(&self) -> Option<&Ghost> {
        self.ghost.as_ref()
    }

    /// Lets the search end with what it has found; the answer comes as always.
    fn give_up(&self) {
        if let Some(search) = &self.search {
            search.stop.pull();
        }
    }

    fn call_off(&mut self) {
        if let Some(search) = self.search.take() {
            search.stop.pull();
        }
    }

    fn hear(&mut self) {
        let Some(search) = &self.search else { return };
        match search.answer.try_recv() {
            Ok(found) => {
                self.answers += 1;
                (self.found, self.ghost, self.search) = (Some(found), None, None);
            }
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => self.search = None,
        }
    }

    fn ghost_of(&self, look: &MendLook) -> Option<Ghost> {
        let found = self.found.as_ref()?;
        let tag = (self.answers, look.pointed);
        if let Some(ghost) = self.ghost.as_ref().filter(|ghost| ghost.tag == tag) {
            return Some(Ghost { showing: look.showing, ..ghost.clone() });
        }
        let after = match look.pointed {
            Some(number) => found.after(number)?,
            None => found.report.layout.clone(),
        };
        let about = look.pointed.and_then(|number| found.clears(number)?.first().cloned());
        Some(Ghost { tag, after: Arc::new(after), showing: look.showing, about })
    }
}

impl MendAnswer {
    /// Whether it is of the layout as it stands.
    #[must_use]
    pub const fn is_fresh(&self, session: &Session) -> bool {
        self.asked.revision == session.revision()
    }

    /// What a proposal clears; alternatives are counted on behind the proposals.
    fn clears(&self, number: usize) -> Option<&[FindingKey]> {
        match number.checked_sub(self.report.proposals.len()) {
            Some(alternative) => self.alternatives.get(alternative).map(|way| way.clears.as_slice()),
            None => self.report.proposals.get(number).map(|proposal| proposal.clears.as_slice()),
        }
    }

    /// The layout with a proposal taken, and whatever it needs; alternatives are counted on behind the proposals.
    fn after(&self, number: usize) -> Option<Layout> {
        match number.checked_sub(self.report.proposals.len()) {
            Some(alternative) => self.alternatives.get(alternative)?.after(&self.layout),
            None => {
                let with = self.taking.with.get(number)?;
                edits_of(&self.report.proposals, with, &self.layout).map(|(_, after)| after)
            }
        }
    }
}

fn begin(ctx: &Context, session: &Session, asked: MendQuestion) -> Search {
    let stop = Stop::default();
    let (sender, answer) = channel();
    let (layout, profile) = (session.shared(), session.profile().clone());
    let wish = Wish {
        only: wanted(session, &asked.scope),
        refused: asked.refused.clone(),
        stop: stop.clone(),
        ..Wish::default()
    };
    let (ctx, own) = (ctx.clone(), asked.clone());
    std::thread::spawn(move || {
        let found = work_out(layout, &profile, &wish, own);
        // Whoever asked may have gone on to something else.
        if sender.send(found).is_ok() {
            ctx.request_repaint();
        }
    });
    Search { asked, stop, answer }
}

fn work_out(layout: Arc<Layout>, profile: &Profile, wish: &Wish, asked: MendQuestion) -> MendAnswer {
    let report = match (&asked.scope, wish.only.is_empty()) {
        (Scope::Finding(_) | Scope::Parts(_), true) => Report::nothing(&layout, profile),
        _ => propose(&layout, profile, wish),
    };
    let taking = Taking::of(&report, &layout, profile, &wish.stop);
    let alternatives = alternatives(&layout, profile, wish, &report);
    MendAnswer { asked, layout, report, taking, alternatives }
}

impl Scope {
    /// Whether anything of it is broken.
    #[must_use]
    pub fn is_broken(&self, session: &Session) -> bool {
        match self {
            Self::All => session.findings().counts().breach > 0,
            Self::Finding(_) | Self::Parts(_) => !wanted(session, self).is_empty(),
        }
    }

    /// What a command would mend, where something of it is broken; else why it would not.
    ///
    /// # Errors
    /// Says in words why there is nothing to mend.
    pub fn of(command: Command, session: &Session, outlook: &Outlook) -> Result<Self, &'static str> {
        let (scope, unchosen, unbroken) = match command {
            Command::MendAll => (Some(Self::All), "", "Nothing is broken"),
            Command::MendFinding => (
                outlook.chosen.clone().map(Self::Finding),
                "No finding is chosen",
                "The finding that is chosen is not broken",
            ),
            _ => {
                let selection = Some(outlook.selection()).filter(|ids| !ids.is_empty());
                (selection.map(Self::Parts), "No part is selected", "Nothing is broken about what is selected")
            }
        };
        scope.ok_or(unchosen).and_then(|scope| if scope.is_broken(session) { Ok(scope) } else { Err(unbroken) })
    }
}

/// The broken findings of a scope; none for everything.
fn wanted(session: &Session, scope: &Scope) -> Vec<FindingKey> {
    let of_scope = |key: &&FindingKey| match scope {
        Scope::All => false,
        Scope::Finding(wanted) => *key == wanted,
        Scope::Parts(ids) => ids.iter().any(|id| key.parts.contains(id)),
    };
    let broken = session.findings().keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Breach);
    broken.map(|(key, _)| key).filter(of_scope).cloned().collect()
}

impl Desk {
    /// Does what the panel asks.
    pub(super) fn mend(&mut self, ask: MendAsk) {
        let look = &mut self.outlook.mend;
        match (ask, look) {
            (MendAsk::Begin(scope), look) => {
                // What would change is shown where heights and gaps are.
                self.outlook.aspect = Aspect::SetOut;
                self.outlook.lit = None;
                let showing = look.as_ref().map(|look| look.showing).unwrap_or_default();
                *look = Some(MendLook { scope, refused: Vec::new(), pointed: None, showing });
            }
            (MendAsk::Close, look) => *look = None,
            (MendAsk::GiveUp, _) => self.views.mending.give_up(),
            (MendAsk::Refuse(refused), Some(look)) => {
                look.refused.extend(refused);
                look.pointed = None;
            }
            (MendAsk::OfferAgain, Some(look)) => look.refused.clear(),
            (MendAsk::Point(pointed), Some(look)) => look.pointed = pointed,
            (MendAsk::Show(showing), Some(look)) => look.showing = showing,
            (_, None) => {}
        }
    }

    /// Mends all, the chosen finding, or what is broken about the selected parts; says so where there is nothing to mend.
    pub(super) fn mend_what_is_at_hand(&mut self, command: Command) {
        match Scope::of(command, &self.work.session, &self.outlook) {
            Ok(scope) => {
                // What comes of it is told beside the drawing.
                self.outlook.settings.side_panels = SidePanels::Shown;
                self.mend(MendAsk::Begin(scope));
            }
            Err(why_not) => why_not.clone_into(&mut self.outlook.said),
        }
    }
}
