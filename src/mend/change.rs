//! Changes that have no number to move: a valve, a screen, a lid, a jacket, a board, a tube; one edit each.

use super::Consent;
use super::handle::{cistern, end_on, number_of, platform, run};
use crate::catalogue::Insulant;
use crate::finding::{Finding, FindingKey};
use crate::layout::{
    Board, BoardMaterial, Cistern, DipTube, Edit, End, FloatValvePattern, INLET, Id, InLine, InLineKind, Jacket,
    Lagging, Layout, Lid, Lie, Part, Platform, Run, Screen, Service, Traces, WhichEnd,
};
use crate::units::{Length, Size};

/// One change of one part.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Puts a valve or drain cock into a run, so far along it, mm.
    Fit(Id, InLineKind, f64),
    /// Takes what is of these kinds out of a run.
    TakeOut(Id, Vec<InLineKind>),
    /// A close-fitting lid.
    TightLid(Id),
    /// A fine screen on the vent of a cistern's lid.
    LidScreen(Id),
    /// A fine screen on the open end of a run.
    EndScreen(Id),
    /// A jacket on sides and top, so thick, mm.
    JacketAllRound(Id, f64),
    /// Takes the loft insulation out from below a cistern.
    ClearBelow(Id),
    /// A float valve of the pattern that keeps mains and stored water apart best.
    DiaphragmValve(Id),
    /// A float valve with a seat of this bore, mm.
    Seat(Id, f64),
    /// A dip tube that ends so far above the base, mm.
    DipTube(Id, f64),
    /// Marine ply of this thickness, mm.
    MarinePly(Id, f64),
    /// So many bearers, spread evenly below a platform.
    Bearers(Id, u32),
    /// Clips as close as the tube asks.
    Clips(Id),
    /// Insulation on runs, each from one distance along it to another, mm; and how thick, mm.
    Lag(Vec<(Id, f64, f64)>, f64),
    /// Tube of another size, mm.
    Tube(Id, f64),
}

/// A valve on a cistern's outlet sits so far along the pipe, mm: close to the cistern, and a spanner gets at it.
const BY_THE_CISTERN_MM: f64 = 250.0;
/// A valve before an appliance or a float valve sits so far from its end, mm.
const BEFORE_THE_END_MM: f64 = 150.0;
/// The finest screens that the trade sells for this have openings of this width, mm: what guidance G16.13 asks.
const FINE_MESH_MM: f64 = 0.65;
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

impl Change {
    /// The part that it changes.
    #[must_use]
    pub fn part(&self) -> &Id {
        match self {
            Self::Fit(id, ..)
            | Self::TakeOut(id, _)
            | Self::TightLid(id)
            | Self::LidScreen(id)
            | Self::EndScreen(id)
            | Self::JacketAllRound(id, _)
            | Self::ClearBelow(id)
            | Self::DiaphragmValve(id)
            | Self::Seat(id, _)
            | Self::DipTube(id, _)
            | Self::MarinePly(id, _)
            | Self::Bearers(id, _)
            | Self::Clips(id)
            | Self::Tube(id, _) => id,
            Self::Lag(spans, _) => &spans[0].0,
        }
    }

    /// Whether it changes a part.
    #[must_use]
    pub fn touches(&self, id: &Id) -> bool {
        match self {
            Self::Lag(spans, _) => spans.iter().any(|span| span.0 == *id),
            other => other.part() == id,
        }
    }

    /// The edits that make it; nothing when the layout no longer has what it changes.
    #[must_use]
    pub fn edits(&self, layout: &Layout) -> Vec<Edit> {
        let edit = match self {
            Self::Fit(..) | Self::TakeOut(..) | Self::EndScreen(_) | Self::Clips(_) | Self::Tube(..) => {
                self.on_run(layout)
            }
            Self::MarinePly(..) | Self::Bearers(..) => self.on_platform(layout),
            Self::Lag(spans, thick_mm) => {
                return spans
                    .iter()
                    .filter_map(|span| put(Part::Run(lagged(run(layout, &span.0)?, span, *thick_mm))))
                    .collect();
            }
            _ => self.on_cistern(layout),
        };
        edit.into_iter().collect()
    }

