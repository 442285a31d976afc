//! A QR code on the screen.

use egui::emath::GuiRounding as _;
use egui::{Mesh, Painter, Rect, Shape, Vec2, pos2, vec2};

use crate::look::Tokens;

/// Light modules around a code on every side (ISO/IEC 18004, quiet zone of a QR code).
pub const QUIET: usize = 4;

/// Draws a code of `side` × `side` modules, row by row from the top left, true where dark, as large as `rect` takes
/// it with whole pixels a module. It is dark on light in both appearances, since many readers want it so. Answers
/// the square with its quiet zone; none, and nothing drawn, where the modules are no square or a module would be
/// smaller than a pixel.
pub fn qr(painter: &Painter, rect: Rect, modules: &[bool], side: usize) -> Option<Rect> {
    if side == 0 || side.checked_mul(side) != Some(modules.len()) {
        return None;
    }
    let per_point = painter.pixels_per_point();
    let across = (side + 2 * QUIET) as f32;
    let pixels = (rect.size().min_elem() * per_point / across).floor();
    if pixels < 1.0 {
        return None;
    }
    let module = pixels / per_point;
    let size = Vec2::splat(across * module);
    let square = Rect::from_min_size((rect.center() - 0.5 * size).round_to_pixels(per_point), size);
    // Paper and ink as by day.
    let paper = Tokens::LIGHT;
    let mut mesh = Mesh::default();
    mesh.add_colored_rect(square, paper.raised);
    for (row, line) in modules.chunks(side).enumerate() {
        let y = square.top() + (row + QUIET) as f32 * module;
        let mut column = 0;
        // Neighbours are drawn as one bar: no seam can show between them.
        for run in line.chunk_by(|a, b| a == b) {
            if run.first() == Some(&true) {
                let x = square.left() + (column + QUIET) as f32 * module;
                let bar = Rect::from_min_size(pos2(x, y), vec2(run.len() as f32 * module, module));
                mesh.add_colored_rect(bar, paper.ink);
            }
            column += run.len();
        }
    }
    painter.add(Shape::mesh(mesh));
    Some(square)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;

    #[test]
    fn a_code_has_four_light_modules_around_it_and_whole_pixels() {
        let modules: Vec<bool> = (0..21 * 21).map(|i| i % 3 == 0 || i % 7 == 1).collect();
        let rect = Rect::from_min_size(pos2(10.3, 20.7), vec2(150.0, 130.0));
        let (shapes, square) = drawn(|painter| qr(painter, rect, &modules, 21));
        let square = square.unwrap();
        assert_within(&shapes, rect);
        let module = square.width() / 29.0;
        assert!((module - module.round()).abs() < 1e-4, "one pixel a point here");
        let Some(Shape::Mesh(mesh)) = shapes.first() else { panic!("a mesh") };
        let dark: Vec<_> = mesh.vertices.iter().filter(|v| v.color == Tokens::LIGHT.ink).collect();
        let inner = square.shrink(4.0 * module);
        assert!(!dark.is_empty() && dark.iter().all(|v| inner.expand(1e-3).contains(v.pos)));
        assert!(dark.iter().all(|v| (v.pos.x - v.pos.x.round()).abs() < 1e-3), "on the pixel grid");
        // The dark area is the number of dark modules.
        let bars = mesh.vertices.chunks(4).skip(1).map(|bar| {
            let (a, b) = (bar[0].pos, bar[3].pos);
            ((b.x - a.x) * (b.y - a.y)).abs()
        });
        let dark_modules = modules.iter().filter(|dark| **dark).count() as f32;
        assert!((bars.sum::<f32>() / (module * module) - dark_modules).abs() < 1e-2);
    }

    #[test]
    fn a_code_that_cannot_be_read_is_not_drawn() {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(100.0, 100.0));
        let (shapes, answers) = drawn(|painter| {
            let tight = Rect::from_min_size(rect.min, vec2(20.0, 20.0));
            [
                qr(painter, rect, &[true; 20], 5),
                qr(painter, rect, &[], 0),
                qr(painter, tight, &[true; 441], 21),
            ]
        });
        assert_eq!(answers, [None; 3]);
        assert!(shapes.is_empty());
    }
}
