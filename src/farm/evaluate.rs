//! Any given assignment, scored like a sort: the same document, with every limit that it breaks.

use crate::farm::settings::Settings;
use crate::farm::{Answer, Farm, FaultyRows, Files, Prepared, Refusal, assigned, report};
use crate::problem::{Problem, Severity};
use crate::solve::search::{Proof, Solution};
use crate::sort::limits::{BrokenLimit, broken};
use crate::sort::measure::measure;
use crate::sort::{Outcome, into_pens};

/// What sets a given assignment apart from a sort.
#[derive(Debug)]
pub(super) struct Given {
    /// The limits that it breaks.
    pub(super) broken: Vec<BrokenLimit>,
}

/// Reads the files and the assignment, which may stand in several lists, and scores it. The answer is
/// `Sorted`, with the status `evaluated` in its document, or `Refused`; never `Impossible`.
pub fn evaluate(files: Files<'_>, lists: &[&[u8]], settings: &Settings, faulty_rows: FaultyRows) -> Answer {
    let assigned::Assigned { prepared, assignment } =
        match assigned::read(files, lists, settings, faulty_rows) {
            Ok(assigned) => assigned,
            Err(Refusal { problems, question }) => return Answer::Refused { problems, question },
        };
    let Prepared { plan, set_apart, mut problems } = prepared;
    let measured = measure(&plan, &assignment);
    let broken = broken(&plan, &assignment);
    problems.extend(report::notes(&plan, &measured));
    let (bound, proof) = match into_pens(&plan) {
        Outcome::Sorted(best) => {
            // Summed ewe by ewe like the objective that it is compared with.
            let least = measure(&plan, &best.assignment).objective;
            problems.extend(better_known(least, measured.objective, broken.is_empty()));
            (if matches!(best.proof, Proof::Bound | Proof::Priced) { best.bound } else { least }, best.proof)
        }
        Outcome::Impossible(shortfall) => {
            problems.push(Problem::new(
                Severity::Warning,
                "pens-cannot-hold",
                "the pens",
                format!("No sort keeps every limit. {}", shortfall.headline),
                "So there is nothing to compare this assignment with.",
            ));
            (0.0, Proof::Bound)
        }
    };
    let solution = Solution { loss: measured.objective, assignment, bound, proof };
    let given = Some(Given { broken });
    Answer::Sorted(Box::new(Farm {
        plan,
        solution,
        measure: measured,
        free_loss: None,
        set_apart,
        problems,
        given,
        hand: None,
    }))
}

/// A better assignment that is known, within the limits.
fn better_known(least: f64, objective: f64, keeps_limits: bool) -> Option<Problem> {
    let saved = objective - least;
    // A difference of rounding is no better sort.
    (saved > 1e-6 * objective.max(1.0)).then(|| {
        let also = if keeps_limits { "" } else { ", and keeps every limit" };
        Problem::new(
            Severity::Note,
            "better-sort-known",
            "the flock",
            format!(
                "The sort of these pens has an objective of {:.1} MJ over the period against {objective:.1} here, {:.0} % \
                 less{also}.",
                least,
                100.0 * saved / objective
            ),
            "Ask which moves are worth making with regroup.",
        )
    })
}
