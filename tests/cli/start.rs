//! `start` and `compare` on the command line.

use loftwright::cli::{EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, Outcome};
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::measure::Site;
use serde_json::Value;

use crate::command_line::run;

#[test]
fn start_writes_a_sound_layout() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("new.loft.ron").display().to_string();
    let (outcome, out, err) = run(&["start", "--confirmed-load", "400 kg", "--out", &path]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""), "{out}");
    assert!(out.contains("0 in breach, 0 marginal, 0 unknown"), "{out}");
    let layout = file::read(path.as_ref()).expect("reads");
    assert_eq!(Findings::of(&Site::of(&layout)).counts().breach, 0);
}

#[test]
fn answers_that_are_shown_can_be_read_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("answers.ron");
    let (_, shown, _) =
        run(&["start", "--like", "bungalow-with-immersion-heaters", "--show-answers", "--ridge", "2.4 m"]);
    assert!(shown.contains("ridge: 2400"), "{shown}");
    std::fs::write(&path, &shown).expect("writes");
    let (_, again, err) = run(&["start", &path.display().to_string(), "--show-answers"]);
    assert_eq!((again, err.as_str()), (shown, ""));
}

#[test]
fn a_house_that_cannot_hold_it_is_told_from_answers_that_make_no_sense() {
    let (outcome, _, err) = run(&["start", "--ridge", "1100"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_BREACH));
    let words = err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("It fits with a loft") && words.contains("from joists to ridge"), "{words}");
    let (outcome, out, _) = run(&["start", "--ridge", "1100", "--json"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_BREACH));
    let report: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(report["sound"], false);
    assert!(!report["reasons"][0]["ways_out"][0].as_str().expect("words").is_empty());
    for (arguments, says) in [
        (vec!["start", "--storeys", "7"], "7 storeys"),
        (vec!["start", "--outlets", "bat:1"], "did you mean 'bath'"),
        (vec!["start", "--ridge", "high"], "--ridge"),
        (vec!["start", "--like", "castle"], "no house 'castle'"),
        (vec!["start", "gone.ron"], "no such file of answers"),
    ] {
        let (outcome, _, err) = run(&arguments);
        let words = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE), "{arguments:?}");
        assert!(words.contains(says), "{arguments:?}: {words}");
    }
}

#[test]
fn variants_are_put_side_by_side() {
    let files = ["examples/sound_indirect.loft.ron", "examples/low_loft.loft.ron"];
    let (outcome, out, err) = run(&["compare", files[0], files[1]]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_BREACH), ""));
    for heading in ["In short", "Findings", "Heads and flows", "Take-off"] {
        assert!(out.contains(heading), "no {heading} in\n{out}");
    }
    let (_, json, _) = run(&["compare", files[0], files[1], "--json"]);
    let report: Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(report["variants"].as_array().expect("a list").len(), 2);
    assert_eq!(report["counts"][0]["breach"], 0);
    assert!(report["counts"][1]["breach"].as_u64().expect("a count") > 0);
    assert!(
        report["rows"].as_array().expect("rows").iter().all(|row| row["cells"].as_array().map(Vec::len) == Some(2))
    );
    let (outcome, same, _) = run(&["compare", files[0], files[0]]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(!same.contains("Take-off"), "alike variants show no difference:\n{same}");
    assert_eq!(run(&["compare", files[0]]).0, Outcome::Exit(EXIT_UNUSABLE));
}
