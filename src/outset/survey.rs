//! A survey: what a tape has found, in the order in which one would measure, becomes a layout that keeps unknown what
//! nobody has told.

use crate::geom::Point;
use crate::layout::{
    COLD_INLET, Ceiling, Cistern, CisternRole, Connection, Cylinder, DRAW_OFF, End, FloatValve, Hatch, Heading, Id,
    Joists, Layout, LoftHatch, PartRef, Platform, Roof, Run, Service, Storey, Survey, TapeClass, Tapping,
};
use crate::units::{Length, Level, Size};

/// Something to measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described in words by its own table, FOUND")]
pub enum FoundField {
    TopFloor,
    CylinderBase,
    CylinderHeight,
    CylinderDiameter,
    VentAside,
    Ceiling,
    HatchLength,
    HatchWidth,
    JoistTop,
    JoistBreadth,
    JoistDepth,
    JoistSpacing,
    JoistCount,
    PlatformTop,
    PlatformLength,
    PlatformDepth,
    CisternLength,
    CisternWidth,
    CisternHeight,
    WaterLine,
    Overflow,
    FloatValve,
    ColdFeed,
    Distribution,
    RoofAtValve,
    RoofOpposite,
    VentMouth,
}

/// A thing to measure, as the form asks for it.
pub struct Asked {
    /// Which.
    pub field: FoundField,
    /// Under which heading it stands.
    pub place: &'static str,
    /// What is measured.
    pub name: &'static str,
    /// From where to where.
    pub how: &'static str,
}

/// Everything that is asked, in the order in which one walks: hall, cupboard, hatch, loft, cistern, roof.
pub static FOUND: &[Asked] = {
    use FoundField::*;
    const fn asked(field: FoundField, place: &'static str, name: &'static str, how: &'static str) -> Asked {
        Asked { field, place, name, how }
    }
    const BELOW: &str = "Below the loft";
    const LOFT: &str = "In the loft";
    const CISTERN: &str = "At the cistern";
    &[
        asked(TopFloor, BELOW, "Top floor", "Ground floor up to the highest finished floor; 0 in a bungalow"),
        asked(CylinderBase, BELOW, "Cylinder base", "Highest floor up to the base of the cylinder"),
        asked(CylinderHeight, BELOW, "Cylinder height", "Base to the top of its dome"),
        asked(CylinderDiameter, BELOW, "Cylinder diameter", "Outside, without its jacket"),
        asked(VentAside, BELOW, "Vent sideways", "Level pipe from the dome until the open vent rises"),
        asked(Ceiling, BELOW, "Ceiling", "Highest floor up to the ceiling"),
        asked(HatchLength, LOFT, "Hatch one way", "Clear opening"),
        asked(HatchWidth, LOFT, "Hatch other way", "Clear opening"),
        asked(JoistTop, LOFT, "Top of joists", "Ceiling below, at the hatch, up to the top of the joists"),
        asked(JoistBreadth, LOFT, "Joist thickness", "Across one joist"),
        asked(JoistDepth, LOFT, "Joist depth", "Top to bottom of one joist"),
        asked(JoistSpacing, LOFT, "Joist spacing", "Middle to middle"),
        asked(JoistCount, LOFT, "Joists below the platform", "How many it lies over; a bare number"),
        asked(PlatformTop, LOFT, "Platform", "Top of the joists up to the upper face of its board"),
        asked(PlatformLength, LOFT, "Platform length", "Along the drawing"),
        asked(PlatformDepth, LOFT, "Platform depth", "Front to back"),
        asked(CisternLength, CISTERN, "Cistern length", "Outside at the rim, along the drawing"),
        asked(CisternWidth, CISTERN, "Cistern width", "Outside at the rim, front to back"),
        asked(CisternHeight, CISTERN, "Cistern height", "Base to rim"),
        asked(WaterLine, CISTERN, "Water line", "Base up to the water at rest"),
        asked(Overflow, CISTERN, "Warning pipe", "Base up to the middle of its connection"),
        asked(FloatValve, CISTERN, "Float valve", "Base up to the middle of its shank"),
        asked(ColdFeed, CISTERN, "Cold feed", "Base up to the middle of its connection"),
        asked(Distribution, CISTERN, "Cold distribution", "Base up to the middle of its connection"),
        asked(RoofAtValve, CISTERN, "Roof at the float valve", "Rim up to the underside of the roof, on that side"),
        asked(RoofOpposite, CISTERN, "Roof opposite", "Rim up to the underside of the roof, on the other side"),
        asked(VentMouth, CISTERN, "Mouth of the vent", "Rim up to the open end of the vent"),
    ]
};

/// What has been found, in millimetres (a count for the joists); what is not in it nobody has told.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The tape.
    pub tape: TapeClass,
    /// Where.
    pub address: String,
    told: Vec<(FoundField, f64)>,
}

impl Found {
    /// Nothing yet.
    #[must_use]
    pub const fn by(tape: TapeClass) -> Self {
        Self { tape, address: String::new(), told: Vec::new() }
    }

