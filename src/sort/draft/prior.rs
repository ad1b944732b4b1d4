//! What is believed before the first ewe comes: from last year's list, from this season's records, or from print.

use crate::day::Day;
use crate::flock::{AgeClass, Due, Ewe, Litter};
use crate::quantity::Kg;
use crate::requirement::TERM_DAYS;
use crate::requirement::condition;
use crate::requirement::score::SPREAD_IN_CLASS;
use crate::sort::gaps::{Filled, Flock};
use crate::sort::settings::{Settings, System};

/// Litter sizes 1 to 4 by lambs a pregnant ewe, from 1.2 in steps of a tenth: a latent normal with thresholds
/// fitted to published scanning counts (Tullamore 2019, 2020 and UCD 2020, 2022 in the Irish farm press; rule
/// of Knight, Hall & Wilson 1983 on how mixes shift).
const LITTERS: [[f64; 4]; 12] = [
    [0.809, 0.182, 0.009, 0.000],
    [0.719, 0.262, 0.019, 0.000],
    [0.633, 0.334, 0.033, 0.000],
    [0.552, 0.397, 0.051, 0.000],
    [0.475, 0.449, 0.075, 0.001],
    [0.405, 0.491, 0.104, 0.001],
    [0.340, 0.522, 0.138, 0.001],
    [0.281, 0.540, 0.177, 0.002],
    [0.228, 0.547, 0.222, 0.003],
    [0.182, 0.541, 0.272, 0.005],
    [0.142, 0.524, 0.327, 0.008],
    [0.108, 0.496, 0.384, 0.012],
];
/// Lambs a pregnant mature ewe, lowland, upland, hill: middles of the ranges 1.8 to 2.0, 1.5 to 1.7 and 1.25 to
/// 1.4 (suggested from the same counts).
const LAMBS: [f64; 3] = [1.9, 1.6, 1.3];
/// Shearlings carry so many fewer (the same counts: 0.2 to 0.35); ewe lambs carry so many in all (1.3 to 1.45).
const SHEARLING_FEWER: f64 = 0.3;
const EWE_LAMB: f64 = 1.35;
/// Live weight of a mature ewe, lowland, upland, hill, kg: Irish and British cross-breds 75 to 90, 70, and
/// Blackface on the hill 50 to 60 (Irish Farmers Journal 559599, 2020; year from memory).
const MATURE_KG: [f64; 3] = [77.0, 70.0, 55.0];
/// Weight at each age over a mature ewe's: 61 % ewe lamb, 84 % shearling (the same source).
const SHARE_OF_MATURE: [f64; 3] = [0.61, 0.84, 1.0];
/// Spread of weight within an age, share: our choice, no source (7 to 10 % from memory).
const WEIGHT_SPREAD: f64 = 0.10;
/// Share of ewe lambs, shearlings and mature ewes: a quarter replaced each year (AHDB's bands), ewe lambs put to
/// the ram on some farms only (common practice, no source).
const AGES: [f64; 3] = [0.08, 0.22, 0.70];
/// The first lambing where nothing tells it: six weeks on, when feeding begins to matter (common practice, no
/// source).
pub(super) const FIRST_LAMBING_DAYS: i32 = 42;
/// A cycle of the ewe, days, and the share that hold at each service: 0.80 (0.65 to 0.87; UCD 2020 and 2022 in
/// the Irish farm press).
const CYCLE_DAYS: f64 = 17.0;
const HOLD: f64 = 0.80;
/// Spread of condition over flocks, scores: 0.44 (derived from Pollott & Kilkenny 1976; year from memory).
const SPREAD_OVER_FLOCKS: f64 = 0.44;
/// Spread of condition within a flock: 0.40, likewise derived, rounding to a half included.
const SPREAD_IN_FLOCK: f64 = 0.40;

/// So many ewes is a prior on litter and likeness worth, from last year's list: by trial (mean ratios of a
/// drafting prototype were best about 60).
const LAST_YEARS_WORTH: f64 = 60.0;
/// What print alone is worth: less, since flocks differ (our choice, no source).
const PRINTS_WORTH: f64 = 25.0;
/// So many scores is a prior on condition worth, with records, with last year's list, and from print: by trial on
/// invented flocks, no source (a drafting prototype's 20 and 60 learnt too slowly here).
const SCORES_WORTH: [f64; 3] = [6.0, 6.0, 4.0];
/// Of a long list so many ewes stand for all as bodies.
const BODIES: usize = 48;

/// Where the prior comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// This season's records: litter and due day are known by tag.
    Records,
    /// A list of an earlier year: weight and age by tag where tags match, the rest as a distribution.
    LastYear,
    /// Published figures alone.
    Print,
}

/// A ewe as she may be, without litter and score.
#[derive(Debug, Clone)]
pub(super) struct Body {
    pub(super) filled: Filled,
    pub(super) due: Day,
    pub(super) shorn: bool,
    /// Her share among the bodies.
    pub(super) share: f64,
}

/// A ewe on record.
#[derive(Debug, Clone)]
pub(super) struct Record {
    pub(super) ewe: Ewe,
    pub(super) body: Body,
    /// Lambs, where this season's scan is on record.
    pub(super) litter: Option<Litter>,
}

