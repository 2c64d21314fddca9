//! The SVG of a sheet, written in page millimetres with three decimals at most.

use std::fmt::Write;

use glam::DVec2;

use super::page::PageItem;
use crate::scene::{Drawn, Ink, LineStyle, Outline, TextAnchor, Theme, Turn};

/// A page as SVG.
pub(super) fn svg(items: &[PageItem], (width, height): (f64, f64), theme: &Theme) -> String {
    let mut writer = Writer { theme, text: String::new(), clips: Clips::Named { count: 0 } };
    let (w, h) = (number(width), number(height));
    writer.push(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"Ubuntu, sans-serif\" stroke-linejoin=\"round\" fill=\"none\">"
    ));
    let paper = theme.colour(Ink::Paper);
    writer.push(&format!("<rect width=\"{w}\" height=\"{h}\" fill=\"{paper}\"/>"));
    items.iter().for_each(|item| writer.item(item));
    writer.push("</svg>");
    writer.text
}

/// A picture as SVG that stands in a page of HTML.
pub(super) fn inline_svg(items: &[PageItem], (width, height): (f64, f64), theme: &Theme) -> String {
    let mut writer = Writer { theme, text: String::new(), clips: Clips::Nested };
    let (w, h) = (number(width), number(height));
    writer.push(&format!(
        "<svg role=\"img\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"Ubuntu, 'Noto Sans', sans-serif\" stroke-linejoin=\"round\" fill=\"none\">"
    ));
    items.iter().for_each(|item| writer.item(item));
    writer.push("</svg>");
    writer.text
}

struct Writer<'a> {
    theme: &'a Theme,
    text: String,
    clips: Clips,
}

/// What becomes of the edges at which a drawing is cut off.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Clips {
    /// Each edge has a name of its own: several pictures may stand on one page.
    Named { count: usize },
    /// In a page of HTML names of edges would meet those of other pictures: there a drawing is a picture in the picture.
    Nested,
}

impl Writer<'_> {
    fn item(&mut self, item: &PageItem) {
        match item {
            PageItem::Drawn(drawn) => self.drawn(drawn),
            PageItem::Link(..) | PageItem::Target(..) | PageItem::Bookmark(..) => {}
            PageItem::Clip(field) if self.clips == Clips::Nested => {
                let [x, y, w, h] = [field.low.x, field.low.y, field.size().x, field.size().y].map(number);
                self.push(&format!(
                    "<svg x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" viewBox=\"{x} {y} {w} {h}\">"
                ));
            }
            PageItem::EndClip if self.clips == Clips::Nested => self.push("</svg>"),
            PageItem::Clip(field) => {
                let (at, size) = (field.low, field.size());
                let name = self.name_of_edge();
                self.push(&format!(
                    "<clipPath id=\"{name}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
                    number(at.x),
                    number(at.y),
                    number(size.x),
                    number(size.y)
                ));
                self.push(&format!("<g clip-path=\"url(#{name})\">"));
            }
            PageItem::EndClip => self.push("</g>"),
        }
    }

    /// The name of the next edge: "field", "field-2" and so on.
    fn name_of_edge(&mut self) -> String {
        let Clips::Named { count } = &mut self.clips else { return String::new() };
        *count += 1;
        if *count == 1 { "field".to_owned() } else { format!("field-{count}") }
    }

    fn drawn(&mut self, drawn: &Drawn) {
        match drawn {
            Drawn::Line { points, outline } => {
                let stroke = self.stroke(*outline);
                self.push(&format!("<path d=\"{}\"{stroke}/>", path(points)));
            }
            Drawn::Area { points, fill, outline } => {
                let fill = fill.map_or_else(String::new, |ink| format!(" fill=\"{}\"", self.theme.colour(ink)));
                let stroke = outline.map_or_else(String::new, |outline| self.stroke(outline));
                self.push(&format!("<path d=\"{}Z\"{fill}{stroke}/>", path(points)));
            }
            Drawn::Words { at, anchor, words, size_mm, ink, turn } => {
                self.words(*at, *anchor, words, *size_mm, *ink, *turn);
            }
        }
    }

    fn words(&mut self, at: DVec2, anchor: TextAnchor, words: &str, size_mm: f64, ink: Ink, turn: Turn) {
        let anchor = match anchor {
            TextAnchor::Start => "",
            TextAnchor::Middle => " text-anchor=\"middle\"",
            TextAnchor::End => " text-anchor=\"end\"",
        };
        let (x, y) = (number(at.x), number(at.y));
        let turn = match turn {
            Turn::Level => String::new(),
            Turn::Upward => format!(" transform=\"rotate(-90 {x} {y})\""),
        };
        let fill = self.theme.colour(ink);
        let size = number(size_mm);
        let words = escaped(words);
        self.push(&format!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" fill=\"{fill}\"{anchor}{turn}>{words}</text>"
        ));
    }

    fn stroke(&self, outline: Outline) -> String {
        let width = outline.width_mm * self.theme.line_weight;
        let mut text = format!(" stroke=\"{}\" stroke-width=\"{}\"", self.theme.colour(outline.ink), number(width));
        if outline.style == LineStyle::Dashed {
            let (dash, gap) = dashes_mm(width);
            let _ = write!(text, " stroke-dasharray=\"{} {}\"", number(dash), number(gap));
        }
        text
    }

    fn push(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }
}

