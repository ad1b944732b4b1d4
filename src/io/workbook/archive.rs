//! The container of a spreadsheet file (ZIP, as PKWARE's APPNOTE 6.3 describes it), read under limits.

use crate::io::workbook::Refusal;
use crate::io::workbook::crc::crc_32;
use miniz_oxide::inflate::decompress_to_vec_with_limit;
use std::cell::Cell;

/// All that may be unpacked of one file, in bytes (ours: a list of 100,000 ewes with forty columns is about a third).
const MOST_UNPACKED: usize = 200_000_000;

/// The most files in a container (ours: a workbook of a hundred sheets with drawings has a few hundred).
const MOST_ENTRIES: usize = 20_000;

const ENTRY: &[u8] = b"PK\x03\x04";
const LISTED: &[u8] = b"PK\x01\x02";
const END: &[u8] = b"PK\x05\x06";
const LONG_END: &[u8] = b"PK\x06\x06";
const LONG_PLACE: &[u8] = b"PK\x06\x07";

/// Lengths of the fixed parts of an entry, of its line in the directory, of the directory's end, and of the long end's
/// place (APPNOTE 4.3.7, 4.3.12, 4.3.16, 4.3.15).
const ENTRY_LENGTH: usize = 30;
const LISTED_LENGTH: usize = 46;
const END_LENGTH: usize = 22;
const LONG_PLACE_LENGTH: usize = 20;

/// A comment may follow the end, of so many bytes.
const LONGEST_COMMENT: usize = 65_535;

/// What stands for a size that is told elsewhere.
const ELSEWHERE: u64 = 0xFFFF_FFFF;

/// Whether a file begins as a container does.
pub(in crate::io) fn is_archive(bytes: &[u8]) -> bool {
    [ENTRY, END].iter().any(|start| bytes.starts_with(start))
}

/// One file of the container.
struct Entry<'a> {
    name: &'a [u8],
    method: u64,
    is_locked: bool,
    sum: u64,
    packed: u64,
    unpacked: u64,
    at: u64,
}

/// A container, opened.
pub(super) struct Archive<'a> {
    bytes: &'a [u8],
    entries: Vec<Entry<'a>>,
    /// How much more may be unpacked.
    left: Cell<usize>,
}

impl<'a> Archive<'a> {
    /// Reads the directory.
    pub(super) fn open(bytes: &'a [u8]) -> Result<Self, Refusal> {
        let cut = Refusal::Damaged("its directory is missing, so it was probably cut short");
        let garbled = Refusal::Damaged("its directory is garbled");
        let (count, mut at) = directory(bytes).ok_or(cut)?;
        if count > MOST_ENTRIES {
            return Err(Refusal::TooLarge);
        }
        let mut entries = Vec::new();
        for _ in 0..count {
            let (entry, next) = listed(bytes, at).ok_or(garbled)?;
            entries.push(entry);
            at = next;
        }
        Ok(Self { bytes, entries, left: Cell::new(MOST_UNPACKED) })
    }

    /// The names of its files.
    pub(super) fn names(&self) -> impl Iterator<Item = &'a [u8]> {
        self.entries.iter().map(|entry| entry.name)
    }

    /// A file of this name, unpacked; nothing where there is none. Case does not count (ECMA-376 part 2, 6.2.2).
    pub(super) fn file(&self, name: &str) -> Result<Option<Vec<u8>>, Refusal> {
        let found = self.entries.iter().find(|entry| entry.name.eq_ignore_ascii_case(name.as_bytes()));
        found.map(|entry| self.unpack(entry)).transpose()
    }

    fn unpack(&self, entry: &Entry<'a>) -> Result<Vec<u8>, Refusal> {
        const STORED: u64 = 0;
        const DEFLATED: u64 = 8;
        if entry.is_locked {
            return Err(Refusal::Locked);
        }
        let packed = self.packed(entry).ok_or(Refusal::Damaged("a part of it is cut short"))?;
        let unpacked = usize::try_from(entry.unpacked).unwrap_or(usize::MAX);
        if unpacked > self.left.get() {
            return Err(Refusal::TooLarge);
        }
        let garbled = Refusal::Damaged("a part of it is garbled");
        let file = match entry.method {
            STORED => packed.to_vec(),
            DEFLATED => decompress_to_vec_with_limit(packed, unpacked).map_err(|_| garbled)?,
            _ => {
                return Err(Refusal::Damaged("a part of it is packed in a way that spreadsheets do not use"));
            }
        };
        if file.len() != unpacked || u64::from(crc_32(&file)) != entry.sum {
            return Err(garbled);
        }
        self.left.set(self.left.get().saturating_sub(unpacked));
        Ok(file)
    }

    /// The packed bytes, which stand behind the entry's own head.
    fn packed(&self, entry: &Entry<'a>) -> Option<&'a [u8]> {
        let at = usize::try_from(entry.at).ok()?;
        if !self.bytes.get(at..)?.starts_with(ENTRY) {
            return None;
        }
        let (name, extra) = (number(self.bytes, at + 26, 2)?, number(self.bytes, at + 28, 2)?);
        let start = at.checked_add(ENTRY_LENGTH)?.checked_add(length(name)?)?.checked_add(length(extra)?)?;
        self.bytes.get(start..start.checked_add(length(entry.packed)?)?)
    }
}

