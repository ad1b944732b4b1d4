//! Making room for an item that finds none: one item moves on, or two change places.
//!
//! What has come is not certain, so somebody may find no place although the bins could hold all. Mostly a bin then
//! lacks a hair: room is left, but in pieces.

use crate::solve::instance::RESOURCES;
use crate::solve::online::{Company, Item, NoPlace, Online};

/// An item that moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shift {
    /// The item, by the order in which items were placed.
    pub item: usize,
    /// From this bin
    pub from: usize,
    /// to this.
    pub to: usize,
}

impl Online {
    /// The shifts that give an item, with whoever must follow it, a place, and which place: one item to another bin in
    /// use, or else two that change places; of these what costs least at the planned levels. Only those are moved
    /// for whom `may_move` holds. Nothing where neither makes room.
    pub fn room_by_shifts(
        &self,
        item: &Item,
        company: &Company,
        may_move: impl Fn(usize) -> bool,
    ) -> Option<(Vec<Shift>, usize)> {
        let mut one: Option<(f64, Vec<Shift>, usize)> = None;
        let mut two = None;
        let keep = |best: &mut Option<(f64, Vec<Shift>, usize)>, cost: f64, shifts: &[Shift], bin: usize| {
            if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                *best = Some((cost, shifts.to_vec(), bin));
            }
        };
        for bin in 0..self.stands.len() {
            let need = self.takes(item, bin, company);
            let head = 1 + company.head;
            for &goes in self.stands[bin].members.iter().filter(|&&member| may_move(member)) {
                if !self.is_open_to(item, bin, Some(goes)) {
                    continue;
                }
                let out = &self.items[goes];
                let freed = self.takes(out, bin, &Company::NONE);
                // A bin that nobody uses stays empty: one alone would be too few.
                for to in
                    (0..self.stands.len()).filter(|&to| to != bin && !self.stands[to].members.is_empty())
                {
                    let onward = Shift { item: goes, from: bin, to };
                    let cost = self.loss(item, bin) + self.loss(out, to) - self.loss(out, bin);
                    let takes = self.takes(out, to, &Company::NONE);
                    if self.is_open_to(out, to, None)
                        && self.has_heads(bin, 1, head)
                        && self.has_heads(to, 0, 1)
                        && self.covers(bin, freed, need)
                        && self.covers(to, [0; RESOURCES], takes)
                    {
                        keep(&mut one, cost, &[onward], bin);
                    }
                    if one.is_some() || !self.has_heads(bin, 0, head) || !self.has_heads(to, 0, 0) {
                        continue;
                    }
                    for &comes in self.stands[to].members.iter().filter(|&&member| may_move(member)) {
                        let back = &self.items[comes];
                        let beside = self.takes(back, bin, &Company::NONE);
                        let both = std::array::from_fn(|resource| need[resource] + beside[resource]);
                        if back.kind == item.kind
                            && self.is_open_to(back, bin, Some(goes))
                            && self.is_open_to(out, to, Some(comes))
                            && self.covers(bin, freed, both)
                            && self.covers(to, self.takes(back, to, &Company::NONE), takes)
                        {
                            let cost = cost + self.loss(back, bin) - self.loss(back, to);
                            keep(&mut two, cost, &[onward, Shift { item: comes, from: to, to: bin }], bin);
                        }
                    }
                }
            }
        }
        one.or(two).map(|(_, shifts, bin)| (shifts, bin))
    }

    /// Moves items; refused, and nothing changed, where that would break a limit.
    pub fn follow(&mut self, shifts: &[Shift]) -> Result<(), NoPlace> {
        // What is aimed at was found for the bins as they stood.
        self.aim();
        let before = self.stands.clone();
        let done = shifts.iter().try_for_each(|shift| self.lift(shift.item, shift.from));
        let done = done.and_then(|()| shifts.iter().try_for_each(|shift| self.put(shift.item, shift.to)));
        if done.is_err() {
            self.stands = before;
        }
        done
    }

    fn lift(&mut self, number: usize, bin: usize) -> Result<(), NoPlace> {
        let takes = self.items.get(number).map(|item| self.takes(item, bin, &Company::NONE));
        let stand = self.stands.get_mut(bin).ok_or(NoPlace::NoSuchBin)?;
        let place = stand.members.iter().position(|&member| member == number).ok_or(NoPlace::NotHere)?;
        stand.members.remove(place);
        for (sum, part) in stand.used.iter_mut().zip(takes.unwrap_or_default()) {
            *sum = sum.saturating_sub(part);
        }
        if stand.members.is_empty() {
            stand.kind = None;
        }
        Ok(())
    }

    /// Whether an item may go to a bin once somebody has left it, room or no room.
    fn is_open_to(&self, item: &Item, bin: usize, leaver: Option<usize>) -> bool {
        let stand = &self.stands[bin];
        let kind = stand.kind.filter(|_| stand.members.iter().any(|&member| Some(member) != leaver));
        item.allowed >> bin & 1 == 1 && kind.is_none_or(|kind| kind == item.kind)
    }

    /// What an item takes in a bin, with whoever must follow it.
    pub(super) fn takes(&self, item: &Item, bin: usize, company: &Company) -> [u64; RESOURCES] {
        let space_type = self.frame.bins.get(bin).map_or(0, |bin| bin.space_type);
        let own = item.room.get(space_type).copied().unwrap_or_default();
        let beside = company.in_type(space_type);
        std::array::from_fn(|resource| u64::from(own[resource]) + beside[resource])
    }

    /// Whether a bin has room for a need once something is freed there: in one that is over nothing is, before it
    /// is over no more.
    fn covers(&self, bin: usize, freed: [u64; RESOURCES], need: [u64; RESOURCES]) -> bool {
        let (Some(stand), Some(limits)) = (self.stands.get(bin), self.frame.bins.get(bin)) else {
            return false;
        };
        (0..RESOURCES).all(|resource| {
            let taken = stand.used[resource].saturating_add(stand.kept[resource]);
            taken.saturating_sub(freed[resource]).saturating_add(need[resource]) <= limits.capacity[resource]
        })
    }

    /// Whether a bin has heads for those who stand there, for so many gone and so many come.
    fn has_heads(&self, bin: usize, gone: usize, come: usize) -> bool {
        let (Some(stand), Some(limits)) = (self.stands.get(bin), self.frame.bins.get(bin)) else {
            return false;
        };
        stand.members.len() + stand.kept_head + come <= limits.max_head.saturating_add(gone)
    }
}
