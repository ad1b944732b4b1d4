//! Readings that contradict each other: listed with who and when, settled by an event, nothing lost.

use crate::{enter, ewe, lambs, met, scanned, scored, tag};
use evenfold::farm::journal::Book;
use evenfold::io::write_journal;
use evenfold::journal::{Journal, Mark, Topic, What};

/// Two devices that know nothing of each other, put together.
fn together(one: impl FnOnce(&mut Journal), other: impl FnOnce(&mut Journal)) -> Journal {
    let (mut a, mut b) = (Journal::new(), Journal::new());
    one(&mut a);
    other(&mut b);
    a.merge(&b);
    a
}

fn book(journal: &Journal) -> Book {
    let mut book = Book::new();
    book.take(write_journal(journal).as_bytes());
    book
}

#[test]
fn two_people_who_read_one_ewe_differently_are_both_shown() {
    let journal = together(
        |a| {
            enter(a, 0, 12, scanned("0417", 2));
        },
        |b| {
            enter(b, 1, 40, scanned("0417", 3));
        },
    );
    let state = book(&journal).state();
    assert_eq!(state.conflicts.len(), 1);
    let conflict = &state.conflicts[0];
    assert_eq!(
        conflict.words,
        "0417, lambs on 12 January 2027: Ben at 09:10 says triplets; Ann at 08:42 says twins. \
         Until somebody settles it, triplets is taken."
    );
    assert!(conflict.decides);
    assert!(state.ewes[0].scanned.as_ref().unwrap().from.in_doubt);
    assert_eq!(book(&journal).doubts()[0].code, "readings-differ");
}

#[test]
fn the_more_careful_reading_is_taken_until_then() {
    for (first, second, taken) in [(1, 2, 2), (2, 1, 2), (0, 1, 1), (4, 3, 4)] {
        let journal = together(
            |a| {
                enter(a, 0, 0, scanned("7", first));
            },
            |b| {
                enter(b, 1, 1, scanned("7", second));
            },
        );
        assert_eq!(lambs(&journal, "7"), Some(taken));
    }
    for (first, second) in [(2.0, 3.0), (3.0, 2.0)] {
        let journal = together(
            |a| {
                enter(a, 0, 0, scored("7", first));
            },
            |b| {
                enter(b, 1, 1, scored("7", second));
            },
        );
        let state = book(&journal).state();
        assert_eq!(state.ewes[0].condition.as_ref().unwrap().score.units(), 2.0);
    }
}

#[test]
fn the_same_reading_twice_a_correction_and_another_day_are_no_contradiction() {
    let same = together(
        |a| {
            enter(a, 0, 0, scanned("7", 2));
        },
        |b| {
            enter(b, 1, 1, scanned("7", 2));
        },
    );
    assert!(ewe(&same, "7").contradictions().is_empty());
    let mut one = Journal::new();
    enter(&mut one, 0, 0, scanned("7", 1));
    enter(&mut one, 0, 1, scanned("7", 2));
    assert!(ewe(&one, "7").contradictions().is_empty());
    assert_eq!(lambs(&one, "7"), Some(2));
    let days = together(
        |a| {
            enter(a, 0, 0, scanned("7", 3));
        },
        |b| {
            enter(b, 1, 1440, scanned("7", 2));
        },
    );
    assert!(ewe(&days, "7").contradictions().is_empty());
    assert_eq!(lambs(&days, "7"), Some(2));
}

#[test]
fn an_old_contradiction_stays_listed_and_no_longer_decides() {
    let mut journal = together(
        |a| {
            enter(a, 0, 0, scanned("7", 2));
        },
        |b| {
            enter(b, 1, 1, scanned("7", 3));
        },
    );
    enter(&mut journal, 0, 2000, scanned("7", 2));
    let state = book(&journal).state();
    assert_eq!((state.conflicts.len(), state.conflicts[0].decides), (1, false));
    assert!(!state.ewes[0].scanned.as_ref().unwrap().from.in_doubt);
    assert!(book(&journal).doubts().is_empty());
}

fn settled(journal: &mut Journal, device: usize, minutes: u64, holds: usize) -> What {
    let ids: Vec<_> = ewe(journal, "7").of(Topic::Scanned).map(|event| event.id.clone()).collect();
    let what = What::Settled { ewe: tag("7"), holds: ids[holds].clone(), over: vec![ids[1 - holds].clone()] };
    enter(journal, device, minutes, what.clone());
    what
}

