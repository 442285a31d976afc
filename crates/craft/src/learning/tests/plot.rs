//! What the makers' orders brought, as a picture: plain SVG, made by hand.

use std::fmt::Write as _;

/// What all makers' orders of one number brought.
pub(super) struct Point {
    pub(super) minutes: f64,
    /// Makers who had a plan for it.
    pub(super) makers: u32,
    /// The share of their stones that set through.
    pub(super) share: f64,
}

/// The interval that holds a share in 95 of 100 counts of `n` (Wilson, *J. Am. Stat. Assoc.* 22:209, 1927).
fn within(share: f64, n: f64) -> (f64, f64) {
    let z = crate::chance::normal_quantile(0.975);
    let middle = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt() / (1.0 + z * z / n);
    (middle - half, middle + half)
}

/// Where a panel begins, in px from the top, and the values at its foot and at its head.
struct Panel {
    top: f64,
    least: f64,
    most: f64,
}

const LEFT: f64 = 70.0;
const WIDE: f64 = 520.0;
const HIGH: f64 = 190.0;

impl Panel {
    fn y(&self, value: f64) -> f64 {
        self.top + HIGH * (self.most - value) / (self.most - self.least)
    }

    /// Lines across at each of `marks`, and what the panel shows.
    fn frame(&self, svg: &mut String, title: &str, marks: &[(f64, String)]) {
        let (right, under) = (LEFT + WIDE, self.top - 10.0);
        writeln!(svg, r#"<text x="{LEFT}" y="{under:.1}" font-weight="bold">{title}</text>"#).unwrap();
        for (value, words) in marks {
            let y = self.y(*value);
            writeln!(svg, r##"<path d="M{LEFT} {y:.1}H{right}" stroke="#ccc"/>"##).unwrap();
            let (x, y) = (LEFT - 8.0, y + 4.0);
            writeln!(svg, r#"<text x="{x}" y="{y:.1}" text-anchor="end">{words}</text>"#).unwrap();
        }
    }
}

/// Minutes by the number of the order, and below it the share of stones set through with its interval.
///
/// Stones of one maker stand or fall together, so the interval counts makers and not stones: it is the wider one.
pub(super) fn svg(points: &[Point]) -> String {
    let x = |order: usize| LEFT + WIDE * (order as f64 + 0.5) / points.len() as f64;
    let mut svg = String::from(
        r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 620 520" font-family="sans-serif" font-size="12" fill="#222">
<rect width="620" height="520" fill="#fff"/>
"##,
    );
    let longest = points.iter().map(|point| point.minutes).fold(0.0, f64::max);
    let minutes = Panel { top: 40.0, least: 0.0, most: 10.0 * (longest / 10.0).ceil() };
    let tens = (0..).map(|ten| 10.0 * f64::from(ten)).take_while(|ten| *ten <= minutes.most);
    let marks: Vec<_> = tens.map(|ten| (ten, format!("{ten:.0}"))).collect();
    minutes.frame(&mut svg, "minutes at the bench, makers who always had a plan", &marks);
    let shares = Panel { top: 280.0, least: 0.88, most: 1.0 };
    let marks = [0.88, 0.90, 0.92, 0.94, 0.95, 0.96, 0.98, 1.0].map(|mark| (mark, format!("{mark:.2}")));
    shares.frame(&mut svg, "share of stones set through, with the interval of 95 in 100", &marks);
    let promised = shares.y(0.95);
    writeln!(svg, r##"<path d="M{LEFT} {promised:.1}h{WIDE}" stroke="#b00" stroke-dasharray="6 4"/>"##)
        .unwrap();
    for (order, point) in points.iter().enumerate() {
        let (x, number) = (x(order), order + 1);
        let (y, bar) = (minutes.y(point.minutes), x - 14.0);
        let high = minutes.y(0.0) - y;
        writeln!(svg, r##"<rect x="{bar:.1}" y="{y:.1}" width="28" height="{high:.1}" fill="#468"/>"##)
            .unwrap();
        let over = y - 4.0;
        writeln!(svg, r#"<text x="{x:.1}" y="{over:.1}" text-anchor="middle">{:.1}</text>"#, point.minutes)
            .unwrap();
        let (low, high) = within(point.share, f64::from(point.makers));
        // What lies under the panel is drawn to its edge.
        let [low, high, at] = [low, high, point.share].map(|share| shares.y(share.max(shares.least)));
        writeln!(svg, r##"<path d="M{x:.1} {low:.1}V{high:.1}" stroke="#222"/>"##).unwrap();
        writeln!(svg, r##"<circle cx="{x:.1}" cy="{at:.1}" r="4" fill="#468"/>"##).unwrap();
        writeln!(svg, r#"<text x="{x:.1}" y="490" text-anchor="middle">{number}</text>"#).unwrap();
    }
    let middle = LEFT + 0.5 * WIDE;
    writeln!(svg, r#"<text x="{middle}" y="510" text-anchor="middle">order</text>"#).unwrap();
    svg.push_str("</svg>\n");
    svg
}

/// Writes the picture to where `HELDFAST_MAKERS_PLOT` says, if it says anything.
#[expect(
    clippy::disallowed_methods,
    reason = "a picture is asked for from outside; the crate itself touches nothing"
)]
pub(super) fn keep(points: &[Point]) {
    if let Ok(path) = std::env::var("HELDFAST_MAKERS_PLOT") {
        std::fs::write(&path, svg(points)).unwrap();
        println!("drawn: {path}");
    }
}

#[test]
fn the_interval_of_a_share_is_wilsons_and_the_picture_shows_every_order() {
    // By hand: none of ten leaves 0 to z²/(n + z²) = 3.8415/13.8415, all of ten the same from the other end.
    let (low, high) = within(0.0, 10.0);
    assert!(low.abs() < 1e-12 && (high - 0.277_53).abs() < 1e-5, "{low} {high}");
    assert!((within(1.0, 10.0).0 - 0.722_47).abs() < 1e-5);
    let points = [(31.6, 200, 0.955), (28.4, 193, 1.0)].map(|(minutes, makers, share)| Point {
        minutes,
        makers,
        share,
    });
    let svg = svg(&points);
    assert_eq!((svg.matches("<circle").count(), svg.matches("<rect x=").count()), (2, 2));
    assert!(svg.contains(">31.6<") && svg.contains(">28.4<") && svg.ends_with("</svg>\n"));
    // All of 193 lies at the top, 280 px down; the highest bar of 40 minutes would be all of its panel.
    assert!(svg.contains(r#"cy="280.0""#) && svg.contains(r#"height="150.1""#), "{svg}");
}
