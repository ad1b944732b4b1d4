//! Groups in a row laid over bins in a row, reckoned on one line: where each group starts.
//!
//! A screen, not a measure: loads are whole items of middling size, and items too many for their bins cost
//! what an item costs on an average where all are treated alike.

use crate::arrange::Arrange as _;
use crate::solve::card::Task;

/// Parts into which the line is cut for screening.
const PARTS: usize = 64;
/// Groups into which the items are cut by position alone to find the order of the bins.
const GROUPS: usize = 24;
/// The most bins whose order is searched through; more keep the order that they came in.
const MOST_ORDERED: usize = 10;

/// How many items lie in each part of the line, and the sum of their positions.
#[derive(Debug, Clone)]
pub(super) struct Spread {
    count: [f64; PARTS],
    sum: [f64; PARTS],
    pub(super) heads: f64,
    pub(super) total: f64,
}

impl Spread {
    pub(super) const NONE: Self = Self { count: [0.0; PARTS], sum: [0.0; PARTS], heads: 0.0, total: 0.0 };

    pub(super) fn add(&mut self, other: &Self) {
        for part in 0..PARTS {
            self.count[part] += other.count[part];
            self.sum[part] += other.sum[part];
        }
        self.heads += other.heads;
        self.total += other.total;
    }

    pub(super) fn mean(&self) -> f64 {
        self.total / self.heads.max(1.0)
    }
}

/// The line cut into parts, and what the bins hold of middling items.
#[derive(Debug, Clone)]
pub(super) struct Screen {
    part: Vec<usize>,
    position: Vec<f64>,
    under: f64,
    over: f64,
    holds: Vec<f64>,
    /// What an item too many costs.
    spill: f64,
}

impl Screen {
    pub(super) fn new(task: &Task<'_>) -> Self {
        let (low, high) = task
            .position
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &at| (low.min(at), high.max(at)));
        let width = ((high - low) / PARTS as f64).max(1e-9);
        let part = task.position.iter().map(|&at| (((at - low) / width) as usize).min(PARTS - 1)).collect();
        let mut screen = Self {
            part,
            position: task.position.clone(),
            under: task.under,
            over: task.over,
            holds: vec![0.0; task.instance.bins.len()],
            spill: 0.0,
        };
        for &bin in &task.bins {
            screen.holds[bin] = holds(task, bin);
        }
        let all = screen.spread(0..task.order.len());
        screen.spill = 2.0 * screen.loss(&all) / all.heads.max(1.0);
        screen
    }

    /// The spread of some of the items.
    pub(super) fn spread(&self, places: impl Iterator<Item = usize>) -> Spread {
        let mut spread = Spread::NONE;
        for place in places {
            let part = self.part[place];
            spread.count[part] += 1.0;
            spread.sum[part] += self.position[place];
            spread.heads += 1.0;
            spread.total += self.position[place];
        }
        spread
    }

    /// The least loss of items with one level, to within a part's width.
    pub(super) fn loss(&self, spread: &Spread) -> f64 {
        let wanted = spread.heads * self.under / (self.under + self.over);
        let (mut heads, mut total) = (0.0, 0.0);
        for part in 0..PARTS {
            let next = heads + spread.count[part];
            if next >= wanted {
                let level = spread.sum[part] / spread.count[part].max(1.0);
                let (above, above_total) = (spread.heads - next, spread.total - total - spread.sum[part]);
                return self.under * (above_total - above * level) + self.over * (heads * level - total);
            }
            heads = next;
            total += spread.sum[part];
        }
        0.0
    }

    /// Where each group starts in the row of bins, and what that costs. Groups are in order of need. Each run
    /// of groups gets a run of bins; what its bins cannot hold spills.
    pub(super) fn lay(&self, groups: &[&Spread], bins: &[usize]) -> (f64, Vec<usize>) {
        let runs = self.runs(groups);
        let (n, k) = (groups.len(), bins.len());
        let mut room = vec![0.0; k + 1];
        for (at, &bin) in bins.iter().enumerate() {
            room[at + 1] = room[at] + self.holds[bin];
        }
        // best[b][g]: the first b bins hold the first g groups.
        let mut best = vec![f64::INFINITY; (k + 1) * (n + 1)];
        let mut from = vec![(0, 0); (k + 1) * (n + 1)];
        best[0] = 0.0;
        for b in 1..=k {
            for g in 0..=n {
                let here = b * (n + 1) + g;
                (best[here], from[here]) = (best[here - n - 1], (b - 1, g));
                for c in 0..b {
                    for f in 0..g {
                        let (loss, heads) = runs[f * n + g - 1];
                        let over = (heads - (room[b] - room[c])).max(0.0);
                        let value = best[c * (n + 1) + f] + loss + self.spill * over;
                        if value < best[here] {
                            (best[here], from[here]) = (value, (c, f));
                        }
                    }
                }
            }
        }
        let mut starts = vec![0; n];
        let (mut b, mut g) = (k, n);
        while g > 0 && b > 0 {
            let (c, f) = from[b * (n + 1) + g];
            starts[f..g].fill(c);
            (b, g) = (c, f);
        }
        (best[k * (n + 1) + n], starts)
    }

    /// The loss and the heads of each run of groups, first and last included.
    fn runs(&self, groups: &[&Spread]) -> Vec<(f64, f64)> {
        let n = groups.len();
        let mut runs = vec![(0.0, 0.0); n * n];
        for first in 0..n {
            let mut spread = Spread::NONE;
            for last in first..n {
                spread.add(groups[last]);
                runs[first * n + last] = (self.loss(&spread), spread.heads);
            }
        }
        runs
    }
}

