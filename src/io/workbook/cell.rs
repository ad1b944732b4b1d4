//! One cell: its text, as a person reads it in the spreadsheet, and what a reader of it should know.

use crate::day::Day;
use crate::io::fault::{Fault, quoted};
use crate::io::workbook::Refusal;
use crate::io::workbook::form::Form;

/// What a cell's text does not tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// The spreadsheet holds a date.
    Date,
    /// The spreadsheet holds a number of sixteen digits, of which it keeps fifteen.
    LongNumber,
    /// A formula that was never worked out.
    WithoutResult,
}

/// What to say of a formula without a result, in a column that is needed.
pub(in crate::io) fn without_result() -> Fault {
    Fault::new(
        "formula-without-result",
        "The cell holds a formula whose result was never worked out.",
        "Open the file in your spreadsheet program, save it, and give it again.",
    )
}

/// What to say of a name that the spreadsheet took for a date.
pub(in crate::io) fn made_a_date(text: &str) -> Fault {
    Fault::new(
        "identifier-date",
        format!("A spreadsheet has made a date of this name: {}.", quoted(text)),
        "Format the column as text in your spreadsheet, type the name again, and save.",
    )
}

/// What to say of a name that is a number longer than spreadsheets keep.
pub(in crate::io) fn long_number(text: &str) -> Fault {
    Fault::new(
        "eid-maybe-rounded",
        format!("{} is a number of sixteen digits, of which spreadsheets keep fifteen.", quoted(text)),
        "Check its last digit against the tag, and format the column as text.",
    )
}

/// Where a mark stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Marked {
    /// The row, as the spreadsheet counts.
    pub row: u32,
    /// The column; A is 0.
    pub place: usize,
    /// What is to be known.
    pub mark: Mark,
}

/// A cell as the sheet's part has it.
#[derive(Debug, Default)]
pub(super) struct Raw<'x> {
    /// Its type (18.18.11).
    pub(super) kind: &'x str,
    pub(super) style: Option<usize>,
    pub(super) value: String,
    /// Text that stands in the cell itself.
    pub(super) inline: String,
    pub(super) has_formula: bool,
}

/// What holds for all cells of a workbook.
#[derive(Debug, Default)]
pub(super) struct Shared {
    pub(super) strings: Vec<String>,
    pub(super) forms: Vec<Form>,
    /// Whether days are counted from 1904 (18.17.4.1).
    pub(super) from_1904: bool,
}

const GARBLED: Refusal = Refusal::Damaged("a cell's value is garbled");

/// Whole numbers below this are exact: two to the fifty-third power (IEEE 754, double precision).
const EXACT: f64 = 9_007_199_254_740_992.0;

/// From here on a number has more than the fifteen digits that spreadsheets keep (ECMA-376 part 1, 18.17.2.1, from
/// memory).
const SIXTEEN_DIGITS: f64 = 1e15;

/// The last day that spreadsheets count, 31 December 9999, from the end of 1899 (18.17.4.1).
const LAST_DAY: f64 = 2_958_465.0;

/// From the end of 1899 to the first of 1904 (18.17.4.1).
const DAYS_TO_1904: f64 = 1_462.0;

/// Which day the count has once too often: 29 February 1900, which was none.
const NO_DAY: i64 = 60;

impl Shared {
    /// The cell's text and its mark.
    pub(super) fn read(&self, raw: &Raw<'_>) -> Result<(String, Option<Mark>), Refusal> {
        match raw.kind {
            "s" => {
                let index: usize = raw.value.trim().parse().map_err(|_| GARBLED)?;
                self.strings.get(index).map(|text| (text.clone(), None)).ok_or(GARBLED)
            }
            "inlineStr" => Ok((unhidden(&raw.inline), None)),
            "str" => Ok((unhidden(&raw.value), None)),
            "b" => match raw.value.trim() {
                "1" | "true" => Ok(("TRUE".to_owned(), None)),
                "0" | "false" => Ok(("FALSE".to_owned(), None)),
                "" => Ok(absent(raw)),
                _ => Err(GARBLED),
            },
            "e" => Ok((raw.value.trim().to_owned(), None)),
            "d" => Ok((without_midnight(raw.value.trim()).to_owned(), Some(Mark::Date))),
            "n" if raw.value.trim().is_empty() => Ok(absent(raw)),
            "n" => self.number(raw),
            _ => Err(GARBLED),
        }
    }

    fn number(&self, raw: &Raw<'_>) -> Result<(String, Option<Mark>), Refusal> {
        let text = raw.value.trim();
        let is_one = text.bytes().all(|byte| byte.is_ascii_digit() || b"+-.eE".contains(&byte));
        let value: f64 = text.parse().ok().filter(|_| is_one).ok_or(GARBLED)?;
        if !value.is_finite() {
            return Err(GARBLED);
        }
        let form = raw.style.and_then(|style| self.forms.get(style)).unwrap_or(&Form::Plain);
        let days = if self.from_1904 { value + DAYS_TO_1904 } else { value };
        Ok(match form {
            Form::Date if value >= 0.0 && days < LAST_DAY + 1.0 => (date(days), Some(Mark::Date)),
            Form::Time if (0.0..LAST_DAY).contains(&value) => (clock(seconds(value)), None),
            Form::Percent => (format!("{}%", plain(value * 100.0)), None),
            Form::Padded { front, digits } if value >= 0.0 && value.fract() == 0.0 && value < EXACT => {
                (format!("{front}{:0digits$}", value as u64), long(value))
            }
            _ => (plain(value), long(value)),
        })
    }
}

