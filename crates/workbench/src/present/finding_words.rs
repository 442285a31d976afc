//! What is said of what does not hold together: what is wrong, what is safe, and one way out.

use craft::id::{DocId, Year};
use craft::moment::Moment;
use craft::order::{Order, Page};
use craft::studio::{self, Studio};
use craft::tag::Tag;
use store::name::{DocKind, DocPath};

use super::board::client_name;
use super::labels::between;
use super::{difference_words, undo_words, words};
use crate::action::{Action, Job, Nav};
use crate::finding::{Edition, Finding, Instead, Lacking, Parting, order_file, parting};
use crate::keeping::Keep;
use crate::keeping::files::Named;
use crate::keeping::history::{Spare, SpareOf};

/// The way out of a finding.
#[derive(Clone, Debug)]
pub struct WayOut {
    /// What to do.
    pub words: String,
    /// What the button says, where the program can do it.
    pub button: String,
    /// What the button does.
    pub action: Option<Action>,
}

/// One finding as a row of a page.
#[derive(Clone, Debug)]
pub struct FindingRow {
    /// The file it is about, as a path below the folder.
    pub file: Option<String>,
    /// What is wrong.
    pub wrong: String,
    /// What is safe.
    pub safe: String,
    /// What to do about it.
    pub way_out: WayOut,
}

/// What is said in one sentence of a file that cannot be read, behind the reason.
pub const LEFT_ALONE: &str = "; the file is left alone: mend it there, or put an earlier copy back";

/// A finding as a row.
pub fn row(finding: &Finding) -> FindingRow {
    let wrong = match finding {
        // A row says on its own lines what is safe and what to do.
        Finding::Unreadable { what, .. } => match what.strip_suffix(LEFT_ALONE) {
            Some(why) => format!("this file cannot be read: {why}"),
            None => what.clone(),
        },
        _ => wrong(finding),
    };
    FindingRow { file: file(finding), wrong, safe: safe(finding), way_out: way_out(finding) }
}

/// Whose it is that a finding is about: "A2B-C3H, Bramble, for Ida Lund"; none where it is about no order.
pub fn whose(finding: &Finding, studio: &Studio) -> Option<String> {
    let one = |tag: Tag| match studio.orders().get(&tag) {
        Some(held) => {
            format!("{}, for {}", between::order(tag, &words::remembered(held)), client_name(studio, held))
        }
        None => match finding {
            Finding::Unreadable { instead: Instead::Version(spare), .. } => match &spare.of {
                SpareOf::Order { name, .. } if !name.is_empty() => between::order(tag, name),
                _ => tag.to_string(),
            },
            Finding::Edition(edition) => between::order(tag, edition.order.sheet.remembered.name.as_str()),
            _ => tag.to_string(),
        },
    };
    let all: Vec<String> = finding.orders().into_iter().map(one).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// A finding on one line, for a list without buttons.
pub fn line(finding: &Finding) -> String {
    file(finding).map_or_else(|| what(finding), |file| format!("{file}: {}", what(finding)))
}

/// How many things there are to look at: "2 things to look at"; none where there is nothing.
pub fn count(findings: usize) -> Option<String> {
    (findings > 0).then(|| words::count(findings, "thing to look at", "things to look at"))
}

/// How many things do not hold together, for a line that leads to them: "3 things do not hold together"; none where
/// there is nothing.
pub fn not_together(findings: usize) -> Option<String> {
    (findings > 0)
        .then(|| words::count(findings, "thing does not hold together", "things do not hold together"))
}

/// What two editions of an order say that the other does not; nothing is merged.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Both {
    /// What stands only in the order's own file.
    pub here: Vec<String>,
    /// What stands only in the copy.
    pub copy: Vec<String>,
    /// Where the sheet or the words say something else.
    pub otherwise: Vec<String>,
}

