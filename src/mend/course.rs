//! The course of a run as it is seen from either end: a drawing may begin at either, and mending goes by where ends are.

use std::cmp::Ordering;

use glam::DVec2;

use crate::layout::{End, Id, Layout, Run, Service, Traces, WhichEnd};

/// A run that is told as if its course began at one of its ends; told so twice it is as it was. What sits on it keeps
/// the distances that it is drawn with.
pub(super) fn begun_at(mut run: Run, first: WhichEnd) -> Run {
    if first == WhichEnd::To {
        std::mem::swap(&mut run.from, &mut run.to);
        run.via.reverse();
    }
    run
}

/// The end of a run that is open to the air: of two the higher of a vent, the lower of anything else.
#[must_use]
pub fn free_end(run: &Run) -> Option<WhichEnd> {
    let open_mm = |which: WhichEnd| match run.end(which) {
        End::Open(point) => Some(point.z.to_mm()),
        _ => None,
    };
    match (open_mm(WhichEnd::From), open_mm(WhichEnd::To)) {
        (None, None) => None,
        (Some(_), None) => Some(WhichEnd::From),
        (Some(from), Some(to)) if (run.service.is_vent() && from > to) || (!run.service.is_vent() && from < to) => {
            Some(WhichEnd::From)
        }
        (_, Some(_)) => Some(WhichEnd::To),
    }
}

/// The end by which a vent joins another run: the one that is not open; of two joints the lower.
pub(super) fn tee_of_vent(layout: &Layout, vent: &Run) -> Option<WhichEnd> {
    let joins = |which: &WhichEnd| vent.end(*which).teed_on().is_some();
    let from_lowest = || by_height(layout, vent).map(|[higher, lower]| [lower, higher]);
    let joints: Vec<WhichEnd> = match free_end(vent) {
        Some(mouth) => vec![mouth.other()],
        None => from_lowest().unwrap_or(WhichEnd::BOTH).to_vec(),
    };
    joints.into_iter().find(joins)
}

/// The end of a vent that is led over a cistern: the open one; else that which goes on; else the higher.
pub(super) fn mouth_of_vent(layout: &Layout, vent: &Run) -> Option<WhichEnd> {
    let goes_on = |which: &WhichEnd| matches!(vent.end(*which), End::Onward(_));
    let higher_first = by_height(layout, vent)?;
    free_end(vent).or_else(|| higher_first.into_iter().find(goes_on)).or(Some(higher_first[0]))
}

/// Both ends of a run, the higher first, of two as high the left; `None` where it has no place.
pub(super) fn by_height(layout: &Layout, run: &Run) -> Option<[WhichEnd; 2]> {
    let [from, to] = WhichEnd::BOTH.map(|which| end_point(layout, run, which));
    let (from, to) = (from?, to?);
    let is_first = from.y > to.y || (from.y == to.y && from.x <= to.x);
    Some(if is_first { WhichEnd::BOTH } else { [WhichEnd::To, WhichEnd::From] })
}

/// Where an end of a run is; `None` where it has no place.
pub(super) fn end_point(layout: &Layout, run: &Run, which: WhichEnd) -> Option<DVec2> {
    let traces = Traces::of(layout);
    traces.end_point(traces.number(&run.id)?, which)
}

/// The end at which the flow through a run begins by its service and by what it joins; where these do not tell, its
/// higher end.
pub(super) fn flow_begins(layout: &Layout, run: &Run) -> WhichEnd {
    let onward = |end: &End| match end {
        End::Port(part, _) if is_source(layout, run.service, part) => 0,
        End::Open(_) | End::Onward(_) if run.service == Service::RisingMain => 0,
        End::Tee(..) => 1,
        End::Port(..) | End::Open(_) | End::Onward(_) => 2,
    };
    match onward(&run.from).cmp(&onward(&run.to)) {
        Ordering::Less => WhichEnd::From,
        Ordering::Greater => WhichEnd::To,
        Ordering::Equal => by_height(layout, run).map_or(WhichEnd::From, |[higher, _]| higher),
    }
}

/// Whether what a service carries comes out of a part.
fn is_source(layout: &Layout, service: Service, part: &Id) -> bool {
    match service {
        Service::ColdFeed | Service::ColdDistribution | Service::WarningPipe | Service::PrimaryFeed => {
            layout.cistern(part).is_some()
        }
        Service::HotDistribution | Service::OpenVent | Service::PrimaryReturn => layout.cylinder(part).is_some(),
        Service::PrimaryFlow | Service::PrimaryVent => layout.boilers.iter().any(|other| other.id == *part),
        Service::RisingMain | Service::Link => false,
    }
}

/// Both ends of a run, the one at which its flow begins first.
pub(super) fn by_flow(layout: &Layout, run: &Run) -> [WhichEnd; 2] {
    let first = flow_begins(layout, run);
    [first, first.other()]
}

/// What a run ends on, in words that follow "from" or "nearer to".
#[must_use]
pub fn end_words(run: &Run, which: WhichEnd) -> String {
    match run.end(which) {
        End::Port(part, _) | End::Tee(part, _) => part.with_article(),
        End::Open(_) => "its open end".to_owned(),
        End::Onward(_) => "where it goes on beyond the drawing".to_owned(),
    }
}

/// A place at an end of a run, in words.
pub(super) fn at_end_words(run: &Run, which: WhichEnd) -> String {
    match run.end(which) {
        End::Port(..) | End::Tee(..) => format!("where it joins {}", end_words(run, which)),
        End::Open(_) => format!("at {}", end_words(run, which)),
        End::Onward(_) => end_words(run, which),
    }
}
