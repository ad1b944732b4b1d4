//! Which limits cannot hold together.
//!
//! By Farkas: where nothing keeps all limits, some multiples of them add up to "nothing is at least one". The
//! solver gives such multiples; limits that have a part in them are then left out one after the other as long
//! as the rest still cannot hold (the deletion filter, Chinneck and Dravnieks 1991).

use crate::solve::programme::{Multipliers, Programme, Quick, quick};

/// Limits that cannot hold together; leave out any one, and the rest can.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Conflict {
    /// Rows, by place.
    pub rows: Vec<usize>,
    /// Columns whose bounds take part, by place.
    pub columns: Vec<usize>,
}

/// Multipliers below this share of the largest are rounding.
const NOTHING: f64 = 1e-7;

/// A limit that contradicts itself, where there is one.
pub(super) fn contradiction(programme: &Programme) -> Option<Conflict> {
    if let Some(place) = programme.columns.iter().position(|column| column.low > column.high) {
        return Some(Conflict { rows: Vec::new(), columns: vec![place] });
    }
    let alone = programme
        .rows
        .iter()
        .position(|row| row.low > row.high || (row.terms.is_empty() && (row.low > 0.0 || row.high < 0.0)));
    alone.map(|place| Conflict { rows: vec![place], columns: Vec::new() })
}

/// The smallest conflict within the limits that have a part in the proof; nothing where they do not conflict
/// after all.
pub(super) fn narrowed(programme: &Programme, proof: &Multipliers) -> Option<Conflict> {
    let part = |multipliers: &[f64]| -> Vec<usize> {
        let most = multipliers.iter().fold(0.0_f64, |most, multiplier| most.max(multiplier.abs()));
        let parts = multipliers.iter().enumerate();
        parts.filter(|(_, multiplier)| multiplier.abs() > NOTHING * most).map(|(place, _)| place).collect()
    };
    let all = |count: usize| (0..count).collect::<Vec<_>>();
    let whole = Conflict { rows: all(programme.rows.len()), columns: all(programme.columns.len()) };
    let proved = Conflict { rows: part(&proof.rows), columns: part(&proof.columns) };
    let start = [proved, whole].into_iter().find(|conflict| is_conflict(programme, conflict))?;
    let mut found = start.clone();
    for row in start.rows {
        let less = Conflict { rows: without(&found.rows, row), ..found.clone() };
        if is_conflict(programme, &less) {
            found = less;
        }
    }
    for column in start.columns {
        let less = Conflict { columns: without(&found.columns, column), ..found.clone() };
        if is_conflict(programme, &less) {
            found = less;
        }
    }
    Some(found)
}

fn without(places: &[usize], left_out: usize) -> Vec<usize> {
    places.iter().copied().filter(|place| *place != left_out).collect()
}

/// Whether these limits alone cannot hold: by the least sum of what the rows must give way, which there always is.
fn is_conflict(programme: &Programme, limits: &Conflict) -> bool {
    let mut giving = Programme::default();
    for (place, column) in programme.columns.iter().enumerate() {
        let (low, high) = if limits.columns.contains(&place) {
            (column.low, column.high)
        } else {
            (f64::NEG_INFINITY, f64::INFINITY)
        };
        giving.column("", 0.0, low, high);
    }
    let mut size = 1.0_f64;
    for row in limits.rows.iter().filter_map(|place| programme.rows.get(*place)) {
        let by = row.terms.iter().fold(0.0_f64, |most, term| most.max(term.1.abs()));
        if by == 0.0 {
            continue;
        }
        let mut terms: Vec<(usize, f64)> =
            row.terms.iter().map(|&(column, weight)| (column, weight / by)).collect();
        if row.low.is_finite() {
            terms.push((giving.column("", 1.0, 0.0, f64::INFINITY), 1.0));
            size = size.max((row.low / by).abs());
        }
        if row.high.is_finite() {
            terms.push((giving.column("", 1.0, 0.0, f64::INFINITY), -1.0));
            size = size.max((row.high / by).abs());
        }
        giving.row("", terms, row.low / by, row.high / by);
    }
    match quick(&giving) {
        Quick::Optimal(optimum) => optimum.cost > NOTHING * size,
        Quick::Infeasible(_) => true,
        _ => false,
    }
}
