//! Saving under fire: the program is killed at random moments of a thousand saves and at each system call of one save,
//! and meets errors at each of those, a full disk, a read-only folder and a folder that is gone. The file is whole each time.
//!
//! It has no test harness, since it starts itself again as the program that saves and is killed.

#![allow(clippy::print_stdout, reason = "what was tried and what could not be is told")]

use std::fs;
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitCode, Output, Stdio};
use std::thread;
use std::time::Duration;

use loftwright::file;
use loftwright::layout::Layout;

const SOUND: &str = include_str!("../examples/sound_indirect.loft.ron");
/// As the first argument: save again and again, and tell each save.
const SAVE: &str = "--save";
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
    if let [word, path, from, to] = arguments.as_slice()
        && word == SAVE
    {
        return save(Path::new(path), number(from)..=number(to));
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

const TRIALS: [Trial; 6] = [
    ("killed at random moments of a thousand saves", killed_at_random_moments),
    ("killed at each call of one save", || at_each_call("signal=KILL")),
    ("no room at each call of one save", || at_each_call("error=ENOSPC")),
    ("a broken disk at each call of one save", || at_each_call("error=EIO")),
    ("a full disk", full_disk),
    ("a read-only folder and one that is gone", folders_in_the_way),
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

fn saver(path: &Path, from: u32, to: u32) -> Command {
    let mut command = Command::new(std::env::current_exe().expect("this program"));
    command.arg(SAVE).arg(path).args([from.to_string(), to.to_string()]);
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
    let (mut saved, mut kills, mut random) = (0, 0, 20_261_125_u64);
    while saved < 1000 {
        let mut child = saver(&path, saved + 1, saved + 1000).stdout(Stdio::piped()).spawn().expect("starts");
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let told = kill_after(&mut child, Duration::from_micros(5_000 + (random >> 33) % 100_000)).unwrap_or(saved);
        let on_disk = number_on_disk(&path);
        assert!(on_disk == told || on_disk == told + 1, "save {told} was told, and {on_disk} is there");
        (saved, kills) = (on_disk, kills + 1);
    }
    format!("whole after each of {kills} kills in {saved} saves")
}

/// Kills the saver after a while; the last save that it told.
fn kill_after(child: &mut Child, while_: Duration) -> Option<u32> {
    thread::sleep(while_);
    child.kill().expect("it still runs or has ended");
    let told = BufReader::new(child.stdout.take().expect("it is piped"));
    let last = told.lines().map_while(Result::ok).last().map(|line| number(&line));
    child.wait().expect("it ends");
    last
}

/// Injects a fault at each call that one save makes, in turn.
fn at_each_call(fault: &str) -> String {
    let Some(calls) = calls_of_one_save() else { return "NOT TRIED: it needs strace".to_owned() };
    let (mut old, mut new) = (0, 0);
    for (call, times) in calls {
        for time in 1..=times {
            let (_folder, path) = fresh(1);
            let inject = format!("inject={call}:{fault}:when={time}");
            let done = traced(&["-o", "/dev/null", "-e", &inject], &path).expect("it could be traced before");
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

/// How often one save makes each of [`CALLS`], the start of the program included; none where nothing can be traced.
fn calls_of_one_save() -> Option<Vec<(&'static str, usize)>> {
    let (_folder, path) = fresh(1);
    let trace = format!("trace={}", CALLS.join(","));
    let done = traced(&["-e", &trace], &path).ok().filter(|done| done.status.success())?;
    let record = String::from_utf8_lossy(&done.stderr);
    let times = |call: &str| record.lines().filter(|line| line.split('(').next() == Some(call)).count();
    Some(CALLS.map(|call| (call, times(call))).to_vec())
}

/// One save of the layout number 2, traced.
fn traced(options: &[&str], path: &Path) -> io::Result<Output> {
    let saver = saver(path, 2, 2);
    Command::new("strace").arg("-qq").args(options).arg(saver.get_program()).args(saver.get_args()).output()
}

fn full_disk() -> String {
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
    let trial = std::panic::catch_unwind(|| fill(folder.path()));
    let unmounted = Command::new("umount").arg(folder.path()).status();
    assert!(unmounted.is_ok_and(|status| status.success()), "{} stays mounted", folder.path().display());
    trial.unwrap_or_else(|failure| std::panic::resume_unwind(failure))
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
    assert!(error.to_string().contains("the folder is not there"), "{error}");
    let mut permissions = fs::metadata(&path).expect("there").permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).expect("sets");
    let error = file::save(&path, &numbered(2)).expect_err("it may not be written");
    assert!(error.to_string().contains("it may not be written"), "{error}");
    assert_eq!(number_on_disk(&path), 1);
    "told".to_owned()
}
