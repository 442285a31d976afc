//! Words on the controls: arrival.

use craft::id::Thing;

use super::super::words;

/// Over a page where nothing came.
pub const NOTHING: &str = "Nothing has come yet";
/// Under it.
pub const NOTHING_SECOND: &str =
    "When the packet is here, look at it before anything is opened, and write down what came.";
/// Opens the form.
pub const RECORD: &str = "Record what came";
/// Hands the form in.
pub const RECORD_IT: &str = "Write it down";
/// Opens it for one more.
pub const ANOTHER: &str = "another packet came";
/// Opens the form for a keepsake.
pub const KEEPSAKE: &str = "something else came along";
/// Leaves a form.
pub const NOT_NOW: &str = "not now";
/// Over the form of a packet.
pub fn packet(no: u8) -> String {
    format!("What came: packet {no}")
}
/// Over the form of a keepsake.
pub const KEEPSAKE_HEAD: &str = "What came along";
/// What it is.
pub const MATERIAL: &str = "What it is";
/// Before it is chosen.
pub const MATERIAL_HINT: &str = "choose it";
/// How it looks.
pub const DESCRIPTION: &str = "How it looks";
/// An example.
pub const DESCRIPTION_HINT: &str = "a tied lock in tissue";
/// An example for a keepsake.
pub const KEEPSAKE_HINT: &str = "the ribbon it came in";
/// How much.
pub const HOW_MUCH: &str = "How much, by scale or by eye";
/// Examples: by scale, by eye, in words.
pub const HOW_MUCH_HINT: &str = "31 mg, about 2 g, or a handful";
/// How much is agreed to be kept back.
pub const KEEP_BACK: &str = "Kept back";
/// The seal.
pub const SEAL: &str = "Number on the seal";
/// None.
pub const SEAL_HINT: &str = "none";
/// Where it is put.
pub const PLACE: &str = "Where it is put";
/// Missing before the form can be handed in.
pub const CHOOSE_MATERIAL: &str = "choose what it is";
/// A share of nothing.
pub const NEEDS_WEIGHT: &str =
    "a share needs a whole: write a weight, such as \"31 mg\", or by eye \"about 300 mg\", or leave it empty";
/// A seal that is no number.
pub const SEAL_IS_A_NUMBER: &str = "a seal has a number, such as 14; leave it empty where there is none";
/// A field that cannot be read yet.
pub fn look_again(field: &str) -> String {
    format!("look at \u{201c}{field}\u{201d} again")
}
/// Nothing to call a keepsake.
pub const SAY_WHAT: &str = "say what it is";

/// Over the keep-back's step: "First the keep-back: a third of the hair".
pub fn first_keep_back(share: &str, lot: &str) -> String {
    format!("First the keep-back: {share} of {lot}")
}
/// Under it.
pub const KEEP_BACK_SAYS: &str =
    "It goes into an envelope of its own before anything is worked with, and stays closed.";
/// The main button.
pub const PUT_KEEP_BACK: &str = "Put the keep-back in its envelope";
/// The tag on the packet.
pub const TAG: &str = "The tag on the packet: type it or scan it";
/// Missing before.
pub const READ_TAG: &str = "read the tag off the packet before it is opened";
/// The seal on the new envelope.
pub fn seal_on(thing: Thing) -> String {
    format!("Seal on {}", words::thing_plain(thing))
}
/// Where the new envelope goes.
pub fn place_of(thing: Thing) -> String {
    format!("Where {} goes", words::thing_plain(thing))
}

/// Over the closing step: "Envelope 1 stands open".
pub fn stands_open(thing: Thing) -> String {
    format!("{} stands open", words::sentence_start(&words::thing_plain(thing)))
}
/// Under it.
pub const OPEN_SAYS: &str = "Close it before anything of another order is opened.";
/// The main button: "Close wrapping 1".
pub fn close(thing: Thing) -> String {
    format!("Close {}", words::thing_plain(thing))
}
/// A new seal.
pub const NEW_SEAL: &str = "New seal, if one is put on";
/// Where it goes back to.
pub const GOES_TO: &str = "Then it goes to";

