//! The race judged from outside: limits added up by hand after every ewe, answers that must not know the future,
//! wrong beliefs, a shepherd who overrules, and nobody left in the race.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::invented::{self, Like};
use common::{Dice, evenfold, flock_csv, folder, pens_csv, stderr, stdout, valid};
use evenfold::farm::draft::{Beforehand, DraftAnswer, DraftDocument, draft};
use evenfold::farm::settings::Settings;
use evenfold::farm::{FaultyRows, Files, prepare};
use evenfold::flock::{Due, Ewe};
use evenfold::sort::draft::{Answer, Draft, Known, outcome};
use std::collections::BTreeMap;

fn settings(days: u32) -> Settings {
    Settings { period_days: Some(days), ..Settings::default() }
}

fn drafted(flock: &str, pens: &str, settings: &Settings, beforehand: Beforehand<'_>) -> DraftDocument {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    match draft(files, settings, FaultyRows::Refuse, beforehand) {
        DraftAnswer::Drafted(document) => *document,
        DraftAnswer::Refused { problems, .. } => panic!("{problems:#?}"),
    }
}

fn ewes(flock: &str, pens: &str, settings: &Settings) -> (Vec<Ewe>, Vec<evenfold::pen::Pen>) {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    let plan = prepare(files, settings, FaultyRows::Refuse).unwrap().plan;
    (plan.ewes.into_iter().map(|ewe| ewe.ewe).collect(), plan.pens)
}

fn rows(csv: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    reader.deserialize().map(|row| row.unwrap()).collect()
}

fn shuffled(flock: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<&str> = flock.lines().skip(1).collect();
    for index in (1..lines.len()).rev() {
        lines.swap(index, dice.below(index + 1));
    }
    format!("{}\n{}\n", flock.lines().next().unwrap(), lines.join("\n"))
}

/// Millimetres of trough and thousandths of a square metre before rounding, restricted feeding on straw, by the
/// printed tables: Teagasc 0.40, 0.50, 0.60 m at 50, 70, 90 kg; Defra 1.2 to 1.4 m² from 60 to 90 kg, shorn a
/// tenth less.
fn takes_exactly(row: &BTreeMap<String, String>) -> [f64; 2] {
    let kg: f64 = row["weight_kg"].parse().unwrap();
    let trough = 400.0 + 5.0 * (kg - 50.0).max(0.0);
    let floor = 1200.0 + 200.0 / 30.0 * (kg - 60.0).max(0.0);
    let shorn = if row.get("shorn").is_some_and(|shorn| shorn == "yes") { 0.9 } else { 1.0 };
    [trough, floor * shorn]
}

/// Adds up every pen after every ewe, from the flock and pen lists and the answers alone.
fn add_up(flock: &str, pens: &str, document: &DraftDocument) {
    let flock: BTreeMap<String, BTreeMap<String, String>> =
        rows(flock).into_iter().map(|row| (row["tag"].clone(), row)).collect();
    let there: BTreeMap<String, [i64; 2]> = rows(pens)
        .into_iter()
        .map(|row| {
            let size = |column: &str| (row[column].parse::<f64>().unwrap() * 1000.0 + 1e-6).floor() as i64;
            (row["pen"].clone(), [size("trough_m"), size("area_m2")])
        })
        .collect();
    let mut used: BTreeMap<String, [i64; 2]> = BTreeMap::new();
    let mut lambs_in: BTreeMap<String, bool> = BTreeMap::new();
    for answer in &document.answers {
        let Some(place) = &answer.place else { continue };
        let row = &flock[&answer.tag];
        // Each ewe's room is what the tables say, rounded to a whole unit; the sums are of whole units.
        let takes: [i64; 2] = [place.trough_m, place.floor_m2].map(|part| (part * 1000.0).round() as i64);
        for (told, exact) in takes.iter().zip(takes_exactly(row)) {
            assert!((*told as f64 - exact).abs() <= 0.5 + 1e-6, "{}: {told}, not {exact}", answer.tag);
        }
        let sum = used.entry(place.pen.clone()).or_default();
        for part in 0..2 {
            sum[part] += takes[part];
            assert!(sum[part] <= there[&place.pen][part], "pen {} is over after {}", place.pen, answer.tag);
        }
        let is_lamb = row["age"] == "ewe lamb";
        assert_eq!(*lambs_in.entry(place.pen.clone()).or_insert(is_lamb), is_lamb, "kinds in {}", place.pen);
    }
    for pen in &document.pens {
        let sum = used.get(&pen.pen).copied().unwrap_or_default();
        assert_eq!([pen.trough_used_m, pen.floor_used_m2], sum.map(|part| part as f64 / 1000.0));
        assert!(!pen.below_least_head, "pen {} holds {}", pen.pen, pen.ewes);
    }
}

