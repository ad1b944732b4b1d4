//! Time for one ration: 25 feeds and over 20 rows, to the last gram, weighed out, and the whole answer with its reasons.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use evenfold::farm::ration::{RationQuestion, ration};
use evenfold::flock::Litter;
use evenfold::quantity::{GramPerDay, Kg, MgPerKgDm, MjPerDay};
use evenfold::ration::{Asked, COPPER, Held, Outcome, Way, settle, settle_exactly};

fn main() {
    divan::main();
}

/// Twenty-five feeds of the table, at invented prices.
const FEEDS: &str = "feed,price_per_t\ngs_good,42\ngs_avg,38\nhay_avg,135\nstraw_bar,90\nmaize_sil,42\nf_beet,35\n\
    barley,185\nwheat,195\noats,190\nmaize,215\nmsbp,255\nsoyhull,215\nwheatfeed,215\nmolasses,210\nbeans,245\n\
    peas,250\nlupins,320\nsbm,405\nrsm,275\nnut18,312\npremix,720\nlime,125\ncalmag,520\ndcp,650\nsalt,130\n";

fn asked(way: Way) -> Asked {
    let table = evenfold::io::feed_table().unwrap_or_default();
    let (reading, _) = evenfold::io::feeds(FEEDS.as_bytes(), &table, None);
    assert_eq!(reading.records.len(), 25);
    Asked {
        me: MjPerDay::new(15.5),
        mp: GramPerDay::new(112.0),
        maintenance: MjPerDay::new(8.0),
        weight: Kg::new(75.0),
        litter: Litter::BARREN,
        weeks: 3.0,
        way,
        feeds: reading.records,
        is_restricted: false,
        most_feeds: 2,
        most_straights: 5,
        last_week: None,
        pen: None,
        copper_most: MgPerKgDm::new(COPPER),
        protein_weeks: 4.0,
        mix_for: None,
        held: Held::default(),
    }
}

const WAYS: [&str; 2] = ["separate", "mixed"];

fn way(name: &str) -> Way {
    Way::ALL.into_iter().find(|(_, id)| *id == name).map_or(Way::Separate, |(way, _)| way)
}

#[divan::bench(args = WAYS)]
fn to_the_last_gram(bencher: Bencher<'_, '_>, name: &str) {
    let asked = asked(way(name));
    assert!(matches!(settle_exactly(&asked), Outcome::Fed(_)));
    bencher.bench(|| settle_exactly(black_box(&asked)));
}

#[divan::bench(args = WAYS, sample_count = 20)]
fn weighed_out(bencher: Bencher<'_, '_>, name: &str) {
    let asked = asked(way(name));
    bencher.bench(|| settle(black_box(&asked)));
}

#[divan::bench(args = WAYS, sample_count = 20)]
fn with_reasons(bencher: Bencher<'_, '_>, name: &str) {
    let question = RationQuestion::new(15.5, 112.0, 75.0, 2, 3.0, name);
    bencher.bench(|| ration(black_box(&question), FEEDS.as_bytes()));
}
