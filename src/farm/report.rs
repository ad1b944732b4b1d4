//! Filling the JSON document, and the notes that go with a sort.

use crate::day::Day;
use crate::farm::document::{
    DayValue, EweEntry, FORMAT, KeptEntry, Level, Need, PenEntry, SetApart, SortDocument, TermEntry, Weights,
};
use crate::farm::settings::Settings;
use crate::farm::{CAUTION, Farm};
use crate::flock::AgeClass;
use crate::problem::{Problem, Severity};
use crate::requirement::{Afrc1993, Standard, intake};
use crate::solve::search::Proof;
use crate::sort::measure::{Measure, Terms};
use crate::sort::reason::{given_reason, reason};
use crate::sort::shortfall::count_words;
use crate::sort::{Plan, space};
use serde::Serialize;

/// Over this many head a pen is warned about: 40 or fewer (EBLEX, Kelly 2006); under 50 (Defra PB5162).
pub(super) const MANY_HEAD: usize = 40;
/// Mixing inside this many days of lambing is warned about (common practice, no source).
const LATE_DAYS: i32 = 21;

/// A value as JSON, indented.
pub(super) fn to_json<T: Serialize>(value: &T) -> String {
    // Plain structs of strings and finite numbers cannot fail to serialise; a fault is still put in words.
    serde_json::to_string_pretty(value).unwrap_or_else(|fault| format!("{{\"fault\": \"{fault}\"}}"))
}

/// The distance of the sort from its bound, in percent; nothing where only the bound is 0.
pub(super) fn gap_percent(loss: f64, bound: f64) -> Option<f64> {
    if bound > 0.0 {
        Some(100.0 * (loss - bound) / bound)
    } else if loss <= 0.0 {
        Some(0.0)
    } else {
        None
    }
}

/// How the bound came about and how to read it.
pub(super) fn bound_note(proof: Proof) -> &'static str {
    match proof {
        Proof::Split => {
            "One day and equal room for every ewe of a kind: some best sort is in order of need, so the \
             split of that order was solved exactly. There is no better sort."
        }
        Proof::Exhausted => "Every sort was tried or ruled out. There is no better one within these limits.",
        Proof::Bound => {
            "The bound supposes that the ewes' sizes could be dealt anew and that the days of a range could \
             be evened out, so no sort can be better than it, and the best sort is usually worse. The true \
             distance from the best possible is smaller than the figure. Ewes kept by hand count against it."
        }
        Proof::Priced => {
            "Every ewe was given a price, and for each pen the cheapest filling at those prices was found over \
             all rations and all fillings within its room; no sort can be better than what that comes to. It \
             supposes that ewes could be taken in part and that days could be evened out in two ranges, so the \
             true distance from the best possible is smaller than the figure. Ewes kept by hand count against it."
        }
    }
}

/// The objective and its bound, both summed ewe by ewe.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figures {
    pub(super) objective: f64,
    pub(super) bound: f64,
}

/// The objective and its bound.
pub(super) fn document_figures(farm: &Farm) -> Figures {
    let objective = farm.measure.objective;
    // The solver sums pen by pen, the document ewe by ewe; the bound must not end above by a rounding.
    let bound = match (&farm.given, farm.solution.proof) {
        // Moves by hand do not make the sort's own bound move with them.
        _ if farm.hand.is_some() => farm.solution.bound.min(objective),
        // With limits broken less may be lost than any sort can.
        (Some(given), _) if !given.broken.is_empty() => farm.solution.bound,
        (None, Proof::Split | Proof::Exhausted) => objective,
        _ => farm.solution.bound.min(objective),
    };
    Figures { objective, bound }
}

/// The gap; nothing where limits are broken, since that may buy a smaller loss.
pub(super) fn gap(farm: &Farm, objective: f64, bound: f64) -> Option<f64> {
    if farm.limits_broken().is_empty() { gap_percent(objective, bound) } else { None }
}

/// How to read the bound of this farm.
pub(super) fn note(farm: &Farm) -> &'static str {
    match (&farm.given, farm.solution.proof) {
        (None, proof) => bound_note(proof),
        (Some(given), _) if !given.broken.is_empty() => {
            "The assignment breaks limits. The bound holds for sorts that keep them all; what is lost here may \
             be less for that, so no distance is given."
        }
        (Some(_), Proof::Split | Proof::Exhausted) => {
            "The bound is the least objective of any sort within these limits, found exactly."
        }
        (Some(_), proof) => bound_note(proof),
    }
}

/// Why a ewe is in her pen; of a given assignment, how she fits it.
pub(super) fn reason_of(farm: &Farm, ewe: usize) -> String {
    let words = if farm.given.is_some() { given_reason } else { reason };
    words(&farm.plan, &farm.measure, &farm.solution.assignment, ewe)
}

