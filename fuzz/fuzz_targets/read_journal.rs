//! Whatever the bytes are, reading them as a journal ends, does not panic, and loses no line without saying so; and
//! what was read is written and read again the same.
//!
//! `cargo +nightly fuzz run read_journal -- -max_total_time=600` (seeds: `tests/journal/v1`)
#![no_main]

use evenfold::farm::journal::Book;
use evenfold::io;
use evenfold::io::reader;
use evenfold::journal::Journal;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    // What a tag reader may send is any text at all.
    if let Ok(text) = std::str::from_utf8(bytes) {
        let _ = reader::name(text);
    }
    let reading = io::journal(bytes);
    for problem in &reading.problems {
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'));
        assert!(problem.message.len() < 2_000 && problem.hint.len() < 2_000);
    }
    let mut journal = Journal::new();
    let half = reading.entries.len() / 2;
    let mut other = Journal::new();
    other.take(reading.entries[half..].to_vec(), Vec::new());
    journal.take(reading.entries, reading.unread);
    let file = io::write_journal(&journal);
    let again = io::journal(file.as_bytes());
    let mut second = Journal::new();
    second.take(again.entries, again.unread);
    assert_eq!(io::write_journal(&second), file);
    assert!(second.state() == journal.state());
    other.merge(&journal);
    assert_eq!(io::write_journal(&other), file);
    let mut book = Book::new();
    book.take(file.as_bytes());
    let _ = (book.state_json(), book.flock_csv(), book.doubts(), book.history(20));
});
