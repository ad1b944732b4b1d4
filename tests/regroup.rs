//! Regrouping judged from outside: the curve against enumeration and against plain greed, the order of moves
//! replayed, the score's noise, and the sheet's scenario of three weeks later.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, evenfold, flock_csv, folder, later_csv, pens_csv, stderr, stdout, valid};
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::solve::front::{Point, front};
use evenfold::solve::instance::Instance;
use evenfold::solve::order::{Step, order};
use evenfold::solve::search::{Effort, Solution, Status, solve};
use evenfold::sort::Plan;
use evenfold::sort::regroup::{self, regroup};

fn plan(flock: &str, pens: &str, settings: &Settings) -> Plan {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    prepare(files, settings, FaultyRows::Refuse).expect("invented files are sound").plan
}

fn solved(instance: &Instance) -> Option<Solution> {
    match solve(instance, 1, Effort::default()) {
        Status::Solved(solution) => Some(solution),
        _ => None,
    }
}

fn moved(old: &[usize], new: &[usize]) -> usize {
    old.iter().zip(new).filter(|(old, new)| old != new).count()
}

/// The least loss with at most so many moves, read off a curve.
fn at_most(points: &[Point], moves: usize) -> f64 {
    points.iter().filter(|point| point.moves <= moves).map(|point| point.loss).fold(f64::INFINITY, f64::min)
}

/// What every curve must be, whatever it is of.
fn sound(instance: &Instance, old: &[usize], points: &[Point]) {
    for point in points {
        assert!(instance.is_feasible(&point.assignment));
        assert_eq!(point.moves, moved(old, &point.assignment));
        let cost = instance.cost(&point.assignment);
        assert!((cost - point.loss).abs() < 1e-6 * cost.max(1.0), "{} said, {cost} true", point.loss);
    }
    for pair in points.windows(2) {
        assert!(pair[0].moves < pair[1].moves && pair[0].loss > pair[1].loss);
    }
}

/// The small farms of the enumeration, each with some old assignment within its limits.
fn small_farms() -> Vec<(Plan, Vec<usize>)> {
    let mut farms = Vec::new();
    for seed in 0..60 {
        let mut dice = Dice(4000 + seed);
        let ewes = 6 + dice.below(3);
        let mut flock = flock_csv(&mut dice, ewes);
        if seed % 4 != 0 {
            flock = flock.replace("ewe lamb", "mature");
        }
        let pens = pens_csv(&mut dice, 2 + seed as usize % 2, ewes, 1.5);
        let settings = Settings {
            period_days: Some(1 + 4 * (seed as u32 % 2)),
            min_head: 1 + (seed as u32 / 2) % 2,
            ..Settings::default()
        };
        let plan = plan(&flock, &pens, &settings);
        let old = (0..400).find_map(|_| {
            let old: Vec<usize> = (0..ewes).map(|_| dice.below(plan.pens.len())).collect();
            plan.instance.is_feasible(&old).then_some(old)
        });
        farms.extend(old.map(|old| (plan, old)));
    }
    farms
}

#[test]
fn the_curve_is_near_the_enumerated_one_and_exact_at_both_ends() {
    let farms = small_farms();
    assert!(farms.len() >= 40, "{} farms", farms.len());
    let (mut counts, mut exact, mut worst) = (0, 0, 0.0_f64);
    for (number, (plan, old)) in farms.iter().enumerate() {
        let instance = &plan.instance;
        let (items, bins) = (instance.items(), instance.bins.len());
        let mut least = vec![f64::INFINITY; items + 1];
        for code in 0..bins.pow(items as u32) {
            let new: Vec<usize> = (0..items).map(|item| code / bins.pow(item as u32) % bins).collect();
            if instance.is_feasible(&new) {
                let slot = &mut least[moved(old, &new)];
                *slot = slot.min(instance.cost(&new));
            }
        }
        for moves in 1..=items {
            least[moves] = least[moves].min(least[moves - 1]);
        }
        let best = solved(instance).expect("the old assignment keeps the limits");
        let points = front(instance, old, Some(&best.assignment)).unwrap();
        sound(instance, old, &points);
        assert!((at_most(&points, 0) - least[0]).abs() < 1e-9 * least[0], "farm {number}: nobody moved");
        let (found, all) = (at_most(&points, items), least[items]);
        assert!((found - all).abs() < 1e-6 * all.max(1.0), "farm {number}: {found}, not {all}");
        let whole = (least[0] - all).max(1e-9);
        for (moves, &least) in least.iter().enumerate() {
            let short = (at_most(&points, moves) - least) / whole;
            assert!(short > -1e-6, "farm {number}: better than the enumeration at {moves}");
            (counts, exact, worst) = (counts + 1, exact + usize::from(short < 1e-6), worst.max(short));
        }
    }
    println!("{exact} of {counts} points exact, worst {worst:.3} of the whole gain");
    // Flocks of so few are searched exactly: nothing may be missed at any number of moves.
    assert!(exact == counts && worst < 1e-6, "{exact} of {counts}, worst {worst}");
}

