//! The outline of a mould's cavity or of a setting's opening: which kind it is, its size, and what else shapes it.

use craft::geometry::{Cavity, Draft, Fullness, Heights, Outline, Sides, Trace};
use craft::shelf::{Item, Mould, What};
use craft::units::Length;

use super::choices::changed;
use super::fields::Field;
use super::number::number_micro;
use crate::present::words;
use crate::typed::{self, Typed};

/// A kind of outline, as it is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A circle.
    Round,
    /// An ellipse.
    Oval,
    /// An oval with fuller corners.
    Cushion,
    /// A rectangle with round corners.
    RoundedRectangle,
    /// Two arcs.
    Marquise,
    /// A pear with straight sides.
    StraightPear,
    /// A pear with curved sides.
    CurvedPear,
    /// A heart.
    Heart,
    /// Six corners.
    Hexagon,
    /// Eight corners.
    Octagon,
    /// A path from a drawing.
    Drawn,
}

impl Form {
    /// All of them, in the order they are offered.
    pub const ALL: [Form; 11] = [
        Form::Round,
        Form::Oval,
        Form::Cushion,
        Form::RoundedRectangle,
        Form::Marquise,
        Form::StraightPear,
        Form::CurvedPear,
        Form::Heart,
        Form::Hexagon,
        Form::Octagon,
        Form::Drawn,
    ];

    /// The kind an outline is of.
    pub const fn of(outline: &Outline) -> Self {
        match outline {
            Outline::Round { .. } => Form::Round,
            Outline::Oval { .. } => Form::Oval,
            Outline::Cushion { .. } => Form::Cushion,
            Outline::RoundedRectangle { .. } => Form::RoundedRectangle,
            Outline::Marquise { .. } => Form::Marquise,
            Outline::Pear { sides: Sides::Straight, .. } => Form::StraightPear,
            Outline::Pear { sides: Sides::Curved, .. } => Form::CurvedPear,
            Outline::Heart { .. } => Form::Heart,
            Outline::Hexagon { .. } => Form::Hexagon,
            Outline::Octagon { .. } => Form::Octagon,
            Outline::Traced(_) => Form::Drawn,
        }
    }

    /// What it is called: "pear with straight sides".
    pub const fn words(self) -> &'static str {
        match self {
            Form::Round => "round",
            Form::Oval => "oval",
            Form::Cushion => "cushion",
            Form::RoundedRectangle => "rectangle with round corners",
            Form::Marquise => "marquise",
            Form::StraightPear => "pear with straight sides",
            Form::CurvedPear => "pear with curved sides",
            Form::Heart => "heart",
            Form::Hexagon => "hexagon",
            Form::Octagon => "octagon",
            Form::Drawn => "drawn outline",
        }
    }

    /// An outline of this kind that is as long and as wide. One that is usually longer than wide begins a quarter
    /// longer where the two are alike, a marquise twice as long (common proportions of cabochons, no source).
    fn made(self, length: Length, width: Length) -> Result<Outline, String> {
        let longer = |over: i64, under: i64| {
            let made = width.micro() * over / under / 100_000 * 100_000;
            if length > width { length } else { Length::from_micro(made.max(width.micro())) }
        };
        let outline = match self {
            Form::Round => Outline::Round { diameter: width },
            Form::Oval => Outline::Oval { length: longer(5, 4), width },
            Form::Cushion => Outline::Cushion { length: longer(5, 4), width, fullness: Fullness::USUAL },
            Form::RoundedRectangle => {
                let corner = Length::from_micro(width.micro() / 8 / 100_000 * 100_000);
                Outline::RoundedRectangle { length: longer(5, 4), width, corner }
            }
            Form::Marquise => Outline::Marquise { length: longer(2, 1), width },
            Form::StraightPear => Outline::Pear { length: longer(3, 2), width, sides: Sides::Straight },
            Form::CurvedPear => Outline::Pear { length: longer(3, 2), width, sides: Sides::Curved },
            Form::Heart => Outline::Heart { across: length },
            Form::Hexagon => Outline::Hexagon { flats: width, longer: Length::ZERO },
            Form::Octagon => Outline::Octagon { flats: width, longer: Length::ZERO },
            Form::Drawn => Outline::Traced(ellipse(length, width).parse().map_err(said_as_it_is)?),
        };
        outline.check().map_err(said_as_it_is)?;
        Ok(outline)
    }
}

