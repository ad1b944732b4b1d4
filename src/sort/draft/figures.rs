//! Ewes as the numbers of the online kernel: the same numbers as the sort's, with days drawn together.

use crate::flock::AgeClass;
use crate::pen::Pen;
use crate::quantity::KgDmPerDay;
use crate::requirement::condition::{self, Body};
use crate::solve::instance::{Axis, Instance};
use crate::solve::online::{Frame, Item};
use crate::sort::numbers;
use crate::sort::plan::PlannedEwe;
use crate::sort::settings::Settings;
use std::ops::Range;

/// Days are drawn together into so many parts: needs rise smoothly, so hardly anything is lost (two parts keep
/// all but about 1 % of the loss in the certificate of the sort).
const PARTS: usize = 3;

/// How ewes become items.
#[derive(Debug, Clone)]
pub(super) struct Figures {
    pens: Vec<Pen>,
    settings: Settings,
    mean_intake: Vec<KgDmPerDay>,
    parts: Vec<Range<usize>>,
    weight: Vec<f64>,
}

impl Figures {
    /// Set by a sample of what is expected; with the frame for so many ewes.
    pub(super) fn new(
        sample: &[PlannedEwe],
        pens: &[Pen],
        settings: &Settings,
        expected: usize,
    ) -> (Self, Frame) {
        let days = sample.first().map_or(0, |ewe| ewe.needs.len());
        let mean_intake = (0..days)
            .map(|day| {
                let sum: KgDmPerDay = sample.iter().map(|ewe| ewe.needs[day].intake).sum();
                sum * (1.0 / sample.len().max(1) as f64)
            })
            .collect();
        // Ties are looked after by tag as ewes come; nobody is kept by hand here.
        let settings =
            Settings { keep: Vec::new(), together: Vec::new(), apart: Vec::new(), ..settings.clone() };
        let mut figures =
            Self { pens: pens.to_vec(), settings, mean_intake, parts: Vec::new(), weight: Vec::new() };
        let instance = figures.instance(sample);
        figures.parts = instance.ranges(PARTS);
        figures.weight.clone_from(&instance.weight);
        let axes = figures.parts.iter().map(|part| Axis {
            low: figures.drawn(part, |axis| instance.axes[axis].low),
            high: figures.drawn(part, |axis| instance.axes[axis].high),
            family: instance.axes[part.start].family,
        });
        let share = expected as f64 / sample.len().max(1) as f64;
        let mut bins = instance.bins.clone();
        for bin in &mut bins {
            bin.fair_head *= share;
        }
        let frame = Frame {
            axes: axes.collect(),
            weight: figures.parts.iter().map(|part| figures.weight[part.clone()].iter().sum()).collect(),
            leading: figures.parts.iter().filter(|part| part.start < instance.leading).count(),
            bins,
            even: instance.even,
        };
        (figures, frame)
    }

    fn instance(&self, ewes: &[PlannedEwe]) -> Instance {
        numbers::instance(ewes, &self.pens, &self.mean_intake, &self.settings, &mut Vec::new())
    }

    /// The weighted mean of a figure over the axes of a part.
    fn drawn(&self, part: &Range<usize>, figure: impl Fn(usize) -> f64) -> f64 {
        let weight: f64 = self.weight[part.clone()].iter().sum();
        part.clone().map(|axis| self.weight[axis] * figure(axis)).sum::<f64>() / weight.max(f64::MIN_POSITIVE)
    }

    /// Ewes as items.
    pub(super) fn items(&self, ewes: &[PlannedEwe]) -> Vec<Item> {
        let instance = self.instance(ewes);
        (0..ewes.len())
            .map(|ewe| {
                let need = instance.need_of(ewe);
                Item {
                    need: self.parts.iter().map(|part| self.drawn(part, |axis| need[axis])).collect(),
                    slopes: instance.slopes_of(ewe),
                    room: ewes[ewe].room.to_vec(),
                    kind: kind(ewes[ewe].filled.age, &self.settings),
                    allowed: instance.allowed[ewe],
                }
            })
            .collect()
    }
}

/// Ewe lambs are a kind of their own where they are kept from the rest.
pub(super) fn kind(age: AgeClass, settings: &Settings) -> u8 {
    u8::from(settings.ewe_lambs_apart && age == AgeClass::EweLamb)
}

/// What the axes of a family are of.
pub(super) fn family(family: u8) -> &'static str {
    match family {
        numbers::ENERGY => "energy",
        numbers::PROTEIN => "protein",
        numbers::BODY_SIZE => "body_size",
        _ => "lambing_day",
    }
}

/// The same ewe with another score.
pub(super) fn with_score(ewe: &PlannedEwe, score: f64, settings: &Settings) -> PlannedEwe {
    let mut other = ewe.clone();
    other.filled.condition = score;
    other.correction = condition::correction(&Body {
        score,
        target: ewe.target,
        weight: ewe.filled.weight,
        litter: ewe.litter,
        days_to_lambing: ewe.days_to_lambing(settings.on),
    });
    for (day, need) in other.needs.iter_mut().enumerate() {
        let to_lambing = ewe.days_to_lambing(settings.on.plus(day as i32));
        need.me = need.me + other.correction.on(to_lambing) - ewe.correction.on(to_lambing);
    }
    other
}
