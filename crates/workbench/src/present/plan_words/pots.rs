//! What goes into which pot, and how many stones one material makes, in words.

use craft::compare::Scale;
use craft::dosing::{Pot, Scoop};
use craft::foreseen::{Candidates, Counts, OrderPots};
use craft::shelf::What;
use craft::studio::{Held, Studio};
use craft::units::{Load, Mass};

use super::words;

/// What to mix for the stones of an order in one colour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PotsWords {
    /// "Deep green in clear resin, for stones 1 and 2".
    pub title: String,
    /// The pots, the palest first, and what is to be mixed before and beside them.
    pub rows: Vec<(String, String)>,
    /// How well that can be measured.
    pub note: String,
}

/// What goes into which pot: weighed to what the scale can show, or counted where there is none.
pub fn pots(studio: &Studio, all: &[OrderPots], scale: Option<&Scale>) -> Vec<PotsWords> {
    all.iter().map(|pots| of_one(studio, pots, scale)).collect()
}

fn of_one(studio: &Studio, pots: &OrderPots, scale: Option<&Scale>) -> PotsWords {
    let title = format!(
        "{} in {}, for {}",
        words::item_name(studio, &pots.pigment),
        words::item_name(studio, &pots.resin),
        words::stones(&pots.stones)
    );
    let (rows, note) = match scale {
        Some(scale) => (weighed(pots, scale), weighed_note(pots, scale)),
        None => (counted(studio, pots), counted_note(pots)),
    };
    PotsWords { title, rows, note }
}

/// The rows of the pot of one load alone, and of what is mixed before it; none where there is no such pot.
pub fn pot(studio: &Studio, pots: &OrderPots, load: Load, scale: Option<&Scale>) -> Vec<(String, String)> {
    let mut alone = pots.clone();
    alone.dosing.pots.retain(|pot| pot.load == load);
    alone.counts.retain(|counts| counts.load == load);
    alone.dosing.clear = Mass::ZERO;
    if alone.dosing.pots.is_empty() {
        return Vec::new();
    }
    match scale {
        Some(scale) => weighed(&alone, scale),
        None => counted(studio, &alone),
    }
}

/// A mass as the scale shows it: rounded to its last digit.
pub fn on_scale(mass: Mass, scale: &Scale) -> String {
    let digit = scale.readability.micro().max(1);
    let steps = (mass.micro() + digit / 2) / digit;
    if steps == 0 && mass.is_positive() {
        return format!("less than your scale shows ({})", words::mass(scale.readability));
    }
    words::mass(Mass::from_micro(steps * digit))
}

fn weighed(pots: &OrderPots, scale: &Scale) -> Vec<(String, String)> {
    let dosing = &pots.dosing;
    let on = |mass| on_scale(mass, scale);
    let mut rows = Vec::new();
    if dosing.batch_pigment.is_positive() {
        rows.push((
            "first a strong mix of 10 %".to_owned(),
            format!(
                "{} of pigment in {} of resin; {} is left over",
                on(dosing.batch_pigment),
                on(dosing.batch_resin),
                on(dosing.batch_left)
            ),
        ));
    }
    for pot in &dosing.pots {
        rows.push((
            pot_named(pot),
            format!(
                "{} of the strong mix in {} of resin; {} is poured, {} is left over",
                on(pot.masterbatch),
                on(pot.clear),
                words::mass(pot.poured),
                words::mass(pot.left_over)
            ),
        ));
    }
    if dosing.clear.is_positive() {
        rows.push(("clear resin".to_owned(), format!("{}, a third of it to spare", on(dosing.clear))));
    }
    rows
}

fn pot_named(pot: &Pot) -> String {
    format!("pot of {}", pot.load)
}

fn weighed_note(pots: &OrderPots, scale: &Scale) -> String {
    let doubts = pots.dosing.pots.iter().filter_map(|pot| pots.dosing.doubt(pot, scale).ok());
    let worst = doubts.map(craft::cure::Factor::get).fold(0.0, f64::max);
    match worst {
        none if none <= 0.0 => String::new(),
        large if large > 0.3 => format!(
            "Your scale is coarse for this: the palest pot may be off by {:.0} in a hundred. Mix a larger one, or count scoops.",
            100.0 * large
        ),
        small => format!("On your scale that is good to {:.0} in a hundred.", (100.0 * small).max(1.0)),
    }
}

fn counted(studio: &Studio, pots: &OrderPots) -> Vec<(String, String)> {
    let mut rows: Vec<(String, String)> =
        pots.counts.iter().map(|counts| count_row(studio, pots, counts)).collect();
    if pots.dosing.clear.is_positive() {
        let clear = words::mass(pots.dosing.clear);
        rows.push(("clear resin".to_owned(), format!("about {clear}, a third of it to spare")));
    }
    rows
}

