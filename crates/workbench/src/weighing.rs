//! Weighing and looking: what was typed of a thing, as the fact it is; and how something was dried.

use craft::compare::by_eye;
use craft::fact::{CustodyFact, Drying};
use craft::id::{ShelfId, Thing, ThingKind};
use craft::reading::{Means, Reading};
use craft::scale::ScaleProfile;
use craft::shelf::What;
use craft::studio::{Held, Studio};
use craft::text::Line;
use craft::units::{Mass, Span};

use crate::present::custody::long;
use crate::present::words::mass;
use crate::typed::{self, Amount, HowMuch, Typed};

/// What was typed of a thing.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// Something a scale or the eye said.
    Fact(CustodyFact),
    /// Words about how it looks.
    Looks(Line),
}

/// The scales on the shelf that are in use, with their names.
pub fn scales(studio: &Studio) -> Vec<(ShelfId, String)> {
    let all = studio.shelf().iter().filter(|(_, item)| !item.retired && matches!(item.what, What::Scale(_)));
    all.map(|(id, item)| (id.clone(), item.name.to_string())).collect()
}

fn profile<'a>(studio: &'a Studio, scale: &ShelfId) -> Option<&'a ScaleProfile> {
    match studio.shelf().get(scale).map(|item| &item.what) {
        Some(What::Scale(profile)) => Some(profile),
        _ => None,
    }
}

/// What came was weighed, or judged by eye, before anything was taken out of it.
pub fn came_weighed(studio: &Studio, thing: Thing, reading: Reading<Mass>) -> CustodyFact {
    match studio.believed_scale().filter(|_| reading.by == Means::Scale) {
        Some((scale, profile)) => CustodyFact::WeighedOn {
            thing,
            scale: scale.clone(),
            reading: read_on(profile, reading).0,
            air: None,
        },
        None => CustodyFact::Weighed { thing, reading },
    }
}

/// What was typed of a thing as the fact it is: a weight that was read is the scale's, a weight "about" is the eye's, and
/// a share is how much of its material it looks like. With a scale of the shelf the reading has that scale's doubt, and
/// `air` is the humidity of the room in per cent.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn seen(
    studio: &Studio,
    held: &Held,
    thing: Thing,
    (scale, air): (Option<&ShelfId>, Option<u8>),
    text: &str,
) -> Result<Typed<Seen>, String> {
    let on_shelf = scale.and_then(|id| Some((id, profile(studio, id)?)));
    let plain = on_shelf.map_or(studio.policies().scale, |(_, profile)| Some(profile.scale));
    let typed = typed::how_much(text, plain)?;
    let (value, echo) = match &typed.value {
        HowMuch::Words(words) => {
            let looks = held.order.sheet.description(thing).cloned().unwrap_or_default();
            (Seen::Looks(typed::looks_with(&looks, words)?), typed.echo)
        }
        HowMuch::Amount(Amount::Share(part)) => {
            let lot = only_lot(held, thing)?;
            let fact = CustodyFact::Judged { thing, lot, part: *part, doubt: by_eye(*part) };
            (Seen::Fact(fact), format!("{}, by eye", typed.echo))
        }
        HowMuch::Amount(Amount::Mass(reading)) => match on_shelf {
            Some((id, profile)) if reading.by == Means::Scale => {
                let (reading, echo) = read_on(profile, *reading);
                if let Some(most) = profile.most.filter(|_| !profile.carries(reading.value)) {
                    return Err(format!(
                        "this scale carries no more than {}, packet and all; weigh it on another, or write a share of \
                         it, such as \"a quarter\"",
                        mass(most)
                    ));
                }
                let fact = CustodyFact::WeighedOn { thing, scale: id.clone(), reading, air };
                (Seen::Fact(fact), echo)
            }
            _ => (Seen::Fact(CustodyFact::Weighed { thing, reading: *reading }), typed.echo),
        },
    };
    Ok(Typed { value, echo })
}

/// A reading of a scale of the shelf: its packet taken off, and never surer than the scale is.
fn read_on(profile: &ScaleProfile, typed: Reading<Mass>) -> (Reading<Mass>, String) {
    let net = profile.reads(typed.value);
    let reading = Reading { doubt: net.doubt.max(typed.doubt), ..net };
    let said = crate::present::words::reading_mass(&reading);
    let off = typed.value != net.value;
    (reading, if off { format!("{said}, the packet taken off") } else { said })
}

