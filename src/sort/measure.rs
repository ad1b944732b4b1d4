//! What an assignment comes to: each pen's ration by day, each ewe's misfit.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::quantity::{GramPerDay, Kg, MjPerDay};
use crate::solve::instance::{RESOURCES, position};
use crate::sort::{Plan, Soft};

/// One pen of an assignment.
#[derive(Debug, Clone, PartialEq)]
pub struct PenMeasure {
    /// Ewes in it, by position in the plan.
    pub members: Vec<usize>,
    /// Levels on every axis of the problem, energy densities first; empty for an empty pen.
    pub levels: Vec<f64>,
    /// Energy density by day, MJ ME a kg DM; empty for an empty pen.
    pub me_levels: Vec<f64>,
    /// Protein density by day, g MP a kg DM, by the same quantile; empty for an empty pen.
    pub mp_levels: Vec<f64>,
    /// Lowest and highest energy over the days, a ewe a day.
    pub me_range: Option<[MjPerDay; 2]>,
    /// Lowest and highest protein over the days, a ewe a day.
    pub mp_range: Option<[GramPerDay; 2]>,
    /// What its ewes take of trough and floor, thousandths.
    pub used: [u64; RESOURCES],
    /// Sum of their misfits.
    pub misfit: f64,
    /// Median live weight: half of them weigh no more.
    pub median_weight: Option<Kg>,
    /// Median day due.
    pub median_due: Option<Day>,
}

/// What counts beside energy, each in its own unit; weights are in [`crate::sort::Soft`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Terms {
    /// Misfit of protein, weighted g over the period, by the same slopes as energy.
    pub protein_g: f64,
    /// Ewes more or fewer than an even filling would put, summed over the pens.
    pub uneven_filling_ewes: f64,
    /// Kilograms between each ewe and her pen's median weight.
    pub body_size_kg: f64,
    /// Days between each ewe's lambing and her pen's median.
    pub lambing_spread_days: f64,
    /// Ewes in another pen than the one they stood in; 0 where that does not count.
    pub moved_ewes: f64,
}

impl Terms {
    /// The sum that the objective adds to the misfit, but for moves.
    pub fn weighed(&self, soft: &Soft) -> f64 {
        self.protein_g * soft.protein_mj_per_g
            + self.uneven_filling_ewes * soft.even_filling_mj_per_ewe
            + self.body_size_kg * soft.body_size_mj_per_kg
            + self.lambing_spread_days * soft.lambing_spread_mj_per_day
    }
}

/// The misfit of each ewe and the pens behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// By pen.
    pub pens: Vec<PenMeasure>,
    /// By ewe, weighted MJ over the period.
    pub misfits: Vec<f64>,
    /// Sum over the ewes, in their order.
    pub misfit: f64,
    /// What counts beside it.
    pub terms: Terms,
    /// Misfit and terms, each times its weight.
    pub objective: f64,
}

impl Measure {
    /// Energy that a ewe is fed over her need in a pen, MJ ME a day, mean of the period; below 0 is short.
    /// Reckoned at her own intake. In another pen than hers the ration is taken as it is without her.
    pub fn balance_mj_per_day(&self, plan: &Plan, ewe: usize, pen: usize) -> f64 {
        let needs = &plan.ewes[ewe].needs;
        let over = needs
            .iter()
            .zip(&self.pens[pen].me_levels)
            .map(|(need, level)| level * need.intake.value() - need.me.value());
        over.sum::<f64>() / needs.len().max(1) as f64
    }
}

/// Measures an assignment.
pub fn measure(plan: &Plan, assignment: &[usize]) -> Measure {
    let instance = &plan.instance;
    let mut misfits = vec![0.0; plan.ewes.len()];
    let pens: Vec<PenMeasure> = instance
        .members(assignment)
        .into_iter()
        .enumerate()
        .map(|(pen, members)| {
            let measured = measure_pen(plan, pen, members);
            for &ewe in &measured.members {
                misfits[ewe] = instance.loss_on(ewe, &measured.levels, 0..plan.days.len());
            }
            let misfit = measured.members.iter().map(|&ewe| misfits[ewe]).sum();
            PenMeasure { misfit, ..measured }
        })
        .collect();
    let misfit = misfits.iter().sum();
    let moved = plan.standing.as_ref().map_or(0, |standing| standing.moved(assignment));
    let terms = Terms { moved_ewes: moved as f64, ..terms(plan, &pens) };
    let moves = plan.standing.as_ref().map_or(0.0, |standing| standing.move_cost_mj * terms.moved_ewes);
    let objective = misfit + terms.weighed(&plan.settings.soft) + moves;
    Measure { pens, misfit, misfits, objective, terms }
}

