//! One recipe of the concentrate for all pens and weeks: of each only the rate is stepped.
//!
//! Shares are twentieths of the weight, as a person can mix them. Candidates are what the free rations use in all and
//! what single ones use; the cheapest over a sample of the spells is then bettered by moving a tenth from one feed to
//! another as long as that pays. It is a good recipe, not one that is proved the best.

use super::{Spell, alone};
use crate::arrange::Arrange as _;
use crate::feed::protein::Rumen;
use crate::ration::asked::{Asked, Way, withheld};
use crate::ration::recipe::recipe;
use crate::ration::settle::Ration;
use crate::solve::programme::{Quick, quick};

/// Parts of a recipe: twentieths (chosen here; common practice, no source).
const PARTS: u32 = 20;
/// Least share of a feed in a recipe, in parts: a tenth (chosen here; common practice, no source).
const LEAST: u32 = 2;
/// Most feeds in a recipe (chosen here; common practice, no source).
const MOST_FEEDS: usize = 4;
/// Weeks of each pen that are looked at (chosen here; common practice, no source).
const SAMPLE: usize = 3;
/// Most rounds of bettering (chosen here; common practice, no source).
const ROUNDS: usize = 6;

/// A recipe: feeds by place, and parts that sum to [`PARTS`].
type Parts = Vec<(usize, u32)>;

/// The recipe, as shares that sum to 1; empty where nobody needs concentrate.
pub(super) fn choose(spells: &[Spell]) -> Vec<(usize, f64)> {
    let free = alone(spells);
    let sample = sample(spells, &free);
    let mut candidates: Vec<Parts> = Vec::new();
    let mut add = |parts: Option<Parts>| {
        if let Some(parts) = parts.filter(|parts| !candidates.contains(parts)) {
            candidates.push(parts);
        }
    };
    let all = spells.iter().zip(&free).filter_map(|(spell, ration)| Some((spell, ration.as_deref()?)));
    add(rounded(used(all)));
    for (place, _) in &sample {
        if let (Some(spell), Some(Some(ration))) = (spells.get(*place), free.get(*place)) {
            add(rounded(used(std::iter::once((spell, ration.as_ref())))));
        }
    }
    let Some(spell) = spells.first() else { return Vec::new() };
    let farm: Vec<usize> = (0..spell.asked.feeds.len())
        .filter(|place| {
            spell.asked.feeds.get(*place).is_some_and(|stocked| {
                stocked.feed.class.is_concentrate() && withheld(stocked, spell.asked.way).is_none()
            })
        })
        .collect();
    for feed in &farm {
        add(Some(vec![(*feed, PARTS)]));
    }
    let cost = |parts: &Parts| cost(spells, &sample, parts);
    let costed = candidates.into_iter().map(|parts| (cost(&parts), parts));
    let Some((mut least, mut best)) = costed.min_by(|a, b| a.0.total_cmp(&b.0)) else { return Vec::new() };
    for _ in 0..ROUNDS {
        let tried = neighbours(&best, &farm).into_iter().map(|parts| (cost(&parts), parts));
        match tried.min_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((less, parts)) if less < least => (least, best) = (less, parts),
            _ => break,
        }
    }
    if least.is_infinite() {
        return Vec::new();
    }
    best.into_iter().map(|(feed, parts)| (feed, f64::from(parts) / f64::from(PARTS))).collect()
}

/// A few spells of each pen, the last among them, with their main forage.
fn sample(spells: &[Spell], free: &[Option<Box<Ration>>]) -> Vec<(usize, usize)> {
    let mut pens: Vec<usize> = spells.iter().map(|spell| spell.pen).collect();
    pens.sort_unstable();
    pens.dedup();
    let mut sample = Vec::new();
    for pen in pens {
        let own: Vec<usize> = (0..spells.len())
            .filter(|place| spells.get(*place).is_some_and(|spell| spell.pen == pen))
            .filter(|place| free.get(*place).is_some_and(Option::is_some))
            .collect();
        let step = own.len().div_ceil(SAMPLE).max(1);
        let chosen = own.iter().rev().step_by(step);
        sample.extend(chosen.filter_map(|place| Some((*place, free.get(*place)?.as_ref()?.recipe.main))));
    }
    sample
}

