//! Words on the controls: pack.

use craft::id::Thing;

use super::super::words;

/// Over the things.
pub fn everything(name: &str) -> String {
    format!("Everything of {name}\u{2019}s goes into the box")
}

/// How far the packing is.
pub fn ticked(done: usize, all: usize, seen: bool) -> String {
    if done == all && seen {
        format!("All {all} are in, and the box as it is packed was looked through.")
    } else if done == all {
        format!("All {all} are in. Photograph the open box before it is closed.")
    } else {
        format!("{done} of {all} ticked. Tick each as it goes in, then photograph the open box.")
    }
}

/// Where the order is not ready to be packed: "First set stone 2.".
pub fn first(action: &str) -> String {
    format!("There is something to do before: {action}.")
}

/// Over the things once the parcel has left.
pub fn gone(name: &str, arrived: bool) -> String {
    let is = if arrived { "has come home" } else { "is on its way home" };
    format!("Everything of {name}\u{2019}s {is}")
}

/// Over a page with nothing to pack.
pub const NOTHING: &str = "Nothing of this order is here yet";
/// Under it.
pub const NOTHING_SECOND: &str = "What comes is recorded on the arrival page, and counted home from here.";
/// The way there.
pub const TO_ARRIVAL: &str = "Record what came";

/// The field for the tag that is read off a thing.
pub const TAG: &str = "The tag on the thing: type it or scan it";
/// What stands in it while it is empty.
pub const TAG_HINT: &str = "A2B-C3H";
/// Opens the tags to pick from.
pub const PICK: &str = "pick it instead";
/// Over the tags to pick from.
pub const PICK_SAYS: &str = "Which of these is written on it?";
/// Once the tag was read; `name` is the one remembered.
pub fn tag_is(name: &str) -> String {
    format!("That is {name}\u{2019}s.")
}
/// Once a whole label was read; `name` is the one remembered.
pub fn label_is(name: &str, thing: Thing) -> String {
    format!("That is {name}\u{2019}s, by the tag; {thing} is its own number.")
}
/// Where a thing was ticked before its tag was read.
pub const TAG_FIRST: &str = "Read the tag off the thing first, then tick it.";

/// The tick box of a thing.
pub fn tick(thing: Thing) -> String {
    format!("tick {}", words::thing_plain(thing))
}
/// Under a thing that stands open.
pub const OPEN_FIRST: &str = "stands open: close it on the arrival page first";
/// The way to where it is closed.
pub fn close_it(thing: Thing) -> String {
    format!("close {}", words::thing_plain(thing))
}
/// A thing that was away is here again.
pub fn back(thing: Thing) -> String {
    format!("{} is back", words::thing_plain(thing))
}
/// The way to where a stone leaves its mould.
pub fn take_out(thing: Thing) -> String {
    format!("take {} out of its mould", words::thing_plain(thing))
}
/// A lost thing turned up.
pub fn found(thing: Thing) -> String {
    format!("{} turned up", words::thing_plain(thing))
}
/// Second line of what cannot be found.
pub const LOST: &str = "cannot be found; named on the packing list";

/// Opens what is for things that stay out.
pub const STAYS_OUT: &str = "Something stays out, or cannot be found";
/// Which thing.
pub const WHICH: &str = "Which thing";
/// What stands in it before one is chosen.
pub const WHICH_HINT: &str = "choose it";
/// Under it: who may say so.
pub const STAYS_OUT_SAYS: &str =
    "Only the client can say that a thing stays out. The packing list names it either way.";
/// Kept here for the client.
pub const HELD: &str = "the client wants it held here";
/// Who alone can ask for it.
pub const DESTROY_SAYS: &str =
    "Nothing is destroyed but on the client\u{2019}s own word, which is written down first.";
/// Writes the word down.
pub const ASK_DESTROY: &str = "the client asked for it to be destroyed";
/// The same, what is asked before it is written down, and the two answers.
pub const ASK_DESTROY_SURE: [&str; 4] = [
    ASK_DESTROY,
    "Did the client say so in their own words? That goes into the record, with the day.",
    "yes, write it down",
    "no, leave it",
];
/// It is done, and cannot be undone.
pub const DESTROYED_ASK: &str = "Read the tag once more. What is destroyed cannot come back.";
/// It is sure.
pub fn destroyed_yes(thing: Thing) -> String {
    format!("yes, {} was destroyed", words::thing_plain(thing))
}
/// It is not.
pub const DESTROYED_NO: &str = "no, it is still here";
/// The word is in the record.
pub const DESTROY_ASKED: &str = "The client\u{2019}s word is in the record: it may be destroyed. Once it is, the word stays there for good.";
/// Destroyed.
pub const DESTROYED: &str = "it was destroyed, as they asked";
/// They changed their mind.
pub const DESTROY_NOT: &str = "they want it home after all";
/// Opens what sends a part.
pub const PART: &str = "send what is in the box already";
/// What that means.
pub const PART_SAYS: &str = "It goes home in a parcel of its own, and the work on the rest goes on. It is looked through like any other box.";
/// The parcel left.
pub const PART_SENT: &str = "this part is posted";
/// The way to where offcuts are lit.
pub const LIGHT: &str = "light them";
/// Its name: "light what is in offcut bag 1".
pub fn light_it(thing: Thing) -> String {
    format!("light what is in {}", words::thing_plain(thing))
}
/// Sent before.
pub const BEFORE: &str = "it went home before";
/// Lost.
pub const CANNOT_FIND: &str = "it cannot be found";

