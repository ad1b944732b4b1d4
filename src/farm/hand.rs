//! Moving one ewe by hand: what each pen would mean for her alone, the move itself, and taking it back.
//!
//! Nobody else moves. That is what sets this apart from keeping her by hand in a new sort, where others make
//! room for her.

use crate::farm::evaluate::Given;
use crate::farm::settings::Keep;
use crate::farm::view::{EweLine, MoveReply, PickedView, PutView};
use crate::farm::{CAUTION, Farm, present, report};
use crate::problem::{Problem, Severity};
use crate::solve::search::Solution;
use crate::sort::limits::broken;
use crate::sort::measure::{Measure, measure};
use crate::sort::reason::{Fit, capital, who};

/// Changes smaller than this are told as none, weighted MJ (common practice, no source).
const NOTHING_MJ: f64 = 0.05;

/// At most so many tags stand in one line.
const MOST_TAGS: usize = 4;

/// What was moved by hand since the sort.
#[derive(Debug)]
pub(super) struct Hand {
    /// The sort as it was found.
    sorted: Solution,
    /// Its objective, and what nobody can do better than, both summed ewe by ewe.
    figures: report::Figures,
    /// Whom the sort itself kept by hand.
    keep: Vec<Keep>,
    free_loss: Option<f64>,
    /// The moves, in their order; a ewe may be moved twice.
    moves: Vec<Keep>,
}

/// A ewe picked up: what each pen would mean for her.
pub(super) fn picked(farm: &Farm, tag: &str) -> Option<PickedView> {
    let index = position(farm, tag)?;
    let places: Vec<PutView> = (0..farm.plan.pens.len()).map(|pen| put(farm, index, pen)).collect();
    let takers = places.iter().filter(|place| place.allowed && !place.here).count();
    let said = match takers {
        0 => format!("{tag} is picked up. No other pen can take her."),
        1 => format!("{tag} is picked up. One other pen can take her."),
        count => format!("{tag} is picked up. {count} other pens can take her."),
    };
    Some(PickedView {
        tag: tag.to_owned(),
        pen: pen_name(farm, farm.solution.assignment[index]),
        title: capital(&who(&farm.plan, index)),
        words: capital(&fit_here(farm, &farm.measure, index, farm.solution.assignment[index])),
        said,
        places,
        caution: CAUTION.to_owned(),
    })
}

/// Puts a ewe into a pen and leaves everybody else where they are.
pub(super) fn put_into(farm: &mut Farm, tag: &str, pen: &str) -> MoveReply {
    let to = farm.plan.pens.iter().position(|record| record.name == pen);
    let (Some(index), Some(to)) = (position(farm, tag), to) else {
        return refused(tag, format!("There is no ewe {tag} or no pen {pen} in this sort."));
    };
    if farm.solution.assignment[index] == to {
        return refused(tag, format!("She stands in pen {pen} already."));
    }
    let place = put(farm, index, to);
    if !place.allowed {
        return refused(tag, place.limits.join(" "));
    }
    let hand = farm.hand.take().unwrap_or_else(|| Hand {
        sorted: farm.solution.clone(),
        figures: report::document_figures(farm),
        keep: farm.plan.settings.keep.clone(),
        free_loss: farm.free_loss,
        moves: Vec::new(),
    });
    let mut moves = hand.moves.clone();
    moves.push(Keep { tag: tag.to_owned(), pen: pen.to_owned() });
    replay(farm, hand, moves);
    moved(farm, format!("{tag} is in pen {pen} now: {}.", place.cost))
}

/// Takes the last move back; nothing where there is none.
pub(super) fn take_back(farm: &mut Farm) -> Option<MoveReply> {
    let hand = farm.hand.take()?;
    let mut moves = hand.moves.clone();
    let last = moves.pop();
    replay(farm, hand, moves);
    let said = last.map_or_else(String::new, |last| {
        let pen = position(farm, &last.tag).map(|index| pen_name(farm, farm.solution.assignment[index]));
        format!("{} is back in pen {}.", last.tag, pen.unwrap_or_default())
    });
    Some(moved(farm, said))
}

/// What the moves by hand come to, in a line; empty where there are none.
pub(super) fn in_a_line(farm: &Farm) -> String {
    let Some(hand) = &farm.hand else { return String::new() };
    let who = match hand.ewes().as_slice() {
        [tag] => format!("{tag} moved by hand"),
        tags => format!("{} ewes moved by hand", tags.len()),
    };
    format!("{who}: {} against the sort.", cost_words(farm.measure.objective - hand.figures.objective))
}

/// The moves by hand, the last first.
pub(super) fn lines(farm: &Farm) -> Vec<EweLine> {
    let Some(hand) = &farm.hand else { return Vec::new() };
    let line = |(at, step): (usize, &Keep)| EweLine {
        tag: step.tag.clone(),
        pen: step.pen.clone(),
        words: format!("Move {} by hand: to pen {}.", at + 1, step.pen),
    };
    hand.moves.iter().enumerate().rev().map(line).collect()
}

impl Hand {
    /// The bound of the sort, which holds for every other assignment too.
    pub(super) fn bound(&self) -> f64 {
        self.figures.bound
    }

    /// Who was moved, each once.
    fn ewes(&self) -> Vec<&str> {
        let mut tags: Vec<&str> = Vec::new();
        for step in &self.moves {
            if !tags.contains(&step.tag.as_str()) {
                tags.push(&step.tag);
            }
        }
        tags
    }
}

