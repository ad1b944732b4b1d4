//! What to feed one pen in one week, as a document and as a view.
//!
//! | file | what |
//! |---|---|
//! | [`question`] | what may be asked |
//! | [`document`], `fill` | the JSON document: its shape, and filling it |
//! | `words` | what is said of prices, shortfalls and ways out |
//! | [`view`] | what the page draws and the command line prints |
//! | `table` | the feed table, to look up |
//! | [`trial`] | what is tried on the feeds: prices, energy, one left out |

pub mod document;
pub(in crate::farm) mod fill;
pub mod question;
mod table;
pub mod trial;
pub mod view;
pub(in crate::farm) mod words;

pub use document::{ImpossibleRationDocument, RationDocument};
pub use question::RationQuestion;
pub use table::{FeedTableLine, feed_table};
pub use trial::{FeedOffer, FeedTrial, Trying, trying};
pub use view::RationView;

use crate::farm::document::RefusedDocument;
use crate::farm::{CAUTION, report};
use crate::feed::{Feed, Stocked};
use crate::io;
use crate::problem::{Problem, Severity};
use crate::ration::{Asked, Outcome, Trouble, settle, ways_out, withheld};
use document::WithheldEntry;
use serde::Serialize;

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-ration-1";

/// The answer.
#[derive(Debug)]
pub enum RationAnswer {
    /// A ration inside every hard limit; needs may be short, and then it says so.
    Fed(Box<Fed>),
    /// No ration keeps the hard limits.
    Impossible(Box<ImpossibleRationDocument>),
    /// Something must be put right first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
    },
}

/// A ration, as a document and ready to draw.
#[derive(Debug)]
pub struct Fed {
    /// The document.
    pub document: RationDocument,
    /// What the page draws.
    pub view: RationView,
}

/// The answer as the page takes it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum RationReply {
    /// A ration.
    Fed {
        /// What to draw.
        view: Box<RationView>,
    },
    /// No ration keeps the hard limits.
    Impossible {
        /// What cannot be.
        headline: String,
        /// Limits that cannot hold together.
        conflict: Vec<String>,
        /// Ways out, best first, each tried.
        ways_out: Vec<String>,
    },
    /// Something must be put right first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
    },
}

/// Reads the feeds file and finds the ration.
pub fn ration(question: &RationQuestion, feeds: &[u8]) -> RationAnswer {
    let table = match io::feed_table() {
        Ok(table) => table,
        Err(problem) => return RationAnswer::Refused { problems: vec![*problem] },
    };
    let (reading, _) = io::feeds(feeds, &table, question.dates);
    if reading.problems.iter().any(Problem::is_error) {
        return RationAnswer::Refused { problems: reading.problems };
    }
    let mut problems = reading.problems;
    let asked = match question.asked(reading.records) {
        Ok(asked) => asked,
        Err(problem) => return RationAnswer::Refused { problems: vec![*problem] },
    };
    problems.extend(unusual(question.weight_kg));
    match settle(&asked) {
        Outcome::Fed(ration) => {
            let document = fill::document(&asked, &ration, &table, problems);
            let view = view::view(&asked, &document);
            RationAnswer::Fed(Box::new(Fed { document, view }))
        }
        Outcome::Impossible { limits, feeds } => {
            let conflict = limits.into_iter().chain(feeds.into_iter().map(|feed| format!("most of {feed}")));
            let conflict: Vec<String> = conflict.collect();
            let headline = format!(
                "No ration of these feeds is safe ({}). These limits cannot hold together: {}.",
                asked.way.in_words(),
                conflict.join(", ")
            );
            impossible(&asked, &table, headline, conflict, problems)
        }
        Outcome::NoFeed => {
            let headline = format!(
                "No ration can be made ({}): no forage that may be fed so is on the list and in store.",
                asked.way.in_words()
            );
            impossible(&asked, &table, headline, vec!["no forage that may be fed".to_owned()], problems)
        }
        Outcome::Failed(why) => {
            let message = format!("The solver gave no answer that stands up to checking: {why}.");
            let hint =
                "Please report it with the feeds file; a feed fewer or another way of feeding may pass.";
            let problem = Problem::new(Severity::Error, "solver-failed", "ration", message, hint);
            RationAnswer::Refused { problems: vec![problem] }
        }
    }
}

/// kg of a pound.
const POUND: f64 = 0.453_592_37;

/// A weight that may have been meant otherwise.
fn unusual(kg: f64) -> Option<Problem> {
    if io::USUAL_KG.contains(&kg) {
        return None;
    }
    let message = format!("A live weight of {kg} kg is unusual for a ewe.");
    let hint = if kg > *io::USUAL_KG.end() {
        format!("Look at it again: {kg} lb would be {:.0} kg.", POUND * kg)
    } else {
        "Look at it again: it is what she weighs without her lambs, in kg.".to_owned()
    };
    Some(Problem::new(Severity::Warning, "unusual", "weight", message, hint))
}

fn impossible(
    asked: &Asked,
    table: &[Feed],
    headline: String,
    conflict: Vec<String>,
    problems: Vec<Problem>,
) -> RationAnswer {
    let (ways, tried) = ways_out(asked, table, Trouble::Impossible);
    RationAnswer::Impossible(Box::new(ImpossibleRationDocument {
        format: FORMAT,
        status: "impossible",
        caution: CAUTION,
        headline,
        conflict,
        ways_out: fill::ways(asked, ways),
        ways_tried: tried as u32,
        withheld: withheld_feeds(asked),
        problems,
    }))
}

/// Feeds on the farm that are not fed, and why.
pub(in crate::farm) fn withheld_feeds(asked: &Asked) -> Vec<WithheldEntry> {
    let entry = |stocked: &Stocked| {
        let reason = withheld(stocked, asked.way)?;
        Some(WithheldEntry { feed: stocked.feed.name.clone(), words: reason.in_words().to_owned() })
    };
    asked.feeds.iter().filter_map(entry).collect()
}

impl RationAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Fed(fed) => report::to_json(&fed.document),
            Self::Impossible(document) => report::to_json(document),
            Self::Refused { problems } => {
                report::to_json(&RefusedDocument { format: FORMAT, ..RefusedDocument::new(problems) })
            }
        }
    }

    /// The answer as the page takes it.
    pub fn into_reply(self) -> RationReply {
        match self {
            Self::Fed(fed) => RationReply::Fed { view: Box::new(fed.view) },
            Self::Impossible(document) => RationReply::Impossible {
                headline: document.headline,
                conflict: document.conflict,
                ways_out: document.ways_out.into_iter().map(|way| way.words).collect(),
            },
            Self::Refused { problems } => RationReply::Refused { problems },
        }
    }
}
