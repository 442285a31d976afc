//! A renderer without a graphics card: paints egui's triangles into a picture, pixel by pixel.
//!
//! Colours are blended as egui's own renderers do it: premultiplied, in gamma space. The same picture comes out on
//! every machine.

use std::collections::BTreeMap;

use egui::epaint::textures::TexturesDelta;
use egui::epaint::{ClippedPrimitive, Primitive, Vertex};
use egui::{Color32, ColorImage, Context, FullOutput, ImageData, Mesh, Pos2, Rect, TextureId};
use egui_kittest::TestRenderer;
use image::{Rgba, RgbaImage};

/// Keeps textures from frame to frame and paints one frame at a time.
#[derive(Debug, Default)]
pub(crate) struct Raster {
    textures: BTreeMap<Key, ColorImage>,
}

/// A texture's name, in an order.
type Key = (bool, u64);

const fn key(id: TextureId) -> Key {
    match id {
        TextureId::Managed(no) => (false, no),
        TextureId::User(no) => (true, no),
    }
}

impl TestRenderer for Raster {
    #[expect(clippy::iter_over_hash_type, reason = "each texture is its own: their order changes nothing")]
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, patches) in &delta.set {
            for patch in patches {
                let ImageData::Color(image) = &patch.image;
                match patch.pos {
                    None => {
                        self.textures.insert(key(*id), ColorImage::clone(image));
                    }
                    Some([left, top]) => {
                        let Some(whole) = self.textures.get_mut(&key(*id)) else { continue };
                        for (y, row) in image.pixels.chunks(image.width()).enumerate() {
                            let start = (top + y) * whole.width() + left;
                            whole.pixels[start..start + row.len()].copy_from_slice(row);
                        }
                    }
                }
            }
        }
        for id in &delta.free {
            self.textures.remove(&key(*id));
        }
        delta.clear();
    }

    fn render(&mut self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let per_point = output.pixels_per_point;
        let size = ctx.content_rect().size() * per_point;
        let (width, height) = (whole(size.x.round()), whole(size.y.round()));
        let primitives = ctx.tessellate(output.shapes.clone(), per_point);
        Ok(self.paint(&primitives, [width, height], per_point))
    }
}

impl Raster {
    /// Paints a frame on black.
    fn paint(&self, primitives: &[ClippedPrimitive], [width, height]: [u32; 2], per_point: f32) -> RgbaImage {
        let mut picture = RgbaImage::from_pixel(width, height, Rgba([0, 0, 0, 255]));
        for ClippedPrimitive { clip_rect, primitive } in primitives {
            let Primitive::Mesh(mesh) = primitive else { continue };
            let Some(texture) = self.textures.get(&key(mesh.texture_id)) else { continue };
            let clip = Rect::from_min_max(
                (clip_rect.min.to_vec2() * per_point).round().to_pos2(),
                (clip_rect.max.to_vec2() * per_point).round().to_pos2(),
            );
            paint_mesh(&mut picture, mesh, texture, clip, per_point);
        }
        picture
    }
}

fn paint_mesh(picture: &mut RgbaImage, mesh: &Mesh, texture: &ColorImage, clip: Rect, per_point: f32) {
    for corners in mesh.triangles() {
        let mut corners = corners.map(|i| mesh.vertices[i as usize]);
        for corner in &mut corners {
            corner.pos = (corner.pos.to_vec2() * per_point).to_pos2();
        }
        // One way round for all, so that an edge shared by two triangles is given to one of them only.
        if turn(corners[0].pos, corners[1].pos, corners[2].pos) < 0.0 {
            corners.swap(1, 2);
        }
        paint_triangle(picture, &corners, texture, clip);
    }
}

