//! The ways on the left of the cistern: of the rising main up to the float valve, and of the warning pipe out under the
//! rafters at the eaves, so that neither goes through the roof.

use super::choices::Choices;
use super::positions::{Beside, CLEAR_MM, Extent, House, Inside};
use super::usual_house::{EAVES_OUT_MM, WALL_MM};

/// The warning pipe falls by so much for each mm across (common practice, no source).
const FALL: f64 = 1.0 / 60.0;
/// It lies so far over the joists where the rafters leave it that room: its middle, mm.
const OVER_JOISTS_MM: f64 = 75.0;
/// It comes out of the soffit so far outside the wall, and ends so far below the soffit, mm.
const OUTSIDE_WALL_MM: f64 = 100.0;
const BELOW_SOFFIT_MM: f64 = 50.0;
/// A pipe keeps so far from joists and rafters that it passes, mm.
const BESIDE_TIMBER_MM: f64 = 10.0;
/// Where the rafters come near it, the warning pipe is bare, mm before that.
const BARE_BEFORE_WALL_MM: f64 = 300.0;
/// A step of looking for a place, mm.
const STEP_MM: f64 = 5.0;

/// By their points across and up, mm.
pub(super) struct LeftWays {
    pub main: Vec<(f64, f64)>,
    pub warning: Vec<(f64, f64)>,
    /// How far from the cistern the warning pipe has room for insulation, mm.
    pub warning_covered_mm: f64,
    /// What the warning pipe lacks in height between joists and rafters, mm.
    pub missing_mm: f64,
}

impl LeftWays {
    pub(super) fn of(
        choices: &Choices,
        house: &House,
        cistern: Extent,
        beside: &Beside,
        (base_mm, inside): (f64, &Inside),
    ) -> Self {
        let side = Side { house, left_mm: cistern.left_mm, base_mm, jacket_mm: choices.jacket_mm };
        let out = Out::of(house, choices.warning_mm / 2.0);
        let mut warning = side.down(beside.warning_x_mm, base_mm + inside.overflow_mm);
        warning.push((beside.warning_x_mm, out.at_wall_mm + FALL * (beside.warning_x_mm - WALL_MM).max(0.0)));
        let to_wall_mm = super::pipes::length_mm(&warning) + (beside.warning_x_mm - WALL_MM).max(0.0);
        warning.extend(out.points_mm());
        Self {
            main: side.up(beside.main_x_mm, base_mm + inside.shank_mm),
            warning,
            warning_covered_mm: (to_wall_mm - BARE_BEFORE_WALL_MM).max(0.0),
            missing_mm: out.missing_mm,
        }
    }
}

/// The left side of the cistern, under the roof.
struct Side<'h> {
    house: &'h House,
    left_mm: f64,
    base_mm: f64,
    jacket_mm: f64,
}

impl Side<'_> {
    /// Down from a hole, at once or close beside the cistern and over the platform where the roof is low further out.
    fn down(&self, x_mm: f64, level_mm: f64) -> Vec<(f64, f64)> {
        let hole = (self.left_mm, level_mm);
        let close_x_mm = self.close_x_mm(CLEAR_MM);
        if self.has_room(x_mm, level_mm) || close_x_mm <= x_mm {
            return vec![hole, (x_mm, level_mm - 2.0)];
        }
        let over_platform_mm = self.base_mm + 1.5 * CLEAR_MM;
        vec![hole, (close_x_mm, level_mm - 2.0), (close_x_mm, over_platform_mm), (x_mm, over_platform_mm - 5.0)]
    }

    /// Up from the lowest floor to a hole, in the same way.
    fn up(&self, x_mm: f64, level_mm: f64) -> Vec<(f64, f64)> {
        let (foot, hole) = ((x_mm, super::pipes::MAIN_COMES_IN_MM), (self.left_mm, level_mm));
        let close_x_mm = self.close_x_mm(2.0 * CLEAR_MM);
        if self.has_room(x_mm, level_mm) || close_x_mm <= x_mm {
            return vec![foot, (x_mm, level_mm), hole];
        }
        let over_platform_mm = self.base_mm + 2.5 * CLEAR_MM;
        vec![foot, (x_mm, over_platform_mm), (close_x_mm, over_platform_mm), (close_x_mm, level_mm), hole]
    }

    fn has_room(&self, x_mm: f64, level_mm: f64) -> bool {
        self.house.roof_mm(x_mm) - CLEAR_MM >= level_mm
    }

    fn close_x_mm(&self, beside_jacket_mm: f64) -> f64 {
        self.left_mm - self.jacket_mm - beside_jacket_mm
    }
}

