//! Need by day over the last ten weeks, with what she can eat, to draw. Figures and words are ready.

use super::question::{ConditionQuestion, NeedQuestion};
use super::need;
use crate::farm::CAUTION;
use crate::flock::Litter;
use crate::problem::Problem;
use crate::quantity::Kg;
use serde::Serialize;

/// Days before lambing at which the curves begin.
const FROM_DAYS: u32 = 70;
/// Litters drawn.
const LITTERS: [u8; 3] = [1, 2, 3];
/// Condition drawn, below target.
const BELOW_TARGET: [f64; 3] = [0.0, 0.5, 1.0];

/// Curves to draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct NeedCurves {
    /// "What a 70.0 kg ewe needs as lambing nears".
    pub title: String,
    /// Title of the axis of days.
    pub days_title: String,
    /// Title of the axis of energy.
    pub energy_title: String,
    /// The unit of energy.
    pub unit: String,
    /// What the line of intake means.
    pub can_eat_title: String,
    /// What to bear in mind.
    pub caution: String,
    /// One line a litter and condition.
    pub lines: Vec<CurveLine>,
}

/// A line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CurveLine {
    /// "twins, condition 2.5".
    pub name: String,
    /// Lambs.
    pub litter: u8,
    /// Condition on the first day drawn.
    pub condition: f64,
    /// Points, from the first day drawn to lambing.
    pub points: Vec<CurvePoint>,
    /// Days before lambing from which she cannot eat what she needs at this diet; null where she can.
    pub short_from_days: Option<u32>,
    /// The same in words.
    pub words: String,
}

/// A point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CurvePoint {
    /// Days to lambing.
    pub days_to_lambing: u32,
    /// Energy needed, condition included.
    pub needs_mj: f64,
    /// Energy in what she can eat of this diet.
    pub can_eat_mj: f64,
    /// Dry matter that she can eat.
    pub can_eat_kg_dm: f64,
}

/// The curves of a ewe like the one asked about, or what is wrong with the question. The condition term is
/// fixed on the first day drawn, as in the sort: a gap is not asked for faster every day.
pub fn curves(question: &NeedQuestion) -> Result<NeedCurves, Box<Problem>> {
    let asked = question.condition.clone().unwrap_or_else(|| ConditionQuestion::new(3.0));
    let here = need(question)?;
    let diet = question.diet_me_mj_per_kg_dm;
    let weight_kg = here.inputs.weight_kg;
    let mut lines = Vec::new();
    for litter in LITTERS {
        for below in BELOW_TARGET {
            let line = NeedQuestion {
                weight_kg,
                litter,
                weight_taken: super::WeightTaken::Without,
                litter_weight_kg: question.litter_weight_kg.filter(|_| litter == question.litter),
                due: None,
                condition: None,
                compare: false,
                sensitivity: false,
                ..question.clone()
            };
            lines.push(curve(&line, &asked, below, diet)?);
        }
    }
    Ok(NeedCurves {
        title: format!("What a {} ewe needs as lambing nears", Kg::new(weight_kg)),
        days_title: "Days to lambing".to_owned(),
        energy_title: "Energy a day".to_owned(),
        unit: "MJ ME".to_owned(),
        can_eat_title: format!("What she can eat, at {diet} MJ a kg DM"),
        caution: format!("{} {CAUTION}", here.caveat),
        lines,
    })
}

fn curve(
    question: &NeedQuestion,
    asked: &ConditionQuestion,
    below: f64,
    diet: f64,
) -> Result<CurveLine, Box<Problem>> {
    let at = |days: u32, score: Option<f64>| {
        need(&NeedQuestion {
            days_to_lambing: Some(days),
            condition: score.map(|score| ConditionQuestion {
                score,
                second_score: None,
                class_mean: None,
                ..asked.clone()
            }),
            ..question.clone()
        })
    };
    let target = at(FROM_DAYS, Some(3.0))?.condition.map_or(3.0, |condition| condition.target);
    // Whole quarters, as a person would score her.
    let condition = (libm::round((target - below) * 4.0) / 4.0).clamp(1.0, 5.0);
    let first = at(FROM_DAYS, Some(condition))?;
    // Curves start at or below target, so that what condition adds never falls away late on.
    let term = first.inputs.condition_term_mj_per_day.max(0.0);
    let litter = Litter::of(question.litter).map_or("lambs", Litter::in_words);
    let mut points = Vec::new();
    for days in (0..=FROM_DAYS).rev() {
        let answer = at(days, None)?;
        let kg = answer.intake_kg_dm_per_day;
        points.push(CurvePoint {
            days_to_lambing: days,
            needs_mj: answer.me_mj_per_day + term,
            can_eat_mj: kg * diet,
            can_eat_kg_dm: kg,
        });
    }
    let short_from_days = points
        .iter()
        .rev()
        .take_while(|point| point.needs_mj > point.can_eat_mj)
        .last()
        .map(|point| point.days_to_lambing);
    let name = format!("{litter}, condition {condition:.2}");
    let words = match short_from_days {
        Some(days) => format!(
            "{name}: from {days} days before lambing she cannot eat what she needs at {diet} MJ a kg DM; feed \
             a richer ration, or expect her to lose condition."
        ),
        None => format!("{name}: she can eat what she needs at {diet} MJ a kg DM up to lambing."),
    };
    Ok(CurveLine { name, litter: question.litter, condition, points, short_from_days, words })
}
