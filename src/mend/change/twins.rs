//! Two linked cisterns in place of one.

use glam::dvec2;

use super::exchange::exchanged;
use crate::catalogue::cisterns;
use crate::geom::Point;
use crate::layout::{Cistern, Connection, Edit, End, INLET, Id, Layout, Part, Run, Service, Tapping, WhichEnd, apply};
use crate::mend::handle::{cistern, end_on};
use crate::units::{Length, Size};

/// Between the two cisterns, mm: room for the union of the link, and for hands.
const APART_MM: f64 = 150.0;
/// The link sits so far above the base, mm.
const LINK_UP_MM: f64 = 60.0;
/// The platform goes on so far beyond the second cistern, mm: what the rule of overhang asks.
const OVERHANG_MM: f64 = 150.0;
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
        let mut wider = platform.clone();
        let (left, right) = platform.span_mm();
        let new_left = left.min(first.at.x.to_mm() - OVERHANG_MM);
        let new_right = right.max(second.span_mm().1 + OVERHANG_MM);
        wider.at = platform.at.moved(dvec2(new_left - left, 0.0));
        wider.length = Size::try_mm(new_right - new_left).ok()?;
        edits.push(put(Part::Platform(wider)));
    }
    let second_id = second.id.clone();
    edits.push(put(Part::Cistern(first)));
    edits.push(put(Part::Cistern(second)));
    let mut pipe = Run::new(
        layout.free_id("link"),
        Service::Link,
        End::Port(id.clone(), link.clone()),
        End::Port(second_id.clone(), link),
    );
    let like = layout.runs.iter().find(|run| run.service == Service::ColdDistribution);
    pipe.material = like.and_then(|run| run.material);
    pipe.size = like.and_then(|run| run.size).or(Size::try_mm(LINK_TUBE_MM).ok());
    (pipe.fittings, pipe.insulation) = (Some(Vec::new()), Some(Vec::new()));
    edits.push(put(Part::Run(pipe)));
    let now = edits.iter().try_fold(layout.clone(), |layout, edit| apply(&layout, edit).ok())?;
    edits.extend(second_inlet(&now, id, &second_id).map(|run| put(Part::Run(run))));
    if let (Some(run), Some(port)) = (warning, warning_port) {
        edits.extend(second_warning(&now, run, (id, &second_id), &port).map(|run| put(Part::Run(run))));
    }
    Some(edits)
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
