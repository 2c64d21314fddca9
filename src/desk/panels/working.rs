//! Working: how the chosen finding was reckoned, what it was held against, and why the rule exists.

use egui::{Label, RichText, ScrollArea, Ui};
use egui_plot::{AxisHints, PlotPoints, Points};

use super::curves::{curve, figure, still};
use super::words::{capital, coloured, explained, line, worded};
use crate::desk::naming::Name;
use crate::desk::telling::Where;
use crate::desk::theme::Palette;
use crate::desk::{Action, Command, Outlook};
use crate::finding::Finding;
use crate::measure::Have;
use crate::rules::{Bound, Limit, Voice};
use crate::session::Session;

/// The chosen finding, if it still stands.
fn chosen<'a>(session: &'a Session, outlook: &Outlook) -> Option<&'a Finding> {
    let wanted = outlook.chosen.as_ref()?;
    session.findings().find(wanted)
}

/// Shows the working of the chosen finding, with a way to each place in Particulars where it can be told more.
pub fn ui(ui: &mut Ui, session: &Session, outlook: &Outlook, tell: &Where, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.heading(Name::Working.said(outlook.voice));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if outlook.chosen.is_none() {
                return;
            }
            if ui.button("Close").on_hover_text("Choose no finding").clicked() {
                actions.push(Action::Choose(None));
            }
            if ui.button("Rule").on_hover_text(Command::Rules.tip(ui.ctx())).clicked() {
                actions.push(Action::Command(Command::Rules));
            }
        });
    });
    let Some(finding) = chosen(session, outlook) else {
        ui.weak("Choose a finding to see how it was reckoned.");
        return;
    };
    let palette = Palette::of(ui.visuals());
    ScrollArea::vertical().id_salt("working").auto_shrink(false).show(ui, |ui| {
        ui.add(Label::new(RichText::new(finding.title(outlook.voice)).strong()).wrap());
        stand(ui, finding, outlook.voice, palette);
        where_to_tell(ui, tell, outlook.voice, actions);
        for working in finding.working() {
            let words = worded(ui, &working);
            ui.add(Label::new(RichText::new(words).monospace()).wrap());
        }
        plot(ui, finding, palette);
        ui.add_space(4.0);
        let authority = format!("{} ({})", capital(finding.authority()), finding.weight.words());
        // What a source is called stays as it is.
        ui.add(Label::new(authority).wrap());
        for other in finding.rule.others_say {
            let words = worded(ui, other.words);
            ui.add(Label::new(format!("Others say: {words}. {}", capital(other.source))).wrap());
        }
        if let Some(note) = &finding.note {
            line(ui, format!("Local: {note}"));
        }
        ui.add_space(4.0);
        let why = match outlook.voice {
            Voice::Trade | Voice::Teaching => finding.rule.prose.section(Voice::Teaching),
            Voice::Plain => finding.rule.prose.section(Voice::Plain),
        };
        if let Some(term) = explained(ui, why) {
            actions.push(Action::Explain(term));
        }
    });
}

/// A way to each place in Particulars where it can be told, unless that is in view.
fn where_to_tell(ui: &mut Ui, tell: &Where, voice: Voice, actions: &mut Vec<Action>) {
    let tip = format!("Shows in {} where it is told", Name::Particulars.said(voice));
    let mut offer = |words: String, action: Action| {
        if ui.button(worded(ui, &words)).on_hover_text(&tip).clicked() {
            actions.push(action);
        }
    };
    for told_of in &tell.building {
        offer(format!("Tell it under {}", told_of.heading()), Action::Tell(*told_of));
    }
    if let Some(part) = &tell.elsewhere {
        offer(format!("Tell it of {}", part.with_article()), Action::Select(Some(part.clone())));
    }
}

/// Have and need, large.
fn stand(ui: &mut Ui, finding: &Finding, voice: Voice, palette: Palette) {
    let need = finding.need_words();
    let verdict = capital(finding.judged.verdict.beside_title(voice));
    let colour = palette.verdict(finding.judged.verdict);
    if matches!(finding.reading.have, Have::Untold(_)) {
        let words = if need.is_empty() { format!("{verdict}.") } else { format!("{verdict}. It should be: {need}.") };
        coloured(ui, words, colour);
        return;
    }
    let (have_word, need_word) = match voice {
        Voice::Trade | Voice::Teaching => ("Have", "need"),
        Voice::Plain => ("There is", "there should be"),
    };
    let mut words = match (voice, finding.short_of_nothing()) {
        (Voice::Plain, Some(_)) => format!("There should be {need}"),
        (_, _) if need.is_empty() => format!("{have_word} {}", finding.have_words()),
        (_, _) => format!("{have_word} {}, {need_word} {need}", finding.have_words()),
    };
    if let Some(short) = finding.judged.short_by.filter(|short| short.value > 0.0) {
        words = format!("{words}: {short} short");
    }
    coloured(ui, format!("{verdict}. {words}."), colour);
}

/// For a bound that grows with the head: the line of what is asked, and the point of what is there.
fn plot(ui: &mut Ui, finding: &Finding, palette: Palette) {
    let (Limit::AtLeast(bound) | Limit::MoreThan(bound)) = finding.limit else { return };
    let Bound::PerMetre { constant_mm, per_metre_mm, .. } = bound else { return };
    let (Have::Amount(have, _), Some(against)) = (&finding.reading.have, finding.reading.against) else { return };
    let head_m = against.value / 1000.0;
    let reach = (head_m * 1.5).max(1.0);
    let asked = [[0.0, constant_mm], [reach, constant_mm + per_metre_mm * reach]];
    ui.add_space(4.0);
    line(ui, "What is asked (line) and what is there (dot), in mm:");
    let head = worded(ui, "head, m");
    let plot = still(("need", finding.rule.id), palette)
        .height(150.0)
        .grid_spacing(12.0..=40.0)
        .custom_x_axes(vec![AxisHints::new_x().label_spacing(24.0..=25.0).label(head)])
        .custom_y_axes(vec![AxisHints::new_y().label_spacing(14.0..=15.0)])
        .include_y(0.0)
        .include_y(have.value * 1.1);
    let point = vec![[head_m, have.value]];
    let response = plot.show(ui, |plot| {
        plot.line(curve("need", PlotPoints::from(asked.to_vec())).color(palette.ink).width(1.5));
        let have = Points::new("have", PlotPoints::from(point)).color(palette.verdict(finding.judged.verdict));
        plot.points(have.radius(5.0));
    });
    let name = worded(ui, &format!("need at {head_m:.2} m head against what is there"));
    figure(&response.response, &name);
}
