//! Words on the controls: show.

use crate::present::words;

/// Over the page.
pub const HEAD: &str = "The proof";
/// While there is none.
pub const EMPTY: &str = "No stone is finished yet";
/// What the page is for, while there is none.
pub const EMPTY_WORDS: &str = "The proof shows every stone whose last layer is hard, with your photo of it, so that the client can choose.";

/// The main button that takes in a first photo.
pub fn take_first(no: u8) -> String {
    format!("Take in a photo of {name}", name = words::stone(no))
}

/// The main button that goes to the papers.
pub const WRITE: &str = "Write the proof sheet";
/// The main button that records it as sent.
pub const SEND: &str = "It is sent to the client";
/// The day of it, where it is told of late.
pub const SENT_DAY: &str = "Sent on";
/// The main button that goes to the answer.
pub const ANSWER: &str = "Write down the answer";
/// To the message desk.
pub const MESSAGE: &str = "write the message";
/// Looks at the sheet again.
pub const LOOK: &str = "look at the sheet";

/// Under the main button, before it is sent.
pub const SEND_WORDS: &str = "The sheet is written and kept. Send it with the message, then say so here.";
/// Before it is written again.
pub const AGAIN_WORDS: &str = "The stones have changed since the sheet was written, so it is written again.";
/// The main button that goes to the message desk for a reminder.
pub const REMIND: &str = "Write the gentle reminder";
/// To the answer, while the reminder is the next thing.
pub const ANSWER_LINK: &str = "write down the answer";

/// Once a stone is chosen: where the work goes on.
pub fn on_to(page: &str) -> String {
    format!("on to {page}")
}

/// A stone's title.
pub fn stone(no: u8) -> String {
    words::sentence_start(&words::stone(no))
}

/// The tick that puts a stone on the proof or takes it off.
pub fn on_proof(no: u8) -> String {
    format!("{name} on the proof", name = words::stone(no))
}

/// Beside the tick.
pub const ON_PROOF: &str = "on the proof";
/// Said over a tick.
pub const OFF_WORDS: &str = "Off the proof it is kept as a spare, and goes home unset.";

/// The caption of a stone.
pub fn caption(no: u8) -> String {
    format!("A word for the proof about {name}", name = words::stone(no))
}

/// An example of it.
pub const CAPTION_HINT: &str = "the strands fanned, a trace of gold";

/// Takes in photos by the dialog.
pub const TAKE: &str = "take in photos";
/// The same by a typed path.
pub const TAKE_BY_PATH: &str = "or type a path";

/// Takes in photos of a stone by the dialog.
pub fn take(no: u8) -> String {
    format!("take in photos of {name}", name = words::stone(no))
}

/// The same by a typed path.
pub fn take_by_path(no: u8) -> String {
    format!("or type a path to a photo of {name}", name = words::stone(no))
}

/// The field for it.
pub fn path(no: u8) -> String {
    format!("Where the photo of {name} is", name = words::stone(no))
}

/// An example of it.
pub const PATH_HINT: &str = "/home/me/Pictures/stone.jpg";
/// Hands it in.
pub const TAKE_IT: &str = "take it in";
/// A stone without a photo.
pub const NO_PHOTO: &str = "No photo yet.";

/// Where dropped photos go.
pub fn dropped(no: u8) -> String {
    format!("Photos that you drop on the window are taken in as photos of {name}.", name = words::stone(no))
}

/// The name of a photo in a tray: which one of how many.
pub fn photo(no: u8, place: usize, of: usize) -> String {
    format!("photo {place} of {of} of {name}", name = words::stone(no))
}

/// A photo that is not of a stone.
pub fn loose_photo(place: usize) -> String {
    format!("photo {place} of nothing named")
}

/// Under the photo that papers show.
pub const SHOWN: &str = "on the proof";
/// Makes it that.
pub const SHOW_THIS: &str = "show this one on the proof";
/// Closes the large view.
pub const CLOSE: &str = "close the large view";
/// The photo after this one.
pub const NEXT: &str = "the next photo";
/// A large view's control.
pub const CLOSER: &str = "closer";
/// The other way.
pub const FARTHER: &str = "farther away";
/// How the large view is moved.
pub const LARGE_WORDS: &str = "As it was taken. Enter brings it closer, then the arrow keys move it.";

/// The name of a large view.
pub fn large(of: &str) -> String {
    format!("{of}, large")
}

/// The field for words about one photo.
pub const PHOTO_CAPTION: &str = "A word about this photo";

/// Over the photos that are of nothing named.
pub const LOOSE: &str = "Photos of nothing named yet";
/// What to do with them.
pub const LOOSE_WORDS: &str = "Say which stone each one shows.";

/// Says which stone a loose photo shows.
pub fn it_is(place: usize, no: u8) -> String {
    format!("photo {place} is of {name}", name = words::stone(no))
}

/// Stones that are not on the proof.
pub const OTHERS: &str = "Stones that are not on the proof";
/// Over the rounds.
pub const ROUNDS: &str = "Proofs that were sent";

/// One of them.
pub fn round(place: usize) -> String {
    format!("round {place}")
}

/// Opens the picture for a message.
pub const FOR_MESSAGE: &str = "a picture for a message";
/// The field where it is written to.
pub const MESSAGE_PATH: &str = "Where the picture shall be written";
/// Asks by the dialog.
pub const CHOOSE_PLACE: &str = "choose the place";
/// Writes it.
pub const WRITE_PICTURE: &str = "write the picture";
/// What is written.
pub const MESSAGE_WORDS: &str =
    "A smaller copy for a message, without any data about place or camera. The original stays as it is.";

/// The name a picture for a message is offered under.
pub fn picture_name(tag: &str, no: Option<u8>) -> String {
    match no {
        Some(no) => format!("{tag} {name}.jpg", name = words::stone(no)),
        None => format!("{tag}.jpg"),
    }
}
