use craft::fact::Hardness;
use craft::learning::Seen;
use craft::shelf::Item;
use craft::stage::Stage;
use craft::studio::{Edit, ShelfEdit};

use super::*;
use crate::present::sample::{Bench, at, bench, day, id, studio};
use crate::shelving::observations::{self, Gauge, HabitTyped, WedgeTyped, With};

pub(super) fn today() -> NaiveDate {
    day(2026, 11, 25)
}

fn with(button: u8) -> With {
    let (lamp, gauge) = (id("nail-lamp"), Gauge::Caliper);
    With { lamp, button, body: Body::LetsLightIn, pigment: None, gauge }
}

/// A test as it would be typed.
fn test(studio: &Studio, patches: &[(&str, &str)]) -> (craft::learning::Observation, Vec<Span>) {
    let patches: Vec<(String, String)> =
        patches.iter().map(|(light, thick)| ((*light).to_owned(), (*thick).to_owned())).collect();
    let typed = WedgeTyped { load: "", day: "3 May", patches: &patches };
    observations::wedge(studio, &with(1), &typed, today()).unwrap()
}

/// The sample studio without its scale: on a fine one a dark stone is laid so surely that a test wins it no minute.
fn scooping() -> Studio {
    let mut studio = studio();
    let policies = craft::policies::Policies { scale: None, ..studio.policies().clone() };
    studio.apply(Edit::Policies(Box::new(policies)), at(0)).unwrap();
    studio
}

const GOOD: [(&str, &str); 5] =
    [("3 s", "1.1"), ("6 s", "1.8"), ("12 s", "2.45"), ("24 s", "3.15"), ("48 s", "3.85")];

