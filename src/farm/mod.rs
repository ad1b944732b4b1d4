//! Every question that the command line and the page may ask, answered in one place.
//!
//! | file | what |
//! |---|---|
//! | `settings` | what may be set |
//! | `read` | the files, with all that is wrong in them |
//! | `prepare` | from files to a checked plan, or why there is none |
//! | `document`, `report` | the JSON document: its shape, and filling it |
//! | `view`, `present` | what the page draws: its shape, and filling it |
//! | `assigned`, `evaluate` | an assignment that somebody gives: read, and scored |
//! | `from` | a sort from where the ewes stand, a move counting against it |
//! | `hand` | one ewe moved by hand, nobody else moving |
//! | `ration` | what to feed one pen in one week, and why |
//! | `plan` | the feeding plan to the last lambing: rations, loads, stores |
//! | `regroup` | which moves are worth making, as a document and as a view |
//! | `pen_count` | what each number of pens comes to, as a document and as a view |
//! | `draft` | the race: ewes one at a time, each told her pen at once |
//! | `open` | one ewe, opened |
//! | `list` | pens' lists as CSV |
//! | `card` | rules for the race that need no tablet, and how good they are |
//! | `journal` | what people saw and decided: entered, looked up, undone, merged, as a state |
//! | `race` | one ewe stands there: her pen, and entering her |
//! | `need` | the need of one ewe from its figures alone |
//! | `demo` | the invented demo farm |

mod assigned;
pub mod card;
mod demo;
pub mod document;
pub mod draft;
mod evaluate;
mod from;
mod hand;
pub mod journal;
mod list;
pub mod need;
mod open;
pub mod pen_count;
pub mod plan;
mod prepare;
mod present;
pub mod race;
pub mod ration;
mod read;
pub mod regroup;
mod report;
pub mod settings;
pub mod view;

pub use crate::solve::certificate::Certificate;
pub use crate::sort::limits::BrokenLimit;
pub use crate::sort::shortfall::Shortfall;
pub use demo::{DemoFiles, DemoOldPens};
pub use evaluate::evaluate;
pub use from::sort_from;
pub use prepare::{Prepared, Refusal, prepare};

use crate::farm::document::{ImpossibleDocument, RefusedDocument};
use crate::farm::settings::Settings;
use crate::farm::view::{DateQuestion, EweView, MoveReply, PickedView, ProofView, SortReply};
use crate::problem::{Problem, Severity};
use crate::solve::certificate;
use crate::solve::search::Solution;
use crate::sort::apart::Apart;
use crate::sort::measure::{Measure, measure};
use crate::sort::{Outcome, Plan, into_pens};

/// One line that goes with every pen and every need.
pub const CAUTION: &str =
    "For housed ewes in late pregnancy only; not a substitute for your vet or feed adviser.";

/// The files of one farm, as bytes.
#[derive(Debug, Clone, Copy)]
pub struct Files<'a> {
    /// The flock list.
    pub flock: &'a [u8],
    /// The pens.
    pub pens: &'a [u8],
    /// The mating groups.
    pub groups: Option<&'a [u8]>,
}

/// What to do with rows that are wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultyRows {
    /// Sort nothing until they are put right.
    Refuse,
    /// Sort the rest, and list them apart.
    SetAside,
}

/// The answer to a sort.
#[derive(Debug)]
pub enum Answer {
    /// Sorted.
    Sorted(Box<Farm>),
    /// The pens cannot hold the flock.
    Impossible {
        /// What is short.
        shortfall: Shortfall,
        /// What else is wrong or worth knowing.
        problems: Vec<Problem>,
    },
    /// Something must be put right or answered first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
        /// Day or month first?
        question: Option<DateQuestion>,
    },
}

/// One flock and its pens, sorted.
#[derive(Debug)]
pub struct Farm {
    plan: Plan,
    solution: Solution,
    measure: Measure,
    /// Loss of the sort without anybody kept by hand, where somebody is.
    free_loss: Option<f64>,
    /// Ewes not sorted, faulty rows among them, in file order.
    set_apart: Vec<Apart>,
    problems: Vec<Problem>,
    /// Where the assignment was given and not found here.
    given: Option<evaluate::Given>,
    /// What was moved by hand since it was sorted.
    hand: Option<hand::Hand>,
}

/// Reads the files and sorts them.
pub fn sort(files: Files<'_>, settings: &Settings, faulty_rows: FaultyRows) -> Answer {
    match prepare(files, settings, faulty_rows) {
        Ok(prepared) => settled(prepared, settings),
        Err(Refusal { problems, question }) => Answer::Refused { problems, question },
    }
}

/// Sorts what was read, keeping by hand whoever can be.
fn settled(prepared: Prepared, settings: &Settings) -> Answer {
    let Prepared { plan: free, set_apart, mut problems } = prepared;
    let solution = match into_pens(&free) {
        Outcome::Sorted(solution) => solution,
        Outcome::Impossible(shortfall) => return Answer::Impossible { shortfall, problems },
    };
    let (plan, solution, free_loss) = kept(free, solution, settings, &mut problems);
    let measure = measure(&plan, &solution.assignment);
    problems.extend(report::notes(&plan, &measure));
    problems.extend(from::note(&plan, &solution.assignment));
    Answer::Sorted(Box::new(Farm {
        plan,
        solution,
        measure,
        free_loss,
        set_apart,
        problems,
        given: None,
        hand: None,
    }))
}

