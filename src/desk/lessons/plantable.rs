//! The rules of which faults can be planted in the open layout, found out beside the window.

use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

use egui::Context;

use crate::finding::capital;
use crate::lesson::{Of, Repertoire};
use crate::session::Session;

/// The rules in the order of the table, or why there are none.
type Found = Result<Vec<&'static str>, String>;

/// What can be planted, for one revision of the layout.
#[derive(Default)]
pub struct Plantable {
    revision: Option<u64>,
    under_way: Option<Receiver<Found>>,
    found: Option<Found>,
}

impl Plantable {
    /// What has been found of the layout as it stands; nothing while it is being found.
    #[must_use]
    pub fn of(&self, open: &Session) -> Option<&Found> {
        self.found.as_ref().filter(|_| self.revision == Some(open.revision()))
    }

    /// Whether it has to be asked for.
    #[must_use]
    pub fn is_wanted(&self, open: &Session) -> bool {
        self.revision != Some(open.revision())
    }

    /// Begins to find it out; the window goes on meanwhile.
    pub(super) fn begin(&mut self, ctx: &Context, open: &Session) {
        let (layout, profile) = (open.layout().clone(), open.profile().clone());
        let (tell, heard) = channel();
        // Whatever is under way for another revision tells nobody.
        (self.revision, self.found, self.under_way) = (Some(open.revision()), None, Some(heard));
        let ctx = ctx.clone();
        thread::spawn(move || {
            let found = Repertoire::of(&layout, &profile, &Of::whole_table());
            let found = found.map(|repertoire| repertoire.in_order().collect());
            let _ = tell.send(found.map_err(|error| capital(error.to_string())));
            ctx.request_repaint();
        });
    }

    /// Listens to what is under way.
    pub(super) fn hear(&mut self) {
        let Some(heard) = &self.under_way else { return };
        let found = match heard.try_recv() {
            Ok(found) => found,
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => {
                Err("It was not found out; close this list and open it again.".to_owned())
            }
        };
        (self.found, self.under_way) = (Some(found), None);
    }
}