/// How many files there are and where the first line of the directory stands.
fn directory(bytes: &[u8]) -> Option<(usize, usize)> {
    let last = bytes.len().checked_sub(END_LENGTH)?;
    let end = (last.saturating_sub(LONGEST_COMMENT)..=last).rev().find(|&at| {
        bytes.get(at..).is_some_and(|rest| rest.starts_with(END))
            && number(bytes, at + 20, 2).is_some_and(|comment| comment <= (last - at) as u64)
    })?;
    let (count, at) = (number(bytes, end + 10, 2)?, number(bytes, end + 16, 4)?);
    let (count, at) = match end.checked_sub(LONG_PLACE_LENGTH).and_then(|place| long_directory(bytes, place))
    {
        Some(long) if count == 0xFFFF || at == ELSEWHERE => long,
        _ => (count, at),
    };
    Some((length(count)?, length(at)?))
}

/// The same where the numbers are too great for the short form (APPNOTE 4.3.14).
fn long_directory(bytes: &[u8], place: usize) -> Option<(u64, u64)> {
    if !bytes.get(place..)?.starts_with(LONG_PLACE) {
        return None;
    }
    let end = length(number(bytes, place + 8, 8)?)?;
    let is_one = bytes.get(end..)?.starts_with(LONG_END);
    is_one.then_some((number(bytes, end.checked_add(32)?, 8)?, number(bytes, end.checked_add(48)?, 8)?))
}

/// The directory's line at `at`, and where the next begins.
fn listed(bytes: &[u8], at: usize) -> Option<(Entry<'_>, usize)> {
    if !bytes.get(at..)?.starts_with(LISTED) {
        return None;
    }
    let field = |offset: usize, width: usize| number(bytes, at.checked_add(offset)?, width);
    let name_at = at.checked_add(LISTED_LENGTH)?;
    let extra_at = name_at.checked_add(length(field(28, 2)?)?)?;
    let comment_at = extra_at.checked_add(length(field(30, 2)?)?)?;
    let next = comment_at.checked_add(length(field(32, 2)?)?)?;
    let mut entry = Entry {
        name: bytes.get(name_at..extra_at)?,
        is_locked: field(8, 2)? & 1 == 1,
        method: field(10, 2)?,
        sum: field(16, 4)?,
        packed: field(20, 4)?,
        unpacked: field(24, 4)?,
        at: field(42, 4)?,
    };
    take_long_sizes(&mut entry, bytes.get(extra_at..comment_at)?);
    Some((entry, next))
}

/// Sizes that are too great for their fields stand in an extra field, in this order (APPNOTE 4.5.3).
fn take_long_sizes(entry: &mut Entry<'_>, mut extra: &[u8]) {
    const LONG_SIZES: u64 = 1;
    while let (Some(id), Some(size)) = (number(extra, 0, 2), number(extra, 2, 2)) {
        let end = length(size).and_then(|size| size.checked_add(4)).unwrap_or(usize::MAX);
        let Some(field) = extra.get(4..end) else { return };
        if id == LONG_SIZES {
            let mut at = 0;
            for value in [&mut entry.unpacked, &mut entry.packed, &mut entry.at] {
                if *value == ELSEWHERE
                    && let Some(long) = number(field, at, 8)
                {
                    *value = long;
                    at += 8;
                }
            }
        }
        extra = extra.get(end..).unwrap_or_default();
    }
}

/// A number of so many bytes, the least first.
fn number(bytes: &[u8], at: usize, width: usize) -> Option<u64> {
    let field = bytes.get(at..at.checked_add(width)?)?;
    Some(field.iter().rev().fold(0, |number, &byte| (number << 8) | u64::from(byte)))
}

fn length(number: u64) -> Option<usize> {
    usize::try_from(number).ok()
}
