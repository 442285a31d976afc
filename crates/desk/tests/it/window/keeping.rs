//! Safe keeping: what was found, backups, earlier versions, the list, forgetting, handing over, opening, and a sick disk.

use std::path::{Path, PathBuf};

use craft::client::Client;
use craft::fact::{ClientFact, Fact, MessageKind};
use craft::id::{ClientId, DocId};
use craft::order::{Order, Page, Remembered, Sheet};
use craft::place::Place;
use craft::studio::{ClientEdit, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::units::Share;
use egui::{Key, Modifiers, vec2};
use store::format::encode;
use store::name::DocKind;
use workbench::action::{Action, FolderNews, Job, Nav};
use workbench::open::path_of;
use workbench::present::labels::keeping as labels;
use workbench::present::labels::shelf as shelf_labels;

use super::hand::{Hand, SIZES};
use crate::support::HandClock;

/// A window in which all of the page is in sight, so that it can be pointed at.
const TALL: egui::Vec2 = vec2(1280.0, 2000.0);

/// Writes into a field that is in sight, and leaves it.
fn put(hand: &mut Hand, field: &str, words: &str) {
    hand.click(field);
    hand.write(words);
    hand.key(Key::Tab);
}

fn client() -> ClientId {
    "ada-berg".parse().unwrap()
}

fn tag() -> Tag {
    Tag::from_number(77).unwrap()
}

/// An empty studio with one client and one order of theirs.
fn one_order() -> Hand {
    let mut hand = Hand::empty(TALL);
    let ada = Client { name: "Ada Berg".parse().unwrap(), ..Client::default() };
    hand.act(Action::Edit(Edit::Client(client(), ClientEdit::Put(Box::new(ada)))));
    let remembered = Remembered { name: "Bramble".parse().unwrap(), ..Remembered::default() };
    let sheet = Box::new(Sheet { remembered, ..Sheet::default() });
    hand.act(Action::Edit(Edit::Order(tag(), OrderEdit::Open { client: client(), sheet })));
    hand.act(Action::Edit(told(MessageKind::Nudge)));
    hand
}

fn sheet(hand: &mut Hand, change: impl FnOnce(&mut Sheet)) {
    let mut sheet = hand.window().session().unwrap().view().studio.order(tag()).unwrap().order.sheet.clone();
    change(&mut sheet);
    hand.act(Action::Edit(Edit::Order(tag(), OrderEdit::Sheet(Box::new(sheet)))));
}

fn told(about: MessageKind) -> Edit {
    let fact: Fact = ClientFact::MessageSent { about }.into();
    Edit::Order(tag(), OrderEdit::Fact(fact))
}

/// The order's file after one more message.
fn edition(studio: &Studio, about: &[MessageKind], clock: &HandClock) -> Vec<u8> {
    let mut studio = studio.clone();
    for about in about {
        studio.apply(told(*about), workbench::clock::Clock::now(clock)).unwrap();
    }
    encode(DocKind::Order, &studio.order(tag()).unwrap().order).unwrap()
}

fn order_file(root: &Path) -> PathBuf {
    root.join(path_of(&DocId::Order(tag())).unwrap().to_string())
}

fn entries(hand: &mut Hand) -> u32 {
    hand.window().session().unwrap().view().studio.order(tag()).unwrap().order.log.len()
}

/// What stands on the disk outside the studio: the path as it is typed.
fn at(hand: &Hand, name: &str) -> String {
    hand.beside(name).display().to_string()
}

#[test]
fn an_order_that_cannot_be_read_goes_on_from_its_earlier_version_at_one_press() {
    let hand = one_order();
    let root = hand.root();
    let mut hand = hand.reopened_after(|_, _| std::fs::write(order_file(&root), b"torn").unwrap());
    hand.press("1 thing does not hold together");
    // Its versions can be looked at first.
    let file = path_of(&DocId::Order(tag())).unwrap().to_string();
    hand.click(&labels::earlier_of_file(Some(&file)));
    assert!(hand.sees("can be read"), "{:?}", hand.texts());
    hand.click(labels::BACK);
    hand.click("put the earlier version in its place");
    hand.settle();
    assert!(hand.sees("is read again, from its earlier version"), "{:?}", hand.texts());
    assert_eq!(entries(&mut hand), 0, "the version from before the first message");
    assert_eq!(std::fs::read(root.join(file.replace(".ron", ".conflict-1.ron"))).unwrap(), b"torn");
    hand.act(Action::Edit(told(MessageKind::Nudge)));
    assert_eq!(entries(&mut hand), 1);
}

#[test]
fn two_editions_that_parted_are_shown_side_by_side_and_nothing_merges_them() {
    let hand = one_order();
    let root = hand.root();
    let mut hand = hand.reopened_after(|studio, clock| {
        std::fs::write(order_file(&root), edition(studio, &[MessageKind::Nudge], clock)).unwrap();
        let other = edition(studio, &[MessageKind::KitPosted], clock);
        std::fs::write(root.join("orders/a copy.ron"), other).unwrap();
    });
    // The board says so, and so does the order's head; both lead there.
    hand.press("1 thing does not hold together");
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Keeping));
    assert!(hand.sees("went on in two places"), "{:?}", hand.texts());
    for side in [labels::ONLY_HERE, labels::ONLY_COPY] {
        assert!(hand.shows(side), "{:?}", hand.texts());
    }
    assert!(hand.sees("entry 2") || hand.sees("Entry 2"), "{:?}", hand.texts());
    // The one way out opens the folder: a person decides.
    hand.click(labels::FOLDER);
    let opened = hand.outward.iter().any(
        |outward| matches!(outward, desk::window::Outward::Open(path) if *path == hand.root().join("orders")),
    );
    assert!(opened, "{:?}", hand.outward);
    assert_eq!(entries(&mut hand), 2, "nothing was merged");
    hand.go(Nav::Bench(tag(), Page::Brief));
    hand.click(&labels::of_this_order("1 thing does not hold together"));
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Keeping));
    for (size, points) in SIZES {
        hand.resize(points);
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
}

