//! The load sheet and the feed orders as lists.

use crate::farm::plan::document::PlanDocument;
use crate::io::{Holds, List, workbook};

/// One feed of a load a row, in mixing order.
pub(super) fn loads(document: &PlanDocument) -> List {
    let columns = [
        ("pen", Holds::Text),
        ("week", Holds::Figure),
        ("first_day", Holds::Day),
        ("days", Holds::Figure),
        ("head", Holds::Figure),
        ("load", Holds::Text),
        ("loads_a_day", Holds::Figure),
        ("order", Holds::Figure),
        ("feed", Holds::Text),
        ("kg_a_ewe", Holds::Figure),
        ("kg_a_load", Holds::Figure),
        ("kg_dm_a_load", Holds::Figure),
        ("kg_in_all", Holds::Figure),
    ];
    let rows: Vec<Vec<String>> = document
        .loads
        .iter()
        .flat_map(|load| {
            (1..).zip(&load.parts).map(move |(order, part): (u32, _)| {
                let all = part.kg_a_load * f64::from(load.loads_a_day * load.days);
                vec![
                    load.pen.clone(),
                    load.week.to_string(),
                    load.first_day.to_string(),
                    load.days.to_string(),
                    load.head.to_string(),
                    load.what.to_owned(),
                    load.loads_a_day.to_string(),
                    order.to_string(),
                    part.feed.clone(),
                    format!("{:.3}", part.kg_a_ewe),
                    format!("{:.2}", part.kg_a_load),
                    format!("{:.2}", part.kg_dm_a_load),
                    format!("{all:.2}"),
                ]
            })
        })
        .collect();
    List::new(&columns, rows)
}

/// One feed and month a row.
pub(super) fn orders(document: &PlanDocument) -> List {
    let columns = [
        ("feed", Holds::Text),
        ("month", Holds::Text),
        ("used_t", Holds::Figure),
        ("money", Holds::Figure),
        ("price_per_t", Holds::Figure),
        ("stock_t", Holds::Figure),
        ("left_at_the_end_t", Holds::Figure),
        ("runs_out_on", Holds::Day),
    ];
    let figure = |figure: Option<f64>| figure.map(|figure| format!("{figure:.3}")).unwrap_or_default();
    let rows: Vec<Vec<String>> = document
        .feeds
        .iter()
        .flat_map(|feed| {
            feed.months.iter().map(move |month| {
                vec![
                    feed.feed.clone(),
                    month.month.clone(),
                    format!("{:.3}", month.used_t),
                    format!("{:.2}", month.money),
                    feed.price_per_t.to_string(),
                    figure(feed.stock_t),
                    figure(feed.left_t),
                    feed.runs_out_on.map(|day| day.to_string()).unwrap_or_default(),
                ]
            })
        })
        .collect();
    List::new(&columns, rows)
}

/// Both, each on a sheet of a workbook.
pub(super) fn workbook(document: &PlanDocument) -> Vec<u8> {
    workbook::write(&[("Loads", &loads(document)), ("Orders", &orders(document))])
}
