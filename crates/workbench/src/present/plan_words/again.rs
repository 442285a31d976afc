//! Why a kept plan is to be made again, in words.

use chrono::NaiveDate;
use craft::foreseen::Against;
use craft::order::StoneSheet;
use craft::studio::Studio;
use craft::tag::Tag;

use super::words;
use crate::present::labels::plan as labels;

/// What was learned since a plan was kept that speaks against it.
pub fn against(against: &Against) -> String {
    match against {
        Against::Learned(why) => format!("{}.", words::sentence_start(&why.to_string())),
        Against::NotSure(layers) => {
            let (layers, them) = match layers.as_slice() {
                [one] => (format!("layer {}", one + 1), "it"),
                several => {
                    let several: Vec<String> = several.iter().map(|place| (place + 1).to_string()).collect();
                    (format!("layers {}", words::list(&several)), "them")
                }
            };
            format!(
                "What was learned since this plan was kept speaks against it: {layers} may stay soft below. Plan {them} again \
                 before anything more is laid."
            )
        }
    }
}

/// Why the rest of a begun stone is to be planned again; empty where nothing is.
pub fn again(studio: &Studio, tag: Tag, stone: &StoneSheet, today: NaiveDate) -> String {
    let otherwise: Vec<String> =
        studio.laid_otherwise(tag, stone).iter().map(|place| (place + 1).to_string()).collect();
    let otherwise = (!otherwise.is_empty()).then(|| labels::laid_otherwise(&words::list(&otherwise)));
    let learned = studio.against(tag, stone, today).as_ref().map(against);
    otherwise.into_iter().chain(learned).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::learning::LearningError;
    use craft::units::Span;

    #[test]
    fn what_speaks_against_a_plan_names_the_layers_and_what_to_do() {
        let one = against(&Against::NotSure(vec![0]));
        assert!(one.contains("layer 1 may stay soft below. Plan it again before"), "{one}");
        let two = against(&Against::NotSure(vec![0, 2]));
        assert!(two.contains("layers 1 and 3 may stay soft below. Plan them again"), "{two}");
        let nothing = LearningError::NothingSets {
            light: Span::from_s(96.0),
            longest: Span::from_s(120.0),
            of: craft::learning::Unset::Test,
        };
        let said = against(&Against::Learned(nothing));
        assert!(
            said.starts_with("Nothing set in up to 96 s under this lamp") && said.ends_with('.'),
            "{said}"
        );
    }
}
