//! What ewes drink beside their feed.

use crate::quantity::Kg;

/// Water in all, litres a ewe a day, least and most, by live weight: ewes in lamb (NRC 2007, as printed in US gallons
/// by the Capital Journal, 2022; 1.2 to 2.2 gallons over these weights).
const IN_ALL: [(f64, [f64; 2]); 3] = [(59.0, [4.6, 6.2]), (73.0, [5.3, 7.2]), (91.0, [6.3, 8.5])];

/// Where it comes from, for print.
pub const WATER_SOURCE: &str = "NRC 2007 (4.6 to 8.5 l in all by weight, less the water in silage)";

/// Litres a day that a ewe drinks, least and most; `in_forage` is the water that she eats in her forage, kg. Water in
/// roots does not count (GB welfare code, 2003, from memory of the year).
pub fn drinks(weight: Kg, in_forage: f64) -> [f64; 2] {
    let kg = weight.value();
    let [first, .., last] = IN_ALL;
    let between = |which: fn([f64; 2]) -> f64| {
        if kg <= first.0 {
            return which(first.1);
        }
        if kg >= last.0 {
            return which(last.1);
        }
        let mut below = first;
        for point in IN_ALL {
            if point.0 >= kg {
                let part = (kg - below.0) / (point.0 - below.0).max(f64::MIN_POSITIVE);
                return which(below.1) + part * (which(point.1) - which(below.1));
            }
            below = point;
        }
        which(last.1)
    };
    [between(|range| range[0]), between(|range| range[1])].map(|litres| (litres - in_forage).max(0.0))
}