/// The single move within the limits that gains most, again and again: plain greed with true losses.
fn greedy(instance: &Instance, old: &[usize], most: usize) -> Vec<f64> {
    let mut now = old.to_vec();
    let mut curve = vec![instance.cost(&now)];
    let mut members = instance.members(&now);
    let loss_of = |members: &[usize]| {
        let mut levels = vec![0.0; instance.axes()];
        instance.best_levels(members, &mut levels, &mut Vec::new());
        members.iter().map(|&item| instance.item_loss(item, &levels)).sum::<f64>()
    };
    while curve.len() <= most {
        let mut best = (-1e-9, usize::MAX, usize::MAX);
        for item in 0..now.len() {
            let from = now[item];
            let left: Vec<usize> = members[from].iter().copied().filter(|&other| other != item).collect();
            // Whoever has been moved is not moved again: each step is one more ewe.
            if from != old[item] || !instance.fits(&left, from) {
                continue;
            }
            let gone = loss_of(&left) - loss_of(&members[from]);
            for to in (0..instance.bins.len()).filter(|&to| to != from && instance.may(item, to)) {
                let mut joined = members[to].clone();
                joined.push(item);
                if instance.fits(&joined, to) {
                    let change = gone + loss_of(&joined) - loss_of(&members[to]);
                    if change < best.0 {
                        best = (change, item, to);
                    }
                }
            }
        }
        let (_, item, to) = best;
        if item == usize::MAX {
            break;
        }
        members[now[item]].retain(|&other| other != item);
        members[to].push(item);
        now[item] = to;
        curve.push(instance.cost(&now));
    }
    curve
}

/// A flock three weeks on, its pens, and where the ewes stand from the sort before.
fn scenario(seed: u64, ewes: usize, pens: usize, days: u32) -> (Plan, Vec<usize>) {
    let mut dice = Dice(seed);
    let flock = flock_csv(&mut dice, ewes).replace("ewe lamb", "shearling");
    let pens = pens_csv(&mut dice, pens, ewes, 1.08);
    let settings = Settings { period_days: Some(days), ..Settings::default() };
    let before = plan(&flock, &pens, &settings);
    let old = solved(&before.instance).expect("the invented farm sorts").assignment;
    let on = evenfold::day::Day::of(2027, 2, 15).unwrap();
    (plan(&later_csv(&mut dice, &flock), &pens, &Settings { on, ..settings }), old)
}

#[test]
fn the_curve_is_never_below_plain_greed_and_takes_most_of_the_gain_early() {
    for (seed, ewes, pens, days) in [(1, 120, 3, 1), (2, 150, 4, 1), (3, 120, 5, 5), (4, 300, 6, 1)] {
        let (plan, old) = scenario(seed, ewes, pens, days);
        let instance = &plan.instance;
        let best = solved(instance).unwrap();
        let points = front(instance, &old, Some(&best.assignment)).unwrap();
        sound(instance, &old, &points);
        for (moves, loss) in greedy(instance, &old, ewes / 3).into_iter().enumerate() {
            let found = at_most(&points, moves);
            assert!(found <= loss * (1.0 + 1e-9), "farm {seed}: {found} above greedy's {loss} at {moves}");
        }
        let whole = points[0].loss - at_most(&points, ewes);
        let tenth = (points[0].loss - at_most(&points, ewes / 10)) / whole;
        println!(
            "{ewes} ewes {pens} pens {days} days: whole gain {:.0} % with {} moves; {:.0} % of it at a tenth moved",
            100.0 * whole / points[0].loss,
            points.last().unwrap().moves,
            100.0 * tenth
        );
    }
}

