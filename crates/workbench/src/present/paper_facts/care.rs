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
    Ok(CareFacts {
        header: about.header(),
        made_of: made_of(about),
        heat,
        closing: closing.to_owned(),
        ..CareFacts::usual()
    })
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
    fn before_the_first_pour_there_is_no_card() {
        assert!(care(Stage::Here).unwrap_err().starts_with("no stone has been poured yet"));
    }
}
