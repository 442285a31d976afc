//! What a photo's headers say, read before anything is allocated for its pixels.

use super::{Kind, MAX_BYTES, MAX_PIXELS, MAX_SIDE_PX, PhotoError};

const PNG_SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";

/// A progressive JPEG paints the whole picture once a scan, so a file with absurdly many scans could keep
/// the program busy for hours. Real files have about ten.
const MAX_SCANS: usize = 100;

/// How other known files begin.
const OTHERS: [(&[u8], &str); 13] = [
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"II*\0", "a TIFF picture or a camera's raw file"),
    (b"MM\0*", "a TIFF picture or a camera's raw file"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"8BPS", "a layered picture of a drawing program"),
    (b"\xFF\x0A", "a JPEG XL picture"),
    (b"\0\0\0\x0CJXL ", "a JPEG XL picture"),
    (b"\0\0\0\x0CjP  ", "a JPEG 2000 picture"),
    (b"\x1AE\xDF\xA3", "a video"),
    (b"\xD0\xCF\x11\xE0", "an old office document"),
    (b"FUJIFILM", "a camera's raw file"),
];

/// What the headers of a photo that can be read say.
#[derive(Clone, Copy, Debug)]
pub(super) struct Header {
    pub(super) kind: Kind,
    /// Pixels across, as stored.
    pub(super) width: u32,
    /// Pixels down, as stored.
    pub(super) height: u32,
}

/// One piece of a JPEG: its marker's second byte and what it holds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment<'a> {
    pub(super) marker: u8,
    pub(super) body: &'a [u8],
}

/// The pieces of a JPEG in order. The end-of-image marker (0xD9) is the last; without it the file is cut short.
#[derive(Debug)]
pub(super) struct Segments<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Segments<'a> {
    pub(super) fn of(jpeg: &'a [u8]) -> Segments<'a> {
        // The first two bytes are the start-of-image marker, which has no body.
        Segments { bytes: jpeg, at: 2 }
    }

    /// Where the last piece handed out ends.
    pub(super) fn position(&self) -> usize {
        self.at
    }

    /// Moves to the second byte of the next marker. In picture data a 0xFF byte is followed by 0x00, and restart
    /// markers (0xD0 to 0xD7) belong to the data (ITU-T T.81, 1992, B.1.1.2 and B.1.1.5).
    fn next_marker(&mut self) -> Option<u8> {
        loop {
            let rest = self.bytes.get(self.at..)?;
            self.at += rest.iter().position(|&byte| byte == 0xFF)? + 1;
            while self.bytes.get(self.at) == Some(&0xFF) {
                self.at += 1;
            }
            let marker = *self.bytes.get(self.at)?;
            self.at += 1;
            if !matches!(marker, 0x00 | 0x01 | 0xD0..=0xD8) {
                return Some(marker);
            }
        }
    }
}

impl<'a> Iterator for Segments<'a> {
    type Item = Segment<'a>;

    fn next(&mut self) -> Option<Segment<'a>> {
        let marker = self.next_marker()?;
        if marker == 0xD9 {
            return Some(Segment { marker, body: &[] });
        }
        let length = be16(self.bytes, self.at)?;
        let body = self.bytes.get(self.at + 2..self.at + usize::from(length).max(2))?;
        self.at += 2 + body.len();
        Some(Segment { marker, body })
    }
}

/// The chunks of a PNG in order, as type and body. `IEND` is the last; without it the file is cut short.
pub(super) fn png_chunks(png: &[u8]) -> impl Iterator<Item = (&[u8], &[u8])> {
    let mut rest = png.get(PNG_SIGNATURE.len()..).unwrap_or_default();
    std::iter::from_fn(move || {
        let length = usize::try_from(be32(rest, 0)?).ok()?;
        let kind = rest.get(4..8)?;
        let body = rest.get(8..)?.get(..length)?;
        // Four bytes of check sum follow each chunk; the decoder looks at them.
        rest = rest.get(8 + length + 4..).unwrap_or_default();
        Some((kind, body))
    })
}

/// Reads the headers and refuses whatever could not be decoded.
pub(super) fn read(bytes: &[u8]) -> Result<Header, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty);
    }
    if bytes.len() > MAX_BYTES {
        return Err(PhotoError::TooManyBytes { megabytes: bytes.len().div_ceil(1_000_000) });
    }
    if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        return jpeg(bytes);
    }
    if bytes.starts_with(PNG_SIGNATURE) {
        return png(bytes);
    }
    Err(refusal(bytes))
}

fn jpeg(bytes: &[u8]) -> Result<Header, PhotoError> {
    let mut size = None;
    let mut scans = 0;
    for segment in Segments::of(bytes) {
        match segment.marker {
            // The start-of-frame markers (ITU-T T.81, 1992, table B.1): the other three of the row are tables.
            0xC0..=0xCF if !matches!(segment.marker, 0xC4 | 0xC8 | 0xCC) && size.is_none() => {
                size = Some(frame_size(segment.body)?);
            }
            0xDA => scans += 1,
            0xD9 => {
                let (width, height) = size.ok_or_else(|| damaged("it has no picture"))?;
                return Ok(Header { kind: Kind::Jpeg, width, height });
            }
            _ => {}
        }
        if scans > MAX_SCANS {
            return Err(damaged("it is drawn over too many times"));
        }
    }
    Err(PhotoError::CutShort)
}

/// Reads precision, lines, samples a line and the number of components (ITU-T T.81, 1992, B.2.2).
fn frame_size(body: &[u8]) -> Result<(u32, u32), PhotoError> {
    let height = be16(body, 1).ok_or(PhotoError::CutShort)?;
    let width = be16(body, 3).ok_or(PhotoError::CutShort)?;
    let components = *body.get(5).ok_or(PhotoError::CutShort)?;
    let size = checked_size(u32::from(width), u32::from(height))?;
    match components {
        1 | 3 => Ok(size),
        4 => Err(PhotoError::PrintingInks),
        _ => Err(damaged("it has an unknown number of colours")),
    }
}

