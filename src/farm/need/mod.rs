//! The need of one ewe from its figures alone, as a teacher or adviser asks for it.
//!
//! | file | what |
//! |---|---|
//! | [`question`], [`answer`] | what may be asked, and what is answered |
//! | [`body`] | what her condition asks |
//! | [`table`] | intakes by several sources; every standard side by side; sensitivity |
//! | [`curves`] | need by day, to draw |

mod answer;
mod body;
mod curves;
mod question;
mod table;

pub use crate::requirement::Housing;
pub use crate::requirement::intake_sources::Forage;
pub use answer::{
    Compared, ConditionAnswer, DueAnswer, IntakeLine, Moved, NeedAnswer, NeedInputs, OwnUnitsAnswer,
    TargetLine,
};
pub use curves::{CurveLine, CurvePoint, NeedCurves, curves};
pub use question::{ConditionQuestion, DueQuestion, NeedQuestion, WeightTaken};

use crate::farm::CAUTION;
use crate::flock::{AgeClass, Litter};
use crate::problem::{Problem, Severity};
use crate::quantity::{GramPerDay, Kg, MjPerKgDm};
use crate::requirement::gestation::{self, BREED_CLASSES, Conceived};
use crate::requirement::score::NINE_IN_TEN;
use crate::requirement::{
    Need, OutOfRange, STANDARD_IDS, Standard, State, TERM_DAYS, conceptus, intake, standard, usual_years,
};
use serde::Serialize;

/// Ages that a scanner can put, days: White, Russel and Fowler 1984 count lambs from 50 to 100; somewhat wider.
const AGED: std::ops::RangeInclusive<u32> = 25..=120;

/// The answer with its curves, or what is wrong with the question, as the page takes it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum NeedReply {
    /// Answered.
    Answered {
        /// The figures.
        answer: Box<NeedAnswer>,
        /// What to draw.
        curves: NeedCurves,
    },
    /// Something in the question cannot be.
    Refused {
        /// What, and what to do.
        problem: Problem,
    },
}

/// Answers with curves.
pub fn reply(question: &NeedQuestion) -> NeedReply {
    match need(question).and_then(|answer| Ok((answer, curves(question)?))) {
        Ok((answer, curves)) => NeedReply::Answered { answer: Box::new(answer), curves },
        Err(problem) => NeedReply::Refused { problem: *problem },
    }
}

/// The question, checked: what the equations take.
struct Asked {
    standard: &'static dyn Standard,
    state: State,
    conceptus: Option<Kg>,
    due: Option<DueAnswer>,
}

/// Answers the question, or says what is wrong with it.
pub fn need(question: &NeedQuestion) -> Result<NeedAnswer, Box<Problem>> {
    let Asked { standard, state, conceptus, due } = asked(question)?;
    let Need { me, mp, own } = standard.need(&state);
    let condition = match &question.condition {
        Some(asked) => Some(body::condition(question, asked, standard, &state)?),
        None => None,
    };
    let overdue = match (&due, &question.due) {
        (Some(due), Some(asked)) => due.day < asked.on,
        _ => false,
    };
    let term = condition.as_ref().map_or(0.0, |condition| condition.term_mj_per_day);
    let pregnant = state.litter.lambs() > 0;
    let days = state.days_to_lambing;
    let sensitivity = question.sensitivity.then(|| {
        let mut rows = table::sensitivity(standard, &state, term);
        if let Some(asked) = &question.condition {
            let term = |asked: &ConditionQuestion| {
                body::condition(question, asked, standard, &state).ok().map(|found| found.term_mj_per_day)
            };
            rows.extend(table::condition_costs(asked, me.value() + term(asked).unwrap_or_default(), term));
        }
        rows
    });
    let mut working = standard.explain(&state);
    if let Some(condition) = &condition {
        working.splice(0..0, condition.working.iter().cloned());
    }
    Ok(NeedAnswer {
        format: "evenfold-need-1",
        caution: CAUTION,
        standard: standard.id().to_owned(),
        standard_name: standard.name().to_owned(),
        caveat: standard.caveat().to_owned(),
        me_mj_per_day: me.value() + term,
        mp_g_per_day: mp.value(),
        protein_standard: if standard.protein_is_its_own() { standard.id() } else { STANDARD_IDS[0] },
        own_units: own.map(table::own_units),
        intake_kg_dm_per_day: intake::capacity(state.weight, state.litter, days).value(),
        inputs: NeedInputs {
            weight_kg: state.weight.value(),
            conceptus_kg: conceptus.map(Kg::value),
            litter: question.litter,
            days_to_lambing: pregnant.then_some(days),
            term_days: TERM_DAYS,
            litter_weight_kg: pregnant.then_some(state.birth_weight().value()),
            diet_me_mj_per_kg_dm: question.diet_me_mj_per_kg_dm,
            growth_g_per_day: question.growth_g_per_day,
            housing: state.housing.id(),
            age_years: state.age_years,
            wool_g_per_day: question.wool_g_per_day,
            condition_term_mj_per_day: term,
            intake_model: intake::MODEL,
        },
        condition,
        due,
        notes: notes(question, conceptus, overdue),
        intake_sources: table::intakes(&state, question.forage),
        compare: question.compare.then(|| table::compare(&state)),
        sensitivity,
        working,
    })
}