/// The way of the warning pipe from the inner face of the wall to its open end.
struct Out {
    at_wall_mm: f64,
    outside_mm: f64,
    end_mm: f64,
    missing_mm: f64,
}

/// The level outside the wall to which a pipe falls that goes on as it came to the wall.
fn falling_on_mm(at_wall_mm: f64) -> f64 {
    at_wall_mm - FALL * (WALL_MM + OUTSIDE_WALL_MM)
}

impl Out {
    fn of(house: &House, half_mm: f64) -> Self {
        let beside_mm = (half_mm + BESIDE_TIMBER_MM) * house.slope().hypot(1.0);
        let under_rafters_mm = |x_mm: f64| house.roof_mm(x_mm) - beside_mm;
        let at_wall_mm = (house.joist_top_mm + OVER_JOISTS_MM).min(under_rafters_mm(WALL_MM));
        let on_joists_mm = house.joist_top_mm + half_mm;
        let outside_mm = falling_on_mm(at_wall_mm).min(under_rafters_mm(-OUTSIDE_WALL_MM));
        let soffit_mm = house.roof_mm(-EAVES_OUT_MM);
        Self {
            at_wall_mm,
            outside_mm,
            end_mm: outside_mm.min(soffit_mm) - BELOW_SOFFIT_MM,
            missing_mm: on_joists_mm - at_wall_mm,
        }
    }

    /// Over the wall, or through its head where the rafters leave no room over it, and down through the soffit.
    fn points_mm(&self) -> Vec<(f64, f64)> {
        let end = [(-OUTSIDE_WALL_MM, self.outside_mm), (-OUTSIDE_WALL_MM, self.end_mm)];
        let bends_at_wall = self.outside_mm < falling_on_mm(self.at_wall_mm);
        bends_at_wall.then_some((WALL_MM, self.at_wall_mm)).into_iter().chain(end).collect()
    }
}

/// The place nearest to one that is preferred which is clear of upright pipes, within some room; the clearest where none
/// is, and the preferred one where there is no room.
pub(super) fn clear_of(uprights_mm: &[f64], preferred_mm: f64, room: Extent) -> f64 {
    let clear_mm = |x_mm: f64| uprights_mm.iter().map(|other| (other - x_mm).abs()).fold(f64::INFINITY, f64::min);
    let steps = (room.length_mm() / STEP_MM).floor();
    if steps < 0.0 {
        return preferred_mm;
    }
    let begin_mm = preferred_mm.clamp(room.left_mm, room.right_mm);
    let places = std::iter::successors(Some(0.0), |step| Some(step + 1.0)).take_while(|step| *step <= steps);
    let mut places: Vec<f64> = places
        .flat_map(|step| [begin_mm - step * STEP_MM, begin_mm + step * STEP_MM])
        .filter(|x_mm| (room.left_mm..=room.right_mm).contains(x_mm))
        .collect();
    places.dedup();
    let is_clear = |x_mm: &f64| clear_mm(*x_mm) >= CLEAR_MM;
    // Of several alike the first, which is the nearest.
    let clearest = || places.iter().copied().min_by(|a, b| clear_mm(*b).total_cmp(&clear_mm(*a)));
    places.iter().copied().find(is_clear).or_else(clearest).unwrap_or(preferred_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_clear_place_is_taken_or_else_the_clearest() {
        let room = Extent { left_mm: 0.0, right_mm: 500.0 };
        let clear = |uprights_mm: &[f64], preferred_mm| clear_of(uprights_mm, preferred_mm, room);
        assert_eq!(clear(&[], 300.0), 300.0);
        assert_eq!(clear(&[310.0], 300.0), 250.0);
        assert_eq!(clear(&[240.0, 310.0], 300.0), 370.0);
        assert_eq!(clear(&[0.0, 100.0, 200.0, 300.0, 400.0, 500.0], 300.0), 250.0);
        assert_eq!(clear_of(&[300.0], 300.0, Extent { left_mm: 500.0, right_mm: 400.0 }), 300.0);
    }
}
