//! Everything a paper says, for checking it before it is issued.

use papers::facts::{
    CareFacts, CustodyFacts, Header, KitFacts, PackedThing, PackingFacts, Paper, ProofFacts, ReceiptFacts,
};

/// Every phrase of a paper, in reading order; photos, tags and seals are not phrases.
pub fn texts(paper: &Paper) -> Vec<&str> {
    let mut texts = header(paper.header());
    texts.extend(match paper {
        Paper::Proof(facts) => proof(facts),
        Paper::Receipt(facts) => receipt(facts),
        Paper::Kit(facts) => kit(facts),
        Paper::Packing(facts) => packing(facts),
        Paper::Care(facts) => care(facts),
        Paper::Custody(facts) => custody(facts),
    });
    texts.extend(paper.photos().into_iter().map(|photo| photo.alt.as_str()));
    texts.retain(|text| !text.is_empty());
    texts
}

fn header(header: &Header) -> Vec<&str> {
    vec![&header.studio.name, &header.remembered, &header.about, &header.client]
}

fn strs(lines: &[String]) -> impl Iterator<Item = &str> {
    lines.iter().map(String::as_str)
}

fn proof(facts: &ProofFacts) -> Vec<&str> {
    let stones = facts.stones.iter().flat_map(|stone| [stone.caption.as_str(), stone.size.as_str()]);
    let mut texts = vec![facts.intro.as_str(), &facts.answer_by, &facts.photo_note];
    texts.extend(stones.chain(strs(&facts.answer)));
    texts
}

fn receipt(facts: &ReceiptFacts) -> Vec<&str> {
    let mut texts = vec![facts.arrived.as_str(), &facts.keep_back, &facts.property, &facts.next];
    texts.extend(facts.things.iter().flat_map(|row| [row.what.as_str(), &row.amount, &row.seal, &row.place]));
    texts
}

fn kit(facts: &KitFacts) -> Vec<&str> {
    let mut texts = vec![facts.hello.as_str(), &facts.send_by, &facts.carrier];
    for guide in &facts.guides {
        texts.extend([guide.material.as_str(), &guide.enough, &guide.care]);
        texts.extend(strs(&guide.steps));
    }
    texts
}

fn packing(facts: &PackingFacts) -> Vec<&str> {
    let mut texts = vec![facts.intro.as_str(), &facts.outcome, &facts.outcome_note, &facts.sent];
    for thing in facts.spares_and_leftovers.iter().chain(&facts.rest) {
        texts.extend(row_texts(thing));
    }
    for thing in facts.went_before.iter().chain(&facts.stays).chain(&facts.not_in_box) {
        texts.extend([thing.what.as_str(), thing.why.as_str()]);
    }
    texts
}

fn row_texts(row: &PackedThing) -> [&str; 3] {
    [&row.what, &row.detail, &row.place]
}

fn care(facts: &CareFacts) -> Vec<&str> {
    let mut texts = vec![facts.made_of.as_str(), &facts.closing];
    texts.extend(facts.heat.as_deref());
    texts.extend(strs(&facts.wear).chain(strs(&facts.clean)).chain(strs(&facts.store)));
    texts
}

fn custody(facts: &CustodyFacts) -> Vec<&str> {
    let mut texts = vec![facts.intro.as_str(), &facts.weighed, &facts.seal_words];
    for lot in &facts.lots {
        texts.extend([lot.name.as_str(), &lot.moisture]);
        let piles = lot.piles.iter();
        texts.extend(piles.flat_map(|pile| [pile.who.as_str(), &pile.amount, &pile.weighed, &pile.place]));
        texts.extend(lot.told.iter().flat_map(|told| [told.words.as_str(), &told.struck]));
    }
    texts.extend(strs(&facts.offcuts));
    texts
}
