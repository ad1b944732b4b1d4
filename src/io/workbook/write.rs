//! Lists as a workbook (ECMA-376 part 1): one sheet a list, its header bold and held in place.

use crate::day::Day;
use crate::io::list::{Holds, List};
use crate::io::workbook::pack::pack;
use std::fmt::Write as _;

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n";
const MAIN: &str = " xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"";
const RELATED: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const LINKS: &str = "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">";
const KIND: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml";

/// The beginning of the parts' types: those that every workbook of ours has.
const TYPES: &str = "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
    <Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
    <Default Extension=\"xml\" ContentType=\"application/xml\"/>\
    <Override PartName=\"/xl/workbook.xml\" \
    ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/>\
    <Override PartName=\"/xl/styles.xml\" \
    ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml\"/>";

/// A sheet whose first row stays in view.
const VIEW: &str = "<sheetViews><sheetView workbookViewId=\"0\">\
    <pane ySplit=\"1\" topLeftCell=\"A2\" activePane=\"bottomLeft\" state=\"frozen\"/></sheetView></sheetViews>\
    <sheetFormatPr defaultRowHeight=\"15\"/><cols>";

/// The styles, by their places in `STYLES`: text (format 49), a number, a day (format 164, our own), a header.
const TEXT: &str = "1";
const FIGURE: &str = "0";
const DAY: &str = "2";
const HEADER: &str = "3";

const STYLES: &str = "<numFmts count=\"1\"><numFmt numFmtId=\"164\" formatCode=\"yyyy\\-mm\\-dd\"/></numFmts>\
    <fonts count=\"2\"><font><sz val=\"11\"/><name val=\"Calibri\"/></font>\
    <font><b/><sz val=\"11\"/><name val=\"Calibri\"/></font></fonts>\
    <fills count=\"2\"><fill><patternFill patternType=\"none\"/></fill>\
    <fill><patternFill patternType=\"gray125\"/></fill></fills>\
    <borders count=\"1\"><border><left/><right/><top/><bottom/><diagonal/></border></borders>\
    <cellStyleXfs count=\"1\"><xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\"/></cellStyleXfs>\
    <cellXfs count=\"4\"><xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\"/>\
    <xf numFmtId=\"49\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\"/>\
    <xf numFmtId=\"164\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\"/>\
    <xf numFmtId=\"49\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" applyFont=\"1\"/>\
    </cellXfs><cellStyles count=\"1\"><cellStyle name=\"Normal\" xfId=\"0\" builtinId=\"0\"/></cellStyles>";

/// The longest text of a cell, in the units in which programs count it (ECMA-376 part 1, 18.4.12, as programs limit it).
const LONGEST: usize = 32_767;

/// The widest column, in signs (ours: a reason then fits most screens).
const WIDEST: usize = 60;

/// Lists, each with the name of its sheet, as a workbook. Text stays text whatever it looks like: a tag must come back
/// as it went out.
pub fn write(lists: &[(&str, &List)]) -> Vec<u8> {
    let mut types = [HEAD, TYPES].concat();
    let mut links = [HEAD, LINKS].concat();
    let mut sheets = String::new();
    link(&mut links, "r0", "styles", "styles.xml");
    let mut parts = Vec::new();
    for (number, (name, list)) in (1_usize..).zip(lists) {
        let number = number.to_string();
        let (part, id) = (["worksheets/sheet", &number, ".xml"].concat(), ["r", &number].concat());
        add(
            &mut types,
            &["<Override PartName=\"/xl/", &part, "\" ContentType=\"", KIND, ".worksheet+xml\"/>"],
        );
        add(
            &mut sheets,
            &["<sheet name=\"", &escaped(name), "\" sheetId=\"", &number, "\" r:id=\"", &id, "\"/>"],
        );
        link(&mut links, &id, "worksheet", &part);
        parts.push((["xl/", &part].concat(), sheet(list)));
    }
    types.push_str("</Types>");
    links.push_str("</Relationships>");
    let mut package = [HEAD, LINKS].concat();
    link(&mut package, "r0", "officeDocument", "xl/workbook.xml");
    package.push_str("</Relationships>");
    let workbook =
        [HEAD, "<workbook", MAIN, " xmlns:r=\"", RELATED, "\"><sheets>", &sheets, "</sheets></workbook>"]
            .concat();
    let styles = [HEAD, "<styleSheet", MAIN, ">", STYLES, "</styleSheet>"].concat();
    parts.extend(
        [
            ("[Content_Types].xml", types),
            ("_rels/.rels", package),
            ("xl/workbook.xml", workbook),
            ("xl/_rels/workbook.xml.rels", links),
            ("xl/styles.xml", styles),
        ]
        .map(|(name, text)| (name.to_owned(), text)),
    );
    // The types are looked for first.
    parts.rotate_right(5);
    pack(&parts)
}

