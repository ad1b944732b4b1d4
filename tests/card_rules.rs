//! Rule cards judged from outside: dealt out again by the tests' own hand, small ones held against every card
//! there is, their text broken on purpose line by line.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::Dice;
use common::invented::{GROUPS, Like, flock, pens};
use evenfold::farm::card::{CardAnswer, CardDocument, CardQuestion, Kind, card};
use evenfold::farm::settings::{Keep, Settings};
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::flock::AgeClass;
use evenfold::problem::Problem;
use evenfold::solve::card::tree::{MOST_QUESTIONS, Node};
use evenfold::solve::card::{Effort, Task, one_feature, points, tree};
use evenfold::solve::instance::Instance;
use evenfold::solve::search::{self, Status};
use evenfold::sort::Plan;
use evenfold::sort::card::{Branch, Card, Rules, check, feature, find, judge, read, run, write};
use proptest::prelude::*;

const USUAL: Like =
    Like { ewes: 200, first_threshold: -0.58, condition: 3.15, ewe_lambs: 0.08, grouped: false };

/// Enough for a test; figures are quoted at the usual effort.
const SHORT: Effort = Effort { steps: 6_000_000 };

fn plan_of(flock: &str, pens: &str, groups: Option<&str>, settings: &Settings) -> Plan {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: groups.map(str::as_bytes) };
    prepare(files, settings, FaultyRows::Refuse).expect("an invented flock can be read").plan
}

fn days(count: u32) -> Settings {
    Settings { period_days: Some(count), ..Settings::default() }
}

/// An invented flock in its pens.
fn invented(seed: u64, like: Like, bins: usize, alike: bool, settings: &Settings) -> Plan {
    let mut dice = Dice(seed);
    let csv = flock(&mut dice, like);
    let pens = pens(&mut dice, like, bins, alike, 1.08);
    plan_of(&csv, &pens, like.grouped.then_some(GROUPS), settings)
}

fn optimum(plan: &Plan) -> Vec<usize> {
    match search::solve(&plan.instance, 1, search::Effort::default()) {
        Status::Solved(solution) => solution.assignment,
        other => panic!("{other:?}"),
    }
}

/// Deals ewes by hand: from the place in the row where each starts up the row, then from there down it. `None`
/// where somebody finds no room.
fn dealt_by_hand(
    instance: &Instance,
    order: &[usize],
    row: &[usize],
    starts: &[usize],
) -> Option<Vec<usize>> {
    let mut held: Vec<Vec<usize>> = vec![Vec::new(); row.len()];
    for (&ewe, &start) in order.iter().zip(starts) {
        let has_room = |place: usize| {
            let bin = &instance.bins[row[place]];
            let sum = |resource: usize| -> u64 {
                let rooms = held[place].iter().chain([&ewe]);
                rooms.map(|&other| u64::from(instance.room_in(other, row[place])[resource])).sum()
            };
            instance.may(ewe, row[place])
                && held[place].len() < bin.max_head
                && (0..2).all(|resource| sum(resource) <= bin.capacity[resource])
        };
        let place = (start..row.len()).chain((0..start).rev()).find(|&place| has_room(place))?;
        held[place].push(ewe);
    }
    let mut assignment = vec![usize::MAX; instance.items()];
    for (members, &pen) in held.iter().zip(row) {
        for &ewe in members {
            assignment[ewe] = pen;
        }
    }
    Some(assignment)
}

/// The pen that a card names for a ewe, read off it line by line.
fn named_by_hand(card: &Card, plan: &Plan, ewe: usize) -> String {
    let ewe = &plan.ewes[ewe];
    match &card.rules {
        Rules::Points { lines, totals } => {
            let hers = lines.iter().filter(|line| line.span.holds(line.feature.of(ewe)));
            let sum: i32 = hers.map(|line| line.half_points).sum();
            totals.iter().find(|line| line.span.holds(sum)).unwrap().pen.clone()
        }
        Rules::Tree { questions } => {
            let mut number = 1;
            loop {
                let question = questions.iter().find(|question| question.number == number).unwrap();
                let yes = question.span.holds(question.feature.of(ewe));
                match if yes { &question.yes } else { &question.no } {
                    Branch::Pen(pen) => return pen.clone(),
                    Branch::Question(next) => number = *next,
                }
            }
        }
    }
}

