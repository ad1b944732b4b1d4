//! Who moves so that a ewe who is held has a place.
//!
//! Pens are given away while sizes and numbers of those to come are guesses; the last ewe may find every pen a hand
//! too short. Then one ewe more who moves, or two who change places, is mostly all that it takes.

use crate::flock::Ewe;
use crate::solve::online::{Company, Item, Shift};
use crate::sort::draft::{CannotPlace, Draft, words};

/// A ewe who moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// Her tag.
    pub tag: String,
    /// The pen that she stands in, by position.
    pub from: usize,
    /// The pen that she goes to, by position.
    pub to: usize,
}

impl Draft {
    /// Why a ewe is held, and who could move for her. Who could is looked for among all pairs of ewes: to be asked where
    /// somebody reads it.
    pub fn why_held(&self, ewe: &Ewe) -> String {
        let Ok(planned) = self.ready(ewe) else { return String::new() };
        let Some(mut item) = self.item(&planned) else { return "there is no pen".to_owned() };
        let tied = self.ties.of(&ewe.tag, &self.belief);
        item.allowed &= tied.mask;
        words::hold(self, &self.released(&tied), &planned, &item, &tied.company)
    }

    /// The moves that give a ewe who is held a place, and the pen where it is. Nothing where no single move, and no
    /// two ewes who change places, make one. Ewes tied to others are left where they are.
    pub fn room_for(&self, ewe: &Ewe) -> Option<(Vec<Move>, usize)> {
        let planned = self.ready(ewe).ok()?;
        let mut item = self.item(&planned)?;
        let tied = self.ties.of(&ewe.tag, &self.belief);
        item.allowed &= tied.mask;
        self.moves_for(&item, &tied.company)
    }

    pub(super) fn moves_for(&self, item: &Item, company: &Company) -> Option<(Vec<Move>, usize)> {
        let is_free =
            |number: usize| self.placed.get(number).is_some_and(|(ewe, _)| self.ties.is_free(&ewe.ewe.tag));
        let (shifts, pen) = self.online.room_by_shifts(item, company, is_free)?;
        let moves = shifts
            .into_iter()
            .filter_map(|shift| {
                let tag = self.placed.get(shift.item)?.0.ewe.tag.clone();
                Some(Move { tag, from: shift.from, to: shift.to })
            })
            .collect();
        Some((moves, pen))
    }

    /// Moves ewes who are placed, all together. Refused, and nothing changed, where that would break a limit.
    pub fn shift(&mut self, moves: &[Move]) -> Result<(), CannotPlace> {
        let mut shifts = Vec::with_capacity(moves.len());
        for one in moves {
            let place = self.placed.iter().position(|(ewe, pen)| ewe.ewe.tag == one.tag && *pen == one.from);
            match place {
                Some(item) if self.ties.is_free(&one.tag) => {
                    shifts.push(Shift { item, from: one.from, to: one.to })
                }
                Some(_) => {
                    let why = format!("{} must share a pen with others, or be kept from them.", one.tag);
                    return Err(CannotPlace { why });
                }
                None => return Err(CannotPlace { why: format!("{} does not stand there.", one.tag) }),
            }
        }
        if let Err(why) = self.online.follow(&shifts) {
            let pen = shifts.first().map_or(0, |shift| shift.to);
            return Err(CannotPlace { why: words::refused(self, why, pen) });
        }
        for shift in shifts {
            if let Some((_, pen)) = self.placed.get_mut(shift.item) {
                *pen = shift.to;
            }
        }
        Ok(())
    }
}
