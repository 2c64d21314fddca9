//! Which changes may clear a broken finding, the least change first.

use super::Change;
use super::exchange::{larger, lower};
use super::make::{FIRST_BEARER_BREADTH_MM, across};
use crate::catalogue::StrengthClass;
use crate::finding::{Finding, FindingKey};
use crate::layout::{
    Cistern, CisternRole, CylinderGrade, End, INLET, Id, InLineKind, Layout, Lie, Platform, Run, Service, Tapping,
    Traces, WhichEnd,
};
use crate::mend::course::{by_flow, by_height};
use crate::mend::handle::{cistern, end_on, length_mm, number_of, platform, run};
use crate::units::Size;

/// A valve on a cistern's outlet sits so far along the pipe, mm: close to the cistern, and a spanner gets at it.
const BY_THE_CISTERN_MM: f64 = 250.0;
/// A valve before an appliance or a float valve sits so far from its end, mm.
const BEFORE_THE_END_MM: f64 = 150.0;
/// A dip tube ends so far below the water line, mm; common practice, no source.
const DIPS_BY_MM: f64 = 50.0;
/// Thicknesses of marine ply, mm.
const PLY_MM: [f64; 2] = [18.0, 25.0];
/// Thicknesses of pipe insulation and jackets, mm.
const INSULATION_MM: [f64; 4] = [25.0, 32.0, 50.0, 80.0];
/// Bearers stand no farther apart than this, mm: what the rule of joist spacing asks.
const BEARERS_APART_MM: f64 = 350.0;
/// The fewest bearers.
const FEWEST_BEARERS: u32 = 3;
/// Bores of float valve seats for a main, mm: those of BS 1212, from memory.
const SEATS_MM: [f64; 3] = [6.4, 4.8, 3.2];
/// Sizes of copper tube, mm, where nobody has told what a run is of: EN 1057, from memory.
const COPPER_MM: [f64; 5] = [15.0, 22.0, 28.0, 35.0, 42.0];
/// A run is made larger by so many sizes at most: beyond it is another design.
const SIZES_TRIED: usize = 3;
/// Depths in which bearers are sold, mm; common practice, no source.
const BEARERS_MM: [f64; 5] = [72.0, 97.0, 122.0, 147.0, 170.0];
/// A jacket round a cylinder is sold in this thickness, mm: what the rule of standing loss names.
const CYLINDER_JACKET_MM: f64 = 80.0;
/// A mixing valve at a bath is set a little below the greatest that is allowed, °C.
const BELOW_ALLOWED_C: f64 = 2.0;

