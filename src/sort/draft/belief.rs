//! What is believed of the ewes still to come, learnt as they pass.
//!
//! Litter size is a Dirichlet belief for each age class, age class likewise; condition has a normal belief whose
//! mean and spread are learnt, with the published shift by litter size. Ewes whose records are known by tag stay
//! who they are until they have come: only what is not on record is believed. The rest is a mixture of the prior
//! with the weight that it is worth and of every ewe seen with the weight of one.
//!
//! The sample is not drawn at random: all that may come stands in order of need and is counted off at even steps
//! of weight.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::flock::{Ewe, Litter};
use crate::quantity::Kg;
use crate::solve::instance::RESOURCES;
use crate::solve::online::{Class, Future, Item};
use crate::sort::draft::figures::{Figures, kind, with_score};
use crate::sort::draft::prior::{Body, Prior, Source};
use crate::sort::plan::{PlannedEwe, outlined};
use crate::sort::settings::Settings;
use crate::sort::space;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Scores that a ewe may be given, in halves; hardly any lies outside.
const SCORES: [f64; 7] = [1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5];
/// How condition differs with lambs carried at scanning: single 0.1 above twins, triplets 0.1 below (assumption
/// of the science sheet, no source).
const SHIFT: [f64; 4] = [0.1, 0.0, -0.1, -0.1];
/// What is believed of age classes is worth so many ewes (our choice, no source).
const AGES_WORTH: f64 = 12.0;
/// What is believed of sizes in an age class is worth so many ewes, where they are not on record: few, since flocks
/// differ from one another by about half as much as ewes of a flock do (our choice, no source).
const SIZES_WORTH: f64 = 5.0;
/// A match of tags is expected of a list as if so many had matched before (our choice, no source).
const TRUST: f64 = 2.0;
/// A weight that changes nothing but where there would be none at all.
const LITTLE: f64 = 1e-6;
/// Prints know no farm's lambing: after so many ewes seen, days and weights are moved to theirs.
const MOVED_AFTER: [usize; 3] = [2, 8, 40];
/// Whenever so many more of those on record have come, what they might have been is passed over from then on; they
/// weigh nothing already.
const PUT_AWAY_AFTER: usize = 64;

/// Sums of what ewes of an age class take, by space type.
#[derive(Debug, Clone, Default)]
struct Taken {
    count: f64,
    sum: [[f64; RESOURCES]; space::TYPES],
    square: [[f64; RESOURCES]; space::TYPES],
}

impl Taken {
    fn add(&mut self, room: &[[u32; RESOURCES]], weight: f64) {
        self.count += weight;
        for ((sum, square), room) in self.sum.iter_mut().zip(&mut self.square).zip(room) {
            for resource in 0..RESOURCES {
                let takes = f64::from(room[resource]);
                sum[resource] += weight * takes;
                square[resource] += weight * takes * takes;
            }
        }
    }

    fn with(&mut self, other: &Self, weight: f64) {
        let weight = if other.count > 0.0 { weight / other.count } else { 0.0 };
        self.count += weight * other.count;
        for space_type in 0..space::TYPES {
            for resource in 0..RESOURCES {
                self.sum[space_type][resource] += weight * other.sum[space_type][resource];
                self.square[space_type][resource] += weight * other.square[space_type][resource];
            }
        }
    }

    fn mean(&self) -> Vec<[f64; RESOURCES]> {
        self.sum.iter().map(|sum| sum.map(|sum| sum / self.count.max(f64::MIN_POSITIVE))).collect()
    }

