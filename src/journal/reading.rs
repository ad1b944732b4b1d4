//! What is held true of a ewe where several readings of one thing stand: which decides, which contradict it.
//!
//! Of one thing (her scan, say) the readings of the latest day decide. Of one day, a reading counts unless
//! somebody who knew of it entered another. Readings that are left and differ were entered by people neither of
//! whom knew of the other's: a contradiction, shown until somebody settles it. Until then the more careful
//! reading is taken, more lambs, the lower score or the whole fleece, because underfeeding late in pregnancy hurts more than
//! overfeeding costs (the sort's own weights, 4 to 1, say the same); of other things, the later in order.

use crate::day::Day;
use crate::flock::{AgeClass, Litter, Score};
use crate::journal::state::Ewe;
use crate::journal::{Event, EventId, What};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A thing that may be read again and again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Topic {
    /// Lambs carried.
    Scanned,
    /// Condition score.
    Condition,
    /// Age class.
    Age,
    /// When she is due.
    Due,
    /// Live weight.
    Weight,
    /// The pen that she was given, or left.
    Pen,
    /// Whether she was shorn for housing.
    Fleece,
}

impl Topic {
    /// Every topic.
    pub const ALL: [Self; 7] =
        [Self::Scanned, Self::Condition, Self::Age, Self::Due, Self::Weight, Self::Pen, Self::Fleece];

    /// The topic of what an event says; nothing where it is no reading.
    pub fn of(what: &What) -> Option<Self> {
        match what {
            What::Scanned { .. } => Some(Self::Scanned),
            What::ConditionScored { .. } => Some(Self::Condition),
            What::AgeGiven { .. } => Some(Self::Age),
            What::DueGiven { .. } => Some(Self::Due),
            What::Weighed { .. } => Some(Self::Weight),
            What::PenGiven { .. } | What::PenLeft { .. } => Some(Self::Pen),
            What::FleeceSeen { .. } => Some(Self::Fleece),
            _ => None,
        }
    }
}

/// What was read, without the ewe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value<'e> {
    /// Lambs carried.
    Scanned(Litter),
    /// The score.
    Condition(Score),
    /// The class.
    Age(AgeClass),
    /// Group and day.
    Due(Option<&'e str>, Option<Day>),
    /// Live weight, kg.
    Weight(f64),
    /// The pen's name; nothing where she left it and stands in none.
    Pen(Option<&'e str>),
    /// Whether she is shorn.
    Fleece(bool),
}

impl<'e> Value<'e> {
    /// The value of a reading; nothing where the event is none.
    pub fn of(event: &'e Event) -> Option<Self> {
        Some(match event.what()? {
            What::Scanned { lambs, .. } => Self::Scanned(*lambs),
            What::ConditionScored { score, .. } => Self::Condition(*score),
            What::AgeGiven { age, .. } => Self::Age(*age),
            What::DueGiven { group, due, .. } => Self::Due(group.as_deref(), *due),
            What::Weighed { weight_kg, .. } => Self::Weight(*weight_kg),
            What::PenGiven { pen, .. } => Self::Pen(Some(pen)),
            What::PenLeft { .. } => Self::Pen(None),
            What::FleeceSeen { shorn, .. } => Self::Fleece(*shorn),
            _ => return None,
        })
    }

    /// Whether this is to be taken before `other` while neither is settled.
    fn is_more_careful(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Scanned(one), Self::Scanned(other)) => one > other,
            (Self::Condition(one), Self::Condition(other)) => one < other,
            // In the wool she takes more floor.
            (Self::Fleece(one), Self::Fleece(other)) => !one && *other,
            _ => false,
        }
    }
}

/// The readings that stand for one thing of one ewe on one day.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing<'e> {
    /// The day.
    pub day: Day,
    /// The reading that is taken.
    pub holds: &'e Arc<Event>,
    /// Readings that stand beside it and say something else; empty where nothing is in doubt.
    pub against: Vec<&'e Arc<Event>>,
}

impl Ewe {
    /// What is held true of one thing: the readings of its latest day. Nothing where it was never read.
    pub fn standing(&self, topic: Topic) -> Option<Standing<'_>> {
        let day = self.of(topic).map(|event| event.day).max()?;
        self.on(topic, day)
    }

    /// What stands for one thing on one day.
    pub fn on(&self, topic: Topic, day: Day) -> Option<Standing<'_>> {
        let mut of_day = self.of(topic).filter(|event| event.day == day);
        let only = of_day.next()?;
        // Nearly always there is but one.
        let Some(second) = of_day.next() else {
            return Value::of(only).map(|_| Standing { day, holds: only, against: Vec::new() });
        };
        let of_day: Vec<&Arc<Event>> = [only, second].into_iter().chain(of_day).collect();
        let lost = self.settled_away(&of_day);
        let corrected = |event: &Event| of_day.iter().any(|other| other.saw(event));
        let left: Vec<&Arc<Event>> =
            of_day.iter().copied().filter(|event| !lost.contains(&event.id) && !corrected(event)).collect();
        let last = *left.last().or(of_day.last())?;
        let mut holds = (last, Value::of(last)?);
        for event in &left {
            if let Some(value) = Value::of(event)
                && value.is_more_careful(&holds.1)
            {
                holds = (event, value);
            }
        }
        let differs = |event: &&Arc<Event>| Value::of(event) != Some(holds.1);
        Some(Standing { day, holds: holds.0, against: left.into_iter().filter(differs).collect() })
    }

    /// Every day on which somebody's reading contradicts another's, latest last.
    pub fn contradictions(&self) -> Vec<(Topic, Standing<'_>)> {
        let mut found = Vec::new();
        for topic in Topic::ALL {
            let devices: BTreeSet<&str> = self.of(topic).map(|event| event.id.device.as_str()).collect();
            // One device always knows what it entered before.
            if devices.len() < 2 {
                continue;
            }
            let days: BTreeSet<Day> = self.of(topic).map(|event| event.day).collect();
            let standing = days.into_iter().filter_map(|day| self.on(topic, day));
            found.extend(standing.filter(|one| !one.against.is_empty()).map(|one| (topic, one)));
        }
        found
    }

    /// Readings of one thing in the order of events.
    pub fn of(&self, topic: Topic) -> impl Iterator<Item = &Arc<Event>> {
        self.readings.iter().filter(move |event| event.what().and_then(Topic::of) == Some(topic))
    }

    /// The readings that somebody decided do not hold. A later decision goes before an earlier one, and one for
    /// a reading that was undone since decides nothing.
    fn settled_away(&self, of_day: &[&Arc<Event>]) -> BTreeSet<EventId> {
        let mut lost = BTreeSet::new();
        for event in &self.settled {
            if let Some(What::Settled { holds, over, .. }) = event.what()
                && of_day.iter().any(|reading| reading.id == *holds)
            {
                lost.extend(over.iter().cloned());
                lost.remove(holds);
            }
        }
        lost
    }
}
