//! What an event says: one thing that somebody saw or decided. Nothing that was computed.
//!
//! The names of kinds and fields are those of the file and never change; a kind may gain fields that may be
//! absent. What cannot be understood is kept all the same (see [`Event`](super::Event)).

use crate::day::Day;
use crate::flock::{AgeClass, DayOf, Eid, Litter, Score};
use crate::journal::EventId;
use crate::pen::{Feeding, Floor};
use serde::{Deserialize, Serialize};

/// The longest text that an event may hold, in bytes: a note of two printed pages.
const LONGEST_TEXT: usize = 8000;
/// The longest name of a ewe, a pen or a group, in bytes.
const LONGEST_NAME: usize = 200;

/// By what a ewe was known when the event was entered.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Name {
    /// By her electronic identifier.
    Eid(Eid),
    /// By her visible tag: text, exact.
    Tag(String),
}

/// Something wrong with a ewe, or a decision about her, that holds until it is cleared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Lame.
    Lame,
    /// Something wrong with her udder.
    Udder,
    /// A prolapse, or a harness for one.
    Prolapse,
    /// She must stand apart from the rest.
    KeepApart,
    /// Not to be kept after weaning.
    Cull,
    /// Something else, in words.
    Other,
}

/// What the person saw advised when deciding: the decision's context, as shown. It is kept because it cannot be
/// found again later (it hung on the draft of that minute and on the version of the engine), and is only
/// ever shown: no state is computed from it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Advice {
    /// The pen that was advised. Where the ewe was given another, the advice was overruled.
    pub pen: String,
    /// The reason as it stood on the screen.
    pub words: String,
}

/// A pen as a row of the pens file has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PenRow {
    /// Its name.
    pub pen: String,
    /// Length of trough, metres; or else `places`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trough_m: Option<f64>,
    /// Single feeding places.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub places: Option<u32>,
    /// Floor area, m².
    pub area_m2: f64,
    /// How feed is offered; absent: all must eat at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub feeding: Option<Feeding>,
    /// What they stand on; absent: straw.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor: Option<Floor>,
    /// Corners where a walk-through trough cannot be used; absent: none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blocked_corners: Option<u32>,
    /// The age classes that it takes, where it takes only some.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub only: Vec<AgeClass>,
    /// The age classes that it never takes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not: Vec<AgeClass>,
    /// The most head wanted in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_head: Option<u32>,
}

/// What an event says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum What {
    /// The flock's or farm's name.
    FlockNamed {
        /// The name.
        name: String,
    },
    /// A ewe stood before the reader. At least one of identifier and tag; both mean that they are hers.
    EweMet {
        /// Her electronic identifier.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        eid: Option<Eid>,
        /// Her visible tag.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        tag: Option<String>,
        /// What the reader or the keyboard sent, as it came.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        read: Option<String>,
    },
    /// Lambs carried, by the scanner.
    Scanned {
        /// The ewe.
        ewe: Name,
        /// Lambs carried; 0 is barren.
        lambs: Litter,
    },
    /// Condition, by hand.
    ConditionScored {
        /// The ewe.
        ewe: Name,
        /// The score, 1 to 5 in quarters.
        score: Score,
    },
    /// Age class.
    AgeGiven {
        /// The ewe.
        ewe: Name,
        /// Her class.
        age: AgeClass,
    },
    /// When she is due: a day, a mating group, or both; neither: nobody knows.
    DueGiven {
        /// The ewe.
        ewe: Name,
        /// The mating or lambing group: a raddle colour, early, late.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        group: Option<String>,
        /// The day.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional, type = "string"))]
        due: Option<Day>,
    },
    /// Weighed.
    Weighed {
        /// The ewe.
        ewe: Name,
        /// Live weight, kg.
        weight_kg: f64,
    },
    /// Something wrong, or to be remembered, until it is cleared.
    Marked {
        /// The ewe.
        ewe: Name,
        /// What.
        mark: Mark,
        /// More of it, in words.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        words: Option<String>,
    },
    /// A mark no longer holds. Clears the marks that whoever cleared it knew of, and no other.
    MarkCleared {
        /// The ewe.
        ewe: Name,
        /// What.
        mark: Mark,
    },
    /// Anything else, in words.
    Noted {
        /// The ewe; absent: of the flock.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        ewe: Option<Name>,
        /// The note.
        words: String,
    },
    /// A ewe was sent into a pen.
    PenGiven {
        /// The ewe.
        ewe: Name,
        /// The pen.
        pen: String,
        /// What was advised, where anything was.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        advised: Option<Advice>,
    },
    /// A ewe left the pen that she stood in, and stands in none now.
    PenLeft {
        /// The ewe.
        ewe: Name,
        /// The pen that she left.
        pen: String,
    },
    /// Whether a ewe was seen to be shorn for housing.
    FleeceSeen {
        /// The ewe.
        ewe: Name,
        /// Shorn; otherwise in the wool.
        shorn: bool,
    },
    /// A row of an earlier year's list: what was so of a ewe then. It says nothing of this year, not even that she
    /// is still there. At least one of identifier and tag.
    PriorListed {
        /// Her electronic identifier.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        eid: Option<Eid>,
        /// Her visible tag.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        tag: Option<String>,
        /// Lambs that she carried then.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        lambs: Option<Litter>,
        /// Her condition then.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        score: Option<Score>,
        /// Her age class then.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        age: Option<AgeClass>,
        /// The day that she was due then, or the first of her group's days.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional, type = "string"))]
        due: Option<Day>,
        /// Her live weight then, kg.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        weight_kg: Option<f64>,
    },
    /// A pen as it stands, whole: it replaces what was said of the pen before.
    PenDescribed(PenRow),
    /// A pen that is no more.
    PenRemoved {
        /// Its name.
        pen: String,
    },
    /// A mating group's days.
    GroupDescribed {
        /// The group's name.
        group: String,
        /// Its first day.
        #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
        first_day: Day,
        /// Its last day.
        #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
        last_day: Day,
        /// What the days are days of.
        of: DayOf,
    },
    /// A ewe's identity put right: an identifier attached, a tag corrected.
    IdentitySet {
        /// The ewe, as she was known.
        ewe: Name,
        /// Her identifier from now on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        eid: Option<Eid>,
        /// Her tag from now on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(target_arch = "wasm32", tsify(optional))]
        tag: Option<String>,
    },
    /// Which of several readings that contradict each other holds.
    Settled {
        /// The ewe.
        ewe: Name,
        /// The event that holds.
        #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
        holds: EventId,
        /// The events that do not.
        #[cfg_attr(target_arch = "wasm32", tsify(type = "string[]"))]
        over: Vec<EventId>,
    },
    /// These events are to be as if they had not been. Undoing an undo brings them back.
    Undone {
        /// The events, each earlier than this one.
        #[cfg_attr(target_arch = "wasm32", tsify(type = "string[]"))]
        events: Vec<EventId>,
    },
}

