//! Boards from sheets: straight cuts from edge to edge, the largest board first, with the waste told.

use serde::Serialize;

/// A sheet as it is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct SheetStock {
    /// Length, mm.
    pub length_mm: u32,
    /// Width, mm.
    pub width_mm: u32,
    /// What each cut takes, mm.
    pub kerf_mm: u32,
}

impl Default for SheetStock {
    /// The usual sheet of 2440 × 1220 mm, and a saw of three millimetres (common practice, no source).
    fn default() -> Self {
        Self { length_mm: 2440, width_mm: 1220, kerf_mm: 3 }
    }
}

/// Where a board lies on a sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Placed {
    /// Which of the boards that were asked for.
    pub board: usize,
    /// Its lower left corner on the sheet, mm.
    pub at_mm: (u32, u32),
    /// Its size along and across the sheet, mm.
    pub size_mm: (u32, u32),
}

/// How boards are cut from sheets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetCutting {
    /// The boards on each sheet.
    pub sheets: Vec<Vec<Placed>>,
    /// Fewer sheets than this cannot do, by area alone.
    pub at_least: usize,
    /// Boards that no sheet is large enough for: they are joined over a bearer.
    pub too_large: Vec<usize>,
}

impl SheetCutting {
    /// What of the sheets is not board, as a share.
    #[must_use]
    pub fn waste(&self, stock: SheetStock) -> f64 {
        let bought = self.sheets.len() as f64 * f64::from(stock.length_mm) * f64::from(stock.width_mm);
        let used: f64 = self.sheets.iter().flatten().map(|p| f64::from(p.size_mm.0) * f64::from(p.size_mm.1)).sum();
        if bought > 0.0 { 1.0 - used / bought } else { 0.0 }
    }
}

/// A piece of a sheet that is still free.
#[derive(Clone, Copy)]
struct Free {
    sheet: usize,
    at: (u32, u32),
    size: (u32, u32),
}

/// Cuts boards from sheets. Boards may be turned: which way the grain has to run is for whoever cuts to see.
#[must_use]
pub fn cut_boards(boards_mm: &[(u32, u32)], stock: SheetStock) -> SheetCutting {
    let mut order: Vec<usize> = (0..boards_mm.len()).collect();
    let area = |number: &usize| u64::from(boards_mm[*number].0) * u64::from(boards_mm[*number].1);
    order.sort_by_key(|number| std::cmp::Reverse(area(number)));
    let mut cutting = SheetCutting { sheets: Vec::new(), at_least: 0, too_large: Vec::new() };
    let mut free: Vec<Free> = Vec::new();
    for number in order {
        let (length, width) = boards_mm[number];
        let whole = (stock.length_mm, stock.width_mm);
        let ways = [(length, width), (width, length)];
        if !ways.iter().any(|way| fits(*way, whole)) {
            cutting.too_large.push(number);
            continue;
        }
        let place = snuggest(&free, &ways).unwrap_or_else(|| {
            free.push(Free { sheet: cutting.sheets.len(), at: (0, 0), size: whole });
            cutting.sheets.push(Vec::new());
            let way = ways.into_iter().find(|way| fits(*way, whole)).unwrap_or(ways[0]);
            (free.len() - 1, way)
        });
        let (chosen, size) = place;
        let piece = free.swap_remove(chosen);
        cutting.sheets[piece.sheet].push(Placed { board: number, at_mm: piece.at, size_mm: size });
        free.extend(left_of(piece, size, stock.kerf_mm));
    }
    let kept = cutting.sheets.iter().flatten().map(|placed| area(&placed.board)).sum::<u64>();
    cutting.at_least = kept.div_ceil(u64::from(stock.length_mm) * u64::from(stock.width_mm)) as usize;
    cutting.too_large.sort_unstable();
    cutting
}

fn fits(size: (u32, u32), into: (u32, u32)) -> bool {
    size.0 <= into.0 && size.1 <= into.1
}

/// The free piece, and the way of laying the board, that leave least beside it.
fn snuggest(free: &[Free], ways: &[(u32, u32)]) -> Option<(usize, (u32, u32))> {
    let pairs = free.iter().enumerate().flat_map(|(number, piece)| ways.iter().map(move |way| (number, piece, *way)));
    let fitting = pairs.filter(|(_, piece, way)| fits(*way, piece.size));
    let beside = |(_, piece, way): &(usize, &Free, (u32, u32))| (piece.size.0 - way.0).min(piece.size.1 - way.1);
    fitting.min_by_key(beside).map(|(number, _, way)| (number, way))
}

/// The two pieces that are left when a board is cut out of a corner: the first cut goes along the board's side that leaves
/// the larger piece whole.
fn left_of(piece: Free, size: (u32, u32), kerf: u32) -> impl Iterator<Item = Free> {
    let beside = piece.size.0.saturating_sub(size.0 + kerf);
    let above = piece.size.1.saturating_sub(size.1 + kerf);
    let (right_high, top_long) = if beside >= above { (piece.size.1, size.0) } else { (size.1, piece.size.0) };
    let right = Free { at: (piece.at.0 + size.0 + kerf, piece.at.1), size: (beside, right_high), ..piece };
    let top = Free { at: (piece.at.0, piece.at.1 + size.1 + kerf), size: (top_long, above), ..piece };
    [right, top].into_iter().filter(|piece| piece.size.0 > 0 && piece.size.1 > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn boards_lie_apart_and_on_their_sheet(boards in proptest::collection::vec((50..2440_u32, 50..1220_u32), 1..12)) {
            let stock = SheetStock::default();
            let cutting = cut_boards(&boards, stock);
            proptest::prop_assert!(cutting.too_large.is_empty());
            proptest::prop_assert_eq!(cutting.sheets.iter().map(Vec::len).sum::<usize>(), boards.len());
            proptest::prop_assert!(cutting.sheets.len() >= cutting.at_least);
            for sheet in &cutting.sheets {
                for (number, placed) in sheet.iter().enumerate() {
                    let ends = |p: &Placed| (p.at_mm.0 + p.size_mm.0, p.at_mm.1 + p.size_mm.1);
                    let end = ends(placed);
                    proptest::prop_assert!(end.0 <= stock.length_mm && end.1 <= stock.width_mm);
                    for other in &sheet[number + 1..] {
                        let other_end = ends(other);
                        let apart = end.0 + stock.kerf_mm <= other.at_mm.0
                            || other_end.0 + stock.kerf_mm <= placed.at_mm.0
                            || end.1 + stock.kerf_mm <= other.at_mm.1
                            || other_end.1 + stock.kerf_mm <= placed.at_mm.1;
                        proptest::prop_assert!(apart, "{placed:?} {other:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn two_platforms_come_from_one_sheet_and_a_larger_one_from_none() {
        let cutting = cut_boards(&[(1240, 960), (550, 550), (2500, 600)], SheetStock::default());
        assert_eq!((cutting.sheets.len(), cutting.at_least), (1, 1));
        assert_eq!(cutting.too_large, [2]);
        let waste = cutting.waste(SheetStock::default());
        assert!((waste - (1.0 - (1240.0 * 960.0 + 550.0 * 550.0) / (2440.0 * 1220.0))).abs() < 1e-12);
    }
}
