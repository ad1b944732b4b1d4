//! What was loaded and left: against the plan, and what it says of the pens' appetite.

use crate::day::Day;
use crate::farm::plan::document::{HappenedEntry, HappenedFeedEntry};
use crate::farm::plan::ground::Ground;
use crate::feed::Stocked;
use crate::io::Loaded;
use crate::ration::{Asked, seen_appetite};
use crate::sort::shortfall::count_words;
use crate::sort::weeks::DAYS;

/// Share left below which the trough ran empty: they would have eaten more (from memory; under 2 %).
const EMPTY: f64 = 0.02;
/// Share left above which feed is picked over or too much is offered (from memory; over 10 %).
const TOO_MUCH: f64 = 0.10;
/// How far appetite is scaled at most (chosen here; common practice, no source).
const SCALED: [f64; 2] = [0.7, 1.3];
/// Days of a pen that must be told before its appetite is scaled (chosen here; common practice, no source).
const LEAST_DAYS: usize = 3;

/// What was seen of a pen.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    pub(super) pen: usize,
    pub(super) days: Vec<Day>,
    /// By feed: place, kg loaded, kg left.
    feeds: Vec<(usize, f64, f64)>,
    loaded_kg_dm: f64,
    left_kg_dm: f64,
    /// Whether anybody looked at what was left.
    is_left_told: bool,
    /// By what appetite is scaled from the day after; 1 where it is not.
    pub(super) factor: f64,
}

impl Seen {
    /// The last day told.
    pub(super) fn last(&self) -> Option<Day> {
        self.days.last().copied()
    }

    fn refused(&self) -> f64 {
        if self.loaded_kg_dm > 0.0 { self.left_kg_dm / self.loaded_kg_dm } else { 0.0 }
    }
}

/// What was seen of each pen that is told of. `asked` makes what was asked on a pen's days: nothing where nobody stood
/// there; with it, the days on which ewes ate, all added up.
pub(super) fn seen(
    loads: &[Loaded],
    feeds: &[Stocked],
    asked: impl Fn(usize, &[Day]) -> Option<(Asked, f64)>,
) -> Vec<Seen> {
    let mut pens: Vec<usize> = loads.iter().map(|load| load.pen).collect();
    pens.sort_unstable();
    pens.dedup();
    let of_pen = |pen: usize| {
        let own: Vec<&Loaded> = loads.iter().filter(|load| load.pen == pen).collect();
        let mut days: Vec<Day> = own.iter().map(|load| load.day).collect();
        days.sort_unstable();
        days.dedup();
        let mut sums: Vec<(usize, f64, f64)> = Vec::new();
        for load in &own {
            let left = load.left.map_or(0.0, |left| left.value());
            match sums.iter_mut().find(|(feed, ..)| *feed == load.feed) {
                Some((_, loaded, own)) => (*loaded, *own) = (*loaded + load.loaded.value(), *own + left),
                None => sums.push((load.feed, load.loaded.value(), left)),
            }
        }
        let dm = |feed: usize| feeds.get(feed).map_or(0.0, |stocked| stocked.feed.values.dry_share());
        let mut seen = Seen {
            pen,
            loaded_kg_dm: sums.iter().map(|(feed, loaded, _)| dm(*feed) * loaded).sum(),
            left_kg_dm: sums.iter().map(|(feed, _, left)| dm(*feed) * left).sum(),
            is_left_told: own.iter().any(|load| load.left.is_some()),
            feeds: sums,
            days,
            factor: 1.0,
        };
        seen.factor = factor(&seen, &asked).unwrap_or(1.0);
        seen
    };
    pens.into_iter().map(of_pen).collect()
}

fn factor(seen: &Seen, asked: &impl Fn(usize, &[Day]) -> Option<(Asked, f64)>) -> Option<f64> {
    if !seen.is_left_told || seen.days.len() < LEAST_DAYS {
        return None;
    }
    let (asked, ewe_days) = asked(seen.pen, &seen.days)?;
    let by = 1.0 / ewe_days.max(1.0);
    let eaten: Vec<(usize, f64)> =
        seen.feeds.iter().map(|(feed, loaded, left)| (*feed, by * (loaded - left))).collect();
    let share = seen_appetite(&asked, &eaten)?;
    // Of an empty trough it is only known that they eat at least so much.
    let share = if seen.refused() < EMPTY { share.max(1.0) } else { share };
    let [least, most] = SCALED;
    Some(share.clamp(least, most))
}

