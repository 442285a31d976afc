//! A small picture for each kind of thing that has a place.

use std::f32::consts::TAU;

use craft::id::ThingKind;
use egui::{Color32, CornerRadius, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};

use super::paths::{ellipse, filled, shade};
use super::stone::{StonePicture, shape_over, size_mm, stone_in, stone_over};
use crate::look::Tokens;

/// The size the pictures of a row of things are meant for.
pub const SIZE: Vec2 = vec2(46.0, 32.0);

/// What a piece of jewellery looks like from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A ring.
    Ring,
    /// A pendant, or anything else that hangs.
    Pendant,
}

/// A thing as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum ThingPicture {
    /// The client's own wrapping, folded.
    Wrapping,
    /// An envelope of the studio's.
    Envelope {
        /// Something is in it: hatched.
        holds: bool,
        /// It is sealed: a strip of paper over the flap.
        sealed: bool,
    },
    /// A stone.
    Stone(StonePicture),
    /// A bag of offcuts, in the colour of the stones they are from.
    Offcuts(Option<(u8, u8, u8)>),
    /// Something that came along.
    Keepsake,
    /// The finished piece.
    Piece(Form, StonePicture),
}

impl ThingPicture {
    /// What kind of thing it shows.
    pub const fn kind(&self) -> ThingKind {
        match self {
            ThingPicture::Wrapping => ThingKind::Wrapping,
            ThingPicture::Envelope { .. } => ThingKind::Envelope,
            ThingPicture::Stone(_) => ThingKind::Stone,
            ThingPicture::Offcuts(_) => ThingKind::Offcuts,
            ThingPicture::Keepsake => ThingKind::Keepsake,
            ThingPicture::Piece(..) => ThingKind::Piece,
        }
    }
}

/// Draws a thing within `rect`.
pub fn thing(painter: &Painter, tokens: &Tokens, rect: Rect, picture: &ThingPicture) {
    match picture {
        ThingPicture::Wrapping => packet(painter, tokens, centred(rect, 1.4)),
        ThingPicture::Envelope { holds, sealed } => {
            envelope(painter, tokens, centred(rect, 1.5), Contents { hatched: *holds, sealed: *sealed });
        }
        ThingPicture::Stone(stone) => {
            stone_in(painter, tokens, rect, stone);
        }
        ThingPicture::Offcuts(colour) => bag(painter, tokens, centred(rect, 1.1), *colour),
        ThingPicture::Keepsake => sheet(painter, tokens, centred(rect, 0.85)),
        ThingPicture::Piece(form, stone) => piece(painter, tokens, centred(rect, 1.4), *form, stone),
    }
}

/// The largest rectangle of a form (width over height) within another, its lines on whole points.
fn centred(rect: Rect, form: f32) -> Rect {
    let height = (rect.height() - 2.0).min((rect.width() - 2.0) / form).max(1.0);
    Rect::from_center_size(rect.center(), vec2((height * form).round(), height.round()))
}

fn thin(tokens: &Tokens) -> Stroke {
    Stroke::new(1.0, tokens.ink_2)
}

fn paper(painter: &Painter, tokens: &Tokens, rect: Rect) {
    painter.rect(rect, CornerRadius::ZERO, tokens.raised, thin(tokens), StrokeKind::Inside);
}

/// How an envelope is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Contents {
    /// Hatched below the flap.
    pub(super) hatched: bool,
    /// A strip of paper over the flap.
    pub(super) sealed: bool,
}

/// An envelope that fills `rect`.
pub(super) fn envelope(painter: &Painter, tokens: &Tokens, rect: Rect, contents: Contents) {
    paper(painter, tokens, rect);
    let inner = rect.shrink(0.5);
    let tip = pos2(inner.center().x, inner.top() + (0.52 * inner.height()).round());
    if contents.hatched {
        let spacing = (0.085 * rect.width()).clamp(3.5, 6.0);
        painter.extend(below_flap(inner, tip, spacing, Stroke::new(1.0, tokens.ink_3.gamma_multiply(0.7))));
    }
    painter.add(Shape::line(vec![inner.left_top(), tip, inner.right_top()], thin(tokens)));
    if contents.sealed {
        let size = vec2((0.24 * rect.width()).max(6.0), (0.16 * rect.height()).max(4.0)).round();
        let strip = Rect::from_center_size(tip, size);
        painter.rect(strip, CornerRadius::ZERO, tokens.tint, thin(tokens), StrokeKind::Inside);
    }
}

