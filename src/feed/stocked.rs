//! A feed as it lies on a farm.

use crate::day::Day;
use crate::feed::Feed;
use crate::quantity::{GramPerKgDm, Kg, KgPerDay, PricePerTonne};

/// A feed on a farm: the table's values, or the farm's own where it has had the feed analysed.
#[derive(Debug, Clone, PartialEq)]
pub struct Stocked {
    /// The feed, under the farm's own name, with the farm's own values in place.
    pub feed: Feed,
    /// The feed of the table that it is, or is like.
    pub like: String,
    /// What it costs.
    pub price: PricePerTonne,
    /// What is in store; nothing where as much as is wanted can be had.
    pub stock: Option<Kg>,
    /// The day on which the store was counted, in the morning; what was loaded since is not there any more.
    pub counted_on: Option<Day>,
    /// The most a ewe is to have of it a day by the farm's own wish; the table's limit holds beside it.
    pub most: Option<KgPerDay>,
    /// The farm's own analysis.
    pub analysis: Option<Analysis>,
    /// The line of the file.
    pub row: u32,
}

/// A farm's own analysis of a feed.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// The day of the sample.
    pub on: Day,
    /// Columns that it tells, by their names in the feeds file.
    pub told: Vec<&'static str>,
    /// Acidity of a silage.
    pub ph: Option<f64>,
    /// Ash.
    pub ash: Option<GramPerKgDm>,
}

impl Analysis {
    /// Whether it tells this column.
    pub fn tells(&self, column: &str) -> bool {
        self.told.contains(&column)
    }
}
