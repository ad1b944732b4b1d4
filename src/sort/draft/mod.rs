//! The race: ewes come one at a time, and each must be told her pen at once, for good.
//!
//! [`Draft::answer`] says where a ewe should go, knowing only those who came before her; [`Draft::place`] puts her
//! where the shepherd truly sent her, which may be another pen. Between the two, and every ten ewes, the plan for
//! the rest is made anew.
//!
//! | file | what |
//! |---|---|
//! | `prior` | what is believed before the first ewe: records, last year's list, print |
//! | `belief` | the same, learnt as ewes pass |
//! | `figures` | ewes as numbers for the kernel |
//! | `tie` | ewes who must, or must not, share a pen |
//! | `room` | who moves so that a ewe who is held has a place |
//! | `words` | the reason, in a line |
//! | `outcome` | what the draft came to, beside the sort that knows all |

mod belief;
mod figures;
mod outcome;
mod prior;
mod room;
mod tie;
mod words;

pub use outcome::{FEW_MOVES, Outcome, outcome};
pub use prior::{Source, is_of_earlier_year};
pub use room::Move;

use crate::day::Day;
use crate::flock::{AgeClass, Due, Ewe};
use crate::pen::Pen;
use crate::problem::Problem;
use crate::solve::instance::RESOURCES;
use crate::solve::online::{Ahead, Company, Effort, Item, Offer, Online};
use crate::sort::apart::Apart;
use crate::sort::gaps::Flock;
use crate::sort::plan::{self, NotSorted, PlannedEwe};
use crate::sort::settings::Settings;
use belief::{AtGate, Belief};
use figures::Figures;
use prior::Prior;
use std::borrow::Cow;
use std::sync::Arc;
use tie::{Tied, Ties};

/// The rest is planned again after so many ewes: by trial in a prototype, every 10 was better than every 25. While
/// little has been seen each ewe tells more, so it is done oftener: up to so many ewes, every so many.
const EVERY: [(usize, usize); 3] = [(20, 2), (60, 5), (usize::MAX, 10)];
/// The plan is made from nothing after so many ewes, and whenever twice as many have come.
const ANEW_FROM: usize = 40;
/// So many of the sample stand for one ewe, within limits: by trial in a prototype four times was better than once,
/// there with a sample drawn at random; this one is counted off evenly, so that a few hundred tell as much.
const TIMES: usize = 4;
const SAMPLE: [usize; 2] = [40, 400];
/// Where fewer than so many are still to come after her, every pen is tried with her in it: by trial on invented
/// flocks, no source.
const LAST_FEW: usize = 20;

/// What is known before the first ewe.
#[derive(Debug, Clone, Default)]
pub struct Known {
    /// Last year's flock list, or this season's records.
    pub list: Option<Vec<Ewe>>,
    /// How many ewes in lamb will come.
    pub expected: usize,
    /// How many of them are ewe lambs. It must be known where they are kept apart: no way of drafting can open the
    /// right pens for a kind of which it may be that none, or that half of the flock, is still to come.
    pub ewe_lambs: usize,
    /// The first day that anybody is due, where the mating groups tell it.
    pub first_due: Option<Day>,
    /// How many ways the gate has, where they are fewer than the pens.
    pub ways: Option<usize>,
}

/// A pen for a ewe.
#[derive(Debug, Clone)]
pub struct PenAnswer {
    /// The pen, by position.
    pub pen: usize,
    /// The way of the gate, from 0, where the gate has fewer ways than there are pens.
    pub way: Option<usize>,
    /// Her misfit at the pen's planned levels, weighted MJ over the period.
    pub loss_mj: f64,
    /// What the room that she takes is worth to those still to come, weighted MJ over the period.
    pub room_mj: f64,
    /// The next best pen.
    pub runner_up: Option<RunnerUp>,
    /// How many more like her the pen has places for once she is in.
    pub places_left: usize,
    /// Her need on each axis of [`Draft::axes`].
    pub need: Vec<f64>,
    /// What a unit below and a unit above need count for.
    pub under_over: [f64; 2],
    /// Why, in a line.
    pub reason: String,
    /// The ewe, ready to be sorted.
    pub ewe: PlannedEwe,
}

/// The next best pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunnerUp {
    /// The pen, by position.
    pub pen: usize,
    /// Her misfit there, weighted MJ over the period.
    pub loss_mj: f64,
    /// What her room there is worth to the rest.
    pub room_mj: f64,
    /// Whether sending her there may leave somebody later without a place.
    pub risky: bool,
}

/// A ewe who can go nowhere within the limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Her tag.
    pub tag: String,
    /// Her row in the list.
    pub row: u32,
}

