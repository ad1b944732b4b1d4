//! One of our files, opened: which columns it has, and its rows laid out under them.

use crate::day::DateOrder;
use crate::io::column::{self, Column, Header, Meaning};
use crate::io::content::Content;
use crate::io::fault::{Fault, RowProblems};
use crate::io::header::{list, places};
use crate::io::table::{self, Broken, Line};
use crate::io::workbook::{self, Mark, Marked};
use crate::problem::{Problem, Severity};
use std::borrow::Cow;

/// Which file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Flock,
    Pens,
    Groups,
    Assignment,
    Feeds,
    Loads,
}

impl Kind {
    pub(super) const ALL: [Self; 6] =
        [Self::Flock, Self::Pens, Self::Groups, Self::Assignment, Self::Feeds, Self::Loads];

    /// Its name in problems.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Flock => "flock",
            Self::Pens => "pens",
            Self::Groups => "groups",
            Self::Assignment => "assignment",
            Self::Feeds => "feeds",
            Self::Loads => "loads",
        }
    }

    pub(super) const fn columns(self) -> &'static [Column] {
        match self {
            Self::Flock => column::FLOCK,
            Self::Pens => column::PENS,
            Self::Groups => column::GROUPS,
            Self::Assignment => column::ASSIGNMENT,
            Self::Feeds => column::FEEDS,
            Self::Loads => column::LOADS,
        }
    }

    /// Columns without which nothing can be read; of each inner list one is enough.
    pub(super) const fn required(self) -> &'static [&'static [&'static str]] {
        match self {
            Self::Flock => &[&["tag"]],
            Self::Pens => &[&["pen"], &["trough_m", "places"], &["area_m2"]],
            Self::Groups => &[&["group"], &["first_day"], &["last_day"], &["of"]],
            Self::Assignment => &[&["tag"], &["pen"]],
            Self::Feeds => &[&["feed"], &["price_per_t"]],
            Self::Loads => &[&["pen"], &["day"], &["feed"], &["kg_loaded"]],
        }
    }

    /// A problem of the whole file.
    pub(super) fn problem(self, severity: Severity, fault: Fault) -> Problem {
        let subject = format!("{} file", self.name());
        let problem = Problem::new(severity, fault.code, subject, fault.message, fault.hint);
        Problem { file: Some(self.name().to_owned()), ..problem }
    }
}

/// The delimiters, and what to call them. The first of equals wins.
const DELIMITERS: [(u8, &str); 3] = [(b',', "comma"), (b';', "semicolon"), (b'\t', "tab")];

/// A file under its header.
#[derive(Debug)]
pub(super) struct Sheet<'a> {
    pub(super) kind: Kind,
    /// The rows below the header which are not blank.
    pub(super) rows: Vec<Line<'a>>,
    /// Where each of our columns stands.
    places: Vec<(&'static str, usize)>,
    /// Columns that mean nothing to us: where they stand and what they are called.
    pub(super) unknown: Vec<(usize, String)>,
    /// The order of day and month that the header states, where it does.
    pub(super) stated_order: Option<DateOrder>,
    /// Fewest and most cells that a row may have; nameless columns at the end may be left out. In a spreadsheet no
    /// row can be too short or too long.
    widths: (usize, usize),
    delimiter: &'static str,
    /// What a spreadsheet knows of its cells beside their text, in order of the rows.
    marks: &'a [Marked],
    /// Whether some figure is plainly written with a decimal comma, so that a point may part thousands.
    pub(super) decimal_comma: bool,
}

/// Opens a file. What is wrong or worth knowing is added to `problems`; nothing is returned where no row can
/// be read at all.
pub(super) fn open<'a>(
    kind: Kind,
    content: &'a Content<'_>,
    problems: &mut Vec<Problem>,
) -> Option<Sheet<'a>> {
    match lay_out(kind, content) {
        Ok(sheet) => {
            problems.extend(sheet.note_on_unknown());
            if sheet.rows.is_empty() {
                let fault = Fault::new(
                    "no-rows",
                    "The file has a header but no rows below it.",
                    "Check that the right file was given, and that it was exported whole.",
                );
                problems.push(kind.problem(Severity::Error, fault));
            }
            Some(sheet)
        }
        Err(faults) => {
            problems.extend(faults.into_iter().map(|fault| kind.problem(Severity::Error, fault)));
            None
        }
    }
}

