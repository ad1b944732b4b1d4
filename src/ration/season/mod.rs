//! Rations of several pens over several weeks, which share their stores and go from week to week in steps.
//!
//! | file | what |
//! |---|---|
//! | `together` | all of them as one linear programme, where a store or a step ties them |
//! | `change` | a forage that will not last: the week in which each pen goes over to it |
//! | `opening` | what whole weeks leave of it: change-overs begun earlier |
//! | `recipe` | one recipe of the concentrate for all |
//!
//! Each ration is found alone first. A forage that will not last is then kept for the pens and weeks that need it most,
//! and each pen goes over to it once. Where the stores suffice and no step is too steep, that is the best of all
//! together. Otherwise one programme of them all says what a kg of each scarce feed is worth, how much of it is kept
//! for whom, and how early concentrate must begin to rise; then each is found again, in order of the weeks, and draws
//! no more than is left beside what is kept for the others. So no store is ever overdrawn.

mod change;
mod opening;
mod recipe;
mod together;

use crate::feed::Stocked;
use crate::quantity::Kg;
use crate::ration::asked::{Asked, Way};
use crate::ration::limit::{self, weighed};
use crate::ration::settle::{Outcome, Ration, settle, settle_exactly};
use together::{Together, together};

/// A store's or a step's figure that is missed by less is kept, kg a ewe (chosen here; common practice, no source).
const NEAR_KG: f64 = 1e-6;

/// Most programmes solved for the weighable amounts of one pen and week: the week before shows what to use, so that
/// few do (chosen here; common practice, no source).
const SOLVES: u32 = 100;

/// Most times that change-overs are begun earlier with what is left (chosen here; common practice, no source).
const BEGINNINGS: usize = 4;

/// One pen in one week.
#[derive(Debug, Clone)]
pub struct Spell {
    /// Which pen.
    pub pen: usize,
    /// Which week.
    pub week: usize,
    /// What is asked of its ration; what a plan holds it to is filled in here.
    pub asked: Asked,
    /// Days on which ewes are fed, all added up.
    pub ewe_days: f64,
}

/// How concentrate goes over the weeks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// As the need of each week asks.
    Stepped,
    /// The same every week, as much in all.
    Flat,
}

/// What is wished of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish {
    /// Whether amounts must be such as can be weighed.
    pub to_weigh: bool,
    /// What a feed in use costs beside its price, pence a ewe a day.
    pub handling: f64,
    /// Whether one recipe of the concentrate is held for all pens and weeks.
    pub one_recipe: bool,
    /// How concentrate goes over the weeks.
    pub pattern: Pattern,
}

/// The ration of a spell, and what was asked of it in the end.
#[derive(Debug)]
pub struct Fed {
    /// What was asked, with what the plan held it to.
    pub asked: Asked,
    /// What came of it.
    pub outcome: Outcome,
    /// Concentrate of the week before, kg fresh a ewe a day, where it is known.
    pub last_week: Option<f64>,
}

/// Rations for all.
#[derive(Debug)]
pub struct Season {
    /// In the order of the spells.
    pub fed: Vec<Fed>,
    /// The recipe of the concentrate, where one was wished: feeds by place, and shares that sum to 1.
    pub recipe: Vec<(usize, f64)>,
    /// What a kg fresh of each feed is worth above its price, since its store runs short, pence; 0 where it does not.
    pub scarce: Vec<f64>,
    /// kg fresh of each feed that the best plan would want beyond its store; no store could be stretched further.
    pub wanting: Vec<f64>,
    /// What the best plan costs in amounts to the last gram, pence, needs missed charged; the plan in amounts that can
    /// be weighed costs more. Nothing where the programme of all gave no answer.
    pub least_pence: Option<f64>,
}

impl Fed {
    /// The ration, where there is one.
    pub fn ration(&self) -> Option<&Ration> {
        match &self.outcome {
            Outcome::Fed(ration) => Some(ration),
            _ => None,
        }
    }
}

impl Ration {
    /// Concentrate, kg fresh a ewe a day: the figure that goes from week to week in steps.
    pub fn concentrate(&self) -> f64 {
        self.whole.concentrate
    }
}

