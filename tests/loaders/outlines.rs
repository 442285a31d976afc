//! Closed paths drawn as SVG, which stand in moulds and settings.

use craft::geometry::{Outline, Trace};
use craft::units::Length;

use super::{Law, holds, says_something};

/// A path is refused in words, or is an outline whose sizes are sound, and which reads back as it was written.
pub(super) fn outline(bytes: &[u8]) -> Law {
    let text = &*String::from_utf8_lossy(bytes);
    let trace = match text.parse::<Trace>() {
        Ok(trace) => trace,
        Err(why) => return says_something(&why.to_string()),
    };
    let back = trace.as_str().parse::<Trace>();
    holds(back.as_ref() == Ok(&trace), || format!("{:?} reads back as {back:?}", trace.as_str()))?;
    let outline = Outline::Traced(trace);
    if let Err(why) = outline.check() {
        return says_something(&why.to_string());
    }
    let (length, width) = (outline.length().mm(), outline.width().mm());
    let sound = (0.5..=100.0).contains(&width) && (width..=100.001).contains(&length);
    holds(sound, || format!("{length} mm by {width} mm"))?;
    let area = outline.area().mm2();
    // A rounding apart, no line encloses more than the rectangle round it.
    holds(area > 0.0 && area <= length * width * 1.000_001 + 1e-6, || {
        format!("{area} mm² within {length} mm by {width} mm")
    })?;
    let corners = outline.corners_mm(Length::from_mm(0.02));
    let within = |[x, y]: &[f64; 2]| x.abs() <= 0.5 * length + 1e-3 && y.abs() <= 0.5 * width + 1e-3;
    holds(corners.len() >= 2 && corners.iter().all(within), || {
        format!("{} corners, not all within", corners.len())
    })?;
    let around = outline.perimeter(Length::from_mm(0.02)).mm();
    holds(around.is_finite() && around >= 2.0 * length * 0.99, || {
        format!("{around} mm round, {length} mm long")
    })
}
