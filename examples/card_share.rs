//! What share of the possible gain rule cards take, over invented flocks: the table in `DEVELOPERS.md`.
//!
//! `cargo run --release --example card_share -- [flocks] [points|tree]`. The gain is from one ration for all (one
//! for each class kept apart) to the best sort found. "Out" is found on half of the flock and judged on the
//! other half.
#![allow(clippy::disallowed_methods, reason = "an example may look at the clock; the engine may not")]

#[path = "../tests/common/dice.rs"]
mod dice;
#[path = "../tests/common/invented.rs"]
mod invented;

use dice::Dice;
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::solve::card::Effort;
use evenfold::solve::search::{self, Status};
use evenfold::sort::Plan;
use evenfold::sort::card::judge::{Halves, halves, one_ration, share};
use evenfold::sort::card::{Card, Kind, feature, find, run};
use invented::{GROUPS, Like, flock, pens};
use std::time::Instant;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let flocks: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(4);
    let only = arguments.next();
    let size: usize = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(1000);
    let sizes = if size == 0 { vec![300, 1000] } else { vec![size] };
    println!("share of the possible gain, %: mean (least) over {flocks} invented flocks");
    println!(
        "| ewes | pens | days | known by | kind | lambs alone, in | out | card, in | out | search, ms |\n|---|---|---|---|---|---|---|---|---|---|"
    );
    for kind in [Kind::Points, Kind::Tree] {
        if only.as_deref().is_some_and(|only| (only == "tree") != (kind == Kind::Tree)) {
            continue;
        }
        for &ewes in &sizes {
            for bins in [3, 4, 6] {
                for days in [1, 21] {
                    for (grouped, weight) in [(false, false), (false, true), (true, false)] {
                        row(flocks, kind, ewes, bins, days, grouped, weight);
                    }
                }
            }
        }
    }
}

fn row(flocks: u64, kind: Kind, ewes: usize, bins: usize, days: u32, grouped: bool, weight: bool) {
    let mut columns: [Vec<f64>; 5] = Default::default();
    for seed in 0..flocks {
        let mut dice = Dice(1000 * seed + bins as u64);
        let like = Like {
            ewes,
            first_threshold: [-0.58, -0.24][seed as usize % 2],
            condition: [2.95, 3.15, 3.35][seed as usize % 3],
            ewe_lambs: 0.08,
            grouped,
        };
        let csv = flock(&mut dice, like);
        let pens = pens(&mut dice, like, bins, seed % 4 < 2, 1.08);
        let plan = plan(&csv, &pens, grouped.then_some(GROUPS), days);
        let Status::Solved(solution) =
            search::solve(&plan.instance, Settings::SEED, search::Effort::default())
        else {
            println!("  seed {seed}: the flock could not be sorted");
            continue;
        };
        let bands = feature::bands(&plan, weight);
        let one = one_ration(&plan);
        let before = Instant::now();
        let found = find::find(&plan, &solution.assignment, &bands, kind, Effort::default());
        let took = before.elapsed().as_secs_f64() * 1000.0;
        let here = |card: &Card| {
            let misfit = run::run(card, &plan).map(|run| plan.instance.cost(&run.assignment));
            100.0 * misfit.ok().and_then(|misfit| share(one, misfit, solution.loss)).unwrap_or(f64::NAN)
        };
        let out = halves(&plan, &bands, kind, Effort::default());
        let out_share =
            |of: fn(&Halves) -> Option<f64>| 100.0 * out.as_ref().and_then(of).unwrap_or(f64::NAN);
        for (column, value) in columns.iter_mut().zip([
            here(&found.litter_only),
            out_share(Halves::litter_only_share),
            here(&found.card),
            out_share(Halves::card_share),
            took,
        ]) {
            column.push(value);
        }
    }
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len().max(1) as f64;
    let words = |values: &[f64]| {
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        format!("{:.1} ({least:.1})", mean(values))
    };
    println!(
        "| {ewes} | {bins} | {days} | {}{} | {} | {} | {} | {} | {} | {:.0} |",
        if grouped { "group" } else { "date" },
        if weight { ", weight" } else { "" },
        if kind == Kind::Points { "points" } else { "tree" },
        words(&columns[0]),
        words(&columns[1]),
        words(&columns[2]),
        words(&columns[3]),
        mean(&columns[4]),
    );
}

fn plan(flock: &str, pens: &str, groups: Option<&str>, days: u32) -> Plan {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: groups.map(str::as_bytes) };
    let settings = Settings { period_days: Some(days), ..Settings::default() };
    prepare(files, &settings, FaultyRows::Refuse).expect("an invented flock can be read").plan
}
