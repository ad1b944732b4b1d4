//! Mating groups, in their file and in the flock list.

use crate::{blue, check_flock, check_groups, day, only, said};
use evenfold::day::DateOrder;
use evenfold::flock::{DayOf, Due, MatingGroup};
use evenfold::io;

#[test]
fn a_group_tells_when_she_is_due() {
    // 147 days after 5 October 2026 is 1 March 2027; after 21 October, 17 March.
    let ewe = only(check_flock("tag,Raddle\n1, BLUE \n", &[]));
    let expected =
        Due::Between { group: "blue".to_owned(), first: day("2027-03-01"), last: day("2027-03-17") };
    assert_eq!(ewe.due, expected);
    assert!(ewe.extra.is_empty());
    let due =
        MatingGroup { of: DayOf::Due, first_day: day("2027-03-02"), last_day: day("2027-03-03"), ..blue() };
    let found = io::flock(b"tag,group\n1,blue\n", Some(&[due]), None);
    let expected =
        Due::Between { group: "blue".to_owned(), first: day("2027-03-02"), last: day("2027-03-03") };
    assert_eq!(only(found).due, expected);
}

#[test]
fn a_date_of_her_own_wins_over_the_group() {
    let text = "tag,due,group\n1,2027-02-19,blue\n2,2027-02-18,blue\n3,2027-03-27,blue\n4,2027-03-28,blue\n\
                5,2027-03-28,red\n6,,red\n";
    let expected = [
        "3 due due-outside-group?",
        "5 due due-outside-group?",
        "6 group group-unknown?",
        "7 group group-unknown",
    ];
    let found = check_flock(text, &expected);
    assert_eq!(found.reading.records.len(), 5);
    assert!(found.reading.records.iter().all(|ewe| matches!(ewe.due, Due::On(_)) && ewe.extra.len() == 1));
}

#[test]
fn a_missing_groups_file_is_said_once() {
    let text = b"tag,due,group\n1,,blue\n2,,blue\n3,2027-03-01,blue\n4,,\n";
    let found = io::flock(text, None, None);
    assert_eq!(said(&found.reading.problems), ["group groups-file-missing"]);
    assert!(found.reading.problems.first().is_some_and(|p| p.hint.contains("--groups GROUPS.csv")));
    assert_eq!(
        found.faulty.iter().map(|f| (f.row, f.problems.clone())).collect::<Vec<_>>(),
        [(2, vec![0]), (3, vec![0]),]
    );
    assert_eq!(found.reading.records.iter().map(|ewe| ewe.row).collect::<Vec<_>>(), [4, 5]);
    assert!(io::flock(b"tag,due,group\n3,2027-03-01,blue\n", None, None).reading.problems.is_empty());
}

#[test]
fn groups_are_read() {
    let groups = check_groups(
        "Colour;From;To;Of\nblue;05.10.2026;21.10.2026;service\ngreen;2027-03-18;2027-04-03;Due\n",
        &[],
    );
    assert_eq!(groups.first(), Some(&blue()));
    assert_eq!(groups.get(1).map(|group| (group.of, group.row)), Some((DayOf::Due, 3)));
}

#[test]
fn groups_at_fault() {
    let head = "group,first_day,last_day,of\n";
    for (row, expected) in [
        ("a,2027-03-02,2027-03-01,due\n", &["2 last_day days-reversed"][..]),
        ("a,2027-03-01,2027-04-29,due\n", &[]),
        ("a,2027-03-01,2027-04-30,due\n", &["2 last_day long-window?"]),
        ("a,,2027-04-30,due\n", &["2 first_day day-missing"]),
        ("a,2027-03-01,2027-04-01,\n", &["2 of days-of-unknown"]),
        ("a,2027-03-01,2027-04-01,birth\n", &["2 of days-of-unknown"]),
        (",2027-03-01,2027-04-01,due\n", &["2 group group-missing"]),
        ("a,2027-03-01,2027-04-01,due\nA,2027-03-01,2027-04-01,due\n", &["3 group duplicate-group"]),
        ("a,31/02/2027,2027-04-01,due\n", &["2 first_day date-no-such-day"]),
        ("a,2027-03-01\n", &["2 cell-count"]),
    ] {
        check_groups(&format!("{head}{row}"), expected);
    }
    check_groups("group,first_day,last_day\na,2027-03-01,2027-03-02\n", &["column-missing"]);
}

#[test]
fn both_days_of_groups_decide_the_order_together() {
    let text = b"group,first_day,last_day,of\nblue,05/10/2026,21/10/2026,service\n";
    let (found, question) = io::groups(text, None);
    assert_eq!((found.records, question), (vec![blue()], None));
    let text = b"group,first_day,last_day,of\nblue,05/10/2026,06/10/2026,service\n";
    let (found, question) = io::groups(text, None);
    assert_eq!(said(&found.problems), ["first_day and last_day date-order-unclear"]);
    assert_eq!(
        question.map(|q| (q.column, q.samples)),
        Some(("first_day and last_day".to_owned(), vec!["05/10/2026".to_owned(), "06/10/2026".to_owned()]))
    );
    let (found, question) = io::groups(text, Some(DateOrder::Mdy));
    assert_eq!(question, None);
    assert_eq!(found.records.first().map(|group| group.last_day), Some(day("2026-06-10")));
}
