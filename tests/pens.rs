//! How many pens, judged from outside: the document against sorts of the pens that it names, equal pens against
//! a split of the tests' own, sizes against the ewes' own room, and what every answer promises.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, evenfold, flock_csv, folder, stderr, stdout, valid};
use evenfold::farm::pen_count::{PenCountAnswer, PenCountDocument, PenCountQuestion, Point, pen_count};
use evenfold::farm::settings::{Keep, Settings, Soft};
use evenfold::farm::{FaultyRows, Files, sort};
use serde_json::Value;

fn question<'a>(flock: &'a str, pens: Option<&'a str>) -> PenCountQuestion<'a> {
    PenCountQuestion {
        flock: flock.as_bytes(),
        pens: pens.map(str::as_bytes),
        groups: None,
        most: 12,
        pen_cost: None,
        feed_price_per_t_dm: None,
        feed_me_mj_per_kg_dm: None,
    }
}

fn counted(question: PenCountQuestion<'_>, settings: &Settings) -> PenCountDocument {
    let answer = pen_count(question, settings, FaultyRows::Refuse);
    valid("pens", &answer.to_json());
    match answer {
        PenCountAnswer::Counted(document) => *document,
        other => panic!("{}", other.to_json()),
    }
}

fn sorted(flock: &str, pens: &str, settings: &Settings) -> Value {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    serde_json::from_str(&sort(files, settings, FaultyRows::Refuse).to_json()).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn close(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() < 1e-6 * expected.abs().max(1.0), "{what}: {found}, not {expected}");
}

fn days(days: u32) -> Settings {
    Settings { period_days: Some(days), ..Settings::default() }
}

/// What every document promises.
fn sound(document: &PenCountDocument) {
    let mut before: Option<&Point> = None;
    for (number, point) in (1..).zip(&document.points) {
        assert_eq!(point.pens, number);
        assert!(point.used.len() <= number as usize && point.words.ends_with('.'), "{}", point.words);
        assert_eq!(point.status == "sorted", point.figures.is_some());
        assert_eq!(point.status == "sorted", !point.used.is_empty());
        if let Some(figures) = point.figures {
            assert!(figures.lower_bound_mj <= figures.objective_mj);
            assert!(!figures.is_proved_best || figures.lower_bound_mj == figures.objective_mj);
            if let Some(before) = before.and_then(|before| before.figures) {
                assert!(figures.objective_mj <= before.objective_mj, "pen {number} hurts");
                let buys = point.buys.expect("the pen before holds the flock");
                close(buys.objective_mj, before.objective_mj - figures.objective_mj, "bought");
                close(buys.fed_mj, before.fed_mj - figures.fed_mj, "feed saved");
                close(before.fed_kg_dm, figures.fed_kg_dm, "dry matter");
            }
        } else {
            assert!(before.is_none_or(|before| before.figures.is_none()), "pen {number} shuts the flock out");
        }
        before = Some(point);
    }
}

/// Pens of so many mean ewes.
fn pens_of(heads: &[f64]) -> String {
    let row = |(number, head): (usize, &f64)| {
        let name = char::from(b'A' + number as u8);
        format!("{name},{:.2},{:.2}\n", head * 0.53, head * 1.32)
    };
    format!("pen,trough_m,area_m2\n{}", heads.iter().enumerate().map(row).collect::<String>())
}

/// The rows of some pens alone.
fn only(pens: &str, names: &[String]) -> String {
    let keep = |line: &&str| {
        line.starts_with("pen") || names.iter().any(|name| line.starts_with(&format!("{name},")))
    };
    pens.lines().filter(keep).map(|line| format!("{line}\n")).collect()
}

/// Every choice of so many names.
fn choices(names: &[String], count: usize) -> Vec<Vec<String>> {
    (0..1_u32 << names.len())
        .filter(|mask| mask.count_ones() as usize == count)
        .map(|mask| (0..names.len()).filter(|at| mask >> at & 1 == 1).map(|at| names[at].clone()).collect())
        .collect()
}

