//! Packing for the container (DEFLATE, RFC 1951): one block with the fixed codes.
//!
//! A sheet is nearly the same signs over and over, so that repeats are nearly all there is to gain; a library that packs
//! everything well weighs more in the page than the whole of the writer.

/// How far back a repeat may lie, and how short and long it may be (RFC 1951, 3.2.5).
const FARTHEST: usize = 32_768;
const SHORTEST: usize = 3;
const LONGEST: usize = 258;

/// What ends the block (RFC 1951, 3.2.5).
const END: u32 = 256;

/// How many places of repeats are remembered, as a power of two (ours).
const MEMORY_BITS: u32 = 14;

/// The bytes, packed.
pub(super) fn deflate(bytes: &[u8]) -> Vec<u8> {
    let mut bits = Bits { out: Vec::new(), held: 0, count: 0 };
    // The last block, with the fixed codes (RFC 1951, 3.2.3).
    bits.put(0b011, 3);
    // Where three signs like these last began, plus one.
    let mut last = vec![0; 1 << MEMORY_BITS];
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let from = remember(&mut last, bytes, at);
        let length = from.map_or(0, |from| repeated(bytes, from, at));
        match from {
            Some(from) if length >= SHORTEST => {
                bits.repeat(length as u32, (at - from) as u32);
                for skipped in at + 1..at + length {
                    remember(&mut last, bytes, skipped);
                }
                at += length;
            }
            _ => {
                bits.sign(u32::from(byte));
                at += 1;
            }
        }
    }
    bits.sign(END);
    // Fills the last byte.
    bits.put(0, 7);
    bits.out
}

/// Notes the three signs at `at`; where signs like them stood last, where that is near enough.
fn remember(last: &mut [usize], bytes: &[u8], at: usize) -> Option<usize> {
    let signs = bytes.get(at..at + SHORTEST)?;
    let number = signs.iter().fold(0_u32, |number, &sign| (number << 8) | u32::from(sign));
    // Knuth's multiplicative hash: the upper bits of the product are spread.
    let place = number.wrapping_mul(0x9E37_79B1) >> (32 - MEMORY_BITS);
    let before = std::mem::replace(last.get_mut(place as usize)?, at + 1);
    before.checked_sub(1).filter(|from| at - from <= FARTHEST)
}

/// How many signs from `at` on are those from `from` on.
fn repeated(bytes: &[u8], from: usize, at: usize) -> usize {
    let (old, new) = (bytes.get(from..).unwrap_or_default(), bytes.get(at..).unwrap_or_default());
    old.iter().zip(new).take(LONGEST).take_while(|(old, new)| old == new).count()
}

/// Bits, the first of them lowest.
struct Bits {
    out: Vec<u8>,
    held: u32,
    count: u32,
}

impl Bits {
    fn put(&mut self, value: u32, count: u32) {
        self.held |= value << self.count;
        self.count += count;
        while self.count >= 8 {
            self.out.push(self.held as u8);
            self.held >>= 8;
            self.count -= 8;
        }
    }

    /// A code, whose highest bit comes first.
    fn code(&mut self, code: u32, count: u32) {
        self.put(code.reverse_bits() >> (32 - count), count);
    }

    /// A sign or a length by the fixed codes (RFC 1951, 3.2.6).
    fn sign(&mut self, sign: u32) {
        match sign {
            0..=143 => self.code(0x30 + sign, 8),
            144..=255 => self.code(0x190 + sign - 144, 9),
            256..=279 => self.code(sign - 256, 7),
            _ => self.code(0xC0 + sign - 280, 8),
        }
    }

    /// A repeat by the codes of lengths and distances (RFC 1951, 3.2.5): each code doubles its range every four, or two.
    fn repeat(&mut self, length: u32, distance: u32) {
        match length - SHORTEST as u32 {
            255 => self.sign(285),
            short @ 0..=7 => self.sign(257 + short),
            long => {
                let extra = long.ilog2() - 2;
                self.sign(257 + (extra << 2) + (long >> extra));
                self.put(long & ((1 << extra) - 1), extra);
            }
        }
        match distance - 1 {
            near @ 0..=3 => self.code(near, 5),
            far => {
                let extra = far.ilog2() - 1;
                self.code((extra << 1) + (far >> extra), 5);
                self.put(far & ((1 << extra) - 1), extra);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::deflate;
    use miniz_oxide::inflate::decompress_to_vec;

    #[test]
    fn what_is_packed_comes_back() {
        let mut noise = 1_u32;
        let noise: Vec<u8> = std::iter::repeat_with(|| {
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (noise >> 24) as u8
        })
        .take(70_000)
        .collect();
        let far = [noise.get(..32_700).unwrap(), noise.get(..32_700).unwrap()].concat();
        for bytes in [
            Vec::new(),
            b"a".to_vec(),
            b"ab".to_vec(),
            vec![b'x'; 1_000_000],
            b"abcabcabcabcabcabcabcabd".repeat(500),
            (0..=u8::MAX).collect(),
            noise.clone(),
            far,
            // Repeats of every length.
            (1..300).flat_map(|length| [&noise[..length], &[b'|'; 1]].concat()).collect(),
            // Repeats from every distance.
            (1..200).flat_map(|step| [b"<c r=", &noise[step * 300..step * 300 + step]].concat()).collect(),
        ] {
            assert_eq!(decompress_to_vec(&deflate(&bytes)).unwrap(), bytes, "{} bytes", bytes.len());
        }
        assert!(deflate(&[b'x'; 100_000]).len() < 1_000);
    }
}
