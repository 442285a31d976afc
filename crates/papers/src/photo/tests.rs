use fast_image_resize::images::{TypedImage, TypedImageRef};
use fast_image_resize::pixels::{U8x3, U16x3};
use fast_image_resize::{FilterType, ResizeAlg, ResizeOptions, Resizer};
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder as _};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use moxcms::{ColorProfile, Layout, TransformOptions};
use proptest::prelude::*;

use super::colour::Source;
use super::paper::{resample, scaled, within_bytes};
use super::picture::Stored;
use super::*;

/// A JPEG at full quality with the given application segments.
fn jpeg(width: u16, height: u16, rgb: &[u8], segments: &[(u8, Vec<u8>)]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, 100);
    encoder.set_sampling_factor(SamplingFactor::R_4_4_4);
    for (number, body) in segments {
        encoder.add_app_segment(*number, body.clone()).unwrap();
    }
    encoder.encode(rgb, width, height, ColorType::Rgb).unwrap();
    out
}

fn png(width: u32, height: u32, pixels: &[u8], colour: ExtendedColorType) -> Vec<u8> {
    png_with(width, height, pixels, colour, (None, None))
}

fn png_with(
    width: u32,
    height: u32,
    pixels: &[u8],
    colour: ExtendedColorType,
    (icc, exif): (Option<Vec<u8>>, Option<Vec<u8>>),
) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = PngEncoder::new(&mut out);
    if let Some(icc) = icc {
        encoder.set_icc_profile(icc).unwrap();
    }
    if let Some(exif) = exif {
        encoder.set_exif_metadata(exif).unwrap();
    }
    encoder.write_image(pixels, width, height, colour).unwrap();
    out
}

/// An Exif block laid out by hand after CIPA DC-008: orientation, time taken and a place.
fn exif_block(orientation: u16) -> Vec<u8> {
    let mut block = b"II*\0\x08\0\0\0".to_vec();
    let entry = |block: &mut Vec<u8>, tag: u16, format: u16, count: u32, value: u32| {
        block.extend(tag.to_le_bytes());
        block.extend(format.to_le_bytes());
        block.extend(count.to_le_bytes());
        block.extend(value.to_le_bytes());
    };
    block.extend(3_u16.to_le_bytes());
    entry(&mut block, 0x0112, 3, 1, u32::from(orientation));
    entry(&mut block, 0x8769, 4, 1, 50);
    entry(&mut block, 0x8825, 4, 1, 88);
    block.extend(0_u32.to_le_bytes());
    assert_eq!(block.len(), 50);
    block.extend(1_u16.to_le_bytes());
    entry(&mut block, 0x9003, 2, 20, 68);
    block.extend(0_u32.to_le_bytes());
    block.extend(b"2025:06:01 14:03:22\0");
    assert_eq!(block.len(), 88);
    block.extend(2_u16.to_le_bytes());
    entry(&mut block, 0x0001, 2, 2, u32::from(b'N'));
    entry(&mut block, 0x0002, 5, 3, 118);
    block.extend(0_u32.to_le_bytes());
    assert_eq!(block.len(), 118);
    for number in [51_u32, 1, 30, 1, 12, 1] {
        block.extend(number.to_le_bytes());
    }
    block
}

fn exif_segment(orientation: u16) -> (u8, Vec<u8>) {
    (1, [b"Exif\0\0".to_vec(), exif_block(orientation)].concat())
}

fn icc_segment(icc: &[u8]) -> (u8, Vec<u8>) {
    (2, [b"ICC_PROFILE\0\x01\x01".as_slice(), icc].concat())
}

fn display_p3() -> Vec<u8> {
    ColorProfile::new_display_p3().encode().unwrap()
}

fn flat(pixel: [u8; 3], count: usize) -> Vec<u8> {
    pixel.repeat(count)
}

/// Bytes without a pattern that JPEG could make small.
fn speckle(count: u32) -> Vec<u8> {
    (0..count).map(|at| at.wrapping_mul(2654435761).rotate_left(9).to_le_bytes()[0]).collect()
}

fn near(found: [u8; 3], wanted: [u8; 3], tolerance: u8) -> bool {
    found.iter().zip(wanted).all(|(found, wanted)| found.abs_diff(wanted) <= tolerance)
}

