//! Either end of a platform by itself: the other stays, and so does what stands on it.

use egui::Ui;

use super::fields::Fields;
use crate::desk::panels::words::weak;
use crate::layout::{Edit, PartRef, Platform, Side};
use crate::units::Length;

/// Fields for the ends of a platform; the change that one of them asks for.
pub fn alone(ui: &mut Ui, fields: &mut Fields, platform: &Platform) -> Option<Edit> {
    weak(ui, "One end alone makes it longer or shorter. Left end, below these, moves it with all that stands on it.");
    let (left, right) = platform.span_mm();
    let ends = [("Left end alone", Side::Left, left), ("Right end alone", Side::Right, right)];
    let mut asked = None;
    for (name, side, end_mm) in ends {
        let mut typed = Length::mm(end_mm);
        fields.quantity(ui, name, &mut typed);
        if typed != Length::mm(end_mm) {
            let moved = PartRef::Platform(platform).with_side_moved(side, typed.to_mm() - end_mm);
            asked = Some(Edit::put(moved));
        }
    }
    asked
}
