//! A cavity cut along its length, as it lies in its mould: where each height and width falls in the picture.

use craft::geometry::{Cavity, Dome};
use craft::units::Length;
use egui::emath::GuiRounding as _;
use egui::{Pos2, Rect, Vec2, pos2, vec2};

/// The mould's body left and right of the cavity, in points.
const WALL: f32 = 8.0;
/// The mould's body under the cavity.
const FOOT: f32 = 12.0;
/// Room above the rim for a mark that stands there.
const HEAD: f32 = 2.0;
/// Heights are drawn larger than widths by this at most: layers are tenths of a millimetre.
const STRETCH: f32 = 2.25;
/// Steps from the apex to the edge.
const STEPS: u16 = 72;

/// A cavity placed in a picture. The face is at the bottom; heights may be stretched against widths, widths never.
#[derive(Clone, Copy, Debug)]
pub(super) struct Section<'a> {
    cavity: &'a Cavity,
    /// The mould around it.
    pub(super) body: Rect,
    /// Where the apex lies.
    pub(super) apex: Pos2,
    /// Points per millimetre, across and up.
    pub(super) per_mm: Vec2,
}

#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
fn mm(length: Length) -> f32 {
    length.mm() as f32
}

/// Points per millimetre across and up with which a cavity and its mould fit into `room`.
fn scale(cavity: &Cavity, room: Vec2) -> Vec2 {
    let free = (room - vec2(2.0 * WALL, FOOT + HEAD)).max(Vec2::splat(1.0));
    let size = vec2(mm(cavity.outline().length()), mm(cavity.depth())).max(Vec2::splat(1e-3));
    let most = free / size;
    let across = most.min_elem();
    let up = most.y.min(STRETCH * across);
    // The walls and the rim stand on whole points, so that their edges are sharp.
    let whole = (vec2(0.5 * across, up) * size).floor().max(Vec2::splat(1.0));
    vec2(2.0, 1.0) * whole / size
}

/// The room the picture of a cavity takes when it may take `room`.
pub(super) fn size_within(cavity: &Cavity, room: Vec2) -> Vec2 {
    let per_mm = scale(cavity, room);
    per_mm * vec2(mm(cavity.outline().length()), mm(cavity.depth())) + vec2(2.0 * WALL, FOOT + HEAD)
}

impl<'a> Section<'a> {
    /// Stands at the bottom left of `rect`, on whole pixels.
    pub(super) fn placed(cavity: &'a Cavity, rect: Rect, per_point: f32) -> Self {
        let rect = Rect::from_min_max(
            pos2(rect.left(), rect.top()).round_to_pixels(per_point),
            pos2(rect.right(), rect.bottom()).round_to_pixels(per_point),
        );
        let per_mm = scale(cavity, rect.size());
        let size = size_within(cavity, rect.size());
        let apex = pos2(rect.left() + 0.5 * size.x, rect.bottom() - FOOT);
        let top = apex.y - per_mm.y * mm(cavity.depth());
        let body = Rect::from_min_max(pos2(rect.left(), top), pos2(rect.left() + size.x, rect.bottom()));
        Self { cavity, body, apex, per_mm }
    }

    /// Half the width of the cavity at a depth above the apex, in points.
    pub(super) fn half(&self, depth: Length) -> f32 {
        0.5 * self.per_mm.x * mm(self.cavity.section(depth).length())
    }

    /// The height of a depth in the picture.
    pub(super) fn y(&self, depth: Length) -> f32 {
        self.apex.y - self.per_mm.y * mm(depth)
    }

    /// The depth of a height in the picture.
    pub(super) fn depth_at(&self, y: f32) -> Length {
        let depth = Length::from_mm(f64::from((self.apex.y - y) / self.per_mm.y));
        depth.clamp(Length::ZERO, self.cavity.depth())
    }

    /// The depths from one to another at which the wall is followed, both ends among them. On the dome they lie as
    /// evenly spaced angles do on an arc, close where it is flat near the apex.
    pub(super) fn depths(&self, from: Length, to: Length) -> Vec<Length> {
        let dome = self.cavity.dome_height();
        let steps = (0..=STEPS).map(|i| {
            let turn = std::f64::consts::FRAC_PI_2 * f64::from(i) / f64::from(STEPS);
            Length::from_mm(dome.mm() * (1.0 - turn.cos()))
        });
        let rounded = self.cavity.dome() != Dome::Flat;
        let between = steps.filter(|depth| rounded && from < *depth && *depth < to);
        [from].into_iter().chain(between).chain([to]).collect()
    }

    /// The right wall from one depth to another, upwards.
    fn wall(&self, from: Length, to: Length) -> Vec<Pos2> {
        let at = |depth| pos2(self.apex.x + self.half(depth), self.y(depth));
        self.depths(from, to).into_iter().map(at).collect()
    }

    /// The way round what lies between two depths: down the left wall, up the right.
    pub(super) fn around(&self, from: Length, to: Length) -> Vec<Pos2> {
        let right = self.wall(from, to);
        let left = right.iter().rev().map(|point| self.mirrored(*point));
        left.chain(right.iter().copied()).collect()
    }

    /// The same point on the other side.
    pub(super) fn mirrored(&self, point: Pos2) -> Pos2 {
        pos2(2.0 * self.apex.x - point.x, point.y)
    }

