//! Smaller copies of a photo, for papers and for messages, that carry nothing but the picture.

use std::array;
use std::borrow::Cow;

use fast_image_resize::images::{TypedImage, TypedImageRef};
use fast_image_resize::pixels::U16x3;
use fast_image_resize::{FilterType, ResizeAlg, ResizeOptions, Resizer};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use super::PhotoError;
use super::colour::{Source, linear_to_srgb};
use super::picture::{Picture, Stored, turn_upright};

/// The JPEG quality of copies for papers: no step is visible in print (common practice, no source).
pub const PAPER_QUALITY: u8 = 88;

/// The longest side of a picture sent with a message, in pixels.
pub const MESSAGE_SIDE_PX: u32 = 1600;

/// The most bytes of a picture sent with a message: 1 MB (common practice, no source).
pub const MESSAGE_MAX_BYTES: usize = 1_000_000;

/// About this many pixels are turned to linear light at once, so that even the largest photo needs only a
/// little memory beside its own pixels.
const BAND_PIXELS: usize = 1 << 19;

/// Makes the copy of a photo that a paper shows: a JPEG in sRGB, upright, with at most `max_side_px` pixels along
/// its longer side, and with no metadata at all. A smaller photo keeps its size.
///
/// The photo is made smaller in linear light, so that fine bright threads on a dark ground keep their brightness.
///
/// # Errors
///
/// As [`decode`](super::decode), and `NotWritten` if the copy cannot be encoded.
pub fn for_paper(bytes: &[u8], max_side_px: u32) -> Result<Vec<u8>, PhotoError> {
    let picture = scaled(&Stored::read(bytes)?, max_side_px)?;
    encode(&picture, PAPER_QUALITY)
}

/// Makes the copy of a photo that goes with a message: as [`for_paper`] with at most [`MESSAGE_SIDE_PX`] a side, and
/// with at most [`MESSAGE_MAX_BYTES`]. If it has more, first its quality and then its size is lowered until it fits.
///
/// # Errors
///
/// As [`for_paper`].
pub fn message_image(bytes: &[u8]) -> Result<Vec<u8>, PhotoError> {
    within_bytes(&Stored::read(bytes)?, MESSAGE_MAX_BYTES)
}

pub(super) fn within_bytes(stored: &Stored, max_bytes: usize) -> Result<Vec<u8>, PhotoError> {
    let mut side_px = MESSAGE_SIDE_PX;
    loop {
        let picture = scaled(stored, side_px)?;
        for quality in [PAPER_QUALITY, 82, 75, 68] {
            let jpeg = encode(&picture, quality)?;
            // A picture of a few pixels is as small as a JPEG gets, so the search ends there.
            if jpeg.len() <= max_bytes || side_px <= 16 {
                return Ok(jpeg);
            }
        }
        side_px = side_px * 4 / 5;
    }
}

/// Scales a photo down in linear light, then brings it to sRGB, then turns it upright: turning last moves the
/// fewest pixels, and the matrix to sRGB's primaries may follow the scaling because both are linear.
pub(super) fn scaled(stored: &Stored, max_side_px: u32) -> Result<Picture, PhotoError> {
    let srgb = Source::srgb();
    let (rgb, source, colours) = match &stored.source {
        curves @ Source::Curves { .. } => (Cow::Borrowed(&stored.rgb), curves, stored.colours),
        profile @ Source::Profile(_) => match profile.whole_picture_to_srgb(&stored.rgb) {
            Some(rgb) => (Cow::Owned(rgb), &srgb, stored.colours),
            None => (Cow::Borrowed(&stored.rgb), &srgb, super::Colours::ProfileUnusable),
        },
    };
    let Source::Curves { tables, matrix } = source else {
        return Err(not_written("its colour profile"));
    };
    let (width, height) = fitted(stored.width, stored.height, max_side_px);
    let light = resample(&rgb, (stored.width, stored.height), (width, height), tables)?;
    let mut out = Vec::with_capacity(light.len() * 3);
    for pixel in light {
        out.extend_from_slice(&linear_to_srgb(pixel.0, matrix.as_ref()));
    }
    let (width, height, rgb) = turn_upright(width, height, out, stored.orientation)?;
    Ok(Picture { width, height, rgb, colours })
}

/// The size of the copy: the longer side at most `max_side_px`, never larger than the photo, never nothing.
fn fitted(width: u32, height: u32, max_side_px: u32) -> (u32, u32) {
    let longest = width.max(height).max(1);
    let wanted = max_side_px.clamp(1, longest);
    let side = |px: u32| {
        let scaled = (u64::from(px) * u64::from(wanted) + u64::from(longest) / 2) / u64::from(longest);
        u32::try_from(scaled).unwrap_or(u32::MAX).max(1)
    };
    (side(width), side(height))
}

/// Turns stored values to linear light and scales them, first along the rows, band by band, then along the
/// columns: the filter is separable, so bands give the same picture as the whole would.
pub(super) fn resample(
    rgb: &[u8],
    (from_width, from_height): (u32, u32),
    (to_width, to_height): (u32, u32),
    tables: &[[u16; 256]; 3],
) -> Result<Vec<U16x3>, PhotoError> {
    // Catmull-Rom is sharp enough for print, and around the glints of a polished stone it rings less than Lanczos.
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::CatmullRom));
    let mut resizer = Resizer::new();
    let band_rows = (BAND_PIXELS / from_width.max(1) as usize).max(1);
    let mut narrow = Vec::with_capacity(to_width as usize * from_height as usize);
    let mut band = Vec::with_capacity(band_rows * from_width as usize);
    for rows in rgb.chunks(band_rows * from_width as usize * 3) {
        band.clear();
        band.extend(
            rows.as_chunks::<3>().0.iter().map(|pixel| {
                U16x3::new(array::from_fn(|channel| tables[channel][usize::from(pixel[channel])]))
            }),
        );
        if to_width == from_width {
            narrow.extend_from_slice(&band);
            continue;
        }
        let n_rows = u32::try_from(band.len() / from_width as usize).map_err(not_written)?;
        let from = TypedImageRef::new(from_width, n_rows, &band).map_err(not_written)?;
        let mut to = TypedImage::new(to_width, n_rows);
        resizer.resize_typed(&from, &mut to, &options).map_err(not_written)?;
        narrow.extend_from_slice(to.pixels());
    }
    if to_height == from_height {
        return Ok(narrow);
    }
    let from = TypedImageRef::new(to_width, from_height, &narrow).map_err(not_written)?;
    let mut to = TypedImage::new(to_width, to_height);
    resizer.resize_typed(&from, &mut to, &options).map_err(not_written)?;
    Ok(to.pixels().to_vec())
}

/// Writes a picture as a JPEG without subsampled colours and without any metadata.
pub(super) fn encode(picture: &Picture, quality: u8) -> Result<Vec<u8>, PhotoError> {
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, quality);
    encoder.set_sampling_factor(SamplingFactor::R_4_4_4);
    let width = u16::try_from(picture.width).map_err(not_written)?;
    let height = u16::try_from(picture.height).map_err(not_written)?;
    encoder.encode(&picture.rgb, width, height, ColorType::Rgb).map_err(not_written)?;
    Ok(jpeg)
}

#[expect(clippy::needless_pass_by_value, reason = "it is handed to `map_err`, which gives errors away")]
fn not_written(error: impl ToString) -> PhotoError {
    PhotoError::NotWritten { detail: error.to_string() }
}
