//! Which moves are worth making from where the ewes stand: asked once, told as a document and as a view.
//!
//! | file | what |
//! |---|---|
//! | `document` | the JSON document, and the words that go with its figures |
//! | `view` | what the page draws and the command line prints |

mod document;
mod view;

pub use document::{CurvePoint, KeptHere, MoveEntry, RegroupDocument};
pub use view::{CurvePointView, MoveView, RegroupReply, RegroupView};

use crate::farm::document::{ImpossibleDocument, RefusedDocument};
use crate::farm::settings::Settings;
use crate::farm::{FaultyRows, Files, Prepared, Refusal, Shortfall, assigned, kept, report};
use crate::problem::Problem;
use crate::sort::regroup::{self as sorted, Regrouping};
use crate::sort::{Outcome, Plan, into_pens};

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-regroup-1";

/// What the person asking wants otherwise than usual.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wish {
    /// List the moves for at most so many.
    pub moves: Option<usize>,
    /// What a move costs, weighted MJ.
    pub move_cost_mj: Option<f64>,
}

/// The answer.
#[derive(Debug)]
pub enum RegroupAnswer {
    /// A curve and moves.
    Regrouped(Box<Regrouped>),
    /// The old pens break limits and nothing within them was found.
    Impossible {
        /// What is short.
        shortfall: Shortfall,
        /// What else is wrong or worth knowing.
        problems: Vec<Problem>,
    },
    /// Something must be put right first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
    },
}

/// A curve, and the moves to one of its points.
#[derive(Debug)]
pub struct Regrouped {
    plan: Plan,
    old: Vec<usize>,
    found: Regrouping,
    wish: Wish,
    set_apart: Vec<String>,
    problems: Vec<Problem>,
}

/// Reads the files and where the ewes stand, and says which moves are worth making.
pub fn regroup(
    files: Files<'_>,
    lists: &[&[u8]],
    settings: &Settings,
    faulty_rows: FaultyRows,
    wish: Wish,
) -> RegroupAnswer {
    let wrong = wish
        .move_cost_mj
        .and_then(|cost| assigned::wrong_move_cost(cost, "Leave it out to have it reckoned."));
    if let Some(problem) = wrong {
        return RegroupAnswer::Refused { problems: vec![problem] };
    }
    let assigned::Assigned { prepared, assignment: old } =
        match assigned::read(files, lists, settings, faulty_rows) {
            Ok(assigned) => assigned,
            Err(Refusal { problems, .. }) => return RegroupAnswer::Refused { problems },
        };
    let Prepared { mut plan, set_apart, mut problems } = prepared;
    let mut outcome = into_pens(&plan);
    // Whoever is kept by hand stays in her pen whatever a move of hers would gain.
    if let Outcome::Sorted(solution) = outcome {
        let (keeping, solution, _) = kept(plan, solution, settings, &mut problems);
        (plan, outcome) = (keeping, Outcome::Sorted(solution));
    }
    let best = match &outcome {
        Outcome::Sorted(best) => Some(best.assignment.as_slice()),
        Outcome::Impossible(_) => None,
    };
    let Some(found) = sorted::regroup(&plan, &old, best, wish.move_cost_mj) else {
        return match outcome {
            Outcome::Impossible(shortfall) => RegroupAnswer::Impossible { shortfall, problems },
            Outcome::Sorted(_) => RegroupAnswer::Refused { problems },
        };
    };
    let set_apart = set_apart.into_iter().map(|apart| apart.tag).collect();
    RegroupAnswer::Regrouped(Box::new(Regrouped { plan, old, found, wish, set_apart, problems }))
}

/// For the page: sets faulty rows aside, and says which moves are worth making, ready to draw.
pub fn reply(files: Files<'_>, lists: &[&[u8]], settings: &Settings) -> (Option<Regrouped>, RegroupReply) {
    let answer = regroup(files, lists, settings, FaultyRows::SetAside, Wish::default());
    let reply = view::reply(&answer);
    match answer {
        RegroupAnswer::Regrouped(regrouped) => (Some(*regrouped), reply),
        _ => (None, reply),
    }
}

impl Regrouped {
    /// The document.
    pub fn document(&self) -> RegroupDocument {
        document::document(self)
    }

    /// The document as JSON.
    pub fn document_json(&self) -> String {
        report::to_json(&self.document())
    }

    /// What the page draws.
    pub fn view(&self) -> RegroupView {
        view::view(self)
    }

    /// Lists the moves of another point from now on: the one with the most moves of at most so many.
    pub fn list_moves(&mut self, moves: usize) {
        self.wish.moves = Some(moves);
    }
}

impl RegroupAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Regrouped(regrouped) => regrouped.document_json(),
            Self::Impossible { shortfall, problems } => {
                let document = ImpossibleDocument::new(shortfall, problems);
                report::to_json(&ImpossibleDocument { format: FORMAT, ..document })
            }
            Self::Refused { problems } => {
                report::to_json(&RefusedDocument { format: FORMAT, ..RefusedDocument::new(problems) })
            }
        }
    }
}
