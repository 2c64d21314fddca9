//! Tube, bends, valves, clips and insulation of the runs.

use std::iter;

use super::straights::{self, Straight};
use super::stretches::{front_to_back_mm, turns};
use super::tally::{Entry, Tally};
use super::{Counted, Item, Trade, or_not_told};
use crate::geom::{Polyline, SAME_PLACE_MM};
use crate::layout::{InLineKind, Lagging, Run, Screen, Tagged};
use crate::measure::Site;
use crate::measure::pipe_fixing::NO_CLIP_NEEDED_MM;

/// The size of what fits a tube that nobody has measured.
pub(super) const SIZE_NOT_TOLD: &str = "size not told";
/// Turns within this of 90° or 45° take the usual bend of that angle, degrees.
const NEAR_ENOUGH_DEG: f64 = 10.0;

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    let mut tagged = site.layout().tagged_fittings().into_iter().peekable();
    let straights = straights::by_first_run(site);
    for (number, run) in site.layout().runs.iter().enumerate() {
        let tagged: Vec<Tagged<'_>> = iter::from_fn(|| tagged.next_if(|tagged| tagged.run_number == number)).collect();
        let Some(line) = site.line(number) else {
            let find_out = format!("draw where {} begins and ends", run.id.with_article());
            tally.untold(Entry::each(Trade::Pipes, Item::Tube, "tube", "length not told"), find_out, &run.id);
            continue;
        };
        tube(tally, site, run, line);
        bends(tally, site, number, line);
        valves(tally, run, &tagged);
        clips(tally, site, run, &straights[number]);
        lagging(tally, run, line);
        if let Some(Screen::Mesh(opening)) = run.screen {
            let size = format!("{}, openings {} mm", size_words(run), opening.to_mm());
            let entry = Entry::each(Trade::Pipes, Item::PipeScreen, "screen for a pipe's end", size);
            tally.add(entry.finding_out(untold_size(run)), 1.0, run.id.spoken(), &run.id);
        }
    }
}

/// The size of a run's tube, in words.
pub(super) fn size_words(run: &Run) -> String {
    run.size.map_or_else(|| SIZE_NOT_TOLD.to_owned(), |size| format!("{} mm", size.to_mm()))
}

/// What to find out about a run's size before anything that fits it can be ordered.
pub(super) fn untold_size(run: &Run) -> Option<String> {
    run.size.is_none().then(|| format!("measure across the tube of {}", run.id.with_article()))
}

fn untold_tube(run: &Run) -> Option<String> {
    let spoken = run.id.with_article();
    match (run.material, run.size) {
        (Some(_), Some(_)) => None,
        (None, Some(_)) => Some(format!("see what the tube of {spoken} is made of")),
        (Some(_), None) => untold_size(run),
        (None, None) => Some(format!("see what the tube of {spoken} is made of, and measure across it")),
    }
}

fn tube(tally: &mut Tally, site: &Site<'_>, run: &Run, line: &Polyline) {
    let what = or_not_told(run.material, "tube, material", |material| format!("{} tube", material.words()));
    let drawn_mm = line.length();
    let behind_mm = front_to_back_mm(site, run).unwrap_or(0.0);
    let mut working = format!("{}: {drawn_mm:.0} mm drawn", run.id.spoken());
    if behind_mm > 0.0 {
        working.push_str(&format!(" + {behind_mm:.0} mm front to back"));
    }
    let entry = Entry::each(Trade::Pipes, Item::Tube, what, size_words(run)).counted_in(Counted::Metres);
    tally.add(entry.finding_out(untold_tube(run)), (drawn_mm + behind_mm) / 1000.0, working, &run.id);
}

fn bends(tally: &mut Tally, site: &Site<'_>, number: usize, line: &Polyline) {
    let run = site.run(number);
    for turn in turns(site, number, line) {
        let working = format!("{}: turns {:.0}° at {:.0} mm", run.id.spoken(), turn.degrees, turn.at_mm);
        tally.add(bend(turn.degrees, size_words(run)).finding_out(untold_size(run)), 1.0, working, &run.id);
    }
}

/// A bend by so many degrees in tube of a size.
pub(super) fn bend(degrees: f64, size: String) -> Entry {
    let usual = [90.0, 45.0].into_iter().find(|usual| (degrees - usual).abs() <= NEAR_ENOUGH_DEG);
    let what = usual.map_or_else(|| "bend of odd angle".to_owned(), |usual| format!("bend, {usual}°"));
    Entry::each(Trade::Pipes, Item::Bend, what, size)
}