/// What may clear a broken finding, the least change first.
pub(in crate::mend) fn changes(layout: &Layout, key: &FindingKey, finding: &Finding) -> Vec<Change> {
    let ids = || key.parts.iter().cloned();
    let runs = || ids().filter(|id| run(layout, id).is_some());
    let cistern_of = || ids().find_map(|id| cistern(layout, &id));
    let platform_of = || ids().find_map(|id| platform(layout, &id));
    let each = |make: fn(Id) -> Change| key.parts.first().cloned().map(make).into_iter().collect::<Vec<_>>();
    match finding.rule.id {
        "cistern-lid-not-tight" => each(Change::TightLid),
        "lid-vent-unscreened" => each(Change::LidScreen),
        "warning-pipe-unscreened" => {
            let own = cistern_of().map(|cistern| warning_pipes(layout, cistern)).unwrap_or_default();
            runs().chain(own).map(Change::EndScreen).collect()
        }
        "cistern-without-jacket" | "cistern-warms-in-summer" | "cistern-freezes-too-soon" => {
            let Some(cistern) = cistern_of() else { return Vec::new() };
            let now_mm = cistern.jacket.and_then(|jacket| jacket.thickness).map_or(0.0, Size::to_mm);
            let thicker = INSULATION_MM.into_iter().filter(|mm| *mm > now_mm);
            let as_thick = (now_mm > 0.0).then_some(now_mm).into_iter();
            as_thick.chain(thicker).map(|mm| Change::JacketAllRound(cistern.id.clone(), mm)).collect()
        }
        "loft-insulation-below-cistern" => each(Change::ClearBelow),
        "warning-pipe-dip-tube-too-short" => {
            let dip = |cistern: &Cistern| {
                let end_mm = cistern.water_line?.to_mm() - DIPS_BY_MM;
                (end_mm > 0.0).then(|| Change::DipTube(cistern.id.clone(), end_mm))
            };
            cistern_of().and_then(dip).into_iter().collect()
        }
        "float-valve-wrong-pattern" => each(Change::DiaphragmValve),
        "float-valve-without-service-valve" | "float-valve-service-valve-too-far" => {
            let into = |run: &Run| end_on(run, |part, port| key.parts.contains(part) && port.as_str() == INLET);
            let before = |run: &Run| fitted(layout, run, InLineKind::ServiceValve, into(run)?, BEFORE_THE_END_MM);
            layout.runs.iter().filter_map(before).collect()
        }
        "appliance-without-service-valve" => {
            let onto = |run: &Run| end_on(run, |part, _| key.parts.contains(part));
            let before = |run: &Run| fitted(layout, run, InLineKind::ServiceValve, onto(run)?, BEFORE_THE_END_MM);
            runs().filter_map(|id| before(run(layout, &id)?)).collect()
        }
        "cold-feed-without-valve"
        | "cold-distribution-without-valve"
        | "outlet-without-service-valve"
        | "cold-distribution-valve-too-far"
        | "tap-cannot-be-shut-off" => {
            let of_service =
                |run: &&Run| matches!(run.service, Service::ColdFeed | Service::ColdDistribution | Service::Link);
            let on_cistern = |run: &Run| end_on(run, |part, _| cistern(layout, part).is_some());
            let named = |run: &&Run| key.parts.contains(&run.id) || finding.rule.id == "tap-cannot-be-shut-off";
            let near = |run: &Run| fitted(layout, run, InLineKind::GateValve, on_cistern(run)?, BY_THE_CISTERN_MM);
            layout.runs.iter().filter(of_service).filter(named).filter_map(near).collect()
        }
        "cold-feed-without-drain" | "distribution-without-drain" => {
            runs().filter_map(|id| at_lowest(layout, &id)).collect()
        }
        "vent-valved" | "warning-pipe-valved" | "primary-vent-valved" | "primary-feed-valved" => {
            runs().filter_map(|id| in_the_way(run(layout, &id)?)).collect()
        }
        "cold-feed-non-return" => runs().map(|id| Change::TakeOut(id, vec![InLineKind::NonReturnValve])).collect(),
        "platform-board-too-thin"
        | "platform-of-chipboard"
        | "platform-not-marine-ply"
        | "cylinder-on-chipboard"
        | "board-overstressed"
        | "board-sags"
        | "bearer-overstressed"
        | "bearer-sags" => {
            let Some(platform) = platform_of() else { return Vec::new() };
            let now_mm = platform.board.and_then(|board| board.thickness).map_or(0.0, Size::to_mm);
            let sold = PLY_MM.into_iter().filter(|mm| *mm > now_mm);
            let as_thick = (now_mm >= PLY_MM[0]).then_some(now_mm).into_iter();
            let boards = as_thick.chain(sold).map(|mm| Change::MarinePly(platform.id.clone(), mm));
            match finding.rule.id {
                "bearer-overstressed" | "bearer-sags" => stronger_bearers(platform),
                "board-overstressed" | "board-sags" => boards.chain(one_bearer_more(platform)).collect(),
                _ => boards.collect(),
            }
        }
        "too-few-joists" | "joists-too-far-apart" => match platform_of() {
            Some(platform) if platform.bearers.is_none() => first_bearers(layout, platform),
            Some(platform) => more_bearers(platform),
            None => Vec::new(),
        },
        "joist-overstressed" | "joist-overstressed-in-shear" | "joist-sags" => {
            let platforms = platform_of().into_iter();
            platforms.flat_map(|platform| [2, 3].map(|many| Change::JoistsBeside(platform.id.clone(), many))).collect()
        }
        "clips-too-far-apart-level" | "clips-too-far-apart-upright" => runs().map(Change::Clips).collect(),
        "cylinder-pipe-uninsulated" => first_metre(layout, &key.parts),
        "loft-pipe-freezes-too-soon" | "one-pipe-circulation" | "dead-leg-too-long" => {
            let vent_or_feed = |run: &&Run| matches!(run.service, Service::OpenVent | Service::ColdFeed);
            let all: Vec<Id> = match finding.rule.id {
                "one-pipe-circulation" => layout.runs.iter().filter(vent_or_feed).map(|run| run.id.clone()).collect(),
                _ => runs().collect(),
            };
            let whole = |id: &Id| Some((id.clone(), 0.0, length_mm(layout, id)?));
            let spans: Vec<_> = all.iter().filter_map(whole).collect();
            if spans.is_empty() { Vec::new() } else { INSULATION_MM.map(|mm| Change::Lag(spans.clone(), mm)).to_vec() }
        }
        "warning-pipe-too-narrow" | "warning-pipe-not-larger-than-inlet" => {
            let own = cistern_of().map(|cistern| warning_pipes(layout, cistern)).unwrap_or_default();
            let is_warning_pipe = |id: &Id| run(layout, id).is_some_and(|run| run.service == Service::WarningPipe);
            let way: Vec<Id> = runs().filter(is_warning_pipe).collect();
            let each = way.iter().chain(own.iter()).flat_map(|id| sizes_up(layout, id));
            each.chain(sizes_up_throughout(layout, &way)).collect()
        }
        "vent-draws-air" => {
            // It is the feed that brings too little.
            let feeds = layout.runs.iter().filter(|run| run.service == Service::ColdFeed).map(|run| run.id.clone());
            feeds.chain(runs()).flat_map(|id| sizes_up(layout, &id)).collect()
        }
        "outlet-starved"
        | "pipe-too-fast"
        | "vent-too-narrow"
        | "cold-feed-narrower-than-vent"
        | "primary-vent-too-narrow"
        | "primary-feed-too-narrow" => runs().flat_map(|id| sizes_up(layout, &id)).collect(),
        "overflow-cannot-keep-up" => {
            let Some(cistern) = cistern_of() else { return Vec::new() };
            let now_mm = cistern.float_valve.and_then(|valve| valve.seat).map_or(0.0, Size::to_mm);
            let seats = SEATS_MM.into_iter().filter(|mm| *mm < now_mm).map(|mm| Change::Seat(cistern.id.clone(), mm));
            let wider = warning_pipes(layout, cistern).into_iter().flat_map(|id| sizes_up(layout, &id));
            seats.chain(wider).collect()
        }
        _ => of_vessels(layout, key, finding),
    }
}

