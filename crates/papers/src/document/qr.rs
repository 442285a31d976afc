//! The tag as a QR code (ISO/IEC 18004), error correction M, with its quiet zone of four modules.

use qrcode::render::svg;
use qrcode::{EcLevel, QrCode};

use super::DocumentError;

/// The tag's QR as an SVG picture. It holds the tag and nothing else.
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
