//! The pen for a ewe, why, and the next best.

use crate::farm::journal::Mark;
use crate::farm::race::Race;
use crate::farm::race::card::Card;
use crate::farm::race::drafting::Drafting;
use crate::farm::race::gate::Way;
use crate::farm::race::ground::{Ground, key};
use crate::farm::race::{leave, view, words};
use crate::flock::{AgeClass, Due, Ewe};
use crate::journal::{Topic, Value};
use crate::sort::draft::Answer;
use crate::sort::reason::{capital, who_is};
use serde::Serialize;

/// What to do with a ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Gate {
    /// She goes to a pen.
    Pen {
        /// Its name.
        pen: String,
        /// Its place among the pens, from 0.
        at: usize,
        /// The way of the gate, where the gate has fewer ways than there are pens.
        way: Option<Way>,
        /// Why, in a line.
        reason: String,
        /// The places that it has left, as they stand beside the pens.
        places_left: u64,
        /// The next best pen.
        runner_up: Option<RunnerUp>,
    },
    /// No pen can take her within its limits.
    Hold {
        /// Why.
        words: String,
    },
    /// She is not sorted.
    Apart {
        /// Why.
        words: String,
    },
    /// Something must be said of her first, or there is no pen to tell.
    Open {
        /// What.
        words: String,
    },
}

/// The next best pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct RunnerUp {
    /// Its name.
    pub pen: String,
    /// Its place among the pens, from 0.
    pub at: usize,
    /// "Next best: pen C, 12.4 MJ worse for her."
    pub words: String,
}

/// The pen for the ewe whose card this is.
pub(super) fn answer(race: &mut Race, card: &Card) -> Gate {
    let open = |words: &str| Gate::Open { words: words.to_owned() };
    let Some(ground) = &race.ground else {
        return Gate::Open {
            words: race.unplanned.first().map_or_else(String::new, |problem| problem.message.clone()),
        };
    };
    let Some(lambs) = card.lambs else { return open("Lambs?") };
    if lambs.lambs() == 0 {
        let stands = card.name.as_ref().and_then(|name| leave::pen(race, name));
        let words = "Barren: away from the in-lamb ewes.";
        return Gate::Apart {
            words: stands.map_or_else(
                || words.to_owned(),
                |pen| format!("{words} On record she is in pen {pen}: take her out of it."),
            ),
        };
    }
    if card.marks.contains(&Mark::KeepApart) {
        return Gate::Apart { words: "Marked to be kept apart.".to_owned() };
    }
    if card.score.is_none() {
        return open("Condition?");
    }
    let (ewe, is_guessed) = record(race, ground, card);
    let asked = Card { pen: None, note: String::new(), ..card.clone() };
    if let Some((before, gate)) = race.told.as_ref().filter(|_| !race.behind)
        && *before == asked
    {
        return gate.clone();
    }
    let places = view::places(race, ground);
    let gate = match race.drafting_for(&ewe.tag) {
        Some((ground, drafting)) => tell(ground, drafting, (&ewe, is_guessed), &places),
        None => open(""),
    };
    race.told = Some((asked, gate.clone()));
    gate
}

fn tell(
    ground: &Ground,
    drafting: &Drafting,
    (ewe, is_guessed): (&Ewe, bool),
    places: &[view::Places],
) -> Gate {
    let draft = &drafting.draft;
    let best = match draft.answer(ewe) {
        Answer::Pen(best) => best,
        Answer::Hold(_) => {
            let age = ewe.age.map_or("ewe", AgeClass::in_words);
            return Gate::Hold { words: format!("Hold her: no pen has a place left for a {age}.") };
        }
        Answer::Apart(apart, _) => {
            return Gate::Apart { words: format!("{}.", capital(apart.why.trim_end_matches('.'))) };
        }
        Answer::Already(_) => return Gate::Hold { words: "She is in a pen already.".to_owned() },
    };
    let name = |at: usize| ground.pens.get(at).map(|pen| pen.name.clone()).unwrap_or_default();
    let places_left = places.get(best.pen).map_or(0, |places| places.left);
    Gate::Pen {
        pen: name(best.pen),
        at: best.pen,
        way: drafting.gate.way_of(best.pen),
        // The day that she is due closes the words on her; where nobody gave one it is said to be guessed.
        reason: format!(
            "{}{}: {}; {}.",
            capital(&who_is(&best.ewe)),
            if is_guessed { " (guessed)" } else { "" },
            words::company(ground, drafting, &best),
            places_words(places_left)
        ),
        places_left,
        runner_up: best.runner_up.map(|next| RunnerUp {
            pen: name(next.pen),
            at: next.pen,
            words: format!("Next best: pen {}{}.", name(next.pen), words::instead(&best, next)),
        }),
    }
}

/// A pen that has no place left for a usual ewe may have one for her: she is small, or stands in it already.
fn places_words(left: u64) -> String {
    match left {
        0 => "full, but with room for her".to_owned(),
        1 => "1 place left".to_owned(),
        many => format!("{many} places left"),
    }
}

/// What is written of her, and what is on record where nothing is written; and whether nobody knows when she is
/// due.
fn record(race: &Race, ground: &Ground, card: &Card) -> (Ewe, bool) {
    let known = card.name.as_ref().and_then(|name| race.book.journal().state().find(name));
    let value = |topic| known.and_then(|ewe| ground.season.of(ewe).value(topic));
    let name = known.and_then(crate::journal::Ewe::name).or_else(|| card.name.clone());
    let weight = match value(Topic::Weight) {
        Some(Value::Weight(kg)) => Some(crate::quantity::Kg::new(kg)),
        _ => None,
    };
    let own_due = match value(Topic::Due) {
        Some(Value::Due(_, Some(due))) => Some(due),
        _ => None,
    };
    let due = ground.due_of(card.group.as_deref(), own_due);
    let is_guessed = due == Due::Unknown;
    let ewe = Ewe {
        litter: card.lambs,
        condition: card.score,
        age: card.age,
        weight,
        due,
        shorn: value(Topic::Fleece) == Some(Value::Fleece(true)),
        // Whoever is not read yet is nobody on record.
        ..Ewe::unknown(name.as_ref().map(key).unwrap_or_default())
    };
    (ground.filled(ewe), is_guessed)
}
