//! Needs against print: every published cell of `tests/golden/requirement.csv`, and what must hold over the
//! whole legal range.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

use evenfold::farm::need::{NeedAnswer, NeedQuestion, need};

const MJ_PER_MCAL: f64 = 4.184;

fn ask(weight_kg: f64, litter: u8, days: Option<u32>) -> NeedQuestion {
    NeedQuestion {
        weight_kg,
        litter,
        days_to_lambing: days,
        standard: "afrc1993".to_owned(),
        diet_me_mj_per_kg_dm: 11.5,
        growth_g_per_day: 0.0,
        litter_weight_kg: None,
    }
}

fn answered(weight_kg: f64, litter: u8, days: u32) -> NeedAnswer {
    need(&ask(weight_kg, litter, Some(days))).expect("within the legal range")
}

struct Cell {
    name: String,
    question: NeedQuestion,
    days: Vec<u32>,
    quantity: String,
    value: f64,
    unit: String,
    tolerance: f64,
    difference: Option<f64>,
}

fn cells() -> Vec<Cell> {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path("tests/golden/requirement.csv").unwrap();
    let headers = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    rows.into_iter()
        .map(|row| {
            let text = |name: &str| {
                row[headers.iter().position(|header| header == name).expect("a column")].to_owned()
            };
            let number = |name: &str| text(name).parse::<f64>().ok();
            let days: Vec<u32> =
                text("days_to_lambing").split(" to ").filter_map(|day| day.parse().ok()).collect();
            let mut question =
                ask(number("ewe_kg").unwrap(), text("litter").parse().unwrap(), days.first().copied());
            question.diet_me_mj_per_kg_dm = number("diet_me_mj_per_kg_dm").unwrap();
            question.growth_g_per_day = number("growth_g_per_day").unwrap();
            assert_eq!(
                number("difference_percent").is_some(),
                !text("reason").is_empty(),
                "a reason with each"
            );
            assert!(!text("source").is_empty(), "every cell has its source");
            Cell {
                name: format!(
                    "{} {} lambs, {:?} days, {}",
                    text("source"),
                    text("litter"),
                    days,
                    text("quantity")
                ),
                question,
                days,
                quantity: text("quantity"),
                value: number("value").unwrap(),
                unit: text("unit"),
                tolerance: number("tolerance_percent").unwrap(),
                difference: number("difference_percent"),
            }
        })
        .collect()
}

/// What the engine says, in the cell's unit.
fn ours(cell: &Cell) -> f64 {
    let answer = need(&cell.question).expect("a legal question");
    match (cell.quantity.as_str(), cell.unit.as_str()) {
        ("me", "Mcal/day") => answer.me_mj_per_day / MJ_PER_MCAL,
        ("me", "MJ/day") => answer.me_mj_per_day,
        ("mp", "g/day") => answer.mp_g_per_day,
        ("me_rise", "percent") => {
            let last = NeedQuestion { days_to_lambing: cell.days.get(1).copied(), ..cell.question.clone() };
            let last = need(&last).expect("a legal question");
            100.0 * (last.me_mj_per_day / answer.me_mj_per_day - 1.0)
        }
        other => panic!("{other:?} is not a quantity of this file"),
    }
}

#[test]
fn published_cells_are_met_or_differ_as_explained() {
    let cells = cells();
    assert!(cells.len() >= 30, "{} cells read", cells.len());
    let (mut met, mut explained) = (0, 0);
    for cell in &cells {
        let ours = ours(cell);
        // A rise in percent is compared in points, everything else in percent of the print.
        let off =
            if cell.quantity == "me_rise" { ours - cell.value } else { 100.0 * (ours / cell.value - 1.0) };
        match cell.difference {
            None => {
                met += 1;
                assert!(off.abs() <= cell.tolerance, "{}: {ours:.2}, {off:+.1} %", cell.name);
            }
            Some(difference) => {
                explained += 1;
                assert!((off - difference).abs() <= 1.5, "{}: {off:+.1} %, said {difference:+.1}", cell.name);
                assert!(difference.abs() > cell.tolerance, "{}: needs no reason", cell.name);
            }
        }
    }
    assert!(met >= 18 && explained >= 1, "{met} met, {explained} explained");
}

#[test]
fn more_lambs_nearer_term_or_heavier_never_needs_less() {
    for kg in (25..=160).step_by(5) {
        for lambs in 0..=5 {
            for days in (0..=147).step_by(3) {
                let here = answered(f64::from(kg), lambs, days);
                assert!(here.me_mj_per_day.is_finite() && here.mp_g_per_day.is_finite());
                let not_less = |other: &NeedAnswer, what: &str| {
                    assert!(
                        other.me_mj_per_day >= here.me_mj_per_day && other.mp_g_per_day >= here.mp_g_per_day,
                        "{kg} kg, {lambs} lambs, {days} days: {what} needs less"
                    );
                };
                if lambs < 5 {
                    not_less(&answered(f64::from(kg), lambs + 1, days), "one lamb more");
                }
                if kg < 160 {
                    not_less(&answered(f64::from(kg) + 5.0, lambs, days), "a heavier ewe");
                }
                if days >= 3 {
                    not_less(&answered(f64::from(kg), lambs, days - 3), "a ewe nearer term");
                }
            }
        }
    }
}

#[test]
fn outside_the_range_is_an_error_with_what_to_do() {
    for (question, input) in [
        (ask(20.0, 2, Some(21)), "weight"),
        (ask(200.0, 2, Some(21)), "weight"),
        (ask(f64::NAN, 2, Some(21)), "weight"),
        (ask(70.0, 6, Some(21)), "litter"),
        (ask(70.0, 2, Some(160)), "days-to-lambing"),
        (ask(70.0, 2, None), "days-to-lambing"),
        (NeedQuestion { standard: "other".to_owned(), ..ask(70.0, 2, Some(21)) }, "standard"),
        (NeedQuestion { diet_me_mj_per_kg_dm: 40.0, ..ask(70.0, 2, Some(21)) }, "diet"),
        (NeedQuestion { growth_g_per_day: -5.0, ..ask(70.0, 2, Some(21)) }, "growth"),
        (NeedQuestion { litter_weight_kg: Some(0.0), ..ask(70.0, 2, Some(21)) }, "litter-weight"),
    ] {
        let problem = need(&question).expect_err("outside the range");
        assert_eq!(problem.column.as_deref(), Some(input));
        assert!(problem.hint.starts_with("Give "), "{problem}");
    }
}
