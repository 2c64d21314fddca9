//! What a quote may speak of: the words by which it is known, what of the take-off it is, and which rules ask for it.

use crate::layout::{Cistern, CisternRole, InLineKind, Layout, Run, Service};
use crate::takeoff::{Item, Line};

/// One thing that a quote may speak of.
pub(super) struct Topic {
    /// What it is.
    pub name: &'static str,
    /// It is named when all stems of one of these stand in a line; those of a stem that is several stand side by side.
    pub named: &'static [&'static [&'static str]],
    /// It is not meant when one of these stands in the line as well.
    pub unless: &'static [&'static str],
    /// The lines of the take-off that it is.
    pub covers: Covers,
    /// The rules that ask for it.
    pub rules: &'static [&'static str],
}

impl Topic {
    /// Whether nothing is amiss where a quote does not name it: fittings go with the pipes, and a boiler stays as it is
    /// (common practice, no source).
    pub fn need_not_be_named(&self) -> bool {
        matches!(self.covers, Covers::Items([Item::Bend, ..] | [Item::Boiler]))
    }
}

/// Which lines of a take-off a topic is.
pub(super) enum Covers {
    /// Those of some items.
    Items(&'static [Item]),
    /// Cisterns of a role.
    CisternsOf(CisternRole),
    /// Tube of runs of a service.
    TubeOf(Service),
    /// None: rules alone ask for it.
    Nothing,
}

impl Covers {
    pub fn holds(&self, layout: &Layout, line: &Line) -> bool {
        match self {
            Self::Items(items) => items.contains(&line.item),
            Self::CisternsOf(role) => {
                let is_it = |cistern: &Cistern| cistern.role == *role && line.parts.contains(&cistern.id);
                line.item == Item::Cistern && layout.cisterns.iter().any(is_it)
            }
            Self::TubeOf(service) => {
                let serves = |run: &Run| run.service == *service && line.parts.contains(&run.id);
                line.item == Item::Tube && layout.runs.iter().any(serves)
            }
            Self::Nothing => false,
        }
    }

