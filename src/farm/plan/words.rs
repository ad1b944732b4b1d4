//! What is said of weeks, loads and stores, in farm words.

use crate::day::Day;
use crate::farm::plan::document::{
    FeedSumEntry, LoadEntry, PlanDocument, PlanFeedEntry, PlanPenEntry, PlanWeekEntry,
};
use crate::farm::plan::ground::Ground;
use crate::feed::Stocked;
use crate::ration::{Ration, WATER_SOURCE};
use crate::sort::Settings;
use crate::sort::shortfall::count_words;

/// Changes below this are none, kg fresh a ewe a day (chosen here; common practice, no source).
const SAME_KG: f64 = 0.02;

/// Weeks to lambing within which trials saw ewes with twins and triplets eat less than they need: from day 121 on
/// (O'Doherty and Crosby, year not read).
const LATE_WEEKS: f64 = 4.0;

/// Concentrate in all, in a common mix too, kg fresh a ewe a day.
pub(super) fn concentrate(feeds: &[Stocked], ration: &Ration) -> f64 {
    let is_it = |feed: usize| feeds.get(feed).is_some_and(|stocked| stocked.feed.class.is_concentrate());
    ration.feeds().into_iter().filter(|(feed, _)| is_it(*feed)).fold(0.0, |sum, (_, kg)| sum + kg)
}

/// kg of a feed: to the gram where it is little.
pub(super) fn kg(kg: f64) -> String {
    if kg < 0.0995 { format!("{:.0} g", 1000.0 * kg) } else { format!("{kg:.2} kg") }
}

/// kg of a load: to the tenth where it is little, to the gram where it is less than that.
pub(super) fn load_kg(kg: f64) -> String {
    match kg {
        _ if kg < 0.0995 => format!("{:.0} g", 1000.0 * kg),
        _ if kg < 9.95 => format!("{kg:.1} kg"),
        _ => format!("{kg:.0} kg"),
    }
}

/// Room at the trough.
pub(super) fn trough(all_at_once: bool, needed: f64, there: f64) -> String {
    let how = if all_at_once { "to eat at once" } else { "to eat by turns" };
    let short = needed - there;
    if short > 0.005 {
        format!("{short:.1} m of trough short: {needed:.1} m for all {how}, {there:.1} m there.")
    } else {
        format!("Trough {there:.1} m, {needed:.1} m for all {how}.")
    }
}

/// What a pen is called, or a line of ewes in none.
pub(super) fn place(pen: &PlanPenEntry) -> String {
    if pen.is_apart() { format!("Set apart: {}", pen.pen) } else { format!("Pen {}", pen.pen) }
}

/// Where ewes of no pen are.
pub(super) const fn place_apart() -> &'static str {
    "In no pen of the sort: a place of their own, with room at the trough for all."
}

/// How the ration serves the pen: how many in full, and how far the worst of the others.
pub(super) fn served(week: &PlanWeekEntry) -> String {
    let of = week.head.first().copied().unwrap_or(0);
    let full = week.served_in_full;
    if full >= of {
        return format!("Meets the need of every ewe here ({of}).");
    }
    if full == 0 {
        return format!(
            "Meets none of the {of} in full: short by at most {:.1} MJ a day.",
            week.worst_short_mj_per_day
        );
    }
    let tenths = libm::floor(10.0 * f64::from(full) / f64::from(of.max(1)));
    let others = of - full;
    format!(
        "Meets {full} of {of} in full ({tenths:.0} in 10); the other {} short by at most {:.1} MJ a day.",
        if others == 1 { "one is".to_owned() } else { format!("{others} are") },
        week.worst_short_mj_per_day
    )
}

