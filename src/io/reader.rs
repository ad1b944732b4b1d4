//! What a tag reader or a keyboard sends, to the name of a ewe.
//!
//! Forms of an electronic identifier that are understood (ISO 11784 for the code; forms from readers' manuals and
//! trade practice, as the science sheet lists them): fifteen digits, with blanks or without; sixteen with a 0 or 1
//! in front (the 1 is the bit that says "animal", from memory); more zeros, or a label such as `LA` or `A`, in
//! front; reserved fields beside the pair of 3 and 12 digits; sixteen hexadecimal digits; `3D6.00076C2BA9`; the
//! printed number of Great Britain, `UK 0724345 00099` (SI 2009/3219: 826 and twelve digits). A date, time or
//! weight behind it is left alone. The code on the air has a check sum, the number that arrives here has none: a
//! wrong digit is found only because no such ewe is known.
//!
//! Everything else is a visible tag, exact, but for what looks like part of an identifier or a reader's failure:
//! that never makes a ewe.

use crate::flock::{Eid, EidCode};
use crate::io::fault::{Fault, quoted};
use crate::io::identity;
use crate::journal::Name;
use crate::problem::{Problem, Severity};

/// Whom a line means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameRead {
    /// The name.
    pub name: Name,
    /// What is odd about it, where anything is.
    pub note: Option<Problem>,
}

/// Digits alone, so many and more, are no visible tag but part of an identifier (common practice, no source:
/// management numbers have six digits at most).
const PART_OF_AN_EID: std::ops::RangeInclusive<usize> = 10..=14;

/// The longest tag, in bytes.
const LONGEST_TAG: usize = 60;

/// Reads what a reader or a keyboard sent.
pub fn name(sent: &str) -> Result<NameRead, Box<Problem>> {
    let problem = |severity, fault: Fault| Problem {
        found: Some(sent.chars().take(200).collect()),
        ..Problem::new(severity, fault.code, "what was read", fault.message, fault.hint)
    };
    let text: String = sent.chars().map(|c| if c.is_control() && c != '\t' { ' ' } else { c }).collect();
    let text = text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
    match eid(text) {
        Found::Eid(eid) => {
            let note = (eid.code() == EidCode::Maker).then(|| {
                let message = format!("{eid} bears a maker's code, not a country's.");
                let hint = "It is taken as it is; it is no official identity.";
                problem(Severity::Note, Fault::new("eid-maker-code", message, hint))
            });
            Ok(NameRead { name: Name::Eid(eid), note })
        }
        Found::Fault(fault) => Err(Box::new(problem(Severity::Error, fault))),
        Found::Other => match tag(text) {
            Ok(()) => Ok(NameRead { name: Name::Tag(text.to_owned()), note: None }),
            Err(fault) => Err(Box::new(problem(Severity::Error, fault))),
        },
    }
}

/// What two tags have in common that differ only by zeros in front, case or blanks.
pub fn alike(tag: &str) -> String {
    identity::alike(tag)
}

/// What a text is, seen as an electronic identifier.
enum Found {
    Eid(Eid),
    /// Meant as one, and none.
    Fault(Fault),
    /// Not meant as one.
    Other,
}

fn eid(text: &str) -> Found {
    let upper = text.to_uppercase();
    let head = upper.split([',', '\t', ';']).next().unwrap_or_default();
    let mut tokens: Vec<&str> = head.split_whitespace().collect();
    while tokens.len() > 1 && tokens.last().is_some_and(|last| is_date_or_time(last)) {
        tokens.pop();
    }
    let first = tokens.first().copied().unwrap_or_default();
    if first == "LR" || (first.starts_with("LR") && is_digits(&first[2..])) {
        let message = format!("{} is an industrial code, not an animal's.", quoted(text));
        return Found::Fault(Fault::new("eid-not-an-animal", message, "Read the ewe's own tag."));
    }
    if let Some(digits) = printed_gb(&tokens) {
        return in_ranges("826", &digits, text);
    }
    if let Some((code, animal)) = dotted(&tokens) {
        return of_numbers(code, animal, text);
    }
    let tokens = without_label(&tokens);
    if let Some((code, animal)) = pair(&tokens) {
        return in_ranges(code, animal, text);
    }
    let joined = tokens.concat();
    if joined.len() == 16 && (!is_digits(&joined) || joined.starts_with('8')) && is_hex(&joined) {
        return hexadecimal(&joined, text);
    }
    if !is_digits(&joined) {
        return Found::Other;
    }
    let digits = match joined.len() {
        15 => joined.as_str(),
        16 if joined.starts_with('1') => joined.get(1..).unwrap_or_default(),
        17.. | 16 => {
            let (front, digits) = joined.split_at(joined.len() - 15);
            if front.bytes().all(|byte| byte == b'0') { digits } else { joined.as_str() }
        }
        _ => joined.as_str(),
    };
    match digits.split_at_checked(3) {
        Some((code, animal)) if animal.len() == 12 => in_ranges(code, animal, text),
        _ if joined.len() > 15 || PART_OF_AN_EID.contains(&joined.len()) => {
            let message = format!("{} has {} digits; an identifier has 15.", quoted(text), joined.len());
            Found::Fault(Fault::new("eid-length", message, "Read the tag again, or type her visible tag."))
        }
        _ => Found::Other,
    }
}

