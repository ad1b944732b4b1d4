//! What a ewe's condition asks: the score as a measurement, the target, the energy and the words.

use super::answer::{ConditionAnswer, TargetLine};
use super::question::{ConditionQuestion, NeedQuestion};
use super::{out_of_range, refuse};
use crate::flock::Score;
use crate::problem::Problem;
use crate::quantity::{Kg, MjPerDay};
use crate::requirement::condition::{self, Body, Costs, Kind, correction_at};
use crate::requirement::score::{Belief, Step};
use crate::requirement::target::{self, TARGETS};
use crate::requirement::{OutOfRange, Standard, State, outlook};

/// What her condition asks, or what is wrong with the figures given.
pub(super) fn condition(
    question: &NeedQuestion,
    asked: &ConditionQuestion,
    standard: &dyn Standard,
    state: &State,
) -> Result<ConditionAnswer, Box<Problem>> {
    let belief = belief(asked)?;
    let costs = costs(question, asked)?;
    let (target, target_by) = target_of(asked, state)?;
    let body = |score: f64| Body {
        score,
        target,
        weight: state.weight,
        litter: state.litter,
        days_to_lambing: state.days_to_lambing,
    };
    let here = body(belief.mean);
    // A barren ewe has no lambing to reach her target by.
    let barren = state.litter.lambs() == 0;
    let term_at = |score: f64| {
        if barren { 0.0 } else { correction_at(&body(score), &costs).on(state.days_to_lambing).value() }
    };
    let correction = correction_at(&here, &costs);
    let found = outlook::outlook(&here, &costs, &correction);
    let without = standard.need(state).me.value();
    let score_edges = belief.edges();
    let term = term_at(belief.mean);
    // The term steps where easing begins, so the middle may lie outside what the edges give.
    let terms = score_edges.map(term_at);
    let [least, most] = [terms[0].min(terms[1]).min(term), terms[0].max(terms[1]).max(term)];
    let words = if barren {
        "Barren: fed to hold her condition; no lambing to reach a target by.".to_owned()
    } else {
        words(&here, &found, term, correction.kind, correction.in_words())
    };
    let warnings = if barren { Vec::new() } else { outlook::warnings(&here, &found, &correction) };
    let working = if barren {
        Vec::new()
    } else {
        condition::working(0, MjPerDay::new(without), &here, &costs, &correction).to_vec()
    };
    Ok(ConditionAnswer {
        score: belief.mean,
        score_sd: belief.sd,
        score_edges,
        target,
        target_by,
        kg_per_score: found.kg_per_score.value(),
        to_gain_kg: if barren { 0.0 } else { found.to_gain.value() },
        to_gain_g_per_day: if barren { 0.0 } else { found.a_day.value() },
        term_mj_per_day: term,
        without_mj_per_day: without,
        need_edges_mj_per_day: [without + least, without + most],
        words,
        warnings,
        other_targets: other_targets(asked, state),
        working,
    })
}

fn words(body: &Body, found: &outlook::Outlook, term: f64, kind: Kind, why: &str) -> String {
    let mut words = format!("Condition {:.2} against {:.2} at lambing, ", body.score, body.target);
    words.push_str(why);
    if matches!(kind, Kind::Gain | Kind::TooLate) {
        words.push_str(&format!(
            ". To gain: {} in all, {:.0} g a day; {term:+.1} MJ a day",
            found.to_gain,
            found.a_day.value()
        ));
        if found.uncapped.value() > term + 0.05 {
            words.push_str(&format!(
                " (the whole would take {:.1}, more than is safe)",
                found.uncapped.value()
            ));
        }
    } else if kind == Kind::Ease {
        words.push_str(&format!(". {term:+.1} MJ a day"));
    }
    words.push('.');
    words
}

/// What is believed of her score: one person's or two people's, drawn to her class's mean where it is known.
fn belief(asked: &ConditionQuestion) -> Result<Belief, Box<Problem>> {
    let scored = |input: &'static str, units: f64| {
        Score::of(units).ok_or_else(|| {
            let message = format!("{units} is not a condition score.");
            refuse("out-of-range", input, units.to_string(), message, "Give 1 to 5 in quarters.")
        })
    };
    let first = scored("condition", asked.score)?;
    let step = Step::shown_by(first);
    let mut belief = match asked.class_mean {
        None => Belief { mean: first.units(), sd: step.error() },
        Some(mean) if (1.0..=5.0).contains(&mean) => Belief::of_class(mean).after(first.units(), step),
        Some(found) => {
            let out =
                OutOfRange { input: "class-condition", found, least: 1.0, most: 5.0, unit: "of condition" };
            return Err(out_of_range(&out));
        }
    };
    if let Some(second) = asked.second_score {
        let second = scored("second-condition", second)?;
        belief = belief.after(second.units(), Step::shown_by(second));
    }
    Ok(belief)
}

fn costs(question: &NeedQuestion, asked: &ConditionQuestion) -> Result<Costs, Box<Problem>> {
    for (input, found, [least, most], unit) in [
        ("kg-per-score", asked.kg_per_score_share, Costs::KG_PER_SCORE_RANGE, "of the weight at score 3"),
        ("mj-per-kg", asked.mj_per_kg_gained, Costs::MJ_PER_KG_RANGE, "MJ a kg"),
    ] {
        if !(least..=most).contains(&found) {
            return Err(out_of_range(&OutOfRange { input, found, least, most, unit }));
        }
    }
    Ok(Costs {
        kg_per_score: asked.kg_per_score_share,
        mj_per_kg_gained: asked.mj_per_kg_gained,
        mature_weight: question.mature_weight_kg.map(Kg::new),
    })
}

fn target_of(asked: &ConditionQuestion, state: &State) -> Result<(f64, String), Box<Problem>> {
    if let Some(own) = asked.target {
        if !(1.0..=5.0).contains(&own) {
            let out = OutOfRange { input: "target", found: own, least: 1.0, most: 5.0, unit: "of condition" };
            return Err(out_of_range(&out));
        }
        return Ok((own, "your own".to_owned()));
    }
    target::at_lambing(&asked.target_by, asked.system as usize, state.litter.lambs())
        .map(|(row, score)| (score, format!("{}, {}", row.body, row.class)))
        .ok_or_else(|| {
            let message = format!("'{}' gives no target at lambing for such a ewe.", asked.target_by);
            let hint = format!("Give one of: {}; or a target of your own.", target::bodies().join(", "));
            refuse("target-unknown", "target-by", asked.target_by.clone(), message, &hint)
        })
}

fn other_targets(asked: &ConditionQuestion, state: &State) -> Vec<TargetLine> {
    TARGETS
        .iter()
        .filter(|row| target::speaks_of(row, asked.system as usize, state.litter.lambs()))
        .filter_map(|row| {
            Some(TargetLine {
                body: row.body.to_owned(),
                class: row.class.to_owned(),
                at_lambing: row.lambing?,
            })
        })
        .collect()
}
