//! How long the heat of a layer takes: clear layers under two buttons, the band of three resins each.
//!
//! `cargo bench -p craft --bench heat`

use std::time::Instant;

use craft::cure::{Button, Light};
use craft::heat::{Lit, Sources, heat};
use craft::units::{Length, Span};

#[expect(clippy::disallowed_methods, reason = "a bench needs a clock; the crate itself has none")]
fn now() -> Instant {
    Instant::now()
}

#[expect(clippy::print_stdout, reason = "a bench says what it measured")]
fn main() -> Result<(), Box<dyn std::error::Error>> {
    for (total, ramp) in [(99.0, 60.0), (120.0, 0.0)] {
        let light = Light::typical(Button::new("lamp", Span::from_s(total), Span::from_s(ramp))?);
        for thick_mm in [0.5, 1.0, 2.0, 3.0] {
            let layer = Lit::new(Length::from_mm(thick_mm), 1.0, &light);
            let mut times: Vec<f64> = (0..301)
                .map(|_| {
                    let start = now();
                    std::hint::black_box(heat(std::hint::black_box(&layer), &Sources::TYPICAL));
                    start.elapsed().as_secs_f64() * 1e3
                })
                .collect();
            times.sort_by(f64::total_cmp);
            let rise = heat(&layer, &Sources::TYPICAL).rise_k;
            println!(
                "{total} s, {thick_mm} mm: {:.1}/{:.1}/{:.1} K; median {:.3} ms, worst {:.3} ms a band",
                rise.low,
                rise.typical,
                rise.high,
                times.get(150).copied().unwrap_or_default(),
                times.last().copied().unwrap_or_default()
            );
        }
    }
    Ok(())
}
