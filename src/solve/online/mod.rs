//! Items that come one at a time and must be given a bin at once, for good.
//!
//! Whoever asks keeps a picture of the items that are still to come: a sample of them, each standing for so many
//! ([`Online::replan`]), and how many of each class there may be and how large ([`Future`]). From the sample a
//! plan is made of what is placed, what is to come and the room that is left; it gives every bin its levels and
//! a price, which is what giving away its room costs the plan. An item goes where its own loss and the price are
//! least.
//!
//! | file | what |
//! |---|---|
//! | `plan` | the plan: levels and prices |
//! | `start` | where a plan starts: from the last, or from nothing |
//! | `price` | what a place in a bin is worth to those still to come |
//! | `ahead` | where little is to come: the plan tried with the item in each bin |
//! | `ways` | bins that share a way of the gate |
//! | `shift` | making room for an item that finds none |
//! | `guard` | which bins may be given away without leaving somebody without a place later |
//!
//! No answer ever breaks a limit of room, heads, kinds or masks: that is checked in whole units against what is
//! placed, whatever the plan says. Who asks may place over room and heads ([`Online::place_over`]). That a bin in use also reaches its fewest items can only be looked after as
//! far as those who are expected truly come; [`Online::below_min_head`] says where it did not.

mod ahead;
mod guard;
mod plan;
mod price;
mod shift;
mod start;
mod ways;

pub use ahead::Ahead;
pub use guard::{Class, Future};
pub use plan::Effort;
pub use shift::Shift;

use crate::arrange::Arrange as _;
use crate::solve::instance::{Axis, Bin, Instance, RESOURCES, Room, Slopes};
use plan::Aims;
use std::sync::Arc;

/// What does not change while items come.
#[derive(Debug, Clone)]
pub struct Frame {
    /// The axes: leading ones first.
    pub axes: Vec<Axis>,
    /// What a unit on each axis counts for.
    pub weight: Vec<f64>,
    /// How many axes lead.
    pub leading: usize,
    /// The bins.
    pub bins: Vec<Bin>,
    /// What an item more or fewer than a bin's fair head costs.
    pub even: f64,
}

/// An item that comes, or may come.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Need, one figure an axis.
    pub need: Vec<f64>,
    /// What a unit below need and above it counts for on the leading axes.
    pub slopes: [f64; 2],
    /// What it takes, by space type.
    pub room: Vec<Room>,
    /// Its kind: 0 or 1.
    pub kind: u8,
    /// Bins that it may go to, as a bit mask.
    pub allowed: u64,
}

/// Room kept for items that must later follow another into its bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Company {
    /// How many.
    pub head: usize,
    /// What they take in all, by space type.
    pub room: Vec<[u64; RESOURCES]>,
}

impl Company {
    /// Nobody.
    pub const NONE: Self = Self { head: 0, room: Vec::new() };

    fn in_type(&self, space_type: usize) -> [u64; RESOURCES] {
        self.room.get(space_type).copied().unwrap_or_default()
    }
}

/// A bin that an item could go to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// The bin.
    pub bin: usize,
    /// The item's own loss at the bin's planned levels.
    pub loss: f64,
    /// What giving away the room costs the plan.
    pub price: f64,
    /// How sure it is that whoever is still to come finds a place after it: 0 surest.
    pub risk: usize,
    /// Where the bin is empty and two kinds want bins: how much less sure it is than the surest empty one.
    pub rash: usize,
}

/// Why an item was not placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoPlace {
    /// There is no such bin.
    NoSuchBin,
    /// The item may not go to the bin, or the bin holds another kind.
    NotHere,
    /// The bin holds as many as it may.
    Head,
    /// The bin lacks room in this resource.
    Room(usize),
}

/// A bin as it stands.
#[derive(Debug, Clone, Default)]
struct Stand {
    members: Vec<usize>,
    used: [u64; RESOURCES],
    kept_head: usize,
    kept: [u64; RESOURCES],
    kind: Option<u8>,
}

/// Items placed so far, and the plan for the rest.
#[derive(Debug, Clone)]
pub struct Online {
    frame: Frame,
    /// Shared with the copies that are kept to go back to.
    items: Vec<Arc<Item>>,
    stands: Vec<Stand>,
    aims: Aims,
}

/// Whatever is no riskier than this is as good as sure.
const SURE_ENOUGH: usize = 1;

