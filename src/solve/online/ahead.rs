//! Where little is still to come: the plan itself decides, not its prices.
//!
//! A price is what one place more or fewer costs where many are left to move about. Among a few it is not: one
//! item may turn a bin's level, or fill it. So the item is seated in each bin that is as sure as the best, the
//! rest is planned for with it there, and the bins are ranked by what all comes to.

use crate::arrange::Arrange as _;
use crate::solve::exact::{self, Outcome};
use crate::solve::improve::Search;
use crate::solve::online::plan::{Problem, problem};
use crate::solve::online::start::from_last;
use crate::solve::online::{Company, Future, Item, Offer, Online, SURE_ENOUGH};

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
        let sure = |offer: &Offer| (offer.risk.max(SURE_ENOUGH), offer.rash);
        let Some(surest) = offers.first().map(sure) else { return offers };
        let alike = offers.iter().take(ahead.bins).take_while(|offer| sure(offer) == surest).count();
        if alike < 2 {
            return offers;
        }
        let mut problem = problem(self, rest, stand_for, Some(item));
        let mut tried: Vec<(Option<f64>, Offer)> = offers[..alike]
            .iter()
            .map(|&offer| {
                problem.seat(self, item, company, offer.bin);
                (self.total(&problem, ahead), offer)
            })
            .collect();
        let beside = |&(total, offer): &(Option<f64>, Offer)| Some(total? - offer.loss);
        let least = tried.iter().filter_map(beside).fold(f64::INFINITY, f64::min);
        let most = tried.iter().filter_map(beside).fold(f64::NEG_INFINITY, f64::max);
        if most < least {
            // No plan is found with it anywhere: prices decide.
            return offers;
        }
        for one in &mut tried {
            // Where the rest does not go in, a place is worth as much as the dearest of the others, or its price.
            one.1.price = beside(one).map_or(one.1.price.max(most - least), |beside| beside - least);
        }
        tried.arrange_by(|(a, at), (b, there)| {
            let or_last = |total: &Option<f64>| total.unwrap_or(f64::INFINITY);
            or_last(a).total_cmp(&or_last(b)).then(at.bin.cmp(&there.bin))
        });
        for (place, (_, offer)) in offers.iter_mut().zip(tried) {
            *place = offer;
        }
        offers
    }

    /// What all comes to by the best plan that is found for a seated guest, in the measure of items.
    fn total(&self, problem: &Problem, ahead: Ahead) -> Option<f64> {
        let polished = self.aim().and_then(|aim| from_last(problem, aim)).map(|(instance, start)| {
            let mut search = Search::new(&instance, &start);
            search.polish(ahead.rounds);
            let assignment = search.assignment();
            (instance, assignment)
        });
        let all = problem.instance.items();
        if all - problem.groups <= ahead.exact_items {
            let known =
                polished.as_ref().filter(|(instance, _)| instance.items() == all).map(|(_, known)| known);
            match exact::search(&problem.instance, known, ahead.nodes) {
                Outcome::Optimal(found) | Outcome::Unfinished(Some(found)) => {
                    return Some(problem.instance.cost(&found) / problem.scale);
                }
                Outcome::Impossible => return None,
                Outcome::Unfinished(None) => {}
            }
        }
        let (instance, assignment) = polished?;
        // Whoever finds no room loses what the worst place would cost.
        let out = all - instance.items();
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