/// Dash and gap of a broken line of some width, mm.
pub(super) fn dashes_mm(width_mm: f64) -> (f64, f64) {
    let dash = (width_mm * 4.0).max(1.2);
    (dash, dash * 0.8)
}

fn path(points: &[DVec2]) -> String {
    let mut text = String::new();
    for (index, at) in points.iter().enumerate() {
        let step = if index == 0 { "M" } else { "L" };
        let _ = write!(text, "{step}{} {}", number(at.x), number(at.y));
    }
    text
}

/// A number with three decimals at most.
pub(super) fn number(value: f64) -> String {
    let mut digits = format!("{value:.3}");
    digits.truncate(digits.trim_end_matches('0').trim_end_matches('.').len());
    if digits == "-0" { "0".to_owned() } else { digits }
}

/// Words as they may stand in XML; control characters, which may not, are dropped.
fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => text.push_str("&amp;"),
            '<' => text.push_str("&lt;"),
            '>' => text.push_str("&gt;"),
            '"' => text.push_str("&quot;"),
            '\t' | '\n' | '\r' => text.push(' '),
            // XML 1.0, production 2: Char.
            '\u{fffe}' | '\u{ffff}' => {}
            letter if letter.is_control() => {}
            letter => text.push(letter),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::super::frame::Field;
    use super::super::page::Page;
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(12.0), "12");
        assert_eq!(number(-0.0001), "0");
        assert_eq!(number(1.23456), "1.235");
        assert_eq!(number(100.0), "100");
    }

    #[test]
    fn each_of_two_pictures_on_a_page_keeps_its_own_pixels() {
        let at = |x_mm: f64| Field { low: dvec2(x_mm, 2.0), high: dvec2(x_mm + 6.0, 8.0) };
        let mut page = Page::default();
        for x_mm in [2.0, 12.0] {
            // Wider than its field: what lies beyond is cut off.
            let wide = Field { low: dvec2(0.0, 0.0), high: dvec2(20.0, 10.0) };
            page.push(PageItem::Clip(at(x_mm)));
            page.rectangle(wide, Some(Ink::RedPencil), None);
            page.push(PageItem::EndClip);
        }
        let text = svg(&page.finish(), (20.0, 10.0), Theme::light());
        let pixels = super::super::pixels(&text, 1.0).expect("it is painted");
        let at = |x: usize, y: usize| &pixels.rgba[(y * 20 + x) * 4..][..4];
        assert_eq!((pixels.size, at(5, 5)), ([20, 10], at(15, 5)), "both are filled");
        for (x, y) in [(0, 5), (10, 5), (19, 5), (5, 0)] {
            assert_ne!(at(x, y), at(15, 5), "nothing lies beyond the edges, at {x}, {y}");
        }
    }

    #[test]
    fn words_cannot_break_out() {
        assert_eq!(escaped("a < b & \"c\"\u{0}\n>"), "a &lt; b &amp; &quot;c&quot; &gt;");
    }
}