/// The two editions side by side; none where they say the same, where the order's own file cannot be read, or where its
/// client was forgotten.
pub fn both(edition: &Edition, studio: &Studio, now: Moment) -> Option<Both> {
    if edition.how == Parting::Forgotten {
        return None;
    }
    let ours = &studio.order(edition.order.tag).ok()?.order;
    let theirs = &*edition.order;
    let from = match parting(ours, theirs) {
        Parting::Same | Parting::OursUnreadable | Parting::Forgotten => return None,
        Parting::Forked { at } => at,
        Parting::OtherWords | Parting::CopyLonger | Parting::OursLonger => {
            ours.log.len().min(theirs.log.len()) + 1
        }
    };
    Some(Both {
        here: entries(ours, from, now),
        copy: entries(theirs, from, now),
        otherwise: difference_words::apart(ours, theirs, studio),
    })
}

fn entries(order: &Order, from: u32, now: Moment) -> Vec<String> {
    let entries = order.log.entries().filter(|(number, _)| *number >= from);
    entries
        .map(|(number, entry)| {
            let when = words::day_and_time(entry.at.utc_ms, now);
            format!("entry {number}, {when}: {}", undo_words::fact_words(&entry.fact))
        })
        .collect()
}

/// The file a finding is about, as a path below the folder.
pub fn file(finding: &Finding) -> Option<String> {
    Some(match finding {
        Finding::Across(_) | Finding::Folder(_) => return None,
        Finding::NotForgotten(_) => store::forgotten::FORGOTTEN.to_owned(),
        Finding::File { file, .. } => file.to_string(),
        Finding::Unreadable { file, .. }
        | Finding::Version { file, .. }
        | Finding::Changed { file }
        | Finding::TagTwice { file, .. }
        | Finding::Edition(Edition { file, .. })
        | Finding::Misnamed { file, .. }
        | Finding::NumberTwice { file, .. }
        | Finding::Invoices { file, .. }
        | Finding::Beside { file, .. }
        | Finding::Stranger { file } => file.clone(),
        Finding::Shortened { tag, .. } | Finding::Forked { tag, .. } | Finding::Vanished { tag } => {
            order_file(*tag)
        }
    })
}

/// Why the longer edition is not taken after all.
pub const GOES_ON_NO_MORE: &str = "the order has changed here since the two were compared, and the copy does not go on \
                                   from it any more; nothing was changed, compare the two by hand";

/// Where a file of a client who was forgotten cannot be read.
const FORGOTTEN_STAYS: &str = "its client was forgotten, so no earlier version is put in its place; move the file out of the studio's \
     folder and delete it, then close the studio and open it again, so that what is left of them goes";

/// What is wrong with a record, and what to do, in one sentence.
const GO_ON: &str =
    "put the newest copy back, or take the order's line out of \".heads\" to go on without it";

/// What could take the place of a `file` that cannot be read, and what comes of that; none where nothing was looked for.
pub fn instead_words(file: &str, instead: &Instead) -> Option<String> {
    let Spare { file: kept, of, .. } = match instead {
        Instead::NotSought => return None,
        Instead::Forgotten(_) => return Some(FORGOTTEN_STAYS.to_owned()),
        Instead::None => {
            return Some(
                "no earlier version that holds is kept here, so look for one in a backup".to_owned(),
            );
        }
        Instead::Version(spare) => &**spare,
    };
    Some(match of {
        SpareOf::Order { entries, .. } => format!(
            "the longest earlier version that holds has {} and is {kept}: the window puts it in the place of {file} \
             and keeps that file beside it; what was recorded since stands only in that",
            words::count(usize::try_from(*entries).unwrap_or(usize::MAX), "entry", "entries")
        ),
        SpareOf::Other => format!(
            "the newest earlier version that reads is {kept}: the window puts it in the place of {file} and keeps that file \
             beside it; what was changed since stands only in that"
        ),
        SpareOf::Invoices(issued) => format!(
            "the newest earlier version that reads has {} and is {kept}: the window puts it in the place of {file} and keeps \
             that file beside it; a number that was given since stands only in that, and would be given again, so look \
             there before you issue the next",
            words::count(*issued, "number", "numbers")
        ),
    })
}

