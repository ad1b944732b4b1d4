//! What a shepherd would expect of a plan: small shortages told quietly, barren ewes fed, counted stores, one sheet a week.

use super::{FEEDS, FORAGE, Made, OTHER, ewe_days, list, near, number, on, sums_agree, table, way, weeks};
use crate::common::valid;
use evenfold::farm::need::{NeedQuestion, need};
use evenfold::farm::plan::PlanAnswer;
use evenfold::farm::settings::Settings;
use serde_json::Value;
use std::collections::BTreeMap;

/// Energy of one step of the bucket: the least of the concentrates fed, by the table's own figures.
fn step_mj(week: &Value, table: &BTreeMap<String, (String, BTreeMap<String, f64>)>) -> Option<f64> {
    let of = list(&week["feeds"]).iter().filter_map(|feed| {
        let (class, row) = table.get(feed["feed"].as_str()?)?;
        let is_concentrate = !FORAGE.contains(&class.as_str()) && !OTHER.contains(&class.as_str());
        is_concentrate.then(|| 0.05 * row["dm"] / 1000.0 * row["me"])
    });
    of.reduce(f64::min)
}

#[test]
fn what_is_less_than_a_step_of_the_bucket_is_told_quietly_and_a_real_shortage_is_not() {
    let table = table();
    let mut seen = BTreeMap::new();
    for seed in 50..58 {
        let answer = Made::of(seed, 50, 3).answer(FEEDS, &way("separate"), None);
        let document = valid("plan", &answer.to_json());
        let PlanAnswer::Planned(planned) = answer else { panic!("planned") };
        let cells = planned.view.pens.iter().flat_map(|pen| &pen.weeks);
        for ((_, week), cell) in weeks(&document).into_iter().zip(cells) {
            let (me, mp) = (number(&week["me_short_mj_per_day"]), number(&week["mp_short_g_per_day"]));
            let mp = if week["protein_asked"] == true { mp } else { 0.0 };
            let told = number(&week["bucket_step_me_mj"]);
            if let Some(step) = step_mj(week, &table) {
                near(told, step, 1e-6, "a step of the bucket");
            }
            let step = [told, number(&week["bucket_step_mp_g"])];
            assert!((0.4..0.8).contains(&step[0]) && (1.0..25.0).contains(&step[1]), "{step:?}");
            let expected = match () {
                () if me <= 0.05 && mp <= 0.5 => "met",
                () if me <= step[0] && mp <= step[1].max(0.5) => "near",
                () => "short",
            };
            assert_eq!(week["status"], expected, "{me} MJ, {mp} g: {week}");
            assert_eq!(cell.state, expected);
            let says = |part: &str| cell.words.iter().any(|line| line.contains(part));
            assert_eq!(says("within what can be weighed"), expected == "near", "{:?}", cell.words);
            assert_eq!(says("short of the level"), expected == "short", "{:?}", cell.words);
            assert!(expected == "met" || !cell.stopped_by.is_empty(), "what stops it is said: {week}");
            *seen.entry(expected).or_insert(0) += 1;
        }
        let short = weeks(&document).iter().filter(|(_, week)| week["status"] == "short").count();
        let all = weeks(&document).len();
        let headline = &planned.view.headline;
        let said = format!("{short} of {all} weekly pen rations fall short");
        assert_eq!(headline.contains(&said), short > 1, "{said}: {headline}");
        assert_eq!(document["status"] == "met", short == 0);
    }
    assert!(
        ["met", "near", "short"].iter().all(|state| seen.get(state).is_some_and(|n| *n >= 3)),
        "{seen:?}"
    );
}

