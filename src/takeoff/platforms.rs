//! Boards, frames and bearers.

use serde::Serialize;

use super::boards::{SheetCutting, SheetStock, cut_boards};
use super::lengths::up_to_mm;
use super::tally::{Entry, Tally};
use super::{Counted, Item, Trade, or_not_told};
use crate::catalogue::PlyClass;
use crate::layout::{BoardMaterial, Layout, Platform};
use crate::measure::{Site, find_out};
use crate::units::Size;

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    for platform in &site.layout().platforms {
        board(tally, platform);
        frame(tally, platform);
        bearers(tally, platform);
    }
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

/// Boards that are cut from sheets of one kind.
#[derive(Clone)]
struct Kind {
    material: BoardMaterial,
    thickness: Option<Size>,
    class: Option<PlyClass>,
    of: String,
    platforms: Vec<String>,
    sides_mm: Vec<(u32, u32)>,
}

impl Kind {
    /// The board of a platform by itself; none whose sides nobody has told.
    fn of(platform: &Platform) -> Option<Self> {
        let ((what, size), board) = (board_words(platform)?, platform.board?);
        Some(Self {
            material: board.material,
            thickness: board.thickness,
            class: board.class,
            of: format!("{what}, {size}"),
            platforms: vec![platform.id.spoken()],
            sides_mm: vec![(up_to_mm(platform.length.to_mm()), up_to_mm(platform.depth?.to_mm()))],
        })
    }

    fn with(&self, more: &Self) -> Self {
        let mut both = self.clone();
        both.platforms.extend(more.platforms.iter().cloned());
        both.sides_mm.extend(&more.sides_mm);
        both
    }

    fn sheets(&self, sheet: SheetStock) -> usize {
        cut_boards(&self.sides_mm, sheet).sheets.len()
    }

    /// These boards with those of another kind of which nobody has told the class, where they have room on fewer sheets
    /// than both kinds by themselves.
    fn with_untold(&self, untold: &Self, sheet: SheetStock) -> Option<Self> {
        let may_be_one = self.material == untold.material
            && self.thickness.is_some()
            && self.thickness == untold.thickness
            && self.class.is_some();
        let mut named = untold.clone();
        named.platforms.iter_mut().for_each(|platform| platform.push_str(" (its class is not told)"));
        let both = self.with(&named);
        (may_be_one && both.sheets(sheet) < self.sheets(sheet) + untold.sheets(sheet)).then_some(both)
    }
}

/// The boards whose sides are told, cut from sheets of each material. Boards of which nobody has told the class are cut
/// from sheets of boards as thick whose class is told, where that saves a sheet; beside their names it is said.
#[must_use]
pub fn board_cuttings(layout: &Layout, sheet: SheetStock) -> Vec<BoardCutting> {
    let mut kinds: Vec<Kind> = Vec::new();
    for board in layout.platforms.iter().filter_map(Kind::of) {
        match kinds.iter_mut().find(|kind| kind.of == board.of) {
            Some(kind) => *kind = kind.with(&board),
            None => kinds.push(board),
        }
    }
    for number in (0..kinds.len()).rev() {
        let untold = kinds[number].clone();
        let joined = |(at, kind): (usize, &Kind)| Some((at, kind.with_untold(&untold, sheet)?));
        if untold.class.is_none()
            && let Some((at, both)) = kinds.iter().enumerate().find_map(joined)
        {
            kinds[at] = both;
            kinds.remove(number);
        }
    }
    let cut = |kind: Kind| BoardCutting {
        of: kind.of,
        platforms: kind.platforms,
        cutting: cut_boards(&kind.sides_mm, sheet),
    };
    kinds.into_iter().map(cut).collect()
}

/// What a platform's board is, and its thickness and class; none where there is nothing to buy or nothing told.
fn board_words(platform: &Platform) -> Option<(String, String)> {
    let board = platform.board.filter(|board| board.material != BoardMaterial::Concrete)?;
    let mut size = or_not_told(board.thickness, "thickness", |thickness| format!("{} mm", thickness.to_mm()));
    if let Some(class) = board.class {
        size.push_str(&format!(", class {}", class.words()));
    }
    Some((board.material.words().to_owned(), size))
}

fn board(tally: &mut Tally, platform: &Platform) {
    let spoken = platform.id.spoken();
    let in_words = platform.id.with_article();
    let entry = |what: String, size: String| {
        Entry::each(Trade::Platforms, Item::Board, what, size).counted_in(Counted::SquareMetres)
    };
    let Some(board) = platform.board else {
        let find_out = format!("see what board {in_words} has, and how thick it is");
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
    let find_out = board.thickness.is_none().then(|| format!("measure the thickness of the board of {in_words}"));
    let working = format!("{spoken}: {length_mm} × {depth_mm} mm = {area_m2:.3} m²");
    tally.add(entry(what, size).finding_out(find_out), area_m2, working, &platform.id);
}

/// A frame is one thing to have made: how many uprights and rails it takes nobody tells but its designer.
fn frame(tally: &mut Tally, platform: &Platform) {
    let Some(frame) = platform.frame else { return };
    let (spoken, length_mm) = (platform.id.spoken(), platform.length.to_mm());
    let deep = or_not_told(platform.depth, "depth", |depth| format!("{} mm", depth.to_mm()));
    let size = format!("{} mm high, {length_mm} × {deep}", frame.height.to_mm());
    let what = "frame of uprights, rails and braces".to_owned();
    let in_words = platform.id.with_article();
    let design = format!("have a competent person design the frame below {in_words}: its timbers are not told");
    let find_out = match platform.depth {
        Some(_) => design,
        None => format!("{design}; {}", find_out::front_to_back(&platform.id)),
    };
    let entry = Entry::each(Trade::Platforms, Item::Frame, what, size).finding_out(Some(find_out));
    tally.add(entry, 1.0, format!("{spoken}: 1"), &platform.id);
}

fn bearers(tally: &mut Tally, platform: &Platform) {
    let Some(bearers) = &platform.bearers else { return };
    let spoken = platform.id.spoken();
    let in_words = platform.id.with_article();
    let grade = or_not_told(bearers.grade, "class", |grade| format!("class {}", grade.words()));
    let size = format!("{} × {} mm, {grade}", bearers.breadth.to_mm(), bearers.depth.to_mm());
    let entry = Entry::each(Trade::Platforms, Item::Bearers, "bearers", size).counted_in(Counted::Metres);
    let Some(long_mm) = platform.across_mm(bearers.lie.crossing()) else {
        tally.untold(entry, find_out::front_to_back(&platform.id), &platform.id);
        return;
    };
    let find_out = bearers.grade.is_none().then(|| format!("read the stamp on the bearers of {in_words}"));
    let working = format!("{spoken}: {} × {long_mm} mm", bearers.count);
    tally.add(entry.finding_out(find_out), f64::from(bearers.count) * long_mm / 1000.0, working, &platform.id);
}
