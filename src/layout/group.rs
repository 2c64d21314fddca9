//! Several parts at once: moved, aligned, copied and put down again as one.

use foldhash::{HashMap, HashSet};
use glam::{DVec2, dvec2};

use super::{Edit, End, Id, Layout, Part, PartRef, Run, Traces, WhichEnd, apply};
use crate::units::Length;

/// A copied id is shortened to this before a number is put behind it.
const STEM_LETTERS: usize = 50;
/// What is less than this is aligned already, mm.
const ALIGNED_MM: f64 = 1e-6;

/// What is brought to one level or into one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Their bases.
    Bases,
    /// Their tops.
    Tops,
    /// The middles of their heights.
    Heights,
    /// Their left sides.
    LeftSides,
    /// Their right sides.
    RightSides,
    /// The middles between their sides.
    Middles,
}

impl Align {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 6] =
        [Self::Bases, Self::Tops, Self::Heights, Self::LeftSides, Self::RightSides, Self::Middles];

    fn place(self, (low, high): (DVec2, DVec2)) -> f64 {
        match self {
            Self::Bases => low.y,
            Self::Tops => high.y,
            Self::Heights => low.midpoint(high).y,
            Self::LeftSides => low.x,
            Self::RightSides => high.x,
            Self::Middles => low.midpoint(high).x,
        }
    }

    const fn way(self) -> DVec2 {
        match self {
            Self::Bases | Self::Tops | Self::Heights => DVec2::Y,
            Self::LeftSides | Self::RightSides | Self::Middles => DVec2::X,
        }
    }
}

/// What putting down copied parts comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Pasted {
    /// The change.
    pub edit: Edit,
    /// The ids that the copies get.
    pub ids: Vec<Id>,
}

impl Layout {
    /// Parts with whatever stands on them, each once.
    #[must_use]
    pub fn with_all_that_stands_on(&self, ids: &[Id]) -> Vec<Id> {
        let mut seen = HashSet::default();
        let all = ids.iter().flat_map(|id| self.with_what_stands_on(id));
        all.filter(|id| seen.insert(id.clone())).collect()
    }

    /// The change that moves parts together, with whatever stands on them.
    #[must_use]
    pub fn moved_together(&self, ids: &[Id], by: DVec2) -> Edit {
        Edit::Shift { parts: self.with_all_that_stands_on(ids), right: Length::mm(by.x), up: Length::mm(by.y) }
    }

    /// The changes that take parts away.
    #[must_use]
    pub fn removed_together(&self, ids: &[Id]) -> Vec<Edit> {
        ids.iter().cloned().map(Edit::Remove).collect()
    }

    /// The changes that align parts with the first of them. Pipes are left out: they follow what they join.
    #[must_use]
    pub fn aligned(&self, ids: &[Id], how: Align) -> Vec<Edit> {
        let mut now = self.clone();
        let mut edits = Vec::new();
        let Some(wanted) = ids.first().and_then(|first| self.extent(first)).map(|extent| how.place(extent)) else {
            return edits;
        };
        let is_run = |id: &Id| matches!(self.part(id), Some(PartRef::Run(_)));
        for id in ids.iter().skip(1).filter(|id| !is_run(id)) {
            let Some(extent) = now.extent(id) else { continue };
            let by = how.way() * (wanted - how.place(extent));
            if by.abs().max_element() < ALIGNED_MM {
                continue;
            }
            let edit = now.moved_together(std::slice::from_ref(id), by);
            if let Ok(moved) = apply(&now, &edit) {
                now = moved;
            }
            // One that cannot be made is refused as a whole, and says why.
            edits.push(edit);
        }
        edits
    }

    /// Some parts by themselves. Pipes between them keep their joints; what was joined to others ends in the open.
    #[must_use]
    pub fn copied(&self, ids: &[Id]) -> Self {
        let wanted: HashSet<&Id> = ids.iter().collect();
        let traces = Traces::of(self);
        let mut copy = Self::default();
        for part in self.parts().filter(|part| wanted.contains(part.id())) {
            match part.to_part() {
                Part::Platform(part) => copy.platforms.push(part),
                Part::Cistern(part) => copy.cisterns.push(part),
                Part::Cylinder(part) => copy.cylinders.push(part),
                Part::Boiler(part) => copy.boilers.push(part),
                Part::Outlet(part) => copy.outlets.push(part),
                Part::Note(part) => copy.notes.push(part),
                Part::Run(mut run) => {
                    open_ends(&mut run, &traces, |part| !wanted.contains(part));
                    copy.runs.push(run);
                }
            }
        }
        copy
    }

