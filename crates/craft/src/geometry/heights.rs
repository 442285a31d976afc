//! A dome measured with a caliper: its height at a few places.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::GeometryError;
use super::numeric::gauss;
use crate::units::Length;

/// The most places that can be kept.
const MOST: usize = 8;
/// The places, the apex and the edge.
const KNOTS: usize = MOST + 2;

/// How high a dome stands above its edge at distances from the middle, measured across the width: one to eight
/// places, from the middle outward. The apex and the edge are not among them; they follow from the dome height and
/// the width.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Heights {
    many: u8,
    places: [(Length, Length); MOST],
}

impl Heights {
    /// From pairs of distance from the middle and height above the edge.
    ///
    /// # Errors
    /// No place or more than eight, a distance or height not above 0, distances that do not rise, heights that do
    /// not fall.
    pub fn new(places: &[(Length, Length)]) -> Result<Self, GeometryError> {
        let Ok(many @ 1..=8) = u8::try_from(places.len()) else {
            return Err(GeometryError::HowManyHeights { given: places.len() });
        };
        let positive = places.iter().all(|(from, height)| from.is_positive() && height.is_positive());
        let falling = places.windows(2).all(|pair| match pair {
            [inner, outer] => inner.0 < outer.0 && inner.1 > outer.1,
            _ => true,
        });
        if !positive || !falling {
            return Err(GeometryError::HeightsOutOfOrder);
        }
        let mut kept = [(Length::ZERO, Length::ZERO); MOST];
        for (slot, place) in kept.iter_mut().zip(places) {
            *slot = *place;
        }
        Ok(Self { many, places: kept })
    }

    /// The places, from the middle outward.
    pub fn places(&self) -> &[(Length, Length)] {
        self.places.get(..usize::from(self.many)).unwrap_or_default()
    }

    /// Checks that all lie on a dome of this height over this half-width.
    pub(crate) fn check(&self, dome: Length, half_width: Length) -> Result<(), GeometryError> {
        for &(from_middle, height) in self.places() {
            if from_middle >= half_width || height >= dome {
                return Err(GeometryError::HeightOffTheDome { from_middle, height, half_width, dome });
            }
        }
        Ok(())
    }
}

impl Serialize for Heights {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.places().serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Heights {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(&Vec::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

/// The line from apex to edge through measured places: depth below the apex over the scale of the section, 0–1.
///
/// Between the knots runs a cubic whose slopes at the knots are the weighted harmonic means of Fritsch and Butland
/// (1984, SIAM J. Sci. Stat. Comput. 5:300), so that depths rise all the way (Fritsch and Carlson 1980, SIAM J.
/// Numer. Anal. 17:238). The slope at the apex is nothing, for the dome goes on alike on the other side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line {
    many: usize,
    scale: [f64; KNOTS],
    depth_mm: [f64; KNOTS],
    slope_mm: [f64; KNOTS],
}

/// One cubic of a [`Line`].
#[derive(Clone, Copy)]
struct Span {
    from: f64,
    width: f64,
    depth_mm: (f64, f64),
    slope_mm: (f64, f64),
}

impl Span {
    /// The depth and its slope at a scale within the span.
    fn at(self, scale: f64) -> (f64, f64) {
        let t = (scale - self.from) / self.width;
        let (start, end) = self.depth_mm;
        let (leaves, arrives) = (self.slope_mm.0 * self.width, self.slope_mm.1 * self.width);
        let (square, cube) =
            (3.0 * (end - start) - 2.0 * leaves - arrives, leaves + arrives - 2.0 * (end - start));
        let depth_mm = start + t * (leaves + t * (square + t * cube));
        (depth_mm, (leaves + t * (2.0 * square + 3.0 * t * cube)) / self.width)
    }
}

impl Line {
    #[expect(clippy::indexing_slicing, reason = "every index is below the number of knots, at most KNOTS")]
    pub(crate) fn new(heights: &Heights, height_mm: f64, half_width_mm: f64) -> Self {
        let places = heights.places();
        let n = places.len() + 1;
        let (mut scale, mut depth_mm, mut slope_mm) = ([0.0; KNOTS], [0.0; KNOTS], [0.0; KNOTS]);
        for (i, (from_middle, height)) in places.iter().enumerate() {
            (scale[i + 1], depth_mm[i + 1]) = (from_middle.mm() / half_width_mm, height_mm - height.mm());
        }
        (scale[n], depth_mm[n]) = (1.0, height_mm);
        let wide = |i: usize| scale[i + 1] - scale[i];
        let steep = |i: usize| (depth_mm[i + 1] - depth_mm[i]) / wide(i);
        for (i, slope_mm) in slope_mm.iter_mut().enumerate().take(n).skip(1) {
            let (before, after) = (wide(i - 1), wide(i));
            let (first, second) = (2.0 * after + before, after + 2.0 * before);
            *slope_mm = (first + second) / (first / steep(i - 1) + second / steep(i));
        }
        // At the edge a parabola through the last three knots, held between flat and three times the last rise.
        let (last, before) = (wide(n - 1), wide(n - 2));
        let free = ((2.0 * last + before) * steep(n - 1) - last * steep(n - 2)) / (last + before);
        slope_mm[n] = free.clamp(0.0, 3.0 * steep(n - 1));
        Self { many: n, scale, depth_mm, slope_mm }
    }

