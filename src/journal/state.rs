//! What the events say together. The fold: one event after the other, in their order.

use crate::flock::Eid;
use crate::journal::reading::Topic;
use crate::journal::{Event, Mark, Name, What};
use std::collections::BTreeMap;
use std::sync::Arc;

/// One ewe, as far as the events tell. Policy, and what is missing, are others' business.
#[derive(Debug, Clone, PartialEq)]
pub struct Ewe {
    /// Her electronic identifier.
    pub eid: Option<Eid>,
    /// Her visible tag.
    pub tag: Option<String>,
    /// Other names that mean her: tags since corrected, identifiers since replaced.
    pub former: Vec<Name>,
    /// The event by which she was first known.
    pub first: Arc<Event>,
    /// The latest time that she stood before a reader, or was read of.
    pub last: Arc<Event>,
    /// Every time that she stood before a reader, or her name in a list.
    pub met: Vec<Arc<Event>>,
    /// Every reading of her, in the order of events.
    pub readings: Vec<Arc<Event>>,
    /// Marks that hold.
    pub marks: Vec<Arc<Event>>,
    /// Notes.
    pub notes: Vec<Arc<Event>>,
    /// Decisions on readings that contradict each other.
    pub(super) settled: Vec<Arc<Event>>,
}

impl Ewe {
    pub(super) fn new(name: Name, first: &Arc<Event>) -> Self {
        let (eid, tag) = match name {
            Name::Eid(eid) => (Some(eid), None),
            Name::Tag(tag) => (None, Some(tag)),
        };
        Self {
            eid,
            tag,
            former: Vec::new(),
            first: Arc::clone(first),
            last: Arc::clone(first),
            met: Vec::new(),
            readings: Vec::new(),
            marks: Vec::new(),
            notes: Vec::new(),
            settled: Vec::new(),
        }
    }

    /// The name to call her by: the tag, or else the identifier.
    pub fn called(&self) -> String {
        let eid = || self.eid.as_ref().map(|eid| eid.digits().to_owned());
        self.tag.clone().or_else(eid).unwrap_or_default()
    }

    /// The name for an event about her: the identifier, or else the tag.
    pub fn name(&self) -> Option<Name> {
        let tag = || self.tag.clone().map(Name::Tag);
        self.eid.clone().map(Name::Eid).or_else(tag)
    }
}

/// What the events say together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    /// The event that last named the flock.
    pub flock: Option<Arc<Event>>,
    /// The pens that there are, each by the event that last described it, in the order in which they came.
    pub pens: Vec<Arc<Event>>,
    /// The mating groups likewise.
    pub groups: Vec<Arc<Event>>,
    /// Notes of the flock as a whole.
    pub notes: Vec<Arc<Event>>,
    /// Rows of an earlier year's list, by whom they name. Shared between the kept states of the log.
    pub(super) prior: Arc<BTreeMap<Name, Arc<Event>>>,
    /// In the order in which they were first met. A place is empty where two turned out to be one.
    pub(super) ewes: Vec<Option<Arc<Ewe>>>,
    /// Every name that means a ewe now. Shared between the kept states of the log.
    pub(super) names: Arc<BTreeMap<Name, usize>>,
}

impl State {
    /// The ewes in the order in which they were first met.
    pub fn ewes(&self) -> impl Iterator<Item = &Ewe> {
        self.ewes.iter().flatten().map(Arc::as_ref)
    }

    /// The rows that say what an earlier year's list said of the ewes then, in the order of their names.
    pub fn prior(&self) -> impl Iterator<Item = &Event> {
        self.prior.values().map(Arc::as_ref)
    }

    /// The row of an earlier year's list that names a ewe so.
    pub fn prior_of(&self, name: &Name) -> Option<&What> {
        self.prior.get(name)?.what()
    }

    /// The ewe that a name means; nothing where nobody was met by it.
    pub fn find(&self, name: &Name) -> Option<&Ewe> {
        self.ewes.get(*self.names.get(name)?)?.as_deref()
    }

