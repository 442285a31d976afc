use super::*;
use crate::fact::{ClientFact, CustodyFact, HomeFact, PourFact};
use crate::studio::{Edit, OrderEdit};
use crate::testing::*;

/// An order kept as it is: what is packed is not pressed.
#[derive(Debug)]
struct AsItIs(Order);

impl Packed for AsItIs {
    fn unpack(&self) -> Option<Order> {
        Some(self.0.clone())
    }
}

fn as_it_is(held: &Held) -> Arc<dyn Packed> {
    Arc::new(AsItIs(held.order.clone()))
}

fn over() -> Bench {
    let mut bench = Bench::new();
    walk(&mut bench.studio, tag(0));
    bench.minute = 1_000;
    bench
}

/// True where the order of the bench can be put to rest.
fn rests(bench: &Bench) -> bool {
    let packed = as_it_is(bench.held());
    bench.studio.clone().lay_to_rest(tag(0), || packed).is_some()
}

#[test]
fn an_order_rests_once_it_is_thanked_for_and_not_before() {
    let mut bench = Bench::new();
    let life = whole_life(tag(0), &["A1", "B2"]);
    let last = life.len();
    for (place, fact) in (1..).zip(life) {
        assert!(!rests(&bench));
        bench.record(fact);
        assert_eq!(rests(&bench), place == last);
    }
}

#[test]
fn what_the_studio_still_asks_of_keeps_an_order_awake() {
    let stays_awake = |change: &dyn Fn(&mut Bench)| {
        let mut bench = over();
        change(&mut bench);
        assert_eq!(bench.held().stage(), Stage::GoneHome);
        !rests(&bench)
    };
    let sheet = |bench: &mut Bench, change: &dyn Fn(&mut crate::order::Sheet)| {
        let mut sheet = bench.held().order.sheet.clone();
        change(&mut sheet);
        bench.edit(Edit::Order(tag(0), OrderEdit::Sheet(Box::new(sheet)))).unwrap();
    };
    assert!(!stays_awake(&|bench| sheet(bench, &|sheet| sheet.remembered.name = line("Bramble the second"))));
    assert!(stays_awake(&|bench| sheet(bench, &|sheet| sheet.stones.push(stone_sheet(3, "A1")))));
    assert!(!stays_awake(&|bench| _ = bench.record(ClientFact::Thanked)));
    // A lot that came afterwards has to be packed.
    assert!(stays_awake(&|bench| _ = bench.record(received(2))));
}

#[test]
fn one_at_rest_answers_as_it_did_and_wakes_with_a_change() {
    let mut bench = over();
    let whole = bench.held().clone();
    let packed = as_it_is(&whole);
    let summary = bench.studio.lay_to_rest(tag(0), || packed).cloned().unwrap();
    let rest = bench.studio.order(tag(0)).unwrap();
    assert_eq!(*whole.summary(), summary);
    let answers = |held: &Held| {
        (
            (held.tag(), held.client().clone(), held.name().clone(), held.due(), held.is_called_off()),
            (held.sent(), held.arrived(), held.quoted(), held.is_gone(), held.is_here()),
            (held.stones().into_owned(), held.kept().into_owned(), held.lit().into_owned()),
            (held.bench(), held.entries(), held.seal_after(held.entries()), held.record_seal()),
            (held.stage(), held.next(day(1), 0), held.summary().into_owned()),
        )
    };
    assert_eq!(answers(rest), answers(&whole));
    assert!(!rest.is_unfolded(), "none of that looks into it");
    assert_eq!((rest.seal_after(3), rest.seal_after(9_999)), (whole.seal_after(3), None));
    assert!(rest.is_unfolded(), "an older seal does");
    assert_eq!(*rest, whole);
    assert_eq!((summary.places.len(), summary.buttons.len(), summary.felt.len()), (3, 1, 1));
    bench.record(HomeFact::CameBack { thing: Thing::stone(2), place: Place::Kept(1) });
    assert!(bench.held().at_rest().is_none() && !bench.held().is_unfolded());
    assert_eq!(bench.held().entries(), whole.entries() + 1);
    assert!(bench.held().is_here());
}

