//! The journal as both front ends use it: open it, enter, look, undo, merge, and take it out again.
//!
//! | file | what |
//! |---|---|
//! | `document`, `report` | the state as a document: its shape, and filling it |
//! | `doubts` | what somebody should look at |
//! | `enter` | entering what was seen or decided; what is asked or refused first |
//! | `look` | who stands before the reader, and what is known of her |
//! | `history` | the last acts in words, and undoing them |
//! | `files` | the state as the files that a sort reads |
//! | `season` | which readings are of the pregnancy under way |
//! | `words` | events in words |

pub mod document;
mod doubts;
mod enter;
mod files;
mod history;
mod look;
mod report;
pub(in crate::farm) mod season;
mod words;

pub use crate::journal::{Mark, Name, Now, What};
pub use enter::{AppendReply, AppendRequest, Changed, EventLine};
pub use history::{Act, UndoRequest};
pub use look::{Known, LookReply, LookRequest};

use crate::day::Day;
use crate::farm::journal::document::StateDocument;
use crate::farm::report as documents;
use crate::io::{self, JournalReading};
use crate::journal::Journal;
use crate::problem::{Problem, Severity};
use crate::sort::shortfall::count_words;
use season::Season;
use serde::Serialize;

/// A journal that is open.
#[derive(Debug, Clone, Default)]
pub struct Book {
    journal: Journal,
}

/// From where a journal is looked at: no device and all seasons, or a device at a race.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::farm) struct Standpoint<'a> {
    /// The device: its own entries are said to be of this tablet, and others' of another.
    pub here: Option<&'a str>,
    /// The season of the race.
    pub season: Option<&'a Season>,
}

/// What came of taking a file in.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct TakeReply {
    /// Whether the file was a journal, so that anything could be taken.
    pub taken: bool,
    /// Events that were not known before.
    pub new: usize,
    /// Events of the file that were known already.
    pub known: usize,
    /// Lines that could not be read; they are kept.
    pub unread: usize,
    /// All of it in words.
    pub words: String,
    /// What is wrong with the file, by line.
    pub problems: Vec<Problem>,
}

impl Book {
    /// An empty journal.
    pub fn new() -> Self {
        Self::default()
    }

    /// The events, for the race.
    pub(in crate::farm) fn journal(&self) -> &Journal {
        &self.journal
    }

    /// Takes in what a file holds. Taking the same file again changes nothing, and the order in which files are
    /// taken changes nothing either.
    pub fn take(&mut self, bytes: &[u8]) -> TakeReply {
        self.take_read(io::journal(bytes))
    }

    /// The same of what was read already.
    pub fn take_read(&mut self, reading: JournalReading) -> TakeReply {
        let taken = !reading.problems.iter().any(|problem| problem.is_error() && problem.row.is_none());
        let unread = reading.unread.len();
        let gained = self.journal.take(reading.entries, reading.unread);
        let words = if taken {
            let mut words = format!(
                "{} new, {} known already.",
                count_words(gained.new, "entry").replace("entrys", "entries"),
                gained.known
            );
            if unread > 0 {
                words.push_str(&format!(" {} could not be read.", count_words(unread, "line")));
            }
            words
        } else {
            "Nothing was taken.".to_owned()
        };
        TakeReply { taken, new: gained.new, known: gained.known, unread, words, problems: reading.problems }
    }

    /// The whole journal as its file: backup, hand-over and archive.
    pub fn file(&self) -> String {
        io::write_journal(&self.journal)
    }

    /// The state as a document.
    pub fn state(&self) -> StateDocument {
        report::document(&self.journal)
    }

    /// The state as JSON.
    pub fn state_json(&self) -> String {
        documents::to_json(&self.state())
    }

    /// What in the journal somebody should look at, contradictions among it.
    pub fn doubts(&self) -> Vec<Problem> {
        self.doubts_from(Standpoint::default())
    }

