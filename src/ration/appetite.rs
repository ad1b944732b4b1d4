//! What the trough really does: how much of it a ewe eats.
//!
//! Each forage fills a ewe: what of it alone she eats is in the feed table. Concentrate fills less; by how much,
//! the forage beside it tells. Published equations exist, but their coefficients could not be read, so this is a
//! working model put together from published intakes; a farm's own refusals should replace it.

use crate::feed::{Class, Feed};
use crate::flock::Litter;
use crate::quantity::Kg;

/// Appetite by whole weeks to lambing, 0 first, as a share of that eight weeks before. Fitted to the fall of
/// about a third over the last weeks (Boland, UCD, 2020 column, year from memory).
const BY_WEEK: [f64; 7] = [0.78, 0.82, 0.88, 0.92, 0.95, 0.98, 1.0];
/// Appetite by lambs carried, 0 first (Orr and Treacher 1989: twins 0.97 of singles, more 0.85; here against
/// twins, four as the prototype's; fitted).
const BY_LITTER: [f64; 6] = [1.03, 1.03, 1.0, 0.87, 0.85, 0.85];
/// A mixed ration is eaten that much better. Fitted: silage intake was 1.38 times that beside a single feed of
/// concentrate (feeding-frequency trial with silage, 1990s, year from memory).
const MIXED: f64 = 1.12;
/// Most dry matter in all, share of live weight, forage fed apart. Fitted to published totals (AHDB/ADAS 2013:
/// 2.0 % late in pregnancy; up to 2.5 % in others).
const MOST_APART: f64 = 0.0225;
/// The same of a mixed ration. Fitted likewise.
const MOST_MIXED: f64 = 0.0245;
/// The same of concentrate beside straw, which passes faster. Fitted to the Irish Farmers Journal's plan (2022 from
/// memory of the year): 1.65 kg of concentrate and half of 1.5 kg of straw for a ewe of 75 kg, 2.8 % at lambing.
const MOST_STRAW: f64 = 0.032;
/// That limit by whole weeks to lambing, 0 first. Fitted.
const MOST_BY_WEEK: [f64; 7] = [0.88, 0.88, 0.93, 0.95, 0.97, 0.99, 1.0];
/// That limit by lambs carried, 0 first. Fitted.
const MOST_BY_LITTER: [f64; 6] = [1.02, 1.02, 1.0, 0.95, 0.95, 0.95];

/// What stands in the trough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trough {
    /// Forage, and concentrate apart.
    Apart,
    /// Straw, and concentrate apart.
    Straw,
    /// Everything mixed.
    Mixed,
}

/// A ewe at a trough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Appetite {
    /// What fills her: kg of live weight of a forage of which she would eat all of it.
    pub capacity: f64,
    /// Most dry matter in all, kg.
    pub most_kg: f64,
}

impl Appetite {
    /// Of a ewe of this weight (without her lambs), by weeks to lambing and lambs.
    pub fn of(weight: Kg, litter: Litter, weeks: f64, trough: Trough) -> Self {
        let lambs = usize::from(litter.lambs());
        let kg = weight.value();
        let by = |table: &[f64; 6]| table.get(lambs).copied().unwrap_or(1.0);
        let (mixed, most) = match trough {
            Trough::Apart => (1.0, MOST_APART),
            Trough::Straw => (1.0, MOST_STRAW),
            Trough::Mixed => (MIXED, MOST_MIXED),
        };
        Self {
            capacity: kg * by_week(&BY_WEEK, weeks) * by(&BY_LITTER) * mixed,
            most_kg: kg * most * by_week(&MOST_BY_WEEK, weeks) * by(&MOST_BY_LITTER),
        }
    }
}

/// Between the whole weeks, straight.
fn by_week(table: &[f64; 7], weeks: f64) -> f64 {
    let weeks = weeks.clamp(0.0, 6.0);
    let below = libm::floor(weeks) as usize;
    let at = |week: usize| table.get(week.min(6)).copied().unwrap_or(1.0);
    let part = weeks - below as f64;
    at(below) * (1.0 - part) + at(below + 1) * part
}

/// How much a kg DM of it fills; `beside` is the main forage.
pub(super) fn fill(feed: &Feed, beside: Option<&Feed>) -> f64 {
    if let Some(appetite) = feed.appetite.filter(|appetite| *appetite > 0.0) {
        return 100.0 / appetite;
    }
    match (feed.class, beside) {
        (Class::Mineral, _) | (_, None) => 0.0,
        (_, Some(forage)) => substitution(forage) * beside.map_or(0.0, |forage| fill(forage, None)),
    }
}

/// kg of this forage that a kg DM of concentrate displaces. Fitted to the six silages of Orr and Treacher 1989,
/// within 0.1; hay 0.5 (their hay of 1984, 0.63); straw 0.1.
pub(super) fn substitution(forage: &Feed) -> f64 {
    match forage.class {
        Class::Hay | Class::Haylage => 0.5,
        Class::Straw => 0.1,
        _ => (0.25 * (forage.values.me.value() - 9.6)).clamp(0.06, 0.65),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seventy_five_kilo_twin_ewe_eats_what_advisers_say() {
        // AHDB/ADAS 2013: 2.0 % of live weight late in pregnancy; Irish advisers about 1 kg DM of silage.
        let twin = Appetite::of(Kg::new(75.0), Litter::of(2).unwrap(), 3.0, Trough::Apart);
        let silage_alone = twin.capacity / (100.0 / 1.5);
        assert!((0.95..=1.15).contains(&silage_alone), "{silage_alone}");
        assert!((0.019..=0.024).contains(&(twin.most_kg / 75.0)));
        // Vet Times 2017: 1.4 % of live weight of good silage for triplets three weeks out.
        let triplet = Appetite::of(Kg::new(70.0), Litter::of(3).unwrap(), 3.0, Trough::Apart);
        let share = triplet.capacity / (100.0 / 1.75) / 70.0;
        assert!((share - 0.014).abs() < 0.0005, "{share}");
    }

    #[test]
    fn appetite_never_rises_towards_lambing_nor_with_more_lambs() {
        for lambs in 1..5 {
            for tenths in 0..70 {
                let at = |lambs, weeks| {
                    Appetite::of(Kg::new(70.0), Litter::of(lambs).unwrap(), weeks, Trough::Apart).capacity
                };
                let weeks = f64::from(tenths) / 10.0;
                assert!(at(lambs, weeks) <= at(lambs, weeks + 0.1) + 1e-9);
                assert!(at(lambs + 1, weeks) <= at(lambs, weeks) + 1e-9);
            }
        }
    }
}
