//! Bytes that are no longer a workbook, and workbooks meant to do harm: reading ends with a record or a named fault.

use super::{by_hand, one_sheet, package, read, root};
use evenfold::io;
use evenfold::io::workbook::{Refusal, Row};
use evenfold::problem::Problem;
use proptest::prelude::*;
use rust_xlsxwriter::{Format, Workbook};
use std::io::Cursor;
use zip::write::SimpleFileOptions;

/// A real file of each kind of cell: packed, with shared strings, styles and a hidden sheet.
fn real() -> Vec<u8> {
    let mut workbook = Workbook::new();
    let date = Format::new().set_num_format("dd/mm/yyyy");
    let page = workbook.add_worksheet();
    for (column, name) in
        (0..).zip(["tag", "litter", "condition", "due", "shorn", "pen", "group", "first_day"])
    {
        page.write_string(0, column, name).expect("it fits");
    }
    for row in 1..20 {
        page.write_string(row, 0, format!("EV{row:04}")).expect("it fits");
        page.write_number(row, 1, row % 4).expect("it fits");
        page.write_number(row, 2, f64::from(row % 9) / 4.0 + 2.0).expect("it fits");
        page.write_number_with_format(row, 3, 46440 + row, &date).expect("it fits");
        page.write_boolean(row, 4, row % 2 == 0).expect("it fits");
    }
    workbook.add_worksheet().set_hidden(true);
    workbook.save_to_buffer().expect("memory can be written")
}

/// The same unpacked, so that damage reaches the markup: sums are put right by the library.
fn markup() -> [String; 3] {
    let cell = |kind: &str, value: &str| format!("<c t=\"{kind}\" s=\"1\"><v>{value}</v></c>");
    let text = |text: &str| format!("<c t=\"inlineStr\"><is><t>{text}</t></is></c>");
    let header: String = ["tag", "litter", "condition", "due"].map(text).concat();
    let rows: String = (0..5)
        .map(|row| {
            let cells =
                [cell("s", &(row % 2).to_string()), cell("n", "2"), text("2.5 &amp;"), cell("n", "46447.5")]
                    .concat();
            format!("<row r=\"{}\">{cells}</row>", row + 2)
        })
        .collect();
    let data = format!("<row r=\"1\">{header}</row>{rows}");
    let strings = "<si><t>1</t></si><si><r><t>EV</t></r><r><t>2</t></r></si>".to_owned();
    let styles = "<numFmts><numFmt numFmtId=\"170\" formatCode=\"[h]:mm\"/></numFmts>\
                  <cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/><xf numFmtId=\"170\"/></cellXfs>";
    [data, strings, styles.to_owned()]
}

fn check(problems: &[Problem]) {
    for problem in problems {
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'), "{problem:?}");
        assert!(problem.message.len() < 2_000 && problem.hint.len() < 2_000);
    }
}

/// Reads bytes as each list that may be a workbook.
fn read_all(bytes: &[u8]) {
    let found = io::flock(bytes, None, None);
    check(&found.reading.problems);
    assert!(!found.reading.problems.is_empty() || !found.reading.records.is_empty());
    for faulty in &found.faulty {
        assert!(!faulty.problems.is_empty());
    }
    check(&io::pens(bytes).problems);
    check(&io::groups(bytes, None).0.problems);
    check(&io::assignment(bytes, &["EV0001"], &["A"]).problems);
}

/// One harm to a row of bytes or letters: at a share of its length, with some bytes.
#[derive(Debug, Clone)]
enum Harm {
    Change(f64, u8),
    Cut(f64),
    Remove(f64, usize),
    Double(f64, usize),
    Insert(f64, Vec<u8>),
}

