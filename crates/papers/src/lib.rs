//! The papers and photos that leave the studio: bytes in, bytes out.
//!
//! A caller fills in the facts of a paper with finished phrases and hands them to
//! [`document::render`]; back comes a tagged PDF and, on demand, the pixels of the same pages for
//! the preview.
//!
//! This crate never reads or writes a file, never asks what time it is, never opens a window and
//! never decides what a paper says about the work: dates, money, weights and outcomes arrive as
//! finished strings.
//!
//! ```
//! use papers::document::{render, Assets, PaperSize, Sheet, Stamp};
//! use papers::facts::{CareFacts, Header, Paper};
//!
//! let care = CareFacts { header: Header { remembered: "Bramble".into(), tag: "7K2-M4P".into(), ..Header::default() }, ..CareFacts::usual() };
//! let issued_at = Stamp { year: 2026, month: 12, day: 12, hour: 9, minute: 30, second: 0 };
//! let issued = render(&Paper::Care(care), &Sheet::new(PaperSize::A6, issued_at), &Assets::default())?;
//! assert_eq!(issued.pages(), 1);
//! assert!(issued.pdf.starts_with(b"%PDF-"));
//! # Ok::<(), papers::document::DocumentError>(())
//! ```

pub mod document;
pub mod facts;
pub mod photo;

// The made-up facts that tests share with the sampler speak of this crate by its name.
#[cfg(test)]
extern crate self as papers;
