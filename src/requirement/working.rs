//! A figure, opened: how it was worked out, line by line, with its sources.

use serde::Serialize;

/// A line of the working.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct WorkingLine {
    /// How deep it stands: 0 for a result, 1 for what it is made of, and so on.
    pub depth: u8,
    /// "Energy for the lambs".
    pub name: String,
    /// "E_c = 0.25 · W_o · E_t · 0.07372 · e^(−0.00643 t)".
    pub formula: String,
    /// The formula with the figures in it.
    pub values: String,
    /// "1.92 MJ a day".
    pub result: String,
    /// Where the formula comes from, and how certain it is.
    pub source: String,
}

impl WorkingLine {
    /// A line at a depth.
    pub fn new(
        depth: u8,
        name: &str,
        formula: &str,
        values: impl Into<String>,
        result: impl Into<String>,
        source: &str,
    ) -> Self {
        Self {
            depth,
            name: name.to_owned(),
            formula: formula.to_owned(),
            values: values.into(),
            result: result.into(),
            source: source.to_owned(),
        }
    }
}
