//! Which few of the bins to use: the least loss with at most one of them, two, three, and so on.
//!
//! # Idea
//! One table of the exact split ([`crate::solve::split`]) holds every set of bins at once. With room relaxed it
//! bounds every set from below, so the least over all sets of at most `k` bounds whatever may be chosen; with
//! true room it holds a start for each. Where the split is the optimum the table is the whole answer. Elsewhere
//! the sets of `k` bins are tried in the order of their starts, cheaply at first and the most promising with all
//! the search's means; what a bound rules out is not tried. Bins that are the same in every way are counted, not
//! told apart.
//!
//! # Where there are too many sets to list
//! Only the table's own sets are tried, in which bins nearly alike were joined, besides the best smaller set
//! with one bin more and the best set with one bin exchanged. Bounds come from the table alone and stay valid.
//!
//! What filling costs ([`Instance::even`]) is left out: a fair share depends on which bins there are.

use crate::arrange::Arrange as _;
use crate::solve::bound::least_places;
use crate::solve::instance::{Assignment, Instance};
use crate::solve::runs::{self, Room, Shares, Tables};
use crate::solve::search::{self, Proof, Status};

/// How much work to do; all counted in steps, never in time.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Cells of one table of all sets.
    pub cells: usize,
    /// Cells that the bound's tables may have in all.
    pub bound_cells: usize,
    /// The most sets that are listed one by one.
    pub listed: usize,
    /// The most cheap trials of one number of bins.
    pub trials: usize,
    /// Entries of loss tables that they may compute.
    pub trial_entries: usize,
    /// The most thorough trials of one number of bins.
    pub thorough: usize,
    /// Entries of loss tables that they may compute.
    pub thorough_entries: usize,
    /// Each thorough trial.
    pub search: search::Effort,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            cells: 600_000,
            bound_cells: 2_400_000,
            listed: 5_000,
            trials: 40,
            trial_entries: 20_000_000,
            thorough: 64,
            thorough_entries: 50_000_000,
            search: search::Effort::default(),
        }
    }
}

/// Rounds that a cheap trial is reckoned to take, for the budget.
const USUAL_ROUNDS: usize = 12;
/// A loss must be less by this share to count as less.
const LESS: f64 = 1e-9;

/// What is the least with at most so many bins.
#[derive(Debug, Clone, PartialEq)]
pub enum AtMost {
    /// A set of bins and what to put into each.
    Solved(Best),
    /// Proved: no set of so many bins holds all items.
    Impossible,
    /// No set was found that does, and not every set was ruled out.
    Undecided,
}

/// The best set found.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// The bins, in order; where fewer do as well, there are fewer.
    pub bins: Vec<usize>,
    /// The bin of each item, in the numbers of the whole problem.
    pub assignment: Assignment,
    /// Its loss, without what filling costs.
    pub loss: f64,
    /// No assignment to any set of so many bins loses less.
    pub bound: f64,
    /// Whether it is proved that nothing is better: the bound is then the loss.
    pub is_proved: bool,
}

/// The best with at most one bin, two, and so on up to `most` or all bins that take anybody. The loss never
/// rises along the list, nor does the bound.
pub fn at_most(instance: &Instance, most: usize, seed: u64, effort: Effort) -> Vec<AtMost> {
    let plain = Instance { even: 0.0, ..instance.clone() };
    let open: Vec<usize> =
        (0..plain.bins.len()).filter(|&bin| (0..plain.items()).any(|item| plain.may(item, bin))).collect();
    let most = most.min(open.len());
    let nowhere = plain.allowed.contains(&0);
    if plain.items() == 0 || nowhere {
        return vec![AtMost::Impossible; most];
    }
    let mut choice = Choice::new(&plain, open, (seed, effort));
    (1..=most).map(|count| choice.grow(count)).collect()
}

/// A set of bins under consideration.
#[derive(Debug, Clone)]
struct Set {
    bins: Vec<usize>,
    /// No assignment to these bins loses less; infinite where it is proved that there is none.
    lower: f64,
    /// What the split with true room comes to here; infinite where it finds none.
    split: f64,
}

/// A set that was tried.
#[derive(Debug, Clone)]
struct Tried {
    bins: Vec<usize>,
    assignment: Assignment,
    loss: f64,
}

