//! Tags of what sits in the pipes: V1, V2 … for valves, D for drain cocks, P for pumps, as drawing, check sheet and
//! take-off have them.

use super::{InLine, InLineKind, Layout, Run};

/// A fitting with its tag.
#[derive(Debug, Clone, PartialEq)]
pub struct Tagged<'a> {
    /// The run in which it sits.
    pub run: &'a Run,
    /// The place of that among the runs of the layout.
    pub run_number: usize,
    /// The fitting.
    pub fitting: InLine,
    /// Its tag: a letter, and a number that counts all of that letter.
    pub tag: String,
}

impl InLineKind {
    /// The letter of its tag (no source: the letters are ours).
    const fn letter(self) -> char {
        match self {
            Self::DrainCock => 'D',
            Self::Pump => 'P',
            Self::GateValve | Self::LeverValve | Self::StopValve | Self::ServiceValve | Self::NonReturnValve => 'V',
        }
    }
}

impl Layout {
    /// What sits in the pipes, run by run as the layout lists them, and along each run from its beginning.
    #[must_use]
    pub fn tagged_fittings(&self) -> Vec<Tagged<'_>> {
        let mut counts = [('V', 0), ('D', 0), ('P', 0)];
        let mut tagged = Vec::new();
        for (run_number, run) in self.runs.iter().enumerate() {
            let mut along: Vec<InLine> = run.fittings.iter().flatten().copied().collect();
            along.sort_by_key(|fitting| fitting.at);
            for fitting in along {
                let letter = fitting.kind.letter();
                let count = counts.iter_mut().find(|(of, _)| *of == letter).map_or(0, |(_, count)| {
                    *count += 1;
                    *count
                });
                tagged.push(Tagged { run, run_number, fitting, tag: format!("{letter}{count}") });
            }
        }
        tagged
    }
}
