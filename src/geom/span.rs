//! What lies between two points of the section: across, up and straight.

use glam::DVec2;

/// The way from one point to another, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Where it begins.
    pub from: DVec2,
    /// Where it ends.
    pub to: DVec2,
}

impl Span {
    /// How far apart the points are from left to right, mm; never less than nothing.
    #[must_use]
    pub fn across_mm(self) -> f64 {
        (self.to.x - self.from.x).abs()
    }

    /// How far apart they are in height, mm; never less than nothing.
    #[must_use]
    pub fn upright_mm(self) -> f64 {
        (self.to.y - self.from.y).abs()
    }

    /// How far apart they are in a straight line, mm.
    #[must_use]
    pub fn straight_mm(self) -> f64 {
        self.from.distance(self.to)
    }

    /// The third corner of the triangle that across, upright and straight make: below or above the end.
    #[must_use]
    pub const fn corner(self) -> DVec2 {
        DVec2::new(self.to.x, self.from.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_four_five() {
        let span = Span { from: DVec2::new(1000.0, 500.0), to: DVec2::new(700.0, 100.0) };
        assert_eq!((span.across_mm(), span.upright_mm(), span.straight_mm()), (300.0, 400.0, 500.0));
        assert_eq!(span.corner(), DVec2::new(700.0, 500.0));
    }
}
