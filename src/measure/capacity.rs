//! What cisterns and cylinders hold, and how soon it is drawn.

use super::reading::written_mm;
use super::{Feature, Place, Reading, Site, find_out};
use crate::catalogue;
use crate::layout::{Cistern, Cylinder, Id};
use crate::units::{Amount, Measured, Unit, Volume};

const MM3_IN_A_LITRE: f64 = 1e6;
const HOURS_IN_A_DAY: f64 = 24.0;
/// Labels give whole litres.
const ROUNDED_BY_L: f64 = 0.5;

/// Hours in which as much is drawn from each storage cistern as stands in it.
#[must_use]
pub fn turn_over(site: &Site<'_>) -> Vec<Reading> {
    let hours = |cistern: &Cistern| -> Result<Reading, String> {
        let (litres, how) = water_volume_l(site, cistern)?;
        let drawn = cistern.daily_draw.ok_or("tell how much water is drawn from it in a day")?.to_litres();
        if drawn <= 0.0 {
            return Ok(Reading::no(&cistern.id, "no water drawn at all").working(how));
        }
        let hours = litres.scaled(HOURS_IN_A_DAY / drawn);
        let working = format!("{:.0} L / {drawn} L drawn in a day = {:.1} h", litres.value, hours.value);
        Ok(Reading::amount(&cistern.id, hours, Unit::Hour).working(how).working(working))
    };
    let storage = site.storage_cisterns();
    let reading = |cistern: &Cistern| {
        let reading = hours(cistern).unwrap_or_else(|find_out| Reading::untold(&cistern.id, find_out));
        reading.at(Place::of(&cistern.id, Feature::WaterLine))
    };
    storage.map(reading).collect()
}

/// Volume in litres to a cistern's rim, and how it was come by.
///
/// Stated, or else reckoned from the outside dimensions as the frustum of a pyramid (walls not deducted).
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn rim_volume_l(site: &Site<'_>, cistern: &Cistern) -> Result<(Measured, String), String> {
    if let Some(litres) = stated_to_rim_l(site, cistern)? {
        return Ok((Measured::exact(litres), format!("stated: {} to the rim", Amount::litres(litres))));
    }
    let litres = shape_between_l(site, cistern, Measured::exact(0.0), site.taped(cistern.height.to_mm()))?;
    let working = format!("{} to the rim = {:.1} L", shape_in_words(cistern), litres.value);
    Ok((litres, working))
}

/// Volume in litres to a cistern's water line, and how it was come by.
///
/// Stated; or the share of a stated rim volume that lies below the water line; or reckoned from the shape.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn water_volume_l(site: &Site<'_>, cistern: &Cistern) -> Result<(Measured, String), String> {
    if let Some(litres) = stated_to_line_l(site, cistern)? {
        return Ok((Measured::exact(litres), format!("stated: {} to the water line", Amount::litres(litres))));
    }
    let line = match (cistern.line_above_base(), cistern.water_line) {
        (Some(line), _) => line,
        (None, None) => return Err(find_out::water_line(&cistern.id)),
        (None, Some(line)) => {
            let (told, spoken) = (Amount::mm(line.to_mm()), cistern.id.with_article());
            return Err(format!("measure the water line of {spoken} again: at {told} it lies below the base"));
        }
    };
    let height_mm = cistern.height.to_mm();
    let depth_mm = line.to_mm().clamp(0.0, height_mm);
    let to_rim_l = stated_to_rim_l(site, cistern)?;
    let litres = between_l(site, cistern, Measured::exact(0.0), site.taped(depth_mm))?;
    let (filled, high) = (Amount::mm(depth_mm), written_mm(height_mm));
    let working = match to_rim_l {
        None => format!("{} filled to {filled} = {:.1} L", shape_in_words(cistern), litres.value),
        Some(rim_l) => {
            let share = match cistern.draft.to_mm() == 0.0 {
                true => format!("{} / {high}", written_mm(depth_mm)),
                false => format!("share of {} below {filled}", shape_in_words(cistern)),
            };
            format!("{} × {share} = {:.1} L to the water line", Amount::litres(rim_l), litres.value)
        }
    };
    Ok((litres, working))
}

