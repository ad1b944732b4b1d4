//! Finding the ration: the main forage by trying each, then amounts that can be weighed.
//!
//! The rumen works at the level of the need, not of the ration found: where the need is missed, protein is reckoned a
//! little too high.

use crate::arrange::Arrange as _;
use crate::feed::protein::{self, Protein, Rumen};
use crate::ration::asked::{Asked, Held, Way};
use crate::ration::content::Content;
use crate::ration::limit::{self, weighed};
use crate::ration::recipe::{BLEND, MAIN_FORAGE, Recipe, allowed, recipe};
use crate::ration::rule::{Key, Rule, Strength};
use crate::solve::programme::practical::{Grain, Practical, Weighed, handling, weigh};
use crate::solve::programme::{Conflict, Optimum, Quick, Status, quick, solve};

/// Most programmes solved for amounts that can be weighed (chosen here; common practice, no source).
const SOLVES: u32 = 400;
/// Pence that such amounts may be off the best (chosen here; common practice, no source).
const NEAR_PENCE: f64 = 0.2;
/// A limit this near its figure binds, as a share of it (chosen here; common practice, no source).
pub(super) const BINDS: f64 = 1e-6;

/// How it ended.
#[derive(Debug)]
pub enum Outcome {
    /// A ration inside every hard limit; needs may be missed.
    Fed(Box<Ration>),
    /// Nothing keeps the hard limits: those that cannot hold together, in words, and the feeds in their way.
    Impossible {
        /// Names of limits.
        limits: Vec<String>,
        /// Names of feeds whose own limit takes part.
        feeds: Vec<String>,
    },
    /// No feed on the farm may be fed this way.
    NoFeed,
    /// The solver gave no answer that stands up to checking.
    Failed(String),
}

/// A ration.
#[derive(Debug, Clone)]
pub struct Ration {
    pub(super) recipe: Recipe,
    /// kg fresh of each part.
    pub(super) amounts: Vec<f64>,
    /// The common mix: kg of each feed that it was made of.
    pub(super) mix: Option<Vec<(usize, f64)>>,
    /// Pence a ewe a day, feed alone.
    pub pence: f64,
    /// What it is charged for needs missed.
    pub charged: f64,
    /// The same before amounts that can be weighed: feed alone.
    pub exact_pence: f64,
    /// What it would be charged in those amounts.
    pub exact_charged: f64,
    /// Whether the amounts can be weighed.
    pub is_weighed: bool,
    /// Programmes solved for that.
    pub solves: u32,
    /// Whether those amounts are proved within a fifth of a penny of the best.
    pub is_proved: bool,
    /// How far the dual's sum was from the cost: strong duality.
    pub duality_gap: f64,
    /// Feed that is always there and so is not weighed out, by its place among the feeds; the mix is none.
    pub always_there: Option<usize>,
    /// What it brings in all.
    pub whole: Content,
}

/// Where a limit stands in a ration.
#[derive(Debug, Clone)]
pub struct Standing {
    /// The limit.
    pub rule: Rule,
    /// The ration's figure.
    pub figure: f64,
    /// How far it is missed, in its own unit; 0 where it holds.
    pub missed: f64,
    /// Whether the ration stands against it.
    pub binds: bool,
}

impl Ration {
    /// kg fresh of each feed by its place among the feeds asked, the mix taken apart; those fed alone.
    pub fn feeds(&self) -> Vec<(usize, f64)> {
        let mut feeds: Vec<(usize, f64)> = Vec::new();
        let mut add = |feed: usize, kg: f64| {
            if kg > 0.0 {
                match feeds.iter_mut().find(|(own, _)| *own == feed) {
                    Some((_, sum)) => *sum += kg,
                    None => feeds.push((feed, kg)),
                }
            }
        };
        for (feed, kg) in self.mixed() {
            add(feed, kg);
        }
        for (feed, kg) in self.apart() {
            add(feed, kg);
        }
        feeds.arrange_by_key(|(feed, _)| *feed);
        feeds
    }

