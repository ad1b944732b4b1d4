//! What an assignment comes to: each pen's ration by day, each ewe's misfit.

use crate::quantity::{GramPerDay, MjPerDay};
use crate::solve::instance::RESOURCES;
use crate::sort::Plan;

/// One pen of an assignment.
#[derive(Debug, Clone, PartialEq)]
pub struct PenMeasure {
    /// Ewes in it, by position in the plan.
    pub members: Vec<usize>,
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
                misfits[ewe] = instance.item_loss(ewe, &measured.me_levels);
            }
            let misfit = measured.members.iter().map(|&ewe| misfits[ewe]).sum();
            PenMeasure { misfit, ..measured }
        })
        .collect();
    Measure { pens, misfit: misfits.iter().sum(), misfits }
}

fn measure_pen(plan: &Plan, pen: usize, members: Vec<usize>) -> PenMeasure {
    let instance = &plan.instance;
    let days = if members.is_empty() { 0 } else { instance.days };
    let mut me_levels = vec![0.0; days];
    instance.best_levels(&members, &mut me_levels, &mut Vec::new());
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
        members,
        me_levels,
        mp_levels,
        used,
        misfit: 0.0,
    }
}

/// The protein density at the same quantile as the energy.
fn protein_level(plan: &Plan, members: &[usize], day: usize) -> f64 {
    let mut densities: Vec<f64> = members
        .iter()
        .map(|&ewe| {
            let need = &plan.ewes[ewe].needs[day];
            (need.mp / need.intake).value()
        })
        .collect();
    densities.sort_by(f64::total_cmp);
    densities[plan.instance.quantile(members.len()) - 1]
}

fn range(values: impl Iterator<Item = f64>) -> Option<[f64; 2]> {
    values.fold(None, |range, value| match range {
        None => Some([value, value]),
        Some([least, most]) => Some([least.min(value), most.max(value)]),
    })
}
