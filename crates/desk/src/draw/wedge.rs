//! The pictures of a wedge test: drops lit one after the other, and the skins that are left of them.

use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

use super::paths::{dashes, filled};
use crate::look::{Face, Tokens, space};

/// The height of the words under a drop.
const WORDS: f32 = 5.0 * space::STEP;
/// How high a drop is taken to be, in millimetres.
const DROP_MM: f32 = 5.0;
/// The widest a drop is drawn.
const WIDEST: f32 = 68.0;

/// A drop as it stands on its film.
#[derive(Clone, Copy, Debug)]
struct Drop {
    /// The middle of its foot.
    foot: Pos2,
    half: f32,
    height: f32,
}

impl Drop {
    /// The outline above a height over the film, from the right to the left.
    fn above(&self, from: f32) -> Vec<Pos2> {
        const SIDES: u8 = 40;
        let start = (from / self.height).clamp(0.0, 1.0).asin();
        let end = std::f32::consts::PI - start;
        let turn = |side: u8| start + (end - start) * f32::from(side) / f32::from(SIDES);
        (0..=SIDES)
            .map(|side| self.foot + vec2(self.half * turn(side).cos(), -self.height * turn(side).sin()))
            .collect()
    }
}

/// The drops in a row within `rect`, `above` points left free over them.
fn row(rect: Rect, count: usize, above: f32) -> Vec<Drop> {
    let step = rect.width() / count.max(1) as f32;
    let film = rect.bottom() - WORDS;
    let half = 0.5 * (0.72 * step).min(WIDEST);
    let height = (film - rect.top() - above).max(4.0);
    let at = |place: usize| pos2(rect.left() + step * (place as f32 + 0.5), film);
    (0..count).map(|place| Drop { foot: at(place), half, height }).collect()
}

/// The film, and the words under each drop; words that find no room are left out.
fn film(painter: &Painter, tokens: &Tokens, rect: Rect, drops: &[Drop], words: &[String]) {
    let y = rect.bottom() - WORDS;
    painter.hline(rect.x_range().shrink(1.0), y, Stroke::new(1.5, tokens.ink_3));
    let step = rect.width() / drops.len().max(1) as f32;
    for (drop, words) in drops.iter().zip(words) {
        let galley = painter.layout_no_wrap(words.clone(), Face::Second.font(), tokens.ink_2);
        if galley.size().x < step - space::STEP {
            let at = pos2(drop.foot.x - 0.5 * galley.size().x, y + space::TIGHT);
            painter.galley(at, galley, tokens.ink_2);
        }
    }
}

/// Draws drops on a film, the second of them lit and the others under a cover; `seconds` stand under each.
pub fn lighting(painter: &Painter, tokens: &Tokens, rect: Rect, seconds: &[String]) {
    let lamp = 22.0;
    let drops = row(rect, seconds.len(), lamp + 3.0 * space::STEP);
    let lit = usize::from(drops.len() > 1);
    for (place, drop) in drops.iter().enumerate() {
        let edge = Stroke::new(1.25, tokens.ink_2);
        let (left, right) = (drop.foot.x - drop.half, drop.foot.x + drop.half);
        if place == lit {
            let top = rect.top() + lamp;
            let beam = vec![
                pos2(drop.foot.x - 0.6 * drop.half, top),
                pos2(drop.foot.x + 0.6 * drop.half, top),
                pos2(right, drop.foot.y),
                pos2(left, drop.foot.y),
            ];
            painter.add(filled(beam, tokens.brass.gamma_multiply(0.28), Stroke::NONE));
            let head = Rect::from_min_max(pos2(left, rect.top()), pos2(right, top));
            painter.rect(
                head,
                space::RADIUS,
                tokens.line,
                Stroke::new(1.0, tokens.ink_3),
                egui::StrokeKind::Inside,
            );
            let tube = head.shrink2(vec2(0.4 * drop.half, 7.0)).translate(vec2(0.0, 5.0));
            painter.rect_filled(tube, space::RADIUS, tokens.brass);
        }
        painter.add(filled(drop.above(0.0), tokens.resin, edge));
        if place != lit {
            // A cover over it: a lid of card.
            let lid = Rect::from_min_max(
                pos2(left - 3.0, drop.foot.y - drop.height - 2.0 * space::STEP),
                pos2(right + 3.0, drop.foot.y),
            );
            let fill = tokens.line.gamma_multiply(0.72);
            painter.rect(lid, space::RADIUS, fill, Stroke::new(1.0, tokens.ink_3), egui::StrokeKind::Inside);
        }
    }
    film(painter, tokens, rect, &drops, seconds);
}

