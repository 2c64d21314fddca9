//! Changes of cisterns: what closes and lights them, their jacket, their float valve, their size, their holes.

use super::Change;
use super::broken::Broken;
use super::exchange::{exchanged, on_opposite_side, volume_l};
use super::lagging::INSULATION_MM;
use super::twins::two_in_place_of_one;
use crate::catalogue::{CisternSize, FLOAT_VALVE_SEATS_MM, Insulant, cisterns};
use crate::layout::{
    Cistern, CisternRole, Connection, DipTube, Edit, FloatValvePattern, INLET, Id, Jacket, Layout, Lid, Part, Screen,
    Service, Tapping,
};
use crate::mend::Consent;
use crate::mend::handle::{end_on, hole};
use crate::units::{Length, Size};

/// A dip tube ends so far below the water line, mm; common practice, no source.
const DIPS_BY_MM: f64 = 50.0;

/// A change of a cistern.
#[derive(Debug, Clone, PartialEq)]
pub enum CisternChange {
    /// A close-fitting lid.
    TightLid,
    /// A screen on the vent of its lid.
    LidScreen {
        /// The openings of its mesh, mm.
        mesh_mm: f64,
    },
    /// A jacket on sides and top.
    Jacket {
        /// How thick, mm.
        thickness_mm: f64,
    },
    /// The loft insulation taken out from below it.
    ClearBelow,
    /// A float valve of the pattern that keeps mains and stored water apart best.
    DiaphragmValve,
    /// A seat in its float valve.
    Seat {
        /// The bore, mm.
        bore_mm: f64,
    },
    /// A dip tube.
    DipTube {
        /// How far above the base it ends, mm.
        end_mm: f64,
    },
    /// One of the same size with an opaque body.
    Opaque,
    /// This connection, or the float valve, in the opposite side.
    OppositeSide(Id),
    /// These two connections in one of its sides, each at the height of the other.
    HeightsExchanged(Id, Id),
    /// A size that is sold, by its place in the catalogue, in its place.
    OtherSize(usize),
    /// Two linked cisterns, one behind the other, in its place.
    TwoLinked {
        /// The size of each, by its place in the catalogue.
        size: usize,
        /// So far their platform stands out beyond them, mm.
        overhang_mm: f64,
    },
}

impl CisternChange {
    pub(super) fn words(&self, cistern: &Id) -> String {
        let spoken = cistern.with_article();
        match self {
            Self::TightLid => format!("Fit a rigid, close-fitting lid to {spoken} and fix it"),
            Self::LidScreen { mesh_mm } => {
                format!("Fit a screen of {mesh_mm} mm to the vent in the lid of {spoken}")
            }
            Self::Jacket { thickness_mm } => {
                format!("Insulate sides and top of {spoken}, {thickness_mm:.0} mm thick")
            }
            Self::ClearBelow => format!("Take the loft insulation out from under {spoken}"),
            Self::DiaphragmValve => {
                format!("Fit a float valve to {} in {spoken}", FloatValvePattern::Part2.words())
            }
            Self::Seat { bore_mm } => format!("Fit a seat of {bore_mm} mm in the float valve of {spoken}"),
            Self::DipTube { end_mm } => {
                format!("Fit a dip tube in {spoken} that ends {end_mm:.0} mm above its base")
            }
            Self::Opaque => format!("Set up a cistern with an opaque body in place of {spoken}"),
            Self::OppositeSide(port) => {
                format!("Move the {} connection of {spoken} to its opposite side", port.spoken().to_lowercase())
            }
            Self::HeightsExchanged(port, other) => {
                let [port, other] = [port, other].map(|port| port.spoken().to_lowercase());
                format!("Exchange the heights of the {port} and the {other} connections of {spoken}")
            }
            Self::OtherSize(size) => format!("Set up a cistern {} in place of {spoken}", sold(*size)),
            Self::TwoLinked { size, .. } => {
                format!("Set up two linked cisterns, one behind the other, each {}, in place of {spoken}", sold(*size))
            }
        }
    }

    pub(super) const fn consent(&self) -> Consent {
        match self {
            // What lies below it is seen there.
            Self::ClearBelow => Consent::ShowOnly,
            Self::HeightsExchanged(..) => Consent::Safe,
            Self::TightLid
            | Self::LidScreen { .. }
            | Self::Jacket { .. }
            | Self::DiaphragmValve
            | Self::Seat { .. }
            | Self::DipTube { .. }
            | Self::Opaque
            | Self::OppositeSide(_)
            | Self::OtherSize(_)
            | Self::TwoLinked { .. } => Consent::NeedsDecision,
        }
    }

