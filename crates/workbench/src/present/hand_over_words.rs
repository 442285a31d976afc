//! One order in words, for whoever it is handed over to.

use std::fmt::Write as _;
use std::path::Path;

use craft::moment::Moment;
use craft::order::{About, Page};
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::lot_story::record_story;
use super::{board, undo_words, words};
use crate::keeping::hand_over::photos;

/// The whole order in words: what was wanted, what happened, what was written, and the record's seal.
pub fn summary(studio: &Studio, held: &Held, now: Moment) -> String {
    let mut text = String::new();
    // Writing to text cannot fail; were it to, what is there would still be told.
    match write_summary(&mut text, studio, held, now) {
        Ok(()) | Err(_) => text,
    }
}

fn write_summary(out: &mut String, studio: &Studio, held: &Held, now: Moment) -> std::fmt::Result {
    let (order, sheet) = (&held.order, &held.order.sheet);
    writeln!(out, "Order {} for {}", order.tag, words::remembered(held))?;
    writeln!(out, "Made by {}; client: {}", studio.policies().name, board::client_name(studio, held))?;
    writeln!(out, "Written down on {}", words::date_with_year(now.day()))?;
    writeln!(out, "Stage: {}", words::stage(held.stage()))?;
    if let Some(due) = sheet.due {
        writeln!(out, "Promised for {}", words::date_with_year(due))?;
    }
    if !sheet.wishes.is_empty() {
        writeln!(out, "\nWishes\n{}", sheet.wishes)?;
    }
    if sheet.client_stones().next().is_some() {
        writeln!(out, "\nStones")?;
    }
    for stone in sheet.client_stones() {
        let name = |id: &craft::id::ShelfId| words::item_name(studio, id);
        writeln!(
            out,
            "  {}: {}, {}, {}",
            words::stone(stone.no),
            name(&stone.mould),
            name(&stone.resin),
            name(&stone.pigment)
        )?;
    }
    let photos = photos(held);
    if !photos.is_empty() {
        writeln!(
            out,
            "\nPhotos (without location data; the long number tells the original, as it was taken in, from any other picture)"
        )?;
    }
    for (place, (original, _)) in photos.iter().enumerate() {
        let noted = sheet.photos.iter().find(|photo| photo.original == *original);
        let caption = noted.map(|photo| photo.caption.to_string()).filter(|caption| !caption.is_empty());
        let caption = caption.map(|caption| format!("{caption}, ")).unwrap_or_default();
        writeln!(out, "  {}: {caption}{original}", photo_name(place + 1))?;
    }
    write_record(out, studio, held, now)?;
    for page in Page::ALL {
        if let Some(said) = order.story.about(About::Page(page)) {
            writeln!(out, "\nWords on the {} page\n{said}", words::page(page))?;
        }
    }
    writeln!(out, "\nRecord seal: {}", held.record_seal())?;
    writeln!(
        out,
        "The seal closes the record above. Each entry in the order's file bears a seal that is made of the seal before it \
         and of the entry itself (SHA-256, FIPS 180-4), so an entry that is changed, left out or put in shows."
    )
}

fn write_record(out: &mut String, studio: &Studio, held: &Held, now: Moment) -> std::fmt::Result {
    writeln!(out, "\nWhat happened")?;
    let told = record_story(studio, held, now.day());
    for (number, entry) in held.order.log.entries() {
        let day = words::date_with_year(entry.day());
        // With the amounts, places and readings; what strikes an entry is no story of its own.
        let happened = match told.iter().find(|told| told.entry == number) {
            Some(told) if told.struck.is_empty() => told.words.clone(),
            Some(told) => format!("{} ({}; it no longer counts)", told.words, told.struck),
            None => words::sentence(&undo_words::fact_words(&entry.fact)),
        };
        writeln!(out, "  {number}. {day}: {happened}")?;
        if let Some(said) = held.order.story.about(About::Entry(number)) {
            writeln!(out, "     In the maker's words: {}", said.as_str().replace('\n', "\n     "))?;
        }
    }
    Ok(())
}

/// The name of a photo that is handed over, by its place from 1.
pub fn photo_name(place: usize) -> String {
    format!("photo-{place}.jpg")
}

/// A folder that holds something already.
pub fn not_empty(to: &Path) -> String {
    format!("{} holds other files; choose an empty folder or a new name", to.display())
}

/// An order whose file is not there.
pub fn no_file(tag: Tag) -> String {
    format!("the file of {tag} is not on the disk yet; wait until it is saved, then try again")
}

/// A paper that is not where it was kept.
pub fn paper_gone(name: &str) -> String {
    format!("{name} was issued and is not in the studio's folder; put it back from a backup first")
}

/// The summary, with what is missing at its end.
pub fn with_missing(summary: &str, missing: &[String]) -> String {
    if missing.is_empty() {
        return summary.to_owned();
    }
    let lines: Vec<String> = missing.iter().map(|missing| format!("  {missing}\n")).collect();
    format!("{summary}\nNot in this folder\n{}", lines.concat())
}

/// What is said where a photo or a paper is missing.
pub fn done_without(to: &Path, missing: &[String]) -> String {
    format!(
        "the order is in {}, but for what could not be read, which its summary names: {}",
        to.display(),
        missing.join("; ")
    )
}

/// What is said once it is done.
pub fn done(to: &Path) -> String {
    format!("everything of the order is in {}", to.display())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn the_summary_tells_the_whole_record_and_its_seal() {
        let (studio, tag) = sample::gone_home();
        let held = studio.order(tag).unwrap();
        let text = summary(&studio, held, sample::at(0));
        assert!(text.starts_with(&format!("Order {tag} for Bramble\n")), "{text}");
        for (number, _) in held.order.log.entries() {
            assert!(text.contains(&format!("\n  {number}. ")), "entry {number} in {text}");
        }
        assert!(text.contains(&format!("Record seal: {}", held.record_seal())), "{text}");
        assert!(text.contains("A third of the hair went from wrapping 1 into envelope 1"), "{text}");
    }
}
