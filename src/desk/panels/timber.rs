//! The panel of the view *Timber*: the load, each member with what it takes, and what has to be found out.

use egui::{Grid, RichText, ScrollArea, Ui};

use super::words::{capital, coloured, line, strong, weak};
use crate::desk::Aspect;
use crate::desk::theme::Palette;
use crate::finding::Finding;
use crate::layout::LoadDuration;
use crate::measure::Have;
use crate::rules::{Bound, Limit, Verdict, Voice};
use crate::session::Session;
use crate::timber::{Kind, LoadPath, OnPlatform, Worked, readings};
use crate::units::{Amount, MM_IN_A_METRE, Unit};

/// Rules that are held against the whole rather than against one member.
const OF_THE_WHOLE: [&str; 4] =
    ["joist-span-too-long", "truss-node-overloaded", "too-few-trusses", "cylinder-too-heavy-for-floor"];
/// A member may take all of its strength.
const ALL_OF_IT: f64 = 1.0;

/// Shows the panel.
pub fn ui(ui: &mut Ui, session: &Session, path: &LoadPath, voice: Voice) {
    let palette = Palette::of(ui.visuals());
    ui.heading(Aspect::Timber.name(voice));
    line(ui, format!("{}.", capital(readings::CONFIRM)));
    ScrollArea::vertical().id_salt("timber").auto_shrink(false).show(ui, |ui| {
        if path.platforms.is_empty() {
            weak(ui, "No platform carries a cistern yet. Place both from Stores, and draw the joists below them.");
        }
        if path.leaves_shear_out() {
            weak(ui, format!("{}.", capital(readings::STIFF_IN_SHEAR)));
        }
        for on in &path.platforms {
            ui.push_id(&on.platform, |ui| one_platform(ui, session, on, palette));
            ui.separator();
        }
        floors(ui, path);
        for finding in session.findings().iter().filter(|finding| OF_THE_WHOLE.contains(&finding.rule.id)) {
            of_the_whole(ui, finding, voice, palette);
        }
    });
}

/// How far members of a kind may sink, as a share of the span, under the rules in force.
fn may_sink(session: &Session, kind: Kind) -> Option<f64> {
    let rule = match kind {
        Kind::Board => "board-sags",
        Kind::Bearer => "bearer-sags",
        Kind::Joist => "joist-sags",
    };
    let finding = session.findings().iter().find(|finding| finding.rule.id == rule)?;
    match finding.limit {
        Limit::AtMost(Bound::Times { factor, .. }) => Some(factor),
        _ => None,
    }
}

fn one_platform(ui: &mut Ui, session: &Session, on: &OnPlatform, palette: Palette) {
    strong(ui, capital(on.platform.spoken()));
    match &on.borne {
        Ok(borne) => line(ui, format!("Load: {}", borne.words(&on.vessels))),
        Err(find_out) => weak(ui, format!("Load: not known; {find_out}.")),
    }
    weak(
        ui,
        match on.duration {
            Some(duration) => format!("What stands on it is judged as {}, as told.", duration.words()),
            None => "How long the load lasts is not told: the harsher answer judges.".to_owned(),
        },
    );
    for (kind, find_out) in on.untold() {
        weak(ui, format!("{}: not known; {find_out}.", capital(kind.words())));
    }
    match &on.trusses {
        None => {}
        Some(Err(find_out)) => weak(ui, format!("Trussed rafters: not known; {find_out}.")),
        Some(Ok(trusses)) => {
            let newtons = |value: f64| Unit::Newton.of(value);
            line(
                ui,
                format!(
                    "{} trussed rafters bear {} to the water line: {} {}, {} filled to the rim",
                    trusses.count,
                    Amount::litres(trusses.stored_l.value),
                    newtons(trusses.node_n.value),
                    trusses.node_words(),
                    newtons(trusses.node_to_rim_n)
                ),
            );
            line(ui, format!("{}.", capital(readings::ENGINEER)));
        }
    }
    for (number, worked) in on.hardest_first(|kind| may_sink(session, kind)).iter().enumerate() {
        ui.push_id(number, |ui| one_member(ui, worked, palette));
    }
}

fn one_member(ui: &mut Ui, worked: &Worked<'_>, palette: Palette) {
    let (member, check) = (worked.member, &worked.member.check);
    ui.add_space(4.0);
    let section = member.section_words(worked.kind);
    line(ui, format!("{} {}, {section}", capital(worked.kind.words()), member.place_words()));
    if let Some(filled) = member.filled_words() {
        weak(ui, format!("{}.", capital(filled)));
    }
    let share = |ui: &mut Ui, value: f64| {
        let words = RichText::new(format!("{value:.3}"));
        ui.label(if value > ALL_OF_IT { words.color(palette.red_pencil).strong() } else { words });
    };
    Grid::new("shares").num_columns(3).spacing([8.0, 2.0]).show(ui, |ui| {
        ui.label(RichText::new("share taken").weak());
        for duration in LoadDuration::ALL {
            ui.label(RichText::new(duration.words()).weak());
        }
        ui.end_row();
        ui.label("bending");
        LoadDuration::ALL.iter().for_each(|duration| share(ui, check.shares(*duration).bending.value));
        ui.end_row();
        // Boards are not checked in shear.
        if worked.kind != Kind::Board {
            ui.label("shear");
            LoadDuration::ALL.iter().for_each(|duration| share(ui, check.shares(*duration).shear.value));
            ui.end_row();
        }
    });
    let mm = |metres: f64| Amount::mm(metres * MM_IN_A_METRE);
    let sinks = format!("sinks {} at once, {} in the end", mm(check.at_once.down.value), mm(check.at_last.down.value));
    match worked.sag {
        Some(taken) if taken > ALL_OF_IT => {
            coloured(ui, format!("{sinks}: {taken:.3} of what it may"), palette.red_pencil);
        }
        Some(taken) => line(ui, format!("{sinks}: {taken:.3} of what it may")),
        None => line(ui, sinks),
    }
}

fn floors(ui: &mut Ui, path: &LoadPath) {
    for on in &path.floors {
        let spoken = capital(on.cylinder.spoken());
        match &on.weight {
            Err(find_out) => weak(ui, format!("{spoken} on its floor: not known; {find_out}.")),
            Ok(weight) => {
                let force = Unit::Kilonewton.of(weight.force_kn.value);
                let least = if weight.rest.is_some() { "at least " } else { "" };
                line(ui, format!("{spoken} on its floor: {least}{force}, {:.1} kN/m²", weight.pressure_kn_m2));
                weak(ui, capital(&weight.made_of));
                weight.rest.iter().for_each(|find_out| weak(ui, format!("Still to come: {find_out}.")));
            }
        }
    }
}

fn of_the_whole(ui: &mut Ui, finding: &Finding, voice: Voice, palette: Palette) {
    let verdict = finding.judged.verdict;
    let colour = match verdict {
        Verdict::Meets => palette.ink,
        other => palette.verdict(other),
    };
    coloured(ui, finding.title(voice), colour);
    if let Have::Untold(find_out) = &finding.reading.have {
        weak(ui, format!("{}.", capital(find_out)));
        return;
    }
    line(ui, format!("Have {}, need {}", finding.have_words(), finding.need_words()));
    for words in &finding.reading.working {
        weak(ui, capital(words));
    }
}
