//! Papers in the view Lesson: which faults are planted on them, and what becomes of those that come back.

use std::path::Path;

use egui::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loftwright::cli;
use loftwright::desk::{Action, Aspect, Command, Desk, Handing, LessonAction, PaperFile, Sought};
use loftwright::lesson::{Key, Of, Repertoire};
use loftwright::rules::{Profile, Voice, rule};
use loftwright::session::Session;
use loftwright::session::course;

use crate::asking::{ask, give, press_button};
use crate::example::example;
use crate::reading::lines;
use crate::screen;

const SOUND: &str = "examples/sound_indirect.loft.ron";

fn lesson(page: &str) -> Harness<'static, Desk> {
    let mut harness = screen::show(Desk::new(Session::new(example("sound_indirect"))), [1400.0, 1600.0]);
    give(&mut harness, Command::Look(Aspect::Lesson));
    press_button(&mut harness, page);
    harness
}

/// What a command line prints.
fn printed(line: &[&str]) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    cli::run(line.iter().map(std::ffi::OsString::from), &mut out, &mut err);
    assert_eq!(String::from_utf8_lossy(&err), "", "{line:?}");
    String::from_utf8(out).expect("text")
}

/// A class of three in a folder, of whom one knows everything, one nothing, and one hands in nothing.
fn class(folder: &Path) -> (String, String) {
    let path = |name: &str| folder.join(name).display().to_string();
    std::fs::write(path("names.csv"), "name\nInes Okoro\nTom Brand\nAda Finch\n").expect("written");
    printed(&["lesson", "make", SOUND, "--seed", "9", "--names", &path("names.csv"), "--out", &path("class")]);
    let key = std::fs::read_to_string(path("class/key.ron")).expect("a key");
    let key = Key::parse(&key, "key.ron").expect("reads");
    let mut answers = "learner,part,fault,should be,hints".to_owned();
    for claim in key.of_learner("Ines Okoro").expect("hers").answers() {
        answers += &format!("\nInes Okoro,{},{},{},", claim.part, claim.rule.expect("a rule"), claim.number);
    }
    answers += "\nTom Brand,bath,the cat,,1\n";
    std::fs::write(path("class/answers.csv"), answers).expect("written");
    (path("class/key.ron"), path("class/answers.csv"))
}

fn name_file(harness: &mut Harness<'_, Desk>, file: PaperFile, path: &str) {
    ask(harness, Action::Hand(Handing::Found(Sought::Paper(file), path.into())));
}

fn is_told(harness: &Harness<'_, Desk>, words: &str) -> bool {
    !lines(harness, words).is_empty()
}

#[test]
fn papers_that_come_back_are_marked_kept_and_written_as_the_command_does() {
    let folder = tempfile::tempdir().expect("a folder");
    let (key, answers) = class(folder.path());
    let record = folder.path().join("course.ron");
    let mut harness = lesson("Mark papers");
    harness.state_mut().keep_record_in(record.clone());
    harness.run();
    name_file(&mut harness, PaperFile::Key, &key);
    assert!(is_told(&harness, "Choose the answers as well") && !is_told(&harness, " marks"));
    name_file(&mut harness, PaperFile::Answers, &answers);
    assert!(is_told(&harness, "2 papers are marked"));
    assert!(is_told(&harness, "Nothing has come back from: Ada Finch"));
    let returned = harness.state().lessons().marking.returned.as_ref().expect("they are marked");
    let [ines, tom] = &returned.papers[..] else { panic!("two papers") };
    assert_eq!((ines.marks.percent(), tom.marks.got), (100, 0));
    let missed: Vec<&str> = tom.marks.missed().map(|fault| tom.exercise.faults[fault].title(Voice::Trade)).collect();
    assert_eq!(missed.len(), tom.exercise.faults.len());
    assert!(is_told(&harness, &missed.join("; ")) && is_told(&harness, "Nothing was missed."));
    // A paper that is opened tells why.
    let teaching = tom.exercise.faults[0].teaching();
    assert!(!is_told(&harness, teaching) && !is_told(&harness, "Not understood: the cat"));
    let heading = format!("Tom Brand: 0 of {} marks", tom.marks.out_of);
    harness.get_by_label(&heading).click();
    harness.run();
    harness.run_steps(20);
    assert!(is_told(&harness, teaching) && is_told(&harness, "Not understood: the cat"));
    // Twice is once.
    press_button(&mut harness, "Add to the record");
    ask(&mut harness, Action::Lesson(LessonAction::KeepMarks));
    assert!(is_told(&harness, "These marks are in the course record"));
    let by_command = folder.path().join("by_command.ron");
    let to_file = by_command.display().to_string();
    let text = printed(&["lesson", "mark", &answers, "--key", &key, "--record", &to_file]);
    let kept = course::read(&record).expect("a record");
    assert_eq!(kept, course::read(&by_command).expect("another"));
    assert_eq!(harness.state().lessons().record, kept);
    for (name, wanted) in
        [("marks.txt", text), ("marks.json", printed(&["lesson", "mark", &answers, "--key", &key, "--json"]))]
    {
        let path = folder.path().join(name);
        name_file(&mut harness, PaperFile::Marks, &path.display().to_string());
        assert_eq!(std::fs::read_to_string(path).expect("written"), wanted, "{name}");
    }
}

