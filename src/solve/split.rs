//! Exact split of an ordered sequence into runs, one a bin, when the order of the bins is free.
//!
//! # Statement
//! Given `x_1 ≤ … ≤ x_n` and bins with limits, choose which run of consecutive items each bin takes (or
//! none), so that the sum over runs of `min_r Σ g(x_i − r)` is least, `g` the asymmetric absolute loss.
//!
//! # Idea
//! `F(S, j)` is the least loss of serving the first `j` items with bins out of `S`. The last bin used
//! takes the items `i+1 … j`: `F(S, j) = min over k in S, i of F(S − k, i) + C(i, j)`. Bins that are alike
//! are counted, not told apart, so `S` is a vector of counts. For a convex loss the run cost obeys the
//! Monge condition, `C(a,c) + C(b,d) ≤ C(a,d) + C(b,c)` for `a ≤ b ≤ c ≤ d`, also with levels held inside
//! limits or a convex cost of its length, so the best `i` does not decrease with `j` and each row is found by
//! divide and conquer. (The
//! same idea as exact one-dimensional k-means: Grønlund et al. 2017, arXiv 1701.07204.) With the
//! absolute loss a run's cost is a difference of prefix sums about its quantile: O(1).
//!
//! # When a split is the optimum
//! When all items take equal room, one loss serves all and the need is one number: then some optimum is
//! sorted. Otherwise it is a good start, no more.
//!
//! # Complexity
//! O(states · types · n log n) time and O(states · n) memory, states = Π (bins of a type + 1).

/// Bins alike, as the split sees them.
#[derive(Debug, Clone)]
pub struct BinType {
    /// How many.
    pub count: usize,
    /// `start[j]` is the smallest `i` such that items `i … j−1` may share one such bin; never decreases.
    pub start: Vec<u32>,
    /// The fewest items in one that is used.
    pub min_head: usize,
    /// What holding so many items costs, from none to all; convex. Empty where the number costs nothing.
    pub head_cost: Vec<f64>,
}

impl BinType {
    fn head_cost(&self, head: usize) -> f64 {
        self.head_cost.get(head).copied().unwrap_or(0.0)
    }
}

/// One problem of the split: sorted needs and the loss.
#[derive(Debug)]
pub struct Line<'a> {
    /// Needs, ascending.
    pub needs: &'a [f64],
    /// Loss of a unit below need.
    pub under: f64,
    /// Loss of a unit above need.
    pub over: f64,
    /// Least level.
    pub low: f64,
    /// Greatest level.
    pub high: f64,
}

/// The least losses for every set of bins.
#[derive(Debug)]
pub struct Split {
    items: usize,
    types: usize,
    counts: Vec<usize>,
    strides: Vec<usize>,
    /// `loss[state * (items + 1) + j]`; infinite where it cannot be done.
    loss: Vec<f64>,
    back: Vec<Step>,
}

#[derive(Debug, Clone, Copy, Default)]
struct Step {
    start: u32,
    bin_type: u8,
    used: bool,
}

/// A run: items `start..end` in sorted order go to one bin of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Index into the bin types.
    pub bin_type: usize,
    /// First item.
    pub start: usize,
    /// One past the last item.
    pub end: usize,
}

/// Number of sets that bins of these counts make, were it to be tabled.
pub fn states(counts: impl IntoIterator<Item = usize>) -> usize {
    counts.into_iter().fold(1_usize, |product, count| product.saturating_mul(count + 1))
}

struct Prefix<'a> {
    line: &'a Line<'a>,
    sums: Vec<f64>,
    below_low: usize,
    below_high: usize,
    /// Where the best level of so many items stands among them, counted from 1.
    place: Vec<u32>,
}

impl<'a> Prefix<'a> {
    fn new(line: &'a Line<'a>) -> Self {
        let mut sums = Vec::with_capacity(line.needs.len() + 1);
        let mut sum = 0.0;
        sums.push(sum);
        for need in line.needs {
            sum += need;
            sums.push(sum);
        }
        Self {
            line,
            sums,
            below_low: line.needs.partition_point(|&need| need < line.low),
            below_high: line.needs.partition_point(|&need| need < line.high),
            place: (0..=line.needs.len())
                .map(|count| {
                    let share = line.under / (line.under + line.over);
                    (libm::ceil(count as f64 * share - 1e-9) as u32).clamp(1, count.max(1) as u32)
                })
                .collect(),
        }
    }

