//! How many pens: what a flock loses with one, two, three of them, and what each further one buys.
//!
//! Of pens that stand, every number says which to use. Where none is built yet, every number means equal pens
//! that together hold the flock with some room over, and how large each must then be.

use crate::arrange::Arrange as _;
use crate::pen::{Face, Feeding, Floor, Pen};
use crate::quantity::{Metre, SquareMetre};
use crate::solve::instance::{Assignment, Instance, RESOURCES};
use crate::solve::search::{self, Effort, Proof, Status};
use crate::solve::sets::{self, AtMost};
use crate::sort::measure::measure;
use crate::sort::reason::{BADLY_SHORT, Fit};
use crate::sort::shortfall::{self, count_words};
use crate::sort::{Plan, Settings};

/// Room that equal pens have over what the flock takes, as a share (common practice, no source: ewes come in
/// sizes, and a pen filled to the last place leaves none for a change of mind).
pub const ROOM_OVER: f64 = 0.08;
/// By so much pens not yet built are enlarged, again and again, until the flock fits: ewes come whole.
const ENLARGED: f64 = 1.02;
/// At most so many times.
const ENLARGEMENTS: usize = 40;
/// Table cells for a trial whether the flock fits.
const TRIAL_CELLS: usize = 300_000;

/// What comes of a number of pens.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// How many pens there may be.
    pub pens: usize,
    /// What each measures, where they are yet to be built.
    pub size: Option<Size>,
    /// The sort, or why there is none.
    pub outcome: Outcome,
}

/// A pen yet to be built.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Trough.
    pub trough: Metre,
    /// Floor.
    pub area: SquareMetre,
    /// Mean ewes of the flock that it holds.
    pub head: usize,
}

/// The sort with so many pens, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Everybody has a place.
    Sorted(Box<Sorted>),
    /// There is no place for everybody.
    Not {
        /// What is short, in words.
        words: String,
        /// Whether that is proved; otherwise none was found.
        proved: bool,
    },
}

/// What a sort comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Sorted {
    /// The names of the pens that it uses; fewer than may be where more would not help.
    pub used: Vec<String>,
    /// Misfit and all else that counts, weighted MJ over the period.
    pub objective: f64,
    /// Misfit alone, weighted MJ over the period.
    pub misfit: f64,
    /// No sort with so many pens comes to less; equal to the objective where that is proved the least.
    pub bound: f64,
    /// Whether nothing is better.
    pub is_proved: bool,
    /// ME fed below need, MJ a day for the whole flock, mean of the period.
    pub under: f64,
    /// ME fed above need, the same.
    pub over: f64,
    /// ME fed in all over the period, MJ.
    pub fed_mj: f64,
    /// Dry matter fed in all over the period, kg.
    pub fed_kg_dm: f64,
    /// Ewes fed more than a tenth below need on some day.
    pub short: usize,
    /// Ewes in the fullest pen.
    pub most_head: usize,
}

/// Ewes that every pen must leave more than a tenth short on some day, because they need more than the richest
/// ration may hold.
pub fn short_in_any_pen(plan: &Plan) -> usize {
    let [_, high] = Settings::LEVEL_LIMITS;
    let richest = vec![high; plan.days.len()];
    (0..plan.ewes.len()).filter(|&ewe| Fit::new(plan, ewe, &richest).short.1 > BADLY_SHORT).count()
}

/// The pens that stand, from one to `most` of them; nobody may be kept by hand in the plan.
pub fn of_these(plan: &Plan, most: usize) -> Vec<Count> {
    let found = sets::at_most(&plan.instance, most, Settings::SEED, sets::Effort::default());
    (1..)
        .zip(found)
        .map(|(pens, found)| {
            let outcome = match found {
                AtMost::Solved(best) => {
                    Outcome::Sorted(Box::new(sorted(plan, &best.assignment, best.bound, best.is_proved)))
                }
                AtMost::Impossible => not(plan, pens, true),
                AtMost::Undecided => not(plan, pens, false),
            };
            Count { pens, size: None, outcome }
        })
        .collect()
}

/// Equal pens on straw, fed in one go, from one to `most`; of the plan only the ewes and the settings are used.
/// Where an extra pen would hurt or be too small, since all are then smaller, the count before stands for it too.
pub fn unbuilt(plan: &Plan, most: usize) -> Vec<Count> {
    let mut counts: Vec<Count> = Vec::new();
    for pens in 1..=most {
        let before = counts.last().filter(|count| matches!(count.outcome, Outcome::Sorted(_))).cloned();
        let Some(size) = size(plan, pens) else {
            if let Some(before) = before {
                counts.push(Count { pens, ..before });
                continue;
            }
            let too_small = || {
                format!("a pen would hold fewer than {}", count_words(plan.settings.min_head as usize, "ewe"))
            };
            let words = fewer_than_kinds(plan, pens).unwrap_or_else(too_small);
            counts.push(Count { pens, size: None, outcome: Outcome::Not { words, proved: true } });
            continue;
        };
        let mut count = built(plan, pens, size);
        let objective = |count: &Count| match &count.outcome {
            Outcome::Sorted(sorted) => sorted.objective,
            Outcome::Not { .. } => f64::INFINITY,
        };
        if let Some(before) = before.filter(|before| objective(before) <= objective(&count)) {
            count = Count { pens, ..before };
        }
        counts.push(count);
    }
    counts
}