#[test]
fn no_limit_is_broken_after_any_ewe() {
    for seed in 0..10 {
        let mut dice = Dice(6000 + seed);
        let flock = flock_csv(&mut dice, 60 + 10 * (seed as usize % 4));
        // From ample to too small: whoever finds no place is held, never squeezed in.
        let pens = pens_csv(&mut dice, 3 + seed as usize % 3, 60, [1.6, 1.2, 0.8][seed as usize % 3]);
        let prior = flock_csv(&mut dice, 50);
        let prior = (seed % 2 == 0).then_some(prior.as_bytes());
        let document = drafted(
            &flock,
            &pens,
            &settings(1 + 9 * (seed as u32 % 2)),
            Beforehand { prior, ..Default::default() },
        );
        add_up(&flock, &pens, &document);
        let placed = document.answers.iter().filter(|answer| answer.place.is_some()).count();
        assert_eq!(placed + document.held.len(), document.answers.len(), "farm {seed}");
    }
}

#[test]
fn an_answer_knows_only_the_past() {
    for seed in 0..4 {
        let mut dice = Dice(6100 + seed);
        let flock = flock_csv(&mut dice, 70);
        let pens = pens_csv(&mut dice, 4, 70, 1.4);
        let prior = flock_csv(&mut dice, 40);
        // The number is said, so that a shorter list does not tell it.
        let beforehand = Beforehand {
            prior: (seed % 2 == 0).then_some(prior.as_bytes()),
            expect: Some(70),
            ewe_lambs: Some(14),
            ways: (seed == 1).then_some(2),
        };
        let settings = settings(1 + 6 * (seed as u32 % 2));
        let whole = drafted(&flock, &pens, &settings, beforehand);
        for kept in [1, 17, 43] {
            let lines: Vec<&str> = flock.lines().collect();
            let past = lines[..=kept].join("\n");
            let cut = drafted(&past, &pens, &settings, beforehand);
            assert_eq!(cut.answers[..], whole.answers[..kept], "farm {seed} cut after {kept}");
            let future = shuffled(&format!("{}\n{}\n", lines[0], lines[kept + 1..].join("\n")), &mut dice);
            // The others come in another order, all fat singles, none of them weighed.
            let changed: Vec<String> = future
                .lines()
                .skip(1)
                .map(|line| {
                    let cells: Vec<&str> = line.split(',').collect();
                    format!("{},1,4.5,{},mature,,no", cells[0], cells[3])
                })
                .collect();
            let turned = drafted(&format!("{past}\n{}\n", changed.join("\n")), &pens, &settings, beforehand);
            assert_eq!(turned.answers[..kept], whole.answers[..kept], "farm {seed} turned after {kept}");
            assert_ne!(turned.answers[kept..], whole.answers[kept..], "farm {seed}: the change shows");
        }
    }
}

#[test]
fn the_same_twice() {
    let mut dice = Dice(6200);
    let flock = flock_csv(&mut dice, 60);
    let pens = pens_csv(&mut dice, 3, 60, 1.3);
    let once = drafted(&flock, &pens, &settings(5), Beforehand::default());
    assert_eq!(once, drafted(&flock, &pens, &settings(5), Beforehand::default()));
}

/// Loss at given levels, by the published definition of the misfit.
fn loss(document: &DraftDocument, need: &[f64], level: &[f64], [under, over]: [f64; 2]) -> f64 {
    assert!(document.axes.iter().all(|axis| axis.of == "energy"));
    let axes = need.iter().zip(level).zip(&document.axes);
    axes.map(|((need, level), axis)| {
        axis.weight * if need > level { under * (need - level) } else { over * (level - need) }
    })
    .sum()
}

