//! Saving under fire: the program is killed at random moments of a thousand saves and at each system call of one save,
//! and meets errors at each of those, a full disk, a read-only folder and a folder that is gone. The file is whole each time.
//! The same is done to a program that edits and has not saved: each step that was done is there when it is taken up again.
//!
//! It has no test harness, since it starts itself again as the program that saves and is killed.

#![allow(clippy::print_stdout, reason = "what was tried and what could not be is told")]

use std::fs;
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Output, Stdio};
use std::thread;
use std::time::Duration;

use loftwright::file;
use loftwright::layout::{Edit, Heading, Layout};
use loftwright::session::keeper::Keeper;
use loftwright::session::{Session, recovery};

const SOUND: &str = include_str!("../examples/sound_indirect.loft.ron");
/// As the first argument: save again and again, and tell each save.
const SAVE: &str = "--save";
/// As the first argument: change the title again and again without saving, and tell each change that is kept.
const EDIT: &str = "--edit";
/// How the saver ends when a save fails and it has told so.
const TOLD: u8 = 3;
/// What one save asks of the system: each of these is killed at, or fails, in turn.
const CALLS: [&str; 13] = [
    "openat",
    "write",
    "fsync",
    "fdatasync",
    "linkat",
    "rename",
    "renameat",
    "renameat2",
    "unlink",
    "unlinkat",
    "fchmod",
    "fchown",
    "statx",
];
/// How a program ends that has panicked.
const PANICKED: i32 = 101;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [word, path, from, to] = arguments.as_slice() {
        match word.as_str() {
            SAVE => return save(Path::new(path), number(from)..=number(to)),
            EDIT => return edit(Path::new(path), number(from)..=number(to)),
            _ => {}
        }
    }
    if arguments.iter().any(|argument| argument == "--list") {
        return ExitCode::SUCCESS;
    }
    for (told, trial) in TRIALS {
        println!("saving, {told} ... {}", trial());
    }
    ExitCode::SUCCESS
}

