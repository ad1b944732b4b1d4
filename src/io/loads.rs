//! What was loaded and what was left: one feed in one pen on one day a row.

use crate::day::{DateOrder, Day};
use crate::feed::Stocked;
use crate::io::column::plain;
use crate::io::content;
use crate::io::date::{self, Written};
use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::question::{self, DateAmbiguity};
use crate::io::range::{self, Limits};
use crate::io::sheet::{self, Kind, Sheet};
use crate::io::table::Line;
use crate::problem::Reading;
use crate::quantity::Kg;

/// What was loaded of a feed in a pen on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The pen, by its place among those known.
    pub pen: usize,
    /// The day.
    pub day: Day,
    /// The feed, by its place among those on the farm.
    pub feed: usize,
    /// Loaded.
    pub loaded: Kg,
    /// Left before the next load; nothing where nobody looked.
    pub left: Option<Kg>,
    /// The line of the file; the header is row 1.
    pub row: u32,
}

/// Wide: to find tonnes or grams, not odd loads (common practice, no source).
const LOADED: Limits = Limits {
    column: "kg_loaded",
    what: "kg loaded",
    unit: "kg",
    possible: 0.0..=50_000.0,
    usual: 0.0..=5_000.0,
};
/// The same of what was left (common practice, no source).
const LEFT: Limits =
    Limits { column: "kg_left", what: "kg left", unit: "kg", possible: 0.0..=50_000.0, usual: 0.0..=2_000.0 };

/// Reads the loads. Pens must be among `pens`, feeds among `feeds`. `dates` is the order of day and month, where a
/// person said it.
pub fn loads(
    bytes: &[u8],
    pens: &[&str],
    feeds: &[Stocked],
    dates: Option<DateOrder>,
) -> (Reading<Vec<Loaded>>, Option<DateAmbiguity>) {
    let mut reading = Reading::default();
    let content = content::read(Kind::Loads, bytes, &mut reading.problems);
    let sheet = content.as_ref().and_then(|content| sheet::open(Kind::Loads, content, &mut reading.problems));
    let Some(sheet) = sheet else { return (reading, None) };
    reading.unknown_columns = sheet.unknown.iter().map(|(_, name)| name.clone()).collect();
    let cells = sheet.rows.iter().map(|line| sheet.cell(line, "day"));
    let written: Vec<(&str, Written)> =
        cells.filter_map(|text| Some((text, date::read(text).ok()?))).collect();
    let decision = date::decide(written.iter().copied(), dates.or(sheet.stated_order));
    let question = question::raise(Kind::Loads, "day", &decision, &mut reading.problems);
    for line in &sheet.rows {
        let mut problems = RowProblems::new(Kind::Loads, line.row, None, &mut reading.problems);
        let loaded = row(&sheet, line, (pens, feeds), decision.order, &mut problems);
        if problems.into_errors().is_empty() {
            reading.records.extend(loaded);
        }
    }
    (reading, question)
}

fn row(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    (pens, feeds): (&[&str], &[Stocked]),
    order: Option<DateOrder>,
    problems: &mut RowProblems<'_>,
) -> Option<Loaded> {
    if !sheet.is_sound(line, problems) {
        return None;
    }
    let pen = sheet.cell(line, "pen");
    let known = pens.iter().position(|name| *name == pen);
    if known.is_none() {
        let fault = match pen {
            "" => Fault::new("pen-missing", "The row names no pen.", "Write the pen that was fed."),
            _ => {
                let message = format!("There is no pen {}.", quoted(pen));
                Fault::new("pen-unknown", message, "Correct the name, or add the pen to the pens file.")
            }
        };
        problems.error("pen", pen, fault);
    }
    let name = sheet.cell(line, "feed");
    let is_it = |stocked: &Stocked| {
        [&stocked.feed.name, &stocked.feed.id, &stocked.like].iter().any(|own| plain(own) == plain(name))
    };
    let feed = feeds.iter().position(is_it).filter(|_| !name.is_empty());
    if feed.is_none() {
        let fault = match name {
            "" => Fault::new(
                "feed-missing",
                "The row names no feed.",
                "Write the feed as the feeds file has it.",
            ),
            _ => {
                let message = format!("{} is not in the feeds file.", quoted(name));
                Fault::new("feed-unknown", message, "Write the feed as the feeds file has it.")
            }
        };
        problems.error("feed", name, fault);
    }
    let text = sheet.cell(line, "day");
    let day = if text.is_empty() {
        let hint = "Write the day as year-month-day, such as 2027-03-01.";
        problems.error("day", text, Fault::new("day-missing", "The day is missing.", hint));
        None
    } else {
        let written = problems.take("day", text, date::read(text));
        written.and_then(|written| problems.take("day", text, date::resolve(text, written, order)))
    };
    let loaded = range::read(sheet, line, &LOADED, problems);
    if sheet.cell(line, "kg_loaded").is_empty() {
        let hint = "Write the kg that went in; 0 where nothing did.";
        problems.error("kg_loaded", "", Fault::new("load-missing", "The row says no load.", hint));
    }
    let left = range::read(sheet, line, &LEFT, problems);
    if let (Some(loaded), Some(over)) =
        (loaded, left.filter(|left| loaded.is_some_and(|loaded| *left > loaded)))
    {
        let message = format!("{over} kg left of {loaded} kg loaded.");
        let hint = "Check both: what is left counts by the day on which it was loaded.";
        problems.error("kg_left", sheet.cell(line, "kg_left"), Fault::new("left-over-loaded", message, hint));
    }
    Some(Loaded {
        pen: known?,
        day: day?,
        feed: feed?,
        loaded: Kg::new(loaded?),
        left: left.map(Kg::new),
        row: line.row,
    })
}