/// What is believed before the first ewe.
#[derive(Debug, Clone)]
pub(super) struct Prior {
    pub(super) source: Source,
    pub(super) records: Vec<Record>,
    pub(super) bodies: Vec<Body>,
    /// Shares of litters 1 to 4, by age class.
    pub(super) litters: [[f64; 4]; 3],
    /// Shares of the age classes.
    pub(super) ages: [f64; 3],
    /// Mean condition, its spread, and how many scores that is worth.
    pub(super) score: (f64, f64, f64),
    /// How many ewes the rest of the prior is worth.
    pub(super) worth: f64,
    /// The first day that anybody is due.
    pub(super) first_due: Option<Day>,
}

impl Prior {
    /// From a list where there is one, otherwise from print.
    pub(super) fn new(list: Option<&[Ewe]>, first_due: Option<Day>, settings: &Settings) -> Self {
        match list {
            Some(list) if !list.is_empty() => from_list(list, settings),
            _ => from_print(first_due, settings),
        }
    }
}

/// The published litter shares at so many lambs a pregnant ewe.
fn litters_at(lambs: f64) -> [f64; 4] {
    let row = libm::round((lambs - 1.2) * 10.0).clamp(0.0, (LITTERS.len() - 1) as f64) as usize;
    LITTERS[row]
}

fn published_litters(system: System) -> [[f64; 4]; 3] {
    let lambs = LAMBS[system as usize];
    [litters_at(EWE_LAMB), litters_at(lambs - SHEARLING_FEWER), litters_at(lambs)]
}

/// Standard normal values that stand for a sixth of all each (any table of the normal).
const SIXTHS: [f64; 6] = [-1.383, -0.674, -0.210, 0.210, 0.674, 1.383];

fn from_print(first_due: Option<Day>, settings: &Settings) -> Prior {
    let first = first_due.unwrap_or_else(|| settings.on.plus(FIRST_LAMBING_DAYS));
    let mut bodies = Vec::new();
    let cycles = [HOLD, HOLD * (1.0 - HOLD), (1.0 - HOLD) * (1.0 - HOLD)];
    for age in AgeClass::ALL {
        let class = age as usize;
        for (number, deviation) in SIXTHS.into_iter().enumerate() {
            for (cycle, hold) in cycles.into_iter().enumerate() {
                let kg = MATURE_KG[settings.system as usize]
                    * SHARE_OF_MATURE[class]
                    * (1.0 + WEIGHT_SPREAD * deviation);
                // Light and heavy ewes are spread over the cycle alike.
                let within = CYCLE_DAYS * ((number * 5 % 6) as f64 + 0.5) / 6.0;
                let due = first.plus(libm::round(CYCLE_DAYS * cycle as f64 + within) as i32);
                let flock = Flock::new::<Ewe>(&[], settings.system);
                let ewe = Ewe {
                    age: Some(age),
                    weight: Some(Kg::new(kg)),
                    due: Due::On(due),
                    ..Ewe::unknown(String::new())
                };
                let filled = flock.fill(&ewe);
                bodies.push(Body { filled, due, shorn: false, share: AGES[class] * hold / 6.0 });
            }
        }
    }
    Prior {
        source: Source::Print,
        records: Vec::new(),
        bodies,
        litters: published_litters(settings.system),
        ages: AGES,
        score: (
            condition::target(settings.system as usize),
            (SPREAD_IN_FLOCK * SPREAD_IN_FLOCK + SPREAD_OVER_FLOCKS * SPREAD_OVER_FLOCKS / SCORES_WORTH[2])
                .sqrt(),
            SCORES_WORTH[2],
        ),
        worth: PRINTS_WORTH,
        first_due: Some(first),
    }
}

