//! The named limits of a ration.

use crate::feed::protein::{Rumen, TRUE_MICROBIAL};
use crate::ration::asked::{Asked, Way};
use crate::ration::content::Content;
use crate::ration::limit::{self, charge};
use crate::requirement::intake::Appetite;

/// Which limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    /// Energy.
    Me,
    /// Protein as far as energy lets the rumen make it.
    MpEnergy,
    /// Protein as far as nitrogen lets the rumen make it.
    MpNitrogen,
    /// Degradable protein against fermentable energy.
    Degradable,
    /// Appetite.
    Appetite,
    /// Most dry matter in all.
    DryMatter,
    /// Least dry matter.
    Least,
    /// Least forage, kg.
    ForageKg,
    /// Least forage, share.
    ForageShare,
    /// Least fibre.
    Fibre,
    /// Most starch.
    Starch,
    /// Most starch and sugar.
    StarchSugar,
    /// Most oil.
    Oil,
    /// Calcium.
    Calcium,
    /// Phosphorus.
    Phosphorus,
    /// Calcium to phosphorus, never less.
    CaPLeast,
    /// Calcium to phosphorus, wanted at least.
    CaPWanted,
    /// Calcium to phosphorus, wanted at most.
    CaPMost,
    /// Magnesium.
    Magnesium,
    /// Sodium.
    Sodium,
    /// Most copper.
    Copper,
    /// Most concentrate a day.
    ConcentrateDay,
    /// Most concentrate by the number of feeds.
    ConcentrateFeeds,
    /// Rise of concentrate since last week.
    Rise,
    /// Concentrate as a plan holds it.
    ConcentrateHeld,
    /// Most roots.
    Roots,
    /// Most wheat.
    Wheat,
}

/// Whether a limit may be missed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Strength {
    /// Never: a ewe's safety, or what she can eat.
    Hard,
    /// Missed where nothing else is possible, at this charge for a unit of what the limit sums, and said.
    Soft(f64),
    /// Shown, not asked for.
    Shown,
}

/// A limit: what it sums, per what, and where it ends.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Which.
    pub key: Key,
    /// What it is, in words.
    pub name: &'static str,
    /// The unit of its figure.
    pub unit: &'static str,
    /// What of a kg it sums.
    pub of: fn(&Content, &Frame) -> f64,
    /// What the sum is divided by; nothing where it stands by itself.
    pub per: Option<fn(&Content) -> f64>,
    /// Least.
    pub low: Option<f64>,
    /// Most.
    pub high: Option<f64>,
    /// Whether it may be missed.
    pub strength: Strength,
}

/// What the sums need to know beside the feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// The rumen at its level of feeding.
    pub rumen: Rumen,
    /// The ewe at her trough.
    pub appetite: Appetite,
}

impl Rule {
    /// Its figure for a whole ration; nothing where what it is divided by is nothing.
    pub fn figure(&self, whole: &Content, frame: &Frame) -> Option<f64> {
        let sum = (self.of)(whole, frame);
        match self.per {
            None => Some(sum),
            Some(per) => {
                let by = per(whole);
                (by > 0.0).then(|| sum / by)
            }
        }
    }

    /// How far a whole ration is from it, in units of its figure; 0 where it holds.
    pub fn missed(&self, whole: &Content, frame: &Frame) -> f64 {
        let Some(figure) = self.figure(whole, frame) else { return 0.0 };
        let below = self.low.map_or(0.0, |low| low - figure);
        let above = self.high.map_or(0.0, |high| figure - high);
        below.max(above).max(0.0)
    }
}

fn dm(content: &Content) -> f64 {
    content.dm
}

