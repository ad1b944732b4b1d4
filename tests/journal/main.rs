//! The journal: nothing lost, the same state whatever the order of arrival, and what people see of it.
//!
//! | file | what it checks |
//! |---|---|
//! | `properties` | merging, adding, undoing, in any order, against full replay |
//! | `reference` | the fold against one written anew here, from the lines alone |
//! | `damaged` | files cut, garbled, doubled, of other programs and newer versions |
//! | `clock` | clocks that are wrong |
//! | `identity` | whom a name means |
//! | `differ` | readings that contradict each other |
//! | `enter` | what is entered, asked, refused, undone |
//! | `files` | documents, the sort's files, fixtures of released versions |
//! | `command` | the command line |
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

#[path = "../common/mod.rs"]
mod common;

mod clock;
mod command;
mod damaged;
mod differ;
mod enter;
mod files;
mod identity;
mod properties;
mod reference;

use common::scanning_day::{START_MS, entering};
use evenfold::flock::{Litter, Score};
use evenfold::io;
use evenfold::journal::{Entry, Ewe, Journal, Name, Topic, Value, What};
use std::sync::Arc;

pub(crate) fn tag(tag: &str) -> Name {
    Name::Tag(tag.to_owned())
}

pub(crate) fn met(tag: &str) -> What {
    What::EweMet { eid: None, tag: Some(tag.to_owned()), read: None }
}

pub(crate) fn scanned(ewe: &str, lambs: u8) -> What {
    What::Scanned { ewe: tag(ewe), lambs: Litter::of(lambs).unwrap() }
}

pub(crate) fn scored(ewe: &str, score: f64) -> What {
    What::ConditionScored { ewe: tag(ewe), score: Score::of(score).unwrap() }
}

/// Enters something on the first or second device, so many minutes after the start.
pub(crate) fn enter(journal: &mut Journal, device: usize, minutes: u64, what: What) -> Arc<Entry> {
    let added = journal.append(&entering(device, START_MS + minutes * 60_000), vec![what]);
    Arc::clone(&added[0])
}

pub(crate) fn ewe<'j>(journal: &'j Journal, called: &str) -> &'j Ewe {
    journal.state().find(&tag(called)).expect(called)
}

/// The lambs that are taken to be hers.
pub(crate) fn lambs(journal: &Journal, called: &str) -> Option<u8> {
    let standing = ewe(journal, called).standing(Topic::Scanned)?;
    match Value::of(standing.holds)? {
        Value::Scanned(litter) => Some(litter.lambs()),
        _ => None,
    }
}

/// The same events in a journal that read them from a file.
pub(crate) fn read_back(text: &str) -> Journal {
    let reading = io::journal(text.as_bytes());
    let mut journal = Journal::new();
    journal.take(reading.entries, reading.unread);
    journal
}

/// Writes the fixtures of this version anew: only to be run when a version is released for the first time, for
/// what stands in `v1` must stay as it is for ever.
#[test]
#[ignore = "fixtures stay as they are"]
fn write_fixtures() {
    let [mut one, other] = common::scanning_day::scanning_day(20, 8);
    one.merge(&other);
    std::fs::write("tests/journal/v1/two-races.jsonl", io::write_journal(&one)).unwrap();
}
