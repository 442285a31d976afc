//! The papers as a reader and a ruler see them: set, rendered and measured.

mod measure;
mod samples;
mod templates;
mod words;

use super::*;
use crate::facts::{KitGuide, Outline, ProofFacts};

fn sheet(size: PaperSize) -> Sheet<'static> {
    Sheet::new(size, samples::STAMP)
}

fn set_usual(made: &(Paper, Assets), size: PaperSize) -> Issued {
    render(&made.0, &sheet(size), &made.1)
        .unwrap_or_else(|error| panic!("{:?} in {size:?}: {error}", made.0.kind()))
}

fn every_paper() -> Vec<(Paper, Assets)> {
    let kit = samples::kit(vec![KitGuide::hair(), KitGuide::ashes()]);
    vec![
        kit,
        samples::receipt(),
        samples::proof(3),
        samples::packing(),
        samples::care(),
        samples::custody(1, 12),
    ]
}

fn proof_facts(count: u32) -> (ProofFacts, Assets) {
    match samples::proof(count) {
        (Paper::Proof(facts), assets) => (facts, assets),
        (other, _) => panic!("{:?} is no proof sheet", other.kind()),
    }
}

/// The most pages a proof sheet of so many stones may take.
fn most_pages(count: u32) -> usize {
    if count <= 6 { 1 } else { 2 }
}

#[test]
fn a_proof_sheet_keeps_to_its_pages_with_mixed_photos_on_both_papers() {
    for size in [PaperSize::A4, PaperSize::Letter] {
        for count in 2..=12 {
            let issued = set_usual(&samples::proof(count), size);
            assert_eq!(issued.pages(), most_pages(count), "{count} stones on {size:?}");
        }
    }
}

#[test]
fn a_proof_sheet_keeps_to_its_pages_with_long_captions_and_large_outlines() {
    for size in [PaperSize::A4, PaperSize::Letter] {
        for count in [2, 4, 6, 8, 12] {
            let (mut facts, assets) = proof_facts(count);
            for stone in &mut facts.stones {
                stone.caption =
                    "A lighter one with a single curl across, and two strands that cross at the edge".into();
                stone.outline = Some(Outline::Oval { length_mm: 25.0, width_mm: 18.0 });
            }
            let issued = set_usual(&(Paper::Proof(facts), assets), size);
            assert_eq!(issued.pages(), most_pages(count), "{count} stones on {size:?}");
        }
    }
}

#[test]
fn the_usual_papers_fit_their_sheets() {
    assert_eq!(set_usual(&samples::receipt(), PaperSize::A4).pages(), 1);
    assert_eq!(set_usual(&samples::receipt(), PaperSize::Letter).pages(), 1);
    assert_eq!(set_usual(&samples::kit(vec![KitGuide::milk()]), PaperSize::Letter).pages(), 1);
    assert_eq!(set_usual(&samples::packing(), PaperSize::A4).pages(), 1);
    assert_eq!(set_usual(&samples::care(), PaperSize::A6).pages(), 1);
    for size in [PaperSize::A4, PaperSize::Letter] {
        assert_eq!(set_usual(&samples::custody(1, 8), size).pages(), 1, "one lot, few entries, {size:?}");
        assert_eq!(set_usual(&samples::custody(1, 30), size).pages(), 2, "one lot, its whole life, {size:?}");
        let two = set_usual(&samples::custody(2, 24), size).pages();
        assert!((2..=3).contains(&two), "two lots on {size:?}: {two} pages");
    }
    assert_eq!(set_usual(&samples::care(), PaperSize::Card).pages(), 1);
}

#[test]
fn a_pixel_page_has_the_size_of_the_sheet() {
    let issued = set_usual(&samples::care(), PaperSize::A6);
    let pixels = issued.pixels(0, 254.0).expect("there is a first page");
    // 254 dpi is ten pixels a millimetre.
    assert!(pixels.width.abs_diff(1050) <= 1 && pixels.height.abs_diff(1480) <= 1, "{pixels:?}");
    assert_eq!(pixels.rgba.len(), 4 * pixels.width as usize * pixels.height as usize);
    assert!(pixels.rgba.chunks_exact(4).all(|pixel| pixel[3] == 255), "the page is opaque");
    assert_eq!(issued.pixels(1, 254.0), None);
}

#[test]
fn every_paper_names_both_standards_and_carries_no_camera_notes() {
    for made in every_paper() {
        let kind = made.0.kind();
        let pdf = set_usual(&made, kind.sizes()[0]).pdf;
        // The XMP names of ISO 19005-2:2011 and ISO 14289-1:2014, as the engine writes them.
        for mark in ["<pdfaid:part>2<", "<pdfaid:conformance>A<", "<pdfuaid:part>1<"] {
            assert!(holds(&pdf, mark.as_bytes()), "{kind:?} lacks {mark}");
        }
        assert!(!holds(&pdf, b"Exif"), "{kind:?} carries Exif");
    }
}

