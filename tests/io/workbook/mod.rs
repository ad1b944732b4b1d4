//! Spreadsheet files: against a library that reads all there is, by hand where such a one hardly meets it, and on
//! damaged bytes.

mod against;
mod damage;
mod lists;
mod odd;
mod written;

use evenfold::io::workbook::{Book, Refusal, Rows};
use std::io::{Cursor, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

/// A container of these parts, packed by the library.
pub(crate) fn package(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        out.start_file(*name, SimpleFileOptions::default()).expect("the name is one");
        out.write_all(text.as_bytes()).expect("memory can be written");
    }
    out.finish().expect("memory can be written").into_inner()
}

const LINK: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/// The package's own links.
pub(crate) fn root() -> String {
    format!(
        "<Relationships><Relationship Id=\"a\" Type=\"{LINK}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
    )
}

/// A workbook by hand: what its part says beside its sheets, the sheets' data, shared strings, and styles.
pub(crate) fn by_hand(properties: &str, sheets: &[(&str, &str)], strings: &str, styles: &str) -> Vec<u8> {
    let mut listed = String::new();
    let mut links = format!(
        "<Relationship Id=\"s\" Type=\"{LINK}/sharedStrings\" Target=\"sharedStrings.xml\"/>\
         <Relationship Id=\"t\" Type=\"{LINK}/styles\" Target=\"styles.xml\"/>"
    );
    let mut parts = Vec::new();
    for (number, (name, data)) in (1..).zip(sheets) {
        listed += &format!("<sheet {name} sheetId=\"{number}\" r:id=\"r{number}\"/>");
        links += &format!(
            "<Relationship Id=\"r{number}\" Type=\"{LINK}/worksheet\" Target=\"worksheets/sheet{number}.xml\"/>"
        );
        let text = format!("<worksheet xmlns=\"{MAIN}\"><sheetData>{data}</sheetData></worksheet>");
        parts.push((format!("xl/worksheets/sheet{number}.xml"), text));
    }
    let workbook = format!(
        "<workbook xmlns=\"{MAIN}\" xmlns:r=\"{LINK}\">{properties}<sheets>{listed}</sheets></workbook>"
    );
    let links = format!("<Relationships>{links}</Relationships>");
    let strings = format!("<sst xmlns=\"{MAIN}\">{strings}</sst>");
    let styles = format!("<styleSheet xmlns=\"{MAIN}\">{styles}</styleSheet>");
    let root = root();
    let mut all = vec![
        ("_rels/.rels", root.as_str()),
        ("xl/workbook.xml", &workbook),
        ("xl/_rels/workbook.xml.rels", &links),
        ("xl/sharedStrings.xml", &strings),
        ("xl/styles.xml", &styles),
    ];
    all.extend(parts.iter().map(|(name, text)| (name.as_str(), text.as_str())));
    package(&all)
}

const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";

/// A workbook by hand with one sheet and nothing else.
pub(crate) fn one_sheet(data: &str) -> Vec<u8> {
    by_hand("", &[("name=\"Flock\"", data)], "", "")
}

/// All sheets of a workbook.
pub(crate) fn read(bytes: &[u8]) -> Result<Vec<(String, Rows)>, Refusal> {
    let book = Book::open(bytes)?;
    book.tabs.iter().map(|tab| Ok((tab.name.clone(), book.rows(tab)?))).collect()
}

/// The cells of the one sheet: row, and what stands in it.
#[track_caller]
pub(crate) fn cells(bytes: &[u8]) -> Vec<(u32, Vec<String>)> {
    let sheets = read(bytes).expect("it can be read");
    assert_eq!(sheets.len(), 1);
    sheets.into_iter().flat_map(|(_, found)| found.rows).map(|row| (row.number, row.cells)).collect()
}
