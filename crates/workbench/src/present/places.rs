//! Where a thing can be put down, as a list to choose from.

use craft::place::Place;
use craft::studio::Studio;

use super::words;

/// The bench first, then every place of the studio's list that has a name, each under its own number.
pub fn choices(studio: &Studio) -> Vec<(Place, String)> {
    let named = (1_u16..).zip(&studio.policies().places).filter(|(_, name)| !name.is_empty());
    let kept = named.map(|(no, _)| Place::Kept(no));
    let all = [Place::Bench].into_iter().chain(kept);
    all.map(|place| (place.clone(), words::place(studio, &place))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::money::Currency;
    use craft::policies::Policies;

    #[test]
    fn the_bench_comes_first_and_a_place_without_a_name_is_left_out_but_keeps_its_number() {
        let places = ["drawer 1", "", "tin by the window"].map(|name| name.parse().unwrap()).to_vec();
        let studio = "fernhill".parse().unwrap();
        let policies = Policies::new(studio, "Fernhill Stones".parse().unwrap(), Currency::GBP);
        let all = choices(&Studio::new(Policies { places, ..policies }));
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
