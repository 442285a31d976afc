//! The typefaces, as the bytes of their files.
//!
//! Public, so that the window can show the same letters as the papers. Origin and licence:
//! `assets/fonts/README.md`.

use std::sync::OnceLock;

use typst::foundations::Bytes;
use typst::text::Font;

/// IBM Plex Sans, regular, as TrueType bytes.
pub const SANS: &[u8] = include_bytes!("../../assets/fonts/IBMPlexSans-Regular.ttf");
/// IBM Plex Sans, semibold, as TrueType bytes.
pub const SANS_SEMIBOLD: &[u8] = include_bytes!("../../assets/fonts/IBMPlexSans-SemiBold.ttf");
/// Source Serif 4, regular, as TrueType bytes.
pub const SERIF: &[u8] = include_bytes!("../../assets/fonts/SourceSerif4-Regular.ttf");
/// Source Serif 4, semibold, as TrueType bytes.
pub const SERIF_SEMIBOLD: &[u8] = include_bytes!("../../assets/fonts/SourceSerif4-Semibold.ttf");

/// The house faces first, then the engine's own as a fallback for letters the house faces lack.
pub(super) fn house() -> &'static [Font] {
    static HOUSE: OnceLock<Vec<Font>> = OnceLock::new();
    HOUSE.get_or_init(|| {
        [SANS, SANS_SEMIBOLD, SERIF, SERIF_SEMIBOLD]
            .into_iter()
            .chain(typst_assets::fonts())
            .flat_map(|bytes| Font::iter(Bytes::new(bytes)))
            .collect()
    })
}
