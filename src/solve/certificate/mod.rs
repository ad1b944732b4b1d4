//! A certificate: a lower bound by pricing, found step by step, true at every step.
//!
//! Every item is given a price. However items are shared out, the loss is at least the sum of all prices plus,
//! for each bin, the least that any filling can be worth once its items' prices are taken off. That holds for
//! any prices; good ones make it nearly the optimum of the relaxation in which bins may mix fillings. Prices
//! are moved by a proximal bundle ([`bundle`]), each bin's least filling is found over all levels and all
//! fillings within its capacity ([`pricing`], [`rates`]), and days are taken together in two ranges ([`joint`]).
//!
//! What it does not see: the fewest head of a bin, who is tied to whom, and that items come whole.

mod bundle;
mod joint;
mod prices;
mod pricing;
mod rates;

use crate::solve::instance::Instance;
use bundle::Bundle;
use joint::Joint;
use prices::Prices;
use pricing::{Filling, Pricing};

/// How much work to do, counted in steps.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Steps, one new set of prices each.
    pub steps: usize,
    /// Boxes for pricing one bin type and kind.
    pub boxes: usize,
    /// It is near enough when the steps to come promise less than this share.
    pub near: f64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { steps: 60, boxes: 2500, near: 2e-4 }
    }
}

/// Share of a sum that rounding may have added to it.
const ROUNDING: f64 = 1e-9;
/// Boxes for pricing in the first steps.
const ROUGH_BOXES: usize = 400;
/// A step is a gain when it brings this share of what was promised.
const WORTH_MOVING: f64 = 0.15;
/// What the pull is multiplied by after a gain, and where there was none (chosen here, on 7 invented flocks of 1,000).
const GIVES_WAY: f64 = 0.6;
/// The second of the two.
const HOLDS_BACK: f64 = 1.3;
/// So many steps that promise next to nothing end the search.
const IDLE_STEPS: usize = 3;
/// Over so many steps it is seen how fast the value rises (chosen here).
const LOOK_BACK: usize = 12;
/// While the value is far from what is known to be lost, pricing may be off by this share of the difference (chosen here).
const ROUGH: f64 = 0.05;

/// A certificate in the making.
#[derive(Debug)]
pub struct Certificate {
    bins: f64,
    joint: Joint,
    prices: Prices,
    bundle: Bundle,
    effort: Effort,
    /// What the known assignment loses on the joint axes: the bound cannot rise above it.
    ceiling: f64,
    /// The best value of any prices so far.
    value: f64,
    /// That after each step.
    values: Vec<f64>,
    bound: f64,
    steps: usize,
    idle: usize,
    is_done: bool,
}

impl Certificate {
    /// Starts from an assignment that keeps the limits and a bound that holds already.
    pub fn new(instance: &Instance, assignment: &[usize], bound: f64, effort: Effort) -> Self {
        let joint = Joint::new(instance);
        let prices = Prices::new(instance, &joint, assignment);
        let counts: Vec<usize> = joint.types.iter().map(|bin_type| bin_type.bins.len()).collect();
        let ahead = prices.project((0..instance.items()).map(|item| (item, 1.0)));
        let mut bundle = Bundle::new(ahead, &counts);
        let members = instance.members(assignment);
        let mut ceiling = 0.0;
        for (group, bin_type) in joint.types.iter().enumerate() {
            let nothing = Filling { cost: joint.head_cost(bin_type, 0.0), items: Vec::new() };
            bundle.add(group, &nothing, &prices, 0.0);
            // The assignment's own fillings hold the search near what is known.
            for &bin in &bin_type.bins {
                let level = joint.best_level(&members[bin]);
                let own = |&item: &usize| joint.loss(item, &level) + bin_type.place[item];
                let cost = members[bin].iter().map(own).sum::<f64>()
                    + joint.head_cost(bin_type, members[bin].len() as f64);
                ceiling += cost;
                let filling = Filling { cost, items: members[bin].iter().map(|&item| (item, 1.0)).collect() };
                bundle.add(group, &filling, &prices, 1.0);
            }
        }
        let bins = instance.bins.len().max(1) as f64;
        let is_done = instance.items() == 0 || ceiling <= bound;
        let value = f64::NEG_INFINITY;
        let values = Vec::with_capacity(effort.steps);
        Self {
            bins,
            joint,
            prices,
            bundle,
            effort,
            ceiling,
            value,
            values,
            bound,
            steps: 0,
            idle: 0,
            is_done,
        }
    }

