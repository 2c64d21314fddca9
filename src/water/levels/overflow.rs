//! What an overflow or warning pipe carries when water stands over its invert, and how high it must stand for a flow.

use std::f64::consts::PI;

use crate::num::{integral, zero_between};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::network::{Pipe, flow_under_kg_s, loss_pa};

/// Discharge coefficient of the mouth as a sharp orifice, drowned or part full; from memory.
const MOUTH_COEFFICIENT: f64 = 0.6;
/// What enters and leaves a pipe that runs full: half a velocity head at a sharp entry, one at the exit.
const ENTRY_AND_EXIT: f64 = 1.5;
/// No cistern is so deep that water stands higher over its overflow, m.
const HIGHEST_M: f64 = 100.0;

/// A circular pipe out of the side of a cistern. Heads are above its invert; one that rises on its way is taken to have its
/// mouth at its highest point, below which nothing leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overflow {
    /// Inside diameter, m.
    pub bore_m: f64,
    /// Loss at the mouth on the velocity head in the bore there: 0 for none, more for screens and dip tubes. It is lost
    /// whether the mouth is part full or drowned.
    pub mouth_loss: f64,
    /// Where it leads, if that is known.
    pub onward: Option<Onward>,
}

/// The way of an overflow from the cistern to its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Onward {
    /// The pipe, with the ΣK of its bends; its entry and exit are added.
    pub pipe: Pipe,
    /// How far it falls from its highest point to its end, m.
    pub fall_m: f64,
}

/// A segment of the bore filled to a depth: half its angle, its area and the width of its surface.
struct Segment {
    area_m2: f64,
    width_m: f64,
    depth_m: f64,
}

impl Overflow {
    /// A plain pipe of which only the bore is known.
    #[must_use]
    pub fn of_bore(bore_m: f64) -> Self {
        Self { bore_m, mouth_loss: 0.0, onward: None }
    }

    /// What it carries with water standing over its invert, m³/s: the least of what the critical depth in its mouth,
    /// the mouth as an orifice, and the pipe running full let through.
    #[must_use]
    pub fn carries_m3_s(&self, head_m: f64) -> f64 {
        if head_m <= 0.0 {
            return 0.0;
        }
        let let_in = self.by_critical_depth_m3_s(head_m).min(self.by_orifice_m3_s(head_m));
        match &self.onward {
            Some(onward) => let_in.min(self.running_full_m3_s(onward, head_m)),
            None => let_in,
        }
    }

    /// How high water must stand over its invert for a flow, m; `None` if no cistern is deep enough.
    #[must_use]
    pub fn head_for_m(&self, flow_m3_s: f64) -> Option<f64> {
        if flow_m3_s <= 0.0 {
            return Some(0.0);
        }
        // The head that the hardest of the three asks for; the orifice, which takes longest to reckon, is asked last.
        let running_full_m = self.onward.map_or(0.0, |onward| self.head_to_run_full_m(&onward, flow_m3_s));
        let head_m = self.critical_head_m(flow_m3_s).max(running_full_m);
        if head_m > HIGHEST_M || self.by_orifice_m3_s(head_m) >= flow_m3_s {
            return (head_m <= HIGHEST_M).then_some(head_m);
        }
        zero_between(head_m, HIGHEST_M, 1e-9, |head_m| self.by_orifice_m3_s(head_m) - flow_m3_s)
    }

    /// Part full, held by the critical depth y in the mouth: H = y + (1 + K) A / 2T, Q = √(g A³ / T).
    ///
    /// Ghobadian and Meratifashi, Water Sci. Eng. 5(1) (2012), 26-33, find that this is slightly low in 58 runs.
    #[must_use]
    pub fn by_critical_depth_m3_s(&self, head_m: f64) -> f64 {
        // At half a turn the surface has no width, and the head no bound: it is looked for times the width.
        let segment = self.segment_where(|segment| {
            (segment.depth_m - head_m) * segment.width_m + (1.0 + self.mouth_loss) * segment.area_m2 / 2.0
        });
        if segment.width_m > 0.0 {
            (STANDARD_GRAVITY_M_S2 * segment.area_m2.powi(3) / segment.width_m).sqrt()
        } else {
            0.0
        }
    }

    /// The head at which the critical depth in the mouth lets a flow through.
    fn critical_head_m(&self, flow_m3_s: f64) -> f64 {
        let segment = self.segment_where(|segment| {
            STANDARD_GRAVITY_M_S2 * segment.area_m2.powi(3) - flow_m3_s * flow_m3_s * segment.width_m
        });
        segment.depth_m + (1.0 + self.mouth_loss) * segment.area_m2 / (2.0 * segment.width_m).max(f64::MIN_POSITIVE)
    }