/// Hatching of an envelope's front: everything below the flap.
fn below_flap(rect: Rect, tip: Pos2, spacing: f32, line: Stroke) -> Vec<Shape> {
    let rect = rect.shrink(1.5);
    let flap = |x: f32| tip.y - (tip.y - rect.top()) * (x - tip.x).abs() / (0.5 * rect.width()) + 2.5;
    let mut shapes = Vec::new();
    let mut sum = rect.left() + rect.top() + spacing;
    while sum < rect.right() + rect.bottom() {
        let (from, to) = ((sum - rect.bottom()).max(rect.left()), (sum - rect.top()).min(rect.right()));
        // On each side of the tip both the line and the flap are straight: they meet at most once.
        let below = |x: f32| sum - x - flap(x);
        let left = part_above_nothing(from, to.min(tip.x), below);
        let right = part_above_nothing(from.max(tip.x), to, below);
        let parts = match (left, right) {
            // One line, where the flap does not part it.
            (Some((a, b)), Some((c, d))) if c - b < 0.01 => [Some((a, d)), None],
            parts => parts.into(),
        };
        let line = |(a, b): (f32, f32)| Shape::line_segment([pos2(a, sum - a), pos2(b, sum - b)], line);
        shapes.extend(parts.into_iter().flatten().map(line));
        sum += spacing;
    }
    shapes
}

/// The part of `from..to` where a straight function is above nothing.
fn part_above_nothing(from: f32, to: f32, of: impl Fn(f32) -> f32) -> Option<(f32, f32)> {
    if from >= to {
        return None;
    }
    let (first, last) = (of(from), of(to));
    let meet = from + (to - from) * first / (first - last);
    match (first > 0.0, last > 0.0) {
        (true, true) => Some((from, to)),
        (true, false) => Some((from, meet)),
        (false, true) => Some((meet, to)),
        (false, false) => None,
    }
}

/// A packet folded of paper: the ends turned in under a fold.
pub(super) fn packet(painter: &Painter, tokens: &Tokens, rect: Rect) {
    paper(painter, tokens, rect);
    let inner = rect.shrink(0.5);
    let fold = inner.top() + (0.36 * inner.height()).round();
    let turned = (0.22 * inner.width()).round();
    let line = |points: Vec<Pos2>| painter.add(Shape::line(points, thin(tokens)));
    line(vec![
        inner.left_top(),
        pos2(inner.left() + turned, fold),
        pos2(inner.right() - turned, fold),
        inner.right_top(),
    ]);
    line(vec![pos2(inner.left() + turned, fold), inner.left_bottom()]);
    line(vec![pos2(inner.right() - turned, fold), inner.right_bottom()]);
}

/// A small bag with its closing strip, and what is in it.
fn bag(painter: &Painter, tokens: &Tokens, rect: Rect, colour: Option<(u8, u8, u8)>) {
    let corner = CornerRadius { nw: 1, ne: 1, sw: 3, se: 3 };
    painter.rect(rect, corner, tokens.raised, thin(tokens), StrokeKind::Inside);
    for y in [4.5, 6.5] {
        painter.hline(rect.left() + 1.0..=rect.right() - 1.0, rect.top() + y, Stroke::new(1.0, tokens.ink_3));
    }
    let below = Rect::from_min_max(rect.min + vec2(5.0, 10.0), rect.max - vec2(5.0, 4.0));
    squiggle(painter, tokens, below, colour);
}

/// Offcuts: one shaving that curls across `rect`, flatter towards its end.
pub(super) fn squiggle(painter: &Painter, tokens: &Tokens, rect: Rect, colour: Option<(u8, u8, u8)>) {
    const SIDES: u8 = 60;
    let width = (0.11 * rect.height()).clamp(1.5, 3.0);
    let within = rect.shrink(0.5 * width);
    let points = (0..=SIDES).map(|i| {
        let x = f32::from(i) / f32::from(SIDES);
        let swing = (0.5 - 0.3 * x) * (2.25 * TAU * x).cos();
        within.min + vec2(x, 0.5 + swing) * within.size()
    });
    painter.add(Shape::line(points.collect(), Stroke::new(width, colour.map_or(tokens.ink_2, shade))));
}

/// A sheet with a folded corner.
fn sheet(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let inner = rect.shrink(0.5);
    let fold = (0.26 * inner.width()).round();
    let (top, right) = (pos2(inner.right() - fold, inner.top()), pos2(inner.right(), inner.top() + fold));
    let round = vec![inner.left_top(), top, right, inner.right_bottom(), inner.left_bottom()];
    painter.add(filled(round, tokens.raised, thin(tokens)));
    let inside = pos2(top.x, right.y);
    painter.add(filled(vec![top, right, inside], tokens.tint, thin(tokens)));
}