/// Where a need is more than a ewe can eat, that is what is said, with what the sort counted on.
#[test]
fn a_need_that_cannot_be_eaten_names_that_limit_and_what_the_sort_counted_on() {
    let (mut said, mut other) = (0, 0);
    for (seed, way_of) in [(55, "separate"), (56, "mixed"), (57, "separate")] {
        let answer = Made::of(seed, 50, 3).answer(FEEDS, &way(way_of), None);
        let document = valid("plan", &answer.to_json());
        let PlanAnswer::Planned(planned) = answer else { panic!("planned") };
        let cells = planned.view.pens.iter().flat_map(|pen| &pen.weeks);
        for ((_, week), cell) in weeks(&document).into_iter().zip(cells) {
            let words = cell.words.join(" ");
            let is_by_appetite = week["short_by_appetite"] == true;
            assert_eq!(words.contains("she can eat"), is_by_appetite, "{words}");
            if !is_by_appetite {
                other += 1;
                continue;
            }
            let stops = list(&week["stopped_by"])[0].as_str().unwrap();
            assert!(
                stops.starts_with("dry matter in all") || stops.starts_with("appetite filled"),
                "{stops}"
            );
            let limit = |name: &str| list(&week["limits"]).iter().find(|own| own["name"] == name).unwrap();
            let is_full = |name: &str, near: f64| {
                number(&limit(name)["supplied"]) >= near * number(&limit(name)["most"])
            };
            // A step of the bucket or of the wagon's forage may be left free.
            assert!(is_full("dry matter in all", 0.95) || is_full("appetite filled", 0.95), "{week}");
            let counted = number(&week["asked_me_mj_per_day"]) / number(&week["level_me_mj_per_kg_dm"]);
            let names_both = words.contains(&format!("the sort counted on {counted:.2}"));
            let is_less = counted > number(&week["kg_dm"]) + 0.005;
            assert_eq!(names_both, is_less && week["status"] == "short", "{words}");
            said += usize::from(names_both);
        }
    }
    assert!(said >= 5 && other >= 5, "{said} and {other}");
}

#[test]
fn barren_ewes_eat_on_a_line_of_their_own_and_from_the_same_stores() {
    let made = Made::of(58, 40, 2);
    let with = Made {
        flock: format!("{}X1,0,3,,mature,70,no\nX2,0,3,,mature,80,no\nX3,0,2.5,,mature,75,no\n", made.flock),
        ..Made::of(58, 40, 2)
    };
    for way_of in ["separate", "mixed", "topup"] {
        let (plain, document) = (made.plan(FEEDS, &way(way_of)), with.plan(FEEDS, &way(way_of)));
        let barren: Vec<&Value> =
            list(&document["pens"]).iter().filter(|pen| pen["is_barren"] == true).collect();
        let before: f64 = list(&plain["pens"])
            .iter()
            .filter(|pen| pen["is_barren"] == true)
            .map(|pen| number(&pen["head"]))
            .sum();
        assert_eq!(barren.len(), 1, "{way_of}");
        assert_eq!(number(&barren[0]["head"]), before + 3.0);
        for week in list(&barren[0]["weeks"]) {
            // AFRC 1993: some 8 MJ for 75 kg.
            assert!((6.5..9.5).contains(&number(&week["asked_me_mj_per_day"])), "{week}");
            assert_eq!(week["status"], "met", "{week}");
            assert_eq!(week["litter_most"], 0);
            assert!(number(&week["concentrate_kg_fresh"]) < 0.2, "kept, not fattened: {week}");
        }
        let first = |document: &Value| document["last_day"].clone();
        assert_eq!(first(&plain), first(&document), "they do not make the plan longer");
        assert!(list(&document["loads"]).iter().any(|load| load["pen"] == barren[0]["pen"]));
        sums_agree(&document);
        let words = document["problems"].to_string();
        assert!(words.contains("barren-fed-apart"), "{words}");
    }
}

/// Who was not scanned eats as if she had twins, from the same stores, and is named.
#[test]
fn ewes_not_scanned_are_fed_as_twins_until_they_are() {
    let flock = |litter: &str| {
        let rows = (0..3).map(|place| format!("U{place},{litter},3,2027-03-10,mature,75,no\n"));
        let base = Made::of(61, 40, 2).flock;
        std::iter::once(base).chain(rows).collect::<String>()
    };
    let made = Made { flock: flock(""), ..Made::of(61, 40, 2) };
    for way_of in ["separate", "mixed"] {
        let document = made.plan(FEEDS, &way(way_of));
        let lines: Vec<&Value> =
            list(&document["pens"]).iter().filter(|pen| pen["is_unscanned"] == true).collect();
        assert_eq!(lines.len(), 1, "{way_of}");
        let line = lines[0];
        assert_eq!((line["pen"].as_str(), number(&line["head"])), (Some("unscanned"), 3.0));
        // Three ewes of 75 kg in condition 3, as `need` tells them with twins.
        for week in list(&line["weeks"]) {
            assert_eq!(week["litter_most"], 2);
            let days = (7.0 * number(&week["weeks_to_lambing"])).round() as u32;
            let twin = need(&NeedQuestion::new(75.0, 2, Some(days))).unwrap().me_mj_per_day;
            let asked = number(&week["asked_me_mj_per_day"]);
            assert!((asked / twin - 1.0).abs() < 0.03, "{asked} MJ asked, {twin} of a twin ewe: {week}");
        }
        let heads: Vec<usize> = list(&line["weeks"]).iter().map(|week| list(&week["head"]).len()).collect();
        assert_eq!(heads, [7, 7, 7, 7, 7, 3], "gone from the day after they are due");
        assert!(list(&document["loads"]).iter().any(|load| load["pen"] == "unscanned"));
        sums_agree(&document);
        let words = document["problems"].to_string();
        assert!(words.contains("unscanned-fed-as-twins") && words.contains("as if with twins"), "{words}");
        assert!(!words.contains("set-apart-not-fed"), "{words}");
        let PlanAnswer::Planned(planned) = made.answer(FEEDS, &way(way_of), None) else { panic!("planned") };
        assert!(planned.view.headline.contains("3 unscanned ewes"), "{}", planned.view.headline);
    }
    // A row that is wrong is still nobody's.
    let wrong =
        Made { flock: format!("{}W1,9,3,2027-03-01,mature,75,no\n", flock("")), ..Made::of(61, 40, 2) };
    let words = wrong.plan(FEEDS, &way("separate"))["problems"].to_string();
    assert!(words.contains("set-apart-not-fed") && words.contains("1 ewe set apart"), "{words}");
}

