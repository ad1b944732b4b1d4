//! Clocks that are wrong.

use crate::common::scanning_day::{START_MS, entering};
use crate::{enter, ewe, lambs, met, scanned, scored};
use evenfold::farm::journal::{AppendReply, AppendRequest, Book};
use evenfold::journal::{Entering, Journal, Now, Topic, What};

const YEAR_MS: u64 = 365 * 86_400_000;

#[test]
fn a_clock_that_goes_back_a_year_in_a_burst_breaks_no_order() {
    let mut journal = Journal::new();
    for number in 0..40_u64 {
        // Ewe by ewe every 12 seconds; from the twentieth on, a year earlier.
        let ms = START_MS + number * 12_000 - if number >= 20 { YEAR_MS } else { 0 };
        let (one, two) = (number % 4, (number + 1) % 4);
        journal.append(
            &entering(0, ms),
            vec![met("0417"), scanned("0417", one as u8), scanned("0417", two as u8)],
        );
    }
    let numbers: Vec<u64> = journal.entries().map(|entry| entry.event.id.sequence).collect();
    assert_eq!(numbers, (1..=120).collect::<Vec<_>>());
    // What the clock showed is kept beside the order.
    let shown = |at: usize| journal.entries().nth(at).unwrap().event.clock.clone().unwrap();
    assert!(shown(59).starts_with("2027-01-12T08:33") && shown(60).starts_with("2026-01-12T08:34"));
    // A day with the wrong year is not the latest day: its readings do not replace this year's.
    assert_eq!(ewe(&journal, "0417").standing(Topic::Scanned).unwrap().day.to_string(), "2027-01-12");
    assert_eq!(lambs(&journal, "0417"), Some(0));
}

#[test]
fn a_clock_an_hour_behind_does_not_make_a_correction_the_older_reading() {
    let mut one = Journal::new();
    enter(&mut one, 0, 60, scanned("7", 1));
    let mut other = Journal::new();
    other.merge(&one);
    // Ben's tablet is an hour behind; he saw Ann's reading and corrects it.
    let correction = enter(&mut other, 1, 0, scanned("7", 3));
    assert!(correction.event.at > one.entries().next_back().unwrap().event.at);
    assert_eq!(lambs(&other, "7"), Some(3));
    one.merge(&other);
    assert_eq!(lambs(&one, "7"), Some(3));
    assert!(ewe(&one, "7").standing(Topic::Scanned).unwrap().against.is_empty());
}

#[test]
fn a_clock_ten_years_ahead_keeps_the_order_after_it_is_put_right() {
    let mut journal = Journal::new();
    enter(&mut journal, 0, 10 * 365 * 1440, scored("7", 2.0));
    enter(&mut journal, 0, 0, scored("7", 2.5));
    let numbers: Vec<u64> = journal.entries().map(|entry| entry.event.id.sequence).collect();
    assert_eq!(numbers, [1, 2]);
}

fn request(day_back: u64, sure: bool) -> AppendRequest {
    AppendRequest {
        device: "t".to_owned(),
        now: Now { ms: START_MS - day_back * 86_400_000, offset_minutes: 0 },
        by: None,
        day: None,
        what: vec![met("1")],
        sure,
    }
}

#[test]
fn a_day_before_the_last_is_asked_about() {
    let mut book = Book::new();
    assert!(matches!(book.append(request(0, false)), AppendReply::Appended { .. }));
    let AppendReply::Asked { questions } = book.append(request(1, false)) else { panic!("it was not asked") };
    assert_eq!(questions[0].code, "day-before-last");
    assert!(
        questions[0].message.contains("11 January 2027") && questions[0].message.contains("12 January 2027")
    );
    assert_eq!(book.size().0, 1, "nothing was entered");
    assert!(matches!(book.append(request(1, true)), AppendReply::Appended { .. }));
    // Entered for another day by choice, from paper: nothing to ask.
    let day = evenfold::day::Day::from_iso("2027-01-10");
    let reply = book.append(AppendRequest { day, ..request(0, false) });
    assert!(matches!(reply, AppendReply::Appended { .. }), "{reply:?}");
    let day = evenfold::day::Day::from_iso("2027-02-10");
    let reply = book.append(AppendRequest { day, ..request(0, false) });
    assert!(
        matches!(&reply, AppendReply::Asked { questions } if questions[0].code == "day-to-come"),
        "{reply:?}"
    );
}

#[test]
fn a_day_is_the_local_day() {
    let mut journal = Journal::new();
    // 23:50 on 27 March in British summer time is 22:50 UTC; in New York it is the day before by then.
    let ms = 1_806_187_800_000;
    let at = |offset_minutes| Entering {
        device: format!("d{}", offset_minutes + 300),
        now: Now { ms, offset_minutes },
        by: None,
        day: None,
    };
    for (offset, clock, day) in [
        (60, "2027-03-27T23:50:00+01:00", "2027-03-27"),
        (120, "2027-03-28T00:50:00+02:00", "2027-03-28"),
        (-240, "2027-03-27T18:50:00-04:00", "2027-03-27"),
    ] {
        let entry = &journal.append(&at(offset), vec![What::Noted { ewe: None, words: "x".to_owned() }])[0];
        assert_eq!((entry.event.clock.as_deref(), entry.event.day.to_string().as_str()), (Some(clock), day));
    }
}
