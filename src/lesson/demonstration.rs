//! Demonstrations: scripted scenes in RON that a tutor steps through. `assets/demonstrations/README.md` tells the format.

use serde::Deserialize;
use thiserror::Error;

use crate::file::{ReadError, parse_ron};
use crate::geom::Point;
use crate::heat::heat_up;
use crate::layout::{Edit, EditError, End, Id, Layout, Part, PartRef, apply};
use crate::measure::Site;
use crate::rules::{Rule, rule};
use crate::sum::{Given, Reckoned, Sum, SumError, sum};
use crate::units::{Length, Size};
use crate::water::circuit::{Circuit, Open, TapName};
use crate::water::trial::{Played, mains_off, valve_stuck};

/// The format that this program reads.
const FORMAT: u32 = 1;

/// A script.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Demonstration {
    /// Version of the format.
    pub format: u32,
    /// What is shown.
    pub title: String,
    /// For the tutor: for whom, how long, what to prepare.
    #[serde(default)]
    pub about: String,
    /// On which layout.
    pub layout: Ground,
    /// The scenes, in order.
    pub scenes: Vec<Scene>,
}

/// The layout that a demonstration is shown on.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub enum Ground {
    /// One of the examples that ship with the program, by its file's name without the ending.
    Example(String),
    /// A file beside the script.
    File(String),
}

/// A scene.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scene {
    /// Its heading.
    pub heading: String,
    /// What is said.
    pub words: String,
    /// What differs from the layout in this scene.
    #[serde(default)]
    pub change: Vec<Change>,
    /// What is played.
    #[serde(default)]
    pub play: Option<Play>,
    /// Taps that are open while the main is off; all of them when none is named.
    #[serde(default)]
    pub open: Vec<String>,
    /// Rules whose findings are marked.
    #[serde(default)]
    pub look: Vec<String>,
    /// A sum that is shown with its working.
    #[serde(default)]
    pub sum: Option<Asked>,
}

/// A trial that is played.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub enum Play {
    /// The main is off and taps are open.
    MainOff,
    /// The float valve of a cistern sticks open.
    ValveStuck(Id),
    /// A cylinder heats up from cold.
    HeatUp(Id),
}

/// A sum and its inputs.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Its name.
    pub name: String,
    /// What is given.
    #[serde(default)]
    pub given: Vec<(String, f64)>,
}

/// Something that differs in a scene. Lengths are mm.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub enum Change {
    /// Moves a part with what stands on it, to the right and up.
    Move(Id, Length, Length),
    /// Takes a part away.
    Remove(Id),
    /// Moves a connection of a cistern up.
    ConnectionUp(Id, String, Length),
    /// Puts the water line of a cistern so far above its base.
    WaterLine(Id, Length),
    /// Gives a float valve a seat of another bore.
    Seat(Id, Size),
    /// Gives a run another tube size.
    Tube(Id, Size),
    /// Takes a run off the one that it begins on at another distance along it.
    TakenOffAt(Id, Length),
    /// Gives a run other bends.
    Way(Id, Vec<Point>),
    /// Puts the open end of a run elsewhere.
    OpenEnd(Id, Point),
}

