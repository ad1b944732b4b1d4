//! The limits that an assignment breaks, pen by pen, in words and numbers.

use crate::flock::AgeClass;
use crate::solve::instance::{Instance, RESOURCES};
use crate::sort::reason::capital;
use crate::sort::shortfall::count_words;
use crate::sort::{Plan, space};
use serde::Serialize;

/// One limit that a pen's ewes break.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct BrokenLimit {
    /// The pen's name.
    pub pen: String,
    /// Which limit: `trough`, `places`, `floor`, `max_head`, `min_head`, `age`, `apart` (kinds), `out_of_use`,
    /// `keep_together`, `keep_apart` (both by hand) or `other`.
    pub limit: &'static str,
    /// What its ewes take: for `age` how many it does not take, for `apart` how many of the lesser kind, for
    /// `keep_together` how many stand elsewhere, for `keep_apart` the two who stand together.
    pub used: f64,
    /// What there is; for `min_head` the fewest that must be there; otherwise nought where nobody may.
    pub available: f64,
    /// The unit of both: `m`, `m²`, `places` or `ewes`.
    pub unit: &'static str,
    /// The same in words.
    pub words: String,
}

/// Every limit that is broken, in the order of the pens. Empty if and only if the assignment is feasible.
pub fn broken(plan: &Plan, assignment: &[usize]) -> Vec<BrokenLimit> {
    let members = plan.instance.members(assignment);
    let mut broken: Vec<BrokenLimit> =
        members.iter().enumerate().flat_map(|(pen, members)| in_pen(plan, pen, members)).collect();
    broken.extend(ties(plan, assignment));
    broken.extend(kept_elsewhere(plan, assignment));
    if broken.is_empty() && !plan.instance.is_feasible(assignment) {
        broken.push(BrokenLimit {
            pen: String::new(),
            limit: "other",
            used: 1.0,
            available: 0.0,
            unit: "ewes",
            words: "It breaks a limit that is not of one pen alone.".to_owned(),
        });
    }
    broken
}

/// Ewes kept in a pen by hand who stand in another.
fn kept_elsewhere(plan: &Plan, assignment: &[usize]) -> Vec<BrokenLimit> {
    let name = |pen: usize| plan.pens[pen].name.as_str();
    let elsewhere = plan.ewes.iter().zip(assignment).filter_map(|(ewe, &pen)| {
        let kept = ewe.kept.filter(|&kept| kept != pen)?;
        let words = format!("Pen {}: {} is kept in pen {} by hand.", name(pen), ewe.ewe.tag, name(kept));
        Some(BrokenLimit {
            pen: name(pen).to_owned(),
            limit: "other",
            used: 1.0,
            available: 0.0,
            unit: "ewes",
            words,
        })
    });
    elsewhere.collect()
}

/// Ewes who must share a pen and do not, and who must not and do.
fn ties(plan: &Plan, assignment: &[usize]) -> Vec<BrokenLimit> {
    let pen = |ewe: usize| plan.pens[assignment[ewe]].name.clone();
    let tag = |ewe: usize| plan.ewes[ewe].ewe.tag.as_str();
    let parted = plan.instance.together.iter().filter_map(|set| {
        let first = *set.first()?;
        let elsewhere: Vec<&str> =
            set.iter().filter(|&&ewe| assignment[ewe] != assignment[first]).map(|&ewe| tag(ewe)).collect();
        (!elsewhere.is_empty()).then(|| BrokenLimit {
            pen: pen(first),
            limit: "keep_together",
            used: elsewhere.len() as f64,
            available: 0.0,
            unit: "ewes",
            words: format!(
                "Pen {}: {} must share a pen with {} and does not.",
                pen(first),
                tag(first),
                elsewhere.join(", ")
            ),
        })
    });
    let joined = plan.instance.apart.iter().filter(|&&[a, b]| assignment[a] == assignment[b]);
    let joined = joined.map(|&[a, b]| BrokenLimit {
        pen: pen(a),
        limit: "keep_apart",
        used: 2.0,
        available: 0.0,
        unit: "ewes",
        words: format!("Pen {}: {} and {} must not share a pen.", pen(a), tag(a), tag(b)),
    });
    parted.chain(joined).collect()
}

