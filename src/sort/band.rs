//! How far a ewe's need may lie from its figure, from what is uncertain about her.
//!
//! Each uncertain input is put at the edges that hold it nine times in ten, alone; the changes of her need
//! are added as squares, upward and downward apart. The standard's own error is not in it.

use crate::day::Day;
use crate::quantity::{Kg, MjPerDay, MjPerKgDm};
use crate::requirement::condition::{self, Body};
use crate::requirement::gestation::SPREAD_DAYS;
use crate::requirement::score::{NINE_IN_TEN, SPREAD_IN_CLASS, Step};
use crate::requirement::{Afrc1993, Standard, State, TERM_DAYS};
use crate::sort::gaps::Assumed;
use crate::sort::plan::PlannedEwe;

/// Spread of weight within an age class, share (common practice, no source; 7 to 10 % in published flocks).
const WEIGHT_SPREAD: f64 = 0.10;
/// Lowest and highest energy need on a day, nine times in ten.
pub(super) fn band(ewe: &PlannedEwe, on: Day, diet: MjPerKgDm) -> [MjPerDay; 2] {
    let score = ewe.filled.condition;
    let weight = ewe.filled.weight.value();
    let due = ewe.due.since(on);
    let assumed = |what: Assumed| ewe.filled.assumed.contains(&what);
    let score_error = match ewe.ewe.condition {
        _ if assumed(Assumed::Condition) => SPREAD_IN_CLASS,
        Some(score) => Step::shown_by(score).error(),
        None => Step::Half.error(),
    } * NINE_IN_TEN;
    let days_error = libm::round(SPREAD_DAYS * NINE_IN_TEN) as i32;
    let latest = ewe.filled.latest.map_or(due, |latest| latest.since(on)).max(due);
    let mut cases: Vec<[(f64, f64, i32); 2]> = vec![
        [((score - score_error).max(1.0), weight, due), ((score + score_error).min(5.0), weight, due)],
        [(score, weight, due - days_error), (score, weight, latest + days_error)],
    ];
    if assumed(Assumed::Weight) {
        let error = weight * WEIGHT_SPREAD * NINE_IN_TEN;
        cases.push([(score, weight - error, due), (score, weight + error, due)]);
    }
    let middle = need(ewe, (score, weight, due), diet);
    let (mut down, mut up) = (0.0, 0.0);
    for edges in cases {
        let changes = edges.map(|edge| need(ewe, edge, diet) - middle);
        let least = changes[0].min(changes[1]).min(0.0);
        let most = changes[0].max(changes[1]).max(0.0);
        down += least * least;
        up += most * most;
    }
    [MjPerDay::new(middle - down.sqrt()), MjPerDay::new(middle + up.sqrt())]
}

fn need(ewe: &PlannedEwe, (score, weight, due): (f64, f64, i32), diet: MjPerKgDm) -> f64 {
    let days_to_lambing = due.clamp(0, TERM_DAYS as i32) as u32;
    let weight = Kg::new(weight);
    let state = State {
        growth: ewe.filled.growth,
        ..State::housed(weight, ewe.litter, days_to_lambing, diet)
    };
    let body = Body { score, target: ewe.target, weight, litter: ewe.litter, days_to_lambing };
    (Afrc1993.need(&state).me + condition::correction(&body).on(days_to_lambing)).value()
}
