//! Tags and electronic identifiers: text, exact, and what spreadsheets do to them.

use crate::io::fault::{Fault, quoted};

/// Refuses an identifier that a spreadsheet has destroyed.
pub(super) fn check(text: &str, what: &str) -> Result<(), Fault> {
    if is_rounded(text) {
        return Err(Fault::new(
            "identifier-rounded",
            format!("{} is a number that a spreadsheet has rounded; its digits are lost.", quoted(text)),
            format!(
                "Export the {what} again with its column formatted as text, from where it is still whole."
            ),
        ));
    }
    error_value(text, what).map_or(Ok(()), Err)
}

/// The fault of a text that a spreadsheet shows in place of a result.
pub(super) fn error_value(text: &str, what: &str) -> Option<Fault> {
    is_error_value(text).then(|| {
        Fault::new(
            "spreadsheet-error",
            format!("{} is a spreadsheet's error, not a {what}.", quoted(text)),
            "Mend the formula in your spreadsheet and save the file again.",
        )
    })
}

/// What is odd about an electronic identifier that stands all the same.
pub(super) fn odd_eid(text: &str) -> Option<Fault> {
    let digits: String = text.chars().filter(|c| *c != ' ').collect();
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    // Fifteen digits by ISO 11784 in decimals, sixteen with a species digit before the country.
    if !(15..=16).contains(&digits.len()) {
        let message = format!("{} has {} digits; identifiers have 15 or 16.", quoted(text), digits.len());
        return Some(Fault::new("eid-length", message, "Check that no digit was lost."));
    }
    digits.ends_with("000000").then(|| {
        let message = format!("{} ends in zeros, as a number does that was rounded.", quoted(text));
        Fault::new("eid-maybe-rounded", message, "Check it against the tag.")
    })
}

/// What two tags have in common that differ only by zeros in front, case or blanks.
pub(super) fn alike(tag: &str) -> String {
    let plain: String = tag.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect();
    let letters = plain.find(|c: char| c.is_ascii_digit()).unwrap_or(plain.len());
    let (prefix, number) = plain.split_at(letters);
    format!("{prefix}{}", number.trim_start_matches('0'))
}

/// `9.82E+14`: digits with a fraction or a signed exponent. A plain `1E5` may well be a tag.
fn is_rounded(text: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let Some((number, exponent)) = text.split_once(['E', 'e']) else { return false };
    let (whole, fraction) = match number.split_once(['.', ',']) {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (number, None),
    };
    let unsigned = exponent.strip_prefix(['+', '-']);
    digits(whole)
        && fraction.is_none_or(digits)
        && digits(unsigned.unwrap_or(exponent))
        && (fraction.is_some() || unsigned.is_some())
}

fn is_error_value(text: &str) -> bool {
    ["#N/A", "#REF!", "#VALUE!", "#NAME?", "#DIV/0!", "#NULL!", "#NUM!", "#SPILL!", "#CALC!"].contains(&text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounded_numbers_are_told_from_tags() {
        for text in ["9.82E+14", "9,82E+14", "8.26e+14", "1E+5", "9.82E14", "4.1E-05"] {
            assert!(is_rounded(text), "{text}");
        }
        for text in ["1E5", "UK123E", "E5", "12E", "1.5", "0417", "1.E5", "", "1E5E+3"] {
            assert!(!is_rounded(text), "{text}");
        }
    }

    #[test]
    fn tags_alike_share_what_is_read_aloud() {
        for text in ["EV0417", "ev 417", "EV417"] {
            assert_eq!(alike(text), "ev417");
        }
        assert_eq!(alike("0417"), alike("417"));
        assert_ne!(alike("EV0417"), alike("EV4170"));
    }
}
