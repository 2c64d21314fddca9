//! The drawing as DXF of release 12: plain text that every reader takes, in section millimetres, layers by trade.
//! Dimensions are dimension entities, each with the block of lines that shows it.
//!
//! Group codes after the DXF reference of that release, from memory.

use std::fmt::Write;

use glam::DVec2;

use super::title::CAUTION;
use crate::layout::{Layout, PartRef, Service};
use crate::measure::Axis;
use crate::scene::{Drawn, Ink, LineStyle, Origin, PlacedDimension, Scene, Stroke, TextAnchor, Turn, View, bounds};

/// A layer: its name, and its colour by the index that readers share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Layer {
    name: &'static str,
    colour: u8,
}

const BUILDING: Layer = Layer { name: "BUILDING", colour: 8 };
const PLATFORMS: Layer = Layer { name: "PLATFORMS", colour: 32 };
const VESSELS: Layer = Layer { name: "VESSELS", colour: 7 };
const OUTLETS: Layer = Layer { name: "OUTLETS", colour: 7 };
const MAINS: Layer = Layer { name: "PIPES-MAINS", colour: 94 };
const COLD: Layer = Layer { name: "PIPES-COLD", colour: 5 };
const HOT: Layer = Layer { name: "PIPES-HOT", colour: 1 };
const OPEN: Layer = Layer { name: "PIPES-OPEN", colour: 6 };
const PRIMARY: Layer = Layer { name: "PIPES-PRIMARY", colour: 30 };
const MARKS: Layer = Layer { name: "MARKS", colour: 1 };
const NOTES: Layer = Layer { name: "NOTES", colour: 7 };
const DIMENSIONS: Layer = Layer { name: "DIMENSIONS", colour: 7 };
const LAYERS: [Layer; 12] =
    [BUILDING, PLATFORMS, VESSELS, OUTLETS, MAINS, COLD, HOT, OPEN, PRIMARY, MARKS, NOTES, DIMENSIONS];

/// Paper around the drawing on which notes and dimensions may stand, mm.
const BEYOND_MM: f64 = 90.0;

/// Letters of notes, mm on paper.
const NOTE_MM: f64 = 2.5;

/// Level words that begin at a point.
fn words(at: DVec2, note: &str) -> Drawn {
    Drawn::Words {
        at,
        anchor: TextAnchor::Start,
        words: note.to_owned(),
        size_mm: NOTE_MM,
        ink: Ink::Ink,
        turn: Turn::Level,
    }
}