#[test]
fn what_was_mended_in_the_folder_is_no_finding_any_more_once_everything_is_read_again() {
    let hand = one_order();
    let root = hand.root();
    let whole = std::fs::read(order_file(&root)).unwrap();
    let mut hand = hand.reopened_after(|_, _| std::fs::write(order_file(&root), &whole[..300]).unwrap());
    hand.ctrl(Key::F);
    hand.write("zebra");
    assert!(
        hand.sees("Nothing found; 1 order cannot be read and is not looked through"),
        "{:?}",
        hand.texts()
    );
    hand.key(Key::Escape);
    hand.ctrl(Key::K);
    assert!(hand.sees(&labels::lies_in(&root)), "{:?}", hand.texts());
    assert!(hand.sees("cannot be read"), "{:?}", hand.texts());
    std::fs::write(order_file(&root), &whole).unwrap();
    hand.click(labels::LOOK_AGAIN);
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Keeping));
    assert!(hand.shows(labels::ALL_WELL), "{:?}", hand.texts());
    assert_eq!(entries(&mut hand), 1);
}

#[test]
fn the_longer_edition_is_taken_only_when_its_button_is_pressed() {
    let hand = one_order();
    let root = hand.root();
    let mut hand = hand.reopened_after(|studio, clock| {
        let longer = edition(studio, &[MessageKind::KitPosted, MessageKind::Nudge], clock);
        std::fs::write(root.join("orders/a copy.ron"), longer).unwrap();
    });
    hand.ctrl(Key::K);
    assert_eq!(entries(&mut hand), 1);
    hand.click(&format!("take the longer one for {}", tag()));
    assert_eq!(entries(&mut hand), 3);
    assert!(hand.sees("says the same"), "{:?}", hand.texts());
}

