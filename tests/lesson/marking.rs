//! Marking: whole, half and wrong answers get the stated marks; sheets and keys have the same bytes for the same seed.

use loftwright::cli::{EXIT_SOUND, EXIT_UNUSABLE, Outcome};
use loftwright::layout::{Discharge, Service};
use loftwright::lesson::{
    Allowed, Claim, Exercise, Fault, HINT, Key, Learner, MarkedClaim, NUMBER, Need, Of, PLACE, RULE, Repertoire, WRONG,
    Wish, mark, read_answers, schedule,
};
use loftwright::rules::{Profile, Voice};
use loftwright::sheet::{self, Paper};

use super::command_line::run;
use super::example::example;

/// A vent that is too low, and a lid that is loose; the overhang of the platform is only just enough.
fn exercise() -> Exercise {
    let fault = |rule: &str, parts: &[&str], place, need| Fault {
        rule: rule.to_owned(),
        parts: parts.iter().map(|part| (*part).to_owned()).collect(),
        subjects: 1,
        places: vec![place],
        words: String::new(),
        need,
        working: Vec::new(),
        remedies: Vec::new(),
    };
    let need = Need { value: 270.0, unit: "mm".to_owned(), tolerance: 13.5, words: "at least 270 mm".to_owned() };
    Exercise {
        learner: "Ines Okoro".to_owned(),
        seed: 1,
        faults: vec![
            fault("vent-too-low", &["open-vent", "cistern"], (2300.0, 6000.0), Some(need)),
            fault("cistern-lid-not-tight", &["cistern"], (1957.0, 5862.0), None),
        ],
        allowed: vec![Allowed {
            rule: "platform-overhang-too-small".to_owned(),
            parts: vec!["cistern-platform".to_owned()],
            words: String::new(),
        }],
        choices: ["cistern-lid-not-tight", "platform-overhang-too-small", "vent-too-low"].map(str::to_owned).to_vec(),
        labels: vec![("vent 28".to_owned(), "open-vent".to_owned())],
    }
}

fn claim(part: &str, rule: &'static str, number: &str) -> Claim {
    Claim { part: part.to_owned(), at: None, rule: Some(rule), number: number.to_owned() }
}

#[track_caller]
fn check(claims: &[Claim], hints: i32, got: i32) {
    let marks = mark(&exercise(), claims, hints);
    assert_eq!((marks.got, marks.out_of), (got, 2 * (PLACE + RULE) + NUMBER), "{marks:?}");
}

#[test]
fn whole_half_and_wrong_answers_get_the_stated_marks() {
    let vent = || claim("open-vent", "vent-too-low", "270 mm");
    let lid = || claim("cistern", "cistern-lid-not-tight", "");
    check(&[vent(), lid()], 0, 10);
    check(&[lid(), vent()], 0, 10);
    check(&[vent()], 0, 6);
    check(&[], 0, 0);
    // The number within the tolerance, within three times of it, beyond; in another unit; without a unit.
    for (number, marks) in [("283.5", 2), ("0.26 m", 2), ("230 mm", 1), ("310.5", 1), ("311", 0), ("", 0), ("high", 0)]
    {
        check(&[claim("open-vent", "vent-too-low", number)], 0, PLACE + RULE + marks);
    }
    // A part that only takes part, a part that does not; a rule of the same topic, a rule of another.
    check(&[claim("cistern", "vent-too-low", "270")], 0, PLACE / 2 + RULE + NUMBER);
    check(&[claim("bath", "vent-too-low", "270")], 0, RULE + NUMBER);
    check(&[claim("open-vent", "vent-offset-too-short", "270")], 0, PLACE + RULE / 2);
    check(&[claim("open-vent", "joist-sags", "270")], 0, PLACE);
    // Places on the drawing: 150 mm is near enough.
    let at = |x: f64| Claim { at: Some((x, 6000.0)), ..claim("", "vent-too-low", "270") };
    check(&[at(2450.0)], 0, PLACE + RULE + NUMBER);
    check(&[at(2451.0)], 0, RULE + NUMBER);
}

