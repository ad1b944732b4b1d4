//! The race: whom the pen is told of, what a card enters, lists brought in, restored, undone.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, flock_csv, pens_csv, valid};
use evenfold::day::Day;
use evenfold::farm::draft::{Beforehand, DraftAnswer, draft};
use evenfold::farm::journal::{AppendReply, Known, LookRequest, Mark, Name, Now, UndoRequest};
use evenfold::farm::race::{
    BackupMark, BringReply, BringRequest, Bringing, Card, DivideRequest, Gate, Given, OpenRequest, PenFill,
    Race, RaceRequest, RaceSettings, Restored,
};
use evenfold::farm::settings::Settings;
use evenfold::farm::{DemoFiles, FaultyRows, Files};
use evenfold::flock::{AgeClass, Litter, Score};
use evenfold::sort::System;
use std::collections::BTreeMap;

/// 1 February 2027, nine in the morning.
const START_MS: u64 = 1_801_472_400_000;

fn now(minutes: u64) -> Now {
    Now { ms: START_MS + minutes * 60_000, offset_minutes: 0 }
}

fn day(text: &str) -> Day {
    Day::from_iso(text).unwrap()
}

fn bring(race: &mut Race, files: &DemoFiles, with_flock: bool) -> BringReply {
    let request = BringRequest {
        device: "t".to_owned(),
        now: now(0),
        flock_name: Some("Home".to_owned()),
        dates: None,
        list_of: None,
    };
    race.bring(
        request,
        Bringing {
            flock: with_flock.then_some(files.flock.as_bytes()),
            pens: Some(files.pens.as_bytes()),
            groups: Some(files.groups.as_bytes()),
        },
    )
}

fn open(race: &mut Race) {
    let settings = settings_of("2027-03-10");
    race.open(&OpenRequest { device: "t".to_owned(), now: now(0), settings });
}

/// The demo's pens, with or without its flock on record.
fn demo(with_flock: bool) -> Race {
    let mut race = Race::new();
    bring(&mut race, &DemoFiles::new(), with_flock);
    open(&mut race);
    race
}

fn card(tag: &str, lambs: u8, score: f64) -> Card {
    Card {
        name: Some(Name::Tag(tag.to_owned())),
        read: Some(tag.to_owned()),
        lambs: Litter::of(lambs),
        score: Score::of(score),
        age: Some(AgeClass::Mature),
        group: Some("blue".to_owned()),
        ..Card::default()
    }
}

fn enter(race: &mut Race, minutes: u64, card: Card) -> Given {
    let request = RaceRequest { device: "t".to_owned(), now: now(minutes), card, sure: false };
    race.enter(&request)
}

fn lines(reply: &AppendReply) -> Vec<String> {
    match reply {
        AppendReply::Appended { lines, .. } => lines.iter().map(|line| line.line.clone()).collect(),
        other => panic!("{other:?}"),
    }
}

