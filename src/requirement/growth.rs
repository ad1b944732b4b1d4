//! Growth of ewe lambs in lamb. No standard here has an allowance of its own for it that could be opened,
//! so all use this one and say so.

use crate::quantity::{GramPerDay, Kg, MjPerDay};

/// ME for each gram of growth, MJ: 2.5 MJ for 50 g (Keady, Teagasc 2012 column; year from memory). Its
/// own allowance: no further margin. AFRC's own k_f gives 49.4 MJ a kg at 11.5 MJ a kg DM.
const MJ_PER_G: f64 = 0.05;
/// Net protein of growth in female lambs, g a kg gain: a + b W + c W². AFRC 1993, from memory.
const NET_PROTEIN: [f64; 3] = [156.1, -1.94, 0.0173];
/// Efficiency of MP for growth. AFRC 1993, confirmed as 1.695 = 1/0.59.
const K_NG: f64 = 0.59;

/// ME for growth.
pub(super) fn energy(growth: GramPerDay) -> MjPerDay {
    MjPerDay::new(MJ_PER_G * growth.value())
}

/// MP for growth at a live weight.
pub(super) fn protein(growth: GramPerDay, weight: Kg) -> GramPerDay {
    let w = weight.value();
    let [a, b, c] = NET_PROTEIN;
    GramPerDay::new(growth.value() / 1000.0 * (a + b * w + c * w * w) / K_NG)
}
