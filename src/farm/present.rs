//! A sort put into words and ready to draw.

use crate::arrange::Arrange as _;
use crate::farm::hand;
use crate::farm::report;
use crate::farm::settings::Settings;
use crate::farm::view::{
    Axis, EweLine, EweMark, FillView, Fit as FitMark, ImpossibleView, LegendLine, PenView, ProofView,
    SortReply, SortView,
};
use crate::farm::{Answer, CAUTION, Farm, Shortfall};
use crate::problem::Problem;
use crate::requirement::{Afrc1993, Standard, intake};
use crate::solve::certificate::Certificate;
use crate::sort::Plan;
use crate::sort::limits::in_a_line;
use crate::sort::measure::Measure;
use crate::sort::reason::{Cause, Fit, OVER, SHORT, capital, cause, score_words, who};
use crate::sort::shortfall::count_words;
use crate::sort::space;

/// The answer as the page draws it.
pub(super) fn reply(answer: &Answer) -> SortReply {
    match answer {
        Answer::Sorted(farm) => SortReply::Sorted { view: Box::new(view(farm)) },
        Answer::Impossible { shortfall, problems } => {
            SortReply::Impossible { view: impossible(shortfall, problems) }
        }
        Answer::Refused { problems, question } => SortReply::Unreadable {
            headline: refused_headline("Nothing was sorted", problems, question.is_some()),
            problems: problems.clone(),
            question: question.clone(),
        },
    }
}

/// One line for whatever could not be done.
pub(super) fn refused_headline(what: &str, problems: &[Problem], asked: bool) -> String {
    if asked {
        return "One question first.".to_owned();
    }
    match problems.iter().filter(|problem| problem.is_error()).count() {
        1 => format!("{what}: one thing must be put right first."),
        count => format!("{what}: {count} things must be put right first."),
    }
}

/// Pens that cannot hold the flock.
pub(super) fn impossible(shortfall: &Shortfall, problems: &[Problem]) -> ImpossibleView {
    ImpossibleView {
        headline: shortfall.headline.clone(),
        limits: shortfall.limits.clone(),
        mends: shortfall.mends.clone(),
        caution: CAUTION.to_owned(),
        problems: problems.to_vec(),
    }
}

/// How far the proof has come.
pub(super) fn proof(farm: &Farm, certificate: &Certificate) -> ProofView {
    let (steps, most_steps) = certificate.progress();
    ProofView {
        steps: steps as u32,
        most_steps: most_steps as u32,
        is_done: certificate.is_done(),
        quality: quality(farm),
        quality_note: report::note(farm).to_owned(),
    }
}

/// A sort, ready to draw.
pub(super) fn view(farm: &Farm) -> SortView {
    let plan = &farm.plan;
    let used = farm.measure.pens.iter().filter(|pen| !pen.members.is_empty()).count();
    SortView {
        headline: headline(farm, used),
        period: period(farm),
        quality: quality(farm),
        quality_note: report::note(farm).to_owned(),
        by_hand: hand::in_a_line(farm),
        moved: hand::lines(farm),
        can_prove: farm.given.is_none() && farm.solution.is_open(),
        caution: CAUTION.to_owned(),
        basis: format!(
            "Needs by {}. {} Intake: {}. Space: {}.",
            Afrc1993.name(),
            Afrc1993.caveat(),
            intake::MODEL,
            space::SOURCE
        ),
        days: plan.days.iter().map(|day| day.short()).collect(),
        axis: axis(farm),
        pens: (0..plan.pens.len()).map(|pen| pen_view(farm, pen)).collect(),
        badly_fitting_words: badly_fitting_words(farm),
        badly_fitting: badly_fitting(farm),
        to_check: to_check(farm),
        set_apart: farm
            .set_apart
            .iter()
            .map(|apart| EweLine {
                tag: apart.tag.clone(),
                pen: String::new(),
                words: format!("{}. Needs {}.", capital(apart.why.trim_end_matches('.')), apart.needs),
            })
            .collect(),
        kept: report::kept(farm)
            .into_iter()
            .map(|kept| EweLine { tag: kept.tag, pen: kept.pen, words: kept.words })
            .collect(),
        problems: farm.problems.clone(),
        legend: legend(),
    }
}

fn headline(farm: &Farm, used: usize) -> String {
    let apart = match farm.set_apart.len() {
        0 => String::new(),
        count => format!(", {count} set apart"),
    };
    format!("{} in {}{apart}", count_words(farm.plan.ewes.len(), "ewe"), count_words(used, "pen"))
}

fn period(farm: &Farm) -> String {
    let days = &farm.plan.days;
    match days.as_slice() {
        [] => String::new(),
        [day] => format!("For one day, {}", day.in_words()),
        [first, .., last] => {
            format!("For {} days, {} to {}", days.len(), first.short(), last.in_words())
        }
    }
}

