//! The words: why a ewe is in her pen, how she fits it, and what the next best would mean.

use crate::arrange::ascend;
use crate::sort::measure::Measure;
use crate::sort::plan::PlannedEwe;
use crate::sort::{Plan, Settings};

/// A ewe fed this share below her need on any day fits badly (common practice, no source).
pub const BADLY_SHORT: f64 = 0.10;
/// A ewe fed this share above her need over the period fits badly (common practice, no source).
pub const BADLY_OVER: f64 = 0.15;
/// From this share below her need a ewe counts as short on a day (common practice, no source).
pub const SHORT: f64 = 0.03;
/// From this share above her need a ewe counts as over-fed on a day (common practice, no source).
pub const OVER: f64 = 0.08;
/// Misfits nearer than this, weighted MJ, are as good as equal (common practice, no source).
const ALIKE_MJ: f64 = 0.05;

/// How a ewe fits her pen over the period.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Mean need, MJ a kg DM.
    pub need: f64,
    /// Mean level, MJ a kg DM.
    pub level: f64,
    /// Greatest shortfall on a day, MJ, and the share of her need that it is.
    pub short: (f64, f64),
    /// The first day on which she is badly short, by position.
    pub short_from: Option<usize>,
    /// Mean surplus, MJ a day, and the share of her need that it is.
    pub over: (f64, f64),
}

impl Fit {
    /// How a ewe fits at given levels.
    pub fn new(plan: &Plan, ewe: usize, levels: &[f64]) -> Self {
        let needs = &plan.ewes[ewe].needs;
        let days = needs.len() as f64;
        let mean = |values: &mut dyn Iterator<Item = f64>| values.sum::<f64>() / days;
        let mut short = (0.0, 0.0);
        let mut short_from = None;
        let mut surplus = 0.0;
        for (day, (need, &level)) in needs.iter().zip(levels).enumerate() {
            let missing = need.density().value() - level;
            let mj = missing * need.intake.value();
            let share = mj / need.me.value();
            if share > short.1 {
                short = (mj, share);
            }
            if share > BADLY_SHORT && short_from.is_none() {
                short_from = Some(day);
            }
            surplus += (-mj).max(0.0);
        }
        let me: f64 = needs.iter().map(|need| need.me.value()).sum();
        Self {
            need: mean(&mut needs.iter().map(|need| need.density().value())),
            level: levels.iter().sum::<f64>() / days,
            short,
            short_from,
            over: (surplus / days, surplus / me),
        }
    }

    /// Whether she fits badly.
    pub fn is_bad(&self) -> bool {
        self.short.1 > BADLY_SHORT || self.over.1 > BADLY_OVER
    }

    /// In words, after "she is".
    pub fn in_words(&self) -> String {
        if self.short.1 > SHORT {
            format!("short by up to {:.1} MJ a day ({:.0} %)", self.short.0, self.short.1 * 100.0)
        } else if self.over.1 > OVER {
            format!("fed {:.1} MJ a day ({:.0} %) more than she needs", self.over.0, self.over.1 * 100.0)
        } else {
            "fed about what she needs".to_owned()
        }
    }
}

/// Why a ewe fits badly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// She needs more than the richest ration may hold.
    BeyondTheRichest,
    /// She needs less than the poorest ration holds.
    BelowThePoorest,
    /// No other pen takes her.
    OnlyPen,
    /// She shares a pen with ewes whose needs are not hers.
    Company,
}

impl Cause {
    /// Every cause.
    pub const ALL: [Self; 4] = [Self::BeyondTheRichest, Self::BelowThePoorest, Self::OnlyPen, Self::Company];

    /// In words, after a count of ewes.
    pub const fn in_words(self, one: bool) -> &'static str {
        match (self, one) {
            (Self::BeyondTheRichest, true) => {
                "needs more than the richest ration may hold, so no pen can help"
            }
            (Self::BeyondTheRichest, false) => {
                "need more than the richest ration may hold, so no pen can help"
            }
            (Self::BelowThePoorest, true) => "needs less than the poorest ration holds, so no pen can help",
            (Self::BelowThePoorest, false) => "need less than the poorest ration holds, so no pen can help",
            (Self::OnlyPen, true) => "has no other pen that takes her",
            (Self::OnlyPen, false) => "have no other pen that takes them",
            (Self::Company, true) => "shares a pen with ewes whose needs are not hers",
            (Self::Company, false) => "share a pen with ewes whose needs are not theirs",
        }
    }
}

/// Why a badly fitting ewe fits badly.
pub fn cause(plan: &Plan, measure: &Measure, assignment: &[usize], ewe: usize) -> Cause {
    let [low, high] = Settings::LEVEL_LIMITS;
    let levels = &measure.pens[assignment[ewe]].me_levels;
    let fit = Fit::new(plan, ewe, levels);
    match fit.short_from {
        Some(day) if levels[day] >= high => Cause::BeyondTheRichest,
        None if levels.iter().all(|&level| level <= low) => Cause::BelowThePoorest,
        _ if others(plan, measure, assignment, ewe).is_empty() => Cause::OnlyPen,
        _ => Cause::Company,
    }
}

