//! Words on the controls: safe keeping.

use std::path::Path;

use craft::tag::Tag;

use crate::present::words;

/// "Safe keeping".
pub const TITLE: &str = "Safe keeping";

/// The way there.
pub const WAY: &str = "safe keeping";

/// Where the studio lies: "This studio lies in /home/ada/studio."
pub fn lies_in(root: &Path) -> String {
    format!("This studio lies in {}.", root.display())
}

/// Opens the studio's folder.
pub const OWN_FOLDER: &str = "open the folder";

/// Reads every file of the studio anew.
pub const LOOK_AGAIN: &str = "read everything again";

/// What is not on the disk.
pub const NOT_SAVED: &str = "Not on the disk yet";

/// What is said over it.
pub const NOT_SAVED_WORDS: &str = "Everything is still open here and goes on, and every countdown with it. What may pass is tried again every quarter of a minute.";

/// Tries to save again.
pub const TRY_NOW: &str = "try again now";

/// Before what does not hold together.
pub const NOT_WELL: &str = "Not all is well:";
/// The way to what is not saved.
pub const WHICH: &str = "which, and why";

/// What was found.
pub const FOUND: &str = "What was found";

/// What is said where all is well.
pub const ALL_WELL: &str = "Everything that was read holds together.";

/// What stands before what is safe.
pub const SAFE: &str = "What is safe";

/// What stands before what to do.
pub const TO_DO: &str = "What to do";

/// Opens the folder in which a file lies.
pub const FOLDER: &str = "open its folder";

/// Over what stands only in the order's own file.
pub const ONLY_HERE: &str = "Only here";

/// Over what stands only in the copy.
pub const ONLY_COPY: &str = "Only in the copy";

/// Over where the two say something else.
pub const OTHERWISE: &str = "What each says otherwise";

/// Of an edition that has nothing more.
pub const NOTHING_MORE: &str = "Nothing more.";

/// What is found across orders waits for all of them.
pub const FOUND_LATER: &str = "What does not fit between orders is told once all of them are read.";

/// The backup.
pub const BACKUP: &str = "Backup";

/// Where the backup goes.
pub const BACKUP_FILE: &str = "A new file, best on another disk";

/// The way from the reminder to the backup.
pub const BACKUP_WAY: &str = "to the backup";

/// "choose the place" for the backup.
pub const BACKUP_PLACE: &str = "choose the place";

/// Makes it.
pub const BACKUP_MAKE: &str = "Make a backup";

/// Opens what puts one back.
pub const RESTORE: &str = "put a backup back";

/// What is said of that.
pub const RESTORE_WORDS: &str = "It goes into a new or empty folder, never over this studio, which stays as it is. Every file is compared and read back; \
     who was forgotten since is forgotten again.";

/// The backup's file.
pub const RESTORE_FILE: &str = "The backup";

/// Picks it.
pub const RESTORE_PICK: &str = "choose the backup";

/// Where it goes.
pub const RESTORE_TO: &str = "The new or empty folder";

/// Picks that.
pub const RESTORE_FOLDER: &str = "choose where the folder is made";

/// Does it.
pub const RESTORE_DO: &str = "put it back";

/// The name of the folder that is proposed.
pub const RESTORED: &str = "studio put back";

/// Opens the studio that was put back.
pub const RESTORE_OPEN: &str = "open the studio that was put back";

/// Earlier versions.
pub const EARLIER: &str = "Earlier versions";

/// The way there from an order, an item, the settings.
pub const EARLIER_WAY: &str = "earlier versions";

/// The same for a file that cannot be read, told apart: "earlier versions of orders/a2b-c3h.ron".
pub fn earlier_of_file(file: Option<&str>) -> String {
    file.map_or_else(|| EARLIER_WAY.to_owned(), |file| format!("{EARLIER_WAY} of {file}"))
}

/// Where they are.
pub const EARLIER_WORDS: &str = "The newest twenty of every order, client and item are kept, and of older ones the last of each day. Those of an order and \
     its client are at the head of the order, those of an item at the foot of its page on the shelf.";

/// Those of the settings.
pub const EARLIER_SETTINGS: &str = "earlier versions of the studio's settings";

/// The way back from them.
pub const BACK: &str = "back";

/// The tab of the order itself.
pub const THIS_ORDER: &str = "the order";

/// The tab of its client.
pub const ITS_CLIENT: &str = "its client";