/// What was seen, beside what the plan had for the same days.
pub(super) fn entries(ground: &Ground<'_>) -> Vec<HappenedEntry> {
    ground.seen.iter().map(|seen| entry(ground, seen)).collect()
}

fn entry(ground: &Ground<'_>, seen: &Seen) -> HappenedEntry {
    let name = ground.name(seen.pen).to_owned();
    let planned: Vec<f64> = (0..ground.feeds.len()).map(|feed| planned(ground, seen, feed)).collect();
    let dm = |feed: usize| ground.feeds.get(feed).map_or(0.0, |own| own.feed.values.dry_share());
    let planned_kg_dm: f64 = planned.iter().enumerate().map(|(feed, kg)| dm(feed) * kg).sum();
    let is_planned = planned_kg_dm > 0.0;
    let of = |feed: usize| seen.feeds.iter().find(|(own, ..)| *own == feed);
    let feeds = ground.feeds.iter().zip(&planned).enumerate().filter_map(|(feed, (stocked, planned))| {
        let told = of(feed);
        (told.is_some() || *planned > 0.0).then(|| HappenedFeedEntry {
            feed: stocked.feed.name.clone(),
            loaded_kg: told.map_or(0.0, |told| told.1),
            left_kg: told.map_or(0.0, |told| told.2),
            planned_kg: is_planned.then_some(*planned),
        })
    });
    let mut entry = HappenedEntry {
        pen: name,
        first_day: seen.days.first().copied().unwrap_or(ground.plan.settings.on),
        days: seen.days.len() as u32,
        loaded_kg_dm: seen.loaded_kg_dm,
        left_kg_dm: seen.left_kg_dm,
        planned_kg_dm: is_planned.then_some(planned_kg_dm),
        refused_percent: seen.is_left_told.then(|| 100.0 * seen.refused()),
        appetite_factor: seen.factor,
        feeds: feeds.collect(),
        words: String::new(),
    };
    entry.words = words(&entry, seen);
    entry
}

/// What the plan had of a feed for the days told, kg.
fn planned(ground: &Ground<'_>, seen: &Seen, feed: usize) -> f64 {
    let on = ground.plan.settings.on;
    let of_day = |day: &Day| {
        let index = usize::try_from(day.since(on)).ok()?;
        let (spell, fed) =
            ground.all().find(|(spell, _)| spell.pen == seen.pen && spell.week == index / DAYS)?;
        let head = ground.week(spell)?.head.get(index % DAYS).copied()?;
        let kg = fed.ration()?.feeds().into_iter().find(|(own, _)| *own == feed)?.1;
        Some(kg * f64::from(head))
    };
    seen.days.iter().filter_map(of_day).fold(0.0, |sum, kg| sum + kg)
}

fn words(entry: &HappenedEntry, seen: &Seen) -> String {
    let mut words = format!(
        "Pen {}, {} from {}: {:.0} kg of dry matter loaded",
        entry.pen,
        count_words(entry.days as usize, "day"),
        entry.first_day.short(),
        entry.loaded_kg_dm
    );
    if let Some(planned) = entry.planned_kg_dm {
        words.push_str(&format!(", {planned:.0} kg planned"));
    }
    match entry.refused_percent {
        None => words.push_str("; what was left was not told."),
        Some(percent) => words.push_str(&format!("; {percent:.0} % left.")),
    }
    let refused = seen.refused();
    if seen.is_left_told && refused < EMPTY {
        words.push_str(" The trough was empty: they would have eaten more.");
    } else if refused > TOO_MUCH {
        words.push_str(" So much left is picked over or too much: look at the feed, and load less.");
    }
    if (entry.appetite_factor - 1.0).abs() > 0.005 {
        words.push_str(&format!(
            " They eat {:.2} of what is reckoned for such ewes, and the weeks after are planned by that.",
            entry.appetite_factor
        ));
    } else if seen.is_left_told && seen.days.len() < LEAST_DAYS {
        words.push_str(&format!(" Appetite is scaled from {LEAST_DAYS} days on."));
    }
    words
}
