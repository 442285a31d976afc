//! Words on the controls: pour.

use craft::units::Span;

use crate::present::words;

/// Takes the cavity.
pub const BEGIN: &str = "Begin it";
/// Over the ways of reading a tag.
pub const TAG: &str = "The tag on the packet";
/// Opens the packet, once its tag is compared.
pub const OPEN: &str = "Open it";
/// The share is in the stone.
pub const PUT_IN: &str = "It is in";
/// Another share than planned.
pub const SHARE: &str = "Or another share of the whole";
/// The packet is closed.
pub const CLOSE: &str = "It is closed";
/// Where it goes once it is closed.
pub const CLOSE_WHERE: &str = "Where it goes back to";
/// How much resin was used.
pub const AMOUNT: &str = "How much resin";
/// What stands in it while it is empty.
pub const AMOUNT_HINT: &str = "up to the mark";
/// The layer is laid.
pub const LAID: &str = "It is laid";
/// Opens what differs from the plan.
pub const OTHERWISE: &str = "laid otherwise than planned";
/// How thick it really was.
pub const THICKNESS: &str = "How thick it is";
/// What it is for.
pub const KIND: &str = "What it is";
/// Under the lamp before settling is over.
pub const LIGHT_NOW: &str = "it has settled: under the lamp now";
/// The lamp goes on.
pub const LAMP_ON: &str = "Lamp on";
/// The lamp goes on for the rest.
pub const LAMP_ON_AGAIN: &str = "Lamp on again";
/// The lamp is off for a while.
pub const PAUSE: &str = "Pause the lamp";
/// The light is over.
pub const LAMP_OFF: &str = "Lamp off";
/// A paused layer is left at that.
pub const LEAVE_AT_THAT: &str = "leave it at that and feel it";
/// It cooled before its time.
pub const COOL_NOW: &str = "it is cool already";
/// A layer that was soft or tacky is hard after all.
pub const HARD_AFTER_ALL: &str = "it is hard after all";
/// The three answers.
pub const HARD: &str = "Hard";
/// It set and is tacky.
pub const TACKY: &str = "Tacky";
/// It is soft.
pub const SOFT: &str = "Soft";
/// What the keys are.
pub const FEEL_KEYS: &str = "or press H, T or S";
/// Where the stone is put.
pub const PUT_WHERE: &str = "Where it is put";
/// The stone is out.
pub const TAKEN_OUT: &str = "It is out";
/// Where the trimmings are put.
pub const BAG_WHERE: &str = "Where the bag of trimmings is put";
/// Trimmings are kept.
pub const KEEP_OFFCUTS: &str = "keep the trimmings in a bag";
/// Opens what can be done with a stone that did not come out.
pub const NOT_RIGHT: &str = "it did not come out";
/// Sets it aside.
pub const SET_ASIDE: &str = "keep it as a spare";
/// Sets it aside and plans another.
pub const REMAKE: &str = "keep it as a spare and plan another like it";
/// To the plan.
pub const TO_PLAN: &str = "Plan it";
/// To the arrival page.
pub const TO_ARRIVAL: &str = "Go to arrival";
/// To the proof.
pub const TO_SHOW: &str = "Show the stones";
/// Heading over the layers.
pub const LAYERS: &str = "Layer by layer";
/// The stones of the order, over their row.
pub const STONES: &str = "Stones of this order";
/// Which stones go under the lamp with this one.
pub const TOGETHER: &str = "Under the lamp together";
/// How long the lamp was on.
pub const HOW_LONG: &str = "Seconds it was on";
/// An example.
pub const HOW_LONG_HINT: &str = "54 s";
/// Writes that down.
pub const HOW_LONG_SAY: &str = "It was on so long";
/// No stone to pour.
pub const EMPTY: &str = "No stone is planned yet";
/// What to do about it.
pub const EMPTY_MORE: &str = "Plan one first: the plan says what is laid, and for how long it is lit.";
/// The space bar, where a stone is begun.
pub const SPACE_BEGIN: &str = "space: begin it";
/// The space bar, where a layer is laid.
pub const SPACE_LAID: &str = "space: it is laid";
/// The space bar, before the lamp is on.
pub const SPACE_ON: &str = "space: lamp on";
/// The space bar while it is paused.
pub const SPACE_AGAIN: &str = "space: lamp on again";
/// The space bar while it is on.
pub const SPACE_PAUSE: &str = "space: pause the lamp";
/// The space bar once light is over.
pub const SPACE_OFF: &str = "space: lamp off";
/// Beside the lamp, always.
pub const CARE_LIGHT: &str =
    "Lamp light harms eyes and skin: shield it, do not look in, and keep hands out of it.";
/// Beside wet resin.
pub const CARE_WET: &str = "Wet resin can make skin allergic for life: gloves on, and off the keys.";
/// Beside dry pigment.
pub const CARE_PIGMENT: &str = "Dry pigment is fine dust: scoop it slowly, with a mask.";

/// One stone in the row: "stone 2".
pub fn stone(no: u8) -> String {
    words::sentence_start(&words::stone(no))
}

/// The lamp was on all the time.
pub fn all_of_it(planned: Span) -> String {
    format!("It stayed on: all {}", words::light(planned))
}

/// The lamp went out when the computer did.
pub fn only_sure(sure: Span) -> String {
    if sure.micro() < 1_000_000 {
        "Count none of it".to_owned()
    } else {
        format!("It went out: only {}", words::light(sure))
    }
}

/// Takes a stone under the lamp too.
pub fn with_stone(no: u8) -> String {
    format!("{name} too", name = words::stone(no))
}

/// Nothing of the trimmings is kept yet.
pub const NO_BAG: &str = "No bag of trimmings is kept yet: they go home too.";

/// The bags that are kept: "Trimmings are kept: offcut bag 1 in drawer 3."
pub fn bags(list: &str) -> String {
    format!("Trimmings are kept: {list}.")
}

/// Under the digits of a wait that is over.
pub const RING_OVER: &str = "over";
/// Under the digits of a wait nobody knows exactly.
pub const RING_AT_MOST: &str = "at most";

/// Under the digits of a wait that runs: "of 5:00".
pub fn ring_of(planned: Span) -> String {
    format!("of {}", words::clock(planned))
}

/// Opens what lights a bag of offcuts by itself.
pub fn light_bag(bag: craft::id::Thing) -> String {
    format!("light what is in {}", words::thing_plain(bag))
}
/// By which press.
pub const CURE_WITH: &str = "Under which lamp";
/// What is done.
pub const CURE_SAYS: &str = "Spread them out, offcuts, drips and wet bits alike, light them, let them cool, and feel the thickest one.";
/// How they feel.
pub const CURED: [&str; 3] = ["they are hard", "they are tacky", "they are soft"];