fn harm() -> impl Strategy<Value = Harm> {
    let at = 0.0..1.0_f64;
    prop_oneof![
        4 => (at.clone(), any::<u8>()).prop_map(|(at, byte)| Harm::Change(at, byte)),
        1 => at.clone().prop_map(Harm::Cut),
        1 => (at.clone(), 1..200_usize).prop_map(|(at, count)| Harm::Remove(at, count)),
        1 => (at.clone(), 1..200_usize).prop_map(|(at, count)| Harm::Double(at, count)),
        1 => (at, proptest::collection::vec(any::<u8>(), 1..12)).prop_map(|(at, bytes)| Harm::Insert(at, bytes)),
    ]
}

fn harmed(bytes: &[u8], harms: &[Harm]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for harm in harms {
        let place = |at: f64| (at * bytes.len() as f64) as usize;
        match harm {
            Harm::Change(at, byte) => {
                let at = place(*at);
                if let Some(changed) = bytes.get_mut(at) {
                    *changed = *byte;
                }
            }
            Harm::Cut(at) => bytes.truncate(place(*at)),
            Harm::Remove(at, count) => {
                let at = place(*at);
                bytes.drain(at..(at + count).min(bytes.len()));
            }
            Harm::Double(at, count) => {
                let at = place(*at);
                let piece = bytes.get(at..(at + count).min(bytes.len())).unwrap_or_default().to_vec();
                bytes.splice(at..at, piece);
            }
            Harm::Insert(at, piece) => {
                let at = place(*at);
                bytes.splice(at..at, piece.iter().copied());
            }
        }
    }
    bytes
}

/// 256 in the suite; `PROPTEST_CASES=10000` for a long run.
fn config() -> ProptestConfig {
    let cases = std::env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(256);
    ProptestConfig::with_cases(cases)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_harmed_container_ends_with_a_fault_or_a_list(harms in proptest::collection::vec(harm(), 1..6)) {
        thread_local!(static REAL: Vec<u8> = real());
        let bytes = REAL.with(|real| harmed(real, &harms));
        read_all(&bytes);
    }

    #[test]
    fn harmed_markup_ends_with_a_fault_or_a_list(
        part in 0..3_usize,
        harms in proptest::collection::vec(harm(), 1..4),
    ) {
        let mut parts = markup();
        if let Some(part) = parts.get_mut(part) {
            *part = String::from_utf8_lossy(&harmed(part.as_bytes(), &harms)).into_owned();
        }
        let [data, strings, styles] = parts;
        read_all(&by_hand("", &[("name=\"Flock\"", &data)], &strings, &styles));
    }

    #[test]
    fn any_bytes_behind_the_mark_end_with_a_fault(rest in proptest::collection::vec(any::<u8>(), 0..400)) {
        read_all(&[b"PK\x03\x04".as_slice(), &rest].concat());
    }
}

#[test]
fn the_unharmed_files_are_read_whole() {
    let found = io::flock(&real(), None, None);
    assert_eq!((found.reading.records.len(), found.faulty.len()), (19, 0));
    let [data, strings, styles] = markup();
    let found = io::flock(&by_hand("", &[("name=\"Flock\"", &data)], &strings, &styles), None, None);
    assert_eq!(found.reading.records.len() + found.faulty.len(), 5);
}

#[test]
fn every_cut_is_named() {
    let bytes = real();
    for end in 4..bytes.len() {
        let found = io::flock(&bytes[..end], None, None);
        let codes: Vec<_> = found.reading.problems.iter().map(|problem| problem.code.as_str()).collect();
        assert_eq!(codes, ["workbook-damaged"], "cut at {end}");
    }
}

/// Packed without packing, so that a changed letter changes no length: its sum alone tells.
#[test]
fn a_letter_that_changed_on_the_way_is_named() {
    let mut archive =
        zip::ZipArchive::new(Cursor::new(one_sheet("<row><c><v>1234</v></c></row>"))).expect("a container");
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for place in 0..archive.len() {
        let mut file = archive.by_index(place).expect("it is there");
        out.start_file(file.name().expect("it is text"), options).expect("the name is one");
        std::io::copy(&mut file, &mut out).expect("memory can be written");
    }
    let mut bytes = out.finish().expect("memory can be written").into_inner();
    assert!(read(&bytes).is_ok());
    let at = bytes.windows(4).position(|four| four == b"1234").expect("it stands there as it is");
    bytes[at] = b'9';
    assert_eq!(read(&bytes), Err(Refusal::Damaged("a part of it is garbled")));
}