/// Who she is, in a line: "twins, condition 2.0 (thin), due 12 March".
pub fn who(plan: &Plan, ewe: usize) -> String {
    who_is(&plan.ewes[ewe])
}

/// The same of a ewe without a plan.
pub fn who_is(ewe: &PlannedEwe) -> String {
    let score = ewe.filled.condition;
    let body = if score <= ewe.target - 0.5 {
        " (thin)"
    } else if score >= ewe.target + 1.0 {
        " (fat)"
    } else {
        ""
    };
    format!("{}, condition {}{body}, due {}", ewe.litter.in_words(), score_words(score), ewe.due.short())
}

/// A score as written; means of a class to one decimal.
pub fn score_words(score: f64) -> String {
    let quarters = score * 4.0;
    if quarters.fract() == 0.0 && quarters % 2.0 != 0.0 {
        format!("{score:.2}")
    } else {
        format!("{score:.1}")
    }
}

/// Why this pen, in one or two sentences.
pub fn reason(plan: &Plan, measure: &Measure, assignment: &[usize], ewe: usize) -> String {
    words(plan, measure, assignment, ewe, true)
}

/// How she fits the pen that somebody gave her; nothing is said of why she is there.
pub fn given_reason(plan: &Plan, measure: &Measure, assignment: &[usize], ewe: usize) -> String {
    words(plan, measure, assignment, ewe, false)
}

fn words(plan: &Plan, measure: &Measure, assignment: &[usize], ewe: usize, sorted: bool) -> String {
    let pen = assignment[ewe];
    let levels = &measure.pens[pen].me_levels;
    let fit = Fit::new(plan, ewe, levels);
    let name = &plan.pens[pen].name;
    let mut words = format!(
        "{}: needs {:.1} MJ a kg DM, pen {name} is fed {:.1}",
        capital(&who(plan, ewe)),
        fit.need,
        fit.level
    );
    words.push_str(&fit_words(plan, &fit, levels));
    if plan.ewes[ewe].kept.is_some() {
        words.push_str(" Kept here by hand.");
    }
    words.push_str(&other_pens(plan, measure, assignment, ewe, sorted));
    words
}

fn fit_words(plan: &Plan, fit: &Fit, levels: &[f64]) -> String {
    let [low, high] = Settings::LEVEL_LIMITS;
    if let Some(day) = fit.short_from {
        let capped = if levels[day] >= high {
            format!(", the richest that a ration may be ({high})")
        } else {
            String::new()
        };
        format!(
            "{capped}; short by up to {:.1} MJ a day ({:.0} %) from {}.",
            fit.short.0,
            fit.short.1 * 100.0,
            plan.days[day].short()
        )
    } else if fit.over.1 > BADLY_OVER {
        let floor = if levels.iter().all(|&level| level <= low) {
            format!(", the poorest that a ration may be ({low})")
        } else {
            String::new()
        };
        format!("{floor}; {:.1} MJ a day ({:.0} %) more than she needs.", fit.over.0, fit.over.1 * 100.0)
    } else {
        ".".to_owned()
    }
}

/// The other pens that take her, by what her misfit would change there at the rations as they are.
fn others(plan: &Plan, measure: &Measure, assignment: &[usize], ewe: usize) -> Vec<(f64, usize)> {
    let loss = |pen: usize| plan.instance.item_loss(ewe, &measure.pens[pen].levels);
    let here = loss(assignment[ewe]);
    let kind = plan.instance.kind[ewe];
    let mut others: Vec<(f64, usize)> = measure
        .pens
        .iter()
        .enumerate()
        .filter(|(pen, measured)| {
            *pen != assignment[ewe]
                && plan.instance.may(ewe, *pen)
                && measured.members.first().is_some_and(|&member| plan.instance.kind[member] == kind)
        })
        .map(|(pen, _)| (loss(pen) - here, pen))
        .collect();
    ascend(&mut others);
    others
}

/// The pens that would suit her better or next best, at the rations as they are.
fn other_pens(plan: &Plan, measure: &Measure, assignment: &[usize], ewe: usize, sorted: bool) -> String {
    let others = others(plan, measure, assignment, ewe);
    let Some(&(change, pen)) = others.first() else {
        return " No other pen takes her.".to_owned();
    };
    let name = &plan.pens[pen].name;
    if change < -ALIKE_MJ {
        let mut joined = measure.pens[pen].members.clone();
        joined.push(ewe);
        let why = match (plan.instance.fits(&joined, pen), sorted) {
            (true, true) => ", but then somebody else would fit worse",
            (false, true) => ", but it is full, and whoever made room would lose more",
            (true, false) => " and has room",
            (false, false) => ", but it is full",
        };
        format!(" Pen {name} would suit her better by {:.1} MJ{why}.", -change)
    } else if change <= ALIKE_MJ {
        format!(" Pen {name} would suit her as well.")
    } else {
        format!(" Next best is pen {name}: {change:.1} MJ worse over the period.")
    }
}

/// The first letter as a capital.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}
