//! A list from a spreadsheet is the same list as from CSV, and its faults are named by the spreadsheet's rows.

use super::{by_hand, one_sheet, package};
use crate::{only, said};
use evenfold::flock::{Due, Ewe};
use evenfold::io;
use evenfold::problem::Severity;
use rust_xlsxwriter::{Format, Formula, Workbook};

const FLOCK: &str = include_str!("../../../data/example/flock.csv");
const PENS: &str = include_str!("../../../data/example/pens.csv");
const GROUPS: &str = include_str!("../../../data/example/groups.csv");

/// A CSV file as a workbook in which every cell is text.
fn as_text(csv: &str) -> Vec<u8> {
    let mut workbook = Workbook::new();
    let page = workbook.add_worksheet();
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(csv.as_bytes());
    for (row, record) in (0..).zip(reader.records()) {
        for (column, cell) in (0..).zip(&record.expect("the example is CSV")) {
            page.write_string(row, column, cell).expect("it fits a cell");
        }
    }
    workbook.save_to_buffer().expect("memory can be written")
}

#[test]
fn the_example_farm_is_the_same_from_spreadsheets() {
    let (groups, _) = io::groups(GROUPS.as_bytes(), None);
    let (same, _) = io::groups(&as_text(GROUPS), None);
    assert_eq!((&same.records, &same.problems), (&groups.records, &groups.problems));
    let (pens, same) = (io::pens(PENS.as_bytes()), io::pens(&as_text(PENS)));
    assert_eq!((&same.records, &same.problems), (&pens.records, &pens.problems));
    let groups = Some(groups.records.as_slice());
    let (flock, same) = (io::flock(FLOCK.as_bytes(), groups, None), io::flock(&as_text(FLOCK), groups, None));
    assert!(flock.reading.records.len() > 100);
    assert_eq!(same.reading.records, flock.reading.records);
    assert_eq!(same.faulty, flock.faulty);
    assert_eq!(same.reading.problems, flock.reading.problems);
}

/// Cells of their own kinds: numbers, a date by its format, text.
fn typed(rows: &[(&str, f64, f64, f64)]) -> Vec<u8> {
    let mut workbook = Workbook::new();
    let date = Format::new().set_num_format("mm/dd/yyyy");
    let page = workbook.add_worksheet();
    page.set_name("Ewes 2027").expect("a name");
    for (column, name) in (0..).zip(["tag", "eid", "condition", "due"]) {
        page.write_string(0, column, name).expect("it fits");
    }
    for (row, &(tag, eid, condition, due)) in (1..).zip(rows) {
        page.write_string(row, 0, tag).expect("it fits");
        page.write_number(row, 1, eid).expect("it fits");
        page.write_number(row, 2, condition).expect("it fits");
        page.write_number_with_format(row, 3, due, &date).expect("it fits");
    }
    workbook.save_to_buffer().expect("memory can be written")
}

#[test]
fn numbers_and_dates_are_read_as_what_they_are() {
    // 46450 is 4 March 2027, which in this format shows as 03/04/2027; nothing is asked.
    let found = io::flock(&typed(&[("0417", 999_000_000_000_017.0, 2.75, 46450.0)]), None, None);
    assert_eq!((said(&found.reading.problems), found.date_question.is_none()), (Vec::new(), true));
    let Ewe { tag, eid, condition, due, row, .. } = only(found);
    assert_eq!((tag.as_str(), eid.as_deref(), row), ("0417", Some("999000000000017"), 2));
    assert_eq!(condition.map(|score| score.to_string()).as_deref(), Some("2.75"));
    assert_eq!(due, Due::On(crate::day("2027-03-04")));
}

#[test]
fn identifiers_that_a_number_cannot_hold_are_named() {
    let rows = [
        ("1", 1_826_072_434_500_099.0, 2.0, 46450.0),
        ("2", 18_260_724_345_000_991.0, 2.0, 46450.0),
        ("3", 826_072_434_500_099.0, 2.0, 46450.0),
    ];
    let found = io::flock(&typed(&rows), None, None);
    assert_eq!(said(&found.reading.problems), ["2 eid eid-maybe-rounded?", "3 eid identifier-rounded"]);
}

