//! What a card may ask of a ewe: whole numbers on a scale, and bands of them.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::flock::{Due, Litter};
use crate::sort::{Plan, PlannedEwe};
use std::collections::BTreeMap;

/// Days in a band of due dates where the flock has no mating groups (common practice, no source).
const BAND_DAYS: i32 = 10;
/// A band of due dates with a smaller share of the flock joins its neighbour (common practice, no source).
const FEWEST_SHARE: f64 = 0.03;
/// Weight classes are cut at whole steps of this many kg, so that a person can remember them.
const WEIGHT_STEP_KG: i32 = 5;
/// Weight classes that a card is found with.
const WEIGHT_CLASSES: usize = 3;

/// What a card may look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Feature {
    /// Lambs carried.
    Lambs,
    /// Condition score, in halves: a quarter counts as the half below it.
    Condition,
    /// The day she is due.
    Due,
    /// Live weight, in whole kg: what is over is left out.
    Weight,
}

/// Whole numbers on a feature's scale, both ends included; an end that is missing is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Span {
    /// The first.
    pub from: Option<i32>,
    /// The last.
    pub to: Option<i32>,
}

impl Span {
    /// One number alone.
    pub const fn one(at: i32) -> Self {
        Self { from: Some(at), to: Some(at) }
    }

    /// Whether a number lies in it.
    pub fn holds(self, at: i32) -> bool {
        self.from.is_none_or(|from| from <= at) && self.to.is_none_or(|to| at <= to)
    }

    /// Whether two spans have a number in common.
    pub fn meets(self, other: Self) -> bool {
        let begins_by = |one: Self, other: Self| match (one.from, other.to) {
            (Some(from), Some(to)) => from <= to,
            _ => true,
        };
        begins_by(self, other) && begins_by(other, self)
    }
}

/// The day from which due dates are counted on their scale.
fn first_day() -> Option<Day> {
    Day::of(2000, 1, 1)
}

/// A day on the scale of due dates.
pub fn of_day(day: Day) -> i32 {
    first_day().map_or(0, |first| day.since(first))
}

/// The day at a place on the scale of due dates.
pub fn to_day(at: i32) -> Option<Day> {
    first_day().map(|first| first.plus(at))
}

impl Feature {
    /// Every feature, in the order in which a card asks.
    pub const ALL: [Self; 4] = [Self::Lambs, Self::Condition, Self::Due, Self::Weight];

    /// The word at the head of its lines.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lambs => "lambs",
            Self::Condition => "condition",
            Self::Due => "due",
            Self::Weight => "weight",
        }
    }

    /// Where a ewe lies on its scale.
    pub fn of(self, ewe: &PlannedEwe) -> i32 {
        match self {
            Self::Lambs => i32::from(ewe.litter.lambs()),
            // The nearest half, quarters down: a mean of 2.93 is 3.0, a score of 2.75 is 2.5.
            Self::Condition => libm::ceil(ewe.filled.condition * 2.0 - 0.5) as i32,
            Self::Due => of_day(ewe.due),
            Self::Weight => libm::floor(ewe.filled.weight.value()) as i32,
        }
    }

    /// The numbers that a ewe may have: no line is needed beyond them.
    pub const fn scale(self) -> Span {
        match self {
            Self::Lambs => Span { from: Some(1), to: Some(Litter::MOST as i32) },
            Self::Condition => Span { from: Some(2), to: Some(10) },
            Self::Due | Self::Weight => Span { from: None, to: None },
        }
    }
}

/// A band of a feature.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Band {
    /// Whom it holds.
    pub span: Span,
    /// Its name, such as a mark's colour; empty where it has none.
    pub label: String,
}

/// A feature cut into bands, in the order of its scale, without gaps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Banded {
    /// The feature.
    pub feature: Feature,
    /// Its bands.
    pub bands: Vec<Band>,
}

