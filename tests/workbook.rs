//! Spreadsheet files at the command line: what is written is what the CSV lists say, and it comes back in.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use calamine::{Data, Reader, Xlsx, open_workbook};
use common::{evenfold, folder, stderr, stdout};
use std::path::Path;

const FARM: [&str; 6] =
    ["--pens", "data/example/pens.csv", "--groups", "data/example/groups.csv", "--on", "2027-02-01"];

/// The rows of a CSV list, its header among them.
fn csv_rows(path: &Path) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_path(path).unwrap();
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// The rows of a sheet, as the general library reads them. Figures stand as figures and days as days.
fn sheet_rows(book: &mut Xlsx<std::io::BufReader<std::fs::File>>, name: &str) -> Vec<Vec<Data>> {
    book.worksheet_range(name).unwrap().rows().map(<[Data]>::to_vec).collect()
}

#[track_caller]
fn agree(csv: &[Vec<String>], sheet: &[Vec<Data>], figures: &[&str], days: &[&str]) {
    assert_eq!(csv.len(), sheet.len());
    let header = csv.first().unwrap();
    for (row, cells) in csv.iter().zip(sheet) {
        for ((cell, found), column) in row.iter().zip(cells).zip(header) {
            let is_header = std::ptr::eq(row, &csv[0]);
            let same = match found {
                Data::Empty => cell.is_empty(),
                Data::String(text) => {
                    let is_text = !figures.contains(&column.as_str()) && !days.contains(&column.as_str());
                    text == cell && (is_header || is_text)
                }
                Data::Float(value) => figures.contains(&column.as_str()) && cell.parse() == Ok(*value),
                Data::DateTime(value) => {
                    let (year, month, day, ..) = value.to_ymd_hms_milli();
                    days.contains(&column.as_str()) && format!("{year:04}-{month:02}-{day:02}") == *cell
                }
                _ => false,
            };
            assert!(same, "{column}: {cell:?} is {found:?}");
        }
    }
}

#[test]
fn the_pens_are_written_as_the_lists_say_and_come_back() {
    let folder = folder("workbook-pens");
    let (lists, book) = (folder.join("lists"), folder.join("pens.xlsx"));
    let (lists_text, book_text) = (lists.to_str().unwrap(), book.to_str().unwrap());
    let sorting =
        [&["sort", "data/example/flock.csv"], &FARM[..], &["--out", lists_text, "--xlsx", book_text]]
            .concat();
    let sorted = evenfold(&sorting);
    assert_eq!(sorted.status.code(), Some(0), "{}", stderr(&sorted));
    let mut all: Vec<Vec<String>> = Vec::new();
    for pen in ["A", "B", "C", "D", "E", "F", "G"] {
        let path = lists.join(format!("pen-{pen}.csv"));
        if path.exists() {
            let rows = csv_rows(&path);
            let from = usize::from(!all.is_empty());
            all.extend(rows.into_iter().skip(from));
        }
    }
    assert!(all.len() > 200, "{} rows", all.len());
    let mut found: Xlsx<_> = open_workbook(&book).unwrap();
    assert_eq!(found.sheet_names(), ["Pens", "Set apart"]);
    agree(&all, &sheet_rows(&mut found, "Pens"), &["litter", "condition", "weight_kg"], &["due"]);
    agree(&csv_rows(&lists.join("set-apart.csv")), &sheet_rows(&mut found, "Set apart"), &[], &[]);
    // Where the ewes stand is the same from the spreadsheet as from the lists.
    let evaluated = |lists: &[String]| {
        let mut words = vec!["evaluate"];
        words.extend(lists.iter().map(String::as_str));
        words.extend(["--flock", "data/example/flock.csv", "--json"]);
        words.extend(FARM);
        let output = evenfold(&words);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        let document: serde_json::Value = serde_json::from_str(&stdout(&output)).unwrap();
        assert!(document["pens"].as_array().is_some_and(|pens| pens.len() == 7));
        document["pens"].clone()
    };
    let listed: Vec<String> = std::fs::read_dir(&lists)
        .unwrap()
        .map(|entry| entry.unwrap().path().to_str().unwrap().to_owned())
        .filter(|path| path.contains("pen-"))
        .collect();
    assert_eq!(evaluated(&[book_text.to_owned()]), evaluated(&listed));
}

#[test]
fn the_plan_is_written_as_the_lists_say() {
    let folder = folder("workbook-plan");
    let (lists, book) = (folder.join("lists"), folder.join("plan.xlsx"));
    let (lists_text, book_text) = (lists.to_str().unwrap(), book.to_str().unwrap());
    let out = ["--feeds", "data/demo/feeds.csv", "--out", lists_text, "--xlsx", book_text];
    let planned = evenfold(&[&["plan", "data/example/flock.csv"], &FARM[..], &out].concat());
    assert_eq!(planned.status.code(), Some(0), "{}", stderr(&planned));
    let mut found: Xlsx<_> = open_workbook(&book).unwrap();
    let loads = csv_rows(&lists.join("loads.csv"));
    let text = ["pen", "load", "feed", "month"];
    let (days, figures): (Vec<_>, Vec<_>) = loads[0]
        .iter()
        .map(String::as_str)
        .filter(|column| !text.contains(column))
        .partition(|column| column.ends_with("_day") && *column == "first_day");
    agree(&loads, &sheet_rows(&mut found, "Loads"), &figures, &days);
    let orders = csv_rows(&lists.join("orders.csv"));
    let figures = ["used_t", "money", "price_per_t", "stock_t", "left_at_the_end_t"];
    agree(&orders, &sheet_rows(&mut found, "Orders"), &figures, &["runs_out_on"]);
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let sorting =
        [&["sort", "data/example/flock.csv"], &FARM[..], &["--xlsx", "no/such/folder/pens.xlsx"]].concat();
    let sorted = evenfold(&sorting);
    assert_ne!(sorted.status.code(), Some(0));
    assert!(stderr(&sorted).contains("not-written"), "{}", stderr(&sorted));
}
