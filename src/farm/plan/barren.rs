//! Barren ewes: in no pen of the sort, yet they eat. A line of their own in the plan, kept as they are.

use crate::feed::Stocked;
use crate::flock::Litter;
use crate::quantity::{GramPerKgDm, Kg, KgDmPerDay, MgPerKgDm, MjPerKgDm};
use crate::ration::{Asked, COPPER, Eater, Held, Way};
use crate::requirement::{Afrc1993, Standard, State, TERM_DAYS, intake};
use crate::sort::Settings;
use crate::sort::apart::Apart;
use crate::sort::plan::{DayNeed, diet};
use crate::sort::weeks::{DAYS, Fed, PenWeek};

use super::question::PlanQuestion;
use crate::farm::ration::question::maintenance;

/// Weeks to lambing that stand for "not in lamb": appetite is not yet falling, and protein is not asked for (chosen
/// here; common practice, no source).
const NOT_IN_LAMB: f64 = 21.0;

/// The barren ewes of a plan.
pub(super) struct Barren {
    /// What their line is called.
    pub(super) name: String,
    weights: Vec<Kg>,
}

impl Barren {
    /// Nothing where none is known.
    pub(super) fn of(apart: &[Apart], name: String) -> Option<Self> {
        let weights: Vec<Kg> = apart.iter().filter_map(|apart| apart.kept_at).collect();
        (!weights.is_empty()).then_some(Self { name, weights })
    }

    pub(super) fn head(&self) -> usize {
        self.weights.len()
    }

    /// Their weeks, as many days as the plan has: no need of theirs changes.
    pub(super) fn weeks(&self, settings: &Settings, days: usize) -> Vec<PenWeek> {
        let needs: Vec<DayNeed> = self.weights.iter().map(|weight| need(*weight, settings)).collect();
        let by = 1.0 / needs.len().max(1) as f64;
        let mean = |of: fn(&DayNeed) -> f64| by * needs.iter().map(of).sum::<f64>();
        let (me, mp) = (mean(|need| need.me.value()), mean(|need| need.mp.value()));
        let eaten = mean(|need| need.intake.value()).max(f64::MIN_POSITIVE);
        let head = needs.len() as u32;
        let week = |number: usize| {
            let there = (days - number * DAYS).min(DAYS);
            PenWeek {
                first: settings.on.plus((number * DAYS) as i32),
                head: vec![head; there],
                ewes: needs
                    .iter()
                    .map(|need| Fed {
                        // She is none of those who are sorted.
                        ewe: usize::MAX,
                        days: there as u32,
                        need: *need,
                        weeks_to_lambing: NOT_IN_LAMB,
                    })
                    .collect(),
                density: MjPerKgDm::new(me / eaten),
                protein: GramPerKgDm::new(mp / eaten),
                intake: KgDmPerDay::new(eaten),
            }
        };
        (0..days.div_ceil(DAYS)).map(week).collect()
    }

    /// What is asked of their ration: to keep them as they are, at a trough of their own.
    pub(super) fn asked(
        &self,
        week: &PenWeek,
        feeds: &[Stocked],
        way: Way,
        question: &PlanQuestion,
    ) -> Asked {
        let weight = self.weight();
        let eaters = self.weights.iter().map(|weight| Eater {
            weight: *weight,
            litter: Litter::BARREN,
            weeks: NOT_IN_LAMB,
            days: f64::from(week.head.len() as u32),
        });
        Asked {
            me: week.me(),
            mp: week.mp(),
            maintenance: maintenance(weight),
            weight,
            litter: Litter::BARREN,
            weeks: NOT_IN_LAMB,
            way,
            feeds: feeds.to_vec(),
            is_restricted: false,
            most_feeds: question.most_feeds,
            most_straights: question.most_straights as usize,
            last_week: None,
            pen: None,
            copper_most: MgPerKgDm::new(question.copper_most_mg_per_kg_dm.unwrap_or(COPPER)),
            protein_weeks: question.protein_weeks,
            mix_for: None,
            held: Held { eaters: eaters.collect(), ..Held::default() },
        }
    }

    /// Their mean live weight.
    pub(super) fn weight(&self) -> Kg {
        let sum: f64 = self.weights.iter().map(|weight| weight.value()).sum();
        Kg::new(sum / self.weights.len().max(1) as f64)
    }
}

/// What keeps her as she is.
fn need(weight: Kg, settings: &Settings) -> DayNeed {
    let state = State::housed(weight, Litter::BARREN, 0, diet(settings));
    let need = Afrc1993.need(&state);
    DayNeed { me: need.me, mp: need.mp, intake: intake::capacity(weight, Litter::BARREN, TERM_DAYS) }
}
