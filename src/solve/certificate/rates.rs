//! What a bin's room is charged at, so that those who are still worth it just fit.
//!
//! With the level held, the best filling is a linear programme of two rows: its prices `λ` make
//! `λ·c + Σ max(0, gain − λ·size)` least. One row alone is settled by finding the offer at which the room is used up.
//! Where both bind, that is done for the second row at a rate of the first, which leaves a convex function of one
//! number; two tangents of it cross where to look next, and how far below it could lie at the most (Kelley 1960, in one
//! dimension).

use crate::solve::instance::RESOURCES;
use std::cmp::Ordering;

/// Tangents that are tried for the rate of the first row.
const TANGENTS: usize = 12;

/// Somebody who would gain from a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    /// What is gained before room is charged for; more than nought.
    pub(super) gain: f64,
    /// What is taken of each resource.
    pub(super) room: [f64; RESOURCES],
}

/// A gain for its size, the size, and who: the number decides between equals.
pub(super) type Offer = (f64, f64, usize);

/// Puts the offers that are worth most first and tells where the room is used up; those before it are all served.
fn margin(offers: &mut [Offer], capacity: f64) -> Option<usize> {
    let order = |a: &Offer, b: &Offer| -> Ordering { b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)) };
    let (mut from, mut to, mut left) = (0, offers.len(), capacity);
    while to - from > 1 {
        let middle = from.midpoint(to);
        offers[from..to].select_nth_unstable_by(middle - from, order);
        let sum: f64 = offers[from..middle].iter().map(|offer| offer.1).sum();
        if sum > left {
            to = middle;
        } else {
            left -= sum;
            from = middle;
        }
    }
    (from < to && offers[from].1 > left).then_some(from)
}

/// The rate at which what is offered just fits.
pub(super) fn rate_that_fits(offers: &mut [Offer], capacity: f64) -> f64 {
    margin(offers, capacity).map_or(0.0, |at| offers[at].0)
}

/// The rates of both resources, to within `enough` of the best; `near` is a guess of the first.
pub(super) fn both(
    candidates: &[Candidate],
    capacity: [f64; RESOURCES],
    near: f64,
    enough: f64,
) -> [f64; RESOURCES] {
    let mut rows = Rows { candidates, capacity, offers: Vec::with_capacity(candidates.len()) };
    let mut low = rows.tangent(0.0);
    if low.slope >= 0.0 {
        return low.rates;
    }
    let (first, second_is_free) = rows.first_alone();
    if second_is_free {
        return [first, 0.0];
    }
    let mut high = rows.tangent(first);
    if high.slope <= 0.0 {
        return high.rates;
    }
    let mut next = near;
    for _ in 0..TANGENTS {
        if next > low.rates[0] && next < high.rates[0] {
            let tangent = rows.tangent(next);
            if tangent.slope < 0.0 {
                low = tangent;
            } else {
                high = tangent;
            }
        }
        // Where the tangents cross.
        let apart = high.rates[0] - low.rates[0];
        let ahead = (high.value - low.value - high.slope * apart) / (low.slope - high.slope);
        next = low.rates[0] + ahead;
        if low.value.min(high.value) - (low.value + low.slope * ahead) <= enough {
            break;
        }
    }
    if low.value < high.value { low.rates } else { high.rates }
}

/// The value at rates of which the second is best for the first, and how it changes with the first.
#[derive(Debug, Clone, Copy)]
struct Tangent {
    rates: [f64; RESOURCES],
    value: f64,
    slope: f64,
}

struct Rows<'a> {
    candidates: &'a [Candidate],
    capacity: [f64; RESOURCES],
    offers: Vec<Offer>,
}