    /// kg fresh of each feed in the common mix.
    pub fn mixed(&self) -> Vec<(usize, f64)> {
        let Some(mix) = &self.mix else { return Vec::new() };
        let whole: f64 = mix.iter().map(|(_, kg)| kg).sum();
        let parts = self.recipe.parts.iter().zip(&self.amounts);
        let eaten: f64 = parts.filter(|(part, _)| part.feed.is_none()).map(|(_, kg)| kg).sum();
        let by = if whole > 0.0 { eaten / whole } else { 0.0 };
        mix.iter().map(|(feed, kg)| (*feed, kg * by)).collect()
    }

    /// kg fresh of each feed outside a common mix.
    pub fn apart(&self) -> Vec<(usize, f64)> {
        let parts = self.recipe.parts.iter().zip(&self.amounts);
        parts.filter_map(|(part, kg)| Some((part.feed?, *kg))).filter(|(_, kg)| *kg > 0.0).collect()
    }

    /// Where each limit stands.
    pub fn standings(&self) -> Vec<Standing> {
        let frame = &self.recipe.frame;
        let standing = |rule: &Rule| {
            let figure = rule.figure(&self.whole, frame)?;
            let missed = rule.missed(&self.whole, frame);
            let near = |limit: Option<f64>| {
                limit.is_some_and(|limit| (figure - limit).abs() <= BINDS * 10.0 * limit.abs().max(1.0))
            };
            let size = rule.low.or(rule.high).unwrap_or(0.0).abs().max(1.0);
            let missed = if missed <= BINDS * 10.0 * size { 0.0 } else { missed };
            Some(Standing {
                rule: *rule,
                figure,
                missed,
                binds: missed > 0.0 || near(rule.low) || near(rule.high),
            })
        };
        self.recipe.rules.iter().filter_map(standing).collect()
    }

    /// How far the worst hard limit is broken, as a share of it; 0 where all hold.
    pub fn fault(&self) -> f64 {
        let hard = self.recipe.rules.iter().filter(|rule| rule.strength == Strength::Hard);
        let faults = hard.map(|rule| {
            let size = rule.low.or(rule.high).unwrap_or(0.0).abs().max(1.0);
            rule.missed(&self.whole, &self.recipe.frame) / size
        });
        let parts = self.recipe.parts.iter().zip(&self.amounts);
        let over = parts.map(|(part, kg)| (kg - part.most).max(-kg).max(0.0) / kg.abs().max(1.0));
        faults.chain(over).fold(0.0, f64::max)
    }

    /// The protein that it supplies.
    pub fn protein(&self) -> Protein {
        protein::supplied(self.whole.fme, self.whole.erdp, self.whole.dup, self.recipe.frame.rumen)
    }

    /// Degradable protein as a share of what its energy can use.
    pub fn degradable_share(&self) -> f64 {
        let can = self.recipe.frame.rumen.yield_g_per_mj * self.whole.fme;
        if can > 0.0 { self.whole.erdp / can } else { 0.0 }
    }

    /// The rumen that it was reckoned in.
    pub fn rumen(&self) -> Rumen {
        self.recipe.frame.rumen
    }

    /// Feeds of concentrate a day that its amount takes.
    pub fn feeds_a_day(&self) -> u32 {
        let feeds = self.whole.concentrate / crate::ration::limit::CONCENTRATE_A_FEED;
        libm::ceil(feeds - BINDS).max(0.0) as u32
    }

    /// What it is charged in all, to the last gram where it was found so: feed, and needs missed.
    pub(super) fn objective(&self) -> f64 {
        self.exact_pence + self.exact_charged
    }

    /// What a key's limit misses, in its own unit.
    pub fn missed(&self, key: Key) -> f64 {
        let rule = self.recipe.rules.iter().find(|rule| rule.key == key);
        rule.map_or(0.0, |rule| rule.missed(&self.whole, &self.recipe.frame))
    }
}

/// The cheapest ration in amounts that can be weighed.
pub fn settle(asked: &Asked) -> Outcome {
    settled(asked, true)
}

/// The cheapest ration in amounts to the last gram.
pub fn settle_exactly(asked: &Asked) -> Outcome {
    settled(asked, false)
}

