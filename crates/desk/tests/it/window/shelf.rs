//! The shelf, by the keyboard: looked through, added to, changed, taken out of use.

use std::collections::BTreeMap;

use craft::cure::Provenance;
use craft::id::ShelfId;
use craft::order::{Page, Sheet};
use craft::policies::PaperSize;
use craft::shelf::{Item, What};
use craft::studio::{Edit, OrderEdit};
use craft::units::Length;
use egui::{Key, vec2};
use workbench::action::{Action, Nav};
use workbench::present::labels::shelf as labels;
use workbench::shelving::Kind;

use super::hand::{Hand, SIZES};

fn item(hand: &mut Hand, id: &str) -> Option<Item> {
    let id: ShelfId = id.parse().unwrap();
    hand.window().session().unwrap().view().studio.shelf().get(&id).cloned()
}

/// The whole shelf as it stands.
fn shelf(hand: &mut Hand) -> BTreeMap<ShelfId, Item> {
    hand.window().session().unwrap().view().studio.shelf().clone()
}

/// True where exactly these words stand in a field or beside it.
fn stands_in(hand: &Hand, words: &str) -> bool {
    hand.texts().iter().any(|(_, text)| text == words)
}

fn depth(hand: &mut Hand) -> (Length, Provenance) {
    match item(hand, "clear-casting").unwrap().what {
        What::Resin(bottle) => (bottle.resin.penetration(), bottle.resin.provenance),
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_page_of_the_shelf_is_whole_in_every_size() {
    let mut faults = Vec::new();
    let mut hand = Hand::demo(SIZES[0].1);
    hand.go(Nav::Shelf);
    // In a tall window all of a page is seen at once.
    let tall = [("1280×2400", vec2(1280.0, 2400.0)), ("640×3000", vec2(640.0, 3000.0))];
    for (size, points) in SIZES.into_iter().chain(tall) {
        hand.resize(points);
        for page in Kind::ALL.map(labels::tab).into_iter().chain([labels::STUDIO]) {
            hand.press(page);
            faults.extend(hand.faults().into_iter().map(|fault| format!("{page} at {size}: {fault}")));
            if let Some(kind) = Kind::ALL.into_iter().find(|kind| labels::tab(*kind) == page) {
                hand.press(&labels::add(kind));
                faults
                    .extend(hand.faults().into_iter().map(|fault| format!("new {page} at {size}: {fault}")));
                hand.press(labels::LEAVE);
            }
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn what_cannot_be_read_stays_in_its_field_with_what_would_be_right() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::L);
    assert_eq!(depth(&mut hand), (Length::from_mm(1.0), Provenance::Typical));
    hand.fill(labels::HARDENS, "deep");
    assert!(hand.sees("\"deep\" is not a length"), "{:?}", hand.texts());
    assert!(stands_in(&hand, "deep"), "what was typed stays: {:?}", hand.texts());
    assert_eq!(depth(&mut hand).0, Length::from_mm(1.0), "nothing was changed");
    hand.fill(labels::HARDENS, "1,3");
    assert!(!hand.sees("is not a length") && !stands_in(&hand, "deep"));
    assert_eq!(depth(&mut hand), (Length::from_mm(1.3), Provenance::Practised));
    hand.press(&format!("{}: my own test", labels::BACKING));
    assert!(matches!(depth(&mut hand).1, Provenance::Tested(_)));
    hand.ctrl(Key::Z);
    hand.ctrl(Key::Z);
    assert_eq!(depth(&mut hand), (Length::from_mm(1.0), Provenance::Typical), "and it can be taken back");
}

#[test]
fn the_seconds_of_one_button_are_written_down() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    hand.press(&labels::change_button("120 s", "Small lamp", false));
    hand.fill(&labels::sets_after("120 s", "Small lamp"), "1,5 s");
    let What::Resin(bottle) = item(&mut hand, "clear-casting").unwrap().what else { panic!() };
    let tried: Vec<(String, u8, String)> = bottle
        .first_sets
        .iter()
        .map(|tried| (tried.lamp.to_string(), tried.button, tried.seconds.to_string()))
        .collect();
    assert_eq!(tried, [("small-lamp".to_owned(), 3, "1.5 s".to_owned())]);
    assert!(hand.sees("1.5 s. What works for you."), "{:?}", hand.texts());
}

#[test]
fn a_mould_is_added_from_nothing_and_another_like_it() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::L);
    hand.press("moulds");
    hand.press("add a mould");
    assert_eq!(
        hand.focused().as_deref(),
        Some("What do you call the mould?"),
        "its name is asked for at once"
    );
    hand.write("Round 10 mm");
    hand.key(Key::Enter);
    assert!(hand.sees("There is one called Round 10 mm already"), "{:?}", hand.texts());
    hand.fill("What do you call the mould?", "The deep one");
    hand.press(labels::ADD);
    let made = item(&mut hand, "the-deep-one").expect("it is on the shelf");
    assert_eq!((made.name.as_str(), made.retired), ("The deep one", false));
    hand.fill(labels::SIZE, "12,5 x 9");
    hand.fill(labels::CAVITIES, "a1-b2");
    let What::Mould(mould) = item(&mut hand, "the-deep-one").unwrap().what else { panic!() };
    assert_eq!((mould.cavity.outline().length(), mould.cells.len()), (Length::from_mm(12.5), 4));
    hand.press(labels::LIKE);
    hand.write("The other deep one");
    hand.key(Key::Enter);
    let other = item(&mut hand, "the-other-deep-one").expect("it is on the shelf too");
    assert_eq!(other.what, What::Mould(mould));
}

