//! All rations as one linear programme: what stores and steps make of them.
//!
//! Columns and rows of each ration stand beside each other; a row for each store adds up what all draw from it, and a
//! row for each pen and week holds the step of its concentrate. What a store lacks may be drawn beyond it at a charge
//! above all others, so that the programme has an answer wherever each ration alone has one, and the answer says how
//! much is lacking. Which forage is the main one is taken from the rations alone and looked at again after each pass.

use super::{NEAR_KG, Spell, is_stored, rise};
use crate::feed::protein::Rumen;
use crate::ration::limit::weighed;
use crate::ration::recipe::{MAIN_FORAGE, Recipe, recipe};
use crate::ration::settle::Ration;
use crate::solve::programme::shared::{Shared, Store, by_parts};
use crate::solve::programme::{Programme, Quick, quick};
use std::collections::BTreeSet;

/// Passes over the question which forage is the main one (chosen here; common practice, no source).
const PASSES: usize = 3;
/// What a kg beyond the store is charged, pence: more than any need that it could meet (chosen here; common
/// practice, no source).
const BEYOND: f64 = 1000.0;
/// A worth of a scarce feed below this is rounding, pence a kg (chosen here; common practice, no source).
const NOTHING: f64 = 1e-3;

/// What came of it.
#[derive(Clone)]
pub(super) struct Together {
    /// kg fresh a ewe a day of each feed, by spell.
    pub(super) amounts: Vec<Vec<f64>>,
    /// Concentrate, by spell.
    pub(super) concentrate: Vec<f64>,
    /// Least concentrate that a spell must have for the next week's step.
    pub(super) least: Vec<Option<f64>>,
    /// Worth of a kg above its price, by feed.
    pub(super) scarce: Vec<f64>,
    /// kg wanted beyond the store, by feed.
    pub(super) wanting: Vec<f64>,
    /// What all cost, pence.
    pub(super) pence: Option<f64>,
}

/// All rations together, from each alone.
pub(super) fn together(spells: &[Spell], alone: &[Option<Box<Ration>>], stocks: &[Option<f64>]) -> Together {
    let feeds = stocks.len();
    let amounts: Vec<Vec<f64>> = alone.iter().map(|ration| by_feed(ration.as_deref(), feeds)).collect();
    let concentrate: Vec<f64> =
        alone.iter().map(|ration| ration.as_ref().map_or(0.0, |ration| ration.concentrate())).collect();
    let pence: f64 = spells
        .iter()
        .zip(alone)
        .filter_map(|(spell, ration)| Some(spell.ewe_days * ration.as_ref()?.objective()))
        .sum();
    let untied = Together {
        least: vec![None; spells.len()],
        scarce: vec![0.0; feeds],
        wanting: vec![0.0; feeds],
        pence: Some(pence),
        amounts,
        concentrate,
    };
    let steps = steps(spells, alone);
    let is_steep = steps.iter().any(|&(before, after)| {
        let of = |place: usize| untied.concentrate.get(place).copied().unwrap_or(0.0);
        of(after) - of(before) > rise() + NEAR_KG
    });
    let is_short = overdrawn(spells, &untied.amounts, stocks);
    if !is_steep && !is_short {
        return untied;
    }
    let mains: Vec<Option<usize>> =
        alone.iter().map(|ration| ration.as_ref().map(|ration| ration.recipe.main)).collect();
    // Where no store ties them, each pen stands by itself; unless its steps then draw more than there is.
    if !is_short
        && let Some(found) = by_pens(spells, alone, &mains, &steps, &untied)
        && !overdrawn(spells, &found.amounts, stocks)
    {
        return found;
    }
    // Without an answer nothing is kept for anybody: whoever comes first draws first.
    let kept = vec![vec![0.0; feeds]; spells.len()];
    tied(spells, alone, mains, stocks, &steps).unwrap_or(Together { pence: None, amounts: kept, ..untied })
}