#[test]
fn what_is_wrong_with_key_or_answers_is_told_with_its_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let (key, answers) = class(folder.path());
    let mut harness = lesson("Mark papers");
    name_file(&mut harness, PaperFile::Key, &answers);
    assert!(is_told(&harness, "The file cannot be used"));
    press_button(&mut harness, "Close");
    assert!(harness.state().lessons().marking.key.is_none());
    name_file(&mut harness, PaperFile::Key, &key);
    for (text, told) in [
        ("part,number\nbath,3\n", "there is no column 'fault'"),
        ("learner,part,fault\nNobody,bath,A\n", "line 2: the key has no exercise for 'Nobody'"),
    ] {
        std::fs::write(&answers, text).expect("written");
        name_file(&mut harness, PaperFile::Answers, &answers);
        assert!(is_told(&harness, told), "{text}");
        press_button(&mut harness, "Close");
        assert!(harness.state().lessons().marking.returned.is_none());
    }
    // Once they are put right, they need not be chosen again.
    std::fs::write(&answers, "learner,part,fault\nTom Brand,bath,A\n").expect("written");
    press_button(&mut harness, "Read both again");
    assert!(is_told(&harness, "1 paper is marked"));
}

/// Opens the list of faults and waits until it is there.
fn open_list(harness: &mut Harness<'_, Desk>) {
    harness.get_by_label("Which faults: any").click();
    for _ in 0..600 {
        harness.step();
        if harness.state().lessons().plantable.of(harness.state().session()).is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    harness.run();
    harness.run_steps(20);
}

#[test]
fn the_faults_that_are_ticked_are_planted_and_are_those_of_the_command_line() {
    let mut harness = lesson("Spot the fault");
    open_list(&mut harness);
    let chosen = ["cistern-lid-not-tight", "lid-vent-unscreened"];
    for id in chosen {
        let title = rule(id).expect("a rule").prose.title(Voice::Trade);
        let before = harness.get_by_role_and_label(Role::CheckBox, title).rect();
        harness.get_by_role_and_label(Role::CheckBox, title).click();
        harness.run();
        let after = harness.get_by_role_and_label(Role::CheckBox, title).rect();
        assert_eq!(before, after, "what is ticked stays under the pointer");
    }
    let form = &harness.state().lessons().form;
    assert_eq!((form.rules.as_slice(), form.faults), (&chosen[..], 2));
    press_button(&mut harness, "Begin");
    let exercise = harness.state().lessons().spot.as_ref().expect("an exercise").exercise.clone();
    let mut planted: Vec<&str> = exercise.faults.iter().map(|fault| fault.rule.as_str()).collect();
    planted.sort_unstable();
    assert_eq!(planted, chosen);
    assert!(exercise.choices.len() > 10, "what is planted must not be told by what there is to choose from");
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().display().to_string();
    printed(&["lesson", "make", SOUND, "--rule", &chosen.join(","), "--out", &out]);
    let text = std::fs::read_to_string(folder.path().join("key.ron")).expect("a key");
    assert_eq!(Key::parse(&text, "key").expect("reads").exercises, [exercise]);
}

#[test]
fn the_list_holds_what_can_be_planted_and_keeps_to_the_topic() {
    let mut harness = lesson("Spot the fault");
    open_list(&mut harness);
    let found = harness.state().lessons().plantable.of(harness.state().session()).expect("found").clone();
    let sound = example("sound_indirect");
    let repertoire = Repertoire::of(&sound, Profile::usual(), &Of::whole_table()).expect("sound");
    assert_eq!(found, Ok(repertoire.in_order().collect::<Vec<_>>()));
    let title = |id: &str| rule(id).expect("a rule").prose.title(Voice::Trade);
    assert!(harness.query_by_label(title("cistern-lid-not-tight")).is_some());
    harness.get_by_role_and_label(Role::ComboBox, "Topic").click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, "vent").click();
    harness.run();
    assert!(harness.query_by_label(title("cistern-lid-not-tight")).is_none());
    assert!(harness.query_by_label(title("vent-too-low")).is_some());
}