fn settled(asked: &Asked, to_weigh: bool) -> Outcome {
    let mix = match (asked.way, asked.mix_for) {
        (Way::TopUp, _) if !asked.held.mix.is_empty() => Some(asked.held.mix.clone()),
        (Way::TopUp, Some((me, mp))) => {
            let common = Asked { way: Way::Mixed, me, mp, mix_for: None, last_week: None, ..asked.clone() };
            match settled(&common, to_weigh) {
                Outcome::Fed(ration) => Some(ration.apart()),
                other => return other,
            }
        }
        _ => None,
    };
    let rumen = Rumen::at(asked.me.value() / asked.maintenance.value().max(f64::MIN_POSITIVE));
    // How much concentrate fills depends on the main forage, so each forage is tried as that one, and must then
    // bring most. The cheapest of these is the cheapest of all.
    let mut best: Option<(Recipe, Optimum, usize, f64)> = None;
    let (mut infeasible, mut failed) = (None, None);
    for main in candidates(asked, mix.as_deref()) {
        let recipe = recipe(asked, rumen, main, mix.as_deref(), 0.0);
        match quick(&recipe.programme) {
            Quick::Optimal(optimum) => {
                let before = &asked.held.before;
                let is_new = !before.is_empty() && !before.contains(&main);
                let cost = optimum.cost + if is_new { limit::NEW_FORAGE } else { 0.0 };
                if best.as_ref().is_none_or(|(.., other)| cost < *other) {
                    best = Some((recipe, optimum, main, cost));
                }
            }
            Quick::Infeasible(_) => infeasible = infeasible.or(Some(recipe)),
            Quick::Unbounded => return Outcome::Failed("the cost has no least".to_owned()),
            Quick::Failed(why) => failed = failed.or(Some(Outcome::Failed(why))),
        }
    }
    let Some((exact, optimum, main, _)) = best else {
        // Which limits conflict is only looked for where it will be said.
        if let Some(failed) = failed {
            return failed;
        }
        // Of a mix that was made for another pen a ewe may not get full before she has had all that she can eat.
        if let Some(mix) = mix.filter(|_| !asked.held.is_by_weight) {
            let held = Held { mix, is_by_weight: true, ..asked.held.clone() };
            return settled(&Asked { held, ..asked.clone() }, to_weigh);
        }
        return match infeasible.map(|recipe| (solve(&recipe.programme), recipe)) {
            Some((Status::Infeasible(conflict), recipe)) => impossible(&recipe, &conflict),
            Some((Status::Failed(why), _)) => Outcome::Failed(why),
            _ => Outcome::NoFeed,
        };
    };
    let always = exact.always_there(asked, &optimum.amounts);
    let unfilled = if always.is_none() && !asked.is_restricted { weighed::UNFILLED } else { 0.0 };
    let rounded = to_weigh.then(|| {
        let recipe = recipe(asked, rumen, main, mix.as_deref(), unfilled);
        let found = weighed_out(asked, &recipe, always);
        (recipe, found)
    });
    let (exact_pence, exact_charged) = (exact.pence(&optimum.amounts), exact.charged(&optimum.amounts));
    let duality_gap = optimum.prices.gap;
    let (recipe, amounts, is_weighed, solves, is_proved) = match rounded {
        Some((recipe, found)) => match found.found {
            Some((amounts, _)) => (recipe, amounts, true, found.solves, found.is_proved),
            None => (exact, optimum.amounts, false, found.solves, found.is_proved),
        },
        None => (exact, optimum.amounts, false, 0, false),
    };
    let (pence, charged, whole) = (recipe.pence(&amounts), recipe.charged(&amounts), recipe.whole(&amounts));
    let always_there = always.and_then(|place| recipe.parts.get(place)).and_then(|part| part.feed);
    Outcome::Fed(Box::new(Ration {
        recipe,
        amounts,
        mix,
        pence,
        charged,
        exact_pence,
        exact_charged,
        is_weighed,
        solves,
        is_proved,
        duality_gap,
        always_there,
        whole,
    }))
}