fn quality(farm: &Farm) -> String {
    let document = report::document_figures(farm);
    if !farm.limits_broken().is_empty() {
        return format!("{}: no distance from the best possible is given.", in_a_line(farm.limits_broken()));
    }
    match report::gap_percent(document.objective, document.bound) {
        Some(gap) if gap < 0.005 => "The best sort possible within these limits.".to_owned(),
        Some(gap) => format!("At most {gap:.1} % from the best possible."),
        None => "How far from the best possible is not known.".to_owned(),
    }
}

fn axis(farm: &Farm) -> Axis {
    let [level_low, level_high] = Settings::LEVEL_LIMITS;
    let needs = farm.plan.ewes.iter().flat_map(|ewe| &ewe.needs).map(|need| need.density().value());
    let (low, high) =
        needs.fold((level_low, level_high), |(low, high), need| (low.min(need), high.max(need)));
    Axis {
        low: libm::floor(low - 0.2),
        high: libm::ceil(high + 0.2),
        level_low,
        level_high,
        title: "Energy needed in each kg of dry feed, MJ ME a kg DM".to_owned(),
    }
}

fn pen_view(farm: &Farm, pen: usize) -> PenView {
    let record = &farm.plan.pens[pen];
    let measured = &farm.measure.pens[pen];
    let mut members = measured.members.clone();
    let key = |ewe: usize| farm.plan.ewes[ewe].needs.iter().map(|need| need.density().value()).sum::<f64>();
    members.arrange_by(|&a, &b| key(a).total_cmp(&key(b)).then(a.cmp(&b)));
    PenView {
        name: record.name.clone(),
        head: head_words(farm, &measured.members),
        count: measured.members.len() as u32,
        feed: feed_words(farm, pen),
        trough: trough_fill(&farm.plan, &farm.measure, pen),
        floor: floor_fill(&farm.plan, &farm.measure, pen),
        levels: measured.me_levels.clone(),
        level_words: measured
            .me_levels
            .iter()
            .zip(&measured.mp_levels)
            .map(|(me, mp)| format!("{me:.1} MJ ME and {mp:.0} g MP a kg DM"))
            .collect(),
        notes: farm
            .problems
            .iter()
            .filter(|problem| problem.subject == format!("pen {}", record.name))
            .map(|problem| format!("{} {}", problem.message, problem.hint))
            .collect(),
        ewes: members.into_iter().map(|ewe| mark(farm, pen, ewe)).collect(),
    }
}

fn head_words(farm: &Farm, members: &[usize]) -> String {
    if members.is_empty() {
        return "empty".to_owned();
    }
    let parts: Vec<String> = (1..=5)
        .filter_map(|lambs| {
            let of = members.iter().filter(|&&ewe| farm.plan.ewes[ewe].litter.lambs() == lambs);
            let litter = farm.plan.ewes[*of.clone().next()?].litter;
            Some(litter.of_ewes(of.count()))
        })
        .collect();
    format!("{}: {}", count_words(members.len(), "ewe"), parts.join(", "))
}

fn feed_words(farm: &Farm, pen: usize) -> String {
    let measured = &farm.measure.pens[pen];
    let (Some([me_low, me_high]), Some([mp_low, mp_high])) = (measured.me_range, measured.mp_range) else {
        return String::new();
    };
    let span = |low: f64, high: f64, decimals: usize| {
        let (low, high) = (format!("{low:.decimals$}"), format!("{high:.decimals$}"));
        if low == high { low } else { format!("{low} to {high}") }
    };
    format!(
        "{} MJ ME and {} g MP a ewe a day",
        span(me_low.value(), me_high.value(), 1),
        span(mp_low.value(), mp_high.value(), 0)
    )
}

pub(super) fn trough_fill(plan: &Plan, measure: &Measure, pen: usize) -> FillView {
    let record = &plan.pens[pen];
    let measured = &measure.pens[pen];
    if let Some(places) = space::places_head(record) {
        let (used, total) = (measured.members.len() as f64, f64::from(places));
        return FillView {
            used,
            total,
            unit: "places".to_owned(),
            words: format!("{used} of {total} feeding places"),
        };
    }
    let used = measured.used[0] as f64 / 1000.0;
    let total = space::trough_m(record);
    FillView { used, total, unit: "m".to_owned(), words: format!("{used:.1} of {total:.1} m of trough") }
}

pub(super) fn floor_fill(plan: &Plan, measure: &Measure, pen: usize) -> FillView {
    let used = measure.pens[pen].used[1] as f64 / 1000.0;
    let total = plan.pens[pen].area.value();
    FillView { used, total, unit: "m²".to_owned(), words: format!("{used:.1} of {total:.1} m² of floor") }
}

