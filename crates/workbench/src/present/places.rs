//! Where a thing can be put down, as a list to choose from.

use craft::place::Place;
use craft::policies::Policies;
use craft::studio::Studio;

use super::words::{self, folded};
use crate::shelving::with_another_place;

/// The bench first, then every place of the studio's list that has a name, each under its own number.
pub fn choices(studio: &Studio) -> Vec<(Place, String)> {
    let named = (1_u16..).zip(&studio.policies().places).filter(|(_, name)| !name.is_empty());
    let kept = named.map(|(no, _)| Place::Kept(no));
    let all = [Place::Bench].into_iter().chain(kept);
    all.map(|place| (place.clone(), words::place(studio, &place))).collect()
}

/// A place that is called by its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Named {
    /// The studio's list has it already, or it is the bench.
    Known(Place),
    /// It has to be added: the settings with it, and its place among them.
    New(Box<Policies>, Place),
}

/// The place of that name. One that is not on the studio's list yet is added at its end.
///
/// # Errors
/// What is wrong with the name.
pub fn named(studio: &Studio, text: &str) -> Result<Named, String> {
    let wanted = folded(text.trim());
    if matches!(wanted.as_str(), "bench" | "on the bench" | "the bench") {
        return Ok(Named::Known(Place::Bench));
    }
    if let Some((place, _)) = choices(studio).into_iter().find(|(_, name)| folded(name) == wanted) {
        return Ok(Named::Known(place));
    }
    let house = with_another_place(studio.policies(), text)?.value;
    let Ok(no) = u16::try_from(house.places.len()) else {
        return Err("the studio's list is full".to_owned());
    };
    Ok(Named::New(Box::new(house), Place::Kept(no)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::money::Currency;

    fn studio(names: &[&str]) -> Studio {
        let places = names.iter().map(|name| name.parse().unwrap()).collect();
        let policies =
            Policies::new("fernhill".parse().unwrap(), "Fernhill Stones".parse().unwrap(), Currency::GBP);
        Studio::new(Policies { places, ..policies })
    }

    #[test]
    fn a_place_is_added_only_where_the_list_has_none_of_that_name() {
        let studio = studio(&["drawer 1", "", "tin by the window"]);
        assert_eq!(named(&studio, " Drawer 1 "), Ok(Named::Known(Place::Kept(1))));
        assert_eq!(named(&studio, "bench"), Ok(Named::Known(Place::Bench)));
        let Ok(Named::New(house, place)) = named(&studio, "the safe") else { panic!("it is a new one") };
        assert_eq!(place, Place::Kept(4), "the numbers of the others stay");
        assert_eq!(house.place(4).map(ToString::to_string).as_deref(), Some("the safe"));
        assert!(named(&studio, "  ").unwrap_err().starts_with("write what it is called"));
        assert!(named(&studio, &"x".repeat(300)).is_err());
    }

    #[test]
    fn the_bench_comes_first_and_a_place_without_a_name_is_left_out_but_keeps_its_number() {
        let all = choices(&studio(&["drawer 1", "", "tin by the window"]));
        let said: Vec<(Place, &str)> =
            all.iter().map(|(place, name)| (place.clone(), name.as_str())).collect();
        assert_eq!(
            said,
            [
                (Place::Bench, "on the bench"),
                (Place::Kept(1), "drawer 1"),
                (Place::Kept(3), "tin by the window")
            ]
        );
    }
}
