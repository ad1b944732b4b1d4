//! Several programmes that draw on the same stores, solved through what a unit of each store is worth.
//!
//! Each programme alone is small; together they are large, and only a few rows tie them. So each is solved by itself
//! with the stores at a price; its answers are points of its own, and a small programme mixes the points of all so
//! that the stores suffice and the cost is least. What that says a unit of a store is worth is the next price. It ends
//! when no programme has a point that would save anything: then mixture and prices prove each other (Dantzig and Wolfe
//! 1960). A mixture keeps every row, as the rows are straight.

use crate::solve::programme::{NEAR, Programme, Quick, Stand, quick, quick_from};

/// Most rounds of prices (chosen here; more were never seen to be needed, and the caller has another way).
const ROUNDS: usize = 120;
/// A saving below this share of the cost is none: a tenth of what an answer is checked to.
const NOTHING: f64 = 1e-7;

/// A store: its row, whose high side is what there is, and the column of what is drawn beyond it, which stands in no
/// other row.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Store {
    pub(crate) row: usize,
    pub(crate) beyond: usize,
}

/// The least cost.
pub(crate) struct Shared {
    pub(crate) amounts: Vec<f64>,
    pub(crate) cost: f64,
    /// What a unit of each store is worth.
    pub(crate) worth: Vec<f64>,
}

/// What hangs together without the stores: a programme, and what a unit of each of its columns draws: store, column,
/// weight.
struct Part {
    programme: Programme,
    draws: Vec<(usize, usize, f64)>,
    /// The place of each of its columns in the whole.
    columns: Vec<usize>,
}

/// Solves a programme part by part; nothing where that gave no answer that stands up to checking.
pub(crate) fn by_parts(programme: &Programme, stores: &[Store]) -> Option<Shared> {
    let parts = parts(programme, stores)?;
    let stocks: Option<Vec<f64>> =
        stores.iter().map(|store| Some(programme.rows.get(store.row)?.high)).collect();
    let charge = programme.columns.get(stores.first()?.beyond)?.cost;
    let (own, worth, beyond) = shared(&parts, &stocks?, charge)?;
    let mut amounts = vec![0.0; programme.columns.len()];
    for (part, own) in parts.iter().zip(own) {
        for (column, amount) in part.columns.iter().zip(own) {
            *amounts.get_mut(*column)? = amount;
        }
    }
    for (store, beyond) in stores.iter().zip(beyond) {
        *amounts.get_mut(store.beyond)? = beyond;
    }
    let cost = programme.cost(&amounts);
    (programme.fault(&amounts) <= NEAR).then_some(Shared { amounts, cost, worth })
}

/// What hangs together by rows other than the stores'.
fn parts(programme: &Programme, stores: &[Store]) -> Option<Vec<Part>> {
    let is_store = |row: usize| stores.iter().any(|store| store.row == row);
    let mut root: Vec<usize> = (0..programme.columns.len()).collect();
    let find = |root: &[usize], mut column: usize| {
        while let Some(&above) = root.get(column).filter(|above| **above != column) {
            column = above;
        }
        column
    };
    for row in programme.rows.iter().enumerate().filter(|(place, _)| !is_store(*place)).map(|(_, row)| row) {
        let Some(first) = row.terms.first().map(|term| find(&root, term.0)) else { continue };
        for &(column, _) in &row.terms {
            let other = find(&root, column);
            *root.get_mut(other)? = first;
        }
    }
    let mut parts: Vec<Part> = Vec::new();
    let mut of: Vec<Option<(usize, usize)>> = vec![None; programme.columns.len()];
    let mut by_root: Vec<Option<usize>> = vec![None; programme.columns.len()];
    for (place, column) in programme.columns.iter().enumerate() {
        if stores.iter().any(|store| store.beyond == place) {
            continue;
        }
        let by_root = by_root.get_mut(find(&root, place))?;
        let part = *by_root.get_or_insert_with(|| {
            parts.push(Part { programme: Programme::default(), draws: Vec::new(), columns: Vec::new() });
            parts.len() - 1
        });
        let own = parts.get_mut(part)?;
        own.columns.push(place);
        *of.get_mut(place)? = Some((part, own.programme.column("", column.cost, column.low, column.high)));
    }
    for (place, row) in programme.rows.iter().enumerate() {
        if let Some(store) = stores.iter().position(|store| store.row == place) {
            for &(column, weight) in &row.terms {
                if let Some((part, own)) = *of.get(column)? {
                    parts.get_mut(part)?.draws.push((store, own, weight));
                }
            }
            continue;
        }
        let Some(first) = row.terms.first() else { continue };
        let part = (*of.get(first.0)?)?.0;
        let terms: Option<Vec<(usize, f64)>> =
            row.terms.iter().map(|&(column, weight)| Some(((*of.get(column)?)?.1, weight))).collect();
        parts.get_mut(part)?.programme.row("", terms?, row.low, row.high);
    }
    Some(parts)
}

