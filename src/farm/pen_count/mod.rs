//! How many pens: what each number of them comes to, which they are, and what each further one buys.

mod document;
mod view;
mod words;

pub use document::{Buys, FORMAT, Figures, PenCountDocument, Point, Prices, SizeEntry};
pub use view::{PenCountPointView, PenCountReply, PenCountView};

use crate::farm::document::{ImpossibleDocument, RefusedDocument};
use crate::farm::prepare::prepare_flock;
use crate::farm::settings::{Settings, Soft};
use crate::farm::{FaultyRows, Files, Prepared, Refusal, Shortfall, prepare, report};
use crate::problem::{Problem, Severity};
use crate::sort::Plan;
use crate::sort::pen_count::{self as counted, Count, Outcome, Sorted};
use crate::sort::shortfall::{count_words, diagnose};

/// The most pens that may be asked for.
pub const MOST_PENS: usize = 64;
/// So many are looked at where nobody says.
pub const USUAL_PENS: usize = 12;
/// The share of the whole gain that is called enough (our choice, no source).
const ENOUGH: f64 = 0.9;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct PenCountQuestion<'a> {
    /// The flock list.
    pub flock: &'a [u8],
    /// The pens that stand; none where they are yet to be built.
    pub pens: Option<&'a [u8]>,
    /// The mating groups.
    pub groups: Option<&'a [u8]>,
    /// The most pens to look at.
    pub most: usize,
    /// What a pen costs over the feeding period, in any money.
    pub pen_cost: Option<f64>,
    /// What a tonne of dry matter of feed costs, in the same money.
    pub feed_price_per_t_dm: Option<f64>,
    /// ME of that feed, MJ a kg DM; as the diet of the settings where nobody says.
    pub feed_me_mj_per_kg_dm: Option<f64>,
}

/// The answer.
#[derive(Debug)]
pub enum PenCountAnswer {
    /// What each number comes to.
    Counted(Box<PenCountDocument>),
    /// No number of the pens holds the flock.
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

/// Reads the files and says what each number of pens comes to.
pub fn pen_count(
    question: PenCountQuestion<'_>,
    settings: &Settings,
    faulty_rows: FaultyRows,
) -> PenCountAnswer {
    let wrong = wrong_question(&question);
    if !wrong.is_empty() {
        return PenCountAnswer::Refused { problems: wrong };
    }
    // What an even filling is depends on which pens there are, so that numbers of pens could not be compared.
    let soft = Soft { even_filling_mj_per_ewe: 0.0, ..settings.soft };
    let usual = Settings { soft, ..settings.clone() };
    let prepared = match question.pens {
        Some(pens) => {
            prepare(Files { flock: question.flock, pens, groups: question.groups }, &usual, faulty_rows)
        }
        None => prepare_flock((question.flock, question.groups), &usual, faulty_rows),
    };
    let Prepared { plan, set_apart, mut problems } = match prepared {
        Ok(prepared) => prepared,
        Err(Refusal { problems, .. }) => return PenCountAnswer::Refused { problems },
    };
    problems.extend(notes(&question, settings));
    if plan.ewes.is_empty() {
        problems.push(no_ewes());
        return PenCountAnswer::Refused { problems };
    }
    let counts = match question.pens {
        Some(_) => counted::of_these(&plan, question.most),
        None => counted::unbuilt(&plan, question.most),
    };
    if counts.iter().all(|count| matches!(count.outcome, Outcome::Not { .. })) {
        return none_holds(&plan, &counts, &question, problems);
    }
    let apart = set_apart.into_iter().map(|apart| apart.tag).collect();
    PenCountAnswer::Counted(Box::new(document(&plan, &counts, &question, apart, problems)))
}

/// For the page: sets faulty rows aside, and looks at the pens that stand or at equal ones yet to be built, ready to
/// draw.
pub fn reply(
    files: Files<'_>,
    are_built: bool,
    settings: &Settings,
) -> (Option<PenCountDocument>, PenCountReply) {
    let question = PenCountQuestion {
        flock: files.flock,
        pens: are_built.then_some(files.pens),
        groups: files.groups,
        most: USUAL_PENS,
        pen_cost: None,
        feed_price_per_t_dm: None,
        feed_me_mj_per_kg_dm: None,
    };
    let answer = pen_count(question, settings, FaultyRows::SetAside);
    let reply = view::reply(&answer);
    match answer {
        PenCountAnswer::Counted(document) => (Some(*document), reply),
        _ => (None, reply),
    }
}

/// No number holds the flock: what the most pens that were asked for lack.
fn none_holds(
    plan: &Plan,
    counts: &[Count],
    question: &PenCountQuestion<'_>,
    mut problems: Vec<Problem>,
) -> PenCountAnswer {
    let proved = counts.iter().all(|count| matches!(count.outcome, Outcome::Not { proved: true, .. }));
    if question.pens.is_none() {
        let why = counts.last().map_or("", |count| match &count.outcome {
            Outcome::Not { words, .. } => words.as_str(),
            Outcome::Sorted(_) => "",
        });
        problems.push(Problem::new(
            Severity::Error,
            "no-number-of-pens",
            "the number of pens",
            format!("No number up to {} does: {why}.", question.most),
            "Ask for more pens, or check what keeps the ewes apart.",
        ));
        return PenCountAnswer::Refused { problems };
    }
    let chosen = counted::roomiest(plan, question.most.max(1));
    let pens = chosen.iter().filter_map(|&pen| plan.pens.get(pen).cloned()).collect();
    let part = plan.with(plan.ewes.clone(), pens);
    let mut shortfall = diagnose(&part, proved);
    if part.pens.len() < plan.pens.len() {
        let most = count_words(part.pens.len(), "pen");
        shortfall.headline = format!("With no more than {most}, the roomiest: {}", shortfall.headline);
    }
    PenCountAnswer::Impossible { shortfall, problems }
}

impl PenCountAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Counted(document) => document.to_json(),
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

impl PenCountDocument {
    /// The document as JSON.
    pub fn to_json(&self) -> String {
        report::to_json(self)
    }

