//! The system's own dialogs for picking photos, a folder, or where to save.
//!
//! They stand on threads of their own, so the window behind them stays alive. The service that shows them says the same
//! when the person cancels and when there is no such service, so an answer of nothing also says whether it came so
//! quickly that nobody can have seen a dialog: then the window opens its field for typing a path instead.

use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use super::errands::{Errands, Wake};

/// Sooner than a person can read a dialog and close it. A missing dialog service is known within some 30 ms.
const QUICK: Duration = Duration::from_millis(300);

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pick {
    /// One photo or several, JPEG or PNG.
    Photos,
    /// One folder.
    Folder,
    /// One file of any kind.
    File,
    /// Where to save a file; this name is offered.
    SaveAs(String),
}

/// One question to the person. It comes back with its answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Request {
    /// Which question it is: two that ask for the same are told apart by it.
    pub no: u64,
    /// What is asked for.
    pub pick: Pick,
    /// The words over the dialog.
    pub title: String,
    /// The folder to begin in.
    pub start: Option<PathBuf>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// What was picked: at least one path, and just one but for photos.
    Picked(Vec<PathBuf>),
    /// Nothing was picked.
    Nothing {
        /// It came within 300 ms: there is no dialog service here, so a path has to be typed.
        quick: bool,
    },
}

/// Shows a dialog and waits for the person; `None` where nothing was picked.
type Show = dyn Fn(&Request) -> Option<Vec<PathBuf>> + Send + Sync;

/// The dialogs that stand open.
pub struct Dialogs {
    show: Arc<Show>,
    errands: Errands<(Request, Answer)>,
}

impl fmt::Debug for Dialogs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Dialogs").field("errands", &self.errands).finish_non_exhaustive()
    }
}

impl Dialogs {
    /// The system's dialogs. `wake` is called when an answer has come.
    pub fn new(wake: Wake) -> Self {
        Self::shown_by(wake, shown_by_the_system)
    }

    /// Dialogs that `show` answers, on a thread for each: for trials without a desktop.
    pub fn shown_by(
        wake: Wake,
        show: impl Fn(&Request) -> Option<Vec<PathBuf>> + Send + Sync + 'static,
    ) -> Self {
        Self { show: Arc::new(show), errands: Errands::new(wake) }
    }

    /// Opens a dialog and returns at once.
    pub fn ask(&mut self, request: Request) {
        let show = Arc::clone(&self.show);
        let lost = (request.clone(), Answer::Nothing { quick: true });
        self.errands.run("dialog", lost, move || {
            let asked = Instant::now();
            let picked = show(&request);
            (request, answer(picked, asked.elapsed()))
        });
    }

    /// The next answer that has come, with what was asked; never waits.
    pub fn poll(&mut self) -> Option<(Request, Answer)> {
        self.errands.poll()
    }

    /// Whether a dialog stands open, or its answer is still to be collected.
    pub fn are_open(&self) -> bool {
        self.errands.are_out()
    }
}

fn answer(picked: Option<Vec<PathBuf>>, after: Duration) -> Answer {
    match picked {
        Some(paths) if !paths.is_empty() => Answer::Picked(paths),
        // One of the ways in which dialogs are shown says "cancelled" as an empty list.
        Some(_) | None => Answer::Nothing { quick: after < QUICK },
    }
}

