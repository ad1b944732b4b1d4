//! Laying out for a terminal: the words come from the engine, the lines are made here.

use crate::farm::ration::document::CautionEntry;
use crate::farm::view::{EweLine, PenView, SortView};
use crate::farm::{BrokenLimit, Shortfall};
use crate::problem::{Problem, Severity};
use serde::Serialize;
use std::fmt::Write as _;
use std::io::Write as _;

/// Width at which lines of tags are broken.
const WIDTH: usize = 96;

/// Writes to standard output. A reader that went away is no fault of ours.
pub(super) fn out(text: &str) {
    let _ = writeln!(std::io::stdout().lock(), "{}", text.trim_end());
}

/// Writes to standard error.
pub(super) fn err(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", text.trim_end());
}

/// A value as JSON.
pub(super) fn json<T: Serialize>(value: &T) -> String {
    serde_json::to_string_pretty(value).unwrap_or_else(|fault| format!("{{\"fault\": \"{fault}\"}}"))
}

/// Problems, one a paragraph, to standard error.
pub(super) fn problems(problems: &[Problem]) {
    for problem in problems {
        err(&problem_words(problem));
    }
}

/// The last line of a refusal.
pub(super) fn refused(problems: &[Problem]) -> &'static str {
    if problems.iter().any(|problem| problem.is_error() && problem.row.is_none()) {
        "Nothing was sorted. Put this right first."
    } else {
        "Nothing was sorted. Put these rows right, or say --set-aside to sort the rest."
    }
}

fn problem_words(problem: &Problem) -> String {
    let level = match problem.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    };
    let mut words = format!("{level}: {}", problem.subject);
    if let Some(tag) = &problem.tag
        && !problem.subject.contains(tag.as_str())
    {
        let _ = write!(words, " (ewe {tag})");
    }
    if let Some(found) = &problem.found
        && !found.is_empty()
    {
        let _ = write!(words, ": found '{found}'");
    }
    let _ = write!(words, ": {} {} [{}]", problem.message, problem.hint, problem.code);
    words
}

/// The limits that an assignment breaks; nothing where it breaks none.
pub(super) fn broken(limits: &[BrokenLimit]) -> String {
    let mut text = String::new();
    for limit in limits {
        let _ = writeln!(text, "{}", limit.words);
    }
    text
}

/// A sort in words.
pub(super) fn sorted(view: &SortView) -> String {
    let mut text = format!("{}\n{}\n{}\n", view.headline, view.period, view.quality);
    for pen in &view.pens {
        text.push('\n');
        text.push_str(&pen_words(pen));
    }
    section(&mut text, "Fit badly", &view.badly_fitting_words, &view.badly_fitting);
    section(&mut text, "Kept by hand", "", &view.kept);
    section(&mut text, "Score, weigh, date or age these", "", &view.to_check);
    section(&mut text, "Set apart", "", &view.set_apart);
    // What was taken from elsewhere stands above, ewe by ewe.
    let rest: Vec<&Problem> = view.problems.iter().filter(|problem| problem.code != "assumed").collect();
    if !rest.is_empty() {
        text.push_str("\nWorth knowing\n");
        for problem in rest {
            let _ = writeln!(text, "  {}", problem_words(problem));
        }
    }
    let _ = write!(text, "\n{}\n{}\n", view.basis, view.caution);
    text
}

fn pen_words(pen: &PenView) -> String {
    let mut text = format!("Pen {}  {}\n", pen.name, pen.head);
    if pen.count > 0 {
        let _ = writeln!(text, "  feed   {}", pen.feed);
    }
    let _ = writeln!(text, "  room   {}, {}", pen.trough.words, pen.floor.words);
    for note in &pen.notes {
        let _ = writeln!(text, "  note   {note}");
    }
    let mut line = String::from("  ewes  ");
    for ewe in &pen.ewes {
        if line.len() + ewe.tag.len() + 1 > WIDTH {
            let _ = writeln!(text, "{line}");
            line = "        ".to_owned();
        }
        line.push(' ');
        line.push_str(&ewe.tag);
    }
    if pen.count > 0 {
        let _ = writeln!(text, "{line}");
    }
    text
}

fn section(text: &mut String, title: &str, lead: &str, lines: &[EweLine]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{title} ({})", lines.len());
    if !lead.is_empty() {
        let _ = writeln!(text, "  {lead}");
    }
    for line in lines {
        let pen = if line.pen.is_empty() { String::new() } else { format!("  pen {}", line.pen) };
        let _ = writeln!(text, "  {}{pen}  {}", line.tag, line.words);
    }
}

/// A title and lines below it; nothing where there are none.
pub(super) fn section_of<T: AsRef<str>>(text: &mut String, title: &str, lines: &[T]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{title}");
    for line in lines {
        let _ = writeln!(text, "  {}", line.as_ref());
    }
}

/// What may hurt a ewe, each with where it comes from.
pub(super) fn cautions(text: &mut String, cautions: &[CautionEntry]) {
    let line = |caution: &CautionEntry| format!("{}: {} ({})", caution.about, caution.words, caution.source);
    section_of(text, "Take care", &cautions.iter().map(line).collect::<Vec<_>>());
}

/// What is short, in words.
pub(super) fn impossible(shortfall: &Shortfall) -> String {
    let mut text = format!("{}\n", shortfall.headline);
    for limit in &shortfall.limits {
        let _ = writeln!(text, "  {limit}");
    }
    text.push_str("To mend it, any one of these:\n");
    for mend in &shortfall.mends {
        let _ = writeln!(text, "  {mend}");
    }
    text
}
