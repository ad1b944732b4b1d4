//! Time for a whole feeding plan: six pens over eight weeks, to the last gram and in amounts that can be weighed.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::flock::Litter;
use evenfold::quantity::{GramPerDay, Kg, MgPerKgDm, MjPerDay};
use evenfold::ration::season::{Pattern, Spell, Wish, season};
use evenfold::ration::{Asked, COPPER, Held, Way};

fn main() {
    divan::main();
}

/// Fifteen feeds of the table, at invented prices; `stock` is the silage in store, t.
fn feeds(stock: &str) -> String {
    format!(
        "feed,price_per_t,stock_t\ngs_good,42,{stock}\nhay_avg,135,\nstraw_bar,90,\nbarley,185,8\noats,190,2\n\
         msbp,255,\nbeans,245,5\nsbm,405,2\nrsm,275,\nnut18,312,\npremix,720,\nlime,125,\ncalmag,520,\nsalt,130,\n"
    )
}

/// Six pens of forty ewes, from singles to triplets, in each of the last eight weeks.
fn spells(way: Way, stock: &str) -> Vec<Spell> {
    let table = evenfold::io::feed_table().unwrap_or_default();
    let (reading, _) = evenfold::io::feeds(feeds(stock).as_bytes(), &table, None);
    assert_eq!(reading.records.len(), 14);
    let mut spells = Vec::new();
    for week in 0..8_usize {
        for pen in 0..6_usize {
            let need = 10.0 + 0.7 * pen as f64 + 0.6 * week as f64;
            let litter = Litter::of(1 + (pen / 2) as u8).unwrap_or(Litter::BARREN);
            let asked = Asked {
                me: MjPerDay::new(need),
                mp: GramPerDay::new(7.2 * need),
                maintenance: MjPerDay::new(8.0),
                weight: Kg::new(72.0),
                litter,
                weeks: 7.5 - week as f64,
                way,
                feeds: reading.records.clone(),
                is_restricted: false,
                most_feeds: 2,
                most_straights: 5,
                last_week: None,
                pen: None,
                copper_most: MgPerKgDm::new(COPPER),
                protein_weeks: 4.0,
                mix_for: None,
                held: Held::default(),
            };
            spells.push(Spell { pen, week, asked, ewe_days: 280.0 });
        }
    }
    spells
}

const CASES: [(&str, Way, &str); 3] =
    [("separate", Way::Separate, ""), ("mixed", Way::Mixed, ""), ("silage short", Way::Separate, "20")];
const NAMES: [&str; 3] = ["separate", "mixed", "silage short"];

fn wish(to_weigh: bool) -> Wish {
    let handling = if to_weigh { 0.5 } else { 0.0 };
    Wish { to_weigh, handling, one_recipe: false, pattern: Pattern::Stepped }
}

fn case(name: &str) -> Vec<Spell> {
    CASES.iter().find(|case| case.0 == name).map_or_else(Vec::new, |(_, way, stock)| spells(*way, stock))
}

#[divan::bench(args = NAMES, sample_count = 10)]
fn to_the_last_gram(bencher: Bencher<'_, '_>, name: &str) {
    let spells = case(name);
    assert!(season(&spells, wish(false)).fed.iter().all(|fed| fed.ration().is_some()));
    bencher.bench(|| season(black_box(&spells), wish(false)));
}

#[divan::bench(args = NAMES, sample_count = 5)]
fn weighed_out(bencher: Bencher<'_, '_>, name: &str) {
    let spells = case(name);
    bencher.bench(|| season(black_box(&spells), wish(true)));
}

#[divan::bench(args = NAMES, sample_count = 3)]
fn by_one_recipe(bencher: Bencher<'_, '_>, name: &str) {
    let spells = case(name);
    bencher.bench(|| season(black_box(&spells), Wish { one_recipe: true, ..wish(true) }));
}
