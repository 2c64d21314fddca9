//! Building a layout from answers, holding it against the rules, and making stouter what they find too slight.

use super::answers::{Answers, Heating};
use super::choices::{Choices, showers_have_own_pipes};
use super::limits::Limits;
use super::positions::{Missing, Positions};
use super::vessels::{COLD_STORED_CELSIUS, bath_is_limited};
use super::way_out::{Refusal, refuse};
use super::{as_usual, building, pipes, vessels};
use crate::finding::Findings;
use crate::layout::{Heading, Layout, OutletKind, Survey};
use crate::measure::Site;
use crate::rules::{Profile, Verdict, Voice};
use crate::units::Amount;

/// What no answer but a competent person's can tell.
const CONFIRMED: &str = "platform-overloaded";
/// What hangs on the same: where too little is confirmed, the rule of the load says so.
const FRAME_CONFIRMED: &str = "frame-not-confirmed";

/// What stands in the way of a sound layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstacle {
    /// A rule that does not hold whatever is chosen.
    Rule(&'static str),
    /// Everything side by side is wider than the house.
    Width,
    /// The open vent would go through the roof.
    Vent,
    /// The platform is deeper than the joists span.
    Span,
    /// Between joists and rafters the warning pipe has no room to get out.
    Eaves,
    /// No cistern in the table holds enough.
    Cistern,
}

/// What came of answers.
pub type SetOut = Result<Layout, Refusal>;

/// A sound layout from answers; or what is in the way, by how much, and which answer to change.
///
/// # Errors
/// [`Refusal`] with every way out that was tried and does it.
pub fn set_out(answers: &Answers, profile: &Profile) -> SetOut {
    if let Some(words) = answers.slip() {
        return Err(Refusal::slip(words));
    }
    attempt(answers, profile).map_err(|obstacles| refuse(answers, profile, &obstacles))
}

/// An obstacle with what is to be said of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Met {
    pub obstacle: Obstacle,
    pub words: String,
}

/// One try, choices growing stouter until all rules hold or nothing stouter is sold.
pub(super) fn attempt(answers: &Answers, profile: &Profile) -> Result<Layout, Vec<Met>> {
    let limits = Limits::of(profile);
    let mut choices = Choices::first(answers, &limits).map_err(|large| {
        let words = format!(
            "Beside so large a cylinder the cistern would have to hold {:.0} L, and the largest in the table holds {:.0} L.",
            large.wanted_l, large.greatest_l
        );
        vec![Met { obstacle: Obstacle::Cistern, words }]
    })?;
    // Each round takes something stouter, and of everything there is a stoutest.
    loop {
        let (positions, missing) = Positions::of(answers, &choices, &limits);
        let layout = built(answers, &choices, &positions);
        let broken = broken(answers, &layout, profile);
        let mut stouter = false;
        for (rule, _) in &broken {
            stouter |= choices.stouter_for(rule);
        }
        if stouter {
            continue;
        }
        if broken.is_empty() && missing.is_empty() {
            return Ok(layout);
        }
        let by_rule = broken.into_iter().map(|(rule, words)| Met { obstacle: Obstacle::Rule(rule), words });
        return Err(missing.iter().map(met).chain(by_rule).collect());
    }
}

fn met(missing: &Missing) -> Met {
    let (obstacle, words) = match missing {
        Missing::Width => {
            (Obstacle::Width, "Cistern, cylinder and pipes do not fit side by side in so narrow a house.".to_owned())
        }
        Missing::Vent(mm) => {
            (Obstacle::Vent, format!("The open vent, as high as it has to be, would stand {mm:.0} mm into the roof."))
        }
        Missing::Span(mm) => (
            Obstacle::Span,
            format!("The platform is deeper than the joists span, by {mm:.0} mm: it would stand over a support."),
        ),
        Missing::Eaves(mm) => (
            Obstacle::Eaves,
            format!("Between joists and rafters the warning pipe lacks {mm:.0} mm of height to get out at the eaves."),
        ),
    };
    Met { obstacle, words }
}

/// Rules that do not hold, each once, with what is found; what nobody has told counts, but for a load that no competent
/// person has confirmed.
fn broken(answers: &Answers, layout: &Layout, profile: &Profile) -> Vec<(&'static str, String)> {
    let findings = Findings::under(&Site::of(layout), profile);
    let mut broken: Vec<(&'static str, String)> = Vec::new();
    for finding in findings.iter() {
        let may_be_open = match finding.rule.id {
            CONFIRMED => answers.joists.confirmed_load.is_none(),
            FRAME_CONFIRMED => true,
            _ => false,
        };
        let holds = match finding.judged.verdict {
            Verdict::Meets => true,
            Verdict::Unknown => may_be_open,
            Verdict::Breach | Verdict::Marginal => false,
        };
        if !holds && broken.iter().all(|(rule, _)| *rule != finding.rule.id) {
            broken.push((finding.rule.id, finding.words(Voice::Trade)));
        }
    }
    broken
}

fn built(answers: &Answers, choices: &Choices, at: &Positions) -> Layout {
    let mut layout = Layout {
        heading: heading(answers, choices, at),
        survey: Survey::Designed,
        building: building::building(answers, at),
        climate: building::climate(answers),
        platforms: building::platforms(answers, choices, at),
        cisterns: vec![vessels::cistern(answers, choices, at)],
        cylinders: vec![vessels::cylinder(answers, choices, at)],
        boilers: vessels::boiler(choices, at).into_iter().collect(),
        outlets: vessels::outlets(choices, at),
        ..Layout::default()
    };
    layout.runs = pipes::runs(answers, choices, at, &layout);
    let clear_of_all = as_usual::hatch(&Site::of(&layout), &answers.loft);
    layout.building.hatch = clear_of_all.or(layout.building.hatch);
    layout
}

fn heading(answers: &Answers, choices: &Choices, at: &Positions) -> Heading {
    let kind = match answers.cylinder.heated {
        Heating::Indirect => "Indirect",
        Heating::Direct => "Direct",
    };
    let cylinder = &choices.cylinder.reference;
    let mut notes = vec![format!(
        "Set out from answers; places across the section, weather, what is drawn in a day and stored water at \
         {COLD_STORED_CELSIUS:.0} °C cold and {:.0} °C hot are assumed.",
        choices.hot_celsius
    )];
    if at.on_frame() {
        notes.push(format!(
            "The platform stands on a frame {} high over its bearers. Its timbers were judged as if it lay on the \
             joists; have a competent person confirm how the frame brings the load down.",
            Amount::mm(at.raised_mm)
        ));
    }
    if showers_have_own_pipes(answers) {
        notes.push(
            "Showers have hot and cold pipes of their own, so that other taps take less of their water (common \
             practice, no source); Flow tells how warm they run meanwhile."
                .to_owned(),
        );
    }
    if at.outlets.iter().any(|placed| placed.draw.kind == OutletKind::Bath) {
        notes.push(bath_is_limited(choices));
    }
    if answers.cylinder.heated == Heating::Indirect {
        notes.push("The primary circuit is sealed.".to_owned());
    }
    if answers.joists.confirmed_load.is_none() {
        notes.push("Have a competent person confirm the load on the joists.".to_owned());
    }
    Heading {
        title: format!(
            "{kind} cylinder (reference {cylinder}) below a {} cistern, {} bedrooms",
            choices.cistern.name, answers.bedrooms
        ),
        notes: notes.join(" "),
        ..Heading::default()
    }
}
