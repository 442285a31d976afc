//! Words on the controls: a line test on a card.

/// Opens it.
pub const OPEN: &str = "find what hides with a card";
/// Under it: what to do.
pub const WORDS: &str = "Mix as you would pour, and say how much pigment is in it. Draw a black line on white card, or \
    lay two cards edge to edge; over it lay the resin in steps, each about 0.2 mm thicker than the one before, and set \
    them. Look at arm's length, in the light a client would hold the stone in.";
/// The cautions of it.
pub const CAUTION: &str =
    "Gloves on, window open; never look into the lamp. The resin's safety data sheet comes first.";
/// How much pigment is in the film.
pub const LOAD: &str = "Pigment in the film";
/// An example.
pub const LOAD_HINT: &str = "1 %";
/// The last step that shows the line.
pub const SEEN: &str = "Last step that shows the line";
/// An example.
pub const SEEN_HINT: &str = "0.6 mm";
/// The first step that hides it.
pub const HIDDEN: &str = "First step that hides it";
/// An example.
pub const HIDDEN_HINT: &str = "0.8 mm";
/// The day.
pub const DAY: &str = "Looked at on";
/// In the field of the day.
pub const DAY_HINT: &str = "today";
/// What a test cannot be without: how much pigment, and one step at least.
pub const NEEDS: [&str; 2] =
    ["how much pigment is in the film", "the last step that shows the line or the first that hides it"];
/// Keeps it.
pub const KEEP: &str = "Plan with this";
/// Over the tests that were made.
pub const MADE: &str = "Line tests";
/// Takes back what was just written down.
pub const TAKE_BACK: &str = "take it back";
/// What the picture shows.
pub const PICTURE: &str = "A card, half black and half white, under a film in steps: the thicker the step, the less the edge is seen";
