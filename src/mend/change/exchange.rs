//! A cistern in place of another: of another size that is sold, or with a hole in its other side.

use crate::catalogue::cisterns;
use crate::layout::{Cistern, CisternRole, DipTube, INLET, Id, Tapping};
use crate::units::{Length, Mass, Size};

/// A connection stays so far from the corners, mm.
const CORNER_MM: f64 = 30.0;

/// Outside volume, L; of a width that nobody has told, that of a square base.
pub(super) fn volume_l(length: Size, width: Option<Size>, height: Size) -> f64 {
    length.to_mm() * width.unwrap_or(length).to_mm() * height.to_mm() / 1e6
}

/// The cistern of a size that is sold, on the same base and over the same middle. What is in the upper half of the old
/// one, or at the water line of stored water and over it, keeps its distance to the rim; what is below keeps its height.
pub(super) fn exchanged(old: &Cistern, number: usize) -> Option<Cistern> {
    let size = cisterns().sizes.get(number)?;
    let (old_height_mm, new_height_mm) = (old.height.to_mm(), size.height.to_mm());
    let line_mm = old.water_line.filter(|_| old.role == CisternRole::Storage).map_or(f64::INFINITY, Length::to_mm);
    let raised = |at: Length| {
        let at_mm = at.to_mm();
        let moved_mm =
            if at_mm > old_height_mm / 2.0 || at_mm >= line_mm { at_mm + new_height_mm - old_height_mm } else { at_mm };
        Length::mm(moved_mm.clamp(0.0, new_height_mm))
    };
    let share = size.length.to_mm() / old.length.to_mm();
    let moved = |on: Tapping| {
        on.with_distance(match on {
            Tapping::Left(at) | Tapping::Right(at) => raised(at),
            Tapping::Base(at) | Tapping::Top(at) => {
                Length::mm((at.to_mm() * share).clamp(CORNER_MM, (size.length.to_mm() - CORNER_MM).max(CORNER_MM)))
            }
        })
    };
    let mut new = old.clone();
    new.at = old.at.moved(glam::dvec2((old.length.to_mm() - size.length.to_mm()) / 2.0, 0.0));
    (new.length, new.width, new.height) = (size.length, Some(size.width), size.height);
    // Its volumes are reckoned from its shape again.
    (new.rim_volume, new.water_volume) = (None, None);
    new.water_line = old.water_line.map(raised);
    new.dip_tube = old.dip_tube.map(|tube| match tube {
        DipTube::EndsAt(at) => DipTube::EndsAt(raised(at)),
        DipTube::Missing => DipTube::Missing,
    });
    if let Some(valve) = &mut new.float_valve {
        valve.shank = moved(valve.shank);
        valve.outlet = valve.outlet.map(raised);
    }
    for hole in &mut new.connections {
        hole.on = moved(hole.on);
    }
    // Walls are taken to be as thick: the mass goes with the surface, near enough with the volume to two thirds.
    let grown = volume_l(size.length, Some(size.width), size.height) / volume_l(old.length, old.width, old.height);
    new.empty_mass = old.empty_mass.and_then(|mass| Mass::try_kg(mass.to_kg() * grown.powf(2.0 / 3.0)).ok());
    Some(new)
}

/// The cistern with its float valve or a connection in the opposite side, at the same height.
pub(super) fn on_opposite_side(old: &Cistern, port: &Id) -> Option<Cistern> {
    let across = |on: Tapping| match on {
        Tapping::Left(at) => Some(Tapping::Right(at)),
        Tapping::Right(at) => Some(Tapping::Left(at)),
        Tapping::Base(_) | Tapping::Top(_) => None,
    };
    let mut new = old.clone();
    if port.as_str() == INLET {
        let valve = new.float_valve.as_mut()?;
        valve.shank = across(valve.shank)?;
    } else {
        let hole = new.connections.iter_mut().find(|hole| hole.port == *port)?;
        hole.on = across(hole.on)?;
    }
    Some(new)
}