    fn spread(&self) -> Vec<[f64; RESOURCES]> {
        let mean = self.mean();
        let spread = |space_type: usize, resource: usize| {
            let of_squares = self.square[space_type][resource] / self.count.max(f64::MIN_POSITIVE);
            (of_squares - mean[space_type][resource] * mean[space_type][resource]).max(0.0).sqrt()
        };
        (0..space::TYPES).map(|kind| std::array::from_fn(|resource| spread(kind, resource))).collect()
    }
}

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

    /// Of those to come, how many are on record, and how many are not.
    fn split(&self, gate: AtGate) -> (f64, f64) {
        let rest = self.rest_after(gate) as f64;
        let waiting = self.waiting(gate) as f64;
        let trust = (self.matched as f64 + TRUST) / (self.counted as f64 + TRUST);
        let known = waiting.min(rest * trust);
        (known, rest - known)
    }

    /// How many of those on record have not come.
    fn waiting(&self, gate: AtGate) -> usize {
        // Every match is one of them.
        self.come.len() - self.matched - usize::from(gate.record.is_some())
    }

    /// Shares of age classes among those not on record, and one standard error of how many each will be.
    fn age_shares(&self, unknown: f64) -> ([f64; 3], [f64; 3]) {
        let seen: f64 = self.ages.iter().sum();
        let all = AGES_WORTH + seen;
        let believed: [f64; 3] =
            std::array::from_fn(|age| (AGES_WORTH * self.prior.ages[age] + self.ages[age]) / all);
        let mut errors = believed
            .map(|share| (unknown * share * (1.0 - share) * (all + unknown) / (all + 1.0)).max(0.0).sqrt());
        // Where more have come than were told of, what was seen is believed.
        let Some(lambs) = self.ewe_lambs.checked_sub(self.ages[0] as usize) else {
            return (believed, errors);
        };
        // Those on record are counted there already.
        let on_record = self.recorded[0].count.max(0.0).min(lambs as f64);
        let share = ((lambs as f64 - on_record) / unknown.max(1.0)).min(1.0);
        let others = (believed[1] + believed[2]).max(f64::MIN_POSITIVE);
        errors[0] = 0.0;
        ([share, (1.0 - share) * believed[1] / others, (1.0 - share) * believed[2] / others], errors)
    }

    /// How many ewe lambs are still to come, as told; nothing where more have come than were told of.
    fn lambs_left(&self, gate: AtGate) -> Option<f64> {
        let come = self.ages[0] as usize + usize::from(gate.ewe_lamb);
        let left = self.ewe_lambs.checked_sub(come)?;
        Some(left.min(self.rest_after(gate)) as f64)
    }

    fn litter_shares(&self, age: usize) -> [f64; 4] {
        let worth = (self.prior.worth * self.prior.ages[age]).max(1.0);
        let seen: f64 = self.litters[age].iter().sum();
        std::array::from_fn(|litter| {
            (worth * self.prior.litters[age][litter] + self.litters[age][litter]) / (worth + seen)
        })
    }

    /// Chances of each score, by litter.
    fn score_shares(&self) -> [[f64; SCORES.len()]; 4] {
        let (mean, spread, worth) = self.prior.score;
        let (count, sum, square) = self.scores;
        let all = worth + count;
        let level = (worth * mean + sum) / all;
        let about = square - 2.0 * level * sum + count * level * level;
        let off = mean - level;
        let spread = ((worth * (spread * spread + off * off) + about) / all).sqrt().max(0.1);
        SHIFT.map(|shift| {
            let below = |edge: f64| {
                0.5 * (1.0 + libm::erf((edge - level - shift) / (spread * std::f64::consts::SQRT_2)))
            };
            let last = SCORES.len() - 1;
            std::array::from_fn(|score| {
                let low = if score == 0 { 0.0 } else { below(SCORES[score] - 0.25) };
                let high = if score == last { 1.0 } else { below(SCORES[score] + 0.25) };
                (high - low).max(0.0)
            })
        })
    }

    /// A sample of so many, in order of need, each standing for as many of the rest; without whoever is at the gate.
    pub(super) fn sample(&self, size: usize, gate: AtGate) -> Vec<Item> {
        let (known, unknown) = self.split(gate);
        let waiting = self.waiting(gate).max(1) as f64;
        let seen = self.seen.len() as f64;
        let from_prior = (unknown * self.prior.worth / (self.prior.worth + seen)).max(LITTLE);
        let each_seen = if seen > 0.0 { (unknown - from_prior).max(0.0) / seen } else { 0.0 };
        let litters: [[f64; 4]; 3] = std::array::from_fn(|age| self.litter_shares(age));
        let scores = self.score_shares();
        let (ages, _) = self.age_shares(unknown);
        let mut of_age = [0.0; 3];
        for body in &self.prior.bodies {
            of_age[body.filled.age as usize] += body.share;
        }
        let held: f64 = (0..3).filter(|&age| of_age[age] > 0.0).map(|age| ages[age]).sum();
        let weight = |entry: &Entry| {
            let score = scores[entry.litter][entry.score];
            match entry.owner {
                Owner::Record(index) if self.come[index] || gate.record == Some(index) => 0.0,
                Owner::Record(_) if entry.litter_known => known / waiting * score,
                // Of a ewe whose litter is not on record three sizes are thought of.
                Owner::Record(_) => {
                    let of = litters[entry.age];
                    let share = if entry.litter == 2 { of[2] + of[3] } else { of[entry.litter] };
                    known / waiting * share * score
                }
                Owner::Body(index) => {
                    let body = self.prior.bodies[index].share / of_age[entry.age].max(f64::MIN_POSITIVE);
                    from_prior * ages[entry.age] / held.max(f64::MIN_POSITIVE)
                        * body
                        * litters[entry.age][entry.litter]
                        * score
                }
            }
        };
        let total = known + unknown;
        // What was told of ewe lambs goes before what a list or those seen would have.
        let entries = || self.open.iter().filter_map(|&at| self.entries.get(at));
        let mut of_kind = [0.0; 2];
        for entry in entries() {
            of_kind[usize::from(entry.item.kind.min(1))] += weight(entry);
        }
        for (_, item) in &self.seen {
            of_kind[usize::from(item.kind.min(1))] += each_seen;
        }
        let wanted = match self.lambs_left(gate) {
            Some(lambs) if self.settings.ewe_lambs_apart => [total - lambs, lambs],
            _ => of_kind,
        };
        let factor: [f64; 2] =
            std::array::from_fn(|kind| if of_kind[kind] > 0.0 { wanted[kind] / of_kind[kind] } else { 0.0 });
        let step = (0..2).map(|kind| factor[kind] * of_kind[kind]).sum::<f64>() / size.max(1) as f64;
        if step <= 0.0 {
            return Vec::new();
        }
        let mut items = Vec::with_capacity(size + 1);
        let (mut sum, mut next) = (0.0, 0.5 * step);
        let mut take = |item: &Item, weight: f64| {
            sum += weight * factor[usize::from(item.kind.min(1))];
            while next < sum && items.len() < size {
                items.push(item.clone());
                next += step;
            }
        };
        let mut seen = self.seen.iter().peekable();
        for entry in entries() {
            while let Some((_, item)) = seen.next_if(|(key, _)| *key < entry.key) {
                take(item, each_seen);
            }
            let weight = weight(entry);
            if weight > 0.0 {
                take(&entry.item, weight);
            }
        }
        for (_, item) in seen {
            take(item, each_seen);
        }
        items
    }

    /// How many of each age class are to come, and what they take.
    pub(super) fn future(&self, allowed: &[u64; 3]) -> Future {
        let (known, unknown) = self.split(AtGate::NOBODY);
        let waiting: f64 = self.recorded.iter().map(|taken| taken.count).sum::<f64>().max(1.0);
        let (ages, errors) = self.age_shares(unknown);
        // How sizes lie is known by tag as far as tags have matched; otherwise by those seen.
        let unsure = 1.0 - self.matched as f64 / (self.counted as f64 + TRUST);
        let mut classes: Vec<Class> = crate::flock::AgeClass::ALL
            .into_iter()
            .map(|class| {
                let age = class as usize;
                let on_record = known * self.recorded[age].count.max(0.0) / waiting;
                let count = on_record + unknown * ages[age];
                let mut taken = Taken::default();
                taken.with(&self.recorded[age], on_record);
                let of_seen = self.taken[age].count;
                let like_prior = SIZES_WORTH.min(self.prior.worth);
                let all = (of_seen + like_prior).max(f64::MIN_POSITIVE);
                // Never without any weight: of a class that a list does not have, sizes are still believed.
                let other = (unknown * ages[age]).max(LITTLE);
                taken.with(&self.taken[age], other * of_seen / all);
                taken.with(&self.expected_room[age], other * like_prior / all);
                let spread = taken.spread();
                let few = unsure / (of_seen + TRUST).sqrt();
                let room_error = spread.iter().map(|room| room.map(|part| part * few)).collect();
                Class {
                    kind: kind(class, &self.settings),
                    allowed: allowed[age],
                    count,
                    count_error: errors[age],
                    room: taken.mean(),
                    room_spread: spread,
                    room_error,
                }
            })
            .collect();
        // What was told of ewe lambs goes before what a list would have.
        if let Some(lambs) = self.lambs_left(AtGate::NOBODY) {
            let others: f64 = classes.iter().skip(1).map(|class| class.count).sum();
            for class in classes.iter_mut().skip(1) {
                class.count *= (self.rest() as f64 - lambs) / others.max(f64::MIN_POSITIVE);
            }
            if let Some(young) = classes.first_mut() {
                (young.count, young.count_error) = (lambs, 0.0);
            }
        }
        Future { total: self.rest(), classes }
    }

    /// What a ewe who must follow is thought to take: what is on record, or generously.
    pub(super) fn room_of(&self, tag: &str) -> Vec<[u64; RESOURCES]> {
        let on_record = self.by_tag.get(tag).and_then(|&index| self.first_of(index));
        if let Some(entry) = on_record {
            return entry.item.room.iter().map(|room| room.map(u64::from)).collect();
        }
        let largest = |space_type: usize, resource: usize| {
            let seen = self.seen.iter().map(|(_, item)| item.as_ref());
            let bodies = self.entries.iter().map(|entry| &entry.item).chain(seen);
            bodies.map(|item| u64::from(item.room[space_type][resource])).max().unwrap_or(0)
        };
        (0..space::TYPES).map(|kind| std::array::from_fn(|resource| largest(kind, resource))).collect()
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
