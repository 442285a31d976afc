//! One test for each refusal: the sentence that is said, and that its remedy mends it; and what is found at load.

use super::*;
use crate::fact::{
    ClientFact, CustodyFact, Hardness, HomeFact, LayerKind, LeftOut, Mistake, PourFact, Press,
};
use crate::id::Thing;
use crate::order::{About, Page, Photo, PhotoKind, ThingNote};
use crate::place::Place;
use crate::shelf::{Body, Lamp, Mould, Setting};
use crate::testing::*;
use crate::text::{Line, Text};
use crate::units::{Length, Load, Share, Span};

const W1: Thing = Thing::wrapping(1);

fn with_sheet(bench: &Bench, change: impl Fn(&mut Sheet)) -> Edit {
    let mut sheet = bench.held().order.sheet.clone();
    change(&mut sheet);
    Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)))
}

/// An edit that is refused with this sentence, and that no single edit would mend.
fn refused(bench: &mut Bench, edit: Edit, sentence: &str) {
    let why = bench.refuse_edit(edit);
    assert_eq!(why.to_string(), sentence);
    assert_eq!(why.remedy(), None);
}

fn fact(fact: impl Into<Fact>) -> Edit {
    Edit::Order(tag(0), OrderEdit::Fact(fact.into()))
}

fn put(id: &str, change: impl Fn(&mut Item)) -> Edit {
    let (id, mut item) = shelf().into_iter().find(|(known, _)| known.as_str() == id).unwrap();
    change(&mut item);
    Edit::Shelf(id, ShelfEdit::Put(Box::new(item)))
}

#[test]
fn an_order_that_is_not_there_is_refused() {
    let sentence = format!("there is no order {}; look at the tag again", tag(2));
    let edits = [
        OrderEdit::Fact(ClientFact::Answered.into()),
        OrderEdit::Fact(opened(tag(2), W1).into()),
        OrderEdit::Fact(Fact::Struck { entry: 1, why: Mistake::WrongThing }),
        OrderEdit::Sheet(Box::new(sheet(&[]))),
        OrderEdit::Story(Words { about: About::Page(Page::Brief), text: Text::default() }),
    ];
    for edit in edits {
        refused(&mut Bench::new(), Edit::Order(tag(2), edit), &sentence);
    }
}

#[test]
fn a_tag_is_given_once() {
    let open = OrderEdit::Open { client: client_id(0), sheet: Box::new(sheet(&[])) };
    let sentence = format!("the tag {} belongs to another order already; take a new one", tag(0));
    refused(&mut Bench::new(), Edit::Order(tag(0), open), &sentence);
}

#[test]
fn an_order_belongs_to_a_client_who_is_written_down() {
    let open = OrderEdit::Open { client: client_id(9), sheet: Box::new(sheet(&[])) };
    let sentence = "the client client-9 is not in this studio; add the client first";
    refused(&mut Bench::new(), Edit::Order(tag(2), open), sentence);
}

#[test]
fn what_is_used_stands_on_the_shelf() {
    let mut bench = Bench::new();
    let edit = with_sheet(&bench, |sheet| sheet.stones[0].resin = item("gone"));
    refused(&mut bench, edit, "gone is not on the shelf; add it first");
    let retire = Edit::Shelf(item("gone"), ShelfEdit::Retire(true));
    refused(&mut bench, retire, "gone is not on the shelf; add it first");
}

#[test]
fn what_is_used_is_of_its_kind() {
    let mut bench = Bench::new();
    type Change = fn(&mut Sheet);
    let swaps: [(Change, &str); 5] = [
        (|sheet| sheet.stones[0].mould = item("clear"), "clear on the shelf is not a mould"),
        (|sheet| sheet.stones[0].resin = item("oval"), "oval on the shelf is not a bottle of resin"),
        (|sheet| sheet.stones[0].lamp = item("oval"), "oval on the shelf is not a lamp"),
        (|sheet| sheet.stones[0].pigment = item("oval"), "oval on the shelf is not a pigment"),
        (|sheet| sheet.setting = Some(item("oval")), "oval on the shelf is not a setting"),
    ];
    for (change, sentence) in swaps {
        let edit = with_sheet(&bench, change);
        refused(&mut bench, edit, sentence);
    }
    let other = Edit::Shelf(item("clear"), ShelfEdit::Put(Box::new(shelf()[1].1.clone())));
    let sentence =
        "clear on the shelf is not a lamp and stays what it is; add a lamp under a name of its own";
    refused(&mut bench, other, sentence);
}

