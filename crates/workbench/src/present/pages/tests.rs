use craft::fact::{Choice, ClientFact, CustodyFact, HomeFact, Material, PourFact};
use craft::id::Thing;
use craft::order::{About, Page, Sheet, Words};
use craft::place::Place;
use craft::stage::Stage;
use craft::studio::{Edit, OrderEdit};
use craft::units::Share;

use super::*;
use crate::present::sample::{Bench, at, bench, line, sheet};

fn view(bench: &Bench, which: Page) -> PageView {
    page(&bench.studio, bench.tag, which, bench.now()).unwrap()
}

fn known(view: &PageView, label: &str) -> String {
    let found = view.known.iter().find(|line| line.label == label);
    found.map_or_else(|| panic!("no {label} in {:?}", view.known), |line| line.words.clone())
}

fn misses(view: &PageView) -> Vec<&str> {
    view.missing.iter().map(|missing| missing.words.as_str()).collect()
}

#[test]
fn the_brief_says_what_was_asked_and_what_was_not() {
    let view = view(&bench(Stage::Asked), Page::Brief);
    assert_eq!(known(&view, "remembered"), "Bramble, chestnut mare, tail hair");
    assert_eq!(known(&view, "promised for"), "12 December");
    assert_eq!(known(&view, "deposit"), "120.00 GBP came on 2 November");
    assert_eq!(known(&view, "never say"), "\"rainbow bridge\"");
    assert_eq!(
        misses(&view),
        ["not asked yet whether it may be taught with, so it may not", "the sending kit is not posted yet",]
    );
    assert!(view.is_here(), "posting the kit is done from here");
}

#[test]
fn a_bare_order_misses_everything_and_says_so_in_clauses() {
    let mut bare = Sheet::default();
    bare.remembered.name =
        line("A very long name of somebody who was loved by very many people over very many years, indeed");
    let bench = Bench::open(bare);
    for which in Page::ALL {
        let view = view(&bench, which);
        assert!(!view.missing.is_empty(), "{which:?}");
        assert!(view.known.iter().all(|line| !line.words.is_empty()), "{which:?}");
        assert!(view.missing.iter().all(|missing| !missing.words.ends_with('.')), "{which:?}");
    }
    assert!(misses(&view(&bench, Page::Brief)).contains(&"no date is promised yet"));
    assert!(known(&view(&bench, Page::Brief), "remembered").starts_with("A very long name"));
}

#[test]
fn arrival_wants_photo_amount_and_keep_back_of_each_thing() {
    let mut bare = sheet();
    (bare.things, bare.photos) = (Vec::new(), Vec::new());
    let mut bench = Bench::open(bare);
    let place = Place::Kept(1);
    bench.record(CustodyFact::Received {
        lot: 1,
        material: Material::Ashes,
        seal: None,
        place,
        photo: None,
        keep_back: Share::of(1, 3),
    });
    let view = view(&bench, Page::Arrival);
    assert_eq!(
        misses(&view),
        [
            "wrapping 1 has neither a photo nor a description",
            "nobody has said how much there was of the ashes, by scale or by eye",
            "the keep-back of the ashes is not in its envelope yet: a third was agreed",
        ]
    );
    assert_eq!(view.main.words, "put the keep-back in its envelope");
}

#[test]
fn a_full_arrival_misses_nothing() {
    let view = view(&bench(Stage::Here), Page::Arrival);
    assert_eq!(misses(&view), Vec::<&str>::new());
    assert_eq!(known(&view, "envelope 1, the keep-back"), "a third of the hair, seal 13, drawer 3");
    assert_eq!(known(&view, "keep-back"), "a third of the hair, envelope 1");
}

#[test]
fn a_plan_says_when_the_stones_want_more_than_there_is() {
    let mut greedy = sheet();
    greedy.stones[0].shares[0].part = Share::of(9, 10);
    let mut bench = Bench::open(greedy);
    bench.receive(1, Material::Hair);
    let short = view(&bench, Page::Plan);
    assert_eq!(
        misses(&short),
        ["the stones want 95 % of the hair, and two thirds is there beside the keep-back"]
    );
    let fine = view(&crate::present::sample::bench(Stage::Here), Page::Plan);
    assert_eq!(misses(&fine), Vec::<&str>::new());
    assert_eq!(known(&fine, "stone 1"), "oval, 10 × 8 mm, cavity A1 of Oval 10 × 8");
    assert_eq!(known(&fine, "stone 1, holds"), "a twentieth of the hair");
}

