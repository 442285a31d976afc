//! Colours as the eye tells them apart.

/// A colour of a drawing: red, green, blue as on a screen (sRGB).
pub type Rgb = (u8, u8, u8);

/// A colour in CIE 1976 L*a*b*, daylight D65.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lab {
    /// Lightness, 0–100.
    pub l: f64,
    /// Green to red.
    pub a: f64,
    /// Blue to yellow.
    pub b: f64,
}

/// The eye's cube root with its straight foot (CIE 15:2004, 8.2.1).
fn cube_root(share: f64) -> f64 {
    if share > 216.0 / 24389.0 { share.cbrt() } else { (24389.0 / 27.0 * share + 16.0) / 116.0 }
}

impl Lab {
    /// A grey of this reflectance, 0–1.
    pub fn grey(reflectance: f64) -> Self {
        Self { l: 116.0 * cube_root(reflectance) - 16.0, a: 0.0, b: 0.0 }
    }

    /// The colour of linear red, green and blue, each 0–1 (IEC 61966-2-1, matrix and white of sRGB).
    pub fn of_linear([red, green, blue]: [f64; 3]) -> Self {
        let x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505;
        let y = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
        let z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.0890;
        let [x, y, z] = [x, y, z].map(cube_root);
        Self { l: 116.0 * y - 16.0, a: 500.0 * (x - y), b: 200.0 * (y - z) }
    }
}

/// From a screen's value to linear light (IEC 61966-2-1).
pub(super) fn linear(value: u8) -> f64 {
    let v = f64::from(value) / 255.0;
    if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}

/// From linear light to a screen's value.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is 0–255 when it is cast"
)]
pub(super) fn screen(light: f64) -> u8 {
    let light = light.clamp(0.0, 1.0);
    let v = if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
    (255.0 * v).round() as u8
}

/// The hue in degrees, 0–360; 0 for a grey.
fn hue(a: f64, b: f64) -> f64 {
    if a == 0.0 && b == 0.0 { 0.0 } else { b.atan2(a).to_degrees().rem_euclid(360.0) }
}

/// The turn from one hue to another the short way, and the hue half way; for a grey the other's hue counts.
fn hues(first: f64, second: f64, coloured: bool) -> (f64, f64) {
    if !coloured {
        return (0.0, first + second);
    }
    let turn = second - first;
    let short = if turn > 180.0 {
        turn - 360.0
    } else if turn < -180.0 {
        turn + 360.0
    } else {
        turn
    };
    let sum = first + second;
    let mean = if turn.abs() <= 180.0 {
        0.5 * sum
    } else if sum < 360.0 {
        0.5 * (sum + 360.0)
    } else {
        0.5 * (sum - 360.0)
    };
    (short, mean)
}

