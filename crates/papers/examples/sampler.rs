//! Sets every paper with made-up facts into a folder, to look at while changing a template:
//! `cargo run -p papers --example sampler -- FOLDER`.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    clippy::indexing_slicing,
    reason = "a bench tool that may stop at the first fault"
)]

use std::path::PathBuf;
use std::time::Instant;

use papers::document::{PaperSize, Sheet, render};
use papers::facts::KitGuide;

#[path = "../src/document/tests/samples.rs"]
mod samples;

fn main() {
    let folder = PathBuf::from(std::env::args().nth(1).expect("name a folder"));
    std::fs::create_dir_all(&folder).expect("the folder can be made");
    let mut work = Vec::new();
    for size in [PaperSize::A4, PaperSize::Letter] {
        for count in 1..=12 {
            work.push((format!("proof-{count:02}"), size, samples::proof(count)));
        }
        work.push(("receipt".into(), size, samples::receipt()));
        work.push(("kit-1".into(), size, samples::kit(vec![KitGuide::hair()])));
        let all = vec![KitGuide::hair(), KitGuide::ashes(), KitGuide::petals(), KitGuide::milk()];
        work.push(("kit-4".into(), size, samples::kit(all)));
        work.push(("packing".into(), size, samples::packing()));
        for (lots, entries) in [(1, 8), (1, 30), (2, 24)] {
            work.push((format!("custody-{lots}-{entries}"), size, samples::custody(lots, entries)));
        }
    }
    for size in [PaperSize::A6, PaperSize::Card] {
        work.push(("care".into(), size, samples::care()));
    }
    for (name, size, (paper, assets)) in work {
        let start = Instant::now();
        match render(&paper, &Sheet::new(size, samples::STAMP), &assets) {
            Ok(issued) => {
                let took = start.elapsed();
                println!(
                    "{name}-{size:?}: {} page(s), {} bytes, {took:.0?}",
                    issued.pages(),
                    issued.pdf.len()
                );
                std::fs::write(folder.join(format!("{name}-{size:?}.pdf")), &issued.pdf)
                    .expect("the folder takes files");
            }
            Err(error) => println!("{name}-{size:?}: {error}"),
        }
    }
}
