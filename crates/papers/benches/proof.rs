//! How long a proof sheet of six 12-megapixel photos takes, from the files' bytes to the PDF:
//! `cargo bench -p papers --bench proof`.
#![expect(clippy::print_stdout, reason = "a bench tool says what it measured")]

use std::time::Instant;

use papers::document::{Assets, PaperSize, Sheet, Stamp, render};
use papers::facts::{Header, Outline, Paper, Photo, ProofFacts, ProofStone};
use papers::photo::for_paper;
use papers::photo::sample::{SampleStone, stone_picture};

const STONES: u8 = 6;

fn facts() -> Paper {
    let stones = (1..=STONES).map(|no| ProofStone {
        number: u32::from(no),
        photo: Some(Photo { name: format!("stone-{no}"), alt: format!("stone {no}") }),
        caption: "warm grey, strands across".to_owned(),
        size: "oval, 10 × 8 mm".to_owned(),
        outline: Some(Outline::Oval { length_mm: 10.0, width_mm: 8.0 }),
        colour: "#5f6c68".to_owned(),
    });
    let header = Header { tag: "7K2-M42".to_owned(), remembered: "Bramble".to_owned(), ..Header::default() };
    Paper::Proof(ProofFacts { header, stones: stones.collect(), ..ProofFacts::default() })
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let originals: Vec<Vec<u8>> = (1..=STONES)
        .map(|no| stone_picture(&SampleStone { seed: u64::from(no), ..SampleStone::default() }, 4_000, 3_000))
        .collect::<Result<_, _>>()?;
    let stamp = Stamp { year: 2026, month: 1, day: 5, hour: 9, minute: 0, second: 0 };
    for round in 1..=3 {
        let start = Instant::now();
        let mut assets = Assets::default();
        for (no, original) in (1..).zip(&originals) {
            assets.photos.insert(format!("stone-{no}"), for_paper(original, 1_200)?.into());
        }
        let photos = start.elapsed();
        let start = Instant::now();
        let issued = render(&facts(), &Sheet::new(PaperSize::A4, stamp), &assets)?;
        println!(
            "round {round}: photos {} ms, page {} ms, {} kB",
            photos.as_millis(),
            start.elapsed().as_millis(),
            issued.pdf.len() / 1_000
        );
    }
    Ok(())
}
