//! The last acts in words, and undoing them.
//!
//! An act is what was entered in one go: the card of one ewe, a list that was read in. Undoing an act undoes all
//! of its events; undoing an act that is undone brings it back. Both are events.

use crate::farm::journal::enter::{self, AppendReply};
use crate::farm::journal::words;
use crate::journal::{Entering, Entry, EventId, Journal, Name, Now, What};
use crate::problem::{Problem, Severity};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// At most so many events of an act are put in words.
const MOST_NAMED: usize = 8;

/// One act.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Act {
    /// Its name: that of its first event.
    pub act: String,
    /// How many events it has.
    pub events: usize,
    /// What was entered, in words.
    pub words: String,
    /// Who entered it.
    pub by: String,
    /// The day that it is about.
    pub day: String,
    /// The time of day that the device's clock showed.
    pub time: Option<String>,
    /// Whether it is undone.
    pub undone: bool,
}

/// Which act to undo or bring back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct UndoRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// Who undoes it.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub by: Option<String>,
    /// The act, as the history names it.
    pub act: String,
}

/// The last acts, latest first.
pub(super) fn acts(journal: &Journal, most: usize, here: Option<&str>) -> Vec<Act> {
    let mut order: Vec<&EventId> = Vec::new();
    let mut found: BTreeMap<&EventId, Vec<&Entry>> = BTreeMap::new();
    // Acts found whose first event, which is their last here, was not met yet.
    let mut open = 0_usize;
    for entry in journal.entries().rev() {
        if order.len() == most && open == 0 {
            break;
        }
        let act = act_of(entry);
        if matches!(entry.event.what(), Some(What::Undone { .. }))
            || (order.len() == most && !found.contains_key(act))
        {
            continue;
        }
        if !found.contains_key(act) {
            order.push(act);
            open += 1;
        }
        found.entry(act).or_default().push(entry);
        if entry.event.id == *act {
            open = open.saturating_sub(1);
        }
    }
    order.into_iter().filter_map(|act| described(journal, act, found.get(act)?, here)).collect()
}

fn act_of(entry: &Entry) -> &EventId {
    entry.event.act.as_ref().unwrap_or(&entry.event.id)
}

/// An act from its entries, latest first.
fn described(journal: &Journal, act: &EventId, entries: &[&Entry], here: Option<&str>) -> Option<Act> {
    let first = entries.last()?;
    Some(Act {
        act: act.to_string(),
        events: entries.len(),
        words: act_words(entries),
        by: words::who(&first.event, here),
        day: first.event.day.to_string(),
        time: first.event.time().map(str::to_owned),
        undone: !entries.iter().any(|entry| journal.counts(entry)),
    })
}

/// `0417: met, scanned twins, condition 2.5`; where it is about many ewes, how many entries.
fn act_words(entries: &[&Entry]) -> String {
    let names: Vec<Option<Name>> = entries.iter().map(|e| e.event.what().and_then(What::ewe)).collect();
    let called = entries.iter().rev().find_map(|entry| match entry.event.what()? {
        What::EweMet { tag: Some(tag), .. } => Some(tag.clone()),
        _ => None,
    });
    match names.first() {
        Some(Some(name)) if entries.len() > 1 && names.iter().all(|other| other.as_ref() == Some(name)) => {
            let said = entries.iter().rev().take(MOST_NAMED).filter_map(|entry| entry.event.what());
            let said: Vec<String> = said.map(words::of_ewe).collect();
            format!("{}: {}", called.unwrap_or_else(|| words::name(name)), said.join(", "))
        }
        _ => match entries {
            [one] => words::said(&one.event),
            many => format!("{} entries", many.len()),
        },
    }
}

/// Undoes an act, or brings it back.
pub(super) fn undo(journal: &mut Journal, request: &UndoRequest) -> AppendReply {
    let Ok(act) = EventId::try_from(request.act.clone()) else { return nothing(&request.act) };
    let of_act: Vec<&Entry> = journal.entries().filter(|entry| *act_of(entry) == act).collect();
    let counting: Vec<EventId> =
        of_act.iter().filter(|entry| journal.counts(entry)).map(|entry| entry.event.id.clone()).collect();
    let events = if counting.is_empty() {
        // It is undone: whatever undoes it is to be undone, by whomever.
        let undoes = |entry: &&Entry| match entry.event.what() {
            Some(What::Undone { events }) => {
                journal.counts(entry) && of_act.iter().any(|of| events.contains(&of.event.id))
            }
            _ => false,
        };
        journal.entries().filter(undoes).map(|entry| entry.event.id.clone()).collect()
    } else {
        counting
    };
    if events.is_empty() {
        return nothing(&request.act);
    }
    let entering =
        Entering { device: request.device.clone(), now: request.now, by: request.by.clone(), day: None };
    if let Some(problem) = enter::device_fault(&entering.device) {
        return AppendReply::Refused { problems: vec![problem] };
    }
    enter::appended(journal, &entering, vec![What::Undone { events }], Vec::new())
}

fn nothing(act: &str) -> AppendReply {
    let message = format!("There is no act {act} to undo.");
    let hint = "Choose one from the list of the last acts.";
    let problem = Problem::new(Severity::Error, "nothing-to-undo", "undo", message, hint);
    AppendReply::Refused { problems: vec![problem] }
}
