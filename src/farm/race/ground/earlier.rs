//! What is known from earlier seasons: rows of an earlier year's list, or what the journal holds of the last one.

use crate::day::Day;
use crate::farm::journal::season::{Season, YEAR_DAYS, is_over};
use crate::farm::race::ground::{key, row};
use crate::flock::{Due, Ewe, MatingGroup};
use crate::journal::{self, State, Topic, Value, What};
use crate::quantity::Kg;

/// The rows, and whether a list has them. A list that was brought for this race goes before the journal's last season,
/// and that before an older list.
pub(super) fn rows(state: &State, groups: &[MatingGroup], season: &Season) -> (Vec<Ewe>, bool) {
    let listed = |of_now: bool| {
        let events = state.prior().filter(move |event| season.has(event) == of_now);
        events.filter_map(|event| of_list(event.what()?)).collect::<Vec<_>>()
    };
    let brought = listed(true);
    if !brought.is_empty() {
        return (brought, true);
    }
    let last = of_last_season(state, groups, season);
    if last.is_empty() { (listed(false), true) } else { (last, false) }
}

/// A row of an earlier year's list, as it was then.
fn of_list(row: &What) -> Option<Ewe> {
    let What::PriorListed { lambs, score, age, due, weight_kg, .. } = row else { return None };
    Some(Ewe {
        litter: *lambs,
        condition: *score,
        age: *age,
        due: due.map_or(Due::Unknown, Due::On),
        weight: weight_kg.map(Kg::new),
        ..Ewe::unknown(row.ewe().as_ref().map(key).unwrap_or_default())
    })
}

/// The ewes of the last season that anybody was scanned or scored in, as they were then.
fn of_last_season(state: &State, groups: &[MatingGroup], season: &Season) -> Vec<Ewe> {
    let last = |topic: Topic| {
        let days = state.ewes().filter_map(|ewe| Some(season.of(ewe).earlier(topic)?.day));
        days.max()
    };
    let Some(last) = last(Topic::Scanned).or_else(|| last(Topic::Condition)) else { return Vec::new() };
    let then = |ewe: &journal::Ewe| {
        let hers = season.of(ewe);
        let is_of_it = |day: Day| day < hers.from && !is_over(day, last);
        if !ewe.readings.iter().any(|event| is_of_it(event.day)) {
            return None;
        }
        let value = |topic| {
            let standing = hers.earlier(topic).filter(|standing| is_of_it(standing.day))?;
            Value::of(standing.holds)
        };
        Some(in_their_year(row(ewe, groups, value), last))
    };
    state.ewes().filter_map(then).collect()
}

/// Where a group's days are a later year's by now, hers were years before.
fn in_their_year(mut ewe: Ewe, seen: Day) -> Ewe {
    if let Due::Between { first, last, .. } = &mut ewe.due {
        while is_over(seen, *first) {
            (*first, *last) = (first.plus(-YEAR_DAYS), last.plus(-YEAR_DAYS));
        }
    }
    ewe
}
