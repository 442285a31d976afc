//! How long a look, a search and an edit take with 100 and with 10,000 orders.
//! `cargo bench -p workbench --bench look`.
#![expect(clippy::print_stdout, reason = "it prints what it measured")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use craft::moment::{BootId, Moment};
use craft::studio::{Edit, OrderEdit, Studio};
use craft::tag::Tag;
use workbench::action::Action;
use workbench::state::Workbench;

/// How often each thing is done.
const ROUNDS: u32 = 200;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let noon = 1_783_512_000_000;
    let boot = BootId(1);
    let now = Moment { utc_ms: noon, offset_min: 60, boot, since_boot_ms: 9_000_000, awake_ms: 9_000_000 };
    let demo = workbench::demo::build(now)?.studio;
    for n_orders in [100, 10_000] {
        let (studio, tag) = with_orders(demo.clone(), n_orders, now)?;
        let mut bench = Workbench::new(studio, None);
        let ready = timed(1, || bench.make_ready(now));
        let look = timed(ROUNDS * 50, || {
            let view = bench.view(now);
            // A dozen rows from the middle of the list, as a window shows them.
            let middle = view.board.rows.len() / 2;
            black_box(view.board.rows.get(middle..middle + 12).map(<[_]>::len));
            black_box(view.board.groups().count());
            black_box(view.waits.len());
        });
        let find = ["an", "e", "bramble 7", "zzz"]
            .map(|text| (text, timed(ROUNDS / 10, || drop(black_box(bench.view(now).find(text))))));
        let mut number = 0;
        let edit = timed(ROUNDS, || {
            number += 1;
            black_box(rename(&mut bench, tag, number, now));
        });
        println!(
            "{n_orders} orders: ready in {ready:?}, a look {look:?}, an edit {edit:?}, finding {find:?}"
        );
    }
    Ok(())
}

/// The mean time of one round.
fn timed(rounds: u32, mut work: impl FnMut()) -> Duration {
    let start = Instant::now();
    (0..rounds).for_each(|_| work());
    start.elapsed() / rounds
}

fn rename(bench: &mut Workbench, tag: Tag, number: u32, now: Moment) -> Option<()> {
    let mut sheet = bench.studio().order(tag).ok()?.order.sheet.clone();
    sheet.remembered.name = format!("Bramble {number}").parse().ok()?;
    bench.handle(Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet)))), now);
    Some(())
}

/// The studio with so many more orders that somebody asked for, and one of them.
fn with_orders(
    mut studio: Studio,
    n_orders: u32,
    now: Moment,
) -> Result<(Studio, Tag), Box<dyn std::error::Error>> {
    let held = studio.orders().values().next().ok_or("the demo has orders")?;
    let (client, mut sheet, mut newest) =
        (held.order.client.clone(), held.order.sheet.clone(), held.order.tag);
    (sheet.stones, sheet.photos) = (Vec::new(), Vec::new());
    for number in 0..n_orders {
        let Some(tag) = Tag::from_number(number * 3 + 1) else { continue };
        sheet.remembered.name = format!("Bramble {number}").parse()?;
        let edit = OrderEdit::Open { client: client.clone(), sheet: Box::new(sheet.clone()) };
        if studio.apply(Edit::Order(tag, edit), now).is_ok() {
            newest = tag;
        }
    }
    Ok((studio, newest))
}
