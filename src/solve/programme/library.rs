//! The one file that knows the library: `clarabel`, an interior-point solver whose steps are counted.
//!
//! An interior point ends a hair's breadth inside its bounds; what lies that near a bound is put on it.

use crate::arrange::Arrange as _;
use crate::solve::programme::scale::{Scale, on_bounds};
use crate::solve::programme::{Answer, Found, Multipliers, Programme};
use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT::NonnegativeConeT,
    SupportedConeT::ZeroConeT,
};

/// The most steps of the interior point; a programme of this kind takes 8 to 30.
const STEPS: u32 = 200;
/// What is asked of the library: a hundredth of what is asked of its answer.
const TOLERANCE: f64 = 1e-9;

/// What a line of the library's matrix stands for.
#[derive(Clone, Copy)]
enum Line {
    Row(usize, f64),
    Column(usize, f64),
}

/// The matrix, line by line, in the library's form: `line + slack = limit`, equalities first.
#[derive(Default)]
struct Lines {
    of: Vec<Line>,
    entries: Vec<(usize, usize, f64)>,
    limits: Vec<f64>,
}

impl Lines {
    fn add(&mut self, of: Line, terms: &[(usize, f64)], sign: f64, limit: f64) {
        let line = self.of.len();
        self.entries.extend(terms.iter().map(|&(column, weight)| (line, column, sign * weight)));
        self.limits.push(sign * limit);
        self.of.push(of);
    }
}

/// Minimises a programme whose figures are proper and whose limits do not contradict themselves.
pub(super) fn minimise(programme: &Programme) -> Found {
    let scale = Scale::of(programme);
    let width = programme.columns.len();
    let mut lines = Lines::default();
    let sides = sides(programme, &scale);
    for (of, terms, low, high) in &sides {
        if low == high {
            lines.add(of.with(1.0), terms, 1.0, *low);
        }
    }
    let equalities = lines.of.len();
    for (of, terms, low, high) in &sides {
        if low == high {
            continue;
        }
        if low.is_finite() {
            lines.add(of.with(-1.0), terms, -1.0, *low);
        }
        if high.is_finite() {
            lines.add(of.with(1.0), terms, 1.0, *high);
        }
    }
    let costs: Vec<f64> =
        programme.columns.iter().zip(&scale.columns).map(|(column, by)| column.cost * by).collect();
    if lines.of.is_empty() {
        // Nothing limits anything.
        let is_still = costs.iter().all(|cost| *cost == 0.0);
        let multipliers = Multipliers { rows: vec![0.0; programme.rows.len()], columns: vec![0.0; width] };
        return if is_still {
            Found::Optimal(Answer { amounts: vec![0.0; width], multipliers })
        } else {
            Found::Unbounded
        };
    }
    let matrix = matrix(&lines, width);
    let cones = [ZeroConeT(equalities), NonnegativeConeT(lines.of.len() - equalities)];
    let settings = DefaultSettings::<f64> {
        verbose: false,
        max_iter: STEPS,
        tol_gap_abs: TOLERANCE,
        tol_gap_rel: TOLERANCE,
        tol_feas: TOLERANCE,
        ..DefaultSettings::default()
    };
    let none = CscMatrix::zeros((width, width));
    let mut solver = match DefaultSolver::new(&none, &costs, &matrix, &lines.limits, &cones, settings) {
        Ok(solver) => solver,
        Err(why) => return Found::Failed(format!("the solver's library refused it: {why}")),
    };
    solver.solve();
    let multipliers = multipliers(programme, &lines, &solver.solution.z, &scale);
    match solver.solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => {
            let amounts = on_bounds(programme, &solver.solution.x, &scale);
            Found::Optimal(Answer { amounts, multipliers })
        }
        SolverStatus::PrimalInfeasible | SolverStatus::AlmostPrimalInfeasible => {
            Found::Infeasible(multipliers)
        }
        SolverStatus::DualInfeasible | SolverStatus::AlmostDualInfeasible => Found::Unbounded,
        other => Found::Failed(format!("the solver's library gave up: {other:?}")),
    }
}

impl Line {
    /// The same, of its other sign: −1 for a low side.
    const fn with(self, sign: f64) -> Self {
        match self {
            Self::Row(place, _) => Self::Row(place, sign),
            Self::Column(place, _) => Self::Column(place, sign),
        }
    }
}

type Sided = (Line, Vec<(usize, f64)>, f64, f64);

/// Every row and column with its limits, scaled.
fn sides(programme: &Programme, scale: &Scale) -> Vec<Sided> {
    let rows = programme.rows.iter().zip(&scale.rows).enumerate().map(|(place, (row, by))| {
        let terms = row.terms.iter();
        let terms =
            terms.filter_map(|&(column, weight)| Some((column, weight * by * scale.columns.get(column)?)));
        (Line::Row(place, 1.0), terms.collect(), row.low * by, row.high * by)
    });
    let columns = programme.columns.iter().zip(&scale.columns).enumerate().map(|(place, (column, by))| {
        (Line::Column(place, 1.0), vec![(place, 1.0)], column.low / by, column.high / by)
    });
    rows.chain(columns).collect()
}

/// Compressed by columns, as the library wants it.
fn matrix(lines: &Lines, width: usize) -> CscMatrix<f64> {
    let mut entries = lines.entries.clone();
    entries.arrange_by_key(|&(line, column, _)| (column, line));
    let mut starts = vec![0; width + 1];
    for &(_, column, _) in &entries {
        if let Some(start) = starts.get_mut(column + 1) {
            *start += 1;
        }
    }
    let mut sum = 0;
    for start in &mut starts {
        sum += *start;
        *start = sum;
    }
    let rows = entries.iter().map(|entry| entry.0).collect();
    let values = entries.iter().map(|entry| entry.2).collect();
    CscMatrix::new(lines.of.len(), width, starts, rows, values)
}

fn multipliers(programme: &Programme, lines: &Lines, found: &[f64], scale: &Scale) -> Multipliers {
    let mut all =
        Multipliers { rows: vec![0.0; programme.rows.len()], columns: vec![0.0; programme.columns.len()] };
    for (line, multiplier) in lines.of.iter().zip(found) {
        match *line {
            // The library's multipliers charge for a high side.
            Line::Row(place, sign) => {
                if let (Some(own), Some(by)) = (all.rows.get_mut(place), scale.rows.get(place)) {
                    *own -= sign * multiplier * by;
                }
            }
            Line::Column(place, sign) => {
                if let (Some(own), Some(by)) = (all.columns.get_mut(place), scale.columns.get(place)) {
                    *own -= sign * multiplier / by;
                }
            }
        }
    }
    all
}
