//! The commands that hand something over: take-off, quote, report, drawing.

use std::ffi::OsString;

use loftwright::cli::{self, EXIT_SOUND, EXIT_UNUSABLE, Outcome};
use serde_json::Value;

const SOUND: &str = "examples/sound_indirect.loft.ron";

fn run(arguments: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let outcome = cli::run(arguments.iter().map(OsString::from), &mut out, &mut err);
    (outcome, String::from_utf8(out).expect("text"), String::from_utf8(err).expect("text"))
}

#[test]
fn a_take_off_prints_as_text_csv_and_json() {
    let (outcome, text, err) = run(&["takeoff", SOUND]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    assert!(text.contains("gate valve, 22 mm") && text.contains("Cutting list, bars of 3000 mm, kerf 3 mm"), "{text}");
    let (_, csv, _) = run(&["takeoff", SOUND, "--csv"]);
    assert!(csv.starts_with("trade,what,size,quantity,to order,unit,find out,parts,working\n"), "{csv}");
    let (_, json, _) = run(&["takeoff", SOUND, "--json"]);
    let report: Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(report["lines"].as_array().map(Vec::len), Some(csv.lines().count() - 1));
    assert!(report["cutting"][0]["cutting"]["bars"].is_array());
}

#[test]
fn what_a_take_off_cannot_use_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("prices.csv");
    std::fs::write(&path, "what,size,unit,price\ntee,,no,dear\n").expect("writes");
    let prices = path.display().to_string();
    let (outcome, _, err) = run(&["takeoff", SOUND, "--prices", &prices]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    assert!(err.contains("'dear' is no price"), "{err}");
    let (outcome, _, err) = run(&["takeoff", SOUND, "--quote", "gone.txt"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    assert!(err.contains("gone.txt: the quote: it cannot be read"), "{err}");
}

#[test]
fn a_quote_is_answered_with_questions() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("quote.txt");
    std::fs::write(&path, "50 gal cistern\n2 no. gate valves 22 mm\n").expect("writes");
    let (outcome, text, _) = run(&["takeoff", SOUND, "--quote", &path.display().to_string()]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    for expected in ["COVERED: gate or full-bore valves", "NOT MENTIONED: cistern lid", "What to ask"] {
        assert!(text.contains(expected), "{expected} is not in:\n{text}");
    }
}

#[test]
fn reports_and_drawings_go_where_they_are_asked() {
    let folder = tempfile::tempdir().expect("a folder");
    for (command, name, begins) in [
        ("report", "r.md", "# Indirect cylinder"),
        ("report", "r.html", "<!DOCTYPE html>"),
        ("draw", "d.pdf", "%PDF-"),
        ("draw", "d.dxf", "  0\nSECTION"),
    ] {
        let path = folder.path().join(name);
        let (outcome, _, err) = run(&[command, SOUND, "--out", &path.display().to_string()]);
        assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""), "{name}");
        assert!(std::fs::read(&path).expect("written").starts_with(begins.as_bytes()), "{name}");
    }
    assert_eq!(run(&["report", SOUND, "--out", "r.doc"]).0, Outcome::Exit(EXIT_UNUSABLE));
}
