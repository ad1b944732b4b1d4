//! The feeds file: which feeds are on the farm, what they cost, how much there is, and what the farm's own
//! analyses say. A figure left empty is the table's.

use crate::day::{DateOrder, Day};
use crate::feed::{Analysis, Class, Feed, Stocked, Values};
use crate::io::column::plain;
use crate::io::content;
use crate::io::date::{self, Written};
use crate::io::fault::{Fault, RowProblems, quoted};
use crate::io::question::{self, DateAmbiguity};
use crate::io::range::{self, Limits};
use crate::io::sheet::{self, Kind, Sheet};
use crate::io::table::Line;
use crate::problem::Reading;
use crate::quantity::{GramPerKg, GramPerKgDm, Kg, KgPerDay, MgPerKgDm, MjPerKgDm, PricePerTonne};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// MJ ME a kg DM of silage for each per cent of digestible organic matter in its dry matter (D-value).
/// From memory; UK laboratories have used 0.16.
const MJ_PER_D: f64 = 0.16;

const fn limits(
    column: &'static str,
    what: &'static str,
    unit: &'static str,
    possible: RangeInclusive<f64>,
    usual: RangeInclusive<f64>,
) -> Limits {
    Limits { column, what, unit, possible, usual }
}

const PRICE: Limits = limits("price_per_t", "price", "a tonne", 0.0..=20_000.0, 0.0..=2_000.0);
const STOCK: Limits = limits("stock_t", "stock", "t", 0.0..=100_000.0, 0.0..=2_000.0);
const MOST: Limits = limits("kg_most", "most a day", "kg", 0.0..=20.0, 0.0..=10.0);
const PH: Limits = limits("ph", "pH", "", 2.0..=10.0, 3.4..=6.5);
const ASH: Limits = limits("ash_g_per_kg_dm", "ash", "g a kg DM", 10.0..=500.0, 20.0..=200.0);
const D_VALUE: Limits = limits("d_value", "D-value", "%", 30.0..=85.0, 50.0..=80.0);

/// How an analysed figure takes the table's place.
type Put = fn(&mut Values, f64);

/// What an analysis may tell, where it may lie, and where it goes. The ranges are wide: they are to find
/// figures in the wrong unit, not poor feeds (common practice, no source).
const ANALYSED: [(Limits, Put); 12] = [
    (limits("dm_g_per_kg", "dry matter", "g a kg fresh", 50.0..=1000.0, 90.0..=990.0), |v, x| {
        v.dry_matter = GramPerKg::new(x);
    }),
    (limits("me_mj_per_kg_dm", "energy", "MJ a kg DM", 3.0..=40.0, 4.5..=15.0), |v, x| {
        v.me = MjPerKgDm::new(x);
    }),
    (limits("cp_g_per_kg_dm", "crude protein", "g a kg DM", 20.0..=3000.0, 25.0..=600.0), |v, x| {
        v.crude_protein = GramPerKgDm::new(x);
    }),
    (limits("ndf_g_per_kg_dm", "fibre (NDF)", "g a kg DM", 80.0..=950.0, 100.0..=850.0), |v, x| {
        v.ndf = GramPerKgDm::new(x);
    }),
    (limits("starch_g_per_kg_dm", "starch", "g a kg DM", 0.0..=850.0, 0.0..=750.0), |v, x| {
        v.starch = GramPerKgDm::new(x);
    }),
    (limits("sugar_g_per_kg_dm", "sugar", "g a kg DM", 0.0..=900.0, 0.0..=700.0), |v, x| {
        v.sugar = GramPerKgDm::new(x);
    }),
    (limits("oil_g_per_kg_dm", "oil", "g a kg DM", 0.0..=1000.0, 0.0..=250.0), |v, x| {
        v.oil = GramPerKgDm::new(x);
    }),
    (limits("ca_g_per_kg_dm", "calcium", "g a kg DM", 0.0..=400.0, 0.0..=30.0), |v, x| {
        v.calcium = GramPerKgDm::new(x);
    }),
    (limits("p_g_per_kg_dm", "phosphorus", "g a kg DM", 0.0..=300.0, 0.0..=20.0), |v, x| {
        v.phosphorus = GramPerKgDm::new(x);
    }),
    (limits("mg_g_per_kg_dm", "magnesium", "g a kg DM", 0.0..=600.0, 0.0..=10.0), |v, x| {
        v.magnesium = GramPerKgDm::new(x);
    }),
    (limits("na_g_per_kg_dm", "sodium", "g a kg DM", 0.0..=400.0, 0.0..=15.0), |v, x| {
        v.sodium = GramPerKgDm::new(x);
    }),
    (limits("cu_mg_per_kg_dm", "copper", "mg a kg DM", 0.0..=2000.0, 0.0..=60.0), |v, x| {
        v.copper = MgPerKgDm::new(x);
    }),
];

