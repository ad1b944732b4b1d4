//! The simplex method on a dense table: for programmes of a ration's size, and for many that differ in bounds alone.
//!
//! Dual first: from a basis whose prices are right, the basic variable that is furthest outside its bounds goes to rest
//! there, and the resting one comes in whose price is used up first. Columns whose price is of the wrong side at the start
//! cost nothing until every bound holds; then the primal method ends with the true costs. A parent's table serves
//! its children, whose bounds alone differ: a few exchanges instead of a solve from nothing (Koberstein 2005, chapters
//! 3 and 6; ratios within a tolerance by Harris 1973).
//!
//! Nothing that is found here is trusted: `quick` checks every limit and the dual's sum of an answer, and a proof of
//! impossibility is added up; what does not stand up is solved anew by the library. Exchanges are counted, not timed.

use crate::solve::programme::scale::{Scale, on_bounds};
use crate::solve::programme::tableau::{Rest, Tableau};
use crate::solve::programme::{Answer, Found, Multipliers, Programme};

/// How far outside a bound is outside, in sizes near 1: a thousandth of what is asked of an answer.
const OUTSIDE: f64 = 1e-9;
/// Prices nearer to nothing, against the largest cost, are nothing.
const PRICE: f64 = 1e-10;
/// A weight that small is not divided by.
const PIVOT: f64 = 1e-8;
/// Exchanges for each row and column after which the first variable that will do is taken, so that there is no circle
/// (Bland 1977).
const ORDERLY: usize = 4;
/// Exchanges for each row and column after which it is given up.
const MOST: usize = 16;

/// A programme at the basis of its optimum, from which others begin that differ in bounds alone.
#[derive(Debug, Clone)]
pub(crate) struct Stand {
    scale: Scale,
    tableau: Tableau,
}

/// How it ended.
enum End {
    Optimal,
    /// The line that cannot be brought inside its bounds; whether it is too low.
    Impossible(usize, bool),
    Unbounded,
    GivenUp,
}

impl Stand {
    /// Before the first exchange.
    pub(crate) fn new(programme: &Programme) -> Self {
        let scale = Scale::of(programme);
        let tableau = Tableau::of(programme, &scale);
        Self { scale, tableau }
    }

    /// Takes the costs of a programme that has the same rows and columns.
    pub(crate) fn recost(&mut self, programme: &Programme) {
        self.tableau.recost(programme, &self.scale);
    }

    /// Minimises the programme, which differs from the one that it was made of in the bounds of columns alone.
    /// Nothing where it gave up.
    pub(super) fn minimise(&mut self, programme: &Programme) -> Option<Found> {
        self.tableau.bound(programme, &self.scale);
        match run(&mut self.tableau) {
            End::Optimal => {
                let (width, tableau) = (self.tableau.width, &self.tableau);
                let mut scaled = vec![0.0; width];
                for (place, variable) in tableau.resting.iter().enumerate().filter(|(_, own)| **own < width) {
                    scaled[*variable] = tableau.resting_value(place);
                }
                for (variable, value) in
                    tableau.basic.iter().zip(&tableau.values).filter(|own| *own.0 < width)
                {
                    scaled[*variable] = *value;
                }
                let amounts = on_bounds(programme, &scaled, &self.scale);
                let prices = tableau.resting.iter().copied().zip(tableau.costs().iter().copied());
                Some(Found::Optimal(Answer { amounts, multipliers: self.multipliers(prices) }))
            }
            End::Impossible(line, is_low) => {
                // What the line's variable lacks, by what the others can bring to it at most.
                let sign = if is_low { 1.0 } else { -1.0 };
                let others = self.tableau.resting.iter().zip(self.tableau.line(line));
                let others = others.map(|(variable, weight)| (*variable, -sign * weight));
                let own = (self.tableau.basic[line], sign);
                Some(Found::Infeasible(self.multipliers(others.chain(std::iter::once(own)))))
            }
            End::Unbounded => Some(Found::Unbounded),
            End::GivenUp => None,
        }
    }