/// Amounts that can be weighed. Where a plan asks for many rations, minerals are measured last: they are little, and
/// steps of them would take most of the work.
fn weighed_out(asked: &Asked, recipe: &Recipe, always: Option<usize>) -> Weighed {
    let grains = recipe.grains(asked, always);
    let before = recipe.columns_of(&asked.held.before);
    let wanted = Practical {
        programme: &recipe.programme,
        grains: &grains,
        most_used: asked.most_straights,
        solves: asked.held.solves.unwrap_or(SOLVES),
        near: NEAR_PENCE,
        before: &before,
    };
    let Some(_) = asked.held.solves else {
        let found = weigh(&wanted);
        if found.is_proved {
            return found;
        }
        // What was not proved is tried the quick way too: minerals are so many steps that the search may end before it
        // has come to limestone for pennies.
        let quickly = measured_last(recipe, &wanted, &grains);
        let cost = |found: &Weighed| found.found.as_ref().map_or(f64::INFINITY, |(_, cost)| *cost);
        return if cost(&quickly) < cost(&found) { quickly } else { found };
    };
    let found = measured_last(recipe, &wanted, &grains);
    if found.found.is_some() { found } else { weigh(&wanted) }
}

/// The same with minerals measured last.
fn measured_last(recipe: &Recipe, wanted: &Practical<'_>, grains: &[Option<Grain>]) -> Weighed {
    let large: Vec<Option<Grain>> = grains.iter().map(|grain| grain.filter(|grain| grain.counts)).collect();
    let mut found = weigh(&Practical { grains: &large, ..*wanted });
    let Some((amounts, cost)) = &found.found else { return found };
    let round = |amount: f64, grain: &Grain| grain.step * libm::round(amount / grain.step);
    let down = |amount: f64, grain: &Grain| grain.step * libm::floor(amount / grain.step + BINDS);
    let up = |amount: f64, grain: &Grain| grain.step * libm::ceil(amount / grain.step - BINDS);
    let mut best: Option<(Vec<f64>, f64)> = None;
    for measure in [up, round, down] {
        let mut fixed = recipe.programme.clone();
        for ((column, amount), grain) in fixed.columns.iter_mut().zip(amounts).zip(grains) {
            if let Some(grain) = grain {
                let amount = if grain.counts { round(*amount, grain) } else { measure(*amount, grain) };
                // What is left of a store may end between two steps.
                let amount = if amount > column.high { down(column.high, grain) } else { amount };
                (column.low, column.high) = (amount, amount);
            }
        }
        if let Quick::Optimal(optimum) = quick(&fixed) {
            let measured = optimum.cost + handling(grains, &optimum.amounts);
            if best.as_ref().is_none_or(|(_, other)| measured < *other) {
                best = Some((optimum.amounts, measured));
            }
        }
    }
    found.is_proved &= best.as_ref().is_some_and(|(_, measured)| *measured <= cost + NEAR_PENCE);
    found.found = best;
    found
}

/// Forages that may be the main one, the most eaten first; with a common mix, the one that brings most to it.
fn candidates(asked: &Asked, mix: Option<&[(usize, f64)]>) -> Vec<usize> {
    let feed = |place: usize| asked.feeds.get(place).map(|stocked| &stocked.feed);
    let is_forage = |place: usize| feed(place).is_some_and(|feed| feed.class.is_forage());
    if let Some(mix) = mix {
        let dm = |place: usize, kg: f64| feed(place).map_or(0.0, |feed| feed.values.dry_share() * kg);
        let forages = mix.iter().filter(|(place, _)| is_forage(*place));
        let most = forages.max_by(|a, b| dm(a.0, a.1).total_cmp(&dm(b.0, b.1)).then(b.0.cmp(&a.0)));
        return most.map(|(place, _)| *place).into_iter().collect();
    }
    let appetite = |place: &usize| feed(*place).and_then(|feed| feed.appetite).unwrap_or(0.0);
    let mut forages: Vec<usize> = allowed(asked).into_iter().filter(|place| is_forage(*place)).collect();
    forages.arrange_by(|a, b| appetite(b).total_cmp(&appetite(a)).then(a.cmp(b)));
    forages
}

fn impossible(recipe: &Recipe, conflict: &Conflict) -> Outcome {
    let name = |row: &usize| recipe.programme.rows.get(*row).map(|row| row.name.clone());
    let feeds = conflict.columns.iter().filter_map(|column| recipe.parts.get(*column));
    // That nothing is fed in less than nothing is no limit of a feed.
    let limited = feeds.filter(|part| part.most.is_finite());
    let mut limits: Vec<String> = conflict.rows.iter().filter_map(name).collect();
    limits.retain(|name| name != MAIN_FORAGE && name != BLEND);
    Outcome::Impossible { limits, feeds: limited.map(|part| part.name.clone()).collect() }
}
