//! The sending sheet's facts.

use craft::fact::Material;
use papers::facts::{KitFacts, KitGuide};

use super::Subject;
use crate::present::words;

pub(super) fn facts(about: &Subject<'_>) -> Result<KitFacts, String> {
    let policies = about.studio.policies();
    if policies.post.is_empty() {
        return Err(
            "write the studio's postal address in the settings first; this sheet tells the client where to \
                    send it"
                .to_owned(),
        );
    }
    let address =
        policies.post.as_str().lines().map(str::trim).filter(|line| !line.is_empty()).map(ToOwned::to_owned);
    let sheet = &about.held.order.sheet;
    let send_by = sheet.due.map_or_else(
        || "There is no hurry: send it when you are ready.".to_owned(),
        |due| {
            format!(
                "It is promised for {}; the sooner it is here, the less the work has to hurry.",
                words::date_with_year(due)
            )
        },
    );
    Ok(KitFacts {
        header: about.header(),
        hello: format!("Thank you for trusting me with something of {}’s.", words::remembered(about.held))
            .replace("s’s.", "s’."),
        guides: guides(about),
        return_to: std::iter::once(policies.name.to_string()).chain(address).collect(),
        send_by,
        carrier: KitFacts::ASK_THE_CARRIER.to_owned(),
    })
}

/// Words that tell of a material, and its guide.
type Telling = (&'static [&'static str], fn() -> KitGuide);

/// Words of a wish or a description that tell which material is coming.
const TELLING: [Telling; 4] = [
    (
        &["hair", "fur", "mane", "tail", "feather", "lock", "whisker", "whiskers", "curl", "curls"],
        KitGuide::hair,
    ),
    (&["ash", "ashes", "cremated", "cremation"], KitGuide::ashes),
    (&["petal", "petals", "flower", "flowers", "rose", "roses", "bouquet"], KitGuide::petals),
    (&["milk"], KitGuide::milk),
];

/// One guide for each material that came or is spoken of; all of them where nothing tells.
fn guides(about: &Subject<'_>) -> Vec<KitGuide> {
    let sheet = &about.held.order.sheet;
    let spoken = format!("{} {}", sheet.remembered.about, sheet.wishes).to_lowercase();
    let said: Vec<&str> = spoken.split(|letter: char| !letter.is_alphanumeric()).collect();
    let came = |place: usize| {
        about.held.ledger.custody.lots.values().any(|lot| guide_of(lot.material) == Some(place))
    };
    let chosen: Vec<KitGuide> = TELLING
        .iter()
        .enumerate()
        .filter(|(place, (telling, _))| came(*place) || telling.iter().any(|word| said.contains(word)))
        .map(|(_, (_, guide))| guide())
        .collect();
    if chosen.is_empty() { TELLING.iter().map(|(_, guide)| guide()).collect() } else { chosen }
}

/// The place of a material's guide; what is rarer has none of its own.
const fn guide_of(material: Material) -> Option<usize> {
    match material {
        Material::Hair | Material::Fur => Some(0),
        Material::Ashes => Some(1),
        Material::Petals => Some(2),
        Material::Milk => Some(3),
        Material::Cloth | Material::Earth | Material::Feather | Material::Other => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::present::paper_facts::paper;
    use crate::present::sample::{Bench, line, sheet};
    use craft::fact::PaperKind;
    use craft::order::Sheet;
    use craft::studio::Edit;
    use papers::facts::{KitFacts, Paper};

    fn kit(sheet: Sheet) -> KitFacts {
        let bench = Bench::open(sheet);
        match paper(&bench.studio, bench.tag, PaperKind::Kit, bench.now()) {
            Ok(Paper::Kit(facts)) => facts,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_guides_are_those_of_the_material_that_is_spoken_of() {
        let facts = kit(sheet());
        assert_eq!(
            facts.guides.iter().map(|guide| guide.material.as_str()).collect::<Vec<_>>(),
            ["Hair or fur"]
        );
        assert_eq!(facts.return_to.first().map(String::as_str), Some("Fernhill Stones"));
        assert_eq!(facts.return_to.last().map(String::as_str), Some("UNITED KINGDOM"));
        let mut silent = sheet();
        (silent.remembered.about, silent.wishes, silent.due) =
            (line(""), "a washed ring".parse().unwrap(), None);
        let facts = kit(silent);
        assert_eq!(facts.guides.len(), 4, "\"washed\" holds \"ash\" and does not mean it");
        assert_eq!(facts.send_by, "There is no hurry: send it when you are ready.");
    }

    #[test]
    fn a_kit_without_an_address_says_what_is_missing() {
        let mut bench = Bench::open(sheet());
        let mut policies = bench.studio.policies().clone();
        policies.post = "".parse().unwrap();
        bench.studio.apply(Edit::Policies(Box::new(policies)), bench.now()).unwrap();
        let why = paper(&bench.studio, bench.tag, PaperKind::Kit, bench.now()).unwrap_err();
        assert!(why.starts_with("write the studio's postal address"), "{why}");
    }
}