fn change(studio: &mut Studio, change: impl FnOnce(&Item) -> Item) {
    let bottle = id("clear-resin");
    let item = change(&studio.shelf()[&bottle]);
    studio.apply(Edit::Shelf(bottle, ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
}

pub(super) fn keep(studio: &mut Studio, seen: craft::learning::Observation) {
    change(studio, |item| observations::with_seen(item, seen).unwrap());
}

fn tell(studio: &Studio) -> Told {
    told(studio, &id("clear-resin"), today()).unwrap()
}

fn try_it(studio: &Studio, patches: &[(&str, &str)]) -> Trial {
    let (seen, seconds) = test(studio, patches);
    trial(studio, &id("clear-resin"), (&seen, &seconds), today()).unwrap()
}

#[test]
fn a_bottle_that_nobody_tested_says_nothing_of_lamps() {
    let told = tell(&studio());
    assert_eq!((told.lamps, told.won.as_str(), told.seen.len()), (Vec::new(), "", 0));
}

#[test]
fn a_kept_test_says_how_deep_a_layer_may_be_how_sure_and_what_it_won() {
    let mut studio = scooping();
    let before = try_it(&studio, &GOOD);
    let seen = test(&studio, &GOOD).0;
    keep(&mut studio, seen);
    let told = tell(&studio);
    let [of_lamp] = &told.lamps[..] else { panic!("{:?}", told.lamps) };
    assert_eq!(of_lamp.lamp, "The white lamp");
    assert_eq!(of_lamp.sure, "Well known, from your test of 3 May 2026; plans use it now.");
    let [layer] = &of_lamp.layers[..] else { panic!("only the tried button: {:?}", of_lamp.layers) };
    assert!(layer.starts_with("60 s: a clear layer up to ") && layer.ends_with("sure to set right through."));
    // What was promised before it was kept is what is said after.
    let promised = before.layer.split_once("up to ").unwrap().1.split_once(" is").unwrap().0;
    assert!(layer.contains(promised), "{layer} against {}", before.layer);
    assert!(told.won.starts_with("A standard stone in Deep green now takes "), "{}", told.won);
    let [seen] = &told.seen[..] else { panic!("{:?}", told.seen) };
    assert_eq!(
        seen.words,
        "3 May: a test of 5 patches under 60 s of The white lamp, clear, in something clear or white."
    );
    assert_eq!(
        seen.more,
        "3 s of full light set 1.1 mm, 6 s 1.8 mm, 12 s 2.45 mm, 24 s 3.15 mm, 48 s 3.85 mm."
    );
    assert_eq!((of_lamp.new.as_str(), of_lamp.notes.len()), ("", 0));
}

#[test]
fn a_bottle_whose_test_set_nothing_says_so_and_that_plans_wait() {
    let mut studio = studio();
    let none = ["3 s", "6 s", "12 s", "24 s", "48 s"].map(|light| (light, "nothing"));
    let seen = test(&studio, &none).0;
    keep(&mut studio, seen);
    let told = tell(&studio);
    let [of_lamp] = &told.lamps[..] else { panic!("{:?}", told.lamps) };
    assert_eq!(of_lamp.sure, "Little is known yet, from a test in which nothing set.");
    assert_eq!(of_lamp.layers, ["60 s: no clear layer is sure to set right through."]);
    assert_eq!(told.won, "Plans wait for a test in which something sets.");
}

#[test]
fn a_bottle_opened_since_widens_again_and_says_so() {
    let mut studio = studio();
    let seen = test(&studio, &GOOD).0;
    keep(&mut studio, seen);
    let tested = tell(&studio).lamps.remove(0);
    change(&mut studio, |item| {
        crate::shelving::put(item, &crate::shelving::Field::Opened, "1 November", today()).unwrap().value
    });
    let newer = tell(&studio).lamps.remove(0);
    assert!(newer.new.starts_with("This bottle was opened after the last test"), "{}", newer.new);
    assert!(newer.sure.ends_with("from the bottle before it."), "{}", newer.sure);
    let up_to = |of: &OfLamp| {
        let of = of.layers.iter().find_map(|layer| layer.strip_prefix("60 s: a clear layer up to ")).unwrap();
        of.split_once(" mm").unwrap().0.parse::<f64>().unwrap()
    };
    assert!(up_to(&newer) < up_to(&tested), "{newer:?} {tested:?}");
}

#[test]
fn another_like_a_tested_bottle_is_an_untested_one() {
    let mut studio = studio();
    let seen = test(&studio, &GOOD).0;
    keep(&mut studio, seen);
    let other = crate::shelving::like(
        &studio.shelf()[&id("clear-resin")],
        crate::present::sample::line("The next bottle"),
        today(),
    );
    studio.apply(Edit::Shelf(id("next"), ShelfEdit::Put(Box::new(other))), at(0)).unwrap();
    let told = told(&studio, &id("next"), today()).unwrap();
    assert!(told.lamps[0].new.starts_with("This bottle was opened after the last test"), "{told:?}");
}

#[test]
fn what_a_test_would_win_is_said_before_it_is_kept() {
    let studio = scooping();
    let good = try_it(&studio, &GOOD);
    assert_eq!(good.notes, Vec::<String>::new());
    assert!(good.won.contains("without this it was"), "{}", good.won);
    let plot = good.plot.unwrap();
    assert_eq!(plot.points.len(), 5);
    assert_eq!(plot.points[1].seconds.to_bits(), 6.0_f64.to_bits());
    assert!(plot.words.starts_with("5 patches: 3 s of light, 1.1 mm; "), "{}", plot.words);
    // The line rises through the dots, within its band.
    assert!(plot.line.windows(2).all(|pair| pair[1].mm > pair[0].mm));
    assert!(plot.line.iter().all(|at| at.low_mm <= at.mm && at.mm <= at.high_mm));
    for point in &plot.points {
        let near = plot.line.iter().min_by(|a, b| {
            (a.seconds / point.seconds).ln().abs().total_cmp(&(b.seconds / point.seconds).ln().abs())
        });
        assert!((near.unwrap().mm - point.mm).abs() < 0.25, "{point:?} {near:?}");
    }
    // Read with a ruler the same patches say less, and the band is wider.
    let (mut seen, seconds) = test(&studio, &GOOD);
    let Seen::Wedge { points } = &mut seen.seen else { panic!("no wedge") };
    for point in points {
        point.depth.doubt = Gauge::Ruler.doubt();
    }
    let ruler = trial(&studio, &id("clear-resin"), (&seen, &seconds), today()).unwrap().plot.unwrap();
    let width = |plot: &Plot| plot.line[12].high_mm - plot.line[12].low_mm;
    assert!(width(&ruler) > 1.2 * width(&plot), "{} {}", width(&ruler), width(&plot));
}

#[test]
fn no_line_or_band_is_drawn_where_nothing_set() {
    let studio = scooping();
    let (seen, seconds) =
        test(&studio, &[("2 s", "0"), ("4 s", "0"), ("9 s", "1.1"), ("20 s", "2"), ("45 s", "2.9")]);
    let plot = trial(&studio, &id("clear-resin"), (&seen, &seconds), today()).unwrap().plot.unwrap();
    assert_eq!(plot.points.len(), 5, "every patch is a dot");
    let first = plot.line.iter().map(|at| at.seconds).fold(f64::INFINITY, f64::min);
    assert!(first > 4.0 && first < 9.0, "the line begins between them: {first}");
    let (seen, seconds) = test(&studio, &[("20 s", "0"), ("45 s", "0")]);
    let dead = trial(&studio, &id("clear-resin"), (&seen, &seconds), today()).unwrap().plot.unwrap();
    assert_eq!((dead.points.len(), dead.line.len()), (2, 0));
}

#[test]
fn bad_tests_are_warned_of_in_sentences_that_name_the_patch() {
    let studio = studio();
    let says = |patches: &[(&str, &str)]| try_it(&studio, patches).notes.join(" ");
    assert!(
        says(&[("6 s", "1.8")]).contains("One patch says little; measure four"),
        "{}",
        says(&[("6 s", "1.8")])
    );
    let none = [("3 s", "nothing"), ("6 s", "nothing"), ("12 s", "0"), ("24 s", "none")];
    assert!(says(&none).contains("Nothing set on any patch"), "{}", says(&none));
    assert!(says(&none).contains("light one more for as long as the longest button"), "{}", says(&none));
    // By the patches that are suggested, which are shorter than any button of the lamp.
    let waits = try_it(&studio, &[none.as_slice(), &[("48 s", "nothing")]].concat());
    assert_eq!(waits.layer, "Under 60 s no clear layer is sure to set through.");
    assert_eq!(waits.won, "Kept, it makes plans wait until something sets in a newer test.");
    let mut late = GOOD;
    late[0].1 = "nothing";
    assert!(says(&late).contains("Nothing set on the patch of 3 s; it only says that it takes longer."));
    let slip = [
        ("3 s", "1.1"),
        ("6 s", "1.8"),
        ("12 s", "2.45"),
        ("24 s", "3.15"),
        ("48 s", "3.85"),
        ("90 s", "1.2"),
    ];
    assert!(says(&slip).contains("The patch of 1:30 with 1.2 mm lies far off the others"), "{}", says(&slip));
    let shallow = [("3 s", "0.5"), ("4 s", "0.78"), ("5 s", "1"), ("6 s", "1.2")];
    assert!(says(&shallow).contains("light one patch longer to reach deeper"), "{}", says(&shallow));
}

#[test]
fn contradicting_layers_are_told_of_on_the_bottles_page() {
    let mut studio = studio();
    let felt = |mm: f64, hardness| craft::learning::Observation {
        seen: Seen::Felt { thickness: Length::from_mm(mm), light: Span::from_s(60.0), hardness },
        ..test(&studio, &GOOD).0
    };
    let (hard, soft) = (felt(3.0, Hardness::Hard), felt(1.0, Hardness::Soft));
    keep(&mut studio, hard);
    keep(&mut studio, soft);
    let notes = tell(&studio).lamps.remove(0).notes.join(" ");
    assert!(notes.starts_with("3 mm came out hard and 1 mm soft with no less light"), "{notes}");
}

#[test]
fn what_works_now_is_said_to_be_that() {
    let mut studio = studio();
    let typed = HabitTyped { load: "", day: "", thickness: "2.5", times: "30" };
    let seen = observations::habit(&studio, &with(1), &typed, today()).unwrap();
    let before = trial(&studio, &id("clear-resin"), (&seen, &[]), today()).unwrap();
    assert_eq!(before.plot, None);
    assert!(before.layer.contains("without this it was"), "{}", before.layer);
    keep(&mut studio, seen);
    let told = tell(&studio);
    assert!(told.lamps[0].sure.ends_with("from what works for you and how layers came out."), "{told:?}");
    assert!(told.seen[0].words.contains("2.5 mm under 60 s of The white lamp, clear"), "{told:?}");
    assert!(told.seen[0].words.ends_with("works; it did about 30 times."), "{told:?}");
}

#[test]
fn the_layers_of_all_orders_are_counted_and_listed() {
    let Bench { studio, .. } = bench(Stage::Made);
    let told = told(&studio, &id("clear-resin"), today()).unwrap();
    let layers = studio.recorded(&id("clear-resin")).len();
    assert!(layers > 2, "the sample pours two stones");
    assert_eq!(told.recorded, format!("In your orders {layers} layers came out hard."));
    assert!(told.layers[0].starts_with("25 November, stone 1 of "), "{:?}", told.layers);
    assert!(told.layers.iter().all(|line| line.ends_with(" of full light, hard.")), "{:?}", told.layers);
    assert!(!told.lamps.is_empty(), "and learned from by themselves");
}

#[test]
fn a_test_that_asks_for_care_says_so() {
    let day = |layers, minutes| Some(Day { layers, minutes });
    let said = |before, after| worth_words(&Worth { before, after }, "Sage", "without this");
    assert_eq!(
        said(day(5, 38), day(3, 29)),
        "A standard stone in Sage now takes 3 layers and 29 minutes; without this it was 5 layers and 38 minutes."
    );
    assert!(said(day(3, 29), day(5, 38)).ends_with("It asks for more care than was thought."));
    assert!(said(None, day(3, 29)).contains("can be laid now"));
    assert!(said(day(3, 29), None).contains("cannot be laid any more"));
    assert_eq!(
        said(day(3, 29), day(3, 29)),
        "A standard stone in Sage takes 3 layers and 29 minutes, as without this."
    );
}

#[test]
fn every_figure_of_a_bottle_and_of_a_test_says_how_it_was_worked_out() {
    let mut studio = scooping();
    let titles = |all: &[Explained]| all.iter().map(|one| one.title).collect::<Vec<_>>();
    assert!(tell(&studio).explained.is_empty(), "nothing was worked out yet");
    let before = try_it(&studio, &GOOD);
    let of_test =
        ["how deep a layer surely sets", "the line and the band", "what that wins", "seconds of full light"];
    assert_eq!(titles(&before.explained), of_test);
    let seen = test(&studio, &GOOD).0;
    keep(&mut studio, seen);
    let told = tell(&studio);
    assert_eq!(
        titles(&told.explained),
        ["how deep a layer surely sets", "what that wins", "seconds of full light"]
    );
    let value = |name: &str| {
        let values = told.explained.iter().flat_map(|one| &one.values);
        values.filter(|(of, _)| *of == name).map(|(_, value)| value.clone()).collect::<Vec<_>>().join(" ")
    };
    // The very figures of the page are put in.
    let up_to = told.lamps[0].layers[0].split_once("up to ").unwrap().1.split_once(" is").unwrap().0;
    assert_eq!(value("sure up to"), format!("60 s {up_to}"));
    assert_eq!(value("the thickest patch or layer that was measured"), "3.85 mm");
    assert!(
        value("clear resin hardens deeper with each 2.7 times the light by")
            .ends_with("(your test of 3 May 2026)")
    );
    assert!(
        told.won.contains(&value("now").split(" and ").next().unwrap().to_owned()),
        "{} {}",
        told.won,
        value("now")
    );
    assert!(value("a whole press is worth").contains("99 s low heat: 69 s, grows for 1:00"));
}
