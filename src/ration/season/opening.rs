//! Change-overs begun a week earlier with what is left of a short forage.
//!
//! Whole weeks do not use up a store to the kg, nor do rations that are weighed out eat what was reckoned. With what is
//! left, pens begin their change-over in the week before: where it saves most first.

use super::change::kg;
use super::{Fed, NEAR_KG, Spell, alone};
use crate::ration::settle::Ration;

/// Share of the store of a forage that may stay unused where a pen could have it (chosen here; common practice, no
/// source).
const LEFT: f64 = 0.005;

/// What the change-overs come to.
pub(super) struct Changes {
    /// What a kg more of each feed would be worth, pence; 0 where it is not short.
    pub(super) worth: Vec<f64>,
    /// Weeks before a change-over that could begin it with what stays in the store, those that save most by the kg first.
    pub(super) openings: Vec<Opening>,
}

/// A pen's week before its change-over.
pub(super) struct Opening {
    pub(super) feed: usize,
    pub(super) pen: usize,
    pub(super) week: usize,
    pub(super) spell: usize,
    /// How much it would take, kg.
    pub(super) kg: f64,
    /// How much it may have, kg.
    pub(super) given: f64,
    pub(super) worth: f64,
}

impl Opening {
    fn is_full(&self) -> bool {
        self.given >= self.kg - NEAR_KG
    }
}

impl Changes {
    /// Lets pens begin their change-over a week earlier with what the rations found have left of it; which feeds it
    /// was. So each pen still goes over once: in that week it has some, and from the next on as much as it takes.
    pub(super) fn begin_earlier(
        &mut self,
        spells: &mut [Spell],
        rations: &mut [Option<Box<Ration>>],
        fed: &[Fed],
        stocks: &[Option<f64>],
    ) -> Vec<usize> {
        let mut opened = Vec::new();
        let mut fresh: Vec<usize> = Vec::new();
        for (feed, stock) in stocks.iter().enumerate() {
            let Some(stock) = stock.filter(|stock| *stock > 0.0) else { continue };
            let drawn = |place: usize, spell: &Spell| {
                spell.ewe_days * fed.get(place).map_or(0.0, |fed| kg(fed.ration(), feed))
            };
            let all: f64 = spells.iter().enumerate().map(|(place, spell)| drawn(place, spell)).sum();
            let mut left = stock - all;
            while left > LEFT * stock {
                // What may have some and took none will not take more.
                let is_refused = |own: &Opening| {
                    let took = spells.get(own.spell).map_or(0.0, |spell| drawn(own.spell, spell));
                    own.given > 0.0 && took <= NEAR_KG && !fresh.contains(&own.spell)
                };
                let is_next = |own: &Opening| {
                    let after = self.openings.iter().filter(|other| {
                        (other.feed, other.pen) == (own.feed, own.pen) && other.week > own.week
                    });
                    own.feed == feed
                        && !own.is_full()
                        && !is_refused(own)
                        && after.clone().all(Opening::is_full)
                };
                let Some(place) = self.openings.iter().position(is_next) else { break };
                let Some(opening) = self.openings.get_mut(place) else { break };
                let more = left.min(opening.kg - opening.given);
                opening.given += more;
                fresh.push(opening.spell);
                left -= more;
                if let Some(spell) = spells.get_mut(opening.spell) {
                    spell.asked.held.out.retain(|out| *out != feed);
                    if let Some(most) = spell.asked.held.most.get_mut(feed) {
                        *most = if opening.is_full() {
                            f64::INFINITY
                        } else {
                            opening.given / spell.ewe_days.max(1.0)
                        };
                    }
                }
                if !opened.contains(&feed) {
                    opened.push(feed);
                }
            }
        }
        if !opened.is_empty() {
            let found = alone(spells);
            for (own, found) in rations.iter_mut().zip(found) {
                *own = found;
            }
        }
        opened
    }
}
