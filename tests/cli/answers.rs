//! The command line: exit codes, the shape of JSON, slips that are named, several files at once.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use loftwright::cli::{self, COMMANDS, EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, Opening, Outcome};
use loftwright::rules::{self, Voice};
use serde_json::Value;

use crate::command_line::run;

const SOUND: &str = "examples/sound_indirect.loft.ron";
/// The open vent of that example, and a lower one.
const VENT: &str = "via: [(3650, 6110), (2300, 6125)], to: Open((2300, 6000))";
const LOW_VENT: &str = "via: [(3650, 5890), (2300, 5895)], to: Open((2300, 5820))";

/// The sound example with one thing changed, in a folder that goes with it.
fn changed(from: &str, to: &str) -> (tempfile::TempDir, String) {
    let text = std::fs::read_to_string(SOUND).expect("reads");
    assert!(text.contains(from), "the example no longer holds {from}");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("changed.loft.ron");
    std::fs::write(&path, text.replacen(from, to, 1)).expect("writes");
    let name = path.display().to_string();
    (folder, name)
}

fn json_lines(text: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str(line).unwrap_or_else(|error| panic!("{error}: {line}"))).collect()
}

#[test]
fn exit_codes_tell_sound_breached_and_unusable_apart() {
    let (_kept, low_vent) = changed(VENT, LOW_VENT);
    let (_kept_too, advice_only) = changed("MarinePly", "ExteriorPly");
    for (arguments, expected) in [
        (vec!["check", SOUND], EXIT_SOUND),
        (vec!["check", &low_vent], EXIT_BREACH),
        (vec!["check", &advice_only], EXIT_SOUND),
        (vec!["check", "gone.loft.ron"], EXIT_UNUSABLE),
        (vec!["check"], EXIT_UNUSABLE),
        (vec!["check", SOUND, "--reading", "verse"], EXIT_UNUSABLE),
        (vec!["check", SOUND, "--jason"], EXIT_UNUSABLE),
        (vec!["rules"], EXIT_SOUND),
        (vec!["rules", "no-such-rule"], EXIT_UNUSABLE),
        (vec!["--help"], EXIT_SOUND),
        (vec!["--version"], EXIT_SOUND),
    ] {
        assert_eq!(run(&arguments).0, Outcome::Exit(expected), "{arguments:?}");
    }
}

#[test]
fn a_breach_is_told_with_numbers_remedy_and_source() {
    let (_kept, file) = changed(VENT, LOW_VENT);
    let (_, out, err) = run(&["check", &file]);
    assert_eq!(err, "");
    let whole = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for expected in
        ["BREACH (must) Open vent too low", "Remedy: Raise the top of the vent by", "Source: guidance: 150 mm"]
    {
        assert!(whole.contains(expected), "{expected} is not in:\n{out}");
    }
    assert!(out.lines().skip(1).all(|line| line.chars().count() <= 100), "{out}");
    assert!(!out.contains("MEETS"));
    assert!(run(&["check", &file, "--all"]).1.contains("MEETS"));
}

#[test]
fn heaviest_comes_first() {
    let (_kept, file) = changed(VENT, LOW_VENT);
    let text = std::fs::read_to_string(&file).expect("reads").replace("water_line: 410,", "");
    std::fs::write(&file, text.replace("MarinePly", "ExteriorPly")).expect("writes");
    let (_, out, _) = run(&["check", &file]);
    let at = |word: &str| out.find(word).unwrap_or_else(|| panic!("no {word} in:\n{out}"));
    assert!(at("BREACH (must)") < at("BREACH (advice)"));
    assert!(out.rfind("BREACH") < Some(at("UNKNOWN")));
}

#[test]
fn the_three_readings_differ_and_all_tell_the_numbers() {
    let (_kept, file) = changed(VENT, LOW_VENT);
    let said = ["trade", "teaching", "plain"].map(|reading| run(&["check", &file, "--reading", reading]).1);
    assert!(said[0] != said[1] && said[1] != said[2]);
    assert!(said.iter().all(|text| text.contains("mm above the water line")));
}

