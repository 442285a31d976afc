//! The earlier versions of one document as a list, and the chosen one with what would come of taking it back.

use craft::id::DocId;
use craft::moment::Moment;
use craft::studio::{Doc, Studio};

use super::{board, difference_words, undo_words, words};
use crate::keeping::history::{Version, taken_back};

/// One earlier version in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VersionRow {
    /// Counts the versions of this document.
    pub number: u32,
    /// "today at 14:05".
    pub when: String,
    /// How it stands to what is here now: "2 differences".
    pub how: String,
}

/// The chosen one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// In what it differs from what is here now, one sentence each; or why it cannot be read.
    pub differences: Result<Vec<String>, String>,
    /// True where taking it back would change something; or why it cannot be taken back.
    pub back: Result<bool, String>,
}

/// What a document is called: "the order for Bramble", "the client Ada Berg", "the studio's settings".
pub fn name(doc: &DocId, studio: &Studio) -> String {
    match doc {
        DocId::Policies => "the studio's settings".to_owned(),
        DocId::Shelf(id) => words::item_name(studio, id),
        DocId::Client(id) => {
            let name = studio.clients().get(id).map(|client| client.name.to_string());
            format!("the client {}", name.unwrap_or_else(|| id.to_string()))
        }
        DocId::Order(tag) => match studio.order(*tag) {
            Ok(held) => format!("the order for {}", words::remembered(held)),
            Err(_) => format!("order {tag}"),
        },
        DocId::Invoices(year) => format!("the invoices of {}", year.0),
    }
}

/// What stands under the name: whose order it is, and its tag.
pub fn second(doc: &DocId, studio: &Studio) -> String {
    match doc {
        DocId::Order(tag) => studio.order(*tag).map_or_else(
            |_| String::new(),
            |held| format!("for {}, tag {tag}", board::client_name(studio, held)),
        ),
        _ => String::new(),
    }
}

/// The versions as rows, in the same order.
pub fn rows(doc: &DocId, versions: &[Version], studio: &Studio, now: Moment) -> Vec<VersionRow> {
    let here = studio.doc(doc);
    let how = |version: &Version| match (&version.doc, &here) {
        (Err(_), _) => "cannot be read".to_owned(),
        (Ok(_), None) if studio.locked().contains_key(doc) => "can be read".to_owned(),
        (Ok(_), None) => "there is nothing here now".to_owned(),
        (Ok(earlier), Some(here)) => match difference_words::differences(earlier, here, studio).len() {
            0 => "as it is now".to_owned(),
            many => words::count(many, "difference", "differences"),
        },
    };
    let row = |(place, version): (usize, &Version)| {
        // Two of one minute are told apart by their seconds.
        let minute = |version: &Version| version.written_ms.div_euclid(60_000);
        let mut others = versions.iter().enumerate().filter(|(other, _)| *other != place);
        let is_alone = !others.any(|(_, other)| minute(other) == minute(version));
        let mut when = words::sentence_start(&words::day_and_time(version.written_ms, now));
        if !is_alone {
            when = format!("{when}:{:02}", version.written_ms.div_euclid(1_000).rem_euclid(60));
        }
        VersionRow { number: version.number, when, how: how(version) }
    };
    versions.iter().enumerate().map(row).collect()
}

/// One of them, looked at closely.
pub fn chosen(doc: &DocId, version: &Version, studio: &Studio, now: Moment) -> Chosen {
    let earlier = match &version.doc {
        Ok(earlier) => earlier,
        Err(why) => return Chosen { differences: Err(why.clone()), back: Err(why.clone()) },
    };
    let Some(here) = studio.doc(doc) else {
        if studio.locked().contains_key(doc) {
            return Chosen { differences: Ok(holds(earlier, studio)), back: Err(NOT_READ.to_owned()) };
        }
        let why = "there is nothing here now that it could be compared with".to_owned();
        return Chosen { differences: Err(why.clone()), back: Err(why) };
    };
    let back = taken_back(studio, earlier.clone(), now).map(|back| back != here);
    Chosen {
        differences: Ok(difference_words::differences(earlier, &here, studio)),
        back: back.map_err(|refusal| refusal.to_string()),
    }
}

/// Why an earlier version is not taken back where the file itself cannot be read.
const NOT_READ: &str =
    "the file itself cannot be read; what was found says which version can be put in its place";

/// How many of the newest facts of an order are told one by one.
const FACTS: usize = 5;