#[test]
fn a_retired_bottle_is_not_poured_from_until_it_is_brought_back() {
    let mut bench = Bench::begun();
    bench.edit(Edit::Shelf(item("clear"), ShelfEdit::Retire(true))).unwrap();
    let layer = fact(laid(1, 1, LayerKind::Material));
    let why = bench.refuse_edit(layer.clone());
    assert_eq!(why.to_string(), "clear is retired; take another, or bring it back into use");
    bench.edit(why.remedy().unwrap()).unwrap();
    bench.edit(layer).unwrap();
}

#[test]
fn the_pigment_of_a_layer_is_a_pigment_of_the_shelf_and_stays_in_the_record() {
    let mut bench = Bench::begun();
    let with = |name: &str| {
        let mut layer = laid(1, 1, LayerKind::Material);
        if let PourFact::Laid { pigment, .. } = &mut layer {
            *pigment = Some(item(name));
        }
        layer
    };
    refused(&mut bench, fact(with("oval")), "oval on the shelf is not a pigment");
    refused(&mut bench, fact(with("gone")), "gone is not on the shelf; add it first");
    bench.record(with("night"));
    assert_eq!(bench.held().ledger.pours.stone(1).unwrap().layers[0].pigment, Some(item("night")));
}

#[test]
fn a_press_is_no_longer_than_its_button_but_a_paused_one_may_be_shorter() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let press = |seconds| {
        let (lamp, seconds, ramp) = (item("box-lamp"), Span::from_s(seconds), Span::ZERO);
        fact(PourFact::LampOn { stones: vec![1], press: Press { lamp, button: 1, seconds, ramp } })
    };
    let sentence = "button 1 of box-lamp gives 60 s of light and no more; press it again for more";
    refused(&mut bench, press(60.1), sentence);
    bench.edit(press(20.0)).unwrap();
}

#[test]
fn a_plan_that_only_works_out_other_light_leaves_a_laid_layer_as_it_is() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let change = |change: &dyn Fn(&mut crate::planner::PlannedLayer)| {
        with_sheet(&bench, |sheet| change(&mut sheet.stones[0].plan.as_mut().unwrap().layers[0]))
    };
    let surer = change(&|layer| layer.cautious = layer.nominal);
    let other = change(&|layer| layer.button = "another".into());
    assert!(matches!(bench.clone().refuse_edit(other), Refusal::LaidOtherwise { stone: 1, layer: 1 }));
    bench.edit(surer).unwrap();
}

#[test]
fn a_retired_lamp_or_mould_is_not_worked_with() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Clear));
    bench.edit(Edit::Shelf(item("box-lamp"), ShelfEdit::Retire(true))).unwrap();
    let light = fact(lamp_on(&[1]));
    assert!(matches!(bench.refuse_edit(light.clone()), Refusal::Retired(lamp) if lamp == item("box-lamp")));
    bench.edit(Edit::Shelf(item("box-lamp"), ShelfEdit::Retire(false))).unwrap();
    bench.edit(light).unwrap();
    let mut bench = Bench::unpacked();
    bench.edit(Edit::Shelf(item("oval"), ShelfEdit::Retire(true))).unwrap();
    let why = bench.refuse_edit(fact(begun(1, CELLS[0])));
    assert!(matches!(&why, Refusal::Retired(mould) if *mould == item("oval")), "{why}");
}

#[test]
fn no_label_is_numbered_nought() {
    let mut bench = Bench::new();
    let mut sheet = bench.held().order.sheet.clone();
    sheet.things.push(ThingNote { thing: Thing::keepsake(0), description: line("a letter") });
    let why = bench.refuse_edit(Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet))));
    assert_eq!(why.to_string(), "K0 cannot be a label; things are numbered from 1");
}

#[test]
fn the_refusal_of_a_fact_says_what_the_record_says() {
    let mut bench = Bench::unpacked();
    let why = bench.refuse(CustodyFact::Placed { thing: W1, place: Place::Kept(1) });
    assert_eq!(why.to_string(), "W1 is still open; close it first");
    assert_eq!(why.remedy(), Some(fact(closed(W1))));
}

#[test]
fn one_clients_material_is_open_at_a_time() {
    let mut bench = Bench::unpacked();
    bench.open(1);
    bench.record(received(1));
    let open = Edit::Order(tag(1), OrderEdit::Fact(opened(tag(1), W1).into()));
    let why = bench.refuse_edit(open.clone());
    let sentence = format!(
        "W1 of order {} is open on the bench; close it before opening anything of {}",
        tag(0),
        tag(1)
    );
    assert_eq!(why.to_string(), sentence);
    let told = Edit::Order(tag(1), OrderEdit::Told(day(1), opened(tag(1), W1).into()));
    assert_eq!(bench.refuse_edit(told), why, "telling of it opens nothing either");
    bench.edit(why.remedy().unwrap()).unwrap();
    bench.edit(open).unwrap();
}

