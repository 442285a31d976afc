//! In what an earlier version of a document differs from what is here now, in words.

mod items;
mod sheets;

use std::fmt::Display;

use chrono::NaiveDate;
use craft::client::Client;
use craft::compare::Scale;
use craft::order::{About, Order, Story};
use craft::planner::Handling;
use craft::policies::{PaperSize, Policies};
use craft::studio::{Doc, Studio};
use craft::text::Text;

use super::{undo_words, words};

/// An earlier version that is not there any more.
pub const GONE: &str =
    "it is not there any more; the newest twenty stay, and of older ones the last of each day";

/// An earlier version of another order.
pub const NOT_THIS_ORDER: &str =
    "that is a version of another order or another client's; nothing was changed";

/// An earlier version whose record is not the beginning of the record now.
pub const OTHER_RECORD: &str = "the record of that version is not the beginning of the record here, so it is not an earlier \
     version of it; nothing was changed";

/// Why the record of an earlier version does not hold together.
pub fn does_not_fit(entry: u32, why: &dyn Display) -> String {
    format!("entry {entry} of its record does not fit: {why}")
}

/// An earlier version that a newer program wrote.
pub fn newer(version: u32) -> String {
    format!(
        "it was written by a newer version of this program (format {version}); look at it with that version"
    )
}

/// How many of the facts recorded since are told one by one.
const FACTS: usize = 5;

/// One thing in which two versions differ.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Difference {
    /// Something that both say, each otherwise.
    Changed { what: String, was: String, is: String },
    /// Something that is not told by its values; what more is to be said of an earlier version.
    Plain(String, &'static str),
    /// A stone that only the first has.
    Gone(u8),
    /// A stone that only the second has.
    New(u8),
    /// So many photos that only the second has.
    Photos(usize),
    /// So many photos that only the first has.
    PhotosGone(usize),
    /// Something that only the second describes.
    Described(String, String),
}

impl Difference {
    /// As an earlier version differs from what is here now.
    fn since(&self) -> String {
        match self {
            Self::Changed { what, was, is } => format!("{what}: was {}, is {}", quoted(was), quoted(is)),
            Self::Plain(words, more) => format!("{words}{more}"),
            Self::Gone(no) => {
                format!("{name} was on the sheet and is not any more", name = words::stone(*no))
            }
            Self::New(no) => format!("{name} was not on the sheet yet", name = words::stone(*no)),
            Self::Photos(more) => format!(
                "{} since; they stay",
                words::count(*more, "photo was taken in", "photos were taken in")
            ),
            Self::PhotosGone(gone) => {
                format!("{} on the sheet and not any more", words::count(*gone, "photo was", "photos were"))
            }
            Self::Described(what, is) => format!("{what} was described since as {}; that stays", quoted(is)),
        }
    }

    /// As two editions differ that stand side by side.
    fn apart(&self) -> String {
        match self {
            Self::Changed { what, was, is } => {
                format!("{what}: here {}, in the copy {}", quoted(was), quoted(is))
            }
            Self::Plain(words, _) => words.clone(),
            Self::Gone(no) => format!("{name} stands only here", name = words::stone(*no)),
            Self::New(no) => format!("{name} stands only in the copy", name = words::stone(*no)),
            Self::Photos(more) => {
                format!("{} only in the copy", words::count(*more, "photo stands", "photos stand"))
            }
            Self::PhotosGone(gone) => {
                format!("{} only here", words::count(*gone, "photo stands", "photos stand"))
            }
            Self::Described(what, is) => format!("{what} is described only in the copy, as {}", quoted(is)),
        }
    }
}

/// Words as they stand in a field.
fn quoted(text: &str) -> String {
    if text.is_empty() { "empty".to_owned() } else { format!("\"{}\"", text.replace('\n', " / ")) }
}

/// In what the sheet and the words of an order and of a copy of it differ, one sentence each; nothing where they are the
/// same. What happened is told by their records.
pub fn apart(here: &Order, copy: &Order, studio: &Studio) -> Vec<String> {
    let mut out = sheets::sheet(&here.sheet, &copy.sheet, studio);
    out.extend(story(&here.story, &copy.story));
    out.iter().map(Difference::apart).collect()
}

