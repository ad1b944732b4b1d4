//! The flock sorted by a card, as a person would.
//!
//! Ewes come through the race in an order drawn from a fixed seed, whatever order the list has. Each goes to
//! the pen that the card names; where it is full she goes to the next pen of the card's row, which is fed
//! more, and where that and all beyond are full, to the nearest before. Ewes kept in a pen by hand stand there
//! before the first of the others comes. Whoever is left, pens left with too few, and ewes who must share a pen
//! or must not, are put right at the end with as few moves as were found.

use crate::arrange::Arrange as _;
use crate::flock::AgeClass;
use crate::problem::{Problem, Severity};
use crate::solve::card::deal::{self, NOWHERE, Row};
use crate::sort::card::{Branch, Card, Rules};
use crate::sort::{Plan, PlannedEwe, Settings};
use rand_xoshiro::Xoshiro256Plus;
use rand_xoshiro::rand_core::{RngCore, SeedableRng};

/// The flock sorted by a card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The pen of each ewe.
    pub assignment: Vec<usize>,
    /// Ewes whose pen was full when they came.
    pub spilled: usize,
    /// Ewes moved at the end, because no pen had room for somebody or a pen was left with too few.
    pub put_right: usize,
}

/// Whether a ewe goes by the ewe lambs' line: ewe lambs do where they are kept apart from others.
pub fn goes_apart(plan: &Plan, ewe: &PlannedEwe) -> bool {
    plan.instance.kinds() > 1 && ewe.filled.age == AgeClass::EweLamb
}

/// The ewes in the order in which they come through the race; those kept in a pen by hand before all others.
pub fn arrivals(plan: &Plan) -> Vec<usize> {
    let mut order: Vec<usize> = (0..plan.ewes.len()).collect();
    order.arrange_by(|&a, &b| plan.ewes[a].ewe.tag.cmp(&plan.ewes[b].ewe.tag).then(a.cmp(&b)));
    shuffle(&mut order, Settings::SEED);
    order.arrange_by_key(|&ewe| plan.ewes[ewe].kept.is_none());
    order
}

/// Shuffles by a seed.
pub(super) fn shuffle(order: &mut [usize], seed: u64) {
    let mut random = Xoshiro256Plus::seed_from_u64(seed);
    for at in (1..order.len()).rev() {
        order.swap(at, ((random.next_u64() >> 32) % (at as u64 + 1)) as usize);
    }
}

/// The pen that a card names for a ewe; nothing where no line applies.
pub fn pen_of<'a>(card: &'a Card, ewe: &PlannedEwe) -> Option<&'a str> {
    match &card.rules {
        Rules::Points { totals, .. } => {
            let sum = half_points(card, ewe)?;
            totals.iter().find(|line| line.span.holds(sum)).map(|line| line.pen.as_str())
        }
        Rules::Tree { questions } => {
            let mut next = questions.first()?;
            for _ in 0..questions.len() {
                let yes = next.span.holds(next.feature.of(ewe));
                match if yes { &next.yes } else { &next.no } {
                    Branch::Pen(pen) => return Some(pen),
                    Branch::Question(number) => {
                        next = questions.iter().find(|question| question.number == *number)?;
                    }
                }
            }
            None
        }
    }
}

/// Half points of a ewe; nothing where a feature that the card asks for has no line for her.
pub fn half_points(card: &Card, ewe: &PlannedEwe) -> Option<i32> {
    let Rules::Points { lines, .. } = &card.rules else { return None };
    let mut sum = 0_i32;
    for feature in super::Feature::ALL {
        let mut of_feature = lines.iter().filter(|line| line.feature == feature).peekable();
        if of_feature.peek().is_some() {
            let at = feature.of(ewe);
            sum = sum.saturating_add(of_feature.find(|line| line.span.holds(at))?.half_points);
        }
    }
    Some(sum)
}