/// The level of the pen.
pub(super) fn level(week: &PlanWeekEntry) -> String {
    let richer = if week.level_me_mj_per_kg_dm > Settings::LEVEL_LIMITS[1] + 0.05 {
        format!(" (richer than any ration, {:.1} at most)", Settings::LEVEL_LIMITS[1])
    } else {
        String::new()
    };
    format!(
        "Level {:.1} MJ ME and {:.0} g MP a kg DM{richer}: {:.1} MJ and {:.0} g a ewe a day{}.",
        week.level_me_mj_per_kg_dm,
        week.level_mp_g_per_kg_dm,
        week.asked_me_mj_per_day,
        week.asked_mp_g_per_day,
        if week.protein_asked { "" } else { " (protein shown, not yet asked for)" }
    )
}

/// What is short of the level.
pub(super) fn short(week: &PlanWeekEntry) -> Option<String> {
    if week.status == "impossible" {
        return Some(
            "No ration fed this way, of what is left, is safe. Do not feed this pen by guess: see what stops it and the ways \
             out in its worst week.".to_owned(),
        );
    }
    let mut parts = Vec::new();
    if week.me_short_mj_per_day > 0.05 {
        parts.push(format!("{:.1} MJ", week.me_short_mj_per_day));
    }
    if week.protein_asked && week.mp_short_g_per_day > 0.5 {
        parts.push(format!("{:.0} g of protein", week.mp_short_g_per_day));
    }
    if parts.is_empty() {
        return None;
    }
    let parts = parts.join(" and ");
    if week.status == "near" {
        let why = if week.short_by_appetite { "she can eat no more" } else { "a step of the bucket" };
        return Some(format!(
            "{parts} a ewe a day below the level, within what can be weighed ({why}; a step brings {:.1} MJ and {:.0} g).",
            week.bucket_step_me_mj, week.bucket_step_mp_g
        ));
    }
    let eats = if week.short_by_appetite { eaten(week) } else { String::new() };
    let backs = if week.me_short_mj_per_day > 0.05 { "; energy comes off their backs" } else { "" };
    let seen = if week.short_by_appetite { seen_elsewhere(week) } else { "" };
    Some(format!("{parts} a ewe a day short of the level{eats}{backs}.{seen}"))
}

/// What she can eat of the ration, and what the sort counted on where that is more.
fn eaten(week: &PlanWeekEntry) -> String {
    let mut words = format!(
        ": more than she can eat of these feeds, {:.2} kg of dry matter a day, {:.1} % of her weight",
        week.kg_dm,
        100.0 * week.kg_dm / week.weight_kg.max(f64::MIN_POSITIVE)
    );
    if week.counted_kg_dm > week.kg_dm + 0.005 {
        words.push_str(&format!(
            " (the sort counted on {:.2}: good silage, the usual concentrate, and no end to a meal but fill)",
            week.counted_kg_dm
        ));
    }
    let beyond = week.beyond_any_ration_me_mj_per_day.min(week.me_short_mj_per_day);
    if beyond > 0.05 {
        words.push_str(&format!("; {beyond:.1} MJ of it no ration could bring"));
    }
    words
}

/// Whether trials lead one to expect that ewes eat less than they need: late, and with two or more lambs.
fn is_to_be_expected(week: &PlanWeekEntry) -> bool {
    week.weeks_to_lambing < LATE_WEEKS && week.litter_most >= 2
}

/// Why weekly rations are short, over all pens; nothing where it is not what ewes can eat.
pub(super) fn short_in_all(document: &PlanDocument) -> Option<String> {
    let weeks = document.pens.iter().flat_map(|pen| &pen.weeks);
    let full: Vec<&PlanWeekEntry> =
        weeks.filter(|week| week.status == "short" && week.short_by_appetite).collect();
    let expected = full.iter().filter(|week| is_to_be_expected(week)).count();
    let beyond =
        full.iter().filter(|week| week.beyond_any_ration_me_mj_per_day > 0.5 * week.me_short_mj_per_day);
    (!full.is_empty()).then(|| {
        format!(
            "Ewes can eat no more in {} of the short weeks; in {expected} of these that is to be expected, within four weeks of \
             lambing with two or more lambs, and in {} no ration could bring even half of what is missing.",
            full.len(),
            beyond.count()
        )
    })
}

