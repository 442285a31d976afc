//! Days: "12 December", "tomorrow", "2 days late".

use chrono::{Datelike as _, NaiveDate, Weekday};

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
