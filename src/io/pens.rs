//! The pens: one a row.

use crate::flock::AgeClass;
use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::range::{self, Limits};
use crate::io::sheet::{self, Kind, Sheet};
use crate::io::table::Line;
use crate::io::{content, identity, words};
use crate::pen::{Face, Feeding, Floor, Pen};
use crate::problem::Reading;
use crate::quantity::{Metre, SquareMetre};
use std::collections::BTreeMap;

const TROUGH: Limits = Limits {
    column: "trough_m",
    what: "length of trough",
    unit: "m",
    possible: 0.1..=10_000.0,
    usual: 0.5..=100.0,
};
const PLACES: Limits = Limits {
    column: "places",
    what: "number of feeding places",
    unit: "",
    possible: 1.0..=1000.0,
    usual: 1.0..=300.0,
};
const AREA: Limits = Limits {
    column: "area_m2",
    what: "floor area",
    unit: "m²",
    possible: 0.5..=50_000.0,
    usual: 2.0..=1000.0,
};
const CORNERS: Limits = Limits {
    column: "blocked_corners",
    what: "number of blocked corners",
    unit: "",
    possible: 0.0..=20.0,
    usual: 0.0..=8.0,
};
const MAX_HEAD: Limits =
    Limits { column: "max_head", what: "most head", unit: "", possible: 1.0..=100_000.0, usual: 1.0..=500.0 };

/// Reads the pens file.
pub fn pens(bytes: &[u8]) -> Reading<Vec<Pen>> {
    let mut reading = Reading::default();
    let content = content::read(Kind::Pens, bytes, &mut reading.problems);
    let sheet = content.as_ref().and_then(|content| sheet::open(Kind::Pens, content, &mut reading.problems));
    let Some(sheet) = sheet else { return reading };
    reading.unknown_columns = sheet.unknown.iter().map(|(_, name)| name.clone()).collect();
    let mut names = Names::default();
    for line in &sheet.rows {
        let mut problems = RowProblems::new(Kind::Pens, line.row, None, &mut reading.problems);
        let pen = row(&sheet, line, &mut names, &mut problems);
        if problems.into_errors().is_empty() {
            reading.records.extend(pen);
        }
    }
    reading
}

/// The names met so far, each with its row: exact, and as they sound.
#[derive(Default)]
struct Names {
    exact: BTreeMap<String, u32>,
    alike: BTreeMap<String, (String, u32)>,
}

impl Names {
    fn check(&mut self, name: &str, row: u32, problems: &mut RowProblems<'_>) {
        if name.is_empty() {
            let fault =
                Fault::new("pen-missing", "The pen has no name.", "Give it a name, such as a letter.");
            return problems.error("pen", name, fault);
        }
        if let Some(first) = self.exact.get(name) {
            let message = format!("{} is also the pen in row {first}.", quoted(name));
            let fault = Fault::new("duplicate-pen", message, "Give each pen a name of its own.");
            return problems.error("pen", name, fault);
        }
        self.exact.insert(name.to_owned(), row);
        if let Some((other, first)) = self.alike.get(&identity::alike(name)) {
            let message = format!("{} looks like {} in row {first}.", quoted(name), quoted(other));
            let hint = "Check that these are two pens, and give them names that are harder to mix up.";
            problems.warn("pen", name, Fault::new("pens-alike", message, hint));
        }
        self.alike.entry(identity::alike(name)).or_insert_with(|| (name.to_owned(), row));
    }
}

fn row(sheet: &Sheet<'_>, line: &Line<'_>, names: &mut Names, problems: &mut RowProblems<'_>) -> Option<Pen> {
    if !sheet.is_sound(line, problems) {
        return None;
    }
    let name = sheet.cell(line, "pen");
    names.check(name, line.row, problems);
    let face = face(sheet, line, problems);
    let area = range::read(sheet, line, &AREA, problems);
    if sheet.cell(line, "area_m2").is_empty() {
        let fault =
            Fault::new("area-missing", "The floor area is missing.", "Write length times width, in m².");
        problems.error("area_m2", "", fault);
    }
    let feeding = word(sheet, line, "feeding", words::feeding, Feeding::Restricted, problems);
    let floor = word(sheet, line, "floor", words::floor, Floor::Straw, problems);
    let blocked_corners = range::read_whole(sheet, line, &CORNERS, problems).unwrap_or(0);
    if blocked_corners > 0 && matches!(face, Some(Face::Places(_))) {
        let message = "Corners are blocked, but the pen has single feeding places instead of a trough.";
        let hint = "Count only the places that can be used, and leave the corners empty.";
        problems.error(
            "blocked_corners",
            sheet.cell(line, "blocked_corners"),
            Fault::new("corners-without-trough", message, hint),
        );
    }
    let only = word(sheet, line, "only", words::ages, Vec::new(), problems);
    let not = word(sheet, line, "not", words::ages, Vec::new(), problems);
    let max_head = range::read_whole(sheet, line, &MAX_HEAD, problems);
    let pen = Pen {
        name: name.to_owned(),
        face: face?,
        area: SquareMetre::new(area?),
        feeding,
        floor,
        blocked_corners,
        only,
        not,
        max_head,
        row: line.row,
    };
    if !AgeClass::ALL.into_iter().any(|age| pen.takes(age)) {
        let message = "What 'only' and 'not' say together leaves no ewe for this pen.";
        let fault =
            Fault::new("pen-takes-none", message, "Fill in one of the two, and leave the other empty.");
        problems.error("not", sheet.cell(line, "not"), fault);
    }
    Some(pen)
}

/// The feed face: a trough or single places, exactly one of them.
fn face(sheet: &Sheet<'_>, line: &Line<'_>, problems: &mut RowProblems<'_>) -> Option<Face> {
    let (trough, places) = (sheet.cell(line, "trough_m"), sheet.cell(line, "places"));
    match (trough.is_empty(), places.is_empty()) {
        (false, true) => range::read(sheet, line, &TROUGH, problems).map(|m| Face::Trough(Metre::new(m))),
        (true, false) => range::read_whole(sheet, line, &PLACES, problems).map(Face::Places),
        (true, true) => {
            let message = "The pen has neither a length of trough nor a number of feeding places.";
            let hint = "Fill in trough_m, in metres, or places.";
            problems.error(
                if sheet.has("trough_m") { "trough_m" } else { "places" },
                "",
                Fault::new("face-missing", message, hint),
            );
            None
        }
        (false, false) => {
            let message =
                format!("The pen has both {} m of trough and {} places.", quoted(trough), quoted(places));
            let hint = "Fill in one of the two, and leave the other empty.";
            problems.error("places", places, Fault::new("face-twice", message, hint));
            None
        }
    }
}

/// The value of a word; `blank` where the cell is empty.
fn word<T: Clone>(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    column: &str,
    read: impl Fn(&str) -> Result<T, Fault>,
    blank: T,
    problems: &mut RowProblems<'_>,
) -> T {
    match sheet.cell(line, column) {
        "" => blank,
        text => problems.take(column, text, read(text)).unwrap_or(blank),
    }
}
