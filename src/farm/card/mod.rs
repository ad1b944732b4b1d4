//! A rule card for a flock: what a person can apply at the race without the tablet, and how good it is.
//!
//! | file | what |
//! |---|---|
//! | `beyond` | what no card can tell |
//! | `document` | the JSON document |
//! | `view` | what the page draws and the command line prints, in words |

mod beyond;
mod document;
mod view;

pub use crate::sort::card::Kind;
pub use document::{CardDocument, FORMAT};
pub use view::{CardFigure, CardQuestionLine, CardReply, CardRow, CardTable, CardView};

use crate::arrange::Arrange as _;
use crate::farm::document::{ImpossibleDocument, RefusedDocument};
use crate::farm::settings::Settings;
use crate::farm::view::DateQuestion;
use crate::farm::{FaultyRows, Files, Prepared, Refusal, Shortfall, kept, prepare, report};
use crate::problem::{Problem, Severity};
use crate::solve::card::Effort;
use crate::sort::card::check::check;
use crate::sort::card::feature::bands;
use crate::sort::card::find::find;
use crate::sort::card::judge::{Figures, Halves, figures, halves, moves, one_ration};
use crate::sort::card::run::{Run, goes_apart, run};
use crate::sort::card::{Card, read};
use crate::sort::{Outcome, Plan, into_pens};
use serde::{Deserialize, Serialize};

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CardQuestion<'a> {
    /// What kind of card.
    pub kind: Kind,
    /// Whether ewes are weighed at the race, so that the card may ask for weight.
    pub weight_classes: bool,
    /// A card in its written form, to be tried on this flock instead of a card that is found for it.
    pub tried: Option<&'a str>,
}

/// What the page asks.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct CardRequest {
    /// What kind of card.
    pub kind: Kind,
    /// Whether ewes are weighed at the race.
    pub weight_classes: bool,
    /// A card in its written form, to be tried instead of one that is found; absent: one is found.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub tried: Option<String>,
}

