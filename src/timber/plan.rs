//! What the drawing tells of the load path, seen from above, in metres and newtons.

use super::{Kind, Piece, Section};
use crate::catalogue::{self, BoardKind, StrengthClass};
use crate::layout::{BoardMaterial, Joists, Lie, LoadDuration, Platform, ServiceClass, SupportKind};
use crate::measure::standing::{self, Vessel};
use crate::measure::{Site, find_out, footing_in_doubt, platform as measured};
use crate::units::{MM_IN_A_METRE, STANDARD_GRAVITY_M_S2};

/// More timbers than this below one platform are a slip of the keyboard.
const MOST_UNDER: usize = 200;
/// What to find out of joists: what they are, how far they reach and how strong they are.
pub(super) const SEE_KIND: &str = "see whether they are solid joists or trussed rafters";
pub(super) const MEASURE_SPAN: &str = "measure the joists from support to support";
pub(super) const READ_CLASS: &str =
    "read the strength class stamped on the joists; old timber has no stamp, and a competent person grades it";
pub(super) const READ_CLASS_OF_BEARERS: &str =
    "read the strength class stamped on the bearers; old timber has no stamp, and a competent person grades it";
/// What to find out of a platform below which no joists are drawn.
pub(super) const FIND_JOISTS: &str = "find the joists under the platform: size, spacing, span, and which way they run";
const NEWTONS_IN_A_KILONEWTON: f64 = 1000.0;
/// Density by which timbers are weighed whose class is not told, kg/m³: that of C24, the heaviest.
const HEAVIEST: StrengthClass = StrengthClass::C24;

/// One thing that was measured, put out by its standard uncertainty to see what hangs on it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shift {
    Water,
    Span,
    SpanFrom,
    JoistBreadth,
    JoistDepth,
    BearerBreadth,
    BearerDepth,
}

impl Shift {
    pub(super) const ALL: [Self; 7] = [
        Self::Water,
        Self::Span,
        Self::SpanFrom,
        Self::JoistBreadth,
        Self::JoistDepth,
        Self::BearerBreadth,
        Self::BearerDepth,
    ];

    /// The members that bear otherwise, or something else, when it is shifted.
    pub(super) const fn reaches(self) -> &'static [Kind] {
        match self {
            Self::Water => &Kind::ALL,
            Self::Span | Self::SpanFrom | Self::JoistBreadth | Self::JoistDepth => &[Kind::Joist],
            Self::BearerBreadth | Self::BearerDepth => &[Kind::Bearer, Kind::Joist],
        }
    }
}

/// A rectangle seen from above: along the section, and front to back; m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rectangle {
    pub(super) x_m: (f64, f64),
    pub(super) y_m: (f64, f64),
}

impl Rectangle {
    /// From where to where it reaches in the direction in which timbers of that lie run.
    pub(super) const fn along(&self, lie: Lie) -> (f64, f64) {
        match lie {
            Lie::EndOn => self.y_m,
            Lie::Along => self.x_m,
        }
    }

    /// From where to where it reaches across timbers of that lie.
    pub(super) const fn across(&self, lie: Lie) -> (f64, f64) {
        match lie {
            Lie::EndOn => self.x_m,
            Lie::Along => self.y_m,
        }
    }

    pub(super) fn area_m2(&self) -> f64 {
        (self.x_m.1 - self.x_m.0) * (self.y_m.1 - self.y_m.0)
    }
}

/// A vessel's base and what it presses with.
pub(super) struct Foot {
    pub(super) base: Rectangle,
    pub(super) force_n: f64,
    /// How much of it is water, N.
    pub(super) water_n: f64,
    /// What to find out, where the weight of the vessel itself is not in it.
    pub(super) rest: Option<String>,
    /// Standard uncertainty of the litres of its water, kg.
    water_within_kg: f64,
}

/// Timbers below: which way they run, and their centre lines with their numbers, from left or front.
pub(super) struct Lines {
    pub(super) lie: Lie,
    pub(super) centres_m: Vec<(usize, f64)>,
}

impl Lines {
    pub(super) fn places_m(&self) -> Vec<f64> {
        self.centres_m.iter().map(|(_, centre)| *centre).collect()
    }

    /// Numbers of the timbers that are among others as well.
    pub(super) fn shared_with<'l>(&'l self, others: &'l Self) -> impl Iterator<Item = usize> + 'l {
        let is_shared = |number: &usize| others.centres_m.iter().any(|(other, _)| other == number);
        self.centres_m.iter().map(|(number, _)| *number).filter(is_shared)
    }
}

/// What is told of the bearers.
pub(super) struct BearerPlan {
    pub(super) section: Section,
    pub(super) class: Option<StrengthClass>,
    pub(super) own_n_per_m: f64,
}

