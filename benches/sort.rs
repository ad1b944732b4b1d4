//! How long the engine takes: `cargo bench`. Flocks are invented, from fixed seeds.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::farm::settings::Settings;
use evenfold::farm::{Answer, FaultyRows, Files, sort};

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Dice, flock_csv, pens_csv};

fn main() {
    divan::main();
}

struct Invented {
    flock: String,
    pens: String,
}

fn invented(ewes: usize, pens: usize) -> Invented {
    let mut dice = Dice(11);
    // Mature ewes only: ewe lambs would need pens of their own.
    let flock = flock_csv(&mut dice, ewes).replace("ewe lamb", "shearling");
    let pens = pens_csv(&mut dice, pens, ewes, 1.08);
    Invented { flock, pens }
}

impl Invented {
    fn sorted(&self, period_days: u32) -> Answer {
        let files = Files { flock: self.flock.as_bytes(), pens: self.pens.as_bytes(), groups: None };
        let settings = Settings { period_days: Some(period_days), ..Settings::default() };
        let answer = sort(files, &settings, FaultyRows::Refuse);
        assert!(matches!(answer, Answer::Sorted(_)), "the invented farm sorts: {answer:?}");
        answer
    }
}

/// Files to pens, 21 days: ewes and pens.
#[divan::bench(args = [(240, 7), (1000, 6), (3000, 8)], sample_count = 10)]
fn three_weeks(bencher: Bencher<'_, '_>, (ewes, pens): (usize, usize)) {
    let farm = invented(ewes, pens);
    bencher.bench_local(|| black_box(&farm).sorted(21));
}

/// Files to pens, one day: ewes and pens.
#[divan::bench(args = [(240, 7), (1000, 6), (10_000, 5)], sample_count = 10)]
fn one_day(bencher: Bencher<'_, '_>, (ewes, pens): (usize, usize)) {
    let farm = invented(ewes, pens);
    bencher.bench_local(|| black_box(&farm).sorted(1));
}

/// One day and equal room: the exact split.
#[divan::bench(sample_count = 20)]
fn exact_1000_ewes_6_pens(bencher: Bencher<'_, '_>) {
    let mut farm = invented(1000, 6);
    let even = |line: &str| {
        let mut cells: Vec<&str> = line.split(',').collect();
        if cells[0] != "tag" {
            (cells[5], cells[6]) = ("70", "no");
        }
        cells.join(",")
    };
    farm.flock = farm.flock.lines().map(even).collect::<Vec<_>>().join("\n");
    bencher.bench_local(|| black_box(&farm).sorted(1));
}

/// Reading 10,000 rows.
#[divan::bench(sample_count = 20)]
fn read_10000_rows(bencher: Bencher<'_, '_>) {
    let farm = invented(10_000, 5);
    bencher.bench_local(|| evenfold::io::flock(black_box(farm.flock.as_bytes()), None, None));
}

/// 100,000 needs by each standard, without their working.
#[divan::bench(args = ["afrc1993", "inra2007", "csiro2007", "nrc2007"], sample_count = 10)]
fn needs_100000(bencher: Bencher<'_, '_>, standard_id: &str) {
    use evenfold::flock::Litter;
    use evenfold::quantity::{Kg, MjPerKgDm};
    use evenfold::requirement::{State, standard};
    let standard = standard(standard_id).expect("it is there");
    bencher.bench_local(|| {
        (0..100_000_u32)
            .map(|number| {
                let state = State::housed(
                    Kg::new(50.0 + f64::from(number % 50)),
                    Litter::of((number % 4) as u8).expect("at most three"),
                    number % 100,
                    MjPerKgDm::new(11.5),
                );
                standard.need(black_box(&state)).me.value()
            })
            .sum::<f64>()
    });
}

/// The JSON document of a sort.
#[divan::bench(sample_count = 10)]
fn document_of_1000_ewes(bencher: Bencher<'_, '_>) {
    let Answer::Sorted(farm) = invented(1000, 6).sorted(21) else {
        panic!("the invented farm sorts");
    };
    bencher.bench_local(|| black_box(&farm).document_json());
}