#[expect(clippy::needless_pass_by_value, reason = "what `map_err` hands over")]
fn said_as_it_is(why: impl ToString) -> String {
    why.to_string()
}

/// An ellipse as a drawing has it: something to begin from.
fn ellipse(length: Length, width: Length) -> String {
    let (a, b) = (length.mm() / 2.0, width.mm() / 2.0);
    format!("M {} 0 A {a} {b} 0 1 1 {a} 0 A {a} {b} 0 1 1 {} 0 Z", -a, -a)
}

/// The outline of a mould or of a setting.
pub fn outline_of(item: &Item) -> Option<Outline> {
    match &item.what {
        What::Mould(mould) => Some(mould.cavity.outline()),
        What::Setting(setting) => Some(setting.opening.clone()),
        _ => None,
    }
}

fn set_outline(what: &mut What, outline: Outline) -> Result<(), String> {
    match what {
        What::Mould(mould) => {
            mould.cavity = Cavity::new(
                outline,
                mould.cavity.dome(),
                mould.cavity.dome_height(),
                mould.cavity.wall_height(),
            )
            .and_then(|cavity| cavity.leaning(mould.cavity.draft()))
            .map_err(said_as_it_is)?;
            Ok(())
        }
        What::Setting(setting) => {
            setting.opening = outline;
            Ok(())
        }
        _ => Err("it has no outline".to_owned()),
    }
}

/// A mould or a setting with another kind of outline, about as large as it was.
///
/// # Errors
/// What would be wrong with it.
pub fn with_form(item: &Item, form: Form) -> Result<Item, String> {
    changed(item, |what| {
        let now = match what {
            What::Mould(mould) => mould.cavity.outline(),
            What::Setting(setting) => setting.opening.clone(),
            _ => return Err("it has no outline".to_owned()),
        };
        if Form::of(&now) == form {
            return Ok(());
        }
        set_outline(what, form.made(now.length(), now.width())?)
    })
}

/// The size as it is written: one measure where one is enough.
pub(super) fn said_size(outline: &Outline) -> String {
    match outline {
        Outline::Round { diameter: one } | Outline::Heart { across: one } => one.to_string(),
        Outline::Hexagon { flats: one, longer } | Outline::Octagon { flats: one, longer }
            if *longer == Length::ZERO =>
        {
            one.to_string()
        }
        Outline::Traced(_) => outline.length().to_string(),
        other => {
            format!("{} × {}", other.length().to_string().trim_end_matches(" mm"), other.width())
        }
    }
}

/// Reads a size for an outline of the kind it is; a round one becomes oval by two measures, and back by one.
pub(super) fn sized(now: &Outline, text: &str) -> Result<Typed<Outline>, String> {
    let lower = text.to_lowercase();
    let is_two = lower.contains(['×', 'x', '*']) || lower.contains(" by ");
    let (length, width, echo) = if is_two {
        let two = typed::two_lengths(text)?;
        (two.value.0, two.value.1, two.echo)
    } else {
        let one = typed::length(text)?;
        (one.value, one.value, one.echo)
    };
    let value = match (now, is_two) {
        (Outline::Round { .. } | Outline::Oval { .. }, _) => {
            let round = Outline::Round { diameter: width };
            // What is wrong with a size is told by the item it belongs to, as before.
            if length == width { Ok(round) } else { Ok(Outline::Oval { length, width }) }
        }
        (Outline::Heart { .. }, true) => {
            return Err("the height of a heart follows from its width; write how wide it is, such as 10 mm"
                .to_owned());
        }
        (Outline::Traced(_), true) => {
            return Err(
                "a drawn outline keeps its proportions; write how long it is, such as 10 mm".to_owned()
            );
        }
        (
            Outline::Cushion { .. }
            | Outline::RoundedRectangle { .. }
            | Outline::Marquise { .. }
            | Outline::Pear { .. },
            false,
        ) => return Err("write two measures, such as 10 × 8 mm".to_owned()),
        (other, _) => other.resized(length, width),
    }
    .map_err(said_as_it_is)?;
    let echo = match &value {
        Outline::Round { .. } if !is_two => format!("round, {echo}"),
        Outline::Round { .. } | Outline::Oval { .. } => echo,
        other => words::outline(other),
    };
    Ok(Typed { value, echo })
}