#[test]
fn striking_that_a_packet_was_closed_does_not_open_two() {
    let mut bench = Bench::unpacked();
    let shut = bench.record(closed(W1));
    bench.open(1);
    bench.record(received(1));
    bench.record(opened(tag(1), W1));
    let strike = fact(Fact::Struck { entry: shut, why: Mistake::DidNotHappen });
    let why = bench.refuse_edit(strike.clone());
    assert!(matches!(&why, Refusal::OtherOpen { open, .. } if *open == tag(1)), "{why}");
    // The broken rule takes the strike for a matter of the one order.
    let broken = ledger::strike(tag(0), &bench.studio.order(tag(0)).unwrap().order.log, shut).unwrap();
    assert!(broken.custody.open().next().is_some() && bench.held().ledger.custody.open().next().is_some());
    bench.edit(why.remedy().unwrap()).unwrap();
    bench.edit(strike).unwrap();
}

#[test]
fn a_cavity_holds_one_stone() {
    let mut bench = Bench::begun();
    bench.open(1);
    let edit = with_sheet(&bench, |sheet| sheet.stones[0].cell = cell("A1"));
    bench.edit(edit).unwrap();
    let begin = Edit::Order(tag(1), OrderEdit::Fact(begun(1, "A1").into()));
    let sentence = format!(
        "cavity A1 of oval holds stone 1 of order {}; take that one out first, or use another cavity",
        tag(0)
    );
    refused(&mut bench, begin.clone(), &sentence);
    bench.edit(fact(taken_out(1))).unwrap();
    bench.edit(begin).unwrap();
}

#[test]
fn striking_that_a_stone_left_its_mould_needs_its_cavity_free() {
    let mut bench = Bench::hard();
    let out = bench.record(taken_out(1));
    let edit = with_sheet(&bench, |sheet| sheet.stones[1].cell = cell("A1"));
    bench.edit(edit).unwrap();
    bench.record(begun(2, "A1"));
    let strike = fact(Fact::Struck { entry: out, why: Mistake::WrongThing });
    let why = bench.refuse_edit(strike);
    assert!(matches!(why, Refusal::CellTaken { by, .. } if by == tag(0)), "{why}");
}

#[test]
fn a_stone_found_in_its_mould_needs_its_cavity_free() {
    let mut bench = Bench::hard();
    let place = Place::Cavity { mould: item("oval"), cell: cell("A1") };
    bench.record(CustodyFact::Lost { thing: Thing::stone(1) });
    let edit = with_sheet(&bench, |sheet| sheet.stones[1].cell = cell("A1"));
    bench.edit(edit).unwrap();
    bench.record(begun(2, "A1"));
    let why = bench.refuse(CustodyFact::Found { thing: Thing::stone(1), place });
    assert!(matches!(why, Refusal::CellTaken { stone: 2, .. }), "{why}");
}

#[test]
fn a_cavity_is_one_of_the_tray() {
    let mut bench = Bench::new();
    let sentence = "oval has no cavity C9; look at its tray";
    let edit = with_sheet(&bench, |sheet| sheet.stones[0].cell = cell("C9"));
    refused(&mut bench, edit, sentence);
    refused(&mut bench, fact(begun(1, "C9")), sentence);
}

#[test]
fn a_stone_is_begun_where_the_sheet_plans_it() {
    let sentence = "stone 1 is planned in cavity A1 of oval; use that one, or change the sheet first";
    refused(&mut Bench::new(), fact(begun(1, "A2")), sentence);
    let sentence = "stone 7 is not on the order's sheet; add it to the plan first";
    refused(&mut Bench::new(), fact(begun(7, "A1")), sentence);
}

#[test]
fn a_button_is_one_of_the_lamp() {
    let mut bench = Bench::hard();
    for button in [0, 3] {
        let (lamp, seconds) = (item("box-lamp"), Span::from_s(60.0));
        let press = Press { lamp, button, seconds, ramp: Span::ZERO };
        let on = fact(PourFact::LampOn { stones: vec![1], press });
        let sentence = format!(
            "box-lamp has no button {button}; look at the lamp and choose one it has, or add that one on the shelf"
        );
        refused(&mut bench, on, &sentence);
    }
}

#[test]
fn a_place_is_one_of_the_list() {
    let mut bench = Bench::unpacked();
    for no in [0, 4] {
        let placed = fact(CustodyFact::Placed { thing: Thing::envelope(1), place: Place::Kept(no) });
        refused(
            &mut bench,
            placed,
            &format!("there is no place number {no}; add it to the studio's list of drawers and tins"),
        );
    }
}

