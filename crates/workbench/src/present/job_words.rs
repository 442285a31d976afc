//! What is said of things that take a while: while they run, and where they come to nothing.

use std::fmt::Display;
use std::path::Path;

use craft::digest::Digest;
use craft::fact::PaperKind;

use super::words;
use crate::action::Job;
use crate::keeping::Keep;

/// Why a paper that was set is not recorded as issued.
pub const PAPER_OVERTAKEN: &str = "something was recorded while the paper was being set; issue it again";

/// Why nothing is done where the worker has ended.
pub const NO_WORKER: &str = "nothing is there to do it any more; open the studio anew and try again";

/// A fault of a picture decoder or the page engine.
pub const FAULT_INSIDE: &str = "something went wrong inside; nothing was changed, please try again";

/// A fault of the program in the middle of a save.
pub const SAVE_FAULT: &str = "something went wrong inside the program";

/// The step of a save at which such a fault is told, as in "the disk would not …".
pub const SAVE_STEP: &str = "finish writing it";

/// Why a studio cannot be opened where the system gives no thread.
pub const NO_THREAD: &str = "the computer has no room for another task; close something and try again";

/// Of a paper that was stopped before it was kept.
pub const STOPPED: &str = "it was stopped, and nothing is kept of it";

/// One line of progress: "taking in a photo for 7K2-M4P, 40 %". `percent` is 0 to 100; where nothing is known yet, 0, it
/// is left out.
pub fn row(job: &Job, percent: u8) -> String {
    let what = match job {
        Job::TakePhoto { tag, .. } | Job::TakeBoxPhoto { tag, .. } => format!("taking in a photo for {tag}"),
        Job::IssuePaper { tag, kind } => format!("setting the {} for {tag}", words::paper(*kind)),
        Job::MessageImage { .. } => "writing a picture for a message".to_owned(),
        Job::CopyPaper { tag, kind, .. } => format!("copying the {} for {tag}", words::paper(*kind)),
        Job::Picture { .. } => "reading a photo".to_owned(),
        Job::Keep(keep) => keep_row(keep),
        Job::PreviewPaper { tag, kind, .. } => {
            format!("setting the {} for {tag}, to look at", words::paper(*kind))
        }
        Job::ReadOrders => "reading the other orders".to_owned(),
        Job::LookThrough => "looking through photos and papers".to_owned(),
    };
    match percent {
        0 => what,
        percent => format!("{what}, {} %", percent.min(100)),
    }
}

/// How far the demo studio is that is being written, in per cent.
pub fn founding(percent: u8) -> String {
    format!("Writing the demo studio, {percent} %")
}

fn keep_row(keep: &Keep) -> String {
    match keep {
        Keep::ReadHistory(_) => "reading earlier versions".to_owned(),
        Keep::PutInPlace { .. } => "putting an earlier version in its place".to_owned(),
        Keep::Backup { .. } => "making a backup".to_owned(),
        Keep::HandOver { tag, .. } => format!("handing {tag} over"),
        Keep::WriteList { .. } => "writing the list of orders".to_owned(),
        Keep::Forget(_) => "forgetting a client".to_owned(),
        Keep::Sweep => "looking for what is left of those who were forgotten".to_owned(),
        Keep::WriteReceipt { .. } => "writing the receipt".to_owned(),
        Keep::PutBack { .. } => "putting a backup back".to_owned(),
    }
}

/// What did not come to be done before the end; nothing of a picture that was only to be looked at.
pub fn not_begun(job: &Job) -> Option<String> {
    match job {
        Job::TakePhoto { tag, .. } | Job::TakeBoxPhoto { tag, .. } => {
            Some(format!("a photo for {tag} was not taken in; take it in again"))
        }
        Job::IssuePaper { tag, kind } => {
            Some(format!("the {} for {tag} was not issued; issue it again", words::paper(*kind)))
        }
        Job::MessageImage { to, .. }
        | Job::CopyPaper { to, .. }
        | Job::Keep(
            Keep::Backup { to }
            | Keep::HandOver { to, .. }
            | Keep::WriteList { to }
            | Keep::WriteReceipt { to },
        ) => Some(format!("{} was not written; ask for it again", to.display())),
        Job::Picture { .. }
        | Job::PreviewPaper { .. }
        | Job::ReadOrders
        | Job::LookThrough
        | Job::Keep(Keep::ReadHistory(_) | Keep::Sweep) => None,
        Job::Keep(Keep::PutBack { to, .. }) => {
            Some(format!("no backup was put back in {}; ask for it again", to.display()))
        }
        Job::Keep(Keep::PutInPlace { .. }) => {
            Some("no earlier version was put in its place; ask for it again".to_owned())
        }
        Job::Keep(Keep::Forget(_)) => Some("the client was not forgotten; ask for it again".to_owned()),
    }
}