#[test]
fn a_backup_is_made_put_back_beside_and_opened() {
    let mut hand = one_order();
    hand.go(Nav::Board);
    assert!(hand.sees("No backup of this studio is known"), "{:?}", hand.texts());
    hand.click(labels::BACKUP_WAY);
    // Without a place the dialog is asked for first, with a name that says the day.
    hand.click(labels::BACKUP_MAKE);
    let name = "heldfast-2026-03-02.tar";
    let asked = hand.outward.iter().any(|outward| {
        matches!(outward, desk::window::Outward::Ask(desk::cx::Asked::SaveAs(proposed, _), _) if proposed == name)
    });
    assert!(asked, "{:?}", hand.outward);
    let file = hand.beside(name);
    hand.answer(&file);
    hand.click(labels::BACKUP_MAKE);
    assert!(file.exists());
    assert!(hand.sees("It is in ") && hand.sees("read back and compared"), "{:?}", hand.texts());
    assert!(hand.sees("The last backup was made today at 8:00."), "{:?}", hand.texts());
    // An older backup is never lost.
    hand.click("put away");
    hand.click(labels::BACKUP_MAKE);
    assert!(hand.sees("choose a new name"), "{:?}", hand.texts());
    hand.click("put away");
    // Back into this very studio, or where something is: refused in words.
    hand.click(labels::RESTORE);
    put(&mut hand, labels::RESTORE_FILE, &file.display().to_string());
    let within = hand.root().join("inside").display().to_string();
    put(&mut hand, labels::RESTORE_TO, &within);
    hand.click(labels::RESTORE_DO);
    assert!(hand.sees("lies in the studio that is open"), "{:?}", hand.texts());
    hand.click("put away");
    let full = at(&hand, "");
    put(&mut hand, labels::RESTORE_TO, &full);
    hand.click(labels::RESTORE_DO);
    assert!(hand.sees("holds other files"), "{:?}", hand.texts());
    hand.click("put away");
    let to = hand.beside("again");
    put(&mut hand, labels::RESTORE_TO, &to.display().to_string());
    hand.click(labels::RESTORE_DO);
    assert!(hand.sees("every one compared and read back"), "{:?}", hand.texts());
    hand.click(labels::RESTORE_OPEN);
    assert_eq!(hand.window().root(), Some(to.as_path()));
    assert!(hand.sees("Bramble"), "{:?}", hand.texts());
}

#[test]
fn the_list_of_orders_is_written_where_it_is_asked_for() {
    let mut hand = one_order();
    hand.ctrl(Key::K);
    let file = at(&hand, "orders.csv");
    put(&mut hand, labels::LIST_FILE, &file);
    hand.click(labels::LIST_WRITE);
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.starts_with("\"tag\"") && text.contains("\"Bramble\""), "{text}");
    let nowhere = at(&hand, "no such folder/orders.csv");
    hand.click("put away");
    put(&mut hand, labels::LIST_FILE, &nowhere);
    hand.click(labels::LIST_WRITE);
    assert!(hand.sees("no such folder"), "{:?}", hand.texts());
}

#[test]
fn a_client_is_forgotten_only_after_their_name_was_typed_and_leaves_a_receipt() {
    let mut hand = one_order();
    hand.ctrl(Key::K);
    hand.click(labels::FORGET_OPEN);
    put(&mut hand, labels::FORGET_FIND, "nobody at all");
    assert!(hand.sees(labels::NOBODY), "{:?}", hand.texts());
    put(&mut hand, labels::FORGET_FIND, "ada");
    hand.click(&format!("Ada Berg, 1 order: {}, for Bramble", tag()));
    let sure = format!("Type Ada Berg or {}, to be sure", tag());
    assert!(hand.sees(&format!("every word of 1 order: {}", tag())) || hand.sees("Every word of 1 order"));
    assert!(hand.sees("This cannot be undone"), "{:?}", hand.texts());
    let forget = labels::forget("Ada Berg");
    put(&mut hand, &sure, "Ada");
    hand.tab_to(&sure);
    hand.key(Key::Tab);
    assert_ne!(hand.focused().as_deref(), Some(forget.as_str()), "half a name is not enough");
    put(&mut hand, &sure, "Ada Berg");
    hand.click(&forget);
    let view = hand.window().session().unwrap().view();
    assert_eq!(view.studio.clients()[&client()].name.as_str(), "forgotten");
    assert!(hand.sees(labels::RECEIPT) && hand.sees("Receipt: a client of"), "{:?}", hand.texts());
    assert!(!hand.sees("Ada Berg"), "{:?}", hand.texts());
    // This computer knows it outside the studio too.
    let list = std::fs::read_to_string(hand.beside("forgotten/studio-under-test.txt")).unwrap();
    assert!(list.contains("ada-berg"), "{list}");
    hand.click(labels::RECEIPT_COPY);
    let copied = |hand: &Hand| {
        hand.outward
            .iter()
            .any(|out| matches!(out, desk::window::Outward::Copy(text) if text.contains("was forgotten on")))
    };
    assert!(copied(&hand));
    let file = at(&hand, "receipt.txt");
    put(&mut hand, labels::RECEIPT_FILE, &file);
    hand.click(labels::RECEIPT_WRITE);
    assert!(std::fs::read_to_string(&file).unwrap().contains(&tag().to_string()));
}

