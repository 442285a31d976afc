//! What was dried since a material was weighed whole: it is lighter by itself, and a difference says less.

use std::collections::BTreeSet;

use craft::fact::{CustodyFact, Fact, Holder};
use craft::foreseen::weighed_whole;
use craft::id::Thing;
use craft::studio::Held;
use craft::units::Share;

use super::custody::{drying, long};
use super::record::standing;
use super::words;

/// The things that had some of a lot before entry `until` that was dried since all of it was weighed: in that thing, or
/// before it was shared out into it.
pub(crate) fn dried_by(held: &Held, lot: u8, until: u32) -> BTreeSet<Thing> {
    let mut dry = BTreeSet::new();
    let Some((whole, _)) = weighed_whole(held, lot) else { return dry };
    for (number, entry) in standing(held).into_iter().filter(|(number, _)| (whole..until).contains(number)) {
        match &entry.fact {
            Fact::Custody(CustodyFact::Dried { thing, .. }) if had(held, lot, *thing, number) => {
                dry.insert(*thing);
            }
            Fact::Custody(fact) => {
                dry.extend(shared_out(fact, lot).filter(|(from, _)| dry.contains(from)).map(|(_, to)| to));
            }
            _ => {}
        }
    }
    dry
}

/// From where to where a fact takes some of a lot.
fn shared_out(fact: &CustodyFact, lot: u8) -> Option<(Thing, Thing)> {
    match fact {
        CustodyFact::SplitOff { from, lot: of, into: to, .. }
        | CustodyFact::Moved { from, lot: of, to: Holder::Thing(to), .. }
            if *of == lot =>
        {
            Some((*from, *to))
        }
        _ => None,
    }
}

/// True where some of a lot was in a thing at some time before an entry.
fn had(held: &Held, lot: u8, thing: Thing, entry: u32) -> bool {
    let into = |fact: &Fact| match fact {
        Fact::Custody(fact) => shared_out(fact, lot).is_some_and(|(_, to)| to == thing),
        _ => false,
    };
    thing == Thing::wrapping(lot)
        || standing(held).into_iter().any(|(number, before)| number < entry && into(&before.fact))
}

/// What drying and damp air say about the weighings of a lot; empty where nothing was noted since it was weighed whole.
pub fn moisture_note(held: &Held, lot: u8) -> String {
    let custody = &held.ledger.custody;
    let Some((whole, _)) = weighed_whole(held, lot) else { return String::new() };
    let holds = |thing: Thing| custody.share(Holder::Thing(thing), lot) > Share::NONE;
    let still_dry = dried_by(held, lot, u32::MAX).into_iter().any(holds);
    let dried = custody
        .dried
        .iter()
        .filter(|(entry, thing, ..)| still_dry && *entry > whole && had(held, lot, *thing, *entry));
    let mut said: Vec<String> = dried
        .map(|(_, thing, way, over)| {
            format!(
                "What {} in {} was dried {} for {} after all of it was weighed: it is lighter by itself, and a \
                 difference says nothing about a loss.",
                if holds(*thing) { "is" } else { "was" },
                words::thing_plain(*thing),
                drying(*way),
                long(*over)
            )
        })
        .collect();
    let airs = custody.weighed.iter().filter(|(no, thing, _)| *no >= whole && holds(*thing));
    let airs: Vec<u8> = airs.filter_map(|(no, ..)| custody.scales.get(no)?.1).collect();
    // Hair takes up about a sixth of its dry weight between dry and damp air; ten per cent of humidity is some two
    // per cent of weight. Common practice, no source.
    if let (Some(low), Some(high)) = (airs.iter().min(), airs.iter().max())
        && high.abs_diff(*low) >= 10
    {
        said.push(format!(
            "The air was between {low} and {high} % when it was weighed: hair and petals take up and give off moisture."
        ));
    }
    said.join(" ")
}