impl Banded {
    /// The band of a ewe.
    pub fn of(&self, ewe: &PlannedEwe) -> usize {
        let at = self.feature.of(ewe);
        self.bands.iter().position(|band| band.span.holds(at)).unwrap_or_default()
    }

    /// Bands that begin at `starts`, the first of them open below.
    fn cut(feature: Feature, starts: &[(i32, String)]) -> Self {
        let band = |(at, (from, label)): (usize, &(i32, String))| Band {
            span: Span { from: (at > 0).then_some(*from), to: starts.get(at + 1).map(|(next, _)| next - 1) },
            label: label.clone(),
        };
        Self { feature, bands: starts.iter().enumerate().map(band).collect() }
    }
}

/// The bands with which a card for this flock is found.
pub fn bands(plan: &Plan, weight_classes: bool) -> Vec<Banded> {
    let plain = |starts: &[i32]| starts.iter().map(|&at| (at, String::new())).collect::<Vec<_>>();
    let mut all = vec![
        Banded::cut(Feature::Lambs, &plain(&[1, 2, 3, 4])),
        // 1.5 or less, 2.0, 2.5, 3.0, 3.5, 4.0 or more.
        Banded::cut(Feature::Condition, &plain(&[3, 4, 5, 6, 7, 8])),
        Banded::cut(Feature::Due, &groups(plan).unwrap_or_else(|| plain(&due_starts(plan)))),
    ];
    if weight_classes {
        all.push(Banded::cut(Feature::Weight, &plain(&weight_starts(plan))));
    }
    all
}

/// The mating groups by which most of the flock is known: the first day on which each is due, and its name.
fn groups(plan: &Plan) -> Option<Vec<(i32, String)>> {
    let mut names: BTreeMap<i32, Vec<&str>> = BTreeMap::new();
    let mut known = 0;
    for ewe in &plan.ewes {
        if let Due::Between { group, first, .. } = &ewe.ewe.due {
            known += 1;
            let names = names.entry(of_day(*first)).or_default();
            if !names.contains(&group.as_str()) {
                names.push(group);
                names.arrange_by_key(|name| *name);
            }
        }
    }
    (2 * known >= plan.ewes.len() && known > 0)
        .then(|| names.into_iter().map(|(first, names)| (first, names.join(" or "))).collect())
}

/// Bands of ten days from the first due date on; thin ones join the one before.
fn due_starts(plan: &Plan) -> Vec<i32> {
    let mut due: Vec<i32> = plan.ewes.iter().map(|ewe| Feature::Due.of(ewe)).collect();
    due.arrange_by_key(|day| *day);
    let (Some(&first), Some(&last)) = (due.first(), due.last()) else { return vec![0] };
    let fewest = (FEWEST_SHARE * due.len() as f64).max(1.0);
    let mut starts: Vec<i32> = vec![first];
    let mut at = first;
    while at + BAND_DAYS <= last {
        at += BAND_DAYS;
        let heads = |from: i32, to: i32| due.iter().filter(|&&day| from <= day && day < to).count() as f64;
        let before = starts.last().copied().unwrap_or(first);
        if heads(at, at + BAND_DAYS) >= fewest && heads(before, at) >= fewest {
            starts.push(at);
        }
    }
    starts
}

/// Weight classes of about equal size, cut at whole steps.
fn weight_starts(plan: &Plan) -> Vec<i32> {
    let mut weights: Vec<i32> = plan.ewes.iter().map(|ewe| Feature::Weight.of(ewe)).collect();
    weights.arrange_by_key(|weight| *weight);
    let mut starts = vec![0];
    for class in 1..WEIGHT_CLASSES {
        if let Some(&weight) = weights.get(weights.len() * class / WEIGHT_CLASSES) {
            let at = (weight + WEIGHT_STEP_KG / 2) / WEIGHT_STEP_KG * WEIGHT_STEP_KG;
            if starts.last().is_some_and(|&last| last < at) {
                starts.push(at);
            }
        }
    }
    starts
}
