//! Words on the controls: shell.

use craft::tag::Tag;
use std::fmt::Display;

/// "Find a name, tag, mould, drawer…".
pub const FIND_HINT: &str = "Find a name, tag, mould, drawer…";

/// "find an order".
pub const FIND_NAME: &str = "find an order";

/// "preferences".
pub const PREFERENCES: &str = "preferences";

/// "new order".
pub const NEW_ORDER: &str = "new order";

/// "orders".
pub const ORDERS: &str = "orders";

/// "shelf".
pub const SHELF: &str = "shelf";

/// "find".
pub const FIND: &str = "find";

/// "Ctrl+Shift+Z".
pub const REDO_KEY: &str = "Ctrl+Shift+Z";

/// "messages".
pub const MESSAGES: &str = "messages";

/// "papers".
pub const PAPERS: &str = "papers";

/// "story".
pub const LIFE: &str = "story";

/// "Ctrl+Z".
pub const UNDO_KEY: &str = "Ctrl+Z";

/// "try again".
pub const SAVE_AGAIN: &str = "try again";

/// "put away".
pub const PUT_AWAY: &str = "put away";

/// "This computer shows no dialog; type the path into the field instead.".
pub const NO_DIALOG: &str = "This computer shows no dialog; type the path into the field instead.";

/// "Where shall it be written?".
pub const SAVE_AS: &str = "Where shall it be written?";

/// "Choose a folder".
pub const CHOOSE_FOLDER: &str = "Choose a folder";

/// "Choose a file".
pub const CHOOSE_FILE: &str = "Choose a file";

/// "Choose photos".
pub const CHOOSE_PHOTOS: &str = "Choose photos";

/// "Copied.".
pub const COPIED: &str = "Copied.";

/// An order was asked for that is not there.
pub fn no_order(tag: Tag) -> String {
    format!("There is no order {tag} in this studio.")
}

/// Nothing was found.
pub fn nothing_found(text: &str) -> String {
    format!("Nothing is written anywhere about \"{text}\".")
}

/// Whose order it is.
pub fn for_client(client: &str) -> String {
    format!("for {client}")
}

/// Something cannot be done yet, and why.
pub fn not_yet(why: impl Display) -> String {
    format!("Not yet: {why}.")
}
/// "Not yet: how thick, and how many times.", of what is still to be written; none where nothing is.
pub fn still_missing(wanted: &[(&str, bool)]) -> Option<String> {
    let missing: Vec<&str> = wanted.iter().filter(|(_, is_there)| !is_there).map(|(what, _)| *what).collect();
    let (last, before) = missing.split_last()?;
    Some(not_yet(if before.is_empty() {
        (*last).to_owned()
    } else {
        format!("{}, and {last}", before.join(", "))
    }))
}

/// What closes a fold again.
pub fn fold_open(words: &str) -> String {
    format!("{words} – close")
}

/// Puts away what the computer had to say.
pub const PUT_AWAY_SAID: &str = "put away what was said";

/// Photos were dropped where no order is open.
pub const DROPPED_NOWHERE: &str = "Open the order first, then drop its photos there.";
