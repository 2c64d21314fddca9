//! The house keeps its own rules: who imports whom, prose and cases for each rule, documents that tell the truth.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use loftwright::file;
use loftwright::finding::{Finding, Findings};
use loftwright::measure::{Have, Site};
use loftwright::rules::{self, Bound, Limit, Verdict, Voice};

/// Longer files are split.
const MOST_LINES: usize = 500;

fn files_below(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from(folder)];
    while let Some(folder) = folders.pop() {
        let Ok(entries) = fs::read_dir(&folder) else { continue };
        for path in entries.map(|entry| entry.expect("an entry").path()) {
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn text_of(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn no_faults(faults: &[String]) {
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// The import list of `src/lib.rs`: each room, and the rooms it may use; in the order in which it stands there.
fn import_list() -> Vec<(String, Vec<String>)> {
    let text = text_of(Path::new("src/lib.rs"));
    let list = text.split("//! ```text\n").nth(1).and_then(|rest| rest.split("//! ```").next());
    let lines = list.expect("src/lib.rs states the import list").lines();
    let entry = |line: &str| {
        let (room, uses) = line.trim_start_matches("//!").split_once(':')?;
        let uses = uses.trim().trim_start_matches("may use ");
        let uses = uses.split(',').map(|room| room.trim().to_owned()).filter(|room| !room.is_empty());
        Some((room.trim().to_owned(), uses.collect()))
    };
    lines.filter_map(entry).collect()
}

/// The rooms that a source text uses, each with its line.
fn rooms_used(path: &Path, text: &str, rooms: &[String]) -> Vec<(usize, String)> {
    let mut used = Vec::new();
    let own_folder = path.parent().expect("a file is in a folder");
    for (number, line) in text.lines().enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        let through_root = code.split("crate::").skip(1).map(|rest| (rest, true));
        // `super::` may reach the crate's root as well; a neighbour of that name is meant first.
        let through_parent = code.split("super::").skip(1).map(|rest| (rest, false));
        for (rest, from_root) in through_root.chain(through_parent) {
            let name: String = rest.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
            assert!(!(from_root && name.is_empty()), "{}: import one room a line: {line}", path.display());
            let neighbour = own_folder.join(&name).exists() || own_folder.join(format!("{name}.rs")).exists();
            if rooms.contains(&name) && (from_root || !neighbour) {
                used.push((number + 1, name));
            }
        }
    }
    used
}

fn room_of(path: &Path) -> Option<String> {
    let room = path.strip_prefix("src").ok()?.components().next()?.as_os_str().to_str()?;
    Some(room.trim_end_matches(".rs").to_owned()).filter(|room| room != "lib" && room != "main")
}

#[test]
fn the_import_list_names_every_room_and_allows_no_ring() {
    let list = import_list();
    let mut above: Vec<&str> = Vec::new();
    for (room, uses) in &list {
        for used in uses {
            assert!(above.contains(&used.as_str()), "{room} may not use {used}, which does not stand above it");
        }
        above.push(room);
    }
    let mut listed: Vec<String> = list.iter().map(|(room, _)| room.clone()).collect();
    listed.retain(|room| Path::new("src").join(room).exists() || Path::new("src").join(format!("{room}.rs")).exists());
    listed.sort();
    let mut there: Vec<String> = files_below("src", ".rs").iter().filter_map(|path| room_of(path)).collect();
    there.sort();
    there.dedup();
    assert_eq!(listed, there, "the list in src/lib.rs and the rooms in src differ");
}

#[test]
fn nobody_imports_what_the_list_does_not_allow() {
    let list: BTreeMap<String, Vec<String>> = import_list().into_iter().collect();
    let rooms: Vec<String> = list.keys().cloned().collect();
    let mut faults = Vec::new();
    for path in files_below("src", ".rs") {
        let Some(room) = room_of(&path) else { continue };
        let allowed = &list[&room];
        for (line, used) in rooms_used(&path, &text_of(&path), &rooms) {
            if used != room && !allowed.contains(&used) {
                faults.push(format!("{}:{line}: {room} may not use {used}", path.display()));
            }
        }
    }
    no_faults(&faults);
}

#[test]
fn an_import_that_is_not_allowed_would_be_seen() {
    let rooms = ["layout", "desk"].map(str::to_owned);
    let used = |text: &str| -> Vec<String> {
        rooms_used(Path::new("src/units/text.rs"), text, &rooms).into_iter().map(|(_, room)| room).collect()
    };
    assert_eq!(used("use crate::layout::Layout;"), ["layout"]);
    assert_eq!(used("    let x = super::super::desk::open();"), ["desk"]);
    assert_eq!(used("// crate::desk is only spoken of\nuse crate::units::Size;"), Vec::<String>::new());
}

#[test]
fn every_source_file_says_first_what_it_is_for() {
    let mut faults = Vec::new();
    for path in ["src", "tests", "benches", "examples"].iter().flat_map(|folder| files_below(folder, ".rs")) {
        let text = text_of(&path);
        let first = text.lines().next().unwrap_or_default();
        if !first.starts_with("//! ") {
            faults.push(format!("{}: begins with: {first}", path.display()));
        }
    }
    no_faults(&faults);
}

#[test]
fn no_source_file_is_too_long_and_none_is_a_drawer_for_odds_and_ends() {
    let mut faults = Vec::new();
    for path in files_below("src", ".rs") {
        let lines = text_of(&path).lines().count();
        if lines >= MOST_LINES {
            faults.push(format!("{}: {lines} lines", path.display()));
        }
        let is_drawer =
            |part: &str| ["utils", "util", "common", "helpers", "helper", "manager", "misc"].contains(&part);
        if path.with_extension("").components().any(|part| part.as_os_str().to_str().is_some_and(is_drawer)) {
            faults.push(format!("{}: name it by what it is for", path.display()));
        }
    }
    no_faults(&faults);
}

/// What stands in backticks and has a slash is a path of this tree; placeholders and commands are not.
fn paths_named_in(text: &str) -> Vec<&str> {
    let spans =
        text.lines().filter(|line| !line.starts_with("    ")).flat_map(|line| line.split('`').skip(1).step_by(2));
    let is_path = |span: &&str| {
        span.contains('/')
            && !span.contains(|c: char| c.is_whitespace() || "<>*$~{}:|".contains(c))
            && !span.starts_with('/')
    };
    spans.filter(is_path).collect()
}

#[test]
fn no_document_names_a_path_that_is_not_there() {
    let mut faults = Vec::new();
    let mut documents: Vec<PathBuf> = ["README.md", "DEVELOPERS.md", "CHANGELOG.md"].map(PathBuf::from).to_vec();
    documents.retain(|path| path.exists());
    documents.extend(files_below("docs", ".md"));
    for document in documents {
        let text = text_of(&document);
        let linked = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        let linked = linked.filter(|target| !target.contains("://") && !target.starts_with('#'));
        for path in paths_named_in(&text).into_iter().chain(linked) {
            if !Path::new(path).exists() {
                faults.push(format!("{}: {path} is not there", document.display()));
            }
        }
    }
    no_faults(&faults);
}

#[test]
fn only_paths_are_taken_for_paths() {
    let text = "See `src/file/` and `and so`, `a/<id>/b`.\n    `code/block`\n`x.rs`, `docs/a.md`.";
    assert_eq!(paths_named_in(text), ["src/file/", "docs/a.md"]);
}

#[test]
fn every_rule_has_a_name_of_its_own_a_source_and_a_lever() {
    let mut faults = Vec::new();
    let mut seen = Vec::new();
    for rule in rules::table() {
        if seen.contains(&rule.id) {
            faults.push(format!("{}: stands twice in the table", rule.id));
        }
        seen.push(rule.id);
        if rule.source.trim().is_empty() {
            faults.push(format!("{}: no source", rule.id));
        }
        // A limit that a profile changes is changed in its remedies too.
        let bound = rule.limit.constant().map(|bound| bound.to_string());
        for words in rule.levers.iter().map(|lever| lever.words("", None, None)) {
            if bound.as_ref().is_some_and(|bound| words.contains(bound.as_str())) {
                faults.push(format!("{}: its limit is copied to '{words}'; write {{need}} there", rule.id));
            }
        }
        if rule.levers.is_empty() {
            faults.push(format!("{}: no lever", rule.id));
        }
        if rule.id.chars().any(|c| !c.is_ascii_lowercase() && c != '-') {
            faults.push(format!("{}: use small letters and hyphens", rule.id));
        }
    }
    no_faults(&faults);
}

#[test]
fn every_rule_has_its_prose_in_three_readings() {
    let mut faults = Vec::new();
    for rule in rules::table() {
        let path = PathBuf::from(format!("assets/rules/{}.md", rule.id));
        if !path.exists() || text_of(&path) != rule.prose.text() {
            faults.push(format!("{}: its prose is not that of {}", rule.id, path.display()));
        }
        for voice in Voice::ALL {
            let words = rule.prose.section(voice);
            if words.is_empty() || rule.prose.title(voice).is_empty() {
                faults.push(format!("{}: no title or no reading for {voice:?}", rule.id));
            }
        }
        let trade = rule.prose.section(Voice::Trade);
        if trade.contains('\n') {
            faults.push(format!("{}: the trade reading is one line", rule.id));
        }
    }
    for path in files_below("assets/rules", ".md") {
        let id = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default().to_owned();
        if rules::rule(&id).is_none() {
            faults.push(format!("{}: there is no such rule", path.display()));
        }
    }
    no_faults(&faults);
}

/// Words joined by hyphens, in quotation marks, before the tests of a source text.
fn hyphened_words(text: &str) -> impl Iterator<Item = &str> {
    let code = text.split("#[cfg(test)]").next().unwrap_or_default().lines().map(|line| line.trim_start());
    let quoted = code.filter(|line| !line.starts_with("//")).flat_map(|line| line.split('"').skip(1).step_by(2));
    quoted.filter(|word| {
        let mut parts = word.split('-');
        word.contains('-') && parts.all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_lowercase()))
    })
}

#[test]
fn whoever_names_a_rule_names_one_that_there_is() {
    let names_no_rule = |word: &str| word == "kebab-case" || loftwright::sum::sum(word).is_some();
    let mut faults = Vec::new();
    let mut named = 0;
    for path in files_below("src", ".rs").into_iter().filter(|path| room_of(path).as_deref() != Some("rules")) {
        let text = text_of(&path);
        let words: Vec<&str> = hyphened_words(&text).filter(|word| !names_no_rule(word)).collect();
        let (rules, others): (Vec<&str>, Vec<_>) = words.into_iter().partition(|word| rules::rule(word).is_some());
        named += rules.len();
        if !rules.is_empty() {
            faults.extend(others.into_iter().map(|word| format!("{}: no rule '{word}'", path.display())));
        }
    }
    no_faults(&faults);
    assert!(named > 100, "only {named} rules are named: are they still written as words in quotation marks?");
}

#[test]
fn every_rule_has_its_cases() {
    let cases = Path::new("tests/cases");
    if !cases.exists() {
        return;
    }
    let mut faults = Vec::new();
    for rule in rules::table() {
        let there = |verdict: &str| cases.join(rule.id).join(format!("{verdict}.loft.ron")).exists();
        if !there("meets") {
            faults.push(format!("{}: no case that meets it", rule.id));
        }
        if !there("breach") && !there("unknown") {
            faults.push(format!("{}: no case that does not meet it", rule.id));
        }
    }
    for entry in fs::read_dir(cases).expect("cases") {
        let path = entry.expect("an entry").path();
        let id = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if path.is_dir() && rules::rule(id).is_none() {
            faults.push(format!("{}: there is no such rule", path.display()));
        }
    }
    no_faults(&faults);
}

/// What is wrong between what a rule asks and what its measure reads, if anything.
fn mismatch(finding: &Finding) -> Option<String> {
    let (limit, have) = (finding.rule.limit, &finding.reading.have);
    let fits = match (limit, have) {
        // Untold is unknown and missing is a breach, whatever is asked.
        (_, Have::Untold(_) | Have::No(_))
        | (Limit::Told | Limit::Yes | Limit::YesWithin(_), Have::Yes(_))
        | (Limit::Told, _) => true,
        (Limit::OneOf(_) | Limit::NoneOf(_), Have::Choice(_)) => true,
        (Limit::AtLeast(bound) | Limit::MoreThan(bound) | Limit::AtMost(bound), Have::Amount(_, unit)) => {
            let needs_against = !matches!(bound, Bound::Constant(..));
            let same_unit = finding.judged.need.is_some_and(|need| need.unit == *unit);
            same_unit && needs_against == finding.reading.against.is_some()
        }
        _ => false,
    };
    (!fits).then(|| format!("{}: asks {limit}, and reads {have:?}", finding.rule.id))
}

#[test]
fn what_a_rule_asks_and_what_its_measure_reads_are_of_one_kind() {
    let mut faults = Vec::new();
    let mut told = Vec::new();
    let layouts = files_below("examples", ".loft.ron").into_iter().chain(files_below("tests/cases", ".loft.ron"));
    for path in layouts {
        let layout = file::read(&path).unwrap_or_else(|error| panic!("{error}\n{}", error.caret()));
        let findings = Findings::of(&Site::of(&layout));
        faults.extend(findings.iter().filter_map(mismatch));
        let judged = findings.iter().filter(|finding| finding.judged.verdict != Verdict::Unknown);
        told.extend(judged.map(|finding| finding.rule.id));
    }
    let untried = rules::table().iter().filter(|rule| !told.contains(&rule.id));
    faults.extend(untried.map(|rule| format!("{}: no example or case reads anything for it", rule.id)));
    faults.sort();
    faults.dedup();
    no_faults(&faults);
}

#[test]
fn names_of_parts_get_their_article_in_one_place() {
    let mut faults = Vec::new();
    for path in files_below("src", ".rs") {
        for (number, line) in text_of(&path).lines().enumerate() {
            let words = line.to_lowercase();
            let is_of_an_id =
                words.contains("the {spoken}") || (words.contains("the {}") && words.contains("id.spoken()"));
            // Of several names in a line the article may stand before another word.
            if is_of_an_id && words.matches("{}").count() < 2 {
                faults.push(format!(
                    "{}:{}: with_article() knows names that end in a number",
                    path.display(),
                    number + 1
                ));
            }
        }
    }
    no_faults(&faults);
}
