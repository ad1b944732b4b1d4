//! Rules so short that a person can apply them: which bin an item goes to by a few things known of it.
//!
//! | file | what | guarantee | cost |
//! |---|---|---|---|
//! | `deal` | items come one by one, each to its bin or the next with room | never over a limit | items · bins |
//! | `lay` | groups in a row over bins in a row | best where loads are shared out evenly | groups² · bins² |
//! | `points` | points for each value, bins cut on their sum | never worse than one feature's best map | steps |
//! | `tally` | what items lose where they were dealt to | exact | items · axes |
//! | `tree` | at most three yes/no questions | best of all where that can be tried | questions³ |
//!
//! An item is known by the value of each of a few features. A rule tells it where to start in a row of bins;
//! where that bin has no room it goes on along the row to the first that has, and where none further on has,
//! back from its start. Items come in an order given, so that the same order gives the same bins.

pub mod deal;
pub mod lay;
pub mod points;
mod tally;
pub mod tree;

use crate::arrange::Arrange as _;
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
        values.arrange_by(Ord::cmp);
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

/// The most maps that are tried one by one.
const MOST_MAPS: usize = 300;

/// Finds the best map of one feature. From the map that the screen finds, on the row of bins that it finds,
/// values move by one place and bins change about as long as that helps; where there are few enough maps, all
/// in the order of the values are tried on that row first.
pub fn one_feature(task: &Task<'_>, feature: usize, effort: Effort) -> Fitted<OneFeature> {
    let mut dealer = Dealer::new(task);
    let mut left = effort.steps / task.steps().max(1);
    let mut loss = |rule: &OneFeature| {
        left = left.checked_sub(1)?;
        Some(dealer.loss(&rule.bins, |place| rule.starts[usize::from(task.values[feature][place])]))
    };
    let rising = values_rise(task, feature);
    let bins = task.row();
    let starts = laid(task, feature, &bins, rising);
    let first = OneFeature { feature, bins, starts };
    let mut best = Fitted { loss: loss(&first).unwrap_or(f64::INFINITY), rule: first };
    let mut keep = |rule: OneFeature, best: &mut Fitted<OneFeature>| {
        let better = loss(&rule).filter(|&loss| loss < best.loss * (1.0 - 1e-9));
        if let Some(loss) = better {
            *best = Fitted { rule, loss };
        }
        better.is_some()
    };
    let bins = best.rule.bins.clone();
    let mut map = vec![0; task.counts[feature]];
    for _ in 0..MOST_MAPS {
        let starts = if rising { map.clone() } else { map.iter().rev().copied().collect() };
        keep(OneFeature { feature, bins: bins.clone(), starts }, &mut best);
        if !next_rising(&mut map, bins.len()) {
            break;
        }
    }
    loop {
        let mut helped = false;
        for rule in neighbours(&best.rule, rising) {
            helped |= keep(rule, &mut best);
        }
        if !helped {
            return best;
        }
    }
}

/// The map of a feature's values that the screen finds best.
fn laid(task: &Task<'_>, feature: usize, bins: &[usize], rising: bool) -> Vec<usize> {
    let screen = lay::Screen::new(task);
    let of = |value: usize| {
        let has = move |&place: &usize| usize::from(task.values[feature][place]) == value;
        screen.spread((0..task.order.len()).filter(has))
    };
    let mut spreads: Vec<lay::Spread> = (0..task.counts[feature]).map(of).collect();
    if !rising {
        spreads.reverse();
    }
    let (_, mut starts) = screen.lay(&spreads.iter().collect::<Vec<_>>(), bins);
    if !rising {
        starts.reverse();
    }
    starts
}

/// Maps with one value moved by a place, and with two bins changed about.
fn neighbours(rule: &OneFeature, rising: bool) -> Vec<OneFeature> {
    let bins = rule.bins.len();
    let mut found = Vec::new();
    for value in 0..rule.starts.len() {
        for to in [rule.starts[value].wrapping_sub(1), rule.starts[value] + 1] {
            let mut next = rule.clone();
            next.starts[value] = to;
            let in_order =
                if rising { next.starts.is_sorted() } else { next.starts.is_sorted_by(|a, b| a >= b) };
            if to < bins && in_order {
                found.push(next);
            }
        }
    }
    for a in 0..bins {
        for b in a + 1..bins {
            let mut next = rule.clone();
            next.bins.swap(a, b);
            found.push(next);
        }
    }
    found
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
