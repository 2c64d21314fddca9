//! Dimensions of what is set out, and a table of levels: for sheets that are built from.
//!
//! A dimension that finds no clear place for its line is left out: the table of levels has what matters.

use glam::{DVec2, dvec2};

use super::dimension_line::{DimensionSpan, Pens, Turned};
use super::inked::{Drawn, Outline, PlacedDimension, Stroke, Turn};
use super::lettering::width_mm;
use super::room::{PaperBox, Room};
use super::{Ink, Origin, PenWidth, Scene, Shape, TextAnchor, TextSize};
use crate::layout::{Id, Service};
use crate::measure::{Axis, Feature, Place, Site};

/// Letter size of dimensions.
const SIZE: TextSize = TextSize::Tiny;
/// How far arrows stand out that do not fit inside, mm.
const TAIL_MM: f64 = 4.0;
/// The gap before an extension line, mm.
const GAP_MM: f64 = 0.8;
/// Lines are tried at these distances from what they measure, mm.
const OFFSETS_MM: [f64; 14] = [5.0, 7.5, 10.0, 12.5, 15.0, 18.0, 21.0, 25.0, 29.0, 34.0, 40.0, 48.0, 58.0, 70.0];
/// Clear paper beside a dimension line, mm.
const CLEAR_MM: f64 = 1.0;

/// How much it is disliked that a line crosses ink, and each millimetre of distance.
const INK_COST: f64 = 1.2;
const FAR_COST: f64 = 0.3;

/// A dimension before it has its line.
#[derive(Debug, Clone, PartialEq)]
pub struct Dimension {
    /// From here.
    pub from: DVec2,
    /// To here.
    pub to: DVec2,
    /// Which way it is measured.
    pub axis: Axis,
}

impl Dimension {
    /// Its length in the section, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        let run = (self.to - self.from).abs();
        if self.axis == Axis::Upright { run.y } else { run.x }
    }

    /// Its number as drawings have it: whole millimetres, or tenths where there are any.
    #[must_use]
    pub fn words(&self) -> String {
        let tenths = (self.length_mm() * 10.0).round() / 10.0;
        tenths.to_string()
    }
}

/// Adds the dimensions of cisterns, platforms and cylinders, and the levels of everything that has one.
pub fn draw_dimensions(scene: &mut Scene, site: &Site<'_>) {
    let layout = site.layout();
    let mut add = |id: &Id, from: DVec2, to: DVec2, axis: Axis| {
        let dimension = Dimension { from, to, axis };
        if dimension.length_mm().is_finite() && dimension.length_mm() >= 1.0 {
            scene.add(&Origin::Part(id.clone()), Shape::Dimension(dimension));
        }
    };
    for cistern in &layout.cisterns {
        let (low, high) = (cistern.at.vector(), dvec2(cistern.length.to_mm(), cistern.height.to_mm()));
        add(&cistern.id, low + dvec2(0.0, high.y), low + high, Axis::Level);
        add(&cistern.id, low + dvec2(high.x, 0.0), low + high, Axis::Upright);
        if let Some(line) = cistern.water_line {
            add(&cistern.id, low, low + dvec2(0.0, line.to_mm()), Axis::Upright);
        }
    }
    for platform in &layout.platforms {
        let top = platform.at.vector();
        add(&platform.id, top, top + dvec2(platform.length.to_mm(), 0.0), Axis::Level);
        let under_board = top - dvec2(0.0, platform.drawn_board_mm());
        add(&platform.id, under_board - dvec2(0.0, platform.frame_mm()), under_board, Axis::Upright);
    }
    for cylinder in &layout.cylinders {
        let at = |feature: Feature| site.locate(&Place::of(&cylinder.id, feature));
        if let (Some(base), Some(top)) = (at(Feature::Base), at(Feature::Top)) {
            let half = dvec2(cylinder.diameter.to_mm() / 2.0, 0.0);
            add(&cylinder.id, base + half, top + half, Axis::Upright);
            add(&cylinder.id, base - half, base + half, Axis::Level);
        }
    }
    scene.levels = levels(site);
}

/// Everything that has a level, highest first.
fn levels(site: &Site<'_>) -> Vec<(String, f64)> {
    let layout = site.layout();
    let mut levels: Vec<(String, f64)> = Vec::new();
    let mut tell = |words: String, at: Option<DVec2>| {
        if let Some(at) = at.filter(|at| at.y.is_finite()) {
            levels.push((words, at.y));
        }
    };
    for cistern in &layout.cisterns {
        let spoken = cistern.id.spoken();
        let at = |feature: Feature| site.locate(&Place::of(&cistern.id, feature));
        tell(format!("{spoken}, rim"), at(Feature::Top));
        tell(format!("{spoken}, water line"), at(Feature::WaterLine));
        tell(format!("{spoken}, base"), at(Feature::Base));
    }
    for platform in &layout.platforms {
        tell(format!("{}, top", platform.id.spoken()), site.locate(&Place::of(&platform.id, Feature::Top)));
    }
    for cylinder in &layout.cylinders {
        let spoken = cylinder.id.spoken();
        tell(format!("{spoken}, top"), site.locate(&Place::of(&cylinder.id, Feature::Top)));
        tell(format!("{spoken}, base"), site.locate(&Place::of(&cylinder.id, Feature::Base)));
    }
    for (number, run) in layout.runs.iter().enumerate() {
        let Some(line) = site.line(number) else { continue };
        match run.service {
            Service::OpenVent | Service::PrimaryVent => {
                let top = line.vertices().iter().copied().max_by(|a, b| a.y.total_cmp(&b.y));
                tell(format!("{}, highest", run.id.spoken()), top);
            }
            Service::WarningPipe => {
                let out_mm = site.mouth(number).and_then(|end| site.end_along(number, end));
                tell(format!("{}, outer end", run.id.spoken()), out_mm.map(|out_mm| line.point_at(out_mm)));
            }
            _ => {}
        }
    }
    for storey in &layout.building.storeys {
        tell(format!("floor, {}", storey.id.spoken()), Some(dvec2(0.0, storey.floor.to_mm())));
    }
    if let Some(ceiling) = &layout.building.ceiling {
        tell("ceiling, underside".to_owned(), Some(dvec2(0.0, ceiling.underside.to_mm())));
    }
    levels.sort_by(|a, b| b.1.total_cmp(&a.1));
    levels
}