#[test]
fn what_is_taken_out_of_use_can_be_brought_back_and_is_never_gone() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::L);
    hand.press("settings");
    hand.press(labels::RETIRE);
    assert!(hand.sees(labels::RETIRED) && hand.sees("1 out of use"), "{:?}", hand.texts());
    let id = "pendant-oval-10x8";
    assert!(item(&mut hand, id).unwrap().retired);
    hand.press(labels::BRING_BACK);
    assert!(!item(&mut hand, id).unwrap().retired);
    assert!(!hand.sees("out of use – close"));
}

#[test]
fn the_tray_opens_the_order_of_the_stone_in_a_cavity() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    hand.press("moulds");
    let names = hand.names();
    let stone = names.iter().find(|name| name.contains(": stone ")).cloned();
    let stone = stone.unwrap_or_else(|| panic!("a stone lies or is planned in the first mould: {names:?}"));
    // The cavity cannot go while a stone is meant for it: the field says so, and keeps what was typed.
    let before = shelf(&mut hand);
    hand.fill(labels::CAVITIES, "Z1");
    assert!(hand.sees(&format!("{stone}; keep its cavity")), "{:?}", hand.texts());
    assert!(stands_in(&hand, "Z1"), "{:?}", hand.texts());
    assert_eq!(shelf(&mut hand), before, "no cavity is gone");
    hand.press(&stone);
    let view = hand.window().session().unwrap().view();
    let (cell, said) = stone.split_once(": stone ").unwrap();
    let (no, who) = said.split_once(" of ").unwrap();
    let planned = who.strip_suffix(" is planned");
    let who = planned.or(who.strip_suffix(" lies in it")).unwrap();
    let page = if planned.is_some() { Page::Plan } else { Page::Pour };
    let Nav::Bench(tag, open) = view.nav else { panic!("{:?}", view.nav) };
    let sheet = &view.studio.order(tag).unwrap().order.sheet;
    assert_eq!((sheet.remembered.name.as_str(), open), (who, page));
    assert_eq!(sheet.stone(no.parse().unwrap()).unwrap().cell.as_str(), cell);
}

#[test]
fn the_tray_follows_a_change_of_an_order_at_once() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    hand.press("moulds");
    let planned = |hand: &Hand| {
        hand.names().into_iter().filter(|name| name.ends_with(" is planned")).collect::<Vec<String>>()
    };
    let before = planned(&hand);
    let (cell, said) =
        before.first().expect("a stone is planned in the first mould").split_once(": stone ").unwrap();
    let (no, who) = said.trim_end_matches(" is planned").split_once(" of ").unwrap();
    let no: u8 = no.parse().unwrap();
    let view = hand.window().session().unwrap().view();
    let meant = |sheet: &Sheet| {
        let stone = sheet.stone(no);
        sheet.remembered.name.as_str() == who && stone.is_some_and(|stone| stone.cell.as_str() == cell)
    };
    let held =
        view.studio.orders().values().find(|held| meant(&held.order.sheet)).expect("its order is here");
    let (tag, mut sheet) = (held.order.tag, held.order.sheet.clone());
    sheet.stones.retain(|stone| stone.no != no);
    // No time passes: the change alone says that the orders have to be looked through again.
    hand.act(Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet)))));
    assert_eq!(planned(&hand), before[1..], "it is not planned any more");
}

