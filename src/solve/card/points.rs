//! Points for each value of each feature; bins are cut on an item's sum.
//!
//! Starts: an additive fit of the items' positions, rounded at several scales, and maps of one feature that
//! are given. From each, points and cuts move by one as long as that lowers the loss: first at levels that
//! stand still, which is cheap, then with levels that follow. The best is shaken with a fixed seed as often as
//! the steps allow. A feature's points never turn about: what needs more has no fewer.

use crate::solve::card::deal::Dealer;
use crate::solve::card::lay::{Screen, Spread};
use crate::solve::card::{Cells, Effort, Fitted, OneFeature, Task, values_rise};
use rand_xoshiro::Xoshiro256Plus;
use rand_xoshiro::rand_core::{RngCore, SeedableRng};

/// How many points lie between the least sum and the greatest, in the starts.
const SCALES: [f64; 3] = [12.0, 18.0, 26.0];
/// The most points that one value may get: more than a person adds with ease (common practice, no source).
const MOST_POINTS: i32 = 20;
/// Rounds of the additive fit.
const ROUNDS: usize = 40;
/// Items that a value is taken to have besides its own, which lie as the others do: a value that few items
/// have is not believed.
const PRIOR: f64 = 2.0;
/// A change is an improvement from this share on.
const BETTER: f64 = 1e-9;

/// A rule by points.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Points {
    /// Points of each value of each feature.
    pub points: Vec<Vec<i32>>,
    /// The bins, in a row.
    pub bins: Vec<usize>,
    /// The least sum that starts at the second bin of the row, the third, and so on.
    pub cuts: Vec<i32>,
}

impl Points {
    /// The place in the row at which a sum starts.
    pub fn start(&self, sum: i32) -> usize {
        self.cuts.iter().filter(|&&cut| cut <= sum).count()
    }

    /// The sum of some values, one a feature.
    pub fn sum(&self, values: &[u8]) -> i32 {
        self.points.iter().zip(values).map(|(points, &value)| points[usize::from(value)]).sum()
    }

    /// The same rule with the least points of each feature 0.
    fn set_to_nought(mut self) -> Self {
        for points in &mut self.points {
            let least = points.iter().copied().min().unwrap_or(0);
            points.iter_mut().for_each(|points| *points -= least);
            self.cuts.iter_mut().for_each(|cut| *cut -= least);
        }
        self
    }
}

/// One step of the search.
#[derive(Debug, Clone, Copy)]
enum Move {
    /// One value.
    Value(usize, usize, i32),
    /// A value and all above it.
    Tail(usize, usize, i32),
    /// A cut.
    Cut(usize, i32),
    /// A value up with the cut.
    Both(usize, usize, usize, i32),
    /// Two neighbours in the row of bins.
    Swap(usize),
}

/// Finds points and cuts, from maps of one feature and from starts of its own; never worse than any of them.
pub fn fit(task: &Task<'_>, maps: &[OneFeature], effort: Effort) -> Fitted<Points> {
    Search::new(task, effort).run(maps)
}

struct Search<'a> {
    task: &'a Task<'a>,
    cells: Cells,
    dealer: Dealer<'a>,
    screen: Screen,
    seen: Vec<Vec<bool>>,
    rising: Vec<bool>,
    starts: Vec<usize>,
    table: Vec<f64>,
    left: usize,
}

impl<'a> Search<'a> {
    fn new(task: &'a Task<'a>, effort: Effort) -> Self {
        let seen = task
            .counts
            .iter()
            .zip(&task.values)
            .map(|(&count, values)| {
                (0..count).map(|value| values.iter().any(|&v| usize::from(v) == value)).collect()
            })
            .collect();
        Self {
            task,
            cells: Cells::new(task),
            dealer: Dealer::new(task),
            screen: Screen::new(task),
            seen,
            rising: (0..task.counts.len()).map(|feature| values_rise(task, feature)).collect(),
            starts: Vec::new(),
            table: Vec::new(),
            left: effort.steps,
        }
    }

