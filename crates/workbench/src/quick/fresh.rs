//! Tags and client ids that nothing has yet.

use craft::id::{ClientId, DocId};
use craft::moment::Moment;
use craft::studio::Studio;
use craft::tag::Tag;

/// How often a number is drawn before the tags are gone through in their order.
const DRAWS: u32 = 64;

fn is_free(studio: &Studio, tag: Tag) -> bool {
    !studio.orders().contains_key(&tag) && !studio.locked().contains_key(&DocId::Order(tag))
}

/// A tag that no order has, not even one whose file could not be read. `random` gives any numbers; the more even they
/// are, the less two tags look alike. None only where every tag is given.
pub fn fresh_tag(studio: &Studio, mut random: impl FnMut() -> u32) -> Option<Tag> {
    let drawn = (0..DRAWS).map(|_| random()).collect::<Vec<_>>();
    let first = drawn.first().copied().unwrap_or(0) % Tag::NUMBERS;
    let rest = (0..Tag::NUMBERS).map(|step| (first + step) % Tag::NUMBERS);
    let numbers = drawn.iter().map(|number| number % Tag::NUMBERS).chain(rest);
    numbers.filter_map(Tag::from_number).find(|tag| is_free(studio, *tag))
}

/// A client id that no client has, no order names and no file that could not be read bears: "c01", "c02", …
pub fn fresh_client_id(studio: &Studio) -> ClientId {
    let is_taken = |id: &ClientId| {
        studio.clients().contains_key(id)
            || studio.locked().contains_key(&DocId::Client(id.clone()))
            || studio.orders().values().any(|held| held.client() == id)
    };
    // There are more numbers than clients and orders together, so one of them is free.
    let mut numbers = 1_u64..;
    loop {
        let id = numbers.next().map(|no| format!("c{no:02}")).and_then(|id| id.parse().ok());
        if let Some(id) = id.filter(|id| !is_taken(id)) {
            return id;
        }
    }
}

/// A fresh tag that follows from some words and the moment: the same row gives the same tag, another row another.
pub(super) fn tag_for(studio: &Studio, words: &[&str], now: Moment) -> Option<Tag> {
    // FNV-1a over the words, then SplitMix64 for the numbers; both are public domain constants, and nothing secret
    // rests on them.
    let mut seed = 0xcbf2_9ce4_8422_2325_u64 ^ now.utc_ms.unsigned_abs();
    for byte in words.iter().flat_map(|word| word.bytes().chain([0])) {
        seed = (seed ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    fresh_tag(studio, move || {
        seed = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (seed ^ (seed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        u32::try_from((mixed ^ (mixed >> 31)) >> 32).unwrap_or_default()
    })
}