/// A forage that will not last is used up, and each pen goes over to it once.
#[test]
fn a_forage_that_will_not_last_is_used_up_and_each_pen_goes_over_once() {
    let (mut shares, mut begun) = (Vec::new(), 0);
    for seed in 62..70 {
        let made = Made::of(seed, 60, 3);
        let silage = |document: &Value| {
            let mut of = list(&document["feeds"]).iter();
            of.find(|feed| feed["feed"].as_str().unwrap().contains("silage")).cloned().unwrap()
        };
        let used = number(&silage(&made.plan(FEEDS, &way("separate")))["used_t"]);
        let share = 0.25 + 0.05 * (seed % 8) as f64;
        let feeds = FEEDS.replace("gs_good,42,", &format!("gs_good,42,{:.2}", share * used));
        let document = made.plan(&feeds, &way("separate"));
        sums_agree(&document);
        let entry = silage(&document);
        assert!(number(&entry["worth_more_per_t"]) > 0.0, "seed {seed}: {entry}");
        shares.push(number(&entry["left_t"]) / number(&entry["stock_t"]));
        for pen in list(&document["pens"]) {
            let kg = |week: &Value| {
                let own = list(&week["feeds"]).iter().find(|feed| feed["feed"] == entry["feed"]);
                own.map_or(0.0, |feed| number(&feed["kg_fresh"]))
            };
            let weeks: Vec<f64> = list(&pen["weeks"]).iter().map(kg).collect();
            let first = weeks.iter().position(|kg| *kg > 0.0).unwrap_or(weeks.len());
            assert!(weeks[first..].iter().all(|kg| *kg > 0.0), "seed {seed} pen {}: {weeks:?}", pen["pen"]);
            begun += usize::from(first > 0 && first < weeks.len());
        }
    }
    println!("unused: {shares:?}");
    assert!(shares.iter().all(|share| *share < 0.01), "{shares:?}");
    assert!(begun >= 8, "{begun} change-overs only");
}

