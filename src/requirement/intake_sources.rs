//! What others print of a ewe's intake, for the ewe asked about. They disagree by half and more; the sort
//! uses [`intake`](crate::requirement::intake), and a farm's own refusals should replace any of them.

use crate::flock::Litter;
use crate::quantity::{Kg, KgDmPerDay};
use crate::requirement::intake::{self, Appetite, Trough};
use serde::{Deserialize, Serialize};

/// What she is fed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Forage {
    /// Good silage, precision chopped.
    #[default]
    GoodSilage,
    /// Good silage from big bales, or chopped long.
    GoodSilageLong,
    /// Poor silage.
    PoorSilage,
    /// Average hay.
    Hay,
    /// A mixed ration on good silage.
    Mixed,
}

impl Forage {
    /// In words.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::GoodSilage => "good silage, chopped short",
            Self::GoodSilageLong => "good silage, long or in bales",
            Self::PoorSilage => "poor silage",
            Self::Hay => "average hay",
            Self::Mixed => "a mixed ration on good silage",
        }
    }
}

/// Whether a figure is forage alone or everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Covers {
    /// Forage, concentrate on top.
    Forage,
    /// All dry matter.
    Everything,
}

impl Covers {
    /// In words.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Forage => "forage alone",
            Self::Everything => "everything",
        }
    }
}

/// What one source makes of the ewe.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// Author and year.
    pub source: &'static str,
    /// Forage alone or everything.
    pub covers: Covers,
    /// Dry matter a day.
    pub dry_matter: KgDmPerDay,
    /// Share of live weight, percent.
    pub percent: f64,
    /// What it was printed for, and what was done with it here.
    pub note: &'static str,
}

/// Forage DM eight weeks before lambing, share of live weight, by [`Forage`]. The sheet's working rule,
/// fitted: 2.0 % on good silage (1.4 % for triplets at week 3, Vipond 2009), 1.6 % on poor; hay from 1.5 %
/// before lambing (HCC); long good silage 0.77 of short (Apolant and Chestnutt 1985).
const RULE: [f64; 5] = [0.020, 0.0154, 0.016, 0.0214, 0.020];
/// Share by litter: singles 1, twins 0.97, more 0.85. Orr and Treacher 1984 (year from memory).
const BY_LITTER: [f64; 6] = [1.0, 1.0, 0.97, 0.85, 0.85, 0.85];
/// Fall over the last eight weeks. Boland, UCD, 2020 column (year from memory).
const FALL: f64 = 0.30;
/// Forage alone, share of live weight, in the model that sort and rations use, fitted to published silages (Orr and
/// Treacher 1989).
const FILL: [f64; 5] = [0.0175, 0.0145, 0.012, 0.020, 0.0175];
/// Good silage, triplets, week 3. Vipond 2009, in Vet Times 2017.
const VIPOND: f64 = 0.014;
/// Average hay before lambing. HCC Wales (year from memory: 2019).
const HCC: f64 = 0.015;
/// About 1 kg of silage DM for an 83 kg ewe; singles as twins, triplets 15 % less. Boland, UCD, 2020 column
/// (year from memory).
const BOLAND: [f64; 2] = [0.012, 0.85];
/// Silage organic matter at weeks 8 to 6 and 4 to 1 before lambing, share of live weight, from poor to good.
/// Orr, Newton and Jackson 1983.
const ORR_1983: [[f64; 2]; 2] = [[0.0093, 0.0128], [0.0104, 0.0138]];
/// Organic matter in silage DM (common practice, no source).
const ORGANIC: f64 = 0.92;
/// Silage DM of ewes given concentrate, mid and late, kg: precision chopped, flail. Apolant and Chestnutt
/// 1985.
const APOLANT: [[f64; 2]; 2] = [[1.28, 1.10], [0.99, 0.85]];
/// All DM, share of live weight: dry, late in pregnancy. Phillips, AHDB 2013, Table 1.
const AHDB: [f64; 2] = [0.015, 0.020];
/// All DM of dry ewes and of ewes late in pregnancy, as allowances. NRC 1985 Table 1 (late from memory).
const NRC: [f64; 2] = [0.018, 0.025];
/// All DM, dry and in the fifth month, kg for a 70 kg ewe. LfL (Gruber table; year from memory: 2015).
const LFL: [f64; 2] = [1.25, 1.65];
/// Days before lambing from which a source's late figure is taken (common practice, no source).
const LATE: u32 = 42;

