//! QR codes (ISO/IEC 18004), error correction M: the tag as a picture on papers, and any text as the modules of its
//! code, for whoever draws it. A code needs a quiet zone of four modules around it.

use qrcode::render::svg;
use qrcode::types::Color;
use qrcode::{EcLevel, QrCode};

use super::DocumentError;

/// The most bytes of plain text that one code holds: version 40 at level M in byte mode (ISO/IEC 18004, table of
/// capacities). Digits and capital letters alone take less room.
pub const MOST_BYTES: usize = 2_331;

/// The modules of one code, without its quiet zone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Modules {
    /// How many modules stand along each side: 21 to 177.
    pub side: usize,
    /// Row by row from the top left, `side × side` of them; true is dark.
    pub dark: Vec<bool>,
}

impl Modules {
    /// True where the module in this column and row, counted from 0, is dark; what lies outside is light.
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        column < self.side && self.dark.get(row * self.side + column).copied().unwrap_or(false)
    }
}

/// Why a text cannot be carried in one code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum QrError {
    /// There is no text.
    #[error("there is nothing to carry over yet: write the words first")]
    Empty,
    /// There is too much of it.
    #[error(
        "these words are too long for one code ({bytes} bytes, about {MOST_BYTES} fit): shorten them, or copy them instead"
    )]
    TooLong {
        /// Its length in UTF-8.
        bytes: usize,
    },
}

/// A text as the modules of a code, error correction M, in the smallest version that holds it.
///
/// # Errors
/// The text is empty or too long.
pub fn modules(text: &str) -> Result<Modules, QrError> {
    if text.is_empty() {
        return Err(QrError::Empty);
    }
    let code = QrCode::with_error_correction_level(text, EcLevel::M)
        .map_err(|_too_long| QrError::TooLong { bytes: text.len() })?;
    let side = code.width();
    Ok(Modules { side, dark: code.into_colors().into_iter().map(|color| color == Color::Dark).collect() })
}

/// The tag's QR as an SVG picture, with its quiet zone. It holds the tag and nothing else.
pub(super) fn tag_svg(tag: &str) -> Result<String, DocumentError> {
    let code = QrCode::with_error_correction_level(tag, EcLevel::M)
        .map_err(|_too_long| DocumentError::Tag { tag: tag.to_owned() })?;
    let svg = code
        .render::<svg::Color<'_>>()
        .module_dimensions(8, 8)
        .quiet_zone(true)
        .dark_color(svg::Color("#1c2524"))
        .light_color(svg::Color("#ffffff"))
        .build();
    Ok(svg)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What an independent reader (rqrr) makes of a code that is drawn with its quiet zone, each module 4 by 4.
    fn read(modules: &Modules) -> Option<String> {
        let side_px = (modules.side + 8) * 4;
        let mut drawn = rqrr::PreparedImage::prepare_from_greyscale(side_px, side_px, |x, y| {
            let (column, row) = ((x / 4).checked_sub(4), (y / 4).checked_sub(4));
            let dark = column.zip(row).is_some_and(|(column, row)| modules.is_dark(column, row));
            if dark { 0 } else { 255 }
        });
        drawn.detect_grids().first()?.decode().ok().map(|(_, text)| text)
    }

    #[test]
    fn what_is_drawn_from_the_modules_is_read_back_by_another_program() {
        let letter = "Dear Ida,\n\nyour parcel for Zoë has arrived safely.\n\n".repeat(6);
        for text in ["7K2-M4P", "a", "mailto:ida@example.org", letter.as_str()] {
            let modules = modules(text).unwrap();
            assert_eq!(modules.dark.len(), modules.side * modules.side);
            assert_eq!(read(&modules).as_deref(), Some(text));
        }
    }

    #[test]
    fn a_code_with_its_columns_read_as_steps_or_its_dark_and_light_swapped_is_not_read() {
        let right = modules("7K2-M4P").unwrap();
        let mut swapped = right.clone();
        swapped.dark.iter_mut().for_each(|dark| *dark = !*dark);
        assert_eq!(read(&swapped), None);
        // As if the quiet zone were in the matrix: every row begins four modules late.
        let mut sheared = right.clone();
        for row in 0..right.side {
            sheared.dark[row * right.side..(row + 1) * right.side].rotate_right(row % 5);
        }
        assert_eq!(read(&sheared), None);
    }

    #[test]
    fn the_smallest_code_that_holds_the_text_is_taken() {
        // Version n has 17 + 4 n modules a side; at level M version 1 holds 14 bytes, version 2 holds 26 and version 40
        // holds 2331 (ISO/IEC 18004, table of capacities; from memory).
        let side = |bytes: usize| modules(&"a".repeat(bytes)).map(|modules| modules.side);
        assert_eq!(side(1), Ok(21));
        assert_eq!(side(14), Ok(21));
        assert_eq!(side(15), Ok(25));
        assert_eq!(side(26), Ok(25));
        assert_eq!(side(27), Ok(29));
        assert_eq!(side(MOST_BYTES), Ok(177));
        assert_eq!(side(MOST_BYTES + 1), Err(QrError::TooLong { bytes: MOST_BYTES + 1 }));
        assert_eq!(modules(""), Err(QrError::Empty));
    }

    #[test]
    fn the_finder_patterns_stand_in_three_corners_and_outside_all_is_light() {
        let modules = modules("7K2-M4P").unwrap();
        let last = modules.side - 1;
        // The outer ring of each finder pattern is dark, the ring beside it light (ISO/IEC 18004, finder pattern).
        for (column, row) in [(0, 0), (last, 0), (0, last)] {
            assert!(modules.is_dark(column, row));
        }
        assert!(!modules.is_dark(1, 1) && modules.is_dark(2, 2) && !modules.is_dark(7, 0));
        assert!(!modules.is_dark(modules.side, 0) && !modules.is_dark(0, modules.side));
    }
}
