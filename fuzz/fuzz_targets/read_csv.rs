//! Whatever the bytes are, reading them ends, does not panic, and loses no row without saying so.
//!
//! `cargo +nightly fuzz run read_csv -- -dict=fuzz/read_csv.dict -max_total_time=600`
#![no_main]

use evenfold::day::DateOrder;
use evenfold::io;
use evenfold::problem::Problem;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    // The first byte says how dates are asked for; the first blank line parts groups from flock.
    let (dates, bytes) = match bytes.split_first() {
        Some((b'd', rest)) => (Some(DateOrder::Dmy), rest),
        Some((b'm', rest)) => (Some(DateOrder::Mdy), rest),
        _ => (None, bytes),
    };
    let part = bytes.windows(2).position(|pair| pair == b"\n\n").unwrap_or(bytes.len());
    let (first, second) = bytes.split_at(part);
    let (groups, _) = io::groups(first, dates);
    check(&groups.problems);
    check(&io::pens(bytes).problems);
    for (flock, groups) in [(bytes, None), (second, Some(groups.records.as_slice()))] {
        let found = io::flock(flock, groups, dates);
        check(&found.reading.problems);
        for faulty in &found.faulty {
            assert!(!faulty.problems.is_empty());
            for &at in &faulty.problems {
                assert!(found.reading.problems[at].is_error());
            }
        }
    }
});

fn check(problems: &[Problem]) {
    for problem in problems {
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'));
        assert!(problem.message.len() < 2_000 && problem.hint.len() < 2_000);
    }
}