struct Choice<'a> {
    instance: &'a Instance,
    open: Vec<usize>,
    seed: u64,
    effort: Effort,
    /// The split with true room.
    starts: Tables,
    shares: Vec<Shares>,
    /// What no assignment to a set loses less than, by set of the relaxed split.
    lower: Vec<f64>,
    relaxed: Tables,
    /// Every set of bins up to likeness, where they can be listed.
    listed: Option<Vec<Set>>,
    /// Whether the split with true room is the optimum of every set.
    split_is_exact: bool,
    best: Option<Tried>,
    /// No assignment to at most so many bins loses less.
    bound: f64,
}

impl<'a> Choice<'a> {
    fn new(instance: &'a Instance, open: Vec<usize>, (seed, effort): (u64, Effort)) -> Self {
        let starts = Tables::new(instance, Room::True, &instance.ranges(1), effort.cells);
        let shares = starts.shares();
        let relaxed = Tables::new(instance, Room::Relaxed, &instance.ranges(1), effort.cells);
        let losses = |tables: &Tables| tables.shares().iter().map(|shares| shares.loss).collect::<Vec<f64>>();
        let mut lower = losses(&relaxed);
        let finest = instance.ranges((effort.bound_cells / relaxed.cells().max(1)).max(1));
        if finest.len() > instance.ranges(1).len() {
            let fine = losses(&Tables::new(instance, Room::Relaxed, &finest, effort.cells));
            lower.iter_mut().zip(fine).for_each(|(lower, fine)| *lower = lower.max(fine));
        }
        let places = least_places(instance);
        lower.iter_mut().for_each(|lower| *lower = (*lower + places).max(0.0));
        let split_is_exact = runs::split_is_exact(instance) && starts.is_exact();
        if split_is_exact {
            lower = shares.iter().map(|shares| shares.loss).collect();
        }
        let mut choice = Self {
            instance,
            open,
            seed,
            effort,
            starts,
            shares,
            lower,
            relaxed,
            listed: None,
            split_is_exact,
            best: None,
            bound: f64::INFINITY,
        };
        choice.listed = choice.list();
        choice
    }

    /// What the tables say of a list of bins.
    fn set(&self, bins: Vec<usize>) -> Set {
        let split = self.shares.get(self.starts.state_of(&bins)).map_or(f64::INFINITY, |shares| shares.loss);
        let lower = self.lower.get(self.relaxed.state_of(&bins)).copied().unwrap_or(0.0);
        let mask = bins.iter().fold(0_u64, |mask, &bin| mask | 1 << bin);
        if self.instance.allowed.iter().any(|allowed| allowed & mask == 0) {
            return Set { bins, lower: f64::INFINITY, split: f64::INFINITY };
        }
        Set { bins, lower, split }
    }

    /// Every set of bins, the first of twins first; nothing where there are too many.
    fn list(&self) -> Option<Vec<Set>> {
        let twins = twins(self.instance, &self.open);
        let sets = twins.iter().fold(1_usize, |product, twins| product.saturating_mul(twins.len() + 1));
        if sets > self.effort.listed {
            return None;
        }
        let mut lists: Vec<Vec<usize>> = vec![Vec::new()];
        for twins in &twins {
            lists = lists
                .iter()
                .flat_map(|list| (0..=twins.len()).map(move |count| [&list[..], &twins[..count]].concat()))
                .collect();
        }
        for list in &mut lists {
            list.sort_unstable();
        }
        lists.arrange_by(Ord::cmp);
        Some(lists.into_iter().map(|bins| self.set(bins)).collect())
    }

    /// One bin more than before.
    fn grow(&mut self, count: usize) -> AtMost {
        let mut sets = match &self.listed {
            Some(listed) => listed.iter().filter(|set| set.bins.len() == count).cloned().collect(),
            None => self.proposed(count),
        };
        let by_start = |set: &Set| if set.split.is_finite() { (0, set.split) } else { (1, set.lower) };
        sets.arrange_by(|a, b| {
            let ((a_none, a_loss), (b_none, b_loss)) = (by_start(a), by_start(b));
            a_none.cmp(&b_none).then(a_loss.total_cmp(&b_loss)).then(a.bins.cmp(&b.bins))
        });
        if self.split_is_exact {
            // The table is the answer; only the first of the order can be the best.
            if let Some(tried) =
                sets.first().filter(|set| set.split.is_finite()).and_then(|set| self.split(set))
            {
                self.keep(tried);
            }
        } else {
            let tried = self.try_cheaply(&sets);
            self.try_thoroughly(&mut sets, &tried);
            if self.listed.is_none() {
                self.exchange(count);
            }
        }
        let least = match &self.listed {
            Some(_) => sets.iter().map(|set| set.lower).fold(f64::INFINITY, f64::min),
            None => self.least_of_tables(count),
        };
        self.bound = self.bound.min(least);
        self.answer()
    }

