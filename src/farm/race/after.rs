//! Once all are in: who stands where, for print and for the room of moves; and dividing the ways of a gate that has
//! fewer of them than there are pens.

use crate::farm::journal::season;
use crate::farm::journal::{AppendReply, AppendRequest, Book, Name, Now, What};
use crate::farm::race::{Race, seats};
use crate::io::pen_list;
use crate::journal::{Advice, Topic, Value};
use crate::solve::search::{self, Effort, Status};
use crate::sort::shortfall::count_words;
use crate::sort::{Settings, plan};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Who stands where.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Stands {
    /// A list for each pen that holds anybody.
    pub sheets: Vec<PenSheet>,
    /// The caution that every sheet carries.
    pub caution: &'static str,
    /// The same as the list that the moves are worked out from, CSV: tag, pen.
    pub csv: String,
}

/// The list of one pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PenSheet {
    /// Its name.
    pub pen: String,
    /// Its place among the pens, from 0.
    pub at: usize,
    /// "31 ewes, 62 lambs".
    pub head: String,
    /// Its ewes, in the order in which they came.
    pub ewes: Vec<SheetRow>,
}

/// One ewe of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct SheetRow {
    /// What she is called.
    pub tag: String,
    /// By what she is known, where something is entered of her.
    pub name: Option<Name>,
    /// Lambs carried; 0 where nobody knows.
    pub litter: u8,
    /// Condition; empty where she was not scored.
    pub condition: String,
    /// When she is due, or her group.
    pub due: String,
    /// Marks and notes.
    pub notes: String,
}

pub(super) fn stands(race: &Race) -> Stands {
    let mut sheets: BTreeMap<usize, Vec<(SheetRow, u32)>> = BTreeMap::new();
    let mut rows = Vec::new();
    let pens = race.ground.as_ref().map(|ground| ground.pens.as_slice()).unwrap_or_default();
    let name = |at: usize| pens.get(at).map(|pen| pen.name.clone()).unwrap_or_default();
    for seat in race.ground.iter().flat_map(|ground| seats::of(&race.book, ground)) {
        let Some(at) = seat.place else { continue };
        let Some(ewe) = race.book.journal().state().ewes().find(|ewe| ewe.called() == seat.called) else {
            continue;
        };
        rows.push(vec![seat.called.clone(), name(at)]);
        let season = race.season.as_ref();
        let row = Book::row(ewe, season);
        let cell = |column| Book::cell(&row, column);
        let litter = seat.ewe.litter.map_or(0, |litter| litter.lambs());
        let due = match season::value(ewe, Topic::Due, season) {
            Some(Value::Due(_, Some(day))) => day.short(),
            Some(Value::Due(group, None)) => group.unwrap_or_default().to_owned(),
            _ => String::new(),
        };
        let row = SheetRow {
            tag: seat.called,
            name: ewe.name(),
            litter,
            condition: cell("condition"),
            due,
            notes: cell("notes"),
        };
        sheets.entry(at).or_default().push((row, u32::from(litter)));
    }
    let sheet = |(at, ewes): (usize, Vec<(SheetRow, u32)>)| {
        let lambs: u32 = ewes.iter().map(|(_, lambs)| lambs).sum();
        PenSheet {
            pen: name(at),
            at,
            head: format!("{}, {}", count_words(ewes.len(), "ewe"), count_words(lambs as usize, "lamb")),
            ewes: ewes.into_iter().map(|(row, _)| row).collect(),
        }
    };
    Stands {
        sheets: sheets.into_iter().map(sheet).collect(),
        caution: crate::farm::CAUTION,
        csv: pen_list::write(&["tag", "pen"], &rows),
    }
}

/// Dividing the ways of the gate into their pens.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct DivideRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Divided {
    /// What the journal made of it; null where nobody's pen changes.
    pub reply: Option<AppendReply>,
    /// In words.
    pub words: String,
}

/// Sorts the ewes behind each way into the pens behind it, all of them known now, and enters the pens that change
/// as one act.
pub(super) fn divide(race: &mut Race, request: &DivideRequest) -> Divided {
    let said = |words: &str| Divided { reply: None, words: words.to_owned() };
    race.catch_up();
    let Some((ground, drafting)) = race.ground.as_ref().zip(race.drafting.as_ref()) else {
        return said("No pens are known.");
    };
    let placed: Vec<(&seats::Seat, usize)> =
        drafting.seats.iter().filter_map(|seat| Some((seat, seat.place?))).collect();
    let ewes = placed.iter().map(|(seat, _)| seat.ewe.clone()).collect();
    let plan = plan(ewes, ground.pens.clone(), &ground.sort);
    let stood: Vec<usize> = plan
        .ewes
        .iter()
        .filter_map(|ewe| placed.iter().find(|(seat, _)| seat.ewe.tag == ewe.ewe.tag).map(|(_, pen)| *pen))
        .collect();
    let mut instance = plan.instance.clone();
    for (mask, pen) in instance.allowed.iter_mut().zip(&stood) {
        *mask &= drafting.gate.behind(*pen);
    }
    // The way back from where they stand is looked for too: it may be better than what is found from nothing, and it
    // moves fewer.
    let found = match search::solve(&instance, Settings::SEED, Effort::default()) {
        Status::Solved(found) => Some(found.assignment),
        Status::Impossible | Status::Undecided => None,
    };
    let nearest = search::mended(&instance, stood.clone());
    let costed = [nearest, found].into_iter().flatten().map(|pens| (instance.cost(&pens), pens));
    let Some((cost, best)) = costed.min_by(|one, other| one.0.total_cmp(&other.0)) else {
        return said(
            "No way was found to divide them within the limits of the pens: move some by hand first.",
        );
    };
    if instance.is_feasible(&stood) && instance.cost(&stood) <= cost {
        return said("They are divided as well as can be: nobody's pen changes.");
    }
    let mut what = Vec::new();
    for ((ewe, from), to) in plan.ewes.iter().zip(&stood).zip(&best) {
        let name = ground.pens.get(*to).map(|pen| pen.name.clone()).unwrap_or_default();
        let who = race.book.journal().state().ewes().filter_map(crate::journal::Ewe::name);
        let Some(who) = who.into_iter().find(|name: &Name| super::ground::key(name) == ewe.ewe.tag) else {
            continue;
        };
        if from != to {
            let advised = Some(Advice { pen: name.clone(), words: "Sorted behind the gate.".to_owned() });
            what.push(What::PenGiven { ewe: who, pen: name, advised });
        }
    }
    let words = format!("{} got another pen behind the same way.", count_words(what.len(), "ewe"));
    let append = AppendRequest {
        device: request.device.clone(),
        now: request.now,
        by: None,
        day: None,
        what,
        sure: true,
    };
    Divided { reply: Some(race.append(append)), words }
}