fn lay_out<'a>(kind: Kind, content: &'a Content<'_>) -> Result<Sheet<'a>, Vec<Fault>> {
    match content {
        Content::Text(text) => {
            let (text, stated) = stated_delimiter(text);
            let (delimiter, name) =
                stated.or_else(|| likely_delimiter(kind, text)).ok_or_else(|| vec![empty_file()])?;
            let sheet = under_header(kind, table::split(text, delimiter), 0)?;
            Ok(Sheet { delimiter: name, ..sheet })
        }
        Content::Table(table) => {
            let lines = table.rows.iter().map(|row| Line {
                row: row.number,
                cells: row.cells.iter().map(|cell| Cow::Borrowed(cell.as_str())).collect(),
                broken: None,
            });
            let width = table.rows.iter().map(|row| row.cells.len()).max().unwrap_or_default();
            let sheet = under_header(kind, lines, width)?;
            Ok(Sheet { widths: (0, usize::MAX), marks: &table.marks, ..sheet })
        }
    }
}

fn empty_file() -> Fault {
    Fault::new(
        "empty-file",
        "The file is empty.",
        "Check that the right file was given, and export it again.",
    )
}

/// Lines under the first of them that is not blank, which is taken to be as wide as `width` at least.
fn under_header<'a>(
    kind: Kind,
    lines: impl Iterator<Item = Line<'a>>,
    width: usize,
) -> Result<Sheet<'a>, Vec<Fault>> {
    let mut lines = lines.filter(|line| !line.is_blank());
    let header = lines.next().ok_or_else(|| vec![empty_file()])?;
    if header.broken.is_some() {
        return Err(vec![broken_quotes(header.broken)]);
    }
    let mut names: Vec<String> = header.cells.iter().map(|cell| cell.trim().to_owned()).collect();
    names.resize(names.len().max(width), String::new());
    let (places, unused) = places(kind, &names)?;
    let stated_order = places.iter().find_map(|&(_, place)| Header::of(names.get(place)?).date_order());
    let rows: Vec<Line<'_>> = lines.collect();
    let used = used_places(&rows);
    let unknown = unused
        .into_iter()
        .filter_map(|place| match names.get(place).map(String::as_str) {
            Some("") => {
                used.get(place).copied().unwrap_or_default().then(|| (place, format!("column {}", place + 1)))
            }
            name => name.map(|name| (place, name.to_owned())),
        })
        .collect();
    let named = names.iter().rposition(|name| !name.is_empty()).map_or(0, |last| last + 1);
    let mut sheet = Sheet {
        kind,
        rows,
        places,
        unknown,
        stated_order,
        widths: (named, names.len()),
        delimiter: "comma",
        marks: &[],
        decimal_comma: false,
    };
    sheet.decimal_comma = sheet.writes_decimal_commas();
    Ok(sheet)
}