fn pixel(picture: &Picture, x: u32, y: u32) -> [u8; 3] {
    let at = (y * picture.width + x) as usize * 3;
    picture.rgb[at..at + 3].try_into().unwrap()
}

const BLOCK: u32 = 16;
const BLOCKS: [[[u8; 3]; 3]; 2] =
    [[[220, 30, 30], [30, 200, 40], [40, 60, 220]], [[230, 220, 40], [20, 20, 20], [210, 60, 210]]];

/// Three by two blocks, each of its own colour.
fn blocks() -> Vec<u8> {
    (0..2 * BLOCK)
        .flat_map(|y| (0..3 * BLOCK).map(move |x| BLOCKS[(y / BLOCK) as usize][(x / BLOCK) as usize]))
        .flatten()
        .collect()
}

/// Whether the blocks stand where CIPA DC-008 (tag 274) puts them: it names for each value the side of the upright
/// picture that holds the stored first row and the one that holds the stored first column.
fn stands_as(picture: &Picture, value: u16, tolerance: u8) -> bool {
    let (first_row, first_column) = [
        ("top", "left"),
        ("top", "right"),
        ("bottom", "right"),
        ("bottom", "left"),
        ("left", "top"),
        ("right", "top"),
        ("right", "bottom"),
        ("left", "bottom"),
    ][usize::from(value) - 1];
    let (width, height) = if matches!(first_row, "top" | "bottom") { (3, 2) } else { (2, 3) };
    (picture.width, picture.height) == (width * BLOCK, height * BLOCK)
        && (0..2_u32).all(|row| {
            (0..3_u32).all(|column| {
                let mut place = (0, 0);
                for (side, far) in [(first_row, row), (first_column, column)] {
                    match side {
                        "top" => place.1 = far,
                        "bottom" => place.1 = height - 1 - far,
                        "left" => place.0 = far,
                        _ => place.0 = width - 1 - far,
                    }
                }
                let found = pixel(picture, place.0 * BLOCK + BLOCK / 2, place.1 * BLOCK + BLOCK / 2);
                near(found, BLOCKS[row as usize][column as usize], tolerance)
            })
        })
}

#[test]
fn a_photo_stands_upright_in_all_eight_orientations() {
    for value in 1..=8 {
        let from_jpeg = jpeg(48, 32, &blocks(), &[exif_segment(value)]);
        let from_png = png_with(48, 32, &blocks(), ExtendedColorType::Rgb8, (None, Some(exif_block(value))));
        assert!(stands_as(&decode(&from_png).unwrap(), value, 0), "PNG {value}");
        assert!(stands_as(&decode(&from_jpeg).unwrap(), value, 4), "JPEG {value}");
        let copy = for_paper(&from_jpeg, 48).unwrap();
        assert!(stands_as(&decode(&copy).unwrap(), value, 12), "copy {value}");
        let about = about(&from_jpeg).unwrap();
        let picture = decode(&from_jpeg).unwrap();
        assert_eq!((about.width, about.height), (picture.width, picture.height));
        assert_eq!(u16::from(about.orientation), value);
        // The broken variants: a photo left as stored, or turned the other way, is caught.
        for wrong in (1..=8).filter(|wrong| *wrong != value) {
            assert!(!stands_as(&decode(&from_jpeg).unwrap(), wrong, 12), "{value} taken for {wrong}");
        }
    }
}

/// Display P3 to sRGB by the published matrices, both for a D65 white (CSS Color Module Level 4, section 18 "Sample
/// code for color conversions", which derives them from SMPTE EG 432-1 and IEC 61966-2-1 primaries), with the curve
/// of IEC 61966-2-1:1999 that both share.
fn p3_to_srgb(p3: [u8; 3]) -> [u8; 3] {
    let light = p3.map(|value| {
        let share = f64::from(value) / 255.0;
        if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    });
    let times =
        |rows: [[f64; 3]; 3], v: [f64; 3]| rows.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2]);
    let xyz = times(
        [
            [608311.0 / 1250200.0, 189793.0 / 714400.0, 198249.0 / 1000160.0],
            [35783.0 / 156275.0, 247089.0 / 357200.0, 198249.0 / 2500400.0],
            [0.0, 32229.0 / 714400.0, 5220557.0 / 5000800.0],
        ],
        light,
    );
    let srgb = times(
        [
            [12831.0 / 3959.0, -329.0 / 214.0, -1974.0 / 3959.0],
            [-851781.0 / 878810.0, 1648619.0 / 878810.0, 36519.0 / 878810.0],
            [705.0 / 12673.0, -2585.0 / 12673.0, 705.0 / 667.0],
        ],
        xyz,
    );
    srgb.map(|light| {
        let light = light.clamp(0.0, 1.0);
        let share = if light <= 0.0031308 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
        format!("{:.0}", share * 255.0).parse().unwrap()
    })
}

