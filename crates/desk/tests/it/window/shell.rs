//! The shell: board, find, route, undo, keys.

use craft::client::Client;
use craft::fact::LayerKind;
use craft::order::{Page, Remembered, Sheet, StoneSheet};
use craft::studio::{ClientEdit, Edit, OrderEdit};
use craft::tag::Tag;
use egui::{Key, vec2};
use workbench::action::{Action, Nav};
use workbench::present::labels::plan as plan_labels;
use workbench::present::labels::shell as labels;

use super::hand::Hand;

#[test]
fn an_order_is_found_by_its_name_and_opened_where_it_is_next() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write("Neeltje");
    hand.key(Key::Enter);
    assert!(hand.sees("Neeltje Admiraal"));
    let title = hand.window().title();
    assert!(title.contains("Neeltje Admiraal · "), "{title}");
}

#[test]
fn a_stone_is_found_by_its_whole_label_and_over_the_board_nothing_leads_to_it() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let leads = |hand: &Hand| hand.names().iter().any(|name| name == labels::ORDERS);
    assert!(!leads(&hand), "here it is already");
    hand.ctrl(Key::F);
    hand.write("Kestrel");
    hand.key(Key::Enter);
    assert!(leads(&hand));
    let Nav::Bench(tag, _) = hand.window().session().unwrap().view().nav else { panic!() };
    hand.press(labels::ORDERS);
    assert_eq!(hand.window().session().unwrap().view().nav, Nav::Board);
    hand.ctrl(Key::F);
    hand.write(&format!("{} s2", tag.plain().to_lowercase()));
    assert!(hand.sees("Kestrel"));
    hand.key(Key::Enter);
    assert_eq!(hand.window().session().unwrap().view().nav, Nav::Bench(tag, Page::Pour));
    assert!(hand.sees("Stone 2"), "{:?}", hand.texts());
}

#[test]
fn the_keys_open_each_page_of_the_order() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write("Neeltje");
    hand.key(Key::Enter);
    let keys =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    for (key, page) in keys.into_iter().zip(Page::ALL) {
        hand.ctrl(key);
        let nav = hand.window().session().unwrap().view().nav;
        assert!(matches!(nav, Nav::Bench(_, open) if open == page), "{page:?}: {nav:?}");
    }
}

#[test]
fn what_was_changed_last_can_be_taken_back_by_a_key() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write("Neeltje");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num3);
    hand.fill("Your words about this page", "a paler second layer");
    let tag = match hand.window().session().unwrap().view().nav {
        Nav::Bench(tag, _) => tag,
        other => panic!("{other:?}"),
    };
    let words = |hand: &mut Hand| {
        let view = hand.window().session().unwrap().view();
        let about = craft::order::About::Page(Page::Plan);
        view.studio.order(tag).unwrap().order.story.about(about).map(ToString::to_string)
    };
    assert_eq!(words(&mut hand).as_deref(), Some("a paler second layer"));
    hand.ctrl(Key::Z);
    assert_eq!(words(&mut hand), None);
    // And it is there again after closing and opening.
    hand.keys(egui::Modifiers::COMMAND | egui::Modifiers::SHIFT, Key::Z);
    let mut hand = hand.reopened();
    assert_eq!(words(&mut hand).as_deref(), Some("a paler second layer"));
}

#[test]
fn an_idle_window_asks_for_no_frame_and_a_countdown_for_one_a_second() {
    let mut hand = Hand::empty(vec2(1280.0, 800.0));
    let until = hand.window().logic();
    // Only the turn of the day is waited for.
    assert!(until.is_none_or(|ms| ms > 60_000), "{until:?}");
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let until = hand.window().logic().expect("the demo studio has waits that run");
    assert!((1..=1_001).contains(&until), "{until}");
}

#[test]
fn what_is_being_typed_is_handed_in_before_a_key_leaves_the_page() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write("Neeltje");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num3);
    hand.ctrl(Key::E);
    hand.write("half typed");
    hand.ctrl(Key::Num1);
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, Page::Brief) = view.nav else { panic!("{:?}", view.nav) };
    let about = craft::order::About::Page(Page::Plan);
    let words = view.studio.order(tag).unwrap().order.story.about(about).map(ToString::to_string);
    assert_eq!(words.as_deref(), Some("half typed"));
}

#[test]
fn a_letter_that_is_being_typed_holds_the_window_once_and_is_there_again_after_another_order() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let open = |hand: &mut Hand, name: &str| {
        hand.ctrl(Key::F);
        hand.write(name);
        hand.key(Key::Enter);
    };
    open(&mut hand, "Farfar");
    assert!(hand.window().may_close(), "nothing is typed yet");
    hand.ctrl(Key::Num1);
    hand.tab_to("What happened");
    hand.write("built his first boat");
    hand.key(Key::Tab);
    assert!(!hand.window().may_close());
    hand.settle();
    assert!(hand.sees("something is typed and not handed in"), "{:?}", hand.texts());
    open(&mut hand, "Neeltje");
    hand.ctrl(Key::Num1);
    assert!(!hand.sees("built his first boat"), "it is not another order's");
    open(&mut hand, "Farfar");
    hand.ctrl(Key::Num1);
    assert!(hand.sees("built his first boat"));
    // The second time the same is known, and the window may go.
    assert!(hand.window().may_close());
}

