//! What is said of forgetting a client: why not yet, and the receipt.

use std::path::Path;

use chrono::NaiveDate;
use craft::id::{ClientId, Thing, Year};
use craft::moment::Moment;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::words;
use crate::keeping::forget::{Forgetting, Gone};

/// What stands in the place of a name that was forgotten.
pub const FORGOTTEN: &str = "forgotten";

/// Why something cannot be changed while its client is being forgotten.
pub const UNDER_WAY: &str = "this client is being forgotten just now, so nothing of theirs can be changed";

/// Why a second forgetting waits for the first.
pub const ONE_AT_A_TIME: &str =
    "a client is being forgotten just now; wait until that is done, then try again";

/// Why nothing can be forgotten while something of theirs is being made.
pub const AT_WORK: &str =
    "a photo is being taken in or a paper being made just now; wait until it is done, then try again";

/// Why something cannot be changed after its client was forgotten.
pub const FORGOTTEN_ALREADY: &str =
    "this client was forgotten, so nothing is written here any more; write a new client down instead";

/// Why nothing can be forgotten while something is not on the disk.
pub const NOT_SAVED: &str =
    "something of this client is not on the disk yet; wait until all is saved, then try again";

/// What the window asks before anything is removed. It cannot be undone.
pub const CAUTION: &str = "This cannot be undone. Their name, address, words, photos and papers are removed from this \
     studio, and from backups when they are put back. What was issued to them stays as long as the law of your place wants \
     it; which other records must stay or go is for that law to say, and for someone who knows it, not for this program.";

/// What is said once it is done.
pub const DONE: &str = "the client is forgotten; the receipt says what was removed and what is kept";

/// What is said where some of it is not done.
pub const NOT_WHOLE: &str =
    "not everything could be removed, and it is tried again when the studio is opened next";

/// Why a backup from before could bring them back.
pub const NOT_NOTED: &str =
    "this computer could not note it, so when an older backup is put back, name this studio with --beside";

/// A receipt was asked for that is not there.
pub const NO_RECEIPT: &str = "nobody was forgotten since the studio was opened, so there is no receipt";

/// Why a backup from before could bring them back, in the window.
pub fn not_noted(why: &str) -> String {
    format!(
        "the client is forgotten, and this studio knows it; only this computer's own list could not be written: {why}; so \
         delete old backups, or put them back from within this studio only"
    )
}

/// Where the receipt lies now.
pub fn receipt_written(to: &Path) -> String {
    format!("the receipt is at {}", to.display())
}

/// A name for the file of a receipt that does not say whose it is.
pub fn receipt_name(now: Moment) -> String {
    format!("forgotten-{}.txt", now.day())
}

/// What would be forgotten, one line each.
pub fn would_go(who: &Forgetting) -> Vec<String> {
    let mut lines = vec!["the name, address, contact and notes".to_owned()];
    if who.tags.is_empty() {
        return lines;
    }
    let tags: Vec<String> = who.tags.iter().map(Tag::to_string).collect();
    lines.push(format!(
        "every word of {}{}, with its papers and earlier versions",
        words::count(tags.len(), "order", "orders"),
        listed(&tags)
    ));
    if !who.photos.is_empty() && who.unread.is_none() {
        lines.push(words::count(
            who.photos.len(),
            "photo that no other order shows",
            "photos that no other order shows",
        ));
    }
    lines
}

/// What would be kept, and until when, one line each.
pub fn would_stay(who: &Forgetting) -> Vec<String> {
    let record = (!who.tags.is_empty())
        .then(|| "the record of each order: things, shares and readings, without a word".to_owned());
    let money = who.money.iter().map(|(year, until)| money(*year, *until, who.day).trim().to_owned());
    let none = who.money.is_empty().then(|| "no invoices: none were issued".to_owned());
    let photos = who.unread.filter(|_| !who.tags.is_empty()).map(photos_stay);
    record.into_iter().chain(photos).chain(money).chain(none).collect()
}