    /// What the page draws.
    pub fn view(&self) -> PenCountView {
        view::view(self)
    }
}

/// Figures that cannot be meant.
fn wrong_question(question: &PenCountQuestion<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut wrong = |code: &str, subject: &str, message: &str, hint: &str| {
        problems.push(Problem::new(Severity::Error, code, subject, message, hint));
    };
    let bad =
        |value: Option<f64>, least: f64| value.is_some_and(|value| !(value.is_finite() && value >= least));
    if !(1..=MOST_PENS).contains(&question.most) {
        let message = format!("The most pens to look at must be from 1 to {MOST_PENS}.");
        wrong("most-pens-wrong", "most pens", &message, "Twelve is usual.");
    }
    if bad(question.pen_cost, 0.0) {
        wrong(
            "pen-cost-wrong",
            "pen cost",
            "What a pen costs must be 0 or more.",
            "Leave it out to see MJ alone.",
        );
    }
    if bad(question.feed_price_per_t_dm, 0.0) {
        let message = "What a tonne of feed costs must be 0 or more.";
        wrong("feed-price-wrong", "feed price", message, "Leave it out to see MJ alone.");
    }
    if bad(question.feed_me_mj_per_kg_dm, f64::MIN_POSITIVE) {
        let message = "The energy of the feed must be above 0 MJ a kg DM.";
        wrong("feed-me-wrong", "feed energy", message, "Hay holds about 9, barley about 13.");
    }
    problems
}

/// What is left out, and prices that say nothing alone.
fn notes(question: &PenCountQuestion<'_>, settings: &Settings) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut note = |code: &str, subject: &str, message: &str, hint: &str| {
        problems.push(Problem::new(Severity::Note, code, subject, message, hint));
    };
    if settings.soft.even_filling_mj_per_ewe > 0.0 {
        let message =
            "Filling pens evenly is not counted here: it would mean another thing for every number.";
        note("even-filling-left-out", "even filling", message, "The sort itself counts it.");
    }
    if !settings.keep.is_empty() {
        let message = "Ewes kept in a pen by hand are sorted like the others here: their pen may not be among those used.";
        note("keeping-left-out", "ewes kept by hand", message, "The sort itself keeps them.");
    }
    if question.pen_cost.is_some() && question.feed_price_per_t_dm.is_none() {
        let message = "A pen's cost says nothing without a price of feed to set against it.";
        note("feed-price-missing", "pen cost", message, "Give the feed price too.");
    }
    problems
}

fn no_ewes() -> Problem {
    Problem::new(
        Severity::Error,
        "no-ewes",
        "the flock",
        "No ewe of this flock can be sorted, so there is nothing to count pens for.",
        "See why each was set apart.",
    )
}

