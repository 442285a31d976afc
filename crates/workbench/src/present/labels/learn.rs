//! Words on the controls: what is seen of a bottle, the ten-minute test, what works anyway, how warm a layer got.

use craft::heat::Feel;

use crate::present::words;
use crate::shelving::observations::Told;

/// Over the part of a bottle's page.
pub const HEADING: &str = "Tests and what they say";
/// Where nothing was seen yet.
pub const NOTHING: &str = "Nothing was seen of this bottle yet, so layers are planned thin and lit long. What you do \
    anyway takes half a minute to write down; a test takes ten minutes and says most. How your layers come out is \
    learned from by itself.";
/// Begins the test.
pub const TEST: &str = "Test it in ten minutes";
/// Begins writing down a habit.
pub const HABIT: &str = "what works for me now";
/// Over what was seen.
pub const SEEN: &str = "What was seen";
/// Under it.
pub const SEEN_KEPT: &str = "What is written down stays with its day. A newer test counts for more than an older one, \
    so a doubtful one is best answered by another.";
/// Takes back what was just written down: its number tells one from another.
pub fn take_back(no: usize) -> String {
    if no == 0 { "take it back".to_owned() } else { format!("take it back, number {}", no + 1) }
}
/// Opens the layers of the records.
pub const RECORDS: &str = "those layers";
/// Over the figures that were there before.
pub const FIGURES: &str = "The figures it begins with";
/// Under it, where something was seen.
pub const FIGURES_WORDS: &str = "What was seen is joined to these; they need no change after a test.";

/// Over the test.
pub const WEDGE: &str = "A ten-minute test";
/// Leaves the test or the habit; what was typed stays.
pub const LEAVE: &str = "back to the bottle";
/// The steps of the test.
pub const STEPS: [&str; 5] = [
    "1. What you need",
    "2. What it is made with",
    "3. Light each patch",
    "4. Wipe and measure",
    "5. What it says",
];
/// Under the first step.
pub const NEED: &str = "About 1 ml of the resin, a small mould or a drinking straw, a clear film or a silicone mat, the lamp, a \
    watch, paper towel, and a caliper or a ruler. Nothing else.";
/// The cautions of the test, in the order they matter.
pub const CAUTIONS: [&str; 3] = [
    "Nitrile gloves on, window open: resin that is not hard can make skin allergic to it for life, so none of it on \
     skin, keys or handles.",
    "Never look into the lamp; shield it before it is lit, and wear glasses made for its light.",
    "Light towels and gloves hard before they go into the bin.",
];
/// The lamp.
pub const LAMP: &str = "Lamp";
/// The button.
pub const BUTTON: &str = "Button";
/// The tray.
pub const TRAY: &str = "What it lies in or on";
/// The choices of [`TRAY`].
pub const TRAYS: [(craft::shelf::Body, &str); 2] =
    [(craft::shelf::Body::LetsLightIn, "clear or white"), (craft::shelf::Body::Opaque, "dark")];
/// The pigment.
pub const PIGMENT: &str = "Pigment in it";
/// No pigment.
pub const CLEAR: &str = "none, it is clear";
/// How much pigment.
pub const LOAD: &str = "How much of it";
/// An example.
pub const LOAD_HINT: &str = "0.5 %";
/// What patches are measured with.
pub const GAUGE: &str = "Measured with";
/// The choices of [`GAUGE`].
pub const GAUGES: [(crate::shelving::observations::Gauge, &str); 2] = [
    (crate::shelving::observations::Gauge::Caliper, "a caliper"),
    (crate::shelving::observations::Gauge::Ruler, "a ruler"),
];
/// The day.
pub const DAY: &str = "Seen on";
/// In the field of the day.
pub const DAY_HINT: &str = "today";
/// Under the third step.
pub const LIGHT: &str = "Use a small mould, or rings cut from a drinking straw stuck on the film, at least 6 mm high. Fill \
    them and let the bubbles rise. Light one after the other in the middle of the lamp, with the others covered, each \
    twice as long as the one before. Where the button takes longer, switch it off or pull the patch out; where it is too \
    short, press it again.";
