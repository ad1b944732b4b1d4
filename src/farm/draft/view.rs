//! A draft in words, for page and command line.

use crate::farm::draft::document::{DraftDocument, ResultEntry};
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// What the page draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct DraftView {
    /// How many ewes, and where they went.
    pub headline: String,
    /// What was known before the first ewe.
    pub belief: String,
    /// Which pens share a way; empty where every pen has its own.
    pub ways: String,
    /// A line a ewe, in the order in which they came.
    pub lines: Vec<DraftLine>,
    /// How near the best it came; empty where nobody has a pen.
    pub result: String,
    /// What a few moves would gain; empty where there are none.
    pub moves: String,
    /// Ewes held, in a line; empty where nobody is.
    pub held: String,
    /// Ewes not sorted, in a line; empty where there are none.
    pub set_apart: String,
    /// The caution that every screen carries.
    pub caution: String,
}

/// One ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct DraftLine {
    /// Her tag.
    pub tag: String,
    /// "pen C", "way 2 (pen C)", "hold" or "apart".
    pub goes: String,
    /// Why, and the runner-up.
    pub words: String,
}

pub(super) fn view(document: &DraftDocument) -> DraftView {
    let ways =
        document.ways.iter().enumerate().map(|(way, pens)| format!("way {} to {}", way + 1, pens.join(", ")));
    let ways: Vec<String> = ways.collect();
    let lines = document.answers.iter().map(|answer| DraftLine {
        tag: answer.tag.clone(),
        goes: match &answer.place {
            Some(place) => match place.way {
                Some(way) => format!("way {way} (pen {})", place.pen),
                None => format!("pen {}", place.pen),
            },
            None => answer.answer.to_owned(),
        },
        words: answer.reason.clone(),
    });
    let placed = document.answers.iter().filter(|answer| answer.place.is_some()).count();
    DraftView {
        headline: format!(
            "{} drafted one by one into {}",
            count_words(placed, "ewe"),
            count_words(document.pens.iter().filter(|pen| pen.ewes > 0).count(), "pen")
        ),
        belief: document.belief_words.clone(),
        ways: if ways.is_empty() { String::new() } else { format!("The gate: {}.", ways.join("; ")) },
        lines: lines.collect(),
        result: document
            .result
            .as_ref()
            .map(|result| result_words(result, !ways.is_empty()))
            .unwrap_or_default(),
        moves: document.result.as_ref().map(moves_words).unwrap_or_default(),
        held: listed("Hold, because no pen had a place", &document.held),
        set_apart: listed("Not sorted", &document.set_apart),
        caution: document.caution.to_owned(),
    }
}

fn listed(title: &str, tags: &[String]) -> String {
    if tags.is_empty() { String::new() } else { format!("{title} ({}): {}.", tags.len(), tags.join(", ")) }
}

fn result_words(result: &ResultEntry, evening: bool) -> String {
    let when = if evening { "once each way is sorted out in the evening" } else { "as they stand" };
    match (result.all_knowing_mj, result.ratio) {
        (Some(best), Some(ratio)) => format!(
            "{:.1} MJ misfit {when}, against {best:.1} had the whole flock been known beforehand: {ratio:.2} times it.",
            result.objective_mj
        ),
        _ => format!(
            "{:.1} MJ misfit {when}. No sort of all at once was found to compare it with.",
            result.objective_mj
        ),
    }
}

fn moves_words(result: &ResultEntry) -> String {
    let (Some(objective), false) = (result.moved_objective_mj, result.moves.is_empty()) else {
        return String::new();
    };
    let ratio = result.moved_ratio.map(|ratio| format!(", {ratio:.2} times the best")).unwrap_or_default();
    let moves: Vec<String> =
        result.moves.iter().map(|one| format!("{} from {} to {}", one.tag, one.from, one.to)).collect();
    format!(
        "Moving {} (at most 3 in 100) leaves {objective:.1} MJ{ratio}: {}.",
        count_words(result.moves.len(), "ewe"),
        moves.join("; ")
    )
}
