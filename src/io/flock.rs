//! The flock list: one ewe a row.

use crate::day::{DateOrder, Day};
use crate::flock::{DayOf, Due, Ewe, MatingGroup, Score};
use crate::io::date::{self, Decision, Written};
use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::groups::{is_same_name, same_name};
use crate::io::number::{self, Figure};
use crate::io::question::{self, DateAmbiguity};
use crate::io::range::{self, Limits};
use crate::io::sheet::{self, Kind, Sheet};
use crate::io::table::Line;
use crate::io::{content, identity, words};
use crate::problem::{Problem, Reading, Severity};
use crate::quantity::{GramPerDay, Kg};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// Days from service to lambing: AFRC 1993, reference gestation of 147 days (science table).
const GESTATION_DAYS: i32 = 147;

/// A due day may lie this far outside her group's days before somebody should look: gestation itself varies
/// by some days, and so does a scanner's dating.
const GROUP_SLACK_DAYS: i32 = 10;

/// Live weights that hardly any ewe is without, kg (common practice, no source).
pub const USUAL_KG: RangeInclusive<f64> = 35.0..=130.0;

const WEIGHT: Limits =
    Limits { column: "weight_kg", what: "live weight", unit: "kg", possible: 25.0..=160.0, usual: USUAL_KG };
const GROWTH: Limits = Limits {
    column: "growth_g_per_day",
    what: "growth wanted of her",
    unit: "g a day",
    possible: 0.0..=300.0,
    usual: 0.0..=300.0,
};

/// What a flock list holds.
#[derive(Debug, Clone, Default)]
pub struct FlockReading {
    /// The ewes that could be read, and every problem of the file.
    pub reading: Reading<Vec<Ewe>>,
    /// The rows that hold something but are not among the ewes, in file order.
    pub faulty: Vec<FaultyRow>,
    /// The question that a person must answer before dates can be read.
    pub date_question: Option<DateAmbiguity>,
}

/// A row that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FaultyRow {
    /// The line of the file; the header is row 1.
    pub row: u32,
    /// Her tag, or `row 14` where it could not be read.
    pub tag: String,
    /// Why, as places in the reading's problems. At least one.
    pub problems: Vec<usize>,
}

/// Reads a flock list. `groups` are the mating groups, where there is a file of them; `dates` is the order of
/// day and month, where a person said it.
pub fn flock(bytes: &[u8], groups: Option<&[MatingGroup]>, dates: Option<DateOrder>) -> FlockReading {
    let mut out = FlockReading::default();
    let content = content::read(Kind::Flock, bytes, &mut out.reading.problems);
    let sheet =
        content.as_ref().and_then(|content| sheet::open(Kind::Flock, content, &mut out.reading.problems));
    if let Some(sheet) = sheet {
        read(&sheet, groups, dates, &mut out);
    }
    out
}

fn read(sheet: &Sheet<'_>, groups: Option<&[MatingGroup]>, dates: Option<DateOrder>, out: &mut FlockReading) {
    out.reading.unknown_columns = sheet.unknown.iter().map(|(_, name)| name.clone()).collect();
    let problems = &mut out.reading.problems;

    let due = sheet.rows.iter().map(|line| sheet.cell(line, "due"));
    let written: Vec<(&str, Written)> = due.filter_map(|text| Some((text, date::read(text).ok()?))).collect();
    let decision = date::decide(written.iter().copied(), dates.or(sheet.stated_order));
    out.date_question = question::raise(Kind::Flock, "due", &decision, problems);
    let unclear = out.date_question.is_some().then(|| problems.len().saturating_sub(1));
    let groups_missing = groups_missing(sheet, groups).map(|problem| {
        problems.push(problem);
        problems.len().saturating_sub(1)
    });

    let known = groups.unwrap_or_default().iter().map(|group| (same_name(&group.name), group)).collect();
    let file = File { sheet, groups: known, groups_missing, decision, unclear };
    let mut seen = Seen::default();
    for line in &sheet.rows {
        let tag = sheet.surely(line, "tag");
        let mut row = RowProblems::new(Kind::Flock, line.row, tag.as_deref(), &mut out.reading.problems);
        let ewe = file.ewe(line, tag.as_deref(), &mut seen, &mut row);
        let errors = row.into_errors();
        match ewe {
            Some(ewe) if errors.is_empty() => out.reading.records.push(ewe),
            _ => {
                let tag = tag.unwrap_or_else(|| format!("row {}", line.row));
                out.faulty.push(FaultyRow { row: line.row, tag, problems: errors });
            }
        }
    }
}

