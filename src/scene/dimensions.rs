//! Dimensions of what is set out, and a table of levels: for sheets that are built from.
//!
//! Dimension lines after the arrangement of ISO 129-1 (from memory). One that finds no clear place is left out: the
//! table of levels has what matters.

use glam::{DVec2, dvec2};

use super::figures::ARROWS_INSIDE_MM;
use super::inked::{Drawn, Outline, PlacedDimension, Stroke, Turn, arrowhead};
use super::lettering::width_mm;
use super::room::{PaperBox, Room};
use super::{Ink, Origin, PenWidth, Scene, Shape, TextAnchor, TextSize};
use crate::layout::{Id, Service};
use crate::measure::{Axis, Feature, Place, Site};

/// Letter size of dimensions.
const SIZE: TextSize = TextSize::Tiny;
/// How far arrows stand out that do not fit inside, mm.
const TAIL_MM: f64 = 4.0;
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
        line.kept().into_iter().for_each(|area| room.take(area));
        placed.push(PlacedDimension {
            origin: (*origin).clone(),
            from: dimension.from,
            to: dimension.to,
            axis: dimension.axis,
            on_line: line.back(line.high.y) * room.scale,
            words_at: line.words_middle() * room.scale,
            words: dimension.words(),
            strokes: begin..strokes.len(),
        });
    }
}

/// A dimension with its line, in paper millimetres. It is reckoned as if upright: x is the free coordinate.
struct Line {
    low: DVec2,
    high: DVec2,
    across: f64,
    upright: bool,
    words: String,
}

impl Line {
    /// The nearest line at which nothing is covered and the number stands on blank paper.
    fn clear(room: &Room, dimension: &Dimension) -> Option<Self> {
        let upright = dimension.axis == Axis::Upright;
        let turned = |point: DVec2| if upright { point / room.scale } else { dvec2(point.y, point.x) / room.scale };
        let (mut low, mut high) = (turned(dimension.from), turned(dimension.to));
        if low.y > high.y {
            std::mem::swap(&mut low, &mut high);
        }
        let (least, most) = (low.x.min(high.x), low.x.max(high.x));
        let offsets = OFFSETS_MM.iter().flat_map(|off| [most + off, least - off]);
        let candidates = offsets.map(|across| Self { low, high, across, upright, words: dimension.words() });
        let cost = |line: &Self| {
            let [along, _] = line.kept();
            let reach = (line.across - least).abs().min((line.across - most).abs());
            INK_COST * room.covered(along) + FAR_COST * reach
        };
        let free = candidates.filter(|line| {
            let reaches =
                [line.low, line.high].into_iter().all(|end| room.is_clear(line.at(end.x, end.y), line.back(end.y)));
            let [along, words] = line.kept();
            reaches && room.is_free(along) && room.is_blank(words)
        });
        free.map(|line| (cost(&line), line)).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, line)| line)
    }

    fn outside(&self) -> f64 {
        if self.high.y - self.low.y < ARROWS_INSIDE_MM { TAIL_MM } else { 0.0 }
    }

    fn words_fit(&self) -> bool {
        self.high.y - self.low.y > width_mm(&self.words, SIZE.mm()) + 1.0
    }

    /// The middle of the words: on the line's left or upper side, or beyond its end where they do not fit.
    fn words_middle(&self) -> DVec2 {
        let off = if self.upright { -0.6 - SIZE.mm() / 2.0 } else { 0.6 + SIZE.mm() / 2.0 };
        let along = if self.words_fit() {
            f64::midpoint(self.low.y, self.high.y)
        } else {
            self.high.y + self.outside() + width_mm(&self.words, SIZE.mm()) / 2.0 + 0.6
        };
        self.at(self.across + off, along)
    }

    fn at(&self, across: f64, along: f64) -> DVec2 {
        if self.upright { dvec2(across, along) } else { dvec2(along, across) }
    }

    fn back(&self, along: f64) -> DVec2 {
        self.at(self.across, along)
    }

    /// What nothing else may cover.
    fn kept(&self) -> [PaperBox; 2] {
        let outside = self.outside();
        let ends = (
            self.at(self.across - CLEAR_MM, self.low.y - outside),
            self.at(self.across + CLEAR_MM, self.high.y + outside),
        );
        let half_width = width_mm(&self.words, SIZE.mm()) / 2.0 + 0.4;
        let half_high = SIZE.mm() / 2.0 + 0.2;
        let half = if self.upright { dvec2(half_high, half_width) } else { dvec2(half_width, half_high) };
        let words = self.words_middle();
        [
            PaperBox { low: ends.0.min(ends.1), high: ends.0.max(ends.1) },
            PaperBox { low: words - half, high: words + half },
        ]
    }

    fn drawn(&self, scale: f64) -> Vec<Drawn> {
        let outline = Outline::solid(Ink::Ink, PenWidth::Hair.mm());
        let mut drawn = Vec::new();
        let mut line = |from: DVec2, to: DVec2| {
            drawn.push(Drawn::Line { points: vec![from * scale, to * scale], outline });
        };
        for end in [self.low, self.high] {
            let reach = (self.across - end.x).signum();
            line(self.at(end.x + reach * 0.8, end.y), self.at(self.across + reach * 1.2, end.y));
        }
        let outside = self.outside();
        line(self.back(self.low.y - outside), self.back(self.high.y + outside));
        let inward = if outside > 0.0 { -1.0 } else { 1.0 };
        let up = self.at(0.0, 1.0) * inward;
        drawn.push(arrowhead(self.back(self.low.y) * scale, -up, Ink::Ink, scale));
        drawn.push(arrowhead(self.back(self.high.y) * scale, up, Ink::Ink, scale));
        let middle = self.words_middle();
        // Words stand on their foot line, which is below their middle.
        let foot = 0.28 * SIZE.mm();
        let at = if self.upright { middle + dvec2(foot, 0.0) } else { middle - dvec2(0.0, foot) };
        drawn.push(Drawn::Words {
            at: at * scale,
            anchor: TextAnchor::Middle,
            words: self.words.clone(),
            size_mm: SIZE.mm(),
            ink: Ink::Ink,
            turn: if self.upright { Turn::Upward } else { Turn::Level },
        });
        drawn
    }
}