    /// With one thing more.
    #[must_use]
    pub fn with(mut self, field: FoundField, mm: f64) -> Self {
        self.told.retain(|(other, _)| *other != field);
        if mm.is_finite() {
            self.told.push((field, mm));
        }
        self
    }

    fn mm(&self, field: FoundField) -> Option<f64> {
        self.told.iter().find(|(other, _)| *other == field).map(|(_, mm)| *mm)
    }

    fn size(&self, field: FoundField) -> Option<Size> {
        self.mm(field).and_then(|mm| Size::try_mm(mm).ok())
    }

    fn length(&self, field: FoundField) -> Option<Length> {
        self.mm(field).and_then(|mm| Length::try_mm(mm).ok())
    }
}

/// Where the cistern is drawn; nobody measures that, and no rule asks it.
const CISTERN_X_MM: f64 = 1500.0;
/// Room between cistern and cylinder on the drawing.
const BESIDE_MM: f64 = 400.0;

/// Levels above the ground floor, as far as they are told.
struct Levels {
    top_floor_mm: Option<f64>,
    ceiling_mm: Option<f64>,
    joists_mm: Option<f64>,
    platform_mm: Option<f64>,
}

impl Levels {
    fn of(found: &Found) -> Self {
        let above = |level_mm: Option<f64>, field| Some(level_mm? + found.mm(field)?);
        let top_floor_mm = found.mm(FoundField::TopFloor);
        let ceiling_mm = above(top_floor_mm, FoundField::Ceiling);
        let joists_mm = above(ceiling_mm, FoundField::JoistTop);
        Self { top_floor_mm, ceiling_mm, joists_mm, platform_mm: above(joists_mm, FoundField::PlatformTop) }
    }
}

/// The layout of what was found, and what had to be left out of it for want of a level or a size.
#[must_use]
pub fn surveyed(found: &Found) -> (Layout, Vec<String>) {
    let levels = Levels::of(found);
    let mut left_out = Vec::new();
    let mut layout = Layout {
        heading: Heading {
            title: "Found on site".to_owned(),
            address: found.address.clone(),
            notes: "Levels by tape. Places across the drawing and the ways of pipes are drawn freely.".to_owned(),
            ..Heading::default()
        },
        survey: Survey::Surveyed(found.tape),
        ..Layout::default()
    };
    house(found, &levels, &mut layout);
    match cistern(found, &levels) {
        Ok(cistern) => {
            layout.platforms.extend(platform(found, &levels));
            layout.building.joists = joists(found, &levels, layout.platforms.first());
            layout.building.roof = roof(found, &cistern);
            layout.cisterns.push(cistern);
        }
        Err(what) => left_out.push(what),
    }
    match cylinder(found, &levels) {
        Ok(cylinder) => layout.cylinders.push(cylinder),
        Err(what) => left_out.push(what),
    }
    let runs = pipes(found, &layout);
    layout.runs = runs;
    (layout, left_out)
}

fn house(found: &Found, levels: &Levels, layout: &mut Layout) {
    let storey = |id: &str, mm: f64| Storey { id: Id::of(id), floor: Level::mm(mm), deck: None };
    layout.building.storeys.push(storey("ground-floor", 0.0));
    if let Some(mm) = levels.top_floor_mm.filter(|mm| *mm > 0.0) {
        layout.building.storeys.push(storey("top-floor", mm));
    }
    if let Some(mm) = levels.ceiling_mm {
        // The board itself is not seen; the thinnest that is usual moves no level that is judged.
        layout.building.ceiling = Some(Ceiling { underside: Level::mm(mm), thickness: Size::mm(9.5) });
    }
    if let (Some(length), Some(width)) = (found.size(FoundField::HatchLength), found.size(FoundField::HatchWidth)) {
        let x = Length::mm(CISTERN_X_MM - 1200.0);
        layout.building.hatch = Some(LoftHatch::Opening(Hatch { x, length, width }));
    }
}

fn cistern(found: &Found, levels: &Levels) -> Result<Cistern, String> {
    let (Some(base), Some(length), Some(height)) =
        (levels.platform_mm, found.size(FoundField::CisternLength), found.size(FoundField::CisternHeight))
    else {
        return Err(
            "The cistern is left out: that needs its length and height, and every level from the ground floor up to its platform."
                .to_owned(),
        );
    };
    let hole = |port: &str, field, on: fn(Length) -> Tapping| {
        Some(Connection { port: Id::of(port), on: on(found.length(field)?) })
    };
    let connections = [
        hole("warning", FoundField::Overflow, Tapping::Left),
        hole("cold-feed", FoundField::ColdFeed, Tapping::Right),
        hole("distribution", FoundField::Distribution, Tapping::Right),
    ];
    let at = Point::mm(CISTERN_X_MM, base);
    Ok(Cistern {
        width: found.size(FoundField::CisternWidth),
        water_line: found.length(FoundField::WaterLine),
        float_valve: found.length(FoundField::FloatValve).map(|up| FloatValve::new(Tapping::Left(up))),
        connections: connections.into_iter().flatten().collect(),
        ..Cistern::new(Id::of("cistern"), CisternRole::Storage, at, length, height)
    })
}

