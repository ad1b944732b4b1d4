//! The container of a spreadsheet file, written (ZIP, as PKWARE's APPNOTE 6.3 describes it).

use crate::io::workbook::crc::crc_32;
use crate::io::workbook::deflate::deflate;

/// The version of the format that is needed to unpack: 2.0, for what is deflated (APPNOTE 4.4.3).
const VERSION: u16 = 20;

const DEFLATED: u16 = 8;

/// The first day that the container can tell, 1 January 1980 (APPNOTE 4.4.6): the same list makes the same file.
const DAY: u16 = 0x21;

/// Files in their container. Names are of ASCII letters.
pub(super) fn pack(files: &[(String, String)]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    for (name, text) in files {
        let packed = deflate(text.as_bytes());
        let start = out.len();
        let mut head = Vec::new();
        for number in [VERSION, 0, DEFLATED, 0, DAY] {
            head.extend(number.to_le_bytes());
        }
        for number in [crc_32(text.as_bytes()), long(packed.len()), long(text.len())] {
            head.extend(number.to_le_bytes());
        }
        // The length of its name, and of an extra field that there is not.
        head.extend([short(name.len()), 0].map(u16::to_le_bytes).concat());
        out.extend(b"PK\x03\x04");
        out.extend(&head);
        out.extend(name.bytes());
        out.extend(packed);
        directory.extend(b"PK\x01\x02");
        directory.extend(VERSION.to_le_bytes());
        directory.extend(head);
        // A comment, a disk and two kinds of attributes that there are not.
        directory.extend([0; 10]);
        directory.extend(long(start).to_le_bytes());
        directory.extend(name.bytes());
    }
    let start = out.len();
    out.extend(&directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend([short(files.len()); 2].map(u16::to_le_bytes).concat());
    out.extend([long(directory.len()), long(start)].map(u32::to_le_bytes).concat());
    out.extend([0; 2]);
    out
}

/// A list is far below what these fields can hold.
fn long(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn short(number: usize) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}