#[test]
fn pouring_tells_each_layer_as_it_was_laid() {
    let mut bench = bench(Stage::Here);
    bench.begin(1, "A1");
    assert_eq!(
        misses(&view(&bench, Page::Pour)),
        ["stone 2 is not begun yet", "layer 1 of stone 1 has not been under the lamp"]
    );
    bench.light(1);
    let lit = view(&bench, Page::Pour);
    assert_eq!(
        known(&lit, "stone 1, layer 1"),
        "material, 1.5 mm, 3 drops of Clear casting resin, waited 5:00, 99 of 99 s under The white lamp, button 2"
    );
    assert!(misses(&lit).contains(&"nobody has felt layer 1 of stone 1: hard, tacky or soft?"));
    bench.record(PourFact::TakenOut { stone: 1, place: Place::Bench });
    assert!(
        misses(&view(&bench, Page::Pour)).contains(&"no bag of offcuts is kept yet: trimmings go home too")
    );
}

#[test]
fn showing_wants_a_photo_of_each_stone() {
    let mut bare = sheet();
    bare.photos.retain(|photo| photo.of == Some(Thing::stone(1)));
    let mut bench = bench(Stage::Made);
    let edit = OrderEdit::Sheet(Box::new(bare));
    bench.studio.apply(Edit::Order(bench.tag, edit), at(9_000)).unwrap();
    let view = view(&bench, Page::Show);
    assert_eq!(known(&view, "stone 1"), "photo kept as taken, on grey cloth");
    assert_eq!(
        misses(&view),
        ["stone 2 has no photo yet", "no proof sheet is issued yet", "the proof is not sent yet"]
    );
}

#[test]
fn choosing_keeps_the_clients_own_words() {
    let mut bench = bench(Stage::Chosen);
    assert_eq!(misses(&view(&bench, Page::Choose)), ["the client's own words are not written down"]);
    let entry = bench.studio.order(bench.tag).unwrap().order.log.len();
    let words =
        Words { about: About::Entry(entry), text: "The first one, it has the light in it.".parse().unwrap() };
    bench.studio.apply(Edit::Order(bench.tag, OrderEdit::Story(words)), bench.now()).unwrap();
    let view = view(&bench, Page::Choose);
    assert_eq!(known(&view, "the answer"), "stone 1, on 25 November");
    assert_eq!(known(&view, "in the client's words"), "\"The first one, it has the light in it.\"");
    assert!(view.missing.is_empty());
}

#[test]
fn none_of_these_opens_another_round() {
    let mut bench = bench(Stage::Shown);
    bench.record(ClientFact::Chosen(Choice::NoneOfThese));
    let view = view(&bench, Page::Choose);
    assert_eq!(known(&view, "the answer"), "none of these: another round is made, on 25 November");
    assert_eq!(view.main.words, "plan the stones");
}

#[test]
fn fitting_says_how_it_sat_and_what_was_done() {
    let view = view(&bench(Stage::Set), Page::Fit);
    assert_eq!(known(&view, "stone 1, measured"), "length 10.02 mm");
    assert_eq!(known(&view, "stone 1, tried"), "stands proud, sits flush");
    assert_eq!(known(&view, "stone 1, worked"), "sanded from the back");
    assert_eq!(
        known(&view, "the engraving"),
        "Bramble, the engraver, asked for on 20 November, back on 24 November"
    );
    assert!(view.missing.is_empty());
}

#[test]
fn packing_names_every_thing_that_is_not_in_the_box() {
    let set = view(&bench(Stage::Set), Page::Pack);
    assert_eq!(
        set.missing.iter().filter(|missing| missing.words.starts_with("not in the box yet")).count(),
        6
    );
    assert!(misses(&set).contains(&"not in the box yet: piece 1 (on the bench)"));
    let packed = view(&bench(Stage::Packed), Page::Pack);
    assert_eq!(misses(&packed), Vec::<&str>::new());
    assert_eq!(known(&packed, "papers issued"), "packing list and care card");
    assert_eq!(known(&packed, "stone 1"), "set into piece 1");
}

#[test]
fn after_waits_for_arrival_and_thanks() {
    let mut bench = bench(Stage::GoneHome);
    assert_eq!(misses(&view(&bench, Page::After)), ["nobody has said yet that it arrived"]);
    bench.record(HomeFact::Arrived);
    bench.record(HomeFact::Fault { thing: Thing::piece(1) });
    let arrived = view(&bench, Page::After);
    assert_eq!(misses(&arrived), ["no word of thanks is noted yet"]);
    assert_eq!(known(&arrived, "fault reported"), "piece 1, on 25 November");
    assert_eq!(arrived.main.words, "it has arrived: say thank you");
    bench.record(ClientFact::Thanked);
    assert!(view(&bench, Page::After).missing.is_empty());
}

#[test]
fn an_order_that_is_not_there_has_no_page() {
    let bench = bench(Stage::Asked);
    let other = Tag::from_number(5).unwrap();
    assert_eq!(page(&bench.studio, other, Page::Brief, at(0)), None);
}
