//! Words on the controls: plan.

/// "Plan one, and see before anything is poured whether each layer will harden, fill the mould and hide the metal.".
pub const EMPTY_MORE: &str = "Plan one, and see before anything is poured whether each layer will harden, fill the mould and hide the metal.";

/// "No stone is planned yet".
pub const EMPTY: &str = "No stone is planned yet";

/// "Keep this plan and pour".
pub const KEEP: &str = "Keep this plan and pour";

/// Keeps what stands for every stone that keeps no plan yet.
pub const KEEP_ALL: &str = "keep the plans of all stones";

/// "How is this worked out?".
pub const EXPLAIN: &str = "How is this worked out?";

/// "Plan a stone".
pub const FIRST: &str = "Plan a stone";

/// "add a stone".
pub const ADD: &str = "add a stone";

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

/// The heading of a stone.
pub fn stone_title(no: u8) -> String {
    format!("Stone {no}")
}

/// The way to another stone.
pub fn stone(no: u8) -> String {
    format!("stone {no}")
}

/// Where a formula comes from.
pub fn source(source: &str) -> String {
    format!("Source: {source}.")
}

/// How much of a material goes into the stone: "How much of the hair".
pub fn share_of(lot: &str) -> String {
    format!("How much of {lot}")
}

/// Takes a stone out of the order.
pub fn leave_out(no: u8) -> String {
    format!("leave stone {no} out")
}
