//! Linear programmes with named rows: the least cost, what each limit costs, and why there is no answer.
//!
//! | file | what |
//! |---|---|
//! | `simplex`, `tableau` | programmes of a ration's size, and many in a row that differ in bounds alone |
//! | `library` | the one file that knows the solver's library: large ones, and whatever the above does not prove |
//! | `shared` | several programmes that draw on the same stores |
//! | `scale` | rows and columns brought to like sizes, and back |
//! | `dual` | prices, and strong duality as a figure |
//! | `conflict` | rows that cannot hold together, as few as can be |
//! | `margin` | what a limit costs on either side of where it stands; at what price a column enters |
//! | `practical` | amounts that can be weighed: nothing or at least so much, in steps, few at a time |
//!
//! "Infeasible" is only said with a proof: multipliers of rows and bounds that add up to nonsense.

mod conflict;
mod dual;
mod library;
pub mod margin;
pub mod practical;
mod scale;
pub(crate) mod shared;
mod simplex;
mod tableau;
#[cfg(test)]
mod tests;

pub use conflict::Conflict;
pub use dual::Prices;

pub(crate) use simplex::Stand;

/// Largest fault of a row or bound, relative to its size, that an answer may have.
pub const NEAR: f64 = 1e-6;

/// Rows times columns up to which a dense table is the quicker way (measured here; common practice, no source).
const DENSE: usize = 400_000;

/// A quantity to choose.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// What a unit of it costs.
    pub cost: f64,
    /// Least; minus infinity for none.
    pub low: f64,
    /// Most; infinity for none.
    pub high: f64,
}

/// A limit on a weighted sum of columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// Columns and their weights; a column stands here once at most.
    pub terms: Vec<(usize, f64)>,
    /// Least; minus infinity for none.
    pub low: f64,
    /// Most; infinity for none.
    pub high: f64,
}

/// Minimise the cost of the columns within bounds and rows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Programme {
    /// What is chosen.
    pub columns: Vec<Column>,
    /// What limits it.
    pub rows: Vec<Row>,
}

/// How it ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Status {
    /// The least cost.
    Optimal(Optimum),
    /// Nothing keeps all rows and bounds, with the proof.
    Infeasible(Conflict),
    /// The cost has no least.
    Unbounded,
    /// The library gave no answer that stands up to checking, in words.
    Failed(String),
}

/// The least cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Optimum {
    /// What it comes to.
    pub cost: f64,
    /// Each column's amount.
    pub amounts: Vec<f64>,
    /// What each limit costs.
    pub prices: Prices,
}

impl Row {
    /// What the row's sum comes to.
    pub fn sum(&self, amounts: &[f64]) -> f64 {
        self.terms.iter().map(|&(column, weight)| weight * amounts.get(column).copied().unwrap_or(0.0)).sum()
    }

    /// What the size of a fault is measured by.
    fn scale(&self, amounts: &[f64]) -> f64 {
        let terms = self.terms.iter();
        let sizes =
            terms.map(|&(column, weight)| (weight * amounts.get(column).copied().unwrap_or(0.0)).abs());
        sizes.fold(1.0, f64::max)
    }
}

impl Programme {
    /// Adds a column; its place.
    pub fn column(&mut self, name: impl Into<String>, cost: f64, low: f64, high: f64) -> usize {
        self.columns.push(Column { name: name.into(), cost, low, high });
        self.columns.len() - 1
    }

    /// Adds a row; its place. Weights of 0 are left out.
    pub fn row(
        &mut self,
        name: impl Into<String>,
        terms: impl IntoIterator<Item = (usize, f64)>,
        low: f64,
        high: f64,
    ) -> usize {
        let terms = terms.into_iter().filter(|(_, weight)| *weight != 0.0).collect();
        self.rows.push(Row { name: name.into(), terms, low, high });
        self.rows.len() - 1
    }

    /// What amounts cost.
    pub fn cost(&self, amounts: &[f64]) -> f64 {
        self.columns.iter().zip(amounts).map(|(column, amount)| column.cost * amount).sum()
    }

    /// The largest relative fault of any row or bound at these amounts; 0 where all hold.
    pub fn fault(&self, amounts: &[f64]) -> f64 {
        let rows = self.rows.iter().map(|row| {
            let sum = row.sum(amounts);
            (row.low - sum).max(sum - row.high).max(0.0) / row.scale(amounts)
        });
        let bounds = self.columns.iter().zip(amounts).map(|(column, amount)| {
            (column.low - amount).max(amount - column.high).max(0.0) / amount.abs().max(1.0)
        });
        rows.chain(bounds).fold(0.0, f64::max)
    }

