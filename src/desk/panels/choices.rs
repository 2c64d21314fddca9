//! Lists that drop down.

use egui::{ComboBox, Key, Memory, Response, TextStyle, Ui};

use super::words::worded;

/// A list that drops down from a field.
pub trait DropDown {
    /// Shows the field, and while it is open what it offers. It closes once something is chosen by key as it does by
    /// click, and the field has the keyboard again.
    fn drop_down<R>(self, ui: &mut Ui, offered: impl FnOnce(&mut Ui) -> R) -> Response;

    /// The same from a field that shows these words; those that it cuts off are shown in full when it is pointed at.
    fn drop_down_from<R>(self, ui: &mut Ui, shown: &str, offered: impl FnOnce(&mut Ui) -> R) -> Response;
}

impl DropDown for ComboBox<'_> {
    fn drop_down<R>(self, ui: &mut Ui, offered: impl FnOnce(&mut Ui) -> R) -> Response {
        let shown = self.show_ui(ui, |ui| {
            let was_in_it = has_keyboard(ui);
            offered(ui);
            let is_given =
                was_in_it && ui.input(|input| input.key_pressed(Key::Enter) || input.key_pressed(Key::Space));
            if is_given {
                ui.close();
            }
            is_given
        });
        if shown.inner == Some(true) {
            shown.response.request_focus();
        }
        shown.response
    }

    fn drop_down_from<R>(self, ui: &mut Ui, shown: &str, offered: impl FnOnce(&mut Ui) -> R) -> Response {
        let font = TextStyle::Button.resolve(ui.style());
        let whole = ui.painter().layout_no_wrap(shown.to_owned(), font, ui.visuals().text_color()).size().x;
        let field = self.selected_text(shown).truncate().drop_down(ui, offered);
        let spacing = ui.spacing();
        let room = field.rect.width() - 2.0 * spacing.button_padding.x - spacing.icon_width - spacing.icon_spacing;
        if whole > room { field.on_hover_text(shown) } else { field }
    }
}

/// Entries of a list of which one is chosen; the one that is picked, though it be that.
pub fn entries<T: Copy + PartialEq>(ui: &mut Ui, chosen: T, all: &[(T, impl AsRef<str>)]) -> Option<T> {
    let mut picked = None;
    for (choice, words) in all {
        let words = worded(ui, words.as_ref());
        let entry = ui.selectable_label(*choice == chosen, words);
        if *choice == chosen {
            arrows_begin_at(ui, &entry);
        }
        if entry.clicked() {
            picked = Some(*choice);
        }
    }
    picked
}

/// An arrow key that comes to a list which has just been opened goes on from what is chosen there.
fn arrows_begin_at(ui: &Ui, chosen: &Response) {
    let by_arrow = ui.input(|input| input.key_pressed(Key::ArrowDown) || input.key_pressed(Key::ArrowUp));
    if by_arrow && !has_keyboard(ui) {
        chosen.request_focus();
    }
}

/// Whether something in the layer of a list has the keyboard.
fn has_keyboard(ui: &Ui) -> bool {
    let focused = ui.ctx().memory(Memory::focused).and_then(|id| ui.ctx().read_response(id));
    focused.is_some_and(|response| response.layer_id == ui.layer_id())
}
