//! Platforms and boilers, and the order in which parts are drawn.

use glam::{DVec2, dvec2};

use super::building::{timber_along, timber_end};
use super::outline::corners;
use super::{
    About, Ink, Label, Origin, Pen, PenWidth, Rank, Scene, Shape, Slant, TextSize, cistern, cylinder, jotted, outlets,
};
use crate::layout::{BoardMaterial, Boiler, Id, Lie, PartRef, Platform};
use crate::measure::Site;

/// More bearers than this cannot be told apart on any sheet.
const MOST_BEARERS: usize = 100;

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
    let label = Label { lines, size: TextSize::Tiny, ink, about, rank };
    scene.add(&Origin::Part(id.clone()), Shape::Label(label));
}

fn platform(scene: &mut Scene, platform: &Platform) {
    let origin = Origin::Part(platform.id.clone());
    let top = platform.at.vector();
    let length = platform.length.to_mm();
    let thickness = platform.drawn_board_mm();
    let board = corners(top - dvec2(0.0, thickness), top + dvec2(length, 0.0));
    if let Some(bearers) = &platform.bearers {
        let (upper, lower) = (top.y - thickness, top.y - thickness - bearers.depth.to_mm());
        match bearers.lie {
            Lie::Along => timber_along(scene, &origin, dvec2(top.x, lower), dvec2(top.x + length, upper)),
            Lie::EndOn => {
                let half = bearers.breadth.to_mm() / 2.0;
                for centre in bearers.centres_mm().take(MOST_BEARERS) {
                    let x = top.x + centre;
                    timber_end(scene, &origin, dvec2(x - half, lower), dvec2(x + half, upper));
                }
            }
        }
    }
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
        Some(_) => Pen::solid(Ink::Ink, PenWidth::Medium),
        None => Pen::dashed(Ink::Ink, PenWidth::Medium),
    };
    scene.area(&origin, board, None, Some(pen));
    let foot = platform.bearers.as_ref().map_or(0.0, |bearers| bearers.depth.to_mm());
    let more = platform.board.map(|board| match board.thickness {
        Some(thickness) => format!("{} {}", board.material.words(), thickness.to_mm()),
        None => board.material.words().to_owned(),
    });
    name(scene, &platform.id, more, top - dvec2(0.0, thickness + foot), top + dvec2(length, 0.0));
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