/// The document of a sort.
pub(super) fn document(farm: &Farm) -> SortDocument {
    let plan = &farm.plan;
    let Figures { objective, bound } = document_figures(farm);
    let tag = |ewe: usize| plan.ewes[ewe].ewe.tag.clone();
    let instance = &plan.instance;
    SortDocument {
        format: FORMAT,
        status: if farm.given.is_some() { "evaluated" } else { "sorted" },
        caution: CAUTION,
        on: plan.settings.on,
        period_days: plan.days.len() as u32,
        standard: Afrc1993.id().to_owned(),
        intake_model: intake::MODEL.to_owned(),
        weights: Weights { under: plan.settings.under, over: plan.settings.over },
        mean_intake_kg_dm: plan
            .days
            .iter()
            .zip(&plan.mean_intake)
            .map(|(&date, intake)| DayValue { date, value: intake.value() })
            .collect(),
        level_limits: Settings::LEVEL_LIMITS,
        limits_broken: farm.limits_broken().to_vec(),
        pens: (0..plan.pens.len()).map(|pen| pen_entry(farm, pen)).collect(),
        ewes: (0..plan.ewes.len()).map(|ewe| ewe_entry(farm, ewe)).collect(),
        set_apart: farm
            .set_apart
            .iter()
            .map(|apart| SetApart {
                tag: apart.tag.clone(),
                why: apart.why.clone(),
                needs: apart.needs.clone(),
            })
            .collect(),
        kept: kept(farm),
        together: instance.together.iter().map(|set| set.iter().map(|&ewe| tag(ewe)).collect()).collect(),
        apart: instance.apart.iter().map(|pair| pair.map(tag)).collect(),
        out_of_use: plan.settings.out_of_use.clone(),
        misfit_mj: farm.measure.misfit,
        terms: terms(plan, &farm.measure.terms),
        objective,
        lower_bound: bound,
        gap_percent: gap(farm, objective, bound),
        bound_note: note(farm).to_owned(),
        unavoidable_shortfall_from: unavoidable(plan).map(|(day, _)| day),
        problems: farm.problems.clone(),
    }
}

/// The soft terms with how each is summed.
fn terms(plan: &Plan, terms: &Terms) -> Vec<TermEntry> {
    let soft = &plan.settings.soft;
    let moves = plan.standing.as_ref().map(|standing| TermEntry {
        term: "moves",
        value: terms.moved_ewes,
        unit: "ewes",
        weight_mj_per_unit: standing.move_cost_mj,
        meaning: "ewes whose pen is not stood_in",
    });
    let mut entries = vec![
        TermEntry {
            term: "protein",
            value: terms.protein_g,
            unit: "g",
            weight_mj_per_unit: soft.protein_mj_per_g,
            meaning: "sum over ewes and days of mean intake times the gap between the ewe's g MP a kg DM and \
                      her pen's, times under below need and over above it",
        },
        TermEntry {
            term: "uneven_filling",
            value: terms.uneven_filling_ewes,
            unit: "ewes",
            weight_mj_per_unit: soft.even_filling_mj_per_ewe,
            meaning: "sum over pens of the difference between head and fair_head",
        },
        TermEntry {
            term: "body_size",
            value: terms.body_size_kg,
            unit: "kg",
            weight_mj_per_unit: soft.body_size_mj_per_kg,
            meaning: "sum over ewes of the difference between weight_kg and the pen's median_weight_kg",
        },
        TermEntry {
            term: "lambing_spread",
            value: terms.lambing_spread_days,
            unit: "days",
            weight_mj_per_unit: soft.lambing_spread_mj_per_day,
            meaning: "sum over ewes of the days between due and the pen's median_due",
        },
    ];
    entries.extend(moves);
    entries
}

fn pen_entry(farm: &Farm, pen: usize) -> PenEntry {
    let record = &farm.plan.pens[pen];
    let measured = &farm.measure.pens[pen];
    let [trough, area] = measured.used;
    PenEntry {
        pen: record.name.clone(),
        head: measured.members.len() as u32,
        ewes: measured.members.iter().map(|&ewe| farm.plan.ewes[ewe].ewe.tag.clone()).collect(),
        trough_used_m: trough as f64 / 1000.0,
        trough_m: space::trough_m(record),
        places_head: space::places_head(record),
        area_used_m2: area as f64 / 1000.0,
        area_m2: record.area.value(),
        max_head: record.max_head,
        min_head: farm.plan.instance.bins[pen].min_head as u32,
        takes: AgeClass::ALL.into_iter().filter(|&age| record.takes(age)).collect(),
        levels: farm
            .plan
            .days
            .iter()
            .zip(measured.me_levels.iter().zip(&measured.mp_levels))
            .map(|(&date, (&me, &mp))| Level { date, me_mj_per_kg_dm: me, mp_g_per_kg_dm: mp })
            .collect(),
        me_mj_per_ewe_per_day: measured.me_range.map(|range| range.map(|me| me.value())),
        mp_g_per_ewe_per_day: measured.mp_range.map(|range| range.map(|mp| mp.value())),
        misfit_mj: measured.misfit,
        fair_head: farm.plan.instance.bins[pen].fair_head,
        median_weight_kg: measured.median_weight.map(|weight| weight.value()),
        median_due: measured.median_due,
    }
}

