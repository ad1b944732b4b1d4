//! AFRC (1993) Energy and Protein Requirements of Ruminants: pregnant ewes.
//!
//! Symbols are the manual's. `W` is live weight without the lambs, kg; `t` is days from conception, term
//! at 147; `W_o` is the weight of the litter at birth, kg.
//!
//! | symbol | what | unit |
//! |---|---|---|
//! | `F` | fasting metabolism | MJ a day |
//! | `A` | activity | MJ a day |
//! | `k_m`, `k_c` | efficiency of use of ME for maintenance, for the lambs | – |
//! | `E_t`, `TP_t` | energy and protein in the gravid womb, for a 4 kg lamb | MJ, g |
//! | `E_c`, `TP_c` | energy and protein laid down in a day | MJ, g a day |
//!
//! The manual itself could not be opened. Constants marked "confirmed" were read in papers and code that
//! use it; those marked "from memory" were not, but together they give the reprinted table (see
//! `tests/golden`): the eight pregnant ME cells within 0.7 %, MP within 3.8 %. Maintenance MP comes out
//! at 71 g against the printed 65 g at 60 kg, and no reading of the constants explains it.
//!
//! The level-of-feeding correction is left off for pregnant ewes: the table is met without it.

mod working;

use crate::quantity::{GramPerDay, Kg, MjPerDay};
use crate::requirement::conceptus::{E_T, TP_T, daily_gain, womb_content};
use crate::requirement::growth;
use crate::requirement::{Housing, Need, Setting, Standard, Standing, State, WorkingLine};

/// Fasting metabolism, MJ per kg of (W/1.08)^0.75, over one year old. AFRC 1993, from memory. Ewe lambs
/// are fed by the adult figure: with it their published needs (Keady, Teagasc) are met within 5 %.
const FASTING_MJ: f64 = 0.23;
/// Live weight over fasted weight. AFRC 1993, from memory.
const FASTED: f64 = 1.08;
/// Activity, MJ per kg W: housed and pregnant, outdoors on lowland, on a hill. AFRC 1993; the first from
/// memory, meets the reprinted table; 0.0107 confirmed (1 km, 12 h standing, 12 changes of posture); 0.0240
/// from memory, rebuilt as 5 km with 100 m of climbing.
const ACTIVITY_MJ_PER_KG: [f64; 3] = [0.0054, 0.0107, 0.0240];
/// Gross energy of a diet, MJ a kg DM, so that q = M/D over this. AFRC 1993, from memory.
const GROSS_ENERGY: f64 = 18.8;
/// k_m = slope · q + intercept. AFRC 1993, confirmed in code that uses it.
const K_M: [f64; 2] = [0.35, 0.503];
/// k_c. AFRC 1993, confirmed; Rattray et al. 1974 measured 0.125.
const K_C: f64 = 0.133;
/// Safety margin on energy and protein in the tables. AFRC 1993, size from memory.
const MARGIN: f64 = 1.05;
/// Maintenance MP, g per kg W^0.75: 0.35 g N by 6.25. AFRC 1993, derived, agrees with the cattle figure.
const MP_MAINTENANCE: f64 = 2.1875;
/// MP for wool, g a day: 5.3 g net over 0.26. AFRC 1993, from memory; consistent with the table.
const MP_WOOL: f64 = 20.4;
/// Efficiency of MP for wool. AFRC 1993, from memory.
const K_NF: f64 = 0.26;
/// Efficiency of MP for the lambs. AFRC 1993, from memory; consistent with the table.
const K_NC: f64 = 0.85;
/// AFRC (1993), pregnant ewes.
#[derive(Debug, Clone, Copy)]
pub struct Afrc1993;

/// The constants that are from memory or fitted, as the equations take them, so that each can be moved.
#[derive(Debug, Clone, Copy)]
struct Values {
    fasting: f64,
    activity: [f64; 3],
    gross_energy: f64,
    margin: f64,
    mp_maintenance: f64,
    wool: f64,
    k_nc: f64,
    womb_protein: f64,
}

/// As the standard has them. AFRC 1993; each constant's own comment says how certain it is.
const VALUES: Values = Values {
    fasting: FASTING_MJ,
    activity: ACTIVITY_MJ_PER_KG,
    gross_energy: GROSS_ENERGY,
    margin: MARGIN,
    mp_maintenance: MP_MAINTENANCE,
    wool: MP_WOOL,
    k_nc: K_NC,
    womb_protein: 1.0,
};

/// What is from memory or derived, with how far each may lie. AFRC 1993; ranges are published where a
/// source is named, a tenth either way elsewhere.
const SETTINGS: [Setting; 8] = [
    Setting {
        name: "fasting metabolism",
        unit: "MJ per kg (W/1.08)^0.75",
        value: FASTING_MJ,
        range: [0.21, 0.25],
        range_source: "0.25 is AFRC's figure under one year; as much below",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "activity, housed",
        unit: "MJ per kg W",
        value: ACTIVITY_MJ_PER_KG[0],
        range: [0.0054, 0.0096],
        range_source: "0.0096 is AFRC's figure for other housed sheep (IPCC 2019)",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "gross energy of a diet",
        unit: "MJ a kg DM",
        value: GROSS_ENERGY,
        range: [18.45, 18.8],
        range_source: "18.45 in the New Zealand inventory",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "safety margin",
        unit: "times",
        value: MARGIN,
        range: [1.0, 1.1],
        range_source: "none, and twice as much",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "maintenance protein",
        unit: "g MP per kg W^0.75",
        value: MP_MAINTENANCE,
        range: [1.969, 2.406],
        range_source: "a tenth either way; the one printed cell asks for less",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "protein for wool",
        unit: "g MP a day",
        value: MP_WOOL,
        range: [0.0, 22.4],
        range_source: "left out, as the printed maintenance cell suggests; a tenth more",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "efficiency of protein for the lambs",
        unit: "g net a g MP",
        value: K_NC,
        range: [0.765, 0.935],
        range_source: "a tenth either way",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "protein curve of the womb",
        unit: "times",
        value: 1.0,
        range: [0.9, 1.1],
        range_source: "a tenth either way",
        standing: Standing::FromMemory,
    },
];

