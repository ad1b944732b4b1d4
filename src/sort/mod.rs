//! Which pen each ewe goes to, and why.
//!
//! | file | what |
//! |---|---|
//! | `settings` | what the person asking may set |
//! | `gaps` | what is missing from a record, and what stands in for it |
//! | `space` | trough and floor that a ewe needs |
//! | `plan` | the checked problem, with every ewe's need by day |
//! | `numbers` | the plan as numbers for the solver |
//! | `apart` | ewes that are not sorted, and what each still needs |
//! | `notice` | ewes to watch, gaps to fill, settings that cannot be meant |
//! | `band` | how uncertain a need is |
//! | `limits` | the limits that a given assignment breaks |
//! | `card` | rule cards: what a person can apply at the race without the tablet |
//! | `draft` | the race: ewes one at a time, each told her pen at once |
//! | `measure` | pens' levels, ewes' misfits |
//! | `reason` | the words: why this pen, who fits badly |
//! | `regroup` | which moves are worth making from where the ewes stand |
//! | `pen_count` | what each number of pens comes to, and which they are |
//! | `weeks` | what a pen needs week by week until its last lambing |
//! | `shortfall` | what is short where the pens cannot hold the flock, and how to mend it |

pub mod apart;
mod band;
pub mod card;
pub mod draft;
pub mod gaps;
pub mod limits;
pub mod measure;
mod notice;
mod numbers;
pub mod pen_count;
pub mod plan;
pub mod reason;
pub mod regroup;
mod settings;
pub mod shortfall;
pub mod space;
pub mod standing;
pub mod weeks;

pub use plan::{Plan, PlannedEwe, plan};
pub use settings::{Keep, Settings, Soft, System};

use crate::solve::search::{self, Effort, Solution, Status};
use shortfall::Shortfall;

/// What came of a sort.
#[derive(Debug, Clone)]
pub enum Outcome {
    /// Every ewe has a pen.
    Sorted(Solution),
    /// The pens cannot hold the flock.
    Impossible(Shortfall),
}

/// Sorts the plan's ewes into its pens.
pub fn into_pens(plan: &Plan) -> Outcome {
    match search::solve(&plan.instance, Settings::SEED, Effort::default()) {
        Status::Solved(solution) => Outcome::Sorted(standing::nearer(plan, solution)),
        Status::Impossible => Outcome::Impossible(shortfall::diagnose(plan, true)),
        Status::Undecided => Outcome::Impossible(shortfall::diagnose(plan, false)),
    }
}