/// What else shapes an outline or a cavity, as it is written; empty where it has no such thing.
pub(super) fn said_of_shape(item: &Item, field: &Field) -> Option<String> {
    let outline = outline_of(item)?;
    let cavity = match &item.what {
        What::Mould(mould) => Some(&mould.cavity),
        _ => None,
    };
    match (field, &outline, cavity) {
        (Field::Corner, Outline::RoundedRectangle { corner, .. }, _) => Some(corner.to_string()),
        (Field::Fullness, Outline::Cushion { fullness, .. }, _) => Some(fullness.exponent().to_string()),
        (Field::Path, Outline::Traced(trace), _) => Some(trace.to_string()),
        (Field::WallLeans, _, Some(cavity)) => Some(cavity.draft().to_string()),
        (Field::Heights, _, Some(cavity)) => match cavity.dome() {
            craft::geometry::Dome::Measured(heights) => Some(said_of_heights(&heights)),
            _ => None,
        },
        _ => None,
    }
}

fn said_of_heights(heights: &Heights) -> String {
    let place = |&(from, height): &(Length, Length)| {
        format!("{} at {}", height, from.to_string().trim_end_matches(" mm"))
    };
    heights.places().iter().map(place).collect::<Vec<_>>().join(", ")
}

/// Puts what was typed into a field of the shape; answers how it was understood, or none where it is no such field.
pub(super) fn put_shape(what: &mut What, field: &Field, text: &str) -> Result<Option<String>, String> {
    let now = match what {
        What::Mould(mould) => mould.cavity.outline(),
        What::Setting(setting) => setting.opening.clone(),
        _ => return Ok(None),
    };
    let (outline, echo) = match (field, &now) {
        (Field::Size | Field::Opening, _) => {
            let size = sized(&now, text)?;
            (size.value, size.echo)
        }
        (Field::Corner, Outline::RoundedRectangle { length, width, .. }) => {
            let corner = typed::length(text)?;
            (Outline::RoundedRectangle { length: *length, width: *width, corner: corner.value }, corner.echo)
        }
        (Field::Fullness, Outline::Cushion { length, width, .. }) => {
            let fullness = full(text)?;
            (
                Outline::Cushion { length: *length, width: *width, fullness },
                format!("{} between an oval (2) and a rectangle", fullness.exponent()),
            )
        }
        (Field::Path, Outline::Traced(_)) => {
            let drawn: Trace = text.parse().map_err(said_as_it_is)?;
            let outline = Outline::Traced(drawn);
            let echo = words::outline(&outline);
            (outline, echo)
        }
        (Field::WallLeans | Field::Heights, _) => {
            return match what {
                What::Mould(mould) => put_cavity(mould, field, text).map(Some),
                _ => Ok(None),
            };
        }
        _ => return Ok(None),
    };
    outline.check().map_err(said_as_it_is)?;
    set_outline(what, outline)?;
    Ok(Some(echo))
}

fn full(text: &str) -> Result<Fullness, String> {
    let micro = number_micro(text, "", "3")?;
    Fullness::new(micro as f64 / 1e6).map_err(said_as_it_is)
}

fn put_cavity(mould: &mut Mould, field: &Field, text: &str) -> Result<String, String> {
    let now = &mould.cavity;
    let (dome, draft, echo) = if *field == Field::Heights {
        let heights = heights(text)?;
        (craft::geometry::Dome::Measured(heights), now.draft(), said_of_heights(&heights))
    } else {
        let micro = number_micro(text, Draft::UNIT, "3 °")?;
        let draft = Draft::from_degrees(micro as f64 / 1e6).map_err(said_as_it_is)?;
        (now.dome(), draft, draft.to_string())
    };
    mould.cavity = Cavity::new(now.outline(), dome, now.dome_height(), now.wall_height())
        .and_then(|cavity| cavity.leaning(draft))
        .map_err(said_as_it_is)?;
    Ok(echo)
}

/// Heights of a dome above its edge, each at a distance from the middle: "2.3 mm at 1, 1.8 mm at 2".
fn heights(text: &str) -> Result<Heights, String> {
    const WANTED: &str =
        "write each height and how far from the middle it was measured, such as 2.3 mm at 1, 1.8 mm at 2";
    let places: Result<Vec<(Length, Length)>, String> = text
        .split(',')
        .map(|place| {
            let (height, from) = place.split_once(" at ").ok_or_else(|| WANTED.to_owned())?;
            Ok((typed::length(from)?.value, typed::length(height)?.value))
        })
        .collect();
    Heights::new(&places?).map_err(said_as_it_is)
}
