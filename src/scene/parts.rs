//! Platforms and boilers, and the order in which parts are drawn.

use glam::{DVec2, dvec2};

use super::building::{Seen, timber};
use super::outline::corners;
use super::{
    About, Ink, Label, Origin, Pen, PenWidth, Rank, Scene, Shape, Slant, TextSize, cistern, cylinder, jotted, outlets,
};
use crate::layout::{BoardMaterial, Boiler, Id, Lie, PartRef, Platform};
use crate::measure::Site;
use crate::units::Amount;

/// Timbers of a frame are drawn so thick, mm (common practice, no source).
const FRAME_TIMBER_MM: f64 = 75.0;
/// More bearers than this cannot be told apart on any sheet.
const MOST_BEARERS: usize = 100;

/// The pens of a body and of what is thin about it.
pub(super) const BODY: Pen = Pen::solid(Ink::Ink, PenWidth::Medium);
pub(super) const THIN: Pen = Pen::solid(Ink::Ink, PenWidth::Fine);

pub(super) fn draw(scene: &mut Scene, site: &Site<'_>) {
    for part in site.layout().parts() {
        match part {
            PartRef::Platform(part) => platform(scene, part),
            PartRef::Cistern(part) => cistern::draw(scene, site, part),
            PartRef::Cylinder(part) => cylinder::draw(scene, part),
            PartRef::Boiler(part) => boiler(scene, part),
            PartRef::Outlet(part) => outlets::draw(scene, part),
            PartRef::Note(note) => jotted::note(scene, note),
            PartRef::Run(_) => {}
        }
    }
}

/// The name of a part, near its box.
pub(super) fn name(scene: &mut Scene, id: &Id, more: Option<String>, low: DVec2, high: DVec2) {
    let lines = std::iter::once(id.spoken()).chain(more).collect();
    let label =
        Label { lines, size: TextSize::Small, ink: Ink::Ink, about: About::Thing { low, high }, rank: Rank::Part };
    scene.add(&Origin::Part(id.clone()), Shape::Label(label));
}

/// What a view tells of a part, in small letters: along its course, or near it.
pub(super) fn tell(scene: &mut Scene, id: &Id, lines: Vec<String>, ink: Ink, about: About) {
    let rank = if matches!(about, About::Course(_)) { Rank::Run } else { Rank::Part };
    small(scene, &Origin::Part(id.clone()), lines, ink, about, rank);
}

/// Words in small letters.
pub(super) fn small(scene: &mut Scene, origin: &Origin, lines: Vec<String>, ink: Ink, about: About, rank: Rank) {
    scene.add(origin, Shape::Label(Label { lines, size: TextSize::Tiny, ink, about, rank }));
}

fn platform(scene: &mut Scene, platform: &Platform) {
    let origin = Origin::Part(platform.id.clone());
    let top = platform.at.vector();
    let length = platform.length.to_mm();
    let thickness = platform.drawn_board_mm();
    let board = corners(top - dvec2(0.0, thickness), top + dvec2(length, 0.0));
    let under_board = top - dvec2(0.0, thickness);
    bearers(scene, &origin, platform, under_board - dvec2(0.0, platform.frame_mm()));
    frame(scene, &origin, platform, under_board);
    let fill = platform.board.map(|board| match board.material {
        BoardMaterial::Concrete => Ink::Masonry,
        _ => Ink::Timber,
    });
    scene.area(&origin, board.clone(), Some(fill.unwrap_or(Ink::Paper)), None);
    if platform.board.is_some() {
        let plies = Pen::solid(Ink::Faint, PenWidth::Hair);
        scene.add(&origin, Shape::Hatch { points: board.clone(), slant: Slant::Level, apart_mm: 0.5, pen: plies });
    }
    // A board that nobody has told is shown loose.
    let pen = match platform.board {
        Some(_) => BODY,
        None => Pen::dashed(Ink::Ink, PenWidth::Medium),
    };
    scene.area(&origin, board, None, Some(pen));
    let board = platform.board.map(|board| match board.thickness {
        Some(thickness) => format!("{} {}", board.material.words(), thickness.to_mm()),
        None => board.material.words().to_owned(),
    });
    let raised = platform.frame.map(|frame| format!("on a frame {} high", Amount::mm(frame.height.to_mm())));
    let more: Vec<String> = board.into_iter().chain(raised).collect();
    let more = (!more.is_empty()).then(|| more.join(", "));
    name(scene, &platform.id, more, under_board - dvec2(0.0, platform.stands_up_mm()), top + dvec2(length, 0.0));
}

