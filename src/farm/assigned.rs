//! An assignment that somebody gives, put beside the checked plan: every sorted ewe with her pen.

use crate::arrange::Arrange as _;
use crate::farm::settings::Settings;
use crate::farm::{FaultyRows, Files, Prepared, Refusal, prepare};
use crate::io;
use crate::problem::{Problem, Severity};
use crate::solve::instance::Assignment;
use crate::sort::apart::Apart;
use crate::sort::shortfall::count_words;

/// At most so many tags stand in one message.
const MOST_TAGS: usize = 12;

/// A flock, its pens, and where each ewe stands.
#[derive(Debug)]
pub(super) struct Assigned {
    pub(super) prepared: Prepared,
    /// The pen of each ewe of the plan.
    pub(super) assignment: Assignment,
}

/// Reads the files and the lists of an assignment, which may be one file or several, one a pen.
pub(super) fn read(
    files: Files<'_>,
    lists: &[&[u8]],
    settings: &Settings,
    faulty_rows: FaultyRows,
) -> Result<Assigned, Refusal> {
    let mut prepared = prepare(files, settings, faulty_rows)?;
    let (placed, mut problems) = placed(&prepared, lists);
    let at = |tag: &str| placed.iter().find(|placed| placed.tag == tag);
    let is_wrong = |tag: &str| problems.iter().any(|problem| problem.tag.as_deref() == Some(tag));
    let missing: Vec<&str> = prepared
        .plan
        .ewes
        .iter()
        .map(|ewe| ewe.ewe.tag.as_str())
        .filter(|tag| at(tag).is_none() && !is_wrong(tag))
        .collect();
    let left_out = (!missing.is_empty()).then(|| left_out(&missing, faulty_rows));
    let not_sorted: Vec<Problem> = prepared
        .set_apart
        .iter()
        .filter_map(|apart| at(&apart.tag).map(|placed| not_sorted(apart, &placed.pen)))
        .collect();
    problems.extend(left_out);
    problems.extend(not_sorted);
    let refused = problems
        .iter()
        .any(|problem| problem.is_error() && (problem.row.is_none() || faulty_rows == FaultyRows::Refuse));
    prepared.problems.append(&mut problems);
    if refused {
        return Err(Refusal { problems: prepared.problems, question: None });
    }
    let stands = |tag: &str| at(tag).map(|placed| placed.pen.as_str());
    let homeless: Vec<Apart> = prepared
        .plan
        .ewes
        .iter()
        .filter(|ewe| stands(&ewe.ewe.tag).is_none())
        .map(|ewe| Apart {
            tag: ewe.ewe.tag.clone(),
            why: "the assignment gives her no pen".to_owned(),
            needs: "a pen; until then a place and feed".to_owned(),
            kept_at: None,
            unscanned: None,
            row: ewe.ewe.row,
        })
        .collect();
    if !homeless.is_empty() {
        let ewes = prepared.plan.ewes.clone().into_iter().filter(|ewe| stands(&ewe.ewe.tag).is_some());
        prepared.plan = prepared.plan.with(ewes.collect(), prepared.plan.pens.clone());
        prepared.set_apart.extend(homeless);
        prepared.set_apart.arrange_by_key(|apart| apart.row);
        if prepared.plan.ewes.is_empty() {
            prepared.problems.push(nobody_placed());
            return Err(Refusal { problems: prepared.problems, question: None });
        }
    }
    let pen = |name: &str| prepared.plan.pens.iter().position(|pen| pen.name == name);
    // Whoever is left has a pen, and the reader has refused pens that are not there.
    let assignment =
        prepared.plan.ewes.iter().filter_map(|ewe| pen(stands(&ewe.ewe.tag)?)).collect::<Assignment>();
    Ok(Assigned { prepared, assignment })
}

/// The most that a move may count for, MJ: far beyond any flock's misfit, and sums of it stay finite (no source).
const MOST_MOVE_COST: f64 = 1e9;