#[test]
fn what_a_spreadsheet_made_of_a_cell_is_named() {
    let mut workbook = Workbook::new();
    let date = Format::new().set_num_format("d-mmm");
    let page = workbook.add_worksheet();
    for (column, name) in (0..).zip(["tag", "condition", "notes", "vet"]) {
        page.write_string(2, column, name).expect("it fits");
    }
    page.write_number_with_format(3, 0, 46450, &date).expect("it fits");
    for (row, tag) in (4..).zip(["b", "c", "d"]) {
        page.write_string(row, 0, tag).expect("it fits");
    }
    page.write_formula(4, 1, Formula::new("=1/0").set_result("#DIV/0!")).expect("it fits");
    page.write_formula(5, 1, Formula::new("=5/2").set_result("2.5")).expect("it fits");
    page.write_string(6, 2, "=not a formula").expect("it fits");
    page.write_string(6, 5, "beside the header").expect("it fits");
    let bytes = workbook.save_to_buffer().expect("memory can be written");
    let found = io::flock(&bytes, None, None);
    assert_eq!(said(&found.reading.problems), ["4 tag identifier-date", "5 condition spreadsheet-error"]);
    assert_eq!(found.reading.unknown_columns, ["vet", "column 6"]);
    let ewes: Vec<_> = found.reading.records.iter().map(|ewe| (ewe.row, ewe.tag.as_str())).collect();
    assert_eq!(ewes, [(6, "c"), (7, "d")]);
    let data = "<row><c t=\"inlineStr\"><is><t>tag</t></is></c><c t=\"inlineStr\"><is><t>litter</t></is></c></row>\
        <row><c t=\"inlineStr\"><is><t>7</t></is></c><c><f>1+1</f></c></row>";
    let found = io::flock(&one_sheet(data), None, None);
    assert_eq!(said(&found.reading.problems), ["2 litter formula-without-result"]);
}

/// A row of text cells.
fn row(cells: &[&str]) -> String {
    let cell = |text: &&str| format!("<c t=\"inlineStr\"><is><t>{text}</t></is></c>");
    format!("<row>{}</row>", cells.iter().map(cell).collect::<String>())
}

#[test]
fn the_first_visible_sheet_that_is_the_list_is_read() {
    let flock = |tag: &str| row(&["tag", "litter"]) + &row(&[tag, "2"]);
    let (one, two, notes) = (flock("1"), flock("2"), row(&["Read me"]));
    let pens = row(&["pen", "trough_m", "area_m2"]) + &row(&["A", "20", "60"]);
    let sheets = [
        ("name=\"About\"", notes.as_str()),
        ("name=\"Last year\" state=\"hidden\"", one.as_str()),
        ("name=\"Deep\" state=\"veryHidden\"", one.as_str()),
        ("name=\"Empty\"", ""),
        ("name=\"Ewes\"", two.as_str()),
        ("name=\"Barn\"", pens.as_str()),
    ];
    let bytes = by_hand("", &sheets, "", "");
    let found = io::flock(&bytes, None, None);
    let note = found.reading.problems.first().expect("which sheet it was");
    assert_eq!((note.code.as_str(), note.severity), ("sheet-read", Severity::Note));
    assert_eq!(
        note.message,
        "Sheet 'Ewes' was read. Not read: 'About', 'Last year' (hidden), 'Deep' (hidden), 'Empty', 'Barn'."
    );
    assert_eq!(only(found).tag, "2");
    assert_eq!(io::pens(&bytes).records.len(), 1);
    // Tags alone beside a list that says more are not meant.
    let apart = row(&["tag", "why"]) + &row(&["3", "not scanned"]);
    let found = io::flock(&by_hand("", &[("name=\"A\"", &one), ("name=\"B\"", &apart)], "", ""), None, None);
    assert_eq!(said(&found.reading.problems), Vec::<String>::new());
    let twice = by_hand("", &[("name=\"A\"", &one), ("name=\"B\"", &two)], "", "");
    let found = io::flock(&twice, None, None);
    assert_eq!(said(&found.reading.problems), ["sheets-alike?"]);
    assert_eq!(only(found).tag, "1");
}

#[test]
fn a_workbook_without_the_list_says_what_is_missing() {
    let pens = row(&["pen", "trough_m", "area_m2"]) + &row(&["A", "20", "60"]);
    let found = io::flock(&one_sheet(&pens), None, None);
    assert_eq!(said(&found.reading.problems), ["column-missing"]);
    assert!(found.reading.problems.iter().any(|problem| problem.hint.contains("pens file")));
    for (bytes, code) in [
        (one_sheet(""), "empty-file"),
        (one_sheet(&row(&["tag", "litter"])), "no-rows"),
        (one_sheet(&row(&["tag", "tag"])), "duplicate-column"),
        (by_hand("", &[("name=\"A\" state=\"hidden\"", &pens)], "", ""), "workbook-no-table"),
        (package(&[("a.csv", "tag\n1\n")]), "not-a-csv"),
        (package(&[("mimetype", "application/vnd.oasis.opendocument.spreadsheet")]), "not-a-csv"),
        (package(&[("readme", "x")]), "workbook-damaged"),
        (b"\xD0\xCF\x11\xE0\xA1\xB1".to_vec(), "not-a-csv"),
        (locked(), "workbook-locked"),
    ] {
        let found = io::flock(&bytes, None, None);
        assert_eq!(said(&found.reading.problems), [code]);
        let problem = found.reading.problems.first().expect("one");
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'), "{problem:?}");
        assert_eq!(problem.file.as_deref(), Some("flock"));
    }
}

/// The start of an older container, and in its directory the name of what a password shuts.
fn locked() -> Vec<u8> {
    let name = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes);
    b"\xD0\xCF\x11\xE0".iter().copied().chain([0; 1000]).chain(name).collect()
}
