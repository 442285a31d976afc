//! Undo: random work taken back and made again, and never past what really happened.

use craft::policies::Policies;
use proptest::prelude::*;
use store::format::encode;
use store::name::DocKind;

use super::*;

/// One small thing a person does at the desk.
#[derive(Clone, Debug)]
enum Touch {
    Wish(u8),
    Due(u8),
    Story(usize, u8),
    Studio(u8),
    Client(u8),
    Retire(bool),
}

fn touches() -> impl Strategy<Value = Touch> {
    prop_oneof![
        any::<u8>().prop_map(Touch::Wish),
        (1_u8..28).prop_map(Touch::Due),
        (0_usize..9, 0_u8..4).prop_map(|(page, words)| Touch::Story(page, words)),
        any::<u8>().prop_map(Touch::Studio),
        any::<u8>().prop_map(Touch::Client),
        any::<bool>().prop_map(Touch::Retire),
    ]
}

fn policies(bench: &Workbench, change: impl FnOnce(&mut Policies)) -> Action {
    let mut policies = bench.studio.policies().clone();
    change(&mut policies);
    Action::Edit(Edit::Policies(Box::new(policies)))
}

fn action(bench: &Workbench, tag: Tag, touch: &Touch) -> Action {
    match touch {
        Touch::Wish(words) => wish(bench, tag, &format!("wish {words}")),
        Touch::Due(date) => sheet_edit(bench, tag, |sheet| sheet.due = Some(day(2027, 1, u32::from(*date)))),
        // Empty words take the words about a page away.
        Touch::Story(page, 0) => story(tag, Page::ALL[*page], ""),
        Touch::Story(page, words) => story(tag, Page::ALL[*page], &format!("words {words}")),
        Touch::Studio(name) => policies(bench, |policies| policies.name = line(&format!("Studio {name}"))),
        Touch::Client(name) => {
            let key = bench.studio.clients().keys().next().unwrap().clone();
            let mut client = bench.studio.clients()[&key].clone();
            client.name = line(&format!("Ida {name}"));
            Action::Edit(Edit::Client(key, ClientEdit::Put(Box::new(client))))
        }
        Touch::Retire(retired) => Action::Edit(Edit::Shelf(id("deep-green"), ShelfEdit::Retire(*retired))),
    }
}

/// Every document as the bytes of its file.
fn bytes(studio: &Studio) -> Vec<Vec<u8>> {
    let mut all = vec![encode(DocKind::Studio, studio.policies()).unwrap()];
    all.extend(studio.shelf().values().map(|item| encode(DocKind::Shelf, item).unwrap()));
    all.extend(studio.clients().values().map(|client| encode(DocKind::Client, client).unwrap()));
    all.extend(studio.orders().values().map(|held| encode(DocKind::Order, &held.order).unwrap()));
    all
}

