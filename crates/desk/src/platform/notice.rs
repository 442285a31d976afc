//! A notice outside the window, for when it is hidden: the desktop's own, through `notify-send`.
//!
//! A notice may stay on a locked screen, so whoever words it names tags and lamps, not clients.

use std::io;
use std::process::{Child, Command, Stdio};

use super::programs::{Programs, reap};

/// How much a notice may disturb.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Urgency {
    /// It may wait and vanish by itself.
    Usual,
    /// An alarm: it stays until it is put away.
    Alarm,
}

impl Urgency {
    // The levels of the Desktop Notifications Specification 1.2, "Urgency Levels".
    fn level(self) -> &'static str {
        match self {
            Self::Usual => "normal",
            Self::Alarm => "critical",
        }
    }
}

/// The notice could not be handed over.
#[derive(Debug, thiserror::Error)]
#[error("the notice outside the window could not be shown; notify-send did not start")]
pub struct NoticeError {
    /// Why.
    #[source]
    pub source: io::Error,
}

/// Hands a notice to the desktop and does not wait. `Ok(true)` says it was handed over, not that it was seen;
/// `Ok(false)` that `notify-send` (package libnotify-bin) is not here.
///
/// # Errors
/// Where `notify-send` is there but could not be started.
pub fn show(programs: &Programs, urgency: Urgency, title: &str, body: &str) -> Result<bool, NoticeError> {
    let child = start(programs, urgency, title, body).map_err(|source| NoticeError { source })?;
    let shown = child.is_some();
    child.into_iter().for_each(reap);
    Ok(shown)
}

fn start(programs: &Programs, urgency: Urgency, title: &str, body: &str) -> io::Result<Option<Child>> {
    let Some(program) = programs.find("notify-send") else { return Ok(None) };
    let started = Command::new(program)
        .args(["--app-name=Heldfast", "--urgency", urgency.level(), "--"])
        .args([plain(title), marked_up(body)])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    match started {
        Ok(child) => Ok(Some(child)),
        // It went away between looking and starting.
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Without characters that no argument can carry or no notice can show.
fn plain(text: &str) -> String {
    text.chars().filter(|c| *c == '\n' || !c.is_control()).collect()
}

/// As the body wants it: it may hold markup, so what is meant as text is written out (Desktop Notifications
/// Specification 1.2, "Markup"); and `notify-send` reads backslashes as escapes (from memory).
fn marked_up(text: &str) -> String {
    plain(text).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('\\', "\\\\")
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::super::programs::testing::fake;
    use super::{Programs, Urgency, marked_up, plain, show, start};

    #[test]
    fn without_notify_send_nothing_is_shown_and_nothing_is_wrong() {
        let empty = tempfile::tempdir().unwrap();
        let programs = Programs::in_folders(vec![empty.path().to_owned()]);
        assert!(!show(&programs, Urgency::Alarm, "Lamp", "done").unwrap());
    }

    #[test]
    fn an_alarm_is_critical_and_a_dash_is_no_option() {
        let dir = tempfile::tempdir().unwrap();
        let heard = dir.path().join("heard");
        fake(dir.path(), "notify-send", &format!("printf '%s|' \"$@\" > '{}'", heard.display()));
        let programs = Programs::in_folders(vec![dir.path().to_owned()]);
        let mut child = start(&programs, Urgency::Alarm, "-Lamp 1", "layer 2 & 3").unwrap().unwrap();
        assert!(child.wait().unwrap().success());
        let heard = std::fs::read_to_string(heard).unwrap();
        assert_eq!(heard, "--app-name=Heldfast|--urgency|critical|--|-Lamp 1|layer 2 &amp; 3|");
        assert!(show(&programs, Urgency::Usual, "a", "b").unwrap());
    }

    #[test]
    fn a_notice_that_cannot_start_says_so() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "notify-send", "true");
        // Its interpreter is a folder, which nobody may run.
        std::fs::write(dir.path().join("notify-send"), "#!/\n").unwrap();
        let programs = Programs::in_folders(vec![dir.path().to_owned()]);
        let error = show(&programs, Urgency::Usual, "a", "b").unwrap_err();
        assert!(error.to_string().contains("notify-send did not start"), "{error}");
    }

    #[test]
    fn text_that_looks_like_markup_stays_text() {
        assert_eq!(marked_up("<b>5 < 6</b>\\n"), "&lt;b&gt;5 &lt; 6&lt;/b&gt;\\\\n");
        assert_eq!(plain("a\0b\u{7}\nc"), "ab\nc");
        assert_eq!(Urgency::Usual.level(), "normal");
    }
}
