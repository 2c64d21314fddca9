//! `start`: a sound layout from a few answers, or what is in the way and which answer to change.

use std::path::{Path, PathBuf};

use clap::{Arg, ArgAction, ArgMatches, value_parser};
use serde::Serialize;

use super::page::{Page, harmless, paragraph};
use super::{Command, EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, arguments, profile};
use crate::file;
use crate::finding::{Counts, Findings};
use crate::layout::{Layout, OutletKind, SupportKind};
use crate::measure::Site;
use crate::outset::{Answers, BEGINNINGS, Beginning, CisternFor, Draw, Heating, Refusal, Winter, set_out};
use crate::rules::Profile;
use crate::spelling::did_you_mean;
use crate::units::{Entry, Length, Mass, Pressure, Size};

pub(super) const COMMAND: Command = Command {
    name: "start",
    about: "Sets out a whole layout from a few answers, or says what cannot fit and which answer to change",
    arguments,
    run,
};

/// An answer that can be given on the command line.
struct Flag {
    name: &'static str,
    value: &'static str,
    help: &'static str,
    take: fn(&mut Answers, &str) -> Result<(), String>,
}

/// Every answer, in the order in which help lists them.
const FLAGS: &[Flag] = &[
    Flag { name: "bedrooms", value: "NUMBER", help: "Bedrooms", take: |a, text| number(text, &mut a.bedrooms) },
    Flag {
        name: "storeys",
        value: "NUMBER",
        help: "Storeys below the loft, 1 to 3",
        take: |a, text| number(text, &mut a.storeys),
    },
    Flag {
        name: "outlets",
        value: "KIND:STOREY,...",
        help: "Where water is drawn, such as bath:1,basin:1,wc:1,sink:0; storey 0 is the ground floor",
        take: |a, text| outlets(text).map(|outlets| a.outlets = outlets),
    },
    Flag {
        name: "cold",
        value: "cistern|main",
        help: "What feeds the cold taps other than the kitchen's",
        take: |a, text| {
            let all = [("cistern", CisternFor::ColdTaps), ("main", CisternFor::CylinderOnly)];
            one_of(text, &all).map(|chosen| a.cold_taps = chosen)
        },
    },
    Flag {
        name: "ridge",
        value: "LENGTH",
        help: "Top of the joists to the underside of the ridge",
        take: |a, text| size(text).map(|size| a.loft.ridge = size),
    },
    Flag {
        name: "eaves",
        value: "LENGTH",
        help: "Top of the joists to the underside of the rafters over the wall",
        take: |a, text| {
            let mm = Entry::Length.parse(text).map_err(|error| error.to_string())?;
            a.loft.eaves = Length::try_mm(mm).map_err(|error| error.to_string())?;
            Ok(())
        },
    },
    Flag {
        name: "width",
        value: "LENGTH",
        help: "The house across the ridge, from outside to outside",
        take: |a, text| size(text).map(|size| a.loft.width = size),
    },
    Flag {
        name: "hatch",
        value: "LENGTHxLENGTH",
        help: "Clear opening of the loft hatch, such as 750x600",
        take: |a, text| pair(text).map(|pair| (a.loft.hatch_length, a.loft.hatch_width) = pair),
    },
    Flag {
        name: "joists",
        value: "LENGTHxLENGTH",
        help: "Thickness and depth of a joist, such as 47x147",
        take: |a, text| pair(text).map(|pair| (a.joists.breadth, a.joists.depth) = pair),
    },
    Flag {
        name: "spacing",
        value: "LENGTH",
        help: "Joists, middle to middle",
        take: |a, text| size(text).map(|size| a.joists.spacing = size),
    },
    Flag {
        name: "span",
        value: "LENGTH",
        help: "Joists, from support to support",
        take: |a, text| size(text).map(|size| a.joists.span = size),
    },
    Flag {
        name: "timber",
        value: "joists|trusses",
        help: "Solid joists or trussed rafters",
        take: |a, text| {
            let all = [("joists", SupportKind::Joist), ("trusses", SupportKind::TrussedRafter)];
            one_of(text, &all).map(|chosen| a.joists.kind = chosen)
        },
    },
    Flag {
        name: "confirmed-load",
        value: "MASS",
        help: "What a competent person has confirmed that the loft carries, such as 400 kg",
        take: |a, text| {
            let kg = Entry::Mass.parse(text).map_err(|error| error.to_string())?;
            a.joists.confirmed_load = Some(Mass::try_kg(kg).map_err(|error| error.to_string())?);
            Ok(())
        },
    },
    Flag {
        name: "cylinder",
        value: "REFERENCE|choose",
        help: "Size of the cylinder by its reference, or chosen by the bedrooms",
        take: |a, text| {
            a.cylinder.size = (text != "choose").then(|| text.to_owned());
            Ok(())
        },
    },
    Flag {
        name: "heated",
        value: "indirect|direct",
        help: "By a boiler through a coil, or by immersion heaters",
        take: |a, text| {
            let all = [("indirect", Heating::Indirect), ("direct", Heating::Direct)];
            one_of(text, &all).map(|chosen| a.cylinder.heated = chosen)
        },
    },
    Flag {
        name: "cylinder-on",
        value: "STOREY",
        help: "The storey on which the cylinder stands",
        take: |a, text| number(text, &mut a.cylinder.storey),
    },
    Flag {
        name: "winter",
        value: "throughout|by-day|kept-from-frost",
        help: "How the house is heated in winter; kept from frost alone, pipes in the loft freeze unless they are drained down",
        take: |a, text| {
            let all = [
                ("throughout", Winter::Throughout),
                ("by-day", Winter::ByDay),
                ("kept-from-frost", Winter::KeptFromFrost),
            ];
            one_of(text, &all).map(|chosen| a.winter = chosen)
        },
    },
    Flag {
        name: "main",
        value: "PRESSURE",
        help: "Pressure of the main where it comes in, such as 300 kPa",
        take: |a, text| {
            let kpa = Entry::Pressure.parse(text).map_err(|error| error.to_string())?;
            a.mains_pressure = Pressure::try_kpa(kpa).map_err(|error| error.to_string())?;
            Ok(())
        },
    },
];

