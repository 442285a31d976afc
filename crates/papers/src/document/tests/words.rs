//! The words as they were set: literal, within the margins, in the right face.

use typst::layout::{Frame, FrameItem, Point};

use super::*;
use crate::facts::{
    CareFacts, CustodyEntry, CustodyFacts, CustodyLot, CustodyPile, Hatch, KitFacts, NotInBox, PackedThing,
    PackingFacts, ReceiptFacts, ReceivedThing,
};

struct Run {
    text: String,
    family: String,
    left_mm: f64,
    right_mm: f64,
}

fn runs(issued: &Issued) -> Vec<Run> {
    let mut found = Vec::new();
    for page in issued.document.pages() {
        gather(&page.frame, Point::zero(), &mut found);
    }
    found
}

fn gather(frame: &Frame, origin: Point, found: &mut Vec<Run>) {
    for (at, item) in frame.items() {
        let at = origin + *at;
        match item {
            FrameItem::Group(group) => gather(&group.frame, at, found),
            FrameItem::Text(text) => found.push(Run {
                text: text.text.to_string(),
                family: text.font.info().family.clone(),
                left_mm: at.x.to_mm(),
                right_mm: (at.x + text.width()).to_mm(),
            }),
            _ => {}
        }
    }
}

/// All letters of a paper in reading order, without the invisible break marks.
fn letters(issued: &Issued) -> String {
    runs(issued).iter().flat_map(|run| run.text.chars()).filter(|&letter| letter != '\u{200b}').collect()
}

fn stays_inside(issued: &Issued, size: PaperSize) -> bool {
    let width_mm = size.extents_mm().0;
    runs(issued).iter().all(|run| run.left_mm >= 4.0 && run.right_mm <= width_mm - 4.0)
}

#[test]
fn odd_characters_and_markup_are_set_as_they_are() {
    let odd = r"“É” #a[b] *c* _d_ $e$ \f <g> @h `i` //j";
    let (mut facts, assets) = proof_facts(1);
    facts.header.remembered = odd.into();
    facts.stones[0].caption = odd.into();
    let set = letters(&set_usual(&(Paper::Proof(facts), assets), PaperSize::A4));
    let squeezed = |text: &str| text.split_whitespace().collect::<String>();
    assert_eq!(squeezed(&set).matches(&squeezed(odd)).count(), 2, "{set}");
}

#[test]
fn every_paper_sets_with_nothing_but_empty_strings() {
    let mut stone = proof_facts(1).0.stones.remove(0);
    stone.caption = String::new();
    stone.size = String::new();
    stone.colour = String::new();
    stone.photo = None;
    stone.outline = None;
    let papers = [
        Paper::Proof(ProofFacts { stones: vec![stone], ..ProofFacts::default() }),
        Paper::Receipt(ReceiptFacts::default()),
        Paper::Receipt(ReceiptFacts { things: vec![ReceivedThing::default()], ..ReceiptFacts::default() }),
        Paper::Kit(KitFacts::default()),
        Paper::Kit(KitFacts { guides: vec![KitGuide::default()], ..KitFacts::default() }),
        Paper::Packing(PackingFacts::default()),
        Paper::Packing(PackingFacts {
            rest: vec![PackedThing::default()],
            went_before: vec![NotInBox::default()],
            stays: vec![NotInBox::default()],
            ..PackingFacts::default()
        }),
        Paper::Care(CareFacts::default()),
        Paper::Custody(CustodyFacts::default()),
        Paper::Custody(CustodyFacts {
            lots: vec![CustodyLot {
                piles: vec![CustodyPile::default()],
                told: vec![CustodyEntry::default()],
                ..CustodyLot::default()
            }],
            ..CustodyFacts::default()
        }),
    ];
    for paper in papers {
        let kind = paper.kind();
        for &size in kind.sizes() {
            assert_eq!(set_usual(&(paper.clone(), Assets::default()), size).pages(), 1, "{kind:?}");
        }
    }
}

