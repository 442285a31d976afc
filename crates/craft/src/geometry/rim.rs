//! The rim of an outline as a chain of simple pieces, and sums taken along it.
//!
//! The frame is that of the outline: its middle at the origin, its length along x, in millimetres. A rim runs once
//! round, so that what it encloses lies on its left.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{CubicBez, ParamCurve as _, ParamCurveDeriv as _, Point, Vec2};

use super::numeric::GAUSS;

/// Doublings of the panels of a piece in [`settled`]; a bound, not a target.
const DOUBLINGS: u32 = 9;

/// One smooth piece of a rim, walked as its parameter goes from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Piece {
    /// A straight line.
    Line {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// An arc of a circle.
    Arc {
        /// Its centre.
        centre: Point,
        /// Its radius.
        radius_mm: f64,
        /// The angle at which it starts.
        start: f64,
        /// How far it turns; above nothing to the left.
        sweep: f64,
    },
    /// A quarter of |x/a|ⁿ + |y/b|ⁿ = 1, counted from the x axis on, 0–3.
    Quarter {
        /// Half the length and half the width.
        half_mm: Vec2,
        /// The exponent n.
        exponent: f64,
        /// Which quarter.
        quarter: u8,
    },
    /// A cubic curve of a drawn path.
    Cubic(CubicBez),
}

impl Piece {
    /// The point at a parameter, and how fast it moves there.
    pub(crate) fn at(&self, t: f64) -> (Point, Vec2) {
        match *self {
            Piece::Line { from, to } => (from.lerp(to, t), to - from),
            Piece::Arc { centre, radius_mm, start, sweep } => {
                let out = Vec2::from_angle(start + sweep * t);
                (centre + radius_mm * out, radius_mm * sweep * Vec2::new(-out.y, out.x))
            }
            Piece::Quarter { half_mm, exponent, quarter } => {
                // Near an axis the curve has few derivatives; walking slowly there makes up for it.
                let (slow, speed) =
                    (t * t * t * (10.0 + t * (6.0 * t - 15.0)), 30.0 * (t * (1.0 - t)).powi(2));
                let angle = FRAC_PI_2 * (f64::from(quarter) + slow);
                let out = Vec2::from_angle(angle);
                let (x, y) = (out.x.abs() / half_mm.x, out.y.abs() / half_mm.y);
                let r_mm = (x.powf(exponent) + y.powf(exponent)).powf(-1.0 / exponent);
                let slope = y.powf(exponent - 1.0) * out.x * out.y.signum() / half_mm.y
                    - x.powf(exponent - 1.0) * out.y * out.x.signum() / half_mm.x;
                let grows_mm = -r_mm.powf(exponent + 1.0) * slope;
                let moved = grows_mm * out + r_mm * Vec2::new(-out.y, out.x);
                (Point::ORIGIN + r_mm * out, FRAC_PI_2 * speed * moved)
            }
            Piece::Cubic(curve) => (curve.eval(t), curve.deriv().eval(t).to_vec2()),
        }
    }
}

/// The four quarters of |x/a|ⁿ + |y/b|ⁿ = 1.
pub(crate) fn quarters(half_mm: Vec2, exponent: f64) -> Vec<Piece> {
    (0..4).map(|quarter| Piece::Quarter { half_mm, exponent, quarter }).collect()
}

/// Straight lines from corner to corner and back to the first; corners that fall together are one.
pub(crate) fn polygon(corners: &[Point]) -> Vec<Piece> {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .filter(|(from, to)| from != to)
        .map(|(&from, &to)| Piece::Line { from, to })
        .collect()
}

/// An arc about `centre` between two angles.
pub(crate) fn arc(centre: Point, radius_mm: f64, start: f64, sweep: f64) -> Piece {
    Piece::Arc { centre, radius_mm, start, sweep }
}

/// A rectangle of half-sides `half_mm` whose corners are quarters of a circle.
pub(crate) fn rounded_rectangle(half_mm: Vec2, corner_mm: f64) -> Vec<Piece> {
    let inner = half_mm - Vec2::new(corner_mm, corner_mm);
    let mut pieces = Vec::with_capacity(8);
    for (turn, (x, y)) in [(inner.x, inner.y), (-inner.x, inner.y), (-inner.x, -inner.y), (inner.x, -inner.y)]
        .into_iter()
        .enumerate()
    {
        let start = FRAC_PI_2 * turn as f64;
        let corner = arc(Point::new(x, y), corner_mm, start, FRAC_PI_2);
        if corner_mm > 0.0 {
            pieces.push(corner);
        }
        let from = corner.at(1.0).0;
        let along = Vec2::from_angle(start + PI);
        let long_mm = 2.0 * if turn % 2 == 0 { inner.x } else { inner.y };
        if long_mm > 0.0 {
            pieces.push(Piece::Line { from, to: from + long_mm * along });
        }
    }
    pieces
}

