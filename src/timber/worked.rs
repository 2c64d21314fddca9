//! Members of a platform by how hard they are worked, and how each is called.

use super::{Member, Members, OnPlatform, Shares};
use crate::layout::Lie;
use crate::measure::whole_mm;
use crate::units::{MM_IN_A_METRE, STANDARD_GRAVITY_M_S2};

/// What a member is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A strip of the board below vessels.
    Board,
    /// A bearer.
    Bearer,
    /// A joist.
    Joist,
}

impl Kind {
    /// All of them, from the top.
    pub const ALL: [Self; 3] = [Self::Board, Self::Bearer, Self::Joist];

    /// What it is called.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::Bearer => "bearer",
            Self::Joist => "joist",
        }
    }

    /// The members of this kind below a platform; `None` where it has none.
    #[must_use]
    pub const fn of(self, on: &OnPlatform) -> Option<&Members> {
        match self {
            Self::Board => on.board.as_ref(),
            Self::Bearer => on.bearers.as_ref(),
            Self::Joist => on.joists.as_ref(),
        }
    }
}

/// A member, and what it takes of what it may take.
#[derive(Debug, Clone, Copy)]
pub struct Worked<'a> {
    /// What it is.
    pub kind: Kind,
    /// The member.
    pub member: &'a Member,
    /// The shares of its strength that judge it.
    pub judged: Shares,
    /// How far it sinks in the end, as a share of how far it may; `None` where no limit is in force.
    pub sag: Option<f64>,
}

impl Worked<'_> {
    /// The greatest of its shares.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.judged.bending.value.max(self.judged.shear.value).max(self.sag.unwrap_or(0.0))
    }
}

impl OnPlatform {
    /// Every member of which enough is known, the hardest worked first. `may_sink` says how far a kind may sink as a
    /// share of its span.
    #[must_use]
    pub fn hardest_first(&self, may_sink: impl Fn(Kind) -> Option<f64>) -> Vec<Worked<'_>> {
        let mut all = Vec::new();
        for kind in Kind::ALL {
            let Some(Ok(members)) = kind.of(self) else { continue };
            all.extend(members.iter().map(|member| Worked {
                kind,
                member,
                judged: self.judged(&member.check),
                sag: may_sink(kind).map(|share| member.sinks_by() / share),
            }));
        }
        all.sort_by(|a, b| b.share().total_cmp(&a.share()));
        all
    }

    /// What has to be found out before members of a kind can be checked.
    pub fn untold(&self) -> impl Iterator<Item = (Kind, &str)> {
        Kind::ALL.into_iter().filter_map(|kind| Some((kind, kind.of(self)?.as_ref().err()?.as_str())))
    }
}

impl Member {
    /// What it takes of its strength in bending and in shear, vessels as a permanent and as a long-term load, and how far
    /// it sinks as a share of its span.
    pub(super) fn taken(&self) -> [f64; 5] {
        let (permanent, long_term) = (self.check.permanent, self.check.long_term);
        let [bending, shear] = [permanent.bending, permanent.shear].map(|share| share.value);
        [bending, shear, long_term.bending.value, long_term.shear.value, self.sinks_by()]
    }

    /// What is full when it is worked so, where that is not all: "with the cistern full and what stands beside it empty".
    #[must_use]
    pub fn filled_words(&self) -> Option<String> {
        let alone = self.alone.as_ref()?;
        Some(format!("with {} full and what stands beside it empty", alone.with_article()))
    }

    /// How far it sinks in the end, as a share of its span.
    #[must_use]
    pub fn sinks_by(&self) -> f64 {
        self.check.at_last.down.value / self.check.at_last.span.value
    }

    /// Where it is, in words: "at 1450 mm", "300 mm behind the section".
    #[must_use]
    pub fn place_words(&self) -> String {
        let at_mm = self.at_m * MM_IN_A_METRE;
        match self.lie {
            Lie::EndOn => format!("at {} mm", whole_mm(at_mm)),
            Lie::Along if at_mm < 0.0 => format!("{} mm in front of the section", whole_mm(-at_mm)),
            Lie::Along => format!("{} mm behind the section", whole_mm(at_mm)),
        }
    }

    /// Its section in words: "47 × 97 mm"; of a board the thickness.
    #[must_use]
    pub fn section_words(&self, kind: Kind) -> String {
        let section = self.check.piece.section;
        let whole_mm = |metres: f64| (metres * MM_IN_A_METRE * 10.0).round() / 10.0;
        match kind {
            Kind::Board => format!("{} mm thick", whole_mm(section.depth_m)),
            _ => format!("{} × {} mm", whole_mm(section.breadth_m), whole_mm(section.depth_m)),
        }
    }

    /// What it is, where, and what it bears.
    #[must_use]
    pub fn described(&self, kind: Kind) -> String {
        let (from_above_kg, section) = (self.from_above_n / STANDARD_GRAVITY_M_S2, self.section_words(kind));
        let mut words = match kind {
            Kind::Board => {
                format!("the board below a load of {from_above_kg:.0} kg, a strip 1 m wide and {section}")
            }
            _ => format!(
                "the {} {}, {section}, bears {from_above_kg:.0} kg from above",
                kind.words(),
                self.place_words()
            ),
        };
        if let Some(filled) = self.filled_words() {
            words.push_str(&format!(", {filled}"));
        }
        words
    }
}