/// The whole flock dealt by hand, where nothing has to be put right at the end.
fn flock_by_hand(card: &Card, plan: &Plan) -> Option<Vec<usize>> {
    let row = |names: &[String]| -> Vec<usize> {
        names.iter().map(|name| plan.pens.iter().position(|pen| pen.name == *name).unwrap()).collect()
    };
    let (lambs, rest): (Vec<usize>, Vec<usize>) =
        run::arrivals(plan).into_iter().partition(|&ewe| plan.ewes[ewe].filled.age == AgeClass::EweLamb);
    let place = |&ewe: &usize| {
        let pen = named_by_hand(card, plan, ewe);
        card.pens.iter().position(|name| *name == pen).unwrap()
    };
    let starts: Vec<usize> = rest.iter().map(place).collect();
    let mut assignment = dealt_by_hand(&plan.instance, &rest, &row(&card.pens), &starts)?;
    let of_lambs = dealt_by_hand(&plan.instance, &lambs, &row(&card.ewe_lambs), &vec![0; lambs.len()])?;
    for &ewe in &lambs {
        assignment[ewe] = of_lambs[ewe];
    }
    plan.instance.is_feasible(&assignment).then_some(assignment)
}

/// A flock without ewe lambs as the kernels see it.
fn task<'a>(plan: &'a Plan, bands: &[feature::Banded]) -> Task<'a> {
    let order = run::arrivals(plan);
    Task {
        instance: &plan.instance,
        bins: (0..plan.pens.len()).collect(),
        counts: bands.iter().map(|banded| banded.bands.len()).collect(),
        values: bands
            .iter()
            .map(|banded| order.iter().map(|&ewe| banded.of(&plan.ewes[ewe]) as u8).collect())
            .collect(),
        position: order.iter().map(|&ewe| plan.ewes[ewe].needs[0].density().value()).collect(),
        order,
        under: 4.0,
        over: 1.0,
    }
}

fn orders(items: &[usize]) -> Vec<Vec<usize>> {
    if items.is_empty() {
        return vec![Vec::new()];
    }
    let with = |at: usize| {
        let mut rest = items.to_vec();
        let first = rest.remove(at);
        orders(&rest).into_iter().map(move |order| [vec![first], order].concat())
    };
    (0..items.len()).flat_map(with).collect()
}

#[test]
fn the_best_single_question_is_the_best_there_is() {
    let like = Like { ewes: 11, ewe_lambs: 0.0, ..USUAL };
    let settings = Settings { min_head: 1, ..days(1) };
    let mut compared = 0;
    for seed in 0..24 {
        let plan = invented(seed, like, 3, seed % 2 == 0, &settings);
        let bands = feature::bands(&plan, false);
        let task = task(&plan, &bands);
        let mut least = f64::INFINITY;
        for row in orders(&task.bins) {
            for (feature, banded) in bands.iter().enumerate() {
                for at in 0..banded.bands.len() as u8 {
                    for (no, yes) in (0..9).map(|both| (both / 3, both % 3)) {
                        let start = |&value: &u8| if value >= at { yes } else { no };
                        let starts: Vec<usize> = task.values[feature].iter().map(start).collect();
                        if let Some(dealt) = dealt_by_hand(&plan.instance, &task.order, &row, &starts) {
                            least = least.min(plan.instance.cost(&dealt));
                        }
                    }
                }
            }
        }
        let found = tree::fit(&task, 1, Effort::default());
        // Where no rule deals everybody a place, the search may only put ewes right afterwards.
        if least.is_infinite() {
            continue;
        }
        compared += 1;
        assert!((found.loss - least).abs() < 1e-9 * least, "seed {seed}: {} and {least}", found.loss);
    }
    assert!(compared >= 8, "{compared} compared");
}

