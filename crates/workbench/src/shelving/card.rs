//! A line test on a card, as it is written down: two steps of a film, between which the edge of the card is lost. It is
//! kept with its day, and what it says of hiding is planned with from then on.

use chrono::NaiveDate;
use craft::hiding::{Card, CardStep};
use craft::shelf::{Item, Pigment, What};
use craft::units::Length;

use super::choices::changed;
use super::observations::{load, seen_on};
use crate::present::words;
use crate::typed::{self, Typed};

/// What was typed of a line test.
#[derive(Clone, Copy, Debug)]
pub struct CardTyped<'a> {
    /// How much pigment is in the film.
    pub load: &'a str,
    /// The thickest step that still shows the line.
    pub seen: &'a str,
    /// The thinnest step that hides it.
    pub hidden: &'a str,
    /// The day; today where it is empty.
    pub day: &'a str,
}

/// No film on a card is thicker (common practice, no source).
const THICKEST: Length = Length::from_micro(5_000_000);

/// How thick a step of the film is.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn step(text: &str) -> Result<Typed<Length>, String> {
    let typed = typed::length(text)?;
    if !typed.value.is_positive() {
        return Err("a step of nothing is no film; write its thickness, such as 0.6 mm".to_owned());
    }
    if typed.value > THICKEST {
        let thick = words::length(typed.value);
        return Err(format!(
            "{thick} is thicker than any film on a card; look for a slip, such as cm for mm"
        ));
    }
    Ok(typed)
}

/// A line test as it was typed.
///
/// # Errors
/// What is wrong or missing; a test that says nothing.
pub fn card(typed: &CardTyped<'_>, today: NaiveDate) -> Result<Card, String> {
    let load = load(typed.load).map_err(|why| format!("how much pigment: {why}"))?.value;
    let mut steps = Vec::new();
    let all = [(typed.seen, true, "the line is seen through"), (typed.hidden, false, "it is hidden by")];
    for (text, line_seen, which) in all {
        if text.trim().is_empty() {
            continue;
        }
        let thickness = step(text).map_err(|why| format!("{which}: {why}"))?.value;
        steps.push(CardStep { thickness, line_seen });
    }
    if steps.is_empty() {
        return Err("write the last step that shows the line, and the first that hides it".to_owned());
    }
    let card = Card { on: seen_on(typed.day, today)?.value, load, steps };
    card.found().map_err(|why| why.to_string())?;
    Ok(card)
}

fn pigment(what: &mut What) -> Result<&mut Pigment, String> {
    match what {
        What::Pigment(pigment) if pigment.mix.class.hides() => Ok(pigment),
        What::Pigment(_) => {
            Err("clear resin and see-through dye are never relied on to hide; choose what kind it is first"
                .to_owned())
        }
        _ => Err("that is not a pigment".to_owned()),
    }
}

/// The pigment with one more line test, hiding as the newest of them found.
///
/// # Errors
/// It is no pigment that hides, or the test says nothing.
pub fn with_card(item: &Item, card: Card) -> Result<Item, String> {
    changed(item, |what| {
        let pigment = pigment(what)?;
        let need = card.found().map_err(|why| why.to_string())?.need;
        if pigment.cards.iter().all(|before| before.on <= card.on) {
            pigment.mix.hiding = need;
        }
        pigment.cards.push(card);
        Ok(())
    })
}

/// The pigment without the line test that was written down by mistake just now, hiding as it did before.
///
/// # Errors
/// It is no pigment, or has no such test.
pub fn without_card(item: &Item, card: &Card, before: craft::cure::Factor) -> Result<Item, String> {
    changed(item, |what| {
        let pigment = pigment(what)?;
        let place = pigment.cards.iter().rposition(|other| other == card);
        let place = place.ok_or_else(|| "that does not stand there any more".to_owned())?;
        pigment.cards.remove(place);
        pigment.mix.hiding = before;
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, id, studio};
    use craft::units::Load;

    fn read(load: &str, seen: &str, hidden: &str) -> Result<Card, String> {
        card(&CardTyped { load, seen, hidden, day: "1 May" }, day(2026, 5, 3))
    }

    #[test]
    fn two_steps_make_a_test_and_the_pigment_hides_as_it_found() {
        let item = studio().shelf()[&id("deep-green")].clone();
        let found = read("0,5 %", "1.2 mm", "1.4").unwrap();
        assert_eq!((found.on, found.steps.len()), (day(2026, 5, 1), 2));
        let with = with_card(&item, found.clone()).unwrap();
        let What::Pigment(pigment) = &with.what else { panic!("no pigment") };
        // Per cent times the thinnest step that hides, by hand.
        assert!((pigment.mix.hiding.get() - 0.7).abs() < 1e-9);
        assert_eq!((pigment.cards.as_slice(), with.check()), (&[found.clone()][..], Ok(())));
        let What::Pigment(before) = &item.what else { panic!("no pigment") };
        assert_eq!(
            pigment.mix.provenance, before.mix.provenance,
            "it says nothing of how light goes through"
        );
        let older = Card { on: day(2026, 4, 1), load: Load::from_percent(1.0), ..found.clone() };
        let both = with_card(&with, older).unwrap();
        let What::Pigment(both) = &both.what else { panic!("no pigment") };
        assert_eq!((both.cards.len(), both.mix.hiding), (2, pigment.mix.hiding), "the newest day rules");
        assert_eq!(without_card(&with, &found, before.mix.hiding).unwrap(), item);
        assert!(without_card(&item, &found, before.mix.hiding).is_err());
    }

    #[test]
    fn what_says_nothing_gets_a_sentence_and_changes_nothing() {
        let wrong = |load: &str, seen: &str, hidden: &str| read(load, seen, hidden).unwrap_err();
        assert!(wrong("", "0.6", "0.8").starts_with("how much pigment"));
        assert!(wrong("1 %", "", "").starts_with("write the last step"));
        assert!(wrong("1 %", "0.6", "").contains("add thicker steps or more pigment"));
        assert!(wrong("1 %", "", "0.2").contains("add thinner steps or take less pigment"));
        assert!(wrong("1 %", "0.8", "0.6").contains("look at both again"));
        assert!(wrong("1 %", "thin", "0.6").starts_with("the line is seen through"));
        assert!(wrong("1 %", "0.6", "2 cm").starts_with("it is hidden by"));
        assert!(wrong("1 %", "0", "0.6").contains("no film"));
        let card = read("1 %", "0.6", "0.8").unwrap();
        for other in ["clear-resin", "nail-lamp"] {
            assert!(with_card(&studio().shelf()[&id(other)].clone(), card.clone()).is_err(), "{other}");
        }
    }
}
