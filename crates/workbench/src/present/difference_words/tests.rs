use craft::client::{Permission, WriteWhen};
use craft::cure::{Button, Factor, PigmentClass, Provenance, Resin};
use craft::digest::Digest;
use craft::fact::{ClientFact, LayerKind};
use craft::hiding::Card;
use craft::id::{DocId, Thing};
use craft::money::{Currency, Money};
use craft::order::{
    Dated, Errand, ErrandKind, LotShare, Occasion, Page, Parcel, ParcelKind, Photo, PhotoKind, Quote, Sheet,
    ThingNote, Words,
};
use craft::planner::{Style, Wishes};
use craft::scale::Tare;
use craft::shelf::{Body, FirstSet, Item, Swatch, What};
use craft::stage::Stage;
use craft::studio::{Edit, OrderEdit};
use craft::units::{Length, Load, Mass, Share, Span};

use super::*;
use crate::keeping::history::taken_back;
use crate::present::sample::{at, bench, day, line};

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
    let item = |was: &Item, is: &Item| items::item(was, is, &bench.studio);
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

/// One change of one field.
type Turn<T> = (&'static str, fn(&mut T));

/// Every change is told of, and nothing that is the same is.
fn each_is_told<T: Clone + PartialEq + std::fmt::Debug>(
    whole: &T,
    turns: &[Turn<T>],
    told: &dyn Fn(&T, &T) -> Vec<String>,
) {
    assert_eq!(told(whole, whole), Vec::<String>::new());
    for (what, turn) in turns {
        let mut other = whole.clone();
        turn(&mut other);
        assert_ne!(other, *whole, "{what}: that is no change");
        for (was, is) in [(whole, &other), (&other, whole)] {
            let said = told(was, is);
            assert_eq!(said.len(), 1, "{what}: {said:?}");
            assert!(!said[0].contains(TOO_SMALL), "{said:?}");
        }
    }
}

#[test]
fn each_setting_and_each_field_of_a_client_is_told_as_it_was_and_as_it_is() {
    let bench = bench(Stage::Asked);
    let turns: &[Turn<Policies>] = &[
        ("studio", |it| it.studio = "another".parse().unwrap()),
        ("name", |it| it.name = line("Another")),
        ("post", |it| it.post = "Elsewhere".parse().unwrap()),
        ("contact", |it| it.contact = line("by post")),
        ("keep_back", |it| it.keep_back = Share::of(1, 7)),
        ("tell_limit", |it| it.tell_limit = Share::of(1, 9)),
        ("scale", |it| {
            it.scale = Some(Scale { readability: Mass::from_mg(7.0), repeatability: Mass::from_mg(3.0) });
        }),
        ("places", |it| it.places.push(line("under the stairs"))),
        ("currency", |it| {
            it.currency = if it.currency == Currency::EUR { Currency::GBP } else { Currency::EUR }
        }),
        ("nudge_days", |it| it.nudge_days += 1),
        ("paper", |it| it.paper = PaperSize::Letter),
        ("handling", |it| it.handling.cool = it.handling.cool + Span::from_s(1.0)),
        ("heat_words", |it| it.heat_words = line("keep it cool")),
        ("bench_clear", |it| it.bench_clear = !it.bench_clear),
        ("money_years", |it| it.money_years = Some(11)),
    ];
    let doc = |it: &Policies| Doc::Policies(Box::new(it.clone()));
    each_is_told(bench.studio.policies(), turns, &|was, is| differences(&doc(was), &doc(is), &bench.studio));
    let turns: &[Turn<Client>] = &[
        ("name", |it| it.name = line("Another")),
        ("post", |it| it.post = "Elsewhere".parse().unwrap()),
        ("country", |it| it.country = line("Norway")),
        ("contact", |it| it.contact = line("by post")),
        ("may_show", |it| it.may_show = Permission::Given(day(2020, 1, 2))),
        ("may_teach", |it| it.may_teach = Permission::Given(day(2020, 1, 2))),
        ("write_when", |it| it.write_when = WriteWhen::NotAtHome),
        ("note", |it| it.note = "a note".parse().unwrap()),
    ];
    let (id, known) = bench.studio.clients().iter().next().unwrap();
    let doc = |it: &Client| Doc::Client(id.clone(), Box::new(it.clone()));
    each_is_told(known, turns, &|was, is| differences(&doc(was), &doc(is), &bench.studio));
}

macro_rules! of {
    ($turns:ident, $kind:ident, $($what:literal: |$it:ident| $turn:expr;)+) => {
        $turns.extend([$(($what, (|item| {
            if let What::$kind($it) = &mut item.what { $turn; }
        }) as fn(&mut Item))),+])
    };
}

fn turns_of(item: &Item) -> Vec<Turn<Item>> {
    let turns: [Turn<Item>; 3] = [
        ("name", |it| it.name = line("Another")),
        ("retired", |it| it.retired = !it.retired),
        ("note", |it| it.note = "a note".parse().unwrap()),
    ];
    let mut turns = Vec::from(turns);
    match &item.what {
        What::Resin(_) => of!(turns, Resin,
            "penetration": |it| it.resin = Resin::new(Length::from_mm(3.7), it.resin.provenance).unwrap();
            "provenance": |it| it.resin.provenance = Provenance::Tested(day(2020, 1, 2));
            "opened": |it| it.opened = Some(day(2020, 1, 2));
            "first_sets": |it| it.first_sets.push(FirstSet {
                lamp: "some-lamp".parse().unwrap(),
                button: 1,
                seconds: Span::from_s(5.0),
                provenance: Provenance::Practised,
            });
        ),
        What::Pigment(_) => turns.extend(turns_of_a_pigment()),
        What::Lamp(_) => of!(turns, Lamp,
            "buttons": |it| it.buttons.push(Button::new("low", Span::from_s(99.0), Span::from_s(60.0)).unwrap());
        ),
        What::Mould(_) => of!(turns, Mould,
            "cells": |it| it.cells.push("Z9".parse().unwrap());
            "body": |it| it.body =
                if it.body == Body::Opaque { Body::LetsLightIn } else { Body::Opaque };
        ),
        What::Setting(_) => of!(turns, Setting,
            "kind": |it| it.kind = line("another kind");
            "wall": |it| it.wall = it.wall + Length::from_mm(0.1);
            "metal": |it| it.metal = line("another metal");
        ),
        What::Scale(_) => of!(turns, Scale,
            "readability": |it| it.scale.readability = it.scale.readability + Mass::from_mg(0.1);
            "repeatability": |it| it.scale.repeatability = it.scale.repeatability + Mass::from_mg(0.1);
            "most": |it| it.most = Some(Mass::from_mg(77_000.0));
            "tare": |it| it.tare = Tare::Packet { shown: Mass::from_mg(777.0) };
        ),
    }
    turns
}

fn turns_of_a_pigment() -> Vec<Turn<Item>> {
    let mut turns: Vec<Turn<Item>> = Vec::new();
    of!(turns, Pigment,
        "class": |it| it.mix.class =
            if it.mix.class == PigmentClass::Black { PigmentClass::Dye } else { PigmentClass::Black };
        "absorption": |it| it.mix.absorption = Factor::new(7.7).unwrap();
        "km_absorption": |it| it.mix.km_absorption = Factor::new(7.7).unwrap();
        "km_scatter": |it| it.mix.km_scatter = Factor::new(7.7).unwrap();
        "ceiling": |it| it.mix.ceiling = it.mix.ceiling + Load::from_percent(0.1);
        "hiding": |it| it.mix.hiding = Factor::new(7.7).unwrap();
        "least": |it| it.mix.least = it.mix.least + Load::from_percent(0.01);
        "most": |it| it.mix.most = it.mix.most + Load::from_percent(0.01);
        "step": |it| it.mix.step = it.mix.step + Load::from_percent(0.01);
        "thinnest": |it| it.mix.thinnest = it.mix.thinnest + Length::from_mm(0.1);
        "thickest": |it| it.mix.thickest = it.mix.thickest + Length::from_mm(0.1);
        "provenance": |it| it.mix.provenance = Provenance::Tested(day(2020, 1, 2));
        "colour": |it| it.colour.1 = it.colour.1.wrapping_add(1);
        "swatches": |it| it.swatches.push(Swatch { scoops: 1, drops: 2, photo: None, came_out: line("pale"), load: None });
        "cards": |it| it.cards.push(Card {
            on: day(2020, 1, 2),
            load: Load::from_percent(0.5),
            steps: Vec::new(),
        });
    );
    turns
}

#[test]
fn each_value_of_every_item_of_the_starter_shelf_is_told_as_it_was_and_as_it_is() {
    let bench = bench(Stage::Asked);
    let mut kinds = Vec::new();
    let shelf = crate::starter::shelf();
    let own = bench.studio.shelf().iter().map(|(id, item)| (id.clone(), item.clone()));
    for (id, item) in shelf.into_iter().chain(own) {
        let kind = std::mem::discriminant(&item.what);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
        let doc = |it: &Item| Doc::Shelf(id.clone(), Box::new(it.clone()));
        each_is_told(&item, &turns_of(&item), &|was, is| differences(&doc(was), &doc(is), &bench.studio));
    }
    assert!(kinds.len() >= 4, "{kinds:?}");
}

const TURNS: &[Turn<Sheet>] = &[
    ("name", |it| it.remembered.name = line("Another")),
    ("about", |it| it.remembered.about = line("a cat")),
    ("spelling", |it| it.remembered.spelling_confirmed = !it.remembered.spelling_confirmed),
    ("dates", |it| it.remembered.dates.push(Dated { what: line("born"), on: day(2020, 1, 2) })),
    ("never_say", |it| it.remembered.never_say.push(line("loss"))),
    ("wishes", |it| it.wishes = "another wish".parse().unwrap()),
    ("due", |it| it.due = Some(day(2031, 1, 2))),
    ("occasion", |it| it.occasion = Occasion::Surprise),
    ("quote", |it| it.quote = None),
    ("total", |it| quote(it).total.minor += 100),
    ("deposit", |it| quote(it).deposit.minor += 100),
    ("deposit_paid", |it| quote(it).deposit_paid = Some(day(2020, 1, 2))),
    ("note on the price", |it| quote(it).note = line("in two parts")),
    ("setting", |it| it.setting = Some("another-setting".parse().unwrap())),
    ("ring", |it| it.ring = line("UK Z")),
    ("description", |it| it.things[0].description = line("otherwise")),
    ("things", |it| it.things.truncate(1)),
    ("mould", |it| it.stones[0].mould = "another-mould".parse().unwrap()),
    ("cell", |it| it.stones[0].cell = "Z9".parse().unwrap()),
    ("resin", |it| it.stones[0].resin = "another-resin".parse().unwrap()),
    ("lamp", |it| it.stones[0].lamp = "another-lamp".parse().unwrap()),
    ("pigment", |it| it.stones[0].pigment = "another-pigment".parse().unwrap()),
    ("style", |it| {
        let style = &mut it.stones[0].style;
        *style = if *style == Style::Quick { Style::Even } else { Style::Quick };
    }),
    ("face", |it| it.stones[0].face = it.stones[0].face + Length::from_mm(0.1)),
    ("shares", |it| it.stones[0].shares.push(LotShare { lot: 9, part: Share::of(1, 8) })),
    ("top", |it| {
        let top = &mut it.stones[0].top;
        *top = if *top == LayerKind::TopGloss { LayerKind::TopSatin } else { LayerKind::TopGloss };
    }),
    ("plan", |it| it.stones[0].plan = None),
    ("layers", |it| drop(it.stones[0].plan.as_mut().unwrap().layers.pop())),
    ("seconds", |it| {
        let layer = &mut it.stones[0].plan.as_mut().unwrap().layers[0];
        layer.seconds = layer.seconds + Span::from_s(1.0);
    }),
    ("caption", |it| it.stones[0].caption = line("the first one")),
    ("presses", |it| it.stones[0].wishes = Wishes { presses: 3, ..it.stones[0].wishes.clone() }),
    ("stones", |it| it.stones.clear()),
    ("errands", |it| it.errands.truncate(1)),
    ("errand", |it| it.errands[1].who = line("the other engraver")),
    ("photos", |it| it.photos.truncate(1)),
    ("caption of a photo", |it| it.photos[0].caption = line("from the other side")),
    ("parcels", |it| it.parcels.truncate(1)),
    ("parcel", |it| it.parcels[0].tracking = line("XY 7")),
];

fn quote(sheet: &mut Sheet) -> &mut Quote {
    sheet.quote.as_mut().unwrap()
}

/// A sheet with at least one of everything.
fn full(mut sheet: Sheet) -> Sheet {
    let currency = Currency::EUR;
    let (total, deposit) = (Money { minor: 10_000, currency }, Money { minor: 5_000, currency });
    sheet.quote = Some(Quote { total, deposit, deposit_paid: None, note: line("") });
    let note = |no| ThingNote { thing: Thing::envelope(no), description: line("fur") };
    sheet.things = vec![note(7), note(8)];
    let errand =
        |kind| Errand { kind, what: line(""), who: line(""), asked: None, expected: None, back: None };
    sheet.errands = vec![errand(ErrandKind::Setting), errand(ErrandKind::Engraving)];
    let photo = |bytes| Photo {
        original: Digest::of(bytes),
        kind: PhotoKind::Jpeg,
        of: None,
        caption: line("as it came"),
    };
    sheet.photos = vec![photo(b"one"), photo(b"two")];
    let parcel = |kind| Parcel { kind, carrier: line("the post"), tracking: line("XY 1"), insured: None };
    sheet.parcels = vec![parcel(ParcelKind::Kit), parcel(ParcelKind::Home)];
    sheet.stones.truncate(1);
    sheet
}

#[test]
fn each_field_of_a_sheet_is_told_and_whatever_taking_back_would_change_has_a_sentence() {
    let mut bench = bench(Stage::Made);
    let now = bench.studio.order(bench.tag).unwrap().order.clone();
    let now = Order { sheet: full(now.sheet.clone()), ..now };
    assert!(now.sheet.stones[0].plan.is_some());
    let with = |sheet: &Sheet| Doc::Order(Box::new(Order { sheet: sheet.clone(), ..now.clone() }));
    let studio = bench.studio.clone();
    each_is_told(&now.sheet, TURNS, &|was, is| differences(&with(was), &with(is), &studio));
    // Orders of lists count too, and what is not shown by its value.
    let hidden: &[Turn<Sheet>] = &[
        ("order of photos", |it| it.photos.reverse()),
        ("kind of a photo", |it| it.photos[0].kind = PhotoKind::Png),
        ("order of things", |it| it.things.reverse()),
        ("an empty description", |it| {
            it.things.push(ThingNote { thing: Thing::envelope(9), description: line("") });
        }),
        ("what a plan rests on", |it| it.stones[0].plan.as_mut().unwrap().lights.clear()),
    ];
    bench.studio.take(with(&now.sheet)).unwrap();
    for (what, turn) in TURNS.iter().chain(hidden) {
        let mut sheet = now.sheet.clone();
        turn(&mut sheet);
        let earlier = with(&sheet);
        let Ok(back) = taken_back(&bench.studio, earlier.clone(), at(0)) else { continue };
        let here = bench.studio.doc(&DocId::Order(bench.tag)).unwrap();
        if back != here {
            assert!(!differences(&earlier, &here, &bench.studio).is_empty(), "{what}");
        }
    }
}
