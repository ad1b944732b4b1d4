//! Which pen each ewe stands in: one ewe a row, as our own pen lists have them or as somebody wrote them.

use crate::io::content;
use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::identity;
use crate::io::sheet::{self, Kind, Sheet};
use crate::io::table::Line;
use crate::problem::Reading;
use std::collections::BTreeMap;

/// A ewe and the pen that she stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// Her tag, exactly as the flock list has it.
    pub tag: String,
    /// The pen's name, exactly as the pens file has it.
    pub pen: String,
    /// The line of the file; the header is row 1.
    pub row: u32,
}

/// Reads an assignment. Tags must be among `tags`, the flock's, and pens among `pens`.
pub fn assignment(bytes: &[u8], tags: &[&str], pens: &[&str]) -> Reading<Vec<Placed>> {
    let mut reading = Reading::default();
    let content = content::read(Kind::Assignment, bytes, &mut reading.problems);
    let sheet =
        content.as_ref().and_then(|content| sheet::open(Kind::Assignment, content, &mut reading.problems));
    let Some(sheet) = sheet else { return reading };
    reading.unknown_columns = sheet.unknown.iter().map(|(_, name)| name.clone()).collect();
    let (tags, pens) = (Names::new(tags), Names::new(pens));
    let mut seen = BTreeMap::new();
    for line in &sheet.rows {
        let tag = sheet.surely(line, "tag");
        let mut problems =
            RowProblems::new(Kind::Assignment, line.row, tag.as_deref(), &mut reading.problems);
        let placed = row(&sheet, line, (&tags, &pens), &mut seen, &mut problems);
        if problems.into_errors().is_empty() {
            reading.records.extend(placed);
        }
    }
    reading
}

/// Names that there are, exact and as they sound.
struct Names<'n> {
    exact: BTreeMap<&'n str, ()>,
    alike: BTreeMap<String, &'n str>,
}

impl<'n> Names<'n> {
    fn new(names: &[&'n str]) -> Self {
        Self {
            exact: names.iter().map(|name| (*name, ())).collect(),
            alike: names.iter().map(|name| (identity::alike(name), *name)).collect(),
        }
    }

    fn has(&self, name: &str) -> bool {
        self.exact.contains_key(name)
    }

    /// A name that sounds the same is offered, never taken: it may be another ewe.
    fn hint(&self, name: &str, otherwise: &str) -> String {
        match self.alike.get(&identity::alike(name)) {
            Some(other) => format!("Is {} meant? Write it as that file has it.", quoted(other)),
            None => otherwise.to_owned(),
        }
    }
}

fn row(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    (tags, pens): (&Names<'_>, &Names<'_>),
    seen: &mut BTreeMap<String, u32>,
    problems: &mut RowProblems<'_>,
) -> Option<Placed> {
    if !sheet.is_sound(line, problems) {
        return None;
    }
    let tag = sheet.cell(line, "tag");
    if tag.is_empty() {
        let fault = Fault::new("tag-missing", "The row has no tag.", "Write the ewe's tag.");
        problems.error("tag", tag, fault);
    } else if problems.take("tag", tag, identity::check(tag, "tag")).is_none() {
        // The spreadsheet's damage is named; that the tag is unknown besides says nothing more.
    } else if let Some(first) = seen.get(tag) {
        let message = format!("{} also stands in row {first}.", quoted(tag));
        problems.error(
            "tag",
            tag,
            Fault::new("duplicate-tag", message, "A ewe stands in one pen: take one row out."),
        );
    } else if !tags.has(tag) {
        let message = format!("{} is not in the flock list.", quoted(tag));
        let hint = tags.hint(tag, "Correct the tag, take the row out, or add her to the flock list.");
        problems.error("tag", tag, Fault::new("tag-unknown", message, hint));
    }
    seen.entry(tag.to_owned()).or_insert(line.row);
    let pen = sheet.cell(line, "pen");
    if pen.is_empty() {
        let hint = "Write the pen that she stands in.";
        problems.error("pen", pen, Fault::new("pen-missing", "The row names no pen.", hint));
    } else if !pens.has(pen) {
        let message = format!("There is no pen {}.", quoted(pen));
        let hint = pens.hint(pen, "Correct the name, or add the pen to the pens file.");
        problems.error("pen", pen, Fault::new("pen-unknown", message, hint));
    }
    Some(Placed { tag: tag.to_owned(), pen: pen.to_owned(), row: line.row })
}
