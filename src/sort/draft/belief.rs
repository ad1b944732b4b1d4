//! What is believed of the ewes still to come, learnt as they pass.
//!
//! Litter size is a Dirichlet belief for each age class, age class likewise; condition has a normal belief whose
//! mean and spread are learnt, with the published shift by litter size. Ewes whose records are known by tag stay
//! who they are until they have come: only what is not on record is believed. The rest is a mixture of the prior
//! with the weight that it is worth and of every ewe seen with the weight of one.
//!
//! The sample is not drawn at random: all that may come stands in order of need and is counted off at even steps
//! of weight.

mod ahead;
mod taken;

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::flock::{Ewe, Litter};
use crate::quantity::Kg;
use crate::solve::online::Item;
use crate::sort::draft::figures::{Figures, with_score};
use crate::sort::draft::prior::{Body, Prior, Source};
use crate::sort::plan::{PlannedEwe, outlined};
use crate::sort::settings::Settings;
use std::collections::BTreeMap;
use std::sync::Arc;
use taken::Taken;

/// Scores that a ewe may be given, in halves; hardly any lies outside.
const SCORES: [f64; 7] = [1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5];
/// How condition differs with lambs carried at scanning: single 0.1 above twins, triplets 0.1 below (assumption
/// of the science sheet, no source).
const SHIFT: [f64; 4] = [0.1, 0.0, -0.1, -0.1];
/// Prints know no farm's lambing: after so many ewes seen, days and weights are moved to theirs.
const MOVED_AFTER: [usize; 3] = [2, 8, 40];
/// Whenever so many more of those on record have come, what they might have been is passed over from then on; they
/// weigh nothing already.
const PUT_AWAY_AFTER: usize = 64;

/// Who stands at the gate: no longer to come, not yet anywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct AtGate {
    /// How many of them are among those expected: one, or none.
    count: usize,
    /// Her record, where there is one.
    record: Option<usize>,
    /// Whether she is a ewe lamb.
    ewe_lamb: bool,
}

impl AtGate {
    /// The gate is empty.
    pub(super) const NOBODY: Self = Self { count: 0, record: None, ewe_lamb: false };
}

/// Whose entry it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Owner {
    /// A ewe on record.
    Record(usize),
    /// A body of the prior.
    Body(usize),
}

/// One way that a ewe to come may be.
#[derive(Debug, Clone)]
struct Entry {
    key: f64,
    item: Item,
    owner: Owner,
    age: usize,
    litter: usize,
    score: usize,
    /// Whether her litter is on record.
    litter_known: bool,
}

/// The belief. What hardly changes is shared with the copies that are kept to go back to.
#[derive(Debug, Clone)]
pub(super) struct Belief {
    pub(super) prior: Arc<Prior>,
    expected: usize,
    /// How many of them are ewe lambs.
    ewe_lambs: usize,
    days: Vec<Day>,
    settings: Settings,
    entries: Arc<Vec<Entry>>,
    /// The first of the entries of each record.
    first: Arc<Vec<Option<usize>>>,
    /// Entries, in order, but for those of ewes who have come since long.
    open: Arc<Vec<usize>>,
    by_tag: Arc<BTreeMap<String, usize>>,
    come: Vec<bool>,
    /// Ewes seen, in order of need.
    seen: Vec<(f64, Arc<Item>)>,
    counted: usize,
    matched: usize,
    litters: [[f64; 4]; 3],
    ages: [f64; 3],
    scores: (f64, f64, f64),
    taken: [Taken; 3],
    recorded: [Taken; 3],
    expected_room: [Taken; 3],
    due_seen: Vec<Day>,
    mature_kg: Vec<f64>,
}

impl Belief {
    /// Before the first ewe; entries are made with [`Self::fill`].
    pub(super) fn new(
        prior: Prior,
        (expected, ewe_lambs): (usize, usize),
        days: Vec<Day>,
        settings: &Settings,
    ) -> Self {
        let indices = prior.records.iter().enumerate();
        let by_tag: BTreeMap<String, usize> =
            indices.map(|(index, record)| (record.ewe.tag.clone(), index)).collect();
        Self {
            come: vec![false; prior.records.len()],
            prior: Arc::new(prior),
            expected,
            ewe_lambs,
            days,
            settings: settings.clone(),
            entries: Arc::default(),
            first: Arc::default(),
            open: Arc::default(),
            by_tag: Arc::new(by_tag),
            seen: Vec::new(),
            counted: 0,
            matched: 0,
            litters: [[0.0; 4]; 3],
            ages: [0.0; 3],
            scores: (0.0, 0.0, 0.0),
            taken: Default::default(),
            recorded: Default::default(),
            expected_room: Default::default(),
            due_seen: Vec::new(),
            mature_kg: Vec::new(),
        }
    }