#[test]
fn the_runner_up_costs_what_is_said() {
    let mut dice = Dice(6300);
    let flock = flock_csv(&mut dice, 80);
    let pens = pens_csv(&mut dice, 4, 80, 1.3);
    let document = drafted(&flock, &pens, &settings(9), Beforehand::default());
    let mut met = 0;
    for answer in &document.answers {
        let (Some(place), Some(next)) = (&answer.place, &answer.runner_up) else { continue };
        let here = loss(&document, &place.need, &place.planned_level, place.under_over);
        let there = loss(&document, &place.need, &next.planned_level, place.under_over);
        assert!((here - place.misfit_mj).abs() < 1e-9 && (there - next.misfit_mj).abs() < 1e-9);
        assert!((there - here - next.costs_her_mj).abs() < 1e-9);
        assert_ne!(place.pen, next.pen);
        // The answer is the dearer of the two only where the other may leave somebody out, or is another kind's.
        assert!(place.misfit_mj >= 0.0 && place.room_mj >= 0.0 && next.room_mj >= 0.0);
        if next.costs_her_mj.abs() > 0.06 {
            let said = format!("{:.1} MJ", next.costs_her_mj.abs());
            assert!(answer.reason.contains(&said), "{}: {said}", answer.reason);
        }
        met += 1;
    }
    assert!(met > 40, "{met} runners-up");
}

#[test]
fn the_shepherd_may_overrule() {
    let mut dice = Dice(6400);
    let flock = flock_csv(&mut dice, 60).replace("ewe lamb", "mature");
    let pens = pens_csv(&mut dice, 3, 60, 1.3);
    let settings = settings(1);
    let (ewes, pens) = ewes(&flock, &pens, &settings);
    let known = Known { expected: 60, ewe_lambs: 0, ..Known::default() };
    let mut draft = Draft::new(pens, known, &settings);
    let (mut overruled, mut refused) = (0, 0);
    for (number, ewe) in ewes.iter().enumerate() {
        let Answer::Pen(answer) = draft.answer(ewe) else { panic!("she has a pen") };
        let again = draft.answer(ewe);
        assert!(matches!(&again, Answer::Pen(again) if again.pen == answer.pen), "asking changes nothing");
        let before = draft.placed().len();
        let pen = match &answer.runner_up {
            Some(next) if number % 3 == 0 => next.pen,
            _ => answer.pen,
        };
        draft.place(ewe, pen).unwrap();
        overruled += usize::from(pen != answer.pen);
        assert_eq!(draft.placed().len(), before + 1);
        assert_eq!(draft.placed()[before].1, pen, "she stands where she was sent");
        assert!(draft.place(ewe, pen).is_err(), "nobody stands twice");
        assert!(draft.place(ewe, 99).is_err());
        assert!(matches!(draft.answer(ewe), Answer::Already(there) if there == pen));
    }
    assert!(overruled > 10, "{overruled}");
    // A full pen refuses, and nothing is changed by asking.
    let heavy = Ewe { tag: "late".to_owned(), ..ewes[0].clone() };
    for pen in 0..3 {
        let mut filled = draft.clone();
        for number in 0..200 {
            let ewe = Ewe { tag: format!("more {number}"), ..heavy.clone() };
            let before = filled.room(pen);
            if filled.place(&ewe, pen).is_err() {
                assert_eq!(filled.room(pen), before);
                refused += 1;
                break;
            }
        }
        let [used, there] = filled.room(pen);
        assert!(used[0] <= there[0] && used[1] <= there[1]);
    }
    assert_eq!(refused, 3);
    assert!(outcome(&draft).ratio().unwrap() >= 1.0 - 1e-9);
}

const LIKE: Like = Like { ewes: 200, first_threshold: -0.58, condition: 2.9, ewe_lambs: 0.0, grouped: false };

