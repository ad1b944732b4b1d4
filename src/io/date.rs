//! Dates as people and spreadsheets write them.
//!
//! `03/04/2027` is the third of April to some and the fourth of March to others. The order is decided over
//! the whole column by dates that can be read only one way; where none decides, it is asked.

use crate::day::{DateOrder, Day, MONTHS};
use crate::io::fault::{Fault, quoted};

/// A date as far as its text alone tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Written {
    /// It can only be this day.
    Day(Day),
    /// Two numbers and a year; which number is the month, the column must tell.
    Either {
        /// The number written first.
        first: i8,
        /// The number written second.
        second: i8,
        /// The year.
        year: i16,
    },
}

impl Written {
    /// The day, where the order is known or only one day is possible.
    pub(super) fn day(self, order: Option<DateOrder>) -> Option<Day> {
        match self {
            Self::Day(day) => Some(day),
            Self::Either { first, second, year } => match order {
                Some(DateOrder::Dmy) => Day::of(year, second, first),
                Some(DateOrder::Mdy) => Day::of(year, first, second),
                None => {
                    let readings = [Day::of(year, second, first), Day::of(year, first, second)];
                    match readings {
                        [Some(one), None] | [None, Some(one)] => Some(one),
                        [one, other] => one.filter(|_| one == other),
                    }
                }
            },
        }
    }

    /// The only order in which it is a day, where there is just one.
    fn evidence(self) -> Option<DateOrder> {
        match (self.day(Some(DateOrder::Dmy)), self.day(Some(DateOrder::Mdy))) {
            (Some(_), None) => Some(DateOrder::Dmy),
            (None, Some(_)) => Some(DateOrder::Mdy),
            _ => None,
        }
    }
}

/// Reads one date, leaving the order of day and month open where the text leaves it open.
pub(super) fn read(text: &str) -> Result<Written, Fault> {
    let date = without_time(text).ok_or_else(|| not_a_date(text))?;
    let parts = parts(without_weekday(date)).ok_or_else(|| not_a_date(text))?;
    match parts.as_slice() {
        [Part::Number(number)] => single(text, number),
        [Part::Number(first), mark, Part::Number(second), last, Part::Number(third)] if mark == last => {
            match mark {
                Part::Slash | Part::Dash | Part::Dot => numeric(text, [first, second, third], *mark),
                _ => Err(not_a_date(text)),
            }
        }
        _ => named(text, &parts),
    }
}

/// How the dates of a column are to be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Decision {
    /// The order, where it is known.
    pub(super) order: Option<DateOrder>,
    /// Up to three texts that have two readings, where the order is not known.
    pub(super) open: Vec<String>,
    /// How many dates can only be read in the other order.
    pub(super) against: u32,
}

/// Decides the order for the dates of one file. `stated` is what a person or the header says.
pub(super) fn decide<'t>(
    dates: impl Iterator<Item = (&'t str, Written)> + Clone,
    stated: Option<DateOrder>,
) -> Decision {
    let (mut dmy, mut mdy) = (0_u32, 0_u32);
    for (_, written) in dates.clone() {
        match written.evidence() {
            Some(DateOrder::Dmy) => dmy = dmy.saturating_add(1),
            Some(DateOrder::Mdy) => mdy = mdy.saturating_add(1),
            None => {}
        }
    }
    let order = stated.or(match dmy.cmp(&mdy) {
        std::cmp::Ordering::Greater => Some(DateOrder::Dmy),
        std::cmp::Ordering::Less => Some(DateOrder::Mdy),
        std::cmp::Ordering::Equal => None,
    });
    match order {
        Some(DateOrder::Dmy) => Decision { order, against: mdy, ..Decision::default() },
        Some(DateOrder::Mdy) => Decision { order, against: dmy, ..Decision::default() },
        None => Decision { open: samples(dates), ..Decision::default() },
    }
}

/// Up to three different texts that are two different days.
fn samples<'t>(dates: impl Iterator<Item = (&'t str, Written)>) -> Vec<String> {
    const MOST: usize = 3;
    let mut samples: Vec<String> = Vec::new();
    for (text, written) in dates {
        let readings = (written.day(Some(DateOrder::Dmy)), written.day(Some(DateOrder::Mdy)));
        let open = matches!(readings, (Some(dmy), Some(mdy)) if dmy != mdy);
        if open && samples.len() < MOST && !samples.iter().any(|sample| sample == text) {
            samples.push(text.to_owned());
        }
    }
    samples
}

