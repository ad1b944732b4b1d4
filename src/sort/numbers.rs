//! The plan as numbers for the solver: axes, slopes, room, and who is tied to whom.

use crate::flock::AgeClass;
use crate::pen::Pen;
use crate::problem::{Problem, Severity};
use crate::quantity::KgDmPerDay;
use crate::solve::instance::{Axis, Bin, Instance, RESOURCES, Slopes};
use crate::sort::plan::PlannedEwe;
use crate::sort::settings::{Settings, Soft};
use crate::sort::space;

/// Energy density by day.
pub(super) const ENERGY: u8 = 0;
/// Protein density by day.
pub(super) const PROTEIN: u8 = 1;
/// Live weight.
pub(super) const BODY_SIZE: u8 = 2;
/// Day due.
const LAMBING: u8 = 3;

/// The problem in numbers. The first axes are the energy densities by day, whatever follows.
pub(super) fn instance(
    ewes: &[PlannedEwe],
    pens: &[Pen],
    mean_intake: &[KgDmPerDay],
    settings: &Settings,
    problems: &mut Vec<Problem>,
) -> Instance {
    let kind = kinds(ewes, settings);
    let Axes { axes, weight, leading, need } = axes(ewes, mean_intake, settings);
    let slopes = if settings.under_by_litter.is_empty() && settings.over_by_litter.is_empty() {
        Slopes::Same([settings.under, settings.over])
    } else {
        Slopes::Each(ewes.iter().map(|ewe| settings.slopes(ewe.litter.lambs())).collect())
    };
    // A fair share is the flock's and the pens', whoever is kept by hand: or keeping would change its own price.
    let free = allowed(ewes, pens, &kind, settings, false);
    let mut instance = Instance {
        axes,
        weight,
        leading,
        need,
        slopes,
        room: (0..space::TYPES).map(|kind| ewes.iter().map(|ewe| ewe.room[kind]).collect()).collect(),
        bins: pens
            .iter()
            .take(Instance::MOST_BINS)
            .map(|pen| space::bin(pen, settings.min_head.max(1)))
            .collect(),
        allowed: allowed(ewes, pens, &kind, settings, true),
        kind_size: Instance::count_kinds(&kind),
        kind,
        place_cost: None,
        even: settings.soft.even_filling_mj_per_ewe,
        together: Vec::new(),
        apart: Vec::new(),
    };
    share_fairly(&mut instance, &free);
    tie(&mut instance, ewes, settings, problems);
    for name in settings.out_of_use.iter().filter(|name| pens.iter().all(|pen| pen.name != **name)) {
        problems.push(Problem::new(
            Severity::Warning,
            "no-such-pen",
            format!("pen {name}"),
            format!("There is no pen {name} to leave out of use."),
            "Check the name; the other pens were used.",
        ));
    }
    instance
}

/// Ewe lambs are a kind of their own where they are kept from the rest.
fn kinds(ewes: &[PlannedEwe], settings: &Settings) -> Vec<u8> {
    let lambs_apart = |ewe: &PlannedEwe| settings.ewe_lambs_apart && ewe.filled.age == AgeClass::EweLamb;
    let any_other = ewes.iter().any(|ewe| !lambs_apart(ewe));
    ewes.iter().map(|ewe| u8::from(any_other && lambs_apart(ewe))).collect()
}

struct Axes {
    axes: Vec<Axis>,
    weight: Vec<f64>,
    leading: usize,
    need: Vec<f64>,
}

fn axes(ewes: &[PlannedEwe], mean_intake: &[KgDmPerDay], settings: &Settings) -> Axes {
    let Soft { protein_mj_per_g, body_size_mj_per_kg, lambing_spread_mj_per_day, .. } = settings.soft;
    let days = mean_intake.len();
    let mut axes = Vec::new();
    let mut weight = Vec::new();
    let [low, high] = Settings::LEVEL_LIMITS;
    let mut add = |family: u8, [low, high]: [f64; 2], count_for: f64| {
        axes.push(Axis { low, high, family });
        weight.push(count_for);
    };
    for intake in mean_intake {
        add(ENERGY, [low, high], intake.value());
    }
    let protein = |ewe: &PlannedEwe, day: usize| {
        let need = &ewe.needs[day];
        (need.mp / need.intake).value()
    };
    let with_protein = protein_mj_per_g > 0.0;
    let mut leading = days;
    if with_protein {
        leading += days;
        for (day, intake) in mean_intake.iter().enumerate() {
            let limits = reach(ewes.iter().map(|ewe| protein(ewe, day)));
            add(PROTEIN, limits, intake.value() * protein_mj_per_g);
        }
    }
    let size = |ewe: &PlannedEwe| ewe.filled.weight.value();
    let lambing = |ewe: &PlannedEwe| f64::from(ewe.due.since(settings.on));
    let (with_size, with_lambing) = (body_size_mj_per_kg > 0.0, lambing_spread_mj_per_day > 0.0);
    if with_size {
        add(BODY_SIZE, reach(ewes.iter().map(size)), body_size_mj_per_kg);
    }
    if with_lambing {
        add(LAMBING, reach(ewes.iter().map(lambing)), lambing_spread_mj_per_day);
    }
    let mut need = Vec::with_capacity(ewes.len() * axes.len());
    for ewe in ewes {
        need.extend(ewe.needs.iter().map(|need| need.density().value()));
        if with_protein {
            need.extend((0..days).map(|day| protein(ewe, day)));
        }
        need.extend(with_size.then(|| size(ewe)));
        need.extend(with_lambing.then(|| lambing(ewe)));
    }
    Axes { axes, weight, leading, need }
}