/// A store counted on a day, less what was loaded since; and what was loaded on the plan's own days is gone, whatever
/// was planned.
#[test]
fn what_was_loaded_since_the_count_is_not_in_the_store_any_more() {
    let made = Made::of(59, 40, 2);
    let feeds = FEEDS.replace('\n', ",\n").replace("stock_t,\n", "stock_t,counted_on\n");
    let feeds = feeds.replace("barley,185,,", "barley,185,0.6,2027-01-20");
    let loads = |rows: &str| format!("pen,day,feed,kg_loaded\n{rows}");
    let barley = |document: &Value| {
        let of = list(&document["feeds"])
            .iter()
            .find(|feed| feed["feed"].as_str().unwrap().contains("Barley grain"));
        of.cloned().unwrap()
    };
    let answer =
        |rows: &str| valid("plan", &made.answer(&feeds, &way("separate"), Some(&loads(rows))).to_json());
    // The day before the count is in it already.
    let document = answer("A,2027-01-19,barley,70\nA,2027-01-20,barley,30\nB,2027-01-31,barley,25.5\n");
    let entry = barley(&document);
    near(number(&entry["loaded_since_count_t"]), 0.0555, 1e-9, "loaded since");
    near(number(&entry["stock_t"]), 0.5445, 1e-9, "still there");
    assert!(
        entry["words"].as_str().unwrap().contains("loaded since it was counted on 20 January 2027"),
        "{entry}"
    );
    assert!(number(&entry["used_t"]) <= 0.5445 + 1e-9, "{entry}");
    // Without the day of the count, the figure is of the plan's first day.
    let undated = feeds.replace("0.6,2027-01-20", "0.6,");
    let undated = made.answer(&undated, &way("separate"), Some(&loads("A,2027-01-25,barley,70\n")));
    near(number(&barley(&valid("plan", &undated.to_json()))["stock_t"]), 0.6, 1e-9, "as it stands");
    // On the plan's first day 200 kg went into pen A.
    let document = answer("A,2027-02-01,barley,200\n");
    let entry = barley(&document);
    let planned: f64 = weeks(&document)
        .iter()
        .flat_map(|(pen, week)| list(&week["feeds"]).iter().map(move |feed| (pen, week, feed)))
        .filter(|(.., feed)| feed["feed"] == entry["feed"])
        .map(|(pen, week, feed)| {
            let is_told = pen["pen"] == "A" && week["week"] == 1;
            let days = ewe_days(week) - if is_told { number(&list(&week["head"])[0]) } else { 0.0 };
            days * number(&feed["kg_fresh"])
        })
        .sum();
    near(1000.0 * number(&entry["used_t"]), planned + 200.0, 1e-6, "what was loaded counts");
    assert!(planned <= 400.0 + 5.0, "no more is planned than is left: {planned}");
    // More than there was is said.
    let document = answer("A,2027-01-25,barley,900\n");
    assert!(document["problems"].to_string().contains("loaded-over-store"));
    near(number(&barley(&document)["stock_t"]), 0.0, 1e-12, "empty");
}

#[test]
fn a_week_in_which_ewes_lamb_is_one_load_with_its_days_beneath() {
    let answer = Made::of(60, 50, 3).answer(FEEDS, &way("separate"), None);
    let document = valid("plan", &answer.to_json());
    let PlanAnswer::Planned(planned) = answer else { panic!("planned") };
    let mut keys: Vec<(u32, String, String)> = Vec::new();
    let mut by_day = 0;
    for load in &planned.view.loads {
        let what = load.title.split_whitespace().next().unwrap().to_lowercase();
        let key = (load.week, load.pen.clone(), what.clone());
        assert!(!keys.contains(&key), "{key:?} stands twice");
        keys.push(key);
        let entries: Vec<&Value> = list(&document["loads"])
            .iter()
            .filter(|own| own["week"] == load.week && own["pen"] == load.pen && own["what"] == what)
            .collect();
        assert!(!entries.is_empty());
        if entries.len() == 1 {
            assert!(load.days.is_empty());
            continue;
        }
        by_day += 1;
        assert_eq!(load.days.len(), entries.len());
        for (day, entry) in load.days.iter().zip(&entries) {
            assert!(day.head.starts_with(&entry["head"].to_string()), "{day:?}");
            for (amount, part) in day.amounts.iter().zip(list(&entry["parts"])) {
                let (figure, unit) = amount.split_once(' ').unwrap();
                let by = if unit == "g" { 0.001 } else { 1.0 };
                let told = by * figure.parse::<f64>().unwrap();
                near(told, number(&part["kg_a_load"]), 0.5, amount);
            }
        }
    }
    assert!(by_day >= 4, "{by_day}");
}

#[test]
fn without_any_forage_no_week_is_fed_and_each_says_why() {
    let made = Made::of(42, 30, 2);
    let feeds = "feed,price_per_t\nbarley,185\nnut18,312\nlime,125\n";
    let PlanAnswer::Planned(planned) = made.answer(feeds, &way("separate"), None) else { panic!("planned") };
    assert!(planned.view.headline.starts_with("Nothing can be fed safely"), "{}", planned.view.headline);
    assert!(planned.view.lines.iter().all(|line| !line.contains("-0")), "{:?}", planned.view.lines);
    let document = made.plan(feeds, &way("separate"));
    assert_eq!(document["status"], "short");
    for pen in list(&document["pens"]) {
        let weeks = list(&pen["weeks"]);
        assert!(weeks.iter().all(|week| week["status"] == "impossible"), "{pen}");
        assert!(weeks.iter().any(|week| !list(&week["stopped_by"]).is_empty()), "{pen}");
        assert!(
            weeks.iter().any(|week| !list(&week["ways_out"]).is_empty()),
            "hay or straw is a way out: {pen}"
        );
    }
    assert!(list(&document["loads"]).is_empty());
    sums_agree(&document);
}