    /// What of a line it is, in words: the runs of its service, each for itself, or the line.
    pub fn drawn(&self, layout: &Layout, line: &Line) -> Vec<String> {
        let Self::TubeOf(service) = self else {
            return vec![line.spoken()];
        };
        let runs = layout.runs.iter().filter(|run| run.service == *service && line.parts.contains(&run.id));
        let share = |run: &Run| {
            let begins = format!("{}:", run.id.spoken());
            let working = line.working.iter().find(|working| working.starts_with(&begins));
            format!("{} of {}", working.map_or(begins.as_str(), String::as_str), line.name())
        };
        runs.map(share).collect()
    }
}

/// A kit with the lid, screens and jacket of a cistern goes by the number of the old byelaw (common practice, no source).
const KIT: &[&str] = &["byelaw"];

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "cistern",
        named: &[&["cistern"], &["polytank"], &["tank"], &["cwst"], &["cwsc"]],
        unless: &[
            "lid",
            "jacket",
            "connector",
            "stand",
            "platform",
            "base",
            "insul",
            "screen",
            "kit",
            "hot",
            "wc",
            "bearer",
            "cover",
            "overflow",
            "frame",
            "toilet",
            "oil",
        ],
        covers: Covers::CisternsOf(CisternRole::Storage),
        rules: &["storage-too-small-for-taps", "storage-too-small-for-cylinder", "storage-less-than-cylinder"],
    },
    Topic {
        name: "feed-and-expansion cistern",
        named: &[
            &["feed and expansion tank"],
            &["feed and expansion cistern"],
            &["feed expansion tank"],
            &["feed expansion cistern"],
            &["f and e tank"],
            &["f and e cistern"],
            &["f e tank"],
            &["f e cistern"],
            &["expansion tank"],
            &["expansion cistern"],
            &["heating tank"],
            &["heating cistern"],
            &["header tank", "heating"],
            &["header cistern", "heating"],
            &["header tank", "sealed"],
            &["header cistern", "sealed"],
        ],
        unless: &[],
        covers: Covers::CisternsOf(CisternRole::FeedAndExpansion),
        rules: &["expansion-cistern-too-small", "expansion-room-too-small"],
    },
    Topic {
        name: "cistern lid",
        named: &[&["lid"], &["tank", "cover"], &["cistern", "cover"], KIT],
        unless: &[],
        covers: Covers::Items(&[Item::Lid]),
        rules: &["cistern-lid-not-tight", "feed-and-expansion-without-lid"],
    },
    Topic {
        name: "cistern jacket",
        named: &[&["jacket"], &["insul", "tank"], &["insul", "cistern"], KIT],
        unless: &["cylinder", "pipe"],
        covers: Covers::Items(&[Item::Jacket]),
        rules: &["cistern-without-jacket"],
    },
    Topic {
        name: "screens of lid and warning pipe",
        named: &[&["screen"], &["insect"], &["mesh"], KIT],
        unless: &["shower"],
        covers: Covers::Items(&[Item::LidScreen, Item::PipeScreen]),
        rules: &["lid-vent-unscreened", "warning-pipe-unscreened"],
    },
    Topic {
        name: "float valve",
        named: &[&["float", "valve"], &["ball", "valve", "part"], &["ballvalve"], &["ballcock"], &["ball", "cock"]],
        unless: &[],
        covers: Covers::Items(&[Item::FloatValve]),
        rules: &["float-valve-wrong-pattern"],
    },
    Topic {
        name: "dip tube of the warning pipe",
        named: &[&["dip", "tube"]],
        unless: &[],
        covers: Covers::Items(&[Item::DipTube]),
        rules: &["warning-pipe-dip-tube-too-short"],
    },
    Topic {
        name: "tank connectors",
        named: &[&["tank", "connector"], &["cistern", "connector"]],
        unless: &[],
        covers: Covers::Items(&[Item::TankConnector]),
        rules: &[],
    },
    Topic {
        name: "platform board",
        named: &[
            &["platform"],
            &["plywood"],
            &["ply"],
            &["chipboard"],
            &["osb"],
            &["tank", "stand"],
            &["tank", "base"],
            &["cistern", "base"],
        ],
        unless: &[],
        covers: Covers::Items(&[Item::Board]),
        rules: &[
            "platform-board-too-thin",
            "platform-of-chipboard",
            "platform-not-marine-ply",
            "platform-overhang-too-small",
        ],
    },
    Topic {
        name: "bearers",
        named: &[&["bearer"], &["timber"]],
        unless: &[],
        covers: Covers::Items(&[Item::Bearers]),
        rules: &["too-few-joists", "joists-too-far-apart"],
    },
    Topic {
        name: "frame below the platform",
        named: &[
            &["timber frame"],
            &["wooden frame"],
            &["frame", "tank"],
            &["frame", "cistern"],
            &["frame", "platform"],
            &["framework", "tank"],
            &["framework", "cistern"],
        ],
        unless: &[],
        covers: Covers::Items(&[Item::Frame]),
        rules: &[],
    },
    Topic {
        name: "proof that platform and joists carry the load",
        named: &[&["structural"], &["load", "check"], &["joist", "check"], &["engineer"]],
        unless: &[],
        covers: Covers::Nothing,
        rules: &["platform-overloaded", "frame-not-confirmed"],
    },
    Topic {
        name: "open vent",
        named: &[
            &["open", "vent"],
            &["vent", "pipe"],
            &["vent", "mm"],
            &["vent", "3/4"],
            &["vent", "1/2"],
            &["expansion", "pipe"],
        ],
        unless: &["cylinder"],
        covers: Covers::TubeOf(Service::OpenVent),
        rules: &["vent-too-narrow", "vent-too-low"],
    },
    Topic {
        name: "primary vent",
        named: &[
            &["primary vent"],
            &["primary open vent"],
            &["heating vent"],
            &["heating open vent"],
            &["boiler vent"],
            &["boiler open vent"],
        ],
        unless: &[],
        covers: Covers::TubeOf(Service::PrimaryVent),
        rules: &["primary-vent-too-narrow", "primary-vent-too-low", "gravity-primary-vent-too-low"],
    },
    Topic {
        name: "primary feed",
        named: &[
            &["primary feed"],
            &["primary cold feed"],
            &["heating feed"],
            &["heating cold feed"],
            &["boiler feed"],
            &["boiler cold feed"],
        ],
        unless: &["valve"],
        covers: Covers::TubeOf(Service::PrimaryFeed),
        rules: &["primary-feed-too-narrow"],
    },
    Topic {
        name: "warning pipe",
        named: &[&["warning", "pipe"], &["overflow"]],
        unless: &["screen"],
        covers: Covers::TubeOf(Service::WarningPipe),
        rules: &["warning-pipe-missing", "warning-pipe-too-narrow"],
    },
    Topic {
        name: "cold feed",
        named: &[&["cold", "feed"], &["vent and feed"], &["feed and vent"]],
        unless: &["valve"],
        covers: Covers::TubeOf(Service::ColdFeed),
        rules: &["cold-feed-narrower-than-vent"],
    },
    Topic {
        name: "tube",
        named: &[
            &["copper", "tube"],
            &["copper", "pipe"],
            &["plastic", "pipe"],
            &["pipework"],
            &["tubing"],
            &["mm", "tube"],
            &["m of", "mm copper"],
            &["metre of", "mm copper"],
            &["mtr of", "mm copper"],
        ],
        unless: &["insul", "clip", "lagging"],
        covers: Covers::Items(&[Item::Tube]),
        rules: &[],
    },
    Topic {
        name: "bends, tees and couplings",
        named: &[&["elbow"], &["bend"], &["equal tee"], &["reducing tee"], &["coupling"], &["coupler"]],
        unless: &["tap", "hose", "insul", "lagging"],
        covers: Covers::Items(&[Item::Bend, Item::Tee, Item::Coupling]),
        rules: &[],
    },
    Topic {
        name: "gate or full-bore valves",
        named: &[
            &["gate", "valve"],
            &["gatevalve"],
            &["lever", "valve"],
            &["full", "bore", "valve"],
            &["full", "way", "valve"],
            &["fullbore", "valve"],
            &["fullway", "valve"],
        ],
        unless: &[],
        covers: Covers::Items(&[Item::Valve(InLineKind::GateValve), Item::Valve(InLineKind::LeverValve)]),
        rules: &["cold-feed-without-valve", "cold-distribution-without-valve"],
    },
    Topic {
        name: "servicing valves",
        named: &[&["servic", "valve"], &["isolat", "valve"], &["isolator"]],
        unless: &["gate"],
        covers: Covers::Items(&[Item::Valve(InLineKind::ServiceValve)]),
        rules: &[
            "float-valve-without-service-valve",
            "appliance-without-service-valve",
            "outlet-without-service-valve",
        ],
    },
    Topic {
        name: "stop valve",
        named: &[&["stop", "valve"], &["stopcock"], &["stop", "cock"], &["stopvalve"]],
        unless: &[],
        covers: Covers::Items(&[Item::Valve(InLineKind::StopValve)]),
        rules: &[],
    },
    Topic {
        name: "drain cocks",
        named: &[&["drain", "cock"], &["draincock"], &["drain", "valve"], &["drain", "off"], &["drainoff"]],
        unless: &[],
        covers: Covers::Items(&[Item::Valve(InLineKind::DrainCock)]),
        rules: &["cold-feed-without-drain", "distribution-without-drain"],
    },
    Topic {
        name: "pump",
        named: &[&["pump"]],
        unless: &[],
        covers: Covers::Items(&[Item::Valve(InLineKind::Pump)]),
        rules: &[],
    },
    Topic {
        name: "insulation of pipes",
        named: &[
            &["insul", "pipe"],
            &["insul", "pipework"],
            &["lagging"],
            &["lagged", "pipe"],
            &["lagged", "pipework"],
            &["lag", "pipe"],
            &["pipe", "foam"],
            &["lag"],
        ],
        unless: &["jacket"],
        covers: Covers::Items(&[Item::Lagging]),
        rules: &["cylinder-pipe-uninsulated", "loft-pipe-freezes-too-soon"],
    },
    Topic {
        name: "clips",
        named: &[&["clip"], &["pipe", "bracket"]],
        unless: &[],
        covers: Covers::Items(&[Item::Clip]),
        rules: &["clips-too-far-apart-level", "clips-too-far-apart-upright"],
    },
    Topic {
        name: "cylinder",
        named: &[&["cylinder"], &["hot water tank"]],
        unless: &["jacket", "stat", "thermostat", "valve", "lagging"],
        covers: Covers::Items(&[Item::Cylinder]),
        rules: &["cylinder-head-too-great", "cylinder-loses-too-much"],
    },
    Topic {
        name: "boiler",
        named: &[
            &["new boiler"],
            &["replacement boiler"],
            &["kw boiler"],
            &["gas boiler"],
            &["oil boiler"],
            &["regular boiler"],
            &["system boiler"],
            &["combination boiler"],
            &["combi boiler"],
        ],
        unless: &["vent", "feed", "flue", "stat", "thermostat", "valve", "cupboard", "pipework"],
        covers: Covers::Items(&[Item::Boiler]),
        rules: &[],
    },
    Topic {
        name: "thermostatic mixing valve",
        named: &[&["thermostatic", "mix"], &["blending", "valve"], &["tmv"], &["anti", "scald"]],
        unless: &["shower"],
        covers: Covers::Items(&[Item::MixingValve]),
        rules: &["bath-too-hot"],
    },
    Topic {
        name: "immersion heater",
        named: &[&["immersion"]],
        unless: &[],
        covers: Covers::Items(&[Item::Immersion]),
        rules: &["immersion-without-cut-out"],
    },
];