/// Twice the area of a triangle, with its way round as the sign.
fn turn(a: Pos2, b: Pos2, c: Pos2) -> f64 {
    let [ax, ay, bx, by, cx, cy] = [a.x, a.y, b.x, b.y, c.x, c.y].map(f64::from);
    (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
}

#[expect(clippy::float_cmp, reason = "neighbours share an edge to the last digit, or it is not shared")]
fn paint_triangle(picture: &mut RgbaImage, [a, b, c]: &[Vertex; 3], texture: &ColorImage, clip: Rect) {
    let area = turn(a.pos, b.pos, c.pos);
    if area == 0.0 {
        return;
    }
    let sheet = Rect::from_min_size(Pos2::ZERO, egui::vec2(picture.width() as f32, picture.height() as f32));
    let reach = Rect::from_points(&[a.pos, b.pos, c.pos]).intersect(clip).intersect(sheet);
    // A pixel belongs to the triangle when its centre lies inside; on an edge, when that is a top or left edge.
    let takes = |from: Pos2, to: Pos2| to.y < from.y || (to.y == from.y && to.x > from.x);
    let edges = [(b.pos, c.pos), (c.pos, a.pos), (a.pos, b.pos)];
    for y in whole(reach.top())..whole(reach.bottom().ceil()) {
        for x in whole(reach.left())..whole(reach.right().ceil()) {
            let centre = Pos2::new(x as f32 + 0.5, y as f32 + 0.5);
            let sides = edges.map(|(from, to)| turn(from, to, centre));
            let inside = edges
                .iter()
                .zip(sides)
                .all(|((from, to), side)| side > 0.0 || (side == 0.0 && takes(*from, *to)));
            if inside && clip.contains(centre) {
                let parts = sides.map(|side| short(side / area));
                let mix = |of: fn(&Vertex) -> f32| of(a) * parts[0] + of(b) * parts[1] + of(c) * parts[2];
                let texel = sample(texture, mix(|v| v.uv.x), mix(|v| v.uv.y));
                let colour = [
                    mix(|v| f32::from(v.color.r())),
                    mix(|v| f32::from(v.color.g())),
                    mix(|v| f32::from(v.color.b())),
                    mix(|v| f32::from(v.color.a())),
                ];
                blend(picture.get_pixel_mut(x, y), std::array::from_fn(|i| colour[i] * texel[i]));
            }
        }
    }
}

/// A number with the digits a colour needs.
#[expect(clippy::cast_possible_truncation, reason = "a colour has three digits")]
fn short(value: f64) -> f32 {
    value as f32
}

/// The whole part of a number; 0 where it is below.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast from a float stops at the ends"
)]
fn whole(value: f32) -> u32 {
    value.floor() as u32
}

/// A premultiplied colour, 0–255 each, over a pixel.
fn blend(pixel: &mut Rgba<u8>, over: [f32; 4]) {
    let rest = 1.0 - over[3] / 255.0;
    for (under, over) in pixel.0.iter_mut().zip(over) {
        *under = u8::try_from(whole((over + f32::from(*under) * rest).round())).unwrap_or(u8::MAX);
    }
}

/// A texture's colour between its four nearest texels, 0–1 each.
fn sample(texture: &ColorImage, u: f32, v: f32) -> [f32; 4] {
    let [width, height] = texture.size;
    let at = |size: usize, t: f32| {
        let place = (t * size as f32 - 0.5).clamp(0.0, size as f32 - 1.0);
        let low = whole(place) as usize;
        (low, (low + 1).min(size - 1), place.fract())
    };
    let ((left, right, x), (top, bottom, y)) = (at(width, u), at(height, v));
    let texel = |x: usize, y: usize| -> Color32 { texture.pixels[y * width + x] };
    let corners = [texel(left, top), texel(right, top), texel(left, bottom), texel(right, bottom)];
    let shares = [(1.0 - x) * (1.0 - y), x * (1.0 - y), (1.0 - x) * y, x * y];
    let mix = |channel: usize| {
        corners.iter().zip(shares).map(|(c, share)| f32::from(c.to_array()[channel]) * share).sum::<f32>()
            / 255.0
    };
    std::array::from_fn(mix)
}
