//! When a ewe is due, as far as anyone recorded it.

use crate::day::Day;
use serde::{Deserialize, Serialize};

/// What is known of the day a ewe is due to lamb.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Due {
    /// A date was recorded for her.
    On(Day),
    /// Only her mating group is known: she is due between two days.
    Between {
        /// The group's name, as in the file.
        group: String,
        /// The earliest day she may be due.
        first: Day,
        /// The latest day she may be due.
        last: Day,
    },
    /// Nothing was recorded.
    Unknown,
}

/// What the days of a mating group are days of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum DayOf {
    /// Days of service: the ram was in, or the raddle colour was up.
    Service,
    /// Days on which the group is due.
    Due,
}

/// A mating group: ewes served (or due) between two days, for example one raddle colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MatingGroup {
    /// The group's name: a colour, a ram, a number.
    pub name: String,
    /// The first day.
    pub first_day: Day,
    /// The last day.
    pub last_day: Day,
    /// What the days are.
    pub of: DayOf,
    /// The line of the file that it came from; the header is row 1.
    pub row: u32,
}
