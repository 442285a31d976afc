//! What is said of backups: the reminder, and what was made or put back.

use std::path::Path;

use chrono::DateTime;
use craft::moment::Moment;
use craft::studio::Studio;
use store::backup::LeftOut;

use super::words;
use crate::keeping::backup::made_ms;
use crate::keeping::since::{Since, Unkept};
use crate::keeping::{Back, Made};
use crate::open::Trouble;

/// After how many days with something new a backup is asked for (common practice, no source).
const DAYS: i64 = 7;
/// After how many new entries, changes and photos it is asked for however long ago the last was (common practice, no source).
const MANY: usize = 200;

/// A reminder where the last backup is old: pure in when it was made, how much came since, and the moment.
pub fn reminder(last: Option<&str>, since: &Since, studio: &Studio, now: Moment) -> Option<String> {
    let last_ms = last.and_then(made_ms);
    ask(last_ms, since.unkept(studio, last_ms), now)
}

/// "5 entries, 1 changed file and 2 photos"; where no backup is known nothing has changed since it.
fn unkept_words(unkept: Unkept, is_known: bool) -> String {
    let Unkept { entries, files, photos } = unkept;
    let others = if entries > 0 {
        words::count(files, "other file", "other files")
    } else {
        words::count(files, "file", "files")
    };
    let parts = [
        (entries, words::count(entries, "entry", "entries")),
        (files, if is_known { words::count(files, "changed file", "changed files") } else { others }),
        (photos, words::count(photos, "photo", "photos")),
    ];
    let some: Vec<String> = parts.into_iter().filter(|(many, _)| *many > 0).map(|(_, words)| words).collect();
    words::list(&some)
}

fn ask(last_ms: Option<i64>, unkept: Unkept, now: Moment) -> Option<String> {
    if unkept.all() == 0 {
        return None;
    }
    let new = unkept_words(unkept, last_ms.is_some());
    let Some(last_ms) = last_ms else {
        return Some(format!(
            "no backup of this studio is known: {new} would be lost with this disk; make one on another"
        ));
    };
    let day = |ms: i64| {
        DateTime::from_timestamp_millis(ms + i64::from(now.offset_min) * 60_000).map(|at| at.date_naive())
    };
    let days = day(last_ms).map_or(0, |day| (now.day() - day).num_days());
    // A backup that lies ahead of the clock tells nothing about its age.
    let old = !(0..DAYS).contains(&days) || unkept.all() >= MANY;
    let when = match days {
        ..0 => "on a day that is still to come: look at the computer's clock".to_owned(),
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        days => format!("{days} days ago"),
    };
    old.then(|| {
        format!("the last backup was made {when}, and {new} came since; make a new one on another disk")
    })
}

/// What is said once a backup is made.
pub fn made(to: &Path, files: usize, bytes: u64) -> String {
    format!(
        "the backup is in {}: {}, {}, read back and compared",
        to.display(),
        words::count(files, "file", "files"),
        words::size(bytes)
    )
}

/// What is said once a backup is put back.
pub fn put_back(to: &Path, made: &str, files: usize, now: Moment) -> String {
    format!(
        "the backup that was made {} is put back in {}: {}, every one compared and read back",
        made_when(made, now),
        to.display(),
        words::count(files, "file", "files")
    )
}

/// What is said where clients were forgotten since the backup was made.
pub fn forgotten_again(clients: usize) -> String {
    format!(
        "{} who {} forgotten since, and forgotten again",
        words::count(clients, "client was in it", "clients were in it"),
        if clients == 1 { "was" } else { "were" }
    )
}

/// Where a backup cannot be put back.
pub const WITHIN: &str =
    "that folder lies in the studio that is open; choose one outside it, so that the two stay apart";

/// What was not well in a backup already.
pub fn as_it_was(trouble: &Trouble) -> String {
    format!("as it was in the backup: {}: {}", trouble.file, trouble.what)
}

/// When a backup says that it was made; as it stands in the backup where that is no moment.
fn made_when(made: &str, now: Moment) -> String {
    made_ms(made).map_or_else(|| made.to_owned(), |ms| words::day_and_time(ms, now))
}

/// When the last backup was made and where it was put, as far as is known.
pub fn last(made: Option<&str>, place: Option<&Path>, now: Moment) -> String {
    match made.and_then(made_ms) {
        Some(ms) => {
            let place = place.map(|to| format!(", to {}", to.display())).unwrap_or_default();
            format!("The last backup was made {}{place}.", words::day_and_time(ms, now))
        }
        None => "No backup of this studio is known yet.".to_owned(),
    }
}

/// What came of the backup that was made last: where it is, what is in it, and what is not.
pub fn said(made: &Made) -> Vec<String> {
    let files = words::count(made.files, "file", "files");
    let first = format!(
        "It is in {}: {files}, {}, read back and compared.",
        made.to.display(),
        words::size(made.bytes)
    );
    let more = (!made.left_out.is_empty()).then(|| words::sentence(&left_out(&made.left_out)));
    [first].into_iter().chain(more).collect()
}

/// What came of a backup that was put back.
pub fn back_said(back: &Back, now: Moment) -> Vec<String> {
    let first = words::sentence(&put_back(&back.to, &back.made, back.files, now));
    let again = (back.forgotten > 0).then(|| words::sentence(&forgotten_again(back.forgotten)));
    let troubles = back.troubles.iter().map(|trouble| words::sentence(trouble));
    [first].into_iter().chain(again).chain(troubles).collect()
}

