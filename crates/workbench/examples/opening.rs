//! How long a studio of ten thousand orders takes to open: `opening FOLDER [ORDERS [forgotten]]`.
//!
//! A folder that is not there is made first: the demo studio and so many orders of earlier years. Printed are the time to
//! a useful first list, to everything read and checked, the longest step on the thread of the window, a search, an order
//! of one megabyte, and the memory. With `forgotten` one client is written down as forgotten, of whom nothing is removed
//! yet. `opening --whole FOLDER` only reads everything, for counting instructions.
#![expect(clippy::print_stdout, reason = "figures are what this is for")]

use std::error::Error;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::{Duration, Instant};

use craft::fact::{ClientFact, MessageKind};
use craft::id::DocId;
use craft::studio::{Doc, Edit, OrderEdit};
use store::folder::Loaded;
use store::vfs::DiskVfs;
use workbench::clock::{Clock as _, SystemClock};
use workbench::open::{look, path_of};
use workbench::session::Session;
use workbench::{demo, founding};

type Fault = Box<dyn Error>;

fn made(root: &Path, orders: u32) -> Result<(), Fault> {
    let demo = founding::demo(root, SystemClock::new().now())?;
    for (path, bytes) in demo::many::files(&demo.studio, orders, demo::many::Records::Longest) {
        std::fs::write(root.join(path), bytes)?;
    }
    println!("{orders} orders were added to a demo studio in {}", root.display());
    Ok(())
}

/// Writes one client down as forgotten, and leaves everything of theirs where it is.
fn forget_one(root: &Path) -> Result<(), Fault> {
    let studio = look(root, Arc::new(DiskVfs))?.studio;
    let over = studio.orders().values().find(|held| held.ledger.home.is_gone());
    let over = over.ok_or("no order is over")?;
    let folder = store::folder::StudioFolder::open(root, Arc::new(DiskVfs))?;
    let mut list = store::forgotten::Forgotten::default();
    list.add(over.client().as_str(), "2026-11-26", [over.tag().to_string()]);
    let saved = folder.save_forgotten(&list);
    Ok(store::forgotten::must_be_saved(saved, &store::forgotten::file_in(root))?)
}

/// Memory in use, in MB, as Linux counts it.
fn resident_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? / 1_024)
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn opening(root: &Path) -> Result<(), Fault> {
    let bell = Arc::new((Mutex::new(0_u64), Condvar::new()));
    let rings = bell.clone();
    let wake = Arc::new(move || {
        *rings.0.lock().unwrap_or_else(PoisonError::into_inner) += 1;
        rings.1.notify_one();
    });
    let before = resident_mb().unwrap_or_default();
    let start = Instant::now();
    let mut session = Session::open_waking(root, Arc::new(SystemClock::new()), wake)?;
    let first = session.view().board.rows.len();
    println!("a first list of {first} orders after {:.0} ms (goal 300)", ms(start.elapsed()));
    let mut longest = Duration::ZERO;
    while session.bench.reading().is_some() {
        let rung = bell.0.lock().unwrap_or_else(PoisonError::into_inner);
        let waited = bell.1.wait_timeout_while(rung, Duration::from_millis(100), |rung| *rung == 0);
        let (mut rung, _) = waited.unwrap_or_else(PoisonError::into_inner);
        *rung = 0;
        drop(rung);
        let step = Instant::now();
        drop(session.pump());
        longest = longest.max(step.elapsed());
    }
    let rows = session.view().board.rows.len();
    println!("all {rows} read and checked after {:.0} ms (goal 2,000)", ms(start.elapsed()));
    println!("the longest step on the window's own thread took {:.1} ms", ms(longest));
    let step = Instant::now();
    let found = session.view().findings().len();
    println!("{found} findings, looked for in {:.1} ms", ms(step.elapsed()));
    let mut worst = Duration::ZERO;
    for text in ["b", "bram", "many 77", "drawer 3", "no such thing", "oval"] {
        let step = Instant::now();
        let hits = session.view().find(text).len();
        worst = worst.max(step.elapsed());
        println!("  \"{text}\": {hits} found in {:.2} ms", ms(step.elapsed()));
    }
    println!("the slowest search took {:.2} ms (goal 16)", ms(worst));
    let after = resident_mb().unwrap_or_default();
    println!("memory: {after} MB, of them {before} before (goal 150)");
    session.close().map_err(|whys| whys.join("; ").into())
}

/// Opens an order of one megabyte, as a page that shows it would: read, checked, folded.
fn large_order() -> Result<(), Fault> {
    let dir = std::env::temp_dir().join(format!("heldfast-large-{}", std::process::id()));
    let clock = SystemClock::new();
    let demo = founding::demo(&dir, clock.now())?;
    let mut studio = demo.studio;
    let quiet = studio.orders().values().find(|held| held.order.sheet.stones.is_empty());
    let tag = quiet.ok_or("the demo has an order without stones")?.order.tag;
    for _ in 0..3_600 {
        let fact = ClientFact::MessageSent { about: MessageKind::Nudge };
        studio.apply(Edit::Order(tag, OrderEdit::Fact(fact.into())), clock.now())?;
    }
    let Some(Doc::Order(order)) = studio.doc(&DocId::Order(tag)) else { return Err("it is gone".into()) };
    let path = path_of(&DocId::Order(tag))?;
    let bytes = store::format::encode(path.kind(), &*order)?;
    std::fs::write(dir.join(path.to_string()), &bytes)?;
    let folder = store::folder::StudioFolder::look(&dir, Arc::new(DiskVfs))?;
    let mut best = Duration::MAX;
    for _ in 0..5 {
        let step = Instant::now();
        let Loaded::Whole(order) = folder.load::<craft::order::Order>(&path)? else {
            return Err("it is not whole".into());
        };
        studio.take(Doc::Order(Box::new(order)))?;
        best = best.min(step.elapsed());
    }
    println!("an order of {} kB is open after {:.0} ms (goal 100)", bytes.len() / 1_000, ms(best));
    std::fs::remove_dir_all(dir)?;
    Ok(())
}

fn main() -> Result<(), Fault> {
    let mut arguments = std::env::args().skip(1);
    let first = arguments.next().ok_or("opening FOLDER [ORDERS], or opening --whole FOLDER")?;
    if first == "--whole" {
        let root = PathBuf::from(arguments.next().ok_or("which folder?")?);
        let opened = look(&root, Arc::new(DiskVfs))?;
        println!("{} orders, {} troubles", opened.studio.orders().len(), opened.troubles.len());
        return Ok(());
    }
    let root = PathBuf::from(first);
    if !root.exists() {
        made(&root, arguments.next().map_or(Ok(10_000), |text| text.parse())?)?;
        if arguments.next().is_some_and(|word| word == "forgotten") {
            forget_one(&root)?;
        }
    }
    opening(&root)?;
    large_order()
}
