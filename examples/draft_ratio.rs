//! How near drafting at the race comes to the sort that knows the whole flock: a table.
//!
//! `cargo run --release --example draft_ratio -- EWES PENS DAYS FLOCKS SHUFFLES [CASE ...]`, for example
//! `300 3 1 20 10`. Flocks are invented; pens hold 8 % more than the flock, trough and floor both near binding.
//! Every case is drafted in FLOCKS · SHUFFLES orders; ratios are objective over that of the all-knowing sort.
#![allow(missing_docs)]
#![allow(clippy::disallowed_methods, reason = "an example may look at the clock; the engine may not")]

#[path = "../tests/common/dice.rs"]
mod dice;
#[path = "../tests/common/invented.rs"]
mod invented;

use dice::Dice;
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::flock::{Ewe, Litter, Score};
use evenfold::pen::Pen;
use evenfold::solve::front::front;
use evenfold::solve::search::{Effort, Status, solve};
use evenfold::sort::Plan;
use evenfold::sort::draft::{Answer, Draft, Known};
use invented::{Like, flock, pens};
use std::time::Instant;

const LIKE: Like = Like { ewes: 0, first_threshold: -0.58, condition: 2.9, ewe_lambs: 0.0, grouped: false };

/// What is known before the first ewe.
const CASES: [&str; 12] = [
    "records",
    "records +0.3",
    "records -0.3",
    "last year",
    "last year +0.3",
    "last year -0.3",
    "last year litter",
    "nothing",
    "nothing 2 ways",
    "nothing 3 ways",
    "records 2 ways",
    "records 3 ways",
];

fn prepared(text: &str, pens: &str, days: u32) -> Plan {
    let settings = Settings { period_days: Some(days), ..Settings::default() };
    let files = Files { flock: text.as_bytes(), pens: pens.as_bytes(), groups: None };
    prepare(files, &settings, FaultyRows::Refuse).expect("invented files are sound").plan
}

/// A list scored so much higher, in quarters that come to it in the mean.
fn scored(ewes: &[Ewe], by: f64, dice: &mut Dice) -> Vec<Ewe> {
    let step = |dice: &mut Dice| {
        let quarters = by * 4.0;
        let whole =
            quarters.floor() + f64::from(u8::from(dice.between(0.0, 1.0) < quarters - quarters.floor()));
        whole / 4.0
    };
    ewes.iter()
        .map(|ewe| Ewe {
            condition: ewe
                .condition
                .and_then(|score| Score::of((score.units() + step(dice)).clamp(1.0, 5.0))),
            ..ewe.clone()
        })
        .collect()
}

/// What is known in a case.
fn known(case: &str, ewes: &[Ewe], pens: &str, seed: u64, days: u32) -> Known {
    let mut dice = Dice(seed);
    let by = if case.ends_with("+0.3") {
        0.3
    } else if case.ends_with("-0.3") {
        -0.3
    } else {
        0.0
    };
    let list = if case.starts_with("records") {
        Some(scored(ewes, by, &mut dice))
    } else if case.starts_with("last year") {
        // Another flock of the same kind, a year ago; .45/.48/.07 of litters where the mix is off.
        let first_threshold = if case.ends_with("litter") { -0.13 } else { LIKE.first_threshold };
        let text = flock(&mut dice, Like { ewes: ewes.len(), first_threshold, ..LIKE });
        let last: Vec<Ewe> = prepared(&text, pens, days)
            .ewes
            .into_iter()
            .map(|ewe| {
                let due = match ewe.ewe.due {
                    evenfold::flock::Due::On(day) => evenfold::flock::Due::On(day.plus(-365)),
                    due => due,
                };
                Ewe { tag: format!("L{}", ewe.ewe.tag), due, ..ewe.ewe }
            })
            .collect();
        Some(scored(&last, by, &mut dice))
    } else {
        None
    };
    let ways = [2, 3].into_iter().find(|ways| case.ends_with(&format!("{ways} ways")));
    Known { list, expected: ewes.len(), ewe_lambs: 0, first_due: None, ways }
}

fn shuffled(ewes: &[Ewe], dice: &mut Dice) -> Vec<Ewe> {
    let mut ewes = ewes.to_vec();
    for index in (1..ewes.len()).rev() {
        ewes.swap(index, dice.below(index + 1));
    }
    ewes
}

struct Run {
    ratio: f64,
    after: f64,
    held: usize,
    answers_us: Vec<f64>,
    places_us: Vec<f64>,
    start_ms: f64,
}

