//! Filling the plan's document.

use crate::farm::CAUTION;
use crate::farm::plan::aside::Aside;
use crate::farm::plan::document::{
    PlanDocument, PlanFeedEntry, PlanLimitEntry, PlanPenEntry, PlanWeekEntry, RecipeEntry, TroughEntry,
};
use crate::farm::plan::ground::Ground;
use crate::farm::plan::{FORMAT, forage, happened, load, short, store, words};
use crate::farm::ration::document::CautionEntry;
use crate::farm::ration::{fill, withheld_feeds, words as ration_words};
use crate::feed::Feed;
use crate::problem::{Problem, Severity};
use crate::quantity::MjPerDay;
use crate::ration::season::{Fed, Pattern, Spell};
use crate::ration::{Asked, Caution, Key, Outcome, Ration, cautions, drinks};
use crate::sort::Settings;
use crate::sort::weeks::PenWeek;

pub(super) fn document(ground: &Ground<'_>, table: &[Feed], mut problems: Vec<Problem>) -> PlanDocument {
    let pens: Vec<PlanPenEntry> =
        (0..ground.weeks.len()).filter_map(|pen| pen_entry(ground, table, pen)).collect();
    let feeds = store::sums(ground);
    let money: f64 = feeds.iter().map(|feed| feed.money).sum();
    let head: u32 = pens.iter().map(|pen| pen.head).sum();
    let by_head = 1.0 / f64::from(head.max(1));
    // A sum of nothing is a minus nought, and would be said so.
    let concentrate: f64 = ground
        .all()
        .filter_map(|(spell, fed)| Some(spell.ewe_days * words::concentrate(ground.feeds, fed.ration()?)))
        .fold(0.0, |sum, kg| sum + kg);
    let is_met = pens.iter().flat_map(|pen| &pen.weeks).all(|week| matches!(week.status, "met" | "near"));
    problems.extend(pens.iter().filter_map(tight));
    problems.extend(failed(ground));
    PlanDocument {
        format: FORMAT,
        status: if is_met { "met" } else { "short" },
        caution: CAUTION,
        on: ground.plan.settings.on,
        last_day: ground.plan.settings.on.plus(store::days(ground).saturating_sub(1) as i32),
        way: ground.way.id(),
        pattern: match ground.wish.pattern {
            Pattern::Stepped => "stepped",
            Pattern::Flat => "flat",
        },
        handling_pence: ground.wish.handling,
        recipe: ground
            .season
            .recipe
            .iter()
            .filter_map(|(feed, share)| {
                Some(RecipeEntry { feed: ground.feeds.get(*feed)?.feed.name.clone(), share: *share })
            })
            .collect(),
        pens,
        loads: load::loads(ground),
        money,
        money_per_ewe: money * by_head,
        concentrate_kg_per_ewe: concentrate * by_head,
        least_objective: ground.season.least_pence.map(|pence| pence / 100.0),
        shortfall_charge: ground
            .all()
            .filter_map(|(spell, fed)| Some(spell.ewe_days * fed.ration()?.charged / 100.0))
            .fold(0.0, |sum, money| sum + money),
        feeds,
        withheld: ground.spells.first().map(|spell| withheld_feeds(&spell.asked)).unwrap_or_default(),
        cautions: cautions_of(ground),
        happened: happened::entries(ground),
        basis: words::basis(ground),
        problems,
    }
}

/// A trough on which not all can eat.
fn tight(pen: &PlanPenEntry) -> Option<Problem> {
    let trough = &pen.trough;
    // Half a centimetre is no shortage.
    (trough.needed_m > trough.there_m + 0.005).then(|| {
        Problem::new(
            Severity::Warning,
            "trough-short",
            format!("pen {}", pen.pen),
            trough.words.clone(),
            "Feed in two sittings, mix everything, or take ewes out: whoever is pushed off goes short.",
        )
    })
}

/// Rations for which the solver gave no answer that stands up to checking.
fn failed(ground: &Ground<'_>) -> Option<Problem> {
    ground.all().find_map(|(_, fed)| match &fed.outcome {
        Outcome::Failed(why) => Some(Problem::new(
            Severity::Warning,
            "solver-failed",
            "the plan",
            format!("The solver gave no answer that stands up to checking for some weeks: {why}."),
            "Those weeks have no ration here. Please report it with the files.",
        )),
        _ => None,
    })
}

