//! Printing a PDF on the system's usual printer, through `lp`.

use std::io;
use std::num::NonZeroU8;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use workbench::present::labels::computer as labels;

use super::errands::{Errands, Wake};
use super::limited::{Children, Ended};
use super::programs::{Programs, words_of};

/// The paper in the printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Media {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 in.
    Letter,
    /// 105 × 148 mm.
    A6,
}

impl Media {
    /// As printers call it (CUPS, *Command-Line Printing and Options*, "Selecting the Media Size, Type, and
    /// Source"; A6 by the name that the PPD specification 4.3 gives it, from memory).
    fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
            Self::A6 => "A6",
        }
    }
}

/// How long `lp` may take until the queue has the paper.
const LONGEST: Duration = Duration::from_mins(1);

/// What is to be printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrintJob {
    /// The file.
    pub pdf: PathBuf,
    /// What the printer's list shows; others may see it, so it names a tag and not a client.
    pub title: String,
    /// How many.
    pub copies: NonZeroU8,
    /// On which paper.
    pub media: Media,
}

/// Why nothing was printed.
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// There is no `lp` here.
    #[error(
        "this computer has no lp to print with; open the paper and print it from the viewer, or install the package \
         cups-client, which brings lp"
    )]
    NoLp,
    /// There is no such file.
    #[error("{} is not there any more, so it was not printed; make it again", pdf.display())]
    NotThere {
        /// The file.
        pdf: PathBuf,
    },
    /// `lp` did not start.
    #[error("nothing was printed; lp did not start")]
    NotStarted {
        /// Why.
        #[source]
        source: io::Error,
    },
    /// `lp` hung.
    #[error(
        "nothing was printed, as far as can be told: lp did not come back and was stopped; look at the printer, or \
         open the paper and print it from the viewer instead"
    )]
    Hung,
    /// The printer's side refused; these are its words.
    #[error("nothing was printed: {words}; open the paper and print it from the viewer instead")]
    Refused {
        /// What `lp` said.
        words: String,
    },
}

/// The papers that are on their way to the printer.
#[derive(Debug)]
pub struct Printing {
    programs: Programs,
    errands: Errands<Result<String, PrintError>>,
    longest: Duration,
}

impl Printing {
    /// Prints with the `lp` among `programs`. `wake` is called when it is known how it went.
    pub fn new(wake: Wake, programs: Programs) -> Self {
        Self { programs, errands: Errands::new(wake), longest: LONGEST }
    }

    /// The same, where `lp` is stopped after another time than 60 s.
    #[must_use]
    pub fn with_limit(self, longest: Duration) -> Self {
        Self { longest, ..self }
    }

    /// Whether there is an `lp` here to print with.
    pub fn can_print(&self) -> bool {
        self.programs.find("lp").is_some()
    }

    /// Sends a paper to the printer and returns at once.
    pub fn ask(&mut self, job: PrintJob) {
        let (programs, longest) = (self.programs.clone(), self.longest);
        let lost = Err(PrintError::Refused { words: "the task that prints broke off".to_owned() });
        self.errands.run("printing", lost, move || print(&programs, &job, longest));
    }

    /// Whether a paper is on its way, or its answer is still to be collected.
    pub fn is_sending(&self) -> bool {
        self.errands.are_out()
    }

    /// How the next one went: what to say, or why not. Never waits.
    pub fn poll(&mut self) -> Option<Result<String, PrintError>> {
        self.errands.poll()
    }
}

/// Sends a paper to the printer and waits until its queue has taken it.
fn print(programs: &Programs, job: &PrintJob, longest: Duration) -> Result<String, PrintError> {
    let lp = programs.find("lp").ok_or(PrintError::NoLp)?;
    if !job.pdf.is_file() {
        return Err(PrintError::NotThere { pdf: job.pdf.clone() });
    }
    // One that is still at it when the program ends is let be, so that the paper is printed.
    let output = Children::default().run(&mut command(&lp, job), longest).map_err(|ended| match ended {
        Ended::TooLong => PrintError::Hung,
        Ended::NotStarted(source) if source.kind() == io::ErrorKind::NotFound => PrintError::NoLp,
        Ended::NotStarted(source) => PrintError::NotStarted { source },
    })?;
    if !output.status.success() {
        return Err(PrintError::Refused { words: bare(&words_of(&output)).to_owned() });
    }
    Ok(labels::printed(&job.title, job.copies.get()))
}

