//! Finding the system's own programs by name, and letting them run without waiting.

use std::path::{Path, PathBuf};
use std::process::Child;
use std::thread;

/// The folders in which programs are looked for, first to last.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Programs {
    folders: Vec<PathBuf>,
}

impl Programs {
    /// The folders named in `PATH`.
    pub fn on_the_path() -> Self {
        let path = std::env::var_os("PATH").unwrap_or_default();
        // An empty entry would mean the folder one happens to be in, where no program of the system is.
        let folders = std::env::split_paths(&path).filter(|folder| folder.is_absolute());
        Self { folders: folders.collect() }
    }

    /// Just these folders.
    pub fn in_folders(folders: Vec<PathBuf>) -> Self {
        Self { folders }
    }

    /// The first file of this name that may be run.
    pub fn find(&self, name: &str) -> Option<PathBuf> {
        self.folders.iter().map(|folder| folder.join(name)).find(|file| may_run(file))
    }
}

#[cfg(unix)]
fn may_run(file: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt as _;
    file.metadata().is_ok_and(|about| about.is_file() && about.permissions().mode() & 0o111 != 0)
}

#[cfg(not(unix))]
fn may_run(file: &Path) -> bool {
    file.is_file()
}

/// Waits for a child on a thread of its own, so that it does not stay behind as a dead entry in the process table.
pub(super) fn reap(mut child: Child) {
    let waiting = thread::Builder::new().name("reaper".to_owned()).spawn(move || child.wait());
    // Where no thread can be had the entry stays until the program ends, which harms nobody.
    drop(waiting);
}

/// What a child said on its standard error, as one line; the number of its exit where it said nothing.
pub(super) fn words_of(output: &std::process::Output) -> String {
    let said = String::from_utf8_lossy(&output.stderr);
    let lines: Vec<&str> = said.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    if lines.is_empty() {
        return match output.status.code() {
            Some(code) => format!("it ended with status {code} and said nothing"),
            None => "it was stopped and said nothing".to_owned(),
        };
    }
    lines.join("; ")
}

#[cfg(test)]
#[cfg(unix)]
pub(super) mod testing {
    use std::path::Path;
    use std::process::Command;

    /// Puts a shell script into `folder`. A child writes it: a file that this process itself held open for writing
    /// could not be run while another test's child still holds a copy of that handle.
    pub(crate) fn fake(folder: &Path, name: &str, body: &str) {
        let status = Command::new("/bin/sh")
            .args(["-c", r#"printf '#!/bin/sh\n%s\n' "$2" > "$1" && chmod 755 "$1""#, "sh"])
            .arg(folder.join(name))
            .arg(body)
            .status()
            .unwrap();
        assert!(status.success());
    }
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::process::Command;

    use super::testing::fake;
    use super::{Programs, words_of};

    #[test]
    fn the_first_folder_wins_and_only_what_may_be_run_counts() {
        let (first, second) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        std::fs::write(first.path().join("lp"), "not to be run").unwrap();
        std::fs::create_dir(first.path().join("aplay")).unwrap();
        fake(second.path(), "lp", "true");
        let programs = Programs::in_folders(vec![first.path().to_owned(), second.path().to_owned()]);
        assert_eq!(programs.find("lp"), Some(second.path().join("lp")));
        assert_eq!(programs.find("aplay"), None, "a folder is no program");
        fake(first.path(), "paplay", "true");
        fake(second.path(), "paplay", "true");
        assert_eq!(programs.find("paplay"), Some(first.path().join("paplay")));
    }

    #[test]
    fn what_a_child_said_becomes_one_line() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "talks", "echo 'first ' >&2; echo >&2; echo second >&2; exit 1");
        fake(dir.path(), "silent", "exit 3");
        let run = |name| Command::new(dir.path().join(name)).output().unwrap();
        assert_eq!(words_of(&run("talks")), "first; second");
        assert_eq!(words_of(&run("silent")), "it ended with status 3 and said nothing");
    }
}
