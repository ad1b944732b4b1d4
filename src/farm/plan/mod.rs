//! The feeding plan to the last lambing, as a document and as a view.
//!
//! | file | what |
//! |---|---|
//! | `aside`, `barren` | ewes in no pen of the sort: a line for the barren and one for those not scanned |
//! | `counted` | stores as they were counted, less what was loaded since |
//! | [`question`] | what may be asked |
//! | `forage` | the week in which a pen goes over to another forage |
//! | `ground` | the pens' weeks, their rations, and what else figures are filled from |
//! | [`document`], `fill` | the JSON document: its shape, and filling it |
//! | `happened` | what was loaded and left: against the plan, and what it says of appetite |
//! | `load` | what is loaded, in which order |
//! | `sheet` | the load sheet: a load of a pen and week, its days beneath it |
//! | `short` | weeks whose level is not met: whether that can be weighed at all, what stops it, ways out |
//! | `store` | the stores walked day by day, tonnes and money by month |
//! | `words` | what is said of weeks, loads and stores |
//! | [`view`] | what the page draws and the command line prints |
//! | `lists` | the load sheet and the feed orders for a spreadsheet |

mod aside;
mod barren;
mod counted;
pub mod document;
mod fill;
mod forage;
mod ground;
mod happened;
mod lists;
mod load;
pub mod question;
pub mod sheet;
mod short;
mod store;
pub mod view;
mod words;

pub use document::PlanDocument;
pub use question::{HANDLING_PENCE, PlanQuestion};
pub use view::PlanView;

use crate::farm::document::{ImpossibleDocument, RefusedDocument};
use crate::farm::settings::Settings;
use crate::farm::view::{DateQuestion, ImpossibleView};
use crate::farm::{
    Answer, Farm, FaultyRows, Files, Prepared, Refusal, Shortfall, assigned, present, read, report, sort,
};
use crate::io;
use crate::problem::{Problem, Severity};
use crate::sort::Plan;
use crate::sort::apart::Apart;
use ground::Ground;
use serde::Serialize;

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-plan-1";

/// The answer.
#[derive(Debug)]
pub enum PlanAnswer {
    /// A plan; some weeks may be short, and then it says so.
    Planned(Box<Planned>),
    /// The pens cannot hold the flock.
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
        /// Day or month first?
        question: Option<DateQuestion>,
    },
}

/// A plan, as a document and ready to draw.
#[derive(Debug)]
pub struct Planned {
    /// The document.
    pub document: PlanDocument,
    /// What the page draws.
    pub view: PlanView,
}

/// The answer as the page takes it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum PlanReply {
    /// A plan.
    Planned {
        /// What to draw.
        view: Box<PlanView>,
    },
    /// The pens cannot hold the flock.
    Impossible {
        /// What is short.
        view: ImpossibleView,
    },
    /// Something must be put right first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
        /// Day or month first?
        question: Option<DateQuestion>,
    },
}

/// The files of a plan beside the farm's own.
#[derive(Debug, Clone, Copy)]
pub struct PlanFiles<'a> {
    /// The feeds on the farm.
    pub feeds: &'a [u8],
    /// Where the ewes stand, in one list or several; empty: as the sort has them.
    pub lists: &'a [&'a [u8]],
    /// What was loaded and left, where it is told.
    pub loads: Option<&'a [u8]>,
}

/// Sorts the flock, or takes the pens as they are given, and plans the feeding.
pub fn plan(
    files: Files<'_>,
    own: PlanFiles<'_>,
    settings: &Settings,
    faulty_rows: FaultyRows,
    question: &PlanQuestion,
) -> PlanAnswer {
    if own.lists.is_empty() {
        return match sorted(files, settings, faulty_rows) {
            Ok(farm) => farm.plan(own, question),
            Err(answer) => *answer,
        };
    }
    match assigned::read(files, own.lists, settings, faulty_rows) {
        Ok(assigned::Assigned { prepared, assignment }) => {
            let Prepared { plan, set_apart, problems } = prepared;
            planned(
                Flock { plan: &plan, assignment: &assignment, set_apart: &set_apart, problems: &problems },
                own,
                question,
            )
        }
        Err(Refusal { problems, question }) => PlanAnswer::Refused { problems, question },
    }
}

/// The sorted farm, for one plan or for several with other wishes; without one, the answer that there is.
pub fn sorted(
    files: Files<'_>,
    settings: &Settings,
    faulty_rows: FaultyRows,
) -> Result<Box<Farm>, Box<PlanAnswer>> {
    match sort(files, settings, faulty_rows) {
        Answer::Sorted(farm) => Ok(farm),
        Answer::Impossible { shortfall, problems } => {
            Err(Box::new(PlanAnswer::Impossible { shortfall, problems }))
        }
        Answer::Refused { problems, question } => Err(Box::new(PlanAnswer::Refused { problems, question })),
    }
}

