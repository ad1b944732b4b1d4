//! A figure, opened: how it was worked out, line by line, with its sources.

use crate::requirement::{State, litter_weight};
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

/// The line of the litter's weight, which every standard shows.
pub(super) fn litter_line(state: &State) -> WorkingLine {
    let (formula, values, source) = match state.litter_weight {
        Some(_) => ("W_o as given", String::new(), "the farm's own birth weights"),
        None => (
            "W_o = 1.05 · level · (W / 25)^slope",
            format!("{}, ewe of {:.1} kg", state.litter.in_words(), state.weight.value()),
            litter_weight::SOURCE,
        ),
    };
    WorkingLine::new(
        2,
        "Weight of the litter at birth",
        formula,
        values,
        format!("{:.1} kg", state.birth_weight().value()),
        source,
    )
}
