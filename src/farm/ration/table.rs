//! The feed table, to look up.

use crate::io;
use crate::problem::Problem;
use serde::Serialize;

/// A feed of the table in a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct FeedTableLine {
    /// Its short name, for the feeds file.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it holds, and which of the figures were read in print.
    pub words: String,
}

/// Columns whose standing is said, with how they are called.
const SAID: [(&str, &str); 4] = [("dm", "dry matter"), ("me", "energy"), ("cp", "protein"), ("ndf", "fibre")];

/// Every feed of the table.
pub fn feed_table() -> Result<Vec<FeedTableLine>, Box<Problem>> {
    let line = |feed: crate::feed::Feed| {
        let values = &feed.values;
        let read: Vec<&str> =
            SAID.iter().filter(|(column, _)| feed.was_read(column)).map(|(_, name)| *name).collect();
        let read = if read.is_empty() {
            "all from memory".to_owned()
        } else {
            format!("{} near print, the rest from memory", read.join(", "))
        };
        FeedTableLine {
            words: format!(
                "{}; {:.0} g DM a kg, {:.1} MJ, {:.0} g protein, {:.0} g fibre a kg DM ({read})",
                feed.class.name(),
                values.dry_matter.value(),
                values.me.value(),
                values.crude_protein.value(),
                values.ndf.value()
            ),
            id: feed.id,
            name: feed.name,
        }
    };
    Ok(io::feed_table()?.into_iter().map(line).collect())
}
