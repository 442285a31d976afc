use chrono::NaiveDate;
use craft::cure::{Button, Light, PigmentClass, Provenance};
use craft::geometry::{Dome, Outline};
use craft::money::Currency;
use craft::policies::Policies;
use craft::shelf::{Body, Item, What};
use craft::studio::{Doc, Edit, ShelfEdit, Studio};
use craft::units::{Length, Load, Mass, Share, Span};

use super::cells::cells;
use super::fields::GUESSED_FIRST_SET;
use super::number::decimal_micro;
use super::*;
use crate::present::sample::{at, line};

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

fn house() -> Policies {
    Policies::new("test".parse().unwrap(), line("Test"), Currency::EUR)
}

fn studio() -> Studio {
    let mut studio = Studio::new(house());
    for (id, item) in crate::starter::shelf() {
        studio.take(Doc::Shelf(id, Box::new(item))).unwrap();
    }
    studio
}

fn item(id: &str) -> Item {
    studio().shelf()[&id.parse::<ShelfId>().unwrap()].clone()
}

fn typed(item: &Item, field: &Field, text: &str) -> Result<Item, String> {
    put(item, field, text, today()).map(|typed| typed.value)
}

/// Every field that an item of a kind has.
fn fields(kind: Kind) -> Vec<Field> {
    match kind {
        Kind::Resin => {
            vec![Field::HardensDeep, Field::FirstSets("small-lamp".parse().unwrap(), 1)]
        }
        Kind::Pigment => vec![
            Field::Takes,
            Field::HidesAt,
            Field::Ceiling,
            Field::Least,
            Field::Most,
            Field::Red,
            Field::Green,
            Field::Blue,
        ],
        Kind::Lamp => vec![Field::ButtonName(0), Field::ButtonLit(0), Field::ButtonGrows(0)],
        Kind::Mould => vec![Field::Size, Field::DomeHeight, Field::WallHeight, Field::Cavities],
        Kind::Setting => vec![Field::SettingKind, Field::Opening, Field::Wall, Field::Metal],
        Kind::Scale => Vec::new(),
    }
}

#[test]
fn a_new_item_of_every_kind_is_let_onto_the_shelf_and_so_is_one_like_it() {
    let mut studio = studio();
    for kind in Kind::ALL {
        let name = name(&studio, kind, None, "  The one by the window ").unwrap().value;
        let new = fresh(kind, name.clone()).unwrap();
        assert_eq!(Kind::of(&new.what), kind);
        let id = new_id(&studio, &name).unwrap();
        studio.apply(Edit::Shelf(id.clone(), ShelfEdit::Put(Box::new(new.clone()))), at(0)).unwrap();
        let other = like(&new, line("Another"), today());
        let other_id = new_id(&studio, &other.name).unwrap();
        assert_ne!(id, other_id);
        studio.apply(Edit::Shelf(other_id, ShelfEdit::Put(Box::new(other))), at(0)).unwrap();
    }
}

#[test]
fn every_field_reads_back_what_it_says() {
    for item in studio().shelf().values() {
        for field in fields(Kind::of(&item.what)) {
            let words = said(item, &field);
            if words.is_empty() || matches!(field, Field::FirstSets(..)) {
                continue;
            }
            let again = typed(item, &field, &words).unwrap_or_else(|why| panic!("{field:?} {words}: {why}"));
            assert_eq!(said(&again, &field), words, "{field:?} of {}", item.name);
        }
    }
}

#[test]
fn nothing_unreadable_is_taken_and_each_refusal_says_what_would_be_right() {
    let wrong = ["banana", "-3", "", "1e9", "99999999999999"];
    for item in studio().shelf().values() {
        for field in fields(Kind::of(&item.what)) {
            let words = matches!(field, Field::ButtonName(_) | Field::SettingKind | Field::Metal);
            // "1E9" is a mark like another.
            let fits = |text: &str| field == Field::Cavities && text == "1e9";
            for text in wrong.into_iter().filter(|text| !words && !fits(text)) {
                let why = typed(item, &field, text).expect_err(&format!("{field:?} took {text:?}"));
                assert!(!why.ends_with('.') && why.len() > 8, "{field:?} {text:?}: {why}");
            }
        }
    }
}

