//! PDF through krilla: lines stay lines, words can be selected, the typefaces are embedded, links lead within the file.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use epaint_default_fonts::{HACK_REGULAR, UBUNTU_LIGHT};
use glam::DVec2;
use krilla::annotation::{LinkAnnotation, Target};
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline as Contents, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::{Document, SerializeSettings};

use super::SheetError;
use super::page::PageItem;
use super::shaped::Typeface;
use super::writer::dashes_mm;
use crate::scene::{Drawn, Ink, LineStyle, Outline, TextAnchor, Theme, Turn, is_lettered, width_mm};
use crate::units::MM_IN_AN_INCH;

/// PDF points in a millimetre: 72 to the inch (ISO 32000-1, 8.3.2.3).
const POINTS_IN_A_MM: f64 = 72.0 / MM_IN_AN_INCH;
/// Advance of every letter of Hack, which is monospaced, as a share of the letter size: 1233 of 2048 units.
const HACK_ADVANCE: f64 = 1233.0 / 2048.0;

static USUAL: LazyLock<Typeface> = LazyLock::new(|| Typeface::read(UBUNTU_LIGHT));
/// For arrows and signs that the usual one lacks.
static SIGNS: LazyLock<Typeface> = LazyLock::new(|| Typeface::read(HACK_REGULAR));

/// A page and its size in mm.
pub(super) struct Leaf {
    pub items: Vec<PageItem>,
    pub size_mm: (f64, f64),
}

/// Pages as PDF, with their links and a list of contents.
pub(super) fn pdf(leaves: &[Leaf], theme: &Theme, title: &str) -> Result<Vec<u8>, SheetError> {
    // No tree of tags is given, so none is written.
    let settings = SerializeSettings { enable_tagging: false, ..SerializeSettings::default() };
    written(leaves, theme, title, settings)
}

fn written(leaves: &[Leaf], theme: &Theme, title: &str, settings: SerializeSettings) -> Result<Vec<u8>, SheetError> {
    let failed = |what: &str| SheetError::Pdf(what.to_owned());
    let mut document = Document::new_with(settings);
    document.set_metadata(Metadata::new().title(title.to_owned()).language("en-GB".to_owned()));
    let targets = targets(leaves);
    for leaf in leaves {
        let (width, height) = leaf.size_mm;
        let settings = PageSettings::from_wh((width * POINTS_IN_A_MM) as f32, (height * POINTS_IN_A_MM) as f32);
        let mut page = document.start_page_with(settings.ok_or_else(|| failed("the paper has no size"))?);
        let mut surface = page.surface();
        surface.push_transform(&Transform::from_scale(POINTS_IN_A_MM as f32, POINTS_IN_A_MM as f32));
        let mut writer = Writer { surface: &mut surface, theme };
        writer.area(
            &[DVec2::ZERO, DVec2::new(width, 0.0), DVec2::new(width, height), DVec2::new(0.0, height)],
            Some(Ink::Paper),
            None,
        );
        writer.items(&leaf.items);
        surface.pop();
        surface.finish();
        for item in &leaf.items {
            let PageItem::Link(field, to) = item else { continue };
            let (low, high) = (in_points(field.low), in_points(field.high));
            if let (Some(area), Some(target)) =
                (Rect::from_ltrb(low.x, low.y, high.x, high.y), targets.get(to.as_str()))
            {
                let target = Target::Destination(target.clone().into());
                page.add_annotation(LinkAnnotation::new(area, target).into());
            }
        }
        page.finish();
    }
    document.set_outline(contents(leaves));
    document.finish().map_err(|error| SheetError::Pdf(format!("{error:?}")))
}

fn in_points(at: DVec2) -> Point {
    let at = (at * POINTS_IN_A_MM).as_vec2();
    Point::from_xy(at.x, at.y)
}

/// Where links lead; of several of one name to the first.
fn targets(leaves: &[Leaf]) -> BTreeMap<&str, XyzDestination> {
    let mut targets = BTreeMap::new();
    for (number, leaf) in leaves.iter().enumerate() {
        for item in &leaf.items {
            if let PageItem::Target(at, name) = item {
                targets.entry(name.as_str()).or_insert_with(|| XyzDestination::new(number, in_points(*at)));
            }
        }
    }
    targets
}

