//! Dry matter that a ewe can eat in a day.
//!
//! One model, named in every result: forage as a share of live weight, which falls towards lambing and
//! with more lambs, plus the concentrate that takes its place as lambing nears. It is a working rule put
//! together from published figures, not a published equation; a farm's own refusals should replace it.
//! It does not depend on the ration, so it can stand under the density that a ration must have.

use crate::flock::Litter;
use crate::quantity::{Kg, KgDmPerDay};

/// The model's name in documents.
pub const MODEL: &str = "good forage 2.0 % of live weight, a twin's 0.97 and a triplet's 0.85 of a single's, \
     falling 30 % over the last eight weeks; concentrate rising to 1.3 % of live weight at lambing, each kg \
     of it displacing 0.3 kg of forage; at most 2.5 % of live weight in all (a working rule fitted to \
     published intakes, not a published equation)";

/// Forage DM, share of live weight, eight weeks before lambing on good silage. Fitted: with the terms
/// below it gives the 1.4 % of a triplet ewe three weeks before lambing (Vipond 2009).
const FORAGE: f64 = 0.020;
/// Share by litter size. Orr and Treacher 1984 (year from memory): twins 0.97, more 0.85 of singles.
const BY_LITTER: [f64; 6] = [1.0, 1.0, 0.97, 0.85, 0.85, 0.85];
/// Fall of forage intake over the last eight weeks: 30 to 33 % (Boland, UCD, 2020 column; year from
/// memory; several British guides).
const FALL: f64 = 0.30;
/// The weeks over which it falls (the same column, 2020, year from memory).
const FALL_WEEKS: f64 = 8.0;
/// The most concentrate DM at lambing, share of live weight: 0.9 kg, or 1.05 kg fresh, for a 70 kg ewe
/// (common practice, no source: the upper end of published feeding plans). In all it gives 2.3 % of live
/// weight at lambing on a rich ration; LfL's table says 2.36 %, and ewes given 0.9 kg of concentrate with
/// silage ate about that (Orr and Treacher 1984, year from memory).
const CONCENTRATE: f64 = 0.013;
/// kg of forage that a kg of concentrate displaces. Published range 0.1 to 0.6 (Orr and Treacher 1984).
const SUBSTITUTION: f64 = 0.3;
/// Most dry matter in all, share of live weight: 2.4 (LfL) to 2.7 % (NRC 1985) late in pregnancy.
const MOST: f64 = 0.025;

/// What a ewe can eat, kg DM a day.
pub fn capacity(weight: Kg, litter: Litter, days_to_lambing: u32) -> KgDmPerDay {
    let weeks_left = (f64::from(days_to_lambing) / 7.0).min(FALL_WEEKS);
    let gone = 1.0 - weeks_left / FALL_WEEKS;
    let forage = FORAGE * BY_LITTER[usize::from(litter.lambs())] * (1.0 - FALL * gone);
    let concentrate = CONCENTRATE * gone;
    let share = (forage + (1.0 - SUBSTITUTION) * concentrate).min(MOST);
    KgDmPerDay::new(weight.value() * share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forage_of_a_triplet_ewe_three_weeks_out_is_the_published_1_4_percent() {
        // Vipond 2009, as printed in Vet Times 2017: 1.4 % of live weight.
        let forage = FORAGE * BY_LITTER[3] * (1.0 - FALL * (1.0 - 3.0 / FALL_WEEKS));
        assert!((forage - 0.014).abs() < 0.0003, "{forage}");
    }

    #[test]
    fn total_lies_between_the_published_dry_and_late_figures() {
        // Dry 1.5 to 2.0 %, late 2.4 to 2.7 % of live weight as allowances (NRC 1985, LfL); a ewe on good
        // silage with concentrate ate 2.1 to 2.4 % (Orr and Treacher 1984, from its energy intakes).
        for days in 0..=147 {
            for lambs in 0..=5 {
                let share = capacity(Kg::new(70.0), Litter::of(lambs).unwrap(), days).value() / 70.0;
                assert!((0.015..=0.025).contains(&share), "{lambs} lambs, {days} days: {share}");
            }
        }
    }
}