/// Sorts the plan's ewes by a card that [`super::check::check`] finds no error in.
pub fn run(card: &Card, plan: &Plan) -> Result<Run, Box<Problem>> {
    let pen = |name: &str| plan.pens.iter().position(|pen| pen.name == name);
    let rest: Vec<usize> = card.pens.iter().filter_map(|name| pen(name)).collect();
    let lambs: Vec<usize> = card.ewe_lambs.iter().filter_map(|name| pen(name)).collect();
    let (apart, others): (Vec<usize>, Vec<usize>) =
        arrivals(plan).into_iter().partition(|&ewe| goes_apart(plan, &plan.ewes[ewe]));
    let mut assignment = vec![NOWHERE; plan.ewes.len()];
    let apart = elsewhere(plan, apart, &lambs, &mut assignment);
    let others = elsewhere(plan, others, &rest, &mut assignment);
    let mut starts = Vec::with_capacity(others.len());
    for &ewe in &others {
        let named = plan.ewes[ewe].kept.or_else(|| pen_of(card, &plan.ewes[ewe]).and_then(pen));
        let Some(place) = named.and_then(|pen| rest.iter().position(|&other| other == pen)) else {
            return Err(no_line(plan, ewe));
        };
        starts.push(place);
    }
    let mut spilled = deal(plan, (&others, &starts), &rest, &mut assignment)?;
    if !apart.is_empty() {
        let kept =
            |ewe: &usize| plan.ewes[*ewe].kept.and_then(|kept| lambs.iter().position(|&pen| pen == kept));
        let starts: Vec<usize> = apart.iter().map(|ewe| kept(ewe).unwrap_or(0)).collect();
        // That a second pen is filled when the first is full is how it is meant.
        deal(plan, (&apart, &starts), &lambs, &mut assignment)?;
    }
    let mended = deal::mended(&plan.instance, &assignment).ok_or_else(cannot_fill)?;
    let put_right = mended.iter().zip(&assignment).filter(|(a, b)| a != b).count();
    spilled = spilled.min(plan.ewes.len());
    Ok(Run { assignment: mended, spilled, put_right })
}

/// Puts those kept by hand in a pen that their line of the card does not name there; the others.
fn elsewhere(plan: &Plan, ewes: Vec<usize>, line: &[usize], assignment: &mut [usize]) -> Vec<usize> {
    let (elsewhere, others): (Vec<usize>, Vec<usize>) =
        ewes.into_iter().partition(|&ewe| plan.ewes[ewe].kept.is_some_and(|kept| !line.contains(&kept)));
    for ewe in elsewhere {
        assignment[ewe] = plan.ewes[ewe].kept.unwrap_or(NOWHERE);
    }
    others
}

/// Deals one class into its pens; whoever finds no room stands where the card sent her, to be put right.
fn deal(
    plan: &Plan,
    (ewes, starts): (&[usize], &[usize]),
    pens: &[usize],
    assignment: &mut [usize],
) -> Result<usize, Box<Problem>> {
    if pens.is_empty() {
        return match ewes.first() {
            Some(&ewe) => Err(no_line(plan, ewe)),
            None => Ok(0),
        };
    }
    let mut places = Vec::new();
    let dealt = Row::default().deal(&plan.instance, ewes, pens, |index| starts[index], &mut places);
    for ((&ewe, &place), &start) in ewes.iter().zip(&places).zip(starts) {
        assignment[ewe] = pens[if place == NOWHERE { start } else { place }];
    }
    Ok(dealt.spilled)
}

fn no_line(plan: &Plan, ewe: usize) -> Box<Problem> {
    let tag = &plan.ewes[ewe].ewe.tag;
    Box::new(
        Problem::new(
            Severity::Error,
            "card-gap",
            format!("ewe {tag}"),
            "No line of the card applies to her.",
            "Add a line to the card, or widen one.",
        )
        .about(tag),
    )
}

fn cannot_fill() -> Box<Problem> {
    Box::new(Problem::new(
        Severity::Error,
        "card-cannot-fill",
        "the card",
        "Pens filled by this card leave ewes without room, and no few moves were found that put it right.",
        "Change the order of the pens or their totals, or name more pens on the card.",
    ))
}
