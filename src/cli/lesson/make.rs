//! `lesson make`: for each learner a worksheet, an answer sheet and the layout; for all of them a key and a form.

use clap::ArgMatches;

use super::{folder, needed, write};
use crate::cli::page::Page;
use crate::cli::{EXIT_SOUND, EXIT_UNUSABLE, profile, read};
use crate::file::{self, ENDING};
use crate::lesson::{Learner, Of, Repertoire, Wish, class_of};
use crate::rules::{Voice, Weight, rule};
use crate::sheet::{ClassPapers, FORM_FILE, KEY_FILE, Paper, file_stem};

pub(super) fn run(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let path = needed(matches, "FILE", "name the sound layout that faults are planted in: lesson make FILE --out DIR")?;
    let out = needed(matches, "out", "name the folder for the sheets: --out DIR")?;
    let of = asked_of(Of::default(), matches)?;
    let learners = learners(matches)?;
    let Some(asked) = profile::asked(matches, page) else { return Ok(EXIT_UNUSABLE) };
    let Some(layout) = read(path, page) else { return Ok(EXIT_UNUSABLE) };
    let Some(profile) = asked.of(path, &layout, page) else { return Ok(EXIT_UNUSABLE) };
    let papers =
        ClassPapers { layout: &layout, profile: &profile, of: &of, wish: wish(&of, matches), paper: paper(matches) };
    let key = papers.make(&learners, |name, bytes| {
        folder(out)?;
        write(&out.join(name), bytes)
    })?;
    for exercise in &key.exercises {
        let name = file_stem(exercise);
        let faults = match exercise.faults.len() {
            1 => "1 fault".to_owned(),
            count => format!("{count} faults"),
        };
        page.print(&format!("{name}-worksheet.pdf, {name}-answers.pdf, {name}{ENDING}: {faults}\n"));
    }
    page.print(&format!("{KEY_FILE}: the key to all of them; {FORM_FILE}: the form to fill in and to mark\n"));
    Ok(EXIT_SOUND)
}

/// Prints the rules of which faults can be planted in a layout, each with its title.
pub(super) fn list(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let path = needed(matches, "FILE", "name the sound layout that faults are to be planted in: lesson faults FILE")?;
    let of = asked_of(Of::whole_table(), matches)?;
    let Some(asked) = profile::asked(matches, page) else { return Ok(EXIT_UNUSABLE) };
    let Some(layout) = read(path, page) else { return Ok(EXIT_UNUSABLE) };
    let Some(profile) = asked.of(path, &layout, page) else { return Ok(EXIT_UNUSABLE) };
    let repertoire = Repertoire::of(&layout, &profile, &of).map_err(|error| error.to_string())?;
    for id in repertoire.in_order() {
        let title = rule(id).map_or("", |rule| rule.prose.title(Voice::Trade));
        page.print(&format!("{id}: {title}\n"));
    }
    Ok(EXIT_SOUND)
}

fn wish(of: &Of, matches: &ArgMatches) -> Wish {
    let count = |name: &str| matches.get_one::<u32>(name).map(|count| *count as usize);
    Wish {
        faults: count("faults").unwrap_or_else(|| of.usual_faults()),
        near_misses: count("near-misses").unwrap_or_default(),
    }
}

fn paper(matches: &ArgMatches) -> Paper {
    if matches.get_one::<String>("paper").is_some_and(|paper| paper == "a4") { Paper::A4 } else { Paper::A3 }
}

/// What is asked for, or as much of `otherwise` where no rule is named.
fn asked_of(otherwise: Of, matches: &ArgMatches) -> Result<Of, String> {
    let mut of = if matches.contains_id("rule") { Of::default() } else { otherwise };
    for id in matches.get_many::<String>("rule").into_iter().flatten() {
        of = of.with_rule(id).map_err(|error| error.to_string())?;
    }
    if let Some(topic) = matches.get_one::<String>("topic") {
        of = of.with_topic(topic).map_err(|error| error.to_string())?;
    }
    let weight = matches.get_one::<String>("weight").map(String::as_str);
    of.weight = [Weight::Must, Weight::Should, Weight::Advice].into_iter().find(|other| Some(other.words()) == weight);
    Ok(of)
}

fn learners(matches: &ArgMatches) -> Result<Vec<Learner>, String> {
    let seed = matches.get_one::<u64>("seed").copied().unwrap_or(1);
    match matches.get_one::<std::path::PathBuf>("names") {
        None => Ok(vec![Learner::new(seed, "")]),
        Some(path) => {
            let text = file::read_text(path).map_err(|error| error.to_string())?;
            class_of(&text, seed).map_err(|reason| format!("{}, {reason}", path.display()))
        }
    }
}