/// Equal pens of a size, made larger until everybody fits.
fn built(plan: &Plan, pens: usize, mut size: Size) -> Count {
    let mut built = plan.with(plan.ewes.clone(), equal(pens, size));
    for _ in 0..ENLARGEMENTS {
        if search::any(&built.instance, TRIAL_CELLS).is_some() {
            break;
        }
        size.trough = size.trough * ENLARGED;
        size.area = size.area * ENLARGED;
        built = plan.with(plan.ewes.clone(), equal(pens, size));
    }
    let outcome = match search::solve(&built.instance, Settings::SEED, Effort::default()) {
        Status::Solved(found) => {
            let proved = matches!(found.proof, Proof::Split | Proof::Exhausted);
            Outcome::Sorted(Box::new(sorted(&built, &found.assignment, found.bound, proved)))
        }
        Status::Impossible => Outcome::Not { words: "no sort keeps all limits".to_owned(), proved: true },
        Status::Undecided => Outcome::Not { words: "no sort was found".to_owned(), proved: false },
    };
    Count { pens, size: Some(size), outcome }
}

/// Trough and floor of each of so many equal pens: the flock's own need and some room over. Kinds that share no
/// pen are given numbers of pens so that the largest share is least. Nothing where there are fewer pens than
/// kinds, or a pen would hold fewer ewes than one must.
fn size(plan: &Plan, pens: usize) -> Option<Size> {
    let instance = &plan.instance;
    let needs: Vec<[f64; RESOURCES]> = (0..instance.kinds())
        .map(|kind| {
            let items = instance.of_kind(kind as u8);
            std::array::from_fn(|resource| {
                items.iter().map(|&ewe| f64::from(instance.room[0][ewe][resource]) / 1000.0).sum()
            })
        })
        .collect();
    let mut shares = vec![1_usize; needs.len()];
    for _ in needs.len()..pens {
        // One more pen goes to whoever has the most trough to share out by pen.
        let fullest = (0..needs.len()).max_by(|&a, &b| {
            let by_pen = |kind: usize| needs[kind][0] / shares[kind] as f64;
            by_pen(a).total_cmp(&by_pen(b)).then(b.cmp(&a))
        })?;
        shares[fullest] += 1;
    }
    if pens < needs.len() || needs.is_empty() {
        return None;
    }
    let each = |resource: usize| {
        let largest = needs.iter().zip(&shares).map(|(need, &share)| need[resource] / share as f64);
        largest.fold(0.0, f64::max) * (1.0 + ROOM_OVER)
    };
    let ewes = plan.ewes.len().max(1) as f64;
    let head = (0..RESOURCES)
        .map(|resource| {
            let mean = needs.iter().map(|need| need[resource]).sum::<f64>() / ewes;
            each(resource) / mean.max(f64::MIN_POSITIVE)
        })
        .fold(f64::INFINITY, f64::min) as usize;
    let fewest = (0..instance.kinds()).map(|kind| instance.kind_size[kind]).min().unwrap_or(0);
    (head >= (plan.settings.min_head as usize).min(fewest).max(1)).then_some(Size {
        // To the next centimetre and tenth of a square metre, so that what is said is what was sorted.
        trough: Metre::new(libm::ceil(each(0) * 100.0) / 100.0),
        area: SquareMetre::new(libm::ceil(each(1) * 10.0) / 10.0),
        head,
    })
}

fn equal(pens: usize, size: Size) -> Vec<Pen> {
    (1..=pens)
        .map(|number| Pen {
            name: number.to_string(),
            face: Face::Trough(size.trough),
            area: size.area,
            feeding: Feeding::Restricted,
            floor: Floor::Straw,
            blocked_corners: 0,
            only: Vec::new(),
            not: Vec::new(),
            max_head: None,
            row: number as u32 + 1,
        })
        .collect()
}