    /// The same, looked at from somewhere: readings of earlier seasons decide nothing at a race.
    pub(in crate::farm) fn doubts_from(&self, from: Standpoint<'_>) -> Vec<Problem> {
        let mut problems = doubts::all(&self.journal, from.here);
        let conflicts = report::conflicts(self.journal.state(), from);
        problems.extend(conflicts.into_iter().filter(|conflict| conflict.decides).map(|conflict| {
            Problem::new(
                Severity::Warning,
                "readings-differ",
                format!("ewe {}", conflict.ewe),
                conflict.words,
                "Look at her again, or ask the two, and say which holds.",
            )
            .about(&conflict.ewe)
        }));
        problems
    }

    /// How many events there are, and of how many devices.
    pub fn size(&self) -> (usize, usize) {
        (self.journal.len(), self.journal.devices().count())
    }

    /// What stands in a column of such a row.
    pub(in crate::farm) fn cell(row: &[String], column: &str) -> String {
        files::cell(row, column)
    }

    /// A ewe as a row of the flock list that a sort reads.
    pub(in crate::farm) fn row(ewe: &crate::journal::Ewe, season: Option<&Season>) -> Vec<String> {
        files::ewe(ewe, season)
    }

    /// The state as the flock list that a sort reads, CSV: all that stands, of whatever season.
    pub fn flock_csv(&self) -> String {
        files::flock(self.journal.state(), None)
    }

    /// The same for a race that begins on a day: its ewes, and what is of the pregnancy under way then.
    pub fn flock_csv_on(&self, race: Day) -> String {
        files::flock(self.journal.state(), Some(&self.season(race)))
    }

    /// Whether anything was read of a ewe in an earlier season than that of the last entry.
    pub fn has_earlier_seasons(&self) -> bool {
        let Some(last) = self.journal.entries().map(|entry| entry.event.day).max() else { return false };
        self.journal
            .state()
            .ewes()
            .any(|ewe| ewe.readings.iter().any(|event| season::is_over(event.day, last)))
    }

    /// The season of a race that begins on a day.
    pub(in crate::farm) fn season(&self, race: Day) -> Season {
        let groups = self.groups_csv().map(|file| io::groups(file.as_bytes(), None).0.records);
        Season::of_race(race, groups.unwrap_or_default())
    }

    /// The pens as the file that a sort reads, CSV; nothing where none was described.
    pub fn pens_csv(&self) -> Option<String> {
        files::pens(self.journal.state())
    }

    /// The mating groups as the file that a sort reads, CSV; nothing where none was described.
    pub fn groups_csv(&self) -> Option<String> {
        files::groups(self.journal.state())
    }

    /// Who stands before the reader, and what is known of her.
    pub fn look(&self, request: &LookRequest) -> LookReply {
        look::look(&self.journal, request, Standpoint::default())
    }

    /// The same, looked at from somewhere.
    pub(in crate::farm) fn look_from(&self, request: &LookRequest, from: Standpoint<'_>) -> LookReply {
        look::look(&self.journal, request, from)
    }

    /// Enters what was seen or decided, or asks or refuses first. The lines in the reply are to be in durable
    /// storage before anything is shown as saved; where that fails, open the journal anew from what is stored.
    pub fn append(&mut self, request: AppendRequest) -> AppendReply {
        enter::append(&mut self.journal, request)
    }

    /// The last acts, latest first.
    pub fn history(&self, most: usize) -> Vec<Act> {
        history::acts(&self.journal, most, None)
    }

    /// The same, looked at from a device.
    pub(in crate::farm) fn history_here(&self, most: usize, here: &str) -> Vec<Act> {
        history::acts(&self.journal, most, Some(here))
    }

    /// Undoes an act; an act that is undone is brought back.
    pub fn undo(&mut self, request: &UndoRequest) -> AppendReply {
        history::undo(&mut self.journal, request)
    }
}
