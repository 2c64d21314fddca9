//! `lesson sums`: questions on the terminal with their answers below, or both as PDF in a folder.

use clap::ArgMatches;

use super::{folder, write};
use crate::cli::EXIT_SOUND;
use crate::cli::page::{Page, paragraph};
use crate::lesson::practice::{Question, Topic, questions};
use crate::sheet;

pub(super) fn run(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let topics = Topic::ALL.map(Topic::name).join(", ");
    let name =
        matches.get_one::<String>("topic").ok_or(format!("choose what to practise: --topic T, one of {topics}"))?;
    let topic = Topic::named(name).map_err(|error| error.to_string())?;
    let count = matches.get_one::<u32>("count").copied().unwrap_or(5);
    let seed = matches.get_one::<u64>("seed").copied().unwrap_or(1);
    let asked = questions(topic, count, seed);
    let title = format!("{}: sums to practise, set {seed}", topic.heading());
    match matches.get_one::<std::path::PathBuf>("out") {
        None => print(&asked, &title, page),
        Some(out) => {
            folder(out)?;
            let file = |ending: &str| out.join(format!("{}-{seed}-{ending}.pdf", topic.name()));
            write(&file("questions"), &sheet::sums_sheet(&asked, &title).map_err(|error| error.to_string())?)?;
            write(&file("answers"), &sheet::sums_answers(&asked, &title).map_err(|error| error.to_string())?)?;
        }
    }
    Ok(EXIT_SOUND)
}

fn print(asked: &[Question], title: &str, page: &mut Page<'_>) {
    page.print(&format!("{title}\n"));
    for (number, question) in asked.iter().enumerate() {
        page.print(&paragraph(&format!("\n{}. ", number + 1), &question.words));
        page.print(&paragraph("   ", &question.asked()));
    }
    page.print("\nAnswers\n");
    for (number, question) in asked.iter().enumerate() {
        page.print(&format!("\n{}. {}\n", number + 1, question.answer_words()));
        for line in &question.working {
            page.print(&format!("   {line}\n"));
        }
        page.print(&paragraph("   source: ", &question.source));
    }
}
