//! A list that leaves the engine: its columns, what they hold, and its rows.

use crate::io::pen_list;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Text, identifiers among it, whatever it looks like.
    Text,
    /// Figures.
    Figure,
    /// Days, written as ISO dates.
    Day,
}

/// A list under its header.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct List {
    /// The columns: name, and what stands below.
    pub columns: Vec<(String, Holds)>,
    /// The rows, each as long as the header.
    pub rows: Vec<Vec<String>>,
}

impl List {
    /// A list with these columns.
    pub fn new(columns: &[(&str, Holds)], rows: Vec<Vec<String>>) -> Self {
        Self { columns: columns.iter().map(|&(name, holds)| (name.to_owned(), holds)).collect(), rows }
    }

    /// The list as CSV.
    pub fn csv(&self) -> String {
        let columns: Vec<&str> = self.columns.iter().map(|(name, _)| name.as_str()).collect();
        pen_list::write(&columns, &self.rows)
    }
}
