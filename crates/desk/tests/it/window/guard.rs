//! The guard against mix-ups, by the keyboard: names that are alike, the bench between two clients, what bears the tag.

use craft::fact::{CustodyFact, Fact};
use craft::id::Thing;
use craft::policies::Policies;
use craft::studio::{Edit, Held};
use craft::tag::Tag;
use egui::{Key, vec2};
use workbench::action::{Action, Nav};
use workbench::present::labels::{arrival, begin, guard, pack, pour};

use super::hand::Hand;

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

fn open(hand: &mut Hand, name: &str, page: Key) -> Tag {
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(page);
    held(hand).order.tag
}

/// The studio asks for a bench that is clear between two clients.
fn asks_for_a_clear_bench(hand: &mut Hand) {
    let policies = hand.window().session().unwrap().view().studio.policies().clone();
    hand.act(Action::Edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies }))));
}

/// Opens and closes the keep-back of an order, so that the bench was used for it.
fn use_the_bench(hand: &mut Hand) {
    // Tall enough that all of the page is seen.
    hand.resize(vec2(1280.0, 1800.0));
    let (tag, envelope) = (held(hand).order.tag, Thing::envelope(1));
    hand.press(&arrival::more(envelope));
    // Another client's material was on it before.
    hand.tab_to(guard::BENCH_CLEAR);
    hand.key(Key::Space);
    hand.press(arrival::RELEASED);
    hand.fill(arrival::TAG, &tag.to_string());
    hand.press(&arrival::open(envelope));
    let sheet = format!("Write {tag} E1 on the sheet under");
    assert!(hand.reads(&sheet), "what lies open bears the tag");
    hand.press(&arrival::close(envelope));
}

#[test]
fn the_bench_is_ticked_as_clear_before_another_clients_packet_is_opened() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    asks_for_a_clear_bench(&mut hand);
    let before = held(&mut hand).order.tag;
    use_the_bench(&mut hand);
    let own = open(&mut hand, "Juno", Key::Num2);
    assert!(!hand.sees(guard::BENCH_HEAD), "nothing is opened here yet");
    let wrapping = Thing::wrapping(1);
    hand.press(&arrival::more(wrapping));
    assert!(hand.sees(guard::BENCH_HEAD) && hand.sees(&format!("({before})")), "whose lay there");
    // Without the tick the door refuses, and says how it is mended.
    hand.fill(arrival::TAG, &own.to_string());
    let entries = held(&mut hand).order.log.len();
    hand.press(&arrival::open(wrapping));
    assert_eq!(held(&mut hand).order.log.len(), entries);
    assert!(hand.sees("the bench was last used for order"));
    hand.act(Action::Dismiss);
    hand.tab_to(guard::BENCH_CLEAR);
    hand.key(Key::Space);
    assert!(!hand.sees(guard::BENCH_HEAD), "it is clear");
    let (_, last) = {
        let view = hand.window().session().unwrap().view();
        view.studio
            .order(before)
            .unwrap()
            .order
            .log
            .entries()
            .last()
            .map(|(no, e)| (no, e.fact.clone()))
            .unwrap()
    };
    assert_eq!(
        last,
        Fact::Custody(CustodyFact::BenchCleared),
        "it stands in the record of whose material lay there"
    );
    hand.press(&arrival::open(wrapping));
    assert!(held(&mut hand).ledger.custody.things[&wrapping].open);
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn the_refusal_of_the_door_is_mended_by_its_button() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    asks_for_a_clear_bench(&mut hand);
    use_the_bench(&mut hand);
    let own = open(&mut hand, "Juno", Key::Num2);
    let wrapping = Thing::wrapping(1);
    hand.press(&arrival::more(wrapping));
    hand.fill(arrival::TAG, &own.to_string());
    hand.press(&arrival::open(wrapping));
    hand.press("Note that the bench was cleared");
    hand.press(&arrival::open(wrapping));
    assert!(held(&mut hand).ledger.custody.things[&wrapping].open);
}

#[test]
fn a_second_clients_packet_is_not_opened_while_the_first_ones_stands_open() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let (first, envelope) = (held(&mut hand).order.tag, Thing::envelope(1));
    hand.press(&arrival::more(envelope));
    hand.press(arrival::RELEASED);
    hand.fill(arrival::TAG, &first.to_string());
    hand.press(&arrival::open(envelope));
    let own = open(&mut hand, "Juno", Key::Num2);
    let wrapping = Thing::wrapping(1);
    hand.press(&arrival::more(wrapping));
    hand.fill(arrival::TAG, &own.to_string());
    hand.press(&arrival::open(wrapping));
    assert!(!held(&mut hand).ledger.custody.things[&wrapping].open);
    assert!(hand.sees("is open on the bench"));
}