/// What is stated to the rim.
fn stated_to_rim_l(site: &Site<'_>, cistern: &Cistern) -> Result<Option<f64>, String> {
    cistern.rim_volume.map(|stated| stated_l(site, cistern, stated, cistern.height.to_mm())).transpose()
}

/// What is stated to the water line.
fn stated_to_line_l(site: &Site<'_>, cistern: &Cistern) -> Result<Option<f64>, String> {
    let filled_to_mm = cistern.line_above_base().map_or(f64::INFINITY, crate::units::Length::to_mm);
    let up_to_mm = filled_to_mm.clamp(0.0, cistern.height.to_mm());
    cistern.water_volume.map(|stated| stated_l(site, cistern, stated, up_to_mm)).transpose()
}

/// A stated volume up to a height above a cistern's base, as long as the cistern is not too small for it outside, and as
/// much goes into it to the rim as to the water line.
fn stated_l(site: &Site<'_>, cistern: &Cistern, stated: Volume, up_to_mm: f64) -> Result<f64, String> {
    let litres = stated.to_litres();
    leaves_a_base(cistern)?;
    if let (Some(water), Some(rim)) = (cistern.water_volume, cistern.rim_volume)
        && water.to_litres() - ROUNDED_BY_L > rim.to_litres()
    {
        return Err(format!(
            "look at the volumes of {} again: {} are stated to the water line, and {} to the rim",
            cistern.id.with_article(),
            Amount::litres(water.to_litres()),
            Amount::litres(rim.to_litres())
        ));
    }
    match shape_between_l(site, cistern, Measured::exact(0.0), site.taped(up_to_mm)) {
        Ok(outside) => no_more_than_outside(&cistern.id, litres, outside),
        Err(_) => Ok(litres),
    }
}

/// Stated litres, as long as the outside holds as many.
fn no_more_than_outside(id: &Id, litres: f64, outside: Measured) -> Result<f64, String> {
    if litres - ROUNDED_BY_L > outside.value + 2.0 * outside.standard_uncertainty() {
        return Err(format!(
            "look at the volume of {} again: {} are stated, and its outside holds {:.0} L",
            id.with_article(),
            Amount::litres(litres),
            outside.value
        ));
    }
    Ok(litres)
}

/// Litres between two heights above a cistern's base: the share that lies there of the volumes that are stated to its
/// water line and to its rim, or reckoned from the shape.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn between_l(site: &Site<'_>, cistern: &Cistern, from: Measured, to: Measured) -> Result<Measured, String> {
    stated_to_rim_l(site, cistern)?;
    stated_to_line_l(site, cistern)?;
    let (below, above) = match slices(cistern) {
        (None, None) => return shape_between_l(site, cistern, from, to),
        (Some(slice), None) | (None, Some(slice)) => return slice.share_l(site, cistern, from, to),
        (Some(below), Some(above)) => (below, above),
    };
    if to.value <= below.to_mm {
        return below.share_l(site, cistern, from, to);
    }
    if from.value >= above.from_mm {
        return above.share_l(site, cistern, from, to);
    }
    let line = Measured::exact(below.to_mm);
    Ok(below.share_l(site, cistern, from, line)? + above.share_l(site, cistern, line, to)?)
}

/// Litres of the uppermost millimetre below a height above a cistern's base: its sides lean in downward, if at all.
pub(super) fn top_litres_per_mm(site: &Site<'_>, cistern: &Cistern, height_mm: f64) -> Option<f64> {
    let [from, to] = [height_mm - 1.0, height_mm].map(Measured::exact);
    between_l(site, cistern, from, to).ok().map(|litres| litres.value)
}

/// What is stated to be between two heights above a cistern's base.
#[derive(Clone, Copy)]
struct Slice {
    litres: f64,
    from_mm: f64,
    to_mm: f64,
}

