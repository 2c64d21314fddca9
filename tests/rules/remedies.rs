//! What a remedy says, done, clears what it is said for and breaks nothing else: to the letter, on everything that is drawn in this tree.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crate::disturbed::{Seeds, disturbed};
use loftwright::file;
use loftwright::finding::{Finding, FindingKey, Findings};
use loftwright::layout::{End, Id, Layout, PartRef, Survey, TapeClass, apply};
use loftwright::measure::{Feature, Site};
use loftwright::mend::Handle;
use loftwright::rules::{Lever, Verdict, table};
use loftwright::units::Unit;

/// Levers of an amount that no handle of mending carries out: what is bought, built or confirmed otherwise, and pipes
/// that are laid anew.
const BY_OTHER_HANDS: [&str; 16] = [
    "Join the primary feed to the pipes of the heating nearer to the primary vent",
    "Lower the boiler",
    "Lower the highest pipe of the heating",
    "Store more water: a larger cistern or a second one linked to it, larger",
    "Store more water than the cylinder holds: a cistern larger",
    "Have both sides of the hatch enlarged",
    "Lighten the load",
    "Shorten the span",
    "Lower the rose",
    "Insulate more of the hot pipe, at least",
    "Insulate the pipe, and what joins it, further from the cylinder,",
    "Lower the high point of the pipe",
    "Bring the heads of hot and cold nearer to each other",
    "Bring the water lines of the two cisterns nearer to one level",
    "Set the float valves so that the water lines come nearer to one level,",
    "Lay the pipe falling all the way out, its high point lower",
];

/// Rules that a remedy of another may still break, since no reading tells the room: how far a cistern goes until a vent no
/// longer ends over it.
const NOT_TOLD_YET: [(&str, &str); 1] = [("platform-overhang-too-small", "vent-ends-elsewhere")];

/// So many examples are put out at random.
const DISTURBED: usize = 60;
const EXAMPLES: [&str; 3] = [
    include_str!("../../examples/sound_indirect.loft.ron"),
    include_str!("../../examples/low_loft.loft.ron"),
    include_str!("../../examples/feed_and_expansion.loft.ron"),
];

const LOPSIDED: &str = r#"(
    format: 1,
    survey: Designed,
    platforms: [(id: "platform", at: (-99.7, 2000), length: 1500)],
    cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500)],
)"#;

/// A finding on a layout, and how its lever is carried out.
struct Open<'a> {
    layout: &'a Layout,
    site: Site<'a>,
    finding: &'a Finding,
}

