//! What a kg of a feed, as it lies in the store, brings to a ewe.

use crate::feed::protein::{self, Rumen};
use crate::feed::{Class, Feed};
use crate::ration::appetite;

/// What a kg fresh brings: MJ, g and mg; and what it counts as.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Content {
    /// Dry matter, kg.
    pub dm: f64,
    /// Metabolisable energy, MJ.
    pub me: f64,
    /// Fermentable energy, MJ.
    pub fme: f64,
    /// Rumen-degradable protein, g.
    pub erdp: f64,
    /// Bypass protein, g.
    pub dup: f64,
    /// Crude protein, g.
    pub cp: f64,
    /// Fibre, g.
    pub ndf: f64,
    /// Starch, g.
    pub starch: f64,
    /// Sugar, g.
    pub sugar: f64,
    /// Oil, g.
    pub oil: f64,
    /// Calcium, g.
    pub ca: f64,
    /// Phosphorus, g.
    pub p: f64,
    /// Magnesium, g.
    pub mg: f64,
    /// Sodium, g.
    pub na: f64,
    /// Copper, mg.
    pub cu: f64,
    /// Dry matter of forage, kg.
    pub forage: f64,
    /// Dry matter of roots, kg.
    pub root: f64,
    /// Concentrate fed apart, kg fresh.
    pub concentrate: f64,
    /// Wheat, kg fresh.
    pub wheat: f64,
    /// What it fills.
    pub fill: f64,
}

impl Content {
    /// Of a kg of a feed, in a rumen at work, beside the main forage.
    pub fn of(feed: &Feed, rumen: Rumen, beside: Option<&Feed>) -> Self {
        let values = &feed.values;
        let dm = values.dry_share();
        let degraded = protein::degraded(values, rumen.outflow);
        let flag = |yes: bool| if yes { 1.0 } else { 0.0 };
        Self {
            dm,
            me: dm * values.me.value(),
            fme: dm * protein::fme(values, feed.class).value(),
            erdp: dm * degraded.erdp.value(),
            dup: dm * degraded.dup.value(),
            cp: dm * values.crude_protein.value(),
            ndf: dm * values.ndf.value(),
            starch: dm * values.starch.value(),
            sugar: dm * values.sugar.value(),
            oil: dm * values.oil.value(),
            ca: dm * values.calcium.value(),
            p: dm * values.phosphorus.value(),
            mg: dm * values.magnesium.value(),
            na: dm * values.sodium.value(),
            cu: dm * values.copper.value(),
            forage: dm * flag(feed.class.is_forage()),
            root: dm * flag(feed.class == Class::Root),
            concentrate: flag(feed.class.is_concentrate()),
            wheat: flag(feed.id == "wheat"),
            fill: dm * appetite::fill(feed, beside),
        }
    }

    /// The sum of amounts of several.
    pub fn sum<'c>(parts: impl IntoIterator<Item = (&'c Self, f64)>) -> Self {
        let mut sum = Self::default();
        for (part, kg) in parts {
            sum.dm += part.dm * kg;
            sum.me += part.me * kg;
            sum.fme += part.fme * kg;
            sum.erdp += part.erdp * kg;
            sum.dup += part.dup * kg;
            sum.cp += part.cp * kg;
            sum.ndf += part.ndf * kg;
            sum.starch += part.starch * kg;
            sum.sugar += part.sugar * kg;
            sum.oil += part.oil * kg;
            sum.ca += part.ca * kg;
            sum.p += part.p * kg;
            sum.mg += part.mg * kg;
            sum.na += part.na * kg;
            sum.cu += part.cu * kg;
            sum.forage += part.forage * kg;
            sum.root += part.root * kg;
            sum.concentrate += part.concentrate * kg;
            sum.wheat += part.wheat * kg;
            sum.fill += part.fill * kg;
        }
        sum
    }
}
