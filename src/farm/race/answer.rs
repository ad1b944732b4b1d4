//! The pen for a ewe, why, and the next best.

use crate::farm::journal::Mark;
use crate::farm::race::Race;
use crate::farm::race::card::Card;
use crate::farm::race::ground::Ground;
use crate::flock::{AgeClass, Due, Ewe};
use crate::journal::{Topic, Value};
use crate::sort::reason::{capital, who};
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
        /// The way of the gate, from 1, where the gate has fewer ways than there are pens.
        way: Option<usize>,
        /// Why, in a line.
        reason: String,
        /// How many more like her it has places for once she is in.
        places_left: u64,
        /// The same in words.
        places: String,
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
    /// "Next best: pen C, 7 places left."
    pub words: String,
}

/// A pen that could take her.
struct Offer {
    at: usize,
    loss: f64,
    left: u64,
}

/// The pen for the ewe whose card this is.
pub(super) fn answer(race: &Race, card: &Card) -> Gate {
    let open = |words: &str| Gate::Open { words: words.to_owned() };
    let Some(ground) = &race.ground else {
        return Gate::Open {
            words: race.unplanned.first().map_or_else(String::new, |problem| problem.message.clone()),
        };
    };
    let Some(lambs) = card.lambs else { return open("Lambs?") };
    if lambs.lambs() == 0 {
        return Gate::Apart { words: "Barren: away from the in-lamb ewes.".to_owned() };
    }
    if card.marks.contains(&Mark::KeepApart) {
        return Gate::Apart { words: "Marked to be kept apart.".to_owned() };
    }
    if card.score.is_none() {
        return open("Condition?");
    }
    let record = record(race, ground, card);
    let age = ground.age(&record);
    let called = record.tag.clone();
    let is_guessed = record.due == Due::Unknown;
    let plan = ground.plan_of(record);
    let Some(planned) = plan.ewes.first() else {
        let words = plan
            .set_apart
            .first()
            .map_or_else(|| "She cannot be sorted.".to_owned(), |apart| capital(&apart.why));
        return Gate::Apart { words: format!("{}.", words.trim_end_matches('.')) };
    };
    let mut offers: Vec<Offer> = (0..ground.pens.len())
        .filter_map(|at| {
            let left = places(race, ground, at, &planned.ewe, age, &called)?;
            let levels = ground.levels.get(at).filter(|levels| levels.len() == plan.days.len());
            // A pen that nothing is planned for comes last.
            let loss =
                levels.map_or(f64::INFINITY, |levels| plan.instance.loss_on(0, levels, 0..plan.days.len()));
            Some(Offer { at, loss, left })
        })
        .collect();
    offers.sort_by(|one, other| one.loss.total_cmp(&other.loss).then(one.at.cmp(&other.at)));
    let mut fits = offers.iter();
    let Some(best) = fits.next() else {
        return Gate::Hold { words: format!("Hold her: no pen has a place left for a {}.", age.in_words()) };
    };
    let name = |at: usize| ground.pens.get(at).map(|pen| pen.name.clone()).unwrap_or_default();
    let with = match ground.meant.get(best.at).copied().flatten() {
        Some(meant) => format!("with the {meant}"),
        None => "a pen that was left free".to_owned(),
    };
    let places = places_words(best.left);
    Gate::Pen {
        pen: name(best.at),
        at: best.at,
        way: None,
        // The day that she is due closes the words on her; where nobody gave one it is said to be guessed.
        reason: format!(
            "{}{}: {with}; {places}.",
            capital(&who(&plan, 0)),
            if is_guessed { " (guessed)" } else { "" }
        ),
        places_left: best.left,
        places,
        runner_up: fits.next().map(|next| RunnerUp {
            pen: name(next.at),
            at: next.at,
            words: format!("Next best: pen {}, {}.", name(next.at), places_words(next.left)),
        }),
    }
}

fn places_words(left: u64) -> String {
    match left {
        0 => "the last place".to_owned(),
        1 => "1 place left".to_owned(),
        many => format!("{many} places left"),
    }
}

/// What is written of her, and what is on record where nothing is written.
fn record(race: &Race, ground: &Ground, card: &Card) -> Ewe {
    let known = card.name.as_ref().and_then(|name| race.book.journal().state().find(name));
    let value =
        |topic| known.and_then(|ewe| ewe.standing(topic)).and_then(|standing| Value::of(standing.holds));
    let called = known.map(crate::journal::Ewe::called).unwrap_or_default();
    let weight = match value(Topic::Weight) {
        Some(Value::Weight(kg)) => Some(crate::quantity::Kg::new(kg)),
        _ => None,
    };
    let own_due = match value(Topic::Due) {
        Some(Value::Due(_, Some(due))) => Some(due),
        _ => None,
    };
    Ewe {
        litter: card.lambs,
        condition: card.score,
        age: card.age,
        weight,
        due: ground.due_of(card.group.as_deref(), own_due),
        ..Ewe::unknown(called)
    }
}

/// How many more like her a pen has places for once she is in; nothing where it cannot take her.
fn places(race: &Race, ground: &Ground, at: usize, ewe: &Ewe, age: AgeClass, called: &str) -> Option<u64> {
    let (pen, bin) = (ground.pens.get(at)?, ground.bins.get(at)?);
    if !pen.takes(age) {
        return None;
    }
    let (mut head, mut used) = (0_usize, [0_u64; 2]);
    for (other, (place, room)) in &race.stands {
        if *place == at && other != called {
            head += 1;
            used = [used[0] + room[0], used[1] + room[1]];
        }
    }
    if ground.sort.ewe_lambs_apart
        && head > 0
        && holds_ewe_lambs(race, at, called) != (age == AgeClass::EweLamb)
    {
        return None;
    }
    let takes = ground.room(ewe, at);
    let fits = bin
        .capacity
        .iter()
        .zip(used)
        .zip(takes)
        .map(|((has, used), takes)| has.saturating_sub(used).checked_div(takes).unwrap_or(u64::MAX));
    let most = fits.min()?.min(bin.max_head.saturating_sub(head) as u64);
    most.checked_sub(1)
}

/// Whether the ewes of a pen are ewe lambs.
fn holds_ewe_lambs(race: &Race, at: usize, but: &str) -> bool {
    let Some(ground) = &race.ground else { return false };
    let name = ground.pens.get(at).map(|pen| pen.name.as_str());
    race.book.journal().state().ewes().any(|ewe| {
        let value = |topic| ewe.standing(topic).and_then(|standing| Value::of(standing.holds));
        let is_here = matches!(value(Topic::Pen), Some(Value::Pen(pen)) if Some(pen) == name);
        is_here && ewe.called() != but && matches!(value(Topic::Age), Some(Value::Age(AgeClass::EweLamb)))
    })
}
