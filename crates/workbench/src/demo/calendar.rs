//! The demo's days: all of them counted from the day it is made, in the runs of a computer that is switched on at
//! half past seven.

use chrono::{Datelike as _, Days, NaiveDate, NaiveTime, Weekday};
use craft::digest::Digest;
use craft::moment::{BootId, Moment};

/// A computer that is put to sleep at night was awake for at most thirteen hours of a run.
const AWAKE_MOST_MS: i64 = 13 * 3_600_000;

/// The days and clocks around one moment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Calendar {
    today: Moment,
    /// The local day of it.
    pub(super) day: NaiveDate,
}

impl Calendar {
    /// Around `today`.
    pub(super) fn new(today: Moment) -> Self {
        Self { today, day: today.day() }
    }

    /// The day `count` working days ago. The studio rests on Sundays.
    pub(super) fn past(&self, count: u32) -> NaiveDate {
        self.walk(count, |day| day.checked_sub_days(Days::new(1)))
    }

    /// The day in `count` working days.
    pub(super) fn ahead(&self, count: u32) -> NaiveDate {
        self.walk(count, |day| day.checked_add_days(Days::new(1)))
    }

    fn walk(&self, count: u32, next: impl Fn(NaiveDate) -> Option<NaiveDate>) -> NaiveDate {
        let (mut day, mut left) = (self.day, count);
        while left > 0 {
            let Some(beside) = next(day) else { return day };
            day = beside;
            left -= u32::from(day.weekday() != Weekday::Sun);
        }
        day
    }

    /// A day some years ago; today's own where there is no such day.
    pub(super) fn years_ago(&self, years: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(self.day.year() - years, month, day).unwrap_or(self.day)
    }

    /// The wall clock at a local time of a day.
    pub(super) fn at(&self, day: NaiveDate, (hour, minute): (u32, u32)) -> i64 {
        let time = NaiveTime::from_hms_opt(hour, minute, 0).unwrap_or_default();
        day.and_time(time).and_utc().timestamp_millis() - i64::from(self.today.offset_min) * 60_000
    }

    /// The wall clock some seconds ago.
    pub(super) fn seconds_ago(&self, seconds: i64) -> i64 {
        self.today.utc_ms - seconds * 1_000
    }

    /// The moment of a wall clock: in the run of today where that had begun, else in that day's own.
    pub(super) fn moment(&self, utc_ms: i64) -> Moment {
        let utc_ms = utc_ms.min(self.today.utc_ms);
        let before = self.today.utc_ms - utc_ms;
        let since_boot_ms = self.today.since_boot_ms - before;
        if since_boot_ms >= 0 {
            let awake_ms = (self.today.awake_ms - before).max(0);
            return Moment { utc_ms, since_boot_ms, awake_ms, ..self.today };
        }
        let local = Moment { utc_ms, ..self.today }.day();
        let begun = |day| self.at(day, (7, 30));
        let day_before = local.checked_sub_days(Days::new(1)).unwrap_or(local);
        let day = if utc_ms >= begun(local) { local } else { day_before };
        let since_boot_ms = utc_ms - begun(day);
        let awake_ms = since_boot_ms.min(AWAKE_MOST_MS);
        Moment { utc_ms, boot: run_of(day), since_boot_ms, awake_ms, ..self.today }
    }
}

/// The run of the computer that began on a day.
fn run_of(day: NaiveDate) -> BootId {
    let Digest(bytes) = Digest::of(format!("the demo's run of {day}").as_bytes());
    BootId(bytes.iter().take(16).fold(0, |id, byte| id << 8 | u128::from(*byte)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Noon UTC on Wednesday 8 July 2026, two hours ahead of UTC, 90 minutes after switching on.
    fn today() -> Moment {
        let day = NaiveDate::from_ymd_opt(2026, 7, 8).unwrap();
        let utc_ms = day.and_hms_opt(12, 0, 0).unwrap().and_utc().timestamp_millis();
        Moment { utc_ms, offset_min: 120, boot: BootId(9), since_boot_ms: 5_400_000, awake_ms: 5_000_000 }
    }

    #[test]
    fn sundays_are_left_out_of_the_working_days() {
        let calendar = Calendar::new(today());
        let day = |day| NaiveDate::from_ymd_opt(2026, 7, day).unwrap();
        assert_eq!(calendar.past(2), day(6));
        assert_eq!(calendar.past(3), day(4));
        assert_eq!(calendar.ahead(3), day(11));
        assert_eq!(calendar.ahead(4), day(13));
    }

    #[test]
    fn an_hour_ago_lies_in_todays_run_and_two_hours_ago_does_not() {
        let calendar = Calendar::new(today());
        let hour = calendar.moment(calendar.seconds_ago(3_600));
        assert_eq!((hour.boot, hour.since_boot_ms, hour.awake_ms), (BootId(9), 1_800_000, 1_400_000));
        let two = calendar.moment(calendar.seconds_ago(7_200));
        assert_ne!(two.boot, BootId(9));
        // 12:00 local, four and a half hours after half past seven.
        assert_eq!(two.since_boot_ms, 16_200_000);
    }

    #[test]
    fn the_small_hours_belong_to_the_run_of_the_day_before() {
        let calendar = Calendar::new(today());
        let (monday, sunday) = (calendar.past(2), calendar.past(2).pred_opt().unwrap());
        let early = calendar.moment(calendar.at(monday, (6, 0)));
        let evening = calendar.moment(calendar.at(sunday, (20, 0)));
        assert_eq!(early.boot, evening.boot);
        assert_eq!(early.since_boot_ms - evening.since_boot_ms, 10 * 3_600_000);
        assert_ne!(calendar.moment(calendar.at(monday, (8, 0))).boot, early.boot);
    }

    #[test]
    fn nothing_of_the_demo_lies_ahead_of_the_day_it_is_made() {
        let calendar = Calendar::new(today());
        assert_eq!(calendar.moment(calendar.seconds_ago(-60)), today());
    }
}