    /// How far the limit at which a row rests may be moved on from an optimum before another limit is met, in the row's
    /// own sizes; infinite where none is. Nothing where the row does not rest.
    pub(super) fn room(&self, row: usize, up: bool) -> Option<f64> {
        let tableau = &self.tableau;
        let place = tableau.resting.iter().position(|own| *own == tableau.width + row)?;
        let sign = if up { 1.0 } else { -1.0 };
        let room = (0..tableau.height).filter_map(|line| {
            let rate = sign * tableau.weight(line, place);
            let (variable, value) = (tableau.basic[line], tableau.values[line]);
            let room = if rate > PIVOT {
                tableau.high[variable] - value
            } else if rate < -PIVOT {
                value - tableau.low[variable]
            } else {
                return None;
            };
            Some(room.max(0.0) / rate.abs())
        });
        Some(room.fold(f64::INFINITY, f64::min) / self.scale.rows[row])
    }

    /// Multipliers of variables, in the programme's own sizes.
    fn multipliers(&self, of: impl Iterator<Item = (usize, f64)>) -> Multipliers {
        let width = self.tableau.width;
        let mut rows = vec![0.0; self.tableau.height];
        let mut columns = vec![0.0; width];
        for (variable, multiplier) in of {
            match variable.checked_sub(width) {
                Some(row) => rows[row] = multiplier * self.scale.rows[row],
                None => columns[variable] = multiplier / self.scale.columns[variable],
            }
        }
        Multipliers { rows, columns }
    }
}

fn run(tableau: &mut Tableau) -> End {
    let size = tableau.costs().iter().fold(0.0_f64, |most, cost| most.max(cost.abs())).max(1e-6);
    let near = PRICE * size;
    let mut is_waived = false;
    for place in 0..tableau.width {
        let cost = tableau.cost(place);
        let at_ease = tableau.rest(place, cost);
        // What rested on a bound that is gone, or whose other bound suits its price, moves there.
        let suits = match tableau.rests[place] {
            Rest::Low => tableau.low[tableau.resting[place]].is_finite() && cost >= -near,
            Rest::High => tableau.high[tableau.resting[place]].is_finite() && cost <= near,
            Rest::Free => at_ease == Rest::Free,
        };
        if !suits {
            tableau.rests[place] = at_ease;
        }
        if !tableau.is_fixed(place) && is_wrong(tableau.rests[place], cost, near) {
            tableau.waive(place);
            is_waived = true;
        }
    }
    tableau.evaluate();
    let most = MOST * (tableau.width + tableau.height) + 50;
    let orderly = ORDERLY * (tableau.width + tableau.height) + 20;
    let mut exchanges = 0;
    let end = loop {
        exchanges += 1;
        if exchanges > most {
            return End::GivenUp;
        }
        let Some((line, is_low)) = outside(tableau, exchanges > orderly) else { break End::Optimal };
        let Some(place) = by_price(tableau, line, is_low, near, exchanges > orderly) else {
            break End::Impossible(line, is_low);
        };
        let variable = tableau.basic[line];
        let (bound, rest) =
            if is_low { (tableau.low[variable], Rest::Low) } else { (tableau.high[variable], Rest::High) };
        let by = (bound - tableau.values[line]) / tableau.weight(line, place);
        tableau.shift(place, by);
        tableau.exchange(line, place, rest, by);
    };
    if !matches!(end, End::Optimal) {
        return end;
    }
    if is_waived {
        tableau.charge();
    }
    loop {
        exchanges += 1;
        if exchanges > 2 * most {
            return End::GivenUp;
        }
        let Some(place) = wrong(tableau, near, exchanges > most) else { break };
        let up = match tableau.rests[place] {
            Rest::Low => true,
            Rest::High => false,
            Rest::Free => tableau.cost(place) < 0.0,
        };
        let variable = tableau.resting[place];
        let span = tableau.high[variable] - tableau.low[variable];
        match by_room(tableau, place, up, span) {
            Room::Endless => return End::Unbounded,
            Room::Own => {
                tableau.shift(place, if up { span } else { -span });
                tableau.rests[place] = if up { Rest::High } else { Rest::Low };
            }
            Room::Of(line, step, rest) => {
                let by = if up { step } else { -step };
                tableau.shift(place, by);
                tableau.exchange(line, place, rest, by);
            }
        }
    }
    tableau.evaluate();
    if outside(tableau, false).is_some() { End::GivenUp } else { End::Optimal }
}

/// Whether moving a resting variable the way it can would save.
fn is_wrong(rest: Rest, cost: f64, near: f64) -> bool {
    match rest {
        Rest::Low => cost < -near,
        Rest::High => cost > near,
        Rest::Free => cost.abs() > near,
    }
}