/// What is told of the joists.
pub(super) struct JoistPlan {
    pub(super) lie: Lie,
    pub(super) kind: Option<SupportKind>,
    pub(super) section: Section,
    pub(super) class: Option<StrengthClass>,
    pub(super) spacing_m: f64,
    pub(super) span_m: Option<f64>,
    pub(super) from_m: Option<f64>,
    pub(super) ceiling_n_m2: Option<f64>,
    pub(super) storage_n_m2: Option<f64>,
    pub(super) service: Option<ServiceClass>,
    pub(super) duration: Option<LoadDuration>,
    pub(super) own_n_per_m: f64,
}

/// What is told of one platform that carries vessels.
pub(super) struct PlatformPlan<'a> {
    pub(super) platform: &'a Platform,
    pub(super) vessels: Vec<Vessel<'a>>,
    pub(super) outline: Result<Rectangle, String>,
    pub(super) feet: Result<Vec<Foot>, String>,
    pub(super) board_n_m2: Result<f64, String>,
    /// What the board lies on: bearers or joists.
    pub(super) rests: Result<Lines, String>,
    pub(super) bearers: Option<BearerPlan>,
    /// The joists or trussed rafters below it.
    pub(super) joists_under: Result<Lines, String>,
}

impl PlatformPlan<'_> {
    /// What to find out, where the weight of a vessel itself is missing from what stands on it.
    pub(super) fn rest(&self) -> Option<&String> {
        self.feet.as_ref().ok()?.iter().find_map(|foot| foot.rest.as_ref())
    }

    /// Whether some of the joists below it may be among those that lie below another.
    pub(super) fn may_share_joists_with(&self, other: &Self) -> bool {
        match (&self.joists_under, &other.joists_under) {
            (Ok(own), Ok(others)) => own.shared_with(others).next().is_some(),
            _ => true,
        }
    }
}

/// What is told of everything that carries vessels.
pub(super) struct Plan<'a> {
    pub(super) joists: Option<JoistPlan>,
    pub(super) platforms: Vec<PlatformPlan<'a>>,
    /// The vessels in the loft below which no platform is drawn.
    pub(super) bare: Vec<Vessel<'a>>,
}

impl<'a> Plan<'a> {
    pub(super) fn of(site: &Site<'a>, shift: Option<Shift>) -> Self {
        let joists = site.building().joists.as_ref().map(|joists| joist_plan(site, joists, shift));
        let carrying = standing::over_joists(site).into_iter();
        let platforms = carrying.map(|(platform, on_it)| platform_plan(site, platform, on_it, shift)).collect();
        Self { joists, platforms, bare: standing::without_platform(site) }
    }

    /// The same with timbers of which no class is told taken for one; their weight stays that of the heaviest.
    pub(super) fn with_ungraded(mut self, class: Option<StrengthClass>) -> Self {
        let bearers = self.platforms.iter_mut().filter_map(|on| Some(&mut on.bearers.as_mut()?.class));
        let joists = self.joists.as_mut().map(|joists| &mut joists.class);
        bearers.chain(joists).for_each(|told| *told = told.or(class));
        self
    }

    /// Whether some timbers are of no class that is told.
    pub(super) fn has_ungraded(&self) -> bool {
        let mut bearers = self.platforms.iter().filter_map(|on| on.bearers.as_ref());
        bearers.any(|bearers| bearers.class.is_none())
            || self.joists.as_ref().is_some_and(|joists| joists.class.is_none())
    }

    /// Whether the water itself is told within bounds only, as in a cylinder that is known by its outside alone.
    pub(super) fn estimates_water(&self) -> bool {
        self.platforms.iter().filter_map(|on| on.feet.as_ref().ok()).flatten().any(|foot| foot.water_within_kg > 0.0)
    }

    /// What to find out of a vessel without a platform that may stand on some of these joists.
    pub(super) fn bare_over(&self, joists: &Lines) -> Option<String> {
        let is_over = |vessel: &&Vessel<'_>| {
            let reach = match joists.lie {
                Lie::EndOn => Some(vessel.span_mm()),
                Lie::Along => vessel.front_and_back_mm(),
            };
            let within = |(from_mm, to_mm): (f64, f64)| {
                let mut places_mm = joists.centres_m.iter().map(|(_, centre)| centre * MM_IN_A_METRE);
                places_mm.any(|mm| (from_mm..=to_mm).contains(&mm))
            };
            reach.is_none_or(within)
        };
        let vessel = self.bare.iter().find(is_over)?;
        Some(format!("draw the platform that {} stands on", vessel.id().with_article()))
    }

    pub(super) fn service(&self) -> Result<ServiceClass, String> {
        self.joists.as_ref().and_then(|joists| joists.service).ok_or_else(|| {
            "say how damp the loft is (service class 2 for a cold and ventilated one, common practice)".to_owned()
        })
    }
}

