//! Civil days: the one file that knows the date library. There is no clock here; today is an argument.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A calendar day. Serialised as an ISO date, `2027-03-01`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(Date);

impl Day {
    /// 1 January 1970, from which computers count.
    pub const EPOCH: Self = Self(jiff::civil::date(1970, 1, 1));

    /// The day of a year, month (1 to 12) and day of month, or `None` where the calendar has no such day.
    pub fn of(year: i16, month: i8, day: i8) -> Option<Self> {
        Date::new(year, month, day).ok().map(Self)
    }

    /// Reads an ISO date, `2027-03-01`, and nothing else.
    pub fn from_iso(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        let digits =
            |part: &str, width: usize| part.len() == width && part.bytes().all(|byte| byte.is_ascii_digit());
        if parts.next().is_some() || !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
            return None;
        }
        Self::of(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }

    /// The day `days` later (earlier where negative); stays at the end of the calendar rather than failing.
    pub fn plus(self, days: i32) -> Self {
        Self(self.0.saturating_add(jiff::Span::new().try_days(days).unwrap_or_default()))
    }

    /// Days from `earlier` to this one; negative where this one comes first.
    pub fn since(self, earlier: Self) -> i32 {
        self.0.duration_since(earlier.0).as_hours().div_euclid(24) as i32
    }

    /// The year.
    pub fn year(self) -> i16 {
        self.0.year()
    }

    /// As a person says it: `27 March 2027`.
    pub fn in_words(self) -> String {
        format!("{} {} {}", self.0.day(), MONTHS[self.month_index()], self.0.year())
    }

    /// Short, for a chart or a table: `27 Mar`.
    pub fn short(self) -> String {
        format!("{} {}", self.0.day(), &MONTHS[self.month_index()][..3])
    }

    fn month_index(self) -> usize {
        usize::from(self.0.month().unsigned_abs()).saturating_sub(1).min(11)
    }
}

/// The order of day and month in dates such as 03/04/2027.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum DateOrder {
    /// Day first: 3 April.
    Dmy,
    /// Month first: 4 March.
    Mdy,
}

/// The months' English names, January first.
pub const MONTHS: [&str; 12] = [
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

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl Serialize for Day {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::from_iso(&text)
            .ok_or_else(|| serde::de::Error::custom(format!("'{text}' is not a date such as 2027-03-01")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_over_a_leap_february() {
        let start = Day::from_iso("2028-02-01").unwrap();
        assert_eq!(start.plus(29).to_string(), "2028-03-01");
        assert_eq!(start.plus(29).since(start), 29);
        assert_eq!(start.since(start.plus(29)), -29);
    }

    #[test]
    fn only_iso_is_read() {
        for wrong in ["2027-02-30", "1/2/2027", "2027-2-1", "", "2027-02-01T00:00", "+027-02-01"] {
            assert_eq!(Day::from_iso(wrong), None, "{wrong}");
        }
    }
}
