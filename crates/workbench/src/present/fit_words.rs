//! Making a stone sit, in the words of the bench.

use chrono::NaiveDate;
use craft::fact::{Feel, FitFact};
use craft::fit::{Amount, FitReport, Misfit, Remedy, Seating, Sit};
use craft::geometry::{FINEST, Outline};
use craft::id::ShelfId;
use craft::order::Errand;
use craft::ring::{RingSystem, inner_diameter};
use craft::studio::{Held, Studio};
use craft::units::Length;

use crate::fitting::{self, Compared, FitStep, Unmatched, setting};

use super::plan_words::Explained;
use super::undo_words::stone_list;
use super::words;

/// What is to be done now, large.
pub fn title(step: FitStep) -> String {
    match step {
        FitStep::NotChosen => "No stone is chosen yet".to_owned(),
        FitStep::InMould => "Take it out of its mould first".to_owned(),
        FitStep::NotHere => "Not on the bench".to_owned(),
        FitStep::Try => "Try it in its setting".to_owned(),
        FitStep::TryAgain(_) => "Try it again".to_owned(),
        FitStep::Work(feel) => words::sentence_start(&format!("it {}", words::feel(feel))),
        FitStep::Sits => "It sits: set it".to_owned(),
        FitStep::Set(piece) => format!("Set into {}", words::thing_plain(piece)),
    }
}

/// What to do after it was tried and sat like this.
pub fn by_feel(feel: Feel) -> &'static str {
    match feel {
        Feel::TooTight => "Sand 0.05 mm off all around the edge, wet, then try again.",
        Feel::Proud => "Sand 0.05 mm off the back, flat and wet, then try again.",
        Feel::Flush => "Leave it as it is.",
        Feel::Low => "Build the back up by 0.05 mm with a clear layer, light it, then try again.",
        Feel::TooLoose => "Build the edge up by 0.05 mm with a clear layer, light it, then try again.",
    }
}

/// What to do now, in a sentence; nothing where there is nothing to be tried.
pub fn advice(step: FitStep) -> &'static str {
    match step {
        FitStep::NotChosen | FitStep::InMould | FitStep::NotHere | FitStep::Set(_) => "",
        FitStep::Try => "Lay it in and say how it sits.",
        FitStep::TryAgain(_) => "Lay it in once more and say how it sits now.",
        FitStep::Work(feel) => by_feel(feel),
        FitStep::Sits => "Press the wall down over it, then say that it is set.",
    }
}

/// Where the middle of a stone's outline lies, where that is not the middle of its length and width: of a pear, a heart and
/// a drawn outline. The middle of its weight lies the same way, and a domed stone's a little less far. Nothing where the two are as good as one.
pub fn balance(outline: &Outline) -> Option<String> {
    let (along, across) = outline.centroid(FINEST);
    // Less than a caliper and a file can tell (common practice, no source).
    let is_off = |off: Length| off.abs() >= Length::from_micro(100_000);
    let off =
        |off: Length| words::length(Length::from_micro((off.abs().micro() + 50_000) / 100_000 * 100_000));
    let (along_off, across_off) = (is_off(along), is_off(across));
    let end = match outline {
        Outline::Pear { .. } => "its round end",
        _ => "its fuller end",
    };
    let side = match outline {
        Outline::Heart { .. } => "the lobes",
        _ => "its fuller side",
    };
    let moved = match (along_off, across_off) {
        (false, false) => return None,
        (true, false) => format!("{} from the mark in the middle, towards {end}", off(along)),
        (false, true) => format!("{} from the mark in the middle, towards {side}", off(across)),
        (true, true) => {
            format!(
                "from the mark in the middle {} towards {end} and {} towards {side}",
                off(along),
                off(across)
            )
        }
    };
    Some(format!(
        "The middle of its outline lies {moved}: hung or held at the mark it tips that way, a domed stone a little less. Try \
         how it hangs before a loop, bail or pin is fixed."
    ))
}

