//! The figures of a safe ewe ration, each with its source. A farm may be stricter; nothing here is looser.

/// Most concentrate at one feed, kg fresh: 0.5 (ADAS, Rees 1996; over 0.45 kg a day in two feeds, FWI 2002 from
/// memory of the year).
pub const CONCENTRATE_A_FEED: f64 = 0.5;
/// Most feeds a day that a person gives (three, or mix: feeding-frequency trial with silage, 1990s, year from
/// memory).
pub const MOST_FEEDS: u32 = 3;
/// Most concentrate a day beside silage or hay, kg fresh: the usual top of published plans (CAFRE's table for
/// twins, 1.0 kg; the year of its column from memory).
pub(super) const CONCENTRATE_A_DAY: f64 = 1.0;
/// Most concentrate a day beside straw, kg fresh: the top of published all-concentrate plans, 1.6 to 1.7 (Irish
/// Farmers Journal, high-concentrate diets, 2022 from memory of the year).
pub(super) const CONCENTRATE_A_DAY_STRAW: f64 = 1.7;
/// Least forage, share of dry matter (common practice, no source).
pub(super) const FORAGE_SHARE: f64 = 0.45;
/// Least forage in a mixed ration whose only forage is straw (common practice, no source).
pub(super) const FORAGE_SHARE_STRAW_MIXED: f64 = 0.40;
/// Least forage beside straw fed apart: a triplet ewe's 30 % over the 1.7 kg of a twin's, with half of the 1.5 kg of
/// straw offered (derived from the same high-concentrate plan, Irish Farmers Journal, 2022 from memory of the year).
/// Nuts are what can stand at such a share: of grain the starch ends it before.
pub(super) const FORAGE_SHARE_STRAW: f64 = 0.25;
/// Least forage, kg DM a day, of a ewe of 75 kg or more (common practice, no source; 0.5 to 0.6). Straw that is always
/// there has no such floor: near lambing she would not eat so much of it alone, and holding her to it would take away
/// the concentrate that she lives on. There the share holds, and a caution is given.
pub(super) const FORAGE_KG: f64 = 0.5;
/// The same of a lighter ewe, share of live weight (that of 75 kg; common practice, no source).
pub(super) const FORAGE_OF_WEIGHT: f64 = 0.5 / 75.0;
/// Roughage under which a caution is given, kg DM a day: one pound, at 86 % dry matter (Farm Info, feeding requirements
/// during drought; read in 2026, its year not printed).
pub(super) const ROUGHAGE: f64 = 0.454 * 0.86;
/// Least dry matter, share of live weight: a ration below it is no ration (common practice, no source).
pub(super) const LEAST_SHARE: f64 = 0.012;
/// Least fibre, g NDF a kg DM (from memory).
pub(super) const NDF: f64 = 320.0;
/// Most starch, g a kg DM (from memory).
pub(super) const STARCH: f64 = 250.0;
/// Most starch and sugar, g a kg DM (from memory).
pub(super) const STARCH_SUGAR: f64 = 300.0;
/// Most wheat, kg fresh a day, also where the feeds file says more (from memory).
pub(super) const WHEAT_KG: f64 = 0.5;
/// Most oil, g a kg DM: 50 to 60 (from memory).
pub(super) const OIL: f64 = 60.0;
/// Most copper of the whole ration, mg a kg DM: 15 mg a kg of complete feed at 12 % moisture (Regulation (EU)
/// 2018/1039, retained in the United Kingdom).
pub const COPPER: f64 = 15.0 / 0.88;
/// Copper above which susceptible breeds are cautioned, mg a kg DM: 10 mg a kg of feed (label warning, from
/// memory).
pub(super) const COPPER_CAUTION: f64 = 10.0 / 0.88;
/// Least rumen-degradable protein, share of what the energy can use: below, appetite falls (common practice, no
/// source).
pub(super) const DEGRADABLE: f64 = 0.95;
/// Above this share degradable protein is wasted (common practice, no source).
pub(super) const DEGRADABLE_MOST: f64 = 1.35;
/// Calcium wanted, g a kg DM, late in pregnancy (Scientific Reports 2024, 53908, Table 1).
pub(super) const CALCIUM: f64 = 4.9;
/// Phosphorus wanted, g a kg DM (Scientific Reports 2024, 53908, Table 1).
pub(super) const PHOSPHORUS: f64 = 2.9;
/// Magnesium wanted, g a kg DM: 1.0 in the same table of 2024; worked with at 1.5 (common practice, no source).
pub(super) const MAGNESIUM: f64 = 1.5;
/// Sodium wanted, g a kg DM: 0.5 in the same table of 2024; worked with at 1.0 (common practice, no source).
pub(super) const SODIUM: f64 = 1.0;
/// Least calcium to phosphorus, never less (from memory).
pub(super) const CA_P_LEAST: f64 = 1.0;
/// Calcium to phosphorus wanted at least (from memory).
pub(super) const CA_P_WANTED: f64 = 1.5;
/// Calcium to phosphorus wanted at most (from memory).
pub(super) const CA_P_MOST: f64 = 4.0;
/// Most roots, kg DM as a share of live weight: fodder beet 0.8 % (Feedipedia, fodder beet, 2016 from memory of
/// the year).
pub(super) const ROOT_SHARE: f64 = 0.008;
/// Most that concentrate rises from one week to the next, kg fresh (common practice, no source; grain steps every
/// 4 to 7 days in the Queensland guide).
pub(super) const RISE: f64 = 0.2;
/// What a kg of a concentrate less than in the week before counts for, pence, so that recipes stay (chosen here;
/// common practice, no source).
pub(super) const FALL: f64 = 5.0;
/// What a forage counts for that was not fed in the week before, pence a ewe a day: the rumen takes 10 to 14 days to
/// get used to it (FWI 2002 from memory of the year; the figure chosen here, common practice, no source).
pub(super) const NEW_FORAGE: f64 = 3.0;
/// Protein is asked for in these last weeks and only shown before: no adviser read buys protein six weeks out
/// (AHDB and HCC trial on protein sources, 2010s, year from memory: support in about the last three weeks).
pub const PROTEIN_WEEKS: f64 = 4.0;
/// Acidity above which silage of low dry matter is not fed: Listeria grow from 5.5 (FAS Scotland, avoiding
/// listeria, 2020 from memory of the year); blocked from 5.0 (common practice, no source).
pub(super) const PH_BLOCK: f64 = 5.0;
/// Dry matter below which that holds, g a kg (common practice, no source): high pH matters less in dry haylage.
pub(super) const PH_DRY: f64 = 300.0;
/// Acidity from which Listeria grow, a caution at any dry matter (FAS Scotland, 2020 from memory of the year).
pub(super) const PH_LISTERIA: f64 = 5.5;
/// Ash above which silage holds soil and is not fed, g a kg DM (FAS Scotland, 2020 from memory of the year).
pub(super) const ASH_BLOCK: f64 = 100.0;
/// Ash from which silage is watched, g a kg DM (FAS Scotland, 2020 from memory of the year).
pub(super) const ASH_WATCH: f64 = 80.0;