/// What to do with a ewe.
#[derive(Debug, Clone)]
pub enum Answer {
    /// She goes to a pen.
    Pen(Box<PenAnswer>),
    /// Hold her: no pen can take her within its limits. [`Draft::why_held`] says why.
    Hold(Held),
    /// She is not sorted: barren, not scanned, or her date cannot be right.
    Apart(Box<Apart>, Option<Box<Problem>>),
    /// She has been through already and stands in this pen.
    Already(usize),
}

/// Why a ewe cannot be put into a pen.
#[derive(Debug, Clone, PartialEq)]
pub struct CannotPlace {
    /// In words.
    pub why: String,
}

/// A draft under way.
#[derive(Debug, Clone)]
pub struct Draft {
    settings: Settings,
    pens: Vec<Pen>,
    days: Vec<Day>,
    belief: Belief,
    figures: Figures,
    online: Online,
    allowed: [u64; 3],
    ties: Ties,
    ways: Option<Vec<usize>>,
    /// Shared with the copies that are kept to go back to.
    placed: Vec<(Arc<PlannedEwe>, usize)>,
    /// Their places in that list, by tag.
    by_tag: Vec<usize>,
    held: Vec<Held>,
    set_apart: Vec<Apart>,
}

impl Draft {
    /// Before the first ewe.
    pub fn new(pens: Vec<Pen>, known: Known, settings: &Settings) -> Self {
        let prior = Prior::new(known.list.as_deref(), known.first_due, settings);
        let days = plan::period(settings, prior.first_due);
        let settings = Settings { keep: Vec::new(), ..settings.clone() };
        let mut belief = Belief::new(prior, (known.expected, known.ewe_lambs), days.clone(), &settings);
        let (figures, frame) = Figures::new(&belief.outline(), &pens, &settings, known.expected.max(1));
        belief.fill(&figures);
        let closed = |pen: &Pen| settings.out_of_use.contains(&pen.name);
        let allowed = AgeClass::ALL.map(|age| {
            let open = pens.iter().take(frame.bins.len()).enumerate();
            open.filter(|(_, pen)| pen.takes(age) && !closed(pen)).fold(0, |mask, (pen, _)| mask | 1 << pen)
        });
        let mut draft = Self {
            ties: Ties::new(&settings),
            online: Online::new(frame),
            settings,
            pens,
            days,
            belief,
            figures,
            allowed,
            ways: None,
            placed: Vec::new(),
            by_tag: Vec::new(),
            held: Vec::new(),
            set_apart: Vec::new(),
        };
        draft.replan(Effort::FIRST);
        if let Some(ways) = known.ways.filter(|&ways| ways < draft.pens.len()) {
            draft.ways = Some(draft.online.ways(&draft.sample(AtGate::NOBODY), ways));
        }
        draft
    }

    /// Where a ewe should go, knowing those who came before her.
    pub fn answer(&self, ewe: &Ewe) -> Answer {
        if let Ok(&(_, pen)) = self.stands(&ewe.tag) {
            return Answer::Already(pen);
        }
        let planned = match self.ready(ewe) {
            Ok(planned) => planned,
            Err(why) => return Answer::Apart(Box::new(why.apart), why.problem.map(Box::new)),
        };
        let held = || Answer::Hold(Held { tag: ewe.tag.clone(), row: ewe.row });
        let Some(mut item) = self.item(&planned) else { return held() };
        let tied = self.ties.of(&ewe.tag, &self.belief);
        item.allowed &= tied.mask;
        let online = &*self.released(&tied);
        let mut future = self.belief.future(&self.allowed);
        // She herself is no longer to come, nor are those for whom room is kept.
        future.total = future.total.saturating_sub(1 + self.ties.waiting());
        if let Some(class) = future.classes.get_mut(planned.filled.age as usize) {
            class.count = (class.count - 1.0).max(0.0);
        }
        let offers = if future.total < LAST_FEW {
            let rest = self.sample(self.belief.at_gate(&planned));
            online.offers_ahead(&item, &tied.company, &future, (&rest, future.total), Ahead::LAST)
        } else {
            online.offers(&item, &tied.company, &future)
        };
        let Some(best) = offers.first() else { return held() };
        let runner_up = offers.get(1).map(|offer| RunnerUp {
            pen: offer.bin,
            loss_mj: offer.loss,
            room_mj: offer.price,
            risky: offer.risk > best.risk.max(1),
        });
        let places_left = self.places_left(online, &item, best);
        Answer::Pen(Box::new(PenAnswer {
            pen: best.bin,
            way: self.ways.as_ref().and_then(|ways| ways.get(best.bin).copied()),
            loss_mj: best.loss,
            room_mj: best.price,
            runner_up,
            places_left,
            reason: words::reason(self, &planned, (best, runner_up), places_left),
            under_over: item.slopes,
            need: item.need,
            ewe: planned,
        }))
    }

