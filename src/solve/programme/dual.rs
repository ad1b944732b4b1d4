//! What each limit costs: the multipliers of the dual programme, and strong duality as a figure.

use crate::solve::programme::Programme;
use crate::solve::programme::library::Multipliers;

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