#[test]
fn small_sheds_have_the_best_sort_of_the_best_set_of_pens() {
    let (mut compared, mut fewer) = (0, 0);
    for seed in 0..24 {
        let mut dice = Dice(700 + seed);
        let ewes = 6 + dice.below(5);
        let flock = flock_csv(&mut dice, ewes);
        let heads: Vec<f64> = (0..4).map(|_| ewes as f64 * dice.between(0.3, 0.9)).collect();
        let pens = pens_of(&heads);
        let settings = Settings { min_head: 1 + dice.below(2) as u32, ..days(1 + 4 * dice.below(2) as u32) };
        let PenCountAnswer::Counted(document) =
            pen_count(question(&flock, Some(&pens)), &settings, FaultyRows::Refuse)
        else {
            continue;
        };
        sound(&document);
        let names: Vec<String> = ["A", "B", "C", "D"].map(str::to_owned).to_vec();
        let mut least = f64::INFINITY;
        for (count, point) in (1..).zip(&document.points) {
            // The sort of so few ewes is searched through, so it is the best for each set.
            for names in choices(&names, count) {
                let document = sorted(&flock, &only(&pens, &names), &settings);
                if document["status"] == "sorted" {
                    least = least.min(number(&document["objective"]));
                }
            }
            match point.figures {
                Some(figures) => {
                    close(figures.objective_mj, least, "objective");
                    assert!(figures.is_proved_best);
                    let own = sorted(&flock, &only(&pens, &point.used), &settings);
                    close(number(&own["objective"]), least, "the pens that it names");
                    compared += 1;
                    fewer += usize::from(point.used.len() < count);
                }
                None => assert!(least.is_infinite() && point.status == "impossible"),
            }
        }
    }
    println!("{compared} compared, {fewer} with a pen left empty");
    assert!(compared > 40, "{compared}");
}

#[test]
fn feed_and_short_ewes_are_those_of_the_sort() {
    let mut dice = Dice(41);
    let flock = flock_csv(&mut dice, 10);
    let pens = pens_of(&[4.0, 6.0, 8.0, 5.0]);
    let settings = Settings { min_head: 1, ..days(7) };
    let document = counted(question(&flock, Some(&pens)), &settings);
    let mut looked_at = 0;
    for point in &document.points {
        let Some(figures) = point.figures else { continue };
        let own = sorted(&flock, &only(&pens, &point.used), &settings);
        let (mut under, mut over, mut fed, mut dm, mut short) = (0.0, 0.0, 0.0, 0.0, 0);
        for ewe in own["ewes"].as_array().unwrap() {
            let pen = own["pens"].as_array().unwrap().iter().find(|pen| pen["pen"] == ewe["pen"]).unwrap();
            let mut is_short = false;
            for (day, need) in ewe["needs"].as_array().unwrap().iter().enumerate() {
                let (me, intake) = (number(&need["me_mj_per_day"]), number(&need["intake_kg_dm_per_day"]));
                let given = number(&pen["levels"][day]["me_mj_per_kg_dm"]) * intake;
                under += (me - given).max(0.0);
                over += (given - me).max(0.0);
                fed += given;
                dm += intake;
                is_short |= given < 0.9 * me - 1e-12;
            }
            short += u32::from(is_short);
        }
        close(figures.under_mj_per_day, under / 7.0, "under");
        close(figures.over_mj_per_day, over / 7.0, "over");
        close(figures.fed_mj, fed, "fed");
        close(figures.fed_kg_dm, dm, "dry matter");
        assert_eq!(figures.ewes_short, short);
        looked_at += 1;
    }
    assert!(looked_at >= 2);
}

/// Ewes of one weight, so that all take the same room.
fn alike_csv(dice: &mut Dice, ewes: usize) -> String {
    let row = |number: usize| {
        let (litter, condition) = (1 + dice.below(3), 2.0 + 0.5 * dice.below(4) as f64);
        format!("E{number:03},{litter},{condition},2027-03-{:02},mature,70,no\n", 1 + dice.below(30))
    };
    format!("tag,litter,condition,due,age,weight_kg,shorn\n{}", (0..ewes).map(row).collect::<String>())
}