/// The bearers, from their upper left corner down.
fn bearers(scene: &mut Scene, origin: &Origin, platform: &Platform, upper: DVec2) {
    let Some(bearers) = &platform.bearers else { return };
    let down = dvec2(0.0, bearers.depth.to_mm());
    match bearers.lie {
        Lie::Along => {
            timber(scene, origin, upper - down, upper + dvec2(platform.length.to_mm(), 0.0), Seen::Along);
        }
        Lie::EndOn => {
            let half = dvec2(bearers.breadth.to_mm() / 2.0, 0.0);
            for centre in bearers.centres_mm().take(MOST_BEARERS) {
                let middle = upper + dvec2(centre, 0.0);
                timber(scene, origin, middle - half - down, middle + half, Seen::EndOn);
            }
        }
    }
}

/// The frame, from the left end of the board's underside down: a rail, an upright at each end, and a brace between those.
/// Its timbers are not told, and are drawn as stout as they usually are.
fn frame(scene: &mut Scene, origin: &Origin, platform: &Platform, upper: DVec2) {
    let Some(frame) = platform.frame else { return };
    let (length_mm, height_mm) = (platform.length.to_mm(), frame.height.to_mm());
    let thick_mm = FRAME_TIMBER_MM.min(height_mm / 2.0).min(length_mm / 4.0);
    let at = |right_mm: f64, down_mm: f64| upper + dvec2(right_mm, -down_mm);
    let brace = [at(thick_mm, height_mm), at(length_mm - thick_mm, thick_mm)];
    scene.line(origin, brace, THIN);
    for left_mm in [0.0, length_mm - thick_mm] {
        timber(scene, origin, at(left_mm, height_mm), at(left_mm + thick_mm, thick_mm), Seen::Upright);
    }
    timber(scene, origin, at(0.0, thick_mm), at(length_mm, 0.0), Seen::Along);
}

fn boiler(scene: &mut Scene, boiler: &Boiler) {
    let origin = Origin::Part(boiler.id.clone());
    let low = boiler.at.vector();
    let size = dvec2(boiler.length.to_mm(), boiler.height.to_mm());
    let high = low + size;
    let thin = Pen::solid(Ink::Ink, PenWidth::Fine);
    scene.area(&origin, corners(low, high), Some(Ink::Paper), Some(Pen::solid(Ink::Ink, PenWidth::Medium)));
    let inset = size.min_element() * 0.06;
    scene.area(&origin, corners(low + inset, high - inset), None, Some(thin));
    // A flame over a burner bar.
    let share = |x: f64, z: f64| low + size * dvec2(x, z);
    let flame = [(0.5, 0.42), (0.42, 0.32), (0.38, 0.24), (0.42, 0.16), (0.58, 0.16), (0.62, 0.24), (0.55, 0.3)];
    let flame: Vec<DVec2> = flame.iter().map(|(x, z)| share(*x, *z)).chain([share(0.5, 0.42)]).collect();
    scene.line(&origin, flame, Pen::solid(Ink::HotPipe, PenWidth::Fine));
    scene.line(&origin, [share(0.3, 0.13), share(0.7, 0.13)], thin);
    let more = boiler.kind.map(|kind| kind.words().to_owned()).filter(|kind| *kind != boiler.id.spoken());
    name(scene, &boiler.id, more, low, high);
}