/// What is said of photos before anything is done, where an order cannot be read.
fn photos_stay(tag: Tag) -> String {
    format!(
        "every photo until the file of order {tag} can be read, since it may show the same; they go after that"
    )
}

/// Whether what was typed names the client beyond doubt: one of their orders by its tag, or their name where nobody
/// else here bears it.
pub fn confirms(studio: &Studio, client: &ClientId, tags: &[Tag], typed: &str) -> bool {
    let typed = typed.trim();
    if typed.is_empty() {
        return false;
    }
    if typed.parse::<Tag>().is_ok_and(|tag| tags.contains(&tag)) {
        return true;
    }
    let folded = words::folded(typed);
    let bears = |name: &str| words::folded(name) == folded;
    let named = studio.clients().get(client).is_some_and(|known| bears(known.name.as_str()));
    let others = studio.clients().iter().filter(|(id, _)| *id != client);
    let alone = !others.into_iter().any(|(_, other)| bears(other.name.as_str()));
    // A client without orders whose name is somebody else's too is named by the name of the file.
    (named && alone) || (typed == client.as_str() && tags.is_empty())
}

/// What has to be typed.
pub fn to_type(studio: &Studio, client: &ClientId, tags: &[Tag]) -> String {
    let name = studio.clients().get(client).map(|known| known.name.to_string()).unwrap_or_default();
    match tags.first() {
        _ if confirms(studio, client, tags, &name) => match tags.first() {
            Some(tag) => format!("Type {name} or {tag}, to be sure"),
            None => format!("Type {name}, to be sure"),
        },
        Some(tag) => format!("Somebody else is called {name} too: type {tag}, to be sure"),
        None => format!("Somebody else is called {name} too: type {client}, to be sure"),
    }
}

/// What is said before it is really done.
pub fn asked(who: &Forgetting) -> String {
    let tags: Vec<String> = who.tags.iter().map(Tag::to_string).collect();
    format!(
        "nothing is changed yet: {} and {}{} would be forgotten. {CAUTION} Say --yes to do it",
        who.client,
        words::count(tags.len(), "order", "orders"),
        listed(&tags)
    )
}

/// A client who is not here.
pub fn nobody(client: &ClientId) -> String {
    format!("there is no client {client}; look at the names of the files in \"clients\"")
}

/// A file that could not be read may be this client's.
pub fn unread(tag: Tag) -> String {
    format!(
        "the file of order {tag} cannot be read and no earlier version of it says whose it is, so it may be this client's; \
         mend it or put a copy from a backup in its place first"
    )
}

/// A file of this client's cannot be read.
pub fn theirs_unread(tag: Tag) -> String {
    format!(
        "the file of order {tag} is this client's and cannot be read; put an earlier version back first, under what was \
         found"
    )
}

/// A file of a client who was forgotten cannot be read, so nothing of it is removed.
pub fn forgotten_unread(tag: Tag) -> String {
    format!(
        "the client of order {tag} was forgotten and its file cannot be read, so it and its earlier versions may still \
         say who they were; mend the file or put an earlier version back, then close the studio and open it again"
    )
}

/// Photos are held against every order before they go, and one cannot be read.
pub fn photos_wait(tag: Tag) -> String {
    format!(
        "the file of order {tag} cannot be read, and it may be another client's and show the same photos; no photo is \
         removed until it can be; mend it or put an earlier version back, then close the studio and open it again"
    )
}

/// Something of theirs is here.
pub fn still_here(held: &Held, thing: Thing) -> String {
    format!(
        "{} of order {} is still here; send it home, or record what became of it, before its client is forgotten",
        words::thing(held, thing),
        held.order.tag
    )
}

/// A parcel of theirs is under way.
pub fn on_its_way(held: &Held) -> String {
    format!(
        "a parcel of order {} has not arrived yet; record that it arrived, or what was lost, before its client is forgotten",
        held.order.tag
    )
}