/// Finds a line for each dimension where it covers nothing that must be read.
pub(super) fn place_dimensions(
    strokes: &mut Vec<Stroke>,
    placed: &mut Vec<PlacedDimension>,
    room: &mut Room,
    dimensions: &[(&Origin, &Dimension)],
) {
    for (origin, dimension) in dimensions {
        let Some(line) = Line::clear(room, dimension) else { continue };
        let begin = strokes.len();
        for drawn in line.drawn(room.scale) {
            room.ink_stroke(&drawn);
            strokes.push(Stroke { origin: (*origin).clone(), drawn });
        }
        room.take(line.strip());
        room.take(line.words_box());
        placed.push(PlacedDimension {
            origin: (*origin).clone(),
            from: dimension.from,
            to: dimension.to,
            axis: dimension.axis,
            on_line: line.span.turned.section(line.across_mm, line.span.high.y),
            words_at: line.words_middle() * room.scale,
            words: dimension.words(),
            strokes: begin..strokes.len(),
        });
    }
}

/// A dimension with its line, on turned paper.
struct Line {
    span: DimensionSpan,
    across_mm: f64,
    words: String,
}

impl Line {
    /// The nearest line at which nothing is covered and the number stands on blank paper.
    fn clear(room: &Room, dimension: &Dimension) -> Option<Self> {
        let turned = Turned { axis: dimension.axis, scale: room.scale };
        let span = DimensionSpan::between(turned, (dimension.from, dimension.to), TAIL_MM);
        let (least, most) = span.across_mm();
        let offsets = OFFSETS_MM.iter().flat_map(|off| [most + off, least - off]);
        let candidates = offsets.map(|across_mm| Self { span, across_mm, words: dimension.words() });
        let cost = |line: &Self| {
            let reach = (line.across_mm - least).abs().min((line.across_mm - most).abs());
            INK_COST * room.covered(line.strip()) + FAR_COST * reach
        };
        let free = candidates.filter(|line| {
            let is_clear = |end: DVec2| room.is_clear(turned.paper(end.x, end.y), turned.paper(line.across_mm, end.y));
            is_clear(span.low) && is_clear(span.high) && room.is_free(line.strip()) && room.is_blank(line.words_box())
        });
        free.map(|line| (cost(&line), line)).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, line)| line)
    }

    /// The middle of the words on paper: on the line's left or upper side, or beyond its end where they do not fit.
    fn words_middle(&self) -> DVec2 {
        let DimensionSpan { turned, low, high, outside_mm } = self.span;
        let off = if turned.is_upright() { -0.6 - SIZE.mm() / 2.0 } else { 0.6 + SIZE.mm() / 2.0 };
        let wide_mm = width_mm(&self.words, SIZE.mm());
        let along = if high.y - low.y > wide_mm + 1.0 {
            f64::midpoint(low.y, high.y)
        } else {
            high.y + outside_mm + wide_mm / 2.0 + 0.6
        };
        turned.paper(self.across_mm + off, along)
    }

    fn words_box(&self) -> PaperBox {
        let half_width = width_mm(&self.words, SIZE.mm()) / 2.0 + 0.4;
        let half_high = SIZE.mm() / 2.0 + 0.2;
        let half = self.span.turned.paper(half_high, half_width);
        let middle = self.words_middle();
        PaperBox { low: middle - half, high: middle + half }
    }

    /// The paper that the line itself takes.
    fn strip(&self) -> PaperBox {
        self.span.strip(self.across_mm, CLEAR_MM)
    }

    fn drawn(&self, scale: f64) -> Vec<Drawn> {
        let hair = Outline::solid(Ink::Ink, PenWidth::Hair.mm());
        let mut drawn = self.span.drawn(self.across_mm, &Pens { line: hair, extensions: hair, gap_mm: GAP_MM });
        let is_upright = self.span.turned.is_upright();
        let middle = self.words_middle();
        // Words stand on their foot line, which is below their middle.
        let foot = 0.28 * SIZE.mm();
        let at = if is_upright { middle + dvec2(foot, 0.0) } else { middle - dvec2(0.0, foot) };
        drawn.push(Drawn::Words {
            at: at * scale,
            anchor: TextAnchor::Middle,
            words: self.words.clone(),
            size_mm: SIZE.mm(),
            ink: Ink::Ink,
            turn: if is_upright { Turn::Upward } else { Turn::Level },
        });
        drawn
    }
}