#[test]
fn a_place_in_use_stays_on_the_list() {
    let mut bench = Bench::unpacked();
    let named = |names: &[&str]| {
        let mut settings = policies();
        settings.places = names.iter().map(|name| line(name)).collect();
        Edit::Policies(Box::new(settings))
    };
    let sentence = "places keep their numbers; leave one that is no longer used on the list, without a name";
    refused(&mut bench, named(&["safe", "drawer"]), sentence);
    let swapped = bench.refuse_edit(named(&["drawer", "safe", "tin"])).to_string();
    assert!(swapped.starts_with("a place with that name has another number already"), "{swapped}");
    let sentence = format!(
        "place number 2 holds things of order {}; rename it, or put them elsewhere before it loses its name",
        tag(0)
    );
    refused(&mut bench, named(&["safe", "", "tin"]), &sentence);
    bench.edit(named(&["safe", "chest", "tin"])).unwrap();
    // What is not here any more keeps no place in use, and a place without a name takes nothing new.
    bench.record(CustodyFact::Lost { thing: Thing::envelope(1) });
    bench.edit(named(&["safe", "", "tin"])).unwrap();
    let placed = fact(CustodyFact::Found { thing: Thing::envelope(1), place: Place::Kept(2) });
    refused(
        &mut bench,
        placed,
        "there is no place number 2; add it to the studio's list of drawers and tins",
    );
}

#[test]
fn the_remembered_one_and_the_client_have_names() {
    let mut bench = Bench::new();
    let nameless = with_sheet(&bench, |sheet| sheet.remembered.name = Line::default());
    refused(&mut bench, nameless, "write the name of the one who is remembered; it stands on every page");
    let client = Edit::Client(client_id(0), ClientEdit::Put(Box::new(client(""))));
    refused(&mut bench, client, "write the client's name");
}

#[test]
fn nothing_stands_twice_on_a_sheet() {
    let mut bench = Bench::new();
    let edit = with_sheet(&bench, |sheet| sheet.stones[1].no = 1);
    refused(&mut bench, edit, "stone 1 is there twice; keep one of them");
    let note = ThingNote { thing: W1, description: line("a blue tin") };
    let edit = with_sheet(&bench, |sheet| sheet.things = vec![note.clone(), note.clone()]);
    refused(&mut bench, edit, "the note on W1 is there twice; keep one of them");
    let photo =
        |of| Photo { original: Digest::of(b"p"), kind: PhotoKind::Jpeg, of, caption: Line::default() };
    let edit = with_sheet(&bench, |sheet| sheet.photos = vec![photo(Some(W1)), photo(Some(W1))]);
    refused(&mut bench, edit, "photo 148d e9c5 is there twice; keep one of them");
    let edit = with_sheet(&bench, |sheet| sheet.photos = vec![photo(Some(W1)), photo(None)]);
    bench.edit(edit).unwrap();
}

#[test]
fn a_stone_that_is_begun_stays_on_the_sheet_and_in_its_cavity() {
    let mut bench = Bench::begun();
    let edit = with_sheet(&bench, |sheet| drop(sheet.stones.remove(0)));
    let sentence = "stone 1 has been begun and stays on the sheet; set it aside if it is not to be shown";
    refused(&mut bench, edit, sentence);
    let edit = with_sheet(&bench, |sheet| sheet.stones[0].cell = cell("A2"));
    let sentence = "stone 1 sits in its cavity already; its mould and cavity cannot change";
    refused(&mut bench, edit, sentence);
}

#[test]
fn a_new_plan_begins_with_what_is_laid() {
    let mut bench = Bench::hard();
    let thin = |sheet: &mut Sheet| {
        let plan = sheet.stones[0].plan.as_mut().unwrap();
        plan.layers[0].thickness = Length::from_mm(0.7);
    };
    let edit = with_sheet(&bench, thin);
    let sentence =
        "layer 1 of stone 1 is laid, and the new plan differs there; plan again from what was laid";
    refused(&mut bench, edit, sentence);
    let edit = with_sheet(&bench, |sheet| sheet.stones[0].plan = None);
    refused(&mut bench, edit, sentence);
    let edit = with_sheet(&bench, |sheet| {
        let layer = &mut sheet.stones[0].plan.as_mut().unwrap().layers[0];
        (layer.thickness, layer.load) = (Length::from_mm(1.0), Load::ZERO);
    });
    bench.edit(edit).unwrap();
    let edit = with_sheet(&bench, |sheet| {
        sheet.stones[0].plan.as_mut().unwrap().layers[1].thickness = Length::from_mm(0.7);
    });
    bench.edit(edit).unwrap();
}

