//! A sheet to draw on without a window.

use egui::{Context, Painter, RawInput, Rect, Shape, pos2, vec2};

use crate::look;

/// What a drawing left on the sheet, and what it answered.
pub(super) fn drawn<R>(draw: impl Fn(&Painter) -> R) -> (Vec<Shape>, R) {
    let ctx = Context::default();
    look::dress(&ctx);
    let input = RawInput {
        screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(900.0, 700.0))),
        ..RawInput::default()
    };
    let mut answer = None;
    let output = ctx.run_ui(input, |ui| {
        let painter = ui.painter().clone();
        answer = Some(draw(&painter));
    });
    let shapes =
        output.shapes.iter().map(|clipped| clipped.shape.clone()).filter(|shape| *shape != Shape::Noop);
    let shapes = shapes.collect();
    output.drop_without_applying_deltas();
    (shapes, answer.expect("it was drawn"))
}

/// Where all shapes lie together.
pub(super) fn bounds(shapes: &[Shape]) -> Rect {
    shapes.iter().fold(Rect::NOTHING, |all, shape| all.union(shape.visual_bounding_rect()))
}

/// Fails where a shape leaves its rectangle by more than the half pixel an edge is softened by.
pub(super) fn assert_within(shapes: &[Shape], rect: Rect) {
    assert!(!shapes.is_empty(), "nothing was drawn");
    for shape in shapes {
        let reach = shape.visual_bounding_rect();
        assert!(rect.expand(0.51).contains_rect(reach), "{reach:?} leaves {rect:?}: {shape:?}");
    }
}

/// A number with the digits of a picture.
#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
pub(super) const fn short(value: f64) -> f32 {
    value as f32
}
