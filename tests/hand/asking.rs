//! What is asked of the window without a display: actions, commands, keys, buttons by name.

use egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loftwright::desk::{Action, Command, Desk};

/// Asks for something as a panel would, and lets it happen.
pub fn ask(harness: &mut Harness<'_, Desk>, action: Action) {
    harness.state_mut().push(action);
    harness.run();
}

/// Gives a command.
pub fn give(harness: &mut Harness<'_, Desk>, command: Command) {
    ask(harness, Action::Command(command));
}

/// Presses a key.
pub fn press(harness: &mut Harness<'_, Desk>, key: Key) {
    harness.key_press(key);
    harness.run();
}

/// Presses the only button of a name.
pub fn press_button(harness: &mut Harness<'_, Desk>, name: &str) {
    harness.get_by_role_and_label(Role::Button, name).click();
    harness.run();
}