/// What is wrong and what to do, in one sentence.
pub fn what(finding: &Finding) -> String {
    match finding {
        Finding::Across(_)
        | Finding::Unreadable { .. }
        | Finding::NotForgotten(_)
        | Finding::Folder(_)
        | Finding::Beside { gone: Some(_), .. }
        | Finding::File { how: Lacking::Unsound(_), .. } => wrong(finding),
        Finding::Changed { .. } => {
            format!("{}, and is used as it stands; {}", wrong(finding), way_out(finding).words)
        }
        Finding::TagTwice { .. } => format!("{}; it comes from elsewhere and is left alone", wrong(finding)),
        Finding::Version { .. } | Finding::File { how: Lacking::Gone, .. } => {
            format!("{}; {}", wrong(finding), way_out(finding).words)
        }
        Finding::Beside { gone: None, .. } => {
            format!("{}; both versions are kept, {}", wrong(finding), way_out(finding).words)
        }
        Finding::Stranger { .. } => format!("{}; {}", wrong(finding), safe(finding)),
        Finding::Shortened { .. } | Finding::Forked { .. } | Finding::Vanished { .. } => {
            format!("{}; {GO_ON}", wrong(finding))
        }
        Finding::Edition(_)
        | Finding::Misnamed { .. }
        | Finding::NumberTwice { .. }
        | Finding::Invoices { .. } => {
            format!("{}; {}; {}", wrong(finding), safe(finding), way_out(finding).words)
        }
    }
}

/// What is wrong.
pub fn wrong(finding: &Finding) -> String {
    match finding {
        Finding::Across(across) => across.to_string(),
        Finding::Unreadable { what, .. } | Finding::NotForgotten(what) | Finding::Folder(what) => {
            what.clone()
        }
        Finding::Version { what, .. } => format!("an earlier version is damaged: {what}"),
        Finding::Changed { .. } => {
            "it was changed since this program saved it, by hand or by the disk".to_owned()
        }
        Finding::TagTwice { says, lies, .. } => {
            format!("the file says it is {says} and lies where {lies} belongs")
        }
        Finding::Edition(edition) => parted(edition),
        Finding::Misnamed { tag, .. } => {
            format!("the file says it is order {tag}, and {} is not there", order_file(*tag))
        }
        Finding::NumberTwice { numbers, .. } => {
            let all: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            let stands = if all.len() == 1 { "number stands" } else { "numbers stand" };
            format!(
                "in this copy the {stands} for something else than in the year's own file: {}",
                words::list(&all)
            )
        }
        Finding::Invoices { more, .. } => match more {
            0 => "a second copy of a year's invoices lies beside it and says the same".to_owned(),
            1.. => format!("a copy of a year's invoices lies beside it and holds {more} more than is here"),
            _ => format!("a copy of a year's invoices lies beside it and holds {} fewer than is here", -more),
        },
        Finding::Beside { gone: Some(path), .. } => {
            format!("{path} is not there any more, only this version of it; rename it back to that")
        }
        Finding::Beside { gone: None, .. } => {
            "a second version of the file lies beside it: another program changed it while it was open here, or it could not \
             be read"
                .to_owned()
        }
        Finding::Stranger { .. } => "this is not a file of the studio".to_owned(),
        Finding::File { file: Named::Photo { tag, .. }, how: Lacking::Gone } => {
            format!("order {tag} refers to it and it is not there")
        }
        Finding::File { file: Named::Paper { .. }, how: Lacking::Gone } => {
            "it was issued and is not there".to_owned()
        }
        Finding::File { how: Lacking::Unsound(why), .. } => why.clone(),
        Finding::Shortened { entries, witnessed, .. } => format!(
            "its record has {entries} entries and {witnessed} were seen before, so perhaps an older copy was put back"
        ),
        Finding::Forked { witnessed, .. } => {
            format!("entry {witnessed} of its record is another one than was seen before")
        }
        Finding::Vanished { .. } => {
            "its record was seen before and the file is not there any more".to_owned()
        }
    }
}