/// The sort as found with these moves made on it, and nothing else.
fn replay(farm: &mut Farm, hand: Hand, moves: Vec<Keep>) {
    let mut keep = hand.keep.clone();
    let mut assignment = hand.sorted.assignment.clone();
    for step in &moves {
        let pen = farm.plan.pens.iter().position(|pen| pen.name == step.pen);
        if let (Some(index), Some(pen)) = (position(farm, &step.tag), pen) {
            assignment[index] = pen;
            keep.retain(|kept| kept.tag != step.tag);
            keep.push(step.clone());
        }
    }
    let notes = report::notes(&farm.plan, &farm.measure);
    farm.problems.retain(|problem| !notes.contains(problem));
    farm.plan = farm.plan.keeping(&keep);
    farm.measure = measure(&farm.plan, &assignment);
    farm.problems.extend(report::notes(&farm.plan, &farm.measure));
    if moves.is_empty() {
        (farm.solution, farm.free_loss, farm.given, farm.hand) = (hand.sorted, hand.free_loss, None, None);
        return;
    }
    farm.solution = Solution {
        loss: farm.plan.instance.cost(&assignment),
        assignment,
        bound: hand.bound(),
        proof: hand.sorted.proof,
    };
    farm.free_loss = hand.free_loss.or(Some(hand.sorted.loss));
    farm.given = Some(Given { broken: Vec::new() });
    farm.hand = Some(Hand { moves, ..hand });
}

fn moved(farm: &Farm, said: String) -> MoveReply {
    MoveReply::Moved { view: Box::new(present::view(farm)), keep: farm.plan.settings.keep.clone(), said }
}

fn refused(tag: &str, message: String) -> MoveReply {
    MoveReply::Refused {
        problem: Problem::new(
            Severity::Error,
            "cannot-move",
            format!("ewe {tag}"),
            message,
            "She stays where she is. Choose another pen, or make room there first.",
        )
        .about(tag),
    }
}

fn position(farm: &Farm, tag: &str) -> Option<usize> {
    farm.plan.ewes.iter().position(|ewe| ewe.ewe.tag == tag)
}

fn pen_name(farm: &Farm, pen: usize) -> String {
    farm.plan.pens[pen].name.clone()
}

/// What putting her into a pen would mean, she alone moving.
fn put(farm: &Farm, index: usize, pen: usize) -> PutView {
    let here = farm.solution.assignment[index];
    let mut view = PutView {
        pen: pen_name(farm, pen),
        here: here == pen,
        allowed: here == pen,
        change_mj: None,
        cost: String::new(),
        words: String::new(),
        room: String::new(),
        limits: Vec::new(),
    };
    if view.here {
        view.cost = "she stands here".to_owned();
        view.words = capital(&fit_here(farm, &farm.measure, index, pen));
        view.room = room(farm, &farm.measure, pen);
        return view;
    }
    let mut assignment = farm.solution.assignment.clone();
    assignment[index] = pen;
    // She may leave a pen in which she was kept by hand: whoever moves her says so.
    let freed = farm.plan.settings.keep.iter().filter(|kept| kept.tag != farm.plan.ewes[index].ewe.tag);
    let plan = farm.plan.keeping(&freed.cloned().collect::<Vec<_>>());
    view.limits = broken(&plan, &assignment).into_iter().map(|limit| limit.words).collect();
    view.allowed = view.limits.is_empty();
    if !view.allowed {
        view.cost = "cannot take her".to_owned();
        return view;
    }
    let after = measure(&plan, &assignment);
    let change = after.objective - farm.measure.objective;
    view.change_mj = Some(change);
    view.cost = cost_words(change);
    view.room = room(farm, &after, pen);
    view.words = capital(&fit_here(farm, &after, index, pen));
    view.words.push_str(&others(farm, &after, &assignment, index, [here, pen]));
    view
}

/// What a change of the objective is called.
fn cost_words(change: f64) -> String {
    if change.abs() < NOTHING_MJ {
        "costs nothing".to_owned()
    } else if change > 0.0 {
        format!("costs {change:.1} MJ")
    } else {
        format!("saves {:.1} MJ", -change)
    }
}

/// How she would fare.
fn fit_here(farm: &Farm, measured: &Measure, index: usize, pen: usize) -> String {
    format!("she is {}.", Fit::new(&farm.plan, index, &measured.pens[pen].me_levels).in_words())
}

/// Who else would be badly short then, and who would no longer be: the rations of both pens change.
fn others(farm: &Farm, after: &Measure, assignment: &[usize], index: usize, pens: [usize; 2]) -> String {
    let is_short = |measured: &Measure, pen: usize, ewe: usize| {
        Fit::new(&farm.plan, ewe, &measured.pens[pen].me_levels).short_from.is_some()
    };
    let (mut then, mut no_longer) = (Vec::new(), Vec::new());
    for ewe in (0..assignment.len()).filter(|&ewe| ewe != index && pens.contains(&assignment[ewe])) {
        let pen = assignment[ewe];
        match (is_short(&farm.measure, pen, ewe), is_short(after, pen, ewe)) {
            (false, true) => then.push(farm.plan.ewes[ewe].ewe.tag.as_str()),
            (true, false) => no_longer.push(farm.plan.ewes[ewe].ewe.tag.as_str()),
            _ => {}
        }
    }
    let said = |tags: &[&str], words: &str| {
        if tags.is_empty() { String::new() } else { format!(" {words}: {}.", some(tags)) }
    };
    format!("{}{}", said(&then, "Then short by more than a tenth"), said(&no_longer, "No longer so short"))
}

fn some(tags: &[&str]) -> String {
    let shown = tags.iter().take(MOST_TAGS).copied().collect::<Vec<_>>().join(", ");
    match tags.len().saturating_sub(MOST_TAGS) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

fn room(farm: &Farm, measured: &Measure, pen: usize) -> String {
    let trough = present::trough_fill(&farm.plan, measured, pen).words;
    format!("{trough}, {}.", present::floor_fill(&farm.plan, measured, pen).words)
}
