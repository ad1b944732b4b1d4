//! Plans over six weeks against what is printed of concentrate in all.

use crate::{Made, list, near, number, on, way};
use evenfold::farm::plan::PlanQuestion;
use evenfold::farm::settings::Settings;

/// Concentrate in all over the last six weeks, kg fresh a ewe of 75 kg in condition 3, beside this forage at this energy;
/// generic 18 % nuts.
fn six_weeks(forage: &str, me: f64, litter: u8) -> f64 {
    let row = |number: u32| format!("T{number:02},{litter},3,2027-03-14,mature,75\n");
    let made = Made {
        flock: std::iter::once("tag,litter,condition,due,age,weight_kg\n".to_owned())
            .chain((0..20).map(row))
            .collect(),
        pens: "pen,trough_m,area_m2,feeding,floor\nA,20,60,restricted,straw\n".to_owned(),
        settings: Settings { on: on(), ..Settings::default() },
    };
    let feeds = format!(
        "feed,like,price_per_t,analysed_on,me_mj_per_kg_dm\nforage,{forage},40,2026-11-01,{me}\nnut18,,300,,\n\
         premix,,720,,\nlime,,125,,\ncalmag,,520,,\nsalt,,130,,\n"
    );
    let document = made.plan(&feeds, &PlanQuestion { most_feeds: 3, ..way("separate") });
    assert_eq!(list(&list(&document["pens"])[0]["weeks"]).len(), 6);
    number(&document["concentrate_kg_per_ewe"])
}

/// CAFRE (Hanthorn), Table 1: twins, silage of 9.6 and 11.7 MJ, six weeks: 29.4 and 11.9 kg in all, by its cells.
#[test]
fn six_weeks_of_twins_take_about_what_the_published_plans_give() {
    let (poor, rich) = (six_weeks("gs_poor", 9.6, 2), six_weeks("gs_exc", 11.7, 2));
    println!("{poor:.1} kg, published 29.4; {rich:.1} kg, published 11.9");
    // Cells are printed in steps of 0.05 kg, so a total may be out by half of one a day: 1.05 kg. On poor silage ours
    // begins higher (0.5 and 0.6 kg against 0.4: what AFRC 1993 asks for five weeks out); on rich silage it ends higher
    // (0.65 and 0.75 kg against 0.5: what it asks for in the last two weeks, which is short even so).
    let cells = 0.025 * 42.0;
    near(poor - 29.4, 2.4, cells, "9.6 MJ: ours less theirs");
    near(rich - 11.9, 3.1, cells, "11.7 MJ: ours less theirs");
    // Teagasc Athenry (Keady): singles 5 kg less in all, triplets 8 kg more; on silage between these.
    let of = |litter: u8| six_weeks("gs_avg", 10.3, litter);
    let (single, twin, triplet) = (of(1), of(2), of(3));
    println!("singles {single:.1}, twins {twin:.1}, triplets {triplet:.1}; published twins - 5, + 8");
    // Rules in whole kg, over unlike weeks: ours are six for all, theirs begin two later for singles, two earlier for
    // triplets.
    near(twin - single, 5.0, 2.5, "singles");
    near(triplet - twin, 8.0, 1.0, "triplets");
}

/// Totals by digestibility and chop to which nothing was fitted: within 0.15 kg a day, or off as the file says and why.
#[test]
fn totals_that_nothing_was_fitted_to_are_met_or_differ_as_explained() {
    let file = "tests/golden/feeding_plans_elsewhere.csv";
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(file).unwrap();
    let headers = reader.headers().unwrap().clone();
    let (mut met, mut explained, mut faults) = (0, 0, Vec::new());
    for row in reader.records() {
        let row = row.unwrap();
        let text = |name: &str| row[headers.iter().position(|h| h == name).expect("a column")].to_owned();
        if text("run") != "total" {
            continue;
        }
        let figure = |name: &str| text(name).parse::<f64>().ok();
        assert_eq!((figure("weeks"), figure("ewe_kg")), (Some(6.0), Some(75.0)));
        let (published, said) = (figure("published_kg").unwrap(), figure("difference_kg"));
        assert_eq!(said.is_some(), !text("reason").is_empty(), "a reason with each");
        let litter = text("litter").parse().unwrap();
        let ours = six_weeks(&text("forage_like"), figure("forage_me").unwrap(), litter);
        let (off, allowed) = (ours - published, 0.15 * 42.0);
        println!("{}: {ours:.1} kg, published {published:.0}, {off:+.1}", text("id"));
        match said {
            None if off.abs() <= allowed => met += 1,
            None => faults.push(format!("{}: {off:+.1}", text("id"))),
            Some(said) if (off - said).abs() <= 1.0 && off.abs() > allowed => explained += 1,
            Some(said) => faults.push(format!("{}: {off:+.1}, said {said:+.1}", text("id"))),
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
    assert!(met >= 6 && explained <= 2, "{met} met, {explained} explained");
}
