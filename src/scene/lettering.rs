//! How wide words are: advances read once from the typeface that window and sheets are lettered in.

use std::sync::LazyLock;

use epaint_default_fonts::UBUNTU_LIGHT;

/// Letters whose advances are kept: Latin with its accents; all others are reckoned wide.
const KEPT: u32 = 0x250;
/// Advance of a letter that is not kept, as a share of the letter size: no Latin or Greek letter is wider.
const WIDE: f64 = 1.0;

static ADVANCES: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let typeface = Typeface(UBUNTU_LIGHT);
    (0..KEPT).map(|letter| typeface.advance(letter).unwrap_or(WIDE)).collect()
});

/// Width of words in mm at a letter size in mm.
#[must_use]
pub fn width_mm(words: &str, size_mm: f64) -> f64 {
    let advance = |letter: char| ADVANCES.get(letter as usize).copied().unwrap_or(WIDE);
    words.chars().map(advance).sum::<f64>() * size_mm
}

/// Breaks words into lines no wider than asked, where they allow it.
#[must_use]
pub fn wrapped(words: &str, size_mm: f64, widest_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width_mm(line, size_mm) + width_mm(" ", size_mm) + width_mm(word, size_mm) <= widest_mm => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
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

    /// Advances of Ubuntu Light as `fc-scan`'s sister tools print them: an n is 558, a full stop 217 thousandths.
    #[test]
    fn letters_are_as_wide_as_in_the_typeface() {
        assert!(width_mm("iiii", 10.0) < width_mm("nnnn", 10.0));
        assert!(width_mm("nnnn", 10.0) < width_mm("mmmm", 10.0));
        assert!((width_mm("0123456789", 10.0) - 10.0 * width_mm("0", 10.0)).abs() < 1e-9, "figures are of one width");
        assert!(width_mm("½ ° ² · ±", 10.0) < 9.0 * WIDE * 10.0, "the signs of the trade are in the typeface");
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