#[test]
fn a_comma_is_as_good_as_a_point() {
    let resin = item("clear-casting");
    for text in ["1,4", "1.4 mm", "1,40 mm"] {
        let What::Resin(bottle) = typed(&resin, &Field::HardensDeep, text).unwrap().what else { panic!() };
        assert_eq!(bottle.resin.penetration(), Length::from_mm(1.4));
    }
    let sage = item("sage");
    for text in ["1,5 %", "1.5", "1.50%"] {
        let What::Pigment(pigment) = typed(&sage, &Field::Ceiling, text).unwrap().what else { panic!() };
        assert_eq!(pigment.mix.ceiling, Load::from_percent(1.5));
        assert_eq!(
            pigment.mix.most,
            Load::from_percent(1.5),
            "no more is planned with than is good for the resin"
        );
    }
    assert_eq!(decimal_micro("0,68"), Some(680_000));
    assert_eq!(decimal_micro(".5"), Some(500_000));
    assert_eq!(
        [decimal_micro("1.2.3"), decimal_micro(""), decimal_micro("."), decimal_micro("1 2")],
        [None; 4]
    );
}

#[test]
fn what_is_typed_over_a_guess_is_no_guess_any_more() {
    let resin = item("clear-casting");
    let (lamp, depth) = ("small-lamp".parse::<ShelfId>().unwrap(), Value::Depth);
    assert_eq!(backing(&resin, &depth).unwrap().0, Backing::Guess);
    let typed_in = typed(&resin, &Field::HardensDeep, "1.2 mm").unwrap();
    assert_eq!(backing(&typed_in, &depth).unwrap().0, Backing::Practice);
    let tested = with_backing(&typed_in, &depth, Backing::Test, today());
    assert_eq!(backing(&tested, &depth).unwrap().1, Provenance::Tested(today()));
    let earlier = typed(&tested, &Field::TestedOn(depth.clone()), "3 November").unwrap();
    assert_eq!(said(&earlier, &Field::TestedOn(depth.clone())), "3 November 2026");
    // A new number is not that test's any more.
    let retyped = typed(&earlier, &Field::HardensDeep, "1.3 mm").unwrap();
    assert_eq!(backing(&retyped, &depth).unwrap().0, Backing::Practice);

    let sets = Value::FirstSets(lamp.clone(), 2);
    let tried = typed(&resin, &Field::FirstSets(lamp.clone(), 2), "1,5 s").unwrap();
    assert_eq!(said(&tried, &Field::FirstSets(lamp.clone(), 2)), "1.5 s");
    assert_eq!(said(&tried, &Field::FirstSets(lamp, 1)), "1 s", "the other buttons stay a guess");
    assert_eq!(backing(&tried, &sets).unwrap().0, Backing::Practice);
}

#[test]
fn the_guess_that_is_shown_is_the_one_that_is_planned_with() {
    let button = Button::new("60 s", Span::from_s(60.0), Span::ZERO).unwrap();
    assert_eq!(Light::typical(button).first_set(), GUESSED_FIRST_SET);
}

#[test]
fn a_test_still_to_come_is_refused() {
    let why = typed(&item("clear-casting"), &Field::TestedOn(Value::Depth), "1 December 2027").unwrap_err();
    assert!(why.contains("still to come"), "{why}");
}

