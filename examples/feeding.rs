//! Plans and rations for `tests/parity.mjs`: what is asked and what the native engine answers, one JSON line for each.
//!
//! The demo farm's plan with each way of feeding and each wish, plans that cannot be, and rations drawn from seeds.

use evenfold::day::Day;
use evenfold::farm::plan::{PlanFiles, PlanQuestion, PlanReply, Planned, plan};
use evenfold::farm::ration::{FeedTrial, RationQuestion, RationReply, Trying, ration, trying};
use evenfold::farm::settings::Settings;
use evenfold::farm::{DemoFiles, FaultyRows, Files};
use serde::Serialize;

/// How many rations are drawn.
const RATIONS: u64 = 60;

/// One question about a plan, and the answer.
#[derive(Serialize)]
struct PlanCase {
    flock: String,
    pens: String,
    groups: String,
    settings: Settings,
    feeds: String,
    question: PlanQuestion,
    reply: PlanReply,
    loads: Option<String>,
    orders: Option<String>,
    workbook: Option<Vec<u8>>,
}

/// One question about a ration, and the answer.
#[derive(Serialize)]
struct RationCase {
    feeds: String,
    ration: RationQuestion,
    reply: RationReply,
    trying: Trying,
}

fn main() {
    let feeds = DemoFiles::feeds();
    let usual = PlanQuestion::default;
    let ways = ["separate", "mixed", "topup", "nuts", "straw"];
    let wishes = ways.map(|way| PlanQuestion { way: way.to_owned(), ..usual() }).into_iter().chain([
        PlanQuestion { exact: true, handling_pence: 0.0, ..usual() },
        PlanQuestion { one_recipe: true, last_week_kg: Some(0.2), ..usual() },
        PlanQuestion { flat: true, wagon_kg: Some(900.0), ..usual() },
        PlanQuestion { most_feeds: 9, ..usual() },
    ]);
    for question in wishes {
        tell(&planned(DemoFiles::new(), feeds.to_owned(), question));
    }
    let crowded = DemoFiles { pens: "pen,trough_m,area_m2\nA,2,8\n".to_owned(), ..DemoFiles::new() };
    tell(&planned(crowded, feeds.to_owned(), usual()));
    tell(&planned(DemoFiles::new(), "feed,kg\nno such thing,5\n".to_owned(), usual()));
    let scarce: String = feeds
        .lines()
        .enumerate()
        .filter(|(row, _)| row % 3 != 2)
        .fold(String::new(), |text, (_, line)| text + line + "\n");
    for number in 0..RATIONS {
        let feeds = if number % 4 == 3 { scarce.clone() } else { feeds.to_owned() };
        let question = drawn(number, &ways, &trying(feeds.as_bytes()));
        tell(&RationCase {
            reply: ration(&question, feeds.as_bytes()).into_reply(),
            trying: trying(feeds.as_bytes()),
            feeds,
            ration: question,
        });
    }
}

fn tell(case: &impl Serialize) {
    println!("{}", serde_json::to_string(case).expect("cases and answers are plain values"));
}

fn planned(farm: DemoFiles, feeds: String, question: PlanQuestion) -> PlanCase {
    let DemoFiles { flock, pens, groups, on, .. } = farm;
    let on = Day::from_iso(&on).expect("the demo's day is an ISO date");
    let settings = Settings { on, ..Settings::default() };
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: Some(groups.as_bytes()) };
    let own = PlanFiles { feeds: feeds.as_bytes(), lists: &[], loads: None };
    let (planned, reply) = plan(files, own, &settings, FaultyRows::SetAside, &question).into_parts();
    PlanCase {
        reply,
        loads: planned.as_ref().map(Planned::load_csv),
        orders: planned.as_ref().map(Planned::orders_csv),
        workbook: planned.as_ref().map(Planned::workbook),
        flock,
        pens,
        groups,
        settings,
        feeds,
        question,
    }
}

/// Weights, litters, weeks and ways in turn, so that few numbers give unlike questions.
fn drawn(number: u64, ways: &[&str], trying: &Trying) -> RationQuestion {
    let of = |count: u64, step: u64| number * step % count;
    let tried = trying.feeds.get(of(11, 5) as usize).map(|offer| FeedTrial {
        feed: offer.name.clone(),
        price_per_t: Some(90.0 + 20.0 * of(9, 4) as f64),
        ..FeedTrial::default()
    });
    RationQuestion {
        need_me_mj_per_day: (number % 5 == 4).then_some(14.5 + number as f64 / 10.0),
        weight_kg: 45.0 + of(10, 7) as f64 * 5.0,
        litter: of(5, 3) as u8,
        weeks_to_lambing: of(9, 2) as f64,
        way: ways[of(5, 1) as usize].to_owned(),
        restricted: number.is_multiple_of(3),
        most_feeds: 1 + of(3, 1) as u32,
        ewes: number.is_multiple_of(2).then_some(40),
        trials: tried.filter(|_| number.is_multiple_of(7)).into_iter().collect(),
        ..RationQuestion::default()
    }
}