    pub(super) fn edits(&self, layout: &Layout, id: &Id) -> Option<Vec<Edit>> {
        let mut cistern = layout.cistern(id)?.clone();
        match self {
            Self::TightLid => cistern.lid = Some(Lid::Tight),
            Self::LidScreen { mesh_mm } => cistern.lid_screen = Some(Screen::Mesh(Size::mm(*mesh_mm))),
            Self::Jacket { thickness_mm } => {
                // Of what it is of now.
                let kind = cistern.jacket.and_then(|jacket| jacket.kind).or(Some(Insulant::MineralWool));
                let thickness = Some(Size::mm(*thickness_mm));
                cistern.jacket = Some(Jacket { sides: true, top: true, thickness, kind });
            }
            Self::ClearBelow => cistern.loft_insulation_below = Some(false),
            Self::DiaphragmValve => cistern.float_valve.as_mut()?.pattern = Some(FloatValvePattern::Part2),
            Self::Seat { bore_mm } => cistern.float_valve.as_mut()?.seat = Some(Size::mm(*bore_mm)),
            Self::DipTube { end_mm } => cistern.dip_tube = Some(DipTube::EndsAt(Length::mm(*end_mm))),
            Self::Opaque => cistern.opaque = Some(true),
            Self::OppositeSide(port) => cistern = on_opposite_side(&cistern, port)?,
            Self::HeightsExchanged(port, other) => {
                let (up, other_up) = (hole(&cistern, port)?, hole(&cistern, other)?);
                cistern = cistern.with_port_at(port.as_str(), other_up)?.with_port_at(other.as_str(), up)?;
            }
            Self::OtherSize(size) => cistern = exchanged(&cistern, *size)?,
            Self::TwoLinked { size, overhang_mm } => return two_in_place_of_one(layout, id, *size, *overhang_mm),
        }
        Some(vec![Edit::put(Part::Cistern(cistern))])
    }
}

/// A size of cistern that is sold, in words.
fn sold(size: usize) -> String {
    cisterns().sizes.get(size).map_or_else(
        || "of another size".to_owned(),
        |size| {
            let [length, width, height] = [size.length, size.width, size.height].map(Size::to_mm);
            format!("of {length} × {width} mm, {height} mm high ({})", size.name)
        },
    )
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let on_subject = |change: CisternChange| broken.on_subject(|id| Change::Cistern(id, change.clone()));
    match broken.rule() {
        "cistern-lid-not-tight" | "feed-and-expansion-without-lid" => on_subject(CisternChange::TightLid),
        "lid-vent-unscreened" => {
            broken.asked().map_or_else(Vec::new, |mesh_mm| on_subject(CisternChange::LidScreen { mesh_mm }))
        }
        "cistern-not-opaque" => on_subject(CisternChange::Opaque),
        "loft-insulation-below-cistern" => on_subject(CisternChange::ClearBelow),
        "float-valve-wrong-pattern" => on_subject(CisternChange::DiaphragmValve),
        "cistern-without-jacket" | "cistern-warms-in-summer" | "cistern-freezes-too-soon" => {
            broken.cisterns().next().map_or_else(Vec::new, jackets)
        }
        "warning-pipe-dip-tube-too-short" => broken.cisterns().next().and_then(dip_tube).into_iter().collect(),
        "cistern-fills-too-slowly" => broken.cisterns().flat_map(wider_seats).collect(),
        "cold-feed-too-low" => broken.cisterns().flat_map(|part| feeds_over(broken.layout, part)).collect(),
        "inlet-and-outlet-on-one-side" => broken.cisterns().flat_map(opposite_sides).collect(),
        "storage-too-small-for-taps" | "storage-too-small-for-cylinder" | "storage-less-than-cylinder" => {
            larger_storage(broken)
        }
        "expansion-cistern-too-small" | "expansion-room-too-small" => broken.cisterns().flat_map(larger).collect(),
        "headroom-too-low-at-float-valve" | "headroom-too-low-opposite" | "feed-and-expansion-headroom-too-low" => {
            let by_mm = broken.finding.judged.remedy.map_or(0.0, |by| by.value);
            broken.cisterns().flat_map(|part| lower(part, by_mm)).collect()
        }
        _ => Vec::new(),
    }
}

fn on(cistern: &Cistern, change: CisternChange) -> Change {
    Change::Cistern(cistern.id.clone(), change)
}

/// A jacket all round: as thick as the one that is there, and thicker.
fn jackets(cistern: &Cistern) -> Vec<Change> {
    let now_mm = cistern.jacket.and_then(|jacket| jacket.thickness).map_or(0.0, Size::to_mm);
    let thicker = INSULATION_MM.into_iter().filter(|mm| *mm > now_mm);
    let as_thick = (now_mm > 0.0).then_some(now_mm).into_iter();
    as_thick.chain(thicker).map(|thickness_mm| on(cistern, CisternChange::Jacket { thickness_mm })).collect()
}