fn run(order: &[Ewe], plan: &Plan, best: (&[usize], f64), known: Known, pens: &[Pen]) -> Run {
    let start = Instant::now();
    let mut draft = Draft::new(pens.to_vec(), known, &plan.settings);
    let start_ms = start.elapsed().as_secs_f64() * 1e3;
    let (mut answers_us, mut places_us) = (Vec::new(), Vec::new());
    let mut held = 0;
    for ewe in order {
        let start = Instant::now();
        let answer = draft.answer(ewe);
        answers_us.push(start.elapsed().as_secs_f64() * 1e6);
        let start = Instant::now();
        match &answer {
            Answer::Pen(pen) => draft.place(ewe, pen.pen).expect("an answer can be followed"),
            other => {
                held += 1;
                draft.pass(ewe, other);
            }
        }
        places_us.push(start.elapsed().as_secs_f64() * 1e6);
    }
    // The same ewes in the plan's order.
    let mut stands = vec![usize::MAX; plan.ewes.len()];
    for (ewe, pen) in draft.placed() {
        let place = plan.ewes.iter().position(|other| other.ewe.tag == ewe.ewe.tag).expect("she is known");
        stands[place] = *pen;
    }
    if held > 0 {
        return Run { ratio: f64::NAN, after: f64::NAN, held, answers_us, places_us, start_ms };
    }
    if let Some(ways) = draft.ways() {
        let mut instance = plan.instance.clone();
        for (mask, &pen) in instance.allowed.iter_mut().zip(&stands) {
            *mask = (0..ways.len()).filter(|&other| ways[other] == ways[pen]).fold(0, |m, pen| m | 1 << pen);
        }
        if let Status::Solved(solution) = solve(&instance, 1, Effort::default()) {
            stands = solution.assignment;
        }
    }
    assert!(plan.instance.is_feasible(&stands), "a limit is broken");
    let cost = plan.instance.cost(&stands);
    let few = stands.len() * 3 / 100;
    let after = front(&plan.instance, &stands, Some(best.0))
        .and_then(|points| points.into_iter().rfind(|point| point.moves <= few))
        .map_or(f64::NAN, |point| point.loss);
    Run { ratio: cost / best.1, after: after / best.1, held, answers_us, places_us, start_ms }
}

fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let place = ((values.len() as f64 * share).ceil() as usize).clamp(1, values.len().max(1)) - 1;
    values.get(place).copied().unwrap_or(f64::NAN)
}

fn main() {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let number = |index: usize, usual: usize| given.get(index).and_then(|n| n.parse().ok()).unwrap_or(usual);
    let (ewes, count, days) = (number(0, 300), number(1, 3), number(2, 1) as u32);
    let (flocks, shuffles) = (number(3, 20), number(4, 10));
    let cases: Vec<&str> =
        CASES.into_iter().filter(|case| given.len() <= 5 || given[5..].iter().any(|g| g == case)).collect();
    // As many ways as pens are none.
    let cases: Vec<&str> = cases.into_iter().filter(|case| count > 3 || !case.ends_with("3 ways")).collect();
    println!("{ewes} ewes, {count} pens, {days} days, slack 8 %: {flocks} flocks in {shuffles} orders each");
    println!(
        "| known | mean | 95th | after 3 % moved | held in races | answer µs 50/99/max | between 50/99/max | start ms |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for case in cases {
        let mut runs = Vec::new();
        for seed in 0..flocks as u64 {
            let mut dice = Dice(9000 + seed);
            let like = Like { ewes, ..LIKE };
            let text = flock(&mut dice, like);
            let pens = pens(&mut dice, like, count, false, 1.08);
            let plan = prepared(&text, &pens, days);
            let Status::Solved(best) = solve(&plan.instance, 1, Effort::default()) else { continue };
            let all: Vec<Ewe> = plan.ewes.iter().map(|ewe| ewe.ewe.clone()).collect();
            assert!(
                all.iter().all(|ewe| ewe.litter.is_some_and(|litter| litter > Litter::of(0).expect("0")))
            );
            for _ in 0..shuffles {
                let order = shuffled(&all, &mut dice);
                let known = known(case, &all, &pens, 77 + seed, days);
                runs.push(run(&order, &plan, (&best.assignment, best.loss), known, &plan.pens));
            }
        }
        let mean = |of: fn(&Run) -> f64| {
            let values: Vec<f64> = runs.iter().map(of).filter(|value| value.is_finite()).collect();
            values.iter().sum::<f64>() / values.len().max(1) as f64
        };
        let unfinished = runs.iter().filter(|run| run.held > 0).count();
        let mut ratios: Vec<f64> = runs.iter().map(|run| run.ratio).filter(|r| r.is_finite()).collect();
        let mut answers: Vec<f64> = runs.iter().flat_map(|run| run.answers_us.iter().copied()).collect();
        let mut places: Vec<f64> = runs.iter().flat_map(|run| run.places_us.iter().copied()).collect();
        let held: usize = runs.iter().map(|run| run.held).sum();
        println!(
            "| {case} | {:.3} | {:.3} | {:.3} | {held} in {unfinished} of {} | {:.0}/{:.0}/{:.0} | {:.0}/{:.0}/{:.0} | {:.0} |",
            mean(|run| run.ratio),
            quantile(&mut ratios, 0.95),
            mean(|run| run.after),
            runs.len(),
            quantile(&mut answers, 0.5),
            quantile(&mut answers, 0.99),
            quantile(&mut answers, 1.0),
            quantile(&mut places, 0.5),
            quantile(&mut places, 0.99),
            quantile(&mut places, 1.0),
            mean(|run| run.start_ms)
        );
    }
}