#[test]
fn naming_pens_anew_is_no_gain() {
    // Two pens alike, the whole flock of one in the other's place.
    let mut dice = Dice(77);
    let flock = flock_csv(&mut dice, 40).replace("ewe lamb", "mature");
    let pens = "pen,trough_m,area_m2\nA,15,40\nB,15,40\nC,15,40\n";
    let plan = plan(&flock, pens, &Settings { period_days: Some(1), ..Settings::default() });
    let best = solved(&plan.instance).unwrap();
    let turned: Vec<usize> = best.assignment.iter().map(|pen| (pen + 1) % 3).collect();
    let points = front(&plan.instance, &turned, Some(&best.assignment)).unwrap();
    let whole = points[0].loss - points.last().unwrap().loss;
    assert!(whole < 0.01 * points[0].loss + 1e-9, "{whole} of {}", points[0].loss);
    assert!(points.last().unwrap().moves <= 4, "{} moves", points.last().unwrap().moves);
}

#[test]
fn limits_that_are_broken_are_mended_first_and_with_few_moves() {
    for seed in 0..12 {
        let (plan, mut old) = scenario(200 + seed, 90, 4, 1);
        // Six ewes of the last pen are crowded into the first.
        let crowd: Vec<usize> = (0..old.len()).filter(|&ewe| old[ewe] == 3).take(6).collect();
        for &ewe in &crowd {
            old[ewe] = 0;
        }
        let points = front(&plan.instance, &old, None).unwrap();
        sound(&plan.instance, &old, &points);
        assert!(!plan.instance.is_feasible(&old), "farm {seed} is not crowded");
        assert!((1..=8).contains(&points[0].moves), "farm {seed}: {} moves to mend six", points[0].moves);
    }
}

#[test]
fn half_a_point_on_one_ewe_moves_nobody() {
    let mut dice = Dice(31);
    let flock = flock_csv(&mut dice, 100).replace("ewe lamb", "shearling");
    let pens = pens_csv(&mut dice, 4, 100, 1.2);
    let settings = Settings { period_days: Some(3), ..Settings::default() };
    let before = plan(&flock, &pens, &settings);
    let old = solved(&before.instance).unwrap().assignment;
    for ewe in (0..100).step_by(9) {
        let rows: Vec<String> = flock
            .lines()
            .map(|line| {
                let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
                if cells[0] == format!("E{ewe:05}") {
                    let score: f64 = cells[2].parse().unwrap();
                    cells[2] = (if score > 2.5 { score - 0.5 } else { score + 0.5 }).to_string();
                }
                cells.join(",")
            })
            .collect();
        let now = plan(&rows.join("\n"), &pens, &settings);
        let best = solved(&now.instance).unwrap();
        // Even where moves cost nothing.
        let found = regroup(&now, &old, Some(&best.assignment), Some(0.0)).unwrap();
        assert_eq!(found.points[found.best].moves, 0, "ewe {ewe}");
    }
}

/// A flock list with some ewes' scores changed, up or down.
fn rescored(dice: &mut Dice, flock: &str, one_in: usize, by: f64) -> String {
    let rows = flock.lines().enumerate().map(|(number, line)| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if number > 0 && dice.below(one_in) == 0 {
            let score: f64 = cells[2].parse().unwrap();
            let off: f64 = if dice.below(2) == 0 { score - by } else { score + by };
            cells[2] = off.clamp(1.0, 5.0).to_string();
        }
        cells.join(",")
    });
    rows.collect::<Vec<_>>().join("\n")
}

