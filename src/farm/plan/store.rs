//! The stores, walked day by day: what each pen draws, what is left, when a store is used up.

use crate::day::Day;
use crate::farm::plan::document::{FeedSumEntry, MonthEntry};
use crate::farm::plan::ground::Ground;
use crate::farm::plan::{forage, words};
use crate::feed::{Class, Stocked};
use crate::sort::weeks::DAYS;

/// kg in a tonne (by definition).
const KG_A_TONNE: f64 = 1000.0;

/// What is drawn of a feed on each day of the plan, kg.
fn drawn(ground: &Ground<'_>, feed: usize, days: usize) -> Vec<f64> {
    let mut drawn = vec![0.0; days];
    for (spell, fed) in ground.all() {
        let (Some(ration), Some(week)) = (fed.ration(), ground.week(spell)) else { continue };
        let kg = ration.feeds().into_iter().find(|(own, _)| *own == feed).map_or(0.0, |(_, kg)| kg);
        for ((place, day), head) in drawn.iter_mut().enumerate().skip(spell.week * DAYS).zip(&week.head) {
            *day += ground.told.kg(spell.pen, place, feed).unwrap_or(kg * f64::from(*head));
        }
    }
    drawn
}

/// Days of the plan, the last lambing included.
pub(super) fn days(ground: &Ground<'_>) -> usize {
    let ends = ground.all().filter_map(|(spell, _)| Some(spell.week * DAYS + ground.week(spell)?.head.len()));
    ends.max().unwrap_or(0)
}

/// Every feed that is used, or lies in store, with what becomes of it.
pub(super) fn sums(ground: &Ground<'_>) -> Vec<FeedSumEntry> {
    let days = days(ground);
    let sum = |(feed, stocked): (usize, &Stocked)| {
        let drawn = drawn(ground, feed, days);
        let used: f64 = drawn.iter().sum();
        (used > 0.0 || stocked.stock.is_some()).then(|| entry(ground, feed, stocked, &drawn))
    };
    ground.feeds.iter().enumerate().filter_map(sum).collect()
}

fn entry(ground: &Ground<'_>, feed: usize, stocked: &Stocked, drawn: &[f64]) -> FeedSumEntry {
    let on = ground.plan.settings.on;
    let price = stocked.price.value();
    let used: f64 = drawn.iter().sum();
    let stock = stocked.stock.map(|stock| stock.value());
    let mut left_after_week = Vec::new();
    let mut months: Vec<MonthEntry> = Vec::new();
    let mut gone = 0.0;
    for ((index, kg), day) in drawn.iter().enumerate().zip(0..) {
        gone += kg;
        let name = month(on.plus(day));
        let (used_t, money) = (kg / KG_A_TONNE, kg / KG_A_TONNE * price);
        match months.last_mut().filter(|month| month.month == name) {
            Some(month) => {
                month.used_t += used_t;
                month.money += money;
            }
            None => months.push(MonthEntry { month: name, used_t, money }),
        }
        if let Some(stock) = stock.filter(|_| (index + 1) % DAYS == 0 || index + 1 == drawn.len()) {
            left_after_week.push((stock - gone).max(0.0) / KG_A_TONNE);
        }
    }
    months.retain(|month| month.used_t > 0.0);
    let left = stock.map(|stock| (stock - used).max(0.0));
    let scarce = ground.season.scarce.get(feed).copied().unwrap_or(0.0);
    let mut entry = FeedSumEntry {
        feed: stocked.feed.name.clone(),
        price_per_t: price,
        used_t: used / KG_A_TONNE,
        money: used / KG_A_TONNE * price,
        stock_t: stock.map(|stock| stock / KG_A_TONNE),
        loaded_since_count_t: ground.since.get(feed).copied().unwrap_or(0.0) / KG_A_TONNE,
        left_t: left.map(|left| left / KG_A_TONNE),
        left_after_week_t: left_after_week,
        runs_out_on: left.and_then(|left| used_up(drawn, left)).map(|day| on.plus(day)),
        worth_more_per_t: scarce * KG_A_TONNE / 100.0,
        wanting_t: ground.season.wanting.get(feed).copied().unwrap_or(0.0) / KG_A_TONNE,
        months,
        words: String::new(),
    };
    entry.words = words::store(&entry, stocked.feed.class == Class::Mineral);
    entry.words.push_str(&forage::kept(ground, feed).unwrap_or_default());
    if let Some(counted) = stocked.counted_on.filter(|_| entry.loaded_since_count_t > 0.0) {
        entry.words.push_str(&words::counted(&entry, counted));
    }
    entry
}

/// The last day of use, where what is left then would not do for another such day.
fn used_up(drawn: &[f64], left: f64) -> Option<i32> {
    let last = drawn.iter().rposition(|kg| *kg > 0.0)?;
    (left < *drawn.get(last)? && last + 1 < drawn.len()).then_some(last as i32)
}

/// `2027-02`.
fn month(day: Day) -> String {
    let text = day.to_string();
    text.get(..7).unwrap_or(&text).to_owned()
}
