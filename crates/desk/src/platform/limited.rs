//! Running a program of the system no longer than it can sensibly take.

use std::collections::BTreeMap;
use std::io::{self, Read as _, Seek as _};
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// How often a program that runs is looked after.
const LOOK: Duration = Duration::from_millis(10);

/// Why a program gave no answer.
#[derive(Debug)]
pub(super) enum Ended {
    /// It did not start, or could not be looked after.
    NotStarted(io::Error),
    /// It ran longer than its limit and was stopped.
    TooLong,
}

/// The programs that run now; each is stopped at its limit. Clones are the same ones.
#[derive(Debug, Clone, Default)]
pub(super) struct Children(Arc<Mutex<Known>>);

#[derive(Debug, Default)]
struct Known {
    all: BTreeMap<u32, Child>,
    /// No more are let in: the program ends.
    is_closed: bool,
}

impl Children {
    /// Runs `command` without input until it ends, but no longer than `limit`; what it writes is thrown away but for
    /// its standard error.
    ///
    /// # Errors
    /// [`Ended`].
    pub(super) fn run(&self, command: &mut Command, limit: Duration) -> Result<Output, Ended> {
        // A file rather than a pipe: nobody need read along, and a child of the child that keeps it open holds nobody
        // up.
        let mut said = tempfile::tempfile().map_err(Ended::NotStarted)?;
        let stderr = said.try_clone().map_err(Ended::NotStarted)?;
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::from(stderr));
        let began = Instant::now();
        let id = self.start(command)?;
        let status = loop {
            if let Some(status) = self.look(id)? {
                break status;
            }
            if began.elapsed() >= limit {
                self.stop(id);
                return Err(Ended::TooLong);
            }
            thread::park_timeout(LOOK);
        };
        let mut stderr = Vec::new();
        // Its status counts; where its words cannot be read there are none.
        drop(said.rewind().and_then(|()| said.read_to_end(&mut stderr)));
        Ok(Output { status, stdout: Vec::new(), stderr })
    }

    fn start(&self, command: &mut Command) -> Result<u32, Ended> {
        let mut known = self.known();
        if known.is_closed {
            return Err(Ended::TooLong);
        }
        let child = command.spawn().map_err(Ended::NotStarted)?;
        let id = child.id();
        known.all.insert(id, child);
        Ok(id)
    }

    /// How it ended, once it has.
    fn look(&self, id: u32) -> Result<Option<ExitStatus>, Ended> {
        let mut known = self.known();
        let child = known.all.get_mut(&id).ok_or(Ended::TooLong)?;
        let status = child.try_wait().map_err(Ended::NotStarted)?;
        if status.is_some() {
            known.all.remove(&id);
        }
        Ok(status)
    }

    fn stop(&self, id: u32) {
        let child = self.known().all.remove(&id);
        child.into_iter().for_each(end);
    }

    /// Stops all that still run, and lets no more in.
    pub(super) fn stop_all(&self) {
        let mut known = self.known();
        known.is_closed = true;
        let all = std::mem::take(&mut known.all);
        drop(known);
        all.into_values().for_each(end);
    }

    /// A look at them is never left half done, so one that broke off has harmed nothing.
    fn known(&self) -> MutexGuard<'_, Known> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Stops a program, and leaves no dead entry of it in the process table.
fn end(mut child: Child) {
    // One that ended by itself in between is as good.
    drop(child.kill());
    drop(child.wait());
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::path::Path;
    use std::process::Command;
    use std::sync::mpsc::channel;
    use std::thread;
    use std::time::Duration;

    use super::super::programs::testing::fake;
    use super::{Children, Ended};

    const LONG: Duration = Duration::from_mins(10);

    /// A program that tells its number and hangs.
    fn hanging(dir: &Path) -> Command {
        fake(dir, "hangs", "echo $$ > \"$1\"; exec sleep 1000");
        let mut command = Command::new(dir.join("hangs"));
        command.arg(dir.join("number"));
        command
    }

    /// True while a program of that number is in the process table, dead or alive.
    fn is_there(number: &str) -> bool {
        Command::new("/bin/sh")
            .args(["-c", "kill -0 \"$1\" 2>/dev/null", "sh", number])
            .status()
            .unwrap()
            .success()
    }

    #[test]
    fn a_program_that_hangs_is_stopped_at_its_limit_and_leaves_nothing() {
        let children = Children::default();
        let mut command = Command::new("sleep");
        let outcome = children.run(command.arg("1000"), Duration::from_millis(30));
        assert!(matches!(outcome, Err(Ended::TooLong)), "{outcome:?}");
        assert!(children.known().all.is_empty());
        let id = children.start(&mut command).unwrap();
        assert!(is_there(&id.to_string()), "the look at the table works");
        children.stop(id);
        assert!(!is_there(&id.to_string()));
    }

    #[test]
    fn one_that_ends_in_time_is_heard_out() {
        let dir = tempfile::tempdir().unwrap();
        // More than a pipe holds, and one more program that keeps its standard error open.
        fake(dir.path(), "talks", "sleep 1000 & echo $! > \"$1\"; head -c 200000 /dev/zero >&2; exit 3");
        let kept = dir.path().join("kept");
        let output =
            Children::default().run(Command::new(dir.path().join("talks")).arg(&kept), LONG).unwrap();
        assert_eq!((output.status.code(), output.stderr.len()), (Some(3), 200_000));
        let number = std::fs::read_to_string(kept).unwrap();
        assert!(is_there(number.trim()), "it was not waited for");
        assert!(Command::new("kill").arg(number.trim()).status().unwrap().success());
    }

    #[test]
    fn at_the_end_of_the_program_all_are_stopped_and_none_begins() {
        let dir = tempfile::tempdir().unwrap();
        let children = Children::default();
        let (to, came) = channel();
        let gate = dir.path().join("number");
        assert!(Command::new("mkfifo").arg(&gate).status().unwrap().success());
        let mut command = hanging(dir.path());
        let running = children.clone();
        thread::spawn(move || to.send(running.run(&mut command, LONG)));
        // Its number comes once it runs.
        let number = std::fs::read_to_string(&gate).unwrap();
        children.stop_all();
        assert!(matches!(came.recv().unwrap(), Err(Ended::TooLong)));
        assert!(!is_there(number.trim()));
        assert!(matches!(children.run(&mut Command::new("true"), LONG), Err(Ended::TooLong)));
    }
}
