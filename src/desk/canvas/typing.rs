//! The line in which the points of a run are typed: its first by its place, each further one by the way to it.

use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{
    Align2, Context, Event, Id, Key, Label, Pos2, Rect, Response, RichText, TextEdit, TextStyle, Ui, UiBuilder, pos2,
    vec2,
};
use glam::{DVec2, dvec2};

use super::anchor::{Anchor, Sought};
use super::drawing::Drawing;
use super::hit::Lines;
use super::paint::clipped;
use super::snap::Snapping;
use super::{Canvas, Pointing};
use crate::desk::{Action, Tool};
use crate::geom::walked;
use crate::layout::Service;
use crate::scene::Drawn;
use crate::session::Session;
use crate::units::{Stride, strides};

/// How wide the line is, and how high without the words below it, in points.
const SIZE: (f32, f32) = (290.0, 34.0);
/// How far it stays from the edges of the drawing, and from what is drawn, in points.
const BESIDE: f32 = 10.0;
/// So many rows of words may come to stand below the line.
const ROWS: f32 = 2.0;
/// What lies so near to a place that is typed is meant, mm; and the scale at which no more than that catches.
const MEANT_WITHIN_MM: f64 = 0.5;
const EXACT_MM_PER_POINT: f64 = 0.05;

/// Where it may stand; of several that hide as little, the first.
const CORNERS: [Align2; 4] = [Align2::LEFT_BOTTOM, Align2::RIGHT_BOTTOM, Align2::LEFT_TOP, Align2::RIGHT_TOP];

/// What is typed once a run is begun.
const STEP: &str = "Step from the last point";

/// Which point is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Point {
    First,
    Next,
}

