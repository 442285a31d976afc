//! Facts and a template to a tagged PDF, and to the pixels of the same pages.
//!
//! Every PDF is PDF/A-2a and PDF/UA-1 by the engine's own checks; a paper that cannot be both is
//! refused. That is the engine's word, not a certificate: no outside validator has looked at it.

mod check;
mod fault;
pub mod fonts;
pub mod qr;
mod templates;
#[cfg(test)]
mod tests;
mod world;

pub use fault::{DocumentError, Fault};
pub use templates::{HOUSE, template};

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use serde::Serialize;
use typst::foundations::{Bytes, Datetime, Smart};
use typst::text::Font;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};
use typst_render::RenderOptions;

use crate::facts::{Kind, Paper};
use world::PaperWorld;

/// The sizes a paper can be set in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PaperSize {
    /// 210 × 297 mm (ISO 216).
    A4,
    /// 8.5 × 11 in.
    Letter,
    /// 105 × 148 mm (ISO 216).
    A6,
    /// 85 × 55 mm, the usual business card of Europe.
    Card,
}

impl PaperSize {
    /// Width and height in millimetres.
    pub fn extents_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
            Self::A6 => (105.0, 148.0),
            Self::Card => (85.0, 55.0),
        }
    }
}

impl Kind {
    /// The sizes this kind of paper is made for, the usual one first.
    pub fn sizes(self) -> &'static [PaperSize] {
        match self {
            Self::Care => &[PaperSize::A6, PaperSize::Card],
            _ => &[PaperSize::A4, PaperSize::Letter],
        }
    }
}

/// When a paper is issued, in UTC. Written into the PDF, so that the same facts at the same moment
/// give the same bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// Year, 1 to 9999.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
    /// Hour, 0 to 23.
    pub hour: u8,
    /// Minute, 0 to 59.
    pub minute: u8,
    /// Second, 0 to 59.
    pub second: u8,
}

/// How a paper shall be set.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The size; must be among the kind's [`Kind::sizes`].
    pub size: PaperSize,
    /// When it is issued.
    pub issued_at: Stamp,
    /// The user's own template in place of the house one.
    pub template: Option<&'a str>,
    /// The user's own `house.typ` in place of the house one.
    pub house: Option<&'a str>,
}

impl Sheet<'_> {
    /// The house template in the size given.
    pub fn new(size: PaperSize, issued_at: Stamp) -> Self {
        Self { size, issued_at, template: None, house: None }
    }
}

/// Bytes a paper may ask for.
#[derive(Debug, Clone, Default)]
pub struct Assets {
    /// JPEG photos by name, upright, sRGB and without metadata.
    pub photos: BTreeMap<String, Arc<[u8]>>,
    /// Further font files (TrueType or OpenType) for names in letters the house faces lack.
    pub fonts: Vec<Arc<[u8]>>,
}

/// A paper as issued.
pub struct Issued {
    /// The tagged PDF.
    pub pdf: Vec<u8>,
    document: PagedDocument,
}

/// The pixels of one page, row by row from the top left, four bytes each: red, green, blue and a
/// full alpha, in sRGB.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// `4 × width × height` bytes.
    pub rgba: Vec<u8>,
}

impl Issued {
    /// How many pages it has.
    pub fn pages(&self) -> usize {
        self.document.pages().len()
    }

    /// The pixels of a page, counted from 0, or `None` where there is no such page. `dpi` is held
    /// between 24 and 600.
    pub fn pixels(&self, page: usize, dpi: f64) -> Option<Pixels> {
        let page = self.document.pages().get(page)?;
        let pixel_per_pt = (dpi.clamp(24.0, 600.0) / 72.0).into();
        let pixmap = typst_render::render(page, &RenderOptions { pixel_per_pt, ..RenderOptions::default() });
        Some(Pixels { width: pixmap.width(), height: pixmap.height(), rgba: pixmap.take() })
    }
}