#[cfg(test)]
mod tests {
    use super::super::words::Words;
    use super::*;
    use crate::rules;

    #[test]
    fn every_rule_that_a_topic_names_is_in_the_table() {
        for id in TOPICS.iter().flat_map(|topic| topic.rules) {
            assert!(rules::rule(id).is_some(), "{id}");
        }
    }

    #[test]
    fn a_line_is_about_what_it_names_and_not_about_what_that_belongs_to() {
        let named = |text: &str| -> Vec<&str> {
            let words = Words::of(text);
            TOPICS.iter().filter(|topic| topic.named_by(&words).is_some()).map(|topic| topic.name).collect()
        };
        assert_eq!(named("Lid for cistern"), ["cistern lid"]);
        assert_eq!(named("113 L cistern with lid"), ["cistern", "cistern lid"]);
        assert_eq!(named("2 no gate valves 22 mm"), ["gate or full-bore valves"]);
        assert_eq!(named("Pipe insulation 25 mm"), ["insulation of pipes"]);
        assert_eq!(named("Supply and fit new 50 gallon polytank"), ["cistern"]);
        assert_eq!(named("Supply and fit tank stand"), ["platform board"]);
        assert_eq!(named("Supply and fit hot water tank"), ["cylinder"]);
        assert_eq!(named("22mm open vent taken over tank"), ["open vent"]);
        assert_eq!(named("Cold feed to cylinder with gate valve"), ["cold feed", "gate or full-bore valves"]);
        assert_eq!(named("22mm copper pipe for open vent"), ["open vent", "tube"]);
        assert_eq!(named("Labour"), Vec::<&str>::new());
        assert_eq!(named("12 no 22 mm elbows"), ["bends, tees and couplings"]);
        assert_eq!(named("Supply and fit new 15 kW boiler"), ["boiler"]);
        assert_eq!(named("Fit 22 mm primaries to new boiler"), Vec::<&str>::new());
        assert_eq!(named("22 mm hot water vent over the cold tank"), ["open vent"]);
    }
}