#[test]
fn equal_pens_and_equal_ewes_have_the_curve_of_a_plain_split() {
    let ewes = 60;
    let flock = alike_csv(&mut Dice(5), ewes);
    // Each pen has trough for 21 ewes of half a metre: two are too few, three just do.
    let pens: String = (0..7).map(|pen| format!("{pen},10.6,100\n")).collect();
    let pens = format!("pen,trough_m,area_m2\n{pens}");
    let document = counted(question(&flock, Some(&pens)), &days(1));
    sound(&document);
    let own = sorted(&flock, &pens, &days(1));
    let mut needs: Vec<f64> = own["ewes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|ewe| {
            let need = &ewe["needs"][0];
            number(&need["me_mj_per_day"]) / number(&need["intake_kg_dm_per_day"])
        })
        .collect();
    needs.sort_by(f64::total_cmp);
    let intake = number(&own["mean_intake_kg_dm"][0]["value"]);
    let cost = |run: &[f64]| {
        let at =
            |level: f64| run.iter().map(|x| 4.0 * (x - level).max(0.0) + (level - x).max(0.0)).sum::<f64>();
        intake * run.iter().map(|x| at(x.clamp(8.0, 12.5))).fold(f64::INFINITY, f64::min)
    };
    // `least[j]`: the first j ewes in so many pens of 4 to 21.
    let mut least = vec![f64::INFINITY; ewes + 1];
    least[0] = 0.0;
    for point in &document.points {
        let before = least.clone();
        for end in 4..=ewes {
            for head in 4..=end.min(21) {
                least[end] = least[end].min(before[end - head] + cost(&needs[end - head..end]));
            }
        }
        match point.figures {
            Some(figures) => {
                close(figures.objective_mj, least[ewes], "objective");
                assert!(figures.is_proved_best, "the split is the optimum here");
            }
            None => assert!(least[ewes].is_infinite() && point.pens < 3),
        }
    }
    assert_eq!(document.points.len(), 7);
    assert!(document.points[2].figures.is_some());
}

#[test]
fn too_few_pens_say_which_limit_fails_and_by_how_much() {
    // 40 ewes of 0.50 m and 1.267 m² (between 1.2 at 60 and 1.4 at 90 kg, to the thousandth).
    let flock = alike_csv(&mut Dice(6), 40);
    let pens = "pen,trough_m,area_m2,max_head\nA,8,40,\nB,6,60,\nC,9,19,\nD,30,200,5\n";
    let document = counted(question(&flock, Some(pens)), &days(1));
    sound(&document);
    let words = |count: usize| document.points[count - 1].words.as_str();
    // A holds 16 by trough, B 12, C 14 by floor, D 5 by its head limit.
    assert!(words(1).contains("pen A") && words(1).contains("12.0 m of trough short"), "{}", words(1));
    // A and C: 17 m for 20 m; 59 m² for 50.7.
    assert!(words(2).contains("pens A, C") && words(2).contains("3.0 m of trough short"), "{}", words(2));
    assert!(!words(2).contains("floor"), "{}", words(2));
    assert_eq!(document.points[1].status, "impossible");
    assert_eq!(document.points[2].status, "sorted");
    // Ewe lambs of their own kind, and room enough in one pen for all.
    let lambs = flock.replacen("mature", "ewe lamb", 9);
    let document = counted(question(&lambs, Some("pen,trough_m,area_m2\nA,30,200\nB,30,200\n")), &days(1));
    assert!(
        document.points[0].words.contains("ewe lambs are kept from the rest"),
        "{}",
        document.points[0].words
    );
    // Head limits alone.
    let pens = "pen,trough_m,area_m2,max_head\nA,30,200,15\nB,30,200,15\nC,30,200,15\n";
    let document = counted(question(&flock, Some(pens)), &days(1));
    let words = &document.points[1].words;
    assert!(words.contains("head limits of 30 in all") && !words.contains("trough"), "{words}");
}

#[test]
fn pens_to_be_built_are_large_enough_and_said_to_be_no_larger_than_they_must() {
    for (seed, ewes, keep_lambs) in [(1, 90, false), (2, 90, true), (3, 37, false)] {
        let mut dice = Dice(50 + seed);
        let flock = flock_csv(&mut dice, ewes);
        let flock = if keep_lambs { flock } else { flock.replace("ewe lamb", "shearling") };
        let document = counted(PenCountQuestion { most: 6, ..question(&flock, None) }, &days(3));
        sound(&document);
        assert_eq!(document.points.len(), 6);
        let mut sorts = 0;
        for point in &document.points {
            let (Some(size), Some(figures)) = (point.size, point.figures) else {
                assert!(keep_lambs && point.pens == 1, "{}", point.words);
                continue;
            };
            let built = point.used.len();
            let rows: String =
                (1..=built).map(|pen| format!("{pen},{},{}\n", size.trough_m, size.area_m2)).collect();
            let own = sorted(&flock, &format!("pen,trough_m,area_m2\n{rows}"), &days(3));
            close(number(&own["objective"]), figures.objective_mj, "the sort of pens of that size");
            sorts += 1;
            let sum = |name: &str| {
                own["ewes"].as_array().unwrap().iter().map(|ewe| number(&ewe[name])).sum::<f64>()
            };
            let (trough, area) = (size.trough_m * built as f64, size.area_m2 * built as f64);
            assert!(trough >= 1.08 * sum("trough_m") - 1e-9 && area >= 1.08 * sum("area_m2") - 1e-9);
            if !keep_lambs {
                // A step of 2 % or two where whole ewes ask for it, and the rounding up to 0.01 m and 0.1 m².
                assert!(trough <= 1.08 * 1.05 * sum("trough_m") + 0.02 * built as f64, "{trough}");
                assert!(area <= 1.08 * 1.05 * sum("area_m2") + 0.2 * built as f64, "{area}");
            }
        }
        assert!(sorts >= 5);
    }
}