/// Whether more is drawn of some feed than is in store.
fn overdrawn(spells: &[Spell], amounts: &[Vec<f64>], stocks: &[Option<f64>]) -> bool {
    let drawn = |feed: usize| -> f64 {
        let own = amounts.iter().zip(spells);
        own.map(|(amounts, spell)| spell.ewe_days * amounts.get(feed).copied().unwrap_or(0.0)).sum()
    };
    let mut stocks = stocks.iter().enumerate();
    stocks.any(|(feed, stock)| stock.is_some_and(|stock| drawn(feed) > stock * (1.0 + NEAR_KG)))
}

/// Each pen by itself, tied by its steps alone; where none is steep, each of its rations alone.
fn by_pens(
    spells: &[Spell],
    alone: &[Option<Box<Ration>>],
    mains: &[Option<usize>],
    steps: &[(usize, usize)],
    untied: &Together,
) -> Option<Together> {
    let mut all = untied.clone();
    let stocks = vec![None; untied.scarce.len()];
    let pens: BTreeSet<usize> = spells.iter().map(|spell| spell.pen).collect();
    for pen in pens {
        let is_own = |place: usize| spells.get(place).is_some_and(|spell| spell.pen == pen);
        let steps: Vec<(usize, usize)> =
            steps.iter().copied().filter(|(before, _)| is_own(*before)).collect();
        let of = |place: usize| untied.concentrate.get(place).copied().unwrap_or(0.0);
        if !steps.iter().any(|&(before, after)| of(after) - of(before) > rise() + NEAR_KG) {
            continue;
        }
        let own = mains.iter().enumerate().map(|(place, main)| main.filter(|_| is_own(place))).collect();
        let found = tied(spells, alone, own, &stocks, &steps)?;
        for place in (0..spells.len()).filter(|place| is_own(*place)) {
            take(&mut all.amounts, &found.amounts, place);
            take(&mut all.concentrate, &found.concentrate, place);
            take(&mut all.least, &found.least, place);
        }
        let before = spells.iter().zip(alone).filter(|(spell, _)| spell.pen == pen);
        let before: f64 =
            before.filter_map(|(spell, ration)| Some(spell.ewe_days * ration.as_ref()?.objective())).sum();
        all.pence = all.pence.zip(found.pence).map(|(all, own)| all - before + own);
    }
    Some(all)
}

fn take<T: Clone>(all: &mut [T], found: &[T], place: usize) {
    if let (Some(own), Some(found)) = (all.get_mut(place), found.get(place)) {
        own.clone_from(found);
    }
}

pub(super) fn by_feed(ration: Option<&Ration>, feeds: usize) -> Vec<f64> {
    let mut amounts = vec![0.0; feeds];
    for (feed, kg) in ration.into_iter().flat_map(Ration::feeds) {
        if let Some(own) = amounts.get_mut(feed) {
            *own += kg;
        }
    }
    amounts
}

/// Spells of one pen in weeks that follow each other, both with a ration.
fn steps(spells: &[Spell], alone: &[Option<Box<Ration>>]) -> Vec<(usize, usize)> {
    let has = |place: usize| alone.get(place).is_some_and(Option::is_some);
    let follows = |(place, spell): (usize, &Spell)| {
        let after = spells.iter().position(|own| own.pen == spell.pen && own.week == spell.week + 1)?;
        (has(place) && has(after)).then_some((place, after))
    };
    spells.iter().enumerate().filter_map(follows).collect()
}

/// A spell in the programme of all.
struct Block {
    spell: usize,
    recipe: Recipe,
    /// Where its columns begin.
    at: usize,
}

