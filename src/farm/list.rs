//! Pens' lists, with the columns that the flock file had and we do not know.

use crate::farm::{Farm, report};
use crate::io::{Holds, List, workbook};
use crate::sort::apart::Apart;
use crate::sort::reason::score_words;

/// Our columns of a pen's list.
const COLUMNS: [(&str, Holds); 11] = [
    ("pen", Holds::Text),
    ("tag", Holds::Text),
    ("eid", Holds::Text),
    ("litter", Holds::Figure),
    ("condition", Holds::Figure),
    ("due", Holds::Day),
    ("age", Holds::Text),
    ("weight_kg", Holds::Figure),
    ("assumed", Holds::Text),
    ("reason", Holds::Text),
    ("notes", Holds::Text),
];

/// A pen's list, or all pens' lists one after another; nothing where there is no such pen.
pub(super) fn pens(farm: &Farm, pen: Option<&str>) -> Option<List> {
    let wanted: Vec<usize> = match pen {
        Some(name) => vec![farm.plan.pens.iter().position(|pen| pen.name == name)?],
        None => (0..farm.plan.pens.len()).collect(),
    };
    let extra = extra_columns(farm);
    let rows: Vec<Vec<String>> = wanted
        .into_iter()
        .flat_map(|pen| farm.measure.pens[pen].members.iter().map(move |&ewe| (pen, ewe)))
        .map(|(pen, ewe)| row(farm, pen, ewe, &extra))
        .collect();
    let mut list = List::new(&COLUMNS, rows);
    list.columns.extend(extra.into_iter().map(|name| (name, Holds::Text)));
    Some(list)
}

/// The ewes that were not sorted.
pub(super) fn set_apart(farm: &Farm) -> List {
    let row = |apart: &Apart| vec![apart.tag.clone(), apart.why.clone(), apart.needs.clone()];
    let columns = ["tag", "why", "needs"].map(|name| (name, Holds::Text));
    List::new(&columns, farm.set_apart.iter().map(row).collect())
}

/// All pens, and the ewes that were not sorted, each on a sheet of a workbook.
pub(super) fn workbook(farm: &Farm) -> Vec<u8> {
    let (pens, apart) = (pens(farm, None), set_apart(farm));
    let pens = pens.iter().map(|pens| ("Pens", pens));
    let apart = Some(("Set apart", &apart)).filter(|(_, apart)| !apart.rows.is_empty());
    workbook::write(&pens.chain(apart).collect::<Vec<_>>())
}

fn row(farm: &Farm, pen: usize, index: usize, extra: &[String]) -> Vec<String> {
    let planned = &farm.plan.ewes[index];
    let record = &planned.ewe;
    let assumed: Vec<&str> = planned.filled.assumed.iter().map(|what| what.field()).collect();
    let mut cells = vec![
        farm.plan.pens[pen].name.clone(),
        record.tag.clone(),
        record.eid.clone().unwrap_or_default(),
        planned.litter.lambs().to_string(),
        score_words(planned.filled.condition),
        planned.due.to_string(),
        planned.filled.age.in_words().to_owned(),
        format!("{:.1}", planned.filled.weight.value()),
        assumed.join(" "),
        report::reason_of(farm, index),
        record.notes.clone().unwrap_or_default(),
    ];
    cells.extend(extra.iter().map(|column| {
        let cell = record.extra.iter().find(|(header, _)| header == column);
        cell.map(|(_, text)| text.clone()).unwrap_or_default()
    }));
    cells
}

/// The names of unknown columns, in the order in which they first come.
fn extra_columns(farm: &Farm) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (header, _) in farm.plan.ewes.iter().flat_map(|ewe| &ewe.ewe.extra) {
        if !names.contains(header) {
            names.push(header.clone());
        }
    }
    names
}
