//! The loss of pressure in one pipe and how it grows with the flow.

use super::super::friction;
use super::Pipe;
use crate::num::zero_between;

/// Shorter pipes count as this long: a pipe without any friction would leave its flow undetermined.
const SHORTEST_M: f64 = 1e-3;
/// Velocity at which a network is first taken to flow, m/s: about what taps in a house draw.
const FIRST_GUESS_M_S: f64 = 1.0;

/// What a pipe does to a flow.
#[derive(Debug, Clone, Copy)]
pub struct Resistance {
    /// Re per kg/s.
    reynolds_per_flow: f64,
    /// ρ v² / 2 per (kg/s)², times L/D.
    length_scale: f64,
    /// The same, times ΣK.
    fittings: f64,
    relative_roughness: f64,
    transition: friction::Transition,
    /// kg/s.
    first_guess_kg_s: f64,
}

/// A loss of pressure with its slope.
#[derive(Debug, Clone, Copy)]
pub struct Loss {
    /// Pa, with the sign of the flow.
    pub pressure_pa: f64,
    /// Pa per kg/s; never 0.
    pub slope: f64,
}

/// The loss of a flow in a pipe, Pa, with the sign of the flow.
#[must_use]
pub fn loss_pa(pipe: &Pipe, flow_kg_s: f64) -> f64 {
    Resistance::of(pipe).loss(flow_kg_s).pressure_pa
}

/// The flow whose loss in a pipe uses up a drive, kg/s, with its sign.
#[must_use]
pub fn flow_under_kg_s(pipe: &Pipe, drive_pa: f64) -> f64 {
    let resistance = Resistance::of(pipe);
    let wanted = drive_pa.abs();
    let mut most = resistance.first_guess_kg_s;
    while resistance.loss(most).pressure_pa < wanted {
        most *= 2.0;
    }
    let flow = zero_between(0.0, most, 1e-14 * most, |flow| resistance.loss(flow).pressure_pa - wanted);
    flow.unwrap_or(0.0) * drive_pa.signum()
}

impl Resistance {
    pub fn of(pipe: &Pipe) -> Self {
        let velocity_per_flow = friction::velocity_m_s(&pipe.water, 1.0, pipe.bore_m);
        let velocity_head = pipe.water.density_kg_m3 * velocity_per_flow * velocity_per_flow / 2.0;
        Self {
            reynolds_per_flow: friction::reynolds(&pipe.water, velocity_per_flow, pipe.bore_m),
            length_scale: velocity_head * pipe.length_m.max(SHORTEST_M) / pipe.bore_m,
            fittings: velocity_head * pipe.loss_coefficient,
            relative_roughness: pipe.roughness_m / pipe.bore_m,
            transition: pipe.transition,
            first_guess_kg_s: FIRST_GUESS_M_S / velocity_per_flow,
        }
    }

    /// Darcy-Weisbach with the fittings: (f L/D + ΣK) ρ v²/2.
    pub fn loss(&self, flow_kg_s: f64) -> Loss {
        let flow = flow_kg_s.abs();
        let reynolds = flow * self.reynolds_per_flow;
        if reynolds <= friction::LAMINAR_BELOW {
            // 64/Re taken through, so that no flow at all is no special case.
            let linear = 64.0 / self.reynolds_per_flow * self.length_scale;
            return Loss {
                pressure_pa: (linear + self.fittings * flow) * flow_kg_s,
                slope: linear + 2.0 * self.fittings * flow,
            };
        }
        let (factor, factor_slope) =
            friction::darcy_factor_and_slope(reynolds, self.relative_roughness, self.transition);
        let quadratic = self.length_scale * factor + self.fittings;
        let quadratic_slope = self.length_scale * factor_slope * self.reynolds_per_flow;
        Loss {
            pressure_pa: quadratic * flow * flow_kg_s,
            slope: 2.0 * quadratic * flow + quadratic_slope * flow * flow,
        }
    }

    /// Pa per kg/s at the first guess of the flow, as if the loss grew evenly.
    pub fn first_guess(&self) -> f64 {
        self.loss(self.first_guess_kg_s).pressure_pa / self.first_guess_kg_s
    }
}
