//! Target condition, and what closing the gap to it takes.
//!
//! A ewe below target gets energy to gain it back by lambing. A single-bearing ewe well above it may lose
//! half a score before the last six weeks. Nobody else is ever cut: a fat ewe with two or more lambs is
//! watched, because cutting her invites pregnancy toxaemia.

use crate::flock::Litter;
use crate::quantity::{Kg, MjPerDay};
use crate::requirement::WorkingLine;

/// kg of live weight for a whole score, as a share of the weight at score 3: 0.13; published 0.10 to 0.19
/// (Zygoyiannis et al. 1997, van Burgel et al. 2011, Teagasc, FAS Scotland 2024).
pub const KG_PER_SCORE: f64 = 0.13;
/// ME to gain a kg, MJ: 23.85 net (AFRC 1993, from memory) over k_f 0.462 at 11 MJ a kg DM. Published
/// costs of a score differ two-fold: 346 (INRA) to 700 MJ (British guides) for a 70 kg ewe.
pub const MJ_PER_KG_GAINED: f64 = 51.6;
/// ME that a kg lost spares, MJ: 23.85 · 0.84 / k_m (AFRC 1993, from memory).
pub const MJ_PER_KG_LOST: f64 = 28.0;
/// A gain is spread over at least these days: half a score in six weeks is the best case (IDELE 2017;
/// AHDB: the last six weeks are too late to rebuild).
pub const DAYS_TO_GAIN: f64 = 42.0;
/// A loss is spread over at least these days: half a score over the middle two months, gradually (EBLEX 2014,
/// ADAS 1995).
pub const DAYS_TO_LOSE: f64 = 60.0;
/// No more than this for condition, MJ a day: about half a score in six weeks (common practice, no source).
pub const MOST_MJ: f64 = 5.0;
/// A single-bearing ewe may lose this much in mid-pregnancy (EBLEX 2014, ADAS 1995).
pub const MOST_LOSS: f64 = 0.5;
/// From this score a ewe with two or more lambs is watched (SAC TN658, 2013).
pub const WATCH_FROM: f64 = 4.0;

/// Target condition at lambing for lowland, upland and hill ewes (FAS Scotland 2024: 3.0, 2.5, 2.0).
pub const TARGET_AT_LAMBING: [f64; 3] = [3.0, 2.5, 2.0];

/// What condition adds to or takes from a ewe's need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// A day, over the whole period; for a ewe below target.
    pub gain: MjPerDay,
    /// A day, on days more than six weeks before lambing; 0 or less; for a fat single-bearing ewe.
    pub ease: MjPerDay,
    /// Why.
    pub kind: Kind,
}

/// What is done about a ewe's condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// At target, or not far above.
    None,
    /// Below target, with time to gain it.
    Gain,
    /// Below target inside the last six weeks: extra feed is priority, not repair.
    TooLate,
    /// Above target with one lamb and time to lose a little.
    Ease,
    /// At 4 or more with two or more lambs: watched, never cut.
    Watch,
}

/// Inputs of [`correction`].
#[derive(Debug, Clone, Copy)]
pub struct Body {
    /// Condition score, which may be a class's mean.
    pub score: f64,
    /// Target at lambing.
    pub target: f64,
    /// Live weight without the lambs, at that score.
    pub weight: Kg,
    /// Lambs carried.
    pub litter: Litter,
    /// Days to lambing on the day of planning.
    pub days_to_lambing: u32,
}

/// The target at lambing. No body met gives shearlings or ewe lambs a table of their own: adult targets
/// serve all ages (grouping of sources: FAS Scotland 2024, Teagasc, Farming Connect 2016).
pub fn target(system_index: usize) -> f64 {
    TARGET_AT_LAMBING[system_index.min(2)]
}

/// What condition costs: the published figures differ two-fold, so a farm may set its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// kg of live weight for a whole score, as a share of the weight at score 3.
    pub kg_per_score: f64,
    /// ME to gain a kg, MJ.
    pub mj_per_kg_gained: f64,
    /// Weight at score 3 where it is known; otherwise reckoned from live weight and score.
    pub mature_weight: Option<Kg>,
}

