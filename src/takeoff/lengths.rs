//! The tube of a layout as pieces to cut, by material and size.

use serde::Serialize;

use super::cutting::{Cutting, Stock, cut};
use super::pipes::size_words;
use super::stretches::cut_lengths_mm;
use crate::measure::Site;

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
            let mut left = length_mm.ceil() as u32;
            while left > stock.length_mm {
                pieces.push(stock.length_mm);
                *couplings += 1;
                left -= stock.length_mm;
            }
            pieces.push(left);
        }
    }
    let listed = |(what, pieces, couplings): (String, Vec<u32>, u32)| TubeCutting {
        what,
        cutting: cut(&pieces, stock),
        couplings,
    };
    tubes.into_iter().map(listed).collect()
}