/// What an earlier version says by itself, one sentence each, where there is nothing that it could be compared with.
fn holds(earlier: &Doc, studio: &Studio) -> Vec<String> {
    let mut out = Vec::new();
    let mut say = |what: &str, words: &str| {
        if !words.is_empty() {
            out.push(format!("{what}: {}", words.replace('\n', " / ")));
        }
    };
    match earlier {
        Doc::Policies(policies) => say("the studio's name", policies.name.as_str()),
        Doc::Shelf(_, item) => {
            say("the name", item.name.as_str());
            say("the note", item.note.as_str());
        }
        Doc::Client(_, client) => {
            say("the name", client.name.as_str());
            say("the address", client.post.as_str());
            say("the contact", client.contact.as_str());
            say("the note", client.note.as_str());
        }
        Doc::Invoices(series) => {
            let issued = words::count(series.issued().count(), "number", "numbers");
            say("what was issued by then", &issued);
        }
        Doc::Order(order) => {
            let sheet = &order.sheet;
            say("the one remembered", sheet.remembered.name.as_str());
            let client = studio.clients().get(&order.client);
            say("the client", client.map(|client| client.name.as_str()).unwrap_or_default());
            say("the wishes", sheet.wishes.as_str());
            say("the due date", &sheet.due.map(words::date_with_year).unwrap_or_default());
            say("on its sheet", &words::count(sheet.client_stones().count(), "stone", "stones"));
            let entries = usize::try_from(order.log.len()).unwrap_or(usize::MAX);
            say("its record", &words::count(entries, "entry", "entries"));
            let newest = order.log.entries().skip(entries.saturating_sub(FACTS));
            for (number, entry) in newest {
                say(&format!("entry {number}"), &undo_words::fact_words(&entry.fact));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use craft::fact::ClientFact;
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    use super::*;
    use crate::present::sample::{at, bench, line};

    #[test]
    fn versions_of_an_order_that_cannot_be_read_are_told_by_what_they_hold() {
        let mut bench = bench(Stage::Asked);
        bench.record(ClientFact::KitPosted);
        let id = DocId::Order(bench.tag);
        let earlier = bench.studio.doc(&id).unwrap();
        let mut torn = bench.studio.for_a_part();
        torn.lock(id.clone(), "torn".to_owned());
        let version =
            Version { file: String::new(), number: 1, written_ms: at(-60).utc_ms, doc: Ok(earlier) };
        assert_eq!(rows(&id, std::slice::from_ref(&version), &torn, at(0))[0].how, "can be read");
        let looked = chosen(&id, &version, &torn, at(0));
        let told = looked.differences.unwrap();
        assert!(told.contains(&"the one remembered: Bramble".to_owned()), "{told:?}");
        assert_eq!(told.last().unwrap(), "entry 2: the sending kit was posted");
        assert!(looked.back.unwrap_err().contains("cannot be read"));
    }

    #[test]
    fn a_version_is_told_by_its_day_and_how_far_it_is_from_now() {
        let mut bench = bench(Stage::Asked);
        let id = DocId::Order(bench.tag);
        let version =
            |number: u32, doc| Version { file: String::new(), number, written_ms: at(-60).utc_ms, doc };
        let first = bench.studio.doc(&id).unwrap();
        let mut sheet = bench.studio.order(bench.tag).unwrap().order.sheet.clone();
        sheet.ring = line("UK P");
        let edit = Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)));
        bench.studio.apply(edit, at(0)).unwrap();
        let second = bench.studio.doc(&id).unwrap();
        bench.record(ClientFact::KitPosted);
        let all = [version(3, Err("torn".to_owned())), version(2, Ok(second)), version(1, Ok(first))];
        let told = rows(&id, &all, &bench.studio, at(0));
        assert_eq!(
            told.iter().map(|row| row.how.as_str()).collect::<Vec<_>>(),
            ["cannot be read", "1 difference", "2 differences"]
        );
        assert!(told.iter().all(|row| row.when == "Today at 8:00:00"), "{told:?}");
        // What happened stays: taking the second back would change nothing at all.
        let backs: Vec<_> = all.iter().map(|one| chosen(&id, one, &bench.studio, at(0)).back).collect();
        assert_eq!(backs, [Err("torn".to_owned()), Ok(false), Ok(true)]);
        let looked = chosen(&id, &all[2], &bench.studio, at(0)).differences.unwrap();
        assert!(looked[1].contains("stays whatever is taken back"), "{looked:?}");
    }
}
