//! The events of all devices in one order, and the state that they add up to.
//!
//! The union of two logs is the union of their events, whatever the order of arrival: an event's name decides
//! whether it is known, and its stamp where it stands. The state is the fold of the events that count, in their
//! order. An event that comes last is added to the state; anything else (events of another device that are
//! earlier, an undo) goes back to the last kept state that it leaves as it was, and replays from there.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::journal::state::State;
use crate::journal::{Event, EventId, LineFault, Now, Said, Stamp, What};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Events between two states that are kept to go back to. Each kept state shares with the others whatever they
/// have alike.
const STEP: usize = 64;

/// An event with the line that it was read from or written to.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The event.
    pub event: Arc<Event>,
    /// Its line, to the byte.
    pub line: String,
}

impl Entry {
    /// Reads a line.
    pub fn from_line(line: &str) -> Result<Self, LineFault> {
        Ok(Self { event: Arc::new(Event::from_line(line)?), line: line.to_owned() })
    }

    fn order(&self) -> (Stamp, &EventId, &str) {
        (self.event.at, &self.event.id, &self.line)
    }
}

/// What a log gained.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Gained {
    /// Events that were not known.
    pub new: usize,
    /// Events that were known already.
    pub known: usize,
}

/// The circumstances in which events are entered: all given, none read here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entering {
    /// The device's name, its own among all devices.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// Who enters them.
    pub by: Option<String>,
    /// The day that they are about, where it is not today.
    pub day: Option<Day>,
}

/// How far the events of one device are known.
#[derive(Debug, Clone, Default)]
struct Heard {
    /// Known without a gap from 1 to this number.
    up_to: u64,
    /// Known beyond the first gap.
    beyond: BTreeSet<u64>,
    /// The largest number known.
    last: u64,
}

/// All events known, and their state.
#[derive(Debug, Clone, Default)]
pub struct Journal {
    /// Every event, in order.
    entries: Vec<Arc<Entry>>,
    /// The same by name; several where different contents have one name, first in order first.
    ids: BTreeMap<EventId, Vec<Arc<Entry>>>,
    /// Names that different contents have.
    clashes: BTreeSet<EventId>,
    heard: BTreeMap<String, Heard>,
    /// What stood in a file and could not be read; kept, for somebody may be able to.
    unread: BTreeSet<String>,
    /// The events that count, in order.
    counted: Vec<Arc<Entry>>,
    state: State,
    /// States to go back to, each with how many of `counted` it is of; the smallest first.
    kept: Vec<(usize, State)>,
}

impl Journal {
    /// An empty journal.
    pub fn new() -> Self {
        Self::default()
    }

    /// What the events say together.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Every event, in order; also those that were undone and those that are not understood.
    pub fn entries(&self) -> impl DoubleEndedIterator<Item = &Entry> + ExactSizeIterator {
        self.entries.iter().map(Arc::as_ref)
    }

    /// How many events there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// The event of a name; the one that counts, where different contents have that name.
    pub fn event(&self, id: &EventId) -> Option<&Arc<Event>> {
        Some(&self.ids.get(id)?.first()?.event)
    }

    /// Names that different contents have: a fault of whoever wrote them. All contents are kept, the first in
    /// order counts.
    pub fn clashes(&self) -> impl Iterator<Item = (&EventId, &[Arc<Entry>])> {
        self.clashes.iter().filter_map(|id| Some((id, self.ids.get(id)?.as_slice())))
    }

    /// Lines that could not be read, kept as they were.
    pub fn unread(&self) -> impl Iterator<Item = &str> {
        self.unread.iter().map(String::as_str)
    }

    /// Whether an event counts: neither undone nor beside another of its name.
    pub fn counts(&self, entry: &Entry) -> bool {
        self.counted.binary_search_by(|counted| counted.order().cmp(&entry.order())).is_ok()
    }

    /// The devices known, with the largest number of each and the numbers missing below it.
    pub fn devices(&self) -> impl Iterator<Item = (&str, u64, u64)> {
        self.heard.iter().map(|(device, heard)| {
            let missing = heard.last - heard.up_to - heard.beyond.len() as u64;
            (device.as_str(), heard.last, missing)
        })
    }

