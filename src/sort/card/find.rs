//! The best card for a flock: its ewes told to the kernels as values of features, and the rule put in words.

use crate::arrange::Arrange as _;
use crate::solve::card::{self, Effort, OneFeature, Task, points, tree};
use crate::solve::instance::Assignment;
use crate::sort::card::feature::{Band, Banded, Feature, Span};
use crate::sort::card::run::{arrivals, goes_apart};
use crate::sort::card::{Branch, Card, Kind, PointLine, Question, Row, Rules, TotalLine, read, write};
use crate::sort::{Plan, Settings};

/// The cards found for a flock.
#[derive(Debug, Clone)]
pub struct Found {
    /// The card asked for.
    pub card: Card,
    /// The best card that asks for lambs alone.
    pub litter_only: Card,
}

/// Finds the best card of a kind. The ewe lambs' pens are those that `optimum` gives them.
pub fn find(plan: &Plan, optimum: &Assignment, bands: &[Banded], kind: Kind, effort: Effort) -> Found {
    let order = arrivals(plan);
    let (apart, others): (Vec<usize>, Vec<usize>) =
        order.into_iter().partition(|&ewe| goes_apart(plan, &plan.ewes[ewe]));
    let lambs_pens = pens_of(plan, optimum, &apart);
    let rest: Vec<usize> = (0..plan.instance.bins.len())
        .filter(|pen| !lambs_pens.contains(pen) && others.iter().any(|&ewe| plan.instance.may(ewe, *pen)))
        .collect();
    let task = task(plan, others, rest, bands);
    let litter = card::one_feature(&task, 0, effort).rule;
    let names =
        |pens: &[usize]| -> Vec<String> { pens.iter().map(|&pen| plan.pens[pen].name.clone()).collect() };
    let card = |rules: Rules, pens: &[usize]| Card {
        rules,
        pens: names(pens),
        pens_row: Row::default(),
        ewe_lambs: names(&lambs_pens),
        ewe_lambs_row: Row::default(),
    };
    let litter_rule = of_map(&litter, &task.counts);
    let litter_only = card(point_rules(&litter_rule, bands, &names(&litter_rule.bins)), &litter_rule.bins);
    let found = match kind {
        Kind::Points => {
            let rule = points::fit(&task, std::slice::from_ref(&litter), effort).rule;
            card(point_rules(&rule, bands, &names(&rule.bins)), &rule.bins)
        }
        Kind::Tree => {
            let rule = tree::fit(&task, tree::MOST_QUESTIONS, effort).rule;
            card(tree_rules(&rule, bands, &names(&rule.bins)), &rule.bins)
        }
    };
    Found { card: with_rows(found), litter_only: with_rows(litter_only) }
}

/// The card with its lines where they stand in its own text.
fn with_rows(card: Card) -> Card {
    read(&write(&card, &[])).unwrap_or(card)
}

/// The pens that hold some ewes, the fullest first.
fn pens_of(plan: &Plan, assignment: &[usize], ewes: &[usize]) -> Vec<usize> {
    let heads = |pen: usize| ewes.iter().filter(|&&ewe| assignment.get(ewe) == Some(&pen)).count();
    let mut pens: Vec<(usize, usize)> =
        (0..plan.pens.len()).map(|pen| (heads(pen), pen)).filter(|(heads, _)| *heads > 0).collect();
    pens.arrange_by_key(|&(heads, pen)| (usize::MAX - heads, pen));
    pens.into_iter().map(|(_, pen)| pen).collect()
}

/// What the kernels are told.
fn task<'a>(plan: &'a Plan, order: Vec<usize>, bins: Vec<usize>, bands: &[Banded]) -> Task<'a> {
    let [low, high] = Settings::LEVEL_LIMITS;
    let position = |&ewe: &usize| {
        let needs = &plan.ewes[ewe].needs;
        // Beyond the limits of a ration nothing can be done for her, so nothing there tells ewes apart.
        let sum: f64 = needs.iter().map(|need| need.density().value().clamp(low, high)).sum();
        sum / needs.len().max(1) as f64
    };
    Task {
        instance: &plan.instance,
        bins,
        counts: bands.iter().map(|banded| banded.bands.len()).collect(),
        values: bands
            .iter()
            .map(|banded| order.iter().map(|&ewe| banded.of(&plan.ewes[ewe]) as u8).collect())
            .collect(),
        position: order.iter().map(position).collect(),
        order,
        under: plan.settings.under,
        over: plan.settings.over,
    }
}

/// A map of one feature as points: what starts later has more.
fn of_map(map: &OneFeature, counts: &[usize]) -> points::Points {
    let mut rule = points::Points {
        points: counts.iter().map(|&count| vec![0; count]).collect(),
        bins: map.bins.clone(),
        cuts: (1..map.bins.len()).map(|place| place as i32).collect(),
    };
    rule.points[map.feature] = map.starts.iter().map(|&start| start as i32).collect();
    rule
}