/// What a cistern is stated to hold below its water line, and above it. One volume that is stated alone tells of the whole
/// cistern how much smaller than its outside the inside is.
fn slices(cistern: &Cistern) -> (Option<Slice>, Option<Slice>) {
    let height_mm = cistern.height.to_mm();
    let line_mm = cistern.line_above_base().map_or(0.0, |line| line.to_mm().clamp(0.0, height_mm));
    let to_rim = cistern.rim_volume.map(|rim| Slice { litres: rim.to_litres(), from_mm: 0.0, to_mm: height_mm });
    let to_line = cistern.water_volume.filter(|_| line_mm > 0.0);
    let to_line = to_line.map(|water| Slice { litres: water.to_litres(), from_mm: 0.0, to_mm: line_mm });
    match (to_line, to_rim) {
        (Some(water), Some(rim)) if line_mm < height_mm && water.litres < rim.litres => {
            (Some(water), Some(Slice { litres: rim.litres - water.litres, from_mm: line_mm, to_mm: height_mm }))
        }
        (Some(water), _) => (Some(water), None),
        (None, rim) => (rim, None),
    }
}

impl Slice {
    /// The share of it that two heights make of its own, by the shape.
    fn share_l(self, site: &Site<'_>, cistern: &Cistern, from: Measured, to: Measured) -> Result<Measured, String> {
        if cistern.draft.to_mm() == 0.0 {
            return Ok((to - from).scaled(self.litres / (self.to_mm - self.from_mm)));
        }
        let whole = shape_between_l(site, cistern, Measured::exact(self.from_mm), Measured::exact(self.to_mm))?;
        Ok(shape_between_l(site, cistern, from, to)?.scaled(self.litres / whole.value))
    }
}

/// Litres between two heights, from the outside dimensions. One plan bounds them above and below, so that what is in
/// doubt about it counts for the difference alone.
fn shape_between_l(site: &Site<'_>, cistern: &Cistern, from: Measured, to: Measured) -> Result<Measured, String> {
    let Some(width) = cistern.width else {
        return Err(format!("{}, or read its volume off its label", find_out::front_to_back(&cistern.id)));
    };
    leaves_a_base(cistern)?;
    let plan_mm2 = |height_mm: f64| {
        let lean_mm = 2.0 * cistern.draft_at_mm(height_mm);
        (cistern.length.to_mm() - lean_mm) * (width.to_mm() - lean_mm)
    };
    // Simpson's rule is exact here: the plan area is a square of the height.
    let middle_mm = f64::midpoint(from.value, to.value);
    let mean_mm2 = (plan_mm2(from.value) + 4.0 * plan_mm2(middle_mm) + plan_mm2(to.value)) / 6.0;
    let plain = site.size(cistern.length).times(site.size(width)).times(to - from);
    let taper = mean_mm2 / (cistern.length.to_mm() * width.to_mm());
    Ok(plain.scaled(taper / MM3_IN_A_LITRE))
}

/// Sides that lean in until they meet leave no base, and no shape.
fn leaves_a_base(cistern: &Cistern) -> Result<(), String> {
    let length_mm = cistern.length.to_mm();
    let across_mm = cistern.width.map_or(length_mm, |width| width.to_mm().min(length_mm));
    if 2.0 * cistern.draft.to_mm() < across_mm {
        return Ok(());
    }
    Err(format!(
        "measure how far the sides of {} lean in again: {} on each side of {} leave no base",
        cistern.id.with_article(),
        Amount::mm(cistern.draft.to_mm()),
        Amount::mm(across_mm)
    ))
}

fn shape_in_words(cistern: &Cistern) -> String {
    let width = written_mm(cistern.width.map_or(0.0, crate::units::Size::to_mm));
    let box_words =
        format!("{} × {width} × {} mm", written_mm(cistern.length.to_mm()), written_mm(cistern.height.to_mm()));
    match cistern.draft.to_mm() {
        0.0 => box_words,
        draft => format!("{box_words}, sides leaning in {}", Amount::mm(draft)),
    }
}