    /// Enters what somebody saw or decided: new events with consecutive numbers, as one act. The caller has
    /// made sure that the device's name is one and that what is said has no fault; what has one is left out, and
    /// so is everything once a device has no number left.
    pub fn append(&mut self, entering: &Entering, whats: Vec<What>) -> Vec<Arc<Entry>> {
        let next = self.heard.get(&entering.device).map_or(0, |heard| heard.last) + 1;
        let id = |number| EventId { device: entering.device.clone(), sequence: number };
        let sound: Vec<What> = whats.into_iter().filter(|what| what.fault().is_none()).collect();
        let act = (sound.len() > 1).then(|| id(next));
        let others =
            self.heard.iter().filter(|(device, heard)| **device != entering.device && heard.up_to > 0);
        let seen: BTreeMap<String, u64> =
            others.map(|(device, heard)| (device.clone(), heard.up_to)).collect();
        let mut at = self.entries.last().map(|last| last.event.at);
        let mut added = Vec::new();
        for (what, number) in sound.into_iter().zip(next..=EventId::MOST_SEQUENCE) {
            let stamp = Stamp::after(at, entering.now.ms);
            at = Some(stamp);
            let event = Event {
                id: id(number),
                at: stamp,
                clock: Some(entering.now.written()),
                day: entering.day.unwrap_or_else(|| entering.now.day()),
                by: entering.by.clone(),
                act: act.clone(),
                seen: seen.clone(),
                said: Said::Known(what),
            };
            if let Some(line) = event.to_line() {
                added.push(Arc::new(Entry { event: Arc::new(event), line }));
            }
        }
        self.take_shared(added.clone(), Vec::new());
        added
    }

    /// Takes events that came from elsewhere, and lines that could not be read.
    pub fn take(&mut self, entries: Vec<Entry>, unread: Vec<String>) -> Gained {
        self.take_shared(entries.into_iter().map(Arc::new).collect(), unread)
    }

    /// Takes all that another journal has.
    pub fn merge(&mut self, other: &Self) -> Gained {
        self.take_shared(other.entries.clone(), other.unread.iter().cloned().collect())
    }

    fn take_shared(&mut self, entries: Vec<Arc<Entry>>, unread: Vec<String>) -> Gained {
        let mut gained = Gained::default();
        let before = self.entries.len();
        let mut is_next = true;
        for entry in entries {
            match self.note(&entry) {
                Noted::Known => gained.known += 1,
                Noted::OtherBytes => {
                    gained.known += 1;
                    is_next = false;
                }
                noted @ (Noted::New | Noted::Clash) => {
                    gained.new += 1;
                    is_next &= matches!(noted, Noted::New)
                        && self.entries.last().is_none_or(|last| last.order() < entry.order())
                        && !matches!(entry.event.what(), Some(What::Undone { .. }));
                    // The beginning of a line whose whole is known now is no loss.
                    self.unread.retain(|text| !entry.line.starts_with(text.as_str()));
                    self.entries.push(entry);
                }
            }
        }
        let is_known = |text: &String| self.entries.iter().any(|entry| entry.line.starts_with(text.as_str()));
        let lost: Vec<String> = unread.into_iter().filter(|text| !is_known(text)).collect();
        self.unread.extend(lost);
        if is_next {
            self.fold_on(before);
        } else {
            self.replay();
        }
        gained
    }

    /// Notes the name of an event.
    fn note(&mut self, entry: &Arc<Entry>) -> Noted {
        let id = &entry.event.id;
        let Some(same) = self.ids.get_mut(id) else {
            self.ids.insert(id.clone(), vec![Arc::clone(entry)]);
            self.heard.entry(id.device.clone()).or_default().hear(id.sequence);
            return Noted::New;
        };
        if same.iter().any(|known| known.line == entry.line) {
            return Noted::Known;
        }
        // The same content in other bytes, fields in another order say, is no other content. Which bytes are
        // kept must not hang on which came first.
        if let Some(known) = same.iter_mut().find(|known| says_the_same(&known.line, &entry.line)) {
            if known.line <= entry.line {
                return Noted::Known;
            }
            if let Some(place) = self.entries.iter_mut().find(|place| Arc::ptr_eq(place, known)) {
                *place = Arc::clone(entry);
            }
            *known = Arc::clone(entry);
            same.arrange_by(|one, other| one.order().cmp(&other.order()));
            return Noted::OtherBytes;
        }
        same.push(Arc::clone(entry));
        same.arrange_by(|one, other| one.order().cmp(&other.order()));
        self.clashes.insert(id.clone());
        Noted::Clash
    }