#[test]
fn json_has_the_shape_that_is_promised() {
    let (_kept, file) = changed(VENT, LOW_VENT);
    let (outcome, out, _) = run(&["check", "--json", &file]);
    assert_eq!(outcome, Outcome::Exit(EXIT_BREACH));
    let reports = json_lines(&out);
    let [report] = reports.as_slice() else { panic!("one file, one line:\n{out}") };
    assert_eq!(report["file"], file.as_str());
    assert_eq!(report["title"], "Indirect cylinder below a 227 L cistern");
    let findings = report["findings"].as_array().expect("a list");
    let count_of = |verdict: &str| findings.iter().filter(|finding| finding["verdict"] == verdict).count();
    for verdict in ["breach", "marginal", "unknown", "meets"] {
        assert_eq!(report["counts"][verdict], count_of(verdict), "{verdict}");
    }
    let vent = findings.iter().find(|finding| finding["rule"] == "vent-too-low").expect("the vent is judged");
    assert_eq!(vent["verdict"], "breach");
    assert_eq!(vent["weight"], "must");
    assert_eq!(vent["parts"][0], "open-vent");
    for amount in ["have", "need", "short_by"] {
        assert!(vent[amount]["value"].is_f64(), "{amount}");
        assert_eq!(vent[amount]["unit"], "mm", "{amount}");
    }
    let short = vent["need"]["value"].as_f64().expect("a number") - vent["have"]["value"].as_f64().expect("a number");
    assert!((vent["short_by"]["value"].as_f64().expect("a number") - short).abs() < 1e-6);
    assert!(vent["words"].as_str().expect("text").contains("above the water line"));
    assert!(vent["source"].is_string() && vent["seen"].is_boolean() && vent["basis"].is_string());
    assert_eq!(vent["anchors"].as_array().expect("a list").len(), 2);
}

#[test]
fn each_of_several_files_is_told_of_and_a_bad_one_stops_none() {
    let (outcome, out, err) = run(&["check", "--json", "gone.loft.ron", SOUND, "examples/low_loft.loft.ron"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    let files: Vec<Value> = json_lines(&out).iter().map(|report| report["file"].clone()).collect();
    assert_eq!(files, [SOUND, "examples/low_loft.loft.ron"]);
    assert!(err.contains("gone.loft.ron"));
}

#[test]
fn every_example_is_read_and_judged() {
    for entry in std::fs::read_dir("examples").expect("examples") {
        let path = entry.expect("entry").path();
        if path.extension().is_some_and(|ending| ending == "ron") {
            let name = path.display().to_string();
            let (outcome, _, err) = run(&["check", &name]);
            let sound = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with("sound"));
            assert_eq!(err, "", "{name}");
            assert!(!sound || outcome == Outcome::Exit(EXIT_SOUND), "{name}");
        }
    }
}

#[test]
fn every_rule_is_listed_and_told_whole() {
    let (_, list, _) = run(&["rules"]);
    assert_eq!(list.lines().count(), rules::table().len());
    let (_, json, _) = run(&["rules", "--json"]);
    for ((rule, line), data) in rules::table().iter().zip(list.lines()).zip(json_lines(&json)) {
        assert!(line.starts_with(rule.id) && line.ends_with(rule.prose.title(Voice::Trade)), "{line}");
        assert_eq!(data["id"], rule.id);
        let (outcome, whole, _) = run(&["rules", rule.id]);
        assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
        for word in ["Limit:", "Weight:", "Source:", "Remedy:", "Trade:", "Teaching:", "Plain:"] {
            assert!(whole.contains(word), "{} lacks {word}", rule.id);
        }
        let told = whole.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(&rule.authority()), "{} does not name its authority", rule.id);
        for other in rule.others_say {
            assert!(told.contains(other.words), "{} hides that {}", rule.id, other.words);
        }
    }
}

