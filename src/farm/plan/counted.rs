//! Stores as they were counted, and what was loaded since: what is still there.

use crate::day::Day;
use crate::farm::plan::ground::Ground;
use crate::feed::Stocked;
use crate::io::Loaded;
use crate::problem::{Problem, Severity};
use crate::quantity::Kg;
use crate::sort::weeks::DAYS;

/// What was loaded of each feed, kg, from the day on which its store was counted to the day before the plan begins. A
/// store whose count has no day is taken as it is on the plan's first day.
pub(super) fn since(feeds: &[Stocked], loads: &[Loaded], on: Day) -> Vec<f64> {
    let of = |(feed, stocked): (usize, &Stocked)| {
        let Some(counted) = stocked.counted_on.filter(|_| stocked.stock.is_some()) else { return 0.0 };
        let own = loads.iter().filter(|load| load.feed == feed && load.day >= counted && load.day < on);
        own.map(|load| load.loaded.value()).fold(0.0, |sum, kg| sum + kg)
    };
    feeds.iter().enumerate().map(of).collect()
}

/// Takes from the stores what was loaded since they were counted; where that is more than there was, it is said.
pub(super) fn correct(feeds: &mut [Stocked], since: &[f64]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (stocked, gone) in feeds.iter_mut().zip(since).filter(|(_, gone)| **gone > 0.0) {
        let Some(stock) = stocked.stock.map(Kg::value) else { continue };
        if *gone > stock {
            problems.push(Problem::new(
                Severity::Warning,
                "loaded-over-store",
                format!("feed {}", stocked.feed.name),
                format!("{gone:.0} kg were loaded since the store was counted at {stock:.0} kg."),
                "Count it again: the plan takes it as empty.",
            ));
        }
        stocked.stock = Some(Kg::new((stock - gone).max(0.0)));
    }
    problems
}

/// What was loaded on days of the plan itself, in kg: pen, day of the plan from 0, feed. On a day on which anything was
/// told of a pen, what is told counts and not what was planned.
pub(super) struct Told {
    of: Vec<(usize, usize, usize, f64)>,
}

impl Told {
    pub(super) fn of(loads: &[Loaded], on: Day) -> Self {
        let day = |load: &Loaded| usize::try_from(load.day.since(on)).ok();
        let of = loads.iter().filter_map(|load| Some((load.pen, day(load)?, load.feed, load.loaded.value())));
        Self { of: of.collect() }
    }

    /// What was loaded of a feed in a pen on a day; nothing where nothing is told of the pen on that day.
    pub(super) fn kg(&self, pen: usize, day: usize, feed: usize) -> Option<f64> {
        let mut own = self.of.iter().filter(|(own, at, ..)| (*own, *at) == (pen, day)).peekable();
        own.peek()?;
        Some(own.filter(|(.., of, _)| *of == feed).fold(0.0, |sum, (.., kg)| sum + kg))
    }

    fn is_empty(&self) -> bool {
        self.of.is_empty()
    }
}

/// By how much what was told of the plan's days is more than what the plan has for them, by feed, kg; nothing where no
/// store is touched by it.
pub(super) fn over(ground: &Ground<'_>) -> Option<Vec<f64>> {
    if ground.told.is_empty() {
        return None;
    }
    let of = |(feed, stocked): (usize, &Stocked)| {
        if stocked.stock.is_none() {
            return 0.0;
        }
        let mut over = 0.0;
        for (spell, fed) in ground.all() {
            let (Some(ration), Some(week)) = (fed.ration(), ground.week(spell)) else { continue };
            let planned = ration.feeds().into_iter().find(|(own, _)| *own == feed).map_or(0.0, |(_, kg)| kg);
            for (day, head) in (spell.week * DAYS..).zip(&week.head) {
                if let Some(kg) = ground.told.kg(spell.pen, day, feed) {
                    over += kg - planned * f64::from(*head);
                }
            }
        }
        over
    };
    let over: Vec<f64> = ground.feeds.iter().enumerate().map(of).collect();
    over.iter().any(|kg| kg.abs() > 0.5).then_some(over)
}
