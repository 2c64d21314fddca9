//! The pencil of a mark: red or grey, whole or in dashes, heavier for the chosen one.

use super::inked::Outline;
use super::{Emphasis, Ink, LineStyle, Mark, PenWidth};
use crate::rules::Verdict;

/// How one mark is drawn.
pub(super) struct Pencil {
    pub ink: Ink,
    pub width_mm: f64,
    pub style: LineStyle,
}

impl Pencil {
    pub fn of(mark: &Mark) -> Self {
        let width_mm = match mark.emphasis {
            Emphasis::Plain | Emphasis::Small(_) => PenWidth::Fine.mm() + 0.07,
            Emphasis::Chosen => PenWidth::Medium.mm() + 0.2,
        };
        match mark.verdict {
            Verdict::Breach => Self { ink: Ink::RedPencil, width_mm, style: LineStyle::Solid },
            Verdict::Marginal => Self { ink: Ink::RedPencil, width_mm, style: LineStyle::Dashed },
            Verdict::Unknown => Self { ink: Ink::GreyPencil, width_mm, style: LineStyle::Dashed },
            Verdict::Meets => Self { ink: Ink::GreyPencil, width_mm, style: LineStyle::Solid },
        }
    }

    pub const fn outline(&self) -> Outline {
        Outline { ink: self.ink, width_mm: self.width_mm, style: self.style }
    }

    /// For what must not be broken: arrows' tails, leaders.
    pub const fn solid(&self) -> Outline {
        Outline::solid(self.ink, self.width_mm)
    }
}
