//! One ewe as recorded. What is missing stays missing here; filling gaps is policy and lives in `sort`.

use crate::flock::{Due, Litter, Score};
use crate::quantity::{GramPerDay, Kg};
use serde::{Deserialize, Serialize};

/// Age class, as pens and tables tell ewes apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum AgeClass {
    /// In lamb in her first winter, still growing.
    EweLamb,
    /// In lamb in her second winter.
    Shearling,
    /// Older.
    Mature,
}

impl AgeClass {
    /// Every class, youngest first.
    pub const ALL: [Self; 3] = [Self::EweLamb, Self::Shearling, Self::Mature];

    /// In words, singular.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::EweLamb => "ewe lamb",
            Self::Shearling => "shearling",
            Self::Mature => "mature ewe",
        }
    }
}

/// One ewe, as her row had her.
#[derive(Debug, Clone, PartialEq)]
pub struct Ewe {
    /// Her tag: text, exact, never a number.
    pub tag: String,
    /// Electronic identifier: text, exact.
    pub eid: Option<String>,
    /// Lambs scanned; `None` where she was not scanned.
    pub litter: Option<Litter>,
    /// Condition score; `None` where she was not scored.
    pub condition: Option<Score>,
    /// When she is due.
    pub due: Due,
    /// Age class.
    pub age: Option<AgeClass>,
    /// Live weight without the lambs, at mating or scanning.
    pub weight: Option<Kg>,
    /// Growth wanted of her, where the row says.
    pub growth: Option<GramPerDay>,
    /// Whether she was shorn for housing.
    pub shorn: bool,
    /// Notes, as written.
    pub notes: Option<String>,
    /// Cells of columns that mean nothing to us: header and text, kept.
    pub extra: Vec<(String, String)>,
    /// The line of the file that she came from; the header is row 1.
    pub row: u32,
}

impl Ewe {
    /// A ewe of whom nothing is known but what she is called.
    pub fn unknown(tag: String) -> Self {
        Self {
            tag,
            eid: None,
            litter: None,
            condition: None,
            due: Due::Unknown,
            age: None,
            weight: None,
            growth: None,
            shorn: false,
            notes: None,
            extra: Vec::new(),
            row: 0,
        }
    }
}