fn holds(haystack: &[u8], needle: &[u8]) -> bool {
    haystack.windows(needle.len()).any(|window| window == needle)
}

#[test]
fn the_same_facts_at_the_same_moment_give_the_same_bytes() {
    let made = samples::receipt();
    let first = set_usual(&made, PaperSize::A4).pdf;
    assert_eq!(first, set_usual(&made, PaperSize::A4).pdf);
    let later = Stamp { minute: 31, ..samples::STAMP };
    let second = render(&made.0, &Sheet::new(PaperSize::A4, later), &made.1).expect("the receipt sets");
    assert_ne!(first, second.pdf, "the moment is written into the paper");
}

#[test]
fn an_issued_paper_can_leave_the_worker_that_made_it() {
    fn can_be_sent<T: Send>() {}
    can_be_sent::<Issued>();
    let pages = std::thread::spawn(|| set_usual(&samples::care(), PaperSize::Card))
        .join()
        .map(|issued| issued.pages());
    assert_eq!(pages.ok(), Some(1));
}

fn refusal(facts: ProofFacts, assets: &Assets) -> DocumentError {
    render(&Paper::Proof(facts), &sheet(PaperSize::A4), assets).expect_err("this sheet is refused")
}

#[test]
fn a_photo_that_tells_too_much_or_too_little_is_refused() {
    let name = "stone-1".to_owned();
    let (mut facts, assets) = proof_facts(1);
    let whole = Arc::clone(&assets.photos[&name]);

    let mut telling = whole[..2].to_vec();
    telling.extend_from_slice(b"\xFF\xE1\x00\x08Exif\0\0");
    telling.extend_from_slice(&whole[2..]);
    let with = |bytes: Vec<u8>| Assets {
        photos: BTreeMap::from([(name.clone(), bytes.into())]),
        ..Assets::default()
    };
    assert_eq!(refusal(facts.clone(), &with(telling)), DocumentError::PhotoTells { name: name.clone() });
    assert_eq!(
        refusal(facts.clone(), &with(b"\x89PNG".to_vec())),
        DocumentError::PhotoUnreadable { name: name.clone() }
    );
    assert_eq!(
        refusal(facts.clone(), &Assets::default()),
        DocumentError::PhotoMissing { name: name.clone() }
    );
    if let Some(photo) = &mut facts.stones[0].photo {
        photo.alt = "  ".into();
    }
    assert_eq!(refusal(facts, &assets), DocumentError::PhotoWords { name });
}

#[test]
fn stones_that_could_be_mistaken_are_refused() {
    let (facts, assets) = proof_facts(2);
    let mut none = facts.clone();
    none.stones.clear();
    assert_eq!(refusal(none, &assets), DocumentError::StoneCount { count: 0 });
    let (thirteen, more) = proof_facts(13);
    assert_eq!(refusal(thirteen, &more), DocumentError::StoneCount { count: 13 });
    let mut twice = facts.clone();
    twice.stones[1].number = 1;
    assert_eq!(refusal(twice, &assets), DocumentError::StoneTwice { number: 1 });
    let mut colour = facts.clone();
    colour.stones[0].colour = "brown".into();
    assert!(matches!(refusal(colour, &assets), DocumentError::Colour { number: 1, .. }));
    let impossible = [
        Outline::Oval { length_mm: 0.0, width_mm: 8.0 },
        Outline::Oval { length_mm: f64::NAN, width_mm: 8.0 },
        Outline::Oval { length_mm: 60.1, width_mm: 8.0 },
        Outline::Path { points_mm: vec![[0.0, 0.0], [9.0, 9.0]] },
        Outline::Path { points_mm: vec![[0.0, 0.0], [9.0, f64::NAN], [4.0, 3.0]] },
        Outline::Path { points_mm: vec![[0.0, 0.0], [9.0, 0.0], [4.0, 0.0]] },
    ];
    for outline in impossible {
        let mut wrong = facts.clone();
        wrong.stones[0].outline = Some(outline.clone());
        assert_eq!(refusal(wrong, &assets), DocumentError::Outline { number: 1 }, "{outline:?}");
    }
}

#[test]
fn a_wrong_size_a_long_tag_and_a_wrong_clock_are_refused_with_what_would_be_right() {
    let (care, assets) = samples::care();
    let error = render(&care, &sheet(PaperSize::A4), &assets).expect_err("a care card is small");
    assert_eq!(error.to_string(), "the care paper cannot be set in A4: take A6 or Card");
    let wrong = Stamp { month: 13, ..samples::STAMP };
    let error = render(&care, &Sheet::new(PaperSize::A6, wrong), &assets).expect_err("there is no month 13");
    assert_eq!(error, DocumentError::Stamp(wrong));
    let (mut facts, assets) = proof_facts(1);
    facts.header.tag = "7K2-M4P-AND-MORE-THAN-THAT".into();
    assert!(matches!(refusal(facts, &assets), DocumentError::Tag { .. }));
}