fn valves(tally: &mut Tally, run: &Run, tagged: &[Tagged<'_>]) {
    let spoken = run.id.spoken();
    let in_words = run.id.with_article();
    if run.fittings.is_none() {
        let what = "valves and drain cocks";
        let entry = Entry::each(Trade::Pipes, Item::Valve(InLineKind::GateValve), what, size_words(run));
        tally.untold(entry, format!("follow {in_words} and see what sits in it"), &run.id);
        return;
    }
    for Tagged { fitting, tag, .. } in tagged {
        let entry = Entry::each(Trade::Pipes, Item::Valve(fitting.kind), fitting.kind.words(), size_words(run));
        let working = format!("{tag}: {spoken}, at {:.0} mm", fitting.at.to_mm());
        tally.add(entry.finding_out(untold_size(run)).tagged(tag), 1.0, working, &run.id);
    }
}

/// A clip in the middle of each of the equal bays into which a stretch is divided, none longer than the spacing.
fn clips(tally: &mut Tally, site: &Site<'_>, run: &Run, straights: &[Straight]) {
    let spoken = run.id.with_article();
    let entry = || Entry::each(Trade::Pipes, Item::Clip, "pipe clip", size_words(run));
    let Some(allowed) = run.clips_allowed() else {
        let find_out = untold_tube(run).unwrap_or_else(|| format!("find the maker's clip spacing for {spoken}"));
        tally.untold(entry(), find_out, &run.id);
        return;
    };
    for straight in straights {
        if straight.length_mm <= NO_CLIP_NEEDED_MM {
            continue;
        }
        let (by_rule, told) = if straight.is_upright {
            (allowed.upright, run.clips.and_then(|clips| clips.upright))
        } else {
            (allowed.level, run.clips.and_then(|clips| clips.level))
        };
        let Some(by_rule) = by_rule else { continue };
        // Clips that are told to stand closer than the rule asks are taken as told.
        let apart_mm = told.map_or(by_rule.to_mm(), |told| told.to_mm().min(by_rule.to_mm()));
        let count = ((straight.length_mm - SAME_PLACE_MM) / apart_mm).ceil();
        let lie = if straight.is_upright { "upright" } else { "level" };
        let along: Vec<_> = straight.runs.iter().map(|run| site.run(*run).id.spoken()).collect();
        let (along, length_mm) = (along.join(", "), straight.length_mm);
        let working = format!("{along}: {length_mm:.0} mm {lie} in {count} bays of at most {apart_mm:.0} mm");
        tally.add(entry(), count, working, &run.id);
    }
}

fn lagging(tally: &mut Tally, run: &Run, line: &Polyline) {
    let spoken = run.id.spoken();
    let in_words = run.id.with_article();
    let Some(stretches) = run.lagged_parts(0.0, line.length()) else {
        let entry = Entry::each(Trade::Insulation, Item::Lagging, "pipe insulation", size_words(run));
        let find_out = format!("see whether {in_words} is insulated, how far and how thick");
        tally.untold(entry.counted_in(Counted::Metres), find_out, &run.id);
        return;
    };
    for stretch in &stretches {
        let (from_mm, to_mm) = stretch.ends_mm();
        let what = stretch.kind.map_or_else(|| "pipe insulation".to_owned(), |kind| kind.words().to_owned());
        let thick = or_not_told(stretch.thickness, "thickness", |thickness| format!("{} mm thick", thickness.to_mm()));
        let size = format!("for {} tube, {thick}", size_words(run));
        let entry = Entry::each(Trade::Insulation, Item::Lagging, what, size).counted_in(Counted::Metres);
        let mut working = format!("{spoken}: from {from_mm:.0} to {to_mm:.0} mm along it");
        if lies_over_another(run, stretch) {
            working.push_str(", where two kinds lie over one another the thicker");
        }
        tally.add(entry.finding_out(untold_lagging(run, stretch)), (to_mm - from_mm) / 1000.0, working, &run.id);
    }
}

/// Whether insulation of another kind or thickness is drawn on some of the same stretch.
fn lies_over_another(run: &Run, stretch: &Lagging) -> bool {
    let (from_mm, to_mm) = stretch.ends_mm();
    run.insulation.iter().flatten().filter(|other| !other.is_like(stretch)).any(|other| {
        let (begins_mm, ends_mm) = other.ends_mm();
        begins_mm.max(from_mm) < ends_mm.min(to_mm)
    })
}

fn untold_lagging(run: &Run, stretch: &Lagging) -> Option<String> {
    let complete = stretch.kind.is_some() && stretch.thickness.is_some() && run.size.is_some();
    (!complete)
        .then(|| format!("see what the insulation of {} is, and how thick, over what tube", run.id.with_article()))
}
