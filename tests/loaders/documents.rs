//! The documents of a studio folder.

use std::fmt::Debug;
use std::sync::LazyLock;

use craft::client::Client;
use craft::log::Log;
use craft::moment::Moment;
use craft::money::series::Series;
use craft::order::Order;
use craft::policies::Policies;
use craft::shelf::Item;
use craft::studio::{ClientEdit, Doc, Edit, Held, OrderEdit, ShelfEdit, Studio};
use serde::Serialize;
use serde::de::DeserializeOwned;
use store::format::{Decoded, decode, encode, since_saved, version};
use store::name::DocKind;

use super::facts::goes_in_again;
use super::{Law, holds, says_something};

/// Decodes; what is whole is written, read again as the same, and written again as the same bytes.
fn read<T>(kind: DocKind, bytes: &[u8]) -> Result<Option<T>, String>
where
    T: Serialize + DeserializeOwned + PartialEq + Debug,
{
    // Whether it was changed since it was saved is asked of every file there is.
    let _since = since_saved(bytes);
    match decode::<T>(kind, bytes) {
        Decoded::Broken(broken) => {
            says_something(&broken.message)?;
            let lines = bytes.split(|byte| *byte == b'\n').count();
            holds((1..=lines).contains(&broken.line) && broken.column >= 1, || format!("nowhere: {broken}"))?;
            Ok(None)
        }
        Decoded::Newer(newer) => {
            holds(newer > version(kind), || format!("{newer} is called newer"))?;
            Ok(None)
        }
        Decoded::Whole(doc) => {
            let again =
                encode(kind, &doc).map_err(|why| format!("it was read and cannot be written: {why}"))?;
            match decode::<T>(kind, &again) {
                Decoded::Whole(back) if back == doc => {}
                other => return Err(format!("{doc:?} reads back as {other:?}")),
            }
            let twice = encode(kind, &doc).map_err(|why| why.to_string())?;
            holds(again == twice, || "it is written in two ways".to_owned())?;
            Ok(Some(doc))
        }
    }
}

/// Lets a document into a studio; a refusal says something.
fn let_in(studio: &mut Studio, doc: Doc) -> Law {
    match studio.take(doc) {
        Ok(()) => {
            for finding in studio.findings() {
                says_something(&finding.to_string())?;
            }
            Ok(())
        }
        Err(why) => says_something(&why.to_string()),
    }
}

/// The settings every document is let in under.
pub(super) fn policies() -> Policies {
    static MADE: LazyLock<Option<Policies>> = LazyLock::new(|| {
        let (studio, name) = ("studio-under-test".parse().ok()?, "The Boathouse".parse().ok()?);
        let mut policies = Policies::new(studio, name, craft::money::Currency::EUR);
        policies.places = ["drawer 1", "safe"].iter().filter_map(|name| name.parse().ok()).collect();
        Some(policies)
    });
    #[expect(clippy::expect_used, reason = "a fixture of the tests; the names are good ones")]
    MADE.clone().expect("the settings of the tests are sound")
}

/// A studio with the starter shelf.
pub(super) fn studio_with_a_shelf() -> Studio {
    static MADE: LazyLock<Studio> = LazyLock::new(|| {
        let mut studio = Studio::new(policies());
        for (id, item) in workbench::starter::shelf() {
            drop(studio.apply(Edit::Shelf(id, ShelfEdit::Put(Box::new(item))), moment(0)));
        }
        studio
    });
    MADE.clone()
}

/// 2026-03-02, eight in the morning, one hour ahead of UTC, and so many minutes later.
pub(super) fn moment(minutes: i64) -> Moment {
    let ms = minutes * 60_000;
    let boot = craft::moment::BootId(0x1234);
    Moment {
        utc_ms: 1_772_434_800_000 + ms,
        offset_min: 60,
        boot,
        since_boot_ms: 600_000 + ms,
        awake_ms: 600_000 + ms,
    }
}

/// The settings.
pub(super) fn studio(bytes: &[u8]) -> Law {
    let Some(read) = read::<Policies>(DocKind::Studio, bytes)? else { return Ok(()) };
    let_in(&mut Studio::new(policies()), Doc::Policies(Box::new(read)))
}

/// A client.
pub(super) fn client(bytes: &[u8]) -> Law {
    let Some(read) = read::<Client>(DocKind::Client, bytes)? else { return Ok(()) };
    let Ok(id) = "ingrid".parse() else { return Ok(()) };
    let_in(&mut Studio::new(policies()), Doc::Client(id, Box::new(read)))
}

/// An item on the shelf.
pub(super) fn shelf(bytes: &[u8]) -> Law {
    let Some(read) = read::<Item>(DocKind::Shelf, bytes)? else { return Ok(()) };
    let Ok(id) = "small-lamp".parse() else { return Ok(()) };
    let_in(&mut studio_with_a_shelf(), Doc::Shelf(id, Box::new(read)))
}

/// The invoices of a year.
pub(super) fn money(bytes: &[u8]) -> Law {
    let Some(read) = read::<Series>(DocKind::Money, bytes)? else { return Ok(()) };
    let_in(&mut Studio::new(policies()), Doc::Invoices(Box::new(read)))
}

/// An order. Beyond reading it, its facts are recorded once more in an empty record, each through the door: so facts
/// that a file with a broken seal cannot bring in are tried too.
pub(super) fn order(bytes: &[u8]) -> Law {
    let Some(read) = read::<Order>(DocKind::Order, bytes)? else { return Ok(()) };
    let mut studio = studio_with_a_shelf();
    let mut own = policies();
    own.studio = read.studio.clone();
    drop(studio.take(Doc::Policies(Box::new(own))));
    let put = Edit::Client(read.client.clone(), ClientEdit::Put(Box::new(someone())));
    drop(studio.apply(put, moment(0)));
    let_in(&mut studio.clone(), Doc::Order(Box::new(read.clone())))?;
    let sheet = Box::new(read.sheet);
    let opened = Edit::Order(read.tag, OrderEdit::Open { client: read.client, sheet });
    if let Err(why) = studio.apply(opened, moment(0)) {
        return says_something(&why.to_string());
    }
    let log: Log = read.log;
    for (_, entry) in log.entries() {
        let edit = match entry.told {
            Some(day) => OrderEdit::Told(day, entry.fact.clone()),
            None => OrderEdit::Fact(entry.fact.clone()),
        };
        if let Err(why) = studio.apply(Edit::Order(read.tag, edit), entry.at) {
            says_something(&why.to_string())?;
        }
    }
    goes_in_again(&studio, read.tag)
}

/// A client with a name and nothing else.
pub(super) fn someone() -> Client {
    Client { name: "Ingrid Solheim".parse().unwrap_or_default(), ..Client::default() }
}

/// What can be asked of an order that was let in.
pub(super) fn ask(held: &Held, at: Moment) -> Law {
    let today = at.day();
    says_something(&format!("{:?} {:?}", held.stage(), held.next(today, 7)))
}