impl Values {
    /// The same with one of [`SETTINGS`] moved.
    fn moved(setting: usize, value: f64) -> Self {
        let mut values = VALUES;
        let field = match setting {
            0 => &mut values.fasting,
            1 => &mut values.activity[0],
            2 => &mut values.gross_energy,
            3 => &mut values.margin,
            4 => &mut values.mp_maintenance,
            5 => &mut values.wool,
            6 => &mut values.k_nc,
            7 => &mut values.womb_protein,
            _ => return values,
        };
        *field = value;
        values
    }
}

/// Every quantity on the way, so that the need and its explanation cannot part.
struct Parts {
    litter_weight: Kg,
    q: f64,
    k_m: f64,
    fasting: f64,
    activity: f64,
    womb_mj: f64,
    conceptus_mj: f64,
    growth_mj: f64,
    me: f64,
    mp_maintenance: f64,
    womb_protein: f64,
    conceptus_protein: f64,
    mp_wool: f64,
    mp_lambs: f64,
    mp_growth: f64,
    mp: f64,
}

/// F = 0.23 (W/1.08)^0.75, MJ a day.
fn fasting_metabolism(w: f64, coefficient: f64) -> f64 {
    coefficient * libm::pow(w / FASTED, 0.75)
}

/// k_m at a diet's energy density.
pub(super) fn efficiency_for_maintenance(diet: f64) -> f64 {
    K_M[0] * (diet / GROSS_ENERGY) + K_M[1]
}

/// What activity outdoors takes above that of a housed ewe, MJ net a day; other standards borrow it.
pub(super) fn outdoors(w: f64, housing: Housing) -> f64 {
    (ACTIVITY_MJ_PER_KG[housing as usize] - ACTIVITY_MJ_PER_KG[0]) * w
}

fn parts(state: &State, values: &Values) -> Parts {
    let w = state.weight.value();
    let t = state.days_pregnant();
    let pregnant = state.litter.lambs() > 0;
    let litter_weight = state.birth_weight();

    let q = state.diet.value() / values.gross_energy;
    let k_m = K_M[0] * q + K_M[1];
    let fasting = fasting_metabolism(w, values.fasting);
    let activity = values.activity[state.housing as usize] * w;
    let (womb_mj, conceptus_mj, womb_protein, conceptus_protein) = if pregnant {
        let womb_mj = womb_content(E_T, t);
        let womb_protein = values.womb_protein * womb_content(TP_T, t);
        (
            womb_mj,
            daily_gain(E_T, womb_mj, litter_weight.value(), t),
            womb_protein,
            daily_gain(TP_T, womb_protein, litter_weight.value(), t),
        )
    } else {
        (0.0, 0.0, 0.0, 0.0)
    };
    let growth_mj = growth::energy(state.growth).value();
    let me = values.margin * ((fasting + activity) / k_m + conceptus_mj / K_C) + growth_mj;

    let mp_maintenance = values.mp_maintenance * libm::pow(w, 0.75);
    let mp_lambs = conceptus_protein / values.k_nc;
    let mp_wool = state.wool.map_or(values.wool, |wool| wool.value() / K_NF);
    let mp_growth = growth::protein(state.growth, state.weight).value();
    let mp = values.margin * (mp_maintenance + mp_wool + mp_lambs + mp_growth);
    Parts {
        litter_weight,
        q,
        k_m,
        fasting,
        activity,
        womb_mj,
        conceptus_mj,
        growth_mj,
        me,
        mp_maintenance,
        womb_protein,
        conceptus_protein,
        mp_wool,
        mp_lambs,
        mp_growth,
        mp,
    }
}

impl Standard for Afrc1993 {
    fn id(&self) -> &'static str {
        "afrc1993"
    }

    fn name(&self) -> &'static str {
        "AFRC (1993), housed pregnant ewes, with its 5 % margin"
    }

    fn caveat(&self) -> &'static str {
        "Of the systems compared, AFRC 1993 gives the lower figures in practice: treat it as a floor, not as \
         a generous allowance."
    }

    fn assumes(&self) -> &'static str {
        "maintenance from fasting metabolism and activity; the womb's curves of the Agricultural Research \
         Council; 5 % margin on all; the litter's weight is an input"
    }

    fn need(&self, state: &State) -> Need {
        need(&parts(state, &VALUES))
    }

    fn explain(&self, state: &State) -> Vec<WorkingLine> {
        let parts = parts(state, &VALUES);
        let mut lines = working::energy(state, &parts);
        lines.extend(working::protein(state, &parts));
        lines
    }

    fn settings(&self) -> &'static [Setting] {
        &SETTINGS
    }

    fn need_moved(&self, state: &State, setting: usize, value: f64) -> Need {
        need(&parts(state, &Values::moved(setting, value)))
    }
}

fn need(parts: &Parts) -> Need {
    Need { me: MjPerDay::new(parts.me), mp: GramPerDay::new(parts.mp), own: None }
}
