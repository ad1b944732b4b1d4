//! How long the engine takes: `cargo bench`. Flocks are invented, from fixed seeds.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::farm::card::{CardAnswer, CardQuestion, Kind, card};
use evenfold::farm::settings::Settings;
use evenfold::farm::{Answer, FaultyRows, Files, prepare, sort};
use evenfold::solve::card::Effort;
use evenfold::solve::search;
use evenfold::sort::Plan;
use evenfold::sort::card::{feature, find};

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

/// The demo farm, or 600 ewes in 4 pens, on one day or over 21.
fn card_farm(name: &str) -> (Vec<u8>, Vec<u8>, Option<Vec<u8>>, Settings) {
    let file = |name: &str| std::fs::read(format!("data/example/{name}.csv")).expect("the demo is there");
    let days = |days: u32| Settings { period_days: Some(days), ..Settings::default() };
    match name {
        "demo" => (file("flock"), file("pens"), Some(file("groups")), Settings::default()),
        _ => {
            let farm = invented(600, 4);
            (
                farm.flock.into_bytes(),
                farm.pens.into_bytes(),
                None,
                days(if name == "600x4" { 1 } else { 21 }),
            )
        }
    }
}

const CARDS: [(&str, Kind); 6] = [
    ("demo", Kind::Points),
    ("demo", Kind::Tree),
    ("600x4", Kind::Points),
    ("600x4", Kind::Tree),
    ("600x4, 21 days", Kind::Points),
    ("600x4, 21 days", Kind::Tree),
];

/// The search for a rule card alone.
#[divan::bench(args = CARDS, sample_count = 3)]
fn card_search(bencher: Bencher<'_, '_>, (name, kind): (&str, Kind)) {
    let (flock, pens, groups, settings) = card_farm(name);
    let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
    let plan: Plan = prepare(files, &settings, FaultyRows::Refuse).expect("the files are sound").plan;
    let search::Status::Solved(best) =
        search::solve(&plan.instance, Settings::SEED, search::Effort::default())
    else {
        panic!("the farm sorts");
    };
    let bands = feature::bands(&plan, false);
    bencher.bench_local(|| find::find(black_box(&plan), &best.assignment, &bands, kind, Effort::default()));
}

/// The whole answer: files read, sort, card, and cards of both halves judged on the other.
#[divan::bench(args = CARDS, sample_count = 2)]
fn card_answer(bencher: Bencher<'_, '_>, (name, kind): (&str, Kind)) {
    let (flock, pens, groups, settings) = card_farm(name);
    let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
    bencher.bench_local(|| {
        let answer =
            card(files, &settings, FaultyRows::Refuse, CardQuestion { kind, ..CardQuestion::default() });
        assert!(matches!(answer, CardAnswer::Card(_)), "a card is found");
        if let CardAnswer::Card(sheet) = &answer {
            eprintln!(
                "{name} {kind:?}: {:?}",
                sheet.document().out_of_sample.map(|out| out.card_share_percent)
            );
        }
        answer
    });
}
