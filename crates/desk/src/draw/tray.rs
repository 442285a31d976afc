//! The tray of a mould from above: its cavities in their places, and the stones in them.

use craft::geometry::Outline;
use craft::place::Cell;
use egui::{Align2, Painter, Rect, Shape, Stroke, pos2, vec2};

use super::stone::{StonePicture, fit, rim, size_mm, stone};
use crate::look::{Face, Tokens, space};

/// The height of a mark under its cavity.
const MARK: f32 = 5.0 * space::STEP;

/// Rows of more cavities than this are broken.
const LONGEST: usize = 10;

/// One cavity as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayCell {
    /// Its mark.
    pub cell: Cell,
    /// The stone in it; none where it is empty.
    pub stone: Option<StonePicture>,
}

/// One cavity and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedCell {
    /// Its mark.
    pub cell: Cell,
    /// All of its place on the tray, with the mark: for pointing at it.
    pub rect: Rect,
    /// The cavity itself.
    pub cavity: Rect,
}

/// The cells in rows: a new one where the letters of the mark change (A1 A2, then B1 B2), or where it grows too long.
fn rows(cells: &[TrayCell]) -> Vec<&[TrayCell]> {
    let letters =
        |cell: &TrayCell| cell.cell.as_str().trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
    cells.chunk_by(|a, b| letters(a) == letters(b)).flat_map(|row| row.chunks(LONGEST)).collect()
}

/// Draws a tray within `rect`, its cavities in true outline at one scale, and answers where each stands, in the
/// order of `cells`. A stone in its cavity is drawn in the cavity's outline, which is its own.
pub fn tray(
    painter: &Painter,
    tokens: &Tokens,
    rect: Rect,
    outline: &Outline,
    cells: &[TrayCell],
) -> Vec<PlacedCell> {
    let rows = rows(cells);
    let longest = rows.iter().map(|row| row.len()).max().unwrap_or(0).max(1);
    painter.rect_filled(rect, space::RADIUS_WIDE, tokens.tint);
    let inner = rect.shrink(2.0 * space::STEP);
    let place = vec2(inner.width() / longest as f32, inner.height() / rows.len().max(1) as f32);
    let per_mm = fit([Some(outline)], place - vec2(space::STEP, MARK + space::STEP));
    let size = per_mm * size_mm(outline);
    let mut placed = Vec::with_capacity(cells.len());
    for (y, row) in rows.iter().enumerate() {
        for (x, held) in row.iter().enumerate() {
            let corner = inner.min + place * vec2(x as f32, y as f32);
            let all = Rect::from_min_size(corner, place);
            let centre = pos2(all.center().x, all.top() + 0.5 * (all.height() - MARK));
            if let Some(picture) = &held.stone {
                let picture = StonePicture { outline: Some(outline.clone()), ..picture.clone() };
                stone(painter, tokens, centre, per_mm, &picture);
            } else {
                painter.add(Shape::closed_line(rim(centre, outline, per_mm), Stroke::new(1.0, tokens.ink_3)));
            }
            let under = pos2(centre.x, centre.y + 0.5 * size.y + space::STEP);
            let colour = if held.stone.is_some() { tokens.ink } else { tokens.ink_3 };
            painter.text(under, Align2::CENTER_TOP, held.cell.as_str(), Face::Second.font(), colour);
            placed.push(PlacedCell {
                cell: held.cell.clone(),
                rect: all,
                cavity: Rect::from_center_size(centre, size),
            });
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;
    use craft::units::Length;
    use egui::Shape;

    fn cells(marks: &[&str]) -> Vec<TrayCell> {
        let stone = StonePicture { outline: None, colour: Some((124, 72, 40)), begun: true, chosen: true };
        marks
            .iter()
            .enumerate()
            .map(|(i, mark)| TrayCell {
                cell: mark.parse().unwrap(),
                stone: (i % 2 == 0).then(|| stone.clone()),
            })
            .collect()
    }

    fn oval() -> Outline {
        Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) }
    }

    #[test]
    fn cells_stand_in_rows_by_their_letter_and_keep_their_order() {
        let marks = ["A1", "A2", "A3", "B1", "B2"];
        let rect = Rect::from_min_size(pos2(10.0, 10.0), vec2(300.0, 160.0));
        let (shapes, placed) = drawn(|painter| tray(painter, &Tokens::LIGHT, rect, &oval(), &cells(&marks)));
        assert_within(&shapes, rect);
        assert_eq!(placed.iter().map(|cell| cell.cell.as_str()).collect::<Vec<_>>(), marks);
        assert!(placed[0].rect.left() < placed[1].rect.left());
        assert!((placed[0].rect.left() - placed[3].rect.left()).abs() < 1e-3, "B1 stands under A1");
        assert!(placed[3].rect.top() >= placed[0].rect.bottom() - 1e-3);
        for (i, one) in placed.iter().enumerate() {
            assert!(one.rect.contains_rect(one.cavity));
            assert!(placed.iter().skip(i + 1).all(|other| !one.rect.shrink(0.1).intersects(other.rect)));
        }
        let texts = shapes.iter().filter(|shape| matches!(shape, Shape::Text(_))).count();
        assert_eq!(texts, 5, "each bears its mark");
    }

    #[test]
    fn a_tray_without_letters_or_of_one_cell_or_none_is_drawn_too() {
        let rect = Rect::from_min_size(pos2(10.0, 10.0), vec2(300.0, 160.0));
        let many: Vec<String> = (1..=23).map(|no| no.to_string()).collect();
        let many: Vec<&str> = many.iter().map(String::as_str).collect();
        for marks in [many.as_slice(), &["A1"], &[]] {
            let (shapes, placed) =
                drawn(|painter| tray(painter, &Tokens::DARK, rect, &oval(), &cells(marks)));
            assert_within(&shapes, rect);
            assert_eq!(placed.len(), marks.len());
        }
    }
}
