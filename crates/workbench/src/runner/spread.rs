//! Work that is the same for many things, spread over two threads where that is worth it.

use std::thread::{Builder, scope};

/// Below so many things a second thread costs more than it brings.
const WORTH_IT: usize = 64;

/// Does the work for all things, some at a time; the answers stand in the order of the things. Where the system gives no
/// second thread, one does it all.
pub(crate) fn spread<T: Sync, R: Send>(things: &[T], work: impl Fn(&[T]) -> R + Sync) -> Vec<R> {
    if things.len() < WORTH_IT {
        return vec![work(things)];
    }
    let (first, second) = things.split_at(things.len() / 2);
    scope(|threads| {
        let helper = Builder::new().name("reader".to_owned()).spawn_scoped(threads, || work(second));
        let mut all = vec![work(first)];
        match helper.map(std::thread::ScopedJoinHandle::join) {
            Ok(Ok(answer)) => all.push(answer),
            // Its own faults are for the caller to hear of, as if it had been done here.
            Ok(Err(fault)) => std::panic::resume_unwind(fault),
            Err(_) => all.push(work(second)),
        }
        all
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_things_are_done_once_and_stand_in_their_order() {
        for count in [0, 1, WORTH_IT - 1, WORTH_IT, 1_001] {
            let things: Vec<usize> = (0..count).collect();
            let done: Vec<usize> = spread(&things, <[usize]>::to_vec).concat();
            assert_eq!(done, things);
        }
        assert_eq!(spread(&[0_u8; 200], <[u8]>::len), [100, 100]);
    }
}