/// Why a script cannot be shown. The message names the place, and what to do.
#[derive(Debug, Error)]
pub enum ScriptError {
    /// It cannot be read.
    #[error(transparent)]
    Unreadable(#[from] ReadError),
    /// A newer format.
    #[error("{file}: this is format {found} of demonstrations, and this program reads format {FORMAT}")]
    Format {
        /// The script.
        file: String,
        /// What it states.
        found: u32,
    },
    /// Something in a scene is not there.
    #[error("{file}, scene {scene}: {reason}")]
    Scene {
        /// The script.
        file: String,
        /// Which scene, counted from one.
        scene: usize,
        /// What is wrong, and what to do.
        reason: String,
    },
    /// There is no scene.
    #[error("{0}: there is no scene in it; write at least one")]
    Empty(String),
}

/// How a script is written.
pub const HOW_TO_WRITE: &str = include_str!("../../assets/demonstrations/README.md");

/// Scripts that ship with the program: name and text.
pub const SHIPPED: [(&str, &str); 4] = [
    ("hot_runs_out_first", include_str!("../../assets/demonstrations/hot_runs_out_first.ron")),
    ("offset_vent", include_str!("../../assets/demonstrations/offset_vent.ron")),
    ("stuck_float_valve", include_str!("../../assets/demonstrations/stuck_float_valve.ron")),
    ("filled_to_the_rim", include_str!("../../assets/demonstrations/filled_to_the_rim.ron")),
];

/// Layouts that scripts may name: the examples of the program.
const EXAMPLES: [(&str, &str); 6] = [
    ("sound_indirect", include_str!("../../examples/sound_indirect.loft.ron")),
    ("sound_direct", include_str!("../../examples/sound_direct.loft.ron")),
    ("low_loft", include_str!("../../examples/low_loft.loft.ron")),
    ("feed_and_expansion", include_str!("../../examples/feed_and_expansion.loft.ron")),
    ("level_connections", include_str!("../../examples/level_connections.loft.ron")),
    ("half_described", include_str!("../../examples/half_described.loft.ron")),
];

impl Demonstration {
    /// Reads a script; `name` stands for the file in messages.
    ///
    /// # Errors
    /// [`ScriptError`] with line and column, or with the scene.
    pub fn parse(text: &str, name: &str) -> Result<Self, ScriptError> {
        let script: Self = parse_ron(text, name)?;
        if script.format != FORMAT {
            return Err(ScriptError::Format { file: name.to_owned(), found: script.format });
        }
        if script.scenes.is_empty() {
            return Err(ScriptError::Empty(name.to_owned()));
        }
        Ok(script)
    }

    /// The layout that is named, where it ships with the program.
    ///
    /// # Errors
    /// What there is instead.
    pub fn example(name: &str) -> Result<Layout, String> {
        let found = EXAMPLES.iter().find(|(known, _)| *known == name).ok_or_else(|| {
            let known: Vec<&str> = EXAMPLES.iter().map(|(known, _)| *known).collect();
            format!("there is no example '{name}'; the examples are {}", known.join(", "))
        })?;
        crate::file::parse(found.1, name).map_err(|error| error.to_string())
    }

    /// Looks whether every scene can be shown on a layout.
    ///
    /// # Errors
    /// [`ScriptError::Scene`] for the first that cannot.
    pub fn check(&self, layout: &Layout, name: &str) -> Result<(), ScriptError> {
        for (number, scene) in self.scenes.iter().enumerate() {
            let at = |reason: String| ScriptError::Scene { file: name.to_owned(), scene: number + 1, reason };
            let shown = scene.layout(layout).map_err(at)?;
            scene.rules().map_err(at)?;
            scene.reckoned().map_err(at)?;
            scene.played(&shown).map_err(at)?;
        }
        Ok(())
    }
}

impl Scene {
    /// The layout as this scene has it.
    ///
    /// # Errors
    /// What cannot be changed, and why.
    pub fn layout(&self, ground: &Layout) -> Result<Layout, String> {
        self.change.iter().try_fold(ground.clone(), |layout, change| {
            let edit = change.edit(&layout)?;
            apply(&layout, &edit).map_err(|error: EditError| error.to_string())
        })
    }

    /// The rules that it looks at.
    ///
    /// # Errors
    /// The one that there is not.
    pub fn rules(&self) -> Result<Vec<&'static Rule>, String> {
        let found = |id: &String| rule(id).ok_or_else(|| format!("there is no rule '{id}'"));
        self.look.iter().map(found).collect()
    }

    /// The sum that it shows.
    ///
    /// # Errors
    /// Why there is none.
    pub fn reckoned(&self) -> Result<Option<(&'static Sum, Reckoned)>, String> {
        let Some(asked) = &self.sum else { return Ok(None) };
        let sum = sum(&asked.name).ok_or_else(|| format!("there is no sum '{}'", asked.name))?;
        let given: Vec<(&str, f64)> = asked.given.iter().map(|(name, value)| (name.as_str(), *value)).collect();
        let reckoned = Given::of(sum, &given).and_then(|given| (sum.reckon)(&given));
        reckoned.map(|reckoned| Some((sum, reckoned))).map_err(|error: SumError| error.to_string())
    }

