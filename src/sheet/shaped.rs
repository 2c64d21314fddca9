//! Words as glyphs of the shipped typefaces. Each typeface is read once for all words of all files.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, Face, ShapePlan, UnicodeBuffer, script};

/// A typeface, for whoever embeds it and for whoever sets words in it.
pub(super) struct Typeface {
    pub font: Font,
    face: Face<'static>,
    plan: ShapePlan,
}

impl Typeface {
    pub fn read(bytes: &'static [u8]) -> Self {
        let face = Face::from_slice(bytes, 0).expect("a shipped typeface reads");
        let plan = ShapePlan::new(&face, Direction::LeftToRight, Some(script::LATIN), None, &[]);
        Self { font: Font::new(bytes.into(), 0).expect("a shipped typeface reads"), face, plan }
    }

    /// The glyphs of words from left to right, kerned.
    pub fn glyphs(&self, words: &str) -> Vec<KrillaGlyph> {
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(words);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        let shaped = rustybuzz::shape_with_plan(&self.face, &self.plan, buffer);
        let (infos, places) = (shaped.glyph_infos(), shaped.glyph_positions());
        let in_em = |units: i32| units as f32 / self.font.units_per_em();
        let glyph = |(number, (info, place)): (usize, (&rustybuzz::GlyphInfo, &rustybuzz::GlyphPosition))| {
            let start = info.cluster as usize;
            let later = infos[number + 1..].iter().map(|other| other.cluster as usize).find(|other| *other > start);
            KrillaGlyph::new(
                GlyphId::new(info.glyph_id),
                in_em(place.x_advance),
                in_em(place.x_offset),
                in_em(place.y_offset),
                in_em(place.y_advance),
                start..later.unwrap_or(words.len()),
                None,
            )
        };
        infos.iter().zip(places).enumerate().map(glyph).collect()
    }
}
