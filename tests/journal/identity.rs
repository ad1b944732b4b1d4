//! Whom a name means.

use crate::common::scanning_day::{eid, entering};
use crate::{enter, ewe, lambs, met, scanned, tag};
use evenfold::farm::journal::{Book, Known, LookRequest};
use evenfold::flock::Litter;
use evenfold::io::write_journal;
use evenfold::journal::{Journal, Name, What};

fn met_both(number: usize, tag: &str) -> What {
    What::EweMet { eid: Some(eid(number)), tag: Some(tag.to_owned()), read: None }
}

fn met_eid(number: usize) -> What {
    What::EweMet { eid: Some(eid(number)), tag: None, read: None }
}

fn scanned_eid(number: usize, lambs: u8) -> What {
    What::Scanned { ewe: Name::Eid(eid(number)), lambs: Litter::of(lambs).unwrap() }
}

fn set(ewe: Name, to_eid: Option<usize>, to_tag: Option<&str>) -> What {
    What::IdentitySet { ewe, eid: to_eid.map(eid), tag: to_tag.map(str::to_owned) }
}

fn journal(whats: Vec<What>) -> Journal {
    let mut journal = Journal::new();
    for (minute, what) in (0..).zip(whats) {
        enter(&mut journal, 0, minute, what);
    }
    journal
}

fn count(journal: &Journal) -> usize {
    journal.state().ewes().count()
}

#[test]
fn tag_and_identifier_met_together_mean_one_ewe() {
    let journal = journal(vec![met_both(1, "0417"), scanned("0417", 2), scanned_eid(1, 3)]);
    assert_eq!(count(&journal), 1);
    assert_eq!(lambs(&journal, "0417"), Some(3));
}

#[test]
fn tags_are_exact_text() {
    let mut journal = journal(vec![met("0417"), met("417"), met("EV417"), met("ev417")]);
    // With a blank at its end, empty, or with a sign that cannot be seen: nothing is entered.
    for wrong in ["417 ", "", " ", "4\u{7}17"] {
        assert!(journal.append(&entering(0, 0), vec![met(wrong)]).is_empty());
    }
    assert_eq!(
        journal.state().ewes().map(|ewe| ewe.called()).collect::<Vec<_>>(),
        ["0417", "417", "EV417", "ev417"]
    );
}

#[test]
fn an_identifier_attached_joins_what_was_read_by_either() {
    let journal = journal(vec![scanned("0417", 2), scanned_eid(1, 3), set(tag("0417"), Some(1), None)]);
    assert_eq!(count(&journal), 1);
    let ewe = ewe(&journal, "0417");
    assert_eq!((ewe.readings.len(), ewe.eid.clone()), (2, Some(eid(1))));
    assert_eq!(lambs(&journal, "0417"), Some(3));
}

#[test]
fn a_corrected_tag_goes_on_meaning_her_until_another_is_met_by_it() {
    let corrected = vec![met("0147"), scanned("0147", 1), set(tag("0147"), None, Some("0417"))];
    let mut journal = journal(corrected);
    assert_eq!(ewe(&journal, "0147").called(), "0417");
    assert!(!journal.state().is_current(&tag("0147")));
    // Somebody who has not heard of it scans the old tag.
    enter(&mut journal, 0, 10, scanned("0147", 2));
    assert_eq!((count(&journal), lambs(&journal, "0417")), (1, Some(2)));
    enter(&mut journal, 0, 11, met("0147"));
    enter(&mut journal, 0, 12, scanned("0147", 4));
    assert_eq!((count(&journal), lambs(&journal, "0417"), lambs(&journal, "0147")), (2, Some(2), Some(4)));
}