/// Over the things.
pub fn things(name: &str) -> String {
    format!("Everything of {name}’s, and where it is")
}
/// The way to what can be done with a thing.
pub const MORE: &str = "more";
/// The same while it is open.
pub const LESS: &str = "close";
/// Its name: "more about envelope 1".
pub fn more(thing: Thing) -> String {
    format!("more about {}", words::thing_plain(thing))
}

/// Opens a thing.
pub fn open(thing: Thing) -> String {
    format!("open {}", words::thing_plain(thing))
}
/// Takes some out.
pub fn take_out(thing: Thing) -> String {
    format!("Take some out of {}", words::thing_plain(thing))
}
/// How much of it.
pub const TAKE_HOW_MUCH: &str = "How much";
/// An example.
pub const TAKE_HINT: &str = "a quarter, or 31 mg";
/// Of which material.
pub const TAKE_OF: &str = "Of which";
/// Into a new envelope.
pub fn into(thing: Thing) -> String {
    format!("put it into {}", words::thing_plain(thing))
}
/// Onto the tools.
pub const ON_TOOLS: &str = "it was left on the tools";
/// Missing before.
pub const SAY_HOW_MUCH: &str = "say how much";
/// The client's yes.
pub const RELEASED: &str = "the client said yes to opening it";
/// What holds for it.
pub const RELEASED_SAYS: &str = "The keep-back stays closed. It is opened only after the client’s own yes, which is recorded and counts once.";
/// The yes is there.
pub const RELEASED_NOW: &str = "The client said yes: it may be opened once.";
/// Moves it.
pub fn moved(thing: Thing) -> String {
    format!("Where {} is", words::thing_plain(thing))
}
/// Weighs it.
pub fn weigh(thing: Thing) -> String {
    format!("What {} holds, by scale or by eye", words::thing_plain(thing))
}
/// An example.
pub const WEIGH_HINT: &str = "31 mg, about a quarter";
/// Describes it.
pub fn describe(thing: Thing) -> String {
    format!("How {} looks", words::thing_plain(thing))
}
/// Loses it.
pub fn lost(thing: Thing) -> String {
    format!("{} cannot be found", words::thing_plain(thing))
}
/// Finds it.
pub fn found(thing: Thing) -> String {
    format!("{} turned up", words::thing_plain(thing))
}
/// Where it turned up.
pub const FOUND_PLACE: &str = "Where it lies now";
/// It is in the box.
pub const IN_BOX: &str = "It is in the box: it comes out on the pack page.";
/// It stays in its mould.
pub const IN_MOULD: &str = "It lies in its mould until it is taken out on the pour page.";

/// Where a stone is that was set: "set into piece 1".
pub fn set_into(piece: Thing) -> String {
    format!("set into {}", words::thing_plain(piece))
}
/// Where a thing is that stands open; `place` is a clause: "open on the bench".
pub fn open_at(place: &str) -> String {
    format!("open {place}")
}
/// What a thing holds of a material: "a third of the hair".
pub fn share_of_lot(share: &str, lot: &str) -> String {
    format!("{share} of {lot}")
}

/// Over photos that nobody said anything about.
pub const LOOSE_PHOTOS: &str = "Photos of what?";
/// Names one: "photo 2 shows".
pub fn shows(no: usize) -> String {
    format!("photo {no} shows")
}
/// Without a photo or a description.
pub const NEITHER: &str = "neither a photo nor a description yet";

/// Opens what takes a photo in.
pub fn add_photo(thing: Thing) -> String {
    format!("add a photo of {}", words::thing_plain(thing))
}
/// A photo by its number.
pub fn photo_no(thing: Thing, no: usize) -> String {
    format!("photo {no} of {}", words::thing_plain(thing))
}

/// More is to be taken out than there is.
pub fn holds_less(thing: Thing, has: &str) -> String {
    format!("{} holds {has} of what came; take no more than that", words::thing_plain(thing))
}
