//! Which limits cannot hold together.
//!
//! By Farkas: where nothing keeps all limits, some multiples of them add up to "nothing is at least one". The
//! corners of the set of such multipliers are exactly the conflicts of which no part is one
//! (Gleeson and Ryan 1990), and the simplex ends in a corner.

use crate::solve::programme::dual::{Of, balance, sides};
use crate::solve::programme::library::{self, Found};
use crate::solve::programme::{NEAR, Programme};

/// Limits that cannot hold together; leave out any one, and the rest can.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conflict {
    /// Rows, by place, with their multipliers: above 0 of the low side, below 0 of the high one.
    pub rows: Vec<(usize, f64)>,
    /// Columns whose bounds take part, likewise.
    pub columns: Vec<(usize, f64)>,
}

/// Multipliers below this share of the largest are rounding.
const NOTHING: f64 = 1e-9;

/// The conflict in a programme; nothing where there is none, or none that stands up to checking.
pub fn conflict(programme: &Programme) -> Option<Conflict> {
    // A limit may contradict itself.
    if let Some(place) = programme.columns.iter().position(|column| column.low > column.high) {
        return Some(Conflict { rows: Vec::new(), columns: vec![(place, 1.0)] });
    }
    let alone = programme
        .rows
        .iter()
        .position(|row| row.low > row.high || (row.terms.is_empty() && (row.low > 0.0 || row.high < 0.0)));
    if let Some(place) = alone {
        return Some(Conflict { rows: vec![(place, 1.0)], columns: Vec::new() });
    }
    let sides = sides(programme);
    let mut farkas = Programme { rows: balance(programme, &sides, |_| 0.0), ..Programme::default() };
    let mut worth = Vec::new();
    for (place, side) in sides.iter().enumerate() {
        let low = if side.is_free { f64::NEG_INFINITY } else { 0.0 };
        farkas.column("", if side.is_free { 0.0 } else { 1.0 }, low, f64::INFINITY);
        worth.push((place, side.sign * side.limit));
    }
    farkas.row("worth", worth.iter().copied(), 1.0, 1.0);
    let Found::Optimal(multipliers) = library::minimise(&farkas) else { return None };
    if farkas.fault(&multipliers) > NEAR {
        return None;
    }
    let most = multipliers.iter().fold(0.0_f64, |most, multiplier| most.max(multiplier.abs()));
    let mut found = Conflict::default();
    for (side, multiplier) in sides.iter().zip(multipliers) {
        if multiplier.abs() <= NOTHING * most {
            continue;
        }
        match side.of {
            Of::Row(place) => found.rows.push((place, side.sign * multiplier)),
            Of::Column(place) => found.columns.push((place, side.sign * multiplier)),
        }
    }
    Some(found)
}
