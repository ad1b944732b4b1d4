//! Where to look for better prices: cuts of the bound that are known so far, and a pull towards the best.
//!
//! The bound is a concave function of the corrections; every filling that pricing found is a plane above it.
//! Maximising the least of the planes less `pull / 2 · ‖step‖²` (a proximal bundle, one set of planes for each
//! bin type) is, seen from the other side, sharing out weights over the planes, which is done two at a time.

use crate::solve::certificate::prices::Prices;
use crate::solve::certificate::pricing::Filling;

/// Pairwise exchanges in one step.
const EXCHANGES: usize = 4000;
/// The most planes kept for a type; those that carry no weight go first.
const MOST_PLANES: usize = 40;

/// A filling as a plane: what it costs less the starting prices, and what it takes of each correction.
#[derive(Debug, Clone)]
struct Plane {
    /// Of which bin type.
    group: usize,
    offset: f64,
    slope: Vec<f64>,
    weight: f64,
    /// Its slope times that of each plane: exchanges need nothing else of the slopes.
    products: Vec<f64>,
}

/// The planes of all types and the best corrections so far.
#[derive(Debug)]
pub(super) struct Bundle {
    /// What every correction is worth before fillings are taken off.
    ahead: Vec<f64>,
    ahead_offset: f64,
    /// Bins of each type.
    counts: Vec<f64>,
    /// Planes, oldest first.
    planes: Vec<Plane>,
    /// The best corrections so far.
    pub(super) centre: Vec<f64>,
    /// How strongly a step is held back.
    pub(super) pull: f64,
}

impl Bundle {
    /// No plane yet; `ahead` is the sum over all items, `counts` the bins of each type.
    pub(super) fn new(ahead: (Vec<f64>, f64), counts: &[usize]) -> Self {
        Self {
            centre: vec![0.0; ahead.0.len()],
            ahead: ahead.0,
            ahead_offset: ahead.1,
            counts: counts.iter().map(|&count| count as f64).collect(),
            planes: Vec::new(),
            pull: 1.0,
        }
    }

    /// Adds a filling of a type, with `weight` where it is known to be part of a good answer.
    pub(super) fn add(&mut self, group: usize, filling: &Filling, prices: &Prices, weight: f64) {
        let (slope, start) = prices.project(filling.items.iter().copied());
        let mut products = Vec::with_capacity(self.planes.len() + 1);
        for plane in &mut self.planes {
            let product = dot(&plane.slope, &slope);
            plane.products.push(product);
            products.push(product);
        }
        products.push(dot(&slope, &slope));
        self.planes.push(Plane { group, offset: filling.cost - start, slope, weight, products });
    }

    /// The planes of each type.
    fn members(&self) -> Vec<Vec<usize>> {
        let mut members = vec![Vec::new(); self.counts.len()];
        for (at, plane) in self.planes.iter().enumerate() {
            members[plane.group].push(at);
        }
        members
    }

    /// Forgets the oldest planes that carry no weight where a type has too many.
    fn forget(&mut self) {
        let mut spare: Vec<usize> =
            self.members().iter().map(|own| own.len().saturating_sub(MOST_PLANES)).collect();
        let stays: Vec<bool> = self
            .planes
            .iter()
            .map(|plane| {
                let goes = spare[plane.group] > 0 && plane.weight <= 0.0;
                spare[plane.group] -= usize::from(goes);
                !goes
            })
            .collect();
        if stays.iter().all(|stays| *stays) {
            return;
        }
        let keep = |stay: &mut dyn Iterator<Item = &bool>| stay.next().copied().unwrap_or(true);
        let mut stay = stays.iter();
        self.planes.retain(|_| keep(&mut stay));
        for plane in &mut self.planes {
            let mut stay = stays.iter();
            plane.products.retain(|_| keep(&mut stay));
        }
    }