#[test]
fn pens_too_small_to_be_used_are_not_built() {
    let flock = alike_csv(&mut Dice(12), 20);
    let document = counted(question(&flock, None), &days(1));
    sound(&document);
    assert_eq!(document.points.len(), 12);
    for point in &document.points {
        let each = 20.0 / point.used.len() as f64;
        assert!(
            each * 1.08 >= 4.0,
            "{} pens of {each} ewes: none may hold fewer than four",
            point.used.len()
        );
    }
    assert!(document.points[11].words.contains("build"), "{}", document.points[11].words);
}

#[test]
fn money_says_where_one_more_pen_no_longer_pays() {
    let mut dice = Dice(61);
    let flock = flock_csv(&mut dice, 80).replace("ewe lamb", "mature");
    let asked = PenCountQuestion {
        most: 8,
        pen_cost: Some(3.0),
        feed_price_per_t_dm: Some(230.0),
        feed_me_mj_per_kg_dm: Some(11.5),
        ..question(&flock, None)
    };
    let document = counted(asked, &days(14));
    sound(&document);
    // 230 a tonne of 11.5 MJ a kg is 0.02 a MJ.
    let cost = |point: &Point| {
        point.figures.map(|figures| figures.objective_mj * 0.02 + 3.0 * f64::from(point.pens))
    };
    let least = document.points.iter().filter_map(cost).fold(f64::INFINITY, f64::min);
    let best = document.points.iter().find(|point| Some(point.pens) == document.best_pens).unwrap();
    close(cost(best).unwrap(), least, "least cost");
    assert!(
        best.pens > 1 && best.pens < 8,
        "{} pens: the prices are to leave something to choose",
        best.pens
    );
    let mut answers = Vec::new();
    for point in &document.points {
        let Some(buys) = point.buys else { continue };
        close(buys.worth.unwrap(), buys.objective_mj * 0.02, "worth");
        assert_eq!(buys.pays, Some(buys.objective_mj * 0.02 > 3.0));
        answers.extend(buys.pays);
    }
    assert!(answers.contains(&true) && answers.contains(&false));
    assert!(document.view().points.iter().filter(|point| point.is_best).count() == 1);
    // Without prices there is no money anywhere.
    let document = counted(PenCountQuestion { most: 4, ..question(&flock, None) }, &days(14));
    assert!(document.best_pens.is_none());
    assert!(
        document
            .points
            .iter()
            .filter_map(|point| point.buys)
            .all(|buys| buys.worth.is_none() && buys.pays.is_none())
    );
    assert!(!document.basis.contains("tonne"));
}

#[test]
fn what_is_left_out_of_the_question_is_said() {
    let mut dice = Dice(71);
    let flock = flock_csv(&mut dice, 30).replace("ewe lamb", "mature");
    let pens = pens_of(&[12.0, 14.0, 16.0, 18.0]);
    let plain = counted(question(&flock, Some(&pens)), &days(2));
    let soft = Soft { even_filling_mj_per_ewe: 2.0, ..Soft::default() };
    let even = counted(question(&flock, Some(&pens)), &Settings { soft, ..days(2) });
    assert_eq!(plain.points, even.points);
    assert!(even.problems.iter().any(|problem| problem.code == "even-filling-left-out"));
    assert!(even.view().notes.iter().any(|note| note.contains("evenly")));
    assert!(plain.view().notes.is_empty());
    let keep = vec![Keep { tag: "E00001".to_owned(), pen: "A".to_owned() }];
    let kept = counted(question(&flock, Some(&pens)), &Settings { keep, ..days(2) });
    assert_eq!(plain.points, kept.points);
    assert!(kept.view().notes.iter().any(|note| note.contains("by hand")));
    let lone = counted(PenCountQuestion { pen_cost: Some(2.0), ..question(&flock, Some(&pens)) }, &days(2));
    assert!(lone.best_pens.is_none() && lone.view().notes.iter().any(|note| note.contains("feed price")));
}

