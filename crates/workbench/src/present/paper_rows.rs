//! The papers of an order as rows: what can be written, what was written and when.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use craft::client::Client;
use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::id::ShelfId;
use craft::moment::Moment;
use craft::order::Order;
use craft::paper::{Standing, Subject, issued, standing};
use craft::policies::Policies;
use craft::shelf::Item;
use craft::stage::Stage;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::paper_facts::paper;
use super::words;
use crate::runner::paper_file_name;

/// A paper that was written and kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The file.
    pub file: Digest,
    /// When, in words: "25 November".
    pub on: String,
    /// The file below the studio's folder: its folders and its name.
    pub below: [String; 3],
}

/// One kind of paper of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperRow {
    /// Which.
    pub kind: PaperKind,
    /// What it is called: "Proof sheet".
    pub name: String,
    /// Why it cannot be written yet, where that is so.
    pub held: Option<String>,
    /// As it was written, the newest first.
    pub kept: Vec<Kept>,
    /// Why the newest no longer says what is so, in a sentence; none where it does.
    pub out_of_date: Option<String>,
}

impl PaperRow {
    /// The second line of its row.
    pub fn words(&self) -> String {
        let now = if self.out_of_date.is_some() { "; out of date" } else { "" };
        match &self.held {
            _ if !self.kept.is_empty() => format!("{}{now}", self.written()),
            Some(_) => "not yet".to_owned(),
            None => "can be written now".to_owned(),
        }
    }

    /// When it was written: "written 2 times, last on 25 November"; empty where it never was.
    pub fn written(&self) -> String {
        match self.kept.first() {
            Some(kept) if self.kept.len() > 1 => {
                format!("written {} times, last on {}", self.kept.len(), kept.on)
            }
            Some(kept) => format!("written on {}", kept.on),
            None => String::new(),
        }
    }
}

/// The rows of one order, made anew only where something has changed that they are made of.
#[derive(Debug, Default)]
pub struct Rows {
    made: Option<(Basis, Arc<[PaperRow]>)>,
}

/// All that papers are made of.
#[derive(Debug, PartialEq)]
struct Basis {
    day: NaiveDate,
    order: Order,
    client: Option<Client>,
    policies: Policies,
    shelf: BTreeMap<ShelfId, Item>,
}

impl Basis {
    fn of(studio: &Studio, held: &Held, now: Moment) -> Self {
        Self {
            day: now.day(),
            order: held.order.clone(),
            client: studio.clients().get(&held.order.client).cloned(),
            policies: studio.policies().clone(),
            shelf: studio.shelf().clone(),
        }
    }

    fn stands(&self, studio: &Studio, held: &Held, now: Moment) -> bool {
        self.day == now.day()
            && self.order == held.order
            && self.client.as_ref() == studio.clients().get(&held.order.client)
            && self.policies == *studio.policies()
            && self.shelf == *studio.shelf()
    }
}

impl Rows {
    /// The papers of an order, in the order they come.
    pub fn of(&mut self, studio: &Studio, held: &Held, tag: Tag, now: Moment) -> Arc<[PaperRow]> {
        if let Some((basis, made)) = &self.made
            && basis.stands(studio, held, now)
        {
            return made.clone();
        }
        let made: Arc<[PaperRow]> = rows(studio, held, tag, now).into();
        self.made = Some((Basis::of(studio, held, now), made.clone()));
        made
    }
}

/// The papers in the order they come.
pub fn rows(studio: &Studio, held: &Held, tag: Tag, now: Moment) -> Vec<PaperRow> {
    let row = |kind| PaperRow {
        kind,
        name: words::sentence_start(words::paper(kind)),
        held: paper(studio, tag, kind, now).err(),
        kept: kept(held, tag, kind, now),
        out_of_date: out_of_date(held, kind).map(|why| words::sentence(&why)),
    };
    PaperKind::ALL.map(row).into_iter().collect()
}

fn kept(held: &Held, tag: Tag, kind: PaperKind, now: Moment) -> Vec<Kept> {
    let papers = held.ledger.home.papers.iter().rev().filter(|(_, of, _)| *of == kind);
    papers
        .map(|(entry, _, file)| {
            let day = held.order.log.entry(*entry).map(craft::log::Entry::day);
            Kept {
                file: *file,
                on: day.map(|day| words::date(day, now.day())).unwrap_or_default(),
                below: [
                    "papers".to_owned(),
                    tag.to_string().to_ascii_lowercase(),
                    paper_file_name(kind, file),
                ],
            }
        })
        .collect()
}