fn absent(raw: &Raw<'_>) -> (String, Option<Mark>) {
    (String::new(), raw.has_formula.then_some(Mark::WithoutResult))
}

fn long(value: f64) -> Option<Mark> {
    (SIXTEEN_DIGITS..EXACT).contains(&value.abs()).then_some(Mark::LongNumber)
}

/// A number: whole ones exactly, others to the fifteen digits that spreadsheets keep.
fn plain(value: f64) -> String {
    const SMALLEST: f64 = 1e-9;
    if value.fract() == 0.0 && value.abs() < EXACT {
        // The cast is exact, and takes the sign off a zero.
        return (value as i64).to_string();
    }
    let value = format!("{value:.14e}").parse().unwrap_or(value);
    if (SMALLEST..EXACT).contains(&value.abs()) {
        return value.to_string();
    }
    // As spreadsheets write it, so that an identifier which lost its digits is known for one.
    let text = format!("{value:E}");
    match text.split_once('E') {
        Some((digits, power)) if !power.starts_with('-') => format!("{digits}E+{power}"),
        _ => text,
    }
}

/// The day and, where there is one, the time of a count of days.
fn date(days: f64) -> String {
    const A_DAY: u64 = 86_400;
    let seconds = seconds(days);
    let (count, rest) = ((seconds / A_DAY) as i64, seconds % A_DAY);
    if count == NO_DAY {
        return "1900-02-29".to_owned();
    }
    let count = if count < NO_DAY { count + 1 } else { count };
    let start = Day::of(1899, 12, 30);
    let day = start.map(|start| start.plus(i32::try_from(count).unwrap_or_default()).to_string());
    let day = day.unwrap_or_default();
    if rest == 0 { day } else { format!("{day} {}", clock(rest)) }
}

/// Days to the nearest second.
fn seconds(days: f64) -> u64 {
    libm::round(days * 86_400.0) as u64
}

fn clock(seconds: u64) -> String {
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    format!("{:02}:{:02}:{seconds:02}", minutes / 60, minutes % 60)
}

/// An ISO date without a time of day that says nothing.
fn without_midnight(text: &str) -> &str {
    match text.split_once('T') {
        Some((day, time)) if time.bytes().all(|byte| b"0:.Z".contains(&byte)) => day,
        _ => text,
    }
}

/// Signs that markup cannot hold are written by their number, `_x000D_` (22.9.2.19).
pub(super) fn unhidden(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("_x") {
        out.push_str(before);
        let code = after.get(..5).and_then(|five| five.strip_suffix('_'));
        let code = code.filter(|code| code.bytes().all(|byte| byte.is_ascii_hexdigit()));
        let sign = code.and_then(|code| char::from_u32(u32::from_str_radix(code, 16).ok()?));
        match sign {
            Some(sign) => {
                out.push(sign);
                rest = after.get(5..).unwrap_or_default();
            }
            None => {
                out.push_str("_x");
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(shared: &Shared, value: &str, style: usize) -> String {
        let raw = Raw { kind: "n", value: value.to_owned(), style: Some(style), ..Raw::default() };
        shared.read(&raw).unwrap().0
    }

    #[test]
    fn numbers_are_what_the_spreadsheet_shows() {
        let shared = Shared::default();
        for (value, text) in [
            ("70", "70"),
            ("70.099999999999994", "70.1"),
            ("2.75", "2.75"),
            ("-0", "0"),
            ("0.30000000000000004", "0.3"),
            ("9.99000000000017E14", "999000000000017"),
            ("1826072434500099", "1826072434500099"),
            ("1.8260724345001E+17", "1.8260724345001E+17"),
            ("1E-12", "1E-12"),
            ("1E5", "100000"),
        ] {
            assert_eq!(read(&shared, value, 0), text, "{value}");
        }
        for value in ["inf", "NaN", "1,5", "0x10", "1e999", "x"] {
            let raw = Raw { kind: "n", value: value.to_owned(), ..Raw::default() };
            assert_eq!(shared.read(&raw), Err(GARBLED), "{value}");
        }
    }

    #[test]
    fn dates_are_counted_in_both_ways() {
        let forms =
            vec![Form::Date, Form::Time, Form::Percent, Form::Padded { front: "EV".to_owned(), digits: 4 }];
        let shared = Shared { forms: forms.clone(), ..Shared::default() };
        // Published examples of the count (18.17.4.1): 1 is 1 January 1900, 61 is 1 March 1900.
        for (value, text) in [
            ("1", "1900-01-01"),
            ("59", "1900-02-28"),
            ("60", "1900-02-29"),
            ("61", "1900-03-01"),
            ("46447", "2027-03-01"),
            ("46447.5", "2027-03-01 12:00:00"),
            ("46446.99999999", "2027-03-01"),
            ("2958465", "9999-12-31"),
            ("2958466", "2958466"),
            ("-1", "-1"),
        ] {
            assert_eq!(read(&shared, value, 0), text, "{value}");
        }
        assert_eq!(read(&shared, "0.385", 1), "09:14:24");
        assert_eq!(read(&shared, "1.5", 1), "36:00:00");
        assert_eq!(read(&shared, "0.65", 2), "65%");
        assert_eq!(read(&shared, "417", 3), "EV0417");
        let shared = Shared { forms, from_1904: true, ..Shared::default() };
        assert_eq!(read(&shared, "0", 0), "1904-01-01");
        assert_eq!(read(&shared, "44985", 0), "2027-03-01");
    }

    #[test]
    fn signs_by_number_are_read() {
        assert_eq!(unhidden("a_x000D_b_x005F_x0041__xD800__x12_x"), "a\rb_x0041__xD800__x12_x");
    }
}
