//! The letters: which face and size each kind of text is set in.

use std::sync::Arc;

use egui::{FontData, FontDefinitions, FontFamily, FontId};
use papers::document::fonts as files;

/// A kind of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The remembered one's name.
    Name,
    /// A name in the serif, smaller: in a dialog, on the first page.
    NameSmall,
    /// A heading.
    Heading,
    /// Everything that is read.
    Body,
    /// The same, strong.
    Strong,
    /// A second line.
    Second,
    /// The same, strong.
    SecondStrong,
    /// Digits of a wait on the strip.
    Digits,
    /// Digits read from two metres.
    Lamp,
    /// Words read from an arm's length, beside the lamp.
    LampWords,
}

const SEMIBOLD: &str = "semibold";
const SERIF: &str = "serif";

impl Face {
    /// Its letters and size.
    pub fn font(self) -> FontId {
        let (size, family) = match self {
            Face::Name => (28.0, FontFamily::Name(SERIF.into())),
            Face::NameSmall => (20.0, FontFamily::Name(SERIF.into())),
            Face::Heading => (16.0, FontFamily::Name(SEMIBOLD.into())),
            Face::Body => (14.0, FontFamily::Proportional),
            Face::Strong => (14.0, FontFamily::Name(SEMIBOLD.into())),
            Face::Second => (13.0, FontFamily::Proportional),
            Face::SecondStrong => (13.0, FontFamily::Name(SEMIBOLD.into())),
            Face::Digits => (18.0, FontFamily::Name(SEMIBOLD.into())),
            Face::Lamp => (132.0, FontFamily::Name(SEMIBOLD.into())),
            Face::LampWords => (21.0, FontFamily::Proportional),
        };
        FontId::new(size, family)
    }
}

/// The house's letters, the same as on its papers. Their digits all have one width, so that a count does not dance.
pub fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    let mut add = |name: &str, bytes: &'static [u8]| {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    };
    add("sans", files::SANS);
    add("sans semibold", files::SANS_SEMIBOLD);
    add("serif semibold", files::SERIF_SEMIBOLD);
    // What one face lacks the next gives.
    let families = [
        (FontFamily::Proportional, ["sans", "serif semibold"]),
        (FontFamily::Monospace, ["sans", "serif semibold"]),
        (FontFamily::Name(SEMIBOLD.into()), ["sans semibold", "sans"]),
        (FontFamily::Name(SERIF.into()), ["serif semibold", "sans semibold"]),
    ];
    for (family, faces) in families {
        fonts.families.insert(family, faces.map(str::to_owned).to_vec());
    }
    fonts
}
