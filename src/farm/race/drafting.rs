//! The draft that learns, seated from the fold of the journal.
//!
//! A draft is what it was told before the first ewe, and who came since, in order. Where the seats go on from
//! those that the draft has, as they do from one ewe to the next, only the new ones are seated. Otherwise it
//! goes back to the last kept draft that has nothing else, and goes on from there; where what was told is
//! otherwise, it begins anew. All of these give the same draft.

use crate::farm::race::gate::GateWays;
use crate::farm::race::ground::Ground;
use crate::farm::race::seats::{self, Seat};
use crate::farm::race::words;
use crate::sort::draft::Draft;

/// Seats between two drafts that are kept to go back to (our choice: a draft is some megabytes, and seating so
/// many again takes some tenths of a second on a slow tablet).
const STEP: usize = 16;
/// So many are kept, besides the one before the last seat.
const KEPT: usize = 4;

/// A draft and how it came about.
#[derive(Debug, Clone)]
pub(super) struct Drafting {
    /// The draft.
    pub draft: Draft,
    /// Whom it has.
    pub seats: Vec<Seat>,
    /// The way of each pen, as the gate was cut before the first ewe.
    pub gate: GateWays,
    /// Whom each pen is meant for, as it was planned before the first ewe.
    pub meant: Vec<Option<&'static str>>,
    /// Earlier ones, each with how many seats it has; the fewest first.
    kept: Vec<(usize, Draft)>,
}

impl Drafting {
    /// Takes the seats as they are now.
    pub(super) fn go_on(&mut self, ground: &Ground, seats: Vec<Seat>) {
        if !seats.starts_with(&self.seats) {
            *self = Self::of(ground, seats, Some(self));
            return;
        }
        for seat in seats.into_iter().skip(self.seats.len()) {
            keep(&mut self.kept, self.seats.len(), &self.draft);
            seats::seat(&mut self.draft, &seat);
            self.seats.push(seat);
        }
    }

    /// The draft for these seats, from an earlier one of the same ground where that helps.
    pub(super) fn of(ground: &Ground, seats: Vec<Seat>, before: Option<&Self>) -> Self {
        let begun = || Draft::new(ground.pens.clone(), ground.known(), &ground.sort);
        let alike =
            |before: &Self| before.seats.iter().zip(&seats).take_while(|(old, new)| old == new).count();
        let found = before.and_then(|before| before.at_most(alike(before)));
        let (mut at, mut draft) = found.map_or_else(|| (0, begun()), |(at, draft)| (at, draft.clone()));
        let (gate, meant) = match before {
            Some(before) => (before.gate.clone(), before.meant.clone()),
            None => (GateWays::of(&draft), words::meant(ground, &draft)),
        };
        let kept = before.iter().flat_map(|before| &before.kept);
        let mut kept: Vec<(usize, Draft)> = kept.filter(|(count, _)| *count <= at).cloned().collect();
        for seat in seats.iter().skip(at) {
            // Those further back would be let go again before the last seat: a draft is dear to copy.
            let is_near = at + (KEPT + 2) * STEP >= seats.len();
            let is_last = at + 1 == seats.len();
            if at == 0 || (at.is_multiple_of(STEP) && is_near) || is_last {
                keep(&mut kept, at, &draft);
            }
            seats::seat(&mut draft, seat);
            at += 1;
        }
        Self { draft, seats, gate, meant, kept }
    }

    /// The one with the most seats up to so many.
    fn at_most(&self, seats: usize) -> Option<(usize, &Draft)> {
        if self.seats.len() <= seats {
            return Some((self.seats.len(), &self.draft));
        }
        self.kept.iter().rfind(|(count, _)| *count <= seats).map(|(count, draft)| (*count, draft))
    }
}

/// Keeps a draft to go back to; of the others the first, and those a whole step apart that are latest.
fn keep(kept: &mut Vec<(usize, Draft)>, at: usize, draft: &Draft) {
    kept.retain(|(count, _)| count.is_multiple_of(STEP) && *count != at);
    kept.push((at, draft.clone()));
    if kept.len() > KEPT + 2 {
        kept.remove(1);
    }
}