    /// The pens as a ewe finds them: room that is kept for her is hers to use.
    fn released(&self, tied: &Tied) -> Cow<'_, Online> {
        let mut online = Cow::Borrowed(&self.online);
        if let Some((pen, company)) = &tied.kept {
            online.to_mut().release(company, *pen);
        }
        online
    }

    /// Puts a ewe where she went, be it the pen that was answered or another. Refused, and nothing changed,
    /// where that would break a limit.
    pub fn place(&mut self, ewe: &Ewe, pen: usize) -> Result<(), CannotPlace> {
        self.put(ewe, pen, false)
    }

    /// Puts a ewe where she stands already, also where the pen has no room for her: it is full then, and nobody else
    /// is told it. Refused, and nothing changed, where the pen takes none like her.
    pub fn place_over(&mut self, ewe: &Ewe, pen: usize) -> Result<(), CannotPlace> {
        self.put(ewe, pen, true)
    }

    fn put(&mut self, ewe: &Ewe, pen: usize, over: bool) -> Result<(), CannotPlace> {
        let by_tag = match self.stands(&ewe.tag) {
            Err(place) => place,
            Ok((_, pen)) => {
                let why = format!("{} stands in pen {} already.", ewe.tag, self.pens[*pen].name);
                return Err(CannotPlace { why });
            }
        };
        let planned = self.ready(ewe).map_err(|why| CannotPlace { why: why.apart.why })?;
        let Some(item) = self.item(&planned) else {
            return Err(CannotPlace { why: "There is no pen.".to_owned() });
        };
        let tied = self.ties.of(&ewe.tag, &self.belief);
        if tied.mask >> pen.min(63) & 1 == 0 {
            return Err(CannotPlace {
                why: format!("{} is tied to or kept from ewes who went before her.", ewe.tag),
            });
        }
        if let Some((kept_in, company)) = &tied.kept {
            self.online.release(company, *kept_in);
        }
        let done = if over { Ok(()) } else { self.online.fits(&item, &tied.company, pen) };
        if let Err(why) = done.and_then(|()| self.online.place_over(item.clone(), pen)) {
            if let Some((kept_in, company)) = &tied.kept {
                self.online.keep(company, *kept_in);
            }
            return Err(CannotPlace { why: words::refused(self, why, pen) });
        }
        self.online.keep(&tied.company, pen);
        self.ties.placed(&ewe.tag, pen, &self.belief);
        self.belief.passed(&ewe.tag, true);
        let moved = self.belief.learn(&planned, &item);
        self.by_tag.insert(by_tag, self.placed.len());
        self.placed.push((Arc::new(planned), pen));
        if moved {
            self.belief.fill(&self.figures);
        }
        self.look_ahead(moved);
        Ok(())
    }

    /// A ewe goes to no pen: she is held, or not sorted.
    pub fn pass(&mut self, ewe: &Ewe, answer: &Answer) {
        match answer {
            Answer::Hold(held) => self.held.push(held.clone()),
            Answer::Apart(apart, _) => self.set_apart.push((**apart).clone()),
            Answer::Pen(_) | Answer::Already(_) => return,
        }
        if let Some((pen, company)) = self.ties.of(&ewe.tag, &self.belief).kept {
            self.online.release(&company, pen);
        }
        self.ties.gone(&ewe.tag);
        self.belief.passed(&ewe.tag, matches!(answer, Answer::Hold(_)));
        self.look_ahead(false);
    }

    /// A ewe goes to no pen and stands in one all the same, where none like her may be: her room there is gone.
    pub fn pass_in(&mut self, ewe: &Ewe, pen: usize, answer: &Answer) {
        if let Ok(planned) = self.ready(ewe) {
            let room = planned.room.iter().map(|room| room.map(u64::from)).collect();
            self.online.keep(&Company { head: 1, room }, pen);
        }
        self.pass(ewe, answer);
    }

    fn look_ahead(&mut self, moved: bool) {
        let counted = self.belief.counted();
        let doubled = counted >= ANEW_FROM
            && counted.is_multiple_of(ANEW_FROM)
            && (counted / ANEW_FROM).is_power_of_two();
        // The last few are each told by the plan: it must be the newest.
        let last = self.belief.rest() <= LAST_FEW;
        if doubled || moved {
            self.replan(Effort::AFRESH);
        } else if last
            || EVERY
                .iter()
                .find(|(up_to, _)| counted <= *up_to)
                .is_some_and(|&(_, every)| counted.is_multiple_of(every))
        {
            self.replan(Effort::AGAIN);
        }
    }

    fn replan(&mut self, effort: Effort) {
        let sample = self.sample(AtGate::NOBODY);
        let rest = self.belief.rest();
        self.online.replan(&sample, rest, effort);
    }

    /// A sample of those to come after whoever is at the gate.
    fn sample(&self, gate: AtGate) -> Vec<Item> {
        let rest = self.belief.rest_after(gate);
        if rest == 0 {
            Vec::new()
        } else {
            self.belief.sample((TIMES * rest).clamp(SAMPLE[0], SAMPLE[1]), gate)
        }
    }

    /// A ewe made ready with what is on record, and what the flock so far says of her gaps.
    fn ready(&self, ewe: &Ewe) -> Result<PlannedEwe, Box<NotSorted>> {
        let ewe = self.belief.completed(ewe);
        let gaps = ewe.condition.is_none()
            || ewe.weight.is_none()
            || ewe.age.is_none()
            || matches!(ewe.due, Due::Unknown);
        let placed = self.placed.iter().map(|(placed, _)| &placed.ewe);
        let told: Vec<&Ewe> = if gaps { self.belief.told().chain(placed).collect() } else { Vec::new() };
        let filled = Flock::new(&told, self.settings.system).fill(&ewe);
        let (litter, due) = plan::sortable(&ewe, &filled, &self.settings)?;
        Ok(plan::planned(ewe, litter, filled, due, &self.days, &self.settings))
    }

    fn item(&self, planned: &PlannedEwe) -> Option<Item> {
        self.figures.items(std::slice::from_ref(planned)).pop()
    }

    /// How many more like her go into the pen once she is in.
    fn places_left(&self, online: &Online, item: &Item, offer: &Offer) -> usize {
        let takes = online.frame().bins.get(offer.bin).and_then(|bin| item.room.get(bin.space_type));
        let left = online.left(offer.bin);
        let most = online.left_head(offer.bin).saturating_sub(1);
        takes.map_or(0, |takes| {
            (0..RESOURCES).fold(most, |least, resource| {
                let each = u64::from(takes[resource]).max(1);
                least.min((left[resource].saturating_sub(each) / each) as usize)
            })
        })
    }

    /// The pens, in their order.
    pub fn pens(&self) -> &[Pen] {
        &self.pens
    }

    /// The days of the feeding period.
    pub fn days(&self) -> &[Day] {
        &self.days
    }

    /// The ewes placed so far, each with her pen, in the order in which they came.
    pub fn placed(&self) -> &[(Arc<PlannedEwe>, usize)] {
        &self.placed
    }

    /// Where a ewe who is placed stands, or else her place in the list by tag.
    fn stands(&self, tag: &str) -> Result<&(Arc<PlannedEwe>, usize), usize> {
        let tag_of = |&at: &usize| self.placed.get(at).map(|(placed, _)| placed.ewe.tag.as_str());
        let found = self.by_tag.binary_search_by(|at| tag_of(at).cmp(&Some(tag)))?;
        self.by_tag.get(found).and_then(|&at| self.placed.get(at)).ok_or(found)
    }

    /// Ewes who are held.
    pub fn held(&self) -> &[Held] {
        &self.held
    }

    /// Ewes who are not sorted.
    pub fn set_apart(&self) -> &[Apart] {
        &self.set_apart
    }

    /// The way of each pen, where the gate has fewer ways than there are pens.
    pub fn ways(&self) -> Option<&[usize]> {
        self.ways.as_deref()
    }

    /// The planned levels of a pen, one an axis.
    pub fn levels(&self, pen: usize) -> &[f64] {
        self.online.levels(pen).unwrap_or_default()
    }

    /// What the ewes of a pen take of trough and floor, and what there is, thousandths.
    pub fn room(&self, pen: usize) -> [[u64; RESOURCES]; 2] {
        let there = self.online.frame().bins.get(pen).map_or([0; RESOURCES], |bin| bin.capacity);
        [self.online.used(pen), there]
    }

    /// The axes that needs and levels lie on: what each is of, and what a unit on it counts for.
    pub fn axes(&self) -> Vec<(&'static str, f64)> {
        let frame = self.online.frame();
        frame
            .axes
            .iter()
            .zip(&frame.weight)
            .map(|(axis, &weight)| (figures::family(axis.family), weight))
            .collect()
    }

    /// Where the belief came from.
    pub fn source(&self) -> Source {
        self.belief.prior.source
    }

    /// How many ewes are expected in all.
    pub fn expected(&self) -> usize {
        self.belief.expected()
    }

    /// What a ewe takes in a pen: thousandths of a metre of trough and of a square metre of floor.
    pub fn takes(&self, ewe: &PlannedEwe, pen: usize) -> [u32; RESOURCES] {
        let space_type = self.online.frame().bins.get(pen).map(|bin| bin.space_type);
        space_type.and_then(|space_type| ewe.room.get(space_type)).copied().unwrap_or_default()
    }

    /// The fewest head of a pen in use.
    pub fn least_head(&self) -> u32 {
        self.settings.min_head.max(1)
    }

    /// Pens in use that hold fewer than they must, by position.
    pub fn below_min_head(&self) -> Vec<usize> {
        self.online.below_min_head()
    }
}