/// Finds the rations. Spells stand in the order of their weeks; all have the same feeds.
pub fn season(spells: &[Spell], wish: Wish) -> Season {
    let Some(feeds) = spells.first().map(|spell| spell.asked.feeds.len()) else {
        return Season {
            fed: Vec::new(),
            recipe: Vec::new(),
            scarce: Vec::new(),
            wanting: Vec::new(),
            least_pence: Some(0.0),
        };
    };
    let mut spells = spells.to_vec();
    let stocks: Vec<Option<f64>> = spells
        .first()
        .map(|spell| spell.asked.feeds.iter().map(|feed| feed.stock.map(Kg::value)).collect())
        .unwrap_or_default();
    let mut recipe = Vec::new();
    if wish.one_recipe {
        recipe = recipe::choose(&spells);
        spells.iter_mut().for_each(|spell| spell.asked.held.blend.clone_from(&recipe));
    }
    // Stores are shared: none is counted as one pen's own.
    spells.iter_mut().for_each(|spell| spell.asked.held.most = vec![f64::INFINITY; feeds]);
    let mut alone = alone(&spells);
    let mut changes = change::over(&mut spells, &mut alone, &stocks);
    let (mut all, mut fed) = found(&spells, &alone, &stocks, wish, |_| {});
    for _ in 0..BEGINNINGS {
        let begun = changes.begin_earlier(&mut spells, &mut alone, &fed, &stocks);
        if begun.is_empty() {
            break;
        }
        // Of these feeds as much is kept for the others as they took; what they left is free.
        let taken: Vec<Vec<f64>> =
            fed.iter().map(|fed| together::by_feed(fed.ration(), stocks.len())).collect();
        (all, fed) = found(&spells, &alone, &stocks, wish, |kept| {
            for (kept, taken) in kept.iter_mut().zip(&taken) {
                for feed in &begun {
                    if let (Some(kept), Some(taken)) = (kept.get_mut(*feed), taken.get(*feed)) {
                        *kept = *taken;
                    }
                }
            }
        });
    }
    let Together { mut scarce, wanting, pence, .. } = all;
    scarce.iter_mut().zip(changes.worth).for_each(|(own, worth)| *own = own.max(worth));
    Season { fed, recipe, scarce, wanting, least_pence: pence }
}

/// All together, and then each in the order of the weeks. `keep` may change what is kept for whom.
fn found(
    spells: &[Spell],
    alone: &[Option<Box<Ration>>],
    stocks: &[Option<f64>],
    wish: Wish,
    keep: impl Fn(&mut [Vec<f64>]),
) -> (Together, Vec<Fed>) {
    let mut spells = spells.to_vec();
    let mut all = together(&spells, alone, stocks);
    let floors = match wish.pattern {
        Pattern::Stepped => {
            all.least.iter().map(|kg| Some([floor((*kg)?, wish.to_weigh), f64::INFINITY])).collect()
        }
        Pattern::Flat => flat(&spells, &all.concentrate),
    };
    for (spell, floor) in spells.iter_mut().zip(floors) {
        spell.asked.held.solves = Some(SOLVES);
        spell.asked.held.concentrate = floor;
        spell.asked.held.handling = wish.handling;
    }
    keep(&mut all.amounts);
    let fed = walk(&spells, &all.amounts, stocks, wish.to_weigh);
    (all, fed)
}

/// Each ration by itself, to the last gram, as if the stores were full and every step allowed.
fn alone(spells: &[Spell]) -> Vec<Option<Box<Ration>>> {
    let mut mixes = Mixes::default();
    let found = spells.iter().map(|spell| {
        let mut asked = Asked { pen: None, ..spell.asked.clone() };
        if !is_first(spells, spell) {
            asked.last_week = None;
        }
        asked.held.mix = mixes.of(spells, spell, settle_exactly, |_| {});
        match settle_exactly(&asked) {
            Outcome::Fed(ration) => Some(ration),
            _ => None,
        }
    });
    found.collect()
}

fn is_first(spells: &[Spell], spell: &Spell) -> bool {
    !spells.iter().any(|other| other.pen == spell.pen && other.week < spell.week)
}

/// The common mixes, week by week: each is made for the pen that needs the least.
#[derive(Default)]
struct Mixes {
    made: Vec<(usize, Vec<(usize, f64)>)>,
}

impl Mixes {
    /// The mix of a spell's week; nothing where it is not fed so, or none can be made.
    fn of(
        &mut self,
        spells: &[Spell],
        spell: &Spell,
        find: impl Fn(&Asked) -> Outcome,
        hold: impl FnOnce(&mut Asked),
    ) -> Vec<(usize, f64)> {
        if spell.asked.way != Way::TopUp {
            return Vec::new();
        }
        if let Some((_, mix)) = self.made.iter().find(|(week, _)| *week == spell.week) {
            return mix.clone();
        }
        let density = |spell: &&Spell| spell.asked.me.value() / spell.asked.weight.value().max(1.0);
        let week = spells.iter().filter(|other| other.week == spell.week && other.asked.way == Way::TopUp);
        let Some(least) = week.min_by(|a, b| density(a).total_cmp(&density(b))) else { return Vec::new() };
        let mut common =
            Asked { way: Way::Mixed, mix_for: None, last_week: None, pen: None, ..least.asked.clone() };
        common.held.concentrate = None;
        hold(&mut common);
        let mix = match find(&common) {
            Outcome::Fed(ration) => ration.apart(),
            _ => Vec::new(),
        };
        self.made.push((spell.week, mix.clone()));
        mix
    }
}

/// A least amount, a hair below, or on the next lower step of the bucket so that weighing out still finds a way.
fn floor(kg: f64, to_weigh: bool) -> f64 {
    if to_weigh {
        weighed::BUCKET * libm::floor(kg / weighed::BUCKET + NEAR_KG)
    } else {
        (kg - NEAR_KG).max(0.0)
    }
}

