//! Pictures of the load path under each platform: moments, deflections, the forces on supports, what each timber takes.

use glam::{DVec2, dvec2};

use super::parts::small;
use super::{About, Ink, Origin, Pen, PenWidth, Rank, Scene};
use crate::layout::{Lie, PartRef};
use crate::measure::Site;
use crate::timber::{LoadPath, Member, OnPlatform, Strip, Trusses, readings};
use crate::units::MM_IN_A_METRE;

/// Height at which the greatest moment of a member is drawn, mm.
const MOMENT_MM: f64 = 110.0;
/// Depth at which the greatest deflection of a member is drawn, mm.
const SAG_MM: f64 = 50.0;
/// From one picture to the next, mm.
const PITCH_MM: f64 = 760.0;
/// From the lowest timber to the first picture, and from its moments to its deflections, mm.
const GAP_MM: f64 = 330.0;
/// Length of the arrow of a force, mm.
const ARROW_MM: f64 = 90.0;
const ARROW_HEAD_MM: f64 = 22.0;
/// Pieces into which a span is cut; its curves then look smooth.
const PIECES: u32 = 24;

/// Adds the pictures to a scene: for each platform the board, the hardest worked bearer and the hardest worked joist.
///
/// A timber that runs along the section is drawn below where it is; one that is seen end-on is turned into view below
/// the middle of its platform. Sagging moments are drawn below the line, as timber is stretched there.
pub fn overlay(scene: &mut Scene, site: &Site<'_>, path: &LoadPath) {
    for on in &path.platforms {
        let Some(PartRef::Platform(platform)) = site.part(&on.platform) else { continue };
        let (left, right) = platform.span_mm();
        let middle_mm = f64::midpoint(left, right);
        let underside_mm = underside_mm(site, platform.at.z.to_mm());
        let mut base_mm = underside_mm - GAP_MM;
        if let Some(Ok(trusses)) = &on.trusses {
            nodes(scene, &Origin::Part(on.platform.clone()), trusses, ((left, right), underside_mm));
            base_mm -= GAP_MM;
        }
        for (name, members) in on.known() {
            let Some(member) = on.hardest_worked(members) else { continue };
            let picture = Picture::of(on, name, member, dvec2(middle_mm, base_mm));
            picture.draw(scene);
            base_mm -= PITCH_MM;
        }
    }
}

/// What comes on the nodes of trussed rafters, in words below them: their ties are no beams, and have no picture.
fn nodes(scene: &mut Scene, origin: &Origin, trusses: &Trusses, ((left, right), underside_mm): ((f64, f64), f64)) {
    let lines = vec![
        format!("{} trussed rafters, {:.0} N {}", trusses.count, trusses.node_n.value, trusses.node_words()),
        readings::ENGINEER.to_owned(),
    ];
    let about = About::Thing { low: dvec2(left, underside_mm - GAP_MM), high: dvec2(right, underside_mm) };
    small(scene, origin, lines, Ink::Ink, about, Rank::Part);
}

/// The underside of whatever hangs lowest below a platform: joists or ceiling.
fn underside_mm(site: &Site<'_>, platform_mm: f64) -> f64 {
    let building = site.building();
    let joists = building.joists.as_ref().map(|joists| joists.top.to_mm() - joists.depth.to_mm());
    let ceiling = building.ceiling.map(|ceiling| ceiling.underside.to_mm());
    let below = [joists, ceiling].into_iter().flatten().filter(|level| *level <= platform_mm);
    below.fold(platform_mm, f64::min)
}

/// One member's picture.
struct Picture<'a> {
    origin: Origin,
    member: &'a Member,
    strip: &'a Strip,
    lines: Vec<String>,
    pencil: Ink,
    /// Added to a place along the member, mm, to get x.
    shift_mm: f64,
    base_mm: f64,
}

impl<'a> Picture<'a> {
    fn of(on: &OnPlatform, name: &str, member: &'a Member, place: DVec2) -> Self {
        let strip = &member.check.strip;
        let (from_m, to_m) = strip.reach_m();
        let shift_mm = match member.lie {
            Lie::Along => 0.0,
            Lie::EndOn => place.x - f64::midpoint(from_m, to_m) * MM_IN_A_METRE,
        };
        let shares = on.judged(&member.check);
        let is_too_much = shares.bending.value.max(shares.shear.value) > 1.0;
        let pencil = if is_too_much { Ink::RedPencil } else { Ink::Ink };
        Self {
            origin: Origin::Part(on.platform.clone()),
            lines: caption(name, member, shares.bending.value, shares.shear.value),
            member,
            strip,
            pencil,
            shift_mm,
            base_mm: place.y,
        }
    }

    fn draw(&self, scene: &mut Scene) {
        let (from_m, to_m) = self.strip.reach_m();
        self.moments(scene);
        let line = [dvec2(self.x(from_m), self.base_mm), dvec2(self.x(to_m), self.base_mm)];
        scene.line(&self.origin, line, Pen::solid(Ink::Ink, PenWidth::Medium));
        for place_m in &self.strip.on_m {
            self.force(scene, *place_m);
        }
        self.sag(scene);
        // One label for the whole picture: words at every force would find no room, and be led away.
        self.words(scene, line[0] - dvec2(0.0, GAP_MM + SAG_MM), line[1] + dvec2(0.0, ARROW_MM));
    }

    fn x(&self, along_m: f64) -> f64 {
        along_m * MM_IN_A_METRE + self.shift_mm
    }

