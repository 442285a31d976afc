//! An outline drawn as a closed path.

use std::fmt;
use std::hash::{Hash, Hasher};
use std::str::FromStr;
use std::sync::Arc;

use kurbo::{
    Affine, BezPath, CubicBez, ParamCurve as _, ParamCurveArclen as _, PathEl, PathSeg, Point, Rect,
    Shape as _, Vec2,
};

use super::rim::{self, Piece};
use super::svg;
use crate::units::Length;
use crate::written::written_as_text;

/// The most letters a path may have: far more than a stone's outline needs.
const MOST_LETTERS: usize = 20_000;
/// The most pieces.
const MOST_PIECES: usize = 500;
/// The most corners once it is made of straight pieces: what is compared two by two stays a matter of a moment.
const MOST_CORNERS: usize = 5_000;
/// Ends this near each other are the same point.
const SAME_MM: f64 = 0.01;
/// How far the straight pieces in which crossings are looked for may lie from the curve.
const FLAT_MM: f64 = 0.002;

/// Why a drawn path is no outline; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PathFault {
    /// Not a path at all.
    #[error("that is not a path ({why}); copy what the drawing has between the quotes after d=")]
    Unreadable {
        /// What was found.
        why: String,
    },
    /// Nothing drawn.
    #[error("the path is empty; draw one closed line round the stone")]
    Empty,
    /// More than one line.
    #[error("the path has {lines} separate lines, but a stone has one outline; keep the outer one")]
    Several {
        /// How many.
        lines: usize,
    },
    /// The ends are apart.
    #[error("the path is open, its ends are {gap} apart; close it in the drawing")]
    Open {
        /// How far apart.
        gap: Length,
    },
    /// It meets itself.
    #[error("the path crosses or touches itself near {x}, {y}; draw it once round without crossing")]
    Crossing {
        /// Where, across.
        x: Length,
        /// Where, down.
        y: Length,
    },
    /// Too small, too large, or no area.
    #[error(
        "the path is {wide} by {high}; an outline lies between 0.5 mm and 100 mm each way, drawn in millimetres"
    )]
    Size {
        /// Its width as drawn.
        wide: Length,
        /// Its height as drawn.
        high: Length,
    },
    /// A line there and back, or nearly.
    #[error("the path encloses next to nothing; draw it round the stone")]
    Thin,
    /// Too many pieces or letters.
    #[error("the path has too many points; simplify it to {MOST_PIECES} at most in the drawing")]
    TooFine,
}

/// A closed path in millimetres as a drawing program writes it (SVG, attribute `d`), which does not cross itself.
///
/// It is kept as it was written. Its middle is the middle of the rectangle round it; its length is the longer side of
/// that, and lies along x in what is worked out from it.
#[derive(Clone)]
pub struct Trace(Arc<Drawn>);

struct Drawn {
    text: String,
    pieces: Vec<Piece>,
    half_mm: Vec2,
    area_mm2: f64,
    seen: bool,
}

impl FromStr for Trace {
    type Err = PathFault;

    fn from_str(text: &str) -> Result<Self, PathFault> {
        let text = text.trim();
        if text.len() > MOST_LETTERS {
            return Err(PathFault::TooFine);
        }
        let path = read(text)?;
        let mut pieces = pieces_of(&path)?;
        let corners = flat_corners(&path);
        if corners.len() > MOST_CORNERS {
            return Err(PathFault::TooFine);
        }
        if let Some(at) = crossing(&corners) {
            return Err(PathFault::Crossing { x: Length::from_mm(at.x), y: Length::from_mm(at.y) });
        }
        let rect = path.bounding_box();
        if rim::area_mm2(&pieces, 0.0) < 0.0 {
            pieces = pieces.iter().rev().map(backward).collect();
        }
        let (half_mm, upright) = (0.5 * rect.size().to_vec2(), rect.height() > rect.width());
        let mut turn = Affine::translate(-rect.center().to_vec2());
        if upright {
            turn = Affine::rotate(-std::f64::consts::FRAC_PI_2) * turn;
        }
        let pieces: Vec<Piece> = pieces.iter().map(|piece| moved(piece, turn)).collect();
        let half_mm = if upright { Vec2::new(half_mm.y, half_mm.x) } else { half_mm };
        let area_mm2 = rim::area_mm2(&pieces, 0.0);
        if area_mm2 < 0.01 * rect.area() {
            return Err(PathFault::Thin);
        }
        let seen = rim::is_seen_from_the_middle(&pieces);
        Ok(Self(Arc::new(Drawn { text: text.to_owned(), pieces, half_mm, area_mm2, seen })))
    }
}