fn png(bytes: &[u8]) -> Result<Header, PhotoError> {
    let mut chunks = png_chunks(bytes);
    let (kind, body) = chunks.next().ok_or(PhotoError::CutShort)?;
    if kind != b"IHDR" {
        return Err(damaged("its header is missing"));
    }
    let width = be32(body, 0).ok_or(PhotoError::CutShort)?;
    let height = be32(body, 4).ok_or(PhotoError::CutShort)?;
    let (width, height) = checked_size(width, height)?;
    if !chunks.any(|(kind, _)| kind == b"IEND") {
        return Err(PhotoError::CutShort);
    }
    Ok(Header { kind: Kind::Png, width, height })
}

fn checked_size(width: u32, height: u32) -> Result<(u32, u32), PhotoError> {
    if width == 0 || height == 0 {
        return Err(damaged("it has no width or no height"));
    }
    if width.max(height) > MAX_SIDE_PX || u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(PhotoError::TooManyPixels { width, height });
    }
    Ok((width, height))
}

/// Names a file that is neither JPEG nor PNG as well as its first bytes allow.
fn refusal(bytes: &[u8]) -> PhotoError {
    if let Some(error) = media_box(bytes) {
        return error;
    }
    if let Some((_, what)) = OTHERS.iter().find(|(start, _)| bytes.starts_with(start)) {
        return PhotoError::OtherKind { what };
    }
    if bytes.starts_with(b"RIFF") {
        let what = if bytes.get(8..12) == Some(b"WEBP") { "a WebP picture" } else { "a sound or a video" };
        return PhotoError::OtherKind { what };
    }
    let head = bytes.get(..bytes.len().min(512)).unwrap_or_default();
    // A character may be cut in two where the look ends, which is no sign against text.
    let readable = match std::str::from_utf8(head) {
        Ok(_) => true,
        Err(error) => error.error_len().is_none(),
    };
    if readable && !head.iter().any(|&byte| byte < 0x20 && !matches!(byte, b'\t' | b'\n' | b'\r' | 0x0C)) {
        return PhotoError::OtherKind { what: "a text file" };
    }
    PhotoError::Unknown
}

/// Tells apart the files that begin with a box named `ftyp` (ISO/IEC 14496-12, 4.3): HEIC, AVIF and videos.
fn media_box(bytes: &[u8]) -> Option<PhotoError> {
    if bytes.get(4..8)? != b"ftyp" {
        return None;
    }
    let length = usize::try_from(be32(bytes, 0)?).ok()?.clamp(12, 256);
    let brands = bytes.get(8..length.min(bytes.len()))?;
    // The first brand is the main one, then a version, then the brands the file also agrees with.
    let has = |names: &[&[u8]]| brands.chunks_exact(4).any(|brand| names.contains(&brand));
    Some(if has(&[b"avif", b"avis"]) {
        PhotoError::OtherKind { what: "an AVIF picture" }
    } else if has(&[b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"]) {
        PhotoError::Heic
    } else if has(&[b"crx "]) {
        PhotoError::OtherKind { what: "a camera's raw file" }
    } else {
        PhotoError::OtherKind { what: "a video" }
    })
}

/// The Exif block of a photo (a small TIFF file of its own), if there is one.
pub(super) fn exif_block(bytes: &[u8], kind: Kind) -> Option<&[u8]> {
    match kind {
        Kind::Jpeg => Segments::of(bytes)
            .take_while(|segment| segment.marker != 0xDA)
            .filter(|segment| segment.marker == 0xE1)
            .find_map(|segment| segment.body.strip_prefix(b"Exif\0\0")),
        Kind::Png => png_chunks(bytes).find(|(kind, _)| *kind == b"eXIf").map(|(_, body)| body),
    }
}

/// The XMP blocks of a photo, each with its leading name.
pub(super) fn xmp_blocks(bytes: &[u8], kind: Kind) -> Vec<&[u8]> {
    match kind {
        Kind::Jpeg => Segments::of(bytes)
            .take_while(|segment| segment.marker != 0xDA)
            .filter(|segment| segment.marker == 0xE1 && segment.body.starts_with(b"http://ns.adobe.com/x"))
            .map(|segment| segment.body)
            .collect(),
        Kind::Png => png_chunks(bytes)
            .filter(|(kind, body)| *kind == b"iTXt" && body.starts_with(b"XML:com.adobe.xmp"))
            .map(|(_, body)| body)
            .collect(),
    }
}

/// Says whether a JPEG holds its picture and nothing else: no Exif, location, XMP, IPTC, colour profile,
/// comment, small preview, or bytes after the end.
pub fn is_bare_jpeg(bytes: &[u8]) -> bool {
    if !bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        return false;
    }
    let mut segments = Segments::of(bytes);
    while let Some(segment) = segments.next() {
        match segment.marker {
            0xD9 => return segments.position() == bytes.len(),
            // The plain JFIF header has 14 bytes and ends with the size of its preview, which must be 0 × 0.
            0xE0 if segment.body.starts_with(b"JFIF\0")
                && segment.body.len() == 14
                && segment.body.ends_with(&[0, 0]) => {}
            0xE0..=0xEF | 0xFE => return false,
            _ => {}
        }
    }
    false
}

pub(super) fn damaged(detail: impl Into<String>) -> PhotoError {
    PhotoError::Damaged { detail: detail.into() }
}

fn be16(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes(bytes.get(at..at + 2)?.try_into().ok()?))
}

fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}
