//! The state of a journal as one document: `evenfold-state-1`. The page and the command line get the same.

use crate::flock::{AgeClass, DayOf, Litter, Score};
use crate::journal::{Advice, Mark, PenRow, Topic};
use crate::problem::Problem;
use serde::Serialize;

/// The state.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct StateDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// Which answer this is: `state`.
    pub status: &'static str,
    /// One line of caution.
    pub caution: &'static str,
    /// One line: how many ewes, how many lambs.
    pub headline: String,
    /// The flock's name, where it was given.
    pub flock: Option<String>,
    /// How many events there are, undone ones included.
    pub events: usize,
    /// The devices, by name.
    pub devices: Vec<DeviceState>,
    /// The ewes, in the order in which they were first met.
    pub ewes: Vec<EweState>,
    /// The pens.
    pub pens: Vec<PenState>,
    /// The mating groups.
    pub groups: Vec<GroupState>,
    /// Readings that contradict each other.
    pub conflicts: Vec<Conflict>,
    /// How many ewes carry how many lambs in what condition.
    pub tally: Tally,
    /// How many ewes were read each day by each device.
    pub days: Vec<DayState>,
    /// Notes of the flock as a whole.
    pub notes: Vec<NoteState>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// A device and how much of it is known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct DeviceState {
    /// Its name.
    pub device: String,
    /// The number of its last event known.
    pub last: u64,
    /// How many of its earlier events are missing.
    pub missing: u64,
}

/// Where a fact comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Source {
    /// The event.
    pub event: String,
    /// The day that it is about.
    pub day: String,
    /// The time of day that the device's clock showed.
    pub time: Option<String>,
    /// Who entered it: the person, or else the device.
    pub by: String,
    /// Whether another reading contradicts it: then it is taken until somebody settles it.
    pub in_doubt: bool,
}

macro_rules! fact {
    ($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident: $of:ty),+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize)]
        #[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
        pub struct $name {
            $($(#[$field_doc])* pub $field: $of,)+
            /// Where it comes from.
            pub from: Source,
        }
    };
}

fact!(
    /// Lambs carried.
    ScannedFact {
        /// How many.
        lambs: Litter
    }
);
fact!(
    /// Condition.
    ConditionFact {
        /// The score.
        score: Score
    }
);
fact!(
    /// Age class.
    AgeFact {
        /// The class.
        age: AgeClass
    }
);
fact!(
    /// When she is due.
    DueFact {
        /// Her group.
        group: Option<String>,
        /// The day.
        due: Option<String>
    }
);
fact!(
    /// Live weight.
    WeightFact {
        /// Kilograms.
        weight_kg: f64
    }
);
fact!(
    /// The pen that she was given.
    PenFact {
        /// Its name.
        pen: String,
        /// What was advised when it was given.
        advised: Option<Advice>,
        /// Whether the advice was another pen.
        overruled: bool
    }
);
fact!(
    /// Her fleece.
    FleeceFact {
        /// Whether she was shorn for housing.
        shorn: bool
    }
);
fact!(
    /// A mark that holds.
    MarkFact {
        /// Which.
        mark: Mark,
        /// More of it, in words.
        words: Option<String>
    }
);
fact!(
    /// A note.
    NoteState {
        /// The note.
        words: String
    }
);

/// One ewe: what holds of her now.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct EweState {
    /// What to call her: the tag, or else the identifier.
    pub called: String,
    /// Her visible tag.
    pub tag: Option<String>,
    /// Her electronic identifier, fifteen digits.
    pub eid: Option<String>,
    /// Other tags and identifiers that mean her.
    pub former: Vec<String>,
    /// Lambs carried.
    pub scanned: Option<ScannedFact>,
    /// Condition.
    pub condition: Option<ConditionFact>,
    /// Age class.
    pub age: Option<AgeFact>,
    /// When she is due.
    pub due: Option<DueFact>,
    /// Live weight.
    pub weight: Option<WeightFact>,
    /// Her pen.
    pub pen: Option<PenFact>,
    /// Her fleece; left out where nobody looked.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub fleece: Option<FleeceFact>,
    /// Marks that hold.
    pub marks: Vec<MarkFact>,
    /// Notes, oldest first.
    pub notes: Vec<NoteState>,
}

/// A pen, and how many ewes were given it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PenState {
    /// The pen's row.
    pub row: PenRow,
    /// Ewes whose pen it is.
    pub ewes: usize,
    /// The same in words.
    pub words: String,
}

/// A mating group.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct GroupState {
    /// Its name.
    pub group: String,
    /// Its first day.
    pub first_day: String,
    /// Its last day.
    pub last_day: String,
    /// What the days are days of.
    pub of: DayOf,
}

/// Readings of one thing of one ewe on one day, entered by people neither of whom knew of the other's.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Conflict {
    /// The ewe.
    pub ewe: String,
    /// What was read.
    pub topic: Topic,
    /// The day.
    pub day: String,
    /// Whether it bears on what holds of her now; an older day's no longer does.
    pub decides: bool,
    /// The reading that is taken until somebody settles it, first, and the others.
    pub readings: Vec<ConflictReading>,
    /// All of it in words.
    pub words: String,
}

/// One of the readings.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct ConflictReading {
    /// What it says, in words.
    pub words: String,
    /// Where it comes from.
    pub from: Source,
}

/// How many ewes carry how many lambs in what condition.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Tally {
    /// All ewes.
    pub ewes: usize,
    /// Lambs carried by all that were scanned.
    pub lambs: u32,
    /// By lambs carried, fewest first; those not scanned last.
    pub by_litter: Vec<LitterCount>,
    /// By condition, thinnest first; those not scored last.
    pub by_condition: Vec<ConditionCount>,
    /// By both.
    pub by_both: Vec<BothCount>,
}

/// Ewes of one litter size.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct LitterCount {
    /// Lambs carried; null: not scanned.
    pub lambs: Option<Litter>,
    /// How many ewes.
    pub ewes: usize,
    /// The same in words.
    pub words: String,
}

/// Ewes of one condition.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct ConditionCount {
    /// The score; null: not scored.
    pub score: Option<Score>,
    /// How many ewes.
    pub ewes: usize,
}

/// Ewes of one litter size and condition.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct BothCount {
    /// Lambs carried; null: not scanned.
    pub lambs: Option<Litter>,
    /// The score; null: not scored.
    pub score: Option<Score>,
    /// How many ewes.
    pub ewes: usize,
}

/// One device's day: ewes an hour are `ewes` over the time from first to last.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct DayState {
    /// The day.
    pub day: String,
    /// The device.
    pub device: String,
    /// Ewes that were scanned, scored, weighed or given a pen, each once.
    pub ewes: usize,
    /// The stamp of the first such event, milliseconds since 1970.
    pub first_ms: u64,
    /// The stamp of the last.
    pub last_ms: u64,
}
