//! NRC (2007) Nutrient Requirements of Small Ruminants: energy of pregnant ewes. All of it is from memory.
//!
//! Symbols: `W` live weight without the lambs, kg; `t` days from conception; `W_o` litter at birth, kg.
//!
//! ```text
//! ME   = 62 W^0.75 / 0.644 / 1000 + NE_p / 0.13      (Mcal a day)
//! NE_p = 36.9644 e^(−11.465 e^(−0.00643 t) − 0.00643 t) · W_o / 4
//! ```
//!
//! The constant 36.9644 is the derivative of AFRC's curve, so that it is no second opinion on the lambs; it
//! differs in maintenance. No protein equation could be read; protein here is AFRC's, and said so.

use crate::quantity::MjPerDay;
use crate::requirement::conceptus::LAMB_KG;
use crate::requirement::working::litter_line;
use crate::requirement::{Afrc1993, Need, Setting, Standard, Standing, State, WorkingLine, afrc_1993, growth};

/// MJ in a Mcal (thermochemical calorie, ISO 1975).
const MJ_PER_MCAL: f64 = 4.184;
/// Maintenance, Mcal net per kg W^0.75. NRC 2007, from memory; age left at no effect.
const MAINTENANCE: f64 = 0.062;
/// Efficiency for maintenance. NRC 2007, from memory.
const K_M: f64 = 0.644;
/// NE_p = a · e^(−b e^(−c t) − c t), Mcal a day for a 4 kg lamb. NRC 2007, from memory.
const NE_P: [f64; 3] = [36.9644, 11.465, 0.00643];
/// Efficiency for the lambs. NRC 2007, from memory.
const K_P: f64 = 0.13;

/// Uncertain constants. NRC 2007, from memory.
const SETTINGS: [Setting; 3] = [
    Setting {
        name: "maintenance",
        unit: "Mcal net per kg W^0.75",
        value: MAINTENANCE,
        range: [0.0558, 0.0682],
        range_source: "a tenth either way",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "efficiency for maintenance",
        unit: "net a ME",
        value: K_M,
        range: [0.58, 0.708],
        range_source: "a tenth either way",
        standing: Standing::FromMemory,
    },
    Setting {
        name: "efficiency for the lambs",
        unit: "net a ME",
        value: K_P,
        range: [0.125, 0.161],
        range_source: "conceptus and whole pregnancy, Rattray et al. 1974",
        standing: Standing::FromMemory,
    },
];

/// NRC (2007).
#[derive(Debug, Clone, Copy)]
pub struct Nrc2007;

struct Parts {
    maintenance: f64,
    net_lambs: f64,
    lambs: f64,
    other: f64,
    me: f64,
}

fn parts(state: &State, [maintenance, k_m, k_p]: [f64; 3]) -> Parts {
    let w = state.weight.value();
    let t = state.days_pregnant();
    let maintenance = MJ_PER_MCAL * maintenance * libm::pow(w, 0.75) / k_m;
    let net_lambs = if state.litter.lambs() > 0 {
        let [a, b, c] = NE_P;
        MJ_PER_MCAL * a * libm::exp(-b * libm::exp(-c * t) - c * t) * state.birth_weight().value() / LAMB_KG
    } else {
        0.0
    };
    let lambs = net_lambs / k_p;
    let other = afrc_1993::outdoors(w, state.housing) / k_m + growth::energy(state.growth).value();
    Parts { maintenance, net_lambs, lambs, other, me: maintenance + lambs + other }
}

const fn values() -> [f64; 3] {
    [MAINTENANCE, K_M, K_P]
}

fn need(state: &State, p: &Parts) -> Need {
    Need { me: MjPerDay::new(p.me), mp: Afrc1993.need(state).mp, own: None }
}

impl Standard for Nrc2007 {
    fn id(&self) -> &'static str {
        "nrc2007"
    }

    fn name(&self) -> &'static str {
        "NRC (2007), energy of pregnant ewes, from memory; protein by AFRC (1993)"
    }

    fn caveat(&self) -> &'static str {
        "Every constant is from memory. Shares AFRC's curve of the womb, so it is no second opinion on what \
         the lambs take; its maintenance is about a fifth higher. Its protein equations could not be read: \
         protein is AFRC's."
    }

    fn assumes(&self) -> &'static str {
        "maintenance of a ewe on range or hay, a fifth above AFRC's, no margin, the same whatever the diet; \
         the lambs by AFRC's own curve; energy only; outdoor activity and growth borrowed from AFRC 1993 and \
         Keady"
    }

    fn protein_is_its_own(&self) -> bool {
        false
    }

    fn need(&self, state: &State) -> Need {
        need(state, &parts(state, values()))
    }

    fn explain(&self, state: &State) -> Vec<WorkingLine> {
        let p = parts(state, values());
        let line = WorkingLine::new;
        let mut lines = vec![
            line(
                0,
                "Energy by the standard",
                "ME = maintenance + NE_p / 0.13 + growth and life outdoors",
                format!("{:.2} + {:.2} + {:.2}", p.maintenance, p.lambs, p.other),
                format!("{:.2} MJ ME a day", p.me),
                "NRC 2007, from memory",
            ),
            line(
                1,
                "Maintenance",
                "4.184 · 0.062 · W^0.75 / 0.644",
                format!("4.184 · 0.062 · {:.1}^0.75 / 0.644", state.weight.value()),
                format!("{:.2} MJ ME a day", p.maintenance),
                "NRC 2007, from memory",
            ),
        ];
        if state.litter.lambs() > 0 {
            lines.push(line(
                1,
                "The lambs",
                "NE_p = 4.184 · 36.9644 · e^(−11.465 · e^(−0.00643 t) − 0.00643 t) · W_o / 4",
                format!("day {:.0}", state.days_pregnant()),
                format!("{:.2} MJ net a day", p.net_lambs),
                "NRC 2007, from memory; the derivative of AFRC's curve",
            ));
            lines.push(litter_line(state));
        }
        lines
            .extend(Afrc1993.explain(state).into_iter().skip_while(|line| !line.name.starts_with("Protein")));
        lines
    }

    fn settings(&self) -> &'static [Setting] {
        &SETTINGS
    }

    fn need_moved(&self, state: &State, setting: usize, value: f64) -> Need {
        let mut values = values();
        if let Some(moved) = values.get_mut(setting) {
            *moved = value;
        }
        need(state, &parts(state, values))
    }
}
