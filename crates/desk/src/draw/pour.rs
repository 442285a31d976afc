//! The pouring card's picture: a mould cut open, filled up to one pour.

use craft::fact::{LayerKind, Material};
use craft::geometry::Cavity;
use craft::units::Length;
use egui::{Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use super::material;
use super::paths::{dashes, line_on, ribbon, shade};
use super::section::{Section, size_within};
use crate::look::{Tokens, space};

/// How thick the fill-to-here mark is, in points.
const MARK: f32 = 1.5;

/// A layer as it is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerFill {
    /// Where its surface stands above the apex; a layer below the one before it is not seen.
    pub top: Length,
    /// Its colour, from [`layer_colour`].
    pub colour: Color32,
}

/// A mould filled up to one pour.
#[derive(Clone, Copy, Debug)]
pub struct PourPicture<'a> {
    /// The cavity.
    pub cavity: &'a Cavity,
    /// The layers from the face up to this pour.
    pub layers: &'a [LayerFill],
    /// The layer that this pour adds, counted from 0: it is outlined.
    pub newest: Option<usize>,
    /// What lies in the first layer.
    pub material: Option<Material>,
    /// Whether a dashed line says "fill to here" at the top of the newest layer.
    pub mark: bool,
}

/// The colour of a layer. Clear kinds are resin; a tint is deeper the more pigment there is; an opaque layer is its
/// pigment. `depth` is the load as a part of the highest planned with, 0–1.
pub fn layer_colour(tokens: &Tokens, kind: LayerKind, pigment: Option<(u8, u8, u8)>, depth: f32) -> Color32 {
    let Some(pigment) = pigment.map(shade) else { return tokens.resin };
    match kind {
        LayerKind::Opaque => pigment,
        LayerKind::Tinted => tokens.resin.lerp_to_gamma(pigment, 0.3 + 0.6 * depth.clamp(0.0, 1.0)),
        LayerKind::Swirled => tokens.resin.lerp_to_gamma(pigment, 0.15 + 0.4 * depth.clamp(0.0, 1.0)),
        LayerKind::Material
        | LayerKind::Clear
        | LayerKind::BackCoat
        | LayerKind::TopGloss
        | LayerKind::TopSatin => tokens.resin,
    }
}

/// The size the picture of a cavity has when it may take `room`: for laying out a row of cards.
pub fn size(cavity: &Cavity, room: Vec2) -> Vec2 {
    size_within(cavity, room)
}

/// Draws a mould filled up to one pour at the bottom left of `rect`, the face down, and answers where its body
/// stands. Widths and the form of the dome are true; heights may be drawn up to 2¼ times larger. The same function
/// draws the small card and the large picture beside the lamp.
pub fn pour(painter: &Painter, tokens: &Tokens, rect: Rect, picture: &PourPicture<'_>) -> Rect {
    let per_point = painter.pixels_per_point();
    let section = Section::placed(picture.cavity, rect, per_point);
    let soft = 1.0 / per_point;
    let rim = picture.cavity.depth();
    let spans = spans(picture.layers, rim);
    let top = spans.last().map_or(Length::ZERO, |span| span.to);

    let mut mesh = Mesh::default();
    body(&mut mesh, &section, tokens.line, (top, rim), soft);
    for span in &spans {
        layer(&mut mesh, &section, span, soft);
    }
    if let Some(last) = spans.last() {
        surface(&mut mesh, &section, last, soft);
    }
    painter.add(Shape::mesh(mesh));

    if let (Some(material), Some(first)) = (picture.material, spans.first()) {
        painter.extend(material::within(&section, (first.from, first.to), material));
    }
    lines(painter, tokens, &section, &spans, picture);
    section.body
}

/// One layer between two depths.
struct Span {
    idx: usize,
    from: Length,
    to: Length,
    colour: Color32,
}