fn number(text: &str, into: &mut u32) -> Result<(), String> {
    *into = text.trim().parse().map_err(|_| format!("'{}' is no whole number", harmless(text)))?;
    Ok(())
}

fn size(text: &str) -> Result<Size, String> {
    let mm = Entry::Length.parse(text).map_err(|error| error.to_string())?;
    Size::try_mm(mm).map_err(|error| error.to_string())
}

fn pair(text: &str) -> Result<(Size, Size), String> {
    let (first, second) = text
        .split_once(['x', '×'])
        .ok_or_else(|| format!("'{}' should be two lengths with an x between, such as 750x600", harmless(text)))?;
    Ok((size(first.trim())?, size(second.trim())?))
}

fn one_of<T: Copy>(text: &str, all: &[(&'static str, T)]) -> Result<T, String> {
    let found = all.iter().find(|(name, _)| *name == text).map(|(_, value)| *value);
    found.ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|(name, _)| *name).collect();
        format!("'{}' should be {}", harmless(text), names.join(" or "))
    })
}

fn outlets(text: &str) -> Result<Vec<Draw>, String> {
    let kinds: Vec<(String, OutletKind)> =
        Answers::KINDS.iter().map(|kind| (kind.words().to_lowercase(), *kind)).collect();
    let one = |part: &str| {
        let (kind, storey) = part.trim().split_once(':').unwrap_or((part.trim(), "0"));
        let word = kind.to_lowercase();
        let found = kinds.iter().find(|(name, _)| *name == word).map(|(_, kind)| *kind);
        let kind = found.ok_or_else(|| {
            let names: Vec<&str> = kinds.iter().map(|(name, _)| name.as_str()).collect();
            let question = did_you_mean(&word, names.iter().copied());
            let hint = question.map_or(String::new(), |question| format!("; {question}"));
            format!("'{}' is none of {}{hint}", harmless(kind), names.join(", "))
        })?;
        let mut on = 0;
        number(storey, &mut on)?;
        Ok(Draw { kind, storey: on })
    };
    text.split(',').map(one).collect()
}

