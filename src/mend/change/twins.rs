//! Two linked cisterns in place of one.

use glam::dvec2;

use super::exchange::exchanged;
use crate::catalogue::cisterns;
use crate::geom::Point;
use crate::layout::{
    Cistern, Connection, Edit, End, INLET, Id, Layout, Part, Platform, Run, Service, Tapping, WhichEnd, apply,
};
use crate::mend::handle::{cistern, end_on};
use crate::rules::rule;
use crate::units::{Length, Size};

/// Between the two cisterns, mm: room for the union of the link, and for hands.
const APART_MM: f64 = 150.0;
/// The link sits so far above the base, mm.
const LINK_UP_MM: f64 = 60.0;
/// Where a second float valve is teed off the rising main, before its end, mm.
const BEFORE_THE_FIRST_MM: f64 = 400.0;
/// A link is of this tube where the cold distribution does not tell, mm.
const LINK_TUBE_MM: f64 = 28.0;

/// The edits that set up two cisterns of a size that is sold, linked near their bases, the second to the right of the
/// first with a float valve and a warning pipe of its own. Its pipes are led the plain way; the rules say what is to
/// be settled then.
pub(super) fn two_in_place_of_one(layout: &Layout, id: &Id, number: usize) -> Option<Vec<Edit>> {
    let old = cistern(layout, id)?;
    cisterns().sizes.get(number)?;
    let mut first = exchanged(old, number)?;
    // On the old middle stands the middle of the pair.
    first.at = first.at.moved(dvec2(-(first.length.to_mm() + APART_MM) / 2.0, 0.0));
    let mut second = first.clone();
    second.id = layout.free_id(&format!("{}-2", id.as_str()));
    second.at = first.at.moved(dvec2(first.length.to_mm() + APART_MM, 0.0));
    let link = Id::of("link");
    let has = |part: &Cistern| part.connections.iter().any(|hole| hole.port == link);
    if has(&first) {
        return None;
    }
    let warning = warning_pipe(layout, old);
    let warning_port = warning.and_then(|run| match run.end(end_on(run, |part, _| part == id)?) {
        End::Port(_, port) => Some(port.clone()),
        _ => None,
    });
    second.connections.retain(|hole| Some(&hole.port) == warning_port.as_ref());
    first.connections.push(Connection { port: link.clone(), on: Tapping::Right(Length::mm(LINK_UP_MM)) });
    second.connections.push(Connection { port: link.clone(), on: Tapping::Left(Length::mm(LINK_UP_MM)) });
    let put = |part: Part| Edit::Put(Box::new(part));
    let mut edits = Vec::new();
    if let Some(platform) = layout.platforms.iter().find(|part| layout.with_what_stands_on(&part.id).contains(id)) {
        edits.push(put(Part::Platform(under_both(platform, &first, &second)?)));
    }
    let second_id = second.id.clone();
    edits.push(put(Part::Cistern(first)));
    edits.push(put(Part::Cistern(second)));
    edits.push(put(Part::Run(link_pipe(layout, id, &second_id, &link))));
    let now = edits.iter().try_fold(layout.clone(), |layout, edit| apply(&layout, edit).ok())?;
    edits.extend(second_inlet(&now, id, &second_id).map(|run| put(Part::Run(run))));
    if let (Some(run), Some(port)) = (warning, warning_port) {
        edits.extend(second_warning(&now, run, (id, &second_id), &port).map(|run| put(Part::Run(run))));
    }
    Some(edits)
}

/// The platform made longer for both, as far as it does not stand out beyond them as the table asks.
fn under_both(platform: &Platform, first: &Cistern, second: &Cistern) -> Option<Platform> {
    let overhang_mm = rule("platform-overhang-too-small")?.limit.constant()?.value;
    let (left_mm, right_mm) = platform.span_mm();
    let new_left_mm = left_mm.min(first.at.x.to_mm() - overhang_mm);
    let new_right_mm = right_mm.max(second.span_mm().1 + overhang_mm);
    let mut wider = platform.clone();
    wider.at = platform.at.moved(dvec2(new_left_mm - left_mm, 0.0));
    wider.length = Size::try_mm(new_right_mm - new_left_mm).ok()?;
    Some(wider)
}

/// The pipe between both, of the tube of the cold distribution: all that is drawn from one may come through it.
fn link_pipe(layout: &Layout, first: &Id, second: &Id, port: &Id) -> Run {
    let end = |cistern: &Id| End::Port(cistern.clone(), port.clone());
    let mut pipe = Run::new(layout.free_id("link"), Service::Link, end(first), end(second));
    let like = layout.runs.iter().find(|run| run.service == Service::ColdDistribution);
    pipe.material = like.and_then(|run| run.material);
    pipe.size = like.and_then(|run| run.size).or(Size::try_mm(LINK_TUBE_MM).ok());
    (pipe.fittings, pipe.insulation) = (Some(Vec::new()), Some(Vec::new()));
    pipe
}

fn warning_pipe<'a>(layout: &'a Layout, cistern: &Cistern) -> Option<&'a Run> {
    let own = |run: &&Run| run.service == Service::WarningPipe && end_on(run, |part, _| *part == cistern.id).is_some();
    layout.runs.iter().find(own)
}

/// A branch of the rising main to the second float valve.
fn second_inlet(layout: &Layout, first: &Id, second: &Id) -> Option<Run> {
    let inlet = |run: &Run| end_on(run, |part, port| part == first && port.as_str() == INLET);
    let mut mains = layout.runs.iter().filter(|run| run.service == Service::RisingMain);
    let (main, inlet) = mains.find_map(|run| Some((run, inlet(run)?)))?;
    let traces = crate::layout::Traces::of(layout);
    let number = layout.runs.iter().position(|run| run.id == main.id)?;
    let line = traces.line(number)?;
    let at_mm = match inlet {
        WhichEnd::From => BEFORE_THE_FIRST_MM.min(line.length()),
        WhichEnd::To => (line.length() - BEFORE_THE_FIRST_MM).max(0.0),
    };
    let tee = End::Tee(main.id.clone(), Length::mm(at_mm));
    let mut branch = Run::new(
        layout.free_id(&format!("{}-2", main.id.as_str())),
        Service::RisingMain,
        tee,
        End::Port(second.clone(), Id::of(INLET)),
    );
    (branch.material, branch.size, branch.clips) = (main.material, main.size, main.clips);
    (branch.fittings, branch.insulation) = (Some(Vec::new()), main.insulation.as_ref().map(|_| Vec::new()));
    let begins = line.point_at(at_mm);
    let valve_mm = cistern(layout, second)?.rim().to_mm() + APART_MM;
    branch.via = vec![Point::mm(begins.x, valve_mm)];
    Some(branch)
}

/// A warning pipe like that of the first, from the second, beside it.
fn second_warning(layout: &Layout, run: &Run, (first, second): (&Id, &Id), port: &Id) -> Option<Run> {
    let by_mm = cistern(layout, second)?.at.x.to_mm() - cistern(layout, first)?.at.x.to_mm();
    let mut own = run.clone();
    own.id = layout.free_id(&format!("{}-2", run.id.as_str()));
    let which = end_on(run, |part, _| part == first)?;
    *own.end_mut(which) = End::Port(second.clone(), port.clone());
    let beside = dvec2(by_mm, 0.0);
    own.via = run.via.iter().map(|bend| bend.moved(beside)).collect();
    if let End::Open(end) = own.end_mut(which.other()) {
        *end = end.moved(beside);
    }
    Some(own)
}