/// The answer.
#[derive(Debug)]
pub enum CardAnswer {
    /// A card and how good it is.
    Card(Box<CardSheet>),
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

/// A card, the flock sorted by it, and what it is measured against.
#[derive(Debug)]
pub struct CardSheet {
    plan: Plan,
    card: Card,
    tried: bool,
    weight_classes: bool,
    run: Run,
    optimum: Vec<usize>,
    /// Ewes in another pen than by the best sort.
    moves: usize,
    figures: Sheet,
    problems: Vec<Problem>,
}

/// What the card and its rivals come to.
#[derive(Debug, Clone, Copy)]
struct Sheet {
    card: Figures,
    optimum: Figures,
    litter_only: Option<Figures>,
    /// By the card that was found, where another is tried.
    found: Option<Figures>,
    one_ration_mj: f64,
    halves: Option<Halves>,
}

/// Finds a card for a flock, or tries one.
pub fn card(
    files: Files<'_>,
    settings: &Settings,
    faulty_rows: FaultyRows,
    question: CardQuestion<'_>,
) -> CardAnswer {
    let Prepared { plan, mut problems, .. } = match prepare(files, settings, faulty_rows) {
        Ok(prepared) => prepared,
        Err(Refusal { problems, question }) => return CardAnswer::Refused { problems, question },
    };
    let refused = |problems: Vec<Problem>| CardAnswer::Refused { problems, question: None };
    let plan = by_tag(&plan);
    if plan.ewes.is_empty() {
        problems.push(no_ewes());
        return refused(problems);
    }
    let tried = match question.tried.map(read).transpose() {
        Ok(card) => card,
        Err(faults) => return refused(faults),
    };
    if let Some(card) = &tried {
        let faults = check(card, &plan);
        if faults.iter().any(Problem::is_error) {
            return refused(faults);
        }
        problems.extend(faults);
    }
    // Whoever is kept by hand is kept so in the sort and by the card alike.
    let (plan, optimum) = match into_pens(&plan) {
        Outcome::Sorted(solution) => {
            let (plan, solution, _) = kept(plan, solution, settings, &mut problems);
            (plan, solution.assignment)
        }
        Outcome::Impossible(shortfall) => return CardAnswer::Impossible { shortfall, problems },
    };
    problems.extend(beyond::beyond(&plan));
    match sheet(plan, optimum, tried, question, problems) {
        Ok(sheet) => CardAnswer::Card(Box::new(sheet)),
        Err(problem) => refused(vec![*problem]),
    }
}

/// For the page: sets faulty rows aside, and finds a card for the rest, ready to draw.
pub fn reply(files: Files<'_>, settings: &Settings, request: &CardRequest) -> (Option<CardSheet>, CardReply) {
    let CardRequest { kind, weight_classes, tried } = request;
    let question = CardQuestion { kind: *kind, weight_classes: *weight_classes, tried: tried.as_deref() };
    let answer = card(files, settings, FaultyRows::SetAside, question);
    let reply = view::reply(&answer);
    match answer {
        CardAnswer::Card(sheet) => (Some(*sheet), reply),
        _ => (None, reply),
    }
}

fn sheet(
    plan: Plan,
    optimum: Vec<usize>,
    tried: Option<Card>,
    question: CardQuestion<'_>,
    problems: Vec<Problem>,
) -> Result<CardSheet, Box<Problem>> {
    let kind = tried.as_ref().map_or(question.kind, Card::kind);
    let bands = bands(&plan, question.weight_classes);
    let effort = Effort::default();
    let found = find(&plan, &optimum, &bands, kind, effort);
    let reckoned = |assignment: &[usize]| figures(&plan, assignment);
    let by = |card: &Card| run(card, &plan).ok().map(|run| reckoned(&run.assignment));
    let is_tried = tried.is_some();
    let card = tried.unwrap_or_else(|| found.card.clone());
    let run = run(&card, &plan)?;
    let figures = Sheet {
        card: reckoned(&run.assignment),
        optimum: reckoned(&optimum),
        litter_only: by(&found.litter_only),
        found: if is_tried { by(&found.card) } else { None },
        one_ration_mj: one_ration(&plan),
        halves: if is_tried { None } else { halves(&plan, &bands, kind, effort) },
    };
    let moves = moves(&run, &optimum);
    let weight_classes = question.weight_classes;
    Ok(CardSheet { plan, card, tried: is_tried, weight_classes, run, optimum, moves, figures, problems })
}

/// The flock in the order of its tags, so that the order of the list changes nothing.
fn by_tag(plan: &Plan) -> Plan {
    let mut order: Vec<usize> = (0..plan.ewes.len()).collect();
    order.arrange_by(|&a, &b| plan.ewes[a].ewe.tag.cmp(&plan.ewes[b].ewe.tag).then(a.cmp(&b)));
    plan.part(&order, plan.pens.clone(), plan.settings.min_head)
}

fn no_ewes() -> Problem {
    Problem::new(
        Severity::Error,
        "no-ewes",
        "the flock",
        "No ewe of this flock can be sorted, so there is no card for it.",
        "Give each ewe her lambs and a due date or a group.",
    )
}

impl CardAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Card(sheet) => sheet.document_json(),
            Self::Impossible { shortfall, problems } => {
                let document = ImpossibleDocument::new(shortfall, problems);
                report::to_json(&ImpossibleDocument { format: FORMAT, ..document })
            }
            Self::Refused { problems, .. } => {
                report::to_json(&RefusedDocument { format: FORMAT, ..RefusedDocument::new(problems) })
            }
        }
    }
}

impl CardSheet {
    /// The document as JSON.
    pub fn document_json(&self) -> String {
        report::to_json(&self.document())
    }

    /// The document's values.
    pub fn document(&self) -> CardDocument {
        document::document(self)
    }

    /// The card in words.
    pub fn view(&self) -> CardView {
        view::view(self)
    }

    /// The card's written form, with how good it is as remarks.
    pub fn text(&self) -> String {
        view::text(self)
    }

    /// What is wrong or worth knowing.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// Ewes kept apart, which go by a line of their own.
    fn apart(&self) -> usize {
        self.plan.ewes.iter().filter(|ewe| goes_apart(&self.plan, ewe)).count()
    }
}