#[test]
fn light_is_summed_up_by_lamp_and_day_and_what_was_struck_still_names_its_button() {
    let bench = over();
    let lit = bench.held().lit().into_owned();
    let layers = stone_plan().layers.len();
    let wanted: Span = (0..2 * layers).map(|_| Span::from_s(60.0)).sum();
    assert_eq!(lit.into_iter().map(|(.., span)| span).sum::<Span>(), wanted);
    let mut bench = Bench::hard();
    let on = bench.record(lamp_on(&[1]));
    let press = match bench.held().order.log.entry(on).unwrap().fact.clone() {
        Fact::Pour(PourFact::LampOn { press, .. }) => press,
        other => panic!("{other:?}"),
    };
    bench.record(Fact::Struck { entry: on, why: crate::fact::Mistake::DidNotHappen });
    assert_eq!(bench.held().summary().buttons[..], [(press.lamp, press.button)]);
}

#[test]
fn every_single_thing_that_is_still_asked_of_keeps_an_order_awake() {
    let whole = (**over().held()).clone();
    assert!(whole.is_over());
    let (sent, stone) = (Thing::keepsake(1), Thing::stone(2));
    let thing = |whole: &mut Whole, of: Thing, change: &dyn Fn(&mut ledger::Held)| {
        change(whole.ledger.custody.things.get_mut(&of).unwrap());
    };
    // An envelope of the studio's that has been emptied is not packed.
    let emptied = |whole: &mut Whole, place: Place, open: bool| {
        let things = &mut whole.ledger.custody.things;
        let envelope = things[&Thing::envelope(1)].clone();
        let emptied = ledger::Held { place, open, role: ledger::Role::Plain, ..envelope };
        things.insert(Thing::envelope(2), emptied);
    };
    let mut with_an_envelope = whole.clone();
    emptied(&mut with_an_envelope, Place::Kept(1), false);
    assert!(with_an_envelope.is_over());
    type Changed<'a> = (&'a str, &'a dyn Fn(&mut Whole));
    let changes: [Changed<'_>; 14] = [
        ("came back", &|whole| whole.ledger.home.came_back = true),
        ("on its way", &|whole| thing(whole, sent, &|held| held.place = Place::Post)),
        ("passed on", &|whole| thing(whole, sent, &|held| held.passed_to = Some(tag(1)))),
        ("held for the client", &|whole| {
            thing(whole, sent, &|held| {
                (held.place, held.left_out) = (Place::Kept(1), Some(LeftOut::HeldForClient));
            });
        }),
        ("lost in its cavity", &|whole| {
            let place = Place::Cavity { mould: item("oval"), cell: cell("A1") };
            thing(whole, stone, &|held| (held.place, held.lost) = (place.clone(), true));
        }),
        ("on the bench", &|whole| emptied(whole, Place::Bench, false)),
        ("away", &|whole| emptied(whole, Place::Away, false)),
        ("open", &|whole| emptied(whole, Place::Kept(1), true)),
        ("destroyed and never asked for", &|whole| {
            thing(whole, sent, &|held| held.left_out = Some(LeftOut::DestroyedOnRequest));
        }),
        ("taken over", &|whole| {
            whole.ledger.custody.lots.get_mut(&1).unwrap().before = Some((tag(1), sent));
        }),
        ("under a lamp", &|whole| {
            let layers = &mut whole.ledger.pours.stones.get_mut(&2).unwrap().layers;
            layers.last_mut().unwrap().lit.last_mut().unwrap().off = None;
        }),
        ("of a lot that is not there", &|whole| {
            let share = crate::order::LotShare { lot: 9, part: crate::units::Share::of(1, 10) };
            whole.order.sheet.stones[0].shares.push(share);
        }),
        ("not begun", &|whole| whole.order.sheet.stones.push(stone_sheet(3, "A1"))),
        ("not thanked", &|whole| whole.ledger.client.thanked = false),
    ];
    for (what, change) in changes {
        let mut changed = whole.clone();
        change(&mut changed);
        assert!(!changed.is_over(), "{what}");
    }
}

