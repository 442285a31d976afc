//! Words on the controls: a layer that is tried out.

/// "Try out a layer".
pub const TITLE: &str = "Try out a layer";

/// The way here.
pub const WAY: &str = "try out";

/// What this page is.
pub const WORDS: &str = "Nothing here belongs to an order, and nothing is kept.";

/// "Resin".
pub const RESIN: &str = "Resin";

/// "Pigment".
pub const PIGMENT: &str = "Pigment";

/// "Lamp and button".
pub const BUTTON: &str = "Lamp and button";

/// What it lies in.
pub const MOULD: &str = "The mould is";
/// The choices of [`MOULD`].
pub const MOULDS: [(craft::shelf::Body, &str); 2] =
    [(craft::shelf::Body::LetsLightIn, "clear or white"), (craft::shelf::Body::Opaque, "dark")];

/// "How thick".
pub const THICKNESS: &str = "How thick";

/// "How much pigment".
pub const LOAD: &str = "How much pigment";

/// "How long it is lit".
pub const SECONDS: &str = "How long it is lit";

/// What the picture shows.
pub const PICTURE: &str = "The layer from the side, light from above";

/// What the light reaches for sure.
pub const SURE: &str = "sure";

/// Where that is deeper than the picture.
pub const SURE_BELOW: &str = "sure, and deeper still";

/// What the light reaches by the best guess.
pub const GUESSED: &str = "by the best guess";

/// "How is this worked out?".
pub const EXPLAIN: &str = super::common::EXPLAIN;

/// What is only an aid.
pub const CAUTION: &str = "An estimate, and no promise: a test of your own is worth more. Gloves and fresh air, no light \
    of the lamp into the eyes, and what the resin's safety data sheet says goes before anything here.";