/// A dimension in metres, put out by its uncertainty when it is the one that is shifted.
fn metres(site: &Site<'_>, mm: f64, own: Shift, shift: Option<Shift>) -> f64 {
    let taped = site.taped(mm);
    let by = if shift == Some(own) { taped.standard_uncertainty() } else { 0.0 };
    (taped.value + by) / MM_IN_A_METRE
}

fn joist_plan(site: &Site<'_>, joists: &Joists, shift: Option<Shift>) -> JoistPlan {
    let section = Section {
        breadth_m: metres(site, joists.breadth.to_mm(), Shift::JoistBreadth, shift),
        depth_m: metres(site, joists.depth.to_mm(), Shift::JoistDepth, shift),
    };
    let per_m2 = |load: crate::units::SurfaceLoad| load.to_kn_per_m2() * NEWTONS_IN_A_KILONEWTON;
    JoistPlan {
        lie: joists.lie,
        kind: joists.kind,
        section,
        class: joists.grade,
        spacing_m: joists.spacing.to_mm() / MM_IN_A_METRE,
        span_m: joists.span.map(|span| metres(site, span.to_mm(), Shift::Span, shift)),
        from_m: joists.span_from.map(|from| metres(site, from.to_mm(), Shift::SpanFrom, shift)),
        ceiling_n_m2: joists.ceiling_load.map(per_m2),
        storage_n_m2: joists.storage_load.map(per_m2),
        service: joists.service_class,
        duration: joists.load_duration,
        own_n_per_m: weight_n_per_m(section, joists.grade),
    }
}

fn weight_n_per_m(section: Section, class: Option<StrengthClass>) -> f64 {
    class.unwrap_or(HEAVIEST).strength().density_kg_m3 * STANDARD_GRAVITY_M_S2 * section.area_m2()
}

fn platform_plan<'a>(
    site: &Site<'a>,
    platform: &'a Platform,
    vessels: Vec<Vessel<'a>>,
    shift: Option<Shift>,
) -> PlatformPlan<'a> {
    let outline = outline(platform);
    let bearers = platform.bearers.as_ref().map(|bearers| {
        let section = Section {
            breadth_m: metres(site, bearers.breadth.to_mm(), Shift::BearerBreadth, shift),
            depth_m: metres(site, bearers.depth.to_mm(), Shift::BearerDepth, shift),
        };
        BearerPlan { section, class: bearers.grade, own_n_per_m: weight_n_per_m(section, bearers.grade) }
    });
    PlatformPlan {
        feet: vessels.iter().map(|vessel| foot(site, *vessel, shift)).collect(),
        board_n_m2: board_weight_n_m2(platform),
        rests: rests(site, platform),
        joists_under: outline.as_ref().map_err(Clone::clone).and_then(|outline| joists_under(site, platform, outline)),
        platform,
        vessels,
        outline,
        bearers,
    }
}

fn outline(platform: &Platform) -> Result<Rectangle, String> {
    let Some(deep) = platform.front_and_back_mm() else {
        return Err(find_out::front_to_back_and_place(&platform.id));
    };
    Ok(rectangle(platform.span_mm(), deep))
}

fn rectangle(x_mm: (f64, f64), y_mm: (f64, f64)) -> Rectangle {
    let metres = |(from, to): (f64, f64)| (from / MM_IN_A_METRE, to / MM_IN_A_METRE);
    Rectangle { x_m: metres(x_mm), y_m: metres(y_mm) }
}

/// A vessel presses evenly on its base: that of a plastic cistern is not stiff enough to do otherwise.
fn foot(site: &Site<'_>, vessel: Vessel<'_>, shift: Option<Shift>) -> Result<Foot, String> {
    if let Some(find_out) = standing::stands_on_several(site, vessel) {
        return Err(find_out);
    }
    let weight = standing::full_weight(site, vessel)?;
    let Some(deep) = vessel.front_and_back_mm() else {
        return Err(find_out::front_to_back_and_place(vessel.id()));
    };
    let in_mm = vessel.base_in_mm();
    let narrowed = |(from, to): (f64, f64)| (from + in_mm, to - in_mm);
    let (x_mm, y_mm) = (narrowed(vessel.span_mm()), narrowed(deep));
    if x_mm.0 >= x_mm.1 || y_mm.0 >= y_mm.1 {
        return Err(format!("measure the base of {}; drawn as it is it has none", vessel.id().with_article()));
    }
    let water_within_kg = weight.water_kg.standard_uncertainty();
    let more_kg = if shift == Some(Shift::Water) { water_within_kg } else { 0.0 };
    let water_n = (weight.water_kg.value + more_kg) * STANDARD_GRAVITY_M_S2;
    let force_n = water_n + weight.empty_kg * STANDARD_GRAVITY_M_S2;
    Ok(Foot { base: rectangle(x_mm, y_mm), force_n, water_n, rest: weight.rest, water_within_kg })
}