#[test]
fn wrong_claims_and_hints_cost_marks_and_nobody_gets_less_than_nothing() {
    let all = [claim("open-vent", "vent-too-low", "270"), claim("cistern", "cistern-lid-not-tight", "")];
    let wrong = claim("bath", "joist-sags", "");
    let near_miss = claim("cistern-platform", "platform-overhang-too-small", "50");
    check(&all, 3, 10 - 3 * HINT);
    check(&[all[0].clone(), wrong.clone(), all[1].clone()], 0, 10 - WRONG);
    check(&[all[0].clone(), all[1].clone(), near_miss.clone()], 0, 10 - WRONG);
    check(&[wrong.clone(), wrong.clone()], 4, 0);
    // The same claim twice counts once.
    check(&[all[0].clone(), all[0].clone()], 0, 6 - WRONG);
    let marks = mark(&exercise(), &[near_miss, wrong, all[1].clone()], 0);
    assert_eq!(marks.claims, [MarkedClaim::Allowed(0), MarkedClaim::Wrong, MarkedClaim::Fault(1)]);
    assert_eq!(marks.missed().collect::<Vec<_>>(), [0]);
}

#[test]
fn each_claim_counts_where_all_of_them_earn_most() {
    // Alone the first would earn more on the vent, but the second can earn on nothing else.
    let claims = [claim("cistern", "vent-too-low", ""), claim("open-vent", "vent-too-low", "270")];
    check(&claims, 0, 6 + PLACE);
}

#[test]
fn answers_are_read_from_a_table_by_letter_title_or_id() {
    let key = Key { format: 1, title: String::new(), profile: String::new(), exercises: vec![exercise()] };
    let text = "Learner,Part,Fault,Should be,Hints\nines okoro,Open vent,C,270 mm,1\nInes Okoro,cistern,Cistern-lid-not-tigt,,\n\
                Ines Okoro,,,,1\nInes Okoro,bath,the cat,,\n";
    let sheets = read_answers(text, &key).expect("read");
    assert_eq!((sheets.len(), sheets[0].hints, sheets[0].claims.len()), (1, 2, 3));
    assert_eq!(sheets[0].not_understood, ["the cat"]);
    assert_eq!(mark(&exercise(), &sheets[0].claims, sheets[0].hints).got, 10 - WRONG - 2 * HINT);
    let refused = |text: &str| read_answers(text, &key).expect_err("refused").to_string();
    assert!(refused("part,number\n").contains("no column 'fault'"));
    assert!(
        refused("learner,part,fault\nTom,bath,A\n").starts_with("line 2: the key has no exercise for 'Tom'")
            || exercise().learner.is_empty()
    );
    assert!(refused("part,fault,hints\nbath,A,many\n").starts_with("line 2: 'many' is no number of hints"));
}

#[test]
fn a_part_may_be_called_as_the_drawing_calls_it() {
    let key = Key { format: 1, title: String::new(), profile: String::new(), exercises: vec![exercise()] };
    for (written, part) in [
        ("Open vent", "open-vent"),
        ("open vent 22", "open-vent"),
        ("open vent, 22 mm", "open-vent"),
        ("Vent 28", "open-vent"),
        ("cistern 2", "cistern-2"),
        ("bath", "bath"),
    ] {
        let sheets = read_answers(&format!("part,fault\n\"{written}\",C\n"), &key).expect("read");
        assert_eq!(sheets[0].claims[0].part, part, "{written}");
    }
}

#[test]
fn a_key_holds_what_the_drawing_calls_one_part_alone() {
    let exercise = &two_exercises().0.exercises[0];
    let means = |words: &str| exercise.labels.iter().find(|(label, _)| label == words).map(|(_, id)| id.as_str());
    assert_eq!((means("warning pipe 22"), means("hot 22")), (Some("warning-pipe"), Some("draw-off")));
    assert_eq!((means("cold 15"), means("cold")), (None, None), "two parts are called so");
}