fn parted(edition: &Edition) -> String {
    let (tag, ours, theirs) = (edition.order.tag, edition.ours, edition.order.log.len());
    let as_well = if edition.other_words { ", and its sheet or its words differ as well" } else { "" };
    match edition.how {
        Parting::Same => format!("a second copy of order {tag} lies beside it and says the same"),
        Parting::OtherWords => format!(
            "a second copy of order {tag} has the same record, and its sheet or its words say something else"
        ),
        Parting::CopyLonger => format!(
            "a second copy of order {tag} goes on where the record here ends: {ours} entries here, {theirs} in the \
             copy{as_well}"
        ),
        Parting::OursLonger => format!(
            "a second copy of order {tag} ends before the record here does: {ours} entries here, {theirs} in the \
             copy{as_well}"
        ),
        Parting::Forked { at } => format!(
            "order {tag} went on in two places: from entry {at} on, its record here ({ours} entries) and in this copy \
             ({theirs} entries) tell different things"
        ),
        Parting::OursUnreadable => {
            format!("the file of order {tag} cannot be read, and this copy of it can: {theirs} entries")
        }
        Parting::Forgotten => {
            format!(
                "the client of order {tag} was forgotten, and a copy of the order may still say who they were"
            )
        }
    }
}

/// What is safe.
pub fn safe(finding: &Finding) -> String {
    match finding {
        Finding::Across(studio::Finding::OpenTogether(_)) => {
            "no record is lost; nothing more can be opened until only one is open".to_owned()
        }
        Finding::Across(studio::Finding::NoKeepBack { .. }) => {
            "its record is whole, and nothing more can be taken from the material".to_owned()
        }
        Finding::Across(_) => "every record is whole, and nothing was changed".to_owned(),
        Finding::Unreadable { .. } | Finding::TagTwice { .. } => {
            "the file is left exactly as it is, nothing is written in its place, and everything else goes on"
                .to_owned()
        }
        Finding::Version { .. } => {
            "the document itself and its other versions are as they were, and nothing rests on this one".to_owned()
        }
        Finding::Changed { .. } => {
            "every word of it can be read, nothing was mended, and it is used as it stands".to_owned()
        }
        Finding::Edition(Edition { how: Parting::Forgotten, .. }) => {
            "the order's own file holds its record without a word of theirs, and nothing reads the copy".to_owned()
        }
        Finding::Edition(_) => "both versions are kept as they are, and nothing is merged".to_owned(),
        Finding::Misnamed { .. } => {
            "the file is left as it is, and no new order takes its tag".to_owned()
        }
        Finding::NumberTwice { .. } | Finding::Invoices { .. } => {
            "the year's own file is what counts here, and both files are left as they are".to_owned()
        }
        Finding::Beside { .. } => "both versions are kept".to_owned(),
        Finding::Stranger { .. } => "nothing reads or changes it".to_owned(),
        Finding::Shortened { .. } | Finding::Forked { .. } => {
            "what lies there is whole by itself and was not changed; only what was seen of it before is more or other"
                .to_owned()
        }
        Finding::Vanished { .. } => {
            "what was seen of it is still known, so a copy that is put back can be told from an older one".to_owned()
        }
        Finding::File { .. } => {
            "the record is whole, and tells the right copy from any other".to_owned()
        }
        Finding::NotForgotten(_) => {
            "it is written down who is forgotten, and what is left of it is tried again at each start".to_owned()
        }
        Finding::Folder(_) => "everything that lies in the folder can still be read".to_owned(),
    }
}