#[test]
fn a_size_is_round_with_one_length_and_oval_with_two() {
    let mould = item("oval-14x10");
    let outline = |text: &str| {
        let What::Mould(mould) = typed(&mould, &Field::Size, text).unwrap().what else { panic!() };
        mould.cavity.outline()
    };
    let mm = Length::from_mm;
    assert_eq!(outline("12,5"), Outline::Round { diameter: mm(12.5) });
    assert_eq!(outline("12 x 9,5 mm"), Outline::Oval { length: mm(12.0), width: mm(9.5) });
    assert_eq!(outline("12 × 12"), Outline::Round { diameter: mm(12.0) });
    let why = typed(&mould, &Field::Size, "9 x 12").unwrap_err();
    assert!(why.contains("9 mm") && why.contains("12 mm"), "{why}");
    // A circular dome of 3 mm is no lower than half of 5 mm: the field says so, and nothing changes.
    assert!(typed(&mould, &Field::Size, "5").is_err());
}

#[test]
fn a_dome_comes_and_goes_with_its_height() {
    let mould = item("oval-14x10");
    let flat = with_dome(&mould, Dome::Flat).unwrap();
    assert_eq!(said(&flat, &Field::DomeHeight), "0 mm");
    let again = with_dome(&flat, Dome::HalfEllipse).unwrap();
    assert_eq!(said(&again, &Field::DomeHeight), "2.5 mm");
    let round = with_form(&mould, Form::Round).unwrap();
    assert_eq!(said(&round, &Field::Size), "10 mm");
    assert_eq!(said(&with_form(&round, Form::Oval).unwrap(), &Field::Size), "12.5 × 10 mm");
    let What::Mould(dark) = with_body(&mould, Body::Opaque).unwrap().what else { panic!() };
    assert_eq!(dark.body, Body::Opaque);
    assert!(with_body(&item("sage"), Body::Opaque).is_err());
}

#[test]
fn cavities_are_typed_one_by_one_or_in_runs() {
    let marks =
        |text: &str| cells(text).map(|cells| cells.iter().map(ToString::to_string).collect::<Vec<_>>());
    assert_eq!(marks("a1, a2 B1").unwrap(), ["A1", "A2", "B1"]);
    assert_eq!(marks("A1–A3").unwrap(), ["A1", "A2", "A3"]);
    assert_eq!(marks("a1 - b2, C1").unwrap(), ["A1", "A2", "B1", "B2", "C1"]);
    assert!(marks("A3-A1").unwrap_err().contains("A1–A6"));
    assert!(marks("A1-Z99").unwrap_err().contains("look for a slip"));
    let twice = typed(&item("oval-14x10"), &Field::Cavities, "A1, A1").unwrap_err();
    assert!(twice.contains("two cavities are marked A1"), "{twice}");
    assert!(typed(&item("oval-14x10"), &Field::Cavities, "").unwrap_err().contains("at least one cavity"));
}

#[test]
fn a_lamp_takes_new_buttons_at_its_end_and_no_two_of_one_name() {
    let lamp = item("small-lamp");
    let more = with_another_button(&with_another_button(&lamp).unwrap()).unwrap();
    assert_eq!(
        (said(&more, &Field::ButtonName(3)), said(&more, &Field::ButtonName(4))),
        ("button 4".into(), "button 5".into())
    );
    assert!(typed(&more, &Field::ButtonName(3), "60 s").unwrap_err().contains("another button"));
    let named = typed(&more, &Field::ButtonName(3), "30 s").unwrap();
    let named = typed(&named, &Field::ButtonLit(3), "0:30").unwrap();
    assert_eq!(said(&named, &Field::ButtonLit(3)), "30 s");
    assert!(typed(&named, &Field::ButtonLit(3), "0").is_err());
    // The door takes it, since no button moved.
    let mut studio = studio();
    studio.apply(Edit::Shelf("small-lamp".parse().unwrap(), ShelfEdit::Put(Box::new(named))), at(0)).unwrap();
}

