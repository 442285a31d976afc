//! Words on the controls: plan.

use crate::present::words;

/// "Plan one, and see before anything is poured whether each layer will harden, fill the mould and hide the metal.".
pub const EMPTY_MORE: &str = "Plan one, and see before anything is poured whether each layer will harden, fill the mould and hide the metal.";

/// "No stone is planned yet".
pub const EMPTY: &str = "No stone is planned yet";

/// "Keep this plan and pour".
pub const KEEP: &str = "Keep this plan and pour";

/// Opens the test of the bottle, within the words on what rests on guesses.
pub const TEST_YOURS: &str = "test yours in ten minutes";
/// Keeps what stands for every stone that keeps no plan yet.
pub const KEEP_ALL: &str = "keep the plans of all stones";

/// "How is this worked out?".
pub const EXPLAIN: &str = super::common::EXPLAIN;

/// "Plan a stone".
pub const FIRST: &str = "Plan a stone";

/// "add a stone".
pub const ADD: &str = "add a stone";

/// Adds a practice stone like the one that is looked at.
pub const PRACTISE: &str = "practise first";

/// What a practice stone is.
pub const PRACTICE_IS: &str = "Yours, to try the plan with material of your own. Nothing of the client\u{2019}s goes into it, and it is \
    not shown, set or packed; how its layers come out counts for the plans.";

/// "Pour it".
pub const POUR: &str = "Pour it";

/// "change".
pub const CHANGE: &str = "change";

/// "Stones".
pub const STONES: &str = "Stones";

/// "close".
pub const CLOSE: &str = "close";

/// "clear".
pub const CLEAR: &str = "clear";

/// "How the colour follows".
pub const STYLE: &str = "How the colour follows";

/// "A word for the proof".
pub const CAPTION: &str = "A word for the proof";

/// "Colour behind".
pub const PIGMENT: &str = "Colour behind";

/// "done changing".
pub const DONE: &str = "done changing";

/// "On the face".
pub const TOP: &str = "On the face";

/// "Clear face".
pub const FACE: &str = "Clear face";

/// "Cavity".
pub const CAVITY: &str = "Cavity";

/// "Mould".
pub const MOULD: &str = "Mould";

/// "Resin".
pub const RESIN: &str = "Resin";

/// "Lamp".
pub const LAMP: &str = "Lamp";

/// Opens what follows from the plan.
pub const EXPECT: &str = "What to expect";

/// Opens what is wanted of the plan beyond the usual.
pub const WISHES: &str = "Plan it otherwise";

/// Opens the pots.
pub const POTS: &str = "What goes into which pot";

/// Opens how many stones the material makes.
pub const MAKES: &str = "How many stones it makes";

/// How the answers to that were worked out.
pub const MAKES_HOW: &str = "How is the number of stones worked out?";

/// How often a button is pressed.
pub const PRESSES: &str = "A button is pressed for a layer";

/// Once, twice, three times.
pub const PRESSED: [&str; 3] = ["once", "up to twice", "up to three times"];

/// Steps of the same size, or whatever is quickest.
pub const STEPS: &str = "Steps of colour";

/// The two ways of it.
pub const STEPPED: [&str; 2] = ["whatever is quickest", "of the same size"];

/// Colours even or swirled.
pub const COLOURS: &str = "Colour in a layer";

/// The two ways of it.
pub const SWIRLED: [&str; 2] = ["even", "swirled"];

/// The colour over polished metal.
pub const OVER_METAL: &str = "over metal";

/// The colour over a dark gap.
pub const OVER_DARK: &str = "over a dark gap";

/// Plans the rest of a begun stone again.
pub const PLAN_ON: &str = "plan the rest again";

/// What would be kept by this.
pub const KEPT_MORE: &str = "Kept layers stay as they are, and the others are planned round them.";

/// Plans one more colour layer.
pub const ONE_MORE: &str = "plan one more colour layer";

/// Why nothing can be asked of the plan any more.
pub const BEGUN: &str = "Pouring has begun, so what was laid stays; the rest can be planned again from it.";

/// Nothing is known of shares yet.
pub const NO_SHARE: &str =
    "Say under \"change\" how much of the material goes in, and this says how many stones it makes.";

/// Keeps a layer of the plan as it is.
pub fn keep_layer(no: usize) -> String {
    format!("keep layer {no} as it is")
}

/// How thick a kept layer is.
pub fn kept_thickness(no: usize) -> String {
    format!("Kept layer {no}, thick")
}

/// How much pigment a kept layer holds.
pub fn kept_load(no: usize) -> String {
    format!("Kept layer {no}, pigment")
}

/// Lets a kept layer go.
pub fn let_go(no: usize) -> String {
    format!("let kept layer {no} go")
}

/// What was laid otherwise than planned.
pub fn laid_otherwise(layers: &str) -> String {
    format!("Laid otherwise than planned: layer {layers}.")
}

/// The heading of a stone.
pub fn stone_title(no: u8) -> String {
    words::sentence_start(&words::stone(no))
}

/// The way to another stone.
pub fn stone(no: u8) -> String {
    words::stone(no)
}

/// What stands on the way to a stone beside others: its number, and for practice its count after a word.
pub fn tab(no: u8) -> String {
    if craft::id::is_practice(no) { words::stone(no).replace(" stone", "") } else { no.to_string() }
}

/// How much of a material goes into the stone: "How much of the hair".
pub fn share_of(lot: &str) -> String {
    format!("How much of {lot}")
}

/// Takes a stone out of the order.
pub fn leave_out(no: u8) -> String {
    format!("leave {name} out", name = words::stone(no))
}