fn pen_entry(ground: &Ground<'_>, table: &[Feed], pen: usize) -> Option<PlanPenEntry> {
    let weeks = ground.weeks.get(pen)?;
    let first = weeks.first()?;
    let [needed_m, there_m] = ground.trough(pen);
    let all_at_once = ground.all_at_once(pen);
    let own: Vec<(&Spell, &Fed)> = ground.all().filter(|(spell, _)| spell.pen == pen).collect();
    let worst = own.iter().map(|(spell, fed)| short::trouble(ground, fed, spell)).enumerate();
    let worst = worst
        .filter(|(_, trouble)| *trouble > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(place, _)| place);
    let mut before: Option<&Ration> = None;
    let mut entries = Vec::new();
    for (place, (spell, fed)) in own.iter().enumerate() {
        let week = ground.week(spell)?;
        let mut entry = week_entry(ground, spell, fed, week, before);
        if entry.status != "met" {
            (entry.stopped_by, entry.ways_out) = short::mend(fed, table, worst == Some(place));
        }
        before = fed.ration();
        entries.push(entry);
    }
    Some(PlanPenEntry {
        pen: ground.name(pen).to_owned(),
        is_barren: ground.aside(pen).is_some_and(Aside::is_barren),
        is_unscanned: ground.aside(pen).is_some_and(|aside| !aside.is_barren()),
        head: first.head.first().copied().unwrap_or(0),
        trough: TroughEntry {
            all_at_once,
            needed_m,
            there_m,
            words: if ground.aside(pen).is_some() {
                words::place_apart().to_owned()
            } else {
                words::trough(all_at_once, needed_m, there_m)
            },
        },
        weeks: entries,
    })
}

fn week_entry(
    ground: &Ground<'_>,
    spell: &Spell,
    fed: &Fed,
    week: &PenWeek,
    before: Option<&Ration>,
) -> PlanWeekEntry {
    let asked = &fed.asked;
    let weight = ground.weight(spell.pen, week);
    let mut entry = PlanWeekEntry {
        week: spell.week as u32 + 1,
        first_day: week.first,
        status: "impossible",
        head: week.head.clone(),
        level_me_mj_per_kg_dm: week.density.value(),
        level_mp_g_per_kg_dm: week.protein.value(),
        asked_me_mj_per_day: asked.me.value(),
        asked_mp_g_per_day: asked.mp.value(),
        beyond_any_ration_me_mj_per_day: 0.0,
        counted_kg_dm: week.intake.value(),
        protein_asked: asked.weeks <= asked.protein_weeks,
        weight_kg: weight.value(),
        litter_most: asked.litter.lambs(),
        weeks_to_lambing: asked.weeks,
        last_week_concentrate_kg: fed.last_week,
        feeds: Vec::new(),
        gone: Vec::new(),
        new_forage: false,
        change_over: None,
        kg_fresh: 0.0,
        kg_dm: 0.0,
        me_mj_per_day: 0.0,
        mp_g_per_day: 0.0,
        me_short_mj_per_day: asked.me.value(),
        mp_short_g_per_day: asked.mp.value(),
        bucket_step_me_mj: 0.0,
        bucket_step_mp_g: 0.0,
        short_by_appetite: false,
        served_in_full: 0,
        worst_short_mj_per_day: week.served(MjPerDay::new(0.0), MjPerDay::new(0.0)).worst.value(),
        concentrate_kg_fresh: 0.0,
        feeds_a_day: 0,
        pence: 0.0,
        is_weighed: false,
        limits: Vec::new(),
        water_litres_per_day: [0.0; 2],
        stopped_by: Vec::new(),
        ways_out: Vec::new(),
    };
    let Some(ration) = fed.ration() else { return entry };
    entry.status = short::status(ground, asked, ration);
    [entry.bucket_step_me_mj, entry.bucket_step_mp_g] = short::step(ground, ration);
    entry.beyond_any_ration_me_mj_per_day = beyond_any_ration(asked, ration);
    entry.short_by_appetite = short::is_by_appetite(asked, ration);
    let whole = ration.whole;
    let was = |feed: usize| before.map(|before| kg_of(before, feed));
    entry.feeds = ration
        .feeds()
        .into_iter()
        .filter_map(|(feed, kg)| {
            let stocked = ground.feeds.get(feed)?;
            let is_mixed = ration.mixed().iter().any(|(own, kg)| *own == feed && *kg > 0.0);
            Some(PlanFeedEntry {
                feed: stocked.feed.name.clone(),
                kg_fresh: kg,
                kg_dm: kg * stocked.feed.values.dry_share(),
                change_kg: was(feed).map(|was| kg - was),
                is_always_there: ration.always_there == Some(feed) || is_mixed,
            })
        })
        .collect();
    if let Some(before) = before {
        let stocked = |feed: usize| ground.feeds.get(feed);
        let gone = before.feeds().into_iter().filter(|(feed, _)| kg_of(ration, *feed) <= 0.0);
        entry.gone = gone.filter_map(|(feed, _)| Some(stocked(feed)?.feed.name.clone())).collect();
        entry.change_over = forage::change_over(ground, before, ration);
        entry.new_forage = ration.feeds().into_iter().any(|(feed, _)| {
            stocked(feed).is_some_and(|own| own.feed.class.is_forage()) && kg_of(before, feed) <= 0.0
        });
    }
    entry.kg_fresh = entry.feeds.iter().fold(0.0, |sum, feed| sum + feed.kg_fresh);
    entry.kg_dm = whole.dm;
    entry.me_mj_per_day = whole.me;
    entry.mp_g_per_day = ration.protein().mp;
    entry.me_short_mj_per_day = ration.missed(Key::Me);
    entry.mp_short_g_per_day = short::mp_short(ration);
    let served = week.served(MjPerDay::new(whole.me), MjPerDay::new(ration_words::MET[0]));
    entry.served_in_full = served.in_full as u32;
    entry.worst_short_mj_per_day = served.worst.value();
    entry.concentrate_kg_fresh = words::concentrate(ground.feeds, ration);
    entry.feeds_a_day = if spell.asked.way.is_mixed() { 0 } else { ration.feeds_a_day() };
    entry.pence = ration.pence;
    entry.is_weighed = ration.is_weighed;
    entry.limits = ration
        .standings()
        .iter()
        .map(|standing| PlanLimitEntry {
            name: standing.rule.name,
            unit: standing.rule.unit,
            supplied: standing.figure,
            least: standing.rule.low.filter(|low| low.is_finite()),
            most: standing.rule.high.filter(|high| high.is_finite()),
            strength: fill::strength(standing),
            state: fill::state(standing),
        })
        .collect();
    let in_forage: f64 = ration
        .feeds()
        .into_iter()
        .filter_map(|(feed, kg)| Some((ground.feeds.get(feed)?, kg)))
        .filter(|(stocked, _)| stocked.feed.class.is_forage())
        .map(|(stocked, kg)| kg * (1.0 - stocked.feed.values.dry_share()))
        .sum();
    let head = f64::from(week.head.first().copied().unwrap_or(0));
    entry.water_litres_per_day = drinks(weight, in_forage).map(|litres| head * litres);
    entry
}

