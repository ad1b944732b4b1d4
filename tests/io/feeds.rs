//! The feeds file: the farm's own figures in the table's place, and what is refused.

use evenfold::feed::Stocked;
use evenfold::io::{feed_table, feeds};
use evenfold::problem::Problem;

fn read(text: &str) -> (Vec<Stocked>, Vec<Problem>) {
    let (reading, _) =
        feeds(text.as_bytes(), &feed_table().expect("the table that comes with the engine"), None);
    (reading.records, reading.problems)
}

#[track_caller]
fn refused(text: &str, code: &str) {
    let (records, problems) = read(text);
    assert!(records.is_empty(), "{text}: {records:?}");
    assert!(problems.iter().any(|problem| problem.code == code), "{text}: {problems:?}");
}

#[test]
fn the_farms_own_figures_take_the_tables_place_and_appetite_follows_energy() {
    let (records, problems) = read(
        "Feed;like;Price;Analysed on;DM (g/kg);ME;CP (g/kg DM)\nclamp 1;gs_good;42,5;2026-10-12;276;11,4;150\n",
    );
    assert!(problems.is_empty(), "{problems:?}");
    let clamp = &records[0];
    let table = feed_table().unwrap().into_iter().find(|feed| feed.id == "gs_good").unwrap();
    assert_eq!((clamp.feed.name.as_str(), clamp.like.as_str()), ("clamp 1", "gs_good"));
    assert_eq!(clamp.price.value(), 42.5);
    assert_eq!(clamp.feed.values.dry_matter.value(), 276.0);
    assert_eq!(clamp.feed.values.me.value(), 11.4);
    assert_eq!(clamp.feed.values.crude_protein.value(), 150.0);
    assert_eq!(clamp.feed.values.ndf, table.values.ndf, "what was not analysed is the table's");
    // 0.36 % of live weight a MJ: the slope of the table's own silages.
    let appetite = clamp.feed.appetite.unwrap();
    assert!((appetite - (1.75 + 0.36 * 0.5)).abs() < 1e-9, "{appetite}");
    assert_eq!(clamp.analysis.as_ref().unwrap().on.to_string(), "2026-10-12");
}

#[test]
fn a_d_value_gives_the_energy_of_silage_alone() {
    let (records, problems) = read("feed,price_per_t,analysed_on,d_value\ngs_good,42,2026-10-12,70\n");
    assert!(problems.is_empty(), "{problems:?}");
    assert!((records[0].feed.values.me.value() - 0.16 * 70.0).abs() < 1e-9);
    refused("feed,price_per_t,analysed_on,d_value\nhay_avg,135,2026-10-12,60\n", "d-value-not-silage");
}

#[test]
fn what_cannot_be_told_or_costed_is_refused_by_name() {
    refused("feed,price_per_t\nunheard of,42\n", "feed-unknown");
    refused("feed,price_per_t,like\nmine,42,unheard of\n", "feed-unknown");
    refused("feed,price_per_t\nbarley,\n", "price-missing");
    refused("feed,price_per_t\n,42\n", "feed-missing");
    refused("feed,price_per_t,cp\ngs_good,42,141\n", "analysis-undated");
    refused("feed,price_per_t,analysed_on,cp\ngs_good,42,2026-10-12,14.1\n", "out-of-range");
    refused("feed,price_per_t,analysed_on,cp %\ngs_good,42,2026-10-12,14.1\n", "wrong-unit");
    refused("feed,price_per_t,analysed_on,cp (% DM)\ngs_good,42,2026-10-12,14.1\n", "wrong-unit");
    refused("feed\nbarley\n", "column-missing");
    refused("feed,price_per_t\nbarley,-3\n", "out-of-range");
    let (records, problems) = read("feed,price_per_t\nbarley,185\nBarley,190\n");
    assert_eq!(records.len(), 1);
    assert!(problems.iter().any(|problem| problem.code == "duplicate-feed"));
}

#[test]
fn every_value_of_the_table_has_its_source_and_no_price() {
    let table = feed_table().unwrap();
    assert_eq!(table.len(), 44);
    for feed in &table {
        assert!(feed.source.named.contains("from memory"), "{}: says what was not read", feed.id);
        assert_eq!(feed.class.is_forage(), feed.appetite.is_some(), "{}", feed.id);
        // What is said to be read names a publication.
        assert!(feed.source.near_read.is_empty() || feed.source.named.contains("http"), "{}", feed.id);
    }
    // The sheet's count of rows with no figure read in any source: wholly from memory.
    assert!(table.iter().filter(|feed| feed.source.near_read.is_empty()).count() >= 14);
}