    /// The segment for which a balance that grows from below nothing to above it is even; an empty one if there is none.
    fn segment_where(&self, balance: impl Fn(&Segment) -> f64) -> Segment {
        let half_angle = zero_between(1e-6, PI - 1e-12, 1e-13, |half_angle| balance(&self.segment(half_angle)));
        self.segment(half_angle.unwrap_or(0.0))
    }

    /// A = D² (θ − sin θ) / 8, T = D sin(θ/2), y = D (1 − cos(θ/2)) / 2; sin θ = 2 sin(θ/2) cos(θ/2).
    fn segment(&self, half_angle: f64) -> Segment {
        let bore = self.bore_m;
        let (sin, cos) = half_angle.sin_cos();
        Segment {
            area_m2: bore * bore * (half_angle - sin * cos) / 4.0,
            width_m: bore * sin,
            depth_m: bore * (1.0 - cos) / 2.0,
        }
    }

    /// The mouth as an orifice, drowned or part full: C ∫ 2 √(z (D − z)) √(2 g (H − z)) dz from the invert to the
    /// surface or the soffit. A plain mouth takes 1 / C_d² velocity heads, and with its loss C = 1 / √(1 / C_d² + K).
    #[must_use]
    pub fn by_orifice_m3_s(&self, head_m: f64) -> f64 {
        let velocity_heads = MOUTH_COEFFICIENT.powi(-2) + self.mouth_loss;
        self.opening_integral_m3_s(head_m) / velocity_heads.sqrt()
    }

    /// The mouth as a sharp-crested circular weir, for a surface not above the soffit: Staus' coefficient
    /// 0.555 + D / (110 H) + 0.041 H / D (after Bos, "Discharge Measurement Structures"; from memory). A cross check on
    /// the critical depth, from which it shares nothing but the bore.
    #[must_use]
    pub fn by_sharp_weir_m3_s(&self, head_m: f64) -> Option<f64> {
        let coefficient = 0.555 + self.bore_m / (110.0 * head_m) + 0.041 * head_m / self.bore_m;
        (head_m > 0.0 && head_m <= self.bore_m).then(|| coefficient * self.opening_integral_m3_s(head_m))
    }

    fn opening_integral_m3_s(&self, head_m: f64) -> f64 {
        let strip = |z: f64| {
            let width = 2.0 * (z * (self.bore_m - z)).max(0.0).sqrt();
            width * (2.0 * STANDARD_GRAVITY_M_S2 * (head_m - z)).max(0.0).sqrt()
        };
        // Bounded, and smooth but at its ends: this settles for every bore and head.
        integral(0.0, head_m.min(self.bore_m), 1e-9, |place| strip(place.at)).unwrap_or(0.0)
    }

    /// Running full: (1 + ½ + f L / D + ΣK) v² / 2g = H + fall − D/2. With the mouth not
    /// yet drowned the head is taken in proportion to H, so that what it carries grows evenly; that is ours, and seldom
    /// the least of the three.
    #[must_use]
    pub fn running_full_m3_s(&self, onward: &Onward, head_m: f64) -> f64 {
        let drowned_m = head_m.max(self.bore_m) + onward.fall_m - self.bore_m / 2.0;
        let drive_m = drowned_m * (head_m / self.bore_m).min(1.0);
        let density = onward.pipe.water.density_kg_m3;
        flow_under_kg_s(&self.whole_way(onward), drive_m.max(0.0) * density * STANDARD_GRAVITY_M_S2) / density
    }

    /// The head that drives a flow through the pipe running full.
    fn head_to_run_full_m(&self, onward: &Onward, flow_m3_s: f64) -> f64 {
        let density = onward.pipe.water.density_kg_m3;
        let drive_m = loss_pa(&self.whole_way(onward), flow_m3_s * density) / (density * STANDARD_GRAVITY_M_S2);
        let just_drowned_m = self.bore_m / 2.0 + onward.fall_m;
        if drive_m <= just_drowned_m {
            self.bore_m * drive_m / just_drowned_m
        } else {
            drive_m - onward.fall_m + self.bore_m / 2.0
        }
    }

    /// The pipe with its entry and exit.
    fn whole_way(&self, onward: &Onward) -> Pipe {
        let loss_coefficient = onward.pipe.loss_coefficient + ENTRY_AND_EXIT + self.mouth_loss;
        Pipe { loss_coefficient, ..onward.pipe }
    }
}