/// The list of contents: bookmarks of the second rank below those of the first.
fn contents(leaves: &[Leaf]) -> Contents {
    let mut contents = Contents::new();
    let mut open: Option<OutlineNode> = None;
    for (number, leaf) in leaves.iter().enumerate() {
        for item in &leaf.items {
            let PageItem::Bookmark(at, rank, words) = item else { continue };
            let node = OutlineNode::new(words.clone(), XyzDestination::new(number, in_points(*at)));
            match &mut open {
                Some(chapter) if *rank > 0 => chapter.push_child(node),
                _ => {
                    open.replace(node).into_iter().for_each(|chapter| contents.push_child(chapter));
                }
            }
        }
    }
    open.into_iter().for_each(|chapter| contents.push_child(chapter));
    contents
}

struct Writer<'a, 'b> {
    surface: &'a mut Surface<'b>,
    theme: &'a Theme,
}

impl Writer<'_, '_> {
    /// Everything on a page. Lines that follow each other and are drawn alike become one path: hatching is most of a sheet.
    fn items(&mut self, mut items: &[PageItem]) {
        while let Some((first, rest)) = items.split_first() {
            let PageItem::Drawn(Drawn::Line { outline, .. }) = first else {
                self.item(first);
                items = rest;
                continue;
            };
            let alike: Vec<&[DVec2]> = items.iter().map_while(|item| line_drawn(item, *outline)).collect();
            items = &items[alike.len()..];
            self.lines(&alike, *outline);
        }
    }

    fn item(&mut self, item: &PageItem) {
        match item {
            PageItem::Clip(field) => {
                let (low, high) = (field.low.as_vec2(), field.high.as_vec2());
                let mut path = PathBuilder::new();
                if let Some(edge) = Rect::from_ltrb(low.x, low.y, high.x, high.y) {
                    path.push_rect(edge);
                }
                // Without an edge nothing is seen through, and an empty clip needs some path all the same.
                let path = path.finish().or_else(nowhere).expect("a path of one point");
                self.surface.push_clip_path(&path, &FillRule::NonZero);
            }
            PageItem::EndClip => self.surface.pop(),
            PageItem::Link(..) | PageItem::Target(..) | PageItem::Bookmark(..) => {}
            PageItem::Drawn(Drawn::Line { points, outline }) => self.lines(&[points], *outline),
            PageItem::Drawn(Drawn::Area { points, fill, outline }) => self.area(points, *fill, *outline),
            PageItem::Drawn(Drawn::Words { at, anchor, words, size_mm, ink, turn }) => {
                self.words(*at, *anchor, words, *size_mm, *ink, *turn);
            }
        }
    }

    fn lines(&mut self, lines: &[&[DVec2]], outline: Outline) {
        self.surface.set_fill(None);
        let stroke = self.stroke(outline);
        self.surface.set_stroke(Some(stroke));
        if let Some(path) = path(lines, Closing::Open) {
            self.surface.draw_path(&path);
        }
    }

    fn area(&mut self, points: &[DVec2], fill: Option<Ink>, outline: Option<Outline>) {
        let fill = fill.map(|ink| self.fill(ink));
        let stroke = outline.map(|outline| self.stroke(outline));
        self.surface.set_fill(fill);
        self.surface.set_stroke(stroke);
        if let Some(path) = path(&[points], Closing::Closed) {
            self.surface.draw_path(&path);
        }
    }

    fn words(&mut self, at: DVec2, anchor: TextAnchor, words: &str, size_mm: f64, ink: Ink, turn: Turn) {
        let pieces = by_typeface(words);
        let wide = |(piece, is_usual): &(String, bool)| {
            if *is_usual { width_mm(piece, size_mm) } else { piece.chars().count() as f64 * HACK_ADVANCE * size_mm }
        };
        let whole: f64 = pieces.iter().map(wide).sum();
        let mut along = match anchor {
            TextAnchor::Start => 0.0,
            TextAnchor::Middle => -whole / 2.0,
            TextAnchor::End => -whole,
        };
        let place = at.as_vec2();
        self.surface.push_transform(&match turn {
            Turn::Level => Transform::from_translate(place.x, place.y),
            Turn::Upward => Transform::from_row(0.0, -1.0, 1.0, 0.0, place.x, place.y),
        });
        let fill = self.fill(ink);
        self.surface.set_fill(Some(fill));
        self.surface.set_stroke(None);
        for piece in &pieces {
            let typeface = if piece.1 { &USUAL } else { &SIGNS };
            let (start, glyphs) = (Point::from_xy(along as f32, 0.0), typeface.glyphs(&piece.0));
            self.surface.draw_glyphs(start, &glyphs, typeface.font.clone(), &piece.0, size_mm as f32, false);
            along += wide(piece);
        }
        self.surface.pop();
    }

