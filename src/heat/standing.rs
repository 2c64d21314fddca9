//! What a hot store loses while it stands, and how it cools.

/// The difference between store and room at which standing losses are stated, K: 65 °C in a room of 20 °C.
pub const STATED_AT_K: f64 = 45.0;

/// Greatest standing loss of a vented copper cylinder, kWh in 24 h at 45 K: 1.15 (0.2 + 0.051 V^⅔).
///
/// BS 1566-1:2002 and the compliance guide for domestic building services, from memory.
#[must_use]
pub fn greatest_kwh_day(litres: f64) -> f64 {
    1.15 * (0.2 + 0.051 * litres.powf(2.0 / 3.0))
}

/// What is put round a cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cover {
    /// Foam, sprayed on in the works.
    Foam,
    /// A loose jacket.
    LooseJacket,
}

/// Standing loss by thickness of insulation, kWh in 24 h: V × loss factor × (120/V)^⅓, the factor being
/// 0.005 + 0.55/(t + 4) for foam and 0.005 + 1.76/(t + 12.8) for a loose jacket, t in mm.
///
/// SAP Table 2 and 2a, as several public programs state it (seen there). At no thickness both covers give the same.
#[must_use]
pub fn by_thickness_kwh_day(litres: f64, cover: Cover, thickness_mm: f64) -> f64 {
    let factor = match cover {
        Cover::Foam => 0.005 + 0.55 / (thickness_mm + 4.0),
        Cover::LooseJacket => 0.005 + 1.76 / (thickness_mm + 12.8),
    };
    litres * factor * (120.0 / litres).cbrt()
}

/// Energy class of a store by Regulation (EU) 812/2013, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EnergyClass {
    /// Class A+.
    APlus,
    /// Class A.
    A,
    /// Class B.
    B,
    /// Class C.
    C,
    /// Class D.
    D,
    /// Class E.
    E,
    /// Class F.
    F,
    /// Class G: all that lose more.
    G,
}

/// Limits of the classes, W: constant and factor of V^0.4. The coefficients were seen in public tables, not in the
/// Regulation itself.
const CLASS_LIMITS: [(EnergyClass, f64, f64); 7] = [
    (EnergyClass::APlus, 5.5, 3.16),
    (EnergyClass::A, 8.5, 4.25),
    (EnergyClass::B, 12.0, 5.93),
    (EnergyClass::C, 16.66, 8.33),
    (EnergyClass::D, 21.0, 10.33),
    (EnergyClass::E, 26.0, 13.66),
    (EnergyClass::F, 31.0, 16.66),
];

impl EnergyClass {
    /// The letter.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::APlus => "A+",
            Self::A => "A",
            Self::B => "B",
            Self::C => "C",
            Self::D => "D",
            Self::E => "E",
            Self::F => "F",
            Self::G => "G",
        }
    }

    /// The greatest loss of the class, W; `None` for the last, which has no limit.
    #[must_use]
    pub fn greatest_w(self, litres: f64) -> Option<f64> {
        let row = CLASS_LIMITS.iter().find(|(class, _, _)| *class == self)?;
        Some(row.1 + row.2 * litres.powf(0.4))
    }

    /// The class of a store that loses so much.
    #[must_use]
    pub fn of(loss_w: f64, litres: f64) -> Self {
        let within = |class: &Self| class.greatest_w(litres).is_some_and(|greatest_w| loss_w <= greatest_w);
        CLASS_LIMITS.iter().map(|(class, _, _)| *class).find(within).unwrap_or(Self::G)
    }
}

/// Conductance in W/K of a store whose loss is stated in W at the usual difference of 45 K.
#[must_use]
pub fn conductance_w_k(stated_w: f64) -> f64 {
    stated_w / STATED_AT_K
}

/// Watts of so many kWh in 24 hours.
#[must_use]
pub fn watts(kwh_day: f64) -> f64 {
    kwh_day * 1000.0 / 24.0
}