/// The kind of the platform's board, with its thickness in m.
pub(super) fn board_of(platform: &Platform) -> Result<(&'static BoardKind, f64), String> {
    let Some(board) = platform.board else { return Err("see what the board is made of, and how thick".to_owned()) };
    let Some(kind) = catalogue::board(board.material.words()) else {
        let words = board.material.words();
        return Err(format!("have a competent person judge the board: no strength is known of {words}"));
    };
    let Some(thickness) = board.thickness else {
        return Err(find_out::BOARD_THICKNESS.to_owned());
    };
    Ok((kind, thickness.to_mm() / MM_IN_A_METRE))
}

/// What a square metre of the board weighs. Chipboard of no class, which has no strength to reckon with, is weighed as
/// the heaviest board.
fn board_weight_n_m2(platform: &Platform) -> Result<f64, String> {
    let is_plain_chipboard = platform.board.is_some_and(|board| board.material == BoardMaterial::Chipboard);
    let (density_kg_m3, thickness_m) = match board_of(platform) {
        Err(_) if is_plain_chipboard => {
            let heaviest_kg_m3 =
                catalogue::board(BoardMaterial::ChipboardP5.words()).map_or(0.0, |kind| kind.density_kg_m3);
            let Some(thickness) = platform.board.and_then(|board| board.thickness) else {
                return Err(find_out::BOARD_THICKNESS.to_owned());
            };
            (heaviest_kg_m3, thickness.to_mm() / MM_IN_A_METRE)
        }
        found => found.map(|(kind, thickness_m)| (kind.density_kg_m3, thickness_m))?,
    };
    Ok(density_kg_m3 * thickness_m * STANDARD_GRAVITY_M_S2)
}

/// A metre-wide strip of the platform's board; its strong axis is taken to lie across what it rests on.
pub(super) fn board_piece(platform: &Platform, service: ServiceClass) -> Result<Piece, String> {
    let (kind, thickness_m) = board_of(platform)?;
    let Some((board, thickness)) = platform.board.and_then(|board| Some((board, board.thickness?))) else {
        return Err(find_out::BOARD_THICKNESS.to_owned());
    };
    if kind.has_classes() && board.class.is_none() {
        return Err("read the class stamped on the plywood (EN 636, such as F20 E40)".to_owned());
    }
    let strength = kind.strength(board.class, thickness);
    let piece = strength.and_then(|strength| Piece::board(thickness_m, kind, strength, service));
    piece.ok_or_else(|| {
        let words = board.material.words();
        format!("have a competent person judge the board: no strength is known of {words} so thick or so damp")
    })
}

fn rests(site: &Site<'_>, platform: &Platform) -> Result<Lines, String> {
    let measured::TimbersUnder { lie, centres_mm } = measured::timbers_under(site, platform)?;
    let centres_m: Vec<(usize, f64)> = centres_mm.iter().map(|mm| mm / MM_IN_A_METRE).enumerate().collect();
    not_too_many(centres_m.len())?;
    Ok(Lines { lie, centres_m })
}

fn joists_under(site: &Site<'_>, platform: &Platform, outline: &Rectangle) -> Result<Lines, String> {
    let Some(joists) = standing::joists_below(site, platform) else {
        return Err(FIND_JOISTS.to_owned());
    };
    if let Some(find_out) = footing_in_doubt(site, platform).or_else(|| measured::joists_in_doubt(joists)) {
        return Err(find_out);
    }
    let (near_m, far_m) = outline.across(joists.lie);
    let (near_mm, far_mm) =
        (near_m * MM_IN_A_METRE - standing::ON_THE_EDGE_MM, far_m * MM_IN_A_METRE + standing::ON_THE_EDGE_MM);
    let centres_m: Vec<(usize, f64)> = joists
        .centres_between_mm(near_mm, far_mm)
        .take(MOST_UNDER + 1)
        .map(|(number, mm)| (number, mm / MM_IN_A_METRE))
        .collect();
    not_too_many(centres_m.len())?;
    Ok(Lines { lie: joists.lie, centres_m })
}

fn not_too_many(count: usize) -> Result<(), String> {
    if count > MOST_UNDER {
        return Err("look at the spacing of the timbers again: there are too many under one platform".to_owned());
    }
    Ok(())
}
