//! Boards and bearers.

use serde::Serialize;

use super::boards::{SheetCutting, SheetStock, cut_boards};
use super::lengths::up_to_mm;
use super::tally::{Entry, Tally};
use super::{Counted, Item, Trade};
use crate::layout::{BoardMaterial, Layout, Lie, Platform};
use crate::measure::{Site, find_out};

/// A board as it is cut from a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPiece {
    /// What it is cut from: material, thickness and class.
    pub of: String,
    /// The platform.
    pub platform: String,
    /// Length and width, mm.
    pub sides_mm: (f64, f64),
}

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    for platform in &site.layout().platforms {
        board(tally, platform);
        bearers(tally, platform);
    }
}

/// The boards whose sides are told.
#[must_use]
pub fn board_pieces(layout: &Layout) -> Vec<BoardPiece> {
    let piece = |platform: &Platform| {
        let (what, size) = board_words(platform)?;
        let sides_mm = (platform.length.to_mm(), platform.depth?.to_mm());
        Some(BoardPiece { of: format!("{what}, {size}"), platform: platform.id.spoken(), sides_mm })
    };
    layout.platforms.iter().filter_map(piece).collect()
}

/// The boards of one material, and the sheets that they come from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BoardCutting {
    /// Material, thickness and class.
    pub of: String,
    /// The platforms, in the order in which the cutting counts its boards.
    pub platforms: Vec<String>,
    /// How they are cut.
    pub cutting: SheetCutting,
}

/// The boards whose sides are told, cut from sheets of each material.
#[must_use]
pub fn board_cuttings(layout: &Layout, sheet: SheetStock) -> Vec<BoardCutting> {
    let mut kinds: Vec<(String, Vec<BoardPiece>)> = Vec::new();
    for piece in board_pieces(layout) {
        match kinds.iter_mut().find(|(of, _)| *of == piece.of) {
            Some((_, pieces)) => pieces.push(piece),
            None => kinds.push((piece.of.clone(), vec![piece])),
        }
    }
    let cut = |(of, pieces): (String, Vec<BoardPiece>)| {
        let sides: Vec<(u32, u32)> =
            pieces.iter().map(|piece| (up_to_mm(piece.sides_mm.0), up_to_mm(piece.sides_mm.1))).collect();
        let platforms = pieces.into_iter().map(|piece| piece.platform).collect();
        BoardCutting { of, platforms, cutting: cut_boards(&sides, sheet) }
    };
    kinds.into_iter().map(cut).collect()
}

/// What a platform's board is, and its thickness and class; none where there is nothing to buy or nothing told.
fn board_words(platform: &Platform) -> Option<(String, String)> {
    let board = platform.board.filter(|board| board.material != BoardMaterial::Concrete)?;
    let mut size = board
        .thickness
        .map_or_else(|| "thickness not told".to_owned(), |thickness| format!("{} mm", thickness.to_mm()));
    if let Some(class) = board.class {
        size.push_str(&format!(", class {}", class.words()));
    }
    Some((board.material.words().to_owned(), size))
}

fn board(tally: &mut Tally, platform: &Platform) {
    let spoken = platform.id.spoken();
    let entry = |what: String, size: String| {
        Entry::each(Trade::Platforms, Item::Board, what, size).counted_in(Counted::SquareMetres)
    };
    let Some(board) = platform.board else {
        let find_out = format!("see what the {spoken} is boarded with, and how thick it is");
        tally.untold(entry("board".to_owned(), "not told".to_owned()), find_out, &platform.id);
        return;
    };
    let Some((what, size)) = board_words(platform) else { return };
    let Some(depth) = platform.depth else {
        tally.untold(entry(what, size), find_out::front_to_back(&platform.id), &platform.id);
        return;
    };
    let (length_mm, depth_mm) = (platform.length.to_mm(), depth.to_mm());
    let area_m2 = length_mm * depth_mm / 1e6;
    let find_out = board.thickness.is_none().then(|| format!("measure the thickness of the board of the {spoken}"));
    let working = format!("{spoken}: {length_mm} × {depth_mm} mm = {area_m2:.3} m²");
    tally.add(entry(what, size).finding_out(find_out), area_m2, working, &platform.id);
}

fn bearers(tally: &mut Tally, platform: &Platform) {
    let Some(bearers) = &platform.bearers else { return };
    let spoken = platform.id.spoken();
    let grade = bearers.grade.map_or_else(|| "class not told".to_owned(), |grade| format!("class {}", grade.words()));
    let size = format!("{} × {} mm, {grade}", bearers.breadth.to_mm(), bearers.depth.to_mm());
    let entry = Entry::each(Trade::Platforms, Item::Bearers, "bearers", size).counted_in(Counted::Metres);
    let long_mm = match bearers.lie {
        Lie::Along => Some(platform.length.to_mm()),
        Lie::EndOn => platform.depth.map(|depth| depth.to_mm()),
    };
    let Some(long_mm) = long_mm else {
        tally.untold(entry, find_out::front_to_back(&platform.id), &platform.id);
        return;
    };
    let find_out = bearers.grade.is_none().then(|| format!("read the stamp on the bearers of the {spoken}"));
    let working = format!("{spoken}: {} × {long_mm} mm", bearers.count);
    tally.add(entry.finding_out(find_out), f64::from(bearers.count) * long_mm / 1000.0, working, &platform.id);
}
