//! A loss coefficient that is told for a whole run, shared among the stretches into which the run is cut.

use super::{Circuit, Fitting, Losses, Stretch};

/// What of a run's bends and valves lies in a stretch, as the table has it.
#[derive(Clone, Copy, Default)]
struct Lying {
    bends: f64,
    valves: f64,
}

impl Lying {
    fn of(stretch: &Stretch) -> Self {
        let mut lying = Self::default();
        for (fitting, many) in &stretch.fittings {
            let loss_coefficient = fitting.loss_coefficient(Losses::Usual) * many;
            match fitting {
                Fitting::Bend => lying.bends += loss_coefficient,
                Fitting::InLine(_) => lying.valves += loss_coefficient,
                _ => {}
            }
        }
        lying
    }

    fn and(self, other: Self) -> Self {
        Self { bends: self.bends + other.bends, valves: self.valves + other.valves }
    }

    /// What falls to a part of what lies in a whole run. A bend is always as wide open as the table has it and a valve is
    /// not, so what is told beyond the table is in the valves; where there are none, and of what is told short of the table,
    /// each has its share. None where nothing lies in the run.
    fn share_of(self, told: f64, part: Self) -> Option<f64> {
        let whole = self.bends + self.valves;
        if whole <= 0.0 {
            return None;
        }
        if told <= whole || self.valves <= 0.0 {
            return Some(told * (part.bends + part.valves) / whole);
        }
        Some(part.bends + (told - self.bends) * part.valves / self.valves)
    }
}

impl Circuit<'_> {
    /// Shares what is told of each run as its bends and valves lie; by length where none do, and in a run that partly holds
    /// air, whose bends and valves are not all among the stretches.
    pub(super) fn share_told_losses(&mut self) {
        // Stretches stand run by run.
        for of_run in self.stretches.chunk_by_mut(|a, b| a.run == b.run) {
            let number = of_run[0].run;
            let (Some(told), Some(line)) = (self.site.run(number).loss_coefficient, self.site.line(number)) else {
                continue;
            };
            let (told, length_mm) = (told.to_k(), line.length());
            let length_of = |stretch: &Stretch| stretch.along_mm.1 - stretch.along_mm.0;
            let is_whole = of_run.iter().map(length_of).sum::<f64>() > length_mm - 1.0;
            let lying = of_run.iter().map(Lying::of).fold(Lying::default(), Lying::and);
            for stretch in of_run {
                let by_what_lies = lying.share_of(told, Lying::of(stretch)).filter(|_| is_whole);
                let by_length = told * length_of(stretch) / length_mm;
                stretch.told_loss = Some(by_what_lies.unwrap_or(by_length));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_beyond_the_table_is_in_the_valves() {
        let whole = Lying { bends: 2.7, valves: 0.17 };
        let near = Lying { bends: 0.9, valves: 0.17 };
        let shared = |told: f64, part: Lying| whole.share_of(told, part).expect("something lies there");
        assert!((shared(19.7, near) - (0.9 + 17.0)).abs() < 1e-9);
        assert!((shared(1.435, near) - 0.535).abs() < 1e-9);
        let bends = Lying { bends: 1.8, valves: 0.0 };
        assert_eq!(bends.share_of(4.0, Lying { bends: 0.9, valves: 0.0 }), Some(2.0));
        assert_eq!(Lying::default().share_of(4.0, Lying::default()), None);
    }
}
