//! The program: the window, or a headless command.

use std::io::{self, BufWriter};
use std::process::ExitCode;

use loftwright::cli::{self, EXIT_SOUND, EXIT_UNUSABLE, Opening, Outcome};

fn main() -> ExitCode {
    let arguments = std::env::args_os().skip(1);
    let mut out = BufWriter::new(io::stdout().lock());
    let outcome = cli::run(arguments, &mut out, &mut io::stderr());
    drop(out);
    let code = match outcome {
        Outcome::Exit(code) => code,
        Outcome::Window(opening) => match open_window(opening) {
            Ok(()) => EXIT_SOUND,
            Err(message) => {
                eprintln!("{message}");
                EXIT_UNUSABLE
            }
        },
    };
    ExitCode::from(code)
}

#[cfg(feature = "desk")]
fn open_window(opening: Opening) -> Result<(), String> {
    let told = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    if cfg!(target_os = "linux") && !told("DISPLAY") && !told("WAYLAND_DISPLAY") {
        return Err(format!("there is no display for a window here; {}", headless_way(&opening)));
    }
    loftwright::desk::open(opening.file, opening.frames)
}

#[cfg(not(feature = "desk"))]
fn open_window(opening: Opening) -> Result<(), String> {
    Err(format!("this program was built without its window; {}", headless_way(&opening)))
}

fn headless_way(opening: &Opening) -> String {
    let file = opening.file.as_ref().map_or_else(|| "FILE".to_owned(), |file| file.display().to_string());
    format!("use 'loftwright check {file}', or 'loftwright --help' for all commands")
}
