//! The feed table that comes with the engine, `data/feeds.csv`: names, units, then one feed a row.
//!
//! It is our own file, so it is read strictly: columns and units must be exactly those below, and whatever is
//! wrong with it is a fault of ours that the tests find.

use crate::feed::{Block, Class, Feed, Source, Values};
use crate::io::table;
use crate::problem::{Problem, Severity};
use crate::quantity::{GramPerKg, GramPerKgDm, KgPerDay, MgPerKgDm, MjPerKgDm, PerHour};

const TABLE: &str = include_str!("../../data/feeds.csv");

/// Column and unit, in the file's order.
const COLUMNS: [(&str, &str); 28] = [
    ("feed", ""),
    ("name", ""),
    ("class", ""),
    ("dm", "g/kg fresh"),
    ("me", "MJ/kg DM"),
    ("fermented", "share of ME"),
    ("cp", "g/kg DM"),
    ("a", "share of N"),
    ("b", "share of N"),
    ("c", "per h"),
    ("adin", "g N/kg DM"),
    ("ndf", "g/kg DM"),
    ("starch", "g/kg DM"),
    ("sugar", "g/kg DM"),
    ("oil", "g/kg DM"),
    ("ca", "g/kg DM"),
    ("p", "g/kg DM"),
    ("mg", "g/kg DM"),
    ("na", "g/kg DM"),
    ("cu", "mg/kg DM"),
    ("appetite", "% of live weight"),
    ("appetite_per_mj", "% of live weight per MJ/kg DM"),
    ("kg_most", "kg fresh a day"),
    ("blocked", ""),
    ("near_read", ""),
    ("read_as", ""),
    ("source", ""),
    ("note", ""),
];

/// The feeds of the table, or what is wrong with it.
pub fn feed_table() -> Result<Vec<Feed>, Box<Problem>> {
    read(TABLE)
}

fn read(text: &str) -> Result<Vec<Feed>, Box<Problem>> {
    let mut lines = table::split(text, b',').filter(|line| !line.is_blank());
    let mut head = |row: u32, expected: fn(&(&'static str, &'static str)) -> &'static str| {
        let cells = lines.next().map(|line| line.cells).unwrap_or_default();
        let same = cells.iter().map(AsRef::as_ref).eq(COLUMNS.iter().map(expected));
        if same { Ok(()) } else { Err(faulty(row, "the columns or units are not those expected")) }
    };
    head(1, |column| column.0)?;
    head(2, |column| column.1)?;
    lines.map(|line| row(&line)).collect()
}

fn faulty(row: u32, what: &str) -> Box<Problem> {
    Box::new(Problem::new(
        Severity::Error,
        "feed-table-faulty",
        format!("feed table row {row}"),
        format!("The feed table that comes with the program is damaged: {what}."),
        "Fetch the program anew.",
    ))
}

fn row(line: &table::Line<'_>) -> Result<Feed, Box<Problem>> {
    let text = |name: &str| {
        let place = COLUMNS.iter().position(|(column, _)| *column == name);
        let cell = place.and_then(|place| line.cells.get(place));
        cell.map(|cell| cell.trim()).ok_or_else(|| faulty(line.row, "a cell is missing"))
    };
    let maybe = |name: &str| match text(name)? {
        "" => Ok(None),
        cell => match cell.parse::<f64>() {
            Ok(value) if value.is_finite() && value >= 0.0 => Ok(Some(value)),
            _ => Err(faulty(line.row, &format!("'{cell}' is no figure"))),
        },
    };
    let number = |name: &str| maybe(name)?.ok_or_else(|| faulty(line.row, &format!("{name} is missing")));
    let grams = |name: &str| number(name).map(GramPerKgDm::new);
    let class = Class::ALL.into_iter().find(|(_, name)| text("class").is_ok_and(|cell| cell == *name));
    Ok(Feed {
        id: text("feed")?.to_owned(),
        name: text("name")?.to_owned(),
        class: class.ok_or_else(|| faulty(line.row, "there is no such class"))?.0,
        values: Values {
            dry_matter: GramPerKg::new(number("dm")?),
            me: MjPerKgDm::new(number("me")?),
            fermented: number("fermented")?,
            crude_protein: grams("cp")?,
            quick: number("a")?,
            slow: number("b")?,
            rate: PerHour::new(number("c")?),
            adin: grams("adin")?,
            ndf: grams("ndf")?,
            starch: grams("starch")?,
            sugar: grams("sugar")?,
            oil: grams("oil")?,
            calcium: grams("ca")?,
            phosphorus: grams("p")?,
            magnesium: grams("mg")?,
            sodium: grams("na")?,
            copper: MgPerKgDm::new(number("cu")?),
        },
        appetite: maybe("appetite")?,
        appetite_per_mj: maybe("appetite_per_mj")?.unwrap_or(0.0),
        most: maybe("kg_most")?.map(KgPerDay::new),
        blocked: match text("blocked")? {
            "" => None,
            "copper" => Some(Block::Copper),
            "urea" => Some(Block::Urea),
            _ => return Err(faulty(line.row, "there is no such reason to block")),
        },
        source: Source {
            near_read: text("near_read")?.split(' ').filter(|s| !s.is_empty()).map(str::to_owned).collect(),
            read_as: text("read_as")?.to_owned(),
            named: text("source")?.to_owned(),
        },
        note: text("note")?.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_damaged_table_is_named_by_its_row_and_never_read_in_part() {
        assert!(read(TABLE).is_ok());
        for (from, to, row) in [
            ("g/kg DM", "% of DM", 2),
            ("feed,name", "feed,names", 1),
            ("haylage,627,9.7", "haylage,627,", 9),
            ("haylage,627,9.7", "haylage,627,NaN", 9),
            ("haylage,627", "hailage,627", 9),
        ] {
            let damaged = TABLE.replacen(from, to, 1);
            assert_ne!(damaged, TABLE, "{from}");
            let problem = read(&damaged).expect_err(from);
            assert_eq!(problem.subject, format!("feed table row {row}"), "{from}");
        }
    }
}