impl Point {
    const fn name(self) -> &'static str {
        match self {
            Self::First => "First point",
            Self::Next => "Next point",
        }
    }

    /// What the line may hold; shown in it while it is empty.
    const fn example(self) -> &'static str {
        match self {
            Self::First => "1100, 600",
            Self::Next => "1200, up 450",
        }
    }

    const fn tip(self) -> &'static str {
        match self {
            Self::First => "Two numbers: how far right, and how high above the datum",
            Self::Next => {
                "A step from the last point: left, right, up or down and a length; several with commas between; a length alone follows the \
                 pointer; two numbers are right and up; fall 1:40 may follow a length"
            }
        }
    }

    /// Whether typed letters begin such a point. Until a run is begun, letters are keys of their own.
    fn begins_with(self, typed: &str) -> bool {
        match self {
            Self::First => typed.starts_with(|letter: char| letter.is_ascii_digit() || letter == '-'),
            Self::Next => !typed.trim().is_empty(),
        }
    }
}

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

    /// Whether something is typed of the next point.
    #[must_use]
    pub const fn has_typed(&self) -> bool {
        !self.typing.text.is_empty()
    }

    /// The points that what is typed leads to; none while it cannot be read.
    pub(super) fn typed_points(&self, pointing: &Pointing<'_>) -> Option<Vec<DVec2>> {
        let drawing = self.drawing.as_ref()?;
        let strides = strides(&self.typing.text).ok()?;
        let toward = pointing.at.unwrap_or_else(|| drawing.last() + DVec2::X);
        Some(walked(drawing.last(), toward, &strides, drawing.fall(pointing.outlook.fall)))
    }

    /// Shows the line while a pipe is in hand, and takes what is typed in it.
    pub(super) fn type_ui(&mut self, ui: &mut Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Tool::Pipe(service) = pointing.outlook.tool else {
            self.typing.clear();
            return;
        };
        let point = if self.drawing.is_some() { Point::Next } else { Point::First };
        let words = self.words_below(ui, pointing);
        let place = self.place_of_line(ui, &words, pointing);
        ui.painter().rect_filled(place.expand(4.0), 4.0, ui.visuals().panel_fill);
        let mut line = ui.new_child(UiBuilder::new().max_rect(place));
        let id = ui.scope_id().with("next point");
        let begun = self.take_first_letters(ui, pointing, point);
        let field = self.field(&mut line, id, point);
        let length = self.typing.text.chars().count();
        if begun {
            hold_letters(ui.ctx(), id, CCursorRange::one(CCursor::new(length)));
            field.request_focus();
        }
        if field.changed() {
            self.typing.refused = None;
        }
        if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            match point {
                Point::First => self.begin_at_typed(service, pointing.session, actions),
                Point::Next if self.typing.text.trim().is_empty() => self.finish_here(pointing, actions),
                Point::Next => self.take_typed(pointing),
            }
            if self.typing.refused.is_some() {
                // The next letter takes the place of what was refused.
                hold_letters(ui.ctx(), id, CCursorRange::two(CCursor::new(0), CCursor::new(length)));
                field.request_focus();
            } else {
                pointing.response.request_focus();
            }
        } else if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape)) {
            self.typing.clear();
            pointing.response.request_focus();
        }
        line.add(Label::new(words).wrap());
    }

    /// What stands below the line: why what was typed is not taken, or what it leads to.
    fn words_below(&self, ui: &Ui, pointing: &Pointing<'_>) -> RichText {
        match &self.typing.refused {
            Some(refused) => RichText::new(format!("Not taken: {refused}")).color(ui.visuals().error_fg_color),
            None => RichText::new(self.live_words(pointing)).weak(),
        }
    }

    /// Where the line and the words below it stand: in the corner in which they hide least of what is drawn.
    fn place_of_line(&self, ui: &Ui, words: &RichText, pointing: &Pointing<'_>) -> Rect {
        let row = ui.text_style_height(&TextStyle::Body);
        let font = TextStyle::Body.resolve(ui.style());
        let written = ui.painter().layout(words.text().to_owned(), font, ui.visuals().text_color(), SIZE.0).size().y;
        let within = self.view.rect.shrink(BESIDE);
        let drawn = self.lines_on_screen(pointing);
        let hides = |corner: &Align2| {
            let place = corner.align_size_within_rect(vec2(SIZE.0, SIZE.1 + ROWS * row), within).expand(BESIDE);
            let hidden = drawn.iter().filter_map(|line| clipped(line[0], line[1], place));
            hidden.map(|[from, to]| from.distance(to)).sum::<f32>()
        };
        let least = |a: &Align2, b: &Align2| hides(a).total_cmp(&hides(b));
        let corner = CORNERS.into_iter().min_by(least).unwrap_or(CORNERS[0]);
        corner.align_size_within_rect(vec2(SIZE.0, SIZE.1 + written.max(row)), within)
    }

    /// The lines of what is drawn and of the run under way; floors right across, since pipes begin on them beside the house.
    fn lines_on_screen(&self, pointing: &Pointing<'_>) -> Vec<[Pos2; 2]> {
        let on_screen = |points: &[DVec2]| {
            let places: Vec<Pos2> = points.iter().map(|point| self.view.screen_from_section(*point)).collect();
            places.windows(2).map(|pair| [pair[0], pair[1]]).collect::<Vec<_>>()
        };
        let strokes = self.sheet.inked().iter().flat_map(|stroke| match &stroke.drawn {
            Drawn::Line { points, .. } | Drawn::Area { points, .. } => on_screen(points),
            Drawn::Words { at, .. } => on_screen(&[*at, *at + DVec2::X]),
        });
        let storeys = &pointing.session.layout().building.storeys;
        let floors = std::iter::once(0.0).chain(storeys.iter().map(|storey| storey.floor.to_mm())).map(|level_mm| {
            let level = self.view.screen_from_section(dvec2(0.0, level_mm)).y;
            [pos2(self.view.rect.left(), level), pos2(self.view.rect.right(), level)]
        });
        let under_way = self.drawing.iter().flat_map(|drawing| on_screen(&drawing.points()));
        strokes.chain(floors).chain(under_way).collect()
    }

    /// The field in which a point is typed.
    fn field(&mut self, line: &mut Ui, id: Id, point: Point) -> Response {
        let row = line.horizontal(|ui| {
            ui.label(point.name());
            let edit = TextEdit::singleline(&mut self.typing.text).id(id).hint_text(point.example());
            edit.desired_width(SIZE.0 - 100.0).show(ui).response.response
        });
        let field = row.inner.accessible_name(point.name());
        field.clone().on_hover_text(point.tip());
        field
    }

    /// Typing begins with the first digit or letter, without a click into the line.
    fn take_first_letters(&mut self, ui: &Ui, pointing: &Pointing<'_>, point: Point) -> bool {
        let free = ui.memory(egui::Memory::focused).is_none_or(|focused| focused == pointing.response.id);
        if !free {
            return false;
        }
        let under_way = !self.typing.text.is_empty() && self.typing.refused.is_none();
        let typed: String = ui.input(|input| {
            let texts = input.events.iter().filter_map(|event| match event {
                Event::Text(text) if point.begins_with(text) || under_way => Some(text.as_str()),
                _ => None,
            });
            texts.collect()
        });
        if !typed.is_empty() && !under_way {
            self.typing.clear();
        }
        self.typing.text.push_str(&typed);
        !typed.is_empty()
    }

    /// Begins a run at the place that is typed: on what lies exactly there, or in the open.
    fn begin_at_typed(&mut self, service: Service, session: &Session, actions: &mut Vec<Action>) {
        let text = self.typing.text.trim();
        if text.is_empty() {
            return;
        }
        let at = match strides(text).as_deref() {
            Ok([Stride::To { right_mm, up_mm }]) => dvec2(*right_mm, *up_mm),
            _ => {
                let example = Point::First.example();
                let refused = format!("'{text}' is no place; type how far right and how high, as in {example}");
                self.typing.refused = Some(refused);
                return;
            }
        };
        let layout = session.layout();
        let sought = Sought { service, snapping: Snapping::On, other_end_on: None, in_hand: None };
        let lines = Lines::of(layout);
        let marks = self.snaps(session, None);
        let anchor = match Anchor::find(layout, &lines, marks, at, EXACT_MM_PER_POINT, sought) {
            Anchor::Free { .. } => Anchor::free(at),
            caught if caught.at().distance(at) < MEANT_WITHIN_MM => caught,
            _ => Anchor::free(at),
        };
        actions.push(Action::Say(begun_words(service, &anchor)));
        self.drawing = Some(Drawing::begin(service, anchor));
        self.typing.clear();
    }

    fn take_typed(&mut self, pointing: &Pointing<'_>) {
        match (strides(&self.typing.text), self.typed_points(pointing)) {
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
    fn live_words(&self, pointing: &Pointing<'_>) -> String {
        match (&self.drawing, self.typed_points(pointing)) {
            (Some(drawing), Some(points)) => {
                let to = points.last().copied().unwrap_or_else(|| drawing.last());
                let way = drawing.words(&points).replace('\n', ", ");
                format!("{STEP}: {way}, to {} right, {} up", to.x.round() + 0.0, to.y.round() + 0.0)
            }
            (None, _) => "A place: how far right, and how high; or click where it begins".to_owned(),
            (Some(_), None) if !self.typing.text.is_empty() => String::new(),
            (Some(_), None) if self.live.is_empty() => STEP.to_owned(),
            (Some(_), None) => format!("{STEP}: {}", self.live.replace('\n', ", ")),
        }
    }
}

/// Whether a key is the first of a place that is typed.
#[must_use]
pub const fn begins_a_place(key: Key) -> bool {
    use Key::{Minus, Num0, Num1, Num2, Num3, Num4, Num5, Num6, Num7, Num8, Num9};
    matches!(key, Minus | Num0 | Num1 | Num2 | Num3 | Num4 | Num5 | Num6 | Num7 | Num8 | Num9)
}

/// Where a run begins, and how it goes on.
pub(super) fn begun_words(service: Service, anchor: &Anchor) -> String {
    let place = match anchor.words() {
        words if words.is_empty() => {
            let at = anchor.at().round();
            format!("at {} right, {} up", at.x + 0.0, at.y + 0.0)
        }
        words => words,
    };
    format!("{} begins {place}; click bends, and end it on a port, or with Enter in the open", service.words())
}

/// Puts the cursor of a line on some of its letters, or between two.
fn hold_letters(ctx: &Context, id: Id, letters: CCursorRange) {
    let mut state = TextEditState::load(ctx, id).unwrap_or_default();
    state.cursor.set_char_range(Some(letters));
    state.store(ctx, id);
}