/// A short step along a rim.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Where it is.
    pub(crate) at: Point,
    /// How long it is.
    pub(crate) along_mm: f64,
    /// Twice the area of the triangle it makes with the middle; below nothing where the rim turns back.
    pub(crate) swept_mm2: f64,
}

/// The rim in steps at Gauss's points, each piece in so many panels.
pub(crate) fn steps(pieces: &[Piece], panels: u32) -> impl Iterator<Item = Step> + '_ {
    let width = 1.0 / f64::from(panels);
    pieces.iter().flat_map(move |piece| {
        // A straight line is alike all along, so it needs no finer panels.
        let (panels, width) = if matches!(piece, Piece::Line { .. }) { (1, 1.0) } else { (panels, width) };
        (0..panels).flat_map(move |panel| {
            GAUSS.iter().map(move |&(place, weight)| {
                let (at, moved) = piece.at((f64::from(panel) + place) * width);
                let share = weight * width;
                let swept_mm2 = share * at.to_vec2().cross(moved);
                Step { at, along_mm: share * moved.hypot(), swept_mm2 }
            })
        })
    })
}

/// A sum along a rim, with the panels doubled until it changes by no more than `tolerance`.
///
/// On a smooth piece the error of Gauss's five points falls a thousandfold with each doubling, so the last change is far
/// above what is left out.
pub(crate) fn settled(pieces: &[Piece], tolerance: f64, sum: impl Fn(&[Step]) -> f64) -> f64 {
    let mut panels = 4;
    let mut last = sum(&steps(pieces, panels).collect::<Vec<_>>());
    for _ in 0..DOUBLINGS {
        panels *= 2;
        let next = sum(&steps(pieces, panels).collect::<Vec<_>>());
        let change = (next - last).abs();
        last = next;
        if change <= tolerance.max(1e-13 * next.abs()) {
            break;
        }
    }
    last
}

/// The enclosed area.
pub(crate) fn area_mm2(pieces: &[Piece], tolerance_mm2: f64) -> f64 {
    settled(pieces, tolerance_mm2, |steps| steps.iter().map(|step| 0.5 * step.swept_mm2).sum())
}

/// The way round.
pub(crate) fn perimeter_mm(pieces: &[Piece], tolerance_mm: f64) -> f64 {
    settled(pieces, tolerance_mm, |steps| steps.iter().map(|step| step.along_mm).sum())
}

/// The centroid of the enclosed area. Each step's triangle has its own two thirds out.
pub(crate) fn centroid(pieces: &[Piece], tolerance_mm: f64) -> Vec2 {
    let area_mm2 = area_mm2(pieces, 0.0);
    let moment = |part: fn(Point) -> f64| {
        settled(pieces, tolerance_mm * area_mm2, |steps| {
            steps.iter().map(|step| part(step.at) * step.swept_mm2 / 3.0).sum()
        }) / area_mm2
    };
    Vec2::new(moment(|at| at.x), moment(|at| at.y))
}

/// True where the whole rim is seen from the middle, so that it can be made smaller without crossing itself.
pub(crate) fn is_seen_from_the_middle(pieces: &[Piece]) -> bool {
    steps(pieces, 16).all(|step| step.swept_mm2 > 0.0)
}

/// How far the rim is from the middle on both sides along `direction`, a unit vector. On a rim that turns back, the
/// farthest crossing counts.
pub(crate) fn reach_mm(pieces: &[Piece], direction: Vec2) -> (f64, f64) {
    const PARTS: u32 = 64;
    let (mut ahead_mm, mut behind_mm) = (0.0_f64, 0.0_f64);
    for piece in pieces {
        let aside = |t: f64| direction.cross(piece.at(t).0.to_vec2());
        for part in 0..PARTS {
            let (mut low, mut high) =
                (f64::from(part) / f64::from(PARTS), f64::from(part + 1) / f64::from(PARTS));
            let left = aside(low) > 0.0;
            if left == (aside(high) > 0.0) {
                continue;
            }
            // Fifty halvings of a sixty-fourth reach the end of double precision.
            for _ in 0..50 {
                let middle = 0.5 * (low + high);
                if (aside(middle) > 0.0) == left { low = middle } else { high = middle }
            }
            let far_mm = direction.dot(piece.at(0.5 * (low + high)).0.to_vec2());
            (ahead_mm, behind_mm) = (ahead_mm.max(far_mm), behind_mm.max(-far_mm));
        }
    }
    (ahead_mm, behind_mm)
}

/// The shortest way from the middle to the rim, at the points of [`steps`] and the ends of the pieces.
pub(crate) fn nearest_mm(pieces: &[Piece]) -> f64 {
    let ends = pieces.iter().map(|piece| piece.at(0.0).0);
    let between = steps(pieces, 64).map(|step| step.at);
    // A straight line is nearest at the foot of the upright from the middle, where that falls on it.
    let feet = pieces.iter().filter_map(|piece| match *piece {
        Piece::Line { from, to } => {
            let along = to - from;
            let t = -along.dot(from.to_vec2()) / along.hypot2();
            (0.0..=1.0).contains(&t).then(|| from.lerp(to, t))
        }
        _ => None,
    });
    ends.chain(between).chain(feet).fold(f64::INFINITY, |least, at| least.min(at.to_vec2().hypot()))
}