    /// Places along the member at which its curves are drawn.
    fn places_m(&self) -> Vec<f64> {
        let (from_m, to_m) = self.strip.reach_m();
        let mut ends = vec![from_m];
        ends.extend(&self.strip.on_m);
        ends.push(to_m);
        let cut = |pair: &[f64]| -> Vec<f64> {
            let (start, length) = (pair[0], pair[1] - pair[0]);
            (0..=PIECES).map(|piece| start + length * f64::from(piece) / f64::from(PIECES)).collect()
        };
        ends.windows(2).filter(|pair| pair[1] > pair[0]).flat_map(cut).collect()
    }

    fn moments(&self, scene: &mut Scene) {
        let greatest = self.strip.greatest_moment().1.abs();
        if greatest <= 0.0 {
            return;
        }
        let height = |moment: f64| moment / greatest * MOMENT_MM;
        let points: Vec<DVec2> = self
            .places_m()
            .into_iter()
            .map(|place| dvec2(self.x(place), self.base_mm - height(self.strip.moment_n_m(place))))
            .collect();
        for pair in points.windows(2) {
            for piece in to_the_line(pair[0], pair[1], self.base_mm) {
                scene.area(&self.origin, piece, Some(Ink::Timber), None);
            }
        }
        scene.line(&self.origin, points, Pen::solid(self.pencil, PenWidth::Fine));
    }

    fn force(&self, scene: &mut Scene, place_m: f64) {
        let tip = dvec2(self.x(place_m), self.base_mm);
        let foot = tip - dvec2(0.0, ARROW_MM);
        scene.line(&self.origin, [foot, tip], Pen::solid(Ink::Ink, PenWidth::Fine));
        let head = vec![
            tip,
            tip + dvec2(-ARROW_HEAD_MM / 2.0, -ARROW_HEAD_MM),
            tip + dvec2(ARROW_HEAD_MM / 2.0, -ARROW_HEAD_MM),
        ];
        scene.area(&self.origin, head, Some(Ink::Ink), None);
    }

    fn sag(&self, scene: &mut Scene) {
        let check = &self.member.check;
        let greatest_m = check.at_once.down.value;
        if greatest_m <= 0.0 {
            return;
        }
        let level = self.base_mm - GAP_MM;
        let depth = |along_m: f64| self.strip.deflection_m(along_m, check.piece.stiffness()) / greatest_m * SAG_MM;
        let held = (self.strip.on_m.first(), self.strip.on_m.last());
        let (Some(first), Some(last)) = held else { return };
        let between = self.places_m().into_iter().filter(|place| place >= first && place <= last);
        let points: Vec<DVec2> = between.map(|place| dvec2(self.x(place), level - depth(place))).collect();
        let straight = [dvec2(self.x(*first), level), dvec2(self.x(*last), level)];
        scene.line(&self.origin, straight, Pen::solid(Ink::Faint, PenWidth::Hair));
        scene.line(&self.origin, points, Pen::dashed(self.pencil, PenWidth::Medium));
    }

    fn words(&self, scene: &mut Scene, low: DVec2, high: DVec2) {
        let about = About::Picture { low, high };
        small(scene, &self.origin, self.lines.clone(), self.pencil, about, Rank::Part);
    }
}

/// What a member is, what it takes, what it puts on its supports from left to right, and how far it sinks.
fn caption(name: &str, member: &Member, bending: f64, shear: f64) -> Vec<String> {
    let (check, section) = (&member.check, member.check.piece.section);
    let size = |metres: f64| (metres * MM_IN_A_METRE).round();
    let moment = check.strip.greatest_moment().1.abs() / 1000.0;
    // A strip of board is a metre wide, and so its forces are for each metre; it is not checked in shear.
    let is_board = check.piece.shear_pa.is_none();
    let (what, takes, unit) = if is_board {
        (
            format!("{name}, {} mm, up to {moment:.3} kN·m/m", size(section.depth_m)),
            format!("bending {bending:.2} of strength"),
            "kN/m",
        )
    } else {
        let (breadth, depth) = (size(section.breadth_m), size(section.depth_m));
        (
            format!("{name}, {breadth} × {depth} mm, up to {moment:.3} kN·m"),
            format!("bending {bending:.2}, shear {shear:.2} of strength"),
            "kN",
        )
    };
    let forces: Vec<String> = check.strip.on_n.iter().map(|force_n| format!("{:.2}", force_n / 1000.0)).collect();
    let sinks = |down_m: f64| format!("{:.2} mm", down_m * MM_IN_A_METRE);
    vec![
        what,
        takes,
        format!("on its supports {} {unit}", forces.join(", ")),
        format!("sinks {}, in the end {}", sinks(check.at_once.down.value), sinks(check.at_last.down.value)),
    ]
}

/// The area between a piece of a curve and a level line, in convex pieces: one, or two where the curve crosses it.
fn to_the_line(from: DVec2, to: DVec2, level: f64) -> Vec<Vec<DVec2>> {
    let (above, below) = (from.y - level, to.y - level);
    if above * below >= 0.0 {
        let whole = vec![dvec2(from.x, level), dvec2(to.x, level), to, from];
        return vec![whole];
    }
    let crossing = dvec2(from.x + (to.x - from.x) * above / (above - below), level);
    vec![vec![dvec2(from.x, level), crossing, from], vec![crossing, dvec2(to.x, level), to]]
}
