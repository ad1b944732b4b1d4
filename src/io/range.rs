//! Figures that cannot be, and figures that hardly ever are.

use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::number::{self, Figure};
use crate::io::sheet::Sheet;
use crate::io::table::Line;
use std::ops::RangeInclusive;

/// What a figure is of, and where it may lie.
pub(super) struct Limits {
    /// Our name of the column.
    pub(super) column: &'static str,
    /// What it is, in words: `live weight`.
    pub(super) what: &'static str,
    /// Its unit as printed, or empty.
    pub(super) unit: &'static str,
    /// Outside this it cannot be, and the row is not read.
    pub(super) possible: RangeInclusive<f64>,
    /// Outside this it is kept, with a warning.
    pub(super) usual: RangeInclusive<f64>,
}

/// The figure in a column of ours; nothing where the cell is empty or cannot be read.
pub(super) fn read(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    limits: &Limits,
    problems: &mut RowProblems<'_>,
) -> Option<f64> {
    let text = sheet.cell(line, limits.column);
    if text.is_empty() {
        return None;
    }
    let columns = sheet.kind.columns();
    let units = columns.iter().find(|column| column.name == limits.column).map_or(&[][..], |c| c.units);
    let figure = Figure { units, decimal_comma: sheet.decimal_comma };
    let value = problems.take(limits.column, text, number::read(text, figure))?;
    if !limits.possible.contains(&value) {
        problems.error(limits.column, text, out_of_range(text, limits));
        return None;
    }
    if !limits.usual.contains(&value) {
        let message = format!(
            "{} is an unusual {}: most are from {}.",
            quoted(text),
            limits.what,
            words(&limits.usual, limits.unit)
        );
        problems.warn(
            limits.column,
            text,
            Fault::new("unlikely", message, "Check it. It was used as it stands."),
        );
    }
    Some(value)
}

/// The whole number in a column of ours.
pub(super) fn read_whole(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    limits: &Limits,
    problems: &mut RowProblems<'_>,
) -> Option<u32> {
    let value = read(sheet, line, limits, problems)?;
    if value.fract() != 0.0 {
        let text = sheet.cell(line, limits.column);
        problems.error(limits.column, text, out_of_range(text, limits));
        return None;
    }
    // The limits keep it within what a u32 holds.
    Some(value as u32)
}

fn out_of_range(text: &str, limits: &Limits) -> Fault {
    let range = words(&limits.possible, limits.unit);
    let message = format!("{} cannot be the {}: it must be from {range}.", quoted(text), limits.what);
    Fault::new("out-of-range", message, "Correct the figure, or leave the cell empty if it is not known.")
}

fn words(range: &RangeInclusive<f64>, unit: &str) -> String {
    format!("{} to {} {unit}", range.start(), range.end()).trim_end().to_owned()
}