impl Open<'_> {
    fn parts(&self) -> impl Iterator<Item = PartRef<'_>> {
        self.finding.reading.parts.iter().filter_map(|id| self.layout.part(id))
    }

    fn cistern(&self) -> Option<Id> {
        self.parts().find_map(|part| matches!(part, PartRef::Cistern(_)).then(|| part.id().clone()))
    }

    fn cylinder(&self) -> Option<Id> {
        self.parts().find_map(|part| matches!(part, PartRef::Cylinder(_)).then(|| part.id().clone()))
    }

    /// What is moved up and down when a part is: the platform that it stands on, or itself.
    fn footing(&self, id: &Id) -> Id {
        let carries = |platform: &Id| self.layout.with_what_stands_on(platform).contains(id);
        let mut platforms = self.layout.platforms.iter().map(|part| &part.id);
        platforms.find(|platform| carries(platform)).unwrap_or(id).clone()
    }

    /// The hole that one of the places is.
    fn hole(&self, number: usize) -> Option<Handle> {
        let place = self.finding.reading.places.get(number)?;
        match &place.feature {
            Feature::Invert(port, _) | Feature::Port(port) => {
                Some(Handle::ConnectionUp(place.part.clone()?, port.clone()))
            }
            _ => None,
        }
    }

    /// The hole of an overflow, whichever place it is.
    fn overflow(&self) -> Option<Handle> {
        let is_invert = |number: &usize| matches!(self.finding.reading.places[*number].feature, Feature::Invert(..));
        self.hole((0..self.finding.reading.places.len()).find(is_invert)?)
    }

    /// The fitting at a place along a run, and how far along.
    fn fitting(&self) -> Option<(Handle, f64)> {
        self.finding.reading.places.iter().find_map(|place| {
            let Feature::Along(at_mm) = place.feature else { return None };
            let PartRef::Run(run) = self.layout.part(place.part.as_ref()?)? else { return None };
            let is_it = |at: f64| (at - at_mm).abs() < 1e-6;
            let number = run.fittings.as_ref()?.iter().position(|fitting| is_it(fitting.at.to_mm()))?;
            Some((Handle::FittingAlong(run.id.clone(), number), at_mm))
        })
    }

    /// How far along its pipe a fitting goes until it has risen by so much.
    fn risen(&self, by_mm: f64) -> Option<(Handle, f64)> {
        let (handle, at_mm) = self.fitting()?;
        let line = self.site.line(self.site.run_number(handle.part())?)?;
        let level_mm = |at_mm: f64| line.point_at(at_mm).y;
        let wanted_mm = level_mm(at_mm) + by_mm;
        let there = |along_mm: &f64| (level_mm(*along_mm) - wanted_mm).abs() < 0.5;
        let along = (0..=line.length() as u32).map(f64::from).find(there)?;
        // The pipe is upright there, so that what is left is gone along it.
        let sign = (level_mm(along + 0.5) - level_mm(along)).signum();
        let along = along + sign * (wanted_mm - level_mm(along));
        ((level_mm(along) - wanted_mm).abs() < 1e-6).then_some((handle, along - at_mm))
    }

    /// How far a vent goes along the draw-off until it has gone so far sideways, where that runs on so far.
    fn aside(&self, by_mm: f64) -> Option<(Handle, f64)> {
        let PartRef::Run(vent) = self.layout.part(self.finding.subject())? else { return None };
        let End::Tee(host, at) = &vent.from else { return None };
        let line = self.site.line(self.site.run_number(host)?)?;
        // Where the draw-off itself climbs straight up from the cylinder, the vent does not begin to rise at its tee.
        let rises = self.site.locate(self.finding.reading.places.get(1)?)?;
        if rises.distance(line.point_at(at.to_mm())) > 1.0 {
            return None;
        }
        let aside_mm = |along_mm: f64| (line.point_at(at.to_mm() + along_mm).x - line.point_at(at.to_mm()).x).abs();
        // A draw-off that falls or climbs a little is longer than it goes sideways.
        let along_mm = by_mm * by_mm / aside_mm(by_mm);
        ((aside_mm(along_mm) - by_mm).abs() < 1e-3).then(|| (Handle::TeeAlong(vent.id.clone()), along_mm))
    }

    /// The way in which a lever is carried out: the handle, and how far it goes.
    fn by(&self, words: &str, by_mm: f64) -> Option<(Handle, f64)> {
        let subject = || self.finding.subject().clone();
        let side = self.finding.reading.side.unwrap_or_default();
        let part_up = |id: Option<Id>, sign: f64| {
            let footing = self.footing(&id?);
            let carried = self.layout.with_what_stands_on(&footing);
            // What stands on one platform is not moved apart with it.
            let together = self.finding.reading.parts.iter().filter(|part| carried.contains(part)).count();
            (together == 1).then_some((Handle::PartUp(footing), sign * by_mm))
        };
        let of_hole = |hole: Option<Handle>, sign: f64| Some((hole?, sign * by_mm));
        match words {
            "Raise the open end of the vent" | "Raise the top of the vent" | "Raise the top of the primary vent" => {
                Some((Handle::FreeEndUp(subject()), by_mm))
            }
            "Lower the water line"
            | "Lower the water line, by bending or setting the float arm,"
            | "Lower the cold water line of the feed-and-expansion cistern"
            | "Lower the cold water line of its cistern" => Some((Handle::WaterLine(self.cistern()?), -by_mm)),
            "Lower the cistern" | "Lower the feed-and-expansion cistern" => part_up(self.cistern(), -1.0),
            "Raise the cistern" | "Raise the feed-and-expansion cistern" => part_up(self.cistern(), 1.0),
            "Raise the storage cistern" => part_up(self.finding.reading.parts.get(1).cloned(), 1.0),
            "Lower the cylinder" => part_up(self.cylinder(), -1.0),
            "Widen the platform at the {side}" | "Widen the cylinder's platform at the {side}" => Some(match side {
                "left" => (Handle::PlatformLeft(subject()), by_mm),
                "right" => (Handle::PlatformRight(subject()), by_mm),
                _ => (Handle::PlatformDepth(subject()), 2.0 * by_mm),
            }),
            "Move the cistern away from the {side}" => match side {
                "left" => Some((Handle::PartRight(self.cistern()?), by_mm)),
                "right" => Some((Handle::PartRight(self.cistern()?), -by_mm)),
                _ => None,
            },
            "Lengthen the dip tube on the warning pipe" => Some((Handle::DipTubeUp(subject()), -by_mm)),
            "Raise the float valve" => Some((Handle::FloatValveUp(subject()), by_mm)),
            "Raise the warning pipe" | "Raise the overflow" => of_hole(self.overflow(), 1.0),
            "Lower the warning pipe" => of_hole(self.overflow(), -1.0),
            "Lower the cold distribution connection" => of_hole(self.hole(0), -1.0),
            "Raise the cold feed connection" => of_hole(self.hole(1), 1.0),
            "Raise the connection" => of_hole(self.hole(1), 1.0),
            "Lower the connection" => of_hole(self.hole(0), -1.0),
            "Raise the water line" => Some((Handle::WaterLine(self.cistern()?), by_mm)),
            "Move the valve nearer to the cistern" => {
                let (handle, _) = self.fitting()?;
                let PartRef::Run(run) = self.layout.part(handle.part())? else { return None };
                let to_cistern = |end: &End| matches!(end, End::Port(id, _) if matches!(self.layout.part(id), Some(PartRef::Cistern(_))));
                Some((handle, if to_cistern(&run.to) { by_mm } else { -by_mm }))
            }
            "Move the cold feed valve above the top of the cylinder: raise it" => self.risen(by_mm),
            "Lower the drain cock" => self.risen(-by_mm),
            "Close to its connection, run the pipe further sideways before the vent rises," => self.aside(by_mm),
            other => {
                assert!(BY_OTHER_HANDS.contains(&other), "say how this is done: {other}");
                None
            }
        }
    }
}

