//! CSIRO (2007) Nutrient Requirements of Domesticated Ruminants: energy of pregnant ewes.
//!
//! Symbols: `W` live weight without the lambs, kg; `A` age, years; `M/D` energy density of the diet, MJ ME a
//! kg DM; `Y` energy of the gravid womb, MJ; `t` days from conception; `ME_p` ME used for production.
//!
//! ```text
//! ME   = ME_m + ME_p
//! ME_m = 0.28 W^0.75 e^(−0.03 A) / k_m + 0.1 ME_p + E_graze / k_m        (the 0.1 ME_p: working harder)
//! ME_p = dY/dt · W_o / 4 / 0.133 + wool + growth
//! Y    = e^(7.649 − 11.465 e^(−0.00643 t)),   k_m = 0.02 M/D + 0.5
//! ```
//!
//! The book could not be opened; the equations were read in the New Zealand inventory's code and in papers.
//! Its curve of the womb is AFRC's (constants times ln 10), so that it is no second opinion on the lambs:
//! the two differ in maintenance. No protein equation could be read; protein here is AFRC's, and said so.

use crate::quantity::MjPerDay;
use crate::requirement::conceptus::LAMB_KG;
use crate::requirement::working::litter_line;
use crate::requirement::{Afrc1993, Need, Setting, Standard, State, WorkingLine, afrc_1993, growth};

/// Maintenance, MJ net per kg W^0.75. CSIRO 2007, confirmed in code; 0.26 with a term in intake elsewhere.
const MAINTENANCE_MJ: f64 = 0.28;
/// Fall of maintenance with each year of age, and the floor of the factor. CSIRO 2007, confirmed in code.
const AGE: [f64; 2] = [0.03, 0.84];
/// k_m = slope · M/D + intercept. CSIRO 2007, confirmed in papers by its authors (Freer et al. 2012).
const K_M: [f64; 2] = [0.02, 0.5];
/// Share of ME for production that maintenance rises by. CSIRO 2007, confirmed in code.
const HARDER: f64 = 0.1;
/// ln Y = A − B e^(−C t), MJ, for a 4 kg lamb. CSIRO 2007, Table of conceptus; AFRC's constants times ln 10.
const Y: [f64; 3] = [7.649, 11.465, 0.00643];
/// Efficiency for the lambs. CSIRO 2007, as AFRC 1993, confirmed.
const K_C: f64 = 0.133;
/// ME for each gram of wool above the growth that maintenance holds, MJ, and that growth, g a day. CSIRO
/// 2007, confirmed in code.
const WOOL: [f64; 2] = [0.13, 6.0];

/// CSIRO (2007).
#[derive(Debug, Clone, Copy)]
pub struct Csiro2007;

struct Parts {
    age_factor: f64,
    k_m: f64,
    resting: f64,
    outdoors: f64,
    womb: f64,
    gain: f64,
    lambs: f64,
    wool: f64,
    growth: f64,
    production: f64,
    me: f64,
}

fn womb(t: f64) -> f64 {
    let [a, b, c] = Y;
    libm::exp(a - b * libm::exp(-c * t))
}

/// dY/dt = B C e^(−C t) Y.
fn womb_gain(t: f64) -> f64 {
    let [_, b, c] = Y;
    b * c * libm::exp(-c * t) * womb(t)
}

fn parts(state: &State) -> Parts {
    let w = state.weight.value();
    let t = state.days_pregnant();
    let diet = state.diet.value();
    let age_factor = libm::exp(-AGE[0] * state.age_years).max(AGE[1]);
    let k_m = K_M[0] * diet + K_M[1];
    let resting = MAINTENANCE_MJ * libm::pow(w, 0.75) * age_factor / k_m;
    let outdoors = afrc_1993::outdoors(w, state.housing) / k_m;
    let (womb, gain) = if state.litter.lambs() > 0 {
        (womb(t), womb_gain(t) * state.birth_weight().value() / LAMB_KG)
    } else {
        (0.0, 0.0)
    };
    let lambs = gain / K_C;
    let wool = state.wool.map_or(0.0, |wool| WOOL[0] * (wool.value() - WOOL[1]).max(0.0));
    let growth = growth::energy(state.growth).value();
    let production = lambs + wool + growth;
    // ME = ME_m + ME_p with ME_m holding a tenth of ME_p, solved for ME.
    let me = resting + outdoors + (1.0 + HARDER) * production;
    Parts { age_factor, k_m, resting, outdoors, womb, gain, lambs, wool, growth, production, me }
}