#[test]
fn photos_dropped_where_no_order_is_open_are_answered() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let file = hand.beside("a.jpg");
    hand.window().dropped(vec![file]);
    hand.settle();
    assert!(hand.sees("Open the order first"), "{:?}", hand.texts());
    assert!(hand.window().session().unwrap().view().jobs.is_empty());
}

#[test]
fn a_path_that_was_asked_for_on_one_order_never_lands_on_another() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let open = |hand: &mut Hand, name: &str| {
        hand.ctrl(Key::F);
        hand.write(name);
        hand.key(Key::Enter);
    };
    open(&mut hand, "Neeltje");
    hand.ctrl(Key::Num1);
    hand.press("papers");
    hand.press("Care card, can be written now");
    hand.press("Write and keep it");
    hand.press("save a copy");
    hand.press("choose the place");
    open(&mut hand, "Gethin");
    hand.press("papers");
    let path = hand.beside("copy for Neeltje.pdf");
    hand.answer(&path);
    assert!(!hand.sees("copy for Neeltje.pdf"));
}

#[test]
fn escape_empties_the_find_field_and_the_board_is_there_again() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write("quartz");
    let nothing = labels::nothing_found("quartz");
    assert!(hand.sees(&nothing), "{:?}", hand.texts());
    hand.key(Key::Escape);
    assert!(!hand.sees(&nothing) && !hand.sees("quartz"), "{:?}", hand.texts());
    assert!(hand.names().iter().any(|name| name.starts_with("Neeltje Admiraal, ")), "{:?}", hand.names());
}

#[test]
fn two_orders_of_one_name_are_told_apart_by_their_tags() {
    let mut hand = Hand::empty(vec2(1280.0, 800.0));
    let client: craft::id::ClientId = "bo-berg".parse().unwrap();
    let bo = Client { name: "Bo Berg".parse().unwrap(), ..Client::default() };
    hand.act(Action::Edit(Edit::Client(client.clone(), ClientEdit::Put(Box::new(bo)))));
    let tags = [77, 78].map(|number| Tag::from_number(number).unwrap());
    for tag in tags {
        let remembered = Remembered { name: "Ada".parse().unwrap(), ..Remembered::default() };
        let sheet = Box::new(Sheet { remembered, ..Sheet::default() });
        hand.act(Action::Edit(Edit::Order(tag, OrderEdit::Open { client: client.clone(), sheet })));
    }
    for text in ["", "Ada", "Berg"] {
        hand.ctrl(Key::F);
        hand.write(text);
        let mut rows: Vec<String> =
            hand.names().into_iter().filter(|name| name.starts_with("Ada, ")).collect();
        rows.sort();
        assert_eq!(rows.len(), 2, "{text}: {rows:?}");
        for (row, tag) in rows.iter().zip(tags) {
            assert!(row.ends_with(&format!(", {tag}")), "{text}: {rows:?}");
        }
        assert_eq!(hand.faults(), Vec::<String>::new(), "{text}");
    }
    // What was found is up to date after a change, though not a letter of the text is another one.
    let remembered = Remembered { name: "Zoe Berg".parse().unwrap(), ..Remembered::default() };
    let sheet = Box::new(Sheet { remembered, ..Sheet::default() });
    hand.act(Action::Edit(Edit::Order(tags[1], OrderEdit::Sheet(sheet))));
    assert!(hand.sees("Zoe Berg"), "{:?}", hand.texts());
}

fn stone_of(hand: &mut Hand, tag: Tag, no: u8) -> StoneSheet {
    let view = hand.window().session().unwrap().view();
    view.studio.order(tag).unwrap().order.sheet.stone(no).unwrap().clone()
}

#[test]
fn a_stone_that_is_partly_poured_takes_another_caption_and_keeps_its_plan() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    let view = hand.window().session().unwrap().view();
    let begun = view.studio.orders().values().find_map(|held| {
        let laid = |stone: &&StoneSheet| {
            let poured = held.ledger.pours.stones.get(&stone.no);
            stone.plan.is_some()
                && poured.is_some_and(|poured| !poured.layers.is_empty() && !poured.taken_out)
        };
        held.order.sheet.stones.iter().find(laid).map(|stone| (held.order.tag, stone.no))
    });
    let (tag, no) = begun.expect("the demo studio has a stone in its mould");
    let before = stone_of(&mut hand, tag, no);
    hand.go(Nav::Bench(tag, Page::Plan));
    hand.press(&plan_labels::stone(no));
    hand.press(plan_labels::CHANGE);
    hand.fill(plan_labels::CAPTION, "the one with the curl");
    let after = stone_of(&mut hand, tag, no);
    assert_eq!(after, StoneSheet { caption: "the one with the curl".parse().unwrap(), ..before });
    assert_eq!(hand.window().session().unwrap().view().notice, None);
    // Words that do not fit are not lost; the field says what would be right.
    let long = "curl ".repeat(200);
    hand.fill(plan_labels::CAPTION, &long);
    assert!(hand.sees("characters long; at most"), "{:?}", hand.texts());
    assert_eq!(stone_of(&mut hand, tag, no), after);
    assert_ne!(after.top, LayerKind::Clear);
}

