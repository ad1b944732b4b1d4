//! One event, and the line that holds it.
//!
//! A line is one JSON object with the fields of [`Event`]; `at` is `[ms, tick]`. The line is kept as it was
//! read, to the byte, and written back so: fields and kinds that this version does not know are never lost.
//! There is no checksum: a line must stay readable and mendable by hand, and one that was cut or garbled is
//! hardly ever JSON with all of its fields.

use crate::day::Day;
use crate::journal::{Stamp, What};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// The version of the lines that are written. It changes when an older version would misunderstand; a field
/// or a kind more does not change it.
pub const VERSION: u32 = 1;

/// The longest name of a device.
const LONGEST_DEVICE: usize = 40;
/// The largest whole number that JSON's readers hold exactly.
const MOST_SEQUENCE: u64 = (1 << 53) - 1;

/// Names one event among all of all devices: `tablet-42`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct EventId {
    /// The device that made it.
    pub device: String,
    /// Its number among the device's events, from 1.
    pub sequence: u64,
}

impl EventId {
    /// The last number that an event may have.
    pub const MOST_SEQUENCE: u64 = MOST_SEQUENCE;

    /// Whether a device may be called so: letters, digits, `-` and `_`, at most 40.
    pub fn is_device(name: &str) -> bool {
        (1..=LONGEST_DEVICE).contains(&name.len())
            && name.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_')
    }
}

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.device, self.sequence)
    }
}

impl TryFrom<String> for EventId {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let parts = text.rsplit_once('-').and_then(|(device, sequence)| {
            let number: u64 = sequence.parse().ok()?;
            // Written in one way only, so that one event has one name.
            let is_plain = (1..=MOST_SEQUENCE).contains(&number) && number.to_string() == sequence;
            (is_plain && Self::is_device(device))
                .then(|| Self { device: device.to_owned(), sequence: number })
        });
        parts.ok_or_else(|| format!("'{text}' is not the id of an event"))
    }
}

impl From<EventId> for String {
    fn from(id: EventId) -> String {
        id.to_string()
    }
}

/// Something that somebody saw or decided, once and for all.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Its name.
    pub id: EventId,
    /// Its place in the order of all events.
    pub at: Stamp,
    /// What the device's clock showed, RFC 3339 with the offset; for people, never for the order.
    pub clock: Option<String>,
    /// The local day that it is about.
    pub day: Day,
    /// Who entered it, as that person is called.
    pub by: Option<String>,
    /// The first event of the act that it belongs to, where several were entered as one.
    pub act: Option<EventId>,
    /// How far its device knew the events of each other device: their numbers without a gap from 1.
    pub seen: BTreeMap<String, u64>,
    /// What it says.
    pub said: Said,
}

/// What an event says, as far as this version understands it.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// Understood.
    Known(What),
    /// Kept and not counted.
    Unknown {
        /// The kind that it names, where it names one.
        kind: String,
        /// Why it is not understood, in words.
        why: String,
    },
}

/// Why a line is no event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineFault {
    /// Whether it is the beginning of something that may be one.
    pub is_cut: bool,
    /// What is wrong, in words.
    pub words: String,
}

/// The fields of a line in the order in which they are written.
#[derive(Serialize, Deserialize)]
struct Line<T> {
    v: u32,
    id: EventId,
    device: String,
    sequence: u64,
    at: Stamp,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    clock: Option<String>,
    day: Day,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    by: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    act: Option<EventId>,
    #[serde(default = "BTreeMap::new", skip_serializing_if = "BTreeMap::is_empty")]
    seen: BTreeMap<String, u64>,
    what: T,
}

impl Event {
    /// Whether whoever entered this knew of `other`: a correction then, not a contradiction.
    pub fn saw(&self, other: &Self) -> bool {
        if self.id.device == other.id.device {
            return self.id.sequence > other.id.sequence;
        }
        self.seen.get(&other.id.device).is_some_and(|&seen| seen >= other.id.sequence)
    }

    /// Its place among all events: by its stamp, then by its name.
    pub fn order(&self) -> (Stamp, &EventId) {
        (self.at, &self.id)
    }

    /// What it says, where it is understood.
    pub fn what(&self) -> Option<&What> {
        match &self.said {
            Said::Known(what) => Some(what),
            Said::Unknown { .. } => None,
        }
    }

    /// Who entered it: the person, or else the device.
    pub fn who(&self) -> &str {
        self.by.as_deref().unwrap_or(&self.id.device)
    }

    /// The time of day that the device's clock showed: `09:14`.
    pub fn time(&self) -> Option<&str> {
        self.clock.as_deref()?.get(11..16)
    }

