//! Where the ewes of the race stand, read from the fold of the journal alone.
//!
//! A seat is a ewe who came: where she was sent, in the order in which that was decided. So undo, a change of an
//! entry, an overruled pen, a ewe who left hers and what another device entered all come out as other seats, and
//! nothing else has to know of them. Pens of earlier seasons are no seats.

use crate::farm::journal::Book;
use crate::farm::race::ground::Ground;
use crate::flock::Ewe;
use crate::journal::{self, EventId, Stamp, Topic, Value};
use crate::solve::instance::RESOURCES;
use crate::sort::draft::{Answer, Draft, Held};

/// A ewe who came.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seat {
    /// What she is called.
    pub called: String,
    /// What stands of her, gaps filled.
    pub ewe: Ewe,
    /// Her pen's place among the pens; nothing where she has none of them.
    pub place: Option<usize>,
    /// What she takes there: millimetres of trough, thousandths of a square metre.
    pub room: [u64; RESOURCES],
}

/// Every ewe who came, in the order in which she was sent.
pub(super) fn of(book: &Book, ground: &Ground) -> Vec<Seat> {
    let mut seats: Vec<((Stamp, &EventId), Seat)> = Vec::new();
    for ewe in book.journal().state().ewes() {
        let pen = ground.season.of(ewe).standing(Topic::Pen).map(|standing| standing.holds);
        let came = ewe.readings.iter().rev().find(|event| event.day >= ground.since);
        let Some(event) = pen.or(came) else { continue };
        let record = ground.ready(ewe);
        let place = pen.and_then(|event| place(event, ground));
        let room = place.map_or([0; RESOURCES], |place| ground.room(&record, place));
        let order = event.order();
        // Nearly always the last: ewes stand in the state in the order in which they were first met.
        let at = seats.partition_point(|(other, _)| *other <= order);
        seats.insert(at, (order, Seat { called: ewe.called(), ewe: record, place, room }));
    }
    seats.into_iter().map(|(_, seat)| seat).collect()
}

/// Where a ewe was sent, and what she takes there; nothing where she has none of the pens.
pub(super) fn stand(ewe: &journal::Ewe, ground: &Ground) -> Option<(usize, [u64; RESOURCES])> {
    let place = place(ground.season.of(ewe).standing(Topic::Pen)?.holds, ground)?;
    Some((place, ground.room(&ground.ready(ewe), place)))
}

fn place(given: &journal::Event, ground: &Ground) -> Option<usize> {
    let Some(Value::Pen(Some(name))) = Value::of(given) else { return None };
    ground.place(name)
}

/// Sends a ewe who came to where she is, or past all pens. Somebody may send one where no limit allows her: in a pen
/// that is over its limits the draft has no place left for others, and one whom a pen never takes is no member there,
/// but takes her room.
pub(super) fn seat(draft: &mut Draft, seat: &Seat) {
    if seat.place.is_some_and(|pen| draft.place_over(&seat.ewe, pen).is_ok()) {
        return;
    }
    if seat.ewe.litter.is_some_and(|litter| litter.lambs() == 0) {
        return draft.pass(&seat.ewe, &draft.answer(&seat.ewe));
    }
    let held = Answer::Hold(Held { tag: seat.ewe.tag.clone(), row: 0 });
    match seat.place {
        Some(pen) => draft.pass_in(&seat.ewe, pen, &held),
        None => draft.pass(&seat.ewe, &held),
    }
}
