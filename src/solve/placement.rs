//! Who stands where, with the sums that limits are checked against: what every search that moves items needs.
//!
//! What moves is a *unit*: one item, or a set of items that must share a bin. Without such sets a unit is an
//! item and has its number.

use crate::solve::instance::{Assignment, Instance, RESOURCES, Room};

/// Not in any bin yet.
const NOWHERE: usize = usize::MAX;

/// Units of an instance, what they take and whom they must not meet.
#[derive(Debug, Clone)]
pub struct Units {
    /// Unit `u` is `items[start[u]..start[u + 1]]`.
    start: Vec<usize>,
    items: Vec<usize>,
    /// Bins that every item of a unit may go to, as a bit mask.
    allowed: Vec<u64>,
    /// Units that must not share a bin with it; empty where there are no such pairs at all.
    rivals: Vec<Vec<usize>>,
}

impl Units {
    /// The units of an instance.
    pub fn new(instance: &Instance) -> Self {
        let mut set_of: Vec<usize> = (0..instance.items()).collect();
        for set in &instance.together {
            for &item in set {
                // Sets that share an item are one.
                let (into, from) = (set_of[set[0]], set_of[item]);
                for own in &mut set_of {
                    if *own == from {
                        *own = into;
                    }
                }
            }
        }
        let mut members: Vec<Vec<usize>> = vec![Vec::new(); instance.items()];
        for (item, &set) in set_of.iter().enumerate() {
            members[set].push(item);
        }
        members.retain(|members| !members.is_empty());
        let mut units = Self { start: vec![0], items: Vec::new(), allowed: Vec::new(), rivals: Vec::new() };
        let mut unit_of = vec![0; instance.items()];
        for (unit, members) in members.into_iter().enumerate() {
            for &item in &members {
                unit_of[item] = unit;
            }
            units.allowed.push(members.iter().fold(u64::MAX, |mask, &item| mask & instance.allowed[item]));
            units.items.extend(members);
            units.start.push(units.items.len());
        }
        if !instance.apart.is_empty() {
            units.rivals = vec![Vec::new(); units.count()];
            for &[a, b] in &instance.apart {
                units.rivals[unit_of[a]].push(unit_of[b]);
                units.rivals[unit_of[b]].push(unit_of[a]);
            }
        }
        units
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.start.len() - 1
    }

    /// The items of a unit.
    #[inline]
    pub fn items(&self, unit: usize) -> &[usize] {
        &self.items[self.start[unit]..self.start[unit + 1]]
    }

    /// How many items a unit has.
    #[inline]
    pub fn head(&self, unit: usize) -> usize {
        self.start[unit + 1] - self.start[unit]
    }

    /// Units that must not share a bin with it.
    pub fn rivals(&self, unit: usize) -> &[usize] {
        self.rivals.get(unit).map_or(&[], Vec::as_slice)
    }

    /// Whether a unit contradicts itself: two of its items must be apart, or no bin takes them all.
    pub fn is_torn(&self, instance: &Instance, unit: usize) -> bool {
        let items = self.items(unit);
        self.rivals(unit).contains(&unit)
            || self.allowed[unit] == 0
            || items.iter().any(|&item| instance.kind[item] != instance.kind[items[0]])
    }
}

/// Units in bins.
#[derive(Debug, Clone)]
pub struct Placement<'a> {
    /// The problem.
    pub instance: &'a Instance,
    /// Its units.
    pub units: Units,
    bin_of: Vec<usize>,
    /// Where a unit stands in the list of its bin.
    place_of: Vec<usize>,
    members: Vec<Vec<usize>>,
    head: Vec<usize>,
    used: Vec<[u64; RESOURCES]>,
    /// The least that any item takes of each resource, by space type.
    least_room: Vec<[u64; RESOURCES]>,
}

impl<'a> Placement<'a> {
    /// Nobody in any bin.
    pub fn empty(instance: &'a Instance) -> Self {
        let units = Units::new(instance);
        let bins = instance.bins.len();
        Self {
            instance,
            bin_of: vec![NOWHERE; units.count()],
            place_of: vec![NOWHERE; units.count()],
            units,
            members: vec![Vec::new(); bins],
            head: vec![0; bins],
            used: vec![[0; RESOURCES]; bins],
            least_room: instance.room.iter().map(|room| least(room)).collect(),
        }
    }

    /// An assignment; where items that belong together are parted, all go to the first one's bin.
    pub fn new(instance: &'a Instance, assignment: &[usize]) -> Self {
        let mut placement = Self::empty(instance);
        for unit in 0..placement.units.count() {
            placement.put(unit, assignment[placement.units.items(unit)[0]]);
        }
        placement
    }

    /// The bin of a unit, where it is in one.
    #[inline]
    pub fn bin_of(&self, unit: usize) -> Option<usize> {
        (self.bin_of[unit] != NOWHERE).then_some(self.bin_of[unit])
    }

    /// The units in a bin.
    pub fn members(&self, bin: usize) -> &[usize] {
        &self.members[bin]
    }

    /// The items in a bin, into a list.
    pub fn items_in(&self, bin: usize, items: &mut Vec<usize>) {
        items.clear();
        items.extend(self.members[bin].iter().flat_map(|&unit| self.units.items(unit)));
    }

    /// How many items are in a bin.
    pub fn head(&self, bin: usize) -> usize {
        self.head[bin]
    }

    /// The bin of every item; whoever is nowhere yet has none.
    pub fn assignment(&self) -> Assignment {
        let mut assignment = vec![NOWHERE; self.instance.items()];
        for unit in 0..self.units.count() {
            for &item in self.units.items(unit) {
                assignment[item] = self.bin_of[unit];
            }
        }
        assignment
    }

