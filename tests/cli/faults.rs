//! Files that are no layouts: each gets one paragraph that names the place and a remedy, and exit code 2, at once.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use loftwright::cli::{EXIT_SOUND, EXIT_UNUSABLE, Outcome};

use crate::command_line::run;

const SOUND: &str = include_str!("../../examples/sound_indirect.loft.ron");

/// A folder with one file in it, and what `check` says of that file.
struct Trial {
    folder: tempfile::TempDir,
    path: PathBuf,
}

impl Trial {
    fn new(bytes: impl AsRef<[u8]>) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("house.loft.ron");
        fs::write(&path, bytes).expect("writes");
        Self { folder, path }
    }

    /// The paragraph on standard error, with its line breaks taken out, and the caret's lines.
    fn refused(&self) -> (String, String) {
        let before = fs::metadata(&self.path).expect("there");
        let begun = Instant::now();
        let (outcome, out, err) = checked(&self.path);
        assert!(begun.elapsed() < MOST_TIME, "took {:?}", begun.elapsed());
        assert_eq!((outcome, out.as_str()), (Outcome::Exit(EXIT_UNUSABLE), ""), "{err}");
        let after = fs::metadata(&self.path).expect("still there");
        assert_eq!((before.len(), before.modified().ok()), (after.len(), after.modified().ok()));
        assert_eq!(fs::read_dir(self.folder.path()).expect("there").count(), 1, "nothing was put beside it");
        let lines: Vec<&str> = err.lines().collect();
        let caret = lines.iter().position(|line| line.trim_start().starts_with('|') || line.is_empty());
        let (paragraph, caret) = lines.split_at(caret.unwrap_or(lines.len()));
        assert!(paragraph.iter().all(|line| line.chars().count() <= 100 || !line.contains(' ')), "{err}");
        let paragraph = paragraph.join(" ");
        assert!(paragraph.contains(';'), "no remedy in: {paragraph}");
        (paragraph, caret.join("\n"))
    }
}

fn checked(path: &Path) -> (Outcome, String, String) {
    run(&["check".as_ref(), path.as_os_str()])
}

/// The example with one thing changed is refused with these words, at this place, with the caret under `marked`.
#[track_caller]
fn check(from: &str, to: &str, words: &[&str], marked: &str) {
    assert!(SOUND.contains(from), "the example no longer holds {from}");
    let text = SOUND.replacen(from, to, 1);
    let (paragraph, caret) = Trial::new(&text).refused();
    for expected in words {
        assert!(paragraph.contains(expected), "'{expected}' is not in: {paragraph}");
    }
    let (line, column) = place_in(&paragraph);
    let at: String = text.lines().nth(line - 1).expect("the line is there").chars().skip(column - 1).collect();
    assert!(at.starts_with(marked), "line {line}, column {column} is at: {at}");
    assert_eq!(caret.matches('^').count(), marked.chars().count(), "{caret}");
}

fn place_in(paragraph: &str) -> (usize, usize) {
    let number = |after: &str| -> usize {
        let (_, rest) = paragraph.split_once(after).unwrap_or_else(|| panic!("no '{after}' in: {paragraph}"));
        rest.chars().take_while(char::is_ascii_digit).collect::<String>().parse().expect("a number")
    };
    (number(", line "), number(", column "))
}

#[test]
fn an_empty_file() {
    for text in ["", " \n\t\r\n", "\u{feff}"] {
        assert!(Trial::new(text).refused().0.contains("the file is empty"));
    }
}

#[test]
fn half_a_file() {
    for share in [3, 5, 8] {
        let (paragraph, caret) = Trial::new(&SOUND[..SOUND.len() * share / 10]).refused();
        assert!(paragraph.contains("the file stops in the middle"), "{paragraph}");
        assert!(paragraph.contains("house.loft.ron~"), "{paragraph}");
        assert!(caret.contains('^'));
    }
}