#[test]
fn a_client_whose_things_are_here_is_not_forgotten_and_the_way_to_the_order_is_there() {
    let mut hand = one_order();
    let lot = craft::fact::CustodyFact::Received {
        lot: 1,
        material: craft::fact::Material::Hair,
        seal: None,
        place: Place::Kept(1),
        photo: None,
        keep_back: Share::of(1, 4),
    };
    hand.act(Action::Edit(Edit::Order(tag(), OrderEdit::Fact(lot.into()))));
    hand.ctrl(Key::K);
    hand.click(labels::FORGET_OPEN);
    hand.click(&format!("Ada Berg, 1 order: {}, for Bramble", tag()));
    assert!(hand.sees("is still here; send it home"), "{:?}", hand.texts());
    assert!(!hand.sees("This cannot be undone"));
    hand.click(&labels::open_order(tag()));
    assert!(hand.window().title().contains("Bramble"), "{}", hand.window().title());
}

#[test]
fn an_earlier_version_is_told_by_its_differences_taken_back_and_undone() {
    let mut hand = one_order();
    sheet(&mut hand, |sheet| sheet.ring = "UK P".parse().unwrap());
    hand.act(Action::Edit(told(MessageKind::KitPosted)));
    hand.go(Nav::Bench(tag(), Page::Brief));
    hand.click(labels::EARLIER_WAY);
    assert!(hand.sees("Earlier versions of the order for Bramble"), "{:?}", hand.texts());
    let rows = |hand: &Hand| {
        let mut rows: Vec<String> =
            hand.names().into_iter().filter(|name| name.contains(", version ")).collect();
        rows.sort_by_key(|name| name.rsplit(' ').next().and_then(|no| no.parse::<u32>().ok()));
        rows
    };
    let all = rows(&hand);
    assert_eq!(all.len(), 3, "{all:?}");
    // The second was before the ring's size, the third before the message only.
    hand.click(&all[2]);
    assert!(hand.sees(labels::NOTHING_BACK), "what happened is never taken out: {:?}", hand.texts());
    hand.click(&all[1]);
    assert!(hand.sees("The ring size: was empty, is \"UK P\"."), "{:?}", hand.texts());
    hand.click(labels::TAKE_BACK);
    let ring = |hand: &mut Hand| {
        let view = hand.window().session().unwrap().view();
        let order = &view.studio.order(tag()).unwrap().order;
        (order.sheet.ring.to_string(), order.log.len())
    };
    assert_eq!(ring(&mut hand), (String::new(), 2));
    assert!(rows(&hand).len() == 4, "what it replaced is a version too: {:?}", rows(&hand));
    hand.ctrl(Key::Z);
    assert_eq!(ring(&mut hand), ("UK P".to_owned(), 2));
    // The client's own are beside them, and the way back leads to the order.
    hand.click(labels::ITS_CLIENT);
    assert!(hand.sees("Earlier versions of the client Ada Berg") && hand.sees(labels::NO_VERSIONS));
    hand.click(labels::BACK);
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Bench(_, Page::Brief)));
    hand.ctrl(Key::T);
    for (size, points) in SIZES {
        hand.resize(points);
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
}

