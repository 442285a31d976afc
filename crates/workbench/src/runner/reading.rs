//! The thread that reads what of a studio is not read yet.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex};

use craft::moment::Moment;

use super::{Halt, Runner, held};
use crate::action::{Action, JobEnd, JobId, Outcome};
use crate::open::Rest;
use crate::present::job_words;

/// What is still to be read, and whom to tell.
#[derive(Clone)]
pub(super) struct ToRead {
    rest: Arc<Mutex<Rest>>,
    answer: Sender<Action>,
    wake: Arc<dyn Fn() + Send + Sync>,
}

impl std::fmt::Debug for ToRead {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ToRead").field("rest", &self.rest).finish_non_exhaustive()
    }
}

impl ToRead {
    pub(super) fn new(rest: Rest, answer: Sender<Action>, wake: Arc<dyn Fn() + Send + Sync>) -> Self {
        Self { rest: Arc::new(Mutex::new(rest)), answer, wake }
    }

    fn tell(&self, action: Action) -> bool {
        let told = self.answer.send(action).is_ok();
        if told {
            (self.wake)();
        }
        told
    }

    /// Reads on until it is done or stopped; what has been read by then is handed over.
    fn read_on(&self, id: JobId, halt: &Halt, now: Moment) {
        let mut rest = held(&self.rest);
        let mut end = JobEnd::Done(Outcome::OrdersRead);
        loop {
            if !halt.may_begin(id) {
                end = JobEnd::Cancelled;
                break;
            }
            // A fault in there costs this reading, and never an answer that is waited for.
            let Ok(part) = catch_unwind(AssertUnwindSafe(|| rest.next_part(now))) else {
                end = JobEnd::Failed(job_words::FAULT_INSIDE.to_owned());
                break;
            };
            let Some(part) = part else { break };
            let told =
                self.tell(Action::Read(Box::new(part))) && self.tell(Action::Progress(id, rest.percent()));
            if !told {
                break;
            }
        }
        drop(rest);
        held(&halt.stopped).remove(&id);
        self.tell(Action::JobDone(id, end));
    }
}

impl Runner {
    /// Reads on in a thread of its own, so that photos and papers need not wait for it.
    pub(super) fn read_on(&mut self, id: JobId, now: Moment) {
        self.waiting_for += 1;
        let done = match self.to_read.clone() {
            // Nothing is left to be read.
            None => Ok(JobEnd::Done(Outcome::OrdersRead)),
            Some(to_read) => {
                let halt = self.halt.clone();
                let read = move || to_read.read_on(id, &halt, now);
                std::thread::Builder::new().name("reader".to_owned()).spawn(read).map(|thread| {
                    self.threads.push(thread);
                    JobEnd::Cancelled
                })
            }
        };
        match done {
            Ok(JobEnd::Cancelled) => {}
            Ok(end) => self.own_answers.push_back(Action::JobDone(id, end)),
            Err(_) => {
                let end = JobEnd::Failed(job_words::NO_THREAD.to_owned());
                self.own_answers.push_back(Action::JobDone(id, end));
            }
        }
    }
}
