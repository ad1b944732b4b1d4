//! Rules so short that a person can apply them: which bin an item goes to by a few things known of it.
//!
//! | file | what | guarantee | cost |
//! |---|---|---|---|
//! | `deal` | items come one by one, each to its bin or the next with room | never over a limit | items · bins |
//! | `lay` | groups in a row over bins in a row | best where loads are shared out evenly | groups² · bins² |
//! | `points` | points for each value, bins cut on their sum | never worse than one feature's best map | steps |
//! | `tree` | at most three yes/no questions | best of all where that can be tried | questions³ |
//!
//! An item is known by the value of each of a few features. A rule tells it where to start in a row of bins;
//! where that bin has no room it goes on along the row to the first that has, and where none further on has,
//! back from its start. Items come in an order given, so that the same order gives the same bins.

pub mod deal;
pub mod lay;
pub mod points;
pub mod tree;

use crate::solve::instance::Instance;
use deal::Dealer;

/// Items to be dealt into bins by a rule yet to be found.
#[derive(Debug, Clone)]
pub struct Task<'a> {
    /// Loss and limits.
    pub instance: &'a Instance,
    /// The items, in the order in which they come; all of one kind.
    pub order: Vec<usize>,
    /// The bins open to them.
    pub bins: Vec<usize>,
    /// How many values each feature has; values are in an order that means something.
    pub counts: Vec<usize>,
    /// The value of each feature, by place in `order`.
    pub values: Vec<Vec<u8>>,
    /// Where each item lies on one line, by place in `order`: for starts and for screening only.
    pub position: Vec<f64>,
    /// Loss of a unit below an item's position, for screening.
    pub under: f64,
    /// Loss of a unit above it.
    pub over: f64,
}

/// Work that a search may do, counted in losses of one item on one axis.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Steps in all.
    pub steps: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self { steps: 40_000_000 }
    }
}

/// A rule and what it costs the items that it was found for.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted<R> {
    /// The rule.
    pub rule: R,
    /// Its loss, with every bin at its own best levels.
    pub loss: f64,
}

/// Items alike in every feature, which no rule can tell apart.
#[derive(Debug, Clone)]
pub(super) struct Cells {
    /// The features' values.
    pub(super) values: Vec<Vec<u8>>,
    /// The cell of each item, by place in the task's order.
    pub(super) of: Vec<usize>,
}

impl Cells {
    pub(super) fn new(task: &Task<'_>) -> Self {
        let key = |place: usize| -> Vec<u8> { task.values.iter().map(|values| values[place]).collect() };
        let keys: Vec<Vec<u8>> = (0..task.order.len()).map(key).collect();
        let mut values = keys.clone();
        values.sort();
        values.dedup();
        let of = keys.iter().map(|key| values.binary_search(key).unwrap_or_default()).collect();
        Self { values, of }
    }
}

impl Task<'_> {
    /// The steps of one loss with best levels.
    pub(super) fn steps(&self) -> usize {
        self.order.len() * (2 * self.instance.axes() + 4)
    }

    /// The row of bins that suits the items best where nothing but their positions counts.
    pub(super) fn row(&self) -> Vec<usize> {
        lay::row(self)
    }
}

/// The best map from one feature's values to bins, values that need more never starting before those that
/// need less: each value starts at a place in a row of bins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneFeature {
    /// The feature.
    pub feature: usize,
    /// The bins, in a row.
    pub bins: Vec<usize>,
    /// The place in the row at which each value starts.
    pub starts: Vec<usize>,
}

/// Finds the best map of one feature. All maps in the order of the values are tried on the row found for the
/// items' positions, then rows with two bins changed about, as long as that helps.
pub fn one_feature(task: &Task<'_>, feature: usize, effort: Effort) -> Fitted<OneFeature> {
    let mut dealer = Dealer::new(task);
    let row = task.row();
    let values = task.counts[feature];
    let mut best = Fitted {
        loss: f64::INFINITY,
        rule: OneFeature { feature, bins: row.clone(), starts: vec![0; values] },
    };
    let mut left = effort.steps / task.steps().max(1);
    let mut try_rule = |rule: OneFeature, best: &mut Fitted<OneFeature>| {
        let Some(rest) = left.checked_sub(1) else { return false };
        left = rest;
        let loss = dealer.loss(&rule.bins, |place| rule.starts[usize::from(task.values[feature][place])]);
        let better = loss < best.loss - 1e-9;
        if better {
            *best = Fitted { rule, loss };
        }
        better
    };
    let rising = values_rise(task, feature);
    let mut map = vec![0; values];
    loop {
        let starts = if rising { map.clone() } else { map.iter().rev().copied().collect() };
        try_rule(OneFeature { feature, bins: row.clone(), starts }, &mut best);
        if !next_rising(&mut map, row.len()) {
            break;
        }
    }
    while (0..row.len()).any(|a| {
        (a + 1..row.len()).any(|b| {
            let mut rule = best.rule.clone();
            rule.bins.swap(a, b);
            try_rule(rule, &mut best)
        })
    }) {}
    best
}

/// Whether items lie higher with a feature's higher values.
pub(super) fn values_rise(task: &Task<'_>, feature: usize) -> bool {
    let n = task.order.len().max(1) as f64;
    let value = |place: usize| f64::from(task.values[feature][place]);
    let mean_value = (0..task.order.len()).map(value).sum::<f64>() / n;
    let mean = task.position.iter().sum::<f64>() / n;
    (0..task.order.len()).map(|at| (value(at) - mean_value) * (task.position[at] - mean)).sum::<f64>() >= 0.0
}

/// The next map of values to places in which no value starts before the one below it.
fn next_rising(map: &mut [usize], places: usize) -> bool {
    let Some(at) = map.iter().rposition(|&start| start + 1 < places) else { return false };
    let next = map[at] + 1;
    map[at..].fill(next);
    true
}
