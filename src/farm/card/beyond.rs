//! What was settled by hand and no card can tell: said on the card, and counted on both sides alike.

use crate::problem::{Problem, Severity};
use crate::sort::Plan;
use crate::sort::shortfall::count_words;

/// At most so many stand in one line.
const MOST_NAMED: usize = 8;

/// Ewes kept in a pen by hand, and ewes tied to one another.
pub(super) fn beyond(plan: &Plan) -> Vec<Problem> {
    let tag = |ewe: usize| plan.ewes[ewe].ewe.tag.as_str();
    let note = |code: &str, subject: &str, message: String, hint: &str| {
        Problem::new(Severity::Note, code, subject, message, hint)
    };
    let mut notes = Vec::new();
    let kept: Vec<String> = (0..plan.ewes.len())
        .filter_map(|ewe| Some(format!("{} in pen {}", tag(ewe), plan.pens.get(plan.ewes[ewe].kept?)?.name)))
        .collect();
    if !kept.is_empty() {
        notes.push(note(
            "card-cannot-keep",
            "ewes kept by hand",
            format!(
                "Kept by hand, which no card can tell: {}. Put them there first, whatever the card says.",
                listed(&kept)
            ),
            "The card is measured so, and the sort that it is held against likewise; in halves of the flock they \
             go by the card.",
        ));
    }
    let together: Vec<String> = plan
        .instance
        .together
        .iter()
        .map(|set| set.iter().map(|&ewe| tag(ewe)).collect::<Vec<_>>().join(" with "))
        .collect();
    let apart: Vec<String> =
        plan.instance.apart.iter().map(|&[a, b]| format!("{} from {}", tag(a), tag(b))).collect();
    for (pairs, what) in [(together, "To share a pen"), (apart, "To be kept apart")] {
        if pairs.is_empty() {
            continue;
        }
        notes.push(note(
            "card-cannot-tie",
            "ewes tied by hand",
            format!("{what}, which no card can tell: {}. Put it right once all are through.", listed(&pairs)),
            "Ewes moved for this are counted among those moved at the end; the sort that the card is held against \
             keeps it from the start.",
        ));
    }
    notes
}

fn listed(names: &[String]) -> String {
    match names.len().checked_sub(MOST_NAMED) {
        None | Some(0) => names.join(", "),
        Some(more) => format!("{} and {}", names[..MOST_NAMED].join(", "), count_words(more, "other")),
    }
}