    /// The trial that it plays, on the layout as it has it.
    ///
    /// # Errors
    /// What to find out, or what is not there.
    pub fn played(&self, layout: &Layout) -> Result<Option<Played>, String> {
        let Some(play) = &self.play else { return Ok(None) };
        let site = Site::of(layout);
        let circuit = Circuit::of(&site);
        let played = match play {
            Play::MainOff => mains_off(&circuit, self.open_taps(&circuit)?),
            Play::ValveStuck(id) => {
                let cistern = circuit.cisterns().find(|cistern| cistern.id == *id);
                valve_stuck(&site, cistern.ok_or_else(|| format!("there is no cistern '{id}' with pipes on it"))?)
            }
            Play::HeatUp(id) => {
                let cylinder = circuit.cylinders().find(|cylinder| cylinder.id == *id);
                heat_up(&circuit, cylinder.ok_or_else(|| format!("there is no cylinder '{id}' with pipes on it"))?)
            }
        };
        played.map(Some)
    }

    /// The numbers of the taps that are open; all of them when none is named.
    ///
    /// # Errors
    /// The tap that there is not.
    pub fn open_numbers(&self, circuit: &Circuit<'_>) -> Result<Option<Vec<usize>>, String> {
        if self.open.is_empty() {
            return Ok(None);
        }
        let mut numbers = Vec::new();
        for text in &self.open {
            let name: TapName = text.parse().map_err(|error| format!("{error}"))?;
            let named: Vec<usize> =
                (circuit.taps().iter().enumerate()).filter(|(_, tap)| name.names(tap)).map(|(n, _)| n).collect();
            if named.is_empty() {
                return Err(format!("there is no tap '{text}'; write for example \"bath\" or \"bath hot\""));
            }
            numbers.extend(named);
        }
        numbers.sort_unstable();
        numbers.dedup();
        Ok(Some(numbers))
    }

    fn open_taps(&self, circuit: &Circuit<'_>) -> Result<Open, String> {
        Ok(self.open_numbers(circuit)?.map_or(Open::Everything, Open::Numbered))
    }
}

impl Change {
    /// The part that it is about.
    #[must_use]
    pub const fn about(&self) -> &Id {
        match self {
            Self::Move(id, ..)
            | Self::Remove(id)
            | Self::ConnectionUp(id, ..)
            | Self::WaterLine(id, _)
            | Self::Seat(id, _)
            | Self::Tube(id, _)
            | Self::TakenOffAt(id, _)
            | Self::Way(id, _)
            | Self::OpenEnd(id, _) => id,
        }
    }

    fn edit(&self, layout: &Layout) -> Result<Edit, String> {
        let run = |id: &Id| match layout.part(id) {
            Some(PartRef::Run(run)) => Ok(run.clone()),
            _ => Err(format!("there is no run '{id}'")),
        };
        let cistern = |id: &Id| match layout.part(id) {
            Some(PartRef::Cistern(cistern)) => Ok(cistern.clone()),
            _ => Err(format!("there is no cistern '{id}'")),
        };
        let put = |part: Part| Ok(Edit::put(part));
        match self {
            Self::Move(id, right, up) => {
                Ok(Edit::Shift { parts: layout.with_what_stands_on(id), right: *right, up: *up })
            }
            Self::Remove(id) => Ok(Edit::Remove(id.clone())),
            Self::ConnectionUp(id, port, up) => {
                let by = glam::dvec2(0.0, up.to_mm());
                let moved = cistern(id)?.with_port_moved(port, by);
                put(Part::Cistern(moved.ok_or_else(|| format!("the cistern '{id}' has no connection '{port}'"))?))
            }
            Self::WaterLine(id, height) => {
                let mut cistern = cistern(id)?;
                cistern.water_line = Some(*height);
                put(Part::Cistern(cistern))
            }
            Self::Seat(id, bore) => {
                let mut cistern = cistern(id)?;
                let valve = cistern.float_valve.as_mut();
                valve.ok_or_else(|| format!("the cistern '{id}' has no float valve"))?.seat = Some(*bore);
                put(Part::Cistern(cistern))
            }
            Self::Tube(id, size) => {
                let mut run = run(id)?;
                run.size = Some(*size);
                put(Part::Run(run))
            }
            Self::TakenOffAt(id, at) => {
                let mut run = run(id)?;
                let End::Tee(_, place) = &mut run.from else {
                    return Err(format!("the run '{id}' does not begin on another run"));
                };
                *place = *at;
                put(Part::Run(run))
            }
            Self::Way(id, bends) => {
                let mut run = run(id)?;
                run.via.clone_from(bends);
                put(Part::Run(run))
            }
            Self::OpenEnd(id, point) => {
                let mut run = run(id)?;
                let End::Open(end) = &mut run.to else {
                    return Err(format!("the run '{id}' does not end in the open"));
                };
                *end = *point;
                put(Part::Run(run))
            }
        }
    }
}