    /// Adds to the state the events from a place on, which come after all others and undo nothing. No undo that
    /// is there already touches them: an undo undoes only what comes before it.
    fn fold_on(&mut self, from: usize) {
        for entry in self.entries.iter().skip(from) {
            self.state.apply(&entry.event);
            self.counted.push(Arc::clone(entry));
        }
        if self.counted.len() >= self.kept.last().map_or(0, |(count, _)| *count) + STEP {
            self.keep();
        }
    }

    /// Puts everything in order and folds again from where it is no longer as it was.
    fn replay(&mut self) {
        self.entries.arrange_by(|one, other| one.order().cmp(&other.order()));
        let counted = self.which_count();
        let same = self.counted.iter().zip(&counted).take_while(|(old, new)| Arc::ptr_eq(old, new)).count();
        self.kept.retain(|(count, _)| *count <= same);
        let (from, state) = self.kept.last().cloned().unwrap_or_default();
        self.state = state;
        self.counted = counted;
        let whole = self.counted.len();
        for count in from..whole {
            if let Some(entry) = self.counted.get(count) {
                self.state.apply(&entry.event);
            }
            let left = whole - count - 1;
            if left.is_multiple_of(STEP) && (left / STEP).is_power_of_two() {
                self.kept.push((count + 1, self.state.clone()));
            }
        }
        self.keep();
    }

    /// The events that count, in order: of several with one name the first, and none that is undone. Undoing goes
    /// from the last event back, so that an undo that is itself undone undoes nothing.
    fn which_count(&self) -> Vec<Arc<Entry>> {
        let first = |id: &EventId| self.ids.get(id).and_then(|same| same.first());
        let is_beside = |entry: &Arc<Entry>| {
            self.clashes.contains(&entry.event.id)
                && first(&entry.event.id).is_some_and(|first| !Arc::ptr_eq(first, entry))
        };
        let mut undone: BTreeSet<&EventId> = BTreeSet::new();
        for entry in self.entries.iter().rev() {
            if let Some(What::Undone { events }) = entry.event.what()
                && !undone.contains(&entry.event.id)
                && !is_beside(entry)
            {
                let comes_before =
                    |id: &&EventId| first(id).is_some_and(|other| other.order() < entry.order());
                undone.extend(events.iter().filter(comes_before));
            }
        }
        let counts = |entry: &&Arc<Entry>| !undone.contains(&entry.event.id) && !is_beside(entry);
        self.entries.iter().filter(counts).cloned().collect()
    }

    /// Keeps the state as it is now to go back to, and of the others about one for each doubling of the way
    /// back.
    fn keep(&mut self) {
        let whole = self.counted.len();
        self.kept.retain(|(count, _)| *count < whole);
        self.kept.push((whole, self.state.clone()));
        let mut last_class = None;
        self.kept.retain(|(count, _)| {
            let class = ((whole - count) / STEP).checked_ilog2();
            // The oldest of its class comes first.
            let is_first = last_class != Some(class);
            last_class = Some(class);
            is_first
        });
    }
}

/// What is known of a name.
enum Noted {
    New,
    Known,
    /// Known in other bytes, which these replace.
    OtherBytes,
    /// Known with another content.
    Clash,
}

impl Heard {
    fn hear(&mut self, sequence: u64) {
        self.last = self.last.max(sequence);
        self.beyond.insert(sequence);
        while self.beyond.remove(&(self.up_to + 1)) {
            self.up_to += 1;
        }
    }
}

fn says_the_same(one: &str, other: &str) -> bool {
    let value = |line| serde_json::from_str::<serde_json::Value>(line).ok();
    value(one).is_some_and(|one| Some(one) == value(other))
}
