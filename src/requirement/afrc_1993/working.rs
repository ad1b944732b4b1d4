//! AFRC (1993), opened line by line.

use super::{K_C, Parts};
use crate::requirement::working::litter_line;
use crate::requirement::{Housing, State, WorkingLine};

pub(super) fn energy(state: &State, p: &Parts) -> Vec<WorkingLine> {
    let w = state.weight.value();
    let t = state.days_pregnant();
    let coefficient = match state.housing {
        Housing::Housed => "0.0054",
        Housing::Lowland => "0.0107",
        Housing::Hill => "0.0240",
    };
    let line = WorkingLine::new;
    let mut lines = vec![
        line(
            0,
            "Energy by the standard",
            "ME = 1.05 · ((F + A) / k_m + E_c / k_c) + growth",
            format!(
                "1.05 · (({:.2} + {:.2}) / {:.3} + {:.2} / {K_C}) + {:.2}",
                p.fasting, p.activity, p.k_m, p.conceptus_mj, p.growth_mj
            ),
            format!("{:.2} MJ ME a day", p.me),
            "AFRC 1993; 5 % margin, its size from memory",
        ),
        line(
            1,
            "Fasting metabolism",
            "F = 0.23 · (W / 1.08)^0.75",
            format!("0.23 · ({w:.1} / 1.08)^0.75"),
            format!("{:.2} MJ a day", p.fasting),
            "AFRC 1993, from memory; with the rest it meets the reprinted table",
        ),
        line(
            1,
            &format!("Activity, {}", state.housing.in_words()),
            &format!("A = {coefficient} · W"),
            format!("{coefficient} · {w:.1}"),
            format!("{:.2} MJ a day", p.activity),
            match state.housing {
                Housing::Housed => "AFRC 1993, from memory; meets the reprinted table",
                Housing::Lowland => "AFRC 1993, confirmed",
                Housing::Hill => "AFRC 1993, from memory; rebuilt from 5 km and a 100 m climb",
            },
        ),
        line(
            1,
            "Efficiency for maintenance",
            "k_m = 0.35 · q + 0.503, q = M/D / 18.8",
            format!("0.35 · {:.3} + 0.503", p.q),
            format!("{:.3}", p.k_m),
            "AFRC 1993, confirmed; 18.8 from memory",
        ),
    ];
    if state.litter.lambs() > 0 {
        lines.push(line(
            1,
            "Energy laid down in the lambs",
            "E_c = W_o / 4 · E_t · 4.979 · ln 10 · 0.00643 · e^(−0.00643 t)",
            format!(
                "{:.1} / 4 · {:.1} · 0.07372 · e^(−0.00643 · {t:.0})",
                p.litter_weight.value(),
                p.womb_mj
            ),
            format!("{:.2} MJ a day", p.conceptus_mj),
            "AFRC 1993, confirmed",
        ));
        lines.push(line(
            2,
            "Energy in the womb, 4 kg lamb",
            "E_t = 10^(3.322 − 4.979 · e^(−0.00643 t))",
            format!("day {t:.0} of pregnancy"),
            format!("{:.1} MJ", p.womb_mj),
            "AFRC 1993, confirmed",
        ));
        lines.push(litter_line(state));
    }
    if state.growth.value() > 0.0 {
        lines.push(line(
            1,
            "Growth",
            "0.05 MJ · g of growth a day",
            format!("0.05 · {:.0}", state.growth.value()),
            format!("{:.2} MJ a day", p.growth_mj),
            "2.5 MJ for 50 g: Keady, Teagasc",
        ));
    }
    lines
}

pub(super) fn protein(state: &State, p: &Parts) -> Vec<WorkingLine> {
    let w = state.weight.value();
    let t = state.days_pregnant();
    let line = WorkingLine::new;
    let mut lines = vec![
        line(
            0,
            "Protein by the standard",
            match state.wool {
                None => "MP = 1.05 · (2.1875 W^0.75 + 20.4 + TP_c / 0.85 + growth)",
                Some(_) => "MP = 1.05 · (2.1875 W^0.75 + wool / 0.26 + TP_c / 0.85 + growth)",
            },
            format!("1.05 · ({:.1} + {:.1} + {:.1} + {:.1})",
                p.mp_maintenance, p.mp_wool, p.mp_lambs, p.mp_growth),
            format!("{:.1} g MP a day", p.mp),
            "AFRC 1993; wool 20.4, 0.85 and the margin's size from memory",
        ),
        line(
            1,
            "Maintenance",
            "2.1875 · W^0.75",
            format!("2.1875 · {w:.1}^0.75"),
            format!("{:.1} g a day", p.mp_maintenance),
            "AFRC 1993, derived from 0.35 g N; comes out 9 % over the one printed maintenance cell",
        ),
    ];
    if state.litter.lambs() > 0 {
        lines.push(line(
            1,
            "Protein laid down in the lambs",
            "TP_c = W_o / 4 · TP_t · 4.873 · ln 10 · 0.00601 · e^(−0.00601 t)",
            format!(
                "{:.1} / 4 · {:.0} · 0.06744 · e^(−0.00601 · {t:.0})",
                p.litter_weight.value(),
                p.womb_protein
            ),
            format!("{:.1} g a day", p.conceptus_protein),
            "AFRC 1993, curve from memory",
        ));
    }
    if state.growth.value() > 0.0 {
        lines.push(line(
            1,
            "Growth",
            "growth · (156.1 − 1.94 W + 0.0173 W²) / 0.59",
            format!("{:.3} kg a day at {w:.1} kg", state.growth.value() / 1000.0),
            format!("{:.1} g a day", p.mp_growth),
            "AFRC 1993, from memory; 0.59 confirmed",
        ));
    }
    lines
}