/// How many items of middling size a bin holds.
fn holds(task: &Task<'_>, bin: usize) -> f64 {
    let instance = task.instance;
    let limits = &instance.bins[bin];
    let open: Vec<usize> = task.order.iter().copied().filter(|&item| instance.may(item, bin)).collect();
    let mut most = open.len().min(limits.max_head) as f64;
    for (resource, &capacity) in limits.capacity.iter().enumerate() {
        let room: u64 = open.iter().map(|&item| u64::from(instance.room_in(item, bin)[resource])).sum();
        if room > 0 {
            most = most.min(capacity as f64 * open.len() as f64 / room as f64);
        }
    }
    most
}

/// The row of bins that is best where items may be told apart by position to a part in [`GROUPS`].
pub(super) fn row(task: &Task<'_>) -> Vec<usize> {
    let k = task.bins.len();
    if k <= 1 || k > MOST_ORDERED {
        return task.bins.clone();
    }
    let screen = Screen::new(task);
    let mut sorted: Vec<usize> = (0..task.order.len()).collect();
    sorted.arrange_by(|&a, &b| task.position[a].total_cmp(&task.position[b]).then(a.cmp(&b)));
    let groups: Vec<Spread> = sorted
        .chunks(sorted.len().div_ceil(GROUPS).max(1))
        .map(|group| screen.spread(group.iter().copied()))
        .collect();
    let n = groups.len();
    let runs = screen.runs(&groups.iter().collect::<Vec<_>>());
    // best[set][g]: the bins of the set hold the first g groups, the bin added last the last of them.
    let mut best = vec![f64::INFINITY; (1 << k) * (n + 1)];
    let mut from = vec![(0, 0); (1 << k) * (n + 1)];
    best[0] = 0.0;
    for set in 1_usize..1 << k {
        for (at, &bin) in task.bins.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1) {
            let before = set & !(1 << at);
            for g in 0..=n {
                let here = set * (n + 1) + g;
                if best[before * (n + 1) + g] < best[here] {
                    (best[here], from[here]) = (best[before * (n + 1) + g], (at, g));
                }
                for f in 0..g {
                    let (loss, heads) = runs[f * n + g - 1];
                    let over = (heads - screen.holds[bin]).max(0.0);
                    let value = best[before * (n + 1) + f] + loss + screen.spill * over;
                    if value < best[here] {
                        (best[here], from[here]) = (value, (at, f));
                    }
                }
            }
        }
    }
    let mut row = Vec::with_capacity(k);
    let (mut set, mut g) = ((1 << k) - 1, n);
    while set != 0 {
        let (at, f) = from[set * (n + 1) + g];
        row.push(task.bins[at]);
        (set, g) = (set & !(1 << at), f);
    }
    row.reverse();
    row
}