/// The problem of a list that names groups where no groups file was given.
fn groups_missing(sheet: &Sheet<'_>, groups: Option<&[MatingGroup]>) -> Option<Problem> {
    if groups.is_some() {
        return None;
    }
    let needs =
        |line: &&Line<'_>| sheet.cell(line, "due").is_empty() && !sheet.cell(line, "group").is_empty();
    let rows = sheet.rows.iter().filter(needs).count();
    let first = sheet.rows.iter().find(needs)?;
    let ewes = if rows == 1 { "1 ewe has".to_owned() } else { format!("{rows} ewes have") };
    let fault = Fault::new(
        "groups-file-missing",
        format!(
            "{ewes} a mating group but no due date, and there is no groups file to tell the group's days."
        ),
        "Give the file as well: --groups GROUPS.csv, with the columns group, first_day, last_day and of.",
    );
    let found = Some(sheet.cell(first, "group").to_owned());
    let problem = Kind::Flock.problem(Severity::Error, fault);
    Some(Problem { column: Some("group".to_owned()), found, ..problem })
}

/// Identifiers met so far, each with its row.
#[derive(Default)]
struct Seen {
    tags: BTreeMap<String, u32>,
    alike: BTreeMap<String, (String, u32)>,
    eids: BTreeMap<String, u32>,
}

/// A flock list and what holds for the whole of it.
struct File<'s, 'a> {
    sheet: &'s Sheet<'a>,
    groups: BTreeMap<String, &'s MatingGroup>,
    groups_missing: Option<usize>,
    decision: Decision,
    unclear: Option<usize>,
}

impl File<'_, '_> {
    /// The ewe of a row. She counts only where the row has no error.
    fn ewe(
        &self,
        line: &Line<'_>,
        tag: Option<&str>,
        seen: &mut Seen,
        row: &mut RowProblems<'_>,
    ) -> Option<Ewe> {
        // The tag is noted even where the rest of the row is lost, so that a second row with it is found.
        let is_new = tag.is_some_and(|tag| check_tag(tag, line.row, seen, row));
        if !self.sheet.is_sound(line, row) {
            return None;
        }
        if tag.is_none() {
            let hint = "Write her tag, or empty the whole row.";
            row.error("tag", "", Fault::new("tag-missing", "The row has no tag.", hint));
        }
        let eid = self.eid(line, is_new, seen, row);
        let mut extra = self.sheet.extra(line);
        let due = self.due(line, row);
        let group = self.text(line, "group");
        if matches!(due, Some(Due::On(_))) && !group.is_empty() {
            // Her own date decides; the group's name is kept with what else the row says.
            extra.push(("group".to_owned(), group.to_owned()));
        }
        let litter = self.word(line, "litter", words::litter, row);
        let condition = self.word(line, "condition", |text| self.condition(text), row);
        let age = self.word(line, "age", words::age, row);
        let weight = range::read(self.sheet, line, &WEIGHT, row).map(Kg::new);
        let growth = range::read(self.sheet, line, &GROWTH, row).map(GramPerDay::new);
        let shorn = self.word(line, "shorn", words::yes_or_no, row).unwrap_or(false);
        let notes = Some(self.text(line, "notes").to_owned()).filter(|notes| !notes.is_empty());
        let tag = tag?.to_owned();
        Some(Ewe {
            tag,
            eid,
            litter,
            condition,
            due: due?,
            age,
            weight,
            growth,
            shorn,
            notes,
            extra,
            row: line.row,
        })
    }

    fn text<'l>(&self, line: &'l Line<'_>, column: &str) -> &'l str {
        self.sheet.cell(line, column)
    }

    fn word<T>(
        &self,
        line: &Line<'_>,
        column: &str,
        read: impl Fn(&str) -> Result<T, Fault>,
        row: &mut RowProblems<'_>,
    ) -> Option<T> {
        match self.text(line, column) {
            "" => None,
            text => row.take(column, text, read(text)),
        }
    }

    fn eid(
        &self,
        line: &Line<'_>,
        is_new: bool,
        seen: &mut Seen,
        row: &mut RowProblems<'_>,
    ) -> Option<String> {
        let eid = self.text(line, "eid");
        if eid.is_empty() {
            return None;
        }
        row.take("eid", eid, identity::check(eid, "identifier"))?;
        match seen.eids.get(eid) {
            // A row given twice is one mistake, and its tag has named it.
            Some(_) if !is_new => {}
            Some(first) => {
                let message = format!("{} also stands in row {first}.", quoted(eid));
                let hint = "Check both rows: an identifier belongs to one ewe.";
                row.error("eid", eid, Fault::new("duplicate-eid", message, hint));
            }
            None => {
                seen.eids.insert(eid.to_owned(), line.row);
                if let Some(fault) = identity::odd_eid(eid) {
                    row.warn("eid", eid, fault);
                }
            }
        }
        Some(eid.to_owned())
    }