/// The colour difference CIEDE2000 with all weights 1 (CIE 142-2001), in the steps of Sharma, Wu and Dalal (2005, Color
/// Res. Appl. 30:21). 1 is about what is just seen side by side.
pub fn colour_difference(one: Lab, other: Lab) -> f64 {
    const C25_7: f64 = 6_103_515_625.0;
    let sevenths = |chroma: f64| (chroma.powi(7) / (chroma.powi(7) + C25_7)).sqrt();
    let mean_chroma = 0.5 * (one.a.hypot(one.b) + other.a.hypot(other.b));
    let stretch = 1.0 + 0.5 * (1.0 - sevenths(mean_chroma));
    let (a1, a2) = (stretch * one.a, stretch * other.a);
    let (c1, c2) = (a1.hypot(one.b), a2.hypot(other.b));
    let (turn, mean_hue) = hues(hue(a1, one.b), hue(a2, other.b), c1 * c2 != 0.0);
    let (dl, dc) = (other.l - one.l, c2 - c1);
    let dh = 2.0 * (c1 * c2).sqrt() * (0.5 * turn).to_radians().sin();

    let (l, c) = (0.5 * (one.l + other.l), 0.5 * (c1 + c2));
    let wave = |factor: f64, shift: f64| (factor * mean_hue + shift).to_radians().cos();
    let t = 1.0 - 0.17 * wave(1.0, -30.0) + 0.24 * wave(2.0, 0.0) + 0.32 * wave(3.0, 6.0)
        - 0.20 * wave(4.0, -63.0);
    let off_50 = (l - 50.0).powi(2);
    let sl = 1.0 + 0.015 * off_50 / (20.0 + off_50).sqrt();
    let (sc, sh) = (1.0 + 0.045 * c, 1.0 + 0.015 * c * t);
    let rotation = 30.0 * (-((mean_hue - 275.0) / 25.0).powi(2)).exp();
    let rt = -(2.0 * rotation).to_radians().sin() * 2.0 * sevenths(c);
    let (l, c, h) = (dl / sl, dc / sc, dh / sh);
    (l * l + c * c + h * h + rt * c * h).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sharma, Wu and Dalal (2005, Color Res. Appl. 30:21), table 1: two colours and their difference.
    const PAIRS: [[f64; 7]; 34] = [
        [50.0000, 2.6772, -79.7751, 50.0000, 0.0000, -82.7485, 2.0425],
        [50.0000, 3.1571, -77.2803, 50.0000, 0.0000, -82.7485, 2.8615],
        [50.0000, 2.8361, -74.0200, 50.0000, 0.0000, -82.7485, 3.4412],
        [50.0000, -1.3802, -84.2814, 50.0000, 0.0000, -82.7485, 1.0000],
        [50.0000, -1.1848, -84.8006, 50.0000, 0.0000, -82.7485, 1.0000],
        [50.0000, -0.9009, -85.5211, 50.0000, 0.0000, -82.7485, 1.0000],
        [50.0000, 0.0000, 0.0000, 50.0000, -1.0000, 2.0000, 2.3669],
        [50.0000, -1.0000, 2.0000, 50.0000, 0.0000, 0.0000, 2.3669],
        [50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0009, 7.1792],
        [50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0010, 7.1792],
        [50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0011, 7.2195],
        [50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0012, 7.2195],
        [50.0000, -0.0010, 2.4900, 50.0000, 0.0009, -2.4900, 4.8045],
        [50.0000, -0.0010, 2.4900, 50.0000, 0.0010, -2.4900, 4.8045],
        [50.0000, -0.0010, 2.4900, 50.0000, 0.0011, -2.4900, 4.7461],
        [50.0000, 2.5000, 0.0000, 50.0000, 0.0000, -2.5000, 4.3065],
        [50.0000, 2.5000, 0.0000, 73.0000, 25.0000, -18.0000, 27.1492],
        [50.0000, 2.5000, 0.0000, 61.0000, -5.0000, 29.0000, 22.8977],
        [50.0000, 2.5000, 0.0000, 56.0000, -27.0000, -3.0000, 31.9030],
        [50.0000, 2.5000, 0.0000, 58.0000, 24.0000, 15.0000, 19.4535],
        [50.0000, 2.5000, 0.0000, 50.0000, 3.1736, 0.5854, 1.0000],
        [50.0000, 2.5000, 0.0000, 50.0000, 3.2972, 0.0000, 1.0000],
        [50.0000, 2.5000, 0.0000, 50.0000, 1.8634, 0.5757, 1.0000],
        [50.0000, 2.5000, 0.0000, 50.0000, 3.2592, 0.3350, 1.0000],
        [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644],
        [63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630],
        [61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731],
        [35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645],
        [22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373],
        [36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146],
        [90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441],
        [90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381],
        [6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377],
        [2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082],
    ];

    fn pairs_hold(difference: impl Fn(Lab, Lab) -> f64) -> bool {
        PAIRS.iter().all(|&[l1, a1, b1, l2, a2, b2, want]| {
            let (one, other) = (Lab { l: l1, a: a1, b: b1 }, Lab { l: l2, a: a2, b: b2 });
            (difference(one, other) - want).abs() < 6e-5
        })
    }

    #[test]
    fn the_difference_meets_all_published_pairs_both_ways() {
        assert!(pairs_hold(colour_difference));
        assert!(pairs_hold(|one, other| colour_difference(other, one)));
        let euclid = |one: Lab, other: Lab| (one.l - other.l).hypot((one.a - other.a).hypot(one.b - other.b));
        assert!(!pairs_hold(euclid), "broken: the difference of 1976");
        let mirrored = |one: Lab, other: Lab| {
            let turned = |lab: Lab| Lab { b: -lab.b, ..lab };
            colour_difference(turned(one), turned(other))
        };
        assert!(!pairs_hold(mirrored), "broken: blue for yellow");
    }

    #[test]
    fn white_black_and_the_primaries_lie_where_the_standard_puts_them() {
        let white = Lab::of_linear([1.0; 3]);
        assert!((white.l - 100.0).abs() < 1e-9 && white.a.abs() < 0.01 && white.b.abs() < 0.02, "{white:?}");
        assert!((Lab::grey(1.0).l - 100.0).abs() < 1e-9 && Lab::grey(0.0).l.abs() < 1e-12);
        // A grey card of 18 % (computed independently with colour-science 0.4.7).
        assert!((Lab::grey(0.18).l - 49.496108).abs() < 1e-5);
        // Red of sRGB, colour-science: L* 53.2329, a* 80.1112, b* 67.2237; its matrix has more digits than the standard's.
        let red = Lab::of_linear([1.0, 0.0, 0.0]);
        assert!(
            (red.l - 53.2329).abs() < 0.02
                && (red.a - 80.1112).abs() < 0.03
                && (red.b - 67.2237).abs() < 0.03,
            "{red:?}"
        );
    }

    #[test]
    fn a_screen_value_comes_back_from_light() {
        assert!((0..=255).all(|value| screen(linear(value)) == value));
        assert_eq!((screen(-1.0), screen(2.0)), (0, 255));
    }
}
