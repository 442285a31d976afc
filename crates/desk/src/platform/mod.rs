//! What only the computer under the window can do: sound, notices, dialogs, opening, printing, remembering.

pub mod prefs;
