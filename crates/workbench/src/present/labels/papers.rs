//! Words on the controls: papers.

use craft::order::Photo;
use craft::studio::Held;

use crate::action::Job;
use crate::present::{job_words, words};

/// Over the list.
pub const HEAD: &str = "Papers";
/// The main button of a paper that was not written yet.
pub const ISSUE: &str = "Write and keep it";
/// The same, once more.
pub const ISSUE_AGAIN: &str = "write it anew";
/// The main button of a paper that is kept.
pub const PRINT: &str = "Print it";
/// Opens the kept paper.
pub const OPEN: &str = "open it";
/// Opens what copies it.
pub const COPY: &str = "save a copy";
/// The field of where to.
pub const COPY_PATH: &str = "Where the copy shall be";
/// Asks by the dialog.
pub const CHOOSE_PLACE: &str = "choose the place";
/// Writes the copy.
pub const SAVE_COPY: &str = "save the copy";
/// While a page is being set.
pub const SETTING: &str = "Setting the pages …";
/// While it is set anew over an older one.
pub const RENEWING: &str = "Something has changed since; setting the pages anew …";
/// Over the picture of a paper that is not written yet.
pub const PREVIEW: &str =
    "As it would be printed now; nothing is kept until you write it. Press a page to look closer.";
/// Over the picture of a paper that is kept.
pub const PREVIEW_KEPT: &str =
    "As it would be printed if you wrote it anew now. Press a page to look closer.";
/// Stops something that takes a while.
pub const STOP: &str = "stop";
/// The name of what stops one of them, `nth` of those of the same words, from 0 on: "stop: taking in a photo for
/// 7K2-M4P", and "stop: taking in a photo for 7K2-M4P, number 2".
pub fn stop(job: &Job, nth: usize) -> String {
    let what = job_words::row(job, 0);
    if nth == 0 { format!("{STOP}: {what}") } else { format!("{STOP}: {what}, number {}", nth + 1) }
}

/// How a paper that was written stands, over its buttons: "Written on 3 May, and kept as it was."
pub fn kept(written: &str) -> String {
    format!("{}, and kept as it was.", words::sentence_start(written))
}

/// What to do with one that is out of date; `why` says that it is.
pub fn old(why: &str) -> String {
    format!("{why} Write it anew, and put this one away.")
}

/// Of one that is kept.
pub const BEFORE: &str = "As it was written before";

/// A kept paper by its day, to be opened.
pub fn open_from(name: &str, on: &str, place: usize) -> String {
    format!("open the {} of {on}, number {place}", name.to_lowercase())
}

/// A page of a paper.
pub fn page(name: &str, place: usize, of: usize) -> String {
    format!("{name}, page {place} of {of}")
}

/// How a page is looked at closer.
pub const CLOSER_WORDS: &str = "Press a page, or Enter on it, to look closer; the arrow keys move it.";
/// Over the pictures for messages.
pub const PICTURES: &str = "A picture for a message";
/// While the order has no photo.
pub const NO_PHOTOS: &str = "There is no photo of this order yet.";

/// A photo of the order by its place: "photo 3, stone 1".
pub fn picture(held: &Held, photo: &Photo, place: usize) -> String {
    match photo.of {
        Some(thing) => format!("photo {place}, {}", words::thing(held, thing)),
        None => format!("photo {place}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::tag::Tag;

    #[test]
    fn what_stops_a_job_names_it_and_two_of_one_name_are_told_apart() {
        let tag: Tag = Tag::from_number(7).unwrap();
        let job = Job::IssuePaper { tag, kind: craft::fact::PaperKind::Care };
        assert_eq!(stop(&job, 0), format!("stop: setting the care card for {tag}"));
        assert_ne!(stop(&job, 0), stop(&job, 1));
    }
}
