//! Where the chosen finding can be told what it asks for; found anew only when the layout or the choice changes.

use super::Outlook;
use crate::finding::{FindingKey, ToldOf};
use crate::session::Session;

/// The last answer, and what it holds for.
#[derive(Default)]
pub struct Telling {
    of: Option<(u64, FindingKey)>,
    found: Vec<ToldOf>,
}

impl Telling {
    /// The answer for the chosen finding and the layout as it stands.
    pub fn found(&mut self, session: &Session, outlook: &Outlook) -> &[ToldOf] {
        let asked = outlook.chosen.clone().map(|key| (session.revision(), key));
        if self.of != asked {
            let answer = |(_, key): &(u64, FindingKey)| ToldOf::answering(key, session.layout(), session.profile());
            self.found = asked.as_ref().map(answer).unwrap_or_default();
            self.of = asked;
        }
        &self.found
    }
}
