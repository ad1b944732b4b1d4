//! Races of several years in one journal, and ewes who leave their pens: what an earlier season left behind holds
//! nobody's place and says nothing of this pregnancy. Nothing in it is real.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

use evenfold::farm::journal::{AppendReply, AppendRequest, LookRequest, Mark, Name, Now, UndoRequest, What};
use evenfold::farm::race::{
    BringRequest, Bringing, Card, Gate, Given, LeaveRequest, MoveMade, MovedRequest, OpenRequest, Race,
    RaceRequest, RaceSettings,
};
use evenfold::flock::{AgeClass, Litter, Score};
use std::collections::BTreeMap;

const DAY_MS: u64 = 86_400_000;
/// 12 January 2026, nine in the morning; and as many days later the same day a year on.
const FIRST_MS: u64 = 1_768_208_400_000;
const YEAR: u64 = 365;
const PENS: &str = "pen,trough_m,area_m2\nA,12,32\nB,12,32\nC,9,24\n";
const GROUPS: [&str; 2] = [
    "group,first_day,last_day,of\nblue,2026-03-01,2026-03-17,due\n",
    "group,first_day,last_day,of\nblue,2027-03-01,2027-03-17,due\n",
];

fn at(days: u64, minutes: u64) -> Now {
    Now { ms: FIRST_MS + days * DAY_MS + minutes * 60_000, offset_minutes: 0 }
}

fn bring(race: &mut Race, days: u64, flock: Option<&str>, groups: &str) {
    let request = BringRequest {
        device: "t".to_owned(),
        now: at(days, 0),
        flock_name: None,
        dates: None,
        list_of: None,
    };
    let files = Bringing {
        flock: flock.map(str::as_bytes),
        pens: Some(PENS.as_bytes()),
        groups: Some(groups.as_bytes()),
    };
    race.bring(request, files);
}

fn open(race: &mut Race, device: &str, days: u64) {
    let settings = RaceSettings::usual(at(days, 0));
    race.open(&OpenRequest { device: device.to_owned(), now: at(days, 0), settings });
}

fn card(tag: &str, lambs: u8, score: f64) -> Card {
    Card {
        name: Some(Name::Tag(tag.to_owned())),
        lambs: Litter::of(lambs),
        score: Score::of(score),
        age: Some(AgeClass::Mature),
        group: Some("blue".to_owned()),
        ..Card::default()
    }
}

fn enter(race: &mut Race, days: u64, minutes: u64, card: Card) -> Given {
    let request = RaceRequest { device: "t".to_owned(), now: at(days, minutes), card, sure: true };
    let given = race.enter(&request);
    assert!(matches!(given.reply, AppendReply::Appended { .. }), "{:?}", given.reply);
    given
}

fn look(race: &Race, tag: &str, days: u64) -> evenfold::farm::race::LookedUp {
    race.look(&LookRequest { read: tag.to_owned(), day: at(days, 0).day() })
}

/// A season of forty ewes, three in four with triplets and thin; L00 a ewe lamb, L01 a shearling.
fn first_season() -> Race {
    season_of(&[AgeClass::EweLamb, AgeClass::Shearling])
}

fn season_of(young: &[AgeClass]) -> Race {
    let mut race = Race::new();
    bring(&mut race, 0, None, GROUPS[0]);
    open(&mut race, "t", 0);
    for number in 0..40_u64 {
        let age = young.get(number as usize).copied();
        let ewe = Card {
            age: age.or(Some(AgeClass::Mature)),
            pen: Some(["A", "B", "C"][number as usize % 3].to_owned()),
            ..card(&format!("L{number:02}"), if number % 4 == 0 { 2 } else { 3 }, 2.5)
        };
        enter(&mut race, 0, number, ewe);
    }
    race
}

