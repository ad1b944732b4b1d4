//! A ration in words, for the page and the command line.

use crate::farm::ration::document::{CautionEntry, LimitEntry, RationDocument};
use crate::ration::Asked;
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// What the page draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct RationView {
    /// Whether the need is met, and what it costs.
    pub headline: String,
    /// How it is fed.
    pub way: String,
    /// Feed by feed.
    pub feeds: Vec<RationFeedView>,
    /// All together.
    pub total: String,
    /// How the amounts came about.
    pub weighing: String,
    /// Supply against limit.
    pub limits: Vec<RationLimitView>,
    /// What the limits that bind cost.
    pub prices: Vec<String>,
    /// When feeds that are not used would be.
    pub unused: Vec<String>,
    /// What is short; empty where nothing is.
    pub shortfalls: Vec<String>,
    /// What stops it.
    pub stopped_by: Vec<String>,
    /// Ways out, each tried.
    pub ways_out: Vec<String>,
    /// Feeds on the farm that are not fed, and why.
    pub withheld: Vec<String>,
    /// What may hurt a ewe.
    pub cautions: Vec<CautionEntry>,
    /// What the figures stand on.
    pub basis: String,
    /// The caution that every screen carries.
    pub caution: String,
}

/// A feed to list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct RationFeedView {
    /// Its name.
    pub name: String,
    /// kg fresh a ewe a day.
    pub kg_fresh: f64,
    /// kg DM.
    pub kg_dm: f64,
    /// In a line.
    pub words: String,
}

/// A limit to list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct RationLimitView {
    /// What it is of.
    pub name: String,
    /// Supply against limit.
    pub words: String,
    /// `holds`, `binds` or `missed`.
    pub state: String,
}

pub(super) fn view(asked: &Asked, document: &RationDocument) -> RationView {
    let short = document.status == "short";
    let feeds: Vec<RationFeedView> = document
        .feeds
        .iter()
        .map(|feed| {
            let how = match (feed.kg_fresh_in_mix, feed.is_always_there) {
                (Some(kg), _) if kg > 0.0 && kg < feed.kg_fresh - 1e-9 => {
                    format!(", {kg:.2} kg of it in the mix")
                }
                (Some(kg), _) if kg > 0.0 => ", in the mix".to_owned(),
                (_, true) => ", always there: about what she eats".to_owned(),
                _ => String::new(),
            };
            RationFeedView {
                name: feed.feed.clone(),
                kg_fresh: feed.kg_fresh,
                kg_dm: feed.kg_dm,
                words: if feed.kg_fresh < 0.0995 {
                    format!(
                        "{:.0} g fresh, {:.0} g DM, {:.1} p{how}",
                        1000.0 * feed.kg_fresh,
                        1000.0 * feed.kg_dm,
                        feed.pence
                    )
                } else {
                    format!(
                        "{:.2} kg fresh, {:.2} kg DM, {:.1} p{how}",
                        feed.kg_fresh, feed.kg_dm, feed.pence
                    )
                },
            }
        })
        .collect();
    let apart = match document.feeds_a_day {
        0 => String::new(),
        feeds => format!(
            "; {:.2} kg of concentrate in {}",
            document.concentrate_kg_fresh,
            count_words(feeds as usize, "feed")
        ),
    };
    RationView {
        headline: if short {
            format!("The need is not met: {:.1} p a ewe a day, and short", document.pence)
        } else {
            format!("The need is met for {:.1} p a ewe a day", document.pence)
        },
        way: format!("Fed as {}{apart}", asked.way.in_words()),
        feeds,
        total: format!("{:.2} kg fresh, {:.2} kg DM a ewe a day", document.kg_fresh, document.kg_dm),
        weighing: weighing(document),
        limits: document.limits.iter().map(limit).collect(),
        prices: prices(document),
        unused: document.unused.iter().map(|unused| unused.words.clone()).collect(),
        shortfalls: document.shortfalls.iter().map(|short| short.words.clone()).collect(),
        stopped_by: document.stopped_by.clone(),
        ways_out: if short && document.ways_out.is_empty() {
            vec![format!("None: {} changes were tried, and none brings her nearer.", document.ways_tried)]
        } else {
            document.ways_out.iter().map(|way| way.words.clone()).collect()
        },
        withheld: document.withheld.iter().map(|held| format!("{}: {}", held.feed, held.words)).collect(),
        cautions: document.cautions.clone(),
        basis: document.basis.clone(),
        caution: document.caution.to_owned(),
    }
}

fn weighing(document: &RationDocument) -> String {
    if !document.is_weighed {
        return "No amounts that can be weighed were found within the limits: these are to the last gram. Round \
                them with care, never the safety limits."
            .to_owned();
    }
    let proof = if document.is_proved {
        "proved the cheapest within 0.2 p"
    } else {
        "the cheapest found, not proved"
    };
    format!(
        "In amounts that can be weighed, {proof}; to the last gram it would cost {:.1} p.",
        document.pence_before_weighing
    )
}

fn limit(entry: &LimitEntry) -> RationLimitView {
    let against = match (entry.least, entry.most) {
        (Some(least), Some(most)) => format!("{least:.2} to {most:.2}"),
        (Some(least), None) => format!("at least {least:.2}"),
        (None, Some(most)) => format!("at most {most:.2}"),
        (None, None) => String::new(),
    };
    let state = match (entry.state, entry.strength) {
        ("missed", "shown") => "below, not asked for yet".to_owned(),
        ("missed", _) => format!("MISSED by {:.2}", entry.missed),
        (state, _) => state.to_owned(),
    };
    RationLimitView {
        name: entry.name.to_owned(),
        words: format!("{:.2} {} ({against}): {state}", entry.supplied, entry.unit),
        state: entry.state.to_owned(),
    }
}

fn prices(document: &RationDocument) -> Vec<String> {
    let priced = document.limits.iter().filter_map(|limit| {
        let words = limit.words.as_ref()?;
        Some(format!("{}: {words} (with these feeds)", limit.name))
    });
    priced.collect()
}
