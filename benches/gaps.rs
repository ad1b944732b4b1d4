//! How far from the best possible the sort is, and how long it takes: ewes against pens, trough and floor
//! both binding. `cargo bench --bench gaps -- [DAYS [EWES]]`. Flocks are invented, from fixed seeds.
// A table for reading: wall-clock figures are its purpose.
#![allow(clippy::disallowed_methods, clippy::unwrap_used, missing_docs)]

use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::solve::certificate::Certificate;
use evenfold::solve::search::{self, Effort, Status};
use std::time::Instant;

#[path = "../tests/common/mod.rs"]
mod common;

use common::invented::tight_pens;
use common::{Dice, flock_csv};

fn main() {
    let mut numbers = std::env::args().skip(1).filter_map(|text| text.parse::<u32>().ok());
    let days = numbers.next().unwrap_or(1);
    let only = numbers.next().map(|ewes| ewes as usize);
    println!("{days} days; gap %, and ms for the solve alone");
    print!("{:>8}", "ewes");
    let pens_counts = [2, 3, 4, 5, 6, 8, 10, 12];
    for pens in pens_counts {
        print!("{:>30}", format!("{pens} pens"));
    }
    println!();
    for ewes in [100, 300, 1000, 3000, 10_000] {
        if only.is_some_and(|only| only != ewes) {
            continue;
        }
        print!("{ewes:>8}");
        for pens in pens_counts {
            let mut dice = Dice((ewes * 31 + pens) as u64);
            let flock = flock_csv(&mut dice, ewes).replace("ewe lamb", "shearling");
            let pens = tight_pens(&mut dice, pens, ewes, [0.535, 1.265]);
            let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
            let settings = Settings { period_days: Some(days), ..Settings::default() };
            let plan = prepare(files, &settings, FaultyRows::Refuse).unwrap().plan;
            let start = Instant::now();
            let status = search::solve(&plan.instance, 1, Effort::default());
            let ms = start.elapsed().as_secs_f64() * 1000.0;
            match status {
                Status::Solved(found) => {
                    let gap = |bound: f64| 100.0 * (found.loss - bound) / bound;
                    let start = Instant::now();
                    let mut certificate =
                        Certificate::new(&plan.instance, &found.assignment, found.bound, Default::default());
                    while !certificate.is_done() {
                        certificate.step();
                    }
                    let more = start.elapsed().as_secs_f64() * 1000.0;
                    print!(
                        "{:>30}",
                        format!("{:.2} {ms:.0}, {:.2} {more:.0}", gap(found.bound), gap(certificate.bound()))
                    );
                }
                other => print!(
                    "{:>30}",
                    format!("{} {ms:.0}", if other == Status::Impossible { "none" } else { "?" })
                ),
            }
        }
        println!();
    }
}