impl Online {
    /// Nobody placed, nothing planned.
    pub fn new(frame: Frame) -> Self {
        let stands = vec![Stand::default(); frame.bins.len().min(Instance::MOST_BINS)];
        Self { frame, items: Vec::new(), stands, aims: Aims::default() }
    }

    /// What does not change.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// How many stand in a bin.
    pub fn head(&self, bin: usize) -> usize {
        self.stands.get(bin).map_or(0, |stand| stand.members.len())
    }

    /// How much of each resource is left in a bin, room that is kept not counted as left.
    pub fn left(&self, bin: usize) -> [u64; RESOURCES] {
        let (Some(stand), Some(limits)) = (self.stands.get(bin), self.frame.bins.get(bin)) else {
            return [0; RESOURCES];
        };
        std::array::from_fn(|resource| {
            let taken = stand.used[resource].saturating_add(stand.kept[resource]);
            limits.capacity[resource].saturating_sub(taken)
        })
    }

    /// What the items of a bin take.
    pub fn used(&self, bin: usize) -> [u64; RESOURCES] {
        self.stands.get(bin).map_or([0; RESOURCES], |stand| stand.used)
    }

    /// How many heads are left in a bin.
    pub fn left_head(&self, bin: usize) -> usize {
        let (Some(stand), Some(limits)) = (self.stands.get(bin), self.frame.bins.get(bin)) else { return 0 };
        limits.max_head.saturating_sub(stand.members.len() + stand.kept_head)
    }

    /// The levels that a bin is planned to have, one an axis; nothing before the first plan.
    pub fn levels(&self, bin: usize) -> Option<&[f64]> {
        let axes = self.frame.axes.len();
        self.aim()?.levels.get(bin * axes..(bin + 1) * axes)
    }

    /// Bins in use that hold fewer than they must.
    pub fn below_min_head(&self) -> Vec<usize> {
        (0..self.stands.len()).filter(|&bin| guard::lacks(self, bin) > 0).collect()
    }

    /// The loss of an item at the planned levels of a bin; 0 before the first plan.
    pub fn loss(&self, item: &Item, bin: usize) -> f64 {
        let Some(levels) = self.levels(bin) else { return 0.0 };
        let [under, over] = item.slopes;
        let mut loss = 0.0;
        for (axis, ((need, level), weight)) in
            item.need.iter().zip(levels).zip(&self.frame.weight).enumerate()
        {
            let [under, over] = if axis < self.frame.leading { [under, over] } else { [1.0; 2] };
            loss += weight * (under * (need - level).max(0.0) + over * (level - need).max(0.0));
        }
        loss
    }

    /// Whether an item, and whoever must follow it, may go to a bin.
    pub fn fits(&self, item: &Item, company: &Company, bin: usize) -> Result<(), NoPlace> {
        self.is_taken_by(item, bin)?;
        if 1 + company.head > self.left_head(bin) {
            return Err(NoPlace::Head);
        }
        let (takes, left) = (self.takes(item, bin, company), self.left(bin));
        match (0..RESOURCES).find(|&resource| takes[resource] > left[resource]) {
            Some(resource) => Err(NoPlace::Room(resource)),
            None => Ok(()),
        }
    }

    /// Whether a bin takes an item at all, room or no room.
    fn is_taken_by(&self, item: &Item, bin: usize) -> Result<(), NoPlace> {
        let (Some(stand), Some(limits)) = (self.stands.get(bin), self.frame.bins.get(bin)) else {
            return Err(NoPlace::NoSuchBin);
        };
        let is_of_kind = stand.kind.is_none_or(|kind| kind == item.kind);
        let takes = item.allowed >> bin & 1 == 1 && is_of_kind && item.room.get(limits.space_type).is_some();
        if takes { Ok(()) } else { Err(NoPlace::NotHere) }
    }

    /// The bins that an item could go to, the best first. How sure it is that all to come still find a place goes
    /// before what anything costs, but for what is sure enough. Empty where no limit allows any.
    pub fn offers(&self, item: &Item, company: &Company, future: &Future) -> Vec<Offer> {
        let mut offers: Vec<Offer> = (0..self.stands.len())
            .filter(|&bin| self.fits(item, company, bin).is_ok())
            .map(|bin| Offer {
                bin,
                loss: self.loss(item, bin),
                price: self.aim().map_or(0.0, |aim| aim.price(&self.frame, item, bin)),
                risk: guard::risk(self, item, company, bin, future),
                rash: 0,
            })
            .collect();
        if future.is_of_two_kinds() {
            self.weigh_openings(item, company, future, &mut offers);
        }
        offers.arrange_by(|a, b| {
            self.rank(item, a)
                .cmp(&self.rank(item, b))
                .then((a.loss + a.price).total_cmp(&(b.loss + b.price)))
                .then(a.bin.cmp(&b.bin))
        });
        offers
    }

