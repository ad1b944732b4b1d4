//! The one file that knows the library: `microlp`, a revised simplex without a clock.

use crate::solve::programme::Programme;
use microlp::{ComparisonOp, Error, OptimizationDirection, Problem};

/// What the library says, not yet checked.
pub(super) enum Found {
    Optimal(Vec<f64>),
    Infeasible,
    Unbounded,
    Failed(String),
}

/// Minimises a programme whose figures are proper.
pub(super) fn minimise(programme: &Programme) -> Found {
    // The library's tolerances are absolute, so rows and columns are brought to sizes near 1 first, by powers
    // of two, which change no digit.
    let scale = Scale::of(programme);
    if programme.columns.iter().any(|column| column.low > column.high) {
        return Found::Infeasible;
    }
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut variables = Vec::with_capacity(programme.columns.len());
    for (column, by) in programme.columns.iter().zip(&scale.columns) {
        variables.push(problem.add_var(column.cost * by, (column.low / by, column.high / by)));
    }
    for (row, by) in programme.rows.iter().zip(&scale.rows) {
        if row.low > row.high || (row.terms.is_empty() && (row.low > 0.0 || row.high < 0.0)) {
            return Found::Infeasible;
        }
        if row.terms.is_empty() {
            continue;
        }
        let mut terms = Vec::with_capacity(row.terms.len());
        for &(column, weight) in &row.terms {
            let (Some(variable), Some(own)) = (variables.get(column), scale.columns.get(column)) else {
                return Found::Failed("a row names a column that is not there".to_owned());
            };
            terms.push((*variable, weight * own * by));
        }
        if row.low == row.high {
            problem.add_constraint(terms, ComparisonOp::Eq, row.low * by);
            continue;
        }
        if row.low.is_finite() {
            problem.add_constraint(terms.as_slice(), ComparisonOp::Ge, row.low * by);
        }
        if row.high.is_finite() {
            problem.add_constraint(terms.as_slice(), ComparisonOp::Le, row.high * by);
        }
    }
    match problem.solve() {
        Ok(solution) => {
            let amounts: Vec<f64> = variables
                .iter()
                .zip(&scale.columns)
                .zip(&programme.columns)
                // What lies a rounding outside a bound is put on it.
                .map(|((variable, by), column)| (solution.var_value(*variable) * by).clamp(column.low, column.high))
                .collect();
            if amounts.iter().all(|amount| amount.is_finite()) {
                Found::Optimal(amounts)
            } else {
                Found::Failed("the answer is not a number".to_owned())
            }
        }
        Err(Error::Infeasible) => Found::Infeasible,
        Err(Error::Unbounded) => Found::Unbounded,
        Err(Error::InternalError(why)) => Found::Failed(why),
    }
}

/// Powers of two for rows and columns.
struct Scale {
    rows: Vec<f64>,
    columns: Vec<f64>,
}

impl Scale {
    fn of(programme: &Programme) -> Self {
        let mut rows = vec![1.0; programme.rows.len()];
        let mut columns = vec![1.0; programme.columns.len()];
        // Twice over rows and columns is near enough.
        for _ in 0..2 {
            for (row, by) in programme.rows.iter().zip(&mut rows) {
                let sizes = row.terms.iter().filter_map(|&(column, weight)| Some(weight * columns.get(column)?));
                *by = middle(sizes);
            }
            let mut sizes: Vec<Vec<f64>> = vec![Vec::new(); columns.len()];
            for (row, by) in programme.rows.iter().zip(&rows) {
                for &(column, weight) in &row.terms {
                    if let Some(sizes) = sizes.get_mut(column) {
                        sizes.push(weight * by);
                    }
                }
            }
            for (by, sizes) in columns.iter_mut().zip(sizes) {
                *by = middle(sizes.into_iter());
            }
        }
        Self { rows, columns }
    }
}

/// The power of two that brings the geometric middle of smallest and largest size near 1.
fn middle(sizes: impl Iterator<Item = f64>) -> f64 {
    let (least, most) = sizes
        .map(f64::abs)
        .filter(|size| *size > 0.0 && size.is_finite())
        .fold((f64::INFINITY, 0.0_f64), |(least, most), size| (least.min(size), most.max(size)));
    if most == 0.0 {
        return 1.0;
    }
    let exponent = -libm::round((libm::log2(least) + libm::log2(most)) / 2.0);
    libm::exp2(exponent.clamp(-60.0, 60.0))
}
