//! Two linked cisterns in place of one.

use glam::dvec2;

use super::broken::warning_pipes;
use super::exchange::exchanged;
use crate::catalogue::cisterns;
use crate::geom::Point;
use crate::layout::{
    Cistern, Connection, Edit, End, INLET, Id, Layout, Part, PartRef, Platform, Run, Service, Tapping, WhichEnd,
    apply_all,
};
use crate::mend::course::end_point;
use crate::mend::handle::end_on;
use crate::units::{Length, Size};

/// Between the two cisterns, mm: room for the union of the link, and for hands.
const APART_MM: f64 = 150.0;
/// The link sits so far above the base, mm.
const LINK_UP_MM: f64 = 60.0;
/// A link is of this tube where the cold distribution does not tell, mm.
const LINK_TUBE_MM: f64 = 28.0;

/// The edits that set up two cisterns of a size that is sold, one behind the other, linked near their bases: water comes
/// in by the second, to the right of the first, and goes out by the first, so that all of it moves. Each has a warning
/// pipe of its own. The pipes are led the plain way; the rules say what is to be settled then.
pub(super) fn two_in_place_of_one(layout: &Layout, id: &Id, number: usize, overhang_mm: f64) -> Option<Vec<Edit>> {
    let old = layout.cistern(id)?;
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
    let warning = warning_pipes(layout, old).first().and_then(|id| layout.run(id));
    let warning_port = warning.and_then(|run| match run.end(end_on(run, |part, _| part == id)?) {
        End::Port(_, port) => Some(port.clone()),
        _ => None,
    });
    second.connections.retain(|hole| Some(&hole.port) == warning_port.as_ref());
    let main = main_to_second(layout, id, &second)?;
    first.float_valve = None;
    first.connections.push(Connection { port: link.clone(), on: Tapping::Right(Length::mm(LINK_UP_MM)) });
    second.connections.push(Connection { port: link.clone(), on: Tapping::Left(Length::mm(LINK_UP_MM)) });
    let mut edits = Vec::new();
    if let Some(platform) = layout.platforms.iter().find(|part| layout.with_what_stands_on(&part.id).contains(id)) {
        edits.push(Edit::put(Part::Platform(under_both(platform, &first, &second, overhang_mm)?)));
    }
    let second_id = second.id.clone();
    edits.push(Edit::put(Part::Cistern(second)));
    edits.push(Edit::put(Part::Run(main)));
    edits.push(Edit::put(Part::Cistern(first)));
    edits.push(Edit::put(Part::Run(link_pipe(layout, id, &second_id, &link))));
    let now = apply_all(layout, &edits).ok()?;
    if let (Some(run), Some(port)) = (warning, warning_port) {
        edits.extend(second_warning(&now, run, (id, &second_id), &port).map(|run| Edit::put(Part::Run(run))));
    }
    Some(edits)
}

/// The platform made longer for both, as far as it does not stand out so far beyond them.
fn under_both(platform: &Platform, first: &Cistern, second: &Cistern, overhang_mm: f64) -> Option<Platform> {
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

/// The pipe to the float valve of the first, led on over its rim to the float valve of the second.
fn main_to_second(layout: &Layout, first: &Id, second: &Cistern) -> Option<Run> {
    let inlet = |run: &Run| end_on(run, |part, port| part == first && port.as_str() == INLET);
    let (main, at_first) = layout.runs.iter().find_map(|run| Some((run, inlet(run)?)))?;
    let shank = second.float_valve?.shank;
    let (left_mm, right_mm) = second.span_mm();
    let port = PartRef::Cistern(second).port(INLET)?;
    let down_x_mm = match shank {
        Tapping::Left(_) => left_mm - APART_MM / 2.0,
        Tapping::Right(_) => right_mm + APART_MM / 2.0,
        Tapping::Base(_) | Tapping::Top(_) => port.x.to_mm(),
    };
    let over_mm = second.rim().to_mm() + APART_MM;
    let mut main = main.clone();
    let before = match at_first {
        WhichEnd::From => main.via.first(),
        WhichEnd::To => main.via.last(),
    };
    let up_x_mm = match before {
        Some(bend) => bend.x.to_mm(),
        None => end_point(layout, &main, at_first.other())?.x,
    };
    let mut onward =
        vec![Point::mm(up_x_mm, over_mm), Point::mm(down_x_mm, over_mm), Point::mm(down_x_mm, port.z.to_mm())];
    if matches!(shank, Tapping::Base(_) | Tapping::Top(_)) {
        onward.truncate(2);
    }
    // The bend beside the first goes: the pipe climbs on there.
    match at_first {
        WhichEnd::To => {
            main.via.pop();
            main.via.extend(onward);
        }
        WhichEnd::From => {
            onward.reverse();
            let bends = main.via.len();
            drop(main.via.splice(..bends.min(1), onward));
        }
    }
    *main.end_mut(at_first) = End::Port(second.id.clone(), Id::of(INLET));
    Some(main)
}

/// A warning pipe like that of the first, from the second, beside it.
fn second_warning(layout: &Layout, run: &Run, (first, second): (&Id, &Id), port: &Id) -> Option<Run> {
    let by_mm = layout.cistern(second)?.at.x.to_mm() - layout.cistern(first)?.at.x.to_mm();
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