/// Draws what is left of the drops once the wet part is wiped away: each skin from the top of its drop downwards, at one
/// scale, the first measured one between the jaws of a caliper. A skin that was not measured yet is dashed; nothing set
/// leaves nothing.
pub fn skins(painter: &Painter, tokens: &Tokens, rect: Rect, skins: &[Option<f32>], words: &[String]) {
    let drops = row(rect, skins.len(), 3.0 * space::STEP);
    let mut gripped = false;
    for (drop, skin) in drops.iter().zip(skins) {
        let faint = Stroke::new(1.0, tokens.ink_3.gamma_multiply(0.75));
        let mm = skin.unwrap_or(0.0).clamp(0.0, DROP_MM);
        let from = drop.height * (1.0 - mm / DROP_MM);
        painter.extend(Shape::dashed_line(&drop.above(0.0), faint, 3.0, 3.0));
        if mm > 0.0 {
            painter.add(filled(drop.above(from), tokens.resin, Stroke::new(1.25, tokens.ink)));
        }
        if mm > 0.0 && !gripped {
            gripped = true;
            jaws(painter, tokens, drop, from);
        }
    }
    film(painter, tokens, rect, &drops, words);
}

/// The jaws of a caliper over and under the middle of a skin.
fn jaws(painter: &Painter, tokens: &Tokens, drop: &Drop, from: f32) {
    let (top, under) = (drop.foot.y - drop.height, drop.foot.y - from);
    let jaw = Stroke::new(3.0, tokens.ink_2);
    let right = drop.foot.x + drop.half + 2.0;
    let reach = drop.foot.x..=right;
    painter.hline(reach.clone(), top - 1.5, jaw);
    painter.hline(reach, under + 1.5, jaw);
    painter.extend(dashes(
        [pos2(right, top - 1.5), pos2(right, under + 1.5)],
        Stroke::new(1.0, tokens.ink_2),
        3.0,
        3.0,
    ));
}

/// One patch on the plot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// How long it was lit, in seconds.
    pub seconds: f32,
    /// How thick it set, in millimetres.
    pub mm: f32,
    /// What that may be out by to either side.
    pub off_mm: f32,
}

/// One place of the line: seconds, and millimetres at its lower end, its middle and its upper end.
pub type Along = (f32, [f32; 3]);

/// A plot of thickness over seconds of light, the seconds in equal steps for equal doublings.
#[derive(Clone, Copy, Debug)]
pub struct WedgePlot<'a> {
    /// The patches.
    pub dots: &'a [Dot],
    /// The line with its band, from few seconds to many.
    pub line: &'a [Along],
    /// What stands at the foot.
    pub across: &'a str,
    /// What stands over the side.
    pub up: &'a str,
}

/// Where a plot's values lie on the screen.
struct Scale {
    field: Rect,
    /// The logarithms of the seconds at its ends.
    from: f32,
    to: f32,
    most_mm: f32,
}

impl Scale {
    fn of(rect: Rect, plot: &WedgePlot<'_>) -> Option<Self> {
        let seconds = || plot.line.iter().map(|along| along.0).chain(plot.dots.iter().map(|dot| dot.seconds));
        let (least, most) = (seconds().fold(f32::INFINITY, f32::min), seconds().fold(0.0, f32::max));
        if !(least > 0.0 && most > least) {
            return None;
        }
        let middles = plot.line.iter().map(|along| along.1[1] * 1.15);
        let tops = plot.dots.iter().map(|dot| dot.mm + dot.off_mm).chain(middles);
        let most_mm = tops.fold(1.0, f32::max).ceil();
        let field = Rect::from_min_max(
            pos2(rect.left() + 8.0 * space::STEP, rect.top() + 6.0 * space::STEP),
            pos2(rect.right() - space::STEP, rect.bottom() - 10.0 * space::STEP),
        );
        Some(Self { field, from: least.ln(), to: most.ln(), most_mm })
    }

