//! How long a ewe takes at the race: `cargo bench --bench draft`. Flocks are invented, from fixed seeds.
//! Percentiles and how near the best it comes: `examples/draft_ratio.rs`.
#![allow(missing_docs)]

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::flock::Ewe;
use evenfold::sort::draft::{Answer, Draft, Known};

#[path = "../tests/common/dice.rs"]
mod dice;
#[path = "../tests/common/invented.rs"]
mod invented;

use dice::Dice;
use invented::Like;

const CASES: [(usize, usize, u32); 4] = [(300, 3, 1), (1000, 5, 1), (1000, 5, 21), (3000, 8, 1)];

fn main() {
    divan::main();
}

/// A draft before its first ewe, and the ewes in their order.
fn race((ewes, pens, days): (usize, usize, u32)) -> (Draft, Vec<Ewe>) {
    let mut dice = Dice(12);
    let like = Like { ewes, first_threshold: -0.58, condition: 2.9, ewe_lambs: 0.0, grouped: false };
    let flock = invented::flock(&mut dice, like);
    let pens = invented::pens(&mut dice, like, pens, false, 1.08);
    let settings = Settings { period_days: Some(days), ..Settings::default() };
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    let plan = prepare(files, &settings, FaultyRows::Refuse).expect("invented files are sound").plan;
    let all: Vec<Ewe> = plan.ewes.into_iter().map(|ewe| ewe.ewe).collect();
    let known = Known { list: Some(all.clone()), expected: ewes, ewe_lambs: 0, ..Known::default() };
    (Draft::new(plan.pens, known, &settings), all)
}

fn send(draft: &mut Draft, ewe: &Ewe) {
    let answer = draft.answer(ewe);
    match &answer {
        Answer::Pen(pen) => draft.place(ewe, pen.pen).expect("an answer can be followed"),
        _ => draft.pass(ewe, &answer),
    }
}

/// The answer alone, half of the flock being in.
#[divan::bench(args = CASES)]
fn answer(bencher: Bencher<'_, '_>, case: (usize, usize, u32)) {
    let (mut draft, ewes) = race(case);
    let (first, second) = ewes.split_at(ewes.len() / 2);
    for ewe in first {
        send(&mut draft, ewe);
    }
    bencher.bench_local(|| draft.answer(black_box(&second[0])));
}

/// Ten times as many as there are places, whoever is held sent to some pen all the same; per ewe.
#[divan::bench(args = [(60, 3, 1), (300, 7, 21)], sample_count = 3)]
fn over_full(bencher: Bencher<'_, '_>, case: (usize, usize, u32)) {
    let (draft, ewes) = race(case);
    let times = (0..10).flat_map(|time| {
        let named = move |ewe: &Ewe| Ewe { tag: format!("{} {time}", ewe.tag), ..ewe.clone() };
        ewes.iter().map(named)
    });
    let ewes: Vec<Ewe> = times.collect();
    bencher.counter(ItemsCount::new(ewes.len())).with_inputs(|| draft.clone()).bench_local_values(
        |mut draft| {
            for (number, ewe) in ewes.iter().enumerate() {
                let pen = match draft.answer(ewe) {
                    Answer::Pen(pen) => pen.pen,
                    _ => number % case.1,
                };
                draft.place_over(ewe, pen).expect("every pen takes ewes of every age");
            }
            draft
        },
    );
}

/// Everything from the first ewe to the last, plans included; per ewe.
#[divan::bench(args = CASES, sample_count = 3)]
fn whole(bencher: Bencher<'_, '_>, case: (usize, usize, u32)) {
    let (draft, ewes) = race(case);
    bencher.counter(ItemsCount::new(ewes.len())).with_inputs(|| draft.clone()).bench_local_values(
        |mut draft| {
            for ewe in &ewes {
                send(&mut draft, ewe);
            }
            draft
        },
    );
}