/// Whether so late and with so many lambs ewes were seen to eat too little.
fn seen_elsewhere(week: &PlanWeekEntry) -> &'static str {
    match (is_to_be_expected(week), week.litter_most) {
        (true, 3..) => " To be expected: ewes with triplets rarely meet their need (Annett and others 2005).",
        (true, _) => {
            " To be expected: ewes with twins took 6.8 to 14.7 MJ a day in trials (O'Doherty and Crosby, year not read)."
        }
        _ => " Not to be expected so early or with one lamb: look at condition, weight and the ways out.",
    }
}

/// What is other than in the week before.
pub(super) fn changes(week: &PlanWeekEntry) -> Option<String> {
    let changed = |feed: &PlanFeedEntry| {
        let change = feed.change_kg.filter(|change| change.abs() >= SAME_KG && !feed.is_always_there)?;
        Some(format!("{} {}{}", feed.feed, if change > 0.0 { "+" } else { "\u{2212}" }, kg(change.abs())))
    };
    let parts =
        week.feeds.iter().filter_map(changed).chain(week.gone.iter().map(|feed| format!("no more {feed}")));
    let parts: Vec<String> = parts.collect();
    let rise = week.last_week_concentrate_kg.map(|last| week.concentrate_kg_fresh - last);
    if parts.is_empty() && !week.new_forage && week.change_over.is_none() {
        return None;
    }
    let mut words = if parts.is_empty() { String::new() } else { format!("Changes: {}.", parts.join(", ")) };
    if rise.is_some_and(|rise| rise > 0.05 + 1e-9) {
        words.push_str(" Raise concentrate by 50 g every two or three days.");
    }
    match &week.change_over {
        Some([from, to]) => words.push_str(&format!(
            " Change over from {from} to {to} this week, a little more of it each day for five to seven days."
        )),
        None if week.new_forage => words.push_str(" A new forage: change over in five to seven days."),
        None => {}
    }
    Some(words.trim_start().to_owned())
}

/// What a load is, as its heading has it.
fn load_name(load: &LoadEntry) -> &'static str {
    match load.what {
        "mix" => "Mix",
        "forage" => "Forage",
        "minerals" => "Minerals",
        _ => "Concentrate",
    }
}

/// A load in a line.
pub(super) fn load(load: &LoadEntry) -> String {
    let times = match (load.what, load.loads_a_day) {
        ("concentrate", 1) => "in one feed a day".to_owned(),
        ("concentrate", times) => format!("in {times} feeds a day, each"),
        ("mix" | "minerals", 1) | ("forage", _) => "a day".to_owned(),
        (_, times) => format!("in {times} loads a day, each"),
    };
    format!(
        "{} for {}, {}: {} {times}",
        load_name(load),
        count_words(load.head as usize, "ewe"),
        count_words(load.days as usize, "day"),
        load_kg(load.kg_a_load)
    )
}

/// A load whose head changes within the week, in a line.
pub(super) fn load_by_day(first: &LoadEntry, last: &LoadEntry) -> String {
    let what = load_name(first);
    let (from, to) = (count_words(first.head as usize, "ewe"), last.head);
    format!("{what} for {from}, {to} at the end of the week: one load on each of these days")
}

/// Tonnes; kg where it is little.
pub(super) fn tonnes(t: f64) -> String {
    match t {
        _ if t > 0.0 && t < 0.0095 => format!("{:.1} kg", 1000.0 * t),
        _ if t < 0.9995 => format!("{:.0} kg", 1000.0 * t),
        _ => format!("{t:.1} t"),
    }
}

/// Money, to the hundredth where it is little.
pub(super) fn money(money: f64) -> String {
    if money < 9.995 { format!("{money:.2} in money") } else { format!("{money:.0} in money") }
}

/// A bag of feed, tonnes: less is hardly worth ordering (common practice, no source).
const BAG_T: f64 = 0.025;

