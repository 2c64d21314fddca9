//! The line in which the next point of a run is typed while it is drawn.

use egui::text::{CCursor, CCursorRange};
use egui::{Event, Key, Rect, RichText, TextEdit, Ui, UiBuilder, pos2, vec2};
use glam::DVec2;

use super::{Canvas, Pointing};
use crate::desk::{Action, Outlook};
use crate::geom::walked;
use crate::session::Session;
use crate::units::strides;

/// What the line may hold; shown in it while it is empty, and in the help.
const EXAMPLE: &str = "1200, up 450";
/// How wide and how high the line is, in points.
const SIZE: (f32, f32) = (380.0, 60.0);

/// What is being typed.
#[derive(Debug, Default)]
pub struct Typing {
    text: String,
    refused: Option<String>,
}

impl Typing {
    pub(super) fn clear(&mut self) {
        *self = Self::default();
    }
}

impl Canvas {
    /// Whether letters and digits belong to a run that is being drawn.
    #[must_use]
    pub const fn takes_typing(&self) -> bool {
        self.drawing.is_some()
    }

    /// The points that what is typed leads to; none while it cannot be read.
    pub(super) fn typed_points(&self, pointing: &Pointing, outlook: &Outlook) -> Option<Vec<DVec2>> {
        let drawing = self.drawing.as_ref()?;
        let strides = strides(&self.typing.text).ok()?;
        let toward = pointing.at.unwrap_or_else(|| drawing.last() + DVec2::X);
        Some(walked(drawing.last(), toward, &strides, outlook.fall))
    }

    /// Shows the line while a run is drawn, and takes what is typed in it.
    pub(super) fn type_ui(
        &mut self,
        ui: &mut Ui,
        pointing: &Pointing,
        session: &Session,
        outlook: &Outlook,
        actions: &mut Vec<Action>,
    ) {
        if self.drawing.is_none() {
            self.typing.clear();
            return;
        }
        let foot = self.view.rect.left_bottom() + vec2(10.0, -10.0);
        let place = Rect::from_min_max(pos2(foot.x, foot.y - SIZE.1), pos2(foot.x + SIZE.0, foot.y));
        ui.painter().rect_filled(place.expand(4.0), 4.0, ui.visuals().panel_fill);
        let mut line = ui.new_child(UiBuilder::new().max_rect(place));
        let id = ui.scope_id().with("next point");
        let begun = self.take_first_letters(ui, pointing);
        let output = line
            .horizontal(|ui| {
                ui.label("Next point");
                TextEdit::singleline(&mut self.typing.text).id(id).hint_text(EXAMPLE).desired_width(250.0).show(ui)
            })
            .inner;
        let field = output.response.response.accessible_name("Next point");
        field.clone().on_hover_text(
            "left, right, up or down and a length; several with commas between; a length alone follows the pointer; \
             two numbers are right and up; fall 1:40 may follow a length",
        );
        if begun {
            let mut state = output.state;
            let end = CCursor::new(self.typing.text.chars().count());
            state.cursor.set_char_range(Some(CCursorRange::one(end)));
            state.store(ui.ctx(), id);
            field.request_focus();
        }
        if field.changed() {
            self.typing.refused = None;
        }
        if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            if self.typing.text.trim().is_empty() {
                self.finish_here(session, outlook, actions);
            } else {
                self.take_typed(pointing, outlook);
            }
            pointing.response.request_focus();
        } else if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape)) {
            self.typing.clear();
            pointing.response.request_focus();
        }
        let words = match (&self.typing.refused, self.live_words(pointing, outlook)) {
            (Some(refused), _) => RichText::new(format!("Not taken: {refused}")).color(ui.visuals().error_fg_color),
            (None, words) => RichText::new(words).weak(),
        };
        line.add(egui::Label::new(words).truncate());
    }

    /// Typing begins with the first digit or letter, without a click into the line.
    fn take_first_letters(&mut self, ui: &Ui, pointing: &Pointing) -> bool {
        let free = ui.memory(egui::Memory::focused).is_none_or(|focused| focused == pointing.response.id);
        if !free {
            return false;
        }
        let under_way = !self.typing.text.is_empty();
        let typed: String = ui.input(|input| {
            let texts = input.events.iter().filter_map(|event| match event {
                Event::Text(text) if !text.trim().is_empty() || under_way => Some(text.as_str()),
                _ => None,
            });
            texts.collect()
        });
        self.typing.text.push_str(&typed);
        !typed.is_empty()
    }

    fn take_typed(&mut self, pointing: &Pointing, outlook: &Outlook) {
        match (strides(&self.typing.text), self.typed_points(pointing, outlook)) {
            (Ok(_), Some(points)) => {
                if let Some(drawing) = self.drawing.as_mut() {
                    drawing.go_through(&points);
                }
                self.typing.clear();
            }
            (Err(error), _) => self.typing.refused = Some(error.to_string()),
            (Ok(_), None) => {}
        }
    }

    /// Length and fall of what is typed, or how it goes on.
    fn live_words(&self, pointing: &Pointing, outlook: &Outlook) -> String {
        match (&self.drawing, self.typed_points(pointing, outlook)) {
            (Some(drawing), Some(points)) => drawing.words(&points).replace('\n', ", "),
            _ if self.typing.text.is_empty() => self.live.replace('\n', ", "),
            _ => String::new(),
        }
    }
}
