//! Photos, bytes in and bytes out: recognise what was handed over, read its pixels upright and in sRGB,
//! and write small copies that say nothing about where, when or with what they were taken.
//!
//! It never opens or writes a file, never trusts a file's extension, and never passes on a byte of the
//! original's own description: every copy is drawn anew from pixels.
//!
//! ```
//! use papers::photo::{self, sample};
//!
//! let photo = sample::stone_picture(&sample::SampleStone::default(), 320, 240)?;
//! let small = photo::for_paper(&photo, 160)?;
//! let picture = photo::decode(&small)?;
//! assert_eq!((picture.width, picture.height), (160, 120));
//! # Ok::<(), photo::PhotoError>(())
//! ```

mod about;
mod colour;
mod header;
mod paper;
mod picture;
pub mod sample;

#[cfg(test)]
mod tests;

pub use about::{About, about};
pub use header::is_bare_jpeg;
pub use paper::{MESSAGE_MAX_BYTES, MESSAGE_SIDE_PX, PAPER_QUALITY, for_paper, message_image};
pub use picture::{Colours, Picture, decode};

/// The most bytes a photo may have: 60 MB, several times what a phone or a camera writes as JPEG.
pub const MAX_BYTES: usize = 60_000_000;

/// The most pixels along one side of a photo.
pub const MAX_SIDE_PX: u32 = 20_000;

/// The most pixels a photo may hold: 64 megapixels, above today's usual phone cameras.
pub const MAX_PIXELS: u64 = 64_000_000;

/// The most bytes that a decoded photo may take, as the decoder hands it over.
pub(crate) const MAX_DECODED_BYTES: u64 = 256 * 1024 * 1024;

/// What kind of photo a file holds, told from its first bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A JPEG, as cameras and phones write it.
    Jpeg,
    /// A PNG, as screens and drawing programs write it.
    Png,
}

impl Kind {
    /// The extension under which a photo of this kind is kept, without the dot.
    pub fn extension(self) -> &'static str {
        match self {
            Kind::Jpeg => "jpg",
            Kind::Png => "png",
        }
    }
}

/// Why a file cannot be used as a photo, worded for the person who chose it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// The file has no bytes.
    #[error("this photo is empty: copy it again from the camera or phone")]
    Empty,
    /// The file has more than [`MAX_BYTES`].
    #[error("this photo is {megabytes} MB: a JPEG or PNG of at most 60 MB is right")]
    TooManyBytes {
        /// Its size, rounded up to whole megabytes.
        megabytes: usize,
    },
    /// The file is a HEIC photo.
    #[error("this is a HEIC photo, which only some programs can read: export it as JPEG and add that")]
    Heic,
    /// The file is some other known kind of file.
    #[error("this is {what}, not a photo that can be kept here: a JPEG or PNG is right")]
    OtherKind {
        /// What it is, with its article.
        what: &'static str,
    },
    /// Nothing is known about such a file.
    #[error("this file is not a photo that can be read: a JPEG or PNG is right")]
    Unknown,
    /// The photo has too many pixels along a side or in all.
    #[error(
        "this photo is {width} × {height} px: at most 20000 px a side and 64 megapixels can be read, so save a smaller copy"
    )]
    TooManyPixels {
        /// Pixels across, as stored.
        width: u32,
        /// Pixels down, as stored.
        height: u32,
    },
    /// The photo would take too much memory for the pixels it has.
    #[error("this photo keeps more shades than can be read at its size: save it with 8 bits a colour")]
    TooManyShades,
    /// The photo is kept in printing inks.
    #[error("this photo is saved in printing inks (CMYK): export it as an RGB JPEG and add that")]
    PrintingInks,
    /// The file ends before the photo does.
    #[error("this photo is cut short: copy it again from the camera or phone")]
    CutShort,
    /// The file begins like a photo and cannot be read on.
    #[error("this photo is damaged ({detail}): copy it again from the camera or phone")]
    Damaged {
        /// What the decoder found.
        detail: String,
    },
    /// The smaller copy could not be written.
    #[error("the copy of this photo could not be made ({detail}): the photo itself is untouched")]
    NotWritten {
        /// What the encoder said.
        detail: String,
    },
}

/// Tells a photo's kind from its bytes, and refuses what could not be read later: other kinds of file, files
/// that end too early, and sizes beyond [`MAX_BYTES`], [`MAX_SIDE_PX`] and [`MAX_PIXELS`].
///
/// Only the file's headers are read, no pixel is decoded and nothing is allocated for them.
///
/// # Errors
///
/// Every [`PhotoError`] but `TooManyShades` and `NotWritten`.
pub fn recognise(bytes: &[u8]) -> Result<Kind, PhotoError> {
    header::read(bytes).map(|header| header.kind)
}