/// Reads the feeds file against the feed `table`. `dates` is the order of day and month, where a person said it.
pub fn feeds(
    bytes: &[u8],
    table: &[Feed],
    dates: Option<DateOrder>,
) -> (Reading<Vec<Stocked>>, Option<DateAmbiguity>) {
    let mut reading = Reading::default();
    let content = content::read(Kind::Feeds, bytes, &mut reading.problems);
    let sheet = content.as_ref().and_then(|content| sheet::open(Kind::Feeds, content, &mut reading.problems));
    let Some(sheet) = sheet else { return (reading, None) };
    reading.unknown_columns = sheet.unknown.iter().map(|(_, name)| name.clone()).collect();
    let dated = ["analysed_on", "counted_on"];
    let cells = sheet.rows.iter().flat_map(|line| dated.map(|column| sheet.cell(line, column)));
    let written: Vec<(&str, Written)> =
        cells.filter_map(|text| Some((text, date::read(text).ok()?))).collect();
    let decision = date::decide(written.iter().copied(), dates.or(sheet.stated_order));
    let question = question::raise(Kind::Feeds, "analysed_on", &decision, &mut reading.problems);
    let mut seen = BTreeMap::new();
    for line in &sheet.rows {
        let mut problems = RowProblems::new(Kind::Feeds, line.row, None, &mut reading.problems);
        let feed = row(&sheet, line, table, decision.order, &mut seen, &mut problems);
        if problems.into_errors().is_empty() {
            reading.records.extend(feed);
        }
    }
    (reading, question)
}

fn row(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    table: &[Feed],
    order: Option<DateOrder>,
    seen: &mut BTreeMap<String, u32>,
    problems: &mut RowProblems<'_>,
) -> Option<Stocked> {
    if !sheet.is_sound(line, problems) {
        return None;
    }
    let base = named(sheet, line, table, seen, problems);
    let price = range::read(sheet, line, &PRICE, problems);
    if sheet.cell(line, "price_per_t").is_empty() {
        let hint = "Write what a tonne costs, or what it would fetch; 0 where it is worth nothing.";
        problems.error("price_per_t", "", Fault::new("price-missing", "The feed has no price.", hint));
    }
    let stock = range::read(sheet, line, &STOCK, problems);
    let counted_on = counted_on(sheet, line, order, problems);
    let most = range::read(sheet, line, &MOST, problems);
    let mut feed = base?.clone();
    let like = feed.id.clone();
    feed.name = own_name(sheet.cell(line, "feed"), &feed);
    let analysis = analysis(sheet, line, order, &mut feed, problems);
    Some(Stocked {
        feed,
        like,
        price: PricePerTonne::new(price?),
        stock: stock.map(|tonnes| Kg::new(1000.0 * tonnes)),
        counted_on,
        most: most.map(KgPerDay::new),
        analysis,
        row: line.row,
    })
}

/// The day on which the store was counted, where it is told.
fn counted_on(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    order: Option<DateOrder>,
    problems: &mut RowProblems<'_>,
) -> Option<Day> {
    let text = sheet.cell(line, "counted_on");
    if text.is_empty() {
        return None;
    }
    let written = problems.take("counted_on", text, date::read(text))?;
    problems.take("counted_on", text, date::resolve(text, written, order))
}

