//! Any sequence of edits on the examples: each is refused or made, and what is reached can be written, read and judged.
#![no_main]

use std::sync::LazyLock;
use std::sync::atomic::{AtomicU32, Ordering};

use libfuzzer_sys::fuzz_target;
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::{Edit, Id, Layout, apply};
use loftwright::measure::Site;
use loftwright::units::Length;

/// So many of the 256 beginnings are whole examples; the others are a few parts of one, which are edited far quicker.
const WHOLE: u8 = 3;

/// Looking at what was reached costs far more than getting there: it is done at the first of so many executions, and so
/// for an input that is run by itself.
const LOOKED_AT: u32 = 64;
static EXECUTIONS: AtomicU32 = AtomicU32::new(0);

static EXAMPLES: LazyLock<Vec<Layout>> = LazyLock::new(|| {
    let texts = [
        include_str!("../../examples/sound_indirect.loft.ron"),
        include_str!("../../examples/low_loft.loft.ron"),
        include_str!("../../examples/half_described.loft.ron"),
    ];
    texts.iter().map(|text| file::parse(text, "example").expect("the example reads")).collect()
});

/// Every sixth part of an example, each time beginning from another.
static FEW_PARTS: LazyLock<Vec<Layout>> = LazyLock::new(|| {
    let few = |example: &Layout, first: usize| {
        let ids: Vec<Id> = example.parts().map(|part| part.id().clone()).collect();
        let others = ids.iter().enumerate().filter(|(number, _)| number % 6 != first);
        others.fold(example.clone(), |left, (_, id)| apply(&left, &Edit::Remove(id.clone())).unwrap_or(left))
    };
    EXAMPLES.iter().flat_map(|example| (0..6).map(move |first| few(example, first))).collect()
});

fuzz_target!(|bytes: &[u8]| {
    let Some((first, steps)) = bytes.split_first() else { return };
    let number = usize::from(*first);
    let beginnings: &[Layout] = if *first < WHOLE { &EXAMPLES } else { &FEW_PARTS };
    let mut layout = beginnings[number % beginnings.len()].clone();
    for step in steps.chunks_exact(6).take(20) {
        let Some(edit) = edit(&layout, step) else { continue };
        if let Ok(changed) = apply(&layout, &edit) {
            layout = changed;
        }
    }
    if !EXECUTIONS.fetch_add(1, Ordering::Relaxed).is_multiple_of(LOOKED_AT) {
        return;
    }
    let again = file::parse(&file::write_text(&layout), "written").expect("whatever edits reach can be read");
    assert_eq!(layout, again);
    let _ = Findings::of(&Site::of(&layout)).counts();
});

/// The edit that six bytes stand for.
fn edit(layout: &Layout, step: &[u8]) -> Option<Edit> {
    let ids: Vec<Id> = layout.parts().map(|part| part.id().clone()).collect();
    let id_at = |byte: u8| (!ids.is_empty()).then(|| ids[usize::from(byte) % ids.len()].clone());
    let other = &EXAMPLES[usize::from(step[2]) % EXAMPLES.len()];
    Some(match step[0] % 6 {
        0 => Edit::Remove(id_at(step[1])?),
        1 => Edit::Rename { from: id_at(step[1])?, to: id_at(step[2])? },
        2 => Edit::Put(Box::new(other.parts().nth(usize::from(step[3]) % other.parts().count())?.to_part())),
        3 => Edit::Building(Box::new(other.building.clone())),
        _ => {
            let length = |high: u8, low: u8| Length::mm(f64::from(i16::from_be_bytes([high, low])) / 4.0);
            let parts = if step[0] % 2 == 0 { vec![id_at(step[1])?] } else { vec![id_at(step[1])?, id_at(step[0])?] };
            Edit::Shift { parts, right: length(step[2], step[3]), up: length(step[4], step[5]) }
        }
    })
}
