//! What line tests say of a pigment.

use chrono::NaiveDate;
use craft::hiding::{Card, CardTest};
use craft::shelf::Pigment;
use craft::units::{Length, Load};

use super::words;

/// Line tests that were written down, the newest first: the test, and a sentence.
pub fn cards(pigment: &Pigment, today: NaiveDate) -> Vec<(Card, String)> {
    let mut all: Vec<(Card, String)> =
        pigment.cards.iter().rev().map(|card| (card.clone(), card_line(card, today))).collect();
    all.sort_by_key(|(card, _)| std::cmp::Reverse(card.on));
    all
}

/// "3 May: at 1 % the line was seen through 0.6 mm and hidden by 0.8 mm."
fn card_line(card: &Card, today: NaiveDate) -> String {
    let of = |line_seen: bool| {
        let steps = card.steps.iter().filter(move |step| step.line_seen == line_seen);
        words::list(&steps.map(|step| words::length(step.thickness)).collect::<Vec<_>>())
    };
    format!(
        "{}: at {} the line was seen through {} and hidden by {}.",
        words::date(card.on, today),
        card.load,
        of(true),
        of(false)
    )
}

/// What a line test says: how much hides, how sure that is, and what was planned with until now.
///
/// # Errors
/// The test says nothing.
pub fn said(pigment: &Pigment, card: &Card) -> Result<String, String> {
    let CardTest { need, doubt } = card.found().map_err(|why| why.to_string())?;
    let [typical, before] = [need, pigment.mix.hiding].map(|need| layer(need.get(), card.load));
    let off = Length::from_mm((typical.mm() * doubt.get() * 10.0).round() / 10.0);
    let change = if (need.get() - pigment.mix.hiding.get()).abs() < 1e-6 {
        "That is what it was planned with.".to_owned()
    } else {
        format!("Until now it was planned with {}.", words::length(before))
    };
    Ok(format!(
        "At {} it takes {} of colour to hide the metal, give or take {}. {change}",
        card.load,
        words::length(typical),
        words::length(off)
    ))
}

/// How thick a layer of a load hides, to the hundredth of a millimetre above.
fn layer(need: f64, load: Load) -> Length {
    Length::from_mm((100.0 * need / load.percent() - 1e-6).ceil() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, id, studio};
    use crate::shelving::card::{CardTyped, card, with_card};
    use craft::shelf::{Item, What};

    fn pigment(item: &Item) -> &Pigment {
        match &item.what {
            What::Pigment(pigment) => pigment,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_test_is_told_before_it_is_kept_and_stands_with_its_day_after() {
        let item = studio().shelf()[&id("deep-green")].clone();
        let today = day(2026, 5, 3);
        let typed = CardTyped { load: "0.5 %", seen: "1.2", hidden: "1.4", day: "1 May" };
        let test = card(&typed, today).unwrap();
        let told = said(pigment(&item), &test).unwrap();
        // Half of 0.2 mm over the root of three, with 0.1 mm for laying: 0.12 mm, said to the tenth.
        assert!(
            told.starts_with(
                "At 0.5 % it takes 1.4 mm of colour to hide the metal, give or take 0.1 mm. Until now"
            ),
            "{told}"
        );
        let kept = with_card(&item, test.clone()).unwrap();
        let [(_, line)] = &cards(pigment(&kept), today)[..] else { panic!("one test") };
        assert_eq!(line, "1 May: at 0.5 % the line was seen through 1.2 mm and hidden by 1.4 mm.");
        assert!(said(pigment(&kept), &test).unwrap().ends_with("That is what it was planned with."));
    }
}