#[test]
fn a_button_named_after_its_seconds_follows_them_and_a_name_of_the_makers_own_stays() {
    let lamp = item("small-lamp");
    let names = |lamp: &Item| (0..3).map(|at| said(lamp, &Field::ButtonName(at))).collect::<Vec<_>>();
    let first = names(&lamp);
    let lit = typed(&lamp, &Field::ButtonLit(0), "45 s").unwrap();
    assert_eq!(names(&lit)[0], "45 s");
    assert_eq!(names(&lit)[1..], first[1..], "the others stay");
    let low = names(&lamp).iter().position(|name| name.contains("low heat")).unwrap();
    let slow = typed(&lamp, &Field::ButtonLit(low), "1:30").unwrap();
    assert_eq!(names(&slow)[low], first[low].replace("99 s", "90 s"));
    let own = typed(&lamp, &Field::ButtonName(0), "the left one, 60 s").unwrap();
    let own = typed(&own, &Field::ButtonLit(0), "45 s").unwrap();
    assert_eq!(names(&own)[0], "the left one, 60 s");
    // How long the light grows is no part of the name; nor does a name become another button's.
    assert_eq!(names(&typed(&lamp, &Field::ButtonGrows(0), "5 s").unwrap()), first);
    let same = typed(&lamp, &Field::ButtonLit(0), &said(&lamp, &Field::ButtonLit(2))).unwrap();
    assert_eq!(names(&same), first);
}

#[test]
fn a_pigment_of_another_class_takes_over_its_guess() {
    let sage = typed(&item("sage"), &Field::Takes, "3,1").unwrap();
    let dye = with_class(&sage, PigmentClass::Dye).unwrap();
    assert_eq!((said(&dye, &Field::Takes), said(&dye, &Field::HidesAt)), ("1.5".into(), "0".into()));
    assert_eq!(backing(&dye, &Value::Mix).unwrap().0, Backing::Guess);
    for class in PigmentClass::ALL {
        assert_eq!(with_class(&sage, class).unwrap().check(), Ok(()), "{class:?}");
    }
}

#[test]
fn the_swatch_book_takes_what_was_tried() {
    let book = with_another_swatch(&item("sage"), (1, 20)).unwrap();
    let words = [Field::Scoops(0), Field::Drops(0)].map(|field| said(&book, &field));
    assert_eq!(words, ["1", "20"], "nothing is filled in that nobody said");
    assert!(with_another_swatch(&item("sage"), (0, 20)).is_err());
    let book = typed(&book, &Field::Scoops(0), "2 scoops").unwrap();
    let book = typed(&book, &Field::Drops(0), "15 drops").unwrap();
    let book = typed(&book, &Field::CameOut(0), "like moss").unwrap();
    let words = [Field::Scoops(0), Field::Drops(0), Field::CameOut(0)].map(|field| said(&book, &field));
    assert_eq!(words, ["2", "15", "like moss"]);
    assert!(typed(&book, &Field::Scoops(0), "0").is_err());
    assert!(typed(&book, &Field::Scoops(1), "1").is_err(), "there is no second one");
    assert_eq!(without_swatch(&book, 0).unwrap(), item("sage"));
    assert!(without_swatch(&book, 1).is_err());
}

#[test]
fn a_name_is_taken_once_in_its_kind() {
    let studio = studio();
    assert!(name(&studio, Kind::Lamp, None, "small LAMP").unwrap_err().contains("already"));
    assert!(name(&studio, Kind::Mould, None, "Small lamp").is_ok(), "a mould may be called so");
    assert!(name(&studio, Kind::Lamp, None, "  ").unwrap_err().contains("name"));
    let own = "small-lamp".parse::<ShelfId>().unwrap();
    assert!(
        renamed(&studio, &own, &item("small-lamp"), "Small Lamp").is_ok(),
        "it may change its own letters"
    );
}

#[test]
fn every_name_makes_an_id() {
    let mut studio = studio();
    for (name, wanted) in [
        ("Émeraude & thyme", "emeraude-thyme"),
        ("12 × 9 mm", "no-12-9-mm"),
        ("銀", "item"),
        ("Small lamp", "small-lamp-2"),
        ("con", "con-2"),
    ] {
        assert_eq!(new_id(&studio, &line(name)).unwrap().as_str(), wanted, "{name}");
    }
    let long = "a long name that goes on and on and on and on and on".repeat(2);
    assert!(new_id(&studio, &line(&long)).is_ok());
    // A file that could not be read has its id too.
    studio.lock(craft::id::DocId::Shelf("walnut".parse().unwrap()), "it is broken".to_owned());
    assert_eq!(new_id(&studio, &line("Walnut")).unwrap().as_str(), "walnut-2");
}