/// The list with every score moved, or with no scores at all.
fn scored(flock: &str, by: f64) -> String {
    let change = |line: &str| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if let Ok(score) = cells[2].parse::<f64>() {
            cells[2] = (((score + by) * 4.0).round() / 4.0).clamp(1.0, 5.0).to_string();
        }
        cells.join(",")
    };
    flock.lines().map(change).collect::<Vec<_>>().join("\n")
}

#[test]
fn wrong_beliefs_are_survived() {
    let mut sums = [0.0; 5];
    const FLOCKS: u64 = 6;
    for seed in 0..FLOCKS {
        let mut dice = Dice(6500 + seed);
        let flock = invented::flock(&mut dice, LIKE);
        let pens = invented::pens(&mut dice, LIKE, 3, false, 1.08);
        // Another flock of a year ago, half of it singles, with tags of its own.
        let last = invented::flock(&mut dice, Like { first_threshold: -0.13, condition: 2.6, ..LIKE });
        let last = last.replace("2027-", "2026-").replace('E', "L");
        let records = [scored(&flock, 0.0), scored(&flock, 0.3), scored(&flock, -0.3)];
        let cases = [Some(&records[0]), Some(&records[1]), Some(&records[2]), Some(&last), None];
        for (sum, prior) in sums.iter_mut().zip(cases) {
            let beforehand = Beforehand {
                prior: prior.map(|text| text.as_bytes()),
                expect: Some(200),
                ewe_lambs: Some(0),
                ways: None,
            };
            let document = drafted(&flock, &pens, &settings(1), beforehand);
            assert!(document.held.is_empty());
            let result = document.result.unwrap();
            let (ratio, moved) = (result.ratio.unwrap(), result.moved_ratio.unwrap());
            assert!(ratio >= 1.0 - 1e-6 && moved <= ratio + 1e-9 && moved >= 1.0 - 1e-6, "{ratio} {moved}");
            assert!(result.moves.len() <= 6);
            *sum += ratio / FLOCKS as f64;
        }
    }
    println!("records, +0.3, -0.3, another flock a year ago, nothing: {sums:.3?}");
    // The bars: 1.06 with records, 1.10 where they are wrong; 1.20 without, wrong or not.
    for (found, bar) in sums.iter().zip([1.06, 1.10, 1.10, 1.20, 1.20]) {
        assert!(*found <= bar, "{found} over {bar}: {sums:?}");
    }
}

/// Pens that hold a part of a flock with so much to spare in trough and in floor, however it is dealt.
fn shed(dice: &mut Dice, rows: &[&BTreeMap<String, String>], pens: usize, slack: f64, from: usize) -> String {
    let need = rows
        .iter()
        .map(|row| takes_exactly(row))
        .fold([0.0, 0.0], |sum, part| [sum[0] + part[0], sum[1] + part[1]]);
    let shares: Vec<f64> = (0..pens).map(|_| dice.between(0.6, 1.4)).collect();
    let whole: f64 = shares.iter().sum();
    shares
        .iter()
        .enumerate()
        .map(|(number, share)| {
            let [trough, area] = need.map(|need| need / 1000.0 * slack * share / whole);
            format!("{},{trough:.3},{area:.3},restricted,straw\n", char::from(b'A' + (from + number) as u8))
        })
        .collect()
}

/// An invented farm with 8 % of room to spare, ewe lambs in pens of their own: its list in a drawn order, its pens, and
/// how many ewe lambs there are.
fn a_farm(dice: &mut Dice, like: Like) -> (String, String, usize) {
    let flock = invented::flock(dice, like);
    let all = rows(&flock);
    let (young, old): (Vec<_>, Vec<_>) = all.iter().partition(|row| row["age"] == "ewe lamb");
    let old_pens = 2 + dice.below(3);
    let mut pens = "pen,trough_m,area_m2,feeding,floor\n".to_owned();
    pens.push_str(&shed(dice, &old, old_pens, 1.08, 0));
    if !young.is_empty() {
        let young_pens = if young.len() > 24 { 2 } else { 1 };
        pens.push_str(&shed(dice, &young, young_pens, 1.08, old_pens));
    }
    (shuffled(&flock, dice), pens, young.len())
}

