//! To what a tape snaps on a drawing that is only looked at.

use glam::DVec2;

use super::Canvas;
use super::snap::Snapping;
use crate::session::Session;

impl Canvas {
    /// The place that a click near it means.
    #[must_use]
    pub fn snapped_at(&mut self, session: &Session, at: DVec2) -> DVec2 {
        let mm_per_point = self.view.mm_per_point;
        self.snaps(session, None).snap(at, mm_per_point, Snapping::On).at
    }
}
