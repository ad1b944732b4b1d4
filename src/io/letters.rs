//! Letters that are not UTF-8: Windows-1252 and UTF-16, as the Encoding Standard (WHATWG) decodes them.
//!
//! A library that knows every encoding carries the tables of all of them into the page, more than the whole of the
//! sort weighs. These two are a table of 32 letters and the standard library's own; the tests hold them to the
//! library, byte by byte.

/// What the bytes 0x80 to 0x9F stand for in Windows-1252; every other byte is the letter of its own number
/// (Encoding Standard, index windows-1252).
const HIGH: [char; 32] = [
    '\u{20AC}', '\u{81}', '\u{201A}', '\u{192}', '\u{201E}', '\u{2026}', '\u{2020}', '\u{2021}', '\u{2C6}',
    '\u{2030}', '\u{160}', '\u{2039}', '\u{152}', '\u{8D}', '\u{17D}', '\u{8F}', '\u{90}', '\u{2018}',
    '\u{2019}', '\u{201C}', '\u{201D}', '\u{2022}', '\u{2013}', '\u{2014}', '\u{2DC}', '\u{2122}', '\u{161}',
    '\u{203A}', '\u{153}', '\u{9D}', '\u{17E}', '\u{178}',
];

/// The marks with which a file says that it is UTF-16, and whether the greater byte comes first.
const UTF_16_MARKS: [([u8; 2], bool); 2] = [([0xFF, 0xFE], false), ([0xFE, 0xFF], true)];

/// Windows-1252 as text. It gives every byte a letter, so nothing is lost.
pub fn windows_1252(bytes: &[u8]) -> String {
    let letter = |&byte: &u8| match byte {
        0x80..=0x9F => HIGH.get(usize::from(byte) - 0x80).copied().unwrap_or(char::REPLACEMENT_CHARACTER),
        _ => char::from(byte),
    };
    bytes.iter().map(letter).collect()
}

/// The text of a file whose mark says that it is UTF-16, and whether some of it was damaged; nothing where it has no
/// such mark. What is damaged stands as U+FFFD.
pub fn utf_16(bytes: &[u8]) -> Option<(String, bool)> {
    let (rest, is_big) =
        UTF_16_MARKS.iter().find_map(|(mark, is_big)| Some((bytes.strip_prefix(mark)?, *is_big)))?;
    let pairs = rest.chunks_exact(2);
    let is_odd = !pairs.remainder().is_empty();
    let units = pairs.map(|pair| match (pair, is_big) {
        (&[one, two], true) => u16::from_be_bytes([one, two]),
        (&[one, two], false) => u16::from_le_bytes([one, two]),
        _ => 0,
    });
    let mut is_damaged = is_odd;
    let mut ends_in_half = false;
    let mut text: String = char::decode_utf16(units)
        .map(|letter| {
            ends_in_half = letter.is_err();
            letter.unwrap_or_else(|_| {
                is_damaged = true;
                char::REPLACEMENT_CHARACTER
            })
        })
        .collect();
    // Half a letter and half of its other half are one damage, as the standard has it.
    if is_odd && !(ends_in_half && ends_in_first_half(rest, is_big)) {
        text.push(char::REPLACEMENT_CHARACTER);
    }
    Some((text, is_damaged))
}

/// Whether the last whole unit is the first half of a letter of two.
fn ends_in_first_half(rest: &[u8], is_big: bool) -> bool {
    let greater = rest.chunks_exact(2).last().and_then(|pair| pair.get(usize::from(!is_big)));
    greater.is_some_and(|byte| (0xD8..0xDC).contains(byte))
}