/// The one closed line of a path.
fn read(text: &str) -> Result<BezPath, PathFault> {
    let mut path = svg::read(text)?;
    let lines = path.elements().iter().filter(|part| matches!(part, PathEl::MoveTo(_))).count();
    if lines > 1 {
        return Err(PathFault::Several { lines });
    }
    if path.segments().next().is_none() {
        return Err(PathFault::Empty);
    }
    let rect = path.bounding_box();
    let fits = |side_mm: f64| (0.5..=100.0).contains(&side_mm);
    if !fits(rect.width()) || !fits(rect.height()) {
        let capped = |side_mm: f64| Length::from_mm(side_mm.min(1e9));
        return Err(PathFault::Size { wide: capped(rect.width()), high: capped(rect.height()) });
    }
    if !matches!(path.elements().last(), Some(PathEl::ClosePath)) {
        let ends =
            path.segments().next().map(|seg| seg.start()).zip(path.segments().last().map(|seg| seg.end()));
        let gap_mm = ends.map_or(0.0, |(start, end)| start.distance(end));
        if gap_mm > SAME_MM {
            return Err(PathFault::Open { gap: Length::from_mm(gap_mm) });
        }
        path.close_path();
    }
    Ok(path)
}

fn pieces_of(path: &BezPath) -> Result<Vec<Piece>, PathFault> {
    let pieces: Vec<Piece> = path
        .segments()
        .filter(|segment| segment.arclen(1e-6) > 0.0)
        .map(|segment| match segment {
            PathSeg::Line(line) => Piece::Line { from: line.p0, to: line.p1 },
            other => Piece::Cubic(other.to_cubic()),
        })
        .collect();
    if pieces.len() > MOST_PIECES { Err(PathFault::TooFine) } else { Ok(pieces) }
}

fn backward(piece: &Piece) -> Piece {
    match *piece {
        Piece::Line { from, to } => Piece::Line { from: to, to: from },
        Piece::Cubic(CubicBez { p0, p1, p2, p3 }) => Piece::Cubic(CubicBez::new(p3, p2, p1, p0)),
        other => other,
    }
}

fn moved(piece: &Piece, by: Affine) -> Piece {
    match *piece {
        Piece::Line { from, to } => Piece::Line { from: by * from, to: by * to },
        Piece::Cubic(curve) => Piece::Cubic(by * curve),
        other => other,
    }
}

/// The corners of straight pieces that stay within [`FLAT_MM`] of a closed path.
fn flat_corners(path: &BezPath) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    kurbo::flatten(path, FLAT_MM, |part| {
        if let PathEl::MoveTo(at) | PathEl::LineTo(at) = part
            && corners.last().is_none_or(|last| last.distance(at) > 1e-9)
        {
            corners.push(at);
        }
    });
    if corners.first().zip(corners.last()).is_some_and(|(first, last)| first.distance(*last) <= 1e-9) {
        corners.pop();
    }
    corners
}

/// Where a closed polygon meets itself, if it does.
fn crossing(corners: &[Point]) -> Option<Point> {
    let many = corners.len();
    let ends = corners.iter().cycle().skip(1);
    let mut sides: Vec<(usize, Point, Point)> =
        corners.iter().zip(ends).enumerate().map(|(i, (from, to))| (i, *from, *to)).collect();
    // From left to right, so that only sides whose widths overlap are compared.
    let left = |side: &(usize, Point, Point)| side.1.x.min(side.2.x);
    sides.sort_by(|one, other| left(one).total_cmp(&left(other)));
    for (place, one) in sides.iter().enumerate() {
        let right = one.1.x.max(one.2.x);
        for other in sides.iter().skip(place + 1).take_while(|other| left(other) <= right) {
            let apart = one.0.abs_diff(other.0);
            let met = if apart == 1 || apart == many - 1 { folded(one, other) } else { meets(one, other) };
            if met {
                return Some(shared(one, other));
            }
        }
    }
    None
}

/// True where two sides with a corner in common lie on each other.
fn folded(one: &(usize, Point, Point), other: &(usize, Point, Point)) -> bool {
    let (a, b) = (one.2 - one.1, other.2 - other.1);
    a.dot(b) < 0.0 && a.cross(b).abs() <= 1e-9 * a.hypot() * b.hypot()
}

