//! Day first or month first: the question that only a person can answer.

use crate::day::DateOrder;
use crate::io::date::{self, Decision};
use crate::io::fault::{Fault, quoted};
use crate::io::sheet::Kind;
use crate::problem::{Problem, Severity};

/// Dates of a file that can be read in two ways, both shown in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DateAmbiguity {
    /// The column or columns, by our names.
    pub column: String,
    /// Up to three dates as they stand in the file.
    pub samples: Vec<String>,
    /// The same dates in words, read day first: `3 April 2027`.
    pub dmy_words: Vec<String>,
    /// The same dates in words, read month first: `4 March 2027`.
    pub mdy_words: Vec<String>,
}

/// What a decision leaves to say: the question where it is open, a warning where dates contradict it.
/// The problem, where there is one, is added to `problems`.
pub(super) fn raise(
    kind: Kind,
    column: &str,
    decision: &Decision,
    problems: &mut Vec<Problem>,
) -> Option<DateAmbiguity> {
    if decision.against > 0 {
        let (this, other) = match decision.order {
            Some(DateOrder::Mdy) => ("month first", "day first"),
            _ => ("day first", "month first"),
        };
        let dates =
            if decision.against == 1 { "one date".to_owned() } else { format!("{} dates", decision.against) };
        let fault = Fault::new(
            "date-order-mixed",
            format!("Dates are read {this}, but {dates} can only be read {other}."),
            "Check the other dates too: they may be the wrong way round. Year-month-day is always clear.",
        );
        let problem = kind.problem(Severity::Warning, fault);
        problems.push(Problem { column: Some(column.to_owned()), ..problem });
    }
    let first = decision.open.first()?;
    let in_words = |text: &str, order| {
        let day = date::read(text).ok().and_then(|written| written.day(Some(order)));
        day.map(|day| day.in_words()).unwrap_or_default()
    };
    let words = |order| decision.open.iter().map(|text| in_words(text, order)).collect::<Vec<_>>();
    let fault = Fault::new(
        "date-order-unclear",
        format!(
            "{} could be {} or {}, and no date in the file tells which.",
            quoted(first),
            in_words(first, DateOrder::Dmy),
            in_words(first, DateOrder::Mdy)
        ),
        "Say whether the day or the month comes first (at the command line --dates dmy or --dates mdy).",
    );
    let problem = kind.problem(Severity::Error, fault);
    problems.push(Problem { column: Some(column.to_owned()), found: Some(first.clone()), ..problem });
    Some(DateAmbiguity {
        column: column.to_owned(),
        samples: decision.open.clone(),
        dmy_words: words(DateOrder::Dmy),
        mdy_words: words(DateOrder::Mdy),
    })
}
