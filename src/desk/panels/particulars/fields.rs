//! Fields in which numbers are typed in any unit, and choices that may be not told.

use std::collections::HashMap;

use egui::text::{CCursor, CCursorRange};
use egui::{Align, ComboBox, Id, Key, Layout, Pos2, Rect, RichText, Sense, TextEdit, Ui, pos2, vec2};

use super::typed::{Typed, plain_number, shown_in, with_unit};
use crate::desk::panels::choices::{DropDown as _, entries};
use crate::desk::panels::words::{coloured, strong, worded};
use crate::finding::ToldOf;
use crate::session::settings::Measures;

/// What an untold choice is called.
const NOT_TOLD: &str = "not told";
/// How wide the names of fields are: a share of the panel, within bounds in points.
const NAME_SHARE: f32 = 0.45;
const NAME_WIDTHS: (f32, f32) = (98.0, 130.0);
/// What stands beside a field that the chosen finding asks for, and how far beside it, points.
const ASKED: &str = "The chosen finding asks for this";
const ASKED_BESIDE: f32 = 6.0;
/// What a field is told for once: it stands for nothing, and any quantity takes it.
const SOME_NUMBER: &str = "1";

/// Text that is being typed, or that was refused and why.
struct Draft {
    text: String,
    refused: Option<String>,
}

/// The fields of a panel: what is being typed in them, and which one has just changed its value.
#[derive(Default)]
pub struct Fields {
    drafts: HashMap<Id, Draft>,
    /// The name of the field that changed in this frame.
    pub changed: Option<String>,
    /// In which units numbers are shown, and typed where none is written.
    pub measures: Measures,
    /// The next field that is shown takes the keyboard.
    pub keyboard_wanted: bool,
    /// The field that was refused takes the keyboard and is scrolled to.
    refused_wanted: bool,
    /// The section that is to be scrolled to.
    pub section_wanted: Option<ToldOf>,
    /// Those of the fields that are not told which are asked for, counted as they come.
    pub asked: Vec<usize>,
    /// The first of those is to be scrolled to.
    pub asked_wanted: bool,
    fitting: Option<usize>,
    fitting_wanted: bool,
    untold: usize,
    telling: Option<Tell>,
}

/// Which of the fields that are not told are told for once, counted as they come.
#[derive(Debug, Clone, Copy)]
pub enum Tell {
    /// One.
    Only(usize),
    /// All but one.
    AllBut(usize),
    /// All.
    All,
}

impl Tell {
    const fn tells(self, number: usize) -> bool {
        match self {
            Self::Only(one) => number == one,
            Self::AllBut(one) => number != one,
            Self::All => true,
        }
    }
}

impl Fields {
    /// Fields that are shown to nobody, some of which are told for once.
    pub fn telling(tell: Tell) -> Self {
        Self { telling: Some(tell), ..Self::default() }
    }

    /// How many of the fields so far are not told, or were told for once.
    pub const fn untold(&self) -> usize {
        self.untold
    }

    /// Begins from the first field again.
    pub fn begin(&mut self) {
        (self.changed, self.untold) = (None, 0);
    }

    /// Whether fields are told for once instead of shown.
    const fn is_telling(&self) -> bool {
        self.telling.is_some()
    }

    /// Counts a field that is not told; `true` when it is to be told.
    fn meets_untold(&mut self) -> bool {
        self.untold += 1;
        self.telling.is_some_and(|tell| tell.tells(self.untold - 1))
    }

    /// Shows a field that is not told, marked where it is asked for.
    fn untold_row<R>(&mut self, ui: &mut Ui, show: impl FnOnce(&mut Self, &mut Ui) -> R) -> R {
        let is_asked = self.asked.contains(&(self.untold - 1));
        let top = ui.cursor().min;
        let shown = show(self, ui);
        if is_asked {
            let row = marked(ui, top, ASKED);
            if std::mem::take(&mut self.asked_wanted) {
                ui.scroll_to_rect(row.expand2(vec2(0.0, 3.0 * row.height())), None);
            }
        }
        shown
    }

    /// Marks the fields of a fitting from now on, and brings them into view once.
    pub const fn choose_fitting(&mut self, number: Option<usize>) {
        (self.fitting, self.fitting_wanted) = (number, number.is_some());
    }

    /// Shows the fields of a fitting, marked where it is the chosen one.
    pub fn fitting(&mut self, ui: &mut Ui, number: usize, show: impl FnOnce(&mut Self, &mut Ui)) {
        let top = ui.cursor().min;
        ui.push_id(("fitting", number), |ui| show(self, ui));
        if self.fitting == Some(number) {
            let block = marked(ui, top, "Chosen on the drawing");
            if std::mem::take(&mut self.fitting_wanted) {
                ui.scroll_to_rect(block.expand2(vec2(0.0, block.height())), None);
            }
        }
    }

    /// A heading over what is told of the building, which is scrolled to when it is wanted.
    pub fn section(&mut self, ui: &mut Ui, told_of: ToldOf) {
        if self.section_wanted == Some(told_of) {
            ui.scroll_to_cursor(Some(Align::TOP));
        }
        heading(ui, told_of.heading());
    }

