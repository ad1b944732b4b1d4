//! Trough and floor that a ewe needs, by weight, fleece, floor and feeding method.
//!
//! Reckoned in whole millimetres and whole thousandths of a square metre, so that sums are exact.

use crate::pen::{Face, Feeding, Floor, Pen};
use crate::quantity::Kg;
use crate::solve::instance::{Bin, Room};
use crate::sort::System;

/// Trough where all eat at once, m at kg: Teagasc sheep housing space requirements (2019 page; year from
/// memory). Below 50 kg as at 50; above 90 kg the slope goes on, since a heavier ewe is no narrower.
const TROUGH_RESTRICTED: [(f64, f64); 3] = [(50.0, 0.40), (70.0, 0.50), (90.0, 0.60)];
/// Trough where feed is always there, m at kg: Teagasc, the same page.
const TROUGH_ALWAYS: [(f64, f64); 3] = [(50.0, 0.175), (70.0, 0.20), (90.0, 0.20)];
/// Floor on straw, m² at kg, lowland and upland ewes: Defra PB5162 (2003; year from memory), 60 to 90 kg.
const STRAW_LOWLAND: [(f64, f64); 2] = [(60.0, 1.2), (90.0, 1.4)];
/// Floor on straw, m² at kg, hill ewes: Defra PB5162, 45 to 65 kg.
const STRAW_HILL: [(f64, f64); 2] = [(45.0, 1.0), (65.0, 1.2)];
/// Floor on slats, m² at kg: Teagasc, the same page as the trough.
const SLATS: [(f64, f64); 3] = [(50.0, 1.0), (70.0, 1.1), (90.0, 1.2)];
/// A shorn ewe takes a tenth less floor, never less trough: Defra PB5162.
const SHORN: f64 = 0.9;
/// Trough lost to each blocked corner, m (Teagasc in the Irish farm press; walk-through troughs).
const CORNER_M: f64 = 0.6;
/// A single feeding place counts as this much trough, m, and whoever eats in one go takes it whole, whatever
/// she weighs: a place is made for one ewe (0.50 m at 70 kg, Teagasc).
const PLACE_M: f64 = 0.50;
/// Share of a place that a ewe takes where feed is always there: 0.20 m over 0.50 m at 70 kg (Teagasc).
const PLACE_SHARE_ALWAYS: f64 = 0.4;

/// The sources, for print.
pub const SOURCE: &str = "trough and slats by Teagasc (sheep housing space requirements), straw by Defra \
     PB5162, interpolated by weight; shorn ewes a tenth less floor";

/// Number of space types: feed face by feeding method by floor. The first is a trough, restricted, on straw.
pub const TYPES: usize = 8;

/// The space type of a pen: which column of a ewe's room holds there.
fn space_type(places: bool, feeding: Feeding, floor: Floor) -> usize {
    4 * usize::from(places) + 2 * usize::from(feeding == Feeding::Always) + usize::from(floor == Floor::Slats)
}

/// What a ewe takes in each space type: millimetres of trough and thousandths of a square metre.
pub fn room(weight: Kg, shorn: bool, system: System, horned_trough_percent: f64) -> [Room; TYPES] {
    let kg = weight.value();
    let horned = 1.0 + horned_trough_percent / 100.0;
    let mut rooms = [[0; 2]; TYPES];
    for places in [false, true] {
        for feeding in [Feeding::Restricted, Feeding::Always] {
            for floor in [Floor::Straw, Floor::Slats] {
                let trough = match (places, feeding) {
                    (false, Feeding::Restricted) => at(&TROUGH_RESTRICTED, kg) * horned,
                    (false, Feeding::Always) => at(&TROUGH_ALWAYS, kg) * horned,
                    (true, Feeding::Restricted) => PLACE_M,
                    (true, Feeding::Always) => PLACE_M * PLACE_SHARE_ALWAYS,
                };
                let area = match (floor, system) {
                    (Floor::Slats, _) => at(&SLATS, kg),
                    (Floor::Straw, System::Hill) => at(&STRAW_HILL, kg),
                    (Floor::Straw, _) => at(&STRAW_LOWLAND, kg),
                } * if shorn { SHORN } else { 1.0 };
                rooms[space_type(places, feeding, floor)] = [thousandths(trough), thousandths(area)];
            }
        }
    }
    rooms
}

/// Straight lines between the points; held below the first, carried on above the last.
fn at(points: &[(f64, f64)], kg: f64) -> f64 {
    let (first_kg, first) = points[0];
    if kg <= first_kg {
        return first;
    }
    let piece = points.windows(2).find(|pair| kg <= pair[1].0).unwrap_or(&points[points.len() - 2..]);
    let ((from_kg, from), (to_kg, to)) = (piece[0], piece[1]);
    from + (to - from) * (kg - from_kg) / (to_kg - from_kg)
}

fn thousandths(value: f64) -> u32 {
    libm::round(value * 1000.0) as u32
}

/// Trough that counts in a pen, m: blocked corners taken off; single places at half a metre each.
pub fn trough_m(pen: &Pen) -> f64 {
    match pen.face {
        Face::Trough(metres) => (metres.value() - CORNER_M * f64::from(pen.blocked_corners)).max(0.0),
        Face::Places(places) => PLACE_M * f64::from(places),
    }
}