/// Pieces of text one after the other. Nothing is laid out here, so that the machinery of formats need not be.
fn add(text: &mut String, pieces: &[&str]) {
    pieces.iter().for_each(|piece| text.push_str(piece));
}

fn link(links: &mut String, id: &str, kind: &str, target: &str) {
    add(
        links,
        &["<Relationship Id=\"", id, "\" Type=\"", RELATED, "/", kind, "\" Target=\"", target, "\"/>"],
    );
}

/// A sheet's part. Its elements stand in the order that the standard gives them (18.3.1.99).
fn sheet(list: &List) -> String {
    let mut text = [HEAD, "<worksheet", MAIN, ">", VIEW].concat();
    for (place, (name, _)) in list.columns.iter().enumerate() {
        let cells = list.rows.iter().filter_map(|row| row.get(place)).chain([name]);
        let signs = cells.map(|cell| cell.chars().count()).max().unwrap_or_default();
        // A sign's width and some air.
        let (number, width) = ((place + 1).to_string(), (signs.min(WIDEST) + 2).to_string());
        add(
            &mut text,
            &["<col min=\"", &number, "\" max=\"", &number, "\" width=\"", &width, "\" customWidth=\"1\"/>"],
        );
    }
    text.push_str("</cols><sheetData>");
    let header: Vec<String> = list.columns.iter().map(|(name, _)| name.clone()).collect();
    for (number, row) in (1..).zip([&header].into_iter().chain(&list.rows)) {
        add(&mut text, &["<row r=\"", &number.to_string(), "\">"]);
        for (place, (cell, (_, holds))) in row.iter().zip(&list.columns).enumerate() {
            one_cell(&mut text, &reference(place, number), (number > 1).then_some(*holds), cell);
        }
        text.push_str("</row>");
    }
    // Identifiers are digits on purpose; the program need not point at each.
    let last = reference(list.columns.len().saturating_sub(1), list.rows.len() + 1);
    add(
        &mut text,
        &[
            "</sheetData><ignoredErrors><ignoredError sqref=\"A1:",
            &last,
            "\" numberStoredAsText=\"1\"/></ignoredErrors></worksheet>",
        ],
    );
    text
}

/// A cell that holds something; in the header nothing is held but text.
fn one_cell(text: &mut String, reference: &str, holds: Option<Holds>, cell: &str) {
    if cell.is_empty() {
        return;
    }
    let (style, value) = match holds {
        None => (HEADER, None),
        Some(Holds::Figure) if is_figure(cell) => (FIGURE, Some(cell.to_owned())),
        Some(Holds::Day) => {
            let count = Day::from_iso(cell).and_then(count);
            (if count.is_some() { DAY } else { TEXT }, count.map(|count| count.to_string()))
        }
        Some(_) => (TEXT, None),
    };
    add(text, &["<c r=\"", reference, "\" s=\"", style]);
    match value {
        Some(value) => add(text, &["\"><v>", &value, "</v></c>"]),
        None => {
            let keep = if cell.trim() == cell { "" } else { " xml:space=\"preserve\"" };
            add(text, &["\" t=\"inlineStr\"><is><t", keep, ">", &escaped(cell), "</t></is></c>"]);
        }
    }
}

/// Digits with a sign before and a point between, no more than a spreadsheet keeps.
fn is_figure(cell: &str) -> bool {
    let digits = cell.strip_prefix('-').unwrap_or(cell);
    let (whole, rest) = digits.split_once('.').unwrap_or((digits, "0"));
    let all = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    all(whole) && all(rest) && digits.len() <= 15
}

/// The spreadsheet's count of a day (18.17.4.1); nothing before March 1900, where the count is one off.
fn count(day: Day) -> Option<i32> {
    let count = day.since(Day::of(1899, 12, 30)?);
    (count > 60).then_some(count)
}

/// `B12`, from the place of the column and the number of the row.
fn reference(place: usize, row: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = place + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    let letters: String = letters.iter().rev().collect();
    letters + &row.to_string()
}

/// Text for the markup: its own signs by their names, signs that it cannot hold by their numbers (22.9.2.19), and no
/// more than a cell holds.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut units = 0;
    for (at, letter) in text.char_indices() {
        units += letter.len_utf16();
        if units > LONGEST {
            break;
        }
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' => out.push(letter),
            '\0'..='\u{1F}' | '\u{FFFE}' | '\u{FFFF}' => {
                let _ = write!(out, "_x{:04X}_", u32::from(letter));
            }
            '_' if looks_hidden(text.get(at..).unwrap_or_default()) => out.push_str("_x005F_"),
            _ => out.push(letter),
        }
    }
    out
}

/// Whether text would be read as a sign by its number.
fn looks_hidden(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes.starts_with(b"_x")
        && bytes.get(6) == Some(&b'_')
        && bytes.get(2..6).is_some_and(|code| code.iter().all(u8::is_ascii_hexdigit))
}
