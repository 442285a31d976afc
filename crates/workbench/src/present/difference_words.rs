//! In what an earlier version of a document differs from what is here now, in words.

use std::collections::BTreeMap;

use craft::client::Client;
use craft::order::{About, Order, Sheet, Story};
use craft::policies::Policies;
use craft::shelf::Item;
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
}

impl Difference {
    fn plain(words: &str) -> Self {
        Self::Plain(words.to_owned(), "")
    }

    /// As an earlier version differs from what is here now.
    fn since(&self) -> String {
        match self {
            Self::Changed { what, was, is } => format!("{what}: was {}, is {}", quoted(was), quoted(is)),
            Self::Plain(words, more) => format!("{words}{more}"),
            Self::Gone(no) => format!("stone {no} was on the sheet and is not any more"),
            Self::New(no) => format!("stone {no} was not on the sheet yet"),
            Self::Photos(more) => format!(
                "{} since; they stay",
                words::count(*more, "photo was taken in", "photos were taken in")
            ),
        }
    }

    /// As two editions differ that stand side by side.
    fn apart(&self) -> String {
        match self {
            Self::Changed { what, was, is } => {
                format!("{what}: here {}, in the copy {}", quoted(was), quoted(is))
            }
            Self::Plain(words, _) => words.clone(),
            Self::Gone(no) => format!("stone {no} stands only here"),
            Self::New(no) => format!("stone {no} stands only in the copy"),
            Self::Photos(more) => {
                format!("{} only in the copy", words::count(*more, "photo stands", "photos stand"))
            }
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
    let mut out = sheet(&here.sheet, &copy.sheet, studio);
    out.extend(story(&here.story, &copy.story));
    let only_here = here.sheet.photos.iter().filter(|photo| !copy.sheet.photos.contains(photo)).count();
    let mut out: Vec<String> = out.iter().map(Difference::apart).collect();
    if only_here > 0 {
        out.push(format!("{} only here", words::count(only_here, "photo stands", "photos stand")));
    }
    out
}

/// In what `earlier` differs from `now`, one sentence each: what would change if it were taken back, and what would stay.
/// Nothing where they are the same.
pub fn differences(earlier: &Doc, now: &Doc, studio: &Studio) -> Vec<String> {
    let since = |out: Vec<Difference>| out.iter().map(Difference::since).collect();
    match (earlier, now) {
        (Doc::Policies(earlier), Doc::Policies(now)) => since(policies(earlier, now)),
        (Doc::Client(_, earlier), Doc::Client(_, now)) => since(client(earlier, now)),
        (Doc::Shelf(_, earlier), Doc::Shelf(_, now)) => since(item(earlier, now)),
        (Doc::Order(earlier), Doc::Order(now)) => order(earlier, now, studio),
        (Doc::Invoices(earlier), Doc::Invoices(now)) => {
            let since = now.issued().count().saturating_sub(earlier.issued().count());
            let issued = words::count(since, "invoice was issued", "invoices were issued");
            if since == 0 { Vec::new() } else { vec![format!("{issued} since; what was issued stays")] }
        }
        _ => vec!["these are not two versions of the same".to_owned()],
    }
}

/// Nothing where nothing changed.
fn changed(out: &mut Vec<Difference>, what: &str, was: &str, is: &str) {
    if was != is {
        let (what, was, is) = (what.to_owned(), was.to_owned(), is.to_owned());
        out.push(Difference::Changed { what, was, is });
    }
}

fn plain(out: &mut Vec<Difference>, differs: bool, words: &str) {
    if differs {
        out.push(Difference::plain(words));
    }
}

fn policies(earlier: &Policies, now: &Policies) -> Vec<Difference> {
    let mut out = Vec::new();
    changed(&mut out, "the studio's name", earlier.name.as_str(), now.name.as_str());
    changed(&mut out, "the studio's address", earlier.post.as_str(), now.post.as_str());
    changed(&mut out, "how clients reach it", earlier.contact.as_str(), now.contact.as_str());
    changed(&mut out, "the keep-back", &words::percent(earlier.keep_back), &words::percent(now.keep_back));
    let places =
        |policies: &Policies| policies.places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    changed(&mut out, "the places", &places(earlier), &places(now));
    changed(&mut out, "the currency", earlier.currency.code(), now.currency.code());
    changed(&mut out, "the words about heat", earlier.heat_words.as_str(), now.heat_words.as_str());
    let rest = |policies: &Policies| {
        let Policies { tell_limit, scale, nudge_days, paper, handling, money_years, .. } = policies.clone();
        (tell_limit, scale, nudge_days, paper, handling, money_years)
    };
    plain(&mut out, rest(earlier) != rest(now), "other settings differ");
    out
}

fn client(earlier: &Client, now: &Client) -> Vec<Difference> {
    let mut out = Vec::new();
    changed(&mut out, "the name", earlier.name.as_str(), now.name.as_str());
    changed(&mut out, "the address", earlier.post.as_str(), now.post.as_str());
    changed(&mut out, "the country", earlier.country.as_str(), now.country.as_str());
    changed(&mut out, "the contact", earlier.contact.as_str(), now.contact.as_str());
    let may = |client: &Client| words::permission(client.may_show);
    changed(&mut out, "whether photos may be shown", &may(earlier), &may(now));
    let may = |client: &Client| words::permission(client.may_teach);
    changed(&mut out, "whether it may be taught with", &may(earlier), &may(now));
    changed(&mut out, "when to write", words::writing(earlier.write_when), words::writing(now.write_when));
    changed(&mut out, "the note", earlier.note.as_str(), now.note.as_str());
    out
}

fn item(earlier: &Item, now: &Item) -> Vec<Difference> {
    let mut out = Vec::new();
    changed(&mut out, "the name", earlier.name.as_str(), now.name.as_str());
    plain(&mut out, earlier.retired && !now.retired, "it was out of use and is in use");
    plain(&mut out, !earlier.retired && now.retired, "it was in use and is out of use");
    let rest = |item: &Item| Item { name: now.name.clone(), retired: now.retired, ..item.clone() };
    plain(&mut out, rest(earlier) != *now, "its values differ");
    out
}

fn order(earlier: &Order, now: &Order, studio: &Studio) -> Vec<String> {
    let mut out = sheet(&earlier.sheet, &now.sheet, studio);
    out.extend(story(&earlier.story, &now.story));
    let mut out: Vec<String> = out.iter().map(Difference::since).collect();
    let since: Vec<_> = now.log.entries().filter(|(number, _)| *number > earlier.log.len()).collect();
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

fn sheet(earlier: &Sheet, now: &Sheet, studio: &Studio) -> Vec<Difference> {
    let mut out = Vec::new();
    let (was, is) = (&earlier.remembered, &now.remembered);
    changed(&mut out, "the name of the one remembered", was.name.as_str(), is.name.as_str());
    changed(&mut out, "who they were", was.about.as_str(), is.about.as_str());
    plain(
        &mut out,
        was.spelling_confirmed != is.spelling_confirmed,
        "whether the spelling is confirmed differs",
    );
    plain(&mut out, was.dates != is.dates, "the days that matter differ");
    plain(&mut out, was.never_say != is.never_say, "the words never to be used differ");
    changed(&mut out, "the wishes", earlier.wishes.as_str(), now.wishes.as_str());
    let due = |sheet: &Sheet| sheet.due.map(words::date_with_year).unwrap_or_default();
    changed(&mut out, "the due date", &due(earlier), &due(now));
    plain(&mut out, earlier.occasion != now.occasion, "whom it is for differs");
    let quoted =
        |sheet: &Sheet| sheet.quote.as_ref().map(|quote| quote.total.to_string()).unwrap_or_default();
    changed(&mut out, "the price", &quoted(earlier), &quoted(now));
    let same_price = quoted(earlier) == quoted(now);
    plain(&mut out, same_price && earlier.quote != now.quote, "the deposit or the note on the price differs");
    let setting =
        |sheet: &Sheet| sheet.setting.as_ref().map(|id| words::item_name(studio, id)).unwrap_or_default();
    changed(&mut out, "the setting", &setting(earlier), &setting(now));
    changed(&mut out, "the ring size", earlier.ring.as_str(), now.ring.as_str());
    if earlier.things != now.things {
        let words = "the description of things differs".to_owned();
        out.push(Difference::Plain(words, "; what was described since stays"));
    }
    out.extend(stones(earlier, now));
    plain(&mut out, earlier.errands != now.errands, "the errands differ");
    let more = now.photos.iter().filter(|photo| !earlier.photos.contains(photo)).count();
    if more > 0 {
        out.push(Difference::Photos(more));
    }
    plain(&mut out, earlier.parcels != now.parcels, "the parcels differ");
    out
}

fn stones(earlier: &Sheet, now: &Sheet) -> Vec<Difference> {
    let by_number = |sheet: &Sheet| -> BTreeMap<u8, craft::order::StoneSheet> {
        sheet.stones.iter().map(|stone| (stone.no, stone.clone())).collect()
    };
    let (was, is) = (by_number(earlier), by_number(now));
    let mut out = Vec::new();
    for no in was.keys().chain(is.keys().filter(|no| !was.contains_key(no))) {
        match (was.get(no), is.get(no)) {
            (Some(was), Some(is)) if was.plan != is.plan => {
                out.push(Difference::plain(&format!("the plan of stone {no} differs")));
            }
            (Some(was), Some(is)) if was != is => {
                out.push(Difference::plain(&format!("stone {no} differs")));
            }
            (Some(_), None) => out.push(Difference::Gone(*no)),
            (None, Some(_)) => out.push(Difference::New(*no)),
            _ => {}
        }
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
mod tests {
    use craft::fact::ClientFact;
    use craft::id::DocId;
    use craft::order::{Page, Words};
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    use super::*;
    use crate::keeping::history::taken_back;
    use crate::present::sample::{bench, day, line};

    #[test]
    fn the_same_version_has_no_difference_and_each_part_that_changed_is_told() {
        let mut bench = bench(Stage::Asked);
        let id = DocId::Order(bench.tag);
        let earlier = bench.studio.doc(&id).unwrap();
        assert_eq!(differences(&earlier, &earlier, &bench.studio), Vec::<String>::new());
        let mut sheet = bench.studio.order(bench.tag).unwrap().order.sheet.clone();
        let was = words::date_with_year(sheet.due.unwrap());
        sheet.due = Some(day(2027, 5, 6));
        sheet.ring = line("UK P");
        let now = bench.now();
        let mut put = |edit| bench.studio.apply(Edit::Order(bench.tag, edit), now).unwrap();
        put(OrderEdit::Sheet(Box::new(sheet)));
        put(OrderEdit::Story(Words { about: About::Page(Page::Brief), text: "said\nso".parse().unwrap() }));
        put(OrderEdit::Fact(ClientFact::KitPosted.into()));
        let after = bench.studio.doc(&id).unwrap();
        assert_eq!(
            differences(&earlier, &after, &bench.studio),
            [
                format!("the due date: was \"{was}\", is \"6 May 2027\""),
                "the ring size: was \"UK N\", is \"UK P\"".to_owned(),
                "the words on its brief page: was empty, is \"said / so\"".to_owned(),
                "1 fact was recorded since and stays whatever is taken back: entry 2, the sending kit was posted"
                    .to_owned(),
            ]
        );
        // Taken back, only what really happened is left of the difference.
        let back = taken_back(&bench.studio, earlier.clone(), now).unwrap();
        bench.studio.put_back(back).unwrap();
        let left = differences(&earlier, &bench.studio.doc(&id).unwrap(), &bench.studio);
        assert_eq!(left.len(), 1, "{left:?}");
        assert!(left[0].starts_with("1 fact was recorded since"), "{left:?}");
    }

    #[test]
    fn clients_settings_and_items_are_told_by_their_parts() {
        let bench = bench(Stage::Asked);
        let (id, known) = bench.studio.clients().iter().next().unwrap();
        let moved = Client { post: "Elsewhere 1".parse().unwrap(), ..known.clone() };
        let doc = |client: &Client| Doc::Client(id.clone(), Box::new(client.clone()));
        let told = differences(&doc(&moved), &doc(known), &bench.studio);
        assert!(told.len() == 1 && told[0].starts_with("the address: was \"Elsewhere 1\""), "{told:?}");
        let now = bench.studio.policies().clone();
        let renamed = Policies { name: line("Another"), nudge_days: now.nudge_days + 1, ..now.clone() };
        let since = |out: Vec<Difference>| out.iter().map(Difference::since).collect::<Vec<_>>();
        let told = policies(&renamed, &now);
        assert_eq!(told.len(), 2, "{told:?}");
        let (_, lamp) = bench.studio.shelf().iter().next().unwrap();
        let retired = Item { retired: true, ..lamp.clone() };
        assert_eq!(since(item(&retired, lamp)), ["it was out of use and is in use"]);
        assert_eq!(item(lamp, lamp), []);
    }

    #[test]
    fn two_editions_are_told_side_by_side_and_neither_is_called_the_earlier() {
        let mut bench = bench(Stage::Asked);
        let here = bench.studio.order(bench.tag).unwrap().order.clone();
        let mut copy = here.clone();
        copy.sheet.ring = line("UK P");
        copy.sheet.stones.clear();
        let told = apart(&here, &copy, &bench.studio);
        assert!(told.contains(&"the ring size: here \"UK N\", in the copy \"UK P\"".to_owned()), "{told:?}");
        assert!(told.iter().any(|words| words.ends_with("stands only here")), "{told:?}");
        assert!(told.iter().all(|words| !words.contains("was ") && !words.contains("since")), "{told:?}");
        assert_eq!(apart(&here, &here, &bench.studio), Vec::<String>::new());
        bench.record(ClientFact::KitPosted);
        let later = bench.studio.order(bench.tag).unwrap().order.clone();
        assert_eq!(apart(&here, &later, &bench.studio), Vec::<String>::new(), "the record tells that");
    }
}