#[test]
fn a_drawing_is_written_and_is_the_same_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let draw = |name: &str, scale: &[&str]| {
        let path = folder.path().join(name);
        let out = path.display().to_string();
        let (outcome, said, err) = run(&[&["draw", SOUND, "--out", &out], scale].concat());
        assert_eq!((outcome, said, err), (Outcome::Exit(EXIT_SOUND), String::new(), String::new()));
        std::fs::read(path).expect("it is there")
    };
    let svg = draw("a.svg", &[]);
    assert_eq!(svg, draw("b.svg", &[]));
    assert_ne!(svg, draw("c.svg", &["--scale", "1:100"]));
    let text = String::from_utf8(svg).expect("text");
    assert!(text.starts_with("<svg") || text.starts_with("<?xml"), "{}", &text[..40]);
    assert!(text.contains("Indirect cylinder below") && text.contains("0 in breach"));
    assert!(draw("a.png", &[]).starts_with(b"\x89PNG\r\n\x1a\n"));
}

#[test]
fn a_drawing_that_cannot_be_made_leaves_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = |name: &str| folder.path().join(name).display().to_string();
    for (arguments, words) in [
        (["draw", SOUND, "--out", &out("a.bmp"), "--scale", "1:20"], "end in .svg, .pdf, .png or .dxf"),
        (["draw", SOUND, "--out", &out("a.svg"), "--scale", "1:0"], "such as 1:20"),
        (["draw", SOUND, "--out", &out("a.svg"), "--scale", "NaN"], "such as 1:20"),
        (["draw", "gone.loft.ron", "--out", &out("a.svg"), "--scale", "1:20"], "no such file"),
        (["draw", SOUND, "--out", &out("gone/a.svg"), "--scale", "1:20"], "there is no such folder"),
    ] {
        let (outcome, _, err) = run(&arguments);
        assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE), "{arguments:?}");
        assert!(err.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{err}");
    }
    assert_eq!(std::fs::read_dir(folder.path()).expect("there").count(), 0);
}

#[test]
fn slips_are_answered_with_what_was_meant() {
    for (arguments, meant) in [
        (["rules", "vent-to-low"], "did you mean 'vent-too-low'?"),
        (["rules", "Vent_Too_Low"], "did you mean 'vent-too-low'?"),
        (["chekc", SOUND], "did you mean 'check'?"),
        (["frobnicate", SOUND], "the commands are start, check"),
    ] {
        let (outcome, out, err) = run(&arguments);
        assert_eq!((outcome, out.as_str()), (Outcome::Exit(EXIT_UNUSABLE), ""));
        assert!(err.contains(meant), "{err}");
    }
    assert!(run(&["chek"]).2.contains("did you mean 'check'?"));
}

#[test]
fn help_names_every_command() {
    let (_, help, _) = run(&["--help"]);
    for command in COMMANDS {
        assert!(help.contains(command.name) && help.contains(command.about), "{}", command.name);
        let (outcome, own, _) = run(&[command.name, "--help"]);
        assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
        assert!(own.contains(command.about));
    }
}

fn window(file: Option<&str>) -> Outcome {
    Outcome::Window(Opening { file: file.map(PathBuf::from), frames: None })
}

#[test]
fn no_command_asks_for_the_window() {
    assert_eq!(run(&[""; 0]).0, window(None));
    assert_eq!(run(&[SOUND]).0, window(Some(SOUND)));
    // A file that is not there is the window's to tell, unless it is a slip.
    assert_eq!(run(&["new-house.loft.ron"]).0, window(Some("new-house.loft.ron")));
}

/// A reader that goes away at once.
struct Gone(io::ErrorKind);

impl Write for Gone {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(self.0.into())
    }
    fn flush(&mut self) -> io::Result<()> {
        Err(self.0.into())
    }
}

#[test]
fn a_closed_pipe_changes_nothing_and_a_full_disk_is_told() {
    let (_kept, file) = changed(VENT, LOW_VENT);
    let run_into = |kind| {
        let mut err = Vec::new();
        let outcome = cli::run(["check", file.as_str()], &mut Gone(kind), &mut err);
        (outcome, String::from_utf8(err).expect("text"))
    };
    assert_eq!(run_into(io::ErrorKind::BrokenPipe), (Outcome::Exit(EXIT_BREACH), String::new()));
    let (outcome, err) = run_into(io::ErrorKind::StorageFull);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    assert!(err.contains("cannot be written"), "{err}");
}