impl Costs {
    /// As the sort takes them (each constant's own source; AFRC 1993 for the energy).
    pub const USUAL: Self =
        Self { kg_per_score: KG_PER_SCORE, mj_per_kg_gained: MJ_PER_KG_GAINED, mature_weight: None };
    /// Least and greatest published share for a score: FAS Scotland 2024 and van Burgel et al. 2011.
    pub const KG_PER_SCORE_RANGE: [f64; 2] = [0.10, 0.19];
    /// Least and greatest published MJ a kg gained: INRA's 346 MJ a score of a 70 kg ewe, and the British
    /// guides' 700 (Lovatt 2019, year from memory).
    pub const MJ_PER_KG_RANGE: [f64; 2] = [38.0, 100.0];
}

/// kg of live weight for a whole score of this ewe.
pub fn kg_per_score(body: &Body, costs: &Costs) -> Kg {
    let at_score_three = costs
        .mature_weight
        .map_or_else(|| body.weight.value() / (1.0 + costs.kg_per_score * (body.score - 3.0)), Kg::value);
    Kg::new(costs.kg_per_score * at_score_three)
}

/// What condition adds or takes. The rate is fixed on the day of planning and kept, so that a ewe is not
/// asked to gain the same gap faster every day.
pub fn correction(body: &Body) -> Correction {
    correction_at(body, &Costs::USUAL)
}

/// The same at a farm's own costs.
pub fn correction_at(body: &Body, costs: &Costs) -> Correction {
    let days = f64::from(body.days_to_lambing);
    let none = Correction { gain: MjPerDay::new(0.0), ease: MjPerDay::new(0.0), kind: Kind::None };
    let gap = body.target - body.score;
    let kg = kg_per_score(body, costs).value();
    if body.litter.lambs() >= 2 && body.score >= WATCH_FROM {
        return Correction { kind: Kind::Watch, ..none };
    }
    if gap > 0.0 {
        let mj = (gap * kg * costs.mj_per_kg_gained / days.max(DAYS_TO_GAIN)).min(MOST_MJ);
        let kind = if days > DAYS_TO_GAIN { Kind::Gain } else { Kind::TooLate };
        return Correction { gain: MjPerDay::new(mj), kind, ..none };
    }
    if body.litter.lambs() == 1 && -gap >= MOST_LOSS && days > DAYS_TO_GAIN {
        let mj = MOST_LOSS * kg * MJ_PER_KG_LOST / (days - DAYS_TO_GAIN).max(DAYS_TO_LOSE);
        return Correction { ease: MjPerDay::new(-mj), kind: Kind::Ease, ..none };
    }
    none
}

impl Correction {
    /// What it comes to on a day that lies `days_to_lambing` before lambing.
    pub fn on(&self, days_to_lambing: u32) -> MjPerDay {
        if f64::from(days_to_lambing) > DAYS_TO_GAIN { self.gain + self.ease } else { self.gain }
    }

    /// In words, for whoever opens the ewe.
    pub fn in_words(&self) -> &'static str {
        match self.kind {
            Kind::None => "at target: nothing added",
            Kind::Gain => "below target: energy to gain it by lambing",
            Kind::TooLate => {
                "below target inside the last six weeks: condition will not be rebuilt now; the extra feed \
                 is priority, not repair"
            }
            Kind::Ease => {
                "above target with one lamb: may lose half a score, slowly, before the last six weeks; not \
                 after"
            }
            Kind::Watch => "fat and carrying two or more: watch her, never cut her feed",
        }
    }
}