    /// Puts a unit that is nowhere into a bin.
    pub fn put(&mut self, unit: usize, bin: usize) {
        self.bin_of[unit] = bin;
        self.place_of[unit] = self.members[bin].len();
        self.members[bin].push(unit);
        self.head[bin] += self.units.head(unit);
        for &item in self.units.items(unit) {
            for (sum, part) in self.used[bin].iter_mut().zip(self.instance.room_in(item, bin)) {
                *sum += u64::from(part);
            }
        }
    }

    /// Takes a unit out of its bin.
    pub fn lift(&mut self, unit: usize) {
        let bin = self.bin_of[unit];
        self.bin_of[unit] = NOWHERE;
        // The order of members carries no meaning but must come out the same on every machine: it does.
        let place = self.place_of[unit];
        self.members[bin].swap_remove(place);
        if let Some(&last) = self.members[bin].get(place) {
            self.place_of[last] = place;
        }
        self.head[bin] -= self.units.head(unit);
        for &item in self.units.items(unit) {
            for (sum, part) in self.used[bin].iter_mut().zip(self.instance.room_in(item, bin)) {
                *sum -= u64::from(part);
            }
        }
    }

    /// Moves a unit to another bin.
    pub fn shift(&mut self, unit: usize, bin: usize) {
        self.lift(unit);
        self.put(unit, bin);
    }

    /// Whether every item of a unit may go to a bin.
    #[inline]
    pub fn may(&self, unit: usize, bin: usize) -> bool {
        self.units.allowed[unit] >> bin & 1 == 1
    }

    fn kind(&self, unit: usize) -> u8 {
        self.instance.kind[self.units.items(unit)[0]]
    }

    /// Whether `unit` may keep company with those in `bin` once `leaver` is out of it: one kind, no rival.
    pub fn suits(&self, unit: usize, bin: usize, leaver: Option<usize>) -> bool {
        let kind = self.kind(unit);
        let company = self.members[bin].iter().find(|&&member| Some(member) != leaver && member != unit);
        company.is_none_or(|&member| self.kind(member) == kind)
            && self.units.rivals(unit).iter().all(|&rival| self.bin_of[rival] != bin || Some(rival) == leaver)
    }

    /// Room that a bin takes with someone in and someone out.
    #[inline]
    fn load(&self, bin: usize, comer: Option<usize>, leaver: Option<usize>) -> (usize, [u64; RESOURCES]) {
        let mut used = self.used[bin];
        let mut head = self.head[bin];
        if let Some(unit) = comer {
            head += self.units.head(unit);
            for &item in self.units.items(unit) {
                for (sum, part) in used.iter_mut().zip(self.instance.room_in(item, bin)) {
                    *sum += u64::from(part);
                }
            }
        }
        if let Some(unit) = leaver {
            head -= self.units.head(unit);
            for &item in self.units.items(unit) {
                for (sum, part) in used.iter_mut().zip(self.instance.room_in(item, bin)) {
                    *sum -= u64::from(part);
                }
            }
        }
        (head, used)
    }

    /// Whether a bin has no room for even the smallest item; `false` proves nothing.
    pub fn is_full(&self, bin: usize) -> bool {
        let limits = &self.instance.bins[bin];
        let least = self.least_room.get(limits.space_type).copied().unwrap_or_default();
        let mut room = self.used[bin].iter().zip(&limits.capacity).zip(least);
        self.head[bin] >= limits.max_head || room.any(|((used, capacity), least)| used + least > *capacity)
    }

    /// Whether `unit` fits into `bin` once `leaver` is out of it.
    pub fn has_room(&self, unit: usize, bin: usize, leaver: Option<usize>) -> bool {
        let limits = &self.instance.bins[bin];
        let (head, used) = self.load(bin, Some(unit), leaver);
        head <= limits.max_head
            && head >= self.instance.min_head(self.kind(unit), bin)
            && used.iter().zip(&limits.capacity).all(|(used, capacity)| used <= capacity)
            && self.may(unit, bin)
            && self.suits(unit, bin, leaver)
    }

    /// Whether the bin keeps enough head, or none, when a unit goes.
    pub fn may_leave(&self, unit: usize) -> bool {
        let Some(bin) = self.bin_of(unit) else { return true };
        let left = self.head[bin] - self.units.head(unit);
        left == 0 || left >= self.instance.min_head(self.kind(unit), bin)
    }

    /// How far a bin is over, as a share of its limits, with someone in and someone out.
    pub fn excess(&self, bin: usize, comer: Option<usize>, leaver: Option<usize>) -> f64 {
        let limits = &self.instance.bins[bin];
        let (head, used) = self.load(bin, comer, leaver);
        used.iter()
            .zip(&limits.capacity)
            .map(|(&used, &capacity)| over(used, capacity))
            .fold(over(head as u64, limits.max_head as u64), f64::max)
    }

    /// How what bins cost for their filling changes when `head` items go from one to another.
    pub fn filling_change(&self, head: usize, from: usize, to: usize) -> f64 {
        if self.instance.even == 0.0 || from == to || self.head[from] < head {
            return 0.0;
        }
        self.instance.head_cost(from, self.head[from] - head) - self.instance.head_cost(from, self.head[from])
            + self.instance.head_cost(to, self.head[to] + head)
            - self.instance.head_cost(to, self.head[to])
    }
}

fn over(used: u64, capacity: u64) -> f64 {
    if used > capacity { (used - capacity) as f64 / (capacity.max(1)) as f64 } else { 0.0 }
}

fn least(room: &[Room]) -> [u64; RESOURCES] {
    let least = |resource: usize| room.iter().map(|own| own[resource]).min().unwrap_or(0);
    std::array::from_fn(|resource| u64::from(least(resource)))
}