fn count_row(studio: &Studio, pots: &OrderPots, counts: &Counts) -> (String, String) {
    let name = format!("pot of {}", counts.load);
    let Some(counted) = counts.counted else {
        return (
            name,
            "less than one scoop to 60 drops: mix a strong pot first and take drops of it".to_owned(),
        );
    };
    let swatch = match studio.shelf().get(&pots.pigment).map(|item| &item.what) {
        Some(What::Pigment(pigment)) => counts.swatch.and_then(|place| pigment.swatches.get(place)),
        _ => None,
    };
    let near = swatch.map_or_else(String::new, |swatch| {
        let came_out =
            if swatch.came_out.is_empty() { String::new() } else { format!(", {}", swatch.came_out) };
        format!("; near your swatch of {} to {}{came_out}", swatch.scoops, swatch.drops)
    });
    let scoops = words::count(usize::from(counted.scoops), "scoop", "scoops");
    let drops = words::count(usize::from(counted.drops), "drop", "drops");
    let left = match counts.drops_left {
        0 => String::new(),
        left => format!("; about {} left over", words::count(usize::from(left), "drop is", "drops are")),
    };
    (name, format!("{scoops} to {drops}{left}{near}"))
}

fn counted_note(pots: &OrderPots) -> String {
    if pots.counts.is_empty() {
        return String::new();
    }
    if pots.counts.iter().any(|counts| counts.scoop_of.is_some()) {
        return "Counted by the mix in your swatch book that was weighed, for the same scoop levelled off. A scale that shows \
                0.01 g does better."
            .to_owned();
    }
    format!(
        "Counted, not weighed: a pot may be off by {:.0} in a hundred, by about the same each time with the same scoop, so a \
         test made with it takes that in. A scale that shows 0.01 g does better.",
        100.0 * Scoop::DOUBT.get()
    )
}

/// How many stones each material makes, and what practice stones are made of.
pub fn candidates(held: &Held, all: &[(u8, Candidates)]) -> Vec<(String, String)> {
    let each = |(lot, candidates): &(u8, Candidates)| {
        (words::sentence_start(&words::lot(held, *lot)), candidates_words(candidates))
    };
    let mut rows: Vec<(String, String)> = all.iter().map(each).collect();
    if !rows.is_empty() {
        rows.push((
            "Practice".to_owned(),
            "pour one practice stone first, of hair or ash of your own: none of the client's. It is added at the top of this \
             page and stays yours"
                .to_owned(),
        ));
    }
    rows
}

fn candidates_words(candidates: &Candidates) -> String {
    let each = words::share(candidates.each);
    match candidates.spread {
        Some(spread) => {
            let stones = words::count(usize::from(candidates.most), "stone", "stones");
            format!(
                "makes {stones} with {each} in each; even if every portion comes out too large, {} is left, and the keep-back is whole",
                words::percent(spread.left_at_worst)
            )
        }
        None if candidates.most_for_one == craft::units::Share::NONE => {
            "what is left is the keep-back; it is opened only with the client's recorded yes".to_owned()
        }
        None => format!(
            "{each} could take from the keep-back; one stone can have at most {}",
            words::percent(candidates.most_for_one)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, usual_plan};
    use craft::foreseen::candidates as made_of;
    use craft::spread::{AtHand, Portioning};
    use craft::stage::Stage;
    use craft::units::Share;

    #[test]
    fn pots_are_weighed_to_the_last_digit_of_the_scale_or_counted_without_one() {
        let bench = bench(Stage::Here);
        let stones = &bench.studio.order(bench.tag).unwrap().order.sheet.stones;
        let plan = usual_plan();
        let both: Vec<_> = stones.iter().map(|stone| (stone, &plan)).collect();
        let pots_of = bench.studio.pots_of(bench.tag, &both).unwrap();
        let coarse = Scale { readability: Mass::from_mg(10.0), repeatability: Mass::ZERO };
        let weighed = pots(&bench.studio, &pots_of, Some(&coarse)).remove(0);
        assert!(weighed.title.ends_with(", for stones 1 and 2"), "{}", weighed.title);
        assert_eq!(weighed.rows[0].0, "first a strong mix of 10 %");
        assert!(weighed.rows.iter().filter(|row| row.0.starts_with("pot of ")).count() >= 1);
        assert!(weighed.rows.iter().all(|row| !row.1.is_empty()));
        assert!(
            weighed.note.starts_with("On your scale") || weighed.note.starts_with("Your scale is coarse")
        );
        assert_eq!(on_scale(Mass::from_mg(63.0), &coarse), "60 mg", "to the last digit");
        assert_eq!(on_scale(Mass::from_mg(4.0), &coarse), "less than your scale shows (10 mg)");
        let counted = pots(&bench.studio, &pots_of, None).remove(0);
        assert!(counted.rows[0].1.contains("scoop"), "{counted:?}");
        assert!(counted.note.starts_with("Counted, not weighed: a pot may be off by 40 in a hundred"));
    }

    #[test]
    fn a_material_says_how_many_stones_it_makes_and_that_practice_takes_none_of_it() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let at_hand = AtHand { left: Share::WHOLE, keep_back: Share::of(1, 3) };
        let of = |part| (1, made_of(at_hand, part, 6, Portioning::BY_EYE));
        let said = candidates(held, &[of(Share::of(1, 10))]);
        assert!(said[0].1.starts_with("makes 4 stones with a tenth in each; even if"), "{said:?}");
        assert!(said[1].1.contains("none of the client's"));
        assert!(candidates(held, &[of(Share::of(1, 2))])[0].1.contains("could take from the keep-back"));
        let kept = AtHand { left: Share::of(1, 3), keep_back: Share::of(1, 3) };
        let none = made_of(kept, Share::of(1, 10), 6, Portioning::BY_EYE);
        assert!(candidates(held, &[(1, none)])[0].1.starts_with("what is left is the keep-back"));
        assert_eq!(candidates(held, &[]), Vec::new());
    }
}
