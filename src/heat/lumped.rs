//! A body of water of one temperature that warms or cools towards its surroundings: cylinders and cisterns.

/// Specific heat of water for sums that take it as constant, J/(kg K): the mean of 4.18 to 4.20 between 0 and 60 °C.
pub const WATER_J_KG_K: f64 = 4187.0;

/// Temperature after a time: T = T_a + (T_0 − T_a) exp(−t U / C).
#[must_use]
pub fn after_c(from_c: f64, around_c: f64, capacity_j_k: f64, conductance_w_k: f64, seconds: f64) -> f64 {
    around_c + (from_c - around_c) * (-seconds * conductance_w_k / capacity_j_k).exp()
}

/// Seconds until a temperature is reached; `None` when it never is.
#[must_use]
pub fn until_s(from_c: f64, to_c: f64, around_c: f64, capacity_j_k: f64, conductance_w_k: f64) -> Option<f64> {
    let share = (from_c - around_c) / (to_c - around_c);
    if from_c == to_c {
        return Some(0.0);
    }
    // Only what lies between the beginning and the surroundings is ever reached.
    (share.is_finite() && share > 1.0 && conductance_w_k > 0.0).then(|| capacity_j_k / conductance_w_k * share.ln())
}

/// Time constant C/U in seconds.
#[must_use]
pub fn time_constant_s(capacity_j_k: f64, conductance_w_k: f64) -> f64 {
    capacity_j_k / conductance_w_k
}
