//! The stone in the opening of its setting, and in which order the wall is pressed down.

use craft::fact::Dimension;
use craft::fit::{PressPlaces, press_order};
use craft::geometry::Outline;
use egui::{Align2, Color32, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, pos2, vec2};
use workbench::fitting::{self, FitStep};
use workbench::present::stone_words;

use crate::cx::Cx;
use crate::draw::stone::{StonePicture, fit, rim, size_mm, stone};
use crate::look::{Face, Tokens};

/// The room for the picture.
const ROOM: Vec2 = vec2(380.0, 240.0);
/// The room around it for the numbers.
const AROUND: f32 = 30.0;
/// How far the numbers stand off the wall.
const OFF: f32 = 18.0;

pub(super) fn ui(ui: &mut Ui, cx: &Cx<'_>, no: u8, step: FitStep) {
    let tokens = Tokens::of(ui);
    let Some(sheet) = cx.held.order.sheet.stone(no) else { return };
    let Ok(cavity) = cx.view.studio.cavity_of(sheet) else { return };
    let opening = fitting::setting(cx.view.studio, cx.held).map(|setting| setting.opening.clone());
    let outline = measured(cx, no, &cavity.outline());
    let size = vec2(ui.available_width().min(ROOM.x), ROOM.y);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let inner = rect.shrink(AROUND);
    let per_mm = fit([Some(&outline), opening.as_ref()], inner.size());
    let picture = StonePicture {
        outline: Some(outline),
        colour: stone_words::colour(cx.view.studio, sheet),
        begun: true,
        chosen: false,
    };
    stone(ui.painter(), tokens, rect.center(), per_mm, &picture);
    let Some(opening) = opening else { return };
    let half = 0.5 * size_mm(&opening) * per_mm;
    ui.painter()
        .add(Shape::closed_line(rim(rect.center(), &opening, per_mm), Stroke::new(1.5, tokens.ink_2)));
    if matches!(step, FitStep::Sits) {
        presses(ui.painter(), tokens, rect, half);
    }
}

/// The stone as measured, where it was; else as its mould is.
fn measured(cx: &Cx<'_>, no: u8, mould: &Outline) -> Outline {
    let read = |what| fitting::measured(cx.held, no, what).map(|reading| reading.value);
    let (length, width) = if let Outline::Round { diameter } = mould {
        let one = read(Dimension::Length).or(read(Dimension::Width)).unwrap_or(*diameter);
        (one, one)
    } else {
        let length = read(Dimension::Length).unwrap_or(mould.length());
        let width = read(Dimension::Width).unwrap_or(mould.width());
        // A stone measured the other way round is still drawn.
        (length.max(width), length.min(width))
    };
    mould.resized(length, width).unwrap_or_else(|_| mould.clone())
}

fn on(centre: Pos2, half: Vec2, turn: f32) -> Pos2 {
    let (sin, cos) = (turn * std::f32::consts::TAU).sin_cos();
    pos2(centre.x + half.x * cos, centre.y + half.y * sin)
}

/// The order of the presses as numbers around the wall. The length lies, so the top of the list is at the right.
fn presses(painter: &Painter, tokens: &Tokens, rect: Rect, half: Vec2) {
    for (place, number) in press_order(PressPlaces::Eight).into_iter().zip(1_u8..) {
        let turn = f32::from(place.sixteenth) / 16.0;
        let at = on(rect.center(), half + Vec2::splat(OFF), turn);
        painter.circle(at, 10.0, Color32::TRANSPARENT, tokens.hairline());
        let font = Face::Second.font();
        painter.text(at, Align2::CENTER_CENTER, number.to_string(), font, tokens.ink);
    }
}