/// From the least to the greatest: limits that hold no level back.
fn reach(values: impl Iterator<Item = f64>) -> [f64; 2] {
    let found = values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(v), high.max(v)]);
    if found[0] <= found[1] { found } else { [0.0; 2] }
}

/// The pens that each ewe may go to, with or without heed to whom is kept by hand.
fn allowed(ewes: &[PlannedEwe], pens: &[Pen], kind: &[u8], settings: &Settings, heed_kept: bool) -> Vec<u64> {
    let kept = |ewe: &PlannedEwe| ewe.kept.filter(|_| heed_kept);
    // A pen in which somebody is kept by hand is closed to the other kind.
    let mut kept_kind = vec![None; pens.len()];
    for (ewe, &kind) in ewes.iter().zip(kind) {
        if let Some(pen) = kept(ewe) {
            kept_kind[pen] = Some(kind);
        }
    }
    let closed = |pen: &Pen| settings.out_of_use.contains(&pen.name);
    ewes.iter()
        .zip(kind)
        .map(|(ewe, &kind)| match kept(ewe) {
            Some(pen) => 1 << pen,
            None => pens
                .iter()
                .zip(&kept_kind)
                .enumerate()
                .take(Instance::MOST_BINS)
                .filter(|(_, (pen, kept))| {
                    pen.takes(ewe.filled.age) && !closed(pen) && kept.is_none_or(|kept| kept == kind)
                })
                .fold(0, |mask, (pen, _)| mask | 1 << pen),
        })
        .collect()
}

/// Gives every pen its share of the flock, by what each would hold of the flock's mean ewe.
fn share_fairly(instance: &mut Instance, free: &[u64]) {
    let items = instance.items();
    let holds = |bin: &Bin, index: usize| -> f64 {
        let open: Vec<usize> = (0..items).filter(|&item| free[item] >> index & 1 == 1).collect();
        if open.is_empty() {
            return 0.0;
        }
        (0..RESOURCES)
            .map(|resource| {
                let mean = open.iter().map(|&item| f64::from(instance.room_in(item, index)[resource]));
                bin.capacity[resource] as f64 / (mean.sum::<f64>() / open.len() as f64).max(1.0)
            })
            .fold(bin.max_head.min(items) as f64, f64::min)
    };
    let heads: Vec<f64> = instance.bins.iter().enumerate().map(|(index, bin)| holds(bin, index)).collect();
    let all: f64 = heads.iter().sum();
    for (bin, head) in instance.bins.iter_mut().zip(heads) {
        bin.fair_head = if all > 0.0 { items as f64 * head / all } else { 0.0 };
    }
}

/// Ties ewes together and keeps them apart; what cannot be is said and left out.
fn tie(instance: &mut Instance, ewes: &[PlannedEwe], settings: &Settings, problems: &mut Vec<Problem>) {
    let mut found = |tags: &[String], what: &str| -> Vec<usize> {
        let mut members: Vec<usize> = Vec::new();
        for tag in tags {
            match ewes.iter().position(|ewe| ewe.ewe.tag == *tag) {
                Some(ewe) if !members.contains(&ewe) => members.push(ewe),
                Some(_) => {}
                None => problems.push(
                    cannot_tie(
                        std::slice::from_ref(tag),
                        format!("{tag} is not among the sorted ewes, so she cannot be kept {what}."),
                    )
                    .about(tag),
                ),
            }
        }
        members
    };
    let sets: Vec<Vec<usize>> = settings.together.iter().map(|tags| found(tags, "with the others")).collect();
    let apart: Vec<Vec<usize>> = settings.apart.iter().map(|tags| found(tags, "from the others")).collect();
    for set in apart {
        for (place, &a) in set.iter().enumerate() {
            for &b in &set[place + 1..] {
                instance.apart.push([a, b]);
            }
        }
    }
    for set in sets.into_iter().filter(|set| set.len() > 1) {
        let tags = || set.iter().map(|&ewe| ewes[ewe].ewe.tag.clone()).collect::<Vec<_>>();
        let common = set.iter().fold(u64::MAX, |mask, &ewe| mask & instance.allowed[ewe]);
        let fault = if set.iter().any(|&ewe| instance.kind[ewe] != instance.kind[set[0]]) {
            Some("Ewe lambs are kept from the rest, so these ewes cannot share a pen.")
        } else if common == 0 {
            Some("No pen takes all of these ewes.")
        } else if instance.apart.iter().any(|[a, b]| set.contains(a) && set.contains(b)) {
            Some("These ewes are to be kept both together and apart.")
        } else {
            None
        };
        match fault {
            Some(fault) => problems.push(cannot_tie(&tags(), fault.to_owned())),
            None => {
                for &ewe in &set {
                    instance.allowed[ewe] = common;
                }
                instance.together.push(set);
            }
        }
    }
}

fn cannot_tie(tags: &[String], message: String) -> Problem {
    let subject =
        if tags.len() == 1 { format!("ewe {}", tags[0]) } else { format!("ewes {}", tags.join(", ")) };
    Problem::new(Severity::Warning, "cannot-tie", subject, message, "They were sorted like the others.")
}