/// Presses a button until it does nothing more; says how often it did something.
fn press(bench: &mut Workbench, button: &Action) -> usize {
    let mut pressed = 0;
    loop {
        let effects = bench.handle(button.clone(), at(900));
        if effects.is_empty() {
            return pressed;
        }
        saved(effects);
        pressed += 1;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn undoing_everything_is_the_start_and_redoing_everything_is_the_end(
        work in prop::collection::vec(touches(), 1..24),
        back in 0_usize..30,
    ) {
        let (mut bench, tag) = desk(Stage::Here);
        let start = bytes(&bench.studio);
        let mut made = 0;
        for touch in &work {
            made += bench.handle(action(&bench, tag, touch), at(900)).len();
        }
        let end = bytes(&bench.studio);
        // A few steps to and fro change nothing.
        for button in [Action::Undo, Action::Redo] {
            for _ in 0..back {
                bench.handle(button.clone(), at(900));
            }
        }
        prop_assert_eq!(&bytes(&bench.studio), &end);
        prop_assert_eq!(press(&mut bench, &Action::Undo), made);
        prop_assert_eq!(&bytes(&bench.studio), &start);
        prop_assert_eq!(press(&mut bench, &Action::Redo), made);
        prop_assert_eq!(&bytes(&bench.studio), &end);
        // The check sees a difference where there is one.
        if made > 0 {
            bench.handle(Action::Undo, at(900));
            prop_assert_ne!(&bytes(&bench.studio), &end);
        }
    }

    #[test]
    fn undo_never_takes_back_what_really_happened_nor_the_sheet_it_happened_on(
        work in prop::collection::vec(prop_oneof![
            4 => touches().prop_map(Some),
            1 => Just(None),
        ], 1..24),
        buttons in prop::collection::vec(any::<bool>(), 0..24),
    ) {
        let (mut bench, tag) = desk(Stage::Here);
        let order = |bench: &Workbench| bench.studio.order(tag).unwrap().order.clone();
        let mut last_real = order(&bench);
        let mut buttons = buttons.into_iter();
        for touch in &work {
            if let Some(touch) = touch {
                bench.handle(action(&bench, tag, touch), at(900));
            } else {
                let nudge = ClientFact::MessageSent { about: MessageKind::Nudge };
                saved(bench.handle(fact(tag, nudge), at(900)));
                last_real = order(&bench);
            }
            if let Some(undo) = buttons.next() {
                bench.handle(if undo { Action::Undo } else { Action::Redo }, at(900));
                prop_assert_eq!(&order(&bench).log, &last_real.log);
            }
        }
        press(&mut bench, &Action::Undo);
        prop_assert_eq!(order(&bench), last_real);
        prop_assert_eq!(bench.notices.front(), None);
    }
}

#[test]
fn the_undo_button_names_what_it_takes_back_and_redo_what_it_makes_again() {
    let (mut bench, tag) = desk(Stage::Here);
    let words = |bench: &Workbench| {
        let view = bench.view(at(900));
        (view.undo_words(), view.redo_words())
    };
    let nothing = Err("nothing to redo".to_owned());
    assert_eq!(words(&bench), (Err("nothing to undo yet".to_owned()), nothing.clone()));
    let start = sheet_of(&bench, tag);
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    saved(bench.handle(story(tag, Page::Brief, "rang at noon"), at(900)));
    let on_page = format!("the words on the {} page for Bramble", "brief");
    assert_eq!(words(&bench), (Ok(format!("undo {on_page}")), nothing));
    saved(bench.handle(Action::Undo, at(900)));
    let held = bench.studio.order(tag).unwrap();
    assert_eq!(held.order.story.about(About::Page(Page::Brief)), None);
    assert_eq!(held.order.sheet.wishes.as_str(), "a ring");
    assert_eq!(words(&bench), (Ok("undo the wishes for Bramble".to_owned()), Ok(format!("redo {on_page}"))));
    saved(bench.handle(Action::Undo, at(900)));
    assert_eq!(sheet_of(&bench, tag), start);
    // A new change closes the way forth.
    saved(bench.handle(wish(&bench, tag, "a brooch"), at(900)));
    assert!(bench.handle(Action::Redo, at(900)).is_empty());
    assert_eq!(sheet_of(&bench, tag).wishes.as_str(), "a brooch");
}

#[test]
fn a_fact_drops_the_undo_points_of_its_own_order_and_of_no_other() {
    let sample = sample::bench(Stage::Here);
    let (mut studio, one) = (sample.studio, sample.tag);
    let other = Tag::from_number(77).or_else(|| Tag::from_number(78)).unwrap();
    let client = "ida-lund".parse().unwrap();
    let sheet = Sheet { stones: Vec::new(), ..sample::sheet() };
    studio.apply(Edit::Order(other, OrderEdit::Open { client, sheet: Box::new(sheet) }), at(0)).unwrap();
    let mut bench = Workbench::new(studio, None);
    saved(bench.handle(wish(&bench, other, "theirs"), at(900)));
    saved(bench.handle(wish(&bench, one, "ours"), at(900)));
    saved(bench.handle(wish(&bench, one, "ours again"), at(900)));
    saved(bench.handle(Action::Undo, at(900)));
    let placed = CustodyFact::Placed { thing: Thing::wrapping(1), place: Place::Kept(2) };
    saved(bench.handle(fact(one, placed), at(901)));
    assert!(bench.handle(Action::Redo, at(902)).is_empty(), "what was undone before the fact is gone too");
    saved(bench.handle(Action::Undo, at(902)));
    assert_ne!(sheet_of(&bench, other).wishes.as_str(), "theirs");
    assert_eq!(sheet_of(&bench, one).wishes.as_str(), "ours", "the fact's own order stays as it was");
    assert!(bench.handle(Action::Undo, at(903)).is_empty());
    let view = bench.view(at(903));
    assert_eq!(view.undo_words(), Err("nothing to undo since wrapping 1 was put away".to_owned()));
    assert!(view.redo_words().is_ok());
}

#[test]
fn a_fact_told_of_later_and_a_strike_stop_undo_as_well() {
    for real in [
        OrderEdit::Told(day(2026, 11, 1), ClientFact::MessageSent { about: MessageKind::Nudge }.into()),
        OrderEdit::Fact(Fact::Struck { entry: 3, why: craft::fact::Mistake::DidNotHappen }),
    ] {
        let (mut bench, tag) = desk(Stage::KitSent);
        saved(bench.handle(fact(tag, ClientFact::MessageSent { about: MessageKind::Nudge }), at(899)));
        saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
        assert!(bench.view(at(900)).undo_words().is_ok());
        saved(bench.handle(Action::Edit(Edit::Order(tag, real)), at(901)));
        let why = bench.view(at(901)).undo_words().unwrap_err();
        assert!(why.starts_with("nothing to undo since "), "{why}");
        assert!(bench.handle(Action::Undo, at(902)).is_empty());
        assert_eq!(sheet_of(&bench, tag).wishes.as_str(), "a ring");
    }
}

#[test]
fn an_undo_that_would_break_a_rule_is_refused_and_the_states_behind_it_are_forgotten() {
    let (mut bench, tag) = desk(Stage::Here);
    saved(bench.handle(wish(&bench, tag, "kept"), at(900)));
    saved(bench.handle(policies(&bench, |policies| policies.name = line("Fern")), at(900)));
    saved(bench.handle(policies(&bench, |policies| policies.places.push(line("the shelf"))), at(900)));
    // The new place comes into use, so the list can no longer be without it.
    let other = Tag::from_number(77).or_else(|| Tag::from_number(78)).unwrap();
    let client = "ida-lund".parse().unwrap();
    let sheet = Box::new(Sheet { stones: Vec::new(), ..sample::sheet() });
    saved(bench.handle(Action::Edit(Edit::Order(other, OrderEdit::Open { client, sheet })), at(901)));
    let came = CustodyFact::CameAlong { thing: Thing::keepsake(1), place: Place::Kept(3), photo: None };
    saved(bench.handle(fact(other, came), at(902)));
    let before = bench.studio.clone();
    assert!(bench.handle(Action::Undo, at(903)).is_empty());
    assert!(refusal(&bench).0.starts_with("places keep their numbers"), "{:?}", bench.notices);
    assert_eq!(bench.studio, before);
    // The next undo is the other document's, not a settings state that hides the refused one.
    assert_eq!(bench.view(at(903)).undo_words(), Ok("undo the wishes for Bramble".to_owned()));
    saved(bench.handle(Action::Undo, at(904)));
    assert_eq!(bench.studio.policies().name, line("Fern"));
    assert_eq!(bench.notices.front(), None);
}

#[test]
fn no_more_than_two_hundred_steps_are_kept_and_the_oldest_go_first() {
    let (mut bench, tag) = desk(Stage::Here);
    for number in 0..230 {
        saved(bench.handle(wish(&bench, tag, &format!("wish {number}")), at(900)));
    }
    assert_eq!(press(&mut bench, &Action::Undo), 200);
    assert_eq!(sheet_of(&bench, tag).wishes.as_str(), "wish 29");
}

#[test]
fn on_an_orders_page_only_its_own_newest_change_is_undone_and_elsewhere_the_button_says_whose() {
    let (mut bench, tag) = desk(Stage::Here);
    let other = (1_000..).find_map(Tag::from_number).unwrap();
    let mut sheet = sample::sheet();
    (sheet.stones, sheet.remembered.name) = (Vec::new(), line("Fern"));
    let open = OrderEdit::Open { client: "ida-lund".parse().unwrap(), sheet: Box::new(sheet) };
    saved(bench.handle(Action::Edit(Edit::Order(other, open)), at(900)));
    let (before, theirs) = (bench.studio.order(tag).unwrap().order.clone(), |bench: &Workbench| {
        bench.studio.order(other).unwrap().order.sheet.wishes.to_string()
    });
    saved(bench.handle(wish(&bench, tag, "a ring"), at(901)));
    saved(bench.handle(wish(&bench, other, "a pin"), at(902)));
    let said = |bench: &Workbench| bench.view(at(903)).undo_words();
    assert_eq!(said(&bench), Ok("undo the wishes for Fern".to_owned()), "on the board the newest of all");
    bench.handle(Action::Go(Nav::Bench(tag, Page::Brief)), at(903));
    assert_eq!(said(&bench), Ok("undo the wishes for Bramble".to_owned()));
    saved(bench.handle(Action::Undo, at(904)));
    assert_eq!(
        (bench.studio.order(tag).unwrap().order.clone(), theirs(&bench)),
        (before, "a pin".to_owned())
    );
    // Nothing of the other is taken back here, however often it is pressed.
    assert_eq!(said(&bench), Err("nothing to undo yet".to_owned()));
    assert!(bench.handle(Action::Undo, at(905)).is_empty());
    assert_eq!(theirs(&bench), "a pin");
    // What belongs to the page goes back with it: the client of the order.
    let id = bench.studio.order(tag).unwrap().client().clone();
    let mut client = bench.studio.clients()[&id].clone();
    client.contact = line("elsewhere");
    saved(bench.handle(Action::Edit(Edit::Client(id, ClientEdit::Put(Box::new(client)))), at(906)));
    assert_eq!(said(&bench), Ok("undo the details of Ida Lund".to_owned()));
    saved(bench.handle(Action::Undo, at(907)));
    bench.handle(Action::Go(Nav::Bench(other, Page::Brief)), at(908));
    assert_eq!(said(&bench), Ok("undo the wishes for Fern".to_owned()));
    saved(bench.handle(Action::Undo, at(909)));
    saved(bench.handle(Action::Redo, at(910)));
    assert_eq!(theirs(&bench), "a pin");
}
