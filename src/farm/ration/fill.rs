//! Filling the ration's document.

use crate::farm::CAUTION;
use crate::farm::ration::document::{
    AskedEntry, CautionEntry, FeedEntry, LimitEntry, ProteinEntry, RationDocument, ShortfallEntry,
    UnusedEntry, WayOutEntry,
};
use crate::farm::ration::{FORMAT, withheld_feeds, words};
use crate::feed::{Class, Feed};
use crate::problem::Problem;
use crate::ration::{
    Asked, Cost, Key, Ration, Standing, Strength, Tried, Trouble, cautions, costs, entries, stops, ways_out,
};

pub(super) fn document(
    asked: &Asked,
    ration: &Ration,
    table: &[Feed],
    problems: Vec<Problem>,
) -> RationDocument {
    let standings = ration.standings();
    let missed = |key: Key| standings.iter().find(|s| s.rule.key == key).map_or(0.0, |s| s.missed);
    let asks_protein = asked.weeks <= asked.protein_weeks;
    let mp_missed = missed(Key::MpEnergy).max(missed(Key::MpNitrogen));
    let is_short = missed(Key::Me) > words::MET[0] || (asks_protein && mp_missed > words::MET[1]);
    let (ways, ways_tried) =
        if is_short { ways_out(asked, table, Trouble::Short(ration)) } else { (Vec::new(), 0) };
    let stopped_by = if is_short { stopped_by(ration, &standings) } else { Vec::new() };
    let costs = costs(ration);
    let protein = ration.protein();
    let shortfalls = standings.iter().filter_map(|standing| shortfall(standing, asked)).collect();
    RationDocument {
        format: FORMAT,
        status: if is_short { "short" } else { "met" },
        caution: CAUTION,
        way: asked.way.id(),
        asked: AskedEntry {
            me_mj_per_day: asked.me.value(),
            mp_g_per_day: asked.mp.value(),
            weight_kg: asked.weight.value(),
            litter: asked.litter.lambs(),
            weeks_to_lambing: asked.weeks,
            most_feeds: asked.most_feeds,
        },
        feeds: feeds(asked, ration),
        kg_fresh: ration.feeds().iter().map(|(_, kg)| kg).sum(),
        kg_dm: ration.whole.dm,
        concentrate_kg_fresh: ration.whole.concentrate,
        feeds_a_day: if asked.way.is_mixed() { 0 } else { ration.feeds_a_day() },
        pence: ration.pence,
        pence_before_weighing: ration.exact_pence,
        is_weighed: ration.is_weighed,
        is_proved: ration.is_proved,
        solves: ration.solves,
        duality_gap: ration.duality_gap,
        limits: standings.iter().map(|standing| limit(standing, &costs)).collect(),
        protein: ProteinEntry {
            mp_g_per_day: protein.mp,
            limited_by: if protein.is_short_of_nitrogen { "nitrogen" } else { "energy" },
            degradable_share: ration.degradable_share(),
            outflow_per_hour: ration.rumen().outflow.value(),
            yield_g_per_mj: ration.rumen().yield_g_per_mj,
        },
        unused: unused(asked, ration),
        shortfalls,
        stopped_by,
        ways_out: self::ways(asked, ways),
        ways_tried: ways_tried as u32,
        withheld: withheld_feeds(asked),
        cautions: cautions(asked, ration)
            .into_iter()
            .map(|caution| CautionEntry {
                about: caution.about.to_owned(),
                words: caution.words,
                source: caution.source.to_owned(),
            })
            .collect(),
        basis: basis(asked, asks_protein),
        problems,
    }
}

fn feeds(asked: &Asked, ration: &Ration) -> Vec<FeedEntry> {
    let mixed = ration.mixed();
    let entry = |(place, kg): (usize, f64)| {
        let stocked = asked.feeds.get(place)?;
        let in_mix = mixed.iter().find(|(feed, _)| *feed == place).map_or(0.0, |(_, kg)| *kg);
        Some(FeedEntry {
            feed: stocked.feed.name.clone(),
            like: stocked.like.clone(),
            kg_fresh: kg,
            kg_dm: kg * stocked.feed.values.dry_share(),
            kg_fresh_in_mix: (!mixed.is_empty()).then_some(in_mix),
            pence: kg * stocked.price.value() / 10.0,
            is_always_there: ration.always_there == Some(place) || in_mix > 0.0,
            analysed_on: stocked.analysis.as_ref().map(|analysis| analysis.on),
            source: stocked.feed.source.named.clone(),
        })
    };
    ration.feeds().into_iter().filter_map(entry).collect()
}

fn limit(standing: &Standing, costs: &[Cost]) -> LimitEntry {
    let rule = &standing.rule;
    let cost = costs.iter().find(|cost| cost.key == rule.key);
    LimitEntry {
        name: rule.name,
        unit: rule.unit,
        supplied: standing.figure,
        least: rule.low,
        most: rule.high,
        strength: strength(standing),
        state: state(standing),
        missed: standing.missed,
        pence_a_unit: cost.map(|cost| cost.pence),
        price_holds_by: cost
            .filter(|_| rule.per.is_none())
            .map(|cost| cost.holds.map(|by| by.filter(|by| by.is_finite()))),
        words: cost.map(|cost| words::cost(rule, cost)),
    }
}

