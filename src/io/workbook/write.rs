//! Lists as a workbook (ECMA-376 part 1): one sheet a list, its header bold and held in place.

use crate::day::Day;
use crate::io::list::{Holds, List};
use crate::io::workbook::pack::pack;
use std::fmt::Write as _;

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n";
const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const LINKS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
const KINDS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const TYPES: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml";

/// The styles, by their places in `STYLES`: text (format 49), a number, a day (format 164, our own), a header.
const TEXT: u8 = 1;
const FIGURE: u8 = 0;
const DAY: u8 = 2;
const HEADER: u8 = 3;

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
    let mut types = format!(
        "{HEAD}<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
         <Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
         <Default Extension=\"xml\" ContentType=\"application/xml\"/>\
         <Override PartName=\"/xl/workbook.xml\" ContentType=\"{TYPES}.sheet.main+xml\"/>\
         <Override PartName=\"/xl/styles.xml\" ContentType=\"{TYPES}.styles+xml\"/>"
    );
    let mut sheets = String::new();
    let mut links = format!("{HEAD}<Relationships xmlns=\"{LINKS}\">");
    link(&mut links, 0, "styles", "styles.xml");
    let mut parts = Vec::new();
    for (number, (name, list)) in (1..).zip(lists) {
        let part = format!("worksheets/sheet{number}.xml");
        let _ = write!(types, "<Override PartName=\"/xl/{part}\" ContentType=\"{TYPES}.worksheet+xml\"/>");
        let _ = write!(sheets, "<sheet name=\"{}\" sheetId=\"{number}\" r:id=\"r{number}\"/>", escaped(name));
        link(&mut links, number, "worksheet", &part);
        parts.push((format!("xl/{part}"), sheet(list)));
    }
    types.push_str("</Types>");
    links.push_str("</Relationships>");
    let mut package = format!("{HEAD}<Relationships xmlns=\"{LINKS}\">");
    link(&mut package, 0, "officeDocument", "xl/workbook.xml");
    package.push_str("</Relationships>");
    let workbook =
        format!("{HEAD}<workbook xmlns=\"{MAIN}\" xmlns:r=\"{KINDS}\"><sheets>{sheets}</sheets></workbook>");
    let styles = format!("{HEAD}<styleSheet xmlns=\"{MAIN}\">{STYLES}</styleSheet>");
    let mut files = vec![
        ("[Content_Types].xml", types),
        ("_rels/.rels", package),
        ("xl/workbook.xml", workbook),
        ("xl/_rels/workbook.xml.rels", links),
        ("xl/styles.xml", styles),
    ];
    files.extend(parts.iter_mut().map(|(name, text)| (name.as_str(), std::mem::take(text))));
    pack(&files)
}

fn link(links: &mut String, number: u32, kind: &str, target: &str) {
    let _ = write!(links, "<Relationship Id=\"r{number}\" Type=\"{KINDS}/{kind}\" Target=\"{target}\"/>");
}

/// A sheet's part. Its elements stand in the order that the standard gives them (18.3.1.99).
fn sheet(list: &List) -> String {
    let mut text = format!(
        "{HEAD}<worksheet xmlns=\"{MAIN}\"><sheetViews><sheetView workbookViewId=\"0\">\
         <pane ySplit=\"1\" topLeftCell=\"A2\" activePane=\"bottomLeft\" state=\"frozen\"/></sheetView></sheetViews>\
         <sheetFormatPr defaultRowHeight=\"15\"/><cols>"
    );
    for (place, (name, _)) in list.columns.iter().enumerate() {
        let cells = list.rows.iter().filter_map(|row| row.get(place)).chain([name]);
        let signs = cells.map(|cell| cell.chars().count()).max().unwrap_or_default();
        let number = place + 1;
        // A sign's width and some air.
        let width = signs.min(WIDEST) + 2;
        let _ = write!(text, "<col min=\"{number}\" max=\"{number}\" width=\"{width}\" customWidth=\"1\"/>");
    }
    text.push_str("</cols><sheetData><row r=\"1\">");
    for (place, (name, _)) in list.columns.iter().enumerate() {
        text_cell(&mut text, &reference(place, 1), HEADER, name);
    }
    text.push_str("</row>");
    for (number, row) in (2..).zip(&list.rows) {
        let _ = write!(text, "<row r=\"{number}\">");
        for (place, (cell, (_, holds))) in row.iter().zip(&list.columns).enumerate() {
            if !cell.is_empty() {
                one_cell(&mut text, &reference(place, number), *holds, cell);
            }
        }
        text.push_str("</row>");
    }
    text.push_str("</sheetData>");
    if !list.columns.is_empty() {
        // Identifiers are digits on purpose; the program need not point at each.
        let last = reference(list.columns.len() - 1, list.rows.len() + 1);
        let _ = write!(
            text,
            "<ignoredErrors><ignoredError sqref=\"A1:{last}\" numberStoredAsText=\"1\"/></ignoredErrors>"
        );
    }
    text.push_str("</worksheet>");
    text
}

fn one_cell(text: &mut String, reference: &str, holds: Holds, cell: &str) {
    let number = match holds {
        Holds::Text => None,
        Holds::Figure => is_figure(cell).then(|| (FIGURE, cell.to_owned())),
        Holds::Day => Day::from_iso(cell).and_then(count).map(|count| (DAY, count.to_string())),
    };
    match number {
        Some((style, value)) => {
            let _ = write!(text, "<c r=\"{reference}\" s=\"{style}\"><v>{value}</v></c>");
        }
        None => text_cell(text, reference, TEXT, cell),
    }
}

fn text_cell(text: &mut String, reference: &str, style: u8, cell: &str) {
    let keep = if cell.trim() == cell { "" } else { " xml:space=\"preserve\"" };
    let cell = escaped(cell);
    let _ =
        write!(text, "<c r=\"{reference}\" s=\"{style}\" t=\"inlineStr\"><is><t{keep}>{cell}</t></is></c>");
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
    format!("{}{row}", letters.iter().rev().collect::<String>())
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
