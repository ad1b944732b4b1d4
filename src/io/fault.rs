//! What is wrong with a cell, and the problems of one row gathered.

use crate::io::identity;
use crate::io::sheet::Kind;
use crate::problem::{Problem, Severity};

/// What is wrong with a cell, before it is known where the cell stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) code: &'static str,
    pub(super) message: String,
    pub(super) hint: String,
}

impl Fault {
    pub(super) fn new(code: &'static str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { code, message: message.into(), hint: hint.into() }
    }
}

/// Gathers the problems of one row.
pub(super) struct RowProblems<'p> {
    kind: Kind,
    row: u32,
    tag: Option<&'p str>,
    problems: &'p mut Vec<Problem>,
    /// Which of `problems` keep this row from being a record.
    errors: Vec<usize>,
}

impl<'p> RowProblems<'p> {
    pub(super) fn new(kind: Kind, row: u32, tag: Option<&'p str>, problems: &'p mut Vec<Problem>) -> Self {
        Self { kind, row, tag, problems, errors: Vec::new() }
    }

    /// The value, or nothing and an error.
    pub(super) fn take<T>(&mut self, column: &str, found: &str, value: Result<T, Fault>) -> Option<T> {
        value.map_err(|fault| self.error(column, found, fault)).ok()
    }

    /// The cell keeps the row from being a record. What a spreadsheet shows in place of a result is named for that.
    pub(super) fn error(&mut self, column: &str, found: &str, fault: Fault) {
        let fault = identity::error_value(found, "value").unwrap_or(fault);
        self.errors.push(self.problems.len());
        self.push(Severity::Error, column, found, fault);
    }

    /// Somebody should look at the cell; the record stands.
    pub(super) fn warn(&mut self, column: &str, found: &str, fault: Fault) {
        self.push(Severity::Warning, column, found, fault);
    }

    /// The row as a whole cannot be read.
    pub(super) fn whole_row(&mut self, found: Option<String>, fault: Fault) {
        self.errors.push(self.problems.len());
        let subject = format!("{} row {}", self.kind.name(), self.row);
        let problem = Problem::new(Severity::Error, fault.code, subject, fault.message, fault.hint);
        let file = Some(self.kind.name().to_owned());
        self.add(Problem { file, row: Some(self.row), found, ..problem });
    }

    /// The row cannot be a record because of an earlier problem, which is not its alone.
    pub(super) fn because_of(&mut self, problem: usize) {
        self.errors.push(problem);
    }

    /// The problems that keep the row from being a record; empty where it may be one.
    pub(super) fn into_errors(self) -> Vec<usize> {
        self.errors
    }

    fn push(&mut self, severity: Severity, column: &str, found: &str, fault: Fault) {
        let place = (self.kind.name(), self.row, column);
        self.add(Problem::cell(severity, fault.code, place, found, fault.message, fault.hint));
    }

    fn add(&mut self, problem: Problem) {
        self.problems.push(match self.tag {
            Some(tag) => problem.about(tag),
            None => problem,
        });
    }
}

/// The cell's text in quotes, shortened where it is long: a message is not the place for a megabyte.
pub(super) fn quoted(text: &str) -> String {
    const MOST: usize = 40;
    match text.char_indices().nth(MOST) {
        Some((end, _)) => format!("'{}…'", &text[..end]),
        None => format!("'{text}'"),
    }
}