fn shown_by_the_system(request: &Request) -> Option<Vec<PathBuf>> {
    let mut dialog = rfd::FileDialog::new().set_title(&request.title);
    if let Some(start) = &request.start {
        dialog = dialog.set_directory(start);
    }
    match &request.pick {
        // The filter minds the case, and cameras write theirs in capitals.
        Pick::Photos => {
            dialog.add_filter("Photos", &["jpg", "jpeg", "png", "JPG", "JPEG", "PNG"]).pick_files()
        }
        Pick::Folder => dialog.pick_folder().map(|folder| vec![folder]),
        Pick::File => dialog.pick_file().map(|file| vec![file]),
        Pick::SaveAs(name) => dialog.set_file_name(name).save_file().map(|file| vec![file]),
    }
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;
    use std::sync::mpsc::channel;
    use std::time::Duration;

    use super::super::errands::testing::bell;
    use super::{Answer, Dialogs, Pick, Request, answer};

    fn request(pick: Pick) -> Request {
        Request { no: 1, pick, title: "Photos of the kit".to_owned(), start: None }
    }

    #[test]
    fn each_answer_comes_back_with_what_was_asked() {
        let (wake, woken) = bell();
        let mut dialogs = Dialogs::shown_by(wake, |request| match &request.pick {
            Pick::Photos => Some(vec![PathBuf::from("/a.jpg"), PathBuf::from("/b.PNG")]),
            Pick::Folder | Pick::File => None,
            Pick::SaveAs(name) => Some(vec![PathBuf::from("/papers").join(name)]),
        });
        assert!(dialogs.poll().is_none() && !dialogs.are_open());
        let asked = [Pick::Photos, Pick::Folder, Pick::SaveAs("kit.pdf".to_owned())].map(request);
        let mut answers = Vec::new();
        for request in asked.clone() {
            dialogs.ask(request);
            assert!(dialogs.are_open());
            woken.recv().unwrap();
            answers.push(dialogs.poll().unwrap());
        }
        assert!(!dialogs.are_open());
        assert_eq!(answers.iter().map(|(request, _)| request.clone()).collect::<Vec<_>>(), asked);
        assert_eq!(answers[0].1, Answer::Picked(vec!["/a.jpg".into(), "/b.PNG".into()]));
        assert!(matches!(answers[1].1, Answer::Nothing { .. }));
        assert_eq!(answers[2].1, Answer::Picked(vec!["/papers/kit.pdf".into()]));
    }

    #[test]
    fn a_dialog_that_stands_open_does_not_hold_up_the_window_or_another_dialog() {
        let (wake, woken) = bell();
        let (close, closed) = channel::<()>();
        let closed = std::sync::Mutex::new(closed);
        let mut dialogs = Dialogs::shown_by(wake, move |request| {
            if request.pick == Pick::Folder {
                closed.lock().unwrap().recv().unwrap();
            }
            Some(vec![PathBuf::from("/x")])
        });
        dialogs.ask(request(Pick::Folder));
        dialogs.ask(request(Pick::Photos));
        woken.recv().unwrap();
        assert_eq!(dialogs.poll().unwrap().0.pick, Pick::Photos);
        assert!(dialogs.poll().is_none() && dialogs.are_open());
        close.send(()).unwrap();
        woken.recv().unwrap();
        assert_eq!(dialogs.poll().unwrap().0.pick, Pick::Folder);
    }

    #[test]
    fn nothing_is_quick_only_before_anybody_could_have_read_a_dialog() {
        let nothing_after = |ms| answer(None, Duration::from_millis(ms));
        assert_eq!(nothing_after(30), Answer::Nothing { quick: true });
        assert_eq!(nothing_after(299), Answer::Nothing { quick: true });
        assert_eq!(nothing_after(300), Answer::Nothing { quick: false });
        assert_eq!(answer(Some(vec![]), Duration::from_secs(2)), Answer::Nothing { quick: false });
        let picked = answer(Some(vec!["/a".into()]), Duration::ZERO);
        assert_eq!(picked, Answer::Picked(vec!["/a".into()]), "what was picked counts, however quickly");
    }

    #[test]
    fn a_dialog_that_breaks_counts_as_none_here() {
        let (wake, woken) = bell();
        let mut dialogs = Dialogs::shown_by(wake, |_| panic!("this panic belongs to the test"));
        dialogs.ask(request(Pick::Folder));
        woken.recv().unwrap();
        assert_eq!(dialogs.poll().unwrap().1, Answer::Nothing { quick: true });
    }
}