/// Energy asked for that no ration holds in what these ewes can eat, MJ a ewe a day.
fn beyond_any_ration(asked: &Asked, ration: &Ration) -> f64 {
    let [_, richest] = Settings::LEVEL_LIMITS;
    let most_kg =
        ration.standings().iter().find(|own| own.rule.key == Key::DryMatter).and_then(|own| own.rule.high);
    most_kg.map_or(0.0, |most_kg| (asked.me.value() - richest * most_kg).max(0.0))
}

fn kg_of(ration: &Ration, feed: usize) -> f64 {
    ration.feeds().into_iter().find(|(own, _)| *own == feed).map_or(0.0, |(_, kg)| kg)
}

/// Each thing to take care of once, where it is greatest.
fn cautions_of(ground: &Ground<'_>) -> Vec<CautionEntry> {
    let mut all: Vec<(f64, String, Caution)> = Vec::new();
    for (spell, fed) in ground.all() {
        let Some(ration) = fed.ration() else { continue };
        let pen = ground.name(spell.pen);
        let place = format!("Pen {pen}, week {}: ", spell.week + 1);
        for caution in cautions(&fed.asked, ration) {
            let (greatness, is_there) = match caution.about {
                "pregnancy toxaemia" => (ration.missed(Key::Me), true),
                "acidosis" => (ration.concentrate(), true),
                "copper" => (ration.whole.cu / ration.whole.dm.max(f64::MIN_POSITIVE), true),
                "wasted protein" => (ration.degradable_share(), true),
                // Only the first week has no week before it.
                "sudden change" if spell.week > 0 => continue,
                _ => (0.0, false),
            };
            let place = if is_there { place.clone() } else { String::new() };
            match all.iter_mut().find(|(.., own)| own.about == caution.about) {
                Some(own) if own.0 < greatness => *own = (greatness, place, caution),
                Some(_) => {}
                None => all.push((greatness, place, caution)),
            }
        }
    }
    let entry = |(_, place, caution): (f64, String, Caution)| CautionEntry {
        about: caution.about.to_owned(),
        words: format!("{place}{}", caution.words),
        source: caution.source.to_owned(),
    };
    all.into_iter().map(entry).collect()
}
