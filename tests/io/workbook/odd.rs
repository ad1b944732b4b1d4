//! What other programs write and the usual libraries hardly do: by hand, and what a person would read there.

use super::against::compare;
use super::{by_hand, cells, one_sheet, package, read, root};
use evenfold::io::workbook::{Mark, Refusal};
use proptest::prelude::*;

/// A row as text: its number, then its cells.
fn rows(bytes: &[u8]) -> Vec<String> {
    cells(bytes).iter().map(|(number, cells)| format!("{number}: {}", cells.join("|"))).collect()
}

#[test]
fn cells_without_their_places_follow_one_another() {
    let data = "<row><c><v>1</v></c><c/><c><v>3</v></c></row><row r=\"4\"><c r=\"B4\"><v>2</v></c><c><v>5</v></c></row>";
    assert_eq!(rows(&one_sheet(data)), ["1: 1||3", "4: |2|5"]);
}

#[test]
fn every_kind_of_cell_is_read() {
    let strings = "<si><t xml:space=\"preserve\"> tag </t></si>\
        <si><r><rPr><b/></rPr><t>la</t></r><r><t>me</t></r><rPh sb=\"0\" eb=\"1\"><t>NO</t></rPh><phoneticPr/></si>\
        <si><t>a_x000D_b &amp; <![CDATA[<c>]]></t></si><si/>";
    let data = "<row r=\"1\"><c r=\"A1\" t=\"s\"><v>0</v></c><c r=\"B1\" t=\"s\"><v>1</v></c>\
        <c r=\"C1\" t=\"s\"><v>2</v></c><c r=\"D1\" t=\"s\"><v>3</v></c></row>\
        <row r=\"2\"><c r=\"A2\" t=\"inlineStr\"><is><t>0417</t></is></c>\
        <c r=\"B2\" t=\"inlineStr\"><is><r><t>in </t></r><r><t>two</t></r></is></c>\
        <c r=\"C2\" t=\"str\"><f>A1&amp;\"x\"</f><v>out</v></c><c r=\"D2\" t=\"b\"><v>1</v></c>\
        <c r=\"E2\" t=\"e\"><v>#N/A</v></c><c r=\"F2\" t=\"n\"><v> 2.5 </v></c>\
        <c r=\"G2\" t=\"d\"><v>2027-03-01T00:00:00</v></c><c r=\"H2\"><f>1+1</f><v>2</v></c></row>";
    let bytes = by_hand("", &[("name=\"Flock\"", data)], strings, "");
    assert_eq!(rows(&bytes), ["1:  tag |lame|a\rb & <c>", "2: 0417|in two|out|TRUE|#N/A|2.5|2027-03-01|2"]);
}

#[test]
fn dates_are_told_by_their_format_in_both_counts() {
    let styles = "<numFmts><numFmt numFmtId=\"170\" formatCode=\"[$-809]ddd d mmm yyyy\"/>\
        <numFmt numFmtId=\"171\" formatCode=\"&quot;days &quot;0\"/><numFmt numFmtId=\"172\" formatCode=\"0000\"/></numFmts>\
        <cellStyleXfs><xf numFmtId=\"14\"/></cellStyleXfs>\
        <cellXfs><xf/><xf numFmtId=\"14\"/><xf numFmtId=\"170\"/><xf numFmtId=\"171\"/><xf numFmtId=\"172\"/>\
        <xf numFmtId=\"9\"/></cellXfs>";
    let data = "<row r=\"1\"><c r=\"A1\" s=\"0\"><v>46447</v></c><c r=\"B1\" s=\"1\"><v>46447</v></c>\
        <c r=\"C1\" s=\"2\"><v>46447.25</v></c><c r=\"D1\" s=\"3\"><v>3</v></c><c r=\"E1\" s=\"4\"><v>417</v></c>\
        <c r=\"F1\" s=\"5\"><v>0.65</v></c><c r=\"G1\" s=\"77\"><v>7</v></c></row>";
    let sheets = [("name=\"Flock\"", data)];
    let expected = "1: 46447|2027-03-01|2027-03-01 06:00:00|days 3|0417|65%|7";
    assert_eq!(rows(&by_hand("", &sheets, "", styles)), [expected]);
    // The extension that some programs add has the same name and does not say it.
    let properties = "<workbookPr date1904=\"1\"/><x15:workbookPr chartTrackingRefBase=\"1\"/>";
    let later = expected.replace("2027-03-01", "2031-03-02");
    let bytes = by_hand(properties, &sheets, "", styles);
    assert_eq!(rows(&bytes), [later]);
    // The library reads the same days; figures it does not format, so they stay out.
    let data = "<row r=\"1\"><c r=\"B1\" s=\"1\"><v>44985</v></c><c r=\"C1\" s=\"2\"><v>0.5</v></c></row>";
    let bytes = by_hand(properties, &[("name=\"Flock\"", data)], "", styles);
    assert_eq!(rows(&bytes), ["1: |2027-03-01|1904-01-01 12:00:00"]);
    compare(&bytes);
}

