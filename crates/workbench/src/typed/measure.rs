//! A number with its unit, and what may be wrong with it.

use super::number::{Decimal, Unheld, either_way, split_unit};
use super::plain::quoted;

/// A unit as people write it.
#[derive(Debug)]
pub(super) struct Unit {
    /// Its spellings; the first is the one that is shown.
    pub(super) names: &'static [&'static str],
    /// How many of the stored unit it is.
    pub(super) per: i64,
    /// It is usually written with three decimals, so that "1.250" of it cannot be misread.
    pub(super) three_decimals: bool,
}

/// A kind of quantity.
#[derive(Debug)]
pub(super) struct Kind {
    /// What it is, in words.
    pub(super) noun: &'static str,
    /// What would be right.
    pub(super) example: &'static str,
    /// Its units, the one that is assumed in front.
    pub(super) units: &'static [Unit],
}

/// What was read: millionths of the stored unit, give or take, and whether a unit was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Measure {
    pub(super) micro: i64,
    pub(super) give_or_take: Option<i64>,
    pub(super) has_unit: bool,
}

impl Kind {
    /// Nothing was typed.
    pub(super) fn empty(&self) -> String {
        format!("write {}, such as {}", self.noun, self.example)
    }

    /// The text is something else.
    pub(super) fn unreadable(&self, text: &str) -> String {
        format!(
            "{} is not {}; write a number and the unit, such as {}",
            quoted(text),
            self.noun,
            self.example
        )
    }

    /// The unit of that spelling; none where no unit was written.
    pub(super) fn unit(&self, name: &str) -> Result<Option<&'static Unit>, String> {
        if name.is_empty() {
            return Ok(None);
        }
        let known = self.units.iter().find(|unit| unit.names.contains(&name));
        let shown: Vec<&str> = self.units.iter().filter_map(|unit| unit.names.first().copied()).collect();
        let shown = shown.join(" or ");
        known.map(Some).ok_or_else(|| {
            format!(
                "{} is not a unit used here; write {} in {shown}, such as {}",
                quoted(name),
                self.noun,
                self.example
            )
        })
    }

    /// Reads a number, its unit, and what it may be out by. `plain` is the plain text without words for "about",
    /// `text` what was typed.
    pub(super) fn read(&self, plain: &str, text: &str) -> Result<Measure, String> {
        let (value, off_by) = match plain.split_once('±') {
            Some((value, off_by)) => (value.trim().trim_end_matches(',').trim_end(), Some(off_by.trim())),
            None => (plain, None),
        };
        if value.is_empty() {
            return Err(if off_by.is_some() { self.unreadable(text) } else { self.empty() });
        }
        if value.starts_with('-') || off_by.is_some_and(|off_by| off_by.starts_with('-')) {
            return Err(format!("{} is below nothing; write it without the minus", quoted(text)));
        }
        let (number, name) = split_unit(value);
        let off_by = off_by.map(split_unit);
        // "31 ± 2 mg" says its unit once, at the end, and "31 mg ± 2" in front.
        let own = if number.is_empty() { None } else { self.unit(name)? };
        let other = match off_by {
            Some((_, name)) => self.unit(name)?,
            None => None,
        };
        let Some(assumed) = self.units.first() else { return Err(self.unreadable(text)) };
        let (unit, off_unit) = (own.or(other).unwrap_or(assumed), other.or(own).unwrap_or(assumed));
        let micro = self.number(number, unit, text)?;
        let give_or_take = off_by.map(|(number, _)| self.number(number, off_unit, text)).transpose()?;
        if give_or_take == Some(0) {
            return Err(format!(
                "{} leaves no doubt at all, and nothing is measured so well; leave the ± away, or write what it may be \
                 out by",
                quoted(text)
            ));
        }
        Ok(Measure { micro, give_or_take, has_unit: own.or(other).is_some() })
    }

    fn number(&self, number: &str, unit: &Unit, text: &str) -> Result<i64, String> {
        let read = Decimal::read(number).ok_or_else(|| self.unreadable(text))?;
        let name = unit.names.first().copied().unwrap_or_default();
        if read.two_ways && !unit.three_decimals {
            let (part, whole) = either_way(number);
            return Err(format!(
                "{} can be read two ways; write {part} {name} or {whole} {name}",
                quoted(text)
            ));
        }
        read.micro(unit.per).map_err(|why| match why {
            Unheld::TooFine => {
                format!("{} has more decimals than can be held; round it to six", quoted(text))
            }
            Unheld::TooLarge => format!("{} is too large to be true; look for a slip in it", quoted(text)),
        })
    }
}
