//! Filling the state's document from a journal.

use crate::farm::CAUTION;
use crate::farm::journal::document::{
    AgeFact, BothCount, ConditionCount, ConditionFact, Conflict, ConflictReading, DayState, DeviceState,
    DueFact, EweState, FleeceFact, GroupState, LitterCount, MarkFact, NoteState, PenFact, PenState,
    ScannedFact, Source, StateDocument, Tally, WeightFact,
};
use crate::farm::journal::{Standpoint, doubts, words};
use crate::flock::{Litter, Score};
use crate::journal::{Event, Ewe, Journal, Standing, State, Topic, Value, What};
use crate::sort::shortfall::count_words;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The version of the document's shape.
const FORMAT: &str = "evenfold-state-1";

/// The state of a journal.
pub(super) fn document(journal: &Journal) -> StateDocument {
    let state = journal.state();
    let ewes: Vec<EweState> = state.ewes().map(ewe).collect();
    let device =
        |(device, last, missing): (&str, u64, u64)| DeviceState { device: device.to_owned(), last, missing };
    StateDocument {
        format: FORMAT,
        status: "state",
        caution: CAUTION,
        headline: headline(state, &tally(state)),
        flock: flock_name(state),
        events: journal.len(),
        devices: journal.devices().map(device).collect(),
        pens: state.pens.iter().filter_map(|event| pen(event, &ewes)).collect(),
        groups: state.groups.iter().filter_map(|event| group(event)).collect(),
        conflicts: conflicts(state, Standpoint::default()),
        tally: tally(state),
        days: days(state),
        notes: state.notes.iter().filter_map(note).collect(),
        problems: doubts::all(journal, None),
        ewes,
    }
}

fn flock_name(state: &State) -> Option<String> {
    match state.flock.as_ref()?.what()? {
        What::FlockNamed { name } => Some(name.clone()),
        _ => None,
    }
}

fn headline(state: &State, tally: &Tally) -> String {
    let name = flock_name(state).map(|name| format!("{name}: ")).unwrap_or_default();
    format!(
        "{name}{}, {} scanned.",
        count_words(tally.ewes, "ewe"),
        count_words(tally.lambs as usize, "lamb")
    )
}

/// One ewe.
pub(super) fn ewe(ewe: &Ewe) -> EweState {
    EweState {
        called: ewe.called(),
        tag: ewe.tag.clone(),
        eid: ewe.eid.as_ref().map(|eid| eid.digits().to_owned()),
        former: ewe.former.iter().map(words::name).collect(),
        scanned: fact(ewe, Topic::Scanned, |value, _, from| match value {
            Value::Scanned(lambs) => Some(ScannedFact { lambs, from }),
            _ => None,
        }),
        condition: fact(ewe, Topic::Condition, |value, _, from| match value {
            Value::Condition(score) => Some(ConditionFact { score, from }),
            _ => None,
        }),
        age: fact(ewe, Topic::Age, |value, _, from| match value {
            Value::Age(age) => Some(AgeFact { age, from }),
            _ => None,
        }),
        due: fact(ewe, Topic::Due, |value, _, from| match value {
            Value::Due(group, due) => {
                Some(DueFact { group: group.map(str::to_owned), due: due.map(|day| day.to_string()), from })
            }
            _ => None,
        }),
        weight: fact(ewe, Topic::Weight, |value, _, from| match value {
            Value::Weight(weight_kg) => Some(WeightFact { weight_kg, from }),
            _ => None,
        }),
        pen: fact(ewe, Topic::Pen, |_, event, from| match event.what()? {
            What::PenGiven { pen, advised, .. } => Some(PenFact {
                pen: pen.clone(),
                advised: advised.clone(),
                overruled: advised.as_ref().is_some_and(|advice| advice.pen != *pen),
                from,
            }),
            _ => None,
        }),
        fleece: fact(ewe, Topic::Fleece, |value, _, from| match value {
            Value::Fleece(shorn) => Some(FleeceFact { shorn, from }),
            _ => None,
        }),
        marks: ewe.marks.iter().filter_map(mark).collect(),
        notes: ewe.notes.iter().filter_map(note).collect(),
    }
}

fn fact<'e, T>(
    ewe: &'e Ewe,
    topic: Topic,
    of: impl FnOnce(Value<'e>, &'e Event, Source) -> Option<T>,
) -> Option<T> {
    let standing = ewe.standing(topic)?;
    of(Value::of(standing.holds)?, standing.holds, source(standing.holds, !standing.against.is_empty()))
}

fn source(event: &Event, in_doubt: bool) -> Source {
    Source {
        event: event.id.to_string(),
        day: event.day.to_string(),
        time: event.time().map(str::to_owned),
        by: event.who().to_owned(),
        in_doubt,
    }
}

fn mark(event: &Arc<Event>) -> Option<MarkFact> {
    match event.what()? {
        What::Marked { mark, words, .. } => {
            Some(MarkFact { mark: *mark, words: words.clone(), from: source(event, false) })
        }
        _ => None,
    }
}

fn note(event: &Arc<Event>) -> Option<NoteState> {
    match event.what()? {
        What::Noted { words, .. } => Some(NoteState { words: words.clone(), from: source(event, false) }),
        _ => None,
    }
}

