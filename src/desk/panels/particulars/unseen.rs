//! Particulars that nobody sees: fields that are not told are told for once, to see what comes of it.

use egui::{Context, RawInput};

use super::fields::Tell;
use super::{Fields, changes, part_fields};
use crate::layout::{Layout, PartRef, apply_all};

/// Panels without a window.
#[derive(Default)]
pub struct Unseen(Option<Context>);

impl Unseen {
    /// How many fields of a part are not told.
    pub fn untold(&mut self, layout: &Layout, part: PartRef<'_>) -> usize {
        self.shown(Tell::All, layout, part).0
    }

    /// The layout in which some of them are told; `None` where it cannot be.
    pub fn telling(&mut self, tell: Tell, layout: &Layout, part: PartRef<'_>) -> Option<Layout> {
        self.shown(tell, layout, part).1
    }

    fn shown(&mut self, tell: Tell, layout: &Layout, part: PartRef<'_>) -> (usize, Option<Layout>) {
        let (mut fields, mut told) = (Fields::telling(tell), part.to_part());
        let unseen = self.0.get_or_insert_with(Context::default);
        let mut output = unseen.run_ui(RawInput::default(), |ui| part_fields(ui, &mut fields, &mut told, layout));
        output.textures_delta.clear();
        let edits = changes(layout, part, told);
        (fields.untold(), apply_all(layout, &edits).ok())
    }
}