    /// Takes the next event in order.
    pub(super) fn apply(&mut self, event: &Arc<Event>) {
        let Some(what) = event.what() else { return };
        match what {
            What::FlockNamed { .. } => self.flock = Some(Arc::clone(event)),
            What::EweMet { eid, tag, .. } => self.meet(eid.as_ref(), tag.as_deref(), event),
            What::IdentitySet { ewe, eid, tag } => {
                self.set_identity(ewe, eid.as_ref(), tag.as_deref(), event);
            }
            What::Marked { ewe, .. } => {
                self.change(ewe, event, |known| known.marks.push(Arc::clone(event)));
            }
            What::MarkCleared { ewe, mark } => {
                self.change(ewe, event, |known| clear(&mut known.marks, *mark, event));
            }
            What::Noted { ewe: Some(ewe), .. } => {
                self.change(ewe, event, |known| known.notes.push(Arc::clone(event)));
            }
            What::Noted { ewe: None, .. } => self.notes.push(Arc::clone(event)),
            What::PenDescribed(row) => replace(&mut self.pens, &row.pen, Some(event)),
            What::PenRemoved { pen } => replace(&mut self.pens, pen, None),
            What::GroupDescribed { group, .. } => replace(&mut self.groups, group, Some(event)),
            What::Settled { ewe, .. } => {
                self.change(ewe, event, |known| known.settled.push(Arc::clone(event)));
            }
            What::PriorListed { .. } => {
                if let Some(name) = what.ewe() {
                    Arc::make_mut(&mut self.prior).insert(name, Arc::clone(event));
                }
            }
            // What is undone is left out before the fold.
            What::Undone { .. } => {}
            What::Scanned { ewe, .. }
            | What::ConditionScored { ewe, .. }
            | What::AgeGiven { ewe, .. }
            | What::DueGiven { ewe, .. }
            | What::Weighed { ewe, .. }
            | What::PenGiven { ewe, .. }
            | What::PenLeft { ewe, .. }
            | What::FleeceSeen { ewe, .. } => {
                self.change(ewe, event, |known| {
                    known.readings.push(Arc::clone(event));
                    known.last = Arc::clone(event);
                });
            }
        }
        debug_assert!(Topic::of(what).is_none() || what.ewe().is_some());
    }

    /// Changes the ewe that a name means; one that nobody met yet is met by it.
    pub(super) fn change(&mut self, name: &Name, event: &Arc<Event>, change: impl FnOnce(&mut Ewe)) {
        let place = match self.names.get(name) {
            Some(&place) => place,
            None => self.add(name.clone(), event),
        };
        if let Some(Some(ewe)) = self.ewes.get_mut(place) {
            change(Arc::make_mut(ewe));
        }
    }
}

/// Only what whoever cleared it knew of: a mark that somebody else set meanwhile stays.
fn clear(marks: &mut Vec<Arc<Event>>, mark: Mark, event: &Event) {
    marks.retain(
        |set| !matches!(set.what(), Some(What::Marked { mark: of, .. }) if *of == mark && event.saw(set)),
    );
}

/// The row by that name is replaced in its place, added at the end, or taken out.
fn replace(rows: &mut Vec<Arc<Event>>, name: &str, by: Option<&Arc<Event>>) {
    let place = rows.iter().position(|row| row_name(row) == Some(name));
    match (place, by) {
        (Some(place), Some(event)) => {
            if let Some(row) = rows.get_mut(place) {
                *row = Arc::clone(event);
            }
        }
        (None, Some(event)) => rows.push(Arc::clone(event)),
        (Some(place), None) => {
            rows.remove(place);
        }
        (None, None) => {}
    }
}

fn row_name(event: &Event) -> Option<&str> {
    match event.what()? {
        What::PenDescribed(row) => Some(&row.pen),
        What::GroupDescribed { group, .. } => Some(group),
        _ => None,
    }
}