/// How that was worked out.
pub fn explained_balance(outline: &Outline) -> Explained {
    let (along, across) = outline.centroid(FINEST);
    Explained {
        title: "where the middle of its outline lies",
        plain: "The outline is added up strip by strip: where as much of it lies on one side as on the other, weighed by how far \
                out it lies, is the middle. The middle of its weight lies the same way; where the stone is domed it is a little nearer to the mark.",
        values: vec![
            ("the mark", "the middle of its length and of its width".to_owned()),
            ("along its length", words::length(along.abs())),
            ("across it", words::length(across.abs())),
        ],
        formula: "the middle lies so many millimetres from the mark as each strip\u{2019}s area times its distance \
                  from the mark, all added up and shared by the whole area",
        source: "the centroid of a plane figure, elementary geometry; checked against shapely for each outline",
    }
}

/// A step that was recorded, as a clause: "stands proud", "sanded from the back", "set into piece 1".
pub fn step_words(fact: &FitFact) -> String {
    match fact {
        FitFact::Tried { feel, .. } => words::feel(*feel).to_owned(),
        FitFact::Worked { work, .. } => words::fit_work(*work).to_owned(),
        FitFact::Set { piece, .. } => format!("set into {}", words::thing_plain(*piece)),
        FitFact::Measured { what, .. } => format!("{} measured", words::dimension(*what)),
    }
}

/// What is said where the order's setting does not take a stone as its mould makes it, and what would be right.
pub fn unmatched(studio: &Studio, held: &Held) -> Vec<String> {
    let (Some(id), Some(set)) = (&held.order.sheet.setting, setting(studio, held)) else { return Vec::new() };
    let name = words::item_name(studio, id);
    let opening = words::outline(&set.opening);
    let told = fitting::unmatched(studio, held).into_iter().map(|told| {
        let stones = words::sentence_start(&stone_list(&told.stones));
        let is = if told.stones.len() == 1 { "is" } else { "are" };
        let wrong = match told.misfit {
            Misfit::TooLarge => "too large to go in",
            Misfit::TooSmall => "too small to be held",
        };
        let mould = words::item_name(studio, told.mould);
        let stone = words::outline(&told.outline);
        let right = would_be_right(studio, &told);
        format!("The opening of {name} is {opening}. {stones} from {mould} {is} {stone}: {wrong}. {right}")
    });
    told.collect()
}

/// How many of each are named.
const NAMED: usize = 2;

fn would_be_right(studio: &Studio, told: &Unmatched<'_>) -> String {
    let some = |what: &str, ids: &[&ShelfId]| {
        let names = ids.iter().take(NAMED).map(|id| format!("the {what} {}", words::item_name(studio, id)));
        names.collect::<Vec<_>>()
    };
    let all = [some("mould", &told.moulds), some("setting", &told.settings)].concat();
    if all.is_empty() {
        "No mould and no setting on the shelf goes with it: write the right one on the shelf, or leave it so."
            .to_owned()
    } else {
        format!("Right would be {}.", all.join(" or "))
    }
}

/// What the measures say, a label and a sentence each.
pub fn by_caliper(compared: &Compared) -> Vec<(&'static str, String)> {
    let FitReport { along, across, height, seating } = compared.report;
    let mut lines = Vec::new();
    if compared.is_round {
        // The tighter way of a stone that is not quite round counts.
        let tighter = if across.gap < along.gap { across } else { along };
        lines.push(("across", side(tighter)));
    } else {
        lines.extend([("along", side(along)), ("across", side(across))]);
    }
    if compared.has_height {
        lines.push(("in height", stands(height)));
    }
    lines.push((
        "all in all",
        match seating {
            Seating::Seats => "it goes in".to_owned(),
            Seating::DoesNotSeat => "it does not go in yet".to_owned(),
            Seating::CannotTell => "too near to tell with this caliper: try it in the setting".to_owned(),
        },
    ));
    lines
}

fn side(sit: Sit) -> String {
    let gap = sit.gap.unwrap_or_default();
    let room = if gap < Length::ZERO {
        format!("{} too large on each side", words::length(gap.abs()))
    } else {
        format!("{} of room on each side", words::length(gap))
    };
    match sit.remedy {
        Remedy::Leave => format!("{room}: right"),
        Remedy::TakeOff(amount) => format!("{room}: take {} off each side", how_much(amount)),
        Remedy::BuildUp(amount) => format!("{room}: build each side up by {}", how_much(amount)),
        Remedy::TryIt => format!("{room}: too near to tell, try it"),
    }
}

