//! The race's neighbours: moves made afterwards, last year's list, what a list says of the fleece, and opening.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

use evenfold::day::Day;
use evenfold::farm::DemoFiles;
use evenfold::farm::journal::{AppendReply, Name, Now, UndoRequest};
use evenfold::farm::race::{
    BringReply, BringRequest, Bringing, Card, Gate, Given, ListOf, MoveMade, Moved, MovedRequest,
    OpenRequest, Race, RaceRequest, RaceSettings,
};
use evenfold::flock::{AgeClass, Litter, Score};
use std::collections::BTreeMap;

/// 1 February 2027, nine in the morning.
const START_MS: u64 = 1_801_472_400_000;
const PENS: &str = "pen,trough_m,area_m2\nA,12,32\nB,12,32\nC,9,24\n";

fn now(minutes: u64) -> Now {
    Now { ms: START_MS + minutes * 60_000, offset_minutes: 0 }
}

fn request(list_of: Option<ListOf>) -> BringRequest {
    BringRequest { device: "t".to_owned(), now: now(0), flock_name: None, dates: None, list_of }
}

fn opening() -> OpenRequest {
    let first_due = Day::from_iso("2027-03-10").unwrap();
    let settings = RaceSettings { first_due, ..RaceSettings::usual(now(0)) };
    OpenRequest { device: "t".to_owned(), now: now(0), settings }
}

/// The pens, and a flock list where there is one.
fn race(flock: Option<(&str, Option<ListOf>)>) -> (Race, BringReply) {
    let mut race = Race::new();
    let files =
        Bringing { flock: flock.map(|(text, _)| text.as_bytes()), pens: Some(PENS.as_bytes()), groups: None };
    let brought = race.bring(request(flock.and_then(|(_, of)| of)), files);
    race.open(&opening());
    (race, brought)
}

fn card(tag: &str, lambs: u8, score: f64) -> Card {
    Card {
        name: Some(Name::Tag(tag.to_owned())),
        lambs: Litter::of(lambs),
        score: Score::of(score),
        age: Some(AgeClass::Mature),
        ..Card::default()
    }
}

fn enter(race: &mut Race, minutes: u64, card: Card) -> Given {
    race.enter(&RaceRequest { device: "t".to_owned(), now: now(minutes), card, sure: true })
}

/// Pens by tag, as the pen lists have them.
fn stand(race: &Race) -> BTreeMap<String, String> {
    let sheets = race.stands().sheets;
    let rows =
        sheets.iter().flat_map(|sheet| sheet.ewes.iter().map(|ewe| (ewe.tag.clone(), sheet.pen.clone())));
    rows.collect()
}

fn made(tag: &str, from: Option<&str>, to: Option<&str>) -> MoveMade {
    let pen = |pen: Option<&str>| pen.map(str::to_owned);
    MoveMade { tag: tag.to_owned(), from: pen(from), to: pen(to), words: format!("{tag} moves") }
}

fn moved(race: &mut Race, moves: Vec<MoveMade>) -> Moved {
    race.moved(MovedRequest { device: "t".to_owned(), now: now(90), moves })
}

#[test]
fn moves_made_afterwards_stand_in_pens_lists_and_draft_and_one_undo_takes_them_back() {
    let (mut race, _) = race(None);
    for number in 0..9 {
        let pen = ["A", "B", "C"][number % 3];
        let ewe = Card { pen: Some(pen.to_owned()), ..card(&format!("T{number}"), 2, 3.0) };
        enter(&mut race, number as u64, ewe);
    }
    let before = (stand(&race), race.answer(&card("new", 2, 3.0)));
    assert_eq!((before.0["T0"].as_str(), before.0["T1"].as_str()), ("A", "B"));
    // T0 goes over; T1 waits outside between two steps; T2 is left where she stands by another hand.
    let moves = vec![
        made("T1", Some("B"), None),
        made("T0", Some("A"), Some("B")),
        made("T1", None, Some("C")),
        made("T2", Some("A"), Some("B")),
        made("nobody", Some("A"), Some("B")),
        made("T3", Some("A"), None),
    ];
    let told = moved(&mut race, moves.clone());
    let Some(AppendReply::Appended { lines, .. }) = &told.reply else { panic!("{told:?}") };
    assert_eq!(lines.len(), 2);
    assert!(told.words.starts_with("2 ewes are entered as moved"), "{}", told.words);
    let codes: Vec<&str> = told.problems.iter().map(|problem| problem.code.as_str()).collect();
    assert_eq!(codes, ["moved-meanwhile", "move-of-unknown", "move-not-over"]);
    let after = stand(&race);
    assert_eq!((after["T0"].as_str(), after["T1"].as_str(), after["T2"].as_str()), ("B", "C", "C"));
    let heads =
        |race: &Race| -> Vec<usize> { race.view("t", now(91)).pens.iter().map(|pen| pen.ewes).collect() };
    assert_eq!(heads(&race), [2, 3, 4]);
    // The advice stands beside the decision, as at the gate.
    let state: serde_json::Value = serde_json::from_str(&race.book().state_json()).unwrap();
    let ewes = state["ewes"].as_array().unwrap();
    let her = ewes.iter().find(|ewe| ewe["called"] == "T1").unwrap();
    assert_eq!(
        (&her["pen"]["advised"]["words"], &her["pen"]["overruled"]),
        (&"T1 moves".into(), &false.into())
    );
    // A draft from the events alone says the same.
    let mut anew = Race::new();
    anew.take(race.book().file().as_bytes());
    anew.open(&opening());
    assert_eq!(race.answer(&card("new", 3, 2.5)), anew.answer(&card("new", 3, 2.5)));
    // The same list again is no news.
    let again = moved(&mut race, moves);
    assert!(again.reply.is_none(), "{again:?}");
    let undo = UndoRequest { device: "t".to_owned(), now: now(92), by: None, act: lines[0].id.clone() };
    assert!(matches!(race.undo(&undo), AppendReply::Appended { .. }));
    assert_eq!((stand(&race), race.answer(&card("new", 2, 3.0))), before);
    assert_eq!(heads(&race), [3, 3, 3]);
}

