//! Whatever the bytes are, reading a spreadsheet file ends and does not panic: as they are, and as the markup of a sheet
//! whose container is sound, so that its sums do not keep everything out.
//!
//! `cargo +nightly fuzz run read_workbook -- -dict=fuzz/read_workbook.dict -max_total_time=600`
#![no_main]

use evenfold::io;
use evenfold::problem::Problem;
use libfuzzer_sys::fuzz_target;
use std::io::{Cursor, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

const LINK: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

fuzz_target!(|bytes: &[u8]| {
    match bytes.split_first() {
        Some((b'P', _)) => check(bytes),
        Some((which, rest)) => check(&packed(which % 3, rest)),
        None => {}
    }
});

/// A sound container in which one part is these bytes.
fn packed(which: u8, bytes: &[u8]) -> Vec<u8> {
    let link = |id: &str, kind: &str, target: &str| {
        format!("<Relationship Id=\"{id}\" Type=\"{LINK}/{kind}\" Target=\"{target}\"/>")
    };
    let root = format!("<Relationships>{}</Relationships>", link("a", "officeDocument", "xl/workbook.xml"));
    let links = [
        link("b", "worksheet", "sheet.xml"),
        link("c", "sharedStrings", "strings.xml"),
        link("d", "styles", "styles.xml"),
    ];
    let links = format!("<Relationships>{}</Relationships>", links.concat());
    let sheet = "<worksheet><sheetData><row><c t=\"s\"><v>0</v></c></row><row><c s=\"0\"><v>1</v></c></row></sheetData></worksheet>";
    let part = |number: u8, usual: &'static str| if number == which { bytes } else { usual.as_bytes() };
    let parts: [(&str, &[u8]); 6] = [
        ("_rels/.rels", root.as_bytes()),
        ("xl/workbook.xml", b"<workbook><sheets><sheet name=\"A\" r:id=\"b\"/></sheets></workbook>"),
        ("xl/_rels/workbook.xml.rels", links.as_bytes()),
        ("xl/sheet.xml", part(0, sheet)),
        ("xl/strings.xml", part(1, "<sst><si><t>tag</t></si></sst>")),
        ("xl/styles.xml", part(2, "<styleSheet><cellXfs><xf numFmtId=\"14\"/></cellXfs></styleSheet>")),
    ];
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        out.start_file(name, SimpleFileOptions::default()).expect("the name is one");
        out.write_all(bytes).expect("memory can be written");
    }
    out.finish().expect("memory can be written").into_inner()
}

fn check(bytes: &[u8]) {
    said(&io::flock(bytes, None, None).reading.problems);
    said(&io::pens(bytes).problems);
}

fn said(problems: &[Problem]) {
    for problem in problems {
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'));
        assert!(problem.message.len() < 2_000 && problem.hint.len() < 2_000);
    }
}
