//! The cheapest filling of one bin at given prices of the items: a lower bound for all levels and fillings.
//!
//! A filling takes items of one kind within capacity; its value is their loss less their prices. The levels
//! are searched by boxes, best first. Inside a box the loss of an item is at least the sum of straight lines
//! (exact unless her need lies in the box), capacity is charged at a rate of the box's own, and a sum of
//! `min(0, straight line)` is least at a corner: so every box has a true bound, for levels that are continuous
//! and items taken in part. Nothing is priced on a grid.

use crate::arrange::ascend;
use crate::solve::certificate::joint::{BinType, Joint, MOST_AXES, Point};
use crate::solve::certificate::rates::{Candidate, both};
use crate::solve::instance::RESOURCES;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// How near to the best rates it is worth to come, as a part of the tolerance (chosen here).
const NEAR_RATES: f64 = 0.1;
/// So many who find no whole place end a filling (chosen here).
const MOST_PARTED: usize = 20;
/// Corners of a box.
const CORNERS: usize = 1 << MOST_AXES;

/// A filling: what it costs and how much of each item it takes.
#[derive(Debug, Clone)]
pub(super) struct Filling {
    /// Loss, place and head together.
    pub(super) cost: f64,
    /// Items and the part of each.
    pub(super) items: Vec<(usize, f64)>,
}

/// The outcome of pricing one bin type and kind.
#[derive(Debug)]
pub(super) struct Priced {
    /// No filling is worth less.
    pub(super) bound: f64,
    /// The best filling found.
    pub(super) filling: Option<Filling>,
}

/// What capacity is charged at: each resource, then a head.
#[derive(Debug, Clone, Copy)]
struct Rates {
    room: [f64; RESOURCES],
    head: f64,
}

struct LevelBox {
    bound: f64,
    number: usize,
    low: Point,
    high: Point,
    rates: Rates,
    items: Vec<usize>,
}

impl PartialEq for LevelBox {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for LevelBox {}

impl PartialOrd for LevelBox {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for LevelBox {
    /// The lowest bound first out of a heap; of equals the older.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound).then(other.number.cmp(&self.number))
    }
}

/// One pricing problem.
pub(super) struct Pricing<'a> {
    pub(super) joint: &'a Joint,
    pub(super) bin_type: &'a BinType,
    /// Price of each item.
    pub(super) price: &'a [f64],
    /// How near the bound must come to the best filling.
    pub(super) tolerance: f64,
    /// The most boxes.
    pub(super) boxes: usize,
}