    fn spans(&self) -> impl Iterator<Item = Span> + '_ {
        let knots = self.scale.iter().zip(self.depth_mm).zip(self.slope_mm).take(self.many + 1);
        let next = knots.clone().skip(1);
        knots.zip(next).map(|(((from, depth), slope), ((to, end), arrives))| Span {
            from: *from,
            width: to - from,
            depth_mm: (depth, end),
            slope_mm: (slope, arrives),
        })
    }

    /// The scales of the knots, from 0 to 1, in pairs.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.spans().map(|span| (span.from, span.from + span.width))
    }

    /// The depth below the apex where the section has a scale, and its slope there.
    pub(crate) fn at(&self, scale: f64) -> (f64, f64) {
        let span = self.spans().find(|span| scale <= span.from + span.width).or_else(|| self.spans().last());
        span.map_or((0.0, 0.0), |span| span.at(scale))
    }

    /// The scale of the section at a depth below the apex.
    pub(crate) fn scale_at(&self, depth_mm: f64) -> f64 {
        let Some(span) = self.spans().find(|span| depth_mm <= span.depth_mm.1) else { return 1.0 };
        let (mut low, mut high) = (span.from, span.from + span.width);
        // A cubic that rises is halved sixty times: to the last digit.
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if span.at(middle).0 < depth_mm { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }

    /// ∫ weight(depth)·scale² d(depth) from the apex to a scale. The rule of five points is exact up to the ninth
    /// power, so the result is exact for a weight up to the first.
    pub(crate) fn sum(&self, scale: f64, weight: impl Fn(f64) -> f64) -> f64 {
        self.spans()
            .take_while(|span| span.from < scale)
            .map(|span| {
                let to = scale.min(span.from + span.width);
                gauss(span.from, to, |s| {
                    let (depth_mm, slope_mm) = span.at(s);
                    weight(depth_mm) * s * s * slope_mm
                })
            })
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    #[test]
    fn heights_out_of_order_or_off_the_dome_are_refused_in_a_sentence() {
        assert_eq!(
            Heights::new(&[]).unwrap_err().to_string(),
            "0 heights were given; measure the dome at 1 to 8 places between its middle and its edge"
        );
        assert!(Heights::new(&[(mm(1.0), mm(1.0)); 9]).is_err());
        for wrong in [[(2.0, 3.0), (1.0, 2.0)], [(1.0, 2.0), (2.0, 2.0)], [(0.0, 3.0), (2.0, 2.0)]] {
            let places = wrong.map(|(from, height)| (mm(from), mm(height)));
            assert_eq!(
                Heights::new(&places).unwrap_err().to_string(),
                "the measured heights must fall from the middle to the edge, each at a larger distance than the one before"
            );
        }
        let heights = Heights::new(&[(mm(3.0), mm(2.0))]).unwrap();
        assert_eq!(
            heights.check(mm(2.0), mm(5.0)).unwrap_err().to_string(),
            "a height of 2 mm at 3 mm from the middle does not lie on a dome 2 mm high and 5 mm from middle to edge"
        );
        assert_eq!(heights.check(mm(2.5), mm(5.0)), Ok(()));
    }

    #[test]
    fn heights_are_written_as_a_list_of_pairs() {
        let heights = Heights::new(&[(mm(2.0), mm(3.4)), (mm(4.0), mm(2.1))]).unwrap();
        let text = ron::to_string(&heights).unwrap();
        assert_eq!(text, "[(\"2 mm\",\"3.4 mm\"),(\"4 mm\",\"2.1 mm\")]");
        assert_eq!(ron::from_str::<Heights>(&text).unwrap(), heights);
        assert!(ron::from_str::<Heights>("[]").is_err());
    }

    #[test]
    fn the_line_goes_through_every_place_and_never_turns_back() {
        let heights = Heights::new(&[(mm(1.0), mm(3.9)), (mm(4.0), mm(3.8)), (mm(5.0), mm(0.2))]).unwrap();
        let line = Line::new(&heights, 4.0, 6.5);
        for &(from, height) in heights.places() {
            let (depth_mm, _) = line.at(from.mm() / 6.5);
            assert!((depth_mm - (4.0 - height.mm())).abs() < 1e-12);
            assert!((line.scale_at(depth_mm) - from.mm() / 6.5).abs() < 1e-9);
        }
        let depths: Vec<f64> = (0..=1000).map(|i| line.at(f64::from(i) / 1000.0).0).collect();
        assert!(depths.windows(2).all(|pair| pair[1] >= pair[0]));
        assert!((depths[1000] - 4.0).abs() < 1e-12);
    }
}
