//! Ewes who left their pens: barren after all, died, sold, or let out once they have lambed.
//!
//! It is a decision like the pen itself, of the same thing: a later pen puts her back, undo takes it back, and where
//! somebody else gave her a pen meanwhile both stand until it is settled.

use crate::farm::journal::season;
use crate::farm::journal::{AppendReply, AppendRequest, Name, Now, What};
use crate::farm::race::Race;
use crate::journal::{Topic, Value};
use crate::sort::shortfall::count_words;
use serde::{Deserialize, Serialize};

/// Who left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct LeaveRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// The ewes.
    pub ewes: Vec<Name>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Left {
    /// What the journal made of it; null where none of them stands in a pen.
    pub reply: Option<AppendReply>,
    /// In words.
    pub words: String,
}

/// Enters that they left, as one act.
pub(super) fn leave(race: &mut Race, request: LeaveRequest) -> Left {
    let left: Vec<(String, What)> =
        request.ewes.iter().filter_map(|name| Some((called(race, name)?, event(race, name)?))).collect();
    let words = match left.as_slice() {
        [] => {
            return Left {
                reply: None,
                words: "Nothing to enter: on record they stand in no pen.".to_owned(),
            };
        }
        [(who, What::PenLeft { pen, .. })] => format!("{who} left pen {pen}."),
        many => format!("{} left their pens.", count_words(many.len(), "ewe")),
    };
    let what = left.into_iter().map(|(_, what)| what).collect();
    let append =
        AppendRequest { device: request.device, now: request.now, by: None, day: None, what, sure: true };
    Left { reply: Some(race.append(append)), words }
}

/// The pen that a ewe stands in this season.
pub(super) fn pen<'r>(race: &'r Race, name: &Name) -> Option<&'r str> {
    let ewe = race.book.journal().state().find(name)?;
    match season::value(ewe, Topic::Pen, race.season.as_ref())? {
        Value::Pen(pen) => pen,
        _ => None,
    }
}

fn called(race: &Race, name: &Name) -> Option<String> {
    Some(race.book.journal().state().find(name)?.called())
}

fn event(race: &Race, name: &Name) -> Option<What> {
    let ewe = race.book.journal().state().find(name)?.name()?;
    Some(What::PenLeft { ewe, pen: pen(race, name)?.to_owned() })
}