#[test]
fn an_embedded_profile_is_brought_to_srgb() {
    // The limiting case: white, grey and black are the same in both.
    for same in [[255; 3], [128; 3], [0; 3]] {
        assert_eq!(p3_to_srgb(same), same);
    }
    for p3 in [[255; 3], [128; 3], [200, 120, 60], [90, 160, 140], [150, 70, 120], [0, 255, 0], [12, 20, 16]]
    {
        let wanted = p3_to_srgb(p3);
        let as_png = png_with(16, 16, &flat(p3, 256), ExtendedColorType::Rgb8, (Some(display_p3()), None));
        let as_jpeg = jpeg(16, 16, &flat(p3, 256), &[icc_segment(&display_p3())]);
        for (photo, tolerance) in [(as_png, 1), (as_jpeg, 3)] {
            let picture = decode(&photo).unwrap();
            assert_eq!(picture.colours, Colours::FromProfile);
            let found = pixel(&picture, 8, 8);
            assert!(near(found, wanted, tolerance), "{p3:?} became {found:?}, not {wanted:?}");
            let copy = decode(&for_paper(&photo, 8).unwrap()).unwrap();
            assert!(near(pixel(&copy, 4, 4), wanted, 4), "the copy of {p3:?}");
        }
    }
    // The broken variant: without the profile the colour is off by more than the check allows.
    let untagged = decode(&png(16, 16, &flat([200, 120, 60], 256), ExtendedColorType::Rgb8)).unwrap();
    assert_eq!(untagged.colours, Colours::AssumedSrgb);
    assert!(!near(pixel(&untagged, 8, 8), p3_to_srgb([200, 120, 60]), 4));
}

#[test]
fn curves_and_matrix_agree_with_a_whole_conversion_by_moxcms() {
    let rgb: Vec<u8> = (0..=255_u8).flat_map(|step| [step, 255 - step, step.wrapping_mul(37)]).collect();
    for profile in [ColorProfile::new_display_p3(), ColorProfile::new_adobe_rgb(), ColorProfile::new_bt2020()]
    {
        let icc = profile.encode().unwrap();
        let ours = Source::from_icc(&icc, false).unwrap().whole_picture_to_srgb(&rgb).unwrap();
        // Computed independently with moxcms 0.8.1.
        let transform = profile
            .create_transform_8bit(
                Layout::Rgb,
                &ColorProfile::new_srgb(),
                Layout::Rgb,
                TransformOptions::default(),
            )
            .unwrap();
        let mut theirs = vec![0; rgb.len()];
        transform.transform(&rgb, &mut theirs).unwrap();
        let n_far = ours.iter().zip(&theirs).filter(|(ours, theirs)| ours.abs_diff(**theirs) > 2).count();
        assert_eq!(n_far, 0);
        assert_eq!(Source::Profile(Box::new(profile)).whole_picture_to_srgb(&rgb).unwrap(), theirs);
    }
}

#[test]
fn a_profile_that_is_no_matrix_gives_the_same_copy() {
    let photo = png_with(48, 32, &blocks(), ExtendedColorType::Rgb8, (Some(display_p3()), None));
    let by_curves = Stored::read(&photo).unwrap();
    let mut by_profile = Stored::read(&photo).unwrap();
    by_profile.source = Source::Profile(Box::new(ColorProfile::new_display_p3()));
    let (first, second) = (scaled(&by_curves, 48).unwrap(), scaled(&by_profile, 48).unwrap());
    assert_eq!(first.rgb.len(), second.rgb.len());
    assert!(first.rgb.iter().zip(&second.rgb).all(|(first, second)| first.abs_diff(*second) <= 2));
}