#[test]
fn two_ewes_with_one_tag_stay_two_and_are_named() {
    let journal = journal(vec![met_both(1, "17"), scanned_eid(1, 1), met_both(2, "17"), scanned_eid(2, 3)]);
    assert_eq!(count(&journal), 2);
    let find = |number| journal.state().find(&Name::Eid(eid(number))).unwrap();
    assert_eq!((find(1).readings.len(), find(2).readings.len()), (1, 1));
    let mut book = Book::new();
    book.take(write_journal(&journal).as_bytes());
    let problems = book.state().problems;
    assert_eq!(problems.len(), 1);
    assert_eq!((problems[0].code.as_str(), problems[0].tag.as_deref()), ("tag-of-two-ewes", Some("17")));
}

#[test]
fn a_lost_identifier_is_replaced_and_the_old_one_still_means_her() {
    let journal = journal(vec![
        met_both(1, "0417"),
        set(tag("0417"), Some(2), None),
        scanned_eid(1, 1),
        scanned_eid(2, 2),
    ]);
    assert_eq!((count(&journal), lambs(&journal, "0417")), (1, Some(2)));
    assert_eq!(ewe(&journal, "0417").former, [Name::Eid(eid(1))]);
}

#[test]
fn an_identifier_on_the_wrong_ewe_is_moved_and_each_keeps_her_readings() {
    let journal = journal(vec![
        met_both(1, "A"),
        scanned("A", 1),
        met("B"),
        scanned("B", 2),
        set(tag("B"), Some(1), None),
        scanned_eid(1, 3),
    ]);
    assert_eq!((lambs(&journal, "A"), lambs(&journal, "B")), (Some(1), Some(3)));
    assert_eq!((ewe(&journal, "A").eid.clone(), ewe(&journal, "B").eid.clone()), (None, Some(eid(1))));
}

#[test]
fn undoing_puts_two_that_were_joined_apart_again() {
    let mut journal =
        journal(vec![met_eid(1), scanned_eid(1, 1), met("9"), scanned("9", 2), set(tag("9"), Some(1), None)]);
    assert_eq!(count(&journal), 1);
    let id = journal.entries().next_back().unwrap().event.id.clone();
    enter(&mut journal, 0, 20, What::Undone { events: vec![id] });
    assert_eq!((count(&journal), lambs(&journal, "9")), (2, Some(2)));
}

#[test]
fn the_race_is_told_who_stands_there() {
    let journal = journal(vec![
        met_both(1, "0417"),
        scanned("0417", 2),
        met("0147"),
        set(tag("0147"), None, Some("0148")),
    ]);
    let mut book = Book::new();
    book.take(write_journal(&journal).as_bytes());
    let look = |read: &str, day: &str| {
        book.look(&LookRequest { read: read.to_owned(), day: evenfold::day::Day::from_iso(day).unwrap() })
    };
    // By her identifier, in a reader's form, on another day.
    let reply = look("LA 001 000007000001\r\n", "2027-01-20");
    assert_eq!((reply.known, reply.words.as_str(), reply.question), (Known::Yes, "0417, twins.", None));
    assert_eq!(reply.name, Some(Name::Eid(eid(1))));
    // A second time on one day: what is meant?
    let reply = look("0417", "2027-01-12");
    assert_eq!(reply.today, ["twins by Ann at 08:31"]);
    assert!(reply.question.unwrap().ends_with("Is this a correction, or another ewe?"));
    // A tag since corrected, a new one that looks like a known one, and no tag.
    let reply = look("0147", "2027-01-20");
    assert_eq!(reply.known, Known::Formerly);
    assert_eq!(reply.question.as_deref(), Some("0147 is now 0148. Is it her, or another ewe called 0147?"));
    let reply = look("417", "2027-01-20");
    assert_eq!((reply.known, reply.problems[0].code.as_str()), (Known::New, "tags-alike"));
    assert_eq!(look("0999", "2027-01-20").words, "0999 is a new ewe.");
    let reply = look("NO READ", "2027-01-20");
    assert_eq!((reply.known, reply.name, reply.ewe), (Known::Unreadable, None, None));
}
