//! One ewe, opened: what is known of her, how her need was worked out, what each pen would mean.

use crate::farm::need::{ConditionQuestion, NeedQuestion};
use crate::farm::view::{EweView, Fact, PlaceView};
use crate::farm::{CAUTION, Farm};
use crate::problem::Severity;
use crate::requirement::condition::{self, Body};
use crate::requirement::{Afrc1993, Standard, WorkingLine, intake};
use crate::solve::instance::Instance;
use crate::solve::search;
use crate::sort::PlannedEwe;
use crate::sort::gaps::Assumed;
use crate::sort::plan::diet;
use crate::sort::reason::{Fit, capital, reason, score_words, who};

/// Changes smaller than this are shown as none, weighted MJ (common practice, no source).
const NOTHING_MJ: f64 = 0.05;

/// One ewe, opened.
pub(super) fn ewe(farm: &Farm, tag: &str) -> Option<EweView> {
    let index = farm.plan.ewes.iter().position(|ewe| ewe.ewe.tag == tag)?;
    let ewe = &farm.plan.ewes[index];
    Some(EweView {
        tag: tag.to_owned(),
        pen: farm.plan.pens[farm.solution.assignment[index]].name.clone(),
        title: capital(&who(&farm.plan, index)),
        reason: reason(&farm.plan, &farm.measure, &farm.solution.assignment, index),
        facts: facts(farm, ewe),
        working: working(farm, ewe),
        places: (0..farm.plan.pens.len()).map(|pen| place(farm, index, pen)).collect(),
        question: question(farm, ewe),
        caution: CAUTION.to_owned(),
    })
}

/// What to ask to get her need on the first day by itself. A score that was never taken is left out: the mean
/// of her class is no score.
fn question(farm: &Farm, ewe: &PlannedEwe) -> NeedQuestion {
    let settings = &farm.plan.settings;
    let days = ewe.days_to_lambing(farm.plan.days[0]);
    NeedQuestion {
        growth_g_per_day: ewe.filled.growth.value(),
        diet_me_mj_per_kg_dm: settings.diet_me_mj_per_kg_dm,
        age: ewe.filled.age,
        shorn: ewe.ewe.shorn,
        condition: ewe.ewe.condition.map(|score| ConditionQuestion {
            system: settings.system,
            ..ConditionQuestion::new(score.units())
        }),
        ..NeedQuestion::new(ewe.filled.weight.value(), ewe.litter.lambs(), Some(days))
    }
}

fn facts(farm: &Farm, ewe: &PlannedEwe) -> Vec<Fact> {
    let note = |fields: &[Assumed]| {
        let notes: Vec<&str> =
            ewe.filled.assumed.iter().filter(|what| fields.contains(what)).map(|what| what.note()).collect();
        notes.join("; ")
    };
    let fact = |name: &str, value: String, note: String| Fact { name: name.to_owned(), value, note };
    let [low, high] = ewe.band;
    let mut facts = vec![
        fact("Lambs", ewe.litter.in_words().to_owned(), String::new()),
        fact("Condition", score_words(ewe.filled.condition), note(&[Assumed::Condition])),
        fact("Target at lambing", score_words(ewe.target), ewe.correction.in_words().to_owned()),
        fact("Due", ewe.due.in_words(), note(&[Assumed::Due, Assumed::DueFromGroup])),
        fact("Age", ewe.filled.age.in_words().to_owned(), note(&[Assumed::Age])),
        fact("Weight", ewe.filled.weight.to_string(), note(&[Assumed::Weight])),
        fact(
            "Need, first day",
            format!("{:.1} to {:.1} MJ ME", low.value(), high.value()),
            "nine times in ten, from what is uncertain about her; the standard's own error is not in it"
                .to_owned(),
        ),
    ];
    if let Some(eid) = &ewe.ewe.eid {
        facts.push(fact("EID", eid.clone(), String::new()));
    }
    if let Some(notes) = &ewe.ewe.notes {
        facts.push(fact("Notes", notes.clone(), String::new()));
    }
    let told = |severity: Severity| {
        farm.problems
            .iter()
            .filter(move |problem| {
                problem.severity == severity
                    && problem.tag.as_deref() == Some(ewe.ewe.tag.as_str())
                    && problem.code != "assumed"
            })
            .map(|problem| format!("{} {}", problem.message, problem.hint))
    };
    facts.extend(
        told(Severity::Warning).chain(told(Severity::Note)).map(|words| fact("Look", words, String::new())),
    );
    facts
}