/// What is tried, in words, and what tries it.
type Trial = (&'static str, fn() -> String);

const TRIALS: [Trial; 11] = [
    ("killed at random moments of a thousand saves", killed_at_random_moments),
    ("killed at each call of one save", || at_each_call("signal=KILL")),
    ("no room at each call of one save", || at_each_call("error=ENOSPC")),
    ("a broken disk at each call of one save", || at_each_call("error=EIO")),
    ("a full disk", || on_small_disk(fill)),
    ("a read-only folder and one that is gone", folders_in_the_way),
    ("killed at random moments of a thousand edits", killed_while_editing),
    ("killed at each call of three edits", || editing_at_each_call("signal=KILL")),
    ("no room at each call of three edits", || editing_at_each_call("error=ENOSPC")),
    ("a broken disk at each call of three edits", || editing_at_each_call("error=EIO")),
    ("edits on a full disk", || on_small_disk(edit_without_room)),
];

/// The program that saves: layouts with these numbers in their titles, one after the other.
fn save(path: &Path, numbers: std::ops::RangeInclusive<u32>) -> ExitCode {
    for number in numbers {
        if let Err(error) = file::save(path, &numbered(number)) {
            let _ = writeln!(io::stderr(), "{error}");
            return ExitCode::from(TOLD);
        }
        // Whether anybody hears of it is not what is tried here.
        let _ = writeln!(io::stdout(), "{number}");
    }
    ExitCode::SUCCESS
}

/// The program that edits: each number becomes the title, and every third is taken back and made again.
fn edit(folder: &Path, numbers: std::ops::RangeInclusive<u32>) -> ExitCode {
    let mut session = Session::new(numbered(numbers.start() - 1));
    let mut keeper = Keeper::begin(folder.to_owned());
    for number in numbers {
        retitle(&mut session, number);
        if number % 3 == 0 {
            session.undo();
            keeper.keep(&mut session);
            session.redo();
        }
        keeper.keep(&mut session);
        let kept = keeper.finisher().finish();
        if let Some(trouble) = keeper.trouble() {
            let _ = writeln!(io::stderr(), "{trouble}");
        }
        if kept.is_some() {
            let _ = writeln!(io::stdout(), "{number}");
        }
    }
    ExitCode::SUCCESS
}

fn retitle(session: &mut Session, number: u32) {
    let heading = Heading { title: number.to_string(), ..session.layout().heading.clone() };
    session.edit(&number.to_string(), &Edit::Heading(heading)).expect("a title always fits");
}

/// What was left behind: the number in the title, with the steps before it still to be undone.
#[track_caller]
fn number_left(folder: &Path, begun_at: u32) -> Option<u32> {
    let left = recovery::list(folder);
    assert!(left.len() <= 1, "one program left {} layouts", left.len());
    let taken = left.first()?.take_up().unwrap_or_else(|error| panic!("it cannot be taken up: {error}"));
    let mut session = taken.session;
    let is_left = number(&session.layout().heading.title);
    assert_eq!((session.layout(), taken.missing), (&numbered(is_left), None));
    while session.undo_label().is_some() {
        session.undo();
    }
    let first = number(&session.layout().heading.title);
    // A copy has no steps.
    assert!(first == begun_at || first == is_left, "undone to {first}, and it began at {begun_at}");
    Some(is_left)
}

fn numbered(number: u32) -> Layout {
    let mut layout = file::parse(SOUND, "sound").expect("the example reads");
    layout.heading.title = number.to_string();
    layout
}

fn number(text: &str) -> u32 {
    text.trim().parse().expect("a number")
}

/// The number in the title of the layout on disk, which is whole but for that.
#[track_caller]
fn number_on_disk(path: &Path) -> u32 {
    let layout = file::read(path).unwrap_or_else(|error| panic!("the file is not whole: {error}"));
    let on_disk = number(&layout.heading.title);
    assert_eq!(layout, numbered(on_disk), "the file holds another layout");
    on_disk
}

/// This program, doing one of its two things.
fn itself(what: &str, path: &Path, from: u32, to: u32) -> Command {
    let mut command = Command::new(std::env::current_exe().expect("this program"));
    command.arg(what).arg(path).args([from.to_string(), to.to_string()]);
    command
}

fn fresh(number: u32) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("house.loft.ron");
    file::save(&path, &numbered(number)).expect("saves");
    (folder, path)
}

fn killed_at_random_moments() -> String {
    let (_folder, path) = fresh(0);
    let (mut saved, mut kills, mut while_) = (0, 0, random_whiles());
    while saved < 1000 {
        let mut saver = itself(SAVE, &path, saved + 1, saved + 1000);
        let told = killed_after(&mut saver, while_.next().expect("there is no end")).unwrap_or(saved);
        let on_disk = number_on_disk(&path);
        assert!(on_disk == told || on_disk == told + 1, "save {told} was told, and {on_disk} is there");
        (saved, kills) = (on_disk, kills + 1);
    }
    format!("whole after each of {kills} kills in {saved} saves")
}

/// From 5 to 105 ms, the same in each run.
fn random_whiles() -> impl Iterator<Item = Duration> {
    let mut random = 20_261_125_u64;
    std::iter::repeat_with(move || {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        Duration::from_micros(5_000 + (random >> 33) % 100_000)
    })
}

/// Starts the program and kills it after a while; the last number that it told.
fn killed_after(program: &mut Command, while_: Duration) -> Option<u32> {
    let mut child = program.stdout(Stdio::piped()).spawn().expect("starts");
    thread::sleep(while_);
    child.kill().expect("it still runs or has ended");
    let told = BufReader::new(child.stdout.take().expect("it is piped"));
    let last = told.lines().map_while(Result::ok).last().map(|line| number(&line));
    child.wait().expect("it ends");
    last
}