/// What is said where putting a backup back was stopped.
pub fn back_stopped(to: &Path) -> String {
    format!(
        "putting the backup back was stopped, and the studio that is open here is untouched; where {} is there now it is no \
         whole studio, so delete it before you try again",
        to.display()
    )
}

/// A name for a backup's file that says of what day it is.
pub fn file_name(now: Moment) -> String {
    format!("heldfast-{}.tar", now.day())
}

/// What is not in a backup.
pub fn left_out(left_out: &LeftOut) -> String {
    let strangers = (!left_out.strangers.is_empty())
        .then(|| format!("not in it, since it is not the studio's: {}", words::list(&left_out.strangers)));
    let unread = (!left_out.unread.is_empty())
        .then(|| format!("not in it, since it could not be read: {}", left_out.unread.join("; ")));
    unread.into_iter().chain(strangers).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use craft::id::{DocId, Year};

    use super::*;
    use crate::keeping::backup::entries_since;
    use crate::present::sample;

    const DAY_MS: i64 = 86_400_000;

    #[test]
    fn a_backup_is_asked_for_when_it_is_old_and_something_is_new() {
        let now = sample::at(0);
        let ago = |days: i64| Some(now.utc_ms - days * DAY_MS);
        let entries = |entries: usize| Unkept { entries, ..Unkept::default() };
        assert_eq!(ask(None, entries(0), now), None, "an empty studio needs none");
        assert!(ask(None, entries(1), now).unwrap().contains("1 entry would be lost"));
        assert_eq!(ask(ago(400), entries(0), now), None, "where nothing is new an old one is as good");
        assert_eq!(ask(ago(6), entries(5), now), None);
        assert!(ask(ago(7), entries(5), now).unwrap().contains("7 days ago, and 5 entries came since"));
        assert_eq!(ask(ago(0), entries(MANY - 1), now), None);
        assert!(ask(ago(0), entries(MANY), now).unwrap().contains("made today"));
        assert!(ask(ago(-2), entries(1), now).unwrap().contains("look at the computer's clock"));
        let others = Unkept { entries: 0, files: 1, photos: 2 };
        assert!(ask(ago(7), others, now).unwrap().contains("and 1 changed file and 2 photos came since"));
        assert_eq!(ask(ago(6), others, now), None);
        assert!(ask(ago(0), Unkept { photos: MANY, ..others }, now).is_some());
    }

    #[test]
    fn a_client_a_shelf_item_an_invoice_and_a_photo_count_as_well_as_entries() {
        let (studio, tag) = sample::gone_home();
        let log = &studio.order(tag).unwrap().order.log;
        let last = log.entry(log.len()).unwrap().at.utc_ms;
        let mut since = Since::default();
        let unkept = |since: &Since| since.unkept(&studio, Some(last));
        assert_eq!(unkept(&since).all(), 0);
        let docs = [
            DocId::Client("ida-lund".parse().unwrap()),
            DocId::Shelf(sample::id("oval-ten")),
            DocId::Invoices(Year(2026)),
            DocId::Order(tag),
        ];
        for (nth, doc) in docs.into_iter().enumerate() {
            since.changed(doc, last + 1);
            assert_eq!(unkept(&since), Unkept { entries: 0, files: nth + 1, photos: 0 });
        }
        since.photo(last + 2);
        assert_eq!(unkept(&since).photos, 1);
        let week = Moment { utc_ms: last + 8 * DAY_MS, ..sample::at(0) };
        let made = Moment { utc_ms: last, ..sample::at(0) }.utc_text();
        let said = reminder(Some(&made), &since, &studio, week).unwrap();
        assert!(said.contains("4 changed files and 1 photo came since"), "{said}");
        // An order with new entries is told of by these alone; the shelf that a studio begins with is no loss.
        let before = since.unkept(&studio, None);
        assert_eq!((before.entries, before.files, before.photos), (log.len() as usize, 2, 1));
        since.kept(last + 1);
        assert_eq!(unkept(&since), Unkept { entries: 0, files: 0, photos: 1 }, "it came after the backup");
    }

    #[test]
    fn what_could_not_be_read_is_told_apart_from_what_is_not_the_studios() {
        let only = |strangers: &[&str], unread: &[&str]| {
            let texts = |all: &[&str]| all.iter().map(|text| (*text).to_owned()).collect();
            left_out(&LeftOut { strangers: texts(strangers), unread: texts(unread) })
        };
        assert_eq!(only(&["a", "b"], &[]), "not in it, since it is not the studio's: a and b");
        assert_eq!(
            only(&["a"], &["the disk would not read x"]),
            "not in it, since it could not be read: the disk would not read x; not in it, since it is not the studio's: a"
        );
    }

    #[test]
    fn only_what_was_recorded_since_counts() {
        let (studio, tag) = sample::gone_home();
        let log = &studio.order(tag).unwrap().order.log;
        let at = |number| log.entry(number).unwrap().at.utc_ms;
        assert_eq!(entries_since(&studio, i64::MIN), log.len() as usize);
        assert_eq!(entries_since(&studio, at(log.len())), 0);
        let later = log.entries().filter(|(_, entry)| entry.at.utc_ms > at(3)).count();
        assert_eq!(entries_since(&studio, at(3)), later);
        assert!(later > 0 && reminder(None, &Since::default(), &studio, sample::at(0)).is_some());
    }
}
