//! A scale on the shelf: its last digit, how far it repeats itself, the packet, and its tries with something known.

use chrono::NaiveDate;
use craft::scale::{Known, ScaleProfile, Tare, Tried};
use craft::shelf::{Item, What};
use craft::units::Mass;

use super::fields::Field;
use crate::present::custody::try_says;
use crate::present::words;
use crate::typed::{self, Amount, Typed};

/// What an empty packet begins with when it is said to be weighed: a gram, as a small paper envelope has it (common
/// practice, no source).
const PACKET: Mass = Mass::from_micro(1_000_000_000);

pub(super) fn said_of_scale(scale: &ScaleProfile, field: &Field) -> String {
    match field {
        Field::LastDigit => scale.scale.readability.to_string(),
        Field::Spread => scale.scale.repeatability.to_string(),
        Field::MostLoad => scale.most.map(words::mass).unwrap_or_default(),
        Field::EmptyPacket => match scale.tare {
            Tare::Packet { shown } => shown.to_string(),
            Tare::Button => String::new(),
        },
        _ => String::new(),
    }
}

/// Puts what was typed into a field of a scale; none where it has no such field.
pub(super) fn put_scale(
    scale: &mut ScaleProfile,
    field: &Field,
    text: &str,
) -> Option<Result<String, String>> {
    let nothing = ["", "0", "0 mg", "nothing", "none", "never tried", "not known"]
        .contains(&text.trim().to_lowercase().as_str());
    Some(match field {
        Field::LastDigit => mass(text).map(|typed| {
            scale.scale.readability = typed.value;
            typed.echo
        }),
        Field::Spread if nothing => {
            scale.scale.repeatability = Mass::ZERO;
            Ok("never tried".to_owned())
        }
        Field::Spread => mass(text).map(|typed| {
            scale.scale.repeatability = typed.value;
            typed.echo
        }),
        Field::MostLoad if nothing => {
            scale.most = None;
            Ok("not known".to_owned())
        }
        Field::MostLoad => mass(text).map(|typed| {
            scale.most = Some(typed.value);
            typed.echo
        }),
        Field::EmptyPacket => mass(text).map(|typed| {
            scale.tare = Tare::Packet { shown: typed.value };
            typed.echo
        }),
        _ => return None,
    })
}

/// A weight as it is shown or stamped: "1 mg", "7.5 g".
/// A weight with its unit: scales show grams or milligrams, so a bare number may be out by a thousand.
fn mass(text: &str) -> Result<Typed<Mass>, String> {
    let is_bare = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ');
    if text.contains(|c: char| c.is_ascii_digit()) && text.chars().all(is_bare) {
        let number = text.trim();
        return Err(format!("write the unit as well, {number} g or {number} mg"));
    }
    match typed::amount(text, None)?.value {
        Amount::Mass(reading) => Ok(Typed { echo: words::mass(reading.value), value: reading.value }),
        Amount::Share(_) => Err("write a weight, such as 1 mg".to_owned()),
    }
}

fn scale(item: &mut Item) -> Result<&mut ScaleProfile, String> {
    match &mut item.what {
        What::Scale(scale) => Ok(scale),
        _ => Err("that is not a scale".to_owned()),
    }
}

/// The scale with the packet kept out of its readings in the other way.
///
/// # Errors
/// It is not a scale.
pub fn with_packet(item: &Item, weighed: bool) -> Result<Item, String> {
    let mut item = item.clone();
    let scale = scale(&mut item)?;
    scale.tare = if weighed { Tare::Packet { shown: PACKET } } else { Tare::Button };
    Ok(item)
}

/// A weight that came with the scale or was bought, as it is stamped: "5 g", "5 g ± 2 mg". Without a ± nothing is known
/// of what it may be out by.
///
/// # Errors
/// What is wrong with the text.
pub fn known_weight(text: &str) -> Result<Typed<Known>, String> {
    let (stamped, within) = match text.split_once('±') {
        None => (mass(text)?, Mass::ZERO),
        Some((stamped, within)) => (mass(stamped)?, mass(within)?.value),
    };
    let echo = match within {
        Mass::ZERO => stamped.echo,
        within => format!("{}, out by {} at most", stamped.echo, words::mass(within)),
    };
    Ok(Typed { value: Known::Weight { mass: stamped.value, within }, echo })
}

