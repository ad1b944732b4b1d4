//! What each limit costs, by solving the dual programme in full. The library gives no prices of its own.
//!
//! Every finite side of a row and of a column has a multiplier of 0 or more. The dual asks for the multipliers
//! that add up to each column's cost and whose limits come to the most; that sum is the least cost itself.

use crate::solve::programme::library::{self, Found};
use crate::solve::programme::{Column, Programme, Row};

/// What limits cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// What raising each row's limit by one unit adds to the cost: of the low side where it binds, 0 or more;
    /// of the high side 0 or less.
    pub rows: Vec<f64>,
    /// The same of the columns' bounds: what a forced unit would add to the cost.
    pub columns: Vec<f64>,
    /// How far the dual's sum is from the cost, relative to it: strong duality, checked.
    pub gap: f64,
}

/// A side of a row or column: where its multiplier stands in the dual, what its limit is, and its sign.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side {
    pub(super) of: Of,
    pub(super) limit: f64,
    /// 1 for a low side, −1 for a high one; an equality's multiplier is free and counts as low.
    pub(super) sign: f64,
    pub(super) is_free: bool,
}

/// What a side is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Of {
    Row(usize),
    Column(usize),
}

/// Every finite side.
pub(super) fn sides(programme: &Programme) -> Vec<Side> {
    let mut sides = Vec::new();
    let mut add = |of: Of, low: f64, high: f64| {
        if low == high {
            sides.push(Side { of, limit: low, sign: 1.0, is_free: true });
            return;
        }
        if low.is_finite() {
            sides.push(Side { of, limit: low, sign: 1.0, is_free: false });
        }
        if high.is_finite() {
            sides.push(Side { of, limit: high, sign: -1.0, is_free: false });
        }
    };
    for (place, row) in programme.rows.iter().enumerate() {
        add(Of::Row(place), row.low, row.high);
    }
    for (place, column) in programme.columns.iter().enumerate() {
        add(Of::Column(place), column.low, column.high);
    }
    sides
}

/// One row for each column of `programme`: its multipliers' sum, which must be `right` of it.
pub(super) fn balance(programme: &Programme, sides: &[Side], right: impl Fn(&Column) -> f64) -> Vec<Row> {
    let mut rows: Vec<Row> = programme
        .columns
        .iter()
        .map(|column| {
            Row { name: column.name.clone(), terms: Vec::new(), low: right(column), high: right(column) }
        })
        .collect();
    for (place, side) in sides.iter().enumerate() {
        let mut add = |column: usize, weight: f64| {
            if let Some(row) = rows.get_mut(column).filter(|_| weight != 0.0) {
                row.terms.push((place, side.sign * weight));
            }
        };
        match side.of {
            Of::Row(row) => {
                let terms = programme.rows.get(row).map_or(&[][..], |row| row.terms.as_slice());
                terms.iter().for_each(|&(column, weight)| add(column, weight));
            }
            Of::Column(column) => add(column, 1.0),
        }
    }
    rows
}

/// The prices at an optimum of this cost; nothing where the dual could not be solved.
pub(super) fn prices(programme: &Programme, cost: f64) -> Option<Prices> {
    let sides = sides(programme);
    let mut dual = Programme::default();
    for side in &sides {
        let low = if side.is_free { f64::NEG_INFINITY } else { 0.0 };
        dual.column("", -side.sign * side.limit, low, f64::INFINITY);
    }
    dual.rows = balance(programme, &sides, |column| column.cost);
    let Found::Optimal(multipliers) = library::minimise(&dual) else { return None };
    let mut prices = Prices {
        rows: vec![0.0; programme.rows.len()],
        columns: vec![0.0; programme.columns.len()],
        gap: (cost + dual.cost(&multipliers)).abs() / cost.abs().max(1.0),
    };
    for (side, multiplier) in sides.iter().zip(&multipliers) {
        let price = match side.of {
            Of::Row(place) => prices.rows.get_mut(place),
            Of::Column(place) => prices.columns.get_mut(place),
        };
        if let Some(price) = price {
            *price += side.sign * multiplier;
        }
    }
    Some(prices)
}