#[test]
fn more_questions_are_never_worse() {
    for seed in 0..4 {
        let plan = invented(seed, Like { ewe_lambs: 0.0, ..USUAL }, 4, false, &days(1));
        let bands = feature::bands(&plan, true);
        let task = task(&plan, &bands);
        let found: Vec<_> =
            (0..=MOST_QUESTIONS).map(|most| tree::fit(&task, most, Effort::default())).collect();
        assert!(found.is_sorted_by(|a, b| a.loss >= b.loss - 1e-9), "seed {seed}");
        let best = found.last().unwrap();
        let start = |place: usize| best.rule.root.start(&|feature: usize| task.values[feature][place]);
        let starts: Vec<usize> = (0..task.order.len()).map(start).collect();
        let dealt = dealt_by_hand(&plan.instance, &task.order, &best.rule.bins, &starts).unwrap();
        assert!((plan.instance.cost(&dealt) - best.loss).abs() < 1e-6, "the loss is what dealing costs");
        assert!(matches!(best.rule.root, Node::Ask { .. }));
    }
}

#[test]
fn points_are_never_worse_than_their_starts_or_than_lambs_alone() {
    let mut gained = 0;
    for seed in 0..4 {
        let plan = invented(seed, Like { ewe_lambs: 0.0, ..USUAL }, 3 + seed as usize % 3, false, &days(1));
        let bands = feature::bands(&plan, false);
        let task = task(&plan, &bands);
        let litter = one_feature(&task, 0, Effort::default());
        let maps = std::slice::from_ref(&litter.rule);
        let starts = points::fit(&task, maps, Effort { steps: 0 });
        let whole = points::fit(&task, maps, SHORT);
        assert!(starts.loss <= litter.loss + 1e-9, "{} and {}", starts.loss, litter.loss);
        assert!(whole.loss <= starts.loss + 1e-9, "{} after {}", whole.loss, starts.loss);
        gained += usize::from(whole.loss < 0.99 * starts.loss);
        let values = |place: usize| -> Vec<u8> { task.values.iter().map(|values| values[place]).collect() };
        let start = |place: usize| whole.rule.start(whole.rule.sum(&values(place)));
        let starts: Vec<usize> = (0..task.order.len()).map(start).collect();
        let dealt = dealt_by_hand(&plan.instance, &task.order, &whole.rule.bins, &starts).unwrap();
        assert!((plan.instance.cost(&dealt) - whole.loss).abs() < 1e-6, "the loss is what dealing costs");
        for (feature, points) in whole.rule.points.iter().enumerate() {
            let turns = !points.is_sorted() && !points.is_sorted_by(|a, b| a >= b);
            assert!(!turns && points.contains(&0), "feature {feature}: {points:?}");
        }
    }
    assert!(gained >= 2, "the search finds something on {gained} of 4 flocks");
}

#[test]
fn lambs_alone_by_every_map() {
    let like = Like { ewes: 30, ewe_lambs: 0.0, ..USUAL };
    for seed in 0..6 {
        let plan = invented(seed, like, 3, false, &Settings { min_head: 1, ..days(1) });
        let bands = feature::bands(&plan, false);
        let task = task(&plan, &bands);
        let found = one_feature(&task, 0, Effort::default());
        let mut least = f64::INFINITY;
        for map in (0..81).map(|all| [all / 27, all / 9 % 3, all / 3 % 3, all % 3]) {
            let starts: Vec<usize> = task.values[0].iter().map(|&value| map[usize::from(value)]).collect();
            if map.is_sorted()
                && let Some(dealt) = dealt_by_hand(&plan.instance, &task.order, &found.rule.bins, &starts)
            {
                least = least.min(plan.instance.cost(&dealt));
            }
        }
        assert!(found.loss <= least + 1e-9, "seed {seed}: {} above {least}", found.loss);
    }
}

#[test]
fn a_run_keeps_every_limit_and_is_what_a_person_would_do() {
    let mut by_hand = 0;
    for seed in 0..10 {
        let like = Like { ewes: 60 + 20 * seed as usize, grouped: seed % 3 == 0, ..USUAL };
        let plan = invented(seed, like, 2 + seed as usize % 4, seed % 2 == 0, &days(1 + seed as u32 % 3));
        let bands = feature::bands(&plan, seed % 2 == 1);
        let best = optimum(&plan);
        for kind in [Kind::Points, Kind::Tree] {
            let found = find::find(&plan, &best, &bands, kind, SHORT);
            for card in [&found.card, &found.litter_only] {
                assert!(!check::check(card, &plan).iter().any(Problem::is_error), "seed {seed}");
                let run = run::run(card, &plan).unwrap();
                assert!(plan.instance.is_feasible(&run.assignment), "seed {seed}");
                if run.put_right == 0 {
                    by_hand += 1;
                    let text = write(card, &[]);
                    assert_eq!(Some(run.assignment), flock_by_hand(card, &plan), "seed {seed}\n{text}");
                }
            }
        }
    }
    assert!(by_hand > 20, "only {by_hand} runs could be dealt by hand");
}

