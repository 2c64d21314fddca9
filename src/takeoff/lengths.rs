//! The tube of a layout as pieces to cut, by material and size.

use serde::Serialize;

use super::cutting::{Cutting, Stock, cut};
use super::pipes::size_words;
use super::stretches::cut_lengths_mm;
use crate::geom::SAME_PLACE_MM;
use crate::measure::Site;

/// A shorter piece is not held by the couplings or fittings at its ends, mm (common practice, no source).
const HELD_MM: u32 = 50;

/// The cutting list of one tube.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TubeCutting {
    /// What tube: material and size.
    pub what: String,
    /// How its bars are cut.
    pub cutting: Cutting,
    /// Straight couplings for stretches longer than a bar.
    pub couplings: u32,
}

/// The pieces of a stretch, mm: one, or where it is longer than a bar several with couplings between them, whole bars as
/// far as they go.
fn from_bars(length_mm: u32, bar_mm: u32) -> Vec<u32> {
    let least_mm = HELD_MM.min(bar_mm / 2);
    let mut pieces = Vec::new();
    let mut left_mm = length_mm;
    while left_mm > bar_mm {
        let piece_mm = bar_mm.min(left_mm - least_mm);
        pieces.push(piece_mm);
        left_mm -= piece_mm;
    }
    pieces.push(left_mm);
    pieces
}

/// Cutting lists of the tube whose material and size are told.
///
/// Pieces go from bend, tee or valve to the next, rounded up to a millimetre; what a fitting takes in is not taken off.
#[must_use]
pub fn tube_cuttings(site: &Site<'_>, stock: Stock) -> Vec<TubeCutting> {
    let mut tubes: Vec<(String, Vec<u32>, u32)> = Vec::new();
    for (number, run) in site.layout().runs.iter().enumerate() {
        let (Some(line), Some(material), Some(_)) = (site.line(number), run.material, run.size) else { continue };
        let what = format!("{} tube, {}", material.words(), size_words(run));
        let entry = match tubes.iter().position(|(known, ..)| *known == what) {
            Some(at) => at,
            None => {
                tubes.push((what, Vec::new(), 0));
                tubes.len() - 1
            }
        };
        let (_, pieces, couplings) = &mut tubes[entry];
        for length_mm in cut_lengths_mm(site, number, line) {
            let stretch = from_bars(up_to_mm(length_mm), stock.length_mm);
            *couplings += stretch.len() as u32 - 1;
            pieces.extend(stretch);
        }
    }
    let listed = |(what, pieces, couplings): (String, Vec<u32>, u32)| TubeCutting {
        what,
        cutting: cut(&pieces, stock),
        couplings,
    };
    tubes.into_iter().map(listed).collect()
}

/// A length in whole millimetres, no less than it is; what sums of fractions leave makes none more.
pub(super) fn up_to_mm(length_mm: f64) -> u32 {
    (length_mm - SAME_PLACE_MM).ceil() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_of_tenths_make_no_millimetre_more() {
        assert_eq!(up_to_mm(2400.3 - 600.3), 1800);
        assert_eq!(up_to_mm(1800.01), 1801);
        assert_eq!(up_to_mm(0.0), 0);
    }

    #[test]
    fn no_piece_is_too_short_for_its_coupling() {
        assert_eq!(from_bars(2400, 3000), [2400]);
        assert_eq!(from_bars(3000, 3000), [3000]);
        assert_eq!(from_bars(3001, 3000), [2951, 50]);
        assert_eq!(from_bars(3050, 3000), [3000, 50]);
        assert_eq!(from_bars(6049, 3000), [3000, 2999, 50]);
        assert_eq!(from_bars(3, 1), [1, 1, 1]);
    }
}
