//! Those who are still to come, as they are believed to be: how many of each kind, a sample of them, the room that they
//! will take.

use super::{AtGate, Belief, Entry, Owner, SCORES, SHIFT, Taken};
use crate::solve::instance::RESOURCES;
use crate::solve::online::{Class, Future, Item};
use crate::sort::draft::figures::kind;
use crate::sort::space;

/// What is believed of age classes is worth so many ewes (our choice, no source).
const AGES_WORTH: f64 = 12.0;
/// What is believed of sizes in an age class is worth so many ewes, where they are not on record: few, since flocks
/// differ from one another by about half as much as ewes of a flock do (our choice, no source).
const SIZES_WORTH: f64 = 5.0;
/// A match of tags is expected of a list as if so many had matched before (our choice, no source).
const TRUST: f64 = 2.0;
/// A weight that changes nothing but where there would be none at all.
const LITTLE: f64 = 1e-6;

impl Belief {
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
    pub(in crate::sort::draft) fn sample(&self, size: usize, gate: AtGate) -> Vec<Item> {
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
    pub(in crate::sort::draft) fn future(&self, allowed: &[u64; 3]) -> Future {
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
    pub(in crate::sort::draft) fn room_of(&self, tag: &str) -> Vec<[u64; RESOURCES]> {
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
}