/// Why the newest paper of a kind no longer says what is so: "the packing list is out of date: what it says of stone 2
/// has changed since". None where it does, and where there is none.
pub fn out_of_date(held: &Held, kind: PaperKind) -> Option<String> {
    let Standing::OutOfDate(changed) = standing(held, kind) else { return None };
    let paper = words::paper(kind);
    Some(match subjects(held, &changed) {
        of if of.is_empty() => format!("the {paper} is out of date"),
        of => format!("the {paper} is out of date: what it says of {of} has changed since"),
    })
}

/// At most so many are named one by one.
const NAMED: usize = 3;

fn subjects(held: &Held, changed: &[Subject]) -> String {
    let name = |subject: &Subject| match subject {
        Subject::Thing(thing) => words::thing_plain(*thing),
        Subject::Tools(lot) => format!("{} left on the tools", words::lot(held, *lot)),
        Subject::Material(material) => format!("the {}", words::material(*material)),
    };
    if changed.len() > NAMED {
        return words::count(changed.len(), "thing", "things");
    }
    words::list(&changed.iter().map(name).collect::<Vec<_>>())
}

/// True where a paper was written, whether it still says what is so or not. A packing list is that of one box, and says
/// nothing about the next.
pub fn is_issued(held: &Held, kind: PaperKind) -> bool {
    issued(held, kind).is_some()
}

/// When the care card was written last, in words; none where it never was.
pub fn care_card(held: &Held, now: Moment) -> Option<String> {
    kept(held, held.order.tag, PaperKind::Care, now).into_iter().next().map(|kept| kept.on)
}

/// True where there are stones to care for and no card says how.
pub fn lacks_care_card(held: &Held) -> bool {
    let written = held.ledger.home.papers.iter().any(|(_, kind, _)| *kind == PaperKind::Care);
    held.ledger.client_stones().next().is_some() && !written
}

/// The paper that is looked at first: the one that belongs to where the order stands.
pub fn due(held: &Held) -> PaperKind {
    match held.stage() {
        Stage::Asked | Stage::KitSent => PaperKind::Kit,
        Stage::Here => PaperKind::Receipt,
        Stage::Made | Stage::Shown => PaperKind::Proof,
        Stage::Chosen | Stage::Set => PaperKind::Packing,
        Stage::Packed | Stage::GoneHome => PaperKind::Care,
    }
}

/// The name of a paper in the printer's list, which others may see: the tag and the kind, and no client.
pub fn print_title(tag: Tag, kind: PaperKind) -> String {
    format!("{tag} {}", words::paper(kind))
}

