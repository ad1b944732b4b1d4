//! What is worth knowing about a plan before it is sorted: ewes to watch, gaps to fill, settings that
//! cannot be meant.

use crate::problem::{Problem, Severity};
use crate::requirement::State;
use crate::requirement::condition;
use crate::solve::instance::Instance;
use crate::sort::gaps::Assumed;
use crate::sort::plan::PlannedEwe;
use crate::sort::settings::Settings;

/// A ewe that cannot be kept where somebody wished.
pub(super) fn cannot_keep(tag: &str, pen: &str, ewe_known: bool, pen_known: bool) -> Problem {
    let message = match (ewe_known, pen_known) {
        (false, _) => format!("{tag} is not among the sorted ewes, so she cannot be kept in pen {pen}."),
        (_, false) => format!("There is no pen {pen} to keep {tag} in."),
        _ => format!("Pen {pen} does not take ewes of {tag}'s age."),
    };
    Problem::new(
        Severity::Warning,
        "cannot-keep",
        format!("ewe {tag}"),
        message,
        "She was sorted like the others.",
    )
    .about(tag)
}

/// Ewes to keep an eye on: fat with two or more lambs (SAC TN658, 2013), and overdue.
pub(super) fn to_watch(ewes: &[PlannedEwe], settings: &Settings) -> Vec<Problem> {
    let mut problems = Vec::new();
    for ewe in ewes {
        if ewe.correction.kind == condition::Kind::Watch {
            problems.push(
                Problem::new(
                    Severity::Note,
                    "watch-fat-multiple",
                    format!("ewe {}", ewe.ewe.tag),
                    format!("Condition {} and carrying {}.", ewe.filled.condition, ewe.litter.in_words()),
                    "Watch her appetite for pregnancy toxaemia; do not cut her feed. Ask your vet.",
                )
                .about(&ewe.ewe.tag),
            );
        }
        if ewe.due < settings.on {
            problems.push(
                Problem::new(
                    Severity::Warning,
                    "overdue",
                    format!("ewe {}", ewe.ewe.tag),
                    format!("Due {}, before the day of the sort.", ewe.due.in_words()),
                    "Check her date; she is fed as on her last day.",
                )
                .about(&ewe.ewe.tag),
            );
        }
        let asks: Vec<&str> =
            ewe.filled.assumed.iter().filter(|what| what.needs_a_look()).map(|what| what.ask()).collect();
        if !asks.is_empty() {
            let notes: Vec<&str> = ewe
                .filled
                .assumed
                .iter()
                .filter(|what| what.needs_a_look())
                .map(|what| Assumed::note(*what))
                .collect();
            let mut hint = asks.join(", ");
            if let Some(first) = hint.get_mut(0..1) {
                first.make_ascii_uppercase();
            }
            problems.push(
                Problem {
                    file: Some("flock".to_owned()),
                    row: Some(ewe.ewe.row),
                    ..Problem::new(
                        Severity::Warning,
                        "assumed",
                        format!("ewe {}", ewe.ewe.tag),
                        format!("Taken from elsewhere: {}.", notes.join("; ")),
                        format!("{hint}."),
                    )
                }
                .about(&ewe.ewe.tag),
            );
        }
    }
    problems
}

/// More pens than the sort can tell apart.
pub(super) fn too_many_pens(pens: usize) -> Option<Problem> {
    (pens > Instance::MOST_BINS).then(|| {
        Problem::new(
            Severity::Error,
            "too-many-pens",
            "the pens",
            format!("{pens} pens; at most {} can be sorted into at once.", Instance::MOST_BINS),
            "Sort one shed at a time.",
        )
    })
}

/// Settings that cannot be meant.
pub(super) fn wrong_settings(settings: &Settings) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut wrong = |name: &str, found: f64, right: &str| {
        problems.push(Problem {
            found: Some(found.to_string()),
            ..Problem::new(
                Severity::Error,
                "setting",
                format!("setting {name}"),
                format!("{found} is not possible."),
                format!("Give {right}."),
            )
        });
    };
    let [least_diet, most_diet] = State::DIET_MJ;
    if !(settings.under.is_finite() && settings.under > 0.0 && settings.under <= 1e6) {
        wrong("under", settings.under, "a weight above 0");
    }
    if !(settings.over.is_finite() && settings.over > 0.0 && settings.over <= 1e6) {
        wrong("over", settings.over, "a weight above 0");
    }
    for (name, list) in [("under", &settings.under_by_litter), ("over", &settings.over_by_litter)] {
        for &weight in list {
            if !(weight.is_finite() && weight > 0.0 && weight <= 1e6) {
                wrong(&format!("{name}-by-litter"), weight, "weights above 0");
            }
        }
    }
    let soft = &settings.soft;
    for (name, weight) in [
        ("protein", soft.protein_mj_per_g),
        ("even-filling", soft.even_filling_mj_per_ewe),
        ("body-size", soft.body_size_mj_per_kg),
        ("lambing-spread", soft.lambing_spread_mj_per_day),
    ] {
        if !(weight.is_finite() && (0.0..=1e6).contains(&weight)) {
            wrong(name, weight, "0, or a weight above it");
        }
    }
    if !(least_diet..=most_diet).contains(&settings.diet_me_mj_per_kg_dm) {
        wrong("diet", settings.diet_me_mj_per_kg_dm, "5 to 14 MJ ME a kg DM");
    }
    if !(0.0..=200.0).contains(&settings.horned_trough_percent) {
        wrong("horned", settings.horned_trough_percent, "0 to 200 percent");
    }
    if let Some(days) = settings.period_days
        && days > Settings::MOST_DAYS
    {
        wrong("period-days", f64::from(days), "at most 147 days, a pregnancy");
    }
    problems
}
