//! A card as one JSON document. Its schema is `data/schema/card.schema.json`.

use crate::day::Day;
use crate::farm::CAUTION;
use crate::farm::card::CardSheet;
use crate::problem::Problem;
use crate::sort::card::Kind;
use crate::sort::card::judge::{Figures, Halves, share};
use crate::sort::card::run::{goes_apart, half_points, pen_of};
use crate::sort::card::write;
use serde::Serialize;

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-card-1";

/// A card and how good it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CardDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `card`.
    pub status: &'static str,
    /// One line of caution.
    pub caution: &'static str,
    /// First day of the feeding period.
    pub on: Day,
    /// Days in the feeding period.
    pub period_days: u32,
    /// What kind of card.
    pub kind: Kind,
    /// Whether the card was given to be tried, instead of found for this flock.
    pub tried: bool,
    /// Whether the card may ask for weight.
    pub weight_classes: bool,
    /// The card in its written form, which can be edited and tried.
    pub text: String,
    /// The pens in the order in which a full one is passed on from, poorest ration first.
    pub pens_poorest_first: Vec<String>,
    /// The pens of ewe lambs kept apart, in the order in which they are filled.
    pub ewe_lambs_pens: Vec<String>,
    /// What the flock comes to by the card.
    pub card: CardFigures,
    /// By the best sort found.
    pub optimum: CardFigures,
    /// By the best card that asks for lambs alone; null where it could not fill the pens.
    pub litter_only: Option<CardFigures>,
    /// By the card that is found for this flock, where another is tried; null otherwise.
    pub found: Option<CardFigures>,
    /// Misfit with one ration for all, or one for each class kept apart, weighted MJ.
    pub one_ration_mj: f64,
    /// Cards found on half of the flock and judged on the other half, summed over both ways; null where a card
    /// is tried or a half could not be sorted.
    pub out_of_sample: Option<OutOfSample>,
    /// Ewes that stand in another pen than by the best sort.
    pub ewes_in_another_pen: usize,
    /// Ewes that found their pen full and went on.
    pub ewes_spilled: usize,
    /// Ewes moved at the end because somebody had no room or a pen was left with too few.
    pub ewes_put_right: usize,
    /// The ewes, in order of their tags.
    pub ewes: Vec<CardEwe>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// What an assignment comes to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CardFigures {
    /// Sum of the ewes' misfits with whatever else the settings count, weighted MJ over the period.
    pub misfit_mj: f64,
    /// Share of the possible gain, percent: from one ration to the best sort; null where there is none.
    pub share_of_gain_percent: Option<f64>,
    /// Energy fed above need, MJ over the period.
    pub fed_over_need_mj: f64,
    /// Energy fed below need, MJ over the period.
    pub fed_under_need_mj: f64,
    /// Ewes short by more than a tenth of their need on some day.
    pub ewes_short: usize,
}

/// Cards judged on ewes that they were not found with.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct OutOfSample {
    /// Misfit by the cards, weighted MJ.
    pub card_mj: f64,
    /// By cards that ask for lambs alone.
    pub litter_only_mj: f64,
    /// By the best sort found of each half.
    pub optimum_mj: f64,
    /// With one ration.
    pub one_ration_mj: f64,
    /// Share of the possible gain, percent; null where there is none.
    pub card_share_percent: Option<f64>,
    /// The same for lambs alone.
    pub litter_only_share_percent: Option<f64>,
}

/// One ewe by the card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CardEwe {
    /// Her tag.
    pub tag: String,
    /// Her points; null on a tree and for ewe lambs kept apart.
    pub points: Option<f64>,
    /// The pen that the card names; null for ewe lambs kept apart.
    pub pen_named: Option<String>,
    /// The pen in which she stands: another where that one was full.
    pub pen: String,
    /// Her pen by the best sort.
    pub pen_by_sort: String,
}

fn percent(share: Option<f64>) -> Option<f64> {
    share.map(|share| 100.0 * share)
}

pub(super) fn document(sheet: &CardSheet) -> CardDocument {
    let figures = &sheet.figures;
    let told = |of: Figures| CardFigures {
        misfit_mj: of.misfit_mj,
        share_of_gain_percent: percent(share(figures.one_ration_mj, of.misfit_mj, figures.optimum.misfit_mj)),
        fed_over_need_mj: of.fed_over_need_mj,
        fed_under_need_mj: of.fed_under_need_mj,
        ewes_short: of.short,
    };
    CardDocument {
        format: FORMAT,
        status: "card",
        caution: CAUTION,
        on: sheet.plan.settings.on,
        period_days: sheet.plan.days.len() as u32,
        kind: sheet.card.kind(),
        tried: sheet.tried,
        weight_classes: sheet.weight_classes,
        text: write(&sheet.card, &[]),
        pens_poorest_first: sheet.card.pens.clone(),
        ewe_lambs_pens: sheet.card.ewe_lambs.clone(),
        card: told(figures.card),
        optimum: told(figures.optimum),
        litter_only: figures.litter_only.map(told),
        found: figures.found.map(told),
        one_ration_mj: figures.one_ration_mj,
        out_of_sample: figures.halves.as_ref().map(out_of_sample),
        ewes_in_another_pen: sheet.moves,
        ewes_spilled: sheet.run.spilled,
        ewes_put_right: sheet.run.put_right,
        ewes: (0..sheet.plan.ewes.len()).map(|ewe| card_ewe(sheet, ewe)).collect(),
        problems: sheet.problems.clone(),
    }
}

fn out_of_sample(halves: &Halves) -> OutOfSample {
    OutOfSample {
        card_mj: halves.card_mj,
        litter_only_mj: halves.litter_only_mj,
        optimum_mj: halves.optimum_mj,
        one_ration_mj: halves.one_ration_mj,
        card_share_percent: percent(halves.card_share()),
        litter_only_share_percent: percent(halves.litter_only_share()),
    }
}

fn card_ewe(sheet: &CardSheet, ewe: usize) -> CardEwe {
    let planned = &sheet.plan.ewes[ewe];
    let apart = goes_apart(&sheet.plan, planned);
    let name = |pen: usize| sheet.plan.pens[pen].name.clone();
    CardEwe {
        tag: planned.ewe.tag.clone(),
        points: half_points(&sheet.card, planned).filter(|_| !apart).map(|halves| f64::from(halves) / 2.0),
        pen_named: pen_of(&sheet.card, planned).filter(|_| !apart).map(str::to_owned),
        pen: name(sheet.run.assignment[ewe]),
        pen_by_sort: name(sheet.optimum[ewe]),
    }
}
