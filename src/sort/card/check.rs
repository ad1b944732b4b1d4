//! What is wrong with a card for a flock: gaps, overlaps, sums without a pen, pens that there are not.

use crate::arrange::Arrange as _;
use crate::problem::{Problem, Severity};
use crate::sort::Plan;
use crate::sort::card::run::goes_apart;
use crate::sort::card::write::span_words;
use crate::sort::card::{Branch, Card, Feature, PointLine, Question, Row, Rules, Span, TotalLine};
use std::collections::{BTreeMap, BTreeSet};

/// The most sums that are looked at one by one.
const MOST_SUMS: usize = 100_000;

/// Everything wrong with a card for the plan's flock and pens; it may be run where no problem is an error.
pub fn check(card: &Card, plan: &Plan) -> Vec<Problem> {
    let mut problems = Vec::new();
    pens(card, plan, &mut problems);
    match &card.rules {
        Rules::Points { lines, totals } => {
            points(lines, plan, &mut problems);
            sums(card, lines, totals, &mut problems);
        }
        Rules::Tree { questions } => tree(card, questions, &mut problems),
    }
    problems
}

fn problem(severity: Severity, code: &str, row: Row, message: String, hint: &str) -> Problem {
    let (subject, row) =
        if row.0 > 0 { (format!("card line {}", row.0), Some(row.0)) } else { ("card".to_owned(), None) };
    Problem { file: Some("card".to_owned()), row, ..Problem::new(severity, code, subject, message, hint) }
}

/// Pens named that there are not, named twice, or not named.
fn pens(card: &Card, plan: &Plan, problems: &mut Vec<Problem>) {
    let mut seen = BTreeSet::new();
    let named = card
        .pens
        .iter()
        .map(|pen| (pen, card.pens_row))
        .chain(card.ewe_lambs.iter().map(|pen| (pen, card.ewe_lambs_row)));
    for (pen, row) in named {
        if !plan.pens.iter().any(|known| known.name == *pen) {
            let hint = "Write the pen's name as in the pens file.";
            problems.push(problem(
                Severity::Error,
                "card-pen-unknown",
                row,
                format!("There is no pen {pen}."),
                hint,
            ));
        }
        if plan.settings.out_of_use.contains(pen) {
            problems.push(problem(
                Severity::Error,
                "card-pen-out-of-use",
                row,
                format!("Pen {pen} is out of use."),
                "Take it off the card, or put it back into use.",
            ));
        }
        if !seen.insert(pen) {
            problems.push(problem(
                Severity::Error,
                "card-pen-twice",
                row,
                format!("Pen {pen} is named twice."),
                "Name each pen once, for ewe lambs or for the rest.",
            ));
        }
    }
    let apart = plan.ewes.iter().filter(|ewe| goes_apart(plan, ewe)).count();
    if apart > 0 && card.ewe_lambs.is_empty() {
        let message = format!("No line is for the ewe lambs, which are kept apart; the flock has {apart}.");
        problems.push(problem(
            Severity::Error,
            "card-gap",
            Row::default(),
            message,
            "Add 'ewe lambs: E' with the name of their pen.",
        ));
    }
    let unused = |name: &String| !seen.contains(name) && !plan.settings.out_of_use.contains(name);
    for pen in plan.pens.iter().filter(|pen| unused(&pen.name)) {
        problems.push(problem(
            Severity::Note,
            "card-pen-unused",
            Row::default(),
            format!("The card does not name pen {}, so it stays empty.", pen.name),
            "Name it in the line of the pens if it may be used.",
        ));
    }
}

/// Whether a pen is in the row of pens, which tells what happens when it is full.
fn in_row(card: &Card, pen: &str, row: Row, problems: &mut Vec<Problem>) {
    if !card.pens.iter().any(|known| known == pen) {
        problems.push(problem(
            Severity::Error,
            "card-pen-not-in-row",
            row,
            format!("Pen {pen} does not stand in the line of the pens."),
            "Name it there, in its place from the poorest ration to the richest.",
        ));
    }
}