#[test]
fn undo_stops_at_the_last_thing_that_really_happened() {
    let mut bench = Bench::new();
    let edit = with_sheet(&bench, |sheet| sheet.wishes = "a little gold".parse().unwrap());
    let before = bench.edit(edit).unwrap().before.unwrap();
    bench.record(ClientFact::Answered);
    let why = bench.studio.put_back(before).unwrap_err();
    let sentence =
        "something real has happened since, and that cannot be undone; strike the entry if it was a mistake";
    assert_eq!(why.to_string(), sentence);
    let done = bench.edit(fact(ClientFact::KitPosted)).unwrap();
    assert_eq!((done.before, done.entry), (None, Some(2)), "a fact offers no undo");
}

#[test]
fn words_are_about_an_entry_that_is_there() {
    let mut bench = Bench::new();
    let words = |entry| {
        let text = "it smelled of hay".parse().unwrap();
        Edit::Order(tag(0), OrderEdit::Story(Words { about: About::Entry(entry), text }))
    };
    refused(&mut bench, words(1), "there is no entry 1 to write about");
    bench.record(ClientFact::Answered);
    bench.edit(words(1)).unwrap();
    assert_eq!(bench.held().order.story.about(About::Entry(1)).unwrap().as_str(), "it smelled of hay");
}

#[test]
fn a_locked_document_changes_neither_by_an_edit_nor_by_undo() {
    let mut bench = Bench::new();
    let edit = with_sheet(&bench, |sheet| sheet.wishes = "a little gold".parse().unwrap());
    let before = bench.edit(edit.clone()).unwrap().before.unwrap();
    let why = "a newer version wrote it";
    bench.studio.lock(DocId::Order(tag(0)), why.to_owned());
    refused(&mut bench, edit, why);
    let studio = bench.studio.clone();
    assert_eq!(bench.studio.put_back(before).unwrap_err().to_string(), why);
    assert_eq!(bench.studio, studio);
}

#[test]
fn a_shelf_item_is_what_a_careful_maker_would_write_down() {
    let mut bench = Bench::new();
    refused(&mut bench, put("clear", |item| item.name = Line::default()), "give it the name you call it by");
    let none = put("box-lamp", |item| item.what = What::Lamp(Lamp { buttons: Vec::new() }));
    refused(&mut bench, none, "a lamp needs at least one button; press each and count its seconds");
    let tray = |marks: &[&str]| {
        let cells = marks.iter().map(|mark| cell(mark)).collect();
        let mould = Mould { cavity: cavity(), cells, body: Body::Opaque };
        put("oval", move |item| item.what = What::Mould(mould.clone()))
    };
    refused(&mut bench, tray(&[]), "a mould needs at least one cavity; mark a single one A1");
    refused(&mut bench, tray(&["A1", "B1", "A1"]), "two cavities are marked A1; give each its own mark");
    let flat = Setting { kind: line("ring"), opening: oval(), wall: Length::ZERO, metal: line("925 silver") };
    let flat = put("pendant", move |item| item.what = What::Setting(flat.clone()));
    refused(&mut bench, flat, "the wall of a setting is a length above nothing");
    let rich = put("night", |item| {
        if let What::Pigment(pigment) = &mut item.what {
            pigment.mix.most = Load::from_percent(9.0);
        }
    });
    let sentence = "the highest load to plan with is above what spoils the resin; lower it to 1.5 %";
    refused(&mut bench, rich, sentence);
}

#[test]
fn the_settings_stay_within_what_makes_sense() {
    let mut bench = Bench::new();
    let with = |change: fn(&mut Policies)| {
        let mut settings = policies();
        change(&mut settings);
        Edit::Policies(Box::new(settings))
    };
    let sentence = "the studio's id stays for good; every record rests on it";
    refused(&mut bench, with(|settings| settings.studio = "other".parse().unwrap()), sentence);
    let sentence = "write the studio's name; it stands on every paper";
    refused(&mut bench, with(|settings| settings.name = Line::default()), sentence);
    let sentence = "a keep-back is between a hundredth and nine tenths of a lot";
    refused(&mut bench, with(|settings| settings.keep_back = Share::NONE), sentence);
    refused(&mut bench, with(|settings| settings.keep_back = Share::WHOLE), sentence);
    let sentence = "the limit for telling is between a thousandth and a half";
    refused(&mut bench, with(|settings| settings.tell_limit = Share::NONE), sentence);
    bench.edit(with(|settings| settings.keep_back = Share::of(9, 10))).unwrap();
}