fn dip_tube(cistern: &Cistern) -> Option<Change> {
    let end_mm = cistern.water_line?.to_mm() - DIPS_BY_MM;
    (end_mm > 0.0).then(|| on(cistern, CisternChange::DipTube { end_mm }))
}

/// The next wider seats; none where nobody has told what there is.
fn wider_seats(cistern: &Cistern) -> Vec<Change> {
    let now_mm = cistern.float_valve.and_then(|valve| valve.seat).map_or(f64::MAX, Size::to_mm);
    let wider_mm = FLOAT_VALVE_SEATS_MM.into_iter().filter(|mm| *mm > now_mm);
    wider_mm.map(|bore_mm| on(cistern, CisternChange::Seat { bore_mm })).collect()
}

/// Larger cisterns in place of those that the finding names, or of any where it names none.
fn larger_storage(broken: &Broken<'_>) -> Vec<Change> {
    let named: Vec<&Cistern> = broken.cisterns().collect();
    let stored = |part: &&Cistern| part.role == CisternRole::Storage;
    let all = if named.is_empty() { broken.layout.cisterns.iter().filter(stored).collect() } else { named };
    all.into_iter().flat_map(larger).collect()
}

/// Cisterns that are sold and hold more, the smallest first.
fn larger(cistern: &Cistern) -> Vec<Change> {
    let now_l = volume_l(cistern.length, cistern.width, cistern.height);
    let mut larger = sizes_where(|_, litres| litres > now_l);
    larger.sort_by(|a, b| a.1.total_cmp(&b.1));
    larger.into_iter().map(|(size, _)| on(cistern, CisternChange::OtherSize(size))).collect()
}

/// Cisterns that are sold and are lower by so much, the one that holds most first.
fn lower(cistern: &Cistern, by_mm: f64) -> Vec<Change> {
    let mut lower = sizes_where(|size, _| size.height.to_mm() <= cistern.height.to_mm() - by_mm);
    lower.sort_by(|a, b| b.1.total_cmp(&a.1));
    lower.into_iter().map(|(size, _)| on(cistern, CisternChange::OtherSize(size))).collect()
}

/// Sizes of cistern that are sold, by their places in the catalogue, with their outside volumes, L.
fn sizes_where(is_meant: impl Fn(&CisternSize, f64) -> bool) -> Vec<(usize, f64)> {
    let sizes = cisterns().sizes.iter().enumerate();
    let with_volume = sizes.map(|(number, size)| (number, size, volume_l(size.length, Some(size.width), size.height)));
    with_volume
        .filter(|(_, size, litres)| is_meant(size, *litres))
        .map(|(number, _, litres)| (number, litres))
        .collect()
}

/// Cold feeds exchanged with the highest of the connections above them in the same side. Moves alone take no connection
/// past another, since their fittings would be in each other's way.
fn feeds_over(layout: &Layout, cistern: &Cistern) -> Vec<Change> {
    let gives = |hole: &Connection, service: Service| {
        let mut pipes = layout.runs.iter().filter(|run| run.service == service);
        pipes.any(|run| end_on(run, |part, own| *part == cistern.id && *own == hole.port).is_some())
    };
    let over = |feed: &Connection| {
        let in_side = |other: &&Connection| match (feed.on, other.on) {
            (Tapping::Left(own), Tapping::Left(up)) | (Tapping::Right(own), Tapping::Right(up)) => up > own,
            _ => false,
        };
        let above = cistern.connections.iter().filter(in_side).filter(|other| gives(other, Service::ColdDistribution));
        let highest = above.max_by_key(|hole| hole.on.distance())?;
        Some(on(cistern, CisternChange::HeightsExchanged(feed.port.clone(), highest.port.clone())))
    };
    cistern.connections.iter().filter(|hole| gives(hole, Service::ColdFeed)).filter_map(over).collect()
}

/// What leaves a cistern on the side of its float valve, and the float valve itself, over to the other side.
fn opposite_sides(cistern: &Cistern) -> Vec<Change> {
    let valve = cistern.float_valve.map(|valve| valve.shank);
    let same = |on: Tapping| {
        matches!((valve, on), (Some(Tapping::Left(_)), Tapping::Left(_)) | (Some(Tapping::Right(_)), Tapping::Right(_)))
    };
    let holes = cistern.connections.iter().filter(|hole| same(hole.on)).map(|hole| hole.port.clone());
    let inlet = valve.map(|_| Id::of(INLET));
    inlet.into_iter().chain(holes).map(|port| on(cistern, CisternChange::OppositeSide(port))).collect()
}
