//! How long the curve of regrouping takes: `cargo bench --bench regroup`. Flocks are invented, from fixed seeds.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::solve::certificate::{self, Certificate};
use evenfold::solve::front::{Point, front};
use evenfold::solve::instance::Instance;
use evenfold::solve::search::{Effort, Status, solve};
use evenfold::sort::Plan;

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Dice, flock_csv, later_csv, pens_csv};

fn main() {
    divan::main();
}

fn plan(flock: &str, pens: &str, settings: &Settings) -> Plan {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    prepare(files, settings, FaultyRows::Refuse).expect("invented files are sound").plan
}

fn solved(plan: &Plan) -> Vec<usize> {
    match solve(&plan.instance, 1, Effort::default()) {
        Status::Solved(solution) => solution.assignment,
        _ => panic!("the invented farm sorts"),
    }
}

/// The sheet's scenario; with where the ewes stand and the best that the solver finds.
fn scenario(ewes: usize, pens: usize, days: u32) -> (Plan, Vec<usize>, Vec<usize>) {
    let mut dice = Dice(11);
    let flock = flock_csv(&mut dice, ewes).replace("ewe lamb", "shearling");
    let pens = pens_csv(&mut dice, pens, ewes, 1.08);
    let settings = Settings { period_days: Some(days), ..Settings::default() };
    let old = solved(&plan(&flock, &pens, &settings));
    let on = evenfold::day::Day::of(2027, 2, 15).expect("a day");
    let plan = plan(&later_csv(&mut dice, &flock), &pens, &Settings { on, ..settings });
    let best = solved(&plan);
    (plan, old, best)
}

/// The curve alone, the best sort being known: ewes, pens, days.
#[divan::bench(args = [(1000, 6, 1), (1000, 6, 21), (300, 3, 1), (3000, 8, 1)], sample_count = 10)]
fn curve(bencher: Bencher<'_, '_>, (ewes, pens, days): (usize, usize, u32)) {
    let (plan, old, best) = scenario(ewes, pens, days);
    let points = front(&plan.instance, &old, Some(&best)).expect("a curve");
    let whole = points[0].loss - points[points.len() - 1].loss;
    let share = |part: usize| {
        let within = points.iter().filter(|point| point.moves <= ewes * part / 100);
        100.0 * (points[0].loss - within.map(|point| point.loss).fold(f64::INFINITY, f64::min)) / whole
    };
    eprintln!(
        "{ewes} ewes {pens} pens {days} days: {} points to {} moves, gain {:.1} %; of it at 2, 5, 10, 20 %: \
         {:.0} {:.0} {:.0} {:.0}",
        points.len(),
        points[points.len() - 1].moves,
        100.0 * whole / points[0].loss,
        share(2),
        share(5),
        share(10),
        share(20)
    );
    bencher.bench_local(|| front(black_box(&plan.instance), &old, Some(&best)));
}

/// The most of the whole gain that any moves of a tenth of the ewes could bring: proved, by charging each
/// move what it brings there and asking a certificate for the least of loss and charge together.
#[divan::bench(args = [(300, 3, 1), (1000, 6, 1)], sample_count = 1)]
fn proved_at_a_tenth(bencher: Bencher<'_, '_>, (ewes, pens, days): (usize, usize, u32)) {
    let (plan, old, best) = scenario(ewes, pens, days);
    let points = front(&plan.instance, &old, Some(&best)).expect("a curve");
    let (first, last) = (&points[0], &points[points.len() - 1]);
    let moves = ewes / 10;
    let here = points.iter().rfind(|point| point.moves <= moves).expect("nobody moved is a point");
    // The slope of the curve about here: what one move more or fewer changes.
    let near = |wanted: usize| points.iter().rfind(|point| point.moves <= wanted).unwrap_or(first);
    let (before, after) = (near(moves * 8 / 10), near(moves * 14 / 10));
    let slope = (before.loss - after.loss) / (after.moves - before.moves).max(1) as f64;
    let floor = [0.5, 0.7, 1.0, 1.4, 2.0]
        .map(|factor| least_within(&plan.instance, &old, here, slope * factor, moves))
        .into_iter()
        .fold(0.0, f64::max);
    let share = |loss: f64| 100.0 * (first.loss - loss) / (first.loss - last.loss);
    eprintln!(
        "{ewes} ewes {pens} pens: {:.0} % found, {:.0} % proved the most",
        share(here.loss),
        share(floor)
    );
    bencher.bench_local(|| least_within(&plan.instance, &old, here, slope, moves));
}

/// What no assignment within so many moves goes below.
fn least_within(instance: &Instance, old: &[usize], point: &Point, price: f64, moves: usize) -> f64 {
    let bins = instance.bins.len();
    let charge = |item: usize, bin: usize| if bin == old[item] { 0.0 } else { price };
    let costs = (0..instance.items() * bins).map(|cell| charge(cell / bins, cell % bins)).collect();
    let charged = Instance { place_cost: Some(costs), ..instance.clone() };
    let mut certificate = Certificate::new(&charged, &point.assignment, 0.0, certificate::Effort::default());
    while !certificate.is_done() {
        certificate.step();
    }
    certificate.bound() - price * moves as f64
}

/// The best sort, for comparison.
#[divan::bench(args = [(1000, 6, 1), (1000, 6, 21)], sample_count = 5)]
fn best_sort(bencher: Bencher<'_, '_>, (ewes, pens, days): (usize, usize, u32)) {
    let (plan, ..) = scenario(ewes, pens, days);
    bencher.bench_local(|| solved(black_box(&plan)));
}
