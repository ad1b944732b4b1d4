//! How long it takes to say how many pens: `cargo bench --bench pens`. Flocks are invented, from fixed seeds.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::sort::Plan;
use evenfold::sort::pen_count::{Count, Outcome, of_these, unbuilt};

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Dice, flock_csv, pens_csv};

fn main() {
    divan::main();
}

/// Pens of which about half would hold the flock, so that there is something to choose.
fn plan(ewes: usize, pens: usize, days: u32) -> Plan {
    let mut dice = Dice((ewes + pens) as u64);
    let flock = flock_csv(&mut dice, ewes).replace("ewe lamb", "shearling");
    let pens = pens_csv(&mut dice, pens, ewes, 2.0);
    let settings = Settings { period_days: Some(days), ..Settings::default() };
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    prepare(files, &settings, FaultyRows::Refuse).expect("invented files are sound").plan
}

fn say(counts: &[Count]) {
    let words = counts.iter().map(|count| match &count.outcome {
        Outcome::Sorted(sorted) => {
            format!(
                "{} {:.0} ({:.1} %)",
                count.pens,
                sorted.objective,
                100.0 * (sorted.objective / sorted.bound - 1.0)
            )
        }
        Outcome::Not { .. } => format!("{} -", count.pens),
    });
    eprintln!("{}", words.collect::<Vec<_>>().join("; "));
}

/// Which of the pens that stand: ewes, pens, days.
#[divan::bench(args = [(240, 7, 1), (240, 7, 21), (240, 12, 21), (1000, 6, 1), (1000, 6, 21), (1000, 12, 1)], sample_count = 2)]
fn standing(bencher: Bencher<'_, '_>, (ewes, pens, days): (usize, usize, u32)) {
    let plan = plan(ewes, pens, days);
    say(&of_these(&plan, 12));
    bencher.bench_local(|| of_these(black_box(&plan), 12));
}

/// Equal pens, yet to be built, up to so many: ewes, pens, days.
#[divan::bench(args = [(240, 12, 1), (240, 12, 21), (1000, 12, 21)], sample_count = 2)]
fn to_be_built(bencher: Bencher<'_, '_>, (ewes, pens, days): (usize, usize, u32)) {
    let plan = plan(ewes, pens, days);
    say(&unbuilt(&plan, 12));
    bencher.bench_local(|| unbuilt(black_box(&plan), pens));
}