/// A cell in which no concentrate is fed says so, and not that nought grams are.
#[test]
fn a_week_without_concentrate_reads_none() {
    let made = Made {
        flock: format!(
            "tag,litter,condition,due,age,weight_kg\n{}",
            (0..8).map(|number| format!("T{number},1,3,2027-03-28,mature,75\n")).collect::<String>()
        ),
        pens: "pen,trough_m,area_m2,feeding,floor\nA,8,30,restricted,straw\n".to_owned(),
        settings: Settings { on: on(), ..Settings::default() },
    };
    let PlanAnswer::Planned(planned) = made.answer(FEEDS, &way("separate"), None) else { panic!("planned") };
    let cells = &planned.view.pens[0].weeks;
    let (first, last) = (&cells[0], &cells[cells.len() - 1]);
    assert_eq!((first.concentrate_kg, first.title.as_str()), (0.0, "none"));
    assert!(last.title.ends_with(" kg"), "{}", last.title);
    assert!(cells.iter().all(|cell| !cell.title.starts_with("0 ")));
}

/// Silage that is enough for singles, and what it lacks: the sheet calls that minerals, and gives it no number of feeds.
#[test]
fn minerals_that_stand_alone_are_loaded_under_their_own_name() {
    let made = Made {
        flock: format!(
            "tag,litter,condition,due,age,weight_kg\n{}",
            (0..8).map(|number| format!("T{number},1,3,2027-03-28,mature,75\n")).collect::<String>()
        ),
        pens: "pen,trough_m,area_m2,feeding,floor\nA,8,30,restricted,straw\n".to_owned(),
        settings: Settings { on: on(), ..Settings::default() },
    };
    let feeds = "feed,like,price_per_t,analysed_on,dm_g_per_kg,p_g_per_kg_dm,mg_g_per_kg_dm\n\
                 own,gs_good,42,2026-10-12,280,2.0,1.0\nnut18,,312,,,,\npremix,,720,,,,\n";
    let PlanAnswer::Planned(planned) = made.answer(feeds, &way("separate"), None) else { panic!("planned") };
    let bucket: Vec<_> = planned.view.loads.iter().filter(|load| !load.title.starts_with("Forage")).collect();
    let alone: Vec<_> = bucket.iter().filter(|load| load.parts.len() == 1).collect();
    let premix = alone.iter().filter(|load| load.parts[0].name.starts_with("Sheep mineral"));
    let titles: Vec<&str> = premix.map(|load| load.title.as_str()).collect();
    assert!(!titles.is_empty(), "{bucket:?}");
    for title in titles {
        assert!(
            title.starts_with("Minerals for 8 ewes, 7 days: ") && title.ends_with(" kg a day"),
            "{title}"
        );
    }
    let others =
        bucket.iter().filter(|load| load.parts.iter().any(|part| part.name.starts_with("Ewe compound")));
    assert!(
        others.clone().count() > 0 && others.clone().all(|load| load.title.starts_with("Concentrate for "))
    );
}

/// Of what is hardly worth an order the plan says so; of minerals, which are always little, it does not.
#[test]
fn less_than_a_bag_of_a_feed_is_said_and_money_is_called_money() {
    let made = Made::of(44, 12, 1);
    let PlanAnswer::Planned(planned) = made.answer(FEEDS, &way("separate"), None) else { panic!("planned") };
    let document = &planned.document;
    let (mut little, mut rest) = (0, 0);
    for (feed, store) in document.feeds.iter().zip(&planned.view.stores) {
        let is_mineral =
            ["Sheep mineral", "Limestone", "Calcined", "Salt"].iter().any(|name| feed.feed.starts_with(name));
        let is_little = !is_mineral && feed.stock_t.is_none() && feed.used_t > 0.0 && feed.used_t < 0.025;
        assert_eq!(store.words.contains("less than a bag"), is_little, "{}", store.words);
        assert!(store.months.iter().all(|month| month.ends_with(" in money") && !month.contains(": 0 kg")));
        if is_little { little += 1 } else { rest += 1 }
    }
    assert!(little >= 1 && rest >= 3, "{little} little, {rest} others");
}