    /// Forgets what is being typed; for when another part is looked at.
    pub fn clear(&mut self) {
        self.drafts.clear();
    }

    /// Whether what stands in a field was refused; that is then shown.
    pub fn show_refused(&mut self) -> bool {
        self.refused_wanted = self.drafts.values().any(|draft| draft.refused.is_some());
        self.refused_wanted
    }

    /// A quantity that is always there.
    pub fn quantity<T: Typed>(&mut self, ui: &mut Ui, name: &str, value: &mut T) {
        if self.is_telling() {
            return;
        }
        let (unit, per_unit) = shown_in(T::UNIT, self.measures);
        let shown = plain_number(value.number() / per_unit);
        let read = |text: &str| T::typed(&with_unit(text, unit, T::UNIT));
        if let Some(typed) = self.entry(ui, name, unit, &shown, "", read) {
            self.set(name, value, typed);
        }
    }

    /// A quantity that may be not told; empty text says so.
    pub fn optional<T: Typed>(&mut self, ui: &mut Ui, name: &str, value: &mut Option<T>) {
        self.optional_or(ui, name, value, NOT_TOLD);
    }

    /// The same, where something other than "not told" stands in the empty field.
    pub fn optional_or<T: Typed>(&mut self, ui: &mut Ui, name: &str, value: &mut Option<T>, instead: &str) {
        let (unit, per_unit) = shown_in(T::UNIT, self.measures);
        let shown = value.map(|value| plain_number(value.number() / per_unit)).unwrap_or_default();
        let typed = |text: &str| T::typed(&with_unit(text, unit, T::UNIT)).map(Some);
        let read = |text: &str| if text.trim().is_empty() { Ok(None) } else { typed(text) };
        let show = |fields: &mut Self, ui: &mut Ui| fields.entry(ui, name, unit, &shown, instead, read);
        let typed = if value.is_some() {
            show(self, ui)
        } else if self.meets_untold() {
            Some(T::typed(SOME_NUMBER).ok())
        } else {
            self.untold_row(ui, show)
        };
        if let Some(typed) = typed {
            self.set(name, value, typed);
        }
    }

    /// Words in one line; `read` says whether they will do.
    pub fn words<T>(
        &mut self,
        ui: &mut Ui,
        name: &str,
        shown: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        let read = self.entry(ui, name, "", shown, "", read)?;
        self.changed = Some(name.to_owned());
        Some(read)
    }

    /// Something that is typed as words and may be not told; empty text says so.
    pub fn optional_words<T: PartialEq>(
        &mut self,
        ui: &mut Ui,
        name: &str,
        shown: &str,
        value: &mut Option<T>,
        read: impl Fn(&str) -> Result<T, String>,
    ) {
        let read = |text: &str| if text.trim().is_empty() { Ok(None) } else { read(text).map(Some) };
        if let Some(typed) = self.entry(ui, name, "", shown, NOT_TOLD, read) {
            self.set(name, value, typed);
        }
    }

    /// Words in several lines.
    pub fn prose(&mut self, ui: &mut Ui, name: &str, value: &mut String) {
        if self.is_telling() {
            return;
        }
        let said = worded(ui, name);
        ui.label(&said);
        let id = ui.scope_id().with(name);
        let mut text = self.drafts.get(&id).map_or_else(|| value.clone(), |draft| draft.text.clone());
        let edit = TextEdit::multiline(&mut text).id(id).desired_rows(3).desired_width(f32::INFINITY);
        let mut output = edit.show(ui);
        let response = output.response.response.accessible_name(said);
        if std::mem::take(&mut self.keyboard_wanted) {
            response.request_focus();
            let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
            output.state.cursor.set_char_range(Some(all));
            output.state.store(ui.ctx(), id);
        }
        if response.changed() {
            self.drafts.insert(id, Draft { text, refused: None });
        }
        if response.lost_focus()
            && let Some(draft) = self.drafts.remove(&id)
        {
            self.set(name, value, draft.text);
        }
    }

    /// One of several, or not told.
    pub fn choice<T: Copy + PartialEq>(&mut self, ui: &mut Ui, name: &str, value: &mut Option<T>, all: &[(T, &str)]) {
        let mut offered = vec![(None, NOT_TOLD)];
        offered.extend(all.iter().map(|(choice, words)| (Some(*choice), *words)));
        self.one_of(ui, name, value, &offered);
    }

    /// Yes, no, or not told.
    pub fn yes_or_no(&mut self, ui: &mut Ui, name: &str, value: &mut Option<bool>) {
        self.choice(ui, name, value, &[(true, "yes"), (false, "no")]);
    }