#[test]
fn a_grey_photo_follows_its_grey_profile() {
    let icc = ColorProfile::new_gray_with_gamma(1.0).encode().unwrap();
    let photo = png_with(16, 16, &[128; 256], ExtendedColorType::L8, (Some(icc), None));
    let picture = decode(&photo).unwrap();
    assert_eq!(picture.colours, Colours::FromProfile);
    // Half the light is 188 in sRGB (IEC 61966-2-1:1999); left as it is stored it would stay 128.
    assert!(near(pixel(&picture, 8, 8), [188; 3], 1), "{:?}", pixel(&picture, 8, 8));
}

#[test]
fn an_unusable_profile_costs_no_photo() {
    let grey = ColorProfile::new_gray_with_gamma(2.2).encode().unwrap();
    for icc in [b"no profile at all".to_vec(), grey] {
        let photo = jpeg(16, 16, &flat([200, 120, 60], 256), &[icc_segment(&icc)]);
        let picture = decode(&photo).unwrap();
        assert_eq!(picture.colours, Colours::ProfileUnusable);
        assert!(near(pixel(&picture, 8, 8), [200, 120, 60], 3));
    }
}

#[test]
fn a_copy_is_scaled_in_linear_light() {
    let board: Vec<u8> =
        (0..64_u8).flat_map(|y| (0..64_u8).flat_map(move |x| [255 * ((x + y) % 2); 3])).collect();
    let half_light = |found: [u8; 3]| near(found, [188; 3], 1);
    let copy = decode(&for_paper(&png(64, 64, &board, ExtendedColorType::Rgb8), 8).unwrap()).unwrap();
    // Half black and half white sends half the light, which is 255·(1.055·0.5^(1/2.4) − 0.055) = 188 in sRGB
    // (IEC 61966-2-1:1999).
    assert!(half_light(pixel(&copy, 4, 4)), "{:?}", pixel(&copy, 4, 4));
    // The broken variant: averaging the stored values gives 128.
    let pixels: Vec<U8x3> = board.as_chunks::<3>().0.iter().map(|pixel| U8x3::new(*pixel)).collect();
    let mut small = TypedImage::new(8, 8);
    Resizer::new().resize_typed(&TypedImageRef::new(64, 64, &pixels).unwrap(), &mut small, None).unwrap();
    let stored = small.pixels()[36].0;
    assert!(near(stored, [128; 3], 1) && !half_light(stored), "{stored:?}");
}

#[test]
fn scaling_in_bands_gives_the_same_picture_as_at_once() {
    let (width, height) = (1500_u32, 800_u32);
    let rgb = speckle(width * height * 3);
    let identity = std::array::from_fn(|value| u16::try_from(value).unwrap() * 257);
    let banded = resample(&rgb, (width, height), (400, 213), &[identity; 3]).unwrap();
    let pixels: Vec<U16x3> =
        rgb.as_chunks::<3>().0.iter().map(|p| U16x3::new(p.map(|v| u16::from(v) * 257))).collect();
    let mut whole = TypedImage::new(400, 213);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::CatmullRom));
    Resizer::new()
        .resize_typed(&TypedImageRef::new(width, height, &pixels).unwrap(), &mut whole, &options)
        .unwrap();
    let far = banded
        .iter()
        .zip(whole.pixels())
        .flat_map(|(banded, whole)| (0..3).map(|channel| banded.0[channel].abs_diff(whole.0[channel])))
        .max();
    assert!(far <= Some(2), "{far:?} of 65535");
}

#[test]
fn a_copy_fits_its_side_and_never_grows() {
    let photo = png(90, 60, &flat([90, 80, 70], 5400), ExtendedColorType::Rgb8);
    for (side, wanted) in [(30, (30, 20)), (90, (90, 60)), (500, (90, 60)), (1, (1, 1)), (0, (1, 1))] {
        let copy = decode(&for_paper(&photo, side).unwrap()).unwrap();
        assert_eq!((copy.width, copy.height), wanted);
        assert!(near(pixel(&copy, 0, 0), [90, 80, 70], 2));
    }
    let thread = png(900, 1, &flat([90, 80, 70], 900), ExtendedColorType::Rgb8);
    let copy = decode(&for_paper(&thread, 30).unwrap()).unwrap();
    assert_eq!((copy.width, copy.height), (30, 1));
}