#[test]
fn the_shelf_and_the_settings_have_their_earlier_versions_too() {
    let mut hand = one_order();
    hand.go(Nav::Shelf);
    hand.click(labels::EARLIER_WAY);
    assert!(hand.sees("Earlier versions of "), "{:?}", hand.texts());
    assert!(hand.sees(labels::NO_VERSIONS), "{:?}", hand.texts());
    hand.click(labels::BACK);
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Shelf));
    hand.click(shelf_labels::STUDIO);
    hand.click(labels::EARLIER_WAY);
    assert!(hand.sees("Earlier versions of the studio's settings"), "{:?}", hand.texts());
    hand.ctrl(Key::K);
    assert!(hand.sees(labels::TITLE), "the key shows the page itself");
}

#[test]
fn an_order_is_handed_over_into_an_empty_folder_only() {
    let mut hand = one_order();
    hand.go(Nav::Bench(tag(), Page::Brief));
    hand.ctrl(Key::P);
    hand.click(labels::HAND_OVER);
    let full = at(&hand, "");
    put(&mut hand, labels::HAND_OVER_TO, &full);
    hand.click(labels::HAND_OVER_DO);
    assert!(hand.sees("choose an empty folder or a new name"), "{:?}", hand.texts());
    hand.click("put away");
    hand.tab_to(labels::HAND_OVER_TO);
    hand.ctrl(Key::A);
    hand.key(Key::Backspace);
    hand.click(labels::HAND_OVER_DO);
    let above = hand.beside("handed");
    std::fs::create_dir(&above).unwrap();
    hand.answer(&above);
    hand.click(labels::HAND_OVER_DO);
    let summary = above.join(tag().to_string()).join("summary.txt");
    assert!(std::fs::read_to_string(summary).unwrap().contains("Bramble"));
    hand.press(labels::HAND_OVER_OPEN);
    assert_eq!(hand.faults(), Vec::<String>::new());
}

/// So many more orders of the one client, each with no more than its name.
fn add(root: &Path, studio: &Studio, clock: &HandClock, count: usize) {
    let mut tags = (5_000..).filter_map(Tag::from_number).take(count);
    let mut studio = studio.clone();
    let first = tags.next().unwrap();
    let remembered = Remembered { name: "Somebody".parse().unwrap(), ..Remembered::default() };
    let sheet = Box::new(Sheet { remembered, ..Sheet::default() });
    let open = Edit::Order(first, OrderEdit::Open { client: client(), sheet });
    studio.apply(open, workbench::clock::Clock::now(clock)).unwrap();
    let order = studio.order(first).unwrap().order.clone();
    for tag in tags.chain([first]) {
        let bytes = encode(DocKind::Order, &Order { tag, ..order.clone() }).unwrap();
        std::fs::write(root.join(path_of(&DocId::Order(tag)).unwrap().to_string()), bytes).unwrap();
    }
}

