//! Words on the controls: shelf.

use craft::policies::PaperSize;

use crate::shelving::Kind;

/// What stands over the shelf.
pub const SHELF: &str = "The shelf";
/// The last of its pages.
pub const STUDIO: &str = "the studio";

/// What stands on top of the shelf.
pub const GUESSES: &str = "What a new shelf comes with are cautious guesses: safe to begin with, slower than they need \
    to be. Write over them what works for you, or test yours in ten minutes; plans get shorter, and what was made \
    before keeps the values it was made with.";

/// A page of the shelf.
pub const fn tab(kind: Kind) -> &'static str {
    match kind {
        Kind::Resin => "resins",
        Kind::Pigment => "pigments",
        Kind::Lamp => "lamps",
        Kind::Mould => "moulds",
        Kind::Setting => "settings",
        Kind::Scale => "scales",
    }
}

/// One item of a kind.
pub const fn one(kind: Kind) -> &'static str {
    match kind {
        Kind::Resin => "resin",
        Kind::Pigment => "pigment",
        Kind::Lamp => "lamp",
        Kind::Mould => "mould",
        Kind::Setting => "setting",
        Kind::Scale => "scale",
    }
}

/// Adds an item from nothing.
pub fn add(kind: Kind) -> String {
    format!("add a {}", one(kind))
}

/// What stands over a new item: "A new mould", "A mould like Oval 10 × 8 mm".
pub fn new_heading(kind: Kind, like: Option<&str>) -> String {
    match like {
        Some(name) => format!("A {} like {name}", one(kind)),
        None => format!("A new {}", one(kind)),
    }
}

/// The name of a new item.
pub fn new_name(kind: Kind) -> String {
    format!("What do you call the {}?", one(kind))
}

/// The main button of a new item.
pub const ADD: &str = "Put it on the shelf";
/// Gives up adding.
pub const LEAVE: &str = "leave it";
/// Adds an item like the open one.
pub const LIKE: &str = "another like this one";
/// Takes the open item out of use.
pub const RETIRE: &str = "take it out of use";
/// Brings it back.
pub const BRING_BACK: &str = "bring it back into use";
/// Beside an item that is out of use.
pub const RETIRED: &str = "Out of use: it is not offered any more, and old records still name it.";
/// The choice of the open item in a narrow window.
pub fn open(kind: Kind) -> String {
    format!("The {}", one(kind))
}
/// The fold over what is out of use: "3 out of use".
pub fn out_of_use(count: usize) -> String {
    format!("{count} out of use")
}
/// Where nothing of a kind is on the shelf.
pub fn none(kind: Kind) -> String {
    format!("There is no {} on the shelf yet.", one(kind))
}

/// An item's name.
pub const NAME: &str = "Name";
/// An item's note.
pub const NOTE: &str = "Note";

/// What stands behind a value.
pub const BACKING: &str = "Where that comes from";
/// The day of a test.
pub const TESTED_ON: &str = "Tested on";
/// The example in a field for a day.
pub const DAY_HINT: &str = "3 November";

/// When a bottle was opened.
pub const OPENED: &str = "Opened on";
/// How deep a resin hardens.
pub const HARDENS: &str = "How deep it hardens";
/// Under the field.
pub const HARDENS_WORDS: &str = "Each time the light lasts 2.7 times as long, it hardens this much deeper.";
/// When a resin first sets.
pub const FIRST_SETS: &str = "When it first sets";
/// Under the heading.
pub const FIRST_SETS_WORDS: &str =
    "Seconds of full light until it first sets, for each button of your lamps.";
/// Where there is no lamp.
pub const NO_LAMP: &str = "There is no lamp on the shelf yet; add yours, and its buttons stand here.";
/// Opens the change of a value.
pub const CHANGE: &str = "change";
/// Closes it.
pub const CLOSE: &str = "close";
/// Opens the change of one button's seconds: "change 60 s of Small lamp".
pub fn change_button(button: &str, lamp: &str, open: bool) -> String {
    format!("{} {button} of {lamp}", if open { CLOSE } else { CHANGE })
}
/// The field for the seconds.
pub fn sets_after(button: &str, lamp: &str) -> String {
    format!("First sets after, {button} of {lamp}")
}
/// Where the seconds of a button come from.
pub fn sets_backing(button: &str) -> String {
    format!("Where the seconds of {button} come from")
}

/// Over a lamp's buttons.
pub const BUTTONS: &str = "Its buttons";
/// Under the heading.
pub const BUTTONS_WORDS: &str = "As they stand on the lamp. Press each and count: how strong the lamp is does not \
    matter. Where the light grows slowly, say over how many seconds; 0 s where it is full at once.";
/// What a button of a lamp is called.
pub fn button_name(no: usize) -> String {
    format!("On button {no}")
}
/// How long a press is lit.
pub fn button_lit(no: usize) -> String {
    format!("Button {no} is lit for")
}
/// How long its light grows.
pub fn button_grows(no: usize) -> String {
    format!("Button {no} grows over")
}
/// Adds a button.
pub const ADD_BUTTON: &str = "add a button";
/// Why buttons are neither moved nor taken away.
pub const BUTTONS_STAY: &str = "Buttons keep their places, since tests and records name them by it; a new one comes \
    at the end. Where a lamp was changed for another, take it out of use and add the new one.";

