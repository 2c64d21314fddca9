//! How far something has been moved, each way by its name.

use glam::DVec2;

/// "120 mm to the left, 30 mm up": whole millimetres, both ways always, so that the words stand still in a drag.
pub fn both_ways(by: DVec2) -> String {
    format!("{}, {}", sideways(by.x), upright(by.y))
}

/// So far to the left or to the right.
pub fn sideways(mm: f64) -> String {
    let mm = mm.round();
    format!("{} mm to the {}", mm.abs(), if mm < 0.0 { "left" } else { "right" })
}

/// So far up or down.
pub fn upright(mm: f64) -> String {
    let mm = mm.round();
    format!("{} mm {}", mm.abs(), if mm < 0.0 { "down" } else { "up" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_has_a_sign() {
        assert_eq!(both_ways(DVec2::new(-120.2, -30.0)), "120 mm to the left, 30 mm down");
        assert_eq!(both_ways(DVec2::new(0.4, -0.4)), "0 mm to the right, 0 mm up");
    }
}