fn pen_of(gate: &Gate) -> (&str, &str, u64) {
    match gate {
        Gate::Pen { pen, reason, places_left, .. } => (pen, reason, *places_left),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_full_race_keeps_every_pen_within_its_trough_and_floor() {
    let files = DemoFiles::new();
    let mut race = demo(false);
    let mut heads: BTreeMap<String, u32> = BTreeMap::new();
    let mut held = 0;
    for number in 0..400_u32 {
        let lambs = [2, 1, 2, 3, 2, 1, 3, 2][number as usize % 8];
        let score = [3.0, 2.5, 3.5, 2.75][number as usize % 4];
        let given = enter(&mut race, u64::from(number), card(&format!("T{number}"), lambs, score));
        match (&given.gate, &given.pen) {
            (Gate::Pen { pen, .. }, Some(into)) => {
                assert_eq!(pen, into);
                *heads.entry(pen.clone()).or_default() += 1;
            }
            (Gate::Hold { .. }, None) => held += 1,
            other => panic!("{other:?}"),
        }
    }
    assert!(held > 0, "the shed is never full");
    // Reckoned anew from the file: a ewe of unknown weight is typical, 0.4 to 0.6 m of trough, 1.2 to 1.4 m² on straw.
    let rows: Vec<&str> = files.pens.lines().skip(1).collect();
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let head = f64::from(heads.get(cells[0]).copied().unwrap_or(0));
        let area: f64 = cells[3].parse().unwrap();
        assert!(head * 1.0 <= area, "{row}: {head} ewes");
        if cells[4] == "restricted" && !cells[1].is_empty() {
            let trough: f64 = cells[1].parse().unwrap();
            assert!(head * 0.40 <= trough, "{row}: {head} ewes");
        }
        if !cells[2].is_empty() {
            assert!(head <= cells[2].parse().unwrap(), "{row}: {head} ewes");
        }
        if !cells[9].is_empty() {
            assert!(head <= cells[9].parse().unwrap(), "{row}: {head} ewes");
        }
    }
}

#[test]
fn a_reason_says_who_she_is_and_whether_her_day_is_guessed() {
    let mut race = demo(false);
    let first = enter(&mut race, 0, card("T1", 3, 2.0));
    let reason = pen_of(&first.gate).1;
    assert!(reason.starts_with("Triplets, condition 2.0 (thin)"), "{reason}");
    assert!(!reason.contains("guessed"), "her group says when she is due: {reason}");
}

/// Ewes of every size go through until the shed is full, and each is read once more after she went.
#[test]
fn the_places_in_the_reason_are_those_beside_the_pens_over_a_whole_race() {
    let mut dice = Dice(11);
    let ewes = 120;
    let flock = flock_csv(&mut dice, ewes);
    let pens = pens_csv(&mut dice, 4, ewes, 0.9);
    let mut race = Race::new();
    let request =
        BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of: None };
    race.bring(
        request,
        Bringing { flock: Some(flock.as_bytes()), pens: Some(pens.as_bytes()), groups: None },
    );
    let settings = settings_of("2027-03-10");
    let mut beside = race.open(&OpenRequest { device: "t".to_owned(), now: now(0), settings }).pens;
    let (mut held, mut full) = (0, 0);
    for (row, line) in (0..).zip(flock.lines().skip(1)) {
        let cells: Vec<&str> = line.split(',').collect();
        let looked = race.look(&LookRequest { read: cells[0].to_owned(), day: now(0).day() });
        let her = Card { score: Score::of(cells[2].parse().unwrap()), ..looked.card };
        let mut same = |race: &mut Race, beside: &[PenFill]| match race.answer(&her) {
            Gate::Pen { at, reason, places_left, .. } => {
                let figure = beside[at].words.split(", ").last().unwrap();
                let said = match (figure, places_left) {
                    ("full", 0) => "full, but with room for her".to_owned(),
                    ("1 left", 1) => "1 place left".to_owned(),
                    _ => figure.replace(" left", " places left"),
                };
                assert!(reason.ends_with(&format!("; {said}.")), "{line}: {reason} beside {figure}");
                full += usize::from(places_left == 0);
            }
            Gate::Hold { .. } => held += 1,
            other => panic!("{other:?}"),
        };
        same(&mut race, &beside);
        beside = enter(&mut race, row, her.clone()).view.pens;
        assert_eq!(beside, race.view("t", now(row)).pens);
        same(&mut race, &beside);
    }
    assert!(held > 0 && full > 0, "{held} held, {full} sent where a usual ewe has no place");
}

