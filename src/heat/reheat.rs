//! Reheating a store: by a constant power, and through a coil from a primary that is constant or flows at a finite rate.
//!
//! Every formula takes the store as mixed: one temperature throughout.

/// Energy that warms a litre of water by a kelvin, kWh: 4.1868 kJ by definition of the international calorie.
pub const KWH_PER_LITRE_KELVIN: f64 = 4.1868 / 3600.0;

/// Energy in kWh that warms some litres by some kelvins: E = V × 4.1868/3600 × ΔT.
#[must_use]
pub fn energy_kwh(litres: f64, rise_k: f64) -> f64 {
    litres * KWH_PER_LITRE_KELVIN * rise_k
}

/// Minutes in which a power warms a store, losses left out: M = V T / (14.3 P), BS 6700:2006 Annex C.
#[must_use]
pub fn bs_6700_minutes(litres: f64, rise_k: f64, power_kw: f64) -> f64 {
    litres * rise_k / (14.3 * power_kw)
}

/// A store of one temperature, and what it loses on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Store {
    /// Heat capacity m c, J/K.
    pub capacity_j_k: f64,
    /// Loss to the room, W/K; 0 when left out.
    pub loss_w_k: f64,
    /// The room, °C.
    pub room_c: f64,
}

/// Seconds in which a constant power warms a store; `None` when the loss balances it first.
///
/// m c dT/dt = P − U (T − T_room), so t = (m c / U) ln((P − U (T0 − T_room)) / (P − U (T1 − T_room))).
#[must_use]
pub fn by_power_s(store: &Store, power_w: f64, from_c: f64, to_c: f64) -> Option<f64> {
    if store.loss_w_k == 0.0 {
        let seconds = store.capacity_j_k * (to_c - from_c).max(0.0) / power_w;
        return (power_w > 0.0).then_some(seconds);
    }
    let drive_w = |celsius: f64| power_w - store.loss_w_k * (celsius - store.room_c);
    first_order_s(store.capacity_j_k, store.loss_w_k, drive_w(from_c), drive_w(to_c))
}

/// A coil, and the primary water in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// Conductance from primary to store U A, W/K.
    pub conductance_w_k: f64,
    /// Temperature at which primary water comes in, °C.
    pub primary_c: f64,
    /// Heat capacity of the flow ṁ c, W/K; `None` for a flow so great that it does not cool on its way.
    pub flow_w_k: Option<f64>,
}

impl Coil {
    /// What the coil gives for each kelvin between incoming primary and store, W/K.
    ///
    /// With a finite flow ε ṁ c, where ε = 1 − exp(−U A / ṁ c): one side of one temperature (Kays and London).
    #[must_use]
    pub fn effective_w_k(&self) -> f64 {
        match self.flow_w_k {
            Some(flow_w_k) => flow_w_k * effectiveness(self.conductance_w_k, flow_w_k),
            None => self.conductance_w_k,
        }
    }
}

/// Effectiveness ε = 1 − exp(−U A / ṁ c) of a coil in water of one temperature.
#[must_use]
pub fn effectiveness(conductance_w_k: f64, flow_w_k: f64) -> f64 {
    -(-conductance_w_k / flow_w_k).exp_m1()
}

/// Seconds in which a coil warms a store; `None` when it never gets there.
///
/// m c dT/dt = K (T_primary − T) − U (T − T_room), with K by [`Coil::effective_w_k`].
#[must_use]
pub fn by_coil_s(store: &Store, coil: &Coil, from_c: f64, to_c: f64) -> Option<f64> {
    let gain_w_k = coil.effective_w_k();
    let drive_w = |celsius: f64| gain_w_k * (coil.primary_c - celsius) - store.loss_w_k * (celsius - store.room_c);
    first_order_s(store.capacity_j_k, gain_w_k + store.loss_w_k, drive_w(from_c), drive_w(to_c))
}

/// Seconds in which a coil warms a store when the boiler behind it gives no more than a power; `None` when it never gets
/// there.
///
/// While the store is cold the coil could take more than the boiler gives, and the boiler decides; later the coil does.
#[must_use]
pub fn by_coil_and_boiler_s(store: &Store, coil: &Coil, boiler_w: f64, from_c: f64, to_c: f64) -> Option<f64> {
    let turn_c = (coil.primary_c - boiler_w / coil.effective_w_k()).clamp(from_c, to_c.max(from_c));
    Some(by_power_s(store, boiler_w, from_c, turn_c)? + by_coil_s(store, coil, turn_c, to_c)?)
}

/// Time of a first-order change: (C/k) ln(first drive / last drive); none when the last drive is used up before.
fn first_order_s(capacity_j_k: f64, pull_w_k: f64, first_w: f64, last_w: f64) -> Option<f64> {
    if first_w <= last_w {
        return Some(0.0);
    }
    (last_w > 0.0).then(|| capacity_j_k / pull_w_k * (first_w / last_w).ln())
}

/// Mean power in W over a change of temperature.
#[must_use]
pub fn mean_power_w(capacity_j_k: f64, rise_k: f64, seconds: f64) -> f64 {
    capacity_j_k * rise_k / seconds
}
