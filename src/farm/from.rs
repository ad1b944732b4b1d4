//! A sort from where the ewes stand now: a move counts against the sort like anything else that is weighed.

use crate::farm::settings::Settings;
use crate::farm::{Answer, FaultyRows, Files, Prepared, Refusal, assigned, settled};
use crate::problem::{Problem, Severity};
use crate::sort::Plan;
use crate::sort::shortfall::count_words;
use crate::sort::standing::Standing;

/// Reads the files and where the ewes stand, which may be in several lists, and sorts them, every move to
/// another pen counting for `move_cost_mj`.
pub fn sort_from(
    files: Files<'_>,
    lists: &[&[u8]],
    settings: &Settings,
    faulty_rows: FaultyRows,
    move_cost_mj: f64,
) -> Answer {
    let hint = "Leave --from out to sort as if nobody stood anywhere yet.";
    if let Some(problem) = assigned::wrong_move_cost(move_cost_mj, hint) {
        return Answer::Refused { problems: vec![problem], question: None };
    }
    let assigned::Assigned { prepared, assignment: pens } =
        match assigned::read(files, lists, settings, faulty_rows) {
            Ok(assigned) => assigned,
            Err(Refusal { problems, question }) => return Answer::Refused { problems, question },
        };
    let plan = prepared.plan.charging_moves(Standing { pens, move_cost_mj });
    settled(Prepared { plan, ..prepared }, settings)
}

/// How many move, and what that counts for; nothing where the sort does not look at where the ewes stand.
pub(super) fn note(plan: &Plan, assignment: &[usize]) -> Option<Problem> {
    let standing = plan.standing.as_ref()?;
    let moved = standing.moved(assignment);
    let cost = standing.move_cost_mj;
    Some(Problem::new(
        Severity::Note,
        "moves-from-here",
        "the flock",
        format!(
            "{} of {} to another pen than she stands in; at {cost} MJ a move that counts {:.1} MJ.",
            count_words(moved, "ewe"),
            format_args!("{} {}", plan.ewes.len(), if moved == 1 { "goes" } else { "go" }),
            cost * moved as f64
        ),
        "'evenfold regroup' lists moves in an order that overfills no pen.",
    ))
}
