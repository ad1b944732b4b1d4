//! Letters that are not UTF-8, against the library that knows every encoding.

use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};
use evenfold::io::letters;
use proptest::prelude::*;

#[test]
fn every_byte_of_windows_1252_is_the_librarys_letter() {
    let bytes: Vec<u8> = (0..=u8::MAX).collect();
    let (expected, had_errors) = WINDOWS_1252.decode_without_bom_handling(&bytes);
    assert!(!had_errors);
    assert_eq!(letters::windows_1252(&bytes), expected);
}

proptest! {
    /// Whole letters, halves of letters, and half a unit at the end.
    #[test]
    fn utf_16_is_read_as_the_library_reads_it(
        units in prop::collection::vec(prop_oneof![any::<u16>(), 0xD700_u16..0xE100, 0x20_u16..0x7F], 0..40),
        last in prop::option::of(any::<u8>()),
        is_big: bool,
    ) {
        let (mark, library) = if is_big { ([0xFE, 0xFF], UTF_16BE) } else { ([0xFF, 0xFE], UTF_16LE) };
        let bytes = units.iter().flat_map(|unit| if is_big { unit.to_be_bytes() } else { unit.to_le_bytes() });
        let rest: Vec<u8> = bytes.chain(last).collect();
        let file: Vec<u8> = mark.iter().chain(&rest).copied().collect();
        let (text, is_damaged) = letters::utf_16(&file).expect("it has the mark");
        let (expected, had_errors) = library.decode_without_bom_handling(&rest);
        prop_assert_eq!(text, expected);
        prop_assert_eq!(is_damaged, had_errors);
    }
}

#[test]
fn without_a_mark_nothing_is_taken_for_utf_16() {
    assert_eq!(letters::utf_16(b"tag,litter"), None);
    assert_eq!(letters::utf_16(b""), None);
}