fn layouts_below(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("part of the tree") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            layouts_below(&path, found);
        } else if path.to_string_lossy().ends_with(".loft.ron") {
            found.push(path);
        }
    }
}

/// Everything that is drawn in this tree, and examples put out at random, as they are and as if it had been measured with the coarsest tape.
fn layouts() -> Vec<(String, Layout)> {
    let mut paths = Vec::new();
    for folder in ["examples", "tests/cases"] {
        layouts_below(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut paths);
    }
    paths.sort();
    // Nothing in the tree has too little board on one side and enough on the other.
    let lopsided: Layout = file::parse(LOPSIDED, "lopsided").expect("a layout");
    let read = |path: PathBuf| {
        let layout = file::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        (path.display().to_string(), layout)
    };
    let both = |(name, layout): (String, Layout)| {
        let taped = Layout { survey: Survey::Surveyed(TapeClass::III), ..layout.clone() };
        [(name.clone(), layout), (format!("{name}, surveyed"), taped)]
    };
    let mut seeds = Seeds::from(11);
    let put_out =
        (0..DISTURBED).map(|number| (format!("put out {number}"), disturbed(EXAMPLES[number % 3], &mut seeds)));
    let put_out: Vec<_> = put_out.collect();
    let drawn = paths.into_iter().map(read).chain([("lopsided".to_owned(), lopsided)]);
    drawn.chain(put_out).flat_map(both).collect()
}