#[test]
fn figures_that_cannot_be_meant_are_refused() {
    let flock = alike_csv(&mut Dice(8), 20);
    for (asked, code) in [
        (PenCountQuestion { most: 0, ..question(&flock, None) }, "most-pens-wrong"),
        (PenCountQuestion { most: 65, ..question(&flock, None) }, "most-pens-wrong"),
        (PenCountQuestion { pen_cost: Some(-1.0), ..question(&flock, None) }, "pen-cost-wrong"),
        (
            PenCountQuestion { feed_price_per_t_dm: Some(f64::NAN), ..question(&flock, None) },
            "feed-price-wrong",
        ),
        (PenCountQuestion { feed_me_mj_per_kg_dm: Some(0.0), ..question(&flock, None) }, "feed-me-wrong"),
        (question("tag,litter,condition,due\nE1,0,3,2027-03-01\n", None), "no-ewes"),
    ] {
        let answer = pen_count(asked, &days(1), FaultyRows::Refuse);
        let document = valid("pens", &answer.to_json());
        assert_eq!(document["status"], "refused");
        let codes: Vec<&str> = document["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| problem["code"].as_str().unwrap())
            .collect();
        assert!(codes.contains(&code), "{codes:?} without {code}");
    }
}

#[test]
fn the_command_prints_a_valid_document_and_words_and_the_same_again() {
    let folder = folder("pens");
    let mut dice = Dice(9);
    let path = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let flock = flock_csv(&mut dice, 60);
    std::fs::write(path("f.csv"), flock).unwrap();
    std::fs::write(path("p.csv"), pens_of(&[20.0, 25.0, 30.0, 22.0, 18.0])).unwrap();
    std::fs::write(path("small.csv"), pens_of(&[8.0, 9.0])).unwrap();
    let (f, p, small) = (path("f.csv"), path("p.csv"), path("small.csv"));
    let call = ["pens", &f, "--on", "2027-02-01", "--period-days", "4"];
    for more in [&["--pens", &p][..], &["--most", "5"]] {
        let json = evenfold(&[&call[..], more, &["--json"]].concat());
        assert_eq!(json.status.code(), Some(0), "{}", stderr(&json));
        let document = valid("pens", &stdout(&json));
        assert_eq!(document["points"].as_array().unwrap().len(), 5);
        let again = evenfold(&[&call[..], more, &["--json"]].concat());
        assert_eq!(stdout(&json), stdout(&again));
        let words = evenfold(&[&call[..], more].concat());
        let text = stdout(&words);
        for part in ["nine tenths", "more than a tenth short", "takes off", "vet or feed adviser"] {
            assert!(text.contains(part), "no '{part}' in:\n{text}");
        }
    }
    let none = evenfold(&[&call[..], &["--pens", &small]].concat());
    assert_eq!(none.status.code(), Some(3), "{}", stdout(&none));
    assert!(stdout(&none).contains("trough"), "{}", stdout(&none));
    let none = evenfold(&[&call[..], &["--pens", &small, "--json"]].concat());
    assert_eq!(valid("pens", &stdout(&none))["status"], "impossible");
    // Enough pens, but fewer are asked for than hold the flock.
    let few = evenfold(&[&call[..], &["--pens", &p, "--most", "1", "--json"]].concat());
    assert_eq!(few.status.code(), Some(3));
    assert!(stdout(&few).contains("With no more than 1 pen"), "{}", stdout(&few));
    assert_eq!(valid("pens", &stdout(&few))["status"], "impossible");
    let refused = evenfold(&[&call[..], &["--most", "0", "--json"]].concat());
    assert_eq!(refused.status.code(), Some(2));
    assert_eq!(valid("pens", &stdout(&refused))["status"], "refused");
    std::fs::remove_dir_all(folder).unwrap();
}