/// A feed over the plan.
pub(super) fn store(feed: &FeedSumEntry, is_little: bool) -> String {
    let tonnes = |t: f64| if is_little { format!("{:.0} kg", 1000.0 * t) } else { self::tonnes(t) };
    let mut words = match (feed.used_t > 0.0, feed.stock_t) {
        (false, Some(stock)) => format!("not used; {} in store", tonnes(stock)),
        (_, None) => {
            let bag = if !is_little && feed.used_t > 0.0 && feed.used_t < BAG_T {
                "; less than a bag of 25 kg: try the plan without it"
            } else {
                ""
            };
            format!("{} to buy or take, {}{bag}", tonnes(feed.used_t), money(feed.money))
        }
        (true, Some(stock)) => {
            format!("{} of {} used, {}", tonnes(feed.used_t), tonnes(stock), money(feed.money))
        }
    };
    match (feed.runs_out_on, feed.left_t) {
        (Some(day), _) => words.push_str(&format!("; used up on {}", day.in_words())),
        (None, Some(left)) if feed.used_t > 0.0 => {
            words.push_str(&format!("; {} left at the end", tonnes(left)))
        }
        _ => {}
    }
    if feed.wanting_t > 0.0 {
        words.push_str(&format!(
            "; at least {} more is needed, however it is stretched",
            tonnes(feed.wanting_t)
        ));
    } else if feed.worth_more_per_t >= 1.0 {
        words.push_str(&format!(
            "; it is short, so it goes where it saves most: another tonne is worth up to {:.0}",
            feed.price_per_t + feed.worth_more_per_t
        ));
    }
    words
}

/// What became of a store since it was counted.
pub(super) fn counted(feed: &FeedSumEntry, on: Day) -> String {
    let left = feed.stock_t.unwrap_or(0.0);
    format!(
        "; {} were loaded since it was counted on {}, so {} were there when the plan begins",
        tonnes(feed.loaded_since_count_t),
        on.in_words(),
        tonnes(left)
    )
}

/// What the figures stand on.
pub(super) fn basis(ground: &Ground<'_>) -> String {
    let settings = &ground.plan.settings;
    let share = 100.0 * settings.under / (settings.under + settings.over);
    let feeds = match ground.wish.to_weigh {
        true => "in amounts that can be weighed",
        false => "to the last gram",
    };
    format!(
        "Each pen is fed to the level at which its ewes' misfits are least: with {} to {} for a MJ below and above need, \
         about {share:.0} in 100 have enough. Each ewe is fed up to the day on which she is due, and is then gone from \
         the pen; who lambs early or late shifts that. Ewes eat by their own appetite. Rations cost least within the \
         limits shown, {feeds}; each feed in use counts for {} p a ewe a day for the work. A week's ration is made for \
         the mean need of its days. Concentrate rises by no more than 0.2 kg a week (common practice, no source; the \
         rumen needs 10 to 14 days, http://www.fwi.co.uk/news/lifts-lamb-crop.htm). Where a store is short, what is in \
         it goes where it saves most. Flat and stepped plans did alike in a trial (25 kg of concentrate a ewe over \
         seven weeks, rising, level or falling; 80 ewes in each of two years), so either may be used. Water by \
         {WATER_SOURCE}. Appetite is a working model fitted to published intakes: let what is left \
         in the trough correct it. The sort knows no feeds and counts on good silage with the usual concentrate; the plan \
         counts on these feeds and, near lambing, on no more than was measured, 2.0 % of live weight, so up to 15 % less. \
         In the last weeks need rises while appetite falls (beside \
         0.9 kg of concentrate, 17.9 MJ five weeks before lambing and 15.5 MJ one week before; Orr and Treacher 1989), so \
         ewes with two or more lambs live partly off their backs: such weeks are called short, with what no ration could \
         mend. Prices count in hundredths (p) of the money that a tonne is priced in.",
        settings.under, settings.over, ground.wish.handling
    )
}