/// Capacity of a cylinder in litres, and how it was come by.
///
/// Stated; or by its reference in the size table; or estimated from its outside size: domed heads make it hold less
/// than a plain cylinder, by a share that is known only within the range of the printed sizes.
#[must_use]
pub fn cylinder_capacity_l(cylinder: &Cylinder) -> (Measured, String) {
    if let Some(stated) = cylinder.capacity {
        return (Measured::exact(stated.to_litres()), format!("stated: {}", Amount::litres(stated.to_litres())));
    }
    if let Some(size) = cylinder.reference.as_deref().and_then(catalogue::cylinder) {
        let with_coil_l = size.indirect.to_litres();
        let without_l = size.direct.map_or(with_coil_l, Volume::to_litres);
        let of_size = |litres: f64| format!("reference {}: {}", size.reference, Amount::litres(litres));
        return match cylinder.coil {
            Some(true) => (Measured::exact(with_coil_l), of_size(with_coil_l)),
            Some(false) => (Measured::exact(without_l), of_size(without_l)),
            None => (
                Measured::within(f64::midpoint(with_coil_l, without_l), (without_l - with_coil_l).abs() / 2.0),
                format!("{} with a coil, {} without", of_size(with_coil_l), Amount::litres(without_l)),
            ),
        };
    }
    let (diameter_mm, height_mm) = (cylinder.diameter.to_mm(), cylinder.height.to_mm());
    let plain_l = round_l(diameter_mm, height_mm);
    let (least, greatest) = catalogue::cylinders().fill_share;
    let litres = Measured::within(plain_l * f64::midpoint(least, greatest), plain_l * (greatest - least) / 2.0);
    let working = format!(
        "estimated from {diameter_mm} × {height_mm} mm: a plain cylinder holds {plain_l:.0} L, a domed one {least} to {greatest} of that, so {:.0} L",
        litres.value
    );
    (litres, working)
}

/// The same, as long as its outside holds as many as are stated.
///
/// # Errors
/// What to look at again.
pub fn believed_capacity_l(site: &Site<'_>, cylinder: &Cylinder) -> Result<(Measured, String), String> {
    let (diameter, height) = (site.size(cylinder.diameter), site.size(cylinder.height));
    let outside_l = round_l(diameter.value, height.value);
    // JCGM 100:2008, 5.1.6: shares of independent factors add up in squares; the diameter is in it twice.
    let of_share = |size: Measured| size.variance / (size.value * size.value);
    let share_squared = 4.0 * of_share(diameter) + of_share(height);
    if let Some(stated) = cylinder.capacity {
        no_more_than_outside(
            &cylinder.id,
            stated.to_litres(),
            Measured { value: outside_l, variance: outside_l * outside_l * share_squared },
        )?;
    }
    Ok(cylinder_capacity_l(cylinder))
}