    fn on_run(&self, layout: &Layout) -> Option<Edit> {
        let mut run = run(layout, self.part())?.clone();
        match self {
            Self::Fit(_, kind, at_mm) => {
                let fittings = run.fittings.get_or_insert_default();
                fittings.push(InLine { kind: *kind, at: Length::mm(*at_mm) });
                fittings.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
            }
            Self::TakeOut(_, kinds) => run.fittings.as_mut()?.retain(|fitting| !kinds.contains(&fitting.kind)),
            Self::EndScreen(_) => run.screen = Some(Screen::Mesh(Size::mm(FINE_MESH_MM))),
            Self::Clips(_) => run.clips = Some(run.clips_allowed()?),
            Self::Tube(_, size_mm) => {
                run.size = Some(Size::mm(*size_mm));
                run.clips = run.clips.and(run.clips_allowed());
            }
            _ => return None,
        }
        put(Part::Run(run))
    }

    fn on_platform(&self, layout: &Layout) -> Option<Edit> {
        let mut platform = platform(layout, self.part())?.clone();
        match self {
            Self::MarinePly(_, thickness_mm) => {
                let class = platform.board.and_then(|board| board.class);
                let thickness = Some(Size::mm(*thickness_mm));
                platform.board = Some(Board { material: BoardMaterial::MarinePly, thickness, class });
            }
            Self::Bearers(_, count) => {
                let (across_mm, breadth_mm) = across(&platform)?;
                let bearers = platform.bearers.as_mut()?;
                bearers.count = *count;
                bearers.first = Length::mm(breadth_mm);
                bearers.spacing = Size::mm((across_mm - 2.0 * breadth_mm) / f64::from(count - 1));
            }
            _ => return None,
        }
        put(Part::Platform(platform))
    }

    fn on_cistern(&self, layout: &Layout) -> Option<Edit> {
        let mut cistern = cistern(layout, self.part())?.clone();
        match self {
            Self::TightLid(_) => cistern.lid = Some(Lid::Tight),
            Self::LidScreen(_) => cistern.lid_screen = Some(Screen::Mesh(Size::mm(FINE_MESH_MM))),
            Self::JacketAllRound(_, thickness_mm) => {
                let kind = cistern.jacket.and_then(|jacket| jacket.kind).or(Some(Insulant::MineralWool));
                cistern.jacket =
                    Some(Jacket { sides: true, top: true, thickness: Some(Size::mm(*thickness_mm)), kind });
            }
            Self::ClearBelow(_) => cistern.loft_insulation_below = Some(false),
            Self::DiaphragmValve(_) => cistern.float_valve.as_mut()?.pattern = Some(FloatValvePattern::Part2),
            Self::Seat(_, bore_mm) => cistern.float_valve.as_mut()?.seat = Some(Size::mm(*bore_mm)),
            Self::DipTube(_, end_mm) => cistern.dip_tube = Some(DipTube::EndsAt(Length::mm(*end_mm))),
            _ => return None,
        }
        put(Part::Cistern(cistern))
    }

