//! What lies in a stone, drawn by its kind: strands, petals, grains, threads. The same kind is always drawn alike.

use craft::fact::Material;
use craft::units::Length;
use egui::{Color32, Pos2, Shape, Stroke, Vec2, pos2, vec2};

use super::paths::{curve, filled, shade};
use super::section::Section;

/// A usual shade of each kind, for drawings: the colour of the client's own is not recorded.
pub(super) const fn usual_shade(material: Material) -> Color32 {
    shade(match material {
        Material::Hair => (107, 70, 45),
        Material::Fur => (122, 92, 62),
        Material::Ashes => (128, 124, 118),
        Material::Petals => (168, 98, 110),
        Material::Milk => (190, 172, 136),
        Material::Cloth => (92, 108, 128),
        Material::Earth => (112, 86, 62),
        Material::Feather => (136, 128, 122),
        Material::Other => (118, 112, 106),
    })
}

/// The material within the layer between two depths; every point of it lies inside.
pub(super) fn within(section: &Section<'_>, span: (Length, Length), material: Material) -> Vec<Shape> {
    let bed = Bed::of(section, span);
    if bed.size.y < 3.0 {
        // Too thin to show anything in.
        return Vec::new();
    }
    let colour = usual_shade(material);
    match material {
        Material::Hair => lock(&bed, Stroke::new(bed.pen, colour)),
        Material::Fur => tufts(&bed, Stroke::new(0.85 * bed.pen, colour)),
        Material::Petals | Material::Feather => petals(&bed, colour),
        Material::Cloth | Material::Other => threads(&bed, Stroke::new(bed.pen, colour)),
        Material::Ashes | Material::Milk | Material::Earth => grains(&bed, colour),
    }
}

/// The part of a layer that is drawn in: `at(0, 0)` is its top left, `at(1, 1)` its bottom right.
struct Bed<'a> {
    section: &'a Section<'a>,
    from: Length,
    to: Length,
    left_top: Pos2,
    size: Vec2,
    pen: f32,
}

impl<'a> Bed<'a> {
    fn of(section: &'a Section<'a>, (from, to): (Length, Length)) -> Self {
        let thick = section.y(from) - section.y(to);
        let pen = (section.body.width() / 110.0).clamp(1.0, 2.5);
        // As wide as the layer is a third above its floor, so that little of it meets the wall.
        let half = section.half(section.depth_at(section.y(from) - 0.4 * thick));
        let reach = 0.55 * half;
        let left_top = pos2(section.apex.x - reach, section.y(to) + (0.14 * thick).max(pen));
        Self { section, from, to, left_top, size: vec2(2.0 * reach, 0.62 * thick), pen }
    }

    /// A point of the bed, brought inside the walls where it would leave them.
    fn at(&self, x: f32, y: f32) -> Pos2 {
        self.inside(self.left_top + vec2(x, y) * self.size)
    }

    fn inside(&self, point: Pos2) -> Pos2 {
        let (high, low) = (self.section.y(self.to) + self.pen, self.section.y(self.from) - self.pen);
        let y = point.y.clamp(high.min(low), low.max(high));
        let room = (self.section.half(self.section.depth_at(y)) - self.pen).max(0.0);
        let centre = self.section.apex.x;
        pos2(point.x.clamp(centre - room, centre + room), y)
    }

    fn strand(&self, points: [(f32, f32); 4]) -> Vec<Pos2> {
        let corners = points.map(|(x, y)| self.left_top + vec2(x, y) * self.size);
        curve(corners).into_iter().map(|point| self.inside(point)).collect()
    }
}

/// A lock: strands side by side that run together at one end.
fn lock(bed: &Bed<'_>, pen: Stroke) -> Vec<Shape> {
    (0..5_u8)
        .map(|i| {
            // Each lies within the one before, about the place where they are held together.
            let nearer = |x: f32, y: f32| {
                let part = 1.0 - 0.13 * f32::from(i);
                (0.66 + (x - 0.66) * part, 0.22 + (y - 0.22) * part)
            };
            let points = [nearer(0.0, 0.4), nearer(0.26, 1.2), nearer(0.62, 1.0), nearer(1.0, 0.02)];
            Shape::line(bed.strand(points), pen)
        })
        .collect()
}