    /// What is wrong with the programme itself, in words.
    fn malformed(&self) -> Option<String> {
        let finite = |values: &[f64]| values.iter().all(|value| value.is_finite());
        for column in &self.columns {
            if !finite(&[column.cost]) || column.low.is_nan() || column.high.is_nan() {
                return Some(format!("column {} has no proper figures", column.name));
            }
        }
        for row in &self.rows {
            let known = row.terms.iter().all(|&(column, _)| column < self.columns.len());
            let weights: Vec<f64> = row.terms.iter().map(|term| term.1).collect();
            let mut places: Vec<usize> = row.terms.iter().map(|term| term.0).collect();
            places.sort_unstable();
            let once = places.windows(2).all(|pair| pair.first() != pair.last());
            if !known || !once || !finite(&weights) || row.low.is_nan() || row.high.is_nan() {
                return Some(format!("row {} has no proper figures", row.name));
            }
        }
        None
    }
}

/// Solves it.
pub fn solve(programme: &Programme) -> Status {
    match quick(programme) {
        Quick::Optimal(optimum) => Status::Optimal(optimum),
        Quick::Infeasible(Infeasible::Itself(conflict)) => Status::Infeasible(conflict),
        Quick::Infeasible(Infeasible::Proved(proof)) => match conflict::narrowed(programme, &proof) {
            Some(conflict) => Status::Infeasible(conflict),
            None => Status::Failed("it was called impossible, but no proof of that was found".to_owned()),
        },
        Quick::Unbounded => Status::Unbounded,
        Quick::Failed(why) => Status::Failed(why),
    }
}

/// How it ended, the conflict not yet narrowed.
pub(crate) enum Quick {
    Optimal(Optimum),
    Infeasible(Infeasible),
    Unbounded,
    Failed(String),
}

/// What there is to prove it.
pub(crate) enum Infeasible {
    /// A limit contradicts itself.
    Itself(Conflict),
    /// Multipliers.
    Proved(Multipliers),
}

/// What a solver says, not yet checked.
enum Found {
    Optimal(Answer),
    /// Multipliers of rows and columns that prove it.
    Infeasible(Multipliers),
    Unbounded,
    Failed(String),
}

/// Amounts and prices.
struct Answer {
    amounts: Vec<f64>,
    multipliers: Multipliers,
}

/// One for each row and column: above 0 of its low side, below 0 of its high side.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Multipliers {
    rows: Vec<f64>,
    columns: Vec<f64>,
}

/// Solves it without narrowing a conflict down: for many solves in a row.
pub(crate) fn quick(programme: &Programme) -> Quick {
    if let Some(why) = programme.malformed() {
        return Quick::Failed(why);
    }
    if programme.rows.len() * programme.columns.len() > DENSE {
        return by_library(programme);
    }
    quick_from(programme, &mut Stand::new(programme))
}

/// Solves a programme that differs in the bounds of columns alone from the one that the stand was made of, beginning
/// where that one was left.
pub(crate) fn quick_from(programme: &Programme, stand: &mut Stand) -> Quick {
    if let Some(conflict) = conflict::contradiction(programme) {
        return Quick::Infeasible(Infeasible::Itself(conflict));
    }
    match stand.minimise(programme) {
        Some(Found::Optimal(answer)) => {
            if let checked @ Quick::Optimal(_) = checked(programme, answer) {
                return checked;
            }
        }
        Some(Found::Infeasible(proof)) if dual::proves(programme, &proof) => {
            return Quick::Infeasible(Infeasible::Proved(proof));
        }
        _ => {}
    }
    // What does not stand up to checking is solved from nothing, and its place is no place to begin from.
    *stand = Stand::new(programme);
    by_library(programme)
}

fn checked(programme: &Programme, Answer { amounts, multipliers }: Answer) -> Quick {
    let (fault, cost) = (programme.fault(&amounts), programme.cost(&amounts));
    let prices = dual::prices(programme, multipliers, cost);
    if fault.is_nan() || fault > NEAR {
        Quick::Failed(format!("the answer breaks a limit by {fault:.1e} of its size"))
    } else if prices.gap.is_nan() || prices.gap > NEAR {
        Quick::Failed(format!("the answer is not proved the least: {:.1e} of it is open", prices.gap))
    } else {
        Quick::Optimal(Optimum { cost, amounts, prices })
    }
}

fn by_library(programme: &Programme) -> Quick {
    if let Some(conflict) = conflict::contradiction(programme) {
        return Quick::Infeasible(Infeasible::Itself(conflict));
    }
    match library::minimise(programme) {
        Found::Optimal(answer) => checked(programme, answer),
        Found::Infeasible(proof) => Quick::Infeasible(Infeasible::Proved(proof)),
        Found::Unbounded => {
            // What is impossible may look as if it had no least; without costs only the first is left.
            let mut costless = programme.clone();
            costless.columns.iter_mut().for_each(|column| column.cost = 0.0);
            match library::minimise(&costless) {
                Found::Infeasible(proof) => Quick::Infeasible(Infeasible::Proved(proof)),
                Found::Optimal(_) => Quick::Unbounded,
                _ => Quick::Failed("it has no least, or no answer: which, was not found out".to_owned()),
            }
        }
        Found::Failed(why) => Quick::Failed(why),
    }
}
