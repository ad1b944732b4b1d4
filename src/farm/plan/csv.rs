//! The load sheet and the feed orders as CSV.

use crate::farm::plan::document::PlanDocument;
use crate::io::pen_list;

/// One feed of a load a row, in mixing order.
pub(super) fn loads(document: &PlanDocument) -> String {
    let columns = [
        "pen",
        "week",
        "first_day",
        "days",
        "head",
        "load",
        "loads_a_day",
        "order",
        "feed",
        "kg_a_ewe",
        "kg_a_load",
        "kg_dm_a_load",
        "kg_in_all",
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
    pen_list::write(&columns, &rows)
}

/// One feed and month a row.
pub(super) fn orders(document: &PlanDocument) -> String {
    let columns =
        ["feed", "month", "used_t", "money", "price_per_t", "stock_t", "left_at_the_end_t", "runs_out_on"];
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
    pen_list::write(&columns, &rows)
}
