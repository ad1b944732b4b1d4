//! Side by side: what several sources make of a ewe's intake, what every standard makes of her need, and how
//! far each uncertain figure moves it.

use super::answer::{Compared, IntakeLine, Moved, OwnUnitsAnswer};
use crate::flock::Litter;
use crate::quantity::{Kg, MjPerKgDm};
use crate::requirement::intake_sources::{self, Forage};
use crate::requirement::{
    Housing, Need, OwnUnits, Standard, State, conceptus, litter_weight, standards,
};

pub(super) fn own_units(own: OwnUnits) -> OwnUnitsAnswer {
    let OwnUnits { energy, energy_unit, protein, protein_unit } = own;
    OwnUnitsAnswer { energy, energy_unit, protein, protein_unit }
}

pub(super) fn intakes(state: &State, forage: Forage) -> Vec<IntakeLine> {
    intake_sources::rows(state.weight, state.litter, state.days_to_lambing, forage)
        .into_iter()
        .map(|row| IntakeLine {
            source: row.source,
            covers: row.covers.in_words(),
            kg_dm_per_day: row.dry_matter.value(),
            percent_of_live_weight: row.percent,
            note: row.note,
        })
        .collect()
}

pub(super) fn compare(state: &State) -> Vec<Compared> {
    let barren = Litter::of(0).map_or(*state, |litter| State { litter, ..*state });
    let first = standards()[0].need(state).me;
    standards()
        .into_iter()
        .map(|standard| {
            let Need { me, mp, own } = standard.need(state);
            Compared {
                standard: standard.id(),
                name: standard.name(),
                me_mj_per_day: me.value(),
                mp_g_per_day: standard.protein_is_its_own().then(|| mp.value()),
                own_units: own.map(own_units),
                me_against_first_percent: 100.0 * (me / first - 1.0),
                me_for_lambs_mj_per_day: me.value() - standard.need(&barren).me.value(),
                assumes: standard.assumes(),
                caveat: standard.caveat(),
            }
        })
        .collect()
}

/// Every setting of the standard that is from memory or fitted, at both ends of its range, then the inputs
/// that are most often wrong.
pub(super) fn sensitivity(standard: &dyn Standard, state: &State) -> Vec<Moved> {
    let here = standard.need(state);
    let moved = |name: &str, standing, used: String, moved_to: String, need: Need, why: &str| Moved {
        name: name.to_owned(),
        standing,
        used,
        moved_to,
        me_percent: 100.0 * (need.me / here.me - 1.0),
        mp_percent: 100.0 * (need.mp / here.mp - 1.0),
        why: why.to_owned(),
    };
    let mut rows = Vec::new();
    for (place, setting) in standard.settings().iter().enumerate() {
        for value in ends(setting.range, setting.value) {
            let (used, to) = (format!("{} {}", setting.value, setting.unit), format!("{value}"));
            let need = standard.need_moved(state, place, value);
            rows.push(moved(setting.name, setting.standing.in_words(), used, to, need, setting.range_source));
        }
    }
    let scale = litter_weight::SCALE;
    let given = state.litter_weight.is_some();
    if state.litter.lambs() > 0 && !given {
        for value in ends(scale.range, scale.value) {
            let litter_weight = Some(state.birth_weight() * (value / scale.value));
            let need = standard.need(&State { litter_weight, ..*state });
            let used = format!("{} {}", scale.value, scale.unit);
            let standing = scale.standing.in_words();
            rows.push(moved(scale.name, standing, used, value.to_string(), need, scale.range_source));
        }
    }
    for (name, used, to, state, why) in inputs(state) {
        rows.push(moved(name, "input", used, to, standard.need(&state), why));
    }
    rows
}

/// The ends of a range that differ from the value in use.
fn ends(range: [f64; 2], value: f64) -> impl Iterator<Item = f64> {
    range.into_iter().filter(move |end| (end - value).abs() > 1e-12)
}

type Input = (&'static str, String, String, State, &'static str);

fn inputs(state: &State) -> Vec<Input> {
    let mut rows: Vec<Input> = [9.5, 12.5]
        .into_iter()
        .map(|mj| {
            let diet = MjPerKgDm::new(mj);
            let (used, to) = (state.diet.to_string(), diet.to_string());
            ("diet", used, to, State { diet, ..*state }, "hay to a rich ration")
        })
        .collect();
    for housing in Housing::ALL.into_iter().filter(|housing| *housing != state.housing) {
        let (used, to) = (state.housing.in_words().to_owned(), housing.in_words().to_owned());
        rows.push(("housing", used, to, State { housing, ..*state }, "activity"));
    }
    if state.litter.lambs() > 0 {
        let litter = state.birth_weight();
        let heavier = State { litter_weight: Some(litter + Kg::new(1.0)), ..*state };
        rows.push((
            "litter weight",
            litter.to_string(),
            (litter + Kg::new(1.0)).to_string(),
            heavier,
            "prolific lowland flocks exceed the equation by 1 to 3 kg",
        ));
        let with = state.weight + conceptus::weight(state.litter, litter, state.days_to_lambing);
        let mistaken = State { weight: with, litter_weight: Some(litter), ..*state };
        rows.push((
            "weight taken with the lambs by mistake",
            state.weight.to_string(),
            with.to_string(),
            mistaken,
            "womb and lambs by the curve of CSIRO 2007, from memory",
        ));
    }
    rows
}