/// `LA 826 ...`, `LA826...` and `A0000000826...` without the label.
fn without_label<'t>(tokens: &[&'t str]) -> Vec<&'t str> {
    let mut tokens = tokens.to_vec();
    if let Some(first) = tokens.first_mut() {
        let bare = first.trim_start_matches(|c: char| c.is_ascii_uppercase());
        let label = first.len() - bare.len();
        let digits_follow = if bare.is_empty() { true } else { is_digits(bare) && bare.len() >= 15 };
        if (1..=3).contains(&label) && digits_follow {
            *first = bare;
        }
    }
    if tokens.len() > 1 || tokens.first().is_some_and(|first| !first.is_empty()) {
        tokens.retain(|token| !token.is_empty());
    }
    tokens
}

/// A country and twelve digits, or both in one, beside fields of five digits at most: reserved and user
/// fields, a counter, further information.
fn pair<'t>(tokens: &[&'t str]) -> Option<(&'t str, &'t str)> {
    if tokens.len() < 2 || !tokens.iter().all(|token| is_digits(token)) {
        return None;
    }
    let long: Vec<usize> =
        (0..tokens.len()).filter(|&at| tokens.get(at).is_some_and(|t| t.len() > 5)).collect();
    let [at] = long.as_slice() else { return None };
    match tokens.get(*at)? {
        whole if whole.len() == 15 => whole.split_at_checked(3),
        animal if animal.len() == 12 => {
            let code = tokens.get(at.checked_sub(1)?)?;
            (code.len() == 3).then_some((*code, *animal))
        }
        _ => None,
    }
}

/// `UK 0724345 00099`, with blanks anywhere; on older tags without the zero in front.
fn printed_gb(tokens: &[&str]) -> Option<String> {
    let joined = tokens.concat();
    let digits = joined.strip_prefix("UK").filter(|digits| is_digits(digits))?;
    match digits.len() {
        // A sheep's flock mark has six digits and a zero in front; twelve digits that begin otherwise are none.
        12 => digits.starts_with('0').then(|| digits.to_owned()),
        11 => Some(format!("0{digits}")),
        _ => None,
    }
}

/// `3D6.00076C2BA9`: code and animal in hexadecimal digits.
fn dotted(tokens: &[&str]) -> Option<(u64, u64)> {
    let [token] = tokens else { return None };
    let (code, animal) = token.split_once('.')?;
    if code.len() != 3 || animal.len() != 10 || !is_hex(code) || !is_hex(animal) {
        return None;
    }
    Some((u64::from_str_radix(code, 16).ok()?, u64::from_str_radix(animal, 16).ok()?))
}

/// The 64 bits of ISO 11784: the first says "animal", bits 17 to 26 are the code, 27 to 64 the animal.
fn hexadecimal(digits: &str, text: &str) -> Found {
    let Ok(bits) = u64::from_str_radix(digits, 16) else { return Found::Other };
    if bits >> 63 == 0 {
        let message = format!("{} is not marked as an animal's code.", quoted(text));
        return Found::Fault(Fault::new("eid-not-an-animal", message, "Read the ewe's own tag."));
    }
    of_numbers((bits >> 38) & 0x3FF, bits & Eid::MOST_ANIMAL, text)
}

fn in_ranges(code: &str, animal: &str, text: &str) -> Found {
    match (code.parse(), animal.parse()) {
        (Ok(code), Ok(animal)) => of_numbers(code, animal, text),
        _ => Found::Other,
    }
}

fn of_numbers(code: u64, animal: u64, text: &str) -> Found {
    let fault =
        |code: &'static str, message: String, hint: &str| Found::Fault(Fault::new(code, message, hint));
    match Eid::of(code, animal) {
        Some(eid) if eid.code() == EidCode::Test => {
            let message = format!("{} is a test code, which no animal bears.", quoted(text));
            fault("eid-test-code", message, "Read the ewe's own tag.")
        }
        Some(eid) => Found::Eid(eid),
        None if (1..=999).contains(&code) => {
            let message =
                format!("{} cannot be an identifier: its last twelve digits are out of range.", quoted(text));
            fault("eid-out-of-range", message, "It was misread or mistyped. Read the tag again.")
        }
        None => {
            let message =
                format!("{} begins with {code:03}, which is no country and no maker.", quoted(text));
            fault("eid-code-unknown", message, "It was misread or mistyped. Read the tag again.")
        }
    }
}