#[test]
fn the_settings_read_back_what_they_say_and_refuse_what_is_unsound() {
    let mut house = with_scale(&house(), true);
    house = with_another_place(&house, "The top drawer").unwrap().value;
    let fields = [
        HouseField::Name,
        HouseField::KeepBack,
        HouseField::TellLimit,
        HouseField::LastDigit,
        HouseField::Spread,
        HouseField::Place(0),
        HouseField::NudgeDays,
        HouseField::Lay,
        HouseField::Settle,
        HouseField::Cool,
    ];
    for field in fields {
        let words = house_said(&house, field);
        let again = house_put(&house, field, &words).unwrap_or_else(|why| panic!("{field:?} {words}: {why}"));
        assert_eq!(again.value, house, "{field:?}: {words}");
    }
    for (field, text) in [
        (HouseField::Name, ""),
        (HouseField::KeepBack, "all"),
        (HouseField::TellLimit, "nothing"),
        (HouseField::LastDigit, "0 mg"),
        (HouseField::LastDigit, "a quarter"),
        (HouseField::NudgeDays, "0"),
        (HouseField::Lay, "1,5 s"),
        (HouseField::Place(1), "a tin"),
    ] {
        let why = house_put(&house, field, text).expect_err(&format!("{field:?} took {text:?}"));
        assert!(!why.is_empty() && !why.ends_with('.'), "{why}");
    }
    assert_eq!(house_put(&house, HouseField::KeepBack, "40 %").unwrap().value.keep_back, Share::of(2, 5));
    assert_eq!(house_put(&house, HouseField::NudgeDays, "10 days").unwrap().value.nudge_days, 10);
}

#[test]
fn a_place_keeps_its_number_and_an_empty_name_takes_it_out_of_use() {
    let house = with_another_place(&house(), "The top drawer").unwrap().value;
    let house = with_another_place(&house, "The tin").unwrap().value;
    let house = house_put(&house, HouseField::Place(0), "").unwrap();
    assert_eq!(house.echo, "not in use");
    assert_eq!(house.value.places, [line(""), line("The tin")]);
    assert!(with_another_place(&house.value, " ").is_err());
}

#[test]
fn a_scale_comes_and_goes() {
    let there = with_scale(&house(), true);
    assert_eq!(there.scale.unwrap().readability, Mass::from_mg(10.0));
    let finer = house_put(&there, HouseField::LastDigit, "0,001 g").unwrap().value;
    assert_eq!(finer.scale.unwrap().readability, Mass::from_mg(1.0));
    assert_eq!(with_scale(&finer, true), finer, "what was typed stays");
    assert_eq!(with_scale(&finer, false).scale, None);
    assert!(house_put(&house(), HouseField::LastDigit, "1 mg").is_err(), "there is no scale");
}

#[test]
fn a_cavity_with_a_stone_in_it_cannot_go_and_the_field_says_whose_it_is() {
    let bench = crate::present::sample::bench(craft::stage::Stage::Here);
    let stone = bench.studio.order(bench.tag).unwrap().order.sheet.stones[0].clone();
    let (id, item) = bench.studio.shelf().get_key_value(&stone.mould).unwrap();
    let tray = crate::present::shelf_words::tray(&bench.studio, id);
    let put = |text: &str| put_on(&tray, item, &Field::Cavities, text, today());
    let why = put("C1-C3").unwrap_err();
    assert!(why.starts_with(&format!("{}: stone ", stone.cell)) && why.contains("keep its cavity"), "{why}");
    let more = format!("{}, C1-C3", said(item, &Field::Cavities));
    assert!(put(&more).is_ok(), "more cavities are welcome");
}
