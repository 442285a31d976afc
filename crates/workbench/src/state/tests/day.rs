//! A whole working day through the pure machine, without a disk, a window or a clock.

use craft::fact::{Amount, Check, Hardness, Holder, How, LayerKind, Material, PourFact, Press};
use craft::units::{Share, Span};

use super::*;

const ORDERS: u32 = 10;
const ACTIONS: usize = 200;

/// What one order's day consists of: the material arrives, a stone is poured, and words are written in between.
fn script(tag: Tag, cell: &str) -> Vec<Action> {
    let wrapping = Thing::wrapping(1);
    let check = Check { how: How::Typed, tag };
    let client = "ida-lund".parse().unwrap();
    let sheet = Box::new(Sheet { stones: vec![sample::stone(1, cell)], ..sample::sheet() });
    let open = || fact(tag, CustodyFact::Opened { thing: wrapping, check });
    let close = || fact(tag, CustodyFact::Closed { thing: wrapping, seal: None });
    let received = CustodyFact::Received {
        lot: 1,
        material: Material::Hair,
        seal: None,
        place: Place::Kept(1),
        photo: None,
        keep_back: Share::of(1, 3),
    };
    let keep_back = CustodyFact::SplitOff {
        from: wrapping,
        lot: 1,
        into: Thing::envelope(1),
        part: Share::of(1, 3),
        keep_back: true,
        seal: None,
        place: Place::Kept(1),
    };
    let to = Holder::Thing(Thing::stone(1));
    let mut all = vec![
        Action::Edit(Edit::Order(tag, OrderEdit::Open { client, sheet })),
        fact(tag, ClientFact::Answered),
        fact(tag, received),
        open(),
        fact(tag, keep_back),
        fact(tag, PourFact::Begun { stone: 1, mould: id("oval-ten"), cell: cell.parse().unwrap() }),
        fact(tag, CustodyFact::Moved { from: wrapping, lot: 1, to, part: Share::of(1, 20) }),
        close(),
    ];
    for (layer, planned) in (1..).zip(sample::usual_plan().layers) {
        let kind = if layer == 1 { LayerKind::Material } else { LayerKind::Clear };
        let (thickness, load, bottle) = (planned.thickness, planned.load, id("clear-resin"));
        let amount = Amount::ToTheMark;
        let pigment = load.is_positive().then(|| id("deep-green"));
        all.push(fact(
            tag,
            PourFact::Laid { stone: 1, layer, kind, thickness, load, amount, bottle, pigment },
        ));
        let press = Press { lamp: id("nail-lamp"), button: 1, seconds: Span::from_s(60.0), ramp: Span::ZERO };
        all.push(fact(tag, PourFact::LampOn { stones: vec![1], press }));
        let on = u32::try_from(all.len() - 1).unwrap();
        all.push(fact(tag, PourFact::LampOff { on, lit: Span::from_s(60.0) }));
        all.push(fact(tag, PourFact::Cooled { stones: vec![1] }));
        all.push(fact(tag, PourFact::Felt { stone: 1, layer, hardness: Hardness::Hard }));
    }
    all.push(fact(tag, PourFact::TakenOut { stone: 1, place: Place::Kept(2) }));
    for number in 0..ACTIONS - all.len() {
        all.push(match number % 4 {
            0 => story(tag, Page::Brief, &format!("line {number}")),
            1 => Action::Undo,
            2 => Action::Redo,
            _ => Action::Tick,
        });
    }
    all
}

#[test]
fn a_day_of_ten_orders_and_two_hundred_actions_each_goes_through_without_a_word_of_refusal() {
    let mut bench = Workbench::new(sample::studio(), None);
    let tags: Vec<Tag> = (1_000..).filter_map(Tag::from_number).take(10).collect();
    let (mut minute, mut done, mut saves, mut facts) = (0, 0, 0, 0);
    for (tag, cell) in tags.iter().zip(["A1", "A2", "B1", "B2"].iter().cycle()) {
        let actions = script(*tag, cell);
        assert_eq!(actions.len(), ACTIONS);
        for action in actions {
            minute += 2;
            let is_fact =
                matches!(&action, Action::Edit(Edit::Order(_, OrderEdit::Fact(_) | OrderEdit::Told(..))));
            let is_tick = matches!(action, Action::Tick);
            let effects = bench.handle(action, at(minute));
            assert_eq!(bench.notices.front(), None);
            done += 1;
            facts += u32::from(is_fact);
            for effect in &effects {
                if let Effect::Save(doc, rev, _) = effect {
                    saves += 1;
                    let saved = SaveOutcome::Saved(Digest::of(b"x"));
                    assert!(bench.handle(Action::SaveDone(doc.clone(), *rev, saved), at(minute)).is_empty());
                } else {
                    assert!(is_tick, "{effect:?}");
                }
            }
        }
    }
    let layers = u32::try_from(sample::usual_plan().layers.len()).unwrap();
    assert_eq!(done, 2_000);
    assert_eq!(facts, ORDERS * (8 + 5 * layers));
    let view = bench.view(at(minute));
    assert_eq!(view.studio.orders().len(), 10);
    let entries: u32 = view.studio.orders().values().map(|held| held.order.log.len()).sum();
    assert_eq!(entries, facts, "every fact is an entry, and nothing else is");
    // Opening an order, each fact, and each of story, undo and redo are one save each; a tick is none.
    let bench_work = usize::try_from(9 + 5 * layers).unwrap();
    let words = (0..ACTIONS - bench_work).filter(|number| number % 4 != 3).count();
    assert_eq!(saves, 10 * (bench_work + words));
    assert!(view.saves.all_saved());
    assert_eq!(view.studio.findings(), []);
    for held in view.studio.orders().values() {
        assert_eq!(held.order.log.check(&held.order.studio, held.order.tag), Ok(()));
    }
}
