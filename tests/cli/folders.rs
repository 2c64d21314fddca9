//! `check` on folders: every layout below them, a line for each in their order, whatever stands among them.

use std::fs;
use std::path::Path;

use loftwright::cli::{EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, Outcome};
use serde_json::Value;

use crate::command_line::run;

const SOUND: &str = "examples/sound_indirect.loft.ron";
const LOW: &str = "examples/low_loft.loft.ron";

fn check(arguments: &[&str]) -> (u8, String, String) {
    let (outcome, out, err) = run(&[&["check"], arguments].concat());
    let Outcome::Exit(code) = outcome else { panic!("check ends with an exit code, not {outcome:?}") };
    (code, out, err)
}

fn files_told(json: &str) -> Vec<String> {
    let file = |line: &str| -> String {
        let report: Value = serde_json::from_str(line).expect("one JSON object per line");
        report["file"].as_str().expect("its name").to_owned()
    };
    json.lines().map(file).collect()
}

fn put(from: &str, folder: &Path, name: &str) -> String {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().expect("a folder")).expect("makes");
    fs::copy(from, &path).expect("copies");
    path.display().to_string()
}

#[test]
fn every_layout_below_a_folder_is_told_of_by_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let inner = put(SOUND, folder.path(), "b-road/12/cold.loft.ron");
    let last = put(LOW, folder.path(), "c.loft.ron");
    let first = put(SOUND, folder.path(), "a.loft.ron");
    put(SOUND, folder.path(), "kept.loft.ron~");
    fs::write(folder.path().join("notes.txt"), "no layout").expect("writes");
    let name = folder.path().display().to_string();
    let (code, out, err) = check(&[&name, "--json"]);
    assert_eq!((code, err.as_str()), (EXIT_BREACH, ""));
    assert_eq!(files_told(&out), [first.as_str(), &inner, &last]);
    // Files and folders may be mixed, and come in the order in which they are named.
    let (_, out, _) = check(&[LOW, &name, SOUND, "--json"]);
    assert_eq!(files_told(&out), [LOW, &first, &inner, &last, SOUND]);
}

#[test]
fn a_file_that_is_no_layout_is_complained_of_and_the_others_are_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let sound = put(SOUND, folder.path(), "b.loft.ron");
    fs::write(folder.path().join("a.loft.ron"), "(format: 1, title").expect("writes");
    let (code, out, err) = check(&[&folder.path().display().to_string(), "--json"]);
    assert_eq!((code, files_told(&out)), (EXIT_UNUSABLE, vec![sound]));
    assert!(err.contains("a.loft.ron") && err.contains("stops in the middle"), "{err}");
}

#[test]
fn a_folder_without_layouts_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, out, err) = check(&[&folder.path().display().to_string()]);
    assert_eq!((code, out.as_str()), (EXIT_UNUSABLE, ""));
    assert!(err.contains(".loft.ron"), "{err}");
}

#[test]
fn many_files_say_what_each_says_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let names: Vec<String> = (0..60)
        .map(|n| put(if n % 7 == 0 { LOW } else { SOUND }, folder.path(), &format!("{n:02}.loft.ron")))
        .collect();
    let (code, together, _) = check(&[&folder.path().display().to_string()]);
    let alone: Vec<(u8, String, String)> = names.iter().map(|name| check(&[name])).collect();
    assert_eq!(together, alone.iter().map(|(_, out, _)| out.as_str()).collect::<Vec<_>>().join("\n"));
    assert_eq!(code, alone.iter().map(|(code, ..)| *code).max().expect("there are some"));
    assert!(alone.iter().any(|(code, ..)| *code == EXIT_SOUND));
}
