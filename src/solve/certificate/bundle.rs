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
    offset: f64,
    slope: Vec<f64>,
    weight: f64,
}

/// The planes of all types and the best corrections so far.
#[derive(Debug)]
pub(super) struct Bundle {
    /// What every correction is worth before fillings are taken off.
    ahead: Vec<f64>,
    ahead_offset: f64,
    groups: Vec<(f64, Vec<Plane>)>,
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
            groups: counts.iter().map(|&count| (count as f64, Vec::new())).collect(),
            pull: 1.0,
        }
    }

    /// Adds a filling of a type, with `weight` where it is known to be part of a good answer.
    pub(super) fn add(&mut self, group: usize, filling: &Filling, prices: &Prices, weight: f64) {
        let (slope, start) = prices.project(filling.items.iter().copied());
        self.groups[group].1.push(Plane { offset: filling.cost - start, slope, weight });
    }

    /// The best step by what is known: where to look next, and what the planes promise there.
    pub(super) fn step(&mut self) -> (Vec<f64>, f64) {
        let centre = self.centre.clone();
        for (count, planes) in &mut self.groups {
            if planes.len() > MOST_PLANES {
                planes.retain({
                    let mut spare = planes.len() - MOST_PLANES;
                    move |plane: &Plane| {
                        let goes = spare > 0 && plane.weight <= 0.0;
                        spare -= usize::from(goes);
                        !goes
                    }
                });
            }
            // Weights make up the count of bins; what is missing goes to the newest plane.
            let sum: f64 = planes.iter().map(|plane| plane.weight).sum();
            if let Some(last) = planes.last_mut() {
                last.weight += *count - sum;
                if last.weight < 0.0 {
                    let count = *count;
                    last.weight = 0.0;
                    let sum: f64 = planes.iter().map(|plane| plane.weight).sum();
                    for plane in planes.iter_mut() {
                        plane.weight *= count / sum;
                    }
                }
            }
        }
        let mut rest = self.ahead.clone();
        for plane in self.groups.iter().flat_map(|(_, planes)| planes) {
            if plane.weight > 0.0 {
                for (rest, slope) in rest.iter_mut().zip(&plane.slope) {
                    *rest -= plane.weight * slope;
                }
            }
        }
        let pull = self.pull;
        let mut settled = 0;
        for round in 0..EXCHANGES {
            if settled == self.groups.len() {
                break;
            }
            settled += 1;
            let group = round % self.groups.len();
            let planes = &mut self.groups[group].1;
            let value =
                |plane: &Plane| plane.offset - dot(&plane.slope, &centre) - dot(&plane.slope, &rest) / pull;
            let values: Vec<f64> = planes.iter().map(value).collect();
            let lowest = (0..planes.len()).min_by(|&a, &b| values[a].total_cmp(&values[b]));
            let highest = (0..planes.len())
                .filter(|&at| planes[at].weight > 0.0)
                .max_by(|&a, &b| values[a].total_cmp(&values[b]));
            let (Some(lowest), Some(highest)) = (lowest, highest) else { continue };
            let gain = values[highest] - values[lowest];
            if gain <= 1e-12 * (1.0 + values[lowest].abs()) {
                continue;
            }
            settled = 0;
            let curve: f64 =
                planes[lowest].slope.iter().zip(&planes[highest].slope).map(|(a, b)| (a - b) * (a - b)).sum();
            let most = planes[highest].weight;
            let shift = if curve > 0.0 { (gain * pull / curve).min(most) } else { most };
            for (at, rest) in rest.iter_mut().enumerate() {
                *rest -= shift * (planes[lowest].slope[at] - planes[highest].slope[at]);
            }
            planes[lowest].weight += shift;
            planes[highest].weight -= shift;
            if planes[highest].weight < 1e-12 {
                planes[highest].weight = 0.0;
            }
        }
        let next: Vec<f64> = centre.iter().zip(&rest).map(|(centre, rest)| centre + rest / pull).collect();
        let promised = self.promised(&next);
        (next, promised)
    }

    /// What the planes say that the bound is at some corrections: never less than it is.
    pub(super) fn promised(&self, corrections: &[f64]) -> f64 {
        let lowest = |planes: &[Plane]| {
            planes
                .iter()
                .map(|plane| plane.offset - dot(&plane.slope, corrections))
                .fold(f64::INFINITY, f64::min)
        };
        let sum: f64 = self.groups.iter().map(|(count, planes)| count * lowest(planes)).sum();
        self.ahead_offset + dot(&self.ahead, corrections) + sum
    }

    /// The squared length of what the newest filling of each type leaves over: how far coverage is from even.
    pub(super) fn newest_unevenness(&self) -> f64 {
        let mut rest = self.ahead.clone();
        for (count, planes) in &self.groups {
            if let Some(plane) = planes.last() {
                for (rest, slope) in rest.iter_mut().zip(&plane.slope) {
                    *rest -= count * slope;
                }
            }
        }
        dot(&rest, &rest).max(1e-9)
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
