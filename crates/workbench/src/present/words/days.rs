//! Days: "12 December", "tomorrow", "2 days late".

use chrono::{DateTime, Datelike as _, NaiveDate, Weekday};
use craft::moment::Moment;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

fn month(day: NaiveDate) -> &'static str {
    usize::try_from(day.month0()).ok().and_then(|at| MONTHS.get(at)).copied().unwrap_or_default()
}

/// The day with its month cut short, where there is room for no more: "12 Dec".
pub fn day_short(day: NaiveDate) -> String {
    day.format("%-d %b").to_string()
}

/// A day: "12 December", with its year where that is not this year.
pub fn date(day: NaiveDate, today: NaiveDate) -> String {
    if day.year() == today.year() { format!("{} {}", day.day(), month(day)) } else { date_with_year(day) }
}

/// A day with its year, as papers bear it: "12 December 2026".
pub fn date_with_year(day: NaiveDate) -> String {
    format!("{} {} {}", day.day(), month(day), day.year())
}

const fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Mon => "Monday",
        Weekday::Tue => "Tuesday",
        Weekday::Wed => "Wednesday",
        Weekday::Thu => "Thursday",
        Weekday::Fri => "Friday",
        Weekday::Sat => "Saturday",
        Weekday::Sun => "Sunday",
    }
}

/// A day near today by the name a person gives it: "today", "tomorrow", "Monday"; else [`date`].
pub fn near(day: NaiveDate, today: NaiveDate) -> String {
    match day.signed_duration_since(today).num_days() {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        -6..=6 => weekday(day.weekday()).to_owned(),
        _ => date(day, today),
    }
}

/// A moment that is over: "today at 14:05", "yesterday at 9:30", "12 November at 8:00"; by the local clock of `now`.
pub fn day_and_time(utc_ms: i64, now: Moment) -> String {
    let local_ms = utc_ms.saturating_add(i64::from(now.offset_min) * 60_000);
    let Some(at) = DateTime::from_timestamp_millis(local_ms) else { return "once".to_owned() };
    let (day, today) = (at.date_naive(), now.day());
    let day = match (today - day).num_days() {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        _ => format!("on {}", date(day, today)),
    };
    format!("{day} at {}", at.format("%-H:%M"))
}

/// The time by the clock of the one who wrote it down: "14:05".
pub fn time_of_day(at: Moment) -> String {
    let local_ms = at.utc_ms.saturating_add(i64::from(at.offset_min) * 60_000);
    DateTime::from_timestamp_millis(local_ms).map(|at| at.format("%-H:%M").to_string()).unwrap_or_default()
}

/// How a promise stands: "due today", "due in 3 days", "due 12 December", "2 days late".
pub fn due(day: NaiveDate, today: NaiveDate) -> String {
    match day.signed_duration_since(today).num_days() {
        -1 => "1 day late".to_owned(),
        late if late < 0 => format!("{} days late", -late),
        0 => "due today".to_owned(),
        1 => "due tomorrow".to_owned(),
        days @ 2..=14 => format!("due in {days} days"),
        _ => format!("due {}", date(day, today)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    #[test]
    fn a_moment_that_is_over_is_said_by_its_local_day_and_time() {
        // 2026-03-02, 7:00 UTC, which is 8:00 here.
        let boot = craft::moment::BootId(1);
        let now = Moment { utc_ms: 1_772_434_800_000, offset_min: 60, boot, since_boot_ms: 0, awake_ms: 0 };
        let hours = |back: i64| day_and_time(now.utc_ms - back * 3_600_000, now);
        assert_eq!(hours(0), "today at 8:00");
        assert_eq!(hours(8), "today at 0:00", "by the local day");
        assert_eq!(hours(9), "yesterday at 23:00");
        assert_eq!(hours(24 * 40), "on 21 January at 8:00");
        assert_eq!(hours(24 * 400), "on 26 January 2025 at 8:00");
    }

    #[test]
    fn a_day_bears_its_year_only_when_it_is_another() {
        let today = day(2026, 11, 25);
        assert_eq!(date(day(2026, 12, 12), today), "12 December");
        assert_eq!(date(day(2027, 1, 2), today), "2 January 2027");
        assert_eq!(date_with_year(day(2026, 12, 1)), "1 December 2026");
    }

    #[test]
    fn near_days_have_their_own_names() {
        let today = day(2026, 11, 25);
        assert_eq!(near(today, today), "today");
        assert_eq!(near(day(2026, 11, 26), today), "tomorrow");
        assert_eq!(near(day(2026, 11, 24), today), "yesterday");
        assert_eq!(near(day(2026, 11, 23), today), "Monday");
        assert_eq!(near(day(2026, 12, 2), today), "2 December", "a week on is no longer \"Wednesday\"");
    }

    #[test]
    fn a_promise_is_near_far_or_late() {
        let today = day(2026, 11, 25);
        assert_eq!(due(today, today), "due today");
        assert_eq!(due(day(2026, 11, 28), today), "due in 3 days");
        assert_eq!(due(day(2026, 12, 24), today), "due 24 December");
        assert_eq!(due(day(2026, 11, 24), today), "1 day late");
        assert_eq!(due(day(2026, 11, 20), today), "5 days late");
    }
}