/// Every kind of description a JPEG may carry besides its picture.
fn descriptions() -> Vec<(u8, Vec<u8>)> {
    vec![
        exif_segment(1),
        (1, b"http://ns.adobe.com/xap/1.0/\0<x exif:GPSLatitude=\"51,30.2N\"/>".to_vec()),
        (13, b"Photoshop 3.0\08BIM\x04\x04\0\0\0\0\0\x08\x1C\x02\x5A\0\x03Ely".to_vec()),
        icc_segment(&display_p3()),
        (14, b"Adobe\0\x64\0\0\0\0\x01".to_vec()),
    ]
}

#[test]
fn no_copy_says_where_or_when_a_photo_was_taken() {
    let mut original = jpeg(48, 32, &blocks(), &descriptions());
    // A comment straight after the start, and bytes after the end, as some phones write them.
    original.splice(2..2, *b"\xFF\xFE\x00\x0Bmade here");
    original.extend(b"a short film of GPS places");
    let said = about(&original).unwrap();
    assert!(said.has_location);
    assert_eq!(said.taken.as_deref(), Some("2025-06-01 14:03:22"));
    let drawn =
        png_with(48, 32, &blocks(), ExtendedColorType::Rgb8, (Some(display_p3()), Some(exif_block(6))));
    assert!(about(&drawn).unwrap().has_location);
    for photo in [&original, &drawn] {
        for copy in [for_paper(photo, 40).unwrap(), message_image(photo).unwrap()] {
            assert!(is_bare_jpeg(&copy));
            let said = about(&copy).unwrap();
            assert_eq!((said.has_location, said.taken, said.orientation), (false, None, 1));
            for word in ["Exif", "GPS", "http", "Photoshop", "ICC_PROFILE", "2025", "Adobe", "made here"] {
                let word = word.as_bytes();
                assert!(!copy.windows(word.len()).any(|window| window == word));
            }
        }
    }
}

#[test]
fn a_jpeg_with_any_description_left_is_not_bare() {
    let plain = jpeg(48, 32, &blocks(), &[]);
    assert!(is_bare_jpeg(&plain));
    for description in descriptions() {
        assert!(!is_bare_jpeg(&jpeg(48, 32, &blocks(), &[description])));
    }
    assert!(!is_bare_jpeg(&[plain.clone(), b"GPS".to_vec()].concat()));
    assert!(!is_bare_jpeg(&plain[..plain.len() - 2]));
    assert!(!is_bare_jpeg(b"\x89PNG"));
}

#[test]
fn location_is_found_in_exif_and_in_xmp_and_nowhere_else() {
    let described = descriptions();
    for (at, has_location) in [true, true, false, false, false].into_iter().enumerate() {
        let photo = jpeg(48, 32, &blocks(), &described[at..=at]);
        assert_eq!(about(&photo).unwrap().has_location, has_location, "{at}");
    }
    // The tag number of the latitude reference made a version number: a location block without a location.
    let mut block = exif_block(1);
    block[88..92].copy_from_slice(&[1, 0, 0, 0]);
    let photo = jpeg(48, 32, &blocks(), &[(1, [b"Exif\0\0".to_vec(), block].concat())]);
    assert!(!about(&photo).unwrap().has_location);
}

#[test]
fn a_message_picture_keeps_to_its_bytes() {
    let noise = speckle(900 * 700 * 3);
    let photo = png(900, 700, &noise, ExtendedColorType::Rgb8);
    let free = message_image(&photo).unwrap();
    assert!(free.len() <= MESSAGE_MAX_BYTES);
    let tight = within_bytes(&Stored::read(&photo).unwrap(), 60_000).unwrap();
    // The broken variant, one fixed quality, would keep the size it had.
    assert!(tight.len() <= 60_000 && free.len() > 60_000);
    assert!(is_bare_jpeg(&tight));
}

#[test]
fn a_see_through_png_lies_on_white() {
    let rgba = [[0, 0, 0, 128], [200, 10, 10, 255], [5, 5, 5, 0], [100, 100, 100, 51]].concat();
    let picture = decode(&png(4, 1, &rgba, ExtendedColorType::Rgba8)).unwrap();
    // Over white: 255 − (255 − value)·alpha/255.
    let wanted = [[127; 3], [200, 10, 10], [255; 3], [224; 3]].concat();
    assert_eq!(picture.rgb, wanted);
}

