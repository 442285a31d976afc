//! The care card's facts.

use std::collections::BTreeSet;

use craft::id::Thing;
use craft::shelf::What;
use papers::facts::CareFacts;

use super::Subject;
use crate::present::words;

pub(super) fn facts(about: &Subject<'_>) -> Result<CareFacts, String> {
    let ledger = &about.held.ledger;
    if !ledger.client_stones().any(|(_, stone)| !stone.layers.is_empty()) {
        return Err("no stone has been poured yet; the care card says what the piece is made of".to_owned());
    }
    let policies = about.studio.policies();
    let heat = Some(policies.heat_words.to_string()).filter(|words| !words.is_empty());
    let closing =
        if policies.contact.is_empty() { "" } else { "If anything worries you about it, write to me." };
    let usual = CareFacts::usual();
    let wear = usual.wear.into_iter().map(|line| without_the_car(line, heat.as_deref())).collect();
    Ok(CareFacts {
        header: about.header(),
        made_of: made_of(about),
        wear,
        heat,
        closing: closing.to_owned(),
        ..CareFacts::usual()
    })
}

/// Where the maker's own words about heat name the hot car, the usual line does not name it again.
fn without_the_car(line: String, heat: Option<&str>) -> String {
    const CAR: &str = " or in a hot car";
    let named = heat.is_some_and(|heat| {
        heat.to_lowercase().split(|c: char| !c.is_alphabetic()).any(|word| word == "car")
    });
    if named { line.replace(CAR, "") } else { line }
}

/// What the record shows is in the set stones, or in all of them before any is set.
fn made_of(about: &Subject<'_>) -> String {
    let ledger = &about.held.ledger;
    let stones: Vec<u8> = if ledger.fit.set.is_empty() {
        ledger.client_stones().map(|(no, _)| *no).collect()
    } else {
        ledger.fit.set.keys().copied().collect()
    };
    let lots: BTreeSet<u8> =
        stones.iter().flat_map(|no| ledger.custody.contents(Thing::stone(*no)).map(|(lot, _)| lot)).collect();
    let mut materials: Vec<&str> = lots
        .iter()
        .filter_map(|lot| ledger.custody.lots.get(lot))
        .map(|lot| words::material(lot.material))
        .collect();
    materials.dedup();
    let mut said = "UV-cured resin".to_owned();
    if !materials.is_empty() {
        said = format!("{said} with some of the {} you sent", words::list(&materials));
    }
    if let Some(metal) = metal(about) {
        said = format!("{said}, set in {metal}, as it was supplied to me");
    }
    format!("{said}.")
}

/// The metal as supplied, once a stone is set.
fn metal(about: &Subject<'_>) -> Option<String> {
    if about.held.ledger.fit.set.is_empty() {
        return None;
    }
    let item = about.studio.shelf().get(about.held.order.sheet.setting.as_ref()?)?;
    match &item.what {
        What::Setting(setting) if !setting.metal.is_empty() => Some(setting.metal.to_string()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::present::paper_facts::paper;
    use crate::present::sample::{at, bench};
    use craft::fact::PaperKind;
    use craft::stage::Stage;
    use papers::facts::{CareFacts, Paper};

    fn care(stage: Stage) -> Result<CareFacts, String> {
        let bench = bench(stage);
        match paper(&bench.studio, bench.tag, PaperKind::Care, at(0))? {
            Paper::Care(facts) => Ok(facts),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_card_says_what_the_record_shows_and_no_more() {
        let facts = care(Stage::Set).unwrap();
        assert_eq!(
            facts.made_of,
            "UV-cured resin with some of the hair you sent, set in 925 silver, as it was supplied to me."
        );
        assert_eq!(facts.heat, None, "no heat figure is made up");
        let loose = care(Stage::Made).unwrap();
        assert_eq!(loose.made_of, "UV-cured resin with some of the hair you sent.");
    }

    #[test]
    fn the_hot_car_is_named_once() {
        let mut bench = bench(Stage::Set);
        let cars = |bench: &crate::present::sample::Bench| {
            let Paper::Care(facts) = paper(&bench.studio, bench.tag, PaperKind::Care, at(0)).unwrap() else {
                panic!()
            };
            let lines = facts.wear.iter().chain(&facts.heat);
            lines.filter(|line| line.contains("car")).cloned().collect::<Vec<_>>()
        };
        assert_eq!(cars(&bench), ["Do not leave it in long sunlight or in a hot car."]);
        for (words, named) in
            [("Keep it from the hob and the hot car.", true), ("Handle it with care.", false)]
        {
            let mut policies = bench.studio.policies().clone();
            policies.heat_words = crate::present::sample::line(words);
            let now = bench.now();
            bench.studio.apply(craft::studio::Edit::Policies(Box::new(policies)), now).unwrap();
            assert_eq!(cars(&bench).first().is_some_and(|line| line == words), named, "{words}");
            assert!(!named || cars(&bench).len() == 1);
        }
    }

    #[test]
    fn before_the_first_pour_there_is_no_card() {
        assert!(care(Stage::Here).unwrap_err().starts_with("no stone has been poured yet"));
    }
}
