//! Rations that share a store or follow each other in steps, against every way of sharing tried on a grid.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::Dice;
use evenfold::flock::Litter;
use evenfold::quantity::{GramPerDay, Kg, MgPerKgDm, MjPerDay};
use evenfold::ration::season::{Pattern, Season, Spell, Wish, season};
use evenfold::ration::{Asked, Held, Outcome, Way, drinks, settle_exactly};

const EXACT: Wish = Wish { to_weigh: false, handling: 0.0, one_recipe: false, pattern: Pattern::Stepped };

fn asked(me: f64, litter: u8, weeks: f64, barley: &str) -> Asked {
    let feeds = format!(
        "feed,price_per_t,stock_t\ngs_avg,40,\nbarley,150,{barley}\nnut18,330,\nlime,125,\nsalt,130,\n"
    );
    let table = evenfold::io::feed_table().unwrap();
    let (reading, _) = evenfold::io::feeds(feeds.as_bytes(), &table, None);
    assert!(reading.problems.is_empty(), "{:?}", reading.problems);
    Asked {
        me: MjPerDay::new(me),
        mp: GramPerDay::new(7.0 * me),
        maintenance: MjPerDay::new(8.0),
        weight: Kg::new(75.0),
        litter: Litter::of(litter).unwrap(),
        weeks,
        way: Way::Separate,
        feeds: reading.records,
        is_restricted: false,
        most_feeds: 2,
        most_straights: 5,
        last_week: None,
        pen: None,
        copper_most: MgPerKgDm::new(15.0 / 0.88),
        protein_weeks: 4.0,
        mix_for: None,
        held: Held::default(),
    }
}

/// Pence a ewe a day, needs missed charged; nothing where there is no ration.
fn cost(asked: &Asked) -> Option<f64> {
    match settle_exactly(asked) {
        Outcome::Fed(ration) => Some(ration.pence + ration.charged),
        Outcome::Failed(why) => panic!("{why}"),
        _ => None,
    }
}

fn drawn(season: &Season, spells: &[Spell], feed: usize) -> f64 {
    let kg = |(fed, spell): (&evenfold::ration::season::Fed, &Spell)| {
        let feeds = fed.ration().unwrap().feeds();
        spell.ewe_days * feeds.iter().find(|(own, _)| *own == feed).map_or(0.0, |(_, kg)| *kg)
    };
    season.fed.iter().zip(spells).map(kg).sum()
}

#[test]
fn a_short_store_is_shared_as_the_best_of_all_shares() {
    let mut scarce = 0;
    for seed in 0..8 {
        let mut dice = Dice(41_000 + seed);
        let store = dice.between(0.02, 0.25);
        let spells: Vec<Spell> = (0..2)
            .map(|pen| Spell {
                pen,
                week: 0,
                asked: asked(dice.between(12.0, 17.0), 1 + dice.below(3) as u8, 3.0, &format!("{store:.3}")),
                ewe_days: 70.0 + 70.0 * dice.below(5) as f64,
            })
            .collect();
        let store = spells[0].asked.feeds[1].stock.unwrap().value();
        let found = season(&spells, EXACT);
        assert!(
            drawn(&found, &spells, 1) <= store * (1.0 + 1e-6) + 1e-6,
            "seed {seed}: the store is overdrawn"
        );
        // Every share of the store in hundredths, each pen's ration found alone from its own share.
        let with = |spell: &Spell, kg: f64| {
            let most = vec![f64::INFINITY, kg / spell.ewe_days, f64::INFINITY, f64::INFINITY, f64::INFINITY];
            let held = Held { most, ..Held::default() };
            Some(spell.ewe_days * cost(&Asked { held, ..spell.asked.clone() })?)
        };
        let shares = (0..=100).map(|hundredths| store * f64::from(hundredths) / 100.0);
        let best = shares.filter_map(|kg| Some(with(&spells[0], kg)? + with(&spells[1], store - kg)?));
        let best = best.fold(f64::INFINITY, f64::min);
        let least = found.least_pence.unwrap();
        assert!(least <= best + 1e-6 * best, "seed {seed}: {least} against {best} on the grid");
        assert!(least >= best * (1.0 - 2e-3), "seed {seed}: {least} is below what any share gives, {best}");
        let own: f64 = found
            .fed
            .iter()
            .zip(&spells)
            .map(|(fed, spell)| {
                spell.ewe_days * (fed.ration().unwrap().pence + fed.ration().unwrap().charged)
            })
            .sum();
        assert!((own - least).abs() <= 1e-4 * least, "seed {seed}: walked {own}, best {least}");
        scarce += usize::from(found.scarce[1] > 0.0);
    }
    assert!(scarce >= 4, "barley was short {scarce} times only");
}