fn in_pen(plan: &Plan, pen: usize, members: &[usize]) -> Vec<BrokenLimit> {
    let instance = &plan.instance;
    let Some(&first) = members.first() else { return Vec::new() };
    let bin = &instance.bins[pen];
    let record = &plan.pens[pen];
    let name = &record.name;
    let mut broken = Vec::new();
    let mut add = |limit: &'static str, used: f64, available: f64, unit: &'static str, words: String| {
        broken.push(BrokenLimit { pen: name.clone(), limit, used, available, unit, words });
    };
    for resource in 0..RESOURCES {
        let used: u64 = members.iter().map(|&ewe| u64::from(instance.room_in(ewe, pen)[resource])).sum();
        let there = bin.capacity[resource];
        if used <= there {
            continue;
        }
        match (resource, space::places_head(record)) {
            (0, Some(places)) => add(
                "places",
                members.len() as f64,
                f64::from(places),
                "places",
                format!(
                    "Pen {name} holds {} and has feeding places for {places}.",
                    count_words(members.len(), "ewe")
                ),
            ),
            _ => {
                let (limit, what, unit) =
                    if resource == 0 { ("trough", "trough", "m") } else { ("floor", "floor", "m²") };
                let words = format!(
                    "Pen {name}: its ewes need {} {unit} of {what} and there are {}: {} {unit} short.",
                    thousandths(used),
                    thousandths(there),
                    thousandths(used - there)
                );
                add(limit, used as f64 / 1000.0, there as f64 / 1000.0, unit, words);
            }
        }
    }
    let head = members.len();
    let ewes = count_words(head, "ewe");
    if head > bin.max_head {
        let words = format!("Pen {name} holds {ewes}; its head limit is {}.", bin.max_head);
        add("max_head", head as f64, bin.max_head as f64, "ewes", words);
    }
    let least = instance.min_head(instance.kind[first], pen);
    if head < least {
        let words = format!("Pen {name} holds {ewes}; a pen that is used takes at least {least}.");
        add("min_head", head as f64, least as f64, "ewes", words);
    }
    if plan.settings.out_of_use.contains(name) {
        add("out_of_use", head as f64, 0.0, "ewes", format!("Pen {name} is out of use and holds {ewes}."));
    }
    for age in AgeClass::ALL {
        let count = members.iter().filter(|&&ewe| plan.ewes[ewe].filled.age == age).count();
        if count > 0 && !record.takes(age) {
            let words = format!("Pen {name} takes no {}s and holds {count}.", age.in_words());
            add("age", count as f64, 0.0, "ewes", words);
        }
    }
    if let Some(count) = lesser_kind(instance, members) {
        let words = format!(
            "Pen {name} mixes ewe lambs with older ewes: {} of the fewer.",
            count_words(count, "ewe")
        );
        add("apart", count as f64, 0.0, "ewes", words);
    }
    broken
}

/// How many do not belong to the pen's commonest kind, where there are any.
fn lesser_kind(instance: &Instance, members: &[usize]) -> Option<usize> {
    let most = (0..instance.kinds())
        .map(|kind| members.iter().filter(|&&ewe| usize::from(instance.kind[ewe]) == kind).count())
        .max()?;
    (most < members.len()).then(|| members.len() - most)
}

/// Thousandths with as many decimals as they have, two at the least.
fn thousandths(value: u64) -> String {
    let figure = value as f64 / 1000.0;
    if value.is_multiple_of(10) { format!("{figure:.2}") } else { format!("{figure:.3}") }
}

/// In a line: how many limits are broken, and in which pens.
pub fn in_a_line(broken: &[BrokenLimit]) -> String {
    let mut pens: Vec<&str> = broken.iter().map(|limit| limit.pen.as_str()).collect();
    pens.dedup();
    capital(&format!("{} broken, in {}", count_words(broken.len(), "limit"), count_words(pens.len(), "pen")))
}