/// One way out.
pub fn way_out(finding: &Finding) -> WayOut {
    let only = |words: &str| WayOut { words: words.to_owned(), button: String::new(), action: None };
    match finding {
        Finding::Across(across) => way_across(across),
        Finding::Unreadable { file, instead, .. } => way_of_file(file, instead),
        Finding::Version { .. } => only(
            "put the file back from a backup, or move it out of the studio's folder; where there are more of these, have the \
             disk looked at",
        ),
        Finding::Changed { .. } => only(
            "look whether all of it is right, or put an earlier copy back; where it was meant, take the file's last \
             line away",
        ),
        Finding::TagTwice { says, lies, .. } => only(&format!(
            "rename it to {} if {says} has no file, or move it out of the studio's folder; then put the file of {lies} back",
            order_file(*says)
        )),
        Finding::Edition(edition) => way_of(edition),
        Finding::Misnamed { tag, .. } => only(&format!("rename it to {}", order_file(*tag))),
        Finding::NumberTwice { .. } => only(
            "look which was sent to the client; where both were, write a credit note for one of them and issue it anew, \
             then move the copy out of the studio's folder",
        ),
        Finding::Invoices { more, .. } if *more > 0 => {
            only("close the studio, move the year's own file out of the folder, and give this copy its name")
        }
        Finding::Invoices { .. } => only("move the copy out of the studio's folder; it holds nothing more"),
        Finding::Beside { gone: Some(path), .. } => only(&format!("rename it back to {path}")),
        Finding::Beside { gone: None, .. } => only("compare them and delete one"),
        Finding::Stranger { .. } => only("leave it, or move it out of the studio's folder"),
        Finding::Shortened { tag, .. } | Finding::Forked { tag, .. } => go_on(*tag, "go on with it as it is"),
        Finding::Vanished { tag } => go_on(*tag, "go on without it"),
        Finding::File { .. } => only("put it back from a backup"),
        Finding::NotForgotten(_) => {
            only("see to what is said there, then close the studio and open it again")
        }
        Finding::Folder(_) => only("look after the disk, close the studio and open it again"),
    }
}

/// The way out of a file that cannot be used. Of a year's invoices it is said that a number given since would be given
/// again, since nothing else knows which were.
fn way_of_file(file: &str, instead: &Instead) -> WayOut {
    let words = instead_words(file, instead)
        .unwrap_or_else(|| "do what is said there, then close the studio and open it again".to_owned());
    match (instead, document(file)) {
        (Instead::Version(spare), Some(doc)) => {
            let keep = Keep::PutInPlace { doc, number: spare.number };
            let button = "put the earlier version in its place".to_owned();
            WayOut { words, button, action: Some(Action::Start(Job::Keep(keep))) }
        }
        _ => WayOut { words, button: String::new(), action: None },
    }
}

/// The document of a finding of which earlier versions can be looked at, since its own file cannot be.
pub fn with_versions(finding: &Finding) -> Option<DocId> {
    match finding {
        Finding::Unreadable { file, instead: Instead::Version(_), .. } => document(file),
        _ => None,
    }
}

/// The document whose file this is.
pub(crate) fn document(file: &str) -> Option<DocId> {
    let path = DocPath::parse(file).ok()?;
    let stem = path.stem();
    Some(match path.kind() {
        DocKind::Studio => DocId::Policies,
        DocKind::Shelf => DocId::Shelf(stem.parse().ok()?),
        DocKind::Client => DocId::Client(stem.parse().ok()?),
        DocKind::Order => DocId::Order(stem.parse().ok()?),
        DocKind::Money => DocId::Invoices(Year(stem.parse().ok()?)),
    })
}

/// What is said once an earlier version lies in the place of a file.
pub fn in_place(doc: &DocId, beside: Option<&str>) -> String {
    let name = match doc {
        DocId::Order(tag) => format!("order {tag}"),
        DocId::Invoices(year) => format!("the money of {}", year.0),
        _ => "the document".to_owned(),
    };
    match beside {
        Some(beside) if matches!(doc, DocId::Invoices(_)) => format!(
            "{name} is read again, from its earlier version; the file that could not be read is kept beside it as {beside}: \
             look there which numbers were given since, before you issue the next"
        ),
        Some(beside) => format!(
            "{name} is read again, from its earlier version; the file that could not be read is kept beside it as {beside}"
        ),
        None => format!("{name} is read again, from its earlier version"),
    }
}

