//! The electronic identifier of an animal: a code of country or maker, and twelve digits.
//!
//! ISO 11784: ten bits of country or maker code and 38 bits of animal code, printed as 3 + 12 = 15 digits.
//! It is text everywhere: fifteen digits are more than a spreadsheet's number holds.

use serde::{Deserialize, Serialize};
use std::fmt;

/// An electronic identifier in its written form: fifteen decimal digits, `826072434500099`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
#[serde(try_from = "String", into = "String")]
pub struct Eid(String);

/// Whose code an identifier begins with (ISO 11784; ranges from memory, 999 as published converters have it).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EidCode {
    /// 001 to 899: a country by ISO 3166.
    Country,
    /// 900 to 998: a maker of tags; no official identity.
    Maker,
    /// 999: for tests, borne by no animal.
    Test,
}

impl Eid {
    /// The largest animal code that 38 bits hold (ISO 11784): 274,877,906,943.
    pub const MOST_ANIMAL: u64 = (1 << 38) - 1;

    /// The identifier of a country's or maker's `code`, 1 to 999, and an `animal` code of 38 bits; nothing
    /// where either cannot be.
    pub fn of(code: u64, animal: u64) -> Option<Self> {
        ((1..=999).contains(&code) && (1..=Self::MOST_ANIMAL).contains(&animal))
            .then(|| Self(format!("{code:03}{animal:012}")))
    }

    /// The identifier whose written form is `digits`: fifteen of them and nothing else.
    pub fn from_digits(digits: &str) -> Option<Self> {
        if digits.len() != 15 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let (code, animal) = digits.split_at(3);
        Self::of(code.parse().ok()?, animal.parse().ok()?)
    }

    /// Its fifteen digits.
    pub fn digits(&self) -> &str {
        &self.0
    }

    /// Whose code it begins with.
    pub fn code(&self) -> EidCode {
        match self.0.get(..3) {
            Some("999") => EidCode::Test,
            Some(code) if code >= "900" => EidCode::Maker,
            _ => EidCode::Country,
        }
    }
}

impl fmt::Display for Eid {
    /// With a blank after the country, as tags print it: `826 072434500099`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (code, animal) = self.0.split_at_checked(3).unwrap_or_default();
        write!(f, "{code} {animal}")
    }
}

impl TryFrom<String> for Eid {
    type Error = String;
    fn try_from(digits: String) -> Result<Self, String> {
        Self::from_digits(&digits).ok_or_else(|| format!("'{digits}' is not an electronic identifier"))
    }
}

impl From<Eid> for String {
    fn from(eid: Eid) -> String {
        eid.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_those_of_the_standard() {
        for (code, animal, is_one) in [
            (1, 1, true),
            (999, Eid::MOST_ANIMAL, true),
            (0, 1, false),
            (1000, 1, false),
            (826, 0, false),
            (826, Eid::MOST_ANIMAL + 1, false),
        ] {
            assert_eq!(Eid::of(code, animal).is_some(), is_one, "{code} {animal}");
        }
        assert_eq!(Eid::MOST_ANIMAL, 274_877_906_943);
    }

    #[test]
    fn digits_come_back_as_they_were() {
        let eid = Eid::from_digits("826072434500099").unwrap();
        assert_eq!((eid.digits(), eid.to_string().as_str()), ("826072434500099", "826 072434500099"));
        for wrong in
            ["82607243450009", "0826072434500099", "826 72434500099", "826274877906944", "+26072434500099"]
        {
            assert_eq!(Eid::from_digits(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn codes_are_told_apart() {
        let code = |digits| Eid::from_digits(digits).unwrap().code();
        assert_eq!(code("899012345600001"), EidCode::Country);
        assert_eq!(code("900012345600001"), EidCode::Maker);
        assert_eq!(code("998012345600001"), EidCode::Maker);
        assert_eq!(code("999123456789012"), EidCode::Test);
    }
}