/// Her need on the first day, line by line.
fn working(farm: &Farm, ewe: &PlannedEwe) -> Vec<WorkingLine> {
    let day = farm.plan.days[0];
    let state = ewe.state(day, diet(&farm.plan.settings));
    let need = &ewe.needs[0];
    let body = Body {
        score: ewe.filled.condition,
        target: ewe.target,
        weight: ewe.filled.weight,
        litter: ewe.litter,
        days_to_lambing: state.days_to_lambing,
    };
    let standard = Afrc1993.need(&state);
    let mut lines = vec![
        WorkingLine::new(
            0,
            &format!("Density that her feed must have on {}", day.short()),
            "need / intake",
            format!("{:.2} / {:.2}", need.me.value(), need.intake.value()),
            format!("{:.2} MJ ME a kg DM", need.density().value()),
            "the axis on which ewes are sorted: a pen is fed one ration",
        ),
        WorkingLine::new(
            1,
            "Dry matter that she can eat",
            "share of live weight, by weeks to lambing and lambs",
            format!("{:.1} kg, {} days to lambing", ewe.filled.weight.value(), state.days_to_lambing),
            format!("{:.2} kg DM a day", need.intake.value()),
            intake::MODEL,
        ),
    ];
    // The sum and the condition stand before what she can eat.
    lines.splice(1..1, condition::working(1, standard.me, &body, &condition::Costs::USUAL, &ewe.correction));
    lines.extend(Afrc1993.explain(&state));
    lines
}

/// What a pen would mean for her.
fn place(farm: &Farm, index: usize, pen: usize) -> PlaceView {
    let plan = &farm.plan;
    let here = farm.solution.assignment[index] == pen;
    let record = &plan.pens[pen];
    let mut view =
        PlaceView { pen: record.name.clone(), here, allowed: false, words: String::new(), change_mj: None };
    if here {
        let fit = Fit::new(plan, index, &farm.measure.pens[pen].me_levels);
        view.allowed = true;
        view.change_mj = Some(0.0);
        view.words = format!("she is here: {}", fit.in_words());
        return view;
    }
    if !record.takes(plan.ewes[index].filled.age) {
        view.words = format!("takes no {}s", plan.ewes[index].filled.age.in_words());
        return view;
    }
    let Some(moved) = kept_there(farm, index, pen) else {
        view.words = "no way to fit her in within the limits".to_owned();
        return view;
    };
    let instance = &plan.instance;
    let change = (instance.cost(&moved) - farm.solution.loss).max(0.0);
    let members: Vec<usize> = (0..moved.len()).filter(|&other| moved[other] == pen).collect();
    let mut levels = vec![0.0; instance.axes()];
    instance.best_levels(&members, &mut levels, &mut Vec::new());
    let others = (0..moved.len())
        .filter(|&other| other != index && moved[other] != farm.solution.assignment[other])
        .count();
    let others = match others {
        0 => String::new(),
        1 => "; one other ewe moves to make it fit".to_owned(),
        count => format!("; {count} other ewes move to make it fit"),
    };
    let cost = if change < NOTHING_MJ {
        "costs nothing".to_owned()
    } else {
        format!("costs {change:.1} MJ over the period")
    };
    view.allowed = true;
    view.change_mj = Some(change);
    view.words = format!("{cost}: {}{others}", Fit::new(plan, index, &levels[..plan.days.len()]).in_words());
    view
}

/// The sort with her kept in a pen, from the present one by making room and polishing.
fn kept_there(farm: &Farm, index: usize, pen: usize) -> Option<Vec<usize>> {
    let mut instance: Instance = farm.plan.instance.clone();
    let kind = instance.kind[index];
    for other in 0..instance.items() {
        if instance.kind[other] != kind {
            instance.allowed[other] &= !(1 << pen);
        }
    }
    instance.allowed[index] = 1 << pen;
    let mut start = farm.solution.assignment.clone();
    start[index] = pen;
    search::mended(&instance, start)
}
