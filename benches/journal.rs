//! How long a journal takes to open, to add to, to undo and to merge: `cargo bench --bench journal`. The days are
//! invented, from fixed seeds.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::farm::journal::Book;
use evenfold::io;
use evenfold::journal::{Entry, Journal, What};

#[path = "../tests/common/mod.rs"]
mod common;

use common::Dice;
use common::scanning_day::{START_MS, card, entering, long_journal};

const EVENTS: [usize; 2] = [2_000, 20_000];

fn main() {
    divan::main();
}

/// Read from the file, folded.
#[divan::bench(args = EVENTS)]
fn open(bencher: Bencher<'_, '_>, events: usize) {
    let file = io::write_journal(&long_journal(1, events));
    bencher.bench_local(|| {
        let reading = io::journal(black_box(file.as_bytes()));
        let mut journal = Journal::new();
        journal.take(reading.entries, reading.unread);
        journal
    });
}

/// Folded, the lines being read already.
#[divan::bench(args = EVENTS)]
fn replay(bencher: Bencher<'_, '_>, events: usize) {
    let entries: Vec<Entry> = long_journal(1, events).entries().cloned().collect();
    bencher.with_inputs(|| entries.clone()).bench_local_values(|entries| {
        let mut journal = Journal::new();
        journal.take(entries, Vec::new());
        journal
    });
}

/// One ewe's card, seven events, added at the end.
#[divan::bench(args = EVENTS)]
fn append_a_card(bencher: Bencher<'_, '_>, events: usize) {
    let mut journal = long_journal(1, events);
    let mut dice = Dice(2);
    let mut ms = START_MS + 100_000_000;
    bencher.bench_local(|| {
        ms += 12_000;
        let what = card(&mut dice, 17);
        journal.append(&entering(0, ms), black_box(what))
    });
}

/// The last act undone.
#[divan::bench(args = EVENTS)]
fn undo_the_last(bencher: Bencher<'_, '_>, events: usize) {
    let mut journal = long_journal(1, events);
    let what = card(&mut Dice(2), 17);
    let act = journal.append(&entering(0, START_MS + 100_000_000), what);
    let events: Vec<_> = act.iter().map(|entry| entry.event.id.clone()).collect();
    let undo = What::Undone { events };
    bencher.with_inputs(|| journal.clone()).bench_local_values(|mut journal| {
        journal.append(&entering(0, START_MS + 100_001_000), vec![black_box(undo.clone())]);
        journal
    });
}

/// The first event of all undone: everything is replayed.
#[divan::bench(args = EVENTS)]
fn undo_the_first(bencher: Bencher<'_, '_>, events: usize) {
    let journal = long_journal(1, events);
    let first = journal.entries().next().expect("there are events").event.id.clone();
    let undo = What::Undone { events: vec![first] };
    bencher.with_inputs(|| journal.clone()).bench_local_values(|mut journal| {
        journal.append(&entering(0, START_MS + 100_000_000), vec![black_box(undo.clone())]);
        journal
    });
}

/// The state as a document.
#[divan::bench(args = EVENTS)]
fn document(bencher: Bencher<'_, '_>, events: usize) {
    let mut book = Book::new();
    book.take(io::write_journal(&long_journal(1, events)).as_bytes());
    bencher.bench_local(|| book.state());
}

/// The file written.
#[divan::bench(args = EVENTS)]
fn write(bencher: Bencher<'_, '_>, events: usize) {
    let journal = long_journal(1, events);
    bencher.bench_local(|| io::write_journal(black_box(&journal)));
}