    fn answer(&self) -> AtMost {
        let Some(best) = &self.best else {
            return if self.bound.is_infinite() { AtMost::Impossible } else { AtMost::Undecided };
        };
        let is_proved = self.bound >= best.loss * (1.0 - LESS);
        let mut bins: Vec<usize> = best.assignment.clone();
        bins.sort_unstable();
        bins.dedup();
        AtMost::Solved(Best {
            bins,
            assignment: best.assignment.clone(),
            loss: best.loss,
            bound: if is_proved { best.loss } else { self.bound },
            is_proved,
        })
    }

    fn keep(&mut self, tried: Tried) {
        if self.may_beat(tried.loss) {
            self.best = Some(tried);
        }
    }

    /// Whether so little would be less than the best so far.
    fn may_beat(&self, loss: f64) -> bool {
        loss.is_finite() && self.best.as_ref().is_none_or(|best| loss < best.loss * (1.0 - LESS))
    }

    /// The split's own answer for a set.
    fn split(&self, set: &Set) -> Option<Tried> {
        let shares =
            self.shares.get(self.starts.state_of(&set.bins)).filter(|shares| shares.loss.is_finite())?;
        let assignment = self.starts.assignment(self.instance, &set.bins, shares);
        let loss = self.instance.is_feasible(&assignment).then(|| self.instance.cost(&assignment))?;
        Some(Tried { bins: set.bins.clone(), assignment, loss })
    }

    /// A set with its start polished, in the numbers of the whole problem.
    fn cheaply(&self, set: &Set) -> Option<Tried> {
        let part = self.instance.within(&set.bins);
        let number = |bin: usize| set.bins.iter().position(|&own| own == bin);
        let start = self.shares.get(self.starts.state_of(&set.bins)).filter(|shares| shares.loss.is_finite());
        let start = start.and_then(|shares| {
            let whole = self.starts.assignment(self.instance, &set.bins, shares);
            whole.into_iter().map(number).collect::<Option<Assignment>>()
        });
        let start = start.and_then(|start| search::mended(&part, start));
        let found = start.or_else(|| {
            search::any(&part, self.effort.search.cells).and_then(|start| search::mended(&part, start))
        })?;
        Some(self.whole(&set.bins, &found))
    }

    fn whole(&self, bins: &[usize], part: &[usize]) -> Tried {
        let assignment: Assignment = part.iter().map(|&bin| bins[bin]).collect();
        Tried { bins: bins.to_vec(), loss: self.instance.cost(&assignment), assignment }
    }

    /// Entries of a loss table of so many bins.
    fn entries(&self, bins: usize) -> usize {
        (self.instance.items() * bins * self.instance.axes()).max(1)
    }

    /// Polishes the starts of as many sets as the budget allows; what each came to, least first.
    fn try_cheaply(&mut self, sets: &[Set]) -> Vec<Tried> {
        let mut tried: Vec<Tried> = Vec::new();
        let (mut entries, mut trials) = (self.effort.trial_entries, self.effort.trials);
        for set in sets {
            let cost = self.entries(set.bins.len()) * USUAL_ROUNDS;
            if trials == 0 || (cost > entries && !tried.is_empty()) {
                break;
            }
            if !self.may_beat(set.lower) {
                continue;
            }
            entries = entries.saturating_sub(cost);
            trials -= 1;
            if let Some(found) = self.cheaply(set) {
                self.keep(found.clone());
                tried.push(found);
            }
        }
        tried.arrange_by(|a, b| a.loss.total_cmp(&b.loss).then(a.bins.cmp(&b.bins)));
        tried
    }

    /// Solves the most promising sets with all means, and raises what they must lose at the least.
    fn try_thoroughly(&mut self, sets: &mut [Set], tried: &[Tried]) {
        let untried = |bins: &Vec<usize>| tried.iter().all(|own| own.bins != *bins);
        let rest = sets.iter().map(|set| set.bins.clone()).filter(untried);
        let order: Vec<Vec<usize>> = tried.iter().map(|own| own.bins.clone()).chain(rest).collect();
        let mut entries = self.effort.thorough_entries;
        let mut trials = self.effort.thorough;
        for (place, bins) in order.into_iter().enumerate() {
            let cost = self.thorough_cost(bins.len(), place < tried.len());
            // The first is always tried, so that every number of bins has had one.
            let first = trials == self.effort.thorough;
            if trials == 0 || (!first && cost > entries) {
                break;
            }
            let Some(set) = sets.iter_mut().find(|set| set.bins == bins) else { continue };
            if !self.may_beat(set.lower) {
                continue;
            }
            trials -= 1;
            entries = entries.saturating_sub(cost);
            match search::solve(&self.instance.within(&bins), self.seed, self.effort.search) {
                Status::Solved(found) => {
                    let whole = self.whole(&bins, &found.assignment);
                    let proved = matches!(found.proof, Proof::Split | Proof::Exhausted);
                    set.lower = set.lower.max(if proved { whole.loss } else { found.bound });
                    self.keep(whole);
                }
                Status::Impossible => set.lower = f64::INFINITY,
                Status::Undecided => {}
            }
        }
    }