/// What each source makes of a ewe on a forage; the model that the sort uses comes first.
pub fn rows(weight: Kg, litter: Litter, days_to_lambing: u32, forage: Forage) -> Vec<Row> {
    let w = weight.value();
    let lambs = usize::from(litter.lambs());
    let barren = lambs == 0;
    let late = usize::from(!barren && days_to_lambing <= LATE);
    let weeks = if barren { 8.0 } else { (f64::from(days_to_lambing) / 7.0).min(8.0) };
    let kind = forage as usize;
    let row = |source, covers, share: f64, note| Row {
        source,
        covers,
        dry_matter: KgDmPerDay::new(share * w),
        percent: 100.0 * share,
        note,
    };
    let mut rows = vec![row(
        "the model that the sort uses",
        Covers::Everything,
        intake::capacity(weight, litter, days_to_lambing).value() / w,
        "good forage with rising concentrate; fitted to published intakes",
    )];
    let rule = RULE[kind] * BY_LITTER[lambs] * (1.0 - FALL * (1.0 - weeks / 8.0));
    rows.push(row("working rule", Covers::Forage, rule, "falls 30 % over eight weeks; fitted"));
    let trough = if forage == Forage::Mixed { Trough::Mixed } else { Trough::Apart };
    let fill = FILL[kind] * Appetite::of(weight, litter, weeks, trough).capacity / w;
    rows.push(row(
        "as rations count on it",
        Covers::Forage,
        fill,
        "fitted to silages of Orr and Treacher 1989; mixed + 12 %",
    ));
    let silage = matches!(forage, Forage::GoodSilage | Forage::GoodSilageLong | Forage::PoorSilage);
    if silage && forage != Forage::PoorSilage {
        let note = "printed for triplets three weeks before lambing, whatever the day here";
        rows.push(row("Vipond 2009", Covers::Forage, VIPOND, note));
        let boland = if lambs > 2 { BOLAND[0] * BOLAND[1] } else { BOLAND[0] };
        rows.push(row("Boland, UCD", Covers::Forage, boland, "1 kg for an 83 kg ewe; triplets 15 % less"));
        let chop = usize::from(forage == Forage::GoodSilageLong);
        let note = "kg printed, whatever her weight; precision chopped against flail";
        rows.push(row("Apolant and Chestnutt 1985", Covers::Forage, APOLANT[chop][late] / w, note));
    }
    if silage {
        let good = usize::from(forage != Forage::PoorSilage);
        let share = ORR_1983[late][good] / ORGANIC;
        let note = "organic matter over 0.92; the later figure with 200 to 650 g of concentrate";
        rows.push(row("Orr, Newton and Jackson 1983", Covers::Forage, share, note));
    }
    if forage == Forage::Hay {
        rows.push(row(
            "HCC Wales",
            Covers::Forage,
            HCC,
            "average hay just before lambing, whatever the day here",
        ));
    }
    let note = "dry ewe, or the last six weeks";
    rows.push(row("Phillips, AHDB 2013", Covers::Everything, AHDB[late], note));
    rows.push(row("NRC 1985", Covers::Everything, NRC[late], "an allowance; the late figure from memory"));
    rows.push(row("LfL (Gruber)", Covers::Everything, LFL[late] / 70.0, "an allowance for a 70 kg ewe"));
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sources_stay_within_what_a_ewe_can_hold() {
        for forage in
            [Forage::GoodSilage, Forage::GoodSilageLong, Forage::PoorSilage, Forage::Hay, Forage::Mixed]
        {
            for lambs in 0..=5 {
                for days in [0, 21, 42, 60, 147] {
                    let rows = rows(Kg::new(70.0), Litter::of(lambs).unwrap(), days, forage);
                    assert!(rows.len() >= 6);
                    for row in rows {
                        let fits = (0.75..=2.6).contains(&row.percent);
                        assert!(fits, "{}, {forage:?}, {lambs}, {days}: {}", row.source, row.percent);
                    }
                }
            }
        }
    }

    #[test]
    fn printed_figures_come_back() {
        let triplets = rows(Kg::new(70.0), Litter::of(3).unwrap(), 21, Forage::GoodSilage);
        let find = |source: &str| triplets.iter().find(|row| row.source == source).expect("it is there");
        assert!((find("Vipond 2009").dry_matter.value() - 0.98).abs() < 1e-9);
        assert!((find("working rule").percent - 1.4).abs() < 0.03, "fitted to Vipond 2009");
        let hay = rows(Kg::new(75.0), Litter::of(2).unwrap(), 7, Forage::Hay);
        let hcc = hay.iter().find(|row| row.source == "HCC Wales").unwrap();
        assert!((hcc.dry_matter.value() - 1.125).abs() < 1e-9);
    }
}