pub(in crate::farm) fn refuse(
    code: &str,
    input: &str,
    found: String,
    message: String,
    hint: &str,
) -> Box<Problem> {
    Box::new(Problem {
        found: Some(found),
        column: Some(input.to_owned()),
        ..Problem::new(Severity::Error, code, format!("--{input}"), message, hint)
    })
}

pub(super) fn out_of_range(out: &OutOfRange) -> Box<Problem> {
    let hint = format!("Give {} to {} {}.", out.least, out.most, out.unit);
    let message = format!("{}.", crate::sort::reason::capital(&out.to_string()));
    refuse("out-of-range", out.input, out.found.to_string(), message, &hint)
}

fn asked(question: &NeedQuestion) -> Result<Asked, Box<Problem>> {
    let standard = standard(&question.standard).ok_or_else(|| {
        let message = format!("There is no standard '{}' here.", question.standard);
        let hint = format!("Give one of: {}.", STANDARD_IDS.join(", "));
        refuse("standard-unknown", "standard", question.standard.clone(), message, &hint)
    })?;
    let litter = Litter::of(question.litter).ok_or_else(|| {
        let message = format!("{} lambs is more than the tables reach.", question.litter);
        refuse("out-of-range", "litter", question.litter.to_string(), message, "Give 0 to 5.")
    })?;
    let due = question.due.as_ref().map(|due| day_due(due, litter)).transpose()?;
    let reckoned = due.as_ref().zip(question.due.as_ref()).map(|(due, asked)| due.day.since(asked.on));
    let days = match (litter.lambs(), question.days_to_lambing, reckoned) {
        (0, ..) => 0,
        (_, Some(days), _) => days,
        // A ewe past her day is fed as on her last.
        (_, None, Some(days)) => days.max(0).unsigned_abs(),
        (_, None, None) => {
            let message = "A ewe in lamb needs her days to lambing.".to_owned();
            let hint = "Give --days-to-lambing, 0 to 147.";
            return Err(refuse("missing", "days-to-lambing", String::new(), message, hint));
        }
    };
    let mut state = State {
        growth: GramPerDay::new(question.growth_g_per_day),
        litter_weight: question.litter_weight_kg.map(Kg::new),
        housing: question.housing,
        wool: question.wool_g_per_day.map(GramPerDay::new),
        age_years: question.age_years.unwrap_or_else(|| usual_years(question.age)),
        ..State::housed(
            Kg::new(question.weight_kg),
            litter,
            days,
            MjPerKgDm::new(question.diet_me_mj_per_kg_dm),
        )
    };
    state = state.checked().map_err(|out| out_of_range(&out))?;
    let mut conceptus = None;
    if question.weight_taken == WeightTaken::With && litter.lambs() > 0 {
        let with = state.weight;
        state.weight = conceptus::weight_without(with, litter, state.litter_weight, days);
        conceptus = Some(with - state.weight);
        state = state.checked().map_err(|out| out_of_range(&out))?;
    }
    if let Some(kg) = question.mature_weight_kg {
        let [least, most] = State::WEIGHT_KG;
        if !(least..=most).contains(&kg) {
            let out = OutOfRange { input: "mature-weight", found: kg, least, most, unit: Kg::UNIT };
            return Err(out_of_range(&out));
        }
    }
    Ok(Asked { standard, state, conceptus, due })
}