/// Which places hold anything, in one pass: a file may be a million cells wide and a million rows long.
fn used_places(rows: &[Line<'_>]) -> Vec<bool> {
    let mut used = Vec::new();
    for row in rows {
        if used.len() < row.cells.len() {
            used.resize(row.cells.len(), false);
        }
        for (place, cell) in used.iter_mut().zip(&row.cells) {
            *place |= !cell.trim().is_empty();
        }
    }
    used
}

/// Spreadsheets may state the delimiter in a line of its own, `sep=;`, which they do not count as a row.
fn stated_delimiter(text: &str) -> (&str, Option<(u8, &'static str)>) {
    let stated = text.strip_prefix("sep=").and_then(|rest| {
        let found =
            DELIMITERS.into_iter().find(|&(delimiter, _)| rest.as_bytes().first() == Some(&delimiter))?;
        let rest = rest.get(1..)?;
        let rest = rest.strip_prefix("\r\n").or_else(|| rest.strip_prefix(['\n', '\r']))?;
        Some((rest, Some(found)))
    });
    stated.unwrap_or((text, None))
}

/// The delimiter under which the header has the most columns that we know, then the most columns at all.
fn likely_delimiter(kind: Kind, text: &str) -> Option<(u8, &'static str)> {
    let mut best = None;
    for (delimiter, name) in DELIMITERS {
        let header = table::split(text, delimiter).find(|line| !line.is_blank())?;
        let known = |cell: &&Cow<'_, str>| Header::of(cell).meaning(kind.columns()) != Meaning::Unknown;
        let score = (header.cells.iter().filter(known).count(), header.cells.len());
        if best.is_none_or(|(most, _)| score > most) {
            best = Some((score, (delimiter, name)));
        }
    }
    best.map(|(_, delimiter)| delimiter)
}

fn broken_quotes(broken: Option<Broken>) -> Fault {
    let message = match broken {
        Some(Broken::TextAfterQuote) => "Text stands between a closing quote and the next cell.",
        _ => "A cell begins with a quote that is never closed.",
    };
    Fault::new(
        "broken-quotes",
        message,
        "Take the quote out of the cell in your spreadsheet, or save the file as CSV again.",
    )
}

impl Sheet<'_> {
    /// Whether the file has this column of ours.
    pub(super) fn has(&self, column: &str) -> bool {
        self.place(column).is_some()
    }

    /// The cell of a column of ours, white space around it taken off; empty where there is none.
    pub(super) fn cell<'l>(&self, line: &'l Line<'_>, column: &str) -> &'l str {
        self.place(column).and_then(|place| line.cells.get(place)).map_or("", |cell| cell.trim())
    }

    /// The cells of columns that mean nothing to us, where something stands in them.
    pub(super) fn extra(&self, line: &Line<'_>) -> Vec<(String, String)> {
        let cell = |place: usize| line.cells.get(place).filter(|cell| !cell.trim().is_empty());
        let kept = self
            .unknown
            .iter()
            .filter_map(|(place, name)| cell(*place).map(|cell| (name.clone(), cell.clone().into_owned())));
        kept.collect()
    }

    /// The cell even of a row with too many or too few cells, where that cannot have shifted it.
    pub(super) fn surely(&self, line: &Line<'_>, column: &str) -> Option<String> {
        let in_place = self.place(column) == Some(0) || !self.is_ragged(line);
        let cell = if line.broken.is_none() && in_place { self.cell(line, column) } else { "" };
        (!cell.is_empty()).then(|| cell.to_owned())
    }

    /// Says what is wrong with the row's build; `true` where its cells stand under their columns.
    pub(super) fn is_sound(&self, line: &Line<'_>, problems: &mut RowProblems<'_>) -> bool {
        if line.broken.is_some() {
            let found = line.cells.first().map(|cell| cell.clone().into_owned());
            problems.whole_row(found, broken_quotes(line.broken));
            return false;
        }
        if self.is_ragged(line) {
            problems.whole_row(None, self.ragged(line.cells.len()));
            return false;
        }
        self.marks_are_sound(line, problems)
    }

    /// Says what a spreadsheet made of the row's cells; `true` where they can be read all the same.
    fn marks_are_sound(&self, line: &Line<'_>, problems: &mut RowProblems<'_>) -> bool {
        let mut is_sound = true;
        let from = self.marks.partition_point(|marked| marked.row < line.row);
        let of_row = self.marks.get(from..).unwrap_or_default();
        for marked in of_row.iter().take_while(|marked| marked.row == line.row) {
            let column = self.places.iter().find(|(_, place)| *place == marked.place).map(|(name, _)| *name);
            let Some(column) = column else { continue };
            let found = self.cell(line, column);
            match marked.mark {
                Mark::WithoutResult => {
                    problems.error(column, found, workbook::without_result());
                    is_sound = false;
                }
                Mark::Date if column::names_something(column) => {
                    problems.error(column, found, workbook::made_a_date(found));
                    is_sound = false;
                }
                Mark::LongNumber if column::names_something(column) => {
                    problems.warn(column, found, workbook::long_number(found));
                }
                Mark::Date | Mark::LongNumber => {}
            }
        }
        is_sound
    }

    fn ragged(&self, cells: usize) -> Fault {
        let (least, most) = self.widths;
        let (one, delimiter) = (if cells == 1 { "cell" } else { "cells" }, self.delimiter);
        let hint = if cells > most {
            let decimal =
                if delimiter == "comma" { ", and so must a figure with a decimal comma" } else { "" };
            format!(
                "A cell that holds a {delimiter} must stand in quotes{decimal}. Saving as CSV again does that."
            )
        } else {
            "Fill up the row with empty cells, or save the file as CSV again.".to_owned()
        };
        let named = if cells > most { most } else { least };
        Fault::new("cell-count", format!("This row has {cells} {one}; the header has {named}."), hint)
    }

    fn is_ragged(&self, line: &Line<'_>) -> bool {
        !(self.widths.0..=self.widths.1).contains(&line.cells.len())
    }

    fn place(&self, column: &str) -> Option<usize> {
        self.places.iter().find(|(name, _)| *name == column).map(|&(_, place)| place)
    }

    fn writes_decimal_commas(&self) -> bool {
        let numeric = |name: &str| self.kind.columns().iter().any(|c| c.name == name && !c.units.is_empty());
        let figures = self.places.iter().filter(|(name, _)| numeric(name) || *name == "condition");
        figures.into_iter().any(|&(_, place)| {
            let mut cells = self.rows.iter().filter_map(|row| row.cells.get(place));
            cells.any(|cell| crate::io::number::has_decimal_comma(cell))
        })
    }

    fn note_on_unknown(&self) -> Option<Problem> {
        let names = list(self.unknown.iter().map(|(_, name)| name.as_str()));
        let message = match self.unknown.len() {
            0 => return None,
            1 => format!("One column is not used here: {names}."),
            several => format!("{several} columns are not used here: {names}."),
        };
        let ours = self.kind.columns().iter().map(|column| column.name).collect::<Vec<_>>().join(", ");
        let hint = format!("Nothing needs to be done. The columns that are used are {ours}.");
        Some(self.kind.problem(Severity::Note, Fault::new("unknown-columns", message, hint)))
    }
}