/// How long a patch was lit.
pub fn lit(no: usize) -> String {
    format!("Patch {no} lit for")
}
/// One patch more.
pub const MORE: &str = "one patch more";
/// One patch fewer.
pub const FEWER: &str = "one patch fewer";
/// Under the fourth step.
pub const MEASURE: &str = "Take each patch out, turn it over and wipe away all that is still wet; press no harder than on a \
    ripe berry. What is left is what the light has set. Measure it in its middle. If nothing is left, write the word \
    nothing, or 0. If it was hard right down to the film, leave it blank: it was too low to tell.";
/// How thick a patch set.
pub fn thick(no: usize) -> String {
    format!("Patch {no} set")
}
/// An example.
pub const THICK_HINT: &str = "1.2 mm";
/// Keeps the test.
pub const KEEP: &str = "Keep this test";
/// Under the plot's foot.
pub const ACROSS: &str = "seconds of light";
/// Over the plot's side.
pub const UP: &str = "how thick it set, mm";
/// Under the plot.
pub const PLOT_WORDS: &str = "The dots are yours, with what the measure may be out by. The line is what is believed \
    with them; the true depth is almost surely within the band.";

/// Over the habit.
pub const HABIT_HEADING: &str = "What works for me now";
/// Under it.
pub const HABIT_WORDS: &str = "A layer you lay again and again that comes out hard right through. No instrument is \
    needed: about is good enough, and the thickest you trust says most.";
/// How thick.
pub const THICKNESS: &str = "I lay it about";
/// An example.
pub const THICKNESS_HINT: &str = "2 mm";
/// How often.
pub const TIMES: &str = "How many times, about";
/// An example.
pub const TIMES_HINT: &str = "20";
/// What a habit cannot be without: how thick, and how many times.
pub const HABIT_NEEDS: [&str; 2] = ["how thick", "how many times"];
/// Keeps the habit.
pub const KEEP_HABIT: &str = "Write it down";
/// Where there is no lamp.
pub const NO_LAMP: &str = "There is no lamp on the shelf yet; add yours first.";
/// What the picture of the third step shows.
pub const LIGHT_PICTURE: &str =
    "Small fillings in a row on a film: one lies under the lamp and is lit, the others are covered";
/// What the picture of the fourth step shows.
pub const MEASURE_PICTURE: &str = "What is left of each filling: a hard patch at its top, thicker the longer it was lit, \
    one between the jaws of a caliper";
/// Begins writing down how warm a layer got.
pub const WARMTH: &str = "how warm a layer got";
/// Over it.
pub const WARMTH_HEADING: &str = "How warm a layer got";
/// Under it.
pub const WARMTH_WORDS: &str = "One layer, right after one whole press of the button. Feel the mould from outside, never \
    the resin; or hold a thermometer to it within five seconds of the light going out and take the highest it shows. \
    The thickest layer says most.";
/// How thick.
pub const WARM_LAYER: &str = "The layer was about";
/// How warm the room was.
pub const ROOM: &str = "The room was";
/// An example.
pub const ROOM_HINT: &str = "22 °C";
/// How warm it was.
pub const WARM: &str = "It was";
/// The choices of [`WARM`].
pub const WARMS: [(Told, &str); 5] = [
    (Told::Felt(Feel::Cool), words::warmth(Feel::Cool)),
    (Told::Felt(Feel::Warm), words::warmth(Feel::Warm)),
    (Told::Felt(Feel::TooHotToHold), words::warmth(Feel::TooHotToHold)),
    (Told::Felt(Feel::SmelledOrWarped), words::warmth(Feel::SmelledOrWarped)),
    (Told::Read, "measured with a thermometer"),
];
/// What the thermometer showed.
pub const READ: &str = "It showed";
/// An example.
pub const READ_HINT: &str = "58 °C";
/// What the warmth cannot be without: how thick, how warm, and where a thermometer was held to it what it showed.
pub const WARMTH_NEEDS: [&str; 3] =
    ["how thick the layer was", "how warm it was", "what the thermometer showed"];
/// Keeps it.
pub const KEEP_WARMTH: &str = "Write the warmth down";
/// The cautions of it, in the order they matter.
pub const WARM_CAUTIONS: [&str; 2] = [
    "A thick layer under full light can burn fingers and give off fumes: begin with a thin one, and open a window.",
    "Gloves on; resin that is not hard stays off the skin. The resin's safety data sheet comes before anything here.",
];
