//! Things done on a thread of their own, whose answers the window collects.

use std::fmt;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// What is called when an answer has come, so that a window that is at rest looks for it.
#[derive(Clone)]
pub struct Wake(Arc<dyn Fn() + Send + Sync>);

impl Wake {
    /// Calls `call` from another thread each time an answer has come.
    pub fn new(call: impl Fn() + Send + Sync + 'static) -> Self {
        Self(Arc::new(call))
    }
}

impl fmt::Debug for Wake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Wake")
    }
}

/// The errands that are out, and the answers that came back.
#[derive(Debug)]
pub(super) struct Errands<T> {
    to: Sender<T>,
    came: Receiver<T>,
    wake: Wake,
    out: usize,
}

impl<T: Send + 'static> Errands<T> {
    /// None out yet.
    pub(super) fn new(wake: Wake) -> Self {
        let (to, came) = channel();
        Self { to, came, wake, out: 0 }
    }

    /// Runs `errand` on a thread called `name`. There is always one answer: `lost` where the thread could not start or
    /// panicked.
    pub(super) fn run(&mut self, name: &str, lost: T, errand: impl FnOnce() -> T + Send + 'static) {
        let owed = Owed { to: self.to.clone(), wake: self.wake.clone(), answer: Some(lost) };
        self.out += 1;
        let started = thread::Builder::new().name(name.to_owned()).spawn(move || {
            let answer = errand();
            owed.pay(answer);
        });
        // A thread that could not start dropped what it owed, and so has answered.
        drop(started);
    }

    /// The next answer that came, if any.
    pub(super) fn poll(&mut self) -> Option<T> {
        let answer = self.came.try_recv().ok()?;
        self.out = self.out.saturating_sub(1);
        Some(answer)
    }

    /// Whether an answer is still to be collected.
    pub(super) fn are_out(&self) -> bool {
        self.out > 0
    }
}

/// An answer that is sent when this is dropped, whatever happened.
struct Owed<T> {
    to: Sender<T>,
    wake: Wake,
    answer: Option<T>,
}

impl<T> Owed<T> {
    fn pay(mut self, answer: T) {
        self.answer = Some(answer);
    }
}

impl<T> Drop for Owed<T> {
    fn drop(&mut self) {
        if let Some(answer) = self.answer.take()
            && self.to.send(answer).is_ok()
        {
            (self.wake.0)();
        }
    }
}

#[cfg(test)]
pub(super) mod testing {
    use std::sync::mpsc::{Receiver, channel};

    use super::Wake;

    /// A wake and the end at which a test waits for it.
    pub(crate) fn bell() -> (Wake, Receiver<()>) {
        let (to, woken) = channel();
        (Wake::new(move || to.send(()).unwrap_or_default()), woken)
    }
}

#[cfg(test)]
mod tests {
    use super::Errands;
    use super::testing::bell;

    #[test]
    fn an_answer_wakes_the_window_and_is_collected_once() {
        let (wake, woken) = bell();
        let mut errands = Errands::new(wake);
        assert!(!errands.are_out());
        errands.run("sum", 0, || 2 + 3);
        assert!(errands.are_out());
        woken.recv().unwrap();
        assert_eq!(errands.poll(), Some(5));
        assert_eq!(errands.poll(), None);
        assert!(!errands.are_out());
    }

    #[test]
    fn an_errand_that_panics_still_answers() {
        let (wake, woken) = bell();
        let mut errands = Errands::new(wake);
        errands.run("bad", "lost", || panic!("this panic belongs to the test"));
        woken.recv().unwrap();
        assert_eq!(errands.poll(), Some("lost"));
        assert!(!errands.are_out());
    }
}