impl Farm {
    /// Plans the feeding of the pens as they stand.
    pub fn plan(&self, own: PlanFiles<'_>, question: &PlanQuestion) -> PlanAnswer {
        let flock = Flock {
            plan: &self.plan,
            assignment: &self.solution.assignment,
            set_apart: &self.set_apart,
            problems: &self.problems,
        };
        planned(flock, own, question)
    }
}

/// A flock in its pens.
#[derive(Clone, Copy)]
struct Flock<'f> {
    plan: &'f Plan,
    assignment: &'f [usize],
    set_apart: &'f [Apart],
    problems: &'f [Problem],
}

fn planned(flock: Flock<'_>, own: PlanFiles<'_>, question: &PlanQuestion) -> PlanAnswer {
    let refused = |problems: Vec<Problem>| PlanAnswer::Refused { problems, question: None };
    let mut table = match io::feed_table() {
        Ok(table) => table,
        Err(problem) => return refused(vec![*problem]),
    };
    let (way, wish) = match question.checked() {
        Ok(checked) => checked,
        Err(problem) => return refused(vec![*problem]),
    };
    let (reading, order) = io::feeds(own.feeds, &table, question.dates.or(flock.plan.settings.dates));
    if reading.problems.iter().any(Problem::is_error) {
        return PlanAnswer::Refused {
            problems: reading.problems,
            question: read::question(&order.into_iter().collect::<Vec<_>>()),
        };
    }
    let mut feeds = match question.left(reading.records) {
        Ok((feeds, out)) => {
            // What is not wanted is no way out either.
            table.retain(|feed| !out.contains(&feed.id));
            feeds
        }
        Err(problem) => return refused(vec![*problem]),
    };
    // What is wrong with a row of the flock was said where it was sorted, and does not concern feed.
    let mut problems: Vec<Problem> = flock
        .problems
        .iter()
        .filter(|problem| problem.severity == Severity::Warning && problem.tag.is_none())
        .cloned()
        .collect();
    problems.extend(reading.problems);
    let asides = aside::asides(flock.plan, flock.set_apart);
    problems.extend(aside::problems(flock.plan, flock.set_apart, &asides));
    let mut loads = Vec::new();
    if let Some(bytes) = own.loads {
        let pens = flock.plan.pens.iter().map(|pen| pen.name.as_str());
        let pens: Vec<&str> = pens.chain(asides.iter().map(aside::Aside::name)).collect();
        let (reading, order) = io::loads(bytes, &pens, &feeds, question.dates.or(flock.plan.settings.dates));
        if reading.problems.iter().any(Problem::is_error) {
            let question = read::question(&order.into_iter().collect::<Vec<_>>());
            return PlanAnswer::Refused { problems: reading.problems, question };
        }
        problems.extend(reading.problems);
        loads = reading.records;
    }
    let on = flock.plan.settings.on;
    let since = counted::since(&feeds, &loads, on);
    problems.extend(counted::correct(&mut feeds, &since));
    let pens = (flock.assignment, asides);
    let Some(ground) = Ground::new(flock.plan, pens, (&feeds, &since), (way, wish), question, &loads) else {
        return refused(vec![nobody()]);
    };
    let document = fill::document(&ground, &table, problems);
    let view = view::view(&document);
    PlanAnswer::Planned(Box::new(Planned { document, view }))
}

fn nobody() -> Problem {
    Problem::new(
        Severity::Error,
        "nobody-to-feed",
        "the flock",
        "No ewe in the pens is due on or after the first day.",
        "Check the day: the plan begins on it and ends with the last lambing.",
    )
}

impl PlanAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Planned(planned) => report::to_json(&planned.document),
            Self::Impossible { shortfall, problems } => report::to_json(&ImpossibleDocument {
                format: FORMAT,
                ..ImpossibleDocument::new(shortfall, problems)
            }),
            Self::Refused { problems, .. } => {
                report::to_json(&RefusedDocument { format: FORMAT, ..RefusedDocument::new(problems) })
            }
        }
    }

    /// The answer as the page takes it, and the plan itself for what else is asked of it.
    pub fn into_parts(self) -> (Option<Planned>, PlanReply) {
        match self {
            Self::Planned(planned) => {
                let view = Box::new(planned.view.clone());
                (Some(*planned), PlanReply::Planned { view })
            }
            Self::Impossible { shortfall, problems } => {
                (None, PlanReply::Impossible { view: present::impossible(&shortfall, &problems) })
            }
            Self::Refused { problems, question } => (None, PlanReply::Refused { problems, question }),
        }
    }
}

impl Planned {
    /// The load sheet as CSV.
    pub fn load_csv(&self) -> String {
        lists::loads(&self.document).csv()
    }

    /// The feed orders as CSV.
    pub fn orders_csv(&self) -> String {
        lists::orders(&self.document).csv()
    }

    /// The load sheet and the feed orders as a spreadsheet file (XLSX).
    pub fn workbook(&self) -> Vec<u8> {
        lists::workbook(&self.document)
    }
}