/// True where two sides share a point.
fn meets(one: &(usize, Point, Point), other: &(usize, Point, Point)) -> bool {
    let boxed = |side: &(usize, Point, Point)| Rect::from_points(side.1, side.2);
    let (near, far) = (boxed(one), boxed(other));
    if near.y1 < far.y0 || far.y1 < near.y0 || near.x1 < far.x0 || far.x1 < near.x0 {
        return false;
    }
    let side_of = |line: &(usize, Point, Point), at: Point| (line.2 - line.1).cross(at - line.1);
    side_of(one, other.1) * side_of(one, other.2) <= 0.0
        && side_of(other, one.1) * side_of(other, one.2) <= 0.0
}

/// A point that two sides share which [`meets`] or are [`folded`]: where they cross, or the middle of what they have in
/// common where they lie along each other.
fn shared(one: &(usize, Point, Point), other: &(usize, Point, Point)) -> Point {
    let (a, b) = (one.2 - one.1, other.2 - other.1);
    let turn = a.cross(b);
    if turn.abs() > 1e-9 * a.hypot() * b.hypot() {
        return one.1 + a * ((other.1 - one.1).cross(b) / turn).clamp(0.0, 1.0);
    }
    // As shares of the first side; a side of no length cannot be, for corners are apart.
    let share = |at: Point| (at - one.1).dot(a) / a.hypot2();
    let (from, to) = (share(other.1), share(other.2));
    let (low, high) = (from.min(to).clamp(0.0, 1.0), from.max(to).clamp(0.0, 1.0));
    one.1 + a * (0.5 * (low + high))
}

impl Trace {
    /// The path as it was written.
    pub fn as_str(&self) -> &str {
        &self.0.text
    }

    pub(crate) fn pieces(&self) -> &[Piece] {
        &self.0.pieces
    }

    /// Half the length and half the width.
    pub(crate) fn half_mm(&self) -> Vec2 {
        self.0.half_mm
    }

    pub(crate) fn area_mm2(&self) -> f64 {
        self.0.area_mm2
    }

    /// Whether the whole rim is seen from the middle.
    pub(crate) fn is_seen_from_the_middle(&self) -> bool {
        self.0.seen
    }

    /// The same path made smaller or larger about its middle, written anew in its own frame.
    pub(crate) fn scaled(&self, scale: f64) -> Self {
        let by = Affine::scale(scale);
        let pieces: Vec<Piece> = self.pieces().iter().map(|piece| moved(piece, by)).collect();
        let mut path = BezPath::new();
        for piece in &pieces {
            if path.elements().is_empty() {
                path.move_to(piece.at(0.0).0);
            }
            match *piece {
                Piece::Cubic(curve) => path.curve_to(curve.p1, curve.p2, curve.p3),
                _ => path.line_to(piece.at(1.0).0),
            }
        }
        path.close_path();
        let Drawn { half_mm, area_mm2, seen, .. } = *self.0;
        let text = path.to_svg();
        Self(Arc::new(Drawn {
            text,
            pieces,
            half_mm: scale * half_mm,
            area_mm2: scale * scale * area_mm2,
            seen,
        }))
    }
}

impl PartialEq for Trace {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl Eq for Trace {}

impl Hash for Trace {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_str().hash(state);
    }
}

impl fmt::Display for Trace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Debug for Trace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