    fn condition(&self, text: &str) -> Result<Score, Fault> {
        let figure = Figure { units: &[], decimal_comma: self.sheet.decimal_comma };
        let units = number::read(text, figure)?;
        if !(1.0..=5.0).contains(&units) {
            let message = format!("{} is not a condition score: the scale is from 1 to 5.", quoted(text));
            let hint = "Correct the score, or leave the cell empty if she was not scored.";
            return Err(Fault::new("out-of-range", message, hint));
        }
        Score::of(units).ok_or_else(|| {
            let below = (units * 4.0).floor() / 4.0;
            let message = format!("{} lies between two quarters of the scale.", quoted(text));
            Fault::new("condition-not-quarter", message, format!("Write {below} or {}.", below + 0.25))
        })
    }

    /// When she is due; nothing where the row says so in a way that cannot be read.
    fn due(&self, line: &Line<'_>, row: &mut RowProblems<'_>) -> Option<Due> {
        let (text, group) = (self.text(line, "due"), self.text(line, "group"));
        if text.is_empty() {
            return self.group_days(group, row);
        }
        let written = row.take("due", text, date::read(text))?;
        let day = match (written.day(self.decision.order), self.unclear) {
            (None, Some(question)) => {
                row.because_of(question);
                return None;
            }
            _ => row.take("due", text, date::resolve(text, written, self.decision.order))?,
        };
        self.compare(day, text, group, row);
        Some(Due::On(day))
    }

    fn group_days(&self, group: &str, row: &mut RowProblems<'_>) -> Option<Due> {
        if group.is_empty() {
            return Some(Due::Unknown);
        }
        if let Some(problem) = self.groups_missing {
            row.because_of(problem);
            return None;
        }
        match self.groups.get(&same_name(group)) {
            Some(known) => Some(due_of_group(std::slice::from_ref(known), &known.name)),
            None => {
                row.error("group", group, unknown_group(group));
                None
            }
        }
    }

    /// A due day of her own and a group: the day decides, but somebody should look where they disagree.
    fn compare(&self, day: Day, text: &str, group: &str, row: &mut RowProblems<'_>) {
        if group.is_empty() || self.groups.is_empty() {
            return;
        }
        let Some(known) = self.groups.get(&same_name(group)) else {
            return row.warn("group", group, unknown_group(group));
        };
        let (first, last) = due_days(known);
        if first.since(day) > GROUP_SLACK_DAYS || day.since(last) > GROUP_SLACK_DAYS {
            let message = format!(
                "{} is far from the days of her group {}: {} to {}.",
                day.in_words(),
                quoted(&known.name),
                first.in_words(),
                last.in_words()
            );
            let hint = "Check the date and the group. The date was used.";
            row.warn("due", text, Fault::new("due-outside-group", message, hint));
        }
    }
}

/// Notes the tag; `true` where no earlier row has it.
fn check_tag(tag: &str, line: u32, seen: &mut Seen, row: &mut RowProblems<'_>) -> bool {
    if row.take("tag", tag, identity::check(tag, "tag")).is_none() {
        return false;
    }
    if let Some(first) = seen.tags.get(tag) {
        let message = format!("{} also stands in row {first}.", quoted(tag));
        let hint = "Check both rows: correct the tag of one, or take one out.";
        row.error("tag", tag, Fault::new("duplicate-tag", message, hint));
        return false;
    }
    seen.tags.insert(tag.to_owned(), line);
    if let Some((other, first)) = seen.alike.get(&identity::alike(tag)) {
        let message = format!("{} looks like {} in row {first}.", quoted(tag), quoted(other));
        let hint = "Check that these are two ewes; a spreadsheet takes zeros from the front of a number.";
        row.warn("tag", tag, Fault::new("tags-alike", message, hint));
    }
    seen.alike.entry(identity::alike(tag)).or_insert_with(|| (tag.to_owned(), line));
    true
}

/// The first and the last day on which a group is due.
pub fn due_days(group: &MatingGroup) -> (Day, Day) {
    let days = match group.of {
        DayOf::Service => GESTATION_DAYS,
        DayOf::Due => 0,
    };
    (group.first_day.plus(days), group.last_day.plus(days))
}

/// When the ewes of a group are due, by the group's name as somebody wrote it.
pub fn due_of_group(groups: &[MatingGroup], name: &str) -> Due {
    groups.iter().find(|group| is_same_name(&group.name, name)).map_or(Due::Unknown, |known| {
        let (first, last) = due_days(known);
        Due::Between { group: known.name.clone(), first, last }
    })
}

fn unknown_group(group: &str) -> Fault {
    Fault::new(
        "group-unknown",
        format!("There is no group {} in the groups file.", quoted(group)),
        "Add it there, or correct its name here.",
    )
}