/// Three in four carry triplets: print would say a fifth.
fn last_years() -> String {
    let rows = (0..40).map(|number| {
        let lambs = if number % 4 == 0 { 2 } else { 3 };
        format!("L{number},{lambs},2.5,2026-03-{:02},mature,75\n", 1 + number % 28)
    });
    format!("tag,litter,condition,due,age,weight_kg\n{}", rows.collect::<String>())
}

#[test]
fn an_earlier_years_list_says_what_may_come_and_puts_nobody_on_record() {
    let text = last_years();
    let (mut race, brought) = race(Some((&text, None)));
    assert!(brought.words.contains("an earlier year's"), "{}", brought.words);
    let view = race.view("t", now(1));
    assert_eq!((view.ewes, view.unseen.len()), (0, 0));
    assert!(view.stands_on.starts_with("40 ewes in lamb expected, as many as on the earlier year's list"));
    assert!(view.stands_on.contains("earlier year at first"), "{}", view.stands_on);
    assert_eq!(race.book().flock_csv().lines().count(), 1, "the header alone");
    assert!(!race.book().state_json().contains("L1"));
    // Whoever comes by a tag of that list is a new ewe, and what she carried then is not on her card.
    let given = enter(&mut race, 2, card("L1", 1, 3.0));
    let AppendReply::Appended { lines, .. } = &given.reply else { panic!("{given:?}") };
    assert!(lines.iter().any(|line| line.line.contains(r#""kind":"scanned""#)), "{lines:?}");
    assert_eq!(race.view("t", now(3)).ewes, 1);
    // The same list again changes nothing; one undo takes all of it back.
    let files = Bringing { flock: Some(text.as_bytes()), ..Bringing::default() };
    assert!(race.bring(request(None), files).reply.is_none());
    let acts = race.view("t", now(4)).acts;
    let act = acts.last().unwrap().act.clone();
    race.undo(&UndoRequest { device: "t".to_owned(), now: now(5), by: None, act });
    race.open(&opening());
    assert!(!race.view("t", now(6)).stands_on.contains("earlier year"));
}

/// Both kinds that lists bring keep the schema of the file.
#[test]
fn what_lists_bring_keeps_the_schema_of_the_file() {
    let text = std::fs::read_to_string("data/schema/journal.schema.json").unwrap();
    let schema: serde_json::Value = serde_json::from_str(&text).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let shorn = "tag,eid,litter,due,shorn\nS1,999000101097485,2,2027-03-02,yes\n";
    for (list, kind) in [(last_years().as_str(), "prior_listed"), (shorn, "fleece_seen")] {
        // A kind that the schema does not name is a later version's, and may hold anything.
        assert!(text.contains(&format!("\"const\": \"{kind}\"")), "{kind} is not in the schema");
        let (race, _) = race(Some((list, None)));
        let file = race.book().file();
        assert!(file.contains(kind), "{kind}");
        for line in file.lines() {
            let value: serde_json::Value = serde_json::from_str(line).unwrap();
            assert!(validator.is_valid(&value), "{line}");
        }
    }
}

#[test]
fn of_which_year_a_list_is_may_be_said_against_its_dates_or_without_any() {
    let undated = "tag,litter,age\nU1,3,mature\nU2,3,mature\nU3,2,mature\nU4,3,mature\n";
    let (earlier, _) = race(Some((undated, Some(ListOf::EarlierYear))));
    let view = earlier.view("t", now(1));
    assert_eq!(view.ewes, 0);
    assert!(view.stands_on.contains("earlier year at first"), "{}", view.stands_on);
    let (this, _) = race(Some((undated, None)));
    assert_eq!(this.view("t", now(1)).ewes, 4, "nothing tells of an earlier year");
    let text = last_years();
    let (told, _) = race(Some((&text, Some(ListOf::ThisYear))));
    assert_eq!(told.view("t", now(1)).ewes, 40);
}

#[test]
fn this_years_records_go_before_a_few_rows_of_last_years() {
    let (mut race, _) = race(Some((&last_years(), None)));
    let rows: String =
        (0..30).map(|number| format!("N{number},2,2027-03-{:02}\n", 1 + number % 28)).collect();
    let text = format!("tag,litter,due\n{rows}");
    race.bring(request(None), Bringing { flock: Some(text.as_bytes()), ..Bringing::default() });
    race.open(&opening());
    let view = race.view("t", now(1));
    assert!(
        view.stands_on.starts_with("30 ewes in lamb expected, as many as are on record"),
        "{}",
        view.stands_on
    );
}

#[test]
fn what_a_list_says_of_the_fleece_is_kept_and_counts_for_her_floor() {
    let text = "tag,litter,condition,age,weight_kg,shorn\nS1,2,3,mature,75,yes\nW1,2,3,mature,75,no\n";
    let (race, _) = race(Some((text, None)));
    let file = race.book().file();
    let seen: Vec<&str> = file.lines().filter(|line| line.contains("fleece_seen")).collect();
    assert_eq!(seen.len(), 1, "a list does not tell a ewe in the wool from one that nobody looked at");
    assert!(seen[0].contains(r#""what":{"kind":"fleece_seen","ewe":{"tag":"S1"},"shorn":true}"#), "{seen:?}");
    let csv = race.book().flock_csv();
    let column = csv.lines().next().unwrap().split(',').position(|name| name == "shorn").unwrap();
    let cell = |tag: &str| {
        let row = csv.lines().find(|line| line.starts_with(tag)).unwrap();
        row.split(',').nth(column).unwrap().to_owned()
    };
    assert_eq!((cell("S1").as_str(), cell("W1").as_str()), ("yes", ""));
    // A tenth less floor: of ewes alike more find a place, where floor is what is short.
    let places = |shorn: &str| {
        let rows: String = (0..40).map(|number| format!("N{number},2,3,mature,75,{shorn}\n")).collect();
        let text = format!("tag,litter,condition,age,weight_kg,shorn\n{rows}");
        let pens = "pen,trough_m,area_m2\nA,400,32\n";
        let mut race = Race::new();
        let files = Bringing { flock: Some(text.as_bytes()), pens: Some(pens.as_bytes()), groups: None };
        race.bring(request(None), files);
        race.open(&opening());
        let sent = (0..40).filter(|number| {
            let her = card(&format!("N{number}"), 2, 3.0);
            matches!(enter(&mut race, *number, her).gate, Gate::Pen { .. })
        });
        sent.count()
    };
    assert!(places("yes") > places("no"), "{} and {}", places("yes"), places("no"));
}

#[test]
fn a_race_that_began_without_the_draft_says_what_an_opened_one_says() {
    let DemoFiles { flock, pens, groups, .. } = DemoFiles::new();
    let files = || Bringing {
        flock: Some(flock.as_bytes()),
        pens: Some(pens.as_bytes()),
        groups: Some(groups.as_bytes()),
    };
    let [mut begun, mut opened] = [Race::new(), Race::new()];
    begun.bring(request(None), files());
    opened.bring(request(None), files());
    let first = begun.begin(&opening());
    assert_eq!((first.stands_on.as_str(), first.pens.len()), ("", 7));
    let whole = opened.open(&opening());
    assert!(!whole.stands_on.is_empty());
    assert_eq!(
        (first.ewes, first.today_words, first.last_act),
        (whole.ewes, whole.today_words, whole.last_act)
    );
    for number in 0..12_u8 {
        let her = card(&format!("T{number}"), 1 + number % 3, 2.0 + 0.5 * f64::from(number % 4));
        assert_eq!(begun.answer(&her), opened.answer(&her));
        enter(&mut begun, u64::from(number), her.clone());
        enter(&mut opened, u64::from(number), her);
    }
    assert_eq!(begun.view("t", now(20)), opened.view("t", now(20)));
}
