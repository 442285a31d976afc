//! A stone in its true outline and colour.

use craft::geometry::Outline;
use craft::units::Length;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, vec2};
use workbench::present::board::StoneMark;

use super::paths::{dashed, edge_on, ellipse, filled, filled_within, shade};
use crate::look::{Tokens, space};

/// How far the second outline of a chosen stone stands off. A picture keeps this room whether it is needed or not,
/// so that choosing a stone does not change its size.
const CHOSEN: f32 = 3.0;

/// A stone as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct StonePicture {
    /// Its outline; a stone of unknown outline is a dashed circle.
    pub outline: Option<Outline>,
    /// Its pigment, red, green and blue; clear resin where there is none.
    pub colour: Option<(u8, u8, u8)>,
    /// It has been begun; else it is an outline with a breath of its colour.
    pub begun: bool,
    /// The client chose it: a second outline.
    pub chosen: bool,
}

impl From<&StoneMark> for StonePicture {
    fn from(mark: &StoneMark) -> Self {
        let StoneMark { outline, colour, begun, chosen, .. } = mark.clone();
        Self { outline, colour, begun, chosen }
    }
}

impl StonePicture {
    fn fill(&self, tokens: &Tokens) -> Color32 {
        let colour = self.colour.map_or(tokens.resin, shade);
        if self.begun { colour } else { tokens.page.lerp_to_gamma(colour, 0.15) }
    }

    fn edge(&self, tokens: &Tokens) -> Stroke {
        let colour = if self.begun { edge_on(tokens, self.fill(tokens)) } else { tokens.ink_3 };
        Stroke::new(1.0, colour)
    }
}

/// Points per millimetre at which every one of `outlines` fits into `room`, with the room a chosen one takes: one
/// scale for all stones of one picture. Unknown outlines do not count; without any known one it is 1.
pub fn fit<'a>(outlines: impl IntoIterator<Item = Option<&'a Outline>>, room: Vec2) -> f32 {
    let room = (room - Vec2::splat(2.0 * CHOSEN + 1.0)).max(Vec2::splat(1.0));
    outlines
        .into_iter()
        .flatten()
        .map(|outline| (room / size_mm(outline)).min_elem())
        .reduce(f32::min)
        .unwrap_or(1.0)
}

/// The length and the width of an outline in mm.
#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
pub fn size_mm(outline: &Outline) -> Vec2 {
    vec2(outline.length().mm() as f32, outline.width().mm() as f32).max(Vec2::splat(1e-3))
}

/// The outline about `centre`, its length lying, as corners fine enough to look smooth.
pub fn rim(centre: Pos2, outline: &Outline, per_mm: f32) -> Vec<Pos2> {
    rim_over(centre, 0.5 * per_mm * size_mm(outline), Some(outline))
}

/// The corners of an outline from its middle, in points; a quarter of a point from the true line at most. On a screen
/// heights run downwards.
#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
fn corners(outline: &Outline, per_mm: f32) -> Vec<Vec2> {
    let off = Length::from_mm(0.25 / f64::from(per_mm.max(1e-3)));
    outline.corners_mm(off).into_iter().map(|[x, y]| per_mm * vec2(x as f32, -y as f32)).collect()
}

/// A stone about `centre` at a scale from [`fit`], its length lying. Answers the rectangle of its outline.
pub fn stone(painter: &Painter, tokens: &Tokens, centre: Pos2, per_mm: f32, picture: &StonePicture) -> Rect {
    let unknown = Vec2::splat(3.0 * space::STEP);
    let radii = picture.outline.as_ref().map_or(unknown, |outline| 0.5 * per_mm * size_mm(outline));
    stone_over(painter, tokens, (centre, radii), picture);
    Rect::from_center_size(centre, 2.0 * radii)
}

/// A stone as large as `rect` takes it. Answers the rectangle of its outline.
pub fn stone_in(painter: &Painter, tokens: &Tokens, rect: Rect, picture: &StonePicture) -> Rect {
    let room = rect.shrink(CHOSEN + 0.5);
    let radii = match &picture.outline {
        Some(outline) => 0.5 * fit([Some(outline)], rect.size()) * size_mm(outline),
        None => Vec2::splat(0.5 * room.size().min_elem().max(1.0)),
    };
    stone_over(painter, tokens, (rect.center(), radii), picture);
    Rect::from_center_size(rect.center(), 2.0 * radii)
}