/// A file that is not there.
pub const NOT_THERE: &str = "the file is not there any more";

/// Why nothing is put in the place of a file.
pub const READ_ALREADY: &str =
    "that file was read meanwhile, so nothing is put in its place; take an earlier version back instead";

fn go_on(tag: Tag, words: &str) -> WayOut {
    WayOut {
        words: format!("put the newest copy back, or {words}"),
        button: words.to_owned(),
        action: Some(Action::GoOnWith(tag)),
    }
}

fn way_of(edition: &Edition) -> WayOut {
    let (tag, file) = (edition.order.tag, &edition.file);
    let only = |words: String| WayOut { words, button: String::new(), action: None };
    match edition.how {
        Parting::Same | Parting::OursLonger => {
            only("move the copy out of the studio's folder; it holds nothing more".to_owned())
        }
        Parting::CopyLonger => WayOut {
            words: format!("take the longer one for order {tag}"),
            button: format!("take the longer one for {tag}"),
            action: Some(Action::TakeEdition(file.clone())),
        },
        Parting::OtherWords => only(
            "compare the two, write what is missing into the one here, and move the copy out of the studio's folder"
                .to_owned(),
        ),
        Parting::Forked { at } => only(format!(
            "compare the two from entry {at} on, record here by hand what really happened and stands only in the copy, \
             and then move the copy out of the studio's folder"
        )),
        Parting::Forgotten => only("delete the copy".to_owned()),
        Parting::OursUnreadable => only(format!(
            "close the studio, move {} out of the folder, and give this copy its name",
            order_file(tag)
        )),
    }
}

fn way_across(across: &studio::Finding) -> WayOut {
    let go = |tag: Tag, page: Page, words: String| WayOut {
        words,
        button: format!("open order {tag}"),
        action: Some(Action::Go(Nav::Bench(tag, page))),
    };
    let only = |words: &str| WayOut { words: words.to_owned(), button: String::new(), action: None };
    match across {
        studio::Finding::OpenTogether(tags) => match tags.first() {
            Some(&tag) => {
                go(tag, Page::Arrival, format!("open order {tag} and close what is not on the bench"))
            }
            None => only("close all but the one on the bench"),
        },
        studio::Finding::UnknownClient { tag, .. } => {
            go(*tag, Page::Brief, format!("open order {tag}, and put the client's file back from a backup"))
        }
        studio::Finding::UnknownItem { .. } => WayOut {
            words: "open the shelf and add it again".to_owned(),
            button: "open the shelf".to_owned(),
            action: Some(Action::Go(Nav::Shelf)),
        },
        studio::Finding::CavityShared { stones, .. } => match stones.last() {
            Some(&(tag, _)) => go(
                tag,
                Page::Plan,
                format!("look into the tray, then open order {tag} and place its stone anew"),
            ),
            None => only("look into the tray and place one of them anew"),
        },
        studio::Finding::NoKeepBack { tag, .. } => {
            go(*tag, Page::Arrival, format!("open order {tag} and put its keep-back away"))
        }
        studio::Finding::UnknownPlace { tag, .. } => {
            go(*tag, Page::Arrival, format!("open order {tag} and write down where it is"))
        }
        studio::Finding::Mixed(mixed) => go(
            mixed.tag,
            Page::Arrival,
            format!("open order {}, take nothing out of that packet, and put the right file back", mixed.tag),
        ),
        studio::Finding::NotTakenOver { thing, to, .. } => {
            go(*to, Page::Arrival, format!("open order {to} and write down there that {thing} has come over"))
        }
        studio::Finding::UnknownLot { tag, .. } => {
            go(*tag, Page::Plan, format!("open order {tag} and plan that stone with a lot it has"))
        }
        studio::Finding::NoInstruction { tag, thing } => go(
            *tag,
            Page::Pack,
            format!("open order {tag}, and strike the entry if nobody asked for {thing} to be destroyed"),
        ),
    }
}