/// For each feature that gives points: values with no line, and with two.
fn points(lines: &[PointLine], plan: &Plan, problems: &mut Vec<Problem>) {
    if lines.is_empty() {
        problems.push(problem(
            Severity::Error,
            "card-empty",
            Row::default(),
            "No line gives points.".to_owned(),
            "Add lines such as 'lambs 2: 3 points'.",
        ));
    }
    for feature in Feature::ALL {
        let lines: Vec<&PointLine> = lines.iter().filter(|line| line.feature == feature).collect();
        if lines.is_empty() {
            continue;
        }
        for (at, line) in lines.iter().enumerate() {
            for other in lines[..at].iter().filter(|other| other.span.meets(line.span)) {
                problems.push(overlap(
                    line.row,
                    other.row,
                    format!(
                        "Two lines are for {} {}: this one is for {}, the other for {}.",
                        feature.word(),
                        span_words(Some(feature), common(line.span, other.span)),
                        span_words(Some(feature), line.span),
                        span_words(Some(feature), other.span)
                    ),
                ));
            }
        }
        for gap in gaps(&lines.iter().map(|line| line.span).collect::<Vec<_>>(), feature.scale()) {
            let ewes: Vec<&str> = plan
                .ewes
                .iter()
                .filter(|ewe| !goes_apart(plan, ewe) && gap.holds(feature.of(ewe)))
                .map(|ewe| ewe.ewe.tag.as_str())
                .collect();
            let words = format!("No line is for {} {}", feature.word(), span_words(Some(feature), gap));
            let (severity, message) = match ewes.as_slice() {
                [] => (Severity::Warning, format!("{words}; no ewe of this flock has that.")),
                [one] => (Severity::Error, format!("{words}: ewe {one} has that.")),
                [one, ..] => {
                    (Severity::Error, format!("{words}: {} ewes have that, {one} first.", ewes.len()))
                }
            };
            let hint = "Add a line, or widen one.";
            problems.push(problem(severity, "card-gap", Row::default(), message, hint));
        }
    }
}

fn overlap(row: Row, other: Row, message: String) -> Problem {
    let message = if other.0 > 0 { format!("{message} See line {}.", other.0) } else { message };
    problem(Severity::Error, "card-overlap", row, message, "Narrow one of the two.")
}

fn common(one: Span, other: Span) -> Span {
    let least = |a: Option<i32>, b: Option<i32>| match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    let most = |a: Option<i32>, b: Option<i32>| match (a, b) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    };
    Span { from: most(one.from, other.from), to: least(one.to, other.to) }
}

/// What spans leave of a scale.
fn gaps(spans: &[Span], scale: Span) -> Vec<Span> {
    let mut spans: Vec<(i64, i64)> = spans.iter().copied().map(ends).collect();
    spans.arrange_by_key(|span| *span);
    let (low, high) = ends(scale);
    let mut gaps = Vec::new();
    let mut next = low;
    for (from, to) in spans {
        if from > next {
            gaps.push((next, from.min(high + 1) - 1));
        }
        next = next.max(to + 1);
        if next > high {
            break;
        }
    }
    if next <= high {
        gaps.push((next, high));
    }
    let end = |at: i64| i32::try_from(at).ok();
    gaps.into_iter()
        .filter(|(from, to)| from <= to)
        .map(|(from, to)| Span {
            from: end(from).filter(|_| from > i64::from(i32::MIN)),
            to: end(to).filter(|_| to < i64::from(i32::MAX)),
        })
        .collect()
}

fn ends(span: Span) -> (i64, i64) {
    (i64::from(span.from.unwrap_or(i32::MIN)), i64::from(span.to.unwrap_or(i32::MAX)))
}

