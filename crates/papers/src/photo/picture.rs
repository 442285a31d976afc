//! A photo's pixels.

use std::fmt;
use std::io::Cursor;

use image::codecs::jpeg::JpegDecoder;
use image::codecs::png::PngDecoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, Limits, RgbImage};

use super::colour::Source;
use super::header::{self, damaged};
use super::{Kind, MAX_DECODED_BYTES, MAX_SIDE_PX, PhotoError, about};

/// Where a picture's colours come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colours {
    /// The photo names no colour profile, so it is taken to be sRGB.
    AssumedSrgb,
    /// The photo's own colour profile was used.
    FromProfile,
    /// The photo has a colour profile that cannot be read or does not suit it; it is taken to be sRGB.
    ProfileUnusable,
}

/// A photo's pixels, upright and in sRGB.
#[derive(Clone, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Red, green and blue of each pixel, row by row from the top left: `3 × width × height` bytes.
    pub rgb: Vec<u8>,
    /// Where the colours come from.
    pub colours: Colours,
}

impl fmt::Debug for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Picture")
            .field("width", &self.width)
            .field("height", &self.height)
            .field("colours", &self.colours)
            .finish_non_exhaustive()
    }
}

/// Reads a photo's pixels: upright, in sRGB, and over white where a PNG is see-through.
///
/// # Errors
///
/// As [`recognise`](super::recognise), and `Damaged` or `TooManyShades` if the pixels cannot be read.
pub fn decode(bytes: &[u8]) -> Result<Picture, PhotoError> {
    let mut stored = Stored::read(bytes)?;
    if stored.colours == Colours::FromProfile {
        match stored.source.whole_picture_to_srgb(&stored.rgb) {
            Some(rgb) => stored.rgb = rgb,
            None => stored.colours = Colours::ProfileUnusable,
        }
    }
    turn_upright(stored.width, stored.height, stored.rgb, stored.orientation)
        .map(|(width, height, rgb)| Picture { width, height, rgb, colours: stored.colours })
}

/// A photo's pixels as they lie in the file, with what is needed to show them rightly.
#[derive(Debug)]
pub(super) struct Stored {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) rgb: Vec<u8>,
    pub(super) orientation: Orientation,
    pub(super) source: Source,
    pub(super) colours: Colours,
}

impl Stored {
    pub(super) fn read(bytes: &[u8]) -> Result<Stored, PhotoError> {
        let header = header::read(bytes)?;
        let mut limits = Limits::default();
        limits.max_image_width = Some(MAX_SIDE_PX);
        limits.max_image_height = Some(MAX_SIDE_PX);
        limits.max_alloc = Some(MAX_DECODED_BYTES);
        let (pixels, icc) = match header.kind {
            Kind::Jpeg => {
                let mut decoder = JpegDecoder::new(Cursor::new(bytes)).map_err(|error| unreadable(&error))?;
                decoder.set_limits(limits).map_err(|error| unreadable(&error))?;
                pixels_and_profile(decoder)?
            }
            Kind::Png => {
                let decoder = PngDecoder::with_limits(Cursor::new(bytes), limits)
                    .map_err(|error| unreadable(&error))?;
                pixels_and_profile(decoder)?
            }
        };
        let is_grey = !pixels.color().has_color();
        let (source, colours) = match icc {
            None => (Source::srgb(), Colours::AssumedSrgb),
            Some(icc) => match Source::from_icc(&icc, is_grey) {
                Some(source) => (source, Colours::FromProfile),
                None => (Source::srgb(), Colours::ProfileUnusable),
            },
        };
        let orientation = about::orientation(bytes, &header);
        let (width, height) = (pixels.width(), pixels.height());
        Ok(Stored { width, height, rgb: over_white(pixels), orientation, source, colours })
    }
}

fn pixels_and_profile(mut decoder: impl ImageDecoder) -> Result<(DynamicImage, Option<Vec<u8>>), PhotoError> {
    if decoder.total_bytes() > MAX_DECODED_BYTES {
        return Err(PhotoError::TooManyShades);
    }
    // A broken profile must not cost the photo.
    let icc = decoder.icc_profile().unwrap_or_default();
    let pixels = DynamicImage::from_decoder(decoder).map_err(|error| unreadable(&error))?;
    Ok((pixels, icc))
}

fn unreadable(error: &ImageError) -> PhotoError {
    match error {
        ImageError::Limits(_) => PhotoError::TooManyShades,
        other => damaged(other.to_string()),
    }
}

/// Drops transparency over white. It is blended in the stored values and not in linear light, because that is
/// how every viewer shows such a picture.
fn over_white(pixels: DynamicImage) -> Vec<u8> {
    if !pixels.color().has_alpha() {
        return pixels.into_rgb8().into_raw();
    }
    let rgba = pixels.into_rgba8().into_raw();
    let mut rgb = Vec::with_capacity(rgba.len() / 4 * 3);
    for &[red, green, blue, alpha] in rgba.as_chunks::<4>().0 {
        let alpha = u32::from(alpha);
        for value in [red, green, blue] {
            let blended = (u32::from(value) * alpha + 255 * (255 - alpha) + 127) / 255;
            rgb.push(u8::try_from(blended).unwrap_or(u8::MAX));
        }
    }
    rgb
}

/// Turns RGB pixels upright and gives back the new width, height and pixels.
pub(super) fn turn_upright(
    width: u32,
    height: u32,
    rgb: Vec<u8>,
    orientation: Orientation,
) -> Result<(u32, u32, Vec<u8>), PhotoError> {
    if orientation == Orientation::NoTransforms {
        return Ok((width, height, rgb));
    }
    let buffer =
        RgbImage::from_raw(width, height, rgb).ok_or_else(|| damaged("it has fewer pixels than it says"))?;
    let mut image = DynamicImage::ImageRgb8(buffer);
    image.apply_orientation(orientation);
    let turned = image.into_rgb8();
    Ok((turned.width(), turned.height(), turned.into_raw()))
}
