//! Where little is still to come: the plan itself decides, not its prices.
//!
//! A price is what one place more or fewer costs where many are left to move about. Among a few it is not: one
//! item may turn a bin's level, or fill it. So the item is seated in each bin that is as sure as the best, the
//! rest is planned for with it there, and the bins are ranked by what all comes to.

use crate::solve::exact::{self, Outcome};
use crate::solve::improve::Search;
use crate::solve::instance::{Assignment, Instance};
use crate::solve::online::plan::{Problem, problem};
use crate::solve::online::start::from_last;
use crate::solve::online::{Company, Future, Item, Offer, Online};

/// How much work looking ahead may take, in steps.
#[derive(Debug, Clone, Copy)]
pub struct Ahead {
    /// The most bins that are tried, the cheapest by price first.
    pub bins: usize,
    /// Rounds of polish for each.
    pub rounds: usize,
    /// Up to so many of the sample are searched through,
    pub exact_items: usize,
    /// in so many nodes for each bin.
    pub nodes: usize,
}

impl Ahead {
    /// For the last items of many, between one and the next.
    pub const LAST: Self = Self { bins: 6, rounds: 6, exact_items: 10, nodes: 4_000 };
}

impl Online {
    /// The same bins as [`Self::offers`], those as sure as the first ranked by what all comes to with the item in
    /// each, for a sample of those to come after it that stands for so many. The price is what that is over the
    /// item's own loss, from the least upward.
    pub fn offers_ahead(
        &self,
        item: &Item,
        company: &Company,
        future: &Future,
        (rest, stand_for): (&[Item], usize),
        ahead: Ahead,
    ) -> Vec<Offer> {
        let mut offers = self.offers(item, company, future);
        let alike = match offers.first() {
            Some(first) => offers
                .iter()
                .take(ahead.bins)
                .take_while(|other| self.rank(item, first) == self.rank(item, other))
                .count(),
            None => 0,
        };
        if alike < 2 {
            return offers;
        }
        let mut problem = problem(self, rest, stand_for, Some(item));
        let totals: Option<Vec<f64>> = offers[..alike]
            .iter()
            .map(|offer| {
                problem.seat(self, item, company, offer.bin);
                self.total(&problem, ahead)
            })
            .collect();
        // Where for one of them no plan is found there is nothing to compare: prices decide.
        let Some(totals) = totals else { return offers };
        let beside = |offer: &Offer, total: f64| total - offer.loss;
        let least = offers
            .iter()
            .zip(&totals)
            .map(|(offer, &total)| beside(offer, total))
            .fold(f64::INFINITY, f64::min);
        for (offer, &total) in offers.iter_mut().zip(&totals) {
            offer.price = beside(offer, total) - least;
        }
        offers[..alike]
            .sort_by(|a, b| (a.loss + a.price).total_cmp(&(b.loss + b.price)).then(a.bin.cmp(&b.bin)));
        offers
    }

    /// What all comes to by the best plan that is found for a seated guest, in the measure of items.
    fn total(&self, problem: &Problem, ahead: Ahead) -> Option<f64> {
        let aim = self.aim.as_ref()?;
        let (instance, start) = from_last(problem, aim)?;
        let mut search = Search::new(&instance, &start);
        search.polish(ahead.rounds);
        let mut assignment = search.assignment();
        if instance.items() - problem.groups <= ahead.exact_items {
            assignment = searched(&instance, assignment, ahead.nodes);
        }
        // Whoever finds no room loses what the worst place would cost.
        let out = problem.instance.items() - instance.items();
        let left_out = if out > 0 { out as f64 * self.dearest(problem) } else { 0.0 };
        Some((instance.cost(&assignment) + left_out) / problem.scale)
    }

    /// The most that anybody of the sample would lose in a bin that it may go to, at the last plan's levels.
    fn dearest(&self, problem: &Problem) -> f64 {
        let instance = &problem.instance;
        let loss =
            |item: usize, bin: usize| self.levels(bin).map_or(0.0, |levels| instance.item_loss(item, levels));
        (problem.groups..instance.items())
            .flat_map(|item| {
                (0..instance.bins.len())
                    .filter(move |&bin| instance.may(item, bin))
                    .map(move |bin| (item, bin))
            })
            .map(|(item, bin)| loss(item, bin))
            .fold(0.0, f64::max)
    }
}

fn searched(instance: &Instance, known: Assignment, nodes: usize) -> Assignment {
    match exact::search(instance, Some(&known), nodes) {
        Outcome::Optimal(found) | Outcome::Unfinished(Some(found)) => found,
        Outcome::Impossible | Outcome::Unfinished(None) => known,
    }
}
