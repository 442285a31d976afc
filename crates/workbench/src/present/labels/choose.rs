//! Words on the controls: choose.

use crate::present::words;

/// Over a page before any proof was sent.
pub const NOTHING: &str = "No proof has been sent yet";
/// Under it.
pub const NOTHING_SECOND: &str = "Once the stones are shown, the client’s answer is written down here.";
/// The way there.
pub const TO_SHOW: &str = "Show the stones";

/// Over the stones: "Which one did Ida Lund choose?".
pub fn which(client: &str) -> String {
    format!("Which stone did {client} choose?")
}
/// Under it.
pub fn sent(day: &str) -> String {
    format!("The proof was sent on {day}. Press the stone that was chosen, then write down what was said.")
}
/// Of a second round: "Round 2".
pub fn round(no: usize) -> String {
    format!("Round {no}")
}
/// Over the answer: "Stone 1 was chosen on 24 November".
pub fn chosen(no: u8, day: &str) -> String {
    format!("{name} was chosen on {day}", name = words::sentence_start(&words::stone(no)))
}
/// Over the answer: none of these.
pub fn none_chosen(day: &str) -> String {
    format!("None of these, said on {day}")
}
/// Under it.
pub const NONE_SAYS: &str =
    "Another round is made. These stones stay with the order and go home with everything else.";
/// A stone that can be pressed: "stone 1".
pub fn stone(no: u8) -> String {
    words::stone(no)
}
/// What is said under the picked stone.
pub const PICKED: &str = "this one";
/// What is said under the chosen stone.
pub const CHOSEN: &str = "the chosen one";
/// No photo.
pub const NO_PHOTO: &str = "no photo";
/// None of them.
pub const NONE: &str = "none of these";
/// The client's words.
pub const SAID: &str = "In the client’s words";
/// An example.
pub const SAID_HINT: &str = "the dark one, it is her";
/// By which way.
pub const WAY: &str = "It was said";
/// The main button: "Record that stone 2 was chosen".
pub fn record(no: u8) -> String {
    format!("Record that {name} was chosen", name = words::stone(no))
}
/// The main button before a stone is picked.
pub const RECORD: &str = "Record the choice";
/// The main button for none.
pub const RECORD_NONE: &str = "Record that none was chosen";
/// What is missing before.
pub const PICK_FIRST: &str = "press the stone that was chosen, or none of these";
/// The answer changed.
pub const CHANGED: &str = "the client changed their mind";
/// Leaves that.
pub const KEEP: &str = "leave the answer as it is";
/// Over a change of mind.
pub const CHANGED_SAYS: &str = "The earlier answer stays in the record; the newest one counts.";
/// Once it is set, nothing can change.
pub const SET_ALREADY: &str = "The stone is set, and the answer stands.";
/// Goes on to the setting.
pub const TO_FIT: &str = "Go on: set the chosen stone";
/// Goes on to a second round.
pub const TO_PLAN: &str = "Plan another round";
/// A reminder is due.
pub fn reminder_due(day: &str) -> String {
    format!("A gentle reminder was due {day}.")
}
/// A reminder will be due.
pub fn reminder_later(day: &str) -> String {
    format!("No hurry: a gentle reminder is due {day}.")
}
/// It was sent.
pub const REMINDED: &str = "the reminder is sent";
/// Where its words are.
pub const TO_MESSAGES: &str = "its words are under messages";
/// Over earlier rounds.
pub const EARLIER: &str = "Earlier rounds";
/// Where the client's words are missing.
pub const NO_WORDS: &str = "What the client said is not written down yet.";
/// Opens what was said, to be mended.
pub const MEND_WORDS: &str = "mend what was said";