fn day_due(asked: &DueQuestion, litter: Litter) -> Result<DueAnswer, Box<Problem>> {
    let class = gestation::breed_class(&asked.breed).ok_or_else(|| {
        let message = format!("There is no breed class '{}' here.", asked.breed);
        let ids: Vec<&str> = BREED_CLASSES.iter().map(|class| class.id).collect();
        refuse(
            "breed-unknown",
            "breed",
            asked.breed.clone(),
            message,
            &format!("Give one of: {}.", ids.join(", ")),
        )
    })?;
    let conceived = match (asked.scanned_age_days, asked.until) {
        (Some(age), _) if !AGED.contains(&age) => {
            let [least, most] = [*AGED.start(), *AGED.end()].map(f64::from);
            let found = f64::from(age);
            return Err(out_of_range(&OutOfRange { input: "scanned-age", found, least, most, unit: "days" }));
        }
        (None, Some(until)) if until < asked.since => {
            let message = format!("{} is before {}.", until.in_words(), asked.since.in_words());
            let hint = "Give the last day of service, on or after the first.";
            return Err(refuse("out-of-range", "service-until", until.to_string(), message, hint));
        }
        (Some(age), _) => Conceived::Scanned { on: asked.since, age },
        (None, Some(until)) => Conceived::Between(asked.since, until),
        (None, None) => Conceived::On(asked.since),
    };
    let due = gestation::due(conceived, class, litter);
    let edge = libm::round(NINE_IN_TEN * due.sd) as i32;
    let edges = [due.day.plus(-edge), due.day.plus(edge)];
    let length = gestation::length(class, litter);
    let words = format!(
        "Due {}, nine times in ten between {} and {}: {} carrying {} go {:.1} days ({}).",
        due.day.in_words(),
        edges[0].short(),
        edges[1].short(),
        if class.id == "usual" { "ewes" } else { class.name },
        litter.in_words(),
        length.days,
        class.source
    );
    Ok(DueAnswer { day: due.day, sd_days: due.sd, edges, words })
}

fn notes(question: &NeedQuestion, conceptus: Option<Kg>, overdue: bool) -> Vec<String> {
    let mut notes = Vec::new();
    if overdue {
        notes.push("Past the day she is due: fed as on her last day. Check her date.".to_owned());
    }
    if let Some(kg) = conceptus {
        notes.push(format!(
            "{kg} of womb and lambs were taken off the weight given, by a curve from memory (CSIRO 2007)."
        ));
    }
    if question.housing != Housing::Housed {
        notes.push(
            "Outdoors: activity is added, and nothing for cold, wind, wet or what grazing takes beyond that."
                .to_owned(),
        );
    }
    if question.shorn {
        notes.push(
            "Shorn: no equation here uses it. A ewe newly shorn in a cold, draughty shed needs more than this."
                .to_owned(),
        );
    }
    if question.age == AgeClass::EweLamb && question.growth_g_per_day <= 0.0 {
        notes.push(
            "A ewe lamb still grows: the sort gives her 50 g a day (Keady, Teagasc); here growth is 0 until \
             given."
                .to_owned(),
        );
    }
    if question.mature_weight_kg.is_some() && question.condition.is_none() {
        notes.push("Mature weight is used for condition alone, and no condition was given.".to_owned());
    }
    notes
}
