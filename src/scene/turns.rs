//! Which notes choose their places first: each in its turn, then those first that were led far.

use super::inked::Pace;
use super::notes::{Ground, Note, NotePlace};
use super::room::Room;
use super::standing::Standing;

/// How often each note may choose its place.
const ROUNDS: usize = 4;
/// Notes that are led further than this look for a nearer place, mm.
const FAR_MM: f64 = 75.0;
/// How long a leader is as bad as a note without a place, or on no blank paper, mm.
const NOWHERE_MM: f64 = 300.0;
/// Notes change their places for no less than this, mm: what is moved a little would have them leap to and fro.
const WORTH_WHILE_MM: f64 = 50.0;
/// So much longer leaders may be together for one note that says what it means, mm.
const WORDS_MM: f64 = 50.0;

/// Gives notes their places. Those that have stood before stay there if they can, in the halves into which they were parted.
pub(super) fn take_turns<'a>(
    notes: Vec<Note<'a>>,
    room: &mut Room,
    pace: Pace,
    before: Option<&Standing>,
) -> (Vec<Note<'a>>, Vec<Option<NotePlace>>) {
    let stood = |note: &Note<'_>| before.and_then(|before| before.note(&note.marks()));
    let parted = notes.into_iter().flat_map(|note| match note.halves() {
        halves if stood(&note).is_none() && halves.iter().all(|half| stood(half).is_some()) => halves,
        _ => vec![note],
    });
    let mut notes: Vec<Note<'a>> = parted.collect();
    let mut stay: Vec<Option<NotePlace>> = Vec::new();
    for note in &mut notes {
        let place = stood(note).and_then(|stood| note.as_it_stood(stood, room));
        // What it speaks of may have been moved away from it.
        let place = place.filter(|place| !is_led_far(Some(*place)));
        place.iter().for_each(|place| place.take(room));
        stay.push(place);
    }
    let mut places = settle(&mut notes, &stay, room);
    if pace == Pace::AtRest && stay.iter().any(Option::is_none) {
        bring_near(&mut notes, &mut places, room);
    }
    (notes, places)
}

/// Has each note that does not stay choose its place, and again once it sees where the others went.
fn settle(notes: &mut [Note<'_>], stay: &[Option<NotePlace>], room: &mut Room) -> Vec<Option<NotePlace>> {
    let mut places = stay.to_vec();
    for _ in 0..ROUNDS {
        let before = places.clone();
        for ((note, place), stays) in notes.iter_mut().zip(&mut places).zip(stay) {
            if stays.is_some() {
                continue;
            }
            if let Some(old) = place {
                old.release(room);
            }
            // The chosen one stands near by, on thin lines if need be, rather than far off on blank paper.
            *place = if note.is_chosen() { note.place(room, Ground::Free) } else { note.place_on_blank(room) };
            if place.is_none() && note.shorten() {
                *place = note.place_on_blank(room);
            }
            *place = place
                .or_else(|| note.place(room, Ground::BlankTangled))
                .or_else(|| note.place(room, Ground::Free))
                .or_else(|| note.place(room, Ground::Any));
            place.iter().for_each(|place| place.take(room));
        }
        // Where none has moved, and where one is alone, none will.
        if places == before || places.len() < 2 {
            break;
        }
    }
    places
}

/// Lets notes that are led far choose before others of their kind, numbers whole or in halves, or say their numbers alone, as
/// long as that is worth it.
fn bring_near(notes: &mut Vec<Note<'_>>, places: &mut Vec<Option<NotePlace>>, room: &mut Room) {
    for _ in 0..ROUNDS {
        let is_far = |number: &usize| is_led_far(places[*number]);
        let (far, near): (Vec<usize>, Vec<usize>) = (0..notes.len()).partition(is_far);
        if far.is_empty() {
            return;
        }
        let is_of_words = |number: &usize| !notes[*number].is_small();
        let (far_words, far_numbers): (Vec<usize>, Vec<usize>) = far.into_iter().partition(is_of_words);
        let (words, numbers): (Vec<usize>, Vec<usize>) = near.into_iter().partition(is_of_words);
        let take = |some: &[usize]| some.iter().map(|number| notes[*number].clone()).collect::<Vec<_>>();
        let halves: Vec<Note<'_>> = far_numbers.iter().flat_map(|number| notes[*number].halves()).collect();
        let orders = [
            [take(&far_words), take(&words), take(&far_numbers), take(&numbers)].concat(),
            [take(&far_words), take(&words), halves.clone(), take(&numbers)].concat(),
            [take(&words), shortened(take(&far_words)), halves, take(&numbers)].concat(),
        ];
        let tried = orders.map(|mut order| {
            let mut room = room.clone();
            places.iter().flatten().for_each(|place| place.release(&mut room));
            let none_stay = vec![None; order.len()];
            let found = settle(&mut order, &none_stay, &mut room);
            (cost_mm(&order, &found), order, found, room)
        });
        match tried.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((cost, order, found, new_room)) if cost < cost_mm(notes, places) - WORTH_WHILE_MM => {
                (*notes, *places, *room) = (order, found, new_room);
            }
            _ => return,
        }
    }
}

/// Notes that say their numbers alone, as far as they may.
fn shortened(mut notes: Vec<Note<'_>>) -> Vec<Note<'_>> {
    for note in &mut notes {
        note.shorten();
    }
    notes
}

/// Whether a note found no room near by.
fn is_led_far(place: Option<NotePlace>) -> bool {
    place.is_none_or(|place| place.ground != Ground::Blank || place.from.distance(place.to) > FAR_MM)
}

/// How long all leaders are together, mm, less what it is worth that notes say what they mean.
fn cost_mm(notes: &[Note<'_>], places: &[Option<NotePlace>]) -> f64 {
    let led_mm = |place: &Option<NotePlace>| match place {
        Some(place) if place.ground == Ground::Blank => place.from.distance(place.to),
        _ => NOWHERE_MM,
    };
    let words = notes.iter().filter(|note| !note.is_small()).count();
    places.iter().map(led_mm).sum::<f64>() - WORDS_MM * words as f64
}