/// The one material that a thing holds.
fn only_lot(held: &Held, thing: Thing) -> Result<u8, String> {
    let lots: Vec<u8> = held.ledger.custody.contents(thing).map(|(lot, _)| lot).collect();
    match lots.as_slice() {
        [only] => Ok(*only),
        [] if thing.kind == ThingKind::Wrapping => Ok(thing.no),
        [] => Err("it holds nothing, so there is no share of it to judge".to_owned()),
        _ => Err("it holds more than one material; write a weight, such as \"31 mg\"".to_owned()),
    }
}

/// The humidity of the room: "45", "45 %"; nothing where nothing is written.
///
/// # Errors
/// What would be right.
pub fn air(text: &str) -> Result<Typed<Option<u8>>, String> {
    let plain = text.trim().trim_end_matches('%').trim();
    if plain.is_empty() {
        return Ok(Typed { value: None, echo: "not read".to_owned() });
    }
    match plain.parse::<u8>() {
        Ok(air) if air <= 100 => Ok(Typed { value: Some(air), echo: format!("{air} %") }),
        _ => Err("the air is between 0 and 100 % damp, such as 45 %".to_owned()),
    }
}

/// How long something was dried: "2 days", "a week", "90 min".
///
/// # Errors
/// What would be right.
pub fn drying_time(text: &str) -> Result<Typed<Span>, String> {
    const DAY_S: f64 = 86_400.0;
    let plain = text.trim().to_lowercase();
    let (number, unit) = plain.split_once(' ').unwrap_or(("", plain.as_str()));
    let days = match unit.trim() {
        "day" | "days" => Some(1.0),
        "week" | "weeks" => Some(7.0),
        _ => None,
    };
    let count = match number {
        "a" | "one" => Some(1.0),
        "two" => Some(2.0),
        "three" => Some(3.0),
        digits => digits.replace(',', ".").parse::<f64>().ok().filter(|count| (0.0..=400.0).contains(count)),
    };
    let span = match (days, count) {
        (Some(days), Some(count)) => Span::from_s(days * count * DAY_S),
        (Some(_), None) => return Err("write how many days, such as 2 days".to_owned()),
        (None, _) => match typed::seconds(text) {
            Ok(typed) => typed.value,
            Err(why) => return Err(format!("{why}; or write days, such as 2 days")),
        },
    };
    Ok(Typed { value: span, echo: long(span) })
}