#[test]
fn a_png_of_16_bits_a_colour_is_read() {
    let pixels: Vec<u8> = [65535_u16, 32896, 0].into_iter().flat_map(u16::to_ne_bytes).collect();
    let picture = decode(&png(1, 1, &pixels, ExtendedColorType::Rgb16)).unwrap();
    assert_eq!(picture.rgb, [255, 128, 0]);
}

fn refusal(bytes: &[u8]) -> String {
    let error = recognise(bytes).unwrap_err();
    assert_eq!(decode(bytes).unwrap_err(), error);
    assert_eq!(about(bytes).unwrap_err(), error);
    assert_eq!(for_paper(bytes, 100).unwrap_err(), error);
    error.to_string()
}

#[test]
fn a_photo_is_known_by_its_bytes() {
    assert_eq!(recognise(&jpeg(48, 32, &blocks(), &[])).unwrap(), Kind::Jpeg);
    assert_eq!(recognise(&png(48, 32, &blocks(), ExtendedColorType::Rgb8)).unwrap(), Kind::Png);
    for brand in ["heic", "heix", "mif1", "msf1"] {
        let file = [b"\0\0\0\x18ftyp", brand.as_bytes(), b"\0\0\0\0miafhevc\0\0\0\0"].concat();
        let words = refusal(&file);
        assert!(words.contains("HEIC") && words.contains("export it as JPEG"), "{words}");
    }
    assert!(refusal(b"\0\0\0\x18ftypmif1\0\0\0\0avifmiaf\0\0").contains("AVIF"));
    assert!(refusal(b"\0\0\0\x18ftypisom\0\0\0\0mp41isom\0\0").contains("a video"));
    assert!(refusal("Dear maker, here is the lock of hair – thank you".as_bytes()).contains("a text file"));
    assert!(refusal(b"%PDF-1.7\n").contains("a PDF document"));
    assert!(refusal(b"GIF89a").contains("a GIF picture"));
    assert!(refusal(b"RIFF\x10\0\0\0WEBPVP8 ").contains("a WebP picture"));
    assert!(refusal(b"\x01\x02\x03\xFF\xFE").contains("a JPEG or PNG is right"));
    assert!(refusal(b"").contains("empty"));
    assert!(refusal(b"\xFF\xD8\xFF").contains("cut short"));
}

/// A PNG header with the given size and nothing behind it but an end.
fn png_header(width: u32, height: u32) -> Vec<u8> {
    let mut file = b"\x89PNG\r\n\x1a\n\0\0\0\x0DIHDR".to_vec();
    file.extend(width.to_be_bytes());
    file.extend(height.to_be_bytes());
    file.extend(b"\x08\x02\0\0\0\0\0\0\0\0\0\0\0IEND\xAE\x42\x60\x82");
    file
}

#[test]
fn a_photo_too_large_is_refused_by_its_header() {
    for (width, height) in [(30_000, 10), (10, 30_000), (19_000, 12_000), (u32::MAX, u32::MAX), (8001, 8000)]
    {
        let words = refusal(&png_header(width, height));
        assert!(words.contains(&format!("{width} × {height} px")), "{words}");
    }
    assert!(refusal(&png_header(0, 10)).contains("damaged"));
    // Just within the limit the header passes, so the limit is where it says.
    assert_eq!(recognise(&png_header(8000, 8000)), Ok(Kind::Png));
    assert_eq!(recognise(&png_header(20_000, 3200)), Ok(Kind::Png));
    let mut photo = jpeg(48, 32, &blocks(), &[]);
    let frame = photo.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap();
    photo[frame + 5..frame + 9].copy_from_slice(&[0xFD, 0xE8, 0xFD, 0xE8]);
    assert!(refusal(&photo).contains("65000 × 65000 px"));
    assert!(refusal(&vec![0; MAX_BYTES + 1]).contains("61 MB"));
}