/// The day, or why there is none although the text is a date. Call it where the order is decided, or for a
/// date that does not need one.
pub(super) fn resolve(text: &str, written: Written, order: Option<DateOrder>) -> Result<Day, Fault> {
    written.day(order).ok_or_else(|| match (written, order) {
        (Written::Either { .. }, Some(order)) if written.evidence().is_some() => {
            let (this, other) = match order {
                DateOrder::Dmy => ("day first", "month first"),
                DateOrder::Mdy => ("month first", "day first"),
            };
            Fault::new(
                "date-against-order",
                format!("{} can only be read {other}, but dates in this file are read {this}.", quoted(text)),
                "Write this date as year-month-day, such as 2027-03-01.",
            )
        }
        _ => no_such_day(text),
    })
}

/// One piece of a date's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part<'t> {
    Number(&'t str),
    Word(&'t str),
    Slash,
    Dash,
    Dot,
    Comma,
}

/// Takes the text apart; blanks only part. No date has more than ten pieces.
fn parts(text: &str) -> Option<Vec<Part<'_>>> {
    const MOST: usize = 10;
    let mut parts = Vec::new();
    let mut rest = text.trim();
    while let Some(first) = rest.chars().next() {
        let run = |same: fn(char) -> bool| rest.find(|c| !same(c)).unwrap_or(rest.len());
        let (part, length) = match first {
            '0'..='9' => {
                let end = run(|c| c.is_ascii_digit());
                (Part::Number(&rest[..end]), end)
            }
            'a'..='z' | 'A'..='Z' => {
                let end = run(|c| c.is_ascii_alphabetic());
                (Part::Word(&rest[..end]), end)
            }
            '/' => (Part::Slash, 1),
            '-' => (Part::Dash, 1),
            '.' => (Part::Dot, 1),
            ',' => (Part::Comma, 1),
            _ => return None,
        };
        if parts.len() == MOST {
            return None;
        }
        parts.push(part);
        rest = rest[length..].trim_start();
    }
    Some(parts)
}

/// Takes off a time of day, as spreadsheets and databases add one: it says nothing about the day.
fn without_time(text: &str) -> Option<&str> {
    let Some(colon) = text.find(':') else { return Some(text) };
    let hour = text[..colon].trim_end_matches(|c: char| c.is_ascii_digit());
    let date = hour.strip_suffix(['T', 't', ' '])?;
    let is_time = |c: char| c.is_ascii_digit() || ":.+-ZzAaPpMm ".contains(c);
    let time = &text[hour.len()..];
    (time.len() <= 32 && time.chars().all(is_time)).then(|| date.trim_end())
}

/// Takes off the day of the week, `Mon` or `Monday,`.
fn without_weekday(text: &str) -> &str {
    const DAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
    let end = text.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(text.len());
    let (word, rest) = text.split_at(end);
    if is_short_for(word, &DAYS).is_some() { rest.trim_start_matches([' ', ',', '.']) } else { text }
}

/// A number alone: `20270301` is a date; `46447` is a spreadsheet's count of days.
fn single(text: &str, number: &str) -> Result<Written, Fault> {
    if number.len() == 8 {
        let (year, month, day) = (&number[..4], &number[4..6], &number[6..]);
        if let Ok(year @ 2000..=2100) = year.parse::<i16>() {
            let day =
                month.parse().ok().zip(day.parse().ok()).and_then(|(month, day)| Day::of(year, month, day));
            return day.map(Written::Day).ok_or_else(|| no_such_day(text));
        }
    }
    match number.parse::<i32>() {
        // The days from 2000 to 2100, counted from the end of 1899 as spreadsheets do.
        Ok(count @ 36_526..=73_415) => Err(day_number(text, count)),
        _ => Err(not_a_date(text)),
    }
}

fn day_number(text: &str, count: i32) -> Fault {
    let day = Day::of(1899, 12, 30).map(|start| start.plus(count).in_words()).unwrap_or_default();
    Fault::new(
        "date-day-number",
        format!("{} is a spreadsheet's count of days, not a date; it would be {day}.", quoted(text)),
        "Format the column as a date in your spreadsheet and save the file again.",
    )
}