fn platform(found: &Found, levels: &Levels) -> Option<Platform> {
    let (length, base) = (found.size(FoundField::PlatformLength)?, levels.platform_mm?);
    let middle = CISTERN_X_MM + found.mm(FoundField::CisternLength)? / 2.0;
    let at = Point::mm(middle - length.to_mm() / 2.0, base);
    let platform = Platform::new(Id::of("cistern-platform"), at, length);
    Some(Platform { depth: found.size(FoundField::PlatformDepth), ..platform })
}

fn joists(found: &Found, levels: &Levels, platform: Option<&Platform>) -> Option<Joists> {
    /// More joists below one platform are a slip.
    const MOST: f64 = 40.0;
    let (left, right) = platform?.span_mm();
    let (spacing, count) = (found.size(FoundField::JoistSpacing)?, found.mm(FoundField::JoistCount)?);
    let count = count.round().clamp(1.0, MOST);
    let first = f64::midpoint(left, right) - (count - 1.0) / 2.0 * spacing.to_mm();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 1 and 40")]
    let count = count as u32;
    let section = (found.size(FoundField::JoistBreadth)?, found.size(FoundField::JoistDepth)?);
    Some(Joists::new(Level::mm(levels.joists_mm?), Length::mm(first), spacing, count, section))
}

/// The roof as it was measured over both sides of the cistern, and no further.
fn roof(found: &Found, cistern: &Cistern) -> Option<Roof> {
    let (left, right) = cistern.span_mm();
    let over = |x: f64, field| Some(Point::mm(x, cistern.rim().to_mm() + found.mm(field)?));
    let underside = vec![over(left, FoundField::RoofAtValve)?, over(right, FoundField::RoofOpposite)?];
    Some(Roof { underside })
}

fn cylinder(found: &Found, levels: &Levels) -> Result<Cylinder, String> {
    let base = levels.top_floor_mm.zip(found.mm(FoundField::CylinderBase)).map(|(floor, up)| floor + up);
    let (Some(base), Some(height), Some(diameter)) =
        (base, found.size(FoundField::CylinderHeight), found.size(FoundField::CylinderDiameter))
    else {
        return Err(
            "The cylinder is left out: that needs its height and diameter, the top floor, and its base over that floor."
                .to_owned(),
        );
    };
    let beside = CISTERN_X_MM + found.mm(FoundField::CisternLength).unwrap_or(1000.0) + BESIDE_MM;
    Ok(Cylinder::new(Id::of("cylinder"), Point::mm(beside, base), diameter, height))
}

/// Pipes whose levels were taken: of what they are, and what sits in them, nobody has told.
fn pipes(found: &Found, layout: &Layout) -> Vec<Run> {
    let Some(cistern) = layout.cisterns.first() else { return Vec::new() };
    let port = |part: PartRef<'_>, name: &str| {
        part.port(name).map(|point| (End::Port(part.id().clone(), Id::of(name)), point.x.to_mm(), point.z.to_mm()))
    };
    let of_cistern = |name: &str| port(PartRef::Cistern(cistern), name);
    let (left, right) = cistern.span_mm();
    let mut runs = Vec::new();
    if let Some((from, _, z)) = of_cistern("warning") {
        let out = End::Onward(Point::mm(left - 600.0, z));
        runs.push(Run::new(Id::of("warning-pipe"), Service::WarningPipe, from, out));
    }
    if let Some((from, ..)) = of_cistern("distribution") {
        let (x, z) = (right + BESIDE_MM / 4.0, cistern.at.z.to_mm() - 600.0);
        let via = of_cistern("distribution").map(|(_, _, level)| Point::mm(x, level));
        let run = Run::new(Id::of("cold-distribution"), Service::ColdDistribution, from, End::Onward(Point::mm(x, z)));
        runs.push(Run { via: via.into_iter().collect(), ..run });
    }
    let Some(cylinder) = layout.cylinders.first() else { return runs };
    if let (Some((from, _, z)), Some((to, _, low))) =
        (of_cistern("cold-feed"), port(PartRef::Cylinder(cylinder), COLD_INLET))
    {
        let x = right + BESIDE_MM / 2.0;
        let run = Run::new(Id::of("cold-feed"), Service::ColdFeed, from, to);
        runs.push(Run { via: vec![Point::mm(x, z), Point::mm(x, low)], ..run });
    }
    let mouth = found.mm(FoundField::VentMouth).map(|up| cistern.rim().to_mm() + up);
    let dome = port(PartRef::Cylinder(cylinder), DRAW_OFF);
    if let (Some(mouth), Some(aside), Some((from, x, z))) = (mouth, found.mm(FoundField::VentAside), dome) {
        let (rises, over) = (x + aside, right - 100.0);
        let crest = mouth + 100.0;
        let via = [(x, z + 50.0), (rises, z + 50.0), (rises, crest), (over, crest)];
        let run = Run::new(Id::of("open-vent"), Service::OpenVent, from, End::Open(Point::mm(over, mouth)));
        runs.push(Run { via: via.map(|(x, z)| Point::mm(x, z)).to_vec(), ..run });
    }
    runs
}
