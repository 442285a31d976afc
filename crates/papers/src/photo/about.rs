//! What a photo says about itself, read without decoding its pixels.

use exif::{Context, DateTime, Exif, In, Reader, Tag, Value};
use image::metadata::Orientation;

use super::PhotoError;
use super::header::{self, Header};

/// What a photo says about itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// Pixels across, once the photo is upright.
    pub width: u32,
    /// Pixels down, once the photo is upright.
    pub height: u32,
    /// How the camera was held, 1 (upright) to 8, as the Exif standard numbers it (CIPA DC-008, tag 274).
    pub orientation: u8,
    /// Whether the file gives away coordinates, in its Exif or XMP block.
    pub has_location: bool,
    /// When the photo was taken by the camera's clock, as `2025-06-01 14:03:22`, with no time zone.
    pub taken: Option<String>,
}

/// Reads what a photo says about itself.
///
/// A damaged description is no damaged photo: whatever cannot be read of it counts as not said.
///
/// # Errors
///
/// As [`recognise`](super::recognise).
pub fn about(bytes: &[u8]) -> Result<About, PhotoError> {
    let header = header::read(bytes)?;
    let exif = read_exif(bytes, &header);
    let orientation = orientation_in(exif.as_ref());
    let (width, height) = upright(orientation, header.width, header.height);
    let has_location = exif.as_ref().is_some_and(gives_location)
        || header::xmp_blocks(bytes, header.kind).iter().any(|block| {
            [b"GPSLatitude".as_slice(), b"GPSLongitude"]
                .iter()
                .any(|name| block.windows(name.len()).any(|window| window == *name))
        });
    Ok(About {
        width,
        height,
        orientation: orientation.to_exif(),
        has_location,
        taken: exif.as_ref().and_then(taken),
    })
}

/// How the stored pixels must be turned to stand upright.
pub(super) fn orientation(bytes: &[u8], header: &Header) -> Orientation {
    orientation_in(read_exif(bytes, header).as_ref())
}

fn read_exif(bytes: &[u8], header: &Header) -> Option<Exif> {
    let block = header::exif_block(bytes, header.kind)?;
    let mut reader = Reader::new();
    reader.continue_on_error(true);
    reader.read_raw(block.to_vec()).or_else(|error| error.distill_partial_result(|_| {})).ok()
}

fn orientation_in(exif: Option<&Exif>) -> Orientation {
    exif.and_then(|exif| exif.get_field(Tag::Orientation, In::PRIMARY))
        .and_then(|field| field.value.get_uint(0))
        .and_then(|value| u8::try_from(value).ok())
        .and_then(Orientation::from_exif)
        .unwrap_or(Orientation::NoTransforms)
}

fn upright(orientation: Orientation, width: u32, height: u32) -> (u32, u32) {
    // Orientations 5 to 8 lie on their side.
    if orientation.to_exif() >= 5 { (height, width) } else { (width, height) }
}

/// Some cameras write a location block with only its version in it; that gives nothing away.
fn gives_location(exif: &Exif) -> bool {
    exif.fields().any(|field| field.tag.context() == Context::Gps && field.tag != Tag::GPSVersionID)
}

fn taken(exif: &Exif) -> Option<String> {
    [Tag::DateTimeOriginal, Tag::DateTimeDigitized].into_iter().find_map(|tag| {
        let field = exif.get_field(tag, In::PRIMARY)?;
        let Value::Ascii(lines) = &field.value else { return None };
        let moment = DateTime::from_ascii(lines.first()?).ok()?;
        let plausible = moment.year > 0
            && (1..=12).contains(&moment.month)
            && (1..=31).contains(&moment.day)
            && moment.hour < 24
            && moment.minute < 60
            && moment.second <= 60;
        plausible.then(|| moment.to_string())
    })
}
