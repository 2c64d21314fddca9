//! Work on many things at once, over all cores, with the results in the order of the things.

use std::collections::VecDeque;
use std::num::NonZero;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread;

/// Things taken on ahead of the slowest, for each core: enough to keep all busy, few enough to keep memory flat.
const AHEAD: usize = 8;

/// Does `work` on each item and hands the results to `take`, first item first, as soon as they are there.
///
/// No more than a few items for each core are held at a time, however many there are.
pub(super) fn each_in_order<T: Send, R: Send>(
    items: impl Iterator<Item = T>,
    work: impl Fn(T) -> R + Sync,
    mut take: impl FnMut(R),
) {
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let (give, get) = sync_channel::<(T, SyncSender<R>)>(cores * AHEAD);
    let get = Mutex::new(get);
    thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| work_on_all(&get, &work));
        }
        let mut awaited: VecDeque<Receiver<R>> = VecDeque::new();
        for item in items {
            if awaited.len() == cores * AHEAD {
                hand_over_first(&mut awaited, &mut take);
            }
            let (answer, awaits) = sync_channel(1);
            awaited.push_back(awaits);
            if give.send((item, answer)).is_err() {
                break;
            }
        }
        drop(give);
        while !awaited.is_empty() {
            hand_over_first(&mut awaited, &mut take);
        }
    });
}

fn work_on_all<T, R>(get: &Mutex<Receiver<(T, SyncSender<R>)>>, work: impl Fn(T) -> R) {
    loop {
        let next = get.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((item, answer)) = next else { return };
        // Nobody waits any more only when the whole run is being given up.
        let _ = answer.send(work(item));
    }
}

/// A worker that failed answers nothing; its failure comes out where the threads are joined.
fn hand_over_first<R>(awaited: &mut VecDeque<Receiver<R>>, take: &mut impl FnMut(R)) {
    if let Some(Ok(result)) = awaited.pop_front().map(|awaits| awaits.recv()) {
        take(result);
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    use super::*;

    #[test]
    fn results_come_in_the_order_of_the_items() {
        let mut squares = Vec::new();
        let work = |n: u64| {
            // The first of each ten is the slowest.
            thread::sleep(Duration::from_micros(if n.is_multiple_of(10) { 2000 } else { 10 }));
            n * n
        };
        each_in_order(0..500, work, |square| squares.push(square));
        assert_eq!(squares, (0..500).map(|n| n * n).collect::<Vec<u64>>());
    }

    #[test]
    fn few_are_held_at_a_time() {
        let (taken_on, handed_over) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let most = AtomicUsize::new(0);
        let items = (0..2000).inspect(|_| {
            let held = taken_on.fetch_add(1, Ordering::SeqCst) + 1 - handed_over.load(Ordering::SeqCst);
            most.fetch_max(held, Ordering::SeqCst);
        });
        each_in_order(
            items,
            |n: usize| n,
            |_| {
                handed_over.fetch_add(1, Ordering::SeqCst);
            },
        );
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        assert!(most.into_inner() <= cores * AHEAD + 1);
    }

    #[test]
    fn nothing_to_do_is_done() {
        each_in_order(std::iter::empty::<u8>(), |n| n, |_| unreachable!("there are no items"));
    }
}