/// In what `earlier` differs from `now`, one sentence each: what would change if it were taken back, and what would stay.
/// Nothing where they are the same.
pub fn differences(earlier: &Doc, now: &Doc, studio: &Studio) -> Vec<String> {
    let since = |out: Vec<Difference>| out.iter().map(Difference::since).collect();
    match (earlier, now) {
        (Doc::Policies(earlier), Doc::Policies(now)) => since(policies(earlier, now)),
        (Doc::Client(_, earlier), Doc::Client(_, now)) => since(client(earlier, now)),
        (Doc::Shelf(_, earlier), Doc::Shelf(_, now)) => since(items::item(earlier, now, studio)),
        (Doc::Order(earlier), Doc::Order(now)) => order(earlier, now, studio),
        (Doc::Invoices(earlier), Doc::Invoices(now)) => {
            let since = now.issued().count().saturating_sub(earlier.issued().count());
            let issued = words::count(since, "invoice was issued", "invoices were issued");
            if since == 0 { Vec::new() } else { vec![format!("{issued} since; what was issued stays")] }
        }
        _ => vec!["these are not two versions of the same".to_owned()],
    }
}

/// What is said where two values are not the same and read the same.
const TOO_SMALL: &str = " differs in something that is not shown here";

/// Nothing where nothing changed; what changed is told, whatever the words are.
fn told<T: PartialEq + ?Sized>(
    out: &mut Vec<Difference>,
    what: &str,
    (was, is): (&T, &T),
    words: impl Fn(&T) -> String,
) {
    if was == is {
        return;
    }
    let (what, was, is) = (what.to_owned(), words(was), words(is));
    out.push(if was == is {
        Difference::Plain(format!("{what}{TOO_SMALL}"), "")
    } else {
        Difference::Changed { what, was, is }
    });
}

/// The same of what reads as it stands.
fn changed<T: PartialEq + Display + ?Sized>(out: &mut Vec<Difference>, what: &str, was: &T, is: &T) {
    told(out, what, (was, is), ToString::to_string);
}

/// The same of lists that are told one by one: what stands in the same place is held against each other.
#[expect(clippy::ref_option_ref, reason = "what is told is handed over by reference, and may be missing")]
fn each<T: PartialEq>(
    out: &mut Vec<Difference>,
    what: &str,
    (was, is): (&[T], &[T]),
    words: impl Fn(&T) -> String,
) {
    let said = |one: &Option<&T>| one.map(&words).unwrap_or_default();
    for place in 0..was.len().max(is.len()) {
        told(out, &format!("{what} {}", place + 1), (&was.get(place), &is.get(place)), said);
    }
}

fn day(day: Option<NaiveDate>) -> String {
    day.map(words::date_with_year).unwrap_or_default()
}

const fn yes_or_no(is: bool) -> &'static str {
    if is { "yes" } else { "no" }
}

fn scale_words(scale: &Scale) -> String {
    let Scale { readability, repeatability } = scale;
    format!("last digit {readability}, repeats itself within {repeatability}")
}

fn policies(earlier: &Policies, now: &Policies) -> Vec<Difference> {
    let mut out = Vec::new();
    let Policies {
        studio,
        name,
        post,
        contact,
        keep_back: _,
        tell_limit: _,
        scale: _,
        places,
        currency,
        nudge_days,
        paper,
        handling: _,
        heat_words,
        bench_clear: _,
        money_years,
    } = earlier;
    changed(&mut out, "which studio it is", studio, &now.studio);
    changed(&mut out, "the studio's name", name, &now.name);
    changed(&mut out, "the studio's address", post, &now.post);
    changed(&mut out, "how clients reach it", contact, &now.contact);
    told(&mut out, "the places", (places, &now.places), |places| {
        places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
    });
    told(&mut out, "the currency", (currency, &now.currency), |currency| currency.code().to_owned());
    told(&mut out, "after how long without an answer it is told", (nudge_days, &now.nudge_days), |days| {
        words::count(usize::from(*days), "day", "days")
    });
    told(&mut out, "the paper", (paper, &now.paper), |paper| {
        match paper {
            PaperSize::A4 => "A4",
            PaperSize::Letter => "Letter",
        }
        .to_owned()
    });
    changed(&mut out, "the words about heat", heat_words, &now.heat_words);
    told(&mut out, "how long what was issued is kept", (money_years, &now.money_years), |years| {
        years.map(|years| words::count(usize::from(years), "year", "years")).unwrap_or_default()
    });
    bench_rules(&mut out, earlier, now);
    out
}

