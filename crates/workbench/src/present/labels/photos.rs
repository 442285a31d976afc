//! Words in the place of a photo that is not there to look at yet.

/// While it is being read.
pub const READING: &str = "Reading the photo …";

/// The link that reads it once more, where it could not be read.
pub const AGAIN: &str = "read it again";

/// Why it cannot be shown, in its place.
pub fn failed(why: &str) -> String {
    format!("This photo cannot be shown: {why}.")
}
