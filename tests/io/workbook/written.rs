//! What we write: read back by a general library and by ourselves, and laid out as the standard asks.

use super::read;
use calamine::{Data, Reader, Xlsx};
use evenfold::io::workbook::write;
use evenfold::io::{Holds, List};
use proptest::prelude::*;
use std::io::{Cursor, Read};

/// A cell of a column: what fits it, and what does not and must come back all the same.
fn cell(holds: Holds) -> BoxedStrategy<String> {
    let text = "[ -~é£\n\t🐑\u{1}\r]{0,20}";
    let written =
        prop_oneof!["0[0-9]{3}", "[0-9]{16}", Just("=1+1".to_owned()), Just("_x0041_".to_owned()), text];
    match holds {
        Holds::Text => written.boxed(),
        Holds::Figure => prop_oneof![3 => "-?[0-9]{1,6}(\\.[0-9]{1,3})?", 1 => written].boxed(),
        Holds::Day => prop_oneof![3 => "20[0-9]{2}-0[1-9]-[12][0-8]", 1 => written].boxed(),
    }
}

fn list() -> impl Strategy<Value = List> {
    let holds = prop_oneof![Just(Holds::Text), Just(Holds::Figure), Just(Holds::Day)];
    let columns = proptest::collection::vec(("[a-z_]{1,12}", holds), 1..32);
    (columns, 0..12_usize).prop_flat_map(|(columns, rows)| {
        let row: Vec<_> = columns.iter().map(|&(_, holds)| cell(holds)).collect();
        proptest::collection::vec(row, rows).prop_map(move |rows| List { columns: columns.clone(), rows })
    })
}

/// Whether the library finds in a cell what was written. Signs that markup cannot hold it leaves as they are written
/// there, by their numbers; ours are compared exactly below.
fn is_same(cell: &str, holds: Holds, found: &Data) -> bool {
    match found {
        Data::Empty => cell.is_empty(),
        Data::Float(value) => holds == Holds::Figure && cell.parse() == Ok(*value),
        Data::DateTime(value) => {
            let (year, month, day, ..) = value.to_ymd_hms_milli();
            holds == Holds::Day && format!("{year:04}-{month:02}-{day:02}") == cell
        }
        Data::String(text) => {
            let by_number = cell.contains(['\u{1}', '\r']) || cell.contains("_x");
            (by_number || text == cell) && !(holds == Holds::Figure && is_plain_figure(cell))
        }
        _ => false,
    }
}

/// Digits, a point among them or not, few enough for a spreadsheet.
fn is_plain_figure(cell: &str) -> bool {
    let digits = cell.strip_prefix('-').unwrap_or(cell);
    let is_one = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    is_one
        && (1..=10).contains(&digits.len())
        && !digits.starts_with('.')
        && !digits.ends_with('.')
        && digits.parse::<f64>().is_ok()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_cell_comes_back(first in list(), second in list()) {
        let bytes = write(&[("Pens", &first), ("Set <apart>", &second)]);
        let mut library = Xlsx::new(Cursor::new(bytes.as_slice())).expect("it is a workbook");
        prop_assert_eq!(library.sheet_names(), ["Pens", "Set <apart>"]);
        let ours = read(&bytes).expect("it is a workbook");
        for (list, (name, rows)) in [first, second].iter().zip(ours) {
            let range = library.worksheet_range(&name).expect("it is there");
            for (row, cells) in (1..).zip(&list.rows) {
                for (column, (cell, (_, holds))) in (0..).zip(cells.iter().zip(&list.columns)) {
                    let found = range.get_value((row, column)).unwrap_or(&Data::Empty);
                    prop_assert!(is_same(cell, *holds, found), "{:?} came back as {:?}", cell, found);
                    let own = rows.rows.iter().find(|line| line.number == row + 1);
                    let own = own.and_then(|line| line.cells.get(column as usize)).map_or("", String::as_str);
                    let is_figure = matches!(found, Data::Float(_));
                    prop_assert!(own == cell || (is_figure && own.parse::<f64>() == cell.parse()), "{own:?} for {cell:?}");
                }
            }
            for (column, (name, _)) in (0..).zip(&list.columns) {
                prop_assert_eq!(range.get_value((0, column)), Some(&Data::String(name.clone())));
            }
        }
    }
}

/// The parts that a workbook must have (ECMA-376 part 1, 12.3; part 2, 6.2.4 and 6.5), each of a stated type, and every
/// link between them at its end.
#[test]
fn the_package_is_whole() {
    let list = List {
        columns: vec![("tag".to_owned(), Holds::Text), ("kg".to_owned(), Holds::Figure)],
        rows: vec![vec!["0417".to_owned(), "70.5".to_owned()]],
    };
    let bytes = write(&[("Pens", &list), ("Set apart", &list)]);
    let mut archive = zip::ZipArchive::new(Cursor::new(&bytes)).expect("it is a container");
    let names: Vec<String> =
        archive.file_names().map(|name| name.expect("it is text").into_owned()).collect();
    let mut text = |name: &str| {
        let mut text = String::new();
        let mut part = archive.by_name(name).expect("the part is there");
        part.read_to_string(&mut text).expect("its sum is right and it is text");
        text
    };
    let types = text("[Content_Types].xml");
    for name in names.iter().filter(|name| !name.ends_with(".rels") && !name.starts_with('[')) {
        assert_eq!(types.matches(&format!("PartName=\"/{name}\"")).count(), 1, "{name}");
    }
    for (links, folder) in [("_rels/.rels", ""), ("xl/_rels/workbook.xml.rels", "xl/")] {
        let links = text(links);
        let targets: Vec<&str> =
            links.split("Target=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        assert!(!targets.is_empty());
        for target in targets {
            assert!(names.contains(&format!("{folder}{target}")), "{target}");
        }
    }
    let workbook = text("xl/workbook.xml");
    let links = text("xl/_rels/workbook.xml.rels");
    for id in ["r1", "r2"] {
        assert!(workbook.contains(&format!("r:id=\"{id}\"")) && links.contains(&format!("Id=\"{id}\"")));
    }
    // The order of a sheet's elements (18.3.1.99).
    let sheet = text("xl/worksheets/sheet1.xml");
    let order =
        ["<sheetViews>", "<sheetFormatPr", "<cols>", "<sheetData>", "<ignoredErrors>", "</worksheet>"];
    let places: Vec<_> = order.iter().map(|mark| sheet.find(mark)).collect();
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?}");
    // Each style that a cell names is there, and counts say what there is.
    let styles = text("xl/styles.xml");
    for (list, one) in
        [("numFmts", "<numFmt "), ("fonts", "<font>"), ("fills", "<fill>"), ("borders", "<border>")]
    {
        let inside = styles.split(&format!("<{list} count=\"")).nth(1).expect("the list is there");
        let count: usize = inside.split('"').next().and_then(|count| count.parse().ok()).expect("a count");
        let inside = inside.split(&format!("</{list}>")).next().expect("it ends");
        assert_eq!(inside.matches(one).count(), count, "{list}");
    }
    let cell_styles =
        styles.split("<cellXfs").nth(1).and_then(|rest| rest.split("</cellXfs>").next()).expect("styles");
    let count = cell_styles.matches("<xf ").count();
    for style in sheet.split(" s=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
        assert!(style.parse::<usize>().is_ok_and(|style| style < count), "{style}");
    }
}

#[test]
fn the_same_list_makes_the_same_file() {
    let list = List { columns: vec![("tag".to_owned(), Holds::Text)], rows: vec![vec!["7".to_owned()]] };
    assert_eq!(write(&[("Pens", &list)]), write(&[("Pens", &list)]));
}