/// Why a file is not written: another has its name.
pub fn name_taken(to: &Path) -> String {
    format!("there is a file {} already; choose a new name, so that nothing is written over", to.display())
}

/// Why a file is not written: it would lie among those of the studio.
pub fn within_the_studio(to: &Path) -> String {
    format!("{} lies in the studio's own folder; choose a place outside it", to.display())
}

/// Where a picture for a message lies now.
pub fn image_written(to: &Path) -> String {
    format!("the picture is at {}", to.display())
}

/// Where a copy of a paper lies now.
pub fn copy_written(to: &Path) -> String {
    format!("the copy is at {}", to.display())
}

/// Where the list of orders lies now.
pub fn list_written(to: &Path) -> String {
    format!("the list of orders is at {}", to.display())
}

/// A paper that is not where it was kept.
pub fn paper_gone(kind: PaperKind) -> String {
    format!("the {} is no longer in the studio's folder; put it back from a backup", words::paper(kind))
}

/// A picture or a copy that could not be written.
pub fn not_written(to: &Path, why: &dyn Display) -> String {
    format!("{} could not be written: {why}", to.display())
}

/// A picked file that could not be read.
pub fn not_read(path: &Path, why: &dyn Display) -> String {
    format!("{} could not be read: {why}", path.display())
}

/// Something picked that is no file.
pub fn not_a_file(path: &Path) -> String {
    format!("{} is not a file; pick a photo", path.display())
}

/// An original that is not where it was kept.
pub fn photo_gone(photo: &Digest) -> String {
    format!("the photo {} is no longer in the studio's folder; put it back from a backup", photo.short())
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use craft::order::PhotoKind;
    use craft::tag::Tag;

    use super::*;
    use crate::action::Source;
    use crate::present::sample::line;

    fn jobs() -> [Job; 6] {
        let tag: Tag = Tag::from_number(77).unwrap();
        let photo = Digest::of(b"a photo");
        let source = Source::File(PathBuf::from("/a.jpg"));
        [
            Job::TakePhoto { tag, of: None, caption: line(""), source },
            Job::IssuePaper { tag, kind: PaperKind::Care },
            Job::MessageImage { photo, kind: PhotoKind::Jpeg, to: PathBuf::from("/out/b.jpg") },
            Job::Picture { photo, kind: PhotoKind::Jpeg, side_px: 320 },
            Job::PreviewPaper { tag, kind: PaperKind::Proof, dpi: 96 },
            Job::CopyPaper { tag, kind: PaperKind::Care, file: photo, to: PathBuf::from("/out/c.pdf") },
        ]
    }

    #[test]
    fn a_line_of_progress_names_the_order_and_how_far_it_is() {
        let tag = Tag::from_number(77).unwrap();
        let lines: Vec<String> = jobs().iter().map(|job| row(job, 40)).collect();
        assert_eq!(lines[0], format!("taking in a photo for {tag}, 40 %"));
        assert_eq!(lines[1], format!("setting the care card for {tag}, 40 %"));
        assert_eq!(lines[4], format!("setting the proof sheet for {tag}, to look at, 40 %"));
        assert_eq!(row(&jobs()[0], 0), format!("taking in a photo for {tag}"));
        assert!(row(&jobs()[0], 200).ends_with("100 %"));
    }

    #[test]
    fn what_was_not_begun_is_told_unless_it_was_only_to_be_looked_at() {
        let told: Vec<Option<String>> = jobs().iter().map(not_begun).collect();
        assert!(told[..3].iter().flatten().all(|words| words.ends_with(" again")), "{told:?}");
        assert_eq!(
            told.iter().map(Option::is_some).collect::<Vec<_>>(),
            [true, true, true, false, false, true]
        );
        assert_eq!(told[5].as_deref(), Some("/out/c.pdf was not written; ask for it again"));
        assert!(row(&jobs()[5], 0).starts_with("copying the care card for "));
    }
}