#[test]
fn wherever_a_file_is_cut_off_that_is_what_is_said() {
    let end = SOUND.trim_end().len();
    for cut in (2..end).filter(|cut| SOUND.is_char_boundary(*cut)) {
        let error = loftwright::file::parse(&SOUND[..cut], "cut").expect_err("half a layout");
        assert!(error.to_string().contains("the file stops in the middle"), "{cut}: {error}");
    }
}

#[test]
fn a_wrong_type() {
    check("length: 1240", "length: \"long\"", &["here should stand a number", "such as 450"], "\"long\"");
    check("opaque: true", "opaque: yes", &["true or false"], "yes");
    check("fittings: []", "fittings: ()", &["a list", "square brackets"], "(");
    check("count: 17", "count: 1.5", &["a whole number"], ".5");
}

#[test]
fn numbers_that_are_none() {
    check("length: 1240", "length: NaN", &["an ordinary number", "not NaN"], "NaN");
    check("length: 1240", "length: inf", &["an ordinary number", "not inf"], "inf");
    check("top: 5160", "top: -inf", &["an ordinary number", "not -inf"], "-inf");
    check("length: 1240", "length: 1e999", &["an ordinary number"], "1e999");
    check("length: 1240", "length: -1240", &["must be more than 0", "got -1240"], "-1240");
    check("x: 4800", "x: 48000000", &["between -1000000 and 1000000"], "48000000");
}

#[test]
fn names_that_are_not_known() {
    check("confirmed_load:", "confirmd_load:", &["did you mean 'confirmed_load'?"], "confirmd_load");
    check("confirmed_load:", "colour:", &["no field 'colour'", "it takes id, at, length"], "colour");
    check("service: ColdFeed", "service: Coldfeed", &["not a known service", "did you mean 'ColdFeed'?"], "Coldfeed");
    check("height: 584, ", "", &["the cistern has no 'height'", "add height:"], "\"cistern\"");
    check("opaque: true,", "opaque: true, opaque: true,", &["'opaque' is stated twice"], "opaque");
    check("id: \"boiler\"", "id: \"The Boiler\"", &["cannot be an id", "small letters"], "The Boiler\"");
}

#[test]
fn references_that_lead_nowhere() {
    let gone = ["run 'draw-off'", "'bathtub', which is not there", "the parts are: basin,"];
    check("Port(\"bath\", \"hot\")", "Port(\"bathtub\", \"hot\")", &gone, "\"bathtub\"");
    let port = ["port 'warm' of 'bath'", "it has: cold, hot"];
    check("Port(\"bath\", \"hot\")", "Port(\"bath\", \"warm\")", &port, "\"warm\"");
    check("id: \"basin\", kind", "id: \"bath\", kind", &["two parts are called 'bath'", "another id"], "\"bath\"");
    let ring = ["starts on a run that starts on it", "end one of them"];
    check("Tee(\"cold-distribution\", 3914)", "Tee(\"wc-cold\", 10)", &ring, "\"basin-cold\"");
    check("(-400, 5160), (3500, 8432), (7400, 5160)", "(1, 2)", &["the roof's underside"], "underside");
}

#[test]
fn the_later_of_two_equal_ids_is_pointed_at() {
    let text = SOUND.replacen("id: \"basin\", kind", "id: \"bath\", kind", 1);
    let (line, _) = place_in(&Trial::new(&text).refused().0);
    assert!(text.lines().nth(line - 1).expect("there").contains("kind: Basin"));
}

#[test]
fn formats_that_are_not_known() {
    check("format: 1", "format: 2", &["this is format 2", "reads format 1", "newer program"], "2");
    check("format: 1", "format: 0", &["there is no format 0", "correct the number"], "0");
    check("format: 1,", "", &["no format is stated", "write format: 1"], "(");
    // The format is told first, whatever else a newer one may hold.
    let (paragraph, _) = Trial::new("(format: 7, rooms: [Hall(3)])").refused();
    assert!(paragraph.contains("this is format 7"), "{paragraph}");
}