#[test]
fn while_orders_are_read_the_board_is_there_and_says_so_and_what_needs_all_waits_in_words() {
    let mut hand = one_order();
    let root = hand.root();
    let studio = hand.window().session().unwrap().view().studio.clone();
    // More than are read in one piece after the first.
    add(&root, &studio, &hand.clock, 1_400);
    hand.window().open(&root);
    let view = hand.window().session().unwrap().view();
    let reading = *view.reading().expect("some are still to be read");
    assert!(reading.left > 1_000 && view.board.rows.len() >= workbench::session::FIRST);
    hand.window().act(Action::Cancel(reading.job.unwrap()));
    hand.window().act(Action::Go(Nav::Board));
    hand.harness().step();
    assert!(
        hand.sees("not read yet; they are left alone") && hand.sees(labels::READ_ON),
        "{:?}",
        hand.texts()
    );
    hand.window().act(Action::Go(Nav::Keeping));
    hand.harness().step();
    assert!(hand.sees(labels::FOUND_LATER), "{:?}", hand.texts());
    let list = Job::Keep(workbench::keeping::Keep::WriteList { to: hand.beside("l.csv") });
    hand.window().act(Action::Start(list));
    hand.harness().step();
    assert!(hand.sees("has to be held against all of them"), "{:?}", hand.texts());
    hand.window().act(Action::Dismiss);
    hand.window().act(Action::Start(Job::ReadOrders));
    hand.window().act(Action::Go(Nav::Board));
    hand.harness().step();
    assert!(hand.sees("Still reading ") && hand.sees(labels::READ_NO_MORE), "{:?}", hand.texts());
    super::many::read_on(&mut hand);
    let view = hand.window().session().unwrap().view();
    assert!(view.reading_words().is_none());
    assert_eq!(view.board.rows.len(), 1_401);
}

#[test]
fn a_disk_that_takes_nothing_hides_no_countdown_and_says_what_is_not_saved() {
    let mut hand = Hand::demo(SIZES[0].1);
    let orders = hand.root().join("orders");
    let aside = hand.root().join("aside");
    std::fs::rename(&orders, &aside).unwrap();
    std::fs::write(&orders, "in the way").unwrap();
    let view = hand.window().session().unwrap().view();
    let (digits, tag) = (workbench::present::strip::digits(&view.waits[0]), view.waits[0].tag);
    let mut wishes = view.studio.order(tag).unwrap().order.sheet.clone();
    wishes.wishes = "a ring".parse().unwrap();
    hand.act(Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(wishes)))));
    let mut seen = digits;
    for (size, points) in [SIZES[0], SIZES[2]] {
        hand.resize(points);
        hand.pass(1);
        let digits = workbench::present::strip::digits(&hand.window().session().unwrap().view().waits[0]);
        assert!(digits != seen && hand.shows(&digits), "{size}: {digits} after {seen}: {:?}", hand.texts());
        seen = digits;
        assert!(hand.shows("1 not saved") && hand.sees("try again"), "{size}: {:?}", hand.texts());
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
    hand.resize(SIZES[0].1);
    hand.click(labels::WHICH);
    assert!(hand.sees(labels::NOT_SAVED) && hand.sees("not saved"), "{:?}", hand.texts());
    // Each once more fails as well, and then the disk is well again.
    hand.click(labels::TRY_NOW);
    assert!(hand.sees(labels::NOT_SAVED), "{:?}", hand.texts());
    std::fs::remove_file(&orders).unwrap();
    std::fs::rename(&aside, &orders).unwrap();
    hand.click(labels::TRY_NOW);
    assert!(hand.shows("saved") && !hand.sees(labels::NOT_SAVED), "{:?}", hand.texts());
}

#[test]
fn a_folder_that_is_gone_is_told_of_over_every_page() {
    let mut hand = one_order();
    hand.act(Action::FolderTold(FolderNews::Gone));
    for nav in [Nav::Board, Nav::Keeping] {
        hand.go(nav);
        assert!(hand.sees("not in its place any more"), "{:?}", hand.texts());
        assert_eq!(hand.faults(), Vec::<String>::new());
    }
    hand.resize(vec2(640.0, 400.0));
    assert!(hand.sees("not in its place any more"), "{:?}", hand.texts());
}

#[test]
fn the_keys_come_to_every_part_of_the_page() {
    let mut hand = one_order();
    hand.ctrl(Key::K);
    for name in [
        labels::BACKUP_MAKE,
        labels::RESTORE,
        labels::EARLIER_SETTINGS,
        labels::LIST_WRITE,
        labels::FORGET_OPEN,
    ] {
        hand.tab_to(name);
        hand.settle();
        assert!(hand.shows(name), "{name} is scrolled to");
    }
    hand.keys(Modifiers::SHIFT, Key::Tab);
    assert_eq!(hand.focused().as_deref(), Some(labels::LIST_WRITE));
}