fn two_exercises() -> (Key, Vec<Vec<u8>>) {
    // Of few rules, so that the golden key stays when others are added to the table.
    let rules = ["cistern-lid-not-tight", "platform-overhang-too-small", "vent-too-low", "vent-offset-too-short"];
    let of = rules.iter().fold(Of::default(), |of, id| of.with_rule(id).expect("a rule"));
    let repertoire = Repertoire::of(&example("sound_indirect"), Profile::usual(), &of).expect("a sound layout");
    let mut key = Key::new("A house", Profile::usual());
    let mut sheets = Vec::new();
    for name in ["Ines Okoro", "Tom Brand"] {
        let learner = Learner::new(7, name);
        let planted = repertoire.plant(Wish { faults: 2, near_misses: 1 }, learner.seed).expect("planted");
        let mut exercise = Exercise::of(&planted, &learner, &repertoire);
        exercise.choices.retain(|id| rules.contains(&id.as_str()));
        sheets.push(sheet::worksheet(&planted.layout, &exercise, Paper::A3).expect("a worksheet"));
        let answers = sheet::answer_sheet(&planted.layout, &planted.findings, &exercise, Paper::A4);
        sheets.push(answers.expect("an answer sheet"));
        key.exercises.push(exercise);
    }
    (key, sheets)
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_each_learner_another_exercise() {
    let ((key, sheets), (again, sheets_again)) = (two_exercises(), two_exercises());
    assert!(key.text() == again.text() && sheets == sheets_again, "two runs differ");
    assert_ne!(key.exercises[0].faults, key.exercises[1].faults);
    let path = std::path::Path::new("tests/golden/lesson_key.ron");
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(path, key.text()).expect("written");
    }
    assert_eq!(key.text(), std::fs::read_to_string(path).expect("the golden key"), "UPDATE_GOLDEN=1 renews it");
    assert_eq!(Key::parse(&key.text(), "key").expect("reads back"), key);
    let error = Key::parse(&key.text().replacen("seed:", "sead:", 1), "key.ron").expect_err("a slip").to_string();
    assert!(error.contains("line 9, column 13") && error.contains("did you mean 'seed'?"), "{error}");
}

#[test]
fn a_class_is_made_answered_and_marked_from_the_command_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    std::fs::write(path("names.csv"), "name\nInes Okoro\nTom Brand\n").expect("names");
    let out = path("class");
    let make = ["lesson", "make", "examples/sound_indirect.loft.ron", "--faults", "2", "--seed", "9"];
    let names = path("names.csv");
    let (outcome, printed, err) = run(&[&make[..], &["--out", &out, "--names", &names]].concat());
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    assert!(printed.contains("ines-okoro-") && printed.contains("key.ron"), "{printed}");
    let key_path = path("class/key.ron");
    let key = Key::parse(&std::fs::read_to_string(&key_path).expect("a key"), "key").expect("reads");
    // The first learner knows everything, the second nothing.
    let mut answers =
        std::fs::read_to_string(path("class/answers.csv")).expect("a form").lines().next().expect("heads").to_owned();
    for claim in key.exercises[0].answers() {
        answers += &format!("\nInes Okoro,{},{},{},", claim.part, claim.rule.expect("a rule"), claim.number);
    }
    answers += "\nTom Brand,,,,\n";
    std::fs::write(path("answers.csv"), answers).expect("written");
    let (answers, record) = (path("answers.csv"), path("course.ron"));
    let (outcome, printed, err) = run(&["lesson", "mark", &answers, "--key", &key_path, "--record", &record]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    assert!(printed.contains("(100 %)") && printed.contains("Tom Brand: 0 of "), "{printed}");
    let (_, csv, _) = run(&["lesson", "record", &record]);
    assert_eq!(csv.lines().count(), 3, "{csv}");
    assert!(csv.starts_with("day,learner,layout,seed,faults,marks,out of,hints,seconds,missed"), "{csv}");
}