/// A stone of half-axes `radii` about `centre`.
pub(super) fn stone_over(
    painter: &Painter,
    tokens: &Tokens,
    (centre, radii): (Pos2, Vec2),
    picture: &StonePicture,
) {
    if picture.outline.is_none() {
        let points = ellipse(centre, radii);
        if picture.begun {
            painter.add(filled(points.clone(), picture.fill(tokens), Stroke::NONE));
        }
        painter.extend(dashed(points, Stroke::new(1.0, tokens.ink_3), 3.0));
    } else {
        let (fill, edge) = (picture.fill(tokens), picture.edge(tokens));
        shape_over(painter, (centre, radii), picture.outline.as_ref(), (fill, edge));
    }
    if picture.chosen {
        let around = (centre, radii + Vec2::splat(CHOSEN));
        let ink = (Color32::TRANSPARENT, Stroke::new(1.0, tokens.ink));
        shape_over(painter, around, picture.outline.as_ref(), ink);
    }
}

/// An outline stretched to half-axes `radii` about `centre`, filled and edged; an ellipse where it is unknown.
pub(super) fn shape_over(
    painter: &Painter,
    (centre, radii): (Pos2, Vec2),
    outline: Option<&Outline>,
    (fill, edge): (Color32, Stroke),
) {
    let points = rim_over(centre, radii, outline);
    if outline.is_some_and(turns_inward) {
        painter.add(filled_within(&points, fill));
        painter.add(Shape::closed_line(points, edge));
    } else {
        painter.add(filled(points, fill, edge));
    }
}

/// The rim of a stone of half-axes `radii`; an ellipse where the outline is unknown.
fn rim_over(centre: Pos2, radii: Vec2, outline: Option<&Outline>) -> Vec<Pos2> {
    match outline {
        None | Some(Outline::Round { .. } | Outline::Oval { .. }) => ellipse(centre, radii),
        Some(other) => {
            let per_mm = 2.0 * radii / size_mm(other);
            let scale = per_mm.max_elem().max(1e-3);
            corners(other, scale).into_iter().map(|at| centre + at / scale * per_mm).collect()
        }
    }
}

