//! Full hardness: what all the light from both sides adds up to. Advice, never a limit.

use super::outcome::Plan;
use super::problem::Caution;
use crate::cure::{Factor, Light};
use crate::units::{Length, Span};

/// A point of a stone is called fully hard from so many times the light that first sets it, at the best guess: a
/// first-order approach to full set is then at half of it or more (common practice, no source).
pub const FULLY_HARD: Factor = Factor::known(5.0);

/// Where a stone gets least light, all presses from both sides together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FullHardness {
    /// The least light anywhere, as a multiple of what first sets the resin, at the best guess.
    pub least: Factor,
    /// How far from the face that is.
    pub from_face: Length,
    /// What the very face has got: it lies against silicone, which lets oxygen through, and there light counts most.
    pub at_face: Factor,
    /// How long the stone is to be lit face-up after taking it out so that every point is fully hard, in seconds of
    /// full power and beyond what was counted; `None` where it is already.
    pub face_up: Option<Span>,
}

impl FullHardness {
    /// Whether every point is fully hard.
    pub fn is_enough(&self) -> bool {
        self.face_up.is_none()
    }
}

/// One point inside a stone.
struct Point {
    from_face_mm: f64,
    /// Light from behind, all presses together.
    behind: f64,
    /// Optical depth up to the face.
    to_face: f64,
}

impl Plan {
    /// What the light adds up to, with `face_up` after taking the stone out where that is planned: layers laid later
    /// are lit through, and light each other less the deeper they lie. `None` for a plan without layers.
    pub fn full_hardness(&self, face_up: Option<&Light>) -> Option<FullHardness> {
        let points = self.points();
        let from_front = face_up.map_or(0.0, Light::dose_ratio);
        let light = |point: &Point| point.behind + from_front * (-point.to_face).exp();
        let least = points.iter().min_by(|a, b| light(a).total_cmp(&light(b)))?;
        let wanted = FULLY_HARD.get();
        // Each point says how much more has to fall on the face for it; the most of these does for all.
        let missing = points.iter().map(|point| (wanted - light(point)) * point.to_face.exp());
        let missing = missing.fold(0.0, f64::max);
        let first_set = face_up.or(self.lights.first()).map_or(1.0, |light| light.first_set().s());
        let hour_s = 3_600.0;
        let factor = |value: f64| Factor::new(value.min(Factor::MOST)).ok();
        Some(FullHardness {
            least: factor(light(least))?,
            from_face: Length::from_mm(least.from_face_mm),
            at_face: factor(points.first().map_or(0.0, light))?,
            face_up: (missing > 1e-9).then(|| Span::from_s((missing * first_set).min(hour_s))),
        })
    }

    /// Nine points of each layer, its two faces among them. Between them the light is a sum of two exponentials that
    /// bends upwards, so its least value lies within a ninth of a layer of one of these.
    fn points(&self) -> Vec<Point> {
        let optics = self.optics();
        let mut points = Vec::new();
        let (mut face_mm, mut face_depth) = (0.0, 0.0);
        for (place, layer) in optics.iter().enumerate() {
            let per_mm = layer.depth() / layer.thickness_mm;
            for ninth in 0..=8 {
                let inside_mm = layer.thickness_mm * f64::from(ninth) / 8.0;
                let mut above = layer.depth() - inside_mm * per_mm;
                let mut behind = layer.dose * (-above).exp();
                for later in optics.iter().skip(place + 1) {
                    above += later.depth();
                    behind += later.dose * (-above).exp();
                }
                // Under a sheet nothing of it counts, wherever in the first layer the sheet came to lie.
                if place == 0 && self.caution == Some(Caution::FaceUp) {
                    behind = 0.0;
                }
                points.push(Point {
                    from_face_mm: face_mm + inside_mm,
                    behind,
                    to_face: face_depth + inside_mm * per_mm,
                });
            }
            face_mm += layer.thickness_mm;
            face_depth += layer.depth();
        }
        points
    }
}