    fn fill(&self, ink: Ink) -> Fill {
        Fill { paint: self.colour(ink).into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
    }

    fn stroke(&self, outline: Outline) -> Stroke {
        let width = outline.width_mm * self.theme.line_weight;
        let dash = (outline.style == LineStyle::Dashed).then(|| {
            let (dash, gap) = dashes_mm(width);
            StrokeDash { array: vec![dash as f32, gap as f32], offset: 0.0 }
        });
        Stroke {
            paint: self.colour(outline.ink).into(),
            width: width as f32,
            line_join: LineJoin::Round,
            dash,
            ..Stroke::default()
        }
    }

    fn colour(&self, ink: Ink) -> rgb::Color {
        let colour = self.theme.colour(ink);
        rgb::Color::new(colour.red, colour.green, colour.blue)
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Closing {
    Open,
    Closed,
}

fn path(pieces: &[&[DVec2]], closing: Closing) -> Option<Path> {
    let mut path = PathBuilder::new();
    for points in pieces {
        for (index, point) in points.iter().enumerate() {
            // To a thousandth of a millimetre: finer digits would only make the file longer.
            let point = ((*point * 1000.0).round() / 1000.0).as_vec2();
            if index == 0 { path.move_to(point.x, point.y) } else { path.line_to(point.x, point.y) }
        }
        if closing == Closing::Closed {
            path.close();
        }
    }
    path.finish()
}

fn nowhere() -> Option<Path> {
    path(&[&[DVec2::ZERO, DVec2::ZERO]], Closing::Closed)
}

/// The points of a line that is drawn in such a way.
fn line_drawn(item: &PageItem, wanted: Outline) -> Option<&[DVec2]> {
    match item {
        PageItem::Drawn(Drawn::Line { points, outline }) if *outline == wanted => Some(points),
        _ => None,
    }
}

/// Words in pieces of one typeface each, and whether that is the usual one. Control characters are dropped.
fn by_typeface(words: &str) -> Vec<(String, bool)> {
    let mut pieces: Vec<(String, bool)> = Vec::new();
    for letter in words.chars().filter(|letter| !letter.is_control()) {
        let is_usual = letter == ' ' || is_lettered(letter);
        match pieces.last_mut() {
            Some((piece, usual)) if *usual == is_usual => piece.push(letter),
            _ => pieces.push((letter.to_string(), is_usual)),
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line of 100 mm stands in the file as numbers that the file's own transforms make 100 mm on paper: read back from
    /// the uncompressed stream.
    #[test]
    fn a_line_is_as_long_on_paper_as_it_was_laid_out() {
        let outline = Outline::solid(Ink::Ink, 0.35);
        let points = vec![DVec2::new(20.0, 30.0), DVec2::new(120.0, 30.0)];
        let items = [PageItem::Drawn(Drawn::Line { points, outline })];
        let settings = SerializeSettings {
            enable_tagging: false,
            compress_content_streams: false,
            ascii_compatible: true,
            ..SerializeSettings::default()
        };
        let leaf = Leaf { items: items.to_vec(), size_mm: (420.0, 297.0) };
        let bytes = written(&[leaf], Theme::light(), "", settings).expect("a PDF");
        let text = String::from_utf8_lossy(&bytes);
        let tokens: Vec<&str> = text.split_whitespace().collect();
        let numbers = |end: usize, count: usize| -> Option<Vec<f64>> {
            tokens.get(end.checked_sub(count)?..end)?.iter().map(|token| token.parse().ok()).collect()
        };
        // q and Q keep and give back the transform, cm adds to it (ISO 32000-1, 8.4.4).
        let (mut scale, mut kept, mut start, mut lines) = (1.0, Vec::new(), Vec::new(), Vec::new());
        for (at, token) in tokens.iter().enumerate() {
            match *token {
                "q" => kept.push(scale),
                "Q" => scale = kept.pop().expect("what is given back was kept"),
                "cm" => scale *= numbers(at, 6).expect("six numbers")[0].abs(),
                "m" => start = numbers(at, 2).expect("a start"),
                "l" => {
                    let end = numbers(at, 2).expect("an end");
                    lines.push((end[0] - start[0]).hypot(end[1] - start[1]) * scale);
                }
                _ => {}
            }
        }
        let points_long = *lines.last().expect("a line");
        assert!((points_long / 72.0 * MM_IN_AN_INCH - 100.0).abs() < 0.001, "{points_long} points");
    }

    #[test]
    fn signs_that_the_usual_typeface_lacks_come_from_the_other() {
        assert_eq!(by_typeface("up → 5°"), [("up ".into(), true), ("→".into(), false), (" 5°".into(), true)]);
    }
}
