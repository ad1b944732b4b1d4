//! Our reading against a general library's, cell by cell, on files that another library wrote.

use super::read;
use calamine::{Data, Reader, Xlsx};
use evenfold::io::workbook::Row;
use proptest::prelude::*;
use rust_xlsxwriter::{Color, ExcelDateTime, Format, Formula, Workbook};
use std::collections::BTreeMap;
use std::io::Cursor;

/// What is written into a cell.
#[derive(Debug, Clone)]
enum Written {
    Text(String),
    Rich(String, String),
    Number(f64),
    Identifier(u64),
    Date(u16, u8, u8, u32),
    Bool(bool),
    /// A formula and its result.
    Result(String),
    Blank,
}

fn text() -> impl Strategy<Value = String> {
    // Signs that markup must write another way, lines, blanks at the ends, letters of two and four bytes.
    "[ -~é£½\n\t🐑&<>\"']{1,14}".prop_filter("signs by number are held apart", |text| !text.contains("_x"))
}

fn written() -> impl Strategy<Value = Written> {
    prop_oneof![
        3 => text().prop_map(Written::Text),
        1 => (text(), text()).prop_map(|(one, two)| Written::Rich(one, two)),
        2 => any::<f64>().prop_filter("a spreadsheet's number", |value| value.is_finite()).prop_map(Written::Number),
        2 => (-100_000_i32..100_000).prop_map(|hundredths| Written::Number(f64::from(hundredths) / 100.0)),
        2 => (1_u64..9_007_199_254_740_992).prop_map(Written::Identifier),
        2 => (1900_u16..2100, 1_u8..=12, 1_u8..=28, 0_u32..86_400)
            .prop_map(|(year, month, day, second)| Written::Date(year, month, day, second)),
        1 => any::<bool>().prop_map(Written::Bool),
        1 => prop_oneof!["[a-z]{1,8}", "[1-9][0-9]{0,6}", Just("#N/A".to_owned()), Just("#DIV/0!".to_owned())]
            .prop_map(Written::Result),
        1 => Just(Written::Blank),
    ]
}

type Grid = BTreeMap<(u32, u16), Written>;

fn sheet() -> impl Strategy<Value = Grid> {
    proptest::collection::btree_map((0_u32..60, 0_u16..40), written(), 0..40)
}

fn file(sheets: &[Grid]) -> Vec<u8> {
    let mut workbook = Workbook::new();
    let (bold, plain) = (Format::new().set_bold(), Format::new().set_font_color(Color::Red));
    let date = Format::new().set_num_format("dd/mm/yyyy hh:mm:ss");
    for sheet in sheets {
        let page = workbook.add_worksheet();
        for (&(row, column), cell) in sheet {
            let wrote = match cell {
                Written::Text(text) => page.write_string(row, column, text),
                Written::Rich(one, two) => {
                    page.write_rich_string(row, column, &[(&bold, one), (&plain, two)])
                }
                Written::Number(value) => page.write_number(row, column, *value),
                Written::Identifier(value) => page.write_number(row, column, *value as f64),
                Written::Date(year, month, day, second) => {
                    let time = ExcelDateTime::from_ymd(*year, *month, *day)
                        .and_then(|day| {
                            day.and_hms((second / 3600) as u16, (second / 60 % 60) as u8, second % 60)
                        })
                        .expect("it is a day");
                    page.write_datetime_with_format(row, column, &time, &date)
                }
                Written::Bool(value) => page.write_boolean(row, column, *value),
                Written::Result(result) => {
                    page.write_formula(row, column, Formula::new("=A1").set_result(result.as_str()))
                }
                Written::Blank => page.write_blank(row, column, &bold),
            };
            wrote.expect("a cell that a spreadsheet can hold");
        }
    }
    workbook.save_to_buffer().expect("memory can be written")
}

/// What a cell says by the library. Figures are compared as figures, to the fifteen digits that spreadsheets keep.
fn agree(ours: &str, theirs: &Data) -> bool {
    match theirs {
        Data::Empty => ours.is_empty(),
        Data::String(text) => ours == text,
        Data::Bool(value) => ours == if *value { "TRUE" } else { "FALSE" },
        Data::Error(error) => ours == error.to_string(),
        Data::Int(value) => ours == value.to_string(),
        Data::Float(value) if value.fract() == 0.0 && value.abs() < 9_007_199_254_740_992.0 => {
            ours == (*value as i64).to_string()
        }
        Data::Float(value) => {
            ours.parse::<f64>().is_ok_and(|ours| (ours - value).abs() <= value.abs() * 1e-14)
        }
        Data::DateTime(value) => {
            let (year, month, day, hour, minute, second, milli) = value.to_ymd_hms_milli();
            assert!(milli == 0, "whole seconds were written");
            let date = format!("{year:04}-{month:02}-{day:02}");
            let time = format!(" {hour:02}:{minute:02}:{second:02}");
            ours == if time == " 00:00:00" { date } else { date + &time }
        }
        other => panic!("not written: {other:?}"),
    }
}

/// Holds a file to the library.
pub(super) fn compare(bytes: &[u8]) {
    let ours = read(bytes).expect("the library wrote it");
    let mut library = Xlsx::new(Cursor::new(bytes)).expect("the library wrote it");
    let names: Vec<&str> = ours.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, library.sheet_names());
    for (name, found) in &ours {
        let range = library.worksheet_range(name).expect("it is there");
        let (top, left) = range.start().unwrap_or_default();
        let theirs: BTreeMap<(u32, u32), &Data> = range
            .used_cells()
            .map(|(row, column, cell)| ((row as u32 + top, column as u32 + left), cell))
            .collect();
        let mine = found.rows.iter().flat_map(|Row { number, cells }| {
            (0..).zip(cells).map(move |(column, cell)| ((number - 1, column), cell.as_str()))
        });
        let mine: BTreeMap<(u32, u32), &str> = mine.filter(|(_, cell)| !cell.is_empty()).collect();
        for place in mine.keys().chain(theirs.keys()) {
            let (mine, theirs) = (mine.get(place).copied().unwrap_or_default(), theirs.get(place).copied());
            let theirs = theirs.unwrap_or(&Data::Empty);
            assert!(agree(mine, theirs), "{name} {place:?}: {mine:?} against {theirs:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_cell_is_the_librarys(sheets in proptest::collection::vec(sheet(), 1..4)) {
        compare(&file(&sheets));
    }
}