written_as_text!(Trace);

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(text: &str) -> String {
        text.parse::<Trace>().unwrap_err().to_string()
    }

    #[test]
    fn a_path_that_is_no_outline_gets_a_sentence() {
        assert_eq!(fault(""), "the path is empty; draw one closed line round the stone");
        assert_eq!(fault("M 0 0"), "the path is empty; draw one closed line round the stone");
        assert_eq!(
            fault("M 0 0 L 10 0 L 10 8 L 0 8"),
            "the path is open, its ends are 8 mm apart; close it in the drawing"
        );
        assert_eq!(
            fault("M 0 0 L 10 8 L 10 0 L 0 8 Z"),
            "the path crosses or touches itself near 5 mm, 4 mm; draw it once round without crossing"
        );
        assert_eq!(
            fault("M 0 0 H 9 V 9 H 0 Z M 2 2 H 4 V 4 Z"),
            "the path has 2 separate lines, but a stone has one outline; keep the outer one"
        );
        assert_eq!(
            fault("M 0 0 H 0.2 V 9 H 0 Z"),
            "the path is 0.2 mm by 9 mm; an outline lies between 0.5 mm and 100 mm each way, drawn in millimetres"
        );
        assert!(fault("M 0 0 H 1000 V 900 H 0 Z").starts_with("the path is 1000 mm by 900 mm;"));
        assert!(fault("M 0 0 H 1e300 V 9 H 0 Z").starts_with("the path is 1000000000 mm by 9 mm;"));
        for wrong in
            ["M 0 0 H 1e999 V 9 H 0 Z", "10 by 8", "M 0 0 L 10", "M 0 0 Q 1 x 2 2", "L 0 0 Z", "oval"]
        {
            let said = fault(wrong);
            assert!(said.starts_with("that is not a path ("), "{wrong}: {said}");
            assert!(said.ends_with("; copy what the drawing has between the quotes after d="), "{said}");
        }
        assert!(fault("M 0 0 L 10 10 L 0 0 Z").contains("crosses or touches itself"));
        assert_eq!(
            fault("M 0 0 L 10 10 L 10 10.01 L 0 0.01 Z"),
            "the path encloses next to nothing; draw it round the stone"
        );
    }

    #[test]
    fn a_path_of_too_many_points_is_refused_before_it_is_looked_at() {
        let comb: String =
            (0..400).map(|i| if i % 2 == 0 { "h 0.1 v 50 " } else { "h 0.1 v -50 " }).collect();
        let too_fine = "the path has too many points; simplify it to 500 at most in the drawing";
        assert_eq!(fault(&format!("M 0 0 {comb} V 60 H 0 Z")), too_fine);
        assert_eq!(fault(&"M 0 0 L 1 1 ".repeat(2_000)), too_fine);
    }

    #[test]
    fn a_loop_a_knot_and_a_waist_that_touches_are_crossings() {
        for crossing in [
            // One curve with a loop in itself.
            "M 0 0 C 12 10 -2 10 10 0 Z",
            // A figure of eight through one of its own corners.
            "M 0 0 L 5 4 L 10 0 L 10 8 L 5 4 L 0 8 Z",
            // A waist of no width.
            "M 0 0 H 10 V 8 H 0 V 5 L 10 4 L 0 3 Z",
        ] {
            assert!(fault(crossing).contains("crosses or touches itself"), "{crossing}");
        }
    }

    #[test]
    fn a_crossing_is_named_where_the_two_sides_meet() {
        let near = |text: &str, at: &str| {
            let said = fault(text);
            assert!(said.contains(&format!("near {at};")), "{text}: {said}");
        };
        // The long side is crossed near one end, far from its middle.
        near("M 0 0 L 40 0 L 5 -5 L 5 5 Z", "5 mm, 0 mm");
        near("M 5 5 L 5 -5 L 40 0 L 0 0 Z", "5 mm, 0 mm");
        // A corner on a side, and a side that runs back along another: from 2 mm to 10 mm of it.
        near("M 0 0 H 10 V 8 H 0 V 5 L 10 4 L 0 3 Z", "10 mm, 4 mm");
        near("M 0 0 H 10 H 2 V 8 H 0 Z", "6 mm, 0 mm");
    }

    #[test]
    fn a_path_is_kept_as_written_whichever_way_round_it_runs() {
        let trace: Trace = " M 2 3 h 10 v 8 h -10 z ".parse().unwrap();
        let back: Trace = "M2 3v8h10v-8z".parse().unwrap();
        assert_eq!(trace.as_str(), "M 2 3 h 10 v 8 h -10 z");
        assert!((trace.area_mm2() - 80.0).abs() < 1e-12 && (back.area_mm2() - 80.0).abs() < 1e-12);
        assert_eq!(ron::from_str::<Trace>(&ron::to_string(&trace).unwrap()).unwrap(), trace);
        assert!(ron::from_str::<Trace>("\"M 0 0 L 10 0\"").is_err());
        let upright: Trace = "M 0 0 h 8 v 10 h -8 z".parse().unwrap();
        assert_eq!(upright.half_mm(), Vec2::new(5.0, 4.0));
        let small = trace.scaled(0.5);
        assert!((small.area_mm2() - 20.0).abs() < 1e-12);
        assert_eq!(small.as_str().parse::<Trace>().unwrap(), small);
    }

    #[test]
    fn an_end_a_hundredth_from_the_start_is_closed() {
        assert!("M 0 0 L 10 0 L 10 8 L 0 8 L 0 0.005".parse::<Trace>().is_ok());
        assert!("M 0 0 L 10 0 L 10 8 L 0 8 L 0 0.02".parse::<Trace>().is_err());
    }
}
