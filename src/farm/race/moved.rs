//! Moves that were made after the race, from the room of moves: ewes who stand in another pen now.
//!
//! They are decisions like those at the gate, and are entered as one act, so that one undo takes all of them back.
//! A move is entered only where the ewe still stands in the pen that the list of moves took her from: what was
//! entered since goes before a list that knew nothing of it.

use crate::farm::journal::season;
use crate::farm::journal::{AppendReply, AppendRequest, Now, What};
use crate::farm::race::{Race, leave};
use crate::journal::{Advice, Topic, Value};
use crate::problem::{Problem, Severity};
use crate::sort::shortfall::count_words;
use serde::{Deserialize, Serialize};

/// One line of the list of moves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(deny_unknown_fields)]
pub struct MoveMade {
    /// What she is called.
    pub tag: String,
    /// The pen that she left; null where she came from outside.
    pub from: Option<String>,
    /// The pen that she went to; null where she waits outside.
    pub to: Option<String>,
    /// Why, as the list said it.
    pub words: String,
}

/// Moves to enter, in the list's order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct MovedRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// The moves.
    pub moves: Vec<MoveMade>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Moved {
    /// What the journal made of it; null where there is nothing to enter.
    pub reply: Option<AppendReply>,
    /// In words.
    pub words: String,
    /// Moves that were not entered, each with the reason.
    pub problems: Vec<Problem>,
}

/// Enters them as one act.
pub(super) fn moved(race: &mut Race, request: MovedRequest) -> Moved {
    let mut what = Vec::new();
    let mut problems = Vec::new();
    for made in whole_ways(request.moves) {
        match entry(race, &made) {
            Ok(new) => what.extend(new),
            Err(problem) => problems.push(*problem),
        }
    }
    let count = what.len();
    if count == 0 {
        let words = "Nothing new to enter: they stand so in the journal already, or see below.";
        return Moved { reply: None, words: words.to_owned(), problems };
    }
    let append =
        AppendRequest { device: request.device, now: request.now, by: None, day: None, what, sure: true };
    let reply = race.append(append);
    let words = match &reply {
        AppendReply::Appended { .. } if count == 1 => {
            "1 ewe is entered as moved; her pen list shows her there.".to_owned()
        }
        AppendReply::Appended { .. } => {
            format!("{} are entered as moved; the pen lists show them there.", count_words(count, "ewe"))
        }
        AppendReply::Refused { .. } | AppendReply::Asked { .. } => String::new(),
    };
    Moved { reply: Some(reply), words, problems }
}

/// Each ewe once: who waits outside between two steps goes from where she stood to where she ends.
fn whole_ways(moves: Vec<MoveMade>) -> Vec<MoveMade> {
    let mut whole: Vec<MoveMade> = Vec::new();
    for made in moves {
        match whole.iter_mut().find(|other| other.tag == made.tag) {
            Some(other) => (other.to, other.words) = (made.to, made.words),
            None => whole.push(made),
        }
    }
    whole
}

/// The event that a move is; nothing where she stands so already.
fn entry(race: &Race, made: &MoveMade) -> Result<Option<What>, Box<Problem>> {
    let refused = |code: &str, message: String, hint: &str| {
        let subject = format!("ewe {}", made.tag);
        Box::new(Problem::new(Severity::Warning, code, subject, message, hint).about(&made.tag))
    };
    let mut bearers = race.book.journal().state().ewes().filter(|ewe| ewe.called() == made.tag);
    let (Some(ewe), None) = (bearers.next(), bearers.next()) else {
        let message =
            format!("Not entered: the journal does not know {}, or knows two by that tag.", made.tag);
        return Err(refused("move-of-unknown", message, "Enter her pen at the race."));
    };
    let Some(name) = ewe.name() else { return Ok(None) };
    let stands = leave::pen(race, &name);
    let has_left = matches!(season::value(ewe, Topic::Pen, race.season.as_ref()), Some(Value::Pen(None)));
    let Some(to) = &made.to else {
        let message = format!("Not entered: {} waits outside and has no new pen yet.", made.tag);
        return Err(refused("move-not-over", message, "Enter her move once she stands in a pen."));
    };
    if stands == Some(to.as_str()) {
        return Ok(None);
    }
    if let (Some(from), Some(stands)) = (&made.from, stands)
        && from != stands
    {
        let message = format!("Not entered: {} stands in pen {stands} by now, not in pen {from}.", made.tag);
        return Err(refused("moved-meanwhile", message, "Work the moves out anew from where they stand."));
    }
    if made.from.is_some() && has_left {
        let message = format!("Not entered: {} left her pen by now, and stands in none.", made.tag);
        return Err(refused("moved-meanwhile", message, "Work the moves out anew from where they stand."));
    }
    let words = made.words.trim();
    let advised = (!words.is_empty()).then(|| Advice { pen: to.clone(), words: words.to_owned() });
    Ok(Some(What::PenGiven { ewe: name, pen: to.clone(), advised }))
}