/// The kind of outline.
pub const OUTLINE: &str = "Outline";
/// How round the corners of a rectangle are.
pub const CORNER: &str = "Round corners";
/// How full the corners of a cushion are.
pub const FULLNESS: &str = "How full";
/// The path of a drawn outline.
pub const PATH: &str = "The drawn line";
/// Where it comes from.
pub const PATH_WORDS: &str = "From a drawing in millimetres (SVG): what stands between the quotes after d=.";
/// How far the wall leans.
pub const WALL_LEANS: &str = "Wall leans outward";
/// A dome's measured heights.
pub const HEIGHTS: &str = "Dome as measured";
/// What is written there.
pub const HEIGHTS_WORDS: &str = "Each height above the edge, and how far from the middle across the width.";
/// An example.
pub const HEIGHTS_HINT: &str = "2.3 mm at 1, 1.8 mm at 2";
/// The size of a cavity.
pub const SIZE: &str = "Size of the stone";
/// The dome.
pub const DOME: &str = "Dome";
/// The dome's height.
pub const DOME_HEIGHT: &str = "Height of the dome";
/// The wall's height.
pub const WALL_HEIGHT: &str = "Height of the wall";
/// The body.
pub const BODY: &str = "The mould";
/// The marks of the tray.
pub const CAVITIES: &str = "Cavities of the tray";
/// An example of marks.
pub const CAVITIES_HINT: &str = "A1–C3";
/// What the shape is measured on.
pub const MEASURE: &str = "Measure a stone that came out of it: length, width, dome and edge.";
/// Over the tray.
pub const TRAY: &str = "What lies in it";
/// Where nothing does.
pub const TRAY_EMPTY: &str = "Nothing lies or is planned in it.";
/// What a cavity is called for those who cannot see it: "cavity B2, empty".
pub fn empty_cavity(cell: &str) -> String {
    format!("cavity {cell}, empty")
}

/// The class of a pigment.
pub const CLASS: &str = "What it is";
/// A pigment's colour.
pub const COLOUR_SHORT: &str = "Colour";
/// The parts of a colour.
pub const PARTS: [&str; 3] = ["Red", "Green", "Blue"];
/// What it takes of the light.
pub const TAKES: &str = "How much light it takes";
/// What hides the metal.
pub const HIDES: &str = "What hides the metal";
/// The ceiling.
pub const CEILING: &str = "Never more than";
/// Under the field.
pub const CEILING_WORDS: &str = "More spoils the resin.";
/// The least and the most that is planned with.
pub const LEAST: &str = "Planned with at least";
/// The most.
pub const MOST: &str = "Planned with at most";
/// Over the swatch book.
pub const SWATCHES: &str = "Swatch book";
/// Where it is empty.
pub const NO_SWATCH: &str =
    "Write down what you mix, scoops of pigment to drops of resin, and how it came out.";
/// Adds a swatch.
pub const ADD_SWATCH: &str = "add a mix";
/// Scoops of a mix that is not in the book yet.
pub const NEW_SCOOPS: &str = "Scoops of a new mix";
/// Drops of a mix that is not in the book yet.
pub const NEW_DROPS: &str = "to drops of resin";
/// Scoops of a swatch.
pub fn scoops(no: usize) -> String {
    format!("Scoops, mix {no}")
}
/// Drops of a swatch.
pub fn drops(no: usize) -> String {
    format!("to drops, mix {no}")
}
/// How a swatch came out.
pub fn came_out(no: usize) -> String {
    format!("How mix {no} came out")
}
/// The load of a swatch that was weighed.
pub fn swatch_weighed(no: usize) -> String {
    format!("Weighed, mix {no} had")
}
/// Takes a swatch away.
pub fn remove_swatch(no: usize) -> String {
    format!("take mix {no} out")
}
/// A photo of a swatch.
pub fn swatch_photo(digest: &str) -> String {
    format!("There is a photo of it: {digest}")
}

/// What a setting is.
pub const SETTING_KIND: &str = "What it is";
/// Its opening.
pub const OPENING: &str = "Its opening";
/// Under the field.
pub const OPENING_WORDS: &str = "From wall to wall, where the stone sits.";
/// Its wall.
pub const WALL: &str = "Wall from the bearing up";
/// Its metal.
pub const METAL: &str = "Metal";
/// An example of a metal.
pub const METAL_HINT: &str = "925 silver";
/// An example of a kind of setting.
pub const SETTING_HINT: &str = "ring";