/// Whether a limit may be missed, as documents say it.
pub(in crate::farm) fn strength(standing: &Standing) -> &'static str {
    match standing.rule.strength {
        Strength::Hard => "hard",
        Strength::Soft(_) => "need",
        Strength::Shown => "shown",
    }
}

/// Where a limit stands, as documents say it.
pub(in crate::farm) fn state(standing: &Standing) -> &'static str {
    if standing.missed > 0.0 {
        "missed"
    } else if standing.binds {
        "binds"
    } else {
        "holds"
    }
}

fn unused(asked: &Asked, ration: &Ration) -> Vec<UnusedEntry> {
    let entry = |entry: crate::ration::Entry| {
        let stocked = asked.feeds.get(entry.feed)?;
        let pays = entry.below.is_some_and(|below| below >= stocked.price.value());
        // That a mineral is not wanted at any price a merchant would name is no news.
        if stocked.feed.class == Class::Mineral && !pays {
            return None;
        }
        Some(UnusedEntry {
            feed: stocked.feed.name.clone(),
            price_per_t: stocked.price.value(),
            enters_below_per_t: entry.below,
            kg_fresh_then: entry.kg,
            words: words::entry(&stocked.feed.name, stocked.price.value(), &entry),
        })
    };
    entries(ration).into_iter().filter_map(entry).collect()
}

fn shortfall(standing: &Standing, asked: &Asked) -> Option<ShortfallEntry> {
    let rule = &standing.rule;
    let threshold = match rule.key {
        Key::Me => words::MET[0],
        Key::MpEnergy | Key::MpNitrogen | Key::Degradable => words::MET[1],
        _ => 0.01,
    };
    (standing.missed > threshold && rule.strength != Strength::Hard).then(|| {
        let mut words = words::shortfall(rule.key, rule.name, standing.missed, rule.unit, asked);
        if rule.strength == Strength::Shown {
            words.push_str(&format!(
                " Not asked for before the last {} weeks: no adviser read buys protein so early.",
                asked.protein_weeks
            ));
        }
        ShortfallEntry { name: rule.name, missed: standing.missed, unit: rule.unit, words }
    })
}

/// The limits that keep a need from being met, in words, worst first.
pub(in crate::farm) fn stopped_by(ration: &Ration, standings: &[Standing]) -> Vec<String> {
    if is_by_steps(ration) {
        return vec!["the steps of scale and bucket: to the last gram the need is met".to_owned()];
    }
    let mut words: Vec<String> = stops(ration)
        .into_iter()
        .filter_map(|(key, _)| standings.iter().find(|standing| standing.rule.key == key))
        .map(|standing| {
            let rule = &standing.rule;
            let (side, limit) = match (rule.low, rule.high) {
                (_, Some(high)) => ("at most", high),
                (low, None) => ("at least", low.unwrap_or(0.0)),
            };
            format!("{}: {:.2} {}, {side} {limit:.2}", rule.name, standing.figure, rule.unit)
        })
        .collect();
    if words.is_empty() {
        words.push("no limit alone: what is in store and what a feed may be given at most".to_owned());
    }
    words
}

/// Whether only weighing out keeps the need from being met.
pub(in crate::farm) fn is_by_steps(ration: &Ration) -> bool {
    ration.is_weighed && ration.exact_charged <= 0.1 * ration.charged
}

/// Ways out as entries.
pub(in crate::farm) fn ways(asked: &Asked, ways: Vec<Tried>) -> Vec<WayOutEntry> {
    let asks_protein = asked.weeks <= asked.protein_weeks;
    let entry = |tried: Tried| WayOutEntry {
        me_short_mj_per_day: tried.me_short,
        mp_short_g_per_day: tried.mp_short,
        pence: tried.pence,
        words: words::way_out(&tried, asks_protein),
    };
    ways.into_iter().map(entry).collect()
}

fn basis(asked: &Asked, asks_protein: bool) -> String {
    let protein =
        if asks_protein { "Protein is asked for." } else { "Protein is shown and not asked for so early." };
    format!(
        "Least cost within the limits shown; feed values are the table's unless a row has its own analysis. Protein by \
         AFRC (1993), its constants from memory. Appetite is a working model fitted to published intakes, not a \
         published equation: let what is left in the trough correct it. {protein} Flat and stepped feeding gave the \
         same ewes and lambs in a trial (25 kg over seven weeks, 80 ewes in two years), so either may be used. \
         Concentrate a feed: at most 0.5 kg, {} feeds allowed. Prices count in hundredths (p) of the money that a \
         tonne is priced in.",
        asked.most_feeds
    )
}