impl Pricing<'_> {
    /// Prices the items of a kind.
    pub(super) fn solve(&self, kind: usize) -> Priced {
        let items = &self.bin_type.open[kind];
        let mut best: Option<(f64, Filling)> = None;
        let mut heap = BinaryHeap::new();
        let mut low = self.joint.low;
        let mut high = self.joint.high;
        for axis in 0..self.joint.axes {
            let needs = || items.iter().map(|&item| self.joint.need[item][axis]);
            let (least, most) =
                (needs().fold(f64::INFINITY, f64::min), needs().fold(f64::NEG_INFINITY, f64::max));
            // No level outside the needs is better than the nearest need.
            let (floor, ceiling) = (low[axis], high[axis]);
            low[axis] = least.clamp(floor, ceiling);
            high[axis] = most.clamp(low[axis], ceiling);
        }
        let root = LevelBox {
            bound: f64::NEG_INFINITY,
            number: 0,
            low,
            high,
            rates: Rates { room: [0.0; RESOURCES], head: -self.joint.even },
            items: items.clone(),
        };
        let mut number = 0;
        self.push(root, &mut heap, &mut best);
        let mut settled = f64::INFINITY;
        while let Some(next) = heap.pop() {
            let found = best.as_ref().map_or(f64::INFINITY, |(value, _)| *value);
            if next.bound >= found - self.tolerance || number + 2 > self.boxes {
                settled = next.bound.min(found);
                break;
            }
            let axis = (0..self.joint.axes)
                .max_by(|&a, &b| {
                    (next.high[a] - next.low[a]).total_cmp(&(next.high[b] - next.low[b])).then(b.cmp(&a))
                })
                .unwrap_or(0);
            let middle = f64::midpoint(next.low[axis], next.high[axis]);
            for upper in [false, true] {
                number += 1;
                let mut child = LevelBox {
                    bound: next.bound,
                    number,
                    low: next.low,
                    high: next.high,
                    rates: next.rates,
                    items: next.items.clone(),
                };
                if upper {
                    child.low[axis] = middle;
                } else {
                    child.high[axis] = middle;
                }
                self.push(child, &mut heap, &mut best);
            }
        }
        let found = best.as_ref().map_or(f64::INFINITY, |(value, _)| *value);
        Priced { bound: settled.min(found), filling: best.map(|(_, filling)| filling) }
    }

    /// Bounds a box and keeps it; looks for a filling at its middle.
    fn push(&self, mut node: LevelBox, heap: &mut BinaryHeap<LevelBox>, best: &mut Option<(f64, Filling)>) {
        let inherited = self.bound(&node.low, &node.high, &node.items, node.rates);
        node.bound = node.bound.max(inherited);
        let found = best.as_ref().map_or(f64::INFINITY, |(value, _)| *value);
        if node.bound < found - self.tolerance {
            self.drop_idle(&mut node);
            let mut middle = [0.0; MOST_AXES];
            for (at, (low, high)) in middle.iter_mut().zip(node.low.iter().zip(&node.high)) {
                *at = f64::midpoint(*low, *high);
            }
            let own: Vec<f64> = node
                .items
                .iter()
                .map(|&item| self.joint.loss(item, &middle) + self.bin_type.place[item] - self.price[item])
                .collect();
            let rates = self.rates(&node.items, &own, node.rates);
            let bound = self.bound(&node.low, &node.high, &node.items, rates);
            if bound > node.bound {
                node.bound = bound;
                node.rates = rates;
            }
            if let Some((value, filling)) = self.fill(&node.items, &own, rates)
                && best.as_ref().is_none_or(|(least, _)| value < *least)
            {
                *best = Some((value, filling));
            }
        }
        let found = best.as_ref().map_or(f64::INFINITY, |(value, _)| *value);
        if node.bound < found {
            heap.push(node);
        }
    }

    /// What the charges give back: capacity at its rates.
    fn charged(&self, rates: Rates) -> f64 {
        let room: f64 = rates
            .room
            .iter()
            .zip(&self.bin_type.capacity)
            .map(|(rate, capacity)| if *rate > 0.0 { rate * capacity } else { 0.0 })
            .sum();
        let even = self.joint.even;
        let head = if rates.head <= even {
            rates.head * self.bin_type.fair_head
        } else {
            even * self.bin_type.fair_head + (rates.head - even) * self.bin_type.max_head
        };
        room + head
    }

    fn charge(&self, item: usize, rates: Rates) -> f64 {
        let room = &self.bin_type.room[item];
        rates.head + rates.room[0] * room[0] + rates.room[1] * room[1]
    }

    /// No filling at a level in the box is worth less.
    fn bound(&self, low: &Point, high: &Point, items: &[usize], rates: Rates) -> f64 {
        let mut sums = [0.0; CORNERS];
        let corners = 1 << self.joint.axes;
        for &item in items {
            let value = self.charge(item, rates) + self.bin_type.place[item] - self.price[item];
            let values = self.at_corners(item, value, low, high);
            for (sum, value) in sums[..corners].iter_mut().zip(values) {
                *sum += value.min(0.0);
            }
        }
        sums[..corners].iter().copied().fold(f64::INFINITY, f64::min) - self.charged(rates)
    }

    /// `value` plus an item's loss, at the least, at each corner of a box.
    fn at_corners(&self, item: usize, value: f64, low: &Point, high: &Point) -> [f64; CORNERS] {
        let mut values = [0.0; CORNERS];
        values[0] = value;
        for axis in 0..self.joint.axes {
            let need = self.joint.need[item][axis];
            let [under, over] = self.joint.slopes[item][axis];
            // Where the need lies inside, nought is the best line that both ends agree on.
            let (at_low, at_high) = if need <= low[axis] {
                (over * (low[axis] - need), over * (high[axis] - need))
            } else if need >= high[axis] {
                (under * (need - low[axis]), under * (need - high[axis]))
            } else {
                (0.0, 0.0)
            };
            for corner in 0..1 << axis {
                values[corner + (1 << axis)] = values[corner] + at_high;
                values[corner] += at_low;
            }
        }
        values
    }

    /// Forgets items that are worth nothing at any level in the box, whatever the charges.
    fn drop_idle(&self, node: &mut LevelBox) {
        let (low, high) = (node.low, node.high);
        let corners = 1 << self.joint.axes;
        node.items.retain(|&item| {
            let value = self.bin_type.place[item] - self.price[item] - self.joint.even;
            self.at_corners(item, value, &low, &high)[..corners].iter().any(|value| *value < 0.0)
        });
    }

    /// Rates at which what is wanted just fits; `own` is each item's value uncharged.
    fn rates(&self, items: &[usize], own: &[f64], mut rates: Rates) -> Rates {
        let by_head = self.joint.even > 0.0 || (items.len() as f64) > self.bin_type.max_head;
        let mut candidates = Vec::with_capacity(items.len());
        // Room and heads are charged for in turn, where heads count at all.
        for _ in 0..if by_head { 2 } else { 1 } {
            candidates.clear();
            let mut all = [0.0; RESOURCES];
            for (&item, own) in items.iter().zip(own) {
                let gain = -(own + rates.head);
                if gain > 0.0 {
                    let room = self.bin_type.room[item];
                    all.iter_mut().zip(room).for_each(|(all, room)| *all += room);
                    candidates.push(Candidate { gain, room });
                }
            }
            // More room than all take together is no limit.
            let capacity =
                std::array::from_fn(|resource| self.bin_type.capacity[resource].min(all[resource]));
            rates.room = both(&candidates, capacity, rates.room[0], NEAR_RATES * self.tolerance);
            if by_head {
                rates.head = self.head_rate(items, own, rates);
            }
        }
        rates
    }

    /// The rate of a head at which as many are wanted as may be, or as are fair.
    fn head_rate(&self, items: &[usize], own: &[f64], rates: Rates) -> f64 {
        let even = self.joint.even;
        let uncharged = Rates { head: 0.0, ..rates };
        let values = items.iter().zip(own).map(|(&item, own)| own + self.charge(item, uncharged));
        let mut values: Vec<(f64, usize)> = values.zip(0..).collect();
        ascend(&mut values);
        // At a rate, those are wanted who gain more; the rate is raised past each in turn until few enough are.
        let rate_for = |head: f64| values.get(libm::floor(head.max(0.0)) as usize).map(|(value, _)| -value);
        match rate_for(self.bin_type.fair_head) {
            _ if even == 0.0 => rate_for(self.bin_type.max_head).unwrap_or(0.0).max(0.0),
            Some(rate) if rate <= even => rate.max(-even),
            None => -even,
            Some(_) => rate_for(self.bin_type.max_head).unwrap_or(even).max(even),
        }
    }

    /// A filling at one level within capacity, the most wanted first, the last in part.
    fn fill(&self, items: &[usize], own: &[f64], rates: Rates) -> Option<(f64, Filling)> {
        let charged = items.iter().zip(own).map(|(&item, &own)| own + self.charge(item, rates));
        let mut wanted: Vec<(f64, usize)> =
            charged.zip(0..).filter(|&(charged, place)| charged <= 0.0 || own[place] < 0.0).collect();
        ascend(&mut wanted);
        let mut left = self.bin_type.capacity;
        let mut head_left = self.bin_type.max_head;
        let mut taken = Vec::new();
        let mut parted = 0;
        let (mut value, mut cost, mut head) = (0.0, 0.0, 0.0);
        for (_, place) in wanted {
            let (item, own) = (items[place], own[place]);
            let room = &self.bin_type.room[item];
            let part = (0..RESOURCES)
                .map(|resource| if room[resource] > 0.0 { left[resource] / room[resource] } else { 1.0 })
                .fold(head_left.min(1.0), f64::min);
            if part <= 0.0 {
                // Where one resource is used up, some of the other may be left for those who take little of the first.
                parted += 1;
                if parted > MOST_PARTED {
                    break;
                }
                continue;
            }
            for (left, room) in left.iter_mut().zip(room) {
                *left -= part * room;
            }
            head_left -= part;
            head += part;
            value += part * own;
            cost += part * (own + self.price[item]);
            taken.push((item, part));
            parted += usize::from(part < 1.0);
        }
        if taken.is_empty() {
            return None;
        }
        let filling = self.joint.head_cost(self.bin_type, head);
        Some((value + filling, Filling { cost: cost + filling, items: taken }))
    }
}
