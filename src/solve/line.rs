//! The members of one bin on one axis, in order of need, with running sums: what they lose at their best level,
//! also with some more and without some of them, without looking at every member again.

use std::cmp::Ordering;

/// A share or a sum of slopes a hair below a whole one is that one (rounding of sums); as in `instance`.
const ROUNDING: f64 = 1e-9;

/// An item on an axis.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Mark {
    /// Where it lies.
    pub(super) need: f64,
    /// What a unit below its need and a unit above it count for.
    pub(super) slopes: [f64; 2],
    /// The item, which settles the order of those that lie alike.
    pub(super) item: usize,
}

impl Mark {
    fn order(&self, other: &Self) -> Ordering {
        self.need.total_cmp(&other.need).then(self.item.cmp(&other.item))
    }

    fn is_before(&self, other: &Self) -> bool {
        self.order(other) == Ordering::Less
    }

    fn weight(&self) -> f64 {
        self.slopes[0] + self.slopes[1]
    }

    fn loss(&self, level: f64) -> f64 {
        let gap = self.need - level;
        self.slopes[0] * gap.max(0.0) + self.slopes[1] * (-gap).max(0.0)
    }
}

/// Slopes below and above, and each times the need, summed over the members before a place.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    under: f64,
    over: f64,
    under_need: f64,
    over_need: f64,
}

/// Members in order of need.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// No level lies outside these.
    limits: [f64; 2],
    marks: Vec<Mark>,
    /// One more than marks: the sums of all before each place, and of all.
    sums: Vec<Sums>,
    /// The place of the best level, where the search for another starts.
    at: usize,
    /// How many members need no more than each limit.
    within: [usize; 2],
    /// The best level.
    level: f64,
}

impl Line {
    /// Nobody yet.
    pub(super) fn new(limits: [f64; 2]) -> Self {
        Self {
            limits,
            marks: Vec::new(),
            sums: vec![Sums::default()],
            at: 0,
            within: [0; 2],
            level: limits[0],
        }
    }

    /// The members anew.
    pub(super) fn fill(&mut self, marks: impl Iterator<Item = Mark>) {
        self.marks.clear();
        self.marks.extend(marks);
        self.marks.sort_unstable_by(Mark::order);
        self.sum_from(0);
    }

    /// One more member.
    pub(super) fn put(&mut self, mark: Mark) {
        let place = self.marks.partition_point(|other| other.is_before(&mark));
        self.marks.insert(place, mark);
        self.sum_from(place);
    }

    /// One member fewer.
    pub(super) fn take(&mut self, mark: Mark) {
        let place = self.marks.partition_point(|other| other.is_before(&mark));
        if self.marks.get(place).is_some_and(|other| other.item == mark.item) {
            self.marks.remove(place);
            self.sum_from(place);
        }
    }

    fn sum_from(&mut self, place: usize) {
        self.sums.truncate(place + 1);
        let mut sum = self.sums.last().copied().unwrap_or_default();
        for mark in &self.marks[place..] {
            sum.under += mark.slopes[0];
            sum.over += mark.slopes[1];
            sum.under_need += mark.slopes[0] * mark.need;
            sum.over_need += mark.slopes[1] * mark.need;
            self.sums.push(sum);
        }
        self.within = self.limits.map(|limit| self.marks.partition_point(|mark| mark.need <= limit));
    }

    /// Sets the level to its best; the loss there.
    pub(super) fn settle(&mut self) -> f64 {
        let Some((level, at)) = self.best(&mut [], &[]) else {
            self.level = self.limits[0];
            return 0.0;
        };
        (self.level, self.at) = (level.clamp(self.limits[0], self.limits[1]), at);
        self.loss_at(level, at)
    }

    /// The best level as last settled.
    pub(super) fn level(&self) -> f64 {
        self.level
    }

    /// What they would lose at their best level, were `come` here as well and `gone` not.
    pub(super) fn loss_with(&self, come: &mut [Mark], gone: &[Mark]) -> f64 {
        let Some((level, at)) = self.best(come, gone) else { return 0.0 };
        let own = self.loss_at(level, at);
        let level = level.clamp(self.limits[0], self.limits[1]);
        own + come.iter().map(|mark| mark.loss(level)).sum::<f64>()
            - gone.iter().map(|mark| mark.loss(level)).sum::<f64>()
    }

    /// The smallest need at which the slopes below and above balance, and how many of the present members lie
    /// before it or at it. Nothing where nobody is left.
    fn best(&self, come: &mut [Mark], gone: &[Mark]) -> Option<(f64, usize)> {
        come.sort_unstable_by(Mark::order);
        let whole = self.sums[self.marks.len()];
        let (mut under, mut both) = (whole.under, whole.under + whole.over);
        for mark in come.iter() {
            (under, both) = (under + mark.slopes[0], both + mark.weight());
        }
        for mark in gone {
            (under, both) = (under - mark.slopes[0], both - mark.weight());
        }
        if self.marks.len() + come.len() <= gone.len() {
            return None;
        }
        let enough = under - ROUNDING * both;
        // The slopes of all up to a present member, it included.
        let up_to = |place: usize| {
            let mark = &self.marks[place];
            let own = self.sums[place + 1];
            let more: f64 = come.iter().filter(|other| other.is_before(mark)).map(Mark::weight).sum();
            let less: f64 = gone.iter().filter(|other| !mark.is_before(other)).map(Mark::weight).sum();
            own.under + own.over + more - less
        };
        // Few come and go, so the place is near the last one.
        let count = self.marks.len();
        let mut place = self.at.min(count);
        while place > 0 && up_to(place - 1) >= enough {
            place -= 1;
        }
        while place < count && up_to(place) < enough {
            place += 1;
        }
        let (mut level, mut before) = match self.marks.get(place) {
            Some(mark) => {
                let is_gone = gone.iter().any(|other| other.item == mark.item);
                let before = up_to(place) - if is_gone { 0.0 } else { mark.weight() };
                (Some(mark.need), before)
            }
            None => (None, both),
        };
        // One of those who come may lie between that member and the one before it.
        let mut own = usize::from(level.is_some());
        let last = self.marks.get(place);
        for mark in come.iter().rev().filter(|mark| last.is_none_or(|last| mark.is_before(last))) {
            if before < enough && level.is_some() {
                break;
            }
            (level, own) = (Some(mark.need), 0);
            before -= mark.weight();
        }
        level.map(|level| (level, place + own))
    }

    /// The loss of the present members at a level, kept within the limits, `at` of them being at or below it.
    fn loss_at(&self, level: f64, at: usize) -> f64 {
        let [low, high] = self.limits;
        let (level, at) = if level < low {
            (low, self.within[0])
        } else if level > high {
            (high, self.within[1])
        } else {
            (level, at)
        };
        let (below, whole) = (self.sums[at], self.sums[self.marks.len()]);
        (whole.under_need - below.under_need) - level * (whole.under - below.under) + level * below.over
            - below.over_need
    }
}