#[test]
fn a_day_due_that_nobody_gave_is_said_to_be_guessed() {
    let mut race = demo(false);
    match race.answer(&Card { group: None, ..card("T1", 3, 2.0) }) {
        Gate::Pen { reason, .. } => assert!(reason.contains(" (guessed): "), "{reason}"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn hungrier_ewes_go_to_richer_pens() {
    let mut race = demo(true);
    let mut of = |lambs, score| match race.answer(&card("new", lambs, score)) {
        Gate::Pen { at, .. } => at,
        other => panic!("{other:?}"),
    };
    let (single, triplet) = (of(1, 3.5), of(3, 2.0));
    assert_ne!(single, triplet);
    // What her own need is in MJ a kg DM is the need module's business; that the answer follows it is seen from
    // the full sort of the same flock: its triplets stand where this one is sent.
    let reason = match race.answer(&card("new", 3, 2.0)) {
        Gate::Pen { reason, .. } => reason,
        other => panic!("{other:?}"),
    };
    assert!(reason.contains("with the triplets"), "{reason}");
}

#[test]
fn barren_kept_apart_and_unknown_are_not_given_a_pen() {
    let mut race = demo(true);
    assert!(matches!(race.answer(&card("x", 0, 3.0)), Gate::Apart { .. }));
    let marked = Card { marks: vec![Mark::KeepApart], ..card("x", 2, 3.0) };
    assert!(matches!(race.answer(&marked), Gate::Apart { .. }));
    assert!(matches!(race.answer(&Card { score: None, ..card("x", 2, 3.0) }), Gate::Open { .. }));
    assert!(matches!(race.answer(&Card { lambs: None, ..card("x", 2, 3.0) }), Gate::Open { .. }));
    let mut bare = Race::new();
    assert!(matches!(bare.answer(&card("x", 2, 3.0)), Gate::Open { .. }));
}

#[test]
fn a_ewe_put_right_to_barren_is_not_said_to_be_out_of_the_pen_that_she_stands_in() {
    let mut race = demo(false);
    let pen = enter(&mut race, 0, card("T1", 2, 3.0)).pen.unwrap();
    let request = RaceRequest { device: "t".to_owned(), now: now(1), card: card("T1", 0, 3.0), sure: true };
    let given = race.enter(&request);
    assert_eq!(given.pen, None);
    assert!(given.words.contains(&format!("still in pen {pen}")), "{}", given.words);
    let into = given.view.pens.iter().find(|fill| fill.pen == pen).unwrap();
    assert!(into.words.starts_with("1 in"), "{}", into.words);
    assert!(enter(&mut race, 2, card("T2", 0, 3.0)).words.ends_with("she has no pen."));
}

#[test]
fn a_card_enters_what_is_new_and_an_overruled_pen_is_recorded_as_such() {
    let mut race = demo(true);
    let looked = race.look(&LookRequest { read: "EV0413".to_owned(), day: now(0).day() });
    assert_eq!(looked.look.known, Known::Yes);
    assert_eq!(looked.look.question, None, "a list brought in is no reading of today");
    assert_eq!(looked.card.lambs, Litter::of(1), "her scan is on record");
    let told = race.answer(&Card { score: Score::of(3.0), ..looked.card.clone() });
    let other = match &told {
        Gate::Pen { runner_up: Some(next), .. } => next.pen.clone(),
        gate => panic!("{gate:?}"),
    };
    let card = Card { score: Score::of(3.0), pen: Some(other.clone()), ..looked.card };
    let given = enter(&mut race, 5, card);
    let kinds: Vec<String> = lines(&given.reply)
        .iter()
        .map(|line| {
            serde_json::from_str::<serde_json::Value>(line).unwrap()["what"]["kind"]
                .as_str()
                .unwrap()
                .to_owned()
        })
        .collect();
    assert_eq!(kinds, ["ewe_met", "condition_scored", "pen_given"], "her scan is not entered again");
    let state = race.book().state();
    let ewe = state.ewes.iter().find(|ewe| ewe.called == "EV0413").unwrap();
    let pen = ewe.pen.as_ref().unwrap();
    assert_eq!((pen.pen.as_str(), pen.overruled), (other.as_str(), true));
    assert_eq!(pen.advised.as_ref().unwrap().pen, pen_of(&told).0);
    let again = race.look(&LookRequest { read: "EV0413".to_owned(), day: now(6).day() });
    assert!(again.look.question.is_some(), "a second read today asks");
}

#[test]
fn a_first_lambing_before_the_first_day_of_feeding_makes_nobody_overdue() {
    let mut race = demo(false);
    let settings = RaceSettings {
        on: day("2027-02-01"),
        first_due: day("2026-12-01"),
        system: System::Lowland,
        expected: None,
        ewe_lambs: None,
        ways: None,
    };
    race.open(&OpenRequest { device: "t".to_owned(), now: now(0), settings });
    pen_of(&race.answer(&Card { group: None, ..card("new", 2, 3.0) }));
}

#[test]
fn what_is_rare_is_asked_and_not_refused() {
    let mut race = demo(true);
    for (rare, code) in [(card("a", 2, 1.0), "score-unusual"), (card("b", 5, 3.0), "lambs-unusual")] {
        match enter(&mut race, 0, rare.clone()).reply {
            AppendReply::Asked { questions } => assert_eq!(questions[0].code, code),
            other => panic!("{other:?}"),
        }
        let sure = RaceRequest { device: "t".to_owned(), now: now(0), card: rare, sure: true };
        lines(&race.enter(&sure).reply);
    }
    match enter(&mut race, 0, Card::default()).reply {
        AppendReply::Refused { problems } => assert_eq!(problems[0].code, "who-is-she"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn lists_brought_in_twice_change_nothing_and_one_undo_takes_all_back() {
    let files = DemoFiles::new();
    let mut race = Race::new();
    let first = bring(&mut race, &files, true);
    let rows = files.flock.lines().count() - 1;
    assert!(first.words.starts_with(&format!("{rows} ewes")), "{} {:?}", first.words, first.problems);
    assert_eq!(race.book().state().ewes.len(), rows);
    let second = bring(&mut race, &files, true);
    assert!(second.reply.is_none(), "{second:?}");
    let act = race.book().history(1)[0].act.clone();
    race.undo(&UndoRequest { device: "t".to_owned(), now: now(1), by: None, act });
    let state = race.book().state();
    assert!(state.ewes.is_empty() && state.pens.is_empty() && state.groups.is_empty());
}

#[test]
fn rows_that_are_wrong_are_named_and_the_rest_is_in() {
    let mut race = Race::new();
    let mut flock = String::from("tag,litter,condition\n");
    for number in 0..297 {
        flock.push_str(&format!("T{number},2,3\n"));
    }
    flock.push_str("B1,nine,3\nB2,2,17\nT5,2,3\n");
    let request =
        BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of: None };
    let files = Bringing { flock: Some(flock.as_bytes()), pens: None, groups: None };
    let reply = race.bring(request, files);
    assert_eq!(race.book().state().ewes.len(), 297);
    let mut rows: Vec<u32> = reply.problems.iter().filter(|p| p.is_error()).filter_map(|p| p.row).collect();
    rows.dedup();
    assert_eq!(rows, [299, 300, 301]);
    assert!(reply.problems.iter().all(|problem| !problem.hint.is_empty()));
}

#[test]
fn fifty_acts_undone_one_by_one_are_the_start() {
    let mut race = demo(true);
    let stripped = |race: &Race| {
        let mut state = serde_json::to_value(race.book().state()).unwrap();
        for field in ["events", "devices"] {
            state.as_object_mut().unwrap().remove(field);
        }
        (state.to_string(), serde_json::to_string(&race.view("t", now(99)).pens).unwrap())
    };
    let start = stripped(&race);
    for number in 0..50_u32 {
        let lambs = 1 + (number % 3) as u8;
        enter(&mut race, u64::from(number), card(&format!("N{number}"), lambs, 3.0));
    }
    assert_ne!(stripped(&race), start);
    for _ in 0..50 {
        let act = race.view("t", now(60)).last_act.unwrap().act;
        race.undo(&UndoRequest { device: "t".to_owned(), now: now(60), by: None, act });
    }
    assert_eq!(stripped(&race), start);
}

#[test]
fn a_backup_restores_the_same_state_and_another_flocks_is_asked_about() {
    let mut race = demo(true);
    for number in 0..20_u32 {
        enter(&mut race, u64::from(number), card(&format!("N{number}"), 2, 3.0));
    }
    let file = race.book().file();
    let mut clean = Race::new();
    match clean.restore(file.as_bytes(), false) {
        Restored::Taken { lines, reply } => {
            assert_eq!((lines.len(), reply.new), (race.book().size().0, race.book().size().0));
            // What is stored is enough to open it anew.
            let stored: Vec<&str> = lines.iter().map(|line| line.line.as_str()).collect();
            let mut reopened = Race::new();
            reopened.take(stored.join("\n").as_bytes());
            assert_eq!(reopened.book().state_json(), race.book().state_json());
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(clean.book().state_json(), race.book().state_json());
    assert_eq!(clean.book().file(), file);
    match clean.restore(file.as_bytes(), false) {
        Restored::Taken { lines, .. } => assert!(lines.is_empty()),
        other => panic!("{other:?}"),
    }
    valid("state", &clean.book().state_json());
    let mut other = Race::new();
    let request = BringRequest {
        device: "u".to_owned(),
        now: now(0),
        flock_name: Some("Hill".to_owned()),
        dates: None,
        list_of: None,
    };
    other.bring(request, Bringing::default());
    assert!(matches!(other.restore(file.as_bytes(), false), Restored::OtherFlock { .. }));
    assert_eq!(other.book().size().0, 1, "nothing was taken");
    assert!(matches!(other.restore(file.as_bytes(), true), Restored::Taken { .. }));
}

#[test]
fn the_age_of_the_backup_is_said_and_reminded_of() {
    let age = |mark: Option<(u64, u64)>, events, minutes| {
        BackupMark::age(mark.map(|(ms, events)| BackupMark { ms, events }), events, now(minutes))
    };
    let never = age(None, 3, 0);
    assert_eq!((never.words.as_str(), never.remind), ("Never backed up.", false));
    assert!(age(None, 500, 0).remind);
    let fresh = age(Some((START_MS, 40)), 40, 3 * 1440);
    assert_eq!((fresh.words.as_str(), fresh.remind), ("Backed up 3 days ago, nothing entered since.", false));
    let old = age(Some((START_MS, 40)), 41, 1440);
    assert_eq!((old.words.as_str(), old.remind), ("Backed up 1 day ago, 1 entry since.", true));
    assert!(!age(Some((START_MS, 40)), 539, 60).remind);
    assert!(age(Some((START_MS, 40)), 540, 60).remind);
}

#[test]
fn ewes_not_seen_are_listed_and_running_numbers_are_new() {
    let mut race = demo(true);
    let before = race.view("t", now(0)).unseen.len();
    let looked = race.look(&LookRequest { read: "EV0413".to_owned(), day: now(0).day() });
    enter(&mut race, 1, Card { score: Score::of(3.0), ..looked.card });
    let view = race.view("t", now(1));
    assert_eq!(view.unseen.len(), before - 1);
    assert!(!view.unseen.contains(&"EV0413".to_owned()));
    assert_eq!(race.next_number(), "no. 1");
    enter(&mut race, 2, card("no. 1", 2, 3.0));
    assert_eq!(race.next_number(), "no. 2");
}

/// The race opened anew from its file.
fn anew(race: &Race) -> Race {
    let mut other = Race::new();
    other.take(race.book().file().as_bytes());
    open(&mut other);
    other
}

/// Answers for ewes of every sort, those who passed already among them.
fn answers(race: &mut Race, tags: &[String]) -> Vec<Gate> {
    let strange = ["new 1", "new 2", "new 3", "new 4", "new 5", "new 6"].map(str::to_owned);
    let known = tags.iter().step_by(16).cloned();
    let all: Vec<String> = strange.into_iter().chain(known).collect();
    let card = |(at, tag): (usize, &String)| card(tag, 1 + (at % 3) as u8, 2.0 + 0.5 * (at % 4) as f64);
    all.iter().enumerate().map(|(at, tag)| race.answer(&card((at, tag)))).collect()
}

#[test]
fn whatever_is_entered_undone_overruled_or_merged_a_draft_from_the_events_alone_says_the_same() {
    for seed in 1..=2 {
        let mut dice = Dice(seed);
        let mut race = demo(seed != 2);
        let mut tags: Vec<String> = Vec::new();
        for step in 0..40_u64 {
            match dice.below(12) {
                0 if step > 4 => {
                    let acts = race.book().history(40);
                    let act = acts[dice.below(acts.len().min(6))].act.clone();
                    race.undo(&UndoRequest { device: "t".to_owned(), now: now(step), by: None, act });
                }
                1 if !tags.is_empty() => {
                    // Somebody who passed stands there again, with another score.
                    let tag = tags[dice.below(tags.len())].clone();
                    let sure = Card { score: Score::of(2.0), ..card(&tag, 2, 3.5) };
                    race.enter(&RaceRequest {
                        device: "t".to_owned(),
                        now: now(step),
                        card: sure,
                        sure: true,
                    });
                }
                2 => {
                    // Against what was told, wherever it is, full or not.
                    let pens = race.view("t", now(step)).pens;
                    let pen = pens[dice.below(pens.len())].pen.clone();
                    let tag = format!("X{step}");
                    enter(&mut race, step, Card { pen: Some(pen), ..card(&tag, 3, 2.5) });
                    tags.push(tag);
                }
                3 => {
                    let mut second = anew(&race);
                    for ewe in 0..3 {
                        let tag = format!("U{step}-{ewe}");
                        let request = RaceRequest {
                            device: "u".to_owned(),
                            now: now(step),
                            card: card(&tag, 2, 3.0),
                            sure: false,
                        };
                        lines(&second.enter(&request).reply);
                        tags.push(tag);
                    }
                    assert!(matches!(
                        race.restore(second.book().file().as_bytes(), false),
                        Restored::Taken { .. }
                    ));
                }
                _ => {
                    let tag = if seed == 1 { format!("EV{:04}", 400 + step) } else { format!("T{step}") };
                    enter(
                        &mut race,
                        step,
                        card(&tag, 1 + (step % 3) as u8, 2.0 + 0.5 * dice.below(5) as f64),
                    );
                    tags.push(tag);
                }
            }
            if dice.below(3) == 0 {
                race.catch_up();
            }
            if step % 8 == 7 {
                let (here, there) = (answers(&mut race, &tags), answers(&mut anew(&race), &tags));
                assert_eq!(here, there, "seed {seed}, step {step}");
                assert_eq!(race.view("t", now(99)).pens, anew(&race).view("t", now(99)).pens);
            }
        }
    }
}

#[test]
fn the_screen_tells_the_pens_that_the_draft_of_the_command_line_tells() {
    let mut dice = Dice(7);
    let ewes = 90;
    // The journal keeps no fleece, so the list has none.
    let flock: Vec<String> = flock_csv(&mut dice, ewes)
        .lines()
        .map(|line| line.rsplit_once(',').unwrap().0.to_owned() + "\n")
        .collect();
    let (flock, pens) = (flock.concat(), pens_csv(&mut dice, 4, ewes, 1.1));
    for ways in [None, Some(2)] {
        let settings = Settings { on: day("2027-02-01"), ..Settings::default() };
        let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
        let beforehand = Beforehand { prior: Some(flock.as_bytes()), ways, ..Beforehand::default() };
        let told = match draft(files, &settings, FaultyRows::Refuse, beforehand) {
            DraftAnswer::Drafted(told) => told,
            other => panic!("{other:?}"),
        };
        let mut race = Race::new();
        let request = BringRequest {
            device: "t".to_owned(),
            now: now(0),
            flock_name: None,
            dates: None,
            list_of: None,
        };
        let lists = Bringing { flock: Some(flock.as_bytes()), pens: Some(pens.as_bytes()), groups: None };
        race.bring(request, lists);
        let settings = RaceSettings { ways: ways.map(|ways| ways as u32), ..settings_of("2027-03-10") };
        let view = race.open(&OpenRequest { device: "t".to_owned(), now: now(0), settings });
        let behind: Vec<Vec<String>> = view.ways.iter().map(|way| way.pens.clone()).collect();
        assert_eq!(behind, told.ways);
        for ((row, line), answer) in (0..).zip(flock.lines().skip(1)).zip(&told.answers) {
            let cells: Vec<&str> = line.split(',').collect();
            let looked = race.look(&LookRequest { read: cells[0].to_owned(), day: now(0).day() });
            let card = Card { score: Score::of(cells[2].parse().unwrap()), ..looked.card };
            let given = enter(&mut race, row, card);
            let place = answer.place.as_ref();
            assert_eq!(given.pen.as_deref(), place.map(|place| place.pen.as_str()), "{line}");
            if let Gate::Pen { way, runner_up, .. } = &given.gate {
                let place = place.unwrap();
                assert_eq!(way.as_ref().map(|way| way.number as u32), place.way);
                let next = answer.runner_up.as_ref().map(|next| next.pen.as_str());
                assert_eq!(runner_up.as_ref().map(|next| next.pen.as_str()), next);
            }
        }
    }
}

fn settings_of(first_due: &str) -> RaceSettings {
    RaceSettings {
        on: day("2027-02-01"),
        first_due: day(first_due),
        system: System::Lowland,
        expected: None,
        ewe_lambs: None,
        ways: None,
    }
}

#[test]
fn a_pen_filled_over_its_limits_by_hand_is_told_to_nobody_else() {
    let pens = "pen,trough_m,area_m2,feeding,floor,not,max_head\nA,6,20,restricted,straw,,\nB,60,200,restricted,straw,,\nC,60,200,restricted,straw,ewe lamb,\n";
    let mut race = Race::new();
    let request =
        BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of: None };
    race.bring(request, Bringing { flock: None, pens: Some(pens.as_bytes()), groups: None });
    open(&mut race);
    let into = |race: &mut Race, number: u64, pen: &str, age| {
        let card = Card { pen: Some(pen.to_owned()), age: Some(age), ..card(&format!("H{number}"), 2, 3.0) };
        lines(&enter(race, number, card).reply);
    };
    // 6 m of trough hold a dozen grown ewes at the most: 0.40 m is the least that any takes.
    for number in 0..20 {
        into(&mut race, number, "A", AgeClass::Mature);
    }
    // A ewe lamb where none may be takes her room all the same.
    let left = |race: &Race| {
        let pens = race.view("t", now(50)).pens;
        (pens[0].is_full, pens[2].ewes)
    };
    for number in 20..22 {
        into(&mut race, number, "C", AgeClass::EweLamb);
    }
    assert_eq!(left(&race), (true, 2));
    let mut told: BTreeMap<String, usize> = BTreeMap::new();
    for number in 100..400 {
        let score = [2.0, 2.5, 3.0, 3.5, 4.0][number as usize % 5];
        let given = enter(&mut race, number, card(&format!("T{number}"), 1 + (number % 3) as u8, score));
        if let Some(pen) = given.pen {
            *told.entry(pen).or_default() += 1;
        }
        race.catch_up();
    }
    assert_eq!(told.get("A"), None, "{told:?}");
    // 60 m at 0.50 m for a ewe of 70 kg, whom nobody weighed; two ewe lambs of 61 % take 0.40 m each of pen C.
    assert_eq!((told["B"], told["C"]), (120, 118));
    let undone = race.book().history(500).into_iter().find(|act| act.words.starts_with("H0:")).unwrap();
    race.undo(&UndoRequest { device: "t".to_owned(), now: now(400), by: None, act: undone.act });
    assert_eq!(answers(&mut race, &[]), answers(&mut anew(&race), &[]));
}

#[test]
fn in_a_full_shed_each_who_is_held_can_be_sent_somewhere_and_the_others_are_told_what_they_were() {
    // B is the last with places; by its heads, and not by its room, A holds four.
    let pens = "pen,trough_m,area_m2,feeding,floor,max_head\nA,30,100,restricted,straw,4\nB,30,100,restricted,straw,\n";
    let mut race = Race::new();
    let request =
        BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of: None };
    race.bring(request, Bringing { flock: None, pens: Some(pens.as_bytes()), groups: None });
    open(&mut race);
    let into = |race: &mut Race, number: u64, pen: Option<&str>| {
        let card = Card { pen: pen.map(str::to_owned), ..card(&format!("T{number}"), 2, 3.0) };
        enter(race, number, card)
    };
    for number in 0..12 {
        into(&mut race, number, Some("A"));
    }
    let mut told = 0;
    let held = loop {
        match into(&mut race, 100 + told, None).gate {
            Gate::Pen { pen, places_left, .. } => {
                // 30 m of trough at 0.50 m for a ewe of 70 kg, whom nobody weighed.
                assert_eq!((pen.as_str(), places_left), ("B", 60 - told), "A is over");
                told += 1;
            }
            Gate::Hold { words } => break words,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!((told, held.as_str()), (60, "Hold her: no pen has a place left for a mature ewe."));
    for number in 200..240 {
        let given = into(&mut race, number, Some(["A", "B"][number as usize % 2]));
        assert!(matches!(given.gate, Gate::Hold { .. }), "{:?}", given.gate);
    }
    // A is over by its heads, B by its trough: 40 m for 80 ewes, of 30.
    let tiles: Vec<String> = race.view("t", now(300)).pens.into_iter().map(|pen| pen.words).collect();
    assert_eq!(tiles, ["32 in, 28 over", "80 in, 20 over"]);
    // One who goes makes no place in a pen that is over.
    let act = race.view("t", now(300)).last_act.unwrap().act;
    race.undo(&UndoRequest { device: "t".to_owned(), now: now(300), by: None, act });
    assert!(matches!(race.answer(&card("new", 2, 3.0)), Gate::Hold { .. }));
    assert_eq!(answers(&mut race, &[]), answers(&mut anew(&race), &[]));
}

#[test]
fn a_ewe_who_stands_there_again_has_her_own_place() {
    let pens = "pen,trough_m,area_m2,feeding,floor\nA,3,20,restricted,straw\nB,3,20,restricted,straw\n";
    let mut race = Race::new();
    let request =
        BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of: None };
    race.bring(request, Bringing { flock: None, pens: Some(pens.as_bytes()), groups: None });
    open(&mut race);
    let mut number = 0;
    let first = loop {
        let given = enter(&mut race, number, card(&format!("T{number}"), 2, 3.0));
        if matches!(given.gate, Gate::Hold { .. }) {
            break format!("T{}", number - 1);
        }
        number += 1;
        assert!(number < 30, "the pens are never full");
    };
    assert!(number >= 8, "only {number} ewes went in");
    let (_, _, left) = pen_of(&race.answer(&card(&first, 2, 3.0)));
    assert_eq!(left, 0, "her own place is the last");
    assert!(matches!(race.answer(&card("another", 2, 3.0)), Gate::Hold { .. }));
}

#[test]
fn what_the_pens_told_stand_on_is_said() {
    let race = demo(true);
    let on = race.view("t", now(0)).stands_on;
    assert!(on.contains("as many as are on record") && on.contains("condition is learnt"), "{on}");
    let mut bare = demo(false);
    let on = bare.view("t", now(0)).stands_on;
    assert!(on.contains("guessed, nine tenths") && on.contains("published figures"), "{on}");
    pen_of(&bare.answer(&card("x", 2, 3.0)));
    let settings = RaceSettings { expected: Some(2), ewe_lambs: Some(1), ..settings_of("2027-03-10") };
    let view = bare.open(&OpenRequest { device: "t".to_owned(), now: now(0), settings });
    assert!(
        view.stands_on.starts_with("2 ewes in lamb expected, as you said; 1 ewe lamb"),
        "{}",
        view.stands_on
    );
    for number in 0..4 {
        pen_of(&enter(&mut bare, number, card(&format!("T{number}"), 2, 3.0)).gate);
    }
    bare.catch_up();
    assert!(bare.view("t", now(9)).stands_on.contains("More have come"));
}

#[test]
fn a_gate_of_two_ways_names_them_and_in_the_evening_each_way_is_divided_within_itself() {
    let row = |pen| format!("{pen},12,40,restricted,straw\n");
    let pens = format!("pen,trough_m,area_m2,feeding,floor\n{}", ["A", "B", "C", "D"].map(row).concat());
    let mut race = Race::new();
    let request =
        BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of: None };
    race.bring(request, Bringing { flock: None, pens: Some(pens.as_bytes()), groups: None });
    let settings = RaceSettings { ways: Some(2), ..settings_of("2027-03-10") };
    let view = race.open(&OpenRequest { device: "t".to_owned(), now: now(0), settings: settings.clone() });
    assert_eq!(view.ways.iter().map(|way| way.way.words).collect::<Vec<_>>(), ["left", "right"]);
    let names: Vec<String> = view.ways.iter().flat_map(|way| way.pens.clone()).collect();
    assert_eq!(names.len(), view.pens.len());
    let way_of = |pen: &str| view.ways.iter().position(|way| way.pens.contains(&pen.to_owned())).unwrap();
    let mut went: BTreeMap<String, usize> = BTreeMap::new();
    for number in 0..80_u64 {
        let lambs = 1 + (number * 7 % 3) as u8;
        let given =
            enter(&mut race, number, card(&format!("T{number}"), lambs, 2.0 + 0.5 * (number % 5) as f64));
        let Gate::Pen { pen, way: Some(way), .. } = &given.gate else { panic!("{:?}", given.gate) };
        assert_eq!(way.number, way_of(pen) + 1);
        went.insert(given.called, way_of(pen));
    }
    let request = DivideRequest { device: "t".to_owned(), now: now(200) };
    let divided = race.divide(&request);
    lines(divided.reply.as_ref().unwrap_or_else(|| panic!("{}", divided.words)));
    let stands = race.stands();
    let mut seen = 0;
    for sheet in &stands.sheets {
        for row in &sheet.ewes {
            assert_eq!(went[&row.tag], way_of(&sheet.pen), "{row:?} left her way");
            assert!(stands.csv.contains(&format!("{},{}\n", row.tag, sheet.pen)));
            seen += 1;
        }
    }
    assert_eq!(seen, 80);
    assert!(race.divide(&request).reply.is_none(), "a second time changes nothing");
    let act = race.view("t", now(201)).last_act.unwrap().act;
    race.undo(&UndoRequest { device: "t".to_owned(), now: now(201), by: None, act });
    assert_ne!(race.stands(), stands);
}