#[test]
fn very_long_names_wrap_inside_the_margins() {
    let endless = "Bramblethorn".repeat(12);
    let many = "Bramble of the Long Meadow beyond the Old Mill ".repeat(4);
    for name in [endless, many] {
        let mut papers = every_paper();
        for (paper, _) in &mut papers {
            let header = match paper {
                Paper::Proof(facts) => &mut facts.header,
                Paper::Receipt(facts) => &mut facts.header,
                Paper::Kit(facts) => &mut facts.header,
                Paper::Packing(facts) => &mut facts.header,
                Paper::Care(facts) => &mut facts.header,
                Paper::Custody(facts) => &mut facts.header,
            };
            header.remembered.clone_from(&name);
            header.client.clone_from(&name);
        }
        for made in &papers {
            for &size in made.0.kind().sizes() {
                let issued = set_usual(made, size);
                assert!(stays_inside(&issued, size), "{:?} in {size:?}", made.0.kind());
            }
        }
    }
    // The check itself must see a line that runs out.
    let out = Sheet { template: Some(RUNS_OUT), ..sheet(PaperSize::A4) };
    let (paper, assets) = samples::receipt();
    let issued = render(&paper, &out, &assets).expect("a wide line sets");
    assert!(!stays_inside(&issued, PaperSize::A4));
}

const RUNS_OUT: &str =
    "#import \"house.typ\": *\n#show: paper.with(\"Receipt\")\n#box(width: 400mm, align(right)[out])";

#[test]
fn the_one_remembered_is_in_the_serif_and_all_else_in_the_sans() {
    for made in every_paper() {
        let kind = made.0.kind();
        let runs = runs(&set_usual(&made, kind.sizes()[0]));
        let name = runs.iter().find(|run| run.text == "Bramble").expect("the name is set in one run");
        assert_eq!(name.family, "Source Serif 4", "{kind:?}");
        assert!(runs.iter().any(|run| run.family == "IBM Plex Sans"), "{kind:?}");
        let known = ["Source Serif 4", "IBM Plex Sans"];
        assert!(runs.iter().all(|run| known.contains(&run.family.as_str())), "{kind:?} falls back");
    }
}

#[test]
fn letters_that_no_typeface_here_has_are_named() {
    let (mut facts, assets) = proof_facts(1);
    facts.header.remembered = "李".into();
    let error =
        render(&Paper::Proof(facts), &sheet(PaperSize::A4), &assets).expect_err("no house face has it");
    let words = error.to_string();
    assert!(words.contains("no typeface here can write “李”"), "{words}");
}

#[test]
fn what_is_lost_and_how_the_books_stand_is_always_on_the_packing_list() {
    let set = letters(&set_usual(&samples::packing(), PaperSize::A4));
    let place = |words: &str| set.find(words).unwrap_or_else(|| panic!("“{words}” is not in {set}"));
    assert!(place("Keep-back envelope") < place("Ring with stone 1"), "leftovers come first");
    place("A few strands, left on the tools");
    place("8 mg short, within what your scale can tell");
    let set =
        letters(&set_usual(&(Paper::Packing(PackingFacts::default()), Assets::default()), PaperSize::A4));
    assert!(set.contains("Nothing is missing and nothing was left out."), "{set}");
}

#[test]
fn a_list_of_a_part_names_what_went_before_and_what_stays_apart_from_what_is_missing() {
    let named = |what: &str, why: &str| vec![NotInBox { what: what.into(), why: why.into() }];
    let facts = PackingFacts {
        went_before: named("Stone 2, spare (S2)", "went home on 9 November"),
        stays: named("Keep-back of the hair (E1)", "stays here for now"),
        ..PackingFacts::default()
    };
    let set = letters(&set_usual(&(Paper::Packing(facts), Assets::default()), PaperSize::A4));
    let place = |words: &str| set.find(words).unwrap_or_else(|| panic!("“{words}” is not in {set}"));
    let said = ["Went home before", "Stone 2, spare (S2)", "went home on 9 November"];
    let stays = ["Stays in the studio for now", "Keep-back of the hair (E1)", "stays here for now"];
    let last = ["Not in the box", "Nothing is missing. What stays for now is named above."];
    let places: Vec<usize> = said.into_iter().chain(stays).chain(last).map(place).collect();
    assert!(places.is_sorted(), "{set}");
    let whole = letters(&set_usual(&samples::packing(), PaperSize::A4));
    assert!(!whole.contains("Went home before") && !whole.contains("Stays in the studio"), "{whole}");
}

