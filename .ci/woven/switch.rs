//! Which of the mutants woven into this copy of the source is on, and which were come by.

#![allow(missing_docs, clippy::all, clippy::pedantic)]

use std::fs::OpenOptions;
use std::io::Write;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

const MOST: usize = 1 << 16;

struct Told {
    on: Option<usize>,
    /// The file to which the number of each mutant that is come by is added.
    passed: Option<String>,
}

static TOLD: OnceLock<Told> = OnceLock::new();
static PASSED: [AtomicBool; MOST] = [const { AtomicBool::new(false) }; MOST];

#[inline]
pub fn on(number: usize) -> bool {
    let told = TOLD.get_or_init(|| Told {
        on: std::env::var("MUTANT").ok().and_then(|text| text.parse().ok()),
        passed: std::env::var("MUTANTS_PASSED").ok(),
    });
    if let Some(path) = &told.passed
        && !PASSED[number].swap(true, Relaxed)
    {
        let mut file = OpenOptions::new().create(true).append(true).open(path).expect("the file of those passed");
        file.write_all(format!("{number}\n").as_bytes()).expect("the file of those passed");
    }
    told.on == Some(number)
}

/// What a function returns that says only that it is an iterator: the mutant's, or its own.
pub enum Either<A, B> {
    Mutant(A),
    Own(B),
}

impl<A: Iterator, B: Iterator<Item = A::Item>> Iterator for Either<A, B> {
    type Item = A::Item;

    fn next(&mut self) -> Option<A::Item> {
        match self {
            Self::Mutant(iterator) => iterator.next(),
            Self::Own(iterator) => iterator.next(),
        }
    }
}