#[test]
fn a_field_that_is_left_by_a_click_on_a_choice_keeps_its_words_and_the_choice() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    hand.press(labels::STUDIO);
    hand.tab_to(labels::HOUSE_CONTACT);
    hand.write("post@thelma.example");
    hand.click(&format!("{}: {}", labels::PAPER, labels::paper(PaperSize::Letter)));
    let house = hand.window().session().unwrap().view().studio.policies().clone();
    assert_eq!((house.contact.as_str(), house.paper), ("post@thelma.example", PaperSize::Letter));
    // Of an item as well: the depth that was typed, and what stands behind it.
    hand.press(labels::tab(Kind::Resin));
    hand.tab_to(labels::HARDENS);
    hand.write("1.3");
    hand.click(&format!("{}: my own test", labels::BACKING));
    let (deep, backing) = depth(&mut hand);
    assert_eq!(deep, Length::from_mm(1.3));
    assert!(matches!(backing, Provenance::Tested(_)), "{backing:?}");
    assert_eq!(hand.window().session().unwrap().view().notice, None);
}

#[test]
fn the_studio_keeps_its_own_settings_and_says_what_is_unsound() {
    let mut hand = Hand::empty(vec2(1280.0, 800.0));
    hand.ctrl(Key::Comma);
    hand.press("settings of the studio");
    hand.fill(labels::KEEP_BACK, "all");
    assert!(hand.sees("A keep-back is between"), "{:?}", hand.texts());
    hand.fill(labels::KEEP_BACK, "a quarter");
    hand.press(&format!("{}: there is one", labels::SCALE));
    hand.fill(labels::LAST_DIGIT, "0,001 g");
    hand.fill(labels::NEW_PLACE, "the blue tin");
    hand.press(labels::ADD_PLACE);
    let house = hand.window().session().unwrap().view().studio.policies().clone();
    assert_eq!(house.keep_back, craft::units::Share::of(1, 4));
    assert_eq!(house.scale.unwrap().readability, craft::units::Mass::from_mg(1.0));
    assert_eq!(house.places.last().unwrap().as_str(), "the blue tin");
    // An order's records name a place by its number: renaming keeps it.
    let no = house.places.len();
    hand.fill(&labels::place(no), "the green tin");
    let house = hand.window().session().unwrap().view().studio.policies().clone();
    assert_eq!((house.places.len(), house.places[no - 1].as_str()), (no, "the green tin"));
}

#[test]
fn a_swatch_is_written_down_and_a_new_button_comes_at_the_end() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    hand.press("pigments");
    hand.fill(labels::NEW_SCOOPS, "1");
    hand.fill(labels::NEW_DROPS, "15");
    hand.press(labels::ADD_SWATCH);
    hand.fill(&labels::scoops(1), "2");
    hand.fill(&labels::came_out(1), "like wet slate");
    let What::Pigment(pigment) = item(&mut hand, "black").unwrap().what else { panic!() };
    let swatch = &pigment.swatches[0];
    assert_eq!((swatch.scoops, swatch.drops, swatch.came_out.as_str()), (2, 15, "like wet slate"));
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press(&labels::remove_swatch(1));
    let What::Pigment(pigment) = item(&mut hand, "black").unwrap().what else { panic!() };
    assert!(pigment.swatches.is_empty());

    hand.press("lamps");
    hand.press(labels::ADD_BUTTON);
    hand.fill(&labels::button_name(4), "30 s");
    hand.fill(&labels::button_lit(4), "0:30");
    let What::Lamp(lamp) = item(&mut hand, "large-lamp").unwrap().what else { panic!() };
    let buttons: Vec<&str> = lamp.buttons.iter().map(craft::cure::Button::name).collect();
    assert_eq!(buttons, ["60 s", "120 s", "180 s", "30 s"]);
    assert_eq!(lamp.buttons[3].total(), craft::units::Span::from_s(30.0));
}

#[test]
fn a_place_that_is_refused_stays_in_its_field() {
    let (mut hand, other) = super::after::read_only();
    hand.ctrl(Key::Comma);
    hand.press("settings of the studio");
    let places = hand.window().session().unwrap().view().studio.policies().places.len();
    hand.fill(labels::NEW_PLACE, "the blue tin");
    hand.press(labels::ADD_PLACE);
    assert_eq!(hand.window().session().unwrap().view().studio.policies().places.len(), places);
    assert!(hand.sees("the blue tin"), "{:#?}", hand.texts());
    drop(other);
}