/// A sheet of so many signs whose container says that it unpacks to `said` bytes.
fn said_to_unpack_to(signs: usize, said: u32) -> Vec<u8> {
    let data = format!("<row><c t=\"inlineStr\"><is><t>{}</t></is></c></row>", "x".repeat(signs));
    let mut bytes = one_sheet(&data);
    let name = b"xl/worksheets/sheet1.xml";
    // In the directory the name stands 46 bytes behind its line's start, the size 24 (APPNOTE 4.3.12).
    let at = (0..bytes.len()).rev().find(|&at| bytes[at..].starts_with(name)).expect("it is listed");
    bytes[at - 22..at - 18].copy_from_slice(&said.to_le_bytes());
    bytes
}

#[test]
fn a_part_that_unpacks_without_end_is_too_large_or_a_lie() {
    assert_eq!(read(&said_to_unpack_to(1_000, 300_000_000)), Err(Refusal::TooLarge));
    // It unpacks to more than it says: nothing beyond is unpacked.
    assert!(matches!(read(&said_to_unpack_to(10_000_000, 1_000)), Err(Refusal::Damaged(_))));
    // Unharmed, for comparison.
    let length = one_sheet_length(1_000);
    assert!(read(&said_to_unpack_to(1_000, length)).is_ok());
}

/// How long that sheet's part is.
fn one_sheet_length(signs: usize) -> u32 {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(one_sheet(""))).expect("it is a container");
    let empty = archive.by_name("xl/worksheets/sheet1.xml").expect("it is there").size();
    u32::try_from(empty).expect("it is short")
        + "<row><c t=\"inlineStr\"><is><t></t></is></c></row>".len() as u32
        + signs as u32
}

#[test]
fn a_string_repeated_without_end_is_too_large() {
    let string = format!("<si><t>{}</t></si>", "x".repeat(1_000_000));
    let data = format!("<row>{}</row>", "<c t=\"s\"><v>0</v></c>".repeat(10_000));
    assert_eq!(read(&by_hand("", &[("name=\"A\"", &data)], &string, "")), Err(Refusal::TooLarge));
}

#[test]
fn cells_far_to_the_right_in_every_row_are_too_many() {
    let data: String = (1..=2_000).map(|row| format!("<row><c r=\"XFD{row}\"><v>1</v></c></row>")).collect();
    assert_eq!(read(&one_sheet(&data)), Err(Refusal::TooLarge));
}

#[test]
fn as_many_ewes_as_a_farm_may_have_are_read() {
    let row = |row: usize| format!("<row>{}</row>", format!("<c><v>{row}</v></c>").repeat(20));
    let data: String = (1..=50_000).map(row).collect();
    let found = read(&one_sheet(&data)).expect("it is a list");
    let last = found.iter().flat_map(|(_, found)| found.rows.last()).next();
    assert_eq!(last, Some(&Row { number: 50_000, cells: vec!["50000".to_owned(); 20] }));
}

#[test]
fn links_that_go_in_circles_or_nowhere_end() {
    let root = root();
    for links in [
        "",
        "<Relationships/>",
        "<Relationships><Relationship Id=\"r1\" Type=\"a/worksheet\" Target=\"workbook.xml\"/></Relationships>",
    ] {
        let bytes = package(&[
            ("_rels/.rels", &root),
            ("xl/workbook.xml", "<workbook><sheets><sheet name=\"A\" r:id=\"r1\"/></sheets></workbook>"),
            ("xl/_rels/workbook.xml.rels", links),
        ]);
        assert!(matches!(read(&bytes), Err(Refusal::Damaged(_))), "{links}");
    }
}