    fn run(mut self, maps: &[OneFeature]) -> Fitted<Points> {
        let row = self.task.row();
        let effects = self.effects();
        let mut found: Vec<Fitted<Points>> = Vec::new();
        for scale in SCALES {
            let points = self.rounded(&effects, scale);
            let start = self.cut(points, &row);
            found.push(self.climbed(start));
        }
        for map in maps {
            let start = self.of_map(map);
            found.push(self.climbed(start));
        }
        let mut best = found
            .into_iter()
            .min_by(|a, b| a.loss.total_cmp(&b.loss))
            .unwrap_or_else(|| Fitted { rule: self.nothing(&row), loss: f64::INFINITY });
        let mut random = Xoshiro256Plus::seed_from_u64(1);
        while self.left > 0 {
            let before = self.left;
            let start = self.shaken(&best.rule, &mut random);
            let next = self.climbed(start);
            if next.loss < best.loss * (1.0 - BETTER) {
                best = next;
            }
            if self.left == before {
                break;
            }
        }
        self.fill_unseen(&mut best.rule.points);
        Fitted { rule: best.rule.set_to_nought(), loss: best.loss }
    }

    fn nothing(&self, row: &[usize]) -> Points {
        Points {
            points: self.task.counts.iter().map(|&count| vec![0; count]).collect(),
            bins: row.to_vec(),
            cuts: vec![1; row.len().saturating_sub(1)],
        }
    }

    /// A map of one feature, as points: what starts later has more.
    fn of_map(&self, map: &OneFeature) -> Points {
        let mut rule = self.nothing(&map.bins);
        rule.points[map.feature] = map.starts.iter().map(|&start| 2 * start as i32).collect();
        rule.cuts = (1..map.bins.len()).map(|place| 2 * place as i32).collect();
        rule
    }

    /// The additive fit of the items' positions, by value of each feature, unseen values as their neighbours.
    fn effects(&self) -> Vec<Vec<f64>> {
        let task = self.task;
        let n = task.order.len();
        let mean = task.position.iter().sum::<f64>() / n.max(1) as f64;
        let mut effects: Vec<Vec<f64>> = task.counts.iter().map(|&count| vec![0.0; count]).collect();
        let mut rest: Vec<f64> = task.position.iter().map(|at| at - mean).collect();
        for _ in 0..ROUNDS {
            for (feature, effect) in effects.iter_mut().enumerate() {
                let mut sums = vec![(0.0, 0.0); effect.len()];
                for (place, rest) in rest.iter().enumerate() {
                    let value = usize::from(task.values[feature][place]);
                    sums[value].0 += rest + effect[value];
                    sums[value].1 += 1.0;
                }
                let old = effect.clone();
                for (effect, (sum, count)) in effect.iter_mut().zip(&sums) {
                    *effect = sum / (count + PRIOR);
                }
                let weights: Vec<f64> = sums.iter().map(|&(_, count)| count).collect();
                in_order(effect, &weights, self.rising[feature]);
                for (place, rest) in rest.iter_mut().enumerate() {
                    let value = usize::from(task.values[feature][place]);
                    *rest += old[value] - effect[value];
                }
            }
        }
        effects
    }

    /// Effects as whole points.
    fn rounded(&self, effects: &[Vec<f64>], scale: f64) -> Vec<Vec<i32>> {
        let range = |(effects, seen): (&Vec<f64>, &Vec<bool>)| {
            let seen = effects.iter().zip(seen).filter(|(_, seen)| **seen).map(|(effect, _)| *effect);
            let (low, high) =
                seen.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
            (high - low).max(0.0)
        };
        let whole: f64 = effects.iter().zip(&self.seen).map(range).sum();
        let unit = scale / whole.max(1e-9);
        effects
            .iter()
            .map(|effects| {
                let least = effects.iter().copied().fold(f64::INFINITY, f64::min);
                let points = |effect: &f64| (libm::round((effect - least) * unit) as i32).min(MOST_POINTS);
                effects.iter().map(points).collect()
            })
            .collect()
    }

