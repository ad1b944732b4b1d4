//! Backup and restore: whose journal it is, what is new in it, how old the last backup is.

use crate::farm::journal::{Book, EventLine, Now, TakeReply};
use crate::journal::What;
use crate::sort::shortfall::count_words;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A reminder comes after so many entries, or after so many hours with at least one (our choice: no more than a
/// morning's work may hang on one tablet).
const REMIND_ENTRIES: u64 = 500;
const REMIND_HOURS: u64 = 24;

/// When the journal was last saved as a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct BackupMark {
    /// What the clock showed, milliseconds since 1970.
    pub ms: u64,
    /// How many entries it held.
    pub events: u64,
}

/// How old the last backup is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct BackupWords {
    /// In words.
    pub words: String,
    /// Whether it is time for another.
    pub remind: bool,
}

impl BackupMark {
    /// How old a backup is, of a journal that has so many entries now.
    pub fn age(mark: Option<Self>, events: u64, now: Now) -> BackupWords {
        let Some(mark) = mark else {
            let words = if events == 0 { "Nothing to back up yet." } else { "Never backed up." };
            return BackupWords { words: words.to_owned(), remind: events >= REMIND_ENTRIES };
        };
        let since = events.saturating_sub(mark.events);
        let minutes = now.ms.saturating_sub(mark.ms) / 60_000;
        let ago = match (minutes, minutes / 60, minutes / 1440) {
            (0, ..) => "just now".to_owned(),
            (.., 0, 0) => format!("{} ago", count(minutes, "minute")),
            (_, hours, 0) => format!("{} ago", count(hours, "hour")),
            (.., days) => format!("{} ago", count(days, "day")),
        };
        let rest = match since {
            0 => "nothing entered since".to_owned(),
            1 => "1 entry since".to_owned(),
            many => format!("{many} entries since"),
        };
        let remind = since >= REMIND_ENTRIES || (since > 0 && minutes >= REMIND_HOURS * 60);
        BackupWords { words: format!("Backed up {ago}, {rest}."), remind }
    }
}

fn count(many: u64, noun: &str) -> String {
    count_words(usize::try_from(many).unwrap_or(usize::MAX), noun)
}

/// What came of restoring a backup, or of taking over another device's entries.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Restored {
    /// Taken; what is new is to be stored.
    Taken {
        /// The lines to store.
        lines: Vec<EventLine>,
        /// What came of it.
        reply: TakeReply,
    },
    /// It is another flock's: nothing was taken. The same request with `sure` takes it.
    OtherFlock {
        /// The question.
        words: String,
    },
}

pub(super) fn restore(book: &mut Book, bytes: &[u8], sure: bool) -> Restored {
    if !sure {
        let mut other = Book::new();
        other.take(bytes);
        if let (Some(own), Some(its)) = (flock(book), flock(&other))
            && own != its
        {
            let words =
                format!("That file is of the flock \"{its}\", and here is \"{own}\". Are they one flock?");
            return Restored::OtherFlock { words };
        }
    }
    let known: BTreeSet<String> = book.journal().entries().map(|entry| entry.line.clone()).collect();
    let unread: BTreeSet<String> = book.journal().unread().map(str::to_owned).collect();
    let reply = book.take(bytes);
    let new = book.journal().entries().filter(|entry| !known.contains(&entry.line));
    let mut lines: Vec<EventLine> =
        new.map(|entry| EventLine { id: entry.event.id.to_string(), line: entry.line.clone() }).collect();
    let lost = book.journal().unread().filter(|text| !unread.contains(*text));
    lines.extend(lost.map(|text| EventLine { id: String::new(), line: text.to_owned() }));
    Restored::Taken { lines, reply }
}

fn flock(book: &Book) -> Option<String> {
    match book.journal().state().flock.as_ref()?.what()? {
        What::FlockNamed { name } => Some(name.clone()),
        _ => None,
    }
}
