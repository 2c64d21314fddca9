//! `lesson make`: for each learner a worksheet, an answer sheet and the layout; for all of them a key and a form.

use std::path::Path;

use clap::ArgMatches;

use super::{folder, needed, write};
use crate::cli::page::Page;
use crate::cli::{EXIT_SOUND, EXIT_UNUSABLE, profile, read};
use crate::file;
use crate::layout::Layout;
use crate::lesson::{Exercise, Key, Learner, Of, Planted, Repertoire, Wish, class_of};
use crate::rules::{Profile, Weight};
use crate::sheet::{self, Paper};

pub(super) fn run(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let path = needed(matches, "FILE", "name the sound layout that faults are planted in: lesson make FILE --out DIR")?;
    let out = needed(matches, "out", "name the folder for the sheets: --out DIR")?;
    let of = asked_of(matches)?;
    let learners = learners(matches)?;
    let Some(asked) = profile::asked(matches, page) else { return Ok(EXIT_UNUSABLE) };
    let Some(layout) = read(path, page) else { return Ok(EXIT_UNUSABLE) };
    let Some(profile) = asked.of(path, &layout, page) else { return Ok(EXIT_UNUSABLE) };
    let key = make(matches, &layout, &profile, &of, &learners, out)?;
    for exercise in &key.exercises {
        let name = file_name(exercise);
        page.print(&format!(
            "{name}-worksheet.pdf, {name}-answers.pdf, {name}.loft.ron: {} faults\n",
            exercise.faults.len()
        ));
    }
    page.print("key.ron: the key to all of them; answers.csv: the form to fill in and to mark\n");
    Ok(EXIT_SOUND)
}

fn make(
    matches: &ArgMatches,
    layout: &Layout,
    profile: &Profile,
    of: &Of,
    learners: &[Learner],
    out: &Path,
) -> Result<Key, String> {
    let count = |name: &str| matches.get_one::<u32>(name).map_or(0, |count| *count as usize);
    let wish = Wish { faults: count("faults"), near_misses: count("near-misses") };
    let paper =
        if matches.get_one::<String>("paper").is_some_and(|paper| paper == "a4") { Paper::A4 } else { Paper::A3 };
    let repertoire = Repertoire::of(layout, profile, of).map_err(|error| error.to_string())?;
    folder(out)?;
    let mut key = Key::new(&layout.heading.title, profile);
    for learner in learners {
        let planted = repertoire.plant(wish, learner.seed).map_err(|error| error.to_string())?;
        let exercise = Exercise::of(&planted, learner, &repertoire);
        hand_out(&planted, &exercise, paper, out)?;
        key.exercises.push(exercise);
    }
    write(&out.join("key.ron"), key.text().as_bytes())?;
    write(&out.join("answers.csv"), sheet::answers_form(&key).as_bytes())?;
    Ok(key)
}

fn hand_out(planted: &Planted, exercise: &Exercise, paper: Paper, out: &Path) -> Result<(), String> {
    let name = file_name(exercise);
    let worksheet = sheet::worksheet(&planted.layout, exercise, paper).map_err(|error| error.to_string())?;
    write(&out.join(format!("{name}-worksheet.pdf")), &worksheet)?;
    let answers = sheet::answer_sheet(&planted.layout, &planted.findings, exercise, paper);
    write(&out.join(format!("{name}-answers.pdf")), &answers.map_err(|error| error.to_string())?)?;
    write(&out.join(format!("{name}.loft.ron")), file::write_text(&planted.layout).as_bytes())
}

/// A name as a file may be called; its number keeps apart what would be called alike.
fn file_name(exercise: &Exercise) -> String {
    let Learner { name: learner, seed, .. } = Learner::new(exercise.seed, &exercise.learner);
    let plain = |letter: char| if letter.is_alphanumeric() { letter.to_ascii_lowercase() } else { '-' };
    let name: String = learner.chars().map(plain).collect();
    let name = name.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
    if name.is_empty() { format!("exercise-{seed}") } else { format!("{name}-{:04}", seed % 10_000) }
}

fn asked_of(matches: &ArgMatches) -> Result<Of, String> {
    let mut of = Of::default();
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
