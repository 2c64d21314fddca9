//! How wide words are: advances read once from the typeface that window and sheets are lettered in.

use std::sync::LazyLock;

use epaint_default_fonts::UBUNTU_LIGHT;
use rustybuzz::ttf_parser::Face;

/// Letters whose advances are kept: Latin with its accents; all others are reckoned wide.
const KEPT: u32 = 0x250;
/// Advance of a letter that is not kept, as a share of the letter size: no Latin or Greek letter is wider.
const WIDE: f64 = 1.0;

static TYPEFACE: LazyLock<Face<'static>> =
    LazyLock::new(|| Face::parse(UBUNTU_LIGHT, 0).expect("a shipped typeface reads"));

/// Advances as shares of the letter size.
static ADVANCES: LazyLock<Vec<Option<f64>>> = LazyLock::new(|| {
    let advance = |letter| TYPEFACE.glyph_hor_advance(TYPEFACE.glyph_index(char::from_u32(letter)?)?);
    let share = |units| f64::from(units) / f64::from(TYPEFACE.units_per_em());
    (0..KEPT).map(|letter| advance(letter).map(share)).collect()
});

/// Width of words in mm at a letter size in mm.
#[must_use]
pub fn width_mm(words: &str, size_mm: f64) -> f64 {
    let advance = |letter: char| ADVANCES.get(letter as usize).copied().flatten().unwrap_or(WIDE);
    words.chars().map(advance).sum::<f64>() * size_mm
}

/// Whether the typeface has a letter. Sheets take those that it lacks from another.
#[must_use]
pub fn is_lettered(letter: char) -> bool {
    let kept = ADVANCES.get(letter as usize).map(Option::is_some);
    kept.unwrap_or_else(|| TYPEFACE.glyph_index(letter).is_some())
}

/// Breaks words into lines no wider than asked, where they allow it.
#[must_use]
pub fn wrapped(words: &str, size_mm: f64, widest_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let (space, mut wide) = (width_mm(" ", size_mm), 0.0);
    for word in words.split_whitespace() {
        let more = width_mm(word, size_mm);
        match lines.last_mut() {
            Some(line) if wide + space + more <= widest_mm => {
                line.push(' ');
                line.push_str(word);
                wide += space + more;
            }
            _ => {
                lines.push(word.to_owned());
                wide = more;
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Width of words as resvg's text layout reckons it (kerning included).
    fn width_by_resvg(words: &str, size: f64) -> f64 {
        use resvg::usvg::{Options, Tree};
        let mut options = Options::default();
        options.fontdb_mut().load_font_data(UBUNTU_LIGHT.to_vec());
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='2000' height='200'>\
             <text x='10' y='100' font-family='Ubuntu' font-size='{size}'>{words}</text></svg>"
        );
        let tree = Tree::from_str(&svg, &options).expect("the SVG is sound");
        f64::from(tree.root().bounding_box().width())
    }

    #[test]
    fn words_are_as_wide_as_a_layout_of_text_finds() {
        for words in ["cistern platform", "breach: have 205 · need 270 mm", "WC 1:50 ½ ± 22 °C", "Überlauf à côté"]
        {
            let (ours, theirs) = (width_mm(words, 100.0), width_by_resvg(words, 100.0));
            assert!((ours / theirs - 1.0).abs() < 0.02, "'{words}': {ours} against {theirs}");
        }
        assert_eq!(width_mm("漢", 10.0), 10.0);
    }

    #[test]
    fn lines_break_between_words() {
        let lines = wrapped("measure the water line of the cistern above its base", 2.5, 30.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| width_mm(line, 2.5) <= 30.0));
        assert_eq!(lines.join(" "), "measure the water line of the cistern above its base");
    }
}