/// The table's name for a feed that is given by its short name, otherwise the farm's own.
fn own_name(written: &str, feed: &Feed) -> String {
    let same = plain(written) == plain(&feed.id);
    if same { feed.name.clone() } else { written.to_owned() }
}

/// The feed of the table that a row is, or is like.
fn named<'t>(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    table: &'t [Feed],
    seen: &mut BTreeMap<String, u32>,
    problems: &mut RowProblems<'_>,
) -> Option<&'t Feed> {
    let name = sheet.cell(line, "feed");
    if name.is_empty() {
        let hint = "Name it as the feed table does, or by a name of your own with 'like' beside it.";
        problems.error("feed", name, Fault::new("feed-missing", "The feed has no name.", hint));
        return None;
    }
    if let Some(first) = seen.get(&plain(name)) {
        let message = format!("{} is also the feed in row {first}.", quoted(name));
        problems.error(
            "feed",
            name,
            Fault::new("duplicate-feed", message, "Give each feed a name of its own."),
        );
        return None;
    }
    seen.insert(plain(name), line.row);
    let find = |wanted: &str| {
        let wanted = plain(wanted);
        table.iter().find(|feed| plain(&feed.id) == wanted || plain(&feed.name) == wanted)
    };
    let like = sheet.cell(line, "like");
    let (column, wanted) = if like.is_empty() { ("feed", name) } else { ("like", like) };
    let found = find(wanted);
    if found.is_none() {
        let message = format!("{} is not in the feed table.", quoted(wanted));
        let hint =
            "Write in 'like' which feed of the table it is like; evenfold ration --list-feeds names them.";
        problems.error(column, wanted, Fault::new("feed-unknown", message, hint));
    }
    found
}

/// Puts the farm's own figures in the table's place.
fn analysis(
    sheet: &Sheet<'_>,
    line: &Line<'_>,
    order: Option<DateOrder>,
    feed: &mut Feed,
    problems: &mut RowProblems<'_>,
) -> Option<Analysis> {
    let mut told = Vec::new();
    let before = feed.values.me;
    for (limits, put) in &ANALYSED {
        if let Some(value) = range::read(sheet, line, limits, problems) {
            put(&mut feed.values, value);
            told.push(limits.column);
        }
    }
    let d_value = range::read(sheet, line, &D_VALUE, problems);
    if let Some(d_value) = d_value.filter(|_| !told.contains(&"me_mj_per_kg_dm")) {
        if feed.class == Class::Silage {
            feed.values.me = MjPerKgDm::new(MJ_PER_D * d_value);
            told.push("d_value");
        } else {
            let fault = Fault::new(
                "d-value-not-silage",
                "A D-value is turned into energy for silage alone.",
                "Give the energy itself, me_mj_per_kg_dm.",
            );
            problems.error("d_value", sheet.cell(line, "d_value"), fault);
        }
    }
    feed.appetite_follows(before);
    let ph = range::read(sheet, line, &PH, problems);
    told.extend(ph.map(|_| "ph"));
    let ash = range::read(sheet, line, &ASH, problems);
    told.extend(ash.map(|_| "ash_g_per_kg_dm"));
    let text = sheet.cell(line, "analysed_on");
    if told.is_empty() {
        return None;
    }
    if text.is_empty() {
        let message = "The row gives figures of an analysis, but not its day.";
        let hint = "Write the day of the sample in analysed_on: an old analysis is of another cut.";
        problems.error("analysed_on", text, Fault::new("analysis-undated", message, hint));
        return None;
    }
    let written = problems.take("analysed_on", text, date::read(text))?;
    let on: Day = problems.take("analysed_on", text, date::resolve(text, written, order))?;
    Some(Analysis { on, told, ph, ash: ash.map(GramPerKgDm::new) })
}