/// Over the piles of one material: "Where the hair is".
pub fn where_it_is(lot: &str) -> String {
    // The petals and the ashes are many.
    let is = if lot.ends_with('s') { "are" } else { "is" };
    format!("Where {lot} {is}")
}
/// A pile: the keep-back.
pub const PILE_KEEP_BACK: &str = "keep-back";
/// A pile: still wrapped.
pub const PILE_WRAPPING: &str = "as it came";
/// A pile: offcuts.
pub const PILE_OFFCUTS: &str = "offcuts";
/// A pile: left on the tools.
pub const PILE_TOOLS: &str = "on the tools";

/// Over the photo of the box.
pub const PHOTO: &str = "Photo of the open box";
/// What is missing of it.
pub const PHOTO_NONE: &str = "None of the box as it is packed now.";
/// It was seen.
pub const SEEN: &str = "The box as it is packed now was looked through.";
/// No camera.
pub const BY_EYE: &str = "looked through by eye, no camera at hand";
/// A photo that came in without saying what is on it.
pub const IS_THE_BOX: &str = "this is the packed box";
/// The caption of the photo.
pub const BOX_CAPTION: &str = "the packed box";

/// Over the papers.
pub const PAPERS: &str = "Papers";
/// Papers that are issued: "Ready: packing list and care card.".
pub fn papers_ready(papers: &str) -> String {
    format!("Ready: {papers}.")
}
/// Papers that are not.
pub fn papers_missing(papers: &str) -> String {
    format!("Not issued yet: {papers}.")
}
/// Issues it.
pub fn issue(paper: &str) -> String {
    format!("issue the {paper}")
}
/// Issues one that is out of date.
pub fn issue_again(paper: &str) -> String {
    format!("issue the {paper} again")
}
/// The way to the papers beside the route.
pub const LOOK_AND_PRINT: &str = "look and print";

/// Before the box is closed, where there is no packing list of it.
pub const WITHOUT_LIST: &str =
    "The packing list is not issued yet. It goes into the box, so issue it before you close it.";
/// Before the box is closed, where its packing list does not say what is in it; `why` says so.
pub fn old_list(why: &str) -> String {
    format!("{} Issue it again before you close the box.", words::sentence(why))
}
/// The way to it.
pub const LIST_FIRST: &str = "look at the packing list first";
/// Before the box is closed, where its care card does not say what is so any more.
pub fn old_card(why: &str) -> String {
    format!("{} The box can be closed with it; a new card can follow later.", words::sentence(why))
}
/// Before the box is closed, where the care card was never written.
pub const WITHOUT_CARE: &str =
    "The care card is not written yet. The box can be closed without it; the card can follow later.";
/// The way to it.
pub const CARE_FIRST: &str = "look at the care card first";
/// The way to a care card that is written, once the box has left.
pub const CARE_AGAIN: &str = "look at the care card, or write it anew";

/// The main button while things are ticked.
pub const CLOSE: &str = "Close the box";
/// Over the parcel.
pub const PARCEL: &str = "The parcel";
/// Under it.
pub const PARCEL_SAYS: &str = "The box is closed. Write down how it travels, then post it.";
/// Who carries it.
pub const CARRIER: &str = "Carrier";
/// Its number.
pub const TRACKING: &str = "Tracking number";
/// What it is insured for.
pub const INSURED: &str = "Insured for";
/// What stands there while it is empty.
pub const INSURED_HINT: &str = "nothing";
/// What insurance is.
pub const INSURED_SAYS: &str = "An insurance pays for the piece. Nothing can pay for what was entrusted.";
/// Without insurance.
pub const NOT_INSURED: &str = "not insured";
/// The main button once the box is closed.
pub const POSTED: &str = "It is posted";
/// Opens the box again.
pub const REOPEN: &str = "open the box again";
/// Without a carrier.
pub const NO_CARRIER: &str = "name the carrier, so that the parcel can be asked after";
/// What is still missing of the parcel.
pub fn still_missing(what: &str) -> String {
    format!("Still missing: {what}.")
}
/// Where it goes on.
pub const TO_AFTER: &str = "Go on: what comes after";

/// The path of a photo; `of` is what is on it: "the packed box".
pub fn photo_path(of: &str) -> String {
    format!("Photo of {of}, its path")
}
/// What stands there while it is empty.
pub const PHOTO_HINT: &str = "/home/…/photo.jpg";
/// Takes the photo at the path in.
pub fn take_in(of: &str) -> String {
    format!("take in the photo of {of}")
}
/// Opens the system's dialog.
pub fn choose_photos(of: &str) -> String {
    format!("choose photos of {of}…")
}
/// A photo can be dropped.
pub const DROP: &str = "Or drop photos on this page.";