    /// The direction out of the cavity on its right wall at a depth.
    pub(super) fn outward(&self, depth: Length) -> Vec2 {
        let reach = Length::from_mm(0.002 * self.cavity.depth().mm());
        let (low, high) = ((depth - reach).max(Length::ZERO), (depth + reach).min(self.cavity.depth()));
        let along = vec2(self.half(high) - self.half(low), self.y(high) - self.y(low));
        // At the apex the wall lies flat.
        if depth == Length::ZERO && self.cavity.dome() != Dome::Flat {
            return vec2(0.0, 1.0);
        }
        vec2(-along.y, along.x).normalized()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::geometry::Outline;
    use std::f64::consts::PI;

    fn cavity(dome: Dome, dome_mm: f64) -> Cavity {
        let outline = Outline::Oval { length: Length::from_mm(18.0), width: Length::from_mm(13.0) };
        Cavity::new(outline, dome, Length::from_mm(dome_mm), Length::from_mm(1.5)).unwrap()
    }

    fn rect() -> Rect {
        Rect::from_min_size(pos2(10.0, 20.0), vec2(424.0, 330.0))
    }

    /// What the drawn outline holds, in mm³, when each of its widths is the length of a section and sections are
    /// as much narrower than long as the outline is: ∫ π/4 · w² · width/length, by the trapezium rule.
    fn held_mm3(section: &Section<'_>, around: &[Pos2], width_for: impl Fn(f64) -> f64) -> f64 {
        let right = &around[around.len() / 2..];
        let outline = section.cavity.outline();
        let slimness = outline.width().mm() / outline.length().mm();
        let area = |point: Pos2| {
            let half_mm = f64::from((point.x - section.apex.x) / section.per_mm.x);
            0.25 * PI * slimness * width_for(half_mm).powi(2)
        };
        let rise = |a: Pos2, b: Pos2| f64::from((a.y - b.y) / section.per_mm.y);
        right.windows(2).map(|two| 0.5 * (area(two[0]) + area(two[1])) * rise(two[0], two[1])).sum()
    }

    #[test]
    fn what_is_drawn_holds_what_craft_says_is_poured() {
        for (dome, height) in
            [(Dome::HalfEllipse, 4.0), (Dome::CircularArc, 5.0), (Dome::Parabola, 4.0), (Dome::Flat, 0.0)]
        {
            let cavity = cavity(dome, height);
            let section = Section::placed(&cavity, rect(), 1.0);
            for share in [0.2, 0.7, 1.0] {
                let to = Length::from_mm(share * cavity.depth().mm());
                let around = section.around(Length::ZERO, to);
                let poured = cavity.volume_to(to).mm3();
                let right = held_mm3(&section, &around, |half_mm| 2.0 * half_mm);
                assert!((right / poured - 1.0).abs() < 2e-3, "{dome:?} {share}: {right} for {poured}");
                // The half-width taken for the width is a quarter of it, and is noticed.
                let broken = held_mm3(&section, &around, |half_mm| half_mm);
                assert!((broken / poured - 1.0).abs() > 0.5, "{dome:?} {share}: {broken} for {poured}");
            }
        }
    }

    #[test]
    fn the_area_of_the_cut_agrees_with_the_widths_added_up() {
        // Half of an ellipse of half-axes 9 and 4 mm and a wall of 1.5 mm: π·9·4/2 + 18·1.5 mm².
        let cavity = cavity(Dome::HalfEllipse, 4.0);
        let section = Section::placed(&cavity, rect(), 1.0);
        let around = section.around(Length::ZERO, cavity.depth());
        let next = around.iter().cycle().skip(1);
        let twice: f64 = around
            .iter()
            .zip(next)
            .map(|(a, b)| {
                let (a, b) = (*a - section.apex, *b - section.apex);
                f64::from(a.x) * f64::from(b.y) - f64::from(b.x) * f64::from(a.y)
            })
            .sum();
        let area_mm2 = 0.5 * twice.abs() / f64::from(section.per_mm.x * section.per_mm.y);
        let exact_mm2 = PI * 9.0 * 4.0 / 2.0 + 18.0 * 1.5;
        assert!((area_mm2 / exact_mm2 - 1.0).abs() < 1e-3, "{area_mm2} for {exact_mm2}");
    }

    #[test]
    fn the_picture_fits_its_room_and_widths_are_never_stretched() {
        for (room, dome_mm) in
            [(vec2(124.0, 92.0), 4.0), (vec2(124.0, 300.0), 4.0), (vec2(300.0, 60.0), 90.0)]
        {
            let cavity = cavity(Dome::HalfEllipse, dome_mm);
            let section = Section::placed(&cavity, Rect::from_min_size(pos2(5.0, 5.0), room), 1.0);
            assert!(section.body.width() <= room.x + 0.01 && section.body.height() + HEAD <= room.y + 0.01);
            let stretch = section.per_mm.y / section.per_mm.x;
            // Whole points take up to one from a side.
            assert!((0.97..=1.02 * STRETCH).contains(&stretch), "{stretch}");
            assert!(2.0 * section.half(cavity.depth()) <= section.body.width() - 2.0 * WALL + 1e-3);
        }
    }

    #[test]
    fn the_wall_stands_upright_and_the_apex_lies_flat() {
        let cavity = cavity(Dome::CircularArc, 4.0);
        let section = Section::placed(&cavity, rect(), 1.0);
        assert_eq!(section.outward(Length::ZERO), vec2(0.0, 1.0));
        let wall = section.outward(Length::from_mm(5.0));
        assert!((wall - vec2(1.0, 0.0)).length() < 1e-3, "{wall:?}");
        let dome = section.outward(Length::from_mm(2.0));
        assert!(dome.x > 0.0 && dome.y > 0.0, "out of the cavity and down: {dome:?}");
    }
}
