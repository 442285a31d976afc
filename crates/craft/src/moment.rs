//! When something happened, told three ways, so that no clock change, sleep or restart can bend a countdown.

use std::fmt;
use std::str::FromStr;

use crate::written::written_as_text;

use chrono::{DateTime, FixedOffset, NaiveDate, SecondsFormat, Utc};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// One run of the computer from switching on to switching off.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct BootId(pub u128);

impl fmt::Display for BootId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

impl fmt::Debug for BootId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for BootId {
    type Err = String;

    /// Reads 32 hexadecimal digits; dashes do not matter.
    fn from_str(text: &str) -> Result<Self, String> {
        let digits: String = text.trim().chars().filter(|&c| c != '-').collect();
        let plain = digits.len() == 32 && digits.bytes().all(|b| b.is_ascii_hexdigit());
        let value = u128::from_str_radix(&digits, 16).ok().filter(|_| plain);
        value.map(BootId).ok_or_else(|| format!("\"{text}\" is not a boot id of 32 hexadecimal digits"))
    }
}

written_as_text!(BootId);

/// A point in time as the computer knew it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Moment {
    /// Wall clock, milliseconds since 1970-01-01T00:00:00Z.
    pub utc_ms: i64,
    /// Minutes that local time was ahead of UTC.
    pub offset_min: i16,
    /// Which run of the computer.
    pub boot: BootId,
    /// Milliseconds since that run began, sleep included.
    pub since_boot_ms: i64,
    /// Milliseconds the computer was awake in that run.
    pub awake_ms: i64,
}

/// The widest offset from UTC that any place uses, with room to spare.
const MAX_OFFSET_MIN: i16 = 18 * 60;

impl Moment {
    /// The local calendar day.
    pub fn day(&self) -> NaiveDate {
        self.local().map_or(NaiveDate::MIN, |local| local.date_naive())
    }

    /// The local date and time, or `None` for a wall clock beyond the calendar.
    pub fn local(&self) -> Option<DateTime<FixedOffset>> {
        let offset = FixedOffset::east_opt(i32::from(self.offset_min) * 60)?;
        DateTime::<Utc>::from_timestamp_millis(self.utc_ms).map(|utc| utc.with_timezone(&offset))
    }

    /// The wall clock in UTC as RFC 3339 text with milliseconds.
    pub fn utc_text(&self) -> String {
        DateTime::<Utc>::from_timestamp_millis(self.utc_ms)
            .map_or_else(|| self.utc_ms.to_string(), |utc| utc.to_rfc3339_opts(SecondsFormat::Millis, true))
    }
}

/// The shape in a file: the wall clock is text a person can read.
#[derive(Serialize, Deserialize)]
#[serde(rename = "Moment", deny_unknown_fields)]
struct Written {
    utc: String,
    offset_min: i16,
    boot: BootId,
    since_boot_ms: i64,
    awake_ms: i64,
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Written {
            utc: self.utc_text(),
            offset_min: self.offset_min,
            boot: self.boot,
            since_boot_ms: self.since_boot_ms,
            awake_ms: self.awake_ms,
        }
        .serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = Written::deserialize(deserializer)?;
        let utc = DateTime::parse_from_rfc3339(&written.utc)
            .map_err(|why| D::Error::custom(format!("\"{}\" is not a time: {why}", written.utc)))?;
        if written.offset_min.abs() > MAX_OFFSET_MIN {
            return Err(D::Error::custom(format!(
                "an offset of {} minutes is no place on earth",
                written.offset_min
            )));
        }
        let moment = Moment {
            utc_ms: utc.timestamp_millis(),
            offset_min: written.offset_min,
            boot: written.boot,
            since_boot_ms: written.since_boot_ms,
            awake_ms: written.awake_ms,
        };
        if moment.utc_text() != written.utc {
            return Err(D::Error::custom(format!(
                "\"{}\" is not written as this program writes times, such as \"{}\"",
                written.utc,
                moment.utc_text()
            )));
        }
        Ok(moment)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-03-29T00:30:00Z, in a place an hour ahead of UTC.
    fn moment() -> Moment {
        Moment {
            utc_ms: 1_774_744_200_000,
            offset_min: 60,
            boot: BootId(7),
            since_boot_ms: 5_000,
            awake_ms: 4_000,
        }
    }

    #[test]
    fn the_day_is_the_local_one() {
        let late = Moment { utc_ms: moment().utc_ms - 45 * 60_000, ..moment() };
        assert_eq!(late.utc_text(), "2026-03-28T23:45:00.000Z");
        assert_eq!(late.day(), NaiveDate::from_ymd_opt(2026, 3, 29).unwrap());
    }

    #[test]
    fn a_moment_survives_a_file() {
        let text = ron::to_string(&moment()).unwrap();
        assert_eq!(ron::from_str::<Moment>(&text).unwrap(), moment());
        assert!(text.contains("2026-03-29T00:30:00.000Z"), "{text}");
    }

    #[test]
    fn a_time_that_would_be_written_otherwise_is_refused() {
        let text = ron::to_string(&moment()).unwrap().replace("00.000Z", "00Z");
        let said = ron::from_str::<Moment>(&text).unwrap_err().to_string();
        assert!(said.contains("is not written as this program writes times"), "{said}");
    }
}
