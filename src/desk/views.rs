//! What the views tell of the layout beyond its findings; found anew only when the layout or what is asked has changed.

use super::FlowQuestion;
use super::flowing::Flowing;
use super::latest::Latest;
use super::mending::Mending;
use super::telling::Telling;
use super::warming::Warming;
use crate::measure::Site;
use crate::session::Session;
use crate::timber::LoadPath;

/// The answers of all views.
#[derive(Default)]
pub struct Views {
    flow: Latest<(u64, FlowQuestion), Flowing>,
    warmth: Latest<u64, Warming>,
    timber: Latest<u64, LoadPath>,
    /// Where the chosen finding can be told what it asks for.
    pub telling: Telling,
    /// What would put it right.
    pub mending: Mending,
}

impl Views {
    /// What the water does.
    pub fn flow(&mut self, session: &Session, question: &FlowQuestion) -> &Flowing {
        self.flow.to((session.revision(), question.clone()), || Flowing::of(session.layout(), question))
    }

    /// What heat and frost do.
    pub fn warmth(&mut self, session: &Session) -> &Warming {
        self.warmth.to(session.revision(), || Warming::of(session.layout()))
    }

    /// What carries the weight.
    pub fn timber(&mut self, session: &Session) -> &LoadPath {
        self.timber.to(session.revision(), || LoadPath::of(&Site::of(session.layout())))
    }
}