impl What {
    /// The ewe it is about, where it is about one and names her as she is known.
    pub fn ewe(&self) -> Option<Name> {
        match self {
            Self::EweMet { eid: Some(eid), .. } | Self::PriorListed { eid: Some(eid), .. } => {
                Some(Name::Eid(eid.clone()))
            }
            Self::EweMet { tag, .. } | Self::PriorListed { tag, .. } => tag.clone().map(Name::Tag),
            Self::Noted { ewe, .. } => ewe.clone(),
            Self::Scanned { ewe, .. }
            | Self::ConditionScored { ewe, .. }
            | Self::AgeGiven { ewe, .. }
            | Self::DueGiven { ewe, .. }
            | Self::Weighed { ewe, .. }
            | Self::Marked { ewe, .. }
            | Self::MarkCleared { ewe, .. }
            | Self::PenGiven { ewe, .. }
            | Self::PenLeft { ewe, .. }
            | Self::FleeceSeen { ewe, .. }
            | Self::IdentitySet { ewe, .. }
            | Self::Settled { ewe, .. } => Some(ewe.clone()),
            _ => None,
        }
    }

    /// Why it cannot stand, where its types alone do not tell: an empty name, a weight that is no number.
    pub fn fault(&self) -> Option<&'static str> {
        if let Some(Name::Tag(tag)) = self.ewe()
            && let Some(fault) = name_fault(&tag)
        {
            return Some(fault);
        }
        match self {
            Self::FlockNamed { name } | Self::PenRemoved { pen: name } | Self::PenLeft { pen: name, .. } => {
                name_fault(name)
            }
            Self::EweMet { eid: None, tag: None, .. } | Self::PriorListed { eid: None, tag: None, .. } => {
                Some("neither an identifier nor a tag")
            }
            Self::PriorListed { tag, weight_kg, .. } => {
                tag.as_deref().and_then(name_fault).or_else(|| weight_kg.and_then(positive))
            }
            Self::EweMet { tag, read, .. } => {
                tag.as_deref().and_then(name_fault).or_else(|| read.as_deref().and_then(text_fault))
            }
            Self::DueGiven { group, .. } => group.as_deref().and_then(name_fault),
            Self::Weighed { weight_kg, .. } => positive(*weight_kg),
            Self::Marked { words, .. } => words.as_deref().and_then(text_fault),
            Self::Noted { words, .. } => text_fault(words),
            Self::PenGiven { pen, advised, .. } => name_fault(pen).or_else(|| {
                advised
                    .as_ref()
                    .and_then(|advice| name_fault(&advice.pen).or_else(|| text_fault(&advice.words)))
            }),
            Self::PenDescribed(row) => name_fault(&row.pen)
                .or_else(|| positive(row.area_m2))
                .or_else(|| row.trough_m.and_then(positive)),
            Self::GroupDescribed { group, .. } => name_fault(group),
            Self::IdentitySet { eid: None, tag: None, .. } => Some("neither an identifier nor a tag"),
            Self::IdentitySet { tag, .. } => tag.as_deref().and_then(name_fault),
            Self::Settled { over: events, .. } | Self::Undone { events } => {
                events.is_empty().then_some("no event is named")
            }
            _ => None,
        }
    }
}

fn positive(figure: f64) -> Option<&'static str> {
    (!figure.is_finite() || figure <= 0.0 || figure > 1_000_000.0).then_some("a figure that cannot be")
}

fn name_fault(name: &str) -> Option<&'static str> {
    if name.trim().is_empty() {
        Some("a name is empty")
    } else if name.len() > LONGEST_NAME {
        Some("a name is too long")
    } else if name.trim() != name || name.chars().any(char::is_control) {
        Some("a name has blanks at its ends or signs that cannot be seen")
    } else {
        None
    }
}

fn text_fault(text: &str) -> Option<&'static str> {
    if text.trim().is_empty() {
        Some("a text is empty")
    } else if text.len() > LONGEST_TEXT {
        Some("a text is too long")
    } else {
        None
    }
}