    /// What is done, in words.
    #[must_use]
    pub fn words(&self, layout: &Layout) -> String {
        let spoken = self.part().spoken();
        match self {
            Self::Fit(id, kind, at_mm) => {
                let before_end_mm = length_mm(layout, id).map_or(f64::INFINITY, |length_mm| length_mm - at_mm);
                let kind = kind.words();
                if before_end_mm < *at_mm {
                    format!("Fit a {kind} in the {spoken}, {before_end_mm:.0} mm before its end")
                } else {
                    format!("Fit a {kind} in the {spoken}, {at_mm:.0} mm from its beginning")
                }
            }
            Self::TakeOut(_, kinds) => {
                let kinds: Vec<&str> = kinds.iter().map(|kind| kind.words()).collect();
                format!("Take every {} out of the {spoken}", kinds.join(" and "))
            }
            Self::TightLid(_) => format!("Fit a rigid, close-fitting lid to the {spoken} and fix it"),
            Self::LidScreen(_) => format!("Fit a screen of {FINE_MESH_MM} mm to the vent in the lid of the {spoken}"),
            Self::EndScreen(_) => format!("Fit a screen of {FINE_MESH_MM} mm to the open end of the {spoken}"),
            Self::JacketAllRound(_, mm) => format!("Insulate sides and top of the {spoken}, {mm:.0} mm thick"),
            Self::ClearBelow(_) => format!("Take the loft insulation out from under the {spoken}"),
            Self::DiaphragmValve(_) => {
                format!("Fit a float valve to {} in the {spoken}", FloatValvePattern::Part2.words())
            }
            Self::Seat(_, mm) => format!("Fit a seat of {mm} mm in the float valve of the {spoken}"),
            Self::DipTube(_, mm) => format!("Fit a dip tube in the {spoken} that ends {mm:.0} mm above its base"),
            Self::MarinePly(_, mm) => format!("Board the {spoken} with marine ply of {mm:.0} mm"),
            Self::Bearers(id, count) => {
                let apart_mm = platform(layout, id)
                    .and_then(across)
                    .map_or(0.0, |(across_mm, breadth_mm)| (across_mm - 2.0 * breadth_mm) / f64::from(count - 1));
                format!("Lay {count} bearers below the {spoken}, {apart_mm:.0} mm apart")
            }
            Self::Clips(_) => format!("Clip the {spoken} as closely as its tube asks"),
            Self::Lag(spans, mm) => {
                let span = |(id, from, to): &(Id, f64, f64)| {
                    format!("the {} from {from:.0} to {to:.0} mm along it", id.spoken())
                };
                format!("Insulate {}, {mm:.0} mm thick", spans.iter().map(span).collect::<Vec<_>>().join(", and "))
            }
            Self::Tube(_, mm) => format!("Take {mm:.0} mm tube for the {spoken}"),
        }
    }

    /// Whether it may be done without asking. Parts have to be bought, and someone has to agree to that.
    #[must_use]
    pub const fn consent(&self) -> Consent {
        match self {
            // What lies below a cistern, and what a board or bearer carries, is for whoever stands in the loft to say.
            Self::Bearers(..) | Self::MarinePly(..) | Self::ClearBelow(_) => Consent::ShowOnly,
            _ => Consent::NeedsDecision,
        }
    }
}

fn put(part: Part) -> Option<Edit> {
    Some(Edit::Put(Box::new(part)))
}

/// What a platform measures across its bearers, and how thick one is, mm.
fn across(platform: &Platform) -> Option<(f64, f64)> {
    let bearers = platform.bearers.as_ref()?;
    let across_mm = match bearers.lie {
        Lie::EndOn => platform.length.to_mm(),
        Lie::Along => platform.depth?.to_mm(),
    };
    let breadth_mm = bearers.breadth.to_mm();
    (across_mm > 4.0 * breadth_mm).then_some((across_mm, breadth_mm))
}

/// A run with one more insulated stretch, in place of what lay there.
fn lagged(run: &Run, (_, from_mm, to_mm): &(Id, f64, f64), thick_mm: f64) -> Run {
    let mut lagged = run.clone();
    let old = lagged.insulation.take().unwrap_or_default();
    let kind = old.first().and_then(|lagging| lagging.kind).or(Some(Insulant::PolyethyleneFoam));
    let stretch = |from: f64, to: f64, like: &Lagging| {
        (to > from).then(|| Lagging { from: Length::mm(from), to: Length::mm(to), ..*like })
    };
    let new = Lagging { from: Length::mm(*from_mm), to: Length::mm(*to_mm), thickness: Some(Size::mm(thick_mm)), kind };
    let kept = old.iter().flat_map(|lagging| {
        let (from, to) = (lagging.from.to_mm(), lagging.to.to_mm());
        [stretch(from, to.min(*from_mm), lagging), stretch(from.max(*to_mm), to, lagging)]
    });
    let mut all: Vec<Lagging> = kept.flatten().chain([new]).collect();
    all.sort_by(|a, b| a.from.to_mm().total_cmp(&b.from.to_mm()));
    lagged.insulation = Some(all);
    lagged
}