#[test]
fn a_file_that_is_something_else_is_called_so_before_any_detail() {
    for (text, words) in [
        ("Quotation of 3 May\n\n1. Cistern 50 gal with lid, 1:1 for the old one\n", ["plain text", "view Take-off"]),
        ("item,count,price\ncistern,1,90\nlid,1,12\n", ["a table", "view Take-off"]),
        ("{\"findings\": []}", ["data for other programs", ".loft.ron"]),
        ("<svg width=\"3\"></svg>", ["a picture", ".loft.ron"]),
    ] {
        let (paragraph, detail) = Trial::new(text).refused();
        assert!(paragraph.contains("this is not a Loftwright layout"), "{paragraph}");
        assert!(words.iter().all(|word| paragraph.contains(word)), "{paragraph}");
        assert!(!paragraph.contains("line 1"), "{paragraph}");
        assert!(detail.contains("line 1, column 1") && detail.contains('^'), "{detail}");
    }
    let (paragraph, _) = Trial::new(b"%PDF-1.7\n%\xe2\xe3\xcf\n").refused();
    assert!(paragraph.contains("seems to be a PDF"), "{paragraph}");
    // What begins as a layout does is a damaged layout.
    let (paragraph, _) = Trial::new(SOUND.replacen("title:", "title", 1)).refused();
    assert!(!paragraph.contains("is not a Loftwright layout"), "{paragraph}");
}

#[test]
fn nesting_without_end() {
    for text in ["(".repeat(100_000), format!("(format: 1, runs: {}", "[".repeat(1_000_000))] {
        let (paragraph, caret) = Trial::new(text).refused();
        assert!(paragraph.contains("line 1, column"), "{paragraph}");
        assert!(caret.len() < 1000);
    }
}

#[test]
fn bytes_that_are_no_text() {
    let mut bytes = SOUND.as_bytes().to_vec();
    let at = SOUND.find("Larkmoor").expect("there");
    bytes[at] = 0xff;
    let (paragraph, caret) = Trial::new(bytes).refused();
    assert!(paragraph.contains("not text in UTF-8"), "{paragraph}");
    assert_eq!(place_in(&paragraph), (5, 22));
    assert!(caret.contains('^'));
}

#[test]
fn a_byte_order_mark_and_carriage_returns_are_taken() {
    let trial = Trial::new(format!("\u{feff}{}", SOUND.replace('\n', "\r\n")));
    let (outcome, out, err) = checked(&trial.path);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    assert!(out.contains("0 in breach"));
    // And places are counted as without them.
    let spoilt = format!("\u{feff}{}", SOUND.replace("kind: Basin", "kind: Bidet").replace('\n', "\r\n"));
    let (line, column) = place_in(&Trial::new(&spoilt).refused().0);
    let at: String = spoilt.lines().nth(line - 1).expect("there").chars().skip(column - 1).collect();
    assert!(at.starts_with("Bidet"), "{at}");
}

#[test]
fn a_file_of_a_hundred_megabytes() {
    let trial = Trial::new("");
    fs::File::options().write(true).open(&trial.path).and_then(|file| file.set_len(100 << 20)).expect("grows");
    let (paragraph, _) = trial.refused();
    assert!(paragraph.contains("it holds 100 MB, and a layout holds at most 16 MB"), "{paragraph}");
}

#[test]
fn more_than_a_layout_may_hold() {
    let (paragraph, _) = Trial::new(SOUND.replace("count: 17", "count: 4000000000")).refused();
    assert!(paragraph.contains("4000000000 joists in one row, and at most 10000"), "{paragraph}");
    let outlets: String = (0..200_001).map(|n| format!("(id:\"o{n}\",kind:Bath,at:(0,0)),")).collect();
    let text = format!("(format: 1, outlets: [{outlets}])");
    let error = loftwright::file::parse(&text, "crowd").expect_err("too many");
    assert!(error.to_string().contains("it holds 200001 parts, and at most 200000"), "{error}");
}

