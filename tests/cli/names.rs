//! Names that end in a number: sentences say "cistern 2", and never "the cistern 2".

use crate::command_line::run;

/// An example in which the name of every part, but not of connections, ends in a number.
fn numbered(name: &str) -> (String, Vec<String>) {
    let mut text = std::fs::read_to_string(format!("examples/{name}.loft.ron")).expect("reads");
    let ids: Vec<String> =
        text.split("id: \"").skip(1).filter_map(|rest| rest.split('"').next()).map(str::to_owned).collect();
    for id in &ids {
        for (before, after) in [
            (format!("id: \"{id}\""), format!("id: \"{id}-2\"")),
            (format!("part: \"{id}\""), format!("part: \"{id}-2\"")),
            (format!("(\"{id}\""), format!("(\"{id}-2\"")),
        ] {
            text = text.replace(&before, &after);
        }
    }
    (text, ids.iter().map(|id| format!("{} 2", id.replace('-', " "))).collect())
}

#[test]
fn no_article_stands_before_a_name_that_ends_in_a_number() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let mut said_of_some = false;
    for example in ["low_loft", "half_described", "feed_and_expansion"] {
        let (text, names) = numbered(example);
        let file = path(&format!("{example}.loft.ron"));
        std::fs::write(&file, text).expect("written");
        let report = path("report.md");
        let mut said = String::new();
        for line in [
            vec!["check", &file, "--all"],
            vec!["report", &file, "--out", &report],
            vec!["mend", &file],
            vec!["takeoff", &file, "--working"],
            vec!["flow", &file],
            vec!["trial", &file, "mains-off"],
            vec!["trial", &file, "drain"],
        ] {
            let (_, printed, err) = run(&line);
            assert!(!err.contains("reads as no layout") && !err.contains("there is no"), "{line:?}: {err}");
            said += &printed;
        }
        said += &std::fs::read_to_string(&report).expect("a report");
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        for name in &names {
            assert!(!said.contains(&format!("the {name}")), "{example}: {}", around(&said, &format!("the {name}")));
            said_of_some |= said.contains(&format!("of {name}"));
        }
    }
    assert!(said_of_some, "no sentence names a part");
}

/// What stands around some words.
fn around<'a>(text: &'a str, words: &str) -> &'a str {
    let at = text.find(words).unwrap_or_default();
    let (from, to) = (at.saturating_sub(120), (at + 120).min(text.len()));
    let is_edge = |place: &usize| text.is_char_boundary(*place);
    &text[(from..=at).find(is_edge).unwrap_or(at)..(to..text.len()).find(is_edge).unwrap_or(text.len())]
}
