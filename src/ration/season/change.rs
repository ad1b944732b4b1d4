//! A forage that will not last: each pen goes over to it once, and then stays on it to its last lambing.
//!
//! A programme would hand it out by the gram, a little here and none there the week after. Ewes must be used to a
//! forage, and late in pregnancy they need the better one most; so a pen has none of it before its change-over and as
//! much as it takes from then on. Which week that is for each pen is found together, by what every week would cost
//! with and without it: a table over the store in steps (dynamic programming), so that no other choice of such weeks
//! saves more, but for the steps. Weeks are costed alone, to the last gram.

use super::opening::{Changes, Opening};
use super::{NEAR_KG, Spell, alone};
use crate::arrange::Arrange as _;
use crate::ration::asked::Way;
use crate::ration::settle::Ration;
use std::collections::BTreeSet;

/// Steps in which the store is dealt out (chosen here; common practice, no source).
const STEPS: usize = 400;
/// Most forages that may run short in one plan (chosen here; common practice, no source).
const FORAGES: usize = 3;

/// Settles the change-overs: bars a short forage from the weeks before, and takes the rations without it for these.
pub(super) fn over(
    spells: &mut [Spell],
    rations: &mut [Option<Box<Ration>>],
    stocks: &[Option<f64>],
) -> Changes {
    let mut worth = vec![0.0; stocks.len()];
    let mut openings: Vec<Opening> = Vec::new();
    let mut done: BTreeSet<usize> = BTreeSet::new();
    for _ in 0..FORAGES {
        let Some(feed) = richest_short(spells, rations, stocks, &done) else { break };
        done.insert(feed);
        let mut barred = spells.to_vec();
        barred.iter_mut().for_each(|spell| spell.asked.held.out.push(feed));
        let mut without = alone(&barred);
        let Some(stock) = stocks.get(feed).copied().flatten() else { continue };
        let weeks = weeks(spells, rations, &without, feed);
        let Some(first) = first_weeks(&weeks, stock) else { continue };
        let waits = |place: usize| {
            weeks
                .iter()
                .zip(&first)
                .any(|(line, first)| line.iter().take(*first).any(|week| week.spells.contains(&place)))
        };
        // Where nothing else can be fed, it is stretched and not kept back.
        if (0..spells.len()).any(|place| waits(place) && is_lost(rations, &without, place)) {
            continue;
        }
        for place in (0..spells.len()).filter(|place| waits(*place)) {
            if let (Some(spell), Some(ration), Some(other)) =
                (spells.get_mut(place), rations.get_mut(place), without.get_mut(place))
            {
                spell.asked.held.out.push(feed);
                *ration = other.take();
            }
        }
        for (line, first) in weeks.iter().zip(&first) {
            // The week before, the one before that, and so on, as long as it saves anything.
            let before = line.iter().take(*first).rev();
            for (place, week) in before.take_while(|week| week.kg > 0.0 && week.saved > 0.0).enumerate() {
                let saved = week.saved / week.kg;
                if let Some(own) = worth.get_mut(feed).filter(|_| place == 0) {
                    *own = f64::max(*own, saved);
                }
                // A common mix is one for all pens: it goes over as a whole.
                let [spell] = week.spells[..] else { break };
                let Some((pen, week_of)) = spells.get(spell).map(|own| (own.pen, own.week)) else { break };
                let kg = week.kg;
                openings.push(Opening { feed, pen, week: week_of, spell, kg, given: 0.0, worth: saved });
            }
        }
    }
    openings.arrange_by(|a, b| b.worth.total_cmp(&a.worth).then(a.spell.cmp(&b.spell)));
    Changes { worth, openings }
}

fn is_lost(with: &[Option<Box<Ration>>], without: &[Option<Box<Ration>>], place: usize) -> bool {
    let has = |of: &[Option<Box<Ration>>]| of.get(place).is_some_and(Option::is_some);
    has(with) && !has(without)
}

pub(super) fn kg(ration: Option<&Ration>, feed: usize) -> f64 {
    ration
        .and_then(|ration| ration.feeds().into_iter().find(|(own, _)| *own == feed))
        .map_or(0.0, |(_, kg)| kg)
}

/// The richest forage of which more is drawn than there is.
fn richest_short(
    spells: &[Spell],
    rations: &[Option<Box<Ration>>],
    stocks: &[Option<f64>],
    done: &BTreeSet<usize>,
) -> Option<usize> {
    let feeds = &spells.first()?.asked.feeds;
    let me = |feed: usize| feeds.get(feed).map_or(0.0, |stocked| stocked.feed.values.me.value());
    let is_short = |feed: usize, stock: f64| {
        let drawn =
            spells.iter().zip(rations).map(|(spell, ration)| spell.ewe_days * kg(ration.as_deref(), feed));
        drawn.sum::<f64>() > stock * (1.0 + NEAR_KG)
    };
    let short = stocks.iter().enumerate().filter(|(feed, stock)| {
        let is_forage = feeds.get(*feed).is_some_and(|stocked| stocked.feed.class.is_forage());
        is_forage && !done.contains(feed) && stock.is_some_and(|stock| is_short(*feed, stock))
    });
    short.map(|(feed, _)| feed).max_by(|a, b| me(*a).total_cmp(&me(*b)))
}

