//! Words on the controls: the life of what came, and the record of an order.

use craft::fact::Mistake;

use crate::present::lot_story::Told;

/// The way here, from a page that shows where a material is: "the story of the hair".
pub fn way_here(name: &str) -> String {
    format!("the story of {name}")
}
/// The way back: "back to arrival".
pub fn back(page: &str) -> String {
    format!("back to {page}")
}
/// Over the page.
pub fn head(remembered: &str) -> String {
    format!("What became of what came for {remembered}")
}
/// Everything that was written down for the order, beside its materials.
pub const RECORD: &str = "the whole record";
/// Nothing has come.
pub const NOTHING: &str = "Nothing has come yet. Once it has, its story is told here.";
/// The control that moves through time.
pub const MOMENT: &str = "the moment that is looked at";
/// How it is used.
pub const MOMENT_HINT: &str =
    "The arrow keys go from entry to entry; Home and End to the first and the last.";
/// One entry back.
pub const EARLIER: &str = "earlier";
/// One entry on.
pub const LATER: &str = "later";
/// The newest.
pub const NOW: &str = "now";
/// Over the story.
pub const TOLD: &str = "What happened";
/// Writes the custody sheet.
pub const SHEET: &str = "write the custody sheet";
/// The way to one that is written.
pub const SHEET_AGAIN: &str = "to the custody sheet";
/// Opens what strikes the entry that is looked at.
pub const MISTAKE: &str = "this entry is a mistake";
/// Over the reasons.
pub const MISTAKE_SAYS: &str = "It stays in the record, struck through and with the reason; from then on it no longer counts. What rests on it has to be struck first. Say what was wrong:";
/// What stands by itself and needs no striking.
pub const REASONS: [(Mistake, &str); 3] = [
    (Mistake::DidNotHappen, "it did not happen"),
    (Mistake::WrongThing, "another thing was meant"),
    (Mistake::WrongNumber, "a number was wrong"),
];

/// Which moment is looked at: "As it lies now, after entry 14", "As it lay after entry 7, on 25 November".
pub fn moment(told: Option<&Told>, last: bool) -> String {
    match told {
        None => String::new(),
        Some(told) if last => format!("As it lies now, since entry {}, on {}.", told.entry, told.day),
        Some(told) => format!("As it lay after entry {}, on {}.", told.entry, told.day),
    }
}

/// The same of the whole record, where nothing lies.
pub fn entry_of(told: &Told) -> String {
    let at = if told.time.is_empty() { String::new() } else { format!(" at {}", told.time) };
    format!("Entry {}, {}{at}.", told.entry, told.day)
}

/// What holds a part: "a third, 161 mg by the book, weighed 160 mg, drawer 3".
pub fn pile(pile: &crate::present::lot_story::Pile) -> String {
    let by_book =
        if pile.by_book.is_empty() { String::new() } else { format!("{} by the book", pile.by_book) };
    let weighed = if pile.weighed.is_empty() { String::new() } else { format!("read as {}", pile.weighed) };
    let parts = [pile.words.as_str(), &by_book, &weighed, &pile.place];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("  ·  ")
}