    /// Points with the cuts that the screen finds best.
    fn cut(&self, points: Vec<Vec<i32>>, row: &[usize]) -> Points {
        let mut rule = Points { points, ..self.nothing(row) };
        let sums: Vec<i32> = self.cells.values.iter().map(|values| rule.sum(values)).collect();
        let mut kinds = sums.clone();
        kinds.sort_unstable();
        kinds.dedup();
        let groups: Vec<Spread> = kinds
            .iter()
            .map(|&sum| {
                let of = &self.cells.of;
                self.screen.spread((0..of.len()).filter(|&place| sums[of[place]] == sum))
            })
            .collect();
        let (_, starts) = self.screen.lay(&groups.iter().collect::<Vec<_>>(), row);
        // A place at which nobody starts gets the cut of the next one, so that it only takes what spills.
        let above = kinds.last().map_or(0, |sum| sum + 1);
        for place in 1..row.len() {
            let first = starts.iter().position(|&start| start >= place);
            rule.cuts[place - 1] = first.map_or(above, |at| kinds[at]);
        }
        rule
    }

    fn loss(&mut self, rule: &Points) -> f64 {
        self.left = self.left.saturating_sub(self.task.steps());
        self.place_cells(rule);
        let (cells, starts) = (&self.cells.of, &self.starts);
        self.dealer.loss(&rule.bins, |place| starts[cells[place]])
    }

    fn loss_at(&mut self, rule: &Points) -> f64 {
        self.left = self.left.saturating_sub(4 * self.task.order.len());
        self.place_cells(rule);
        let (cells, starts) = (&self.cells.of, &self.starts);
        self.dealer.loss_at(&rule.bins, |place| starts[cells[place]], &self.table)
    }

    fn place_cells(&mut self, rule: &Points) {
        self.starts.clear();
        self.starts.extend(self.cells.values.iter().map(|values| rule.start(rule.sum(values))));
    }

    /// The rule after all steps that help.
    fn climbed(&mut self, start: Points) -> Fitted<Points> {
        let mut best = Fitted { loss: self.loss(&start), rule: start };
        let moves = self.moves(&best.rule);
        while self.left > 0 {
            self.loss(&best.rule);
            self.left = self.left.saturating_sub(self.task.steps() * best.rule.bins.len() / 2);
            self.dealer.table(best.rule.bins.len(), &mut self.table);
            let mut rule = best.rule.clone();
            let mut loss = self.loss_at(&rule);
            self.pass_over(&moves, &mut rule, &mut loss, Self::loss_at);
            if rule == best.rule {
                break;
            }
            let loss = self.loss(&rule);
            if loss >= best.loss * (1.0 - BETTER) {
                break;
            }
            best = Fitted { rule, loss };
        }
        let Fitted { mut rule, mut loss } = best;
        self.pass_over(&moves, &mut rule, &mut loss, Self::loss);
        Fitted { rule, loss }
    }

    /// Takes every move that helps, over and over, until none has helped since it was last tried.
    fn pass_over(
        &mut self,
        moves: &[Move],
        rule: &mut Points,
        loss: &mut f64,
        value: fn(&mut Self, &Points) -> f64,
    ) {
        let mut idle = 0;
        let mut at = 0;
        while idle < moves.len() && self.left > 0 {
            if let Some(next) = self.moved(rule, moves[at]) {
                let there = value(self, &next);
                if there < *loss * (1.0 - BETTER) {
                    (*rule, *loss, idle) = (next, there, 0);
                    continue;
                }
            }
            idle += 1;
            at = (at + 1) % moves.len();
        }
    }

    fn moves(&self, rule: &Points) -> Vec<Move> {
        let mut moves = Vec::new();
        for (feature, seen) in self.seen.iter().enumerate() {
            for value in (0..seen.len()).filter(|&value| seen[value]) {
                for step in [1, -1] {
                    moves.push(Move::Value(feature, value, step));
                    moves.push(Move::Tail(feature, value, step));
                }
            }
        }
        for cut in 0..rule.cuts.len() {
            moves.extend([Move::Cut(cut, 1), Move::Cut(cut, -1), Move::Swap(cut)]);
        }
        for (feature, seen) in self.seen.iter().enumerate() {
            for value in (0..seen.len()).filter(|&value| seen[value]) {
                for cut in 0..rule.cuts.len() {
                    moves.extend([Move::Both(feature, value, cut, 1), Move::Both(feature, value, cut, -1)]);
                }
            }
        }
        moves
    }

