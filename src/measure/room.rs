//! Room that the house, and what stands in it, leave: below the roof, above joists, floor and other parts.

use glam::DVec2;

use super::Site;
use super::standing::{Vessel, platform_of_cylinder, platforms_of};
use crate::geom::overlap;
use crate::layout::{Boiler, Cistern, Cylinder, PartRef, Platform, Service, Storey};

/// A tube keeps this far under the roof's underside: half of it, and room for a clip, mm.
const TUBE_UNDER_ROOF_MM: f64 = 20.0;

/// Whether a cistern stands outside: all of the roof over which it is drawn lies below its base, as under one on a flat roof.
#[must_use]
pub fn stands_outside(site: &Site<'_>, cistern: &Cistern) -> bool {
    let Some(roof) = site.roof() else { return false };
    let ((left, right), base_mm) = (cistern.span_mm(), cistern.at.z.to_mm());
    let breaks = roof.vertices().iter().map(|vertex| vertex.x).filter(|x_mm| (left..=right).contains(x_mm));
    let mut heights = [left, right].into_iter().chain(breaks).map(|x_mm| roof.height_at(x_mm));
    heights.all(|height_mm| height_mm.is_some_and(|mm| mm <= base_mm))
}

/// Whether a place surely lies in the loft: over the ceiling, under the roof, and between walls that reach up to the ceiling.
/// Never where one of them is not drawn: under the eaves a pipe may end outside the wall.
pub(super) fn lies_in_loft(site: &Site<'_>, point: DVec2) -> bool {
    let Some(ceiling) = site.building().ceiling else { return false };
    let ceiling_mm = ceiling.underside.to_mm();
    let under_roof = site.roof().and_then(|roof| roof.height_at(point.x)).is_some_and(|roof_mm| point.y <= roof_mm);
    let walls = || site.building().walls.iter().filter(|wall| wall.head.to_mm() >= ceiling_mm);
    let right_of_one = walls().any(|wall| wall.x.to_mm() + wall.thickness.to_mm() <= point.x);
    let left_of_one = walls().any(|wall| wall.x.to_mm() >= point.x);
    point.y >= ceiling_mm && under_roof && right_of_one && left_of_one
}

/// From the rim of a cistern up to the roof over its nearer side, or to a ceiling or floor above it, mm.
#[must_use]
pub fn above_cistern_mm(site: &Site<'_>, cistern: &Cistern) -> Option<f64> {
    let (left, right) = cistern.span_mm();
    let roof = site.roof().filter(|_| !stands_outside(site, cistern));
    let under_roof = [left, right].into_iter().filter_map(|x_mm| roof?.height_at(x_mm));
    let heights = under_roof.chain(floors_above_mm(site, cistern.rim().to_mm()));
    heights.reduce(f64::min).map(|lowest_mm| lowest_mm - cistern.rim().to_mm())
}

/// Undersides of the ceiling and of the floors that lie above a level, mm.
fn floors_above_mm<'s>(site: &'s Site<'_>, level_mm: f64) -> impl Iterator<Item = f64> + use<'s> {
    let building = site.building();
    let ceiling = building.ceiling.map(|ceiling| ceiling.underside.to_mm());
    let decks = building.storeys.iter().map(Storey::underside_mm);
    ceiling.into_iter().chain(decks).filter(move |underside_mm| *underside_mm >= level_mm)
}

/// From a pipe up to where it would still keep under the roof, mm; by the number of the run.
#[must_use]
pub fn above_run_mm(site: &Site<'_>, run: usize) -> Option<f64> {
    let roof = site.roof()?;
    let vertices = site.line(run)?.vertices().iter();
    let gaps = vertices.filter_map(|vertex| roof.height_at(vertex.x).map(|roof_mm| roof_mm - vertex.y));
    gaps.reduce(f64::min).map(|gap_mm| gap_mm - TUBE_UNDER_ROOF_MM)
}

/// From the foot of a platform down to the joists, mm; nothing where it stands below them.
#[must_use]
pub fn over_joists_mm(site: &Site<'_>, platform: &Platform) -> Option<f64> {
    down_to_joists_mm(site, platform.foot_mm())
}

/// From a platform down to the floor below it, mm.
#[must_use]
pub fn platform_over_floor_mm(site: &Site<'_>, platform: &Platform) -> Option<f64> {
    Some(platform.underside_mm() - platform.frame_mm() - floor_below_mm(site, platform.at.z.to_mm())?)
}

/// From the base of a cylinder down to the floor below it, mm.
#[must_use]
pub fn cylinder_over_floor_mm(site: &Site<'_>, cylinder: &Cylinder) -> Option<f64> {
    let base_mm = cylinder.at.z.to_mm();
    Some(base_mm - floor_below_mm(site, base_mm)?)
}

/// From the base of a boiler down to the floor below it, mm.
#[must_use]
pub fn boiler_over_floor_mm(site: &Site<'_>, boiler: &Boiler) -> Option<f64> {
    let base_mm = boiler.at.z.to_mm();
    Some(base_mm - floor_below_mm(site, base_mm)?)
}

