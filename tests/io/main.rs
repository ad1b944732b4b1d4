//! Files as they come from outside, against what a person reads in them.
//!
//! | file | what it checks |
//! |---|---|
//! | `shape` | encodings, delimiters, headers, broken rows, files that are something else |
//! | `cells` | tags, figures and words, one kind of cell after the other |
//! | `letters` | letters that are not UTF-8 |
//! | `dates` | dates, and the order of day and month |
//! | `groups`, `pens`, `feeds` | the other files |
//! | `example` | the demo farm, and its faulty rows |
//! | `properties` | what must hold for any file |
//! | `workbook` | spreadsheet files, in and out |

mod cells;
mod dates;
mod example;
mod feeds;
mod groups;
mod letters;
mod pens;
mod properties;
mod shape;
mod workbook;

use evenfold::day::Day;
use evenfold::flock::{DayOf, Ewe, MatingGroup};
use evenfold::io;
use evenfold::problem::{Problem, Severity};

pub(crate) fn day(iso: &str) -> Day {
    Day::from_iso(iso).expect("the test's dates are dates")
}

pub(crate) fn blue() -> MatingGroup {
    MatingGroup {
        name: "blue".to_owned(),
        first_day: day("2026-10-05"),
        last_day: day("2026-10-21"),
        of: DayOf::Service,
        row: 2,
    }
}

/// The codes of problems with their rows and columns, notes left out: `2 condition out-of-range`.
pub(crate) fn said(problems: &[Problem]) -> Vec<String> {
    let said = problems.iter().filter(|problem| problem.severity > Severity::Note).map(|problem| {
        let mark = if problem.is_error() { "" } else { "?" };
        let (row, column) = (problem.row.map(|row| row.to_string()), problem.column.clone());
        [row, column, Some(format!("{}{mark}", problem.code))]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ")
    });
    said.collect()
}

#[track_caller]
pub(crate) fn check_flock(text: &str, expected: &[&str]) -> io::FlockReading {
    let groups = [blue()];
    let found = io::flock(text.as_bytes(), Some(&groups), None);
    assert_eq!(said(&found.reading.problems), expected, "{text}");
    for problem in &found.reading.problems {
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'), "{problem:?}");
    }
    found
}

#[track_caller]
pub(crate) fn check_pens(text: &str, expected: &[&str]) -> Vec<evenfold::pen::Pen> {
    let found = io::pens(text.as_bytes());
    assert_eq!(said(&found.problems), expected, "{text}");
    found.records
}

#[track_caller]
pub(crate) fn check_groups(text: &str, expected: &[&str]) -> Vec<MatingGroup> {
    let (found, _) = io::groups(text.as_bytes(), None);
    assert_eq!(said(&found.problems), expected, "{text}");
    found.records
}

pub(crate) fn only(found: io::FlockReading) -> Ewe {
    assert_eq!(found.reading.records.len(), 1, "{:?}", found.reading.problems);
    found.reading.records.into_iter().next().expect("there is one")
}
