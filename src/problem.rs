//! What went wrong, as a value: where, what was found, and what to do about it.
//!
//! The command line and the page show the same words, because both are written here and where the
//! problem is found, never where it is shown.

use serde::{Deserialize, Serialize};
use std::fmt;

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Worth knowing; nothing needs to be done.
    Note,
    /// Somebody should look; the result stands.
    Warning,
    /// The row or file cannot be used as it is.
    Error,
}

/// One thing that is wrong or worth knowing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Problem {
    /// Stable name of the kind of problem, in kebab case: `duplicate-tag`.
    pub code: String,
    /// How much it matters.
    pub severity: Severity,
    /// What it is about, in words: `flock row 14, condition`.
    pub subject: String,
    /// The file meant, where there is one: `flock`, `pens`, `groups`, `assignment`, `feeds` or `loads`.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub file: Option<String>,
    /// The line of the file, counted as a spreadsheet counts it: the header is row 1.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub row: Option<u32>,
    /// The column, by our name for it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub column: Option<String>,
    /// What stood there, exactly.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub found: Option<String>,
    /// The ewe meant, where there is one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub tag: Option<String>,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub hint: String,
}

impl Problem {
    /// A problem of a whole file, flock or plan.
    pub fn new(
        severity: Severity,
        code: &str,
        subject: impl Into<String>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            code: code.to_owned(),
            severity,
            subject: subject.into(),
            file: None,
            row: None,
            column: None,
            found: None,
            tag: None,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// A problem of one cell: `column` of `row` in `file`, where `found` stood.
    pub fn cell(
        severity: Severity,
        code: &str,
        place: (&str, u32, &str),
        found: &str,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        let (file, row, column) = place;
        Self {
            file: Some(file.to_owned()),
            row: Some(row),
            column: Some(column.to_owned()),
            found: Some(found.to_owned()),
            ..Self::new(severity, code, format!("{file} row {row}, {column}"), message, hint)
        }
    }

    /// The same problem, naming the ewe it is about.
    #[must_use]
    pub fn about(mut self, tag: &str) -> Self {
        self.tag = Some(tag.to_owned());
        self
    }

    /// Whether the row or file cannot be used as it is.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} {}", self.subject, self.message, self.hint)
    }
}

/// What was read, and what was wrong with the rest: both, never one instead of the other.
#[derive(Debug, Clone, Default)]
pub struct Reading<T> {
    /// The records that could be read.
    pub records: T,
    /// What was wrong, in file order.
    pub problems: Vec<Problem>,
    /// Columns that mean nothing to us, by the name they have in the file. They are kept and named.
    pub unknown_columns: Vec<String>,
}
