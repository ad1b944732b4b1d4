//! Rows and columns brought to sizes near 1, and back.

use crate::solve::programme::Programme;

/// What lies this near a bound, in the size of the column, is on it.
const ON_BOUND: f64 = 1e-8;

/// Amounts in their own sizes; what is a hair's breadth from a bound is put on it.
pub(super) fn on_bounds(programme: &Programme, found: &[f64], scale: &Scale) -> Vec<f64> {
    let own = programme.columns.iter().zip(found).zip(&scale.columns);
    own.map(|((column, amount), by)| {
        let near = ON_BOUND * by * amount.abs().max(1.0);
        let amount = (amount * by).clamp(column.low, column.high);
        if amount - column.low <= near {
            column.low
        } else if column.high - amount <= near {
            column.high
        } else {
            amount
        }
    })
    .collect()
}

/// Powers of two that bring rows and columns to sizes near 1 and change no digit.
#[derive(Debug, Clone)]
pub(super) struct Scale {
    pub(super) rows: Vec<f64>,
    pub(super) columns: Vec<f64>,
}

impl Scale {
    pub(super) fn of(programme: &Programme) -> Self {
        let mut rows = vec![1.0; programme.rows.len()];
        let mut columns = vec![1.0; programme.columns.len()];
        // Twice over rows and columns is near enough.
        for _ in 0..2 {
            for (row, by) in programme.rows.iter().zip(&mut rows) {
                let terms = row.terms.iter();
                *by = middle(terms.filter_map(|&(column, weight)| Some(weight * columns.get(column)?)));
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