/// The largest file that is read, filled with one thing again and again between a beginning and an end.
fn filled(from: &str, unit: impl Fn(usize) -> String, to: &str) -> String {
    const LARGEST: usize = 16 << 20;
    let mut text = from.to_owned();
    for number in 0.. {
        let next = unit(number);
        if text.len() + next.len() + to.len() > LARGEST {
            break;
        }
        text.push_str(&next);
    }
    text + to
}

/// Memory that the program may have for any file, kB: of addresses, more than is ever in use.
#[cfg(target_os = "linux")]
const MOST_MEMORY_KB: u64 = 1_200_000;
/// Time for any file, however slow the build.
#[cfg(target_os = "linux")]
const MOST_TIME: Duration = Duration::from_secs(60);

/// Each of these is as large as a file may be; the program checks it within its memory and time, and refuses with a
/// reason or judges.
#[cfg(target_os = "linux")]
#[test]
fn the_largest_files_stay_within_memory_and_time() {
    let again = |unit: &'static str| move |_: usize| unit.to_owned();
    let outlet = |n: usize| format!("(id:\"o{n}\",kind:Bath,at:(0,0)),");
    let run = |n: usize| format!("(id:\"r{n}\",service:ColdFeed,from:Onward((0,{n})),to:Onward((9,1))),");
    let bend = |n: usize| format!("({},{}),", n % 900_000, n % 7);
    let in_run = "(format:1,runs:[(id:\"r\",service:ColdFeed,from:Onward((0,0)),to:Onward((9,1)),";
    let files = [
        ("brackets", filled("(format:1,runs:", again("["), ""), EXIT_UNUSABLE, "nested far deeper"),
        ("options", filled("(format:1,building:", again("Some("), ""), EXIT_UNUSABLE, "nested far deeper"),
        ("comments", filled("", again("/*"), ""), EXIT_UNUSABLE, "stops in the middle"),
        (
            "digits",
            filled("(format:1,building:(ceiling:(underside:", again("9"), ")))"),
            EXIT_UNUSABLE,
            "an ordinary number, not inf",
        ),
        ("marks", filled("", again("\u{feff}"), ""), EXIT_UNUSABLE, "a bracket that opens"),
        ("nothing", filled("", again("\0"), ""), EXIT_UNUSABLE, "a bracket that opens"),
        ("line ends", filled("", again("\r\n"), "(format: 1)"), EXIT_SOUND, ""),
        ("a title", filled("(format:1,heading:(title:\"", again("x"), "\"))"), EXIT_SOUND, ""),
        ("parts", filled("(format:1,outlets:[", outlet, "])"), EXIT_UNUSABLE, "parts, and at most 200000"),
        ("one point", filled("(format:1,building:(roof:(underside:[", again("(0,0),"), "])))"), EXIT_UNUSABLE, "two"),
        ("a roof", filled("(format:1,building:(roof:(underside:[", bend, "])))"), EXIT_SOUND, ""),
        ("bends", filled(&format!("{in_run}via:["), bend, "])])"), EXIT_SOUND, ""),
        ("runs", (0..190_000).fold("(format:1,runs:[".to_owned(), |text, n| text + &run(n)) + "])", EXIT_SOUND, ""),
    ];
    for (what, text, code, words) in files {
        let trial = Trial::new(text);
        let begun = Instant::now();
        let limited = format!("ulimit -v {MOST_MEMORY_KB} && exec \"$0\" check \"$1\"");
        let program = std::process::Command::new("bash")
            .args(["-c", &limited, env!("CARGO_BIN_EXE_loftwright")])
            .arg(&trial.path)
            .output()
            .expect("bash starts it");
        let told = String::from_utf8_lossy(&program.stderr).split_whitespace().collect::<Vec<_>>().join(" ");
        let told = told.chars().take(600).collect::<String>();
        assert_eq!(program.status.code(), Some(i32::from(code)), "{what}: {told}");
        assert!(told.contains(words), "{what}: {told}");
        assert!(begun.elapsed() < MOST_TIME, "{what}: took {:?}", begun.elapsed());
    }
}

