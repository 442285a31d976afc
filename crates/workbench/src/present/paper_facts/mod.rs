//! What each paper says, from an order's facts: finished phrases for the papers crate to set.

mod care;
mod custody;
mod kit;
mod packing;
mod proof;
mod receipt;
mod texts;

use chrono::NaiveDate;
use craft::digest::Digest;
use craft::fact::{CustodyFact, PaperKind};
use craft::id::Thing;
use craft::moment::Moment;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use papers::facts::{Header, Paper, Photo};

use super::messages::never_said;
use super::record::newest_custody;
use super::words;

pub use proof::proof_stones;
pub(crate) use proof::{colour_of, outline_of};
pub use texts::texts;

/// A paper for an order, ready to be set; or a sentence why it cannot be issued yet. Its photos are named by the
/// 64 hexadecimal digits of their originals.
///
/// # Errors
/// What is missing and what would mend it, in a sentence for the maker.
pub fn paper(studio: &Studio, tag: Tag, kind: PaperKind, now: Moment) -> Result<Paper, String> {
    let held = studio.order(tag).map_err(|refusal| refusal.to_string())?;
    let about = Subject { studio, held, today: now.day() };
    let paper = match kind {
        PaperKind::Proof => Paper::Proof(proof::facts(&about)?),
        PaperKind::Receipt => Paper::Receipt(receipt::facts(&about)?),
        PaperKind::Kit => Paper::Kit(kit::facts(&about)?),
        PaperKind::Packing => Paper::Packing(packing::facts(&about)?),
        PaperKind::Care => Paper::Care(care::facts(&about)?),
        PaperKind::Custody => Paper::Custody(custody::facts(&about)?),
    };
    match never_said(held, &texts(&paper)) {
        Some(words) => Err(format!(
            "the client asked never to read \"{words}\", and the {} would say it; look through the wishes, the captions \
             and the descriptions",
            words::paper(kind)
        )),
        None => Ok(paper),
    }
}

/// What a paper is about.
struct Subject<'a> {
    studio: &'a Studio,
    held: &'a Held,
    today: NaiveDate,
}

impl Subject<'_> {
    /// What stands at the head and the foot.
    fn header(&self) -> Header {
        let policies = self.studio.policies();
        let order = &self.held.order;
        let client =
            self.studio.clients().get(&order.client).map(|client| client.name.as_str()).unwrap_or_default();
        let contact = Some(policies.contact.to_string()).filter(|line| !line.is_empty());
        Header {
            studio: papers::facts::Studio {
                name: policies.name.to_string(),
                contact: contact.into_iter().collect(),
            },
            tag: order.tag.to_string(),
            remembered: order.sheet.remembered.name.to_string(),
            about: order.sheet.remembered.about.to_string(),
            client: if client.is_empty() { String::new() } else { format!("for {client}") },
            date: words::date_with_year(self.today),
        }
    }

    fn day(&self, day: NaiveDate) -> String {
        words::date(day, self.today)
    }

    /// The seal on a thing, with the day it was put on: "seal 14, put on 25 November".
    fn seal(&self, thing: Thing) -> String {
        let Some(kept) = self.held.ledger.custody.things.get(&thing) else { return String::new() };
        if kept.open {
            return "open".to_owned();
        }
        match (kept.seal, self.sealed_on(thing)) {
            (Some(seal), Some((true, day))) => format!("came under seal {seal} on {}", self.day(day)),
            (Some(seal), Some((false, day))) => format!("seal {seal}, put on {}", self.day(day)),
            (Some(seal), None) => format!("seal {seal}"),
            (None, _) => String::new(),
        }
    }

    /// When the newest seal was put on a thing, and whether it came with it.
    fn sealed_on(&self, thing: Thing) -> Option<(bool, NaiveDate)> {
        newest_custody(self.held, |fact| match fact {
            CustodyFact::Closed { thing: closed, seal: Some(_) } if *closed == thing => Some(false),
            CustodyFact::SplitOff { into, seal: Some(_), .. } if *into == thing => Some(false),
            CustodyFact::Received { lot, seal: Some(_), .. } if Thing::wrapping(*lot) == thing => Some(true),
            _ => None,
        })
        .map(|(with_it, _, day)| (with_it, day))
    }
}

/// A photo by its original's digest, with words for someone who cannot see it.
fn photo(original: Digest, alt: String) -> Photo {
    Photo { name: original.to_string(), alt }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench, line, sheet};
    use craft::stage::Stage;

    #[test]
    fn a_paper_never_says_what_the_client_asked_never_to_read() {
        let mut careful = sheet();
        careful.remembered.never_say = vec![line("Chestnut Mare")];
        let bench = Bench::open(careful);
        let why = paper(&bench.studio, bench.tag, PaperKind::Kit, bench.now()).unwrap_err();
        assert!(
            why.starts_with("the client asked never to read \"Chestnut Mare\", and the sending sheet"),
            "{why}"
        );
    }

    #[test]
    fn every_paper_of_a_packed_order_but_the_proof_can_be_issued() {
        let bench = bench(Stage::Packed);
        for kind in PaperKind::ALL {
            let issued = paper(&bench.studio, bench.tag, kind, bench.now());
            assert_eq!(issued.is_ok(), kind != PaperKind::Proof, "{kind}: {issued:?}");
        }
        let other = Tag::from_number(3).unwrap();
        assert!(
            paper(&bench.studio, other, PaperKind::Care, bench.now())
                .unwrap_err()
                .starts_with("there is no order")
        );
    }

    #[test]
    fn every_paper_bears_the_head_it_needs() {
        let bench = bench(Stage::Packed);
        let paper = paper(&bench.studio, bench.tag, PaperKind::Care, bench.now()).unwrap();
        let header = paper.header();
        assert_eq!((header.remembered.as_str(), header.client.as_str()), ("Bramble", "for Ida Lund"));
        assert_eq!((header.tag.clone(), header.date.as_str()), (bench.tag.to_string(), "25 November 2026"));
        assert_eq!(header.studio.contact, ["hello@fernhill.example"]);
    }
}