/// Corners on the rim, once round, so near together that the straight lines between them stay within `off_mm` of it.
/// Each piece is halved where it bends, and only there; no part is halved more than twelve times.
pub(crate) fn corners(pieces: &[Piece], off_mm: f64) -> Vec<Point> {
    const LEAST: f64 = 1.0 / 4096.0;
    let mut corners = Vec::new();
    for piece in pieces {
        let bends = |from: f64, to: f64| {
            let [start, quarter, middle, other, end] =
                [0.0, 0.25, 0.5, 0.75, 1.0].map(|t| piece.at(from + t * (to - from)).0);
            let way = (end - start).hypot().max(f64::MIN_POSITIVE);
            let aside = |at: Point| (end - start).cross(at - start).abs() / way;
            [quarter, middle, other].into_iter().any(|at| aside(at) > off_mm)
        };
        let mut parts = vec![(0.0, 1.0)];
        while let Some((from, to)) = parts.pop() {
            if to - from > LEAST && bends(from, to) {
                let middle = 0.5 * (from + to);
                parts.extend([(middle, to), (from, middle)]);
            } else {
                corners.push(piece.at(from).0);
            }
        }
    }
    corners
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_moves_as_its_points_do() {
        let half_mm = Vec2::new(7.0, 6.0);
        let mut pieces = quarters(half_mm, 2.5);
        pieces.extend(quarters(half_mm, 10.0));
        pieces.push(arc(Point::new(1.0, -2.0), 3.0, 0.4, -1.2));
        pieces.push(Piece::Line { from: Point::new(1.0, 2.0), to: Point::new(-3.0, 0.5) });
        pieces.push(Piece::Cubic(CubicBez::new((0.0, 0.0), (1.0, 2.0), (3.0, -1.0), (4.0, 4.0))));
        for piece in pieces {
            for t in [0.1, 0.37, 0.5, 0.88] {
                let (before, after) = (piece.at(t - 1e-6).0, piece.at(t + 1e-6).0);
                let by_difference = (after - before) / 2e-6;
                let moved = piece.at(t).1;
                assert!((moved - by_difference).hypot() < 1e-6 * (1.0 + moved.hypot()), "{piece:?} at {t}");
            }
        }
    }

    #[test]
    fn a_rim_closes() {
        for pieces in [
            quarters(Vec2::new(7.0, 6.0), 3.0),
            rounded_rectangle(Vec2::new(7.0, 5.0), 2.0),
            rounded_rectangle(Vec2::new(7.0, 5.0), 0.0),
            rounded_rectangle(Vec2::new(5.0, 5.0), 5.0),
        ] {
            let ends = pieces.iter().map(|piece| piece.at(1.0).0);
            let starts = pieces.iter().cycle().skip(1).map(|piece| piece.at(0.0).0);
            for (end, start) in ends.zip(starts) {
                assert!((end - start).hypot() < 1e-12, "{pieces:?}");
            }
        }
    }

    #[test]
    fn corners_lie_on_the_rim_and_leave_out_no_more_than_asked() {
        let circle = quarters(Vec2::new(5.0, 5.0), 2.0);
        for off_mm in [0.1, 0.01, 0.001] {
            let corners = corners(&circle, off_mm);
            assert!(corners.iter().all(|at| (at.to_vec2().hypot() - 5.0).abs() < 1e-12));
            let next = corners.iter().cycle().skip(1);
            let inmost = corners.iter().zip(next).map(|(a, b)| a.midpoint(*b).to_vec2().hypot());
            assert!(inmost.fold(5.0, f64::min) > 5.0 - 1.01 * off_mm);
            // As few as can be is π/√(2·off/r); halving may come to twice that, and uneven walking to a little more.
            let fewest = PI / (2.0 * off_mm / 5.0).sqrt();
            assert!((corners.len() as f64) < 2.5 * fewest + 8.0, "{off_mm}: {}", corners.len());
        }
        let square = polygon(&[(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)].map(Point::from));
        assert_eq!(corners(&square, 0.01).len(), 4);
        assert!((nearest_mm(&square) - 1.0).abs() < 1e-15 && (nearest_mm(&circle) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn a_rim_that_turns_back_is_not_seen_from_the_middle() {
        let corners = [(6.0, 0.0), (6.0, 5.0), (5.0, 5.0), (5.0, 1.0), (-6.0, 1.0), (-6.0, 0.0)];
        let bent = corners.map(|(x, y)| Point::new(x, y - 2.5));
        assert!(!is_seen_from_the_middle(&polygon(&bent)));
        assert!(is_seen_from_the_middle(&quarters(Vec2::new(7.0, 6.0), 10.0)));
    }
}