#[test]
fn a_care_card_gives_a_heat_figure_only_where_one_was_given() {
    let with = letters(&set_usual(&samples::care(), PaperSize::Card));
    assert!(with.contains("45 °C"), "{with}");
    let without = letters(&set_usual(&(Paper::Care(CareFacts::usual()), Assets::default()), PaperSize::Card));
    assert!(!without.contains('°'), "{without}");
}

#[test]
fn a_custody_sheet_tells_every_entry_every_pile_and_the_whole_seal() {
    let (paper, assets) = samples::custody(2, 12);
    let Paper::Custody(facts) = &paper else { panic!("it is a custody sheet") };
    let squeezed = |text: &str| text.split_whitespace().collect::<String>();
    let set = squeezed(&letters(&set_usual(&(paper.clone(), assets), PaperSize::A4)));
    for lot in &facts.lots {
        for told in &lot.told {
            assert!(set.contains(&squeezed(&told.words)), "{} is not in {set}", told.words);
            assert!(set.contains(&squeezed(&told.time)), "{} is not in {set}", told.time);
        }
        for pile in &lot.piles {
            for words in [&pile.label, &pile.who, &pile.amount, &pile.by_book, &pile.weighed, &pile.place] {
                assert!(set.contains(&squeezed(words)), "{words} is not in {set}");
            }
        }
    }
    let struck = set.matches(&squeezed(samples::STRUCK)).count();
    assert_eq!(struck, facts.lots.len(), "what no longer counts says why");
    for parcel in &facts.parcels {
        assert!(set.contains(&squeezed(parcel)), "{parcel} is not in {set}");
    }
    assert!(set.contains(&squeezed(&facts.record_seal)), "{set}");
    assert!(set.contains(&squeezed(&facts.seal_words)) && set.contains(&squeezed(&facts.offcuts[0])));
}

/// A custody sheet of two piles of this share, hatched as given, without any words beside them.
fn two_piles(hatches: [Hatch; 2]) -> Issued {
    let pile = |hatch| CustodyPile { millionths: 500_000, hatch, ..CustodyPile::default() };
    let lot = CustodyLot { piles: hatches.map(pile).into(), ..CustodyLot::default() };
    let facts = CustodyFacts { lots: vec![lot], ..CustodyFacts::default() };
    set_usual(&(Paper::Custody(facts), Assets::default()), PaperSize::A4)
}

#[test]
fn piles_are_told_apart_without_their_colour() {
    // On a grey printer every pair of hatches still differs: the page is another once one is taken for the other.
    let grey = |issued: &Issued| {
        let pixels = issued.pixels(0, 96.0).expect("there is a page");
        let light = |rgba: &[u8]| u32::from(rgba[0]) + u32::from(rgba[1]) + u32::from(rgba[2]);
        pixels.rgba.chunks_exact(4).map(|rgba| light(rgba) / 3).collect::<Vec<_>>()
    };
    let all = [Hatch::Wrapping, Hatch::KeepBack, Hatch::Envelope, Hatch::Stone, Hatch::Offcuts, Hatch::Tools];
    let pages: Vec<Vec<u32>> = all.map(|hatch| grey(&two_piles([hatch, Hatch::Tools]))).into();
    let apart = |a: &[u32], b: &[u32]| a.iter().zip(b).filter(|(a, b)| a.abs_diff(**b) > 24).count();
    for (no, one) in pages.iter().enumerate() {
        assert_eq!(apart(one, one), 0, "a page is itself");
        for other in &pages[no + 1..] {
            assert!(apart(one, other) > 200, "only {} grey points differ", apart(one, other));
        }
    }
}
