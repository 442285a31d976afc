//! Photos: what their headers say of size, kind, how they were held and where they were taken.

use papers::photo::{self, Kind, MAX_PIXELS, MAX_SIDE_PX};

use super::{Law, holds, says_something};

/// So many pixels are decoded here: enough for the seeds, and a matter of moments.
const FEW: u64 = 40_000;

/// A photo is told apart and described without its pixels, and a copy of it says nothing of where it was taken.
pub(super) fn photo(bytes: &[u8]) -> Law {
    let kind = match photo::recognise(bytes) {
        Ok(kind) => kind,
        Err(why) => {
            says_something(&why.to_string())?;
            let about = photo::about(bytes).map(|about| format!("{about:?}"));
            return holds(about == Err(why), || format!("it is no photo, and still {about:?}"));
        }
    };
    holds(matches!(kind, Kind::Jpeg) == bytes.starts_with(&[0xFF, 0xD8]), || {
        format!("{kind:?} by its start")
    })?;
    let about = photo::about(bytes).map_err(|why| format!("it is a {kind:?}, and yet: {why}"))?;
    let (width, height) = (about.width, about.height);
    let pixels = u64::from(width) * u64::from(height);
    let sized = width > 0 && height > 0 && width.max(height) <= MAX_SIDE_PX && pixels <= MAX_PIXELS;
    holds(sized && (1..=8).contains(&about.orientation), || format!("{about:?}"))?;
    if let Some(taken) = &about.taken {
        says_when(taken)?;
    }
    if pixels > FEW { Ok(()) } else { pixels_of(bytes, (width, height)) }
}

/// "2025-06-01 14:03:22", and nothing else.
fn says_when(taken: &str) -> Law {
    let shape: String = taken.chars().map(|one| if one.is_ascii_digit() { '0' } else { one }).collect();
    holds(shape == "0000-00-00 00:00:00", || format!("taken {taken:?}"))
}

/// The headers said how large the picture is, and the copy is bare.
fn pixels_of(bytes: &[u8], size: (u32, u32)) -> Law {
    let picture = match photo::decode(bytes) {
        Ok(picture) => picture,
        Err(why) => return says_something(&why.to_string()),
    };
    let read = (picture.width, picture.height);
    holds(read == size && picture.rgb.len() as u64 == 3 * u64::from(read.0) * u64::from(read.1), || {
        format!("its headers say {size:?}, and its pixels are {read:?}")
    })?;
    let copy =
        photo::for_paper(bytes, 64).map_err(|why| format!("it was read and cannot be copied: {why}"))?;
    let said = photo::about(&copy).map_err(|why| format!("its copy cannot be read: {why}"))?;
    let bare =
        photo::is_bare_jpeg(&copy) && !said.has_location && said.taken.is_none() && said.orientation == 1;
    holds(bare && said.width.max(said.height) <= 64, || format!("its copy says {said:?}"))
}