fn mark(farm: &Farm, pen: usize, index: usize) -> EweMark {
    let ewe = &farm.plan.ewes[index];
    let levels = &farm.measure.pens[pen].me_levels;
    let density: Vec<f64> = ewe.needs.iter().map(|need| need.density().value()).collect();
    let fit: Vec<FitMark> = density
        .iter()
        .zip(levels)
        .map(|(&need, &level)| {
            if need - level > SHORT * need {
                FitMark::Short
            } else if level - need > OVER * need {
                FitMark::Over
            } else {
                FitMark::Good
            }
        })
        .collect();
    let asked = |field: &str| {
        let assumed = ewe.filled.assumed.iter().any(|what| what.field() == field && what.needs_a_look());
        if assumed { "?" } else { "" }
    };
    let here = match Fit::new(&farm.plan, index, levels) {
        fit if fit.short_from.is_some() => "short of feed here",
        fit if fit.is_bad() => "fed more than she needs here",
        _ => "well placed here",
    };
    EweMark {
        tag: ewe.ewe.tag.clone(),
        litter: ewe.litter.lambs(),
        condition: format!("{}{}", score_words(ewe.filled.condition), asked("condition")),
        due: format!("{}{}", ewe.due.short(), asked("due")),
        density,
        fit,
        trough_m: f64::from(farm.plan.instance.room_in(index, pen)[0]) / 1000.0,
        assumed: ewe.filled.assumed.iter().any(|what| what.needs_a_look()),
        kept: ewe.kept.is_some(),
        notes: ewe.ewe.notes.clone().unwrap_or_default(),
        label: format!("{}, {}, {here}", ewe.ewe.tag, who(&farm.plan, index)),
    }
}

fn line(farm: &Farm, index: usize, words: String) -> EweLine {
    let pen = farm.solution.assignment[index];
    EweLine { tag: farm.plan.ewes[index].ewe.tag.clone(), pen: farm.plan.pens[pen].name.clone(), words }
}

/// Ewes that fit badly, in file order.
fn badly_fitting_ewes(farm: &Farm) -> Vec<usize> {
    (0..farm.plan.ewes.len())
        .filter(|&ewe| {
            let levels = &farm.measure.pens[farm.solution.assignment[ewe]].me_levels;
            Fit::new(&farm.plan, ewe, levels).is_bad()
        })
        .collect()
}

/// Why they fit badly, in a line, so that a long list does not alarm where no pen could help.
fn badly_fitting_words(farm: &Farm) -> String {
    let causes: Vec<Cause> = badly_fitting_ewes(farm)
        .into_iter()
        .map(|ewe| cause(&farm.plan, &farm.measure, &farm.solution.assignment, ewe))
        .collect();
    let parts: Vec<String> = Cause::ALL
        .into_iter()
        .filter_map(|cause| {
            let count = causes.iter().filter(|&&found| found == cause).count();
            (count > 0).then(|| format!("{count} {}", cause.in_words(count == 1)))
        })
        .collect();
    if parts.is_empty() { String::new() } else { format!("{}.", parts.join("; ")) }
}

/// Ewes that fit badly, worst first.
fn badly_fitting(farm: &Farm) -> Vec<EweLine> {
    let mut bad = badly_fitting_ewes(farm);
    bad.arrange_by(|&a, &b| farm.measure.misfits[b].total_cmp(&farm.measure.misfits[a]).then(a.cmp(&b)));
    bad.into_iter().map(|ewe| line(farm, ewe, report::reason_of(farm, ewe))).collect()
}

/// Ewes about whom something was taken from elsewhere.
fn to_check(farm: &Farm) -> Vec<EweLine> {
    (0..farm.plan.ewes.len())
        .filter_map(|index| {
            let looks: Vec<_> =
                farm.plan.ewes[index].filled.assumed.iter().filter(|what| what.needs_a_look()).collect();
            if looks.is_empty() {
                return None;
            }
            let asks: Vec<&str> = looks.iter().map(|what| what.ask()).collect();
            let notes: Vec<&str> = looks.iter().map(|what| what.note()).collect();
            let [low, high] = farm.plan.ewes[index].band;
            let words = format!(
                "{}: {}. Her need may lie from {:.1} to {:.1} MJ a day.",
                capital(&asks.join(", ")),
                notes.join("; "),
                low.value(),
                high.value()
            );
            Some(line(farm, index, words))
        })
        .collect()
}

fn legend() -> Vec<LegendLine> {
    [
        ("litter-1", "single"),
        ("litter-2", "twins"),
        ("litter-3", "triplets"),
        ("litter-4", "quads"),
        ("litter-5", "quins"),
        ("level", "what the pen is fed"),
        ("short", "fed less than she needs"),
        ("good", "fed about what she needs"),
        ("over", "fed more than she needs"),
        ("assumed", "something about her was not on record"),
        ("kept", "kept here by hand"),
        ("trough", "trough, to scale, filled by its ewes"),
        ("floor", "floor, filled by its ewes"),
    ]
    .into_iter()
    .map(|(mark, words)| LegendLine { mark: mark.to_owned(), words: words.to_owned() })
    .collect()
}