/// The name a copy of a paper is offered under.
pub fn copy_name(tag: Tag, kind: PaperKind) -> String {
    format!("{} {tag}.pdf", words::sentence_start(words::paper(kind)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::fact::HomeFact;

    #[test]
    fn the_rows_come_in_order_and_say_when_each_paper_was_written() {
        let mut bench = bench(Stage::Packed);
        bench.record(HomeFact::PaperIssued { paper: PaperKind::Care, file: Digest::of(b"again") });
        let held = bench.studio.order(bench.tag).unwrap();
        let rows = rows(&bench.studio, held, bench.tag, bench.now());
        let said: Vec<(&str, String)> = rows.iter().map(|row| (row.name.as_str(), row.words())).collect();
        assert_eq!(
            said,
            [
                ("Sending sheet", "can be written now".to_owned()),
                ("Receipt", "can be written now".to_owned()),
                ("Proof sheet", "not yet".to_owned()),
                ("Packing list", "written on 25 November".to_owned()),
                ("Care card", "written 2 times, last on 25 November".to_owned()),
                ("Custody sheet", "can be written now".to_owned()),
            ]
        );
        assert_eq!(rows[4].kept[0].file, Digest::of(b"again"), "the newest first");
        let [folder, order, name] = &rows[3].kept[0].below;
        assert_eq!((folder.as_str(), order.clone()), ("papers", bench.tag.to_string().to_lowercase()));
        assert_eq!(*name, paper_file_name(PaperKind::Packing, &Digest::of(b"paper")));
        assert!(rows[2].held.is_some());
    }

    #[test]
    fn a_care_card_is_missed_only_where_there_are_stones_and_none_was_written() {
        let fresh = bench(Stage::Here);
        assert!(!lacks_care_card(fresh.studio.order(fresh.tag).unwrap()), "there is nothing to care for");
        let mut set = bench(Stage::Set);
        let held = |bench: &crate::present::sample::Bench| bench.studio.order(bench.tag).unwrap().clone();
        assert!(lacks_care_card(&held(&set)));
        assert_eq!(care_card(&held(&set), set.now()), None);
        set.record(HomeFact::PaperIssued { paper: PaperKind::Care, file: Digest::of(b"care") });
        assert!(!lacks_care_card(&held(&set)));
        assert_eq!(care_card(&held(&set), set.now()).as_deref(), Some("25 November"));
    }

    #[test]
    fn a_list_from_before_more_went_into_the_box_is_told_of_on_its_row_and_on_the_packing_page() {
        let mut bench = bench(Stage::Packed);
        let said = |bench: &crate::present::sample::Bench| {
            let held = bench.studio.order(bench.tag).unwrap();
            let row = rows(&bench.studio, held, bench.tag, bench.now()).swap_remove(3);
            let page =
                crate::present::pages::page(&bench.studio, bench.tag, craft::order::Page::Pack, bench.now());
            let missing = page.unwrap().missing.into_iter().map(|missing| missing.words);
            (
                row.words(),
                row.out_of_date,
                missing.filter(|words| words.contains("packing list")).collect::<Vec<_>>(),
            )
        };
        assert_eq!(said(&bench), ("written on 25 November".to_owned(), None, Vec::new()));
        bench.record(HomeFact::Unticked { thing: craft::id::Thing::wrapping(1) });
        let why = "he packing list is out of date: what it says of wrapping 1 has changed since";
        assert_eq!(
            said(&bench),
            (
                "written on 25 November; out of date".to_owned(),
                Some(format!("T{why}.")),
                vec![format!("t{why}; issue it again")]
            )
        );
        let check = bench.check();
        bench.record(HomeFact::Ticked { thing: craft::id::Thing::wrapping(1), check });
        assert_eq!(said(&bench).1, None, "it lies there again, as the list says");
        for thing in bench.studio.order(bench.tag).unwrap().ledger.packed() {
            bench.record(HomeFact::Unticked { thing });
        }
        assert!(
            said(&bench).1.unwrap().ends_with("what it says of 6 things has changed since."),
            "{:?}",
            said(&bench)
        );
    }

    #[test]
    fn kept_rows_are_made_anew_for_what_is_recorded_and_for_what_others_change() {
        let mut bench = bench(Stage::Packed);
        let mut kept = Rows::default();
        let mut now = |bench: &crate::present::sample::Bench| {
            let held = bench.studio.order(bench.tag).unwrap();
            kept.of(&bench.studio, held, bench.tag, bench.now())
        };
        let first = now(&bench);
        assert!(Arc::ptr_eq(&first, &now(&bench)), "nothing has changed, so they are the same ones");
        bench.record(HomeFact::PaperIssued { paper: PaperKind::Care, file: Digest::of(b"again") });
        let second = now(&bench);
        assert_eq!(second[4].kept.len(), first[4].kept.len() + 1);
        let id = bench.studio.order(bench.tag).unwrap().order.client.clone();
        let mut client = bench.studio.clients()[&id].clone();
        client.country = "Norway".parse().unwrap();
        let put = craft::studio::ClientEdit::Put(Box::new(client));
        let at = bench.now();
        bench.studio.apply(craft::studio::Edit::Client(id, put), at).unwrap();
        assert!(!Arc::ptr_eq(&second, &now(&bench)), "papers name the client");
    }

    #[test]
    fn each_stage_has_its_paper_and_names_hold_no_client() {
        let shown = bench(Stage::Made);
        assert_eq!(due(shown.studio.order(shown.tag).unwrap()), PaperKind::Proof);
        let gone = bench(Stage::GoneHome);
        assert_eq!(due(gone.studio.order(gone.tag).unwrap()), PaperKind::Care);
        let title = print_title(gone.tag, PaperKind::Kit);
        assert_eq!(title, format!("{} sending sheet", gone.tag));
        assert_eq!(copy_name(gone.tag, PaperKind::Kit), format!("Sending sheet {}.pdf", gone.tag));
    }
}
