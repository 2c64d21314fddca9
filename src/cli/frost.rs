//! The trial `frost`: how long cisterns and pipes of the loft last, as text and as JSON.

use serde::Serialize;

use super::page::{Page, paragraph};
use crate::heat::{Condition, Outcome, Warmth};
use crate::layout::Id;
use crate::measure::Site;
use crate::units::{Amount, Unit};

/// What a frost does to one cistern or pipe.
#[derive(Serialize)]
pub(super) struct FrostReport {
    /// The part.
    part: String,
    /// What it is.
    kind: &'static str,
    /// Why it could not be reckoned; empty when it was.
    find_out: String,
    /// Hours until the water is at 0 °C; none when it never is.
    to_freezing_h: Option<f64>,
    /// Hours until half of the water is ice; none when it never is.
    to_half_ice_h: Option<f64>,
    /// Hours that the frost lasts.
    lasts_h: Option<f64>,
    /// Whether it gives in before the frost ends: a cistern at 0 °C, a pipe with half of its water ice.
    gives_in: bool,
    /// Of pipes: insulation with which half is ice only when the frost ends, mm; none where none does.
    wanted_mm: Option<f64>,
    /// What was assumed, because nobody has told.
    assumed: Vec<String>,
}

/// What was reckoned of one part.
struct Lasts {
    to_freezing_h: Option<f64>,
    to_half_ice_h: Option<f64>,
    lasts_h: f64,
    gives_in: bool,
    wanted_mm: Option<f64>,
}

/// A frost on everything in the loft: cisterns in the order of the drawing, then pipes, the first to freeze first.
pub(super) fn frost(site: &Site<'_>) -> Vec<FrostReport> {
    let warmth = Warmth::of(site);
    let cisterns = warmth.cisterns.iter().map(|cistern| {
        FrostReport::of(&cistern.id, "cistern", &cistern.frost, |frost| Lasts {
            to_freezing_h: frost.to_freezing_h,
            to_half_ice_h: frost.to_half_ice_h,
            lasts_h: frost.lasts_h,
            gives_in: frost.gives_in(),
            wanted_mm: None,
        })
    });
    let pipes = warmth.loft_pipes_worst_first();
    let pipes = pipes.into_iter().map(|pipe| {
        FrostReport::of(&pipe.id, "pipe", &pipe.worst, |exposure| Lasts {
            to_freezing_h: exposure.to_freezing_h,
            to_half_ice_h: exposure.to_half_ice_h,
            lasts_h: exposure.lasts_h,
            gives_in: exposure.gives_in(),
            wanted_mm: exposure.wanted_mm,
        })
    });
    let nowhere = |id: &Id| FrostReport {
        find_out: "draw the ceiling: it tells which pipes are in the loft".to_owned(),
        ..FrostReport::untold(id, "pipe")
    };
    cisterns.chain(pipes).chain(warmth.homeless_pipes.iter().map(nowhere)).collect()
}

impl FrostReport {
    fn untold(id: &Id, kind: &'static str) -> Self {
        Self {
            part: id.to_string(),
            kind,
            find_out: String::new(),
            to_freezing_h: None,
            to_half_ice_h: None,
            lasts_h: None,
            gives_in: false,
            wanted_mm: None,
            assumed: Vec::new(),
        }
    }

    fn of<T>(id: &Id, kind: &'static str, outcome: &Outcome<T>, lasts: impl Fn(&T) -> Lasts) -> Self {
        match outcome {
            Err(find_out) => Self { find_out: find_out.clone(), ..Self::untold(id, kind) },
            Ok(reckoned) => {
                let Lasts { to_freezing_h, to_half_ice_h, lasts_h, gives_in, wanted_mm } = lasts(&reckoned.value);
                Self {
                    to_freezing_h,
                    to_half_ice_h,
                    lasts_h: Some(lasts_h),
                    gives_in,
                    wanted_mm,
                    assumed: reckoned.assumed.iter().map(|condition| condition.assumption()).collect(),
                    ..Self::untold(id, kind)
                }
            }
        }
    }

    /// "0 °C after 1.1 h, half ice after 8.5 h; 30 mm of insulation would last the frost".
    fn words(&self) -> String {
        if self.lasts_h.is_none() {
            return format!("not known: {}", self.find_out);
        }
        let mut words = match (self.to_freezing_h, self.to_half_ice_h) {
            (Some(freezing_h), Some(ice_h)) => {
                format!("0 °C after {}, half ice after {}", Unit::Hour.of(freezing_h), Unit::Hour.of(ice_h))
            }
            (Some(freezing_h), None) => format!("0 °C after {}, no ice", Unit::Hour.of(freezing_h)),
            _ => "stays above 0 °C".to_owned(),
        };
        if self.kind == "pipe" && self.gives_in {
            words.push_str(&match self.wanted_mm {
                Some(wanted_mm) => format!("; {} of insulation would last the frost", Amount::mm(wanted_mm.ceil())),
                None => "; no insulation lasts so long a frost".to_owned(),
            });
        }
        words
    }
}

/// Prints what was assumed once, how long the frost lasts, and then each part.
pub(super) fn print_frost(all: &[FrostReport], page: &mut Page<'_>) {
    if all.is_empty() {
        page.print("Nothing on this drawing to try it on.\n");
        return;
    }
    let mut assumed: Vec<&String> = all.iter().flat_map(|report| &report.assumed).collect();
    assumed.sort();
    assumed.dedup();
    if !assumed.is_empty() {
        page.print(&format!("\n{}\n", Condition::HEADING));
        assumed.iter().for_each(|words| page.print(&paragraph("  ", words)));
    }
    if let Some(lasts_h) = all.iter().find_map(|report| report.lasts_h) {
        page.print(&format!("\nA frost of {}:\n", Unit::Hour.of(lasts_h)));
    }
    for report in all {
        page.print(&paragraph(&format!("  {}: ", report.part.replace('-', " ")), &report.words()));
    }
}