#[test]
fn concentrate_begins_to_rise_early_enough_for_the_weeks_to_come() {
    let mut steep = 0;
    for seed in 0..6 {
        let mut dice = Dice(42_000 + seed);
        let (first, rise) = (dice.between(11.0, 12.5), dice.between(2.5, 5.0));
        let spells: Vec<Spell> = (0..2)
            .map(|week| Spell {
                pen: 0,
                week,
                asked: asked(first + rise * week as f64, 2, 4.0 - week as f64, ""),
                ewe_days: 140.0,
            })
            .collect();
        let found = season(&spells, EXACT);
        let concentrate: Vec<f64> = found.fed.iter().map(|fed| fed.ration().unwrap().concentrate()).collect();
        assert!(concentrate[1] <= concentrate[0] + 0.2 + 1e-6, "seed {seed}: {concentrate:?}");
        // Every amount of the first week, in steps of a hundredth of a kg.
        let best = (0..=100)
            .map(|hundredths| f64::from(hundredths) / 100.0)
            .filter_map(|kg| {
                let held = Held { concentrate: Some([kg, kg]), ..Held::default() };
                let before = cost(&Asked { held, ..spells[0].asked.clone() })?;
                let after = cost(&Asked { last_week: Some(Kg::new(kg)), ..spells[1].asked.clone() })?;
                Some(140.0 * (before + after))
            })
            .fold(f64::INFINITY, f64::min);
        let least = found.least_pence.unwrap();
        assert!(least <= best * (1.0 + 1e-6), "seed {seed}: {least} against {best} on the grid");
        assert!(
            least >= best * (1.0 - 2e-2),
            "seed {seed}: {least} is below what any first week gives, {best}"
        );
        let alone = cost(&spells[1].asked).unwrap();
        let held =
            cost(&Asked { last_week: Some(Kg::new(concentrate[0])), ..spells[1].asked.clone() }).unwrap();
        steep += usize::from(held > alone + 1e-6 || concentrate[1] > concentrate[0] + 0.15);
    }
    assert!(steep >= 2, "{steep} steep steps only");
}

/// A store that is not short changes nothing: each ration is the one found alone.
#[test]
fn a_full_store_changes_nothing() {
    let spells: Vec<Spell> = (0..3)
        .map(|pen| Spell { pen, week: 0, asked: asked(12.0 + pen as f64, 2, 3.0, "50"), ewe_days: 280.0 })
        .collect();
    let found = season(&spells, EXACT);
    assert!(found.scarce.iter().chain(&found.wanting).all(|kg| *kg == 0.0));
    for (fed, spell) in found.fed.iter().zip(&spells) {
        let own = fed.ration().unwrap().pence + fed.ration().unwrap().charged;
        assert!((own - cost(&spell.asked).unwrap()).abs() < 1e-9);
    }
}

/// NRC 2007, as printed in the Capital Journal (2022): 5.3 to 7.2 l in all at 73 kg.
#[test]
fn printed_figures_of_water_are_met_and_silage_brings_its_own() {
    assert_eq!(drinks(Kg::new(73.0), 0.0), [5.3, 7.2]);
    let [low, high] = drinks(Kg::new(66.0), 2.0);
    assert!((low - 2.95).abs() < 1e-9 && (high - 4.7).abs() < 1e-9, "{low} {high}");
    assert_eq!(drinks(Kg::new(40.0), 9.0), [0.0, 0.0]);
}
