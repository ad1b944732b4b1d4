//! What each limit costs: the multipliers of the dual programme, and strong duality as a figure.

use crate::solve::programme::{Multipliers, Programme};

/// What limits cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// What raising each row's limit by one unit adds to the cost: of the low side where it binds, 0 or more;
    /// of the high side 0 or less. Where several limits meet in one point it is one of several right figures;
    /// `margin` finds their ends.
    pub rows: Vec<f64>,
    /// The same of the columns' bounds: what a forced unit would add to the cost.
    pub columns: Vec<f64>,
    /// How far the dual's sum is from the cost, relative to it: strong duality, checked.
    pub gap: f64,
}

/// The prices at an optimum of this cost. The dual's sum is reckoned here from the limits themselves.
pub(super) fn prices(programme: &Programme, multipliers: Multipliers, cost: f64) -> Prices {
    let Multipliers { rows, columns } = multipliers;
    let charge = |low: f64, high: f64, price: f64| {
        let limit = if price > 0.0 { low } else { high };
        // A side that is not there charges nothing; what the multiplier has there is rounding.
        if limit.is_finite() { price * limit } else { 0.0 }
    };
    let of_rows = programme.rows.iter().zip(&rows).map(|(row, price)| charge(row.low, row.high, *price));
    let of_columns =
        programme.columns.iter().zip(&columns).map(|(column, price)| charge(column.low, column.high, *price));
    let sum: f64 = of_rows.chain(of_columns).sum();
    Prices { rows, columns, gap: (cost - sum).abs() / cost.abs().max(1.0) }
}

/// By how much, against the sizes that were added up, a proof of impossibility must exceed nothing. What is less
/// impossible than that may be rounding, and the library looks at it.
const SURELY: f64 = 1e-7;
/// What is left of a column in such a sum, against its parts, where its bound does not charge for it.
const ROUNDING: f64 = 1e-10;

/// Whether multipliers prove that nothing keeps all limits: with a column's multiplier as what its rows leave, they add
/// up to "nothing is at least so much". Reckoned from the programme alone.
pub(super) fn proves(programme: &Programme, multipliers: &Multipliers) -> bool {
    let mut left = vec![(0.0_f64, 0.0_f64); programme.columns.len()];
    let (mut sum, mut size) = (0.0, 0.0_f64);
    let mut charge = |low: f64, high: f64, multiplier: f64| {
        let limit = if multiplier > 0.0 { low } else { high };
        if multiplier != 0.0 {
            sum += multiplier * limit;
            size = size.max((multiplier * limit).abs()).max(multiplier.abs());
        }
        limit.is_finite() || multiplier == 0.0
    };
    for (row, multiplier) in programme.rows.iter().zip(&multipliers.rows) {
        if !charge(row.low, row.high, *multiplier) {
            return false;
        }
        for &(column, weight) in &row.terms {
            if let Some((own, most)) = left.get_mut(column) {
                *own += multiplier * weight;
                *most = most.max((multiplier * weight).abs());
            }
        }
    }
    for (column, (own, most)) in programme.columns.iter().zip(left) {
        let is_rounding = own.abs() <= ROUNDING * most;
        if !charge(column.low, column.high, if is_rounding { 0.0 } else { -own }) {
            return false;
        }
    }
    sum > SURELY * size
}
