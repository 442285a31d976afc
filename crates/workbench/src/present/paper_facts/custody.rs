//! The custody sheet's facts: each lot's life, its piles as they lie now, and the record seal.

use craft::moment::Moment;
use craft::studio::Studio;
use craft::tag::Tag;
use papers::facts::Header;

use super::Subject;
use crate::present::accounts::weighed_note;
use crate::present::custody::{moisture_note, offcuts_words};
use crate::present::lot_story::{Pile, Told, lot_story};
use crate::present::messages::never_said;
use crate::present::words;
use craft::id::ThingKind;

/// All that a custody sheet says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustodySheet {
    /// What stands at the head and the foot.
    pub header: Header,
    /// Each lot, in the order they came.
    pub lots: Vec<CustodyLot>,
    /// What the weighings say, where anything was weighed again; else empty.
    pub weighed: String,
    /// How the offcuts stand, a sentence for each bag.
    pub offcuts: Vec<String>,
    /// The record seal in groups of four digits.
    pub record_seal: String,
    /// What the seal covers: "This seal is drawn from all 14 entries of the record, up to 25 November 2026."
    pub seal_words: String,
}

/// One lot on the sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustodyLot {
    /// What it is called: "The hair".
    pub name: String,
    /// Its piles as they lie now; their shares are the whole lot.
    pub piles: Vec<Pile>,
    /// What happened to it, the first first; what was struck is there with its reason.
    pub told: Vec<Told>,
    /// What drying and damp air say about its weighings; empty where nothing was noted.
    pub moisture: String,
}

impl CustodySheet {
    /// Every phrase a client would read, in reading order.
    pub fn texts(&self) -> Vec<&str> {
        let mut texts = vec![self.header.remembered.as_str(), self.header.about.as_str()];
        for lot in &self.lots {
            texts.push(&lot.name);
            texts.extend(lot.piles.iter().flat_map(|pile| [pile.who.as_str(), &pile.place]));
            texts.extend(lot.told.iter().map(|told| told.words.as_str()));
            texts.push(&lot.moisture);
        }
        texts.push(&self.weighed);
        texts.extend(self.offcuts.iter().map(String::as_str));
        texts
    }
}

/// The custody sheet of an order as its record stands now. The maker's own words about entries stay out of it.
///
/// # Errors
/// What is missing, in a sentence for the maker: nothing was received yet, or the client asked never to read a word of it.
pub fn custody_sheet(studio: &Studio, tag: Tag, now: Moment) -> Result<CustodySheet, String> {
    let held = studio.order(tag).map_err(|refusal| refusal.to_string())?;
    let about = Subject { studio, held, today: now.day() };
    let numbers: Vec<u8> = held.ledger.custody.lots.keys().copied().collect();
    if numbers.is_empty() {
        return Err("nothing has been received for this order yet; record what came first".to_owned());
    }
    let lots = numbers.iter().filter_map(|lot| {
        let mut story = lot_story(studio, held, *lot, u32::MAX, about.today)?;
        story.told.iter_mut().for_each(|told| told.note.clear());
        let name = words::sentence_start(&story.name);
        Some(CustodyLot { name, piles: story.piles, told: story.told, moisture: moisture_note(held, *lot) })
    });
    let bags = held.ledger.custody.things.keys().filter(|thing| thing.kind == ThingKind::Offcuts);
    let offcuts = bags.map(|bag| {
        words::sentence(&format!(
            "the offcuts in {}: {}",
            words::thing_plain(*bag),
            offcuts_words(held, *bag)
        ))
    });
    let entries = held.order.log.len();
    let sheet = CustodySheet {
        header: about.header(),
        lots: lots.collect(),
        weighed: weighed_note(studio, held).unwrap_or_default(),
        offcuts: offcuts.collect(),
        record_seal: in_fours(&held.record_seal().to_string()),
        seal_words: format!(
            "This seal is drawn from all {entries} entries of the record, up to {}. If one of them is ever altered, the \
             seal worked out from them is another.",
            words::date_with_year(about.today)
        ),
    };
    match never_said(held, &sheet.texts()) {
        Some(words) => Err(format!(
            "the client asked never to read \"{words}\", and the custody sheet would say it; look through the \
             descriptions"
        )),
        None => Ok(sheet),
    }
}

/// Digits in groups of four, as they are compared by eye.
fn in_fours(digits: &str) -> String {
    let mut grouped = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && at.is_multiple_of(4) {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench, line, sheet};
    use craft::fact::Material;
    use craft::stage::Stage;
    use craft::units::Share;

    #[test]
    fn the_sheet_tells_each_lots_life_and_closes_with_the_record_seal() {
        let mut bench = bench(Stage::Made);
        bench.receive(2, Material::Petals);
        let held = bench.studio.order(bench.tag).unwrap();
        let sheet = custody_sheet(&bench.studio, bench.tag, bench.now()).unwrap();
        assert_eq!(sheet.lots.len(), 2);
        assert_eq!(sheet.lots[0].name, "Material 1, the hair");
        for lot in &sheet.lots {
            let all: u32 = lot.piles.iter().map(|pile| pile.share.millionths()).sum();
            assert_eq!(all, Share::WHOLE.millionths());
        }
        assert_eq!(sheet.record_seal.replace(' ', ""), held.record_seal().to_string());
        assert_eq!(sheet.record_seal.split(' ').count(), 16);
        assert!(
            sheet.seal_words.contains(&format!("all {} entries", held.order.log.len())),
            "{}",
            sheet.seal_words
        );
        assert_eq!(sheet.offcuts.len(), 1);
        // One entry more is another seal.
        let before = sheet.record_seal;
        bench.receive(3, Material::Ashes);
        assert_ne!(custody_sheet(&bench.studio, bench.tag, bench.now()).unwrap().record_seal, before);
    }

    #[test]
    fn nothing_received_or_a_word_never_to_be_read_is_no_sheet() {
        let why = |bench: &Bench| custody_sheet(&bench.studio, bench.tag, bench.now()).unwrap_err();
        assert!(why(&bench(Stage::KitSent)).starts_with("nothing has been received"));
        let mut careful = sheet();
        careful.remembered.never_say = vec![line("tied lock")];
        let mut bench = Bench::open(careful);
        bench.receive(1, Material::Hair);
        assert!(why(&bench).contains("\"tied lock\""));
    }
}
