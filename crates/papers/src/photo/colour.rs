//! From a photo's own colours to linear light and on to sRGB.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float cast to an integer keeps to the nearest end, which is what clipping light means"
)]

use std::array;
use std::sync::LazyLock;

use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

/// For each 8-bit value of a channel its linear light, 0 to 65535.
type Table = [u16; 256];

/// How a photo's stored values become light.
#[derive(Debug)]
pub(super) enum Source {
    /// Three curves, then (unless the primaries are already those of sRGB) one matrix in linear light.
    Curves { tables: Box<[Table; 3]>, matrix: Option<[[f32; 3]; 3]> },
    /// A profile that is more than curves and a matrix; it must be converted pixel by pixel.
    Profile(Box<ColorProfile>),
}

impl Source {
    /// Plain sRGB, which an untagged photo is taken to be.
    pub(super) fn srgb() -> Source {
        let table = array::from_fn(|value| share_to_u16(srgb_to_linear(value as f64 / 255.0)));
        Source::Curves { tables: Box::new([table; 3]), matrix: None }
    }

    /// Reads an embedded ICC profile; `None` if it cannot be used for this photo.
    pub(super) fn from_icc(icc: &[u8], is_grey: bool) -> Option<Source> {
        let profile = ColorProfile::new_from_slice(icc).ok()?;
        match profile.color_space {
            DataColorSpace::Gray if is_grey => {
                let table = u16_table(&*profile.build_gray_linearize_table::<u8, 256, 8>().ok()?);
                Some(Source::Curves { tables: Box::new([table; 3]), matrix: None })
            }
            DataColorSpace::Rgb if profile.is_matrix_shaper() && profile.pcs == DataColorSpace::Xyz => {
                let red = u16_table(&*profile.build_r_linearize_table::<u8, 256, 8>(true).ok()?);
                let green = u16_table(&*profile.build_g_linearize_table::<u8, 256, 8>(true).ok()?);
                let blue = u16_table(&*profile.build_b_linearize_table::<u8, 256, 8>(true).ok()?);
                let matrix = profile.transform_matrix(&ColorProfile::new_srgb()).v;
                if !matrix.iter().flatten().all(|value| value.is_finite()) {
                    return None;
                }
                Some(Source::Curves {
                    tables: Box::new([red, green, blue]),
                    matrix: Some(matrix.map(|row| row.map(to_f32))),
                })
            }
            DataColorSpace::Rgb => {
                let source = Source::Profile(Box::new(profile));
                // Trying one pixel tells whether the profile works at all.
                source.whole_picture_to_srgb(&[0; 3])?;
                Some(source)
            }
            _ => None,
        }
    }

    /// Converts a whole RGB picture to sRGB at 8 bits. `None` if the profile turns out to be unusable.
    pub(super) fn whole_picture_to_srgb(&self, rgb: &[u8]) -> Option<Vec<u8>> {
        match self {
            Source::Curves { tables, matrix } => {
                let [red, green, blue] = &**tables;
                let mut out = vec![0; rgb.len()];
                for (to, from) in out.as_chunks_mut::<3>().0.iter_mut().zip(rgb.as_chunks::<3>().0) {
                    let light =
                        [red[usize::from(from[0])], green[usize::from(from[1])], blue[usize::from(from[2])]];
                    *to = linear_to_srgb(light, matrix.as_ref());
                }
                Some(out)
            }
            Source::Profile(profile) => {
                let options = TransformOptions::default();
                let transform = profile
                    .create_transform_8bit(Layout::Rgb, &ColorProfile::new_srgb(), Layout::Rgb, options)
                    .ok()?;
                let mut out = vec![0; rgb.len()];
                transform.transform(rgb, &mut out).ok()?;
                Some(out)
            }
        }
    }
}

/// Encodes one pixel of linear light as sRGB, through the matrix to sRGB's primaries if there is one.
pub(super) fn linear_to_srgb(light: [u16; 3], matrix: Option<&[[f32; 3]; 3]>) -> [u8; 3] {
    let encode = &*ENCODE;
    let light = match matrix {
        None => light,
        Some(rows) => {
            let [red, green, blue] = light.map(f32::from);
            rows.map(|[from_red, from_green, from_blue]| {
                f32_to_u16(from_red * red + from_green * green + from_blue * blue)
            })
        }
    };
    light.map(|value| encode[usize::from(value)])
}

/// The sRGB value of each of 65,536 steps of linear light.
static ENCODE: LazyLock<[u8; 65536]> = LazyLock::new(|| {
    array::from_fn(|step| {
        let value = (255.0 * linear_to_srgb_share(step as f64 / 65535.0)).round();
        // The curve stays within 0 to 255 for every step.
        value as u8
    })
});

/// Light of an sRGB value, both 0 to 1 (IEC 61966-2-1:1999, 5.2).
pub(super) fn srgb_to_linear(value: f64) -> f64 {
    if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
}

/// sRGB value of a share of light, both 0 to 1 (IEC 61966-2-1:1999, 5.3).
pub(super) fn linear_to_srgb_share(light: f64) -> f64 {
    if light <= 0.0031308 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
}

fn u16_table(shares: &[f32; 256]) -> Table {
    array::from_fn(|value| share_to_u16(f64::from(shares[value])))
}

/// A share of light as one of 65,536 steps; what is out of range or no number goes to the nearest end or to 0.
fn share_to_u16(share: f64) -> u16 {
    (share.clamp(0.0, 1.0) * 65535.0).round() as u16
}

fn f32_to_u16(value: f32) -> u16 {
    (value + 0.5) as u16
}

fn to_f32(value: f64) -> f32 {
    value as f32
}
