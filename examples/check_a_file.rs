//! The library in twenty lines: read a layout, check it, say what is wrong.
#![expect(clippy::print_stdout, reason = "an example speaks to the terminal")]

use std::path::Path;

use loftwright::finding::Findings;
use loftwright::measure::Site;
use loftwright::rules::{Verdict, Voice};

fn main() -> Result<(), loftwright::file::ReadError> {
    let path = std::env::args().nth(1).unwrap_or_else(|| "examples/sound_indirect.loft.ron".to_owned());
    let layout = loftwright::file::read(Path::new(&path))?;
    let findings = Findings::of(&Site::of(&layout));
    println!("{}: {} breached", layout.heading.title, findings.counts().breach);
    for finding in findings.iter().filter(|finding| finding.judged.verdict == Verdict::Breach) {
        println!("- {}", finding.words(Voice::Trade));
    }
    Ok(())
}
