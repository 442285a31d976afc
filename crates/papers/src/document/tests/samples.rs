//! Made-up facts and drawn photos, for tests and for the sampler. Every name and number in here is
//! invented.

use std::sync::Arc;

use papers::document::{Assets, Stamp};
use papers::facts::{
    CareFacts, CustodyEntry, CustodyFacts, CustodyLot, CustodyPile, Hatch, Header, KitFacts, KitGuide,
    NotInBox, Outline, PackedThing, PackingFacts, Paper, Photo, ProofFacts, ProofStone, ReceiptFacts,
    ReceivedThing, Studio,
};

pub(crate) const STAMP: Stamp = Stamp { year: 2026, month: 12, day: 1, hour: 9, minute: 30, second: 0 };

pub(crate) fn header() -> Header {
    Header {
        studio: Studio {
            name: "Fernhill Stones".into(),
            contact: vec!["hello@fernhill.example".into(), "fernhill.example".into()],
        },
        tag: "7K2-M4P".into(),
        remembered: "Bramble".into(),
        about: "chestnut mare, tail hair".into(),
        client: "for Ida Lund".into(),
        date: "1 December 2026".into(),
    }
}

/// A drawn picture of a stone on cloth, `width` × `height` pixels, as a JPEG without metadata.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "values are held to 0..=255 first"
)]
pub(crate) fn drawn_photo(width: u16, height: u16, stone: [u8; 3]) -> Arc<[u8]> {
    let (w, h) = (f64::from(width), f64::from(height));
    let radius = 0.34 * w.min(h);
    let mut rgb = Vec::with_capacity(usize::from(width) * usize::from(height) * 3);
    for y in 0..height {
        for x in 0..width {
            let (dx, dy) = ((f64::from(x) - w / 2.0) / (1.25 * radius), (f64::from(y) - h / 2.0) / radius);
            let inside = dx.hypot(dy);
            let weave = if (x / 3 + y / 3) % 2 == 0 { 4.0 } else { 0.0 };
            let shine = (1.0 - (dx + 0.35).hypot(dy + 0.4) * 2.2).max(0.0) * 120.0;
            for base in stone {
                let value = if inside < 1.0 {
                    f64::from(base) * (1.15 - 0.45 * inside) + shine
                } else {
                    205.0 + weave - 40.0 * (1.25 - inside).max(0.0)
                };
                rgb.push(value.clamp(0.0, 255.0) as u8);
            }
        }
    }
    let mut jpeg = Vec::new();
    jpeg_encoder::Encoder::new(&mut jpeg, 88)
        .encode(&rgb, width, height, jpeg_encoder::ColorType::Rgb)
        .expect("a picture of this size encodes");
    jpeg.into()
}

const COLOURS: [[u8; 3]; 4] = [[122, 68, 38], [165, 110, 60], [196, 150, 104], [90, 100, 92]];

/// A heart as a fine polygon, `width_mm` across: a square on its corner with two half circles.
fn heart(width_mm: f64) -> Outline {
    let side = width_mm / (1.0 + std::f64::consts::FRAC_1_SQRT_2);
    let r = side / 2.0;
    let diagonal = side * std::f64::consts::FRAC_1_SQRT_2;
    let mut points_mm = vec![[0.0, diagonal]];
    for (centre, from) in [(diagonal / 2.0, 45.0_f64), (-diagonal / 2.0, -45.0)] {
        for step in 0..=60 {
            let angle = (from - 3.0 * f64::from(step)).to_radians();
            points_mm.push([centre + r * angle.cos(), -diagonal / 2.0 + r * angle.sin()]);
        }
    }
    Outline::Path { points_mm }
}

/// A proof sheet of `count` stones and its photos, lying and upright in turn.
pub(crate) fn proof(count: u32) -> (Paper, Assets) {
    let mut assets = Assets::default();
    let stones = (1..=count)
        .map(|number| {
            let colour = COLOURS[number as usize % COLOURS.len()];
            let (width, height) = if number % 3 == 0 { (240, 320) } else { (320, 240) };
            let name = format!("stone-{number}");
            assets.photos.insert(name.clone(), drawn_photo(width, height, colour));
            let (outline, size) = match number % 4 {
                0 => (heart(15.0), "heart, 15 mm across"),
                1 => (Outline::Oval { length_mm: 10.0, width_mm: 8.0 }, "oval, 10 × 8 mm"),
                2 => (Outline::Oval { length_mm: 12.0, width_mm: 12.0 }, "round, 12 mm"),
                _ => (Outline::Oval { length_mm: 18.0, width_mm: 13.0 }, "oval, 18 × 13 mm"),
            };
            ProofStone {
                number,
                caption: [
                    "Warm chestnut, the strands fanned",
                    "Lighter, one curl across",
                    "The deepest, near the eye it looks black",
                ][number as usize % 3]
                    .into(),
                size: size.into(),
                photo: Some(Photo {
                    name,
                    alt: format!("Stone {number}, {size}, on grey cloth in daylight"),
                }),
                outline: Some(outline),
                colour: format!("#{:02x}{:02x}{:02x}", colour[0], colour[1], colour[2]),
            }
        })
        .collect();
    let facts = ProofFacts {
        header: header(),
        intro: "These are Bramble’s stones. Take your time; hold the outlines against a finger if you like."
            .into(),
        stones,
        answer: vec![
            "Write back with the number of the stone you choose.".into(),
            "If two are close, name both and say what draws you to each.".into(),
            "The others come home to you as well, unset.".into(),
        ],
        answer_by: "By 8 December, please.".into(),
        photo_note: "Taken in one steady light against a grey card: the colours are true. Every screen and \
                     printer shows them a little differently."
            .into(),
    };
    (Paper::Proof(facts), assets)
}