/// An order that is over, at rest, whose stones were lit with this button and whose keepsake lay in this place.
fn resting_with(button: u8, place: u16) -> Bench {
    let mut bench = Bench::new();
    let mut policies = bench.studio.policies().clone();
    policies.places.push(line("Tin on the sill"));
    bench.edit(Edit::Policies(Box::new(policies))).unwrap();
    let lights = buttons();
    for mut fact in whole_life(tag(0), &["A1", "B2"]) {
        match &mut fact {
            Fact::Pour(PourFact::LampOn { press, .. }) => {
                let light = &lights[usize::from(button) - 1];
                (press.button, press.seconds, press.ramp) = (button, light.total(), light.ramp());
            }
            Fact::Custody(CustodyFact::CameAlong { place: at, .. }) => *at = Place::Kept(place),
            _ => {}
        }
        bench.record(fact);
    }
    let packed = as_it_is(bench.held());
    bench.studio.lay_to_rest(tag(0), || packed).unwrap();
    bench
}

#[test]
fn buttons_and_places_that_only_an_order_at_rest_names_stay() {
    let long = u16::try_from(policies().places.len() + 1).unwrap();
    for (button, place) in [(1, 1), (2, long)] {
        let mut bench = resting_with(button, place);
        let crate::shelf::What::Resin(mut bottle) = bench.studio.item(&item("clear")).unwrap().what.clone()
        else {
            panic!("a bottle")
        };
        bottle.first_sets.retain(|tried| tried.button == 1);
        let clear = bench.studio.item(&item("clear")).unwrap().clone();
        let clear = crate::shelf::Item { what: crate::shelf::What::Resin(bottle), ..clear };
        let put = crate::studio::ShelfEdit::Put(Box::new(clear));
        bench.edit(Edit::Shelf(item("clear"), put)).unwrap();
        let mut lamp = bench.studio.item(&item("box-lamp")).unwrap().clone();
        let crate::shelf::What::Lamp(fewer) = &mut lamp.what else { panic!("a lamp") };
        fewer.buttons.truncate(1);
        let undone = bench.studio.put_back(crate::studio::Doc::Shelf(item("box-lamp"), Box::new(lamp)));
        assert_eq!(undone.is_ok(), button == 1, "{undone:?}");
        let mut short = bench.studio.policies().clone();
        short.places.pop();
        let undone = bench.studio.put_back(crate::studio::Doc::Policies(Box::new(short)));
        assert_eq!(undone.is_ok(), place == 1, "{undone:?}");
        assert!(!bench.held().is_unfolded() && bench.held().at_rest().is_some());
    }
}

#[test]
fn what_is_refused_wakes_nothing() {
    let mut bench = resting_with(1, 1);
    bench.refuse(received(0));
    bench.refuse(Fact::Struck { entry: 9_999, why: crate::fact::Mistake::DidNotHappen });
    let words =
        crate::order::Words { about: crate::order::About::Entry(9_999), text: "gone".parse().unwrap() };
    bench.refuse_edit(Edit::Order(tag(0), OrderEdit::Story(words)));
    assert!(bench.held().at_rest().is_some());
}

#[test]
fn a_packet_in_two_orders_is_refused_whether_others_rest_or_not() {
    let mut bench = over();
    let packed = as_it_is(bench.held());
    bench.open(1);
    let (one, mut two) = (bench.studio.clone(), bench.studio.clone());
    two.lay_to_rest(tag(0), || packed).unwrap();
    let facts: [Fact; 3] =
        [received(1).into(), CustodyFact::BenchCleared.into(), opened(tag(1), Thing::wrapping(1)).into()];
    let mut both = (one, two);
    for (minute, fact) in (2_000..).zip(facts) {
        let edit = Edit::Order(tag(1), OrderEdit::Fact(fact));
        assert_eq!(both.0.apply(edit.clone(), at(minute)), both.1.apply(edit, at(minute)));
    }
    assert_eq!(both.0.bench(), both.1.bench());
    assert_eq!(both.0.findings(), both.1.findings());
    assert_eq!(both.0, both.1);
}