#[test]
fn faults_are_chosen_on_the_command_line_from_those_that_can_be_planted() {
    let sound = "examples/sound_indirect.loft.ron";
    let (outcome, listed, _) = run(&["lesson", "faults", sound, "--topic", "cistern"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    let ids: Vec<&str> = listed.lines().filter_map(|line| Some(line.split_once(": ")?.0)).collect();
    assert!(ids.len() > 3 && ids.contains(&"cistern-lid-not-tight") && !ids.contains(&"vent-too-low"), "{listed}");
    let folder = tempfile::tempdir().expect("a folder");
    let made = |out: &str, more: &[&str]| {
        let out = folder.path().join(out).display().to_string();
        let (outcome, printed, err) = run(&[&["lesson", "make", sound, "--out", &out][..], more].concat());
        assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""), "{more:?}: {printed}");
        let key = std::fs::read_to_string(format!("{out}/key.ron")).expect("a key");
        let exercise = Key::parse(&key, "key").expect("reads").exercises.remove(0);
        (exercise.faults.iter().map(|fault| fault.rule.clone()).collect::<Vec<_>>(), key)
    };
    let chosen = ["cistern-lid-not-tight", "vent-too-low"];
    let (rules, key) = made("a", &["--rule", &chosen.join(",")]);
    assert_eq!(rules, chosen);
    let (_, again) = made("b", &["--rule", chosen[1], "--rule", chosen[0]]);
    assert_eq!(key, again, "in whatever order they are named");
    let (rules, _) = made("c", &["--rule", &chosen.join(","), "--faults", "1"]);
    assert!(rules.len() == 1 && chosen.contains(&rules[0].as_str()), "{rules:?}");
    let (rules, _) = made("d", &["--topic", "cistern"]);
    assert!(rules.len() == 3 && rules.iter().all(|id| ids.contains(&id.as_str())), "{rules:?}");
}

#[test]
fn what_is_told_of_the_parts_reads_well_and_judges_nothing() {
    let mut layout = example("sound_indirect");
    let pipe = layout.runs.iter_mut().find(|run| run.service == Service::WarningPipe).expect("a warning pipe");
    pipe.discharge = Some(Discharge::Hidden);
    let told = schedule(&layout);
    let of = |part: &str| told.iter().find(|(name, _)| name == part).map(|(_, words)| words.as_str()).expect("told");
    assert_eq!(
        of("warning pipe"),
        "22 mm copper; no valve, drain cock or pump in it; lagged 25 mm thick over 2200 mm of its length; clips 1800 mm \
         apart where it runs level and 2400 mm apart where it stands upright; a screen with openings of 0.65 mm over its \
         open end; it lets its water go where nobody sees it run"
    );
    assert!(of("rising main").contains(
        "; from where it goes on beyond the drawing: stop valve after 200 mm, servicing valve after 5700 mm; "
    ));
    assert!(of("cold feed").contains("; from the cistern: gate valve after 500 mm, drain cock after 2840 mm; "));
    assert!(
        of("cistern").contains("water line 410 mm above its base") && of("cistern").contains("the lid fits closely")
    );
    let faults = loftwright::rules::table().iter().map(|rule| rule.prose.title(Voice::Trade).to_lowercase());
    for title in faults {
        assert!(told.iter().all(|(_, words)| !words.contains(&title)), "'{title}' is told");
    }
    assert!(told.iter().all(|(_, words)| !words.contains("hidden") && !words.contains('?')));
}

#[test]
fn sums_are_drawn_from_the_command_line_and_slips_are_named() {
    let (outcome, printed, _) = run(&["lesson", "sums", "--topic", "vent-rise", "--count", "2", "--seed", "4"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(printed.contains("\n2. ") && printed.contains("rise = 150 mm + 40 mm/m × height"), "{printed}");
    for (arguments, words) in [
        (&["lesson", "sums"][..], "--topic T"),
        (&["lesson", "sums", "--topic", "roofs"], "vent-rise, capacity, load"),
        (&["lesson", "make"], "name the sound layout"),
        (&["lesson", "make", "examples/low_loft.loft.ron", "--out", "/nowhere/at/all"], "faults of its own"),
        (&["lesson", "mark", "answers.csv"], "--key KEY.ron"),
    ] {
        let (outcome, _, err) = run(arguments);
        assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE), "{arguments:?}");
        assert!(err.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{arguments:?}: {err}");
    }
}
