//! The womb by day of pregnancy: its energy, its protein and its weight, for a 4 kg lamb.
//!
//! One curve serves several standards: CSIRO (2007) prints ln Y = A − B e^(−Ct) with constants that are
//! AFRC's times ln 10, and NRC (2007) the derivative of the same. Symbols: `t` days from conception, term at
//! 147; `W_o` weight of the litter at birth, kg.

use crate::flock::Litter;
use crate::quantity::Kg;
use crate::requirement::TERM_DAYS;
use crate::requirement::litter_weight::litter_weight;

/// log10 E_t = a − b · e^(−c t), MJ. AFRC 1993, confirmed in code that uses it.
pub(super) const E_T: [f64; 3] = [3.322, 4.979, 0.00643];
/// log10 TP_t = a − b · e^(−c t), g. AFRC 1993, from memory; consistent in itself, 820 g at term.
pub(super) const TP_T: [f64; 3] = [4.928, 4.873, 0.00601];
/// The lamb for which the womb's curves stand, kg: W_o over it scales them. AFRC 1993, confirmed.
pub(super) const LAMB_KG: f64 = 4.0;
/// ln of the gravid womb's weight = a − b · e^(−c t), kg, for a 4 kg lamb. CSIRO 2007, from memory.
const WEIGHT_T: [f64; 3] = [5.17, 8.38, 0.00608];
/// Rounds in which weight without and litter's weight are brought to agree (1 g or better; a choice made
/// here in 2026: each round shrinks the error tenfold).
const ROUNDS: u32 = 20;

/// 10^(a − b e^(−c t)): what the womb holds at day t, for a 4 kg lamb.
pub(super) fn womb_content([a, b, c]: [f64; 3], t: f64) -> f64 {
    libm::exp(core::f64::consts::LN_10 * (a - b * libm::exp(-c * t)))
}

/// The daily gain of [`womb_content`], scaled to the litter: its derivative, b · ln 10 · c · e^(−c t).
pub(super) fn daily_gain(curve: [f64; 3], content: f64, litter_kg: f64, t: f64) -> f64 {
    let [_, b, c] = curve;
    litter_kg / LAMB_KG * content * b * core::f64::consts::LN_10 * c * libm::exp(-c * t)
}

/// Weight of womb, fluids and lambs; none for a barren ewe.
pub fn weight(litter: Litter, litter_kg: Kg, days_to_lambing: u32) -> Kg {
    if litter.lambs() == 0 {
        return Kg::new(0.0);
    }
    let [a, b, c] = WEIGHT_T;
    let t = f64::from(TERM_DAYS.saturating_sub(days_to_lambing));
    Kg::new(litter_kg.value() / LAMB_KG * libm::exp(a - b * libm::exp(-c * t)))
}

/// Live weight without the conceptus, from a weight taken with it. The litter's weight, where not given,
/// hangs on the weight sought, so the two are brought to agree.
pub fn weight_without(with: Kg, litter: Litter, given: Option<Kg>, days_to_lambing: u32) -> Kg {
    let mut without = with;
    for _ in 0..ROUNDS {
        let litter_kg = given.unwrap_or_else(|| litter_weight(without, litter));
        let least = Kg::new(with.value() / 2.0);
        let next = with - weight(litter, litter_kg, days_to_lambing);
        without = if next > least { next } else { least };
    }
    without
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn printed_derivative_constants_are_the_curves_own() {
        // AFRC prints 0.07372 and 0.06744 as the product b · ln 10 · c.
        for ([_, b, c], printed) in [(E_T, 0.07372), (TP_T, 0.06744)] {
            assert!((b * core::f64::consts::LN_10 * c - printed).abs() < 5e-6);
        }
    }

    #[test]
    fn the_womb_holds_820_g_of_protein_at_term() {
        assert!((womb_content(TP_T, 147.0) - 820.0).abs() < 1.0);
    }

    #[test]
    fn a_weight_taken_with_the_lambs_comes_back() {
        for lambs in 0..=5 {
            for days in (0..=147).step_by(7) {
                let litter = Litter::of(lambs).unwrap();
                let with = Kg::new(70.0) + weight(litter, litter_weight(Kg::new(70.0), litter), days);
                let without = weight_without(with, litter, None, days);
                assert!((without.value() - 70.0).abs() < 0.001, "{lambs} lambs, {days} days: {without}");
            }
        }
    }
}
