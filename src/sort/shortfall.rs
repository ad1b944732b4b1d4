//! Where the pens cannot hold the flock: by how much, which limit binds, and what would do.
//!
//! Every way to mend it that is named here was tried: with it, a sort was found.

use crate::arrange::Arrange as _;
use crate::flock::AgeClass;
use crate::solve::instance::{Bin, Instance, RESOURCES};
use crate::solve::search;
use crate::sort::{Plan, space};

/// What is short.
#[derive(Debug, Clone, PartialEq)]
pub struct Shortfall {
    /// One line: how many ewes over, and what is short.
    pub headline: String,
    /// Pen by pen, what it holds and which limit says so.
    pub limits: Vec<String>,
    /// Ways to mend it, each tried.
    pub mends: Vec<String>,
    /// How many ewes are over, at the least that was found.
    pub ewes_over: usize,
    /// Whether it is proved that no sort keeps the limits; otherwise none was found.
    pub proved: bool,
}

/// Table cells for each trial: enough for a good start, small enough for many trials.
const TRIAL_CELLS: usize = 300_000;
/// The steps in which trough (100 mm) and floor (a tenth of a square metre) are added, thousandths.
const STEP: u64 = 100;
/// Names and units of the resources.
pub(super) const RESOURCE_WORDS: [(&str, &str); RESOURCES] = [("trough", "m"), ("floor", "m²")];

/// Says what is short and how to mend it.
pub fn diagnose(plan: &Plan, proved: bool) -> Shortfall {
    if let Some(shortfall) = nowhere_to_go(plan) {
        return shortfall;
    }
    let instance = &plan.instance;
    let over = ewes_over(instance);
    let mut mends = Vec::new();
    let mut short = Vec::new();
    for (resource, (name, unit)) in RESOURCE_WORDS.into_iter().enumerate() {
        if let Some((pen, extra)) = least_extra(instance, resource) {
            let record = &plan.pens[pen];
            if resource == 0 && space::places_head(record).is_some() {
                let places = count_words(space::in_places(extra) as usize, "feeding place");
                short.push(format!("{places} short"));
                mends.push(format!("{places} more in pen {} would do.", record.name));
            } else {
                let amount = format!("{:.1} {unit}", extra as f64 / 1000.0);
                short.push(format!("{amount} of {name} short"));
                mends.push(format!("{amount} more {name} in pen {} would do.", record.name));
            }
        }
    }
    if let Some((pen, head)) = least_head(instance) {
        mends.push(format!("Letting pen {} hold {head} would do.", plan.pens[pen].name));
    }
    if let Some(both) = both_short(instance, mends.is_empty()) {
        short.push(both);
    }
    mends.extend(another_pen(plan, &over));
    let sure =
        if proved { "" } else { "no sort was found that keeps all limits (none is proved impossible): " };
    let ewes = count_words(over.len(), "ewe");
    let headline = match (over.is_empty(), short.first()) {
        (true, _) => format!("{sure}the pens cannot be filled within their limits: see each pen's limits."),
        (false, Some(short)) => format!("{sure}{ewes} more than the pens can hold: {short}."),
        (false, None) => format!("{sure}{ewes} more than the pens can hold."),
    };
    Shortfall {
        headline: crate::sort::reason::capital(&headline),
        limits: (0..plan.pens.len()).map(|pen| pen_limit(plan, pen)).collect(),
        mends,
        ewes_over: over.len(),
        proved,
    }
}

