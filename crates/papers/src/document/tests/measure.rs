//! Rulers on the preview's pixels: the bar, the outlines, the QR.

use super::*;

/// 254 dpi: ten pixels a millimetre.
const DPI: f64 = 254.0;
const PIXELS_PER_MM: f64 = DPI / 25.4;

fn pixel(pixels: &Pixels, x: u32, y: u32) -> [u8; 3] {
    let at = 4 * (y as usize * pixels.width as usize + x as usize);
    [pixels.rgba[at], pixels.rgba[at + 1], pixels.rgba[at + 2]]
}

/// The longest unbroken dark run across the lower quarter of a page, in millimetres.
fn longest_dark_run_mm(pixels: &Pixels) -> f64 {
    let mut longest = 0_u32;
    for y in pixels.height * 3 / 4..pixels.height {
        let mut run = 0;
        for x in 0..pixels.width {
            run = if pixel(pixels, x, y).iter().all(|&value| value < 110) { run + 1 } else { 0 };
            longest = longest.max(run);
        }
    }
    f64::from(longest) / PIXELS_PER_MM
}

fn bar_is_true(pixels: &Pixels) -> bool {
    (longest_dark_run_mm(pixels) - 100.0).abs() <= 0.3
}

#[test]
fn the_bar_is_100_mm_long_on_every_page_and_a_shrunk_one_is_caught() {
    let made = samples::proof(7);
    for size in [PaperSize::A4, PaperSize::Letter] {
        let issued = set_usual(&made, size);
        for page in 0..2 {
            let pixels = issued.pixels(page, DPI).expect("there are two pages");
            assert!(bar_is_true(&pixels), "page {page} of {size:?}: {} mm", longest_dark_run_mm(&pixels));
        }
    }
    // What “fit to page” commonly does to a bar: 97 %.
    let shrunk = template(Kind::Proof).replace("rect(width: 100mm", "rect(width: 97mm");
    assert_ne!(shrunk, template(Kind::Proof));
    let broken = Sheet { template: Some(&shrunk), ..sheet(PaperSize::A4) };
    let issued = render(&made.0, &broken, &made.1).expect("the shrunk bar still sets");
    assert!(!bar_is_true(&issued.pixels(0, DPI).expect("there is a page")));
}

/// Extents of the one bright magenta shape on a page, in millimetres, with the dark line round it.
fn magenta_extents_mm(pixels: &Pixels) -> (f64, f64) {
    let (mut left, mut right, mut top, mut bottom) = (u32::MAX, 0, u32::MAX, 0);
    for y in 0..pixels.height {
        for x in 0..pixels.width {
            let [red, green, blue] = pixel(pixels, x, y);
            if red > 200 && green < 90 && blue > 200 {
                (left, right, top, bottom) = (left.min(x), right.max(x), top.min(y), bottom.max(y));
            }
        }
    }
    // The line is 0.2 mm wide and lies inside the outline's edge, on both sides of the fill.
    let with_line_mm =
        |first: u32, last: u32| f64::from((last + 1).saturating_sub(first)) / PIXELS_PER_MM + 0.4;
    (with_line_mm(left, right), with_line_mm(top, bottom))
}

fn drawn_extents_mm(outline: &Outline, source: &str) -> (f64, f64) {
    let (mut facts, mut assets) = proof_facts(1);
    assets.photos.clear();
    facts.stones[0].photo = None;
    facts.stones[0].colour = "#ff00ff".into();
    facts.stones[0].outline = Some(outline.clone());
    let sheet = Sheet { template: Some(source), ..sheet(PaperSize::A4) };
    let issued = render(&Paper::Proof(facts), &sheet, &assets).expect("the sheet sets");
    magenta_extents_mm(&issued.pixels(0, DPI).expect("there is a page"))
}

fn is_true_size(outline: &Outline, source: &str) -> bool {
    let (across_mm, down_mm) = drawn_extents_mm(outline, source);
    let (want_across_mm, want_down_mm) = outline.extents_mm().expect("the outline can be drawn");
    (across_mm - want_across_mm).abs() <= 0.15 && (down_mm - want_down_mm).abs() <= 0.15
}

#[test]
fn outlines_are_drawn_in_true_size_and_a_radius_for_a_diameter_is_caught() {
    let house = template(Kind::Proof);
    // A plain right-angled figure: its extents are read off its corners, 14 across and 10 down.
    let figure =
        Outline::Path { points_mm: vec![[-3.0, 2.0], [11.0, 2.0], [11.0, 12.0], [4.0, 12.0], [-3.0, 7.0]] };
    assert_eq!(figure.extents_mm(), Some((14.0, 10.0)));
    let round = Outline::Oval { length_mm: 12.0, width_mm: 12.0 };
    let oval = Outline::Oval { length_mm: 18.0, width_mm: 13.0 };
    let large = Outline::Oval { length_mm: 60.0, width_mm: 44.0 };
    for outline in [&figure, &round, &oval, &large] {
        assert!(is_true_size(outline, house), "{outline:?}: drawn {:?}", drawn_extents_mm(outline, house));
    }
    let halved = house.replace("ellipse(width: across * 1mm - pen", "ellipse(width: across * 0.5mm - pen");
    assert_ne!(halved, house);
    assert!(!is_true_size(&oval, &halved));
    // A line laid on the edge instead of inside it is 0.2 mm too large in all.
    let outside = house.replace("ellipse(width: across * 1mm - pen", "ellipse(width: across * 1mm + pen");
    assert!(!is_true_size(&oval, &outside));
}

fn read_codes(pixels: &Pixels) -> Vec<String> {
    let mut prepared =
        rqrr::PreparedImage::prepare_from_greyscale(pixels.width as usize, pixels.height as usize, |x, y| {
            pixel(pixels, u32::try_from(x).unwrap_or(0), u32::try_from(y).unwrap_or(0))[1]
        });
    prepared.detect_grids().iter().filter_map(|grid| grid.decode().ok()).map(|(_, content)| content).collect()
}

#[test]
fn the_tag_and_nothing_else_is_read_back_from_every_paper() {
    for made in every_paper() {
        let kind = made.0.kind();
        for &size in kind.sizes() {
            let issued = set_usual(&made, size);
            let codes = read_codes(&issued.pixels(0, 300.0).expect("there is a page"));
            assert!(!codes.is_empty(), "no code is read on the {kind:?} paper in {size:?}");
            assert!(codes.iter().all(|code| code == "7K2-M4P"), "{kind:?} in {size:?}: {codes:?}");
        }
    }
}

#[test]
fn a_paper_without_a_tag_bears_no_code() {
    let (mut facts, assets) = proof_facts(1);
    facts.header.tag = String::new();
    let issued = set_usual(&(Paper::Proof(facts), assets), PaperSize::A4);
    assert!(read_codes(&issued.pixels(0, 200.0).expect("there is a page")).is_empty());
}
