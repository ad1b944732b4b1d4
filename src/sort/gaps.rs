//! What is missing from a ewe's record, filled from elsewhere, marked, and never in silence.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::flock::{AgeClass, Due, Ewe};
use crate::quantity::{GramPerDay, Kg};
use crate::requirement::condition;
use crate::sort::System;
use std::borrow::Borrow;

/// Weight where no ewe of the flock has one (common practice, no source).
const USUAL_KG: f64 = 70.0;
/// Weight at each age over a mature ewe's: 61 % ewe lamb, 84 % shearling (Irish Farmers Journal 559599,
/// 2020; year from memory).
const SHARE_OF_MATURE: [f64; 3] = [0.61, 0.84, 1.0];
/// Growth wanted of a ewe lamb, g a day: 50 (Keady, Teagasc).
const EWE_LAMB_GROWTH_G: f64 = 50.0;

/// What was taken from elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Assumed {
    /// Not scored: the mean of her age class.
    Condition,
    /// No date and no group: the flock's tenth percentile.
    Due,
    /// Only her group is known: its first day.
    DueFromGroup,
    /// Not weighed: typical of her age.
    Weight,
    /// No age: taken as mature.
    Age,
}

impl Assumed {
    /// The field's name in documents.
    pub const fn field(self) -> &'static str {
        match self {
            Self::Condition => "condition",
            Self::Due | Self::DueFromGroup => "due",
            Self::Weight => "weight_kg",
            Self::Age => "age",
        }
    }

    /// What to do about it, short.
    pub const fn ask(self) -> &'static str {
        match self {
            Self::Condition => "score her",
            Self::Due => "date her",
            Self::DueFromGroup => "date from her group",
            Self::Weight => "weigh her",
            Self::Age => "age her",
        }
    }

    /// Where the figure was taken from.
    pub const fn note(self) -> &'static str {
        match self {
            Self::Condition => "not scored: the mean of her age class",
            Self::Due => {
                "no date and no group: the flock's tenth percentile, so that she is not fed too late"
            }
            Self::DueFromGroup => "her group's first day: the earliest that she may lamb",
            Self::Weight => "not weighed: typical of her age in this flock",
            Self::Age => "no age on record: taken as mature",
        }
    }

    /// Whether somebody should go and look; a group's first day is how groups are meant to be used.
    pub const fn needs_a_look(self) -> bool {
        !matches!(self, Self::DueFromGroup)
    }
}

/// What the flock as a whole says of a ewe whose record has gaps.
#[derive(Debug, Clone)]
pub struct Flock {
    weight: [f64; 3],
    condition: [f64; 3],
    tenth_percentile: Option<Day>,
    last_due: Option<Day>,
}

/// A ewe's record without gaps.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// Age class.
    pub age: AgeClass,
    /// Live weight.
    pub weight: Kg,
    /// Condition score.
    pub condition: f64,
    /// The day she is due, at the earliest where it is not known.
    pub due: Option<Day>,
    /// The latest day she may be due.
    pub latest: Option<Day>,
    /// Growth wanted.
    pub growth: GramPerDay,
    /// What was taken from elsewhere.
    pub assumed: Vec<Assumed>,
}

impl Flock {
    /// Reads what the flock says: medians of weight and means of condition by age, and its due dates.
    pub fn new<E: Borrow<Ewe>>(ewes: &[E], system: System) -> Self {
        let ewes = || ewes.iter().map(E::borrow);
        let age = |ewe: &Ewe| ewe.age.unwrap_or(AgeClass::Mature);
        let weights: [Option<f64>; 3] = AgeClass::ALL.map(|class| {
            median(ewes().filter(|ewe| age(ewe) == class).filter_map(|ewe| ewe.weight).map(Kg::value))
        });
        let scores: [Option<f64>; 3] = AgeClass::ALL.map(|class| {
            mean(ewes().filter(|ewe| age(ewe) == class).filter_map(|ewe| ewe.condition).map(|s| s.units()))
        });
        let all_scores = mean(ewes().filter_map(|ewe| ewe.condition).map(|score| score.units()));
        let usual_score = all_scores.unwrap_or_else(|| condition::target(system as usize));
        let mut due: Vec<Day> = ewes().filter_map(|ewe| earliest(&ewe.due)).collect();
        due.arrange_by_key(|day| *day);
        let last_due = ewes().filter_map(|ewe| latest(&ewe.due)).max();
        Self {
            weight: std::array::from_fn(|class| {
                weights[class].unwrap_or_else(|| from_other_ages(&weights, class))
            }),
            condition: std::array::from_fn(|class| scores[class].unwrap_or(usual_score)),
            tenth_percentile: due.get(due.len().div_ceil(10).saturating_sub(1)).copied(),
            last_due,
        }
    }

    /// A ewe's record with its gaps filled.
    pub fn fill(&self, ewe: &Ewe) -> Filled {
        let mut assumed = Vec::new();
        let mut or_assume = |missing: bool, what: Assumed| {
            if missing {
                assumed.push(what);
            }
        };
        or_assume(ewe.age.is_none(), Assumed::Age);
        or_assume(ewe.weight.is_none(), Assumed::Weight);
        or_assume(ewe.condition.is_none(), Assumed::Condition);
        or_assume(matches!(ewe.due, Due::Unknown), Assumed::Due);
        or_assume(matches!(ewe.due, Due::Between { .. }), Assumed::DueFromGroup);
        let age = ewe.age.unwrap_or(AgeClass::Mature);
        let class = age as usize;
        let growth = if age == AgeClass::EweLamb { EWE_LAMB_GROWTH_G } else { 0.0 };
        Filled {
            age,
            weight: ewe.weight.unwrap_or(Kg::new(self.weight[class])),
            condition: ewe.condition.map_or(self.condition[class], |score| score.units()),
            due: earliest(&ewe.due).or(self.tenth_percentile),
            latest: latest(&ewe.due).or(self.last_due),
            growth: ewe.growth.unwrap_or(GramPerDay::new(growth)),
            assumed,
        }
    }
}

fn earliest(due: &Due) -> Option<Day> {
    match due {
        Due::On(day) | Due::Between { first: day, .. } => Some(*day),
        Due::Unknown => None,
    }
}

fn latest(due: &Due) -> Option<Day> {
    match due {
        Due::On(day) | Due::Between { last: day, .. } => Some(*day),
        Due::Unknown => None,
    }
}

/// Where no ewe of an age was weighed, the other ages tell what she would weigh.
fn from_other_ages(weights: &[Option<f64>; 3], class: usize) -> f64 {
    let mature =
        mean(weights.iter().zip(SHARE_OF_MATURE).filter_map(|(weight, share)| Some((*weight)? / share)));
    mature.map_or(USUAL_KG, |mature| mature * SHARE_OF_MATURE[class])
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0_u32), |(sum, count), value| (sum + value, count + 1));
    (count > 0).then(|| sum / f64::from(count))
}

fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.collect();
    values.arrange_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() {
        0 => None,
        odd if odd % 2 == 1 => Some(values[middle]),
        _ => Some(f64::midpoint(values[middle - 1], values[middle])),
    }
}