/// What is in a thing was dried.
pub fn dried(thing: Thing, way: Drying, over: Span) -> CustodyFact {
    CustodyFact::Dried { thing, way, over }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, at, bench, id, line};
    use craft::compare::Scale;
    use craft::scale::Tare;
    use craft::shelf::Item;
    use craft::stage::Stage;
    use craft::studio::{Edit, ShelfEdit};
    use craft::text::Text;
    use craft::units::Share;

    fn with_scale(tare: Tare) -> Bench {
        let mut bench = bench(Stage::Here);
        let scale = Scale { readability: Mass::from_mg(1.0), repeatability: Mass::from_mg(1.0) };
        let what = What::Scale(ScaleProfile { scale, most: None, tare, tried: Vec::new() });
        let item = Item { name: line("Fine scale"), retired: false, note: Text::default(), what };
        bench.studio.apply(Edit::Shelf(id("fine"), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
        bench
    }

    fn fact(bench: &Bench, scale: Option<&str>, text: &str) -> Result<CustodyFact, String> {
        let held = bench.studio.order(bench.tag).unwrap();
        let scale = scale.map(id);
        match seen(&bench.studio, held, Thing::envelope(1), (scale.as_ref(), Some(45)), text)?.value {
            Seen::Fact(fact) => Ok(fact),
            Seen::Looks(looks) => panic!("{looks}"),
        }
    }

    #[test]
    fn a_weight_is_the_scales_one_about_is_the_eyes_and_a_share_needs_no_scale() {
        let bench = with_scale(Tare::Button);
        assert_eq!(scales(&bench.studio), [(id("fine"), "Fine scale".to_owned())]);
        let CustodyFact::WeighedOn { reading, air, scale, .. } =
            fact(&bench, Some("fine"), "160 mg").unwrap()
        else {
            panic!("it is read off the scale")
        };
        assert_eq!((reading.value, air, scale), (Mass::from_mg(160.0), Some(45), id("fine")));
        let CustodyFact::Weighed { reading, .. } = fact(&bench, Some("fine"), "about 160 mg").unwrap() else {
            panic!("it is by eye")
        };
        assert_eq!(reading.by, Means::ByEye);
        let CustodyFact::Judged { part, lot, .. } = fact(&bench, None, "a quarter").unwrap() else {
            panic!("it is a look")
        };
        assert_eq!((part, lot), (Share::of(1, 4), 1));
        assert!(matches!(fact(&bench, None, "160 mg").unwrap(), CustodyFact::Weighed { .. }));
    }

    #[test]
    fn a_scale_reads_no_more_than_it_carries_with_the_packet_on_it() {
        let mut bench = with_scale(Tare::Packet { shown: Mass::from_mg(1_000.0) });
        let mut item = bench.studio.shelf()[&id("fine")].clone();
        let What::Scale(profile) = &mut item.what else { panic!("it is a scale") };
        profile.most = Some(Mass::from_mg(2_000.0));
        bench.studio.apply(Edit::Shelf(id("fine"), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
        assert!(fact(&bench, Some("fine"), "2000 mg").is_ok(), "as much as it carries");
        let why = fact(&bench, Some("fine"), "2010 mg").unwrap_err();
        assert!(why.starts_with("this scale carries no more than 2 g, packet and all"), "{why}");
    }

    #[test]
    fn a_reading_is_never_surer_than_its_scale_and_the_packet_is_taken_off() {
        let packet = Mass::from_mg(1_000.0);
        let bench = with_scale(Tare::Packet { shown: packet });
        let CustodyFact::WeighedOn { reading, .. } = fact(&bench, Some("fine"), "1160 mg ± 0.1").unwrap()
        else {
            panic!("it is read off the scale")
        };
        assert_eq!(reading.value, Mass::from_mg(160.0));
        let least = profile(&bench.studio, &id("fine")).unwrap().least_doubt();
        assert!(reading.doubt >= least && reading.doubt > Mass::from_mg(0.05));
    }

    #[test]
    fn what_came_is_weighed_on_a_scale_that_is_believed_and_on_no_other() {
        let mut bench = with_scale(Tare::Button);
        let reading = Reading { value: Mass::from_mg(482.0), doubt: Mass::from_mg(1.2), by: Means::Scale };
        let on = |bench: &Bench| match came_weighed(&bench.studio, Thing::wrapping(1), reading) {
            CustodyFact::WeighedOn { scale, .. } => Some(scale),
            _ => None,
        };
        assert_eq!(on(&bench), None, "it was never tried");
        let item = bench.studio.shelf()[&id("fine")].clone();
        let coin = craft::scale::Known::Coin(craft::scale::Coin::OneEuro);
        let tried = crate::shelving::tried(&item, coin, "7.5 g", at(0).day()).unwrap().value;
        bench.studio.apply(Edit::Shelf(id("fine"), ShelfEdit::Put(Box::new(tried))), at(0)).unwrap();
        assert_eq!(on(&bench), Some(id("fine")));
        assert_eq!(bench.studio.bench_scale().map(|scale| scale.readability), Some(Mass::from_mg(1.0)));
        let by_eye = Reading { by: Means::ByEye, ..reading };
        let fact = came_weighed(&bench.studio, Thing::wrapping(1), by_eye);
        assert!(matches!(fact, CustodyFact::Weighed { .. }));
    }

    #[test]
    fn the_air_and_the_time_of_drying_are_read_as_they_are_said() {
        assert_eq!(air("45 %").unwrap().value, Some(45));
        assert_eq!(air(" ").unwrap().value, None);
        assert!(air("145").is_err() && air("damp").is_err());
        let days = |text: &str| drying_time(text).map(|typed| typed.value.s() / 86_400.0);
        assert_eq!((days("2 days"), days("a week")), (Ok(2.0), Ok(7.0)));
        assert_eq!(drying_time("90 min").unwrap().echo, "90 minutes");
        assert!(days("some days").is_err() && days("long").is_err());
    }
}
