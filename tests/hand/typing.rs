//! Typing into the window without a display.

use egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loftwright::desk::Desk;

/// Types into the field of a name, in place of what stands there.
pub fn type_into(harness: &mut Harness<'_, Desk>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).focus();
    harness.run();
    match text {
        "" => harness.key_press(Key::Delete),
        _ => harness.get_by_role_and_label(Role::TextInput, name).type_text(text),
    }
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}