fn ewe_entry(farm: &Farm, index: usize) -> EweEntry {
    let plan = &farm.plan;
    let ewe = &plan.ewes[index];
    let pen = farm.solution.assignment[index];
    let [trough, area] = plan.instance.room_in(index, pen);
    let [under, over] = plan.instance.slopes_of(index);
    EweEntry {
        tag: ewe.ewe.tag.clone(),
        pen: plan.pens[pen].name.clone(),
        stood_in: plan.standing.as_ref().map(|standing| plan.pens[standing.pens[index]].name.clone()),
        litter: ewe.litter.lambs(),
        condition: ewe.filled.condition,
        due: ewe.due,
        age: ewe.filled.age,
        kind: plan.instance.kind[index],
        weight_kg: ewe.filled.weight.value(),
        assumed: ewe.filled.assumed.iter().map(|what| what.field()).collect(),
        trough_m: f64::from(trough) / 1000.0,
        area_m2: f64::from(area) / 1000.0,
        needs: plan
            .days
            .iter()
            .zip(&ewe.needs)
            .map(|(&date, need)| Need {
                date,
                me_mj_per_day: need.me.value(),
                mp_g_per_day: need.mp.value(),
                intake_kg_dm_per_day: need.intake.value(),
            })
            .collect(),
        me_band_mj_per_day: ewe.band.map(|edge| edge.value()),
        misfit_mj: farm.measure.misfits[index],
        reason: reason_of(farm, index),
        under: (under != plan.settings.under).then_some(under),
        over: (over != plan.settings.over).then_some(over),
    }
}

/// Ewes kept by hand, each with what all the keeping costs.
pub(super) fn kept(farm: &Farm) -> Vec<KeptEntry> {
    let Some(free) = farm.free_loss else { return Vec::new() };
    // A free sort that was not proved best may be beaten by a hair; then keeping costs nothing.
    let costs = (farm.solution.loss - free).max(0.0);
    let kept: Vec<_> = farm.plan.ewes.iter().filter_map(|ewe| Some((ewe, ewe.kept?))).collect();
    let share =
        if free > 0.0 { format!(", {:.1} % of the whole", 100.0 * costs / free) } else { String::new() };
    let whose = if kept.len() == 1 { "Keeping her here" } else { "Keeping all of these by hand" };
    kept.iter()
        .map(|(ewe, pen)| KeptEntry {
            tag: ewe.ewe.tag.clone(),
            pen: farm.plan.pens[*pen].name.clone(),
            costs_mj: costs,
            words: format!("{whose} costs {costs:.1} MJ over the period{share}."),
        })
        .collect()
}

/// The first day on which some ewe needs more than any ration may hold, and how many do by the end.
fn unavoidable(plan: &Plan) -> Option<(Day, usize)> {
    let [_, high] = Settings::LEVEL_LIMITS;
    let short = |ewe: usize, day: usize| plan.ewes[ewe].needs[day].density().value() > high;
    let first = (0..plan.days.len()).find(|&day| (0..plan.ewes.len()).any(|ewe| short(ewe, day)))?;
    let count = (0..plan.ewes.len()).filter(|&ewe| (0..plan.days.len()).any(|day| short(ewe, day))).count();
    Some((plan.days[first], count))
}

/// What is worth knowing about a sort: pens over 40 head, lambing near, needs that no ration meets.
pub(super) fn notes(plan: &Plan, measure: &Measure) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (pen, measured) in plan.pens.iter().zip(&measure.pens) {
        if measured.members.len() > MANY_HEAD {
            problems.push(Problem::new(
                Severity::Warning,
                "many-head",
                format!("pen {}", pen.name),
                format!("{} ewes in one group.", measured.members.len()),
                "Groups of 40 or fewer are advised (EBLEX); under 50 by the welfare code. Divide the pen, or \
                 give it a head limit.",
            ));
        }
    }
    let first = plan.ewes.iter().map(|ewe| ewe.due).min();
    if let Some(first) = first
        && first.since(plan.settings.on) < LATE_DAYS
    {
        problems.push(Problem::new(
            Severity::Warning,
            "late-mixing",
            "the flock",
            format!("The first lambing is due {}, in less than three weeks.", first.in_words()),
            "Mixing and moving ewes so late costs appetite: move as few as you can.",
        ));
    }
    if let Some((day, count)) = unavoidable(plan) {
        let [_, high] = Settings::LEVEL_LIMITS;
        problems.push(Problem::new(
            Severity::Warning,
            "unavoidable-shortfall",
            "the flock",
            format!(
                "From {}, {} more than the richest ration may hold ({high} MJ a kg DM).",
                day.in_words(),
                if count == 1 {
                    "1 ewe needs".to_owned()
                } else {
                    format!("{} need", count_words(count, "ewe"))
                }
            ),
            "No pen can mend that: watch them for pregnancy toxaemia, and ask your vet or feed adviser.",
        ));
    }
    problems
}
