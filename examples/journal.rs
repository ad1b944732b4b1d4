//! What the native engine makes of invented journals, for `tests/parity.mjs`: one JSON line for each.
//!
//! `journal --events 20000` prints the file of one long journal instead, for `benches/wasm.mjs`.

use evenfold::day::Day;
use evenfold::farm::journal::document::StateDocument;
use evenfold::farm::journal::{
    Act, AppendReply, AppendRequest, Book, LookReply, LookRequest, Now, TakeReply,
};
use evenfold::io::write_journal;
use serde::Serialize;

#[path = "../tests/common/dice.rs"]
mod dice;
#[path = "../tests/common/scanning_day.rs"]
mod scanning;

use dice::Dice;
use scanning::{START_MS, card, long_journal, scanning_day};

/// How many days are drawn.
const DRAWN: u64 = 5;

/// What is put to the engine, and what it says.
#[derive(Serialize)]
struct Case {
    files: Vec<String>,
    append: AppendRequest,
    looks: Vec<LookRequest>,
    taken: Vec<TakeReply>,
    appended: AppendReply,
    looked: Vec<LookReply>,
    state: StateDocument,
    history: Vec<Act>,
    file: String,
    flock: String,
    pens: Option<String>,
    groups: Option<String>,
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    if arguments.next().as_deref() == Some("--events") {
        let events = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(20_000);
        print!("{}", write_journal(&long_journal(1, events)));
        return;
    }
    for seed in 0..DRAWN {
        println!("{}", serde_json::to_string(&case(seed)).expect("answers are plain values"));
    }
}

fn case(seed: u64) -> Case {
    let files: Vec<String> = scanning_day(seed, 40).iter().map(write_journal).collect();
    let mut book = Book::new();
    let taken = files.iter().map(|file| book.take(file.as_bytes())).collect();
    let append = AppendRequest {
        device: "race-a".to_owned(),
        now: Now { ms: START_MS + 20_000_000, offset_minutes: 60 },
        by: None,
        day: None,
        what: card(&mut Dice(seed), 17),
        sure: seed.is_multiple_of(2),
    };
    let appended = book.append(append.clone());
    let day = Day::of(2027, 1, 12).expect("12 January 2027 is in the calendar");
    let looks: Vec<LookRequest> = ["LA 001 000007000003", "0007", "7", "NO READ", "999000000000001"]
        .map(|read| LookRequest { read: read.to_owned(), day })
        .into();
    Case {
        taken,
        appended,
        looked: looks.iter().map(|look| book.look(look)).collect(),
        state: book.state(),
        history: book.history(20),
        file: book.file(),
        flock: book.flock_csv(),
        pens: book.pens_csv(),
        groups: book.groups_csv(),
        files,
        append,
        looks,
    }
}