pub(crate) fn receipt() -> (Paper, Assets) {
    let mut assets = Assets::default();
    assets.photos.insert("arrival".into(), drawn_photo(320, 240, COLOURS[0]));
    let thing = |label: &str, what: &str, amount: &str, seal: &str, place: &str| ReceivedThing {
        label: label.into(),
        what: what.into(),
        amount: amount.into(),
        seal: seal.into(),
        place: place.into(),
    };
    let facts = ReceiptFacts {
        header: header(),
        arrived: "It arrived safely on 9 November, by tracked post, in an unbroken envelope.".into(),
        things: vec![
            thing("W", "Lock of tail hair, tied with a blue ribbon", "482 mg, ± 2 mg", "opened 9 November", "drawer 3"),
            thing("K", "Keep-back, a third of the lock", "161 mg, ± 2 mg", "sealed 9 November", "drawer 3"),
            thing("M", "For the stones", "321 mg, by difference", "sealed 9 November", "drawer 3"),
            thing("R", "The blue ribbon it came in", "one, by eye", "", "with W"),
        ],
        keep_back: "A third was put away first, in its own sealed envelope K. It is opened only with your recorded yes.".into(),
        property: ReceiptFacts::YOURS.into(),
        next: "The stones are poured in the last week of November. You will get a proof sheet to choose from.".into(),
        record_seal: "a41f 09c2 77de 51b8".into(),
        photo: Some(Photo { name: "arrival".into(), alt: "The opened envelope with the tied lock beside it".into() }),
    };
    (Paper::Receipt(facts), assets)
}

pub(crate) fn kit(guides: Vec<KitGuide>) -> (Paper, Assets) {
    let facts = KitFacts {
        header: header(),
        hello: "Thank you for trusting me with something of Bramble’s. In this kit are two small bags, a label and a \
                padded envelope. There is no hurry."
            .into(),
        guides,
        return_to: vec!["Fernhill Stones".into(), "4 Mill Lane".into(), "Ashby AB1 2CD".into(), "UNITED KINGDOM".into()],
        send_by: "If it is with me by 15 November, the stones can be home for Christmas.".into(),
        carrier: KitFacts::ASK_THE_CARRIER.into(),
    };
    (Paper::Kit(facts), Assets::default())
}

pub(crate) fn packing() -> (Paper, Assets) {
    let mut assets = Assets::default();
    assets.photos.insert("box".into(), drawn_photo(320, 240, COLOURS[2]));
    let thing = |label: &str, what: &str, detail: &str, place: &str, ticked: bool| PackedThing {
        label: label.into(),
        what: what.into(),
        detail: detail.into(),
        place: place.into(),
        ticked,
    };
    let facts = PackingFacts {
        header: header(),
        intro: "Everything that came to the studio for Bramble goes home in this box.".into(),
        spares_and_leftovers: vec![
            thing("S2", "Stone 2, spare", "oval 10 × 8 mm", "bag 2", true),
            thing("S3", "Stone 3, spare", "oval 10 × 8 mm", "bag 3", true),
            thing("K", "Keep-back envelope", "sealed 9 November, never opened", "under the tray", true),
            thing("L", "What was left over", "about a quarter of what came", "under the tray", true),
            thing("O", "Offcuts, hardened", "one small bag", "bag 4", true),
            thing("R", "The ribbon it came in", "yours, goes back", "bag 4", true),
        ],
        rest: vec![
            thing("S1", "Ring with stone 1", "chosen 24 November", "ring box", true),
            thing("", "Care card", "", "lid", true),
            thing("", "Invoice 2026-041", "", "lid", true),
        ],
        went_before: Vec::new(),
        stays: Vec::new(),
        not_in_box: vec![NotInBox {
            what: "A few strands, left on the tools".into(),
            why: "lost on 20 November: too little to weigh".into(),
        }],
        outcome: "8 mg short, within what your scale can tell".into(),
        outcome_note: "482 mg came; 474 mg went home or into the stones. Every thing on the list is ticked or named.".into(),
        sent: "Tracked and signed for, posted 12 December. Compensation covers the price of the ring, never the hair.".into(),
        photo: Some(Photo { name: "box".into(), alt: "The open box, every bag in its place".into() }),
    };
    (Paper::Packing(facts), assets)
}