/// What is wrong with the cost of a move, where something is; `hint` says what to do.
pub(super) fn wrong_move_cost(cost_mj: f64, hint: &str) -> Option<Problem> {
    (!(0.0..=MOST_MOVE_COST).contains(&cost_mj)).then(|| {
        Problem::new(
            Severity::Error,
            "move-cost-wrong",
            "move cost",
            "What a move costs must be 0 MJ or more, and at most a thousand million.".to_owned(),
            hint,
        )
    })
}

/// The rows of all lists; with several, problems say in which one they are.
fn placed(prepared: &Prepared, lists: &[&[u8]]) -> (Vec<io::Placed>, Vec<Problem>) {
    let plan = &prepared.plan;
    let sorted = plan.ewes.iter().map(|ewe| ewe.ewe.tag.as_str());
    let tags: Vec<&str> = sorted.chain(prepared.set_apart.iter().map(|apart| apart.tag.as_str())).collect();
    let pens: Vec<&str> = plan.pens.iter().map(|pen| pen.name.as_str()).collect();
    let (mut placed, mut problems): (Vec<io::Placed>, Vec<Problem>) = (Vec::new(), Vec::new());
    for (number, list) in (1..).zip(lists) {
        let reading = io::assignment(list, &tags, &pens);
        problems.extend(reading.problems.into_iter().map(|problem| match lists.len() {
            1 => problem,
            _ => Problem {
                subject: problem.subject.replacen("assignment", &format!("assignment {number}"), 1),
                ..problem
            },
        }));
        for record in reading.records {
            match placed.iter().find(|other| other.tag == record.tag) {
                Some(other) => problems.push(
                    Problem::cell(
                        Severity::Error,
                        "duplicate-tag",
                        ("assignment", record.row, "tag"),
                        &record.tag,
                        format!("She stands in pen {} by an earlier list.", other.pen),
                        "A ewe stands in one pen: take one row out.",
                    )
                    .about(&record.tag),
                ),
                None => placed.push(record),
            }
        }
    }
    (placed, problems)
}

/// Ewes of the flock that the assignment forgets.
fn left_out(missing: &[&str], faulty_rows: FaultyRows) -> Problem {
    let shown: Vec<&str> = missing.iter().take(MOST_TAGS).copied().collect();
    let more = match missing.len().saturating_sub(MOST_TAGS) {
        0 => String::new(),
        rest => format!(" and {rest} more"),
    };
    let (severity, hint) = match faulty_rows {
        FaultyRows::Refuse => {
            (Severity::Error, "Add a row for each, or set them aside to go on with the rest.")
        }
        FaultyRows::SetAside => (Severity::Warning, "They were set apart; the rest was taken without them."),
    };
    let message = format!(
        "{} of the flock {} no pen: {}{more}.",
        count_words(missing.len(), "ewe"),
        if missing.len() == 1 { "has" } else { "have" },
        shown.join(", ")
    );
    Problem {
        file: Some("assignment".to_owned()),
        ..Problem::new(severity, "ewes-without-pen", "assignment file", message, hint)
    }
}

/// A list that says of no ewe where she stands.
fn nobody_placed() -> Problem {
    Problem {
        file: Some("assignment".to_owned()),
        ..Problem::new(
            Severity::Error,
            "nobody-placed",
            "assignment file",
            "No ewe that is sorted has a pen by this list.",
            "Check that its tags and pens are those of the flock and the pens list.",
        )
    }
}

/// A ewe that has a pen in the assignment and no place in the sort.
fn not_sorted(apart: &Apart, pen: &str) -> Problem {
    Problem::new(
        Severity::Warning,
        "not-sorted",
        format!("ewe {}", apart.tag),
        format!("She stands in pen {pen} but is not sorted ({}).", apart.why.trim_end_matches('.')),
        "Her place and feed are not counted. She needs a place of her own.",
    )
    .about(&apart.tag)
}