fn command(lp: &Path, job: &PrintJob) -> Command {
    let mut command = Command::new(lp);
    let title: String = job.title.chars().filter(|c| !c.is_control()).collect();
    command.args(["-t", &title]);
    command.args(["-n", &job.copies.to_string()]);
    command.args(["-o", &format!("media={}", job.media.name())]);
    // Labels and outlines are drawn in their true size, so the page must not be shrunk to the printer's margins
    // (print-scaling: PWG 5100.16, *IPP Transaction-Based Printing Extensions*, 2013; CUPS knows it since 1.6).
    command.args(["-o", "print-scaling=none", "--"]);
    command.arg(std::path::absolute(&job.pdf).unwrap_or_else(|_| job.pdf.clone()));
    command
}

/// The words without the program's name before them.
fn bare(words: &str) -> &str {
    let words = words.strip_prefix("lp: ").unwrap_or(words);
    words.strip_prefix("Error - ").unwrap_or(words).trim_end_matches('.')
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::super::errands::testing::bell;
    use super::super::programs::testing::fake;
    use super::{Duration, Media, NonZeroU8, Path, PrintError, PrintJob, Printing, Programs, bare};

    fn job(dir: &Path, copies: u8, media: Media) -> PrintJob {
        let pdf = dir.join("kit.pdf");
        std::fs::write(&pdf, "%PDF-1.7").unwrap();
        PrintJob { pdf, title: "HF-1 kit".to_owned(), copies: NonZeroU8::new(copies).unwrap(), media }
    }

    fn printed(dir: &Path, job: PrintJob) -> Result<String, PrintError> {
        let (wake, woken) = bell();
        let mut printing = Printing::new(wake, Programs::in_folders(vec![dir.to_owned()]));
        assert_eq!(printing.can_print(), dir.join("lp").exists());
        printing.ask(job);
        assert!(printing.is_sending());
        woken.recv().unwrap();
        let answer = printing.poll().unwrap();
        assert!(!printing.is_sending());
        answer
    }

    #[test]
    fn lp_is_told_the_title_the_copies_the_paper_and_the_true_size() {
        let dir = tempfile::tempdir().unwrap();
        let heard = dir.path().join("heard");
        fake(dir.path(), "lp", &format!("printf '%s|' \"$@\" > '{}'", heard.display()));
        for (copies, media, name) in
            [(1, Media::A4, "A4"), (3, Media::Letter, "Letter"), (2, Media::A6, "A6")]
        {
            let said = printed(dir.path(), job(dir.path(), copies, media)).unwrap();
            assert!(said.starts_with("Sent to the printer: HF-1 kit"), "{said}");
            assert_eq!(said.contains("copies"), copies > 1, "{said}");
            let pdf = dir.path().join("kit.pdf");
            let expected = format!(
                "-t|HF-1 kit|-n|{copies}|-o|media={name}|-o|print-scaling=none|--|{}|",
                pdf.display()
            );
            assert_eq!(std::fs::read_to_string(&heard).unwrap(), expected);
        }
    }

    #[test]
    fn without_lp_the_words_name_the_viewer_and_the_package() {
        let dir = tempfile::tempdir().unwrap();
        let error = printed(dir.path(), job(dir.path(), 1, Media::A4)).unwrap_err();
        assert!(matches!(error, PrintError::NoLp));
        let said = error.to_string();
        assert!(said.contains("from the viewer") && said.contains("cups-client"), "{said}");
    }

    #[test]
    fn an_lp_that_hangs_is_stopped_and_told() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "lp", "exec sleep 1000");
        let (wake, woken) = bell();
        let programs = Programs::in_folders(vec![dir.path().to_owned()]);
        let mut printing = Printing::new(wake, programs).with_limit(Duration::from_millis(50));
        printing.ask(job(dir.path(), 1, Media::A4));
        woken.recv().unwrap();
        let error = printing.poll().unwrap().unwrap_err();
        assert!(matches!(error, PrintError::Hung), "{error}");
        assert!(error.to_string().contains("from the viewer"), "{error}");
    }

    #[test]
    fn what_lp_says_becomes_the_error() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "lp", "echo 'lp: Error - No default destination.' >&2; exit 1");
        let said = printed(dir.path(), job(dir.path(), 1, Media::A4)).unwrap_err().to_string();
        assert!(said.starts_with("nothing was printed: No default destination; open the paper"), "{said}");
        assert_eq!(bare("the queue is full"), "the queue is full");
    }

    #[test]
    fn a_paper_that_is_gone_is_told_before_lp_is_asked() {
        let dir = tempfile::tempdir().unwrap();
        let heard = dir.path().join("heard");
        fake(dir.path(), "lp", &format!("touch '{}'", heard.display()));
        let gone = PrintJob { pdf: dir.path().join("gone.pdf"), ..job(dir.path(), 1, Media::A4) };
        assert!(matches!(printed(dir.path(), gone), Err(PrintError::NotThere { .. })));
        assert!(!heard.exists());
    }
}