    /// The change that puts copied parts down, so far from where they were taken, under ids that are free.
    #[must_use]
    pub fn pasted(&self, copy: &Self, by: DVec2) -> Pasted {
        let mut taken: HashSet<String> = self.parts().map(|part| part.id().as_str().to_owned()).collect();
        let mut names: HashMap<Id, Id> = HashMap::default();
        for part in copy.parts() {
            let id = free_name(part.id(), &taken);
            taken.insert(id.as_str().to_owned());
            names.insert(part.id().clone(), id);
        }
        let named = |id: &Id| names.get(id).cloned().unwrap_or_else(|| id.clone());
        let parts: Vec<Part> = copy.parts().map(|part| renamed_and_moved(part.to_part(), &named, by)).collect();
        Pasted { ids: parts.iter().map(|part| part.id().clone()).collect(), edit: Edit::Arrange(parts) }
    }

    /// Where copies of parts stand clear of what they were copied from: to the right of them, mm.
    #[must_use]
    pub fn clear_of(&self, ids: &[Id]) -> DVec2 {
        const CLEAR_MM: f64 = 300.0;
        let wide = self.extent_of_all(ids).map_or(0.0, |(low, high)| high.x - low.x);
        dvec2(((wide + CLEAR_MM) / 50.0).ceil() * 50.0, 0.0)
    }
}

/// The name without its number, and the first number behind it that is free.
fn free_name(id: &Id, taken: &HashSet<String>) -> Id {
    if !taken.contains(id.as_str()) {
        return id.clone();
    }
    let word = id.as_str();
    let stem = match word.rsplit_once('-') {
        Some((stem, number)) if !stem.is_empty() && number.chars().all(|c| c.is_ascii_digit()) => stem,
        _ => word,
    };
    let stem = &stem[..stem.len().min(STEM_LETTERS)];
    let numbered = (2_u32..).map(|number| format!("{stem}-{number}"));
    Id::of(&numbered.into_iter().find(|name| !taken.contains(name)).unwrap_or_default())
}

fn renamed_and_moved(mut part: Part, named: &impl Fn(&Id) -> Id, by: DVec2) -> Part {
    if let Some(at) = part.at_mut() {
        *at = at.moved(by);
    }
    *part.id_mut() = named(part.id());
    match &mut part {
        Part::Note(note) => note.points_at = note.points_at.map(|point| point.moved(by)),
        Part::Run(run) => {
            run.via.iter_mut().for_each(|bend| *bend = bend.moved(by));
            for which in WhichEnd::BOTH {
                match run.end_mut(which) {
                    End::Open(point) | End::Onward(point) => *point = point.moved(by),
                    End::Port(on, _) | End::Tee(on, _) => *on = named(on),
                }
            }
        }
        _ => {}
    }
    part
}

/// Lets the ends of a run that were joined to what is lost end in the open where they are drawn.
fn open_ends(run: &mut Run, traces: &Traces, is_lost: impl Fn(&Id) -> bool) {
    for which in WhichEnd::BOTH {
        let (End::Port(on, _) | End::Tee(on, _)) = run.end(which) else { continue };
        if is_lost(on) {
            let place = traces.number(&run.id).and_then(|number| traces.end_point(number, which));
            *run.end_mut(which) = End::Open(place.unwrap_or_default().into());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_counts_on_from_the_number_that_it_has() {
        let taken: HashSet<String> = HashSet::from_iter(["bath", "bath-2"].map(str::to_owned));
        assert_eq!(free_name(&Id::of("bath-2"), &taken).as_str(), "bath-3");
        assert_eq!(free_name(&Id::of("basin"), &taken).as_str(), "basin");
        let long = "a".repeat(60);
        assert_eq!(free_name(&Id::of(&long), &HashSet::from_iter([long.clone()])).as_str().len(), 52);
    }
}