/// Changes of cisterns, cylinders and of where pipes lead.
fn of_vessels(layout: &Layout, key: &FindingKey, finding: &Finding) -> Vec<Change> {
    let each = |make: fn(Id) -> Change| key.parts.first().cloned().map(make).into_iter().collect::<Vec<_>>();
    let cisterns = || key.parts.iter().filter_map(|id| cistern(layout, id));
    let runs = || key.parts.iter().filter_map(|id| run(layout, id));
    let cylinder = || layout.cylinders.iter().find(|part| key.parts.contains(&part.id));
    match finding.rule.id {
        "storage-too-small-for-taps" | "storage-too-small-for-cylinder" | "storage-less-than-cylinder" => {
            let named: Vec<&Cistern> = cisterns().collect();
            let stored = |part: &&Cistern| part.role == CisternRole::Storage;
            let all = if named.is_empty() { layout.cisterns.iter().filter(stored).collect() } else { named };
            all.into_iter().flat_map(larger).collect()
        }
        "expansion-cistern-too-small" | "expansion-room-too-small" => cisterns().flat_map(larger).collect(),
        "headroom-too-low-at-float-valve" | "headroom-too-low-opposite" => {
            let by_mm = finding.judged.remedy.map_or(0.0, |by| by.value);
            cisterns().flat_map(|part| lower(part, by_mm)).collect()
        }
        "cistern-not-opaque" => each(Change::Opaque),
        "cistern-fills-too-slowly" => {
            let now_mm = |part: &Cistern| part.float_valve.and_then(|valve| valve.seat).map_or(f64::MAX, Size::to_mm);
            let wider = |part: &Cistern| {
                let (id, now_mm) = (part.id.clone(), now_mm(part));
                SEATS_MM.into_iter().rev().filter(move |mm| *mm > now_mm).map(move |mm| Change::Seat(id.clone(), mm))
            };
            cisterns().flat_map(wider).collect()
        }
        "inlet-and-outlet-on-one-side" => cisterns().flat_map(opposite_sides).collect(),
        "vent-ends-elsewhere" | "vent-over-feed-and-expansion" => over(layout, Service::OpenVent, CisternRole::Storage),
        "primary-vent-over-storage" => over(layout, Service::PrimaryVent, CisternRole::FeedAndExpansion),
        "vent-falls" => {
            let of_hot =
                |run: &&Run| matches!(run.service, Service::OpenVent | Service::HotDistribution | Service::PrimaryVent);
            let named: Vec<&Run> = runs().filter(of_hot).collect();
            let all = if named.is_empty() { layout.runs.iter().filter(of_hot).collect() } else { named };
            let rising = |run: &Run, first: WhichEnd| Change::LaidRising(run.id.clone(), first);
            all.into_iter().flat_map(|run| by_flow(layout, run).map(|first| rising(run, first))).collect()
        }
        "warning-pipe-rises" => {
            let falling = |run: &Run, first: WhichEnd| Change::LaidFalling(run.id.clone(), first);
            runs().flat_map(|run| by_flow(layout, run).map(|first| falling(run, first))).collect()
        }
        "pipe-holds-air" => runs().flat_map(|run| laid_one_way(layout, run)).collect(),
        "warning-pipe-hidden" => {
            let own = cisterns().flat_map(|part| warning_pipes(layout, part));
            runs().map(|run| run.id.clone()).chain(own).map(Change::Conspicuous).collect()
        }
        "cylinder-loses-too-much" => each(|id| Change::CylinderJacket(id, CYLINDER_JACKET_MM)),
        "cylinder-head-too-great" => {
            let weaker = |part: &crate::layout::Cylinder| part.grade.map(|grade| (part.id.clone(), grade));
            let Some((id, grade)) = cylinder().and_then(weaker) else { return Vec::new() };
            let now = CylinderGrade::ALL.iter().position(|other| *other == grade).unwrap_or(0);
            CylinderGrade::ALL[..now].iter().rev().map(|grade| Change::StrongerCylinder(id.clone(), *grade)).collect()
        }
        "immersion-without-cut-out" => cylinder().map(|part| Change::CutOut(part.id.clone())).into_iter().collect(),
        "store-too-cool" => {
            let asked = cylinder().zip(finding.judged.need);
            asked.map(|(part, need)| Change::Thermostat(part.id.clone(), need.value)).into_iter().collect()
        }
        "bath-too-hot" => {
            let Some(need) = finding.judged.need else { return Vec::new() };
            let set = need.value - BELOW_ALLOWED_C;
            let baths = layout.outlets.iter().filter(|outlet| key.parts.contains(&outlet.id));
            baths.map(|bath| Change::MixingValve(bath.id.clone(), set)).collect()
        }
        _ => Vec::new(),
    }
}