    /// The bound so far: no assignment loses less.
    pub fn bound(&self) -> f64 {
        self.bound
    }

    /// Steps done, and the most that there will be.
    pub fn progress(&self) -> (usize, usize) {
        (self.steps, self.effort.steps)
    }

    /// Whether nothing more is to be gained within the effort.
    pub fn is_done(&self) -> bool {
        self.is_done
    }

    /// Tries one more set of prices.
    pub fn step(&mut self) {
        if self.is_done {
            return;
        }
        self.steps += 1;
        if self.steps == 1 {
            let centre = self.bundle.centre.clone();
            self.value = self.evaluate(&centre);
            // A pull at which the first step would go as far as the ceiling calls for.
            self.bundle.pull = self.bundle.newest_unevenness() / (self.ceiling - self.value).max(1e-9);
        } else {
            let (next, promised) = self.bundle.step();
            let value = self.evaluate(&next);
            let hoped = promised - self.value;
            let gained = value - self.value;
            if gained > 0.0 {
                self.value = value;
                self.bundle.centre = next;
            }
            if gained > WORTH_MOVING * hoped {
                self.bundle.pull *= GIVES_WAY;
            } else {
                self.bundle.pull *= HOLDS_BACK;
            }
            if hoped < self.effort.near * self.ceiling {
                self.idle += 1;
                self.bundle.pull *= 0.5;
            } else {
                self.idle = 0;
            }
        }
        self.values.push(self.value);
        // A hair is given away for the rounding of long sums.
        self.bound = self.bound.max(self.value - ROUNDING * self.value.abs());
        self.is_done = self.steps >= self.effort.steps
            || self.idle >= IDLE_STEPS
            || self.is_hopeless()
            || self.ceiling - self.value < self.effort.near * self.ceiling;
    }

    /// Whether the steps that are left would not reach the bound that is known, were each to gain what the last ones
    /// did: they gain less and less, so the whole search would say nothing new.
    fn is_hopeless(&self) -> bool {
        let Some(then) = self.steps.checked_sub(LOOK_BACK + 1).map(|step| self.values[step]) else {
            return false;
        };
        let to_come = (self.effort.steps - self.steps) as f64 / LOOK_BACK as f64;
        self.value + (self.value - then) * to_come < self.bound
    }

    /// How far off the pricing of one bin may be.
    fn tolerance(&self) -> f64 {
        let missing = (self.ceiling - self.value).min(self.ceiling);
        (0.5 * self.effort.near * self.ceiling).max(ROUGH * missing) / self.bins
    }

    /// The bound at some corrections; what pricing found on the way becomes known to the bundle.
    fn evaluate(&mut self, corrections: &[f64]) -> f64 {
        let price = self.prices.at(corrections);
        let mut value: f64 = price.iter().sum();
        for (group, bin_type) in self.joint.types.iter().enumerate() {
            let mut least = self.joint.head_cost(bin_type, 0.0);
            let pricing = Pricing {
                joint: &self.joint,
                bin_type,
                price: &price,
                tolerance: self.tolerance(),
                // Early prices are rough, and so may their pricing be.
                boxes: (self.effort.boxes * self.steps / self.effort.steps).max(ROUGH_BOXES),
            };
            for kind in 0..bin_type.open.len() {
                if bin_type.open[kind].is_empty() {
                    continue;
                }
                let priced = pricing.solve(kind);
                least = least.min(priced.bound);
                if let Some(filling) = priced.filling {
                    self.bundle.add(group, &filling, &self.prices, 0.0);
                }
            }
            value += bin_type.bins.len() as f64 * least;
        }
        value
    }
}
