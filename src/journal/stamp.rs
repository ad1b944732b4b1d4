//! When an event was entered: what the device's clock showed, and an order that a wrong clock cannot break.
//!
//! Method: hybrid logical clocks (Kulkarni, Demirbas, Madappa, Avva and Leone 2014, "Logical physical clocks").
//! A stamp is the clock's time where that lies ahead of every stamp known, else the largest stamp known with a
//! count added. So an event always comes after everything that its device knew, whatever the clock did.

use crate::day::Day;
use serde::{Deserialize, Serialize};

/// The last millisecond of the year 9999: no later stamp is read or made.
const LAST_MS: u64 = 253_402_300_799_999;

/// A place in the order of all events. Serialised as `[ms, tick]`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(try_from = "(u64, u32)", into = "(u64, u32)")]
pub struct Stamp {
    /// Milliseconds since the start of 1970, UTC; never earlier than the device's clock showed.
    pub ms: u64,
    /// Counts the events of one millisecond, and those entered while the clock stood behind.
    pub tick: u32,
}

impl Stamp {
    /// The stamp of an event entered when the clock showed `wall_ms` by a device that knows stamps up to
    /// `highest`.
    #[must_use]
    pub fn after(highest: Option<Self>, wall_ms: u64) -> Self {
        let wall = Self { ms: wall_ms.min(LAST_MS), tick: 0 };
        match highest {
            Some(highest) if highest >= wall => match highest.tick.checked_add(1) {
                Some(tick) => Self { ms: highest.ms, tick },
                None if highest.ms < LAST_MS => Self { ms: highest.ms + 1, tick: 0 },
                // The end of all stamps, which only a forged one reaches: the numbers of events still tell.
                None => highest,
            },
            _ => wall,
        }
    }
}

impl TryFrom<(u64, u32)> for Stamp {
    type Error = String;
    fn try_from((ms, tick): (u64, u32)) -> Result<Self, String> {
        if ms > LAST_MS { Err(format!("{ms} ms lies after the year 9999")) } else { Ok(Self { ms, tick }) }
    }
}

impl From<Stamp> for (u64, u32) {
    fn from(stamp: Stamp) -> (u64, u32) {
        (stamp.ms, stamp.tick)
    }
}

/// What a device's clock shows: always given, never read here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Now {
    /// Milliseconds since the start of 1970, UTC.
    pub ms: u64,
    /// Minutes that local time is ahead of UTC: 60 in British summer.
    pub offset_minutes: i32,
}

impl Now {
    /// The local day.
    pub fn day(self) -> Day {
        let days = self.local_ms().div_euclid(DAY_MS).clamp(-700_000, 2_900_000);
        Day::EPOCH.plus(i32::try_from(days).unwrap_or_default())
    }

    /// As it is written down: RFC 3339 with the offset, `2027-01-12T09:14:05+00:00`.
    pub fn written(self) -> String {
        let second = self.local_ms().rem_euclid(DAY_MS) / 1000;
        let (sign, offset) = (if self.offset_minutes < 0 { '-' } else { '+' }, self.offset().unsigned_abs());
        format!(
            "{}T{:02}:{:02}:{:02}{sign}{:02}:{:02}",
            self.day(),
            second / 3600,
            second / 60 % 60,
            second % 60,
            offset / 60,
            offset % 60
        )
    }

    fn local_ms(self) -> i64 {
        let ms = i64::try_from(self.ms.min(LAST_MS)).unwrap_or_default();
        ms.saturating_add(i64::from(self.offset()).saturating_mul(60_000))
    }

    /// No place is a day or more from UTC.
    fn offset(self) -> i32 {
        self.offset_minutes.clamp(-1439, 1439)
    }
}

const DAY_MS: i64 = 86_400_000;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stamps_rise_whatever_the_clock_does() {
        let mut last = None;
        for wall in [5, 5, 9, 3, 0, u64::MAX, 7] {
            let next = Stamp::after(last, wall);
            assert!(last < Some(next), "{last:?} then {next:?}");
            last = Some(next);
        }
        let full = Stamp { ms: 4, tick: u32::MAX };
        assert_eq!(Stamp::after(Some(full), 0), Stamp { ms: 5, tick: 0 });
        let end = Stamp { ms: LAST_MS, tick: u32::MAX };
        assert_eq!(Stamp::after(Some(end), 0), end);
    }

    #[test]
    fn local_days_and_hours_are_those_of_the_calendar() {
        // 1,799,745,245 s: `date -u -d @1799745245` says 2027-01-12 09:14:05.
        let written = |ms, offset_minutes| Now { ms, offset_minutes }.written();
        assert_eq!(written(1_799_745_245_123, 0), "2027-01-12T09:14:05+00:00");
        assert_eq!(written(1_799_745_245_123, -600), "2027-01-11T23:14:05-10:00");
        assert_eq!(written(0, 0), "1970-01-01T00:00:00+00:00");
        assert_eq!(written(0, -30), "1969-12-31T23:30:00-00:30");
        assert_eq!(Now { ms: u64::MAX, offset_minutes: i32::MIN }.written().len(), 25);
    }
}