/// What leaves a cistern on the side of its float valve, and the float valve itself, over to the other side.
fn opposite_sides(cistern: &Cistern) -> Vec<Change> {
    let valve = cistern.float_valve.map(|valve| valve.shank);
    let same = |on: Tapping| {
        matches!((valve, on), (Some(Tapping::Left(_)), Tapping::Left(_)) | (Some(Tapping::Right(_)), Tapping::Right(_)))
    };
    let holes = cistern.connections.iter().filter(|hole| same(hole.on)).map(|hole| hole.port.clone());
    let inlet = valve.map(|_| Id::of(INLET));
    inlet.into_iter().chain(holes).map(|port| Change::OppositeSide(cistern.id.clone(), port)).collect()
}

/// Vents of a service over the cisterns over which they belong.
fn over(layout: &Layout, service: Service, role: CisternRole) -> Vec<Change> {
    let vents = layout.runs.iter().filter(|run| run.service == service);
    let cisterns = || layout.cisterns.iter().filter(|part| part.role == role);
    vents.flat_map(|vent| cisterns().map(|part| Change::EndOver(vent.id.clone(), part.id.clone()))).collect()
}

/// Bearers of the next depths, one more of them, of a stronger class.
fn stronger_bearers(platform: &Platform) -> Vec<Change> {
    let Some(bearers) = &platform.bearers else { return Vec::new() };
    let id = || platform.id.clone();
    let class = (bearers.grade != Some(StrengthClass::C24)).then(|| Change::StrongerBearers(id(), StrengthClass::C24));
    let deeper = BEARERS_MM.into_iter().filter(|mm| *mm > bearers.depth.to_mm());
    let deeper = deeper.map(|mm| Change::DeeperBearers(id(), mm));
    class.into_iter().chain(one_bearer_more(platform)).chain(deeper).collect()
}