/// Litres in a plain cylinder.
fn round_l(diameter_mm: f64, height_mm: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm * height_mm / MM3_IN_A_LITRE
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{CisternRole, Layout};
    use crate::units::{Length, Size};

    fn cistern() -> Cistern {
        let (at, length, height) = (Point::mm(0.0, 5000.0), Size::mm(1000.0), Size::mm(600.0));
        Cistern {
            width: Some(Size::mm(500.0)),
            water_line: Some(Length::mm(450.0)),
            ..Cistern::new(Id::of("cistern"), CisternRole::Storage, at, length, height)
        }
    }

    fn litres(result: Result<(Measured, String), String>) -> f64 {
        result.expect("told").0.value
    }

    #[test]
    fn a_box_holds_its_sides_product() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        assert!((litres(rim_volume_l(&site, &cistern())) - 300.0).abs() < 1e-9);
        assert!((litres(water_volume_l(&site, &cistern())) - 225.0).abs() < 1e-9);
    }

    /// A frustum of 1000 × 500 above and 900 × 400 below, 600 deep: h/3 (A1 + A2 + √(A1 A2)) holds for similar ends
    /// only, so the check is the integral ∫ (900 + z/6)(400 + z/6) dz = 257 L.
    #[test]
    fn leaning_sides_hold_less() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        let leaning = Cistern { draft: Length::mm(50.0), ..cistern() };
        let exact =
            (900.0 * 400.0 * 600.0 + (1300.0 / 6.0) * 600.0_f64.powi(2) / 2.0 + 600.0_f64.powi(3) / 108.0) / 1e6;
        assert!((litres(rim_volume_l(&site, &leaning)) - exact).abs() < 1e-6);
    }

    #[test]
    fn a_stated_rim_volume_is_shared_out_by_depth() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        let stated = Cistern { rim_volume: Volume::try_litres(280.0).ok(), width: None, ..cistern() };
        assert!((litres(water_volume_l(&site, &stated)) - 210.0).abs() < 1e-9);
        let untold = Cistern { water_line: None, ..cistern() };
        assert!(water_volume_l(&site, &untold).expect_err("untold").contains("water line"));
    }

    /// 150 L below 450 mm are 1/3 L for each millimetre; of 210 L to the rim 60 L lie in the 150 mm above the water line,
    /// 0.4 L for each; without a rim volume it goes on as below. Of a drawn 1000 × 500 × 600 mm box each holds 0.5 L.
    #[test]
    fn a_stated_water_volume_is_shared_out_by_depth() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        let between = |cistern: &Cistern, from_mm: f64, to_mm: f64| {
            between_l(&site, cistern, Measured::exact(from_mm), Measured::exact(to_mm)).expect("told").value
        };
        let water = Cistern { water_volume: Volume::try_litres(150.0).ok(), width: None, ..cistern() };
        assert!((between(&water, 0.0, 450.0) - 150.0).abs() < 1e-9);
        assert!((between(&water, 300.0, 301.0) - 1.0 / 3.0).abs() < 1e-9);
        assert!((between(&water, 450.0, 600.0) - 50.0).abs() < 1e-9);
        let both = Cistern { rim_volume: Volume::try_litres(210.0).ok(), ..water };
        assert!((between(&both, 300.0, 301.0) - 1.0 / 3.0).abs() < 1e-9);
        assert!((between(&both, 420.0, 500.0) - (10.0 + 20.0)).abs() < 1e-9);
        assert!((between(&both, 0.0, 600.0) - 210.0).abs() < 1e-9);
        let box_alone = cistern();
        assert!((between(&box_alone, 300.0, 301.0) - 0.5).abs() < 1e-9);
    }

    /// 1000 × 500 × 450 mm hold 225 L outside, and 300 L to the rim.
    #[test]
    fn no_more_is_believed_than_the_outside_holds() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        let stated = |litres: f64| Cistern { water_volume: Volume::try_litres(litres).ok(), ..cistern() };
        assert!((litres(water_volume_l(&site, &stated(225.0))) - 225.0).abs() < 1e-9);
        assert!(water_volume_l(&site, &stated(226.0)).expect_err("too much").contains("226 L"));
        let rim = |litres: f64| Cistern { rim_volume: Volume::try_litres(litres).ok(), ..cistern() };
        assert!((litres(rim_volume_l(&site, &rim(300.0))) - 300.0).abs() < 1e-9);
        assert!(rim_volume_l(&site, &rim(301.0)).is_err());
        assert!(water_volume_l(&site, &rim(301.0)).expect_err("too much").contains("301 L"));
    }

    #[test]
    fn no_less_goes_in_to_the_rim_than_to_the_water_line() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        let stated = |water_l: f64, rim_l: f64| Cistern {
            water_volume: Volume::try_litres(water_l).ok(),
            rim_volume: Volume::try_litres(rim_l).ok(),
            width: None,
            ..cistern()
        };
        assert!(rim_volume_l(&site, &stated(180.0, 180.0)).is_ok());
        let crossed = stated(228.0, 180.0);
        let [rim, water] = [rim_volume_l, water_volume_l].map(|of| of(&site, &crossed).expect_err("contradictory"));
        assert!(rim.contains("look at the volumes"), "{rim}");
        assert_eq!(rim, water);
        assert!(between_l(&site, &crossed, Measured::exact(0.0), Measured::exact(10.0)).is_err());
    }

    /// A plain cylinder of 450 × 900 mm holds 143 L.
    #[test]
    fn no_more_is_believed_of_a_cylinder_than_its_outside_holds() {
        let layout = Layout::default();
        let site = Site::of(&layout);
        let stated = |litres: f64| {
            let (at, diameter, height) = (Point::mm(0.0, 0.0), Size::mm(450.0), Size::mm(900.0));
            let plain = Cylinder::new(Id::of("cylinder"), at, diameter, height);
            Cylinder { capacity: Volume::try_litres(litres).ok(), ..plain }
        };
        assert!((litres(believed_capacity_l(&site, &stated(143.0))) - 143.0).abs() < 1e-9);
        assert!(believed_capacity_l(&site, &stated(300.0)).expect_err("too much").contains("300 L"));
    }
}