    /// Cost of items `i..j` in one bin at its best level.
    fn cost(&self, i: usize, j: usize) -> f64 {
        let position = i + self.place[j - i] as usize - 1;
        let quantile = self.line.needs[position];
        let (level, below) = if quantile < self.line.low {
            (self.line.low, self.below_low.clamp(i, j))
        } else if quantile > self.line.high {
            (self.line.high, self.below_high.clamp(i, j))
        } else {
            (quantile, position)
        };
        let under = self.sums[j] - self.sums[below] - level * (j - below) as f64;
        let over = level * (below - i) as f64 - (self.sums[below] - self.sums[i]);
        // Compared by hand: in WebAssembly `max` is a call, and this is asked millions of times.
        let part = |sum: f64| if sum > 0.0 { sum } else { 0.0 };
        self.line.under * part(under) + self.line.over * part(over)
    }
}

impl Split {
    /// Fills the table. `fits_before(state counts)` caps how many items a set of bins may serve: pass the
    /// item count where there is no such cap.
    pub fn solve(line: &Line<'_>, types: &[BinType], most_served: impl Fn(&[usize]) -> usize) -> Self {
        let items = line.needs.len();
        let mut strides = Vec::with_capacity(types.len());
        let mut stride = 1;
        for bin_type in types {
            strides.push(stride);
            stride *= bin_type.count + 1;
        }
        let width = items + 1;
        let mut split = Self {
            items,
            types: types.len(),
            counts: types.iter().map(|bin_type| bin_type.count).collect(),
            strides,
            loss: vec![f64::INFINITY; stride * width],
            back: vec![Step::default(); stride * width],
        };
        let prefix = Prefix::new(line);
        split.loss[0] = 0.0;
        // How many items each set of bins may have served; beyond that its losses stay without end.
        let mut reach = vec![(0, 0); stride];
        for state in 1..stride {
            let counts = split.counts_of(state);
            let rest: Vec<usize> = counts.iter().zip(&split.counts).map(|(used, all)| all - used).collect();
            let last = most_served(&counts).min(items);
            // What the other bins cannot serve must be served by now, but for the whole sequence.
            let first = items.saturating_sub(most_served(&rest));
            reach[state] = (first, last);
            split.inherit(state, &counts, types, first..=last);
            for (index, bin_type) in types.iter().enumerate() {
                if counts[index] > 0 {
                    let previous = state - split.strides[index];
                    let place = (state, previous, index);
                    split.fill(&prefix, place, bin_type, (first.max(1), last), reach[previous]);
                }
            }
        }
        split
    }

    /// A larger set can do whatever a smaller one can, by leaving a bin empty.
    fn inherit(
        &mut self,
        state: usize,
        counts: &[usize],
        types: &[BinType],
        served: std::ops::RangeInclusive<usize>,
    ) {
        let width = self.items + 1;
        for (index, &count) in counts.iter().enumerate() {
            if count > 0 {
                let previous = (state - self.strides[index]) * width;
                let empty = types[index].head_cost(0);
                for j in served.clone() {
                    if self.loss[previous + j] + empty < self.loss[state * width + j] {
                        self.loss[state * width + j] = self.loss[previous + j] + empty;
                        self.back[state * width + j] =
                            Step { start: j as u32, bin_type: index as u8, used: false };
                    }
                }
            }
        }
    }

    fn fill(
        &mut self,
        prefix: &Prefix<'_>,
        place: (usize, usize, usize),
        bin_type: &BinType,
        (first, last): (usize, usize),
        (least, most): (usize, usize),
    ) {
        if first > last {
            return;
        }
        let (state, previous, index) = place;
        let width = self.items + 1;
        let middle = first.midpoint(last);
        let from = least.max(bin_type.start[middle] as usize);
        let to = most.min(middle.saturating_sub(bin_type.min_head.max(1)));
        let mut best = f64::INFINITY;
        let mut best_start = None;
        if middle >= bin_type.min_head.max(1) {
            for start in from..=to {
                let before = self.loss[previous * width + start];
                if before < best {
                    let loss = before + prefix.cost(start, middle) + bin_type.head_cost(middle - start);
                    if loss < best {
                        best = loss;
                        best_start = Some(start);
                    }
                }
            }
        }
        if best < self.loss[state * width + middle] {
            self.loss[state * width + middle] = best;
            self.back[state * width + middle] =
                Step { start: best_start.unwrap_or(middle) as u32, bin_type: index as u8, used: true };
        }
        // Where no start is possible here, the neighbours learn nothing from this row.
        let (left_most, right_least) = best_start.map_or((most, least), |start| (start, start));
        if middle > first {
            self.fill(prefix, place, bin_type, (first, middle - 1), (least, left_most));
        }
        self.fill(prefix, place, bin_type, (middle + 1, last), (right_least, most));
    }

