//! Where the ewes of the race stand, read from the fold of the journal alone.
//!
//! A seat is a ewe who came: where she was sent, in the order in which that was decided. So undo, a change of an
//! entry, an overruled pen, a ewe who left hers and what another device entered all come out as other seats, and
//! nothing else has to know of them. Pens of earlier seasons are no seats.

use crate::farm::journal::Book;
use crate::farm::race::ground::Ground;
use crate::flock::{AgeClass, Ewe};
use crate::journal::{self, EventId, Stamp, Topic, Value};
use crate::pen::{Face, Pen};
use crate::quantity::{Metre, SquareMetre};
use crate::solve::instance::RESOURCES;
use crate::sort::draft::{Answer, Draft, Held};
use crate::sort::space;

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

/// The pens as the draft must see them, and whose seats it can hold.
///
/// Somebody may send a ewe where no limit allows her. In a pen that is over its limits the draft counts heads and
/// has none left; a ewe whom a pen never takes is no member there, but takes her room.
pub(super) fn seen(ground: &Ground, seats: &[Seat]) -> (Vec<Pen>, Vec<bool>) {
    let mut kinds: Vec<Option<bool>> = vec![None; ground.pens.len()];
    let mut used = vec![([0_u64; RESOURCES], 0_u32); ground.pens.len()];
    let mut strange = used.clone();
    let mut held = Vec::with_capacity(seats.len());
    for seat in seats {
        let pen = seat.place.and_then(|at| Some((at, ground.pens.get(at)?)));
        let Some((at, pen)) = pen else {
            held.push(false);
            continue;
        };
        let age = seat.ewe.age.unwrap_or(AgeClass::Mature);
        let kind = ground.sort.ewe_lambs_apart && age == AgeClass::EweLamb;
        let fits = pen.takes(age) && kinds.get(at).copied().flatten().is_none_or(|own| own == kind);
        held.push(fits);
        if fits && let Some(own) = kinds.get_mut(at) {
            *own = Some(kind);
        }
        let sums = if fits { None } else { strange.get_mut(at) };
        for sum in [used.get_mut(at), sums].into_iter().flatten() {
            *sum = (std::array::from_fn(|part| sum.0[part] + seat.room[part]), sum.1 + 1);
        }
    }
    let pens = ground.pens.iter().zip(&ground.bins).zip(used.into_iter().zip(strange));
    let pens = pens.map(|((pen, bin), ((all, heads), (strange, strangers)))| {
        let over = heads as usize > bin.max_head || all.iter().zip(bin.capacity).any(|(all, has)| *all > has);
        if over {
            return Pen { max_head: Some(heads - strangers), ..offering(pen, all) };
        }
        if strangers == 0 {
            return pen.clone();
        }
        let left = std::array::from_fn(|part| bin.capacity[part].saturating_sub(strange[part]));
        let most = pen.max_head.map(|most| most.saturating_sub(strangers));
        Pen { max_head: most, ..offering(pen, left) }
    });
    (pens.collect(), held)
}

/// A pen that offers so much, in whole single places at the most.
fn offering(pen: &Pen, [trough, floor]: [u64; RESOURCES]) -> Pen {
    let metres = |thousandths: u64| thousandths as f64 / 1000.0;
    let face = match pen.face {
        Face::Trough(_) => Face::Trough(Metre::new(metres(trough))),
        Face::Places(_) => Face::Places(u32::try_from(space::in_places(trough)).unwrap_or(u32::MAX)),
    };
    Pen { face, blocked_corners: 0, area: SquareMetre::new(metres(floor)), ..pen.clone() }
}

/// Sends a ewe who came to where she is, or past all pens.
pub(super) fn seat(draft: &mut Draft, seat: &Seat, held: bool) {
    if held && seat.place.is_some_and(|pen| draft.place(&seat.ewe, pen).is_ok()) {
        return;
    }
    let is_barren = seat.ewe.litter.is_some_and(|litter| litter.lambs() == 0);
    let answer = if is_barren {
        draft.answer(&seat.ewe)
    } else {
        Answer::Hold(Held { tag: seat.ewe.tag.clone(), why: String::new(), row: 0 })
    };
    draft.pass(&seat.ewe, &answer);
}