/// Pens by tag, as the pen lists have them.
fn stand(race: &Race) -> BTreeMap<String, String> {
    let sheets = race.stands().sheets;
    let rows =
        sheets.iter().flat_map(|sheet| sheet.ewes.iter().map(|ewe| (ewe.tag.clone(), sheet.pen.clone())));
    rows.collect()
}

fn heads(race: &Race, days: u64) -> Vec<usize> {
    race.view("t", at(days, 0)).pens.iter().map(|pen| pen.ewes).collect()
}

#[test]
fn pens_of_last_season_hold_nobody_and_its_records_say_what_may_come() {
    let mut race = first_season();
    assert_eq!(heads(&race, 0).iter().sum::<usize>(), 40);
    let state = race.book().state_json();
    bring(&mut race, YEAR, None, GROUPS[1]);
    open(&mut race, "t", YEAR);
    assert_eq!(heads(&race, YEAR), [0, 0, 0]);
    assert!(stand(&race).is_empty());
    let view = race.view("t", at(YEAR, 1));
    assert_eq!((view.unseen.len(), view.unseen_words.as_str()), (0, ""));
    assert!(
        view.stands_on.starts_with("40 ewes in lamb expected, as many as were here in the last season"),
        "{}",
        view.stands_on
    );
    assert!(view.stands_on.ends_with("believed to be like the last season at first."), "{}", view.stands_on);
    assert_eq!(race.flock_csv().lines().count(), 1, "the header alone");
    // The journal itself holds what it held: only the groups' days are new.
    let after: serde_json::Value = serde_json::from_str(&race.book().state_json()).unwrap();
    let before: serde_json::Value = serde_json::from_str(&state).unwrap();
    assert_eq!((&before["ewes"], &before["tally"]), (&after["ewes"], &after["tally"]));
    assert_eq!(before["pens"], after["pens"]);
    // It counts as a list of that year would: the same pens are told.
    let rows: String = (0..40)
        .map(|number| {
            let (lambs, age) = (if number % 4 == 0 { 2 } else { 3 }, ["ewe lamb", "shearling"].get(number));
            format!("L{number:02},{lambs},2.5,2026-03-01,{}\n", age.unwrap_or(&"mature"))
        })
        .collect();
    let list = format!("tag,litter,condition,due,age\n{rows}");
    let mut listed = Race::new();
    bring(&mut listed, YEAR, Some(&list), GROUPS[1]);
    open(&mut listed, "t", YEAR);
    for (lambs, score) in [(1, 3.5), (2, 3.0), (3, 2.0)] {
        let (Gate::Pen { pen: one, .. }, Gate::Pen { pen: other, .. }) =
            (race.answer(&card("new", lambs, score)), listed.answer(&card("new", lambs, score)))
        else {
            panic!("no pen")
        };
        assert_eq!(one, other, "{lambs} lambs");
    }
}

