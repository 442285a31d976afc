//! One piece of work beside the window, before any studio is open.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread::JoinHandle;

use crate::present::job_words;

/// Tells how far the work is, in per cent; false where it shall stop.
pub type Onward<'a> = &'a dyn Fn(u8) -> bool;

/// Work that is done in a thread of its own.
#[derive(Debug)]
pub struct Aside<T> {
    percent: Arc<AtomicU8>,
    stop: Arc<AtomicBool>,
    answer: Receiver<Result<T, String>>,
    thread: Option<JoinHandle<()>>,
}

impl<T: Send + 'static> Aside<T> {
    /// Begins. `wake` is called, from its thread, whenever there is something to look at.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(
        name: &str,
        wake: Arc<dyn Fn() + Send + Sync>,
        work: impl FnOnce(Onward<'_>) -> T + Send + 'static,
    ) -> std::io::Result<Self> {
        let (percent, stop) = (Arc::new(AtomicU8::new(0)), Arc::new(AtomicBool::new(false)));
        let (done, answer) = channel();
        let (far, halt) = (percent.clone(), stop.clone());
        let thread = std::thread::Builder::new().name(name.to_owned()).spawn(move || {
            let onward = |percent: u8| {
                if far.swap(percent.min(100), Ordering::SeqCst) != percent {
                    wake();
                }
                !halt.load(Ordering::SeqCst)
            };
            let end = catch_unwind(AssertUnwindSafe(|| work(&onward)));
            // A window that is gone needs no answer.
            drop(done.send(end.map_err(|_fault| job_words::FAULT_INSIDE.to_owned())));
            wake();
        })?;
        Ok(Self { percent, stop, answer, thread: Some(thread) })
    }

    /// How far it is, in per cent.
    pub fn percent(&self) -> u8 {
        self.percent.load(Ordering::SeqCst)
    }

    /// Asks it to stop; the answer still comes.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::SeqCst);
    }

    /// What it came to, once it is over.
    ///
    /// # Errors
    /// It ended by a fault of the program.
    pub fn answer(&self) -> Option<Result<T, String>> {
        match self.answer.try_recv() {
            Ok(answer) => Some(answer),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(Err(job_words::FAULT_INSIDE.to_owned())),
        }
    }
}

impl<T> Drop for Aside<T> {
    /// Nothing is left half done: it is asked to stop, and waited for.
    fn drop(&mut self) {
        self.stop.store(true, Ordering::SeqCst);
        if let Some(thread) = self.thread.take() {
            drop(thread.join());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn end<T: Send + 'static>(aside: &Aside<T>) -> Result<T, String> {
        loop {
            if let Some(answer) = aside.answer() {
                return answer;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn work_aside_tells_how_far_it_is_and_ends_when_it_is_asked_to() {
        let done = Aside::start("work", Arc::new(|| ()), |onward| onward(40)).unwrap();
        assert_eq!(end(&done), Ok(true));
        assert_eq!(done.percent(), 40);
        let stopped = Aside::start("work", Arc::new(|| ()), |onward| while onward(1) {}).unwrap();
        stopped.stop();
        assert_eq!(end(&stopped), Ok(()));
        let fault = Aside::start("work", Arc::new(|| ()), |_| panic!("on purpose")).unwrap();
        assert_eq!(end::<()>(&fault), Err(job_words::FAULT_INSIDE.to_owned()));
    }
}
