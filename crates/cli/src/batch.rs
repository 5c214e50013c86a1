//! Many files on all cores, answered in their order.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// Stack of each worker, as large as that of the main thread.
const STACK_BYTES: usize = 8 << 20;

/// Does `count` pieces of work on all cores, and gives each result as soon as it and those before it are there.
pub fn in_order<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync, mut give: impl FnMut(usize, T)) {
    if count == 1 {
        // A single piece of work uses all cores by itself.
        return give(0, work(0));
    }
    let next = AtomicUsize::new(0);
    let (send, receive) = mpsc::channel();
    let (next, work) = (&next, &work);
    let take = move |send: &mpsc::Sender<(usize, T)>| {
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= count || send.send((index, work(index))).is_err() {
                return;
            }
        }
    };
    thread::scope(|scope| {
        let mut alone = true;
        for _ in 0..workers(count) {
            let (send, take) = (send.clone(), take);
            let started = thread::Builder::new().stack_size(STACK_BYTES).spawn_scoped(scope, move || take(&send));
            alone &= started.is_err();
        }
        // Where no thread can be had, this one does the work.
        if alone {
            take(&send);
        }
        drop(send);
        let mut waiting = BTreeMap::new();
        let mut due = 0;
        for (index, found) in receive {
            waiting.insert(index, found);
            while let Some(found) = waiting.remove(&due) {
                give(due, found);
                due += 1;
            }
        }
    });
}

fn workers(count: usize) -> usize {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    cores.min(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_order_and_none_is_lost() {
        let mut seen = Vec::new();
        let slow = |index: usize| {
            thread::sleep(std::time::Duration::from_millis((7 * index as u64) % 5));
            index * index
        };
        in_order(50, slow, |index, found| seen.push((index, found)));
        assert_eq!(seen, (0..50).map(|index| (index, index * index)).collect::<Vec<_>>());
        in_order(0, slow, |_, _| panic!("there is nothing to do"));
    }
}