impl Standard for Csiro2007 {
    fn id(&self) -> &'static str {
        "csiro2007"
    }

    fn name(&self) -> &'static str {
        "CSIRO (2007), energy of pregnant ewes; protein by AFRC (1993)"
    }

    fn caveat(&self) -> &'static str {
        "Shares AFRC's curve of the womb, so it is no second opinion on what the lambs take; it differs in \
         maintenance, which falls with age and rises with production. It has no safety margin. Its protein \
         equations could not be read: protein is AFRC's. Indoors the two lie within a few percent."
    }

    fn assumes(&self) -> &'static str {
        "maintenance by age, a tenth of ME for production on top, no margin; the lambs by AFRC's own curve; \
         energy only; outdoor activity and growth borrowed from AFRC 1993 and Keady"
    }

    fn protein_is_its_own(&self) -> bool {
        false
    }

    fn need(&self, state: &State) -> Need {
        Need { me: MjPerDay::new(parts(state).me), mp: Afrc1993.need(state).mp, own: None }
    }

    fn explain(&self, state: &State) -> Vec<WorkingLine> {
        explain(state, &parts(state))
    }

    fn settings(&self) -> &'static [Setting] {
        &[]
    }

    fn need_moved(&self, state: &State, _setting: usize, _value: f64) -> Need {
        self.need(state)
    }
}

fn explain(state: &State, p: &Parts) -> Vec<WorkingLine> {
    const SOURCE: &str = "CSIRO 2007, as read in code and papers that use it";
    let line = WorkingLine::new;
    let mut lines = vec![
        line(
            0,
            "Energy by the standard",
            "ME = 0.28 · W^0.75 · e^(−0.03 A) / k_m + E_out / k_m + 1.1 · ME_p",
            format!("{:.2} + {:.2} + 1.1 · {:.2}", p.resting, p.outdoors, p.production),
            format!("{:.2} MJ ME a day", p.me),
            SOURCE,
        ),
        line(
            1,
            "Maintenance at rest",
            "0.28 · W^0.75 · e^(−0.03 A) / k_m, the age factor at least 0.84; k_m = 0.02 M/D + 0.5",
            format!(
                "0.28 · {:.1}^0.75 · {:.3} / {:.3}, age {:.1} years",
                state.weight.value(),
                p.age_factor,
                p.k_m,
                state.age_years
            ),
            format!("{:.2} MJ ME a day", p.resting),
            SOURCE,
        ),
        line(
            1,
            "ME for production",
            "ME_p = lambs + wool + growth; wool 0.13 · (g a day − 6)",
            format!("{:.2} + {:.2} + {:.2}", p.lambs, p.wool, p.growth),
            format!("{:.2} MJ ME a day", p.production),
            "CSIRO 2007; growth: Keady, Teagasc",
        ),
    ];
    if state.litter.lambs() > 0 {
        lines.push(line(
            2,
            "The lambs",
            "dY/dt · W_o / 4 / 0.133, Y = e^(7.649 − 11.465 · e^(−0.00643 t))",
            format!("day {:.0}: Y {:.1} MJ, gain {:.2} MJ a day / 0.133", state.days_pregnant(), p.womb, p.gain),
            format!("{:.2} MJ ME a day", p.lambs),
            "CSIRO 2007: AFRC's constants times ln 10",
        ));
        lines.push(litter_line(state));
    }
    lines.extend(Afrc1993.explain(state).into_iter().skip_while(|line| !line.name.starts_with("Protein")));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::requirement::conceptus::{E_T, womb_content};

    #[test]
    fn the_curve_of_the_womb_is_afrc_s() {
        for t in [60.0, 105.0, 133.0, 147.0] {
            assert!((womb(t) / womb_content(E_T, t) - 1.0).abs() < 0.001, "day {t}");
        }
    }
}
