//! Text as it was typed, made plain: one kind of space, small letters, and the words for "about" set apart.

/// The most characters of a text that a sentence repeats.
const REPEATED: usize = 40;

/// The text in small letters, with one kind of space, dash, apostrophe and stroke, and `±` for all its spellings.
pub(super) fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars().flat_map(char::to_lowercase) {
        match letter {
            // Nothing to be seen: soft hyphens, zero-width spaces, marks of direction.
            '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' => {}
            '\u{2010}'..='\u{2014}' | '\u{2212}' => plain.push('-'),
            '\u{2018}' | '\u{2019}' => plain.push('\''),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            space if space.is_whitespace() => {
                if !plain.ends_with(' ') {
                    plain.push(' ');
                }
            }
            other => plain.push(other),
        }
    }
    let mut plain = plain.trim().to_owned();
    for spelling in ["+/-", "+-", "give or take", "plus or minus"] {
        plain = plain.replace(spelling, "±");
    }
    plain
}

/// The text as a sentence repeats it: in quotes, not too long, nothing invisible in it.
pub(crate) fn quoted(text: &str) -> String {
    let seen = |letter: char| {
        let hidden = letter.is_control()
            || matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
        if hidden { '\u{fffd}' } else { letter }
    };
    let text = text.trim();
    let short: String = text.chars().take(REPEATED).map(seen).collect();
    let more = if text.chars().count() > REPEATED { "…" } else { "" };
    format!("\"{short}{more}\"")
}

/// Words that say a value was judged by eye.
const ABOUT: [&str; 11] = [
    "about ",
    "around ",
    "approximately ",
    "approx. ",
    "approx ",
    "roughly ",
    "circa ",
    "ca. ",
    "ca ",
    "perhaps ",
    "maybe ",
];

/// The same as signs, which need no space after them.
const ABOUT_SIGNS: [&str; 3] = ["~", "≈", "ca."];

/// Words after a value that say the same.
const ABOUT_AFTER: [&str; 4] = [", by eye", " by eye", " or so", " or thereabouts"];

/// Sets the words for "about" apart: whether there were any, and the rest.
pub(super) fn about(plain: &str) -> (bool, &str) {
    let mut rest = plain;
    loop {
        let front = ABOUT.iter().chain(&ABOUT_SIGNS).find_map(|word| rest.strip_prefix(word));
        let back = || ABOUT_AFTER.iter().find_map(|word| rest.strip_suffix(word));
        // "ca30", as it is written in a hurry.
        let hurried =
            || rest.strip_prefix("ca").filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
        match front.or_else(hurried).or_else(back) {
            Some(left) => rest = left.trim(),
            None => return (rest.len() < plain.len(), rest),
        }
    }
}
