//! The level at which a cistern overflows: the highest invert on the way out, or the mouth of a standpipe.

use super::overflow_way::Stop;
use super::{Feature, OverflowWay, Place, Site, find_out};
use crate::layout::{Cistern, DipTube, Id, PartRef, Service, Tapping};
use crate::units::Measured;

/// A bend counts as higher than another from here on: sums of fractions differ by less, mm.
pub(super) const HIGHER_BY_MM: f64 = 1e-6;

/// The level at which a cistern overflows into a warning pipe: the highest invert on the way out, or the mouth of a
/// standpipe where that is higher.
pub struct Invert<'a> {
    /// The way out.
    pub way: OverflowWay<'a>,
    /// Half the bore of the pipe there, mm.
    pub half_bore_mm: f64,
    /// Where it is, by name.
    pub place: Place,
    /// Above the base, mm.
    pub height: Measured,
}

impl Invert<'_> {
    /// Whether a dip tube may be fitted to the hole: to one in a side.
    #[must_use]
    pub fn may_have_dip_tube(&self) -> bool {
        self.way.from.is_some_and(|(cistern, port)| !leaves_by_base(cistern, port))
    }
}

/// Whether a warning pipe leaves a cistern through its base: what stands on it inside is a standpipe.
pub(super) fn leaves_by_base(cistern: &Cistern, port: &Id) -> bool {
    cistern.connections.iter().any(|hole| hole.port == *port && matches!(hole.on, Tapping::Base(_)))
}

/// The level at which a cistern overflows into each of its warning pipes, lowest first; never empty. Where that is drawn
/// above the rim, the water spills over the rim before.
///
/// # Errors
/// What to find out, when the layout does not tell.
pub fn overflow_inverts<'a>(site: &Site<'a>, cistern: &'a Cistern) -> Result<Vec<Invert<'a>>, String> {
    let mut inverts = drawn_inverts(site, cistern)?;
    let rim = site.taped(cistern.height.to_mm());
    for invert in inverts.iter_mut().filter(|invert| invert.height.value > rim.value) {
        (invert.height, invert.place) = (rim, Place::of(&cistern.id, Feature::Top));
    }
    Ok(inverts)
}

/// The same as they are drawn, be it above the rim.
///
/// # Errors
/// What to find out, when the layout does not tell.
pub(super) fn drawn_inverts<'a>(site: &Site<'a>, cistern: &'a Cistern) -> Result<Vec<Invert<'a>>, String> {
    let mut inverts = Vec::new();
    for way in site.ways_out_of(cistern) {
        inverts.extend(invert_of(site, cistern, way)?);
    }
    if inverts.is_empty() {
        return Err(draw_warning_pipe(cistern));
    }
    inverts.sort_by(|a, b| a.height.value.total_cmp(&b.height.value));
    Ok(inverts)
}

/// The level at which a cistern overflows by one way out; none where its port is not on the cistern.
fn invert_of<'a>(site: &Site<'a>, cistern: &'a Cistern, way: OverflowWay<'a>) -> Result<Option<Invert<'a>>, String> {
    let half_bore_mm = |run: usize| {
        let run = site.run(run);
        let bore = run.bore().ok_or_else(|| find_out::material_and_size(&run.id))?;
        Ok::<_, String>(bore.to_mm() / 2.0)
    };
    let first_half_mm = half_bore_mm(way.first_run())?;
    let Some((_, port)) = way.from else { return Ok(None) };
    let Some(point) = PartRef::Cistern(cistern).port(port.as_str()) else { return Ok(None) };
    // Over one above the rim the water runs out over the rim.
    let is_over_rim = point.z.to_mm() > cistern.rim().to_mm();
    let hole = Place::of(&cistern.id, Feature::Port(port.clone()));
    if let Some(off) = site.off_vessel(&hole).filter(|_| !is_over_rim) {
        return Err(off.find_out.clone());
    }
    let (place, height) = if leaves_by_base(cistern, port) {
        standpipe(site, cistern)?
    } else {
        let place = Place::of(&cistern.id, Feature::Invert(port.clone(), first_half_mm));
        (place, site.length(point.z - cistern.at.z) - Measured::exact(first_half_mm))
    };
    let mut invert = Invert { half_bore_mm: first_half_mm, place, height, way };
    for Stop { run, along_mm, point } in invert.way.stops(site) {
        let centre_mm = point.y - cistern.at.z.to_mm();
        // Only where the pipe rises does it matter how wide it is further on.
        if centre_mm <= invert.height.value + HIGHER_BY_MM {
            continue;
        }
        let half_mm = half_bore_mm(run)?;
        if centre_mm - half_mm > invert.height.value + HIGHER_BY_MM {
            invert.half_bore_mm = half_mm;
            invert.height = site.taped(centre_mm) - Measured::exact(half_mm);
            invert.place = Place::of(&site.run(run).id, Feature::InvertAlong(along_mm, half_mm));
        }
    }
    Ok(Some(invert))
}

/// The mouth of the tube that stands on a warning pipe's connection in the base, and its height.
fn standpipe(site: &Site<'_>, cistern: &Cistern) -> Result<(Place, Measured), String> {
    let base = Place::of(&cistern.id, Feature::Base);
    match cistern.dip_tube {
        Some(DipTube::EndsAt(mouth)) => Ok((Place::of(&cistern.id, Feature::DipTubeEnd), site.length(mouth))),
        Some(DipTube::Missing) => Ok((base, Measured::exact(0.0))),
        None => Err(format!(
            "measure how high above the base of {} the standpipe of its overflow ends",
            cistern.id.with_article()
        )),
    }
}

/// The lowest invert: what the water reaches first.
pub(super) fn lowest_invert<'a>(site: &Site<'a>, cistern: &'a Cistern) -> Result<Invert<'a>, String> {
    Ok(overflow_inverts(site, cistern)?.swap_remove(0))
}

impl Site<'_> {
    /// Whether a cistern has no warning pipe for certain: pipes or holes of it are drawn, and none of them is one. That is a
    /// fault by itself, and nothing else is asked of that pipe.
    #[must_use]
    pub fn has_no_warning_pipe(&self, cistern: &Cistern) -> bool {
        let is_described = !self.attached(&cistern.id).is_empty() || !cistern.connections.is_empty();
        is_described && self.attached_of(&cistern.id, Service::WarningPipe).next().is_none()
    }
}

fn draw_warning_pipe(cistern: &Cistern) -> String {
    format!("draw the warning pipe of {}", cistern.id.with_article())
}

/// The highest invert: what inlet and vent must stay clear of.
pub(super) fn highest_invert<'a>(site: &Site<'a>, cistern: &'a Cistern) -> Result<Invert<'a>, String> {
    overflow_inverts(site, cistern)?.pop().ok_or_else(|| draw_warning_pipe(cistern))
}