fn stands(sit: Sit) -> String {
    let gap = sit.gap.unwrap_or_default();
    let stands = if gap < Length::ZERO { "stands proud" } else { "sits low" };
    let off = format!("{stands} by {}", words::length(gap.abs()));
    match sit.remedy {
        Remedy::Leave => "flush".to_owned(),
        Remedy::TakeOff(amount) => format!("{off}: take {} off the back", how_much(amount)),
        Remedy::BuildUp(amount) => format!("{off}: build the back up by {}", how_much(amount)),
        Remedy::TryIt => format!("{off}: too near to tell, try it"),
    }
}

fn how_much(amount: Amount) -> String {
    match amount {
        Amount::Measured { least, doubt } => {
            format!("{} (± {})", words::length(least), words::length(doubt + doubt))
        }
        Amount::Step(step) => words::length(step),
    }
}

/// The setting in a line: "Plain ring: opening oval, 10.1 × 8.1 mm, wall 3 mm, 925 silver".
pub fn setting_line(studio: &Studio, held: &Held) -> String {
    let name = held.order.sheet.setting.as_ref().map(|id| words::item_name(studio, id));
    match (name, setting(studio, held)) {
        (Some(name), Some(setting)) => format!(
            "{name}: opening {}, wall {}, {}",
            words::outline(&setting.opening),
            words::length(setting.wall),
            setting.metal
        ),
        (Some(name), None) => name,
        (None, _) => "No setting is named yet.".to_owned(),
    }
}

/// An errand that is not back: "the setting: not asked for yet", "the chain: asked for on 17 November, due 1 December".
pub fn errand(errand: &Errand, today: NaiveDate) -> String {
    let name = words::errand(errand.kind);
    let Some(asked) = errand.asked else {
        return words::sentence_start(&format!("{name} is not asked for yet."));
    };
    let due = errand.expected.map(|day| {
        let verb = if day < today { "was due on" } else { "due on" };
        format!(", {verb} {}", words::date(day, today))
    });
    let who = if errand.who.is_empty() { String::new() } else { format!(" from {}", errand.who) };
    words::sentence_start(&format!(
        "{name} is not back yet: asked for on {}{who}{}.",
        words::date(asked, today),
        due.unwrap_or_default()
    ))
}

/// A way of naming ring sizes, short.
pub const fn system(system: RingSystem) -> &'static str {
    match system {
        RingSystem::Letters => "UK, Ireland, Australia",
        RingSystem::American => "US, Canada",
        RingSystem::Japanese => "Japan",
        RingSystem::Circumference => "ISO, France, Germany",
        RingSystem::LessForty => "Italy, Spain, Switzerland",
    }
}