/// Trough that ewes need in a pen where they are fed in this way, m.
pub fn trough_needed<'r>(pen: &Pen, feeding: Feeding, ewes: impl Iterator<Item = &'r [Room; TYPES]>) -> f64 {
    let own = space_type(matches!(pen.face, Face::Places(_)), feeding, pen.floor);
    ewes.map(|room| room.get(own).map_or(0, |[trough, _]| u64::from(*trough))).sum::<u64>() as f64 / 1000.0
}

/// Head that single places serve; nothing where the pen has a trough.
pub fn places_head(pen: &Pen) -> Option<u32> {
    match (pen.face, pen.feeding) {
        (Face::Trough(_), _) => None,
        (Face::Places(places), Feeding::Restricted) => Some(places),
        (Face::Places(places), Feeding::Always) => {
            Some(libm::floor(f64::from(places) / PLACE_SHARE_ALWAYS + 1e-6) as u32)
        }
    }
}

/// Trough as single places, rounded up, for a pen that has those.
pub fn in_places(trough_thousandths: u64) -> u64 {
    trough_thousandths.div_ceil(u64::from(thousandths(PLACE_M)))
}

/// A pen's limits for the solver.
pub fn bin(pen: &Pen, min_head: u32) -> Bin {
    // A hair is given, so that 5.1 m of trough is 5,100 mm however the decimals fell.
    let whole = |value: f64| libm::floor(value * 1000.0 + 1e-6) as u64;
    let most = pen.max_head.unwrap_or(u32::MAX);
    Bin {
        space_type: space_type(matches!(pen.face, Face::Places(_)), pen.feeding, pen.floor),
        capacity: [whole(trough_m(pen)), whole(pen.area.value())],
        max_head: most as usize,
        // A pen meant for fewer is for isolation: nobody keeps it from holding one.
        min_head: if most < min_head { 1 } else { min_head as usize },
        fair_head: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Metre, SquareMetre};

    fn takes(kg: f64, shorn: bool, feeding: Feeding, floor: Floor, system: System) -> Room {
        room(Kg::new(kg), shorn, system, 0.0)[space_type(false, feeding, floor)]
    }

    #[test]
    fn printed_points_are_met_and_between_them_is_a_line() {
        use {Feeding::*, Floor::*, System::*};
        for (kg, feeding, floor, system, trough, area) in [
            (50.0, Restricted, Straw, Lowland, 400, 1200),
            (70.0, Restricted, Slats, Lowland, 500, 1100),
            (80.0, Restricted, Slats, Lowland, 550, 1150),
            (90.0, Restricted, Straw, Lowland, 600, 1400),
            (75.0, Restricted, Straw, Upland, 525, 1300),
            (50.0, Always, Slats, Lowland, 175, 1000),
            (70.0, Always, Straw, Hill, 200, 1250),
            (55.0, Restricted, Straw, Hill, 425, 1100),
        ] {
            assert_eq!(takes(kg, false, feeding, floor, system), [trough, area], "{kg} kg");
        }
    }

    #[test]
    fn shearing_saves_floor_and_never_trough() {
        let shorn = takes(70.0, true, Feeding::Restricted, Floor::Straw, System::Lowland);
        let woolly = takes(70.0, false, Feeding::Restricted, Floor::Straw, System::Lowland);
        assert_eq!(shorn[0], woolly[0]);
        assert_eq!(shorn[1], (f64::from(woolly[1]) * 0.9).round() as u32);
    }

    #[test]
    fn a_published_bay_of_4_8_m_holds_eight_large_or_nine_medium_ewes() {
        // Teagasc: 4.8 m of face, 3.0 m deep. Its own "10 medium" rounds 9.6 up; the floor gives 9.
        let pen = Pen {
            name: "A".into(),
            face: Face::Trough(Metre::new(4.8)),
            area: SquareMetre::new(14.4),
            feeding: Feeding::Restricted,
            floor: Floor::Straw,
            blocked_corners: 0,
            only: vec![],
            not: vec![],
            max_head: None,
            row: 2,
        };
        let limits = bin(&pen, 4);
        for (kg, head) in [(90.0, 8), (70.0, 9)] {
            let [trough, _] = takes(kg, false, Feeding::Restricted, Floor::Straw, System::Lowland);
            assert_eq!(limits.capacity[0] / u64::from(trough), head);
        }
        let cornered = Pen { blocked_corners: 2, ..pen.clone() };
        assert_eq!(bin(&cornered, 4).capacity[0], 3600);
        // A place takes one ewe of any weight at once, or two and a half by turns.
        for (feeding, head) in [(Feeding::Restricted, 10), (Feeding::Always, 25)] {
            let stalls = Pen { face: Face::Places(10), feeding, ..pen.clone() };
            let limits = bin(&stalls, 4);
            for kg in [45.0, 70.0, 95.0] {
                let [place, _] = room(Kg::new(kg), false, System::Lowland, 0.0)[limits.space_type];
                assert_eq!(limits.capacity[0] / u64::from(place), head);
            }
            assert_eq!(u64::from(places_head(&stalls).unwrap()), head);
        }
    }
}