/// A file that another program changed meanwhile.
pub fn changed_meanwhile(kept_beside: &str) -> String {
    format!(
        "another program changed a file meanwhile; {kept_beside} lies beside it; close that program and open the studio again"
    )
}

/// The receipt: what was removed, what is kept and until when. It does not say who it was.
pub fn receipt(studio: &str, gone: &Gone) -> String {
    let who = &gone.who;
    let orders = words::count(who.tags.len(), "order", "orders");
    let tags: Vec<String> = who.tags.iter().map(Tag::to_string).collect();
    let photos = |count| words::count(count, "photo", "photos");
    let among = match gone.loose {
        0 => String::new(),
        loose => format!("\n  among them {} that nothing named any more", photos(loose)),
    };
    let mut lines = vec![
        format!("Receipt: a client of {studio} was forgotten on {}", words::date_with_year(who.day)),
        String::new(),
        "Removed".to_owned(),
        format!("  the client's name, address, contact and notes, and every word in {orders}{}", listed(&tags)),
        format!("  {}{among}", photos(gone.photos)),
        format!("  {}", words::count(gone.papers, "paper", "papers")),
        format!("  {}", words::count(gone.versions, "earlier version of a file", "earlier versions of files")),
        String::new(),
        "Kept".to_owned(),
        "  the record of each order: things, shares and readings without a word, so that every balance still holds"
            .to_owned(),
    ];
    lines.extend(kept_too(gone));
    lines.extend([
        String::new(),
        "Out of reach".to_owned(),
        "  backups and copies made before today, and what was sent or printed. When such a backup is put back on this \
         computer or beside this studio, the same is removed from it again. Delete old backups where you can."
            .to_owned(),
        String::new(),
        "How long invoices have to be kept, and what else has to stay or go, is for the law of your place to say; this \
         program gives no legal advice."
            .to_owned(),
    ]);
    if !gone.still.is_empty() {
        lines.extend([
            String::new(),
            "Some of the words still stand in these files; look into them yourself".to_owned(),
        ]);
        lines.extend(gone.still.iter().map(|file| format!("  {file}")));
    }
    if !gone.troubles.is_empty() {
        lines.extend([
            String::new(),
            "Not done yet; it is tried again when the studio is opened next".to_owned(),
        ]);
        lines.extend(gone.troubles.iter().map(|trouble| format!("  {trouble}")));
    }
    lines.join("\n") + "\n"
}

/// What is kept besides the record, one line each.
fn kept_too(gone: &Gone) -> Vec<String> {
    let photos = |count| words::count(count, "photo", "photos");
    let mut lines = Vec::new();
    if gone.loose_left > 0 {
        lines.push(format!(
            "  {} that nothing seems to name: something that may name them cannot be read",
            photos(gone.loose_left)
        ));
    }
    if gone.waiting > 0 {
        lines.push(format!(
            "  {} of theirs, without a word, until it can be told that no other order shows them",
            photos(gone.waiting)
        ));
    }
    if gone.who.money.is_empty() {
        lines.push("  no invoices: none were issued".to_owned());
    }
    lines.extend(gone.who.money.iter().map(|(year, until)| money(*year, *until, gone.who.day)));
    lines
}

fn listed(tags: &[String]) -> String {
    if tags.is_empty() { String::new() } else { format!(": {}", words::list(tags)) }
}

fn money(year: Year, until: Option<NaiveDate>, today: NaiveDate) -> String {
    let year = year.0;
    match until {
        Some(until) if until < today => {
            format!(
                "  the sums of what was issued in {year}, without the name: the time it had to be kept is over"
            )
        }
        Some(until) => format!(
            "  what was issued in {year}, with name and address, until {}; after that the name goes too",
            words::date_with_year(until)
        ),
        None => format!(
            "  what was issued in {year}, with name and address: the settings do not say for how many years"
        ),
    }
}
