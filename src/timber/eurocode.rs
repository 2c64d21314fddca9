//! The checks of EN 1995-1-1: bending, shear, deflection at once and at last, by service class and load duration.

use super::{Loads, Stiffness, Strip, Unsupported};
use crate::catalogue::{self, BoardKind, BoardStrength, Lasting, StrengthClass};
use crate::layout::{LoadDuration, ServiceClass};
use crate::units::Measured;

/// Shear bends a beam of rectangular section by κ = 1.2 (textbook).
const KAPPA: f64 = 1.2;
/// Below this depth solid timber is stronger for its size, 3.2(3).
const REFERENCE_DEPTH_M: f64 = 0.15;
/// ψ₂ of storage, EN 1990 (seen in lecture slides): the share of it that creep counts as always there.
const STORED_FOR_GOOD: f64 = 0.8;
const PASCALS_IN_MPA: f64 = 1e6;

/// How long a load lasts, 2.3.1.2.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Duration {
    /// More than ten years.
    Permanent,
    /// Half a year to ten years.
    LongTerm,
    /// A week to half a year.
    MediumTerm,
    /// Less than a week.
    ShortTerm,
    /// A blow.
    Instantaneous,
}

/// A rectangular section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Across the load, m.
    pub breadth_m: f64,
    /// Along the load, m.
    pub depth_m: f64,
}

impl Section {
    /// Area, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.breadth_m * self.depth_m
    }

    /// Section modulus, m³.
    #[must_use]
    pub fn modulus_m3(&self) -> f64 {
        self.breadth_m * self.depth_m * self.depth_m / 6.0
    }

    /// Second moment of area, m⁴.
    #[must_use]
    pub fn second_moment_m4(&self) -> f64 {
        self.modulus_m3() * self.depth_m / 2.0
    }
}

/// A beam or a strip of board: what it withstands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its section.
    pub section: Section,
    /// Characteristic strength in bending, with the factor for its depth, Pa.
    pub bending_pa: f64,
    /// Characteristic strength in shear over the whole section, cracks deducted, Pa; not asked of boards.
    pub shear_pa: Option<f64>,
    /// Mean modulus of elasticity, Pa.
    pub stiffness_pa: f64,
    /// Mean shear modulus, Pa; not reckoned for boards.
    pub shear_stiffness_pa: Option<f64>,
    /// k_sys: what neighbours take over.
    pub sharing: f64,
    k_mod: Lasting,
    k_def: f64,
    gamma_m: f64,
}

/// k_sys where neighbours help, 6.6(2), and where they do not.
pub const HELPED: f64 = 1.1;
/// k_sys of a timber by itself.
pub const ALONE: f64 = 1.0;

impl Piece {
    /// Solid timber.
    #[must_use]
    pub fn timber(section: Section, class: StrengthClass, service: ServiceClass, sharing: f64) -> Self {
        let (strength, timber) = (class.strength(), catalogue::timber());
        Self {
            section,
            bending_pa: strength.bending_n_mm2 * PASCALS_IN_MPA * depth_factor(section.depth_m),
            shear_pa: Some(strength.shear_n_mm2 * PASCALS_IN_MPA * timber.k_cr),
            stiffness_pa: strength.stiffness_n_mm2 * PASCALS_IN_MPA,
            shear_stiffness_pa: Some(strength.shear_stiffness_n_mm2 * PASCALS_IN_MPA),
            sharing,
            k_mod: timber.k_mod[service as usize],
            k_def: timber.k_def[service as usize],
            gamma_m: timber.gamma_m,
        }
    }

    /// A strip of board one metre wide along its strong axis; `None` where the board may not be used so damp.
    #[must_use]
    pub fn board(thickness_m: f64, kind: &BoardKind, strength: BoardStrength, service: ServiceClass) -> Option<Self> {
        Some(Self {
            section: Section { breadth_m: 1.0, depth_m: thickness_m },
            bending_pa: strength.bending_n_mm2 * PASCALS_IN_MPA,
            shear_pa: None,
            stiffness_pa: strength.stiffness_n_mm2 * PASCALS_IN_MPA,
            shear_stiffness_pa: None,
            sharing: ALONE,
            k_mod: *kind.k_mod.get(service as usize)?,
            k_def: *kind.k_def.get(service as usize)?,
            gamma_m: kind.gamma_m,
        })
    }

