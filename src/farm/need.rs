//! The need of one ewe from its figures alone, as a teacher or adviser asks for it.

use crate::farm::CAUTION;
use crate::flock::Litter;
use crate::problem::{Problem, Severity};
use crate::quantity::{GramPerDay, Kg, MjPerKgDm};
use crate::requirement::{OutOfRange, STANDARD_IDS, State, WorkingLine, intake, litter_weight, standard};
use serde::Serialize;

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct NeedQuestion {
    /// Live weight without the lambs, kg.
    pub weight_kg: f64,
    /// Lambs carried, 0 to 5.
    pub litter: u8,
    /// Days to lambing; not asked at litter 0.
    pub days_to_lambing: Option<u32>,
    /// The standard's id.
    pub standard: String,
    /// Energy density of the diet, MJ ME a kg DM.
    pub diet_me_mj_per_kg_dm: f64,
    /// Growth wanted, g a day.
    pub growth_g_per_day: f64,
    /// Weight of the litter at birth where the farm knows its own, kg.
    pub litter_weight_kg: Option<f64>,
}

/// The answer, with the inputs assumed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NeedAnswer {
    /// The version of this document's shape.
    pub format: &'static str,
    /// One line of caution.
    pub caution: &'static str,
    /// The standard's id.
    pub standard: String,
    /// The standard in words.
    pub standard_name: String,
    /// What a person choosing the standard should know.
    pub caveat: String,
    /// Metabolisable energy.
    pub me_mj_per_day: f64,
    /// Metabolisable protein.
    pub mp_g_per_day: f64,
    /// Dry matter that she can eat, by the intake model.
    pub intake_kg_dm_per_day: f64,
    /// The inputs, given and assumed.
    pub inputs: NeedInputs,
    /// How it was worked out.
    pub working: Vec<WorkingLine>,
}

/// The inputs of a need.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NeedInputs {
    /// Live weight without the lambs.
    pub weight_kg: f64,
    /// Lambs carried.
    pub litter: u8,
    /// Days to lambing; null for a barren ewe.
    pub days_to_lambing: Option<u32>,
    /// Days from conception to term.
    pub term_days: u32,
    /// Weight of the litter at birth; null for a barren ewe.
    pub litter_weight_kg: Option<f64>,
    /// Energy density of the diet.
    pub diet_me_mj_per_kg_dm: f64,
    /// Growth.
    pub growth_g_per_day: f64,
    /// `housed`.
    pub housing: &'static str,
    /// Condition is not in it.
    pub condition_term_mj_per_day: f64,
    /// The intake model.
    pub intake_model: &'static str,
}

/// Answers the question, or says what is wrong with it.
pub fn need(question: &NeedQuestion) -> Result<NeedAnswer, Box<Problem>> {
    let refuse = |code: &str, input: &str, found: String, message: String, hint: &str| {
        Box::new(Problem {
            found: Some(found),
            column: Some(input.to_owned()),
            ..Problem::new(Severity::Error, code, format!("--{input}"), message, hint)
        })
    };
    let standard = standard(&question.standard).ok_or_else(|| {
        let message = format!("There is no standard '{}' here.", question.standard);
        let hint = format!("Give one of: {}.", STANDARD_IDS.join(", "));
        refuse("standard-unknown", "standard", question.standard.clone(), message, &hint)
    })?;
    let litter = Litter::of(question.litter).ok_or_else(|| {
        let message = format!("{} lambs is more than the tables reach.", question.litter);
        refuse("out-of-range", "litter", question.litter.to_string(), message, "Give 0 to 5.")
    })?;
    let days = match (litter.lambs(), question.days_to_lambing) {
        (0, _) => 0,
        (_, Some(days)) => days,
        (_, None) => {
            let message = "A ewe in lamb needs her days to lambing.".to_owned();
            let hint = "Give --days-to-lambing, 0 to 147.";
            return Err(refuse("missing", "days-to-lambing", String::new(), message, hint));
        }
    };
    let state = State {
        weight: Kg::new(question.weight_kg),
        litter,
        days_to_lambing: days,
        growth: GramPerDay::new(question.growth_g_per_day),
        litter_weight: question.litter_weight_kg.map(Kg::new),
        diet: MjPerKgDm::new(question.diet_me_mj_per_kg_dm),
    };
    let state = state.checked().map_err(|out: OutOfRange| {
        let hint = format!("Give {} to {} {}.", out.least, out.most, out.unit);
        refuse("out-of-range", out.input, out.found.to_string(), format!("{}.", capitalised(&out)), &hint)
    })?;
    let need = standard.need(&state);
    let pregnant = litter.lambs() > 0;
    let litter_weight =
        state.litter_weight.unwrap_or_else(|| litter_weight::litter_weight(state.weight, litter));
    Ok(NeedAnswer {
        format: "evenfold-need-1",
        caution: CAUTION,
        standard: standard.id().to_owned(),
        standard_name: standard.name().to_owned(),
        caveat: standard.caveat().to_owned(),
        me_mj_per_day: need.me.value(),
        mp_g_per_day: need.mp.value(),
        intake_kg_dm_per_day: intake::capacity(state.weight, litter, days).value(),
        inputs: NeedInputs {
            weight_kg: question.weight_kg,
            litter: question.litter,
            days_to_lambing: pregnant.then_some(days),
            term_days: crate::requirement::TERM_DAYS,
            litter_weight_kg: pregnant.then_some(litter_weight.value()),
            diet_me_mj_per_kg_dm: question.diet_me_mj_per_kg_dm,
            growth_g_per_day: question.growth_g_per_day,
            housing: "housed",
            condition_term_mj_per_day: 0.0,
            intake_model: intake::MODEL,
        },
        working: standard.explain(&state),
    })
}

fn capitalised(out: &OutOfRange) -> String {
    crate::sort::reason::capital(&out.to_string())
}
