//! The state as the files that a sort reads. What nobody saw stays empty; filling gaps is the sort's business.

use crate::farm::journal::season::{self, Season};
use crate::farm::journal::words;
use crate::flock::AgeClass;
use crate::flock::DayOf;
use crate::io::pen_list;
use crate::journal::{Ewe, PenRow, State, Topic, Value, What};
use crate::pen::{Feeding, Floor};

const FLOCK: [&str; 10] =
    ["tag", "eid", "litter", "condition", "due", "group", "age", "weight_kg", "shorn", "notes"];
const PENS: [&str; 10] = [
    "pen",
    "trough_m",
    "places",
    "area_m2",
    "feeding",
    "floor",
    "blocked_corners",
    "only",
    "not",
    "max_head",
];
const GROUPS: [&str; 4] = ["group", "first_day", "last_day", "of"];

/// The flock list: one ewe a row, in the order in which they were first met; of a season, where one is meant.
pub(super) fn flock(state: &State, season: Option<&Season>) -> String {
    let hers = state.ewes().filter(|ewe| season.is_none_or(|season| season.of(ewe).is_of_it()));
    pen_list::write(&FLOCK, &hers.map(|known| ewe(known, season)).collect::<Vec<_>>())
}

/// The pens; nothing where none was described.
pub(super) fn pens(state: &State) -> Option<String> {
    let rows: Vec<Vec<String>> = state
        .pens
        .iter()
        .filter_map(|event| match event.what()? {
            What::PenDescribed(row) => Some(pen(row)),
            _ => None,
        })
        .collect();
    (!rows.is_empty()).then(|| pen_list::write(&PENS, &rows))
}

/// The mating groups; nothing where none was described.
pub(super) fn groups(state: &State) -> Option<String> {
    let rows: Vec<Vec<String>> = state.groups.iter().filter_map(|event| group(event.what()?)).collect();
    (!rows.is_empty()).then(|| pen_list::write(&GROUPS, &rows))
}

/// One pen as its file.
pub(super) fn pen_file(row: &PenRow) -> String {
    pen_list::write(&PENS, &[pen(row)])
}

/// One group as its file; nothing where this describes none.
pub(super) fn group_file(what: &What) -> Option<String> {
    Some(pen_list::write(&GROUPS, &[group(what)?]))
}

/// One weight as a flock list.
pub(super) fn weight_file(weight_kg: f64) -> String {
    pen_list::write(&["tag", "weight_kg"], &[vec!["she".to_owned(), weight_kg.to_string()]])
}

/// What stands in a column of a ewe's row.
pub(super) fn cell(row: &[String], column: &str) -> String {
    let at = FLOCK.iter().position(|name| *name == column);
    at.and_then(|at| row.get(at)).cloned().unwrap_or_default()
}

/// One ewe as a row of the flock list.
pub(super) fn ewe(ewe: &Ewe, season: Option<&Season>) -> Vec<String> {
    let mut cells = vec![String::new(); FLOCK.len()];
    let mut set = |column: &str, text: String| {
        if let Some(cell) = FLOCK.iter().position(|name| *name == column).and_then(|at| cells.get_mut(at)) {
            *cell = text;
        }
    };
    set("tag", ewe.called());
    set("eid", ewe.eid.as_ref().map(|eid| eid.digits().to_owned()).unwrap_or_default());
    for topic in Topic::ALL {
        match season::value(ewe, topic, season) {
            Some(Value::Scanned(lambs)) => set("litter", lambs.lambs().to_string()),
            Some(Value::Condition(score)) => set("condition", score.to_string()),
            Some(Value::Age(age)) => set("age", age.in_words().to_owned()),
            Some(Value::Due(group, due)) => {
                set("group", group.unwrap_or_default().to_owned());
                set("due", due.map(|day| day.to_string()).unwrap_or_default());
            }
            Some(Value::Weight(kg)) => set("weight_kg", kg.to_string()),
            Some(Value::Fleece(shorn)) => set("shorn", if shorn { "yes" } else { "no" }.to_owned()),
            Some(Value::Pen(_)) | None => {}
        }
    }
    let said = ewe.marks.iter().chain(&ewe.notes).filter_map(|event| match event.what()? {
        What::Marked { mark, words: Some(more), .. } => Some(format!("{}: {more}", words::mark(*mark))),
        What::Marked { mark, .. } => Some(words::mark(*mark).to_owned()),
        What::Noted { words, .. } => Some(words.clone()),
        _ => None,
    });
    set("notes", said.collect::<Vec<_>>().join("; ").trim().to_owned());
    cells
}

fn pen(row: &PenRow) -> Vec<String> {
    let number = |figure: Option<u32>| figure.map(|figure| figure.to_string()).unwrap_or_default();
    let ages = |ages: &[AgeClass]| ages.iter().map(|age| age.in_words()).collect::<Vec<_>>().join("; ");
    let feeding = row.feeding.map_or("", |feeding| match feeding {
        Feeding::Restricted => "restricted",
        Feeding::Always => "always",
    });
    let floor = row.floor.map_or("", |floor| match floor {
        Floor::Straw => "straw",
        Floor::Slats => "slats",
    });
    vec![
        row.pen.clone(),
        row.trough_m.map(|metres| metres.to_string()).unwrap_or_default(),
        number(row.places),
        row.area_m2.to_string(),
        feeding.to_owned(),
        floor.to_owned(),
        number(row.blocked_corners),
        ages(&row.only),
        ages(&row.not),
        number(row.max_head),
    ]
}

fn group(what: &What) -> Option<Vec<String>> {
    let What::GroupDescribed { group, first_day, last_day, of } = what else { return None };
    let of = match of {
        DayOf::Service => "service",
        DayOf::Due => "due",
    };
    Some(vec![group.clone(), first_day.to_string(), last_day.to_string(), of.to_owned()])
}