fn spans(layers: &[LayerFill], rim: Length) -> Vec<Span> {
    let mut below = Length::ZERO;
    let mut spans = Vec::with_capacity(layers.len());
    for (idx, layer) in layers.iter().enumerate() {
        let to = layer.top.min(rim);
        if to > below {
            spans.push(Span { idx, from: below, to, colour: layer.colour });
            below = to;
        }
    }
    spans
}

/// The mould: whole under the filling, and on both sides of the open cavity above it.
fn body(mesh: &mut Mesh, section: &Section<'_>, colour: Color32, (top, rim): (Length, Length), soft: f32) {
    // The body goes on for a pixel above the surface's wall, so that no light shows between the two.
    let start = section.depth_at(section.y(top) + soft).min(top);
    let y = if top == Length::ZERO { section.apex.y } else { section.y(start) };
    mesh.add_colored_rect(Rect::from_min_max(pos2(section.body.left(), y), section.body.max), colour);
    let depths = section.depths(start, rim);
    let last = depths.len().saturating_sub(1);
    let (mut back, mut solid, mut clear) = (Vec::new(), Vec::new(), Vec::new());
    for (i, depth) in depths.into_iter().enumerate() {
        let edge = pos2(section.apex.x + section.half(depth), section.y(depth));
        // The ends are cut level.
        let out = if i == 0 || i == last { vec2(1.0, 0.0) } else { section.outward(depth) };
        let inner = edge + 0.5 * soft * out;
        let inner = pos2(inner.x.min(section.body.right()), inner.y.min(y));
        back.push((pos2(section.body.right(), inner.y), colour));
        solid.push((inner, colour));
        clear.push((edge - 0.5 * soft * out, Color32::TRANSPARENT));
    }
    both_sides(mesh, section, &back, &solid);
    both_sides(mesh, section, &solid, &clear);
}

/// One layer between its walls, softened along them.
fn layer(mesh: &mut Mesh, section: &Section<'_>, span: &Span, soft: f32) {
    let (mut middle, mut solid, mut clear) = (Vec::new(), Vec::new(), Vec::new());
    for depth in section.depths(span.from, span.to) {
        let edge = pos2(section.apex.x + section.half(depth), section.y(depth));
        let out = 0.5 * soft * section.outward(depth);
        // Layers meet at their true height; only the apex is softened downwards.
        let out = if depth == Length::ZERO { out } else { vec2(out.length(), 0.0) * out.x.signum() };
        let inner = pos2((edge.x - out.x).max(section.apex.x), edge.y - out.y);
        middle.push((pos2(section.apex.x, inner.y), span.colour));
        solid.push((inner, span.colour));
        clear.push((edge + out, Color32::TRANSPARENT));
    }
    both_sides(mesh, section, &middle, &solid);
    both_sides(mesh, section, &solid, &clear);
}

/// The softened upper edge of the filling.
fn surface(mesh: &mut Mesh, section: &Section<'_>, span: &Span, soft: f32) {
    let (half, y) = (section.half(span.to), section.y(span.to));
    let [left, right] = [section.apex.x - half, section.apex.x + half];
    let line = |y: f32, colour: Color32| [(pos2(left, y), colour), (pos2(right, y), colour)];
    ribbon(mesh, &line(y, span.colour), &line(y - 0.5 * soft, Color32::TRANSPARENT));
}

fn both_sides(mesh: &mut Mesh, section: &Section<'_>, one: &[(Pos2, Color32)], other: &[(Pos2, Color32)]) {
    ribbon(mesh, one, other);
    let mirrored = |line: &[(Pos2, Color32)]| -> Vec<(Pos2, Color32)> {
        line.iter().map(|(point, colour)| (section.mirrored(*point), *colour)).collect()
    };
    ribbon(mesh, &mirrored(one), &mirrored(other));
}