#[test]
fn a_ewe_of_last_season_comes_with_nothing_on_her_card_but_what_lasts() {
    let mut race = first_season();
    let keep = What::Marked { ewe: Name::Tag("L05".to_owned()), mark: Mark::Lame, words: None };
    race.append(AppendRequest {
        device: "t".to_owned(),
        now: at(1, 0),
        by: None,
        day: None,
        what: vec![keep],
        sure: true,
    });
    bring(&mut race, YEAR, None, GROUPS[1]);
    open(&mut race, "t", YEAR);
    let looked = look(&race, "L05", YEAR);
    assert_eq!((looked.card.lambs, looked.card.group.clone(), looked.stands), (None, None, None));
    assert_eq!(looked.card.marks, [Mark::Lame], "until it is cleared");
    assert_eq!(
        looked.on_record,
        "On record: mature ewe. Her scan of 12 January 2026, triplets, is of an earlier season."
    );
    assert!(!looked.look.words.contains("pen"), "{}", looked.look.words);
    // A ewe lamb is a shearling now, a shearling a grown ewe.
    let lamb = look(&race, "L00", YEAR);
    assert_eq!(lamb.card.age, Some(AgeClass::Shearling));
    assert!(lamb.on_record.contains("Ewe lamb on 12 January 2026, so shearling now."), "{}", lamb.on_record);
    assert_eq!(look(&race, "L01", YEAR).card.age, Some(AgeClass::Mature));
    // Carrying as many again is a new scan, and what she has grown into is said.
    let given = enter(&mut race, YEAR, 1, Card { age: Some(AgeClass::Shearling), ..card("L00", 2, 3.0) });
    let AppendReply::Appended { lines, .. } = &given.reply else { panic!("{given:?}") };
    for kind in ["scanned", "age_given", "due_given", "pen_given"] {
        assert!(lines.iter().any(|line| line.line.contains(kind)), "{kind}: {lines:?}");
    }
    let again = enter(&mut race, YEAR, 2, Card { age: Some(AgeClass::Mature), ..card("L05", 3, 3.0) });
    let AppendReply::Appended { lines, .. } = &again.reply else { panic!("{again:?}") };
    assert!(!lines.iter().any(|line| line.line.contains("age_given")), "grown she was already: {lines:?}");
    assert_eq!(heads(&race, YEAR).iter().sum::<usize>(), 2);
    let csv = race.flock_csv();
    assert_eq!(csv.lines().count(), 3, "{csv}");
    assert!(csv.contains("L00,,2,3.0,,blue,shearling"), "{csv}");
    // Whoever goes to a third race is grown.
    open(&mut race, "t", 2 * YEAR);
    assert_eq!(look(&race, "L00", 2 * YEAR).card.age, Some(AgeClass::Mature));
    assert_eq!(heads(&race, 2 * YEAR), [0, 0, 0]);
    // A draft from the events alone says the same.
    let mut anew = Race::new();
    anew.take(race.book().file().as_bytes());
    open(&mut anew, "t", YEAR);
    open(&mut race, "t", YEAR);
    assert_eq!(race.answer(&card("new", 3, 2.5)), anew.answer(&card("new", 3, 2.5)));
}

/// No pregnancy is longer than 159 days: what was read so long before may be of this one, a day more may not.
#[test]
fn what_is_older_than_the_longest_pregnancy_is_of_an_earlier_one() {
    for (days, counts) in [(0, true), (158, true), (159, true), (160, false)] {
        let mut race = Race::new();
        bring(&mut race, 0, None, "");
        open(&mut race, "t", 0);
        enter(&mut race, 0, 1, Card { group: None, pen: Some("A".to_owned()), ..card("B1", 2, 3.0) });
        open(&mut race, "t", days);
        assert_eq!(stand(&race).len(), usize::from(counts), "{days} days");
        let looked = look(&race, "B1", days);
        assert_eq!(looked.card.lambs.is_some(), counts, "{days} days");
        assert_eq!(looked.stands.is_some(), counts, "{days} days");
        assert_eq!(race.flock_csv().lines().count(), 1 + usize::from(counts), "{days} days");
    }
}

/// A flock that lambs twice a year: 21 days after the last day that a ewe was due, when even the longest pregnancy
/// is over, her pen is empty, however lately she was read.
#[test]
fn a_ewe_who_has_lambed_by_her_days_is_in_no_pen_at_the_next_race_of_the_same_year() {
    // Due until 17 March, 64 days after the race.
    for (days, counts) in [(64, true), (64 + 21, true), (64 + 22, false), (120, false)] {
        let mut race = first_season();
        open(&mut race, "t", days);
        assert_eq!(stand(&race).len(), if counts { 40 } else { 0 }, "{days} days");
    }
}