fn one_bearer_more(platform: &Platform) -> Vec<Change> {
    let Some(count) = platform.bearers.as_ref().map(|bearers| bearers.count) else { return Vec::new() };
    if across(platform).is_none() {
        return Vec::new();
    }
    (count + 1..=count + 2).map(|count| Change::Bearers(platform.id.clone(), count.max(FEWEST_BEARERS))).collect()
}

/// Taking out of a run what is in the way of a vent, a feed or an overflow; a pump may stay where others need it.
fn in_the_way(run: &Run) -> Option<Change> {
    let needs_no_pump =
        matches!(run.service, Service::OpenVent | Service::PrimaryVent | Service::PrimaryFeed | Service::WarningPipe);
    let is_in_the_way = |kind: InLineKind| if needs_no_pump { kind.hinders() } else { kind.is_valve() };
    let sits = |kind: &InLineKind| run.fittings.iter().flatten().any(|fitting| fitting.kind == *kind);
    let kinds: Vec<InLineKind> =
        InLineKind::ALL.into_iter().filter(|kind| is_in_the_way(*kind) && sits(kind)).collect();
    (!kinds.is_empty()).then(|| Change::TakeOut(run.id.clone(), kinds))
}

fn warning_pipes(layout: &Layout, cistern: &Cistern) -> Vec<Id> {
    let own = |run: &&Run| run.service == Service::WarningPipe && end_on(run, |part, _| *part == cistern.id).is_some();
    layout.runs.iter().filter(own).map(|run| run.id.clone()).collect()
}

/// A valve in a run so far from one of its ends, mm, or in its middle where it is short.
fn fitted(layout: &Layout, run: &Run, kind: InLineKind, end: WhichEnd, away_mm: f64) -> Option<Change> {
    let length_mm = length_mm(layout, &run.id)?;
    let away_mm = away_mm.min(length_mm / 2.0);
    let at_mm = match end {
        WhichEnd::From => away_mm,
        WhichEnd::To => length_mm - away_mm,
    };
    Some(Change::Fit(run.id.clone(), kind, at_mm.floor()))
}

/// A run laid without a high or a low point between its ends, the likeliest way first: down from its higher end.
fn laid_one_way(layout: &Layout, run: &Run) -> Vec<Change> {
    let Some([higher, lower]) = by_height(layout, run) else { return Vec::new() };
    let id = || run.id.clone();
    vec![
        Change::LaidFalling(id(), higher),
        Change::LaidRising(id(), lower),
        Change::LaidRising(id(), higher),
        Change::LaidFalling(id(), lower),
    ]
}

/// A drain cock at the lowest vertex of a run; of several as low the nearest to its higher end.
fn at_lowest(layout: &Layout, id: &Id) -> Option<Change> {
    let traces = Traces::of(layout);
    let line = traces.line(number_of(layout, id)?)?;
    let mut downward: Vec<usize> = (0..line.vertices().len()).collect();
    if by_height(layout, run(layout, id)?)?[0] == WhichEnd::To {
        downward.reverse();
    }
    let lowest = downward.into_iter().min_by(|a, b| line.vertices()[*a].y.total_cmp(&line.vertices()[*b].y))?;
    Some(Change::Fit(id.clone(), InLineKind::DrainCock, line.along()[lowest].floor()))
}

/// As many bearers as keep within the spacing, and one more.
fn more_bearers(platform: &Platform) -> Vec<Change> {
    let Some((across_mm, breadth_mm)) = across(platform) else { return Vec::new() };
    let enough = |count: &u32| (across_mm - 2.0 * breadth_mm) / f64::from(count - 1) <= BEARERS_APART_MM;
    let Some(least) = (FEWEST_BEARERS..FEWEST_BEARERS + 20).find(enough) else { return Vec::new() };
    [least, least + 1].map(|count| Change::Bearers(platform.id.clone(), count)).to_vec()
}

