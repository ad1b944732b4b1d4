//! What limits cost, and at what price a feed that is not used would be.
//!
//! Both are of the ration before it is weighed out and, where it could be weighed, "with this choice of feeds": the
//! feeds chosen stay, and no other comes in.

use crate::ration::recipe::a_tonne;
use crate::ration::rule::Key;
use crate::ration::settle::Ration;
use crate::solve::programme::margin::{Bound, entry, reach, slopes};
use crate::solve::programme::{Optimum, Programme, Status, solve};

/// How far a limit is moved to see what it costs, as a share of it or of 1 (chosen here; common practice,
/// no source).
const STEP: f64 = 1e-3;
/// kg of an unused feed forced in to see what it is worth: what can be weighed out at the least (common practice,
/// no source).
const FORCED_KG: f64 = 0.05;
/// Costs below this are rounding, pence (chosen here; common practice, no source).
const NOTHING: f64 = 1e-4;

/// What a limit costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// Which.
    pub key: Key,
    /// What one more unit of the limit's figure adds to the cost, pence a ewe a day, below and above where it
    /// stands; the same twice where there is one price. Nothing on a side where no ration is left.
    pub pence: [Option<f64>; 2],
    /// By how much the limit's figure may go down and up with these prices, in its own unit; infinite where there is no
    /// end. Nothing for a share of the ration, whose limit is no single figure of the programme, and on a side where no
    /// ration is left.
    pub holds: [Option<f64>; 2],
}

/// A feed that is not used.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its place among the feeds asked.
    pub feed: usize,
    /// The price of a tonne below which 50 g of it pays; nothing where so much cannot be fed at all.
    pub below: Option<f64>,
    /// kg fresh a day that would then be fed, at a price just below.
    pub kg: f64,
}

/// The programme with the chosen feeds alone, and its optimum.
fn chosen(ration: &Ration) -> Option<(Programme, Optimum)> {
    let mut programme = ration.recipe.programme.clone();
    // What is missed stays missed as it is, and costs nothing: prices are of feed alone.
    let others = programme.columns.iter_mut().zip(&ration.amounts).skip(ration.recipe.parts.len());
    for (column, missed) in others.filter(|(column, _)| column.cost > 0.0) {
        column.cost = 0.0;
        column.high = *missed;
    }
    if ration.is_weighed {
        for (column, kg) in programme.columns.iter_mut().zip(&ration.amounts).take(ration.recipe.parts.len())
        {
            if *kg <= 0.0 {
                column.high = 0.0;
            }
        }
    }
    match solve(&programme) {
        Status::Optimal(optimum) => Some((programme, optimum)),
        _ => None,
    }
}

/// What each limit that costs anything costs, dearest first.
pub fn costs(ration: &Ration) -> Vec<Cost> {
    let Some((programme, optimum)) = chosen(ration) else { return Vec::new() };
    let mut costs = Vec::new();
    for (rule, row) in ration.recipe.rules.iter().zip(&ration.recipe.rows) {
        let Some(row) = *row else { continue };
        let price = optimum.prices.rows.get(row).copied().unwrap_or(0.0);
        let is_low = rule.low.is_some() && (price > 0.0 || rule.high.is_none());
        let (bound, limit) = match (rule.low, rule.high) {
            (Some(low), Some(high)) if low == high => (Bound::Both, low),
            (Some(low), _) if is_low => (Bound::Low, low),
            (_, high) => (Bound::High, high.unwrap_or(0.0)),
        };
        // A share's row stands at 0 whatever its limit; it is moved by the ration's own size.
        let by =
            if rule.per.is_some() { STEP * ration.whole.dm.max(0.1) } else { STEP * limit.abs().max(1.0) };
        let sides = slopes(&programme, row, bound, by, optimum.cost);
        if sides.iter().flatten().any(|slope| slope.abs() * by > NOTHING) {
            // The row of a share counts in what it is a share of.
            let unit = rule.per.map_or(1.0, |per| per(&ration.whole));
            let holds = |is_up: bool, slope: Option<f64>| {
                let slope = slope.filter(|_| rule.per.is_none())?;
                Some(reach(&programme, row, bound, by, is_up, slope))
            };
            costs.push(Cost {
                key: rule.key,
                pence: sides.map(|side| side.map(|pence| pence * unit)),
                holds: [holds(false, sides[0]), holds(true, sides[1])],
            });
        }
    }
    costs
}

/// Feeds that may be fed and are not, with the price at which each would be.
pub fn entries(ration: &Ration) -> Vec<Entry> {
    let Some((programme, optimum)) = chosen(ration) else { return Vec::new() };
    let mut entries = Vec::new();
    for (place, (part, kg)) in ration.recipe.parts.iter().zip(&ration.amounts).enumerate() {
        let Some(feed) = part.feed.filter(|_| *kg <= 0.0) else { continue };
        let mut open = programme.clone();
        if let Some(column) = open.columns.get_mut(place) {
            column.high = part.most;
        }
        let forced = FORCED_KG.min(part.most);
        let worth = if forced > 0.0 { entry(&open, place, forced, optimum.cost) } else { None };
        let kg = worth.map_or(0.0, |worth| at_price(&open, place, worth - NOTHING.max(1e-3 * worth.abs())));
        entries.push(Entry { feed, below: worth.map(a_tonne), kg });
    }
    entries
}

/// kg of a column that are used at a cost.
fn at_price(programme: &Programme, place: usize, cost: f64) -> f64 {
    let mut priced = programme.clone();
    if let Some(column) = priced.columns.get_mut(place) {
        column.cost = cost;
    }
    match solve(&priced) {
        Status::Optimal(optimum) => optimum.amounts.get(place).copied().unwrap_or(0.0),
        _ => 0.0,
    }
}