    /// Makes the weights of each type's planes up to the count of its bins; what is missing goes to the newest.
    fn balance(&mut self, members: &[Vec<usize>]) {
        for (&count, own) in self.counts.iter().zip(members) {
            let sum: f64 = own.iter().map(|&at| self.planes[at].weight).sum();
            let Some(&last) = own.last() else { continue };
            self.planes[last].weight += count - sum;
            if self.planes[last].weight < 0.0 {
                self.planes[last].weight = 0.0;
                let sum: f64 = own.iter().map(|&at| self.planes[at].weight).sum();
                for &at in own {
                    self.planes[at].weight *= count / sum;
                }
            }
        }
    }

    /// What the planes leave over of each correction at their weights.
    fn rest(&self) -> Vec<f64> {
        let mut rest = self.ahead.clone();
        for plane in self.planes.iter().filter(|plane| plane.weight > 0.0) {
            take(&mut rest, &plane.slope, plane.weight);
        }
        rest
    }

    /// The best step by what is known: where to look next, and what the planes promise there.
    pub(super) fn step(&mut self) -> (Vec<f64>, f64) {
        self.forget();
        let members = self.members();
        self.balance(&members);
        let rest = self.rest();
        let pull = self.pull;
        // What each plane is worth where the weights lead; an exchange changes it by products alone.
        let mut values: Vec<f64> = self
            .planes
            .iter()
            .map(|plane| plane.offset - dot(&plane.slope, &self.centre) - dot(&plane.slope, &rest) / pull)
            .collect();
        let mut settled = 0;
        for round in 0..EXCHANGES {
            if settled == members.len() {
                break;
            }
            settled += 1;
            let own = &members[round % members.len()];
            let lowest = own.iter().copied().min_by(|&a, &b| values[a].total_cmp(&values[b]));
            let carrying = own.iter().copied().filter(|&at| self.planes[at].weight > 0.0);
            let highest = carrying.max_by(|&a, &b| values[a].total_cmp(&values[b]));
            let (Some(lowest), Some(highest)) = (lowest, highest) else { continue };
            let gain = values[highest] - values[lowest];
            if gain <= 1e-12 * (1.0 + values[lowest].abs()) {
                continue;
            }
            settled = 0;
            let [low, high] = [lowest, highest].map(|at| &self.planes[at]);
            let curve = low.products[lowest] - 2.0 * low.products[highest] + high.products[highest];
            let shift = if curve > 0.0 { (gain * pull / curve).min(high.weight) } else { high.weight };
            for (value, (low, high)) in values.iter_mut().zip(low.products.iter().zip(&high.products)) {
                *value += shift * (low - high) / pull;
            }
            self.planes[lowest].weight += shift;
            let left = &mut self.planes[highest].weight;
            *left = if *left - shift < 1e-12 { 0.0 } else { *left - shift };
        }
        let rest = self.rest();
        let next: Vec<f64> =
            self.centre.iter().zip(&rest).map(|(centre, rest)| centre + rest / pull).collect();
        let promised = self.promised(&next);
        (next, promised)
    }

    /// What the planes say that the bound is at some corrections: never less than it is.
    pub(super) fn promised(&self, corrections: &[f64]) -> f64 {
        let mut lowest = vec![f64::INFINITY; self.counts.len()];
        for plane in &self.planes {
            let least = &mut lowest[plane.group];
            *least = least.min(plane.offset - dot(&plane.slope, corrections));
        }
        let sum: f64 = self.counts.iter().zip(lowest).map(|(count, lowest)| count * lowest).sum();
        self.ahead_offset + dot(&self.ahead, corrections) + sum
    }

    /// The squared length of what the newest filling of each type leaves over: how far coverage is from even.
    pub(super) fn newest_unevenness(&self) -> f64 {
        let mut rest = self.ahead.clone();
        for (count, own) in self.counts.iter().zip(self.members()) {
            if let Some(&newest) = own.last() {
                take(&mut rest, &self.planes[newest].slope, *count);
            }
        }
        dot(&rest, &rest).max(1e-9)
    }
}

/// Takes so much of a slope off a rest.
fn take(rest: &mut [f64], slope: &[f64], weight: f64) {
    for (rest, slope) in rest.iter_mut().zip(slope) {
        *rest -= weight * slope;
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