#[test]
fn the_program_itself_answers() {
    let program = Path::new(env!("CARGO_BIN_EXE_loftwright"));
    let mut window = std::process::Command::new(program);
    let without_display = window.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").output().expect("runs");
    let complaint = String::from_utf8(without_display.stderr).expect("text");
    assert_eq!(without_display.status.code(), Some(i32::from(EXIT_UNUSABLE)), "{complaint}");
    assert!(complaint.lines().count() == 1 && complaint.contains("loftwright check"), "{complaint}");
    let check = std::process::Command::new(program).args(["check", SOUND]).output().expect("runs");
    assert_eq!(check.status.code(), Some(i32::from(EXIT_SOUND)));
    assert!(String::from_utf8(check.stdout).expect("text").contains("0 in breach"));
}

#[test]
fn a_profile_judges_and_its_differences_are_named_everywhere() {
    let (kept, warm) = changed("stored_temperature: 18", "stored_temperature: 22");
    let (outcome, out, _) = run(&["check", &warm]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(out.contains("judged by: England and Wales"));
    let (outcome, out, _) = run(&["check", &warm, "--profile", "scotland"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_BREACH));
    assert!(out.contains("cold-store-too-warm asks at most 20 °C instead of at most 25 °C"), "{out}");
    assert!(out.contains("Local:"));

    let own = kept.path().join("own.ron");
    std::fs::write(&own, r#"(name: "ours", off: ["cold-store-too-warm"])"#).expect("writes");
    let own = own.display().to_string();
    let (outcome, json, _) = run(&["check", &warm, "--json", "--profile", &own]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    let report = &json_lines(&json)[0];
    assert_eq!(
        (&report["profile"], &report["differences"][0]),
        (&"ours".into(), &"cold-store-too-warm is not asked".into())
    );
    let svg = kept.path().join("sheet.svg").display().to_string();
    assert_eq!(run(&["draw", &warm, "--out", &svg, "--profile", &own]).0, Outcome::Exit(EXIT_SOUND));
    assert!(std::fs::read_to_string(&svg).expect("it is there").contains("judged by: ours"));
}

#[test]
fn a_wrong_profile_is_named_with_what_was_meant() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("own.ron");
    std::fs::write(&path, r#"(name: "ours", off: ["vent-to-low"])"#).expect("writes");
    let (outcome, _, err) = run(&["check", SOUND, "--profile", &path.display().to_string()]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    assert!(err.contains("did you mean 'vent-too-low'?"), "{err}");
    let (outcome, _, err) = run(&["check", SOUND, "--profile", "wales"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    assert!(err.contains("england-and-wales"), "{err}");
}

#[test]
fn a_layout_names_its_profile_and_the_command_line_goes_before_it() {
    let (_kept, warm) = changed("stored_temperature: 18", "stored_temperature: 22");
    let text = std::fs::read_to_string(&warm).expect("reads");
    let naming = |profile: &str| {
        let named = text.replacen("heading: (", &format!("heading: (profile: \"{profile}\","), 1);
        std::fs::write(&warm, named).expect("writes");
    };
    assert_eq!(run(&["check", &warm]).0, Outcome::Exit(EXIT_SOUND));
    naming("scotland");
    let (outcome, out, _) = run(&["check", &warm]);
    assert_eq!(outcome, Outcome::Exit(EXIT_BREACH));
    assert!(out.contains("judged by: Scotland") && out.contains("cold-store-too-warm asks at most 20 °C"), "{out}");
    let (outcome, out, _) = run(&["check", &warm, "--profile", "england-and-wales"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(out.contains("judged by: England and Wales"), "{out}");
    // A slip is named with what is meant, and the other files are judged all the same.
    naming("scotlnd");
    let (outcome, out, err) = run(&["check", &warm, SOUND]);
    assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
    let complaint = err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(complaint.contains("judged by 'scotlnd'") && complaint.contains("did you mean 'scotland'?"), "{err}");
    assert!(out.contains("0 in breach, 0 marginal, 0 unknown"), "{out}");
    let svg = PathBuf::from(&warm).with_extension("svg").display().to_string();
    assert_eq!(run(&["draw", &warm, "--out", &svg]).0, Outcome::Exit(EXIT_UNUSABLE));
    assert_eq!(run(&["draw", &warm, "--out", &svg, "--profile", "scotland"]).0, Outcome::Exit(EXIT_SOUND));
    assert!(std::fs::read_to_string(&svg).expect("drawn").contains("judged by: Scotland"));
}

#[test]
fn a_frost_is_told_part_by_part_as_text_and_as_data() {
    let (outcome, out, _) = run(&["trial", SOUND, "frost"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(
        out.contains("A frost of 8 h:") && out.contains("rising main: 0 °C after 1 h, half ice after 8.5 h"),
        "{out}"
    );
    let (_, out, _) = run(&["trial", "examples/low_loft.loft.ron", "frost", "--json"]);
    let frost = json_lines(&out)[0]["frost"].as_array().expect("a list").clone();
    let of = |part: &str| frost.iter().find(|report| report["part"] == part).unwrap_or_else(|| panic!("{part}: {out}"));
    let (vent, cistern) = (of("open-vent"), of("cistern"));
    assert!(vent["to_half_ice_h"].as_f64() < vent["lasts_h"].as_f64() && vent["wanted_mm"].as_f64() > Some(5.0));
    assert_eq!((&vent["gives_in"], &cistern["gives_in"]), (&Value::Bool(true), &Value::Bool(false)));
    // Half of 227 L and more at 0 °C holds far more heat than its way from 7 °C down: 167 kJ/kg against 29 kJ/kg.
    assert!(cistern["to_half_ice_h"].as_f64() > cistern["to_freezing_h"].as_f64().map(|hours| 4.0 * hours));
    let (_folder, file) = changed("loft_winter_low: -6, ", "");
    let (_, out, _) = run(&["trial", &file, "frost"]);
    assert!(out.contains("Assumed, because nobody has told:") && out.contains("a loft at -6 °C in frost"), "{out}");
}

#[test]
fn a_rule_is_told_whole_and_all_of_them_as_data() {
    let (_, out, _) = run(&["rules", "--json"]);
    let all = json_lines(&out);
    assert_eq!(all.len(), rules::table().len());
    for (data, rule) in all.iter().zip(rules::table()) {
        assert_eq!(data["id"], rule.id);
        for field in ["title", "limit", "source", "weight", "basis"] {
            assert!(data[field].as_str().is_some_and(|text| !text.is_empty()), "{}: {field}", rule.id);
        }
        assert!(data["levers"].as_array().is_some_and(|levers| !levers.is_empty()), "{}", rule.id);
        for reading in ["trade", "teaching", "plain"] {
            assert!(data["readings"][reading].as_str().is_some_and(|text| !text.is_empty()), "{}", rule.id);
        }
        let whole = run(&["rules", rule.id]).1.split_whitespace().collect::<Vec<_>>().join(" ");
        for other in rule.others_say {
            let words = format!("{}: {}", other.words, other.source);
            assert!(whole.contains(&words), "{} does not show: {words}", rule.id);
        }
    }
}

#[test]
fn flow_tells_every_tap_the_vent_and_the_solver() {
    let (outcome, out, err) = run(&["flow", SOUND, "--json"]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    let report = &json_lines(&out)[0];
    let outlets = report["outlets"].as_array().expect("a list");
    assert_eq!(outlets.len(), 5);
    for outlet in outlets {
        assert_eq!(outlet["open"], true);
        let (value, least) = (outlet["flow"]["value"].as_f64(), outlet["flow"]["least"].as_f64());
        assert!(value.expect("a flow") > 0.0 && value >= least, "{outlet}");
        assert!(outlet["alone"]["value"].as_f64() >= value, "{outlet}");
        assert_eq!(outlet["residual_head"]["unit"], "m head");
    }
    assert_eq!(report["vent"]["draws_air"], false);
    assert_eq!(report["report"]["outcome"], "converged");
}

#[test]
fn flow_opens_and_shuts_what_is_named() {
    let (_, out, _) = run(&["flow", SOUND, "--json", "--open", "bath hot,basin", "--shut", "cold-distribution"]);
    let report = &json_lines(&out)[0];
    let open: Vec<(&str, &str)> = report["outlets"]
        .as_array()
        .expect("a list")
        .iter()
        .filter(|outlet| outlet["open"] == true)
        .map(|outlet| (outlet["id"].as_str().expect("an id"), outlet["supply"].as_str().expect("a word")))
        .collect();
    assert_eq!(open, [("bath", "hot"), ("basin", "hot"), ("basin", "cold")]);
    let basin_cold = &report["outlets"].as_array().expect("a list")[3];
    assert!(basin_cold["flow"].is_null() && !basin_cold["words"].as_str().expect("words").is_empty(), "{basin_cold}");
    for slip in [["--open", "bathh"], ["--shut", "cold-fed"], ["--shut", "wc-cold/9"]] {
        let (outcome, _, err) = run(&["flow", SOUND, slip[0], slip[1]]);
        assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
        assert!(err.starts_with("there is no"), "{err}");
    }
}

#[test]
fn sizes_are_told_for_every_run_that_taps_draw_through() {
    let (_, out, _) = run(&["flow", SOUND, "--sizes", "--json"]);
    let sizes: Vec<Value> = serde_json::from_str(&out).expect("a list");
    let feed = sizes.iter().find(|size| size["run"] == "cold-feed").expect("the feed");
    assert!(feed["smallest_mm"].as_f64().expect("a size") <= feed["drawn_mm"].as_f64().expect("a size"));
}

#[test]
fn every_trial_plays_on_the_sound_example() {
    for (trial, total) in [
        ("mains-off", "bath hot stops after"),
        ("valve-stuck", "air gap that is left"),
        ("heat-up", "goes back up the feed"),
    ] {
        let (outcome, out, err) = run(&["trial", SOUND, trial, "--json"]);
        assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
        let report = &json_lines(&out)[0];
        let played = &report["played"].as_array().expect("a list")[0];
        let totals = played["totals"].as_array().expect("a list");
        assert!(totals.iter().any(|found| found["words"] == total), "{trial}: {totals:?}");
        let times: Vec<f64> = played["moments"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|moment| moment["time_s"].as_f64().expect("a time"))
            .collect();
        assert!(times.len() > 10 && times.is_sorted(), "{trial}");
        assert!(run(&["trial", SOUND, trial]).1.contains(total), "{trial}");
    }
    let (_, out, _) = run(&["trial", SOUND, "drain"]);
    for words in ["a new washer in bath hot", "gate valve in cold feed", "the drain cock in cold feed"] {
        assert!(out.contains(words), "{words} is not in:\n{out}");
    }
    assert_eq!(run(&["trial", SOUND, "flood"]).0, Outcome::Exit(EXIT_UNUSABLE));
}

#[test]
fn a_sum_shows_its_working_and_names_slips() {
    let (outcome, out, _) = run(&["sum", "vent-rise", "--height", "3.2"]);
    assert_eq!(outcome, Outcome::Exit(EXIT_SOUND));
    assert!(out.contains("150 mm + 40 mm/m × 3.2 m") && out.contains("278"), "{out}");
    assert!(!out.contains("Not given"), "{out}");
    let (_, out, _) = run(&["sum", "vent-rise", "--height=3200 mm", "--json"]);
    let report = &json_lines(&out)[0];
    assert_eq!(report["outputs"]["rise"]["value"], 278.0);
    assert!(report["working"].as_array().is_some_and(|lines| !lines.is_empty()));
    let (_, out, _) = run(&["sum", "gravity-circulation"]);
    assert!(out.contains("  Not given, so taken as usual: --flow 80 °C, --return 60 °C, --height 1 m\n"), "{out}");
    let (_, out, _) = run(&["sum", "gravity-circulation", "--flow", "70", "--height", "4"]);
    assert!(out.contains("as usual: --return 60 °C\n"), "{out}");
    for (arguments, words) in [
        (vec!["sum", "vent-rize"], "did you mean 'vent-rise'"),
        (vec!["sum", "vent-rise", "--hight", "3"], "did you mean 'height'"),
        (vec!["sum", "vent-rise", "--height", "high"], "is not a number"),
        (vec!["sum", "vent-rise", "--height", "900"], "the sum holds from"),
        (vec!["sum", "vent-rise", "--height"], "no value"),
        (vec!["sum", "head", "--temperature", "20"], "needs height"),
    ] {
        let (outcome, _, err) = run(&arguments);
        assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE), "{arguments:?}");
        assert!(err.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{arguments:?}: {err}");
    }
}