fn sorted(plan: &Plan, assignment: &Assignment, bound: f64, is_proved: bool) -> Sorted {
    let measure = measure(plan, assignment);
    let days = plan.days.len().max(1) as f64;
    let (mut under, mut over, mut fed_mj, mut fed_kg_dm, mut short) = (0.0, 0.0, 0.0, 0.0, 0);
    for (ewe, &pen) in assignment.iter().enumerate() {
        let levels = &measure.pens[pen].me_levels;
        for (need, level) in plan.ewes[ewe].needs.iter().zip(levels) {
            let fed = level * need.intake.value();
            let missing = need.me.value() - fed;
            under += missing.max(0.0);
            over += (-missing).max(0.0);
            fed_mj += fed;
            fed_kg_dm += need.intake.value();
        }
        short += usize::from(Fit::new(plan, ewe, levels).short.1 > BADLY_SHORT);
    }
    let used = measure.pens.iter().zip(&plan.pens).filter(|(pen, _)| !pen.members.is_empty());
    let objective = measure.objective;
    Sorted {
        used: used.map(|(_, pen)| pen.name.clone()).collect(),
        objective,
        misfit: measure.misfit,
        // The solver sums pen by pen, this ewe by ewe; the bound must not end above by a rounding.
        bound: if is_proved { objective } else { bound.min(objective) },
        is_proved,
        under: under / days,
        over: over / days,
        fed_mj,
        fed_kg_dm,
        short,
        most_head: measure.pens.iter().map(|pen| pen.members.len()).max().unwrap_or(0),
    }
}

/// Why so many of these pens do not do: against the sums of the roomiest, or the words of a failed sort.
fn not(plan: &Plan, pens: usize, proved: bool) -> Outcome {
    let roomiest = roomiest(plan, pens);
    let words = short_of(plan, &roomiest).or_else(|| fewer_than_kinds(plan, pens)).unwrap_or_else(|| {
        let pens = roomiest.iter().map(|&pen| plan.pens[pen].clone()).collect();
        let part = plan.with(plan.ewes.clone(), pens);
        let said = shortfall::diagnose(&part, proved).headline;
        let mut letters = said.trim_end_matches('.').chars();
        letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
    });
    Outcome::Not { words, proved }
}

/// Where ewes that share no pen have not one for each.
fn fewer_than_kinds(plan: &Plan, pens: usize) -> Option<String> {
    let words = "ewe lambs are kept from the rest, so there must be a pen for each";
    (pens < plan.instance.kinds()).then(|| words.to_owned())
}

/// The so many pens that hold the most mean ewes, in file order.
pub fn roomiest(plan: &Plan, pens: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..plan.instance.bins.len()).collect();
    order.arrange_by(|&a, &b| {
        let of = |pen: usize| heads(&plan.instance, pen).into_iter().fold(f64::INFINITY, f64::min);
        of(b).total_cmp(&of(a)).then(a.cmp(&b))
    });
    order.truncate(pens);
    order.sort_unstable();
    order
}

/// Mean ewes, of those it takes, that a pen holds: by each resource, and by its head limit.
fn heads(instance: &Instance, pen: usize) -> [f64; RESOURCES + 1] {
    let bin = &instance.bins[pen];
    let open: Vec<usize> = (0..instance.items()).filter(|&ewe| instance.may(ewe, pen)).collect();
    let mut heads = [bin.max_head.min(open.len()) as f64; RESOURCES + 1];
    for (resource, head) in heads.iter_mut().enumerate().take(RESOURCES) {
        let sum: f64 = open.iter().map(|&ewe| f64::from(instance.room_in(ewe, pen)[resource])).sum();
        let mean = sum / open.len().max(1) as f64;
        // A pen that takes nobody holds nobody, however large.
        *head = if open.is_empty() { 0.0 } else { bin.capacity[resource] as f64 / mean.max(1.0) };
    }
    heads
}

/// What the pens lack at the flock's mean ewe, where a sum says so.
fn short_of(plan: &Plan, pens: &[usize]) -> Option<String> {
    let instance = &plan.instance;
    let ewes = plan.ewes.len() as f64;
    let held: Vec<[f64; RESOURCES + 1]> = pens.iter().map(|&pen| heads(instance, pen)).collect();
    let mut lacks = Vec::new();
    for (resource, (name, unit)) in shortfall::RESOURCE_WORDS.into_iter().enumerate() {
        let head: f64 = held.iter().map(|heads| heads[resource]).sum();
        let there: f64 = pens.iter().map(|&pen| instance.bins[pen].capacity[resource] as f64 / 1000.0).sum();
        if head < ewes && head > 0.0 {
            // What the flock would take of pens such as these.
            lacks.push(format!("{:.1} {unit} of {name} short", there * (ewes / head - 1.0)));
        }
    }
    let by_limit: f64 = held.iter().map(|heads| heads[RESOURCES]).sum();
    if by_limit < ewes {
        lacks.push(format!("head limits of {by_limit:.0} in all"));
    }
    let whole: f64 = held.iter().map(|heads| heads.iter().copied().fold(f64::INFINITY, f64::min)).sum();
    let names: Vec<&str> = pens.iter().map(|&pen| plan.pens[pen].name.as_str()).collect();
    let over = libm::ceil(ewes - whole - 1e-9).max(0.0) as usize;
    (!lacks.is_empty() && over > 0).then(|| {
        format!(
            "even {} {}, the roomiest, {} room for about {:.0} of {}: {}",
            if pens.len() == 1 { "pen" } else { "pens" },
            names.join(", "),
            if pens.len() == 1 { "has" } else { "have" },
            libm::floor(whole),
            count_words(plan.ewes.len(), "ewe"),
            lacks.join(", ")
        )
    })
}