/// There are none.
pub const NO_VERSIONS: &str = "There is no earlier version yet: it was never changed since it was made.";

/// They are being read.
pub const READING_VERSIONS: &str = "Reading the earlier versions.";

/// Takes one back.
pub const TAKE_BACK: &str = "Take this back";

/// What taking back does.
pub const TAKE_BACK_WORDS: &str =
    "It can be undone. What really happened is never taken out: it stays in the record.";

/// There is nothing to take back.
pub const NOTHING_BACK: &str = "Taking it back would change nothing.";

/// No difference.
pub const THE_SAME: &str = "It says the same as what is here now.";

/// One is to be chosen.
pub const CHOOSE_VERSION: &str = "Choose a version to see in what it differs from now.";

/// The list of orders.
pub const LIST: &str = "The list of orders";

/// What it is.
pub const LIST_WORDS: &str = "Every order as a row, for a table program.";

/// Where it goes.
pub const LIST_FILE: &str = "The file of the list";

/// Picks the place.
pub const LIST_PLACE: &str = "choose a place for the list";

/// Writes it.
pub const LIST_WRITE: &str = "write the list";

/// The name that is proposed.
pub const LIST_NAME: &str = "orders.csv";

/// Forgetting a client.
pub const FORGET: &str = "Forget a client";

/// What it is.
pub const FORGET_WORDS: &str =
    "Where a client asks for it, everything that says who they are and whom they remember goes for good.";

/// Opens the list of clients.
pub const FORGET_OPEN: &str = "find the client";

/// The field that finds one.
pub const FORGET_FIND: &str = "Name or tag";

/// Nobody was found.
pub const NOBODY: &str = "No client is called so.";

/// Goes back to all of them.
pub const ANOTHER: &str = "another client";

/// Over what would go.
pub const GOES: &str = "Forgotten";

/// Over what would stay.
pub const STAYS: &str = "Kept";

/// Over the receipt.
pub const RECEIPT: &str = "The receipt";

/// What is said of it.
pub const RECEIPT_WORDS: &str =
    "It is kept nowhere in the studio, and does not say who it was. Keep it now, if it is wanted.";

/// Copies it.
pub const RECEIPT_COPY: &str = "copy the receipt";

/// Where it goes.
pub const RECEIPT_FILE: &str = "The file of the receipt";

/// Picks the place.
pub const RECEIPT_PLACE: &str = "choose a place for the receipt";

/// Writes it.
pub const RECEIPT_WRITE: &str = "write the receipt";

/// Handing an order over.
pub const HAND_OVER: &str = "Hand this order over";

/// What it is.
pub const HAND_OVER_WORDS: &str = "The order, its photos without location data, its papers and all of it in words go into a new or empty folder that needs \
     no program of ours. Nothing here changes.";

/// Where it goes.
pub const HAND_OVER_TO: &str = "The folder of the handed-over order";

/// Picks it.
pub const HAND_OVER_FOLDER: &str = "choose where its folder is made";

/// Does it.
pub const HAND_OVER_DO: &str = "hand it over";

/// Shows the folder afterwards.
pub const HAND_OVER_OPEN: &str = "open that folder";

/// Stops the reading of orders.
pub const READ_NO_MORE: &str = "stop reading";

/// Reads them on.
pub const READ_ON: &str = "read them";

/// The way from an order to what was found about it.
pub fn of_this_order(count: &str) -> String {
    format!("{count} about this order")
}

/// Of many findings, so many more.
pub fn more(count: usize) -> String {
    format!("show {count} more")
}

/// So many more that are not shown.
pub fn and_more(count: usize) -> String {
    format!("and {count} more")
}

/// A button of a thing that stands in a list with others of the same name.
pub fn nth(words: &str, place: usize) -> String {
    if place == 0 { words.to_owned() } else { format!("{words}, thing {}", place + 1) }
}

/// A version in the list, named in full.
pub fn version(when: &str, how: &str, number: u32) -> String {
    format!("{when}, {how}, version {number}")
}

/// The heading over the earlier versions of something.
pub fn earlier_of(name: &str) -> String {
    format!("Earlier versions of {name}")
}

/// Forgets them.
pub fn forget(name: &str) -> String {
    format!("Forget {name} for good")
}

/// Opens the order that has to be brought to its end first.
pub fn open_order(tag: Tag) -> String {
    format!("open order {tag}")
}

/// How many clients were found: "12 clients".
pub fn clients(count: usize) -> String {
    words::count(count, "client", "clients")
}
