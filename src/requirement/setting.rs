//! A constant that nobody could confirm: named, with how far it may lie, so that its weight can be shown.

/// How a figure came to be here where it was not read in print.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The original could not be opened.
    FromMemory,
    /// Fitted or put together here.
    Fitted,
}

impl Standing {
    /// In words: `from memory`, `fitted`.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::FromMemory => "from memory",
            Self::Fitted => "fitted",
        }
    }
}

/// An uncertain constant of a standard.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// What it is.
    pub name: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// As used.
    pub value: f64,
    /// Lowest and highest that are published, or a tenth either way.
    pub range: [f64; 2],
    /// Where the range comes from.
    pub range_source: &'static str,
    /// Why it is uncertain.
    pub standing: Standing,
}