/// Headings of the studio's page.
pub const ON_PAPERS: &str = "On papers and messages";
/// The studio's name.
pub const HOUSE_NAME: &str = "Name of the studio";
/// Its address.
pub const HOUSE_POST: &str = "Postal address";
/// Its contact.
pub const HOUSE_CONTACT: &str = "How clients reach you";
/// What the care card says of heat.
pub const HEAT_WORDS: &str = "About heat, on the care card";
/// Under the field.
pub const HEAT_WORDS_WORDS: &str = "From your resin's own data; empty prints nothing.";
/// The paper.
pub const PAPER: &str = "Paper in the printer";
/// What a paper is called.
pub const fn paper(paper: PaperSize) -> &'static str {
    match paper {
        PaperSize::A4 => "A4",
        PaperSize::Letter => "US Letter",
    }
}
/// The currency.
pub const CURRENCY: &str = "Prices are in";
/// The reminder.
pub const NUDGE: &str = "A gentle reminder after";
/// Under the field.
pub const NUDGE_WORDS: &str = "When no answer came to a proof.";
/// Over keep-back and scale.
pub const ACCOUNTS: &str = "Keeping account";
/// The keep-back.
pub const KEEP_BACK: &str = "Usual keep-back";
/// The limit.
pub const TELL_LIMIT: &str = "Cannot tell above a doubt of";
/// Under the field.
pub const TELL_LIMIT_WORDS: &str =
    "Where a scale may be out by more than this share of the whole, it cannot tell.";
/// The scale.
pub const SCALE: &str = "A scale on the bench";
/// The choices of [`SCALE`].
pub const SCALES: [(bool, &str); 2] = [(false, "none"), (true, "there is one")];
/// Where there is none.
pub const NO_SCALE: &str = "None is needed: everything can be counted and judged by eye.";
/// The last digit.
pub const LAST_DIGIT: &str = "Its last digit";
/// The spread.
pub const SPREAD: &str = "One load, weighed again and again";
/// Under the field.
pub const SPREAD_WORDS: &str =
    "How far the readings spread (one standard deviation); 0 where you never tried.";
/// Under the field of the last digit.
pub const LAST_DIGIT_WORDS: &str = "The smallest step it shows.";
/// In the field of the spread.
pub const NEVER_TRIED: &str = "0 where you never tried";
/// The most it carries.
pub const MOST_LOAD: &str = "The most it carries";
/// How the packet is kept out of a reading.
pub const PACKET: &str = "The packet on it";
/// The choices of [`PACKET`].
pub const PACKETS: [(bool, &str); 2] =
    [(false, "set to nothing with the empty packet on it"), (true, "one packet, weighed empty")];
/// What the empty packet weighs.
pub const EMPTY_PACKET: &str = "What the empty packet weighs";
/// Under the field.
pub const EMPTY_PACKET_WORDS: &str = "It is taken off every reading, which holds for this very packet only.";
/// Over the tries.
pub const TRIES: &str = "Is it right?";
/// Under the heading.
pub const TRIES_WORDS: &str =
    "Before its first use, and now and then: put on it something whose weight is known, such as a coin.";
/// No try yet.
pub const NEVER: &str = "It was never tried, and nothing is weighed on it until it was.";
/// Takes the newest try back.
pub const TRY_BACK: &str = "take the last try back";
/// What is put on it.
pub const TRY_WITH: &str = "What is put on it";
/// Something other than a coin.
pub const A_WEIGHT: &str = "a weight";
/// What is stamped on the weight.
pub const STAMPED: &str = "What is stamped on it";
/// An example.
pub const STAMPED_HINT: &str = "5 g, or 5 g ± 2 mg";
/// What the scale shows.
pub const SHOWN: &str = "What it shows";
/// An example.
pub const SHOWN_HINT: &str = "7.51 g";
/// Keeps the try.
pub const KEEP_TRY: &str = "write the try down";
/// Where the scales with their tries are.
pub const SCALES_THERE: &str = "Scales with their tries and their packets stand on the shelf, under scales; where there is one, it is used.";
/// The bench between two clients.
pub const BENCH: &str = "The bench between two clients";
/// The choices of [`BENCH`].
pub const BENCHES: [(bool, &str); 2] = [(true, "ticked as clear"), (false, "not asked for")];
/// Over the places.
pub const PLACES: &str = "Drawers, tins and safes";
/// Under the heading.
pub const PLACES_WORDS: &str =
    "Names may change, numbers stay, since records name them by number. One without a name is not in use.";
/// A place.
pub fn place(no: usize) -> String {
    format!("Place {no}")
}
/// A new place.
pub const NEW_PLACE: &str = "One more place";
/// An example of a place.
pub const NEW_PLACE_HINT: &str = "the top drawer";
/// Adds it.
pub const ADD_PLACE: &str = "add it";
/// Over the times.
pub const TIMES: &str = "Time on the bench";
/// To lay a layer.
pub const LAY: &str = "To mix and lay a layer";
/// To let bubbles rise.
pub const SETTLE: &str = "To settle, each 0.1 mm";
/// To let it cool.
pub const COOL: &str = "To cool, each 0.1 mm";
/// Under the fields.
pub const TIMES_WORDS: &str = "Plans count with these; whole seconds.";

/// An item in the list of a narrow window: its name, and whether it is out of use.
pub fn in_choice(name: &str, retired: bool) -> String {
    if retired { format!("{name}, out of use") } else { name.to_owned() }
}

/// A colour in words, for those who cannot see it.
pub fn colour_words((red, green, blue): (u8, u8, u8)) -> String {
    format!("red {red}, green {green}, blue {blue}")
}
