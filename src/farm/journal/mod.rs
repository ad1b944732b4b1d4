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
//! | `words` | events in words |

pub mod document;
mod doubts;
mod enter;
mod files;
mod history;
mod look;
mod report;
mod words;

pub use crate::journal::{Mark, Name, Now, What};
pub use enter::{AppendReply, AppendRequest, Changed, EventLine};
pub use history::{Act, UndoRequest};
pub use look::{Known, LookReply, LookRequest};

use crate::farm::journal::document::StateDocument;
use crate::farm::report as documents;
use crate::io;
use crate::journal::Journal;
use crate::problem::{Problem, Severity};
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// A journal that is open.
#[derive(Debug, Clone, Default)]
pub struct Book {
    journal: Journal,
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
        let reading = io::journal(bytes);
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
        let mut problems = doubts::all(&self.journal);
        let conflicts = report::conflicts(self.journal.state());
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
    pub(in crate::farm) fn row(ewe: &crate::journal::Ewe) -> Vec<String> {
        files::ewe(ewe)
    }

    /// The state as the flock list that a sort reads, CSV.
    pub fn flock_csv(&self) -> String {
        files::flock(self.journal.state())
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
        look::look(&self.journal, request)
    }

    /// Enters what was seen or decided, or asks or refuses first. The lines in the reply are to be in durable
    /// storage before anything is shown as saved; where that fails, open the journal anew from what is stored.
    pub fn append(&mut self, request: AppendRequest) -> AppendReply {
        enter::append(&mut self.journal, request)
    }

    /// The last acts, latest first.
    pub fn history(&self, most: usize) -> Vec<Act> {
        history::acts(&self.journal, most)
    }

    /// Undoes an act; an act that is undone is brought back.
    pub fn undo(&mut self, request: &UndoRequest) -> AppendReply {
        history::undo(&mut self.journal, request)
    }
}
