//! From files to a checked plan, or what must be put right first: every question about a flock starts here.

use crate::arrange::Arrange as _;
use crate::farm::settings::Settings;
use crate::farm::view::DateQuestion;
use crate::farm::{FaultyRows, Files, read};
use crate::io::FaultyRow;
use crate::problem::{Problem, Severity};
use crate::sort::apart::Apart;
use crate::sort::shortfall::count_words;
use crate::sort::{Plan, plan};

/// A flock and its pens, read and checked; nobody is kept by hand yet.
#[derive(Debug)]
pub struct Prepared {
    /// The problem to solve.
    pub plan: Plan,
    /// Ewes not sorted, faulty rows among them, in file order.
    pub set_apart: Vec<Apart>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// Something must be put right or answered first.
#[derive(Debug)]
pub struct Refusal {
    /// What is wrong.
    pub problems: Vec<Problem>,
    /// Day or month first?
    pub question: Option<DateQuestion>,
}

/// Reads the files and checks them.
pub fn prepare(files: Files<'_>, settings: &Settings, faulty_rows: FaultyRows) -> Result<Prepared, Refusal> {
    checked(read::read(files, settings), settings, faulty_rows)
}

/// Reads and checks a flock for which there are no pens yet: the plan has none.
pub(super) fn prepare_flock(
    (flock, groups): (&[u8], Option<&[u8]>),
    settings: &Settings,
    faulty_rows: FaultyRows,
) -> Result<Prepared, Refusal> {
    checked(read::flock(flock, groups, settings), settings, faulty_rows)
}

fn checked(read: read::Read, settings: &Settings, faulty_rows: FaultyRows) -> Result<Prepared, Refusal> {
    let mut problems = read.problems;
    let stops = |problems: &[Problem]| {
        problems
            .iter()
            .any(|problem| problem.is_error() && (problem.row.is_none() || faulty_rows == FaultyRows::Refuse))
    };
    if stops(&problems) {
        return Err(Refusal { problems, question: read.question });
    }
    let mut plan = plan(read.ewes, read.pens, &Settings { keep: Vec::new(), ..settings.clone() });
    problems.append(&mut plan.problems);
    if stops(&problems) {
        return Err(Refusal { problems, question: None });
    }
    problems.extend(pens_left_out(&problems));
    let set_apart = with_faulty(std::mem::take(&mut plan.set_apart), &read.faulty, &problems);
    Ok(Prepared { plan, set_apart, problems })
}

/// Rows of the pens that are wrong leave the shed smaller, which is easily overlooked.
fn pens_left_out(problems: &[Problem]) -> Option<Problem> {
    let mut rows: Vec<u32> = problems
        .iter()
        .filter(|problem| problem.is_error() && problem.file.as_deref() == Some("pens"))
        .filter_map(|problem| problem.row)
        .collect();
    rows.dedup();
    (!rows.is_empty()).then(|| {
        Problem::new(
            Severity::Warning,
            "pens-left-out",
            "the pens",
            format!("{} left out because of what is wrong in the pens.", count_words(rows.len(), "pen")),
            "The flock was sorted into the others. Put the rows right to use every pen.",
        )
    })
}

/// Ewes set apart together with rows that could not be read, in file order.
fn with_faulty(mut apart: Vec<Apart>, faulty: &[FaultyRow], problems: &[Problem]) -> Vec<Apart> {
    for row in faulty {
        let why: Vec<String> = problems
            .iter()
            .filter(|problem| {
                problem.is_error() && problem.row == Some(row.row) && problem.file.as_deref() == Some("flock")
            })
            .map(|problem| problem.message.clone())
            .collect();
        apart.push(Apart {
            tag: row.tag.clone(),
            why: format!("row {} is wrong: {}", row.row, why.join(" ")),
            needs: "the row put right; until then a place and feed".to_owned(),
            kept_at: None,
            unscanned: None,
            row: row.row,
        });
    }
    apart.arrange_by_key(|apart| apart.row);
    apart
}