pub(crate) fn care() -> (Paper, Assets) {
    let facts = CareFacts {
        header: header(),
        made_of: "UV-cured resin with Bramble’s hair, set in sterling silver as supplied.".into(),
        heat: Some("Keep it below 45 °C, the figure its resin maker gives.".into()),
        closing: "If anything worries you about it, write to me.".into(),
        ..CareFacts::usual()
    };
    (Paper::Care(facts), Assets::default())
}

fn custody_piles() -> Vec<CustodyPile> {
    let pile =
        |label: &str, who: &str, (amount, millionths): (&str, u32), hatch, at: [&str; 3]| CustodyPile {
            label: if label.is_empty() { String::new() } else { format!("7K2-M4P {label}") },
            who: who.into(),
            amount: amount.into(),
            millionths,
            hatch,
            by_book: at[0].into(),
            weighed: at[1].into(),
            place: at[2].into(),
        };
    vec![
        pile(
            "W1",
            "the wrapping it came in",
            ("a twentieth", 50_000),
            Hatch::Wrapping,
            ["24 mg, ± 0.2 mg", "", "drawer 3"],
        ),
        pile(
            "E1",
            "envelope 1, the keep-back",
            ("a third", 333_333),
            Hatch::KeepBack,
            ["161 mg, ± 0.8 mg", "160.7 mg, ± 1.1 mg", "drawer 3"],
        ),
        pile(
            "E2",
            "envelope 2",
            ("about half", 480_000),
            Hatch::Envelope,
            ["231 mg, ± 1.2 mg", "", "drawer 3"],
        ),
        pile(
            "S1",
            "stone 1",
            ("a fifteenth", 66_667),
            Hatch::Stone,
            ["32 mg, ± 0.2 mg", "", "set into piece 1"],
        ),
        pile("S2", "stone 2", ("a fifteenth", 66_667), Hatch::Stone, ["32 mg, ± 0.2 mg", "", "in the box"]),
        pile("B1", "offcuts 1", ("a little", 2_333), Hatch::Offcuts, ["1.1 mg", "", "in the box"]),
        pile("", "left on the tools", ("a little", 1_000), Hatch::Tools, ["0.5 mg", "", ""]),
    ]
}

/// What no longer counts says when it was struck, and why.
pub(crate) const STRUCK: &str = "Struck on 12 November at 14:05, because a number was wrong.";

fn parcels() -> Vec<String> {
    [("24", "S2 and K1", "HM 2"), ("30", "E1, B1 and P1", "HM 7")]
        .map(|(day, what, no)| {
            format!("On {day} November 2026 {what} went home, carried by the post, tracking {no}.")
        })
        .into()
}

/// A custody sheet of `lots` lots, each with `entries` entries, one of them struck.
pub(crate) fn custody(lots: usize, entries: usize) -> (Paper, Assets) {
    let sentences = [
        "The hair came under seal 12 and was put in drawer 3.",
        "Wrapping 1 held 482 mg, ± 2.4 mg on the fine scale, the air at 45 %.",
        "Wrapping 1 was opened, its tag read off it.",
        "A third of the hair went from wrapping 1 into envelope 1, the keep-back, under seal 13.",
        "A fifteenth of the hair went from wrapping 1 into stone 1.",
        "Wrapping 1 was closed under seal 14.",
    ];
    let told = |no: usize| CustodyEntry {
        entry: (3 * no + 2).to_string(),
        day: format!("{} November", 9 + no / 3 % 21),
        time: if no == 5 { String::new() } else { format!("{}:{:02}", 8 + no % 9, 7 * no % 60) },
        words: sentences[no % sentences.len()].into(),
        struck: if no == 4 { STRUCK.into() } else { String::new() },
    };
    let lot = |no: usize| CustodyLot {
        name: if lots == 1 { "The hair".into() } else { format!("Material {}, the hair", no + 1) },
        piles: custody_piles(),
        told: (0..entries).map(told).collect(),
        moisture:
            "What is in wrapping 1 was dried open in the room for 2 days after it was first weighed: it is \
                   lighter by itself, and a difference says nothing about a loss."
                .into(),
    };
    let facts = CustodyFacts {
        header: header(),
        intro: "What became of everything that came for Bramble, as the record of this studio has it.".into(),
        lots: (0..lots).map(lot).collect(),
        // Few entries are those of an order that has not gone home.
        parcels: if entries < 12 { Vec::new() } else { parcels() },
        weighed: "The hair: 2 mg short, within what the studio’s scale can tell.".into(),
        offcuts: vec!["The offcuts in offcuts 1: hard.".into()],
        record_seal: "a41f 09c2 77de 51b8 0c3d e9a1 5b72 f604 8d1e 92cc 37ab 60f5 e84a 1b9d c730 5e26".into(),
        seal_words:
            "This seal is drawn from all 41 entries of the record, up to 1 December 2026. If one of them is \
                     ever altered, the seal worked out from them is another."
                .into(),
    };
    (Paper::Custody(facts), Assets::default())
}