#[test]
fn two_orders_that_lie_open_on_the_disk_are_found_and_not_mended() {
    let mut bench = Bench::unpacked();
    let first = bench.studio.doc(&DocId::Order(tag(0))).unwrap();
    bench.record(closed(W1));
    bench.open(1);
    bench.record(received(1));
    bench.record(opened(tag(1), W1));
    bench.studio.take(first).unwrap();
    let found = bench.studio.findings();
    assert_eq!(found, [Finding::OpenTogether(vec![tag(0), tag(1)])]);
    let sentence = format!(
        "material of {} and {} stands open at once; close all but the one on the bench",
        tag(0),
        tag(1)
    );
    assert_eq!(found[0].to_string(), sentence);
}

#[test]
fn what_is_missing_across_files_is_found() {
    let mut bench = Bench::unpacked();
    bench.record(begun(1, "A1"));
    let order = bench.studio.doc(&DocId::Order(tag(0))).unwrap();
    let mut settings = policies();
    settings.places.truncate(1);
    let mut bare = Studio::new(settings);
    bare.take(order).unwrap();
    let said: Vec<String> = bare.findings().iter().map(ToString::to_string).collect();
    let own = tag(0);
    assert!(said.contains(&format!(
        "order {own} belongs to client client-0, whose file is not here; look in a backup or write the client down again"
    )));
    assert!(said.contains(&format!(
        "stone 1 of order {own} uses oval, which is not on the shelf; add it again under that name"
    )));
    assert!(said.contains(&format!(
        "E1 of order {own} is kept in place number 2, which is not on the studio's list"
    )));
    assert_eq!(said.len(), 1 + 2 * 4 + 1, "{said:?}");
}

#[test]
fn two_stones_said_to_lie_in_one_cavity_are_found() {
    let mut bench = Bench::begun();
    let first = bench.studio.doc(&DocId::Order(tag(0))).unwrap();
    bench.record(closed(W1));
    bench.record(taken_out(1));
    bench.open(1);
    let edit = with_sheet(&bench, |sheet| sheet.stones[0].cell = cell("A1"));
    bench.edit(edit).unwrap();
    bench.record(begun(1, "A1"));
    bench.studio.take(first).unwrap();
    let said: Vec<String> = bench.studio.findings().iter().map(ToString::to_string).collect();
    let sentence = format!(
        "A1 of oval is said to hold stone 1 of {} and stone 1 of {}; look into the tray and place one of them anew",
        tag(0),
        tag(1)
    );
    assert_eq!(said, [sentence]);
}

#[test]
fn a_lot_worked_with_before_its_keep_back_is_found() {
    let mut bench = Bench::new();
    bench.tell(received(1));
    bench.tell(begun(1, "A1"));
    let said: Vec<String> = bench.studio.findings().iter().map(ToString::to_string).collect();
    let sentence = format!(
        "lot 1 of order {} has no keep-back; nothing more can be taken from it until one is put away",
        tag(0)
    );
    assert_eq!(said, [sentence]);
}

#[test]
fn the_whole_order_leaves_nothing_to_find() {
    let mut bench = Bench::new();
    walk(&mut bench.studio, tag(0));
    assert_eq!(bench.studio.findings(), []);
    let ledger = &bench.held().ledger;
    assert_eq!(ledger.to_pack(), []);
    assert!(ledger.custody.things.values().all(|held| held.part_of.is_some() || held.place == Place::Home));
    let stone = ledger.pours.stone(1).unwrap();
    assert!(stone.layers.iter().all(|layer| layer.felt == Some(Hardness::Hard)));
    assert_eq!(
        bench.refuse(HomeFact::Unticked { thing: W1 }).to_string(),
        "W1 is not here: it is at home with the client"
    );
}

#[test]
fn an_issued_invoice_is_neither_misdated_nor_taken_back() {
    let mut bench = Bench::new();
    let issue = |year| Edit::Invoices(Year(year), InvoiceEdit::Issue(Box::new(invoice(day(2)))));
    let sentence = "it is dated 2026-03-02, but this is the series of 2025; date it in that year, or issue it in the \
                    other series";
    refused(&mut bench, issue(2025), sentence);
    let done = bench.edit(issue(2026)).unwrap();
    assert_eq!(done.before, None, "an issued invoice offers no undo");
    let series = bench.studio.doc(&DocId::Invoices(Year(2026))).unwrap();
    assert_eq!(bench.studio.put_back(series), Err(Refusal::Issued));
}