/// What may clear a broken finding, the least change first.
pub(super) fn changes(layout: &Layout, key: &FindingKey, finding: &Finding) -> Vec<Change> {
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
            let into =
                |run: &&Run| end_on(run, |part, port| key.parts.contains(part) && port.as_str() == INLET).is_some();
            layout.runs.iter().filter(into).filter_map(|run| before_its_end(layout, run)).collect()
        }
        "appliance-without-service-valve" => {
            runs().filter_map(|id| before_its_end(layout, run(layout, &id)?)).collect()
        }
        "cold-feed-without-valve" | "cold-distribution-without-valve" | "tap-cannot-be-shut-off" => {
            let from_cistern = |run: &&Run| {
                let of_service = matches!(run.service, Service::ColdFeed | Service::ColdDistribution);
                of_service && end_on(run, |part, _| cistern(layout, part).is_some()) == Some(WhichEnd::From)
            };
            let named = |run: &&Run| key.parts.contains(&run.id) || finding.rule.id == "tap-cannot-be-shut-off";
            let chosen = layout.runs.iter().filter(from_cistern).filter(named);
            chosen.map(|run| Change::Fit(run.id.clone(), InLineKind::GateValve, BY_THE_CISTERN_MM)).collect()
        }
        "cold-feed-without-drain" | "distribution-without-drain" => {
            runs().filter_map(|id| at_lowest(layout, &id)).collect()
        }
        "vent-valved" | "warning-pipe-valved" => runs().map(|id| Change::TakeOut(id, valves())).collect(),
        "cold-feed-non-return" => runs().map(|id| Change::TakeOut(id, vec![InLineKind::NonReturnValve])).collect(),
        "platform-board-too-thin"
        | "platform-of-chipboard"
        | "platform-not-marine-ply"
        | "cylinder-on-chipboard"
        | "board-overstressed"
        | "board-sags" => {
            let Some(platform) = platform_of() else { return Vec::new() };
            let now_mm = platform.board.and_then(|board| board.thickness).map_or(0.0, Size::to_mm);
            let sold = PLY_MM.into_iter().filter(|mm| *mm > now_mm);
            let as_thick = (now_mm >= PLY_MM[0]).then_some(now_mm).into_iter();
            as_thick.chain(sold).map(|mm| Change::MarinePly(platform.id.clone(), mm)).collect()
        }
        "too-few-joists" | "joists-too-far-apart" => platform_of().map(more_bearers).unwrap_or_default(),
        "clips-too-far-apart-level" | "clips-too-far-apart-upright" => runs().map(Change::Clips).collect(),
        "cylinder-pipe-uninsulated" => first_metre(layout, &key.parts),
        "loft-pipe-freezes-too-soon" | "one-pipe-circulation" => {
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
            runs()
                .chain(own)
                .filter(|id| run(layout, id).is_some_and(|run| run.service == Service::WarningPipe))
                .filter_map(|id| one_size_up(layout, &id))
                .collect()
        }
        "outlet-starved" | "pipe-too-fast" | "vent-draws-air" => {
            runs().filter_map(|id| one_size_up(layout, &id)).collect()
        }
        "overflow-cannot-keep-up" => {
            let Some(cistern) = cistern_of() else { return Vec::new() };
            let now_mm = cistern.float_valve.and_then(|valve| valve.seat).map_or(0.0, Size::to_mm);
            let seats = SEATS_MM.into_iter().filter(|mm| *mm < now_mm).map(|mm| Change::Seat(cistern.id.clone(), mm));
            let wider = warning_pipes(layout, cistern).into_iter().filter_map(|id| one_size_up(layout, &id));
            seats.chain(wider).collect()
        }
        _ => Vec::new(),
    }
}

