//! Problems of one day with trough and floor both binding, and the sort's own answers with its time, one JSON line
//! each, for `benches/against/against.py`: other people's solvers are to try the same.
// Wall-clock figures are its purpose.
#![allow(clippy::disallowed_methods, clippy::unwrap_used)]

use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::solve::certificate;
use evenfold::solve::search::{Effort, Status, solve};
use evenfold::sort::Plan;
use invented::{Like, flock, tight_pens};
use serde_json::json;
use std::time::Instant;

#[path = "../tests/common/dice.rs"]
mod dice;
#[path = "../tests/common/invented.rs"]
mod invented;
#[path = "../tests/common/written.rs"]
mod written;

use dice::Dice;

/// Sizes of flocks.
const EWES: [usize; 3] = [100, 300, 1000];
/// Numbers of pens.
const PENS: [usize; 3] = [3, 5, 8];
/// Draws of each.
const DRAWS: u64 = 3;

fn main() {
    for ewes in EWES {
        for pens in PENS {
            for draw in 0..DRAWS {
                println!("{}", problem(ewes, pens, draw));
            }
        }
    }
}

fn planned(flock: &str, pens: &str) -> Plan {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    let settings = Settings { period_days: Some(1), ..Settings::default() };
    prepare(files, &settings, FaultyRows::Refuse).unwrap().plan
}

fn problem(ewes: usize, pens: usize, draw: u64) -> serde_json::Value {
    let mut dice = Dice(31_000 + (ewes * 100 + pens * 10) as u64 + draw);
    let like = Like { ewes, first_threshold: -0.4, condition: 2.95, ewe_lambs: 0.0, grouped: false };
    let flock = flock(&mut dice, like);
    // What a mean ewe takes is the same in any pen on straw.
    let barn = planned(&flock, "pen,trough_m,area_m2\nA,9000,9000\n");
    let takes = |resource: usize| {
        let sum: u32 = barn.instance.room[0].iter().map(|room| room[resource]).sum();
        f64::from(sum) / 1000.0 / ewes as f64
    };
    let plan = planned(&flock, &tight_pens(&mut dice, pens, ewes, [takes(0), takes(1)]));
    let instance = &plan.instance;
    let start = Instant::now();
    let status = solve(instance, Settings::SEED, Effort::default());
    let ms = start.elapsed().as_secs_f64() * 1000.0;
    let name = format!("{ewes}_{pens}_{draw}");
    let Status::Solved(mut found) = status else {
        return json!({ "name": name, "problem": written::numbers(instance), "answer": null });
    };
    let start = Instant::now();
    if let Some(mut certificate) = found.certificate(instance, certificate::Effort::default()) {
        while !certificate.is_done() {
            certificate.step();
        }
        found.raise(&certificate);
    }
    let proof_ms = start.elapsed().as_secs_f64() * 1000.0;
    json!({ "name": name, "problem": written::numbers(instance),
            "answer": { "bins": found.assignment, "loss": found.loss, "bound": found.bound, "ms": ms,
                        "proof_ms": proof_ms } })
}