#[test]
fn merged_and_styled_blank_cells_hold_nothing() {
    let data = "<row r=\"2\" spans=\"1:3\" ht=\"20\"><c r=\"A2\" s=\"3\"/><c r=\"B2\"><v>1</v></c><c r=\"C2\" s=\"3\"/></row>\
        <row r=\"3\"><c r=\"A3\" s=\"1\"/></row><row r=\"9\" hidden=\"1\"><c r=\"A9\"><v>2</v></c></row>";
    assert_eq!(rows(&one_sheet(data)), ["2: |1", "9: 2"]);
}

#[test]
fn prefixes_utf_16_and_absolute_targets_do_not_matter() {
    let main = "http://purl.oclc.org/ooxml/spreadsheetml/main";
    let link = "http://purl.oclc.org/ooxml/officeDocument/relationships";
    let workbook = format!(
        "<?xml version=\"1.0\"?><x:workbook xmlns:x=\"{main}\" xmlns:rel=\"{link}\"><x:sheets>\
         <x:sheet name=\"A &amp; B\" sheetId=\"9\" rel:id=\"q\"/></x:sheets></x:workbook>"
    );
    let links = format!(
        "<r:Relationships xmlns:r=\"x\"><r:Relationship Target='/XL/odd/one.xml' Id='q' Type='{link}/worksheet'/></r:Relationships>"
    );
    let sheet = format!(
        "<x:worksheet xmlns:x=\"{main}\"><x:sheetData><x:row><x:c><x:v>1</x:v></x:c></x:row></x:sheetData></x:worksheet>"
    );
    let root = root();
    let bytes = package(&[
        ("_rels/.rels", &root),
        ("xl/workbook.xml", &workbook),
        ("xl/_rels/workbook.xml.rels", &links),
        ("xl/odd/one.xml", &sheet),
    ]);
    let found = read(&bytes).expect("it is sound");
    assert_eq!(found.first().map(|(name, found)| (name.as_str(), found.rows.len())), Some(("A & B", 1)));
}

#[test]
fn a_formula_without_a_result_is_marked_and_an_empty_text_is_not() {
    let data = "<row r=\"1\"><c r=\"A1\"><f>B1</f></c><c r=\"B1\"><f>1</f><v/></c><c r=\"C1\" t=\"str\"><f>D1</f><v></v></c>\
        <c r=\"D1\"><v>1826072434500099</v></c></row>";
    let found = read(&one_sheet(data)).expect("it is sound");
    let marks: Vec<_> = found.iter().flat_map(|(_, found)| &found.marks).map(|m| (m.place, m.mark)).collect();
    assert_eq!(marks, [(0, Mark::WithoutResult), (1, Mark::WithoutResult), (3, Mark::LongNumber)]);
}

#[test]
fn what_spreadsheet_programs_refuse_is_refused() {
    for data in [
        "<row r=\"2\"/><row r=\"1\"/>",
        "<row r=\"1\"/><row r=\"1\"/>",
        "<row r=\"1\"><c r=\"B1\"/><c r=\"A1\"/></row>",
        "<row r=\"1048577\"/>",
        "<row r=\"1\"><c r=\"XFE1\"/></row>",
        "<row r=\"1\"><c r=\"1\"/></row>",
        "<row r=\"x\"/>",
        "<row><c t=\"s\"><v>0</v></c></row>",
        "<row><c t=\"q\"><v>0</v></c></row>",
        "<row><c><v>one</v></c></row>",
        "<row><c>",
        "<row><c></row></c>",
        "<!DOCTYPE a [<!ENTITY b \"c\">]>",
    ] {
        let found = read(&one_sheet(data));
        assert!(matches!(found, Err(Refusal::Damaged(_))), "{data}: {found:?}");
    }
}

proptest! {
    /// Any letters in any of the three places for text, as the library reads them.
    #[test]
    fn text_by_hand_is_the_librarys(texts in proptest::collection::vec("[ -~é£🐑\n]{1,20}", 1..6)) {
        let texts: Vec<String> = texts.into_iter().filter(|text| !text.contains("_x")).collect();
        let safe = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;").replace('\n', "&#10;");
        let strings: String =
            texts.iter().map(|text| format!("<si><t xml:space=\"preserve\">{}</t></si>", safe(text))).collect();
        let shared: String = (0..texts.len()).map(|at| format!("<c t=\"s\"><v>{at}</v></c>")).collect();
        let inline: String = texts
            .iter()
            .map(|text| format!("<c t=\"inlineStr\"><is><t xml:space=\"preserve\">{}</t></is></c>", safe(text)))
            .collect();
        let data = format!("<row>{shared}</row><row>{inline}</row>");
        let bytes = by_hand("", &[("name=\"Flock\"", &data)], &strings, "");
        let found = cells(&bytes);
        for (_, row) in &found {
            prop_assert_eq!(row, &texts);
        }
        compare(&bytes);
    }
}