/// Whether a straight line from one point of it to another may leave it.
const fn turns_inward(outline: &Outline) -> bool {
    matches!(outline, Outline::Heart { .. } | Outline::Pear { .. } | Outline::Traced(_))
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, bounds, drawn};
    use super::*;
    use craft::units::Length;
    use egui::{Shape, pos2};

    fn oval(length_mm: f64, width_mm: f64) -> Outline {
        Outline::Oval { length: Length::from_mm(length_mm), width: Length::from_mm(width_mm) }
    }

    fn picture(outline: Option<Outline>) -> StonePicture {
        StonePicture { outline, colour: Some((124, 72, 40)), begun: true, chosen: false }
    }

    #[test]
    fn stones_of_one_picture_share_one_scale() {
        let (large, small) = (Some(oval(18.0, 13.0)), Some(oval(9.0, 6.5)));
        let scale = fit([large.as_ref(), None, small.as_ref()], vec2(61.0, 61.0));
        assert!((scale * 18.0 - 54.0).abs() < 1e-3);
        let (_, rects) = drawn(|painter| {
            [&large, &small].map(|outline| {
                stone(painter, &Tokens::LIGHT, pos2(100.0, 100.0), scale, &picture(outline.clone())).size()
            })
        });
        assert!((rects[0] - 2.0 * rects[1]).length() < 1e-3, "{rects:?}");
    }

    #[test]
    fn a_stone_stays_within_its_rectangle_in_every_state() {
        let rect = Rect::from_min_size(pos2(20.0, 30.0), vec2(46.0, 32.0));
        let heart = Outline::Heart { across: Length::from_mm(10.0) };
        let outlines =
            [Some(oval(10.0, 8.0)), Some(oval(30.0, 3.0)), Some(oval(12.0, 12.0)), Some(heart), None];
        for outline in outlines {
            for (begun, chosen) in [(true, true), (true, false), (false, false), (false, true)] {
                let stone = StonePicture { begun, chosen, ..picture(outline.clone()) };
                let (shapes, _) = drawn(|painter| stone_in(painter, &Tokens::DARK, rect, &stone));
                assert_within(&shapes, rect);
            }
        }
    }

    #[test]
    fn the_outline_encloses_the_area_craft_says() {
        let outline = oval(18.0, 13.0);
        let (shapes, _) = drawn(|painter| {
            stone(painter, &Tokens::LIGHT, pos2(200.0, 200.0), 10.0, &picture(Some(outline.clone())))
        });
        let Some(Shape::Path(path)) = shapes.first() else { panic!("a path") };
        let area = |points: &[Pos2]| {
            let next = points.iter().cycle().skip(1);
            points
                .iter()
                .zip(next)
                .map(|(a, b)| 0.5 * (a.x - 200.0).mul_add(b.y - 200.0, -(b.x - 200.0) * (a.y - 200.0)))
                .sum::<f32>()
        };
        let wanted = outline.area().mm2() * 100.0;
        let off = |drawn: f32| (f64::from(drawn.abs()) / wanted - 1.0).abs();
        assert!(off(area(&path.points)) < 1e-3);
        // The length taken for half of it would be four times the area.
        let broken: Vec<Pos2> =
            path.points.iter().map(|p| pos2(200.0, 200.0) + 2.0 * (*p - pos2(200.0, 200.0))).collect();
        assert!(off(area(&broken)) > 1.0);
    }

    #[test]
    fn an_outline_that_turns_inward_is_filled_to_the_area_craft_says() {
        let heart = Outline::Heart { across: Length::from_mm(10.0) };
        let (shapes, _) = drawn(|painter| {
            stone(painter, &Tokens::LIGHT, pos2(200.0, 200.0), 20.0, &picture(Some(heart.clone())))
        });
        let Some(Shape::Mesh(mesh)) = shapes.first() else { panic!("a mesh") };
        let corner = |at: u32| mesh.vertices[at as usize].pos;
        let area: f32 = mesh
            .indices
            .chunks(3)
            .map(|at| 0.5 * (corner(at[1]) - corner(at[0])).rot90().dot(corner(at[2]) - corner(at[0])).abs())
            .sum();
        let wanted = heart.area().mm2() * 400.0;
        let off = |drawn: f32| (f64::from(drawn) / wanted - 1.0).abs();
        assert!(off(area) < 2e-3, "{area} for {wanted}");
        // A fan from the widest place, as convex shapes are filled, would fill the notch as well.
        let mut round: Vec<Pos2> = mesh.vertices.iter().map(|vertex| vertex.pos).collect();
        let widest = (0..round.len()).max_by(|a, b| round[*a].x.total_cmp(&round[*b].x)).unwrap();
        round.rotate_left(widest);
        let fan: f32 = round
            .windows(2)
            .map(|pair| 0.5 * (pair[0] - round[0]).rot90().dot(pair[1] - round[0]).abs())
            .sum();
        assert!(off(fan) > 2e-3, "{fan}");
        // The tip hangs down.
        let low = mesh.vertices.iter().map(|vertex| vertex.pos).max_by(|a, b| a.y.total_cmp(&b.y)).unwrap();
        assert!((low.x - 200.0).abs() < 0.5, "{low:?}");
    }

    #[test]
    fn choosing_a_stone_adds_a_line_and_does_not_move_it() {
        let rect = Rect::from_min_size(pos2(20.0, 30.0), vec2(46.0, 32.0));
        let look = |chosen| {
            let stone = StonePicture { chosen, ..picture(Some(oval(10.0, 8.0))) };
            drawn(|painter| stone_in(painter, &Tokens::LIGHT, rect, &stone))
        };
        let ((plain, first), (chosen, second)) = (look(false), look(true));
        assert_eq!(first, second);
        assert_eq!(plain.len() + 1, chosen.len());
        assert!(bounds(&chosen).width() > bounds(&plain).width() + 5.0);
    }
}
