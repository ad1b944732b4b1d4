//! What a file holds: text, or the table of a spreadsheet. Its first bytes tell, never its name.

use crate::io::fault::{Fault, quoted};
use crate::io::header;
use crate::io::sheet::Kind;
use crate::io::workbook::{self, Book, Refusal, Rows, Tab};
use crate::io::{text, workbook::Row};
use crate::problem::{Problem, Severity};
use std::borrow::Cow;

/// What a file holds.
#[derive(Debug)]
pub(super) enum Content<'a> {
    Text(Cow<'a, str>),
    Table(Rows),
}

/// What a file holds; what is wrong or worth knowing is added to `problems`.
pub(super) fn read<'a>(kind: Kind, bytes: &'a [u8], problems: &mut Vec<Problem>) -> Option<Content<'a>> {
    let found = if let Some(refusal) = workbook::older(bytes) {
        Err(refusal.fault())
    } else if workbook::is_archive(bytes) {
        table(kind, bytes).map_err(Refusal::fault)
    } else {
        text::decode(bytes)
            .map(|decoded| (Content::Text(decoded.text), decoded.note.map(|note| (Severity::Note, note))))
    };
    match found {
        Ok((content, said)) => {
            problems.extend(said.map(|(severity, fault)| kind.problem(severity, fault)));
            Some(content)
        }
        Err(fault) => {
            problems.push(kind.problem(Severity::Error, fault));
            None
        }
    }
}

/// How well a sheet's first row that is not blank names our columns. Later is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Blank,
    Unknown,
    SomeColumns,
    AllColumns,
}

type Said = Option<(Severity, Fault)>;

/// The table of the first sheet that fits best, and which sheet that was where there are several.
fn table(kind: Kind, bytes: &[u8]) -> Result<(Content<'_>, Said), Refusal> {
    let book = Book::open(bytes)?;
    let mut best: Option<(Fit, usize, &Tab, String)> = None;
    let mut alike = Vec::new();
    for tab in book.tabs.iter().filter(|tab| tab.is_visible) {
        let found = book.text(tab).and_then(|text| Ok((fit(kind, &book.head(&text)?), text)));
        let found_already = best.as_ref().filter(|(fit, ..)| *fit == Fit::AllColumns);
        let ((fit, known), text) = match found {
            Ok(found) => found,
            // Behind the sheet that was looked for, damage costs nothing.
            Err(_) if found_already.is_some() => continue,
            Err(refusal) => return Err(refusal),
        };
        match found_already {
            // A sheet that has our columns by the way is not meant: a list of ewes set apart has tags too.
            Some((_, most, ..)) if fit == Fit::AllColumns && known >= *most => alike.push(tab),
            Some(_) => {}
            None if best.as_ref().is_none_or(|(most, ..)| fit > *most) => {
                best = Some((fit, known, tab, text))
            }
            None => {}
        }
    }
    let (.., tab, text) = best.ok_or(Refusal::NoTable)?;
    Ok((Content::Table(book.all(&text)?), said(&book.tabs, tab, &alike)))
}

/// How well the first row that is not blank fits, and how many of its names are columns of ours.
fn fit(kind: Kind, head: &Rows) -> (Fit, usize) {
    let header = head.rows.iter().find(|row| !is_blank(row));
    let Some(header) = header else { return (Fit::Blank, 0) };
    match header::known_columns(kind, &header.cells) {
        (known, true) => (Fit::AllColumns, known),
        (0, _) => (Fit::Unknown, 0),
        (known, _) => (Fit::SomeColumns, known),
    }
}

fn is_blank(row: &Row) -> bool {
    row.cells.iter().all(|cell| cell.trim().is_empty())
}

/// Which sheet was read, where there are others.
fn said(tabs: &[Tab], read: &Tab, alike: &[&Tab]) -> Said {
    let others: Vec<String> = tabs
        .iter()
        .filter(|tab| !std::ptr::eq(*tab, read))
        .map(|tab| format!("{}{}", quoted(&tab.name), if tab.is_visible { "" } else { " (hidden)" }))
        .collect();
    let name = quoted(&read.name);
    match alike {
        [] if others.is_empty() => None,
        [] => {
            let message = format!("Sheet {name} was read. Not read: {}.", header::shortened(&others));
            let hint = "If the list is on another sheet, put that one first.";
            Some((Severity::Note, Fault::new("sheet-read", message, hint)))
        }
        _ => {
            let alike: Vec<String> = alike.iter().map(|tab| quoted(&tab.name)).collect();
            let alike = header::shortened(&alike);
            let message = format!("Sheet {name} was read, but {alike} could be the list as well.");
            let hint =
                "Check that it is the right one. To read another, put that one first or hide this one.";
            Some((Severity::Warning, Fault::new("sheets-alike", message, hint)))
        }
    }
}