    /// What a thorough trial is reckoned to cost, in entries of the loss table.
    fn thorough_cost(&self, bins: usize, is_held: bool) -> usize {
        let search = self.effort.search;
        let table = self.entries(bins);
        let restarts = search.table_entries.min(60 * USUAL_ROUNDS * table);
        let items = self.instance.items();
        let all = (0..items).fold(1_usize, |all, _| all.saturating_mul(bins));
        // Where nothing was found yet, a long search is to be expected.
        let searched = items <= search.exact_items || !is_held;
        let nodes = if searched { search.nodes.min(all) } else { 0 };
        restarts + search.cells.min(items << bins.min(16)) + nodes * table / items.max(1) * 4
    }

    /// Sets of so many bins to try where not all can be listed.
    fn proposed(&self, count: usize) -> Vec<Set> {
        let usable =
            |bins: &Vec<usize>| bins.len() == count && bins.iter().all(|bin| self.open.contains(bin));
        let mut lists: Vec<Vec<usize>> =
            (0..self.starts.states()).map(|state| self.starts.bins_of(state)).filter(usable).collect();
        if let Some(best) = &self.best {
            let others = self.open.iter().filter(|bin| !best.bins.contains(bin));
            lists.extend(others.map(|&bin| [&best.bins[..], &[bin]].concat()).filter(usable));
        }
        for list in &mut lists {
            list.sort_unstable();
        }
        lists.arrange_by(Ord::cmp);
        lists.dedup();
        lists.into_iter().map(|bins| self.set(bins)).collect()
    }

    /// Exchanges one bin of the best set after another as long as that helps and the budget lasts.
    fn exchange(&mut self, count: usize) {
        let (mut entries, mut trials) = (self.effort.trial_entries, self.effort.trials);
        let cost = self.entries(count) * USUAL_ROUNDS;
        let mut helped = true;
        while helped {
            helped = false;
            let Some(now) = self.best.as_ref().filter(|best| best.bins.len() == count) else { return };
            let now = now.bins.clone();
            let others: Vec<usize> = self.open.iter().copied().filter(|bin| !now.contains(bin)).collect();
            for (&out, &into) in now.iter().flat_map(|out| others.iter().map(move |into| (out, into))) {
                let mut bins: Vec<usize> =
                    now.iter().map(|&bin| if bin == out { into } else { bin }).collect();
                bins.sort_unstable();
                let set = self.set(bins);
                if !self.may_beat(set.lower) {
                    continue;
                }
                if trials == 0 || cost > entries {
                    return;
                }
                entries -= cost;
                trials -= 1;
                if let Some(found) = self.cheaply(&set).filter(|found| self.may_beat(found.loss)) {
                    self.keep(found);
                    helped = true;
                    break;
                }
            }
        }
    }

    /// The least of every tabled set of at most so many bins.
    fn least_of_tables(&self, count: usize) -> f64 {
        (0..self.relaxed.states())
            .filter(|&state| self.relaxed.bins_of(state).len() <= count)
            .filter_map(|state| self.lower.get(state).copied())
            .fold(f64::INFINITY, f64::min)
    }
}

/// Bins that are the same in every way, together.
fn twins(instance: &Instance, open: &[usize]) -> Vec<Vec<usize>> {
    let same = |a: usize, b: usize| {
        instance.bins[a] == instance.bins[b]
            && (0..instance.items()).all(|item| {
                instance.may(item, a) == instance.may(item, b)
                    && instance.place_cost(item, a) == instance.place_cost(item, b)
            })
    };
    let mut twins: Vec<Vec<usize>> = Vec::new();
    for &bin in open {
        match twins.iter_mut().find(|twins| twins.first().is_some_and(|&first| same(first, bin))) {
            Some(twins) => twins.push(bin),
            None => twins.push(vec![bin]),
        }
    }
    twins
}