fn tied(
    spells: &[Spell],
    alone: &[Option<Box<Ration>>],
    mut mains: Vec<Option<usize>>,
    stocks: &[Option<f64>],
    steps: &[(usize, usize)],
) -> Option<Together> {
    let mut best: Option<Solved> = None;
    for _ in 0..PASSES {
        let (blocks, programme, stores) = written(spells, &mains, alone, stocks, steps);
        let Some(shared) = solved(&programme, &stores) else { break };
        let mut changed = false;
        for block in &blocks {
            let main = main_of(block, &shared.amounts);
            if let (Some(own), Some(main)) = (mains.get_mut(block.spell), main)
                && *own != Some(main)
            {
                *own = Some(main);
                changed = true;
            }
        }
        best = Some((blocks, stores, shared));
        if !changed {
            break;
        }
    }
    let (blocks, stores, shared) = best?;
    let feeds = stocks.len();
    let mut found = Together {
        amounts: vec![vec![0.0; feeds]; spells.len()],
        concentrate: vec![0.0; spells.len()],
        least: vec![None; spells.len()],
        scarce: vec![0.0; feeds],
        wanting: vec![0.0; feeds],
        pence: Some(shared.cost),
    };
    for block in &blocks {
        let own = shared.amounts.get(block.at..).unwrap_or_default();
        let mix = alone.get(block.spell).and_then(|ration| ration.as_ref()?.mix.clone()).unwrap_or_default();
        if let Some(amounts) = found.amounts.get_mut(block.spell) {
            for (part, kg) in block.recipe.parts.iter().zip(own) {
                for (feed, share) in shares(part.feed, &mix) {
                    if let Some(amount) = amounts.get_mut(feed) {
                        *amount += share * kg;
                    }
                }
            }
        }
        if let Some(concentrate) = found.concentrate.get_mut(block.spell) {
            *concentrate =
                block.recipe.parts.iter().zip(own).map(|(part, kg)| part.content.concentrate * kg).sum();
        }
    }
    for &(before, after) in steps {
        let of = |place: usize| found.concentrate.get(place).copied().unwrap_or(0.0);
        // Where the step binds, the week before must not stay below.
        if of(after) - of(before) > rise() - weighed::BUCKET
            && let Some(least) = found.least.get_mut(before)
        {
            *least = Some(of(before));
        }
    }
    for ((feed, store), worth) in stores.iter().zip(&shared.worth) {
        if let Some(scarce) = found.scarce.get_mut(*feed).filter(|_| *worth > NOTHING) {
            *scarce = *worth;
        }
        let over = shared.amounts.get(store.beyond).copied().unwrap_or(0.0);
        if let Some(wanting) = found.wanting.get_mut(*feed) {
            *wanting = if over > NEAR_KG { over } else { 0.0 };
        }
    }
    Some(found)
}

/// The optimum: where stores tie a large programme part by part, otherwise as it stands.
fn solved(programme: &Programme, stores: &[(usize, Store)]) -> Option<Shared> {
    let tied: Vec<Store> = stores.iter().map(|(_, store)| *store).collect();
    if !tied.is_empty()
        && let Some(shared) = by_parts(programme, &tied)
    {
        return Some(shared);
    }
    let Quick::Optimal(optimum) = quick(programme) else { return None };
    let worth = tied.iter().map(|store| -optimum.prices.rows.get(store.row).copied().unwrap_or(0.0));
    let worth = worth.map(|worth| worth.max(0.0)).collect();
    Some(Shared { amounts: optimum.amounts, cost: optimum.cost, worth })
}

/// The forage that brings most dry matter.
fn main_of(block: &Block, amounts: &[f64]) -> Option<usize> {
    let own = block.recipe.parts.iter().zip(amounts.get(block.at..)?);
    let forages = own.filter(|(part, _)| part.class.is_some_and(crate::feed::Class::is_forage));
    let most = forages.max_by(|(a, x), (b, y)| (a.content.dm * *x).total_cmp(&(b.content.dm * *y)));
    most.filter(|(_, kg)| **kg > 0.0).and_then(|(part, _)| part.feed)
}

