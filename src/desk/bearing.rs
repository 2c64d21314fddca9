//! What the view *Timber* shows; found anew only when the layout changes.

use crate::measure::Site;
use crate::session::Session;
use crate::timber::LoadPath;

/// The last answer, and the revision that it holds for.
#[derive(Default)]
pub struct Bearing {
    of: Option<u64>,
    found: Option<LoadPath>,
}

impl Bearing {
    /// The answer for the layout as it stands.
    pub fn found(&mut self, session: &Session) -> &LoadPath {
        if self.of != Some(session.revision()) {
            self.found = None;
            self.of = Some(session.revision());
        }
        self.found.get_or_insert_with(|| LoadPath::of(&Site::of(session.layout())))
    }
}