/// What the settings say of the work at the bench.
fn bench_rules(out: &mut Vec<Difference>, was: &Policies, is: &Policies) {
    let percent = |share: &craft::units::Share| words::percent(*share);
    told(out, "the keep-back", (&was.keep_back, &is.keep_back), percent);
    told(out, "from how much missing on it is told", (&was.tell_limit, &is.tell_limit), percent);
    told(out, "the scale", (&was.scale, &is.scale), |scale| {
        scale.as_ref().map(scale_words).unwrap_or_default()
    });
    told(out, "the times on the bench", (&was.handling, &is.handling), handling_words);
    let what = "whether the bench is ticked as clear before a packet is opened";
    told(out, what, (&was.bench_clear, &is.bench_clear), |is| yes_or_no(*is).to_owned());
}

fn handling_words(handling: &Handling) -> String {
    let Handling { lay, settle, cool } = handling;
    format!("{lay} to lay a layer, {settle} to settle and {cool} to cool for each tenth of a millimetre")
}

fn client(earlier: &Client, now: &Client) -> Vec<Difference> {
    let mut out = Vec::new();
    let Client { name, post, country, contact, may_show, may_teach, write_when, note } = earlier;
    changed(&mut out, "the name", name, &now.name);
    changed(&mut out, "the address", post, &now.post);
    changed(&mut out, "the country", country, &now.country);
    changed(&mut out, "the contact", contact, &now.contact);
    let may = |may: &craft::client::Permission| words::permission(*may);
    told(&mut out, "whether photos may be shown", (may_show, &now.may_show), may);
    told(&mut out, "whether it may be taught with", (may_teach, &now.may_teach), may);
    told(&mut out, "when to write", (write_when, &now.write_when), |when| words::writing(*when).to_owned());
    changed(&mut out, "the note", note, &now.note);
    out
}

fn order(earlier: &Order, now: &Order, studio: &Studio) -> Vec<String> {
    // Whose it is and where it belongs never changes.
    let Order { tag: _, studio: _, client: _, sheet, story: words_then, log } = earlier;
    let mut out = sheets::sheet(sheet, &now.sheet, studio);
    out.extend(story(words_then, &now.story));
    let mut out: Vec<String> = out.iter().map(Difference::since).collect();
    let since: Vec<_> = now.log.entries().filter(|(number, _)| *number > log.len()).collect();
    if !since.is_empty() {
        let told = since
            .iter()
            .take(FACTS)
            .map(|(number, entry)| format!("entry {number}, {}", undo_words::fact_words(&entry.fact)));
        let mut told: Vec<String> = told.collect();
        if since.len() > FACTS {
            told.push(format!("{} more", since.len() - FACTS));
        }
        let recorded = words::count(since.len(), "fact was recorded", "facts were recorded");
        let stay = if since.len() == 1 { "stays" } else { "stay" };
        out.push(format!("{recorded} since and {stay} whatever is taken back: {}", told.join("; ")));
    }
    out
}

fn story(earlier: &Story, now: &Story) -> Vec<Difference> {
    let subjects = earlier.all().iter().chain(now.all()).map(|words| words.about);
    let subjects: std::collections::BTreeSet<About> = subjects.collect();
    let mut out = Vec::new();
    for about in subjects {
        let what = match about {
            About::Entry(number) => format!("the words on entry {number}"),
            About::Page(page) => format!("the words on its {} page", words::page(page)),
        };
        let said = |story: &Story| story.about(about).map(Text::as_str).unwrap_or_default().to_owned();
        changed(&mut out, &what, &said(earlier), &said(now));
    }
    out
}

#[cfg(test)]
mod tests;