/// Another flock, thinner and with fewer lambs: as it stands, and as it stood a year ago.
fn a_strange_list(dice: &mut Dice, like: Like, pens: &str) -> (Vec<Ewe>, Vec<Ewe>) {
    let strange = invented::flock(dice, Like { first_threshold: 0.2, condition: 2.4, ..like });
    let (now, _) = ewes(&strange.replace('E', "L"), pens, &settings(1));
    let a_year_ago = now.iter().map(|ewe| match ewe.due {
        Due::On(day) => Ewe { due: Due::On(day.plus(-365)), ..ewe.clone() },
        _ => ewe.clone(),
    });
    let a_year_ago = a_year_ago.collect();
    (now, a_year_ago)
}

#[test]
fn with_eight_in_a_hundred_to_spare_nobody_is_left_in_the_race() {
    let mut faults = Vec::new();
    let mut runs = 0;
    for seed in 0..60_u64 {
        let mut dice = Dice(6600 + seed);
        let count = 80 + dice.below(60);
        let lambs = if seed % 2 == 0 { 0.0 } else { dice.between(0.08, 0.3) };
        let like = Like { ewes: count, ewe_lambs: lambs, ..LIKE };
        let (list, pens, young) = a_farm(&mut dice, like);
        let files = Files { flock: list.as_bytes(), pens: pens.as_bytes(), groups: None };
        let plan = prepare(files, &settings(1), FaultyRows::Refuse).unwrap().plan;
        // Nothing is known but the number of ewes and of ewe lambs; or another flock's scores and litters are
        // believed.
        let (believed, a_year_ago) = a_strange_list(&mut dice, like, &pens);
        let lists = match seed % 3 {
            0 => vec![None, Some(believed)],
            1 => vec![None, Some(a_year_ago)],
            _ => vec![None],
        };
        for list in lists {
            let known = Known { list, expected: count, ewe_lambs: young, ..Known::default() };
            let mut draft = Draft::new(plan.pens.clone(), known, &settings(1));
            for ewe in plan.ewes.iter().map(|ewe| &ewe.ewe) {
                let answer = draft.answer(ewe);
                match &answer {
                    Answer::Pen(pen) => draft.place(ewe, pen.pen).unwrap(),
                    _ => draft.pass(ewe, &answer),
                }
            }
            runs += 1;
            if !draft.held().is_empty() {
                let at = plan.ewes.iter().position(|ewe| ewe.ewe.tag == draft.held()[0].tag).unwrap();
                let rooms: Vec<_> = (0..plan.pens.len()).map(|pen| draft.room(pen)).collect();
                let source = draft.source();
                faults.push(format!(
                    "farm {seed} ({count} ewes, {} of them ewe lambs, {source:?}): ewe {at}, {:?}; in the end {rooms:?}",
                    young,
                    draft.held()
                ));
            }
            assert!(draft.below_min_head().is_empty(), "farm {seed}");
        }
    }
    assert!(faults.is_empty(), "{} of {runs} farms: {faults:#?}", faults.len());
}

