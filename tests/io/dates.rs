//! Dates.

use crate::{check_flock, day, only, said};
use evenfold::day::DateOrder;
use evenfold::flock::Due;
use evenfold::io;

#[test]
fn dates_that_can_be_read_one_way_only() {
    for text in [
        "2027-03-01",
        "2027/3/1",
        "2027-03-01T00:00:00Z",
        "2027-03-01 00:00",
        "20270301",
        "01.03.2027",
        "1.3.2027",
        "1 Mar 2027",
        "01-Mar-2027",
        "1 March 2027",
        "March 1 2027",
        "\"March 1, 2027\"",
        "1st of March 2027",
        "Monday 1 March 2027",
        "2027-Mar-01",
        "1 MAR 2027 12:30:00",
    ] {
        assert_eq!(
            only(check_flock(&format!("tag,due\n1,{text}\n"), &[])).due,
            Due::On(day("2027-03-01")),
            "{text}"
        );
    }
}

#[test]
fn dates_that_are_none() {
    for (text, code) in [
        ("31/02/2027", "date-no-such-day"),
        ("2027-02-30", "date-no-such-day"),
        ("31.02.2027", "date-no-such-day"),
        ("30 Feb 2027", "date-no-such-day"),
        ("32/13/2027", "date-no-such-day"),
        ("00/00/2027", "date-no-such-day"),
        ("01/03/27", "date-two-digit-year"),
        ("01-Mar-27", "date-two-digit-year"),
        ("1.3.27", "date-two-digit-year"),
        ("46447", "date-day-number"),
        ("2127-03-01", "date-year"),
        ("0027-03-01", "date-year"),
        ("01/03/1927", "date-year"),
        ("soon", "not-a-date"),
        ("7", "not-a-date"),
        ("March 2027", "not-a-date"),
        ("2027-03", "not-a-date"),
        ("1/3-2027", "not-a-date"),
        ("-2027-03-01", "not-a-date"),
        ("1 Mar Apr 2027", "not-a-date"),
        ("１/３/2027", "not-a-date"),
        ("12:30", "not-a-date"),
    ] {
        check_flock(&format!("tag,due\n1,{text}\n"), &[&format!("2 due {code}")]);
    }
    let found = io::flock(b"tag,due\n1,46447\n", None, None);
    assert!(found.reading.problems.iter().any(|problem| problem.message.contains("1 March 2027")));
}

#[track_caller]
fn check_dues(header: &str, dates: &[&str], asked: Option<DateOrder>, said_of: &[&str], expected: &[&str]) {
    let rows: String = dates.iter().enumerate().map(|(tag, text)| format!("t{tag},{text}\n")).collect();
    let found = io::flock(format!("tag,{header}\n{rows}").as_bytes(), None, asked);
    assert_eq!(said(&found.reading.problems), said_of);
    let days = found.reading.records.iter().map(|ewe| match &ewe.due {
        Due::On(day) => day.to_string(),
        other => format!("{other:?}"),
    });
    assert_eq!(days.collect::<Vec<_>>(), expected);
    assert_eq!(found.reading.records.len() + found.faulty.len(), dates.len());
}

#[test]
fn the_order_of_day_and_month_is_decided_over_the_column() {
    check_dues("due", &["03/04/2027", "13/04/2027"], None, &[], &["2027-04-03", "2027-04-13"]);
    check_dues("due", &["03/04/2027", "04-13-2027"], None, &[], &["2027-03-04", "2027-04-13"]);
    check_dues("due", &["04/04/2027", "2027-03-01"], None, &[], &["2027-04-04", "2027-03-01"]);
    check_dues("due", &["03/04/2027"], Some(DateOrder::Dmy), &[], &["2027-04-03"]);
    check_dues("due", &["03/04/2027"], Some(DateOrder::Mdy), &[], &["2027-03-04"]);
    check_dues("due (dd/mm/yyyy)", &["03/04/2027"], None, &[], &["2027-04-03"]);
    // Dots say nothing about slashes.
    check_dues("due", &["03/04/2027", "13.04.2027"], None, &["due date-order-unclear"], &["2027-04-13"]);
}

#[test]
fn dates_against_the_others_are_row_errors() {
    check_dues(
        "due",
        &["13/04/2027", "14/04/2027", "04/15/2027", "03/04/2027"],
        None,
        &["due date-order-mixed?", "4 due date-against-order"],
        &["2027-04-13", "2027-04-14", "2027-04-03"],
    );
    check_dues(
        "due",
        &["13/04/2027"],
        Some(DateOrder::Mdy),
        &["due date-order-mixed?", "2 due date-against-order"],
        &[],
    );
    // One against one decides nothing, so what can be read two ways is asked.
    check_dues(
        "due",
        &["13/04/2027", "04/15/2027", "03/04/2027"],
        None,
        &["due date-order-unclear"],
        &["2027-04-13", "2027-04-15"],
    );
}

#[test]
fn an_open_order_is_asked_with_the_dates_in_words() {
    let text =
        "tag,due\n1,03/04/2027\n2,05/06/2027\n3,03/04/2027\n4,7/7/2027\n5,1/2/2027\n6,2/3/2027\n7,2/13/27\n";
    let found = check_flock(text, &["due date-order-unclear", "8 due date-two-digit-year"]);
    let question = found.date_question.expect("it is open");
    assert_eq!(question.column, "due");
    assert_eq!(question.samples, ["03/04/2027", "05/06/2027", "1/2/2027"]);
    assert_eq!(question.dmy_words, ["3 April 2027", "5 June 2027", "1 February 2027"]);
    assert_eq!(question.mdy_words, ["4 March 2027", "6 May 2027", "2 January 2027"]);
    let problem = found.reading.problems.first().expect("the question");
    assert!(problem.hint.contains("--dates dmy") && problem.hint.contains("--dates mdy"));
    assert_eq!(found.reading.records.iter().map(|ewe| ewe.row).collect::<Vec<_>>(), [5]);
    assert_eq!(
        found.faulty.iter().map(|faulty| faulty.problems.clone()).collect::<Vec<_>>(),
        [vec![0], vec![0], vec![0], vec![0], vec![0], vec![1],]
    );
}