/// The drawing as DXF, lettered for a scale of one to this; below it its title, notes, and the caution of every sheet. The same drawing gives the same bytes.
#[must_use]
pub fn dxf(layout: &Layout, scene: &Scene, scale: f64, notes: &[String]) -> String {
    let inked = scene.inked_whole(&View {
        scale,
        within: bounds(scene).map(|(low, high)| (low - BEYOND_MM * scale, high + BEYOND_MM * scale)),
    });
    let strokes = &inked.strokes;
    let mut page = Page::default();
    let (low, high) = bounds(scene).unwrap_or_default();
    page.pairs(&[(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"), (9, "$EXTMIN")]);
    page.place(10, low);
    page.pairs(&[(9, "$EXTMAX")]);
    page.place(10, high);
    page.pairs(&[(0, "ENDSEC"), (0, "SECTION"), (2, "TABLES")]);
    page.line_types();
    page.layers();
    page.dimension_style(scale);
    page.pairs(&[(0, "ENDSEC"), (0, "SECTION"), (2, "BLOCKS")]);
    for (number, dimension) in inked.dimensions.iter().enumerate() {
        page.dimension_block(number, dimension, &strokes[dimension.strokes.clone()], scale);
    }
    page.pairs(&[(0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]);
    for (number, stroke) in strokes.iter().enumerate() {
        if !inked.dimensions.iter().any(|dimension| dimension.strokes.contains(&number)) {
            page.stroke(layer_of(layout, &stroke.origin), &stroke.drawn, scale);
        }
    }
    for (number, dimension) in inked.dimensions.iter().enumerate() {
        page.dimension(number, dimension);
    }
    let mut at = low;
    let (title, notes) = (layout.heading.title.as_str(), notes.iter().map(String::as_str));
    for note in std::iter::once(title).chain(notes).chain([CAUTION]).filter(|note| !note.is_empty()) {
        at.y -= 2.0 * NOTE_MM * scale;
        page.stroke(NOTES, &words(at, note), scale);
    }
    page.pairs(&[(0, "ENDSEC"), (0, "EOF")]);
    page.text
}

fn layer_of(layout: &Layout, origin: &Origin) -> Layer {
    let Origin::Part(id) = origin else {
        return if matches!(origin, Origin::Mark(_)) { MARKS } else { BUILDING };
    };
    match layout.part(id) {
        Some(PartRef::Platform(_)) => PLATFORMS,
        Some(PartRef::Cistern(_) | PartRef::Cylinder(_) | PartRef::Boiler(_)) => VESSELS,
        Some(PartRef::Outlet(_)) => OUTLETS,
        Some(PartRef::Run(run)) => match run.service {
            Service::RisingMain => MAINS,
            Service::ColdFeed | Service::ColdDistribution | Service::Link => COLD,
            Service::HotDistribution => HOT,
            Service::OpenVent | Service::WarningPipe => OPEN,
            Service::PrimaryFlow | Service::PrimaryReturn | Service::PrimaryFeed | Service::PrimaryVent => PRIMARY,
        },
        Some(PartRef::Note(_)) => NOTES,
        None => BUILDING,
    }
}

const fn dimension_layer(dimension: &PlacedDimension) -> Layer {
    if matches!(dimension.origin, Origin::Mark(_)) { MARKS } else { DIMENSIONS }
}

/// Blocks whose name begins with a star and a D hold what shows a dimension.
fn block_name(number: usize) -> String {
    format!("*D{}", number + 1)
}

#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn pair(&mut self, code: u16, value: &str) {
        let _ = writeln!(self.text, "{code:>3}\n{value}");
    }

    fn pairs(&mut self, pairs: &[(u16, &str)]) {
        pairs.iter().for_each(|(code, value)| self.pair(*code, value));
    }

    /// A place by its group code for x; y follows ten further on.
    fn place(&mut self, code: u16, at: DVec2) {
        self.pair(code, &number(at.x));
        self.pair(code + 10, &number(at.y));
    }

    fn line_types(&mut self) {
        self.pairs(&[(0, "TABLE"), (2, "LTYPE"), (70, "2")]);
        self.pairs(&[(0, "LTYPE"), (2, "CONTINUOUS"), (70, "0"), (3, "Solid"), (72, "65"), (73, "0"), (40, "0")]);
        // A dash of 60 mm and a gap of 48 mm of the section.
        self.pairs(&[(0, "LTYPE"), (2, "DASHED"), (70, "0"), (3, "Dashed"), (72, "65"), (73, "2"), (40, "108")]);
        self.pairs(&[(49, "60"), (49, "-48"), (0, "ENDTAB")]);
    }

    fn layers(&mut self) {
        let count = LAYERS.len().to_string();
        self.pairs(&[(0, "TABLE"), (2, "LAYER"), (70, &count)]);
        for layer in LAYERS {
            let colour = layer.colour.to_string();
            self.pairs(&[(0, "LAYER"), (2, layer.name), (70, "0"), (62, &colour), (6, "CONTINUOUS")]);
        }
        self.pair(0, "ENDTAB");
    }

    /// The one style of dimensions: arrows and letters as large as they are drawn.
    fn dimension_style(&mut self, scale: f64) {
        self.pairs(&[(0, "TABLE"), (2, "DIMSTYLE"), (70, "1"), (0, "DIMSTYLE"), (2, "STANDARD"), (70, "0")]);
        self.pairs(&[(3, ""), (4, ""), (5, ""), (6, ""), (7, ""), (40, "1")]);
        self.pair(41, &number(2.2 * scale));
        self.pair(42, &number(0.8 * scale));
        self.pair(44, &number(1.2 * scale));
        self.pair(140, &number(2.0 * scale));
        self.pair(147, &number(0.6 * scale));
        self.pairs(&[(77, "1"), (0, "ENDTAB")]);
    }

    /// The lines and words that show a dimension, as a block without a name of its own.
    fn dimension_block(&mut self, number: usize, dimension: &PlacedDimension, strokes: &[Stroke], scale: f64) {
        let layer = dimension_layer(dimension);
        let name = block_name(number);
        self.pairs(&[(0, "BLOCK"), (8, layer.name), (2, &name), (70, "1")]);
        self.place(10, DVec2::ZERO);
        self.pair(3, &name);
        for stroke in strokes {
            self.arrowhead(layer, &stroke.drawn);
            self.stroke(layer, &stroke.drawn, scale);
        }
        self.pairs(&[(0, "ENDBLK"), (8, layer.name)]);
    }

    /// A filled triangle, as a solid whose last corner stands twice.
    fn arrowhead(&mut self, layer: Layer, drawn: &Drawn) {
        let Drawn::Area { points, fill: Some(_), outline: None } = drawn else { return };
        let [tip, left, right] = points[..] else { return };
        self.pairs(&[(0, "SOLID"), (8, layer.name)]);
        for (code, at) in [(10, tip), (11, left), (12, right), (13, right)] {
            self.place(code, at);
        }
    }

    /// A rotated dimension between two places.
    fn dimension(&mut self, number: usize, dimension: &PlacedDimension) {
        let layer = dimension_layer(dimension);
        self.pairs(&[(0, "DIMENSION"), (8, layer.name), (2, &block_name(number))]);
        self.place(10, dimension.on_line);
        self.place(11, dimension.words_at);
        self.pair(70, "0");
        // A plain number is what the reader measures; other words stand instead of it.
        if matches!(dimension.origin, Origin::Mark(_)) {
            self.pair(1, &lettered(&dimension.words));
        }
        self.pair(3, "STANDARD");
        self.place(13, dimension.from);
        self.place(14, dimension.to);
        self.pair(50, if dimension.axis == Axis::Upright { "90" } else { "0" });
    }

    fn stroke(&mut self, layer: Layer, drawn: &Drawn, scale: f64) {
        match drawn {
            Drawn::Line { points, outline } => self.polyline(layer, points, outline.style, "0"),
            // What is only filled is a ground behind other things, and has no edge to draw.
            Drawn::Area { points, outline: Some(outline), .. } => self.polyline(layer, points, outline.style, "1"),
            Drawn::Area { outline: None, .. } => {}
            Drawn::Words { at, anchor, words, size_mm, turn, .. } => {
                self.pairs(&[(0, "TEXT"), (8, layer.name)]);
                self.place(10, *at);
                self.pair(40, &number(size_mm * scale));
                self.pair(1, &lettered(words));
                if *turn == Turn::Upward {
                    self.pair(50, "90");
                }
                let justified = match anchor {
                    TextAnchor::Start => return,
                    TextAnchor::Middle => "1",
                    TextAnchor::End => "2",
                };
                self.pair(72, justified);
                self.place(11, *at);
            }
        }
    }

    fn polyline(&mut self, layer: Layer, points: &[DVec2], style: LineStyle, closed: &str) {
        let line_type = if style == LineStyle::Dashed { "DASHED" } else { "BYLAYER" };
        self.pairs(&[(0, "POLYLINE"), (8, layer.name), (6, line_type), (66, "1"), (70, closed)]);
        self.place(10, DVec2::ZERO);
        for point in points {
            self.pairs(&[(0, "VERTEX"), (8, layer.name)]);
            self.place(10, *point);
        }
        self.pairs(&[(0, "SEQEND"), (8, layer.name)]);
    }
}

fn number(value: f64) -> String {
    super::writer::number(value)
}

/// Words in the letters of release 12: others by their code point, as later readers take them; nothing breaks a line.
fn lettered(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '°' => text.push_str("%%d"),
            '±' => text.push_str("%%p"),
            'Ø' => text.push_str("%%c"),
            '%' => text.push_str("%%%"),
            letter if letter.is_control() => text.push(' '),
            letter if letter.is_ascii() => text.push(letter),
            letter => {
                let mut units = [0; 2];
                for unit in letter.encode_utf16(&mut units) {
                    let _ = write!(text, "\\U+{unit:04X}");
                }
            }
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_that_release_12_lacks_are_told_by_code_point() {
        assert_eq!(lettered("5° · 50 %\n"), "5%%d \\U+00B7 50 %%% ");
    }
}