/// kg of each concentrate in all.
fn used<'r>(rations: impl Iterator<Item = (&'r Spell, &'r Ration)>) -> Vec<(usize, f64)> {
    let mut sums: Vec<(usize, f64)> = Vec::new();
    for (spell, ration) in rations {
        for (feed, kg) in ration.feeds() {
            if !spell.asked.feeds.get(feed).is_some_and(|stocked| stocked.feed.class.is_concentrate()) {
                continue;
            }
            match sums.iter_mut().find(|(own, _)| *own == feed) {
                Some((_, sum)) => *sum += kg * spell.ewe_days,
                None => sums.push((feed, kg * spell.ewe_days)),
            }
        }
    }
    sums
}

/// Amounts as parts: the largest few, none below a tenth, the rounding's rest on the largest.
fn rounded(mut amounts: Vec<(usize, f64)>) -> Option<Parts> {
    amounts.arrange_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    amounts.truncate(MOST_FEEDS);
    let whole: f64 = amounts.iter().map(|(_, kg)| kg).sum();
    if whole <= 0.0 {
        return None;
    }
    amounts.retain(|(_, kg)| kg * f64::from(PARTS) >= f64::from(LEAST) * whole);
    let whole: f64 = amounts.iter().map(|(_, kg)| kg).sum();
    let mut parts: Parts = amounts
        .iter()
        .map(|(feed, kg)| (*feed, (libm::round(f64::from(PARTS) * kg / whole) as u32).max(LEAST)))
        .collect();
    let others: u32 = parts.iter().skip(1).map(|(_, parts)| parts).sum();
    if let Some((_, largest)) = parts.first_mut() {
        *largest = PARTS.checked_sub(others)?;
    }
    parts.sort_unstable();
    Some(parts)
}

/// Recipes with a tenth moved from one feed to another.
fn neighbours(parts: &Parts, farm: &[usize]) -> Vec<Parts> {
    let mut found = Vec::new();
    for &(from, _) in parts {
        for &to in farm.iter().filter(|to| **to != from) {
            let mut moved = parts.clone();
            for (feed, own) in &mut moved {
                if *feed == from {
                    *own = own.saturating_sub(LEAST);
                } else if *feed == to {
                    *own += LEAST;
                }
            }
            if !moved.iter().any(|(feed, _)| *feed == to) {
                moved.push((to, LEAST));
            }
            moved.retain(|(_, own)| *own > 0);
            moved.sort_unstable();
            let is_whole = moved.iter().map(|(_, own)| own).sum::<u32>() == PARTS;
            if is_whole && moved.len() <= MOST_FEEDS && moved.iter().all(|(_, own)| *own >= LEAST) {
                found.push(moved);
            }
        }
    }
    found
}

/// What the sample costs with a recipe, needs missed charged; infinite where a ration cannot be made.
fn cost(spells: &[Spell], sample: &[(usize, usize)], parts: &Parts) -> f64 {
    let blend: Vec<(usize, f64)> =
        parts.iter().map(|(feed, own)| (*feed, f64::from(*own) / f64::from(PARTS))).collect();
    let mut sum = 0.0;
    for (place, main) in sample {
        let Some(spell) = spells.get(*place) else { continue };
        let way = if spell.asked.way == Way::TopUp { Way::Separate } else { spell.asked.way };
        let mut asked = Asked { way, pen: None, last_week: None, mix_for: None, ..spell.asked.clone() };
        asked.held.blend.clone_from(&blend);
        let rumen = Rumen::at(asked.me.value() / asked.maintenance.value().max(f64::MIN_POSITIVE));
        match quick(&recipe(&asked, rumen, *main, None, 0.0).programme) {
            Quick::Optimal(optimum) => sum += spell.ewe_days * optimum.cost,
            _ => return f64::INFINITY,
        }
    }
    sum
}