/// A week of a pen, or of all where they share a mix.
#[derive(Default)]
struct Week {
    spells: Vec<usize>,
    /// What the forage saves in it, pence.
    saved: f64,
    /// How much of it is eaten, kg.
    kg: f64,
}

/// By pen, its weeks in order; with a common mix all pens go over together.
fn weeks(
    spells: &[Spell],
    with: &[Option<Box<Ration>>],
    without: &[Option<Box<Ration>>],
    feed: usize,
) -> Vec<Vec<Week>> {
    let mut lines: Vec<(usize, Vec<Week>)> = Vec::new();
    for (place, ((spell, with), without)) in spells.iter().zip(with).zip(without).enumerate() {
        let is_common = spell.asked.way == Way::TopUp;
        let pen = if is_common { usize::MAX } else { spell.pen };
        let line = match lines.iter().position(|(own, _)| *own == pen) {
            Some(line) => line,
            None => {
                lines.push((pen, Vec::new()));
                lines.len() - 1
            }
        };
        let Some((_, line)) = lines.get_mut(line) else { continue };
        while line.len() <= spell.week {
            line.push(Week::default());
        }
        let Some(week) = line.get_mut(spell.week) else { continue };
        week.spells.push(place);
        week.kg += spell.ewe_days * kg(with.as_deref(), feed);
        if let (Some(with), Some(without)) = (with, without) {
            week.saved += spell.ewe_days * (without.objective() - with.objective());
        }
    }
    lines.into_iter().map(|(_, line)| line).collect()
}

/// The first week with the forage for each line, so that most is saved and no more eaten than there is.
fn first_weeks(lines: &[Vec<Week>], stock: f64) -> Option<Vec<usize>> {
    let step = stock / STEPS as f64;
    if step.is_nan() || step <= 0.0 {
        return Some(lines.iter().map(Vec::len).collect());
    }
    // What can be saved at most with so many steps of the store, line after line, and the week that does it.
    let mut best: Vec<f64> = vec![0.0; STEPS + 1];
    let mut chosen: Vec<Vec<(usize, usize)>> = Vec::new();
    for line in lines {
        let mut options: Vec<(usize, usize, f64)> = vec![(line.len(), 0, 0.0)];
        let (mut kg, mut saved) = (0.0, 0.0);
        for (place, week) in line.iter().enumerate().rev() {
            kg += week.kg;
            saved += week.saved;
            let steps = libm::ceil(kg / step - NEAR_KG);
            if steps > STEPS as f64 {
                break;
            }
            options.push((place, steps.max(0.0) as usize, saved));
        }
        let mut own = vec![f64::NEG_INFINITY; STEPS + 1];
        let mut which = vec![(line.len(), 0); STEPS + 1];
        for (first, steps, saved) in options {
            for room in steps..=STEPS {
                let all = saved + best.get(room - steps).copied().unwrap_or(f64::NEG_INFINITY);
                // Of equals the later one: the forage keeps.
                if let (Some(most), Some(which)) = (own.get_mut(room), which.get_mut(room))
                    && all > *most
                {
                    (*most, *which) = (all, (first, steps));
                }
            }
        }
        best = own;
        chosen.push(which);
    }
    let mut room = STEPS;
    let mut first = Vec::new();
    for which in chosen.iter().rev() {
        let &(week, steps) = which.get(room)?;
        first.push(week);
        room = room.checked_sub(steps)?;
    }
    first.reverse();
    Some(first)
}

#[cfg(test)]
mod tests {
    use super::{Week, first_weeks};

    /// Against every choice of first weeks.
    #[test]
    fn no_other_choice_of_change_overs_saves_more() {
        let mut state = 7_u64;
        let mut dice = |most: f64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            most * (state >> 11) as f64 / (1_u64 << 53) as f64
        };
        for _ in 0..40 {
            let lines: Vec<Vec<Week>> = (0..3)
                .map(|_| {
                    (0..4)
                        .map(|_| Week {
                            spells: Vec::new(),
                            saved: dice(9.0) - 2.0,
                            kg: libm::ceil(dice(9.0)),
                        })
                        .collect()
                })
                .collect();
            // A step is then a tenth of a kg, and all weeks are whole ones.
            let stock = 40.0;
            let first = first_weeks(&lines, stock).expect("a choice");
            let sums = |first: &[usize]| {
                let of = |line: &Vec<Week>, first: usize| {
                    line.iter()
                        .skip(first)
                        .fold((0.0, 0.0), |(saved, kg), week| (saved + week.saved, kg + week.kg))
                };
                let each = lines.iter().zip(first).map(|(line, first)| of(line, *first));
                each.fold((0.0, 0.0), |(a, b), (saved, kg)| (a + saved, b + kg))
            };
            let (saved, kg) = sums(&first);
            assert!(kg <= stock + 1e-9);
            for choice in 0..125_usize {
                let other = [choice % 5, choice / 5 % 5, choice / 25];
                let (other_saved, other_kg) = sums(&other);
                assert!(
                    other_kg > stock || other_saved <= saved + 1e-9,
                    "{first:?} {saved}, {other:?} {other_saved}"
                );
            }
        }
    }
}