fn open(findings: &Findings) -> Vec<(&FindingKey, &Finding)> {
    let is_open =
        |(_, finding): &(&FindingKey, &Finding)| matches!(finding.judged.verdict, Verdict::Breach | Verdict::Marginal);
    findings.keyed().filter(is_open).collect()
}

/// Rules that were met and are broken now.
fn broken_by_it<'f>(before: &'f Findings, after: &'f Findings) -> impl Iterator<Item = &'static str> + 'f {
    let met = before.keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Meets);
    let is_broken = |key: &FindingKey| after.find(key).is_some_and(|finding| finding.judged.verdict == Verdict::Breach);
    met.filter(move |(key, _)| is_broken(key)).map(|(key, _)| key.rule)
}

#[test]
fn what_a_remedy_says_clears_what_it_is_said_for() {
    let mut done: BTreeMap<&str, usize> = BTreeMap::new();
    let mut complaints = Vec::new();
    for (name, layout) in layouts() {
        let site = Site::of(&layout);
        let findings = Findings::of(&site);
        for (key, finding) in open(&findings) {
            let Some(by) = finding.judged.remedy.filter(|by| by.unit == Unit::Millimetre) else { continue };
            let remedies = finding.remedies();
            for lever in finding.rule.levers {
                let (Lever::By(words) | Lever::Into(_, words) | Lever::WhereBy(_, words)) = lever else { continue };
                if !lever.serves(&finding.reading, &finding.judged) {
                    continue;
                }
                let said = lever.words(finding.reading.side.unwrap_or_default(), finding.judged.need, Some(by));
                assert!(remedies.contains(&said), "{name}: {said} is not said");
                let open = Open { layout: &layout, site: Site::of(&layout), finding };
                let Some((handle, by_mm)) = open.by(words, by.value) else { continue };
                if !Handle::all(&layout, &[]).contains(&handle) {
                    continue;
                }
                let Some(edit) = handle.edit(&layout, by_mm) else { continue };
                let Ok(after) = apply(&layout, &edit) else { continue };
                *done.entry(words).or_default() += 1;
                let after = Findings::of(&Site::of(&after));
                let broken =
                    broken_by_it(&findings, &after).filter(|other| !NOT_TOLD_YET.contains(&(key.rule, *other)));
                complaints.extend(broken.map(|other| format!("{name}: {}: {said}: breaks {other}", key.rule)));
                // Where only a part is told no more than that part can be cleared.
                let cleared = match finding.reading.rest() {
                    Some(_) => Verdict::Unknown,
                    None => Verdict::Meets,
                };
                match after.find(key) {
                    Some(finding) if finding.judged.verdict != cleared => complaints.push(format!(
                        "{name}: {}: {said}: {} is still {}",
                        key.rule,
                        finding.have_words(),
                        finding.judged.verdict.words()
                    )),
                    Some(_) => {}
                    None => complaints.push(format!("{name}: {}: {said}: is asked no more", key.rule)),
                }
            }
        }
    }
    assert!(complaints.is_empty(), "{}\n", complaints.join("\n"));
    let numeric = table().iter().flat_map(|rule| rule.levers).filter_map(|lever| match lever {
        Lever::By(words) | Lever::Into(_, words) | Lever::WhereBy(_, words) => Some(*words),
        Lever::Instead(_) | Lever::Do(_) | Lever::Ease(_) | Lever::Else(_) | Lever::Only(..) | Lever::Where(..) => None,
    });
    let all: BTreeSet<&str> = numeric.filter(|words| !BY_OTHER_HANDS.contains(words)).collect();
    let never: Vec<&&str> = all.iter().filter(|words| !done.contains_key(**words)).collect();
    assert!(never.is_empty(), "never carried out: {never:?} of {done:?}");
}
