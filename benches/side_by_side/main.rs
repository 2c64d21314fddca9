//! Ratios measured in one run: checking against parsing alone, a drawing against an empty sheet, the window against a bare
//! one, and how costs grow with the number of parts. The network's ratio to scipy is printed by the bench `network`.
//!
//! Aims: checking at most 3 times parsing; the window at most 1.3 times a bare one in time to the first frame and in
//! memory, and 1.5 times in frame time. Needs a display for the windows; says so where there is none.

#![allow(clippy::print_stdout, reason = "a bench tells what it measured")]

#[path = "../growing/mod.rs"]
mod growing;
mod window;

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use loftwright::cli::{self, Outcome};
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::{Profile, Voice};
use loftwright::sheet::pages::{Terms, drawn};
use loftwright::sheet::{Paper, SheetScale, png, svg};

const TERMS: Terms = Terms { paper: Paper::A3, scale: SheetScale::Fit, voice: Voice::Trade };

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [word, which] = arguments.as_slice()
        && word == window::SHOW
    {
        return window::show(which);
    }
    check_against_parse();
    picture_against_empty_sheet();
    growth();
    window::against_bare();
}

/// The shortest of a few times.
fn shortest(times: usize, mut work: impl FnMut()) -> Duration {
    let measured = (0..times).map(|_| {
        let begun = Instant::now();
        work();
        begun.elapsed()
    });
    measured.min().expect("it is done at least once")
}

fn tell(what: &str, ours: Duration, other: &str, theirs: Duration) {
    println!("{what}: {ours:.2?}, {other}: {theirs:.2?}, ratio {:.2}", ours.as_secs_f64() / theirs.as_secs_f64());
}

/// A thousand files, checked by the command, against the same files read and parsed on as many cores.
fn check_against_parse() {
    let folder = tempfile::tempdir().expect("a folder");
    let examples: Vec<PathBuf> = fs::read_dir("examples")
        .expect("the examples")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .collect();
    let files: Vec<PathBuf> = (0..1000).map(|n| folder.path().join(format!("{n:04}.loft.ron"))).collect();
    for (n, file) in files.iter().enumerate() {
        fs::copy(&examples[n % examples.len()], file).expect("copies");
    }
    let name = folder.path().display().to_string();
    let checked = shortest(3, || {
        let outcome = cli::run(["check", name.as_str(), "--json"], &mut std::io::sink(), &mut std::io::sink());
        assert!(matches!(outcome, Outcome::Exit(_)));
    });
    let parsed = shortest(3, || parse_all(&files));
    tell("check of 1000 files", checked, "parse of the same", parsed);
}

fn parse_all(files: &[PathBuf]) {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    thread::scope(|scope| {
        for share in files.chunks(files.len().div_ceil(cores)) {
            scope.spawn(move || share.iter().for_each(|path| drop(file::read(path).expect("it reads"))));
        }
    });
}

fn picture_against_empty_sheet() {
    let of = |layout: &Layout| {
        let site = Site::of(layout);
        let (scene, sheet) = drawn(&site, &Profile::default(), &Findings::of(&site), TERMS);
        shortest(5, || drop(png(&svg(&scene, &sheet), 6.0).expect("it is drawn")))
    };
    let low_loft = file::read(Path::new("examples/low_loft.loft.ron")).expect("it reads");
    tell("PNG of the low loft", of(&low_loft), "PNG of an empty sheet", of(&Layout::default()));
}

/// The exponent with which the cost grows, fitted to 1, 10, 100 and 1000 times the parts by least squares of logarithms.
fn growth() {
    let costs: Vec<(f64, f64)> = [1, 10, 100, 1000]
        .into_iter()
        .map(|times| {
            let many = growing::multiplied(&growing::largest(), times);
            let cost = shortest(3, || drop(std::hint::black_box(Findings::of(&Site::of(&many)))));
            println!("check of {} runs: {cost:.2?}", many.runs.len());
            ((many.runs.len() as f64).ln(), cost.as_secs_f64().ln())
        })
        .collect();
    let count = costs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| costs.iter().map(of).sum::<f64>() / count;
    let (mean_size, mean_cost) = (mean(|cost| cost.0), mean(|cost| cost.1));
    let sum = |of: &dyn Fn(f64, f64) -> f64| {
        costs.iter().map(|(size, cost)| of(size - mean_size, cost - mean_cost)).sum::<f64>()
    };
    println!("fitted exponent: {:.2}", sum(&|size, cost| size * cost) / sum(&|size, _| size * size));
}