/// The same concentrate in every week of a pen, as much in all, on a step of the bucket.
fn flat(spells: &[Spell], concentrate: &[f64]) -> Vec<Option<[f64; 2]>> {
    let level = |pen: usize| {
        let own = spells.iter().zip(concentrate).filter(|(spell, _)| spell.pen == pen);
        let (kg, days) = own.fold((0.0, 0.0), |(kg, days), (spell, each)| {
            (kg + each * spell.ewe_days, days + spell.ewe_days)
        });
        weighed::BUCKET * libm::round(kg / days.max(1.0) / weighed::BUCKET)
    };
    spells.iter().map(|spell| level(spell.pen)).map(|kg| Some([kg, kg])).collect()
}

/// Finds the rations in the order of the weeks, each from what is left beside what is kept for later ones.
fn walk(spells: &[Spell], kept: &[Vec<f64>], stocks: &[Option<f64>], to_weigh: bool) -> Vec<Fed> {
    let find = if to_weigh { settle } else { settle_exactly };
    let mut left: Vec<Option<f64>> = stocks.to_vec();
    // What is kept for spells yet to come, kg.
    let drawn = |spell: &Spell, kept: &[f64]| kept.iter().map(|kg| kg * spell.ewe_days).collect::<Vec<f64>>();
    let mut later: Vec<f64> = vec![0.0; stocks.len()];
    for (spell, kept) in spells.iter().zip(kept) {
        later.iter_mut().zip(drawn(spell, kept)).for_each(|(sum, kg)| *sum += kg);
    }
    let mut fed: Vec<Fed> = Vec::with_capacity(spells.len());
    let mut mixes = Mixes::default();
    for (place, (spell, kept)) in spells.iter().zip(kept).enumerate() {
        later.iter_mut().zip(drawn(spell, kept)).for_each(|(sum, kg)| *sum = (*sum - kg).max(0.0));
        let share = |left: &Option<f64>, later: f64, days: f64| {
            left.map_or(f64::INFINITY, |left| (left - later).max(0.0) / days.max(1.0))
        };
        let mut asked = Asked { pen: None, ..spell.asked.clone() };
        let before =
            (0..place).rev().find(|other| spells.get(*other).is_some_and(|own| own.pen == spell.pen));
        let before = before.and_then(|place| fed.get(place));
        if let Some(ration) = before.and_then(Fed::ration) {
            asked.last_week = Some(Kg::new(ration.concentrate()));
            asked.held.before = ration.feeds().into_iter().map(|(feed, _)| feed).collect();
            asked.held.last =
                ration.apart().into_iter().filter(|(feed, _)| is_concentrate(&asked, *feed)).collect();
        } else if before.is_some() {
            asked.last_week = None;
        }
        let week: f64 = spells.iter().filter(|own| own.week == spell.week).map(|own| own.ewe_days).sum();
        asked.held.mix = mixes.of(spells, spell, find, |common| {
            common.held.most = left.iter().map(|left| share(left, 0.0, week)).collect();
        });
        // What a change-over begins with is less than all.
        let own = |shares: Vec<f64>| {
            let most = spell.asked.held.most.iter().copied().chain(std::iter::repeat(f64::INFINITY));
            shares.into_iter().zip(most).map(|(share, most)| share.min(most)).collect::<Vec<f64>>()
        };
        asked.held.most =
            own(left.iter().zip(&later).map(|(left, later)| share(left, *later, spell.ewe_days)).collect());
        let outcome = relaxed(&mut asked, find, |asked| {
            asked.held.most = own(left.iter().map(|left| share(left, 0.0, spell.ewe_days)).collect());
        });
        if let Outcome::Fed(ration) = &outcome {
            for (feed, kg) in ration.feeds() {
                if let Some(Some(left)) = left.get_mut(feed) {
                    *left = (*left - kg * spell.ewe_days).max(0.0);
                }
            }
        }
        let last_week = asked.last_week.map(Kg::value);
        fed.push(Fed { asked, outcome, last_week });
    }
    fed
}

/// A ration as it is asked for; where there is none, without what the plan would like, then from all that is left.
fn relaxed(asked: &mut Asked, find: fn(&Asked) -> Outcome, open: impl Fn(&mut Asked)) -> Outcome {
    let first = find(asked);
    if matches!(first, Outcome::Fed(_)) {
        return first;
    }
    if asked.held.concentrate.take().is_some() {
        let outcome = find(asked);
        if matches!(outcome, Outcome::Fed(_)) {
            return outcome;
        }
    }
    open(asked);
    find(asked)
}

/// The most that concentrate may rise from a week to the next, kg fresh.
pub(super) const fn rise() -> f64 {
    limit::RISE
}

fn is_concentrate(asked: &Asked, feed: usize) -> bool {
    asked.feeds.get(feed).is_some_and(|stocked| stocked.feed.class.is_concentrate())
}

/// Whether a feed's store is limited.
pub(super) fn is_stored(feed: &Stocked) -> bool {
    feed.stock.is_some()
}