fn pen(event: &Event, ewes: &[EweState]) -> Option<PenState> {
    let What::PenDescribed(row) = event.what()? else { return None };
    let inside = ewes.iter().filter(|ewe| ewe.pen.as_ref().is_some_and(|pen| pen.pen == row.pen)).count();
    let words = format!("Pen {}: {}", row.pen, count_words(inside, "ewe"));
    Some(PenState { row: row.clone(), ewes: inside, words })
}

fn group(event: &Event) -> Option<GroupState> {
    let What::GroupDescribed { group, first_day, last_day, of } = event.what()? else { return None };
    Some(GroupState {
        group: group.clone(),
        first_day: first_day.to_string(),
        last_day: last_day.to_string(),
        of: *of,
    })
}

/// Readings that contradict each other, by ewe.
pub(super) fn conflicts(state: &State, from: Standpoint<'_>) -> Vec<Conflict> {
    let of_ewe = |ewe: &Ewe| {
        let mut found = ewe.contradictions();
        if let Some(season) = from.season
            && !found.is_empty()
        {
            let first = season.of(ewe).from;
            found.retain(|(_, standing)| standing.day >= first);
        }
        found
            .into_iter()
            .map(|(topic, standing)| conflict(ewe, topic, &standing, from.here))
            .collect::<Vec<_>>()
    };
    state.ewes().flat_map(of_ewe).collect()
}

fn conflict(ewe: &Ewe, topic: Topic, standing: &Standing<'_>, here: Option<&str>) -> Conflict {
    let reading = |event: &Arc<Event>| ConflictReading {
        words: Value::of(event).map(words::value).unwrap_or_default(),
        from: source(event, true),
    };
    let readings: Vec<ConflictReading> =
        std::iter::once(standing.holds).chain(standing.against.iter().copied()).map(reading).collect();
    let say = |event: &Arc<Event>| {
        format!(
            "{} says {}",
            words::who_and_when(event, here),
            Value::of(event).map(words::value).unwrap_or_default()
        )
    };
    let all: Vec<String> =
        std::iter::once(standing.holds).chain(standing.against.iter().copied()).map(say).collect();
    let taken = readings.first().map(|reading| reading.words.clone()).unwrap_or_default();
    let decides = ewe.standing(topic).is_some_and(|now| now.day == standing.day);
    let end = if decides {
        format!("Until somebody settles it, {taken} is taken.")
    } else {
        "A later reading has taken its place.".to_owned()
    };
    Conflict {
        ewe: ewe.called(),
        topic,
        day: standing.day.to_string(),
        decides,
        words: format!(
            "{}, {} on {}: {}. {end}",
            ewe.called(),
            words::topic(topic),
            standing.day.in_words(),
            all.join("; ")
        ),
        readings,
    }
}

/// How many ewes carry how many lambs in what condition.
pub(super) fn tally(state: &State) -> Tally {
    // Those without a reading come last: 1 sorts after 0.
    let (mut litters, mut scores, mut both) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    let (mut ewes, mut lambs) = (0, 0);
    for ewe in state.ewes() {
        let value = |topic| ewe.standing(topic).and_then(|standing| Value::of(standing.holds));
        let litter = match value(Topic::Scanned) {
            Some(Value::Scanned(litter)) => Some(litter),
            _ => None,
        };
        let score = match value(Topic::Condition) {
            Some(Value::Condition(score)) => Some(score),
            _ => None,
        };
        ewes += 1;
        lambs += litter.map_or(0, |litter| u32::from(litter.lambs()));
        let (litter, score) = ((litter.is_none(), litter), (score.is_none(), score));
        *litters.entry(litter).or_insert(0) += 1;
        *scores.entry(score).or_insert(0) += 1;
        *both.entry((litter, score)).or_insert(0) += 1;
    }
    type Key<T> = (bool, Option<T>);
    let litter = |((_, lambs), ewes): (Key<Litter>, usize)| LitterCount {
        lambs,
        ewes,
        words: lambs.map_or_else(|| format!("{ewes} not scanned"), |lambs| lambs.of_ewes(ewes)),
    };
    let condition = |((_, score), ewes): (Key<Score>, usize)| ConditionCount { score, ewes };
    Tally {
        ewes,
        lambs,
        by_litter: litters.into_iter().map(litter).collect(),
        by_condition: scores.into_iter().map(condition).collect(),
        by_both: both
            .into_iter()
            .map(|(((_, lambs), (_, score)), ewes)| BothCount { lambs, score, ewes })
            .collect(),
    }
}

fn days(state: &State) -> Vec<DayState> {
    let mut found: BTreeMap<_, (BTreeSet<usize>, u64, u64)> = BTreeMap::new();
    for (number, ewe) in state.ewes().enumerate() {
        for event in &ewe.readings {
            let ms = event.at.ms;
            let (ewes, first, last) = found
                .entry((event.day, event.id.device.as_str()))
                .or_insert_with(|| (BTreeSet::new(), ms, ms));
            ewes.insert(number);
            *first = (*first).min(ms);
            *last = (*last).max(ms);
        }
    }
    let day = |((day, device), (ewes, first_ms, last_ms)): (
        (crate::day::Day, &str),
        (BTreeSet<usize>, u64, u64),
    )| {
        DayState { day: day.to_string(), device: device.to_owned(), ewes: ewes.len(), first_ms, last_ms }
    };
    found.into_iter().map(day).collect()
}
