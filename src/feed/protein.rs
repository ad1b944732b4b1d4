//! Fermentable energy, rumen-degradable and bypass protein of a feed, and what protein a ration supplies.
//!
//! AFRC (1993) Energy and Protein Requirements of Ruminants. The manual could not be opened: every constant
//! here is from memory. They give back its rounded figures (9, 10 and 11 g of microbial protein a MJ, outflow
//! 0.02, 0.05 and 0.08 an hour at levels 1, 2 and 3). Symbols are the manual's.

use crate::feed::{Class, Values};
use crate::quantity::{GramPerKgDm, MjPerKgDm, PerHour};

/// Outflow from the rumen, an hour: `r = R0 + R1 (1 − e^(−R2 L))`, first term. AFRC 1993, from memory.
const R0: f64 = -0.024;
/// Its second. AFRC 1993, from memory.
const R1: f64 = 0.179;
/// Its third. AFRC 1993, from memory.
const R2: f64 = 0.278;
/// Microbial protein, g a MJ FME: `y = Y0 + Y1 (1 − e^(−Y2 L))`, first term. AFRC 1993, from memory.
const Y0: f64 = 7.0;
/// Its second. AFRC 1993, from memory.
const Y1: f64 = 6.0;
/// Its third. AFRC 1993, from memory.
const Y2: f64 = 0.35;
/// MJ a g of oil that does not ferment. AFRC 1993, from memory.
const OIL_MJ: f64 = 0.035;
/// Share of a grass silage's energy that ferments, by its oven dry matter, g a kg: constant, first and second
/// order. AFRC 1993, from memory.
const SILAGE_SHARE: [f64; 3] = [0.467, 0.00136, -0.000_001_15];
/// Share of quickly released protein that microbes catch. AFRC 1993, from memory.
const CAUGHT: f64 = 0.8;
/// Share of undegraded protein digested. AFRC 1993, from memory.
const DIGESTED: f64 = 0.9;
/// g of protein a g of nitrogen. AFRC 1993, from memory.
const PROTEIN_A_NITROGEN: f64 = 6.25;
/// Share of microbial protein that is true protein (0.75) and digested (0.85). AFRC 1993, from memory.
pub const TRUE_MICROBIAL: f64 = 0.75 * 0.85;

/// How fast the rumen works, by the level of feeding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rumen {
    /// Outflow.
    pub outflow: PerHour,
    /// Microbial protein, g a MJ of fermentable energy.
    pub yield_g_per_mj: f64,
}

impl Rumen {
    /// At a level of feeding: ME eaten over ME of maintenance.
    pub fn at(level: f64) -> Self {
        Self {
            outflow: PerHour::new(R0 + R1 * (1.0 - libm::exp(-R2 * level))),
            yield_g_per_mj: Y0 + Y1 * (1.0 - libm::exp(-Y2 * level)),
        }
    }
}

/// Fermentable metabolisable energy.
pub fn fme(values: &Values, class: Class) -> MjPerKgDm {
    let me = values.me.value();
    MjPerKgDm::new(match class {
        Class::Fat | Class::Urea | Class::Mineral => 0.0,
        Class::Silage => {
            let odm = values.dry_matter.value();
            me * (SILAGE_SHARE[0] + SILAGE_SHARE[1] * odm + SILAGE_SHARE[2] * odm * odm)
        }
        _ => (me - OIL_MJ * values.oil.value() - values.fermented * me).max(0.0),
    })
}

/// Protein of a feed on its way through the rumen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Degraded {
    /// Quickly degradable: QDP.
    pub quick: GramPerKgDm,
    /// Slowly degradable: SDP.
    pub slow: GramPerKgDm,
    /// Undegraded: UDP.
    pub undegraded: GramPerKgDm,
    /// Effective rumen-degradable protein: ERDP.
    pub erdp: GramPerKgDm,
    /// Digestible undegraded (bypass) protein: DUP.
    pub dup: GramPerKgDm,
}

/// The protein of a feed at an outflow.
pub fn degraded(values: &Values, outflow: PerHour) -> Degraded {
    let (a, b, c) = (values.quick, values.slow, values.rate.value());
    let cp = values.crude_protein.value();
    let passing = c + outflow.value();
    let qdp = a * cp;
    // A feed that nothing breaks down slowly has a rate of 0.
    let sdp = if passing > 0.0 { b * c / passing * cp } else { 0.0 };
    let udp = cp - qdp - sdp;
    let dup = (DIGESTED * (udp - PROTEIN_A_NITROGEN * values.adin.value())).max(0.0);
    Degraded {
        quick: GramPerKgDm::new(qdp),
        slow: GramPerKgDm::new(sdp),
        undegraded: GramPerKgDm::new(udp),
        erdp: GramPerKgDm::new(CAUGHT * qdp + sdp),
        dup: GramPerKgDm::new(dup),
    }
}

/// What metabolisable protein a day's ration supplies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Protein {
    /// Microbial protein made, g.
    pub microbial: f64,
    /// Whether rumen-degradable protein is what limits it; otherwise energy does.
    pub is_short_of_nitrogen: bool,
    /// Metabolisable protein, g.
    pub mp: f64,
}

/// Protein supplied by a day's fermentable energy (MJ), degradable and bypass protein (g).
pub fn supplied(fme: f64, erdp: f64, dup: f64, rumen: Rumen) -> Protein {
    let by_energy = rumen.yield_g_per_mj * fme;
    let microbial = erdp.min(by_energy);
    Protein { microbial, is_short_of_nitrogen: erdp < by_energy, mp: TRUE_MICROBIAL * microbial + dup }
}