/// Most feeds weighed out at a time, minerals and what is always there not counted (common practice, no source).
pub const MOST_STRAIGHTS: usize = 5;

/// What a need that is missed is charged, pence: about twenty times what meeting it costs in feed, so that it is
/// met wherever feed can meet it (chosen here, no published source; common practice, no source).
pub(super) mod charge {
    /// A MJ of energy (common practice, no source).
    pub(crate) const ME: f64 = 40.0;
    /// A g of metabolisable protein (common practice, no source).
    pub(crate) const MP: f64 = 4.0;
    /// A g of degradable protein (common practice, no source).
    pub(crate) const DEGRADABLE: f64 = 1.0;
    /// A g of calcium or sodium, or of calcium against phosphorus (common practice, no source).
    pub(crate) const MINERAL: f64 = 5.0;
    /// A g of phosphorus or magnesium (common practice, no source).
    pub(crate) const SCARCE_MINERAL: f64 = 10.0;
}

/// How feed is weighed out, kg fresh (common practice, no source): a bucket to 50 g, minerals to 5 g, wet
/// forage to 100 g. Less than 50 g a ewe cannot be shared out.
pub(super) mod weighed {
    /// Concentrate (common practice, no source).
    pub(crate) const BUCKET: f64 = 0.05;
    /// Minerals (common practice, no source).
    pub(crate) const MINERAL: f64 = 0.005;
    /// Wet forage and roots (common practice, no source).
    pub(crate) const FORAGE: f64 = 0.1;
    /// Least of a dry forage that is worth carrying (common practice, no source).
    pub(crate) const LEAST_DRY: f64 = 0.1;
    /// Least of a wet forage or of roots (common practice, no source).
    pub(crate) const LEAST_WET: f64 = 0.3;
    /// Share of appetite that rounding may leave unfilled where forage is weighed out (common practice, no source).
    pub(crate) const UNFILLED: f64 = 0.03;
}