    /// The rule after a move, where that is still a rule.
    fn moved(&self, rule: &Points, step: Move) -> Option<Points> {
        let mut rule = rule.clone();
        match step {
            Move::Value(feature, value, by) => rule.points[feature][value] += by,
            Move::Tail(feature, value, by) => {
                rule.points[feature][value..].iter_mut().for_each(|points| *points += by);
            }
            Move::Cut(cut, by) => rule.cuts[cut] += by,
            Move::Both(feature, value, cut, by) => {
                rule.points[feature][value] += by;
                rule.cuts[cut] += by;
            }
            Move::Swap(place) => rule.bins.swap(place, place + 1),
        }
        let touched = match step {
            Move::Value(feature, ..) | Move::Tail(feature, ..) | Move::Both(feature, ..) => Some(feature),
            Move::Cut(..) | Move::Swap(_) => None,
        };
        (touched.is_none_or(|feature| self.is_in_order(&rule.points[feature], feature))
            && rule.cuts.is_sorted())
        .then_some(rule)
    }

    fn is_in_order(&self, points: &[i32], feature: usize) -> bool {
        let seen =
            points.iter().zip(&self.seen[feature]).filter(|(_, seen)| **seen).map(|(points, _)| *points);
        let (low, high) =
            seen.clone().fold((i32::MAX, i32::MIN), |(low, high), at| (low.min(at), high.max(at)));
        let in_order = if self.rising[feature] { seen.is_sorted() } else { seen.is_sorted_by(|a, b| a >= b) };
        in_order && high.saturating_sub(low) <= MOST_POINTS
    }

    /// A few points and cuts moved at random.
    fn shaken(&self, rule: &Points, random: &mut Xoshiro256Plus) -> Points {
        let moves = self.moves(rule);
        let mut shaken = rule.clone();
        for _ in 0..6 {
            let pick = (random.next_u64() >> 32) as usize % moves.len().max(1);
            if let Some(next) = moves.get(pick).and_then(|&step| self.moved(&shaken, step)) {
                shaken = next;
            }
        }
        shaken
    }

    /// Values that no item has: between their neighbours, or as the last one seen.
    fn fill_unseen(&self, points: &mut [Vec<i32>]) {
        for (points, seen) in points.iter_mut().zip(&self.seen) {
            for value in (0..seen.len()).filter(|&value| !seen[value]) {
                let below = (0..value).rev().find(|&other| seen[other]).map(|other| points[other]);
                let above = (value..seen.len()).find(|&other| seen[other]).map(|other| points[other]);
                points[value] = match (below, above) {
                    (Some(below), Some(above)) => i32::midpoint(below, above),
                    (Some(one), None) | (None, Some(one)) => one,
                    (None, None) => 0,
                };
            }
        }
    }
}

/// The nearest effects that never turn about: neighbours out of order take their weighted mean. Values without
/// weight follow the one before them.
fn in_order(effects: &mut [f64], weights: &[f64], rising: bool) {
    let sign = if rising { 1.0 } else { -1.0 };
    // Blocks of mean, weight and length.
    let mut blocks: Vec<(f64, f64, usize)> = Vec::with_capacity(effects.len());
    for (&effect, &weight) in effects.iter().zip(weights) {
        let mut block = (sign * effect, weight, 1);
        while let Some(&(mean, heavy, length)) = blocks.last() {
            if mean <= block.0 && heavy > 0.0 && block.1 > 0.0 {
                break;
            }
            blocks.pop();
            let whole = heavy + block.1;
            let joined =
                if whole > 0.0 { (mean * heavy + block.0 * block.1) / whole } else { block.0.max(mean) };
            block = (joined, whole, length + block.2);
        }
        blocks.push(block);
    }
    let fitted = blocks.iter().flat_map(|&(mean, _, length)| std::iter::repeat_n(sign * mean, length));
    for (effect, fitted) in effects.iter_mut().zip(fitted) {
        *effect = fitted;
    }
}