/// The lines: around what was there before, between layers, around the newest, and the mark.
fn lines(
    painter: &Painter,
    tokens: &Tokens,
    section: &Section<'_>,
    spans: &[Span],
    picture: &PourPicture<'_>,
) {
    let Some(last) = spans.last() else { return };
    let newest = spans.iter().find(|span| Some(span.idx) == picture.newest);
    let thin = Stroke::new(1.0, tokens.ink_3.gamma_multiply(0.75));
    painter.add(Shape::line(section.around(Length::ZERO, last.to), thin));
    for span in spans.iter().skip(1) {
        let half = section.half(span.from);
        let reach = section.apex.x - half..=section.apex.x + half;
        painter.add(Shape::hline(reach, section.y(span.from), thin));
    }
    let Some(span) = newest else { return };
    let wide = if section.body.width() > 240.0 { 1.5 } else { 1.25 };
    let ink = Stroke::new(wide, tokens.ink);
    let mut left = section.around(span.from, span.to);
    if span.from == Length::ZERO {
        left.dedup();
    } else {
        let right = left.split_off(left.len() / 2);
        painter.add(Shape::line(right, ink));
        // The floor is seen between two fills, where ink may not show.
        let half = section.half(span.from) + 0.5 * wide;
        let floor = Stroke::new(wide, line_on(tokens, span.colour));
        painter.hline(section.apex.x - half..=section.apex.x + half, section.y(span.from), floor);
    }
    painter.add(Shape::line(left, ink));
    let (half, y) = (section.half(span.to), section.y(span.to));
    let ends = |half: f32, y: f32| [pos2(section.apex.x - half, y), pos2(section.apex.x + half, y)];
    if picture.mark {
        // The mark stands on the surface: its lower edge is where the filling ends.
        let ends = ends(half + space::STEP, y - 0.5 * MARK);
        painter.extend(dashes(ends, Stroke::new(MARK, tokens.ink), 4.0, 2.0));
    } else {
        painter.line_segment(ends(half, y), ink);
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn, short};
    use super::*;
    use craft::geometry::{Dome, Outline};

    fn cavity(dome: Dome, dome_mm: f64) -> Cavity {
        let outline = Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) };
        Cavity::new(outline, dome, Length::from_mm(dome_mm), Length::from_mm(1.0)).unwrap()
    }

    fn fills(tops: &[f64]) -> Vec<LayerFill> {
        let colour = |i: usize| Tokens::LIGHT.resin.lerp_to_gamma(shade((120, 60, 30)), 0.2 * i as f32);
        tops.iter()
            .enumerate()
            .map(|(i, top)| LayerFill { top: Length::from_mm(*top), colour: colour(i) })
            .collect()
    }

    #[test]
    fn the_picture_stays_within_its_rectangle() {
        let rect = Rect::from_min_size(pos2(30.0, 40.0), vec2(124.0, 92.0));
        for (dome, height) in [(Dome::HalfEllipse, 2.5), (Dome::Parabola, 2.5), (Dome::Flat, 0.0)] {
            let cavity = cavity(dome, height);
            for tops in [vec![], vec![0.4], vec![0.8, 1.0], vec![0.3, 0.6, cavity.depth().mm()], vec![9.0]] {
                let layers = fills(&tops);
                let newest = layers.len().checked_sub(1);
                let picture = PourPicture {
                    cavity: &cavity,
                    layers: &layers,
                    newest,
                    material: Some(Material::Hair),
                    mark: true,
                };
                let (shapes, body) = drawn(|painter| pour(painter, &Tokens::LIGHT, rect, &picture));
                assert_within(&shapes, rect);
                assert!(rect.expand(0.01).contains_rect(body));
            }
        }
    }

    #[test]
    fn the_mark_sticks_out_four_points_beyond_both_walls_at_the_height_of_the_layer() {
        let cavity = cavity(Dome::HalfEllipse, 2.5);
        let layers = fills(&[0.8, 1.4]);
        let rect = Rect::from_min_size(pos2(30.0, 40.0), vec2(124.0, 92.0));
        let picture =
            PourPicture { cavity: &cavity, layers: &layers, newest: Some(1), material: None, mark: true };
        let (shapes, body) = drawn(|painter| pour(painter, &Tokens::LIGHT, rect, &picture));
        let dashes: Vec<[Pos2; 2]> = shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::LineSegment { points, stroke } if (stroke.width - MARK).abs() < 1e-6 => Some(*points),
                _ => None,
            })
            .collect();
        let y = dashes[0][0].y;
        assert!(
            dashes.len() > 8 && dashes.iter().all(|[a, b]| (a.y - y).abs() < 1e-3 && (b.y - y).abs() < 1e-3)
        );
        let (left, right) = (dashes[0][0].x, dashes[dashes.len() - 1][1].x);
        // The section at 1.4 mm, from craft.
        let width_mm = short(cavity.section(Length::from_mm(1.4)).length().mm());
        let per_mm = (body.width() - 16.0) / 10.0;
        assert!((left - (body.center().x - 0.5 * width_mm * per_mm - 4.0)).abs() < 0.05);
        assert!((right - (body.center().x + 0.5 * width_mm * per_mm + 4.0)).abs() < 0.05);
        let apex = body.bottom() - 12.0;
        let up = (apex - body.top()) / 3.5;
        assert!((y + 0.5 * MARK - (apex - 1.4 * up)).abs() < 0.05);
    }

    #[test]
    fn the_layers_cover_the_area_between_their_walls() {
        // Triangles of one colour, added up, against the width craft gives at many heights.
        let cavity = cavity(Dome::CircularArc, 2.5);
        let layers = fills(&[0.5, 1.1, 3.5]);
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(416.0, 320.0));
        let picture =
            PourPicture { cavity: &cavity, layers: &layers, newest: None, material: None, mark: false };
        let (shapes, body) = drawn(|painter| pour(painter, &Tokens::LIGHT, rect, &picture));
        let Some(Shape::Mesh(mesh)) = shapes.first() else { panic!("a mesh") };
        let drawn_area = |colour: Color32| -> f32 {
            let triangles = mesh.triangles().map(|corners| corners.map(|i| mesh.vertices[i as usize]));
            // A softened triangle counts by the corners that bear the colour.
            triangles
                .map(|corners| {
                    let share = corners.iter().filter(|v| v.color == colour).count() as f32 / 3.0;
                    let [a, b, c] = corners.map(|v| v.pos);
                    let (ab, ac) = (b - a, c - a);
                    share * 0.5 * (ab.x * ac.y - ab.y * ac.x).abs()
                })
                .sum()
        };
        let across = (body.width() - 16.0) / 10.0;
        let up = (body.bottom() - 12.0 - body.top()) / 3.5;
        let mut from = 0.0;
        for layer in &layers {
            let to = layer.top.mm();
            let slices = 2000;
            let step = (to - from) / f64::from(slices);
            let area_mm2: f64 = (0..slices)
                .map(|i| {
                    cavity.section(Length::from_mm(from + (f64::from(i) + 0.5) * step)).length().mm() * step
                })
                .sum();
            let wanted = short(area_mm2) * across * up;
            let got = drawn_area(layer.colour);
            assert!((got / wanted - 1.0).abs() < 0.01, "{got} for {wanted}");
            // A radius taken for the diameter would be half of it.
            assert!((got / (0.5 * wanted) - 1.0).abs() > 0.5);
            from = to;
        }
    }

    #[test]
    fn a_tint_deepens_with_its_load_and_an_opaque_layer_is_its_pigment() {
        let tokens = &Tokens::LIGHT;
        let pigment = Some((124, 72, 40));
        let tint = |depth| layer_colour(tokens, LayerKind::Tinted, pigment, depth).intensity();
        assert!(tokens.resin.intensity() > tint(0.1) && tint(0.1) > tint(0.5) && tint(0.5) > tint(1.0));
        assert_eq!(layer_colour(tokens, LayerKind::Opaque, pigment, 0.2), shade((124, 72, 40)));
        assert_eq!(layer_colour(tokens, LayerKind::BackCoat, pigment, 1.0), tokens.resin);
        assert_eq!(layer_colour(tokens, LayerKind::Tinted, None, 1.0), tokens.resin);
    }
}
