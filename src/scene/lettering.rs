//! How wide words are: advances read once from the typeface that window and sheets are lettered in.

use std::sync::LazyLock;

use epaint_default_fonts::UBUNTU_LIGHT;

/// Letters whose advances are kept: Latin with its accents; all others are reckoned wide.
const KEPT: u32 = 0x250;
/// Advance of a letter that is not kept, as a share of the letter size: no Latin or Greek letter is wider.
const WIDE: f64 = 1.0;

static ADVANCES: LazyLock<Vec<Option<f64>>> = LazyLock::new(|| {
    let typeface = Typeface(UBUNTU_LIGHT);
    (0..KEPT).map(|letter| typeface.advance(letter)).collect()
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
    kept.unwrap_or_else(|| Typeface(UBUNTU_LIGHT).glyph(u32::from(letter)).is_some())
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

/// A TrueType file, of which only advances are read (OpenType 1.9: tables cmap format 4, head, hhea, hmtx).
struct Typeface(&'static [u8]);

impl Typeface {
    /// Advance of a letter as a share of the letter size.
    fn advance(&self, letter: u32) -> Option<f64> {
        let glyph = self.glyph(letter)?;
        let metrics = usize::from(word(self.table(*b"hhea")?, 34)?);
        let advance = word(self.table(*b"hmtx")?, 4 * usize::from(glyph).min(metrics.checked_sub(1)?))?;
        let units_per_em = word(self.table(*b"head")?, 18)?;
        Some(f64::from(advance) / f64::from(units_per_em))
    }

    fn glyph(&self, letter: u32) -> Option<u16> {
        let letter = u16::try_from(letter).ok()?;
        let cmap = self.table(*b"cmap")?;
        let subtables = 0..usize::from(word(cmap, 2)?);
        let offsets = subtables.filter_map(|number| Some(long(cmap, 4 + 8 * number + 4)? as usize));
        let map = offsets.filter_map(|offset| cmap.get(offset..)).find(|map| word(map, 0) == Some(4))?;
        let twice_segments = usize::from(word(map, 6)?);
        let segment = (0..twice_segments).step_by(2).find(|at| word(map, 14 + at).is_some_and(|end| end >= letter))?;
        let start = word(map, 16 + twice_segments + segment)?;
        if letter < start {
            return None;
        }
        let delta = word(map, 16 + 2 * twice_segments + segment)?;
        let range_at = 16 + 3 * twice_segments + segment;
        let glyph = match usize::from(word(map, range_at)?) {
            0 => letter.wrapping_add(delta),
            range => word(map, range_at + range + 2 * usize::from(letter - start))?.wrapping_add(delta),
        };
        (glyph != 0).then_some(glyph)
    }

    fn table(&self, tag: [u8; 4]) -> Option<&'static [u8]> {
        let tables = 0..usize::from(word(self.0, 4)?);
        let record =
            tables.map(|number| 12 + 16 * number).find(|at| self.0.get(*at..at + 4) == Some(tag.as_slice()))?;
        self.0.get(long(self.0, record + 8)? as usize..)
    }
}

fn word(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes(bytes.get(at..at + 2)?.try_into().ok()?))
}

fn long(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Width of words as resvg's text layout reckons it, which reads the typeface by other code (kerning included).
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
    fn words_are_as_wide_as_another_reader_of_the_typeface_finds() {
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
