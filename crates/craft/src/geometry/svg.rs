//! Reading the text of a path.

use kurbo::{Arc, BezPath, PathEl, Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

use super::trace::PathFault;

/// How far the curves that stand for an arc of a circle may lie from it.
const ARC_MM: f64 = 1e-7;

/// The path in a text (SVG 1.1, 8.3: all its commands), in millimetres.
///
/// # Errors
/// A text that is no path, or a number that is not finite.
pub(super) fn read(text: &str) -> Result<BezPath, PathFault> {
    let mut reader = Reader { path: BezPath::new(), at: Point::ORIGIN, start: Point::ORIGIN, control: None };
    for segment in PathParser::from(text) {
        match segment {
            Ok(segment) => reader.take(segment),
            Err(why) => return Err(PathFault::Unreadable { why: why.to_string() }),
        }
    }
    if reader.path.is_finite() {
        Ok(reader.path)
    } else {
        Err(PathFault::Unreadable { why: "a number in it is too large".to_owned() })
    }
}

/// The control point before, which a smooth curve goes on from.
enum Control {
    Cubic(Point),
    Quad(Point),
}

struct Reader {
    path: BezPath,
    at: Point,
    start: Point,
    control: Option<Control>,
}

impl Reader {
    fn place(&self, abs: bool, x: f64, y: f64) -> Point {
        if abs { Point::new(x, y) } else { self.at + Vec2::new(x, y) }
    }

    /// The control point before, mirrored in the current point.
    fn mirrored(&self, control: Point) -> Point {
        self.at + (self.at - control)
    }

    fn line(&mut self, to: Point) {
        self.path.line_to(to);
        (self.at, self.control) = (to, None);
    }

    fn cubic(&mut self, first: Point, second: Point, to: Point) {
        self.path.curve_to(first, second, to);
        (self.at, self.control) = (to, Some(Control::Cubic(second)));
    }

    fn quad(&mut self, first: Point, to: Point) {
        self.path.quad_to(first, to);
        (self.at, self.control) = (to, Some(Control::Quad(first)));
    }

    fn arc(&mut self, arc: &SvgArc) {
        match Arc::from_svg_arc(arc) {
            Some(round) => self.path.extend(round.append_iter(ARC_MM)),
            None => self.path.line_to(arc.to),
        }
        // The last curve ends a rounding away from where the text says.
        if let Some(PathEl::CurveTo(first, second, _)) = self.path.pop() {
            self.path.curve_to(first, second, arc.to);
        } else {
            self.path.line_to(arc.to);
        }
        (self.at, self.control) = (arc.to, None);
    }

    fn take(&mut self, segment: PathSegment) {
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                let to = self.place(abs, x, y);
                self.path.move_to(to);
                (self.at, self.start, self.control) = (to, to, None);
            }
            PathSegment::LineTo { abs, x, y } => self.line(self.place(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                self.line(Point::new(self.place(abs, x, 0.0).x, self.at.y));
            }
            PathSegment::VerticalLineTo { abs, y } => {
                self.line(Point::new(self.at.x, self.place(abs, 0.0, y).y));
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                self.cubic(self.place(abs, x1, y1), self.place(abs, x2, y2), self.place(abs, x, y));
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let first = match self.control {
                    Some(Control::Cubic(control)) => self.mirrored(control),
                    _ => self.at,
                };
                self.cubic(first, self.place(abs, x2, y2), self.place(abs, x, y));
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                self.quad(self.place(abs, x1, y1), self.place(abs, x, y));
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let first = match self.control {
                    Some(Control::Quad(control)) => self.mirrored(control),
                    _ => self.at,
                };
                self.quad(first, self.place(abs, x, y));
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let (from, to) = (self.at, self.place(abs, x, y));
                let (radii, x_rotation) = (Vec2::new(rx, ry), x_axis_rotation.to_radians());
                self.arc(&SvgArc { from, to, radii, x_rotation, large_arc, sweep });
            }
            PathSegment::ClosePath { .. } => {
                self.path.close_path();
                (self.at, self.control) = (self.start, None);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Shape as _;

    use super::*;

    /// Second method: the reader of another library (kurbo), whose arcs are only right to a tenth.
    #[test]
    fn every_command_is_read_as_another_library_reads_it() {
        for text in [
            "M1 2 L3 4 H9 V12 h-3 v2 l-5 1 z",
            "m 0 0 c 1 2 3 4 5 0 s 4 3 5 0 S 14 -3 15 0 C 16 4 3 9 0 0 z",
            "M 0 0 Q 3 4 6 0 T 12 0 t 3 3 q -5 9 -15 -3 Z",
            "M0 0s3 4 6 0 6-4 9 0q1 5 5 20T20 20t-20-20z",
        ] {
            let (ours, theirs) = (read(text).unwrap(), BezPath::from_svg(text).unwrap());
            assert_eq!(ours, theirs, "{text}");
        }
    }

    #[test]
    fn an_arc_of_a_circle_is_the_circle() {
        let circle = read("M 5 0 A 5 5 0 0 1 -5 0 a 5 5 0 0 1 10 0 Z").unwrap();
        assert!((circle.area() - 25.0 * std::f64::consts::PI).abs() < 1e-5);
        let rough = BezPath::from_svg("M 5 0 A 5 5 0 0 1 -5 0 a 5 5 0 0 1 10 0 Z").unwrap();
        assert!((rough.area() - 25.0 * std::f64::consts::PI).abs() > 1e-3, "broken: arcs right to a tenth");
        let ellipse = read("M 8 0 A 4 8 90 0 0 -8 0 A 4 8 90 0 0 8 0").unwrap();
        assert!((ellipse.area().abs() - 32.0 * std::f64::consts::PI).abs() < 1e-5);
        // A smooth quadratic after a cubic starts straight out (SVG 1.1, 8.3.7), so it is a line.
        let after = read("M 0 0 C 1 2 3 2 4 0 T 9 0 Z").unwrap();
        assert_eq!(
            after.elements().get(2),
            Some(&PathEl::QuadTo(Point::new(4.0, 0.0), Point::new(9.0, 0.0)))
        );
        let straight = read("M 0 0 A 0 5 0 0 1 10 0 L 5 5 Z").unwrap();
        assert!((straight.area().abs() - 25.0).abs() < 1e-12);
    }
}
