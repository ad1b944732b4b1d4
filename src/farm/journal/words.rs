//! Events in words: what was entered, by whom, when.

use crate::day::Day;
use crate::flock::{AgeClass, Litter};
use crate::journal::{Event, EventId, Mark, Name, Said, Topic, Value, What};

/// A ewe's name as it is said.
pub(super) fn name(name: &Name) -> String {
    match name {
        Name::Eid(eid) => eid.digits().to_owned(),
        Name::Tag(tag) => tag.clone(),
    }
}

/// What a mark is called.
pub(super) const fn mark(mark: Mark) -> &'static str {
    match mark {
        Mark::Lame => "lame",
        Mark::Udder => "udder",
        Mark::Prolapse => "prolapse",
        Mark::KeepApart => "keep apart",
        Mark::Cull => "cull",
        Mark::Other => "something else",
    }
}

/// What is read, as it is called.
pub(super) const fn topic(topic: Topic) -> &'static str {
    match topic {
        Topic::Scanned => "lambs",
        Topic::Condition => "condition",
        Topic::Age => "age",
        Topic::Due => "due",
        Topic::Weight => "weight",
        Topic::Pen => "pen",
        Topic::Fleece => "fleece",
    }
}

/// What was read, in words.
pub(super) fn value(value: Value<'_>) -> String {
    match value {
        Value::Scanned(lambs) => lambs.in_words().to_owned(),
        Value::Condition(score) => score.to_string(),
        Value::Age(age) => age.in_words().to_owned(),
        Value::Due(group, due) => due_words(group, due),
        Value::Weight(kg) => format!("{kg} kg"),
        Value::Pen(Some(pen)) => format!("pen {pen}"),
        Value::Pen(None) => "no pen".to_owned(),
        Value::Fleece(shorn) => fleece(shorn).to_owned(),
    }
}

const fn fleece(shorn: bool) -> &'static str {
    if shorn { "shorn" } else { "in the wool" }
}

fn due_words(group: Option<&str>, due: Option<Day>) -> String {
    match (group, due) {
        (Some(group), Some(due)) => format!("{}, group {group}", due.in_words()),
        (None, Some(due)) => due.in_words(),
        (Some(group), None) => format!("group {group}"),
        (None, None) => "not known".to_owned(),
    }
}

/// Which device an event is of, for whoever looks from one: `this tablet`. A device's name says nothing there.
pub(super) fn tablet(device: &str, here: &str) -> &'static str {
    if device == here { "this tablet" } else { "another tablet" }
}

/// Who says so and when: `Ann on this tablet at 09:14`; looked at from no device, `Ann at 09:14`.
pub(super) fn who_and_when(event: &Event, here: Option<&str>) -> String {
    let who = who(event, here);
    match event.time() {
        Some(time) => format!("{who} at {time}"),
        None => who,
    }
}

/// Who entered it: `Ann on this tablet`; looked at from no device, the person or else the device's name.
pub(super) fn who(event: &Event, here: Option<&str>) -> String {
    let Some(here) = here else { return event.who().to_owned() };
    let tablet = tablet(&event.id.device, here);
    event.by.as_ref().map_or_else(|| tablet.to_owned(), |by| format!("{by} on {tablet}"))
}

/// By whom and when: `by Ann on this tablet at 09:14`, `on another tablet at 09:14`.
pub(super) fn by_whom(event: &Event, here: Option<&str>) -> String {
    let lead = if event.by.is_none() && here.is_some() { "on" } else { "by" };
    format!("{lead} {}", who_and_when(event, here))
}

/// An event's name for whoever looks from a device: `entry 12 of this tablet`.
pub(super) fn entry(id: &EventId, here: Option<&str>) -> String {
    here.map_or_else(
        || id.to_string(),
        |here| format!("entry {} of {}", id.sequence, tablet(&id.device, here)),
    )
}

/// What an event says.
pub(super) fn said(event: &Event) -> String {
    match &event.said {
        Said::Known(what) => of_what(what),
        Said::Unknown { kind, .. } => format!("'{kind}', which this version does not understand"),
    }
}

/// The same, without the ewe's name, for a list under it; nothing where it is about no ewe.
pub(super) fn of_ewe(what: &What) -> String {
    match what {
        What::EweMet { .. } => "met".to_owned(),
        What::Scanned { lambs, .. } => scanned(*lambs),
        What::ConditionScored { score, .. } => format!("condition {score}"),
        What::AgeGiven { age, .. } => AgeClass::in_words(*age).to_owned(),
        What::DueGiven { group, due, .. } => format!("due: {}", due_words(group.as_deref(), *due)),
        What::Weighed { weight_kg, .. } => format!("{weight_kg} kg"),
        What::Marked { mark: of, words, .. } => match words {
            Some(words) => format!("marked {}: {words}", mark(*of)),
            None => format!("marked {}", mark(*of)),
        },
        What::MarkCleared { mark: of, .. } => format!("no longer {}", mark(*of)),
        What::Noted { words, .. } => format!("note: {words}"),
        What::PenGiven { pen, advised, .. } => match advised {
            Some(advice) if advice.pen != *pen => format!("pen {pen}, where pen {} was advised", advice.pen),
            _ => format!("pen {pen}"),
        },
        What::PenLeft { pen, .. } => format!("left pen {pen}"),
        What::FleeceSeen { shorn, .. } => fleece(*shorn).to_owned(),
        What::PriorListed { .. } => "on an earlier year's list".to_owned(),
        What::IdentitySet { eid, tag, .. } => match (eid, tag) {
            (Some(eid), Some(tag)) => format!("her identifier is {}, her tag {tag}", eid.digits()),
            (Some(eid), None) => format!("her identifier is {}", eid.digits()),
            (None, tag) => format!("her tag is {}", tag.as_deref().unwrap_or_default()),
        },
        What::Settled { .. } => "settled which reading holds".to_owned(),
        _ => String::new(),
    }
}

fn scanned(lambs: Litter) -> String {
    match lambs.lambs() {
        0 => "barren".to_owned(),
        _ => format!("scanned {}", lambs.in_words()),
    }
}

fn of_what(what: &What) -> String {
    match what {
        What::FlockNamed { name } => format!("the flock is called {name}"),
        What::Noted { ewe: None, words } => format!("note: {words}"),
        What::PenDescribed(row) => format!("pen {} described", row.pen),
        What::PenRemoved { pen } => format!("pen {pen} taken out"),
        What::GroupDescribed { group, first_day, last_day, .. } => {
            format!("group {group}: {} to {}", first_day.in_words(), last_day.in_words())
        }
        What::Undone { events } => match events.len() {
            1 => "1 entry undone".to_owned(),
            many => format!("{many} entries undone"),
        },
        _ => match what.ewe() {
            Some(ewe) => format!("{}: {}", name(&ewe), of_ewe(what)),
            None => of_ewe(what),
        },
    }
}
