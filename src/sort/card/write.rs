//! A card as text that people may read and edit.
//!
//! One line says one thing; `#` begins a remark; order of lines does not matter but for the first.
//!
//! ```text
//! evenfold card 1
//! kind points
//! pens poorest first: A, C, B
//! ewe lambs: E
//! lambs 1: 0 points
//! lambs 2 or more: 3 points
//! condition 2.5 or less: 2 points
//! condition 3 or more: 0 points
//! due by 2027-03-10 "blue": 4 points
//! due 2027-03-11 or later: 0 points
//! total 3 or less: A
//! total 4 to 6: C
//! total 7 or more: B
//! ```
//!
//! Values are `V`, `V to W`, `V or more`, `V or less`, `under V`, `any`; dates also `by V`, `after V`, `V or
//! later`. Condition is in halves, a quarter counting as the half below; weight in whole `kg`; points in whole
//! or half points. A tree has `question 1: lambs 3 or more? yes pen B, no question 2` instead of points and
//! totals. A name that is not all letters, digits, hyphens stands in quotes.

use crate::sort::card::feature::to_day;
use crate::sort::card::{Branch, Card, Feature, Rules, Span};
use std::fmt::Write as _;

/// The first line of every card.
pub(super) const HEADER: &str = "evenfold card 1";

/// A card as text; `remarks` stand below its first line.
pub fn write(card: &Card, remarks: &[String]) -> String {
    let mut text = format!("{HEADER}\n");
    for remark in remarks {
        for line in remark.lines() {
            let _ = writeln!(text, "# {line}");
        }
    }
    let kind = if matches!(card.rules, Rules::Points { .. }) { "points" } else { "tree" };
    let _ = writeln!(text, "kind {kind}\npens poorest first: {}", names(&card.pens));
    if !card.ewe_lambs.is_empty() {
        let _ = writeln!(text, "ewe lambs: {}", names(&card.ewe_lambs));
    }
    text.push('\n');
    match &card.rules {
        Rules::Points { lines, totals } => {
            for line in lines {
                let label = label(&line.label);
                let points = points_words(line.half_points);
                let subject = subject(line.feature, line.span);
                let _ = writeln!(text, "{subject}{label}: {points}");
            }
            text.push('\n');
            for line in totals {
                let span = span(line.span, &number_halves, ("or less", "or more"));
                let _ = writeln!(text, "total {span}: {}", name(&line.pen));
            }
        }
        Rules::Tree { questions } => {
            for question in questions {
                let subject = subject(question.feature, question.span);
                let (yes, no) = (branch(&question.yes), branch(&question.no));
                let label = label(&question.label);
                let _ = writeln!(text, "question {}: {subject}{label}? yes {yes}, no {no}", question.number);
            }
        }
    }
    text
}

fn names(pens: &[String]) -> String {
    pens.iter().map(|pen| name(pen)).collect::<Vec<_>>().join(", ")
}

fn label(label: &str) -> String {
    if label.is_empty() { String::new() } else { format!(" {}", quoted(label)) }
}

fn branch(branch: &Branch) -> String {
    match branch {
        Branch::Question(number) => format!("question {number}"),
        Branch::Pen(pen) => format!("pen {}", name(pen)),
    }
}

fn name(pen: &str) -> String {
    let plain = !pen.is_empty() && pen.chars().all(|letter| letter.is_alphanumeric() || letter == '-');
    if plain { pen.to_owned() } else { quoted(pen) }
}

fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => quoted.extend(['\\', letter]),
            '\n' => quoted.push_str("\\n"),
            '\r' => quoted.push_str("\\r"),
            _ => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

fn subject(feature: Feature, at: Span) -> String {
    let word = feature.word();
    match feature {
        Feature::Lambs => format!("{word} {}", span(at, &|at| at.to_string(), ("or less", "or more"))),
        Feature::Condition => format!("{word} {}", span(at, &number_halves, ("or less", "or more"))),
        Feature::Weight => format!("{word} {} kg", span(at, &|at| at.to_string(), ("or less", "or more"))),
        Feature::Due => match at {
            Span { from: None, to: Some(to) } => format!("{word} by {}", date(to)),
            at => format!("{word} {}", span(at, &date, ("or earlier", "or later"))),
        },
    }
}

fn date(at: i32) -> String {
    to_day(at).map(|day| day.to_string()).unwrap_or_default()
}

fn span(at: Span, words: &dyn Fn(i32) -> String, (less, more): (&str, &str)) -> String {
    match (at.from, at.to) {
        (Some(from), Some(to)) if from == to => words(from),
        (Some(from), Some(to)) => format!("{} to {}", words(from), words(to)),
        (Some(from), None) => format!("{} {more}", words(from)),
        (None, Some(to)) => format!("{} {less}", words(to)),
        (None, None) => "any".to_owned(),
    }
}

fn number_halves(halves: i32) -> String {
    (f64::from(halves) / 2.0).to_string()
}

/// Points in words: `1 point`, `2.5 points`.
pub fn points_words(half_points: i32) -> String {
    let unit = if half_points == 2 { "point" } else { "points" };
    format!("{} {unit}", number_halves(half_points))
}

/// A span of totals in words: `7 or more`.
pub fn span_words(feature: Option<Feature>, at: Span) -> String {
    let words: &dyn Fn(i32) -> String = match feature {
        None => &number_halves,
        Some(Feature::Condition) => &|at| format!("{:.1}", f64::from(at) / 2.0),
        Some(Feature::Due) => return days_words(at),
        Some(Feature::Weight) => {
            return format!("{} kg", span(at, &|at| at.to_string(), ("or less", "or more")));
        }
        Some(Feature::Lambs) => &|at| at.to_string(),
    };
    span(at, words, ("or less", "or more"))
}

/// A span of due dates in words: `by 10 Mar`, `11 Mar to 20 Mar`, `from 21 Mar`.
pub fn days_words(at: Span) -> String {
    let short = |at: i32| to_day(at).map(|day| day.short()).unwrap_or_default();
    match (at.from, at.to) {
        (Some(from), None) => format!("from {}", short(from)),
        (None, Some(to)) => format!("by {}", short(to)),
        _ => span(at, &short, ("", "")),
    }
}