fn from_list(list: &[Ewe], settings: &Settings) -> Prior {
    let days = days_due(list);
    let years = years_of(&days, settings.on);
    let source = if years == 0 { Source::Records } else { Source::LastYear };
    let aged: Vec<Ewe> = list.iter().map(|ewe| moved_on(ewe, years)).collect();
    let flock = Flock::new(&aged, settings.system);
    let first = days.first().map_or(settings.on.plus(FIRST_LAMBING_DAYS), |&day| on_by(day, years));
    // Print counts for one ewe of each age, so that nothing is ruled out.
    let mut counts = published_litters(settings.system);
    let mut ages = AGES;
    let mut records = Vec::new();
    for (ewe, old) in aged.iter().zip(list) {
        if old.litter.is_some_and(|litter| litter.lambs() == 0) && source == Source::Records {
            continue;
        }
        let filled = flock.fill(ewe);
        if let Some(litter) = old.litter.filter(|litter| litter.lambs() > 0) {
            // The litters of an earlier year are those of the age that she had then.
            let class = old.age.unwrap_or(AgeClass::Mature) as usize;
            counts[class][usize::from(litter.lambs().min(4)) - 1] += 1.0;
        }
        let due = filled.due.unwrap_or(first);
        let body = Body { filled, due, shorn: ewe.shorn, share: 1.0 };
        let litter = ewe.litter.filter(|litter| litter.lambs() > 0);
        records.push(Record { ewe: ewe.clone(), body, litter });
    }
    // As a distribution the list is taken as it was: this year's shearlings are like last year's.
    let alike: Vec<Ewe> =
        list.iter().map(|ewe| Ewe { age: ewe.age, weight: ewe.weight, ..moved_on(ewe, years) }).collect();
    let flock = Flock::new(&alike, settings.system);
    let step = alike.len().div_ceil(BODIES).max(1);
    let mut bodies: Vec<Body> = alike
        .iter()
        .step_by(step)
        .map(|ewe| {
            let filled = flock.fill(ewe);
            let due = filled.due.unwrap_or(first);
            Body { filled, due, shorn: ewe.shorn, share: 1.0 }
        })
        .collect();
    for ewe in list {
        ages[ewe.age.unwrap_or(AgeClass::Mature) as usize] += 1.0;
    }
    let count = bodies.len().max(1) as f64;
    bodies.iter_mut().for_each(|body| body.share = 1.0 / count);
    let shares = |sums: [f64; 4]| {
        let all: f64 = sums.iter().sum();
        sums.map(|sum| sum / all.max(f64::MIN_POSITIVE))
    };
    let all: f64 = ages.iter().sum();
    let worth = SCORES_WORTH[usize::from(source == Source::LastYear)];
    if bodies.is_empty() {
        return from_print(Some(first), settings);
    }
    Prior {
        source,
        records,
        bodies,
        litters: counts.map(shares),
        ages: ages.map(|age| age / all),
        score: scores_of(list, settings, worth),
        worth: LAST_YEARS_WORTH,
        first_due: Some(first),
    }
}

/// Whether most of a list's days due lie in a pregnancy that was over before a day.
pub fn is_of_earlier_year(list: &[Ewe], on: Day) -> bool {
    years_of(&days_due(list), on) > 0
}

/// The days due of a list, earliest first.
fn days_due(list: &[Ewe]) -> Vec<Day> {
    let due_of = |ewe: &Ewe| match &ewe.due {
        Due::On(day) | Due::Between { first: day, .. } => Some(*day),
        Due::Unknown => None,
    };
    let mut days: Vec<Day> = list.iter().filter_map(due_of).collect();
    days.sort_unstable();
    days
}

/// How many years on they must go, by the middle one.
fn years_of(days: &[Day], on: Day) -> i16 {
    days.get(days.len() / 2).map_or(0, |&middle| years_on(middle, on))
}

/// Mean and spread of a list's scores.
fn scores_of(list: &[Ewe], settings: &Settings, worth: f64) -> (f64, f64, f64) {
    let scores: Vec<f64> = list.iter().filter_map(|ewe| Some(ewe.condition?.units())).collect();
    if scores.is_empty() {
        return (condition::target(settings.system as usize), SPREAD_IN_FLOCK, SCORES_WORTH[2]);
    }
    let mean = scores.iter().sum::<f64>() / scores.len() as f64;
    let square = scores.iter().map(|score| (score - mean) * (score - mean)).sum::<f64>();
    // A spread of few scores leans on the published one.
    let spread = ((square + 5.0 * SPREAD_IN_CLASS * SPREAD_IN_CLASS) / (scores.len() as f64 + 5.0)).sqrt();
    (mean, spread, worth)
}

/// How many years on a day must go to lie in the pregnancy that is under way.
fn years_on(day: Day, on: Day) -> i16 {
    // A ewe may be some days over.
    const OVER: i32 = 14;
    (0..40)
        .find(|&years| (-OVER..=TERM_DAYS as i32).contains(&on_by(day, years).since(on)))
        .or_else(|| (0..40).find(|&years| on_by(day, years).since(on) >= 0))
        .unwrap_or(0)
}

fn on_by(day: Day, years: i16) -> Day {
    // Whole years of 365.25 days, so that 29 February needs no rule.
    day.plus(libm::round(f64::from(years) * 365.25) as i32)
}

/// A ewe of an earlier list as she is now: older, her day moved on, her litter and score not known.
fn moved_on(ewe: &Ewe, years: i16) -> Ewe {
    if years == 0 {
        return Ewe { condition: None, ..ewe.clone() };
    }
    let older = |age: AgeClass| match (age, years) {
        (AgeClass::EweLamb, 1) => AgeClass::Shearling,
        _ => AgeClass::Mature,
    };
    let due = match &ewe.due {
        Due::On(day) => Due::On(on_by(*day, years)),
        Due::Between { group, first, last } => {
            Due::Between { group: group.clone(), first: on_by(*first, years), last: on_by(*last, years) }
        }
        Due::Unknown => Due::Unknown,
    };
    // What a ewe that was still growing weighed a year ago says little of her now.
    let weight = ewe.weight.filter(|_| ewe.age.unwrap_or(AgeClass::Mature) == AgeClass::Mature);
    Ewe { age: ewe.age.map(older), due, weight, litter: None, condition: None, shorn: false, ..ewe.clone() }
}
