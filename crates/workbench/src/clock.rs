//! The computer's clocks.

use std::time::{SystemTime, UNIX_EPOCH};

use chrono::{Local, Offset as _};
use craft::moment::{BootId, Moment};
use rustix::time::{ClockId, clock_gettime};

/// Tells the time.
pub trait Clock: Send + Sync + std::fmt::Debug {
    /// Now.
    fn now(&self) -> Moment;
}

/// The clocks of a Linux computer: the wall, time since boot with sleep, and time awake.
#[derive(Clone, Copy, Debug)]
pub struct SystemClock {
    boot: BootId,
}

/// Where Linux tells which run of the computer this is.
const BOOT_ID: &str = "/proc/sys/kernel/random/boot_id";

impl SystemClock {
    /// Reads which run of the computer this is. Where that cannot be told, each start of the program counts as a run
    /// of its own, so that no countdown is ever credited with time that nobody saw.
    pub fn new() -> Self {
        let told = std::fs::read_to_string(BOOT_ID).ok().and_then(|text| text.parse().ok());
        Self { boot: told.unwrap_or_else(|| BootId(fastrand::u128(1..))) }
    }
}

impl Default for SystemClock {
    fn default() -> Self {
        Self::new()
    }
}

impl Clock for SystemClock {
    fn now(&self) -> Moment {
        let ms = |id| {
            let time = clock_gettime(id);
            time.tv_sec * 1_000 + time.tv_nsec / 1_000_000
        };
        let wall = SystemTime::now().duration_since(UNIX_EPOCH);
        let utc_ms = wall.ok().and_then(|since| i64::try_from(since.as_millis()).ok()).unwrap_or(0);
        // Read first, so that the two clocks' distance never makes the time awake longer than the time since boot.
        let awake_ms = ms(ClockId::Monotonic);
        let offset_s = Local::now().offset().fix().local_minus_utc();
        Moment {
            utc_ms,
            offset_min: i16::try_from(offset_s / 60).unwrap_or(0),
            boot: self.boot,
            since_boot_ms: ms(ClockId::Boottime),
            awake_ms,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_clock_never_runs_backwards_and_stays_in_one_run() {
        let clock = SystemClock::new();
        let (before, after) = (clock.now(), clock.now());
        assert!(after.since_boot_ms >= before.since_boot_ms);
        assert!(after.awake_ms >= before.awake_ms);
        assert!(after.since_boot_ms >= after.awake_ms, "sleep only adds");
        assert_eq!(before.boot, after.boot);
        // Where the computer does not tell its run, each start counts as one.
        let told = std::path::Path::new(BOOT_ID).exists();
        assert_eq!(SystemClock::new().now().boot == before.boot, told);
    }
}