#[test]
fn orders_whose_names_are_alike_stand_together_before_a_packet_is_opened() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let own = held(&mut hand).order.tag;
    assert!(!hand.sees("have names like these"), "nobody is like Gethin yet");
    hand.ctrl(Key::N);
    hand.fill(begin::REMEMBERED, "Gethin Pendri");
    assert!(hand.sees("An order has a name like this."), "while it is typed");
    assert!(hand.sees(&own.to_string()));
    hand.fill(begin::CLIENT, "Somebody Else");
    hand.press(begin::OPEN);
    let new = held(&mut hand).order.tag;
    assert_ne!(new, own);
    open(&mut hand, &own.to_string(), Key::Num2);
    assert!(hand.sees("2 orders have names like these."));
    assert!(hand.sees(&new.to_string()) && hand.sees("this one"));
    hand.ctrl(Key::Num8);
    assert!(hand.sees("2 orders have names like these."), "and before the box is packed");
    assert_eq!(hand.faults(), Vec::<String>::new());
}

/// A second order for a name like Gethin's is opened; the tags of both, Gethin's first.
fn two_alike(hand: &mut Hand) -> [Tag; 2] {
    let own = held(hand).order.tag;
    hand.ctrl(Key::N);
    hand.fill(begin::REMEMBERED, "Gethin Pendri");
    hand.fill(begin::CLIENT, "Somebody Else");
    hand.press(begin::OPEN);
    [own, held(hand).order.tag]
}

#[test]
fn names_that_are_alike_are_shown_while_a_packet_is_written_down() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    // Tall enough that all of the page is seen.
    hand.resize(vec2(1280.0, 1800.0));
    hand.press(arrival::ANOTHER);
    assert!(!hand.sees("have names like these"), "nobody is like Gethin yet");
    let [own, new] = two_alike(&mut hand);
    let coming = "2 orders have names like these. Look whose packet it is";
    open(&mut hand, &new.to_string(), Key::Num2);
    assert!(hand.sees(coming) && hand.sees(&own.to_string()), "nothing came for it yet");
    hand.press(arrival::RECORD);
    assert!(hand.sees(coming) && hand.sees(&own.to_string()), "while its first packet is written down");
    assert_eq!(hand.faults(), Vec::<String>::new());
    open(&mut hand, &own.to_string(), Key::Num2);
    assert!(!hand.sees(coming) && hand.sees("2 orders have names like these. Read the tag"));
    hand.press(arrival::ANOTHER);
    assert!(hand.sees(coming) && hand.sees(&new.to_string()), "and one more of an order that has some");
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn names_that_are_alike_are_shown_while_a_running_order_is_typed() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let own = held(&mut hand).order.tag;
    hand.ctrl(Key::R);
    hand.fill(begin::CLIENT, "Somebody Else");
    assert!(!hand.sees("An order has a name like this."));
    hand.fill(begin::REMEMBERED, "Gethin Pendri");
    assert!(hand.sees("An order has a name like this.") && hand.sees(&own.to_string()));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn names_that_are_alike_are_shown_where_a_stone_is_set() {
    let mut hand = Hand::on("Gethin", Key::Num7);
    assert!(!hand.sees("have names like these"), "nobody is like Gethin yet");
    let [own, new] = two_alike(&mut hand);
    open(&mut hand, &own.to_string(), Key::Num7);
    assert!(hand.sees("2 orders have names like these. Read the tag") && hand.sees(&new.to_string()));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn what_is_put_in_is_told_which_cavity_it_goes_into_by_its_tag() {
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    hand.press(pour::BEGIN);
    let tag = held(&mut hand).order.tag;
    let into = "It goes into stone 4, in cavity ";
    assert!(!hand.sees(into), "not before something is taken out");
    hand.tab_to("The tag on the packet");
    hand.write(&tag.to_string());
    hand.key(Key::Enter);
    assert!(hand.sees(into) && hand.sees(&format!(", marked {tag} S4.")));
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press(pour::PUT_IN);
    assert!(!hand.sees(into), "it is in");
}

#[test]
fn everything_that_bears_the_tag_is_listed_where_the_packet_is_opened() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let order = held(&mut hand);
    let tag = order.order.tag;
    hand.press(guard::TAGS);
    for thing in [Thing::wrapping(1), Thing::envelope(1)] {
        assert!(hand.sees(&format!("{tag} {thing}")), "{thing}");
    }
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.ctrl(Key::Num8);
    assert!(!hand.sees(guard::TAGS_SAYS));
    assert!(!hand.sees(pack::DESTROY_ASKED));
}
