//! Pens' lists as CSV, with the columns that the flock file had and we do not know.

use crate::farm::{Farm, report};
use crate::io::pen_list;
use crate::sort::apart::Apart;
use crate::sort::reason::score_words;

/// Our columns of a pen's list.
const COLUMNS: [&str; 11] =
    ["pen", "tag", "eid", "litter", "condition", "due", "age", "weight_kg", "assumed", "reason", "notes"];

/// A pen's list, or all pens' lists one after another.
pub(super) fn pen_csv(farm: &Farm, pen: Option<&str>) -> Option<String> {
    let wanted: Vec<usize> = match pen {
        Some(name) => vec![farm.plan.pens.iter().position(|pen| pen.name == name)?],
        None => (0..farm.plan.pens.len()).collect(),
    };
    let extra = extra_columns(farm);
    let columns: Vec<&str> = COLUMNS.into_iter().chain(extra.iter().map(String::as_str)).collect();
    let rows: Vec<Vec<String>> = wanted
        .into_iter()
        .flat_map(|pen| farm.measure.pens[pen].members.iter().map(move |&ewe| (pen, ewe)))
        .map(|(pen, ewe)| row(farm, pen, ewe, &extra))
        .collect();
    Some(pen_list::write(&columns, &rows))
}

/// The ewes that were not sorted.
pub(super) fn set_apart_csv(farm: &Farm) -> String {
    let row = |apart: &Apart| vec![apart.tag.clone(), apart.why.clone(), apart.needs.clone()];
    pen_list::write(&["tag", "why", "needs"], &farm.set_apart.iter().map(row).collect::<Vec<_>>())
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
