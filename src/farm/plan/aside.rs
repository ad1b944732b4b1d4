//! Ewes in no pen of the sort who eat all the same: a line of their own in the plan for the barren and for those not
//! scanned.

use crate::feed::Stocked;
use crate::pen::Pen;
use crate::problem::{Problem, Severity};
use crate::quantity::Kg;
use crate::ration::{Asked, Way};
use crate::sort::Plan;
use crate::sort::apart::Apart;
use crate::sort::shortfall::count_words;
use crate::sort::weeks::{PenWeek, weeks};

use super::barren::Barren;
use super::ground;
use super::question::PlanQuestion;

/// A line behind the pens.
pub(super) enum Aside {
    /// Kept as they are.
    Barren(Barren),
    /// Fed as if with twins until they are scanned, as the sort says it: a flock of their own in one pen.
    Unscanned(Box<Plan>),
}

/// Every line that there is: the unscanned, then the barren.
pub(super) fn asides(plan: &Plan, set_apart: &[Apart]) -> Vec<Aside> {
    let name = free_name(&plan.pens, ["unscanned", "unscanned ewes", "unscanned ewes set apart"]);
    let unscanned = plan.of_unscanned(set_apart, &name).map(|own| Aside::Unscanned(Box::new(own)));
    let name = free_name(&plan.pens, ["barren", "barren ewes", "barren ewes set apart"]);
    let barren = Barren::of(set_apart, name).map(Aside::Barren);
    unscanned.into_iter().chain(barren).collect()
}

/// The first of these that no pen is called.
fn free_name(pens: &[Pen], names: [&str; 3]) -> String {
    let is_taken = |name: &str| pens.iter().any(|pen| pen.name.eq_ignore_ascii_case(name));
    let free = names.into_iter().find(|name| !is_taken(name));
    free.map_or_else(|| format!("{}, apart", names[0]), str::to_owned)
}

impl Aside {
    pub(super) fn name(&self) -> &str {
        match self {
            Self::Barren(barren) => &barren.name,
            Self::Unscanned(own) => own.pens.first().map_or("unscanned", |pen| pen.name.as_str()),
        }
    }

    pub(super) const fn is_barren(&self) -> bool {
        matches!(self, Self::Barren(_))
    }

    pub(super) fn head(&self) -> usize {
        match self {
            Self::Barren(barren) => barren.head(),
            Self::Unscanned(own) => own.ewes.len(),
        }
    }

    /// Its weeks; those of the barren are as many days as the plan has.
    pub(super) fn weeks(&self, plan: &Plan, days: usize) -> Vec<PenWeek> {
        match self {
            Self::Barren(barren) => barren.weeks(&plan.settings, days),
            Self::Unscanned(own) => weeks(own, &vec![0; own.ewes.len()]).into_iter().flatten().collect(),
        }
    }

    /// What is asked of its ration. No wagon is mixed for so few.
    pub(super) fn asked(
        &self,
        week: &PenWeek,
        feeds: &[Stocked],
        way: Way,
        question: &PlanQuestion,
        is_first: bool,
    ) -> Asked {
        let way = if matches!(way, Way::Mixed | Way::TopUp) { Way::Separate } else { way };
        match self {
            Self::Barren(barren) => barren.asked(week, feeds, way, question),
            Self::Unscanned(own) => ground::asked(own, week, feeds, way, question, is_first),
        }
    }

    /// Mean live weight of those fed in a week.
    pub(super) fn weight(&self, week: &PenWeek) -> Kg {
        match self {
            Self::Barren(barren) => barren.weight(),
            Self::Unscanned(own) => ground::mean_weight(own, week),
        }
    }
}

/// What is said of ewes set apart: who has a line here, and who is not fed at all.
pub(super) fn problems(plan: &Plan, set_apart: &[Apart], asides: &[Aside]) -> Vec<Problem> {
    let of = |aside: &Aside| {
        let (head, name) = (aside.head(), aside.name());
        let (code, what, hint) = match aside {
            Aside::Barren(_) => (
                "barren-fed-apart",
                format!(
                    "{} in no pen of the sort, fed here on a line of their own, \u{201c}{name}\u{201d}: what keeps them as they are.",
                    count_words(head, "barren ewe")
                ),
                "Give them a place away from the in-lamb ewes; sold before, they free this feed.",
            ),
            Aside::Unscanned(_) => (
                "unscanned-fed-as-twins",
                format!(
                    "{} without a scan in no pen of the sort, fed here on a line of their own, \u{201c}{name}\u{201d}, as if with \
                     twins.",
                    count_words(head, "ewe")
                ),
                "Scan them: a single is overfed by this, triplets are not fed enough, and a barren ewe needs half of it.",
            ),
        };
        Problem::new(Severity::Warning, code, "the flock", what, hint)
    };
    let mut problems: Vec<Problem> = asides.iter().map(of).collect();
    let fed: usize = asides.iter().map(Aside::head).sum();
    let others = set_apart.len().saturating_sub(fed);
    if others > 0 {
        problems.push(Problem::new(
            Severity::Warning,
            "set-apart-not-fed",
            "the flock",
            format!(
                "{} set apart are in no pen and not fed in this plan from {} on: their row is wrong, their day cannot be \
                 right, or they were given no pen.",
                count_words(others, "ewe"),
                plan.settings.on.in_words()
            ),
            "They need feed of their own, which comes off the stores too: the sort names each of them with her reason.",
        ));
    }
    problems
}