/// A ring or a pendant with its stone, from the front.
fn piece(painter: &Painter, tokens: &Tokens, rect: Rect, form: Form, stone: &StonePicture) {
    let metal = Stroke::new(1.0, tokens.ink_2);
    let unit = rect.height() / 30.0;
    let circle = |centre: Pos2, radius: f32| {
        painter.add(filled(ellipse(centre, Vec2::splat(radius)), Color32::TRANSPARENT, metal));
    };
    let middle = rect.center().x;
    // A piece is the chosen one by nature: the second outline would only look like a setting.
    let stone = StonePicture { chosen: false, ..stone.clone() };
    match form {
        Form::Ring => {
            let centre = pos2(middle, rect.bottom() - 11.0 * unit);
            circle(centre, 10.5 * unit);
            circle(centre, 8.0 * unit);
            let seat = Rect::from_center_size(pos2(middle, rect.top() + 7.5 * unit), vec2(22.0, 15.0) * unit);
            setting(painter, tokens, seat, &stone);
        }
        Form::Pendant => {
            circle(pos2(middle, rect.top() + 3.5 * unit), 3.0 * unit);
            let seat =
                Rect::from_center_size(pos2(middle, rect.bottom() - 12.25 * unit), vec2(36.0, 24.5) * unit);
            setting(painter, tokens, seat, &stone);
        }
    }
}

/// A stone with the metal's edge around it, the two within `seat`; what is behind them is hidden.
fn setting(painter: &Painter, tokens: &Tokens, seat: Rect, stone: &StonePicture) {
    const METAL: f32 = 2.0;
    let room = seat.shrink(0.5 + METAL).size().max(Vec2::splat(2.0));
    let radii = stone.outline.as_ref().map_or(0.5 * Vec2::splat(room.min_elem()), |outline| {
        let size = size_mm(outline);
        0.5 * (room / size).min_elem() * size
    });
    let around = (seat.center(), radii + Vec2::splat(METAL));
    shape_over(painter, around, stone.outline.as_ref(), (tokens.raised, thin(tokens)));
    stone_over(painter, tokens, (seat.center(), radii), stone);
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;
    use craft::geometry::Outline;
    use craft::units::Length;

    fn every() -> Vec<ThingPicture> {
        let outline = Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) };
        let stone =
            StonePicture { outline: Some(outline), colour: Some((124, 72, 40)), begun: true, chosen: true };
        let mut every = vec![
            ThingPicture::Wrapping,
            ThingPicture::Stone(stone.clone()),
            ThingPicture::Offcuts(stone.colour),
            ThingPicture::Keepsake,
        ];
        for (holds, sealed) in [(false, false), (true, false), (true, true)] {
            every.push(ThingPicture::Envelope { holds, sealed });
        }
        for stone in [stone.clone(), StonePicture { outline: None, ..stone }] {
            every.extend([Form::Ring, Form::Pendant].map(|form| ThingPicture::Piece(form, stone.clone())));
        }
        every
    }

    #[test]
    fn every_thing_stays_within_its_rectangle() {
        for size in [SIZE, 2.0 * SIZE, vec2(40.0, 40.0)] {
            let rect = Rect::from_min_size(pos2(12.0, 14.0), size);
            for picture in every() {
                let (shapes, ()) = drawn(|painter| thing(painter, &Tokens::LIGHT, rect, &picture));
                assert_within(&shapes, rect);
            }
        }
    }

    #[test]
    fn no_two_things_look_alike() {
        let rect = Rect::from_min_size(pos2(12.0, 14.0), SIZE);
        let drawings: Vec<_> = every()
            .iter()
            .map(|picture| drawn(|painter| thing(painter, &Tokens::DARK, rect, picture)).0)
            .collect();
        for (i, one) in drawings.iter().enumerate() {
            assert!(drawings.iter().skip(i + 1).all(|other| one != other), "{:?}", every()[i]);
        }
    }

    #[test]
    fn the_hatching_of_an_envelope_leaves_its_flap_free() {
        let rect = Rect::from_min_size(pos2(10.0, 10.0), vec2(98.0, 70.0));
        let tip = pos2(59.0, 46.0);
        let lines = below_flap(rect, tip, 5.0, Stroke::new(1.0, Color32::BLACK));
        assert!(lines.len() > 15);
        for shape in lines {
            let Shape::LineSegment { points, .. } = shape else { panic!("lines") };
            for point in points {
                let flap = 10.0 + 36.0 * (1.0 - (point.x - 59.0).abs() / 49.0);
                assert!(rect.contains(point) && point.y > flap, "{point:?} {flap}");
            }
        }
    }
}