/// A point of a part: what it costs, and what it draws.
struct Point {
    part: usize,
    amounts: Vec<f64>,
    cost: f64,
    drawn: Vec<f64>,
}

/// Amounts of each part, worth of each store, and what is drawn beyond it.
type Answer = (Vec<Vec<f64>>, Vec<f64>, Vec<f64>);

/// Solves them; nothing where one has no answer or the rounds did not do. `charge` is what a unit beyond a store costs.
fn shared(parts: &[Part], stores: &[f64], charge: f64) -> Option<Answer> {
    let mut stands: Vec<Stand> = parts.iter().map(|part| Stand::new(&part.programme)).collect();
    let mut points: Vec<Point> = Vec::new();
    // Two points to begin with: stores for nothing, and as dear as they can be.
    for price in [0.0, charge] {
        let prices = vec![price; stores.len()];
        for (place, (part, stand)) in parts.iter().zip(&mut stands).enumerate() {
            points.push(point(place, part, stand, &prices)?.0);
        }
    }
    for _ in 0..ROUNDS {
        let (mix, worth, own, beyond, cost) = mixed(parts.len(), &points, stores, charge)?;
        let mut saved = 0.0;
        let mut found = Vec::new();
        for (place, (part, stand)) in parts.iter().zip(&mut stands).enumerate() {
            let (point, priced) = point(place, part, stand, &worth)?;
            let less = own.get(place).copied().unwrap_or(0.0) - priced;
            if less > 0.0 {
                saved += less;
                found.push(point);
            }
        }
        if saved <= NOTHING * cost.abs().max(1.0) {
            let mut amounts: Vec<Vec<f64>> =
                parts.iter().map(|part| vec![0.0; part.programme.columns.len()]).collect();
            for (point, share) in points.iter().zip(&mix) {
                if let Some(own) = amounts.get_mut(point.part) {
                    own.iter_mut().zip(&point.amounts).for_each(|(sum, amount)| *sum += share * amount);
                }
            }
            return Some((amounts, worth, beyond));
        }
        points.extend(found);
    }
    None
}

/// A part's best point at prices of the stores, and what it costs at these.
fn point(place: usize, part: &Part, stand: &mut Stand, prices: &[f64]) -> Option<(Point, f64)> {
    let mut priced = part.programme.clone();
    for &(store, column, weight) in &part.draws {
        if let (Some(column), Some(price)) = (priced.columns.get_mut(column), prices.get(store)) {
            column.cost += price * weight;
        }
    }
    stand.recost(&priced);
    let Quick::Optimal(optimum) = quick_from(&priced, stand) else { return None };
    let mut drawn = vec![0.0; prices.len()];
    for &(store, column, weight) in &part.draws {
        if let (Some(sum), Some(amount)) = (drawn.get_mut(store), optimum.amounts.get(column)) {
            *sum += weight * amount;
        }
    }
    let cost = part.programme.cost(&optimum.amounts);
    Some((Point { part: place, amounts: optimum.amounts, cost, drawn }, optimum.cost))
}

/// Share of each point, worth of each store, what each part comes to, what is drawn beyond, and the cost.
type Mixed = (Vec<f64>, Vec<f64>, Vec<f64>, Vec<f64>, f64);

/// The cheapest mixture of points that the stores suffice for.
fn mixed(parts: usize, points: &[Point], stores: &[f64], charge: f64) -> Option<Mixed> {
    let mut all = Programme::default();
    for point in points {
        all.column("", point.cost, 0.0, f64::INFINITY);
    }
    let over: Vec<usize> = stores.iter().map(|_| all.column("", charge, 0.0, f64::INFINITY)).collect();
    for part in 0..parts {
        let own = points.iter().enumerate().filter(|(_, point)| point.part == part);
        all.row("", own.map(|(column, _)| (column, 1.0)), 1.0, 1.0);
    }
    for (store, (stock, over)) in stores.iter().zip(&over).enumerate() {
        let drawn = points
            .iter()
            .enumerate()
            .map(|(column, point)| (column, point.drawn.get(store).copied().unwrap_or(0.0)));
        all.row("", drawn.chain(std::iter::once((*over, -1.0))), f64::NEG_INFINITY, *stock);
    }
    let Quick::Optimal(optimum) = quick(&all) else { return None };
    let prices = &optimum.prices.rows;
    let own = prices.get(..parts)?.to_vec();
    let worth = prices.get(parts..)?.iter().map(|price| (-price).max(0.0)).collect();
    let beyond = over.iter().map(|column| optimum.amounts.get(*column).copied().unwrap_or(0.0)).collect();
    Some((optimum.amounts.get(..points.len())?.to_vec(), worth, own, beyond, optimum.cost))
}
