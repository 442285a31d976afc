//! Words on the controls: messages.

use chrono::NaiveDate;
use craft::fact::MessageKind;

use crate::present::messages::Stands;
use crate::present::words;

/// Heading of the moments.
pub const MOMENTS: &str = "Moments to write at";
/// Where it goes.
pub const TO: &str = "To";
/// Where there is no way to reach the client.
pub const NOWHERE: &str = "no address or number is written down; the first page, brief, has a field for it";
/// The subject line.
pub const SUBJECT: &str = "Subject";
/// The words themselves.
pub const WORDS: &str = "The words";
/// The main button.
pub const COPY: &str = "Copy the words";
/// The subject alone.
pub const COPY_SUBJECT: &str = "copy the subject";
/// Where it goes.
pub const COPY_TO: &str = "copy where it goes";
/// Opens the code.
pub const PHONE: &str = "carry it to the phone";
/// Under the code.
pub const PHONE_HINT: &str =
    "Hold the phone's camera over it: the words are in the code, and nothing goes over a network.";
/// What the picture is.
pub const CODE: &str = "the words as a code for the phone";
/// Where a window is too small for the code.
pub const NO_ROOM: &str = "The window is too small for this code: make it wider, or copy the words.";
/// The words as they were made ready.
pub const RESTORE: &str = "back to the ready words";
/// The record.
pub const SENT: &str = "Note that it is sent";
/// Above the button that notes it.
pub const SENT_DAY: &str = "Sent on";
/// A field for a day left empty.
pub const TODAY: &str = "today";
/// Where there are no ready words.
pub const BY_HAND: &str = "write it by hand";
/// Heading of what was sent.
pub const LOG: &str = "What was sent";
/// Under it, while nothing was.
pub const LOG_EMPTY: &str = "Nothing is noted as sent yet.";
/// Shows the words of one that was sent.
pub const SHOW: &str = "its words";
/// Where no words were kept with it.
pub const NO_WORDS: &str = "its words were not kept";
/// Copied.
pub const COPIED: &str = "Copied. Paste it where you write to the client, then note that it is sent.";

/// How a moment stands: "ready", "sent 3 May", "not now".
pub fn stands(stands: Stands, today: NaiveDate) -> String {
    match stands {
        Stands::Ready => "ready".to_owned(),
        Stands::Sent(day) => format!("sent {}", words::near(day, today)),
        Stands::NotNow => "not now".to_owned(),
    }
}

/// The heading of a message: "Arrived safely".
pub fn title(kind: MessageKind) -> String {
    words::sentence_start(words::message(kind))
}

/// The name of a moment as a control: "proof, ready".
pub fn moment(kind: MessageKind, stands: &str) -> String {
    format!("{}, {stands}", words::message(kind))
}

/// One that was sent: "proof, 3 May".
pub fn sent(kind: MessageKind, day: NaiveDate, today: NaiveDate) -> String {
    format!("{}, {}", words::message(kind), words::date(day, today))
}

/// The name of the button that shows its words.
pub fn show(of: &str) -> String {
    format!("{SHOW}: {of}")
}

/// Words that must not be sent.
pub fn never(said: &str) -> String {
    format!(
        "The client asked never to read \u{201c}{said}\u{201d}. Say it in other words, then it can be copied."
    )
}