#[test]
fn scores_half_a_point_off_all_over_the_flock_move_nobody() {
    for seed in 0..12 {
        let mut dice = Dice(900 + seed);
        let flock = flock_csv(&mut dice, 120).replace("ewe lamb", "shearling");
        let pens = pens_csv(&mut dice, 3 + seed as usize % 3, 120, 1.15);
        let settings = Settings { period_days: Some(1 + 4 * (seed as u32 % 2)), ..Settings::default() };
        let old = solved(&plan(&flock, &pens, &settings).instance).unwrap().assignment;
        let again = plan(&rescored(&mut dice, &flock, 3, 0.5), &pens, &settings);
        let best = solved(&again.instance).unwrap();
        let found = regroup(&again, &old, Some(&best.assignment), None).unwrap();
        assert_eq!(found.points[found.best].moves, 0, "farm {seed}");
    }
}

#[test]
fn where_ewes_truly_changed_the_moves_proposed_gain_more_than_they_cost() {
    let mut some = 0;
    for seed in 0..6 {
        let mut dice = Dice(950 + seed);
        let flock = flock_csv(&mut dice, 120).replace("ewe lamb", "shearling");
        let pens = pens_csv(&mut dice, 4, 120, 1.15);
        let settings = Settings { period_days: Some(21), ..Settings::default() };
        let old = solved(&plan(&flock, &pens, &settings).instance).unwrap().assignment;
        let now = plan(&rescored(&mut dice, &flock, 4, 1.5), &pens, &settings);
        let best = solved(&now.instance).unwrap();
        let found = regroup(&now, &old, Some(&best.assignment), None).unwrap();
        let chosen = &found.points[found.best];
        assert!((now.instance.cost(&chosen.assignment) - chosen.objective).abs() < 1e-6);
        let total = |point: &regroup::Point| point.objective + point.move_cost;
        assert!(found.points.iter().all(|point| total(chosen) <= total(point)), "farm {seed}");
        some += usize::from(chosen.moves > 0);
        // Once done, there is hardly anything left to propose.
        let after = regroup(&now, &chosen.assignment, Some(&best.assignment), None).unwrap();
        let again = after.points[after.best].moves;
        println!("farm {seed}: {} moves, then {again}", chosen.moves);
        assert!(again <= chosen.moves / 4, "farm {seed}: {} moves and then {again}", chosen.moves);
    }
    assert!(some >= 4, "moves in {some} of 6 flocks");
}

/// Follows the steps from where the items stand; whether a bin is over that was not at first, after each step.
fn followed(instance: &Instance, old: &[usize], steps: &[Step]) -> Result<Vec<Option<usize>>, String> {
    let mut now: Vec<Option<usize>> = old.iter().map(|&bin| Some(bin)).collect();
    let over = |now: &[Option<usize>]| -> Vec<usize> {
        let holds = |&bin: &usize| {
            let members: Vec<usize> = (0..now.len()).filter(|&item| now[item] == Some(bin)).collect();
            instance.holds(&members, bin) && members.iter().all(|&item| instance.may(item, bin))
        };
        (0..instance.bins.len()).filter(|bin| !holds(bin)).collect()
    };
    let mut before = over(&now);
    for (number, step) in steps.iter().enumerate() {
        for part in &step.parts {
            if now[part.item] != part.from {
                return Err(format!("step {number}: {part:?}, but it stands in {:?}", now[part.item]));
            }
        }
        for part in &step.parts {
            now[part.item] = part.to;
        }
        let after = over(&now);
        if after.iter().any(|bin| !before.contains(bin)) {
            return Err(format!("step {number} overfills {after:?}"));
        }
        before = after;
    }
    Ok(now)
}

#[test]
fn the_order_of_moves_breaks_no_limit_and_ends_where_it_should() {
    let mut singles = 0;
    for seed in 0..6 {
        let (plan, old) = scenario(500 + seed, 80, 4, 1);
        let best = solved(&plan.instance).unwrap().assignment;
        let steps = order(&plan.instance, &old, &best);
        let end = followed(&plan.instance, &old, &steps).unwrap();
        assert!(steps.iter().all(|step| !step.forced), "farm {seed}");
        assert!(end.iter().zip(&best).all(|(end, &best)| *end == Some(best)));
        singles += steps.iter().filter(|step| step.parts.len() <= 3).count();
        let sum: f64 = steps.iter().map(|step| step.change).sum();
        let change = plan.instance.cost(&best) - plan.instance.cost(&old);
        assert!((sum - change).abs() < 1e-6, "{sum}, not {change}");
    }
    assert!(singles > 60, "{singles} small steps");
}

