//! The pointer in the window without a display.

use egui::{Event, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use glam::dvec2;
use loftwright::desk::Desk;

/// Where a point of the section, in mm, is on the screen.
pub fn at(harness: &Harness<'_, Desk>, x: f64, z: f64) -> Pos2 {
    harness.state().screen_from_section(dvec2(x, z))
}

/// A click, with time after it: two of them are no double click.
pub fn click(harness: &mut Harness<'_, Desk>, place: Pos2) {
    click_with(harness, place, Modifiers::NONE);
}

/// The same while keys are held.
pub fn click_with(harness: &mut Harness<'_, Desk>, place: Pos2, modifiers: Modifiers) {
    harness.event(Event::ModifiersChanged(modifiers));
    harness.hover_at(place);
    harness.step();
    for pressed in [true, false] {
        harness.event(Event::PointerButton { pos: place, button: PointerButton::Primary, pressed, modifiers });
        harness.step();
    }
    harness.event(Event::ModifiersChanged(Modifiers::NONE));
    harness.run();
    harness.run_steps(3);
}

/// A drag that is not let go.
pub fn begin_drag(harness: &mut Harness<'_, Desk>, from: Pos2, to: Pos2) {
    harness.hover_at(from);
    harness.step();
    harness.drag_at(from);
    harness.step();
    for share in [0.25, 0.5, 0.75, 1.0] {
        harness.hover_at(from + (to - from) * share);
        harness.step();
    }
}

/// A drag from one place to another.
pub fn drag(harness: &mut Harness<'_, Desk>, from: Pos2, to: Pos2) {
    begin_drag(harness, from, to);
    harness.drop_at(to);
    harness.run();
}