/// The scale with one more try: what it showed for something of a known weight, and what that says.
///
/// # Errors
/// What is wrong with the text or with the weight.
pub fn tried(item: &Item, with: Known, shown: &str, today: NaiveDate) -> Result<Typed<Item>, String> {
    let shown = mass(shown)?.value;
    let mut item = item.clone();
    let scale = scale(&mut item)?;
    let new = Tried { on: today, with, shown };
    let echo = try_says(scale, &new).to_owned();
    scale.tried.push(new);
    item.check().map_err(|why| why.to_string())?;
    Ok(Typed { value: item, echo })
}

/// The scale without its newest try, which was a slip.
///
/// # Errors
/// It is not a scale.
pub fn without_newest_try(item: &Item) -> Result<Item, String> {
    let mut item = item.clone();
    scale(&mut item)?.tried.pop();
    Ok(item)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, line};
    use crate::shelving::{Kind, fresh, put, said};
    use craft::compare::Outcome;
    use craft::scale::Coin;

    fn item() -> Item {
        fresh(Kind::Scale, line("Pocket scale")).unwrap()
    }

    fn profile(item: &Item) -> &ScaleProfile {
        match &item.what {
            What::Scale(scale) => scale,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn every_field_of_a_scale_is_written_and_read_again() {
        let today = day(2026, 11, 26);
        let mut now = with_packet(&item(), true).unwrap();
        for (field, text, stands) in [
            (Field::LastDigit, "1 mg", "1 mg"),
            (Field::Spread, "2 mg", "2 mg"),
            (Field::MostLoad, "50 g", "50 g"),
            (Field::EmptyPacket, "1.018 g", "1018 mg"),
        ] {
            now = put(&now, &field, text, today).unwrap().value;
            assert_eq!(said(&now, &field), stands);
        }
        // A bare number may be out by a thousand, whichever unit is meant.
        for (field, text) in
            [(Field::LastDigit, "1"), (Field::MostLoad, " 7.5 "), (Field::EmptyPacket, "1,018")]
        {
            assert!(put(&now, &field, text, today).unwrap_err().contains("write the unit as well"), "{text}");
        }
        assert!(known_weight("5").is_err() && known_weight("5 g").is_ok());
        let bare = put(&put(&now, &Field::MostLoad, "", today).unwrap().value, &Field::Spread, "none", today);
        assert_eq!(
            (
                said(&bare.as_ref().unwrap().value, &Field::MostLoad).as_str(),
                profile(&bare.unwrap().value).scale.repeatability
            ),
            ("", Mass::ZERO)
        );
        assert_eq!(profile(&with_packet(&now, false).unwrap()).tare, Tare::Button);
        assert!(put(&now, &Field::LastDigit, "0 mg", today).is_err(), "no scale reads to nothing");
        assert!(put(&now, &Field::LastDigit, "a quarter", today).is_err());
        assert!(put(&now, &Field::Opened, "today", today).is_err(), "that is a bottle's");
    }

    #[test]
    fn a_try_says_at_once_what_it_shows_and_a_slip_is_taken_back() {
        let (today, coin) = (day(2026, 11, 26), Known::Coin(Coin::OneEuro));
        let right = tried(&item(), coin, "7.51 g", today).unwrap();
        assert!(right.echo.ends_with("it is right"), "{}", right.echo);
        let carats = tried(&right.value, coin, "37.5 g", today).unwrap();
        assert!(carats.echo.ends_with("so set it right"), "{}", carats.echo);
        let newest = profile(&carats.value).newest_try().unwrap().1;
        assert!(matches!(newest, Outcome::Differs { .. }));
        let back = without_newest_try(&carats.value).unwrap();
        assert_eq!(profile(&back).tried.len(), 1);
        assert!(tried(&item(), coin, "heavy", today).is_err());
        let weight = known_weight("5 g ± 2 mg").unwrap();
        let (mass, within) = (Mass::from_mg(5_000.0), Mass::from_mg(2.0));
        assert_eq!(weight.value, Known::Weight { mass, within });
        assert_eq!(known_weight("5 g").unwrap().value, Known::Weight { mass, within: Mass::ZERO });
        assert!(tried(&item(), Known::Weight { mass: within, within: mass }, "2 mg", today).is_err());
    }
}