#[test]
fn credit_is_held_against_an_invoice_of_another_year() {
    let mut bench = Bench::new();
    let issue = |draft| Edit::Invoices(Year(2026), InvoiceEdit::Issue(Box::new(draft)));
    let of = InvoiceNo { year: Year(2025), number: 1 };
    let credit = InvoiceDraft { kind: Kind::CreditNote { of }, pay_by: None, ..invoice(day(2)) };
    let sentence = "there is no invoice 2025-0001 to give credit for; choose one that was issued before";
    refused(&mut bench, issue(credit.clone()), sentence);
    let before = InvoiceDraft { dated: "2025-12-01".parse().unwrap(), ..invoice(day(2)) };
    bench.edit(Edit::Invoices(Year(2025), InvoiceEdit::Issue(Box::new(before)))).unwrap();
    bench.edit(issue(credit.clone())).unwrap();
    let sentence =
        "that is more than the 0.00 EUR still open of invoice 2025-0001; give credit for that at most";
    refused(&mut bench, issue(credit), sentence);
}

#[test]
fn what_is_issued_is_for_more_than_nothing() {
    let mut bench = Bench::new();
    let mut free = invoice(day(2));
    free.bill.lines[0].unit_price.minor = 0;
    let edit = Edit::Invoices(Year(2026), InvoiceEdit::Issue(Box::new(free)));
    refused(&mut bench, edit, "it comes to 0.00 EUR, VAT included; what is issued is for more than nothing");
}

#[test]
fn an_order_that_could_not_be_read_lets_nothing_be_opened_or_begun() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.studio.lock(DocId::Order(tag(7)), "it does not read".to_owned());
    for unread in [Fact::from(opened(tag(0), W1)), begun(1, "A1").into()] {
        let why = bench.refuse(unread).to_string();
        assert!(why.starts_with(&format!("the file of order {} could not be read", tag(7))), "{why}");
    }
    bench.tell(begun(1, "A1"));
    bench.tell(opened(tag(0), W1));
}

#[test]
fn no_place_cavity_or_button_goes_while_an_order_is_not_read_that_may_use_it() {
    let mut bench = Bench::new();
    let places = |names: &[&str]| {
        Box::new(Policies { places: names.iter().map(|name| line(name)).collect(), ..policies() })
    };
    let tray = |marks: &[&str]| {
        let cells = marks.iter().map(|mark| cell(mark)).collect();
        let mould = Mould { cavity: cavity(), cells, body: Body::LetsLightIn };
        put("oval", move |item| item.what = What::Mould(mould.clone()))
    };
    let old_places = bench.studio.doc(&DocId::Policies).unwrap();
    bench.edit(Edit::Policies(places(&["safe", "drawer", "tin", "shelf"]))).unwrap();
    let old_lamp = bench.studio.doc(&DocId::Shelf(item("box-lamp"))).unwrap();
    let longer = put("box-lamp", |item| {
        if let What::Lamp(lamp) = &mut item.what {
            lamp.buttons.push(Button::new("long", Span::from_s(180.0), Span::ZERO).unwrap());
        }
    });
    bench.edit(longer).unwrap();
    let free = bench.studio.clone();
    bench.studio.lock(DocId::Order(tag(7)), "it does not read".to_owned());
    let unread = Err(Refusal::Unread(tag(7)));
    let blank = Edit::Policies(places(&["safe", "drawer", "", "shelf"]));
    for goes in [blank, tray(&["A1", "B2"])] {
        assert_eq!(bench.studio.apply(goes.clone(), at(700)).map(|_| ()), unread, "{goes:?}");
        assert!(free.clone().apply(goes, at(700)).is_ok(), "with every order read it may go");
    }
    for back in [old_places, old_lamp] {
        assert_eq!(bench.studio.put_back(back.clone()).map(|_| ()), unread, "{back:?}");
        assert!(free.clone().put_back(back).is_ok(), "with every order read it may go");
    }
    // What only gets another name, or is added, takes nothing away.
    bench.edit(Edit::Policies(places(&["safe", "chest", "tin", "shelf", "case"]))).unwrap();
}

#[test]
fn a_stone_that_is_gone_blocks_no_cavity() {
    let mut bench = Bench::begun();
    bench.record(instructed(Thing::stone(1), crate::fact::Wish::Destroy));
    let why = bench.refuse(HomeFact::LeftOut { thing: Thing::stone(1), why: LeftOut::DestroyedOnRequest });
    assert_eq!(why.to_string(), "stone 1 is still in its mould; take it out first");
    bench.tell(set(1));
    bench.record(closed(W1));
    bench.open(1);
    let sheet = with_sheet(&bench, |sheet| sheet.stones[0].cell = cell("A1"));
    bench.edit(sheet).unwrap();
    bench.record(begun(1, "A1"));
    assert_eq!(bench.studio.findings(), [], "they do not share it");
}