fn tag(text: &str) -> Result<(), Fault> {
    let plain: String = text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_uppercase).collect();
    if plain.is_empty() {
        let message =
            if text.is_empty() { "Nothing was read." } else { "There is no letter and no digit in it." };
        return Err(Fault::new("nothing-read", message, "Read the tag again, or type it."));
    }
    if ["NOREAD", "NOTAG", "READERROR", "NODATA"].contains(&plain.as_str()) {
        let message = "The reader found no tag.";
        return Err(Fault::new("no-read", message, "Read the tag again, or type her visible tag."));
    }
    if text.len() > LONGEST_TAG {
        let message = format!("{} is too long for a tag.", quoted(text));
        return Err(Fault::new(
            "tag-too-long",
            message,
            "Check what the reader sends, or type her visible tag.",
        ));
    }
    identity::check(text, "tag")
}

fn is_date_or_time(token: &str) -> bool {
    let digits_between = |mark: char| token.contains(mark) && token.split(mark).all(is_digits);
    digits_between(':')
        || digits_between('/')
        || digits_between('-')
        || (token.contains('T') && token.contains(':'))
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

fn is_hex(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eid_of(sent: &str) -> String {
        match name(sent) {
            Ok(NameRead { name: Name::Eid(eid), .. }) => eid.digits().to_owned(),
            other => panic!("{sent:?}: {other:?}"),
        }
    }

    fn code_of(sent: &str) -> String {
        name(sent).expect_err(sent).code
    }

    /// The science sheet's list of writings that are one animal, and the readers' forms of the same.
    #[test]
    fn many_writings_are_one_ewe() {
        for sent in [
            "UK0724345 00099",
            "UK 0724345 00099",
            "UK 724345 00099",
            "uk072434500099",
            "826072434500099",
            "0826072434500099",
            "1826072434500099",
            "826 0724345 00099",
            "826 072434500099",
            "LA 826 072434500099\r\n",
            "LA826072434500099",
            "LA 00000 0 826 072434500099",
            "LA 00004 0 826 072434500099",
            "A0000000826072434500099",
            "\u{2}826 072434500099 0 04 000\u{3}",
            "\u{feff}826072434500099\t2027-01-12\t09:14:05",
            "826072434500099,12/01/2027,09:14,61.5",
            "826 072434500099 12/01/2027 09:14",
            "8000CE90DD6EC203",
            "8200CE90DD6EC203",
            "33A.10DD6EC203",
        ] {
            assert_eq!(eid_of(sent), "826072434500099", "{sent:?}");
        }
    }

    /// Published pairs of hexadecimal and decimal writing (the science sheet, 8.1).
    #[test]
    fn published_pairs_agree() {
        for (sent, expected) in [
            ("8000F580076C2BA9", "982000124529577"),
            ("3D6.00076C2BA9", "982000124529577"),
            ("8000F580076C2C34", "982000124529716"),
            ("8000F580076C2C32", "982000124529714"),
            ("8000F580076C2DD4", "982000124530132"),
            ("8000F580076C2BDC", "982000124529628"),
            ("8000CE82DFDAE801", "826012345600001"),
            ("33A.02DFDAE801", "826012345600001"),
            ("8000E0C2DFDAE801", "899012345600001"),
            ("383.02DFDAE801", "899012345600001"),
            ("LA 982 000001088420", "982000001088420"),
        ] {
            assert_eq!(eid_of(sent), expected, "{sent}");
        }
        let note = name("982000124529577").unwrap().note.unwrap();
        assert_eq!((note.code.as_str(), note.severity), ("eid-maker-code", Severity::Note));
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for (sent, code) in [
            ("8000F9DCBE991A14", "eid-test-code"),
            ("3E7.1CBE991A14", "eid-test-code"),
            ("999123456789012", "eid-test-code"),
            ("LR 0006 0000000018514348", "eid-not-an-animal"),
            ("0000CE90DD6EC203", "eid-not-an-animal"),
            ("826274877906944", "eid-out-of-range"),
            ("826000000000000", "eid-out-of-range"),
            ("000072434500099", "eid-code-unknown"),
            ("000000000000000", "eid-code-unknown"),
            ("82607243450009", "eid-length"),
            ("2826072434500099", "eid-length"),
            ("8260724345", "eid-length"),
            ("82607243450009982607243450009", "eid-length"),
            ("NO READ", "no-read"),
            ("no-read\r\n", "no-read"),
            ("", "nothing-read"),
            (" \u{2}\u{3}", "nothing-read"),
            ("--", "nothing-read"),
            ("8.26E+14", "identifier-rounded"),
            ("#N/A", "spreadsheet-error"),
        ] {
            assert_eq!(code_of(sent), code, "{sent:?}");
        }
    }

    #[test]
    fn everything_else_is_a_tag_exactly() {
        for tag in
            ["0417", "417", "A12", "LA", "Red 7", "AB 12/3", "A", "UK", "UK 12", "1E5", "é7", "000", "LAB 7"]
        {
            assert_eq!(name(tag).unwrap().name, Name::Tag(tag.to_owned()));
        }
        assert_eq!(name(" 0417\r\n").unwrap().name, Name::Tag("0417".to_owned()));
    }
}
