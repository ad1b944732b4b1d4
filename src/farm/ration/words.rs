//! What is said about a ration, in farm words.

use crate::quantity::Kg;
use crate::ration::{Asked, Change, Cost, Entry, Key, Rule, Tried, Way};
use crate::requirement::condition::{KG_PER_SCORE, MJ_PER_KG_LOST};

/// Two prices that are this near are one, pence.
const SAME_PENCE: f64 = 0.02;
/// A gap below this is none: MJ and g a day.
pub(in crate::farm) const MET: [f64; 2] = [0.05, 0.5];

/// So many of a limit's units as a person would talk of.
fn handful(key: Key) -> (f64, &'static str) {
    match key {
        Key::Me => (1.0, "MJ of energy"),
        Key::MpEnergy | Key::MpNitrogen => (10.0, "g of protein"),
        Key::Degradable => (10.0, "g of degradable protein"),
        Key::Appetite => (1.0, "% of appetite"),
        Key::DryMatter | Key::Least => (0.1, "kg of dry matter"),
        Key::ForageKg => (0.1, "kg DM of forage"),
        Key::ForageShare => (1.0, "% of forage"),
        Key::Fibre => (10.0, "g of fibre a kg DM"),
        Key::Starch | Key::StarchSugar => (10.0, "g a kg DM of it"),
        Key::Oil => (1.0, "g of oil a kg DM"),
        Key::Calcium | Key::Phosphorus | Key::Magnesium | Key::Sodium => (0.1, "g a kg DM of it"),
        Key::CaPLeast | Key::CaPWanted | Key::CaPMost => (0.1, "to 1"),
        Key::Copper => (1.0, "mg of copper a kg DM"),
        Key::ConcentrateDay | Key::ConcentrateFeeds | Key::Rise | Key::ConcentrateHeld => {
            (0.1, "kg of concentrate")
        }
        Key::Roots | Key::Wheat => (0.1, "kg of it"),
    }
}

/// How far a limit may go at its price.
fn holds(rule: &Rule, cost: &Cost) -> String {
    let unit = handful(rule.key).1.split_whitespace().next().unwrap_or_default();
    let decimals = match unit {
        "g" => 0,
        "kg" => 2,
        _ => 1,
    };
    let far = |by: f64, way: &str| {
        let least = libm::pow(10.0, -f64::from(decimals as u32));
        if by.is_infinite() {
            format!("however much {way}")
        } else if by < 0.5 * least {
            format!("for under {least:.decimals$} {unit} {way}")
        } else {
            format!("up to {by:.decimals$} {unit} {way}")
        }
    };
    let sides = [cost.holds[1].map(|by| far(by, "more")), cost.holds[0].map(|by| far(by, "less"))];
    let sides: Vec<String> = sides.into_iter().flatten().collect();
    if sides.is_empty() { String::new() } else { format!("; holds {}", sides.join(" and ")) }
}

/// What a limit costs, and how far that holds.
pub(super) fn cost(rule: &Rule, cost: &Cost) -> String {
    format!("{}{}", priced(rule, cost), holds(rule, cost))
}

fn priced(rule: &Rule, cost: &Cost) -> String {
    let (many, of) = handful(rule.key);
    let pence = |slope: f64| many * slope;
    let say = |pence: f64| {
        if pence >= 0.0 { format!("costs {pence:.2} p") } else { format!("saves {:.2} p", -pence) }
    };
    match cost.pence.map(|side| side.map(pence)) {
        [Some(below), Some(above)] if (above - below).abs() <= SAME_PENCE => {
            format!("another {many} {of} {} a ewe a day", say(above))
        }
        [Some(below), Some(above)] => {
            let (least, most) = (below.min(above), below.max(above));
            if least >= 0.0 {
                format!("another {many} {of} costs between {least:.2} and {most:.2} p a ewe a day")
            } else if most <= 0.0 {
                format!("another {many} {of} saves between {:.2} and {:.2} p a ewe a day", -most, -least)
            } else {
                format!("another {many} {of} {}, {many} less {} a ewe a day", say(above), say(-below))
            }
        }
        [Some(below), None] => {
            format!("{many} {of} less {} a ewe a day; more cannot be had within the limits", say(-below))
        }
        [None, Some(above)] => format!("another {many} {of} {} a ewe a day; less cannot be", say(above)),
        [None, None] => "there is no room on either side".to_owned(),
    }
}

/// When an unused feed would be fed.
pub(super) fn entry(name: &str, price: f64, entry: &Entry) -> String {
    match entry.below {
        None => format!("{name}: does not fit within the limits at any price."),
        Some(below) if below <= 0.0 => {
            format!("{name}: not even for nothing (it would have to bring {:.0} a tonne).", -below)
        }
        Some(below) if below >= price => format!(
            "{name}: worth up to {below:.0} a tonne, but was left out to keep the feeds few or the amounts weighable."
        ),
        Some(below) => {
            format!("{name}: enters below {below:.0} a tonne, then {:.2} kg; it costs {price:.0}.", entry.kg)
        }
    }
}

/// What a missed need means.
pub(super) fn shortfall(key: Key, name: &str, missed: f64, unit: &str, asked: &Asked) -> String {
    match key {
        Key::Me => {
            let kg = Kg::new(missed * 7.0 / MJ_PER_KG_LOST);
            let score = kg.value() / (KG_PER_SCORE * asked.weight.value());
            format!(
                "{missed:.1} MJ a day of energy short: about {:.2} kg off her own back a week, {score:.2} of a \
                 condition score.",
                kg.value()
            )
        }
        Key::MpEnergy => {
            format!(
                "{missed:.0} g a day of protein short because energy runs out in the rumen: less colostrum."
            )
        }
        Key::MpNitrogen => {
            format!(
                "{missed:.0} g a day of protein short because nitrogen runs out in the rumen: less colostrum."
            )
        }
        Key::Degradable => {
            format!(
                "{missed:.0} g a day of degradable protein short: she digests forage worse and eats less of it."
            )
        }
        _ => format!("{name}: {missed:.2} {unit} off what is wanted."),
    }
}

/// A way out and what came of it.
pub(super) fn way_out(tried: &Tried, asks_protein: bool) -> String {
    let what = match &tried.change {
        Change::Feeds(feeds) => format!("Feed concentrate {feeds} times a day"),
        Change::Mix => "Mix everything instead of feeding it apart".to_owned(),
        Change::Straw => format!("Feed it as straw ({})", Way::Straw.in_words()),
        Change::BetterForage(name) => {
            format!("A cut of {name} better by 1 MJ a kg DM, eaten accordingly better")
        }
        Change::Buy(name) => {
            format!("Buy in {name}, {:.2} kg a ewe a day (its price is not reckoned)", tried.kg)
        }
        Change::MoreOf(name) => format!("More of {name} than is in store"),
        Change::Later => "Once the step from last week is behind her".to_owned(),
    };
    let energy = if tried.me_short > MET[0] {
        format!("{:.1} MJ still short", tried.me_short)
    } else {
        "energy met".to_owned()
    };
    let protein = match (asks_protein, tried.mp_short > MET[1]) {
        (false, _) => String::new(),
        (true, true) => format!(", {:.0} g of protein still short", tried.mp_short),
        (true, false) => ", protein met".to_owned(),
    };
    let cost = match &tried.change {
        Change::Buy(_) if tried.pence < 0.05 => "nothing else is fed".to_owned(),
        Change::Buy(_) => format!("the rest costs {:.1} p a ewe a day", tried.pence),
        _ => format!("{:.1} p a ewe a day", tried.pence),
    };
    format!("{what}: {energy}{protein}, {cost}.")
}