#[test]
fn a_strange_list_leaves_hardly_anybody_and_whoever_is_held_is_told_who_could_move() {
    let (mut left, mut made, mut held) = (0, 0, 0);
    const FARMS: u64 = 100;
    for seed in (0..FARMS).map(|farm| 2 * farm + 1) {
        let mut dice = Dice(16600 + seed);
        let count = 80 + dice.below(60);
        let like = Like { ewes: count, ewe_lambs: dice.between(0.08, 0.3), ..LIKE };
        let (list, pens, young) = a_farm(&mut dice, like);
        let files = Files { flock: list.as_bytes(), pens: pens.as_bytes(), groups: None };
        let plan = prepare(files, &settings(1), FaultyRows::Refuse).unwrap().plan;
        // What is believed is another flock of a year ago, thinner and with fewer lambs.
        let (_, a_year_ago) = a_strange_list(&mut dice, like, &pens);
        let list = Some(a_year_ago);
        let known = Known { list, expected: count, ewe_lambs: young, ..Known::default() };
        let mut draft = Draft::new(plan.pens.clone(), known, &settings(1));
        let mut one_is_left = false;
        for ewe in plan.ewes.iter().map(|ewe| &ewe.ewe) {
            let answer = draft.answer(ewe);
            match &answer {
                Answer::Pen(pen) => draft.place(ewe, pen.pen).unwrap(),
                Answer::Hold(_) => {
                    one_is_left = true;
                    match draft.room_for(ewe) {
                        Some((moves, pen)) => {
                            let why = draft.why_held(ewe);
                            assert!(moves.iter().all(|one| why.contains(&one.tag)), "{why}");
                            assert!(draft.place(ewe, pen).is_err(), "there is no room yet");
                            draft.shift(&moves).unwrap();
                            assert!(draft.shift(&moves).is_err(), "nobody moves twice");
                            draft.place(ewe, pen).unwrap();
                            made += 1;
                        }
                        None => {
                            draft.pass(ewe, &answer);
                            held += 1;
                        }
                    }
                }
                other => panic!("{other:?}"),
            }
        }
        left += usize::from(one_is_left);
        for pen in 0..plan.pens.len() {
            let [used, there] = draft.room(pen);
            let own = draft.placed().iter().filter(|(_, own)| *own == pen);
            let sum = own.fold([0_u64; 2], |sum, (ewe, _)| {
                let takes = draft.takes(ewe, pen);
                [sum[0] + u64::from(takes[0]), sum[1] + u64::from(takes[1])]
            });
            assert_eq!(sum, used, "farm {seed}");
            assert!(used[0] <= there[0] && used[1] <= there[1], "farm {seed}");
        }
    }
    println!("{left} of {FARMS} farms had somebody without a pen; room made for {made}, {held} held");
    // It was 5 before sizes were learnt faster and the surest pens opened first; none can be promised, since what is
    // believed here is wrong in everything but the number.
    assert!(left <= 3, "{left} of {FARMS}");
    assert!(made > 0, "no farm needed anybody to move: the rest of this test says nothing");
}

#[test]
fn a_gate_of_fewer_ways_parts_the_pens_and_the_evening_keeps_to_them() {
    let mut dice = Dice(6700);
    let flock = invented::flock(&mut dice, Like { ewes: 120, ..LIKE });
    let pens = invented::pens(&mut dice, Like { ewes: 120, ..LIKE }, 5, false, 1.12);
    let free = drafted(&flock, &pens, &settings(1), Beforehand::default());
    assert!(free.ways.is_empty());
    for count in [2, 3] {
        let document =
            drafted(&flock, &pens, &settings(1), Beforehand { ways: Some(count), ..Default::default() });
        add_up(&flock, &pens, &document);
        let mut all: Vec<&String> = document.ways.iter().flatten().collect();
        all.sort();
        assert_eq!(all, ["A", "B", "C", "D", "E"], "every pen has one way");
        assert_eq!(document.ways.len(), count);
        assert!(document.ways.iter().all(|way| !way.is_empty()), "{:?}", document.ways);
        let way_of =
            |pen: &str| 1 + document.ways.iter().position(|way| way.iter().any(|own| own == pen)).unwrap();
        let mut went = BTreeMap::new();
        for answer in &document.answers {
            let place = answer.place.as_ref().unwrap();
            assert_eq!(place.way.unwrap() as usize, way_of(&place.pen));
            went.insert(answer.tag.clone(), place.way.unwrap() as usize);
        }
        let result = document.result.unwrap();
        assert_eq!(result.evening.len(), 120);
        for stand in &result.evening {
            assert_eq!(way_of(&stand.pen), went[&stand.tag], "{} keeps to her way", stand.tag);
        }
        assert!(result.ratio.unwrap() < free.result.as_ref().unwrap().ratio.unwrap() + 0.05);
    }
    // Four ways, or one, are refused.
    for count in [1, 4] {
        let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
        let beforehand = Beforehand { ways: Some(count), ..Default::default() };
        assert!(matches!(
            draft(files, &settings(1), FaultyRows::Refuse, beforehand),
            DraftAnswer::Refused { .. }
        ));
    }
}

