//! What lies below the base of a cistern: the room by its ceiling, loft insulation, or air.

use super::Site;
use super::room::{floor_below_mm, stands_outside};
use crate::layout::Cistern;

/// A cistern whose base is so far above the joists stands clear of the room's warmth, mm. On bearers of 100 or 150 mm the
/// insulation is drawn up round the space beneath and keeps warmth in it; the legs of a raised platform leave loft air all
/// round, and nobody boxes them in. Common practice, no source.
const CLEAR_ABOVE_JOISTS_MM: f64 = 300.0;
/// Joists that are not drawn reach at most so far above the ceiling that they carry, mm: the deepest that are sold.
const DEEPEST_JOISTS_MM: f64 = 225.0;
pub(super) const SEE_INSULATION: &str = "see whether loft insulation lies beneath it";

/// What lies below a cistern.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beneath {
    /// The room, by its ceiling: no loft insulation is below, and the cistern stands on the joists or close above them.
    Room,
    /// Loft insulation.
    Insulation,
    /// Loft air: it stands so far above something, mm, whatever insulation is below.
    LoftAir(f64, &'static str),
    /// The open air: it stands over the roof.
    OpenAir,
    /// Nobody has told; what to find out.
    Untold(&'static str),
}

impl Beneath {
    /// Reads it off the drawing.
    #[must_use]
    pub fn of(site: &Site<'_>, cistern: &Cistern) -> Self {
        match (Height::of(site, cistern), cistern.loft_insulation_below) {
            (Height::Outside, _) => Self::OpenAir,
            (Height::Clear(above_mm, what), _) => Self::LoftAir(above_mm, what),
            (_, Some(true)) => Self::Insulation,
            (_, None) => Self::Untold(SEE_INSULATION),
            (Height::Close, Some(false)) => Self::Room,
            (Height::Untold(find_out), Some(false)) => Self::Untold(find_out),
        }
    }

    /// In words for a working; none where nobody has told.
    #[must_use]
    pub fn words(self) -> Option<String> {
        match self {
            Self::Room => Some("its base is warmed by the room below: no insulation between".to_owned()),
            Self::Insulation => Some("insulation below its base keeps the room's warmth from it".to_owned()),
            Self::LoftAir(above_mm, what) => Some(format!(
                "its base is in loft air, {above_mm:.0} mm above the {what}: beyond {CLEAR_ABOVE_JOISTS_MM:.0} mm above the joists \
                 no warmth from below is counted on (common practice, no source)"
            )),
            Self::OpenAir => Some("its base is in the open air, over the roof: no warmth comes from below".to_owned()),
            Self::Untold(_) => None,
        }
    }
}

/// How high the base of a cistern is over what warms it.
#[derive(Clone, Copy)]
pub(super) enum Height {
    /// On the joists, or close above them.
    Close,
    /// So far above something, mm, that no warmth is counted on.
    Clear(f64, &'static str),
    /// Over the roof.
    Outside,
    /// Nobody has told; what to find out.
    Untold(&'static str),
}

impl Height {
    pub(super) fn of(site: &Site<'_>, cistern: &Cistern) -> Self {
        let (building, base_mm) = (site.building(), cistern.at.z.to_mm());
        if stands_outside(site, cistern) {
            return Self::Outside;
        }
        if let Some(joists) = &building.joists {
            let above_mm = base_mm - joists.top.to_mm();
            return if above_mm > CLEAR_ABOVE_JOISTS_MM { Self::Clear(above_mm, "joists") } else { Self::Close };
        }
        let ceiling_mm = building.ceiling.map(|ceiling| ceiling.underside.to_mm() + ceiling.thickness.to_mm());
        let Some(below_mm) = ceiling_mm.or_else(|| floor_below_mm(site, base_mm)) else {
            return Self::Untold("draw the joists or the ceiling below it");
        };
        let above_mm = base_mm - below_mm;
        if above_mm <= CLEAR_ABOVE_JOISTS_MM {
            Self::Close
        } else if ceiling_mm.is_some() && above_mm > CLEAR_ABOVE_JOISTS_MM + DEEPEST_JOISTS_MM {
            Self::Clear(above_mm, "ceiling")
        } else {
            Self::Untold("measure how high the joists lie below it")
        }
    }
}