fn terms(plan: &Plan, pens: &[PenMeasure]) -> Terms {
    let instance = &plan.instance;
    let mut terms = Terms::default();
    for (pen, bin) in pens.iter().zip(&instance.bins) {
        terms.uneven_filling_ewes += (pen.members.len() as f64 - bin.fair_head).abs();
        for &index in &pen.members {
            let ewe = &plan.ewes[index];
            let [under, over] = instance.slopes_of(index);
            for ((need, level), intake) in ewe.needs.iter().zip(&pen.mp_levels).zip(&plan.mean_intake) {
                let gap = (need.mp / need.intake).value() - level;
                terms.protein_g += intake.value() * (under * gap.max(0.0) + over * (-gap).max(0.0));
            }
            let weight =
                pen.median_weight.map_or(0.0, |median| (ewe.filled.weight.value() - median.value()).abs());
            terms.body_size_kg += weight;
            terms.lambing_spread_days +=
                pen.median_due.map_or(0.0, |median| f64::from(ewe.due.since(median).abs()));
        }
    }
    terms
}

fn measure_pen(plan: &Plan, pen: usize, members: Vec<usize>) -> PenMeasure {
    let instance = &plan.instance;
    let days = if members.is_empty() { 0 } else { plan.days.len() };
    let mut levels = vec![0.0; if members.is_empty() { 0 } else { instance.axes() }];
    instance.best_levels(&members, &mut levels, &mut Vec::new());
    let me_levels = levels[..days].to_vec();
    let mp_levels: Vec<f64> = (0..days).map(|day| protein_level(plan, &members, day)).collect();
    let mean_intake = |day: usize| {
        members.iter().map(|&ewe| plan.ewes[ewe].needs[day].intake.value()).sum::<f64>()
            / members.len() as f64
    };
    let mut used = [0; RESOURCES];
    for &ewe in &members {
        for (sum, part) in used.iter_mut().zip(instance.room_in(ewe, pen)) {
            *sum += u64::from(part);
        }
    }
    let me_range = range((0..days).map(|day| me_levels[day] * mean_intake(day)));
    let mp_range = range((0..days).map(|day| mp_levels[day] * mean_intake(day)));
    PenMeasure {
        me_range: me_range.map(|range| range.map(MjPerDay::new)),
        mp_range: mp_range.map(|range| range.map(GramPerDay::new)),
        median_weight: middle(
            members.iter().map(|&ewe| plan.ewes[ewe].filled.weight.value()),
            f64::total_cmp,
        )
        .map(Kg::new),
        median_due: middle(members.iter().map(|&ewe| plan.ewes[ewe].due), Day::cmp),
        members,
        levels,
        me_levels,
        mp_levels,
        used,
        misfit: 0.0,
    }
}

/// The protein density at the same quantile as the energy.
fn protein_level(plan: &Plan, members: &[usize], day: usize) -> f64 {
    let density = |ewe: usize| {
        let need = &plan.ewes[ewe].needs[day];
        (need.mp / need.intake).value()
    };
    plan.instance.best_value(members, density, &mut Vec::new()).unwrap_or(0.0)
}

/// The value that half of them do not exceed.
fn middle<T: Copy>(
    values: impl Iterator<Item = T>,
    order: impl Fn(&T, &T) -> std::cmp::Ordering,
) -> Option<T> {
    let mut values: Vec<T> = values.collect();
    values.arrange_by(order);
    values.get(position(values.len(), 0.5)?).copied()
}

fn range(values: impl Iterator<Item = f64>) -> Option<[f64; 2]> {
    values.fold(None, |range, value| match range {
        None => Some([value, value]),
        Some([least, most]) => Some([least.min(value), most.max(value)]),
    })
}