    fn x(&self, seconds: f32) -> f32 {
        self.field.left() + self.field.width() * (seconds.ln() - self.from) / (self.to - self.from)
    }

    fn y(&self, mm: f32) -> f32 {
        self.field.bottom() - self.field.height() * (mm / self.most_mm).clamp(0.0, 1.0)
    }
}

/// Draws the plot within `rect`.
pub fn plot(painter: &Painter, tokens: &Tokens, rect: Rect, plot: &WedgePlot<'_>) {
    let Some(scale) = Scale::of(rect, plot) else { return };
    ticks(painter, tokens, &scale, plot.dots);
    let second = |at: Pos2, align: Align2, words: &str| {
        painter.text(at, align, words, Face::Second.font(), tokens.ink_3);
    };
    second(pos2(rect.left(), rect.top()), Align2::LEFT_TOP, plot.up);
    second(pos2(scale.field.right(), rect.bottom()), Align2::RIGHT_BOTTOM, plot.across);

    let mut band = egui::Mesh::default();
    let fill = tokens.accent.gamma_multiply(0.16);
    let side = |end: fn(&[f32; 3]) -> f32| -> Vec<(Pos2, Color32)> {
        plot.line.iter().map(|(s, mm)| (pos2(scale.x(*s), scale.y(end(mm))), fill)).collect()
    };
    super::paths::ribbon(&mut band, &side(|mm| mm[0]), &side(|mm| mm[2]));
    painter.add(Shape::mesh(band));
    let middle: Vec<Pos2> = plot.line.iter().map(|(s, mm)| pos2(scale.x(*s), scale.y(mm[1]))).collect();
    painter.add(Shape::line(middle, Stroke::new(1.75, tokens.accent)));

    for dot in plot.dots {
        let at = pos2(scale.x(dot.seconds), scale.y(dot.mm));
        let reach = scale.y(dot.mm + dot.off_mm)..=scale.y((dot.mm - dot.off_mm).max(0.0));
        painter.vline(at.x, reach, Stroke::new(1.25, tokens.ink_2));
        painter.circle(at, 3.5, tokens.ink, Stroke::new(1.0, tokens.page));
    }
}

