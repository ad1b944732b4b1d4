//! What is loaded: for each pen, week by week, as long as as many ewes stand there.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::farm::plan::document::{LoadEntry, LoadPartEntry};
use crate::farm::plan::ground::Ground;
use crate::feed::{Class, Stocked};
use crate::ration::season::{Fed, Spell};
use crate::ration::{Ration, Way};

/// Share of a wagon that is filled at the most: 60 to 90 % (from memory).
const FILLED: f64 = 0.9;
/// Below this share a mixer mixes badly (the same; from memory).
const SMALL: f64 = 0.3;
/// What a wagon's scale shows, kg: steps of 5 to 10 (from memory).
const SCALE_KG: f64 = 5.0;

/// Every load of the plan, in the order of the weeks.
pub(super) fn loads(ground: &Ground<'_>) -> Vec<LoadEntry> {
    ground.all().flat_map(|(spell, fed)| of_spell(ground, spell, fed)).collect()
}

/// A load to be written: what it is called, how often a day it is given, feeds with kg fresh a ewe a day.
struct Sort {
    what: &'static str,
    is_wagon: bool,
    times: u32,
    feeds: Vec<(usize, f64)>,
}

fn of_spell(ground: &Ground<'_>, spell: &Spell, fed: &Fed) -> Vec<LoadEntry> {
    let (Some(ration), Some(week)) = (fed.ration(), ground.week(spell)) else { return Vec::new() };
    let pen = ground.name(spell.pen).to_owned();
    let mut loads = Vec::new();
    for (first, days, head) in runs(week.first, &week.head) {
        for sort in sorts(ground, spell.asked.way, ration) {
            loads.push(load(ground, (&pen, spell.week), (first, days, head), &sort));
        }
    }
    loads
}

/// Days in a row on which as many ewes stand there: the first, how many, and the head.
fn runs(first: Day, head: &[u32]) -> Vec<(Day, u32, u32)> {
    let mut runs: Vec<(Day, u32, u32)> = Vec::new();
    for (day, &head) in (0..).zip(head) {
        match runs.last_mut() {
            Some((_, days, own)) if *own == head => *days += 1,
            _ => runs.push((first.plus(day), 1, head)),
        }
    }
    runs
}

/// What is loaded apart from each other: the mix, the forage, the concentrate with its minerals, or those alone.
fn sorts(ground: &Ground<'_>, way: Way, ration: &Ration) -> Vec<Sort> {
    let class = |place: usize| ground.feeds.get(place).map(|stocked| stocked.feed.class);
    let is_bucket = |place: usize| {
        class(place).is_some_and(|class| class.is_concentrate() || matches!(class, Class::Mineral))
    };
    let mut sorts = Vec::new();
    let mut add = |what, is_wagon, times: u32, mut feeds: Vec<(usize, f64)>| {
        feeds.retain(|(_, kg)| *kg > 0.0);
        feeds.arrange_by_key(|(place, _)| (class(*place).map_or(0, order), *place));
        if !feeds.is_empty() {
            sorts.push(Sort { what, is_wagon, times: times.max(1), feeds });
        }
    };
    match way {
        Way::Mixed => add("mix", true, 1, ration.apart()),
        way => {
            if way == Way::TopUp {
                add("mix", true, 1, ration.mixed());
            }
            let (bucket, forage): (Vec<_>, Vec<_>) =
                ration.apart().into_iter().partition(|(place, _)| is_bucket(*place));
            add("forage", false, 1, forage);
            let has_feed =
                bucket.iter().any(|(place, kg)| *kg > 0.0 && class(*place) != Some(Class::Mineral));
            let what = if has_feed { "concentrate" } else { "minerals" };
            add(what, false, ration.feeds_a_day(), bucket);
        }
    }
    sorts
}

/// The order in which a wagon for ewes is loaded: long and dry first, then concentrate and minerals, then silage and
/// roots, molasses last; small ones lie between large ones (from memory; mixer loading guides, 2010s).
fn order(class: Class) -> u32 {
    match class {
        Class::Straw | Class::Hay | Class::Haylage => 0,
        Class::Cereal | Class::Pulse | Class::Protein | Class::Distillers | Class::Compound => 1,
        Class::Fat | Class::Urea | Class::Mineral => 2,
        Class::ByProduct => 3,
        Class::Silage | Class::WholeCrop => 4,
        Class::Root => 5,
    }
}

/// Molasses is poured over the rest.
fn is_poured(stocked: &Stocked) -> bool {
    stocked.like == "molasses"
}

fn load(
    ground: &Ground<'_>,
    (pen, week): (&str, usize),
    (first_day, days, head): (Day, u32, u32),
    sort: &Sort,
) -> LoadEntry {
    let ewes = f64::from(head);
    let whole = ewes * sort.feeds.iter().map(|(_, kg)| kg).sum::<f64>();
    let wagon = ground.question.wagon_kg.filter(|_| sort.is_wagon);
    let batches = wagon.map_or(1.0, |kg| libm::ceil(whole / (FILLED * kg) - 1e-9).max(1.0));
    let loads_a_day = sort.times * batches as u32;
    let part = |&(place, kg): &(usize, f64)| {
        let stocked = ground.feeds.get(place)?;
        let kg_a_load = kg * ewes / f64::from(loads_a_day);
        Some(LoadPartEntry {
            feed: stocked.feed.name.clone(),
            kg_a_ewe: kg,
            kg_a_load,
            kg_dm_a_load: kg_a_load * stocked.feed.values.dry_share(),
        })
    };
    let poured = |(place, _): &&(usize, f64)| ground.feeds.get(*place).is_some_and(is_poured);
    let dry = sort.feeds.iter().filter(|own| !poured(own));
    let parts: Vec<LoadPartEntry> = dry.chain(sort.feeds.iter().filter(poured)).filter_map(part).collect();
    let kg_a_load = parts.iter().map(|part| part.kg_a_load).sum();
    let mut notes = Vec::new();
    if let Some(wagon) = wagon.filter(|wagon| kg_a_load < SMALL * *wagon) {
        notes.push(format!(
            "{:.0} % of what the wagon holds: so little mixes badly. Mix for two days, or for two pens with one mix.",
            100.0 * kg_a_load / wagon
        ));
    }
    if sort.is_wagon {
        let small: Vec<&str> =
            parts.iter().filter(|part| part.kg_a_load < SCALE_KG).map(|part| part.feed.as_str()).collect();
        if !small.is_empty() {
            notes.push(format!(
                "{}: less than a wagon's scale shows. Weigh by hand and stir into the concentrate first.",
                small.join(", ")
            ));
        }
    }
    LoadEntry {
        pen: pen.to_owned(),
        week: week as u32 + 1,
        first_day,
        days,
        head,
        what: sort.what,
        loads_a_day,
        kg_a_load,
        parts,
        notes,
    }
}