    /// One of several.
    pub fn one_of<T: Copy + PartialEq>(&mut self, ui: &mut Ui, name: &str, value: &mut T, all: &[(T, &str)]) {
        let is_untold = all.first().is_some_and(|(choice, words)| *words == NOT_TOLD && choice == value);
        if is_untold && self.meets_untold() {
            all.get(1).inspect(|(choice, _)| *value = *choice);
        } else if is_untold {
            self.untold_row(ui, |fields, ui| fields.offer(ui, name, value, all));
        } else {
            self.offer(ui, name, value, all);
        }
    }

    fn offer<T: Copy + PartialEq>(&mut self, ui: &mut Ui, name: &str, value: &mut T, all: &[(T, &str)]) {
        if self.is_telling() {
            return;
        }
        row(ui, name, |ui| {
            let shown = all.iter().find(|(choice, _)| choice == value).map_or("other", |(_, words)| words);
            let shown = worded(ui, shown);
            let combo = ComboBox::from_id_salt(name).width(ui.available_width() - 4.0).height(320.0);
            let mut picked = None;
            let field = combo.drop_down_from(ui, &shown, |ui| picked = entries(ui, *value, all));
            field.accessible_name(worded(ui, name));
            self.set(name, value, picked.unwrap_or(*value));
        });
    }

    /// Takes a value that differs, and notes the change.
    pub fn set<T: PartialEq>(&mut self, name: &str, value: &mut T, new: T) {
        if *value != new {
            *value = new;
            self.changed = Some(name.to_owned());
        }
    }

    /// A line of text that is read when it is left or Enter is pressed.
    fn entry<T>(
        &mut self,
        ui: &mut Ui,
        name: &str,
        unit: &str,
        shown: &str,
        hint: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        if self.is_telling() {
            return None;
        }
        let id = ui.scope_id().with(name);
        let mut text = self.drafts.get(&id).map_or_else(|| shown.to_owned(), |draft| draft.text.clone());
        let unit_width = match unit.chars().count() {
            0 => 4.0,
            1..=3 => 30.0,
            _ => 46.0,
        };
        let output = row(ui, name, |ui| {
            let width = (ui.available_width() - unit_width).max(40.0);
            let output =
                TextEdit::singleline(&mut text).id(id).desired_width(width).hint_text(worded(ui, hint)).show(ui);
            if !unit.is_empty() {
                ui.label(RichText::new(unit).weak());
            }
            output
        });
        let room = output.response.response.rect.width() - ui.spacing().button_padding.x;
        let is_cut_off = output.galley.size().x > room;
        let response = output.response.response.accessible_name(worded(ui, name));
        let response = if is_cut_off { response.on_hover_text(&text) } else { response };
        if std::mem::take(&mut self.keyboard_wanted) {
            response.request_focus();
            response.scroll_to_me(None);
        }
        let is_refused = self.drafts.get(&id).is_some_and(|draft| draft.refused.is_some());
        if is_refused && std::mem::take(&mut self.refused_wanted) {
            response.request_focus();
            response.scroll_to_me(Some(Align::Center));
        }
        if response.gained_focus() {
            // Tab leads to fields that are out of view as well.
            response.scroll_to_me(None);
            let mut state = output.state;
            let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
            state.cursor.set_char_range(Some(all));
            state.store(ui.ctx(), id);
        }
        if response.changed() {
            self.drafts.insert(id, Draft { text: text.clone(), refused: None });
        }
        let mut taken = None;
        if response.lost_focus()
            && let Some(draft) = self.drafts.remove(&id)
            && !ui.input(|input| input.key_pressed(Key::Escape))
        {
            match read(&draft.text) {
                Ok(value) => taken = Some(value),
                Err(refused) => {
                    self.drafts.insert(id, Draft { text: draft.text, refused: Some(refused) });
                }
            }
        }
        if let Some(refused) = self.drafts.get(&id).and_then(|draft| draft.refused.as_ref()) {
            coloured(ui, format!("Not taken: {refused}"), ui.visuals().error_fg_color);
        }
        taken
    }
}

/// Marks at their left what has been shown from `top` on; where that is.
fn marked(ui: &Ui, top: Pos2, tip: &str) -> Rect {
    let bottom = ui.cursor().top() - ui.spacing().item_spacing.y;
    let shown = Rect::from_min_max(top, pos2(ui.max_rect().right(), bottom));
    let mark = Rect::from_min_max(shown.min - vec2(ASKED_BESIDE, 0.0), pos2(shown.left() - 2.0, bottom));
    ui.painter().rect_filled(mark, 1.0, ui.visuals().hyperlink_color);
    ui.interact(mark, ui.scope_id().with("asked"), Sense::hover()).on_hover_text(tip);
    shown
}

/// A name on the left, and what belongs to it.
pub fn row<R>(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        let width = (ui.available_width() * NAME_SHARE).clamp(NAME_WIDTHS.0, NAME_WIDTHS.1);
        let size = vec2(width, ui.spacing().interact_size.y);
        ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(width);
            ui.add(egui::Label::new(worded(ui, name)).wrap());
        });
        add(ui)
    })
    .inner
}

/// A heading over some fields.
pub fn heading(ui: &mut Ui, words: &str) {
    ui.add_space(6.0);
    strong(ui, words);
    ui.separator();
}
