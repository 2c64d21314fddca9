//! `compare`: variants of a layout side by side: findings, heads and take-off.

use std::path::PathBuf;

use clap::{Arg, ArgAction, ArgMatches, value_parser};

use super::page::{Page, harmless};
use super::{Command, EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, arguments, profile, read};
use crate::compare::{About, Comparison, Row, Variant};
use crate::rules::Voice;

pub(super) const COMMAND: Command = Command {
    name: "compare",
    about: "Puts variants side by side: findings, heads and take-off, a column for each file",
    arguments,
    run,
};

/// A wider cell is cut, so that columns stay columns.
const WIDEST: usize = 44;

fn arguments() -> Vec<Arg> {
    vec![
        Arg::new("FILE")
            .required(true)
            .num_args(2..)
            .value_parser(value_parser!(PathBuf))
            .help("The layouts, each a file of its own"),
        Arg::new("all").long("all").action(ArgAction::SetTrue).help("Shows also the rows in which they are alike"),
        profile::argument(),
        arguments::json(),
    ]
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let paths: Vec<&PathBuf> = matches.get_many("FILE").into_iter().flatten().collect();
    let mut read_in = Vec::new();
    for path in paths {
        let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
        let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
        read_in.push((path.display().to_string(), layout, profile));
    }
    let variants: Vec<Variant<'_>> =
        read_in.iter().map(|(name, layout, profile)| Variant { name: name.clone(), layout, profile }).collect();
    let comparison = Comparison::of(&variants, Voice::Trade);
    if matches.get_flag("json") {
        page.print_json(&comparison);
    } else {
        let all = matches.get_flag("all");
        print(&comparison, &|row| all || row.differs || row.about == About::Counts, page);
    }
    if comparison.breaks_a_must.contains(&true) { EXIT_BREACH } else { EXIT_SOUND }
}

fn print(comparison: &Comparison, shown: &dyn Fn(&Row) -> bool, page: &mut Page<'_>) {
    for (number, name) in comparison.variants.iter().enumerate() {
        page.print(&format!("{}: {}\n", letter(number), harmless(name)));
    }
    let rows: Vec<&Row> = comparison.rows.iter().filter(|row| shown(row)).collect();
    let first = rows.iter().map(|row| cut(&row.name).chars().count()).max().unwrap_or(0);
    let columns: Vec<usize> = (0..comparison.variants.len())
        .map(|column| rows.iter().map(|row| cut(&row.cells[column]).chars().count()).max().unwrap_or(0).max(1))
        .collect();
    for about in About::ALL {
        let mut of_it = rows.iter().filter(|row| row.about == about).peekable();
        if of_it.peek().is_none() {
            continue;
        }
        let letters = columns.iter().enumerate().map(|(number, width)| format!("  {:<width$}", letter(number)));
        page.print(&format!("\n{}\n", format!("{:<first$}{}", about.words(), letters.collect::<String>()).trim_end()));
        for row in of_it {
            let cells = row.cells.iter().zip(&columns).map(|(cell, width)| format!("  {:<width$}", cut(cell)));
            page.print(&format!("{}\n", format!("{:<first$}{}", cut(&row.name), cells.collect::<String>()).trim_end()));
        }
    }
    let alike = comparison.rows.len() - rows.len();
    if alike > 0 {
        page.print(&format!("\n{alike} rows in which they are alike are left out; --all shows them\n"));
    }
}

fn letter(number: usize) -> String {
    let letter = u8::try_from(number % 26).unwrap_or(0);
    char::from(b'A' + letter).to_string()
}

fn cut(cell: &str) -> String {
    let cell = harmless(cell);
    if cell.chars().count() <= WIDEST {
        return cell;
    }
    cell.chars().take(WIDEST - 1).chain(['…']).collect()
}