/// How far a cistern can be lowered, with the platform on which it stands, mm.
#[must_use]
pub fn below_cistern_mm(site: &Site<'_>, cistern: &Cistern) -> Option<f64> {
    // What reaches into its lower half is in the way as well.
    let (base_mm, middle_mm) = (cistern.at.z.to_mm(), f64::midpoint(cistern.at.z.to_mm(), cistern.rim().to_mm()));
    let ceiling_mm = site.building().ceiling.map(|ceiling| ceiling.underside.to_mm());
    if ceiling_mm.is_some_and(|ceiling_mm| ceiling_mm > base_mm && ceiling_mm <= middle_mm) {
        return Some(0.0);
    }
    if let Some(platform) = platforms_of(site, cistern.into()).first() {
        return below_platform_mm(site, platform);
    }
    let part_mm = top_below_mm(site, cistern.span_mm(), cistern.front_and_back_mm(), middle_mm);
    let to_part_mm = part_mm.map(|top_mm| base_mm - top_mm);
    let to_floor_mm = floor_below_mm(site, base_mm).map(|floor_mm| base_mm - floor_mm);
    least([down_to_joists_mm(site, base_mm), to_floor_mm, to_part_mm])
}

/// How far the water of a cistern can be lowered by its water line until a hole by which it leaves is bare, or the base, mm;
/// not at all where that line is told above the rim, and the water stands at the rim; `None` where no line is told.
#[must_use]
pub fn under_surface_mm(site: &Site<'_>, cistern: &Cistern) -> Option<f64> {
    let is_over_rim = cistern.water_level()? > cistern.rim();
    if is_over_rim { Some(0.0) } else { under_water_line_mm(site, cistern) }
}

/// The same of the water line as it is told, be it above the rim.
#[must_use]
pub fn under_water_line_mm(site: &Site<'_>, cistern: &Cistern) -> Option<f64> {
    let part = PartRef::Cistern(cistern);
    let pipes = site.out_of(&cistern.id).filter(|pipe| site.run(pipe.run).service != Service::WarningPipe);
    let tops_mm =
        pipes.filter_map(|pipe| Some(part.port(pipe.port.as_str())?.z.to_mm() + site.run(pipe.run).half_bore_mm()));
    let lowest_mm = tops_mm.fold(cistern.at.z.to_mm(), f64::max);
    Some(cistern.water_level()?.to_mm() - lowest_mm)
}

/// How far a cylinder can be lowered, with the platform on which it stands, mm.
#[must_use]
pub fn below_cylinder_mm(site: &Site<'_>, cylinder: &Cylinder) -> Option<f64> {
    platform_of_cylinder(site, cylinder)
        .map_or_else(|| cylinder_over_floor_mm(site, cylinder), |platform| below_platform_mm(site, platform))
}

fn below_platform_mm(site: &Site<'_>, platform: &Platform) -> Option<f64> {
    let foot_mm = platform.foot_mm();
    let to_part_mm =
        top_below_mm(site, platform.span_mm(), platform.front_and_back_mm(), foot_mm).map(|top_mm| foot_mm - top_mm);
    least([over_joists_mm(site, platform), platform_over_floor_mm(site, platform), to_part_mm])
}

fn least(rooms_mm: [Option<f64>; 3]) -> Option<f64> {
    rooms_mm.into_iter().flatten().reduce(f64::min)
}

fn down_to_joists_mm(site: &Site<'_>, foot_mm: f64) -> Option<f64> {
    let joists = site.building().joists.as_ref()?;
    (foot_mm > joists.top.to_mm() - joists.depth.to_mm()).then_some(foot_mm - joists.top.to_mm())
}

/// The top of whatever stands highest below a level, over a span and front to back.
fn top_below_mm(site: &Site<'_>, span_mm: (f64, f64), deep_mm: Option<(f64, f64)>, level_mm: f64) -> Option<f64> {
    let platforms = site.layout().platforms.iter();
    let platforms = platforms.map(|part| (part.span_mm(), part.front_and_back_mm(), part.at.z.to_mm()));
    let vessels = Vessel::all(site.layout()).map(|part| (part.span_mm(), part.front_and_back_mm(), part.top_mm()));
    let is_below = |(own_mm, back_mm, top_mm): &((f64, f64), Option<(f64, f64)>, f64)| {
        *top_mm <= level_mm && overlap(span_mm, *own_mm).is_some() && !stand_behind(deep_mm, *back_mm)
    };
    let below = platforms.chain(vessels).filter(is_below);
    below.map(|(_, _, top_mm)| top_mm).reduce(f64::max)
}

/// Whether two parts are told to stand one behind the other, so that neither is above or below the other.
pub(super) fn stand_behind(deep_mm: Option<(f64, f64)>, other_mm: Option<(f64, f64)>) -> bool {
    deep_mm.zip(other_mm).is_some_and(|(deep_mm, other_mm)| overlap(deep_mm, other_mm).is_none())
}

/// The floor that it stands on, or into which it is drawn by a little.
pub(super) fn floor_below_mm(site: &Site<'_>, base_mm: f64) -> Option<f64> {
    let floors = site.building().storeys.iter().map(|storey| storey.floor.to_mm());
    floors.filter(|floor_mm| *floor_mm <= base_mm).reduce(f64::max)
}