fn valves() -> Vec<InLineKind> {
    use InLineKind::{GateValve, LeverValve, NonReturnValve, ServiceValve, StopValve};
    vec![GateValve, LeverValve, StopValve, ServiceValve, NonReturnValve]
}

fn warning_pipes(layout: &Layout, cistern: &Cistern) -> Vec<Id> {
    let own = |run: &&Run| run.service == Service::WarningPipe && end_on(run, |part, _| *part == cistern.id).is_some();
    layout.runs.iter().filter(own).map(|run| run.id.clone()).collect()
}

fn length_mm(layout: &Layout, id: &Id) -> Option<f64> {
    Some(Traces::of(layout).line(number_of(layout, id)?)?.length())
}

/// A servicing valve shortly before the end of a run.
fn before_its_end(layout: &Layout, run: &Run) -> Option<Change> {
    let at_mm = (length_mm(layout, &run.id)? - BEFORE_THE_END_MM).max(0.0).floor();
    Some(Change::Fit(run.id.clone(), InLineKind::ServiceValve, at_mm))
}

/// A drain cock at the lowest vertex of a run.
fn at_lowest(layout: &Layout, id: &Id) -> Option<Change> {
    let traces = Traces::of(layout);
    let line = traces.line(number_of(layout, id)?)?;
    let lowest = (0..line.vertices().len()).min_by(|a, b| line.vertices()[*a].y.total_cmp(&line.vertices()[*b].y))?;
    Some(Change::Fit(id.clone(), InLineKind::DrainCock, line.along()[lowest].floor()))
}

/// As many bearers as keep within the spacing, and one more.
fn more_bearers(platform: &Platform) -> Vec<Change> {
    let Some((across_mm, breadth_mm)) = across(platform) else { return Vec::new() };
    let enough = |count: &u32| (across_mm - 2.0 * breadth_mm) / f64::from(count - 1) <= BEARERS_APART_MM;
    let Some(least) = (FEWEST_BEARERS..FEWEST_BEARERS + 20).find(enough) else { return Vec::new() };
    [least, least + 1].map(|count| Change::Bearers(platform.id.clone(), count)).to_vec()
}

/// The first metre of a run, and of what begins on it there.
fn first_metre(layout: &Layout, parts: &[Id]) -> Vec<Change> {
    const METRE_MM: f64 = 1000.0;
    let mut spans = Vec::new();
    for id in parts.iter().filter(|id| run(layout, id).is_some()) {
        let (Some(run), Some(length)) = (run(layout, id), length_mm(layout, id)) else { continue };
        let by_its_end = matches!(run.to, End::Port(ref part, _) if parts.contains(part));
        spans.push(if by_its_end {
            (id.clone(), (length - METRE_MM).max(0.0), length)
        } else {
            (id.clone(), 0.0, METRE_MM.min(length))
        });
        for branch in &layout.runs {
            if let End::Tee(on, at) = &branch.from
                && on == id
                && at.to_mm() < METRE_MM
                && let Some(own) = length_mm(layout, &branch.id)
            {
                spans.push((branch.id.clone(), 0.0, (METRE_MM - at.to_mm()).min(own)));
            }
        }
    }
    if spans.is_empty() { Vec::new() } else { vec![Change::Lag(spans, INSULATION_MM[0])] }
}

/// The next larger size in which a run's tube is sold.
fn one_size_up(layout: &Layout, id: &Id) -> Option<Change> {
    let run = run(layout, id)?;
    let (material, size) = (run.material?, run.size?);
    let larger = material.sizes().into_iter().map(Size::to_mm).filter(|mm| *mm > size.to_mm()).reduce(f64::min)?;
    Some(Change::Tube(id.clone(), larger))
}
