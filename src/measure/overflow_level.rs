//! The level at which a cistern overflows: the invert of a warning pipe, or the mouth of a standpipe.

use super::{Feature, Place, Site};
use crate::layout::{Cistern, DipTube, Id, PartRef, Service, Tapping};
use crate::units::Measured;

/// The level at which a cistern overflows into a warning pipe: the invert of its connection, or the mouth of a standpipe.
pub struct Invert {
    /// The port that it leaves by.
    pub port: Id,
    /// Half the bore of the pipe, mm.
    pub half_bore_mm: f64,
    /// Where it is, by name.
    pub(super) place: Place,
    /// Above the base, mm.
    pub height: Measured,
}

/// Whether a warning pipe leaves a cistern through its base: what stands on it inside is a standpipe.
pub(super) fn leaves_by_base(cistern: &Cistern, port: &Id) -> bool {
    cistern.connections.iter().any(|hole| hole.port == *port && matches!(hole.on, Tapping::Base(_)))
}

/// The invert of each warning pipe of a cistern, lowest first; never empty.
///
/// # Errors
/// What to find out, when the layout does not tell.
pub fn overflow_inverts(site: &Site<'_>, cistern: &Cistern) -> Result<Vec<Invert>, String> {
    let mut inverts = Vec::new();
    for way in site.attached_of(&cistern.id, Service::WarningPipe) {
        let run = site.run(way.run);
        let Some(bore) = run.bore() else {
            return Err(format!("tell the material and size of the {}", run.id.spoken()));
        };
        let Some(point) = PartRef::Cistern(cistern).port(way.port.as_str()) else { continue };
        let half_bore_mm = bore.to_mm() / 2.0;
        let (place, height) = if leaves_by_base(cistern, way.port) {
            standpipe(site, cistern)?
        } else {
            let place = Place::of(&cistern.id, Feature::Invert(way.port.clone(), half_bore_mm));
            (place, site.length(point.z - cistern.at.z) - Measured::exact(half_bore_mm))
        };
        inverts.push(Invert { port: way.port.clone(), half_bore_mm, place, height });
    }
    if inverts.is_empty() {
        return Err(format!("draw the warning pipe of the {}", cistern.id.spoken()));
    }
    inverts.sort_by(|a, b| a.height.value.total_cmp(&b.height.value));
    Ok(inverts)
}

/// The mouth of the tube that stands on a warning pipe's connection in the base, and its height.
fn standpipe(site: &Site<'_>, cistern: &Cistern) -> Result<(Place, Measured), String> {
    let base = Place::of(&cistern.id, Feature::Base);
    match cistern.dip_tube {
        Some(DipTube::EndsAt(mouth)) => Ok((Place::of(&cistern.id, Feature::DipTubeEnd), site.length(mouth))),
        Some(DipTube::Missing) => Ok((base, Measured::exact(0.0))),
        None => Err(format!(
            "measure how high above the base of the {} the standpipe of its overflow ends",
            cistern.id.spoken()
        )),
    }
}

/// The lowest invert: what the water reaches first.
pub(super) fn lowest_invert(site: &Site<'_>, cistern: &Cistern) -> Result<Invert, String> {
    Ok(overflow_inverts(site, cistern)?.swap_remove(0))
}

/// The highest invert: what inlet and vent must stay clear of.
pub(super) fn highest_invert(site: &Site<'_>, cistern: &Cistern) -> Result<Invert, String> {
    overflow_inverts(site, cistern)?
        .pop()
        .ok_or_else(|| format!("draw the warning pipe of the {}", cistern.id.spoken()))
}