/// Short hairs, all lying one way.
fn tufts(bed: &Bed<'_>, pen: Stroke) -> Vec<Shape> {
    (0..11_u8)
        .map(|i| {
            let x = 0.08 * f32::from(i);
            let y = 0.24 * f32::from(i * 7 % 4);
            let points = [(x, 0.3 + y), (x + 0.05, 0.02 + y), (x + 0.12, y - 0.06), (x + 0.2, 0.1 + y)];
            Shape::line(bed.strand(points), pen)
        })
        .collect()
}

/// Three petals that overlap.
fn petals(bed: &Bed<'_>, colour: Color32) -> Vec<Shape> {
    let length = (0.5 * bed.size.x).min(2.2 * bed.size.y);
    let petal = |(x, y, turn): (f32, f32, f32)| {
        let centre = bed.left_top + vec2(x, y) * bed.size;
        let along = Vec2::angled(turn) * 0.5 * length;
        let across = along.rot90() * 0.62;
        let (tip, base) = (centre + along, centre - along);
        let side = |sign: f32| {
            curve([base, base + along * 0.3 + across * sign, tip - along * 0.2 + across * sign, tip])
        };
        let mut points = side(1.0);
        points.extend(side(-1.0).into_iter().rev());
        points.dedup();
        let points = points.into_iter().map(|point| bed.inside(point)).collect();
        // The overlap is seen: petals are thin.
        filled(points, colour.gamma_multiply(0.72), Stroke::new(0.6 * bed.pen, colour))
    };
    [(0.24, 0.55, 0.35), (0.54, 0.4, -0.3), (0.8, 0.6, 0.2)].map(petal).to_vec()
}

/// Short straight threads, some across the others.
fn threads(bed: &Bed<'_>, pen: Stroke) -> Vec<Shape> {
    (0..9_u8)
        .map(|i| {
            let (x, y) = (0.105 * f32::from(i), 0.2 + 0.2 * f32::from(i * 5 % 4));
            let rise = if i % 3 == 1 { 0.3 } else { -0.22 };
            Shape::line_segment([bed.at(x, y), bed.at(x + 0.16, y + rise)], pen)
        })
        .collect()
}

/// Grains, spread evenly and without a pattern: steps of the plastic number's inverse and its square.
fn grains(bed: &Bed<'_>, colour: Color32) -> Vec<Shape> {
    (1..=34_u8)
        .map(|i| {
            let i = f32::from(i);
            let (x, y) = ((i * 0.754_877_7).fract(), (i * 0.569_840_3).fract());
            let radius = bed.pen * (0.55 + 0.5 * (i * 0.618_034).fract());
            Shape::circle_filled(bed.at(1.3 * x - 0.15, 0.1 + 0.95 * y), radius, colour)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::geometry::{Cavity, Dome, Outline};
    use egui::Rect;

    #[test]
    fn every_kind_lies_within_its_layer_and_is_drawn_alike_each_time() {
        let outline = Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) };
        let kinds = [
            Material::Hair,
            Material::Fur,
            Material::Ashes,
            Material::Petals,
            Material::Milk,
            Material::Cloth,
            Material::Earth,
            Material::Feather,
            Material::Other,
        ];
        for (dome, height) in [(Dome::HalfEllipse, 2.5), (Dome::Parabola, 3.0), (Dome::Flat, 0.0)] {
            let cavity =
                Cavity::new(outline.clone(), dome, Length::from_mm(height), Length::from_mm(1.5)).unwrap();
            let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(124.0, 92.0));
            let section = Section::placed(&cavity, rect, 1.0);
            let span = (Length::from_mm(0.3), Length::from_mm(1.3));
            for kind in kinds {
                let shapes = within(&section, span, kind);
                assert!(shapes.len() >= 3);
                assert_eq!(shapes, within(&section, span, kind));
                for shape in shapes {
                    let points = match shape {
                        Shape::Path(path) => path.points,
                        Shape::LineSegment { points, .. } => points.to_vec(),
                        Shape::Circle(circle) => vec![circle.center],
                        other => panic!("{other:?}"),
                    };
                    for point in points {
                        let half = section.half(section.depth_at(point.y));
                        let inside = (point.x - section.apex.x).abs() <= half
                            && (section.y(span.1)..=section.y(span.0)).contains(&point.y);
                        assert!(inside, "{kind:?} in {dome:?}: {point:?}");
                    }
                }
            }
        }
    }
}