impl fmt::Debug for Issued {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("Issued")
            .field("bytes", &self.pdf.len())
            .field("pages", &self.pages())
            .finish_non_exhaustive()
    }
}

/// Sets a paper.
///
/// Takes from some milliseconds to seconds, so call it from a worker. The engine's own memory of
/// past papers is swept after each call, also after a failed one.
///
/// # Errors
/// Says what is wrong with the facts, the size, a photo or the template, and what would be right.
pub fn render(paper: &Paper, sheet: &Sheet<'_>, assets: &Assets) -> Result<Issued, DocumentError> {
    check::check(paper, sheet, assets)?;
    let issued = set(paper, sheet, assets);
    typst::comemo::evict(10);
    issued
}

/// What the template reads from `/data.json`.
#[derive(Serialize)]
struct Data<'a> {
    size: PaperSize,
    width_mm: f64,
    height_mm: f64,
    /// From a photo's name to the path it is filed under.
    photos: BTreeMap<&'a str, String>,
    #[serde(flatten)]
    paper: &'a Paper,
}

fn set(paper: &Paper, sheet: &Sheet<'_>, assets: &Assets) -> Result<Issued, DocumentError> {
    let stamp = sheet.issued_at.datetime()?;
    let world = build_world(paper, sheet, assets, stamp)?;
    let document = typst::compile::<PagedDocument>(&world)
        .output
        .map_err(|faults| fault::template_error(&world, &faults))?;
    let standards = PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
        .map_err(|error| DocumentError::Engine(error.message().to_string()))?;
    let options = PdfOptions {
        creator: Smart::Custom(Some("Heldfast".to_owned())),
        timestamp: Some(Timestamp::new_utc(stamp)),
        standards,
        ..PdfOptions::default()
    };
    let pdf = typst_pdf::pdf(&document, &options).map_err(|faults| fault::template_error(&world, &faults))?;
    Ok(Issued { pdf, document })
}

fn build_world(
    paper: &Paper,
    sheet: &Sheet<'_>,
    assets: &Assets,
    today: Datetime,
) -> Result<PaperWorld, DocumentError> {
    let kind = paper.kind();
    let main = format!("/{}.typ", kind.name());
    let extra = assets.fonts.iter().flat_map(|bytes| Font::iter(Bytes::new(Arc::clone(bytes))));
    let mut world = PaperWorld::new(&main, fonts::house().iter().cloned().chain(extra).collect(), today)?;
    world.add_source("/house.typ", sheet.house.unwrap_or(HOUSE))?;
    world.add_source(&main, sheet.template.unwrap_or_else(|| template(kind)))?;

    let mut photos = BTreeMap::new();
    for photo in paper.photos() {
        let Some(bytes) = assets.photos.get(&photo.name) else { continue };
        let path = format!("/photo-{}.jpg", photos.len() + 1);
        if let std::collections::btree_map::Entry::Vacant(entry) = photos.entry(photo.name.as_str()) {
            world.add_file(entry.insert(path).clone(), Bytes::new(Arc::clone(bytes)));
        }
    }
    let tag = &paper.header().tag;
    if !tag.is_empty() {
        world.add_file("/qr.svg".to_owned(), Bytes::new(qr::tag_svg(tag)?.into_bytes()));
    }
    let (width_mm, height_mm) = sheet.size.extents_mm();
    let data = Data { size: sheet.size, width_mm, height_mm, photos, paper };
    let json = serde_json::to_vec(&data).map_err(|error| DocumentError::Engine(error.to_string()))?;
    world.add_file("/data.json".to_owned(), Bytes::new(json));
    Ok(world)
}

impl Stamp {
    fn datetime(self) -> Result<Datetime, DocumentError> {
        Some(self)
            .filter(|stamp| (1..=9999).contains(&stamp.year))
            .and_then(|stamp| {
                let Stamp { year, month, day, hour, minute, second } = stamp;
                Datetime::from_ymd_hms(year, month, day, hour, minute, second)
            })
            .ok_or(DocumentError::Stamp(self))
    }
}