#[test]
fn a_poor_card_still_keeps_every_limit() {
    let plan = invented(3, USUAL, 4, false, &days(1));
    // All ewes to the poorest pen: most find it full.
    let text = "evenfold card 1\nkind points\npens poorest first: D, B, A, C\newe lambs: Z\n\
                lambs any: 1 point\ntotal 1: D\n";
    let card = read(text).unwrap();
    assert_eq!(check::check(&card, &plan), []);
    let run = run::run(&card, &plan).unwrap();
    assert!(plan.instance.is_feasible(&run.assignment));
    assert!(run.spilled > plan.ewes.len() / 2, "{run:?}");
}

fn answer(flock: &str, pens: &str, kind: Kind) -> CardDocument {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    let question = CardQuestion { kind, ..CardQuestion::default() };
    match card(files, &days(1), FaultyRows::Refuse, question) {
        // Problems name rows of the list.
        CardAnswer::Card(sheet) => CardDocument { problems: Vec::new(), ..sheet.document() },
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_order_of_the_list_changes_nothing() {
    let like = Like { ewes: 120, ..USUAL };
    let mut dice = Dice(5);
    let list = flock(&mut dice, like);
    let pens = pens(&mut dice, like, 4, false, 1.08);
    let (header, rows) = list.split_once('\n').unwrap();
    let mut rows: Vec<&str> = rows.lines().collect();
    for at in (1..rows.len()).rev() {
        rows.swap(at, dice.below(at + 1));
    }
    let shuffled = format!("{header}\n{}\n", rows.join("\n"));
    assert_ne!(shuffled, list);
    for kind in [Kind::Points, Kind::Tree] {
        let once = answer(&list, &pens, kind);
        assert_eq!(once, answer(&list, &pens, kind), "the same twice");
        assert_eq!(once, answer(&shuffled, &pens, kind));
    }
}

#[test]
fn the_share_on_ewes_not_seen_is_reckoned_anew() {
    let plan = invented(8, Like { ewes: 240, ..USUAL }, 3, true, &days(1));
    let bands = feature::bands(&plan, false);
    let halves = judge::split(&plan);
    assert!(halves[0].len().abs_diff(halves[1].len()) <= 1);
    let mut all: Vec<usize> = halves.concat();
    all.sort_unstable();
    assert_eq!(all, (0..plan.ewes.len()).collect::<Vec<_>>(), "every ewe is in one half");
    let plans = halves.map(|half| judge::half_plan(&plan, &half));
    let (mut one, mut best, mut by_card) = (0.0, 0.0, 0.0);
    for (here, there) in [(0, 1), (1, 0)] {
        let found = find::find(&plans[here], &optimum(&plans[here]), &bands, Kind::Points, SHORT).card;
        let there = &plans[there];
        let dealt = flock_by_hand(&found, there).expect("nothing to put right");
        by_card += loss_by_hand(there, &dealt);
        best += loss_by_hand(there, &optimum(there));
        let class = |ewe: &evenfold::sort::PlannedEwe| usize::from(ewe.filled.age == AgeClass::EweLamb);
        one += loss_by_hand(there, &there.ewes.iter().map(class).collect::<Vec<_>>());
    }
    let share = (one - by_card) / (one - best);
    let told = judge::halves(&plan, &bands, Kind::Points, SHORT).unwrap();
    assert!((told.card_share().unwrap() - share).abs() < 1e-9, "{told:?} and {share}");
    assert!((told.one_ration_mj - one).abs() < 1e-6 && (told.optimum_mj - best).abs() < 1e-6);
    assert!(told.litter_only_mj > told.card_mj);
}

/// One day's loss of groups of ewes, each at its own best level, by trying every need as the level.
fn loss_by_hand(plan: &Plan, group: &[usize]) -> f64 {
    let mut sum = 0.0;
    for pen in 0..=group.iter().copied().max().unwrap() {
        let members = (0..group.len()).filter(|&ewe| group[ewe] == pen);
        let needs: Vec<f64> = members.map(|ewe| plan.ewes[ewe].needs[0].density().value()).collect();
        let loss = |level: f64| -> f64 {
            needs.iter().map(|need| 4.0 * (need - level).max(0.0) + (level - need).max(0.0)).sum()
        };
        let least = needs.iter().map(|need| loss(need.clamp(8.0, 12.5))).min_by(f64::total_cmp);
        sum += least.unwrap_or(0.0);
    }
    plan.mean_intake[0].value() * sum
}

#[test]
fn the_design_s_bars_are_reached_on_ewes_not_seen() {
    // 85 % by points and 72 % by three questions. Single flocks lie about that; their mean is held here, and
    // `examples/card_share.rs` prints more.
    let mut shares = [Vec::new(), Vec::new()];
    for seed in 0..4 {
        let condition = [2.95, 3.15, 3.35][seed as usize % 3];
        let plan = invented(100 + seed, Like { ewes: 600, condition, ..USUAL }, 4, seed % 2 == 0, &days(1));
        let bands = feature::bands(&plan, false);
        for (shares, kind) in shares.iter_mut().zip([Kind::Points, Kind::Tree]) {
            shares.push(judge::halves(&plan, &bands, kind, SHORT).unwrap().card_share().unwrap());
        }
    }
    let mean = |shares: &[f64]| shares.iter().sum::<f64>() / shares.len() as f64;
    assert!(mean(&shares[0]) > 0.85 && mean(&shares[1]) > 0.72, "{shares:?}");
}

#[test]
fn a_card_reads_back_as_it_was_written() {
    for seed in 0..6 {
        let like = Like { ewes: 90, grouped: seed % 2 == 0, ..USUAL };
        let mut dice = Dice(seed);
        let list = flock(&mut dice, like);
        // Names that need quotes.
        let pens = pens(&mut dice, like, 3, false, 1.1)
            .replace("\nA,", "\n\"Old barn, \"\"left\"\"\",")
            .replace("\nB,", "\npen\\2 #1,");
        let plan = plan_of(&list, &pens, like.grouped.then_some(GROUPS), &days(1));
        let bands = feature::bands(&plan, seed % 3 == 0);
        let best = optimum(&plan);
        for kind in [Kind::Points, Kind::Tree] {
            let card = find::find(&plan, &best, &bands, kind, SHORT).card;
            let text = write(&card, &["A remark: \"with\" marks, and\ntwo lines.".to_owned()]);
            let back = read(&text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
            assert_eq!(back, card, "{text}");
            // A card that asks for dates asks by mark where the flock has groups.
            assert!(!text.contains("due ") || like.grouped == text.contains("\"blue\""), "{text}");
        }
    }
}

const POINTS: &str = "evenfold card 1
# a remark
kind points
pens poorest first: A, B, C
ewe lambs: Z
lambs 1: 0 points
lambs 2: 3 points
lambs 3 or more: 6 points   # and another
condition 2.5 or less: 2.5 points
condition 3 or more: 0 points
due by 2027-03-17 \"blue\": 1 point
due 2027-03-18 or later: 0 points
total 2.5 or less: A
total 3 to 5.5: B
total 6 or more: C
";

const TREE: &str = "evenfold card 1
kind tree
pens poorest first: A, B, C
ewe lambs: Z
question 1: lambs 2 or more? yes question 2, no pen A
question 2: condition under 3? yes pen C, no pen B
";

/// The pens of the hand-written cards.
const PENS: &str = "pen,trough_m,area_m2\nA,5,20\nB,5,20\nC,5,20\nZ,5,20\n";

/// Ewes for the hand-written cards.
const SMALL: &str = "tag,litter,condition,due,age,weight_kg\n\
    E1,1,3,2027-03-01,mature,70\nE2,2,2.5,2027-03-20,mature,75\nE3,3,3.5,2027-03-10,mature,80\n\
    E4,2,2.75,2027-03-30,mature,80\nE5,1,2,2027-03-30,ewe lamb,45\n";

/// The plan of those ewes and pens.
fn small() -> Plan {
    plan_of(SMALL, PENS, None, &Settings { min_head: 1, ..days(1) })
}

#[test]
fn a_hand_written_card_means_what_it_says() {
    let plan = small();
    let card = read(POINTS).unwrap();
    assert_eq!(check::check(&card, &plan), []);
    let points: Vec<Option<i32>> = plan.ewes.iter().map(|ewe| run::half_points(&card, ewe)).collect();
    // In halves. E4's 2.75 counts as 2.5.
    assert_eq!(points, [Some(2), Some(11), Some(14), Some(11), Some(5)]);
    assert_eq!(run::run(&card, &plan).unwrap().assignment, [0, 1, 2, 1, 3]);
    let tree = read(TREE).unwrap();
    assert_eq!(check::check(&tree, &plan), []);
    assert_eq!(run::run(&tree, &plan).unwrap().assignment, [0, 2, 1, 2, 3]);
}

#[test]
fn a_ewe_kept_by_hand_has_her_place_whoever_comes_before_her() {
    // The card sends E2 and E4 to B, which now holds one.
    let pens = "pen,trough_m,area_m2,max_head\nA,5,20,\nB,5,20,1\nC,5,20,\nZ,5,20,\n";
    let card = read(POINTS).unwrap();
    let full = plan_of(SMALL, pens, None, &Settings { min_head: 1, ..days(1) });
    for (tag, pens) in [("E2", [0, 1, 2, 2, 3]), ("E4", [0, 2, 2, 1, 3])] {
        let plan = full.keeping(&[Keep { tag: tag.to_owned(), pen: "B".to_owned() }]);
        let run = run::run(&card, &plan).unwrap();
        assert_eq!((run.assignment, run.put_right), (pens.to_vec(), 0), "{tag}");
    }
    // Nor does the card send her off, or ask for a line for her.
    let plan = small().keeping(&[Keep { tag: "E1".to_owned(), pen: "C".to_owned() }]);
    assert_eq!(run::run(&card, &plan).unwrap().assignment, [2, 1, 2, 1, 3]);
    let plan = small().keeping(&[Keep { tag: "E1".to_owned(), pen: "C".to_owned() }]);
    let without = read(&POINTS.replace("A, B, C", "A, B").replace("6 or more: C", "6 or more: B")).unwrap();
    assert_eq!(run::run(&without, &plan).unwrap().assignment, [2, 1, 1, 1, 3]);
}

#[test]
fn what_is_wrong_with_a_line_is_told_by_line_and_column() {
    for (from, to, row, column, found) in [
        ("evenfold card 1", "evenfold card 2", 1, "15", "2"),
        ("kind points", "kind tables", 3, "6", "tables"),
        ("pens poorest first: A, B, C", "pens poorest first A, B, C", 4, "20", "A"),
        ("pens poorest first: A, B, C", "pens poorest first: A,, C", 4, "23", ","),
        ("ewe lambs: Z", "ewe lambs: \"Z", 5, "12", "\"Z"),
        ("lambs 1: 0 points", "lambs 6: 0 points", 6, "7", "6"),
        ("lambs 1: 0 points", "lambs 1: 0", 6, "11", ""),
        ("lambs 1: 0 points", "lambs 1: 0.25 points", 6, "10", "0.25"),
        ("lambs 1: 0 points", "lambs 1: nan points", 6, "10", "nan"),
        ("lambs 1: 0 points", "lambs 1: 0 points please", 6, "19", "please"),
        ("lambs 1: 0 points", "lambs 3 to 1: 0 points", 6, "12", "1"),
        ("lambs 1: 0 points", "wool 1: 0 points", 6, "1", "wool"),
        ("condition 3 or more", "condition 3.3 or more", 10, "11", "3.3"),
        ("due by 2027-03-17", "due by 17/03/2027", 11, "8", "17/03/2027"),
        ("due by 2027-03-17", "due by 2027-02-30", 11, "8", "2027-02-30"),
        ("lambs 1: 0 points", "weight 60 or more: 0 points", 6, "18", ":"),
        ("total 3 to 5.5: B", "total 3 to 5.5 B", 14, "16", "B"),
        ("total 3 to 5.5: B", "kind points", 14, "1", "kind"),
    ] {
        let text = POINTS.replacen(from, to, 1);
        assert_ne!(text, POINTS, "{from}");
        let faults = read(&text).expect_err(to);
        let fault = &faults[0];
        let place = (fault.row, fault.column.as_deref(), fault.found.as_deref());
        assert_eq!(place, (Some(row), Some(column), Some(found)), "{to}: {fault}");
        assert!(!fault.message.is_empty() && !fault.hint.is_empty());
    }
    for (text, code) in [
        ("", "card-empty"),
        ("# only a remark\n", "card-empty"),
        ("evenfold card 1\npens poorest first: A\n", "card-line-missing"),
        ("evenfold card 1\nkind points\n", "card-line-missing"),
        ("evenfold card 1\nkind tree\npens poorest first: A\nlambs 1: 1 point\n", "card-line-missing"),
    ] {
        assert_eq!(read(text).unwrap_err()[0].code, code, "{text}");
    }
}

/// Checks a card with one of its lines changed, on the small flock.
fn changed(text: &str, from: &str, to: &str) -> Vec<Problem> {
    let changed = text.replacen(from, to, 1);
    assert_ne!(changed, text, "{from}");
    check::check(&read(&changed).unwrap(), &small())
}

#[test]
fn gaps_overlaps_and_pens_that_are_not_there_are_found() {
    for (from, to, code, says) in [
        // E2 and E4 carry two; E3 three.
        ("lambs 2: 3 points\n", "", "card-gap", "lambs 2: 2 ewes"),
        ("lambs 1: 0 points", "lambs 1 to 2: 0 points", "card-overlap", "lambs 2"),
        ("condition 2.5 or less", "condition 3 or less", "card-overlap", "condition 3.0"),
        ("condition 2.5 or less", "condition under 2.5", "card-gap", "condition 2.5"),
        ("due by 2027-03-17", "due by 2027-03-09", "card-gap", "10 Mar to 17 Mar: ewe E3"),
        ("due by 2027-03-17", "due by 2027-03-18", "card-overlap", "18 Mar"),
        ("total 3 to 5.5: B", "total 3 to 5: B", "card-total-without-pen", "5.5"),
        ("total 6 or more: C", "total 6 to 8: C", "card-total-without-pen", "8.5"),
        ("total 3 to 5.5: B", "total 2.5 to 5.5: B", "card-overlap", "2.5"),
        ("total 6 or more: C", "total 6 or more: D", "card-pen-not-in-row", "D"),
        ("first: A, B, C", "first: A, B, C, Q", "card-pen-unknown", "Q"),
        ("first: A, B, C", "first: A, B, C, Z", "card-pen-twice", "Z"),
        ("ewe lambs: Z\n", "", "card-gap", "ewe lambs"),
    ] {
        let problems = changed(POINTS, from, to);
        let told =
            |problem: &Problem| problem.code == code && problem.message.contains(says) && problem.is_error();
        assert!(problems.iter().any(told), "{to}: no {code} with '{says}' in {problems:#?}");
    }
    // A gap that no ewe of the flock falls into is a warning.
    let problems = changed(POINTS, "lambs 3 or more: 6", "lambs 3: 6");
    assert!(
        problems.iter().any(|problem| problem.code == "card-gap") && !problems.iter().any(Problem::is_error)
    );
    for (from, to, code) in [
        ("no pen B", "no question 3", "card-gap"),
        ("no pen B", "no question 1", "card-turns"),
        ("question 2: c", "question 1: c", "card-overlap"),
        ("yes question 2", "yes pen B", "card-question-unused"),
        ("no pen B", "no pen D", "card-pen-not-in-row"),
    ] {
        let problems = changed(TREE, from, to);
        assert!(problems.iter().any(|problem| problem.code == code), "{to}: {problems:#?}");
    }
}

#[test]
fn a_pen_out_of_use_stands_on_no_card() {
    let settings = Settings { out_of_use: vec!["B".to_owned()], min_head: 1, ..days(1) };
    let plan = plan_of("tag,litter,condition,due\nE1,1,3,2027-03-01\n", PENS, None, &settings);
    let problems = check::check(&read(POINTS).unwrap(), &plan);
    assert!(problems.iter().any(|problem| problem.code == "card-pen-out-of-use"), "{problems:#?}");
    let without = read(&POINTS.replace("A, B, C", "A, C").replace("5.5: B", "5.5: C")).unwrap();
    assert_eq!(check::check(&without, &plan), [], "nor is it missed");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn mutated_cards_never_panic(
        tree in any::<bool>(),
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..12, ".{0,6}"), 1..5),
    ) {
        let mut letters: Vec<char> = if tree { TREE } else { POINTS }.chars().collect();
        for (at, length, with) in cuts {
            let at = at.index(letters.len() + 1);
            let end = (at + length).min(letters.len());
            letters.splice(at..end, with.chars());
        }
        still_sound(&letters.into_iter().collect::<String>());
    }

    #[test]
    fn words_of_the_format_in_any_order_never_panic(
        words in prop::collection::vec(prop::sample::select(vec![
            "evenfold", "card", "1", "kind", "points", "tree", "pens", "poorest", "first", ":", ",", "?", "\n",
            "ewe", "lambs", "condition", "due", "weight", "kg", "total", "question", "yes", "no", "pen", "A",
            "or", "more", "less", "under", "by", "after", "to", "any", "2.5", "-999.5", "99999999999", "\"",
            "\"a b\"", "2027-03-01", "0001-01-01", "9999-12-31", "#",
        ]), 0..60),
        begun in any::<bool>(),
    ) {
        let head = if begun { "evenfold card 1\nkind points\npens poorest first: A\n" } else { "" };
        still_sound(&format!("{head}{}", words.join(" ")));
    }

    #[test]
    fn any_lines_that_can_be_read_can_be_checked_written_and_run(
        lines in prop::collection::vec(line(), 0..10),
        tree in any::<bool>(),
    ) {
        let kind = if tree { "tree" } else { "points" };
        let head = format!("evenfold card 1\nkind {kind}\npens poorest first: A, C, B\newe lambs: Z\n");
        let lines: Vec<&String> = lines.iter().filter(|line| line.starts_with("question") == tree).collect();
        let lines: String = lines.into_iter().map(|line| format!("{line}\n")).collect();
        still_sound(&format!("{head}{lines}"));
    }
}

/// A line of a card, sound by itself.
fn line() -> impl Strategy<Value = String> {
    let span = |values: &'static [&'static str]| {
        let value = move || prop::sample::select(values);
        prop_oneof![
            value().prop_map(str::to_owned),
            value().prop_map(|value| format!("{value} or more")),
            value().prop_map(|value| format!("{value} or less")),
            value().prop_map(|value| format!("under {value}")),
            (0..values.len(), 0..values.len()).prop_map(move |(a, b)| format!(
                "{} to {}",
                values[a.min(b)],
                values[a.max(b)]
            )),
            Just("any".to_owned()),
        ]
    };
    let asked = || {
        prop_oneof![
            span(&["1", "2", "3", "5"]).prop_map(|span| format!("lambs {span}")),
            span(&["1", "2.5", "3", "5"]).prop_map(|span| format!("condition {span}")),
            span(&["2027-03-01", "2027-03-20"]).prop_map(|span| format!("due {span}")),
            span(&["1", "70", "200"]).prop_map(|span| format!("weight {span} kg")),
        ]
    };
    let leads =
        || prop::sample::select(vec!["pen A", "pen B", "pen C", "question 1", "question 2", "question 3"]);
    let points = || prop::sample::select(vec!["-1.5", "0", "2", "1000"]);
    prop_oneof![
        (asked(), points()).prop_map(|(asked, points)| format!("{asked}: {points} points")),
        (span(&["-1", "0", "2.5", "7"]), prop::sample::select(vec!["A", "B", "C"]))
            .prop_map(|(span, pen)| format!("total {span}: {pen}")),
        (1..4, asked(), leads(), leads())
            .prop_map(|(number, asked, yes, no)| format!("question {number}: {asked}? yes {yes}, no {no}")),
    ]
}

/// Reads; what can be read is written, read back, checked, and run where nothing is wrong with it.
fn still_sound(text: &str) {
    let Ok(card) = read(text) else { return };
    let written = write(&card, &[]);
    assert_eq!(read(&written).expect("what is written can be read"), card, "{written}");
    let plan = small();
    if !check::check(&card, &plan).iter().any(Problem::is_error) {
        let run = run::run(&card, &plan).expect("a card without errors can be run on a small flock");
        assert!(plan.instance.is_feasible(&run.assignment));
    }
}