#[test]
fn what_a_form_fills_in_by_itself_holds_nothing_open() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    // The letter stands ready in its field, and the running orders begin with a place and a day.
    hand.ctrl(Key::F);
    hand.write("Neeltje");
    hand.key(Key::Enter);
    hand.ctrl(Key::M);
    hand.ctrl(Key::R);
    hand.key(Key::Escape);
    assert!(hand.window().may_close(), "{:?}", hand.texts());
    hand.ctrl(Key::M);
    hand.tab_to("The words");
    hand.write("Dear Gerrit, not yet.");
    assert!(!hand.window().may_close(), "a changed letter is somebody's words");
}

#[test]
fn a_warning_before_closing_is_over_with_what_it_warned_of() {
    let mut hand = Hand::on("Farfar", Key::Num1);
    hand.tab_to("What happened");
    hand.write("built a boat");
    assert!(!hand.window().may_close());
    hand.settle();
    assert!(hand.sees("something is typed and not handed in"));
    // The typed words are taken back: nothing would be lost, and the warning is gone with them.
    (0.."built a boat".len()).for_each(|_| hand.key(Key::Backspace));
    assert!(!hand.sees("something is typed and not handed in"), "{:?}", hand.texts());
    hand.write("sailed it");
    assert!(!hand.window().may_close(), "what is typed since then is warned of anew");
}

#[test]
fn at_twice_the_size_the_head_is_one_line_and_the_page_has_the_room() {
    let mut hand = Hand::on("Ifeoma", Key::Num3);
    let shown =
        |hand: &Hand, words: &str| hand.texts().into_iter().find(|(_, text)| text == words).unwrap().0;
    for size in [vec2(640.0, 400.0), vec2(640.0, 480.0)] {
        hand.resize(size);
        let (name, page) = (shown(&hand, "Mama Ifeoma"), shown(&hand, "plan"));
        assert!((name.center().y - page.center().y).abs() < 6.0, "{name:?} {page:?}");
        let title = shown(&hand, "Stone 1");
        // Of the 400 points the head takes less than three tenths.
        assert!(title.top() < 120.0, "the page begins at {title:?}");
        assert!(hand.shows("Kirima") || hand.shows("hands wanted"), "the strip is there: {:?}", hand.texts());
        assert_eq!(hand.faults(), Vec::<String>::new());
        // The open page opens the route, and what is chosen there closes it.
        hand.press("plan");
        assert_eq!(hand.faults(), Vec::<String>::new());
        hand.press("brief");
        assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Bench(_, Page::Brief)));
        assert!(!hand.names().iter().any(|name| name == "arrival"), "{:?}", hand.names());
        hand.press("brief");
        hand.press("plan");
    }
}

#[test]
fn in_a_low_window_every_page_scrolls_to_its_end() {
    let mut hand = Hand::on("Ifeoma", Key::Num1);
    hand.resize(vec2(640.0, 400.0));
    let keys =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    for key in keys {
        hand.ctrl(key);
        let end = |hand: &Hand| hand.texts().into_iter().map(|(rect, _)| rect.bottom()).fold(0.0, f32::max);
        let before = end(&hand);
        hand.harness().event(egui::Event::PointerMoved(egui::pos2(320.0, 250.0)));
        for _ in 0..40 {
            hand.harness().event(egui::Event::MouseWheel {
                unit: egui::MouseWheelUnit::Point,
                delta: vec2(0.0, -400.0),
                phase: egui::TouchPhase::Move,
                source: egui::MouseWheelSource::Unknown,
                modifiers: egui::Modifiers::NONE,
            });
            hand.harness().run();
        }
        hand.settle();
        assert!(end(&hand) <= 400.0, "{key:?}: the page ends at {}, and began with {before}", end(&hand));
    }
}

#[test]
fn what_lies_over_the_page_is_shown_to_its_end_where_there_is_room() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::Comma);
    assert!(hand.shows("Preferences") && hand.shows("Done"), "{:?}", hand.texts());
    hand.key(Key::Escape);
    hand.key(Key::F1);
    assert!(hand.shows("What the keys do") && hand.shows("close"), "{:?}", hand.texts());
    hand.key(Key::Escape);
    // In a low window it scrolls to what has the keyboard.
    hand.resize(vec2(640.0, 400.0));
    hand.ctrl(Key::Comma);
    hand.tab_to("Done");
    hand.settle();
    assert!(hand.shows("Done"), "{:?}", hand.texts());
}
