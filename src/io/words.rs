//! Words of the trade that stand for a value of ours.

use crate::arrange::Arrange as _;
use crate::flock::{AgeClass, DayOf, Litter};
use crate::io::column::plain;
use crate::io::fault::{Fault, quoted};
use crate::io::number;
use crate::pen::{Feeding, Floor};

/// The value whose words contain `text`, written in any case and with any marks between the letters.
fn find<T: Copy>(text: &str, table: &[(T, &[&str])]) -> Option<T> {
    let text = plain(text);
    table.iter().find(|(_, words)| words.contains(&text.as_str())).map(|(value, _)| *value)
}

const LITTERS: [(u8, &[&str]); 6] = [
    (0, &["barren", "empty", "notinlamb", "dry", "geld", "yeld"]),
    (1, &["single", "singles", "one"]),
    (2, &["twin", "twins", "two", "double", "doubles"]),
    (3, &["triplet", "triplets", "three"]),
    (4, &["quad", "quads", "quadruplet", "quadruplets", "four"]),
    (5, &["quin", "quins", "quintuplet", "quintuplets", "five"]),
];

/// Lambs scanned, as a digit or in the scanner's words.
pub(super) fn litter(text: &str) -> Result<Litter, Fault> {
    let lambs = number::whole(text, 0, u32::from(Litter::MOST)).and_then(|lambs| u8::try_from(lambs).ok());
    lambs.or_else(|| find(text, &LITTERS)).and_then(Litter::of).ok_or_else(|| {
        Fault::new(
            "litter-unknown",
            format!("{} is not a scan result.", quoted(text)),
            "Write the number of lambs, 0 to 5, or barren, single, twins, triplets or quads; leave it empty if she was not scanned.",
        )
    })
}

const AGES: [(AgeClass, &[&str]); 3] = [
    (
        AgeClass::EweLamb,
        &[
            "ewelamb",
            "ewelambs",
            "hogg",
            "hoggs",
            "ewehogg",
            "ewehoggs",
            "hogget",
            "ewehogget",
            "teg",
            "eweteg",
            "chilver",
            "gimmerlamb",
        ],
    ),
    (
        AgeClass::Shearling,
        &[
            "shearling",
            "shearlings",
            "shearlingewe",
            "gimmer",
            "gimmers",
            "theave",
            "theaves",
            "twotooth",
            "2tooth",
            "2th",
        ],
    ),
    (
        AgeClass::Mature,
        &[
            "mature",
            "matureewe",
            "matureewes",
            "ewe",
            "ewes",
            "adult",
            "older",
            "fourtooth",
            "4tooth",
            "sixtooth",
            "6tooth",
            "fullmouth",
            "brokenmouth",
        ],
    ),
];

/// An age class in the words of the trade. A number of years is refused: it would have to be guessed on
/// which day it was counted.
pub(super) fn age(text: &str) -> Result<AgeClass, Fault> {
    find(text, &AGES).ok_or_else(|| {
        Fault::new(
            "age-unknown",
            format!("{} is not an age class.", quoted(text)),
            "Write ewe lamb, shearling or mature, or leave the cell empty.",
        )
    })
}

/// Several age classes, parted by any usual mark or by `and`.
pub(super) fn ages(text: &str) -> Result<Vec<AgeClass>, Fault> {
    let text = text.to_lowercase().replace(" and ", ";");
    let mut classes = Vec::new();
    for part in text.split([';', '/', '|', '+', ',', '&']).map(str::trim).filter(|part| !part.is_empty()) {
        let class = age(part)?;
        if !classes.contains(&class) {
            classes.push(class);
        }
    }
    classes.arrange_by_key(|class| *class);
    Ok(classes)
}

/// Yes or no.
pub(super) fn yes_or_no(text: &str) -> Result<bool, Fault> {
    let table: [(bool, &[&str]); 2] =
        [(true, &["yes", "y", "true", "1", "x"]), (false, &["no", "n", "false", "0"])];
    find(text, &table).ok_or_else(|| {
        let message = format!("{} is neither yes nor no.", quoted(text));
        Fault::new("not-yes-or-no", message, "Write yes or no; an empty cell is a no.")
    })
}

/// How feed is offered.
pub(super) fn feeding(text: &str) -> Result<Feeding, Fault> {
    let table: [(Feeding, &[&str]); 2] = [
        (Feeding::Restricted, &["restricted", "rationed", "restrictedfeeding", "allatonce"]),
        (Feeding::Always, &["always", "adlib", "adlibitum", "adlibfeeding", "alwaysthere"]),
    ];
    find(text, &table).ok_or_else(|| {
        Fault::new(
            "feeding-unknown",
            format!("{} is not a way of feeding.", quoted(text)),
            "Write restricted where all must eat at once, or always where feed is always there.",
        )
    })
}

/// What they stand on.
pub(super) fn floor(text: &str) -> Result<Floor, Fault> {
    let table: [(Floor, &[&str]); 2] = [
        (Floor::Straw, &["straw", "bedded", "strawbedded", "strawbedding", "strawyard"]),
        (Floor::Slats, &["slats", "slat", "slatted", "slattedfloor"]),
    ];
    find(text, &table).ok_or_else(|| {
        let message = format!("{} is not a floor.", quoted(text));
        Fault::new("floor-unknown", message, "Write straw or slats.")
    })
}

/// What the days of a mating group are days of.
pub(super) fn day_of(text: &str) -> Result<DayOf, Fault> {
    let table: [(DayOf, &[&str]); 2] = [
        (
            DayOf::Service,
            &["service", "served", "serving", "mating", "mated", "tupping", "tupped", "servicedates"],
        ),
        (DayOf::Due, &["due", "lambing", "duedates", "lambingdates"]),
    ];
    find(text, &table).ok_or_else(|| {
        Fault::new(
            "days-of-unknown",
            format!("{} does not tell what the two days are days of.", quoted(text)),
            "Write service where they are the days of mating, or due where they are the days of lambing.",
        )
    })
}