fn arguments() -> Vec<Arg> {
    let words: Vec<String> = BEGINNINGS.iter().map(Beginning::word).collect();
    let mut arguments = vec![
        Arg::new("ANSWERS")
            .value_parser(value_parser!(PathBuf))
            .help("A file of answers, as --show-answers prints them; usual answers where it is left out"),
        Arg::new("like")
            .long("like")
            .value_name("HOUSE")
            .conflicts_with("ANSWERS")
            .help(format!("Begins from the answers of a usual house: {}", words.join(", "))),
    ];
    arguments
        .extend(FLAGS.iter().map(|flag| Arg::new(flag.name).long(flag.name).value_name(flag.value).help(flag.help)));
    arguments.extend([
        Arg::new("out")
            .long("out")
            .value_name("FILE")
            .value_parser(value_parser!(PathBuf))
            .help("Writes the layout; without it the layout is printed"),
        Arg::new("show-answers")
            .long("show-answers")
            .action(ArgAction::SetTrue)
            .help("Prints the answers as they were understood, and sets nothing out"),
        profile::argument(),
        arguments::json(),
    ]);
    arguments
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let answers = match answers(matches) {
        Ok(answers) => answers,
        Err(complaint) => return page.unusable(&complaint),
    };
    if matches.get_flag("show-answers") {
        page.print(&answers.text());
        return EXIT_SOUND;
    }
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let profile = match asked {
        profile::Asked::By(profile) => *profile,
        profile::Asked::ByLayout => Profile::usual().clone(),
    };
    match set_out(&answers, &profile) {
        Ok(layout) => hand_over(matches, &layout, &profile, page),
        Err(refusal) => refused(matches, &refusal, page),
    }
}

fn answers(matches: &ArgMatches) -> Result<Answers, String> {
    let mut answers = match (matches.get_one::<PathBuf>("ANSWERS"), matches.get_one::<String>("like")) {
        (Some(path), _) => read(path).map_err(|reason| format!("{}: {reason}", path.display()))?,
        (None, Some(word)) => {
            let beginning = Beginning::named(word).ok_or_else(|| {
                let words: Vec<String> = BEGINNINGS.iter().map(Beginning::word).collect();
                format!("there is no house '{}' to begin from; there are {}", harmless(word), words.join(", "))
            })?;
            (beginning.answers)()
        }
        (None, None) => Answers::default(),
    };
    for flag in FLAGS {
        if let Some(text) = matches.get_one::<String>(flag.name) {
            (flag.take)(&mut answers, text).map_err(|reason| format!("--{}: {reason}", flag.name))?;
        }
    }
    Ok(answers)
}

fn read(path: &Path) -> Result<Answers, String> {
    if !path.exists() {
        return Err("there is no such file of answers".to_owned());
    }
    let text = file::short_text(path).map_err(|reason| format!("the answers: {reason}"))?;
    Answers::parse(&text)
}

#[derive(Serialize)]
struct StartReport<'a> {
    sound: bool,
    title: &'a str,
    counts: Option<Counts>,
    reasons: Vec<ReasonReport<'a>>,
}

#[derive(Serialize)]
struct ReasonReport<'a> {
    words: &'a str,
    ways_out: Vec<&'a str>,
}

fn json(report: &StartReport<'_>) -> String {
    serde_json::to_string(report).expect("a report holds numbers, words and lists only") + "\n"
}

fn hand_over(matches: &ArgMatches, layout: &Layout, profile: &Profile, page: &mut Page<'_>) -> u8 {
    let findings = Findings::under(&Site::of(layout), profile);
    let out = matches.get_one::<PathBuf>("out");
    if let Some(out) = out
        && let Err(error) = file::save(out, layout)
    {
        return page.unusable(&error.to_string());
    }
    let title = &layout.heading.title;
    if matches.get_flag("json") {
        page.print(&json(&StartReport { sound: true, title, counts: Some(findings.counts()), reasons: Vec::new() }));
    } else if out.is_some() {
        page.print(&paragraph("", title));
        page.print(&format!("{}\n", findings.counts().words()));
    } else {
        page.print(&file::write_text(layout));
    }
    if findings.breaks_a_must() { EXIT_BREACH } else { EXIT_SOUND }
}

/// Answers that make no sense are unusable; a house in which nothing fits is a breach.
fn refused(matches: &ArgMatches, refusal: &Refusal, page: &mut Page<'_>) -> u8 {
    if matches.get_flag("json") {
        let reasons = refusal.reasons.iter().map(|reason| ReasonReport {
            words: &reason.words,
            ways_out: reason.ways_out.iter().map(|way| way.words.as_str()).collect(),
        });
        page.print(&json(&StartReport { sound: false, title: "", counts: None, reasons: reasons.collect() }));
    } else {
        page.complain("No layout can be set out from these answers.\n");
        for line in refusal.lines() {
            page.complain(&paragraph("  ", &line));
        }
    }
    if refusal.reasons.iter().all(|reason| reason.obstacle.is_none()) { EXIT_UNUSABLE } else { EXIT_BREACH }
}
