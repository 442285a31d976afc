//! Words on the controls: where something is put.

/// The last of the places to choose from: one that is not on the studio's list yet.
pub const ANOTHER: &str = "another place…";
/// What stands in the field for its name while it is empty.
pub const HINT: &str = "the top drawer";

/// The field for its name, beside the choice of this label: "Where it was put: what the place is called".
pub fn name(of: &str) -> String {
    format!("{of}: what the place is called")
}

/// Under that field.
pub const HOW: &str = "Enter adds it to the studio\u{2019}s places and chooses it; Esc leaves it.";

/// Adds what is typed to the studio's list: "add \u{201c}drawer 9\u{201d} to the studio's places".
pub fn add(name: &str) -> String {
    format!("add \u{201c}{name}\u{201d} to the studio\u{2019}s places")
}
