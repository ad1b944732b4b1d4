//! A journal as a file: one event a line, JSON; the same for backup, hand-over and archive.
//!
//! The first line says what the file is; a file without it is read all the same, for a first line may be lost. A
//! line that cannot be read costs that line and no more: it is named by its number, kept as it is, and written
//! on as `{"unread": "..."}`. Files that were put one behind another are one file.

use crate::io::fault::{Fault, quoted};
use crate::io::{letters, text};
use crate::journal::{Entry, Journal, LineFault};
use crate::problem::{Problem, Severity};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// What the first line calls the file.
const FORMAT: &str = "evenfold-journal-1";
/// What every such file is called, whatever its version.
const FORMATS: &str = "evenfold-journal-";

/// What a journal's file holds.
#[derive(Debug, Clone, Default)]
pub struct JournalReading {
    /// The events that could be read, in the file's order.
    pub entries: Vec<Entry>,
    /// The lines that could not, as they stand.
    pub unread: Vec<String>,
    /// What is wrong, in the file's order. An error without a row: the file is no journal at all.
    pub problems: Vec<Problem>,
}

#[derive(Serialize, Deserialize)]
struct Header<'a> {
    #[serde(borrow)]
    format: Cow<'a, str>,
}

#[derive(Serialize, Deserialize)]
struct Unread<'a> {
    #[serde(borrow)]
    unread: Cow<'a, str>,
}

/// Reads a journal's file.
pub fn journal(bytes: &[u8]) -> JournalReading {
    if let Some(what) = text::not_text(bytes) {
        let problems = vec![no_journal(format!("This is {what}, not a journal."))];
        return JournalReading { problems, ..JournalReading::default() };
    }
    let whole = letters::utf_16(bytes).map(|(text, _)| text.into_bytes());
    let mut reader = JournalReader::default();
    reader.read(whole.as_deref().unwrap_or(bytes));
    reader.end()
}

/// Reads a journal that comes in pieces, each of whole lines, so that the first are read while others are fetched.
#[derive(Debug, Default)]
pub struct JournalReader {
    reading: JournalReading,
    /// Whether a line says that this is a journal.
    is_ours: bool,
    /// The first row whose letters were not UTF-8.
    in_other_letters: Option<u32>,
    rows: u32,
}

impl JournalReader {
    /// Reads the next lines.
    pub fn read(&mut self, bytes: &[u8]) {
        for line in bytes.split(|&byte| byte == b'\n') {
            self.rows += 1;
            self.line(line);
        }
    }

    fn line(&mut self, line: &[u8]) {
        let (line, is_utf8) = decoded(line);
        // Zeros are what a power cut leaves of a line that was under way.
        let line = line.trim_matches(|c: char| c.is_whitespace() || c == '\0' || c == '\u{feff}');
        if line.is_empty() {
            return;
        }
        let fault = match Entry::from_line(line) {
            Ok(entry) => {
                if !is_utf8 {
                    self.in_other_letters.get_or_insert(self.rows);
                }
                self.reading.entries.push(entry);
                return;
            }
            Err(fault) => fault,
        };
        if let Ok(Unread { unread }) = serde_json::from_str(line) {
            self.is_ours = true;
            self.reading.unread.push(unread.into_owned());
        } else if let Some(format) = format_of(line) {
            self.is_ours = true;
            self.reading.problems.extend((format != FORMAT).then(|| of_newer(&format)));
        } else {
            self.reading.problems.push(unreadable(self.rows, line, &fault));
            self.reading.unread.push(line.to_owned());
        }
    }

    /// What all of it holds.
    pub fn end(self) -> JournalReading {
        let mut reading = self.reading;
        if let Some(row) = self.in_other_letters {
            let message =
                format!("Letters such as é were read as Windows-1252, the first of them on line {row}.");
            let fault = Fault::new("read-as-windows-1252", message, "If they look wrong, use another copy.");
            reading.problems.push(problem(Severity::Note, fault));
        }
        if reading.entries.is_empty() && !self.is_ours {
            if reading.unread.is_empty() {
                let fault =
                    Fault::new("empty-file", "The file is empty.", "Check that the right file was given.");
                reading.problems.push(problem(Severity::Warning, fault));
            } else {
                let message = "No line of this file is an event of a journal.".to_owned();
                reading = JournalReading { problems: vec![no_journal(message)], ..JournalReading::default() };
            }
        }
        reading
    }
}

/// A journal as a file. The same events give the same bytes, whichever way they came together.
pub fn write_journal(journal: &Journal) -> String {
    let length: usize = journal.entries().map(|entry| entry.line.len() + 1).sum();
    let mut out = String::with_capacity(length + 64);
    push(&mut out, &Header { format: Cow::Borrowed(FORMAT) });
    for entry in journal.entries() {
        out.push_str(&entry.line);
        out.push('\n');
    }
    for text in journal.unread() {
        push(&mut out, &Unread { unread: Cow::Borrowed(text) });
    }
    out
}

fn push<T: Serialize>(out: &mut String, line: &T) {
    // A struct of one text cannot fail to serialise.
    out.push_str(&serde_json::to_string(line).unwrap_or_default());
    out.push('\n');
}

/// The line's text, and whether it was UTF-8. Windows-1252 gives every byte a letter, so nothing is lost.
fn decoded(line: &[u8]) -> (Cow<'_, str>, bool) {
    match std::str::from_utf8(line) {
        Ok(text) => (Cow::Borrowed(text), true),
        Err(_) => (Cow::Owned(letters::windows_1252(line)), false),
    }
}

fn format_of(line: &str) -> Option<String> {
    let header: Header<'_> = serde_json::from_str(line).ok()?;
    header.format.starts_with(FORMATS).then(|| header.format.into_owned())
}

fn unreadable(row: u32, line: &str, fault: &LineFault) -> Problem {
    let (message, hint) = if fault.is_cut {
        ("The line is cut short.".to_owned(), "The rest was read. Another copy may have the whole line.")
    } else {
        let message = format!("The line is no event of a journal: {}.", fault.words.trim_end_matches('.'));
        (message, "The rest was read. Another copy may have the line as it was.")
    };
    let shown = quoted(line);
    Problem {
        file: Some("journal".to_owned()),
        row: Some(row),
        found: Some(shown.trim_matches('\'').to_owned()),
        ..Problem::new(Severity::Error, "line-unreadable", format!("journal line {row}"), message, hint)
    }
}

fn of_newer(format: &str) -> Problem {
    let message = format!("The file calls itself {}; this version knows {FORMAT}.", quoted(format));
    let hint = "What is not understood is kept. Use a newer version to see all of it.";
    problem(Severity::Warning, Fault::new("journal-newer", message, hint))
}

fn no_journal(message: String) -> Problem {
    let hint =
        "Give the file that was saved as a backup or handed over: its first line names evenfold-journal.";
    problem(Severity::Error, Fault::new("not-a-journal", message, hint))
}

fn problem(severity: Severity, fault: Fault) -> Problem {
    let problem = Problem::new(severity, fault.code, "journal file", fault.message, fault.hint);
    Problem { file: Some("journal".to_owned()), ..problem }
}
