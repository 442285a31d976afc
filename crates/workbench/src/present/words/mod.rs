//! Single words and short phrases, one function for each kind of value.

mod amounts;
mod days;
mod fold;
mod names;

pub use amounts::{
    clock, count, fill_mark, length, light, list, mass, mass_give_or_take, of_span, percent, reading_mass,
    share, size, span,
};
pub use days::{date, date_with_year, day_and_time, day_short, due, near, time_of_day};
pub use fold::{folded, says};
pub use names::{
    cavity, dimension, dome, errand, feel, fit_work, hardness, item_name, label, layer_kind, left_out, lot,
    material, message, offcuts, outline, page, paper, permission, place, place_in, remembered, stage, stone,
    stones, thing, thing_plain, warmth, writing,
};

/// The words as a sentence: a capital letter in front, a full stop behind.
pub fn sentence(words: &str) -> String {
    let mut whole = sentence_start(words);
    if !whole.is_empty() && !whole.ends_with(['.', '!', '?']) && !whole.ends_with(".\"") {
        whole.push('.');
    }
    whole
}

/// The first letter made large, for the start of a sentence.
pub fn sentence_start(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
