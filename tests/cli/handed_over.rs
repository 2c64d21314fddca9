//! The commands that hand something over: take-off, quote, report, drawing.

use loftwright::cli::{EXIT_SOUND, EXIT_UNUSABLE, Outcome};
use serde_json::Value;

use crate::command_line::run;

const SOUND: &str = "examples/sound_indirect.loft.ron";

#[test]
fn a_take_off_prints_as_text_csv_and_json() {
    let (outcome, text, err) = run(&["takeoff", SOUND]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    assert!(text.contains("gate valve, 22 mm") && text.contains("Cutting list, bars of 3000 mm, kerf 3 mm"), "{text}");
    let (_, csv, _) = run(&["takeoff", SOUND, "--csv"]);
    assert!(csv.starts_with("trade,what,size,quantity,to order,unit,find out,tags,parts,working\n"), "{csv}");
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
fn a_price_list_is_asked_for_and_read_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("prices.csv");
    std::fs::write(&path, "what,size,unit,price\ngate valve,22 mm,no,10\n").expect("writes");
    let prices = path.display().to_string();
    let (outcome, asked, _) = run(&["takeoff", SOUND, "--prices", &prices, "--to-price"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(asked.contains("\ngate valve,22 mm,no,10\n") && asked.contains("\ntee,22 mm,no,\n"), "{asked}");
    std::fs::write(&path, asked).expect("writes");
    let (outcome, again, _) = run(&["takeoff", SOUND, "--prices", &prices]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(again.contains("20.00  for what has a price"), "{again}");
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
fn a_report_holds_the_quote_that_it_is_given() {
    let folder = tempfile::tempdir().expect("a folder");
    let quote = folder.path().join("quote.txt").display().to_string();
    std::fs::write(&quote, "50 gal cistern\n22 mm hot to bath\nsundries\n").expect("writes");
    for ending in ["md", "html", "pdf"] {
        let out = folder.path().join(format!("report.{ending}"));
        let written = |more: &[&str]| {
            let outcome = run(&[&["report", SOUND, "--out", &out.display().to_string()], more].concat());
            assert_eq!((outcome.0, outcome.2.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
            std::fs::read(&out).expect("a report")
        };
        let (bare, quoted) = (written(&[]), written(&["--quote", &quote, "--confirm", "1=cistern"]));
        assert!(quoted.len() > bare.len(), "{ending}");
        if ending != "pdf" {
            let text = String::from_utf8(quoted).expect("text");
            for expected in ["The quote", "Quoted, confirmed: '50 gal", "Named without its material", "What to ask"] {
                assert!(text.contains(expected), "{expected} is not in:\n{text}");
            }
        }
    }
    let (outcome, _, err) = run(&["report", SOUND, "--out", "never.md", "--quote", "gone.txt"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    assert!(err.contains("gone.txt: the quote: it cannot be read"), "{err}");
}

#[test]
fn matches_of_a_quote_are_confirmed_and_denied_from_the_command_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("quote.txt");
    std::fs::write(&path, "50 gal cistern\n2 no. gate valves 22 mm\nsundries\n").expect("writes");
    let quote = path.display().to_string();
    let with = |more: &[&str]| run(&[&["takeoff", SOUND, "--quote", &quote], more].concat());
    let comparison = |more: &[&str]| -> Value {
        let (outcome, json, err) = with(&[more, &["--json"]].concat());
        assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
        serde_json::from_str::<Value>(&json).expect("JSON")["quote"].clone()
    };
    let confirmed = |comparison: &Value| -> Vec<(u64, String, bool)> {
        let topics = comparison["topics"].as_array().expect("topics");
        let of = |topic: &Value| {
            let name = topic["topic"].as_str().expect("a name").to_owned();
            let matches = topic["matches"].as_array().expect("matches").clone();
            matches.into_iter().map(move |found| {
                (found["line"].as_u64().expect("a line"), name.clone(), found["confirmed"] == Value::Bool(true))
            })
        };
        topics.iter().flat_map(of).collect()
    };
    // Nothing is confirmed that nobody has said.
    assert!(confirmed(&comparison(&[])).iter().all(|(.., confirmed)| !confirmed));
    assert!(with(&[]).1.contains("2 of 2 matches are for you to confirm"));
    let one = confirmed(&comparison(&["--confirm", "1=cistern"]));
    assert!(one.contains(&(1, "cistern".to_owned(), true)));
    assert!(one.contains(&(2, "gate or full-bore valves".to_owned(), false)));
    // What is denied is no match any more, and is asked about.
    let denied = comparison(&["--deny", "2=gate or full-bore valves", "--confirm", "3=clips"]);
    assert_eq!(confirmed(&denied), [(1, "cistern".to_owned(), false), (3, "clips".to_owned(), true)]);
    assert_eq!(denied["not_understood"][0]["number"], 2);
    // A list to fill in says nothing by itself; filled in and read back, it confirms.
    let (_, to_fill_in, _) = with(&["--to-confirm"]);
    assert!(to_fill_in.contains("\nask 1=cistern\n") && to_fill_in.contains("# line 3: sundries"), "{to_fill_in}");
    let list = folder.path().join("said.txt");
    for (text, all) in [(to_fill_in.clone(), false), (to_fill_in.replace("ask ", "confirm "), true)] {
        std::fs::write(&list, text).expect("writes");
        let said = confirmed(&comparison(&["--confirmations", &list.display().to_string()]));
        assert!(said.len() == 2 && said.iter().all(|(.., confirmed)| *confirmed == all), "{said:?}");
    }
    assert!(with(&["--confirmations", &list.display().to_string()]).1.contains("every match is confirmed"));
    // Read back, it is written as it stands.
    let (_, again, _) = with(&["--confirmations", &list.display().to_string(), "--to-confirm"]);
    assert!(again.contains("confirm 1=cistern") && !again.contains("\nask "), "{again}");
}

#[test]
fn what_is_said_of_a_quote_and_cannot_be_meant_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("quote.txt");
    std::fs::write(&path, "50 gal cistern\n").expect("writes");
    let quote = path.display().to_string();
    for (said, expected) in [
        (&["--confirm", "2=cistern"][..], "--confirm: the quote has no line 2"),
        (&["--confirm", "1=cistren"], "is 'cistern' meant?"),
        (&["--deny", "cistern"], "--deny: 'cistern' is not understood"),
        (&["--confirm", "1=cistern", "--deny", "1=cistern"], "line 1 is said to be about 'cistern' and said not to be"),
        (&["--confirmations", "gone.txt"], "gone.txt: the confirmations: it cannot be read"),
    ] {
        let (outcome, out, err) = run(&[&["takeoff", SOUND, "--quote", &quote], said].concat());
        assert_eq!((outcome, out.as_str()), (Outcome::Exit(EXIT_UNUSABLE), ""), "{said:?}");
        let err = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(err.contains(expected), "{said:?}: {err}");
    }
    // Without a quote there is nothing to confirm.
    assert_eq!(run(&["takeoff", SOUND, "--confirm", "1=cistern"]).0, Outcome::Exit(EXIT_UNUSABLE));
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