fn killed_while_editing() -> String {
    let (mut done, mut kills, mut while_) = (0, 0, random_whiles());
    while done < 1000 {
        let folder = tempfile::tempdir().expect("a folder");
        let mut editor = itself(EDIT, folder.path(), done + 1, done + 1000);
        let told = killed_after(&mut editor, while_.next().expect("there is no end")).unwrap_or(done);
        let is_left = number_left(folder.path(), done).unwrap_or(done);
        assert!(is_left == told || is_left == told + 1, "edit {told} was told, and {is_left} is there");
        (done, kills) = (is_left, kills + 1);
    }
    format!("nothing lost at any of {kills} kills in {done} edits")
}

fn editing_at_each_call(fault: &str) -> String {
    let edits = |folder: &Path| itself(EDIT, folder, 2, 4);
    let place = tempfile::tempdir().expect("a folder");
    let Some(calls) = calls_of(&edits(place.path())) else { return "NOT TRIED: it needs strace".to_owned() };
    let (mut early, mut late, mut troubled) = (0, 0, 0);
    for (call, times) in calls {
        for time in 1..=times {
            let folder = tempfile::tempdir().expect("a folder");
            let inject = format!("inject={call}:{fault}:when={time}");
            let done = traced(&["-f", "-o", "/dev/null", "-e", &inject], &edits(folder.path()))
                .expect("it could be traced before");
            let (told, trouble) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
            assert_ne!(done.status.code(), Some(PANICKED), "{call} {time}: {trouble}");
            let told = told.lines().last().map_or(1, number);
            let is_left = number_left(folder.path(), 1).unwrap_or(1);
            assert!((told..=told + 1).contains(&is_left), "{call} {time}: {told} was told, and {is_left} is there");
            if done.status.success() {
                assert_eq!(is_left, 4, "{call} {time}: one fault must not lose a step: {trouble}");
            }
            let tellings = trouble.matches("cannot be kept").count();
            assert!(tellings <= 1, "{call} {time}: it is told once: {trouble}");
            troubled += tellings;
            *(if is_left == 4 { &mut late } else { &mut early }) += 1;
        }
    }
    format!(
        "nothing lost at any of {} calls, {early} of them before the last edit; told {troubled} times",
        early + late
    )
}

/// Edits go on where there is no room to keep them, which is told once; with room, all of them are kept.
fn edit_without_room(folder: &Path) -> String {
    let mut session = Session::new(numbered(1));
    let mut keeper = Keeper::begin(folder.join("recovery"));
    let filler = folder.join("filler");
    let mut edit = |number: u32| {
        retitle(&mut session, number);
        keeper.keep(&mut session);
        let kept = keeper.finisher().finish().is_some();
        (kept, keeper.trouble(), session.layout().heading.title.clone())
    };
    assert_eq!(edit(2), (true, None, "2".to_owned()));
    let _ = fs::write(&filler, vec![0; 64 * 1024]);
    let made: Vec<_> = (3..200).map(&mut edit).collect();
    let told: Vec<&String> = made.iter().filter_map(|(_, trouble, _)| trouble.as_ref()).collect();
    assert!(told.len() == 1 && told[0].contains("the disk is full"), "{told:?}");
    let without = made.iter().filter(|(kept, ..)| !kept).count();
    assert!(without > 0 && made.last().is_some_and(|(_, _, title)| title == "199"));
    fs::remove_file(&filler).expect("it is there");
    assert_eq!(edit(200), (true, None, "200".to_owned()));
    drop(keeper);
    assert_eq!(number_left(&folder.join("recovery"), 1), Some(200));
    format!("told once while {without} edits found no room; all are there with room again")
}