/// Three numbers: year first, or year last.
fn numeric(text: &str, numbers: [&str; 3], mark: Part<'_>) -> Result<Written, Fault> {
    let [first, second, third] = numbers;
    if first.len() == 4 {
        let year = year(text, first)?;
        let (month, day) = (small(text, second)?, small(text, third)?);
        return Day::of(year, month, day).map(Written::Day).ok_or_else(|| no_such_day(text));
    }
    let (first, second) = (small(text, first)?, small(text, second)?);
    let year = year(text, third)?;
    if mark == Part::Dot {
        // Where dots are used, the day always comes first.
        return Day::of(year, second, first).map(Written::Day).ok_or_else(|| no_such_day(text));
    }
    let written = Written::Either { first, second, year };
    let is_a_day =
        [DateOrder::Dmy, DateOrder::Mdy].into_iter().any(|order| written.day(Some(order)).is_some());
    if is_a_day { Ok(written) } else { Err(no_such_day(text)) }
}

/// A date with the month's name: `1 March 2027`, `01-Mar-2027`, `March 1, 2027`, `1st of March 2027`.
fn named(text: &str, parts: &[Part<'_>]) -> Result<Written, Fault> {
    let mut numbers = Vec::new();
    let mut month = None;
    for part in parts {
        match part {
            Part::Number(number) => numbers.push(*number),
            Part::Word(word) => match (is_short_for(word, &MONTHS), month) {
                (Some(found), None) => month = Some((found, numbers.len())),
                (Some(_), Some(_)) => return Err(not_a_date(text)),
                (None, _) if is_filler(word) => {}
                (None, _) => return Err(not_a_date(text)),
            },
            _ => {}
        }
    }
    let (day, year_text, month) = match (numbers.as_slice(), month) {
        ([year, day], Some((month, 1))) if year.len() == 4 => (*day, *year, month),
        ([day, year], Some((month, 0 | 1))) => (*day, *year, month),
        _ => return Err(not_a_date(text)),
    };
    let year = year(text, year_text)?;
    let month = i8::try_from(month + 1).map_err(|_| not_a_date(text))?;
    Day::of(year, month, small(text, day)?).map(Written::Day).ok_or_else(|| no_such_day(text))
}

fn is_filler(word: &str) -> bool {
    ["st", "nd", "rd", "th", "of"].iter().any(|filler| word.eq_ignore_ascii_case(filler))
}

/// Which of `names` the word is, written out or cut to three letters or more.
fn is_short_for(word: &str, names: &[&str]) -> Option<usize> {
    let begins = |name: &&str| name.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word));
    if word.len() < 3 { None } else { names.iter().position(begins) }
}

/// A day or month.
fn small(text: &str, number: &str) -> Result<i8, Fault> {
    match number.parse() {
        Ok(value @ 1..=31) if number.len() <= 2 => Ok(value),
        _ if number.len() <= 2 => Err(no_such_day(text)),
        _ => Err(not_a_date(text)),
    }
}

fn year(text: &str, number: &str) -> Result<i16, Fault> {
    match (number.len(), number.parse()) {
        (4, Ok(year @ 2000..=2100)) => Ok(year),
        (4, _) => Err(Fault::new(
            "date-year",
            format!("{} is not in this century.", quoted(text)),
            "Check the year; it must lie between 2000 and 2100.",
        )),
        (1 | 2, _) => Err(Fault::new(
            "date-two-digit-year",
            format!("The year of {} has fewer than four digits, so the date is unclear.", quoted(text)),
            "Write the year with four digits, such as 2027-03-01.",
        )),
        _ => Err(not_a_date(text)),
    }
}

fn not_a_date(text: &str) -> Fault {
    Fault::new(
        "not-a-date",
        format!("{} is not a date.", quoted(text)),
        "Write the date as year-month-day, such as 2027-03-01, or leave the cell empty.",
    )
}

fn no_such_day(text: &str) -> Fault {
    Fault::new(
        "date-no-such-day",
        format!("There is no such day as {}.", quoted(text)),
        "Check the day and the month.",
    )
}