#[test]
fn a_million_parts_are_refused_with_the_limit() {
    let outlets: String = (0..1_000_000).map(|n| format!("(id:\"o{n}\",kind:Bath,at:(0,0)),")).collect();
    let (paragraph, _) = Trial::new(format!("(format: 1, outlets: [{outlets}])")).refused();
    assert!(paragraph.contains("it holds 33 MB, and a layout holds at most 16 MB"), "{paragraph}");
}

#[test]
fn each_cistern_is_looked_at_with_each_platform_so_there_may_be_a_thousand_of_each() {
    let crowd = |count: usize| {
        let all = |part: &str| (0..count).map(|n| part.replace('#', &n.to_string())).collect::<String>();
        let cisterns = all("(id:\"c#\",role:Storage,at:(#,#),length:900,height:600),");
        format!("(format: 1, cisterns: [{cisterns}], platforms: [{}])", all("(id:\"p#\",at:(#,#),length:900),"))
    };
    let (paragraph, _) = Trial::new(crowd(1001)).refused();
    assert!(paragraph.contains("it holds 1001 cisterns, and at most 1000"), "{paragraph}");
    let layout = loftwright::file::parse(&crowd(1000), "crowd").expect("a thousand are taken");
    let begun = Instant::now();
    let findings = loftwright::finding::Findings::of(&loftwright::measure::Site::of(&layout));
    assert!(findings.iter().count() > 30_000);
    assert!(begun.elapsed() < MOST_TIME, "took {:?}", begun.elapsed());
}

#[test]
fn many_broken_references_are_found_as_fast_as_one() {
    let runs: String = (0..40_000)
        .map(|n| format!("(id:\"r{n}\",service:ColdFeed,from:Port(\"gone-{n}\",\"x\"),to:Onward((0,0))),"))
        .collect();
    let begun = Instant::now();
    let error = loftwright::file::parse(&format!("(format: 1, runs: [{runs}])"), "gone").expect_err("broken");
    assert!(error.to_string().contains("'gone-0', which is not there"), "{error}");
    assert!(begun.elapsed() < MOST_TIME, "took {:?}", begun.elapsed());
}

#[test]
fn what_is_no_file() {
    let folder = tempfile::tempdir().expect("a folder");
    for (path, words) in [
        (folder.path().to_owned(), "there is no layout in what was named"),
        (folder.path().join("gone.ron"), "no such file"),
    ] {
        let (outcome, _, err) = checked(&path);
        assert_eq!(outcome, Outcome::Exit(EXIT_UNUSABLE));
        assert!(err.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{err}");
    }
}

#[test]
fn a_hatch_is_told_by_its_size_or_by_an_empty_list() {
    let hatch = "hatch: (x: 4800, length: 750, width: 600)";
    check(
        hatch,
        "hatch: (x: 4800, lenght: 750, width: 600)",
        &["no field 'lenght'", "did you mean 'length'?"],
        "lenght",
    );
    let refused = |to: &str| Trial::new(SOUND.replacen(hatch, to, 1)).refused().0;
    assert!(refused("hatch: Missing").contains("write [] where there is no hatch"), "{}", refused("hatch: Missing"));
    assert!(refused("hatch: [(x: 0, length: 7, width: 6)]").contains("without the square brackets"));
    let none = Trial::new(SOUND.replacen(hatch, "hatch: []", 1));
    let (outcome, out, err) = checked(&none.path);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(EXIT_SOUND), ""));
    assert!(out.contains("no-way-to-the-cistern"), "{out}");
}