#[test]
fn settings_of_an_earlier_season_say_nothing_of_this_one() {
    let old = RaceSettings {
        expected: Some(40),
        ewe_lambs: Some(3),
        ways: Some(2),
        ..RaceSettings::usual(at(0, 0))
    };
    assert_eq!(old.still(at(159, 0)), old);
    let now = at(YEAR, 0);
    assert_eq!(old.still(now), RaceSettings { ways: Some(2), ..RaceSettings::usual(now) });
    // Whoever opens with them all the same is at this year's race.
    let mut race = first_season();
    race.open(&OpenRequest { device: "t".to_owned(), now, settings: old });
    assert_eq!(heads(&race, YEAR), [0, 0, 0]);
}

#[test]
fn lists_of_the_new_season_are_records_and_last_seasons_doubts_are_over() {
    let mut race = first_season();
    // Another tablet read one of them otherwise that day.
    let mut other = Race::new();
    open(&mut other, "u", 0);
    other.enter(&RaceRequest {
        device: "u".to_owned(),
        now: at(0, 5),
        card: card("L07", 1, 3.0),
        sure: true,
    });
    race.restore(other.book().file().as_bytes(), true);
    let doubts =
        |race: &Race, days| race.view("t", at(days, 1)).doubts.iter().map(|of| of.message.clone()).collect();
    let then: Vec<String> = doubts(&race, 0);
    assert_eq!(then.len(), 2, "lambs and condition: {then:?}");
    assert!(
        then[0].contains("this tablet at 09:07 says triplets; another tablet at 09:05 says single"),
        "{then:?}"
    );
    let list = "tag,litter,group\nL01,2,blue\nL02,3,blue\nL03,,\n";
    bring(&mut race, YEAR, Some(list), GROUPS[1]);
    open(&mut race, "t", YEAR);
    assert_eq!(doubts(&race, YEAR), Vec::<String>::new());
    let view = race.view("t", at(YEAR, 1));
    assert_eq!(view.unseen, ["L01", "L02", "L03"], "those of the list, and nobody of last season");
    let looked = look(&race, "L02", YEAR);
    assert_eq!(looked.card.lambs, Litter::of(3), "as many as last season, and said anew");
    assert!(!looked.on_record.contains("earlier"), "{}", looked.on_record);
    assert_eq!(race.book().doubts().len(), 2, "the journal goes on telling them");
}

/// Whoever stands in this season's list is looked for at the race, and so she is expected there.
#[test]
fn a_row_that_holds_a_tag_alone_is_expected_as_it_is_unseen_also_where_she_was_here_last_season() {
    let mut race = first_season();
    let rows: String =
        (0..30).map(|number| format!("L{number:02},{}\n", if number < 2 { "2" } else { "" })).collect();
    bring(&mut race, YEAR - 20, Some(&format!("tag,litter\n{rows}")), GROUPS[1]);
    open(&mut race, "t", YEAR);
    let view = race.view("t", at(YEAR, 0));
    assert_eq!((view.unseen.len(), race.book().size().0), (30, view.events));
    let expects = "30 ewes in lamb expected, as many as are on record;";
    assert!(view.stands_on.starts_with(expects), "{}", view.stands_on);
    // It stays so while they come: the draft would begin anew otherwise.
    enter(&mut race, YEAR, 1, card("L05", 2, 3.0));
    race.catch_up();
    let view = race.view("t", at(YEAR, 2));
    assert!(view.stands_on.starts_with(expects), "{}", view.stands_on);
    assert_eq!(view.unseen.len(), 29);
}

fn leave(race: &mut Race, tags: &[&str]) -> evenfold::farm::race::Left {
    let ewes = tags.iter().map(|tag| Name::Tag((*tag).to_owned())).collect();
    race.leave(LeaveRequest { device: "t".to_owned(), now: at(0, 100), ewes })
}