    /// An empty bin is a kind's for good once it is opened: which of them is weighed in finer steps.
    fn weigh_openings(&self, item: &Item, company: &Company, future: &Future, offers: &mut [Offer]) {
        let fine: Vec<Option<usize>> = offers
            .iter()
            .map(|offer| {
                let opens = self.stands[offer.bin].members.is_empty();
                opens.then(|| match offer.risk {
                    0..=SURE_ENOUGH => 4 * SURE_ENOUGH,
                    risk => guard::risk_in_quarters(self, (item, company), offer.bin, future, risk),
                })
            })
            .collect();
        let surest = fine.iter().flatten().copied().min().unwrap_or(0);
        for (offer, fine) in offers.iter_mut().zip(fine) {
            offer.rash = fine.map_or(0, |fine| fine - surest);
        }
    }

    /// What goes before all costs: that nobody is left out later, and that a bin meant for another kind is kept
    /// for it.
    fn rank(&self, item: &Item, offer: &Offer) -> (usize, usize, bool) {
        let strange = self.aim().is_some_and(|aim| !aim.is_for(offer.bin, item.kind));
        (offer.risk.max(SURE_ENOUGH), offer.rash, strange)
    }

    /// Puts an item into a bin; refused where that would break a limit.
    pub fn place(&mut self, item: Item, bin: usize) -> Result<(), NoPlace> {
        self.fits(&item, &Company::NONE, bin)?;
        self.place_over(item, bin)
    }

    /// Puts an item where it stands already, room or no room: nothing is left of a bin that is over. Refused where
    /// the bin takes none like it.
    pub fn place_over(&mut self, item: Item, bin: usize) -> Result<(), NoPlace> {
        self.is_taken_by(&item, bin)?;
        self.items.push(Arc::new(item));
        self.seat(self.items.len() - 1, bin)
    }

    /// Puts an item that is known and stands nowhere into a bin.
    fn put(&mut self, number: usize, bin: usize) -> Result<(), NoPlace> {
        let item = self.items.get(number).ok_or(NoPlace::NotHere)?;
        self.fits(item, &Company::NONE, bin)?;
        self.seat(number, bin)
    }

    fn seat(&mut self, number: usize, bin: usize) -> Result<(), NoPlace> {
        let item = self.items.get(number).ok_or(NoPlace::NotHere)?;
        let takes = self.takes(item, bin, &Company::NONE);
        let kind = item.kind;
        let stand = self.stands.get_mut(bin).ok_or(NoPlace::NoSuchBin)?;
        for (sum, part) in stand.used.iter_mut().zip(takes) {
            *sum += part;
        }
        stand.members.push(number);
        stand.kind = Some(kind);
        Ok(())
    }

    /// Keeps room in a bin for those who must follow into it, or who stand there and are no items.
    pub fn keep(&mut self, company: &Company, bin: usize) {
        if let (Some(stand), Some(limits)) = (self.stands.get_mut(bin), self.frame.bins.get(bin)) {
            stand.kept_head += company.head;
            for (sum, part) in stand.kept.iter_mut().zip(company.in_type(limits.space_type)) {
                *sum = sum.saturating_add(part);
            }
        }
    }

    /// Gives kept room free again.
    pub fn release(&mut self, company: &Company, bin: usize) {
        if let (Some(stand), Some(limits)) = (self.stands.get_mut(bin), self.frame.bins.get(bin)) {
            stand.kept_head = stand.kept_head.saturating_sub(company.head);
            for (sum, part) in stand.kept.iter_mut().zip(company.in_type(limits.space_type)) {
                *sum = sum.saturating_sub(part);
            }
        }
    }

    /// The slopes of a list of items, short where all are alike.
    fn slopes_of(items: &[Item]) -> Slopes {
        match items.first() {
            Some(first) if items.iter().all(|item| item.slopes == first.slopes) => Slopes::Same(first.slopes),
            _ => Slopes::Each(items.iter().map(|item| item.slopes).collect()),
        }
    }
}
