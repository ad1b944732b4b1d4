//! Unpacking for the container (DEFLATE, RFC 1951), under a limit.
//!
//! Codes are told bit by bit from how many there are of each length, without tables: time is linear in what is packed,
//! also where a hostile file begins new codes every few bits, and the page carries hardly anything for it.

/// The longest code (RFC 1951, 3.2.7).
const LONGEST_CODE: usize = 15;

/// The order in which the lengths of the codes for lengths come (RFC 1951, 3.2.7).
const ORDER: [usize; 19] = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/// What is packed in `bytes`, where it is at most so long and nothing is wrong with it.
pub(super) fn inflate(bytes: &[u8], most: usize) -> Option<Vec<u8>> {
    let mut bits = Bits { bytes, at: 0, held: 0, count: 0 };
    let mut out = Vec::new();
    loop {
        let is_last = bits.take(1)? == 1;
        match bits.take(2)? {
            0 => stored(&mut bits, &mut out, most)?,
            1 => {
                let mut lengths = [8; 288];
                lengths.get_mut(144..256)?.fill(9);
                lengths.get_mut(256..280)?.fill(7);
                block(&mut bits, &mut out, most, &Codes::new(&lengths)?, &Codes::new(&[5; 30])?)?;
            }
            2 => {
                let (signs, distances) = own_codes(&mut bits)?;
                block(&mut bits, &mut out, most, &signs, &distances)?;
            }
            _ => return None,
        }
        if is_last {
            return Some(out);
        }
    }
}

/// A block as it stands, from the next whole byte on (RFC 1951, 3.2.4).
fn stored(bits: &mut Bits<'_>, out: &mut Vec<u8>, most: usize) -> Option<()> {
    bits.held = 0;
    bits.count = 0;
    let length = bits.take(16)?;
    if bits.take(16)? != !length & 0xFFFF {
        return None;
    }
    let piece = bits.bytes.get(bits.at..bits.at + length as usize)?;
    bits.at += piece.len();
    out.extend_from_slice(piece);
    (out.len() <= most).then_some(())
}

/// The codes that stand in front of a block (RFC 1951, 3.2.7).
fn own_codes(bits: &mut Bits<'_>) -> Option<(Codes, Codes)> {
    let signs = bits.take(5)? as usize + 257;
    let all = signs + bits.take(5)? as usize + 1;
    let ordered = bits.take(4)? as usize + 4;
    let mut lengths = [0_u8; 320];
    for &place in ORDER.get(..ordered)? {
        *lengths.get_mut(place)? = bits.take(3)? as u8;
    }
    let of_lengths = Codes::new(lengths.get(..19)?)?;
    let mut lengths = [0_u8; 320];
    let mut at = 0;
    while at < all {
        let (length, times) = match of_lengths.next(bits)? {
            16 => (*lengths.get(at.checked_sub(1)?)?, 3 + bits.take(2)?),
            17 => (0, 3 + bits.take(3)?),
            18 => (0, 11 + bits.take(7)?),
            length => (length as u8, 1),
        };
        let end = at + times as usize;
        if end > all {
            return None;
        }
        lengths.get_mut(at..end)?.fill(length);
        at = end;
    }
    Some((Codes::new(lengths.get(..signs)?)?, Codes::new(lengths.get(signs..all)?)?))
}

/// Signs and repeats up to the end of the block (RFC 1951, 3.2.5).
fn block(
    bits: &mut Bits<'_>,
    out: &mut Vec<u8>,
    most: usize,
    signs: &Codes,
    distances: &Codes,
) -> Option<()> {
    loop {
        let length = match signs.next(bits)? {
            byte @ 0..=255 => {
                out.push(byte as u8);
                0
            }
            256 => return Some(()),
            short @ 257..=264 => short - 254,
            285 => 258,
            // Each code doubles its range every four.
            long @ 265..=284 => {
                let extra = (long - 261) >> 2;
                3 + ((4 + ((long - 257) & 3)) << extra) + bits.take(extra)?
            }
            _ => return None,
        };
        if out.len() + length as usize > most {
            return None;
        }
        if length > 0 {
            let distance = match distances.next(bits)? {
                near @ 0..=3 => near + 1,
                far @ 4..=29 => {
                    let extra = (far - 2) >> 1;
                    1 + ((2 + (far & 1)) << extra) + bits.take(extra)?
                }
                _ => return None,
            };
            let from = out.len().checked_sub(distance as usize)?;
            for at in from..from + length as usize {
                out.push(*out.get(at)?);
            }
        }
    }
}