fn document(
    plan: &Plan,
    counts: &[Count],
    question: &PenCountQuestion<'_>,
    set_apart: Vec<String>,
    problems: Vec<Problem>,
) -> PenCountDocument {
    let prices = Prices {
        pen_cost: question.pen_cost,
        feed_price_per_t_dm: question.feed_price_per_t_dm,
        feed_me_mj_per_kg_dm: question.feed_me_mj_per_kg_dm.unwrap_or(plan.settings.diet_me_mj_per_kg_dm),
    };
    let is_built = question.pens.is_some();
    let mut points: Vec<Point> = Vec::new();
    for count in counts {
        let mut point = point(count, points.last(), prices);
        point.words = words::point(&point, count, is_built);
        points.push(point);
    }
    let enough_pens = enough(&points);
    let best_pens = least_cost(&points, prices);
    let short_in_any_pen = counted::short_in_any_pen(plan) as u32;
    PenCountDocument {
        format: FORMAT,
        status: "counted",
        caution: words::caution(is_built),
        on: plan.settings.on,
        period_days: plan.days.len() as u32,
        ewes: plan.ewes.len() as u32,
        is_built,
        headline: words::headline(plan.ewes.len(), &points, enough_pens, is_built),
        advice: words::advice(&points, enough_pens, best_pens, (short_in_any_pen, is_built)),
        basis: words::basis(prices, is_built),
        points,
        short_in_any_pen,
        enough_pens,
        best_pens,
        prices,
        set_apart,
        problems,
    }
}

/// A point without its words.
fn point(count: &Count, before: Option<&Point>, prices: Prices) -> Point {
    let (status, used, figures) = match &count.outcome {
        Outcome::Sorted(sorted) => ("sorted", sorted.used.clone(), Some(figures(sorted))),
        Outcome::Not { proved: true, .. } => ("impossible", Vec::new(), None),
        Outcome::Not { proved: false, .. } => ("not_found", Vec::new(), None),
    };
    let buys = figures.zip(before.and_then(|before| before.figures)).map(|(now, before)| {
        let saved = before.objective_mj - now.objective_mj;
        let worth = worth(saved, prices);
        Buys {
            objective_mj: saved,
            ewes_no_longer_short: i64::from(before.ewes_short) - i64::from(now.ewes_short),
            over_mj_per_day: before.over_mj_per_day - now.over_mj_per_day,
            fed_mj: before.fed_mj - now.fed_mj,
            worth,
            pays: worth.zip(prices.pen_cost).map(|(worth, cost)| worth > cost),
        }
    });
    let size = count.size.map(|size| SizeEntry {
        trough_m: size.trough.value(),
        area_m2: size.area.value(),
        head: size.head as u32,
    });
    Point { pens: count.pens as u32, status, used, size, figures, buys, words: String::new() }
}

fn figures(sorted: &Sorted) -> Figures {
    Figures {
        objective_mj: sorted.objective,
        misfit_mj: sorted.misfit,
        lower_bound_mj: sorted.bound,
        gap_percent: report::gap_percent(sorted.objective, sorted.bound),
        is_proved_best: sorted.is_proved,
        under_mj_per_day: sorted.under,
        over_mj_per_day: sorted.over,
        fed_mj: sorted.fed_mj,
        fed_kg_dm: sorted.fed_kg_dm,
        ewes_short: sorted.short as u32,
        most_head: sorted.most_head as u32,
    }
}

/// Weighted MJ in money: each is a MJ of feed.
fn worth(mj: f64, prices: Prices) -> Option<f64> {
    prices.feed_price_per_t_dm.map(|price| mj * price / (1000.0 * prices.feed_me_mj_per_kg_dm))
}

/// The fewest pens that take so much of what all take.
fn enough(points: &[Point]) -> Option<u32> {
    let objective = |point: &Point| point.figures.map(|figures| figures.objective_mj);
    let first = points.iter().find_map(objective)?;
    let last = points.iter().rev().find_map(objective)?;
    let does = |point: &&Point| objective(point).is_some_and(|now| first - now >= ENOUGH * (first - last));
    points.iter().find(does).map(|point| point.pens)
}

/// The number at which misfit in money and pens cost least together.
fn least_cost(points: &[Point], prices: Prices) -> Option<u32> {
    let pen_cost = prices.pen_cost?;
    let cost = |point: &Point| {
        let misfit = worth(point.figures?.objective_mj, prices)?;
        Some((misfit + pen_cost * f64::from(point.pens), point.pens))
    };
    points
        .iter()
        .filter_map(cost)
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
        .map(|(_, pens)| pens)
}
