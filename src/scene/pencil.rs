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

    /// For the leader of its note. That of the chosen one is thin and broken: among pipes it is to be no pipe.
    pub fn leader(mark: &Mark) -> Outline {
        let pencil = Self::of(mark);
        match mark.emphasis {
            Emphasis::Plain | Emphasis::Small(_) => pencil.solid(),
            Emphasis::Chosen => {
                let width_mm = PenWidth::Fine.mm() + 0.07;
                Outline { ink: pencil.ink, width_mm, style: LineStyle::Dashed }
            }
        }
    }

    pub const fn outline(&self) -> Outline {
        Outline { ink: self.ink, width_mm: self.width_mm, style: self.style }
    }

    /// For what must not be broken: arrows' tails.
    pub const fn solid(&self) -> Outline {
        Outline::solid(self.ink, self.width_mm)
    }
}

#[cfg(test)]
mod tests {
    use glam::DVec2;

    use super::super::MarkFigure;
    use super::*;

    #[test]
    fn the_leader_of_the_chosen_mark_is_thinner_than_any_pipe_and_broken() {
        let mark = |emphasis| Mark {
            figure: MarkFigure::Ring(DVec2::ZERO),
            verdict: Verdict::Unknown,
            title: String::new(),
            words: String::new(),
            emphasis,
            number: None,
        };
        let [plain, chosen] = [Emphasis::Plain, Emphasis::Chosen].map(|emphasis| Pencil::leader(&mark(emphasis)));
        assert_eq!((plain.style, chosen.style), (LineStyle::Solid, LineStyle::Dashed));
        assert!(chosen.width_mm <= plain.width_mm && chosen.width_mm < PenWidth::Medium.mm());
    }
}