/// Keeps ewes by hand, one after another; whoever cannot be kept is named and sorted like the others.
fn kept(
    free: Plan,
    solution: Solution,
    settings: &Settings,
    problems: &mut Vec<Problem>,
) -> (Plan, Solution, Option<f64>) {
    let free_loss = solution.loss;
    let (mut best_plan, mut best, mut keep) = (free, solution, Vec::new());
    for wish in &settings.keep {
        keep.push(wish.clone());
        let tried = best_plan.keeping(&keep);
        if let Some(problem) = tried.problems.first() {
            problems.push(problem.clone());
            keep.pop();
            continue;
        }
        match into_pens(&tried) {
            Outcome::Sorted(solution) => (best_plan, best) = (tried, solution),
            Outcome::Impossible(_) => {
                keep.pop();
                problems.push(
                    Problem::new(
                        Severity::Warning,
                        "cannot-keep",
                        format!("ewe {}", wish.tag),
                        format!("Keeping her in pen {} leaves no sort within the limits.", wish.pen),
                        "She was sorted like the others. Make room in that pen, or choose another.",
                    )
                    .about(&wish.tag),
                );
            }
        }
    }
    let free_loss = (!keep.is_empty()).then_some(free_loss);
    (best_plan, best, free_loss)
}

impl Answer {
    /// The answer as one JSON document, sorted or not.
    pub fn to_json(&self) -> String {
        match self {
            Self::Sorted(farm) => farm.document_json(),
            Self::Impossible { shortfall, problems } => {
                report::to_json(&ImpossibleDocument::new(shortfall, problems))
            }
            Self::Refused { problems, .. } => report::to_json(&RefusedDocument::new(problems)),
        }
    }
}

impl Farm {
    /// For the page: sets faulty rows aside, sorts the rest, and says it ready to draw.
    pub fn sort(
        flock: &[u8],
        pens: &[u8],
        groups: Option<&[u8]>,
        settings: &Settings,
    ) -> (Option<Self>, SortReply) {
        let answer = sort(Files { flock, pens, groups }, settings, FaultyRows::SetAside);
        let reply = present::reply(&answer);
        match answer {
            Answer::Sorted(farm) => (Some(*farm), reply),
            _ => (None, reply),
        }
    }

    /// The sort as the JSON document.
    pub fn document_json(&self) -> String {
        report::to_json(&report::document(self))
    }

    /// The sort as the document's values.
    pub fn document(&self) -> document::SortDocument {
        report::document(self)
    }

    /// The sort in words, for the page and the command line.
    pub fn view(&self) -> view::SortView {
        present::view(self)
    }

    /// The limits that a given assignment breaks; none for a sort.
    pub fn limits_broken(&self) -> &[BrokenLimit] {
        self.given.as_ref().map_or(&[], |given| &given.broken)
    }

    /// The work of proving how near the best the sort is, to be done step by step; nothing where it is
    /// proved best already.
    pub fn certificate(&self) -> Option<Certificate> {
        // What somebody moved by hand is not what the proof would be of.
        if self.hand.is_some() {
            return None;
        }
        self.solution.certificate(&self.plan.instance, certificate::Effort::default())
    }

    /// Takes over what a certificate has proved so far.
    pub fn take_proof(&mut self, certificate: &Certificate) -> ProofView {
        self.solution.raise(certificate);
        present::proof(self, certificate)
    }

    /// One ewe, opened; nothing where there is no such ewe among the sorted.
    pub fn ewe(&self, tag: &str) -> Option<EweView> {
        open::ewe(self, tag)
    }

    /// A ewe picked up: what putting her into each pen would mean, she alone moving; nothing where there is
    /// no such ewe among the sorted.
    pub fn picked(&self, tag: &str) -> Option<PickedView> {
        hand::picked(self, tag)
    }

    /// Puts a ewe into a pen and leaves everybody else where they are, or says which limit that would break.
    pub fn put_into(&mut self, tag: &str, pen: &str) -> MoveReply {
        hand::put_into(self, tag, pen)
    }

    /// Takes the last move by hand back; nothing where there is none.
    pub fn take_back(&mut self) -> Option<MoveReply> {
        hand::take_back(self)
    }

    /// A pen's list, or all pens' lists, as CSV; nothing where there is no such pen.
    pub fn pen_csv(&self, pen: Option<&str>) -> Option<String> {
        list::pens(self, pen).map(|list| list.csv())
    }

    /// All pens' lists, and the ewes that were not sorted, as a spreadsheet file (XLSX).
    pub fn workbook(&self) -> Vec<u8> {
        list::workbook(self)
    }

    /// The ewes that were not sorted, as CSV.
    pub fn set_apart_csv(&self) -> String {
        list::set_apart(self).csv()
    }

    /// The pens' names, in file order.
    pub fn pen_names(&self) -> impl Iterator<Item = &str> {
        self.plan.pens.iter().map(|pen| pen.name.as_str())
    }
}