#[test]
fn ewes_who_are_tied_share_a_pen_and_ewes_who_are_parted_do_not() {
    for seed in 0..4 {
        let mut dice = Dice(6800 + seed);
        let flock = flock_csv(&mut dice, 60).replace("ewe lamb", "mature");
        let pens = pens_csv(&mut dice, 3, 60, 1.25);
        let tags = |list: &[usize]| list.iter().map(|ewe| format!("E{ewe:05}")).collect::<Vec<_>>();
        let settings = Settings {
            together: vec![tags(&[3, 58, 30]), tags(&[30, 44])],
            apart: vec![tags(&[5, 50, 59])],
            ..settings(1)
        };
        let document = drafted(&flock, &pens, &settings, Beforehand::default());
        add_up(&flock, &pens, &document);
        let pen = |ewe: usize| document.answers[ewe].place.as_ref().map(|place| place.pen.clone()).unwrap();
        assert!([58, 30, 44].iter().all(|&ewe| pen(ewe) == pen(3)), "farm {seed}");
        assert!(pen(5) != pen(50) && pen(50) != pen(59) && pen(5) != pen(59), "farm {seed}");
        assert!(document.held.is_empty());
    }
}

#[test]
fn the_command_prints_a_valid_document_and_words() {
    let folder = folder("draft");
    let mut dice = Dice(6900);
    let flock = flock_csv(&mut dice, 60).replace("ewe lamb", "mature");
    let path = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let write = |name: &str, text: &str| {
        std::fs::write(path(name), text).unwrap();
        path(name)
    };
    let f = write("f.csv", &flock);
    let ample = write("p.csv", &pens_csv(&mut dice, 3, 60, 1.3));
    let small = write("s.csv", &pens_csv(&mut dice, 3, 40, 1.0));
    let last = write("l.csv", &flock_csv(&mut dice, 40).replace("2027-", "2026-"));
    let call = ["draft", &f, "--pens", &ample, "--on", "2027-02-01", "--prior", &last, "--ways", "2"];
    let json = evenfold(&[&call[..], &["--json"]].concat());
    assert_eq!(json.status.code(), Some(0), "{}", stderr(&json));
    let document = valid("draft", &stdout(&json));
    assert_eq!(document["answers"].as_array().unwrap().len(), 60);
    assert_eq!(document["belief"], "last_year");
    assert_eq!(document["expected_ewes"], 40);
    let words = stdout(&evenfold(&call));
    assert!(words.contains("The gate: way 1") && words.contains("left in pen"), "{words}");
    assert_eq!(words.lines().filter(|line| line.starts_with('E')).count(), 60);

    // Too little room: whoever cannot go in is held and listed, and the exit code says so.
    let call = ["draft", &f, "--pens", &small, "--on", "2027-02-01"];
    let json = evenfold(&[&call[..], &["--json"]].concat());
    assert_eq!(json.status.code(), Some(3), "{}", stderr(&json));
    let document = valid("draft", &stdout(&json));
    let held = document["held"].as_array().unwrap();
    let answers = document["answers"].as_array().unwrap();
    assert!(held.len() >= 10, "{} held", held.len());
    assert_eq!(answers.iter().filter(|answer| answer["answer"] == "hold").count(), held.len());
    let words = stdout(&evenfold(&call));
    assert!(words.contains("Hold, because no pen had a place"), "{words}");
    for tag in held {
        assert!(words.contains(&format!("{}  hold  hold her", tag.as_str().unwrap())));
    }

    // A wrong row stops it, or is set aside.
    let wrong = write("w.csv", &flock.replacen("E00003,", "E00003,many,", 1));
    let call = ["draft", &wrong, "--pens", &ample, "--on", "2027-02-01", "--json"];
    let refused = evenfold(&call);
    assert_eq!(refused.status.code(), Some(2));
    assert_eq!(valid("draft", &stdout(&refused))["status"], "refused");
    let aside = evenfold(&[&call[..], &["--set-aside"]].concat());
    assert_eq!(aside.status.code(), Some(0), "{}", stderr(&aside));
    let document = valid("draft", &stdout(&aside));
    assert_eq!(document["answers"].as_array().unwrap().len(), 59);
    assert!(document["set_apart"].as_array().unwrap().iter().any(|tag| tag == "E00003"));
    std::fs::remove_dir_all(folder).unwrap();
}