    /// Twins of middling condition out of every body: what the figures are set by.
    pub(super) fn outline(&self) -> Vec<PlannedEwe> {
        self.prior.bodies.iter().filter_map(|body| self.as_planned(body, Litter::of(2)?)).collect()
    }

    fn as_planned(&self, body: &Body, litter: Litter) -> Option<PlannedEwe> {
        let ewe = Ewe { litter: Some(litter), shorn: body.shorn, ..Ewe::unknown(String::new()) };
        let mut filled = body.filled.clone();
        filled.condition = self.prior.score.0;
        Some(outlined(ewe, litter, filled, body.due, &self.days, &self.settings))
    }

    /// Makes the entries: every way that somebody to come may be.
    pub(super) fn fill(&mut self, figures: &Figures) {
        let mut entries = Vec::new();
        for (index, record) in self.prior.records.iter().enumerate() {
            match record.litter {
                Some(litter) => {
                    self.ways(&record.body, litter, (Owner::Record(index), true), figures, &mut entries)
                }
                None => {
                    for litter in (1..=3).filter_map(Litter::of) {
                        self.ways(&record.body, litter, (Owner::Record(index), false), figures, &mut entries);
                    }
                }
            }
        }
        for (index, body) in self.prior.bodies.iter().enumerate() {
            for litter in (1..=4).filter_map(Litter::of) {
                self.ways(body, litter, (Owner::Body(index), false), figures, &mut entries);
            }
        }
        entries.arrange_by(|a, b| a.key.total_cmp(&b.key));
        let mut recorded: [Taken; 3] = Default::default();
        let mut expected: [Taken; 3] = Default::default();
        let mut first = vec![None; self.prior.records.len()];
        for (at, entry) in entries.iter().enumerate() {
            match entry.owner {
                Owner::Record(index) if first[index].is_none() => {
                    first[index] = Some(at);
                    if !self.come[index] {
                        recorded[entry.age].add(&entry.item.room, 1.0);
                    }
                }
                Owner::Record(_) => {}
                Owner::Body(index) => {
                    expected[entry.age].add(&entry.item.room, self.prior.bodies[index].share)
                }
            }
        }
        (self.recorded, self.expected_room) = (recorded, expected);
        (self.entries, self.first) = (Arc::new(entries), Arc::new(first));
        self.open = Arc::new((0..self.entries.len()).collect());
    }

    fn ways(
        &self,
        body: &Body,
        litter: Litter,
        (owner, litter_known): (Owner, bool),
        figures: &Figures,
        entries: &mut Vec<Entry>,
    ) {
        let Some(planned) = self.as_planned(body, litter) else { return };
        let scored: Vec<PlannedEwe> =
            SCORES.iter().map(|&score| with_score(&planned, score, &self.settings)).collect();
        for (score, item) in figures.items(&scored).into_iter().enumerate() {
            entries.push(Entry {
                key: key(&item),
                item,
                owner,
                age: body.filled.age as usize,
                litter: usize::from(litter.lambs().min(4)) - 1,
                score,
                litter_known,
            });
        }
    }

    /// A ewe's own record with what is on record of her and missing from it.
    pub(super) fn completed(&self, ewe: &Ewe) -> Ewe {
        let Some(record) = self.by_tag.get(&ewe.tag).and_then(|&index| self.prior.records.get(index)) else {
            return ewe.clone();
        };
        let of_season = self.prior.source == Source::Records;
        let due = match (&ewe.due, of_season) {
            (crate::flock::Due::Unknown, true) => record.ewe.due.clone(),
            (due, _) => due.clone(),
        };
        Ewe {
            litter: ewe.litter.or(record.litter),
            due,
            age: ewe.age.or(record.ewe.age),
            weight: ewe.weight.or(record.ewe.weight),
            ..ewe.clone()
        }
    }