    /// How stiff it is.
    #[must_use]
    pub fn stiffness(&self) -> Stiffness {
        Stiffness {
            bending_n_m2: self.stiffness_pa * self.section.second_moment_m4(),
            shear_n: self.shear_stiffness_pa.map_or(f64::INFINITY, |g| g * self.section.area_m2() / KAPPA),
        }
    }

    /// k_mod, table 3.1.
    #[must_use]
    pub const fn k_mod(&self, duration: Duration) -> f64 {
        let (permanent, long, medium, short, instantaneous) = self.k_mod;
        match duration {
            Duration::Permanent => permanent,
            Duration::LongTerm => long,
            Duration::MediumTerm => medium,
            Duration::ShortTerm => short,
            Duration::Instantaneous => instantaneous,
        }
    }

    /// k_def, table 3.2.
    #[must_use]
    pub const fn k_def(&self) -> f64 {
        self.k_def
    }

    /// γ_M, table 2.3.
    #[must_use]
    pub const fn gamma_m(&self) -> f64 {
        self.gamma_m
    }

    /// Design strength in bending, Pa: k_mod k_sys k_h f_m,k / γ_M, 2.4.1.
    #[must_use]
    pub fn bending_design_pa(&self, duration: Duration) -> f64 {
        self.k_mod(duration) * self.sharing * self.bending_pa / self.gamma_m
    }

    /// Share of its bending strength that a design moment takes, 6.1.6.
    #[must_use]
    pub fn bending_share(&self, moment_n_m: f64, duration: Duration) -> f64 {
        moment_n_m.abs() / self.section.modulus_m3() / self.bending_design_pa(duration)
    }

    /// Share of its shear strength that a design shear takes, 6.1.7: τ = 1.5 V / (k_cr b h); nothing for a board.
    #[must_use]
    pub fn shear_share(&self, shear_n: f64, duration: Duration) -> f64 {
        let Some(shear_pa) = self.shear_pa else { return 0.0 };
        let design_pa = self.k_mod(duration) * self.sharing * shear_pa / self.gamma_m;
        1.5 * shear_n.abs() / self.section.area_m2() / design_pa
    }
}

/// k_h of solid timber, 3.2(3): (150 / h)^0.2 and at most 1.3.
#[must_use]
pub fn depth_factor(depth_m: f64) -> f64 {
    (REFERENCE_DEPTH_M / depth_m).powf(0.2).clamp(1.0, 1.3)
}

/// Factors on loads that act together, and how long the shortest of them lasts (EN 1990; 3.1.3(2)).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combination {
    /// On what never goes away.
    pub dead: f64,
    /// On cisterns.
    pub water: f64,
    /// On storage.
    pub storage: f64,
    /// By which k_mod is chosen.
    pub duration: Duration,
}

/// The loads that act together when cisterns are reckoned so: with nothing stored, and with something.
#[must_use]
pub const fn combinations(cistern: LoadDuration) -> [Combination; 2] {
    let (water, alone) = match cistern {
        LoadDuration::Permanent => {
            (1.35, Combination { dead: 1.35, water: 1.35, storage: 0.0, duration: Duration::Permanent })
        }
        LoadDuration::LongTerm => {
            (1.5, Combination { dead: 1.35, water: 0.0, storage: 0.0, duration: Duration::Permanent })
        }
    };
    [alone, Combination { dead: 1.35, water, storage: 1.5, duration: Duration::LongTerm }]
}

/// Shares of strength that are taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// In bending.
    pub bending: Measured,
    /// In shear.
    pub shear: Measured,
    /// The loads under which bending is worst.
    pub under: Combination,
    /// The design moment under those, N·m.
    pub moment_n_m: f64,
}

/// The place that sinks most for the span in which it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sag {
    /// Where, m.
    pub at_m: f64,
    /// How far, m.
    pub down: Measured,
    /// The span, m; twice the overhang at an end that stands out.
    pub span: Measured,
}

/// A piece under its loads, checked both ways.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What it is.
    pub piece: Piece,
    /// With cisterns reckoned as permanent.
    pub permanent: Shares,
    /// With cisterns reckoned as long-term.
    pub long_term: Shares,
    /// Deflection on the first day.
    pub at_once: Sag,
    /// Deflection after years, with creep, 2.2.3.
    pub at_last: Sag,
    /// Solved under the loads as they are.
    pub strip: Strip,
}