impl Rows<'_> {
    /// The rate of the first resource were the second free, and whether those who are then served have room in the
    /// second too: so it is free.
    fn first_alone(&mut self) -> (f64, bool) {
        self.offers.clear();
        let mut used = 0.0;
        for (number, own) in self.candidates.iter().enumerate() {
            if own.room[0] > 0.0 {
                self.offers.push((own.gain / own.room[0], own.room[0], number));
            } else {
                used += own.room[1];
            }
        }
        let Some(at) = margin(&mut self.offers, self.capacity[0]) else { return (0.0, false) };
        let mut left = self.capacity[0];
        for &(_, size, number) in &self.offers[..at] {
            left -= size;
            used += self.candidates[number].room[1];
        }
        let (rate, size, number) = self.offers[at];
        used += (left / size).clamp(0.0, 1.0) * self.candidates[number].room[1];
        (rate, used <= self.capacity[1])
    }

    fn tangent(&mut self, first: f64) -> Tangent {
        self.offers.clear();
        let (mut value, mut used) = (first * self.capacity[0], 0.0);
        for (number, candidate) in self.candidates.iter().enumerate() {
            let net = candidate.gain - first * candidate.room[0];
            if net > 0.0 {
                if candidate.room[1] > 0.0 {
                    self.offers.push((net / candidate.room[1], candidate.room[1], number));
                } else {
                    value += net;
                    used += candidate.room[0];
                }
            }
        }
        let at = margin(&mut self.offers, self.capacity[1]);
        let second = at.map_or(0.0, |at| self.offers[at].0);
        let mut left = self.capacity[1];
        for &(rate, size, number) in &self.offers[..at.unwrap_or(self.offers.len())] {
            value += (rate - second) * size;
            used += self.candidates[number].room[0];
            left -= size;
        }
        if let Some(at) = at {
            let (_, size, number) = self.offers[at];
            used += (left / size).clamp(0.0, 1.0) * self.candidates[number].room[0];
            value += second * self.capacity[1];
        }
        Tangent { rates: [first, second], value, slope: self.capacity[0] - used }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::drawn::problem;

    /// What rates are worth; no rates are worth less than the best filling.
    fn value(candidates: &[Candidate], capacity: [f64; RESOURCES], rates: [f64; RESOURCES]) -> f64 {
        let gains = candidates.iter().map(|own| own.gain - rates[0] * own.room[0] - rates[1] * own.room[1]);
        rates[0] * capacity[0] + rates[1] * capacity[1] + gains.map(|gain| gain.max(0.0)).sum::<f64>()
    }

    #[test]
    fn no_rates_on_a_fine_grid_are_better() {
        for seed in 0..40 {
            let (_, mut below) = problem(seed);
            let mut draw = || 1.0 + below(1000) as f64 / 100.0;
            let candidates: Vec<Candidate> =
                (0..60).map(|_| Candidate { gain: draw(), room: [draw(), draw()] }).collect();
            let capacity = [draw() * 20.0, draw() * 20.0];
            let found = both(&candidates, capacity, 0.3, 1e-6);
            let own = value(&candidates, capacity, found);
            let grid = |step: usize| step as f64 * 0.01;
            let least = (0..400)
                .flat_map(|first| (0..400).map(move |second| [grid(first), grid(second)]))
                .map(|rates| value(&candidates, capacity, rates))
                .fold(f64::INFINITY, f64::min);
            assert!(own <= least + 1e-6, "seed {seed}: {own} at {found:?}, {least}");
        }
    }

    #[test]
    fn offers_are_served_as_if_sorted() {
        for seed in 0..200 {
            let (_, mut below) = problem(seed);
            let mut offers: Vec<Offer> =
                (0..below(40)).map(|number| (below(9) as f64, 1.0 + below(5) as f64, number)).collect();
            let capacity = below(100) as f64;
            let found = rate_that_fits(&mut offers, capacity);
            offers.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
            let mut used = 0.0;
            let over = offers.iter().find(|(_, size, _)| {
                used += size;
                used > capacity
            });
            assert_eq!(found, over.map_or(0.0, |offer| offer.0), "seed {seed}");
        }
    }
}