    /// The counts of bins in a set, by type.
    pub fn counts_of(&self, state: usize) -> Vec<usize> {
        (0..self.types).map(|index| state / self.strides[index] % (self.counts[index] + 1)).collect()
    }

    /// The set with these counts.
    pub fn state_of(&self, counts: &[usize]) -> usize {
        counts.iter().zip(&self.strides).map(|(count, stride)| count * stride).sum()
    }

    /// Number of sets.
    pub fn state_count(&self) -> usize {
        self.loss.len() / (self.items + 1)
    }

    /// The least loss of serving all items with a set of bins; infinite where it cannot be done.
    pub fn total(&self, state: usize) -> f64 {
        self.loss[state * (self.items + 1) + self.items]
    }

    /// The runs behind [`Self::total`], last first; empty where it cannot be done.
    pub fn runs(&self, mut state: usize) -> Vec<Run> {
        let width = self.items + 1;
        let mut runs = Vec::new();
        let mut end = self.items;
        if self.total(state).is_infinite() {
            return runs;
        }
        while state > 0 {
            let step = self.back[state * width + end];
            let bin_type = usize::from(step.bin_type);
            if step.used {
                runs.push(Run { bin_type, start: step.start as usize, end });
                end = step.start as usize;
            }
            state -= self.strides[bin_type];
        }
        runs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn equal_bins(items: usize, sizes: &[usize]) -> Vec<BinType> {
        sizes
            .iter()
            .map(|&size| BinType {
                count: 1,
                start: (0..=items).map(|end| end.saturating_sub(size) as u32).collect(),
                min_head: 1,
                head_cost: Vec::new(),
            })
            .collect()
    }

    /// The twelve-ewe worked problem: every figure below was found by enumerating all partitions.
    const NEEDS: [f64; 12] = [10.8, 11.5, 12.1, 12.9, 13.0, 14.2, 15.0, 15.4, 16.1, 16.8, 17.5, 18.6];

    fn least(sizes: &[usize]) -> f64 {
        let line = Line { needs: &NEEDS, under: 5.0, over: 1.0, low: 0.0, high: 99.0 };
        let types = equal_bins(12, sizes);
        let split = Split::solve(&line, &types, |_| 12);
        split.total(split.state_count() - 1)
    }

    #[test]
    fn the_worked_problem_has_its_enumerated_optimum() {
        for (sizes, expected) in
            [(&[12][..], 42.7), (&[6, 6], 22.9), (&[4, 4, 4], 13.7), (&[5, 4, 3], 11.3), (&[3, 5, 4], 11.3)]
        {
            assert!((least(sizes) - expected).abs() < 1e-9, "{sizes:?}: {}", least(sizes));
        }
    }

    #[test]
    fn runs_cover_the_sequence_and_cost_what_is_said() {
        let line = Line { needs: &NEEDS, under: 5.0, over: 1.0, low: 0.0, high: 99.0 };
        let split = Split::solve(&line, &equal_bins(12, &[5, 4, 3]), |_| 12);
        let full = split.state_count() - 1;
        let mut runs = split.runs(full);
        runs.reverse();
        assert_eq!(runs.iter().map(|run| run.end - run.start).sum::<usize>(), 12);
        assert_eq!(runs[0].start, 0);
        let prefix = Prefix::new(&line);
        let cost: f64 = runs.iter().map(|run| prefix.cost(run.start, run.end)).sum();
        assert!((cost - split.total(full)).abs() < 1e-9);
    }

    #[test]
    fn too_little_room_is_infinite() {
        assert!(least(&[5, 4]).is_infinite());
    }
}