#[test]
fn where_every_pen_is_full_a_ewe_waits_outside_and_no_pen_is_ever_over() {
    let mut waits = 0;
    for seed in 0..20 {
        let (plan, _) = scenario(700 + seed, 60, 5, 1);
        let mut instance = plan.instance;
        // Exactly as many places as ewes, and everybody goes one pen on.
        let old: Vec<usize> = (0..60).map(|ewe| ewe % 5).collect();
        for bin in &mut instance.bins {
            (bin.max_head, bin.min_head, bin.capacity) = (12, 4, [u64::MAX; 2]);
        }
        let mut dice = Dice(seed);
        let new: Vec<usize> = old
            .iter()
            .map(|pen| if dice.below(2) == 0 || seed == 0 { (pen + 1) % 5 } else { *pen })
            .collect();
        if !instance.is_feasible(&new) {
            continue;
        }
        let steps = order(&instance, &old, &new);
        let end = followed(&instance, &old, &steps).unwrap();
        assert!(end.iter().zip(&new).all(|(end, &new)| *end == Some(new)), "farm {seed}");
        waits += steps.iter().filter(|step| step.parts.iter().any(|part| part.to.is_none())).count();
        assert!(steps.iter().all(|step| step.parts.len() <= 3), "farm {seed}: too many at once");
        let sum: f64 = steps.iter().map(|step| step.change).sum();
        let change = instance.cost(&new) - instance.cost(&old);
        assert!((sum - change).abs() < 1e-6, "{sum}, not {change}");
    }
    assert!(waits > 0, "nobody ever waited");
}

#[test]
fn from_pens_that_break_limits_the_order_overfills_no_other() {
    for seed in 0..12 {
        let (plan, mut old) = scenario(200 + seed, 90, 4, 1);
        let crowd: Vec<usize> = (0..old.len()).filter(|&ewe| old[ewe] == 3).take(6).collect();
        for &ewe in &crowd {
            old[ewe] = 0;
        }
        let best = solved(&plan.instance).unwrap().assignment;
        let steps = order(&plan.instance, &old, &best);
        let end = followed(&plan.instance, &old, &steps).unwrap();
        assert!(end.iter().zip(&best).all(|(end, &best)| *end == Some(best)), "farm {seed}");
        assert!(steps.iter().any(|step| step.forced), "farm {seed}: nobody left the crowded pen");
    }
}

#[test]
fn the_command_prints_a_valid_document_and_words() {
    let folder = folder("regroup");
    let mut dice = Dice(8);
    let flock = flock_csv(&mut dice, 60).replace("ewe lamb", "mature");
    let pens = pens_csv(&mut dice, 3, 60, 1.3);
    // Everybody in the first two pens: limits are broken.
    let stands: String = (0..60).map(|ewe| format!("E{ewe:05},{}\n", ["A", "B"][ewe % 2])).collect();
    let path = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    for (name, text) in [("f.csv", flock), ("p.csv", pens), ("a.csv", format!("tag,pen\n{stands}"))] {
        std::fs::write(path(name), text).unwrap();
    }
    let (a, f, p) = (path("a.csv"), path("f.csv"), path("p.csv"));
    let call = ["regroup", &a, "--flock", &f, "--pens", &p, "--on", "2027-02-01"];
    let json = evenfold(&[&call[..], &["--json"]].concat());
    assert_eq!(json.status.code(), Some(0), "{}", stderr(&json));
    let document = valid("regroup", &stdout(&json));
    assert!(document["forced_moves"].as_u64().unwrap() > 0);
    let moves = document["moves"].as_array().unwrap();
    // Whoever waits outside has a line for going out and one for going in.
    let left = moves.iter().filter(|entry| !entry["from"].is_null()).count();
    assert_eq!(left as u64, document["listed_moves"].as_u64().unwrap());
    assert!(moves.iter().any(|entry| entry["forced"] == true));
    let words = stdout(&evenfold(&call));
    assert!(words.contains("break limits") && words.contains("pays best"), "{words}");
    std::fs::remove_dir_all(folder).unwrap();
}