    /// The line of a new event; nothing where it is of a kind that is not known here.
    pub fn to_line(&self) -> Option<String> {
        let line = Line {
            v: VERSION,
            id: self.id.clone(),
            device: self.id.device.clone(),
            sequence: self.id.sequence,
            at: self.at,
            clock: self.clock.clone(),
            day: self.day,
            by: self.by.clone(),
            act: self.act.clone(),
            seen: self.seen.clone(),
            what: self.what()?,
        };
        serde_json::to_string(&line).ok()
    }

    /// Reads a line.
    pub fn from_line(text: &str) -> Result<Self, LineFault> {
        // Nearly every line is of a kind that is known; only one that is not is read a second time, by its fields.
        match serde_json::from_str::<Line<What>>(text) {
            Ok(line) if line.v == VERSION && line.what.fault().is_none() => line.event(Said::Known),
            _ => Self::from_any_line(text),
        }
    }

    /// Reads a line of whatever kind.
    fn from_any_line(text: &str) -> Result<Self, LineFault> {
        let line: Line<serde_json::Value> = serde_json::from_str(text)
            .map_err(|fault| LineFault { is_cut: fault.is_eof(), words: fault.to_string() })?;
        let is_ours = line.v == VERSION;
        let version = line.v;
        line.event(|what| {
            if is_ours {
                said(what)
            } else {
                Said::Unknown { kind: kind_of(&what), why: format!("it is of version {version}") }
            }
        })
    }
}

impl<T> Line<T> {
    fn event(self, said: impl FnOnce(T) -> Said) -> Result<Event, LineFault> {
        let line = self;
        if line.id.device != line.device || line.id.sequence != line.sequence {
            let words = format!("its id {} is not that of its device and sequence", line.id);
            return Err(LineFault { is_cut: false, words });
        }
        Ok(Event {
            id: line.id,
            at: line.at,
            clock: line.clock,
            day: line.day,
            by: line.by,
            act: line.act,
            seen: line.seen,
            said: said(line.what),
        })
    }
}

fn said(what: serde_json::Value) -> Said {
    match What::deserialize(&what) {
        Ok(known) => match known.fault() {
            None => Said::Known(known),
            Some(fault) => Said::Unknown { kind: kind_of(&what), why: fault.to_owned() },
        },
        Err(fault) => Said::Unknown { kind: kind_of(&what), why: fault.to_string() },
    }
}

fn kind_of(what: &serde_json::Value) -> String {
    what.get("kind").and_then(serde_json::Value::as_str).unwrap_or("no kind").chars().take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_written_in_one_way_only() {
        let id = |text: &str| EventId::try_from(text.to_owned());
        assert_eq!(id("my-tablet-7").unwrap(), EventId { device: "my-tablet".to_owned(), sequence: 7 });
        for wrong in ["t-07", "t-0", "t", "-1", "t-", "t t-1", "t-+1", "t-9007199254740992", "é-1"] {
            assert!(id(wrong).is_err(), "{wrong}");
        }
    }

    /// The short way of reading must say what the long way says, of every line.
    #[test]
    fn a_line_reads_alike_either_way() {
        let line = |v: u32, what: &str| {
            format!(
                r#"{{"v":{v},"id":"t-1","device":"t","sequence":1,"at":[5,0],"day":"2027-01-12","more":1,"what":{what}}}"#
            )
        };
        let whats = [
            (r#"{"kind":"scanned","ewe":{"tag":"7"},"lambs":2,"later":[1]}"#, true),
            (r#"{"lambs":2,"ewe":{"eid":"001000000000417"},"kind":"scanned"}"#, true),
            (r#"{"kind":"weighed","ewe":{"tag":"7"},"weight_kg":71}"#, true),
            (r#"{"kind":"weighed","ewe":{"tag":"7"},"weight_kg":-3}"#, false),
            (r#"{"kind":"scanned","ewe":{"tag":"7"},"lambs":9}"#, false),
            (r#"{"kind":"scanned","ewe":{"tag":"7"},"lambs":1,"lambs":2}"#, true),
            (r#"{"kind":"of a later version","ewe":{"tag":"7"}}"#, false),
            (r#"{"ewe":{"tag":"7"}}"#, false),
            ("7", false),
        ];
        for (what, is_known) in whats {
            let text = line(VERSION, what);
            let read = Event::from_line(&text).unwrap();
            assert_eq!(read, Event::from_any_line(&text).unwrap(), "{what}");
            assert_eq!(read.what().is_some(), is_known, "{what}");
        }
        let newer = Event::from_line(&line(2, whats[0].0)).unwrap();
        assert_eq!(
            newer.said,
            Said::Unknown { kind: "scanned".to_owned(), why: "it is of version 2".to_owned() }
        );
        assert!(Event::from_line(r#"{"v":1,"id":"t-1","#).unwrap_err().is_cut);
    }
}