#[test]
fn a_jpeg_in_printing_inks_is_refused() {
    let mut file = Vec::new();
    Encoder::new(&mut file, 90).encode(&[60; 16 * 16 * 4], 16, 16, ColorType::Cmyk).unwrap();
    assert!(refusal(&file).contains("printing inks"));
}

#[test]
fn a_photo_cut_short_anywhere_is_refused() {
    let jpeg = jpeg(48, 32, &blocks(), &[exif_segment(6)]);
    let png = png(48, 32, &blocks(), ExtendedColorType::Rgb8);
    for photo in [jpeg, png] {
        for length in 0..photo.len() {
            // A PNG is whole once its end chunk is there; the check sum behind it may be missing.
            let cut = &photo[..length];
            assert!(decode(cut).is_err() || length >= photo.len() - 4, "{length} of {}", photo.len());
        }
        assert!(decode(&photo).is_ok());
    }
}

#[test]
fn made_up_photos_depend_on_their_seed_alone() {
    let stone = sample::SampleStone::default();
    let first = sample::stone_picture(&stone, 120, 90).unwrap();
    assert_eq!(first, sample::stone_picture(&stone, 120, 90).unwrap());
    let other = sample::SampleStone { seed: 2, outline: sample::SampleOutline::Round, metal: None, ..stone };
    assert_ne!(first, sample::stone_picture(&other, 120, 90).unwrap());
    assert!(is_bare_jpeg(&first));
    let picture = decode(&first).unwrap();
    assert_eq!((picture.width, picture.height), (120, 90));
    let small = decode(&sample::stone_picture(&stone, 0, 0).unwrap()).unwrap();
    assert_eq!((small.width, small.height), (64, 64));
}

#[test]
fn a_made_up_packet_shows_the_colour_of_its_contents() {
    use sample::SampleContents::{Ashes, Lock, Petals};
    for contents in [Lock, Ashes, Petals] {
        let with = |colour: [u8; 3]| {
            let packet = sample::SamplePacket { seed: 4, contents, colour, cloth: [90, 100, 96] };
            let picture = decode(&sample::packet_picture(&packet, 160, 120).unwrap()).unwrap();
            picture.rgb.as_chunks::<3>().0.iter().filter(|p| p[0] > p[2].saturating_add(60)).count()
        };
        assert!(with([190, 40, 40]) > 300 && with([60, 70, 190]) < 30, "{contents:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_damaged_photo_brings_the_program_down(
        which in 0..3_usize,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        early in any::<bool>(),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut photo = match which {
            0 => jpeg(48, 32, &blocks(), &[exif_segment(6), icc_segment(&display_p3())]),
            1 => jpeg(48, 32, &blocks(), &descriptions()),
            _ => png_with(48, 32, &blocks(), ExtendedColorType::Rgb8, (Some(display_p3()), Some(exif_block(3)))),
        };
        let reach = if early { 240 } else { photo.len() };
        for (at, byte) in changes {
            photo[at.index(reach)] = byte;
        }
        if let Some(cut) = cut {
            photo.truncate(cut.index(photo.len()));
        }
        let said = about(&photo);
        prop_assert_eq!(said.is_ok(), recognise(&photo).is_ok());
        // A damaged header may claim millions of pixels, which are lawful but slow.
        if let Ok(said) = said && said.width * said.height < 200_000 && let Ok(copy) = for_paper(&photo, 20) {
            prop_assert!(is_bare_jpeg(&copy));
            prop_assert!(decode(&photo).is_ok());
        }
    }

    #[test]
    fn no_bytes_bring_the_program_down(start in 0..4_usize, rest in prop::collection::vec(any::<u8>(), 0..200)) {
        let starts: [&[u8]; 4] = [b"", b"\xFF\xD8\xFF", b"\x89PNG\r\n\x1a\n\0\0\0\x0DIHDR", b"\0\0\0\x18ftyp"];
        let bytes = [starts[start], &rest].concat();
        prop_assert_eq!(recognise(&bytes).is_ok(), about(&bytes).is_ok());
        prop_assert!(!is_bare_jpeg(&bytes) || recognise(&bytes).is_ok() || decode(&bytes).is_err());
    }
}

#[test]
fn an_extension_goes_with_the_kind() {
    assert_eq!((Kind::Jpeg.extension(), Kind::Png.extension()), ("jpg", "png"));
}
