//! Published feeding plans, week by week: met within 0.15 kg of concentrate a day, or off as is said and why.

use crate::fed;
use evenfold::farm::need::{NeedQuestion, need};
use evenfold::farm::ration::RationQuestion;

struct Plan {
    id: String,
    published: f64,
    difference: Option<f64>,
    question: RationQuestion,
    feeds: String,
}

/// The plans of a file in `tests/golden` that say enough to be run week by week, and how many do not.
fn plans(file: &str) -> (Vec<Plan>, usize) {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(file).unwrap();
    let headers = reader.headers().unwrap().clone();
    let (mut plans, mut left_out) = (Vec::new(), 0);
    for row in reader.records() {
        let row = row.unwrap();
        let text = |name: &str| row[headers.iter().position(|h| h == name).expect("a column")].to_owned();
        let number = |name: &str| text(name).parse::<f64>().ok();
        assert!(!text("source").is_empty());
        if text("run") == "total" {
            continue;
        }
        if text("run") != "yes" {
            assert!(!text("reason").is_empty(), "{}: why it is not run", text("id"));
            left_out += 1;
            continue;
        }
        let (kg, weeks) = (number("ewe_kg").unwrap(), number("weeks").unwrap());
        let litter: u8 = text("litter").parse().unwrap();
        let needed = need(&NeedQuestion::new(kg, litter, Some((7.0 * weeks).round() as u32))).unwrap();
        let me = number("need_me_mj_per_day").unwrap_or(needed.me_mj_per_day);
        let mut question = RationQuestion::new(me, needed.mp_g_per_day, kg, litter, weeks, &text("way"));
        question.most_feeds = 3;
        let likes = text("forage_like");
        let energy = number("forage_me").map_or(String::new(), |me| me.to_string());
        let day = if energy.is_empty() { "" } else { "2026-11-01" };
        let mut feeds = "feed,like,price_per_t,analysed_on,me_mj_per_kg_dm\n".to_owned();
        for (place, like) in likes.split(' ').enumerate() {
            let own = if place == 0 { format!("{day},{energy}") } else { ",".to_owned() };
            feeds.push_str(&format!("forage {place},{like},40,{own}\n"));
        }
        for id in text("concentrate").split(' ') {
            feeds.push_str(&format!("{id},,300,,\n"));
        }
        feeds.push_str("premix,,720,,\nlime,,125,,\ncalmag,,520,,\nsalt,,130,,\n");
        assert_eq!(number("difference_kg").is_some(), !text("reason").is_empty(), "a reason with each");
        plans.push(Plan {
            id: text("id"),
            published: number("published_kg").unwrap(),
            difference: number("difference_kg"),
            question,
            feeds,
        });
    }
    (plans, left_out)
}

/// Which plans are within 0.15 kg of concentrate a day, and which off as the file says and why; any other is a fault.
fn judged(plans: &[Plan]) -> (usize, usize) {
    let (mut met, mut explained, mut faults) = (0, 0, Vec::new());
    for plan in plans {
        let document = fed(&plan.question, &plan.feeds);
        let ours: f64 = document
            .feeds
            .iter()
            .filter(|feed| {
                !feed.feed.starts_with("forage ")
                    && !["premix", "lime", "calmag", "salt"].contains(&feed.like.as_str())
            })
            .map(|feed| feed.kg_fresh)
            .sum();
        let off = ours - plan.published;
        println!(
            "{:>4}: {ours:.2} kg, published {:.2}, {off:+.2}, {}",
            plan.id, plan.published, document.status
        );
        match plan.difference {
            None if off.abs() <= 0.15 + 1e-9 => met += 1,
            None => faults.push(format!("{}: {off:+.2}", plan.id)),
            Some(said) if (off - said).abs() <= 0.051 && off.abs() > 0.15 => explained += 1,
            Some(said) => faults.push(format!("{}: {off:+.2}, said {said:+.2}", plan.id)),
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
    (met, explained)
}

#[test]
fn published_plans_are_met_or_differ_as_explained() {
    let (plans, left_out) = plans("tests/golden/feeding_plans.csv");
    let (met, explained) = judged(&plans);
    assert!(
        met >= 8 && met > explained && left_out >= 10,
        "{met} met, {explained} explained, {left_out} left out"
    );
}

/// Plans found after all else was done: nothing was fitted to them.
#[test]
fn plans_that_nothing_was_fitted_to_are_met_or_differ_as_explained() {
    let (plans, left_out) = plans("tests/golden/feeding_plans_elsewhere.csv");
    let (met, explained) = judged(&plans);
    println!("{met} met, {explained} explained, {left_out} left out");
    assert!(met >= 13 && left_out >= 6, "{met} met, {explained} explained, {left_out} left out");
}