/// Bearers across the joists where there are none, the lowest first: as many as keep within the spacing.
fn first_bearers(layout: &Layout, platform: &Platform) -> Vec<Change> {
    let Some(joists) = &layout.building.joists else { return Vec::new() };
    let across_mm = match joists.lie {
        Lie::EndOn => platform.depth.map(Size::to_mm),
        Lie::Along => Some(platform.length.to_mm()),
    };
    let Some(across_mm) = across_mm else { return Vec::new() };
    let apart_mm = |count: u32| (across_mm - 2.0 * FIRST_BEARER_BREADTH_MM) / f64::from(count - 1);
    let enough = (FEWEST_BEARERS..FEWEST_BEARERS + 20).find(|count| apart_mm(*count) <= BEARERS_APART_MM);
    let Some(count) = enough.filter(|count| apart_mm(*count) > FIRST_BEARER_BREADTH_MM) else { return Vec::new() };
    BEARERS_MM.map(|depth_mm| Change::FirstBearers(platform.id.clone(), count, depth_mm)).to_vec()
}

/// The first metre of a run, and of what begins on it there.
fn first_metre(layout: &Layout, parts: &[Id]) -> Vec<Change> {
    const METRE_MM: f64 = 1000.0;
    let mut spans = Vec::new();
    for id in parts {
        let (Some(run), Some(length)) = (run(layout, id), length_mm(layout, id)) else { continue };
        // What is bare may be a branch, which is lagged with the pipe on the cylinder.
        let Some(first) = end_on(run, |part, _| parts.contains(part)) else { continue };
        spans.push(beginning(id, length, first, METRE_MM));
        for branch in &layout.runs {
            for which in WhichEnd::BOTH {
                let End::Tee(on, at) = branch.end(which) else { continue };
                let away_mm = match first {
                    WhichEnd::From => at.to_mm(),
                    WhichEnd::To => length - at.to_mm(),
                };
                if on == id
                    && away_mm < METRE_MM
                    && let Some(own) = length_mm(layout, &branch.id)
                {
                    spans.push(beginning(&branch.id, own, which, METRE_MM - away_mm));
                }
            }
        }
    }
    if spans.is_empty() { Vec::new() } else { vec![Change::Lag(spans, INSULATION_MM[0])] }
}

/// So much of a run from one of its ends on, mm, as far as it goes.
fn beginning(id: &Id, length_mm: f64, first: WhichEnd, most_mm: f64) -> (Id, f64, f64) {
    match first {
        WhichEnd::From => (id.clone(), 0.0, most_mm.min(length_mm)),
        WhichEnd::To => (id.clone(), (length_mm - most_mm).max(0.0), length_mm),
    }
}

/// The larger sizes in which a run's tube is sold, the next first.
fn sizes_up(layout: &Layout, id: &Id) -> Vec<Change> {
    larger_mm(layout, id).into_iter().map(|mm| Change::Tube(vec![id.clone()], mm)).collect()
}

/// The same of the first of several runs, for all of them that are narrower; nothing where that is one alone.
fn sizes_up_throughout(layout: &Layout, runs: &[Id]) -> Vec<Change> {
    let own_mm = |id: &Id| run(layout, id).and_then(|run| run.size).map(Size::to_mm);
    let narrower = |mm: f64| runs.iter().filter(|id| own_mm(id).is_some_and(|own_mm| own_mm < mm)).cloned().collect();
    let sizes_mm = runs.first().map_or_else(Vec::new, |id| larger_mm(layout, id));
    let all =
        sizes_mm.into_iter().map(|mm| (narrower(mm), mm)).filter(|(narrower, _): &(Vec<Id>, f64)| narrower.len() > 1);
    all.map(|(narrower, mm)| Change::Tube(narrower, mm)).collect()
}

/// The next sizes in mm in which a run's tube is sold, as many as are tried.
fn larger_mm(layout: &Layout, id: &Id) -> Vec<f64> {
    let Some(run) = run(layout, id) else { return Vec::new() };
    let sold =
        run.material.map_or_else(|| COPPER_MM.to_vec(), |tube| tube.sizes().into_iter().map(Size::to_mm).collect());
    let now_mm = run.size.map_or(f64::INFINITY, Size::to_mm);
    let mut larger: Vec<f64> = sold.into_iter().filter(|mm| *mm > now_mm).collect();
    larger.sort_by(f64::total_cmp);
    larger.truncate(SIZES_TRIED);
    larger
}
