//! What the computer under the window has to say.

use std::fmt::Display;

/// A file is shown by the system's own viewer.
pub fn opened(file: impl Display) -> String {
    format!("Opened in your viewer: {file}")
}

/// Papers went to the printer, as many as these.
pub fn printed(title: &str, copies: u8) -> String {
    match copies {
        1 => format!("Sent to the printer: {title}"),
        copies => format!("Sent to the printer: {title}, {copies} copies"),
    }
}

/// The program ended by a fault last time; the note is in a file.
pub fn crashed(note: impl Display) -> String {
    format!(
        "Heldfast met a fault last time. What was saved is untouched. What happened is noted in {note}; no client is \
         named there."
    )
}

/// The preferences cannot be read, and why.
pub fn unread_preferences(file: impl Display, why: impl Display) -> String {
    format!("The preferences in {file} cannot be read, so the usual ones hold: {why}.")
}

/// The preferences are broken, why, and what became of the file.
pub fn broken_preferences(file: impl Display, why: &str, kept: &str) -> String {
    format!("The preferences in {file} are broken ({why}), so the usual ones hold; {kept}.")
}

/// Where the broken file is kept.
pub fn put_aside(file: impl Display) -> String {
    format!("the file is kept as {file}")
}

/// Why it could not be kept.
pub fn not_put_aside(why: impl Display) -> String {
    format!("it could not be put aside ({why})")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_than_one_copy_is_counted() {
        assert_eq!(printed("7K2-M4P receipt", 1), "Sent to the printer: 7K2-M4P receipt");
        assert_eq!(printed("7K2-M4P receipt", 3), "Sent to the printer: 7K2-M4P receipt, 3 copies");
    }

    #[test]
    fn broken_preferences_say_where_they_are_kept() {
        let said = broken_preferences("p.ron", "no number", &put_aside("p.broken.ron"));
        assert!(said.ends_with("so the usual ones hold; the file is kept as p.broken.ron."), "{said}");
    }
}