#[test]
fn an_event_settles_it_and_a_later_one_settles_it_again() {
    let mut journal = together(
        |a| {
            enter(a, 0, 0, scanned("7", 2));
        },
        |b| {
            enter(b, 1, 1, scanned("7", 3));
        },
    );
    settled(&mut journal, 0, 2, 0);
    assert_eq!(lambs(&journal, "7"), Some(2));
    assert!(ewe(&journal, "7").contradictions().is_empty());
    settled(&mut journal, 1, 3, 1);
    assert_eq!(lambs(&journal, "7"), Some(3));
    assert_eq!(ewe(&journal, "7").readings.len(), 2, "both are still there");
    // Ann's again, and that undone once more.
    settled(&mut journal, 0, 4, 0);
    assert_eq!(lambs(&journal, "7"), Some(2));
    let again = journal.entries().next_back().unwrap().event.id.clone();
    enter(&mut journal, 0, 5, What::Undone { events: vec![again] });
    assert_eq!(lambs(&journal, "7"), Some(3));
    // Undoing the second brings the first back, undoing both brings the contradiction back.
    let ids: Vec<_> = journal.entries().map(|entry| entry.event.id.clone()).collect();
    enter(&mut journal, 0, 6, What::Undone { events: vec![ids[3].clone()] });
    assert_eq!(lambs(&journal, "7"), Some(2));
    enter(&mut journal, 0, 7, What::Undone { events: vec![ids[2].clone()] });
    assert_eq!(ewe(&journal, "7").contradictions().len(), 1);
}

#[test]
fn where_the_reading_that_holds_is_undone_the_other_stands() {
    let mut journal = together(
        |a| {
            enter(a, 0, 0, scanned("7", 2));
        },
        |b| {
            enter(b, 1, 1, scanned("7", 3));
        },
    );
    let held = ewe(&journal, "7").of(Topic::Scanned).next().unwrap().id.clone();
    settled(&mut journal, 0, 2, 0);
    enter(&mut journal, 0, 3, What::Undone { events: vec![held] });
    assert_eq!(lambs(&journal, "7"), Some(3));
}

#[test]
fn a_mark_that_somebody_else_set_meanwhile_is_not_cleared() {
    let mark = |ewe: &str| What::Marked { ewe: tag(ewe), mark: Mark::Lame, words: None };
    let clear = |ewe: &str| What::MarkCleared { ewe: tag(ewe), mark: Mark::Lame };
    let mut ann = Journal::new();
    enter(&mut ann, 0, 0, met("7"));
    enter(&mut ann, 0, 1, mark("7"));
    let mut ben = ann.clone();
    enter(&mut ann, 0, 5, clear("7"));
    assert!(ewe(&ann, "7").marks.is_empty());
    enter(&mut ben, 1, 3, mark("7"));
    ann.merge(&ben);
    assert_eq!(ewe(&ann, "7").marks.len(), 1);
    enter(&mut ann, 0, 6, clear("7"));
    assert!(ewe(&ann, "7").marks.is_empty());
}

/// A device that lacks an event of another, though it has later ones, did not know of it.
#[test]
fn an_event_that_was_missing_is_not_taken_for_seen() {
    let mut ben = Journal::new();
    for (minute, lambs) in [(0, 1), (1, 2), (2, 3)] {
        let ewe = ["5", "7", "6"][minute as usize];
        enter(&mut ben, 1, minute, scanned(ewe, lambs));
    }
    let file = write_journal(&ben);
    let without: Vec<&str> =
        file.lines().enumerate().filter(|(at, _)| *at != 2).map(|(_, line)| line).collect();
    let mut ann = crate::read_back(&without.join("\n"));
    let reading = enter(&mut ann, 0, 10, scanned("7", 1));
    assert_eq!(reading.event.seen.get("race-b"), Some(&1));
    assert_eq!(book(&ann).state().problems[0].code, "events-missing");
    ann.merge(&ben);
    assert_eq!(ewe(&ann, "7").contradictions().len(), 1);
    let reading = enter(&mut ann, 0, 11, scanned("7", 1));
    assert_eq!(reading.event.seen.get("race-b"), Some(&3));
    assert!(ewe(&ann, "7").contradictions().is_empty());
}
