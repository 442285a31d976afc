//! Colours and spacing by what they are for.

use egui::{Color32, Stroke, Ui};

/// The colours of one appearance. Text colours keep a contrast of at least 4.5 to 1 on every ground they stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tokens {
    /// True for light text on dark grounds.
    pub dark: bool,
    /// Behind the board and the lamp view.
    pub ground: Color32,
    /// Behind the bench.
    pub page: Color32,
    /// Fields, the chosen row, the strip at the foot.
    pub raised: Color32,
    /// Notes.
    pub tint: Color32,
    /// Hairlines and the body of a mould.
    pub line: Color32,
    /// Text.
    pub ink: Color32,
    /// Second text.
    pub ink_2: Color32,
    /// Third text.
    pub ink_3: Color32,
    /// The one filled button of a page, links, the current step.
    pub accent: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// A lit lamp, and nothing else.
    pub brass: Color32,
    /// "Not yet: …" and cautions, always with words.
    pub care: Color32,
    /// Clear resin, seen from the side.
    pub resin: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

impl Tokens {
    /// For daylight.
    pub const LIGHT: Tokens = Tokens {
        dark: false,
        ground: rgb(0xE9EEEB),
        page: rgb(0xF7F9F7),
        raised: rgb(0xFFFFFF),
        tint: rgb(0xE3EBE6),
        line: rgb(0xD3DBD6),
        ink: rgb(0x1C2524),
        ink_2: rgb(0x45514E),
        ink_3: rgb(0x5F6C68),
        accent: rgb(0x2C5A4C),
        on_accent: rgb(0xFFFFFF),
        brass: rgb(0x8A6116),
        care: rgb(0x8C3B24),
        resin: rgb(0xECE4D6),
    };

    /// For the evening.
    pub const DARK: Tokens = Tokens {
        dark: true,
        ground: rgb(0x141918),
        page: rgb(0x1B2221),
        raised: rgb(0x232B2A),
        tint: rgb(0x26302E),
        line: rgb(0x333D3B),
        ink: rgb(0xE9EEEB),
        ink_2: rgb(0xB7C2BD),
        ink_3: rgb(0x93A09A),
        accent: rgb(0x8CC7B3),
        on_accent: rgb(0x10201B),
        brass: rgb(0xE3B04B),
        care: rgb(0xF0A088),
        resin: rgb(0xECE4D6),
    };

    /// The colours this part of the window is dressed in.
    pub fn of(ui: &Ui) -> &'static Tokens {
        if ui.visuals().dark_mode { &Tokens::DARK } else { &Tokens::LIGHT }
    }

    /// A hairline.
    pub const fn hairline(&self) -> Stroke {
        Stroke { width: 1.0, color: self.line }
    }

    /// The line around a control: plain enough to be seen (3 to 1, WCAG 2.2, 1.4.11), quieter than text.
    pub const fn edge(&self) -> Stroke {
        Stroke { width: 1.0, color: self.ink_3 }
    }
}

/// Spacing, in points: steps of four.
pub mod space {
    use egui::{CornerRadius, Margin};

    /// One step.
    pub const STEP: f32 = 4.0;
    /// Between lines that belong together.
    pub const TIGHT: f32 = 2.0;
    /// Between controls in a row.
    pub const ROW: f32 = 12.0;
    /// Between blocks of a page.
    pub const BLOCK: f32 = 24.0;
    /// Left and right of a page, and above it.
    pub const PAGE: Margin = Margin { left: 32, right: 32, top: 24, bottom: 16 };
    /// Around what is to be said.
    pub const NOTICE: Margin = Margin { left: 32, right: 32, top: 8, bottom: 4 };
    /// Around the board.
    pub const BOARD: Margin = Margin { left: 16, right: 16, top: 16, bottom: 0 };
    /// The width of the board beside the bench.
    pub const BOARD_WIDTH: f32 = 343.0;
    /// A row of the board.
    pub const BOARD_ROW: f32 = 60.0;
    /// A row of a thing.
    pub const THING_ROW: f32 = 65.0;
    /// The strip at the foot.
    pub const STRIP: f32 = 56.0;
    /// The widest a page of words grows.
    pub const READING: f32 = 1_040.0;
    /// Corners of buttons, fields and rows.
    pub const RADIUS: CornerRadius = CornerRadius { nw: 6, ne: 6, sw: 6, se: 6 };
    /// Corners of notes and panels.
    pub const RADIUS_WIDE: CornerRadius = CornerRadius { nw: 8, ne: 8, sw: 8, se: 8 };
    /// The least height of what can be pressed.
    pub const PRESS: f32 = 32.0;
    /// The height of the one main button.
    pub const MAIN: f32 = 38.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of an sRGB colour (W3C, WCAG 2.2, "relative luminance").
    fn luminance(colour: Color32) -> f64 {
        let linear = |byte: u8| {
            let value = f64::from(byte) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
    }

    /// Contrast ratio (W3C, WCAG 2.2, "contrast ratio").
    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn faults(tokens: &Tokens) -> Vec<String> {
        let grounds = [
            ("ground", tokens.ground),
            ("page", tokens.page),
            ("raised", tokens.raised),
            ("tint", tokens.tint),
        ];
        let texts = [
            ("ink", tokens.ink),
            ("ink 2", tokens.ink_2),
            ("ink 3", tokens.ink_3),
            ("accent", tokens.accent),
            ("care", tokens.care),
        ];
        let mut faults = Vec::new();
        let mut ask = |what: String, a, b, least| {
            let ratio = contrast(a, b);
            if ratio < least {
                faults.push(format!("{what}: {ratio:.2}, wanted {least}"));
            }
        };
        for (ground_name, ground) in grounds {
            for (text_name, text) in texts {
                ask(format!("{text_name} on {ground_name}"), text, ground, 4.5);
            }
            // Parts of a picture that carry meaning: 3 to 1 (WCAG 2.2, success criterion 1.4.11).
            ask(format!("brass on {ground_name}"), tokens.brass, ground, 3.0);
        }
        ask("text on the accent".to_owned(), tokens.on_accent, tokens.accent, 4.5);
        faults
    }

    #[test]
    fn the_contrast_formula_gives_the_published_extremes() {
        // WCAG 2.2: black on white is 21 to 1, the same colour on itself 1 to 1; #767676 on white is the usual
        // example that just passes 4.5 (W3C, Understanding Success Criterion 1.4.3).
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        assert!((contrast(Color32::RED, Color32::RED) - 1.0).abs() < 1e-9);
        let grey = contrast(rgb(0x767676), Color32::WHITE);
        assert!((4.5..4.6).contains(&grey), "{grey}");
        assert!(contrast(rgb(0x777777), Color32::WHITE) < 4.5);
    }

    #[test]
    fn every_text_can_be_read_on_every_ground() {
        assert_eq!(faults(&Tokens::LIGHT), Vec::<String>::new());
        assert_eq!(faults(&Tokens::DARK), Vec::<String>::new());
    }

    #[test]
    fn a_paler_text_would_be_noticed() {
        let pale = Tokens { ink_3: rgb(0x9AA5A1), ..Tokens::LIGHT };
        assert!(!faults(&pale).is_empty());
    }
}