    /// A ewe has come; whether she counts among those expected, as one in lamb does.
    pub(super) fn passed(&mut self, tag: &str, counts: bool) {
        self.counted += usize::from(counts);
        if let Some(&index) = self.by_tag.get(tag)
            && !std::mem::replace(&mut self.come[index], true)
        {
            self.matched += 1;
            let age = self.prior.records[index].body.filled.age as usize;
            if let Some(entry) = self.first_of(index) {
                let room = entry.item.room.clone();
                self.recorded[age].add(&room, -1.0);
            }
            if self.matched.is_multiple_of(PUT_AWAY_AFTER) {
                let (entries, come) = (&self.entries, &self.come);
                let is_open = |at: &usize| match entries.get(*at).map(|entry| entry.owner) {
                    Some(Owner::Record(index)) => !come[index],
                    _ => true,
                };
                self.open = Arc::new(self.open.iter().copied().filter(is_open).collect());
            }
        }
    }

    /// The first of the entries of a record.
    fn first_of(&self, record: usize) -> Option<&Entry> {
        self.entries.get((*self.first.get(record)?)?)
    }

    /// Learns from a ewe who was seen. Whether the prior was moved to what was seen, so that entries must be
    /// made anew.
    pub(super) fn learn(&mut self, ewe: &PlannedEwe, item: &Item) -> bool {
        let age = ewe.filled.age as usize;
        let litter = usize::from(ewe.litter.lambs().clamp(1, 4)) - 1;
        self.ages[age] += 1.0;
        self.litters[age][litter] += 1.0;
        if ewe.ewe.condition.is_some() {
            let level = ewe.filled.condition - SHIFT[litter];
            let (count, sum, square) = self.scores;
            self.scores = (count + 1.0, sum + level, square + level * level);
        }
        self.taken[age].add(&ewe.room, 1.0);
        self.due_seen.push(ewe.due);
        if ewe.filled.age == crate::flock::AgeClass::Mature {
            self.mature_kg.push(ewe.filled.weight.value());
        }
        let key = key(item);
        let place = self.seen.partition_point(|(other, _)| *other <= key);
        self.seen.insert(place, (key, Arc::new(item.clone())));
        self.prior.source == Source::Print && MOVED_AFTER.contains(&self.seen.len()) && self.move_prior()
    }

    /// Moves the bodies of print to the days and weights seen.
    fn move_prior(&mut self) -> bool {
        let mut days = self.due_seen.clone();
        days.sort_unstable();
        let mut bodies: Vec<Day> = self.prior.bodies.iter().map(|body| body.due).collect();
        bodies.sort_unstable();
        let (Some(&seen), Some(&believed)) = (days.get(days.len() / 2), bodies.get(bodies.len() / 2)) else {
            return false;
        };
        let by = seen.since(believed);
        let mature =
            self.prior.bodies.iter().filter(|body| body.filled.age == crate::flock::AgeClass::Mature);
        let (count, sum) =
            mature.fold((0.0, 0.0), |(count, sum), body| (count + 1.0, sum + body.filled.weight.value()));
        let own: f64 = self.mature_kg.iter().sum();
        let times = if self.mature_kg.is_empty() || sum <= 0.0 {
            1.0
        } else {
            own / self.mature_kg.len() as f64 / (sum / count)
        };
        for body in &mut Arc::make_mut(&mut self.prior).bodies {
            body.due = body.due.plus(by);
            body.filled.weight = Kg::new(body.filled.weight.value() * times);
        }
        true
    }

    /// How many are still expected.
    pub(super) fn rest(&self) -> usize {
        self.expected.saturating_sub(self.counted)
    }

    /// How many are expected after whoever is at the gate.
    pub(super) fn rest_after(&self, gate: AtGate) -> usize {
        self.rest().saturating_sub(gate.count)
    }

    /// How many are expected in all.
    pub(super) fn expected(&self) -> usize {
        self.expected
    }

    /// Who a ewe at the gate is.
    pub(super) fn at_gate(&self, ewe: &PlannedEwe) -> AtGate {
        let record = self.by_tag.get(&ewe.ewe.tag).copied().filter(|&index| !self.come[index]);
        AtGate { count: 1, record, ewe_lamb: ewe.filled.age == crate::flock::AgeClass::EweLamb }
    }

    /// All ewes that anything was told of before the first came: the prior's.
    pub(super) fn told(&self) -> impl Iterator<Item = &Ewe> {
        self.prior.records.iter().map(|record| &record.ewe)
    }

    /// How many ewes have come.
    pub(super) fn counted(&self) -> usize {
        self.counted
    }
}

/// Where an item stands in order of need.
fn key(item: &Item) -> f64 {
    item.need.iter().sum()
}
