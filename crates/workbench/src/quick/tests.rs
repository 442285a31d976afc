use craft::fact::{CustodyFact, Holder};
use craft::id::{DocId, Thing};
use craft::place::Place;
use craft::policies::Policies;
use craft::stage::Next;
use craft::studio::{Finding, Held, ShelfEdit};
use craft::tag::Tag;
use craft::units::Share;

use super::*;
use crate::present::board::{Board, Group, board};
use crate::present::sample::{at, day, line};

/// A fresh studio with the starter shelf and three places.
fn studio() -> Studio {
    let mut policies =
        Policies::new("the-quiet-room".parse().unwrap(), line("The Quiet Room"), craft::money::Currency::EUR);
    policies.places = vec![line("Drawer 3"), line("The tin"), Line::default()];
    let mut studio = Studio::new(policies);
    for (id, item) in crate::starter::shelf() {
        studio.apply(Edit::Shelf(id, ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
    }
    studio
}

fn row(stage: Stage) -> Row {
    Row {
        client: "Ida Lund".to_owned(),
        name: "Bramble".to_owned(),
        material: Some(Material::Fur),
        stage,
        due: "12 December".to_owned(),
        place: "drawer 3".to_owned(),
        stones: "3".to_owned(),
        chosen: "2".to_owned(),
        ..Row::default()
    }
}

/// Applies the edits of a row one after the other, as the window does.
fn bring(studio: &mut Studio, row: &Row) -> Tag {
    let edits = edits(studio, row, at(1)).unwrap_or_else(|why| panic!("{row:?}: {why:?}"));
    let mut tag = None;
    for edit in edits {
        if let DocId::Order(of) = edit.doc() {
            tag = Some(of);
        }
        studio.apply(edit, at(1)).unwrap();
    }
    tag.unwrap()
}

fn brought(row: &Row) -> (Studio, Tag) {
    let mut studio = studio();
    let tag = bring(&mut studio, row);
    (studio, tag)
}

fn next(held: &Held) -> Next {
    held.next(at(1).day(), 7)
}

fn wrong(row: &Row) -> Wrong {
    let studio = studio();
    let why = edits(&studio, row, at(1)).unwrap_err();
    assert_eq!(why, check(&studio, row, at(1)), "the quick check sees the same");
    why
}

#[test]
fn a_row_of_every_stage_stands_on_the_board_with_its_next_action() {
    let expected = [
        (Stage::Asked, Next::Answer, Group::Hands, "answer the enquiry"),
        (Stage::KitSent, Next::AwaitMaterial, Group::Others, "kit posted today: waiting for the material"),
        (Stage::Here, Next::Plan, Group::Hands, "plan the stones"),
        (Stage::Made, Next::SendProof, Group::Hands, "send the proof"),
        (Stage::Shown, Next::AwaitChoice, Group::Others, "proof sent today: nudge 2 December"),
        (Stage::Chosen, Next::SetStone { stone: 2 }, Group::Hands, "set stone 2"),
        (Stage::Set, Next::Pack { left: 5 }, Group::Parcel, "pack the box: 5 things to tick"),
        (Stage::Packed, Next::Post, Group::Parcel, "post the box"),
        (Stage::GoneHome, Next::AwaitArrival, Group::Others, "posted today: waiting to hear that it arrived"),
    ];
    assert_eq!(expected.map(|row| row.0), Stage::ALL);
    for (stage, wanted, group, action) in expected {
        let (studio, tag) = brought(&row(stage));
        let held = studio.order(tag).unwrap();
        assert_eq!((held.stage(), next(held)), (stage, wanted));
        assert_eq!(studio.findings(), [], "{stage:?}");
        let Board { rows, .. } = board(&studio, at(1));
        let [shown] = rows.as_slice() else { panic!("{} rows", rows.len()) };
        assert_eq!((shown.group, shown.action.as_str()), (group, action), "{stage:?}");
        assert_eq!((shown.name.as_str(), shown.client.as_str()), ("Bramble", "Ida Lund"));
        assert_eq!(shown.due_on, Some(day(2026, 12, 12)));
        assert!(held.order.log.entries().all(|(_, entry)| entry.told.is_some()), "nothing happened just now");
    }
}

#[test]
fn everything_that_was_brought_in_can_go_on_to_its_end() {
    use craft::fact::{Check, ClientFact, FitFact, HomeFact, How};
    let (mut studio, tag) = brought(&row(Stage::Chosen));
    let mut record = |fact: craft::fact::Fact| {
        studio
            .apply(Edit::Order(tag, OrderEdit::Fact(fact.clone())), at(2))
            .unwrap_or_else(|why| panic!("{fact}: {why}"));
        studio.order(tag).unwrap().ledger.to_pack()
    };
    let left = record(FitFact::Set { stone: 2, piece: Thing::piece(1), place: Place::Kept(2) }.into());
    for thing in left {
        record(HomeFact::Ticked { thing, check: Check { how: How::Typed, tag } }.into());
    }
    for fact in [HomeFact::NotPhotographed, HomeFact::Sent, HomeFact::Arrived] {
        record(fact.into());
    }
    record(ClientFact::Thanked.into());
    assert_eq!(next(studio.order(tag).unwrap()), Next::Done);
}

#[test]
fn the_keep_back_lies_in_its_envelope_or_is_the_next_thing_to_do() {
    let (studio, tag) = brought(&row(Stage::Here));
    let custody = &studio.order(tag).unwrap().ledger.custody;
    assert_eq!(custody.share(Holder::Thing(Thing::envelope(1)), 1), Share::of(1, 3));
    assert_eq!(custody.things[&Thing::wrapping(1)].place, Place::Kept(1));
    assert_eq!(custody.open().count(), 0);
    let (studio, tag) = brought(&Row { kept_back: KeptBack::NotYet, ..row(Stage::Here) });
    assert_eq!(next(studio.order(tag).unwrap()), Next::KeepBack { lot: 1 });
    let (studio, tag) = brought(&Row { keep_back: "about a quarter".to_owned(), ..row(Stage::Made) });
    let custody = &studio.order(tag).unwrap().ledger.custody;
    assert_eq!(custody.share(Holder::Thing(Thing::envelope(1)), 1), Share::of(1, 4));
    let (studio, tag) = brought(&Row { keep_back: "nothing".to_owned(), ..row(Stage::Made) });
    assert!(!studio.order(tag).unwrap().ledger.custody.has_keep_back(1));
    assert_eq!(studio.findings(), [], "none was agreed, so none is missing");
}

#[test]
fn stones_made_before_the_keep_back_was_taken_are_found() {
    // What the check of findings must catch: an agreed keep-back that nobody put away.
    let (studio, tag) = brought(&Row { kept_back: KeptBack::NotYet, ..row(Stage::Made) });
    assert_eq!(studio.findings(), [Finding::NoKeepBack { tag, lot: 1 }]);
    assert_eq!(next(studio.order(tag).unwrap()), Next::KeepBack { lot: 1 });
}

#[test]
fn what_went_into_the_stones_is_in_the_book_and_a_guess_is_owned_up_to() {
    let (studio, tag) = brought(&row(Stage::Made));
    let held = studio.order(tag).unwrap();
    let share = |no| held.ledger.custody.share(Holder::Thing(Thing::stone(no)), 1);
    assert_eq!([share(1), share(2), share(3)], [Share::of(1, 100); 3]);
    let words: Vec<&str> = held.order.story.all().iter().map(|words| words.text.as_str()).collect();
    assert!(words.iter().any(|text| text.contains("put down as a hundredth")), "{words:?}");
    let (studio, tag) = brought(&Row { in_each: "5 %".to_owned(), ..row(Stage::Made) });
    let held = studio.order(tag).unwrap();
    assert_eq!(held.ledger.custody.share(Holder::Thing(Thing::stone(1)), 1), Share::of(5, 100));
    assert!(held.order.story.all().iter().all(|words| !words.text.as_str().contains("hundredth")));
}

#[test]
fn the_day_it_came_so_far_is_told() {
    let (studio, tag) = brought(&Row { since: "2 weeks ago".to_owned(), ..row(Stage::Shown) });
    let held = studio.order(tag).unwrap();
    assert!(held.order.log.entries().all(|(_, entry)| entry.told == Some(day(2026, 11, 11))));
    assert_eq!(next(held), Next::Nudge, "a proof two weeks old");
}

#[test]
fn a_known_client_is_found_whatever_the_size_of_letters_and_accents() {
    let mut studio = studio();
    bring(&mut studio, &Row { client: "Zoë Müller".to_owned(), ..row(Stage::Here) });
    bring(
        &mut studio,
        &Row { client: " zoe  MULLER ".to_owned(), name: "Fern".to_owned(), ..row(Stage::Asked) },
    );
    assert_eq!((studio.clients().len(), studio.orders().len()), (1, 2));
    let twin = Client { name: line("Zoe Muller"), ..Client::default() };
    let id = fresh_client_id(&studio);
    assert_eq!(id.as_str(), "c02");
    studio.apply(Edit::Client(id.clone(), ClientEdit::Put(Box::new(twin))), at(1)).unwrap();
    let third = Row { client: "Zoe Muller".to_owned(), name: "Moss".to_owned(), ..row(Stage::Asked) };
    let why = edits(&studio, &third, at(1)).unwrap_err();
    assert!(why[0].0 == Field::Client && why[0].1.contains("c01 or c02"), "{why:?}");
    let tag = bring(&mut studio, &Row { known: Some(id.clone()), ..third });
    assert_eq!(studio.order(tag).unwrap().order.client, id);
}

#[test]
fn every_field_says_what_is_wrong_with_it_at_once() {
    let bad = Row {
        client: " ".to_owned(),
        name: String::new(),
        material: None,
        due: "soon".to_owned(),
        since: "tomorrow".to_owned(),
        tag: "A2B-C3J".to_owned(),
        keep_back: "95 %".to_owned(),
        place: "the attic".to_owned(),
        stones: "several".to_owned(),
        chosen: "the blue one".to_owned(),
        mould: Some("sand".parse().unwrap()),
        pigment: Some("round-8".parse().unwrap()),
        in_each: "lots".to_owned(),
        ..row(Stage::GoneHome)
    };
    let why = wrong(&bad);
    let fields: std::collections::BTreeSet<Field> = why.iter().map(|(field, _)| *field).collect();
    use Field::{Chosen, Client, Due, InEach, KeepBack, Mould, Name, Pigment, Place, Since, Stones, Tag};
    let all = [
        Client,
        Name,
        Field::Material,
        Due,
        Since,
        Tag,
        KeepBack,
        Place,
        Stones,
        Chosen,
        Mould,
        Pigment,
        InEach,
    ];
    assert_eq!(fields, std::collections::BTreeSet::from(all));
    assert!(why.iter().all(|(_, words)| !words.is_empty() && !words.ends_with('.')));
    let said = |field| &why.iter().find(|(of, _)| *of == field).unwrap().1;
    assert!(said(Place).contains("Drawer 3, The tin"), "{}", said(Place));
    assert!(said(Since).contains("still to come"));
}

#[test]
fn a_row_that_does_not_hold_together_is_refused_at_its_field() {
    let field = |row: Row| wrong(&row).iter().map(|(field, _)| *field).collect::<Vec<_>>();
    assert_eq!(field(Row { chosen: "4".to_owned(), ..row(Stage::Chosen) }), [Field::Chosen]);
    assert_eq!(field(Row { in_each: "a quarter".to_owned(), ..row(Stage::Made) }), [Field::InEach]);
    assert_eq!(field(Row { place: String::new(), ..row(Stage::Here) }), [Field::Place]);
    assert_eq!(field(Row { stones: "0".to_owned(), ..row(Stage::Made) }), [Field::Stones]);
    // What is not asked for yet is not looked at, and one stone needs no choosing.
    assert!(
        edits(
            &studio(),
            &Row { place: String::new(), stones: "?".to_owned(), material: None, ..row(Stage::KitSent) },
            at(1)
        )
        .is_ok()
    );
    let (studio, tag) =
        brought(&Row { stones: "one".to_owned(), chosen: String::new(), ..row(Stage::Chosen) });
    assert_eq!(next(studio.order(tag).unwrap()), Next::SetStone { stone: 1 });
}

#[test]
fn a_row_is_taken_whole_or_not_at_all() {
    let mut studio = studio();
    let tag = bring(&mut studio, &row(Stage::Here));
    let check = craft::fact::Check { how: craft::fact::How::Typed, tag };
    let opened = CustodyFact::Opened { thing: Thing::wrapping(1), check };
    studio.apply(Edit::Order(tag, OrderEdit::Fact(opened.into())), at(1)).unwrap();
    let before = studio.clone();
    let other = Row { name: "Fern".to_owned(), ..row(Stage::Made) };
    assert_eq!(check_now(&studio, &other), []);
    let why = edits(&studio, &other, at(1)).unwrap_err();
    assert!(why[0].0 == Field::Stage && why[0].1.contains("is open on the bench; close it"), "{why:?}");
    assert!(studio == before);
    // An empty shelf has no mould, resin, lamp or pigment to name.
    let bare = Studio::new(before.policies().clone());
    let fields: Vec<Field> =
        edits(&bare, &other, at(1)).unwrap_err().into_iter().map(|(field, _)| field).collect();
    assert_eq!(fields, [Field::Mould, Field::Pigment, Field::Stage, Field::Stage]);
}

fn check_now(studio: &Studio, row: &Row) -> Wrong {
    check(studio, row, at(1))
}

#[test]
fn the_tag_on_the_packet_is_kept_and_one_that_is_given_is_not_given_again() {
    let mut studio = studio();
    let typed = Row { tag: "a2b c3h".to_owned(), ..row(Stage::Here) };
    assert_eq!(bring(&mut studio, &typed).to_string(), "A2B-C3H");
    let why = edits(&studio, &typed, at(1)).unwrap_err();
    assert_eq!(why[0].0, Field::Tag);
    let taken = (0..Tag::NUMBERS)
        .find(|no| Tag::from_number(*no).is_some_and(|tag| tag.to_string() == "A2B-C3H"))
        .unwrap();
    let fresh = fresh_tag(&studio, || taken).unwrap();
    assert_ne!(fresh.to_string(), "A2B-C3H");
    studio.lock(DocId::Order(fresh), "torn".to_owned());
    let again = fresh_tag(&studio, || taken).unwrap();
    assert_ne!(again, fresh, "a file that could not be read keeps its tag");
    assert!(fresh_tag(&studio, || u32::MAX).is_some());
}

#[test]
fn twenty_rows_come_in_one_after_the_other() {
    let mut studio = studio();
    for no in 0..20 {
        let stage = Stage::ALL[no % Stage::ALL.len()];
        let row = Row { client: format!("Client {}", no % 7), name: format!("Name {no}"), ..row(stage) };
        bring(&mut studio, &row);
    }
    assert_eq!((studio.orders().len(), studio.clients().len()), (20, 7));
    assert_eq!(studio.findings(), []);
}

#[test]
fn a_new_enquiry_needs_a_name_and_no_more() {
    let mut studio = studio();
    for (name, client) in [("Bramble", ""), ("", "Ida Lund"), ("Fern", "ida lund")] {
        for edit in new_order(&studio, name, client, at(1)).unwrap() {
            studio.apply(edit, at(1)).unwrap();
        }
    }
    let rows = board(&studio, at(1)).rows;
    let mut names: Vec<(&str, &str)> =
        rows.iter().map(|row| (row.name.as_str(), row.client.as_str())).collect();
    names.sort_unstable();
    assert_eq!(
        names,
        [("Bramble", "Who asked for Bramble"), ("Fern", "Ida Lund"), ("Someone of Ida Lund", "Ida Lund")]
    );
    assert!(rows.iter().all(|row| row.action == "answer the enquiry"));
    assert_eq!(new_order(&studio, " ", "", at(1)).unwrap_err()[0].0, Field::Name);
    assert_eq!(new_order(&studio, &"x".repeat(201), "", at(1)).unwrap_err()[0].0, Field::Name);
    assert!(new_order(&studio, "a\u{202e}b", "", at(1)).is_err());
}