/// The working of what a ewe needs with her condition: the sum, and what it is made of for condition. The
/// standard's own lines follow it.
pub fn working(
    depth: u8,
    by_standard: MjPerDay,
    body: &Body,
    costs: &Costs,
    correction: &Correction,
) -> [WorkingLine; 2] {
    let term = correction.on(body.days_to_lambing);
    let sign = if term.value() < 0.0 { '−' } else { '+' };
    let size = term.value().abs();
    let kg = kg_per_score(body, costs).value();
    let days = body.days_to_lambing;
    let (formula, values) = match correction.kind {
        Kind::Gain | Kind::TooLate => (
            format!(
                "gap · kg a score · MJ a kg / days, at least {DAYS_TO_GAIN:.0}; {MOST_MJ:.0} MJ a day at most"
            ),
            format!(
                "({:.2} − {:.2}) · {kg:.1} · {} / {:.0}",
                body.target,
                body.score,
                costs.mj_per_kg_gained,
                f64::from(days).max(DAYS_TO_GAIN)
            ),
        ),
        Kind::Ease => (
            format!(
                "{MOST_LOSS} · kg a score · {MJ_PER_KG_LOST:.0} / days until six weeks before lambing, at least \
                 {DAYS_TO_LOSE:.0}"
            ),
            format!(
                "{MOST_LOSS} · {kg:.1} · {MJ_PER_KG_LOST:.0} / {:.0}",
                (f64::from(days) - DAYS_TO_GAIN).max(DAYS_TO_LOSE)
            ),
        ),
        Kind::None | Kind::Watch => (String::new(), correction.in_words().to_owned()),
    };
    [
        WorkingLine::new(
            depth,
            "Energy that she needs",
            "by the standard, and for condition",
            format!("{:.2} {sign} {size:.2}", by_standard.value()),
            format!("{:.2} MJ ME a day", (by_standard + term).value()),
            "the standard below; condition by the line that follows",
        ),
        WorkingLine::new(
            depth + 1,
            "For condition",
            &formula,
            values,
            format!("{}{size:.2} MJ ME a day", if term.value() < 0.0 { "−" } else { "" }),
            "kg a score: 0.13 of the weight at score 3 unless set (published 0.10 to 0.19); MJ a kg: AFRC 1993, from \
             memory, unless set; published costs of a score differ two-fold",
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(score: f64, lambs: u8, days: u32) -> Body {
        Body {
            score,
            target: 3.0,
            weight: Kg::new(70.0 * (1.0 + KG_PER_SCORE * (score - 3.0))),
            litter: Litter::of(lambs).unwrap(),
            days_to_lambing: days,
        }
    }

    #[test]
    fn half_a_score_in_six_weeks_costs_the_published_5_6_mj_before_the_cap() {
        // requirements by AFRC/CSIRO efficiency: 5.6 MJ a day for a 70 kg ewe, capped here at 5.
        let uncapped = 0.5 * kg_per_score(&body(2.5, 2, 42), &Costs::USUAL).value() * MJ_PER_KG_GAINED / 42.0;
        assert!((uncapped - 5.6).abs() < 0.05, "{uncapped}");
        assert_eq!(correction(&body(2.5, 2, 42)).gain, MjPerDay::new(5.0));
        assert_eq!(correction(&body(2.5, 2, 84)).kind, Kind::Gain);
        assert_eq!(correction(&body(2.5, 2, 20)).kind, Kind::TooLate);
    }

    #[test]
    fn only_a_fat_single_bearing_ewe_is_ever_eased_and_never_late() {
        for lambs in 1..=5 {
            for quarters in 4..=20 {
                for days in 0..=147 {
                    let score = f64::from(quarters) / 4.0;
                    let found = correction(&body(score, lambs, days));
                    if found.ease.value() < 0.0 {
                        assert!(lambs == 1 && score >= 3.5 && days > 42);
                    }
                    assert_eq!(found.on(42).value().min(0.0), 0.0, "no cut in the last six weeks");
                    assert!(found.gain.value() <= MOST_MJ);
                }
            }
        }
    }

    #[test]
    fn a_fat_ewe_with_twins_is_watched() {
        assert_eq!(correction(&body(4.0, 2, 80)).kind, Kind::Watch);
        assert_eq!(correction(&body(4.0, 1, 80)).kind, Kind::Ease);
    }
}