#[test]
fn what_is_told_of_is_not_judged_by_the_bench_of_today() {
    let mut bench = Bench::begun();
    bench.record(closed(W1));
    bench.open(1);
    let sheet = with_sheet(&bench, |sheet| sheet.stones[0].cell = cell("A1"));
    bench.edit(sheet).unwrap();
    assert!(matches!(bench.refuse(begun(1, "A1")), Refusal::CellTaken { .. }));
    bench.tell(begun(1, "A1"));
    assert!(matches!(bench.studio.findings()[..], [Finding::CavityShared { .. }]));
}

#[test]
fn the_shelf_keeps_what_is_in_use() {
    let mut bench = Bench::begun();
    let tray = |marks: &[&str]| {
        let cells = marks.iter().map(|mark| cell(mark)).collect();
        let mould = Mould { cavity: cavity(), cells, body: Body::LetsLightIn };
        put("oval", move |item| item.what = What::Mould(mould.clone()))
    };
    for (marks, stone) in [(["A2", "B2"], 1), (["A1", "B3"], 2)] {
        let why = bench.refuse_edit(tray(&marks));
        assert!(matches!(why, Refusal::CellInUse { stone: of, .. } if of == stone), "{why}");
    }
    bench.edit(tray(&["A1", "B2"])).unwrap();
    let lamp = |change: fn(&mut Vec<Button>)| {
        put("box-lamp", move |item| {
            if let What::Lamp(lamp) = &mut item.what {
                change(&mut lamp.buttons);
            }
        })
    };
    assert_eq!(
        bench.refuse_edit(lamp(|buttons| buttons.truncate(1))),
        Refusal::ButtonsStay(item("box-lamp"))
    );
    assert_eq!(bench.refuse_edit(lamp(|buttons| buttons.reverse())), Refusal::ButtonsStay(item("box-lamp")));
    // A stone that is begun is made, whatever became of the shelf since.
    bench.record(closed(W1));
    bench.record(taken_out(1));
    bench.edit(tray(&["B2"])).unwrap();
    let wish = with_sheet(&bench, |sheet| sheet.wishes = "blue".parse().unwrap());
    bench.edit(wish).unwrap();
}

#[test]
fn the_same_rules_hold_wherever_a_document_comes_from() {
    let mut bench = Bench::new();
    let nameless = Doc::Client(client_id(5), Box::new(client("")));
    assert_eq!(bench.studio.take(nameless), Err(Refusal::NoClientName));
    let mut settings = policies();
    settings.handling.lay = Span::from_s(1.5);
    let sentence = "times on the bench are whole seconds, and not below nothing";
    assert_eq!(
        bench.studio.take(Doc::Policies(Box::new(settings.clone()))),
        Err(Refusal::Policies(sentence))
    );
    refused(&mut bench, Edit::Policies(Box::new(settings)), sentence);
    let step = put("night", |item| {
        if let What::Pigment(pigment) = &mut item.what {
            pigment.mix.step = Load::ZERO;
        }
    });
    let sentence =
        "loads are planned from the lowest to the highest in steps above nothing; look at all three";
    refused(&mut bench, step, sentence);
    let top = with_sheet(&bench, |sheet| sheet.stones[0].top = LayerKind::Opaque);
    refused(&mut bench, top, "the layer on the face of stone 1 is glossy or satin; choose one of the two");
    bench.record(received(1));
    let greedy = with_sheet(&bench, |sheet| sheet.stones[0].shares[0].part = Share::of(7, 10));
    let sentence =
        "the stones would take more than the 66.7 % of lot 1 that can be worked with; plan smaller shares";
    refused(&mut bench, greedy, sentence);
    let strike = Fact::Struck { entry: 1, why: Mistake::WrongThing };
    let ahead = Edit::Order(tag(0), OrderEdit::Told(day(30), strike));
    refused(&mut bench, ahead, "2026-03-30 has not come yet; what is told of has already happened");
}

#[test]
fn an_order_whose_file_could_not_be_used_is_not_called_missing() {
    let mut bench = Bench::new();
    let why = "its file could not be used: it was cut short".to_owned();
    bench.studio.lock(DocId::Order(tag(2)), why.clone());
    assert_eq!(bench.studio.order(tag(2)).unwrap_err().to_string(), why);
    assert_eq!(bench.studio.order(tag(3)).unwrap_err(), Refusal::NoOrder(tag(3)));
}
