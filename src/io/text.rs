//! Bytes to text: which encoding it is, and whether it is text at all.

use crate::io::fault::Fault;
use crate::io::letters;
use std::borrow::Cow;

/// The text of a file, and what is worth knowing about how it was decoded.
pub(super) struct Text<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) note: Option<Fault>,
}

/// First bytes of files that are often given by mistake, what they are, and what to do instead.
///
/// The signatures are those that the formats' specifications give for the start of a file.
const NOT_TEXT: [(&[u8], &str, &str); 10] = [
    (b"PK", "a packed file, such as a spreadsheet", SAVE_AS_CSV),
    (b"\xD0\xCF\x11\xE0", "an old spreadsheet file (XLS)", SAVE_AS_CSV),
    (b"%PDF", "a PDF", EXPORT_AS_CSV),
    (b"{\\rtf", "a word processor's file (RTF)", EXPORT_AS_CSV),
    (b"<!DOCTYPE", "a web page", EXPORT_AS_CSV),
    (b"<html", "a web page", EXPORT_AS_CSV),
    (b"<?xml", "an XML file", EXPORT_AS_CSV),
    (b"\x1F\x8B", "a compressed file", "Unpack it and give the file that is inside."),
    (b"\x89PNG", "a picture", EXPORT_AS_CSV),
    (b"\xFF\xD8\xFF", "a picture", EXPORT_AS_CSV),
];

const SAVE_AS_CSV: &str = "Open it in your spreadsheet program, choose Save as, and save it as XLSX or CSV.";
const EXPORT_AS_CSV: &str = "Ask the program it came from for a CSV file, and give that.";

/// Decodes a file: UTF-8, UTF-16 where its mark says so, and Windows-1252 for everything else.
pub(super) fn decode(bytes: &[u8]) -> Result<Text<'_>, Fault> {
    if let Some((what, hint)) = known_start(bytes) {
        return Err(not_a_csv(format!("This is {what}, neither a CSV nor an XLSX file."), hint));
    }
    if let Some((text, is_damaged)) = letters::utf_16(bytes) {
        // Some spreadsheets call this "Unicode text". Its mark leaves nothing to guess.
        return if is_damaged || text.contains('\0') {
            Err(not_a_csv("The text in this file is damaged.", EXPORT_AS_CSV))
        } else {
            Ok(Text { text: Cow::Owned(text), note: None })
        };
    }
    if let Some(at) = bytes.iter().position(|&byte| byte == 0) {
        let message = format!("This is not text: byte {} of the file is zero.", at + 1);
        return Err(not_a_csv(message, EXPORT_AS_CSV));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(Text { text: Cow::Borrowed(text), note: None }),
        Err(error) => {
            let text = Cow::Owned(letters::windows_1252(bytes));
            let row = bytes.iter().take(error.valid_up_to()).filter(|&&byte| byte == b'\n').count() + 1;
            let message = format!(
                "Letters such as é and £ were read as Windows-1252, the first of them on line {row}."
            );
            let hint = "If they look wrong, save the file as CSV UTF-8.";
            Ok(Text { text, note: Some(Fault::new("read-as-windows-1252", message, hint)) })
        }
    }
}

/// What a file is that is plainly no text of ours; nothing where its first bytes do not tell.
pub(super) fn not_text(bytes: &[u8]) -> Option<&'static str> {
    known_start(bytes).map(|(what, _)| what)
}

fn known_start(bytes: &[u8]) -> Option<(&'static str, &'static str)> {
    NOT_TEXT.iter().find(|(start, ..)| starts_like(bytes, start)).map(|&(_, what, hint)| (what, hint))
}

fn starts_like(bytes: &[u8], start: &[u8]) -> bool {
    bytes.get(..start.len()).is_some_and(|first| match start {
        // "PK" alone may begin a header; the archive's third and fourth bytes are below space.
        b"PK" => {
            first == start && bytes.get(2).is_some_and(|&byte| byte < b' ' && byte != b'\r' && byte != b'\n')
        }
        _ => first.eq_ignore_ascii_case(start),
    })
}

fn not_a_csv(message: impl Into<String>, hint: &str) -> Fault {
    Fault::new("not-a-csv", message, hint)
}