/// The lines of whole millimetres, and the seconds of the patches where they find room.
fn ticks(painter: &Painter, tokens: &Tokens, scale: &Scale, dots: &[Dot]) {
    let every = if scale.most_mm > 6.0 { 2.0 } else { 1.0 };
    let mut mm = 0.0;
    while mm <= scale.most_mm + 0.01 {
        let y = scale.y(mm);
        painter.hline(scale.field.x_range(), y, tokens.hairline());
        let at = pos2(scale.field.left() - 2.0 * space::STEP, y);
        painter.text(at, Align2::RIGHT_CENTER, format!("{mm:.0}"), Face::Second.font(), tokens.ink_2);
        mm += every;
    }
    let mut seconds: Vec<f32> = dots.iter().map(|dot| dot.seconds).collect();
    seconds.sort_by(f32::total_cmp);
    seconds.dedup();
    let mut free = f32::NEG_INFINITY;
    for seconds in seconds {
        let x = scale.x(seconds);
        painter.vline(
            x,
            scale.field.bottom()..=scale.field.bottom() + space::STEP,
            Stroke::new(1.0, tokens.ink_3),
        );
        let words = if seconds < 10.0 && seconds.fract() > 0.05 {
            format!("{seconds:.1}")
        } else {
            format!("{seconds:.0}")
        };
        let galley = painter.layout_no_wrap(words, Face::Second.font(), tokens.ink_2);
        let left = x - 0.5 * galley.size().x;
        if left > free && left + galley.size().x <= scale.field.right() + space::STEP {
            free = left + galley.size().x + 2.0 * space::STEP;
            painter.galley(pos2(left, scale.field.bottom() + 1.5 * space::STEP), galley, tokens.ink_2);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, bounds, drawn};
    use super::*;

    fn rect() -> Rect {
        Rect::from_min_size(pos2(40.0, 30.0), vec2(480.0, 120.0))
    }

    fn words(count: u8) -> Vec<String> {
        (0..count).map(|no| format!("{} s", 3 << no)).collect()
    }

    /// The lowest and highest point of the fills in one colour.
    fn heights(shapes: &[Shape], colour: Color32) -> Vec<f32> {
        shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Path(path) if path.fill == colour => Some(shape.visual_bounding_rect().height()),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn every_picture_of_a_test_stays_in_its_place() {
        for count in [1, 4, 6] {
            let (shapes, ()) = drawn(|painter| lighting(painter, &Tokens::LIGHT, rect(), &words(count)));
            assert_within(&shapes, rect());
            let left: Vec<Option<f32>> = (0..count).map(|no| Some(9.0 * f32::from(no) / 6.0)).collect();
            let (shapes, ()) = drawn(|painter| skins(painter, &Tokens::DARK, rect(), &left, &words(count)));
            assert_within(&shapes, rect());
        }
    }

    #[test]
    fn only_a_lit_lamp_is_brass() {
        let (shapes, ()) = drawn(|painter| lighting(painter, &Tokens::LIGHT, rect(), &words(4)));
        let brass = |shape: &&Shape| matches!(shape, Shape::Rect(rect) if rect.fill == Tokens::LIGHT.brass);
        assert_eq!(shapes.iter().filter(brass).count(), 1);
        let (shapes, ()) = drawn(|painter| skins(painter, &Tokens::LIGHT, rect(), &[Some(1.0)], &words(1)));
        assert_eq!(shapes.iter().filter(brass).count(), 0);
    }

    #[test]
    fn a_thicker_skin_is_drawn_higher_at_one_scale_and_nothing_set_leaves_nothing() {
        let left = [Some(0.0), Some(1.0), Some(2.0), None];
        let (shapes, ()) = drawn(|painter| skins(painter, &Tokens::LIGHT, rect(), &left, &words(4)));
        let heights = heights(&shapes, Tokens::LIGHT.resin);
        assert_eq!(heights.len(), 2, "{heights:?}");
        let edge = 1.25;
        let ratio = (heights[1] - edge) / (heights[0] - edge);
        assert!((ratio - 2.0).abs() < 0.05, "{heights:?}");
    }

    #[test]
    fn equal_doublings_are_equal_steps_and_the_line_is_straight_where_it_should_be() {
        // A depth that grows by one for each doubling is a straight line over the seconds' doublings.
        let line: Vec<Along> =
            (0..5).map(|no| (2.0_f32.powi(no), [0.0, no as f32, no as f32 + 1.0])).collect();
        let dots: Vec<Dot> =
            (0..5).map(|no| Dot { seconds: 2.0_f32.powi(no), mm: no as f32, off_mm: 0.2 }).collect();
        let picture = WedgePlot { dots: &dots, line: &line, across: "seconds", up: "mm" };
        let place = Rect::from_min_size(pos2(10.0, 10.0), vec2(400.0, 240.0));
        let (shapes, ()) = drawn(|painter| plot(painter, &Tokens::LIGHT, place, &picture));
        assert_within(&shapes, place);
        let circles: Vec<Pos2> = shapes
            .iter()
            .filter_map(|shape| if let Shape::Circle(circle) = shape { Some(circle.center) } else { None })
            .collect();
        assert_eq!(circles.len(), 5);
        let steps: Vec<egui::Vec2> = circles.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert!(steps.iter().all(|step| (*step - steps[0]).length() < 0.5), "{steps:?}");
        assert!(steps[0].x > 0.0 && steps[0].y < 0.0, "more light goes right, thicker goes up");
        // One patch alone has no line yet, and nothing breaks.
        let alone = WedgePlot { dots: &dots[..1], line: &[], ..picture };
        let (shapes, ()) = drawn(|painter| plot(painter, &Tokens::LIGHT, place, &alone));
        assert!(bounds(&shapes).is_negative() || shapes.is_empty());
    }
}