/// Points as a card's lines: features that tell nothing left out, bands alike joined.
fn point_rules(rule: &points::Points, bands: &[Banded], names: &[String]) -> Rules {
    let mut lines: Vec<PointLine> = Vec::new();
    let mut most = 0;
    for (banded, points) in bands.iter().zip(&rule.points) {
        most += points.iter().copied().max().unwrap_or(0);
        if points.iter().all(|&point| point == 0) {
            continue;
        }
        for (band, &point) in banded.bands.iter().zip(points) {
            let line = PointLine {
                feature: banded.feature,
                span: whole(banded.feature, band.span),
                label: band.label.clone(),
                half_points: 2 * point,
                row: Row::default(),
            };
            match lines.last_mut() {
                Some(last)
                    if last.feature == line.feature
                        && last.half_points == line.half_points
                        && last.label.is_empty()
                        && line.label.is_empty() =>
                {
                    last.span.to = line.span.to;
                }
                _ => lines.push(line),
            }
        }
    }
    Rules::Points { lines, totals: totals(rule, most, names) }
}

/// A band at the end of a scale that has one, written out to that end where it is one number.
fn whole(feature: Feature, span: Span) -> Span {
    let scale = feature.scale();
    let from = span.from.or(scale.from.filter(|&from| span.to == Some(from)));
    let to = span.to.or(scale.to.filter(|&to| span.from == Some(to)));
    Span { from, to }
}

/// Which sums go to which pen; pens that no sum starts at have no line.
fn totals(rule: &points::Points, most: i32, names: &[String]) -> Vec<TotalLine> {
    let mut totals: Vec<TotalLine> = Vec::new();
    for sum in 0..=most {
        let Some(pen) = names.get(rule.start(sum)) else { continue };
        match totals.last_mut() {
            Some(last) if last.pen == *pen => last.span.to = Some(2 * sum),
            _ => totals.push(TotalLine { span: Span::one(2 * sum), pen: pen.clone(), row: Row::default() }),
        }
    }
    // "0" says as much as "0 or less": no sum is less.
    if let Some(first) = totals.first_mut().filter(|first| first.span.to != Some(0)) {
        first.span.from = None;
    }
    if let Some(last) = totals.last_mut() {
        last.span.to = None;
    }
    totals
}

/// A tree's questions, numbered in the order in which a person reads them; a tree that asks nothing asks for
/// lambs and does not care.
fn tree_rules(rule: &tree::Tree, bands: &[Banded], names: &[String]) -> Rules {
    let mut questions = Vec::new();
    if let tree::Node::Leaf(start) = rule.root {
        let pen = Branch::Pen(names.get(start).cloned().unwrap_or_default());
        questions.push(Question {
            number: 1,
            feature: Feature::Lambs,
            span: Span { from: Some(1), to: None },
            label: String::new(),
            yes: pen.clone(),
            no: pen,
            row: Row::default(),
        });
    }
    ask(&rule.root, bands, names, &mut questions);
    Rules::Tree { questions }
}

/// Adds a node's questions, itself first; where it leads.
fn ask(node: &tree::Node, bands: &[Banded], names: &[String], questions: &mut Vec<Question>) -> Branch {
    let (asked, no, yes) = match node {
        tree::Node::Leaf(start) => return Branch::Pen(names.get(*start).cloned().unwrap_or_default()),
        tree::Node::Ask { question, no, yes } => (question, no, yes),
    };
    let at = questions.len();
    let banded = &bands[asked.feature];
    let first = &banded.bands[usize::from(asked.at)];
    // "Yes" is the rarer thing to look for: due early rather than due late.
    let (span, swapped) = match (banded.feature, first.span.from) {
        (Feature::Due, Some(from)) => (Span { from: None, to: Some(from - 1) }, true),
        (_, from) => (Span { from, to: None }, false),
    };
    let label = if swapped { labels(&banded.bands[..usize::from(asked.at)]) } else { String::new() };
    questions.push(Question {
        number: at as u32 + 1,
        feature: banded.feature,
        span: whole(banded.feature, span),
        label,
        yes: Branch::Pen(String::new()),
        no: Branch::Pen(String::new()),
        row: Row::default(),
    });
    let (for_yes, for_no) = if swapped { (no, yes) } else { (yes, no) };
    let yes = ask(for_yes, bands, names, questions);
    let no = ask(for_no, bands, names, questions);
    (questions[at].yes, questions[at].no) = (yes, no);
    Branch::Question(at as u32 + 1)
}

/// The names of some bands: "blue or green".
fn labels(bands: &[Band]) -> String {
    let labels: Vec<&str> =
        bands.iter().map(|band| band.label.as_str()).filter(|label| !label.is_empty()).collect();
    labels.join(" or ")
}