impl Check {
    /// Checks a piece over supports.
    ///
    /// # Errors
    /// When it does not lie on two supports at least.
    pub fn of(piece: Piece, supports_m: &[f64], loads: &Loads) -> Result<Self, Unsupported> {
        let creeps = 1.0 + piece.k_def;
        let strip = Strip::over(supports_m, &loads.factored(1.0, 1.0, 1.0))?;
        let at_last = Strip::over(supports_m, &loads.factored(creeps, creeps, 1.0 + STORED_FOR_GOOD * piece.k_def))?;
        let check = Self {
            permanent: shares(&piece, supports_m, loads, LoadDuration::Permanent)?,
            long_term: shares(&piece, supports_m, loads, LoadDuration::LongTerm)?,
            at_once: sag(&piece, &strip),
            at_last: sag(&piece, &at_last),
            piece,
            strip,
        };
        if check.is_ordinary() { Ok(check) } else { Err(Unsupported::Lost) }
    }

    /// Whether every number that is read from it is one.
    fn is_ordinary(&self) -> bool {
        let shares = [self.permanent, self.long_term].map(|shares| [shares.bending, shares.shear]);
        let sags = [self.at_once.down, self.at_last.down];
        shares.iter().flatten().chain(&sags).all(|measured| measured.value.is_finite())
    }

    /// Both answers by the way of reckoning.
    #[must_use]
    pub const fn shares(&self, cistern: LoadDuration) -> Shares {
        match cistern {
            LoadDuration::Permanent => self.permanent,
            LoadDuration::LongTerm => self.long_term,
        }
    }

    /// Whether what shear adds to its bending is left out: its moments over more than two supports are those of a beam that is
    /// stiff in shear, and the deflection by shear is laid on afterwards.
    #[must_use]
    pub const fn leaves_shear_out(&self) -> bool {
        self.piece.shear_stiffness_pa.is_some() && self.strip.spans.len() > 1
    }

    /// Adds what it would change if one of the things that were measured were out by its uncertainty.
    pub fn doubt(&mut self, shifted: &Self) {
        let blur = |own: &mut Measured, other: Measured| own.variance += (other.value - own.value).powi(2);
        blur(&mut self.permanent.bending, shifted.permanent.bending);
        blur(&mut self.permanent.shear, shifted.permanent.shear);
        blur(&mut self.long_term.bending, shifted.long_term.bending);
        blur(&mut self.long_term.shear, shifted.long_term.shear);
        blur(&mut self.at_once.down, shifted.at_once.down);
        blur(&mut self.at_last.down, shifted.at_last.down);
        blur(&mut self.at_last.span, shifted.at_last.span);
    }
}

fn shares(piece: &Piece, supports_m: &[f64], loads: &Loads, cistern: LoadDuration) -> Result<Shares, Unsupported> {
    let [alone, stored] = combinations(cistern);
    let under_alone = greatest(supports_m, loads, alone)?;
    // Where nothing is stored, the two may be the same loads for another time.
    let are_same = loads.storage.is_empty() && (alone.dead, alone.water) == (stored.dead, stored.water);
    let under_stored = if are_same { under_alone } else { greatest(supports_m, loads, stored)? };
    let of = |under: Combination, (moment_n_m, shear_n): (f64, f64)| {
        let bending = Measured::exact(piece.bending_share(moment_n_m, under.duration));
        let shear = Measured::exact(piece.shear_share(shear_n, under.duration));
        Shares { bending, shear, under, moment_n_m }
    };
    let (alone, stored) = (of(alone, under_alone), of(stored, under_stored));
    let shear = alone.shear.max(stored.shear);
    let worst = if stored.bending.value > alone.bending.value { stored } else { alone };
    Ok(Shares { shear, ..worst })
}

/// The greatest moment and shear, N·m and N, under some loads that act together.
fn greatest(supports_m: &[f64], loads: &Loads, under: Combination) -> Result<(f64, f64), Unsupported> {
    let strip = Strip::over(supports_m, &loads.factored(under.dead, under.water, under.storage))?;
    Ok((strip.greatest_moment().1, strip.greatest_shear_n()))
}

fn sag(piece: &Piece, strip: &Strip) -> Sag {
    let (at_m, down_m, span_m) = strip.greatest_deflection(piece.stiffness());
    Sag { at_m, down: Measured::exact(down_m), span: Measured::exact(span_m) }
}