#[test]
fn who_left_her_pen_is_on_no_list_and_gives_her_room_back_and_one_undo_puts_her_back() {
    let mut race = season_of(&[]);
    let before = (stand(&race), heads(&race, 0), race.answer(&card("new", 2, 3.0)));
    let places = |race: &Race| -> Vec<usize> {
        let pens = race.view("t", at(0, 99)).pens.into_iter();
        pens.map(|pen| pen.words.split([' ', ',']).nth(3).unwrap().parse().unwrap()).collect()
    };
    // In a shed of pen A alone the draft can tell of no other: so many more as it sends before it holds.
    let told_places = |race: &mut Race| {
        let mut alone = Race::new();
        alone.take(race.book().file().as_bytes());
        let out = ["B", "C"].map(|pen| What::PenRemoved { pen: pen.to_owned() }).to_vec();
        let (device, now) = ("t".to_owned(), at(0, 98));
        alone.append(AppendRequest { device, now, by: None, day: None, what: out, sure: true });
        open(&mut alone, "t", 0);
        let sent = (0..100).take_while(|number| {
            let her = card(&format!("new {number}"), 2, 3.0);
            matches!(enter(&mut alone, 0, 99, her).gate, Gate::Pen { .. })
        });
        sent.count()
    };
    let (full, full_told) = (places(&race), told_places(&mut race));
    let told = leave(&mut race, &["L06", "L03", "nobody"]);
    let Some(AppendReply::Appended { lines, .. }) = &told.reply else { panic!("{told:?}") };
    assert_eq!((lines.len(), told.words.as_str()), (2, "2 ewes left their pens."));
    assert!(
        lines[0].line.contains(r#""what":{"kind":"pen_left","ewe":{"tag":"L06"},"pen":"A"}"#),
        "{lines:?}"
    );
    assert_eq!((before.1[0] - heads(&race, 0)[0], stand(&race).get("L06")), (2, None));
    assert_eq!(look(&race, "L06", 0).stands, None);
    let state: serde_json::Value = serde_json::from_str(&race.book().state_json()).unwrap();
    let her = state["ewes"].as_array().unwrap().iter().find(|ewe| ewe["called"] == "L06").unwrap();
    assert!(her["pen"].is_null());
    // Their room is free again: two more find a place there, and the draft knows it.
    assert_eq!(places(&race), [full[0] + 2, full[1], full[2]]);
    assert_eq!(told_places(&mut race), full_told + 2);
    // Nothing is left to leave; a list of moves that knew her there is out of date.
    assert!(leave(&mut race, &["L06"]).reply.is_none());
    let made = MoveMade {
        tag: "L06".to_owned(),
        from: Some("A".to_owned()),
        to: Some("B".to_owned()),
        words: String::new(),
    };
    let moved = race.moved(MovedRequest { device: "t".to_owned(), now: at(0, 101), moves: vec![made] });
    assert_eq!((moved.reply.is_none(), moved.problems[0].code.as_str()), (true, "moved-meanwhile"));
    assert_eq!(race.view("t", at(0, 102)).acts[0].words, "2 entries");
    // A draft from the events alone says the same.
    let mut anew = Race::new();
    anew.take(race.book().file().as_bytes());
    open(&mut anew, "t", 0);
    assert_eq!(race.answer(&card("new", 3, 2.0)), anew.answer(&card("new", 3, 2.0)));
    let undo = UndoRequest { device: "t".to_owned(), now: at(0, 103), by: None, act: lines[0].id.clone() };
    assert!(matches!(race.undo(&undo), AppendReply::Appended { .. }));
    assert_eq!((stand(&race), heads(&race, 0), race.answer(&card("new", 2, 3.0))), before);
    // Whoever is given a pen again stands in it.
    leave(&mut race, &["L06"]);
    enter(&mut race, 0, 110, Card { pen: Some("C".to_owned()), ..card("L06", 2, 3.0) });
    assert_eq!(stand(&race)["L06"], "C");
}

#[test]
fn a_ewe_put_right_to_barren_is_proposed_to_be_taken_out_of_her_pen() {
    let mut race = first_season();
    assert_eq!(look(&race, "L01", 0).stands.as_deref(), Some("B"));
    let Gate::Apart { words } = race.answer(&card("L01", 0, 3.0)) else { panic!("not apart") };
    assert_eq!(words, "Barren: away from the in-lamb ewes. On record she is in pen B: take her out of it.");
    let given = enter(&mut race, 0, 60, card("L01", 0, 3.0));
    assert_eq!((given.pen, given.stands.as_deref()), (None, Some("B")));
    assert_eq!(leave(&mut race, &["L01"]).words, "L01 left pen B.");
    assert!(!stand(&race).contains_key("L01"));
    let Gate::Apart { words } = race.answer(&card("L01", 0, 3.0)) else { panic!("not apart") };
    assert_eq!(words, "Barren: away from the in-lamb ewes.");
    assert_eq!(race.view("t", at(0, 61)).last_act.unwrap().words, "L01: left pen B");
    assert_eq!(enter(&mut race, 0, 62, card("new", 2, 3.0)).stands, None);
}

#[test]
fn a_pen_given_and_left_by_two_who_did_not_know_of_each_other_stand_side_by_side() {
    let mut race = first_season();
    let mut other = Race::new();
    other.take(race.book().file().as_bytes());
    open(&mut other, "u", 0);
    leave(&mut race, &["L04"]);
    let card = Card { pen: Some("C".to_owned()), ..card("L04", 2, 2.5) };
    other.enter(&RaceRequest { device: "u".to_owned(), now: at(0, 101), card, sure: true });
    race.restore(other.book().file().as_bytes(), true);
    let doubts = race.view("t", at(0, 120)).doubts;
    let pen = doubts.iter().find(|doubt| doubt.message.contains(", pen on ")).unwrap();
    assert!(
        pen.message.contains("another tablet at 10:41 says pen C; this tablet at 10:40 says no pen"),
        "{}",
        pen.message
    );
    assert_eq!(stand(&race)["L04"], "C", "the later, until somebody settles it");
}

#[test]
fn a_reading_of_another_tablet_is_told_as_such_with_the_person_where_one_is_named() {
    let mut other = Race::new();
    open(&mut other, "d31c7dcec0ff", 0);
    let scanned = What::Scanned { ewe: Name::Tag("7".to_owned()), lambs: Litter::of(2).unwrap() };
    for (by, ms) in [(None, 1), (Some("Ann".to_owned()), 2)] {
        let now = at(0, ms);
        let (device, what) = ("d31c7dcec0ff".to_owned(), vec![scanned.clone()]);
        other.append(AppendRequest { device, now, by, day: None, what, sure: true });
        let mut race = Race::new();
        race.take(other.book().file().as_bytes());
        open(&mut race, "t", 0);
        let question = look(&race, "7", 0).look.question.unwrap();
        let who = if ms == 1 {
            "twins on another tablet at 09:01"
        } else {
            "twins by Ann on another tablet at 09:02"
        };
        assert!(question.contains(who), "{question}");
        let own = look(&other, "7", 0).look.question.unwrap();
        assert!(own.contains(&who.replace("another", "this")), "{own}");
        assert!(!serde_json::to_string(&race.view("t", at(0, 3))).unwrap().contains("by\":\"d31c"));
    }
    // An entry that this version does not understand, and one that is missing.
    let line = r#"{"v":1,"id":"d31c7dcec0ff-9","device":"d31c7dcec0ff","sequence":9,"at":[1768208999000,0],"day":"2026-01-12","what":{"kind":"of a later version"}}"#;
    let mut race = Race::new();
    race.take(format!("{}{line}\n", other.book().file()).as_bytes());
    open(&mut race, "t", 0);
    let doubts = race.view("t", at(0, 3)).doubts;
    assert_eq!(doubts.len(), 2, "{doubts:?}");
    for doubt in doubts {
        let words = format!("{} {}", doubt.subject, doubt.message);
        assert!(words.contains("another tablet") && !words.contains("d31c"), "{words}");
    }
}
