//! How good a card is: against the best sort, against one ration for all, and on ewes that it was not found
//! with.

use crate::arrange::Arrange as _;
use crate::pen::{Face, Pen};
use crate::quantity::{Metre, SquareMetre};
use crate::solve::card::Effort;
use crate::solve::instance::Assignment;
use crate::solve::search::{self, Status};
use crate::sort::card::feature::Banded;
use crate::sort::card::find::find;
use crate::sort::card::run::{Run, arrivals, goes_apart, run, shuffle};
use crate::sort::card::{Card, Kind};
use crate::sort::measure::measure;
use crate::sort::reason::{BADLY_SHORT, Fit};
use crate::sort::{Plan, Settings, space};

/// Trough and floor added to a pen that is cut in half, so that it holds a whole number of ewes: what a large
/// ewe takes at most (Teagasc, trough at 100 kg; Defra PB5162, floor at 100 kg).
const ONE_EWE: (f64, f64) = (0.65, 1.5);

/// What an assignment comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Sum of the misfits with whatever else the settings count, weighted MJ over the period.
    pub misfit_mj: f64,
    /// Energy fed above need, MJ over the period.
    pub fed_over_need_mj: f64,
    /// Energy fed below need, MJ over the period.
    pub fed_under_need_mj: f64,
    /// Ewes short by more than a tenth on some day.
    pub short: usize,
}

/// Reckons an assignment.
pub fn figures(plan: &Plan, assignment: &[usize]) -> Figures {
    let measure = measure(plan, assignment);
    let misfit_mj = plan.instance.cost(assignment);
    let mut figures = Figures { misfit_mj, fed_over_need_mj: 0.0, fed_under_need_mj: 0.0, short: 0 };
    for pen in &measure.pens {
        for &ewe in &pen.members {
            figures.short += usize::from(Fit::new(plan, ewe, &pen.me_levels).short.1 > BADLY_SHORT);
            for (need, &level) in plan.ewes[ewe].needs.iter().zip(&pen.me_levels) {
                let over = level * need.intake.value() - need.me.value();
                figures.fed_over_need_mj += over.max(0.0);
                figures.fed_under_need_mj += (-over).max(0.0);
            }
        }
    }
    figures
}

/// The misfit with one ration for all, or one for each class kept apart.
pub fn one_ration(plan: &Plan) -> f64 {
    let instance = &plan.instance;
    let (apart, others): (Vec<usize>, Vec<usize>) =
        (0..plan.ewes.len()).partition(|&ewe| goes_apart(plan, &plan.ewes[ewe]));
    let mut levels = vec![0.0; instance.axes()];
    let mut scratch = Vec::new();
    let mut loss = 0.0;
    for members in [others, apart] {
        instance.best_levels(&members, &mut levels, &mut scratch);
        loss += members.iter().map(|&ewe| instance.item_loss(ewe, &levels)).sum::<f64>();
    }
    loss
}

/// The share of the possible gain over one ration; nothing where there is nothing to gain.
pub fn share(one_ration: f64, misfit: f64, optimum: f64) -> Option<f64> {
    let possible = one_ration - optimum;
    (possible > 1e-9 * one_ration).then(|| (one_ration - misfit) / possible)
}

/// Ewes that stand in another pen than in the best sort.
pub fn moves(run: &Run, optimum: &[usize]) -> usize {
    run.assignment.iter().zip(optimum).filter(|(a, b)| a != b).count()
}

/// A card found on some ewes and judged on others, summed over both ways round.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Halves {
    /// Misfit with one ration.
    pub one_ration_mj: f64,
    /// Misfit of the best sort found.
    pub optimum_mj: f64,
    /// Misfit by the cards.
    pub card_mj: f64,
    /// Misfit by cards that ask for lambs alone.
    pub litter_only_mj: f64,
}

impl Halves {
    /// Share of the possible gain that the cards take.
    pub fn card_share(&self) -> Option<f64> {
        share(self.one_ration_mj, self.card_mj, self.optimum_mj)
    }

    /// Share of the possible gain that cards for lambs alone take.
    pub fn litter_only_share(&self) -> Option<f64> {
        share(self.one_ration_mj, self.litter_only_mj, self.optimum_mj)
    }
}

/// Finds cards on each half of the flock and judges them on the other half; each half stands in the same pens
/// at its share of their room, and one ewe's room more. Nothing where a half could not be sorted.
pub fn halves(plan: &Plan, bands: &[Banded], kind: Kind, effort: Effort) -> Option<Halves> {
    let halves = split(plan);
    let plans: Vec<Plan> = halves.iter().map(|half| half_plan(plan, half)).collect();
    let optima: Vec<Assignment> = plans.iter().map(optimum).collect::<Option<_>>()?;
    let mut sum = Halves::default();
    for (here, there) in [(0, 1), (1, 0)] {
        let found = find(&plans[here], &optima[here], bands, kind, effort);
        let loss = |card: &Card| {
            run(card, &plans[there]).ok().map(|run| plans[there].instance.cost(&run.assignment))
        };
        sum.card_mj += loss(&found.card)?;
        sum.litter_only_mj += loss(&found.litter_only)?;
        sum.one_ration_mj += one_ration(&plans[there]);
        sum.optimum_mj += plans[there].instance.cost(&optima[there]);
    }
    Some(sum)
}

/// The best sort found.
fn optimum(plan: &Plan) -> Option<Assignment> {
    match search::solve(&plan.instance, Settings::SEED, search::Effort::default()) {
        Status::Solved(solution) => Some(solution.assignment),
        Status::Impossible | Status::Undecided => None,
    }
}

/// The flock in halves, each in file order: neighbours in class and lambs, in an order drawn from a seed, go
/// to either half by turns.
pub fn split(plan: &Plan) -> [Vec<usize>; 2] {
    let mut order = arrivals(plan);
    shuffle(&mut order, Settings::SEED + 1);
    order.arrange_by_key(|&ewe| (goes_apart(plan, &plan.ewes[ewe]), plan.ewes[ewe].litter));
    let mut halves = [Vec::new(), Vec::new()];
    for (at, ewe) in order.into_iter().enumerate() {
        halves[at % 2].push(ewe);
    }
    for half in &mut halves {
        half.sort_unstable();
    }
    halves
}

/// A part of the flock in its share of the pens' room.
pub fn half_plan(plan: &Plan, ewes: &[usize]) -> Plan {
    let share = ewes.len() as f64 / plan.ewes.len().max(1) as f64;
    let (trough, floor) = ONE_EWE;
    let pens = plan
        .pens
        .iter()
        .map(|pen| Pen {
            face: match pen.face {
                Face::Trough(_) => Face::Trough(Metre::new(space::trough_m(pen) * share + trough)),
                Face::Places(places) => Face::Places(libm::ceil(f64::from(places) * share) as u32 + 1),
            },
            area: SquareMetre::new(pen.area.value() * share + floor),
            blocked_corners: 0,
            max_head: pen.max_head.map(|head| libm::ceil(f64::from(head) * share) as u32 + 1),
            ..pen.clone()
        })
        .collect();
    plan.part(ewes, pens, plan.settings.min_head.div_ceil(2))
}