/// Sums that lines may add up to and that lead to no pen, or to two.
fn sums(card: &Card, lines: &[PointLine], totals: &[TotalLine], problems: &mut Vec<Problem>) {
    for line in totals {
        in_row(card, &line.pen, line.row, problems);
    }
    for (at, line) in totals.iter().enumerate() {
        for other in totals[..at].iter().filter(|other| other.span.meets(line.span)) {
            problems.push(overlap(
                line.row,
                other.row,
                format!(
                    "A total of {} leads to pen {} and to pen {}.",
                    span_words(None, common(line.span, other.span)),
                    line.pen,
                    other.pen
                ),
            ));
        }
    }
    let mut sums = BTreeSet::from([0_i32]);
    for feature in Feature::ALL {
        let points: BTreeSet<i32> =
            lines.iter().filter(|line| line.feature == feature).map(|line| line.half_points).collect();
        if !points.is_empty() && sums.len() * points.len() <= MOST_SUMS {
            sums = sums.iter().flat_map(|sum| points.iter().map(|more| sum.saturating_add(*more))).collect();
        }
    }
    let lost: Vec<i32> =
        sums.into_iter().filter(|&sum| !totals.iter().any(|line| line.span.holds(sum))).collect();
    if let (Some(&least), Some(&most)) = (lost.first(), lost.last()) {
        let words = span_words(None, Span { from: Some(least), to: Some(most) });
        let which = if lost.len() == 1 {
            format!("A total of {words} leads to no pen.")
        } else {
            format!("{} totals lead to no pen, among {words}.", lost.len())
        };
        let hint = "Add a line such as 'total 4 to 6: B', or widen one.";
        problems.push(problem(Severity::Error, "card-total-without-pen", Row::default(), which, hint));
    }
}

/// Questions that there are not, that nothing leads to, or that lead back.
fn tree(card: &Card, questions: &[Question], problems: &mut Vec<Problem>) {
    let Some(first) = questions.first() else {
        problems.push(problem(
            Severity::Error,
            "card-empty",
            Row::default(),
            "The tree asks nothing.".to_owned(),
            "Add 'question 1: lambs 2 or more? yes pen B, no pen A'.",
        ));
        return;
    };
    let mut by_number: BTreeMap<u32, &Question> = BTreeMap::new();
    for question in questions {
        if let Some(other) = by_number.insert(question.number, question) {
            problems.push(overlap(
                question.row,
                other.row,
                format!("Two questions have the number {}.", question.number),
            ));
        }
        for branch in [&question.yes, &question.no] {
            match branch {
                Branch::Pen(pen) => in_row(card, pen, question.row, problems),
                Branch::Question(number) if !questions.iter().any(|other| other.number == *number) => {
                    problems.push(problem(
                        Severity::Error,
                        "card-gap",
                        question.row,
                        format!("There is no question {number}."),
                        "Add it, or lead to a pen.",
                    ));
                }
                Branch::Question(_) => {}
            }
        }
    }
    // Along each way from the first question no question may come twice.
    let mut reached = BTreeSet::new();
    let mut ways = vec![vec![first.number]];
    let mut turns = false;
    while let Some(way) = ways.pop() {
        let Some(question) = way.last().and_then(|number| by_number.get(number)) else { continue };
        reached.insert(question.number);
        for branch in [&question.yes, &question.no] {
            if let Branch::Question(number) = branch {
                if way.contains(number) {
                    turns = true;
                } else if ways.len() <= questions.len() * questions.len() && !reached.contains(number) {
                    ways.push(way.iter().copied().chain([*number]).collect());
                }
            }
        }
        if turns {
            problems.push(problem(
                Severity::Error,
                "card-turns",
                question.row,
                format!("From question {} the way leads back to a question asked before.", question.number),
                "Every way must end at a pen.",
            ));
            break;
        }
    }
    for question in questions.iter().filter(|question| !turns && !reached.contains(&question.number)) {
        problems.push(problem(
            Severity::Warning,
            "card-question-unused",
            question.row,
            format!("No answer leads to question {}.", question.number),
            "Take it away, or lead to it.",
        ));
    }
}