/// Every limit of what is asked; `unfilled` is the share of appetite that may stay unfilled.
pub(super) fn rules(asked: &Asked, frame: &Frame, unfilled: f64) -> Vec<Rule> {
    use Key::*;
    let hard = Strength::Hard;
    let protein =
        if asked.weeks <= asked.protein_weeks { Strength::Soft(charge::MP) } else { Strength::Shown };
    let mut rules = Vec::new();
    let mut rule = |key, name, unit, of, per, [low, high]: [Option<f64>; 2], strength| {
        rules.push(Rule { key, name, unit, of, per, low, high, strength });
    };
    let least = |value: f64| [Some(value), None];
    let most = |value: f64| [None, Some(value)];
    let per_dm: Option<fn(&Content) -> f64> = Some(dm);
    let mineral = Strength::Soft(charge::MINERAL);
    let scarce = Strength::Soft(charge::SCARCE_MINERAL);
    rule(Me, "energy", "MJ a day", |c, _| c.me, None, least(asked.me.value()), Strength::Soft(charge::ME));
    rule(
        MpEnergy,
        "protein, as energy lets the rumen make it",
        "g a day",
        |c, f| TRUE_MICROBIAL * f.rumen.yield_g_per_mj * c.fme + c.dup,
        None,
        least(asked.mp.value()),
        protein,
    );
    rule(
        MpNitrogen,
        "protein, as nitrogen lets the rumen make it",
        "g a day",
        |c, _| TRUE_MICROBIAL * c.erdp + c.dup,
        None,
        least(asked.mp.value()),
        protein,
    );
    rule(
        Degradable,
        "degradable protein against energy",
        "g a day",
        |c, f| c.erdp - limit::DEGRADABLE * f.rumen.yield_g_per_mj * c.fme,
        None,
        least(0.0),
        Strength::Soft(charge::DEGRADABLE),
    );
    let by_weight = asked.held.is_by_weight;
    let filled = if asked.is_restricted || by_weight { None } else { Some(100.0 * (1.0 - unfilled)) };
    rule(
        Appetite,
        "appetite filled",
        "%",
        |c, f| 100.0 * c.fill / f.appetite.capacity,
        None,
        [filled, Some(100.0)],
        hard,
    );
    let most_kg = frame.appetite.most_kg;
    let all = [by_weight.then_some((1.0 - limit::weighed::UNFILLED) * most_kg), Some(most_kg)];
    rule(DryMatter, "dry matter in all", "kg a day", |c, _| c.dm, None, all, hard);
    let floor = limit::LEAST_SHARE * asked.weight.value();
    rule(Least, "dry matter at least", "kg a day", |c, _| c.dm, None, least(floor), hard);
    let straw_alone = asked
        .feeds
        .iter()
        .all(|feed| !feed.feed.class.is_forage() || feed.feed.class == crate::feed::Class::Straw);
    let eats_straw = !asked.is_restricted && (straw_alone || asked.way == Way::Straw);
    if !eats_straw {
        let floor = limit::FORAGE_KG.min(limit::FORAGE_OF_WEIGHT * asked.weight.value());
        rule(ForageKg, "forage", "kg DM a day", |c, _| c.forage, None, least(floor), hard);
    }
    let share = match asked.way {
        Way::Straw => limit::FORAGE_SHARE_STRAW,
        Way::Mixed | Way::TopUp if straw_alone => limit::FORAGE_SHARE_STRAW_MIXED,
        _ => limit::FORAGE_SHARE,
    };
    rule(
        ForageShare,
        "forage of the dry matter",
        "%",
        |c, _| 100.0 * c.forage,
        per_dm,
        least(100.0 * share),
        hard,
    );
    rule(Fibre, "fibre (NDF)", "g a kg DM", |c, _| c.ndf, per_dm, least(limit::NDF), hard);
    rule(Starch, "starch", "g a kg DM", |c, _| c.starch, per_dm, most(limit::STARCH), hard);
    rule(
        StarchSugar,
        "starch and sugar",
        "g a kg DM",
        |c, _| c.starch + c.sugar,
        per_dm,
        most(limit::STARCH_SUGAR),
        hard,
    );
    rule(Oil, "oil", "g a kg DM", |c, _| c.oil, per_dm, most(limit::OIL), hard);
    rule(Calcium, "calcium", "g a kg DM", |c, _| c.ca, per_dm, least(limit::CALCIUM), mineral);
    rule(Phosphorus, "phosphorus", "g a kg DM", |c, _| c.p, per_dm, least(limit::PHOSPHORUS), scarce);
    let per_p: Option<fn(&Content) -> f64> = Some(|c| c.p);
    rule(
        CaPLeast,
        "calcium to phosphorus, never less",
        "to 1",
        |c, _| c.ca,
        per_p,
        least(limit::CA_P_LEAST),
        hard,
    );
    rule(CaPWanted, "calcium to phosphorus", "to 1", |c, _| c.ca, per_p, least(limit::CA_P_WANTED), mineral);
    rule(
        CaPMost,
        "calcium to phosphorus, at most",
        "to 1",
        |c, _| c.ca,
        per_p,
        most(limit::CA_P_MOST),
        mineral,
    );
    rule(Magnesium, "magnesium", "g a kg DM", |c, _| c.mg, per_dm, least(limit::MAGNESIUM), scarce);
    rule(Sodium, "sodium", "g a kg DM", |c, _| c.na, per_dm, least(limit::SODIUM), mineral);
    rule(
        Copper,
        "copper of the whole ration",
        "mg a kg DM",
        |c, _| c.cu,
        per_dm,
        most(asked.copper_most.value()),
        hard,
    );
    if !asked.way.is_mixed() {
        let day =
            if asked.way == Way::Straw { limit::CONCENTRATE_A_DAY_STRAW } else { limit::CONCENTRATE_A_DAY };
        rule(ConcentrateDay, "concentrate a day", "kg fresh", |c, _| c.concentrate, None, most(day), hard);
        let feeds = limit::CONCENTRATE_A_FEED * f64::from(asked.most_feeds);
        rule(
            ConcentrateFeeds,
            "concentrate, by the number of feeds",
            "kg fresh",
            |c, _| c.concentrate,
            None,
            most(feeds),
            hard,
        );
    }
    if let Some(last) = asked.last_week {
        let high = last.value() + limit::RISE;
        rule(Rise, "concentrate, by last week's", "kg fresh", |c, _| c.concentrate, None, most(high), hard);
    }
    if let Some([low, high]) = asked.held.concentrate {
        let limits = [Some(low), Some(high)];
        let what = "concentrate, as the plan has it";
        rule(ConcentrateHeld, what, "kg fresh", |c, _| c.concentrate, None, limits, hard);
    }
    let roots = limit::ROOT_SHARE * asked.weight.value();
    rule(Roots, "roots", "kg DM a day", |c, _| c.root, None, most(roots), hard);
    rule(Wheat, "wheat", "kg fresh", |c, _| c.wheat, None, most(limit::WHEAT_KG), hard);
    rules
}
