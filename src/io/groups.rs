//! The mating groups: one a row.

use crate::day::{DateOrder, Day};
use crate::flock::MatingGroup;
use crate::io::content;
use crate::io::date::{self, Written};
use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::question::{self, DateAmbiguity};
use crate::io::sheet::{self, Kind, Sheet};
use crate::io::table::Line;
use crate::io::words;
use crate::problem::Reading;
use std::collections::BTreeMap;

/// A window longer than this is hardly one group: three cycles of a ewe, 17 days each, and some days more.
const LONG_WINDOW_DAYS: i32 = 60;

const DAY_COLUMNS: [&str; 2] = ["first_day", "last_day"];

/// Reads the mating groups file. `dates` is the order of day and month, where a person said it.
pub fn groups(bytes: &[u8], dates: Option<DateOrder>) -> (Reading<Vec<MatingGroup>>, Option<DateAmbiguity>) {
    let mut reading = Reading::default();
    let content = content::read(Kind::Groups, bytes, &mut reading.problems);
    let sheet =
        content.as_ref().and_then(|content| sheet::open(Kind::Groups, content, &mut reading.problems));
    let Some(sheet) = sheet else { return (reading, None) };
    reading.unknown_columns = sheet.unknown.iter().map(|(_, name)| name.clone()).collect();

    let cells = sheet.rows.iter().flat_map(|line| DAY_COLUMNS.map(|column| sheet.cell(line, column)));
    let written: Vec<(&str, Written)> =
        cells.filter_map(|text| Some((text, date::read(text).ok()?))).collect();
    let decision = date::decide(written.iter().copied(), dates.or(sheet.stated_order));
    let question = question::raise(Kind::Groups, "first_day and last_day", &decision, &mut reading.problems);
    let unclear = question.is_some().then(|| reading.problems.len().saturating_sub(1));

    let mut seen = BTreeMap::new();
    for line in &sheet.rows {
        let mut problems = RowProblems::new(Kind::Groups, line.row, None, &mut reading.problems);
        let days = Days { order: decision.order, unclear };
        let group = row(&sheet, line, &days, &mut seen, &mut problems);
        if problems.into_errors().is_empty() {
            reading.records.extend(group);
        }
    }
    (reading, question)
}

/// How the file's days are to be read.
struct Days {
    order: Option<DateOrder>,
    /// The problem that asks for the order, where it is open.
    unclear: Option<usize>,
}

fn row(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    days: &Days,
    seen: &mut BTreeMap<String, u32>,
    problems: &mut RowProblems<'_>,
) -> Option<MatingGroup> {
    if !sheet.is_sound(line, problems) {
        return None;
    }
    let name = sheet.cell(line, "group");
    if name.is_empty() {
        let fault =
            Fault::new("group-missing", "The group has no name.", "Write the name that the flock list uses.");
        problems.error("group", name, fault);
    } else if let Some(first) = seen.get(&same_name(name)) {
        let message = format!("{} is also the group in row {first}.", quoted(name));
        problems.error(
            "group",
            name,
            Fault::new("duplicate-group", message, "Give each group a name of its own."),
        );
    } else {
        seen.insert(same_name(name), line.row);
    }
    let [first_day, last_day] =
        DAY_COLUMNS.map(|column| day(sheet.cell(line, column), column, days, problems));
    let of = problems.take("of", sheet.cell(line, "of"), words::day_of(sheet.cell(line, "of")));
    let (first_day, last_day) = (first_day?, last_day?);
    let length = last_day.since(first_day).saturating_add(1);
    if length <= 0 {
        let message = format!(
            "The last day, {}, comes before the first, {}.",
            last_day.in_words(),
            first_day.in_words()
        );
        let fault = Fault::new("days-reversed", message, "Check both days.");
        problems.error("last_day", sheet.cell(line, "last_day"), fault);
    } else if length > LONG_WINDOW_DAYS {
        let message = format!("From the first to the last day are {length} days.");
        let hint = "Check both days. In so long a group little is known of when each ewe is due.";
        problems.warn("last_day", sheet.cell(line, "last_day"), Fault::new("long-window", message, hint));
    }
    Some(MatingGroup { name: name.to_owned(), first_day, last_day, of: of?, row: line.row })
}

fn day(text: &str, column: &str, days: &Days, problems: &mut RowProblems<'_>) -> Option<Day> {
    if text.is_empty() {
        let hint = "Write the day as year-month-day, such as 2027-03-01.";
        problems.error(column, text, Fault::new("day-missing", "The day is missing.", hint));
        return None;
    }
    let written = problems.take(column, text, date::read(text))?;
    match (written.day(days.order), days.unclear) {
        (None, Some(question)) => {
            problems.because_of(question);
            None
        }
        _ => problems.take(column, text, date::resolve(text, written, days.order)),
    }
}

/// What two spellings of a group's name have in common: case and the number of blanks do not count.
pub(super) fn same_name(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Whether two spellings have all of that in common. Asked for every ewe at every entry, so plain letters are not copied.
pub(super) fn is_same_name(one: &str, other: &str) -> bool {
    if !one.is_ascii() || !other.is_ascii() {
        return same_name(one) == same_name(other);
    }
    let (mut one, mut other) = (one.split_whitespace(), other.split_whitespace());
    loop {
        match (one.next(), other.next()) {
            (None, None) => return true,
            (Some(word), Some(with)) if word.eq_ignore_ascii_case(with) => {}
            _ => return false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The quick way must say what the long way says.
    #[test]
    fn one_group_is_told_in_other_spellings() {
        let names = [
            "Blue",
            "blue",
            " BLUE ",
            "blu e",
            "blue  ram",
            "Blue\tram",
            "blueram",
            "",
            " ",
            "Grün",
            "GRÜN",
            "k",
            "\u{212a}",
        ];
        for one in names {
            for other in names {
                assert_eq!(is_same_name(one, other), same_name(one) == same_name(other), "{one:?} {other:?}");
            }
        }
    }
}