/// "1 ewe", "14 ewes".
pub fn count_words(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

/// Ewes that no pen takes at all.
fn nowhere_to_go(plan: &Plan) -> Option<Shortfall> {
    let homeless: Vec<usize> = (0..plan.ewes.len()).filter(|&ewe| plan.instance.allowed[ewe] == 0).collect();
    if homeless.is_empty() {
        return None;
    }
    let by_age = AgeClass::ALL.iter().filter_map(|&age| {
        let count = homeless.iter().filter(|&&ewe| plan.ewes[ewe].filled.age == age).count();
        (count > 0).then(|| count_words(count, age.in_words()))
    });
    let who: Vec<String> = by_age.collect();
    Some(Shortfall {
        headline: format!("{} for whom there is no pen.", who.join(" and ")),
        limits: plan.pens.iter().map(|pen| format!("Pen {} takes {}.", pen.name, takes_words(pen))).collect(),
        mends: vec!["Open a pen to them in the columns only and not, or take them off the list.".to_owned()],
        ewes_over: homeless.len(),
        proved: true,
    })
}

fn takes_words(pen: &crate::pen::Pen) -> String {
    let classes: Vec<String> = AgeClass::ALL
        .iter()
        .filter(|&&age| pen.takes(age))
        .map(|age| format!("{}s", age.in_words()))
        .collect();
    if classes.len() == AgeClass::ALL.len() { "every age".to_owned() } else { classes.join(" and ") }
}

fn sorts(instance: &Instance) -> bool {
    search::any(instance, TRIAL_CELLS).is_some()
}

/// The least number above `fails` and up to `most` that does, by halving; nothing where `most` does not.
fn least_that(mut fails: usize, most: usize, does: impl Fn(usize) -> bool) -> Option<usize> {
    let mut enough = most;
    if !does(enough) {
        return None;
    }
    while enough - fails > 1 {
        let middle = fails.midpoint(enough);
        if does(middle) {
            enough = middle;
        } else {
            fails = middle;
        }
    }
    Some(enough)
}

/// The fewest ewes to take out, largest first, until the rest can be placed; from one kind or the other,
/// whichever takes fewer. Empty where taking out does not help.
fn ewes_over(instance: &Instance) -> Vec<usize> {
    (0..instance.kinds())
        .filter_map(|kind| {
            let mut largest = instance.of_kind(kind as u8);
            largest.arrange_by_key(|&item| {
                let [trough, area] = instance.room[0][item];
                (u32::MAX - trough, u32::MAX - area, item)
            });
            // The least count that does, by halving: taking out more never makes it harder but for the
            // fewest head a pen must have, which the final trial guards.
            let does = |count: usize| sorts(&without(instance, &largest[..count]));
            let count = least_that(0, largest.len(), does)?;
            Some(largest[..count].to_vec())
        })
        .min_by_key(Vec::len)
        .unwrap_or_default()
}

fn without(instance: &Instance, gone: &[usize]) -> Instance {
    let stays: Vec<usize> = (0..instance.items()).filter(|item| !gone.contains(item)).collect();
    instance.only(&stays)
}

fn with_extra(instance: &Instance, pen: usize, resource: usize, extra: u64) -> Instance {
    let mut more = instance.clone();
    more.bins[pen].capacity[resource] = more.bins[pen].capacity[resource].saturating_add(extra);
    more
}

/// The least addition of one resource to one pen that lets everybody in, if any does.
fn least_extra(instance: &Instance, resource: usize) -> Option<(usize, u64)> {
    let total: u64 = (0..instance.items()).map(|item| u64::from(instance.room[0][item][resource])).sum();
    (0..instance.bins.len())
        .filter_map(|pen| {
            let does = |steps: usize| sorts(&with_extra(instance, pen, resource, steps as u64 * STEP));
            let steps = least_that(0, total.div_ceil(STEP) as usize + 1, does)?;
            Some((pen, steps as u64 * STEP))
        })
        .min_by_key(|&(pen, extra)| (extra, pen))
}

/// The least head limit of one pen that lets everybody in, where head is what binds.
fn least_head(instance: &Instance) -> Option<(usize, usize)> {
    (0..instance.bins.len())
        .filter(|&pen| instance.bins[pen].max_head < instance.items())
        .filter_map(|pen| {
            let does = |head: usize| {
                let mut more = instance.clone();
                more.bins[pen].max_head = head;
                sorts(&more)
            };
            least_that(instance.bins[pen].max_head, instance.items(), does).map(|head| (pen, head))
        })
        .min_by_key(|&(pen, head)| (head - instance.bins[pen].max_head, pen))
}

/// Where no single limit mends it: what the flock needs in all against what the pens have.
fn both_short(instance: &Instance, nothing_else_does: bool) -> Option<String> {
    if !nothing_else_does {
        return None;
    }
    let lacks: Vec<String> = (0..RESOURCES)
        .filter_map(|resource| {
            let have =
                instance.bins.iter().fold(0_u64, |sum, bin| sum.saturating_add(bin.capacity[resource]));
            let need: u64 =
                (0..instance.items()).map(|item| u64::from(instance.room[0][item][resource])).sum();
            let (name, unit) = RESOURCE_WORDS[resource];
            (need > have).then(|| format!("{:.1} {unit} of {name} short", (need - have) as f64 / 1000.0))
        })
        .collect();
    (!lacks.is_empty()).then(|| format!("{} over all pens", lacks.join(" and ")))
}

/// One more pen on straw, fed in one go, for those left over: the smallest that lets everybody in.
fn another_pen(plan: &Plan, over: &[usize]) -> Option<String> {
    let instance = &plan.instance;
    if instance.bins.len() == Instance::MOST_BINS {
        return None;
    }
    let room: [Vec<u64>; RESOURCES] = std::array::from_fn(|resource| {
        let mut sizes: Vec<u32> = instance.room[0].iter().map(|room| room[resource]).collect();
        sizes.sort_unstable();
        sizes.reverse();
        let largest_first = sizes.iter().scan(0, |sum, &size| {
            *sum += u64::from(size);
            // Rounded up to the step, as it is said.
            Some(u64::div_ceil(*sum, STEP) * STEP)
        });
        largest_first.collect()
    });
    let does = |head: usize| {
        // What places cost does not settle whether all can stand, and it is told for the old pens alone.
        let mut more = Instance { place_cost: None, ..instance.clone() };
        more.bins.push(Bin {
            space_type: 0,
            capacity: [room[0][head - 1], room[1][head - 1]],
            max_head: usize::MAX,
            min_head: plan.settings.min_head as usize,
            fair_head: 0.0,
        });
        for (mask, ewe) in more.allowed.iter_mut().zip(&plan.ewes) {
            *mask |= if ewe.kept.is_none() { 1 << instance.bins.len() } else { 0 };
        }
        sorts(&more)
    };
    let least = over.len().max(plan.settings.min_head as usize).max(1);
    let head = (least..=instance.items()).find(|&head| does(head))?;
    Some(format!(
        "One more pen of {:.1} m of trough and {:.1} m² of floor, for {}, would do.",
        room[0][head - 1] as f64 / 1000.0,
        room[1][head - 1] as f64 / 1000.0,
        count_words(head, "ewe")
    ))
}

/// What a pen holds, and which limit says so, at the flock's mean ewe.
fn pen_limit(plan: &Plan, pen: usize) -> String {
    let instance = &plan.instance;
    let bin = &instance.bins[pen];
    let open = (0..instance.items()).filter(|&ewe| instance.may(ewe, pen));
    let count = open.clone().count();
    let record = &plan.pens[pen];
    if count == 0 {
        return format!("Pen {} takes none of these ewes ({}).", record.name, takes_words(record));
    }
    let mut least = (bin.max_head, "its head limit");
    let mut parts = Vec::new();
    for (resource, (name, unit)) in RESOURCE_WORDS.into_iter().enumerate() {
        let mean = open.clone().map(|ewe| f64::from(instance.room_in(ewe, pen)[resource])).sum::<f64>()
            / count as f64;
        let head = (bin.capacity[resource] as f64 / mean.max(1.0)) as usize;
        if resource == 0 && space::places_head(record).is_some() {
            parts.push(count_words(head, "feeding place"));
        } else {
            parts.push(format!("{:.1} {unit} of {name} for {head}", bin.capacity[resource] as f64 / 1000.0));
        }
        if head < least.0 {
            least = (head, name);
        }
    }
    format!(
        "Pen {}: about {}, limited by {} ({}).",
        record.name,
        count_words(least.0, "ewe"),
        least.1,
        parts.join(", ")
    )
}
