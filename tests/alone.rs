//! The program talks to nobody: no headless command opens a socket that leads beyond the machine. `.ci/window` sees to the window.

#![cfg(target_os = "linux")]

use std::path::Path;
use std::process::Command;

const SOUND: &str = "examples/sound_indirect.loft.ron";
const LOW: &str = "examples/low_loft.loft.ron";

/// The calls of `socket` and `connect` that a program makes with whatever it starts; none where nothing can be traced.
fn calls_for_sockets(program: &mut Command) -> Option<Vec<String>> {
    let folder = tempfile::tempdir().expect("a folder");
    let record = folder.path().join("record");
    let traced = Command::new("strace")
        .args(["-f", "-qq", "-e", "trace=socket,connect", "-o"])
        .arg(&record)
        .arg(program.get_program())
        .args(program.get_args())
        .output()
        .ok()?;
    let told = String::from_utf8_lossy(&traced.stderr);
    let record = std::fs::read_to_string(record).ok().filter(|_| !told.contains("PTRACE"))?;
    Some(
        record
            .lines()
            .filter(|line| line.contains("socket(") || line.contains("connect("))
            .map(str::to_owned)
            .collect(),
    )
}

/// Sockets of the machine itself, such as those by which names of users are looked up, are no way out.
fn leads_out(call: &&String) -> bool {
    !call.contains("AF_UNIX")
}

#[test]
fn no_command_opens_a_socket_that_leads_out() {
    // What would be seen: a shell that tries to reach a port of this machine.
    let reaching = calls_for_sockets(Command::new("bash").args(["-c", "exec 3<>/dev/tcp/127.0.0.1/9"]));
    let Some(reaching) = reaching else {
        eprintln!("NOT TRIED: it needs strace");
        return;
    };
    assert!(reaching.iter().filter(leads_out).any(|call| call.contains("AF_INET")), "{reaching:?}");
    let folder = tempfile::tempdir().expect("a folder");
    let out = |name: &str| folder.path().join(name).display().to_string();
    let lesson = out("lesson");
    let commands: &[&[&str]] = &[
        &["check", SOUND, LOW, "--json"],
        &["check", "examples"],
        &["draw", LOW, "--out", &out("a.svg")],
        &["draw", LOW, "--out", &out("a.pdf")],
        &["draw", LOW, "--out", &out("a.png")],
        &["draw", LOW, "--out", &out("a.dxf")],
        &["report", LOW, "--out", &out("a.html")],
        &["report", LOW, "--out", &out("report.pdf")],
        &["report", LOW, "--out", &out("a.md")],
        &["start", "--out", &out("begun.loft.ron")],
        &["takeoff", SOUND, "--csv"],
        &["rules"],
        &["flow", SOUND],
        &["trial", SOUND, "mains-off"],
        &["mend", LOW, "--out", &out("mended.loft.ron")],
        &["compare", SOUND, LOW],
        &["sum"],
        &["lesson", "make", SOUND, "--faults", "2", "--seed", "3", "--out", &lesson],
        &["manual"],
        &["licences"],
    ];
    for arguments in commands {
        let mut program = Command::new(env!("CARGO_BIN_EXE_loftwright"));
        let calls = calls_for_sockets(program.args(*arguments)).expect("it could be traced before");
        let out: Vec<&String> = calls.iter().filter(leads_out).collect();
        assert!(out.is_empty(), "{arguments:?} opens {out:?}");
    }
    for made in
        ["a.svg", "a.pdf", "a.png", "a.dxf", "a.html", "report.pdf", "a.md", "begun.loft.ron", "mended.loft.ron"]
    {
        assert!(Path::new(&out(made)).exists(), "{made} was not made, so that nothing was tried");
    }
}
