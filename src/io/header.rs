//! The header of one of our files: where each of our columns stands, and what is wrong with their names.

use crate::io::column::{Column, Header, Meaning};
use crate::io::fault::{Fault, quoted};
use crate::io::sheet::Kind;

/// How many of the names are columns of ours, and whether they are all that is needed.
pub(super) fn known_columns(kind: Kind, names: &[String]) -> (usize, bool) {
    let known =
        names.iter().filter(|name| Header::of(name).meaning(kind.columns()) != Meaning::Unknown).count();
    (known, places(kind, names).is_ok())
}

type Places = (Vec<(&'static str, usize)>, Vec<usize>);

/// Where each of our columns stands, and which places are left over.
pub(super) fn places(kind: Kind, names: &[String]) -> Result<Places, Vec<Fault>> {
    let columns = kind.columns();
    let meanings: Vec<Meaning> = names.iter().map(|name| Header::of(name).meaning(columns)).collect();
    let mut faults = Vec::new();
    let mut found = Vec::new();
    let named = |wanted: &Meaning| -> Vec<usize> {
        (0..meanings.len()).filter(|&place| meanings.get(place) == Some(wanted)).collect()
    };
    for (index, column) in columns.iter().enumerate() {
        let own = named(&Meaning::OwnName(index));
        // Our own name is surer than another spelling, which then is a column that means nothing to us.
        let candidates = if own.is_empty() { named(&Meaning::Spelling(index)) } else { own };
        match candidates.as_slice() {
            [] => {}
            [place] => found.push((column.name, *place)),
            [first, second, ..] => {
                let (first, second) = (names.get(*first), names.get(*second));
                faults.push(duplicate_column(column, first.map(String::as_str), second.map(String::as_str)));
            }
        }
    }
    for meaning in &meanings {
        if let Meaning::WrongUnit { column, unit } = meaning
            && let Some(column) = columns.get(*column)
        {
            faults.push(wrong_unit(column, unit));
        }
    }
    if faults.is_empty() {
        let has = |name: &&str| found.iter().any(|(column, _)| column == name);
        let missing = kind.required().iter().filter(|any| !any.iter().any(has));
        faults.extend(missing.map(|any| missing_column(kind, any, names)));
    }
    let unused = (0..names.len()).filter(|place| !found.iter().any(|(_, used)| used == place)).collect();
    if faults.is_empty() { Ok((found, unused)) } else { Err(faults) }
}

fn duplicate_column(column: &Column, first: Option<&str>, second: Option<&str>) -> Fault {
    let names = (quoted(first.unwrap_or_default()), quoted(second.unwrap_or_default()));
    Fault::new(
        "duplicate-column",
        format!("Two columns could both be '{}': {} and {}.", column.name, names.0, names.1),
        format!("Name the one to use '{}', and the other something else, or take it out.", column.name),
    )
}

fn wrong_unit(column: &Column, unit: &str) -> Fault {
    let ours = column.units.first().copied().unwrap_or_default();
    Fault::new(
        "wrong-unit",
        format!("The column for '{}' is in {unit}; it is wanted in {ours}.", column.name),
        format!("Convert the figures to {ours} in your spreadsheet and name the column '{}'.", column.name),
    )
}

fn missing_column(kind: Kind, any: &[&str], names: &[String]) -> Fault {
    let wanted = any.iter().map(|name| format!("'{name}'")).collect::<Vec<_>>().join(" or ");
    let known = |other: Kind| {
        names.iter().filter(|name| Header::of(name).meaning(other.columns()) != Meaning::Unknown).count()
    };
    let likelier =
        Kind::ALL.into_iter().filter(|&other| known(other) > known(kind)).max_by_key(|&o| known(o));
    let hint = match likelier {
        Some(other) => format!(
            "These look like the columns of the {} file: check that each file was given in its place.",
            other.name()
        ),
        None => {
            let found = list(names.iter().filter(|name| !name.is_empty()).map(String::as_str));
            format!("The first row must name the columns. It has {found}.")
        }
    };
    Fault::new("column-missing", format!("There is no column {wanted}."), hint)
}

/// Names in quotes, at most eight of them.
pub(super) fn list<'n>(names: impl Iterator<Item = &'n str>) -> String {
    let names: Vec<String> = names.map(quoted).collect();
    if names.is_empty() { "no names".to_owned() } else { shortened(&names) }
}

/// Names one after the other, at most eight of them.
pub(super) fn shortened(names: &[String]) -> String {
    const MOST: usize = 8;
    let shown = names.get(..MOST).unwrap_or(names).join(", ");
    match names.len().saturating_sub(MOST) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