/// Injects a fault at each call that one save makes, in turn.
fn at_each_call(fault: &str) -> String {
    let save_second = |path: &Path| itself(SAVE, path, 2, 2);
    let (_folder, path) = fresh(1);
    let calls = calls_of(&save_second(&path));
    let Some(calls) = calls else { return "NOT TRIED: it needs strace".to_owned() };
    let (mut old, mut new) = (0, 0);
    for (call, times) in calls {
        for time in 1..=times {
            let (_folder, path) = fresh(1);
            let inject = format!("inject={call}:{fault}:when={time}");
            let done =
                traced(&["-o", "/dev/null", "-e", &inject], &save_second(&path)).expect("it could be traced before");
            let (is_there, told) = (number_on_disk(&path), String::from_utf8_lossy(&done.stderr));
            match done.status.code() {
                Some(0) => assert_eq!(is_there, 2, "{call} {time}: it is told as saved"),
                Some(PANICKED) => panic!("{call} {time}: {told}"),
                Some(code) if code == i32::from(TOLD) => assert!(!told.is_empty(), "{call} {time}: nothing is told"),
                // Killed, or stopped by the system before it had begun.
                _ => {}
            }
            *(if is_there == 1 { &mut old } else { &mut new }) += 1;
        }
    }
    assert!(old > 0 && new > 0, "the faults came {old} times early and {new} times late");
    format!("whole at each of {} calls: {old} times the old layout, {new} times the new one", old + new)
}

/// How often a program makes each of [`CALLS`], its start included; none where nothing can be traced.
fn calls_of(program: &Command) -> Option<Vec<(&'static str, usize)>> {
    let trace = format!("trace={}", CALLS.join(","));
    let done = traced(&["-f", "-e", &trace], program).ok().filter(|done| done.status.success())?;
    let record = String::from_utf8_lossy(&done.stderr);
    // With several threads, each line begins with whose it is.
    let name = |line: &str| line.rsplit_once("] ").map_or(line, |(_, rest)| rest).split('(').next().map(str::to_owned);
    let times = |call: &str| record.lines().filter(|line| name(line).as_deref() == Some(call)).count();
    Some(CALLS.map(|call| (call, times(call))).to_vec())
}

fn traced(options: &[&str], program: &Command) -> io::Result<Output> {
    Command::new("strace").arg("-qq").args(options).arg(program.get_program()).args(program.get_args()).output()
}

fn on_small_disk(trial: fn(&Path) -> String) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let is_small_disk = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=64k", "none"])
        .arg(folder.path())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if !is_small_disk {
        return "NOT TRIED: it needs the right to mount".to_owned();
    }
    let done = std::panic::catch_unwind(|| trial(folder.path()));
    let unmounted = Command::new("umount").arg(folder.path()).status();
    assert!(unmounted.is_ok_and(|status| status.success()), "{} stays mounted", folder.path().display());
    done.unwrap_or_else(|failure| std::panic::resume_unwind(failure))
}

fn fill(folder: &Path) -> String {
    let path = folder.join("house.loft.ron");
    file::save(&path, &numbered(1)).expect("there is room for one");
    // Growing fillers, so that the save stops at another place each time.
    for filler in (0..64).rev() {
        fs::write(folder.join("filler"), vec![0; filler * 1024]).ok();
        let before = number_on_disk(&path);
        match file::save(&path, &numbered(before + 1)) {
            Ok(_) => assert_eq!(number_on_disk(&path), before + 1),
            Err(error) => {
                assert_eq!(number_on_disk(&path), before);
                assert!(error.to_string().contains("the disk is full"), "{error}");
            }
        }
    }
    let saved = number_on_disk(&path) - 1;
    assert!((1..64).contains(&saved), "{saved} of 64 saves had room; some should, and some should not");
    format!("whole, and told {} times", 64 - saved)
}

fn folders_in_the_way() -> String {
    let (folder, path) = fresh(1);
    let gone = folder.path().join("gone").join("house.loft.ron");
    let error = file::save(&gone, &numbered(2)).expect_err("there is no such folder");
    assert!(error.to_string().contains("there is no such folder"), "{error}");
    let mut permissions = fs::metadata(&path).expect("there").permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).expect("sets");
    let error = file::save(&path, &numbered(2)).expect_err("it may not be written");
    assert!(error.to_string().contains("it may not be written"), "{error}");
    assert_eq!(number_on_disk(&path), 1);
    "told".to_owned()
}