/// Codes of signs, told by their lengths (RFC 1951, 3.2.2).
struct Codes {
    /// How many codes there are of each length.
    counts: [u32; LONGEST_CODE + 1],
    /// The signs by the order of their codes.
    signs: Vec<u32>,
}

impl Codes {
    /// The codes of these lengths; nothing where there cannot be so many.
    fn new(lengths: &[u8]) -> Option<Self> {
        let mut counts = [0; LONGEST_CODE + 1];
        for &length in lengths {
            *counts.get_mut(usize::from(length))? += 1;
        }
        // Where the signs of each length begin, and whether codes are left for them.
        let mut places = [0; LONGEST_CODE + 1];
        let (mut free, mut place) = (1_u32, 0);
        for (count, begins) in counts.iter().zip(&mut places).skip(1) {
            free = (free << 1).checked_sub(*count)?;
            *begins = place;
            place += *count as usize;
        }
        let mut signs = vec![0; place];
        for (sign, &length) in (0..).zip(lengths).filter(|&(_, &length)| length > 0) {
            let place = places.get_mut(usize::from(length))?;
            *signs.get_mut(*place)? = sign;
            *place += 1;
        }
        Some(Self { counts, signs })
    }

    /// The next sign.
    fn next(&self, bits: &mut Bits<'_>) -> Option<u32> {
        let (mut code, mut first, mut index) = (0_u32, 0_u32, 0_u32);
        for &count in self.counts.iter().skip(1) {
            code |= bits.take(1)?;
            if code < first + count {
                return self.signs.get((index + code - first) as usize).copied();
            }
            index += count;
            first = (first + count) << 1;
            code <<= 1;
        }
        None
    }
}

/// Bits, the first of them lowest.
struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
    held: u32,
    count: u32,
}

impl Bits<'_> {
    /// The next bits, sixteen at most.
    fn take(&mut self, count: u32) -> Option<u32> {
        while self.count < count {
            self.held |= u32::from(*self.bytes.get(self.at)?) << self.count;
            self.at += 1;
            self.count += 8;
        }
        let taken = self.held & ((1 << count) - 1);
        self.held >>= count;
        self.count -= count;
        Some(taken)
    }
}

#[cfg(test)]
mod tests {
    use super::inflate;
    use miniz_oxide::deflate::compress_to_vec;
    use miniz_oxide::inflate::decompress_to_vec;
    use proptest::prelude::*;

    proptest! {
        /// Runs, repeats and noise, packed by the library in each of its ways.
        #[test]
        fn what_the_library_packs_comes_back(
            pieces in prop::collection::vec(("[a-c]{0,20}", any::<u8>(), 0..600_usize), 0..60),
            level in 0..=10_u8,
        ) {
            let bytes: Vec<u8> =
                pieces.iter().flat_map(|(text, byte, count)| [text.as_bytes(), &vec![*byte; *count]].concat()).collect();
            let packed = compress_to_vec(&bytes, level);
            prop_assert!(inflate(&packed, bytes.len()).as_ref() == Some(&bytes));
            if let Some(less) = bytes.len().checked_sub(1) {
                prop_assert_eq!(inflate(&packed, less), None);
            }
        }

        /// Damaged or made up: what both unpack is the same, and nothing is unpacked beyond the limit.
        #[test]
        fn damage_is_seen_or_read_as_the_library_reads_it(
            bytes in prop::collection::vec(any::<u8>(), 0..300),
            text in "[a-e ]{0,300}",
            at in any::<prop::sample::Index>(),
            byte in any::<u8>(),
        ) {
            let mut packed = compress_to_vec(text.as_bytes(), 6);
            let at = at.index(packed.len());
            packed[at] = byte;
            for packed in [&bytes, &packed] {
                let ours = inflate(packed, 100_000);
                if let Ok(theirs) = decompress_to_vec(packed) && theirs.len() <= 100_000 {
                    prop_assert_eq!(ours, Some(theirs));
                } else if let Some(ours) = ours {
                    prop_assert!(ours.len() <= 100_000);
                }
            }
        }
    }
}