/// What a part draws from each store, by kg of it.
fn shares(feed: Option<usize>, mix: &[(usize, f64)]) -> Vec<(usize, f64)> {
    match feed {
        Some(feed) => vec![(feed, 1.0)],
        None => {
            let whole: f64 = mix.iter().map(|(_, kg)| kg).sum();
            mix.iter().map(|(feed, kg)| (*feed, kg / whole.max(f64::MIN_POSITIVE))).collect()
        }
    }
}

/// The blocks, each store with its feed, and the optimum.
type Solved = (Vec<Block>, Vec<(usize, Store)>, Shared);

type Written = (Vec<Block>, Programme, Vec<(usize, Store)>);

/// The programme; its blocks; its stores, each with its feed.
fn written(
    spells: &[Spell],
    mains: &[Option<usize>],
    alone: &[Option<Box<Ration>>],
    stocks: &[Option<f64>],
    steps: &[(usize, usize)],
) -> Written {
    let mut all = Programme::default();
    let mut blocks: Vec<Block> = Vec::new();
    for (place, ((spell, main), ration)) in spells.iter().zip(mains).zip(alone).enumerate() {
        let (Some(main), Some(ration)) = (main, ration) else { continue };
        let rumen =
            Rumen::at(spell.asked.me.value() / spell.asked.maintenance.value().max(f64::MIN_POSITIVE));
        let mut asked = spell.asked.clone();
        asked.held.is_by_weight = ration.recipe.is_by_weight;
        let mut own = recipe(&asked, rumen, *main, ration.mix.as_deref(), 0.0);
        let at = all.columns.len();
        let programme = std::mem::take(&mut own.programme);
        for column in programme.columns {
            all.column(column.name, spell.ewe_days * column.cost, column.low, column.high);
        }
        for row in programme.rows.into_iter().filter(|row| row.name != MAIN_FORAGE) {
            all.row(
                row.name,
                row.terms.into_iter().map(|(column, weight)| (at + column, weight)),
                row.low,
                row.high,
            );
        }
        blocks.push(Block { spell: place, recipe: own, at });
    }
    let block = |spell: usize| blocks.iter().find(|block| block.spell == spell);
    let concentrate = |block: &Block, sign: f64| -> Vec<(usize, f64)> {
        let parts = block.recipe.parts.iter().enumerate();
        parts.map(|(part, own)| (block.at + part, sign * own.content.concentrate)).collect()
    };
    for &(before, after) in steps {
        if let (Some(before), Some(after)) = (block(before), block(after)) {
            let terms = concentrate(before, -1.0).into_iter().chain(concentrate(after, 1.0));
            all.row("step", terms, f64::NEG_INFINITY, rise());
        }
    }
    let mut stores = Vec::new();
    for (feed, stock) in stocks.iter().enumerate() {
        let Some(stock) = stock else { continue };
        let is_real = spells.first().and_then(|spell| spell.asked.feeds.get(feed)).is_some_and(is_stored);
        let mut terms = Vec::new();
        for block in &blocks {
            let ration = alone.get(block.spell).and_then(Option::as_ref);
            let mix = ration.and_then(|ration| ration.mix.as_deref()).unwrap_or_default();
            let days = spells.get(block.spell).map_or(0.0, |spell| spell.ewe_days);
            for (part, own) in block.recipe.parts.iter().enumerate() {
                let share: f64 =
                    shares(own.feed, mix).iter().filter(|(of, _)| *of == feed).map(|(_, share)| share).sum();
                terms.push((block.at + part, days * share));
            }
        }
        if !is_real || terms.iter().all(|(_, weight)| *weight == 0.0) {
            continue;
        }
        let beyond = all.column("beyond the store", BEYOND, 0.0, f64::INFINITY);
        terms.push((beyond, -1.0));
        let row = all.row("store", terms, f64::NEG_INFINITY, *stock);
        stores.push((feed, Store { row, beyond }));
    }
    (blocks, all, stores)
}
