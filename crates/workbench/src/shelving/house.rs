//! What the studio itself goes by: each field as it stands, and the settings with what was typed into it.

use craft::compare::Scale;
use craft::policies::Policies;
use craft::text::{Line, TextError};
use craft::units::{Mass, Span};

use super::number::whole_within;
use crate::present::words;
use crate::typed::{self, Amount, Typed};

/// A field of the studio's settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HouseField {
    /// What the studio is called.
    Name,
    /// How clients reach it.
    Contact,
    /// The usual keep-back.
    KeepBack,
    /// Above this share of the whole nothing can be told.
    TellLimit,
    /// The last digit of the scale.
    LastDigit,
    /// How far one load weighed again and again spreads.
    Spread,
    /// A drawer or tin, counted from 0.
    Place(usize),
    /// Days after a proof until a gentle reminder.
    NudgeDays,
    /// To mix and lay one layer.
    Lay,
    /// To let bubbles rise, for each tenth of a millimetre.
    Settle,
    /// To let it cool, for each tenth of a millimetre.
    Cool,
    /// What the care card says about heat.
    HeatWords,
}

/// What stands in a field.
pub fn house_said(house: &Policies, field: HouseField) -> String {
    let scale =
        |of: fn(&Scale) -> Mass| house.scale.as_ref().map(|scale| of(scale).to_string()).unwrap_or_default();
    match field {
        HouseField::Name => house.name.to_string(),
        HouseField::Contact => house.contact.to_string(),
        HouseField::KeepBack => words::share(house.keep_back),
        HouseField::TellLimit => words::share(house.tell_limit),
        HouseField::LastDigit => scale(|scale| scale.readability),
        HouseField::Spread => scale(|scale| scale.repeatability),
        HouseField::Place(at) => house.places.get(at).map(ToString::to_string).unwrap_or_default(),
        HouseField::NudgeDays => words::count(usize::from(house.nudge_days), "day", "days"),
        HouseField::Lay => house.handling.lay.to_string(),
        HouseField::Settle => house.handling.settle.to_string(),
        HouseField::Cool => house.handling.cool.to_string(),
        HouseField::HeatWords => house.heat_words.to_string(),
    }
}

/// The settings with what was typed into one field, and how that was understood.
///
/// # Errors
/// What is wrong with the text, or with the settings as they would be, and what would be right.
pub fn house_put(house: &Policies, field: HouseField, text: &str) -> Result<Typed<Policies>, String> {
    let mut house = house.clone();
    let echo = match field {
        HouseField::Name => put_line(&mut house.name, text)?,
        HouseField::Contact => put_line(&mut house.contact, text)?,
        HouseField::HeatWords => put_line(&mut house.heat_words, text)?,
        HouseField::Place(at) => {
            let place = house.places.get_mut(at).ok_or("there is no such place")?;
            let echo = put_line(place, text)?;
            if echo.is_empty() { "not in use".to_owned() } else { echo }
        }
        HouseField::KeepBack => {
            let share = typed::share(text)?;
            house.keep_back = share.value;
            share.echo
        }
        HouseField::TellLimit => {
            let share = typed::share(text)?;
            house.tell_limit = share.value;
            share.echo
        }
        HouseField::LastDigit | HouseField::Spread => put_scale(&mut house, field, text)?,
        HouseField::NudgeDays => {
            let days = whole_within(text, "a number of days", 1, 365)?;
            house.nudge_days = u16::try_from(days).map_err(|why| why.to_string())?;
            words::count(usize::from(house.nudge_days), "day", "days")
        }
        HouseField::Lay => put_span(&mut house.handling.lay, text)?,
        HouseField::Settle => put_span(&mut house.handling.settle, text)?,
        HouseField::Cool => put_span(&mut house.handling.cool, text)?,
    };
    house.check()?;
    Ok(Typed { value: house, echo })
}

fn put_line(line: &mut Line, text: &str) -> Result<String, String> {
    *line = text.parse().map_err(|why: TextError| why.to_string())?;
    Ok(line.to_string())
}

fn put_span(span: &mut Span, text: &str) -> Result<String, String> {
    let typed = typed::seconds(text)?;
    *span = typed.value;
    Ok(typed.echo)
}

fn put_scale(house: &mut Policies, field: HouseField, text: &str) -> Result<String, String> {
    let scale = house.scale.as_mut().ok_or("say first that there is a scale")?;
    let of = if field == HouseField::LastDigit { &mut scale.readability } else { &mut scale.repeatability };
    let nothing =
        ["0", "0 mg", "nothing", "none", "never tried", ""].contains(&text.trim().to_lowercase().as_str());
    if nothing && field == HouseField::Spread {
        *of = Mass::ZERO;
        return Ok("never tried".to_owned());
    }
    match typed::amount(text, None)?.value {
        Amount::Mass(reading) => {
            *of = reading.value;
            Ok(reading.value.to_string())
        }
        Amount::Share(_) => Err("write a weight, such as 1 mg".to_owned()),
    }
}

/// The settings with a scale, or without one. A scale begins with a last digit of 10 mg, as a common pocket scale has
/// (common practice, no source).
#[must_use]
pub fn with_scale(house: &Policies, there: bool) -> Policies {
    let begin = Scale { readability: Mass::from_micro(10_000_000), repeatability: Mass::ZERO };
    Policies { scale: there.then(|| house.scale.unwrap_or(begin)), ..house.clone() }
}

/// The settings with one more place at the end; the numbers of the others stay.
///
/// # Errors
/// What is wrong with its name.
pub fn with_another_place(house: &Policies, text: &str) -> Result<Typed<Policies>, String> {
    let place: Line = text.parse().map_err(|why: TextError| why.to_string())?;
    if place.is_empty() {
        return Err("write what it is called, such as the top drawer".to_owned());
    }
    let mut house = house.clone();
    house.places.push(place);
    Ok(Typed { echo: format!("place {}", house.places.len()), value: house })
}
