//! What the page draws of numbers of pens.

use crate::farm::pen_count::PenCountAnswer;
use crate::farm::pen_count::document::{PenCountDocument, Point};
use crate::farm::present;
use crate::farm::view::ImpossibleView;
use crate::problem::Problem;
use serde::Serialize;

/// Problems that are about the question and not about the flock.
const ABOUT_THE_QUESTION: [&str; 3] = ["even-filling-left-out", "keeping-left-out", "feed-price-missing"];

/// The answer to "how many pens?".
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum PenCountReply {
    /// What each number comes to.
    Counted {
        /// What to draw.
        view: Box<PenCountView>,
        /// What is wrong or worth knowing in the files.
        problems: Vec<Problem>,
    },
    /// No number of the pens holds the flock.
    Impossible {
        /// What to say.
        view: ImpossibleView,
    },
    /// Something must be put right first.
    Unreadable {
        /// One line for the top.
        headline: String,
        /// What is wrong.
        problems: Vec<Problem>,
    },
}

/// A chart of misfit against number of pens, with words.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PenCountView {
    /// What the flock and the pens come to.
    pub headline: String,
    /// What to do.
    pub advice: String,
    /// Over the chart.
    pub chart_title: String,
    /// Under it: what lies across.
    pub pens_axis: String,
    /// Beside it: what lies upwards, with its unit.
    pub misfit_axis: String,
    /// What the second line of the chart is.
    pub bound_title: String,
    /// By number of pens, from one.
    pub points: Vec<PenCountPointView>,
    /// The number that is marked; nothing where no number holds the flock.
    pub best_pens: Option<u32>,
    /// Why it is marked.
    pub best_words: String,
    /// What was left out of what was asked.
    pub notes: Vec<String>,
    /// What the figures stand on.
    pub basis: String,
    /// The caution that goes with it.
    pub caution: String,
}

/// A point to draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PenCountPointView {
    /// How many pens.
    pub pens: u32,
    /// The objective, weighted MJ; nothing where the flock does not fit.
    pub objective_mj: Option<f64>,
    /// No sort with so many pens comes to less.
    pub bound_mj: Option<f64>,
    /// Ewes more than a tenth short.
    pub ewes_short: Option<u32>,
    /// The pens used, by name; none where they are yet to be built and have no names.
    pub used: Vec<String>,
    /// Whether it is the marked one.
    pub is_best: bool,
    /// In a line.
    pub words: String,
}

/// The answer as the page draws it.
pub(super) fn reply(answer: &PenCountAnswer) -> PenCountReply {
    match answer {
        PenCountAnswer::Counted(document) => PenCountReply::Counted {
            view: Box::new(view(document)),
            problems: document
                .problems
                .iter()
                .filter(|problem| !ABOUT_THE_QUESTION.contains(&problem.code.as_str()))
                .cloned()
                .collect(),
        },
        PenCountAnswer::Impossible { shortfall, problems } => {
            PenCountReply::Impossible { view: present::impossible(shortfall, problems) }
        }
        PenCountAnswer::Refused { problems } => PenCountReply::Unreadable {
            headline: present::refused_headline("No pens were counted", problems, false),
            problems: problems.clone(),
        },
    }
}

/// The view of a document.
pub(super) fn view(document: &PenCountDocument) -> PenCountView {
    let best_pens = document.best_pens.or(document.enough_pens);
    let best_words = match (document.best_pens, best_pens) {
        (Some(_), _) => "least cost of misfit and pens together",
        (None, Some(_)) => "fewest pens that take nine tenths of what the most looked at take",
        (None, None) => "",
    };
    let point = |point: &Point| PenCountPointView {
        pens: point.pens,
        objective_mj: point.figures.map(|figures| figures.objective_mj),
        bound_mj: point.figures.map(|figures| figures.lower_bound_mj),
        ewes_short: point.figures.map(|figures| figures.ewes_short),
        used: if point.size.is_none() { point.used.clone() } else { Vec::new() },
        is_best: best_pens == Some(point.pens),
        words: point.words.clone(),
    };
    PenCountView {
        headline: document.headline.clone(),
        advice: document.advice.clone(),
        chart_title: "Pens, and the misfit they leave".to_owned(),
        pens_axis: "Pens".to_owned(),
        misfit_axis: "Misfit, weighted MJ over the period".to_owned(),
        bound_title: "No sort into so many pens can come below this".to_owned(),
        points: document.points.iter().map(point).collect(),
        best_pens,
        best_words: best_words.to_owned(),
        notes: document
            .problems
            .iter()
            .filter(|problem| ABOUT_THE_QUESTION.contains(&problem.code.as_str()))
            .map(|problem| format!("{} {}", problem.message, problem.hint))
            .collect(),
        basis: document.basis.clone(),
        caution: document.caution.clone(),
    }
}