/// The basic variable furthest outside its bounds, or the first in order, and whether it is too low.
fn outside(tableau: &Tableau, is_first: bool) -> Option<(usize, bool)> {
    let mut worst: Option<(usize, bool, f64)> = None;
    for (line, (variable, value)) in tableau.basic.iter().zip(&tableau.values).enumerate() {
        let (low, high) = (tableau.low[*variable], tableau.high[*variable]);
        let (by, is_low) = if *value < low { (low - value, true) } else { (value - high, false) };
        let bound = if is_low { low } else { high };
        if by.is_nan() || by <= OUTSIDE * bound.abs().max(1.0) {
            continue;
        }
        let is_worse = worst.is_none_or(
            |(other, _, most)| {
                if is_first { *variable < tableau.basic[other] } else { by > most }
            },
        );
        if is_worse {
            worst = Some((line, is_low, by));
        }
    }
    worst.map(|(line, is_low, _)| (line, is_low))
}

/// The resting variable that brings a line to its bound and whose price is used up first.
fn by_price(tableau: &Tableau, line: usize, is_low: bool, near: f64, is_first: bool) -> Option<usize> {
    let sign = if is_low { 1.0 } else { -1.0 };
    let helps = |place: usize, weight: f64| {
        let weight = sign * weight;
        let can = match tableau.rests[place] {
            Rest::Low => weight > PIVOT,
            Rest::High => weight < -PIVOT,
            Rest::Free => weight.abs() > PIVOT,
        };
        can && !tableau.is_fixed(place)
    };
    let weights = tableau.line(line);
    let least = weights
        .iter()
        .zip(tableau.costs())
        .enumerate()
        .filter(|(place, (weight, _))| helps(*place, **weight))
        .map(|(_, (weight, cost))| (cost.abs() + near) / weight.abs())
        .fold(f64::INFINITY, f64::min);
    let mut best: Option<(usize, f64)> = None;
    for (place, (weight, cost)) in weights.iter().zip(tableau.costs()).enumerate() {
        if !helps(place, *weight) || cost.abs() > least * weight.abs() {
            continue;
        }
        let is_better = best.is_none_or(|(other, most)| {
            if is_first { tableau.resting[place] < tableau.resting[other] } else { weight.abs() > most }
        });
        if is_better {
            best = Some((place, weight.abs()));
        }
    }
    best.map(|(place, _)| place)
}

/// The resting variable whose price is furthest on the wrong side, or the first in order.
fn wrong(tableau: &Tableau, near: f64, is_first: bool) -> Option<usize> {
    let mut worst: Option<(usize, f64)> = None;
    for (place, cost) in tableau.costs().iter().enumerate() {
        if !is_wrong(tableau.rests[place], *cost, near) || tableau.is_fixed(place) {
            continue;
        }
        let is_worse = worst.is_none_or(|(other, most)| {
            if is_first { tableau.resting[place] < tableau.resting[other] } else { cost.abs() > most }
        });
        if is_worse {
            worst = Some((place, cost.abs()));
        }
    }
    worst.map(|(place, _)| place)
}

/// What ends the way of a resting variable that moves.
enum Room {
    Endless,
    /// Its own other bound.
    Own,
    /// The basic variable of a line after such a step, and where that goes to rest.
    Of(usize, f64, Rest),
}

fn by_room(tableau: &Tableau, place: usize, up: bool, span: f64) -> Room {
    let sign = if up { 1.0 } else { -1.0 };
    let room = |line: usize| {
        let rate = sign * tableau.weight(line, place);
        let (variable, value) = (tableau.basic[line], tableau.values[line]);
        if rate > PIVOT {
            Some((tableau.high[variable] - value, rate, Rest::High))
        } else if rate < -PIVOT {
            Some((value - tableau.low[variable], -rate, Rest::Low))
        } else {
            None
        }
    };
    let least = (0..tableau.height)
        .filter_map(room)
        .map(|(room, rate, _)| (room.max(0.0) + OUTSIDE) / rate)
        .fold(f64::INFINITY, f64::min);
    if span <= least {
        return if span.is_finite() { Room::Own } else { Room::Endless };
    }
    if least == f64::INFINITY {
        return Room::Endless;
    }
    let mut best: Option<(usize, f64, f64, Rest)> = None;
    for line in 0..tableau.height {
        let Some((room, rate, rest)) = room(line) else { continue };
        if room.max(0.0) <= least * rate && best.is_none_or(|(_, _, most, _)| rate > most) {
            best = Some((line, room.max(0.0) / rate, rate, rest));
        }
    }
    best.map_or(Room::Endless, |(line, step, _, rest)| Room::Of(line, step, rest))
}