/// The ring's size in the hand: "54.4 mm around inside, 17.3 mm across".
pub fn ring(circumference: Length) -> String {
    let tenth = |length: Length| format!("{:.1} mm", length.mm());
    format!("{} around inside, {} across", tenth(circumference), tenth(inner_diameter(circumference)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{at, bench, day};
    use craft::fact::Dimension;
    use craft::order::ErrandKind;
    use craft::reading::{Means, Reading};
    use craft::shelf::What;
    use craft::stage::Stage;
    use craft::studio::{Edit, ShelfEdit};

    #[test]
    fn a_pear_says_where_the_middle_of_its_weight_lies_and_an_oval_says_nothing() {
        let mm = Length::from_mm;
        let pear =
            Outline::Pear { length: mm(12.0), width: mm(8.0), sides: craft::geometry::Sides::Straight };
        let said = balance(&pear).unwrap();
        assert!(said.contains("towards its round end") && said.contains(" mm from the mark"), "{said}");
        // Second method: the fuller end is the one without the point, which lies at positive lengths.
        assert!(pear.centroid(FINEST).0 < Length::ZERO);
        let heart = balance(&Outline::Heart { across: mm(10.0) }).unwrap();
        assert!(heart.contains("towards the lobes"), "{heart}");
        assert_eq!(balance(&Outline::Oval { length: mm(10.0), width: mm(8.0) }), None);
        assert_eq!(balance(&Outline::Round { diameter: mm(10.0) }), None);
    }

    #[test]
    fn the_measures_say_what_to_take_off_and_where() {
        let mut bench = bench(Stage::Chosen);
        for (what, value) in [(Dimension::Length, 9.94), (Dimension::Width, 8.5), (Dimension::Edge, 2.9)] {
            let doubt = Length::from_mm(0.01);
            let reading = Reading { value: Length::from_mm(value), doubt, by: Means::Caliper };
            bench.record(FitFact::Measured { stone: 1, what, reading });
        }
        let held = bench.studio.order(bench.tag).unwrap();
        let compared = fitting::compared(&bench.studio, held, 1).unwrap().unwrap();
        let lines = by_caliper(&compared);
        assert_eq!(lines[0], ("along", "0.08 mm of room on each side: right".to_owned()));
        assert!(
            lines[1].1.starts_with("0.2 mm too large on each side: take 0.25 mm (± 0.03 mm) off"),
            "{lines:?}"
        );
        assert!(lines[2].1.starts_with("stands proud by "), "{lines:?}");
        assert_eq!(lines[3].1, "it does not go in yet");
        assert!(
            setting_line(&bench.studio, held)
                .starts_with("Plain ring: opening oval, 10.1 × 8.1 mm, wall 3 mm")
        );
    }

    #[test]
    fn every_feel_has_its_one_small_step_as_craft_gives_it() {
        for feel in [Feel::TooTight, Feel::Proud, Feel::Flush, Feel::Low, Feel::TooLoose] {
            let report = fitting::by_feel(feel);
            let all = [report.along.remedy, report.across.remedy, report.height.remedy];
            let step = all.iter().find_map(|remedy| match remedy {
                Remedy::TakeOff(Amount::Step(step)) => Some(("Sand", *step)),
                Remedy::BuildUp(Amount::Step(step)) => Some(("Build", *step)),
                _ => None,
            });
            match step {
                Some((verb, step)) => {
                    let said = by_feel(feel);
                    assert!(said.starts_with(verb) && said.contains(&words::length(step)), "{said}");
                }
                None => assert_eq!(feel, Feel::Flush),
            }
        }
    }

    #[test]
    fn a_setting_that_is_too_small_says_what_would_be_right() {
        let bench = bench(Stage::Here);
        let mut held = bench.studio.order(bench.tag).unwrap().clone();
        assert_eq!(unmatched(&bench.studio, &held), Vec::<String>::new());
        held.wake().unwrap().order.sheet.setting = None;
        assert_eq!(unmatched(&bench.studio, &held), Vec::<String>::new(), "no setting is named");
        // The same setting with a smaller opening.
        let mut studio = bench.studio;
        let small: ShelfId = "small-ring".parse().unwrap();
        let mut item = studio.item(&"plain-ring".parse().unwrap()).unwrap().clone();
        item.name = "Small ring".parse().unwrap();
        if let What::Setting(setting) = &mut item.what {
            setting.opening = Outline::Round { diameter: Length::from_mm(6.2) };
        }
        let put = ShelfEdit::Put(Box::new(item));
        studio.apply(Edit::Shelf(small.clone(), put), at(9_000)).unwrap();
        held.wake().unwrap().order.sheet.setting = Some(small);
        assert_eq!(
            unmatched(&studio, &held),
            [
                "The opening of Small ring is round, 6.2 mm. Stones 1 and 2 from Oval 10 × 8 are oval, 10 × 8 mm: too \
              large to go in. Right would be the setting Plain ring."
            ]
        );
    }

    #[test]
    fn every_step_of_a_stone_that_can_be_tried_says_what_to_do() {
        for step in [FitStep::Try, FitStep::TryAgain(Feel::Low), FitStep::Work(Feel::Low), FitStep::Sits] {
            assert!(advice(step).ends_with('.'), "{step:?}");
        }
        assert_eq!(advice(FitStep::InMould), "");
    }

    #[test]
    fn an_errand_says_what_is_waited_for() {
        let bench = bench(Stage::Chosen);
        let mut one = bench.studio.order(bench.tag).unwrap().order.sheet.errands[0].clone();
        (one.kind, one.back, one.expected) = (ErrandKind::Setting, None, Some(day(2026, 11, 22)));
        assert_eq!(
            errand(&one, day(2026, 11, 25)),
            "The setting is not back yet: asked for on 20 November from the engraver, was due on 22 November."
        );
        one.asked = None;
        assert_eq!(errand(&one, day(2026, 11, 25)), "The setting is not asked for yet.");
    }

    #[test]
    fn a_ring_is_said_around_and_across() {
        assert_eq!(ring(Length::from_mm(54.375)), "54.4 mm around inside, 17.3 mm across");
    }
}
