//! What a ewe's condition asks of her between now and lambing: kilograms, energy, and whether that is safe.

use crate::quantity::{GramPerDay, Kg, MjPerDay};
use crate::requirement::condition::{Body, Correction, Costs, DAYS_TO_GAIN, Kind, MJ_PER_KG_LOST, kg_per_score};

/// The fastest gain met in print, scores a day: half a score in 28 to 42 days (New Zealand vets; IDELE 2017;
/// AHDB), the slower end here.
pub const FASTEST_GAIN: f64 = 0.5 / 42.0;
/// The most a ewe may lose in mid-pregnancy, scores, and only from good order (EBLEX 2014).
pub const MOST_LOSS_MID: f64 = 0.5;
/// Loss within the last six weeks at which to warn, and at which to act, scores. Fitted to the advice to hold
/// condition then.
pub const LATE_LOSS: [f64; 2] = [0.25, 0.5];
/// Days after conception in which she must not lose: the first month (ADAS 1995).
pub const FIRST_MONTH: u32 = 30;

/// What must happen to her condition until lambing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    /// Target less score, in scores.
    pub gap: f64,
    /// kg for a whole score.
    pub kg_per_score: Kg,
    /// What she must gain; 0 at or above target.
    pub to_gain: Kg,
    /// The same each day, over the days left but at least six weeks.
    pub a_day: GramPerDay,
    /// What that would take with no ceiling.
    pub uncapped: MjPerDay,
    /// Scores that the energy granted gains until lambing.
    pub reached: f64,
}

/// Reckons it from the correction that is given.
pub fn outlook(body: &Body, costs: &Costs, correction: &Correction) -> Outlook {
    let kg = kg_per_score(body, costs);
    let gap = body.target - body.score;
    let to_gain = kg * gap.max(0.0);
    let days = f64::from(body.days_to_lambing);
    let spread = days.max(DAYS_TO_GAIN);
    let gained = correction.gain.value() * days / costs.mj_per_kg_gained / kg.value();
    Outlook {
        gap,
        kg_per_score: kg,
        to_gain,
        a_day: GramPerDay::new(1000.0 * to_gain.value() / spread),
        uncapped: MjPerDay::new(to_gain.value() * costs.mj_per_kg_gained / spread),
        reached: body.score + gained,
    }
}

/// Scores lost by a ewe who goes short by this much each day.
pub fn lost_if_short(short: MjPerDay, days: u32, kg_per_score: Kg) -> f64 {
    short.value() * f64::from(days) / MJ_PER_KG_LOST / kg_per_score.value()
}

/// What a person should be warned of.
pub fn warnings(body: &Body, found: &Outlook, correction: &Correction) -> Vec<String> {
    let mut warnings = Vec::new();
    let days = f64::from(body.days_to_lambing);
    if found.gap > 0.0 && found.gap / days.max(1.0) > FASTEST_GAIN {
        warnings.push(format!(
            "{:.2} of a score in {} days is faster than half a score in six weeks, the most that ewes are \
             known to gain safely; at the energy given here she would come to {:.2}.",
            found.gap, body.days_to_lambing, found.reached
        ));
    }
    if correction.kind == Kind::Watch {
        warnings.push(
            "Fat and carrying two or more: she is never cut. Watch her appetite for pregnancy toxaemia, and \
             ask your vet."
                .to_owned(),
        );
    }
    if found.gap < 0.0 && correction.ease.value() == 0.0 {
        warnings.push(
            if body.litter.lambs() >= 2 {
                "Above target, but with two or more lambs her feed is not cut."
            } else if days <= DAYS_TO_GAIN {
                "Above target, but no ewe is cut in the last six weeks."
            } else {
                "A little above target: nothing is taken from her."
            }
            .to_owned(),
        );
    }
    warnings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flock::Litter;
    use crate::requirement::condition::correction;

    #[test]
    fn two_mj_short_for_four_weeks_is_0_22_of_a_score() {
        // 70 kg ewe: 1.98 kg and 0.22 at 0.13 of her weight, by AFRC's efficiencies.
        let lost = lost_if_short(MjPerDay::new(2.0), 28, Kg::new(0.13 * 70.0));
        assert!((lost - 0.22).abs() < 0.005, "{lost}");
    }

    #[test]
    fn too_fast_a_gain_is_warned_of_and_a_slow_one_is_not() {
        let body = |days| Body {
            score: 2.5,
            target: 3.0,
            weight: Kg::new(70.0),
            litter: Litter::of(2).unwrap(),
            days_to_lambing: days,
        };
        for (days, warned) in [(21, true), (70, false)] {
            let body = body(days);
            let correction = correction(&body);
            let found = outlook(&body, &Costs::USUAL, &correction);
            assert_eq!(!warnings(&body, &found, &correction).is_empty(), warned, "{days} days");
            assert!(found.reached <= body.target + 1e-9);
        }
    }
}
